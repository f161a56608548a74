//! How this person likes the window: theme, scale, the books opened last. Kept in a small file beside other settings
//! of programs, never in a book. A file that cannot be read is as if there were none.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

const MOST_RECENT: usize = 6;

/// Which theme.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThemeChoice {
    /// Ink on paper.
    Light,
    /// Chalk on a board.
    Dark,
    /// As the desktop says; light where it says nothing.
    #[default]
    System,
}

/// What is remembered about the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// The theme.
    pub theme: ThemeChoice,
    /// The scale in per cent, 80 to 250.
    pub scale: u32,
    /// The books opened last, the newest first.
    pub recent: Vec<PathBuf>,
    #[serde(skip)]
    file: Option<PathBuf>,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            theme: ThemeChoice::default(),
            scale: 100,
            recent: Vec::new(),
            file: None,
        }
    }
}

impl Preferences {
    /// The smallest scale, in per cent.
    pub const SMALLEST: u32 = 80;
    /// The largest scale, in per cent.
    pub const LARGEST: u32 = 250;

    /// Those of this person, from the usual place.
    #[must_use]
    pub fn load() -> Self {
        let file = directories::ProjectDirs::from("", "", "deckle")
            .map(|dirs| dirs.config_dir().join("preferences.json"));
        file.map_or_else(Self::default, |file| Self::load_from(&file))
    }

    /// Those kept in a file.
    #[must_use]
    pub fn load_from(file: &Path) -> Self {
        let mut kept: Self = std::fs::read_to_string(file)
            .ok()
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default();
        kept.scale = kept.scale.clamp(Self::SMALLEST, Self::LARGEST);
        kept.file = Some(file.to_path_buf());
        kept
    }

    /// Puts a book at the head of those opened last.
    pub fn remember(&mut self, book: &Path) {
        let path = std::path::absolute(book).unwrap_or_else(|_error| book.to_path_buf());
        self.recent.retain(|kept| *kept != path);
        self.recent.insert(0, path);
        self.recent.truncate(MOST_RECENT);
        self.save();
    }

    /// Makes the window larger or smaller by `steps` of a tenth, or the usual size for zero.
    pub fn change_scale(&mut self, steps: i32) {
        let scale = match steps {
            0 => 100,
            up if up > 0 => self.scale + 10,
            _ => self.scale.saturating_sub(10),
        };
        self.scale = scale.clamp(Self::SMALLEST, Self::LARGEST);
        self.save();
    }

    /// Keeps them. That the file cannot be written is no reason to bother anybody: the window works as well.
    pub fn save(&self) {
        let Some(file) = &self.file else {
            return;
        };
        let folder_is_there = file.parent().map(std::fs::create_dir_all).transpose();
        if let (Ok(_), Ok(text)) = (folder_is_there, serde_json::to_string_pretty(self)) {
            let _not_worth_a_word = std::fs::write(file, text);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn preferences_come_back_and_a_broken_file_is_as_none() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("deep").join("preferences.json");
        let mut kept = Preferences::load_from(&file);
        kept.theme = ThemeChoice::Dark;
        kept.change_scale(1);
        kept.remember(Path::new("/books/one.deckle"));
        let again = Preferences::load_from(&file);
        assert_eq!((again.theme, again.scale), (ThemeChoice::Dark, 110));
        assert_eq!(again.recent, [PathBuf::from("/books/one.deckle")]);
        std::fs::write(&file, "{ not json").expect("written");
        assert_eq!(Preferences::load_from(&file).scale, 100);
    }
}
