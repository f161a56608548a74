//! Any sequence of operations keeps every invariant; a refused one changes nothing; undoing all of them leads back to
//! the beginning, and redoing all of them to the end.

use deckle::book::{Book, BookError, EntryFilter, NewAccount};
use deckle::depreciation::{Disposal, Equipment};
use deckle::happenings::{Payment, Proof, ProofState, Recording, RememberedKind};
use deckle::ledger::{AccountClass, EntryNumber};
use deckle::money::Money;
use deckle::recurring::Recurring;
use proptest::prelude::*;

use crate::support::{account, assert_clean, day, entry, new_book};

const ACCOUNTS: [&str; 6] = ["1000", "1200", "1500", "4000", "6000", "6100"];

#[derive(Clone, Debug)]
enum Operation {
    Record {
        day: u32,
        from: usize,
        to: usize,
        minor: i64,
    },
    RecordThree {
        day: u32,
        minor: i64,
    },
    Buy {
        day: u32,
        minor: i64,
        name: u8,
    },
    Dispose {
        name: u8,
        day: u32,
    },
    Amend {
        which: u64,
        day: u32,
        minor: i64,
    },
    Reverse {
        which: u64,
        day: u32,
    },
    Reclassify {
        from: usize,
        to: usize,
    },
    Setting {
        percent: u8,
    },
    FirstDay {
        day: u32,
    },
    Lock {
        day: u32,
    },
    Unlock,
    Close {
        year: i32,
    },
    Reopen,
    AddAccount {
        number: u8,
    },
    Retire {
        which: usize,
    },
    Channel {
        name: u8,
    },
    Hold {
        name: u8,
        minor: i64,
    },
    Attach {
        which: u64,
        byte: u8,
    },
    Detach {
        which: u64,
        byte: u8,
    },
    Prove {
        which: u64,
    },
    Recur {
        minor: i64,
    },
    Confirm {
        minor: i64,
    },
    Undo,
    Redo,
}

fn operation() -> impl Strategy<Value = Operation> {
    use Operation as O;
    let days = 0_u32..800;
    let minor = 1_i64..500_000;
    let place = 0..ACCOUNTS.len();
    let which = 1_u64..12;
    let name = 0_u8..4;
    prop_oneof![
        6 => (days.clone(), place.clone(), place.clone(), minor.clone())
            .prop_map(|(day, from, to, minor)| O::Record { day, from, to, minor }),
        2 => (days.clone(), minor.clone()).prop_map(|(day, minor)| O::RecordThree { day, minor }),
        2 => (days.clone(), minor.clone(), name.clone())
            .prop_map(|(day, minor, name)| O::Buy { day, minor, name }),
        1 => (name.clone(), days.clone()).prop_map(|(name, day)| O::Dispose { name, day }),
        3 => (which.clone(), days.clone(), minor.clone())
            .prop_map(|(which, day, minor)| O::Amend { which, day, minor }),
        2 => (which.clone(), days.clone()).prop_map(|(which, day)| O::Reverse { which, day }),
        1 => (place.clone(), place.clone()).prop_map(|(from, to)| O::Reclassify { from, to }),
        1 => (0_u8..100).prop_map(|percent| O::Setting { percent }),
        1 => days.clone().prop_map(|day| O::FirstDay { day }),
        1 => days.clone().prop_map(|day| O::Lock { day }),
        1 => Just(O::Unlock),
        1 => (2026_i32..2028).prop_map(|year| O::Close { year }),
        1 => Just(O::Reopen),
        1 => (0_u8..4).prop_map(|number| O::AddAccount { number }),
        1 => place.prop_map(|which| O::Retire { which }),
        1 => name.clone().prop_map(|name| O::Channel { name }),
        1 => (name, minor.clone()).prop_map(|(name, minor)| O::Hold { name, minor }),
        2 => (which.clone(), 0_u8..3).prop_map(|(which, byte)| O::Attach { which, byte }),
        1 => (which.clone(), 0_u8..3).prop_map(|(which, byte)| O::Detach { which, byte }),
        1 => which.prop_map(|which| O::Prove { which }),
        1 => minor.clone().prop_map(|minor| O::Recur { minor }),
        1 => minor.prop_map(|minor| O::Confirm { minor }),
        4 => Just(O::Undo),
        2 => Just(O::Redo),
    ]
}

fn date(days: u32) -> String {
    (day("2026-01-01") + chrono::Duration::days(days.into())).to_string()
}

fn receipt(byte: u8) -> Vec<u8> {
    vec![byte; 40]
}

fn recording(book: &Book, days: u32, from: usize, to: usize, minor: i64) -> Recording {
    let to = if from == to {
        (to + 1) % ACCOUNTS.len()
    } else {
        to
    };
    Recording::new(entry(
        book,
        &date(days),
        ACCOUNTS[to],
        ACCOUNTS[from],
        minor,
    ))
}

fn apply(book: &mut Book, operation: &Operation) -> Result<(), BookError> {
    use Operation as O;
    match *operation {
        O::Record {
            day,
            from,
            to,
            minor,
        } => {
            let mut recording = recording(book, day, from, to, minor);
            if minor % 3 == 0 {
                recording.proof.state = ProofState::Missing;
                recording.remembered.push(RememberedKind {
                    supplier: "Paper mill".to_owned(),
                    thing: format!("thing {}", minor % 5),
                    account: account(book, ACCOUNTS[to]),
                });
            }
            book.record(&recording).map(|_number| ())
        }
        O::RecordThree { day, minor } => {
            let three = [0, 1, 2].map(|step| recording(book, day + step * 90, 0, 4, minor));
            book.record_all(&three).map(|_numbers| ())
        }
        O::Buy {
            day: days,
            minor,
            name,
        } => {
            let key = format!("press {name}");
            let mut bought = recording(book, days, 0, 2, minor);
            let lines = bought
                .entry
                .lines()
                .iter()
                .cloned()
                .map(|line| line.equipment(&key));
            bought.entry =
                deckle::ledger::JournalEntry::new(bought.entry.header.clone(), lines.collect())
                    .expect("balances");
            bought.equipment.push(Equipment::new(
                key,
                day(&date(days)),
                Money::from_minor(minor),
                36,
            ));
            book.record(&bought).map(|_number| ())
        }
        O::Dispose { name, day: days } => {
            let disposal = Disposal {
                on: day(&date(days)),
                proceeds: Money::ZERO,
            };
            book.dispose(&format!("press {name}"), &disposal, &[])
                .map(|_numbers| ())
        }
        O::Amend { which, day, minor } => {
            let entry = entry(book, &date(day), "6100", "1000", minor);
            book.amend(EntryNumber(which), &entry, "a second look")
        }
        O::Reverse { which, day: days } => book
            .reverse(EntryNumber(which), day(&date(days)), "sent back")
            .map(|_number| ()),
        O::Reclassify { from, to } => {
            let (from, to) = (account(book, ACCOUNTS[from]), account(book, ACCOUNTS[to]));
            book.reclassify(from, to, &EntryFilter::default(), "another kind")
                .map(|_done| ())
        }
        O::Setting { percent } => book.set_settings(&[("set_aside.percent", percent.to_string())]),
        O::FirstDay { day } => book.set_settings(&[("first_day", date(day))]),
        O::Lock { day: days } => book.lock_through(day(&date(days))),
        O::Unlock => book.unlock("a receipt turned up"),
        O::Close { year } => book.close_year(year).map(|_number| ()),
        O::Reopen => book.reopen("a receipt turned up").map(|_number| ()),
        O::AddAccount { number } => {
            let new = NewAccount::new(
                format!("695{number}"),
                format!("Sundries {number}"),
                AccountClass::Expense,
                "Costs",
            );
            book.add_account(&new).map(|_id| ())
        }
        O::Retire { which } => book.retire_account(account(book, ACCOUNTS[which])),
        O::Channel { name } => book.open_channel(&format!("Lane {name}")).map(|_id| ()),
        O::Hold { name, minor } => {
            let channel = book.chart().find(&format!("Lane {name}"))?.id;
            book.add_hold(
                channel,
                Money::from_minor(minor),
                day("2026-02-01"),
                None,
                "",
            )
            .map(|_id| ())
        }
        O::Attach { which, byte } => book
            .attach_receipt(EntryNumber(which), "slip.png", &receipt(byte))
            .map(|_id| ()),
        O::Detach { which, byte } => book.detach(
            EntryNumber(which),
            &deckle::book::ReceiptId::of(&receipt(byte)),
        ),
        O::Prove { which } => {
            let proof = Proof {
                state: ProofState::Substitute,
                stands_in: "a note".to_owned(),
                purpose: "for the cards".to_owned(),
            };
            book.set_proof(EntryNumber(which), &proof)
        }
        O::Recur { minor } => {
            let paid_from = Payment::Account(account(book, "1000"));
            let cost = account(book, "6400");
            let plan = Recurring::new(
                "Plan",
                "Type tools",
                cost,
                paid_from,
                Money::from_minor(minor),
                1,
                day("2026-01-31"),
            );
            book.add_recurring(&plan).map(|_id| ())
        }
        O::Confirm { minor } => {
            let id = book.recurring()?.first().map_or(0, |plan| plan.id);
            book.confirm_recurring(id, &recording(book, 30, 0, 4, minor))
                .map(|_number| ())
        }
        O::Undo => book.undo().map(|_label| ()),
        O::Redo => book.redo().map(|_label| ()),
    }
}

/// Everything the book shows, but for the history and the versions, which never go back.
fn picture(book: &Book) -> String {
    let mut entries = Vec::new();
    book.for_each_entry(|posted| {
        let number = posted.number;
        entries.push(format!(
            "{:?} {:?} {:?} {:?} {:?}",
            posted.entry,
            posted.reverses,
            posted.reversed_by,
            book.proof(number)?,
            book.receipts(number)?
        ));
        Ok::<(), BookError>(())
    })
    .expect("readable");
    format!(
        "{:#?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}",
        entries,
        book.chart().accounts(),
        book.settings(),
        book.equipment().expect("readable"),
        book.recurring().expect("readable"),
        book.holds().expect("readable"),
        book.remembered_kinds().expect("readable"),
        book.balances_to(day("2028-12-31")).expect("readable"),
        book.monthly(
            book.year_start().year_ending_in(2026),
            deckle::book::Closings::With
        )
        .expect("readable"),
    )
}

/// A folder in memory where there is one: these tests write a great deal and prove nothing about disks.
fn quick_folder() -> tempfile::TempDir {
    let memory = std::path::Path::new("/dev/shm");
    if memory.is_dir() {
        tempfile::tempdir_in(memory).expect("a folder")
    } else {
        tempfile::tempdir().expect("a folder")
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_sequence_of_operations_keeps_the_book_sound(operations in prop::collection::vec(operation(), 1..40)) {
        let folder = quick_folder();
        let path = folder.path().join("book.deckle");
        let mut book = Book::create(&path, &new_book()).expect("a book");
        let beginning = picture(&book);
        for operation in &operations {
            let before = (picture(&book), book.revision());
            if let Err(error) = apply(&mut book, operation) {
                prop_assert_eq!(&before, &(picture(&book), book.revision()), "{:?}: {}", operation, error);
                let is_plain = !matches!(error, BookError::Sql(_) | BookError::Damaged { .. } | BookError::Io { .. });
                prop_assert!(is_plain, "{:?}: {}", operation, error);
            }
        }
        assert_clean(&book);
        let end = picture(&book);
        while book.undo().expect("undone").is_some() {}
        prop_assert_eq!(&picture(&book), &beginning);
        assert_clean(&book);
        let all_done = {
            while book.redo().expect("redone").is_some() {}
            picture(&book)
        };
        // What had been undone before the end is redone as well, so walk back to the end only when nothing was.
        if !operations.iter().any(|operation| matches!(operation, Operation::Undo)) {
            prop_assert_eq!(&all_done, &end);
        }
        assert_clean(&book);
        drop(book);
        let again = Book::open(&path).expect("opened");
        prop_assert_eq!(&picture(&again), &all_done);
    }
}
