//! What is kept at the desk: steps, undoing, what is refused.

use deckle::book::BookError;
use deckle::dates::DateRange;
use deckle::desk::{
    Answer, Application, CompanyPaper, Decision, Duty, DutyDone, DutyKind, PaperKind, Question,
    Span, Timer, WorkTime,
};
use deckle::ledger::EntryNumber;
use deckle::money::Money;
use deckle::shared_bills::SharedBill;

use crate::support::{assert_clean, day, raw, recording, test_book};

fn answer(words: &str, on: &str) -> Option<Answer> {
    Some(Answer {
        words: words.to_owned(),
        by: "Brindle & Co".to_owned(),
        on: day(on),
    })
}

#[test]
fn each_step_of_a_question_can_be_undone_and_done_again() {
    let mut test = test_book();
    let book = &mut test.book;
    book.record(&recording(book, "2026-01-05", "6010", "1000", 19_000))
        .expect("recorded");
    let mut question = Question::new("Is the press equipment?", day("2026-02-03"));
    question.entry = Some(EntryNumber(1));
    question.id = book.keep_question(&question).expect("asked");
    let mut answered = question.clone();
    answered.answer = answer("Yes", "2026-02-09");
    book.keep_question(&answered).expect("answered");
    let mut applied = answered.clone();
    applied.application = Some(Application {
        what: "moved to the register".to_owned(),
        entry: Some(EntryNumber(1)),
        on: day("2026-02-10"),
    });
    assert_eq!(book.keep_question(&applied).expect("applied"), question.id);
    assert_eq!(book.questions().expect("read"), vec![applied.clone()]);
    assert_eq!(book.undo_label(), Some("Question about entry 1 applied"));
    for expected in [vec![answered], vec![question], vec![]] {
        book.undo().expect("undone");
        assert_eq!(book.questions().expect("read"), expected);
    }
    for _step in 0..3 {
        book.redo().expect("redone");
    }
    assert_eq!(book.questions().expect("read"), vec![applied]);
    let said: Vec<String> = book
        .changes_since("")
        .expect("read")
        .into_iter()
        .filter(|row| row.action == "question")
        .map(|row| row.what)
        .collect();
    assert_eq!(
        said,
        [
            "Question about entry 1 asked: Is the press equipment?",
            "Question about entry 1 answered: Yes",
            "Question about entry 1 applied: moved to the register",
        ]
    );
    assert_clean(book);
}

#[test]
fn a_question_about_no_entry_of_the_book_is_refused_and_an_answered_one_stays() {
    let mut test = test_book();
    let book = &mut test.book;
    let mut question = Question::new("Which?", day("2026-02-03"));
    question.entry = Some(EntryNumber(4));
    let refused = book.keep_question(&question).expect_err("refused");
    assert!(matches!(refused, BookError::NoSuchEntry(EntryNumber(4))));
    question.entry = None;
    question.id = book.keep_question(&question).expect("asked");
    question.answer = answer("Neither", "2026-02-03");
    book.keep_question(&question).expect("answered");
    let kept = book.remove_question(question.id).expect_err("refused");
    assert!(kept.to_string().contains("what was said is kept"), "{kept}");
    let open = Question::new("Another?", day("2026-02-03"));
    let open = book.keep_question(&open).expect("asked");
    book.remove_question(open).expect("taken out");
    assert_eq!(book.questions().expect("read"), vec![question]);
    assert_clean(book);
}

fn filed(due: &str, on: &str) -> DutyDone {
    DutyDone {
        id: 0,
        due: day(due),
        done_on: day(on),
        amount: Some(Money::ZERO),
        period: None,
        note: String::new(),
        proof: None,
    }
}

#[test]
fn a_duty_that_is_done_moves_on_and_is_put_back_by_undo_or_by_hand() {
    let mut test = test_book();
    let book = &mut test.book;
    let mut duty = Duty::new("Sales tax", DutyKind::SalesTax, day("2026-04-20"));
    duty.every_months = 3;
    duty.period_to = Some(day("2026-03-31"));
    duty.id = book.keep_duty(&duty).expect("kept");
    let first = DutyDone {
        period: duty.period(),
        ..filed("2026-04-20", "2026-04-18")
    };
    book.do_duty(duty.id, &first, Some(("filed.pdf", b"%PDF-1.4 filed")))
        .expect("done");
    let moved = book.duties().expect("read").remove(0);
    assert_eq!(moved.next_day, Some(day("2026-07-20")));
    assert_eq!(moved.period_to, Some(day("2026-06-30")));
    let done = book.duties_done().expect("read")[&duty.id].clone();
    let proof = done[0].proof.clone().expect("a proof");
    let bytes = book.receipt_bytes(&deckle::book::ReceiptId(proof.hash));
    assert_eq!(bytes.expect("kept"), b"%PDF-1.4 filed");
    book.undo().expect("undone");
    assert_eq!(book.duties().expect("read"), vec![duty.clone()]);
    book.redo().expect("redone");
    let again = book.do_duty(duty.id, &first, None).expect_err("refused");
    assert!(again.to_string().contains("already"), "{again}");
    let kept = book.remove_duty(duty.id).expect_err("refused");
    assert!(kept.to_string().contains("is kept"), "{kept}");
    book.take_back_duty(duty.id).expect("due again");
    assert_eq!(book.duties().expect("read"), vec![duty.clone()]);
    assert!(book.duties_done().expect("read").is_empty());
    // A day from before it was kept is history and moves nothing.
    book.do_duty(duty.id, &filed("2026-01-20", "2026-01-19"), None)
        .expect("history");
    assert_eq!(book.duties().expect("read"), vec![duty]);
    assert_clean(book);
}

#[test]
fn the_proof_of_a_duty_is_still_there_when_the_book_is_opened_again() {
    let mut test = test_book();
    let book = &mut test.book;
    let duty = Duty::new("Yearly report", DutyKind::YearlyReport, day("2026-05-01"));
    let id = book.keep_duty(&duty).expect("kept");
    book.do_duty(id, &filed("2026-05-01", "2026-04-30"), None)
        .expect("done");
    let done = book.duties_done().expect("read")[&id][0].id;
    book.prove_duty(done, "report.txt", b"filed").expect("kept");
    let path = test.path();
    test.book.close().expect("closed");
    let book = deckle::book::Book::open(&path).expect("opened");
    let kept = book.duties_done().expect("read")[&id][0].proof.clone();
    let hash = kept.expect("a proof").hash;
    let bytes = book.receipt_bytes(&deckle::book::ReceiptId(hash));
    assert_eq!(bytes.expect("kept"), b"filed");
    assert_clean(&book);
}

fn at(text: &str) -> chrono::NaiveDateTime {
    chrono::NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").expect("a moment")
}

#[test]
fn a_timer_lives_in_the_file_and_stops_only_where_its_time_is_free() {
    let mut test = test_book();
    let book = &mut test.book;
    book.start_timer(&Timer::new(at("2026-03-02 09:00"), "making"))
        .expect("started");
    let twice = book
        .start_timer(&Timer::new(at("2026-03-02 09:05"), "books"))
        .expect_err("refused");
    assert!(
        twice.to_string().contains("runs already, for making"),
        "{twice}"
    );
    let path = test.path();
    test.book.close().expect("closed");
    let mut book = deckle::book::Book::open(&path).expect("opened");
    let running = book.running_timer().expect("read").expect("runs");
    assert_eq!(running.minutes(at("2026-03-02 10:30")), 90);
    let span = Span::new(600, 660).expect("a span");
    let taken = WorkTime::by_clock(day("2026-03-02"), "messages", span);
    let id = book.keep_work_time(&taken).expect("kept");
    let refused = book.stop_timer(at("2026-03-02 10:30")).expect_err("taken");
    assert!(
        refused.to_string().contains("messages from 10:00 to 11:00"),
        "{refused}"
    );
    assert!(book.running_timer().expect("read").is_some());
    book.remove_work_time(id).expect("taken out");
    assert_eq!(
        book.stop_timer(at("2026-03-02 10:30")).expect("stopped"),
        90
    );
    assert_eq!(book.running_timer().expect("read"), None);
    book.undo().expect("undone");
    assert!(book.running_timer().expect("read").is_some());
    book.redo().expect("redone");
    assert_clean(&book);
}

#[test]
fn the_weekly_grid_replaces_only_what_was_told_plainly() {
    let mut test = test_book();
    let book = &mut test.book;
    let monday = day("2026-03-02");
    let mut noted = WorkTime::new(monday, "making", 20);
    noted.note = "samples".to_owned();
    book.keep_work_time(&noted).expect("kept");
    book.put_day_minutes(monday, "making", 90).expect("put");
    book.put_day_minutes(monday, "making", 60).expect("put");
    let all = DateRange::new(monday, monday).expect("a day");
    let minutes = |book: &deckle::book::Book| -> Vec<u32> {
        let times = book.work_times(all).expect("read").into_iter();
        times.map(|time| time.minutes).collect()
    };
    assert_eq!(minutes(book), [20, 60]);
    book.put_day_minutes(monday, "making", 0).expect("put");
    assert_eq!(minutes(book), [20]);
    book.undo().expect("undone");
    assert_eq!(minutes(book), [20, 60]);
    assert_clean(book);
}

#[test]
fn a_decision_is_never_changed_and_its_undoing_leaves_a_trace() {
    let mut test = test_book();
    let book = &mut test.book;
    let decision = Decision {
        id: 0,
        day: day("2026-02-01"),
        what: "Cards cost 4.50".to_owned(),
        why: "paper went up".to_owned(),
        corrects: None,
    };
    let id = book.decide(&decision).expect("written");
    let correction = Decision {
        what: "Cards cost 4.75".to_owned(),
        corrects: Some(id),
        ..decision.clone()
    };
    book.decide(&correction).expect("corrected");
    assert!(book.decide(&correction).is_err());
    book.undo().expect("undone");
    assert_eq!(book.decisions().expect("read").len(), 1);
    let said = book.changes_since("").expect("read");
    assert!(
        said.iter()
            .any(|row| row.what == "Decided: Cards cost 4.75")
    );
    let (_folder, path) = test.let_go();
    let raw = raw(&path);
    let changed = raw.execute("UPDATE decision SET why = 'another'", []);
    assert!(
        changed
            .expect_err("refused")
            .to_string()
            .contains("never changed")
    );
}

#[test]
fn a_copy_of_a_paper_stays_when_the_paper_changes() {
    let mut test = test_book();
    let book = &mut test.book;
    let paper = CompanyPaper::new(PaperKind::Registration);
    let id = book
        .keep_company_paper(&paper, Some(("filed.pdf", b"%PDF-1.4 filed")))
        .expect("kept");
    let mut kept = book.company_papers().expect("read").remove(0);
    assert_eq!((kept.id, kept.proof.is_some()), (id, true));
    kept.kept_at = "blue folder".to_owned();
    book.keep_company_paper(&kept, None).expect("changed");
    assert_eq!(book.company_papers().expect("read"), vec![kept]);
    let number = CompanyPaper::new(PaperKind::TaxNumber);
    let refused = book.keep_company_paper(&number, Some(("letter.pdf", b"x")));
    assert!(
        refused
            .expect_err("refused")
            .to_string()
            .contains("no copy")
    );
    assert_clean(book);
}

#[test]
fn a_share_of_a_bill_is_kept_changed_taken_out_and_undone() {
    let mut test = test_book();
    let book = &mut test.book;
    let phone = SharedBill {
        id: 0,
        what: "Mobile phone".to_owned(),
        party: "Dovetone Mobile".to_owned(),
        share: "40".parse().expect("a share"),
        basis: "Two weeks of calls, 41 of 102 for the business".to_owned(),
        sampled: DateRange::new(day("2026-03-02"), day("2026-03-15")),
        since: day("2026-03-16"),
        note: "the log lies with the bills".to_owned(),
    };
    let id = book.keep_shared_bill(&phone).expect("kept");
    let kept = SharedBill {
        id,
        ..phone.clone()
    };
    assert_eq!(book.shared_bills().expect("readable"), vec![kept.clone()]);
    // The same bill from the same day is no second share, however it is written.
    let again = SharedBill {
        what: "mobile PHONE".to_owned(),
        ..phone.clone()
    };
    let refused = book.keep_shared_bill(&again).expect_err("is there");
    assert!(
        refused
            .to_string()
            .contains("from 16 Mar 2026 is there already"),
        "{refused}"
    );
    let no_basis = SharedBill {
        basis: " ".to_owned(),
        since: day("2026-04-01"),
        ..phone.clone()
    };
    let refused = book
        .keep_shared_bill(&no_basis)
        .expect_err("rests on nothing");
    assert!(refused.to_string().contains("what the share rests on"));
    let changed = SharedBill {
        share: "45".parse().expect("a share"),
        ..kept.clone()
    };
    assert_eq!(book.keep_shared_bill(&changed).expect("changed"), id);
    book.remove_shared_bill(id).expect("taken out");
    assert!(book.remove_shared_bill(id).is_err());
    assert!(book.keep_shared_bill(&changed).is_err());
    assert_eq!(book.shared_bills().expect("readable"), vec![]);
    book.undo().expect("undone");
    assert_eq!(book.shared_bills().expect("readable"), vec![changed]);
    book.undo().expect("undone");
    assert_eq!(book.shared_bills().expect("readable"), vec![kept]);
    book.undo().expect("undone");
    assert_eq!(book.shared_bills().expect("readable"), vec![]);
    for _each in 0..2 {
        book.redo().expect("done again");
    }
    assert_eq!(book.shared_bills().expect("readable").len(), 1);
    let changes = book.changes_since("").expect("readable");
    assert!(
        changes
            .iter()
            .any(|row| row.action == "shared-bill"
                && row.what == "Business share: Mobile phone, 45 %")
    );
    assert_clean(book);
}
