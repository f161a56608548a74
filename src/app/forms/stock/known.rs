//! What the forms know of stock: the items, their recipes, how many lie where.
//! Read once when the book changed; how items are found by what is typed stands here too.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::app::action::StockMove;
use crate::book::{Book, BookError};
use crate::ledger::{EntryKind, EntryNumber, Line};
use crate::money::{Money, Quantity};
use crate::stock::{
    BatchNote, Bundle, Item, ItemKind, Movement, MovementId, MovementKind, Recipe, StockKeeping,
    in_units, stock_role,
};

use crate::happenings::{CameBefore, Recording};
use crate::ledger::Chart;

/// What is known of stock.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KnownStock {
    /// Every item, by name.
    pub items: Vec<Item>,
    /// Every recipe.
    pub recipes: Vec<Recipe>,
    /// Every set, by name.
    pub bundles: Vec<Bundle>,
    /// Whether what is bought is a cost at once, and only counts value what lies there.
    pub is_periodic: bool,
    /// What each item is worth in the books.
    worth: BTreeMap<String, Money>,
    /// How many there are of each item, wherever they lie.
    pub on_hand: BTreeMap<String, Quantity>,
    /// How many lie where, by code and place; home is the empty place.
    pub places: BTreeMap<(String, String), Quantity>,
    /// The batches there are.
    pub batches: BTreeSet<String>,
    names_twice: BTreeSet<String>,
}

/// Pieces of a sale that can come back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoldPieces {
    /// The sale's movement.
    pub movement: MovementId,
    /// The item's code.
    pub item: String,
    /// How many are still with the customer.
    pub left: Quantity,
}

impl KnownStock {
    /// Reads it.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn read(book: &Book) -> Result<Self, BookError> {
        let items = book.items()?;
        if items.is_empty() {
            return Ok(Self::default());
        }
        let stocks = book.stocks()?;
        let mut names = BTreeSet::new();
        let names_twice = items
            .iter()
            .map(|item| item.name.to_lowercase())
            .filter(|name| !names.insert(name.clone()))
            .collect();
        Ok(Self {
            recipes: book.recipes()?,
            bundles: book.bundles()?,
            is_periodic: book.settings().stock_keeping() == StockKeeping::Periodic,
            worth: stocks
                .on_hand
                .iter()
                .map(|(code, on_hand)| (code.clone(), on_hand.value))
                .collect(),
            on_hand: stocks
                .on_hand
                .into_iter()
                .map(|(code, on_hand)| (code, on_hand.quantity))
                .collect(),
            places: stocks.places,
            batches: book
                .movements()?
                .into_iter()
                .filter_map(|(movement, _entry)| movement.batch)
                .collect(),
            names_twice,
            items,
        })
    }

    /// An item as lists offer it: its name, with the code where two have the same.
    #[must_use]
    pub fn label(&self, item: &Item) -> String {
        if self.names_twice.contains(&item.name.to_lowercase()) {
            format!("{} ({})", item.name, item.code)
        } else {
            item.name.clone()
        }
    }

    /// The item that what was typed stands for: its code, its name, or as lists offer it.
    #[must_use]
    pub fn find(&self, typed: &str) -> Option<&Item> {
        let typed = typed.trim();
        let is = |text: &str| text.trim().eq_ignore_ascii_case(typed);
        if typed.is_empty() {
            return None;
        }
        self.items
            .iter()
            .find(|item| is(&item.code))
            .or_else(|| self.items.iter().find(|item| is(&self.label(item))))
    }

    /// The item with this code.
    #[must_use]
    pub fn item(&self, code: &str) -> Option<&Item> {
        self.items
            .iter()
            .find(|item| item.code.eq_ignore_ascii_case(code))
    }

    /// The name of an item by its code.
    #[must_use]
    pub fn name(&self, code: &str) -> String {
        self.item(code)
            .map_or_else(|| code.to_owned(), |item| self.label(item))
    }

    /// The items that are offered, of kinds that fit.
    #[must_use]
    pub fn offered(&self, fits: impl Fn(ItemKind) -> bool) -> Vec<&Item> {
        self.items
            .iter()
            .filter(|item| item.is_active && fits(item.kind))
            .collect()
    }

    /// The recipe of an item.
    #[must_use]
    pub fn recipe(&self, code: &str) -> Option<&Recipe> {
        self.recipes
            .iter()
            .find(|recipe| recipe.item.eq_ignore_ascii_case(code))
    }

    /// The set with this code.
    #[must_use]
    pub fn bundle(&self, code: &str) -> Option<&Bundle> {
        self.bundles
            .iter()
            .find(|bundle| bundle.code.eq_ignore_ascii_case(code))
    }

    /// The set that what was typed stands for: its code or its name. An item of that name comes first.
    #[must_use]
    pub fn find_bundle(&self, typed: &str) -> Option<&Bundle> {
        let typed = typed.trim();
        if typed.is_empty() || self.find(typed).is_some() {
            return None;
        }
        self.bundle(typed).or_else(|| {
            self.bundles
                .iter()
                .find(|bundle| bundle.name.trim().eq_ignore_ascii_case(typed))
        })
    }

    /// What is in a set and how many can be sold, in words.
    #[must_use]
    pub fn sets_in_words(&self, bundle: &Bundle) -> String {
        let parts: Vec<String> = bundle
            .parts
            .iter()
            .map(|part| format!("{} {}", part.quantity, self.name(&part.item)))
            .collect();
        let (sets, short) = bundle.sellable(|code| self.quantity(code));
        let short = short.map_or_else(String::new, |part| {
            format!("; {} runs out first", self.name(&part.item))
        });
        let many = match sets {
            1 => "1 set".to_owned(),
            sets => format!("{sets} sets"),
        };
        format!(
            "One set is {}. From what is there you can sell {many}{short}.",
            parts.join(", ")
        )
    }

    /// What an item is worth in the books.
    #[must_use]
    pub fn worth(&self, code: &str) -> Money {
        self.worth.get(code).copied().unwrap_or_default()
    }

    /// How many there are of an item.
    #[must_use]
    pub fn quantity(&self, code: &str) -> Quantity {
        self.on_hand.get(code).copied().unwrap_or_default()
    }

    /// The places besides home where anything lies or lay.
    #[must_use]
    pub fn other_places(&self) -> Vec<String> {
        let places: BTreeSet<&String> = self
            .places
            .keys()
            .map(|(_item, place)| place)
            .filter(|place| !place.is_empty())
            .collect();
        places.into_iter().cloned().collect()
    }

    /// The places where an item lies, home first.
    #[must_use]
    pub fn places_of(&self, code: &str) -> Vec<(&str, Quantity)> {
        self.places
            .iter()
            .filter(|((item, _place), _many)| item == code)
            .map(|((_item, place), many)| (place.as_str(), *many))
            .collect()
    }

    /// What of these movements takes more than is there, one sentence an item.
    #[must_use]
    pub fn shortages(&self, movements: &[Movement]) -> Vec<String> {
        let mut going: BTreeMap<(&str, &str), Decimal> = BTreeMap::new();
        for movement in movements {
            if movement.kind.is_issue() || movement.kind == MovementKind::Carry {
                let key = (movement.item.as_str(), movement.place.as_str());
                *going.entry(key).or_default() += movement.quantity.value();
            }
        }
        going
            .into_iter()
            .filter_map(|((code, place), many)| {
                let key = (code.to_owned(), place.to_owned());
                let there = self.places.get(&key).copied().unwrap_or_default();
                let item = self.item(code)?;
                (many > there.value()).then(|| {
                    let at = match place {
                        "" => String::new(),
                        place => format!(" at {place}"),
                    };
                    format!(
                        "{}: {} go, and by these books {} are there{at}",
                        self.label(item),
                        in_units(many, item),
                        in_units(there.value(), item)
                    )
                })
            })
            .collect()
    }

    /// What a purchase brought into stock, and what each of it cost.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn came_with(
        &self,
        book: &Book,
        purchase: EntryNumber,
    ) -> Result<Vec<CameBefore>, BookError> {
        let mut came = Vec::new();
        for movement in book.movements_of(purchase)? {
            let Some(item) = self.item(&movement.item) else {
                continue;
            };
            if movement.kind == MovementKind::Receive {
                came.push(CameBefore {
                    item: item.code.clone(),
                    name: item.name.clone(),
                    account: book.chart().role(stock_role(item.kind))?,
                    movement: Some(movement.id),
                    worth: movement.value,
                });
            }
        }
        Ok(came)
    }

    /// The pieces of a sale that can still come back.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sold_by(book: &Book, sale: EntryNumber) -> Result<Vec<SoldPieces>, BookError> {
        let sold: Vec<Movement> = book
            .movements_of(sale)?
            .into_iter()
            .filter(|movement| movement.kind == MovementKind::Sell)
            .collect();
        if sold.is_empty() {
            return Ok(Vec::new());
        }
        let all = book.movements()?;
        Ok(sold
            .into_iter()
            .map(|movement| {
                let back: Decimal = all
                    .iter()
                    .filter(|(one, _entry)| {
                        one.kind == MovementKind::Return && one.of == Some(movement.id)
                    })
                    .map(|(one, _entry)| one.quantity.value())
                    .sum();
                SoldPieces {
                    movement: movement.id,
                    left: Quantity::new(movement.quantity.value() - back).unwrap_or_default(),
                    item: movement.item,
                }
            })
            .collect())
    }
}

/// The movements that a recording makes besides arrivals, to be priced before it is written.
#[must_use]
pub fn stock_of(recording: &Recording, stock: &KnownStock) -> Option<StockMove> {
    let entry = &recording.entry;
    let mut movements = recording.movements.clone();
    if entry.header.kind == EntryKind::Sale {
        for line in entry.lines() {
            let (Some(code), Some(quantity)) = (&line.item, line.quantity) else {
                continue;
            };
            let is_told = recording
                .movements
                .iter()
                .any(|one| one.item.eq_ignore_ascii_case(code));
            let sold = |code: &str, quantity| {
                let date = entry.header.date;
                Movement::new(MovementId(0), date, code, MovementKind::Sell, quantity)
            };
            if !is_told && stock.item(code).is_some_and(|item| item.kind.is_sold()) {
                movements.push(sold(code, quantity));
            } else if let Some(bundle) = stock.bundle(code) {
                let parts = bundle.parts_for(quantity).into_iter();
                movements.extend(parts.map(|part| sold(&part.item, part.quantity)));
            }
        }
    }
    (!movements.is_empty()).then(|| StockMove {
        note: BatchNote::default(),
        header: entry.header.clone(),
        lines: Vec::new(),
        movements,
        done: String::new(),
    })
}

/// What lines add to the stock account of an item.
#[must_use]
pub fn stock_value(lines: &[Line], item: &Item, chart: &Chart) -> Money {
    let Ok(account) = chart.role(stock_role(item.kind)) else {
        return Money::ZERO;
    };
    lines
        .iter()
        .filter(|line| {
            line.account == account
                && line
                    .item
                    .as_deref()
                    .is_some_and(|code| code.eq_ignore_ascii_case(&item.code))
        })
        .map(|line| line.amount)
        .sum()
}
