//! Books of every layout that was ever released open, are brought up to date, and still say what they said.

use deckle::book::{Book, BookError, NewLine, NewStatement};
use deckle::desk::Question;
use deckle::ledger::{EntryNumber, Role};
use deckle::money::Money;

use crate::support::{account, assert_clean, day};

/// A copy of a kept book, open.
fn kept(name: &str) -> (tempfile::TempDir, Book) {
    let kept = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fixtures/books")
        .join(name);
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.deckle");
    // Written anew, so that the copy can be written to whatever the checkout's own rights are.
    std::fs::write(&path, std::fs::read(kept).expect("read")).expect("copied");
    let book = Book::open(&path).expect("opened");
    (folder, book)
}

#[test]
fn a_book_of_the_first_layout_still_opens() {
    let (_folder, book) = kept("layout-1.deckle");
    assert_clean(&book);
    assert_eq!(book.entry_count().expect("readable"), 5);
    assert_eq!(book.settings().business_name(), "Fernhollow Bindery");
    assert_eq!(book.lock_date(), Some(day("2026-01-31")));
    assert_eq!(book.receipts(EntryNumber(2)).expect("readable").len(), 1);
    let history = book.history(EntryNumber(3)).expect("readable");
    let earlier = history[1].earlier.as_ref().expect("kept");
    assert_eq!(earlier.header.party, "Paper mill");
    let charged = book.depreciation_charged().expect("readable");
    // By hand: (215.40 with its carriage - 30.00) / 60 months * 2 months.
    assert_eq!(charged["Nipping press"], Money::from_minor(618));
    // What came later: an account for what nobody can explain yet, and no practice copy of it.
    let unknown = book.chart().role(Role::NotExplained).expect("its account");
    assert_eq!(unknown, account(&book, "1900"));
    assert!(!book.is_practice());
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    // By hand: 800.00 - 21.50 - 210.00 - 5.95.
    assert_eq!(
        balances.net(account(&book, "1000")),
        Money::from_minor(56_255)
    );
    assert!(balances.total().is_zero());
}

/// October of a small shop, brought from three statements and two shops' files, sorted and agreed. By hand: 446.96 at the
/// bank, 50.00 put by, 9.00 owed on the card.
#[test]
fn a_book_with_statements_of_the_eighth_layout_still_opens_and_takes_more() {
    let (_folder, mut book) = kept("layout-8.deckle");
    assert_clean(&book);
    let files = book.statement_files().expect("readable");
    let counts: Vec<usize> = files.iter().map(|file| file.n_lines).collect();
    assert_eq!(counts.iter().sum::<usize>(), 13);
    assert_eq!(book.count_lines_to_sort(None).expect("readable").0, 0);
    for (number, minor) in [("1000", 44_696), ("1010", 5_000), ("2010", -900)] {
        let on = book.balances_to(day("2026-10-31")).expect("readable");
        assert_eq!(on.net(account(&book, number)), Money::from_minor(minor));
        let sheets = book.reconciliations().expect("readable");
        let of = account(&book, number);
        assert!(sheets.iter().any(|sheet| sheet.account == of));
    }
    let bank = account(&book, "1000");
    let november = NewStatement {
        account: bank,
        name: "november.csv".to_owned(),
        hash: "1".repeat(64),
        format: "csv".to_owned(),
        bank_account: String::new(),
    };
    let brought = book
        .bring_statement::<BookError>(&november, |take| {
            take(NewLine {
                date: day("2026-11-02"),
                amount: Money::from_minor(-1_250),
                text: "CARD 3301 WAYMARK PARCELS",
                bank_id: None,
                balance: None,
                row: 2,
            })?;
            Ok(None)
        })
        .expect("brought");
    assert_eq!((brought.n_lines, brought.n_new), (1, 1));
    assert_clean(&book);
}

/// A press, a batch of ten and two sales, the first with tax of its own. By hand: 600.00 - 40.00 - 18.50 + 55.64 + 26.00 at
/// the bank; seven notebooks at 20.00 / 10 each.
#[test]
fn a_book_of_the_ninth_layout_still_opens_and_takes_what_is_kept_at_the_desk() {
    let (_folder, mut book) = kept("layout-9.deckle");
    assert_clean(&book);
    let on = book.balances_to(day("2026-12-31")).expect("readable");
    for (number, minor) in [("1000", 62_314), ("1210", 1_400), ("2100", -364)] {
        assert_eq!(on.net(account(&book, number)), Money::from_minor(minor));
    }
    assert_eq!(book.lock_date(), Some(day("2026-01-31")));
    assert_eq!(book.questions().expect("readable"), vec![]);
    let mut question = Question::new("Is the tax mine to pay over?", day("2026-02-20"));
    question.entry = Some(EntryNumber(5));
    book.keep_question(&question).expect("asked");
    assert_clean(&book);
}

/// By hand: 500.00 put in, ten notebooks for 40.00, two of them sold for 36.00.
#[test]
fn a_book_of_the_tenth_layout_opens_and_takes_a_voucher() {
    let (_folder, mut book) = kept("layout-10.deckle");
    assert_clean(&book);
    let bank = account(&book, "1000");
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    assert_eq!(balances.net(bank), Money::from_minor(49_600));
    assert!(book.matter_steps().expect("readable").is_empty());
    let occasion = deckle::occasions::of_key("voucher-sold").expect("known");
    let answers = [
        ("voucher", "V-1"),
        ("amount", "20.00"),
        ("date", "2026-02-01"),
        ("paid_into", "1000"),
    ];
    let answers = answers
        .iter()
        .map(|(key, text)| ((*key).to_owned(), (*text).to_owned()))
        .collect();
    let facts = deckle::reports::OccasionFacts::read(&book).expect("readable");
    let reading = deckle::occasions::Reading::new(occasion, &answers, facts.known(&book, &[]));
    let told = reading.tell().expect("can be");
    book.tell(&told).expect("written");
    assert_eq!(book.matter_steps().expect("readable").len(), 1);
    assert_clean(&book);
}

/// By hand: 500.00 put in, 40.00 spent on glue.
#[test]
fn a_book_of_the_thirteenth_layout_opens_and_keeps_a_pack() {
    let (_folder, mut book) = kept("layout-13.deckle");
    assert_clean(&book);
    let bank = account(&book, "1000");
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    assert_eq!(balances.net(bank), Money::from_minor(46_000));
    let head = book.head().expect("has a history");
    let year = book.year_start().year_ending_in(2026);
    let pack = deckle::book::PackRecord {
        year,
        made_on: day("2027-01-15"),
        head_seq: head.seq,
        head_hash: head.hash,
        seal: "0".repeat(64),
        figures: [("net_profit".to_owned(), -4_000)].into(),
    };
    book.record_pack(&pack, || Ok::<(), BookError>(()))
        .expect("kept");
    book.record_pack(&pack, || Ok::<(), BookError>(()))
        .expect("the same again changes nothing");
    assert_eq!(book.packs(year).expect("readable"), vec![pack]);
    assert_eq!(
        book.head().expect("readable"),
        head,
        "a pack is no change of the books"
    );
    assert_eq!(book.head_hash(head.seq).expect("readable"), Some(head.hash));
    assert_eq!(book.head_hash(head.seq + 9).expect("readable"), None);
    assert_clean(&book);
}

/// By hand: 500.00 put in, 40.00 spent on glue; a shop that owes 95.00 and reported as much.
#[test]
fn a_book_of_the_fifteenth_layout_opens_and_takes_shares_of_bills() {
    let (_folder, mut book) = kept("layout-15.deckle");
    assert_clean(&book);
    let bank = account(&book, "1000");
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    assert_eq!(balances.net(bank), Money::from_minor(46_000));
    let shop = account(&book, "Fairlamp Shop");
    let reported = book.reported_gross(shop, 2026).expect("readable");
    assert_eq!(reported, Some(Money::from_minor(9_500)));
    assert_eq!(book.shared_bills().expect("readable"), vec![]);
    let share = deckle::shared_bills::SharedBill {
        id: 0,
        what: "Mobile phone".to_owned(),
        party: String::new(),
        share: "40".parse().expect("a share"),
        basis: "41 of 102 calls".to_owned(),
        sampled: None,
        since: day("2026-02-01"),
        note: String::new(),
    };
    book.keep_shared_bill(&share).expect("kept");
    assert_eq!(book.shared_bills().expect("readable").len(), 1);
    assert_clean(&book);
}
