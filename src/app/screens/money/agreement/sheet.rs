//! A finished sheet as on paper: the balance by the statement, what was outstanding, the balance by the books.
//! What changed since is said beneath; taking it back wants a reason.

use egui::Ui;

use crate::app::action::{Action, ReconcilingWrite, Write};
use crate::app::forms::parts;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::screens::entry;
use crate::app::screens::explain::what_was_it;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, link, page_heading, primary_button_enabled, problem, quiet_button,
    soft, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::ledger::{Account, EntryNumber};
use crate::reports::{self, SheetReport, as_on_statement};

/// Opens a finished sheet.
#[must_use]
pub fn open_sheet(id: i64) -> Action {
    Action::Open(Box::new(SheetScreen::new(id)))
}

/// A finished sheet.
pub struct SheetScreen {
    id: i64,
    shown: Option<(SheetReport, Account)>,
    reason: Option<String>,
    refused: Option<String>,
    is_taken_back: bool,
}

impl SheetScreen {
    /// The sheet of this number.
    #[must_use]
    pub const fn new(id: i64) -> Self {
        Self {
            id,
            shown: None,
            reason: None,
            refused: None,
            is_taken_back: false,
        }
    }
}

impl Screen for SheetScreen {
    fn title(&self) -> String {
        self.shown.as_ref().map_or_else(
            || "Sheet".to_owned(),
            |(report, _account)| format!("{}, {}", report.name, show_day(report.sheet.day)),
        )
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.shown = match reports::sheet(book, self.id) {
            Ok(report) => {
                let account = book.chart().account(report.sheet.account)?.clone();
                Some((report, account))
            }
            // Taken back a moment ago, or by undoing.
            Err(reports::ReportError::Book(BookError::NoSuch { .. })) => None,
            Err(error) => return Err(error.into()),
        };
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let Some((report, account)) = &self.shown else {
            ui.label("This sheet is no longer kept.");
            return None;
        };
        page_heading(
            ui,
            &format!("{} agrees with its statement", report.name),
            &format!(
                "Up to {} (bank reconciliation statement). It is kept as it was finished.",
                show_day(report.sheet.day)
            ),
        );
        let mut asked = None;
        card(ui, |ui| {
            if let Some(number) = paper_ui(ui, report, account, cx) {
                asked = Some(entry::open(number));
            }
            if !report.sheet.note.is_empty() {
                soft(ui, &report.sheet.note);
            }
            if let Some(at) = &report.sheet.finished_at {
                soft(ui, &format!("Finished {}", entry::moment(at)));
            }
        });
        if !report.broken.is_empty() {
            ui.add_space(space::LARGE);
            card(ui, |ui| {
                card_heading(ui, "Something changed since");
                soft(
                    ui,
                    "The sheet is as it was; the books moved on. If the change is right, take the sheet back and tick anew.",
                );
                for broken in &report.broken {
                    parts::hint(ui, &broken.sentence(cx.currency));
                    let number = broken.was.entry;
                    if link(ui, &format!("Open entry {number}")).clicked() {
                        asked = Some(entry::open(number));
                    }
                }
            });
        }
        ui.add_space(space::LARGE);
        asked.or(self.take_back_ui(ui))
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_taken_back) {
            After::Close
        } else {
            After::Stay
        }
    }

    fn refused(&mut self, message: &str) {
        self.is_taken_back = false;
        self.refused = Some(message.to_owned());
    }
}

impl SheetScreen {
    fn take_back_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let Some(reason) = &mut self.reason else {
            if quiet_button(ui, "Take it back\u{2026}").clicked() {
                self.reason = Some(String::new());
            }
            return None;
        };
        let mut asked = None;
        let mut is_left = false;
        card(ui, |ui| {
            let field = Field::new("Why is it taken back?").hint("kept in the history");
            text_field(ui, field, reason);
            ui.add_space(space::SMALL);
            ui.horizontal_wrapped(|ui| {
                let is_said = !reason.trim().is_empty();
                if primary_button_enabled(ui, is_said, "Take the sheet back", "").clicked() {
                    asked = Some(ReconcilingWrite::TakeBack {
                        id: self.id,
                        reason: reason.trim().to_owned(),
                    });
                }
                is_left = quiet_button(ui, "Not now").clicked();
            });
            if let Some(words) = &self.refused {
                problem(ui, words);
            }
        });
        if is_left {
            self.reason = None;
        }
        let write = asked?;
        self.is_taken_back = true;
        self.refused = None;
        Some(Action::write(Write::Reconciling(write)))
    }
}

/// The sheet itself. Answers the entry that was opened.
fn paper_ui(
    ui: &mut Ui,
    report: &SheetReport,
    account: &Account,
    cx: &ViewContext<'_>,
) -> Option<EntryNumber> {
    let show = |amount| cx.statement(as_on_statement(account, amount));
    let sheet = &report.sheet;
    let agreement = &report.agreement;
    let columns = [
        Column::narrow("Day", 92.0),
        Column::words("", 1.0),
        Column::figures("Amount", 110.0),
    ];
    let mut entries: Vec<Option<EntryNumber>> = Vec::new();
    let mut rows = Vec::new();
    let mut add = |row: Row, entry: Option<EntryNumber>| {
        rows.push(row);
        entries.push(entry);
    };
    let sum =
        |words: &str, shown: String| vec![Cell::default(), Cell::text(words), Cell::text(shown)];
    add(
        Row::line(sum("Balance by the statement", show(sheet.balance))),
        None,
    );
    for one in &report.movements {
        let is_outstanding = sheet.outstanding.iter().any(|left| left.entry == one.entry);
        if is_outstanding {
            let what = what_was_it(&one.party, &one.memo, one.kind.plain());
            let cells = vec![
                Cell::soft(show_day(one.date)),
                Cell::opens(format!("{what}, entry {}", one.entry)),
                Cell::text(show(one.amount)),
            ];
            add(Row::line(cells), Some(one.entry));
        }
    }
    let words = if sheet.outstanding.is_empty() {
        "Nothing was outstanding"
    } else {
        "Outstanding: in the books, not yet at the bank"
    };
    add(Row::total(sum(words, show(agreement.outstanding))), None);
    add(
        Row::last(sum("Balance by the books", show(agreement.book))),
        None,
    );
    let (row, _column) = paper_table(ui, "bank reconciliation statement", &columns, &rows)?;
    entries.get(row).copied().flatten()
}
