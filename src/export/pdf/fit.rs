//! How a table finds room: the size of its letters, the widths of its columns, which way the paper lies, and, when all
//! that is not enough, which columns go into a second table beneath.

use super::layout::{Align, BODY, Column, MARGIN, Row, RowKind, Sheet};

/// The room between two columns.
pub(super) const GAP: f32 = 8.0;
const LEADING: f32 = 1.4;
/// Words are broken rather than a column made wider than this for the sake of one of them.
const WIDEST_WORD: f32 = 84.0;
/// A text of so few letters stays on one line.
const SHORT: usize = 12;
/// Words take no more lines than this, if the table can be set smaller or across.
const LINES: f32 = 2.6;
/// A narrow table is made this much of the page wide.
const LEAST: f32 = 0.66;
/// So many rows are measured; a table has more alike.
const MEASURED: usize = 4_000;

const SIZES: [f32; 3] = [BODY - 0.5, 8.5, 7.5];

/// A table, or a part of its columns, with a place for each.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Grid {
    /// Which of the table's columns, in order.
    pub columns: Vec<usize>,
    /// How wide each is, the gap before the next one counted.
    pub widths: Vec<f32>,
    /// The size of the letters.
    pub size: f32,
}

/// How a table is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Setting {
    pub is_landscape: bool,
}

/// What a column wants at a size of one point.
#[derive(Clone, Copy, Debug, Default)]
struct Want {
    /// All its text on one line.
    natural: f32,
    /// Its widest word; for figures all of it.
    least: f32,
    is_figures: bool,
}

/// How tall a row of these lines is.
pub(super) fn height(lines: &[Vec<String>], size: f32, gap: f32) -> f32 {
    let most = lines.iter().map(Vec::len).max().unwrap_or(1).max(1);
    most as f32 * size * LEADING + gap
}

fn wants(sheet: &Sheet, columns: &[Column], rows: &[Row]) -> Vec<Want> {
    let mut wants: Vec<Want> = columns
        .iter()
        .map(|column| {
            let is_figures = column.align == Align::Right;
            let least = column
                .title
                .split_whitespace()
                .map(|word| sheet.bold.width(word, 1.0))
                .fold(0.0, f32::max);
            Want {
                natural: least,
                least,
                is_figures,
            }
        })
        .collect();
    for row in rows.iter().take(MEASURED) {
        if row.kind == RowKind::Heading {
            continue;
        }
        let measure = if row.kind == RowKind::Line {
            &sheet.plain
        } else {
            &sheet.bold
        };
        for (cell, want) in row.cells.iter().zip(&mut wants) {
            let natural = measure.width(&cell.text, 1.0);
            if want.is_figures {
                // Room for the hanging parenthesis.
                let natural = natural + measure.width(")", 1.0);
                want.natural = want.natural.max(natural);
                want.least = want.least.max(natural);
                continue;
            }
            want.natural = want.natural.max(natural);
            // A day or a short word pair is not broken.
            if cell.text.chars().count() <= SHORT {
                want.least = want.least.max(natural);
                continue;
            }
            let widest = cell
                .text
                .split_whitespace()
                .map(|word| measure.width(word, 1.0))
                .fold(0.0, f32::max);
            want.least = want.least.max(widest);
        }
    }
    wants
}

/// The widths of these columns at a size within a width, if they have room; the second says whether no text needs too
/// many lines.
fn widths(wants: &[Want], size: f32, room: f32) -> Option<(Vec<f32>, bool)> {
    let natural: Vec<f32> = wants.iter().map(|want| want.natural * size + GAP).collect();
    let least: Vec<f32> = wants
        .iter()
        .map(|want| {
            let least = want.least * size;
            let bound = if want.is_figures {
                least
            } else {
                least.min(WIDEST_WORD)
            };
            bound + GAP
        })
        .collect();
    let all: f32 = natural.iter().sum();
    if all <= room {
        // Figures far from their words are hard to follow across a page: what is left stays free, but for a little.
        let mut wide = natural;
        let spare = (room * LEAST - all).max(0.0);
        let widest = (0..wants.len())
            .filter(|place| wants.get(*place).is_some_and(|want| !want.is_figures))
            .max_by(|one, other| {
                let natural = |place: &usize| wants.get(*place).map_or(0.0, |want| want.natural);
                natural(one).total_cmp(&natural(other))
            });
        if let Some(place) = widest
            && let Some(width) = wide.get_mut(place)
        {
            *width += spare;
        }
        return Some((wide, true));
    }
    let needed: f32 = least.iter().sum();
    if needed > room {
        return None;
    }
    let spare = room - needed;
    let more: f32 = natural
        .iter()
        .zip(&least)
        .map(|(natural, least)| natural - least)
        .sum();
    let widths: Vec<f32> = natural
        .iter()
        .zip(&least)
        .map(|(natural, least)| least + spare * (natural - least) / more.max(1.0))
        .collect();
    let is_good = natural
        .iter()
        .zip(&widths)
        .all(|(natural, width)| natural / width <= LINES);
    Some((widths, is_good))
}

/// Tables of more rows are set small and upright: their pages add up.
const LONG: usize = 300;

/// Which way the paper lies for a table.
pub(super) fn choose(
    sheet: &Sheet,
    columns: &[Column],
    rows: &[Row],
    short: f32,
    long: f32,
) -> Setting {
    let wants = wants(sheet, columns, rows);
    let smallest = SIZES[SIZES.len() - 1];
    if rows.len() > LONG && widths(&wants, smallest, short - 2.0 * MARGIN).is_some() {
        return Setting {
            is_landscape: false,
        };
    }
    let upright = SIZES[..2].iter().any(|size| {
        widths(&wants, *size, short - 2.0 * MARGIN).is_some_and(|(_widths, is_good)| is_good)
    });
    let across = widths(&wants, SIZES[0], long - 2.0 * MARGIN).is_some();
    let fits_upright = widths(&wants, SIZES[1], short - 2.0 * MARGIN).is_some();
    Setting {
        is_landscape: !upright && (across || !fits_upright),
    }
}

/// The table in as many parts as the width needs; nearly always one.
pub(super) fn grids(sheet: &Sheet, columns: &[Column], rows: &[Row], room: f32) -> Vec<Grid> {
    let wants = wants(sheet, columns, rows);
    let mut poorer = None;
    let sizes = if rows.len() > LONG {
        &SIZES[SIZES.len() - 1..]
    } else {
        &SIZES[..]
    };
    for size in sizes.iter().copied() {
        match widths(&wants, size, room) {
            Some((widths, true)) => return vec![whole(widths, size)],
            Some((widths, false)) => poorer = poorer.or(Some(whole(widths, size))),
            None => {}
        }
    }
    if let Some(grid) = poorer {
        return vec![grid];
    }
    let size = SIZES[1];
    let mut parts = Vec::new();
    let mut rest: Vec<usize> = (1..columns.len()).collect();
    while !rest.is_empty() {
        let mut taken = vec![0];
        while let Some(next) = rest.first().copied() {
            let mut more = taken.clone();
            more.push(next);
            let of: Vec<Want> = more
                .iter()
                .filter_map(|idx| wants.get(*idx).copied())
                .collect();
            if widths(&of, size, room).is_none() && taken.len() > 1 {
                break;
            }
            taken = more;
            rest.remove(0);
        }
        let of: Vec<Want> = taken
            .iter()
            .filter_map(|idx| wants.get(*idx).copied())
            .collect();
        let widths = widths(&of, size, room).map_or_else(
            || vec![room / of.len() as f32; of.len()],
            |(widths, _is_good)| widths,
        );
        parts.push(Grid {
            columns: taken,
            widths,
            size,
        });
    }
    parts
}

fn whole(widths: Vec<f32>, size: f32) -> Grid {
    Grid {
        columns: (0..widths.len()).collect(),
        widths,
        size,
    }
}
