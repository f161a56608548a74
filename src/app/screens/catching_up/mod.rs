//! Catching up: the steps with what is done and open, and what is enough for the accountant. Left and taken up any time.
//! `lots` sorts lines that are alike by one decision, `marked` says rough and unknown entries more exactly, `receipts`
//! files receipts in bulk; this file is the page that leads to them.

mod lots;
mod marked;
mod receipts;

use egui::Ui;

pub use lots::LotsScreen;
pub use marked::{MarkedKind, MarkedScreen};
pub use receipts::ReceiptsScreen;

use super::money;
use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::money::TrayReader;
use crate::app::theme::space;
use crate::app::widgets::{
    card, card_heading, page_heading, primary_button, progress_bar, secondary_button, soft,
};
use crate::book::{Book, BookError};
use crate::catching_up::{CatchingUp, Step, StepKind};
use crate::reports;

/// Opens catching up.
#[must_use]
pub fn open_catching_up() -> Action {
    Action::Open(Box::new(CatchingUpScreen::default()))
}

/// Opens the entries that nobody can explain yet.
#[must_use]
pub fn open_not_explained() -> Action {
    Action::Open(Box::new(MarkedScreen::new(MarkedKind::NotExplained)))
}

/// Opens the entries from rough answers.
#[must_use]
pub fn open_rough() -> Action {
    Action::Open(Box::new(MarkedScreen::new(MarkedKind::Rough)))
}

/// The page.
#[derive(Default)]
pub struct CatchingUpScreen {
    reader: TrayReader,
    standing: Option<CatchingUp>,
}

impl Screen for CatchingUpScreen {
    fn title(&self) -> String {
        "Catching up".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let is_new = self.reader.read(book)?;
        if is_new || self.standing.is_none() {
            let tray = self.reader.is_known().then(|| self.reader.tray());
            self.standing = Some(reports::catching_up(book, tray, cx.today)?);
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.reader.is_reading()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        if let Some(dropped) = money::dropped_statements(ui) {
            return Some(dropped);
        }
        let standing = self.standing.as_ref()?;
        let progress = standing.progress(cx.currency);
        page_heading(
            ui,
            "Catching up",
            "Falling behind is normal. Do a little, leave it, go on any time: where you are is in the book.",
        );
        let steps = standing.steps(cx.currency);
        let next = standing.next(cx.currency);
        let mut asked = None;
        card(ui, |ui| {
            for (idx, step) in steps.iter().enumerate() {
                if idx > 0 {
                    ui.add_space(space::LARGE);
                }
                if step_ui(ui, idx + 1, step, next == Some(step.kind)) {
                    asked = Some(open(step.kind, standing));
                }
            }
        });
        ui.add_space(space::LARGE);
        card(ui, |ui| {
            card_heading(ui, "Enough for the accountant?");
            ui.label(enough(standing, progress.steps_done, progress.steps, cx));
            for step in &steps {
                let mark = if step.is_done() { "complete" } else { "open" };
                soft(ui, &format!("{}: {mark}. {}", step.kind.plain(), step.says));
            }
        });
        asked
    }
}

/// A step with its button; answers whether it was pressed.
fn step_ui(ui: &mut Ui, no: usize, step: &Step, is_next: bool) -> bool {
    let heading = if step.is_done() {
        format!("{no}. {} \u{2013} done", step.kind.plain())
    } else {
        format!("{no}. {}", step.kind.plain())
    };
    card_heading(ui, &heading);
    soft(ui, &step.says);
    let whole = step.done + step.open;
    if whole > 0 && step.kind != StepKind::Explain {
        let words = format!("{} of {whole} done", step.done);
        let size = egui::vec2(ui.available_width().min(320.0), 8.0);
        progress_bar(ui, size, step.done, whole, &words);
        soft(ui, &words);
    }
    ui.add_space(space::SMALL);
    let words = button(step.kind);
    if is_next {
        primary_button(ui, words, "").clicked()
    } else {
        secondary_button(ui, words, "").clicked()
    }
}

const fn button(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Statements => "Bring a statement",
        StepKind::Sort => "Sort the lines",
        StepKind::Refine => "Rough answers",
        StepKind::Explain => "What is unknown",
        StepKind::Receipts => "Go through receipts",
        StepKind::Agree => "Agree an account",
    }
}

fn open(kind: StepKind, standing: &CatchingUp) -> Action {
    match kind {
        StepKind::Statements => money::open_statement_file(),
        StepKind::Sort => Action::Open(Box::new(LotsScreen::default())),
        StepKind::Refine => open_rough(),
        StepKind::Explain => open_not_explained(),
        StepKind::Receipts => Action::Open(Box::new(ReceiptsScreen::default())),
        StepKind::Agree => {
            let first = standing
                .agreed
                .iter()
                .find(|one| !one.is_done())
                .or_else(|| standing.agreed.first());
            first.map_or(Action::Go(crate::app::navigation::Room::Money), |one| {
                money::open_agreement(one.account)
            })
        }
    }
}

fn enough(standing: &CatchingUp, done: usize, steps: usize, cx: &ViewContext<'_>) -> String {
    if done == steps {
        return "Yes: nothing is open that the book knows of.".to_owned();
    }
    let mut open = Vec::new();
    let counted = |count: usize, one: &str, several: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{count} {several}"),
    };
    if standing.to_sort.count > 0 {
        open.push(format!(
            "{} to sort",
            counted(standing.to_sort.count, "line", "lines")
        ));
    }
    if !standing.unexplained.is_empty() {
        open.push(format!(
            "{} not explained",
            cx.show(standing.unexplained_balance)
        ));
    }
    if standing.receipts_missing.count > 0 {
        open.push(format!(
            "receipts for {} missing",
            cx.show(standing.receipts_missing.sum)
        ));
    }
    let not_agreed = standing.agreed.iter().filter(|one| !one.is_done()).count();
    if not_agreed > 0 {
        open.push(format!(
            "{} not agreed with its statement",
            counted(not_agreed, "account", "accounts")
        ));
    }
    let rest = if open.is_empty() {
        String::new()
    } else {
        format!(": {}", open.join(", "))
    };
    format!(
        "{done} of {steps} steps are complete. Still open{rest}. An accountant can begin with this list beside the books."
    )
}
