//! What wants doing: the list that reaches nothing, shown on Today and by `show needs`. `found` is what others hand
//! over, `words` how it is said.
//! It orders and words what others found; finding it (in the book, in schedules) is not its work.

mod found;
mod words;

use chrono::NaiveDate;

pub use self::found::{
    ChannelDue, DueDuty, DueMatter, DuePurchase, Found, LateOrder, OpenClaim, OrdersFound,
    StockFound, ToAgree, UsedUp,
};
use self::words::list_of;
use crate::dates::{Month, show_day};
use crate::ledger::AccountId;
use crate::matters::MatterKind;
use crate::money::{Currency, Money};

/// What kind of thing wants doing, with what is needed to do it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NeedKind {
    /// A recurring purchase is due; its number in the book.
    RecurringDue(i64),
    /// Wear of equipment has not been written down through this day.
    Depreciation(NaiveDate),
    /// Parts of what was paid ahead are used up by this day and not yet a cost.
    PaidAhead(NaiveDate),
    /// Receipts of the last weeks are still to be found.
    ReceiptsMissing,
    /// Older receipts are still to be found, or to be stood in for.
    ReceiptsOld,
    /// Purchases above the owner's amount lack a purpose.
    PurposeMissing,
    /// Money should move to the set-aside account.
    SetAside(Money),
    /// A channel has owed money for a long time.
    PayoutLate(AccountId),
    /// Money held by a channel should have been released.
    HoldOver(AccountId),
    /// Things that starting needs were planned up to this month and are not bought.
    PlanDue,
    /// An order that should be here and is not; its number in the book.
    OrderLate(i64),
    /// A claim that is still with the supplier; the number of its order in the book.
    ClaimOpen(i64),
    /// A form was kept for later; its number in the book.
    Draft(i64),
    /// More of an item went than ever came.
    StockBelow,
    /// Items at or under their reorder point.
    StockLow,
    /// Items were not counted at the end of a year, on this day.
    StockUncounted(NaiveDate),
    /// What has not been sold for long.
    StockSlow,
    /// The book is far behind: catching up has a path of its own.
    FarBehind,
    /// Lines of bank and card statements are to be sorted.
    LinesToSort,
    /// A sheet by which an account agreed with its statement no longer holds; its number in the book.
    AgreementBroken(i64),
    /// A duty comes near or has passed; its number in the book.
    DutyNear(i64),
    /// A voucher, an invoice, a deposit or the like has come to its day.
    MatterDue(MatterKind),
    /// The trips of the week are to be written down, as they were before.
    TripsToWrite,
    /// Questions for the accountant wait for her answer.
    QuestionsOpen,
    /// Answers of the accountant wait to be applied.
    AnswersToApply,
    /// An account has moved since it last agreed with its statement, more than a month ago.
    ToAgree(AccountId),
    /// Accounts never agreed with their statements; which, when it is only one.
    NeverAgreed(Option<AccountId>),
    /// A year has ended and is not closed.
    YearToClose(i32),
}

/// When a thing is best done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rhythm {
    /// In the sitting of the week.
    Week,
    /// Once a month.
    Month,
    /// It can wait, and is not counted.
    CanWait,
}

impl Rhythm {
    /// All, in the order of the list.
    pub const ALL: [Self; 3] = [Self::Week, Self::Month, Self::CanWait];

    /// The word used in sheets and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Week => "week",
            Self::Month => "month",
            Self::CanWait => "can-wait",
        }
    }

    /// It as a heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Week => "This week, in one sitting",
            Self::Month => "Once a month",
            Self::CanWait => "Can wait",
        }
    }
}

impl NeedKind {
    /// When it is best done.
    #[must_use]
    pub const fn rhythm(&self) -> Rhythm {
        match self {
            Self::FarBehind
            | Self::LinesToSort
            | Self::ReceiptsMissing
            | Self::PurposeMissing
            | Self::RecurringDue(_)
            | Self::Draft(_)
            | Self::OrderLate(_)
            | Self::PayoutLate(_)
            | Self::HoldOver(_)
            | Self::DutyNear(_)
            | Self::MatterDue(_)
            | Self::TripsToWrite
            | Self::StockBelow => Rhythm::Week,
            Self::ToAgree(_)
            | Self::NeverAgreed(_)
            | Self::AgreementBroken(_)
            | Self::Depreciation(_)
            | Self::PaidAhead(_)
            | Self::SetAside(_)
            | Self::ReceiptsOld
            | Self::AnswersToApply
            | Self::StockUncounted(_) => Rhythm::Month,
            Self::StockLow
            | Self::StockSlow
            | Self::PlanDue
            | Self::ClaimOpen(_)
            | Self::QuestionsOpen
            | Self::YearToClose(_) => Rhythm::CanWait,
        }
    }

    /// Whether this is the same thing on another day, although its amount or its day differs by then.
    #[must_use]
    pub fn is_same_thing(&self, other: &Self) -> bool {
        std::mem::discriminant(self) == std::mem::discriminant(other)
            && match (self, other) {
                (Self::Depreciation(_), _)
                | (Self::PaidAhead(_), _)
                | (Self::SetAside(_), _)
                | (Self::NeverAgreed(_), _) => true,
                _ => self == other,
            }
    }
}

/// One thing that wants doing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// What kind it is.
    pub kind: NeedKind,
    /// It in plain words.
    pub what: String,
    /// A second line that explains it; may be empty.
    pub note: String,
    /// How many things it stands for.
    pub count: usize,
    /// Since when it has wanted doing.
    pub since: Option<NaiveDate>,
}

/// The list in the order of a sitting: what the week asks, what the month asks, what can wait.
#[must_use]
pub fn needs(found: &Found, today: NaiveDate, currency: &Currency) -> Vec<Need> {
    let mut open: Vec<Need> = Vec::new();
    open.extend(found.behind.is_far(today).then(|| Need {
        kind: NeedKind::FarBehind,
        what: "Catch up, step by step".to_owned(),
        note: "falling behind is normal; leave it and go on any time".to_owned(),
        count: 1,
        since: found.behind.last_entry,
    }));
    open.extend(found.drafts.iter().map(|(id, name)| Need {
        kind: NeedKind::Draft(*id),
        what: format!("Kept for later: {name}"),
        note: "not written down yet".to_owned(),
        count: 1,
        since: None,
    }));
    open.extend(found.lines_to_sort.map(|(count, oldest)| Need {
        kind: NeedKind::LinesToSort,
        what: match count {
            1 => "1 line of a statement to sort".to_owned(),
            count => format!("{count} lines of statements to sort"),
        },
        note: String::new(),
        count,
        since: Some(oldest),
    }));
    open.extend(words::receipts(&found.receipts_missing, today));
    open.extend(words::purposes(&found.purpose_missing));
    let recurring = found.recurring.iter();
    open.extend(recurring.filter_map(|due| words::recurring(due, today, currency)));
    let channels = found.channels.iter();
    open.extend(channels.filter_map(|channel| words::late(channel, today, currency)));
    open.extend(words::orders(&found.orders, today, currency));
    let duties = found.duties.iter();
    open.extend(duties.map(|duty| words::duty_near(duty, today)));
    open.extend(found.matters.iter().map(|due| words::matter(due, currency)));
    open.extend(
        found
            .trips_told_to
            .and_then(|told| words::trips(told, today)),
    );
    open.extend(words::questions(found.questions));
    open.extend(words::stock(&found.stock));
    open.extend(found.broken.iter().map(|(id, account, day, changed)| Need {
        kind: NeedKind::AgreementBroken(*id),
        what: format!(
            "{account} agreed with its statement of {}, and an entry changed since",
            show_day(*day)
        ),
        note: changed.clone(),
        count: 1,
        since: Some(*day),
    }));
    open.extend(words::to_agree(&found.to_agree));
    open.extend(
        found
            .depreciation
            .as_ref()
            .map(|(through, amount, pieces)| Need {
                kind: NeedKind::Depreciation(*through),
                what: format!(
                    "Wear of equipment up to the end of {}, {}",
                    Month::of(*through).name(),
                    currency.show(*amount)
                ),
                note: list_of(pieces),
                count: 1,
                since: Some(*through),
            }),
    );
    open.extend(found.paid_ahead.as_ref().map(|used| Need {
        kind: NeedKind::PaidAhead(used.through),
        what: format!(
            "{} of what you paid ahead is used up",
            currency.show(used.amount)
        ),
        note: list_of(&used.names),
        count: 1,
        since: Some(used.since),
    }));
    open.extend(
        found
            .set_aside
            .filter(|(amount, _by)| amount.is_positive())
            .map(|(amount, by)| Need {
                kind: NeedKind::SetAside(amount),
                what: format!("Move {} to the set-aside account", currency.show(amount)),
                note: format!(
                    "by {}; an estimate only, confirm with a licensed professional",
                    show_day(by)
                ),
                count: 1,
                since: None,
            }),
    );
    open.extend(found.plan_due.as_ref().map(|(since, names)| Need {
        kind: NeedKind::PlanDue,
        what: match names.len() {
            1 => "1 planned thing to buy".to_owned(),
            count => format!("{count} planned things to buy"),
        },
        note: list_of(names),
        count: names.len(),
        since: Some(since.first_day()),
    }));
    open.extend(found.year_to_close.map(|(year, range)| Need {
        kind: NeedKind::YearToClose(year),
        what: format!("The year to {} can be closed", show_day(range.to)),
        note: "its checklist is in Year end".to_owned(),
        count: 1,
        since: Some(range.to),
    }));
    open.sort_by_key(|need| need.kind.rhythm());
    open
}

/// How many things want doing; what can wait is not counted.
#[must_use]
pub fn counted(open: &[Need]) -> usize {
    open.iter()
        .filter(|need| need.kind.rhythm() != Rhythm::CanWait)
        .count()
}

/// How many things want doing, in a sentence: the full stop to a week when it is nothing.
#[must_use]
pub fn in_words(open: &[Need]) -> String {
    let count = counted(open);
    let waits = match open.len() - count {
        0 => "",
        1 => " One more thing can wait.",
        _ => " The rest can wait.",
    };
    match count {
        0 => format!("{ALL_DONE}{waits}"),
        1 => format!("1 thing wants doing.{waits}"),
        n => format!("{n} things want doing.{waits}"),
    }
}

/// The full stop to a week.
const ALL_DONE: &str =
    "Nothing wants doing. Everything is written down, filed and put by, and the week is yours.";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;
    use crate::ledger::EntryNumber;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    #[test]
    fn nothing_found_wants_nothing() {
        let currency = Currency::from_code("USD").expect("a currency");
        assert!(needs(&Found::default(), day("2026-09-30"), &currency).is_empty());
    }

    #[test]
    fn what_is_due_is_worded_and_what_is_not_yet_is_left_out() {
        let currency = Currency::from_code("USD").expect("a currency");
        let plan = |id: i64, due: &str| DuePurchase {
            id,
            name: "Ink plan".to_owned(),
            amount: Money::from_minor(1_140),
            due: day(due),
        };
        let found = Found {
            recurring: vec![plan(1, "2026-09-30"), plan(2, "2026-10-01")],
            depreciation: Some((
                day("2026-09-30"),
                Money::from_minor(925),
                vec!["Book press".to_owned()],
            )),
            receipts_missing: vec![
                (EntryNumber(4), day("2026-09-20")),
                (EntryNumber(2), day("2026-09-11")),
            ],
            ..Found::default()
        };
        let open = needs(&found, day("2026-09-30"), &currency);
        let words: Vec<&str> = open.iter().map(|need| need.what.as_str()).collect();
        assert_eq!(
            words,
            [
                "2 receipts still to find",
                "Ink plan, 11.40, due today",
                "Wear of equipment up to the end of September, 9.25",
            ]
        );
        assert_eq!(open[0].since, Some(day("2026-09-11")));
    }

    #[test]
    fn receipts_that_can_still_be_had_come_before_older_ones() {
        let currency = Currency::from_code("USD").expect("a currency");
        // 1 August is 60 days before 30 September, 31 July is 61.
        let found = Found {
            receipts_missing: vec![
                (EntryNumber(1), day("2026-07-31")),
                (EntryNumber(2), day("2026-08-01")),
            ],
            ..Found::default()
        };
        let open = needs(&found, day("2026-09-30"), &currency);
        let told: Vec<(&str, Rhythm)> = open
            .iter()
            .map(|need| (need.what.as_str(), need.kind.rhythm()))
            .collect();
        assert_eq!(
            told,
            [
                ("1 receipt still to find", Rhythm::Week),
                ("1 older receipt still to find", Rhythm::Month),
            ]
        );
    }

    #[test]
    fn the_count_reaches_nothing_while_some_things_wait() {
        let currency = Currency::from_code("USD").expect("a currency");
        let mut found = Found {
            drafts: vec![(7, "What did you buy?".to_owned())],
            stock: StockFound {
                low: vec!["Text sheets, 12".to_owned()],
                ..StockFound::default()
            },
            ..Found::default()
        };
        let today = day("2026-09-30");
        let open = needs(&found, today, &currency);
        assert_eq!((open.len(), counted(&open)), (2, 1));
        assert_eq!(
            in_words(&open),
            "1 thing wants doing. One more thing can wait."
        );
        found.drafts.clear();
        let open = needs(&found, today, &currency);
        assert_eq!(
            in_words(&open),
            "Nothing wants doing. Everything is written down, filed and put by, and the week is yours. One more thing can \
             wait."
        );
        assert!(in_words(&[]).ends_with("the week is yours."));
    }

    #[test]
    fn accounts_are_asked_for_one_by_one_and_those_never_held_together() {
        let currency = Currency::from_code("USD").expect("a currency");
        let found = Found {
            to_agree: ToAgree {
                again: vec![(
                    AccountId(1),
                    "Business bank account".to_owned(),
                    day("2026-07-31"),
                )],
                never: vec![
                    (AccountId(2), "Credit card".to_owned()),
                    (AccountId(3), "Cash box".to_owned()),
                ],
            },
            ..Found::default()
        };
        let open = needs(&found, day("2026-09-30"), &currency);
        let words: Vec<&str> = open.iter().map(|need| need.what.as_str()).collect();
        assert_eq!(
            words,
            [
                "Hold Business bank account against its statement",
                "Hold 2 accounts against their statements",
            ]
        );
        assert_eq!(open[1].kind, NeedKind::NeverAgreed(None));
    }
}
