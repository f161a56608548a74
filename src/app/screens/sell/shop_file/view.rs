//! The page that brings a shop's file in, as it is drawn: four steps beneath one another, the next one when it can be.

use egui::Ui;

use super::Pressed;
use super::draft::FileDraft;
use crate::app::forms::parts::{select, widths};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, hand_on, page_heading, primary_button_enabled,
    problem, secondary_button, soft, suggest_field, take_up, text_field,
};
use crate::bank::DateOrder;
use crate::export::counted;
use crate::import::shops::Asked;
use crate::money::Money;
use crate::shops::{ColumnMeaning, FeeSign, FileKind, RowMeaning, Steps};

/// Shows the page.
pub(super) fn shop_file_ui(
    ui: &mut Ui,
    draft: &mut FileDraft,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    if std::mem::replace(&mut draft.is_begun, true) {
        hand_on(ui);
    } else {
        take_up(ui);
    }
    page_heading(
        ui,
        "Bring a shop's file",
        "What a sales channel lets you download: the orders, or its statement of fees and payouts.",
    );
    let mut pressed = None;
    card(ui, |ui| pressed = which_ui(ui, draft));
    if draft.table.is_none() {
        for words in &draft.problems {
            problem(ui, words);
        }
        return pressed;
    }
    ui.add_space(space::LARGE);
    card(ui, |ui| columns_ui(ui, draft));
    if !draft.asked.is_empty() || !draft.rows.is_empty() {
        ui.add_space(space::LARGE);
        card(ui, |ui| asked_ui(ui, draft));
    }
    if !draft.ties.is_empty() && !draft.products.is_empty() {
        ui.add_space(space::LARGE);
        card(ui, |ui| ties_ui(ui, draft));
    }
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        pressed = pressed.take().or(what_follows_ui(ui, draft, cx));
    });
    pressed
}

fn which_ui(ui: &mut Ui, draft: &mut FileDraft) -> Option<Pressed> {
    let mut pressed = None;
    card_heading(ui, "Which file, from which shop");
    let kinds = [
        (FileKind::Orders, "Orders: a row for each thing sold"),
        (
            FileKind::Payouts,
            "Fees and payouts: a row for each movement",
        ),
    ];
    if choice_chips(ui, "What it holds", &mut draft.kind, &kinds) {
        draft.other_kind();
    }
    ui.add_space(space::SMALL);
    let field = Field::new("Shop").width(280.0).hint("its name");
    let (response, was_taken) = suggest_field(ui, field, &mut draft.shop, &draft.shops);
    if response.changed() || was_taken {
        draft.told();
    }
    let is_named = !draft.shop.trim().is_empty();
    if is_named && draft.table.is_some() && !draft.is_open && !draft.is_stale() {
        soft(ui, "This shop is not in the book yet.");
        if secondary_button(ui, "Open it as a new shop", "").clicked() {
            pressed = Some(Pressed::OpenShop(draft.shop.trim().to_owned()));
        }
    }
    ui.add_space(space::SMALL);
    let dropped = ui.input(|input| {
        let files = input.raw.dropped_files.first();
        files.map(|file| file.path().to_path_buf())
    });
    if let Some(path) = dropped {
        draft.picker.text = path.display().to_string();
    }
    match &draft.table {
        Some(table) if !draft.is_choosing => {
            let rows = counted(table.rows.len(), "row", "rows");
            ui.horizontal_wrapped(|ui| {
                ui.label(format!("{} with {rows}.", table.file));
                if secondary_button(ui, "Another file", "").clicked() {
                    draft.is_choosing = true;
                }
            });
        }
        _ => {
            soft(ui, "Choose the file, or drop it on this window.");
            draft.picker.ui(ui, "File", None);
        }
    }
    draft.open();
    pressed
}

fn columns_ui(ui: &mut Ui, draft: &mut FileDraft) {
    card_heading(ui, "What its columns mean");
    soft(
        ui,
        "What could be guessed is chosen already; put right what is not so. It is kept, and the next file of this shop is \
         read the same way.",
    );
    ui.add_space(space::SMALL);
    let choices: Vec<(ColumnMeaning, String)> = ColumnMeaning::ALL
        .iter()
        .filter(|meaning| meaning.is_for(draft.kind))
        .map(|meaning| (*meaning, meaning.plain().to_owned()))
        .collect();
    let mut is_changed = false;
    let room = ui.available_width();
    let across = if room > 620.0 { 3 } else { 2 };
    for group in draft.columns.chunks_mut(across) {
        let each = widths(room, &vec![0.0; across]);
        crate::app::forms::parts::cells(
            ui,
            &each,
            &(0..group.len()).collect::<Vec<_>>(),
            |ui, idx, width| {
                let Some(column) = group.get_mut(idx) else {
                    return;
                };
                is_changed |= select(
                    ui,
                    &column.header,
                    width - space::SMALL,
                    &mut column.means,
                    &choices,
                    None,
                );
                ui.set_max_width(width);
                soft(
                    ui,
                    if column.sample.is_empty() {
                        "nothing in it"
                    } else {
                        &column.sample
                    },
                );
            },
        );
        ui.add_space(space::SMALL);
    }
    ui.add_space(space::SMALL);
    let field = Field::new("Keep this as")
        .width(280.0)
        .hint("the shop's name");
    is_changed |= text_field(ui, field, &mut draft.name).changed();
    if is_changed {
        draft.told();
    }
}

fn asked_ui(ui: &mut Ui, draft: &mut FileDraft) {
    card_heading(ui, "What cannot be read off the file");
    let mut is_changed = false;
    for asked in &draft.asked {
        match asked {
            Asked::Layout(error) => {
                let words = error.to_string();
                let words = words.split(": --").next().unwrap_or_default().to_owned();
                problem(ui, &words);
            }
            Asked::Rows(_) => {}
            Asked::Dates(text) => {
                let label = format!("{text} is written");
                let mut chosen = draft.dates;
                let choices = [
                    (Some(DateOrder::Dmy), "day first"),
                    (Some(DateOrder::Mdy), "month first"),
                ];
                if choice_chips(ui, &label, &mut chosen, &choices) {
                    draft.dates = chosen;
                    is_changed = true;
                }
            }
            Asked::Decimal(text) => {
                let label = format!("In {text} the decimals follow");
                let mut chosen = draft.decimal;
                let choices = [(Some('.'), "a point"), (Some(','), "a comma")];
                if choice_chips(ui, &label, &mut chosen, &choices) {
                    draft.decimal = chosen;
                    is_changed = true;
                }
            }
            Asked::Fees(what) => {
                let label = format!("Amounts above nothing of {what}");
                let mut chosen = draft.fees;
                let choices = [
                    (Some(FeeSign::Plus), "were taken from me"),
                    (Some(FeeSign::Minus), "were given to me"),
                ];
                if choice_chips(ui, &label, &mut chosen, &choices) {
                    draft.fees = chosen;
                    is_changed = true;
                }
            }
        }
    }
    if !draft.rows.is_empty() {
        soft(ui, "Rows of these kinds are");
        let choices: Vec<(RowMeaning, String)> = RowMeaning::ALL
            .iter()
            .map(|meaning| (*meaning, meaning.plain().to_owned()))
            .collect();
        for (kind, means) in &mut draft.rows {
            is_changed |= select(ui, kind, 280.0, means, &choices, None);
            ui.add_space(space::SMALL);
        }
    }
    if is_changed || draft.asked.iter().any(|one| matches!(one, Asked::Rows(_))) {
        draft.told();
    }
}

fn ties_ui(ui: &mut Ui, draft: &mut FileDraft) {
    card_heading(ui, "Which product is it?");
    soft(
        ui,
        "A thing tied to a product moves its stock with every sale. What you choose is kept for this shop.",
    );
    ui.add_space(space::SMALL);
    let mut choices = vec![(None, "not tied".to_owned())];
    choices.push((Some(String::new()), "none of my products".to_owned()));
    for (code, name) in &draft.products {
        choices.push((Some(code.clone()), name.clone()));
    }
    for (words, code) in &mut draft.ties {
        select(ui, words, 280.0, code, &choices, None);
        ui.add_space(space::SMALL);
    }
}

fn what_follows_ui(ui: &mut Ui, draft: &FileDraft, cx: &ViewContext<'_>) -> Option<Pressed> {
    card_heading(ui, "What this will write");
    for words in &draft.problems {
        problem(ui, words);
    }
    match &draft.steps {
        Some(steps) => sentences_ui(ui, steps, cx),
        None if draft.problems.is_empty() => {
            let words = if draft.shop.trim().is_empty() {
                "Say which shop the file is from."
            } else if !draft.asked.is_empty() {
                "Answer what is asked above first."
            } else {
                "Open the shop first."
            };
            soft(ui, words);
        }
        None => {
            soft(ui, "Nothing is written until the file can be read.");
        }
    }
    ui.add_space(space::MEDIUM);
    let can = draft
        .steps
        .as_ref()
        .is_some_and(|steps| !steps.steps.is_empty());
    primary_button_enabled(ui, can, "Bring it in", "")
        .clicked()
        .then_some(Pressed::Bring)
}

fn sentences_ui(ui: &mut Ui, steps: &Steps, cx: &ViewContext<'_>) {
    let counts = &steps.counts;
    let sum = |what: &str| cx.show(steps.sums.get(what).copied().unwrap_or(Money::ZERO));
    let mut say = |count: usize, one: &str, many: &str, rest: String| {
        if count > 0 {
            ui.label(format!("{} {rest}", counted(count, one, many)));
        }
    };
    say(
        counts.sales,
        "sale",
        "sales",
        format!("for which buyers paid {} to you.", sum("sales")),
    );
    say(
        counts.sales_completed,
        "sale",
        "sales",
        "of which the book learns more.".to_owned(),
    );
    let fees = format!("of the shop's fees, {} together.", sum("fees"));
    say(counts.fees, "entry", "entries", fees);
    say(
        counts.refunds,
        "refund",
        "refunds",
        format!("to customers, {} together.", sum("refunds")),
    );
    say(
        counts.payouts,
        "payout",
        "payouts",
        format!(
            "of {} together; they settle what the shop owes.",
            sum("payouts")
        ),
    );
    say(
        counts.held,
        "sum",
        "sums",
        format!("that the shop holds back, {} together.", sum("held")),
    );
    if counts.known > 0 {
        let words = counted(counts.known, "row or order is", "rows or orders are");
        soft(ui, &format!("{words} in the book already."));
    }
    if steps.steps.is_empty() && counts.known == 0 {
        soft(ui, "Nothing: the file holds nothing for the books.");
    }
    for note in &steps.notes {
        let words = note.split(" Tie each with").next().unwrap_or_default();
        soft(ui, words);
    }
}
