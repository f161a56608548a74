//! The list of rules, each in a sentence, and what was learned by payee.
//! What a rule says is `sorting`'s.

use egui::{RichText, Ui};

use crate::app::screen::ViewContext;
use crate::app::sentence;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{Field, card, card_heading, link, matching, soft, text_field};
use crate::dates::show_day;
use crate::sorting::{Choice, Rule};

/// So many payees are shown; typing finds others.
const SHOWN: usize = 30;

/// What was pressed in the lists, by the place of its row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pressed {
    Change(usize),
    Switch(usize),
    /// Asked one earlier, or one later.
    Move(usize, bool),
    TakeOut(usize),
    Forget(usize),
}

/// How many of the lines to sort a rule fits.
pub(super) fn fits(count: usize, n_lines: usize) -> String {
    match (count, n_lines) {
        (_, 0) => "No line waits to be sorted.".to_owned(),
        (0, _) => "Fits none of the lines to sort.".to_owned(),
        (count, all) => format!("Fits {count} of the {all} lines to sort."),
    }
}

/// The rules in their order.
pub(super) fn rules_ui(
    ui: &mut Ui,
    rules: &[Rule],
    fitting: &[usize],
    n_lines: usize,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Your rules");
        if rules.is_empty() {
            soft(
                ui,
                "None yet. Sorting a line, tick \u{201C}Always so\u{201D}; or write one here for the rent, the fees, the fuel.",
            );
        }
        for (idx, rule) in rules.iter().enumerate() {
            if idx > 0 {
                crate::app::forms::parts::rule(ui);
            }
            let count = fitting.get(idx).copied().unwrap_or_default();
            pressed = pressed.or(rule_ui(
                ui,
                idx,
                rules.len(),
                rule,
                &fits(count, n_lines),
                cx,
            ));
        }
    });
    pressed
}

fn rule_ui(
    ui: &mut Ui,
    idx: usize,
    n_rules: usize,
    rule: &Rule,
    fits: &str,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let colours = palette(ui);
    let becomes = rule.treatment.sentence(cx.chart);
    let of = rule.account.map_or_else(String::new, |account| {
        format!(", on the statements of {}", cx.chart.title(account))
    });
    let colour = if rule.is_active {
        colours.ink
    } else {
        colours.soft_ink
    };
    let sentence = format!("{}. {}{of}", idx + 1, sentence(&rule.sentence(cx.currency)));
    ui.label(RichText::new(sentence).color(colour));
    ui.label(
        RichText::new(format!("\u{2192} {becomes}"))
            .font(theme::bold())
            .color(colour),
    );
    soft(
        ui,
        if rule.is_active {
            fits
        } else {
            "Switched off: it is not asked."
        },
    );
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        let switch = if rule.is_active {
            "Switch off"
        } else {
            "Switch on"
        };
        let deeds = [
            ("Change", Some(Pressed::Change(idx))),
            (switch, Some(Pressed::Switch(idx))),
            ("Ask earlier", (idx > 0).then_some(Pressed::Move(idx, true))),
            (
                "Ask later",
                (idx + 1 < n_rules).then_some(Pressed::Move(idx, false)),
            ),
            ("Take out", Some(Pressed::TakeOut(idx))),
        ];
        for (words, deed) in deeds {
            let Some(deed) = deed else {
                continue;
            };
            let response = link(ui, words);
            let name = format!("{words}: {}", rule.words);
            response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, &name));
            if response.clicked() {
                pressed = Some(deed);
            }
            ui.add_space(space::MEDIUM);
        }
    });
    pressed
}

/// What was chosen before, payee by payee.
pub(super) fn learned_ui(
    ui: &mut Ui,
    choices: &[Choice],
    search: &mut String,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "What Deckle has learned");
        if choices.is_empty() {
            soft(
                ui,
                "Nothing yet. How you sort a payee's lines is remembered and proposed the next time.",
            );
            return;
        }
        soft(
            ui,
            "How you sorted each payee's lines. It is counted, never guessed: the most frequent is proposed. Forget what \
             was a mistake.",
        );
        if choices.len() > SHOWN {
            text_field(ui, Field::new("Find a payee"), search);
        }
        let names: Vec<String> = choices.iter().map(|choice| choice.payee.name()).collect();
        let found = if search.trim().is_empty() {
            (0..choices.len()).collect()
        } else {
            matching(names.iter().map(String::as_str), search)
        };
        for idx in found.iter().copied().take(SHOWN) {
            let (Some(choice), Some(name)) = (choices.get(idx), names.get(idx)) else {
                continue;
            };
            let times = match choice.times {
                1 => "once".to_owned(),
                2 => "twice".to_owned(),
                count => format!("{count} times"),
            };
            ui.horizontal_wrapped(|ui| {
                ui.label(format!(
                    "{name}, {}: {}",
                    choice.direction.plain(),
                    choice.treatment.sentence(cx.chart)
                ));
                soft(
                    ui,
                    &format!("{times}, last on {}", show_day(choice.last_day)),
                );
                let forget = link(ui, "Forget");
                let label = format!("Forget {name}, {}", choice.treatment.sentence(cx.chart));
                forget.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, &label));
                if forget.clicked() {
                    pressed = Some(Pressed::Forget(idx));
                }
            });
        }
        if found.len() > SHOWN {
            soft(
                ui,
                &format!("{} more; type to find one", found.len() - SHOWN),
            );
        }
    });
    pressed
}
