//! A day at a fair: what is taken along, and in the evening the box, the tally and what was paid out of it.
//! What the day earned is worked out here too, from its entry and what was joined to it.

use rust_decimal::Decimal;

use super::ask::{day, may, needed, note};
use super::parts::{
    at_most_there, carried, in_words, less, movement, pieces_of, recorded, sold_lines, total_of,
};
use super::reading::Priced;
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::happenings::tax_inside;
use crate::ledger::{AccountClass, AccountId, Chart, EntryHeader, EntryKind, Line, Role};
use crate::matters::{MatterKind, Pieces, Step, StepKind};
use crate::money::{Money, Quantity};
use crate::stock::MovementKind;

pub(super) const ALL: &[&Occasion] = &[&PLANNED, &HELD];

const PLANNED: Occasion = Occasion {
    key: "fair-planned",
    sheet: "fairs-planned",
    word: "",
    title: "Which fair do you pack for?",
    second: "The float stays your money and the pieces stay yours; nothing is sold yet.",
    asks: &[
        needed("fair", "Name of the fair", AskKind::Words).hint("with its year"),
        needed("date", "When it is", AskKind::Day).start(Start::Today),
        may("place", "Where", AskKind::Words),
        needed("float", "Float in the box", AskKind::Amount).hint("change you take along"),
        may(
            "float_from",
            "Float taken from",
            AskKind::Account(Accounts::Money),
        )
        .start(Start::Words("cash-box")),
        may("pieces", "Pieces you take along", AskKind::Pieces),
        note(),
    ],
    caution: "",
    tell: planned,
};

fn planned(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("fair", MatterKind::Fair);
    let date = read.day("date");
    let float = read.amount_or_none("float");
    let from = read.account("float_from");
    let pieces = read.pieces("pieces");
    let cash = read.role(Role::CashBox)?;
    let (key, date, float, pieces) = (key?, date?, float?, pieces?);
    let mut step = Step::new(date, MatterKind::Fair, &key, StepKind::Planned, float);
    step.party = read.text("place").to_owned();
    step.about = read.text("note").to_owned();
    step.pieces.clone_from(&pieces);
    let lines = match from {
        Some(from) if from != cash && float.is_positive() => {
            vec![Line::debit(cash, float), Line::credit(from, float)]
        }
        _ => Vec::new(),
    };
    let float = read.known.show(float);
    let words = if pieces.is_empty() {
        format!("{float} goes along as a float; it is your money before and after.")
    } else {
        format!(
            "{float} goes along as a float and is your money before and after. {} lie at {key} until you say what came back.",
            in_words(&pieces)
        )
    };
    if lines.is_empty() && pieces.is_empty() {
        return Some(Told::steps(vec![step], words));
    }
    let kind = if lines.is_empty() {
        EntryKind::StockOut
    } else {
        EntryKind::Transfer
    };
    let header = EntryHeader::new(date, kind).memo(format!("Packed for {key}"));
    let movements = pieces
        .iter()
        .map(|one| carried(date, one, "", &key))
        .collect();
    Some(Told::stock(header, lines, movements, vec![step], words))
}

const HELD: Occasion = Occasion {
    key: "fair",
    sheet: "fairs",
    word: "",
    title: "How was the fair?",
    second: "Sales = counted − float + what you paid out of the box + cards. A difference from the tally is cash over or short.",
    asks: &[
        needed("fair", "Name of the fair", AskKind::Words),
        day(),
        needed("float", "Float in the morning", AskKind::Amount),
        needed("counted", "Counted in the evening", AskKind::Amount).hint("the whole box"),
        may("paid_out", "Paid out of the box", AskKind::Amounts).hint("lunch, clips, the stall"),
        may("card_total", "Taken by card", AskKind::Amount),
        may(
            "card_into",
            "Card money goes to",
            AskKind::Account(Accounts::Takes),
        )
        .start(Start::Bank),
        may("card_fee", "Fee of the cards", AskKind::Amount),
        may("tally", "Sold by your tally", AskKind::PricedPieces).hint("pieces"),
        may(
            "tally_total",
            "Or your tally\u{2019}s total",
            AskKind::Amount,
        ),
        may("back", "Pieces that came back", AskKind::Pieces).hint("all that is left, if empty"),
        may("given", "Given away there", AskKind::Pieces),
        may(
            "tax_percent",
            "Sales tax inside the price, in per cent",
            AskKind::Percent,
        ),
        may("joined", "Paid for it before", AskKind::Entries).hint("the stall fee"),
        may("miles", "Miles driven", AskKind::Number),
        may("hours", "Hours there and on the road", AskKind::Number),
        may("place", "Where", AskKind::Words),
        note(),
    ],
    caution: "Whether you pay sales tax over for this place, and at which rate, depends on the place. Confirm with local rules and \
        a licensed professional.",
    tell: held,
};

/// The cash side of a day at a fair.
struct CashSide {
    counted: Money,
    float: Money,
    paid_out: Vec<(AccountId, Money)>,
}

impl CashSide {
    fn paid_out(&self) -> Money {
        self.paid_out.iter().map(|(_, amount)| *amount).sum()
    }

    fn sales(&self) -> Money {
        self.counted - self.float + self.paid_out()
    }
}

fn cash_side(read: &mut Reading<'_>) -> Option<CashSide> {
    let float = read.amount_or_none("float");
    let counted = read.amount_or_none("counted");
    let paid_out = read.amounts("paid_out");
    if !(read.has("float") && read.has("counted")) {
        return None;
    }
    let found = CashSide {
        counted: counted?,
        float: float?,
        paid_out: paid_out?,
    };
    if found.sales().is_negative() {
        let (counted, out, float) = (
            read.known.show(found.counted),
            read.known.show(found.paid_out()),
            read.known.show(found.float),
        );
        read.refuse(
            "counted",
            format!("{counted} counted and {out} paid out are less than the float of {float}; look for what else left the box"),
        );
        return None;
    }
    let costs = found.paid_out.iter();
    let wrong = costs
        .filter_map(|(id, _)| read.known.chart.account(*id).ok())
        .find(|account| !Accounts::Costs.fits(account))
        .map(|account| Accounts::Costs.refusal(&account.name));
    if let Some(words) = wrong {
        read.refuse("paid_out", words);
        return None;
    }
    Some(found)
}

/// The pieces of a fair: what was sold by the tally, or by what is left of those taken along.
fn sold_pieces(
    read: &mut Reading<'_>,
    taken: &[Pieces],
    given: &[Pieces],
) -> Option<(Vec<Priced>, Vec<Pieces>)> {
    let tally = read.priced("tally")?;
    let back = read.pieces("back")?;
    if !tally.is_empty() {
        let sold = pieces_of(&tally);
        let left = if back.is_empty() {
            less(taken, &[&sold, given])
        } else {
            back
        };
        return Some((tally, left));
    }
    if back.is_empty() || taken.is_empty() {
        return Some((Vec::new(), back));
    }
    at_most_there(read, "back", &back, taken, "The box that was packed")?;
    let mut sold = Vec::new();
    for one in less(taken, &[&back, given]) {
        let item = read.known.item(&one.item)?;
        let Some(price) = item.price else {
            read.refuse(
                "back",
                format!(
                    "'{}' has no price in the book; write the tally instead",
                    item.code
                ),
            );
            return None;
        };
        sold.push(Priced {
            code: item.code.clone(),
            name: item.name.clone(),
            quantity: one.quantity,
            amount: price.times(one.quantity.value()),
        });
    }
    Some((sold, back))
}

fn held(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.words("fair");
    let date = read.day("date");
    let cash_side = cash_side(read);
    let cards = read.amount_or_none("card_total");
    let card_into = read.account("card_into");
    let card_fee = read.amount_or_none("card_fee");
    let tally_total = read.amount_or_none("tally_total");
    let tax_rate = read.percent_or("tax_percent", "0");
    let given = read.pieces("given");
    let joined = read.entries("joined");
    let (miles, hours) = (read.number_or_none("miles"), read.number_or_none("hours"));
    let key = key?;
    let plan = read.known.matters.find(MatterKind::Fair, &key);
    if plan.is_some_and(|fair| fair.last(StepKind::Held).is_some()) {
        read.refuse(
            "fair",
            format!("the evening of {key} is written down already"),
        );
        return None;
    }
    let taken = plan.map(|fair| fair.pieces_left()).unwrap_or_default();
    let given = given?;
    let goods = sold_pieces(read, &taken, &given);
    let (date, cash_side, cards, card_fee) = (date?, cash_side?, cards?, card_fee?);
    let (tally_total, tax_rate, (sold, left)) = (tally_total?, tax_rate?, goods?);
    joined?;
    miles?;
    hours?;
    if card_fee > cards {
        read.refuse("card_fee", "the fee is more than what was taken by card");
        return None;
    }
    let card_into = match (card_into, cards.is_positive()) {
        (Some(into), true) => Some(into),
        (None, true) => {
            read.refuse("card_into", "say where the card money goes");
            return None;
        }
        (_, false) => None,
    };
    let took = cash_side.sales() + cards;
    let by_tally = if sold.is_empty() {
        tally_total
    } else {
        total_of(&sold)
    };
    if !sold.is_empty() && tally_total.is_positive() && tally_total != by_tally {
        let by_tally = read.known.show(by_tally);
        read.refuse(
            "tally_total",
            format!("the pieces of the tally come to {by_tally}"),
        );
        return None;
    }
    let gross = if by_tally.is_positive() {
        by_tally
    } else {
        took
    };
    if !gross.is_positive() {
        read.refuse(
            "counted",
            "nothing was sold; there is nothing to write down but the costs of the day",
        );
        return None;
    }
    let over = took - gross;
    let tax = tax_inside(gross, tax_rate);
    let cash = read.role(Role::CashBox)?;
    let (fees, sales_tax) = (read.role(Role::ProcessingFees)?, read.role(Role::SalesTax)?);
    let short = read.role(Role::CashOverShort)?;
    let mut lines = vec![Line::debit(cash, cash_side.counted - cash_side.float).memo("the box")];
    lines.extend(
        cash_side
            .paid_out
            .iter()
            .map(|(account, amount)| Line::debit(*account, *amount).memo("out of the box")),
    );
    if let Some(into) = card_into {
        lines.push(Line::debit(into, cards).memo("by card"));
        lines.push(Line::debit(fees, card_fee).memo("cards"));
        lines.push(Line::credit(into, card_fee).memo("cards"));
    }
    lines.extend(sold_lines(read, &sold, gross - tax, "sold at the fair")?);
    lines.push(Line::credit(sales_tax, tax).memo("sales tax in the price"));
    lines.push(Line::debit(short, -over).memo(if over.is_negative() {
        "cash short"
    } else {
        "cash over"
    }));
    let header = EntryHeader::new(date, EntryKind::Sale)
        .party(&key)
        .memo(format!("Fair day: {key}"))
        .document(&key);
    let mut recording = recorded(read, header, lines)?;
    let from = if taken.is_empty() { "" } else { key.as_str() };
    let sold_there = pieces_of(&sold);
    at_most_there_if_packed(read, &sold_there, &given, &taken)?;
    let gone = |pieces: &[Pieces], kind: MovementKind| -> Vec<_> {
        pieces
            .iter()
            .map(|one| movement(date, one, kind, from))
            .collect()
    };
    if !from.is_empty() {
        recording
            .movements
            .extend(gone(&sold_there, MovementKind::Sell));
        recording
            .movements
            .extend(left.iter().map(|one| carried(date, one, from, "")));
        let missing = less(&taken, &[&sold_there, &given, &left]);
        recording
            .movements
            .extend(gone(&missing, MovementKind::Waste));
    }
    recording
        .movements
        .extend(gone(&given, MovementKind::Sample));
    let mut step = Step::new(date, MatterKind::Fair, &key, StepKind::Held, gross);
    step.party = read.text("place").to_owned();
    step.about = read.text("note").to_owned();
    step.pieces = taken;
    let words = day_in_words(read, &cash_side, cards, gross, over, tax);
    Some(Told::entry(recording, vec![step], words))
}

fn at_most_there_if_packed(
    read: &mut Reading<'_>,
    sold: &[Pieces],
    given: &[Pieces],
    taken: &[Pieces],
) -> Option<()> {
    if taken.is_empty() {
        return Some(());
    }
    at_most_there(read, "tally", sold, taken, "The box that was packed")?;
    at_most_there(
        read,
        "given",
        given,
        &less(taken, &[sold]),
        "What was left of the box",
    )
}

fn day_in_words(
    read: &Reading<'_>,
    cash_side: &CashSide,
    cards: Money,
    gross: Money,
    over: Money,
    tax: Money,
) -> String {
    let show = |amount| read.known.show(amount);
    let mut words = format!(
        "The box took {} (counted {} \u{2212} float {} + paid out {})",
        show(cash_side.sales()),
        show(cash_side.counted),
        show(cash_side.float),
        show(cash_side.paid_out()),
    );
    if cards.is_positive() {
        words.push_str(&format!(", cards {}", show(cards)));
    }
    words.push_str(&format!(". Sales {}", show(gross)));
    if tax.is_positive() {
        words.push_str(&format!(", of that {} sales tax to pay over", show(tax)));
    }
    words.push_str(&match over.minor() {
        0 => ".".to_owned(),
        minor if minor > 0 => format!(". {} more than the tally says: cash over.", show(over)),
        _ => format!(". {} less than the tally says: cash short.", show(-over)),
    });
    words
}

/// What a day at a fair came to. Amounts in minor units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FairDay {
    /// Sales without tax.
    pub sales: Money,
    /// Sales tax in the price.
    pub tax: Money,
    /// Cash over, or short below nothing.
    pub over: Money,
    /// Fees of the cards.
    pub card_fees: Money,
    /// Costs paid out of the box; what went to the owner is none.
    pub paid_out: Money,
    /// What had been paid for it before.
    pub joined: Money,
    /// What the pieces sold and given away had cost.
    pub pieces: Money,
    /// The miles at the book's rate; shown, posted at the year's end.
    pub miles: Money,
    /// The hours.
    pub hours: Quantity,
}

impl FairDay {
    /// What is left.
    #[must_use]
    pub fn profit(&self) -> Money {
        self.sales + self.over
            - self.card_fees
            - self.paid_out
            - self.joined
            - self.pieces
            - self.miles
    }

    /// What is left for each hour, where hours were told.
    #[must_use]
    pub fn per_hour(&self) -> Option<Money> {
        let hours = self.hours.value();
        (hours > Decimal::ZERO).then(|| self.profit().times(Decimal::ONE / hours))
    }
}

/// What a day came to, from the lines of its entry, what was joined to it, and what a mile costs in minor units.
#[must_use]
pub fn fair_day(
    step: &Step,
    lines: &[Line],
    joined: Money,
    mile: Option<Decimal>,
    chart: &Chart,
) -> FairDay {
    let role = |line: &Line, wanted: Role| chart.has_role(line.account, wanted);
    let mut day = FairDay {
        sales: Money::ZERO,
        tax: Money::ZERO,
        over: Money::ZERO,
        card_fees: Money::ZERO,
        paid_out: Money::ZERO,
        joined,
        pieces: Money::ZERO,
        miles: Money::ZERO,
        hours: step.answer("hours").parse().unwrap_or_default(),
    };
    for line in lines {
        let class = chart.account(line.account).map(|account| account.class);
        if role(line, Role::Sales) {
            day.sales -= line.amount;
        } else if role(line, Role::SalesTax) {
            day.tax -= line.amount;
        } else if role(line, Role::CashOverShort) {
            day.over -= line.amount;
        } else if role(line, Role::ProcessingFees) {
            day.card_fees += line.amount;
        } else if line.memo == "out of the box" && class == Ok(AccountClass::Expense) {
            day.paid_out += line.amount;
        } else if class == Ok(AccountClass::Expense) {
            day.pieces += line.amount;
        }
    }
    if let (Some(mile), Ok(miles)) = (mile, step.answer("miles").parse::<Decimal>()) {
        day.miles = Money::rounded_minor(mile * miles);
    }
    day
}
