//! One line of a purchase being typed: the thing, its amount, its kind and how that was found.
//! The happening's own line is `happenings::PurchaseLine`.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Reader};
use crate::app::forms::plan::PlanRef;
use crate::app::forms::stock::read_quantity;
use crate::app::widgets::AccountPick;
use crate::depreciation::{Condition, Convention};
use crate::happenings::{EquipmentDetails, PaidAhead, PurchaseLine};
use crate::kinds::{self, Answers, CarriedHome, Kind, Sorted};
use crate::ledger::{AccountId, Role};
use crate::money::{Money, Percent};
use crate::plan::{How, PlanKind, PlanLine};
use crate::shared_bills::{SharedBill, that_holds};
use crate::stock::Item;

/// One line being typed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LineDraft {
    /// Whether it was just added, so that the keyboard goes to it.
    #[serde(skip)]
    pub takes_focus: bool,
    /// What it is.
    pub what: String,
    /// How many.
    pub quantity: String,
    /// The amount on the receipt.
    pub amount: String,
    /// The kind as shown in its field.
    pub kind: AccountPick,
    /// Whether she chose the kind herself.
    pub is_kind_chosen: bool,
    /// The four questions, while they are open or were answered.
    pub helper: Option<HelperDraft>,
    /// The business's share in per cent; empty is all of it.
    pub share: String,
    /// Whether the lesser fields of this line are shown.
    pub is_more: bool,
    /// How many months it covers, when it is paid ahead.
    pub ahead_months: String,
    /// What the register asks.
    pub equipment: EquipmentDraft,
    /// The unit or pack in which an item in stock is bought; its own while empty.
    #[serde(default)]
    pub unit: String,
    /// The line of the plan that it becomes a purchase of.
    #[serde(default)]
    pub plan: Option<PlanRef>,
    /// The amount that the plan filled in.
    #[serde(default)]
    pub planned: String,
}

/// What the register asks about a piece, being typed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EquipmentDraft {
    /// Its name; the line's own words while empty.
    pub name: String,
    /// Its life in months.
    pub life_months: String,
    /// What it will be worth at the end; empty is nothing.
    pub residual: String,
    /// The day it is first used; the day bought while empty.
    pub in_service_on: String,
    /// Whether it is second-hand.
    pub is_second_hand: bool,
    /// Serial number.
    pub serial: String,
    /// Where it stands.
    pub location: String,
    /// How the first and last stretch are counted.
    pub convention: Convention,
}

impl Default for EquipmentDraft {
    fn default() -> Self {
        Self {
            name: String::new(),
            life_months: "60".to_owned(),
            residual: String::new(),
            in_service_on: String::new(),
            is_second_hand: false,
            serial: String::new(),
            location: String::new(),
            convention: Convention::default(),
        }
    }
}

impl EquipmentDraft {
    /// The details as typed.
    pub fn read(&self, read: &mut Reader<'_>, what: &str, came_on: NaiveDate) -> EquipmentDetails {
        let name = if self.name.trim().is_empty() {
            what.trim()
        } else {
            self.name.trim()
        };
        if name.is_empty() {
            read.note(Problem::missing(
                "equipment_name",
                "give the piece a name, so that it comes on the list",
            ));
        }
        let life = read.count(
            "life_months",
            &self.life_months,
            "say how many months it will last",
        );
        let in_service_on = if self.in_service_on.trim().is_empty() {
            came_on
        } else {
            read.day("in_service_on", &self.in_service_on)
        };
        let mut details = EquipmentDetails::new(name, life, in_service_on);
        details.residual = read.amount_or_none("residual", &self.residual);
        details.convention = self.convention;
        if self.is_second_hand {
            details.condition = Condition::SecondHand;
        }
        details.serial = self.serial.trim().to_owned();
        details.location = self.location.trim().to_owned();
        details
    }
}

/// What sort of thing it is, before the four questions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sort {
    /// Something one can hold.
    #[default]
    Thing,
    /// A service, a subscription, a fee.
    Service,
    /// For the office.
    Office,
    /// Private.
    Private,
}

/// The answers to the four questions so far.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct HelperDraft {
    /// Whether the questions are shown.
    pub is_open: bool,
    /// What sort of thing.
    pub sort: Sort,
    /// Does the buyer carry it home?
    pub carried_home: Option<CarriedHome>,
    /// Can you count what is left?
    pub can_count: Option<bool>,
    /// Will you still have it in a year?
    pub lasts_a_year: Option<bool>,
}

impl HelperDraft {
    /// Whether what is left can be counted still has to be answered.
    #[must_use]
    pub fn asks_count(&self) -> bool {
        self.sort == Sort::Thing && self.carried_home == Some(CarriedHome::InThePiece)
    }

    /// Whether its lasting still has to be answered.
    #[must_use]
    pub fn asks_lasting(&self) -> bool {
        self.sort == Sort::Thing && self.carried_home == Some(CarriedHome::No)
    }

    /// The answers, once they are enough.
    #[must_use]
    pub fn answers(&self) -> Option<Answers> {
        match self.sort {
            Sort::Service => Some(Answers::Service),
            Sort::Office => Some(Answers::Office),
            Sort::Private => Some(Answers::Private),
            Sort::Thing => {
                let carried_home = self.carried_home?;
                let can_count = if self.asks_count() {
                    self.can_count?
                } else {
                    false
                };
                let lasts_a_year = if self.asks_lasting() {
                    self.lasts_a_year?
                } else {
                    false
                };
                Some(Answers::Thing {
                    carried_home,
                    can_count,
                    lasts_a_year,
                })
            }
        }
    }
}

/// The kind proposed for a line, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposed {
    /// The account.
    pub account: AccountId,
    /// Why, in soft words beneath the field.
    pub why: String,
    /// The code of the item in stock it is, if it is one.
    pub item: Option<String>,
}

impl LineDraft {
    /// A line just added.
    #[must_use]
    pub fn added() -> Self {
        Self {
            takes_focus: true,
            ..Self::default()
        }
    }

    /// A line filled from the plan.
    #[must_use]
    pub fn planned(line: &PlanLine, facts: &Facts) -> Self {
        let amount = if line.cost.likely.is_zero() {
            String::new()
        } else {
            facts.show(line.cost.likely)
        };
        let role = match line.kind {
            PlanKind::Equipment if line.cost.likely < facts.threshold => Some(Role::SmallTools),
            PlanKind::Fees | PlanKind::Other => {
                kinds::service_role(&line.name).or_else(|| line.kind.role())
            }
            kind => kind.role(),
        };
        let kind = role
            .and_then(|role| facts.role(role))
            .and_then(|id| facts.account(id))
            .map(AccountPick::of);
        let mut draft = Self {
            what: line.name.clone(),
            amount: amount.clone(),
            is_kind_chosen: kind.is_some(),
            kind: kind.unwrap_or_default(),
            plan: Some(PlanRef::of(line)),
            planned: amount,
            ..Self::default()
        };
        draft.equipment.is_second_hand = line.how == Some(How::SecondHand);
        draft
    }

    /// Whether it is still as the plan filled it.
    #[must_use]
    pub fn is_as_planned(&self) -> bool {
        self.plan
            .as_ref()
            .is_some_and(|plan| plan.name == self.what && self.planned == self.amount)
    }

    /// Whether nothing was typed on it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.what.trim().is_empty()
            && self.amount.trim().is_empty()
            && self.quantity.trim().is_empty()
    }

    /// What the line costs so far.
    #[must_use]
    pub fn cost(&self, facts: &Facts) -> Money {
        facts.currency.parse_typed(&self.amount).unwrap_or_default()
    }

    /// What the four questions say, once they are answered.
    #[must_use]
    pub fn sorted(&self, facts: &Facts) -> Option<Sorted> {
        let answers = self.helper.as_ref()?.answers()?;
        Some(kinds::sort(
            answers,
            self.cost(facts),
            facts.threshold,
            &facts.currency,
        ))
    }

    /// The kind that is proposed while she has chosen none: answered, remembered, or guessed from its words.
    #[must_use]
    pub fn proposed(&self, supplier: &str, facts: &Facts) -> Option<Proposed> {
        if let Some(sorted) = self.sorted(facts) {
            let by_words = (sorted.kind == Kind::Service)
                .then(|| kinds::service_role(&self.what))
                .flatten();
            let role = by_words.unwrap_or_else(|| sorted.kind.role());
            return facts.role(role).map(|account| Proposed {
                account,
                why: sorted.reason,
                item: None,
            });
        }
        if let Some(item) = facts.stock.find(&self.what)
            && let Some(thing) = facts.kept_thing(item)
        {
            return Some(Proposed {
                account: thing.account,
                why: "kept in stock".to_owned(),
                item: Some(thing.code),
            });
        }
        if let Some((account, is_exact)) = facts.remembered(supplier, &self.what) {
            let why = if is_exact {
                "as last time".to_owned()
            } else {
                format!("as always from {}", supplier.trim())
            };
            return Some(Proposed {
                account,
                why,
                item: None,
            });
        }
        let account = kinds::service_role(&self.what).and_then(|role| facts.role(role))?;
        Some(Proposed {
            account,
            why: "a guess from its name; change it if it is wrong".to_owned(),
            item: None,
        })
    }

    /// The account it is booked to: chosen, or proposed.
    #[must_use]
    pub fn account(&self, supplier: &str, facts: &Facts) -> Option<AccountId> {
        if self.is_kind_chosen {
            return self.kind.chosen();
        }
        self.proposed(supplier, facts)
            .map(|proposed| proposed.account)
    }

    /// The item in stock it is: chosen, or proposed.
    #[must_use]
    pub fn item<'f>(&self, supplier: &str, facts: &'f Facts) -> Option<&'f Item> {
        if self.is_kind_chosen {
            return facts.stock.item(self.kind.thing()?);
        }
        let proposed = self.proposed(supplier, facts)?;
        facts.stock.item(proposed.item.as_deref()?)
    }

    /// Whether it goes to the register.
    #[must_use]
    pub fn is_equipment(&self, supplier: &str, facts: &Facts) -> bool {
        self.account(supplier, facts)
            .is_some_and(|id| facts.chart.has_role(id, Role::Equipment))
    }

    /// The line as typed.
    pub fn read(
        &self,
        read: &mut Reader<'_>,
        supplier: &str,
        date: NaiveDate,
        facts: &Facts,
    ) -> PurchaseLine {
        let amount = read.amount("amount", &self.amount, "say what it cost");
        let account = read.account(
            "account",
            self.account(supplier, facts),
            "say which kind it is; the four questions help",
        );
        let mut line = PurchaseLine::new(account, amount, self.what.trim());
        match self.item(supplier, facts) {
            Some(item) => {
                line.item = Some(item.code.clone());
                line.quantity = read_quantity(read, &self.quantity, &self.unit, item);
            }
            None => line.quantity = read.quantity("quantity", &self.quantity),
        }
        line.business_share = self.business_share(read);
        if facts.chart.has_role(account, Role::Equipment) {
            line.equipment = Some(self.equipment.read(read, &self.what, date));
        } else if !self.ahead_months.trim().is_empty() {
            line.paid_ahead = Some(PaidAhead {
                from: date,
                months: read.count("paid_ahead", &self.ahead_months, "say how many months"),
            });
        }
        line
    }

    /// The share that is written down for this bill, while the line still counts whole; she takes it or not.
    pub fn share_offered<'f>(
        &self,
        supplier: &str,
        date: NaiveDate,
        facts: &'f Facts,
    ) -> Option<&'f SharedBill> {
        let is_whole = matches!(self.share.trim(), "" | "100");
        if !is_whole || supplier.trim().is_empty() || self.item(supplier, facts).is_some() {
            return None;
        }
        that_holds(&facts.shared_bills, supplier, &self.what, date)
            .filter(|bill| !bill.share.is_whole())
    }

    fn business_share(&self, read: &mut Reader<'_>) -> Percent {
        read.share("business_share", &self.share)
    }
}
