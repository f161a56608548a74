//! A short table of words and figures: explanations in soft ink, a rule above totals, a double rule under the last one.
//! Long lists that are scrolled are `table`; statements on paper are `statement`.

use egui::text::LayoutJob;
use egui::{Color32, FontId, Rect, Sense, Stroke, Ui, Vec2, pos2, vec2};

use crate::app::theme::{self, palette};

/// How wide a column is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Width {
    /// This many points.
    Points(f32),
    /// A share of what the others leave.
    Share(f32),
}

/// A column of a paper table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its heading; may be empty.
    pub title: String,
    /// How wide it is.
    pub width: Width,
    /// Whether it holds figures, set to the right and never broken.
    pub is_figures: bool,
}

impl Column {
    /// A column of words that takes a share of the room.
    #[must_use]
    pub fn words(title: impl Into<String>, share: f32) -> Self {
        Self {
            title: title.into(),
            width: Width::Share(share),
            is_figures: false,
        }
    }

    /// A column of short words of a fixed width.
    #[must_use]
    pub fn narrow(title: impl Into<String>, points: f32) -> Self {
        Self {
            title: title.into(),
            width: Width::Points(points),
            is_figures: false,
        }
    }

    /// A column of figures of a fixed width.
    #[must_use]
    pub fn figures(title: impl Into<String>, points: f32) -> Self {
        Self {
            title: title.into(),
            width: Width::Points(points),
            is_figures: true,
        }
    }
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// What it says.
    pub text: String,
    /// Whether it is set in soft ink, as an explanation of its neighbour.
    pub is_soft: bool,
    /// Whether it can be opened to see where it comes from.
    pub opens: bool,
    /// The words explained under the pointer, and as the row's description; may be empty.
    pub explains: String,
}

impl Cell {
    /// Plain text.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// Text in soft ink.
    #[must_use]
    pub fn soft(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            is_soft: true,
            ..Self::default()
        }
    }

    /// A figure that opens.
    #[must_use]
    pub fn opens(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            opens: true,
            ..Self::default()
        }
    }

    /// With its words explained.
    #[must_use]
    pub fn explained(mut self, words: impl Into<String>) -> Self {
        self.explains = words.into();
        self
    }
}

/// How a row stands among the others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// A line.
    #[default]
    Line,
    /// A heading over lines.
    Heading,
    /// A total: bold under a rule.
    Total,
    /// The last total: bold under a rule, over a double rule.
    Final,
}

/// One row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// Its cells, as many as there are columns.
    pub cells: Vec<Cell>,
    /// How it stands.
    pub standing: Standing,
}

impl Row {
    /// A line of cells.
    #[must_use]
    pub fn line(cells: Vec<Cell>) -> Self {
        Self {
            cells,
            standing: Standing::Line,
        }
    }

    /// A heading over lines.
    #[must_use]
    pub fn heading(text: impl Into<String>) -> Self {
        Self {
            cells: vec![Cell::text(text)],
            standing: Standing::Heading,
        }
    }

    /// A total.
    #[must_use]
    pub fn total(cells: Vec<Cell>) -> Self {
        Self {
            cells,
            standing: Standing::Total,
        }
    }

    /// The last total.
    #[must_use]
    pub fn last(cells: Vec<Cell>) -> Self {
        Self {
            cells,
            standing: Standing::Final,
        }
    }
}

const GAP: f32 = 14.0;

/// Shows the table; returns row and column of a cell that was opened.
#[must_use]
pub fn paper_table(
    ui: &mut Ui,
    name: &str,
    columns: &[Column],
    rows: &[Row],
) -> Option<(usize, usize)> {
    let available = ui.available_width();
    let widths = column_widths(ui, columns, rows, available);
    let total: f32 = widths.iter().sum::<f32>() + GAP * widths.len().saturating_sub(1) as f32;
    if total <= available + 1.0 {
        return rows_ui(ui, name, columns, &widths, rows);
    }
    egui::ScrollArea::horizontal()
        .id_salt(name)
        .auto_shrink([false, true])
        .show(ui, |ui| rows_ui(ui, name, columns, &widths, rows))
        .inner
}

fn rows_ui(
    ui: &mut Ui,
    name: &str,
    columns: &[Column],
    widths: &[f32],
    rows: &[Row],
) -> Option<(usize, usize)> {
    let mut opened = None;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if columns.iter().any(|column| !column.title.is_empty()) {
            heading_row(ui, columns, widths);
        }
        for (idx, row) in rows.iter().enumerate() {
            if let Some(column) = table_row(ui, (name, idx), columns, widths, row) {
                opened = Some((idx, column));
            }
        }
    });
    opened
}

/// As the columns say; where that leaves too little for the words, columns of points give up what they do not need.
/// The words keep enough to be read, so that the whole may become wider than its room.
fn column_widths(ui: &Ui, columns: &[Column], rows: &[Row], available: f32) -> Vec<f32> {
    let gaps = GAP * columns.len().saturating_sub(1) as f32;
    let shares: f32 = columns
        .iter()
        .map(|column| match column.width {
            Width::Points(_points) => 0.0,
            Width::Share(share) => share,
        })
        .sum();
    let least: Vec<f32> = (0..columns.len())
        .map(|idx| longest_word(ui, columns, rows, idx))
        .collect();
    let mut fixed: Vec<f32> = columns
        .iter()
        .map(|column| match column.width {
            Width::Points(points) => points,
            Width::Share(_share) => 0.0,
        })
        .collect();
    let words_want: f32 = columns
        .iter()
        .zip(&least)
        .map(|(column, least)| match column.width {
            Width::Points(_points) => 0.0,
            Width::Share(_share) => least.max(WORDS),
        })
        .sum();
    if available - gaps - fixed.iter().sum::<f32>() < words_want {
        for ((column, fixed), least) in columns.iter().zip(&mut fixed).zip(&least) {
            if let Width::Points(points) = column.width {
                *fixed = points.min(*least);
            }
        }
    }
    let rest = available - gaps - fixed.iter().sum::<f32>();
    columns
        .iter()
        .zip(fixed.iter().zip(&least))
        .map(|(column, (fixed, least))| match column.width {
            Width::Points(_points) => *fixed,
            Width::Share(share) => {
                (rest * share / shares.max(0.01)).max(least.min(MOST_FOR_A_WORD))
            }
        })
        .collect()
}

/// The width below which a column of words takes from its neighbours.
const WORDS: f32 = 120.0;
/// A single word longer than this is broken.
const MOST_FOR_A_WORD: f32 = 110.0;

/// What is no longer than this stays whole in a narrow column, as a day does.
const SHORT: usize = 12;

/// The width of what a column cannot break: its longest word, day or figure.
fn longest_word(ui: &Ui, columns: &[Column], rows: &[Row], idx: usize) -> f32 {
    let Some(column) = columns.get(idx) else {
        return 0.0;
    };
    let is_narrow = matches!(column.width, Width::Points(_points));
    let width = |text: &str, font: FontId| {
        let galley = ui
            .painter()
            .layout_no_wrap(text.to_owned(), font, Color32::BLACK);
        galley.size().x
    };
    let longest = |text: &str, font: FontId| {
        if column.is_figures || (is_narrow && text.chars().count() <= SHORT) {
            return width(text, font);
        }
        text.split_whitespace()
            .map(|word| width(word, font.clone()))
            .fold(0.0, f32::max)
    };
    let heading = column
        .title
        .split_whitespace()
        .map(|word| width(word, theme::small()))
        .fold(0.0, f32::max);
    rows.iter()
        .filter(|row| row.cells.len() == columns.len())
        .filter_map(|row| Some((row, row.cells.get(idx)?)))
        .map(|(row, cell)| {
            let is_bold = row.standing != Standing::Line && !cell.is_soft;
            longest(&cell.text, cell_font(is_bold, cell.is_soft))
        })
        .fold(heading, f32::max)
        .ceil()
}

fn heading_row(ui: &mut Ui, columns: &[Column], widths: &[f32]) {
    let font = theme::small();
    let color = palette(ui).soft_ink;
    let total: f32 = widths.iter().sum::<f32>() + GAP * widths.len().saturating_sub(1) as f32;
    let galleys: Vec<_> = columns
        .iter()
        .zip(widths)
        .map(|(column, width)| {
            let mut job =
                LayoutJob::simple(column.title.clone(), font.clone(), color, width.ceil());
            if column.is_figures {
                job.halign = egui::Align::RIGHT;
            }
            ui.painter().layout_job(job)
        })
        .collect();
    let height = galleys.iter().map(|g| g.size().y).fold(14.0, f32::max) + 8.0;
    let (rect, response) = ui.allocate_exact_size(vec2(total, height), Sense::hover());
    let words: Vec<&str> = columns
        .iter()
        .map(|c| c.title.as_str())
        .filter(|t| !t.is_empty())
        .collect();
    let words = words.join(", ");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &words));
    let mut x = rect.left();
    for ((galley, column), width) in galleys.into_iter().zip(columns).zip(widths) {
        let at = if column.is_figures { x + width } else { x };
        let y = rect.bottom() - 5.0 - galley.size().y;
        ui.painter().galley(pos2(at, y), galley, color);
        x += width + GAP;
    }
    rule(
        ui,
        rect,
        rect.bottom() - 1.0,
        Stroke::new(1.0, palette(ui).rule),
    );
}

fn table_row(
    ui: &mut Ui,
    salt: (&str, usize),
    columns: &[Column],
    widths: &[f32],
    row: &Row,
) -> Option<usize> {
    let is_bold = !matches!(row.standing, Standing::Line);
    let total: f32 = widths.iter().sum::<f32>() + GAP * widths.len().saturating_sub(1) as f32;
    let spans_all = row.cells.len() == 1 && columns.len() > 1;
    let galleys: Vec<_> = row
        .cells
        .iter()
        .enumerate()
        .map(|(idx, cell)| {
            let width = if spans_all {
                total
            } else {
                widths.get(idx).copied().unwrap_or(60.0)
            };
            let is_figures = columns.get(idx).is_some_and(|c| c.is_figures);
            let wrap = if is_figures { f32::INFINITY } else { width };
            ui.painter().layout(
                cell.text.clone(),
                cell_font(is_bold && !cell.is_soft, cell.is_soft),
                cell_color(ui, cell),
                wrap,
            )
        })
        .collect();
    let space_above = if row.standing == Standing::Heading {
        12.0
    } else {
        6.0
    };
    let space_below = if row.standing == Standing::Final {
        10.0
    } else {
        6.0
    };
    let height = galleys.iter().map(|g| g.size().y).fold(15.0, f32::max);
    let (rect, response) = ui.allocate_exact_size(
        vec2(total, height + space_above + space_below),
        Sense::hover(),
    );
    let words: Vec<&str> = row
        .cells
        .iter()
        .map(|cell| cell.text.as_str())
        .filter(|text| !text.is_empty())
        .collect();
    let words = words.join(", ");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &words));
    paint_rules(ui, rect, row.standing);
    let first = row.cells.first().map_or("", |cell| cell.text.as_str());
    let mut opened = None;
    let mut x = rect.left();
    for (idx, (galley, cell)) in galleys.into_iter().zip(&row.cells).enumerate() {
        let width = widths.get(idx).copied().unwrap_or(60.0);
        let is_figures = columns.get(idx).is_some_and(|c| c.is_figures);
        let at = if is_figures {
            x + width - galley.size().x
        } else {
            x
        };
        let place = Rect::from_min_size(pos2(at, rect.top() + space_above), galley.size());
        ui.painter().galley(place.min, galley, cell_color(ui, cell));
        if !cell.explains.is_empty() {
            explaining_cell(ui, (salt.0, salt.1, idx), place, &response, cell);
        }
        if cell.opens {
            let label = columns.get(idx).map_or_else(
                || cell.text.clone(),
                |column| opening_label(first, column, &cell.text, idx),
            );
            if opening_cell(ui, (salt.0, salt.1, idx), place, &label) {
                opened = Some(idx);
            }
        }
        x += width + GAP;
    }
    opened
}

/// What a screen reader says of a cell that opens: a figure with its row and column, a name, or a deed with its row.
fn opening_label(first: &str, column: &Column, text: &str, idx: usize) -> String {
    if column.title.is_empty() {
        return format!("{text} {first}");
    }
    if column.is_figures {
        return format!("{first} {} {text}: where this comes from", column.title);
    }
    if idx == 0 {
        format!("Open {text}")
    } else {
        format!("Open {first} {text}")
    }
}

/// Words with an explanation: dotted beneath, said under the pointer, and the description of their row.
fn explaining_cell(
    ui: &Ui,
    salt: (&str, usize, usize),
    place: Rect,
    row: &egui::Response,
    cell: &Cell,
) {
    ui.ctx().accesskit_node_builder(row.id, |node| {
        node.set_description(cell.explains.as_str());
    });
    let id = ui.make_persistent_id((salt, "explained"));
    let response = ui.interact(place, id, Sense::hover());
    let y = place.bottom() + 1.0;
    let ends = [pos2(place.left(), y), pos2(place.right(), y)];
    let dots = egui::Shape::dotted_line(&ends, palette(ui).edge, 4.0, 0.6);
    ui.painter().extend(dots);
    response.on_hover_text(&cell.explains);
}

fn opening_cell(ui: &Ui, salt: (&str, usize, usize), place: Rect, label: &str) -> bool {
    let response = ui
        .interact(
            place.expand2(Vec2::new(4.0, 4.0)),
            ui.make_persistent_id(salt),
            Sense::click(),
        )
        .on_hover_cursor(egui::CursorIcon::PointingHand);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, label));
    let accent = palette(ui).accent;
    if response.hovered() {
        rule(ui, place, place.bottom() + 1.0, Stroke::new(1.0, accent));
    }
    if response.has_focus() {
        ui.painter().rect_stroke(
            place.expand(3.0),
            2.0,
            Stroke::new(1.5, accent),
            egui::StrokeKind::Outside,
        );
    }
    response.clicked()
}

fn cell_font(is_bold: bool, is_small: bool) -> FontId {
    if is_bold {
        theme::bold()
    } else if is_small {
        theme::small()
    } else {
        theme::body()
    }
}

fn cell_color(ui: &Ui, cell: &Cell) -> Color32 {
    if cell.is_soft {
        palette(ui).soft_ink
    } else {
        palette(ui).ink
    }
}

fn paint_rules(ui: &Ui, rect: Rect, standing: Standing) {
    let ink = Stroke::new(1.0, palette(ui).ink);
    if matches!(standing, Standing::Total | Standing::Final) {
        rule(ui, rect, rect.top() + 1.0, ink);
    }
    if standing == Standing::Final {
        rule(ui, rect, rect.bottom() - 5.0, ink);
        rule(ui, rect, rect.bottom() - 2.0, ink);
    }
}

fn rule(ui: &Ui, rect: Rect, y: f32, stroke: Stroke) {
    ui.painter().hline(rect.x_range(), y, stroke);
}
