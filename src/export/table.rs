//! A table that does not know where it will be shown: aligned text for a terminal, or rows of a CSV file.
//! Text has headings, rules and parentheses; CSV has plain amounts and every column.

use std::collections::BTreeMap;

use crate::money::{Currency, Money};

/// One cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Words.
    Text(String),
    /// An amount of the book's currency.
    Amount(Money),
    /// A number that is not money, already written.
    Number(String),
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<Money> for Cell {
    fn from(amount: Money) -> Self {
        Self::Amount(amount)
    }
}

impl From<Option<Money>> for Cell {
    fn from(amount: Option<Money>) -> Self {
        amount.map_or(Self::Empty, Self::Amount)
    }
}

/// A column's header and where it is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// The header in a CSV file.
    pub slug: &'static str,
    /// The header as text; empty for none.
    pub title: String,
    /// Whether text shows it; a CSV file has every column.
    pub is_shown: bool,
}

/// How a row stands in the text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowStyle {
    /// A line.
    #[default]
    Line,
    /// A heading: its first words alone. Left out of CSV files.
    Heading,
    /// A sum under a single rule.
    Total,
    /// The final sum under a single and above a double rule.
    Final,
}

/// A row that goes into a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SumPart {
    /// The row's place.
    pub row: usize,
    /// Whether it is taken off.
    pub is_less: bool,
}

impl SumPart {
    /// A row that is added.
    #[must_use]
    pub const fn more(row: usize) -> Self {
        Self {
            row,
            is_less: false,
        }
    }

    /// A row that is taken off.
    #[must_use]
    pub const fn less(row: usize) -> Self {
        Self { row, is_less: true }
    }
}

/// Rows and columns with a title.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What it is.
    pub title: String,
    /// Of when, of whom.
    pub subtitle: String,
    /// Its columns.
    pub columns: Vec<Column>,
    rows: Vec<(RowStyle, Vec<Cell>)>,
    /// Of which rows a row is the sum, where it is said; see [`Table::sum_of`].
    sums: BTreeMap<usize, Vec<SumPart>>,
    /// Sentences beneath.
    pub notes: Vec<String>,
}

/// The widest that a column of words grows in text.
const WIDEST: usize = 64;

impl Table {
    /// An empty table.
    #[must_use]
    pub fn new(title: impl Into<String>, subtitle: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            subtitle: subtitle.into(),
            ..Self::default()
        }
    }

    /// The table with a column more.
    #[must_use]
    pub fn column(mut self, slug: &'static str, title: impl Into<String>) -> Self {
        self.columns.push(Column {
            slug,
            title: title.into(),
            is_shown: true,
        });
        self
    }

    /// The table with a column more that only CSV files show.
    #[must_use]
    pub fn csv_column(mut self, slug: &'static str) -> Self {
        self.columns.push(Column {
            slug,
            title: String::new(),
            is_shown: false,
        });
        self
    }

    /// Adds a line.
    pub fn line(&mut self, cells: Vec<Cell>) {
        self.push(RowStyle::Line, cells);
    }

    /// Adds a row of a style and answers its place.
    pub fn push(&mut self, style: RowStyle, cells: Vec<Cell>) -> usize {
        self.rows.push((style, cells));
        self.rows.len() - 1
    }

    /// Adds a sum of other rows, so that a sheet that computes can work it out again. Answers its place.
    pub fn sum_of(&mut self, style: RowStyle, cells: Vec<Cell>, parts: &[SumPart]) -> usize {
        let place = self.push(style, cells);
        self.sums.insert(place, parts.to_vec());
        place
    }

    /// Says of which rows a row is the sum, where these come after it too.
    pub fn say_sum(&mut self, place: usize, parts: Vec<SumPart>) {
        self.sums.insert(place, parts);
    }

    /// Of which rows a row is the sum: as was said, or else the lines since the sum before it.
    #[must_use]
    pub fn parts_of(&self, place: usize) -> Vec<SumPart> {
        if let Some(parts) = self.sums.get(&place) {
            return parts.clone();
        }
        let before = self.rows.get(..place).unwrap_or_default();
        let begins = before
            .iter()
            .rposition(|(style, _cells)| matches!(style, RowStyle::Total | RowStyle::Final))
            .map_or(0, |last| last + 1);
        (begins..place)
            .filter(|row| {
                before
                    .get(*row)
                    .is_some_and(|(style, _cells)| *style == RowStyle::Line)
            })
            .map(SumPart::more)
            .collect()
    }

    /// Whether a column holds figures.
    #[must_use]
    pub fn is_figures(&self, column: usize) -> bool {
        self.is_right(column)
    }

    /// Shows columns in text that otherwise only a CSV file has, where they hold something else than nothing.
    pub fn show(&mut self, slugs: &[&str]) {
        for (place, column) in self.columns.iter_mut().enumerate() {
            let has_something = self
                .rows
                .iter()
                .any(|(_style, cells)| match cells.get(place) {
                    Some(Cell::Amount(amount)) => !amount.is_zero(),
                    Some(Cell::Text(words) | Cell::Number(words)) => !words.is_empty(),
                    Some(Cell::Empty) | None => false,
                });
            if slugs.contains(&column.slug) && has_something {
                column.is_shown = true;
                if column.title.is_empty() {
                    column.title = in_words(column.slug);
                }
            }
        }
    }

    /// Adds a heading.
    pub fn heading(&mut self, words: &str) {
        self.push(RowStyle::Heading, vec![words.into()]);
    }

    /// Adds a sentence beneath.
    pub fn note(&mut self, sentence: impl Into<String>) {
        self.notes.push(sentence.into());
    }

    /// Says in its title and in every row of its CSV file that it is of a practice copy.
    pub fn mark_practice(&mut self) {
        self.title.insert_str(0, "Practice copy: ");
        let place = self.columns.len();
        self.columns.push(Column {
            slug: "practice",
            title: String::new(),
            is_shown: false,
        });
        for (style, cells) in &mut self.rows {
            if *style != RowStyle::Heading {
                cells.resize(place, Cell::Empty);
                cells.push("practice copy".into());
            }
        }
    }

    /// Its rows.
    #[must_use]
    pub fn rows(&self) -> &[(RowStyle, Vec<Cell>)] {
        &self.rows
    }

    /// The table as aligned text.
    #[must_use]
    pub fn text(&self, currency: &Currency) -> String {
        let shown: Vec<usize> = (0..self.columns.len())
            .filter(|idx| self.columns[*idx].is_shown)
            .collect();
        let is_right: Vec<bool> = shown.iter().map(|idx| self.is_right(*idx)).collect();
        let grid: Vec<(RowStyle, Vec<String>)> = self
            .rows
            .iter()
            .map(|(style, cells)| (*style, text_cells(*style, cells, &shown, currency)))
            .collect();
        let widths = self.widths(&shown, &grid);
        let mut out = String::new();
        out.push_str(&self.title);
        out.push('\n');
        if !self.subtitle.is_empty() {
            out.push_str(&self.subtitle);
            out.push('\n');
        }
        if self.rows.is_empty() {
            if self.notes.is_empty() {
                out.push_str("\nNothing here yet.\n");
            }
        } else if shown.iter().any(|idx| !self.columns[*idx].title.is_empty()) {
            out.push('\n');
            let titles: Vec<String> = shown
                .iter()
                .map(|idx| self.columns[*idx].title.clone())
                .collect();
            push_cells(&mut out, &titles, &widths, &is_right);
        }
        for (style, cells) in &grid {
            match style {
                RowStyle::Heading => {
                    out.push('\n');
                    out.push_str(cells.first().map(String::as_str).unwrap_or_default());
                    out.push('\n');
                }
                RowStyle::Line => push_cells(&mut out, cells, &widths, &is_right),
                RowStyle::Total => {
                    push_rule(&mut out, cells, &widths, &is_right, '-');
                    push_cells(&mut out, cells, &widths, &is_right);
                }
                RowStyle::Final => {
                    push_rule(&mut out, cells, &widths, &is_right, '-');
                    push_cells(&mut out, cells, &widths, &is_right);
                    push_rule(&mut out, cells, &widths, &is_right, '=');
                }
            }
        }
        if !self.notes.is_empty() {
            out.push('\n');
        }
        for note in &self.notes {
            out.push_str(note);
            out.push('\n');
        }
        out
    }

    /// The table as CSV after RFC 4180, amounts plain.
    ///
    /// # Errors
    /// When writing fails, which memory does not.
    pub fn csv(&self, currency: &Currency) -> Result<Vec<u8>, csv::Error> {
        let mut writer = csv_writer();
        writer.write_record(self.columns.iter().map(|column| column.slug))?;
        for (style, cells) in &self.rows {
            if *style == RowStyle::Heading {
                continue;
            }
            let fields: Vec<String> = (0..self.columns.len())
                .map(|idx| match cells.get(idx) {
                    None | Some(Cell::Empty) => String::new(),
                    Some(Cell::Text(text) | Cell::Number(text)) => text.clone(),
                    Some(Cell::Amount(amount)) => currency.plain(*amount),
                })
                .collect();
            writer.write_record(fields)?;
        }
        csv_bytes(writer)
    }

    fn is_right(&self, column: usize) -> bool {
        self.rows
            .iter()
            .any(|(_, cells)| matches!(cells.get(column), Some(Cell::Amount(_) | Cell::Number(_))))
    }

    fn widths(&self, shown: &[usize], grid: &[(RowStyle, Vec<String>)]) -> Vec<usize> {
        shown
            .iter()
            .enumerate()
            .map(|(place, idx)| {
                grid.iter()
                    .filter(|(style, _)| *style != RowStyle::Heading)
                    .filter_map(|(_, cells)| cells.get(place))
                    .map(|cell| cell.chars().count())
                    .chain([self.columns[*idx].title.chars().count()])
                    .max()
                    .unwrap_or_default()
            })
            .collect()
    }
}

/// A CSV writer with the line ends of RFC 4180, into memory.
#[must_use]
pub fn csv_writer() -> csv::Writer<Vec<u8>> {
    csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new())
}

/// What a CSV writer wrote.
///
/// # Errors
/// When writing fails, which memory does not.
pub fn csv_bytes(writer: csv::Writer<Vec<u8>>) -> Result<Vec<u8>, csv::Error> {
    writer
        .into_inner()
        .map_err(|error| csv::Error::from(std::io::Error::other(error.to_string())))
}

fn text_cells(
    style: RowStyle,
    cells: &[Cell],
    shown: &[usize],
    currency: &Currency,
) -> Vec<String> {
    if style == RowStyle::Heading {
        return cells
            .iter()
            .filter_map(|cell| match cell {
                Cell::Text(text) => Some(text.clone()),
                _ => None,
            })
            .collect();
    }
    shown
        .iter()
        .map(|idx| match cells.get(*idx) {
            None | Some(Cell::Empty) => String::new(),
            // Nothing stands after the last column, so its words need no cutting.
            Some(Cell::Text(text)) if shown.last() == Some(idx) => one_line(text),
            Some(Cell::Text(text)) => shortened(text),
            Some(Cell::Number(text)) => text.clone(),
            Some(Cell::Amount(amount)) if amount.is_negative() => currency.statement(*amount),
            // A place for the closing parenthesis keeps the decimals beneath each other.
            Some(Cell::Amount(amount)) => format!("{} ", currency.statement(*amount)),
        })
        .collect()
}

fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// One line, no wider than a column may be.
fn shortened(text: &str) -> String {
    let line = one_line(text);
    if line.chars().count() <= WIDEST {
        return line;
    }
    let mut short: String = line.chars().take(WIDEST - 1).collect();
    short.push('…');
    short
}

fn push_cells(out: &mut String, cells: &[String], widths: &[usize], is_right: &[bool]) {
    let mut line = String::new();
    for (place, width) in widths.iter().enumerate() {
        let cell = cells.get(place).map(String::as_str).unwrap_or_default();
        let pad = " ".repeat(width.saturating_sub(cell.chars().count()));
        if place > 0 {
            line.push_str("  ");
        }
        if is_right.get(place).copied().unwrap_or_default() {
            line.push_str(&pad);
            line.push_str(cell);
        } else {
            line.push_str(cell);
            line.push_str(&pad);
        }
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

/// A rule beneath the figures of the columns in which this row has one.
fn push_rule(
    out: &mut String,
    cells: &[String],
    widths: &[usize],
    is_right: &[bool],
    stroke: char,
) {
    let rules: Vec<String> = widths
        .iter()
        .enumerate()
        .map(|(place, width)| {
            let has_figure = is_right.get(place).copied().unwrap_or_default()
                && cells.get(place).is_some_and(|cell| !cell.is_empty());
            if has_figure {
                stroke.to_string().repeat(*width)
            } else {
                String::new()
            }
        })
        .collect();
    push_cells(out, &rules, widths, is_right);
}

/// The words of a column's name in sheets: `own_use` is "Own use".
fn in_words(slug: &str) -> String {
    let mut letters = slug.replace('_', " ").chars().collect::<Vec<char>>();
    if let Some(first) = letters.first_mut() {
        *first = first.to_ascii_uppercase();
    }
    letters.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stand_beneath_each_other_with_rules() {
        let currency = Currency::from_code("USD").expect("ISO 4217 has it");
        let mut table = Table::new("Profit statement", "1 Jan 2026 to 31 Dec 2026")
            .csv_column("group")
            .column("name", "")
            .column("amount", "USD");
        table.heading("Sales");
        table.line(vec![
            "Sales".into(),
            "Sales".into(),
            Money::from_minor(123_450).into(),
        ]);
        table.line(vec![
            "Sales".into(),
            "Refunds".into(),
            Money::from_minor(-450).into(),
        ]);
        table.push(
            RowStyle::Final,
            vec![
                Cell::Empty,
                "Net sales".into(),
                Money::from_minor(123_000).into(),
            ],
        );
        let text = table.text(&currency);
        assert_eq!(
            text,
            "Profit statement\n1 Jan 2026 to 31 Dec 2026\n\n                 USD\n\nSales\nSales      1,234.50\nRefunds       (4.50)\n           ---------\nNet sales  1,230.00\n           =========\n"
        );
        let csv = table.csv(&currency).expect("memory");
        assert_eq!(
            String::from_utf8(csv).expect("text"),
            "group,name,amount\r\nSales,Sales,1234.50\r\nSales,Refunds,-4.50\r\n,Net sales,1230.00\r\n"
        );
    }
}
