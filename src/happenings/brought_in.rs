//! A thing that the owner already had, brought into the business at the lower of what it stands at for her and what it
//! would fetch that day. Bought for the business from the owner's own pocket is a `purchase`.

use chrono::NaiveDate;

use super::{
    EquipmentDetails, Happening, HappeningError, LineCost, Proof, ProofState, Recording, checks,
};
use crate::depreciation::{Condition, Equipment};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::{Money, Percent, Quantity};

/// What a thing is worth to the business.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worth {
    /// Both values are known; the lower is taken.
    Both {
        /// What it cost her, less any wear already counted.
        adjusted_cost: Money,
        /// What it would fetch on the day it is brought in.
        market_value: Money,
    },
    /// The owner, or her accountant, has decided already.
    Given(Money),
}

/// Which value was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenValue {
    /// What it had cost.
    AdjustedCost,
    /// What it would fetch.
    MarketValue,
    /// The one value that was given.
    Given,
}

impl TakenValue {
    /// Which value was taken and why, in one sentence.
    #[must_use]
    pub const fn reason(self) -> &'static str {
        match self {
            Self::AdjustedCost => {
                "taken at what it had cost, because it would fetch at least as much today"
            }
            Self::MarketValue => {
                "taken at what it would fetch today, because that is less than it had cost"
            }
            Self::Given => "taken at the value that was given",
        }
    }
}

/// Where a thing goes that is brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BroughtInto {
    /// Into the register of equipment, with the business's share of its use.
    Equipment(EquipmentDetails, Percent),
    /// Into this account: materials, packaging, consumables.
    Account(AccountId),
}

/// What is asked about a thing brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BroughtInDetails {
    /// The day it was brought in.
    pub date: NaiveDate,
    /// What it is.
    pub description: String,
    /// Where it goes.
    pub into: BroughtInto,
    /// What it is worth.
    pub worth: Worth,
    /// How the value is known: prices of three look-alikes, an old receipt; may be empty.
    pub how_known: String,
    /// How many, for materials.
    pub quantity: Option<Quantity>,
    /// The code of the stock item.
    pub item: Option<String>,
}

/// A thing already owned, brought into the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BroughtIn {
    details: BroughtInDetails,
}

impl BroughtIn {
    /// A thing brought in as told.
    ///
    /// # Errors
    /// When it has no description, a value is nothing or below, or the equipment's life cannot be.
    pub fn new(details: BroughtInDetails) -> Result<Self, HappeningError> {
        match details.worth {
            Worth::Both {
                adjusted_cost,
                market_value,
            } => {
                checks::positive("adjusted_cost", adjusted_cost)?;
                checks::positive("market_value", market_value)?;
            }
            Worth::Given(amount) => checks::positive("amount", amount)?,
        }
        let brought = Self { details };
        match &brought.details.into {
            BroughtInto::Equipment(equipment, share) => {
                equipment.check(brought.details.date, brought.value())?;
                if *share == Percent::ZERO {
                    return Err(HappeningError::field(
                        "business_share",
                        "a thing that stays private is not brought in",
                    ));
                }
            }
            BroughtInto::Account(_) => {
                checks::given(
                    "description",
                    &brought.details.description,
                    "say what is brought in",
                )?;
            }
        }
        Ok(brought)
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &BroughtInDetails {
        &self.details
    }

    /// The value it is booked at.
    #[must_use]
    pub fn value(&self) -> Money {
        match self.details.worth {
            Worth::Both {
                adjusted_cost,
                market_value,
            } => adjusted_cost.min(market_value),
            Worth::Given(amount) => amount,
        }
    }

    /// Which value was taken; [`TakenValue::reason`] says why.
    #[must_use]
    pub fn taken(&self) -> TakenValue {
        match self.details.worth {
            Worth::Both {
                adjusted_cost,
                market_value,
            } if market_value < adjusted_cost => TakenValue::MarketValue,
            Worth::Both { .. } => TakenValue::AdjustedCost,
            Worth::Given(_) => TakenValue::Given,
        }
    }

    fn thing(&self) -> &str {
        let description = self.details.description.trim();
        match &self.details.into {
            BroughtInto::Equipment(equipment, _) if description.is_empty() => equipment.name.trim(),
            _ => description,
        }
    }

    /// The piece that joins the register, if it is equipment.
    #[must_use]
    pub fn equipment(&self) -> Option<Equipment> {
        let BroughtInto::Equipment(equipment, share) = &self.details.into else {
            return None;
        };
        let cost = LineCost {
            goods: self.value(),
            ..LineCost::default()
        };
        let mut row = equipment.row("", self.details.date, cost, *share);
        row.condition = Condition::BroughtIn;
        Some(row)
    }
}

impl Happening for BroughtIn {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let mut line = match &told.into {
            BroughtInto::Equipment(equipment, _) => {
                Line::debit(chart.role(Role::Equipment)?, self.value())
                    .equipment(equipment.name.trim())
            }
            BroughtInto::Account(id) => {
                let account = checks::takes_cost(chart, "account", *id)?;
                match account.role {
                    Some(Role::OwnerDrawings | Role::OwedByOwner) => {
                        return Err(HappeningError::field(
                            "account",
                            "a thing that stays private is not brought in",
                        ));
                    }
                    Some(Role::Equipment) => {
                        return Err(HappeningError::field(
                            "equipment_name",
                            "equipment needs its name and its life, so that it comes on the list",
                        ));
                    }
                    _ => Line::debit(account.id, self.value()),
                }
            }
        };
        line.memo = format!("{}: {}", self.thing(), self.taken().reason());
        line.quantity = told.quantity;
        line.item.clone_from(&told.item);
        let header = EntryHeader::new(told.date, EntryKind::BroughtIn).memo(self.thing());
        let capital = chart.role(Role::OwnerCapital)?;
        Ok(JournalEntry::new(
            header,
            vec![line, Line::credit(capital, self.value())],
        )?)
    }

    fn recording(&self, chart: &Chart) -> Result<Recording, HappeningError> {
        let mut recording = Recording::new(self.entry(chart)?);
        recording.equipment.extend(self.equipment());
        recording.proof = Proof {
            state: if self.details.how_known.trim().is_empty() {
                ProofState::Missing
            } else {
                ProofState::Substitute
            },
            stands_in: self.details.how_known.trim().to_owned(),
            purpose: String::new(),
        };
        Ok(recording)
    }
}
