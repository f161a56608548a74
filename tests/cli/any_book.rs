//! Any book written out and brought into a new one: the same entries, sums, register and receipts.

use chrono::NaiveDate;
use deckle::book::{Book, Closings, NewBook};
use deckle::dates::DateRange;
use deckle::depreciation::Equipment;
use deckle::export::written_out::write_out;
use deckle::happenings::{Proof, ProofState, Recording};
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, JournalEntry, Line};
use deckle::money::{Currency, Money, Quantity};
use deckle::statements::trial_balance;
use deckle::verbs::bring_written_out;
use proptest::prelude::*;

/// What is done to a book.
#[derive(Clone, Debug)]
enum Step {
    Record(Written),
    Amend(usize, Written),
    Reverse(usize, u32),
    Attach(usize, Vec<u8>),
}

#[derive(Clone, Debug)]
struct Written {
    day: u32,
    kind: usize,
    words: [String; 4],
    accounts: Vec<(usize, i64)>,
    tax_by_channel: i64,
    quantity: Option<i64>,
    proof: usize,
}

fn words() -> impl Strategy<Value = String> {
    // Everything that a sheet must quote, and letters of other scripts; spaces around are not kept by sheets.
    proptest::string::string_regex("[a-zA-Z0-9,\"';\\n€ßж #=-]{0,12}")
        .expect("is an expression")
        .prop_map(|text| text.trim().to_owned())
}

fn written() -> impl Strategy<Value = Written> {
    (
        0..700_u32,
        0..EntryKind::ALL.len(),
        [words(), words(), words(), words()],
        prop::collection::vec((0..60_usize, 1..1_000_000_000_i64), 1..5),
        -500..500_i64,
        prop::option::of(1..1_000_000_i64),
        0..ProofState::ALL.len(),
    )
        .prop_map(
            |(day, kind, words, accounts, tax, quantity, proof)| Written {
                day,
                kind,
                words,
                accounts,
                tax_by_channel: tax,
                quantity,
                proof,
            },
        )
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        5 => written().prop_map(Step::Record),
        1 => (0..20_usize, written()).prop_map(|(place, written)| Step::Amend(place, written)),
        1 => (0..20_usize, 0..700_u32).prop_map(|(place, day)| Step::Reverse(place, day)),
        1 => (0..20_usize, prop::collection::vec(any::<u8>(), 1..40))
            .prop_map(|(place, bytes)| Step::Attach(place, bytes)),
    ]
}

fn day(offset: u32) -> NaiveDate {
    first_day() + chrono::Days::new(offset.into())
}

fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2025, 1, 1).expect("a day")
}

fn new_book(path: &std::path::Path) -> Book {
    let currency = Currency::from_code("USD").expect("ISO 4217 has it");
    Book::create(path, &NewBook::new(currency, first_day())).expect("a new book")
}

fn entry(book: &Book, told: &Written) -> JournalEntry {
    let [party, memo, document, tag] = told.words.clone();
    let kind = match EntryKind::ALL[told.kind] {
        // A mirror is written by taking an entry back.
        EntryKind::Reversal => EntryKind::Manual,
        kind => kind,
    };
    let mut header = EntryHeader::new(day(told.day), kind)
        .party(party)
        .memo(memo.clone())
        .document(document);
    header.tax_by_channel = Money::from_minor(told.tax_by_channel);
    header.tags = tag
        .split([';', '\n'])
        .map(|part| part.trim().to_owned())
        .filter(|part| !part.is_empty())
        .collect();
    let accounts = book.chart().accounts();
    let mut lines: Vec<Line> = told
        .accounts
        .iter()
        .map(|(place, minor)| {
            let mut line =
                Line::debit(accounts[*place].id, Money::from_minor(*minor)).memo(memo.clone());
            line.quantity = told
                .quantity
                .map(|n| Quantity::new(rust_decimal::Decimal::new(n, 3)).expect("three decimals"));
            line
        })
        .collect();
    let total: i64 = told.accounts.iter().map(|(_, minor)| minor).sum();
    lines.push(Line::credit(accounts[0].id, Money::from_minor(total)));
    JournalEntry::new(header, lines).expect("balances")
}

/// Does a step; what the book refuses is not done.
fn act(book: &mut Book, step: &Step) {
    let count = usize::try_from(book.entry_count().expect("reads")).expect("small");
    let number = |place: usize| (count > 0).then(|| EntryNumber((place % count) as u64 + 1));
    match step {
        Step::Record(told) => {
            let mut recording = Recording::new(entry(book, told));
            recording.proof = Proof {
                state: ProofState::ALL[told.proof],
                stands_in: told.words[0].clone(),
                purpose: told.words[1].clone(),
            };
            book.record(&recording).expect("is sound");
        }
        Step::Amend(place, told) => {
            if let Some(number) = number(*place) {
                let amended = entry(book, told);
                let _refused = book.amend(number, &amended, "read again");
            }
        }
        Step::Reverse(place, offset) => {
            if let Some(number) = number(*place) {
                let _refused = book.reverse(number, day(*offset), "taken back, \"quoted\"");
            }
        }
        Step::Attach(place, bytes) => {
            if let Some(number) = number(*place) {
                let _refused = book.attach_receipt(number, "receipt, one.txt", bytes);
            }
        }
    }
}

fn register_row(n: u32) -> Equipment {
    let mut piece = Equipment::new(
        format!("Press \"{n}\""),
        day(n),
        Money::from_minor(123_456),
        36,
    );
    piece.location = "by the window, left".to_owned();
    piece
}

/// What the check finds, in words: a random book may hold what no owner would write, and then both hold it.
fn faults(book: &Book) -> Vec<String> {
    let found = book.check().expect("reads");
    found.iter().map(ToString::to_string).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_book_comes_back_the_same(steps in prop::collection::vec(step(), 0..20)) {
        let folder = tempfile::tempdir().expect("a folder");
        let mut book = new_book(&folder.path().join("one.deckle"));
        for step in &steps {
            act(&mut book, step);
        }
        book.add_equipment(&register_row(7)).expect("is sound");
        write_out(&book, &folder.path().join("out")).expect("writes");
        let mut other = new_book(&folder.path().join("other.deckle"));
        bring_written_out(&mut other, &folder.path().join("out")).expect("comes back");

        prop_assert_eq!(book.entry_count().expect("reads"), other.entry_count().expect("reads"));
        for number in 1..=book.entry_count().expect("reads") {
            let number = EntryNumber(number);
            let (one, two) = (book.entry(number).expect("reads"), other.entry(number).expect("reads"));
            prop_assert_eq!(&one.entry, &two.entry);
            prop_assert_eq!((one.reverses, one.reversed_by), (two.reverses, two.reversed_by));
            prop_assert_eq!(book.proof(number).expect("reads"), other.proof(number).expect("reads"));
            prop_assert_eq!(book.receipts(number).expect("reads"), other.receipts(number).expect("reads"));
        }
        prop_assert_eq!(book.equipment().expect("reads"), other.equipment().expect("reads"));
        let range = DateRange { from: first_day(), to: day(800) };
        for closings in [Closings::With, Closings::Without] {
            let (one, two) = (
                book.balances(range, closings).expect("reads"),
                other.balances(range, closings).expect("reads"),
            );
            prop_assert_eq!(trial_balance(book.chart(), &one), trial_balance(other.chart(), &two));
        }
        prop_assert_eq!(faults(&book), faults(&other));
    }
}
