//! Year end: a checklist that knows its state, the statements as on paper, the folder for the accountant, closing the
//! year and reopening it with a reason.

mod cash;
mod checklist;
mod forms;
mod handing_over;
mod sheets;
mod statements;
mod view;
mod words;

pub use checklist::{Check, Mend, checklist};
pub use statements::{Cut, Paper, Statement, name_of, paper, trial};
pub use view::paper_ui;

use chrono::NaiveDate;
use egui::Ui;

use self::handing_over::HandingOver;
use super::desk::{self, DeskPage};
use super::{adjusting, catching_up, entry, explain, ledger, money};
use crate::app::action::{Action, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, page_heading, primary_button_enabled,
    quiet_button, secondary_button, soft, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::{DateRange, show_day};
use crate::happenings::Recording;
use crate::keeping::KeepRule;
use crate::ledger::EntryNumber;
use crate::money::Money;
use crate::reports::{self, KeptYear};
use crate::statements::Basis;

/// The room.
#[derive(Default)]
pub struct YearEndRoom {
    years: Vec<(i32, DateRange)>,
    chosen: i32,
    seen: Option<(i32, Statement, Cut, Basis)>,
    which: Statement,
    cut: Cut,
    /// As the book's setting says until another is chosen here.
    basis: Option<Basis>,
    checks: Vec<Check>,
    paper: Paper,
    wear: Option<Recording>,
    is_closed: bool,
    lock: Option<NaiveDate>,
    step: Step,
    handing_over: HandingOver,
    is_unexplained: bool,
    /// The year's net profit, in minor units.
    profit: Money,
    is_closing: bool,
    reopen_reason: Option<String>,
    /// The rule by which the year's records are kept, and until when.
    kept: Option<(KeepRule, KeptYear)>,
}

impl Screen for YearEndRoom {
    fn title(&self) -> String {
        "Year end".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.read_years(book, cx)?;
        let year = self.year(cx);
        self.checks = checklist(book, year, cx.today)?;
        let basis = *self.basis.get_or_insert_with(|| reports::basis(book));
        self.paper = paper(book, year, self.which, self.cut, basis, cx.today)?;
        let through = if cx.today > year.to {
            year.to
        } else {
            reports::last_whole_month(cx.today)
        };
        let proposal = reports::wear_proposal(book, through)?;
        self.wear = proposal.entry(book.chart(), "").ok().map(Recording::new);
        self.kept = reports::keep_rule_of(book).map(|rule| {
            let kept = reports::kept_year(book, &rule, self.chosen);
            (rule, kept)
        });
        self.is_closed = book.closing_entry_of(year)?.is_some();
        self.lock = book.lock_date();
        self.handing_over.refresh(book, year, self.chosen)?;
        self.profit = reports::profit(book, year)?.totals.net_profit;
        let left = reports::left_in_year(book, year)?;
        self.is_unexplained = !left.not_explained_balance.is_zero();
        self.seen = Some((self.chosen, self.which, self.cut, basis));
        Ok(())
    }

    fn is_stale(&self) -> bool {
        let basis = self.basis.unwrap_or_default();
        self.seen != Some((self.chosen, self.which, self.cut, basis))
    }

    fn own_period(&self) -> Option<DateRange> {
        let mut years = self.years.iter();
        years
            .find(|(year, _range)| *year == self.chosen)
            .map(|(_year, range)| *range)
    }

    fn period_chosen(&mut self, range: DateRange) {
        let mut years = self.years.iter();
        if let Some((year, _range)) = years.find(|(_year, days)| days.contains(range.to)) {
            self.chosen = *year;
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        page_heading(
            ui,
            "Closing the year and handing it over",
            "Everything an accountant asks for, each figure traceable.",
        );
        if self.years.is_empty() {
            return None;
        }
        let names: Vec<(i32, String)> = self
            .years
            .iter()
            .map(|(year, range)| (*year, name_of(*range)))
            .collect();
        let choices: Vec<(i32, &str)> = names
            .iter()
            .map(|(year, name)| (*year, name.as_str()))
            .collect();
        choice_chips(ui, "Financial year", &mut self.chosen, &choices);
        ui.add_space(space::LARGE);
        let n_open = self.n_open();
        let names = Step::ALL.map(|step| (step, step.name(n_open, self.is_closed)));
        let choices: Vec<(Step, &str)> = names
            .iter()
            .map(|(step, name)| (*step, name.as_str()))
            .collect();
        choice_chips(ui, "One after the other", &mut self.step, &choices);
        ui.add_space(space::LARGE);
        let asked = match self.step {
            Step::LookThrough => self.look_through_ui(ui, self.year(cx)),
            Step::Adjust => self.adjust_ui(ui),
            Step::Read => self.read_ui(ui),
            Step::Close => self.closing_ui(ui, cx),
            Step::HandOver => {
                let asked = self
                    .handing_over
                    .ui(ui, self.chosen, self.is_closed, cx.today);
                if let Some((rule, kept)) = &self.kept {
                    ui.add_space(space::LARGE);
                    card(ui, |ui| view::kept_ui(ui, rule, kept));
                }
                asked
            }
        };
        ui.add_space(space::LARGE);
        self.onwards_ui(ui);
        asked
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.is_closing = false;
        self.reopen_reason = None;
        After::Stay
    }
}

/// The steps of a year's end, one after the other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Step {
    #[default]
    LookThrough,
    Adjust,
    Read,
    Close,
    HandOver,
}

impl Step {
    const ALL: [Self; 5] = [
        Self::LookThrough,
        Self::Adjust,
        Self::Read,
        Self::Close,
        Self::HandOver,
    ];

    const fn words(self) -> &'static str {
        match self {
            Self::LookThrough => "1 Look through",
            Self::Adjust => "2 Put right",
            Self::Read => "3 Read",
            Self::Close => "4 Close",
            Self::HandOver => "5 Hand over",
        }
    }

    /// Its words with how it stands.
    fn name(self, n_open: usize, is_closed: bool) -> String {
        match self {
            Self::LookThrough if n_open > 0 => format!("{} ({n_open} open)", self.words()),
            Self::Close if is_closed => format!("{} (closed)", self.words()),
            _ => self.words().to_owned(),
        }
    }

    fn after(self) -> Option<Self> {
        let place = Self::ALL.iter().position(|step| *step == self)?;
        Self::ALL.get(place + 1).copied()
    }
}

impl YearEndRoom {
    /// How many points are open.
    fn n_open(&self) -> usize {
        self.checks.iter().filter(|check| !check.is_done).count()
    }

    fn look_through_ui(&self, ui: &mut Ui, year: DateRange) -> Option<Action> {
        let mend = view::checklist_ui(ui, &self.checks, self.n_open());
        let asked = mend.map(|mend| self.mend(mend, year));
        ui.add_space(space::LARGE);
        let words = "At the desk: questions, duties, papers, hours";
        if quiet_button(ui, words).clicked() {
            return Some(desk::open(DeskPage::Questions));
        }
        asked
    }

    fn adjust_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, "What belongs to the year and is not in it yet")
                .on_hover_text("Adjusting entries");
            soft(
                ui,
                "Wear to the last day, what was used up of things paid ahead, bills that still come, driving and the \
                 workspace at home: each is proposed with its amount, and you post it or leave it.",
            );
            ui.add_space(space::SMALL);
            if secondary_button(ui, "Open what is proposed\u{2026}", "").clicked() {
                asked = Some(adjusting::open(self.chosen));
            }
        });
        ui.add_space(space::LARGE);
        asked.or(self.handing_over.sent_back_ui(ui, self.is_closed))
    }

    fn read_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let mut basis = self.basis.unwrap_or_default();
        let source =
            view::statement_ui(ui, &mut self.which, &mut self.cut, &mut basis, &self.paper);
        self.basis = Some(basis);
        source.map(explain::open)
    }

    fn onwards_ui(&mut self, ui: &mut Ui) {
        if let Some(next) = self.step.after()
            && secondary_button(ui, &format!("Next: {}", next.words()), "").clicked()
        {
            self.step = next;
        }
    }

    fn read_years(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let years = book.year_start();
        let covered = book.days_covered()?;
        let first = years.year_of(covered.map_or(cx.today, |covered| covered.from));
        let last = years.year_of(covered.map_or(cx.today, |covered| covered.to.max(cx.today)));
        self.years = (first..=last)
            .map(|year| (year, years.year_ending_in(year)))
            .collect();
        if !self.years.iter().any(|(year, _range)| *year == self.chosen) {
            self.chosen = years.year_of(cx.period.to);
        }
        Ok(())
    }

    fn year(&self, cx: &ViewContext<'_>) -> DateRange {
        cx.year_start().year_ending_in(self.chosen)
    }

    fn mend(&self, mend: Mend, year: DateRange) -> Action {
        match mend {
            Mend::Receipts => ledger::open_missing_receipts_of(year),
            Mend::Wear => match &self.wear {
                Some(recording) => Action::write(Write::Record {
                    recordings: vec![recording.clone()],
                    receipts: Vec::new(),
                    done: "Wear of equipment is written down".to_owned(),
                }),
                None => Action::Trouble("There is no wear to write down".to_owned()),
            },
            Mend::Explain(source) => explain::open(source),
            Mend::Adjusting => adjusting::open(self.chosen),
            Mend::Agree(account) => money::open_agreement(account),
            Mend::Go(room) => Action::Go(room),
            Mend::Entry(number) => entry::open(number),
            Mend::Questions => desk::open(DeskPage::Questions),
            Mend::NotExplained => catching_up::open_not_explained(),
            Mend::Rough => catching_up::open_rough(),
            Mend::CatchingUp => catching_up::open_catching_up(),
        }
    }

    fn closing_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let year = self.year(cx);
        let mut asked = None;
        card(ui, |ui| {
            if self.is_closed {
                card_heading(ui, "Reopen the year");
                soft(
                    ui,
                    "A closed year stays as it was handed over. Reopening takes its closing entry back and keeps your reason.",
                );
                asked = self.reopen_ui(ui);
                return;
            }
            card_heading(ui, "Close the year")
                .on_hover_text("Closing entry: income and costs to profit brought forward");
            soft(
                ui,
                &format!(
                    "What the year left you, {}, is added to what belongs to you, and nothing up to {} can be changed any \
                     more. You can undo it, or reopen the year later with a reason.",
                    cx.show(self.profit),
                    show_day(year.to)
                ),
            );
            ui.add_space(space::SMALL);
            let is_over = cx.today > year.to;
            if !is_over {
                soft(
                    ui,
                    &format!(
                        "The year runs until {}: it can be closed after that.",
                        show_day(year.to)
                    ),
                );
            }
            if !self.is_closing {
                let close = ui.add_enabled_ui(is_over, |ui| {
                    secondary_button(ui, "Close the year\u{2026}", "")
                });
                if close
                    .inner
                    .on_disabled_hover_text("The year still runs")
                    .clicked()
                {
                    self.is_closing = true;
                }
                return;
            }
            if self.is_unexplained {
                caution(
                    ui,
                    "Some money stands not yet explained. Explain it first, or close all the same: the pack says so.",
                );
            }
            let n_open = self.n_open();
            if n_open > 0 {
                let points = if n_open == 1 {
                    "1 point of the first step is".to_owned()
                } else {
                    format!("{n_open} points of the first step are")
                };
                soft(
                    ui,
                    &format!("{points} still open; the accountant will ask about them:"),
                );
                for check in self.checks.iter().filter(|check| !check.is_done) {
                    soft(ui, &format!("\u{2013} {}", check.what));
                }
            }
            ui.horizontal(|ui| {
                if primary_button_enabled(ui, true, &format!("Close {}", name_of(year)), "")
                    .clicked()
                {
                    asked = Some(Action::write(Write::CloseYear(self.chosen)));
                }
                if quiet_button(ui, "Not now").clicked() {
                    self.is_closing = false;
                }
            });
        });
        asked
    }

    fn reopen_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let Some(reason) = &mut self.reopen_reason else {
            if secondary_button(ui, "Reopen it\u{2026}", "").clicked() {
                self.reopen_reason = Some(String::new());
            }
            return None;
        };
        text_field(
            ui,
            Field::new("Why it is reopened").hint("as: the accountant's adjustments"),
            reason,
        );
        let mut asked = None;
        let mut is_left = false;
        ui.horizontal(|ui| {
            if primary_button_enabled(ui, !reason.trim().is_empty(), "Reopen the year", "")
                .clicked()
            {
                asked = Some(Action::write(Write::Reopen(reason.trim().to_owned())));
            }
            is_left = quiet_button(ui, "Not now").clicked();
        });
        if is_left {
            self.reopen_reason = None;
        }
        asked
    }
}
