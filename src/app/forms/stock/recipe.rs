//! A recipe being typed: what goes into one batch of a product, how much is normally spoiled, own minutes, outside work.
//! What a batch really took is told when it is made.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::line::{ItemLineDraft, Offered, item_field, item_lines_ui, read_item};
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, money_field, soft, text_field};
use crate::money::Percent;
use crate::stock::{ItemKind, Recipe, RecipeInput};

/// A recipe being typed.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct RecipeDraft {
    /// What it makes.
    pub product: String,
    /// How many pieces are begun in one batch.
    pub begun: String,
    /// What goes in.
    pub inputs: Vec<ItemLineDraft>,
    /// Own minutes for a batch.
    pub minutes: String,
    /// The share normally spoiled.
    pub waste: String,
    /// Outside work for a batch.
    pub outside: String,
    /// The product whose recipe was filled in.
    filled: String,
}

impl RecipeDraft {
    /// An empty form, or the recipe of this item as it is.
    #[must_use]
    pub fn new(code: &str, facts: &Facts) -> Self {
        let mut draft = Self::default();
        if let Some(item) = facts.stock.item(code) {
            draft.product = facts.stock.label(item);
            draft.fill(facts);
        }
        draft
    }

    /// Fills in the recipe that the product has, once.
    fn fill(&mut self, facts: &Facts) {
        let Some(item) = facts.stock.find(&self.product) else {
            return;
        };
        if self.filled == item.code {
            return;
        }
        self.filled.clone_from(&item.code);
        let is_empty = self.inputs.iter().all(ItemLineDraft::is_empty);
        let Some(recipe) = facts.stock.recipe(&item.code).filter(|_| is_empty) else {
            return;
        };
        self.begun = recipe.batch_quantity.to_string();
        self.inputs = recipe
            .inputs
            .iter()
            .map(|input| ItemLineDraft {
                quantity: Offered::written(input.quantity.to_string()),
                ..ItemLineDraft::of(facts.stock.name(&input.item))
            })
            .collect();
        let unless_nothing = |text: String| if text == "0" { String::new() } else { text };
        self.minutes = unless_nothing(recipe.own_minutes.to_string());
        self.waste = unless_nothing(recipe.normal_waste.to_string());
        if recipe.outside.is_positive() {
            self.outside = facts.show(recipe.outside);
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.product.trim().is_empty() && self.inputs.iter().all(ItemLineDraft::is_empty)
    }

    /// The recipe as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recipe(&self, facts: &Facts) -> Result<Recipe, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let product = read_item(&mut read, "product", &self.product, &facts.stock);
        if product.is_some_and(|item| item.kind != ItemKind::Made) {
            let words = "a recipe is for something you make; this item is of another kind";
            read.note(Problem::wrong("product", words));
        }
        let n_before = read.problems.len();
        let begun = read.quantity("begun", &self.begun);
        if begun.is_none() && read.problems.len() == n_before {
            read.note(Problem::missing(
                "begun",
                "say how many pieces are begun at once",
            ));
        }
        let mut inputs = Vec::new();
        for (idx, line) in self.inputs.iter().enumerate() {
            if line.is_empty() && (idx > 0 || self.inputs.len() > 1) {
                continue;
            }
            read.line(Some(idx));
            if let Some((item, quantity)) = line.read(&mut read, facts) {
                inputs.push(RecipeInput {
                    item: item.code.clone(),
                    quantity,
                });
            }
        }
        read.line(None);
        let own_minutes = read.quantity("minutes", &self.minutes).unwrap_or_default();
        let normal_waste = if self.waste.trim().is_empty() {
            Percent::ZERO
        } else {
            read.share("waste", &self.waste)
        };
        let outside = read.amount_or_none("outside", &self.outside);
        let recipe = read.finish(Recipe {
            item: product.map_or_else(String::new, |item| item.code.clone()),
            batch_quantity: begun.unwrap_or_default(),
            inputs,
            own_minutes,
            normal_waste,
            outside,
        })?;
        recipe
            .check()
            .map_err(|error| vec![Problem::wrong("recipe", error.to_string())])?;
        Ok(recipe)
    }
}

/// Draws the card.
pub fn recipe_ui(
    ui: &mut Ui,
    draft: &mut RecipeDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.fill(facts);
    card(ui, |ui| {
        let products = facts.stock.offered(|kind| kind == ItemKind::Made);
        if products.is_empty() {
            soft(
                ui,
                "Keep the product itself in stock first: What happened?, then 'I want to keep something in stock'.",
            );
        }
        let columns = widths(ui.available_width(), &[0.0, 190.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What is made")
                    .width(width)
                    .problem(problems.of("product"))
                    .take_focus(take_focus);
                item_field(ui, field, &mut draft.product, &products, &facts.stock, true);
            } else {
                let mut field = Field::new("Pieces begun in a batch")
                    .width(width)
                    .problem(problems.of("begun").or_else(|| problems.of("recipe")));
                field.right = true;
                text_field(ui, field, &mut draft.begun);
            }
        });
        ui.add_space(space::SMALL);
        soft(ui, "What goes into the whole batch (bill of materials)");
        let words = ("Goes in", "How much");
        item_lines_ui(ui, &mut draft.inputs, words, |_any| true, facts, problems);
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let mut field = Field::new("Normally spoiled, per cent")
                    .width(width)
                    .hint("0")
                    .problem(problems.of("waste"));
                field.right = true;
                text_field(ui, field, &mut draft.waste);
            }
            1 => {
                let mut field = Field::new("Your own minutes")
                    .width(width)
                    .hint("0")
                    .problem(problems.of("minutes"));
                field.right = true;
                text_field(ui, field, &mut draft.minutes);
            }
            _ => {
                let field = Field::new("Outside work")
                    .width(width)
                    .hint("0.00")
                    .problem(problems.of("outside"));
                money_field(ui, field, &mut draft.outside, &facts.currency);
            }
        });
        soft(
            ui,
            "What is normally spoiled is part of what the good pieces cost. Your minutes are shown beside prices and never \
             written into the books.",
        );
    });
}
