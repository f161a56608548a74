//! Changes of what is kept at the desk and never posted.

use chrono::{NaiveDate, NaiveDateTime};

use super::ReceiptFile;
use crate::desk::{CompanyPaper, Decision, Duty, DutyDone, Question, Timer, WorkTime};
use crate::mileage::{Reading, Trip};
use crate::shared_bills::SharedBill;
use crate::workspace::{HomeBill, Space};

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
    /// The list of papers is begun with these.
    BeginPapers(Vec<CompanyPaper>),
    /// A paper is kept, or changed when it has a number, with a copy of it.
    KeepPaper(CompanyPaper, Option<ReceiptFile>),
    /// A paper is taken off the list.
    RemovePaper(i64),
    /// A decision is written down, or a correction of one.
    Decide(Decision),
    /// A trip is kept, or changed when it has a number.
    KeepTrip(Trip),
    /// A trip that was a mistake is taken out.
    RemoveTrip(i64),
    /// What the odometer showed on a day.
    KeepReading(Reading),
    /// A reading that was a mistake is taken out.
    RemoveReading(i64),
    /// A space at home is kept, or changed when it has a number.
    KeepSpace(Space),
    /// A space that was a mistake is taken out.
    RemoveSpace(i64),
    /// A bill of the home is kept, or changed when it has a number.
    KeepHomeBill(HomeBill),
    /// A bill that was a mistake is taken out.
    RemoveHomeBill(i64),
    /// The business's share of a bill is kept, or changed when it has a number.
    KeepSharedBill(SharedBill),
    /// A share that was a mistake is taken out.
    RemoveSharedBill(i64),
    /// Time is kept, or changed when it has a number.
    KeepTime(WorkTime),
    /// Time that was a mistake is taken out.
    RemoveTime(i64),
    /// How many minutes an activity took on a day, told plainly.
    PutMinutes(NaiveDate, String, u32),
    /// The timer starts.
    StartTimer(Timer),
    /// The timer stops, or stopped earlier.
    StopTimer(NaiveDateTime),
    /// The timer stops and nothing of it is kept.
    DropTimer,
}
