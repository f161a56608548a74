//! A sale at the own till or through a sales channel: booked at the full price, with everything taken off on its own line.
//! What arrives from the channel later is a `payout`; money given back is a `customer_refund`.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::words::memo_or_things;
use super::{Happening, HappeningError, checks};
use crate::ledger::{
    Account, AccountClass, AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role,
};
use crate::money::{Money, Percent, Quantity};

/// What a fee is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FeeKind {
    /// For showing the thing.
    Listing,
    /// The shop's share of the price.
    Commission,
    /// For taking the money.
    Processing,
    /// Anything else the shop charges.
    Other,
}

impl FeeKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [
        Self::Listing,
        Self::Commission,
        Self::Processing,
        Self::Other,
    ];

    /// The word used in sheets, after `fee_`.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Listing => "listing",
            Self::Commission => "commission",
            Self::Processing => "processing",
            Self::Other => "other",
        }
    }

    /// The plain words shown to the owner.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::Listing => "listing fee",
            Self::Commission => "selling fee",
            Self::Processing => "payment processing fee",
            Self::Other => "other fee",
        }
    }

    /// The account it is booked to.
    #[must_use]
    pub const fn role(self) -> Role {
        match self {
            Self::Listing | Self::Commission | Self::Other => Role::ShopFees,
            Self::Processing => Role::ProcessingFees,
        }
    }

    const fn column(self) -> &'static str {
        match self {
            Self::Listing => "fee_listing",
            Self::Commission => "fee_commission",
            Self::Processing => "fee_processing",
            Self::Other => "fee_other",
        }
    }
}

impl fmt::Display for FeeKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for FeeKind {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|kind| kind.as_str() == text.trim())
            .ok_or_else(|| {
                format!(
                    "'{text}' is not a kind of fee; use listing, commission, processing or other"
                )
            })
    }
}

/// One fee taken out of a sale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fee {
    /// What it is for.
    pub kind: FeeKind,
    /// How much.
    pub amount: Money,
}

impl Fee {
    /// A fee.
    #[must_use]
    pub const fn new(kind: FeeKind, amount: Money) -> Self {
        Self { kind, amount }
    }
}

/// One line of a sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleLine {
    /// Its full price, before any discount.
    pub amount: Money,
    /// What was sold; may be empty.
    pub description: String,
    /// The code of the product.
    pub item: Option<String>,
    /// How many pieces.
    pub quantity: Option<Quantity>,
    /// The income account, where it is not plain sales.
    pub account: Option<AccountId>,
}

impl SaleLine {
    /// A line of plain sales.
    #[must_use]
    pub fn new(amount: Money, description: impl Into<String>) -> Self {
        Self {
            amount,
            description: description.into(),
            item: None,
            quantity: None,
            account: None,
        }
    }
}

/// What is asked about a sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleDetails {
    /// The day it was sold.
    pub date: NaiveDate,
    /// Where the money went or is owed: bank, cash, customers owe, or the channel's account.
    pub paid_into: AccountId,
    /// What was sold, at full price.
    pub lines: Vec<SaleLine>,
    /// The discount that the owner gave, as a positive amount.
    pub discount: Money,
    /// Postage charged to the customer.
    pub postage: Money,
    /// Sales tax charged on top that the owner pays over.
    pub tax_ours: Money,
    /// Sales tax that the channel collected and pays over itself: kept as a note, never posted.
    pub tax_by_channel: Money,
    /// What was taken out of it, each fee apart.
    pub fees: Vec<Fee>,
    /// The customer's order number or name; may be empty. A channel sale without one names the channel.
    pub party: String,
    /// What it was, as a whole; may be empty.
    pub memo: String,
    /// The order's number; may be empty.
    pub reference: String,
    /// The owner's own key of the sale, by which a refund finds it; may be empty.
    pub document: String,
}

impl SaleDetails {
    /// A sale of these lines with nothing added or taken off.
    #[must_use]
    pub fn new(date: NaiveDate, paid_into: AccountId, lines: Vec<SaleLine>) -> Self {
        Self {
            date,
            paid_into,
            lines,
            discount: Money::ZERO,
            postage: Money::ZERO,
            tax_ours: Money::ZERO,
            tax_by_channel: Money::ZERO,
            fees: Vec::new(),
            party: String::new(),
            memo: String::new(),
            reference: String::new(),
            document: String::new(),
        }
    }
}

/// Something sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sale {
    details: SaleDetails,
}

impl Sale {
    /// A sale as told.
    ///
    /// # Errors
    /// When it has no lines, an amount cannot be, or the discount is above the price.
    pub fn new(details: SaleDetails) -> Result<Self, HappeningError> {
        if details.lines.is_empty() {
            return Err(HappeningError::field(
                "amount",
                "a sale needs at least one line",
            ));
        }
        for (idx, line) in details.lines.iter().enumerate() {
            checks::positive("amount", line.amount).map_err(|error| error.on_line(idx))?;
            if line
                .quantity
                .is_some_and(|quantity| quantity.value() <= Decimal::ZERO)
            {
                return Err(HappeningError::field(
                    "quantity",
                    "the quantity must be more than nothing",
                )
                .on_line(idx));
            }
        }
        checks::not_negative("discount", details.discount)?;
        checks::not_negative("postage", details.postage)?;
        checks::not_negative("tax_ours", details.tax_ours)?;
        checks::not_negative("tax_by_channel", details.tax_by_channel)?;
        for fee in &details.fees {
            checks::not_negative(fee.kind.column(), fee.amount)?;
        }
        let sale = Self { details };
        if sale.details.discount > sale.full_price() {
            return Err(HappeningError::too_much(
                "discount",
                "the discount is more than the price",
                sale.full_price(),
            ));
        }
        Ok(sale)
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &SaleDetails {
        &self.details
    }

    /// The things sold at their full price.
    #[must_use]
    pub fn full_price(&self) -> Money {
        self.details.lines.iter().map(|line| line.amount).sum()
    }

    /// What the customer pays, the channel's own tax apart.
    #[must_use]
    pub fn customer_pays(&self) -> Money {
        self.full_price() - self.details.discount + self.details.postage + self.details.tax_ours
    }

    /// All fees together.
    #[must_use]
    pub fn fees(&self) -> Money {
        self.details.fees.iter().map(|fee| fee.amount).sum()
    }

    /// What is left for the owner after the fees.
    #[must_use]
    pub fn kept(&self) -> Money {
        self.customer_pays() - self.fees()
    }

    fn header(&self, into: &Account) -> EntryHeader {
        let told = &self.details;
        let party = if told.party.trim().is_empty() && into.is_channel() {
            &into.name
        } else {
            &told.party
        };
        let mut header = EntryHeader::new(told.date, EntryKind::Sale)
            .party(party.trim())
            .memo(memo_or_things(
                &told.memo,
                told.lines.iter().map(|line| line.description.as_str()),
            ))
            .reference(&told.reference)
            .document(&told.document);
        header.tax_by_channel = told.tax_by_channel;
        header
    }

    fn sold_lines(&self, chart: &Chart) -> Result<Vec<Line>, HappeningError> {
        let mut lines = Vec::new();
        for (idx, sold) in self.details.lines.iter().enumerate() {
            let account = match sold.account {
                None => chart.role(Role::Sales)?,
                Some(id) => income(chart, id).map_err(|error| error.on_line(idx))?,
            };
            let mut line = Line::credit(account, sold.amount).memo(&sold.description);
            line.item.clone_from(&sold.item);
            line.quantity = sold.quantity;
            lines.push(line);
        }
        Ok(lines)
    }
}

impl Happening for Sale {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let into = takes_sales(chart, told.paid_into)?;
        if !told.tax_by_channel.is_zero() && !into.is_channel() {
            return Err(HappeningError::field(
                "tax_by_channel",
                format!(
                    "'{}' is not a sales channel, so nobody pays this tax over for you; it is yours",
                    into.name
                ),
            ));
        }
        let mut lines = vec![
            Line::debit(into.id, self.customer_pays()),
            Line::debit(chart.role(Role::Discounts)?, told.discount).memo("discount given"),
        ];
        lines.extend(self.sold_lines(chart)?);
        lines.push(
            Line::credit(chart.role(Role::PostageCharged)?, told.postage).memo("postage charged"),
        );
        lines.push(Line::credit(chart.role(Role::SalesTax)?, told.tax_ours).memo("sales tax"));
        for fee in &told.fees {
            lines
                .push(Line::debit(chart.role(fee.kind.role())?, fee.amount).memo(fee.kind.plain()));
            lines.push(Line::credit(into.id, fee.amount).memo(fee.kind.plain()));
        }
        Ok(JournalEntry::new(self.header(into), lines)?)
    }
}

/// The tax inside a price that includes it at this rate: `price × rate ÷ (100 + rate)`, halves away from zero.
#[must_use]
pub fn tax_inside(price: Money, rate: Percent) -> Money {
    let with_tax = Decimal::ONE_HUNDRED + rate.percent();
    price.times(rate.percent() / with_tax)
}

fn income(chart: &Chart, id: AccountId) -> Result<AccountId, HappeningError> {
    let account = chart.account(id)?;
    if account.class == AccountClass::Income && !account.is_contra {
        return Ok(id);
    }
    Err(HappeningError::field(
        "account",
        format!(
            "'{}' is not income; a sale needs an income account",
            account.name
        ),
    ))
}

/// Where the money of a sale can go: money, a channel, what customers owe or paid before, or the owner privately.
fn takes_sales(chart: &Chart, id: AccountId) -> Result<&Account, HappeningError> {
    let account = chart.account(id)?;
    let takes = checks::holds_money(account)
        || account.is_channel()
        || matches!(
            account.role,
            Some(Role::CustomersOwe | Role::CustomerDeposits | Role::OwnerDrawings)
        );
    if takes {
        Ok(account)
    } else {
        Err(HappeningError::field(
            "paid_into",
            format!(
                "the money of a sale cannot go to '{}'; choose a bank account, cash, a sales channel or 'Customers owe'",
                account.name
            ),
        ))
    }
}
