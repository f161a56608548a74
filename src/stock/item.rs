//! An item: a material, a bought-in good, a made good or packaging, with its unit and the packs it is bought in.
//! How many there are and what they cost is `costing`'s.

use std::fmt;
use std::str::FromStr;

use rust_decimal::Decimal;

use crate::money::{Money, Quantity};

/// What sort of thing an item is; it decides the stock account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ItemKind {
    /// Goes into what is made.
    Material,
    /// Bought to be sold as it is.
    BoughtIn,
    /// Made here or outside, to be sold.
    Made,
    /// Wraps what is sold.
    Packaging,
}

impl ItemKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Material, Self::BoughtIn, Self::Made, Self::Packaging];

    /// The word used in sheets, JSON and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Material => "material",
            Self::BoughtIn => "bought-in",
            Self::Made => "made",
            Self::Packaging => "packaging",
        }
    }

    /// The plain words shown to the owner.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::Material => "Material",
            Self::BoughtIn => "Bought to sell",
            Self::Made => "Made to sell",
            Self::Packaging => "Packaging",
        }
    }

    /// Whether it is sold to customers.
    #[must_use]
    pub const fn is_sold(self) -> bool {
        matches!(self, Self::BoughtIn | Self::Made)
    }
}

impl fmt::Display for ItemKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for ItemKind {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|kind| kind.as_str() == text.trim())
            .ok_or_else(|| {
                format!(
                    "'{text}' is not a kind of item; use one of material, bought-in, made, packaging"
                )
            })
    }
}

/// The unit an item is counted in: sheet, metre, piece, millilitre. A short word of the owner's own.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Unit(String);

impl Unit {
    /// The longest word a unit may be.
    const LONGEST: usize = 24;

    /// A unit.
    ///
    /// # Errors
    /// When it is empty or long, or holds what sets packs apart in a sheet.
    pub fn new(word: &str) -> Result<Self, ItemError> {
        let word = word.trim();
        let is_apart = |c: char| c.is_control() || matches!(c, ';' | '=');
        if word.is_empty() || word.chars().count() > Self::LONGEST || word.contains(is_apart) {
            return Err(ItemError::Unit);
        }
        Ok(Self(word.to_owned()))
    }

    /// Its word.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Its word for several. A short sign such as m or ml stays as it is; a word takes its plural.
    #[must_use]
    pub fn plural(&self) -> String {
        let unit = self.0.as_str();
        let is_word = unit.chars().count() > 3 && unit.chars().all(char::is_alphabetic);
        let ends = if is_word && !unit.ends_with('s') {
            "s"
        } else {
            ""
        };
        format!("{unit}{ends}")
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A pack an item is bought in: a ream of 500 sheets, a roll of 10 m, a bottle of 250 ml.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// Its name.
    pub name: Unit,
    /// How many of the item's unit are in it.
    pub holds: Quantity,
}

/// An item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// Its code: the owner's own short name, by which sheets and lines find it.
    pub code: String,
    /// What it is called.
    pub name: String,
    /// What sort of thing it is.
    pub kind: ItemKind,
    /// The unit it is counted in.
    pub unit: Unit,
    /// The packs it is bought in.
    pub packs: Vec<Pack>,
    /// From how few on it should be bought or made again; nothing when never.
    pub reorder_point: Option<Quantity>,
    /// What one sells for, in minor units.
    pub price: Option<Money>,
    /// Where it lies; may be empty.
    pub shelf: String,
    /// Whether it is still kept.
    pub is_active: bool,
}

/// Why an item was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ItemError {
    /// No code.
    #[error("give the item a code, a short name of your own")]
    NoCode,
    /// No name.
    #[error("give the item a name")]
    NoName,
    /// No unit, or a long one.
    #[error(
        "say the unit it is counted in, in at most 24 letters without ; or =: sheet, metre, piece"
    )]
    Unit,
    /// A pack that holds nothing, or has the name of another.
    #[error("the pack '{0}' must hold more than nothing and have a name of its own")]
    Pack(String),
    /// A unit that the item does not have.
    #[error("'{unit}' is not a unit of {item}; it knows {known}")]
    UnknownUnit {
        /// What was written.
        unit: String,
        /// The item's code.
        item: String,
        /// The units it has.
        known: String,
    },
    /// A reorder point or a price below nothing.
    #[error("the {0} cannot be below nothing")]
    Negative(&'static str),
    /// More than is kept.
    #[error("that quantity is too large or has more than six decimals")]
    Quantity,
}

impl Item {
    /// An item without packs, reorder point or price.
    #[must_use]
    pub fn new(
        code: impl Into<String>,
        name: impl Into<String>,
        kind: ItemKind,
        unit: Unit,
    ) -> Self {
        Self {
            code: code.into(),
            name: name.into(),
            kind,
            unit,
            packs: Vec::new(),
            reorder_point: None,
            price: None,
            shelf: String::new(),
            is_active: true,
        }
    }

    /// Whether it can be kept.
    ///
    /// # Errors
    /// When a name is missing, a pack holds nothing, or a figure lies below nothing.
    pub fn check(&self) -> Result<(), ItemError> {
        if self.code.trim().is_empty() {
            return Err(ItemError::NoCode);
        }
        if self.name.trim().is_empty() {
            return Err(ItemError::NoName);
        }
        for (idx, pack) in self.packs.iter().enumerate() {
            let is_known = pack.name == self.unit
                || self.packs[..idx]
                    .iter()
                    .any(|other| other.name == pack.name);
            if pack.holds.value() <= Decimal::ZERO || is_known {
                return Err(ItemError::Pack(pack.name.to_string()));
            }
        }
        if self
            .reorder_point
            .is_some_and(|point| point.value() < Decimal::ZERO)
        {
            return Err(ItemError::Negative("reorder point"));
        }
        if self.price.is_some_and(Money::is_negative) {
            return Err(ItemError::Negative("price"));
        }
        Ok(())
    }

    /// So many of a unit or pack in the item's own unit: 2 reams are 1000 sheets.
    ///
    /// # Errors
    /// When the item does not know the unit, or the result is too large or too fine.
    pub fn in_own_unit(&self, count: Quantity, unit: &str) -> Result<Quantity, ItemError> {
        let unit = unit.trim();
        if unit.is_empty() || unit == self.unit.as_str() {
            return Ok(count);
        }
        let Some(pack) = self.packs.iter().find(|pack| pack.name.as_str() == unit) else {
            let known: Vec<&str> = std::iter::once(self.unit.as_str())
                .chain(self.packs.iter().map(|pack| pack.name.as_str()))
                .collect();
            return Err(ItemError::UnknownUnit {
                unit: unit.to_owned(),
                item: self.code.clone(),
                known: known.join(", "),
            });
        };
        count
            .value()
            .checked_mul(pack.holds.value())
            .and_then(|all| Quantity::new(all).ok())
            .ok_or(ItemError::Quantity)
    }
}

/// So many of an item, in its unit: `400 sheets`, `1 piece`, `2.5 m`.
#[must_use]
pub fn in_units(many: Decimal, item: &Item) -> String {
    let unit = if many == Decimal::ONE {
        item.unit.to_string()
    } else {
        item.unit.plural()
    };
    let shown = many.normalize().to_string().replace('-', "\u{2212}");
    format!("{shown} {unit}")
}
