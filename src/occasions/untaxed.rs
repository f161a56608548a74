//! Things bought without sales tax to be sold on, and what of them was used otherwise: use tax is owed on that.
//! Sales tax on what she sells is a matter of each sale.

use rust_decimal::Decimal;

use super::ask::{day, may, needed, note};
use super::parts::recorded;
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::happenings::{Happening, Purchase, PurchaseDetails, PurchaseLine};
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{MatterKind, Step, StepKind};

pub(super) const CAUTION: &str = "A resale certificate is only for what is sold on or becomes a part of it. What tax is due on the rest, and \
    when, depends on where you are. Confirm with local rules and a licensed professional.";

pub(super) const ALL: &[&Occasion] = &[&BOUGHT, &USED];

const BOUGHT: Occasion = Occasion {
    key: "bought-untaxed",
    sheet: "untaxed",
    word: "bought",
    title: "What did you buy without sales tax?",
    second: "Bought to be sold on, with your resale certificate; kept on a list, for what is used otherwise owes use tax.",
    asks: &[
        needed("purchase", "Number on the paper", AskKind::Words),
        needed("supplier", "From whom", AskKind::Words),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("about", "What", AskKind::Words),
        needed(
            "account",
            "What kind of thing it is",
            AskKind::Account(Accounts::Costs),
        )
        .start(Start::Words("materials")),
        may("pieces", "Kept in stock as", AskKind::Pieces).hint("if it is"),
        needed("paid_from", "Paid from", AskKind::Account(Accounts::Pays)).start(Start::Bank),
    ],
    caution: CAUTION,
    tell: bought,
};

fn bought(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("purchase", MatterKind::Untaxed);
    let supplier = read.words("supplier");
    let amount = read.amount("amount");
    let date = read.day("date");
    let about = read.words("about");
    let account = read.account("account");
    let pieces = read.pieces("pieces");
    let paid_from = read.payment("paid_from");
    let (key, supplier, amount, date) = (key?, supplier?, amount?, date?);
    let (about, account, pieces, paid_from) = (about?, account?, pieces?, paid_from?);
    let mut line = PurchaseLine::new(account, amount, &about);
    match pieces.as_slice() {
        [] => {}
        [one] => {
            line.item = Some(one.item.clone());
            line.quantity = Some(one.quantity);
        }
        _ => {
            read.refuse(
                "pieces",
                "one item at a time; write the others down on their own",
            );
            return None;
        }
    }
    let mut details = PurchaseDetails::new(date, &supplier, paid_from, vec![line]);
    details.reference.clone_from(&key);
    let chart = read.known.chart;
    let made = Purchase::new(details).and_then(|purchase| purchase.recording(chart));
    let recording = read.take(made)?;
    let mut step = Step::new(date, MatterKind::Untaxed, &key, StepKind::Bought, amount);
    step.party = supplier;
    step.about = about;
    step.pieces = pieces;
    Some(Told::entry(
        recording,
        vec![step],
        "No sales tax was paid. As long as it is sold on none is due; say so if you use some of it yourself.",
    ))
}

const USED: Occasion = Occasion {
    key: "untaxed-used",
    sheet: "untaxed",
    word: "used",
    title: "What of it did you use yourself?",
    second: "Bought without sales tax and not sold on: use tax is owed on its price (use tax accrued).",
    asks: &[
        needed(
            "purchase",
            "Number on the paper",
            AskKind::Matter(MatterKind::Untaxed),
        ),
        needed("amount", "What that part had cost", AskKind::Amount),
        day(),
        needed(
            "tax_percent",
            "Rate of the tax, in per cent",
            AskKind::Number,
        )
        .hint("your place\u{2019}s rate"),
        needed(
            "why",
            "What for",
            AskKind::Choice(&[
                ("business", "in the business, as a tool or sample"),
                ("own-use", "for myself"),
            ]),
        )
        .start(Start::Words("business")),
        note(),
    ],
    caution: CAUTION,
    tell: used,
};

fn used(read: &mut Reading<'_>) -> Option<Told> {
    let purchase = read.matter("purchase", MatterKind::Untaxed);
    let amount = read.amount("amount");
    let date = read.day("date");
    let rate = read.number_or_none("tax_percent");
    let why = read.choice("why");
    let owed = read.role(Role::SalesTax)?;
    let (taxes, drawings) = (read.role(Role::Taxes)?, read.role(Role::OwnerDrawings)?);
    let purchase = purchase?;
    let date = read.not_before("date", date?, purchase.began_on());
    let words = "this is more than was bought and is not used yet";
    let amount = read.at_most("amount", amount?, purchase.balance(), words);
    let (amount, date, rate, why) = (amount?, date?, rate?, why?);
    if rate.value() > Decimal::ONE_HUNDRED {
        read.refuse("tax_percent", "write the rate from 0 to 100");
        return None;
    }
    let tax = amount.times(rate.value() / Decimal::ONE_HUNDRED);
    let mut step = Step::new(
        date,
        MatterKind::Untaxed,
        &purchase.key,
        StepKind::Used,
        amount,
    );
    step.about = read.text("note").to_owned();
    if tax.is_zero() {
        return Some(Told::steps(
            vec![step],
            "No tax is owed on it at this rate; it is kept on the list.",
        ));
    }
    let against = if why == "own-use" { drawings } else { taxes };
    let header = EntryHeader::new(date, EntryKind::Adjusting)
        .party(purchase.party())
        .memo(format!(
            "Use tax on {} of {}",
            purchase.about(),
            purchase.key
        ))
        .reference(&purchase.key);
    let lines = vec![
        Line::debit(against, tax).memo("use tax"),
        Line::credit(owed, tax).memo("use tax"),
    ];
    let recording = recorded(read, header, lines)?;
    let shown = read.known.show(tax);
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{shown} of use tax joins the sales tax to pay over. Take the pieces out of the stock with \u{201C}Something was spoiled, given away or used\u{201D}."
        ),
    ))
}
