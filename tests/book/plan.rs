//! The start-up plan in the file: kept, changed, refused, undone, linked to entries, and found by the check.

use deckle::book::{Book, BookError};
use deckle::happenings::{Happening, Payment, Purchase, PurchaseDetails, PurchaseLine};
use deckle::ledger::EntryNumber;
use deckle::money::Money;
use deckle::plan::{CostRange, How, Need, PlanKind, PlanLine, PlanMoney, read_month};
use deckle::reports;
use deckle::statements::StartUpGroup;

use crate::support::{TestBook, account, assert_clean, day, raw, test_book};

fn cents(minor: i64) -> Money {
    Money::from_minor(minor)
}

fn press() -> PlanLine {
    let mut line = PlanLine::new("Book press", PlanKind::Equipment, cents(45_000));
    line.cost = CostRange {
        low: cents(40_000),
        likely: cents(45_000),
        high: cents(50_000),
    };
    line.month = read_month("2026-02").ok();
    line.how = Some(How::New);
    line.note = "seen at a maker's sale".to_owned();
    line
}

fn second_hand() -> PlanLine {
    let mut line = PlanLine::new("Old press", PlanKind::Equipment, cents(18_000));
    line.alternative_of = Some("book press".to_owned());
    line.how = Some(How::SecondHand);
    line
}

fn chosen(book: &Book) -> Vec<String> {
    let plan = book.plan().expect("readable");
    plan.counted().map(|line| line.name.clone()).collect()
}

fn planned() -> TestBook {
    let mut test = test_book();
    test.book.keep_plan_line(&press()).expect("kept");
    test.book.keep_plan_line(&second_hand()).expect("kept");
    let mut sign = PlanLine::new("Sign", PlanKind::Other, cents(2_500));
    sign.need = Need::Later;
    test.book.keep_plan_line(&sign).expect("kept");
    test
}

#[test]
fn a_plan_is_kept_as_it_was_said() {
    let mut test = planned();
    let money = PlanMoney {
        id: 0,
        month: read_month("2026-03").ok(),
        amount: cents(40_000),
        note: "tax refund".to_owned(),
    };
    test.book.add_plan_money(&money).expect("kept");
    let now = PlanMoney {
        month: None,
        amount: cents(80_000),
        ..money.clone()
    };
    test.book.add_plan_money(&now).expect("kept");
    // The one kept last took the choice.
    assert_eq!(chosen(&test.book), ["Old press", "Sign"]);
    assert_clean(&test.book);
    let (_folder, path) = test.let_go();
    let book = Book::open(&path).expect("opened");
    let plan = book.plan().expect("readable");
    let expected = PlanLine {
        id: plan.lines[0].id,
        is_chosen: false,
        ..press()
    };
    assert_eq!(plan.lines[0], expected);
    assert_eq!(plan.lines[1].alternative_of.as_deref(), Some("Book press"));
    let money: Vec<i64> = plan
        .money
        .iter()
        .map(|money| money.amount.minor())
        .collect();
    assert_eq!(money, [80_000, 40_000]);
}

#[test]
fn each_change_of_a_plan_is_undone_and_done_again() {
    let mut test = planned();
    let book = &mut test.book;
    let first = book.plan().expect("readable");
    let mut renamed = first.lines[0].clone();
    renamed.name = "Nipping press".to_owned();
    renamed.is_chosen = true;
    book.keep_plan_line(&renamed).expect("kept");
    let second = book.plan().expect("readable");
    assert_eq!(chosen(book), ["Nipping press", "Sign"]);
    assert_eq!(
        second.lines[1].alternative_of.as_deref(),
        Some("Nipping press")
    );
    book.remove_plan_line(renamed.id).expect("removed");
    let third = book.plan().expect("readable");
    // What was another way stands on its own now and counts.
    assert_eq!(chosen(book), ["Old press", "Sign"]);
    assert_eq!(third.lines[0].alternative_of, None);
    assert!(book.undo().expect("undone").is_some());
    assert_eq!(book.plan().expect("readable"), second);
    assert!(book.undo().expect("undone").is_some());
    assert_eq!(book.plan().expect("readable"), first);
    assert!(book.redo().expect("redone").is_some());
    assert!(book.redo().expect("redone").is_some());
    assert_eq!(book.plan().expect("readable"), third);
    assert_clean(book);
    let history = book.recent_history(20).expect("readable");
    let notes = |what: &str| {
        history
            .iter()
            .any(|row| row.action == "plan" && row.what.contains(what))
    };
    assert!(notes("Planned: Book press") && notes("Taken off the plan: Nipping press"));
}

#[track_caller]
fn check_refused(test: &mut TestBook, line: &PlanLine, words: &str) {
    let before = test.book.plan().expect("readable");
    let history = test.book.recent_history(1).expect("readable");
    let error = test
        .book
        .keep_plan_line(line)
        .expect_err("refused")
        .to_string();
    assert!(error.contains(words), "{error}");
    assert_eq!(test.book.plan().expect("readable"), before);
    assert_eq!(test.book.recent_history(1).expect("readable"), history);
}

#[test]
fn what_cannot_be_is_refused_and_changes_nothing() {
    let mut test = planned();
    let line = |name: &str| PlanLine::new(name, PlanKind::Other, cents(100));
    check_refused(&mut test, &line("BOOK PRESS"), "already");
    check_refused(&mut test, &line("  "), "name");
    let mut wrong = line("Ruler");
    wrong.alternative_of = Some("Nobody".to_owned());
    check_refused(&mut test, &wrong, "no 'Nobody'");
    wrong.alternative_of = Some("Old press".to_owned());
    check_refused(&mut test, &wrong, "another way");
    wrong.alternative_of = None;
    wrong.cost.low = cents(200);
    check_refused(&mut test, &wrong, "more than the likely");
    wrong.cost.low = cents(100);
    wrong.id = 99;
    check_refused(&mut test, &wrong, "no line of the plan");
    let two = [line("Ruler"), line("ruler")];
    assert!(test.book.add_plan_lines(&two).is_err());
    let mut both = second_hand();
    both.name = "Third press".to_owned();
    assert!(test.book.add_plan_lines(&[both]).is_err());
    let none = PlanMoney {
        id: 0,
        month: None,
        amount: Money::ZERO,
        note: String::new(),
    };
    assert!(test.book.add_plan_money(&none).is_err());
    assert!(matches!(
        test.book.remove_plan_money(7),
        Err(BookError::NoSuch { .. })
    ));
    assert_clean(&test.book);
}

/// Buys a press second-hand for 165.00 and thread for 20.00 on one receipt.
fn buy(book: &mut Book) -> EntryNumber {
    let lines = vec![
        PurchaseLine::new(account(book, "6010"), cents(16_500), "Old press"),
        PurchaseLine::new(account(book, "1200"), cents(2_000), "Thread"),
    ];
    let bank = Payment::Account(account(book, "1000"));
    let details = PurchaseDetails::new(day("2026-02-10"), "Private seller", bank, lines);
    let purchase = Purchase::new(details).expect("a purchase");
    let recording = purchase.recording(book.chart()).expect("an entry");
    book.record(&recording).expect("kept")
}

#[test]
fn a_purchase_belongs_to_its_line_once() {
    let mut test = planned();
    let book = &mut test.book;
    let number = buy(book);
    let plan = book.plan().expect("readable");
    let (old, sign) = (plan.lines[1].id, plan.lines[2].id);
    let words = |result: Result<(), BookError>| result.expect_err("refused").to_string();
    assert!(words(book.link_plan(99, number, "")).contains("no line of the plan"));
    assert!(words(book.link_plan(old, EntryNumber(9), "")).contains("no entry 9"));
    assert!(words(book.link_plan(old, number, "Paper")).contains("called 'Paper'"));
    book.link_plan(old, number, "old press").expect("kept");
    assert!(words(book.link_plan(sign, number, "Old Press")).contains("belongs to 'Old press'"));
    assert!(words(book.link_plan(sign, number, "")).contains("already"));
    book.link_plan(sign, number, "Thread").expect("kept");
    let report = reports::plan(book, day("2026-03-01")).expect("readable");
    assert_eq!(report.actual.lines[1].actual, cents(16_500));
    assert_eq!(report.actual.lines[2].actual, cents(2_000));
    assert_eq!(report.actual.actual, cents(18_500));
    assert_eq!(report.actual.to_buy.likely, Money::ZERO);

    // An amended entry keeps its lines' purchases; one that is taken back counts nothing.
    let mut entry = book.entry(number).expect("there").entry;
    entry.header.memo = "from the paper".to_owned();
    book.amend(number, &entry, "a note").expect("amended");
    let spent = |book: &Book| {
        reports::plan(book, day("2026-03-01"))
            .expect("readable")
            .actual
            .actual
    };
    assert_eq!(spent(book), cents(18_500));
    book.reverse(number, day("2026-02-11"), "given back")
        .expect("taken back");
    assert_eq!(spent(book), Money::ZERO);
    book.undo().expect("undone");
    assert_eq!(spent(book), cents(18_500));
    assert_clean(book);

    // Taking the line off the plan leaves the purchase in the books.
    book.remove_plan_line(old).expect("removed");
    assert_eq!(book.plan_purchases().expect("readable").len(), 1);
    book.undo().expect("undone");
    let link = book.plan_purchases().expect("readable")[0].id;
    book.unlink_plan(link).expect("taken off");
    assert_eq!(spent(book), cents(2_000));
    // Back to the beginning: links go before the entry they name.
    while book.undo().expect("undone").is_some() {}
    assert_eq!(book.entry_count().expect("readable"), 0);
    assert!(book.plan().expect("readable").is_empty());
    assert_clean(book);
}

#[test]
fn an_account_counts_where_the_owner_says() {
    let mut test = test_book();
    let book = &mut test.book;
    buy(book);
    let tools = account(book, "6010");
    let bank = account(book, "1000");
    assert!(
        book.mark_start_up(bank, Some(StartUpGroup::Packaging))
            .is_err()
    );
    book.mark_start_up(tools, Some(StartUpGroup::CompanyForming))
        .expect("kept");
    book.mark_start_up(tools, Some(StartUpGroup::StartUpCosts))
        .expect("kept");
    let cost = reports::start_cost(book, day("2026-03-01")).expect("readable");
    assert_eq!(
        cost.group(StartUpGroup::StartUpCosts),
        (cents(16_500), Money::ZERO)
    );
    assert_eq!(cost.to_rule(), cents(16_500));
    book.mark_start_up(tools, None).expect("kept");
    let cost = reports::start_cost(book, day("2026-03-01")).expect("readable");
    assert_eq!(cost.to_rule(), Money::ZERO);
    book.undo().expect("undone");
    assert_eq!(book.start_up_marks().expect("readable").len(), 1);
    assert_clean(book);
}

#[test]
fn another_program_cannot_make_a_plan_that_is_none() {
    let test = planned();
    let (_folder, path) = test.let_go();
    let conn = raw(&path);
    for sql in [
        "UPDATE plan_line SET is_chosen = 1",
        "UPDATE plan_line SET low = high + 1",
        "UPDATE plan_line SET month = '2026-13'",
        "UPDATE plan_line SET alternative_of = id",
        "UPDATE plan_line SET kind = 'machine'",
        "UPDATE plan_line SET alternative_of = 77",
        "INSERT INTO plan_money (month, amount, note) VALUES (NULL, 0, '')",
    ] {
        assert!(conn.execute(sql, []).is_err(), "{sql}");
    }
    conn.execute("UPDATE plan_line SET is_chosen = 0", [])
        .expect("done");
    drop(conn);
    let book = Book::open(&path).expect("opened");
    let faults = book.check().expect("readable");
    assert!(
        faults
            .iter()
            .any(|fault| fault.part == "plan" && fault.what.contains("none of the ways")),
        "{faults:?}"
    );
}
