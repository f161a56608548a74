//! What is paid again and again: proposed when it is due, confirmed or skipped by the owner, never posted behind her back.
//! Confirming makes an ordinary purchase.

use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;

use crate::dates::{Month, add_months, show_day};
use crate::happenings::{Payment, PurchaseDetails, PurchaseLine};
use crate::ledger::AccountId;
use crate::money::{Currency, Money, Percent};

/// How many days before it is due a yearly one is announced.
const YEARLY_NOTICE_DAYS: i64 = 30;

/// Something that is paid again and again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recurring {
    /// Its lasting number in the book; 0 before it is there.
    pub id: i64,
    /// What it is.
    pub name: String,
    /// To whom.
    pub party: String,
    /// The account of its cost.
    pub account: AccountId,
    /// How it is paid.
    pub paid_from: Payment,
    /// How much each time.
    pub amount: Money,
    /// The business's share; the rest is private.
    pub business_share: Percent,
    /// After how many months it comes again: 1 monthly, 3 quarterly, 12 yearly.
    pub every_months: u32,
    /// The day of the month it falls on, 1 to 31; in shorter months the last day.
    pub day: u32,
    /// When it is due next.
    pub next_due: NaiveDate,
    /// What it serves, and what was decided about it; may be empty.
    pub note: String,
    /// Whether it still goes on.
    pub is_active: bool,
}

/// Why a recurring purchase was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RecurringError {
    /// It has no name.
    #[error("give it a name")]
    Nameless,
    /// Nobody is paid.
    #[error("say to whom it is paid")]
    NoParty,
    /// The amount is nothing, below, or too large.
    #[error("the amount must be more than nothing and within what a book takes")]
    Amount,
    /// The cycle is none.
    #[error("say after how many months it comes again, from 1 to 120")]
    Cycle,
    /// The day is in no month.
    #[error("the day of the month must be from 1 to 31")]
    Day,
}

impl Recurring {
    /// One that falls due first on this day, with all of it business.
    #[must_use]
    pub fn new(
        name: impl Into<String>,
        party: impl Into<String>,
        account: AccountId,
        paid_from: Payment,
        amount: Money,
        every_months: u32,
        first_due: NaiveDate,
    ) -> Self {
        Self {
            id: 0,
            name: name.into(),
            party: party.into(),
            account,
            paid_from,
            amount,
            business_share: Percent::WHOLE,
            every_months,
            day: first_due.day(),
            next_due: first_due,
            note: String::new(),
            is_active: true,
        }
    }

    /// Refuses what cannot be.
    ///
    /// # Errors
    /// When the name, the party, the amount, the cycle or the day cannot be.
    pub fn check(&self) -> Result<(), RecurringError> {
        if self.name.trim().is_empty() {
            Err(RecurringError::Nameless)
        } else if self.party.trim().is_empty() {
            Err(RecurringError::NoParty)
        } else if !self.amount.is_positive() || !self.amount.is_within_limit() {
            Err(RecurringError::Amount)
        } else if !(1..=120).contains(&self.every_months) {
            Err(RecurringError::Cycle)
        } else if !(1..=31).contains(&self.day) {
            Err(RecurringError::Day)
        } else {
            Ok(())
        }
    }

    /// The due day after this one: the same day of the month, or the last where the month is shorter.
    #[must_use]
    pub fn after(&self, due: NaiveDate) -> NaiveDate {
        let steps = i32::try_from(self.every_months).unwrap_or(1).max(1);
        let month = Month::of(add_months(due.with_day(1).unwrap_or(due), steps));
        let last = month.last_day();
        last.with_day(self.day.clamp(1, last.day())).unwrap_or(last)
    }

    /// The same with its due day moved on, after one was confirmed or skipped.
    #[must_use]
    pub fn moved_on(&self) -> Self {
        Self {
            next_due: self.after(self.next_due),
            ..self.clone()
        }
    }

    /// The days it has fallen due by today and was neither confirmed nor skipped, the oldest first.
    #[must_use]
    pub fn due(&self, today: NaiveDate) -> Vec<NaiveDate> {
        self.due_days(self.next_due, today)
    }

    /// The days it falls due from tomorrow through this day, for looking ahead.
    #[must_use]
    pub fn coming(&self, today: NaiveDate, through: NaiveDate) -> Vec<NaiveDate> {
        let mut days = self.due_days(self.next_due, through);
        days.retain(|day| *day > today);
        days
    }

    fn due_days(&self, from: NaiveDate, through: NaiveDate) -> Vec<NaiveDate> {
        let mut days = Vec::new();
        let mut day = from;
        while self.is_active && day <= through {
            days.push(day);
            let next = self.after(day);
            if next <= day {
                break;
            }
            day = next;
        }
        days
    }

    /// What it comes to in a year of its cycle.
    #[must_use]
    pub fn yearly_total(&self) -> Money {
        let times = Decimal::from(12) / Decimal::from(self.every_months.max(1));
        self.amount.times(times)
    }

    /// Whether it comes once a year or less often.
    #[must_use]
    pub const fn is_yearly(&self) -> bool {
        self.every_months >= 12
    }

    /// How many days are left until a yearly one renews, within the last thirty.
    #[must_use]
    pub fn renewal_notice(&self, today: NaiveDate) -> Option<RenewalNotice> {
        let days_left = (self.next_due - today).num_days();
        let is_near = (0..=YEARLY_NOTICE_DAYS).contains(&days_left);
        (self.is_active && self.is_yearly() && is_near).then(|| RenewalNotice {
            name: self.name.clone(),
            due: self.next_due,
            days_left,
            amount: self.amount,
        })
    }

    /// The purchase that it proposes for a due day, to be looked at and confirmed.
    #[must_use]
    pub fn purchase(&self, due: NaiveDate) -> PurchaseDetails {
        let line = PurchaseLine::new(self.account, self.amount, &self.name)
            .business_share(self.business_share);
        let mut details = PurchaseDetails::new(due, &self.party, self.paid_from, vec![line]);
        details.memo.clone_from(&self.name);
        details.proof.purpose.clone_from(&self.note);
        details
    }
}

/// A yearly purchase that renews soon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RenewalNotice {
    /// What it is.
    pub name: String,
    /// When it renews.
    pub due: NaiveDate,
    /// In how many days.
    pub days_left: i64,
    /// How much.
    pub amount: Money,
}

impl RenewalNotice {
    /// The notice in a sentence.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let when = match self.days_left {
            0 => "today".to_owned(),
            1 => "tomorrow".to_owned(),
            days => format!("in {days} days, on {}", show_day(self.due)),
        };
        format!(
            "{} renews {when} for {}. Keep it?",
            self.name,
            currency.show(self.amount)
        )
    }
}

/// One due day of a recurring purchase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueRecurring {
    /// What is due.
    pub recurring: Recurring,
    /// When it fell due.
    pub on: NaiveDate,
}

/// All that has fallen due by today, the oldest first.
#[must_use]
pub fn due(list: &[Recurring], today: NaiveDate) -> Vec<DueRecurring> {
    let mut found: Vec<DueRecurring> = list
        .iter()
        .flat_map(|recurring| {
            recurring.due(today).into_iter().map(|on| DueRecurring {
                recurring: recurring.clone(),
                on,
            })
        })
        .collect();
    found.sort_by(|a, b| (a.on, &a.recurring.name).cmp(&(b.on, &b.recurring.name)));
    found
}

/// What all that still go on come to in a year.
#[must_use]
pub fn yearly_total(list: &[Recurring]) -> Money {
    list.iter()
        .filter(|recurring| recurring.is_active)
        .map(Recurring::yearly_total)
        .sum()
}
