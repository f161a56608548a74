//! Journal entries: two or more lines that add up to nothing.
//! An unbalanced `JournalEntry` cannot be built; keeping it for good is `book`'s business.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;

use super::AccountId;
use crate::money::{Money, Quantity};
use crate::word_list::word_list;

/// The gap-free number of an entry in its book, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct EntryNumber(pub u64);

impl fmt::Display for EntryNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

word_list! {
    /// Which happening an entry records.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    EntryKind, "a kind of entry":
    /// Typed in debits and credits.
    Manual = "manual" / "Written in debits and credits",
    /// Balances a running business starts with.
    Opening = "opening" / "Opening balances",
    /// Owner's money in.
    OwnerIn = "owner-in" / "Owner's money in",
    /// Owner's money out.
    OwnerOut = "owner-out" / "Owner's money out",
    /// A thing already owned brought in.
    BroughtIn = "brought-in" / "Brought in",
    /// A purchase.
    Purchase = "purchase" / "Bought",
    /// A return to or refund from a supplier.
    SupplierRefund = "supplier-refund" / "Refund from a supplier",
    /// A private thing the business paid.
    PrivatePayment = "private-payment" / "Private thing paid",
    /// A card or bill paid off.
    Settlement = "settlement" / "Paid off",
    /// The owner paid back what she had paid privately, or paid back to the business.
    Repayment = "repayment" / "Paid back",
    /// A sale.
    Sale = "sale" / "Sold",
    /// A refund to a customer.
    Refund = "refund" / "Refunded",
    /// A payout from a channel.
    Payout = "payout" / "Payout",
    /// Fees that a channel charged apart from a sale, or gave back.
    ShopFee = "shop-fee" / "Charged by a shop",
    /// Money moved between own accounts.
    Transfer = "transfer" / "Moved",
    /// An instalment of the owner's own tax.
    TaxInstalment = "tax-instalment" / "Tax instalment paid",
    /// A month's or year's depreciation.
    Depreciation = "depreciation" / "Wear of equipment",
    /// Equipment sold or scrapped.
    Disposal = "disposal" / "Equipment gone",
    /// A batch made.
    Batch = "batch" / "Batch made",
    /// Stock used, spoiled, given away, sent back or written down.
    StockOut = "stock-out" / "Stock used or given away",
    /// A stock count and its differences.
    StockCount = "stock-count" / "Stock counted",
    /// What earlier movements cost, put right by something that came later.
    StockCost = "stock-cost" / "Stock cost put right",
    /// Money held for a customer: a deposit or a voucher, taken, given back or run out.
    Held = "held" / "Held for a customer",
    /// A payment taken back by the customer's bank, or returned by it.
    Dispute = "dispute" / "In dispute",
    /// A claim paid by a carrier or an insurer.
    Claim = "claim" / "Claim paid",
    /// A loan paid out or paid back.
    Loan = "loan" / "Loan",
    /// A part of what was paid comes back and makes it cheaper.
    CashBack = "cash-back" / "Cash-back",
    /// A part of something paid ahead falling due.
    Release = "release" / "Paid ahead, used up",
    /// An adjusting entry.
    Adjusting = "adjusting" / "Adjusting entry",
    /// The closing of a year.
    Closing = "closing" / "Year closed",
    /// The mirror of an earlier entry.
    Reversal = "reversal" / "Taken back",
}

/// Where an entry came from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// Typed in the window.
    #[default]
    Typed,
    /// Brought in from a row of a file.
    Brought {
        /// The file's name, without its folder.
        file: String,
        /// The row, the header being row 1.
        row: u64,
    },
    /// Proposed by a recurring purchase and confirmed.
    Recurring,
    /// Proposed by a schedule (depreciation, paid in advance) and confirmed.
    Schedule,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Typed => f.write_str("typed"),
            Self::Brought { file, row } => write!(f, "file {file} row {row}"),
            Self::Recurring => f.write_str("recurring"),
            Self::Schedule => f.write_str("schedule"),
        }
    }
}

impl FromStr for Origin {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "typed" | "" => Ok(Self::Typed),
            "recurring" => Ok(Self::Recurring),
            "schedule" => Ok(Self::Schedule),
            other => other
                .strip_prefix("file ")
                .and_then(|rest| rest.rsplit_once(" row "))
                .and_then(|(file, row)| {
                    Some(Self::Brought {
                        file: file.to_owned(),
                        row: row.parse().ok()?,
                    })
                })
                .ok_or_else(|| format!("'{other}' is not an origin of an entry")),
        }
    }
}

/// One line of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The account it moves.
    pub account: AccountId,
    /// The amount in minor units: positive is a debit, negative a credit.
    pub amount: Money,
    /// What this line is for; may be empty.
    pub memo: String,
    /// The key of the piece of equipment it belongs to.
    pub equipment: Option<String>,
    /// The code of the stock item or product it belongs to.
    pub item: Option<String>,
    /// How many pieces, sheets or metres.
    pub quantity: Option<Quantity>,
}

impl Line {
    /// A debit line.
    #[must_use]
    pub fn debit(account: AccountId, amount: Money) -> Self {
        Self {
            account,
            amount,
            memo: String::new(),
            equipment: None,
            item: None,
            quantity: None,
        }
    }

    /// A credit line.
    #[must_use]
    pub fn credit(account: AccountId, amount: Money) -> Self {
        Self::debit(account, -amount)
    }

    /// The line with a memo.
    #[must_use]
    pub fn memo(mut self, memo: impl Into<String>) -> Self {
        self.memo = memo.into();
        self
    }

    /// The line linked to a piece of equipment by its key.
    #[must_use]
    pub fn equipment(mut self, key: impl Into<String>) -> Self {
        self.equipment = Some(key.into());
        self
    }

    /// The debit amount, nothing on a credit line.
    #[must_use]
    pub fn debit_amount(&self) -> Money {
        if self.amount.is_positive() {
            self.amount
        } else {
            Money::ZERO
        }
    }

    /// The credit amount as a positive amount, nothing on a debit line.
    #[must_use]
    pub fn credit_amount(&self) -> Money {
        if self.amount.is_negative() {
            -self.amount
        } else {
            Money::ZERO
        }
    }
}

/// Everything about an entry but its lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryHeader {
    /// The day it happened.
    pub date: NaiveDate,
    /// Which happening it records.
    pub kind: EntryKind,
    /// From whom or to whom; may be empty. A customer stays an order number.
    pub party: String,
    /// What it was.
    pub memo: String,
    /// The number on the paper: invoice, order or cheque number; may be empty.
    pub reference: String,
    /// The owner's own key of the document (receipt, sale), by which refunds find their sale; may be empty.
    pub document: String,
    /// Where it came from.
    pub origin: Origin,
    /// Words to find it by.
    pub tags: Vec<String>,
    /// Tax that the sales channel collected and pays over itself: kept to explain the payment report, never posted.
    pub tax_by_channel: Money,
}

impl EntryHeader {
    /// A header with the day and the kind, all else empty.
    #[must_use]
    pub fn new(date: NaiveDate, kind: EntryKind) -> Self {
        Self {
            date,
            kind,
            party: String::new(),
            memo: String::new(),
            reference: String::new(),
            document: String::new(),
            origin: Origin::Typed,
            tags: Vec::new(),
            tax_by_channel: Money::ZERO,
        }
    }

    /// The header with a party.
    #[must_use]
    pub fn party(mut self, party: impl Into<String>) -> Self {
        self.party = party.into();
        self
    }

    /// The header with a memo.
    #[must_use]
    pub fn memo(mut self, memo: impl Into<String>) -> Self {
        self.memo = memo.into();
        self
    }

    /// The header with a reference.
    #[must_use]
    pub fn reference(mut self, reference: impl Into<String>) -> Self {
        self.reference = reference.into();
        self
    }

    /// The header with a document key.
    #[must_use]
    pub fn document(mut self, document: impl Into<String>) -> Self {
        self.document = document.into();
        self
    }

    /// The header with an origin.
    #[must_use]
    pub fn origin(mut self, origin: Origin) -> Self {
        self.origin = origin;
        self
    }
}

/// An entry whose lines balance.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JournalEntry {
    /// Everything but the lines.
    pub header: EntryHeader,
    // Invariant: at least two lines, none of nothing, all within the limit, adding up to nothing.
    lines: Vec<Line>,
}

impl JournalEntry {
    /// An entry of these lines. Lines of nothing are left out.
    ///
    /// # Errors
    /// When fewer than two lines remain, they do not add up to nothing, or an amount is too large.
    pub fn new(header: EntryHeader, lines: Vec<Line>) -> Result<Self, EntryError> {
        let lines: Vec<Line> = lines
            .into_iter()
            .filter(|line| !line.amount.is_zero())
            .collect();
        if lines.len() < 2 {
            return Err(EntryError::TooFewLines);
        }
        if lines.iter().any(|line| !line.amount.is_within_limit()) {
            return Err(EntryError::TooLarge);
        }
        let debits: i128 = lines
            .iter()
            .map(|line| i128::from(line.debit_amount().minor()))
            .sum();
        let credits: i128 = lines
            .iter()
            .map(|line| i128::from(line.credit_amount().minor()))
            .sum();
        if debits > i128::from(Money::LIMIT) || credits > i128::from(Money::LIMIT) {
            return Err(EntryError::TooLarge);
        }
        if debits != credits {
            let money = |minor: i128| Money::from_minor(i64::try_from(minor).unwrap_or(i64::MAX));
            return Err(EntryError::OutOfBalance {
                debits: money(debits),
                credits: money(credits),
            });
        }
        Ok(Self { header, lines })
    }

    /// Its lines.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// The sum of its debits, which is the sum of its credits.
    #[must_use]
    pub fn total(&self) -> Money {
        self.lines.iter().map(Line::debit_amount).sum()
    }

    /// The amount its owner would name, in minor units: for a sale what the customer pays, which its first
    /// debit carries, and for a refund what went back, its first credit, without the fees booked beside them; for
    /// anything else the total.
    #[must_use]
    pub fn named_amount(&self) -> Money {
        let first =
            |amount: fn(&Line) -> Money| self.lines.iter().map(amount).find(|it| !it.is_zero());
        let named = match self.header.kind {
            EntryKind::Sale => first(Line::debit_amount),
            EntryKind::Refund => first(Line::credit_amount),
            _ => None,
        };
        named.unwrap_or_else(|| self.total())
    }

    /// The mirror of this entry on another day: every debit a credit.
    #[must_use]
    pub fn reversal(&self, date: NaiveDate, memo: impl Into<String>) -> Self {
        let mut header = self.header.clone();
        header.date = date;
        header.kind = EntryKind::Reversal;
        header.memo = memo.into();
        header.origin = Origin::Typed;
        header.tax_by_channel = -header.tax_by_channel;
        let lines = self
            .lines
            .iter()
            .map(|line| Line {
                amount: -line.amount,
                quantity: line.quantity,
                ..line.clone()
            })
            .collect();
        Self { header, lines }
    }
}

/// An entry as the book holds it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostedEntry {
    /// Its number.
    pub number: EntryNumber,
    /// 1 when first written, one more for each amendment.
    pub version: u32,
    /// The entry.
    pub entry: JournalEntry,
    /// The entry it takes back, for a reversal.
    pub reverses: Option<EntryNumber>,
    /// The entry that takes it back, if any.
    pub reversed_by: Option<EntryNumber>,
}

/// Why an entry could not be built. Amounts are in minor units; show them with the book's currency.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EntryError {
    /// Fewer than two lines with an amount.
    #[error("an entry needs at least two lines with an amount")]
    TooFewLines,
    /// Debits and credits differ.
    #[error("the entry does not balance: debits and credits differ by {} minor units", (*debits - *credits).abs().minor())]
    OutOfBalance {
        /// The sum of debits.
        debits: Money,
        /// The sum of credits.
        credits: Money,
    },
    /// An amount or the sum is beyond what a book takes.
    #[error("the amounts are too large")]
    TooLarge,
}
