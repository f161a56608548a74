//! A first guess of what a shop file's columns and rows mean, from everyday words of the trade; the owner corrects it.
//! The words are data in `assets/shop-words.toml`.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use serde::Deserialize;

use super::{ColumnMeaning, FileKind, LayoutColumn, RowMeaning};

/// The words of the trade, as the file has them.
#[derive(Debug, Default, Deserialize)]
struct Words {
    columns: ColumnWords,
    rows: BTreeMap<RowMeaning, Vec<String>>,
}

#[derive(Debug, Default, Deserialize)]
struct ColumnWords {
    orders: BTreeMap<ColumnMeaning, Vec<String>>,
    payouts: BTreeMap<ColumnMeaning, Vec<String>>,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    // A test reads the file; were it broken, nothing would be guessed and the owner points at each column.
    toml::from_str(include_str!("../../assets/shop-words.toml")).unwrap_or_default()
});

/// Meanings of which only one column can be right; the first stays.
const ONLY_ONCE: [ColumnMeaning; 13] = [
    ColumnMeaning::Order,
    ColumnMeaning::Date,
    ColumnMeaning::Listing,
    ColumnMeaning::Code,
    ColumnMeaning::Quantity,
    ColumnMeaning::Price,
    ColumnMeaning::LinePrice,
    ColumnMeaning::Refund,
    ColumnMeaning::RefundDate,
    ColumnMeaning::Total,
    ColumnMeaning::Amount,
    ColumnMeaning::Payout,
    ColumnMeaning::Row,
];

/// What the columns of a file probably mean. Columns of which nothing can be said are left out.
#[must_use]
pub fn guess_columns(kind: FileKind, header: &[String]) -> Vec<LayoutColumn> {
    let words = match kind {
        FileKind::Orders => &WORDS.columns.orders,
        FileKind::Payouts => &WORDS.columns.payouts,
    };
    let mut found: Vec<(usize, ColumnMeaning, Fit)> = Vec::new();
    for (place, name) in header.iter().enumerate() {
        if let Some((meaning, fit)) = best(words, name) {
            found.push((place, meaning, fit));
        }
    }
    let mut columns = Vec::new();
    for (place, meaning, fit) in &found {
        let has_better = found.iter().any(|(other, same, better)| {
            same == meaning && other != place && is_before((better, other), (fit, place))
        });
        if *meaning == ColumnMeaning::Nothing || (ONLY_ONCE.contains(meaning) && has_better) {
            continue;
        }
        // Fees in one sum are no use where each kind has a column of its own.
        let is_sum_of_fees = *meaning == ColumnMeaning::FeeOther
            && found
                .iter()
                .any(|(_, other, _)| other.charge().is_some() && *other != ColumnMeaning::FeeOther)
            && plain(&header[*place]) == "fees";
        if !is_sum_of_fees {
            columns.push(LayoutColumn {
                column: header[*place].clone(),
                means: *meaning,
            });
        }
    }
    if columns.iter().any(|one| one.means == ColumnMeaning::Price) {
        columns.retain(|one| one.means != ColumnMeaning::LinePrice);
    }
    columns
}

/// How well a header fits: whole, or by how long a phrase in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Fit {
    is_whole: bool,
    length: usize,
}

fn is_before(one: (&Fit, &usize), other: (&Fit, &usize)) -> bool {
    (one.0, std::cmp::Reverse(one.1)) > (other.0, std::cmp::Reverse(other.1))
}

fn best<M: Copy + Ord>(words: &BTreeMap<M, Vec<String>>, name: &str) -> Option<(M, Fit)> {
    let name = plain(name);
    let mut best: Option<(M, Fit)> = None;
    for (meaning, phrases) in words {
        for phrase in phrases {
            let phrase = plain(phrase);
            let is_whole = name == phrase;
            let holds = is_whole || format!(" {name} ").contains(&format!(" {phrase} "));
            let fit = Fit {
                is_whole,
                length: phrase.len(),
            };
            if holds && best.is_none_or(|(_, known)| fit > known) {
                best = Some((*meaning, fit));
            }
        }
    }
    best
}

/// Small letters, and everything but letters and digits as one space.
fn plain(text: &str) -> String {
    let spaced: String = text
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words of a kind of row as they are asked about: in small letters, up to a colon or a number.
#[must_use]
pub fn row_words(text: &str) -> String {
    let text = text.trim().to_lowercase();
    let end = text
        .find(|c: char| c == ':' || c == '#' || c.is_ascii_digit())
        .filter(|end| *end > 0)
        .unwrap_or(text.len());
    text[..end]
        .trim_end_matches(|c: char| !c.is_alphanumeric())
        .to_owned()
}

/// What the kinds of rows probably mean, of those about which something can be said.
#[must_use]
pub fn guess_rows(kinds: &BTreeSet<String>) -> BTreeMap<String, RowMeaning> {
    kinds
        .iter()
        .filter_map(|words| {
            let (meaning, fit) = best(&WORDS.rows, words)?;
            // A phrase somewhere in a long text says too little.
            let is_much = fit.is_whole || fit.length * 2 >= plain(words).len();
            is_much.then(|| (words.clone(), meaning))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns(kind: FileKind, header: &[&str]) -> Vec<(String, ColumnMeaning)> {
        let header: Vec<String> = header.iter().map(|name| (*name).to_owned()).collect();
        guess_columns(kind, &header)
            .into_iter()
            .map(|one| (one.column, one.means))
            .collect()
    }

    #[test]
    fn the_words_are_readable() {
        let words: Words =
            toml::from_str(include_str!("../../assets/shop-words.toml")).expect("readable");
        for (kind, list) in [
            (FileKind::Orders, &words.columns.orders),
            (FileKind::Payouts, &words.columns.payouts),
        ] {
            assert!(list.keys().all(|meaning| meaning.is_for(kind)), "{kind}");
        }
    }

    #[test]
    fn everyday_headers_are_guessed_and_addresses_are_left_alone() {
        let found = columns(
            FileKind::Orders,
            &[
                "Order No",
                "Sold on",
                "Buyer",
                "Item",
                "Qty",
                "Item price",
                "Delivery address",
                "Postage",
                "Sales tax",
            ],
        );
        let meanings: Vec<ColumnMeaning> = found.iter().map(|(_, meaning)| *meaning).collect();
        use ColumnMeaning as M;
        assert_eq!(
            meanings,
            [
                M::Order,
                M::Date,
                M::Item,
                M::Quantity,
                M::Price,
                M::Postage
            ]
        );
    }

    #[test]
    fn the_sheet_of_sales_is_guessed_by_its_own_columns() {
        let found = columns(
            FileKind::Orders,
            &[
                "sale",
                "date",
                "paid_into",
                "amount",
                "description",
                "quantity",
                "tax_by_channel",
                "fee_commission",
            ],
        );
        use ColumnMeaning as M;
        let meanings: Vec<ColumnMeaning> = found.iter().map(|(_, meaning)| *meaning).collect();
        assert_eq!(
            meanings,
            [
                M::Order,
                M::Date,
                M::LinePrice,
                M::Item,
                M::Quantity,
                M::TaxByChannel,
                M::FeeCommission
            ]
        );
    }

    #[test]
    fn kinds_of_rows_are_guessed_and_what_is_unclear_is_left() {
        let kinds = ["sale", "commission", "sales tax", "adjustment", "payout"];
        let kinds: BTreeSet<String> = kinds.iter().map(|kind| (*kind).to_owned()).collect();
        let found = guess_rows(&kinds);
        assert_eq!(found.get("sale"), Some(&RowMeaning::Sale));
        assert_eq!(found.get("commission"), Some(&RowMeaning::FeeCommission));
        assert_eq!(found.get("sales tax"), Some(&RowMeaning::TaxByChannel));
        assert_eq!(found.get("payout"), Some(&RowMeaning::Payout));
        assert_eq!(found.get("adjustment"), None);
    }
}
