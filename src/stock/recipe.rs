//! A recipe: what goes into a batch, how many good pieces come out, how much is normally spoiled, how long it takes.
//! What a batch really took is told by its movements.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::money::{Money, Percent, Quantity};

/// So much of an item for one batch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecipeInput {
    /// The item's code.
    pub item: String,
    /// How much of it, in its own unit.
    pub quantity: Quantity,
}

/// How a made good is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recipe {
    /// The made good's code.
    pub item: String,
    /// How many pieces are begun in one batch.
    pub batch_quantity: Quantity,
    /// What goes into it.
    pub inputs: Vec<RecipeInput>,
    /// The owner's own minutes for a batch; shown, never posted.
    pub own_minutes: Quantity,
    /// The share of pieces that is normally spoiled, in per cent of those begun; their cost is part of the good ones.
    pub normal_waste: Percent,
    /// Outside work for a batch, such as a print house's cutting, in minor units.
    pub outside: Money,
}

/// Why a recipe was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RecipeError {
    /// A batch of nothing.
    #[error("a batch must yield more than nothing")]
    ZeroYield,
    /// Everything is spoiled.
    #[error("if all of it is normally spoiled, nothing is made")]
    AllWaste,
    /// Nothing goes in.
    #[error("say what goes into a batch")]
    NoInput,
    /// So much of nothing, or below.
    #[error("{0} needs a quantity above nothing")]
    Input(String),
    /// The same item twice.
    #[error("{0} stands in the recipe twice")]
    Twice(String),
    /// Minutes or outside work below nothing.
    #[error("the {0} cannot be below nothing")]
    Negative(&'static str),
    /// It needs itself.
    #[error("{0} would need itself")]
    NeedsItself(String),
}

impl Recipe {
    /// Whether it can be at all, by itself.
    ///
    /// # Errors
    /// When it yields nothing, holds nothing, an item twice or itself, or a figure lies below nothing.
    pub fn check(&self) -> Result<(), RecipeError> {
        if self.batch_quantity.value() <= Decimal::ZERO {
            return Err(RecipeError::ZeroYield);
        }
        if self.normal_waste == Percent::WHOLE {
            return Err(RecipeError::AllWaste);
        }
        if self.inputs.is_empty() {
            return Err(RecipeError::NoInput);
        }
        for (idx, input) in self.inputs.iter().enumerate() {
            if input.quantity.value() <= Decimal::ZERO {
                return Err(RecipeError::Input(input.item.clone()));
            }
            if self.inputs[..idx]
                .iter()
                .any(|other| other.item == input.item)
            {
                return Err(RecipeError::Twice(input.item.clone()));
            }
            if input.item == self.item {
                return Err(RecipeError::NeedsItself(self.item.clone()));
            }
        }
        if self.own_minutes.value() < Decimal::ZERO {
            return Err(RecipeError::Negative("own minutes"));
        }
        if self.outside.is_negative() {
            return Err(RecipeError::Negative("outside work"));
        }
        Ok(())
    }

    /// How many good pieces a batch normally gives, to six decimals.
    #[must_use]
    pub fn expected_yield(&self) -> Quantity {
        let good = Decimal::ONE - self.normal_waste.fraction();
        Quantity::new((self.batch_quantity.value() * good).round_dp(6)).unwrap_or_default()
    }

    /// Of the pieces spoiled in a batch of so many begun, how many are beyond what is normal.
    #[must_use]
    pub fn abnormal(&self, begun: Quantity, spoiled: Quantity) -> Quantity {
        let normal = begun.value() * self.normal_waste.fraction();
        let beyond = (spoiled.value() - normal).max(Decimal::ZERO);
        Quantity::new(beyond.round_dp(6)).unwrap_or_default()
    }

    /// What so many pieces begun take, in proportion to the recipe.
    #[must_use]
    pub fn inputs_for(&self, begun: Quantity) -> Vec<RecipeInput> {
        self.inputs
            .iter()
            .map(|input| {
                let share = input.quantity.value() * begun.value() / self.batch_quantity.value();
                RecipeInput {
                    item: input.item.clone(),
                    quantity: Quantity::new(share.round_dp(6)).unwrap_or_default(),
                }
            })
            .collect()
    }
}

/// Refuses recipes of which one, over any number of steps, needs itself.
///
/// # Errors
/// Names the item.
pub fn refuse_circles(recipes: &[Recipe]) -> Result<(), RecipeError> {
    let inputs: BTreeMap<&str, Vec<&str>> = recipes
        .iter()
        .map(|recipe| {
            let inputs = recipe.inputs.iter().map(|input| input.item.as_str());
            (recipe.item.as_str(), inputs.collect())
        })
        .collect();
    for recipe in recipes {
        let mut seen = BTreeSet::new();
        let mut open = inputs[recipe.item.as_str()].clone();
        while let Some(item) = open.pop() {
            if item == recipe.item {
                return Err(RecipeError::NeedsItself(recipe.item.clone()));
            }
            if seen.insert(item) {
                open.extend(inputs.get(item).into_iter().flatten());
            }
        }
    }
    Ok(())
}
