//! What the book knows of making a product: what goes into one piece at its average and latest cost, minutes, waste,
//! and how many are sold a month. The cost card and the comparison of both ways begin with it.

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use crate::book::{Book, BookError};
use crate::deciding::{Ingredient, UnitCost};
use crate::money::{Money, Percent, Quantity};
use crate::stock::{Item, Movement, MovementKind, Recipe, Stocks};

/// How far back sales are counted for the pace.
const PACE_DAYS: u64 = 365;

/// What is known of making one product.
#[derive(Clone, Debug)]
pub struct Making {
    /// The product.
    pub item: Item,
    /// What goes into one piece that is put in; the product itself at its cost where there is no recipe.
    pub materials: Vec<Ingredient>,
    /// Outside work on one piece that is put in.
    pub outside: UnitCost,
    /// The share normally spoiled, where a recipe says so.
    pub waste: Option<Percent>,
    /// Own minutes for a piece that is put in.
    pub minutes: Decimal,
    /// Pieces begun in a batch.
    pub batch: Option<u64>,
    /// How many are sold in a month.
    pub sold_a_month: Decimal,
}

impl Making {
    /// Reads it; `None` when the item is not kept.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book, code: &str, today: NaiveDate) -> Result<Option<Self>, BookError> {
        let Some(item) = book.item(code)? else {
            return Ok(None);
        };
        let items = book.items()?;
        let stocks = book.stocks()?;
        let movements: Vec<Movement> = book.movements()?.into_iter().map(|(one, _)| one).collect();
        let made = book.made_worth()?;
        let worth = |movement: &Movement| match movement.kind {
            MovementKind::Make => made.get(&movement.id.0).copied().unwrap_or_default(),
            _ => movement.value,
        };
        let latest = |code: &str| -> Option<UnitCost> {
            let came = movements.iter().filter(|one| {
                one.item == code && matches!(one.kind, MovementKind::Receive | MovementKind::Make)
            });
            let last = came.max_by_key(|one| (one.date, one.id))?;
            shared(worth(last), last.quantity.value())
        };
        let of = |code: &str, quantity: Decimal| Ingredient {
            label: items
                .iter()
                .find(|item| item.code == code)
                .map_or_else(|| code.to_owned(), |item| item.name.clone()),
            quantity: Quantity::new(quantity.round_dp(6)).unwrap_or_default(),
            average: average(&stocks, code)
                .or_else(|| latest(code))
                .unwrap_or_default(),
            latest: latest(code),
            next_order: None,
        };
        let recipe = book
            .recipes()?
            .into_iter()
            .find(|recipe| recipe.item.eq_ignore_ascii_case(&item.code));
        let sold_a_month = pace(&movements, &item.code, today);
        Ok(Some(match recipe {
            Some(recipe) => Self::of_recipe(item, &recipe, &of, sold_a_month),
            None => Self {
                materials: vec![of(&item.code, Decimal::ONE)],
                outside: UnitCost::ZERO,
                waste: None,
                minutes: Decimal::ZERO,
                batch: None,
                sold_a_month,
                item,
            },
        }))
    }

    fn of_recipe(
        item: Item,
        recipe: &Recipe,
        of: &impl Fn(&str, Decimal) -> Ingredient,
        sold_a_month: Decimal,
    ) -> Self {
        let begun = recipe.batch_quantity.value();
        let whole = begun.trunc() == begun;
        Self {
            materials: recipe
                .inputs
                .iter()
                .map(|input| of(&input.item, input.quantity.value() / begun))
                .collect(),
            outside: shared(recipe.outside, begun).unwrap_or_default(),
            waste: Some(recipe.normal_waste),
            minutes: (recipe.own_minutes.value() / begun).round_dp(2),
            batch: whole.then(|| begun.to_string().parse().ok()).flatten(),
            sold_a_month,
            item,
        }
    }

    /// What goes into a piece that is put in, on average, outside work included.
    #[must_use]
    pub fn each(&self) -> UnitCost {
        let materials: Decimal = self
            .materials
            .iter()
            .map(|one| one.quantity.value() * one.average.minor())
            .sum();
        UnitCost::from_minor((materials + self.outside.minor()).round_dp(6)).unwrap_or_default()
    }
}

/// What one of so many costs.
fn shared(total: Money, many: Decimal) -> Option<UnitCost> {
    let each = Decimal::from(total.minor()).checked_div(many)?;
    UnitCost::from_minor(each.round_dp(6)).ok()
}

fn average(stocks: &Stocks, code: &str) -> Option<UnitCost> {
    let on_hand = stocks.on_hand.get(code)?;
    let many = on_hand.quantity.value();
    (many > Decimal::ZERO)
        .then(|| shared(on_hand.value, many))
        .flatten()
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
