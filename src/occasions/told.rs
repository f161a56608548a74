//! What an occasion comes to: what is posted, which steps are kept, and how it is said in plain words.
//! Writing it down is the book's business.

use chrono::NaiveDate;

use crate::happenings::Recording;
use crate::ledger::{EntryHeader, Line};
use crate::matters::Step;
use crate::stock::Movement;

/// What is posted.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(clippy::large_enum_variant, reason = "one is made at a time")]
pub enum What {
    /// Nothing; the step alone is kept.
    Nothing,
    /// An entry, with what goes with it.
    Entry(Box<Recording>),
    /// Movements of stock, with an entry where they are worth anything.
    Stock {
        /// The day, the kind and the words.
        header: EntryHeader,
        /// What else is posted with them; balanced by itself, or empty.
        lines: Vec<Line>,
        /// What moves.
        movements: Vec<Movement>,
    },
}

/// What an occasion comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// What is posted.
    pub what: What,
    /// The steps that are kept with it.
    pub steps: Vec<Step>,
    /// What it means, in plain words: one or more sentences.
    pub explains: String,
    /// How undo names it.
    pub label: String,
    /// The day on which its entry is taken back again, written down together with it.
    pub take_back_on: Option<NaiveDate>,
}

impl Told {
    /// An entry with the steps that go with it.
    #[must_use]
    pub fn entry(recording: Recording, steps: Vec<Step>, explains: impl Into<String>) -> Self {
        let header = &recording.entry.header;
        let about = [&header.party, &header.memo]
            .into_iter()
            .find(|text| !text.is_empty());
        let plain = header.kind.plain();
        let label = about.map_or_else(|| plain.to_owned(), |about| format!("{plain}: {about}"));
        Self {
            what: What::Entry(Box::new(recording)),
            steps,
            explains: explains.into(),
            label,
            take_back_on: None,
        }
    }

    /// Steps alone: nothing is posted.
    #[must_use]
    pub fn steps(steps: Vec<Step>, explains: impl Into<String>) -> Self {
        let label = steps.first().map_or_else(String::new, |step| {
            format!(
                "{} {}: {}",
                step.matter.plain(),
                step.key,
                step.kind.plain()
            )
        });
        Self {
            what: What::Nothing,
            steps,
            explains: explains.into(),
            label,
            take_back_on: None,
        }
    }

    /// Movements of stock with the steps that go with them.
    #[must_use]
    pub fn stock(
        header: EntryHeader,
        lines: Vec<Line>,
        movements: Vec<Movement>,
        steps: Vec<Step>,
        explains: impl Into<String>,
    ) -> Self {
        Self {
            what: What::Stock {
                header,
                lines,
                movements,
            },
            ..Self::steps(steps, explains)
        }
    }
}
