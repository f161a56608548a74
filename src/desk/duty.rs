//! Duties: things with a day that come once or again and again, filled in once, with what was done about each.
//! The figures of a sales-tax return are `sales_tax`'s; nothing here is posted.

use chrono::{Datelike, Days, NaiveDate};

use super::ProofFile;
use crate::dates::{DateRange, Month, add_months, show_day};
use crate::money::Money;
use crate::word_list::word_list;

word_list! {
    /// What kind of duty it is.
    DutyKind, "a kind of duty":
    /// The company's yearly report to the state.
    YearlyReport = "yearly-report" / "Company's yearly report",
    /// A permit to renew.
    Permit = "permit" / "Permit",
    /// A licence to renew.
    Licence = "licence" / "Licence",
    /// Insurance to renew.
    Insurance = "insurance" / "Insurance",
    /// A name on the internet to renew.
    Domain = "domain" / "Domain name",
    /// A subscription that renews itself.
    Subscription = "subscription" / "Subscription renewal",
    /// A day of a tax office that the set-aside calendar does not know.
    TaxDate = "tax-date" / "Tax date",
    /// A return of sales tax, with its period.
    SalesTax = "sales-tax" / "Sales-tax return",
    /// Anything else.
    Other = "other" / "Something else",
}

/// The longest time between two of the same duty, in months.
const LONGEST_CYCLE: u32 = 120;
/// The earliest that a duty is announced, in days before it.
const EARLIEST: u32 = 366;

/// Something with a day that wants doing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Duty {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// What it is.
    pub name: String,
    /// What kind it is.
    pub kind: DutyKind,
    /// When it is due next; never again when there is none.
    pub next_day: Option<NaiveDate>,
    /// The day of the month it falls on, 1 to 31; in shorter months the last day.
    pub day: u32,
    /// After how many months it comes again; 0 for once.
    pub every_months: u32,
    /// From how many days before it is announced.
    pub remind_days: u32,
    /// Through which day the next return of sales tax goes; a month's last day.
    pub period_to: Option<NaiveDate>,
    /// What else there is to know; may be empty.
    pub note: String,
}

/// Why a duty was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DutyError {
    /// It has no name.
    #[error("give it a name")]
    Nameless,
    /// The cycle is none.
    #[error("say after how many months it comes again, from 1 to {LONGEST_CYCLE}, or 0 for once")]
    Cycle,
    /// A return of sales tax comes in another cycle than the months of a year part into.
    #[error("a return comes every 1, 2, 3, 4, 6 or 12 months")]
    ReturnCycle,
    /// The day is in no month.
    #[error("the day of the month is from 1 to 31")]
    Day,
    /// It is announced too early.
    #[error("be reminded from 0 to {EARLIEST} days ahead")]
    Reminder,
    /// A return of sales tax lacks its period.
    #[error("say through which day the period of the return goes")]
    NoPeriod,
    /// The period does not end with a month.
    #[error("{} is not the last day of a month, as a period's end is", show_day(*.0))]
    PeriodEnd(NaiveDate),
    /// The return is due before its period is over.
    #[error("the period goes through {}, and the return is due before that", show_day(*.0))]
    DueInPeriod(NaiveDate),
    /// Only a return of sales tax has a period.
    #[error("only a sales-tax return has a period")]
    PeriodOfOther,
    /// Nothing is due any more.
    #[error("nothing of it is due any more")]
    Ended,
}

impl DutyError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Nameless => "duty",
            Self::Cycle | Self::ReturnCycle => "every_months",
            Self::Day => "day",
            Self::Reminder => "remind_days",
            Self::NoPeriod | Self::PeriodEnd(_) | Self::PeriodOfOther => "period_to",
            Self::DueInPeriod(_) | Self::Ended => "next_day",
        }
    }
}

/// A duty that was done for one of its days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DutyDone {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// The day for which it was done.
    pub due: NaiveDate,
    /// The day on which it was done.
    pub done_on: NaiveDate,
    /// What it cost, or what the return came to.
    pub amount: Option<Money>,
    /// The period of the return.
    pub period: Option<DateRange>,
    /// What else there is to know; may be empty.
    pub note: String,
    /// The paper that proves it.
    pub proof: Option<ProofFile>,
}

/// How near a duty is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Nearness {
    /// Its day has passed.
    Passed,
    /// It is within the days she chose.
    Near,
    /// It can wait.
    Later,
    /// Nothing of it is due any more.
    Ended,
}

impl Nearness {
    /// The word used in JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::Near => "near",
            Self::Later => "later",
            Self::Ended => "ended",
        }
    }
}

impl Duty {
    /// One that is due first on this day and comes every year, announced a month before.
    #[must_use]
    pub fn new(name: impl Into<String>, kind: DutyKind, first: NaiveDate) -> Self {
        Self {
            id: 0,
            name: name.into(),
            kind,
            next_day: Some(first),
            day: first.day(),
            every_months: 12,
            remind_days: 30,
            period_to: None,
            note: String::new(),
        }
    }

    /// Refuses what cannot be.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), DutyError> {
        if self.name.trim().is_empty() {
            return Err(DutyError::Nameless);
        }
        if self.every_months > LONGEST_CYCLE {
            return Err(DutyError::Cycle);
        }
        if !(1..=31).contains(&self.day) {
            return Err(DutyError::Day);
        }
        if self.remind_days > EARLIEST {
            return Err(DutyError::Reminder);
        }
        if self.kind != DutyKind::SalesTax {
            return match self.period_to {
                Some(_) => Err(DutyError::PeriodOfOther),
                None => Ok(()),
            };
        }
        if self.every_months == 0 || 12 % self.every_months != 0 {
            return Err(DutyError::ReturnCycle);
        }
        let to = self.period_to.ok_or(DutyError::NoPeriod)?;
        if Month::of(to).last_day() != to {
            return Err(DutyError::PeriodEnd(to));
        }
        match self.next_day {
            Some(next) if next < to => Err(DutyError::DueInPeriod(to)),
            _ => Ok(()),
        }
    }

    /// The period of the next return of sales tax.
    #[must_use]
    pub fn period(&self) -> Option<DateRange> {
        let to = self.period_to?;
        let n_months = i32::try_from(self.every_months).unwrap_or(1).max(1);
        let from = Month::of(to).plus(1 - n_months).first_day();
        DateRange::new(from, to)
    }

    /// The day after this one on which it is due: the same day of the month, or the last where the month is shorter.
    #[must_use]
    pub fn after(&self, due: NaiveDate) -> Option<NaiveDate> {
        let steps = i32::try_from(self.every_months)
            .ok()
            .filter(|steps| *steps > 0)?;
        let month = Month::of(due).plus(steps);
        let last = month.last_day();
        last.with_day(self.day.clamp(1, last.day()))
    }

    /// The duty after it was done for its next day: due again after its cycle, or never.
    ///
    /// # Errors
    /// When nothing of it is due.
    pub fn moved_on(&self) -> Result<Self, DutyError> {
        let due = self.next_day.ok_or(DutyError::Ended)?;
        let n_months = i32::try_from(self.every_months).unwrap_or(0);
        Ok(Self {
            next_day: self.after(due),
            period_to: self
                .period_to
                .map(|to| Month::of(add_months(to, n_months)).last_day()),
            ..self.clone()
        })
    }

    /// How near it is on this day.
    #[must_use]
    pub fn nearness(&self, today: NaiveDate) -> Nearness {
        match (self.next_day, self.remind_from()) {
            (Some(due), _) if due < today => Nearness::Passed,
            (Some(_), Some(from)) if from <= today => Nearness::Near,
            (Some(_), _) => Nearness::Later,
            (None, _) => Nearness::Ended,
        }
    }

    /// From which day it is announced.
    #[must_use]
    pub fn remind_from(&self) -> Option<NaiveDate> {
        let due = self.next_day?;
        due.checked_sub_days(Days::new(self.remind_days.into()))
    }

    /// The days on which it is due from its next day through this one.
    #[must_use]
    pub fn days_through(&self, last: NaiveDate) -> Vec<NaiveDate> {
        let mut days = Vec::new();
        let mut next = self.next_day;
        while let Some(day) = next.filter(|day| *day <= last) {
            days.push(day);
            next = self.after(day);
        }
        days
    }

    /// Its cycle in words, as `every 3 months`.
    #[must_use]
    pub fn cycle_words(&self) -> String {
        cycle_words(self.every_months)
    }
}

/// A cycle in words.
#[must_use]
pub fn cycle_words(every_months: u32) -> String {
    match every_months {
        0 => "once".to_owned(),
        1 => "every month".to_owned(),
        3 => "every quarter".to_owned(),
        12 => "every year".to_owned(),
        n if n % 12 == 0 => format!("every {} years", n / 12),
        n => format!("every {n} months"),
    }
}

/// A period in words: `March 2026`, or `Jan to Mar 2026`.
#[must_use]
pub fn period_words(period: DateRange) -> String {
    let (first, last) = (Month::of(period.from), Month::of(period.to));
    if first == last {
        return format!("{} {}", first.name(), first.year());
    }
    let short = |month: Month| month.name()[..3].to_owned();
    if first.year() == last.year() {
        format!("{} to {} {}", short(first), short(last), last.year())
    } else {
        format!(
            "{} {} to {} {}",
            short(first),
            first.year(),
            short(last),
            last.year()
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    #[test]
    fn a_duty_keeps_its_day_of_the_month_and_is_announced_ahead() {
        let mut duty = Duty::new("Stall permit", DutyKind::Permit, day("2026-01-31"));
        duty.every_months = 1;
        duty.remind_days = 10;
        assert_eq!(duty.check(), Ok(()));
        // By hand: the last day of February, then the 31st again.
        assert_eq!(
            duty.days_through(day("2026-04-15")),
            [day("2026-01-31"), day("2026-02-28"), day("2026-03-31")]
        );
        assert_eq!(duty.nearness(day("2026-01-20")), Nearness::Later);
        assert_eq!(duty.nearness(day("2026-01-21")), Nearness::Near);
        assert_eq!(duty.nearness(day("2026-01-31")), Nearness::Near);
        assert_eq!(duty.nearness(day("2026-02-01")), Nearness::Passed);
        duty.every_months = 0;
        let done = duty.moved_on().expect("was due");
        assert_eq!(done.next_day, None);
        assert_eq!(done.nearness(day("2026-02-01")), Nearness::Ended);
        assert_eq!(done.moved_on(), Err(DutyError::Ended));
    }

    #[test]
    fn a_return_knows_its_period_and_moves_on_with_it() {
        let mut duty = Duty::new("Sales tax", DutyKind::SalesTax, day("2026-04-20"));
        duty.every_months = 3;
        assert_eq!(duty.check(), Err(DutyError::NoPeriod));
        duty.period_to = Some(day("2026-03-30"));
        assert_eq!(duty.check(), Err(DutyError::PeriodEnd(day("2026-03-30"))));
        duty.period_to = Some(day("2026-03-31"));
        assert_eq!(duty.check(), Ok(()));
        let period = duty.period().expect("a period");
        assert_eq!(
            (period.from, period.to),
            (day("2026-01-01"), day("2026-03-31"))
        );
        assert_eq!(period_words(period), "Jan to Mar 2026");
        let next = duty.moved_on().expect("was due");
        assert_eq!(next.next_day, Some(day("2026-07-20")));
        assert_eq!(next.period_to, Some(day("2026-06-30")));
        duty.every_months = 5;
        assert_eq!(duty.check(), Err(DutyError::ReturnCycle));
        duty.every_months = 1;
        duty.period_to = Some(day("2026-04-30"));
        assert_eq!(duty.check(), Err(DutyError::DueInPeriod(day("2026-04-30"))));
        duty.kind = DutyKind::Other;
        assert_eq!(duty.check(), Err(DutyError::PeriodOfOther));
    }

    #[test]
    fn periods_and_cycles_have_words() {
        let range = |from, to| DateRange::new(day(from), day(to)).expect("a range");
        assert_eq!(
            period_words(range("2026-02-01", "2026-02-28")),
            "February 2026"
        );
        assert_eq!(
            period_words(range("2025-12-01", "2026-02-28")),
            "Dec 2025 to Feb 2026"
        );
        let words: Vec<String> = [0, 1, 2, 3, 12, 24].map(cycle_words).into();
        assert_eq!(
            words,
            [
                "once",
                "every month",
                "every 2 months",
                "every quarter",
                "every year",
                "every 2 years"
            ]
        );
    }
}
