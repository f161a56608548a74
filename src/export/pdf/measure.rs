//! How wide words are in our two typefaces, and how they break into lines.
//! Where the lines stand is `layout`'s.

use skrifa::MetadataProvider as _;
use skrifa::instance::{LocationRef, Size as FontSize};

use super::{ExportError, refused};

pub(super) const PLAIN: &[u8] = include_bytes!("../../../assets/fonts/Lato-Medium.ttf");
pub(super) const BOLD: &[u8] = include_bytes!("../../../assets/fonts/Lato-Bold.ttf");

/// How many of the first letters have their width at hand: those of western languages.
const AT_HAND: usize = 384;

/// How wide letters are.
pub(super) struct Measure {
    font: skrifa::FontRef<'static>,
    /// The widths of the first letters at a size of one point.
    widths: Vec<f32>,
}

impl Measure {
    pub(super) fn new(bytes: &'static [u8]) -> Result<Self, ExportError> {
        let font = skrifa::FontRef::new(bytes).map_err(refused)?;
        let widths = (0..AT_HAND)
            .map(|code| {
                let letter = u32::try_from(code).ok().and_then(char::from_u32);
                letter.map_or(0.0, |letter| width_in(&font, letter))
            })
            .collect();
        Ok(Self { font, widths })
    }

    /// How wide a text is at a size.
    pub(super) fn width(&self, text: &str, size: f32) -> f32 {
        let wide: f32 = text.chars().map(|letter| self.letter(letter)).sum();
        wide * size
    }

    fn letter(&self, letter: char) -> f32 {
        match self.widths.get(letter as usize) {
            Some(width) => *width,
            None => width_in(&self.font, letter),
        }
    }

    /// Whether the typeface has this letter.
    pub(super) fn has(&self, letter: char) -> bool {
        self.font.charmap().map(letter).is_some()
    }

    /// The text in lines that are no wider than this; a word that is wider by itself is broken.
    pub(super) fn lines(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let mut lines = Vec::new();
        for part in text.split('\n') {
            if self.width(part, size) <= width {
                lines.push(part.trim().to_owned());
                continue;
            }
            let mut line = String::new();
            for word in part.split_whitespace() {
                let longer = if line.is_empty() {
                    word.to_owned()
                } else {
                    format!("{line} {word}")
                };
                if self.width(&longer, size) <= width {
                    line = longer;
                    continue;
                }
                if !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                }
                line = self.broken(word, size, width, &mut lines);
            }
            lines.push(line);
        }
        lines
    }

    /// Breaks a word that is too wide; what is left of it begins the next line.
    fn broken(&self, word: &str, size: f32, width: f32, lines: &mut Vec<String>) -> String {
        let mut line = String::new();
        for letter in word.chars() {
            line.push(letter);
            if self.width(&line, size) > width && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, letter.to_string()));
            }
        }
        line
    }
}

fn width_in(font: &skrifa::FontRef<'_>, letter: char) -> f32 {
    let metrics = font.glyph_metrics(FontSize::new(1.0), LocationRef::default());
    font.charmap()
        .map(letter)
        .and_then(|glyph| metrics.advance_width(glyph))
        .unwrap_or_default()
}
