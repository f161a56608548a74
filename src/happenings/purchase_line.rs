//! One line of a purchase: the thing, its price, the kind it was sorted under, and its share of what the receipt adds.
//! How lines become an entry is `purchase`.

use chrono::NaiveDate;

use super::{HappeningError, checks};
use crate::depreciation::{Condition, Convention, Equipment};
use crate::ledger::AccountId;
use crate::money::{Money, Percent, Quantity};

/// One line of a receipt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PurchaseLine {
    /// The account that its kind belongs to.
    pub account: AccountId,
    /// Its price on the receipt, before carriage, tax and discount of the whole receipt.
    pub amount: Money,
    /// What it is; may be empty.
    pub description: String,
    /// How many pieces, sheets or metres.
    pub quantity: Option<Quantity>,
    /// The code of the stock item.
    pub item: Option<String>,
    /// The business's share; the rest is private.
    pub business_share: Percent,
    /// For a line that goes to the register of equipment.
    pub equipment: Option<EquipmentDetails>,
    /// For a cost that covers months to come.
    pub paid_ahead: Option<PaidAhead>,
}

impl PurchaseLine {
    /// A line that is all business, neither equipment nor paid ahead.
    #[must_use]
    pub fn new(account: AccountId, amount: Money, description: impl Into<String>) -> Self {
        Self {
            account,
            amount,
            description: description.into(),
            quantity: None,
            item: None,
            business_share: Percent::WHOLE,
            equipment: None,
            paid_ahead: None,
        }
    }

    /// The line with a quantity.
    #[must_use]
    pub fn quantity(mut self, quantity: Quantity) -> Self {
        self.quantity = Some(quantity);
        self
    }

    /// The line of which this share is the business's.
    #[must_use]
    pub fn business_share(mut self, share: Percent) -> Self {
        self.business_share = share;
        self
    }

    /// The line sent to the register of equipment.
    #[must_use]
    pub fn equipment(mut self, equipment: EquipmentDetails) -> Self {
        self.equipment = Some(equipment);
        self
    }

    /// The line spread over months to come.
    #[must_use]
    pub fn paid_ahead(mut self, paid_ahead: PaidAhead) -> Self {
        self.paid_ahead = Some(paid_ahead);
        self
    }

    /// What the line is called: its description, or the name of the equipment.
    #[must_use]
    pub fn thing(&self) -> &str {
        let description = self.description.trim();
        match &self.equipment {
            Some(equipment) if description.is_empty() => equipment.name.trim(),
            _ => description,
        }
    }

    /// Refuses what cannot be in a single line, whatever the chart.
    pub(super) fn check(&self, bought_on: NaiveDate, cost: LineCost) -> Result<(), HappeningError> {
        checks::positive("amount", self.amount)?;
        if let Some(quantity) = self.quantity
            && quantity.value() <= rust_decimal::Decimal::ZERO
        {
            return Err(HappeningError::field(
                "quantity",
                "the quantity must be more than nothing",
            ));
        }
        if let Some(equipment) = &self.equipment {
            equipment.check(bought_on, cost.total())?;
            if self.paid_ahead.is_some() {
                return Err(HappeningError::field(
                    "equipment_name",
                    "equipment wears out over its life; it is not also paid ahead",
                ));
            }
            if self.business_share == Percent::ZERO {
                return Err(HappeningError::field(
                    "business_share",
                    "equipment that is only private does not belong to the business; sort it as private",
                ));
            }
        }
        if let Some(paid_ahead) = &self.paid_ahead {
            paid_ahead.check()?;
        }
        Ok(())
    }
}

/// What the register asks about a piece of equipment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EquipmentDetails {
    /// Its name; unique in the book.
    pub name: String,
    /// Its life in months.
    pub life_months: u32,
    /// What it will be worth at the end.
    pub residual: Money,
    /// The day it is first ready for use.
    pub in_service_on: NaiveDate,
    /// How the first and last stretch are counted.
    pub convention: Convention,
    /// New or second-hand.
    pub condition: Condition,
    /// Serial number; may be empty.
    pub serial: String,
    /// Where it stands; may be empty.
    pub location: String,
}

impl EquipmentDetails {
    /// A new thing with nothing left at the end of its life, in use from this day.
    #[must_use]
    pub fn new(name: impl Into<String>, life_months: u32, in_service_on: NaiveDate) -> Self {
        Self {
            name: name.into(),
            life_months,
            residual: Money::ZERO,
            in_service_on,
            convention: Convention::default(),
            condition: Condition::default(),
            serial: String::new(),
            location: String::new(),
        }
    }

    /// Refuses what cannot be, for a thing that came on this day at this whole cost.
    pub(super) fn check(&self, came_on: NaiveDate, cost: Money) -> Result<(), HappeningError> {
        checks::given("equipment_name", &self.name, "give the equipment a name")?;
        if self.life_months == 0 {
            return Err(HappeningError::field(
                "life_months",
                "say how many months it will last, at least 1",
            ));
        }
        if self.life_months > 1200 {
            return Err(HappeningError::field(
                "life_months",
                "a life of more than 1200 months is not believable",
            ));
        }
        checks::not_negative("residual", self.residual)?;
        if self.residual > cost {
            return Err(HappeningError::too_much(
                "residual",
                "what it is worth at the end cannot be more than it cost",
                cost,
            ));
        }
        if self.in_service_on < came_on {
            return Err(HappeningError::field(
                "in_service_on",
                "it cannot be in use before the day it came",
            ));
        }
        Ok(())
    }

    /// The row of the register.
    pub(super) fn row(
        &self,
        supplier: &str,
        came_on: NaiveDate,
        cost: LineCost,
        business_share: Percent,
    ) -> Equipment {
        Equipment {
            key: self.name.trim().to_owned(),
            name: self.name.trim().to_owned(),
            supplier: supplier.trim().to_owned(),
            bought_on: came_on,
            in_service_on: self.in_service_on,
            cost: cost.total(),
            tax_part: cost.tax,
            delivery_part: cost.carriage,
            residual: self.residual,
            life_months: self.life_months,
            business_share,
            convention: self.convention,
            condition: self.condition,
            serial: self.serial.trim().to_owned(),
            location: self.location.trim().to_owned(),
            purchase_entry: None,
            charged_before: Money::ZERO,
            changes: Vec::new(),
            disposal: None,
        }
    }
}

/// The months that a cost paid ahead covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PaidAhead {
    /// The first day covered.
    pub from: NaiveDate,
    /// How many months are covered.
    pub months: u32,
}

impl PaidAhead {
    fn check(self) -> Result<(), HappeningError> {
        if (1..=600).contains(&self.months) {
            Ok(())
        } else {
            Err(HappeningError::field(
                "paid_ahead",
                "say how many months it covers, from 1 to 600",
            ))
        }
    }
}

/// What one line cost with its share of what the receipt adds and takes off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LineCost {
    /// Its price.
    pub goods: Money,
    /// Its share of the carriage.
    pub carriage: Money,
    /// Its share of the tax that is not got back.
    pub tax: Money,
    /// Its share of the discount, as a positive amount.
    pub discount: Money,
}

impl LineCost {
    /// The landed cost: price, carriage and tax less discount.
    #[must_use]
    pub fn total(self) -> Money {
        self.goods + self.carriage + self.tax - self.discount
    }

    /// The business's part and the private part, which add up to the landed cost.
    #[must_use]
    pub fn split(self, business_share: Percent) -> (Money, Money) {
        let business = self.total().share(business_share);
        (business, self.total() - business)
    }

    /// The costs of lines with these prices, with carriage, tax and discount each spread by value:
    /// largest remainder first, so that the parts add up.
    #[must_use]
    pub fn spread(goods: &[Money], carriage: Money, tax: Money, discount: Money) -> Vec<Self> {
        let weights: Vec<i64> = goods.iter().map(|price| price.minor()).collect();
        let carriages = carriage.allocate(&weights);
        let taxes = tax.allocate(&weights);
        let discounts = discount.allocate(&weights);
        goods
            .iter()
            .zip(carriages)
            .zip(taxes)
            .zip(discounts)
            .map(|(((goods, carriage), tax), discount)| Self {
                goods: *goods,
                carriage,
                tax,
                discount,
            })
            .collect()
    }
}
