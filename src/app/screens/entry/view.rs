//! An entry's page as it is drawn: sentence, lines, receipts, proof, versions, and what can be done with it.
//! What it says is worked out in `model`.

use egui::{RichText, Ui};

use super::model::{EntryModel, VersionRow};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, link, primary_button_enabled, problem, quiet_button,
    secondary_button, soft, text_field,
};
use crate::dates::show_day;
use crate::happenings::{Proof, ProofState};
use crate::ledger::{Chart, EntryNumber};
use crate::money::{Currency, Money};
use crate::sorting::{BankLine, LineId};
use crate::stock::in_units;

/// What was pressed on the page's head and lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pressed {
    /// Change it.
    Change,
    /// Take it back.
    TakeBack,
    /// Open the other entry.
    Other(EntryNumber),
    /// The ledger of the account on this line.
    Line(usize),
    /// The page of the item with this code.
    Item(String),
}

/// The head and the lines.
#[must_use]
pub fn head_ui(
    ui: &mut Ui,
    model: &EntryModel,
    chart: &Chart,
    currency: &Currency,
) -> Option<Pressed> {
    let mut pressed = None;
    let header = &model.posted.entry.header;
    let title = format!("Entry {}: {}", model.posted.number, header.kind.plain());
    ui.label(RichText::new(title).font(theme::heading()));
    let layout = egui::Layout::top_down(egui::Align::Min);
    ui.with_layout(layout, |ui| ui.label(&model.sentence));
    ui.horizontal_wrapped(|ui| {
        soft(ui, &model.notes.join(". "));
        if let Some(other) = model.other
            && link(ui, &format!("Open entry {other}")).clicked()
        {
            pressed = Some(Pressed::Other(other));
        }
    });
    ui.add_space(space::MEDIUM);
    card(ui, |ui| {
        card_heading(ui, "In the books")
            .on_hover_text("The journal entry: debits at the left, credits at the right");
        if let Some(opened) = lines_ui(ui, model, chart, currency) {
            pressed = Some(opened);
        }
        ui.add_space(space::SMALL);
        if let Some(why) = &model.is_fixed_because {
            soft(ui, why);
        }
        ui.horizontal(|ui| {
            if model.is_fixed_because.is_none()
                && secondary_button(ui, "Change it\u{2026}", "").clicked()
            {
                pressed = Some(Pressed::Change);
            }
            let can_be_taken_back = model.other.is_none();
            if can_be_taken_back && quiet_button(ui, "Take it back\u{2026}").clicked() {
                pressed = Some(Pressed::TakeBack);
            }
        });
    });
    pressed
}

fn lines_ui(
    ui: &mut Ui,
    model: &EntryModel,
    chart: &Chart,
    currency: &Currency,
) -> Option<Pressed> {
    let columns = [
        Column::words("Account", 3.0),
        Column::words("What", 2.0),
        Column::figures("Debit", 96.0),
        Column::figures("Credit", 96.0),
    ];
    let side = |amount: Money| {
        if amount.is_zero() {
            Cell::default()
        } else {
            Cell::text(currency.statement(amount))
        }
    };
    let entry = &model.posted.entry;
    let mut rows: Vec<Row> = entry
        .lines()
        .iter()
        .map(|line| {
            let item = line.item.as_ref().and_then(|code| model.items.get(code));
            let mut about = line.memo.clone();
            if let Some(item) = item.filter(|item| !about.contains(&item.name)) {
                about = match about.as_str() {
                    "" => item.name.clone(),
                    about => format!("{about}: {}", item.name),
                };
            }
            if let Some(quantity) = line.quantity {
                let many = item.map_or_else(
                    || quantity.to_string(),
                    |item| in_units(quantity.value(), item),
                );
                about = match about.as_str() {
                    "" => many,
                    about => format!("{about}, {many}"),
                };
            }
            Row::line(vec![
                Cell::opens(chart.title(line.account)),
                if item.is_some() {
                    Cell::opens(about)
                } else {
                    Cell::soft(about)
                },
                side(line.debit_amount()),
                side(line.credit_amount()),
            ])
        })
        .collect();
    let total = currency.statement(entry.total());
    rows.push(Row::total(vec![
        Cell::text("Balances"),
        Cell::default(),
        Cell::text(total.clone()),
        Cell::text(total),
    ]));
    let (row, column) = paper_table(ui, "lines of the entry", &columns, &rows)?;
    let line = entry.lines().get(row)?;
    match line.item.as_ref().and_then(|code| model.items.get(code)) {
        Some(item) if column == 1 => Some(Pressed::Item(item.code.clone())),
        _ => Some(Pressed::Line(row)),
    }
}

/// The lines of statements that it belongs to. Answers the one that is to be sorted again.
#[must_use]
pub fn bank_lines_ui(
    ui: &mut Ui,
    lines: &[BankLine],
    chart: &Chart,
    currency: &Currency,
) -> Option<LineId> {
    let mut again = None;
    card_heading(ui, "On the statement").on_hover_text("The bank transaction that confirms it");
    for line in lines {
        ui.label(line.text.trim());
        soft(
            ui,
            &format!(
                "{} on {}, {}, from {} row {}",
                currency.show(line.amount),
                show_day(line.date),
                chart.title(line.account),
                line.file,
                line.row
            ),
        );
        let response = link(ui, "That is not it")
            .on_hover_text("The line goes back among those to sort; the entry stays as it is");
        let name = format!("Take {} off this entry", line.text.trim());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, &name));
        if response.clicked() {
            again = Some(line.id);
        }
        ui.add_space(space::SMALL);
    }
    again
}

/// What stands behind it: state, substitute, purpose. Answers true when it is to be kept.
#[must_use]
pub fn proof_ui(ui: &mut Ui, proof: &mut Proof, is_changed: bool, n_receipts: usize) -> bool {
    let choices = [
        (ProofState::Complete, "Complete"),
        (ProofState::Substitute, "Something stands in"),
        (ProofState::Missing, "Still to be found"),
        (ProofState::NotNeeded, "None needed"),
    ];
    choice_chips(ui, "Receipt", &mut proof.state, &choices);
    if proof.state == ProofState::Complete && n_receipts == 0 {
        problem(ui, "no receipt is kept with it yet");
    }
    if proof.state == ProofState::Substitute {
        text_field(
            ui,
            Field::new("What stands in").hint("a signed note, a photo with the serial number"),
            &mut proof.stands_in,
        );
    }
    text_field(
        ui,
        Field::new("Business purpose").hint("what it was for, while you remember"),
        &mut proof.purpose,
    );
    ui.add_space(space::SMALL);
    primary_button_enabled(ui, is_changed, "Keep this", "").clicked()
}

/// What was done to it.
pub fn versions_ui(ui: &mut Ui, versions: &[VersionRow]) {
    card_heading(ui, "History").on_hover_text("Every change is kept and chained to the one before");
    for version in versions {
        let why = if version.reason.is_empty() {
            String::new()
        } else {
            format!(" Because: {}.", version.reason.trim_end_matches('.'))
        };
        ui.label(format!("{}.{why}", version.what.trim_end_matches('.')));
        soft(ui, &version.at);
        for change in &version.changes {
            soft(ui, &format!("\u{2192} {change}"));
        }
        ui.add_space(space::SMALL);
    }
}
