//! An item being kept in stock: its name and unit, the packs it comes in, when to get more, what it sells for.
//! What there is of it is told by purchases, batches and counts.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::line::Offered;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, widths};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, choice_chips, money_field, quiet_button, soft, suggest_field, text_field,
};
use crate::stock::{Item, ItemKind, Pack, Unit};

/// Units that are offered; any other word will do.
const UNITS: [&str; 9] = [
    "sheet", "piece", "metre", "cm", "ml", "g", "skein", "set", "pair",
];

/// A pack being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackDraft {
    /// Its name.
    pub name: String,
    /// How many of the unit it holds.
    pub holds: String,
}

/// An item being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ItemDraft {
    /// The code of the item that is changed; empty for a new one.
    pub changes: String,
    /// Its name.
    pub name: String,
    /// Its code, offered from the name.
    pub code: Offered,
    /// What sort of thing it is.
    pub kind: ItemKindChoice,
    /// Its unit.
    pub unit: String,
    /// Its packs.
    pub packs: Vec<PackDraft>,
    /// From how few on there should be more.
    pub reorder: String,
    /// What one sells for.
    pub price: String,
    /// Where it lies.
    pub shelf: String,
    /// Whether it is still kept.
    pub is_active: bool,
}

/// [`ItemKind`] as a draft keeps it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ItemKindChoice {
    /// Goes into what is made.
    #[default]
    Material,
    /// Made to sell.
    Made,
    /// Bought to sell.
    BoughtIn,
    /// Packaging.
    Packaging,
}

impl ItemKindChoice {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Material, "material: goes into what I make"),
        (Self::Made, "I make it (or have it made) to sell"),
        (Self::BoughtIn, "I buy it to sell as it is"),
        (Self::Packaging, "packaging"),
    ];

    /// The kind.
    #[must_use]
    pub const fn kind(self) -> ItemKind {
        match self {
            Self::Material => ItemKind::Material,
            Self::Made => ItemKind::Made,
            Self::BoughtIn => ItemKind::BoughtIn,
            Self::Packaging => ItemKind::Packaging,
        }
    }

    const fn of(kind: ItemKind) -> Self {
        match kind {
            ItemKind::Material => Self::Material,
            ItemKind::Made => Self::Made,
            ItemKind::BoughtIn => Self::BoughtIn,
            ItemKind::Packaging => Self::Packaging,
        }
    }
}

impl Default for ItemDraft {
    fn default() -> Self {
        Self {
            changes: String::new(),
            name: String::new(),
            code: Offered::default(),
            kind: ItemKindChoice::default(),
            unit: String::new(),
            packs: Vec::new(),
            reorder: String::new(),
            price: String::new(),
            shelf: String::new(),
            is_active: true,
        }
    }
}

impl ItemDraft {
    /// An empty form, or the item with this code to be changed.
    #[must_use]
    pub fn new(code: &str, facts: &Facts) -> Self {
        let Some(item) = facts.stock.item(code) else {
            return Self::default();
        };
        Self {
            changes: item.code.clone(),
            name: item.name.clone(),
            code: Offered::written(&item.code),
            kind: ItemKindChoice::of(item.kind),
            unit: item.unit.to_string(),
            packs: item
                .packs
                .iter()
                .map(|pack| PackDraft {
                    name: pack.name.to_string(),
                    holds: pack.holds.to_string(),
                })
                .collect(),
            reorder: item
                .reorder_point
                .map_or_else(String::new, |point| point.to_string()),
            price: item
                .price
                .map_or_else(String::new, |price| facts.show(price)),
            shelf: item.shelf.clone(),
            is_active: item.is_active,
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.name.trim().is_empty()
    }

    /// Offers a code from the name, one that no other item has.
    fn offer_code(&mut self, facts: &Facts) {
        if !self.changes.is_empty() {
            return;
        }
        self.code.offer(facts.stock.free_code(&self.name));
    }

    /// The item as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn item(&self, facts: &Facts) -> Result<Item, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let name = read.text("name", &self.name, "say what it is called");
        let code = read.text("code", &self.code.text, "give it a short name of your own");
        if self.changes.is_empty()
            && let Some(other) = facts.stock.holder_of(&code)
        {
            let words = format!("this code is {other}'s; choose another");
            read.note(Problem::wrong("code", words));
        }
        let unit = read_unit(&mut read, "unit", &self.unit, "say what it is counted in");
        let kind = self.kind.kind();
        let reorder_point = read.quantity("reorder", &self.reorder);
        let mut packs = Vec::new();
        for (idx, pack) in self.packs.iter().enumerate() {
            if pack.name.trim().is_empty() && pack.holds.trim().is_empty() {
                continue;
            }
            read.line(Some(idx));
            let name = read_unit(&mut read, "pack", &pack.name, "name the pack, as ream");
            let holds = read.quantity("holds", &pack.holds);
            if holds.is_none() && pack.holds.trim().is_empty() {
                read.note(Problem::missing("holds", "say how many it holds"));
            }
            packs.extend(name.zip(holds).map(|(name, holds)| Pack { name, holds }));
        }
        read.line(None);
        let has_price = kind.is_sold() && !self.price.trim().is_empty();
        let price = has_price.then(|| read.amount_or_none("price", &self.price));
        let Some(unit) = unit else {
            return Err(read.problems);
        };
        let item = read.finish(Item {
            packs,
            reorder_point,
            price,
            shelf: self.shelf.trim().to_owned(),
            is_active: self.is_active,
            ..Item::new(code, name, kind, unit)
        })?;
        item.check()
            .map_err(|error| vec![Problem::wrong("item", error.to_string())])?;
        Ok(item)
    }
}

fn read_unit(
    read: &mut Reader<'_>,
    field: &'static str,
    text: &str,
    missing: &str,
) -> Option<Unit> {
    if text.trim().is_empty() {
        read.note(Problem::missing(field, missing));
        return None;
    }
    Unit::new(text)
        .map_err(|error| read.note(Problem::wrong(field, error.to_string())))
        .ok()
}

/// Draws the card.
pub fn item_ui(
    ui: &mut Ui,
    draft: &mut ItemDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.offer_code(facts);
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 160.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("Name")
                    .width(width)
                    .hint("Text paper, cream")
                    .problem(problems.of("name"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.name);
            } else if draft.changes.is_empty() {
                let field = Field::new("Code")
                    .width(width)
                    .problem(problems.of("code").or_else(|| problems.of("item")));
                text_field(ui, field, &mut draft.code.text)
                    .on_hover_text("Your own short name for it, by which sheets and lines find it");
            } else {
                ui.add_space(32.0);
                soft(ui, &format!("Code {}", draft.changes));
            }
        });
        ui.add_space(space::SMALL);
        let has_moved = facts
            .stock
            .on_hand
            .keys()
            .any(|code| code.eq_ignore_ascii_case(&draft.changes));
        if has_moved {
            soft(
                ui,
                "It has moved already and keeps its kind and its unit; make another item instead.",
            );
        } else {
            choice_chips(ui, "What is it?", &mut draft.kind, &ItemKindChoice::ALL);
        }
        ui.add_space(space::SMALL);
        counted_ui(ui, draft, facts, problems, has_moved);
        packs_ui(ui, &mut draft.packs, &draft.unit, problems);
        if !draft.changes.is_empty() {
            ui.add_space(space::SMALL);
            ui.checkbox(&mut draft.is_active, "It is still kept");
        }
    });
}

fn counted_ui(
    ui: &mut Ui,
    draft: &mut ItemDraft,
    facts: &Facts,
    problems: &Problems,
    has_moved: bool,
) {
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0, 0.0]);
    let units: Vec<String> = UNITS.iter().map(|unit| (*unit).to_owned()).collect();
    let is_sold = draft.kind.kind().is_sold();
    cells(ui, &columns, &[0, 1, 2, 3], |ui, cell, width| match cell {
        0 => {
            let field = Field::new("Counted in")
                .width(width)
                .hint("sheet, piece, metre")
                .problem(problems.of("unit"));
            if has_moved {
                ui.add_space(32.0);
                soft(ui, &format!("counted in {}", draft.unit));
            } else {
                suggest_field(ui, field, &mut draft.unit, &units);
            }
        }
        1 => {
            let mut field = Field::new("Get more from")
                .width(width)
                .hint("never")
                .problem(problems.of("reorder"));
            field.right = true;
            text_field(ui, field, &mut draft.reorder)
                .on_hover_text("Reorder point: when so few are left it stands on Today");
        }
        2 => {
            let field = Field::new("Shelf").width(width).hint("may stay empty");
            text_field(ui, field, &mut draft.shelf);
        }
        _ if is_sold => {
            let field = Field::new("Price of one")
                .width(width)
                .problem(problems.of("price"));
            money_field(ui, field, &mut draft.price, &facts.currency);
        }
        _ => {}
    });
}

fn packs_ui(ui: &mut Ui, packs: &mut Vec<PackDraft>, unit: &str, problems: &Problems) {
    let mut removed = None;
    for (idx, pack) in packs.iter_mut().enumerate() {
        let named = |words: &str| match idx {
            0 => words.to_owned(),
            idx => format!("{words} {}", idx + 1),
        };
        ui.push_id(("pack", idx), |ui| {
            let columns = widths(ui.available_width(), &[0.0, 120.0, 80.0]);
            cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
                0 => {
                    let label = named("Pack");
                    let field = Field::new(&label)
                        .width(width)
                        .hint("ream, roll, bottle")
                        .problem(problems.on("pack", idx));
                    text_field(ui, field, &mut pack.name);
                }
                1 => {
                    let label = named("Holds");
                    let mut field = Field::new(&label)
                        .width(width)
                        .hint(unit)
                        .problem(problems.on("holds", idx));
                    field.right = true;
                    text_field(ui, field, &mut pack.holds);
                }
                _ => {
                    ui.add_space(24.0);
                    let away = quiet_button(ui, "Away");
                    let name = named("Take this pack away");
                    away.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
                    if away.clicked() {
                        removed = Some(idx);
                    }
                }
            });
        });
    }
    if let Some(idx) = removed {
        packs.remove(idx);
    }
    if quiet_button(ui, "It comes in packs")
        .on_hover_text("A ream of 500 sheets, a roll of 10 metres")
        .clicked()
    {
        packs.push(PackDraft::default());
    }
}
