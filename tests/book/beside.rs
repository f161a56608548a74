//! What stands beside the entries: accounts, channels, equipment, receipts, recurring purchases, memory, settings.

use deckle::book::{Book, BookError, BroughtFile, EntryFilter, NewAccount, ReceiptId, ShopReport};
use deckle::dates::DateRange;
use deckle::depreciation::{Disposal, Equipment, TermsChange};
use deckle::happenings::{Payment, Proof, ProofState, RememberedKind};
use deckle::ledger::{AccountClass, EntryKind, EntryNumber, Line};
use deckle::money::{Money, Percent};
use deckle::recurring::Recurring;
use deckle::reports::channels;

use crate::support::{account, assert_clean, day, entry, recording, test_book};

fn press() -> Equipment {
    let mut press = Equipment::new(
        "Nipping press",
        day("2026-01-05"),
        Money::from_minor(48_000),
        60,
    );
    press.supplier = "Estate sale".to_owned();
    press
}

#[test]
fn accounts_are_added_changed_and_retired_and_undone() {
    let mut test = test_book();
    let book = &mut test.book;
    let new = NewAccount::new("6420.5", "Binding courses", AccountClass::Expense, "Costs");
    let id = book.add_account(&new).expect("added");
    assert_eq!(book.chart().find("binding courses").expect("there").id, id);
    let again = book.add_account(&new).expect_err("twice");
    assert!(again.to_string().contains("two accounts"), "{again}");
    let mut changed = book.chart().account(id).expect("there").clone();
    changed.number = "6421".to_owned();
    book.update_account(&changed).expect("changed");
    book.retire_account(id).expect("retired");
    assert!(!book.chart().account(id).expect("there").is_active);
    for _step in 0..3 {
        book.undo().expect("undone");
    }
    assert!(book.chart().account(id).is_err());
    book.redo().expect("redone");
    assert_eq!(book.chart().account(id).expect("there").number, "6420.5");
    assert_clean(book);
}

/// While a period runs, its last day says nothing of what is held now.
#[test]
fn a_period_that_runs_shows_what_is_held_today() {
    let mut test = test_book();
    let book = &mut test.book;
    let channel = book.open_channel("Lanternpost Shop").expect("opened");
    let until = Some(day("2026-05-15"));
    book.add_hold(
        channel,
        Money::from_minor(4_000),
        day("2026-03-01"),
        until,
        "reserve",
    )
    .expect("held");
    let year = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a range");
    let quarter = DateRange::new(day("2026-01-01"), day("2026-03-31")).expect("a range");
    for (range, today, held) in [
        (year, "2026-02-28", 0),
        (year, "2026-04-10", 4_000),
        (year, "2026-05-15", 0),
        (year, "2027-01-05", 0),
        (quarter, "2026-11-25", 4_000),
    ] {
        let summaries = channels(book, range, day(today)).expect("readable");
        let shop = summaries
            .iter()
            .find(|one| one.account == channel)
            .expect("it is there");
        assert_eq!(shop.held.minor(), held, "on {today}");
        assert_eq!(shop.available().minor(), -held, "on {today}");
    }
}

#[test]
fn an_account_in_use_keeps_its_class() {
    let mut test = test_book();
    let book = &mut test.book;
    book.record(&recording(book, "2026-01-05", "6000", "1000", 2_950))
        .expect("recorded");
    let mut consumables = book.chart().find("6000").expect("there").clone();
    consumables.class = AccountClass::Asset;
    assert!(book.update_account(&consumables).is_err());
    assert_eq!(
        book.chart().find("6000").expect("there").class,
        AccountClass::Expense
    );
}

#[test]
fn a_channel_is_opened_once_and_holds_money() {
    let mut test = test_book();
    let book = &mut test.book;
    let channel = book.open_channel("Maker lane").expect("opened");
    assert_eq!(book.open_channel("maker lane").expect("there"), channel);
    assert!(book.chart().account(channel).expect("there").is_channel());
    assert!(book.open_channel("Consumables").is_err());
    let amount = Money::from_minor(2_500);
    let until = Some(day("2026-03-01"));
    let hold = book
        .add_hold(channel, amount, day("2026-02-01"), until, "reserve")
        .expect("held");
    assert_eq!(
        book.held(channel, day("2026-02-15")).expect("readable"),
        amount
    );
    assert_eq!(
        book.held(channel, day("2026-03-01")).expect("readable"),
        Money::ZERO
    );
    book.release_hold(hold, day("2026-02-10"))
        .expect("released");
    assert_eq!(
        book.held(channel, day("2026-02-15")).expect("readable"),
        Money::ZERO
    );
    book.set_reported_gross(channel, 2026, Some(Money::from_minor(9_900)))
        .expect("set");
    assert_eq!(
        book.reported_gross(channel, 2026).expect("readable"),
        Some(Money::from_minor(9_900))
    );
    // What is said of the report stays when its amount is put right, and goes with the report.
    let looked = ShopReport {
        amount: Money::from_minor(9_900),
        name_right: Some(false),
        note: "the number is the owner's".to_owned(),
    };
    book.set_shop_report(channel, 2026, Some(&looked))
        .expect("set");
    book.set_reported_gross(channel, 2026, Some(Money::from_minor(9_950)))
        .expect("set");
    let right = ShopReport {
        amount: Money::from_minor(9_950),
        ..looked.clone()
    };
    let kept = |book: &Book| book.shop_report(channel, 2026).expect("readable");
    assert_eq!(kept(book), Some(right));
    book.undo().expect("undone");
    assert_eq!(kept(book), Some(looked));
    book.set_reported_gross(channel, 2026, None)
        .expect("forgotten");
    assert_eq!(kept(book), None);
    assert_clean(book);
}

#[test]
fn equipment_joins_changes_goes_and_comes_back() {
    let mut test = test_book();
    let book = &mut test.book;
    let mut bought = recording(book, "2026-01-05", "1500", "1000", 48_000);
    bought.entry = deckle::ledger::JournalEntry::new(
        bought.entry.header.clone(),
        vec![
            Line::debit(account(book, "1500"), Money::from_minor(48_000))
                .equipment("Nipping press"),
            Line::credit(account(book, "1000"), Money::from_minor(48_000)),
        ],
    )
    .expect("balances");
    bought.equipment.push(press());
    let number = book.record(&bought).expect("recorded");
    assert_eq!(
        book.piece("nipping PRESS").expect("there").purchase_entry,
        Some(number)
    );
    let twice = book.record(&bought).expect_err("twice");
    assert!(
        twice.to_string().contains("in the register already"),
        "{twice}"
    );
    assert_eq!(book.entry_count().expect("readable"), 1);
    let change = TermsChange {
        from: day("2026-07-01"),
        life_months: 72,
        residual: Money::ZERO,
        business_share: Percent::WHOLE,
        reason: "it lasts longer".to_owned(),
    };
    book.change_terms("Nipping press", &change)
        .expect("changed");
    let disposal = Disposal {
        on: day("2026-09-01"),
        proceeds: Money::ZERO,
    };
    let mut gone = recording(book, "2026-09-01", "7000", "1500", 48_000);
    gone.entry.header.kind = EntryKind::Disposal;
    gone.entry = deckle::ledger::JournalEntry::new(
        gone.entry.header.clone(),
        gone.entry
            .lines()
            .iter()
            .cloned()
            .map(|line| line.equipment("Nipping press"))
            .collect(),
    )
    .expect("balances");
    let numbers = book
        .dispose("Nipping press", &disposal, &[gone])
        .expect("gone");
    let piece = book.piece("Nipping press").expect("there");
    assert_eq!(
        (piece.disposal, piece.changes.len()),
        (Some(disposal.clone()), 1)
    );
    assert!(book.dispose("Nipping press", &disposal, &[]).is_err());
    book.reverse(numbers[0], day("2026-09-02"), "it was found again")
        .expect("reversed");
    assert_eq!(book.piece("Nipping press").expect("there").disposal, None);
    assert!(book.remove_equipment("Nipping press").is_err());
    book.reverse(number, day("2026-09-03"), "the seller took it back")
        .expect("reversed");
    assert!(book.piece("Nipping press").is_err());
    assert_clean(book);
    while book.undo().expect("undone").is_some() {}
    assert!(book.equipment().expect("readable").is_empty());
    assert_clean(book);
    while book.redo().expect("redone").is_some() {}
    assert_eq!(book.entry_count().expect("readable"), 4);
    assert_clean(book);
}

#[test]
fn a_line_of_unregistered_equipment_is_a_fault() {
    let mut test = test_book();
    let book = &mut test.book;
    let mut bought = recording(book, "2026-01-05", "1500", "1000", 48_000);
    let lines = bought
        .entry
        .lines()
        .iter()
        .cloned()
        .map(|line| line.equipment("Ghost"));
    bought.entry = deckle::ledger::JournalEntry::new(bought.entry.header.clone(), lines.collect())
        .expect("balances");
    book.record(&bought).expect("recorded");
    let faults = book.check().expect("checked");
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].to_string().contains("'Ghost'"));
}

#[test]
fn a_receipt_is_kept_once_and_completes_its_entry() {
    let mut test = test_book();
    let book = &mut test.book;
    let bytes = b"%PDF-1.4 receipt of the paper mill";
    for date in ["2026-01-05", "2026-01-06"] {
        let mut bought = recording(book, date, "6000", "1000", 2_950);
        bought.proof.state = ProofState::Missing;
        book.record(&bought).expect("recorded");
    }
    let (one, two) = (EntryNumber(1), EntryNumber(2));
    assert_eq!(
        book.entries_with_proof(ProofState::Missing)
            .expect("readable"),
        [one, two]
    );
    let id = book
        .attach_receipt(one, "paper.pdf", bytes)
        .expect("attached");
    assert_eq!(
        book.attach_receipt(two, "paper again.pdf", bytes)
            .expect("attached"),
        id
    );
    assert!(book.attach_receipt(two, "paper again.pdf", bytes).is_err());
    assert_eq!(
        book.proof(one).expect("readable").state,
        ProofState::Complete
    );
    assert_eq!(
        book.receipts(two).expect("readable")[0].media_type,
        "application/pdf"
    );
    assert_eq!(book.receipt_bytes(&id).expect("there"), bytes);
    book.detach(one, &id).expect("detached");
    assert_eq!(
        book.proof(one).expect("readable").state,
        ProofState::Missing
    );
    book.undo().expect("undone");
    assert_eq!(book.receipts(one).expect("readable").len(), 1);
    assert_clean(book);
    assert!(book.attach_receipt(EntryNumber(9), "x", bytes).is_err());
    assert!(book.attach_receipt(one, "empty", b"").is_err());
    assert!(book.receipt_bytes(&ReceiptId("0".repeat(64))).is_err());
    let proof = Proof {
        state: ProofState::Substitute,
        stands_in: "note of the flea market".to_owned(),
        purpose: "for the cards".to_owned(),
    };
    book.set_proof(two, &proof).expect("set");
    assert_eq!(book.proof(two).expect("readable"), proof);
    let path = test.path();
    let size = |path: &std::path::Path| {
        crate::support::raw(path)
            .query_row("SELECT count(*) FROM receipt", [], |row| {
                row.get::<_, i64>(0)
            })
            .expect("counted")
    };
    let _folder = test.folder;
    test.book.close().expect("closed");
    assert_eq!(size(&path), 1);
}

#[test]
fn a_recurring_purchase_is_confirmed_or_skipped() {
    let mut test = test_book();
    let book = &mut test.book;
    let software = account(book, "6400");
    let paid_from = Payment::Account(account(book, "1000"));
    let plan = Recurring::new(
        "Layout software",
        "Type tools",
        software,
        paid_from,
        Money::from_minor(1_200),
        1,
        day("2026-01-31"),
    );
    let id = book.add_recurring(&plan).expect("added");
    let bought = recording(book, "2026-01-31", "6400", "1000", 1_200);
    book.confirm_recurring(id, &bought).expect("confirmed");
    assert_eq!(
        book.recurring().expect("readable")[0].next_due,
        day("2026-02-28")
    );
    assert_eq!(book.skip_recurring(id).expect("skipped"), day("2026-03-31"));
    book.undo().expect("undone");
    book.undo().expect("undone");
    assert_eq!(book.entry_count().expect("readable"), 0);
    let kept = &book.recurring().expect("readable")[0];
    assert_eq!(
        (kept.next_due, kept.paid_from),
        (day("2026-01-31"), paid_from)
    );
    let ended = Recurring {
        is_active: false,
        ..kept.clone()
    };
    book.update_recurring(&ended).expect("ended");
    assert!(book.skip_recurring(99).is_err());
    assert_clean(book);
}

#[test]
fn what_is_remembered_moves_with_its_kind() {
    let mut test = test_book();
    let book = &mut test.book;
    let (consumables, materials) = (account(book, "6000"), account(book, "1200"));
    let mut bought = recording(book, "2026-01-05", "6000", "1000", 2_950);
    bought.remembered.push(RememberedKind {
        supplier: "Paper mill".to_owned(),
        thing: "Rag paper".to_owned(),
        account: consumables,
    });
    book.record(&bought).expect("recorded");
    book.record(&recording(book, "2026-02-05", "6000", "1000", 3_100))
        .expect("recorded");
    let remembered = |book: &deckle::book::Book| {
        book.remembered_kind("paper MILL", "rag paper")
            .expect("readable")
    };
    assert_eq!(remembered(book), Some(consumables));
    book.lock_through(day("2026-01-31")).expect("locked");
    let done = book
        .reclassify(
            consumables,
            materials,
            &EntryFilter::default(),
            "the buyer carries it home",
        )
        .expect("moved");
    assert_eq!(
        (done.moved, done.left),
        (vec![EntryNumber(2)], vec![EntryNumber(1)])
    );
    assert_eq!(remembered(book), Some(materials));
    assert_eq!(
        book.entry(EntryNumber(2)).expect("there").entry.lines()[0].account,
        materials
    );
    book.undo().expect("undone");
    assert_eq!(remembered(book), Some(consumables));
    let usual = book
        .usual_amounts(EntryKind::Manual, "paper mill")
        .expect("readable");
    assert_eq!(usual, [Money::from_minor(3_100), Money::from_minor(2_950)]);
    assert_clean(book);
}

#[test]
fn a_file_is_brought_once() {
    let mut test = test_book();
    let book = &mut test.book;
    let file = BroughtFile {
        hash: "abc".to_owned(),
        name: "january.csv".to_owned(),
        kind: "entries".to_owned(),
    };
    assert_eq!(
        book.file_was_brought("abc", "entries").expect("readable"),
        None
    );
    let two = vec![recording(book, "2026-01-05", "6000", "1000", 2_950); 2];
    book.bring(&two, &file).expect("brought");
    let (_at, name) = book
        .file_was_brought("abc", "entries")
        .expect("readable")
        .expect("known");
    assert_eq!(name, "january.csv");
    assert_eq!(
        book.undo().expect("undone").as_deref(),
        Some("Brought in january.csv")
    );
    assert_eq!(book.entry_count().expect("readable"), 0);
    assert_eq!(
        book.file_was_brought("abc", "entries").expect("readable"),
        None
    );
}

#[test]
fn settings_are_checked_by_key() {
    let mut test = test_book();
    let book = &mut test.book;
    let refused = |book: &mut deckle::book::Book, key: &str, value: &str| {
        book.set_settings(&[(key, value)])
            .expect_err("refused")
            .to_string()
    };
    assert!(refused(book, "colour", "red").contains("equipment_threshold"));
    assert!(refused(book, "costing", "guess").contains("average, fifo"));
    assert!(refused(book, "year_starts", "13").contains("1 to 12"));
    assert!(refused(book, "equipment_threshold", "12.345").contains("equipment_threshold"));
    assert!(refused(book, "first_day", "2026-02-30").contains("2026-02-30"));
    book.set_settings(&[("set_aside.percent", "30"), ("owner_rate", "18")])
        .expect("set");
    assert_eq!(book.settings().set_aside_percent().to_string(), "30");
    assert_eq!(book.settings().get("owner_rate"), Some("18.00"));
    book.record(&recording(book, "2026-02-05", "6000", "1000", 2_950))
        .expect("recorded");
    assert!(matches!(
        book.set_settings(&[("currency", "EUR")]),
        Err(BookError::Refused(_))
    ));
    assert!(book.set_settings(&[("first_day", "2026-03-01")]).is_err());
    book.set_settings(&[("first_day", "2026-02-05")])
        .expect("nothing lies before it");
    assert!(book.set_settings(&[("currency", "")]).is_err());
}

#[test]
fn several_writes_are_one_or_none() {
    let mut test = test_book();
    let book = &mut test.book;
    let sheet = |book: &mut deckle::book::Book, is_good: bool| {
        book.group("Sheet brought in", |book| {
            let id = book.add_account(&NewAccount::new(
                "6999",
                "Sundries",
                AccountClass::Expense,
                "Costs",
            ))?;
            assert_eq!(book.chart().find("6999").expect("seen at once").id, id);
            book.record(&recording(book, "2026-02-05", "6999", "1000", 2_950))?;
            let swallowed = book.record(&recording(book, "2025-02-05", "6999", "1000", 2_950));
            assert!(swallowed.is_err());
            if is_good {
                Ok(())
            } else {
                Err(BookError::NoSuchEntry(EntryNumber(7)))
            }
        })
    };
    assert!(sheet(book, false).is_err());
    assert!(book.chart().find("6999").is_err());
    assert_eq!(book.entry_count().expect("readable"), 0);
    sheet(book, true).expect("kept");
    assert_eq!(book.entry_count().expect("readable"), 1);
    assert_eq!(
        book.undo().expect("undone").as_deref(),
        Some("Sheet brought in")
    );
    assert!(book.chart().find("6999").is_err());
    assert_eq!(book.undo_label(), None);
    assert_clean(book);
}

#[test]
fn a_search_finds_words_amounts_and_numbers() {
    let mut test = test_book();
    let book = &mut test.book;
    let mut bought = recording(book, "2026-01-05", "6000", "1000", 2_950);
    bought.entry.header.reference = "50%_off".to_owned();
    book.record(&bought).expect("recorded");
    book.record(&recording(book, "2026-02-05", "6000", "1000", 310))
        .expect("recorded");
    let found = |text: &str| -> Vec<u64> {
        let found = book.search(text, 10).expect("readable");
        found.iter().map(|found| found.number.0).collect()
    };
    assert_eq!(found("RAG"), [2, 1]);
    assert_eq!(found("29.50"), [1]);
    assert_eq!(found("#2"), [2]);
    assert_eq!(found("%_"), [1]);
    assert!(found("vellum").is_empty());
    let filter = EntryFilter {
        party: Some("paper MILL".to_owned()),
        account: Some(account(book, "1000")),
        ..EntryFilter::default()
    };
    assert_eq!(book.entry_numbers(&filter).expect("readable").len(), 2);
    assert_eq!(
        entry(book, "2026-01-05", "6000", "1000", 1).lines().len(),
        2
    );
}

#[test]
fn kept_forms_stay_out_of_undoing_until_they_are_written_or_thrown_away() {
    let mut test = test_book();
    let book = &mut test.book;
    let first = recording(book, "2026-01-05", "1000", "3000", 50_000);
    book.record(&first).expect("recorded");
    let kept = book.keep_draft("A purchase", "{}", None).expect("kept");
    let again = book
        .keep_draft("A purchase, glue", "{\"a\":1}", Some(kept))
        .expect("kept again");
    assert_ne!(kept, again);
    let names = |book: &deckle::book::Book| -> Vec<String> {
        let names = book.draft_names().expect("read");
        names.into_iter().map(|(_id, name)| name).collect()
    };
    assert_eq!(names(book), ["A purchase, glue"]);
    assert_eq!(book.draft(kept).expect("read"), None);
    // Undoing takes the entry back, not the form.
    book.undo().expect("undone");
    assert_eq!(
        (book.entry_count().expect("count"), names(book).len()),
        (0, 1)
    );
    // Keeping another form leaves what can be done again.
    book.keep_draft("A sale", "{}", None).expect("kept");
    book.redo().expect("done again");
    assert_eq!(
        (book.entry_count().expect("count"), names(book).len()),
        (1, 2)
    );
    // Written down from the form as one thing, and undone as one, beside whatever was kept since.
    let second = recording(book, "2026-01-06", "1000", "3000", 100);
    book.group("written", |book| {
        book.record(&second)?;
        book.drop_draft(again)
    })
    .expect("written");
    book.keep_draft("A payout", "{}", None).expect("kept");
    assert_eq!(names(book), ["A sale", "A payout"]);
    book.undo().expect("undone");
    assert_eq!(names(book), ["A purchase, glue", "A sale", "A payout"]);
    let content = book.draft(again).expect("read").expect("there").content;
    assert_eq!(content, "{\"a\":1}");
    assert_clean(book);
}
