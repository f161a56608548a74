//! A set being typed: its name, what it sells for, what is in it.
//! It lies in stock as its parts; a set put together beforehand is a batch.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::line::{ItemLineDraft, Offered, item_lines_ui};
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, money_field, soft, text_field};
use crate::stock::{Bundle, BundlePart};

/// Below this width the name stands above the code and the price.
const NARROW: f32 = 470.0;

/// A set being typed.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct BundleDraft {
    /// The set that is changed, by its code; empty for a new one.
    pub changes: String,
    /// Its name.
    pub name: String,
    /// Its code; made of the name while empty.
    pub code: String,
    /// What one sells for.
    pub price: String,
    /// What is in it.
    pub parts: Vec<ItemLineDraft>,
}

impl BundleDraft {
    /// An empty form, or the set of this code as it is.
    #[must_use]
    pub fn new(code: &str, facts: &Facts) -> Self {
        let Some(bundle) = facts.stock.bundle(code) else {
            return Self::default();
        };
        Self {
            changes: bundle.code.clone(),
            name: bundle.name.clone(),
            code: bundle.code.clone(),
            price: bundle
                .price
                .map(|price| facts.show(price))
                .unwrap_or_default(),
            parts: bundle
                .parts
                .iter()
                .map(|part| ItemLineDraft {
                    quantity: Offered::written(part.quantity.to_string()),
                    ..ItemLineDraft::of(facts.stock.name(&part.item))
                })
                .collect(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.name.trim().is_empty() && self.parts.iter().all(ItemLineDraft::is_empty)
    }

    /// The set as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn bundle(&self, facts: &Facts) -> Result<Bundle, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let name = read.text("name", &self.name, "say what the set is called");
        let mut parts = Vec::new();
        for (idx, line) in self.parts.iter().enumerate() {
            if line.is_empty() && (idx > 0 || self.parts.len() > 1) {
                continue;
            }
            read.line(Some(idx));
            if let Some((item, quantity)) = line.read(&mut read, facts) {
                parts.push(BundlePart {
                    item: item.code.clone(),
                    quantity,
                });
            }
        }
        read.line(None);
        let price = match self.price.trim() {
            "" => None,
            typed => Some(read.amount("price", typed, "say what one sells for")),
        };
        let code = self.code(facts);
        if self.changes.is_empty()
            && let Some(other) = facts.stock.holder_of(&code)
        {
            let words = format!("this code is {other}'s; choose another");
            read.note(Problem::wrong("code", words));
        }
        let bundle = read.finish(Bundle {
            code,
            name,
            price,
            parts,
            is_active: true,
        })?;
        bundle
            .check()
            .map_err(|error| vec![Problem::wrong("parts", error.to_string())])?;
        Ok(bundle)
    }

    /// Its code: as typed, or made of the name.
    fn code(&self, facts: &Facts) -> String {
        if !self.changes.is_empty() {
            return self.changes.clone();
        }
        match self.code.trim() {
            "" => facts.stock.free_code(&self.name),
            code => code.to_owned(),
        }
    }
}

/// Draws the card.
pub fn bundle_ui(
    ui: &mut Ui,
    draft: &mut BundleDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let width = ui.available_width();
        if width < NARROW {
            head_ui(ui, 0, width, draft, facts, problems, take_focus);
            let columns = widths(width, &[0.0, 130.0]);
            cells(ui, &columns, &[0, 1], |ui, cell, width| {
                head_ui(ui, cell + 1, width, draft, facts, problems, false);
            });
        } else {
            let columns = widths(width, &[0.0, 150.0, 130.0]);
            cells(ui, &columns, &[0, 1, 2], |ui, cell, width| {
                head_ui(ui, cell, width, draft, facts, problems, take_focus);
            });
        }
        ui.add_space(space::SMALL);
        soft(ui, "What is in one set");
        let words = ("In it", "How many");
        item_lines_ui(ui, &mut draft.parts, words, |_any| true, facts, problems);
        if let Some(problem) = problems.of("parts") {
            crate::app::forms::parts::hint(ui, problem);
        }
        if let Ok(bundle) = draft.bundle(facts) {
            ui.add_space(space::SMALL);
            soft(ui, &facts.stock.sets_in_words(&bundle));
        }
        ui.add_space(space::SMALL);
        soft(
            ui,
            "A sold set takes its parts out of the stock at what they cost; one that comes back puts them there again. A set \
             that you put together beforehand and that lies there as such is better kept as an item with a recipe.",
        );
    });
}

/// One field of the head: its name, its code, its price.
fn head_ui(
    ui: &mut Ui,
    cell: usize,
    width: f32,
    draft: &mut BundleDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    match cell {
        0 => {
            let field = Field::new("Name of the set")
                .width(width)
                .hint("five cards in a band")
                .problem(problems.of("name"))
                .take_focus(take_focus);
            text_field(ui, field, &mut draft.name);
        }
        1 if draft.changes.is_empty() => {
            let hint = draft.code(facts);
            let field = Field::new("Code")
                .width(width)
                .hint(&hint)
                .problem(problems.of("code"));
            text_field(ui, field, &mut draft.code);
        }
        1 => {
            ui.add_space(32.0);
            soft(ui, &format!("Code {}", draft.changes));
        }
        _ => {
            let field = Field::new("Price of one set")
                .width(width)
                .hint("0.00")
                .problem(problems.of("price"));
            money_field(ui, field, &mut draft.price, &facts.currency);
        }
    }
}
