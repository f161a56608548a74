//! What is kept at the desk, with what the ledger says beside it.
//! What each thing refuses is `crate::desk`'s.

mod duties;
mod evidence;
mod hours;
mod questions;

pub use duties::{
    AHEAD_DAYS, DutiesReport, DutyReport, ReturnReport, TaxDay, duties, duties_near, period_tax,
    returns,
};
pub use evidence::{EVIDENCE_CAUTION, Fact, evidence};
pub use hours::{HoursReport, hours, week_of};
pub use questions::{QuestionReport, questions, questions_of};
