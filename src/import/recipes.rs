//! A sheet of recipes, one row an input; rows of the same item are one recipe.
//! What may be a recipe is the core's business.

use super::{Context, Faults, Items, Row, Rows, Sheet};
use crate::money::{Percent, Quantity};
use crate::stock::{Recipe, RecipeError, RecipeInput, refuse_circles};

/// The columns about the recipe as a whole, that its other rows may repeat but not change.
const RECIPE: [&str; 4] = ["batch_quantity", "own_minutes", "normal_waste", "outside"];

/// A recipe as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecipeRow {
    /// Its first row.
    pub row: u64,
    /// The recipe.
    pub recipe: Recipe,
}

/// Reads a sheet of recipes. `kept` are those in the book, of which the sheet may replace some.
///
/// # Errors
/// Every cell that cannot be, every recipe that yields nothing or comes to need itself.
pub fn recipes(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
    kept: &[Recipe],
) -> Result<Vec<RecipeRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let common = rows.places(&RECIPE);
    let mut list: Vec<RecipeRow> = Vec::new();
    for (code, places) in rows.groups("item") {
        let found_before = rows.faults.list().len();
        let first = places.first().copied().unwrap_or_default();
        let mut recipe = None;
        let mut inputs = Vec::new();
        for idx in &places {
            rows.same_as_first(first, *idx, &common);
            let Some(mut row) = rows.at(*idx) else {
                continue;
            };
            if *idx == first {
                recipe = begun(&mut row, items);
            }
            inputs.extend(input(&mut row, items));
        }
        let Some(mut recipe) = recipe.filter(|_| rows.faults.list().len() == found_before) else {
            continue;
        };
        recipe.inputs = inputs;
        let refused = recipe.check().err().or_else(|| {
            list.iter()
                .any(|one| one.recipe.item == recipe.item)
                .then(|| RecipeError::Twice(code.clone()))
        });
        let Some(mut row) = rows.at(first) else {
            continue;
        };
        match refused {
            None => list.push(RecipeRow {
                row: row.number,
                recipe,
            }),
            Some(error) => row.fault(column_of(&error), error.to_string()),
        }
    }
    refuse_what_needs_itself(&mut rows.faults, &list, kept);
    rows.faults.into_result(list)
}

/// The recipe without its inputs, from its first row.
fn begun(row: &mut Row<'_, '_>, items: &Items) -> Option<Recipe> {
    let item = items.needed(row, "item").cloned();
    let batch_quantity = row.value::<Quantity>("batch_quantity");
    let own_minutes = row.value_or("own_minutes", Quantity::default());
    let normal_waste = row.value_or("normal_waste", Percent::ZERO);
    let outside = row.part("outside");
    let item = item?;
    if !item.kind.is_sold() {
        row.fault(
            "item",
            format!("{} is {}; a recipe makes a made good", item.code, item.kind),
        );
        return None;
    }
    Some(Recipe {
        item: item.code,
        batch_quantity: batch_quantity?,
        inputs: Vec::new(),
        own_minutes: own_minutes?,
        normal_waste: normal_waste?,
        outside: outside?,
    })
}

fn input(row: &mut Row<'_, '_>, items: &Items) -> Option<RecipeInput> {
    let item = items.needed(row, "input").map(|item| item.code.clone());
    let quantity = row.value::<Quantity>("input_quantity");
    let quantity = quantity?;
    if quantity.value() <= rust_decimal::Decimal::ZERO {
        row.fault("input_quantity", "must be above zero");
        return None;
    }
    Some(RecipeInput {
        item: item?,
        quantity,
    })
}

const fn column_of(error: &RecipeError) -> &'static str {
    match error {
        RecipeError::ZeroYield => "batch_quantity",
        RecipeError::AllWaste => "normal_waste",
        RecipeError::NoInput | RecipeError::Twice(_) | RecipeError::NeedsItself(_) => "input",
        RecipeError::Input(_) => "input_quantity",
        RecipeError::Negative(_) => "own_minutes",
    }
}

/// Held together with the recipes of the book, none may need itself over any number of steps.
fn refuse_what_needs_itself(faults: &mut Faults, list: &[RecipeRow], kept: &[Recipe]) {
    let mut all: Vec<Recipe> = kept
        .iter()
        .filter(|recipe| {
            !list
                .iter()
                .any(|one| one.recipe.item.eq_ignore_ascii_case(&recipe.item))
        })
        .cloned()
        .collect();
    for one in list {
        all.push(one.recipe.clone());
        if let Err(error) = refuse_circles(&all) {
            faults.cell(one.row, "input", error.to_string());
            all.pop();
        }
    }
}
