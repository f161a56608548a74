//! An account against its statement: the day and balance it shows, what is ticked, what is missing; and the finished
//! sheets. `list` draws what is ticked, `view` the figures and hints, `sheet` a finished one as on paper.

mod list;
mod sheet;
mod view;

use std::collections::HashSet;

use chrono::NaiveDate;
use egui::{Key, Modifiers, Ui};

use self::list::TickList;
pub use self::sheet::{SheetScreen, open_sheet};
use self::view::{BeginDraft, Pressed};
use crate::app::action::{Action, ReconcilingWrite, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::screens::entry;
use crate::app::theme::space;
use crate::app::widgets::{page_heading, take_up};
use crate::book::{Book, BookError};
use crate::ledger::{Account, AccountId, EntryNumber};
use crate::money::Money;
use crate::reconciling::{Reconciliation, Ticked};
use crate::reports::{self, SheetReport};
use crate::sorting::LineId;

/// Opens an account against its statement.
#[must_use]
pub fn open_agreement(account: AccountId) -> Action {
    Action::Open(Box::new(AgreementScreen::new(account)))
}

/// An account against its statement.
pub struct AgreementScreen {
    account: AccountId,
    of: Option<Account>,
    /// The finished sheets, the newest first, and whether each still holds.
    finished: Vec<(Reconciliation, bool)>,
    last_statement: Option<(NaiveDate, Money)>,
    report: Option<SheetReport>,
    /// Which movements a statement line confirms.
    by_line: HashSet<EntryNumber>,
    ticked: HashSet<EntryNumber>,
    list: TickList,
    begin: Option<BeginDraft>,
    note: String,
    refused: Option<String>,
    is_ticking: bool,
    is_beginning: bool,
    is_begun: bool,
}

impl AgreementScreen {
    /// The page of this account.
    #[must_use]
    pub fn new(account: AccountId) -> Self {
        Self {
            account,
            of: None,
            finished: Vec::new(),
            last_statement: None,
            report: None,
            by_line: HashSet::new(),
            ticked: HashSet::new(),
            list: TickList::default(),
            begin: None,
            note: String::new(),
            refused: None,
            is_ticking: false,
            is_beginning: false,
            is_begun: false,
        }
    }

    /// After a tick only the ticks are read again: what there is to tick did not change.
    fn read_ticks(&mut self, book: &Book) -> Result<bool, BookError> {
        let Some(report) = &mut self.report else {
            return Ok(false);
        };
        let sheet = book.reconciliation(report.sheet.id)?;
        if sheet.day != report.sheet.day || sheet.finished_at.is_some() {
            return Ok(false);
        }
        report.sheet = sheet;
        report.agreement = report.sheet.agreement(&report.movements);
        report.hints = crate::reconciling::hints(
            &report.sheet,
            &report.movements,
            report.agreement.difference,
        );
        self.ticked = entries(&report.sheet.ticked);
        Ok(true)
    }

    fn tick(&mut self, entry: EntryNumber) -> Option<Action> {
        let id = self.report.as_ref()?.sheet.id;
        let is_ticked = !self.ticked.contains(&entry);
        self.reconciling(ReconcilingWrite::Tick {
            id,
            entries: vec![entry],
            is_ticked,
        })
    }

    fn tick_all(&mut self, is_ticked: bool) -> Option<Action> {
        let report = self.report.as_ref()?;
        let entries: Vec<EntryNumber> = report
            .movements
            .iter()
            .map(|one| one.entry)
            .filter(|entry| self.ticked.contains(entry) != is_ticked)
            .collect();
        let id = report.sheet.id;
        if entries.is_empty() {
            return None;
        }
        self.reconciling(ReconcilingWrite::Tick {
            id,
            entries,
            is_ticked,
        })
    }

    fn reconciling(&mut self, write: ReconcilingWrite) -> Option<Action> {
        self.refused = None;
        self.is_ticking = matches!(write, ReconcilingWrite::Tick { .. });
        self.is_beginning = matches!(write, ReconcilingWrite::Begin { .. });
        Some(Action::write(Write::Reconciling(write)))
    }

    fn answer(&mut self, pressed: Pressed) -> Option<Action> {
        match pressed {
            Pressed::Begin(day, balance) => self.reconciling(ReconcilingWrite::Begin {
                account: self.account,
                day,
                balance,
            }),
            Pressed::Change => {
                let report = self.report.as_ref()?;
                let shown = reports::as_on_statement(self.of.as_ref()?, report.sheet.balance);
                self.begin = Some(BeginDraft::changing(report.sheet.day, shown));
                None
            }
            Pressed::NotNow => {
                self.begin = None;
                None
            }
            Pressed::TickAll(is_ticked) => self.tick_all(is_ticked),
            Pressed::Finish => {
                let id = self.report.as_ref()?.sheet.id;
                let note = self.note.trim().to_owned();
                self.reconciling(ReconcilingWrite::Finish { id, note })
            }
            Pressed::Drop => {
                let id = self.report.as_ref()?.sheet.id;
                self.reconciling(ReconcilingWrite::TakeBack {
                    id,
                    reason: String::new(),
                })
            }
            Pressed::Entry(number) => Some(entry::open(number)),
            Pressed::Sheet(id) => Some(open_sheet(id)),
        }
    }

    /// Up and down choose a movement, the space bar ticks it.
    fn keys(&mut self, ui: &Ui) -> Option<EntryNumber> {
        let ctx = ui.ctx();
        let is_busy = ctx.memory(|memory| memory.focused().is_some())
            || ctx.memory(|memory| memory.top_modal_layer().is_some())
            || egui::Popup::is_any_open(ctx);
        if is_busy {
            return None;
        }
        let pressed = |key| ctx.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        if pressed(Key::ArrowDown) {
            self.list.step(true);
        }
        if pressed(Key::ArrowUp) {
            self.list.step(false);
        }
        pressed(Key::Space).then(|| self.list.current()).flatten()
    }
}

fn entries(ticked: &[Ticked]) -> HashSet<EntryNumber> {
    ticked.iter().map(|one| one.entry).collect()
}

impl Screen for AgreementScreen {
    fn title(&self) -> String {
        self.of.as_ref().map_or_else(
            || "Against the statement".to_owned(),
            |account| format!("{} against its statement", account.name),
        )
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        if std::mem::take(&mut self.is_ticking) && self.read_ticks(book)? {
            return Ok(());
        }
        self.of = Some(book.chart().account(self.account)?.clone());
        let broken: Vec<i64> = book
            .broken_reconciliations()?
            .into_iter()
            .map(|(sheet, _broken)| sheet.id)
            .collect();
        self.finished = book
            .reconciliations()?
            .into_iter()
            .rev()
            .filter(|one| one.account == self.account && one.finished_at.is_some())
            .map(|one| {
                let is_broken = broken.contains(&one.id);
                (one, is_broken)
            })
            .collect();
        self.last_statement = book.last_statement_balance(self.account, Some(cx.today))?;
        self.report = match book.open_reconciliation(self.account)? {
            Some(open) => Some(reports::sheet(book, open.id)?),
            None => None,
        };
        let lines: std::collections::HashMap<EntryNumber, LineId> =
            book.lines_by_entry(self.account)?;
        self.by_line = lines.into_keys().collect();
        self.ticked = self
            .report
            .as_ref()
            .map(|report| entries(&report.sheet.ticked))
            .unwrap_or_default();
        if let Some(report) = &self.report {
            self.list.arrange(&report.movements);
        } else if self.begin.is_none()
            && let Some(account) = &self.of
        {
            let last = self.finished.first().map(|(sheet, _)| sheet.day);
            self.begin = Some(BeginDraft::proposed(account, self.last_statement, last, cx));
        }
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let ticks = self.keys(ui).and_then(|entry| self.tick(entry));
        let account = self.of.clone()?;
        // Once there is something to tick, the list answers to the keys while nothing else has them.
        if self.report.is_none() && !std::mem::replace(&mut self.is_begun, true) {
            take_up(ui);
        }
        page_heading(
            ui,
            &self.title(),
            "What the books say, held against what the bank says (bank reconciliation): tick what stands on the statement \
             until nothing is missing.",
        );
        let mut pressed = None;
        if let Some(draft) = &mut self.begin {
            let is_open = self.report.is_some();
            pressed = view::begin_ui(ui, draft, &account, self.last_statement, is_open, cx);
            ui.add_space(space::LARGE);
        }
        let mut ticked = None;
        if let Some(report) = &self.report {
            let found = view::figures_ui(ui, report, &account, &mut self.note, cx);
            pressed = pressed.or(found);
            if let Some(words) = &self.refused {
                crate::app::widgets::problem(ui, words);
            }
            ui.add_space(space::LARGE);
            ticked = self.list.ui(ui, report, &self.ticked, &self.by_line, cx);
            ui.add_space(space::LARGE);
        } else if let Some(words) = &self.refused {
            crate::app::widgets::problem(ui, words);
        }
        pressed = pressed.or(view::finished_ui(ui, &self.finished, &account, cx));
        match (ticked, pressed) {
            (Some(list::Asked::Tick(entry)), _) => self.tick(entry),
            (Some(list::Asked::Open(entry)), _) => Some(entry::open(entry)),
            (None, Some(pressed)) => self.answer(pressed),
            (None, None) => ticks,
        }
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_beginning) {
            self.begin = None;
        }
        if !self.is_ticking {
            self.note.clear();
        }
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.refused = Some(message.to_owned());
        self.is_ticking = false;
        self.is_beginning = false;
    }
}
