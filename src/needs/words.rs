//! What wants doing in plain words: one line that says it, one that explains it.
//! Nothing here scolds, and nothing counts days down.

use chrono::NaiveDate;

use super::found::{ChannelDue, DueDuty, DueMatter, DuePurchase, OrdersFound, StockFound, ToAgree};
use super::{Need, NeedKind};
use crate::dates::show_day;
use crate::desk::Standing;
use crate::ledger::EntryNumber;
use crate::matters::MatterKind;
use crate::money::Currency;
use crate::ordering::{days, open_words};

/// After so many days without a payout a channel that owes is mentioned.
const LATE_AFTER_DAYS: i64 = 35;

/// So many days after a purchase a shop surely still has its receipt. Common practice, no source.
const FRESH_FOR_DAYS: i64 = 60;

pub(super) fn orders(found: &OrdersFound, today: NaiveDate, currency: &Currency) -> Vec<Need> {
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
            list_of(&order.to_come)
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

pub(super) fn stock(found: &StockFound) -> Vec<Need> {
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
                list_of(&found.below)
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
            note: list_of(&found.low),
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
                list_of(&found.slow)
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
            note: list_of(names),
            count: names.len(),
            since: Some(*day),
        });
    }
    open
}

pub(super) fn duty_near(duty: &DueDuty, today: NaiveDate) -> Need {
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

/// A day that has come, said as what can be done about it.
pub(super) fn matter(due: &DueMatter, currency: &Currency) -> Need {
    let key = &due.key;
    let with = match due.party.as_str() {
        party if party.is_empty() || party == key => String::new(),
        party => format!(", {party}"),
    };
    let left = currency.show(due.left);
    let (what, note) = match due.kind {
        MatterKind::Invoice => (
            format!("{left} of invoice {key}{with} is not there yet"),
            "a friendly word often does it",
        ),
        MatterKind::Deposit => (
            format!("Order {key} was wanted by now"),
            "its deposit is held until you hand it over",
        ),
        MatterKind::Voucher => (
            format!("Voucher {key} has come to its last day, {left} unused"),
            "what becomes of it depends on where you are",
        ),
        MatterKind::Commission => (
            format!("Ask {key} what it has sold"),
            "its next statement should be there",
        ),
        MatterKind::Dispute => (
            format!("Answer the dispute about {key}"),
            "until it is decided its money is away",
        ),
        MatterKind::Claim => (
            format!("Look how claim {key}{with} stands"),
            "nothing is posted until it is paid",
        ),
        MatterKind::Loan => (
            format!("An instalment of loan {key}"),
            "a part pays it back, the rest is interest",
        ),
        kind => (format!("{}: {key}", kind.plain()), ""),
    };
    Need {
        kind: NeedKind::MatterDue(due.kind),
        what,
        note: format!("{}; {note}", show_day(due.due)),
        count: 1,
        since: Some(due.due),
    }
}

/// Trips count when they are written down near the time: once a week is asked for them, where any ever was.
pub(super) fn trips(told_to: NaiveDate, today: NaiveDate) -> Option<Need> {
    let days = (today - told_to).num_days();
    (days > 7).then(|| Need {
        kind: NeedKind::TripsToWrite,
        what: "Did you drive for the business?".to_owned(),
        note: format!(
            "told up to {}; a log counts when it is kept in the week",
            show_day(told_to)
        ),
        count: 1,
        since: Some(told_to),
    })
}

pub(super) fn questions(standing: Standing) -> Vec<Need> {
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

pub(super) fn recurring(due: &DuePurchase, today: NaiveDate, currency: &Currency) -> Option<Need> {
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

pub(super) fn late(channel: &ChannelDue, today: NaiveDate, currency: &Currency) -> Option<Need> {
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

/// Receipts that are still to be found: those the shop surely still has, and older ones for which something may have to
/// stand in.
pub(super) fn receipts(missing: &[(EntryNumber, NaiveDate)], today: NaiveDate) -> Vec<Need> {
    let (fresh, old): (Vec<_>, Vec<_>) = missing
        .iter()
        .copied()
        .partition(|(_number, date)| (today - *date).num_days() <= FRESH_FOR_DAYS);
    let fresh = dated(
        &fresh,
        NeedKind::ReceiptsMissing,
        ("1 receipt still to find", "receipts still to find"),
        "they can still be had: ask now, or look in your mail",
    );
    let old = dated(
        &old,
        NeedKind::ReceiptsOld,
        (
            "1 older receipt still to find",
            "older receipts still to find",
        ),
        "where one is gone, say what stands in for it",
    );
    fresh.into_iter().chain(old).collect()
}

/// Purchases that do not say what they were for.
pub(super) fn purposes(missing: &[(EntryNumber, NaiveDate)]) -> Option<Need> {
    dated(
        missing,
        NeedKind::PurposeMissing,
        (
            "1 purchase without its purpose",
            "purchases without their purpose",
        ),
        "a line each, while you remember",
    )
}

/// Accounts that want to be held against their statements.
pub(super) fn to_agree(found: &ToAgree) -> Vec<Need> {
    let again = found.again.iter().map(|(account, name, last)| Need {
        kind: NeedKind::ToAgree(*account),
        what: format!("Hold {name} against its statement"),
        note: format!("it last agreed on {}, and has moved since", show_day(*last)),
        count: 1,
        since: Some(*last),
    });
    let mut list: Vec<Need> = again.collect();
    let names: Vec<String> = found.never.iter().map(|(_id, name)| name.clone()).collect();
    if let [(account, name), rest @ ..] = found.never.as_slice() {
        list.push(Need {
            kind: NeedKind::NeverAgreed(rest.is_empty().then_some(*account)),
            what: if rest.is_empty() {
                format!("Hold {name} against its statement for the first time")
            } else {
                format!("Hold {} accounts against their statements", names.len())
            },
            note: if rest.is_empty() {
                "ticking them together finds what is missing".to_owned()
            } else {
                format!("never done yet: {}", list_of(&names))
            },
            count: names.len(),
            since: None,
        });
    }
    list
}

fn dated(
    entries: &[(EntryNumber, NaiveDate)],
    kind: NeedKind,
    (one, many): (&str, &str),
    hint: &str,
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
        note: format!("oldest {}; {hint}", show_day(oldest)),
        count: entries.len(),
        since: Some(oldest),
    })
}

pub(super) fn list_of(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [a, b, c, rest @ ..] if !rest.is_empty() => {
            format!("{a}, {b}, {c} and {} more", rest.len())
        }
        names => names.join(", "),
    }
}
