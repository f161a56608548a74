//! Whatever is done in whatever order: the book stays sound, statements agree, and undo gives back what was there.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use deckle::book::{Book, BookError, Closings};
use deckle::dates::{DateRange, Month};
use deckle::depreciation::{Disposal, Equipment, TermsChange, propose};
use deckle::happenings::Recording;
use deckle::ledger::{
    Balances, EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry, Role,
};
use deckle::money::{Money, Percent};
use deckle::statements::{
    balance_sheet, capital_statement, closing_entry, profit_statement, trial_balance,
};
use proptest::prelude::*;

use crate::support::{assert_clean, day, test_book};

/// One thing done to a book; numbers are taken modulo what there is.
#[derive(Clone, Debug)]
enum Deed {
    Record(Draft),
    RecordSeveral(Vec<Draft>),
    Amend(u64, Draft),
    TakeBack(u64, u32),
    BuyEquipment(u32, i64, u32),
    NewTerms(usize, u32, u32, i64),
    Wear(u32),
    LetGo(usize, u32, i64),
    Lock(u32),
    Unlock,
    CloseYear,
    Reopen,
    Undo,
    Redo,
}

/// An entry of one debit and one credit: month, day, two accounts, minor units.
#[derive(Clone, Debug)]
struct Draft(u32, u32, usize, usize, i64);

fn any_draft() -> impl Strategy<Value = Draft> {
    (
        1_u32..=12,
        1_u32..=28,
        0_usize..64,
        0_usize..64,
        1_i64..900_000,
    )
        .prop_map(|(month, on, debit, credit, minor)| Draft(month, on, debit, credit, minor))
}

fn any_deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        5 => any_draft().prop_map(Deed::Record),
        1 => prop::collection::vec(any_draft(), 1..5).prop_map(Deed::RecordSeveral),
        3 => (any::<u64>(), any_draft()).prop_map(|(which, draft)| Deed::Amend(which, draft)),
        2 => (any::<u64>(), 1_u32..=12).prop_map(|(which, month)| Deed::TakeBack(which, month)),
        2 => (1_u32..=12, 1_i64..90_000, 1_u32..40).prop_map(|(m, cost, life)| Deed::BuyEquipment(m, cost, life)),
        1 => (any::<usize>(), 1_u32..=12, 1_u32..60, 0_i64..=100).prop_map(|(w, m, life, share)| Deed::NewTerms(w, m, life, share)),
        2 => (1_u32..=12).prop_map(Deed::Wear),
        1 => (any::<usize>(), 1_u32..=12, 0_i64..50_000).prop_map(|(w, m, got)| Deed::LetGo(w, m, got)),
        1 => (1_u32..=6).prop_map(Deed::Lock),
        1 => Just(Deed::Unlock),
        1 => Just(Deed::CloseYear),
        1 => Just(Deed::Reopen),
        4 => Just(Deed::Undo),
        2 => Just(Deed::Redo),
    ]
}

fn month_end(month: u32) -> NaiveDate {
    Month::new(2026, month).last_day()
}

fn year() -> DateRange {
    DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("in order")
}

fn drafted(book: &Book, draft: &Draft) -> JournalEntry {
    let Draft(month, on, debit, credit, minor) = *draft;
    let accounts = book.chart().accounts();
    let account = |idx: usize| accounts[idx % accounts.len()].id;
    let date = NaiveDate::from_ymd_opt(2026, month, on).expect("a day");
    let amount = Money::from_minor(minor);
    let header = EntryHeader::new(date, EntryKind::Manual).memo("anything");
    let lines = vec![
        Line::debit(account(debit), amount),
        Line::credit(account(credit), amount),
    ];
    JournalEntry::new(header, lines).expect("balances")
}

fn some_entry(book: &Book, which: u64) -> Result<EntryNumber, BookError> {
    let count = book.entry_count()?.max(1);
    Ok(EntryNumber(which % count + 1))
}

fn some_piece(book: &Book, which: usize) -> Result<Option<Equipment>, BookError> {
    let register = book.equipment()?;
    Ok(register.get(which % register.len().max(1)).cloned())
}

/// Does it, as the program would; a refusal is as good as success, as long as nothing changed.
fn attempt(book: &mut Book, deed: &Deed) -> Result<(), BookError> {
    match deed {
        Deed::Record(draft) => {
            let entry = drafted(book, draft);
            book.record(&Recording::new(entry)).map(|_number| ())
        }
        Deed::RecordSeveral(drafts) => {
            let recordings: Vec<Recording> = drafts
                .iter()
                .map(|draft| Recording::new(drafted(book, draft)))
                .collect();
            book.record_all(&recordings).map(|_numbers| ())
        }
        Deed::Amend(which, draft) => {
            let number = some_entry(book, *which)?;
            let entry = drafted(book, draft);
            book.amend(number, &entry, "looked again")
        }
        Deed::TakeBack(which, month) => {
            let number = some_entry(book, *which)?;
            book.reverse(number, month_end(*month), "a mistake")
                .map(|_number| ())
        }
        Deed::BuyEquipment(month, cost, life) => buy(book, *month, *cost, *life),
        Deed::NewTerms(which, month, life_months, share) => {
            let Some(piece) = some_piece(book, *which)? else {
                return Ok(());
            };
            let change = TermsChange {
                from: Month::new(2026, *month).first_day(),
                life_months: *life_months,
                residual: Money::ZERO,
                business_share: Percent::new((*share).into()).expect("a share"),
                reason: "it lasts differently".to_owned(),
            };
            book.change_terms(&piece.key, &change)
        }
        Deed::Wear(month) => {
            let already = book.depreciation_charged()?;
            let proposal = propose(
                &book.equipment()?,
                &already,
                month_end(*month),
                book.year_start(),
            );
            let Ok(entry) = proposal.entry(book.chart(), "") else {
                return Ok(());
            };
            book.record(&Recording::new(entry)).map(|_number| ())
        }
        Deed::LetGo(which, month, proceeds) => let_go(book, *which, *month, *proceeds),
        Deed::Lock(month) => book.lock_through(month_end(*month)),
        Deed::Unlock => book.unlock("a correction"),
        Deed::CloseYear => book.close_year(2026).map(|_number| ()),
        Deed::Reopen => book.reopen("something was forgotten").map(|_number| ()),
        Deed::Undo => book.undo().map(|_label| ()),
        Deed::Redo => book.redo().map(|_label| ()),
    }
}

fn buy(book: &mut Book, month: u32, cost: i64, life: u32) -> Result<(), BookError> {
    let chart = book.chart();
    let (equipment, bank) = (
        chart.role(Role::Equipment)?,
        chart.role(Role::BusinessBank)?,
    );
    let name = format!("Thing {}", book.entry_count()? + 1);
    let on = Month::new(2026, month).first_day();
    let amount = Money::from_minor(cost);
    let piece = Equipment::new(name.clone(), on, amount, life);
    let lines = vec![
        Line::debit(equipment, amount).equipment(name),
        Line::credit(bank, amount),
    ];
    let entry =
        JournalEntry::new(EntryHeader::new(on, EntryKind::Purchase), lines).expect("balances");
    let mut recording = Recording::new(entry);
    recording.equipment.push(piece);
    book.record(&recording).map(|_number| ())
}

fn let_go(book: &mut Book, which: usize, month: u32, proceeds: i64) -> Result<(), BookError> {
    let Some(piece) = some_piece(book, which)? else {
        return Ok(());
    };
    let disposal = Disposal {
        on: month_end(month),
        proceeds: Money::from_minor(proceeds),
    };
    let already = book
        .depreciation_charged()?
        .get(&piece.key)
        .copied()
        .unwrap_or_default();
    let Ok(plan) = piece.plan_disposal(&disposal, already, book.year_start()) else {
        return Ok(());
    };
    let bank = book.chart().role(Role::BusinessBank)?;
    let Ok(entry) = plan.entry(book.chart(), Some(bank), "") else {
        return Ok(());
    };
    let recordings = [Recording::new(entry)];
    book.dispose(&piece.key, &disposal, &recordings)
        .map(|_numbers| ())
}

/// Everything a statement or the register could show.
#[derive(Clone, Debug, PartialEq)]
struct Seen {
    entries: Vec<(
        EntryNumber,
        JournalEntry,
        Option<EntryNumber>,
        Option<EntryNumber>,
    )>,
    balances: Balances,
    equipment: Vec<Equipment>,
    charged: BTreeMap<String, Money>,
    lock: Option<NaiveDate>,
}

fn all_entries(book: &Book) -> Vec<PostedEntry> {
    let count = book.entry_count().expect("readable");
    let numbers: Vec<EntryNumber> = (1..=count).map(EntryNumber).collect();
    book.entries(&numbers).expect("readable")
}

fn seen(book: &Book) -> Seen {
    Seen {
        entries: all_entries(book)
            .into_iter()
            .map(|posted| {
                (
                    posted.number,
                    posted.entry,
                    posted.reverses,
                    posted.reversed_by,
                )
            })
            .collect(),
        balances: book.balances_to(day("2030-12-31")).expect("readable"),
        equipment: book.equipment().expect("readable"),
        charged: book.depreciation_charged().expect("readable"),
        lock: book.lock_date(),
    }
}

/// The kept month balances are the entries' sums, and the statements agree with each other.
fn check_statements(book: &Book) -> Result<(), TestCaseError> {
    let chart = book.chart();
    let posted = all_entries(book);
    let all = book.balances_to(day("2030-12-31")).expect("readable");
    let recomputed = Balances::of_entries(posted.iter().map(|posted| &posted.entry));
    for account in chart.accounts() {
        prop_assert_eq!(
            all.net(account.id),
            recomputed.net(account.id),
            "{}",
            account.name
        );
    }
    let trial = trial_balance(chart, &all);
    prop_assert_eq!(trial.total_debit, trial.total_credit);
    let sheet = balance_sheet(chart, &all, year().to);
    prop_assert!(sheet.is_balanced());
    let during = book.balances(year(), Closings::Without).expect("readable");
    let capital = capital_statement(chart, &Balances::new(), &during, year());
    prop_assert_eq!(capital.closing, sheet.totals.equity);
    let profit = profit_statement(chart, &during, year()).totals.net_profit;
    prop_assert_eq!(capital.profit, profit);
    if let Ok(closing) = closing_entry(chart, &all, year()) {
        let mut closed = all;
        closed.merge(&Balances::of_entries([&closing]));
        prop_assert_eq!(
            balance_sheet(chart, &closed, year().to).totals,
            sheet.totals
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// A refused deed changes nothing, an undone one leaves what was there before it, and one done again what was there
    /// after it; statements agree after every deed, and at the end the check finds no fault.
    #[test]
    fn any_sequence_keeps_the_book_sound(deeds in prop::collection::vec(any_deed(), 1..30)) {
        let mut test = test_book();
        let book = &mut test.book;
        let (mut past, mut future) = (Vec::new(), Vec::new());
        let mut now = seen(book);
        for deed in &deeds {
            let depth = past.len();
            let result = attempt(book, deed);
            let after = seen(book);
            match (deed, result) {
                (_, Err(_)) => prop_assert_eq!(&after, &now, "{:?} was refused", deed),
                (Deed::Undo, Ok(())) => {
                    if let Some(before) = past.pop() {
                        future.push(std::mem::replace(&mut now, before));
                    }
                }
                (Deed::Redo, Ok(())) => {
                    if let Some(again) = future.pop() {
                        past.push(std::mem::replace(&mut now, again));
                    }
                }
                // Nothing to do: nothing charged, nothing in the register.
                (_, Ok(())) if after == now => {}
                (_, Ok(())) => {
                    past.push(std::mem::replace(&mut now, after.clone()));
                    future.clear();
                }
            }
            prop_assert_eq!(&after, &now, "{:?} at depth {}", deed, depth);
            check_statements(book)?;
        }
        assert_clean(book);
    }

    /// An amendment that is undone leaves identical statements, whatever it changed.
    #[test]
    fn amend_and_undo_leave_identical_statements(
        drafts in prop::collection::vec(any_draft(), 1..8),
        which in any::<u64>(),
        changed in any_draft(),
    ) {
        let mut test = test_book();
        let book = &mut test.book;
        for draft in &drafts {
            let entry = drafted(book, draft);
            book.record(&Recording::new(entry)).expect("an open period");
        }
        let before = seen(book);
        let number = some_entry(book, which).expect("readable");
        let entry = drafted(book, &changed);
        book.amend(number, &entry, "looked again").expect("an open period");
        book.undo().expect("can be undone");
        prop_assert_eq!(seen(book), before);
        assert_clean(book);
    }
}

/// Found by the sequences above: taking back what took a purchase back would bring its equipment's lines back without
/// its row in the register.
#[test]
fn what_takes_an_entry_back_is_not_taken_back_itself() {
    let mut test = test_book();
    let book = &mut test.book;
    buy(book, 1, 10_000, 12).expect("an open period");
    let back = book
        .reverse(EntryNumber(1), month_end(1), "sent back")
        .expect("taken back");
    let before = seen(book);
    let refused = book.reverse(back, month_end(2), "kept after all");
    assert!(matches!(refused, Err(BookError::IsReversal(number)) if number == back));
    assert_eq!(seen(book), before);
    assert_clean(book);
}
