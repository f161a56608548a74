//! What is kept at the desk, with what the ledger says beside it.
//! What each thing refuses is `crate::desk`'s.

mod duties;
mod questions;

pub use duties::{
    AHEAD_DAYS, DutiesReport, DutyReport, ReturnReport, TaxDay, duties, duties_near, period_tax,
    returns,
};
pub use questions::{QuestionReport, questions, questions_of};
