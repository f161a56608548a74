//! What a sales channel charges apart from a sale, or gives back: fees told later, a month's listing fee, a label.
//! Fees that come with a sale are the sale's own; money that the channel holds back is no cost and nothing here.

use chrono::NaiveDate;

use super::{FeeKind, Happening, HappeningError};
use super::{checks, words::memo_or_things};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;
use crate::word_list::word_list;

word_list! {
    /// What a channel charges for.
    #[derive(serde::Serialize, serde::Deserialize)]
    #[serde(rename_all = "kebab-case")]
    ChargeKind, "a kind of charge":
    /// For showing the thing.
    Listing = "listing" / "listing fee",
    /// The shop's share of the price.
    Commission = "commission" / "selling fee",
    /// For taking the money.
    Processing = "processing" / "payment processing fee",
    /// For showing it where more people look.
    Advertising = "advertising" / "advertising",
    /// A postage label bought through the channel.
    Label = "label" / "postage label",
    /// Anything else.
    Other = "other" / "other fee",
}

impl ChargeKind {
    /// The account it is booked to.
    #[must_use]
    pub const fn role(self) -> Role {
        match self {
            Self::Listing | Self::Commission | Self::Other => Role::ShopFees,
            Self::Processing => Role::ProcessingFees,
            Self::Advertising => Role::Advertising,
            Self::Label => Role::Postage,
        }
    }

    /// The kind of fee that it would be inside a sale, where it can be one.
    #[must_use]
    pub const fn fee_kind(self) -> Option<FeeKind> {
        match self {
            Self::Listing => Some(FeeKind::Listing),
            Self::Commission => Some(FeeKind::Commission),
            Self::Processing => Some(FeeKind::Processing),
            Self::Other => Some(FeeKind::Other),
            Self::Advertising | Self::Label => None,
        }
    }
}

impl From<FeeKind> for ChargeKind {
    fn from(kind: FeeKind) -> Self {
        match kind {
            FeeKind::Listing => Self::Listing,
            FeeKind::Commission => Self::Commission,
            FeeKind::Processing => Self::Processing,
            FeeKind::Other => Self::Other,
        }
    }
}

/// One thing that a channel charged for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShopCharge {
    /// What for.
    pub kind: ChargeKind,
    /// How much; below nothing when it was given back.
    pub amount: Money,
}

impl ShopCharge {
    /// A charge, or below nothing one given back.
    #[must_use]
    pub const fn new(kind: ChargeKind, amount: Money) -> Self {
        Self { kind, amount }
    }
}

/// What is asked about fees that a channel charged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopFeeDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// The channel that charged.
    pub channel: AccountId,
    /// What it charged for.
    pub charges: Vec<ShopCharge>,
    /// The key of the order that the charges belong to; empty when they belong to none.
    pub document: String,
    /// What it was; may be empty.
    pub memo: String,
    /// The number on the channel's statement; may be empty.
    pub reference: String,
}

/// A sales channel charged fees, or gave some back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopFee {
    details: ShopFeeDetails,
}

impl ShopFee {
    /// Fees as told.
    ///
    /// # Errors
    /// When there are none, or an amount is too large.
    pub fn new(details: ShopFeeDetails) -> Result<Self, HappeningError> {
        for (idx, charge) in details.charges.iter().enumerate() {
            checks::not_negative("amount", charge.amount.abs())
                .map_err(|error| error.on_line(idx))?;
        }
        if details.charges.iter().all(|charge| charge.amount.is_zero()) {
            return Err(HappeningError::field("amount", "say what the shop charged"));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &ShopFeeDetails {
        &self.details
    }

    /// What the charges come to, less what was given back.
    #[must_use]
    pub fn total(&self) -> Money {
        self.details
            .charges
            .iter()
            .map(|charge| charge.amount)
            .sum()
    }
}

impl Happening for ShopFee {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let channel = checks::channel(chart, "channel", told.channel)?;
        let named = told.charges.iter().map(|charge| charge.kind.plain());
        let header = EntryHeader::new(told.date, EntryKind::ShopFee)
            .party(&channel.name)
            .memo(memo_or_things(&told.memo, named))
            .reference(&told.reference)
            .document(told.document.trim());
        let mut lines = Vec::new();
        for charge in &told.charges {
            let memo = if charge.amount.is_negative() {
                format!("{} given back", charge.kind.plain())
            } else {
                charge.kind.plain().to_owned()
            };
            lines.push(Line::debit(chart.role(charge.kind.role())?, charge.amount).memo(&memo));
            lines.push(Line::credit(channel.id, charge.amount).memo(memo));
        }
        Ok(JournalEntry::new(header, lines)?)
    }
}
