//! So many of an item, being typed: the item by name or code, how many, and in which unit or pack.
//! Also text that is offered and can be overwritten.

use egui::{Response, Ui};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::known::KnownStock;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, select, widths};
use crate::app::widgets::{Field, filter_list, matching, quiet_button, text_field};
use crate::money::Quantity;
use crate::stock::{Item, ItemKind, in_units};

/// Below this width the unit goes beneath the quantity.
const NARROW: f32 = 470.0;

/// Text that is offered: it follows what it is worked out from until she writes something else.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Offered {
    /// What stands in the field.
    pub text: String,
    offer: String,
}

impl Offered {
    /// Offers this.
    pub fn offer(&mut self, offer: String) {
        if self.text == self.offer {
            self.text.clone_from(&offer);
        }
        self.offer = offer;
    }

    /// Whether she wrote something of her own.
    #[must_use]
    pub fn is_own(&self) -> bool {
        self.text != self.offer
    }

    /// The same text as something she wrote.
    #[must_use]
    pub fn written(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            offer: String::new(),
        }
    }
}

/// So many of an item.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ItemLineDraft {
    /// The item, by name or code.
    pub what: String,
    /// How many.
    pub quantity: Offered,
    /// The unit or pack it is given in; its own while empty.
    pub unit: String,
    /// Whether the keyboard goes to it when it is next drawn.
    #[serde(skip)]
    pub takes_focus: bool,
}

impl ItemLineDraft {
    /// A line of this item.
    #[must_use]
    pub fn of(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            ..Self::default()
        }
    }

    /// An empty line that was asked for, to which the keyboard goes.
    #[must_use]
    pub fn added() -> Self {
        Self {
            takes_focus: true,
            ..Self::default()
        }
    }

    /// Lets the keyboard go to it when it is next drawn.
    pub const fn take_focus(&mut self) {
        self.takes_focus = true;
    }

    /// Whether nothing was typed on it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.what.trim().is_empty() && self.quantity.text.trim().is_empty()
    }

    /// The item and how many of its own unit.
    pub fn read<'f>(
        &self,
        read: &mut Reader<'_>,
        facts: &'f Facts,
    ) -> Option<(&'f Item, Quantity)> {
        let item = read_item(read, "item", &self.what, &facts.stock)?;
        let quantity = read_quantity(read, &self.quantity.text, &self.unit, item)?;
        Some((item, quantity))
    }
}

/// The item that must be named.
pub(super) fn read_item<'s>(
    read: &mut Reader<'_>,
    field: &'static str,
    typed: &str,
    stock: &'s KnownStock,
) -> Option<&'s Item> {
    let found = stock.find(typed);
    if found.is_none() {
        read.note(if typed.trim().is_empty() {
            Problem::missing(field, "say which item")
        } else {
            Problem::wrong(field, "no such item is kept; choose one from the list")
        });
    }
    found
}

/// How many of an item's own unit, above nothing.
pub fn read_quantity(
    read: &mut Reader<'_>,
    typed: &str,
    unit: &str,
    item: &Item,
) -> Option<Quantity> {
    let n_before = read.problems.len();
    let Some(quantity) = read.quantity("quantity", typed) else {
        if read.problems.len() == n_before {
            let words = format!("say how many {}", item.unit.plural());
            read.note(Problem::missing("quantity", words));
        }
        return None;
    };
    if quantity.value() <= Decimal::ZERO {
        read.note(Problem::wrong("quantity", "more than nothing"));
        return None;
    }
    match item.in_own_unit(quantity, unit) {
        Ok(quantity) => Some(quantity),
        Err(error) => {
            read.note(Problem::wrong("quantity", error.to_string()));
            None
        }
    }
}

/// A field in which an item is chosen by typing part of its name or code. With `opens`, the list shows before anything
/// is typed. Answers true when one was taken.
pub fn item_field(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    items: &[&Item],
    stock: &KnownStock,
    opens: bool,
) -> (Response, bool) {
    let labels: Vec<String> = items.iter().map(|item| stock.label(item)).collect();
    let typed = text.trim();
    let searched: Vec<String> = items
        .iter()
        .zip(&labels)
        .map(|(item, label)| format!("{label} {}", item.code))
        .collect();
    let found = if stock.find(typed).is_some() || (typed.is_empty() && !opens) {
        Vec::new()
    } else {
        matching(searched.iter().map(String::as_str), typed)
    };
    let rows: Vec<(String, String)> = found
        .iter()
        .map(|idx| (labels[*idx].clone(), items[*idx].code.clone()))
        .collect();
    let (response, taken) = filter_list(ui, field, text, &rows);
    if let Some(row) = taken {
        text.clone_from(&rows[row].0);
    }
    (response, taken.is_some())
}

/// The unit or pack, for an item that has packs.
pub fn unit_select(ui: &mut Ui, label: &str, width: f32, unit: &mut String, item: &Item) {
    let own = item.unit.as_str().to_owned();
    if unit.is_empty() {
        unit.clone_from(&own);
    }
    let mut choices = vec![(own.clone(), own)];
    for pack in &item.packs {
        let words = format!("{} of {}", pack.name, in_units(pack.holds.value(), item));
        choices.push((pack.name.to_string(), words));
    }
    select(ui, label, width, unit, &choices, None);
}

/// The lines, each an item and how many, and the button for one more.
pub(super) fn item_lines_ui(
    ui: &mut Ui,
    lines: &mut Vec<ItemLineDraft>,
    words: (&str, &str),
    fits: impl Fn(ItemKind) -> bool,
    facts: &Facts,
    problems: &Problems,
) {
    if lines.is_empty() {
        lines.push(ItemLineDraft::default());
    }
    let items = facts.stock.offered(fits);
    let (count, mut removed) = (lines.len(), None);
    // The lines stand in the same columns, as wide as the widest unit needs.
    let any_packs = lines.iter().any(|line| {
        let item = facts.stock.find(&line.what);
        item.is_some_and(|item| !item.packs.is_empty())
    });
    for (idx, line) in lines.iter_mut().enumerate() {
        let named = |words: &str| match idx {
            0 => words.to_owned(),
            idx => format!("{words} {}", idx + 1),
        };
        let item = facts.stock.find(&line.what).cloned();
        let has_packs = item.as_ref().is_some_and(|item| !item.packs.is_empty());
        ui.push_id(("item line", idx), |ui| {
            let is_narrow = ui.available_width() < NARROW;
            let mut cell_ui = |ui: &mut Ui, cell: usize, width: f32| match cell {
                0 => {
                    let label = named(words.0);
                    let field = Field::new(&label)
                        .width(width)
                        .problem(problems.on("item", idx))
                        .take_focus(std::mem::take(&mut line.takes_focus));
                    let is_first = idx == 0;
                    item_field(ui, field, &mut line.what, &items, &facts.stock, is_first);
                }
                1 => {
                    let label = named(words.1);
                    let mut field = Field::new(&label)
                        .width(width)
                        .problem(problems.on("quantity", idx));
                    field.right = true;
                    text_field(ui, field, &mut line.quantity.text);
                }
                2 => match &item {
                    Some(item) if has_packs => {
                        unit_select(ui, &named("In"), width, &mut line.unit, item);
                    }
                    Some(item) => unit_words(ui, item.unit.as_str()),
                    None => {}
                },
                _ if count > 1 => {
                    ui.add_space(24.0);
                    let away = quiet_button(ui, "Away");
                    let name = named("Take this line away");
                    away.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
                    if away.clicked() {
                        removed = Some(idx);
                    }
                }
                _ => {}
            };
            let unit_width = if any_packs { 150.0 } else { 86.0 };
            if is_narrow {
                let columns = widths(ui.available_width(), &[0.0, 96.0]);
                cells(ui, &columns, &[0, 1], &mut cell_ui);
                if has_packs || count > 1 {
                    let columns = widths(ui.available_width(), &[0.0, 66.0]);
                    cells(ui, &columns, &[0, 1], |ui, cell, width| {
                        cell_ui(ui, cell + 2, width)
                    });
                }
            } else {
                let columns = widths(ui.available_width(), &[0.0, 96.0, unit_width, 66.0]);
                cells(ui, &columns, &[0, 1, 2, 3], &mut cell_ui);
            }
        });
    }
    if let Some(idx) = removed {
        lines.remove(idx);
    }
    if quiet_button(ui, "Add a line")
        .on_hover_text("Ctrl+L")
        .clicked()
    {
        lines.push(ItemLineDraft::added());
    }
}

/// The unit beside a quantity, at the height of its field.
fn unit_words(ui: &mut Ui, unit: &str) {
    ui.add_space(32.0);
    crate::app::widgets::soft(ui, unit);
}
