//! A practice copy: a whole copy of a book to try things in, marked inside the file for good.
//! How the mark is shown is for the window, the verbs and what leaves the book.

use std::path::{Path, PathBuf};

use super::open::folder_of;
use super::settings::PRACTICE_OF;
use super::{Book, BookError, backup};

/// Where the practice copy of a book lies when nothing else is said: beside it, under a name that says so.
#[must_use]
pub fn practice_beside(book: &Path) -> PathBuf {
    let stem = book.file_stem().unwrap_or_default().to_string_lossy();
    folder_of(book).join(format!("{stem} practice.deckle"))
}

impl Book {
    /// Whether this is a practice copy and not the real book.
    #[must_use]
    pub fn is_practice(&self) -> bool {
        self.settings.is_set(PRACTICE_OF)
    }

    /// The real book of a practice copy: where it was when the copy was made or, when it was moved together with
    /// the copy, beside it. Nothing for a real book.
    #[must_use]
    pub fn practice_of(&self) -> Option<PathBuf> {
        let said = PathBuf::from(self.settings.get(PRACTICE_OF)?);
        if said.exists() {
            return Some(said);
        }
        let beside = folder_of(&self.path).join(said.file_name()?);
        Some(if beside.exists() { beside } else { said })
    }

    /// Makes a practice copy of this book. A file that is there already is left alone; with `is_afresh` an earlier
    /// practice copy of this very book is replaced, and never anything else.
    ///
    /// # Errors
    /// When this is a practice copy itself, something else is there, or the copy cannot be written; what was there
    /// stays then.
    pub fn make_practice_copy(&self, target: &Path, is_afresh: bool) -> Result<(), BookError> {
        if self.is_practice() {
            return Err(BookError::refused(
                "this is a practice copy; practice copies are made of the real book",
            ));
        }
        let of = absolute(&self.path)?;
        if target.exists() {
            self.refuse_to_replace(target, is_afresh)?;
        }
        let mut name = target.as_os_str().to_owned();
        name.push(".new");
        let new = PathBuf::from(name);
        let made = backup::copy(&self.conn, &new)
            .and_then(|()| Self::open(&new))
            .and_then(|mut copy| copy.mark_as_practice_of(&of))
            .and_then(|()| {
                std::fs::rename(&new, target)
                    .map_err(|error| BookError::io(format!("naming {}", target.display()), error))
            });
        if made.is_err() {
            // What is left of a failed copy is of no use; the failure itself is what is told.
            let _unimportant = std::fs::remove_file(&new);
        }
        made
    }

    /// Refuses a file that is not an earlier practice copy of this book, or that is not to be replaced.
    fn refuse_to_replace(&self, target: &Path, is_afresh: bool) -> Result<(), BookError> {
        let is_this = super::open::identity_of(target) == self.identity;
        if is_this || target.is_dir() {
            return Err(BookError::Exists(target.to_owned()));
        }
        let earlier = Self::open(target).map_err(|error| match error {
            BookError::InUse => error,
            _ => BookError::Exists(target.to_owned()),
        })?;
        let of = earlier.practice_of();
        let is_of_this = of.is_some_and(|of| super::open::identity_of(&of) == self.identity);
        if !is_of_this {
            return Err(BookError::Exists(target.to_owned()));
        }
        if is_afresh {
            return Ok(());
        }
        Err(BookError::refused(format!(
            "there is a practice copy already, with whatever was tried in it; it is only replaced when it is to be \
             made afresh: {}",
            target.display()
        )))
    }

    fn mark_as_practice_of(&mut self, of: &Path) -> Result<(), BookError> {
        let said = of.display().to_string();
        self.write_beside_undo(|book| {
            book.note("practice", &format!("practice copy of {said}"), "")?;
            book.put_setting(PRACTICE_OF, Some(&said))
        })
    }

    /// The mark as a sheet of settings brings it: only a book without entries takes it, such as one into which a
    /// practice copy that was written out is brought.
    ///
    /// # Errors
    /// When the book is a practice copy and would be something else, or has entries.
    pub(super) fn checked_practice(&self, value: &str) -> Result<String, BookError> {
        let value = value.trim();
        if self.settings.get(PRACTICE_OF) == Some(value) {
            return Ok(value.to_owned());
        }
        if self.is_practice() {
            return Err(BookError::refused(
                "a practice copy stays a practice copy of the same book",
            ));
        }
        if value.is_empty() || self.entry_count()? > 0 {
            return Err(BookError::refused(
                "a real book is never turned into a practice copy; make a copy of it to practise in",
            ));
        }
        Ok(value.to_owned())
    }
}

fn absolute(path: &Path) -> Result<PathBuf, BookError> {
    std::path::absolute(path)
        .map_err(|error| BookError::io(format!("looking at {}", path.display()), error))
}
