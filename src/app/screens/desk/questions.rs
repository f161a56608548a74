//! Questions for the accountant, all of them or those about one entry: asked, answered and applied in place.
//! What a question refuses is `desk`'s.

use egui::{RichText, Ui};

use super::draft::{Pressed, Tried, Wrong, deeds_ui, entry_typed, room_for};
use crate::app::action::{Action, DeskWrite, Write};
use crate::app::forms::parts;
use crate::app::screen::ViewContext;
use crate::app::screens::entry;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{
    Field, card, card_heading, count_badge, date_field, parse_day, primary_button,
    secondary_button, soft, text_area, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::desk::{Answer, Application, Question, QuestionState};
use crate::ledger::EntryNumber;
use crate::reports::{self, QuestionReport};

/// So many that are done are listed.
const DONE_SHOWN: usize = 20;

/// Which step is being written down.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
    Ask,
    Answer(Question),
    Apply(Question),
}

/// A step while it is typed.
#[derive(Clone, Debug)]
struct Draft {
    step: Step,
    words: String,
    by: String,
    entry: String,
    on: String,
    take_focus: bool,
    tried: Tried,
}

impl Draft {
    fn new(step: Step, about: Option<EntryNumber>) -> Self {
        let (words, by) = match &step {
            Step::Answer(question) => question
                .answer
                .as_ref()
                .map(|answer| (answer.words.clone(), answer.by.clone()))
                .unwrap_or_default(),
            Step::Ask | Step::Apply(_) => Default::default(),
        };
        Self {
            step,
            words,
            by,
            entry: about.map(|entry| entry.to_string()).unwrap_or_default(),
            on: "today".to_owned(),
            take_focus: true,
            tried: Tried::default(),
        }
    }

    /// The question with this step made.
    fn made(&self, n_entries: u64, cx: &ViewContext<'_>) -> Result<Question, Wrong> {
        let (on_field, entry_field) = match &self.step {
            Step::Ask => ("asked_on", "entry"),
            Step::Answer(_) => ("answered_on", "entry"),
            Step::Apply(_) => ("applied_on", "applied_entry"),
        };
        let on = parse_day(&self.on, cx.today)
            .ok_or_else(|| Wrong::new(on_field, "not a day; write 28 Sep or 2026-09-28"))?;
        let entry = entry_typed(&self.entry, n_entries, entry_field)?;
        let (words, by) = (self.words.trim().to_owned(), self.by.trim().to_owned());
        let made = match &self.step {
            Step::Ask => Question {
                entry,
                asked_by: by,
                ..Question::new(words, on)
            },
            Step::Answer(question) => Question {
                answer: Some(Answer { words, by, on }),
                ..question.clone()
            },
            Step::Apply(question) => Question {
                application: Some(Application {
                    what: words,
                    entry,
                    on,
                }),
                ..question.clone()
            },
        };
        made.check()
            .map_err(|error| Wrong::new(error.field(), error.to_string()))?;
        Ok(made)
    }
}

/// What was pressed on a question.
#[derive(Clone, Copy)]
enum Deed {
    Answer,
    Apply,
    Remove,
    Open(EntryNumber),
}

/// The questions, with the step that is being written down.
pub struct QuestionList {
    about: Option<EntryNumber>,
    rows: Vec<QuestionReport>,
    n_entries: u64,
    draft: Option<Draft>,
}

impl QuestionList {
    /// Every question of the book.
    #[must_use]
    pub const fn all() -> Self {
        Self {
            about: None,
            rows: Vec::new(),
            n_entries: 0,
            draft: None,
        }
    }

    /// The questions about an entry.
    #[must_use]
    pub const fn of(entry: EntryNumber) -> Self {
        let mut list = Self::all();
        list.about = Some(entry);
        list
    }

    /// Begins a new question.
    pub fn begin(&mut self) {
        self.draft = Some(Draft::new(Step::Ask, self.about));
    }

    /// Reads them.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn refresh(&mut self, book: &Book) -> Result<(), BookError> {
        self.rows = match self.about {
            Some(entry) => reports::questions_of(book, entry)?,
            None => reports::questions(book)?,
        };
        self.n_entries = book.entry_count()?;
        Ok(())
    }

    /// What was asked for is written.
    pub fn written(&mut self) {
        if self
            .draft
            .as_mut()
            .is_some_and(|draft| draft.tried.is_asked())
        {
            self.draft = None;
        }
    }

    /// What was asked for is refused.
    pub fn refused(&mut self, message: &str) {
        if let Some(draft) = &mut self.draft {
            draft.tried.refused(message);
        }
    }

    /// Whether something is typed that would be lost.
    #[must_use]
    pub fn has_draft(&self) -> bool {
        let draft = self.draft.as_ref();
        draft.is_some_and(|draft| !draft.words.trim().is_empty())
    }

    /// The whole page of them.
    pub fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        if self.draft.is_some() {
            asked = card(ui, |ui| self.draft_ui(ui, cx));
        } else if primary_button(ui, "Ask something", "").clicked() {
            self.begin();
        }
        for (state, title, about) in [
            (
                QuestionState::Answered,
                "Answered, to be applied",
                "When it is done in the books, or nothing has to change, say so here.",
            ),
            (
                QuestionState::Open,
                "Waiting for an answer",
                "Nothing presses. Entries a question is about stay as they are until you know.",
            ),
            (QuestionState::Applied, "Done", ""),
        ] {
            let found: Vec<QuestionReport> = self
                .rows
                .iter()
                .rev()
                .filter(|row| row.question.state() == state)
                .cloned()
                .collect();
            let is_first = self.rows.is_empty() && state == QuestionState::Open;
            if found.is_empty() && !is_first {
                continue;
            }
            ui.add_space(space::LARGE);
            let deed = card(ui, |ui| {
                ui.horizontal(|ui| {
                    card_heading(ui, title);
                    if state != QuestionState::Applied && !found.is_empty() {
                        count_badge(ui, found.len());
                    }
                });
                if is_first {
                    soft(
                        ui,
                        "None yet. Ask from here, or from the page of the entry that it is about.",
                    );
                    return None;
                }
                if !about.is_empty() {
                    soft(ui, about);
                }
                let shown = if state == QuestionState::Applied {
                    DONE_SHOWN
                } else {
                    found.len()
                };
                let deed = rows_ui(ui, &found, shown, self.about);
                if found.len() > shown {
                    soft(ui, &format!("and {} more, older", found.len() - shown));
                }
                deed
            });
            asked = asked.or(deed.and_then(|(question, deed)| self.answer(question, deed)));
        }
        asked
    }

    /// As a card on the page of an entry.
    pub fn card_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        let deed = card(ui, |ui| {
            card_heading(ui, "For your accountant")
                .on_hover_text("Open points: questions about this entry and their answers");
            let deed = rows_ui(ui, &self.rows, self.rows.len(), self.about);
            ui.add_space(space::SMALL);
            if self.draft.is_some() {
                asked = self.draft_ui(ui, cx);
            } else if secondary_button(ui, "Ask about this entry\u{2026}", "").clicked() {
                self.begin();
            }
            deed
        });
        asked.or(deed.and_then(|(question, deed)| self.answer(question, deed)))
    }

    fn answer(&mut self, question: Question, deed: Deed) -> Option<Action> {
        match deed {
            Deed::Answer => self.draft = Some(Draft::new(Step::Answer(question), None)),
            Deed::Apply => self.draft = Some(Draft::new(Step::Apply(question), None)),
            Deed::Remove => {
                let write = DeskWrite::RemoveQuestion(question.id);
                return Some(Action::write(Write::Desk(Box::new(write))));
            }
            Deed::Open(number) => return Some(entry::open(number)),
        }
        None
    }

    fn draft_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (about, n_entries) = (self.about, self.n_entries);
        let draft = self.draft.as_mut()?;
        let made = draft.made(n_entries, cx);
        let pressed = fields_ui(ui, draft, about, made.as_ref().err(), cx);
        match (pressed, made) {
            (Some(Pressed::Keep), Ok(question)) => {
                let write = DeskWrite::KeepQuestion(question);
                Some(Action::write(Write::Desk(Box::new(write))))
            }
            (Some(Pressed::Leave), _) => {
                self.draft = None;
                None
            }
            _ => None,
        }
    }
}

fn fields_ui(
    ui: &mut Ui,
    draft: &mut Draft,
    about: Option<EntryNumber>,
    wrong: Option<&Wrong>,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let take_focus = std::mem::take(&mut draft.take_focus);
    let tried = draft.tried.clone();
    let beside = |field: &str| tried.beside(wrong, field);
    let (title, keep, words, by, on) = match &draft.step {
        Step::Ask => (
            "A question",
            "Keep the question",
            ("Question", "question", "Does the press count as equipment?"),
            Some(("Who asks", "you, when left empty")),
            ("Asked on", "asked_on"),
        ),
        Step::Answer(_) => (
            "The answer",
            "Keep the answer",
            ("Answer", "answer", ""),
            Some(("Who answered", "your accountant")),
            ("Answered on", "answered_on"),
        ),
        Step::Apply(_) => (
            "What was done about it",
            "It is done",
            (
                "What was done",
                "applied",
                "moved to Repairs; or: nothing had to change",
            ),
            None,
            ("Done on", "applied_on"),
        ),
    };
    card_heading(ui, title);
    match &draft.step {
        Step::Ask => {}
        Step::Answer(question) => {
            soft(ui, &question.words);
        }
        Step::Apply(question) => {
            soft(ui, &question.words);
            if let Some(answer) = &question.answer {
                soft(ui, &format!("\u{2192} {}", answer.words));
            }
        }
    }
    let (label, name, hint) = words;
    let field = Field::new(label)
        .hint(hint)
        .take_focus(take_focus)
        .problem(beside(name));
    text_area(ui, field, &mut draft.words, 3);
    ui.horizontal_wrapped(|ui| {
        let (label, name) = on;
        let field = Field::new(label)
            .width(room_for(ui, 126.0))
            .problem(beside(name));
        date_field(ui, field, &mut draft.on, cx.today);
        if let Some((label, hint)) = by {
            let field = Field::new(label).width(room_for(ui, 180.0)).hint(hint);
            text_field(ui, field, &mut draft.by);
        }
        let entry = match (&draft.step, about) {
            (Step::Ask, None) => Some(("About entry", "entry")),
            (Step::Apply(_), _) => Some(("By entry", "applied_entry")),
            _ => None,
        };
        if let Some((label, name)) = entry {
            let field = Field::new(label)
                .width(room_for(ui, 110.0))
                .hint("its number")
                .problem(beside(name));
            text_field(ui, field, &mut draft.entry);
        }
    });
    draft.tried.buttons(ui, keep, wrong)
}

/// The questions with what can be done about each.
fn rows_ui(
    ui: &mut Ui,
    rows: &[QuestionReport],
    shown: usize,
    about: Option<EntryNumber>,
) -> Option<(Question, Deed)> {
    let mut done = None;
    for (idx, report) in rows.iter().take(shown).enumerate() {
        if idx > 0 {
            parts::rule(ui);
        }
        let id = report.question.id;
        ui.push_id(("question", id), |ui| {
            if let Some(deed) = row_ui(ui, report, about) {
                done = Some((report.question.clone(), deed));
            }
        });
    }
    done
}

fn row_ui(ui: &mut Ui, report: &QuestionReport, about: Option<EntryNumber>) -> Option<Deed> {
    let question = &report.question;
    let colours = palette(ui);
    ui.label(
        RichText::new(&question.words)
            .font(theme::bold())
            .color(colours.ink),
    );
    let by = |name: &str| match name {
        "" => String::new(),
        name => format!(" by {name}"),
    };
    let mut second = format!(
        "Asked on {}{}",
        show_day(question.asked_on),
        by(&question.asked_by)
    );
    if !report.about.is_empty() && about.is_none() {
        second.push_str(&format!(", about {}", report.about));
    }
    soft(ui, &second);
    if let Some(answer) = &question.answer {
        ui.label(format!("\u{2192} {}", answer.words));
        let on = show_day(answer.on);
        soft(ui, &format!("Answered on {on}{}", by(&answer.by)));
    }
    if let Some(applied) = &question.application {
        ui.label(format!("\u{2192} {}", applied.what));
        soft(ui, &format!("Done on {}", show_day(applied.on)));
    }
    let applied_by = question.application.as_ref().and_then(|done| done.entry);
    let state = question.state();
    let (is_open, is_answered) = (
        state == QuestionState::Open,
        state == QuestionState::Answered,
    );
    let mut deeds = vec![
        ("Write the answer down".to_owned(), is_open, Deed::Answer),
        ("Take it out".to_owned(), is_open, Deed::Remove),
        ("It is applied".to_owned(), is_answered, Deed::Apply),
        ("Change the answer".to_owned(), is_answered, Deed::Answer),
    ];
    for entry in question.entry.into_iter().chain(applied_by) {
        let is_other = about != Some(entry);
        deeds.push((format!("Open entry {entry}"), is_other, Deed::Open(entry)));
    }
    deeds_ui(ui, &question.words, &deeds)
}
