//! Why an amount, share or quantity could not be taken, in words for whoever wrote it.
//! Where it stood is added by whoever read it.

/// Why an amount, share or quantity could not be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AmountError {
    /// The text is not a number in the expected form.
    #[error("'{0}' is not an amount")]
    NotANumber(String),
    /// The text is a number, but not in the strict form of the sheets.
    #[error(
        "'{text}' is not an amount as sheets take it: with a decimal point and no thousands separator; write {plain}"
    )]
    NotPlain {
        /// What was written.
        text: String,
        /// The amount in the strict form.
        plain: String,
    },
    /// The number has more decimals than there is room for.
    #[error("'{text}' has more than {allowed} decimals")]
    TooManyDecimals {
        /// What was written.
        text: String,
        /// How many decimals are allowed.
        allowed: u32,
    },
    /// The number is beyond what a book takes.
    #[error("'{0}' is too large an amount")]
    TooLarge(String),
    /// A share outside 0 to 100.
    #[error("'{0}' is not a share between 0 and 100 per cent")]
    PercentOutOfRange(String),
    /// No such currency in ISO 4217.
    #[error("'{0}' is not a currency code of ISO 4217")]
    UnknownCurrency(String),
}
