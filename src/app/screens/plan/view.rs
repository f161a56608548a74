//! Plan as it is drawn: the lines, the money month by month, plan against actual.
//! What it says is worked out in `model`; what it cost to start is drawn in `start`.

use egui::{RichText, Ui};

use super::model::{PlanModel, PlanRow};
use super::start::start_ui;
use super::{MoneyDraft, Pressed};
use crate::app::charts;
use crate::app::screen::ViewContext;
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, empty_state, money_field, primary_button, problem, quiet_button,
    second_line, secondary_button, soft, text_field,
};
use crate::ledger::AccountId;
use crate::plan::Need;

/// Shows the room.
#[must_use]
pub(super) fn plan_ui(
    ui: &mut Ui,
    model: &PlanModel,
    money: &mut MoneyDraft,
    asked: Option<AccountId>,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    if model.report.plan.lines.is_empty() {
        ui.label(RichText::new("Nothing is planned yet.").font(theme::heading()));
        ui.add_space(space::MEDIUM);
        let begun = empty_state(
            ui,
            "What this room is for",
            "What do you need to start, what does it cost new, second-hand or made outside, what can wait, and does your \
             money last? Plan it line by line (a start-up budget); each line becomes a purchase when you buy it, and the \
             plan stands against what it really cost.",
            &["Plan the first thing", "Say what money I have"],
        );
        pressed = begun.map(|step| match step {
            0 => Pressed::Add,
            _ => Pressed::ShowMoney,
        });
        ui.add_space(space::LARGE);
        if money.is_open || !model.report.plan.money.is_empty() {
            pressed = pressed.or(money_ui(ui, model, money, cx));
            ui.add_space(space::LARGE);
        }
        return pressed.or(start_ui(ui, model, asked, cx));
    }
    ui.label(RichText::new(&model.headline).font(theme::heading()));
    second_line(ui, &model.sentence);
    ui.add_space(space::MEDIUM);
    ui.horizontal_wrapped(|ui| {
        if primary_button(ui, "Plan something more", "").clicked() {
            pressed = Some(Pressed::Add);
        }
    });
    ui.add_space(space::LARGE);
    pressed = pressed.or(lines_ui(ui, model, cx));
    ui.add_space(space::LARGE);
    pressed = pressed.or(money_ui(ui, model, money, cx));
    ui.add_space(space::LARGE);
    against_ui(ui, model, cx);
    ui.add_space(space::LARGE);
    pressed.or(start_ui(ui, model, asked, cx))
}

fn lines_ui(ui: &mut Ui, model: &PlanModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let columns = [
        Column::words("What", 2.4),
        Column::words("How it stands", 2.6),
        Column::figures("At best", 78.0),
        Column::figures("Most likely", 86.0),
        Column::figures("At worst", 78.0),
        Column::figures("It cost", 78.0),
    ];
    let mut rows = Vec::new();
    let mut ids = Vec::new();
    for (heading, list, need) in [
        ("Must have", &model.must, Need::Must),
        ("Can wait", &model.later, Need::Later),
    ] {
        if list.is_empty() {
            continue;
        }
        rows.push(Row::heading(heading));
        ids.push(None);
        for line in list {
            rows.push(line_row(line));
            ids.push(Some(line.id));
        }
        let cost = model.report.plan.need(Some(need));
        rows.push(Row::total(vec![
            Cell::text(heading),
            Cell::soft("what counts of it"),
            Cell::text(cx.show(cost.low)),
            Cell::text(cx.show(cost.likely)),
            Cell::text(cx.show(cost.high)),
            Cell::default(),
        ]));
        ids.push(None);
    }
    let all = model.report.plan.need(None);
    rows.push(Row::last(vec![
        Cell::text("Together"),
        Cell::default(),
        Cell::text(cx.show(all.low)),
        Cell::text(cx.show(all.likely)),
        Cell::text(cx.show(all.high)),
        Cell::text(cx.show(model.report.actual.actual)),
    ]));
    ids.push(None);
    let (row, _column) = card(ui, |ui| {
        card_heading(ui, "What starting needs").on_hover_text("Start-up budget");
        paper_table(ui, "plan", &columns, &rows)
    })?;
    ids.get(row).copied().flatten().map(Pressed::Line)
}

fn line_row(line: &PlanRow) -> Row {
    let figure = |text: &String| {
        if line.is_counted {
            Cell::text(text)
        } else {
            Cell::soft(text)
        }
    };
    let name = Cell {
        text: line.name.clone(),
        is_soft: !line.is_counted,
        ..Cell::opens("")
    };
    let mut cells = vec![name, Cell::soft(&line.about)];
    cells.extend(line.figures.iter().map(figure));
    Row::line(cells)
}

fn money_ui(
    ui: &mut Ui,
    model: &PlanModel,
    draft: &mut MoneyDraft,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Does the money last?").on_hover_text("Cash budget by month");
        ui.label(&model.sentence);
        ui.add_space(space::SMALL);
        if !model.report.plan.lines.is_empty() {
            months_ui(ui, model, cx);
            ui.add_space(space::MEDIUM);
        }
        for money in &model.report.plan.money {
            let when = match money.month {
                Some(month) => format!("in {month}"),
                None => "from the beginning".to_owned(),
            };
            let note = if money.note.is_empty() {
                String::new()
            } else {
                format!(", {}", money.note)
            };
            let amount = cx.show(money.amount);
            ui.horizontal_wrapped(|ui| {
                ui.label(format!("{amount} {when}{note}"));
                if quiet_button(ui, &format!("Take {amount} off")).clicked() {
                    pressed = Some(Pressed::RemoveMoney(money.id));
                }
            });
        }
        if draft.is_open || model.report.plan.money.is_empty() {
            if draft_ui(ui, draft, cx) {
                pressed = Some(Pressed::AddMoney);
            }
        } else if secondary_button(ui, "There is more money", "").clicked() {
            pressed = Some(Pressed::ShowMoney);
        }
    });
    pressed
}

/// The fields for money; answers whether it shall be kept.
fn draft_ui(ui: &mut Ui, draft: &mut MoneyDraft, cx: &ViewContext<'_>) -> bool {
    ui.horizontal_wrapped(|ui| {
        let field = Field::new("Money I have").width(130.0);
        money_field(ui, field, &mut draft.amount, cx.currency);
        let field = Field::new("From which month").width(140.0).hint("now");
        text_field(ui, field, &mut draft.month);
        let field = Field::new("Where it comes from")
            .width(220.0)
            .hint("savings");
        text_field(ui, field, &mut draft.note);
    });
    if let Some(words) = &draft.problem {
        problem(ui, words);
    }
    ui.add_space(space::SMALL);
    secondary_button(ui, "Put it in the plan", "").clicked()
}

fn months_ui(ui: &mut Ui, model: &PlanModel, cx: &ViewContext<'_>) {
    let columns = [
        Column::words("Month", 1.6),
        Column::figures("Money", 90.0),
        Column::figures("To buy", 90.0),
        Column::figures("Left, likely", 96.0),
        Column::figures("Left at worst", 96.0),
    ];
    let course = &model.report.course;
    let mut rows: Vec<Row> = course
        .months
        .iter()
        .map(|month| {
            Row::line(vec![
                Cell::text(month.month.to_string()),
                Cell::text(cx.show(month.money)),
                Cell::text(cx.show(month.need.likely)),
                Cell::text(cx.show(month.left.likely)),
                Cell::text(cx.show(month.left.high)),
            ])
        })
        .collect();
    let need = course.months.iter().map(|month| month.need.likely).sum();
    let last = course
        .months
        .last()
        .map(|month| month.left)
        .unwrap_or_default();
    rows.push(Row::last(vec![
        Cell::text("Together"),
        Cell::text(cx.show(course.money)),
        Cell::text(cx.show(need)),
        Cell::text(cx.show(last.likely)),
        Cell::text(cx.show(last.high)),
    ]));
    let _nothing_opens = paper_table(ui, "money by month", &columns, &rows);
    if !course.unplaced.likely.is_zero() {
        soft(
            ui,
            &format!(
                "What can wait and has no month yet is not in it: about {}.",
                cx.show(course.unplaced.likely)
            ),
        );
    }
}

fn against_ui(ui: &mut Ui, model: &PlanModel, cx: &ViewContext<'_>) {
    card(ui, |ui| {
        card_heading(ui, "Plan against actual").on_hover_text("Budget variance");
        ui.label(&model.against);
        let (labels, lines) = &model.chart;
        if labels.len() > 1 {
            ui.add_space(space::SMALL);
            charts::time_lines(ui, "Planned and spent", labels, lines, cx.currency, 170.0);
        }
    });
}
