//! Laying out: where each run of text stands, where a page ends, which runs make a heading, a paragraph or a table.
//! Lengths are in points, 72 to the inch, from the upper left corner. Writing it as PDF is `write`'s.

use std::collections::BTreeMap;

use super::ExportError;
use super::fit::{self, Grid};
use super::keep::AFTER;
use super::measure::{BOLD, Measure, PLAIN};

pub(super) const BODY: f32 = 10.0;
pub(super) const LEADING: f32 = 1.4;
/// So much of what follows a heading stands on its page.
const KEPT_WITH: f32 = 48.0;
pub(super) const MARGIN: f32 = 56.0;
const FOOT: f32 = 24.0;
pub(super) const ROW_GAP: f32 = 2.0;
/// The room on either side of a rule of a sum.
pub(super) const RULE_ROOM: f32 = 2.0;
/// A section goes on on the same page when at least this much of it is left.
const ROOM_TO_BEGIN: f32 = 150.0;

/// The paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 inches.
    Letter,
}

impl Size {
    /// The paper that amounts in this currency are usually printed on.
    #[must_use]
    pub fn of_currency(code: &str) -> Self {
        if code == "USD" {
            Self::Letter
        } else {
            Self::A4
        }
    }

    /// Width and height.
    #[must_use]
    pub const fn points(self) -> (f32, f32) {
        match self {
            Self::A4 => (595.28, 841.89),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// On which side of its column text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures, the closing parenthesis of a negative one hanging out.
    Right,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its head.
    pub title: String,
    /// On which side its text stands.
    pub align: Align,
}

/// Where a text leads to within the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeadsTo {
    /// A section, by its place.
    Section(usize),
    /// A row that was marked with this number, as an entry of the journal.
    Mark(u64),
}

/// The text of a cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// The text.
    pub text: String,
    /// Where it leads to.
    pub leads_to: Option<LeadsTo>,
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self {
            text,
            leads_to: None,
        }
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// How a row is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowKind {
    /// A line.
    #[default]
    Line,
    /// Words over the lines that follow.
    Heading,
    /// A sum under a single rule.
    Total,
    /// The last sum, under a single and over a double rule.
    Final,
}

/// A row of a table before it is placed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// How it is drawn.
    pub kind: RowKind,
    /// A number that other places can lead to.
    pub mark: Option<u64>,
    /// Its cells.
    pub cells: Vec<Words>,
}

impl Row {
    /// A row of a kind.
    #[must_use]
    pub fn new(kind: RowKind, cells: Vec<Words>) -> Self {
        Self {
            kind,
            mark: None,
            cells,
        }
    }
}

/// A run of text on a page.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Run {
    pub page: usize,
    pub x: f32,
    pub y: f32,
    pub size: f32,
    pub is_bold: bool,
    pub text: String,
    pub leads_to: Option<LeadsTo>,
}

/// A line ruled across a part of a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rule {
    pub page: usize,
    pub from: f32,
    pub to: f32,
    pub y: f32,
}

/// A row of a table: the runs of each cell.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PlacedRow {
    pub is_head: bool,
    pub cells: Vec<Vec<usize>>,
}

/// What runs belong to, in reading order.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Block {
    Heading(u16, String, Vec<usize>),
    Paragraph(Vec<usize>),
    Contents(Vec<Vec<usize>>),
    Table(Vec<PlacedRow>),
}

/// A part with a name in the outline.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Section {
    pub title: String,
    pub page: usize,
    pub y: f32,
}

/// A document being laid out.
pub struct Sheet {
    pub(super) title: String,
    pub(super) pages: Vec<(f32, f32)>,
    pub(super) runs: Vec<Run>,
    pub(super) rules: Vec<Rule>,
    pub(super) blocks: Vec<Block>,
    pub(super) sections: Vec<Section>,
    pub(super) marks: BTreeMap<u64, (usize, f32)>,
    /// The runs that hold the page numbers of the contents.
    pub(super) numbers: Vec<usize>,
    size: Size,
    pub(super) y: f32,
    /// The room between the rows of a table.
    pub(super) row_gap: f32,
    pub(super) plain: Measure,
    pub(super) bold: Measure,
}

impl std::fmt::Debug for Sheet {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sheet")
            .field("title", &self.title)
            .field("n_pages", &self.pages.len())
            .finish_non_exhaustive()
    }
}

impl Sheet {
    /// An empty document with this title.
    ///
    /// # Errors
    /// When a typeface cannot be read, which a test rules out.
    pub fn new(title: impl Into<String>, size: Size) -> Result<Self, ExportError> {
        Ok(Self {
            title: title.into(),
            pages: vec![size.points()],
            runs: Vec::new(),
            rules: Vec::new(),
            blocks: Vec::new(),
            sections: Vec::new(),
            marks: BTreeMap::new(),
            numbers: Vec::new(),
            size,
            y: MARGIN,
            row_gap: ROW_GAP,
            plain: Measure::new(PLAIN)?,
            bold: Measure::new(BOLD)?,
        })
    }

    /// How many pages it has so far.
    #[must_use]
    pub fn page_count(&self) -> usize {
        self.pages.len()
    }

    fn page_size(&self) -> (f32, f32) {
        self.pages.last().copied().unwrap_or(self.size.points())
    }

    pub(super) fn width(&self) -> f32 {
        self.page_size().0 - 2.0 * MARGIN
    }

    pub(super) fn bottom(&self) -> f32 {
        self.page_size().1 - MARGIN - FOOT
    }

    fn measure(&self, is_bold: bool) -> &Measure {
        if is_bold { &self.bold } else { &self.plain }
    }

    pub(super) fn turn_page(&mut self) {
        self.pages.push(self.page_size());
        self.y = MARGIN;
    }

    fn begin_page(&mut self, is_landscape: bool) {
        let (width, height) = self.size.points();
        let size = if is_landscape {
            (height, width)
        } else {
            (width, height)
        };
        if self.y <= MARGIN {
            if let Some(page) = self.pages.last_mut() {
                *page = size;
            }
        } else {
            self.pages.push(size);
            self.y = MARGIN;
        }
    }

    /// Leaves room.
    pub fn space(&mut self, points: f32) {
        self.y += points;
    }

    /// A letter that the typeface lacks would fail the standard: it stands as a question mark.
    fn writable(&self, text: &str) -> String {
        text.chars()
            .map(|letter| match letter {
                '\t' => ' ',
                letter if self.plain.has(letter) => letter,
                _ => '?',
            })
            .collect()
    }

    pub(super) fn put(&mut self, x: f32, y: f32, size: f32, is_bold: bool, text: &str) -> usize {
        let text = self.writable(text);
        self.runs.push(Run {
            page: self.pages.len() - 1,
            x,
            y,
            size,
            is_bold,
            text,
            leads_to: None,
        });
        self.runs.len() - 1
    }

    fn words(&mut self, text: &str, size: f32, is_bold: bool) -> Vec<usize> {
        let mut runs = Vec::new();
        let lines = self.measure(is_bold).lines(text, size, self.width());
        for line in lines {
            if self.y + size * LEADING > self.bottom() {
                self.turn_page();
            }
            self.y += size * LEADING;
            if !line.is_empty() {
                runs.push(self.put(MARGIN, self.y, size, is_bold, &line));
            }
        }
        runs
    }

    /// A heading; level 1 is the document's own.
    pub fn heading(&mut self, level: u16, text: &str) {
        let size = match level {
            1 => 22.0,
            2 => 14.0,
            _ => 11.5,
        };
        // A heading does not stand alone at the foot of a page.
        if self.y + size * LEADING + KEPT_WITH > self.bottom() {
            self.turn_page();
        }
        let runs = self.words(text, size, true);
        self.blocks
            .push(Block::Heading(level, text.to_owned(), runs));
        self.space(if level > 2 { 3.0 } else { 6.0 });
    }

    /// A part of its own with a name in the outline. It begins a page when it is to, when the paper turns or when too
    /// little room is left.
    pub fn section(&mut self, title: &str, is_landscape: bool, on_new_page: bool) {
        let (width, height) = self.page_size();
        let turns = (width > height) != is_landscape;
        if on_new_page || turns || self.y + ROOM_TO_BEGIN > self.bottom() {
            self.begin_page(is_landscape);
        } else {
            self.space(16.0);
        }
        self.sections.push(Section {
            title: title.to_owned(),
            page: self.pages.len() - 1,
            y: self.y,
        });
        self.heading(2, title);
    }

    /// A paragraph; its lines break where they must, and where the text has a line break.
    pub fn paragraph(&mut self, text: &str) {
        if text.trim().is_empty() {
            return;
        }
        let runs = self.words(text, BODY, false);
        self.blocks.push(Block::Paragraph(runs));
        self.space(6.0);
    }

    /// Whether a table wants the long side of the paper across.
    #[must_use]
    pub fn is_wide(&self, columns: &[Column], rows: &[Row]) -> bool {
        let (short, long) = self.size.points();
        fit::choose(self, columns, rows, short, long).is_landscape
    }

    /// A table; its head is repeated on each page that it reaches. One that is wider than the page goes on in a second
    /// table beneath, its first column repeated.
    pub fn table(&mut self, columns: &[Column], rows: &[Row]) {
        self.table_with_notes(columns, rows, &[]);
    }

    /// Places the rows. `below` is the room that the last of them keeps beneath it, so that what is said of a table does
    /// not stand alone on a page.
    pub(super) fn grid(&mut self, grid: &Grid, columns: &[Column], rows: &[Row], below: f32) {
        let has_head = grid
            .columns
            .iter()
            .any(|idx| columns.get(*idx).is_some_and(|one| !one.title.is_empty()));
        let mut placed = Vec::new();
        if has_head {
            if self.y + 4.0 * grid.size * LEADING > self.bottom() {
                self.turn_page();
            }
            placed.push(self.head(grid, columns));
        }
        for (place, row) in rows.iter().enumerate() {
            let is_bold = row.kind != RowKind::Line;
            let lines = self.broken(grid, row, is_bold);
            let height = fit::height(&lines, grid.size, self.row_gap);
            // A heading does not stand alone at the foot of a page.
            let after = match row.kind {
                RowKind::Heading => 2.0 * (grid.size * LEADING + self.row_gap),
                RowKind::Final => 6.0,
                // Nor does the last sum stand without the one before it.
                RowKind::Total
                    if rows
                        .get(place + 1)
                        .is_some_and(|next| next.kind == RowKind::Final) =>
                {
                    2.0 * grid.size * LEADING + 12.0
                }
                _ => 0.0,
            };
            let after = if place + 1 == rows.len() {
                after + below
            } else {
                after
            };
            if self.y + height + after > self.bottom() {
                self.turn_page();
                if has_head {
                    placed.push(self.head(grid, columns));
                }
            }
            if let Some(mark) = row.mark {
                let place = (self.pages.len() - 1, self.y);
                self.marks.entry(mark).or_insert(place);
            }
            let is_sum = matches!(row.kind, RowKind::Total | RowKind::Final);
            if is_sum {
                self.rules_of_sum(grid, columns, row, &[RULE_ROOM]);
                self.y += RULE_ROOM;
            }
            if row.kind == RowKind::Heading {
                self.y += 3.0;
            }
            placed.push(self.row(grid, columns, row, &lines, is_bold));
            if row.kind == RowKind::Final {
                self.rules_of_sum(grid, columns, row, &[0.5, 2.5]);
                self.y += 5.0;
            }
        }
        self.blocks.push(Block::Table(placed));
        self.space(AFTER);
    }

    /// Rules over or under the figures of a sum, not under its words.
    fn rules_of_sum(&mut self, grid: &Grid, columns: &[Column], row: &Row, below: &[f32]) {
        let mut x = MARGIN;
        for (idx, width) in grid.columns.iter().zip(&grid.widths) {
            let has_figure = columns
                .get(*idx)
                .is_some_and(|one| one.align == Align::Right)
                && row.cells.get(*idx).is_some_and(|one| !one.text.is_empty());
            if has_figure {
                for down in below {
                    self.rule(x + fit::GAP, x + width, self.y + down);
                }
            }
            x += width;
        }
    }

    fn head(&mut self, grid: &Grid, columns: &[Column]) -> PlacedRow {
        let titles = Row::new(
            RowKind::Line,
            columns
                .iter()
                .map(|one| one.title.as_str().into())
                .collect(),
        );
        let lines = self.broken(grid, &titles, true);
        let mut row = self.row(grid, columns, &titles, &lines, true);
        row.is_head = true;
        let across: f32 = grid.widths.iter().sum();
        self.rule(MARGIN, MARGIN + across, self.y + 0.5);
        self.y += 3.0;
        row
    }

    fn rule(&mut self, from: f32, to: f32, y: f32) {
        self.rules.push(Rule {
            page: self.pages.len() - 1,
            from,
            to,
            y,
        });
    }

    /// The lines of each cell of a row.
    pub(super) fn broken(&self, grid: &Grid, row: &Row, is_bold: bool) -> Vec<Vec<String>> {
        let measure = self.measure(is_bold);
        if row.kind == RowKind::Heading {
            let across: f32 = grid.widths.iter().sum();
            let words = row.cells.first().map(|one| one.text.as_str());
            return vec![measure.lines(words.unwrap_or_default(), grid.size, across)];
        }
        grid.columns
            .iter()
            .zip(&grid.widths)
            .map(|(idx, width)| {
                let text = row.cells.get(*idx).map(|one| one.text.as_str());
                measure.lines(text.unwrap_or_default(), grid.size, width - fit::GAP)
            })
            .collect()
    }

    fn row(
        &mut self,
        grid: &Grid,
        columns: &[Column],
        row: &Row,
        lines: &[Vec<String>],
        is_bold: bool,
    ) -> PlacedRow {
        let top = self.y;
        let hanging = self.measure(is_bold).width(")", grid.size);
        let mut x = MARGIN;
        let mut cells = Vec::new();
        for (place, ((idx, width), lines)) in
            grid.columns.iter().zip(&grid.widths).zip(lines).enumerate()
        {
            // The gap stands before a column, so that words after figures keep their distance.
            let gap = if place == 0 { 0.0 } else { fit::GAP };
            let align = match row.kind {
                RowKind::Heading => Align::Left,
                _ => columns.get(*idx).map_or(Align::Left, |one| one.align),
            };
            let mut runs = Vec::new();
            for (place, line) in lines.iter().enumerate() {
                if line.is_empty() {
                    continue;
                }
                let y = top + (place as f32 + 1.0) * grid.size * LEADING - 1.0;
                let at = match align {
                    Align::Left => x + gap,
                    Align::Right => {
                        let wide = self.measure(is_bold).width(line, grid.size);
                        let hang = if line.ends_with(')') { 0.0 } else { hanging };
                        x + width - wide - hang
                    }
                };
                let run = self.put(at, y, grid.size, is_bold, line);
                if let Some(run) = self.runs.get_mut(run) {
                    run.leads_to = row.cells.get(*idx).and_then(|one| one.leads_to);
                }
                runs.push(run);
            }
            cells.push(runs);
            x += width;
        }
        self.y = top + fit::height(lines, grid.size, self.row_gap);
        PlacedRow {
            is_head: false,
            cells,
        }
    }
}
