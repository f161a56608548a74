//! The newest entries of a room's kind, each opening its page, with how many more there are.
//! Which columns they have is the room's.

use egui::Ui;

use crate::app::widgets::paper::{Column, Row, paper_table};
use crate::app::widgets::{card, card_heading, soft};
use crate::ledger::EntryNumber;

/// What the card says around its entries.
#[derive(Clone, Copy, Debug)]
pub struct Lately<'a> {
    /// Its heading, as `Bought lately`.
    pub heading: &'a str,
    /// The trade's words for it.
    pub term: &'a str,
    /// What is said when there is nothing.
    pub nothing: &'a str,
    /// How many entries there are in the period, those not listed too.
    pub n_all: usize,
}

/// Draws the card; answers the entry that was opened.
pub fn lately_ui(
    ui: &mut Ui,
    lately: Lately<'_>,
    columns: &[Column],
    rows: Vec<(EntryNumber, Row)>,
) -> Option<EntryNumber> {
    let mut opened = None;
    card(ui, |ui| {
        card_heading(ui, lately.heading).on_hover_text(lately.term);
        if rows.is_empty() {
            soft(ui, lately.nothing);
            return;
        }
        let (numbers, rows): (Vec<EntryNumber>, Vec<Row>) = rows.into_iter().unzip();
        if let Some((row, _column)) = paper_table(ui, lately.heading, columns, &rows) {
            opened = numbers.get(row).copied();
        }
        let more = lately.n_all.saturating_sub(rows.len());
        if more > 0 {
            soft(
                ui,
                &format!("{more} earlier ones in this period; the journal in Ledger has them all."),
            );
        }
    });
    opened
}
