//! What is told beside a batch and never posted: the owner's minutes, how many pieces were spoiled, and why.

use rust_decimal::Decimal;

use crate::money::Quantity;

/// What is told beside a batch.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BatchNote {
    /// The owner's own minutes that it really took.
    pub own_minutes: Option<Quantity>,
    /// How many pieces were spoiled, those that normally are included.
    pub spoiled: Option<Quantity>,
    /// Why pieces were spoiled; may be empty.
    pub spoiled_why: String,
}

/// Why something told beside a batch was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BatchNoteError {
    /// Minutes below nothing, or more than a year of them.
    #[error("own minutes must be from 0 to 100,000")]
    Minutes,
    /// Spoiled pieces below nothing.
    #[error("spoiled pieces cannot be below nothing")]
    Spoiled,
}

impl BatchNote {
    /// The most minutes that a batch takes.
    pub const MOST_MINUTES: i64 = 100_000;

    /// Whether nothing is told.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.own_minutes.is_none() && self.spoiled.is_none() && self.spoiled_why.trim().is_empty()
    }

    /// Whether it can be.
    ///
    /// # Errors
    /// When minutes or pieces are out of range.
    pub fn check(&self) -> Result<(), BatchNoteError> {
        let is_below = |quantity: Option<Quantity>| {
            quantity.is_some_and(|quantity| quantity.value() < Decimal::ZERO)
        };
        let minutes = self.own_minutes;
        let most = Decimal::from(Self::MOST_MINUTES);
        if is_below(minutes) || minutes.is_some_and(|minutes| minutes.value() > most) {
            return Err(BatchNoteError::Minutes);
        }
        if is_below(self.spoiled) {
            return Err(BatchNoteError::Spoiled);
        }
        Ok(())
    }
}
