//! Closing the business down: the walk over what still stands, each line with the form that clears it, and what is left
//! to do besides. What still stands is worked out in `closing_down`.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use egui::Ui;

use super::{catching_up, equipment, going_on};
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::navigation::Room;
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, caution, date_field, page_heading, primary_button, secondary_button,
    soft,
};
use crate::book::{Book, BookError};
use crate::closing_down::{CAUTION, ClosingLine, OTHER_STEPS, Way};
use crate::dates::show_day;
use crate::happenings::Recording;
use crate::ledger::{AccountId, Role};
use crate::matters::MatterKind;
use crate::reports::{self, ClosingReport};

/// Opens the walk.
#[must_use]
pub fn open_closing_down() -> Action {
    Action::Open(Box::new(ClosingDownScreen::default()))
}

/// The page.
#[derive(Default)]
pub struct ClosingDownScreen {
    day: String,
    read_day: Option<NaiveDate>,
    asked_day: Option<NaiveDate>,
    report: Option<ClosingReport>,
    last_entry: Option<Recording>,
    /// The kinds of which something goes on: it is ended there, and not by debits and credits.
    open: BTreeSet<MatterKind>,
}

impl Screen for ClosingDownScreen {
    fn title(&self) -> String {
        "Closing down".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        if self.day.is_empty() {
            let last = book.days_covered()?.map(|covered| covered.to);
            self.day = show_day(last.map_or(cx.today, |last| last.max(cx.today)));
        }
        let typed = crate::app::widgets::parse_day(&self.day, cx.today);
        let day = typed.or(self.read_day).unwrap_or(cx.today);
        self.read_day = Some(day);
        self.asked_day = Some(day);
        self.report = Some(reports::closing_down(book, day)?);
        self.last_entry = reports::owners_accounts_entry(book, day)?;
        let matters = book.matters()?.as_of(day);
        self.open = matters
            .iter()
            .filter(|matter| matter.is_open())
            .map(|matter| matter.kind)
            .collect();
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.asked_day != self.read_day
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let report = self.report.as_ref()?;
        page_heading(
            ui,
            "Closing the business down",
            "Everything that still stands, in the order in which it is best cleared. When nothing is left, the books are empty.",
        );
        caution(ui, CAUTION);
        ui.add_space(space::LARGE);
        let field = Field::new("What stands on").width(160.0);
        let (_, day) = date_field(ui, field, &mut self.day, cx.today);
        if day.is_some() {
            self.asked_day = day;
        }
        ui.add_space(space::MEDIUM);
        let mut asked = None;
        card(ui, |ui| {
            let walk = &report.walk;
            card_heading(ui, "Still to clear");
            if walk.is_empty() {
                ui.label("Nothing stands any more: the balance sheet is empty.");
                return;
            }
            soft(
                ui,
                &format!(
                    "The business has {} and owes {}.",
                    cx.show(walk.has),
                    cx.show(walk.owes)
                ),
            );
            for (idx, line) in walk.lines.iter().enumerate() {
                ui.push_id(idx, |ui| {
                    if line_ui(ui, line, idx == 0, self.last_entry.is_some(), cx) {
                        asked = Some(clear(line, self.last_entry.as_ref(), &self.open, cx));
                    }
                });
            }
        });
        ui.add_space(space::LARGE);
        card(ui, |ui| besides_ui(ui, report));
        asked
    }
}

/// A line with its button; answers whether it was pressed.
fn line_ui(
    ui: &mut Ui,
    line: &ClosingLine,
    is_first: bool,
    can_settle: bool,
    cx: &ViewContext<'_>,
) -> bool {
    ui.add_space(space::MEDIUM);
    ui.label(format!("{}: {}", line.what, cx.statement(line.amount)));
    soft(ui, &line.says);
    if line.way == Way::OwnersAccounts && !can_settle {
        return false;
    }
    let words = line.way.plain();
    let button = if is_first {
        primary_button(ui, words, "")
    } else {
        secondary_button(ui, words, "")
    };
    // A screen reader hears what a button that stands several times is about.
    let name = format!("{words}: {}", line.what);
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    button.clicked()
}

/// The form or page that clears a line.
fn clear(
    line: &ClosingLine,
    last_entry: Option<&Recording>,
    open: &BTreeSet<MatterKind>,
    cx: &ViewContext<'_>,
) -> Action {
    let role = |role| cx.chart.role(role).ok();
    let bank = role(Role::BusinessBank);
    let amount = line.amount.abs();
    // The account that is cleared and the bank, or the bank alone where the form knows the other side.
    let form = |form: Form| {
        let mut wish = FormWish::new(form);
        (wish.account, wish.other) = match form {
            Form::OwnerIn | Form::OwnerOut | Form::OwnerPaysBack | Form::OwnerRepaid => {
                (bank, None)
            }
            Form::Transfer => (bank, line.account),
            _ => (line.account, bank),
        };
        wish.amount = Some(amount);
        Action::Start(wish)
    };
    // The account that is cleared against another one, on the side that brings it to nothing.
    let against = |other: Option<AccountId>| {
        let mut wish = FormWish::new(Form::Manual);
        let sides = (line.account, other);
        (wish.account, wish.other) = if line.amount.is_positive() {
            (sides.1, sides.0)
        } else {
            sides
        };
        wish.amount = Some(amount);
        Action::Start(wish)
    };
    let goes_on = |kinds: &[MatterKind]| kinds.iter().any(|kind| open.contains(kind));
    let is_loan = line.account.is_some() && line.account == role(Role::Loans);
    match line.way {
        Way::Sort => catching_up::open_catching_up(),
        Way::Explain => catching_up::open_not_explained(),
        Way::TakeHome => Action::Start(FormWish::of_item(Form::StockOut, line.thing.clone())),
        Way::TakeHomeRest | Way::LetGoRest => against(role(Role::OwnerDrawings)),
        Way::LetGo => equipment::open_piece(line.thing.clone()),
        Way::Payout => form(Form::Payout),
        Way::PayShop => form(Form::ChannelPaid),
        Way::OwnerPaysBack => form(Form::OwnerPaysBack),
        Way::PayOff => form(Form::Settlement),
        Way::OwnerRepaid => form(Form::OwnerRepaid),
        Way::Collect if goes_on(&[MatterKind::Invoice, MatterKind::Dispute]) => going_on::open(),
        Way::PayBack if goes_on(&[MatterKind::Deposit, MatterKind::Voucher]) => going_on::open(),
        Way::WriteDown if is_loan && goes_on(&[MatterKind::Loan]) => going_on::open(),
        Way::Collect | Way::EndPaidAhead | Way::PayBack | Way::WriteDown => against(bank),
        Way::CarriedForward => against(role(Role::OtherCosts)),
        Way::IntoBank => form(Form::Transfer),
        Way::CoverBank => form(Form::OwnerIn),
        Way::FinalDrawing => form(Form::OwnerOut),
        Way::CloseYear => Action::Go(Room::YearEnd),
        Way::OwnersAccounts => last_entry.map_or(Action::Go(Room::Ledger), |recording| {
            Action::write(Write::Record {
                recordings: vec![recording.clone()],
                receipts: Vec::new(),
                done: "Your accounts are set against each other: the balance sheet is empty"
                    .to_owned(),
            })
        }),
    }
}

/// What is left to do that no balance tells.
fn besides_ui(ui: &mut Ui, report: &ClosingReport) {
    card_heading(ui, "Besides the books");
    let pairs = |list: &[(String, String)]| -> String {
        let names: Vec<String> = list
            .iter()
            .map(|(name, with)| format!("{name}, {with}"))
            .collect();
        names.join("; ")
    };
    let known = [
        ("Comes round again, to be ended", pairs(&report.recurring)),
        (
            "Paid for permits, yearly fees and insurance in two years",
            report.permits.join("; "),
        ),
        ("Orders still open", pairs(&report.orders)),
        ("Shops in the books", report.shops.join("; ")),
    ];
    for (what, list) in known {
        if !list.is_empty() {
            ui.label(format!("{what}: {list}."));
        }
    }
    for (what, says) in OTHER_STEPS {
        ui.add_space(space::SMALL);
        ui.label(what);
        soft(ui, says);
    }
}
