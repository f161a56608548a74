//! What is kept at the desk, with what the ledger says beside it.
//! What each thing refuses is `crate::desk`'s.

mod questions;

pub use questions::{QuestionReport, questions, questions_of};
