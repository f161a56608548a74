//! Pieces on commission: they lie at a shop, stay hers, and are sold when the shop says so.
//! A shop that buys to sell on is `invoices`.

use rust_decimal::Decimal;

use super::ask::{day, may, needed, note};
use super::parts::{
    at_most_there, carried, in_words, movement, pieces_of, recorded, sold_lines, total_of,
};
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::dates::add_months;
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{Matter, MatterKind, Pieces, Step, StepKind};
use crate::money::{Money, Percent};
use crate::stock::MovementKind;

/// What the maker keeps of the price, unless she says otherwise: common practice, no source.
const KEEPS: &str = "60";

pub(super) const CAUTION: &str = "Whether a sale on commission counts at the full price or at what you receive is read in both ways; keep to one and \
        ask your accountant. Who owes the sales tax depends on where the shop is.";

pub(super) const ALL: &[&Occasion] = &[&SENT, &SOLD, &BACK, &MISSING];

const SENT: Occasion = Occasion {
    key: "commission-sent",
    sheet: "commission",
    word: "sent",
    title: "What did you give a shop on commission?",
    second: "The pieces stay yours until they are sold (consignment), so nothing is posted; the book knows where they lie.",
    asks: &[
        needed("place", "Which shop", AskKind::Words),
        day(),
        needed("pieces", "What you gave it", AskKind::Pieces),
        may("keep_percent", "You keep, in per cent", AskKind::Percent)
            .start(Start::Words(KEEPS))
            .hint("60 is usual"),
        may(
            "statement_months",
            "It tells you every so many months",
            AskKind::Count,
        )
        .start(Start::Words("1")),
        note(),
    ],
    caution: "",
    tell: sent,
};

fn kept_items(
    read: &mut Reading<'_>,
    key: &'static str,
    pieces: Vec<Pieces>,
) -> Option<Vec<Pieces>> {
    for one in &pieces {
        if read.known.item(&one.item).is_none() {
            read.refuse(
                key,
                format!("'{}' is a set; name the pieces in it", one.item),
            );
            return None;
        }
    }
    Some(pieces)
}

fn sent(read: &mut Reading<'_>) -> Option<Told> {
    let place = read.words("place");
    let date = read.day("date");
    let pieces = read.pieces("pieces");
    let keeps = read.percent_or("keep_percent", KEEPS);
    let months = read.count_or("statement_months", (1, 24), 1);
    let (place, date, pieces, keeps, months) = (place?, date?, pieces?, keeps?, months?);
    let pieces = kept_items(read, "pieces", pieces)?;
    let place = read
        .known
        .matters
        .find(MatterKind::Commission, &place)
        .map_or(place, |known| known.key.clone());
    let words = in_words(&pieces);
    let header = EntryHeader::new(date, EntryKind::StockOut)
        .party(&place)
        .memo(format!("Given on commission: {words}"));
    let movements = pieces
        .iter()
        .map(|one| carried(date, one, "", &place))
        .collect();
    let mut step = Step::new(
        date,
        MatterKind::Commission,
        &place,
        StepKind::Sent,
        Money::ZERO,
    );
    step.party.clone_from(&place);
    step.due = Some(next_statement(date, months));
    step.pieces = pieces;
    step.about = read.text("note").to_owned();
    Some(Told::stock(
        header,
        Vec::new(),
        movements,
        vec![step],
        format!(
            "{words} lie at {place} now and are still yours. When they are sold you keep {keeps} % of the price."
        ),
    ))
}

fn next_statement(date: chrono::NaiveDate, months: u32) -> chrono::NaiveDate {
    add_months(date, i32::try_from(months).unwrap_or(1))
}

const SOLD: Occasion = Occasion {
    key: "commission-sold",
    sheet: "commission",
    word: "sold",
    title: "What did the shop sell for you?",
    second: "A sale at its full price, with the shop\u{2019}s share as a cost (consignment sale and commission).",
    asks: &[
        needed(
            "place",
            "Which shop",
            AskKind::Matter(MatterKind::Commission),
        ),
        day(),
        needed("sold", "What it sold", AskKind::PricedPieces).hint("at the shop\u{2019}s price"),
        may("commission", "Its share", AskKind::Amount).hint("by the agreement"),
        needed(
            "paid_into",
            "Paid into",
            AskKind::Account(Accounts::TakesOrOwed),
        )
        .start(Start::Bank),
        may("tax_ours", "Sales tax on top", AskKind::Amount).hint("that you pay over"),
        may(
            "reading",
            "How the sale is counted",
            AskKind::Choice(&[
                ("full", "full price, the share as a cost"),
                ("net", "only what you get"),
            ]),
        )
        .start(Start::Words("full")),
        note(),
    ],
    caution: CAUTION,
    tell: sold,
};

fn keeps(place: &Matter) -> Percent {
    place
        .last(StepKind::Sent)
        .and_then(|step| step.answer("keep_percent").parse().ok())
        .unwrap_or_else(|| KEEPS.parse().unwrap_or(Percent::WHOLE))
}

fn months(place: &Matter) -> u32 {
    place
        .last(StepKind::Sent)
        .and_then(|step| step.answer("statement_months").parse().ok())
        .unwrap_or(1)
}

fn sold(read: &mut Reading<'_>) -> Option<Told> {
    let place = read.matter("place", MatterKind::Commission);
    let date = read.day("date");
    let goods = read.priced("sold");
    let into = read.account("paid_into");
    let tax = read.amount_or_none("tax_ours");
    let reading = read.choice("reading");
    let commission = read.amount_or_none("commission");
    let (cost, sales_tax) = (read.role(Role::Commission)?, read.role(Role::SalesTax)?);
    let place = place?;
    let date = read.not_before("date", date?, place.began_on());
    let (date, goods, into) = (date?, goods?, into?);
    let (tax, reading, commission) = (tax?, reading?, commission?);
    let pieces = kept_items(read, "sold", pieces_of(&goods))?;
    at_most_there(read, "sold", &pieces, &place.pieces_left(), &place.key)?;
    let full = total_of(&goods);
    let commission = if read.has("commission") {
        commission
    } else {
        let share = Decimal::ONE_HUNDRED - keeps(place).percent();
        full.times(share / Decimal::ONE_HUNDRED)
    };
    read.at_most(
        "commission",
        commission,
        full,
        "this is more than the price",
    )?;
    let is_net = reading == "net";
    let counted = if is_net { full - commission } else { full };
    let mut lines = vec![Line::debit(into, full - commission + tax)];
    if !is_net {
        lines.push(Line::debit(cost, commission).memo(format!("share of {}", place.key)));
    }
    lines.extend(sold_lines(read, &goods, counted, "")?);
    lines.push(Line::credit(sales_tax, tax).memo("sales tax"));
    let header = EntryHeader::new(date, EntryKind::Sale)
        .party(&place.key)
        .memo(format!("Sold on commission: {}", in_words(&pieces)));
    let mut recording = recorded(read, header, lines)?;
    recording.movements = pieces
        .iter()
        .map(|one| movement(date, one, MovementKind::Sell, &place.key))
        .collect();
    let mut step = Step::new(
        date,
        MatterKind::Commission,
        &place.key,
        StepKind::Sold,
        full,
    );
    step.due = Some(next_statement(date, months(place)));
    step.pieces = pieces;
    step.about = read.text("note").to_owned();
    let (shown, share, kept) = (
        read.known.show(full),
        read.known.show(commission),
        read.known.show(full - commission + tax),
    );
    let words = if is_net {
        format!(
            "{} sold for {shown} and kept {share}. Counted at what you get, {kept}; the full price is kept in the step.",
            place.key
        )
    } else {
        format!(
            "A sale of {shown}. {} keeps {share} as its share, you get {kept}.",
            place.key
        )
    };
    Some(Told::entry(recording, vec![step], words))
}

const BACK: Occasion = Occasion {
    key: "commission-back",
    sheet: "commission",
    word: "back",
    title: "What came back from a shop?",
    second: "The pieces lie at home again (consigned goods returned); nothing is posted.",
    asks: &[
        needed(
            "place",
            "Which shop",
            AskKind::Matter(MatterKind::Commission),
        ),
        day(),
        needed("pieces", "What came back", AskKind::Pieces),
        note(),
    ],
    caution: "",
    tell: back,
};

fn back(read: &mut Reading<'_>) -> Option<Told> {
    let place = read.matter("place", MatterKind::Commission);
    let date = read.day("date");
    let pieces = read.pieces("pieces");
    let place = place?;
    let date = read.not_before("date", date?, place.began_on());
    let (date, pieces) = (date?, pieces?);
    let pieces = kept_items(read, "pieces", pieces)?;
    at_most_there(read, "pieces", &pieces, &place.pieces_left(), &place.key)?;
    let words = in_words(&pieces);
    let header = EntryHeader::new(date, EntryKind::StockOut)
        .party(&place.key)
        .memo(format!("Back from commission: {words}"));
    let movements = pieces
        .iter()
        .map(|one| carried(date, one, &place.key, ""))
        .collect();
    let mut step = Step::new(
        date,
        MatterKind::Commission,
        &place.key,
        StepKind::Back,
        Money::ZERO,
    );
    step.pieces = pieces;
    step.about = read.text("note").to_owned();
    Some(Told::stock(
        header,
        Vec::new(),
        movements,
        vec![step],
        format!("{words} lie at home again."),
    ))
}

const MISSING: Occasion = Occasion {
    key: "commission-missing",
    sheet: "commission",
    word: "missing",
    title: "What is missing at a shop?",
    second: "Lost or stolen there: a loss at cost (shrinkage); what the shop pays for it stands against that.",
    asks: &[
        needed(
            "place",
            "Which shop",
            AskKind::Matter(MatterKind::Commission),
        ),
        day(),
        needed("pieces", "What is missing", AskKind::Pieces),
        may("amount", "What the shop pays for it", AskKind::Amount),
        may(
            "paid_into",
            "Paid into",
            AskKind::Account(Accounts::TakesOrOwed),
        )
        .start(Start::Bank),
        note(),
    ],
    caution: "",
    tell: missing,
};

fn missing(read: &mut Reading<'_>) -> Option<Told> {
    let place = read.matter("place", MatterKind::Commission);
    let date = read.day("date");
    let pieces = read.pieces("pieces");
    let amount = read.amount_or_none("amount");
    let into = read.account("paid_into");
    let claims = read.role(Role::ClaimsReceived)?;
    let place = place?;
    let date = read.not_before("date", date?, place.began_on());
    let (date, pieces, amount) = (date?, pieces?, amount?);
    let pieces = kept_items(read, "pieces", pieces)?;
    at_most_there(read, "pieces", &pieces, &place.pieces_left(), &place.key)?;
    let mut lines = Vec::new();
    if amount.is_positive() {
        let Some(into) = into else {
            read.refuse("paid_into", "say where it was paid into");
            return None;
        };
        lines.push(Line::debit(into, amount));
        lines.push(Line::credit(claims, amount).memo("paid for missing pieces"));
    }
    let words = in_words(&pieces);
    let header = EntryHeader::new(date, EntryKind::StockOut)
        .party(&place.key)
        .memo(format!("Missing at {}: {words}", place.key));
    let movements = pieces
        .iter()
        .map(|one| movement(date, one, MovementKind::Waste, &place.key))
        .collect();
    let mut step = Step::new(
        date,
        MatterKind::Commission,
        &place.key,
        StepKind::Missing,
        amount,
    );
    step.pieces = pieces;
    step.about = read.text("note").to_owned();
    Some(Told::stock(
        header,
        lines,
        movements,
        vec![step],
        format!("{words} are a loss at what they cost you."),
    ))
}
