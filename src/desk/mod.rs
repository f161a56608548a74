//! What is kept at the desk and never posted: questions for the accountant, duties with their days, papers and decisions,
//! hours. Values and what they refuse; keeping them is the book's, adding the ledger's figures beside them `reports`'.

mod duty;
mod earning;
mod hours;
mod paper;
mod question;
mod sales_tax;

pub use duty::{Duty, DutyDone, DutyError, DutyKind, Nearness, cycle_words, period_words};
pub use earning::{EARNING_CAUTION, Earning, MonthEarning, ProductEarning};
pub use hours::{
    ACTIVITIES, DAY_MINUTES, HoursError, MAKING, Span, Timer, WorkTime, clock, counts_as_making,
    hours_words, read_clock, read_minutes, show_moment,
};
pub use paper::{CompanyPaper, Decision, PAPERS_CAUTION, PaperError, PaperKind};
pub use question::{Answer, Application, Question, QuestionError, QuestionState, Standing};
pub use sales_tax::{PeriodTax, RETURN_CAUTION};

/// A file that proves something, kept in the book among the receipts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProofFile {
    /// The SHA-256 of its bytes in hexadecimal digits: its identity among the receipts.
    pub hash: String,
    /// The name it is kept under.
    pub name: String,
}
