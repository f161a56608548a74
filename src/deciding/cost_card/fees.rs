//! What a place of sale takes: fixed parts, and shares of the price, of the postage too, or of all with tax.
//! Every fee is rounded to the cent on its own, as it is charged.

use rust_decimal::Decimal;

use crate::money::{Money, Percent};

/// What a share is taken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FeeBase {
    /// The price of the pieces.
    Price,
    /// The price and the postage the customer is charged.
    PriceAndPostage,
    /// The price, the postage, and the tax the customer pays on both.
    PriceAndPostageWithTax,
}

/// How often a fixed part is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FixedPer {
    /// Once for an order.
    Order,
    /// For each piece.
    Piece,
}

/// One fee.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fee {
    /// What it is called.
    pub label: String,
    /// Its share.
    pub percent: Percent,
    /// What the share is taken of.
    pub base: FeeBase,
    /// Its fixed part.
    pub fixed: Money,
    /// How often the fixed part is taken.
    pub per: FixedPer,
}

/// Tax on the sale, which is never the owner's: at a rate she enters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SalesTax {
    /// None is charged.
    None,
    /// Added to price and postage.
    OnTop(Percent),
    /// Contained in price and postage, and taken out before anything is hers.
    Included(Percent),
}

/// A place of sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Channel {
    /// Its name.
    pub name: String,
    /// Its fees.
    pub fees: Vec<Fee>,
    /// Tax on its sales.
    pub tax: SalesTax,
}

/// What is hers of an amount with tax in it: the amount without tax, rounded to the cent.
pub(super) fn without_tax(tax: SalesTax, amount: Money) -> Money {
    match tax {
        SalesTax::Included(rate) => Decimal::from(amount.minor())
            .checked_div(Decimal::ONE + rate.fraction())
            .map_or(amount, Money::rounded_minor),
        SalesTax::None | SalesTax::OnTop(_) => amount,
    }
}

/// One order as the customer sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Till {
    pub(super) price: Money,
    pub(super) postage: Money,
    pub(super) tax: SalesTax,
    pub(super) pieces: u32,
}

impl Till {
    /// What a fee's share is taken of.
    pub(super) fn base(&self, base: FeeBase) -> Money {
        let both = self.price + self.postage;
        match (base, self.tax) {
            (FeeBase::Price, _) => self.price,
            (FeeBase::PriceAndPostageWithTax, SalesTax::OnTop(rate)) => both + both.share(rate),
            (FeeBase::PriceAndPostage | FeeBase::PriceAndPostageWithTax, _) => both,
        }
    }

    /// What a fee comes to.
    pub(super) fn fee(&self, fee: &Fee) -> Money {
        self.base(fee.base).share(fee.percent) + self.fixed(fee)
    }

    pub(super) fn fixed(&self, fee: &Fee) -> Money {
        match fee.per {
            FixedPer::Order => fee.fixed,
            FixedPer::Piece => fee.fixed.times(Decimal::from(self.pieces)),
        }
    }
}

impl Fee {
    /// How much of one more cent of price the fee takes.
    pub(super) fn slope(&self, tax: SalesTax) -> Decimal {
        let share = self.percent.fraction();
        match (self.base, tax) {
            (FeeBase::PriceAndPostageWithTax, SalesTax::OnTop(rate)) => {
                share * (Decimal::ONE + rate.fraction())
            }
            _ => share,
        }
    }
}
