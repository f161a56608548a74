//! An entry's page: what happened in a sentence, its lines, its receipts shown in place, its proof and its history.
//! `model` reads it, `view` draws it; this file answers what was pressed. Changing it and taking it back are forms.

mod model;
mod view;

use std::path::{Path, PathBuf};

use egui::Ui;

pub use model::{EntryModel, VersionRow, changes, moment, sentence};

use self::view::Pressed;
use crate::app::action::{Action, Form, FormWish, SortingWrite, Write};
use crate::app::forms::receipt::read_receipt;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::screens::desk::QuestionList;
use crate::app::theme::space;
use crate::app::widgets::{
    PathPicker, PathWanted, ReceiptView, card, card_heading, columns, primary_button_enabled,
    quiet_button, receipt_viewer, secondary_button, soft,
};
use crate::book::{Book, BookError, Receipt, ReceiptId};
use crate::happenings::Proof;
use crate::ledger::EntryNumber;

/// Opens an entry's page.
#[must_use]
pub fn open(number: EntryNumber) -> Action {
    Action::Open(Box::new(EntryScreen::new(number)))
}

/// The page of one entry.
pub struct EntryScreen {
    number: EntryNumber,
    model: Option<EntryModel>,
    proof: Proof,
    files: Vec<(Receipt, Vec<u8>)>,
    views: Vec<(ReceiptId, ReceiptView)>,
    picker: Option<PathPicker>,
    questions: QuestionList,
}

impl EntryScreen {
    /// The page of this entry.
    #[must_use]
    pub fn new(number: EntryNumber) -> Self {
        Self {
            number,
            model: None,
            proof: Proof::default(),
            files: Vec::new(),
            views: Vec::new(),
            picker: None,
            questions: QuestionList::of(number),
        }
    }
}

impl Screen for EntryScreen {
    fn title(&self) -> String {
        format!("Entry {}", self.number)
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        let model = EntryModel::read(book, self.number)?;
        self.files = model
            .receipts
            .iter()
            .map(|receipt| Ok((receipt.clone(), book.receipt_bytes(&receipt.id)?)))
            .collect::<Result<_, BookError>>()?;
        self.views
            .retain(|(id, _view)| model.receipts.iter().any(|receipt| receipt.id == *id));
        // What is being typed stays when something else of the entry changes.
        if !self.is_proof_changed() {
            self.proof = model.proof.clone();
        }
        self.model = Some(model);
        self.questions.refresh(book)
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = self.dropped(ui);
        if ui.available_width() >= 860.0 {
            columns(ui, &[1.2, 1.0], |parts| {
                if let [left, right] = parts {
                    asked = asked.take().or(self.books_ui(left, cx));
                    asked = asked.take().or(self.proof_side_ui(right, cx));
                }
            });
        } else {
            asked = asked.or(self.books_ui(ui, cx));
            ui.add_space(space::LARGE);
            asked = asked.or(self.proof_side_ui(ui, cx));
        }
        asked
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.picker = None;
        self.questions.written();
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.questions.refused(message);
    }

    fn has_draft(&self) -> bool {
        self.is_proof_changed() || self.questions.has_draft()
    }
}

impl EntryScreen {
    fn books_ui(&self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        let mut asked = None;
        match view::head_ui(ui, model, cx.chart, cx.currency) {
            Some(Pressed::Change) => {
                asked = Some(Action::Start(FormWish::of_entry(Form::Amend, self.number)));
            }
            Some(Pressed::TakeBack) => {
                asked = Some(Action::Start(FormWish::of_entry(
                    Form::TakeBack,
                    self.number,
                )));
            }
            Some(Pressed::Other(other)) => asked = Some(open(other)),
            Some(Pressed::Item(code)) => asked = Some(super::make::open_item(code)),
            Some(Pressed::Line(line)) => {
                let account = model.posted.entry.lines().get(line)?.account;
                asked = Some(super::money::open_account(account));
            }
            None => {}
        }
        ui.add_space(space::LARGE);
        if !model.lines.is_empty() {
            let again = card(ui, |ui| {
                view::bank_lines_ui(ui, &model.lines, cx.chart, cx.currency)
            });
            if let Some(line) = again {
                asked = Some(Action::write(Write::Sorting(SortingWrite::SortAgain(line))));
            }
            ui.add_space(space::LARGE);
        }
        card(ui, |ui| view::versions_ui(ui, &model.versions));
        asked
    }

    fn is_proof_changed(&self) -> bool {
        let model = self.model.as_ref();
        model.is_some_and(|model| self.proof != model.proof)
    }

    fn proof_side_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, "Receipts").on_hover_text("Proof: the document behind the entry");
            asked = self.receipts_ui(ui);
            ui.add_space(space::SMALL);
            asked = asked.take().or(self.add_receipt_ui(ui));
        });
        ui.add_space(space::LARGE);
        let questioned = self.questions.card_ui(ui, cx);
        asked = asked.or(questioned);
        ui.add_space(space::LARGE);
        let model = self.model.as_ref()?;
        card(ui, |ui| {
            card_heading(ui, "What stands behind it");
            let is_changed = self.proof != model.proof;
            if view::proof_ui(ui, &mut self.proof, is_changed, model.receipts.len()) {
                asked = Some(Action::write(Write::SetProof(
                    self.number,
                    self.proof.clone(),
                )));
            }
            if let Some(above) = cx.settings.purpose_above()
                && model.posted.entry.total() >= above
                && self.proof.purpose.trim().is_empty()
            {
                soft(
                    ui,
                    &format!("You ask yourself for a purpose from {} on.", cx.show(above)),
                );
            }
        });
        asked
    }

    fn receipts_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let mut asked = None;
        if self.files.is_empty() {
            soft(
                ui,
                "None yet. Drop a photo or PDF anywhere on this page, or add one.",
            );
        }
        for (receipt, bytes) in &self.files {
            if !self.views.iter().any(|(id, _view)| *id == receipt.id) {
                let view = ReceiptView::new(ui.ctx(), &receipt.name, bytes.clone());
                self.views.push((receipt.id.clone(), view));
            }
            let Some((_id, view)) = self.views.iter_mut().find(|(id, _view)| *id == receipt.id)
            else {
                continue;
            };
            ui.push_id(&receipt.id.0, |ui| {
                receipt_viewer(ui, view, 320.0);
                let take_off = quiet_button(ui, "Take it off");
                let name = format!("Take {} off this entry", receipt.name);
                take_off.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
                if take_off.clicked() {
                    asked = Some(Action::write(Write::Detach(
                        self.number,
                        receipt.id.clone(),
                    )));
                }
                ui.add_space(space::MEDIUM);
            });
        }
        asked
    }

    fn add_receipt_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let Some(picker) = &mut self.picker else {
            if secondary_button(ui, "Add a receipt\u{2026}", "").clicked() {
                let home = directories::UserDirs::new()
                    .map_or_else(|| PathBuf::from("."), |dirs| dirs.home_dir().to_owned());
                self.picker = Some(PathPicker::new(
                    PathWanted::File(vec!["png", "jpg", "jpeg", "pdf"]),
                    &home,
                ));
            }
            return None;
        };
        let is_chosen = picker.ui(ui, "File of the receipt", None);
        let path = picker.path();
        let mut is_left = false;
        let mut is_taken = is_chosen;
        ui.horizontal(|ui| {
            is_taken |= primary_button_enabled(ui, path.is_file(), "Keep this file", "").clicked();
            is_left = quiet_button(ui, "Not now").clicked();
        });
        if is_left {
            self.picker = None;
        }
        is_taken.then(|| attach(self.number, &path))
    }

    /// A file dropped on the page becomes its receipt.
    fn dropped(&self, ui: &Ui) -> Option<Action> {
        let files = ui.input(|input| input.raw.dropped_files.clone());
        let file = files.into_iter().next()?;
        Some(attach(self.number, file.path()))
    }
}

/// Reads a file and asks to keep it as a receipt.
fn attach(number: EntryNumber, path: &Path) -> Action {
    match read_receipt(path) {
        Ok(file) => Action::write(Write::Attach(number, file)),
        Err(words) => Action::Trouble(words),
    }
}
