//! Receipts in bulk: a folder of pictures, one beside two fields for the day and the amount that she reads off it, and
//! the entries it may belong to. Nothing is read off a picture by guess.
//! Which entries may be meant is `catching_up`'s; writing is asked for.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::action::{Action, Kept, ReceiptFile, Write};
use crate::app::forms::parts::two_columns;
use crate::app::forms::receipt::read_receipt;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, PathPicker, PathWanted, ReceiptView, card, card_heading, date_field, money_field,
    page_heading, primary_button, problem, quiet_button, receipt_viewer, secondary_button, soft,
};
use crate::book::{Book, BookError, Draft, ReceiptId};
use crate::catching_up::{OpenEntry, SeenReceipt, candidates};
use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::reports;

const ENDINGS: [&str; 4] = ["png", "jpg", "jpeg", "pdf"];

/// A file of the folder while it is looked at.
struct Looked {
    path: PathBuf,
    receipt: ReceiptFile,
    view: Option<ReceiptView>,
}

/// What was typed for a file: its day and its amount.
#[derive(Clone, Default, Serialize, Deserialize)]
struct Typed {
    date: String,
    amount: String,
}

impl Typed {
    fn is_empty(&self) -> bool {
        self.date.trim().is_empty() && self.amount.trim().is_empty()
    }
}

/// What is kept in the book of a folder that is not gone through yet: where it lies and what was typed for its files.
#[derive(Serialize, Deserialize)]
struct KeptFolder {
    folder_of_receipts: PathBuf,
    typed: BTreeMap<PathBuf, Typed>,
}

/// The page.
#[derive(Default)]
pub struct ReceiptsScreen {
    picker: Option<PathPicker>,
    files: Vec<PathBuf>,
    place: usize,
    looked: Option<Looked>,
    typed: BTreeMap<PathBuf, Typed>,
    kept: BTreeSet<ReceiptId>,
    n_known: usize,
    open: Vec<OpenEntry>,
    is_asked: bool,
    trouble: Option<String>,
    /// The number of what was kept for later and is open here.
    kept_id: Option<i64>,
}

impl ReceiptsScreen {
    /// The page as it was kept for later; nothing when something else was kept.
    #[must_use]
    pub fn taken_up_from(draft: &Draft) -> Option<Self> {
        let kept: KeptFolder = serde_json::from_str(&draft.content).ok()?;
        let mut screen = Self {
            typed: kept.typed,
            kept_id: Some(draft.id),
            ..Self::default()
        };
        screen.take_folder(&kept.folder_of_receipts);
        Some(screen)
    }

    /// What was typed for files that are not filed yet.
    fn typed(&self) -> BTreeMap<PathBuf, Typed> {
        let typed = self.typed.iter().filter(|(_file, typed)| !typed.is_empty());
        typed
            .map(|(file, typed)| (file.clone(), typed.clone()))
            .collect()
    }

    /// Looks through a folder.
    fn take_folder(&mut self, folder: &Path) {
        let found = std::fs::read_dir(folder);
        match found {
            Err(error) => {
                self.trouble = Some(format!(
                    "this folder cannot be read: {error} ({})",
                    folder.display()
                ));
            }
            Ok(entries) => {
                let mut files: Vec<PathBuf> = entries
                    .flatten()
                    .map(|entry| entry.path())
                    .filter(|path| path.is_file() && is_receipt(path))
                    .collect();
                files.sort();
                self.trouble = files
                    .is_empty()
                    .then(|| "there is no picture and no PDF in this folder".to_owned());
                self.files = files;
                self.place = 0;
                self.n_known = 0;
                self.looked = None;
            }
        }
    }

    /// Reads the file at the place, when it is not looked at yet. One that is in the book already is passed over.
    fn look(&mut self) {
        let Some(path) = self.files.get(self.place).cloned() else {
            self.looked = None;
            return;
        };
        if self.looked.as_ref().is_some_and(|one| one.path == path) {
            return;
        }
        match read_receipt(&path) {
            Ok(receipt) if self.kept.contains(&ReceiptId::of(&receipt.bytes)) => {
                self.n_known += 1;
                self.place += 1;
            }
            Ok(receipt) => {
                self.trouble = None;
                self.looked = Some(Looked {
                    path,
                    receipt,
                    view: None,
                });
            }
            Err(words) => {
                self.trouble = Some(words);
                self.place += 1;
            }
        }
    }

    fn go_on(&mut self) {
        self.place += 1;
        self.looked = None;
    }

    fn file_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let Some(mut looked) = self.looked.take() else {
            if !self.files.is_empty() && self.place >= self.files.len() {
                self.end_ui(ui);
            }
            return None;
        };
        let mut asked = None;
        let mut is_skipped = false;
        let heading = format!("{} of {}", self.place + 1, self.files.len());
        card(ui, |ui| {
            card_heading(ui, &heading);
            let typed = self.typed.entry(looked.path.clone()).or_default();
            let mut state = (&mut looked, typed);
            let open = &self.open;
            two_columns(
                ui,
                &mut state,
                |ui, (looked, _typed)| {
                    let receipt = &looked.receipt;
                    let view = looked.view.get_or_insert_with(|| {
                        ReceiptView::new(ui.ctx(), &receipt.name, receipt.bytes.clone())
                    });
                    receipt_viewer(ui, view, 360.0);
                },
                |ui, (looked, typed)| {
                    let field = Field::new("Day on the receipt").hint("3 Mar 2026");
                    let date = if typed.date.trim().is_empty() {
                        crate::app::widgets::text_field(ui, field, &mut typed.date);
                        None
                    } else {
                        date_field(ui, field, &mut typed.date, cx.today).1
                    };
                    let field = Field::new("Amount on the receipt");
                    let (_, amount) = money_field(ui, field, &mut typed.amount, cx.currency);
                    ui.add_space(space::MEDIUM);
                    let seen = date.zip(amount.filter(|one| one.is_positive()));
                    if let Some((date, amount)) = seen {
                        let found = candidates(SeenReceipt { date, amount }, open);
                        asked = found_ui(ui, &found, &looked.receipt, cx);
                    } else {
                        soft(
                            ui,
                            "Type what stands on it; entries of that amount about that day are offered.",
                        );
                    }
                    ui.add_space(space::MEDIUM);
                    is_skipped = quiet_button(ui, "Leave it for later").clicked();
                },
            );
        });
        self.looked = Some(looked);
        if is_skipped {
            self.go_on();
        }
        let write = asked?;
        self.is_asked = true;
        Some(Action::write(match self.kept_id {
            Some(id) => Write::FromKept(id, Box::new(write)),
            None => write,
        }))
    }

    fn end_ui(&mut self, ui: &mut Ui) {
        card(ui, |ui| {
            card_heading(ui, "The folder is gone through");
            let left = self.files.len() - self.n_known.min(self.files.len());
            soft(
                ui,
                &match left {
                    0 => "Every file of it is in the book.".to_owned(),
                    1 => "1 file was left for later.".to_owned(),
                    left => format!("{left} files were left for later, or were filed just now."),
                },
            );
            if secondary_button(ui, "Go through it again", "").clicked() {
                self.place = 0;
                self.n_known = 0;
            }
        });
    }
}

/// The entries that a receipt may belong to, each with its button.
fn found_ui(
    ui: &mut Ui,
    found: &[&OpenEntry],
    receipt: &ReceiptFile,
    cx: &ViewContext<'_>,
) -> Option<Write> {
    let mut asked = None;
    if found.is_empty() {
        soft(
            ui,
            "No entry without a receipt has this amount within ten days. Check what you typed, or leave it for later.",
        );
    }
    for (idx, entry) in found.iter().enumerate() {
        let words = format!(
            "File it with {}: {}, {}",
            show_day(entry.date),
            entry.party,
            cx.show(entry.total)
        );
        let button = if idx == 0 {
            primary_button(ui, &words, "")
        } else {
            secondary_button(ui, &words, "")
        };
        if !entry.memo.is_empty() {
            soft(ui, &entry.memo);
        }
        if button.clicked() {
            asked = Some(Write::Attach(entry.number, receipt.clone()));
        }
    }
    asked
}

fn is_receipt(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    ENDINGS.contains(&ending.to_lowercase().as_str())
}

impl Screen for ReceiptsScreen {
    fn title(&self) -> String {
        "Receipts".to_owned()
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        if self.picker.is_none() {
            let beside = book.path().parent().unwrap_or(Path::new("."));
            self.picker = Some(PathPicker::new(PathWanted::Folder, beside));
        }
        self.open = reports::without_receipt(book)?;
        let kept = book.all_receipts()?;
        self.kept = kept
            .into_iter()
            .map(|(_entry, receipt)| receipt.id)
            .collect();
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let second = match self.open.len() {
            0 => "Every entry has its receipt or something that stands in.".to_owned(),
            1 => "1 entry lacks its receipt.".to_owned(),
            count => format!("{count} entries lack their receipt."),
        };
        page_heading(ui, "Receipts", &second);
        if self.files.is_empty() {
            card(ui, |ui| {
                card_heading(ui, "A folder of pictures");
                soft(
                    ui,
                    "Photos and PDFs are shown one after the other; you type the day and the amount once. Those that are \
                     in the book already are passed over.",
                );
                let mut wanted = None;
                if let Some(picker) = &mut self.picker {
                    picker.ui(ui, "Which folder", None);
                    ui.add_space(space::SMALL);
                    if primary_button(ui, "Go through this folder", "").clicked() {
                        wanted = Some(picker.path());
                    }
                }
                if let Some(folder) = wanted {
                    self.take_folder(&folder);
                }
            });
        } else if quiet_button(ui, "Another folder").clicked() {
            self.files.clear();
            self.looked = None;
        }
        if let Some(words) = &self.trouble {
            problem(ui, words);
        }
        let before = self.place;
        self.look();
        if self.place != before {
            // One file a frame, so that a large folder does not hold the window up.
            ui.ctx().request_repaint();
        }
        if self.n_known > 0 {
            soft(
                ui,
                &match self.n_known {
                    1 => "1 file is in the book already.".to_owned(),
                    count => format!("{count} files are in the book already."),
                },
            );
        }
        ui.add_space(space::MEDIUM);
        self.file_ui(ui, cx)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_asked) {
            // It is filed; what else was typed is kept anew when the page is left.
            self.kept_id = None;
            if let Some(looked) = &self.looked {
                self.typed.remove(&looked.path);
            }
            self.go_on();
        }
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.is_asked = false;
        self.trouble = Some(message.to_owned());
    }

    fn has_draft(&self) -> bool {
        self.typed.values().any(|typed| !typed.is_empty())
    }

    fn to_keep(&self) -> Option<Kept> {
        let typed = self.typed();
        let folder = typed.keys().next()?.parent()?.to_path_buf();
        let form = match typed.len() {
            1 => "Receipts: 1 with its day and amount".to_owned(),
            count => format!("Receipts: {count} with their days and amounts"),
        };
        let kept = KeptFolder {
            folder_of_receipts: folder,
            typed,
        };
        Some(Kept {
            id: self.kept_id,
            form,
            content: serde_json::to_string(&kept).ok()?,
        })
    }

    fn taken_up(&self) -> Option<i64> {
        self.kept_id
    }
}
