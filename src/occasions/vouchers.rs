//! Vouchers: money taken for pieces still to be chosen. Selling one is no sale; redeeming it is.
//! Deposits on a piece that is known are `deposits`.

use super::ask::{day, may, needed, note};
use super::parts::{recorded, sold_lines, total_of};
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{MatterKind, Step, StepKind};

pub(super) const CAUTION: &str = "When a voucher counts as income, when it may run out and what becomes of one that is never redeemed \
    depends on where you are. Confirm with local rules and a licensed professional.";

pub(super) const ALL: &[&Occasion] = &[&SOLD, &USED, &ENDED];

const SOLD: Occasion = Occasion {
    key: "voucher-sold",
    sheet: "vouchers",
    word: "sold",
    title: "Which voucher did you sell?",
    second: "Its money is held until it is redeemed (gift certificate liability); it is no sale yet.",
    asks: &[
        needed("voucher", "Number on the voucher", AskKind::Words).hint("a number of your own"),
        needed("amount", "What it is worth", AskKind::Amount),
        day(),
        needed("paid_into", "Paid into", AskKind::Account(Accounts::Takes)).start(Start::Bank),
        may("expires", "Runs out on", AskKind::Day).hint("if it does"),
        note(),
    ],
    caution: CAUTION,
    tell: sold,
};

fn sold(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("voucher", MatterKind::Voucher);
    let amount = read.amount("amount");
    let date = read.day("date");
    let into = read.account("paid_into");
    let expires = read.any_day("expires");
    let held = read.role(Role::CustomerDeposits)?;
    let (key, amount, date, into) = (key?, amount?, date?, into?);
    let header = EntryHeader::new(date, EntryKind::Held)
        .memo(format!("Voucher {key} sold"))
        .reference(&key);
    let lines = vec![Line::debit(into, amount), Line::credit(held, amount)];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(date, MatterKind::Voucher, &key, StepKind::Issued, amount);
    step.due = expires;
    step.about = read.text("note").to_owned();
    let shown = read.known.show(amount);
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "You have {shown} more, and owe pieces for {shown} to whoever brings voucher {key}. It becomes a sale when \
             it is redeemed."
        ),
    ))
}

const USED: Occasion = Occasion {
    key: "voucher-used",
    sheet: "vouchers",
    word: "used",
    title: "Which voucher was redeemed?",
    second: "What is redeemed becomes a sale; what is left stays on the voucher (deferred revenue earned).",
    asks: &[
        needed(
            "voucher",
            "Number on the voucher",
            AskKind::Matter(MatterKind::Voucher),
        ),
        needed("amount", "How much of it", AskKind::Amount),
        day(),
        may("sold", "What was sold", AskKind::PricedPieces),
        may("description", "Or in words", AskKind::Words).hint("what was sold"),
        may("rest", "Paid on top", AskKind::Amount),
        may(
            "rest_into",
            "Paid on top into",
            AskKind::Account(Accounts::Takes),
        )
        .start(Start::Cash),
        may("tax_ours", "Sales tax in it", AskKind::Amount).hint("that you pay over"),
    ],
    caution: CAUTION,
    tell: used,
};

fn used(read: &mut Reading<'_>) -> Option<Told> {
    let voucher = read.matter("voucher", MatterKind::Voucher);
    let amount = read.amount("amount");
    let date = read.day("date");
    let goods = read.priced("sold");
    let rest = read.amount_or_none("rest");
    let rest_into = read.account("rest_into");
    let tax = read.amount_or_none("tax_ours");
    let (held, sales_tax) = (
        read.role(Role::CustomerDeposits)?,
        read.role(Role::SalesTax)?,
    );
    let voucher = voucher?;
    let date = read.not_before("date", date?, voucher.began_on());
    let words = format!("this is more than voucher {} holds", voucher.key);
    let amount = read.at_most("amount", amount?, voucher.balance(), &words);
    let (date, amount, goods, rest, tax) = (date?, amount?, goods?, rest?, tax?);
    if rest.is_positive() && rest_into.is_none() {
        read.refuse("rest_into", "say where the rest was paid into");
        return None;
    }
    let total = amount + rest;
    if tax >= total {
        read.refuse("tax_ours", "the tax is not less than what was paid");
        return None;
    }
    let price = total - tax;
    if !goods.is_empty() && total_of(&goods) != price {
        let (came, paid) = (read.known.show(total_of(&goods)), read.known.show(price));
        read.refuse(
            "sold",
            format!("the pieces come to {came}, what was paid without tax to {paid}"),
        );
        return None;
    }
    let mut lines = vec![Line::debit(held, amount).memo(format!("voucher {}", voucher.key))];
    lines.extend(rest_into.map(|into| Line::debit(into, rest)));
    lines.extend(sold_lines(read, &goods, price, read.text("description"))?);
    lines.push(Line::credit(sales_tax, tax).memo("sales tax"));
    let header = EntryHeader::new(date, EntryKind::Sale)
        .memo(format!("Voucher {} redeemed", voucher.key))
        .reference(&voucher.key);
    let recording = recorded(read, header, lines)?;
    let step = Step::new(
        date,
        MatterKind::Voucher,
        &voucher.key,
        StepKind::Used,
        amount,
    );
    let left = read.known.show(voucher.balance() - amount);
    let price = read.known.show(price);
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "A sale of {price}. Voucher {} still holds {left}.",
            voucher.key
        ),
    ))
}

const ENDED: Occasion = Occasion {
    key: "voucher-ended",
    sheet: "vouchers",
    word: "ended",
    title: "Which voucher ended unused?",
    second: "Its money went back, or what was left of it ran out (breakage of a gift certificate).",
    asks: &[
        needed(
            "voucher",
            "Number on the voucher",
            AskKind::Matter(MatterKind::Voucher),
        ),
        day(),
        needed(
            "how",
            "What became of it",
            AskKind::Choice(&[
                ("given-back", "the money went back"),
                ("lapsed", "it ran out"),
            ]),
        )
        .start(Start::Words("given-back")),
        may(
            "paid_from",
            "Paid back from",
            AskKind::Account(Accounts::Takes),
        )
        .start(Start::Bank),
        note(),
    ],
    caution: CAUTION,
    tell: ended,
};

fn ended(read: &mut Reading<'_>) -> Option<Told> {
    let voucher = read.matter("voucher", MatterKind::Voucher);
    let date = read.day("date");
    let how = read.choice("how");
    let paid_from = read.account("paid_from");
    let (held, income) = (
        read.role(Role::CustomerDeposits)?,
        read.role(Role::OtherIncome)?,
    );
    let voucher = voucher?;
    let date = read.not_before("date", date?, voucher.began_on());
    let (date, how) = (date?, how?);
    let left = voucher.balance();
    if !left.is_positive() {
        read.refuse(
            "voucher",
            format!("nothing is left on voucher {}", voucher.key),
        );
        return None;
    }
    let (kind, against) = match (how, paid_from) {
        ("lapsed", _) => (StepKind::Lapsed, income),
        (_, Some(from)) => (StepKind::GivenBack, from),
        (_, None) => {
            read.refuse("paid_from", "say where the money went back from");
            return None;
        }
    };
    let header = EntryHeader::new(date, EntryKind::Held)
        .memo(format!(
            "Voucher {}: {}",
            voucher.key,
            kind.plain().to_lowercase()
        ))
        .reference(&voucher.key);
    let lines = vec![Line::debit(held, left), Line::credit(against, left)];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(date, MatterKind::Voucher, &voucher.key, kind, left);
    step.about = read.text("note").to_owned();
    let left = read.known.show(left);
    let words = if kind == StepKind::Lapsed {
        format!("{left} that nobody redeems any more becomes other income.")
    } else {
        format!("{left} went back; it never was a sale.")
    };
    Some(Told::entry(recording, vec![step], words))
}
