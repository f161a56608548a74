//! Sums over any range equal the sums of the entries themselves.

use deckle::book::{Book, Closings};
use deckle::dates::DateRange;
use deckle::happenings::Recording;
use deckle::ledger::{Balances, EntryKind, JournalEntry};

use crate::support::{account, day, entry, test_book};

/// Invented figures spread over two years and a half, some of them closing entries.
fn filled(book: &mut Book) -> Vec<JournalEntry> {
    let numbers = ["1000", "1200", "4000", "6000", "6100"];
    let mut entries = Vec::new();
    for step in 0_i64..240 {
        let date = (day("2026-01-01") + chrono::Duration::days(step * 3 + step % 4)).to_string();
        let place = usize::try_from(step).expect("small");
        let (debit, credit) = (numbers[place % 5], numbers[(place / 5 + place % 3 + 1) % 5]);
        if debit == credit {
            continue;
        }
        let mut one = entry(book, &date, debit, credit, 100 + step * 37 % 5_000);
        if step % 50 == 49 {
            one.header.kind = EntryKind::Closing;
        }
        entries.push(one);
    }
    let recordings: Vec<Recording> = entries.iter().cloned().map(Recording::new).collect();
    book.record_all(&recordings).expect("recorded");
    entries
}

#[test]
fn balances_of_any_range_are_the_sums_of_its_entries() {
    let mut test = test_book();
    let entries = filled(&mut test.book);
    let days = [
        "2026-01-01",
        "2026-01-17",
        "2026-01-31",
        "2026-02-01",
        "2026-06-30",
        "2027-02-28",
        "2027-03-15",
        "2028-12-31",
    ];
    for from in days {
        for to in days {
            let Some(range) = DateRange::new(day(from), day(to)) else {
                continue;
            };
            for closings in [Closings::With, Closings::Without] {
                let inside = entries.iter().filter(|entry| {
                    range.contains(entry.header.date)
                        && (closings == Closings::With || entry.header.kind != EntryKind::Closing)
                });
                let found = test.book.balances(range, closings).expect("readable");
                assert_eq!(
                    found,
                    Balances::of_entries(inside),
                    "{from} to {to}, {closings:?}"
                );
            }
        }
        let until = entries
            .iter()
            .filter(|entry| entry.header.date <= day(from));
        let found = test.book.balances_to(day(from)).expect("readable");
        assert_eq!(found, Balances::of_entries(until), "to {from}");
    }
}

#[test]
fn months_add_up_to_their_range() {
    let mut test = test_book();
    filled(&mut test.book);
    let year = test.book.year_start().year_ending_in(2026);
    let months = test.book.monthly(year, Closings::With).expect("readable");
    assert_eq!(months.len(), 12);
    let mut sum = Balances::new();
    for (_month, balances) in &months {
        sum.merge(balances);
    }
    assert_eq!(
        sum,
        test.book.balances(year, Closings::With).expect("readable")
    );
}

#[test]
fn the_lines_of_an_account_add_up_to_its_balance() {
    let mut test = test_book();
    filled(&mut test.book);
    let bank = account(&test.book, "1000");
    let range = DateRange::new(day("2026-02-10"), day("2027-05-20")).expect("in order");
    let lines = test.book.account_lines(bank, range).expect("readable");
    let balances = test.book.balances(range, Closings::With).expect("readable");
    assert_eq!(
        lines
            .iter()
            .map(|line| line.amount)
            .sum::<deckle::money::Money>(),
        balances.net(bank)
    );
    assert!(lines.is_sorted_by_key(|line| (line.date, line.number)));
}
