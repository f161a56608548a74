//! A layout for a file that has none yet: what the owner pointed at, guesses for the rest, and how the file writes
//! days and amounts. What cannot be known is asked.

use std::collections::{BTreeMap, BTreeSet};

use super::charges::{kinds, unknown_kinds};
use super::table::{ShopTable, cell};
use crate::bank::DateOrder;
use crate::import::bank::days::day;
use crate::import::bank::figures::{Figure, figure};
use crate::money::Currency;
use crate::shops::{
    ColumnMeaning, FeeSign, FileKind, LayoutColumn, LayoutError, RowMeaning, ShopLayout,
    guess_columns, guess_rows,
};

/// What the owner said about a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Given {
    /// The layout that was kept, if any.
    pub kept: Option<ShopLayout>,
    /// What columns mean; instead of guesses, or beside those of a kept layout.
    pub columns: Vec<LayoutColumn>,
    /// What kinds of rows mean.
    pub rows: BTreeMap<String, RowMeaning>,
    /// Amounts that count on each row.
    pub per_row: BTreeSet<ColumnMeaning>,
    /// How days are written.
    pub dates: Option<DateOrder>,
    /// How amounts are written.
    pub decimal: Option<char>,
    /// How fees are written.
    pub fees: Option<FeeSign>,
}

/// Something that only the owner can know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// What the layout lacks.
    Layout(LayoutError),
    /// What these kinds of rows mean.
    Rows(BTreeSet<String>),
    /// In which order days are written, and one that can be read in two ways.
    Dates(String),
    /// Which mark stands before decimals, and an amount that can be read in two ways.
    Decimal(String),
    /// Whether this kind of row, of which all stand above nothing, was charged or given back.
    Fees(String),
}

impl Asked {
    /// The question with the option that answers it, one sentence without a full stop.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Self::Layout(error) => error.to_string(),
            Self::Rows(kinds) => {
                let first = kinds.first().map(String::as_str).unwrap_or_default();
                let all: Vec<String> = kinds.iter().map(|kind| format!("'{kind}'")).collect();
                let known: Vec<&str> = RowMeaning::ALL.iter().map(|one| one.as_str()).collect();
                format!(
                    "say what rows of {} are: --rows \"{first}=fee-other\", or one of {}",
                    all.join(", "),
                    known.join(", ")
                )
            }
            Self::Decimal(text) => {
                format!("'{text}' can be read in two ways: say --decimal point or --decimal comma")
            }
            Self::Fees(what) => format!(
                "every amount stands above nothing, and nothing tells whether {what} takes from your balance: say --fees \
                 plus when it does, --fees minus when the sign is meant"
            ),
            Self::Dates(text) => {
                format!("'{text}' can be read in two ways: say --dates dmy or --dates mdy")
            }
        }
    }
}

/// A layout, and what is still to be asked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proposal {
    /// The layout as far as it is known.
    pub layout: ShopLayout,
    /// What is to be asked, the most needed first.
    pub asked: Vec<Asked>,
}

/// The layout of a file, from what was said, what was kept, and what the file shows.
#[must_use]
pub fn propose(table: &ShopTable, kind: FileKind, given: &Given, currency: &Currency) -> Proposal {
    let mut layout = given.kept.clone().unwrap_or_default();
    let is_new = given.kept.is_none();
    if is_new && given.columns.is_empty() {
        layout.columns = guess_columns(kind, &table.header);
    }
    for column in &given.columns {
        layout.columns.retain(|known| {
            known.column.trim().to_lowercase() != column.column.trim().to_lowercase()
        });
        if column.means != ColumnMeaning::Nothing {
            layout.columns.push(column.clone());
        }
    }
    for (words, meaning) in &given.rows {
        layout.rows.insert(words.clone(), *meaning);
    }
    layout.per_row.extend(&given.per_row);
    let mut asked = Vec::new();
    let checked = layout
        .check_header(&table.header)
        .and_then(|()| layout.check(kind));
    if let Err(error) = checked {
        asked.push(Asked::Layout(error));
    }
    if let Some(dates) = given.dates {
        layout.dates = dates;
    } else if is_new {
        match date_order(table, &layout) {
            Ok(order) => layout.dates = order,
            Err(text) => asked.push(Asked::Dates(text)),
        }
    }
    if let Some(decimal) = given.decimal {
        layout.decimal_mark = decimal;
    } else if is_new {
        match decimal_mark(table, &layout, currency) {
            Ok(mark) => layout.decimal_mark = mark,
            Err(text) => asked.push(Asked::Decimal(text)),
        }
    }
    if kind == FileKind::Payouts && layout.has(ColumnMeaning::Type) {
        let unknown = unknown_kinds(table, &layout);
        layout.rows.extend(guess_rows(&unknown));
        let unknown = unknown_kinds(table, &layout);
        if !unknown.is_empty() {
            asked.push(Asked::Rows(unknown));
        }
    }
    if let Some(fees) = given.fees {
        layout.fees = Some(fees);
    } else if layout.fees.is_none() {
        match fee_sign(table, &layout, kind) {
            Ok(sign) => layout.fees = sign,
            Err(what) => asked.push(Asked::Fees(what)),
        }
    }
    Proposal { layout, asked }
}

/// The cells of a table's columns of a kind.
fn texts<'t>(
    table: &'t ShopTable,
    layout: &ShopLayout,
    is: impl Fn(ColumnMeaning) -> bool,
) -> Vec<&'t str> {
    let places: Vec<usize> = ColumnMeaning::ALL
        .iter()
        .filter(|meaning| is(**meaning))
        .flat_map(|meaning| table.places(layout, *meaning))
        .collect();
    let rows = table.rows.iter();
    rows.flat_map(|(_row, cells)| places.iter().map(|place| cell(cells, *place)))
        .filter(|text| !text.is_empty())
        .collect()
}

/// The order in which all days can be read; one that has two readings where nothing decides.
fn date_order(table: &ShopTable, layout: &ShopLayout) -> Result<DateOrder, String> {
    let days = texts(table, layout, |meaning| {
        matches!(meaning, ColumnMeaning::Date | ColumnMeaning::RefundDate)
    });
    // A cell that is no day in any order is a fault of its own, said when it is read.
    let days: Vec<_> = days
        .into_iter()
        .map(|text| (text, day(text)))
        .filter(|(_, day)| day.is_possible())
        .collect();
    let mut left: Vec<DateOrder> = DateOrder::ALL.to_vec();
    left.retain(|order| days.iter().all(|(_, day)| day.under(*order).is_some()));
    let Some(first) = left.first() else {
        return Ok(DateOrder::Ymd);
    };
    let differs = left.iter().find_map(|order| {
        let mut days = days.iter();
        days.find(|(_, day)| day.under(*order) != day.under(*first))
    });
    match differs {
        Some((text, _)) => Err((*text).to_owned()),
        None => Ok(*first),
    }
}

/// The mark before the decimals under which all amounts can be read; one that has two readings where nothing decides.
fn decimal_mark(
    table: &ShopTable,
    layout: &ShopLayout,
    currency: &Currency,
) -> Result<char, String> {
    let figures: Vec<_> = texts(table, layout, ColumnMeaning::is_amount)
        .into_iter()
        .filter_map(|text| Some((text, figure(text)?)))
        .collect();
    let reads = |mark: char| {
        let mut figures = figures.iter();
        figures.all(|(_, figure)| figure.value(mark, currency).is_ok())
    };
    match (reads('.'), reads(',')) {
        (true, true) => {
            let differs = |(_, figure): &&(&str, Figure)| {
                figure.value('.', currency) != figure.value(',', currency)
            };
            match figures.iter().find(differs) {
                Some((text, _)) => Err((*text).to_owned()),
                None => Ok('.'),
            }
        }
        (false, true) => Ok(','),
        _ => Ok('.'),
    }
}

/// Whether charges stand below nothing, as far as the file shows it: in a column of fees of an order, or in the amounts
/// of rows. Rows of charges above nothing show it only beside rows of sales; alone they may have been given back.
fn fee_sign(
    table: &ShopTable,
    layout: &ShopLayout,
    kind: FileKind,
) -> Result<Option<FeeSign>, String> {
    let is_below = |text: &&str| figure(text).is_some_and(|figure| figure.is_negative);
    let amounts = match kind {
        FileKind::Orders => texts(table, layout, |meaning| meaning.charge().is_some()),
        FileKind::Payouts => texts(table, layout, |meaning| meaning == ColumnMeaning::Amount),
    };
    if amounts.iter().any(is_below) {
        return Ok(Some(FeeSign::Minus));
    }
    if kind == FileKind::Orders {
        return Ok((!amounts.is_empty()).then_some(FeeSign::Plus));
    }
    let kinds: BTreeSet<RowMeaning> = kinds(table, layout)
        .filter_map(|kind| layout.row_meaning(&kind))
        .collect();
    let against = kinds.iter().find(|kind| kind.is_against());
    match against {
        None => Ok(None),
        Some(_) if kinds.contains(&RowMeaning::Sale) => Ok(Some(FeeSign::Plus)),
        Some(kind) => Err(kind.plain().to_lowercase()),
    }
}
