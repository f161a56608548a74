//! What stock costs with 1,000 items and 200,000 movements: worth on a day, an item's history, a purchase told late; and
//! whether value drifts over 1,000,000 movements. Run with `cargo bench --bench stock`.

use std::time::{Duration, Instant};

use chrono::{Days, NaiveDate};
use deckle::book::{Book, NewBook, Told};
use deckle::happenings::{Happening, Payment, Purchase, PurchaseDetails, PurchaseLine, Recording};
use deckle::ledger::{EntryHeader, EntryKind};
use deckle::money::{Currency, Money, Quantity};
use deckle::stock::{
    CostMethod, Item, ItemKind, Movement, MovementId, MovementKind, Side, Unit, cost,
};

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

const ITEMS: u64 = 1_000;
const EACH: u64 = 200;

fn main() -> Outcome<()> {
    drift()?;
    let folder = tempfile::tempdir()?;
    let new = NewBook::new(Currency::from_code("USD")?, first_day());
    let mut book = Book::create(folder.path().join("stock.deckle"), &new)?;
    let start = Instant::now();
    build(&mut book)?;
    show("writing it all down at once", start.elapsed());
    let last = first_day() + Days::new(EACH);
    let mut worst = Duration::ZERO;
    for back in 0..20 {
        let start = Instant::now();
        let list = book.stock_on(last - Days::new(back * 10))?;
        worst = worst.max(start.elapsed());
        std::hint::black_box(list);
    }
    show("worth of everything on a day, worst of 20", worst);
    let start = Instant::now();
    std::hint::black_box(book.stock_postings("I500")?);
    show("one item's history", start.elapsed());
    let late = bought(&book, 500, 0, 10, 99_99)?;
    let start = Instant::now();
    book.record(&late)?;
    show("a purchase told late, dated at the start", start.elapsed());
    let start = Instant::now();
    let faults = book.check()?;
    show(&format!("check ({} faults)", faults.len()), start.elapsed());
    Ok(())
}

fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2016, 1, 1).unwrap_or_default()
}

fn show(what: &str, took: Duration) {
    println!("{what:<52} {:>10.2} ms", took.as_secs_f64() * 1_000.0);
}

fn code(item: u64) -> String {
    format!("I{item}")
}

fn quantity(count: u64) -> Outcome<Quantity> {
    Ok(Quantity::new(count.into())?)
}

fn bought(book: &Book, item: u64, day: u64, count: u64, minor: i64) -> Outcome<Recording> {
    let mut line = PurchaseLine::new(
        book.chart().find("1200")?.id,
        Money::from_minor(minor),
        code(item),
    );
    line.item = Some(code(item));
    line.quantity = Some(quantity(count)?);
    let details = PurchaseDetails::new(
        first_day() + Days::new(day),
        "Paper mill",
        Payment::Account(book.chart().find("1000")?.id),
        vec![line],
    );
    Ok(Purchase::new(details)?.recording(book.chart())?)
}

fn build(book: &mut Book) -> Outcome<()> {
    for item in 0..ITEMS {
        let kept = Item::new(
            code(item),
            code(item),
            ItemKind::Material,
            Unit::new("piece")?,
        );
        book.put_item(&kept)?;
    }
    let mut purchases = Vec::new();
    let mut uses = Vec::new();
    for day in 0..EACH {
        for item in 0..ITEMS {
            let dice = day * 7919 + item * 104_729;
            if day % 4 == 0 {
                let minor = i64::try_from(100 + dice % 9_000)?;
                purchases.push(bought(book, item, day, 20 + dice % 30, minor)?);
            } else {
                let date = first_day() + Days::new(day);
                let header = EntryHeader::new(date, EntryKind::StockOut).memo("used");
                let used = Movement::new(
                    MovementId(0),
                    date,
                    code(item),
                    MovementKind::Use,
                    quantity(1 + dice % 5)?,
                );
                uses.push((header, [used]));
            }
        }
    }
    let all: Vec<Told<'_>> = purchases
        .iter()
        .map(Told::Happened)
        .chain(uses.iter().map(|(header, movements)| Told::Moved {
            header,
            lines: &[],
            movements,
        }))
        .collect();
    book.write_down("everything", &all)?;
    Ok(())
}

/// A million movements of a hundred items, in memory: what was posted is what is on hand, to the cent.
fn drift() -> Outcome<()> {
    let mut movements = Vec::with_capacity(1_000_000);
    let mut seed: u64 = 7;
    for nth in 0..1_000_000_u64 {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let dice = seed >> 33;
        let date = first_day() + Days::new(nth / 300);
        let kind = if dice % 5 < 2 {
            MovementKind::Receive
        } else {
            MovementKind::Sell
        };
        let mut one = Movement::new(
            MovementId(nth),
            date,
            code(dice % 100),
            kind,
            quantity(1 + dice % 17)?,
        );
        if kind == MovementKind::Receive {
            one.value = Money::from_minor(i64::try_from(dice % 10_007)?);
        }
        movements.push(one);
    }
    for method in [CostMethod::Average, CostMethod::Fifo] {
        let start = Instant::now();
        let stocks = cost(method, &movements)?;
        show(
            &format!("costing 1,000,000 movements, {method}"),
            start.elapsed(),
        );
        let posted: Money = stocks
            .postings
            .iter()
            .filter(|one| one.side == Side::Stock)
            .map(|one| one.amount)
            .sum();
        let on_hand: Money = stocks.on_hand.values().map(|one| one.value).sum();
        assert_eq!(posted, on_hand, "value has drifted");
    }
    Ok(())
}
