//! What Equipment says: the register with book values, what can be written down, what is small and only listed.
//! Read from the book after each change; drawing is `view`.

use chrono::NaiveDate;

use crate::app::screens::facts::Facts;
use crate::book::{Book, BookError};
use crate::dates::{Month, show_day};
use crate::depreciation::{Convention, DepreciationProposal, Equipment};
use crate::money::Money;
use crate::reports;
use crate::statements::SmallEquipment;

/// A piece in the register.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceRow {
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
    /// How it came and how it stands.
    pub about: String,
    /// Its cost.
    pub cost: Money,
    /// Its wear in the financial year.
    pub wear: Money,
    /// Its book value today.
    pub book_value: Money,
    /// Whether it has left the register.
    pub is_gone: bool,
}

/// A day through which wear can be written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WearChoice {
    /// The last day charged.
    pub through: NaiveDate,
    /// How much would be written down.
    pub amount: Money,
}

/// Everything in the room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EquipmentModel {
    /// The register, what is gone last.
    pub pieces: Vec<PieceRow>,
    /// Cost of what is there.
    pub cost: Money,
    /// Wear in the financial year.
    pub wear: Money,
    /// Book value of what is there.
    pub book_value: Money,
    /// Wear through the last whole month of the period that is over, if any is open.
    pub month: Option<WearChoice>,
    /// Wear through the end of the financial year, if that brings more.
    pub year: Option<WearChoice>,
    /// What lasts but fell under the threshold.
    pub small: Vec<SmallEquipment>,
    /// The threshold in words.
    pub threshold: String,
}

impl EquipmentModel {
    /// Reads it; `wear` is what can be written down, the nearest day first.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(
        book: &Book,
        facts: &Facts,
        wear: &[DepreciationProposal],
    ) -> Result<Self, BookError> {
        let mut pieces: Vec<PieceRow> = facts
            .equipment
            .iter()
            .map(|piece| row(piece, facts))
            .collect();
        pieces.sort_by(|a, b| (a.is_gone, &a.name).cmp(&(b.is_gone, &b.name)));
        let of = |amount: fn(&PieceRow) -> Money| -> Money {
            pieces.iter().filter(|row| !row.is_gone).map(amount).sum()
        };
        let month = wear.first().and_then(choice);
        let year = wear
            .last()
            .and_then(choice)
            .filter(|year| month.is_none_or(|month| month.amount != year.amount));
        Ok(Self {
            cost: of(|row| row.cost),
            book_value: of(|row| row.book_value),
            wear: pieces.iter().map(|row| row.wear).sum(),
            month,
            year,
            small: reports::small_things(book)?,
            threshold: threshold(book),
            pieces,
        })
    }
}

fn choice(wear: &DepreciationProposal) -> Option<WearChoice> {
    let amount = wear.total().whole;
    amount.is_positive().then_some(WearChoice {
        through: wear.through,
        amount,
    })
}

fn threshold(book: &Book) -> String {
    let settings = book.settings();
    match settings.equipment_threshold() {
        Some(amount) => {
            let since = settings
                .day("small_equipment_policy_since")
                .map(|day| format!(", since {}", show_day(day)))
                .unwrap_or_default();
            format!(
                "A lasting thing joins the register from {} on{since}; below, it is a cost at once and stays on this list \
                 for the insurer and the county.",
                book.currency().show(amount)
            )
        }
        None => "No threshold is set: choose in Settings from which amount a lasting thing joins the register.".to_owned(),
    }
}

fn row(piece: &Equipment, facts: &Facts) -> PieceRow {
    let is_gone = piece.is_gone(facts.today);
    PieceRow {
        key: piece.key.clone(),
        name: piece.name.clone(),
        about: about(piece, facts),
        cost: piece.cost,
        wear: piece.charge_in(facts.year, facts.year_start).whole,
        book_value: if is_gone {
            Money::ZERO
        } else {
            piece.carrying_amount(facts.today, facts.year_start)
        },
        is_gone,
    }
}

/// How a piece came and how it stands, in a few words.
fn about(piece: &Equipment, facts: &Facts) -> String {
    if let Some(disposal) = piece
        .disposal
        .as_ref()
        .filter(|_gone| piece.is_gone(facts.today))
    {
        return if disposal.proceeds.is_zero() {
            format!("scrapped {}", show_day(disposal.on))
        } else {
            format!(
                "sold {} for {}",
                show_day(disposal.on),
                facts.show(disposal.proceeds)
            )
        };
    }
    let mut words = match piece.condition {
        crate::depreciation::Condition::New => "new".to_owned(),
        crate::depreciation::Condition::SecondHand => "second-hand".to_owned(),
        crate::depreciation::Condition::BroughtIn => "brought in".to_owned(),
    };
    words.push_str(&format!(", since {}", Month::of(piece.in_service_on)));
    if !piece.business_share.is_whole() {
        words.push_str(&format!(", {} % for the business", piece.business_share));
    }
    if piece.is_fully_depreciated(facts.today, facts.year_start) {
        words.push_str("; fully worn in the books and still used");
    }
    words
}

/// The facts of one piece, as label and words.
#[must_use]
pub fn fields(piece: &Equipment, facts: &Facts) -> Vec<(&'static str, String)> {
    let today = facts.today;
    let or_none = |text: &str| {
        if text.is_empty() {
            "not given".to_owned()
        } else {
            text.to_owned()
        }
    };
    let mut rows = vec![
        ("From", or_none(&piece.supplier)),
        ("Bought", show_day(piece.bought_on)),
        ("First used", show_day(piece.in_service_on)),
        ("Cost", facts.show(piece.cost)),
    ];
    if !piece.tax_part.is_zero() || !piece.delivery_part.is_zero() {
        rows.push((
            "Of it",
            format!(
                "tax {}, delivery and setting up {}",
                facts.show(piece.tax_part),
                facts.show(piece.delivery_part)
            ),
        ));
    }
    rows.extend([
        ("Worth at the end", facts.show(piece.residual_on(today))),
        ("Life", life(piece.life_months_on(today))),
        ("Wear is counted", piece.convention.plain().to_owned()),
        ("Business share", format!("{} %", share_on(piece, today))),
        ("How it came", piece.condition.as_str().replace('-', " ")),
        ("Serial number", or_none(&piece.serial)),
        ("Where it stands", or_none(&piece.location)),
    ]);
    if !piece.charged_before.is_zero() {
        rows.push(("Charged before this book", facts.show(piece.charged_before)));
    }
    for change in &piece.changes {
        rows.push((
            "Changed terms",
            format!(
                "from {}: life {}, worth {} at the end, {} % business; {}",
                show_day(change.from),
                life(change.life_months),
                facts.show(change.residual),
                change.business_share,
                change.reason
            ),
        ));
    }
    rows
}

/// The business share that holds on a day.
#[must_use]
pub fn share_on(piece: &Equipment, on: NaiveDate) -> crate::money::Percent {
    piece
        .changes
        .iter()
        .rev()
        .find(|change| change.from <= on)
        .map_or(piece.business_share, |change| change.business_share)
}

/// A life in years and months.
#[must_use]
pub fn life(months: u32) -> String {
    let years = months / 12;
    let rest = months % 12;
    let say = |count: u32, word: &str| {
        if count == 1 {
            format!("1 {word}")
        } else {
            format!("{count} {word}s")
        }
    };
    match (years, rest) {
        (0, rest) => say(rest, "month"),
        (years, 0) => say(years, "year"),
        (years, rest) => format!("{} and {}", say(years, "year"), say(rest, "month")),
    }
}

/// All ways wear is counted, to be explained beside the schedule.
#[must_use]
pub fn convention_note(convention: Convention) -> String {
    format!(
        "Straight line: cost less what it is worth at the end, spread evenly over its life, {}.",
        convention.plain()
    )
}
