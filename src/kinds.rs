//! Which kind of thing is it? Four plain questions, the answer with its reason, and the account it is booked to.
//! A sorting aid: what a tax office calls a thing is never decided here.

use serde::{Deserialize, Serialize};
use std::fmt;

use crate::ledger::{AccountId, Chart, ChartError, Role};
use crate::money::{Currency, Money};

/// The caution that stands beside every answer about equipment and the threshold.
pub const EQUIPMENT_CAUTION: &str = "A sorting aid only. What counts as equipment, the amount from which it does, and what \
    may be deducted at once depend on where the business is and on choices made for the whole year: confirm them with local \
    rules and a licensed professional.";

/// Whether the buyer carries a thing home, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CarriedHome {
    /// No, it stays here.
    No,
    /// As a part of the piece.
    InThePiece,
    /// Just as it was bought.
    AsBought,
    /// Around the piece: box, mailer, tissue.
    AroundThePiece,
}

impl CarriedHome {
    /// All answers, in the order they are offered.
    pub const ALL: [Self; 4] = [
        Self::InThePiece,
        Self::AsBought,
        Self::AroundThePiece,
        Self::No,
    ];

    /// The answer in plain words.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::InThePiece => "yes, it goes into the piece",
            Self::AsBought => "yes, I sell it as it is",
            Self::AroundThePiece => "yes, as the wrapping around the piece",
            Self::No => "no, it stays with me",
        }
    }
}

/// The answers to the four questions. The fourth, whether it cost at least the threshold, follows from its cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answers {
    /// It is a thing, and these are the answers.
    Thing {
        /// Does the buyer carry it home?
        carried_home: CarriedHome,
        /// Can you count what is left?
        can_count: bool,
        /// Will you still have it in a year?
        lasts_a_year: bool,
    },
    /// It is nothing one can hold: a subscription, a course, a fee.
    Service,
    /// It is for the office rather than the workshop: printer paper, pens, folders.
    Office,
    /// It is private.
    Private,
}

/// The four questions, as asked.
pub const QUESTIONS: [&str; 4] = [
    "Does the buyer carry it home?",
    "Can you count what is left?",
    "Will you still have it in a year?",
    "Did it cost at least your threshold?",
];

/// A kind of thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Goes into the piece and can be counted.
    Material,
    /// Used up in making, not worth counting.
    Consumable,
    /// Lasts more than a year and cost at least the threshold.
    Equipment,
    /// Lasts more than a year but cost less than the threshold.
    SmallEquipment,
    /// Goes around the piece.
    Packaging,
    /// Sold as it was bought.
    BoughtIn,
    /// For the office.
    Office,
    /// Nothing one can hold.
    Service,
    /// The owner's own.
    Private,
}

impl Kind {
    /// All kinds, in the order they are offered.
    pub const ALL: [Self; 9] = [
        Self::Material,
        Self::Consumable,
        Self::Equipment,
        Self::SmallEquipment,
        Self::Packaging,
        Self::BoughtIn,
        Self::Office,
        Self::Service,
        Self::Private,
    ];

    /// The label shown to the owner.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Material => "Material",
            Self::Consumable => "Consumable",
            Self::Equipment => "Equipment",
            Self::SmallEquipment => "Small equipment",
            Self::Packaging => "Packaging",
            Self::BoughtIn => "Bought-in goods",
            Self::Office => "Office",
            Self::Service => "Service",
            Self::Private => "Private",
        }
    }

    /// The trade's term.
    #[must_use]
    pub const fn trade_term(self) -> &'static str {
        match self {
            Self::Material => "raw materials",
            Self::Consumable => "supplies",
            Self::Equipment => "fixed asset",
            Self::SmallEquipment => "small equipment, expensed",
            Self::Packaging => "packaging supplies",
            Self::BoughtIn => "merchandise inventory",
            Self::Office => "office expense",
            Self::Service => "operating expense",
            Self::Private => "drawing",
        }
    }

    /// What the account is for that this kind is booked to.
    #[must_use]
    pub const fn role(self) -> Role {
        match self {
            Self::Material => Role::Materials,
            Self::Consumable => Role::Consumables,
            Self::Equipment => Role::Equipment,
            Self::SmallEquipment => Role::SmallTools,
            Self::Packaging => Role::Packaging,
            Self::BoughtIn => Role::BoughtInGoods,
            Self::Office => Role::Office,
            Self::Service => Role::OtherCosts,
            Self::Private => Role::OwnerDrawings,
        }
    }

    /// The account of this chart that the kind is booked to.
    ///
    /// # Errors
    /// When the chart has none for it.
    pub fn account(self, chart: &Chart) -> Result<AccountId, ChartError> {
        chart.role(self.role())
    }

    /// The kind whose account this is, if it is one's.
    #[must_use]
    pub fn of_account(chart: &Chart, account: AccountId) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|kind| chart.has_role(account, kind.role()))
    }

    /// The caution that belongs beside this kind.
    #[must_use]
    pub const fn caution(self) -> Option<&'static str> {
        match self {
            Self::Equipment | Self::SmallEquipment => Some(EQUIPMENT_CAUTION),
            _ => None,
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.label())
    }
}

/// A kind and why it is that one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sorted {
    /// The kind.
    pub kind: Kind,
    /// Why, in plain words.
    pub reason: String,
}

impl Sorted {
    fn new(kind: Kind, reason: impl Into<String>) -> Self {
        Self {
            kind,
            reason: reason.into(),
        }
    }
}

/// Sorts a thing by the answers about it, its whole cost (delivery and tax included) and the owner's threshold.
#[must_use]
pub fn sort(answers: Answers, cost: Money, threshold: Money, currency: &Currency) -> Sorted {
    match answers {
        Answers::Private => Sorted::new(
            Kind::Private,
            "It is for yourself, so it is money taken out and no cost of the business.",
        ),
        Answers::Service => Sorted::new(
            Kind::Service,
            "There is nothing to hold or to count, so it is a cost of the time it serves. Choose the account that names it.",
        ),
        Answers::Office => Sorted::new(
            Kind::Office,
            "It keeps the office going and goes into no piece, so it is an office cost.",
        ),
        Answers::Thing {
            carried_home: CarriedHome::AsBought,
            ..
        } => Sorted::new(
            Kind::BoughtIn,
            "You sell it as it is, so it is stock and becomes a cost when it is sold.",
        ),
        Answers::Thing {
            carried_home: CarriedHome::AroundThePiece,
            ..
        } => Sorted::new(
            Kind::Packaging,
            "It goes around the piece and leaves with it, so it is packaging.",
        ),
        Answers::Thing {
            carried_home: CarriedHome::InThePiece,
            can_count: true,
            ..
        } => Sorted::new(
            Kind::Material,
            "It goes into the piece and you can count what is left, so it is stock and becomes a cost when the piece is sold.",
        ),
        Answers::Thing {
            carried_home: CarriedHome::InThePiece,
            ..
        } => Sorted::new(
            Kind::Consumable,
            "It goes into the piece but what is left cannot well be counted, so it is a cost when it is bought.",
        ),
        Answers::Thing {
            lasts_a_year: true, ..
        } => lasting(cost, threshold, currency),
        Answers::Thing { .. } => Sorted::new(
            Kind::Consumable,
            "It stays here and is used up within a year, so it is a cost when it is bought.",
        ),
    }
}

fn lasting(cost: Money, threshold: Money, currency: &Currency) -> Sorted {
    let (cost_shown, threshold_shown) = (currency.show(cost), currency.show(threshold));
    if cost >= threshold {
        Sorted::new(
            Kind::Equipment,
            format!(
                "You will still have it in a year and it cost {cost_shown}, at least your threshold of {threshold_shown}: \
                 it goes on the list of equipment and its cost is spread over its life."
            ),
        )
    } else {
        Sorted::new(
            Kind::SmallEquipment,
            format!(
                "You will still have it in a year, but it cost {cost_shown}, under your threshold of {threshold_shown}: \
                 it is a cost at once and stays on the list of small equipment."
            ),
        )
    }
}

/// The account that a service is most likely booked to, from what it is called. Only a proposal.
#[must_use]
pub fn service_role(described: &str) -> Option<Role> {
    const WORDS: &[(&str, Role)] = &[
        ("software", Role::Software),
        ("subscription", Role::Software),
        ("hosting", Role::Software),
        ("domain", Role::Software),
        ("phone", Role::Phone),
        ("internet", Role::Phone),
        ("insurance", Role::Insurance),
        ("licence", Role::Licences),
        ("license", Role::Licences),
        ("permit", Role::Licences),
        ("registration", Role::Licences),
        ("course", Role::Training),
        ("workshop", Role::Training),
        ("advert", Role::Advertising),
        ("stall", Role::FairCosts),
        ("fair", Role::FairCosts),
        ("postage", Role::Postage),
        ("label", Role::Postage),
        ("repair", Role::Repairs),
        ("maintenance", Role::Repairs),
        ("accountant", Role::Accountant),
        ("font", Role::DesignLicences),
        ("bank", Role::BankCharges),
        ("interest", Role::InterestPaid),
        ("printing", Role::MadeOutside),
        ("donation", Role::Donations),
    ];
    let described = described.to_lowercase();
    described
        .split(|c: char| !c.is_alphanumeric())
        .find_map(|word| {
            WORDS
                .iter()
                .find(|(known, _)| word.starts_with(known))
                .map(|(_, role)| *role)
        })
}
