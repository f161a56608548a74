//! Deposits: money taken for a piece that is still to be made, until it is handed over.
//! Vouchers, for pieces nobody has chosen yet, are `vouchers`.

use super::ask::{day, may, needed, note};
use super::parts::{recorded, sold_lines, total_of};
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{MatterKind, Step, StepKind};

pub(super) const CAUTION: &str = "On the cash basis a deposit may count for tax in the year it is received, and sales tax on it may be due \
    at once. Confirm with local rules and a licensed professional.";

pub(super) const ALL: &[&Occasion] = &[&TAKEN, &DELIVERED, &BACK];

const TAKEN: Occasion = Occasion {
    key: "deposit-taken",
    sheet: "deposits",
    word: "taken",
    title: "For which order did you take a deposit?",
    second: "It is held until the piece is handed over (customer deposit); it is no sale yet.",
    asks: &[
        needed("order", "Your number of the order", AskKind::Words)
            .hint("no customer\u{2019}s name"),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("paid_into", "Paid into", AskKind::Account(Accounts::Takes)).start(Start::Bank),
        needed("about", "What is to be made", AskKind::Words),
        may("price", "Agreed price in all", AskKind::Amount),
        may("ready", "Wanted by", AskKind::Day),
    ],
    caution: CAUTION,
    tell: taken,
};

fn taken(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.words("order");
    let amount = read.amount("amount");
    let date = read.day("date");
    let into = read.account("paid_into");
    let about = read.words("about");
    let price = read.amount_or_none("price");
    let ready = read.any_day("ready");
    let held = read.role(Role::CustomerDeposits)?;
    let (key, amount, date, into, about, price) = (key?, amount?, date?, into?, about?, price?);
    let before = read.known.matters.find(MatterKind::Deposit, &key);
    let is_done = before.is_some_and(|order| order.last(StepKind::Delivered).is_some());
    if is_done {
        read.refuse("order", format!("order {key} was handed over already"));
        return None;
    }
    let so_far = before
        .map(crate::matters::Matter::balance)
        .unwrap_or_default()
        + amount;
    if price.is_positive() && so_far > price {
        let price = read.known.show(price);
        read.refuse(
            "amount",
            format!("with it more is paid than the price of {price}"),
        );
        return None;
    }
    let header = EntryHeader::new(date, EntryKind::Held)
        .memo(format!("Deposit on order {key}: {about}"))
        .reference(&key);
    let lines = vec![Line::debit(into, amount), Line::credit(held, amount)];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(date, MatterKind::Deposit, &key, StepKind::Taken, amount);
    step.due = ready;
    step.about = about;
    let shown = read.known.show(so_far);
    let rest = if price.is_positive() {
        format!(" {} is still to come.", read.known.show(price - so_far))
    } else {
        String::new()
    };
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{shown} is held for order {key} and becomes a sale when the piece is handed over.{rest}"
        ),
    ))
}

const DELIVERED: Occasion = Occasion {
    key: "deposit-delivered",
    sheet: "deposits",
    word: "delivered",
    title: "Which order with a deposit is handed over?",
    second: "Now it is a sale: the deposit is a part of the price, the rest is paid or owed (revenue earned).",
    asks: &[
        needed(
            "order",
            "Your number of the order",
            AskKind::Matter(MatterKind::Deposit),
        ),
        needed("price", "Price in all", AskKind::Amount).hint("without postage and tax"),
        day(),
        may("sold", "What was sold", AskKind::PricedPieces),
        may("postage", "Postage charged", AskKind::Amount),
        may("tax_ours", "Sales tax on top", AskKind::Amount).hint("that you pay over"),
        may(
            "rest_into",
            "The rest is paid into",
            AskKind::Account(Accounts::TakesOrOwed),
        )
        .start(Start::Bank),
        note(),
    ],
    caution: CAUTION,
    tell: delivered,
};

fn delivered(read: &mut Reading<'_>) -> Option<Told> {
    let order = read.matter("order", MatterKind::Deposit);
    let price = read.amount("price");
    let date = read.day("date");
    let goods = read.priced("sold");
    let postage = read.amount_or_none("postage");
    let tax = read.amount_or_none("tax_ours");
    let rest_into = read.account("rest_into");
    let held = read.role(Role::CustomerDeposits)?;
    let (charged, sales_tax) = (read.role(Role::PostageCharged)?, read.role(Role::SalesTax)?);
    let order = order?;
    let date = read.not_before("date", date?, order.began_on());
    let (price, date, goods, postage, tax) = (price?, date?, goods?, postage?, tax?);
    let deposit = order.balance();
    if !deposit.is_positive() {
        read.refuse(
            "order",
            format!("nothing is held for order {} any more", order.key),
        );
        return None;
    }
    let total = price + postage + tax;
    if deposit > total {
        let (deposit, total) = (read.known.show(deposit), read.known.show(total));
        read.refuse(
            "price",
            format!(
                "the deposit of {deposit} is more than {total}; give the difference back first"
            ),
        );
        return None;
    }
    if !goods.is_empty() && total_of(&goods) != price {
        let (came, price) = (read.known.show(total_of(&goods)), read.known.show(price));
        read.refuse(
            "sold",
            format!("the pieces come to {came}, the price is {price}"),
        );
        return None;
    }
    let rest = total - deposit;
    if rest.is_positive() && rest_into.is_none() {
        read.refuse("rest_into", "say where the rest is paid into");
        return None;
    }
    let about = order.about().to_owned();
    let mut lines = vec![Line::debit(held, deposit).memo("deposit")];
    lines.extend(rest_into.map(|into| Line::debit(into, rest)));
    lines.extend(sold_lines(read, &goods, price, &about)?);
    lines.push(Line::credit(charged, postage).memo("postage charged"));
    lines.push(Line::credit(sales_tax, tax).memo("sales tax"));
    let header = EntryHeader::new(date, EntryKind::Sale)
        .memo(format!("Order {}: {about}", order.key))
        .reference(&order.key)
        .document(&order.key);
    let recording = recorded(read, header, lines)?;
    let step = Step::new(
        date,
        MatterKind::Deposit,
        &order.key,
        StepKind::Delivered,
        deposit,
    );
    let (deposit, rest, total) = (
        read.known.show(deposit),
        read.known.show(rest),
        read.known.show(total),
    );
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "A sale of {total}: {deposit} was held for it, {rest} comes now. Nothing is counted twice."
        ),
    ))
}

const BACK: Occasion = Occasion {
    key: "deposit-back",
    sheet: "deposits",
    word: "back",
    title: "Which deposit did you give back?",
    second: "The order is not made, or a part of its deposit goes back (customer deposit returned).",
    asks: &[
        needed(
            "order",
            "Your number of the order",
            AskKind::Matter(MatterKind::Deposit),
        ),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed(
            "paid_from",
            "Paid back from",
            AskKind::Account(Accounts::Takes),
        )
        .start(Start::Bank),
        note(),
    ],
    caution: "",
    tell: back,
};

fn back(read: &mut Reading<'_>) -> Option<Told> {
    let order = read.matter("order", MatterKind::Deposit);
    let amount = read.amount("amount");
    let date = read.day("date");
    let from = read.account("paid_from");
    let held = read.role(Role::CustomerDeposits)?;
    let order = order?;
    let date = read.not_before("date", date?, order.began_on());
    let words = format!("this is more than is held for order {}", order.key);
    let amount = read.at_most("amount", amount?, order.balance(), &words);
    let (amount, date, from) = (amount?, date?, from?);
    let header = EntryHeader::new(date, EntryKind::Held)
        .memo(format!("Deposit on order {} given back", order.key))
        .reference(&order.key);
    let lines = vec![Line::debit(held, amount), Line::credit(from, amount)];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(
        date,
        MatterKind::Deposit,
        &order.key,
        StepKind::GivenBack,
        amount,
    );
    step.about = read.text("note").to_owned();
    let (gone, left) = (
        read.known.show(amount),
        read.known.show(order.balance() - amount),
    );
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{gone} went back; {left} is still held for order {}.",
            order.key
        ),
    ))
}
