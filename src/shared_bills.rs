//! Bills and things that are used privately too: the business's share of each, what it rests on, and from which day it holds.
//! Keeping them is the book's business; nothing here is posted, and no share is guessed.

use chrono::NaiveDate;

use crate::dates::DateRange;
use crate::money::Percent;

/// What must be said beside a share.
pub const SHARED_BILL_CAUTION: &str = "Whether a share is taken as it is, and how long a sample speaks for, depends on local rules. Keep what it was counted from, \
     count anew when the use changes, and confirm with a licensed professional.";

/// The business's share of a bill or a thing that is used privately too, from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedBill {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// What the bill is for, such as a mobile phone.
    pub what: String,
    /// Who bills it; empty for a thing that nobody bills again, or where it changes.
    pub party: String,
    /// The business's share.
    pub share: Percent,
    /// What the share rests on.
    pub basis: String,
    /// The days that were looked at, where some were.
    pub sampled: Option<DateRange>,
    /// The first day on which the share holds.
    pub since: NaiveDate,
    /// What else there is to say.
    pub note: String,
}

impl SharedBill {
    /// Refuses what cannot be.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), SharedBillError> {
        if self.what.trim().is_empty() {
            return Err(SharedBillError::NoWhat);
        }
        if self.basis.trim().is_empty() {
            return Err(SharedBillError::NoBasis);
        }
        match self.sampled {
            Some(days) if days.from > self.since => Err(SharedBillError::SampleLater),
            _ => Ok(()),
        }
    }

    /// The days of a sample by its first and its last.
    ///
    /// # Errors
    /// When one of them is missing, or it ends before it begins.
    pub fn sample(
        from: Option<NaiveDate>,
        to: Option<NaiveDate>,
    ) -> Result<Option<DateRange>, SharedBillError> {
        match (from, to) {
            (None, None) => Ok(None),
            (Some(from), Some(to)) => match DateRange::new(from, to) {
                Some(days) => Ok(Some(days)),
                None => Err(SharedBillError::SampleEndsFirst),
            },
            _ => Err(SharedBillError::HalfSample),
        }
    }

    /// Whether both are shares of the same bill, each from its own day.
    #[must_use]
    pub fn is_same_bill(&self, other: &Self) -> bool {
        is_same(&self.what, &other.what) && is_same(&self.party, &other.party)
    }
}

/// The last day on which a share holds: the day before that of the same bill's next; none while there is no next.
#[must_use]
pub fn until(bills: &[SharedBill], bill: &SharedBill) -> Option<NaiveDate> {
    bills
        .iter()
        .filter(|other| other.since > bill.since && other.is_same_bill(bill))
        .map(|other| other.since)
        .min()
        .and_then(|next| next.pred_opt())
}

/// The shares that hold on at least one of these days, each with its last day.
#[must_use]
pub fn held_in(bills: &[SharedBill], days: DateRange) -> Vec<(&SharedBill, Option<NaiveDate>)> {
    bills
        .iter()
        .map(|bill| (bill, until(bills, bill)))
        .filter(|(bill, last)| bill.since <= days.to && last.is_none_or(|last| last >= days.from))
        .collect()
}

/// The share that is written down for what this party bills in these words on this day.
///
/// A party with one share has that; of several, the one whose bill is named. Without a share of the party it is the one of no
/// party whose thing is named. Where two would do, none does: a share is never guessed.
#[must_use]
pub fn that_holds<'b>(
    bills: &'b [SharedBill],
    party: &str,
    words: &str,
    day: NaiveDate,
) -> Option<&'b SharedBill> {
    let one_day = DateRange::new(day, day)?;
    let (of_party, of_none): (Vec<&SharedBill>, Vec<&SharedBill>) = held_in(bills, one_day)
        .into_iter()
        .map(|(bill, _last)| bill)
        .filter(|bill| bill.party.trim().is_empty() || is_same(&bill.party, party))
        .partition(|bill| !bill.party.trim().is_empty());
    let named = |list: &[&'b SharedBill]| {
        let named: Vec<&SharedBill> = list
            .iter()
            .copied()
            .filter(|bill| is_named(&bill.what, words))
            .collect();
        only(&named)
    };
    if of_party.is_empty() {
        named(&of_none)
    } else {
        only(&of_party).or_else(|| named(&of_party))
    }
}

fn only<'b>(list: &[&'b SharedBill]) -> Option<&'b SharedBill> {
    match list {
        [one] => Some(*one),
        _ => None,
    }
}

fn is_same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// Whether words name a thing: it stands among them, and not as a part of a longer word.
fn is_named(what: &str, words: &str) -> bool {
    let (what, words) = (what.trim().to_lowercase(), words.to_lowercase());
    words.match_indices(&what).any(|(start, found)| {
        let before = words[..start].chars().next_back();
        let after = words[start + found.len()..].chars().next();
        let is_apart = |side: Option<char>| side.is_none_or(|letter| !letter.is_alphanumeric());
        is_apart(before) && is_apart(after)
    })
}

/// Why a share was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SharedBillError {
    /// It does not say of what.
    #[error("say what the bill is for")]
    NoWhat,
    /// It does not say what it rests on.
    #[error("say what the share rests on, such as two weeks of calls that were counted")]
    NoBasis,
    /// A sample has one end only.
    #[error("give the first and the last day of the sample, or neither")]
    HalfSample,
    /// A sample ends before it begins.
    #[error("the sample ends before it begins")]
    SampleEndsFirst,
    /// The sample begins after the share.
    #[error("the sample begins after the day from which the share holds")]
    SampleLater,
}

impl SharedBillError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::NoWhat => "what",
            Self::NoBasis => "basis",
            Self::HalfSample | Self::SampleEndsFirst => "sampled_to",
            Self::SampleLater => "sampled_from",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    fn bill(what: &str, party: &str, share: &str, since: &str) -> SharedBill {
        SharedBill {
            id: 0,
            what: what.to_owned(),
            party: party.to_owned(),
            share: share.parse().expect("a share"),
            basis: "41 of 102 calls for the business".to_owned(),
            sampled: None,
            since: day(since),
            note: String::new(),
        }
    }

    fn share_of(bills: &[SharedBill], party: &str, words: &str, on: &str) -> Option<String> {
        that_holds(bills, party, words, day(on)).map(|bill| bill.share.to_string())
    }

    #[test]
    fn a_later_share_leaves_the_earlier_one_as_it_was() {
        let bills = [
            bill("Phone", "Dovetone Mobile", "40", "2026-01-01"),
            bill("phone", "dovetone mobile", "55", "2026-07-01"),
        ];
        let on = |on| share_of(&bills, "Dovetone Mobile", "one month", on);
        assert_eq!(on("2025-12-31"), None);
        assert_eq!(on("2026-01-01").as_deref(), Some("40"));
        assert_eq!(on("2026-06-30").as_deref(), Some("40"));
        assert_eq!(on("2026-07-01").as_deref(), Some("55"));
        assert_eq!(until(&bills, &bills[0]), Some(day("2026-06-30")));
        assert_eq!(until(&bills, &bills[1]), None);
        let summer = DateRange::new(day("2026-07-01"), day("2026-08-31")).expect("days");
        assert_eq!(held_in(&bills, summer), vec![(&bills[1], None)]);
    }

    #[test]
    fn of_two_that_would_do_the_named_one_is_taken_and_else_none() {
        let bills = [
            bill("Phone", "Dovetone", "40", "2026-01-01"),
            bill("Internet", "Dovetone", "30", "2026-01-01"),
            bill("Ink", "", "75", "2026-01-01"),
        ];
        let of = |party, words| share_of(&bills, party, words, "2026-02-01");
        assert_eq!(of("Dovetone", "Internet, one month").as_deref(), Some("30"));
        assert_eq!(of("Dovetone", "one month"), None);
        assert_eq!(of("Dovetone", "phone and internet"), None);
        assert_eq!(of("Plume", "Black ink").as_deref(), Some("75"));
        assert_eq!(of("Plume", "Drinking straws"), None);
    }

    #[test]
    fn a_share_without_what_it_rests_on_is_refused() {
        let kept = bill("Phone", "", "40", "2026-03-15");
        assert_eq!(kept.check(), Ok(()));
        let refused = |change: fn(&mut SharedBill)| {
            let mut bill = kept.clone();
            change(&mut bill);
            bill.check()
        };
        let no_basis = refused(|bill| bill.basis = "  ".to_owned());
        assert_eq!(no_basis, Err(SharedBillError::NoBasis));
        let no_what = refused(|bill| bill.what = String::new());
        assert_eq!(no_what, Err(SharedBillError::NoWhat));
        let later = refused(|bill| {
            bill.sampled = DateRange::new(day("2026-03-16"), day("2026-03-29"));
        });
        assert_eq!(later, Err(SharedBillError::SampleLater));
        let beside = refused(|bill| {
            bill.sampled = DateRange::new(day("2026-03-15"), day("2026-03-28"));
        });
        assert_eq!(beside, Ok(()));
        assert_eq!(
            SharedBill::sample(Some(day("2026-03-02")), Some(day("2026-03-01"))),
            Err(SharedBillError::SampleEndsFirst)
        );
        assert_eq!(
            SharedBill::sample(None, Some(day("2026-03-01"))),
            Err(SharedBillError::HalfSample)
        );
        assert!("100.5".parse::<Percent>().is_err());
    }
}
