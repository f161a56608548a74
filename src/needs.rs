//! What wants doing: the list that reaches nothing, shown on Today and by `show needs`.
//! It orders and words what others found; finding it (in the book, in schedules) is not its work.

use chrono::NaiveDate;

use crate::dates::{DateRange, Month, show_day};
use crate::desk::Standing;
use crate::ledger::{AccountId, EntryNumber};
use crate::money::{Currency, Money};
use crate::ordering::{days, open_words};
use crate::spreading::DueRelease;

/// What kind of thing wants doing, with what is needed to do it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NeedKind {
    /// A recurring purchase is due; its number in the book.
    RecurringDue(i64),
    /// Wear of equipment has not been written down through this day.
    Depreciation(NaiveDate),
    /// Parts of what was paid ahead are used up by this day and not yet a cost.
    PaidAhead(NaiveDate),
    /// Receipts are still to be found.
    ReceiptsMissing,
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
    /// Lines of bank and card statements are to be sorted.
    LinesToSort,
    /// A sheet by which an account agreed with its statement no longer holds; its number in the book.
    AgreementBroken(i64),
    /// A duty comes near or has passed; its number in the book.
    DutyNear(i64),
    /// Questions for the accountant wait for her answer.
    QuestionsOpen,
    /// Answers of the accountant wait to be applied.
    AnswersToApply,
    /// A year has ended and is not closed.
    YearToClose(i32),
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

/// A recurring purchase as far as its due date matters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DuePurchase {
    /// Its number in the book.
    pub id: i64,
    /// What it is.
    pub name: String,
    /// How much it usually is.
    pub amount: Money,
    /// When it is next due.
    pub due: NaiveDate,
}

/// Money that a channel owes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChannelDue {
    /// The channel's account.
    pub channel: AccountId,
    /// Its name.
    pub name: String,
    /// What it owes; negative when the shop bills the owner.
    pub due: Money,
    /// The day of its last payout or, before the first, of its first sale.
    pub last_payout: Option<NaiveDate>,
    /// The earliest day on which money held should have been released.
    pub held_until: Option<NaiveDate>,
}

/// Parts of what was paid ahead that are used up and not yet a cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UsedUp {
    /// The day of the oldest.
    pub since: NaiveDate,
    /// Through which day they were counted.
    pub through: NaiveDate,
    /// How much they come to.
    pub amount: Money,
    /// Of which things.
    pub names: Vec<String>,
}

impl UsedUp {
    /// What has fallen due, added up; nothing when nothing has.
    #[must_use]
    pub fn of(due: &[DueRelease], through: NaiveDate) -> Option<Self> {
        let since = due.iter().map(|one| one.date).min()?;
        let mut names: Vec<String> = due.iter().map(|one| one.spread.name.clone()).collect();
        names.sort();
        names.dedup();
        Some(Self {
            since,
            through,
            amount: due.iter().map(|one| one.amount).sum(),
            names,
        })
    }
}

/// What of the stock wants doing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StockFound {
    /// Items of which more went than ever came.
    pub below: Vec<String>,
    /// Items at or under their reorder point, each with how many are left.
    pub low: Vec<String>,
    /// What can be sold and has not been for months, each with what it cost.
    pub slow: Vec<String>,
    /// Items that lay there at the end of a finished year and were not counted: that day, and which.
    pub uncounted: Option<(NaiveDate, Vec<String>)>,
}

/// An order that should be here and is not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateOrder {
    /// Its number in the book.
    pub id: i64,
    /// Its key.
    pub key: String,
    /// From whom.
    pub supplier: String,
    /// When it was expected.
    pub expected_on: NaiveDate,
    /// What is still to come, each with how many.
    pub to_come: Vec<String>,
}

/// A claim that is still with the supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenClaim {
    /// The number of its order in the book.
    pub order: i64,
    /// From whom.
    pub supplier: String,
    /// How much is claimed.
    pub amount: Money,
    /// Since when.
    pub since: NaiveDate,
    /// For what.
    pub what: String,
}

/// A duty that comes near or has passed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueDuty {
    /// Its number in the book.
    pub id: i64,
    /// What it is, with the period of a return.
    pub name: String,
    /// When it is or was due.
    pub due: NaiveDate,
    /// From which day it is announced.
    pub since: NaiveDate,
    /// What there is to know; may be empty.
    pub note: String,
}

/// What of the orders wants doing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrdersFound {
    /// Orders that should be here.
    pub late: Vec<LateOrder>,
    /// Claims that are still open.
    pub claims: Vec<OpenClaim>,
}

/// Everything that was found and may want doing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// Recurring purchases, due or not.
    pub recurring: Vec<DuePurchase>,
    /// Wear that could be written down: through which day, how much, of which pieces.
    pub depreciation: Option<(NaiveDate, Money, Vec<String>)>,
    /// Parts of what was paid ahead that are used up: since when, through which day, how much, of which things.
    pub paid_ahead: Option<UsedUp>,
    /// Entries whose receipt is missing.
    pub receipts_missing: Vec<(EntryNumber, NaiveDate)>,
    /// Entries that lack a purpose.
    pub purpose_missing: Vec<(EntryNumber, NaiveDate)>,
    /// What should move to the set-aside account and by when.
    pub set_aside: Option<(Money, NaiveDate)>,
    /// What the channels owe.
    pub channels: Vec<ChannelDue>,
    /// Things that starting needs, planned up to this month and not bought: the first month and their names.
    pub plan_due: Option<(Month, Vec<String>)>,
    /// What of the orders wants doing.
    pub orders: OrdersFound,
    /// Forms kept for later: number in the book and name.
    pub drafts: Vec<(i64, String)>,
    /// What of the stock wants doing.
    pub stock: StockFound,
    /// How many statement lines are to be sorted, and the day of the oldest.
    pub lines_to_sort: Option<(usize, NaiveDate)>,
    /// Sheets that no longer hold: number in the book, account, day and what changed.
    pub broken: Vec<(i64, String, NaiveDate, String)>,
    /// Duties that come near or have passed.
    pub duties: Vec<DueDuty>,
    /// How far the questions for the accountant are.
    pub questions: Standing,
    /// A finished financial year that is not closed, and its range.
    pub year_to_close: Option<(i32, DateRange)>,
}

/// After so many days without a payout a channel that owes is mentioned.
const LATE_AFTER_DAYS: i64 = 35;

/// The list, what is dated first before what can wait.
#[must_use]
pub fn needs(found: &Found, today: NaiveDate, currency: &Currency) -> Vec<Need> {
    let mut open = Vec::new();
    open.extend(
        found
            .recurring
            .iter()
            .filter_map(|due| recurring(due, today, currency)),
    );
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
                note: list(pieces),
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
        note: list(&used.names),
        count: 1,
        since: Some(used.since),
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
    open.extend(dated(
        &found.receipts_missing,
        NeedKind::ReceiptsMissing,
        ("1 receipt still to find", "receipts still to find"),
    ));
    open.extend(dated(
        &found.purpose_missing,
        NeedKind::PurposeMissing,
        (
            "1 purchase without its purpose",
            "purchases without their purpose",
        ),
    ));
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
    open.extend(
        found
            .channels
            .iter()
            .filter_map(|channel| late(channel, today, currency)),
    );
    open.extend(found.plan_due.as_ref().map(|(since, names)| Need {
        kind: NeedKind::PlanDue,
        what: match names.len() {
            1 => "1 planned thing to buy".to_owned(),
            count => format!("{count} planned things to buy"),
        },
        note: list(names),
        count: names.len(),
        since: Some(since.first_day()),
    }));
    open.extend(orders(&found.orders, today, currency));
    open.extend(found.drafts.iter().map(|(id, name)| Need {
        kind: NeedKind::Draft(*id),
        what: format!("Kept for later: {name}"),
        note: "not written down yet".to_owned(),
        count: 1,
        since: None,
    }));
    open.extend(stock(&found.stock));
    open.extend(found.duties.iter().map(|duty| duty_near(duty, today)));
    open.extend(questions(found.questions));
    open.extend(found.year_to_close.map(|(year, range)| Need {
        kind: NeedKind::YearToClose(year),
        what: format!("The year to {} can be closed", show_day(range.to)),
        note: "its checklist is in Year end".to_owned(),
        count: 1,
        since: Some(range.to),
    }));
    open
}

fn orders(found: &OrdersFound, today: NaiveDate, currency: &Currency) -> Vec<Need> {
    let late = found.late.iter().map(|order| Need {
        kind: NeedKind::OrderLate(order.id),
        what: format!(
            "Ordered, not here yet: order {} from {}",
            order.key, order.supplier
        ),
        note: format!(
            "expected {}, {} ago; still to come: {}",
            show_day(order.expected_on),
            days((today - order.expected_on).num_days()),
            list(&order.to_come)
        ),
        count: 1,
        since: Some(order.expected_on),
    });
    let claims = found.claims.iter().map(|claim| Need {
        kind: NeedKind::ClaimOpen(claim.order),
        what: format!(
            "{} claimed from {}, {}",
            currency.show(claim.amount),
            claim.supplier,
            open_words((today - claim.since).num_days())
        ),
        note: claim.what.clone(),
        count: 1,
        since: Some(claim.since),
    });
    late.chain(claims).collect()
}

fn stock(found: &StockFound) -> Vec<Need> {
    let mut open = Vec::new();
    let items = |count: usize| match count {
        1 => "1 item".to_owned(),
        count => format!("{count} items"),
    };
    if !found.below.is_empty() {
        open.push(Need {
            kind: NeedKind::StockBelow,
            what: format!("More went than ever came of {}", items(found.below.len())),
            note: format!(
                "{}: write down what came or was made, or count",
                list(&found.below)
            ),
            count: found.below.len(),
            since: None,
        });
    }
    if !found.low.is_empty() {
        let (verb, count) = (
            if found.low.len() == 1 { "runs" } else { "run" },
            found.low.len(),
        );
        open.push(Need {
            kind: NeedKind::StockLow,
            what: format!("{} {verb} low", items(count)),
            note: list(&found.low),
            count,
            since: None,
        });
    }
    if !found.slow.is_empty() {
        let (verb, count) = (
            if found.slow.len() == 1 { "has" } else { "have" },
            found.slow.len(),
        );
        open.push(Need {
            kind: NeedKind::StockSlow,
            what: format!("{} {verb} not sold for months", items(count)),
            note: format!(
                "{}: offer, show or bundle it, or make less of it",
                list(&found.slow)
            ),
            count,
            since: None,
        });
    }
    if let Some((day, names)) = &found.uncounted {
        open.push(Need {
            kind: NeedKind::StockUncounted(*day),
            what: format!(
                "{} not counted at the end of {}",
                items(names.len()),
                show_day(*day)
            ),
            note: list(names),
            count: names.len(),
            since: Some(*day),
        });
    }
    open
}

fn duty_near(duty: &DueDuty, today: NaiveDate) -> Need {
    let day = show_day(duty.due);
    Need {
        kind: NeedKind::DutyNear(duty.id),
        what: match duty.due.cmp(&today) {
            std::cmp::Ordering::Less => format!("{}, was due on {day}", duty.name),
            std::cmp::Ordering::Equal => format!("{}, due today", duty.name),
            std::cmp::Ordering::Greater => format!("{}, due on {day}", duty.name),
        },
        note: duty.note.clone(),
        count: 1,
        since: Some(duty.since),
    }
}

fn questions(standing: Standing) -> Vec<Need> {
    let mut list = Vec::new();
    if let (count @ 1.., Some(oldest)) = standing.to_apply {
        list.push(Need {
            kind: NeedKind::AnswersToApply,
            what: match count {
                1 => "1 answer of your accountant to apply".to_owned(),
                count => format!("{count} answers of your accountant to apply"),
            },
            note: format!("answered since {}", show_day(oldest)),
            count,
            since: Some(oldest),
        });
    }
    if let (count @ 1.., Some(oldest)) = standing.open {
        list.push(Need {
            kind: NeedKind::QuestionsOpen,
            what: match count {
                1 => "1 question for your accountant".to_owned(),
                count => format!("{count} questions for your accountant"),
            },
            note: format!(
                "oldest {}; they go with the year-end folder as a sheet to fill in",
                show_day(oldest)
            ),
            count,
            since: Some(oldest),
        });
    }
    list
}

fn recurring(due: &DuePurchase, today: NaiveDate, currency: &Currency) -> Option<Need> {
    (due.due <= today).then(|| {
        let when = if due.due == today {
            "due today".to_owned()
        } else {
            format!("due since {}", show_day(due.due))
        };
        Need {
            kind: NeedKind::RecurringDue(due.id),
            what: format!("{}, {}, {when}", due.name, currency.show(due.amount)),
            note: "written down only when you confirm it".to_owned(),
            count: 1,
            since: Some(due.due),
        }
    })
}

fn late(channel: &ChannelDue, today: NaiveDate, currency: &Currency) -> Option<Need> {
    if let Some(until) = channel.held_until.filter(|until| *until < today) {
        return Some(Need {
            kind: NeedKind::HoldOver(channel.channel),
            what: format!("{} held money until {}", channel.name, show_day(until)),
            note: "has it come? Release it or give a new day".to_owned(),
            count: 1,
            since: Some(until),
        });
    }
    let since = channel.last_payout?;
    let is_late = channel.due.is_positive() && (today - since).num_days() > LATE_AFTER_DAYS;
    is_late.then(|| Need {
        kind: NeedKind::PayoutLate(channel.channel),
        what: format!("{} owes you {}", channel.name, currency.show(channel.due)),
        note: format!("no payout since {}", show_day(since)),
        count: 1,
        since: Some(since),
    })
}

fn dated(
    entries: &[(EntryNumber, NaiveDate)],
    kind: NeedKind,
    (one, many): (&str, &str),
) -> Option<Need> {
    let oldest = entries.iter().map(|(_number, date)| *date).min()?;
    let what = if entries.len() == 1 {
        one.to_owned()
    } else {
        format!("{} {many}", entries.len())
    };
    Some(Need {
        kind,
        what,
        note: format!("oldest {}", show_day(oldest)),
        count: entries.len(),
        since: Some(oldest),
    })
}

fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [a, b, c, rest @ ..] if !rest.is_empty() => {
            format!("{a}, {b}, {c} and {} more", rest.len())
        }
        names => names.join(", "),
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
                "Ink plan, 11.40, due today",
                "Wear of equipment up to the end of September, 9.25",
                "2 receipts still to find",
            ]
        );
        assert_eq!(open[2].since, Some(day("2026-09-11")));
    }
}
