//! Long tables: only the visible rows are drawn, and rows are fetched in chunks as they come into sight.
//! Fetching is done by the screen's refresh, never while drawing.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Align, Layout, RichText, Ui};
use egui_extras::TableBuilder;

use crate::app::theme::{self, palette, space};

const CHUNK: usize = 64;
const MOST_CHUNKS: usize = 40;

/// Rows of a long list, of which only some are known. Drawing asks for rows; those missing are noted, and the
/// screen's refresh fetches them.
#[derive(Clone, Debug)]
pub struct ChunkCache<T> {
    len: usize,
    chunks: BTreeMap<usize, Vec<T>>,
    wanted: BTreeSet<usize>,
}

impl<T> Default for ChunkCache<T> {
    fn default() -> Self {
        Self::new(0)
    }
}

impl<T> ChunkCache<T> {
    /// A list of `len` rows, none known yet.
    #[must_use]
    pub fn new(len: usize) -> Self {
        Self {
            len,
            chunks: BTreeMap::new(),
            wanted: BTreeSet::new(),
        }
    }

    /// How many rows the list has.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.len
    }

    /// Whether the list has no rows.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len == 0
    }

    /// The row, or `None` while it has to be fetched.
    pub fn get(&mut self, idx: usize) -> Option<&T> {
        let chunk = idx / CHUNK;
        if !self.chunks.contains_key(&chunk) {
            self.wanted.insert(chunk);
        }
        self.chunks.get(&chunk)?.get(idx % CHUNK)
    }

    /// Whether rows are wanted that have to be fetched.
    #[must_use]
    pub fn is_wanting(&self) -> bool {
        !self.wanted.is_empty()
    }

    /// Fetches the wanted rows: `fetch` is given the range of rows of each chunk.
    ///
    /// # Errors
    /// Whatever `fetch` answers.
    pub fn fill<E>(
        &mut self,
        mut fetch: impl FnMut(std::ops::Range<usize>) -> Result<Vec<T>, E>,
    ) -> Result<(), E> {
        if self.chunks.len() > MOST_CHUNKS {
            self.chunks.clear();
        }
        for chunk in std::mem::take(&mut self.wanted) {
            let from = chunk * CHUNK;
            let to = (from + CHUNK).min(self.len);
            if from < to {
                self.chunks.insert(chunk, fetch(from..to)?);
            }
        }
        Ok(())
    }
}

/// A column of a long table.
#[derive(Clone, Copy, Debug)]
pub struct Column<'a> {
    /// The heading.
    pub heading: &'a str,
    /// The width in points; the columns of zero share what is left.
    pub width: f32,
    /// Whether its cells stand at the right, as figures do.
    pub right: bool,
}

impl<'a> Column<'a> {
    /// A column of words with a fixed width.
    #[must_use]
    pub const fn words(heading: &'a str, width: f32) -> Self {
        Self {
            heading,
            width,
            right: false,
        }
    }

    /// The column that takes the room that is left.
    #[must_use]
    pub const fn rest(heading: &'a str) -> Self {
        Self::words(heading, 0.0)
    }

    /// A column of figures.
    #[must_use]
    pub const fn figures(heading: &'a str, width: f32) -> Self {
        Self {
            heading,
            width,
            right: true,
        }
    }
}

/// A table of `len` rows that draws only those in sight. `cells` gives the texts of a row, `None` while it is still
/// being fetched. Answers the row that was pressed. `jump_to` scrolls a row into sight.
pub fn data_table(
    ui: &mut Ui,
    salt: &str,
    columns: &[Column<'_>],
    len: usize,
    jump_to: Option<usize>,
    mut cells: impl FnMut(usize) -> Option<Vec<String>>,
) -> Option<usize> {
    let mut pressed = None;
    let colours = palette(ui);
    let mut builder = TableBuilder::new(ui)
        .id_salt(salt)
        .sense(egui::Sense::click())
        .cell_layout(Layout::left_to_right(Align::Center))
        .auto_shrink([false, false]);
    for column in columns {
        builder = builder.column(if column.width > 0.0 {
            egui_extras::Column::exact(column.width).clip(true)
        } else {
            egui_extras::Column::remainder().at_least(120.0).clip(true)
        });
    }
    if let Some(row) = jump_to {
        builder = builder.scroll_to_row(row, Some(Align::Center));
    }
    builder
        .header(26.0, |mut header| {
            for column in columns {
                header.col(|ui| {
                    let words = RichText::new(column.heading)
                        .font(theme::small())
                        .color(colours.soft_ink);
                    aligned(ui, column.right, words);
                });
            }
        })
        .body(|body| {
            body.rows(space::ROW, len, |mut row| {
                let idx = row.index();
                let texts = cells(idx);
                for (column, definition) in columns.iter().enumerate() {
                    row.col(|ui| {
                        let text = texts.as_ref().map_or("\u{2026}", |texts| {
                            texts.get(column).map_or("", |text| text)
                        });
                        aligned(ui, definition.right, RichText::new(text).color(colours.ink));
                    });
                }
                let response = row.response();
                let name = texts.unwrap_or_default().join(", ");
                response.widget_info(|| {
                    egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Open {name}"))
                });
                if response.clicked() {
                    pressed = Some(idx);
                }
            });
        });
    pressed
}

fn aligned(ui: &mut Ui, right: bool, words: RichText) {
    let label = egui::Label::new(words).truncate().selectable(false);
    if right {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.add(label));
    } else {
        ui.add(label);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn missing_rows_are_fetched_in_chunks() {
        let mut cache = ChunkCache::new(100);
        assert_eq!(cache.get(70), None);
        assert!(cache.is_wanting());
        let mut asked = Vec::new();
        cache
            .fill(|range| {
                asked.push(range.clone());
                Ok::<_, ()>(range.collect())
            })
            .expect("fetched");
        assert_eq!(asked.len(), 1);
        assert_eq!(asked.first(), Some(&(64..100)));
        assert_eq!(cache.get(70), Some(&70));
        assert!(!cache.is_wanting());
    }
}
