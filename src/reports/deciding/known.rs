//! What the book can answer of a cost card: the shops' share of what was sold, the wear of equipment, what is paid every
//! month, the worth of her hour; each with the words that say where it comes from. What it cannot answer stays open.

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use super::making::{Making, four_places, making};
use crate::book::Book;
use crate::dates::{DateRange, add_months, show_day};
use crate::deciding::UnitCost;
use crate::money::{Money, Percent};
use crate::reports::{ReportError, channels};
use crate::stock::{ItemKind, MovementKind};

/// What a shop kept of what was sold there in the last twelve months.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChannelShare {
    /// The shop.
    pub name: String,
    /// Its fees, less fees it gave back.
    pub fees: Money,
    /// What was sold there at full price.
    pub gross: Money,
    /// The fees in per cent of it, to two decimals.
    pub percent: Percent,
}

/// What the book knows for a cost card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardKnown {
    /// What goes into the product.
    pub making: Making,
    /// The days that shares and wear are taken from: the last twelve months.
    pub range: DateRange,
    /// Shops that sold in those days, the one with the largest sales first.
    pub channels: Vec<ChannelShare>,
    /// Wear of equipment for a good piece.
    pub wear: Option<UnitCost>,
    /// Where the wear comes from, or why it is not known.
    pub wear_words: String,
    /// What her hour is worth, by the settings.
    pub own_rate: Option<Money>,
    /// What is paid again and again, for a month.
    pub fixed_a_month: Option<Money>,
    /// How many payments that is.
    pub fixed_count: usize,
}

/// Reads it; `None` when the item is not kept.
///
/// # Errors
/// When the book cannot be read.
pub fn card_known(
    book: &Book,
    code: &str,
    today: NaiveDate,
) -> Result<Option<CardKnown>, ReportError> {
    let Some(making) = making(book, code, today)? else {
        return Ok(None);
    };
    let range = last_year(today);
    let (wear, wear_words) = wear(book, range)?;
    let recurring: Vec<_> = book
        .recurring()?
        .into_iter()
        .filter(|one| one.is_active)
        .collect();
    let yearly: Money = recurring
        .iter()
        .map(|one| one.yearly_total().share(one.business_share))
        .sum();
    Ok(Some(CardKnown {
        making,
        range,
        channels: shares(book, range, today)?,
        wear,
        wear_words,
        own_rate: book.settings().amount("owner_rate"),
        fixed_a_month: (!recurring.is_empty())
            .then(|| Money::rounded_minor(Decimal::from(yearly.minor()) / Decimal::from(12))),
        fixed_count: recurring.len(),
    }))
}

/// The twelve months up to a day.
pub(super) fn last_year(today: NaiveDate) -> DateRange {
    let from = add_months(today, -12)
        .checked_add_days(Days::new(1))
        .unwrap_or(today);
    DateRange { from, to: today }
}

fn shares(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
) -> Result<Vec<ChannelShare>, ReportError> {
    let mut shares: Vec<ChannelShare> = channels(book, range, today)?
        .into_iter()
        .filter(|one| one.gross_sales.is_positive() && !one.fees.is_negative())
        .filter_map(|one| {
            let share = Decimal::from(one.fees.minor())
                .checked_mul(Decimal::ONE_HUNDRED)?
                .checked_div(Decimal::from(one.gross_sales.minor()))?;
            Some(ChannelShare {
                percent: Percent::new(share.round_dp(2)).ok()?,
                name: one.name,
                fees: one.fees,
                gross: one.gross_sales,
            })
        })
        .collect();
    shares.sort_by(|a, b| b.gross.cmp(&a.gross).then_with(|| a.name.cmp(&b.name)));
    Ok(shares)
}

/// The register's wear of the days over the good pieces made in them, each bearing the same.
fn wear(book: &Book, range: DateRange) -> Result<(Option<UnitCost>, String), ReportError> {
    let register = book.equipment()?;
    if register.is_empty() {
        return Ok((None, "there is no equipment in the register".to_owned()));
    }
    let years = book.year_start();
    let charged: Money = register
        .iter()
        .map(|piece| piece.charge_in(range, years).business)
        .sum();
    let items = book.items()?;
    let is_made = |code: &str| {
        items
            .iter()
            .any(|item| item.code == code && item.kind == ItemKind::Made)
    };
    let mut pieces = Decimal::ZERO;
    for (movement, _entry) in book.movements()? {
        if !range.contains(movement.date) {
            continue;
        }
        match movement.kind {
            MovementKind::Make => pieces += movement.quantity.value(),
            // A made thing that goes into another is counted once.
            MovementKind::Use if is_made(&movement.item) => pieces -= movement.quantity.value(),
            _ => {}
        }
    }
    let currency = book.currency();
    let charged_words = currency.show(charged);
    let since = show_day(range.from);
    if pieces <= Decimal::ZERO {
        let words = format!(
            "equipment wore by {charged_words} since {since}, but no batch tells how many pieces that made"
        );
        return Ok((None, words));
    }
    let each = Decimal::from(charged.minor())
        .checked_div(pieces)
        .map(|each| four_places(each, currency));
    let pieces = pieces.normalize();
    let words = format!(
        "the register's wear since {since}, {charged_words}, over the {pieces} pieces made in that time"
    );
    Ok((each, words))
}
