//! Changes of what is kept at the desk and never posted.

use crate::desk::Question;

/// A change at the desk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DeskWrite {
    /// A question is asked, answered or applied: kept with the steps it took.
    KeepQuestion(Question),
    /// A question that was a mistake is taken out.
    RemoveQuestion(i64),
}
