//! The receipt that goes with a form: dropped on the window, or chosen by its path, and shown in place.
//! It is kept in the book together with the entry.

use std::path::Path;

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::action::ReceiptFile;
use crate::app::theme::space;
use crate::app::widgets::{
    PathPicker, PathWanted, ReceiptView, card, card_heading, problem, quiet_button, receipt_viewer,
    secondary_button, soft,
};

/// Files beyond this size are hardly a receipt.
const MOST_BYTES: u64 = 25_000_000;

/// Reads a file that is to be kept as a receipt.
///
/// # Errors
/// What is wrong with it, in a sentence.
pub fn read_receipt(path: &Path) -> Result<ReceiptFile, String> {
    let name = path.file_name().map_or_else(
        || "receipt".to_owned(),
        |name| name.to_string_lossy().into_owned(),
    );
    let refused = |why: String| format!("{name} cannot be kept: {why} ({})", path.display());
    let about = std::fs::metadata(path).map_err(|error| refused(error.to_string()))?;
    if !about.is_file() {
        return Err(refused("it is a folder".to_owned()));
    }
    if about.len() > MOST_BYTES {
        return Err(refused(
            "it is larger than 25 MB; take a smaller photo".to_owned(),
        ));
    }
    let bytes = std::fs::read(path).map_err(|error| refused(error.to_string()))?;
    Ok(ReceiptFile { name, bytes })
}

/// The receipt of a form, while it is chosen.
#[derive(Default, Serialize, Deserialize)]
pub struct ReceiptDraft {
    /// The receipt, once there is one.
    #[serde(with = "in_words")]
    pub file: Option<ReceiptFile>,
    #[serde(skip)]
    picker: Option<PathPicker>,
    #[serde(skip)]
    view: Option<ReceiptView>,
    #[serde(skip)]
    trouble: Option<String>,
}

/// A receipt's file as a form kept for later holds it: its name, and its bytes as two hexadecimal digits each.
mod in_words {
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

    use crate::app::action::ReceiptFile;

    const DIGITS: &[u8; 16] = b"0123456789abcdef";

    pub(super) fn serialize<S: Serializer>(
        file: &Option<ReceiptFile>,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        let words = file.as_ref().map(|file| {
            let mut hex = String::with_capacity(file.bytes.len() * 2);
            for byte in &file.bytes {
                hex.push(char::from(DIGITS[usize::from(byte >> 4)]));
                hex.push(char::from(DIGITS[usize::from(byte & 15)]));
            }
            (&file.name, hex)
        });
        words.serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Option<ReceiptFile>, D::Error> {
        let Some((name, hex)) = Option::<(String, String)>::deserialize(from)? else {
            return Ok(None);
        };
        let value = |digit: u8| DIGITS.iter().position(|known| *known == digit);
        let bytes = hex
            .as_bytes()
            .chunks(2)
            .map(|pair| match pair {
                [high, low] => Some((value(*high)? * 16 + value(*low)?) as u8),
                _ => None,
            })
            .collect::<Option<Vec<u8>>>()
            .ok_or_else(|| D::Error::custom("the receipt's bytes are not in hexadecimal digits"))?;
        Ok(Some(ReceiptFile { name, bytes }))
    }
}

impl std::fmt::Debug for ReceiptDraft {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ReceiptDraft")
            .field("file", &self.file.as_ref().map(|file| &file.name))
            .finish_non_exhaustive()
    }
}

impl ReceiptDraft {
    /// Takes a file that lies on the disk.
    pub fn take(&mut self, path: &Path) {
        match read_receipt(path) {
            Ok(file) => {
                self.file = Some(file);
                self.view = None;
                self.picker = None;
                self.trouble = None;
            }
            Err(words) => self.trouble = Some(words),
        }
    }

    /// Takes what was dropped on the window in this frame.
    pub fn take_dropped(&mut self, ui: &Ui) {
        let dropped = ui.input(|input| input.raw.dropped_files.clone());
        let Some(file) = dropped.into_iter().next() else {
            return;
        };
        self.take(file.path());
    }

    /// Opens the list of files, beginning beside the book.
    pub fn choose(&mut self, beside: &Path) {
        let start = beside.parent().unwrap_or(Path::new("."));
        let endings = vec!["png", "jpg", "jpeg", "pdf"];
        self.picker = Some(PathPicker::new(PathWanted::File(endings), start));
    }

    /// The card that holds it.
    pub fn ui(&mut self, ui: &mut Ui, beside: &Path) {
        card(ui, |ui| {
            card_heading(ui, "Receipt");
            if let Some(file) = &self.file {
                let view = self.view.get_or_insert_with(|| {
                    ReceiptView::new(ui.ctx(), &file.name, file.bytes.clone())
                });
                receipt_viewer(ui, view, 220.0);
                if quiet_button(ui, "Leave it out").clicked() {
                    self.file = None;
                    self.view = None;
                }
            } else {
                self.choose_ui(ui, beside);
            }
            if let Some(words) = &self.trouble {
                problem(ui, words);
            }
        });
    }

    fn choose_ui(&mut self, ui: &mut Ui, beside: &Path) {
        if let Some(picker) = &mut self.picker {
            let is_chosen = picker.ui(ui, "Path of the receipt", None);
            let path = picker.path();
            ui.add_space(space::SMALL);
            let mut is_put_away = false;
            let mut is_taken = is_chosen;
            ui.horizontal(|ui| {
                is_taken |= secondary_button(ui, "Use this file", "").clicked();
                is_put_away = quiet_button(ui, "Not now").clicked();
            });
            if is_taken {
                self.take(&path);
            } else if is_put_away {
                self.picker = None;
            }
            return;
        }
        soft(
            ui,
            "Drop a photo or PDF anywhere on this window. It is kept inside the book: paper fades, the picture does not.",
        );
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Choose a file\u{2026}", "Ctrl R").clicked() {
            self.choose(beside);
        }
    }
}
