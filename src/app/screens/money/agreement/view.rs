//! The figures of a sheet that is worked on, what may explain a difference, and the list of finished sheets.
//! What the figures are is `reconciling`'s.

use chrono::NaiveDate;
use egui::Ui;

use crate::app::forms::parts;
use crate::app::keys;
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, RowRank, StatementRow, card, card_heading, columns, date_field, link, money_field,
    parse_day, primary_button_enabled, problem, quiet_button, soft, statement_table, text_field,
};
use crate::dates::{Month, show_day};
use crate::ledger::{Account, AccountClass, EntryNumber};
use crate::money::Money;
use crate::reconciling::{Hint, Reconciliation};
use crate::reports::{SheetReport, as_on_statement};

/// What was pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pressed {
    /// Begin with this day and balance, signed as the ledger has it.
    Begin(NaiveDate, Money),
    /// Change the day or the balance.
    Change,
    /// Leave them.
    NotNow,
    TickAll(bool),
    Finish,
    Drop,
    Entry(EntryNumber),
    Sheet(i64),
}

/// Day and closing balance while they are typed.
#[derive(Clone, Debug)]
pub(super) struct BeginDraft {
    day: String,
    balance: String,
    was_tried: bool,
    is_change: bool,
    /// The balance still to be shown in the field.
    shows: Option<Money>,
}

impl BeginDraft {
    /// Proposed from the last statement that was brought in, or the end of the month after the sheet before.
    pub(super) fn proposed(
        account: &Account,
        statement: Option<(NaiveDate, Money)>,
        last: Option<NaiveDate>,
        cx: &ViewContext<'_>,
    ) -> Self {
        let newer = statement.filter(|(day, _balance)| last.is_none_or(|last| *day > last));
        let day = match (newer, last) {
            (Some((day, _balance)), _) => day,
            (None, Some(last)) => last
                .succ_opt()
                .map_or(last, |next| Month::of(next).range().to),
            (None, None) => cx.today,
        };
        Self {
            day: show_day(day),
            balance: String::new(),
            was_tried: false,
            is_change: false,
            shows: newer.map(|(_day, balance)| as_on_statement(account, balance)),
        }
    }

    /// Changes those of the sheet that is worked on.
    pub(super) fn changing(day: NaiveDate, balance: Money) -> Self {
        Self {
            day: show_day(day),
            balance: String::new(),
            was_tried: false,
            is_change: true,
            shows: Some(balance),
        }
    }
}

/// Whether the statement of an account says what is owed.
fn is_owed(account: &Account) -> bool {
    account.class == AccountClass::Liability
}

/// Asks for the day and the closing balance.
pub(super) fn begin_ui(
    ui: &mut Ui,
    draft: &mut BeginDraft,
    account: &Account,
    statement: Option<(NaiveDate, Money)>,
    is_open: bool,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    if is_open && !draft.is_change {
        return None;
    }
    if let Some(balance) = draft.shows.take() {
        draft.balance = cx.show(balance);
    }
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "What does the statement say?");
        if is_owed(account) {
            soft(
                ui,
                "What you owe on it is written as it stands there, without a minus; the books keep it as owed.",
            );
        }
        let label = if is_owed(account) {
            "You owe on that day"
        } else {
            "Closing balance"
        };
        let mut day = None;
        let mut balance = None;
        ui.horizontal_top(|ui| {
            let (_response, typed) = date_field(
                ui,
                Field::new("Up to which day").width(150.0),
                &mut draft.day,
                cx.today,
            );
            day = typed;
            let (_response, typed) = money_field(
                ui,
                Field::new(label).width(150.0),
                &mut draft.balance,
                cx.currency,
            );
            balance = typed;
        });
        if let Some((on, shown)) = statement {
            let shown = cx.show(as_on_statement(account, shown));
            soft(
                ui,
                &format!(
                    "The last statement you brought shows {shown} on {}.",
                    show_day(on)
                ),
            );
        }
        ui.add_space(space::SMALL);
        ui.horizontal_wrapped(|ui| {
            let words = if is_open {
                "Keep this"
            } else {
                "Begin to tick"
            };
            if primary_button_enabled(ui, true, words, "").clicked() {
                draft.was_tried = true;
                let typed = day.or_else(|| parse_day(&draft.day, cx.today));
                if let (Some(day), Some(balance)) = (typed, balance) {
                    pressed = Some(Pressed::Begin(day, as_on_statement(account, balance)));
                }
            }
            if is_open && quiet_button(ui, "Not now").clicked() {
                pressed = Some(Pressed::NotNow);
            }
        });
        if draft.was_tried && (day.is_none() || balance.is_none()) {
            problem(
                ui,
                "write the day and the balance as the statement shows them",
            );
        }
    });
    pressed
}

/// The figures as on paper, and what may explain a difference.
pub(super) fn figures_ui(
    ui: &mut Ui,
    report: &SheetReport,
    account: &Account,
    note: &mut String,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    let figures = |ui: &mut Ui| {
        card(ui, |ui| {
            let shown = |amount: Money| vec![cx.show(as_on_statement(account, amount))];
            let agreement = &report.agreement;
            let heading = format!("Up to {}", show_day(report.sheet.day));
            card_heading(ui, &heading);
            let rows = [
                StatementRow::new("Agreed before", shown(agreement.opening)),
                StatementRow::new("Ticked", shown(agreement.ticked)),
                StatementRow::new("Together", shown(agreement.cleared)).rank(RowRank::Total),
                StatementRow::new("The statement shows", shown(agreement.balance)),
                StatementRow::new("Still missing", shown(agreement.difference))
                    .second("difference")
                    .rank(RowRank::FinalTotal),
            ];
            statement_table(ui, &[], &rows, &|_, _| false);
            soft(
                ui,
                &format!(
                    "Not ticked: {}, known to you and not yet to the bank (outstanding items). The books say {}.",
                    cx.show(as_on_statement(account, agreement.outstanding)),
                    cx.show(as_on_statement(account, agreement.book))
                ),
            );
        });
    };
    let mut deeds = |ui: &mut Ui| {
        card(ui, |ui| pressed = deeds_ui(ui, report, note, cx));
    };
    if ui.available_width() >= 760.0 {
        columns(ui, &[1.2, 1.0], |parts| {
            if let [left, right] = parts {
                figures(left);
                deeds(right);
            }
        });
    } else {
        figures(ui);
        ui.add_space(space::LARGE);
        deeds(ui);
    }
    pressed
}

fn deeds_ui(
    ui: &mut Ui,
    report: &SheetReport,
    note: &mut String,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    let is_agreed = report.agreement.difference.is_zero();
    if is_agreed {
        card_heading(ui, "Nothing is missing");
        soft(
            ui,
            "Finish it: the sheet is kept as it is, and later changes do not alter it.",
        );
        text_field(
            ui,
            Field::new("Note on the sheet").hint("may stay empty"),
            note,
        );
    } else {
        card_heading(ui, "Where may the difference come from?");
        for hint in &report.hints {
            ui.horizontal_wrapped(|ui| {
                ui.label(hint.sentence(report.agreement.difference, cx.currency));
                for number in entries_of(hint) {
                    if link(ui, &format!("Open entry {number}")).clicked() {
                        pressed = Some(Pressed::Entry(number));
                    }
                }
            });
            ui.add_space(space::SMALL);
        }
        if report.hints.is_empty() {
            soft(
                ui,
                "Tick what stands on the statement below. What is on it and not in the books wants writing down first.",
            );
        }
    }
    ui.add_space(space::SMALL);
    ui.horizontal_wrapped(|ui| {
        let is_asked = keys::take_write_down(ui.ctx());
        if primary_button_enabled(ui, is_agreed, "Finish", "Ctrl Enter")
            .on_disabled_hover_text("Once nothing is missing")
            .clicked()
            || is_agreed && is_asked
        {
            pressed = Some(Pressed::Finish);
        }
        if quiet_button(ui, "Tick all").clicked() {
            pressed = Some(Pressed::TickAll(true));
        }
        if quiet_button(ui, "Take all ticks away").clicked() {
            pressed = Some(Pressed::TickAll(false));
        }
        if quiet_button(ui, "Change day or balance").clicked() {
            pressed = Some(Pressed::Change);
        }
        if quiet_button(ui, "Drop it")
            .on_hover_text("What was ticked is forgotten; Undo brings it back")
            .clicked()
        {
            pressed = Some(Pressed::Drop);
        }
    });
    pressed
}

fn entries_of(hint: &Hint) -> Vec<EntryNumber> {
    match hint {
        Hint::NotTicked(one) | Hint::TickedTooMuch(one) | Hint::WrongSide(one) => vec![*one],
        Hint::Twice(one, other) => vec![*one, *other],
        Hint::SwappedDigits | Hint::PerhapsAFee => Vec::new(),
    }
}

/// The finished sheets of the account.
pub(super) fn finished_ui(
    ui: &mut Ui,
    finished: &[(Reconciliation, bool)],
    account: &Account,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Finished sheets").on_hover_text("Bank reconciliation statements");
        if finished.is_empty() {
            soft(ui, "None yet.");
        }
        for (sheet, is_broken) in finished {
            let words = format!(
                "Up to {}: {}",
                show_day(sheet.day),
                cx.show(as_on_statement(account, sheet.balance))
            );
            ui.horizontal_wrapped(|ui| {
                if link(ui, &words).clicked() {
                    pressed = Some(Pressed::Sheet(sheet.id));
                }
                if *is_broken {
                    soft(ui, "something of it changed since");
                }
            });
        }
        if finished.iter().any(|(_sheet, is_broken)| *is_broken) {
            parts::hint(
                ui,
                "An entry of a finished sheet was changed. Open the sheet: it says what was and what is.",
            );
        }
    });
    pressed
}
