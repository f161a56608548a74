//! Adjusting entries of a year: what is proposed with a way to post each, forms for what only the owner knows, and what is
//! posted with what is taken back. What a year needs is worked out in `reports`.

mod rows;

use egui::Ui;

use self::rows::{Rows, Shown};
use super::{desk, entry};
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    card, card_heading, caution, page_heading, primary_button, quiet_button, secondary_button, soft,
};
use crate::book::{Book, BookError};
use crate::dates::{DateRange, YearStart, show_day};
use crate::happenings::Recording;
use crate::ledger::Role;
use crate::mileage::MILEAGE_CAUTION;
use crate::reports::{self, ADJUSTING_CAUTION, AdjustingReport, Proposal, Proposed};
use crate::workspace::WORKSPACE_CAUTION;

/// Opens the adjusting entries of the financial year that ends in a calendar year.
#[must_use]
pub fn open(year: i32) -> Action {
    Action::Open(Box::new(AdjustingScreen::of(Some(year))))
}

/// Opens those of the year that was over last, or of this one where the book began in it.
#[must_use]
pub fn open_adjusting() -> Action {
    Action::Open(Box::new(AdjustingScreen::of(None)))
}

/// The page.
pub struct AdjustingScreen {
    year: Option<i32>,
    report: Option<AdjustingReport>,
    rows: Rows,
    /// The first year of the book.
    first: i32,
    /// When financial years begin, once the book was read.
    years: YearStart,
}

impl AdjustingScreen {
    fn of(year: Option<i32>) -> Self {
        Self {
            year,
            first: i32::MIN,
            report: None,
            rows: Rows::default(),
            years: YearStart::default(),
        }
    }
}

/// What only the owner knows, with its form.
const FORMS: [(&str, Form); 5] = [
    ("Owed at the year\u{2019}s end\u{2026}", Form::AdjustingOwed),
    (
        "Paid ahead at the year\u{2019}s end\u{2026}",
        Form::AdjustingAhead,
    ),
    ("Earned, not yet billed\u{2026}", Form::AdjustingEarned),
    ("Used up\u{2026}", Form::AdjustingUsed),
    ("A bad debt\u{2026}", Form::InvoiceLetGo),
];

impl Screen for AdjustingScreen {
    fn title(&self) -> String {
        "Adjusting entries".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let this = cx.year_start().year_of(cx.today);
        let first = cx.year_start().year_of(book.first_day());
        let year = self.year.unwrap_or((this - 1).max(first));
        self.year = Some(year);
        self.first = first;
        self.years = cx.year_start();
        let report = reports::adjusting(book, year)?;
        self.rows.take_in(&report);
        self.report = Some(report);
        Ok(())
    }

    fn own_period(&self) -> Option<DateRange> {
        self.report.as_ref().map(|report| report.range)
    }

    fn period_chosen(&mut self, range: DateRange) {
        self.year = Some(self.years.year_of(range.to));
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let report = self.report.as_ref()?;
        let range = report.range;
        page_heading(
            ui,
            "Adjusting entries of the year",
            &format!(
                "{} to {}: what counts in the year although no money moved.",
                show_day(range.from),
                show_day(range.to)
            ),
        );
        let mut asked = None;
        let mut go = 0;
        ui.horizontal_wrapped(|ui| {
            // No further than there are books.
            let this = cx.year_start().year_of(cx.today);
            let step = |ui: &mut Ui, is_there: bool, words: &str| {
                let button = ui.add_enabled_ui(is_there, |ui| quiet_button(ui, words));
                button.inner.clicked()
            };
            if step(ui, report.ending > self.first, "The year before") {
                go = -1;
            }
            if step(ui, report.ending < this, "The year after") {
                go = 1;
            }
        });
        ui.add_space(space::MEDIUM);
        let rows = &mut self.rows;
        card(ui, |ui| asked = proposed_ui(ui, report, rows, cx));
        ui.add_space(space::LARGE);
        if !report.is_locked {
            card(ui, |ui| {
                card_heading(ui, "What only you know")
                    .on_hover_text("Accrued and prepaid expenses, accrued revenue, bad debts");
                soft(
                    ui,
                    "Each has a form of its own; what is taken back is written down with it, on the first day of the next year.",
                );
                ui.horizontal_wrapped(|ui| {
                    for (words, form) in FORMS {
                        if secondary_button(ui, words, "").clicked() {
                            asked = Some(Action::Start(FormWish::new(form)));
                        }
                    }
                });
            });
            ui.add_space(space::LARGE);
        }
        card(ui, |ui| asked = asked.take().or(posted_ui(ui, report, cx)));
        ui.add_space(space::LARGE);
        caution(ui, ADJUSTING_CAUTION);
        if go != 0 {
            self.year = Some(report.ending + go);
        }
        asked
    }

    fn refused(&mut self, _message: &str) {
        self.rows.asked.clear();
    }

    fn is_stale(&self) -> bool {
        let read = self.report.as_ref().map(|report| report.ending);
        read.is_some() && read != self.year
    }
}

fn post(recordings: Vec<Recording>, what: &str) -> Action {
    Action::write(Write::Record {
        recordings,
        receipts: Vec::new(),
        done: format!("Written down: {what}"),
    })
}

fn proposed_ui(
    ui: &mut Ui,
    report: &AdjustingReport,
    rows: &mut Rows,
    cx: &ViewContext<'_>,
) -> Option<Action> {
    card_heading(ui, "Proposed");
    if report.is_locked {
        soft(ui, "The year is locked: nothing more is proposed.");
        return None;
    }
    if rows.list.is_empty() {
        soft(ui, "Nothing is left to propose.");
        return None;
    }
    if report.range.to > cx.today {
        soft(
            ui,
            "The year is not over: what is posted now is made up by more later, never twice.",
        );
    }
    let mut asked = None;
    for (idx, row) in rows.list.iter().enumerate() {
        if idx > 0 {
            crate::app::forms::parts::rule(ui);
        }
        ui.push_id(row.proposal.what.as_str(), |ui| {
            asked = asked.take().or(proposal_ui(ui, row, cx));
        });
    }
    if rows.n_postable() > 1 {
        ui.add_space(space::MEDIUM);
        if rows.n_posted() == rows.n_postable() {
            ui.add_enabled_ui(false, |ui| {
                secondary_button(ui, "All of them are posted", "")
            });
        } else {
            let words = if rows.n_posted() == 0 {
                "Post all of them"
            } else {
                "Post the others"
            };
            if primary_button(ui, words, "").clicked() {
                asked = Some(Pressed::Post(rows.left()));
            }
        }
    }
    if rows.list.iter().all(|row| row.is_posted) {
        soft(ui, "Nothing is left to propose.");
    }
    match asked? {
        Pressed::Post(these) => {
            let what = match these.as_slice() {
                [one] => one.what.plain(),
                _ => "the adjusting entries",
            };
            rows.asked.extend(these.iter().map(|one| one.what));
            Some(post(
                these.into_iter().flat_map(|one| one.recordings).collect(),
                what,
            ))
        }
        Pressed::Other(action) => Some(action),
    }
}

/// What was pressed beside a proposal.
enum Pressed {
    Post(Vec<Proposal>),
    Other(Action),
}

/// A proposal; once it is posted it keeps its place and its height, so that no other button comes under the pointer.
fn proposal_ui(ui: &mut Ui, row: &Shown, cx: &ViewContext<'_>) -> Option<Pressed> {
    let one = &row.proposal;
    let what = one.what.plain();
    let amount = one.amount.map(|amount| format!(": {}", cx.show(amount)));
    ui.label(format!("{what}{}", amount.unwrap_or_default()));
    soft(ui, &one.says);
    if row.is_posted {
        soft(ui, "It is in the year's books; it can be undone.");
    } else if !one.recordings.is_empty() {
        soft(
            ui,
            "Posting it writes it into the year's books; it can be undone.",
        );
    }
    match one.what {
        Proposed::Mileage => drop(soft(ui, MILEAGE_CAUTION)),
        Proposed::Workspace => drop(soft(ui, WORKSPACE_CAUTION)),
        _ => {}
    }
    let mut asked = None;
    ui.horizontal_wrapped(|ui| {
        let named = |response: egui::Response, words: &str| {
            // A screen reader hears what a button that stands several times is about.
            let name = format!("{words}: {what}");
            let is_enabled = response.enabled();
            response
                .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, is_enabled, &name));
            response.clicked()
        };
        if row.is_posted {
            let posted = ui.add_enabled_ui(false, |ui| secondary_button(ui, "Posted", ""));
            named(posted.inner, "Posted");
        } else if !one.recordings.is_empty() && named(secondary_button(ui, "Post", ""), "Post") {
            asked = Some(Pressed::Post(vec![one.clone()]));
        }
        let Some((words, action)) = beside(one.what, cx) else {
            return;
        };
        if named(quiet_button(ui, words), words) {
            asked = Some(Pressed::Other(action));
        }
    });
    asked
}

/// What else can be done about a proposal.
fn beside(what: Proposed, cx: &ViewContext<'_>) -> Option<(&'static str, Action)> {
    let account = |role| {
        let id = cx.chart.role(role).ok()?;
        super::account(id).map(Action::Open)
    };
    match what {
        Proposed::Mileage => Some(("Show", desk::open_driving())),
        Proposed::Workspace => Some(("Show", desk::open_workspace())),
        Proposed::Count => Some(("Count", Action::Start(FormWish::new(Form::Count)))),
        Proposed::StartUp => Some(("Show", account(Role::StartUpCosts)?)),
        Proposed::PrivateShare => Some(("Show", account(Role::Phone)?)),
        Proposed::SalesTax => Some(("Show", account(Role::SalesTax)?)),
        Proposed::Wear | Proposed::PaidAhead => None,
    }
}

fn posted_ui(ui: &mut Ui, report: &AdjustingReport, cx: &ViewContext<'_>) -> Option<Action> {
    card_heading(ui, "Posted");
    if report.posted.is_empty() {
        soft(ui, "None of this year is posted yet.");
        return None;
    }
    let columns = [
        Column::narrow("Entry", 60.0),
        Column::words("What", 1.6),
        Column::words("Taken back", 1.0),
        Column::figures("Amount", 100.0),
    ];
    let rows: Vec<Row> = report
        .posted
        .iter()
        .map(|one| {
            let memo = match one.memo.as_str() {
                "" => one.kind.plain(),
                memo => memo,
            };
            let back = one
                .taken_back
                .map(|(number, day)| format!("{} by entry {number}", show_day(day)));
            Row::line(vec![
                Cell::opens(one.number.to_string()),
                Cell::text(format!("{}, {memo}", show_day(one.date))),
                Cell::soft(back.unwrap_or_default()),
                Cell::text(cx.show(one.amount)),
            ])
        })
        .collect();
    let (row, _column) = paper_table(ui, "adjusting-posted", &columns, &rows)?;
    report.posted.get(row).map(|one| entry::open(one.number))
}
