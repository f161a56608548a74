//! Lists of a year that stand beside its statements: what money did, suppliers, equipment that came and went.
//! They are laid out as the sheets of the same name are.

use super::statements::Paper;
use crate::app::screens::explain::{EquipmentFigure, Flow, PaidBy, Source};
use crate::app::widgets::{RowRank, StatementRow};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::export::{Cell, RowStyle, Table, tables};
use crate::ledger::EntryKind;
use crate::reports;
use crate::statements::SupplierTotal;

/// What all money did, month by month.
///
/// # Errors
/// When the book cannot be read.
pub fn money_by_month(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let parts = reports::money_by_month(book, year)?;
    let table = tables::money_by_month(&parts, year, book.currency());
    let mut sources = Sources::new();
    for part in &parts {
        let range = part.range;
        let moved = |kind: &EntryKind, flow| vec![Source::MoneyMoved(*kind, flow, range)];
        let eve = range.from.pred_opt().unwrap_or(range.from);
        // A heading, the beginning, what came in, what went out, the end.
        sources.push(Vec::new());
        sources.push(vec![Source::MoneyInHand(eve)]);
        sources.extend(part.came_in.keys().map(|kind| moved(kind, Flow::In)));
        sources.extend(part.went_out.keys().map(|kind| moved(kind, Flow::Out)));
        sources.push(vec![Source::MoneyInHand(range.to)]);
    }
    Ok(of_table(book, &table, &sources))
}

/// Suppliers by what they were paid.
///
/// # Errors
/// When the book cannot be read.
pub fn suppliers(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let list = reports::suppliers(book, year)?;
    let table = tables::suppliers(&list, year, book.currency());
    let of_supplier = |one: &SupplierTotal| {
        let ways = PaidBy::ALL.into_iter();
        ways.map(|way| Source::Supplier(one.party.clone(), way, year))
            .collect()
    };
    let sources: Sources = list.iter().map(of_supplier).collect();
    Ok(of_table(book, &table, &sources))
}

/// Equipment that came and went.
///
/// # Errors
/// When the book cannot be read.
pub fn equipment_moved(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let list = reports::equipment_moved(book, year)?;
    let table = tables::equipment_moved(&list, year, book.currency());
    let of_piece = |key: Option<&String>| {
        let figures = EquipmentFigure::ALL.into_iter();
        figures
            .map(|figure| Source::EquipmentMoved(key.cloned(), figure, year))
            .collect()
    };
    let pieces = list.iter().map(|(_name, piece)| Some(&piece.key));
    let sources: Sources = pieces.chain([None]).map(of_piece).collect();
    Ok(of_table(book, &table, &sources))
}

/// Where the figures of a sheet come from: by row, headings too, and by column of figures.
type Sources = Vec<Vec<Source>>;

/// A sheet as on paper: its first column of words before the figures, its notes beside its title. A figure of nothing has
/// nothing behind it.
fn of_table(book: &Book, table: &Table, sources: &Sources) -> Paper {
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
    for (idx, (style, cells)) in table.rows().iter().enumerate() {
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
        let known = sources.get(idx);
        let source = |(place, column): (usize, &usize)| match cells.get(*column) {
            Some(Cell::Amount(amount)) if !amount.is_zero() => known?.get(place).cloned(),
            _ => None,
        };
        paper.push(row, figures.iter().enumerate().map(source).collect());
    }
    paper
}
