//! The year-end pack: sealed, the same for the same book, with what came since the one before; and what is refused.

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::Connection;

use crate::desk::Desk;

/// By hand: 300.00 sold, 120.00 of tape and 40.00 owed for glue: a profit of 140.00.
fn desk() -> Desk {
    let desk = Desk::since("2025-01-01");
    desk.bring(
        "owner",
        "date,direction,account,amount\n2025-01-02,in,1000,500.00\n2025-05-01,out,1000,40.00\n",
    );
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,quantity\nS1,2025-02-05,1000,300.00,1\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description\n\
         R1,2025-01-05,Paper Mill,1000,120.00,6000,Tape\n\
         R2,2025-11-05,Glue Works,2000,40.00,6000,Glue\n",
    );
    desk.file("tape.txt", "120.00 for tape");
    desk.ok(&["attach", "@book", "4", "@tape.txt"]);
    desk
}

fn pack(desk: &Desk, name: &str) -> String {
    let out = format!("@{name}");
    desk.ok(&["year-end", "@book", "--year", "2025", "--out", &out])
}

/// Every file beneath a folder.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(place) = open.pop() {
        for entry in std::fs::read_dir(&place).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("inside");
                let bytes = std::fs::read(&path).expect("a file");
                found.insert(name.display().to_string(), bytes);
            }
        }
    }
    found
}

#[test]
fn the_same_book_gives_the_same_pack_to_the_byte() {
    let desk = desk();
    assert!(pack(&desk, "one").contains(" agree."));
    pack(&desk, "two");
    let (one, two) = (files(&desk.path("one")), files(&desk.path("two")));
    assert_eq!(
        one.keys().collect::<Vec<_>>(),
        two.keys().collect::<Vec<_>>()
    );
    for (name, bytes) in &one {
        assert!(Some(bytes) == two.get(name), "{name} differs");
    }
    assert!(one.contains_key("year-end-2025.pdf") && one.contains_key("year-end-2025.xlsx"));
    assert!(one.contains_key("receipts/00004-0000-tape.txt"));
    let ties = String::from_utf8(one["sheets/ties.csv"].clone()).expect("text");
    assert!(
        ties.contains("Net profit,\"A, net profit\",140.00,"),
        "{ties}"
    );
    assert!(!ties.contains("NOT agreed"), "{ties}");
}

#[test]
fn an_altered_byte_of_any_file_is_found() {
    let desk = desk();
    pack(&desk, "pack");
    let said = desk.ok(&["verify", "@pack", "--book", "@book"]);
    assert!(
        said.contains("every row of the book is as it was"),
        "{said}"
    );
    for (name, bytes) in files(&desk.path("pack")) {
        let path = desk.path("pack").join(&name);
        for place in [0, bytes.len() / 2, bytes.len() - 1] {
            let mut altered = bytes.clone();
            altered[place] ^= 1;
            std::fs::write(&path, &altered).expect("writes");
            let ran = desk.run(&["verify", "@pack"]);
            assert_eq!(ran.code, 1, "{name} at {place}");
        }
        std::fs::write(&path, &bytes).expect("writes");
    }
    std::fs::write(desk.path("pack/sheets/more.csv"), "a").expect("writes");
    let lines = desk.refused(1, &["verify", "@pack"]);
    assert!(
        lines[0].contains("sheets/more.csv is in the folder and not in the list"),
        "{lines:?}"
    );
    std::fs::remove_file(desk.path("pack/sheets/more.csv")).expect("removes");
    std::fs::remove_file(desk.path("pack/receipts/00004-0000-tape.txt")).expect("removes");
    let lines = desk.refused(1, &["verify", "@pack"]);
    assert!(lines[0].contains("tape.txt cannot be read"), "{lines:?}");
    let lines = desk.refused(1, &["verify", "@nowhere"]);
    assert!(lines[0].contains("this is no year-end pack"), "{lines:?}");
}

/// Alters a row of a table in the one column, past all triggers, as another program could.
fn alter(book: &Path, place: Option<(&str, &str)>) {
    let conn = Connection::open(book).expect("opens");
    let triggers: Vec<(String, String)> = conn
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .expect("reads")
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .expect("reads")
        .collect::<Result<_, _>>()
        .expect("reads");
    for (name, _sql) in &triggers {
        conn.execute_batch(&format!("DROP TRIGGER \"{name}\""))
            .expect("drops");
    }
    conn.execute_batch("PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF")
        .expect("set");
    if let Some((table, column)) = place {
        let sql = format!(
            "UPDATE \"{table}\" SET \"{column}\" = CASE typeof(\"{column}\") WHEN 'integer' THEN \"{column}\" + 1
               WHEN 'blob' THEN randomblob(length(\"{column}\")) ELSE \"{column}\" || 'x' END
             WHERE \"{column}\" = (SELECT max(\"{column}\") FROM \"{table}\")"
        );
        assert!(
            conn.execute(&sql, []).expect("alters") > 0,
            "{table}.{column}"
        );
    }
    for (_name, sql) in &triggers {
        conn.execute_batch(sql).expect("makes");
    }
}

#[test]
fn an_altered_row_of_any_table_is_found() {
    let desk = desk();
    pack(&desk, "pack");
    let whole = std::fs::read(desk.path("book.deckle")).expect("the book");
    let book = desk.path("book.deckle");
    let conn = Connection::open(&book).expect("opens");
    let names: Vec<String> = conn
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'")
        .expect("reads")
        .query_map([], |row| row.get(0))
        .expect("reads")
        .collect::<Result<_, _>>()
        .expect("reads");
    let mut altered = Vec::new();
    for table in names {
        let rows: i64 = conn
            .query_row(&format!("SELECT count(*) FROM \"{table}\""), [], |row| {
                row.get(0)
            })
            .expect("counts");
        if rows == 0 {
            continue;
        }
        let columns: Vec<String> = conn
            .prepare("SELECT name FROM pragma_table_info(?1)")
            .expect("reads")
            .query_map([&table], |row| row.get(0))
            .expect("reads")
            .collect::<Result<_, _>>()
            .expect("reads");
        // The last column in which something is said: keys stay, what is said changes.
        let said = columns.into_iter().rfind(|column| {
            let sql = format!("SELECT count(\"{column}\") FROM \"{table}\"");
            conn.query_row(&sql, [], |row| row.get::<_, i64>(0))
                .is_ok_and(|count| count > 0)
        });
        altered.push((table, said.expect("says something")));
    }
    drop(conn);
    assert!(altered.len() > 8, "{altered:?}");
    // Taking the triggers off and putting them back is not what is found: without an altered row all holds.
    alter(&book, None);
    desk.ok(&["verify", "@pack", "--book", "@book"]);
    for (table, column) in altered {
        std::fs::write(&book, &whole).expect("writes");
        alter(&book, Some((&table, &column)));
        let ran = desk.run(&["verify", "@pack", "--book", "@book"]);
        assert_eq!(ran.code, 1, "{table}.{column}: {}", ran.out);
    }
}

/// By hand: 140.00 of profit, less the accountant's 25.00 owed for the year, is 115.00; taken back on 1 January.
#[test]
fn reopened_adjusted_and_closed_again_the_pack_says_what_changed() {
    let desk = desk();
    desk.ok(&[
        "year-end", "@book", "--year", "2025", "--out", "@first", "--close",
    ]);
    let sheet = "entry,date,account,debit,credit,memo,back_next_year\n\
                 A,2025-12-31,6800,25.00,,Fee of the year,yes\n\
                 A,2025-12-31,2000,,25.00,,\n";
    let lines = desk.bring_refused("adjustments", sheet);
    assert!(
        lines[0].contains("is closed and locked through 31 Dec 2025; reopen it first"),
        "{lines:?}"
    );
    desk.ok(&[
        "reopen",
        "@book",
        "--reason",
        "the accountant's adjustments",
    ]);
    let lines = desk.bring_refused("adjustments", sheet.replace("25.00,,\n", "24.00,,\n"));
    assert!(
        lines[0].contains("does not balance: its debits are 25.00, its credits 24.00"),
        "{lines:?}"
    );
    let lines = desk.bring_refused("adjustments", sheet.replace("2025-12", "2026-12"));
    assert!(
        lines[0]
            .contains("2026-12-31 is not in the year that is adjusted, 1 Jan 2025 to 31 Dec 2025"),
        "{lines:?}"
    );
    let lines = desk.bring_refused("adjustments", sheet.replace("6800", "6899"));
    assert!(lines[0].contains("6899"), "{lines:?}");
    desk.balances(&[("6800", "0.00")]);
    desk.bring("adjustments", sheet);
    desk.ok(&[
        "year-end", "@book", "--year", "2025", "--out", "@second", "--close",
    ]);
    let read = |name: &str| std::fs::read_to_string(desk.path(name)).expect("is there");
    let since = read("second/sheets/since-last-pack.csv");
    assert!(since.contains("Net profit,140.00,115.00,-25.00"), "{since}");
    assert!(since.contains("What it owes,40.00,65.00,25.00"), "{since}");
    let changed = read("second/sheets/changed-since-last-pack.csv");
    assert!(changed.contains("Fee of the year"), "{changed}");
    assert!(
        changed.contains("the accountant's adjustments"),
        "{changed}"
    );
    let adjusting = read("second/sheets/adjusting.csv");
    assert!(
        adjusting.contains(",adjusting,,Fee of the year,"),
        "{adjusting}"
    );
    assert!(!read("second/sheets/ties.csv").contains("NOT agreed"));
    desk.ok(&["verify", "@second", "--book", "@book"]);
    let said = desk.ok(&["verify", "@first", "--book", "@book"]);
    assert!(said.contains("the book went on since"), "{said}");
    // The next year begins without the fee: what was owed is taken back on its first day.
    let next = desk.json(&["profit", "--year", "2026"]);
    assert_eq!(next["totals"]["net_profit"], "25.00");
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

#[test]
fn what_is_in_the_way_is_left_alone_and_nothing_is_half_done() {
    let desk = desk();
    desk.file("pack.zip", "mine");
    let lines = desk.refused(
        1,
        &["year-end", "@book", "--year", "2025", "--out", "@pack"],
    );
    assert!(
        lines[0].contains("there is a file already and it was left alone"),
        "{lines:?}"
    );
    assert!(!desk.path("pack").exists());
    assert_eq!(std::fs::read(desk.path("pack.zip")).expect("kept"), b"mine");
    desk.ok(&["close", "@book", "--year", "2025"]);
    let lines = desk.refused(1, &["close", "@book", "--year", "2025"]);
    assert!(lines[0].contains("closed already"), "{lines:?}");
    let left: Vec<_> = std::fs::read_dir(desk.path(""))
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name())
        .filter(|name| name.to_string_lossy().contains("unfinished"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_book_without_a_word_in_it_has_no_pack() {
    let desk = Desk::since("2025-01-01");
    let lines = desk.refused(
        1,
        &["year-end", "@book", "--year", "2025", "--out", "@pack"],
    );
    assert!(
        lines[0].contains("nothing was ever written in this book"),
        "{lines:?}"
    );
    assert!(!desk.path("pack").exists() && !desk.path("pack.zip").exists());
    // With one entry it has all of it.
    desk.bring(
        "owner",
        "date,direction,account,amount\n2025-01-02,in,1000,500.00\n",
    );
    assert!(pack(&desk, "pack").contains("17 of 17 agree"));
    desk.ok(&["verify", "@pack", "--book", "@book"]);
}

#[test]
fn a_year_with_money_not_explained_is_closed_only_when_that_is_meant() {
    let desk = desk();
    desk.bring(
        "entries",
        "entry,date,account,debit,credit\n1,2025-06-01,1900,12.00,\n1,2025-06-01,1000,,12.00\n",
    );
    let lines = desk.refused(1, &["close", "@book", "--year", "2025"]);
    assert!(
        lines[0].contains("12.00 stands not yet explained"),
        "{lines:?}"
    );
    let lines = desk.refused(
        1,
        &[
            "year-end", "@book", "--year", "2025", "--out", "@pack", "--close",
        ],
    );
    assert!(
        lines[0].contains("12.00 stands not yet explained"),
        "{lines:?}"
    );
    assert!(!desk.path("pack").exists() && !desk.path("pack.zip").exists());
    desk.ok(&["close", "@book", "--year", "2025", "--unexplained"]);
}

/// By hand: 40 % of 30.00 is 12.00, and 50 % of 20.00 is 10.00; 3.00 of 10.00 and 10.00 of 20.00 are 13.00 of 30.00, 43.3 %.
#[test]
fn a_private_share_says_what_it_rests_on() {
    let desk = desk();
    desk.bring(
        "shared-bills",
        "what,party,business_share,basis,sampled_from,sampled_to,since\n\
         Phone,Dovetone Mobile,40,41 of 102 calls,2025-03-01,2025-03-14,2025-03-15\n\
         Phone,Dovetone Mobile,60,66 of 110 calls,,,2025-07-01\n\
         Phone,Dovetone Mobile,70,70 of 100 calls,,,2026-01-01\n\
         Line,Copse Cable,30,Hours at the shop's pages,,,2025-01-01\n\
         Router,Copse Cable,50,Hours at the shop's pages,,,2025-01-01\n",
    );
    desk.file(
        "more.csv",
        "purchase,date,supplier,paid_from,amount,account,description,business_share\n\
         B1,2025-02-20,Dovetone Mobile,1000,30.00,6410,One month,40\n\
         B2,2025-04-20,Dovetone Mobile,1000,30.00,6410,One month,40\n\
         B3,2025-08-20,Dovetone Mobile,1000,30.00,6410,One month,40\n\
         B4,2025-08-21,Plume,1000,20.00,6000,Ink,50\n\
         B5,2025-08-22,Copse Cable,1000,10.00,6410,Line,30\n\
         B5,2025-08-22,Copse Cable,1000,20.00,6010,Router,50\n",
    );
    desk.ok(&["bring", "@book", "purchases", "@more.csv"]);
    pack(&desk, "pack");
    let sheet = |name: &str| {
        let path = desk.path("pack/sheets").join(name);
        std::fs::read_to_string(path).expect("a sheet")
    };
    let mixed = sheet("mixed-use.csv");
    let rows: Vec<&str> = mixed.lines().collect();
    assert_eq!(
        rows[0],
        "entry,date,party,memo,amount,private,share,basis,since"
    );
    let ends = [
        ("B1", "30.00,18.00,40,,"),
        ("B2", "30.00,18.00,40,41 of 102 calls,2025-03-15"),
        ("B3", "30.00,18.00,40,66 of 110 calls,2025-07-01"),
        ("B4", "20.00,10.00,50,,"),
        (
            "B5",
            "30.00,17.00,43.3,Hours at the shop's pages,2025-01-01",
        ),
    ];
    assert_eq!(rows.len(), 1 + ends.len(), "{mixed}");
    for (row, (name, end)) in rows[1..].iter().zip(ends) {
        assert!(row.ends_with(end), "{name}: {row}");
    }
    let shares = sheet("shared-bills.csv");
    let rows: Vec<&str> = shares.lines().skip(1).collect();
    assert_eq!(
        rows,
        [
            "Line,Copse Cable,30,Hours at the shop's pages,,,2025-01-01,,",
            "Phone,Dovetone Mobile,40,41 of 102 calls,2025-03-01,2025-03-14,2025-03-15,2025-06-30,",
            "Phone,Dovetone Mobile,60,66 of 110 calls,,,2025-07-01,2025-12-31,",
            "Router,Copse Cable,50,Hours at the shop's pages,,,2025-01-01,,",
        ]
    );
    let pages = pdf_extract::extract_text(desk.path("pack/year-end-2025.pdf")).expect("pages");
    let pages = pages.split_whitespace().collect::<Vec<_>>().join(" ");
    for note in [
        "Of 2 entries it is not written down what the share rests on.",
        "1 entry comes to another share than the one written down for the day",
    ] {
        assert!(pages.contains(note), "{note}");
    }
}
