//! A line of a bank's or card's statement and what a statement says of itself.
//! Nothing here knows files or what a line means for the ledger.

use chrono::NaiveDate;

use super::BankLayout;
use crate::money::Money;
use crate::word_list::word_list;

word_list! {
    /// What a statement file is written in.
    StatementFormat, "a format of statements":
    /// Cells parted by a separator, one line a transaction.
    Separated = "csv" / "a table as text (CSV)",
    /// Open Financial Exchange, 1.x or 2.x.
    Ofx = "ofx" / "an OFX statement",
    /// The ISO 20022 bank to customer statement.
    Camt = "camt.053" / "an ISO 20022 statement (camt.053)",
}

/// One line of a statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementLine {
    /// The day it was booked.
    pub date: NaiveDate,
    /// What it moved, in minor units of the account's currency: positive is into the account; on a card, what lowers
    /// what is owed.
    pub amount: Money,
    /// What the bank wrote beside it, runs of spaces made one; may be empty.
    pub text: String,
    /// The bank's own key of the line, where the file gives one.
    pub bank_id: Option<String>,
    /// The balance after the line with the sign of the amount, where the file gives one.
    pub balance: Option<Money>,
    /// The row in the file, everything above it counted, the first being 1; or the number of the transaction.
    pub row: u64,
}

/// What a statement says of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementHead {
    /// What the file is written in.
    pub format: StatementFormat,
    /// The ISO 4217 code of the amounts, where the file names it.
    pub currency: Option<String>,
    /// The account as the file names it.
    pub account: Option<String>,
    /// The first day it covers: as it says, otherwise that of its earliest line.
    pub from: Option<NaiveDate>,
    /// The last day it covers: as it says, otherwise that of its latest line.
    pub to: Option<NaiveDate>,
    /// The balance before its first line and the day, where the file tells it or its balances prove it.
    pub opening: Option<(NaiveDate, Money)>,
    /// The balance after its last line and the day, where the file tells it or its balances prove it.
    pub closing: Option<(NaiveDate, Money)>,
    /// How its cells are laid out, for a table.
    pub layout: Option<BankLayout>,
    /// What else should be known: rows passed over, balances that do not follow from the amounts. A sentence each.
    pub notes: Vec<String>,
}

impl StatementHead {
    /// The head of a statement that has said nothing yet.
    #[must_use]
    pub const fn new(format: StatementFormat) -> Self {
        Self {
            format,
            currency: None,
            account: None,
            from: None,
            to: None,
            opening: None,
            closing: None,
            layout: None,
            notes: Vec::new(),
        }
    }
}
