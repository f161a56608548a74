//! What happens in a maker's year, one type each: a constructor that refuses what cannot be, and a pure function
//! from the happening to the entry it writes. Forms, sheets and importers all build these; nothing is kept here.

use crate::depreciation::Equipment;
use crate::ledger::{Chart, ChartError, EntryError, JournalEntry};

/// Something that happened and that the books must show.
pub trait Happening {
    /// The entry that this happening writes, with the accounts of this chart.
    ///
    /// # Errors
    /// When the chart lacks an account it needs, or the amounts cannot make an entry.
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError>;
}

/// Everything that one happening leaves in the book, written together or not at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recording {
    /// The entry.
    pub entry: JournalEntry,
    /// Equipment that joins the register with it.
    pub equipment: Vec<Equipment>,
    /// The proof that stands behind it.
    pub proof: Proof,
    /// Which kind each thing was, to be proposed next time.
    pub remembered: Vec<RememberedKind>,
}

impl Recording {
    /// A recording of an entry alone.
    #[must_use]
    pub fn new(entry: JournalEntry) -> Self {
        Self {
            entry,
            equipment: Vec::new(),
            proof: Proof::default(),
            remembered: Vec::new(),
        }
    }
}

/// What stands behind an entry: its receipt's state and the purpose.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proof {
    /// Whether the receipt is there.
    pub state: ProofState,
    /// What stands in for a receipt that cannot be had.
    pub stands_in: String,
    /// The business purpose, in the owner's words.
    pub purpose: String,
}

/// Whether a receipt is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ProofState {
    /// None is needed, as for a transfer.
    #[default]
    NotNeeded,
    /// The receipt is in the book.
    Complete,
    /// Something else stands in.
    Substitute,
    /// Still to be found.
    Missing,
}

impl ProofState {
    /// All states.
    pub const ALL: [Self; 4] = [
        Self::NotNeeded,
        Self::Complete,
        Self::Substitute,
        Self::Missing,
    ];

    /// The word used in sheets, JSON and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::NotNeeded => "not-needed",
            Self::Complete => "complete",
            Self::Substitute => "substitute",
            Self::Missing => "missing",
        }
    }
}

/// A thing from a supplier and the account it was booked to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RememberedKind {
    /// The supplier.
    pub supplier: String,
    /// The thing, as it was described.
    pub thing: String,
    /// The account it went to.
    pub account: crate::ledger::AccountId,
}

/// Why a happening cannot be written down. `field` names what is wrong in the words of the sheets' columns,
/// so that a form can show it beside the field and a sheet beside the column.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HappeningError {
    /// A field holds what cannot be.
    #[error("{message}")]
    Field {
        /// The column or field, as `amount`.
        field: &'static str,
        /// What is wrong with it, one sentence without a full stop.
        message: String,
    },
    /// The chart lacks an account.
    #[error(transparent)]
    Chart(#[from] ChartError),
    /// The lines make no entry.
    #[error(transparent)]
    Entry(#[from] EntryError),
}

impl HappeningError {
    /// An error about one field.
    #[must_use]
    pub fn field(field: &'static str, message: impl Into<String>) -> Self {
        Self::Field {
            field,
            message: message.into(),
        }
    }
}
