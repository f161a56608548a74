//! Handing the year over: making the pack, opening it, which packs were made, and what the accountant sends back.
//! What a pack holds is `export::year_end`'s.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use chrono::NaiveDate;
use egui::Ui;

use super::view;
use crate::app::action::{Action, BookJob};
use crate::app::theme::space;
use crate::app::widgets::{
    PathPicker, PathWanted, card, card_heading, primary_button_enabled, quiet_button,
    secondary_button, soft,
};
use crate::book::{Book, BookError, PackRecord};
use crate::dates::{DateRange, show_day};
use crate::export::{counted, year_end};
use crate::import::{Sheet, layouts};
use crate::reports;

/// What is chosen on the page.
#[derive(Default)]
pub(super) struct HandingOver {
    folder: Option<PathPicker>,
    sheet: Option<PathPicker>,
    /// Where the last pack of this sitting was written.
    target: Option<(i32, PathBuf)>,
    /// Where one is being written, and when what is there by now was.
    asked: Option<(i32, PathBuf, Option<SystemTime>)>,
    packs: Vec<PackRecord>,
    /// How many rows of the history came after the newest pack.
    n_since: usize,
    beside_book: PathBuf,
}

impl HandingOver {
    pub(super) fn refresh(
        &mut self,
        book: &Book,
        days: DateRange,
        year: i32,
    ) -> Result<(), BookError> {
        self.packs = book.packs(days)?;
        self.n_since = match self.packs.last() {
            Some(pack) => book.history_of_days_since(days, pack.head_seq)?.len(),
            None => 0,
        };
        let beside = book.path().parent().unwrap_or(Path::new("."));
        beside.clone_into(&mut self.beside_book);
        if self.target.as_ref().is_some_and(|(of, _path)| *of != year) {
            self.target = None;
        }
        Ok(())
    }

    /// Looks whether the pack that was asked for came to be; what was typed for one that did not is there again.
    fn take_in(&mut self) {
        let Some((year, folder, before)) = self.asked.take() else {
            return;
        };
        let written = written_at(&pages_in(&folder, year));
        if written.is_some() && written != before {
            self.target = Some((year, folder));
        } else {
            self.folder = Some(PathPicker::new(PathWanted::Folder, &folder));
        }
    }

    /// The pages of the pack that was made in this sitting, when they are there.
    fn pages(&self) -> Option<(PathBuf, PathBuf)> {
        let (year, folder) = self.target.as_ref()?;
        let pages = pages_in(folder, *year);
        pages.exists().then(|| (folder.clone(), pages))
    }

    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        year: i32,
        is_closed: bool,
        today: NaiveDate,
    ) -> Option<Action> {
        // The page is not drawn while the book is lent: here again, whatever was asked for is done or was refused.
        self.take_in();
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, "The pack for the accountant").on_hover_text("Year-end pack");
            soft(
                ui,
                "Pages to read, a workbook to work with, sheets to load and the receipts, in one folder and in one file \
                 to send. Every figure leads to its entries, and a sealed list proves that nothing was altered.",
            );
            if !is_closed {
                soft(
                    ui,
                    "The year is not closed yet. The pack can be made all the same and says so.",
                );
            }
            ui.add_space(space::SMALL);
            view::caution_ui(ui);
            ui.add_space(space::SMALL);
            asked = self.make_ui(ui, year, today);
            asked = asked.take().or(self.made_ui(ui));
        });
        if !self.packs.is_empty() {
            ui.add_space(space::LARGE);
            card(ui, |ui| self.packs_ui(ui));
        }
        asked
    }

    fn make_ui(&mut self, ui: &mut Ui, year: i32, today: NaiveDate) -> Option<Action> {
        let Some(picker) = &mut self.folder else {
            if secondary_button(ui, "Make the pack\u{2026}", "").clicked() {
                let target = free_place(&self.beside_book, year);
                self.folder = Some(PathPicker::new(PathWanted::Folder, &target));
            }
            return None;
        };
        picker.ui(ui, "A new, empty folder", None);
        let (mut is_left, mut wanted) = (false, None);
        ui.horizontal(|ui| {
            let has_path = !picker.text.trim().is_empty();
            if primary_button_enabled(ui, has_path, "Make it here", "").clicked() {
                wanted = Some(picker.path());
            }
            is_left = quiet_button(ui, "Not now").clicked();
        });
        if is_left || wanted.is_some() {
            self.folder = None;
        }
        let target = wanted?;
        self.target = None;
        let before = written_at(&pages_in(&target, year));
        self.asked = Some((year, target.clone(), before));
        Some(make(year, target, today))
    }

    fn made_ui(&self, ui: &mut Ui) -> Option<Action> {
        let (folder, pages) = self.pages()?;
        let mut asked = None;
        ui.add_space(space::SMALL);
        let archive = folder.with_file_name(format!(
            "{}.zip",
            folder.file_name().unwrap_or_default().to_string_lossy()
        ));
        if self.n_since > 0 {
            ui.label(
                "The year was changed since this pack was made: make a new one before you send it.",
            );
        } else {
            ui.label(format!(
                "You are done. Send your accountant this one file: {}",
                archive.display()
            ));
        }
        soft(
            ui,
            &format!(
                "The same lies open to read in the folder {}",
                folder.display()
            ),
        );
        ui.horizontal(|ui| {
            if primary_button_enabled(ui, true, "Read the pages", "").clicked() {
                asked = Some(open(pages, "The pack is there"));
            }
            if secondary_button(ui, "Open the folder", "").clicked() {
                asked = Some(open(folder, "The pack is there"));
            }
        });
        asked
    }

    fn packs_ui(&self, ui: &mut Ui) {
        card_heading(ui, "Packs that were made");
        for (place, pack) in self.packs.iter().enumerate() {
            let is_newest = place + 1 == self.packs.len();
            let since = match (is_newest, self.n_since) {
                (false, _) => String::new(),
                (true, 0) => ": nothing of the year was written since".to_owned(),
                (true, n) => format!(
                    ": {} since; a new pack says which",
                    counted(n, "change of the year", "changes of the year")
                ),
            };
            let number = place + 1;
            ui.label(format!(
                "Pack {number}, of {}{since}",
                show_day(pack.made_on)
            ));
        }
    }

    /// What the accountant sends back, as a sheet of entries.
    pub(super) fn sent_back_ui(&mut self, ui: &mut Ui, is_closed: bool) -> Option<Action> {
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, "What the accountant sent back")
                .on_hover_text("Adjusting entries of the accountant");
            soft(
                ui,
                "A sheet with her entries goes in as it is, all of it or none of it. The pack made after it says what \
                 changed.",
            );
            if is_closed {
                soft(ui, "The year is closed: reopen it first, with a reason.");
                return;
            }
            ui.add_space(space::SMALL);
            let Some(picker) = &mut self.sheet else {
                if secondary_button(ui, "Bring her entries in\u{2026}", "").clicked() {
                    let start = &self.beside_book;
                    self.sheet = Some(PathPicker::new(PathWanted::File(vec!["csv"]), start));
                }
                return;
            };
            picker.ui(ui, "The sheet", None);
            let mut is_left = false;
            ui.horizontal(|ui| {
                let is_file = picker.path().is_file();
                if primary_button_enabled(ui, is_file, "Bring them in", "").clicked() {
                    asked = Some(bring(picker.path()));
                    is_left = true;
                }
                is_left |= quiet_button(ui, "Not now").clicked();
            });
            if is_left {
                self.sheet = None;
            }
        });
        asked
    }
}

fn written_at(file: &Path) -> Option<SystemTime> {
    std::fs::metadata(file)
        .and_then(|file| file.modified())
        .ok()
}

fn pages_in(folder: &Path, year: i32) -> PathBuf {
    folder.join(format!("year-end-{year}.pdf"))
}

/// A place beside the book where nothing is yet.
fn free_place(beside: &Path, year: i32) -> PathBuf {
    let place = |name: String| beside.join(name);
    let is_free = |path: &PathBuf| !path.exists() && !path.with_extension("zip").exists();
    let first = place(format!("year-end-{year}"));
    if is_free(&first) {
        return first;
    }
    (2..100)
        .map(|again| place(format!("year-end-{year}-{again}")))
        .find(is_free)
        .unwrap_or(first)
}

fn open(path: PathBuf, done: &str) -> Action {
    Action::OpenFile {
        path,
        done: done.to_owned(),
    }
}

/// The pack is made with the book lent to a thread, which says how far it is and can be stopped.
fn make(year: i32, target: PathBuf, today: NaiveDate) -> Action {
    Action::Lend(BookJob {
        title: "Making the year-end pack".to_owned(),
        work: Box::new(move |book, progress| {
            let watch = &mut |done, whole| progress.tell(done, whole);
            let pack = year_end::make(book, year, &target, today, watch)
                .map_err(|error| sentence(&error.to_string()))?;
            Ok(format!(
                "{} are written to {}, and all of them as one file beside it",
                counted(pack.files.len(), "file", "files"),
                target.display()
            ))
        }),
    })
}

fn bring(path: PathBuf) -> Action {
    Action::Lend(BookJob {
        title: "Bringing the accountant's entries in".to_owned(),
        work: Box::new(move |book, _progress| {
            let bytes = std::fs::read(&path)
                .map_err(|error| format!("{} cannot be read: {error}", path.display()))?;
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let sheet = Sheet::read(&name, &bytes, &layouts::ADJUSTMENTS)
                .map_err(|faults| faults.to_string())?;
            let numbers = reports::post_adjustments(book, &sheet)
                .map_err(|error| sentence(&error.to_string()))?;
            Ok(format!(
                "{} brought in",
                counted(numbers.len(), "adjusting entry is", "adjusting entries are")
            ))
        }),
    })
}

/// An error as a sentence of its own.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
