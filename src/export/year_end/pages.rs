//! A year's pack as pages to read: cover, contents, what must agree, the schedules, the cautions. How pages are set is
//! `export::pdf`'s; what stands in the schedules is theirs.

use chrono::NaiveDate;

use super::cover::CAUTIONS;
use super::schedules::Schedule;
use crate::dates::{parse_iso, show_day};
use crate::export::pdf::{Align, Column, LeadsTo, Row, RowKind, Sheet, Size, Words};
use crate::export::{Cell, ExportError, RowStyle, Table};
use crate::money::Currency;

/// Ledger and journal of more lines than this are not printed: they are in the workbook and the sheets.
const MOST_LINES: usize = 20_000;

/// What stands before the schedules.
pub(super) struct Front<'a> {
    /// The pack's title.
    pub title: String,
    /// Facts of the business.
    pub facts: Vec<(&'static str, String)>,
    /// The main sums.
    pub figures: Vec<(&'static str, crate::money::Money)>,
    /// What changed in the year.
    pub changes: Vec<String>,
    /// What rests on an estimate.
    pub estimates: Vec<String>,
    /// What is open.
    pub open: &'a [String],
    /// Whether the book is a practice copy.
    pub is_practice: bool,
    /// What must agree, and what came since the pack before.
    pub tables: Vec<Table>,
}

/// The pages as a PDF. `tell` is called as they are laid out and answers whether to go on.
pub(super) fn pages(
    front: &Front<'_>,
    schedules: &[Schedule],
    currency: &Currency,
    made_on: NaiveDate,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<Vec<u8>, ExportError> {
    let mut sheet = Sheet::new(front.title.clone(), Size::of_currency(currency.code()))?;
    cover(&mut sheet, front, currency);
    sheet.section("Contents", false, true);
    let mut titles: Vec<(String, bool)> = front
        .tables
        .iter()
        .map(|table| (table.title.clone(), true))
        .collect();
    // The long lists come last, so that what is read first stands first.
    let (long, short): (Vec<&Schedule>, Vec<&Schedule>) = schedules
        .iter()
        .partition(|one| matches!(one.name, "general-ledger" | "journal"));
    let in_order: Vec<&Schedule> = short.into_iter().chain(long).collect();
    for schedule in &in_order {
        let is_printed = schedule.table.as_ref().is_some_and(is_printed);
        let title = match &schedule.table {
            Some(_) if is_printed => schedule.heading(),
            Some(_) => format!(
                "{}: in the workbook and the sheets, too long to print",
                schedule.heading()
            ),
            None => format!("{}: nothing this year", schedule.heading()),
        };
        titles.push((title, is_printed));
    }
    sheet.contents(&titles);
    for table in &front.tables {
        set(&mut sheet, &table.title, table, currency, false);
        tell()?;
    }
    for schedule in in_order {
        let Some(table) = schedule.table.as_ref().filter(|table| is_printed(table)) else {
            continue;
        };
        let is_first = matches!(schedule.letter.as_str(), "A" | "A1" | "B" | "C" | "C1");
        if matches!(schedule.name, "journal" | "adjusting") {
            let has_marks = schedule.name == "journal";
            set_journal(&mut sheet, &schedule.heading(), table, currency, has_marks);
        } else {
            set(&mut sheet, &schedule.heading(), table, currency, is_first);
        }
        tell()?;
    }
    tell()?;
    sheet.to_pdf(made_on, tell)
}

/// About how often it is told while the pages of these schedules are laid out, written and packed.
pub(super) fn about_steps(schedules: &[Schedule]) -> usize {
    let tables = schedules.iter().filter_map(|one| one.table.as_ref());
    tables
        .filter(|table| is_printed(table))
        .map(|table| 1 + table.rows().len() / 35 + table.rows().len() / 200)
        .sum()
}

fn is_printed(table: &Table) -> bool {
    table.rows().len() <= MOST_LINES
}

fn cover(sheet: &mut Sheet, front: &Front<'_>, currency: &Currency) {
    sheet.heading(1, &front.title);
    if front.is_practice {
        sheet.paragraph(
            "PRACTICE COPY: these figures are from a practice copy and not from the real book. They are for trying out \
             only and must not be handed to anybody as the books of the business.",
        );
    }
    sheet.space(4.0);
    let head = |title: &str, align| Column {
        title: title.to_owned(),
        align,
    };
    let facts: Vec<Row> = front
        .facts
        .iter()
        .map(|(what, fact)| Row::new(RowKind::Line, vec![(*what).into(), fact.as_str().into()]))
        .collect();
    sheet.table(&[head("", Align::Left), head("", Align::Left)], &facts);
    let figures: Vec<Row> = front
        .figures
        .iter()
        .map(|(what, amount)| {
            let from = if what.starts_with("What") {
                "schedule B"
            } else {
                "schedule A"
            };
            let words = vec![
                (*what).into(),
                currency.statement(*amount).into(),
                from.into(),
            ];
            Row::new(RowKind::Line, words)
        })
        .collect();
    sheet.heading(3, "The year in a few figures");
    let heads = [
        head("", Align::Left),
        head(currency.code(), Align::Right),
        head("From", Align::Left),
    ];
    sheet.table(&heads, &figures);
    let list = |sheet: &mut Sheet, title: &str, points: &[String], none: &str| {
        sheet.heading(3, title);
        if points.is_empty() {
            sheet.paragraph(none);
        }
        for point in points {
            sheet.paragraph(&format!("\u{2013} {point}"));
        }
    };
    list(
        sheet,
        "Still open",
        front.open,
        "Nothing that the book knows of.",
    );
    list(
        sheet,
        "New or gone this year",
        &front.changes,
        "Nothing that the book knows of.",
    );
    list(
        sheet,
        "What rests on an estimate",
        &front.estimates,
        "Nothing.",
    );
    sheet.heading(3, "Cautions");
    for caution in CAUTIONS {
        sheet.paragraph(caution);
    }
}

/// The places of the columns that are read: the others are for programs, or have nothing in them.
fn shown(table: &Table) -> Vec<usize> {
    let says_something = |idx: usize| {
        table.rows().iter().any(|(style, cells)| {
            *style != RowStyle::Heading
                && match cells.get(idx) {
                    Some(Cell::Text(text)) => !text.is_empty(),
                    Some(Cell::Empty) | None => false,
                    Some(_) => true,
                }
        })
    };
    (0..table.columns.len())
        .filter(|idx| table.columns.get(*idx).is_some_and(|one| one.is_shown))
        .filter(|idx| says_something(*idx))
        .collect()
}

fn columns(table: &Table, shown: &[usize]) -> Vec<Column> {
    shown
        .iter()
        .filter_map(|idx| {
            let column = table.columns.get(*idx)?;
            Some(Column {
                title: column.title.clone(),
                align: if table.is_figures(*idx) {
                    Align::Right
                } else {
                    Align::Left
                },
            })
        })
        .collect()
}

/// A cell in words, leading to its entry where it names one.
fn words(table: &Table, column: usize, cell: Option<&Cell>, currency: &Currency) -> Words {
    match cell {
        None | Some(Cell::Empty) => Words::default(),
        Some(Cell::Text(text)) => day_or(text).into(),
        Some(Cell::Amount(amount)) => currency.statement(*amount).into(),
        Some(Cell::Number(text)) => {
            let is_entry = table
                .columns
                .get(column)
                .is_some_and(|one| one.slug == "entry");
            Words {
                text: text.clone(),
                leads_to: text.parse().ok().filter(|_| is_entry).map(LeadsTo::Mark),
            }
        }
    }
}

/// A day as it is read, where a text is one as sheets write it.
fn day_or(text: &str) -> String {
    let is_day = text.len() == 10 && text.as_bytes().get(4) == Some(&b'-');
    match parse_iso(text) {
        Ok(day) if is_day => show_day(day),
        _ => text.to_owned(),
    }
}

fn kind_of(style: RowStyle) -> RowKind {
    match style {
        RowStyle::Line => RowKind::Line,
        RowStyle::Heading => RowKind::Heading,
        RowStyle::Total => RowKind::Total,
        RowStyle::Final => RowKind::Final,
    }
}

fn set(sheet: &mut Sheet, title: &str, table: &Table, currency: &Currency, is_first: bool) {
    let shown = shown(table);
    let columns = columns(table, &shown);
    let rows: Vec<Row> = table
        .rows()
        .iter()
        .map(|(style, cells)| {
            let cells = if *style == RowStyle::Heading {
                cells
                    .iter()
                    .filter_map(|cell| match cell {
                        Cell::Text(text) => Some(text.as_str().into()),
                        _ => None,
                    })
                    .collect()
            } else {
                shown
                    .iter()
                    .map(|idx| words(table, *idx, cells.get(*idx), currency))
                    .collect()
            };
            Row::new(kind_of(*style), cells)
        })
        .collect();
    begin(sheet, title, table, &columns, &rows, is_first);
}

fn begin(
    sheet: &mut Sheet,
    title: &str,
    table: &Table,
    columns: &[Column],
    rows: &[Row],
    is_first: bool,
) {
    let is_wide = sheet.is_wide(columns, rows);
    sheet.section(title, is_wide, is_first);
    sheet.paragraph(&table.subtitle);
    if !rows.is_empty() {
        sheet.table_with_notes(columns, rows, &table.notes);
    } else if table.notes.is_empty() {
        sheet.paragraph("Nothing this year.");
    } else {
        for note in &table.notes {
            sheet.paragraph(note);
        }
    }
}

/// The journal: number, day and words stand at the first line of each entry, which other pages lead to.
fn set_journal(
    sheet: &mut Sheet,
    title: &str,
    table: &Table,
    currency: &Currency,
    has_marks: bool,
) {
    let place = |slug: &str| table.columns.iter().position(|one| one.slug == slug);
    let text = |cells: &[Cell], slug: &str| match place(slug).and_then(|idx| cells.get(idx)) {
        Some(Cell::Text(text) | Cell::Number(text)) => text.clone(),
        Some(Cell::Amount(amount)) => currency.statement(*amount),
        _ => String::new(),
    };
    let heads = [
        ("No.", Align::Right),
        ("Day", Align::Left),
        ("With", Align::Left),
        ("What", Align::Left),
        ("Account", Align::Left),
        ("Debit", Align::Right),
        ("Credit", Align::Right),
    ];
    let columns: Vec<Column> = heads
        .into_iter()
        .map(|(title, align)| Column {
            title: title.to_owned(),
            align,
        })
        .collect();
    let mut rows = Vec::new();
    let mut last = String::new();
    for (_style, cells) in table.rows() {
        let number = text(cells, "entry");
        let is_first = number != last;
        let first = |words: String| if is_first { words } else { String::new() };
        let account = format!("{} {}", text(cells, "account"), text(cells, "account_name"));
        let mut row = Row::new(
            RowKind::Line,
            vec![
                first(number.clone()).into(),
                first(day_or(&text(cells, "date"))).into(),
                first(text(cells, "party")).into(),
                text(cells, "memo").into(),
                account.into(),
                text(cells, "debit").into(),
                text(cells, "credit").into(),
            ],
        );
        let parsed = number.parse().ok().filter(|_| is_first);
        if has_marks {
            row.mark = parsed;
        } else if let Some(cell) = row.cells.first_mut() {
            cell.leads_to = parsed.map(LeadsTo::Mark);
        }
        rows.push(row);
        last = number;
    }
    begin(sheet, title, table, &columns, &rows, false);
}
