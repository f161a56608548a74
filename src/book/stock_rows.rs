//! Items, recipes and movements as rows of the file: reading them and writing them.
//! What movements are worth and which entries post it is `stock`'s.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Row, params};

use super::reading::{day, word};
use super::{Book, BookError};
use crate::ledger::EntryNumber;
use crate::money::{Money, Quantity};
use crate::stock::{
    Item, Movement, MovementId, Pack, Recipe, RecipeInput, Side, Unit, millionths, refuse_circles,
    stock_role,
};

/// What was posted of a movement: in which entry, on which side, how much.
pub type StockPosting = (EntryNumber, Side, Money);

/// A movement as the file keeps it, with everything that was posted of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredMovement {
    /// The movement.
    pub movement: Movement,
    /// The entry that made it; none when it posted nothing.
    pub entry: Option<EntryNumber>,
    /// The number on the paper; may be empty.
    pub reference: String,
    /// Whether it was taken back: it counts no more, and what it posted is posted the other way round.
    pub is_void: bool,
    /// What was posted of it, in the order in which it was.
    pub postings: Vec<StockPosting>,
}

fn unit(text: &str) -> Result<Unit, BookError> {
    Unit::new(text).map_err(|error| BookError::damaged(error.to_string()))
}

/// Packs as one text: `ream 500` a line.
fn packs_text(packs: &[Pack]) -> String {
    let lines: Vec<String> = packs
        .iter()
        .map(|pack| format!("{}\t{}", pack.holds, pack.name))
        .collect();
    lines.join("\n")
}

fn packs(text: &str) -> Result<Vec<Pack>, BookError> {
    text.lines()
        .map(|line| {
            let (holds, name) = line
                .split_once('\t')
                .ok_or_else(|| BookError::damaged("the packs of an item are unreadable"))?;
            Ok(Pack {
                name: unit(name)?,
                holds: word(holds)?,
            })
        })
        .collect()
}

fn item_row(row: &Row<'_>) -> Result<Item, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    let reorder: Option<String> = row.get(5)?;
    Ok(Item {
        code: text(0)?,
        name: text(1)?,
        kind: word(&text(2)?)?,
        unit: unit(&text(3)?)?,
        packs: packs(&text(4)?)?,
        reorder_point: reorder.as_deref().map(word).transpose()?,
        price: row.get::<_, Option<i64>>(6)?.map(Money::from_minor),
        shelf: text(7)?,
        is_active: row.get(8)?,
    })
}

const ITEM: &str = "code, name, kind, unit, packs, reorder_point, price, shelf, is_active";

/// A movement's columns, its item by code; to be read by [`movement_row`].
pub(super) const MOVEMENT: &str =
    "m.id, m.date, i.code, m.kind, m.quantity, m.value, m.batch, m.abnormal, m.place,
    m.to_place, m.of";

pub(super) fn movement_row(row: &Row<'_>) -> Result<Movement, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    Ok(Movement {
        id: MovementId(row.get(0)?),
        date: day(&text(1)?)?,
        item: text(2)?,
        kind: word(&text(3)?)?,
        quantity: word(&text(4)?)?,
        value: Money::from_minor(row.get(5)?),
        batch: row.get(6)?,
        abnormal: word(&text(7)?)?,
        place: text(8)?,
        to_place: text(9)?,
        of: row.get::<_, Option<u64>>(10)?.map(MovementId),
    })
}

impl Book {
    /// The items, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn items(&self) -> Result<Vec<Item>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {ITEM} FROM item ORDER BY name, code"))?;
        let mut rows = query.query([])?;
        let mut items = Vec::new();
        while let Some(row) = rows.next()? {
            items.push(item_row(row)?);
        }
        Ok(items)
    }

    /// The items with the numbers of their rows, by name.
    pub(super) fn items_by_row(&self) -> Result<Vec<(i64, Item)>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {ITEM}, id FROM item ORDER BY name, code"))?;
        let mut rows = query.query([])?;
        let mut items = Vec::new();
        while let Some(row) = rows.next()? {
            items.push((row.get(9)?, item_row(row)?));
        }
        Ok(items)
    }

    /// An item by its code, in any case.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn item(&self, code: &str) -> Result<Option<Item>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {ITEM} FROM item WHERE code = ?1"))?;
        let mut rows = query.query([code.trim()])?;
        rows.next()?.map(item_row).transpose()
    }

    /// Keeps an item, in the place of the one with its code when there is one.
    ///
    /// # Errors
    /// When it cannot be kept, or has moved and would change its kind or unit.
    pub fn put_item(&mut self, item: &Item) -> Result<(), BookError> {
        item.check()
            .map_err(|error| BookError::refused(format!("{}: {error}", item.code)))?;
        if let Some(before) = self.item(&item.code)?
            && (before.kind != item.kind || before.unit != item.unit)
            && self.has_moved(&item.code)?
        {
            return Err(BookError::refused(format!(
                "{} has moved already and keeps its kind ({}) and its unit ({}); make another item instead",
                before.code, before.kind, before.unit
            )));
        }
        self.refuse_named_already(item)?;
        self.refuse_bundle_code(&item.code)?;
        let label = format!("Item kept: {}", item.name);
        self.write(&label, |book| {
            book.note("stock", &label, "")?;
            book.side(
                "INSERT INTO item (code, name, kind, unit, packs, reorder_point, price, shelf, is_active)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)
                 ON CONFLICT (code) DO UPDATE SET name = ?2, kind = ?3, unit = ?4, packs = ?5, reorder_point = ?6,
                   price = ?7, shelf = ?8, is_active = ?9",
                params![
                    item.code.trim(),
                    item.name.trim(),
                    item.kind.as_str(),
                    item.unit.as_str(),
                    packs_text(&item.packs),
                    item.reorder_point.map(|point| point.to_string()),
                    item.price.map(Money::minor),
                    item.shelf.trim(),
                    item.is_active,
                ],
            )?;
            Ok(())
        })
    }

    /// Lines that named a code before it was kept have no movements, so the ledger would hold more of it than the stock.
    fn refuse_named_already(&self, item: &Item) -> Result<(), BookError> {
        let account = self.chart.role(stock_role(item.kind))?;
        let entry: Option<u64> = self
            .conn
            .prepare_cached(
                "SELECT entry FROM line WHERE account = ?1 AND item = ?2 COLLATE NOCASE
                   AND NOT EXISTS (SELECT 1 FROM item WHERE code = ?2) ORDER BY entry LIMIT 1",
            )?
            .query_row(params![account.0, item.code.trim()], |row| row.get(0))
            .optional()?;
        let Some(entry) = entry else {
            return Ok(());
        };
        let account = self.chart.account(account)?.title();
        Err(BookError::refused(format!(
            "entry {entry} names {} on {account} without a movement; give the item another code, and bring what lies there in \
             as received with paid_from none",
            item.code.trim()
        )))
    }

    /// Whether any stock ever moved.
    pub(super) fn has_movements(&self) -> Result<bool, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM movement)")?;
        Ok(query.query_row([], |row| row.get(0))?)
    }

    fn has_moved(&self, code: &str) -> Result<bool, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT EXISTS (SELECT 1 FROM movement m JOIN item i ON i.id = m.item WHERE i.code = ?1)",
        )?;
        Ok(query.query_row([code.trim()], |row| row.get(0))?)
    }

    /// The row of an item.
    pub(super) fn item_id(&self, code: &str) -> Result<i64, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT id FROM item WHERE code = ?1")?;
        query
            .query_row([code.trim()], |row| row.get(0))
            .optional()?
            .ok_or_else(|| BookError::NoSuch {
                what: "item",
                key: code.trim().to_owned(),
            })
    }

    /// The recipes, by the code of what they make.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn recipes(&self) -> Result<Vec<Recipe>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT r.id, i.code, r.batch_quantity, r.own_minutes, r.normal_waste, r.outside
             FROM recipe r JOIN item i ON i.id = r.item ORDER BY i.code",
        )?;
        let mut inputs = self.conn.prepare_cached(
            "SELECT i.code, n.quantity FROM recipe_input n JOIN item i ON i.id = n.item WHERE n.recipe = ?1 ORDER BY n.id",
        )?;
        let mut rows = query.query([])?;
        let mut recipes = Vec::new();
        while let Some(row) = rows.next()? {
            let text = |column: usize| row.get::<_, String>(column);
            let mut recipe = Recipe {
                item: text(1)?,
                batch_quantity: word(&text(2)?)?,
                inputs: Vec::new(),
                own_minutes: word(&text(3)?)?,
                normal_waste: word(&text(4)?)?,
                outside: Money::from_minor(row.get(5)?),
            };
            let mut of = inputs.query([row.get::<_, i64>(0)?])?;
            while let Some(input) = of.next()? {
                recipe.inputs.push(RecipeInput {
                    item: input.get(0)?,
                    quantity: word(&input.get::<_, String>(1)?)?,
                });
            }
            recipes.push(recipe);
        }
        Ok(recipes)
    }

    /// Keeps a recipe, in the place of the one for the same item when there is one.
    ///
    /// # Errors
    /// When it cannot be, an item is unknown, or it would come to need itself.
    pub fn put_recipe(&mut self, recipe: &Recipe) -> Result<(), BookError> {
        let refused = |error: crate::stock::RecipeError| {
            BookError::refused(format!("recipe of {}: {error}", recipe.item))
        };
        recipe.check().map_err(refused)?;
        let made = self.item_id(&recipe.item)?;
        let mut all = self.recipes()?;
        all.retain(|other| !other.item.eq_ignore_ascii_case(recipe.item.trim()));
        all.push(recipe.clone());
        refuse_circles(&all).map_err(refused)?;
        let label = format!("Recipe kept: {}", recipe.item);
        self.write(&label, |book| {
            book.note("stock", &label, "")?;
            book.side(
                "DELETE FROM recipe_input WHERE recipe IN (SELECT id FROM recipe WHERE item = ?1)",
                [made],
            )?;
            book.side("DELETE FROM recipe WHERE item = ?1", [made])?;
            book.side(
                "INSERT INTO recipe (item, batch_quantity, own_minutes, normal_waste, outside)
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    made,
                    recipe.batch_quantity.to_string(),
                    recipe.own_minutes.to_string(),
                    recipe.normal_waste.to_string(),
                    recipe.outside.minor(),
                ],
            )?;
            let id = book.conn.last_insert_rowid();
            for input in &recipe.inputs {
                let item = book.item_id(&input.item)?;
                book.side(
                    "INSERT INTO recipe_input (recipe, item, quantity) VALUES (?1, ?2, ?3)",
                    params![id, item, input.quantity.to_string()],
                )?;
            }
            Ok(())
        })
    }

    /// The movements that stand, as they were written, with the entry of each.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements(&self) -> Result<Vec<(Movement, Option<EntryNumber>)>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {MOVEMENT}, m.entry FROM movement m JOIN item i ON i.id = m.item WHERE m.is_void = 0 ORDER BY m.id"
        ))?;
        let mut rows = query.query([])?;
        let mut movements = Vec::new();
        while let Some(row) = rows.next()? {
            let entry = row.get::<_, Option<u64>>(11)?.map(EntryNumber);
            movements.push((movement_row(row)?, entry));
        }
        Ok(movements)
    }

    /// The standing movements that an entry made.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements_of(&self, number: EntryNumber) -> Result<Vec<Movement>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {MOVEMENT} FROM movement m JOIN item i ON i.id = m.item
             WHERE m.entry = ?1 AND m.is_void = 0 ORDER BY m.id"
        ))?;
        let mut rows = query.query([number.0])?;
        let mut movements = Vec::new();
        while let Some(row) = rows.next()? {
            movements.push(movement_row(row)?);
        }
        Ok(movements)
    }

    /// A movement by its number, whether it stands or was taken back.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movement(&self, id: MovementId) -> Result<Option<Movement>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {MOVEMENT} FROM movement m JOIN item i ON i.id = m.item WHERE m.id = ?1"
        ))?;
        let mut rows = query.query([id.0])?;
        rows.next()?.map(movement_row).transpose()
    }

    /// The number that the next movement gets.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn next_movement_number(&self) -> Result<MovementId, BookError> {
        self.next_movement().map(MovementId)
    }

    /// Every movement with everything that was posted of it, those taken back included, in the order of their numbers.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn kept_movements(&self) -> Result<Vec<StoredMovement>, BookError> {
        let mut posted: BTreeMap<u64, Vec<StockPosting>> = BTreeMap::new();
        let mut query = self.conn.prepare_cached(
            "SELECT movement, entry, side, amount FROM stock_posting ORDER BY id",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let side = word(&row.get::<_, String>(2)?)?;
            posted.entry(row.get(0)?).or_default().push((
                EntryNumber(row.get(1)?),
                side,
                Money::from_minor(row.get(3)?),
            ));
        }
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {MOVEMENT}, m.entry, m.reference, m.is_void
             FROM movement m JOIN item i ON i.id = m.item ORDER BY m.id"
        ))?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let movement = movement_row(row)?;
            list.push(StoredMovement {
                entry: row.get::<_, Option<u64>>(11)?.map(EntryNumber),
                reference: row.get(12)?,
                is_void: row.get(13)?,
                postings: posted.remove(&movement.id.0).unwrap_or_default(),
                movement,
            });
        }
        Ok(list)
    }

    /// Puts a movement of a written-out book back as it was, with what was posted of it. Nothing is posted anew; the
    /// caller holds the stock against the entries afterwards, see [`Book::stock_faults`].
    ///
    /// # Errors
    /// When its item is unknown, it cannot be, its number is taken, or its day is locked.
    pub fn restore_movement(&mut self, stored: &StoredMovement) -> Result<(), BookError> {
        let movement = &stored.movement;
        movement
            .check()
            .map_err(|error| BookError::refused(format!("{}: {error}", movement.item)))?;
        self.write("Movements of stock put back", |book| {
            book.note("stock", "A movement of stock put back", "")?;
            book.insert_movement(movement, stored.entry, &stored.reference)?;
            if stored.is_void {
                book.side(
                    "UPDATE movement SET is_void = 1 WHERE id = ?1",
                    [movement.id.0],
                )?;
            }
            for (entry, side, amount) in &stored.postings {
                book.insert_posting(movement.id, *entry, *side, *amount)?;
            }
            Ok(())
        })
    }

    pub(super) fn next_movement(&self) -> Result<u64, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT ifnull(max(id), 0) + 1 FROM movement")?;
        Ok(query.query_row([], |row| row.get(0))?)
    }

    pub(super) fn insert_movement(
        &mut self,
        movement: &Movement,
        entry: Option<EntryNumber>,
        reference: &str,
    ) -> Result<(), BookError> {
        let item = self.item_id(&movement.item)?;
        self.side(
            "INSERT INTO movement (id, entry, date, item, kind, quantity, value, batch, abnormal, place, to_place, of,
               reference, change, is_void)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, 0)",
            params![
                movement.id.0,
                entry.map(|number| number.0),
                movement.date.to_string(),
                item,
                movement.kind.as_str(),
                movement.quantity.to_string(),
                movement.value.minor(),
                movement.batch,
                movement.abnormal.to_string(),
                movement.place,
                movement.to_place,
                movement.of.map(|of| of.0),
                reference,
                movement.change(),
            ],
        )?;
        Ok(())
    }

    /// Keeps how much of a movement an entry posted.
    pub(super) fn insert_posting(
        &mut self,
        movement: MovementId,
        entry: EntryNumber,
        side: Side,
        amount: Money,
    ) -> Result<(), BookError> {
        self.side(
            "INSERT INTO stock_posting (movement, entry, item, date, side, amount)
             VALUES (?1, ?2, (SELECT item FROM movement WHERE id = ?1), (SELECT date FROM entry WHERE number = ?2), ?3, ?4)",
            params![movement.0, entry.0, side.as_str(), amount.minor()],
        )?;
        Ok(())
    }

    /// Keeps what counts found, where that is not what was kept.
    pub(super) fn keep_counted(
        &mut self,
        counted: &[(MovementId, Quantity)],
    ) -> Result<(), BookError> {
        for (id, found) in counted {
            let change = millionths(*found);
            let kept: Option<i64> = self
                .conn
                .prepare_cached("SELECT change FROM movement WHERE id = ?1")?
                .query_row([id.0], |row| row.get(0))
                .optional()?;
            if kept.is_some_and(|kept| kept != change) {
                self.side(
                    "UPDATE movement SET change = ?2 WHERE id = ?1",
                    params![id.0, change],
                )?;
            }
        }
        Ok(())
    }

    /// Works out what every count found: after movements of a written-out book were put back.
    ///
    /// # Errors
    /// When the file cannot be read or written.
    pub fn settle_counts(&mut self) -> Result<(), BookError> {
        let counted = self.stocks()?.counted;
        self.write("Counts settled", |book| book.keep_counted(&counted))
    }
}
