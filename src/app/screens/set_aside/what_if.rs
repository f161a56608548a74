//! What if: another profit, other income, one big purchase. The sheet is worked anew as they are moved, what changed is
//! shown before and after, and nothing is kept.

use egui::{Response, RichText, Slider, SliderClamping, Ui, Vec2};

use super::model::{Moved, SetAsideModel, moved_lines};
use super::sheet::{NARROW, number_before_name};
use crate::app::screen::ViewContext;
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, money_beside, problem, secondary_button, soft,
};
use crate::free_to_spend::{Buying, Wanted, cost_within};
use crate::money::{Currency, Money};
use crate::reports::Trial;
use crate::set_aside::{Answers, Figure};

/// The answer that the second slider moves.
const OTHER_INCOME: &str = "other_income";

/// What is tried out.
#[derive(Debug, Default)]
pub(super) struct WhatIf {
    profit: Tried,
    other: Tried,
    purchase: Tried,
    is_equipment: bool,
    years: Years,
}

/// One amount that is tried out, as it is typed.
#[derive(Debug, Default)]
struct Tried {
    text: String,
    amount: Option<Money>,
}

/// How long equipment lasts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Years {
    Three,
    #[default]
    Five,
    Ten,
}

impl Years {
    const fn months(self) -> u32 {
        match self {
            Self::Three => 36,
            Self::Five => 60,
            Self::Ten => 120,
        }
    }
}

impl WhatIf {
    /// What is tried, if anything is.
    pub fn trial(&self, model: &SetAsideModel) -> Option<Trial> {
        let price = self.purchase.amount.unwrap_or(Money::ZERO);
        let has_profit = self.profit.amount.is_some() || !price.is_zero();
        if !has_profit && self.other.amount.is_none() {
            return None;
        }
        let profit = self.profit.amount.unwrap_or(model.facts.estimate.profit);
        let mut answers = Answers::new();
        if let Some(other) = self.other.amount {
            let text = model.facts.currency.plain(other);
            answers.insert(OTHER_INCOME.to_owned(), text);
        }
        Some(Trial {
            profit: has_profit.then(|| profit - self.cost_of(price, model)),
            answers,
            ..Trial::default()
        })
    }

    /// How much of the price is a cost of this year.
    fn cost_of(&self, price: Money, model: &SetAsideModel) -> Money {
        let wanted = if self.is_equipment {
            Wanted::Equipment {
                months: self.years.months(),
            }
        } else {
            Wanted::Cost
        };
        let buying = Buying {
            price,
            on: model.as_of(),
            wanted,
        };
        cost_within(&buying, model.facts.year.to)
    }

    fn is_untouched(&self) -> bool {
        self.profit.amount.is_none()
            && self.other.amount.is_none()
            && self.purchase.amount.is_none()
    }
}

/// Shows the part; answers whether something moved.
pub(super) fn what_if_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    what_if: &mut WhatIf,
    cx: &ViewContext<'_>,
) -> bool {
    let mut is_moved = false;
    card(ui, |ui| {
        card_heading(ui, "What if\u{2026}");
        soft(
            ui,
            "Move a slider or type an amount: the sheet is worked anew beneath. Nothing of it is kept.",
        );
        is_moved |= inputs_ui(ui, model, what_if, cx);
        ui.add_space(space::SMALL);
        let is_untouched = what_if.is_untouched();
        ui.add_enabled_ui(!is_untouched, |ui| {
            if secondary_button(ui, "Put everything back", "").clicked() {
                *what_if = WhatIf::default();
                is_moved = true;
            }
        });
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| outcome_ui(ui, model, cx));
    is_moved
}

fn inputs_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    what_if: &mut WhatIf,
    cx: &ViewContext<'_>,
) -> bool {
    let profit = model.facts.estimate.profit;
    let other = model
        .kept
        .get("set_aside.other_income")
        .and_then(|text| cx.currency.parse_plain(text).ok())
        .unwrap_or(Money::ZERO);
    let mut is_moved = slider_row(
        ui,
        "Profit of the whole year",
        &mut what_if.profit,
        profit,
        at_least(profit, 40_000, cx.currency),
        cx.currency,
    );
    if model
        .asked()
        .iter()
        .any(|answer| answer.key == OTHER_INCOME)
    {
        is_moved |= slider_row(
            ui,
            "Other income of the year",
            &mut what_if.other,
            other,
            at_least(other, 60_000, cx.currency),
            cx.currency,
        );
    }
    is_moved |= slider_row(
        ui,
        "One big purchase",
        &mut what_if.purchase,
        Money::ZERO,
        at_least(Money::ZERO, 10_000, cx.currency),
        cx.currency,
    );
    if what_if
        .purchase
        .amount
        .is_some_and(|price| !price.is_zero())
    {
        is_moved |= choice_chips(
            ui,
            "The purchase is",
            &mut what_if.is_equipment,
            &[
                (false, "a cost at once"),
                (true, "equipment, spread over its life"),
            ],
        );
        if what_if.is_equipment {
            is_moved |= choice_chips(
                ui,
                "It lasts",
                &mut what_if.years,
                &[
                    (Years::Three, "3 years"),
                    (Years::Five, "5 years"),
                    (Years::Ten, "10 years"),
                ],
            );
        }
        let price = what_if.purchase.amount.unwrap_or(Money::ZERO);
        let words = format!(
            "{} of it is a cost of this year here. What counts for tax, and when, is your accountant's to say.",
            cx.show(what_if.cost_of(price, model))
        );
        soft(ui, &words);
    }
    is_moved
}

/// The top of a slider in whole units: this, or three times what is there.
fn at_least(amount: Money, units: i64, currency: &Currency) -> i64 {
    let there = amount.minor().saturating_abs() / scale(currency);
    units.max(there.saturating_mul(3))
}

fn scale(currency: &Currency) -> i64 {
    10_i64.pow(currency.decimals())
}

/// A label, a slider and the amount as a field; answers whether the amount changed.
fn slider_row(
    ui: &mut Ui,
    label: &str,
    tried: &mut Tried,
    usual: Money,
    most: i64,
    currency: &Currency,
) -> bool {
    let is_narrow = ui.available_width() < 520.0;
    if is_narrow {
        let name = ui.label(label);
        return ui
            .horizontal_top(|ui| slide_and_type(ui, &name, label, tried, (usual, most), currency))
            .inner;
    }
    ui.horizontal_top(|ui| {
        let size = Vec2::new(LABEL, space::FIELD);
        let layout = egui::Layout::left_to_right(egui::Align::Center);
        let name = ui.allocate_ui_with_layout(size, layout, |ui| {
            ui.set_min_size(size);
            ui.label(label)
        });
        slide_and_type(ui, &name.inner, label, tried, (usual, most), currency)
    })
    .inner
}

/// The width of a label beside its slider, and of the field after it.
const LABEL: f32 = 190.0;
const TYPED: f32 = 116.0;

fn slide_and_type(
    ui: &mut Ui,
    name: &Response,
    label: &str,
    tried: &mut Tried,
    (usual, most): (Money, i64),
    currency: &Currency,
) -> bool {
    let mut is_moved = false;
    let width = (ui.available_width() - TYPED - 40.0).max(60.0);
    let units = scale(currency);
    let before = tried.amount.unwrap_or(usual).minor() / units;
    let mut whole = before;
    ui.spacing_mut().slider_width = width;
    let slider = Slider::new(&mut whole, 0..=most)
        .show_value(false)
        .clamping(SliderClamping::Never)
        .step_by(50.0)
        .trailing_fill(true);
    let response = ui
        .add_sized(Vec2::new(width, space::FIELD), slider)
        .labelled_by(name.id);
    if response.changed() && whole != before {
        let amount = Money::from_minor(whole.saturating_mul(units));
        tried.text = currency.show(amount);
        tried.amount = Some(amount);
        is_moved = true;
    }
    let hint = currency.show(usual);
    let field = Field::new(label).width(TYPED).hint(&hint);
    let (response, amount) = money_beside(ui, field, name, &mut tried.text, currency);
    if response.changed() {
        tried.amount = amount;
        is_moved = true;
    }
    is_moved
}

fn outcome_ui(ui: &mut Ui, model: &SetAsideModel, cx: &ViewContext<'_>) {
    let before = &model.facts.estimate;
    let after = match &model.tried {
        None => {
            card_heading(ui, "What changes");
            soft(
                ui,
                &format!(
                    "As the books stand, {} is to be kept back for the year.",
                    cx.show(before.year_total)
                ),
            );
            return;
        }
        Some(Err(words)) => {
            card_heading(ui, "What changes");
            problem(ui, words);
            return;
        }
        Some(Ok(after)) => after,
    };
    let words = format!(
        "To keep back for the year: {} \u{2192} {}",
        cx.show(before.year_total),
        cx.show(after.year_total)
    );
    ui.label(RichText::new(words).font(theme::card_heading()));
    let change = after.year_total - before.year_total;
    soft(
        ui,
        &if change.is_zero() {
            "It stays the same.".to_owned()
        } else if change.is_positive() {
            format!("{} more.", cx.show(change))
        } else {
            format!("{} less.", cx.show(-change))
        },
    );
    ui.add_space(space::SMALL);
    caution(ui, after.caution);
    for warning in &after.warnings {
        ui.add_space(space::SMALL);
        caution(ui, &format!("Take care. {warning}"));
    }
    ui.add_space(space::SMALL);
    let moved = moved_lines(before, after);
    if moved.is_empty() {
        soft(ui, "No line of the sheet moved.");
        return;
    }
    let is_narrow = ui.available_width() < NARROW;
    let mut columns = vec![
        Column::narrow("No.", 26.0),
        Column::words("Line that moved", 2.6),
        Column::words("How it comes about now", 3.4),
        Column::figures("Before", 92.0),
        Column::figures("After", 92.0),
    ];
    if is_narrow {
        // There is no room for the working beside two amounts.
        columns.remove(2);
        columns.remove(0);
    }
    let rows: Vec<Row> = moved
        .iter()
        .map(|line| {
            let mut row = moved_row(line, cx);
            if is_narrow {
                row.cells.remove(2);
                number_before_name(&mut row);
            }
            row
        })
        .collect();
    let _nothing_opens = paper_table(ui, "moved", &columns, &rows);
}

fn moved_row(line: &Moved, cx: &ViewContext<'_>) -> Row {
    let show = |figure: Option<Figure>| {
        figure.map_or_else(|| "\u{2014}".to_owned(), |figure| figure.show(cx.currency))
    };
    let no = line.no.map_or_else(String::new, |no| no.to_string());
    Row::line(vec![
        Cell::text(no),
        Cell::text(&line.label).explained(&line.explanation),
        Cell::soft(&line.formula),
        Cell::text(show(line.before)),
        Cell::text(show(line.after)),
    ])
}
