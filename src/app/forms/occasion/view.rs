//! The card of an unusual happening: its questions two in a row, lists and choices across, and what it all means.
//! The questions themselves are `crate::occasions`'.

use egui::Ui;

use super::draft::{OccasionDraft, can_be_meant, is_rows};
use super::rows::{cost_names, lower, rows_ui};
use crate::app::forms::facts::Facts;
use crate::app::forms::input::Problems;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, caution, date_field, filter_list, label_above, money_field, problem, soft,
    suggest_field, text_field,
};
use crate::dates::show_day;
use crate::matters::{Matter, MatterKind};
use crate::occasions::{Accounts, Ask, AskKind};

/// Draws the card.
pub fn occasion_ui(
    ui: &mut Ui,
    draft: &mut OccasionDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let Some(occasion) = draft.occasion() else {
        problem(ui, "This form was kept by another version of the program.");
        return;
    };
    // A list is walked to with the keyboard; what is typed takes it at once.
    let first = occasion
        .asks
        .iter()
        .position(|ask| !matches!(ask.kind, AskKind::Choice(_)))
        .unwrap_or(0);
    card(ui, |ui| {
        let mut idx = 0;
        while let Some(ask) = occasion.asks.get(idx) {
            let next = occasion.asks.get(idx + 1).filter(|next| is_narrow(next));
            match next {
                Some(next) if is_narrow(ask) => {
                    let columns = widths(ui.available_width(), &[0.0, 0.0]);
                    cells(ui, &columns, &[0, 1], |ui, cell, width| {
                        let ask = if cell == 0 { ask } else { next };
                        let focus = take_focus && idx + cell == first;
                        field_ui(ui, ask, draft, facts, (problems, width, focus));
                    });
                    idx += 2;
                }
                _ => {
                    let width = if is_narrow(ask) {
                        (ui.available_width() - space::MEDIUM) / 2.0
                    } else {
                        ui.available_width()
                    };
                    let focus = take_focus && idx == first;
                    field_ui(ui, ask, draft, facts, (problems, width, focus));
                    idx += 1;
                }
            }
        }
        ui.add_space(space::SMALL);
        if let Ok(told) = draft.told(facts) {
            ui.label(&told.explains);
        }
        let fields: Vec<&str> = occasion.asks.iter().map(|ask| ask.key).collect();
        if let Some(words) = problems.elsewhere(&fields) {
            problem(ui, words);
        }
        if !occasion.caution.is_empty() {
            ui.add_space(space::SMALL);
            caution(ui, occasion.caution);
        }
    });
}

/// Whether two such questions stand side by side.
fn is_narrow(ask: &Ask) -> bool {
    !is_rows(ask.kind) && !matches!(ask.kind, AskKind::Choice(_) | AskKind::Entries)
}

fn field_ui(
    ui: &mut Ui,
    ask: &Ask,
    draft: &mut OccasionDraft,
    facts: &Facts,
    (problems, width, take_focus): (&Problems, f32, bool),
) {
    let wrong = problems.of(ask.key);
    if is_rows(ask.kind) {
        let rows = draft.rows.entry(ask.key.to_owned()).or_default();
        rows_ui(ui, ask, rows, facts, wrong, take_focus);
        return;
    }
    let text = draft.values.entry(ask.key.to_owned()).or_default();
    let hint = if ask.hint.is_empty() && !ask.is_needed {
        "may stay empty"
    } else {
        ask.hint
    };
    let field = Field::new(ask.label)
        .width(width)
        .hint(hint)
        .problem(wrong)
        .take_focus(take_focus);
    match ask.kind {
        AskKind::Day if ask.is_needed => {
            date_field(ui, field, text, facts.today);
        }
        AskKind::Amount => {
            money_field(ui, field, text, &facts.currency);
        }
        AskKind::Account(costs @ (Accounts::Costs | Accounts::Expenses)) => {
            suggest_field(ui, field, text, &cost_names(costs, facts));
        }
        AskKind::Account(accounts) => {
            let choices = account_choices(accounts, ask.is_needed, facts);
            select(ui, ask.label, width, text, &choices, wrong);
        }
        AskKind::Matter(kind) => matter_ui(ui, kind, text, facts, (field, width)),
        AskKind::Choice(words) => choice_ui(ui, ask, words, text, wrong),
        AskKind::YesNo => {
            let mut yes = text == "yes";
            ui.add_space(26.0);
            if ui.checkbox(&mut yes, ask.label).changed() {
                *text = if yes { "yes" } else { "no" }.to_owned();
            }
        }
        AskKind::Entries => entries_ui(ui, ask, text, facts, wrong),
        AskKind::Words if !offers(ask.key, facts).is_empty() => {
            suggest_field(ui, field, text, &offers(ask.key, facts));
        }
        _ => {
            text_field(ui, field, text);
        }
    }
}

/// What a question about somebody or something offers from before.
fn offers(key: &str, facts: &Facts) -> Vec<String> {
    let matters = &facts.occasions.matters;
    let keys = |kind: MatterKind| -> Vec<String> {
        matters.of_kind(kind).map(|one| one.key.clone()).collect()
    };
    match key {
        "helper" => keys(MatterKind::Helper),
        "place" => keys(MatterKind::Commission),
        "fair" => matters
            .of_kind(MatterKind::Fair)
            .filter(|fair| fair.is_open())
            .map(|fair| fair.key.clone())
            .collect(),
        "shop" => matters
            .parties(MatterKind::Invoice)
            .into_iter()
            .map(str::to_owned)
            .collect(),
        "invoice" => matters
            .of_kind(MatterKind::Invoice)
            .filter(|invoice| invoice.is_open())
            .map(|invoice| invoice.key.clone())
            .collect(),
        "supplier" | "party" => facts.suppliers.clone(),
        _ => Vec::new(),
    }
}

fn account_choices(accounts: Accounts, is_needed: bool, facts: &Facts) -> Vec<(String, String)> {
    let mut choices: Vec<(String, String)> = facts
        .chart
        .accounts()
        .into_iter()
        .filter(|account| account.is_active && accounts.fits(account))
        .map(|account| (account.number.clone(), account.name.clone()))
        .collect();
    if accounts == Accounts::Pays {
        for (word, words) in [
            ("owner", "My own pocket, put in for good"),
            ("owed-back", "My own pocket, owed back to me"),
            ("bill", "Not yet: a bill to pay later"),
        ] {
            choices.push((word.to_owned(), words.to_owned()));
        }
    }
    if !is_needed {
        choices.push((String::new(), "not asked".to_owned()));
    }
    choices
}

/// One of the matters that are open: the list shows before anything is typed, and how the chosen one stands beneath.
fn matter_ui(
    ui: &mut Ui,
    kind: MatterKind,
    text: &mut String,
    facts: &Facts,
    (field, width): (Field<'_>, f32),
) {
    let stands = |matter: &Matter| {
        let party = match matter.party() {
            party if party == matter.key => "",
            party => party,
        };
        let left = if kind.has_balance() {
            format!("{} {}", facts.show(matter.balance()), kind.left_words())
        } else {
            matter.state().to_owned()
        };
        if party.is_empty() {
            left
        } else {
            format!("{party}: {left}")
        }
    };
    let open: Vec<&Matter> = facts
        .occasions
        .matters
        .of_kind(kind)
        .filter(|matter| can_be_meant(matter))
        .collect();
    let typed = text.trim().to_lowercase();
    let chosen = open
        .iter()
        .find(|matter| matter.key.to_lowercase() == typed)
        .map(|matter| stands(matter));
    let rows: Vec<(String, String)> = open
        .iter()
        .filter(|_| chosen.is_none())
        .filter(|matter| {
            let party = matter.party().to_lowercase();
            matter.key.to_lowercase().contains(&typed) || party.contains(&typed)
        })
        .map(|matter| (matter.key.clone(), stands(matter)))
        .collect();
    let (_, taken) = filter_list(ui, field, text, &rows);
    if let Some((key, _)) = taken.and_then(|row| rows.get(row)) {
        text.clone_from(key);
    }
    let beneath = match (chosen, open.is_empty()) {
        (Some(words), _) => words,
        (None, true) => "There is none open.".to_owned(),
        (None, false) => return,
    };
    ui.scope(|ui| {
        ui.set_max_width(width);
        soft(ui, &beneath);
    });
}

fn choice_ui(
    ui: &mut Ui,
    ask: &Ask,
    words: &[(&'static str, &'static str)],
    text: &mut String,
    wrong: Option<&str>,
) {
    let mut chosen = words
        .iter()
        .position(|(word, _)| *word == text.as_str())
        .unwrap_or(0);
    let choices: Vec<(usize, &str)> = words
        .iter()
        .enumerate()
        .map(|(idx, (_, shown))| (idx, *shown))
        .collect();
    crate::app::widgets::choice_chips(ui, ask.label, &mut chosen, &choices);
    if let Some((word, _)) = words.get(chosen) {
        (*word).clone_into(text);
    }
    if let Some(words) = wrong {
        problem(ui, words);
    }
}

/// Costs of a fair that were paid before, each to be ticked.
fn entries_ui(ui: &mut Ui, ask: &Ask, text: &mut String, facts: &Facts, wrong: Option<&str>) {
    let fees = &facts.occasions.stall_fees;
    if fees.is_empty() {
        return;
    }
    let mut ticked: Vec<String> = text
        .split(';')
        .map(|part| part.trim().to_owned())
        .filter(|part| !part.is_empty())
        .collect();
    label_above(ui, ask.label, |ui, _label| {
        soft(
            ui,
            &format!("Tick what belongs to this day: {}.", lower(ask.hint)),
        );
        for fee in fees.iter().take(8) {
            let number = fee.entry.to_string();
            let mut is_ticked = ticked.contains(&number);
            let words = format!(
                "{} on {}, {}",
                facts.show(fee.amount),
                show_day(fee.date),
                fee.words
            );
            if ui.checkbox(&mut is_ticked, words).changed() {
                ticked.retain(|one| *one != number);
                if is_ticked {
                    ticked.push(number);
                }
            }
        }
        if let Some(words) = wrong {
            problem(ui, words);
        }
    });
    *text = ticked.join(";");
}
