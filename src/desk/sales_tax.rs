//! What a period's entries say for a return of sales tax: taxable sales, other sales, tax taken from customers.
//! A sum over the ledger; what is to be declared is for the place's own rules.

use crate::dates::DateRange;
use crate::ledger::{Account, AccountClass, Chart, ChartError, PostedEntry, Role};
use crate::money::Money;

/// The caution beside the figures of a return.
pub const RETURN_CAUTION: &str = "Figures as the book has them, to be held against the return; which sales are taxable, at \
     which rate and when a return is due depends on where the business sells: confirm with local rules and a licensed \
     professional.";

/// What a period's entries say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PeriodTax {
    /// The days.
    pub period: DateRange,
    /// How many entries took tax or gave it back.
    pub n_taxed: usize,
    /// Sales of the entries with tax, less refunds and discounts, without the tax.
    pub taxable: Money,
    /// Sales of the entries without tax, less refunds and discounts.
    pub other: Money,
    /// Tax taken from customers less what was given back to them.
    pub collected: Money,
    /// Tax that shops collected and pay over themselves.
    pub by_channels: Money,
}

impl PeriodTax {
    /// Adds up the entries that are dated in the period. An entry that moves the tax without a sale pays it over and is
    /// left out.
    ///
    /// # Errors
    /// When the chart has no account for sales tax.
    pub fn of(
        period: DateRange,
        entries: &[PostedEntry],
        chart: &Chart,
    ) -> Result<Self, ChartError> {
        let tax_account = chart.role(Role::SalesTax)?;
        let is_sales = |account: &Account| {
            account.class == AccountClass::Income && account.group == Account::SALES_GROUP
        };
        let mut sum = Self {
            period,
            n_taxed: 0,
            taxable: Money::ZERO,
            other: Money::ZERO,
            collected: Money::ZERO,
            by_channels: Money::ZERO,
        };
        for posted in entries {
            let header = &posted.entry.header;
            if !period.contains(header.date) || header.kind == crate::ledger::EntryKind::Closing {
                continue;
            }
            let mut sales = None;
            let mut tax = Money::ZERO;
            for line in posted.entry.lines() {
                if line.account == tax_account {
                    tax -= line.amount;
                } else if is_sales(chart.account(line.account)?) {
                    sales = Some(sales.unwrap_or(Money::ZERO) - line.amount);
                }
            }
            sum.by_channels += header.tax_by_channel;
            let Some(sales) = sales else {
                continue;
            };
            if tax.is_zero() {
                sum.other += sales;
            } else {
                sum.n_taxed += 1;
                sum.taxable += sales;
                sum.collected += tax;
            }
        }
        Ok(sum)
    }

    /// Whether nothing taxable was sold: the return is due all the same.
    #[must_use]
    pub fn is_nil(&self) -> bool {
        self.n_taxed == 0
    }
}
