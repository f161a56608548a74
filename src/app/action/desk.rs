//! Changes of what is kept at the desk and never posted.

use super::ReceiptFile;
use crate::desk::{Duty, DutyDone, Question};

/// A change at the desk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DeskWrite {
    /// A question is asked, answered or applied: kept with the steps it took.
    KeepQuestion(Question),
    /// A question that was a mistake is taken out.
    RemoveQuestion(i64),
    /// A duty is kept, or changed when it has a number.
    KeepDuty(Duty),
    /// A duty that was a mistake is taken out.
    RemoveDuty(i64),
    /// A duty was done for one of its days, with its proof.
    DoDuty(i64, DutyDone, Option<ReceiptFile>),
    /// A duty was not done after all the last time.
    TakeBackDuty(i64),
    /// The proof of something that was done.
    ProveDuty(i64, ReceiptFile),
}
