//! One item of an order being typed: what, how many, the supplier's prices, what is paid once.
//! The order around it is `order`.

use egui::Ui;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::pieces;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, widths};
use crate::app::forms::stock::item_field;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, choice_chips, money_field, problem, quiet_button, soft, text_field,
};
use crate::deciding::{PriceTier, UnitCost};
use crate::money::Money;
use crate::ordering::OrderLine;

/// A price being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TierDraft {
    /// From how many pieces.
    pub from: String,
    /// The price of each.
    pub each: String,
}

impl TierDraft {
    fn is_empty(&self) -> bool {
        self.from.trim().is_empty() && self.each.trim().is_empty()
    }
}

/// An item of an order being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct OrderLineDraft {
    /// The item, by name or code.
    pub what: String,
    /// How many.
    pub quantity: String,
    /// The supplier's prices.
    pub tiers: Vec<TierDraft>,
    /// The fewest the supplier makes.
    pub minimum: String,
    /// Paid once for the design.
    pub design: String,
    /// Paid at every run.
    pub set_up: String,
    /// Whether the design is new.
    pub is_first_run: bool,
    /// The order whose terms were taken over, so that this happens once.
    pub offered_from: String,
}

impl OrderLineDraft {
    /// An empty line, or one of this item.
    #[must_use]
    pub fn new(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            quantity: String::new(),
            tiers: vec![TierDraft::default()],
            minimum: String::new(),
            design: String::new(),
            set_up: String::new(),
            is_first_run: true,
            offered_from: String::new(),
        }
    }

    /// A line of an order as it can be changed.
    #[must_use]
    pub fn of(line: &OrderLine, facts: &Facts) -> Self {
        let mut draft = Self::new(facts.stock.name(&line.item));
        draft.quantity = line.quantity.to_string();
        draft.take_terms(line, facts);
        draft
    }

    fn take_terms(&mut self, line: &OrderLine, facts: &Facts) {
        let amount = |amount: Money| {
            if amount.is_zero() {
                String::new()
            } else {
                facts.show(amount)
            }
        };
        self.tiers = line
            .tiers
            .iter()
            .map(|tier| TierDraft {
                from: tier.from.to_string(),
                each: tier.each.show(&facts.currency),
            })
            .collect();
        self.minimum = if line.minimum > 1 {
            line.minimum.to_string()
        } else {
            String::new()
        };
        self.design = amount(line.once_per_design);
        self.set_up = amount(line.once_per_run);
        self.is_first_run = line.is_first_run;
    }

    /// Takes over the terms of the supplier's last order of the item, once, while no price is typed.
    pub fn offer_terms(&mut self, supplier: &str, order: i64, facts: &Facts) {
        let Some(item) = facts.stock.find(&self.what) else {
            return;
        };
        if !self.offered_from.is_empty() || !self.tiers.iter().all(TierDraft::is_empty) {
            return;
        }
        let last = facts.orders.last_of(supplier, &item.code, order);
        if let Some((last, line)) = last.and_then(|last| Some((last, last.offered(&item.code)?))) {
            self.offered_from.clone_from(&last.key);
            self.take_terms(&line, facts);
        }
    }

    /// Whether nothing was typed on it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.what.trim().is_empty() && self.quantity.trim().is_empty()
    }

    /// The line as typed.
    pub fn read(&self, read: &mut Reader<'_>, facts: &Facts) -> Option<OrderLine> {
        let item = facts.stock.find(&self.what);
        if item.is_none() {
            read.note(if self.what.trim().is_empty() {
                Problem::missing("item", "say what is ordered")
            } else {
                Problem::wrong("item", "no such item is kept; choose one from the list")
            });
        }
        let quantity = read.count("quantity", &self.quantity, "say how many are ordered");
        let mut tiers = Vec::new();
        for tier in self.tiers.iter().filter(|tier| !tier.is_empty()) {
            let from = match pieces(read, "tiers", &tier.from) {
                0 => 1,
                from => from,
            };
            match price(&tier.each, facts) {
                Some(each) => tiers.push(PriceTier { from, each }),
                None => read.note(Problem::wrong("tiers", "write the price of one, as 0.58")),
            }
        }
        if tiers.is_empty() {
            read.note(Problem::missing("tiers", "say what each piece costs"));
        }
        let minimum = pieces(read, "minimum", &self.minimum).max(1);
        let once_per_design = read.amount_or_none("once_per_design", &self.design);
        let once_per_run = read.amount_or_none("set_up", &self.set_up);
        let mut line = OrderLine::new(item?.code.clone(), quantity.into(), tiers);
        line.minimum = minimum;
        line.once_per_design = once_per_design;
        line.once_per_run = once_per_run;
        line.is_first_run = self.is_first_run;
        Some(line)
    }
}

/// The price of one as typed, finer than a cent where that is how it is sold.
fn price(text: &str, facts: &Facts) -> Option<UnitCost> {
    let major: Decimal = text.trim().replace(',', ".").parse().ok()?;
    UnitCost::from_major(major, &facts.currency).ok()
}

/// Draws one line; `number` is its place when there are several. Answers whether it shall be taken out.
pub fn line_ui(
    ui: &mut Ui,
    draft: &mut OrderLineDraft,
    (idx, count): (usize, usize),
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) -> bool {
    let named = |words: &str| match idx {
        0 => words.to_owned(),
        idx => format!("{words}, {}", idx + 1),
    };
    let columns = widths(ui.available_width(), &[0.0, 100.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            let label = named("What");
            let field = Field::new(&label)
                .width(width)
                .problem(problems.on("item", idx))
                .take_focus(take_focus);
            let items = facts.stock.offered(|_any| true);
            item_field(ui, field, &mut draft.what, &items, &facts.stock, true);
        } else {
            let label = named("How many");
            let mut field = Field::new(&label)
                .width(width)
                .problem(problems.on("quantity", idx));
            field.right = true;
            text_field(ui, field, &mut draft.quantity);
        }
    });
    ui.add_space(space::SMALL);
    tiers_ui(ui, draft, &named, problems.on("tiers", idx));
    let columns = widths(ui.available_width(), &[0.0, 0.0, 110.0]);
    cells(ui, &columns, &[0, 1, 2], |ui, cell, width| {
        let (words, field, hint, text) = match cell {
            0 => (
                "Once for the design",
                "once_per_design",
                "plate, die, proof",
                &mut draft.design,
            ),
            1 => ("Once for every run", "set_up", "set-up", &mut draft.set_up),
            _ => ("Smallest order", "minimum", "1", &mut draft.minimum),
        };
        let label = named(words);
        let mut field = Field::new(&label)
            .width(width)
            .hint(hint)
            .problem(problems.on(field, idx));
        if cell == 2 {
            field.right = true;
            text_field(ui, field, text);
        } else {
            money_field(ui, field, text, &facts.currency);
        }
    });
    if !draft.design.trim().is_empty() {
        let label = named("Is the design new?");
        let choices = [(true, "the first run"), (false, "made before")];
        choice_chips(ui, &label, &mut draft.is_first_run, &choices);
    }
    if !draft.offered_from.is_empty() {
        soft(
            ui,
            &format!("The terms of order {} are taken over.", draft.offered_from),
        );
    }
    let mut is_out = false;
    if count > 1 {
        ui.add_space(space::SMALL);
        is_out = quiet_button(ui, &named("Take this one out")).clicked();
    }
    is_out
}

/// Below this width one price stands in a row.
const NARROW: f32 = 470.0;

fn tiers_ui(
    ui: &mut Ui,
    draft: &mut OrderLineDraft,
    named: &impl Fn(&str) -> String,
    wrong: Option<&str>,
) {
    // Two prices beside each other where there is room, so that any number of them fits.
    let available = ui.available_width();
    let beside = if available < NARROW { 1 } else { 2 };
    let columns = widths(available, &vec![0.0; 2 * beside]);
    for (row, tiers) in draft.tiers.chunks_mut(beside).enumerate() {
        let order: Vec<usize> = (0..2 * tiers.len()).collect();
        cells(ui, &columns, &order, |ui, cell, width| {
            let which = match row * beside + cell / 2 {
                0 => String::new(),
                place => format!(", price {}", place + 1),
            };
            let Some(tier) = tiers.get_mut(cell / 2) else {
                return;
            };
            let (words, hint, text) = if cell % 2 == 0 {
                ("From pieces", "1", &mut tier.from)
            } else {
                ("Price of each", "0.58", &mut tier.each)
            };
            let label = named(&format!("{words}{which}"));
            let mut field = Field::new(&label).width(width).hint(hint);
            field.right = true;
            text_field(ui, field, text);
        });
    }
    if let Some(words) = wrong {
        problem(ui, words);
    }
    ui.add_space(space::SMALL);
    if quiet_button(ui, &named("Another price from more pieces")).clicked() {
        draft.tiers.push(TierDraft::default());
    }
}
