//! Accounts brought into agreement with their statements: to nothing, kept, and flagged when something changes later.

use deckle::book::{Book, NewLine, NewStatement};
use deckle::ledger::{AccountId, EntryNumber, JournalEntry};
use deckle::money::Money;
use deckle::reconciling::{Hint, hints};

use crate::support::{account, assert_clean, day, recording, test_book};

fn record(book: &mut Book, date: &str, debit: &str, credit: &str, minor: i64) -> EntryNumber {
    let recording = recording(book, date, debit, credit, minor);
    book.record(&recording).expect("recorded")
}

fn money(minor: i64) -> Money {
    Money::from_minor(minor)
}

#[test]
fn an_account_is_brought_to_nothing_and_kept() {
    let mut test = test_book();
    let book = &mut test.book;
    let bank: AccountId = account(book, "1000");
    let put_in = record(book, "2026-01-02", "1000", "3000", 50_000);
    let paper = record(book, "2026-01-10", "6000", "1000", 1_250);
    // Paid on the last day, with the bank two days later.
    let late = record(book, "2026-01-31", "6000", "1000", 900);
    let id = book
        .begin_reconciliation(bank, day("2026-01-31"), money(48_750))
        .expect("begun");
    book.tick(id, &[put_in, paper], true).expect("ticked");
    let sheet = book.reconciliation(id).expect("there");
    let movements = book
        .movements_to_reconcile(bank, day("2026-01-31"))
        .expect("movements");
    let agreement = sheet.agreement(&movements);
    // By hand: 500.00 − 12.50 = 487.50 cleared; 9.00 outstanding; the ledger has 478.50.
    assert_eq!(agreement.cleared, money(48_750));
    assert_eq!(agreement.outstanding, money(-900));
    assert_eq!(agreement.book, money(47_850));
    assert_eq!(agreement.difference, Money::ZERO);
    book.finish_reconciliation(id, "").expect("finished");
    assert!(book.tick(id, &[late], true).is_err());
    // The next one begins where this one ended, with what was outstanding.
    let next = book
        .begin_reconciliation(bank, day("2026-02-28"), money(47_850))
        .expect("begun");
    let sheet = book.reconciliation(next).expect("there");
    assert_eq!(sheet.opening, money(48_750));
    let open = book
        .movements_to_reconcile(bank, day("2026-02-28"))
        .expect("movements");
    assert_eq!(open.iter().map(|one| one.entry).collect::<Vec<_>>(), [late]);
    book.tick(next, &[late], true).expect("ticked");
    book.finish_reconciliation(next, "").expect("finished");
    assert!(book.broken_reconciliations().expect("read").is_empty());
    assert!(
        book.begin_reconciliation(bank, day("2026-02-28"), money(0))
            .is_err()
    );
    assert!(book.take_back_reconciliation(id, "again").is_err());
    assert!(book.take_back_reconciliation(next, " ").is_err());
    book.take_back_reconciliation(next, "a line was forgotten")
        .expect("taken back");
    assert_clean(book);
}

#[test]
fn a_difference_is_not_finished_and_its_reason_is_looked_for() {
    let mut test = test_book();
    let book = &mut test.book;
    let bank = account(book, "1000");
    let put_in = record(book, "2026-01-02", "1000", "3000", 50_000);
    let paper = record(book, "2026-01-10", "6000", "1000", 4_500);
    let glue = record(book, "2026-01-12", "6000", "1000", 700);
    let id = book
        .begin_reconciliation(bank, day("2026-01-31"), money(44_800))
        .expect("begun");
    book.tick(id, &[put_in, paper], true).expect("ticked");
    let refused = book
        .finish_reconciliation(id, "")
        .expect_err("a difference");
    assert_eq!(
        refused.to_string(),
        "the difference is still −7.00; a sheet is finished at nothing; nothing was changed"
    );
    let look = |book: &Book, balance: i64| {
        let mut sheet = book.reconciliation(id).expect("there");
        sheet.balance = money(balance);
        let movements = book
            .movements_to_reconcile(bank, day("2026-01-31"))
            .expect("movements");
        let difference = sheet.agreement(&movements).difference;
        hints(&sheet, &movements, difference)
    };
    assert_eq!(look(book, 44_800), [Hint::NotTicked(glue)]);
    // The statement does not have the 45.00: cleared 455.00 and the statement says 500.00.
    assert_eq!(look(book, 50_000), [Hint::TickedTooMuch(paper)]);
    // It went in where it should have gone out: the statement says 545.00.
    assert_eq!(look(book, 54_500), [Hint::WrongSide(paper)]);
    // 54.00 and not 45.00.
    assert_eq!(look(book, 44_600), [Hint::SwappedDigits]);
    // A charge of 10.00 that is not in the book.
    assert_eq!(look(book, 44_500), [Hint::PerhapsAFee]);
    let again = record(book, "2026-01-10", "6000", "1000", 4_500);
    book.tick(id, &[again], true).expect("ticked");
    assert_eq!(look(book, 45_500), [Hint::Twice(paper, again)]);
}

#[test]
fn a_finished_sheet_is_flagged_when_an_entry_changes() {
    let mut test = test_book();
    let book = &mut test.book;
    let bank = account(book, "1000");
    let put_in = record(book, "2026-01-02", "1000", "3000", 50_000);
    let id = book
        .begin_reconciliation(bank, day("2026-01-31"), money(50_000))
        .expect("begun");
    book.tick(id, &[put_in], true).expect("ticked");
    book.finish_reconciliation(id, "").expect("finished");
    let entry = book.entry(put_in).expect("there").entry;
    let lines = entry
        .lines()
        .iter()
        .map(|line| deckle::ledger::Line {
            amount: money(line.amount.minor() / 50_000 * 49_000),
            ..line.clone()
        })
        .collect();
    let changed = JournalEntry::new(entry.header.clone(), lines).expect("balances");
    book.amend(put_in, &changed, "typed wrongly")
        .expect("amended");
    let broken = book.broken_reconciliations().expect("read");
    assert_eq!(broken.len(), 1);
    assert_eq!(
        broken[0].1[0].sentence(book.currency()),
        "Entry 1 moved 500.00 when this was finished and now moves 490.00."
    );
    // The sheet itself says what it said.
    assert_eq!(
        book.reconciliation(id).expect("there").ticked[0].amount,
        money(50_000)
    );
    book.undo().expect("undone");
    assert!(book.broken_reconciliations().expect("read").is_empty());
}

#[test]
fn what_statement_lines_cover_is_ticked_by_itself() {
    let mut test = test_book();
    let book = &mut test.book;
    let bank = account(book, "1000");
    let paper = record(book, "2026-01-10", "6000", "1000", 1_250);
    let statement = NewStatement {
        account: bank,
        name: "january.csv".to_owned(),
        hash: "0".repeat(64),
        format: "csv".to_owned(),
        bank_account: String::new(),
    };
    book.bring_statement(&statement, |take| {
        take(NewLine {
            date: day("2026-01-11"),
            amount: money(-1_250),
            text: "PAPER MILL",
            bank_id: None,
            balance: None,
            row: 2,
        })?;
        Ok::<_, deckle::book::BookError>(Some((day("2026-01-31"), money(-1_250))))
    })
    .expect("brought");
    deckle::reports::accept_covered(book, None).expect("accepted");
    assert_eq!(
        book.last_statement_balance(bank, Some(day("2026-12-31")))
            .expect("read"),
        Some((day("2026-01-31"), money(-1_250)))
    );
    let id = book
        .begin_reconciliation(bank, day("2026-01-31"), money(-1_250))
        .expect("begun");
    let sheet = book.reconciliation(id).expect("there");
    assert_eq!(
        sheet.ticked.iter().map(|one| one.entry).collect::<Vec<_>>(),
        [paper]
    );
    book.finish_reconciliation(id, "").expect("finished");
}
