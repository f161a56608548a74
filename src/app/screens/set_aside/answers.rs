//! The answers a method asks for: which method, its questions with their explanations, and what they come to as they are
//! typed. They are kept as settings in one step that can be undone.

use egui::{RichText, Ui};

use super::model::SetAsideModel;
use super::{Pressed, Texts};
use crate::app::screen::ViewContext;
use crate::app::screens::settings::plain;
use crate::app::theme::{palette, space};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, columns, money_field, primary_button_enabled,
    problem, quiet_button, second_line, soft, text_field,
};
use crate::money::{Currency, Percent};
use crate::reports::Trial;
use crate::set_aside::{Answer, AnswerKind, CAUTION, Offer, ProfitBasis, SetAsideError};

const BASIS: &str = "set_aside.profit_basis";
const FORECAST: &str = "set_aside.forecast_profit";
const SHARE: &str = "set_aside.percent";
const METHOD: &str = "set_aside.method";

/// What is being answered.
#[derive(Debug, Default)]
pub(super) struct AnswersDraft {
    method: String,
    /// By setting, as they are typed.
    texts: Texts,
    read_method: String,
    read: Texts,
    shows_years: bool,
}

impl AnswersDraft {
    /// Takes what the book holds, unless something was typed since.
    pub fn read(&mut self, model: &SetAsideModel) {
        let read: Texts = model
            .kept
            .iter()
            .map(|(key, text)| (key.clone(), shown(key, text, model)))
            .filter(|(_key, text)| !text.is_empty())
            .collect();
        let is_untouched = self.method == self.read_method && self.texts == self.read;
        if is_untouched {
            self.method.clone_from(&model.method);
            self.texts.clone_from(&read);
        }
        self.read_method.clone_from(&model.method);
        self.read = read;
    }

    /// What was typed is kept now.
    pub fn kept(&mut self) {
        self.read_method.clone_from(&self.method);
        self.read.clone_from(&self.texts);
    }

    /// What it would come to; nothing while nothing changed.
    pub fn trial(&self, model: &SetAsideModel) -> Option<Trial> {
        let changes = self.changes(model).ok()?;
        if changes.is_empty() || self.method == "percent" {
            return None;
        }
        let answers = model
            .library
            .answers_of(&self.method)
            .iter()
            .filter_map(|answer| {
                let text = checked(answer, self.text(&answer.setting()), &model.facts.currency);
                Some((answer.key.clone(), text.ok()?))
            })
            .collect();
        let basis = match self.text(BASIS) {
            "forecast" => {
                let amount = model.facts.currency.parse_typed(self.text(FORECAST));
                ProfitBasis::Forecast(amount.ok())
            }
            _ => ProfitBasis::ToDate,
        };
        Some(Trial {
            method: Some(self.method.clone()),
            answers,
            basis: Some(basis),
            ..Trial::default()
        })
    }

    fn text(&self, setting: &str) -> &str {
        self.texts.get(setting).map_or("", String::as_str)
    }

    /// What differs from the book, as settings; none when something typed cannot be.
    fn changes(&self, model: &SetAsideModel) -> Result<Vec<(String, String)>, String> {
        let currency = &model.facts.currency;
        let mut changes = Vec::new();
        if self.method != self.read_method {
            changes.push((METHOD.to_owned(), self.method.clone()));
        }
        let differs =
            |key: &str| self.text(key).trim() != self.read.get(key).map_or("", |text| text.trim());
        for answer in model.library.answers_of(&self.method) {
            let key = answer.setting();
            if differs(&key) {
                changes.push((key.clone(), checked(answer, self.text(&key), currency)?));
            }
        }
        if self.method == "percent" && differs(SHARE) {
            let share = match self.text(SHARE).trim() {
                "" => String::new(),
                text => text
                    .parse::<Percent>()
                    .map_err(|error| error.to_string())?
                    .to_string(),
            };
            changes.push((SHARE.to_owned(), share));
        }
        if self.method != "percent" {
            if differs(BASIS) {
                changes.push((BASIS.to_owned(), self.text(BASIS).to_owned()));
            }
            if differs(FORECAST) {
                changes.push((FORECAST.to_owned(), plain(self.text(FORECAST), currency)?));
            }
        }
        Ok(changes)
    }
}

/// A kept text as it is shown in its field.
fn shown(setting: &str, text: &str, model: &SetAsideModel) -> String {
    let key = setting.trim_start_matches("set_aside.");
    let is_amount = setting == FORECAST
        || model
            .library
            .answers(key)
            .any(|answer| answer.kind == AnswerKind::Amount);
    let currency = &model.facts.currency;
    match currency.parse_plain(text) {
        Ok(amount) if is_amount => currency.show(amount),
        _ => text.to_owned(),
    }
}

/// A typed answer as it is kept; empty when nothing is typed.
fn checked(answer: &Answer, text: &str, currency: &Currency) -> Result<String, String> {
    if text.trim().is_empty() {
        return Ok(String::new());
    }
    let text = match answer.kind {
        AnswerKind::Amount => plain(text, currency)?,
        _ => text.trim().to_owned(),
    };
    answer.checked(&text, currency)
}

/// Shows the part; answers whether something was typed, and what is to be kept.
pub(super) fn answers_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    draft: &mut AnswersDraft,
    cx: &ViewContext<'_>,
) -> (bool, Option<Pressed>) {
    let mut is_typed = false;
    card(ui, |ui| is_typed |= method_ui(ui, model, draft));
    ui.add_space(space::LARGE);
    card(ui, |ui| is_typed |= questions_ui(ui, model, draft, cx));
    ui.add_space(space::LARGE);
    let kept = card(ui, |ui| outcome_ui(ui, model, draft, cx, &mut is_typed));
    (is_typed, kept)
}

fn method_ui(ui: &mut Ui, model: &SetAsideModel, draft: &mut AnswersDraft) -> bool {
    card_heading(ui, "How it is worked out").on_hover_text("The method");
    second_line(
        ui,
        "A plain share works anywhere. Where the published rates of your country are here, its sheet follows them line by line.",
    );
    let is_offered = |offer: &&Offer| {
        offer.follows_years || offer.is_own || draft.shows_years || offer.name == draft.method
    };
    let offers: Vec<&Offer> = model.offers.iter().filter(is_offered).collect();
    let has_more = offers.len() < model.offers.len();
    let mut chosen = offers.iter().position(|offer| offer.name == draft.method);
    let titles: Vec<String> = offers
        .iter()
        .map(|offer| {
            if offer.is_own {
                format!("{} (your own file)", offer.title)
            } else {
                offer.title.clone()
            }
        })
        .collect();
    let choices: Vec<(Option<usize>, &str)> = titles
        .iter()
        .enumerate()
        .map(|(idx, title)| (Some(idx), title.as_str()))
        .collect();
    let is_changed = choice_chips(ui, "Way of working it out", &mut chosen, &choices);
    if is_changed && let Some(offer) = chosen.and_then(|idx| offers.get(idx)) {
        draft.method.clone_from(&offer.name);
    }
    if has_more && quiet_button(ui, "The rates of one year for every year\u{2026}").clicked() {
        draft.shows_years = true;
    }
    for fault in model.library.faults() {
        problem(ui, &format!("{fault}; this file of yours is not used."));
    }
    is_changed
}

fn questions_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    draft: &mut AnswersDraft,
    cx: &ViewContext<'_>,
) -> bool {
    card_heading(ui, "What it asks");
    if draft.method == "percent" {
        return share_ui(ui, draft);
    }
    let asked = model.library.answers_of(&draft.method);
    let mut is_typed = false;
    let (needed, others): (Vec<&Answer>, Vec<&Answer>) =
        asked.iter().partition(|answer| answer.is_required);
    for answer in needed {
        is_typed |= question_ui(ui, answer, draft, cx);
    }
    second_line(
        ui,
        "Everything else may stay as it is; what you know makes it nearer.",
    );
    is_typed |= basis_ui(ui, draft, cx);
    let (business, household): (Vec<&Answer>, Vec<&Answer>) =
        others.into_iter().partition(|answer| answer.is_business);
    for (title, group) in [
        ("You and your household", household),
        ("The business", business),
    ] {
        if group.is_empty() {
            continue;
        }
        ui.add_space(space::MEDIUM);
        card_heading(ui, title);
        is_typed |= two_columns(ui, &group, draft, cx);
    }
    is_typed
}

/// Questions side by side where there is room; read down the left column first.
fn two_columns(
    ui: &mut Ui,
    group: &[&Answer],
    draft: &mut AnswersDraft,
    cx: &ViewContext<'_>,
) -> bool {
    let mut is_typed = false;
    if ui.available_width() < 560.0 {
        for answer in group {
            is_typed |= question_ui(ui, answer, draft, cx);
        }
        return is_typed;
    }
    let (left, right) = group.split_at(group.len().div_ceil(2));
    columns(ui, &[1.0, 1.0], |parts| {
        for (part, answers) in parts.iter_mut().zip([left, right]) {
            for answer in answers {
                is_typed |= question_ui(part, answer, draft, cx);
            }
        }
    });
    is_typed
}

fn share_ui(ui: &mut Ui, draft: &mut AnswersDraft) -> bool {
    let text = draft.texts.entry(SHARE.to_owned()).or_default();
    let wrong = match text.trim() {
        "" => None,
        share => share
            .parse::<Percent>()
            .err()
            .map(|error| error.to_string()),
    };
    let field = Field::new("Share of profit in %")
        .width(180.0)
        .problem(wrong.as_deref());
    let response = text_field(ui, field, text);
    soft(
        ui,
        "A share of the year's profit, before your own pay. A habit often named is 25 to 30 % of profit.",
    );
    response.changed()
}

fn basis_ui(ui: &mut Ui, draft: &mut AnswersDraft, cx: &ViewContext<'_>) -> bool {
    let mut is_forecast = draft.text(BASIS) == "forecast";
    let mut is_typed = choice_chips(
        ui,
        "Which profit it is worked on",
        &mut is_forecast,
        &[
            (false, "the profit so far"),
            (true, "a forecast of the whole year"),
        ],
    );
    if is_typed {
        let word = if is_forecast { "forecast" } else { "to-date" };
        draft.texts.insert(BASIS.to_owned(), word.to_owned());
    }
    if is_forecast {
        let text = draft.texts.entry(FORECAST.to_owned()).or_default();
        let field = Field::new("Profit you foresee for the year")
            .width(240.0)
            .hint("empty: stretched by days");
        let (response, _amount) = money_field(ui, field, text, cx.currency);
        is_typed |= response.changed();
    }
    is_typed
}

fn question_ui(
    ui: &mut Ui,
    answer: &Answer,
    draft: &mut AnswersDraft,
    cx: &ViewContext<'_>,
) -> bool {
    let text = draft.texts.entry(answer.setting()).or_default();
    let words: Vec<(&str, &str)> = match &answer.kind {
        AnswerKind::Choice(choices) => choices
            .iter()
            .map(|choice| (choice.key.as_str(), choice.label.as_str()))
            .collect(),
        AnswerKind::YesNo => vec![("yes", "yes"), ("no", "no")],
        _ => Vec::new(),
    };
    if !words.is_empty() {
        let given = if text.is_empty() {
            answer.default.clone().unwrap_or_default()
        } else {
            text.clone()
        };
        let mut chosen = words.iter().position(|(key, _label)| *key == given);
        let choices: Vec<(Option<usize>, &str)> = words
            .iter()
            .enumerate()
            .map(|(idx, (_key, label))| (Some(idx), *label))
            .collect();
        let label = if answer.is_required && chosen.is_none() {
            format!("{} (needed)", answer.label)
        } else {
            answer.label.clone()
        };
        let is_changed = choice_chips(ui, &label, &mut chosen, &choices);
        if is_changed && let Some((key, _label)) = chosen.and_then(|idx| words.get(idx)) {
            (*key).clone_into(text);
        }
        soft(ui, &answer.explain);
        return is_changed;
    }
    let wrong = checked(answer, text, cx.currency).err();
    let hint = hint_of(answer, cx.currency);
    let width = ui.available_width().min(300.0);
    let field = Field::new(&answer.label)
        .width(width - 22.0)
        .hint(&hint)
        .problem(wrong.as_deref());
    let response = match answer.kind {
        AnswerKind::Amount => money_field(ui, field, text, cx.currency).0,
        _ => text_field(ui, field, text),
    };
    if wrong.is_none() {
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_description(answer.explain.as_str());
        });
    }
    if response.has_focus() {
        soft(ui, &answer.explain);
    }
    let is_changed = response.changed();
    response.on_hover_text(&answer.explain);
    is_changed
}

fn hint_of(answer: &Answer, currency: &Currency) -> String {
    match (&answer.default, &answer.kind) {
        (Some(default), AnswerKind::Amount) => currency
            .parse_plain(default)
            .map_or_else(|_not| default.clone(), |amount| currency.show(amount)),
        (Some(default), AnswerKind::Percent) => format!("{default} %"),
        (Some(default), _) => default.clone(),
        (None, _) if answer.is_required => "needed".to_owned(),
        (None, _) => "may stay empty".to_owned(),
    }
}

fn outcome_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    draft: &mut AnswersDraft,
    cx: &ViewContext<'_>,
    is_typed: &mut bool,
) -> Option<Pressed> {
    let changes = draft.changes(model);
    match (&changes, &model.previewed) {
        (Err(why), _) => {
            problem(ui, why);
        }
        (Ok(_), Some(Ok(estimate))) => {
            let words = format!(
                "With these answers: {} to keep back for the year, {} so far.",
                cx.show(estimate.year_total),
                cx.show(estimate.total)
            );
            ui.label(RichText::new(words).font(crate::app::theme::card_heading()));
        }
        (Ok(_), Some(Err(SetAsideError::Missing { label, .. }))) => {
            let words = format!("Answer \u{201c}{label}\u{201d} and the figure stands here.");
            ui.label(RichText::new(words).color(palette(ui).soft_ink));
        }
        (Ok(_), Some(Err(why))) => {
            problem(ui, &why.to_string());
        }
        (Ok(changes), None) if changes.is_empty() => {
            soft(ui, "These are the answers in the book.");
        }
        (Ok(_), None) => {}
    }
    ui.add_space(space::SMALL);
    caution(ui, CAUTION);
    ui.add_space(space::SMALL);
    let is_ready = changes.as_ref().is_ok_and(|changes| !changes.is_empty());
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        let keep = primary_button_enabled(ui, is_ready, "Keep these answers", "");
        if let (true, Ok(changes)) = (keep.clicked(), changes) {
            pressed = Some(Pressed::Keep(changes));
        }
        if quiet_button(ui, "As they were").clicked() {
            draft.method.clone_from(&draft.read_method);
            draft.texts.clone_from(&draft.read);
            *is_typed = true;
        }
    });
    pressed
}
