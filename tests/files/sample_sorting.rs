//! The sample year replayed: its statements alone in a new book, the first quarter sorted by hand, and how much of the
//! rest is then suggested as its owner wrote it down. The data is invented; what is measured is the suggesting.

use std::collections::HashMap;
use std::path::Path;

use chrono::NaiveDate;
use deckle::book::{Book, NewBook};
use deckle::dates::{DateRange, parse_iso};
use deckle::import::bank::{Answers, bring};
use deckle::ledger::EntryNumber;
use deckle::money::Currency;
use deckle::reports;
use deckle::sorting::{BankLine, Suggested, Treatment};
use deckle::verbs::build_sample;

fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

/// A line as both books know it: account number, day, amount, words.
type Key = (String, NaiveDate, i64, String);

fn key(book: &Book, line: &BankLine) -> Key {
    let number = book
        .chart()
        .account(line.account)
        .expect("there")
        .number
        .clone();
    (number, line.date, line.amount.minor(), line.text.clone())
}

/// A book with the sample's chart and statements and nothing else.
fn statements_alone(folder: &Path, sample: &Book) -> Book {
    let currency = Currency::from_code("USD").expect("a currency");
    let path = folder.join("alone.deckle");
    let mut book = Book::create(&path, &NewBook::new(currency, day("2026-01-01"))).expect("a book");
    for channel in sample.chart().channels() {
        if book.chart().find(&channel.name).is_err() {
            let opened = book.open_channel(&channel.name).expect("opened");
            let number = &book.chart().account(opened).expect("there").number;
            assert_eq!(number, &channel.number);
        }
    }
    let statements =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-books/fernhollow/statements");
    for (name, number) in [
        ("bank-2026-1.csv", "1000"),
        ("bank-2026-2.csv", "1000"),
        ("bank-2026-3.csv", "1000"),
        ("bank-2026-4.csv", "1000"),
        ("card-2026-1.ofx", "2010"),
        ("card-2026-2.ofx", "2010"),
        ("savings-2026.xml", "1010"),
    ] {
        let account = book.chart().find(number).expect("an account").id;
        let mut file = std::fs::File::open(statements.join(name)).expect("there");
        bring(
            &mut book,
            account,
            &mut file,
            name,
            &Answers::default(),
            false,
        )
        .expect("brought");
    }
    book
}

/// What the owner made of each line, by the sample book: the treatment of its entry, by the numbers of this chart.
fn truth(sample: &Book) -> HashMap<Key, (EntryNumber, Option<Treatment>)> {
    let range = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a year");
    let mut told = HashMap::new();
    for number in ["1000", "2010", "1010"] {
        let account = sample.chart().find(number).expect("an account").id;
        for line in sample.bank_lines(account, range).expect("lines") {
            let Some(became) = sample.became(line.id).expect("read") else {
                continue;
            };
            let entry = EntryNumber(became.numbers()[0]);
            let posted = sample.entry(entry).expect("there");
            let treatment = Treatment::of_entry(&posted.entry, account, sample.chart());
            told.insert(key(sample, &line), (entry, treatment));
        }
    }
    told
}

/// The treatment with the accounts of another chart.
fn moved(treatment: &Treatment, from: &Book, to: &Book) -> Treatment {
    Treatment {
        account: treatment.account.map(|id| {
            let number = &from.chart().account(id).expect("there").number;
            to.chart().find(number).expect("there too").id
        }),
        ..treatment.clone()
    }
}

#[test]
fn nine_lines_in_ten_are_suggested_right_after_a_quarter_sorted_by_hand() {
    let folder = tempfile::tempdir().expect("a folder");
    let sample = build_sample(&folder.path().join("sample.deckle")).expect("the sample");
    let told = truth(&sample);
    let mut book = statements_alone(folder.path(), &sample);
    let quarter = day("2026-03-31");
    let mut posted: HashMap<EntryNumber, EntryNumber> = HashMap::new();
    for row in reports::tray(&book, None).expect("a tray").rows {
        let line = row.line;
        if line.date > quarter {
            continue;
        }
        let Some((entry, treatment)) = told.get(&key(&book, &line)) else {
            book.leave_line_out(line.id, "before the book begins")
                .expect("left out");
            continue;
        };
        // The other side of money moved between own accounts was posted a moment ago.
        if let Some(number) = posted.get(entry) {
            let written = book.entry(*number).expect("there").entry;
            let learned = Treatment::of_entry(&written, line.account, book.chart());
            book.match_line(line.id, &[*number], learned.as_ref())
                .expect("matched");
            continue;
        }
        match treatment {
            Some(treatment) => {
                let treatment = moved(treatment, &sample, &book);
                let number = reports::treat(&mut book, &line, &treatment).expect("posted");
                posted.insert(*entry, number);
            }
            None => book
                .leave_line_out(line.id, "written in a form of its own")
                .expect("left out"),
        }
    }
    let (mut n_lines, mut n_suggested, mut n_right) = (0_usize, 0_usize, 0_usize);
    let mut wrong = Vec::new();
    for row in reports::tray(&book, None).expect("a tray").rows {
        // What stands on the statements and in no book yet has no truth to be held against.
        let Some((_entry, truth)) = told.get(&key(&book, &row.line)) else {
            continue;
        };
        n_lines += 1;
        let suggested = row.suggestion.map(|suggestion| suggestion.what);
        n_suggested += usize::from(suggested.is_some());
        let truth = truth.as_ref().map(|truth| moved(truth, &sample, &book));
        let is_right = match (&suggested, &truth) {
            (Some(Suggested::Treatment(one)), Some(other)) => {
                one.meaning == other.meaning && one.account == other.account
            }
            _ => false,
        };
        n_right += usize::from(is_right);
        if !is_right {
            wrong.push(format!("{} {:?} {truth:?}", row.line.text, suggested));
        }
    }
    println!("{n_right} of {n_lines} lines suggested right, {n_suggested} suggested at all");
    assert!(n_lines > 150, "{n_lines}");
    assert!(
        n_right * 10 >= n_lines * 9,
        "{n_right} of {n_lines} lines suggested right, {n_suggested} suggested at all:\n{}",
        wrong.join("\n")
    );
}
