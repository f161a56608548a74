//! Papers of the company, the decisions, and what the book itself shows of how the business is kept.
//! What a paper or a decision refuses is `desk`'s.

use std::path::PathBuf;

use chrono::NaiveDate;
use egui::{RichText, Ui};

use super::draft::{
    Form, Pressed, Tried, Wrong, day_of, deeds_ui, desk, leave_when_written, may_day_of, room_for,
    say_refused,
};
use crate::app::action::{Action, DeskWrite, Write};
use crate::app::forms::parts::{self, select};
use crate::app::forms::receipt::ReceiptDraft;
use crate::app::screen::ViewContext;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{
    Field, ReceiptView, card, card_heading, caution, choice_chips, date_field, primary_button,
    receipt_viewer, secondary_button, soft, text_area, text_field,
};
use crate::book::{Book, BookError, ReceiptId};
use crate::dates::show_day;
use crate::desk::{CompanyPaper, Decision, PAPERS_CAUTION, PaperKind};
use crate::reports::{self, EVIDENCE_CAUTION, Fact};

/// The papers that nearly every company of one has.
const USUAL: [PaperKind; 5] = [
    PaperKind::Registration,
    PaperKind::TaxNumber,
    PaperKind::OperatingAgreement,
    PaperKind::YearlyReport,
    PaperKind::OwnerLoan,
];
/// So many decisions are listed.
const DECISIONS_SHOWN: usize = 30;
/// A paper while it is typed.
struct PaperDraft {
    before: CompanyPaper,
    name: String,
    kind: PaperKind,
    is_there: bool,
    day: String,
    kept_at: String,
    note: String,
    copy: ReceiptDraft,
    take_focus: bool,
    tried: Tried,
}

impl PaperDraft {
    fn of(before: CompanyPaper) -> Self {
        Self {
            name: before.name.clone(),
            kind: before.kind,
            is_there: before.is_there,
            day: before.day.map(show_day).unwrap_or_default(),
            kept_at: before.kept_at.clone(),
            note: before.note.clone(),
            copy: ReceiptDraft::default(),
            take_focus: true,
            tried: Tried::default(),
            before,
        }
    }

    fn made(&self, cx: &ViewContext<'_>) -> Result<CompanyPaper, Wrong> {
        let day = may_day_of(&self.day, "day", cx.today)?;
        let paper = CompanyPaper {
            name: self.name.trim().to_owned(),
            kind: self.kind,
            is_there: self.is_there,
            day,
            kept_at: self.kept_at.trim().to_owned(),
            note: self.note.trim().to_owned(),
            ..self.before.clone()
        };
        paper
            .check()
            .map_err(|error| Wrong::new(error.field(), error.to_string()))?;
        Ok(paper)
    }

    fn ui(
        &mut self,
        ui: &mut Ui,
        wrong: Option<&Wrong>,
        beside_book: &std::path::Path,
        cx: &ViewContext<'_>,
    ) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        card_heading(ui, "A paper of the company");
        let kinds: Vec<(PaperKind, String)> = PaperKind::ALL
            .iter()
            .map(|kind| (*kind, kind.plain().to_owned()))
            .collect();
        let before = self.kind;
        let width = ui.available_width().min(260.0);
        select(ui, "Kind", width, &mut self.kind, &kinds, None);
        if self.kind != before && self.name == before.plain() {
            self.kind.plain().clone_into(&mut self.name);
        }
        soft(ui, self.kind.about());
        let field = Field::new("Paper")
            .take_focus(std::mem::take(&mut self.take_focus))
            .problem(beside("paper"));
        text_field(ui, field, &mut self.name);
        choice_chips(
            ui,
            "Is it there?",
            &mut self.is_there,
            &[(true, "Yes"), (false, "Not yet")],
        );
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Its day")
                .width(room_for(ui, 126.0))
                .problem(beside("day"));
            if self.day.trim().is_empty() {
                text_field(ui, field.hint("if known"), &mut self.day);
            } else {
                date_field(ui, field, &mut self.day, cx.today);
            }
            let field = Field::new("Where it is kept")
                .width(room_for(ui, 260.0))
                .hint("blue folder, first sheet")
                .problem(beside("kept_at"));
            text_field(ui, field, &mut self.kept_at);
        });
        let field = Field::new("Note").problem(beside("note"));
        text_field(ui, field, &mut self.note);
        if self.kind != PaperKind::TaxNumber {
            ui.add_space(space::SMALL);
            self.copy.take_dropped(ui);
            self.copy.ui(ui, beside_book);
        }
        self.tried.buttons(ui, "Keep the paper", wrong)
    }
}

/// A decision while it is typed.
struct DecisionDraft {
    day: String,
    what: String,
    why: String,
    corrects: Option<Decision>,
    take_focus: bool,
    tried: Tried,
}

impl DecisionDraft {
    fn new(corrects: Option<Decision>) -> Self {
        Self {
            day: "today".to_owned(),
            what: String::new(),
            why: String::new(),
            corrects,
            take_focus: true,
            tried: Tried::default(),
        }
    }

    fn made(&self, cx: &ViewContext<'_>) -> Result<Decision, Wrong> {
        let decision = Decision {
            id: 0,
            day: day_of(&self.day, "day", cx.today)?,
            what: self.what.trim().to_owned(),
            why: self.why.trim().to_owned(),
            corrects: self.corrects.as_ref().map(|corrected| corrected.id),
        };
        decision
            .check()
            .map_err(|error| Wrong::new(error.field(), error.to_string()))?;
        Ok(decision)
    }

    fn ui(&mut self, ui: &mut Ui, wrong: Option<&Wrong>, cx: &ViewContext<'_>) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        if let Some(corrected) = &self.corrects {
            card_heading(ui, "A correction");
            let words = format!(
                "of \u{201C}{}\u{201D}, which stays as it was",
                corrected.what
            );
            soft(ui, &words);
        } else {
            card_heading(ui, "A decision");
        }
        let field = Field::new("On").width(126.0).problem(beside("day"));
        date_field(ui, field, &mut self.day, cx.today);
        let field = Field::new("What was decided")
            .hint("cards cost 4.50 from October on")
            .take_focus(std::mem::take(&mut self.take_focus))
            .problem(beside("what"));
        text_area(ui, field, &mut self.what, 2);
        let field = Field::new("Why")
            .hint("paper went up by a fifth, and the fair sold out at 4.50")
            .problem(beside("why"));
        text_area(ui, field, &mut self.why, 2);
        self.tried.buttons(ui, "Write it down", wrong)
    }
}

enum Draft {
    Paper(Box<PaperDraft>),
    Decision(DecisionDraft),
}

impl Form for Draft {
    fn tried(&mut self) -> &mut Tried {
        match self {
            Self::Paper(draft) => &mut draft.tried,
            Self::Decision(draft) => &mut draft.tried,
        }
    }
}

#[derive(Clone, Copy)]
enum Deed {
    Change,
    Remove,
    Show,
}

/// The page of papers and decisions.
#[derive(Default)]
pub(super) struct PapersPage {
    papers: Vec<CompanyPaper>,
    decisions: Vec<Decision>,
    facts: Vec<Fact>,
    period_label: String,
    draft: Option<Draft>,
    beside: PathBuf,
    wanted: Option<(i64, String, String)>,
    shown: Option<(i64, String, Vec<u8>, Option<ReceiptView>)>,
}

impl PapersPage {
    /// Begins a decision.
    pub(super) fn begin_decision(&mut self) {
        self.draft = Some(Draft::Decision(DecisionDraft::new(None)));
    }

    pub(super) fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.papers = book.company_papers()?;
        self.decisions = book.decisions()?;
        self.facts = reports::evidence(book, cx.period, cx.today)?;
        cx.period_label.clone_into(&mut self.period_label);
        book.path().clone_into(&mut self.beside);
        if let Some((paper, hash, name)) = self.wanted.take() {
            let bytes = book.receipt_bytes(&ReceiptId(hash))?;
            self.shown = Some((paper, name, bytes, None));
        }
        Ok(())
    }

    pub(super) fn is_stale(&self) -> bool {
        self.wanted.is_some()
    }

    pub(super) fn written(&mut self) {
        leave_when_written(&mut self.draft);
    }

    pub(super) fn refused(&mut self, message: &str) {
        say_refused(&mut self.draft, message);
    }

    pub(super) fn has_draft(&self) -> bool {
        match &self.draft {
            Some(Draft::Decision(draft)) => !draft.what.trim().is_empty(),
            Some(Draft::Paper(draft)) => draft.note != draft.before.note,
            None => false,
        }
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        if self.draft.is_some() {
            asked = card(ui, |ui| self.draft_ui(ui, cx));
            ui.add_space(space::LARGE);
        }
        asked = asked.or(card(ui, |ui| self.papers_ui(ui)));
        ui.add_space(space::LARGE);
        card(ui, |ui| self.decisions_ui(ui));
        ui.add_space(space::LARGE);
        card(ui, |ui| self.facts_ui(ui));
        ui.add_space(space::LARGE);
        caution(ui, PAPERS_CAUTION);
        asked
    }

    fn draft_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (pressed, write) = match self.draft.as_mut()? {
            Draft::Paper(draft) => {
                let made = draft.made(cx);
                let pressed = draft.ui(ui, made.as_ref().err(), &self.beside, cx);
                let copy = draft.copy.file.clone();
                let copy = copy.filter(|_file| draft.kind != PaperKind::TaxNumber);
                let write = made.ok().map(|paper| DeskWrite::KeepPaper(paper, copy));
                (pressed, write)
            }
            Draft::Decision(draft) => {
                let made = draft.made(cx);
                let pressed = draft.ui(ui, made.as_ref().err(), cx);
                (pressed, made.ok().map(DeskWrite::Decide))
            }
        };
        match pressed? {
            Pressed::Keep => write.map(desk),
            Pressed::Leave => {
                self.draft = None;
                None
            }
        }
    }

    fn papers_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        card_heading(ui, "Company papers");
        let desk = |write| Some(Action::write(Write::Desk(Box::new(write))));
        if self.papers.is_empty() {
            soft(
                ui,
                "What shows that the company is one: registration, operating agreement, loans in writing. Only where they lie \
                 and of which day; the tax number itself is never kept here.",
            );
            ui.add_space(space::SMALL);
            if primary_button(ui, "Begin with the usual ones", "").clicked() {
                let usual = USUAL.iter().map(|kind| CompanyPaper::new(*kind)).collect();
                return desk(DeskWrite::BeginPapers(usual));
            }
        }
        let mut deed = None;
        for (idx, paper) in self.papers.iter().enumerate() {
            if idx > 0 {
                parts::rule(ui);
            }
            ui.push_id(("paper", paper.id), |ui| {
                if let Some(pressed) = paper_ui(ui, paper) {
                    deed = Some((paper.clone(), pressed));
                }
                if let Some((of, name, bytes, view)) = &mut self.shown
                    && *of == paper.id
                {
                    let view = view.get_or_insert_with(|| {
                        ReceiptView::new(ui.ctx(), name.as_str(), bytes.clone())
                    });
                    receipt_viewer(ui, view, 260.0);
                }
            });
        }
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Another paper\u{2026}", "").clicked() {
            let new = CompanyPaper::new(PaperKind::Other);
            let new = CompanyPaper {
                name: String::new(),
                is_there: true,
                ..new
            };
            self.draft = Some(Draft::Paper(Box::new(PaperDraft::of(new))));
        }
        let (paper, deed) = deed?;
        match deed {
            Deed::Change => self.draft = Some(Draft::Paper(Box::new(PaperDraft::of(paper)))),
            Deed::Remove => return desk(DeskWrite::RemovePaper(paper.id)),
            Deed::Show => {
                let copy = paper.proof?;
                self.wanted = Some((paper.id, copy.hash, copy.name));
            }
        }
        None
    }

    fn decisions_ui(&mut self, ui: &mut Ui) {
        card_heading(ui, "Decisions")
            .on_hover_text("A dated log: a line is never changed, a correction is a new line");
        if self.decisions.is_empty() {
            soft(
                ui,
                "Two lines each: what you decided, and why. A new price, a product dropped, a press bought. They show that the \
                 business is run like one, and remind you in a year.",
            );
        }
        let mut corrected = None;
        for (idx, decision) in self
            .decisions
            .iter()
            .rev()
            .take(DECISIONS_SHOWN)
            .enumerate()
        {
            if idx > 0 {
                parts::rule(ui);
            }
            ui.push_id(("decision", decision.id), |ui| {
                ui.label(format!("{}: {}", show_day(decision.day), decision.what));
                soft(ui, &format!("because: {}", decision.why));
                let by_id = |id| self.decisions.iter().find(|one| one.id == id);
                if let Some(earlier) = decision.corrects.and_then(by_id) {
                    soft(ui, &format!("corrects \u{201C}{}\u{201D}", earlier.what));
                }
                let mut later = self.decisions.iter();
                if later.any(|one| one.corrects == Some(decision.id)) {
                    soft(ui, "corrected by a later line");
                    return;
                }
                let deeds = [("Correct it", true, ())];
                if deeds_ui(ui, &decision.what, &deeds).is_some() {
                    corrected = Some(decision.clone());
                }
            });
        }
        if self.decisions.len() > DECISIONS_SHOWN {
            let rest = self.decisions.len() - DECISIONS_SHOWN;
            soft(ui, &format!("and {rest} earlier ones"));
        }
        if corrected.is_some() {
            self.draft = Some(Draft::Decision(DecisionDraft::new(corrected)));
        }
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Write a decision down\u{2026}", "").clicked() {
            self.begin_decision();
        }
    }

    fn facts_ui(&self, ui: &mut Ui) {
        card_heading(ui, "How the business is kept")
            .on_hover_text("Evidence of businesslike conduct: facts from the book");
        soft(ui, &self.period_label);
        let mut topic = "";
        for fact in &self.facts {
            if fact.topic != topic {
                topic = fact.topic;
                ui.add_space(space::SMALL);
                let ink = palette(ui).ink;
                ui.label(RichText::new(topic).font(theme::bold()).color(ink));
            }
            ui.label(&fact.fact);
        }
        ui.add_space(space::SMALL);
        soft(ui, EVIDENCE_CAUTION);
    }
}

/// A paper in words, with what can be done.
fn paper_ui(ui: &mut Ui, paper: &CompanyPaper) -> Option<Deed> {
    let ink = palette(ui).ink;
    ui.label(RichText::new(&paper.name).font(theme::bold()).color(ink));
    let day = |day: Option<NaiveDate>| {
        day.map(|day| format!(", of {}", show_day(day)))
            .unwrap_or_default()
    };
    let there = if paper.is_there {
        "There"
    } else {
        "Not there yet"
    };
    let mut words = format!("{there}{}", day(paper.day));
    if !paper.kept_at.is_empty() {
        words.push_str(&format!(", kept at: {}", paper.kept_at));
    }
    ui.label(words);
    if paper.note.is_empty() {
        soft(ui, paper.kind.about());
    } else {
        soft(ui, &paper.note);
    }
    let deeds = [
        ("Change", true, Deed::Change),
        ("Show the copy", paper.proof.is_some(), Deed::Show),
        ("Take off the list", true, Deed::Remove),
    ];
    deeds_ui(ui, &paper.name, &deeds)
}
