//! Files of shops in any order, in one piece or many, with rows told twice: the same book comes of it.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use deckle::book::{Book, EntryFilter, ShopItem};
use deckle::dates::DateRange;
use deckle::import::shops::{Given, ShopTable, propose};
use deckle::ledger::{AccountId, Role};
use deckle::money::{Money, Quantity};
use deckle::reports::{self, ShopFile, shop_steps};
use deckle::shops::{FeeSign, FileKind, read_rows};
use deckle::stock::{Item, ItemKind, Unit};
use proptest::prelude::*;

use crate::support::{TestBook, assert_clean, day, recording, test_book};

/// One thing of an order: price in cents, how many, which of three products.
#[derive(Clone, Debug)]
struct Thing(i64, u32, usize);

/// An order and what became of it.
#[derive(Clone, Debug)]
struct History {
    sold: u64,
    things: Vec<Thing>,
    discount: i64,
    postage: i64,
    tax: i64,
    commission: i64,
    processing: i64,
    fees_after: u64,
    refunds: Vec<(u64, i64)>,
}

/// How a shop tells its history.
#[derive(Clone, Debug)]
struct Telling {
    orders_tell_fees: bool,
    orders_tell_tax: bool,
    orders_tell_refunds: bool,
    rows_have_numbers: bool,
    payouts: Vec<(u64, i64)>,
    monthly: Vec<(u64, i64)>,
}

fn any_history() -> impl Strategy<Value = History> {
    let things = prop::collection::vec(
        (100_i64..3000, 1_u32..4, 0_usize..3)
            .prop_map(|(price, pieces, product)| Thing(price, pieces, product)),
        1..3,
    );
    (
        (
            0_u64..50,
            things,
            0_i64..90,
            0_i64..600,
            prop_oneof![Just(0_i64), 1_i64..300],
        ),
        (0_i64..200, 0_i64..150, 0_u64..3),
        prop::collection::vec((0_u64..20, 1_i64..60), 0..3),
    )
        .prop_map(
            |((sold, things, discount, postage, tax), fees, refunds)| History {
                sold,
                things,
                discount,
                postage,
                tax,
                commission: fees.0,
                processing: fees.1,
                fees_after: fees.2,
                refunds,
            },
        )
}

fn any_telling() -> impl Strategy<Value = Telling> {
    (
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        prop::collection::vec((0_u64..60, 500_i64..9000), 0..3),
        prop::collection::vec((0_u64..60, 10_i64..500), 0..3),
    )
        .prop_map(
            |(fees, tax, refunds, rows_have_numbers, payouts, monthly)| Telling {
                orders_tell_fees: fees,
                orders_tell_tax: tax,
                orders_tell_refunds: refunds,
                rows_have_numbers,
                payouts,
                monthly,
            },
        )
}

const PRODUCTS: [&str; 3] = ["Blue notebook", "Card set", "Bookmark"];

fn on(days: u64) -> NaiveDate {
    day("2026-03-01")
        .checked_add_days(Days::new(days))
        .expect("a day")
}

fn cents(minor: i64) -> String {
    let sign = if minor < 0 { "-" } else { "" };
    format!("{sign}{}.{:02}", minor.abs() / 100, minor.abs() % 100)
}

/// The rows of a file, each with its order's number or its day, by which the file is cut.
type Rows = Vec<(u64, String)>;

/// The file of orders, cut by the order.
fn orders_file(histories: &[History], telling: &Telling) -> (String, Rows) {
    let mut header = "Order,Date,Item,Quantity,Price,Discount,Postage".to_owned();
    if telling.orders_tell_fees {
        header.push_str(",Selling fee,Card fee");
    }
    if telling.orders_tell_tax {
        header.push_str(",Tax paid by shop");
    }
    if telling.orders_tell_refunds {
        header.push_str(",Refunded");
    }
    let mut rows = Rows::new();
    for (idx, one) in histories.iter().enumerate() {
        for thing in &one.things {
            let mut row = format!(
                "A{idx},{},{},{},{},{},{}",
                on(one.sold),
                PRODUCTS[thing.2],
                thing.1,
                cents(thing.0),
                cents(one.discount),
                cents(one.postage)
            );
            if telling.orders_tell_fees {
                row.push_str(&format!(
                    ",{},{}",
                    cents(one.commission),
                    cents(one.processing)
                ));
            }
            if telling.orders_tell_tax {
                row.push_str(&format!(",{}", cents(one.tax)));
            }
            if telling.orders_tell_refunds {
                let back: i64 = one.refunds.iter().map(|(_, amount)| amount).sum();
                row.push_str(&format!(",{}", cents(back)));
            }
            rows.push((idx as u64, row));
        }
    }
    (header, rows)
}

/// The statement of the shop's balance, cut by the row where rows have numbers, by the day where they have none.
fn statement(histories: &[History], telling: &Telling) -> (String, Rows) {
    let mut list: Vec<(u64, String, String, i64)> = Vec::new();
    for (idx, one) in histories.iter().enumerate() {
        let order = format!("A{idx}");
        let price: i64 = one
            .things
            .iter()
            .map(|thing| thing.0 * i64::from(thing.1))
            .sum();
        let paid = price - one.discount + one.postage + one.tax;
        list.push((one.sold, order.clone(), "Sale".to_owned(), paid));
        list.push((one.sold, order.clone(), "Sales tax".to_owned(), -one.tax));
        let after = one.sold + one.fees_after;
        list.push((
            after,
            order.clone(),
            "Commission".to_owned(),
            -one.commission,
        ));
        list.push((after, order.clone(), "Card fee".to_owned(), -one.processing));
        for (days, amount) in &one.refunds {
            list.push((one.sold + days, order.clone(), "Refund".to_owned(), -amount));
            list.push((
                one.sold + days,
                order.clone(),
                "Commission".to_owned(),
                amount / 10,
            ));
        }
    }
    for (at, amount) in &telling.payouts {
        list.push((*at, String::new(), "Payout".to_owned(), -amount));
        list.push((*at, String::new(), "Reserve".to_owned(), -amount / 10));
        list.push((
            *at + 9,
            String::new(),
            "Reserve released".to_owned(),
            amount / 10,
        ));
    }
    for (at, amount) in &telling.monthly {
        list.push((*at, String::new(), "Listing fee".to_owned(), -amount));
    }
    list.sort_by_key(|(at, ..)| *at);
    let numbered = telling.rows_have_numbers;
    let header = if numbered {
        "Row number,Date,Type,Order,Amount"
    } else {
        "Date,Type,Order,Amount"
    };
    let mut rows = Rows::new();
    for (number, (at, order, kind, amount)) in list.into_iter().enumerate() {
        let row = format!("{},{kind},{order},{}", on(at), cents(amount));
        let cut = if numbered { number as u64 } else { at };
        rows.push((
            cut,
            if numbered {
                format!("R{number},{row}")
            } else {
                row
            },
        ));
    }
    (header.to_owned(), rows)
}

/// A part of a file: every row whose mark lies in the range.
#[derive(Clone, Debug)]
struct Part {
    kind: FileKind,
    text: String,
}

fn part(kind: FileKind, (header, rows): &(String, Rows), from: u64, to: u64) -> Part {
    let mut text = format!("{header}\n");
    for (mark, row) in rows {
        if (from..=to).contains(mark) {
            text.push_str(row);
            text.push('\n');
        }
    }
    Part { kind, text }
}

fn shop_book() -> (TestBook, AccountId) {
    let mut test = test_book();
    let book = &mut test.book;
    let channel = book.open_channel("Fairlamp Shop").expect("a channel");
    let unit = Unit::new("piece").expect("a unit");
    let item = Item::new("NOTEBOOK", "Blue notebook", ItemKind::BoughtIn, unit);
    book.put_item(&item).expect("an item");
    let mut bought = recording(book, "2026-02-01", "1220", "1000", 30_000);
    let lines: Vec<_> = bought
        .entry
        .lines()
        .iter()
        .cloned()
        .map(|mut line| {
            if line.amount.is_positive() {
                line.item = Some("NOTEBOOK".to_owned());
                line.quantity = Quantity::new(rust_decimal::Decimal::from(90)).ok();
            }
            line
        })
        .collect();
    let mut header = bought.entry.header.clone();
    header.kind = deckle::ledger::EntryKind::Purchase;
    bought.entry = deckle::ledger::JournalEntry::new(header, lines).expect("balances");
    book.record(&bought).expect("bought");
    for (words, item) in [("Blue notebook", "NOTEBOOK"), ("Card set", "")] {
        book.keep_shop_item(&ShopItem {
            channel,
            words: words.to_owned(),
            item: item.to_owned(),
        })
        .expect("tied");
    }
    (test, channel)
}

/// Brings a part in, and answers with how much followed from it.
fn bring(book: &mut Book, channel: AccountId, part: &Part) -> usize {
    let table = ShopTable::read("part.csv", part.text.as_bytes()).expect("readable");
    let given = Given {
        rows: [read_rows("card fee=fee-processing").expect("a pair")]
            .into_iter()
            .collect(),
        // A part may hold nothing but what was given back, which does not show it.
        fees: (part.kind == FileKind::Payouts).then_some(FeeSign::Minus),
        ..Given::default()
    };
    let proposal = propose(&table, part.kind, &given, book.currency());
    assert!(
        proposal.asked.is_empty(),
        "{:?}\n{}",
        proposal.asked,
        part.text
    );
    let file = ShopFile {
        kind: part.kind,
        table: &table,
        name: "Fairlamp",
        layout: &proposal.layout,
        channel,
        into: book.chart().role(Role::BusinessBank).expect("a bank"),
    };
    let (steps, _layout) = match shop_steps(book, &file) {
        Ok(steps) => steps,
        Err(error) => panic!("{error:?}\n{}", part.text),
    };
    book.take_shop_steps(channel, &steps.steps).expect("taken");
    steps.steps.len()
}

/// What every account moved on every day, and the shop's own figures.
fn outcome(book: &Book, channel: AccountId) -> (BTreeMap<(NaiveDate, String), Money>, String) {
    let mut moved: BTreeMap<(NaiveDate, String), Money> = BTreeMap::new();
    let numbers = book
        .entry_numbers(&EntryFilter::default())
        .expect("readable");
    for posted in book.entries(&numbers).expect("readable") {
        for line in posted.entry.lines() {
            let account = book.chart().title(line.account);
            *moved
                .entry((posted.entry.header.date, account))
                .or_default() += line.amount;
        }
    }
    moved.retain(|_, amount| !amount.is_zero());
    let year = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a year");
    let channels = reports::channels(book, year, day("2026-12-31")).expect("readable");
    let of_it: Vec<_> = channels
        .iter()
        .filter(|one| one.account == channel)
        .collect();
    (moved, format!("{of_it:#?}"))
}

/// The shop's figures are those of its history, added up here by themselves.
fn hold_against_history(book: &Book, channel: AccountId, histories: &[History], telling: &Telling) {
    let year = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a year");
    let channels = reports::channels(book, year, day("2026-12-31")).expect("readable");
    let shop = channels
        .iter()
        .find(|one| one.account == channel)
        .expect("it is there");
    let sum = |of: &dyn Fn(&History) -> i64| Money::from_minor(histories.iter().map(of).sum());
    let price = |one: &History| -> i64 {
        let things = one.things.iter();
        things.map(|thing| thing.0 * i64::from(thing.1)).sum()
    };
    let back = |one: &History| -> i64 { one.refunds.iter().map(|(_, amount)| amount).sum() };
    let credits =
        |one: &History| -> i64 { one.refunds.iter().map(|(_, amount)| amount / 10).sum() };
    let monthly: i64 = telling.monthly.iter().map(|(_, amount)| amount).sum();
    let payouts: i64 = telling.payouts.iter().map(|(_, amount)| amount).sum();
    assert_eq!(shop.sales_count, histories.len());
    assert_eq!(shop.gross_sales, sum(&price));
    assert_eq!(shop.discounts, sum(&|one| one.discount));
    assert_eq!(shop.postage, sum(&|one| one.postage));
    assert_eq!(shop.refunds, sum(&back));
    assert_eq!(
        shop.fees,
        sum(&|one| one.commission + one.processing - credits(one)) + Money::from_minor(monthly)
    );
    assert_eq!(
        shop.tax_by_channel,
        sum(&|one| one.tax) - returned_tax(book, channel)
    );
    assert_eq!(shop.payouts, Money::from_minor(payouts));
    assert_eq!(shop.other, Money::ZERO);
    assert_eq!(shop.held, Money::ZERO);
}

/// The shop's own tax that refunds took back with them, in proportion.
fn returned_tax(book: &Book, channel: AccountId) -> Money {
    let filter = EntryFilter {
        account: Some(channel),
        kind: Some(deckle::ledger::EntryKind::Refund),
        ..EntryFilter::default()
    };
    let numbers = book.entry_numbers(&filter).expect("readable");
    let refunds = book.entries(&numbers).expect("readable");
    -refunds
        .iter()
        .map(|posted| posted.entry.header.tax_by_channel)
        .sum::<Money>()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn any_split_in_any_order_leaves_the_same_book(
        histories in prop::collection::vec(any_history(), 1..5),
        telling in any_telling(),
        cuts in prop::collection::vec((any::<bool>(), 0_u64..70, 0_u64..70), 0..5),
        order in any::<u64>(),
    ) {
        let files = [
            (FileKind::Orders, orders_file(&histories, &telling)),
            (FileKind::Payouts, statement(&histories, &telling)),
        ];
        let whole: Vec<Part> = files.iter().map(|(kind, file)| part(*kind, file, 0, u64::MAX)).collect();
        let (mut one, channel) = shop_book();
        for file in &whole {
            bring(&mut one.book, channel, file);
        }
        let expected = outcome(&one.book, channel);
        assert_clean(&one.book);
        hold_against_history(&one.book, channel, &histories, &telling);

        // Parts that overlap as they happen to, then all that is left, in an order of chance.
        let mut parts = whole.clone();
        for (is_orders, from, length) in cuts {
            let (kind, file) = &files[usize::from(!is_orders)];
            parts.push(part(*kind, file, from, from + length));
        }
        let mut chance = order;
        for last in (1..parts.len()).rev() {
            chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            parts.swap(last, usize::try_from(chance >> 33).expect("fits") % (last + 1));
        }
        let (mut other, channel) = shop_book();
        for file in &parts {
            bring(&mut other.book, channel, file);
        }
        assert_clean(&other.book);
        prop_assert_eq!(&expected, &outcome(&other.book, channel));
        // Once more, and nothing follows from any of it.
        for file in &parts {
            prop_assert_eq!(bring(&mut other.book, channel, file), 0);
        }
    }
}
