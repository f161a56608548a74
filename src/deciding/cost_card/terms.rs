//! What a cost card asks: each question answered, waived with intent, or still open.

use rust_decimal::Decimal;

use super::super::make_or_buy::exact;
use super::super::{DecidingError, UnitCost};
use super::fees::Channel;
use crate::money::{Money, Percent, Quantity};

/// An answer to a question that a price must not be set without.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Answer<T> {
    /// Not answered yet: it counts as nothing, and the card does not speak of profit.
    #[default]
    Open,
    /// There is nothing of it, and she has said so.
    Waived,
    /// The answer.
    Given(T),
}

impl<T> Answer<T> {
    /// The answer, if there is one.
    #[must_use]
    pub const fn given(&self) -> Option<&T> {
        match self {
            Self::Given(answer) => Some(answer),
            Self::Open | Self::Waived => None,
        }
    }

    /// Whether it is still open.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        matches!(self, Self::Open)
    }
}

/// Which cost of a thing is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CostBasis {
    /// What is in stock cost on average.
    Average,
    /// What it cost when last bought.
    Latest,
    /// What it will cost when next ordered.
    NextOrder,
}

impl CostBasis {
    /// All of them, in the order in which they are shown.
    pub const ALL: [Self; 3] = [Self::Latest, Self::Average, Self::NextOrder];

    /// The word used by verbs and in JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Average => "average",
            Self::Latest => "latest",
            Self::NextOrder => "next-order",
        }
    }

    /// As people read it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Average => "On average",
            Self::Latest => "When last bought",
            Self::NextOrder => "When next ordered",
        }
    }
}

/// Something that goes into a piece or an order, at its cost delivered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ingredient {
    /// What it is.
    pub label: String,
    /// How much of it: of a material for one piece that is put in, of packaging for one order.
    pub quantity: Quantity,
    /// What one unit of it cost on average.
    pub average: UnitCost,
    /// What one unit cost when last bought; as the average when not known.
    pub latest: Option<UnitCost>,
    /// What one unit will cost; as the latest when not known.
    pub next_order: Option<UnitCost>,
}

impl Ingredient {
    /// What one unit of it costs.
    #[must_use]
    pub fn unit(&self, basis: CostBasis) -> UnitCost {
        let latest = self.latest.unwrap_or(self.average);
        match basis {
            CostBasis::Average => self.average,
            CostBasis::Latest => latest,
            CostBasis::NextOrder => self.next_order.unwrap_or(latest),
        }
    }

    /// What it comes to, in minor units.
    pub(super) fn cost(&self, basis: CostBasis) -> Decimal {
        self.quantity.value() * self.unit(basis).minor()
    }
}

/// Postage of one order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Postage {
    /// What the customer is charged.
    pub charged: Money,
    /// What the label costs.
    pub label: Money,
}

/// The owner's own work on a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnMinutes {
    /// Minutes for each good piece, to a hundredth.
    pub minutes: Decimal,
    /// What an hour of it is worth to her.
    pub hourly_rate: Money,
}

/// How often a cost comes that is not by the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OncePer {
    /// Once for the design: plate, scan, proof, licence.
    Design,
    /// At every run: set-up.
    Run,
}

/// A cost that is not by the piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnceCost {
    /// What it is.
    pub label: String,
    /// How much.
    pub amount: Money,
    /// How often.
    pub per: OncePer,
}

/// Over which pieces the costs that come once are spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Spread {
    /// Not counted in the piece.
    LeftOut,
    /// All over the pieces of the first run.
    FirstRun,
    /// Those of a run over the pieces of a run.
    Reorder,
    /// All, with as many runs as it takes, over the pieces planned in all.
    Planned,
}

impl Spread {
    /// The word used in JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::LeftOut => "left-out",
            Self::FirstRun => "first-run",
            Self::Reorder => "reorder",
            Self::Planned => "planned",
        }
    }

    /// As people read it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::LeftOut => "Not counted",
            Self::FirstRun => "The first run",
            Self::Reorder => "Made again",
            Self::Planned => "All that is planned",
        }
    }
}

/// What is asked about a product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardTerms {
    /// The product's name.
    pub product: String,
    /// Materials for one piece that is put in.
    pub materials: Vec<Ingredient>,
    /// Materials of which nobody knows what they cost: they count as nothing, and the card says so.
    pub unknown: Vec<String>,
    /// Work done outside on one piece that is put in.
    pub outside_work: Vec<Ingredient>,
    /// The share of pieces put in that is normally lost.
    pub waste: Answer<Percent>,
    /// Packaging for one order.
    pub packaging: Answer<Vec<Ingredient>>,
    /// How many of these pieces go into an order; the card is of one order.
    pub pieces_in_order: u32,
    /// Postage of one order.
    pub postage: Answer<Postage>,
    /// Where it is sold.
    pub channel: Answer<Channel>,
    /// Wear of equipment for each good piece.
    pub wear: Answer<UnitCost>,
    /// The owner's own work.
    pub own_time: Answer<OwnMinutes>,
    /// Costs that come once.
    pub once: Vec<OnceCost>,
    /// Good pieces of a run.
    pub run_pieces: u64,
    /// Good pieces planned in all.
    pub planned_pieces: Option<u64>,
    /// Over which pieces the costs that come once are counted in the figures.
    pub spread: Spread,
}

impl CardTerms {
    /// A card with every question open, for orders of one piece.
    #[must_use]
    pub fn new(product: impl Into<String>) -> Self {
        Self {
            product: product.into(),
            materials: Vec::new(),
            unknown: Vec::new(),
            outside_work: Vec::new(),
            waste: Answer::Open,
            packaging: Answer::Open,
            pieces_in_order: 1,
            postage: Answer::Open,
            channel: Answer::Open,
            wear: Answer::Open,
            own_time: Answer::Open,
            once: Vec::new(),
            run_pieces: 1,
            planned_pieces: None,
            spread: Spread::LeftOut,
        }
    }

    /// Refuses what cannot be.
    pub(super) fn check(&self) -> Result<(), DecidingError> {
        let pieces = u64::from(self.pieces_in_order);
        exact::in_range("pieces in an order", pieces, 1, 1000)?;
        exact::in_range("pieces of a run", self.run_pieces, 1, exact::MOST_ORDERED)?;
        if let Some(planned) = self.planned_pieces {
            exact::in_range("pieces planned in all", planned, 1, exact::MOST_ORDERED)?;
        }
        let packaging = self.packaging.given().into_iter().flatten();
        for ingredient in self
            .materials
            .iter()
            .chain(&self.outside_work)
            .chain(packaging)
        {
            let quantity = ingredient.quantity.value();
            if quantity < Decimal::ZERO || quantity > Decimal::from(1_000_000) {
                return Err(DecidingError::QuantityOutOfRange(ingredient.label.clone()));
            }
        }
        if let Some(waste) = self.waste.given() {
            exact::lost(*waste, "the normal waste")?;
        }
        if let Some(postage) = self.postage.given() {
            exact::amount("the postage charged", postage.charged)?;
            exact::amount("the label", postage.label)?;
        }
        if let Some(own) = self.own_time.given() {
            exact::minutes(own.minutes, "own minutes")?;
            exact::amount("the hourly rate", own.hourly_rate)?;
        }
        for once in &self.once {
            exact::amount("a cost that comes once", once.amount)?;
        }
        let fees = self.channel.given().map(|channel| channel.fees.as_slice());
        for fee in fees.unwrap_or_default() {
            exact::amount("the fixed part of a fee", fee.fixed)?;
        }
        Ok(())
    }

    /// What the costs that come once add to each piece, in minor units; nothing for a plan that was not made.
    pub(super) fn once_each(&self, spread: Spread) -> Decimal {
        let sum = |per| -> Decimal {
            let costs = self.once.iter().filter(|once| once.per == per);
            costs.map(|once| Decimal::from(once.amount.minor())).sum()
        };
        let run = Decimal::from(self.run_pieces.max(1));
        match (spread, self.planned_pieces) {
            (Spread::LeftOut, _) | (Spread::Planned, None) => Decimal::ZERO,
            (Spread::FirstRun, _) => (sum(OncePer::Design) + sum(OncePer::Run)) / run,
            (Spread::Reorder, _) => sum(OncePer::Run) / run,
            (Spread::Planned, Some(planned)) => {
                let runs = Decimal::from(planned.div_ceil(self.run_pieces.max(1)));
                (sum(OncePer::Design) + sum(OncePer::Run) * runs) / Decimal::from(planned.max(1))
            }
        }
    }
}
