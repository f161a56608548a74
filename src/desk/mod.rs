//! What is kept at the desk and never posted: questions for the accountant.
//! Values and what they refuse; keeping them is the book's, adding the ledger's figures beside them `reports`'.

mod question;

pub use question::{Answer, Application, Question, QuestionError, QuestionState, Standing};
