//! The words by which tables name their columns and cells, from `assets/statement-words.toml`.
//! What is made of them is `columns` and the readers of cells.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::LazyLock;

use serde::Deserialize;

use crate::bank::{ColumnRole, header_word};

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    // The file is part of the program and a test reads it; without it no column has a name.
    toml::from_str(include_str!("../../../assets/statement-words.toml"))
        .map(|lists: Lists| Words::new(&lists))
        .unwrap_or_default()
});

/// What a header's cell says its column holds; finer than a layout's roles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Said {
    Role(ColumnRole),
    /// A second day, taken when there is no other.
    ValueDate,
    /// Known and not wanted.
    Other,
}

#[derive(Deserialize)]
struct Lists {
    columns: BTreeMap<String, Vec<String>>,
    cells: BTreeMap<String, Vec<String>>,
    months: BTreeMap<String, Vec<Vec<String>>>,
}

/// The words, made ready for comparing.
#[derive(Default)]
pub(super) struct Words {
    exact: BTreeMap<String, (Said, usize)>,
    out_marks: BTreeSet<String>,
    in_marks: BTreeSet<String>,
    summaries: BTreeSet<String>,
    /// With which letters of a to z a word for a sum or balance begins.
    summary_starts: [bool; 26],
    pending: BTreeSet<String>,
    /// Phrases that tell a side, by their first word.
    telling: HashMap<String, Vec<(Vec<String>, Side)>>,
    months: BTreeMap<String, u32>,
}

/// The words of the program.
pub(super) fn words() -> &'static Words {
    &WORDS
}

impl Words {
    fn new(lists: &Lists) -> Self {
        let mut words = Self::default();
        for (name, phrases) in &lists.columns {
            let said = match name.as_str() {
                "value_date" => Said::ValueDate,
                "payee" | "reference" => Said::Role(ColumnRole::Text),
                name => ColumnRole::of_word(name).map_or(Said::Other, Said::Role),
            };
            for (rank, phrase) in phrases.iter().enumerate() {
                words.exact.insert(header_word(phrase), (said, rank));
            }
        }
        let list = |name: &str| lists.cells.get(name).cloned().unwrap_or_default();
        words.out_marks = list("out_marks").into_iter().collect();
        words.in_marks = list("in_marks").into_iter().collect();
        words.summaries = list("summaries").into_iter().collect();
        for phrase in &words.summaries {
            if let Some(first) = phrase.bytes().next().filter(u8::is_ascii_lowercase) {
                words.summary_starts[usize::from(first - b'a')] = true;
            }
        }
        words.pending = list("pending").into_iter().collect();
        for (name, side) in [("into", Side::Into), ("out", Side::Out)] {
            for phrase in list(name) {
                let parts: Vec<String> =
                    header_word(&phrase).split(' ').map(str::to_owned).collect();
                let first = parts.first().cloned().unwrap_or_default();
                words.telling.entry(first).or_default().push((parts, side));
            }
        }
        for names in lists.months.values() {
            for (idx, names) in names.iter().enumerate() {
                let month = u32::try_from(idx + 1).unwrap_or(1);
                for name in names {
                    words.months.insert(name.clone(), month);
                }
            }
        }
        words
    }

    /// What a header's cell says, and how well: the lower, the better. A known phrase goes before a cell that only has
    /// one in it, and among known phrases the order of the file decides.
    pub(super) fn said(&self, cell: &str) -> Option<(Said, usize)> {
        if cell.len() > 120 {
            return None;
        }
        let word = header_word(cell);
        if let Some(said) = self.exact.get(&word) {
            return Some(*said);
        }
        let parts: Vec<&str> = word.split(' ').collect();
        if parts.len() > 6 {
            return None;
        }
        // The longest known phrase within it; among equals the later.
        for length in (1..parts.len()).rev() {
            for window in parts.windows(length).rev() {
                let phrase = window.join(" ");
                if phrase.chars().count() > 2
                    && let Some((said, rank)) = self.exact.get(&phrase)
                {
                    return Some((*said, 1000 + rank));
                }
            }
        }
        None
    }

    /// What a mark beside an amount says: out of the account or into it.
    pub(super) fn mark(&self, cell: &str) -> Option<Side> {
        if cell.len() > 40 {
            return None;
        }
        let word = cell.trim().trim_end_matches('.').to_lowercase();
        if self.out_marks.contains(&word) {
            Some(Side::Out)
        } else if self.in_marks.contains(&word) {
            Some(Side::Into)
        } else {
            None
        }
    }

    /// Whether a cell is a word for a sum or balance, and nothing else.
    pub(super) fn is_summary(&self, cell: &str) -> bool {
        cell.len() <= 40
            && !cell.bytes().any(|byte| byte.is_ascii_digit())
            && self.may_be_summary(cell)
            && self.summaries.contains(&header_word(cell))
    }

    /// Whether some word for a sum or balance begins like a cell, as far as that is told without making it comparable.
    fn may_be_summary(&self, cell: &str) -> bool {
        match cell.trim_start().bytes().next() {
            Some(first) if first.is_ascii_alphabetic() => {
                self.summary_starts[usize::from(first.to_ascii_lowercase() - b'a')]
            }
            _ => true,
        }
    }

    /// Whether a cell speaks of a sum or balance among other words.
    pub(super) fn speaks_of_summary(&self, cell: &str) -> bool {
        let word = header_word(&cell.chars().take(80).collect::<String>());
        let padded = format!(" {word} ");
        self.summaries
            .iter()
            .any(|phrase| padded.contains(&format!(" {phrase} ")))
    }

    /// Whether a line's state says that it is not booked.
    pub(super) fn is_pending(&self, cell: &str) -> bool {
        cell.len() <= 40 && self.pending.contains(&cell.trim().to_lowercase())
    }

    /// On which side a line's words put it, where they do.
    pub(super) fn side(&self, text: &str) -> Option<Side> {
        let text = header_word(text.get(..200).unwrap_or(text));
        let parts: Vec<&str> = text.split(' ').take(60).collect();
        let mut found = None;
        for (idx, part) in parts.iter().enumerate() {
            let Some(phrases) = self.telling.get(*part) else {
                continue;
            };
            for (phrase, side) in phrases {
                if !parts[idx..]
                    .iter()
                    .zip(phrase)
                    .all(|(one, other)| one == other)
                    || parts.len() - idx < phrase.len()
                {
                    continue;
                }
                if found.is_some_and(|other| other != *side) {
                    return None;
                }
                found = Some(*side);
            }
        }
        found
    }

    /// The month with this name, 1 to 12.
    pub(super) fn month(&self, name: &str) -> Option<u32> {
        if name.len() > 24 {
            return None;
        }
        self.months.get(&name.to_lowercase()).copied()
    }
}

/// Out of the account or into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Out,
    Into,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source.
    #[test]
    fn headers_are_understood_in_several_languages() {
        use ColumnRole::{Amount, Balance, Credit, Currency, Date, Debit, Id, Mark, Text};
        for (cell, role) in [
            ("Booking date", Date),
            ("Buchungstag", Date),
            ("Betrag (EUR)", Amount),
            ("Amount in USD", Amount),
            ("Solde", Balance),
            ("Verwendungszweck", Text),
            ("Débit", Debit),
            ("Bij", Credit),
            ("Af Bij", Mark),
            ("Soll/Haben", Mark),
            ("Waluta", Currency),
            ("Naam tegenpartij", Text),
            ("Saldo na boeking", Balance),
            ("Transaction ID", Id),
            ("Opis operacji", Text),
            ("Beløb", Amount),
        ] {
            assert_eq!(
                words().said(cell).map(|said| said.0),
                Some(Said::Role(role)),
                "{cell}"
            );
        }
        assert_eq!(
            words().said("Value date").map(|said| said.0),
            Some(Said::ValueDate)
        );
        assert_eq!(
            words().said("Original amount").map(|said| said.0),
            Some(Said::Other)
        );
        assert_eq!(words().said("Fernhollow"), None);
        assert_eq!(words().month("März"), Some(3));
    }
}
