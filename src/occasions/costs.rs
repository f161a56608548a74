//! Small unusual costs and what takes them down: cash-back of a card, a repair, a year's insurance.
//! Everyday purchases are `happenings::purchase`.

use super::ask::{day, may, needed, note};
use super::parts::recorded;
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::happenings::{Happening, PaidAhead, Purchase, PurchaseDetails, PurchaseLine, Recording};
use crate::ledger::{AccountId, EntryHeader, EntryKind, Line, Role};
use crate::money::Money;

pub(super) const ALL: &[&Occasion] = &[&CASH_BACK, &REPAIR, &INSURANCE];

const CASH_BACK: Occasion = Occasion {
    key: "cash-back",
    sheet: "cash-back",
    word: "",
    title: "How much cash-back did you get?",
    second: "It makes what you bought cheaper (purchase rebate); it is not income.",
    asks: &[
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed(
            "paid_into",
            "It came to",
            AskKind::Account(Accounts::CardsAndMoney),
        )
        .start(Start::Bank),
        needed(
            "account",
            "It takes down",
            AskKind::Account(Accounts::Costs),
        )
        .start(Start::Words("other-costs")),
        needed("party", "From whom", AskKind::Words).hint("the card, the shop"),
        note(),
    ],
    caution: "",
    tell: cash_back,
};

fn cash_back(read: &mut Reading<'_>) -> Option<Told> {
    let amount = read.amount("amount");
    let date = read.day("date");
    let into = read.account("paid_into");
    let cost = read.account("account");
    let party = read.words("party");
    let (amount, date, into, cost, party) = (amount?, date?, into?, cost?, party?);
    let memo = match read.text("note") {
        "" => "Cash-back",
        words => words,
    };
    let header = EntryHeader::new(date, EntryKind::CashBack)
        .party(party)
        .memo(memo);
    let lines = vec![Line::debit(into, amount), Line::credit(cost, amount)];
    let recording = recorded(read, header, lines)?;
    let (shown, name) = (read.known.show(amount), read.known.chart.title(cost));
    Some(Told::entry(
        recording,
        Vec::new(),
        format!("{name} goes down by {shown}. It is no income."),
    ))
}

const REPAIR: Occasion = Occasion {
    key: "repair",
    sheet: "repairs",
    word: "",
    title: "What did you have repaired?",
    second: "It keeps a thing working and is a cost at once (repairs and maintenance); it does not join the register.",
    asks: &[
        needed("what", "What was repaired", AskKind::Words),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("party", "By whom", AskKind::Words),
        needed("paid_from", "Paid from", AskKind::Account(Accounts::Pays)).start(Start::Bank),
        may("reference", "Number on the paper", AskKind::Words),
    ],
    caution: "What makes a thing better than it was, or last longer, may count as new equipment for tax. Confirm with local rules \
        and a licensed professional.",
    tell: repair,
};

/// A bought service, its receipt still to be found.
fn bought(
    read: &mut Reading<'_>,
    cost: AccountId,
    amount: Money,
    what: &str,
    ahead: Option<PaidAhead>,
) -> Option<Recording> {
    let date = read.day("date");
    let party = read.words("party");
    let paid_from = read.payment("paid_from");
    let (date, party, paid_from) = (date?, party?, paid_from?);
    let mut line = PurchaseLine::new(cost, amount, what);
    line.paid_ahead = ahead;
    let mut details = PurchaseDetails::new(date, party, paid_from, vec![line]);
    read.text("reference").clone_into(&mut details.reference);
    let chart = read.known.chart;
    let made = Purchase::new(details).and_then(|purchase| purchase.recording(chart));
    read.take(made)
}

fn repair(read: &mut Reading<'_>) -> Option<Told> {
    let what = read.words("what");
    let amount = read.amount("amount");
    let cost = read.role(Role::Repairs)?;
    let (what, amount) = (what?, amount?);
    let recording = bought(read, cost, amount, &format!("Repair of {what}"), None)?;
    let shown = read.known.show(amount);
    Some(Told::entry(
        recording,
        Vec::new(),
        format!(
            "{shown} is a cost of repairs now. If it is more than half of what the thing would cost new, a new one may be the better buy."
        ),
    ))
}

const INSURANCE: Occasion = Occasion {
    key: "insurance",
    sheet: "insurance",
    word: "",
    title: "Which insurance did you pay?",
    second: "A cost (insurance premium); what covers months to come can be spread over them.",
    asks: &[
        needed("what", "What it insures", AskKind::Words).hint("stall, stock, parcels"),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("party", "To whom", AskKind::Words),
        needed("paid_from", "Paid from", AskKind::Account(Accounts::Pays)).start(Start::Bank),
        may("covers_from", "Covers from", AskKind::Day),
        may("covers_months", "Covers so many months", AskKind::Count).hint("12 for a year"),
        may("reference", "Number on the paper", AskKind::Words),
    ],
    caution: "",
    tell: insurance,
};

fn insurance(read: &mut Reading<'_>) -> Option<Told> {
    let what = read.words("what");
    let amount = read.amount("amount");
    let from = read.any_day("covers_from");
    let months = read.count_or("covers_months", (1, 120), 0);
    let day = read.any_day("date");
    let cost = read.role(Role::Insurance)?;
    let (what, amount, months, day) = (what?, amount?, months?, day?);
    let ahead = (months > 1).then(|| PaidAhead {
        from: from.unwrap_or(day),
        months,
    });
    let spread = ahead.is_some();
    let recording = bought(read, cost, amount, &format!("Insurance: {what}"), ahead)?;
    let shown = read.known.show(amount);
    let words = if spread {
        format!("{shown} is paid ahead and becomes a cost month by month, over {months} months.")
    } else {
        format!("{shown} is a cost now.")
    };
    Some(Told::entry(recording, Vec::new(), words))
}
