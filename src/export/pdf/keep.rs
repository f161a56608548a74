//! Keeping a table and the sentences beneath it together: rows are set a little closer when that saves a page on which
//! next to nothing would stand. Where each row goes is `layout`'s.

use super::fit::{self, Grid};
use super::layout::{BODY, Column, LEADING, MARGIN, ROW_GAP, RULE_ROOM, Row, RowKind, Sheet};

/// How close rows may be set, in points between them: as usual first.
const GAPS: [f32; 4] = [ROW_GAP, 1.5, 1.0, 0.5];
/// A page with no more rows than this is worth saving.
const FEW: usize = 5;
/// The room after a table.
pub(super) const AFTER: f32 = 8.0;
/// Longer tables are not tried: a page more is nothing to them.
const LONG: usize = 400;

/// What a table would take.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Taken {
    /// Pages begun beyond the one it stands on.
    pages: usize,
    /// Rows on the last of them.
    rows: usize,
}

impl Sheet {
    /// A table with the sentences beneath it.
    pub fn table_with_notes(&mut self, columns: &[Column], rows: &[Row], notes: &[String]) {
        let heights: Vec<f32> = notes.iter().map(|note| self.height_of(note)).collect();
        let below = AFTER + heights.iter().sum::<f32>();
        // At least the first sentence stands with the last row.
        let kept = AFTER + heights.first().copied().unwrap_or_default();
        let grids = fit::grids(self, columns, rows, self.width());
        let mut gap = ROW_GAP;
        if let [grid] = grids.as_slice()
            && rows.len() <= LONG
        {
            gap = self.gap_that_saves_a_page(grid, columns, rows, below);
        }
        self.row_gap = gap;
        let last = grids.len();
        for (place, grid) in grids.iter().enumerate() {
            let kept = if place + 1 == last { kept } else { 0.0 };
            self.grid(grid, columns, rows, kept);
        }
        self.row_gap = ROW_GAP;
        for note in notes {
            self.paragraph(note);
        }
    }

    /// How high a sentence stands, with the room after it.
    fn height_of(&self, note: &str) -> f32 {
        let lines = self.plain.lines(note, BODY, self.width());
        lines.len() as f32 * BODY * LEADING + 6.0
    }

    fn gap_that_saves_a_page(
        &self,
        grid: &Grid,
        columns: &[Column],
        rows: &[Row],
        below: f32,
    ) -> f32 {
        let [usual, closer @ ..] = GAPS;
        let as_usual = self.taken(grid, columns, rows, below, usual);
        if as_usual.pages == 0 || as_usual.rows > FEW {
            return usual;
        }
        closer
            .into_iter()
            .find(|gap| self.taken(grid, columns, rows, below, *gap).pages < as_usual.pages)
            .unwrap_or(usual)
    }

    fn taken(&self, grid: &Grid, columns: &[Column], rows: &[Row], below: f32, gap: f32) -> Taken {
        let heads = Row::new(
            RowKind::Line,
            columns
                .iter()
                .map(|one| one.title.as_str().into())
                .collect(),
        );
        let head = fit::height(&self.broken(grid, &heads, true), grid.size, gap) + 3.0;
        let mut y = self.y + head;
        let mut taken = Taken { pages: 0, rows: 0 };
        for (place, row) in rows.iter().enumerate() {
            let lines = self.broken(grid, row, row.kind != RowKind::Line);
            let extra = match row.kind {
                RowKind::Line => 0.0,
                RowKind::Heading => 3.0,
                RowKind::Total => RULE_ROOM,
                RowKind::Final => RULE_ROOM + 5.0,
            };
            let height = fit::height(&lines, grid.size, gap) + extra;
            let after = if place + 1 == rows.len() { below } else { 0.0 };
            if y + height + after > self.bottom() {
                taken.pages += 1;
                taken.rows = 0;
                y = MARGIN + head;
            }
            y += height;
            taken.rows += 1;
        }
        taken
    }
}
