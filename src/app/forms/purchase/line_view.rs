//! One line of the purchase form as it is drawn: the thing, its amount and kind, the four questions, the register's.
//! What the fields mean is `line`.

use egui::Ui;

use super::line::{EquipmentDraft, HelperDraft, LineDraft, Sort};
use crate::app::forms::facts::Facts;
use crate::app::forms::input::Problems;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::forms::plan::PlanRef;
use crate::app::forms::stock::{in_units, unit_select};
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, caution, choice_chips, date_field, money_field, quiet_button, soft,
    suggest_field, text_field, thing_picker,
};
use crate::dates::show_day;
use crate::depreciation::Convention;
use crate::kinds::{CarriedHome, EQUIPMENT_CAUTION, QUESTIONS};
use crate::ledger::AccountClass;
use crate::money::{Currency, Money, unit_cost};
use crate::shared_bills::SharedBill;
use crate::stock::Item;

/// What became of a line in this frame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LineOutcome {
    /// She took it away.
    pub is_removed: bool,
}

/// Draws a line. The keyboard walks what, amount, kind, how many.
pub fn line_ui(
    ui: &mut Ui,
    idx: usize,
    n_lines: usize,
    line: &mut LineDraft,
    supplier: &str,
    facts: &Facts,
    problems: &Problems,
) -> LineOutcome {
    let mut outcome = LineOutcome::default();
    ui.push_id(("line", idx), |ui| {
        let columns = widths(ui.available_width(), &[0.0, 104.0, 0.0, 86.0]);
        cells(ui, &columns, &[0, 1, 2, 3], |ui, cell, width| match cell {
            0 => {
                let label = label("What", idx);
                let field = Field::new(&label)
                    .width(width)
                    .problem(problems.on("description", idx))
                    .take_focus(std::mem::take(&mut line.takes_focus));
                suggest_field(ui, field, &mut line.what, &things(supplier, facts));
            }
            1 => {
                let label = label("Amount", idx);
                let field = Field::new(&label)
                    .width(width)
                    .problem(problems.on("amount", idx));
                money_field(ui, field, &mut line.amount, &facts.currency);
            }
            2 => kind_ui(ui, idx, line, supplier, facts, problems, width),
            _ => {
                let label = label("How many", idx);
                let mut field = Field::new(&label)
                    .width(width)
                    .problem(problems.on("quantity", idx));
                field.right = true;
                text_field(ui, field, &mut line.quantity);
            }
        });
        if let Some(item) = line.item(supplier, facts) {
            in_stock_ui(ui, idx, line, item, facts);
        }
        ui.horizontal_wrapped(|ui| {
            let is_open = line.helper.as_ref().is_some_and(|helper| helper.is_open);
            if !is_open && quiet_button(ui, "Which kind is it?").clicked() {
                line.helper.get_or_insert_default().is_open = true;
            }
            let words = if line.is_more {
                "Less"
            } else {
                "Private share, paid ahead"
            };
            if quiet_button(ui, words).clicked() {
                line.is_more = !line.is_more;
            }
            if n_lines > 1 && quiet_button(ui, "Take this line away").clicked() {
                outcome.is_removed = true;
            }
        });
        plan_ui(ui, line);
        helper_ui(ui, line, facts);
        if line.is_more {
            lesser_ui(ui, idx, line, supplier, facts, problems);
        }
        if line.is_equipment(supplier, facts) {
            let cost = line.cost(facts);
            equipment_ui(
                ui,
                idx,
                &mut line.equipment,
                &line.what,
                cost,
                facts,
                problems,
            );
        }
    });
    outcome
}

/// What is offered while it is typed: what came from this supplier, then what is kept in stock.
fn things(supplier: &str, facts: &Facts) -> Vec<String> {
    let mut things = facts.things(supplier);
    for item in facts.stock.offered(|_any| true) {
        let label = facts.stock.label(item);
        if !things.contains(&label) {
            things.push(label);
        }
    }
    things
}

/// For an item in stock: the pack it is bought in, and what that makes of its own unit.
fn in_stock_ui(ui: &mut Ui, idx: usize, line: &mut LineDraft, item: &Item, facts: &Facts) {
    ui.horizontal_wrapped(|ui| {
        if !item.packs.is_empty() {
            unit_select(ui, &label("Bought by", idx), 190.0, &mut line.unit, item);
        }
        let many = line.quantity.trim().replace(',', ".").parse().ok();
        let own = many.and_then(|many| item.in_own_unit(many, &line.unit).ok());
        let words = match own {
            Some(own) => {
                let comes = in_units(own.value(), item);
                let each = unit_cost(line.cost(facts), own, &facts.currency)
                    .filter(|each| !each.is_zero())
                    .map_or_else(String::new, |each| {
                        format!(", {each:.4} each before carriage")
                    });
                format!("{comes} of {} come into stock{each}.", item.name)
            }
            None => format!("Kept in stock by the {}; say how many came.", item.unit),
        };
        ui.vertical(|ui| {
            ui.add_space(if item.packs.is_empty() { 0.0 } else { 30.0 });
            soft(ui, &words);
        });
    });
}

/// What it becomes of, in the plan.
fn plan_ui(ui: &mut Ui, line: &mut LineDraft) {
    let Some(plan) = &line.plan else {
        return;
    };
    let words = format!("For the plan: {}.", plan.name);
    let mut is_taken_off = false;
    ui.horizontal_wrapped(|ui| {
        ui.label(words);
        is_taken_off = quiet_button(ui, "Not for the plan").clicked();
    });
    if is_taken_off {
        line.plan = None;
    }
}

fn label(words: &str, idx: usize) -> String {
    if idx == 0 {
        words.to_owned()
    } else {
        format!("{words} {}", idx + 1)
    }
}

fn kind_ui(
    ui: &mut Ui,
    idx: usize,
    line: &mut LineDraft,
    supplier: &str,
    facts: &Facts,
    problems: &Problems,
    width: f32,
) {
    let proposed = line.proposed(supplier, facts);
    if !line.is_kind_chosen {
        let item = proposed
            .as_ref()
            .and_then(|proposed| proposed.item.as_deref());
        let thing = item
            .and_then(|code| facts.stock.item(code))
            .and_then(|item| facts.kept_thing(item));
        line.kind = thing
            .as_ref()
            .map(AccountPick::of_thing)
            .unwrap_or_else(|| {
                proposed
                    .as_ref()
                    .and_then(|proposed| facts.account(proposed.account))
                    .map(AccountPick::of)
                    .unwrap_or_default()
            });
    }
    let label = label("Kind", idx);
    let field = Field::new(&label)
        .width(width)
        .hint("type or choose")
        .problem(problems.on("account", idx));
    let before = line.kind.clone();
    let accounts = facts.kinds();
    thing_picker(ui, field, &mut line.kind, &facts.kept_things(), &accounts);
    let is_other = line.kind.chosen() != before.chosen() || line.kind.thing() != before.thing();
    if line.kind != before && (is_other || line.kind.is_unclear()) {
        line.is_kind_chosen = true;
    }
    if let Some(proposed) = proposed.filter(|_| !line.is_kind_chosen) {
        ui.scope(|ui| {
            ui.set_max_width(width);
            soft(ui, &proposed.why);
        });
    }
}

fn helper_ui(ui: &mut Ui, line: &mut LineDraft, facts: &Facts) {
    let Some(helper) = line.helper.as_mut().filter(|helper| helper.is_open) else {
        return;
    };
    let before = helper.clone();
    ui.add_space(space::SMALL);
    questions_ui(ui, helper);
    let is_changed = *helper != before;
    if is_changed {
        // An answer speaks louder than what was chosen before.
        line.is_kind_chosen = false;
    }
    if let Some(sorted) = line.sorted(facts) {
        let words = format!(
            "{} ({}): {}",
            sorted.kind.label(),
            sorted.kind.trade_term(),
            sorted.reason
        );
        ui.label(words);
        if let Some(words) = sorted.kind.caution() {
            caution(ui, words);
        }
    }
    if quiet_button(ui, "Close the questions").clicked()
        && let Some(helper) = &mut line.helper
    {
        helper.is_open = false;
    }
    ui.add_space(space::SMALL);
}

fn questions_ui(ui: &mut Ui, helper: &mut HelperDraft) {
    let sorts = [
        (Sort::Thing, "a thing for the workshop"),
        (Sort::Office, "for the office"),
        (Sort::Service, "a service or fee"),
        (Sort::Private, "private"),
    ];
    choice_chips(ui, "What sort of thing is it?", &mut helper.sort, &sorts);
    if helper.sort != Sort::Thing {
        return;
    }
    let carried: Vec<(Option<CarriedHome>, &str)> = CarriedHome::ALL
        .iter()
        .map(|answer| (Some(*answer), answer.plain()))
        .collect();
    choice_chips(ui, QUESTIONS[0], &mut helper.carried_home, &carried);
    let yes_no = [(Some(true), "yes"), (Some(false), "no")];
    if helper.asks_count() {
        choice_chips(ui, QUESTIONS[1], &mut helper.can_count, &yes_no);
    }
    if helper.asks_lasting() {
        choice_chips(ui, QUESTIONS[2], &mut helper.lasts_a_year, &yes_no);
    }
}

fn lesser_ui(
    ui: &mut Ui,
    idx: usize,
    line: &mut LineDraft,
    supplier: &str,
    facts: &Facts,
    problems: &Problems,
) {
    let is_cost = line
        .account(supplier, facts)
        .and_then(|id| facts.account(id))
        .is_some_and(|account| account.class == AccountClass::Expense);
    let columns = widths(ui.available_width(), &[0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            let label = label("Business share, per cent", idx);
            let mut field = Field::new(&label)
                .width(width)
                .hint("100")
                .problem(problems.on("business_share", idx));
            field.right = true;
            text_field(ui, field, &mut line.share);
            soft(ui, "The rest is private: money taken out (drawing).");
        } else if is_cost {
            let label = label("Paid ahead: covers how many months", idx);
            let mut field = Field::new(&label)
                .width(width)
                .hint("only this month")
                .problem(problems.on("paid_ahead", idx));
            field.right = true;
            text_field(ui, field, &mut line.ahead_months);
            soft(
                ui,
                "It waits in Paid in advance (prepaid expense) and becomes a cost month by month.",
            );
        }
    });
    if !facts.plan.lines.is_empty() {
        let mut lines = vec![(None, "it was not planned".to_owned())];
        lines.extend(
            facts
                .plan
                .lines
                .iter()
                .map(|planned| (Some(PlanRef::of(planned)), planned.name.clone())),
        );
        let label = label("In the start-up plan", idx);
        select(ui, &label, 0.0, &mut line.plan, &lines, None);
    }
}

/// Offers the share that is written down for this bill, with what it rests on. Answers whether she took it.
pub fn share_offer_ui(ui: &mut Ui, idx: usize, bill: &SharedBill) -> bool {
    let words = label(&format!("Take {} % for the business", bill.share), idx);
    let is_taken = quiet_button(ui, &words).clicked();
    soft(
        ui,
        &format!(
            "{} is used privately too; from {} on: {}.",
            bill.what,
            show_day(bill.since),
            bill.basis.trim_end_matches('.')
        ),
    );
    is_taken
}

/// What the register asks about a piece, with its wear a month and the caution beside it.
pub fn equipment_ui(
    ui: &mut Ui,
    idx: usize,
    piece: &mut EquipmentDraft,
    what: &str,
    cost: Money,
    facts: &Facts,
    problems: &Problems,
) {
    ui.add_space(space::SMALL);
    soft(ui, "For the list of equipment (fixed assets)");
    let thirds = widths(ui.available_width(), &[0.0, 120.0, 120.0]);
    cells(ui, &thirds, &[0, 1, 2], |ui, cell, width| match cell {
        0 => {
            let label = label("Its name on the list", idx);
            let field = Field::new(&label)
                .width(width)
                .hint(if what.trim().is_empty() {
                    "Corner cutter"
                } else {
                    what.trim()
                })
                .problem(problems.on("equipment_name", idx));
            text_field(ui, field, &mut piece.name);
        }
        1 => {
            let label = label("Life in months", idx);
            let mut field = Field::new(&label)
                .width(width)
                .problem(problems.on("life_months", idx));
            field.right = true;
            text_field(ui, field, &mut piece.life_months);
        }
        _ => {
            let label = label("Worth at the end", idx);
            let field = Field::new(&label)
                .width(width)
                .hint("0.00")
                .problem(problems.on("residual", idx));
            money_field(ui, field, &mut piece.residual, &facts.currency)
                .0
                .on_hover_text("Residual value");
        }
    });
    cells(ui, &thirds, &[0, 1, 2], |ui, cell, width| match cell {
        0 => {
            let ways: Vec<(Convention, String)> = Convention::ALL
                .iter()
                .map(|way| (*way, way.plain().to_owned()))
                .collect();
            select(
                ui,
                &label("How its wear is counted", idx),
                width,
                &mut piece.convention,
                &ways,
                None,
            );
        }
        1 => in_use_ui(ui, idx, piece, facts, problems, width),
        _ => {
            let label = label("Serial number", idx);
            text_field(ui, Field::new(&label).width(width), &mut piece.serial);
        }
    });
    ui.checkbox(&mut piece.is_second_hand, label("It is second-hand", idx));
    if let Some(words) = wear_words(piece, cost, &facts.currency) {
        ui.label(words);
    }
    caution(ui, EQUIPMENT_CAUTION);
}

fn in_use_ui(
    ui: &mut Ui,
    idx: usize,
    piece: &mut EquipmentDraft,
    facts: &Facts,
    problems: &Problems,
    width: f32,
) {
    let label = label("First used on", idx);
    let field = Field::new(&label)
        .width(width)
        .hint("the day bought")
        .problem(problems.on("in_service_on", idx));
    if piece.in_service_on.is_empty() {
        text_field(ui, field, &mut piece.in_service_on);
    } else {
        date_field(ui, field, &mut piece.in_service_on, facts.today);
    }
}

/// "Spread over its life here: 5 years, about 1.31 a month."
fn wear_words(piece: &EquipmentDraft, cost: Money, currency: &Currency) -> Option<String> {
    let months: u32 = piece.life_months.trim().parse().ok().filter(|n| *n > 0)?;
    let residual = currency.parse_typed(&piece.residual).unwrap_or_default();
    let to_wear = cost - residual;
    if !to_wear.is_positive() {
        return None;
    }
    let a_month = to_wear.times(rust_decimal::Decimal::ONE / rust_decimal::Decimal::from(months));
    let life = match (months / 12, months % 12) {
        (1, 0) => "1 year".to_owned(),
        (years, 0) => format!("{years} years"),
        _ => format!("{months} months"),
    };
    Some(format!(
        "Spread over its life here (straight-line depreciation): {life}, about {} a month.",
        currency.show(a_month)
    ))
}
