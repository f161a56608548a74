//! What the book knows of making a product: what goes into one piece at its average and latest cost, minutes, waste,
//! and how many are sold a month. The cost card and the comparison of both ways begin with it.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use super::known::last_year;
use crate::book::Book;
use crate::deciding::{Ingredient, OwnTime, Run, UnitCost, WaysAsk};
use crate::money::{Currency, Money, Percent, Quantity};
use crate::reports::ReportError;
use crate::stock::{Item, ItemKind, Movement, MovementKind, Recipe};

/// How far back sales are counted for the pace.
const PACE_DAYS: u64 = 365;

/// Something that goes into a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// How much of it for one piece that is put in.
    pub quantity: Quantity,
    /// What one unit of what is on hand cost on average.
    pub average: Option<UnitCost>,
    /// What one unit cost when it came last, with later bills for it; of a made one what its last batch was worth.
    pub latest: Option<UnitCost>,
}

impl Input {
    /// What it costs, with what the next order will cost where that is known; `None` when nothing is known.
    #[must_use]
    pub fn ingredient(&self, next_order: Option<UnitCost>) -> Option<Ingredient> {
        Some(Ingredient {
            label: self.name.clone(),
            quantity: self.quantity,
            average: self.average.or(self.latest).or(next_order)?,
            latest: self.latest,
            next_order,
        })
    }
}

/// Own minutes as they were written down with batches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Recorded {
    /// How many batches told their minutes.
    pub batches: usize,
    /// The minutes together.
    pub minutes: Decimal,
    /// The good pieces of those batches.
    pub pieces: Decimal,
}

/// What is known of making one product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Making {
    /// The product.
    pub item: Item,
    /// Whether it has a recipe.
    pub has_recipe: bool,
    /// What goes into one piece that is put in; the product itself at its cost where there is no recipe.
    pub inputs: Vec<Input>,
    /// Outside work on one piece that is put in.
    pub outside: UnitCost,
    /// The share normally spoiled, where a recipe says so.
    pub waste: Option<Percent>,
    /// Own minutes for a piece that is put in, as the recipe plans them.
    pub minutes: Decimal,
    /// Own minutes that batches of the last twelve months really took, where any were written down.
    pub recorded: Option<Recorded>,
    /// Pieces begun in a batch.
    pub batch: Option<u64>,
    /// How many are sold in a month.
    pub sold_a_month: Decimal,
}

/// Reads what is known of making a product; `None` when the item is not kept.
///
/// # Errors
/// When the book cannot be read.
pub fn making(book: &Book, code: &str, today: NaiveDate) -> Result<Option<Making>, ReportError> {
    let Some(item) = book.item(code)? else {
        return Ok(None);
    };
    let costs = Costs::read(book, today)?;
    let recipe = book
        .recipes()?
        .into_iter()
        .find(|recipe| recipe.item.eq_ignore_ascii_case(&item.code));
    let sold_a_month = pace(&costs.movements, &item.code, today);
    let recorded = recorded(book, &costs.movements, &item.code, today)?;
    Ok(Some(match recipe {
        Some(recipe) => Making {
            recorded,
            ..of_recipe(item, &recipe, &costs, sold_a_month)
        },
        None => Making {
            has_recipe: false,
            inputs: vec![costs.input(&item.code, Decimal::ONE)],
            outside: UnitCost::ZERO,
            waste: None,
            minutes: Decimal::ZERO,
            recorded,
            batch: None,
            sold_a_month,
            item,
        },
    }))
}

fn of_recipe(item: Item, recipe: &Recipe, costs: &Costs, sold_a_month: Decimal) -> Making {
    let begun = recipe.batch_quantity.value();
    let whole = begun.trunc() == begun;
    Making {
        has_recipe: true,
        inputs: recipe
            .inputs
            .iter()
            .map(|input| costs.input(&input.item, input.quantity.value() / begun))
            .collect(),
        outside: shared(recipe.outside, begun).unwrap_or_default(),
        waste: Some(recipe.normal_waste),
        minutes: (recipe.own_minutes.value() / begun).round_dp(2),
        recorded: None,
        batch: whole
            .then(|| begun.normalize().to_string().parse().ok())
            .flatten(),
        sold_a_month,
        item,
    }
}

impl Making {
    /// What goes into a piece that is put in, on average, outside work included, to four decimals of the currency. What
    /// is in [`Making::unknown`] is not in it.
    #[must_use]
    pub fn each(&self, currency: &Currency) -> UnitCost {
        let inputs: Decimal = self
            .inputs
            .iter()
            .filter_map(|input| {
                Some(input.quantity.value() * input.average.or(input.latest)?.minor())
            })
            .sum();
        four_places(inputs + self.outside.minor(), currency)
    }

    /// What goes in and has never had a cost.
    #[must_use]
    pub fn unknown(&self) -> Vec<String> {
        self.inputs
            .iter()
            .filter(|input| input.average.or(input.latest).is_none())
            .map(|input| input.name.clone())
            .collect()
    }

    /// Own minutes for each good piece: as batches really took them or, where none told, as the recipe plans them. What is
    /// spoiled took time as well.
    #[must_use]
    pub fn minutes_for_good(&self) -> Decimal {
        let minutes = match &self.recorded {
            Some(recorded) => recorded.minutes.checked_div(recorded.pieces),
            None => self.minutes.checked_div(self.good()),
        };
        minutes.unwrap_or_default().round_dp(2).normalize()
    }

    /// Own minutes for each piece that is put in, from the same.
    #[must_use]
    pub fn minutes_for_begun(&self) -> Decimal {
        let Some(recorded) = &self.recorded else {
            return self.minutes.normalize();
        };
        let each = recorded.minutes.checked_div(recorded.pieces);
        let minutes = each.unwrap_or_default() * self.good();
        minutes.round_dp(2).normalize()
    }

    /// Where the minutes come from, in words.
    #[must_use]
    pub fn minutes_words(&self) -> String {
        match &self.recorded {
            Some(recorded) => format!(
                "{} minutes written down with {} of the last twelve months, {} good pieces",
                recorded.minutes.normalize(),
                match recorded.batches {
                    1 => "one batch".to_owned(),
                    n => format!("{n} batches"),
                },
                recorded.pieces.normalize()
            ),
            None => {
                "as the recipe plans them, spoiled pieces' time carried by the good ones".to_owned()
            }
        }
    }

    /// The share of the pieces begun that is good.
    fn good(&self) -> Decimal {
        Decimal::ONE - self.waste.unwrap_or(Percent::ZERO).fraction()
    }

    /// A comparison with having it made, filled up from what the book knows; the house's prices are not in it.
    #[must_use]
    pub fn ways(&self, own_rate: Option<Money>, currency: &Currency) -> WaysAsk {
        WaysAsk {
            wanted: self.batch.unwrap_or(50),
            tiers: Vec::new(),
            minimum: 1,
            out_design: Money::ZERO,
            out_run: Money::ZERO,
            carriage: Money::ZERO,
            each: self.each(currency),
            batch: self.batch,
            loss: self.waste.unwrap_or(Percent::ZERO),
            minutes: self.minutes_for_begun(),
            own_rate: own_rate.unwrap_or_default(),
            equipment: Money::ZERO,
            time: OwnTime::LeftOut,
            run: Run::First,
        }
    }

    /// Whether the item is something that is sold.
    #[must_use]
    pub const fn is_sold(&self) -> bool {
        matches!(self.item.kind, ItemKind::Made | ItemKind::BoughtIn)
    }
}

/// A cost of one to four decimals of the currency, as people type it.
pub(super) fn four_places(minor: Decimal, currency: &Currency) -> UnitCost {
    let places = 4_u32.saturating_sub(currency.decimals());
    UnitCost::from_minor(minor.round_dp(places)).unwrap_or_default()
}

/// What one of so many costs.
pub(super) fn shared(total: Money, many: Decimal) -> Option<UnitCost> {
    let each = Decimal::from(total.minor()).checked_div(many)?;
    UnitCost::from_minor(each.round_dp(6)).ok()
}

/// What everything costs, as the book knows it on a day.
struct Costs {
    names: BTreeMap<String, (String, String)>,
    average: BTreeMap<String, UnitCost>,
    movements: Vec<Movement>,
    made: BTreeMap<u64, Money>,
}

impl Costs {
    fn read(book: &Book, today: NaiveDate) -> Result<Self, ReportError> {
        let names = book
            .items()?
            .into_iter()
            .map(|item| (item.code, (item.name, item.unit.to_string())))
            .collect();
        let average = book
            .stock_on(today)?
            .into_iter()
            .filter(|one| one.quantity.value() > Decimal::ZERO)
            .filter_map(|one| {
                let each = shared(one.value, one.quantity.value())?;
                Some((one.item.code, each))
            })
            .collect();
        let movements = book
            .movements()?
            .into_iter()
            .map(|(one, _entry)| one)
            .filter(|one| one.date <= today)
            .collect();
        Ok(Self {
            names,
            average,
            movements,
            made: book.made_worth()?,
        })
    }

    fn latest(&self, code: &str) -> Option<UnitCost> {
        let last = self
            .movements
            .iter()
            .filter(|one| one.item == code)
            .filter(|one| matches!(one.kind, MovementKind::Receive | MovementKind::Make))
            .max_by_key(|one| (one.date, one.id))?;
        let worth = match last.kind {
            MovementKind::Make => self.made.get(&last.id.0).copied().unwrap_or_default(),
            _ => {
                let bills = self
                    .movements
                    .iter()
                    .filter(|one| one.kind == MovementKind::LaterCost && one.of == Some(last.id));
                last.value + bills.map(|bill| bill.value).sum()
            }
        };
        shared(worth, last.quantity.value())
    }

    fn input(&self, code: &str, quantity: Decimal) -> Input {
        let (name, unit) = self.names.get(code).cloned().unwrap_or_default();
        Input {
            name: if name.is_empty() {
                code.to_owned()
            } else {
                name
            },
            unit,
            quantity: Quantity::new(quantity.round_dp(6)).unwrap_or_default(),
            average: self.average.get(code).copied(),
            latest: self.latest(code),
            code: code.to_owned(),
        }
    }
}

/// The minutes that batches of the last twelve months told, with the good pieces of those batches.
fn recorded(
    book: &Book,
    movements: &[Movement],
    code: &str,
    today: NaiveDate,
) -> Result<Option<Recorded>, ReportError> {
    let range = last_year(today);
    let notes = book.batch_notes()?;
    let mut sum = Recorded {
        batches: 0,
        minutes: Decimal::ZERO,
        pieces: Decimal::ZERO,
    };
    for made in movements {
        let is_told = made.kind == MovementKind::Make && made.item == code;
        if !is_told || !range.contains(made.date) {
            continue;
        }
        if let Some(minutes) = notes.get(&made.id.0).and_then(|note| note.own_minutes) {
            sum.batches += 1;
            sum.minutes += minutes.value();
            sum.pieces += made.quantity.value();
        }
    }
    Ok((sum.batches > 0 && sum.pieces > Decimal::ZERO).then_some(sum))
}

/// Pieces sold in a month over the last year, or since the first sale when that is less.
fn pace(movements: &[Movement], code: &str, today: NaiveDate) -> Decimal {
    let from = today
        .checked_sub_days(Days::new(PACE_DAYS))
        .unwrap_or(today);
    let sold: Vec<&Movement> = movements
        .iter()
        .filter(|one| one.item == code && one.kind == MovementKind::Sell)
        .filter(|one| one.date > from && one.date <= today)
        .collect();
    let Some(first) = sold.iter().map(|one| one.date).min() else {
        return Decimal::ZERO;
    };
    let days = ((today - first).num_days() + 1).max(30);
    let pieces: Decimal = sold.iter().map(|one| one.quantity.value()).sum();
    (pieces * Decimal::from(30) / Decimal::from(days)).round_dp(1)
}
