//! Money back from a supplier: the same accounts go down that the purchase raised.
//! Equipment given back leaves the register by its disposal, so that its wear stops with it.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::{Money, Quantity};

/// A purchase as a refund sees it: what was booked where, and what has come back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefundedPurchase {
    /// The owner's key of the receipt.
    pub document: String,
    /// The day it was bought.
    pub date: NaiveDate,
    /// From whom.
    pub supplier: String,
    /// What it was paid with.
    pub paid_from: Option<AccountId>,
    /// What was booked, line by line.
    pub lines: Vec<SupplierRefundLine>,
    /// What came back so far.
    pub refunded: Money,
}

impl RefundedPurchase {
    /// The purchase and its refunds so far, read from their entries.
    #[must_use]
    pub fn of_entries<'a>(
        purchase: &JournalEntry,
        refunds: impl IntoIterator<Item = &'a JournalEntry>,
    ) -> Self {
        let debits = purchase
            .lines()
            .iter()
            .filter(|line| line.amount.is_positive());
        Self {
            document: purchase.header.document.clone(),
            date: purchase.header.date,
            supplier: purchase.header.party.clone(),
            paid_from: purchase
                .lines()
                .iter()
                .find(|line| line.amount.is_negative())
                .map(|line| line.account),
            lines: debits
                .map(|line| SupplierRefundLine {
                    account: line.account,
                    amount: line.amount,
                    description: line.memo.clone(),
                    quantity: line.quantity,
                    item: line.item.clone(),
                })
                .collect(),
            refunded: refunds.into_iter().map(JournalEntry::total).sum(),
        }
    }

    /// What was paid.
    #[must_use]
    pub fn total(&self) -> Money {
        self.lines.iter().map(|line| line.amount).sum()
    }

    /// What can still come back.
    #[must_use]
    pub fn left(&self) -> Money {
        self.total() - self.refunded
    }

    /// This amount over the accounts of the purchase in proportion to what was booked to each, adding up exactly.
    /// Quantities stay open: an allowance brings nothing back to the supplier.
    #[must_use]
    pub fn in_proportion(&self, amount: Money) -> Vec<SupplierRefundLine> {
        let weights: Vec<i64> = self.lines.iter().map(|line| line.amount.minor()).collect();
        self.lines
            .iter()
            .zip(amount.allocate(&weights))
            .filter(|(_, part)| !part.is_zero())
            .map(|(line, part)| SupplierRefundLine {
                amount: part,
                quantity: None,
                ..line.clone()
            })
            .collect()
    }
}

/// What came back for one thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SupplierRefundLine {
    /// The account that its cost was booked to.
    pub account: AccountId,
    /// How much came back.
    pub amount: Money,
    /// What it is; may be empty.
    pub description: String,
    /// How many went back.
    pub quantity: Option<Quantity>,
    /// The code of the stock item.
    pub item: Option<String>,
}

/// What is asked about a refund from a supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SupplierRefundDetails {
    /// The day it came.
    pub date: NaiveDate,
    /// From whom.
    pub supplier: String,
    /// The purchase it belongs to, where it is in the book.
    pub purchase: Option<RefundedPurchase>,
    /// Where it went: bank, cash, card, the bill left open, or what is owed to the owner.
    pub into: AccountId,
    /// What came back, for each thing.
    pub lines: Vec<SupplierRefundLine>,
    /// Why; may be empty.
    pub memo: String,
    /// The number on the paper; may be empty.
    pub reference: String,
}

impl SupplierRefundDetails {
    /// A refund of this amount for a purchase as a whole, over its accounts in proportion.
    #[must_use]
    pub fn in_proportion(
        date: NaiveDate,
        purchase: RefundedPurchase,
        into: AccountId,
        amount: Money,
    ) -> Self {
        Self {
            date,
            supplier: purchase.supplier.clone(),
            into,
            lines: purchase.in_proportion(amount),
            purchase: Some(purchase),
            memo: String::new(),
            reference: String::new(),
        }
    }
}

/// Money back from a supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SupplierRefund {
    details: SupplierRefundDetails,
}

impl SupplierRefund {
    /// A refund as told.
    ///
    /// # Errors
    /// When the supplier or the lines are missing, an amount is nothing, or it is before or above its purchase.
    pub fn new(details: SupplierRefundDetails) -> Result<Self, HappeningError> {
        checks::given("supplier", &details.supplier, "say who gave it back")?;
        if details.lines.is_empty() {
            return Err(HappeningError::field(
                "amount",
                "the amount must be more than nothing",
            ));
        }
        for (idx, line) in details.lines.iter().enumerate() {
            checks::positive("amount", line.amount).map_err(|error| error.on_line(idx))?;
        }
        let refund = Self { details };
        if let Some(purchase) = &refund.details.purchase {
            if refund.details.date < purchase.date {
                return Err(HappeningError::field(
                    "date",
                    "a refund cannot come before its purchase",
                ));
            }
            if refund.total() > purchase.left() {
                return Err(HappeningError::too_much(
                    "amount",
                    "this is more than is left of the purchase",
                    purchase.left(),
                ));
            }
        }
        Ok(refund)
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &SupplierRefundDetails {
        &self.details
    }

    /// All that came back.
    #[must_use]
    pub fn total(&self) -> Money {
        self.details.lines.iter().map(|line| line.amount).sum()
    }
}

impl Happening for SupplierRefund {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let into = chart.account(told.into)?;
        let takes = checks::holds_money(into)
            || into.is_channel()
            || checks::is_card_or_bill(into)
            || matches!(
                into.role,
                Some(Role::OwedToOwner | Role::OwnerCapital | Role::OwnerDrawings)
            );
        if !takes {
            return Err(HappeningError::field(
                "paid_into",
                format!(
                    "a refund cannot go to '{}'; choose a bank account, cash or the card",
                    into.name
                ),
            ));
        }
        let mut lines = vec![Line::debit(into.id, self.total())];
        for (idx, line) in told.lines.iter().enumerate() {
            lines.push(returned(chart, into.id, line).map_err(|error| error.on_line(idx))?);
        }
        let document = told
            .purchase
            .as_ref()
            .map_or("", |purchase| purchase.document.as_str());
        let header = EntryHeader::new(told.date, EntryKind::SupplierRefund)
            .party(told.supplier.trim())
            .memo(&told.memo)
            .reference(&told.reference)
            .document(document);
        Ok(JournalEntry::new(header, lines)?)
    }
}

fn returned(
    chart: &Chart,
    into: AccountId,
    line: &SupplierRefundLine,
) -> Result<Line, HappeningError> {
    let account = checks::takes_cost(chart, "account", line.account)?;
    if account.role == Some(Role::Equipment) {
        return Err(HappeningError::field(
            "account",
            "equipment given back is written as equipment gone, so that its wear stops",
        ));
    }
    checks::different("account", account.id, into)?;
    let mut credit = Line::credit(account.id, line.amount).memo(&line.description);
    credit.item.clone_from(&line.item);
    credit.quantity = line.quantity;
    Ok(credit)
}
