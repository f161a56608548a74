//! What it cost to start, as it is drawn: who put in what, the groups with their accounts, where an account counts, and
//! the estimate of the first year with its caution.

use egui::Ui;

use super::Pressed;
use super::model::PlanModel;
use crate::app::screen::ViewContext;
use crate::app::screens::explain::Source;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{card, card_heading, caution, choice_chips, soft};
use crate::ledger::AccountId;
use crate::plan::FIRST_YEAR_CAUTION;
use crate::statements::StartUpGroup;

/// Shows the card.
#[must_use]
pub(super) fn start_ui(
    ui: &mut Ui,
    model: &PlanModel,
    asked: Option<AccountId>,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "What has it cost to start?")
            .on_hover_text("Outlays up to opening; sorting them for tax is another matter");
        soft(ui, &model.through);
        let capital = model.cost.capital;
        ui.label(format!(
            "You put in {}: {} in money, {} from your own pocket, {} brought in.",
            cx.show(capital.total()),
            cx.show(capital.money),
            cx.show(capital.own_pocket),
            cx.show(capital.brought_in)
        ));
        ui.add_space(space::SMALL);
        if model.marks.is_empty() {
            soft(ui, "Nothing has been bought or brought in so far.");
        } else {
            pressed = groups_ui(ui, model, cx);
            pressed = pressed.take().or(mark_ui(ui, model, asked));
        }
        if !model.marks.is_empty() {
            ui.add_space(space::MEDIUM);
            for (idx, words) in model.first_year.iter().enumerate() {
                if idx == 0 {
                    ui.label(words);
                } else {
                    soft(ui, words);
                }
            }
        }
        ui.add_space(space::SMALL);
        caution(ui, FIRST_YEAR_CAUTION);
    });
    pressed
}

enum Target {
    None,
    Account(AccountId),
    Total,
}

fn groups_ui(ui: &mut Ui, model: &PlanModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let columns = [
        Column::words("Account", 3.0),
        Column::words("Counts as", 1.8),
        Column::figures("Paid out", 90.0),
        Column::figures("Brought in", 90.0),
    ];
    let mut rows = Vec::new();
    let mut targets = Vec::new();
    for group in StartUpGroup::ALL {
        let (paid, brought) = model.cost.group(group);
        let mut lines = model
            .marks
            .iter()
            .filter(|line| line.group == group)
            .peekable();
        if lines.peek().is_none() {
            continue;
        }
        rows.push(Row::heading(group.heading()));
        targets.push(Target::None);
        for line in lines {
            rows.push(Row::line(vec![
                Cell::opens(&line.title),
                Cell {
                    text: if line.is_marked {
                        "as you said".to_owned()
                    } else {
                        "its own group".to_owned()
                    },
                    is_soft: true,
                    ..Cell::opens("")
                },
                Cell::text(cx.show(line.paid_out)),
                Cell::text(cx.show(line.brought_in)),
            ]));
            targets.push(Target::Account(line.account));
        }
        rows.push(Row::total(vec![
            Cell::text(group.heading()),
            Cell::default(),
            Cell::text(cx.show(paid)),
            Cell::text(cx.show(brought)),
        ]));
        targets.push(Target::None);
    }
    rows.push(Row::last(vec![
        Cell::opens("It cost to start"),
        Cell::text(cx.show(model.cost.total())),
        Cell::text(cx.show(model.cost.paid_out)),
        Cell::text(cx.show(model.cost.brought_in)),
    ]));
    targets.push(Target::Total);
    let (row, column) = paper_table(ui, "cost to start", &columns, &rows)?;
    match (targets.get(row)?, column) {
        (Target::Account(account), 0) => Some(Pressed::Explain(Source::Movement(
            *account,
            model.cost_range,
        ))),
        (Target::Account(account), _) => Some(Pressed::AskMark(*account)),
        (Target::Total, _) => Some(Pressed::Explain(Source::CostToStart)),
        (Target::None, _) => None,
    }
}

/// Where the account that was asked about counts.
fn mark_ui(ui: &mut Ui, model: &PlanModel, asked: Option<AccountId>) -> Option<Pressed> {
    let line = model
        .marks
        .iter()
        .find(|line| Some(line.account) == asked)?;
    ui.add_space(space::SMALL);
    let mut chosen = line.is_marked.then_some(line.group);
    let mut choices = vec![(None, "in its own group")];
    choices.extend(StartUpGroup::ALL.map(|group| (Some(group), group.heading())));
    let label = format!("{} counts", line.title);
    choice_chips(ui, &label, &mut chosen, &choices).then_some(Pressed::Mark(line.account, chosen))
}
