//! Laying out: where each run of text stands, where a page ends, which runs make a heading, a paragraph or a table.
//! Lengths are in points, 72 to the inch, from the upper left corner. Writing it as PDF is `write`'s.

use skrifa::MetadataProvider as _;
use skrifa::instance::{LocationRef, Size as FontSize};

use super::{ExportError, refused};

pub(super) const PLAIN: &[u8] = include_bytes!("../../../assets/fonts/Lato-Medium.ttf");
pub(super) const BOLD: &[u8] = include_bytes!("../../../assets/fonts/Lato-Bold.ttf");

const BODY: f32 = 10.0;
const LEADING: f32 = 1.4;
const MARGIN: f32 = 56.0;
const FOOT: f32 = 48.0;
const ROW_GAP: f32 = 3.0;

/// The paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 inches.
    Letter,
}

impl Size {
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
    /// Figures.
    Right,
}

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Its head.
    pub title: &'static str,
    /// Its share of the width.
    pub share: f32,
    /// On which side its text stands.
    pub align: Align,
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
pub(super) struct Row {
    pub is_head: bool,
    pub cells: Vec<Vec<usize>>,
}

/// What runs belong to, in reading order.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Block {
    Heading(u16, String, Vec<usize>),
    Paragraph(Vec<usize>),
    Table(Vec<Row>),
}

/// How a row is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowKind {
    /// A line.
    #[default]
    Line,
    /// A sum under a single rule.
    Total,
    /// The last sum, under a single and over a double rule.
    Final,
}

/// A document being laid out.
pub struct Sheet {
    pub(super) title: String,
    pub(super) size: Size,
    pub(super) runs: Vec<Run>,
    pub(super) rules: Vec<Rule>,
    pub(super) blocks: Vec<Block>,
    pub(super) n_pages: usize,
    y: f32,
    plain: Measure,
    bold: Measure,
}

impl std::fmt::Debug for Sheet {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sheet")
            .field("title", &self.title)
            .field("n_pages", &self.n_pages)
            .finish_non_exhaustive()
    }
}

/// How wide letters are.
struct Measure {
    font: skrifa::FontRef<'static>,
}

impl Measure {
    fn new(bytes: &'static [u8]) -> Result<Self, ExportError> {
        skrifa::FontRef::new(bytes)
            .map(|font| Self { font })
            .map_err(refused)
    }

    fn width(&self, text: &str, size: f32) -> f32 {
        let charmap = self.font.charmap();
        let metrics = self
            .font
            .glyph_metrics(FontSize::new(size), LocationRef::default());
        text.chars()
            .filter_map(|letter| charmap.map(letter))
            .filter_map(|glyph| metrics.advance_width(glyph))
            .sum()
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
            size,
            runs: Vec::new(),
            rules: Vec::new(),
            blocks: Vec::new(),
            n_pages: 1,
            y: MARGIN,
            plain: Measure::new(PLAIN)?,
            bold: Measure::new(BOLD)?,
        })
    }

    fn width(&self) -> f32 {
        self.size.points().0 - 2.0 * MARGIN
    }

    fn bottom(&self) -> f32 {
        self.size.points().1 - MARGIN - FOOT
    }

    fn measure(&self, text: &str, size: f32, is_bold: bool) -> f32 {
        let measure = if is_bold { &self.bold } else { &self.plain };
        measure.width(text, size)
    }

    fn turn_page(&mut self) {
        self.n_pages += 1;
        self.y = MARGIN;
    }

    /// Leaves room.
    pub fn space(&mut self, points: f32) {
        self.y += points;
    }

    /// The words in lines that are no wider than this.
    fn lines(&self, text: &str, size: f32, is_bold: bool, width: f32) -> Vec<String> {
        let mut lines = Vec::new();
        for part in text.split('\n') {
            let mut line = String::new();
            for word in part.split_whitespace() {
                let longer = if line.is_empty() {
                    word.to_owned()
                } else {
                    format!("{line} {word}")
                };
                if !line.is_empty() && self.measure(&longer, size, is_bold) > width {
                    lines.push(std::mem::replace(&mut line, word.to_owned()));
                } else {
                    line = longer;
                }
            }
            lines.push(line);
        }
        lines
    }

    fn put(&mut self, x: f32, y: f32, size: f32, is_bold: bool, text: &str) -> usize {
        self.runs.push(Run {
            page: self.n_pages - 1,
            x,
            y,
            size,
            is_bold,
            text: text.to_owned(),
        });
        self.runs.len() - 1
    }

    fn words(&mut self, text: &str, size: f32, is_bold: bool) -> Vec<usize> {
        let mut runs = Vec::new();
        for line in self.lines(text, size, is_bold, self.width()) {
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
        let size = if level == 1 { 22.0 } else { 13.0 };
        let runs = self.words(text, size, true);
        self.blocks
            .push(Block::Heading(level, text.to_owned(), runs));
        self.space(6.0);
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

    /// A table; its head is repeated on each page that it reaches.
    pub fn table(&mut self, columns: &[Column], rows: &[(RowKind, Vec<String>)]) {
        let mut placed = vec![self.head(columns)];
        for (kind, cells) in rows {
            let height = self.height_of(columns, cells, *kind != RowKind::Line);
            if self.y + height > self.bottom() {
                self.turn_page();
                placed.push(self.head(columns));
            }
            if *kind != RowKind::Line {
                self.rule(MARGIN, MARGIN + self.width(), self.y + 2.0);
                self.y += 2.0;
            }
            placed.push(self.row(columns, cells, *kind != RowKind::Line, false));
            if *kind == RowKind::Final {
                for below in [1.0, 3.5] {
                    self.rule(MARGIN, MARGIN + self.width(), self.y + below);
                }
                self.y += 6.0;
            }
        }
        self.blocks.push(Block::Table(placed));
        self.space(10.0);
    }

    fn head(&mut self, columns: &[Column]) -> Row {
        let titles: Vec<String> = columns.iter().map(|one| one.title.to_owned()).collect();
        let row = self.row(columns, &titles, true, true);
        self.rule(MARGIN, MARGIN + self.width(), self.y + 1.5);
        self.y += 3.0;
        row
    }

    fn rule(&mut self, from: f32, to: f32, y: f32) {
        self.rules.push(Rule {
            page: self.n_pages - 1,
            from,
            to,
            y,
        });
    }

    fn widths(&self, columns: &[Column]) -> Vec<f32> {
        let all: f32 = columns.iter().map(|one| one.share).sum();
        columns
            .iter()
            .map(|one| self.width() * one.share / all)
            .collect()
    }

    fn height_of(&self, columns: &[Column], cells: &[String], is_bold: bool) -> f32 {
        let widths = self.widths(columns);
        let most = cells
            .iter()
            .zip(&widths)
            .map(|(text, width)| self.lines(text, BODY, is_bold, width - 6.0).len())
            .max()
            .unwrap_or(1);
        most as f32 * BODY * LEADING + ROW_GAP
    }

    fn row(&mut self, columns: &[Column], cells: &[String], is_bold: bool, is_head: bool) -> Row {
        let widths = self.widths(columns);
        let height = self.height_of(columns, cells, is_bold);
        let top = self.y;
        let mut x = MARGIN;
        let mut placed = Vec::new();
        for ((text, width), column) in cells.iter().zip(&widths).zip(columns) {
            let mut runs = Vec::new();
            let mut y = top;
            for line in self.lines(text, BODY, is_bold, width - 6.0) {
                y += BODY * LEADING;
                if line.is_empty() {
                    continue;
                }
                let at = match column.align {
                    Align::Left => x,
                    Align::Right => x + width - self.measure(&line, BODY, is_bold),
                };
                runs.push(self.put(at, y, BODY, is_bold, &line));
            }
            placed.push(runs);
            x += width;
        }
        self.y = top + height;
        Row {
            is_head,
            cells: placed,
        }
    }
}
