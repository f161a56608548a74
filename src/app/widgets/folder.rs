//! Choosing a file or folder: a path that can be typed, the folder's contents beneath it, and the desktop's own dialog
//! where there is one.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};

use egui::{ScrollArea, Ui};

use super::buttons::secondary_button;
use super::fields::{Field, text_field};
use super::suggest::list_row;
use super::text::soft;

/// What is being looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PathWanted {
    /// A file that exists, with one of these endings.
    File(Vec<&'static str>),
    /// A file to be made, with this ending.
    NewFile(&'static str),
    /// A folder.
    Folder,
}

/// A path being chosen.
#[derive(Debug)]
pub struct PathPicker {
    /// The path as typed.
    pub text: String,
    wanted: PathWanted,
    listed: Option<(PathBuf, Vec<(String, PathBuf)>)>,
    dialog: Option<Receiver<Option<PathBuf>>>,
    no_dialog: bool,
    takes_keyboard: bool,
}

impl PathPicker {
    /// A picker that begins at `start`.
    #[must_use]
    pub fn new(wanted: PathWanted, start: &Path) -> Self {
        Self {
            text: start.display().to_string(),
            wanted,
            listed: None,
            dialog: None,
            no_dialog: false,
            takes_keyboard: false,
        }
    }

    /// The picker with the keyboard on its field when it is first drawn.
    #[must_use]
    pub fn with_keyboard(mut self) -> Self {
        self.takes_keyboard = true;
        self
    }

    /// The path as it stands.
    #[must_use]
    pub fn path(&self) -> PathBuf {
        let typed = self.text.trim();
        match typed.strip_prefix("~/") {
            Some(rest) => directories::BaseDirs::new()
                .map_or_else(|| PathBuf::from(typed), |dirs| dirs.home_dir().join(rest)),
            None => PathBuf::from(typed),
        }
    }

    /// Shows the field, the folder's contents and the button for the desktop's dialog. Answers true when a file or
    /// folder was chosen in the list or the dialog.
    pub fn ui(&mut self, ui: &mut Ui, label: &str, problem: Option<&str>) -> bool {
        let mut is_chosen = self.take_dialog();
        let take = std::mem::take(&mut self.takes_keyboard);
        let field = Field::new(label).problem(problem).take_focus(take);
        text_field(ui, field, &mut self.text);
        if let Some(path) = self.folder_list(ui) {
            is_chosen |= !path.is_dir();
            self.text = path.display().to_string();
        }
        ui.horizontal(|ui| {
            let is_waiting = self.dialog.is_some();
            ui.add_enabled_ui(!is_waiting, |ui| {
                if secondary_button(ui, "Browse\u{2026}", "").clicked() {
                    self.open_dialog(ui.ctx());
                }
            });
            if is_waiting {
                soft(ui, "The desktop's file window is open");
            } else if self.no_dialog {
                soft(ui, "Nothing was chosen; type the path or choose above");
            }
        });
        is_chosen
    }

    fn folder(&self) -> PathBuf {
        let path = self.path();
        if path.is_dir() {
            return path;
        }
        path.parent()
            .filter(|parent| !parent.as_os_str().is_empty())
            .map_or_else(|| PathBuf::from("."), Path::to_path_buf)
    }

    fn folder_list(&mut self, ui: &mut Ui) -> Option<PathBuf> {
        let folder = self.folder();
        if self.listed.as_ref().is_none_or(|(path, _)| *path != folder) {
            let rows = list_folder(&folder, &self.wanted);
            self.listed = Some((folder.clone(), rows));
        }
        let (_, rows) = self.listed.as_ref()?;
        let mut taken = None;
        soft(ui, &format!("In {}", folder.display()));
        ScrollArea::vertical()
            .id_salt("folder")
            .max_height(160.0)
            .auto_shrink([false, true])
            .show(ui, |ui| {
                if let Some(above) = folder.parent().filter(|path| !path.as_os_str().is_empty())
                    && list_row(ui, false, "One folder up", "").clicked()
                {
                    taken = Some(above.to_path_buf());
                }
                for (name, path) in rows {
                    if list_row(ui, false, name, "").clicked() {
                        taken = Some(path.clone());
                    }
                }
                if rows.is_empty() {
                    soft(ui, "Nothing to choose in this folder");
                }
            });
        taken.map(|path| self.keep_file_name(path))
    }

    /// A new file keeps its name while the folder is changed.
    fn keep_file_name(&self, path: PathBuf) -> PathBuf {
        let name = self.path().file_name().map(ToOwned::to_owned);
        match (&self.wanted, name) {
            (PathWanted::NewFile(_), Some(name)) if path.is_dir() && !self.path().is_dir() => {
                path.join(name)
            }
            _ => path,
        }
    }

    fn open_dialog(&mut self, ctx: &egui::Context) {
        let (sender, receiver) = channel();
        let (wanted, folder, ctx) = (self.wanted.clone(), self.folder(), ctx.clone());
        let thread = std::thread::Builder::new().name("file window".to_owned());
        let started = thread.spawn(move || {
            let dialog = rfd::FileDialog::new().set_directory(folder);
            let chosen = match wanted {
                PathWanted::File(endings) => dialog.add_filter("Files", &endings).pick_file(),
                PathWanted::NewFile(ending) => dialog.add_filter("Book", &[ending]).save_file(),
                PathWanted::Folder => dialog.pick_folder(),
            };
            // The window may have moved on; then nobody waits for the answer.
            let _nobody_waits = sender.send(chosen);
            ctx.request_repaint();
        });
        self.dialog = started.is_ok().then_some(receiver);
    }

    fn take_dialog(&mut self) -> bool {
        let Some(answer) = self
            .dialog
            .as_ref()
            .and_then(|dialog| dialog.try_recv().ok())
        else {
            return false;
        };
        self.dialog = None;
        self.no_dialog = answer.is_none();
        answer.is_some_and(|path| {
            self.text = path.display().to_string();
            true
        })
    }
}

fn list_folder(folder: &Path, wanted: &PathWanted) -> Vec<(String, PathBuf)> {
    let endings: &[&str] = match wanted {
        PathWanted::File(endings) => endings,
        PathWanted::NewFile(ending) => &[*ending],
        PathWanted::Folder => &[],
    };
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut rows: Vec<(bool, String, PathBuf)> = entries
        .flatten()
        .filter_map(|entry| {
            let path = entry.path();
            let name = entry.file_name().to_string_lossy().into_owned();
            let is_folder = path.is_dir();
            let fits = path
                .extension()
                .and_then(|ending| ending.to_str())
                .is_some_and(|ending| endings.iter().any(|end| end.eq_ignore_ascii_case(ending)));
            (!name.starts_with('.') && (is_folder || fits)).then(|| {
                let shown = if is_folder { format!("{name}/") } else { name };
                (!is_folder, shown, path)
            })
        })
        .collect();
    rows.sort();
    rows.into_iter()
        .map(|(_, name, path)| (name, path))
        .collect()
}
