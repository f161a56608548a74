//! Miles told with a fair are offered as a trip and counted once; trips and spaces are undone like anything else.

use deckle::mileage::{Distance, DistanceUnit, Reading, Trip};
use deckle::money::Money;
use deckle::reports::{fair_days, fairs_without_trip, mileage};
use deckle::workspace::{Space, SpaceUse};

use super::{shop, tell};
use crate::support::{assert_clean, day};

fn trip(on: &str, hundredths: i64, fair: &str) -> Trip {
    Trip {
        id: 0,
        date: day(on),
        from: "Home".to_owned(),
        to: "Thornbury".to_owned(),
        purpose: "Spring fair and back".to_owned(),
        distance: Distance {
            hundredths,
            unit: DistanceUnit::Miles,
        },
        fair: fair.to_owned(),
        entered_on: day("2026-12-01"),
    }
}

#[test]
fn the_miles_of_a_fair_become_a_trip_and_count_once() {
    let mut made = shop();
    let book = &mut made.book;
    let answers = [
        ("fair", "Thornbury 2026"),
        ("date", "2026-05-02"),
        ("float", "50.00"),
        ("counted", "150.00"),
        ("miles", "40"),
        ("place", "Thornbury"),
    ];
    tell(book, "fair", &answers);
    // The day shows what they come to by the rate of the day: 40 at 0.725.
    let range = mileage(book, 2026).expect("readable").year.range;
    let shown = fair_days(book, range).expect("readable");
    assert_eq!(shown[0].day.miles, Money::from_minor(2_900));
    // They are offered, and not counted before they are a trip.
    let report = mileage(book, 2026).expect("readable");
    assert_eq!(report.fairs.len(), 1);
    assert_eq!(report.year.amount, Money::ZERO);
    book.keep_trip(&trip("2026-05-02", 4_000, "thornbury 2026"))
        .expect("kept");
    assert!(fairs_without_trip(book).expect("readable").is_empty());
    let report = mileage(book, 2026).expect("readable");
    assert_eq!(report.year.amount, Money::from_minor(2_900));
    assert_eq!(report.year.late().count(), 1);
    // The owner's own rate takes the place of the published ones everywhere.
    book.set_settings(&[("mileage_rate", "0.50")]).expect("set");
    let shown = fair_days(book, range).expect("readable");
    assert_eq!(shown[0].day.miles, Money::from_minor(2_000));
    let report = mileage(book, 2026).expect("readable");
    assert_eq!(report.year.amount, Money::from_minor(2_000));
    assert_clean(book);
}

#[test]
fn trips_readings_and_spaces_are_undone_and_done_again() {
    let mut made = shop();
    let book = &mut made.book;
    book.keep_trip(&trip("2026-05-02", 4_000, ""))
        .expect("kept");
    book.keep_reading(&Reading {
        id: 0,
        date: day("2026-01-01"),
        shows: Distance {
            hundredths: 4_100_000,
            unit: DistanceUnit::Miles,
        },
    })
    .expect("kept");
    book.keep_space(&Space {
        id: 0,
        name: "Back room".to_owned(),
        area: "120".parse().expect("an area"),
        home_area: "1100".parse().expect("an area"),
        used_for: SpaceUse::Storage,
        is_exclusive: false,
        from: day("2026-01-01"),
        until: None,
    })
    .expect("kept");
    let counts = |book: &deckle::book::Book| {
        (
            book.trips(None).expect("readable").len(),
            book.odometer().expect("readable").len(),
            book.spaces().expect("readable").len(),
        )
    };
    assert_eq!(counts(book), (1, 1, 1));
    for _each in 0..3 {
        book.undo().expect("undone");
    }
    assert_eq!(counts(book), (0, 0, 0));
    for _each in 0..3 {
        book.redo().expect("done again");
    }
    assert_eq!(counts(book), (1, 1, 1));
    assert_clean(book);
    let late = Trip {
        entered_on: day("2026-04-01"),
        ..trip("2026-05-02", 4_000, "")
    };
    assert!(book.keep_trip(&late).is_err());
    assert_eq!(counts(book), (1, 1, 1));
}
