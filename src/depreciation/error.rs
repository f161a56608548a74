//! Why equipment or a charge on it was refused.
//! The field is named in the words of the sheets' columns, so that a form can show the message beside it.

use crate::ledger::{ChartError, EntryError};

/// Why equipment, its changed terms, its end or a charge cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EquipmentError {
    /// A field holds what cannot be.
    #[error("{message}")]
    Field {
        /// The column or field, as `life_months`.
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
    /// Everything up to that day is charged already.
    #[error("nothing is left to charge up to {0}")]
    NothingToCharge(String),
}

impl EquipmentError {
    /// An error about one field.
    #[must_use]
    pub fn field(field: &'static str, message: impl Into<String>) -> Self {
        Self::Field {
            field,
            message: message.into(),
        }
    }
}
