//! Comparisons of making a product with having it made as rows of their sheet.

use super::ExportError;
use crate::book::Book;
use crate::deciding::{OwnTime, Run, UnitCost};
use crate::money::Money;

/// Every comparison that is kept, in the order of the sheet's columns.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn rows(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let currency = book.currency();
    let money = |amount: Money| currency.plain(amount);
    let each = |cost: UnitCost| cost.major(currency).to_string();
    let yes_no = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
    let rows = book.comparisons()?.into_iter().map(|one| {
        let ask = one.ask;
        let tiers: Vec<String> = ask
            .tiers
            .iter()
            .map(|tier| format!("{}:{}", tier.from, each(tier.each)))
            .collect();
        vec![
            one.item,
            one.name,
            ask.wanted.to_string(),
            tiers.join(";"),
            ask.minimum.to_string(),
            money(ask.out_design),
            money(ask.out_run),
            money(ask.carriage),
            each(ask.each),
            ask.batch.map(|batch| batch.to_string()).unwrap_or_default(),
            ask.loss.to_string(),
            ask.minutes.to_string(),
            money(ask.own_rate),
            money(ask.equipment),
            yes_no(ask.time == OwnTime::Counted),
            yes_no(ask.run == Run::Reorder),
        ]
    });
    Ok(rows.collect())
}
