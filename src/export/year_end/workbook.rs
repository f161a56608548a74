//! A year's pack as one workbook: a sheet a schedule, real numbers and days, totals as formulas with their results stored,
//! entry numbers that lead to the journal. What stands in the schedules is theirs.

use std::collections::BTreeMap;
use std::sync::mpsc;

use chrono::{NaiveDate, NaiveTime};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Formula, Url, Workbook,
    Worksheet, XlsxError,
};

use super::formulas::formula;
use super::schedules::Schedule;
use crate::dates::parse_iso;
use crate::export::{Cell, ExportError, RowStyle, Table};
use crate::money::{Currency, Money};

/// The row of the column heads: title, subtitle and a free row stand above it.
pub(super) const HEAD: u32 = 3;
/// More links than a sheet may hold would spoil the file.
const MOST_LINKS: usize = 60_000;
/// After so many rows it is told how far the work is.
const TOLD_EVERY: usize = 4_000;
/// And after so many bytes that are packed.
const TOLD_EVERY_BYTES: usize = 256 * 1_024;
/// About as many bytes does a row take, packed.
const PACKED_ROW: usize = 25;
/// The height of a line, in points.
const LINE: u32 = 16;
const JOURNAL: &str = "journal";
/// Rows of a long sheet.
const LONG: usize = 20_000;

struct Formats {
    title: Format,
    soft: Format,
    note: Format,
    head: Format,
    words: Format,
    words_bold: Format,
    amount: Format,
    total: Format,
    last: Format,
    day: Format,
    link: Format,
    number: Format,
}

impl Formats {
    fn new(currency: &Currency) -> Self {
        let decimals = match currency.decimals() {
            0 => String::new(),
            n => format!(".{}", "0".repeat(n as usize)),
        };
        let amounts = format!("#,##0{decimals}_);(#,##0{decimals})");
        // Words run over several lines; what stands beside them begins where they begin.
        let top = Format::new().set_align(FormatAlign::Top);
        let amount = top.clone().set_num_format(&amounts);
        Self {
            title: Format::new().set_bold().set_font_size(14),
            soft: Format::new().set_italic(),
            note: Format::new()
                .set_italic()
                .set_text_wrap()
                .set_align(FormatAlign::Top),
            head: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_border_bottom(FormatBorder::Thin),
            words: top.clone().set_text_wrap(),
            words_bold: top.clone().set_bold(),
            total: amount.clone().set_bold().set_border_top(FormatBorder::Thin),
            last: amount
                .clone()
                .set_bold()
                .set_border_top(FormatBorder::Thin)
                .set_border_bottom(FormatBorder::Double),
            amount,
            day: top
                .clone()
                .set_num_format("yyyy-mm-dd")
                .set_align(FormatAlign::Left),
            link: top.clone().set_num_format("0"),
            number: top,
        }
    }
}

fn refused(error: XlsxError) -> ExportError {
    ExportError::Figures(format!("the workbook could not be made: {error}"))
}

/// A sheet of the workbook.
struct Tab<'a> {
    name: String,
    title: String,
    table: &'a Table,
    is_journal: bool,
}

/// A name that a workbook takes: 31 letters at most, without its own signs.
fn tab_name(letter: &str, title: &str) -> String {
    let name: String = format!("{letter} {title}")
        .chars()
        .map(|letter| match letter {
            '[' | ']' | ':' | '*' | '?' | '/' | '\\' | '\'' => ' ',
            other => other,
        })
        .take(31)
        .collect();
    name.trim().to_owned()
}

/// The workbook's bytes. `front` stands before the schedules; `tell` is called after each sheet and answers whether to go
/// on.
pub(super) fn workbook(
    title: &str,
    front: &[Table],
    schedules: Vec<Schedule>,
    currency: &Currency,
    made_on: NaiveDate,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<Vec<u8>, ExportError> {
    let mut tabs: Vec<Tab<'_>> = front
        .iter()
        .map(|table| Tab {
            name: tab_name("", &table.title),
            title: table.title.clone(),
            table,
            is_journal: false,
        })
        .collect();
    for schedule in &schedules {
        if let Some(table) = &schedule.table {
            tabs.push(Tab {
                name: tab_name(&schedule.letter, &schedule.title),
                title: schedule.heading(),
                table,
                is_journal: schedule.name == JOURNAL,
            });
        }
    }
    let formats = Formats::new(currency);
    let entries = places_of_entries(&tabs);
    let mut workbook = Workbook::new();
    let made = made_on.and_time(NaiveTime::MIN).and_utc();
    workbook.set_properties(
        &DocProperties::new()
            .set_title(title)
            .set_author("Deckle")
            .set_creation_datetime(
                &ExcelDateTime::from_timestamp(made.timestamp()).map_err(refused)?,
            ),
    );
    contents(workbook.add_worksheet(), title, &tabs, &schedules, &formats).map_err(refused)?;
    for tab in &tabs {
        // A long sheet goes to the disk row by row; the memory it would take is a multiple of the file.
        let sheet = if tab.table.rows().len() > LONG {
            workbook
                .add_worksheet_with_constant_memory()
                .map_err(refused)?
        } else {
            workbook.add_worksheet()
        };
        fill(sheet, tab, &formats, currency, &entries, tell)?;
        tell()?;
    }
    // Packing takes room of its own, and the sheets say all that the lists said.
    drop((tabs, entries));
    drop(schedules);
    saved(&mut workbook, tell)
}

/// Packs the workbook, which the library does in one go: beside it, it is told for every so many bytes, and when it is
/// stopped the library finds nothing more to write to.
fn saved(
    workbook: &mut Workbook,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<Vec<u8>, ExportError> {
    let (parts, arriving) = mpsc::channel();
    std::thread::scope(|scope| {
        let packing = scope.spawn(move || workbook.save_to_writer(Parts(parts)));
        let mut bytes: Vec<u8> = Vec::new();
        let mut told = 0;
        for part in arriving {
            bytes.extend(part);
            if bytes.len() - told >= TOLD_EVERY_BYTES {
                told = bytes.len();
                // Leaving closes the channel, and with it ends the packing.
                tell()?;
            }
        }
        match packing.join() {
            Ok(saved) => saved.map(|()| bytes).map_err(refused),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// Sends what is written to whoever waits for it.
struct Parts(mpsc::Sender<Vec<u8>>);

impl std::io::Write for Parts {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0
            .send(bytes.to_owned())
            .map_err(|_stopped| std::io::Error::from(std::io::ErrorKind::BrokenPipe))?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// How often it is told while long sheets are filled, and then packed.
pub(super) fn about_steps(schedules: &[Schedule]) -> usize {
    let tables = schedules.iter().filter_map(|one| one.table.as_ref());
    tables
        .map(|table| {
            let rows = table.rows().len();
            rows / TOLD_EVERY + rows * PACKED_ROW / TOLD_EVERY_BYTES
        })
        .sum()
}

/// Where each entry begins in the journal's sheet.
fn places_of_entries(tabs: &[Tab<'_>]) -> BTreeMap<String, String> {
    let mut places = BTreeMap::new();
    let Some(tab) = tabs.iter().find(|tab| tab.is_journal) else {
        return places;
    };
    let column = tab.table.columns.iter().position(|one| one.slug == "entry");
    for (place, (_style, cells)) in tab.table.rows().iter().enumerate() {
        if let Some(Cell::Number(number)) = column.and_then(|idx| cells.get(idx)) {
            places.entry(number.clone()).or_insert_with(|| {
                format!("internal:'{}'!A{}", tab.name, place + HEAD as usize + 2)
            });
        }
    }
    places
}

fn contents(
    sheet: &mut Worksheet,
    title: &str,
    tabs: &[Tab<'_>],
    schedules: &[Schedule],
    formats: &Formats,
) -> Result<(), XlsxError> {
    sheet.set_name("Contents")?;
    sheet.set_column_width(0, 70)?;
    sheet.write_with_format(0, 0, title, &formats.title)?;
    let mut row = 2;
    for tab in tabs {
        let url = Url::new(format!("internal:'{}'!A1", tab.name)).set_text(&tab.title);
        sheet.write_url(row, 0, url)?;
        row += 1;
    }
    for schedule in schedules.iter().filter(|one| one.table.is_none()) {
        let words = format!("{}: nothing this year", schedule.heading());
        sheet.write_with_format(row, 0, words, &formats.soft)?;
        row += 1;
    }
    row += 1;
    for caution in super::cover::CAUTIONS {
        sheet.set_row_height(row, LINE * lines_of(caution, 70))?;
        sheet.write_with_format(row, 0, caution, &formats.words)?;
        row += 1;
    }
    Ok(())
}

/// A column's head: as it is read, or its word in sheets.
fn head_of(table: &Table, column: usize) -> String {
    let Some(column) = table.columns.get(column) else {
        return String::new();
    };
    if !column.title.is_empty() {
        return column.title.clone();
    }
    let words = column.slug.replace('_', " ");
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn fill(
    sheet: &mut Worksheet,
    tab: &Tab<'_>,
    formats: &Formats,
    currency: &Currency,
    entries: &BTreeMap<String, String>,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<(), ExportError> {
    begin(sheet, tab, formats, currency).map_err(refused)?;
    let widths: Vec<u32> = (0..tab.table.columns.len())
        .map(|column| width_of(tab.table, column, currency))
        .collect();
    let mut n_links = 0;
    for place in 0..tab.table.rows().len() {
        write_row(
            sheet,
            tab,
            place,
            (formats, currency, entries),
            &widths,
            &mut n_links,
        )
        .map_err(refused)?;
        if place % TOLD_EVERY == TOLD_EVERY - 1 {
            tell()?;
        }
    }
    end(sheet, tab.table, formats, currency).map_err(refused)
}

/// Title, heads and widths.
fn begin(
    sheet: &mut Worksheet,
    tab: &Tab<'_>,
    formats: &Formats,
    currency: &Currency,
) -> Result<(), XlsxError> {
    let table = tab.table;
    sheet.set_name(&tab.name)?;
    sheet.write_with_format(0, 0, tab.title.as_str(), &formats.title)?;
    sheet.write_with_format(1, 0, table.subtitle.as_str(), &formats.soft)?;
    for column in 0..table.columns.len() {
        let idx = at(column);
        sheet.write_with_format(HEAD, idx, head_of(table, column), &formats.head)?;
        sheet.set_column_width(idx, width_of(table, column, currency))?;
    }
    sheet.set_freeze_panes(HEAD + 1, 0)?;
    sheet.set_repeat_rows(HEAD, HEAD)?;
    sheet.set_print_fit_to_pages(1, 0);
    if table.columns.len() > 6 {
        sheet.set_landscape();
    }
    Ok(())
}

/// One row of the table.
fn write_row(
    sheet: &mut Worksheet,
    tab: &Tab<'_>,
    place: usize,
    (formats, currency, entries): (&Formats, &Currency, &BTreeMap<String, String>),
    widths: &[u32],
    n_links: &mut usize,
) -> Result<(), XlsxError> {
    let table = tab.table;
    let Some((style, cells)) = table.rows().get(place) else {
        return Ok(());
    };
    let row = HEAD + 1 + u32::try_from(place).unwrap_or(u32::MAX);
    if *style == RowStyle::Heading {
        if let Some(Cell::Text(words)) = cells.first() {
            let column = first_words(table);
            sheet.write_with_format(row, column, words.as_str(), &formats.words_bold)?;
        }
        return Ok(());
    }
    let lines = lines_of_row(cells, widths);
    if lines > 1 {
        sheet.set_row_height(row, LINE * lines)?;
    }
    let format = match style {
        RowStyle::Total => &formats.total,
        RowStyle::Final => &formats.last,
        _ => &formats.amount,
    };
    for (column, cell) in cells.iter().enumerate() {
        let idx = at(column);
        match cell {
            Cell::Empty => {}
            Cell::Amount(amount) => {
                let formula = (*style != RowStyle::Line)
                    .then(|| formula(table, place, column, *amount))
                    .flatten();
                match formula {
                    Some(formula) => {
                        let formula = Formula::new(formula).set_result(currency.plain(*amount));
                        sheet.write_with_format(row, idx, formula, format)?;
                    }
                    None => {
                        sheet.write_with_format(row, idx, number(currency, *amount), format)?;
                    }
                }
            }
            Cell::Number(text) => {
                let leads_to = table
                    .columns
                    .get(column)
                    .filter(|one| one.slug == "entry" && !tab.is_journal && *n_links < MOST_LINKS)
                    .and_then(|_| entries.get(text));
                if let Some(url) = leads_to {
                    *n_links += 1;
                    sheet.write_url(row, idx, url.as_str())?;
                }
                match text.parse::<f64>() {
                    Ok(value) if leads_to.is_some() => {
                        sheet.write_with_format(row, idx, value, &formats.link)?;
                    }
                    Ok(value) => {
                        sheet.write_with_format(row, idx, value, &formats.number)?;
                    }
                    Err(_no_number) => {
                        sheet.write_with_format(row, idx, text.as_str(), &formats.number)?;
                    }
                }
            }
            Cell::Text(text) => {
                let slug = table.columns.get(column).map(|one| one.slug);
                match day_in(text) {
                    Some(day) => {
                        sheet.write_with_format(row, idx, &day, &formats.day)?;
                    }
                    None if slug == Some("file") && text.starts_with("receipts/") => {
                        let url = Url::new(format!("file:///{text}")).set_text(text);
                        sheet.write_url(row, idx, url)?;
                    }
                    None if *style != RowStyle::Line => {
                        sheet.write_with_format(row, idx, text.as_str(), &formats.words_bold)?;
                    }
                    None => {
                        sheet.write_with_format(row, idx, text.as_str(), &formats.words)?;
                    }
                }
            }
        }
    }
    Ok(())
}

/// The sentences beneath.
fn end(
    sheet: &mut Worksheet,
    table: &Table,
    formats: &Formats,
    currency: &Currency,
) -> Result<(), XlsxError> {
    let after = HEAD + 2 + u32::try_from(table.rows().len()).unwrap_or(u32::MAX);
    let last = at(table.columns.len().saturating_sub(1));
    let letters: u32 = (0..table.columns.len())
        .map(|column| width_of(table, column, currency))
        .sum();
    for (row, note) in (after..).zip(&table.notes) {
        let lines = lines_of(note, letters);
        sheet.set_row_height(row, LINE * lines)?;
        if last == 0 {
            sheet.write_with_format(row, 0, note.as_str(), &formats.note)?;
        } else {
            sheet.merge_range(row, 0, row, last, note, &formats.note)?;
        }
    }
    Ok(())
}

/// How many lines the longest text of a row takes in its column; some readers do not work that out themselves.
fn lines_of_row(cells: &[Cell], widths: &[u32]) -> u32 {
    cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| match cell {
            // A word that does not fit any more leaves a part of its line free.
            Cell::Text(text) if text.chars().count() > *width as usize => {
                lines_of(text, width.saturating_sub(6))
            }
            _ => 1,
        })
        .max()
        .unwrap_or(1)
}

/// How many lines a text takes where so many letters stand beside each other.
fn lines_of(text: &str, letters: u32) -> u32 {
    let long = u32::try_from(text.chars().count()).unwrap_or(u32::MAX);
    long.div_ceil(letters.max(12)).max(1)
}

pub(super) fn at(column: usize) -> u16 {
    u16::try_from(column).unwrap_or(u16::MAX)
}

/// Where headings stand: in the first column of words that is read.
fn first_words(table: &Table) -> u16 {
    let column = (0..table.columns.len()).find(|idx| {
        table.columns.get(*idx).is_some_and(|one| one.is_shown) && !table.is_figures(*idx)
    });
    at(column.unwrap_or_default())
}

fn day_in(text: &str) -> Option<NaiveDate> {
    let is_day = text.len() == 10 && text.as_bytes().get(4) == Some(&b'-');
    parse_iso(text).ok().filter(|_| is_day)
}

/// The amount as a spreadsheet holds it; read from its decimals, so that it is the nearest there is.
fn number(currency: &Currency, amount: Money) -> f64 {
    currency.plain(amount).parse().unwrap_or_default()
}

/// How wide a column is, in letters.
fn width_of(table: &Table, column: usize, currency: &Currency) -> u32 {
    let longest = table
        .rows()
        .iter()
        .filter(|(style, _cells)| *style != RowStyle::Heading)
        .map(|(_style, cells)| match cells.get(column) {
            Some(Cell::Text(text) | Cell::Number(text)) => text.chars().count(),
            Some(Cell::Amount(amount)) => currency.statement(*amount).len() + 2,
            _ => 0,
        })
        .chain([head_of(table, column).chars().count().min(14)])
        .max()
        .unwrap_or_default();
    u32::try_from(longest.clamp(6, 48) + 2).unwrap_or(50)
}
