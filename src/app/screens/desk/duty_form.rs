//! The forms of the duties: a duty itself, that it was done, and its proof.

use std::path::Path;

use chrono::Datelike;
use egui::Ui;

use super::draft::{Pressed, Tried, Wrong, day_of, may_day_of, room_for};
use crate::app::forms::parts::select;
use crate::app::forms::receipt::ReceiptDraft;
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card_heading, date_field, money_field, soft, text_area, text_field,
};
use crate::dates::{DateRange, show_day};
use crate::desk::{Duty, DutyDone, DutyKind, PeriodTax, cycle_words, period_words};
use crate::reports::DutyReport;

/// The cycles that are offered.
const CYCLES: [u32; 9] = [0, 1, 2, 3, 4, 6, 12, 24, 36];
/// A duty while it is typed.
pub(super) struct DutyDraft {
    before: Option<Duty>,
    name: String,
    kind: DutyKind,
    next_day: String,
    every_months: u32,
    remind_days: String,
    period_to: String,
    note: String,
    take_focus: bool,
    pub(super) tried: Tried,
}

impl DutyDraft {
    /// An empty one, or one that changes a duty.
    pub(super) fn new(before: Option<&Duty>) -> Self {
        let day = |day: Option<chrono::NaiveDate>| day.map(show_day).unwrap_or_default();
        Self {
            name: before.map(|duty| duty.name.clone()).unwrap_or_default(),
            kind: before.map_or(DutyKind::YearlyReport, |duty| duty.kind),
            next_day: before.map_or_else(String::new, |duty| day(duty.next_day)),
            every_months: before.map_or(12, |duty| duty.every_months),
            remind_days: before.map_or(30, |duty| duty.remind_days).to_string(),
            period_to: before.map_or_else(String::new, |duty| day(duty.period_to)),
            note: before.map(|duty| duty.note.clone()).unwrap_or_default(),
            before: before.cloned(),
            take_focus: true,
            tried: Tried::default(),
        }
    }

    /// Whether something is typed that would be lost.
    pub(super) fn is_begun(&self) -> bool {
        !self.name.trim().is_empty() && self.before.is_none()
    }

    /// The duty as it is typed.
    pub(super) fn made(&self, cx: &ViewContext<'_>) -> Result<Duty, Wrong> {
        let next_day = may_day_of(&self.next_day, "next_day", cx.today)?;
        let remind_days = self.remind_days.trim().parse();
        let remind_days = remind_days
            .map_err(|_not_whole| Wrong::new("remind_days", "a whole number of days"))?;
        let period_to = match self.kind {
            DutyKind::SalesTax => may_day_of(&self.period_to, "period_to", cx.today)?,
            _ => None,
        };
        let before = self.before.as_ref();
        let kept_day = before
            .filter(|duty| duty.next_day == next_day)
            .map(|duty| duty.day);
        if next_day.is_none() && before.is_none() {
            return Err(Wrong::new("next_day", "say when it is due first"));
        }
        let typed_day = next_day.map(|day| day.day());
        let duty = Duty {
            id: before.map_or(0, |duty| duty.id),
            name: self.name.trim().to_owned(),
            kind: self.kind,
            next_day,
            day: kept_day.or(typed_day).unwrap_or(1),
            every_months: self.every_months,
            remind_days,
            period_to,
            note: self.note.trim().to_owned(),
        };
        duty.check()
            .map_err(|error| Wrong::new(error.field(), error.to_string()))?;
        Ok(duty)
    }

    /// The form.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        wrong: Option<&Wrong>,
        cx: &ViewContext<'_>,
    ) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        card_heading(
            ui,
            if self.before.is_some() {
                "Change the duty"
            } else {
                "A new duty"
            },
        );
        let field = Field::new("Duty")
            .hint("Yearly report to the state")
            .take_focus(std::mem::take(&mut self.take_focus))
            .problem(beside("duty"));
        text_field(ui, field, &mut self.name);
        let kinds: Vec<(DutyKind, String)> = DutyKind::ALL
            .iter()
            .map(|kind| (*kind, kind.plain().to_owned()))
            .collect();
        ui.horizontal_wrapped(|ui| {
            let width = room_for(ui, 230.0);
            select(ui, "Kind", width, &mut self.kind, &kinds, None);
            let field = Field::new("Next due on")
                .width(room_for(ui, 126.0))
                .problem(beside("next_day"));
            if self.next_day.trim().is_empty() {
                // An empty day is no wrong day: nothing more is due.
                text_field(ui, field, &mut self.next_day);
            } else {
                date_field(ui, field, &mut self.next_day, cx.today);
            }
            let mut cycles: Vec<(u32, String)> = CYCLES
                .iter()
                .map(|months| (*months, cycle_words(*months)))
                .collect();
            if !CYCLES.contains(&self.every_months) {
                cycles.push((self.every_months, cycle_words(self.every_months)));
            }
            let problem = beside("every_months");
            let width = room_for(ui, 150.0);
            select(
                ui,
                "How often",
                width,
                &mut self.every_months,
                &cycles,
                problem,
            );
            let field = Field::new("Days ahead on Today")
                .width(room_for(ui, 130.0))
                .problem(beside("remind_days"));
            text_field(ui, field, &mut self.remind_days);
            if self.kind == DutyKind::SalesTax {
                let field = Field::new("Its period goes through")
                    .width(room_for(ui, 150.0))
                    .hint("30 Sep")
                    .problem(beside("period_to"));
                text_field(ui, field, &mut self.period_to);
            }
        });
        if self.kind == DutyKind::SalesTax {
            soft(
                ui,
                "A return is due for every period, also when nothing was sold in it.",
            );
        }
        let field = Field::new("Note").hint("where it is filed, what it costs");
        text_field(ui, field, &mut self.note);
        self.tried.buttons(ui, "Keep the duty", wrong)
    }
}

/// That a duty was done, while it is typed.
pub(super) struct DoneDraft {
    pub(super) duty: Duty,
    period: Option<DateRange>,
    tax: Option<PeriodTax>,
    done_on: String,
    amount: String,
    note: String,
    pub(super) receipt: ReceiptDraft,
    take_focus: bool,
    pub(super) tried: Tried,
}

impl DoneDraft {
    /// One for the next day of a duty.
    pub(super) fn new(report: &DutyReport) -> Self {
        Self {
            duty: report.duty.clone(),
            period: report.duty.period(),
            tax: report.tax,
            done_on: "today".to_owned(),
            amount: String::new(),
            note: String::new(),
            receipt: ReceiptDraft::default(),
            take_focus: true,
            tried: Tried::default(),
        }
    }

    /// Whether something is typed that would be lost.
    pub(super) fn is_begun(&self) -> bool {
        !self.note.trim().is_empty() || !self.amount.trim().is_empty()
    }

    /// What was done, as it is typed.
    pub(super) fn made(&self, cx: &ViewContext<'_>) -> Result<DutyDone, Wrong> {
        let done_on = day_of(&self.done_on, "done_on", cx.today)?;
        let amount = match self.amount.trim() {
            "" => None,
            text => Some(
                cx.currency
                    .parse_typed(text)
                    .map_err(|error| Wrong::new("amount", error.to_string()))?,
            ),
        };
        let due = self.duty.next_day;
        Ok(DutyDone {
            id: 0,
            due: due.ok_or_else(|| Wrong::new("done_on", "nothing of it is due any more"))?,
            done_on,
            amount,
            period: self.period,
            note: self.note.trim().to_owned(),
            proof: None,
        })
    }

    /// The form.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        wrong: Option<&Wrong>,
        beside_book: &Path,
        cx: &ViewContext<'_>,
    ) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        let is_return = self.duty.kind == DutyKind::SalesTax;
        let due = self.duty.next_day.map(show_day).unwrap_or_default();
        card_heading(ui, &format!("{}, due on {due}, is done", self.duty.name));
        if let Some(tax) = &self.tax {
            let period = period_words(tax.period);
            let words = if tax.is_nil() {
                format!(
                    "For {period} nothing taxable is in the books: a nil return, nothing to pay."
                )
            } else {
                format!(
                    "For {period} the books have {} of tax on {} of sales.",
                    cx.show(tax.collected),
                    cx.show(tax.taxable)
                )
            };
            soft(ui, &words);
        }
        self.receipt.take_dropped(ui);
        ui.horizontal_wrapped(|ui| {
            let field = Field::new(if is_return { "Filed on" } else { "Done on" })
                .width(room_for(ui, 126.0))
                .take_focus(std::mem::take(&mut self.take_focus))
                .problem(beside("done_on"));
            date_field(ui, field, &mut self.done_on, cx.today);
            let label = if is_return {
                "What the return came to"
            } else {
                "What it cost, if anything"
            };
            let field = Field::new(label)
                .width(room_for(ui, 180.0))
                .problem(beside("amount"));
            money_field(ui, field, &mut self.amount, cx.currency);
        });
        soft(
            ui,
            "Noted here, not posted: write the payment itself down under \u{201C}What happened?\u{201D}.",
        );
        text_area(
            ui,
            Field::new("Note").hint("the number of the filing"),
            &mut self.note,
            2,
        );
        ui.add_space(space::SMALL);
        self.receipt.ui(ui, beside_book);
        self.tried.buttons(ui, "It is done", wrong)
    }
}

/// The proof of something that was done, while it is chosen.
pub(super) struct ProofDraft {
    name: String,
    pub(super) done: i64,
    pub(super) receipt: ReceiptDraft,
    pub(super) tried: Tried,
}

impl ProofDraft {
    /// For what was done under this number.
    pub(super) fn new(name: &str, done: i64) -> Self {
        Self {
            name: name.to_owned(),
            done,
            receipt: ReceiptDraft::default(),
            tried: Tried::default(),
        }
    }

    /// The form.
    pub(super) fn ui(&mut self, ui: &mut Ui, beside_book: &Path) -> Option<Pressed> {
        card_heading(ui, &format!("Proof: {}", self.name));
        self.receipt.take_dropped(ui);
        self.receipt.ui(ui, beside_book);
        let wrong = match self.receipt.file {
            Some(_) => None,
            None => Some(Wrong::new("file", "choose a file first")),
        };
        if let Some(words) = self.tried.beside(wrong.as_ref(), "file") {
            crate::app::widgets::problem(ui, words);
        }
        self.tried.buttons(ui, "Keep the proof", wrong.as_ref())
    }
}
