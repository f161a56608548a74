//! Duties: what has a day, what was done about each with its proof, and the tax dates alongside.
//! The forms are `duty_form`; what a duty refuses is `desk`'s.

use std::path::PathBuf;

use chrono::NaiveDate;
use egui::{RichText, Ui};

use super::calendar::CalendarFile;
use super::draft::{Form, Pressed, Tried, deeds_ui, leave_when_written, say_refused};
use super::duty_form::{DoneDraft, DutyDraft, ProofDraft};
use crate::app::action::{Action, DeskWrite, Write};
use crate::app::forms::parts;
use crate::app::navigation::Room;
use crate::app::screen::ViewContext;
use crate::app::screens::money;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{
    ReceiptView, card, card_heading, caution, count_badge, link, primary_button, receipt_viewer,
    soft,
};
use crate::book::{Book, BookError, ReceiptId};
use crate::dates::show_day;
use crate::desk::{
    Duty, DutyDone, Nearness, PAPERS_CAUTION, PeriodTax, RETURN_CAUTION, period_words,
};
use crate::export::icalendar;
use crate::ledger::Role;
use crate::reports::{self, DutiesReport, DutyReport};

/// So many of what was done are listed with a duty.
const DONE_SHOWN: usize = 3;

/// What is being written down.
enum Draft {
    Duty(DutyDraft),
    Done(DoneDraft),
    Proof(ProofDraft),
}

impl Form for Draft {
    fn tried(&mut self) -> &mut Tried {
        match self {
            Self::Duty(draft) => &mut draft.tried,
            Self::Done(draft) => &mut draft.tried,
            Self::Proof(draft) => &mut draft.tried,
        }
    }
}

/// What was pressed on a duty.
#[derive(Clone, Copy)]
enum Deed {
    Done,
    Change,
    Remove,
    TakeBack,
    Prove,
    Show,
}

/// The page of the duties.
#[derive(Default)]
pub(super) struct DutyPage {
    report: DutiesReport,
    draft: Option<Draft>,
    calendar: CalendarFile,
    beside: PathBuf,
    /// The proof that is to be shown, until it is read.
    wanted: Option<(i64, String, String)>,
    shown: Option<(i64, String, Vec<u8>, Option<ReceiptView>)>,
}

impl DutyPage {
    /// Begins a new duty.
    pub(super) fn begin(&mut self) {
        self.draft = Some(Draft::Duty(DutyDraft::new(None)));
    }

    /// Reads them.
    pub(super) fn refresh(&mut self, book: &Book, today: NaiveDate) -> Result<(), BookError> {
        self.report = reports::duties(book, today)?;
        book.path().clone_into(&mut self.beside);
        self.calendar
            .read(book, || icalendar::duties(book, &self.report, today));
        if let Some((done, hash, name)) = self.wanted.take() {
            let bytes = book.receipt_bytes(&ReceiptId(hash))?;
            self.shown = Some((done, name, bytes, None));
        }
        Ok(())
    }

    pub(super) fn is_stale(&self) -> bool {
        self.wanted.is_some() || self.calendar.is_stale()
    }

    pub(super) fn written(&mut self) {
        leave_when_written(&mut self.draft);
    }

    pub(super) fn refused(&mut self, message: &str) {
        say_refused(&mut self.draft, message);
    }

    pub(super) fn has_draft(&self) -> bool {
        match &self.draft {
            Some(Draft::Duty(draft)) => draft.is_begun(),
            Some(Draft::Done(draft)) => draft.is_begun(),
            Some(Draft::Proof(_)) | None => false,
        }
    }

    /// The page.
    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        if self.draft.is_some() {
            asked = card(ui, |ui| self.draft_ui(ui, cx));
        } else if primary_button(ui, "A new duty", "").clicked() {
            self.begin();
        }
        ui.add_space(space::LARGE);
        asked = asked.or(self.list_ui(ui, cx));
        ui.add_space(space::LARGE);
        asked = asked.or(self.tax_days_ui(ui));
        ui.add_space(space::LARGE);
        asked = asked.or(self.calendar.ui(
            ui,
            "deckle-dates",
            "The days of your duties and the tax dates, a whole day each with its reminder. Any calendar can read it; reading \
             a newer file replaces the days of the older one. No amount is in it.",
        ));
        ui.add_space(space::LARGE);
        caution(ui, PAPERS_CAUTION);
        asked
    }

    fn draft_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let desk = |write| Some(Action::write(Write::Desk(Box::new(write))));
        let (pressed, write) = match self.draft.as_mut()? {
            Draft::Duty(draft) => {
                let made = draft.made(cx);
                let pressed = draft.ui(ui, made.as_ref().err(), cx);
                (pressed, made.ok().map(DeskWrite::KeepDuty))
            }
            Draft::Done(draft) => {
                let made = draft.made(cx);
                let pressed = draft.ui(ui, made.as_ref().err(), &self.beside, cx);
                let (id, file) = (draft.duty.id, draft.receipt.file.clone());
                let write = made.ok().map(|done| DeskWrite::DoDuty(id, done, file));
                (pressed, write)
            }
            Draft::Proof(draft) => {
                let pressed = draft.ui(ui, &self.beside);
                let file = draft.receipt.file.clone();
                let write = file.map(|file| DeskWrite::ProveDuty(draft.done, file));
                (pressed, write)
            }
        };
        match pressed? {
            Pressed::Keep => write.and_then(desk),
            Pressed::Leave => {
                self.draft = None;
                None
            }
        }
    }

    fn list_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut deed = None;
        let mut asked = None;
        let n_near = self
            .report
            .duties
            .iter()
            .filter(|one| matches!(one.nearness, Nearness::Near | Nearness::Passed))
            .count();
        let shown = &mut self.shown;
        let duties = &self.report.duties;
        card(ui, |ui| {
            ui.horizontal(|ui| {
                card_heading(ui, "What has a day");
                if n_near > 0 {
                    count_badge(ui, n_near);
                }
            });
            if duties.is_empty() {
                soft(
                    ui,
                    "The company's yearly report, the permit, the insurance, the domain, the sales-tax return: written down once, \
                     each is on Today when its day comes near.",
                );
            }
            for (idx, one) in duties.iter().enumerate() {
                if idx > 0 {
                    parts::rule(ui);
                }
                ui.push_id(("duty", one.duty.id), |ui| {
                    if let Some(pressed) = duty_ui(ui, one, cx) {
                        deed = Some((idx, pressed));
                    }
                    asked = asked.take().or(tax_ui(ui, one.tax.as_ref(), cx));
                    let latest = one.done.last().map(|done| done.id);
                    if let Some((done, name, bytes, view)) = shown
                        && latest == Some(*done)
                    {
                        let view = view.get_or_insert_with(|| {
                            ReceiptView::new(ui.ctx(), name.as_str(), bytes.clone())
                        });
                        receipt_viewer(ui, view, 260.0);
                    }
                });
            }
        });
        match deed {
            Some((idx, deed)) => self.answer(idx, deed),
            None => asked,
        }
    }

    fn answer(&mut self, idx: usize, deed: Deed) -> Option<Action> {
        let one = self.report.duties.get(idx)?;
        let (duty, latest) = (one.duty.clone(), one.done.last().cloned());
        let desk = |write| Some(Action::write(Write::Desk(Box::new(write))));
        match deed {
            Deed::Done => self.draft = Some(Draft::Done(DoneDraft::new(one))),
            Deed::Change => self.draft = Some(Draft::Duty(DutyDraft::new(Some(&duty)))),
            Deed::Remove => return desk(DeskWrite::RemoveDuty(duty.id)),
            Deed::TakeBack => return desk(DeskWrite::TakeBackDuty(duty.id)),
            Deed::Prove => {
                self.draft = Some(Draft::Proof(ProofDraft::new(&duty.name, latest?.id)));
            }
            Deed::Show => {
                let done = latest?;
                let proof = done.proof?;
                self.wanted = Some((done.id, proof.hash, proof.name));
            }
        }
        None
    }

    fn tax_days_ui(&self, ui: &mut Ui) -> Option<Action> {
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, "Tax dates of the year ahead")
                .on_hover_text("From the calendar of the room Set aside");
            if self.report.tax_days.is_empty() {
                soft(ui, "The set-aside calendar has none in the year ahead.");
            }
            for day in &self.report.tax_days {
                let label = match day.label.as_str() {
                    "" => "Instalment",
                    label => label,
                };
                let due = &day.due;
                let (from, to) = (show_day(due.period.from), show_day(due.period.to));
                ui.label(format!(
                    "{}: {label}, for {from} to {to}",
                    show_day(due.due)
                ));
            }
            ui.add_space(space::SMALL);
            if link(ui, "What to keep back for them").clicked() {
                asked = Some(Action::Go(Room::SetAside));
            }
        });
        asked
    }
}

/// A duty in words, with what can be done.
fn duty_ui(ui: &mut Ui, one: &DutyReport, cx: &ViewContext<'_>) -> Option<Deed> {
    let duty = &one.duty;
    let ink = palette(ui).ink;
    ui.label(RichText::new(&duty.name).font(theme::bold()).color(ink));
    ui.label(standing(duty, one.nearness));
    let mut second = format!("{}, {}", duty.kind.plain(), duty.cycle_words());
    if duty.next_day.is_some() {
        second.push_str(&format!("; on Today from {} days before", duty.remind_days));
    }
    soft(ui, &second);
    if !duty.note.is_empty() {
        soft(ui, &duty.note);
    }
    for done in one.done.iter().rev().take(DONE_SHOWN) {
        soft(ui, &done_words(done, cx));
    }
    if one.done.len() > DONE_SHOWN {
        let rest = one.done.len() - DONE_SHOWN;
        soft(ui, &format!("and {rest} times before that"));
    }
    let latest = one.done.last();
    let has_proof = latest.is_some_and(|done| done.proof.is_some());
    let deeds = [
        ("It is done", duty.next_day.is_some(), Deed::Done),
        ("Change", true, Deed::Change),
        ("Take out", latest.is_none(), Deed::Remove),
        ("Show the proof", has_proof, Deed::Show),
        ("Add the proof", latest.is_some() && !has_proof, Deed::Prove),
        ("Not done after all", latest.is_some(), Deed::TakeBack),
    ];
    deeds_ui(ui, &duty.name, &deeds)
}

fn standing(duty: &Duty, nearness: Nearness) -> String {
    let day = duty.next_day.map(show_day).unwrap_or_default();
    let period = duty
        .period()
        .map(|period| format!(" for {}", period_words(period)))
        .unwrap_or_default();
    match nearness {
        Nearness::Passed => format!("Was due on {day}{period}"),
        Nearness::Near => format!("Due on {day}{period}, soon"),
        Nearness::Later => format!("Due on {day}{period}"),
        Nearness::Ended => "Nothing of it is due any more".to_owned(),
    }
}

fn done_words(done: &DutyDone, cx: &ViewContext<'_>) -> String {
    let mut words = format!("\u{2192} Done on {}", show_day(done.done_on));
    match done.period {
        Some(period) => words.push_str(&format!(" for {}", period_words(period))),
        None => words.push_str(&format!(" for {}", show_day(done.due))),
    }
    match done.amount {
        Some(amount) if amount.is_zero() => words.push_str(", nothing to pay"),
        Some(amount) => words.push_str(&format!(", {}", cx.show(amount))),
        None => {}
    }
    if let Some(proof) = &done.proof {
        words.push_str(&format!(", proof {}", proof.name));
    }
    if !done.note.is_empty() {
        words.push_str(&format!(". {}", done.note));
    }
    words
}

/// What the book says of a return's period.
fn tax_ui(ui: &mut Ui, tax: Option<&PeriodTax>, cx: &ViewContext<'_>) -> Option<Action> {
    let tax = tax?;
    let so_far = if tax.period.to >= cx.today {
        " so far"
    } else {
        ""
    };
    ui.add_space(space::SMALL);
    ui.label(format!(
        "In the books for {}{so_far}: taxable sales {}, tax taken from customers {}, other sales {}",
        period_words(tax.period),
        cx.show(tax.taxable),
        cx.show(tax.collected),
        cx.show(tax.other)
    ));
    if !tax.by_channels.is_zero() {
        let by_shops = cx.show(tax.by_channels);
        soft(
            ui,
            &format!("Shops took and pay over themselves: {by_shops}"),
        );
    }
    if tax.is_nil() {
        soft(
            ui,
            "Nothing taxable was sold. The return is due all the same: a nil return.",
        );
    }
    soft(ui, RETURN_CAUTION);
    let account = cx.chart.role(Role::SalesTax).ok()?;
    link(ui, "Where the tax comes from")
        .clicked()
        .then(|| money::open_account(account))
}
