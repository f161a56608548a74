//! Statement lines: each once however often and in whatever order its file comes, sorted once, undone with the rest.

use deckle::book::{Became, Book, BookError, NewLine, NewStatement, StatementBrought};
use deckle::dates::DateRange;
use deckle::money::Money;
use deckle::reports;
use deckle::sorting::{BankLine, Direction, Meaning, Reason, Rule, Suggested, Treatment};
use proptest::prelude::*;

use crate::support::{account, assert_clean, day, recording, test_book};

/// Day, minor units, words, the bank's number.
type Row<'r> = (&'r str, i64, &'r str, Option<&'r str>);

fn bring(book: &mut Book, format: &str, rows: &[Row<'_>]) -> StatementBrought {
    try_bring(book, "1000", format, rows).expect("brought")
}

fn try_bring(
    book: &mut Book,
    number: &str,
    format: &str,
    rows: &[Row<'_>],
) -> Result<StatementBrought, BookError> {
    let statement = NewStatement {
        account: account(book, number),
        name: "statement.csv".to_owned(),
        hash: "0".repeat(64),
        format: format.to_owned(),
        bank_account: String::new(),
    };
    book.bring_statement(&statement, |take| {
        for (idx, (date, minor, text, bank_id)) in rows.iter().enumerate() {
            take(NewLine {
                date: day(date),
                amount: Money::from_minor(*minor),
                text,
                bank_id: *bank_id,
                balance: None,
                row: idx as u64 + 2,
            })?;
        }
        Ok(None)
    })
}

fn all_lines(book: &Book) -> Vec<BankLine> {
    let range = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a year");
    book.bank_lines(account(book, "1000"), range)
        .expect("lines")
}

#[test]
fn the_same_file_again_and_a_longer_one_bring_only_what_is_new() {
    let mut test = test_book();
    let january: [Row<'_>; 3] = [
        ("2026-01-05", -1_250, "HARROW LANE PAPERS", None),
        // Two genuine equal payments on one day both stay.
        ("2026-01-07", -400, "PARKING", None),
        ("2026-01-07", -400, "PARKING", None),
    ];
    let first = bring(&mut test.book, "csv", &january);
    assert_eq!((first.n_lines, first.n_new), (3, 3));
    let again = bring(&mut test.book, "csv", &january);
    assert_eq!((again.n_lines, again.n_new), (3, 0));
    let mut longer = january.to_vec();
    longer.push(("2026-01-07", -400, "PARKING", None));
    longer.push(("2026-01-09", 5_000, "CASH PAID IN", None));
    let third = bring(&mut test.book, "csv", &longer);
    assert_eq!((third.n_lines, third.n_new), (5, 2));
    assert_eq!(all_lines(&test.book).len(), 5);
    assert_clean(&test.book);
}

#[test]
fn the_banks_own_number_tells_equal_lines_apart() {
    let mut test = test_book();
    let one: [Row<'_>; 2] = [
        ("2026-01-07", -400, "PARKING", Some("A1")),
        ("2026-01-07", -400, "PARKING", Some("A2")),
    ];
    bring(&mut test.book, "ofx", &one);
    let two: [Row<'_>; 2] = [
        ("2026-01-07", -400, "PARKING", Some("A2")),
        ("2026-01-07", -400, "PARKING", Some("A3")),
    ];
    assert_eq!(bring(&mut test.book, "ofx", &two).n_new, 1);
    // A number given to every line tells nothing; words and place among equals do.
    let odd: [Row<'_>; 2] = [
        ("2026-02-01", -100, "STAMPS", Some("0")),
        ("2026-02-02", -200, "GLUE", Some("0")),
    ];
    assert_eq!(bring(&mut test.book, "ofx", &odd).n_new, 2);
    assert_eq!(bring(&mut test.book, "ofx", &odd).n_new, 0);
    // The same transaction written down twice in one file is one.
    let twice: [Row<'_>; 2] = [
        ("2026-03-01", -700, "BOARD", Some("B7")),
        ("2026-03-01", -700, "BOARD", Some("B7")),
    ];
    assert_eq!(bring(&mut test.book, "ofx", &twice).n_new, 1);
    assert_eq!(all_lines(&test.book).len(), 6);
}

#[test]
fn another_format_of_the_same_days_brings_only_what_is_new() {
    let mut test = test_book();
    bring(
        &mut test.book,
        "csv",
        &[
            (
                "2026-01-05",
                -1_250,
                "CARD 1234 HARROW LANE PAPERS ELMWICK",
                None,
            ),
            ("2026-01-05", -1_250, "CARD 1234 THREAD", None),
        ],
    );
    let brought = bring(
        &mut test.book,
        "ofx",
        &[
            ("2026-01-05", -1_250, "Harrow Lane Papers", Some("X1")),
            ("2026-01-05", -1_250, "Thread", Some("X2")),
            ("2026-01-05", -1_250, "Ink", Some("X3")),
            ("2026-01-06", 900, "Refund", Some("X4")),
        ],
    );
    assert_eq!(brought.n_new, 2);
}

#[test]
fn a_file_is_undone_and_redone_as_one_step() {
    let mut test = test_book();
    let rows: [Row<'_>; 2] = [
        ("2026-01-05", -1_250, "HARROW LANE PAPERS", None),
        ("2026-01-06", -300, "STAMPS", None),
    ];
    bring(&mut test.book, "csv", &rows);
    test.book.undo().expect("undone");
    assert!(all_lines(&test.book).is_empty());
    assert!(test.book.statement_files().expect("files").is_empty());
    test.book.redo().expect("redone");
    assert_eq!(all_lines(&test.book).len(), 2);
    test.book.undo().expect("undone");
    // Undone for good once something else is written: the same file brings its lines anew.
    assert_eq!(bring(&mut test.book, "csv", &rows).n_new, 2);
    assert_eq!(all_lines(&test.book).len(), 2);
    assert_clean(&test.book);
}

#[test]
fn a_file_that_fails_in_its_middle_leaves_nothing() {
    let mut test = test_book();
    let statement = NewStatement {
        account: account(&test.book, "1000"),
        name: "broken.csv".to_owned(),
        hash: "0".repeat(64),
        format: "csv".to_owned(),
        bank_account: String::new(),
    };
    let refused = test.book.bring_statement(&statement, |take| {
        take(NewLine {
            date: day("2026-01-05"),
            amount: Money::from_minor(-100),
            text: "STAMPS",
            bank_id: None,
            balance: None,
            row: 2,
        })?;
        Err(BookError::Refused("row 3 is no date".to_owned()))
    });
    assert!(refused.is_err());
    assert!(all_lines(&test.book).is_empty());
    assert!(test.book.undo_label().is_none());
}

#[test]
fn a_statement_of_another_account_is_refused() {
    let mut test = test_book();
    let mut bring = |number: &str, bank_account: &str| {
        let statement = NewStatement {
            account: account(&test.book, number),
            name: "january.xml".to_owned(),
            hash: "0".repeat(64),
            format: "camt.053".to_owned(),
            bank_account: bank_account.to_owned(),
        };
        test.book
            .bring_statement(&statement, |_take| Ok::<_, BookError>(None))
            .map_err(|error| error.to_string())
    };
    bring("1000", "44102299").expect("the first");
    bring("1000", "").expect("one that does not say");
    let refused = bring("1000", "7000").expect_err("another");
    assert!(
        refused.contains("is of 7000, and the statements of 1000"),
        "{refused}"
    );
    let refused = bring("1010", "44102299").expect_err("the same of another");
    assert!(
        refused.contains("which is 1000 Business bank account"),
        "{refused}"
    );
}

#[test]
fn a_line_is_posted_once_and_comes_back_when_its_entry_goes() {
    let mut test = test_book();
    bring(
        &mut test.book,
        "csv",
        &[("2026-01-05", -1_250, "HARROW LANE PAPERS", None)],
    );
    let line = all_lines(&test.book)[0].clone();
    let consumables = account(&test.book, "6000");
    let bought = Treatment::new(Meaning::Purchase).account(consumables);
    let number = reports::treat(&mut test.book, &line, &bought).expect("posted");
    let entry = test.book.entry(number).expect("there").entry;
    assert_eq!(entry.header.party, "Harrow Lane Papers");
    assert_eq!(entry.header.origin.to_string(), "file statement.csv row 2");
    assert_eq!(
        test.book.became(line.id).expect("read"),
        Some(Became::Entries {
            numbers: vec![number],
            is_posted: true
        })
    );
    assert!(reports::treat(&mut test.book, &line, &bought).is_err());
    assert_eq!(test.book.count_lines_to_sort(None).expect("count").0, 0);
    // Amended to another amount, the line is to be sorted again; so it is when the entry is taken back.
    let mut lines = entry.lines().to_vec();
    for one in &mut lines {
        one.amount = Money::from_minor(one.amount.minor() * 2);
    }
    let doubled = deckle::ledger::JournalEntry::new(entry.header.clone(), lines).expect("balances");
    test.book
        .amend(number, &doubled, "typed wrongly")
        .expect("amended");
    assert_eq!(test.book.count_lines_to_sort(None).expect("count").0, 1);
    test.book.undo().expect("undone");
    assert_eq!(test.book.count_lines_to_sort(None).expect("count").0, 0);
    test.book
        .reverse(number, day("2026-01-05"), "not ours")
        .expect("taken back");
    assert_eq!(
        test.book.count_lines_to_sort(None).expect("count"),
        (1, Some(day("2026-01-05")))
    );
    test.book.undo().expect("undone");
    test.book.undo().expect("undone");
    assert_eq!(test.book.entry_count().expect("count"), 0);
    assert!(test.book.sorted_choices().expect("choices").is_empty());
    assert_clean(&test.book);
}

#[test]
fn a_purchase_typed_with_its_receipt_is_found_and_not_entered_again() {
    let mut test = test_book();
    let typed = recording(&test.book, "2026-01-03", "6000", "1000", 1_250);
    let number = test.book.record(&typed).expect("typed");
    bring(
        &mut test.book,
        "csv",
        &[
            ("2026-01-05", -1_250, "POS PAPER MILL 0021", None),
            ("2026-01-20", -1_250, "POS PAPER MILL 0021", None),
        ],
    );
    let rule = Rule::new(
        "paper mill",
        Direction::Out,
        Treatment::new(Meaning::Purchase).account(account(&test.book, "6000")),
    );
    test.book.keep_sorting_rule(&rule).expect("kept");
    let tray = reports::tray(&test.book, None).expect("a tray");
    let suggested = tray.rows[0].suggestion.as_ref().expect("a suggestion");
    assert_eq!(suggested.what, Suggested::Entry(number));
    assert_eq!(
        suggested.why,
        Reason::Matches {
            days_apart: 2,
            is_sure: true
        }
    );
    assert!(matches!(
        tray.rows[1].suggestion.as_ref().expect("a suggestion").why,
        Reason::Rule(_)
    ));
    assert_eq!(tray.n_covered(), 2);
    let done = reports::accept_covered(&mut test.book, None).expect("accepted");
    assert_eq!(
        (done.posted.len(), done.n_matched, done.left.len()),
        (1, 1, 0)
    );
    assert_eq!(test.book.entry_count().expect("count"), 2);
    // One step, undone as one.
    test.book.undo().expect("undone");
    assert_eq!(test.book.entry_count().expect("count"), 1);
    assert_eq!(test.book.count_lines_to_sort(None).expect("count").0, 2);
}

#[test]
fn money_moved_between_two_accounts_is_posted_from_one_statement_and_found_on_the_other() {
    let mut test = test_book();
    bring(
        &mut test.book,
        "csv",
        &[("2026-01-05", -20_000, "TRANSFER TO SAVINGS", None)],
    );
    try_bring(
        &mut test.book,
        "1010",
        "csv",
        &[("2026-01-06", 20_000, "TRANSFER FROM CURRENT", None)],
    )
    .expect("brought");
    for (words, other) in [("to savings", "1010"), ("from current", "1000")] {
        let rule = Rule::new(
            words,
            Direction::Either,
            Treatment::new(Meaning::Transfer).account(account(&test.book, other)),
        );
        test.book.keep_sorting_rule(&rule).expect("kept");
    }
    let done = reports::accept_covered(&mut test.book, None).expect("accepted");
    assert_eq!(
        (done.posted.len(), done.n_matched, done.left.len()),
        (1, 1, 0)
    );
    let balances = test.book.balances_to(day("2026-01-31")).expect("balances");
    assert_eq!(balances.net(account(&test.book, "1010")).minor(), 20_000);
    assert_eq!(balances.net(account(&test.book, "1000")).minor(), -20_000);
}

#[test]
fn a_line_in_two_entries_is_matched_with_both() {
    let mut test = test_book();
    let mut numbers = Vec::new();
    for minor in [700, 550] {
        let typed = recording(&test.book, "2026-01-03", "6000", "1000", minor);
        numbers.push(test.book.record(&typed).expect("typed"));
    }
    bring(
        &mut test.book,
        "csv",
        &[("2026-01-05", -1_250, "PAPER MILL", None)],
    );
    let line = all_lines(&test.book)[0].id;
    let refused = test.book.match_line(line, &numbers[..1], None);
    assert_eq!(
        refused.expect_err("too little").to_string(),
        "the bank's line is −12.50 and this moves −7.00 on the account; nothing was changed"
    );
    test.book.match_line(line, &numbers, None).expect("matched");
    assert_eq!(test.book.count_lines_to_sort(None).expect("count").0, 0);
    test.book.sort_line_again(line).expect("put back");
    test.book
        .leave_line_out(line, "belongs to the other company")
        .expect("left out");
    assert_eq!(test.book.count_lines_to_sort(None).expect("count").0, 0);
    assert!(test.book.match_line(line, &numbers, None).is_err());
}

#[test]
fn what_was_chosen_for_a_payee_is_suggested_with_its_count() {
    let mut test = test_book();
    bring(
        &mut test.book,
        "csv",
        &[
            (
                "2026-01-05",
                -1_250,
                "POS 0912 HARROW LANE PAPERS ELMWICK",
                None,
            ),
            (
                "2026-01-12",
                -800,
                "POS 1012 HARROW LANE PAPERS ELMWICK",
                None,
            ),
            (
                "2026-01-19",
                -950,
                "POS 1112 HARROW LANE PAPERS ELMWICK",
                None,
            ),
            ("2026-01-20", 950, "HARROW LANE PAPERS ELMWICK", None),
        ],
    );
    let (paper, office) = (account(&test.book, "1200"), account(&test.book, "6020"));
    let lines = all_lines(&test.book);
    let materials = Treatment::new(Meaning::Purchase).account(paper);
    reports::treat(&mut test.book, &lines[0], &materials).expect("posted");
    let tray = reports::tray(&test.book, None).expect("a tray");
    let first = tray.rows[0].suggestion.clone().expect("a suggestion");
    assert_eq!(first.what, Suggested::Treatment(materials.clone()));
    assert_eq!(
        first.why,
        Reason::Chosen {
            times: 1,
            of: 1,
            like: None
        }
    );
    assert_eq!(
        first.why(&[], test.book.currency()),
        "You sorted 1 line of this payee this way."
    );
    let other = Treatment::new(Meaning::Purchase).account(office);
    reports::treat(&mut test.book, &lines[1], &other).expect("posted");
    // The newer of two equal counts.
    let tray = reports::tray(&test.book, None).expect("a tray");
    assert_eq!(
        tray.rows[0].suggestion.clone().expect("a suggestion").what,
        Suggested::Treatment(other)
    );
    // Money that came in is not a purchase; the supplier is in the book, so it may be money back.
    let back = tray.rows[1].suggestion.clone().expect("a suggestion");
    assert!(matches!(
        back.what,
        Suggested::Treatment(Treatment {
            meaning: Meaning::SupplierRefund,
            ..
        })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Files cut out of one history, overlapping as they like, in any order and any number of times, leave the lines
    /// of the history: each as often as it happened.
    #[test]
    fn files_in_any_order_give_the_same_lines(
        history in prop::collection::vec((1_u32..=9, 1_i64..4, 0_usize..3), 1..40),
        cuts in prop::collection::vec((0_usize..40, 1_usize..30), 1..6),
        has_numbers in any::<bool>(),
    ) {
        let words = ["STAMPS", "GLUE", "PAPER MILL"];
        let mut history = history;
        history.sort_unstable();
        let days: Vec<String> = history.iter().map(|(of, _, _)| format!("2026-01-0{of}")).collect();
        let numbers: Vec<String> = (0..history.len()).map(|idx| format!("N{idx}")).collect();
        let rows: Vec<Row<'_>> = history
            .iter()
            .enumerate()
            .map(|(idx, (_, minor, word))| {
                let number = has_numbers.then(|| numbers[idx].as_str());
                (days[idx].as_str(), -minor * 100, words[*word], number)
            })
            .collect();
        let mut test = test_book();
        let whole_days = |from: usize, n: usize| -> Vec<Row<'_>> {
            // A bank's file holds whole days.
            let from = from.min(rows.len() - 1);
            let to = (from + n).min(rows.len() - 1);
            rows.iter().filter(|row| row.0 >= rows[from].0 && row.0 <= rows[to].0).copied().collect()
        };
        for (from, n) in cuts {
            bring(&mut test.book, "csv", &whole_days(from, n));
        }
        bring(&mut test.book, "csv", &rows);
        let mut found: Vec<(String, i64, String)> = all_lines(&test.book)
            .into_iter()
            .map(|line| (line.date.to_string(), line.amount.minor(), line.text))
            .collect();
        let mut expected: Vec<(String, i64, String)> = rows
            .iter()
            .map(|row| (row.0.to_owned(), row.1, row.2.to_owned()))
            .collect();
        found.sort();
        expected.sort();
        prop_assert_eq!(found, expected);
    }
}
