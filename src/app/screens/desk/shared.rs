//! Bills and things used privately too: the business's share of each, what it rests on, and from which day it holds.
//! What a share refuses, and which one holds on a day, is `shared_bills`'.

use chrono::NaiveDate;
use egui::Ui;

use super::draft::{
    Form, Pressed, Tried, Wrong, day_of, deeds_ui, desk, leave_when_written, may_day_of, room_for,
    say_refused,
};
use crate::app::action::{Action, DeskWrite};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, caution, date_field, secondary_button, soft, suggest_field,
    text_field,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::shared_bills::{SHARED_BILL_CAUTION, SharedBill, SharedBillError, until};

#[derive(Clone, Copy)]
enum Deed {
    Renew,
    Change,
    Remove,
}

const DEEDS: [(&str, bool, Deed); 3] = [
    ("A new share", true, Deed::Renew),
    ("Change", true, Deed::Change),
    ("Take out", true, Deed::Remove),
];

/// A share while it is typed.
#[derive(Default)]
struct Draft {
    id: i64,
    what: String,
    party: String,
    share: String,
    basis: String,
    sampled_from: String,
    sampled_to: String,
    since: String,
    note: String,
    take_focus: bool,
    tried: Tried,
}

impl Form for Draft {
    fn tried(&mut self) -> &mut Tried {
        &mut self.tried
    }
}

/// The page of bills used privately too.
#[derive(Default)]
pub(super) struct SharedPage {
    bills: Vec<SharedBill>,
    parties: Vec<String>,
    draft: Option<Draft>,
}

impl SharedPage {
    pub(super) fn refresh(&mut self, book: &Book) -> Result<(), BookError> {
        self.bills = book.shared_bills()?;
        let parties = book.suppliers()?.into_iter();
        self.parties = parties.map(|supplier| supplier.name).collect();
        Ok(())
    }

    pub(super) fn written(&mut self) {
        leave_when_written(&mut self.draft);
    }

    pub(super) fn refused(&mut self, message: &str) {
        say_refused(&mut self.draft, message);
    }

    pub(super) fn has_draft(&self) -> bool {
        let draft = self.draft.as_ref();
        draft.is_some_and(|draft| draft.id == 0 && !draft.basis.trim().is_empty())
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        if self.draft.is_some() {
            asked = card(ui, |ui| self.draft_ui(ui, cx));
            ui.add_space(space::LARGE);
        }
        asked = asked.or(card(ui, |ui| self.list_ui(ui, cx)));
        ui.add_space(space::LARGE);
        caution(ui, SHARED_BILL_CAUTION);
        asked
    }

    fn draft_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let draft = self.draft.as_mut()?;
        let made = draft.made(cx.today);
        match draft.ui(ui, made.as_ref().err(), &self.parties, cx.today)? {
            Pressed::Keep => made.ok().map(|bill| desk(DeskWrite::KeepSharedBill(bill))),
            Pressed::Leave => {
                self.draft = None;
                None
            }
        }
    }

    fn list_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "Bills used privately too")
            .on_hover_text("Mixed use: the business share of each bill");
        if self.bills.is_empty() {
            soft(
                ui,
                "Phone, internet, a printer at home: write down what part is the business\u{2019}s, what that rests on, and from \
                 which day it holds. It is offered when you write down a bill, and your accountant reads it beside the entries.",
            );
        }
        let mut pressed = None;
        for bill in &self.bills {
            ui.push_id(("share", bill.id), |ui| {
                let words = words(bill);
                ui.label(&words);
                soft(ui, &rests_on(bill));
                if let Some(state) = state(&self.bills, bill, cx.today) {
                    soft(ui, &state);
                }
                if let Some(deed) = deeds_ui(ui, &words, &DEEDS) {
                    pressed = Some((bill.clone(), deed));
                }
            });
        }
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Another bill\u{2026}", "").clicked() {
            self.draft = Some(Draft {
                since: show_day(cx.today),
                take_focus: true,
                ..Draft::default()
            });
        }
        match pressed? {
            (bill, Deed::Change) => {
                self.draft = Some(Draft::of(&bill));
                None
            }
            (bill, Deed::Renew) => {
                self.draft = Some(Draft {
                    what: bill.what,
                    party: bill.party,
                    since: show_day(cx.today),
                    take_focus: true,
                    ..Draft::default()
                });
                None
            }
            (bill, Deed::Remove) => Some(desk(DeskWrite::RemoveSharedBill(bill.id))),
        }
    }
}

fn words(bill: &SharedBill) -> String {
    let party = match bill.party.as_str() {
        "" => String::new(),
        party => format!(", {party}"),
    };
    format!(
        "{}{party}: {} % for the business from {}",
        bill.what,
        bill.share,
        show_day(bill.since)
    )
}

fn rests_on(bill: &SharedBill) -> String {
    let mut words = bill.basis.clone();
    if let Some(days) = bill.sampled {
        let (from, to) = (show_day(days.from), show_day(days.to));
        words.push_str(&format!(" (looked at {from} to {to})"));
    }
    if !bill.note.is_empty() {
        words.push_str(&format!("; {}", bill.note));
    }
    words
}

/// Whether it holds on a day, where it does not simply.
fn state(bills: &[SharedBill], bill: &SharedBill, today: NaiveDate) -> Option<String> {
    match until(bills, bill) {
        Some(last) => Some(format!("until {}", show_day(last))),
        None if bill.since > today => Some("not yet".to_owned()),
        None => None,
    }
}

fn refused(error: SharedBillError) -> Wrong {
    Wrong::new(error.field(), error.to_string())
}

impl Draft {
    fn of(bill: &SharedBill) -> Self {
        let day = |day: Option<NaiveDate>| day.map(show_day).unwrap_or_default();
        Self {
            id: bill.id,
            what: bill.what.clone(),
            party: bill.party.clone(),
            share: bill.share.to_string(),
            basis: bill.basis.clone(),
            sampled_from: day(bill.sampled.map(|days| days.from)),
            sampled_to: day(bill.sampled.map(|days| days.to)),
            since: show_day(bill.since),
            note: bill.note.clone(),
            take_focus: true,
            tried: Tried::default(),
        }
    }

    fn made(&self, today: NaiveDate) -> Result<SharedBill, Wrong> {
        let share = match self.share.trim() {
            "" => Err(Wrong::new(
                "business_share",
                "say what part is the business\u{2019}s",
            )),
            text => text
                .parse()
                .map_err(|_error| Wrong::new("business_share", "write a number from 0 to 100")),
        };
        let from = may_day_of(&self.sampled_from, "sampled_from", today)?;
        let to = may_day_of(&self.sampled_to, "sampled_to", today)?;
        let bill = SharedBill {
            id: self.id,
            what: self.what.trim().to_owned(),
            party: self.party.trim().to_owned(),
            share: share?,
            basis: self.basis.trim().to_owned(),
            sampled: SharedBill::sample(from, to).map_err(refused)?,
            since: day_of(&self.since, "since", today)?,
            note: self.note.trim().to_owned(),
        };
        bill.check().map_err(refused)?;
        Ok(bill)
    }

    fn ui(
        &mut self,
        ui: &mut Ui,
        wrong: Option<&Wrong>,
        parties: &[String],
        today: NaiveDate,
    ) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        card_heading(ui, "A bill used privately too");
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("What the bill is for")
                .width(room_for(ui, 220.0))
                .hint("mobile phone")
                .take_focus(std::mem::take(&mut self.take_focus))
                .problem(beside("what"));
            text_field(ui, field, &mut self.what);
            let field = Field::new("Who bills it")
                .width(room_for(ui, 220.0))
                .hint("may stay empty");
            suggest_field(ui, field, &mut self.party, parties);
            let mut field = Field::new("For the business, per cent")
                .width(room_for(ui, 180.0))
                .hint("40")
                .problem(beside("business_share"));
            field.right = true;
            text_field(ui, field, &mut self.share);
        });
        let field = Field::new("What the share rests on")
            .hint("two weeks of calls, 41 of 102 for the business")
            .problem(beside("basis"));
        text_field(ui, field, &mut self.basis);
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Looked at from")
                .width(room_for(ui, 126.0))
                .hint("no sample")
                .problem(beside("sampled_from"));
            text_field(ui, field, &mut self.sampled_from);
            let field = Field::new("Looked at to")
                .width(room_for(ui, 126.0))
                .hint("no sample")
                .problem(beside("sampled_to"));
            text_field(ui, field, &mut self.sampled_to);
            let field = Field::new("It holds from")
                .width(room_for(ui, 126.0))
                .problem(beside("since"));
            date_field(ui, field, &mut self.since, today);
        });
        text_field(ui, Field::new("A note"), &mut self.note);
        self.tried.buttons(ui, "Keep the share", wrong)
    }
}
