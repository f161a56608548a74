//! A file of payouts and charges: each row a movement of the shop's balance, as facts.

use std::collections::{BTreeMap, BTreeSet};

use super::cells::Cells;
use super::table::{ShopTable, cell};
use crate::import::Faults;
use crate::money::{Currency, Money};
use crate::shops::{ColumnMeaning, Fact, FeeSign, RowMeaning, ShopLayout, row_words};

/// The columns that hold a fee beside the amount.
const FEES: [ColumnMeaning; 4] = [
    ColumnMeaning::FeeListing,
    ColumnMeaning::FeeCommission,
    ColumnMeaning::FeeProcessing,
    ColumnMeaning::FeeOther,
];

/// Reads a file of payouts and charges: each fact with its row and its words. Without a column for the kind of row,
/// every row is a payout. What the kinds of rows mean must be known by now.
///
/// # Errors
/// Every cell that cannot be read, every row in another currency.
pub fn charges(
    table: &ShopTable,
    layout: &ShopLayout,
    currency: &Currency,
) -> Result<Vec<(Fact, u64, String)>, Faults> {
    let mut cells = Cells::new(table, layout, currency);
    let has_kinds = layout.has(ColumnMeaning::Type);
    let fees_stand_below = fees_stand_below(&mut cells);
    let mut facts = Vec::new();
    let mut seen: BTreeMap<(RowMeaning, String), u32> = BTreeMap::new();
    for (row, texts) in &table.rows {
        let what = if has_kinds {
            match layout.row_meaning(&cells.kind(texts)) {
                Some(what) => what,
                None => {
                    let kind = cells.kind(texts);
                    cells
                        .faults
                        .row(*row, format!("'{kind}' says not what kind of row this is"));
                    continue;
                }
            }
        } else {
            RowMeaning::Payout
        };
        if what == RowMeaning::Ignore {
            continue;
        }
        if let Some(other) = cells.other_currency(texts) {
            let message = format!("the row is in {other} and the book in {}", currency.code());
            cells.faults.row(*row, message);
            continue;
        }
        let date = cells.day(*row, texts, ColumnMeaning::Date);
        if date.is_none() && cells.text(texts, ColumnMeaning::Date).is_empty() {
            cells.faults.row(*row, "the row has no day");
        }
        let amount = cells.amount(*row, texts, ColumnMeaning::Amount);
        let mut parts = Vec::new();
        let amount = amount.unwrap_or_default();
        if !amount.is_zero() {
            parts.push((what, signed(what, amount, has_kinds, layout.fees)));
        }
        for meaning in FEES {
            let fee = cells.amount(*row, texts, meaning).unwrap_or_default();
            if let Some(charge) = meaning.charge()
                && !fee.is_zero()
            {
                let fee = if fees_stand_below { fee } else { -fee };
                parts.push((RowMeaning::of_charge(charge), fee));
            }
        }
        let Some(date) = date else {
            continue;
        };
        let id = if what == RowMeaning::Payout && layout.has(ColumnMeaning::Payout) {
            cells.text(texts, ColumnMeaning::Payout)
        } else {
            cells.text(texts, ColumnMeaning::Row)
        };
        for (what, amount) in parts {
            let mut fact = Fact {
                what,
                order: cells.text(texts, ColumnMeaning::Order),
                date,
                amount,
                id: id.clone(),
                nth: 0,
            };
            let nth = seen.entry((what, fact.identity())).or_insert(0);
            *nth += 1;
            fact.nth = *nth;
            facts.push((fact, *row, cells.text(texts, ColumnMeaning::Item)));
        }
    }
    cells.faults.into_result(facts)
}

/// What a row moved for the maker: above nothing for her, below nothing against her.
fn signed(what: RowMeaning, amount: Money, has_kinds: bool, sign: Option<FeeSign>) -> Money {
    if !has_kinds {
        return -amount;
    }
    match sign {
        Some(FeeSign::Plus) if what.is_against() => -amount,
        _ => amount,
    }
}

/// Whether fees in columns of their own are written below nothing: most of those beside sales are.
fn fees_stand_below(cells: &mut Cells<'_>) -> bool {
    let mut below = 0;
    let mut above = 0;
    for (row, texts) in &cells.table.rows {
        let what = cells.layout.row_meaning(&cells.kind(texts));
        if what.is_some_and(|what| what != RowMeaning::Sale) {
            continue;
        }
        for meaning in FEES {
            let fee = cells.amount(*row, texts, meaning).unwrap_or_default();
            below += usize::from(fee.is_negative());
            above += usize::from(fee.is_positive());
        }
    }
    // The cells are read once more for good, and what is wrong with them is said then.
    cells.faults = Faults::new(&cells.table.file);
    below > above
}

/// The kinds of a file's rows, in the file's words.
pub(super) fn kinds<'t>(
    table: &'t ShopTable,
    layout: &'t ShopLayout,
) -> impl Iterator<Item = String> + 't {
    let places = table.places(layout, ColumnMeaning::Type);
    table.rows.iter().map(move |(_row, texts)| {
        let texts: Vec<&str> = places
            .iter()
            .map(|place| cell(texts, *place))
            .filter(|text| !text.is_empty())
            .collect();
        texts.join(", ")
    })
}

/// The kinds of rows of a file, as they are asked about, that the layout says nothing of.
pub(super) fn unknown_kinds(table: &ShopTable, layout: &ShopLayout) -> BTreeSet<String> {
    kinds(table, layout)
        .filter(|kind| layout.row_meaning(kind).is_none())
        .map(|kind| row_words(&kind))
        .collect()
}
