//! Which months an account's statements lack: those without a line that nothing shows to have been quiet.
//! Reading the lines is the book's.

use chrono::NaiveDate;

use crate::dates::{DateRange, Month};
use crate::ledger::AccountId;
use crate::money::Money;

/// What the lines of an account tell of a month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MonthFacts {
    /// The month.
    pub month: Month,
    /// How many lines it has.
    pub n_lines: usize,
    /// The balance before its first line, where the statement says.
    pub before: Option<Money>,
    /// The balance after its last line, where the statement says.
    pub after: Option<Money>,
}

/// The months of an account, with and without statement lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountMonths {
    /// The account.
    pub account: AccountId,
    /// Its name.
    pub name: String,
    /// How many lines its statements have.
    pub n_lines: usize,
    /// The day of its last line.
    pub last_line: Option<NaiveDate>,
    /// How many whole months are there.
    pub n_there: usize,
    /// The whole months that are lacking, oldest first.
    pub missing: Vec<Month>,
}

/// Sorts the whole months of a range into those that are there and those that are lacking. A month is there when it
/// has a line, when the account agreed with a statement of a day at or after its end, or when the balances on both
/// sides of it are the same, so that nothing can have moved. `facts` are the months with lines, oldest first.
#[must_use]
pub fn account_months(
    range: Option<DateRange>,
    facts: &[MonthFacts],
    agreed_to: Option<NaiveDate>,
) -> (usize, Vec<Month>) {
    let mut n_there = 0;
    let mut missing = Vec::new();
    for month in range.iter().flat_map(DateRange::months) {
        let has_lines = facts.iter().any(|one| one.month == month);
        let is_agreed = agreed_to.is_some_and(|day| day >= month.last_day());
        if has_lines || is_agreed || was_quiet(month, facts) {
            n_there += 1;
        } else {
            missing.push(month);
        }
    }
    (n_there, missing)
}

/// Whether the balances on both sides of a month without lines are told and are the same.
fn was_quiet(month: Month, facts: &[MonthFacts]) -> bool {
    let earlier = facts.iter().rev().find(|one| one.month < month);
    let later = facts.iter().find(|one| one.month > month);
    match (earlier, later) {
        (Some(earlier), Some(later)) => earlier.after.is_some() && earlier.after == later.before,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(month: u32, before: Option<i64>, after: Option<i64>) -> MonthFacts {
        MonthFacts {
            month: Month::new(2026, month),
            n_lines: 1,
            before: before.map(Money::from_minor),
            after: after.map(Money::from_minor),
        }
    }

    #[test]
    fn a_month_is_lacking_unless_something_shows_that_it_is_there() {
        let year = DateRange::new(
            Month::new(2026, 1).first_day(),
            Month::new(2026, 7).last_day(),
        );
        let told = [
            facts(2, Some(0), Some(500)),
            facts(4, Some(500), Some(300)), // March was quiet: 5.00 before and after
            facts(6, Some(250), Some(900)), // May lost 0.50 that no line tells
        ];
        let (n_there, missing) = account_months(year, &told, None);
        let lacking = |months: &[u32]| -> Vec<Month> {
            months.iter().map(|one| Month::new(2026, *one)).collect()
        };
        assert_eq!((n_there, missing), (4, lacking(&[1, 5, 7])));
        let agreed = NaiveDate::from_ymd_opt(2026, 1, 31);
        let (n_there, missing) = account_months(year, &told, agreed);
        assert_eq!((n_there, missing), (5, lacking(&[5, 7])));
        assert_eq!(account_months(None, &told, None), (0, Vec::new()));
    }
}
