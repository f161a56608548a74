//! Something that is worth less than it cost, being written down: damaged, faded, out of date.
//! Nothing leaves the shelf; what is spoiled for good goes out instead.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::in_units;
use super::line::{item_field, read_item};
use crate::app::action::StockMove;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{self, cells, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, caution, date_field, money_field, soft, text_field};
use crate::dates::show_day;
use crate::ledger::{EntryHeader, EntryKind};
use crate::money::{Money, Quantity};
use crate::stock::{BatchNote, Movement, MovementId, MovementKind};

const CAUTION: &str = "Whether and when stock may be valued below cost, and what shows it, depends on where you are and on \
     how you value your stock: keep a photo or an offer that proves it, and confirm with local rules and a licensed \
     professional.";

/// A write-down being typed.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct WorthLessDraft {
    /// What it is.
    pub what: String,
    /// What all that is there is still worth.
    pub worth: String,
    /// When.
    pub date: String,
    /// Why.
    pub memo: String,
}

impl WorthLessDraft {
    /// An empty form of today, or one of this item.
    #[must_use]
    pub fn new(code: &str, facts: &Facts) -> Self {
        let item = facts.stock.item(code);
        Self {
            what: item.map_or_else(String::new, |item| facts.stock.label(item)),
            date: show_day(facts.today),
            ..Self::default()
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.worth.trim().is_empty() && self.memo.trim().is_empty()
    }

    /// What it stands at in the books now, by the last movement.
    fn stands_at(&self, facts: &Facts) -> Option<Money> {
        let item = facts.stock.find(&self.what)?;
        Some(facts.stock.worth(&item.code))
    }

    /// What it moves.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn stock_move(&self, facts: &Facts) -> Result<StockMove, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let item = read_item(&mut read, "what", &self.what, &facts.stock);
        let worth = match self.worth.trim() {
            "" => {
                let words = "say what they are still worth, all together; 0 when nothing";
                read.note(Problem::missing("worth", words));
                Money::ZERO
            }
            typed => read.amount_or_none("worth", typed),
        };
        let memo = read.text("memo", &self.memo, "say why, for your accountant");
        let stands_at = self.stands_at(facts).unwrap_or_default();
        let down = stands_at - worth;
        if item.is_some() && !down.is_positive() {
            let shown = facts.show(stands_at);
            let words = format!("they stand at {shown}; a write-down is to less than that");
            read.note(Problem::wrong("worth", words));
        }
        let (code, name) = item.map_or_else(Default::default, |item| {
            (item.code.clone(), item.name.clone())
        });
        let movement = Movement {
            value: down,
            ..Movement::new(
                MovementId(0),
                date,
                code,
                MovementKind::WriteDown,
                Quantity::default(),
            )
        };
        let header =
            EntryHeader::new(date, EntryKind::StockOut).memo(format!("{name} worth less: {memo}"));
        read.finish(StockMove {
            note: BatchNote::default(),
            header,
            lines: Vec::new(),
            movements: vec![movement],
            done: format!("Written down: {name} by {}", facts.show(down)),
        })
    }
}

/// Draws the card.
pub fn worth_less_ui(
    ui: &mut Ui,
    draft: &mut WorthLessDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let items = facts.stock.offered(|_any| true);
        let columns = widths(ui.available_width(), &[0.0, 150.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What")
                    .width(width)
                    .problem(problems.of("what"))
                    .take_focus(take_focus);
                item_field(ui, field, &mut draft.what, &items, &facts.stock, true);
            } else {
                let field = Field::new("All of it is still worth")
                    .width(width)
                    .hint("0.00")
                    .problem(problems.of("worth"));
                money_field(ui, field, &mut draft.worth, &facts.currency);
            }
        });
        if let (Some(item), Some(worth)) = (facts.stock.find(&draft.what), draft.stands_at(facts)) {
            let there = in_units(facts.stock.quantity(&item.code).value(), item);
            let shown = facts.show(worth);
            soft(ui, &format!("{there} are there and stand at {shown}."));
        }
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[130.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            } else {
                let field = Field::new("Why")
                    .width(width)
                    .hint("faded in the window, last year's date on them")
                    .problem(problems.of("memo"));
                text_field(ui, field, &mut draft.memo);
            }
        });
        if let Some(problem) = problems.of("stock") {
            parts::hint(ui, problem);
        }
        ui.add_space(space::SMALL);
        caution(ui, CAUTION);
    });
}
