//! The list of things for an insurer or a county: the register, what was brought in, and small equipment that was a cost at
//! once, with the price apart from tax and delivery, by place and day.
//! What something is worth today is not in it; neither a statement nor a tax return is made of it.

use chrono::NaiveDate;

use super::small_equipment::SmallEquipment;
use crate::depreciation::{Condition, Equipment};
use crate::ledger::EntryNumber;
use crate::money::{Money, Quantity};

/// The caution beside the list.
pub const THINGS_CAUTION: &str = "What an insurer or a county asks for, on which day and at which value, is theirs to say: \
     some ask for the price, some for what it would cost today, many leave stock out. Small things that were given away or \
     lost are still on it. Look it through, and confirm with local rules and a licensed professional.";

/// Where a thing on the list comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ThingSource {
    /// The register, by its key.
    Register(String),
    /// An entry that made it a cost at once.
    Entry(EntryNumber),
}

/// One thing on the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedThing {
    /// Where it comes from.
    pub source: ThingSource,
    /// What it is.
    pub name: String,
    /// Where it stands; may be empty.
    pub place: String,
    /// The day it was bought or brought in.
    pub since: NaiveDate,
    /// How it came: new, second-hand, brought in, or a cost at once.
    pub how: &'static str,
    /// From whom; may be empty.
    pub supplier: String,
    /// Its serial number; may be empty.
    pub serial: String,
    /// How many, where that is known.
    pub quantity: Option<Quantity>,
    /// Its price without tax and delivery; where those were not kept apart, all of it.
    pub price: Money,
    /// The tax on it, where it was kept apart.
    pub tax: Option<Money>,
    /// Its delivery and setting up, where that was kept apart.
    pub delivery: Option<Money>,
    /// Everything together.
    pub whole: Money,
}

/// What is there on a day: bought on it or before, and not gone by then. By place, then by day and name.
#[must_use]
pub fn things_list(
    register: &[Equipment],
    small: &[SmallEquipment],
    as_of: NaiveDate,
) -> Vec<ListedThing> {
    let pieces = register
        .iter()
        .filter(|piece| piece.bought_on <= as_of)
        .filter(|piece| piece.disposal.as_ref().is_none_or(|gone| gone.on > as_of))
        .map(of_register);
    let small = small
        .iter()
        .filter(|thing| thing.bought_on <= as_of && !thing.amount.is_negative())
        .map(of_small);
    let mut list: Vec<ListedThing> = pieces.chain(small).collect();
    list.sort_by(|a, b| {
        let key = |one: &ListedThing| (one.place.clone(), one.since, one.name.clone());
        key(a).cmp(&key(b))
    });
    list
}

fn of_register(piece: &Equipment) -> ListedThing {
    ListedThing {
        source: ThingSource::Register(piece.key.clone()),
        name: piece.name.clone(),
        place: piece.location.trim().to_owned(),
        since: piece.bought_on,
        how: match piece.condition {
            Condition::New => "bought new",
            Condition::SecondHand => "bought second-hand",
            Condition::BroughtIn => "brought in",
        },
        supplier: piece.supplier.clone(),
        serial: piece.serial.clone(),
        quantity: None,
        price: piece.cost - piece.tax_part - piece.delivery_part,
        tax: Some(piece.tax_part),
        delivery: Some(piece.delivery_part),
        whole: piece.cost,
    }
}

fn of_small(thing: &SmallEquipment) -> ListedThing {
    ListedThing {
        source: ThingSource::Entry(thing.entry),
        name: thing.what.clone(),
        place: String::new(),
        since: thing.bought_on,
        how: "small, a cost at once",
        supplier: thing.supplier.clone(),
        serial: String::new(),
        quantity: thing.quantity,
        price: thing.amount,
        tax: None,
        delivery: None,
        whole: thing.amount,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;
    use crate::depreciation::Disposal;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    /// By hand: 530.00 with 30.00 of tax and 50.00 of delivery is a price of 450.00.
    #[test]
    fn price_tax_and_delivery_stand_apart_and_what_has_gone_is_left_out() {
        let mut press = Equipment::new(
            "Book press",
            day("2026-03-02"),
            Money::from_minor(53_000),
            60,
        );
        press.tax_part = Money::from_minor(3_000);
        press.delivery_part = Money::from_minor(5_000);
        press.location = "Workshop".to_owned();
        let mut cutter = Equipment::new("Cutter", day("2026-02-01"), Money::from_minor(9_000), 60);
        cutter.disposal = Some(Disposal {
            on: day("2027-01-01"),
            proceeds: Money::ZERO,
        });
        let small = |entry: u64, on: &str, minor: i64| SmallEquipment {
            entry: EntryNumber(entry),
            bought_on: day(on),
            supplier: "Quill Supply".to_owned(),
            what: "Bone folder".to_owned(),
            quantity: None,
            amount: Money::from_minor(minor),
        };
        let things = [
            small(4, "2026-05-01", 1_250),
            small(5, "2026-06-01", -1_250),
            small(6, "2027-01-02", 800),
        ];
        let list = things_list(&[press, cutter], &things, day("2027-01-01"));
        let told: Vec<(&str, i64, i64)> = list
            .iter()
            .map(|one| (one.name.as_str(), one.price.minor(), one.whole.minor()))
            .collect();
        assert_eq!(
            told,
            [
                ("Bone folder", 1_250, 1_250),
                ("Book press", 45_000, 53_000)
            ]
        );
        assert_eq!(list[1].tax, Some(Money::from_minor(3_000)));
        assert_eq!(list[0].tax, None);
    }
}
