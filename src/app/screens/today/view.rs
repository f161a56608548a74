//! Today as it is drawn.
//! What it says is worked out in `model`.

use egui::{RichText, Ui};

use super::model::{Step, Stretch, ToDo, TodayModel};
use super::month::month_ui;
use crate::app::charts::{self, SharePart};
use crate::app::screens::explain::{ProfitFigure, Source};
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{
    FigureCard, card, card_heading, columns, count_badge, figure_card, link, primary_button,
    second_line, secondary_button, soft,
};
use crate::money::Currency;

/// Shows Today.
#[must_use]
pub fn today_ui(ui: &mut Ui, model: &TodayModel, currency: &Currency) -> Option<Step> {
    let mut asked = headline_ui(ui, model);
    if !model.first_steps.is_empty() {
        return asked.or(first_steps_ui(ui, model));
    }
    asked = asked.or(cards_ui(ui, model));
    ui.add_space(space::LARGE);
    asked = asked.or(to_do_and_months_ui(ui, model, currency));
    ui.add_space(space::LARGE);
    if let Some(month) = &model.month {
        asked = asked.or(month_ui(ui, month));
        ui.add_space(space::LARGE);
    }
    asked.or(costs_ui(ui, model, currency))
}

fn headline_ui(ui: &mut Ui, model: &TodayModel) -> Option<Step> {
    let words = RichText::new(&model.headline).font(theme::heading());
    let label = egui::Label::new(words).sense(egui::Sense::click()).wrap();
    let response = ui
        .add(label)
        .on_hover_text("Net profit: where this comes from");
    second_line(ui, &model.second_line);
    ui.add_space(space::LARGE);
    response
        .clicked()
        .then(|| Step::Explain(model.headline_source.clone()))
}

fn first_steps_ui(ui: &mut Ui, model: &TodayModel) -> Option<Step> {
    let mut asked = None;
    card(ui, |ui| {
        card_heading(ui, "Where to begin");
        soft(
            ui,
            "Today will show what you earned, what is free to spend and what wants doing. Start with any of these:",
        );
        ui.add_space(space::MEDIUM);
        for (idx, step) in model.first_steps.iter().enumerate() {
            if let Some(pressed) = to_do_row(ui, step, idx == 0) {
                asked = Some(pressed);
            }
        }
    });
    asked
}

fn cards_ui(ui: &mut Ui, model: &TodayModel) -> Option<Step> {
    let mut asked = None;
    let per_row = match ui.available_width() {
        roomy if roomy >= 840.0 => 4,
        middling if middling >= 420.0 => 2,
        _ => 1,
    };
    for (idx, row) in model.cards.chunks(per_row).enumerate() {
        if idx > 0 {
            ui.add_space(space::LARGE);
        }
        columns(ui, &vec![1.0; row.len()], |parts| {
            for (ui, shown) in parts.iter_mut().zip(row) {
                let figure = FigureCard {
                    label: &shown.label,
                    figure: &shown.figure,
                    second: &shown.note,
                };
                if figure_card(ui, figure, shown.term).clicked() {
                    asked = Some(Step::Explain(shown.source.clone()));
                }
            }
        });
    }
    asked
}

fn to_do_and_months_ui(ui: &mut Ui, model: &TodayModel, currency: &Currency) -> Option<Step> {
    let mut asked = None;
    if ui.available_width() >= 840.0 {
        columns(ui, &[1.0, 1.0], |parts| {
            if let [left, right] = parts {
                asked = to_do_ui(left, model);
                asked = asked.take().or(months_ui(right, model, currency));
            }
        });
    } else {
        asked = to_do_ui(ui, model);
        ui.add_space(space::LARGE);
        asked = asked.take().or(months_ui(ui, model, currency));
    }
    asked
}

fn to_do_ui(ui: &mut Ui, model: &TodayModel) -> Option<Step> {
    let mut asked = None;
    card(ui, |ui| {
        ui.horizontal(|ui| {
            card_heading(ui, "Wants doing");
            count_badge(ui, model.counted);
        });
        if model.counted == 0 {
            ui.label(&model.in_words);
        } else {
            soft(ui, &model.in_words);
        }
        if !model.done.is_empty() {
            soft(ui, &model.done);
        }
        for group in &model.to_do {
            ui.add_space(space::MEDIUM);
            soft(ui, group.heading);
            for row in &group.rows {
                if let Some(step) = ui.push_id(&row.what, |ui| to_do_row(ui, row, false)).inner {
                    asked = Some(step);
                }
            }
        }
    });
    asked
}

fn to_do_row(ui: &mut Ui, row: &ToDo, is_primary: bool) -> Option<Step> {
    let mut asked = None;
    ui.add_space(space::SMALL);
    egui::Sides::new().shrink_left().wrap().show(
        ui,
        |ui| {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(&row.what);
                if !row.note.is_empty() {
                    soft(ui, &row.note);
                }
            });
        },
        |ui| {
            let pressed = if is_primary {
                primary_button(ui, row.button, "")
            } else {
                secondary_button(ui, row.button, "")
            };
            name_button(&pressed, row.button, &row.what);
            if pressed.clicked() {
                asked = Some(row.step.clone());
            }
            if let Some((word, step)) = &row.other {
                let other = crate::app::widgets::quiet_button(ui, word);
                name_button(&other, word, &row.what);
                if other.clicked() {
                    asked = Some(step.clone());
                }
            }
        },
    );
    asked
}

/// A screen reader hears what a short button is about.
pub(super) fn name_button(response: &egui::Response, word: &str, what: &str) {
    let name = format!("{word}: {what}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
}

fn months_ui(ui: &mut Ui, model: &TodayModel, currency: &Currency) -> Option<Step> {
    let mut asked = None;
    card(ui, |ui| {
        card_heading(ui, "Profit by month");
        soft(ui, &model.months_sentence);
        let bars: Vec<charts::MonthBar> = model
            .months
            .iter()
            .map(|bar| charts::MonthBar {
                label: bar.month.name().chars().take(3).collect(),
                amount: bar.profit,
            })
            .collect();
        let pressed = charts::month_bars(ui, "profit by month", &bars, currency, 200.0);
        soft(
            ui,
            "Open a bar to see what is in it. A hollow bar is a loss.",
        );
        if let Some(bar) = pressed.and_then(|idx| model.months.get(idx)) {
            let source = Source::Profit(ProfitFigure::NetProfit, bar.range);
            asked = Some(Step::Explain(source));
        }
    });
    asked
}

fn costs_ui(ui: &mut Ui, model: &TodayModel, currency: &Currency) -> Option<Step> {
    let mut asked = None;
    card(ui, |ui| {
        egui::Sides::new().show(
            ui,
            |ui| card_heading(ui, "Where the money went"),
            |ui| {
                let words = format!("{} {}", currency.show(model.costs_total), model.period);
                let total = link(ui, &words).on_hover_text("All costs: where this comes from");
                if total.clicked() {
                    asked = Some(Step::Explain(model.costs_source.clone()));
                }
            },
        );
        if model.costs.is_empty() {
            let colour = palette(ui).soft_ink;
            ui.label(RichText::new("No costs were written down in this time.").color(colour));
            return;
        }
        let parts: Vec<SharePart> = model.costs.iter().map(part).collect();
        let pressed = charts::share_bar(ui, &parts, currency);
        if let Some(stretch) = pressed.and_then(|idx| model.costs.get(idx)) {
            asked = Some(Step::Explain(stretch.source.clone()));
        }
    });
    asked
}

fn part(stretch: &Stretch) -> SharePart {
    SharePart {
        label: stretch.label.clone(),
        amount: stretch.amount,
    }
}
