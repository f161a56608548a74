//! A statement as on paper: words at the left, figures in columns at the right, a rule over totals and a double rule
//! under the last. Figures come in as text; what they are is worked out elsewhere.

use egui::{Align, Layout, RichText, Stroke, Ui, Vec2};

use super::figures::{figure_link, plain_figure};
use crate::app::theme::{self, palette, space};

/// What a row of a statement is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowRank {
    /// A heading over rows.
    Heading,
    /// A row.
    #[default]
    Plain,
    /// A sum, under a single rule.
    Total,
    /// The last sum, with a single rule above and a double one beneath.
    FinalTotal,
}

/// One row of a statement.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StatementRow {
    /// The words.
    pub label: String,
    /// What explains them, in soft ink behind.
    pub second: String,
    /// One figure for each column, as shown; an empty text where there is none.
    pub figures: Vec<String>,
    /// What it is.
    pub rank: RowRank,
    /// The trade's words in it explained, under the pointer; may be empty.
    pub explains: String,
}

impl StatementRow {
    /// A plain row.
    pub fn new(label: impl Into<String>, figures: Vec<String>) -> Self {
        Self {
            label: label.into(),
            figures,
            ..Self::default()
        }
    }

    /// A heading.
    pub fn heading(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            rank: RowRank::Heading,
            ..Self::default()
        }
    }

    /// The same row with this rank.
    #[must_use]
    pub fn rank(mut self, rank: RowRank) -> Self {
        self.rank = rank;
        self
    }

    /// The same row with soft words behind its label.
    #[must_use]
    pub fn second(mut self, second: impl Into<String>) -> Self {
        self.second = second.into();
        self
    }
}

/// Shows a statement; answers the row and column of the figure that was pressed. `columns` are the headings over the
/// figures, none to leave them out; `opens` tells by row and column which figures can be pressed.
pub fn statement_table(
    ui: &mut Ui,
    columns: &[&str],
    rows: &[StatementRow],
    opens: &dyn Fn(usize, usize) -> bool,
) -> Option<(usize, usize)> {
    let (count, width) = measures(ui, columns, rows);
    let mut pressed = None;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if !columns.is_empty() {
            headings(ui, columns, width);
        }
        for (idx, row) in rows.iter().enumerate() {
            if let Some(column) =
                statement_row(ui, row, count, width, columns, &|at| opens(idx, at))
            {
                pressed = Some((idx, column));
            }
        }
    });
    pressed
}

/// How wide the figures of a statement are together, without the words before them.
pub fn figures_width(ui: &Ui, columns: &[&str], rows: &[StatementRow]) -> f32 {
    let (count, width) = measures(ui, columns, rows);
    count as f32 * (width + ui.spacing().item_spacing.x)
}

/// How many columns of figures there are, and how wide each is.
fn measures(ui: &Ui, columns: &[&str], rows: &[StatementRow]) -> (usize, f32) {
    let count = rows
        .iter()
        .map(|row| row.figures.len())
        .max()
        .unwrap_or(columns.len());
    let figures = rows.iter().flat_map(|row| &row.figures).map(String::as_str);
    let figures = widest(ui, figures, &theme::bold());
    let headings = widest(ui, columns.iter().copied(), &theme::small());
    (count, figures.max(headings).max(64.0) + space::MEDIUM)
}

/// The width of the widest of these words.
fn widest<'a>(ui: &Ui, words: impl Iterator<Item = &'a str>, font: &egui::FontId) -> f32 {
    words
        .map(|words| {
            ui.fonts_mut(|fonts| {
                fonts
                    .layout_no_wrap(words.to_owned(), font.clone(), egui::Color32::BLACK)
                    .size()
                    .x
            })
        })
        .fold(0.0, f32::max)
}

fn headings(ui: &mut Ui, columns: &[&str], width: f32) {
    let colours = palette(ui);
    row_of(ui, 26.0, |ui| {
        for heading in columns.iter().rev() {
            cell(ui, width, |ui| {
                ui.label(
                    RichText::new(*heading)
                        .font(theme::small())
                        .color(colours.soft_ink),
                );
            });
        }
    });
    rule(ui, colours.rule, 1.0);
}

fn statement_row(
    ui: &mut Ui,
    row: &StatementRow,
    count: usize,
    width: f32,
    columns: &[&str],
    opens: &dyn Fn(usize) -> bool,
) -> Option<usize> {
    let colours = palette(ui);
    let is_bold = matches!(row.rank, RowRank::Total | RowRank::FinalTotal);
    if is_bold {
        rule(ui, colours.ink, 1.0);
    }
    let mut pressed = None;
    row_of(ui, space::ROW, |ui| {
        for column in (0..count).rev() {
            cell(ui, width, |ui| {
                let figure = row.figures.get(column).map_or("", String::as_str);
                if figure.is_empty() {
                    return;
                }
                let what = match columns.get(column) {
                    Some(heading) if !heading.is_empty() => format!("{}, {heading}", row.label),
                    _ => row.label.clone(),
                };
                if !opens(column) {
                    plain_figure(ui, figure, &what, is_bold);
                } else if figure_link(ui, figure, &what, is_bold).clicked() {
                    pressed = Some(column);
                }
            });
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let label = match row.rank {
                RowRank::Heading => RichText::new(&row.label).font(theme::card_heading()),
                RowRank::Plain => RichText::new(&row.label),
                RowRank::Total | RowRank::FinalTotal => {
                    RichText::new(&row.label).font(theme::bold())
                }
            };
            let name = egui::Label::new(label.color(colours.ink));
            // A name that stands alone may take a second line rather than be cut off.
            if row.second.is_empty() {
                let shown = ui.add(name.wrap());
                let height = shown.rect.height();
                if !row.explains.is_empty() {
                    shown.on_hover_text(&row.explains);
                }
                if height > space::ROW - space::MEDIUM {
                    // Two lines keep their distance from the rows above and below.
                    ui.set_min_height(height + space::MEDIUM);
                }
            } else {
                ui.add(name.truncate());
            }
            if !row.second.is_empty() {
                let second = RichText::new(&row.second)
                    .font(theme::small())
                    .color(colours.soft_ink);
                ui.add(egui::Label::new(second).truncate());
            }
        });
    });
    if row.rank == RowRank::FinalTotal {
        rule(ui, colours.ink, 1.0);
        ui.add_space(1.5);
        rule(ui, colours.ink, 1.0);
    }
    pressed
}

fn row_of(ui: &mut Ui, height: f32, content: impl FnOnce(&mut Ui)) {
    let size = Vec2::new(ui.available_width(), height);
    ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_height(height);
        content(ui);
    });
}

fn cell(ui: &mut Ui, width: f32, content: impl FnOnce(&mut Ui)) {
    let size = Vec2::new(width, ui.available_height());
    ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_width(width);
        content(ui);
    });
}

/// A horizontal rule as wide as there is room.
pub(super) fn rule(ui: &mut Ui, colour: egui::Color32, width: f32) {
    let (rect, _) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), width), egui::Sense::hover());
    ui.painter()
        .hline(rect.x_range(), rect.center().y, Stroke::new(width, colour));
}
