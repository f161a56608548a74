//! Wholesale on account: a shop orders, is sent an invoice, pays it in one or several parts, or never.
//! The paper itself is `export`'s.

use chrono::Days;
use rust_decimal::Decimal;

use super::ask::{day, may, needed, note};
use super::parts::{pieces_of, recorded, sold_lines, total_of};
use super::reading::Priced;
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::dates::show_day;
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{Matter, MatterKind, Step, StepKind};

/// Of the retail price, unless she says otherwise: common practice, no source.
const WHOLESALE_DISCOUNT: &str = "50";
/// Days until an invoice is to be paid, unless she says otherwise: common practice, no source.
const DUE_DAYS: u32 = 30;

pub(super) const ALL: &[&Occasion] = &[&ORDERED, &INVOICED, &PAID, &LET_GO];

const ORDERED: Occasion = Occasion {
    key: "shop-ordered",
    sheet: "invoices",
    word: "ordered",
    title: "What did a shop order?",
    second: "Nothing is posted until it is delivered and invoiced (wholesale order).",
    asks: &[
        needed("invoice", "Your number of the order", AskKind::Words).hint("its invoice keeps it"),
        needed("shop", "Which shop", AskKind::Words),
        day(),
        needed("sold", "What it ordered", AskKind::PricedPieces),
        may("discount_percent", "Off the retail price", AskKind::Percent)
            .start(Start::Words(WHOLESALE_DISCOUNT))
            .hint("half is usual"),
        may("wanted", "Wanted by", AskKind::Day),
        note(),
    ],
    caution: "",
    tell: ordered,
};

/// What is to be paid of a retail price at this discount.
fn of_price(read: &mut Reading<'_>) -> Option<Decimal> {
    let discount = read.percent_or("discount_percent", "0")?;
    Some((Decimal::ONE_HUNDRED - discount.percent()) / Decimal::ONE_HUNDRED)
}

fn ordered(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("invoice", MatterKind::Invoice);
    let shop = read.words("shop");
    let date = read.any_day("date");
    let of_price = of_price(read)?;
    let goods = read.priced_at("sold", of_price);
    let wanted = read.any_day("wanted");
    let (key, shop, date, goods) = (key?, shop?, date?, goods?);
    let mut step = Step::new(
        date,
        MatterKind::Invoice,
        &key,
        StepKind::Ordered,
        total_of(&goods),
    );
    step.party.clone_from(&shop);
    step.due = wanted;
    step.pieces = pieces_of(&goods);
    step.about = read.text("note").to_owned();
    let total = read.known.show(total_of(&goods));
    Some(Told::steps(
        vec![step],
        format!("{shop} has ordered for {total}. Nothing is posted until you send the invoice."),
    ))
}

const INVOICED: Occasion = Occasion {
    key: "shop-invoiced",
    sheet: "invoices",
    word: "invoiced",
    title: "Which shop did you send an invoice?",
    second: "It is a sale now, and the shop owes you the money (accounts receivable).",
    asks: &[
        needed("invoice", "Number of the invoice", AskKind::Words),
        may("shop", "Which shop", AskKind::Words).hint("as on the order"),
        day(),
        may("sold", "What you delivered", AskKind::PricedPieces).hint("as ordered"),
        may("amount", "Or what it comes to", AskKind::Amount).hint("without postage and tax"),
        may("discount_percent", "Off the retail price", AskKind::Percent)
            .start(Start::Words(WHOLESALE_DISCOUNT))
            .hint("half is usual"),
        may("postage", "Postage charged", AskKind::Amount),
        may("tax_ours", "Sales tax on top", AskKind::Amount).hint("that you pay over"),
        may("due_days", "Days to pay", AskKind::Count).start(Start::Words("30")),
        note(),
    ],
    caution: "Sales to a shop that sells on are often free of sales tax when it gives you its resale certificate. Keep the \
        certificate; confirm with local rules and a licensed professional.",
    tell: invoiced,
};

fn as_ordered(read: &Reading<'_>, order: &Matter, of_price: Decimal) -> Vec<Priced> {
    let Some(step) = order.last(StepKind::Ordered) else {
        return Vec::new();
    };
    // The order's own prices: they stand in its answers as they were agreed.
    let weights: Vec<i64> = step
        .pieces
        .iter()
        .map(|one| {
            let price = read.known.item(&one.item).and_then(|item| item.price);
            price
                .unwrap_or_default()
                .times(one.quantity.value() * of_price)
                .minor()
        })
        .collect();
    let parts = step.amount.allocate(&weights);
    let goods = step.pieces.iter().zip(parts).map(|(one, amount)| Priced {
        code: one.item.clone(),
        name: read
            .known
            .item(&one.item)
            .map_or_else(|| one.item.clone(), |item| item.name.clone()),
        quantity: one.quantity,
        amount,
    });
    goods.collect()
}

fn invoiced(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.words("invoice");
    let date = read.day("date");
    let of_price = of_price(read)?;
    let goods = read.priced_at("sold", of_price);
    let given = read.amount_or_none("amount");
    let postage = read.amount_or_none("postage");
    let tax = read.amount_or_none("tax_ours");
    let days = read.count_or("due_days", (0, 365), DUE_DAYS);
    let owed = read.role(Role::CustomersOwe)?;
    let (charged, sales_tax) = (read.role(Role::PostageCharged)?, read.role(Role::SalesTax)?);
    let (key, date, mut goods) = (key?, date?, goods?);
    let (given, postage, tax, days) = (given?, postage?, tax?, days?);
    let order = read.known.matters.find(MatterKind::Invoice, &key);
    if order.is_some_and(|order| order.last(StepKind::Invoiced).is_some()) {
        read.refuse("invoice", format!("invoice {key} was written down already"));
        return None;
    }
    if let Some(order) = order
        && goods.is_empty()
        && given.is_zero()
    {
        goods = as_ordered(read, order, of_price);
    }
    let shop = match (read.words("shop"), order) {
        (Some(shop), _) => shop,
        (None, Some(order)) => order.party().to_owned(),
        (None, None) => {
            read.refuse("shop", "say which shop");
            return None;
        }
    };
    let price = if goods.is_empty() {
        given
    } else {
        total_of(&goods)
    };
    if !goods.is_empty() && given.is_positive() && given != price {
        let price = read.known.show(price);
        read.refuse("amount", format!("the pieces come to {price}"));
        return None;
    }
    if !price.is_positive() {
        read.refuse("sold", "say what you delivered, or what it comes to");
        return None;
    }
    let total = price + postage + tax;
    let mut lines = vec![Line::debit(owed, total).memo(format!("invoice {key}"))];
    lines.extend(sold_lines(read, &goods, price, "sold to a shop")?);
    lines.push(Line::credit(charged, postage).memo("postage charged"));
    lines.push(Line::credit(sales_tax, tax).memo("sales tax"));
    let header = EntryHeader::new(date, EntryKind::Sale)
        .party(&shop)
        .memo(format!("Invoice {key}"))
        .reference(&key)
        .document(&key);
    let recording = recorded(read, header, lines)?;
    let due = date + Days::new(days.into());
    let mut step = Step::new(date, MatterKind::Invoice, &key, StepKind::Invoiced, total);
    step.party.clone_from(&shop);
    step.due = Some(due);
    step.about = read.text("note").to_owned();
    let total = read.known.show(total);
    Some(Told::entry(
        recording,
        vec![step],
        format!("A sale of {total}. {shop} owes it until {}.", show_day(due)),
    ))
}

const PAID: Occasion = Occasion {
    key: "shop-paid",
    sheet: "invoices",
    word: "paid",
    title: "Which invoice did a shop pay?",
    second: "What it owes goes down; the sale was counted with the invoice (settlement of a receivable).",
    asks: &[
        needed(
            "invoice",
            "Number of the invoice",
            AskKind::Matter(MatterKind::Invoice),
        ),
        needed("amount", "How much", AskKind::Amount).hint("a part is fine"),
        day(),
        needed("paid_into", "Paid into", AskKind::Account(Accounts::Money)).start(Start::Bank),
        note(),
    ],
    caution: "",
    tell: paid,
};

fn paid(read: &mut Reading<'_>) -> Option<Told> {
    let invoice = read.matter("invoice", MatterKind::Invoice);
    let amount = read.amount("amount");
    let date = read.day("date");
    let into = read.account("paid_into");
    let owed = read.role(Role::CustomersOwe)?;
    let invoice = invoice?;
    let began = invoice.last(StepKind::Invoiced).map(|step| step.on);
    let date = read.not_before("date", date?, began);
    let words = format!("this is more than is left of invoice {}", invoice.key);
    let amount = read.at_most("amount", amount?, invoice.balance(), &words);
    let (amount, date, into) = (amount?, date?, into?);
    let header = EntryHeader::new(date, EntryKind::Settlement)
        .party(invoice.party())
        .memo(format!("Invoice {} paid", invoice.key))
        .reference(&invoice.key);
    let lines = vec![Line::debit(into, amount), Line::credit(owed, amount)];
    let recording = recorded(read, header, lines)?;
    let step = Step::new(
        date,
        MatterKind::Invoice,
        &invoice.key,
        StepKind::Paid,
        amount,
    );
    let left = invoice.balance() - amount;
    let words = if left.is_zero() {
        format!("Invoice {} is paid.", invoice.key)
    } else {
        format!(
            "{} of invoice {} is still to come.",
            read.known.show(left),
            invoice.key
        )
    };
    Some(Told::entry(recording, vec![step], words))
}

const LET_GO: Occasion = Occasion {
    key: "invoice-let-go",
    sheet: "invoices",
    word: "let-go",
    title: "Which invoice will nobody pay any more?",
    second: "What is left of it becomes a cost (bad debt written off); the sale stays as it was.",
    asks: &[
        needed(
            "invoice",
            "Number of the invoice",
            AskKind::Matter(MatterKind::Invoice),
        ),
        day(),
        needed("note", "Why", AskKind::Words).hint("closed, three letters unanswered"),
    ],
    caution: "On the cash basis an invoice that was never paid was never income, so nothing more comes off for tax. Confirm with \
        local rules and a licensed professional.",
    tell: let_go,
};

fn let_go(read: &mut Reading<'_>) -> Option<Told> {
    let invoice = read.matter("invoice", MatterKind::Invoice);
    let date = read.day("date");
    let why = read.words("note");
    let (owed, cost) = (read.role(Role::CustomersOwe)?, read.role(Role::OtherCosts)?);
    let invoice = invoice?;
    let began = invoice.last(StepKind::Invoiced).map(|step| step.on);
    let date = read.not_before("date", date?, began);
    let (date, why) = (date?, why?);
    let left = invoice.balance();
    if !left.is_positive() {
        read.refuse(
            "invoice",
            format!("nothing is left of invoice {}", invoice.key),
        );
        return None;
    }
    let header = EntryHeader::new(date, EntryKind::Adjusting)
        .party(invoice.party())
        .memo(format!("Invoice {} will not be paid: {why}", invoice.key))
        .reference(&invoice.key);
    let lines = vec![
        Line::debit(cost, left).memo("bad debt"),
        Line::credit(owed, left),
    ];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(
        date,
        MatterKind::Invoice,
        &invoice.key,
        StepKind::LetGo,
        left,
    );
    step.about = why;
    let left = read.known.show(left);
    Some(Told::entry(
        recording,
        vec![step],
        format!("{left} becomes a cost; invoice {} is closed.", invoice.key),
    ))
}
