//! An entry's page: what happened in a sentence, its lines, its receipts shown in place, its proof and its history.
//! `model` reads it, `view` and `amend` draw it; this file holds what is being typed and answers what was pressed.

mod amend;
mod model;
mod view;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use egui::Ui;

pub use model::{EntryModel, VersionRow, changes, moment, sentence};

use self::amend::{AmendDraft, Decision};
use self::view::Pressed;
use crate::app::action::{Action, ReceiptFile, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, PathPicker, PathWanted, ReceiptView, card, card_heading, columns, date_field,
    primary_button_enabled, quiet_button, receipt_viewer, secondary_button, soft, text_field,
};
use crate::book::{Book, BookError, Receipt, ReceiptId};
use crate::dates::show_day;
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
    amend: Option<AmendDraft>,
    take_back: Option<TakeBack>,
    picker: Option<PathPicker>,
}

/// Taking it back, being typed.
struct TakeBack {
    day: String,
    reason: String,
}

/// The largest file that is taken as a receipt.
const LARGEST_RECEIPT: u64 = 20 * 1024 * 1024;

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
            amend: None,
            take_back: None,
            picker: None,
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
        self.proof = model.proof.clone();
        self.model = Some(model);
        Ok(())
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
        self.amend = None;
        self.take_back = None;
        self.picker = None;
        After::Stay
    }

    fn has_draft(&self) -> bool {
        self.amend.as_ref().is_some_and(AmendDraft::is_changed)
    }
}

impl EntryScreen {
    fn books_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        let mut asked = None;
        match view::head_ui(ui, model, cx.chart, cx.currency) {
            Some(Pressed::Change) => {
                self.take_back = None;
                self.amend = Some(AmendDraft::new(&model.posted, cx.chart, cx.currency));
            }
            Some(Pressed::TakeBack) => {
                self.amend = None;
                self.take_back = Some(TakeBack {
                    day: show_day(cx.today.max(model.posted.entry.header.date)),
                    reason: String::new(),
                });
            }
            Some(Pressed::Other(other)) => asked = Some(open(other)),
            Some(Pressed::Line(line)) => {
                let account = model.posted.entry.lines().get(line)?.account;
                asked = Some(super::money::open_account(account));
            }
            None => {}
        }
        ui.add_space(space::LARGE);
        if let Some(draft) = &mut self.amend {
            match draft.ui(ui, cx.chart, cx.currency, cx.today) {
                Some(Decision::Keep(entry, reason)) => {
                    asked = Some(Action::write(Write::Amend {
                        number: self.number,
                        entry,
                        proof: None,
                        receipts: Vec::new(),
                        reason,
                    }));
                }
                Some(Decision::Leave) => self.amend = None,
                None => {}
            }
            ui.add_space(space::LARGE);
        }
        asked = asked.or(self.take_back_ui(ui, cx.today));
        if let Some(model) = &self.model {
            card(ui, |ui| view::versions_ui(ui, &model.versions));
        }
        asked
    }

    fn take_back_ui(&mut self, ui: &mut Ui, today: NaiveDate) -> Option<Action> {
        let draft = self.take_back.as_mut()?;
        let number = self.number;
        let mut asked = None;
        let mut is_left = false;
        card(ui, |ui| {
            card_heading(ui, "Take it back")
                .on_hover_text("A reversal: an entry that mirrors this one");
            soft(
                ui,
                "A second entry mirrors this one, so both stay to be seen and nothing is left of it.",
            );
            let (_field, day) = date_field(
                ui,
                Field::new("On which day").width(140.0),
                &mut draft.day,
                today,
            );
            text_field(
                ui,
                Field::new("Why").hint("kept in the history, as: entered twice"),
                &mut draft.reason,
            );
            ui.add_space(space::SMALL);
            ui.horizontal(|ui| {
                let is_ready = day.is_some() && !draft.reason.trim().is_empty();
                let yes = primary_button_enabled(ui, is_ready, "Take it back", "");
                if let (true, Some(date)) = (yes.clicked(), day) {
                    asked = Some(Action::write(Write::Reverse {
                        number,
                        date,
                        reason: draft.reason.trim().to_owned(),
                    }));
                }
                is_left = quiet_button(ui, "Leave it").clicked();
            });
        });
        ui.add_space(space::LARGE);
        if is_left {
            self.take_back = None;
        }
        asked
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
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let size = std::fs::metadata(path)
        .map(|about| about.len())
        .unwrap_or(0);
    if size > LARGEST_RECEIPT {
        return Action::Trouble(format!(
            "{name} is larger than 20 MB; nothing was changed. Keep a smaller photo of it"
        ));
    }
    match std::fs::read(path) {
        Ok(bytes) => Action::write(Write::Attach(number, ReceiptFile { name, bytes })),
        Err(error) => Action::Trouble(format!(
            "{name} cannot be read ({error}); nothing was changed"
        )),
    }
}
