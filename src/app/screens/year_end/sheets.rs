//! Lists of a year that stand beside its statements: what money did, suppliers, equipment that came and went.
//! They are laid out as the sheets of the same name are.

use super::statements::Paper;
use crate::app::widgets::{RowRank, StatementRow};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::export::{Cell, RowStyle, Table, tables};
use crate::reports;

/// What all money did, month by month.
///
/// # Errors
/// When the book cannot be read.
pub fn money_by_month(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let parts = reports::money_by_month(book, year)?;
    let table = tables::money_by_month(&parts, year, book.currency());
    Ok(of_table(book, &table))
}

/// Suppliers by what they were paid.
///
/// # Errors
/// When the book cannot be read.
pub fn suppliers(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let list = reports::suppliers(book, year)?;
    let table = tables::suppliers(&list, year, book.currency());
    Ok(of_table(book, &table))
}

/// Equipment that came and went.
///
/// # Errors
/// When the book cannot be read.
pub fn equipment_moved(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let list = reports::equipment_moved(book, year)?;
    let table = tables::equipment_moved(&list, year, book.currency());
    Ok(of_table(book, &table))
}

/// A sheet as on paper: its first column of words before the figures, its notes beside its title.
fn of_table(book: &Book, table: &Table) -> Paper {
    let currency = book.currency();
    let has_figures = |column: usize| {
        let rows = table.rows().iter();
        rows.filter(|(style, _)| *style != RowStyle::Heading)
            .any(|(_, cells)| matches!(cells.get(column), Some(Cell::Amount(_))))
    };
    let shown = table.columns.iter().enumerate();
    let (figures, words): (Vec<usize>, Vec<usize>) = shown
        .filter(|(_, column)| column.is_shown)
        .map(|(idx, _)| idx)
        .partition(|idx| has_figures(*idx));
    let mut about = vec![table.subtitle.clone()];
    about.extend(table.notes.iter().cloned());
    let mut paper = Paper {
        title: table.title.clone(),
        about: about.join(". "),
        columns: figures
            .iter()
            .map(|idx| table.columns[*idx].title.clone())
            .collect(),
        ..Paper::default()
    };
    let text = |cell: Option<&Cell>| match cell {
        Some(Cell::Text(text) | Cell::Number(text)) => text.clone(),
        Some(Cell::Amount(amount)) => currency.statement(*amount),
        Some(Cell::Empty) | None => String::new(),
    };
    for (style, cells) in table.rows() {
        if *style == RowStyle::Heading {
            paper.heading(&text(cells.first()));
            continue;
        }
        let label = words.first().map(|idx| text(cells.get(*idx)));
        let row: Vec<String> = figures.iter().map(|idx| text(cells.get(*idx))).collect();
        let rank = match style {
            RowStyle::Total => RowRank::Total,
            RowStyle::Final => RowRank::FinalTotal,
            RowStyle::Line | RowStyle::Heading => RowRank::Plain,
        };
        let row = StatementRow::new(label.unwrap_or_default(), row).rank(rank);
        paper.push(row, Vec::new());
    }
    paper
}
