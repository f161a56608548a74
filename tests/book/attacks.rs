//! Another program writes into the file: what SQLite itself refuses, and what the check finds when the safeguards
//! were taken out first.

use deckle::book::Book;

use crate::support::{TestBook, day, raw, recording, test_book};

/// Three entries in a locked year, two after it, a receipt on the fourth.
fn used_book() -> TestBook {
    let mut test = test_book();
    let book = &mut test.book;
    for (date, minor) in [
        ("2026-01-05", 2_950),
        ("2026-01-20", 1_200),
        ("2026-02-02", 990),
        ("2027-01-04", 4_500),
        ("2027-02-09", 700),
    ] {
        let recorded = recording(book, date, "6000", "1000", minor);
        book.record(&recorded).expect("recorded");
    }
    let number = deckle::ledger::EntryNumber(4);
    book.attach_receipt(number, "receipt.png", b"\x89PNG\r\n\x1a\n paper")
        .expect("attached");
    book.lock_through(day("2026-12-31")).expect("locked");
    test
}

#[test]
fn the_mark_of_a_practice_copy_is_not_taken_off() {
    let test = used_book();
    let copy = test.folder.path().join("try.deckle");
    test.book
        .make_practice_copy(&copy, false)
        .expect("a practice copy");
    let said = |sql: &str| {
        let refused = raw(&copy).execute_batch(sql).expect_err(sql);
        assert!(
            refused.to_string().contains("stays a practice copy"),
            "{sql}: {refused}"
        );
    };
    said("DELETE FROM setting WHERE key = 'practice_of'");
    said("UPDATE setting SET value = 'elsewhere' WHERE key = 'practice_of'");
    said("UPDATE setting SET key = 'business_name' WHERE key = 'practice_of'");
    let mut book = Book::open(&copy).expect("opens");
    assert!(book.is_practice());
    assert_eq!(book.undo().expect("nothing to undo"), None);
    assert_eq!(book.check().expect("readable"), Vec::new());
}

#[test]
fn the_file_itself_refuses_what_would_break_the_book() {
    let (folder, path) = used_book().let_go();
    // A history row as another program might write it, to get past the first safeguard.
    let history = |seq: i64, action: &str, entry: i64, version: i64| {
        format!(
            "INSERT INTO history (seq, at, action, entry, version, what, reason, content, digest, hash)
             VALUES ((SELECT max(seq) + {seq} FROM history), '', '{action}', {entry}, {version}, '', '', 'x', NULL, zeroblob(32));"
        )
    };
    let header = |number: i64, date: &str| {
        format!(
            "INSERT INTO entry VALUES ({number}, 1, '{date}', 'manual', '', '', '', '', 'typed', '', 0, NULL,
             (SELECT max(seq) FROM history));"
        )
    };
    let line = |entry: i64, position: i64, minor: i64| {
        format!("INSERT INTO line VALUES ({entry}, {position}, 1, {minor}, '', NULL, NULL, NULL);")
    };
    let balanced = |entry: i64| line(entry, 1, 100) + &line(entry, 2, -100);
    #[rustfmt::skip]
    let cases = [
        ("a header without history", balanced(6) + &header(6, "2027-03-01"), "written to history first"),
        ("an unbalanced entry", history(1, "record", 6, 1) + &line(6, 1, 100) + &line(6, 2, -99) + &header(6, "2027-03-01"), "does not balance"),
        ("an entry of one line", history(1, "record", 6, 1) + &line(6, 1, 100) + &header(6, "2027-03-01"), "at least two lines"),
        ("an entry without lines", history(1, "record", 6, 1) + &header(6, "2027-03-01"), "at least two lines"),
        ("a gap in the numbers", history(1, "record", 8, 1) + &balanced(8) + &header(8, "2027-03-01"), "without gaps"),
        ("an entry in the locked year", history(1, "record", 6, 1) + &balanced(6) + &header(6, "2026-12-31"), "locked period"),
        ("an entry before the book", history(1, "record", 6, 1) + &balanced(6) + &header(6, "2025-12-31"), "locked period"),
        ("a day that does not exist", history(1, "record", 6, 1) + &balanced(6) + &header(6, "2027-02-30"), "CHECK"),
        ("a line of nothing", line(6, 1, 0), "CHECK"),
        ("lines without an entry", balanced(6), "FOREIGN KEY"),
        ("a line more on a posted entry", line(5, 3, 100), "posted entry is final"),
        ("another amount", "UPDATE line SET amount = 1 WHERE entry = 5 AND position = 1;".to_owned(), "posted entry is final"),
        ("another account", "UPDATE line SET account = 2 WHERE entry = 5;".to_owned(), "posted entry is final"),
        ("lines moved to another entry", "UPDATE line SET entry = 4, position = position + 5 WHERE entry = 5;".to_owned(), "posted entry is final"),
        ("a line less", "DELETE FROM line WHERE entry = 5 AND position = 1;".to_owned(), "posted entry is final"),
        ("a line replaced", "INSERT OR REPLACE INTO line VALUES (5, 1, 1, 7, '', NULL, NULL, NULL);".to_owned(), "posted entry is final"),
        ("another day", "UPDATE entry SET date = '2027-03-09' WHERE number = 5;".to_owned(), "posted entry is final"),
        ("an entry removed", "DELETE FROM entry WHERE number = 5;".to_owned(), "posted entry is final"),
        ("an entry removed from the middle", history(1, "withdraw", 4, 1) + "DELETE FROM entry WHERE number = 4;", "posted entry is final"),
        ("an entry in the locked year removed", history(1, "amend", 3, 2) + "DELETE FROM entry WHERE number = 3;", "locked period"),
        ("an entry replaced", "INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE number = 5;".to_owned(), "written to history first"),
        ("history changed", "UPDATE history SET what = 'nothing' WHERE seq = 1;".to_owned(), "history is never changed"),
        ("history removed", "DELETE FROM history WHERE seq = 1;".to_owned(), "history is never removed"),
        ("history replaced", "INSERT OR REPLACE INTO history SELECT * FROM history WHERE seq = 1;".to_owned(), "only follow the last one"),
        ("history with a gap", history(2, "record", 6, 1), "only follow the last one"),
        ("the lock moved back", "UPDATE setting SET value = '2026-01-31' WHERE key = 'lock_date';".to_owned(), "with a reason only"),
        ("the lock removed", "DELETE FROM setting WHERE key = 'lock_date';".to_owned(), "with a reason only"),
        ("the lock renamed", "UPDATE setting SET key = 'no_lock' WHERE key = 'lock_date';".to_owned(), "with a reason only"),
        ("the lock replaced", "INSERT OR REPLACE INTO setting (key, value) VALUES ('lock_date', '2026-01-01');".to_owned(), "changed in place"),
        ("the first day moved past entries", "UPDATE setting SET value = '2026-06-01' WHERE key = 'first_day';".to_owned(), "before that first day"),
        ("another currency", "UPDATE setting SET value = 'EUR' WHERE key = 'currency';".to_owned(), "is final"),
        ("the currency removed", "DELETE FROM setting WHERE key = 'currency';".to_owned(), "keeps its currency"),
        ("an account in use removed", "DELETE FROM account WHERE id = 1;".to_owned(), "FOREIGN KEY"),
        ("an account in use of another class", "UPDATE account SET class = 'expense' WHERE id = 1;".to_owned(), "keeps its class"),
        ("an account of no class", "UPDATE account SET class = 'magic' WHERE id = 40;".to_owned(), "CHECK"),
        ("a receipt altered", "UPDATE receipt SET bytes = x'00';".to_owned(), "never changed"),
        ("a receipt in use removed", "DELETE FROM receipt;".to_owned(), "FOREIGN KEY"),
        ("a receipt on no entry", "INSERT INTO attachment (entry, receipt, name) SELECT 99, hash, 'x' FROM receipt;".to_owned(), "FOREIGN KEY"),
    ];
    for (what, sql, expected) in cases {
        let conn = raw(&path);
        let result = conn.execute_batch(&format!("BEGIN; {sql} COMMIT;"));
        let said = result
            .err()
            .map(|error| error.to_string())
            .unwrap_or_default();
        assert!(said.contains(expected), "{what}: said '{said}'");
    }
    let book = Book::open(&path).expect("opened");
    crate::support::assert_clean(&book);
    drop(folder);
}

/// Takes the safeguards out, does the damage, puts them back, and returns what the check says.
fn faults_after(damage: &str) -> Vec<String> {
    static USED: std::sync::OnceLock<Vec<u8>> = std::sync::OnceLock::new();
    let bytes = USED.get_or_init(|| {
        let (_folder, path) = used_book().let_go();
        std::fs::read(path).expect("read")
    });
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("Fernhollow.deckle");
    std::fs::write(&path, bytes).expect("written");
    let conn = raw(&path);
    conn.execute_batch("PRAGMA synchronous = OFF").expect("off");
    let mut query = conn
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .expect("prepared");
    let triggers: Vec<(String, String)> = query
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .expect("asked")
        .collect::<Result<_, _>>()
        .expect("read");
    drop(query);
    conn.execute_batch("PRAGMA foreign_keys = OFF")
        .expect("off");
    for (name, _sql) in &triggers {
        conn.execute_batch(&format!("DROP TRIGGER {name}"))
            .expect("dropped");
    }
    conn.execute_batch(damage).expect("damaged");
    for (_name, sql) in &triggers {
        conn.execute_batch(sql).expect("put back");
    }
    drop(conn);
    let book = Book::open(&path).expect("opened");
    let faults = book.check().expect("checked");
    drop(folder);
    faults.iter().map(ToString::to_string).collect()
}

#[test]
fn the_check_names_what_was_done_behind_the_books_back() {
    #[rustfmt::skip]
    let cases = [
        ("UPDATE line SET memo = 'other' WHERE entry = 2 AND position = 1", "entry 2: it was altered"),
        ("UPDATE line SET amount = 3 WHERE entry = 2 AND position = 1", "entry 2: the book is damaged"),
        ("UPDATE line SET amount = amount * 2 WHERE entry = 2", "entry 2: it was altered"),
        ("UPDATE entry SET party = 'Somebody else' WHERE number = 3", "entry 3: it was altered"),
        ("UPDATE entry SET date = '2027-03-01' WHERE number = 5", "entry 5: it was altered"),
        ("UPDATE entry SET version = 2 WHERE number = 5", "entry 5: it was altered"),
        ("DELETE FROM line WHERE entry = 3; DELETE FROM entry WHERE number = 3", "the numbers 3 to 3 are missing"),
        ("DELETE FROM line WHERE entry = 5; DELETE FROM entry WHERE number = 5", "entry 5: history has it"),
        ("DELETE FROM entry WHERE number = 5", "entry 5: its lines have no entry"),
        ("INSERT INTO line SELECT 6, position, account, amount, memo, NULL, NULL, NULL FROM line WHERE entry = 5;
          INSERT INTO entry SELECT 6, 1, date, kind, party, memo, '', '', origin, '', 0, NULL, written FROM entry WHERE number = 5",
         "entry 6: it was altered"),
        ("UPDATE history SET reason = 'a better one' WHERE seq = 2", "history: row 2"),
        ("UPDATE history SET at = '2020-01-01' WHERE seq = 3", "history: row 3"),
        ("DELETE FROM history WHERE seq = 2", "rows 2 to 2 are missing"),
        ("UPDATE receipt SET bytes = x'0102'", "was altered"),
        ("DELETE FROM receipt", "its receipt 'receipt.png' is gone"),
        ("DELETE FROM attachment", "counts as complete and has no receipt"),
        ("UPDATE line SET equipment = 'press' WHERE entry = 4", "names 'press'"),
    ];
    for (damage, expected) in cases {
        let faults = faults_after(damage);
        let is_named = faults.iter().any(|fault| fault.contains(expected));
        assert!(is_named, "{damage}: {faults:#?}");
    }
}

#[test]
fn the_check_finds_a_wrong_month_balance() {
    let faults = faults_after("UPDATE month_balance SET debit = debit + 1 WHERE debit > 0");
    assert!(
        faults
            .iter()
            .any(|fault| fault.contains("is not the sum of its lines")),
        "{faults:#?}"
    );
}

#[test]
fn the_check_finds_safeguards_that_were_taken_out() {
    let (folder, path) = used_book().let_go();
    raw(&path)
        .execute_batch("DROP TRIGGER entry_final; CREATE TABLE stranger (x)")
        .expect("dropped");
    let book = Book::open(&path).expect("opened");
    let faults: Vec<String> = book
        .check()
        .expect("checked")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert!(
        faults
            .iter()
            .any(|fault| fault.contains("'entry_final' was taken out")),
        "{faults:#?}"
    );
    assert!(
        faults
            .iter()
            .any(|fault| fault.contains("'stranger' does not belong")),
        "{faults:#?}"
    );
    drop(folder);
}
