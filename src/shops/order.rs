//! An order as a shop's file of orders tells it, and what its words mean as products.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::happenings::{Fee, FeeKind, SaleDetails, SaleLine};
use crate::ledger::AccountId;
use crate::money::{Money, Quantity};

/// One thing of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopOrderLine {
    /// What it is, in the shop's words.
    pub words: String,
    /// The number of its listing; may be empty.
    pub listing: String,
    /// The maker's own code; may be empty.
    pub code: String,
    /// How many pieces.
    pub quantity: Option<Quantity>,
    /// The full price of all pieces.
    pub amount: Money,
}

/// An order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopOrder {
    /// Its number.
    pub order: String,
    /// The day of the sale.
    pub date: NaiveDate,
    /// What was sold.
    pub lines: Vec<ShopOrderLine>,
    /// The discount, above nothing.
    pub discount: Money,
    /// Postage charged.
    pub postage: Money,
    /// Tax that the maker pays over.
    pub tax_ours: Money,
    /// Tax that the shop pays over.
    pub tax_by_channel: Money,
    /// Whether the file has a column of it, so that nothing means none.
    pub tells_tax: bool,
    /// The fees that the file tells.
    pub fees: Vec<Fee>,
    /// What was given back so far, with its day where the file gives one.
    pub refund: Option<(Option<NaiveDate>, Money)>,
    /// The first row.
    pub row: u64,
}

/// A product as a sale's line needs it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Product {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
}

impl ShopOrder {
    /// What the customer paid, the shop's own tax apart.
    #[must_use]
    pub fn customer_pays(&self) -> Money {
        let lines: Money = self.lines.iter().map(|line| line.amount).sum();
        lines - self.discount + self.postage + self.tax_ours
    }

    /// The order as a sale through the channel. Lines of nothing are left out, and so are fees of the kinds that the
    /// shop told of elsewhere.
    #[must_use]
    pub fn sale(
        &self,
        channel: AccountId,
        products: &BTreeMap<String, Product>,
        told_elsewhere: &[FeeKind],
    ) -> SaleDetails {
        let lines = self
            .lines
            .iter()
            .filter(|line| !line.amount.is_zero())
            .map(|line| {
                let mut sold = SaleLine::new(line.amount, line.words.clone());
                sold.quantity = line.quantity;
                if let Some(product) = line.product(products) {
                    sold.item = Some(product.code.clone());
                    if sold.description.is_empty() {
                        sold.description.clone_from(&product.name);
                    }
                    if sold.quantity.is_none() {
                        sold.quantity = Quantity::new(rust_decimal::Decimal::ONE).ok();
                    }
                }
                sold
            })
            .collect();
        let fees = self.fees.iter();
        let fees = fees.filter(|fee| !fee.amount.is_zero() && !told_elsewhere.contains(&fee.kind));
        SaleDetails {
            discount: self.discount,
            postage: self.postage,
            tax_ours: self.tax_ours,
            tax_by_channel: self.tax_by_channel,
            fees: fees.copied().collect(),
            reference: self.order.clone(),
            document: self.order.clone(),
            ..SaleDetails::new(self.date, channel, lines)
        }
    }
}

impl ShopOrderLine {
    /// The product that it is, by its code, its listing or its words.
    #[must_use]
    pub fn product<'p>(&self, products: &'p BTreeMap<String, Product>) -> Option<&'p Product> {
        self.names()
            .find_map(|name| products.get(&name.to_lowercase()))
    }

    /// What it can be known by, the surest first.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        [&self.code, &self.listing, &self.words]
            .into_iter()
            .map(|name| name.trim())
            .filter(|name| !name.is_empty())
    }
}
