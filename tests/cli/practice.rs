//! A practice copy, by the verbs: never mistaken for the real book, and never in its way.

use serde_json::Value;

use crate::desk::Desk;

fn desk() -> Desk {
    let desk = Desk::new();
    desk.file(
        "owner.csv",
        "date,direction,amount,account,description\n2026-01-02,in,500.00,1000,Start\n",
    );
    desk.ok(&["bring", "@book", "owner", "@owner.csv"]);
    desk
}

#[test]
fn the_copy_says_everywhere_that_it_is_one() {
    let desk = desk();
    desk.ok(&["practice", "@book"]);
    let copy = "@book practice.deckle";
    desk.file(
        "more.csv",
        "date,direction,amount,account,description\n2026-01-03,in,70.00,1000,Tried out\n",
    );
    let said = desk.ok(&["bring", copy, "owner", "@more.csv"]);
    assert!(said.starts_with("PRACTICE COPY"), "{said}");
    let printed = desk.ok(&["show", copy, "balance", "--to", "2026-12-31"]);
    assert!(printed.starts_with("PRACTICE COPY"), "{printed}");
    assert!(printed.contains("570.00"), "{printed}");
    let json: Value =
        serde_json::from_str(&desk.ok(&["show", copy, "balance", "--json"])).expect("JSON");
    assert_eq!(json["practice"], true);
    let checked: Value = serde_json::from_str(&desk.ok(&["check", copy, "--json"])).expect("JSON");
    assert_eq!(checked["practice"], true);
    assert_eq!(checked["sound"], true);
    let backed = desk.ok(&["backup", copy, "--to", "@safe.deckle"]);
    assert!(backed.contains("no backup of the real book"), "{backed}");
    let again = desk.ok(&["show", "@safe.deckle", "trial"]);
    assert!(again.starts_with("PRACTICE COPY"), "{again}");
    // The real book has nothing of it.
    let real = desk.ok(&["show", "@book", "balance", "--to", "2026-12-31"]);
    assert!(
        real.contains("500.00") && !real.contains("570.00") && !real.contains("PRACTICE"),
        "{real}"
    );
}

#[test]
fn its_year_end_folder_says_so_on_every_sheet() {
    let desk = desk();
    desk.ok(&["practice", "@book", "--to", "@try.deckle"]);
    let json: Value = serde_json::from_str(&desk.ok(&[
        "year-end",
        "@try.deckle",
        "--year",
        "2026",
        "--out",
        "@pack",
        "--json",
    ]))
    .expect("JSON");
    assert_eq!(json["practice"], true);
    let cover = std::fs::read_to_string(desk.path("pack/summary.md")).expect("a cover");
    assert!(cover.starts_with("# PRACTICE COPY"), "{cover}");
    for file in std::fs::read_dir(desk.path("pack/sheets")).expect("a folder") {
        let path = file.expect("a file").path();
        if path.extension().is_none_or(|ending| ending != "csv") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("text");
        let mut lines = text.lines();
        let header = lines.next().expect("a header");
        assert!(
            header.ends_with(",practice"),
            "{}: {header}",
            path.display()
        );
        for line in lines {
            assert!(
                line.ends_with("practice copy"),
                "{}: {line}",
                path.display()
            );
        }
    }
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@real"]);
    let cover = std::fs::read_to_string(desk.path("real/summary.md")).expect("a cover");
    assert!(!cover.to_lowercase().contains("practice"), "{cover}");
}

#[test]
fn nothing_real_is_ever_replaced_and_the_mark_stays() {
    let desk = desk();
    desk.ok(&[
        "new",
        "@other.deckle",
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
    ]);
    desk.file("letter.txt", "Dear Aunt");
    for target in ["@book.deckle", "@other.deckle", "@letter.txt"] {
        for afresh in [false, true] {
            let mut arguments = vec!["practice", "@book", "--to", target];
            if afresh {
                arguments.push("--afresh");
            }
            let said = desk.refused(1, &arguments);
            assert!(said[0].contains("left alone"), "{said:?}");
        }
    }
    assert_eq!(
        std::fs::read_to_string(desk.path("letter.txt")).expect("there"),
        "Dear Aunt"
    );
    desk.ok(&["show", "@other.deckle", "trial"]);
    // The mark is no setting.
    desk.ok(&["practice", "@book"]);
    let copy = "@book practice.deckle";
    for value in ["practice_of=", "practice_of=elsewhere"] {
        let said = desk.refused(1, &["set", copy, value]);
        assert!(said[0].contains("stays a practice copy"), "{said:?}");
    }
    let said = desk.refused(1, &["set", "@book", "practice_of=anything"]);
    assert!(said[0].contains("never turned into"), "{said:?}");
    // A copy of the copy would hide which is real.
    let said = desk.refused(1, &["practice", copy]);
    assert!(said[0].contains("of the real book"), "{said:?}");
}

#[test]
fn it_is_made_afresh_only_when_that_is_said() {
    let desk = desk();
    desk.ok(&["practice", "@book"]);
    let copy = "@book practice.deckle";
    desk.ok(&["set", copy, "business_name=Tried"]);
    let said = desk.refused(1, &["practice", "@book"]);
    assert!(said[0].contains("--afresh"), "{said:?}");
    assert!(desk.ok(&["show", copy, "settings"]).contains("Tried"));
    let json: Value =
        serde_json::from_str(&desk.ok(&["practice", "@book", "--afresh", "--json"])).expect("JSON");
    assert_eq!(json["practice"], true);
    assert!(!desk.ok(&["show", copy, "settings"]).contains("Tried"));
}

#[test]
fn a_written_out_copy_comes_back_as_one() {
    let desk = desk();
    desk.ok(&["practice", "@book"]);
    desk.ok(&["write-out", "@book practice.deckle", "@sheets"]);
    desk.ok(&[
        "new",
        "@back.deckle",
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
    ]);
    desk.ok(&["bring", "@back.deckle", "written-out", "@sheets"]);
    let shown = desk.ok(&["show", "@back.deckle", "balance", "--to", "2026-12-31"]);
    assert!(shown.starts_with("PRACTICE COPY"), "{shown}");
    assert!(shown.contains("500.00"), "{shown}");
}
