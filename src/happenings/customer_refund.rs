//! Money given back to a customer for a sale, in whole or in part, with the fees that the channel gives back.
//! Never more than is left of the sale; the sale itself stands as it was.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::{Fee, Happening, HappeningError, checks};
use crate::ledger::{
    AccountClass, AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role,
};
use crate::money::Money;

/// A sale as a refund sees it: what the customer paid, and what she has had back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefundedSale {
    /// The owner's key of the sale.
    pub document: String,
    /// The day of the sale.
    pub date: NaiveDate,
    /// The customer or channel it names.
    pub party: String,
    /// Where its money went, if that is one place.
    pub paid_into: Option<AccountId>,
    /// What the customer paid, our own tax included.
    pub total: Money,
    /// What was given back so far, our own tax included.
    pub refunded: Money,
    /// What the customer's bank took back and is not decided yet.
    pub in_dispute: Money,
    /// Our own tax in it.
    pub tax_ours: Money,
    /// Our own tax given back so far.
    pub tax_refunded: Money,
    /// The tax that the channel collected, less what it gave back.
    pub tax_by_channel: Money,
}

impl RefundedSale {
    /// The sale and its refunds so far, read from their entries.
    ///
    /// # Errors
    /// When the chart lacks an account of theirs.
    pub fn of_entries<'a>(
        sale: &JournalEntry,
        refunds: impl IntoIterator<Item = &'a JournalEntry>,
        chart: &Chart,
    ) -> Result<Self, HappeningError> {
        let (total, tax_ours) = customers_part(sale, chart)?;
        let mut found = Self {
            document: sale.header.document.clone(),
            date: sale.header.date,
            party: sale.header.party.clone(),
            paid_into: None,
            total: -total,
            refunded: Money::ZERO,
            in_dispute: Money::ZERO,
            tax_ours: -tax_ours,
            tax_refunded: Money::ZERO,
            tax_by_channel: sale.header.tax_by_channel,
        };
        for line in sale.lines() {
            let class = chart.account(line.account)?.class;
            if line.amount.is_positive() && !class.is_profit_and_loss() {
                found.paid_into = Some(line.account);
                break;
            }
        }
        for refund in refunds {
            let (refunded, tax) = customers_part(refund, chart)?;
            found.refunded += refunded;
            found.tax_refunded += tax;
            found.tax_by_channel += refund.header.tax_by_channel;
        }
        Ok(found)
    }

    /// What can still be given back.
    #[must_use]
    pub fn left(&self) -> Money {
        self.total - self.refunded - self.in_dispute
    }

    /// The part of our own tax that goes with a refund of this amount: in proportion, and the last refund takes the rest.
    #[must_use]
    pub fn tax_with(&self, amount: Money) -> Money {
        let left = self.tax_ours - self.tax_refunded;
        proportion(left, amount, self.left())
    }
}

/// What an entry moved for the customer: the sum on income and sales tax, and the tax in it; debits are positive.
fn customers_part(entry: &JournalEntry, chart: &Chart) -> Result<(Money, Money), HappeningError> {
    let sales_tax = chart.role(Role::SalesTax)?;
    let (mut total, mut tax) = (Money::ZERO, Money::ZERO);
    for line in entry.lines() {
        if line.account == sales_tax {
            tax += line.amount;
            total += line.amount;
        } else if chart.account(line.account)?.class == AccountClass::Income {
            total += line.amount;
        }
    }
    Ok((total, tax))
}

fn proportion(of: Money, amount: Money, whole: Money) -> Money {
    if whole.is_zero() {
        return Money::ZERO;
    }
    let share = Decimal::from(of.minor())
        .checked_mul(Decimal::from(amount.minor()))
        .map(|product| product / Decimal::from(whole.minor()));
    share.map_or(Money::ZERO, Money::rounded_minor)
}

/// What is asked about a refund to a customer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerRefundDetails {
    /// The day it was given back.
    pub date: NaiveDate,
    /// The sale it belongs to.
    pub sale: RefundedSale,
    /// Where the money came from: the channel's account, bank or cash.
    pub paid_from: AccountId,
    /// What the customer got back, our own tax included and the channel's apart.
    pub amount: Money,
    /// Our own tax in it; in proportion to the sale where not given.
    pub tax_ours: Option<Money>,
    /// The channel's tax given back beside it; in proportion to the sale where not given.
    pub tax_by_channel: Option<Money>,
    /// Fees that the channel gives back.
    pub fee_credits: Vec<Fee>,
    /// Why; may be empty.
    pub memo: String,
    /// The refund's number; may be empty.
    pub reference: String,
}

impl CustomerRefundDetails {
    /// A refund of this amount from where the sale's money went, taxes in proportion and no fees given back.
    #[must_use]
    pub fn new(date: NaiveDate, sale: RefundedSale, paid_from: AccountId, amount: Money) -> Self {
        Self {
            date,
            sale,
            paid_from,
            amount,
            tax_ours: None,
            tax_by_channel: None,
            fee_credits: Vec::new(),
            memo: String::new(),
            reference: String::new(),
        }
    }
}

/// Money given back to a customer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerRefund {
    details: CustomerRefundDetails,
    tax_ours: Money,
    tax_by_channel: Money,
}

impl CustomerRefund {
    /// A refund as told.
    ///
    /// # Errors
    /// When it comes before the sale, is nothing or more than is left of the sale, or a tax or fee cannot be.
    pub fn new(details: CustomerRefundDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        let sale = &details.sale;
        if details.date < sale.date {
            return Err(HappeningError::field(
                "date",
                "a refund cannot come before its sale",
            ));
        }
        if !sale.left().is_positive() {
            return Err(HappeningError::field(
                "amount",
                if sale.in_dispute.is_positive() {
                    "the payment for this sale is in dispute; wait for its end, or say that it is lost"
                } else {
                    "the whole sale has been given back already"
                },
            ));
        }
        if details.amount > sale.left() {
            return Err(HappeningError::too_much(
                "amount",
                "this is more than is left of the sale",
                sale.left(),
            ));
        }
        let tax_ours = details
            .tax_ours
            .unwrap_or_else(|| sale.tax_with(details.amount));
        checks::not_negative("tax_ours", tax_ours)?;
        let most = (sale.tax_ours - sale.tax_refunded).min(details.amount);
        if tax_ours > most {
            return Err(HappeningError::too_much(
                "tax_ours",
                "this is more tax than is left of the sale",
                most,
            ));
        }
        let tax_by_channel = details
            .tax_by_channel
            .unwrap_or_else(|| proportion(sale.tax_by_channel, details.amount, sale.left()));
        checks::not_negative("tax_by_channel", tax_by_channel)?;
        if tax_by_channel > sale.tax_by_channel {
            return Err(HappeningError::too_much(
                "tax_by_channel",
                "this is more tax than the channel collected",
                sale.tax_by_channel,
            ));
        }
        for fee in &details.fee_credits {
            checks::not_negative("fee_credit", fee.amount)?;
        }
        Ok(Self {
            details,
            tax_ours,
            tax_by_channel,
        })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &CustomerRefundDetails {
        &self.details
    }

    /// Our own tax in it.
    #[must_use]
    pub const fn tax_ours(&self) -> Money {
        self.tax_ours
    }

    /// What it takes out of the account in the end: the refund less the fees given back.
    #[must_use]
    pub fn costs(&self) -> Money {
        let credits: Money = self.details.fee_credits.iter().map(|fee| fee.amount).sum();
        self.details.amount - credits
    }
}

impl Happening for CustomerRefund {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let from = chart.account(told.paid_from)?;
        let gives = checks::holds_money(from)
            || from.is_channel()
            || checks::is_card_or_bill(from)
            || matches!(
                from.role,
                Some(
                    Role::CustomersOwe
                        | Role::CustomerDeposits
                        | Role::InDispute
                        | Role::OwnerCapital
                        | Role::OwedToOwner
                )
            );
        if !gives {
            return Err(HappeningError::field(
                "paid_from",
                format!(
                    "a refund cannot come from '{}'; choose the sales channel, a bank account or cash",
                    from.name
                ),
            ));
        }
        let mut header = EntryHeader::new(told.date, EntryKind::Refund)
            .party(&told.sale.party)
            .memo(&told.memo)
            .reference(&told.reference)
            .document(&told.sale.document);
        header.tax_by_channel = -self.tax_by_channel;
        let mut lines = vec![
            Line::debit(chart.role(Role::Refunds)?, told.amount - self.tax_ours),
            Line::debit(chart.role(Role::SalesTax)?, self.tax_ours).memo("sales tax"),
            Line::credit(from.id, told.amount),
        ];
        for fee in &told.fee_credits {
            let memo = format!("{} given back", fee.kind.plain());
            lines.push(Line::debit(from.id, fee.amount).memo(&memo));
            lines.push(Line::credit(chart.role(fee.kind.role())?, fee.amount).memo(memo));
        }
        Ok(JournalEntry::new(header, lines)?)
    }
}
