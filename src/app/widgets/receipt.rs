//! A receipt shown in place: a picture as itself, anything else by name with a way to open it.
//! Where its bytes come from is the screen's business.

use egui::{ColorImage, TextureHandle, TextureOptions, Ui};

use super::buttons::secondary_button;
use super::text::{problem, soft};

const LONGEST_SIDE: u32 = 1600;

/// A receipt that has been read for showing.
pub struct ReceiptView {
    name: String,
    bytes: Vec<u8>,
    picture: Option<TextureHandle>,
    trouble: Option<String>,
}

impl ReceiptView {
    /// Reads a receipt for showing; what is no picture is shown by its name.
    #[must_use]
    pub fn new(ctx: &egui::Context, name: &str, bytes: Vec<u8>) -> Self {
        let mut view = Self {
            name: name.to_owned(),
            bytes,
            picture: None,
            trouble: None,
        };
        if view.is_picture() {
            match decode(&view.bytes) {
                Ok(image) => {
                    view.picture = Some(ctx.load_texture(name, image, TextureOptions::LINEAR));
                }
                Err(error) => view.trouble = Some(format!("The picture cannot be read: {error}")),
            }
        }
        view
    }

    fn is_picture(&self) -> bool {
        let lower = self.name.to_lowercase();
        [".png", ".jpg", ".jpeg"]
            .iter()
            .any(|ending| lower.ends_with(ending))
    }

    fn open_outside(&mut self) {
        let folder = std::env::temp_dir().join("deckle-receipts");
        let safe: String = self
            .name
            .chars()
            .map(|c| {
                if c.is_alphanumeric() || matches!(c, '.' | '-' | '_') {
                    c
                } else {
                    '_'
                }
            })
            .collect();
        let path = folder.join(safe);
        let opened = std::fs::create_dir_all(&folder)
            .and_then(|()| std::fs::write(&path, &self.bytes))
            .and_then(|()| open::that_detached(&path));
        self.trouble = opened
            .err()
            .map(|error| format!("{} cannot be opened here: {error}", self.name));
    }
}

fn decode(bytes: &[u8]) -> Result<ColorImage, image::ImageError> {
    let image = image::load_from_memory(bytes)?;
    let image = if image.width().max(image.height()) > LONGEST_SIDE {
        image.thumbnail(LONGEST_SIDE, LONGEST_SIDE)
    } else {
        image
    };
    let pixels = image.to_rgba8();
    let size = [pixels.width() as usize, pixels.height() as usize];
    Ok(ColorImage::from_rgba_unmultiplied(size, pixels.as_raw()))
}

/// Shows a receipt, at most `height` points high, with a button to open it outside.
pub fn receipt_viewer(ui: &mut Ui, view: &mut ReceiptView, height: f32) {
    if let Some(picture) = &view.picture {
        let most = egui::vec2(ui.available_width(), height);
        let image = egui::Image::new(picture)
            .max_size(most)
            .alt_text(format!("Receipt {}", view.name));
        ui.add(image);
    }
    soft(
        ui,
        &format!("{}, {} kB", view.name, view.bytes.len().div_ceil(1024)),
    );
    if secondary_button(ui, "Open it in its own window", "").clicked() {
        view.open_outside();
    }
    if let Some(words) = &view.trouble {
        problem(ui, words);
    }
}
