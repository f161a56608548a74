//! Pieces carried to another place, being written down: a shop that sells them on commission, a fair, a store room.
//! They stay the business's; nothing is posted.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::line::{ItemLineDraft, item_lines_ui};
use super::out::place_ui;
use crate::app::action::StockMove;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{self, cells, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, date_field, soft, suggest_field};
use crate::dates::show_day;
use crate::ledger::{EntryHeader, EntryKind};
use crate::stock::{BatchNote, Movement, MovementId, MovementKind};

/// Pieces being carried.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CarryDraft {
    /// What is carried.
    pub lines: Vec<ItemLineDraft>,
    /// When.
    pub date: String,
    /// From where; home is empty.
    pub from: String,
    /// To where; empty is home once `is_home`.
    pub to: String,
    /// Whether they come home.
    pub is_home: bool,
}

impl CarryDraft {
    /// An empty form of today, or one of this item or to this place.
    #[must_use]
    pub fn new(code: &str, to: &str, facts: &Facts) -> Self {
        let line = match facts.stock.item(code) {
            Some(item) => ItemLineDraft::of(facts.stock.label(item)),
            None => ItemLineDraft::default(),
        };
        Self {
            lines: vec![line],
            date: show_day(facts.today),
            from: String::new(),
            to: to.to_owned(),
            is_home: false,
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.lines
            .iter()
            .all(|line| line.quantity.text.trim().is_empty())
    }

    /// What it moves.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn stock_move(&self, facts: &Facts) -> Result<StockMove, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let to = if self.is_home {
            String::new()
        } else {
            read.text("to", &self.to, "say where they are carried to")
        };
        if to == self.from && (self.is_home || !to.is_empty()) {
            read.note(Problem::wrong("to", "they lie there already"));
        }
        let mut movements = Vec::new();
        let mut names = Vec::new();
        for (idx, line) in self.lines.iter().enumerate() {
            if line.is_empty() && (idx > 0 || self.lines.len() > 1) {
                continue;
            }
            read.line(Some(idx));
            if let Some((item, quantity)) = line.read(&mut read, facts) {
                let code = item.code.clone();
                let mut carried =
                    Movement::new(MovementId(0), date, code, MovementKind::Carry, quantity);
                carried.place.clone_from(&self.from);
                carried.to_place.clone_from(&to);
                movements.push(carried);
                names.push(format!("{quantity} {}", item.name));
            }
        }
        read.line(None);
        let where_to = if to.is_empty() { "home" } else { to.as_str() };
        let done = format!("Carried to {where_to}: {}", names.join(", "));
        let header = EntryHeader::new(date, EntryKind::StockOut)
            .party(&to)
            .memo(done.clone());
        read.finish(StockMove {
            note: BatchNote::default(),
            header,
            lines: Vec::new(),
            movements,
            done,
        })
    }
}

/// Draws the card.
pub fn carry_ui(
    ui: &mut Ui,
    draft: &mut CarryDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 130.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 1 {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
                return;
            }
            if draft.is_home {
                ui.add_space(32.0);
                ui.label("They come home again.");
                return;
            }
            let mut places = facts.stock.other_places();
            let channels = facts.channels();
            places.extend(channels.iter().map(|channel| channel.name.clone()));
            places.dedup();
            let field = Field::new("Carried to")
                .width(width)
                .hint("a shop, a fair, a store room")
                .problem(problems.of("to"))
                .take_focus(take_focus);
            suggest_field(ui, field, &mut draft.to, &places);
        });
        place_ui(ui, "From where", &mut draft.from, facts);
        if !draft.from.is_empty() {
            ui.checkbox(&mut draft.is_home, "They come home");
        } else {
            draft.is_home = false;
        }
        ui.add_space(space::SMALL);
        let words = ("What", "How many");
        item_lines_ui(ui, &mut draft.lines, words, |_any| true, facts, problems);
        soft(
            ui,
            "They stay yours until somebody buys them (consignment), so nothing is posted. A sheet for each place is in the \
             room Make.",
        );
        if let Ok(told) = draft.stock_move(facts) {
            for words in facts.stock.shortages(&told.movements) {
                parts::hint(ui, &format!("{words}."));
            }
        }
    });
}
