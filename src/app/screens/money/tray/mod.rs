//! To sort: the statement lines that are not in the books yet, one of them current, each deed a key.
//! `reading` reads them off the frame, `list` draws them, `slip` the current one, `other`, `found` and `words` what is
//! asked further; this file holds which line is current and what is asked for.

mod found;
mod list;
pub(super) mod other;
pub(super) mod reading;
mod slip;
mod words;

use egui::{Key, Modifiers, Ui};

use self::found::FoundDraft;
use self::list::{Order, TrayList};
use self::other::OtherDraft;
use self::reading::TrayReader;
use super::rules;
use crate::app::action::{Action, FormWish, SortingWrite, Write};
use crate::app::apply::sorting::accept_covered_on_a_thread;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    card, card_heading, choice_chips, page_heading, quiet_button, secondary_button, soft,
};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;
use crate::reports::TrayRow;
use crate::sorting::{LineId, Meaning, Treatment};

/// More than so many lines are written on a thread, the book lent to it.
const MANY: usize = 100;

/// Opens the lines to be sorted.
#[must_use]
pub fn open_tray() -> Action {
    Action::Open(Box::new(TrayScreen::default()))
}

/// What is being done about the current line beyond one key.
#[derive(Default)]
enum Doing {
    #[default]
    Nothing,
    /// Saying what it was.
    Other(Box<OtherDraft>),
    /// Looking for the entries it is in.
    Found(Box<FoundDraft>),
    /// Saying why it is left out.
    LeavingOut(String),
}

/// What a key or a button asks for the current line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Deed {
    Accept,
    Private,
    Split,
    Other,
    Found,
    LeaveOut,
}

impl Deed {
    const KEYS: [(Key, Self); 6] = [
        (Key::Enter, Self::Accept),
        (Key::P, Self::Private),
        (Key::S, Self::Split),
        (Key::O, Self::Other),
        (Key::M, Self::Found),
        (Key::L, Self::LeaveOut),
    ];
}

/// The lines to be sorted.
#[derive(Default)]
pub struct TrayScreen {
    reader: TrayReader,
    list: TrayList,
    order: Order,
    current: Option<LineId>,
    /// What was sorted since this page was opened, the newest last.
    done: Vec<LineId>,
    /// What was asked to be written a moment ago.
    asked: Option<LineId>,
    /// The line for which a form was opened.
    in_form: Option<LineId>,
    doing: Doing,
    refused: Option<String>,
    /// Whether the current line is to be brought into sight.
    is_moved: bool,
}

impl TrayScreen {
    fn row(&self) -> Option<&TrayRow> {
        self.list.row(self.reader.tray(), self.current?)
    }

    /// Takes in what was read: the current line stays, or one that came back becomes it, or the one in its place.
    fn take_in(&mut self, cx: &ViewContext<'_>) {
        let place = self.current.and_then(|line| self.list.place(line));
        self.list.arrange(self.reader.tray(), self.order, cx.chart);
        if let Some(line) = self.in_form
            && self.list.place(line).is_none()
        {
            self.done.push(line);
            self.in_form = None;
        }
        let came_back = self
            .done
            .iter()
            .rposition(|line| self.list.place(*line).is_some());
        if let Some(at) = came_back {
            let line = self.done[at];
            self.done.truncate(at);
            self.go(Some(line));
            return;
        }
        let is_there = self
            .current
            .is_some_and(|line| self.list.place(line).is_some());
        if !is_there {
            self.go(self.list.line_at(place.unwrap_or(0)));
        }
    }

    fn go(&mut self, line: Option<LineId>) {
        if line != self.current {
            self.current = line;
            self.doing = Doing::Nothing;
            self.refused = None;
            self.is_moved = true;
        }
    }

    fn step(&mut self, down: bool) {
        let place = self.current.and_then(|line| self.list.place(line));
        let next = match place {
            Some(place) if down => place + 1,
            Some(place) => place.saturating_sub(1),
            None => 0,
        };
        if let Some(line) = self.list.line_at(next) {
            self.go(Some(line));
        }
    }

    fn write(&mut self, write: SortingWrite) -> Option<Action> {
        self.asked = self.current;
        self.refused = None;
        Some(Action::write(Write::Sorting(write)))
    }

    fn act(&mut self, deed: Deed, cx: &ViewContext<'_>) -> Option<Action> {
        let row = self.row()?.clone();
        let line = Box::new(row.line);
        match (deed, row.suggestion) {
            (Deed::Accept, Some(suggestion)) => {
                self.write(SortingWrite::Accept(line, Box::new(suggestion)))
            }
            (Deed::Private, _) => {
                let meaning = if line.is_in() {
                    Meaning::OwnerIn
                } else {
                    Meaning::Private
                };
                let treatment = Box::new(Treatment::new(meaning));
                self.write(SortingWrite::Treat(line, treatment, None))
            }
            (Deed::Split, suggestion) if !line.is_in() => {
                self.in_form = self.current;
                let party = words::party(&line, suggestion.as_ref());
                Some(Action::Start(FormWish::of_line(&line, party)))
            }
            (Deed::Split, _) => None,
            (Deed::Accept, None) | (Deed::Other, _) => {
                let suggestion = self.row()?.suggestion.as_ref();
                self.doing = Doing::Other(Box::new(OtherDraft::new(&line, suggestion, cx.chart)));
                None
            }
            (Deed::Found, _) => {
                self.doing = Doing::Found(Box::new(FoundDraft::new(*line)));
                None
            }
            (Deed::LeaveOut, _) => {
                self.doing = Doing::LeavingOut(String::new());
                None
            }
        }
    }

    /// Reads the page's own keys, unless something else has the keyboard.
    fn keys(&mut self, ui: &Ui) -> Option<Deed> {
        let ctx = ui.ctx();
        let pressed = |key| ctx.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        if !matches!(self.doing, Doing::Nothing) {
            if !egui::Popup::is_any_open(ctx) && pressed(Key::Escape) {
                self.doing = Doing::Nothing;
            }
            return None;
        }
        let is_busy = ctx.text_edit_focused()
            || ctx.memory(|memory| memory.focused().is_some())
            || ctx.memory(|memory| memory.top_modal_layer().is_some())
            || egui::Popup::is_any_open(ctx);
        if is_busy {
            return None;
        }
        if pressed(Key::ArrowDown) {
            self.step(true);
        }
        if pressed(Key::ArrowUp) {
            self.step(false);
        }
        Deed::KEYS
            .into_iter()
            .find(|(key, _deed)| pressed(*key))
            .map(|(_key, deed)| deed)
    }

    fn head_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let n_lines = self.list.n_lines();
        page_heading(ui, &words::counter(n_lines), "");
        ui.add_space(-space::LARGE);
        soft(
            ui,
            &words::about(
                n_lines,
                self.done.len(),
                self.reader.n_known_lines(),
                &self.reader.whole(cx),
            ),
        );
        ui.add_space(space::SMALL);
        let mut asked = None;
        ui.horizontal_wrapped(|ui| {
            let n_covered = self.reader.n_covered();
            if n_covered > 0 {
                let label = words::accept_all(n_covered);
                let why = "What a rule of yours covers, and what is in the book beyond doubt. One Undo takes all of it back.";
                if secondary_button(ui, &label, "")
                    .on_hover_text(why)
                    .clicked()
                {
                    asked = Some(if n_covered > MANY {
                        Action::Lend(accept_covered_on_a_thread())
                    } else {
                        Action::write(Write::Sorting(SortingWrite::AcceptCovered))
                    });
                }
            }
            if quiet_button(ui, "Rules\u{2026}")
                .on_hover_text("What lines of your statements always become, and what Deckle has learned")
                .clicked()
            {
                asked = Some(rules::open_rules());
            }
        });
        if n_lines > 1 {
            let choices = Order::ALL.map(|order| (order, order.words()));
            if choice_chips(ui, "Which first", &mut self.order, &choices) {
                self.list.arrange(self.reader.tray(), self.order, cx.chart);
                self.go(self.list.line_at(0));
            }
        }
        ui.add_space(space::MEDIUM);
        asked
    }

    fn empty_ui(&self, ui: &mut Ui) -> Option<Action> {
        let mut asked = None;
        card(ui, |ui| {
            if self.reader.n_known_lines() == 0 {
                card_heading(ui, "No statement is here yet");
                soft(
                    ui,
                    "Bring a file of your bank or card. What it says is held against the books; each line is sorted \
                     once, however often it comes.",
                );
            } else {
                card_heading(ui, "Nothing is left to sort");
                soft(
                    ui,
                    "Every line of your statements is in the books or was left out with a reason.",
                );
            }
            ui.add_space(space::SMALL);
            if secondary_button(ui, "Bring a statement", "").clicked() {
                asked = Some(super::open_statement_file());
            }
        });
        asked
    }
}

impl Screen for TrayScreen {
    fn title(&self) -> String {
        "To sort".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        if self.reader.read(book)? {
            self.take_in(cx);
        }
        if let Doing::Found(draft) = &mut self.doing {
            draft.read(book)?;
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        let is_looking = matches!(&self.doing, Doing::Found(draft) if !draft.is_read());
        self.reader.is_reading() || is_looking
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        if let Some(dropped) = super::dropped_statements(ui) {
            return Some(dropped);
        }
        let deed = self.keys(ui);
        let mut asked = self.head_ui(ui, cx);
        if !self.reader.is_known() {
            soft(ui, "Reading the statements\u{2026}");
            return asked;
        }
        if self.list.n_lines() == 0 {
            return asked.or(self.empty_ui(ui));
        }
        let mut answered = None;
        let mut list = std::mem::take(&mut self.list);
        let is_moved = std::mem::take(&mut self.is_moved);
        let pressed = list.ui(
            ui,
            self.reader.tray(),
            self.current,
            is_moved,
            cx,
            |ui, row| {
                let (doing, refused) = (&mut self.doing, self.refused.as_deref());
                answered = slip::slip_ui(ui, row, self.reader.tray(), doing, refused, cx);
            },
        );
        self.list = list;
        if let Some(line) = pressed {
            self.go(Some(line));
        }
        asked = asked.or(match answered {
            Some(slip::Answer::Deed(deed)) => self.act(deed, cx),
            Some(slip::Answer::Write(write)) => self.write(*write),
            Some(slip::Answer::Close) => {
                self.doing = Doing::Nothing;
                None
            }
            None => None,
        });
        asked.or_else(|| deed.and_then(|deed| self.act(deed, cx)))
    }

    fn holds_escape(&self) -> bool {
        !matches!(self.doing, Doing::Nothing)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if let Some(line) = self.asked.take() {
            let next = self.list.place(line).map(|place| place + 1);
            self.done.push(line);
            self.go(next.and_then(|place| self.list.line_at(place)).or_else(|| {
                let before = self.list.place(line)?.checked_sub(1)?;
                self.list.line_at(before)
            }));
            self.list.take_out(line);
        }
        self.doing = Doing::Nothing;
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.asked = None;
        self.refused = Some(message.to_owned());
    }
}
