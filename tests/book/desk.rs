//! What is kept at the desk: steps, undoing, what is refused.

use deckle::book::BookError;
use deckle::desk::{Answer, Application, Question};
use deckle::ledger::EntryNumber;

use crate::support::{assert_clean, day, recording, test_book};

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
