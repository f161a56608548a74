//! What batches of a product really took beside what was planned: minutes, pieces lost and why.

use chrono::NaiveDate;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::book::Book;
use crate::ledger::EntryNumber;
use crate::reports::ReportError;
use crate::stock::MovementKind;

/// One batch of a product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BatchTold {
    /// The day.
    pub date: NaiveDate,
    /// Its entry, when anything was posted.
    pub entry: Option<EntryNumber>,
    /// The batch's own name.
    pub batch: String,
    /// Good pieces.
    pub good: Decimal,
    /// Pieces lost: as told, or those beyond the normal where nothing was.
    pub lost: Decimal,
    /// Pieces lost in per cent of those begun, to one decimal.
    pub lost_percent: Decimal,
    /// Minutes that the recipe plans for the pieces begun; `None` without a recipe or minutes in it.
    pub planned_minutes: Option<Decimal>,
    /// Minutes that it took, where they were written down.
    pub own_minutes: Option<Decimal>,
    /// Why pieces were spoiled; may be empty.
    pub why: String,
}

/// Pieces lost in per cent of those begun, to one decimal; nothing when none were begun.
#[must_use]
pub fn lost_percent(good: Decimal, lost: Decimal) -> Decimal {
    (lost * Decimal::ONE_HUNDRED)
        .checked_div(good + lost)
        .unwrap_or_default()
        .round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero)
        .normalize()
}

/// The batches of a product, oldest first.
///
/// # Errors
/// When the book cannot be read.
pub fn batches(book: &Book, code: &str) -> Result<Vec<BatchTold>, ReportError> {
    let notes = book.batch_notes()?;
    let recipe = book
        .recipes()?
        .into_iter()
        .find(|recipe| recipe.item.eq_ignore_ascii_case(code.trim()));
    let mut batches = Vec::new();
    for (made, entry) in book.movements()? {
        let is_of_it = made.item.eq_ignore_ascii_case(code.trim());
        if made.kind != MovementKind::Make || !is_of_it {
            continue;
        }
        let note = notes.get(&made.id.0).cloned().unwrap_or_default();
        let good = made.quantity.value();
        let lost = note.spoiled.unwrap_or(made.abnormal).value();
        let planned = recipe.as_ref().and_then(|recipe| {
            let each = recipe
                .own_minutes
                .value()
                .checked_div(recipe.batch_quantity.value())?;
            // Where nobody told how many were spoiled, the normal share is taken to be.
            let begun = match note.spoiled {
                Some(spoiled) => good + spoiled.value(),
                None => good.checked_div(Decimal::ONE - recipe.normal_waste.fraction())?,
            };
            Some((each * begun).round_dp(0).normalize()).filter(|minutes| !minutes.is_zero())
        });
        batches.push(BatchTold {
            date: made.date,
            entry,
            batch: made.batch.unwrap_or_default(),
            lost_percent: lost_percent(good, lost),
            good: good.normalize(),
            lost: lost.normalize(),
            planned_minutes: planned,
            own_minutes: note.own_minutes.map(|minutes| minutes.value().normalize()),
            why: note.spoiled_why,
        });
    }
    batches.sort_by_key(|one| one.date);
    Ok(batches)
}
