//! The days instalments are due as a calendar file, and the set-aside sheet in the year's folder, by the verbs.
//! The form of the file is RFC 5545's; how it is written line by line is tested beside the writer.

use super::desk::Desk;

fn single(desk: &Desk) {
    desk.ok(&[
        "set",
        "@book",
        "set_aside.method=us",
        "set_aside.filing_status=single",
    ]);
}

#[test]
fn the_days_are_written_as_a_calendar_file_and_nothing_of_money_unless_it_is_asked_for() {
    let desk = Desk::new();
    single(&desk);
    let folder = tempfile::tempdir().expect("a folder");
    let place = |name: &str| folder.path().join(name).display().to_string();
    let due = ["show", "@book", "due-dates", "--year", "2027", "--calendar"];
    // 2027 has no rates of its own: those of 2026 are an assumption, and the days are its own.
    desk.ok(&["set", "@book", "set_aside.method=us-2026"]);
    let plain = place("plain.ics");
    desk.ok(&[&due[..], &[plain.as_str()]].concat());
    let text = std::fs::read_to_string(&plain).expect("written");
    assert!(text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"));
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    assert!(text.split("\r\n").all(|line| line.len() <= 75));
    // 15 Jan 2028 is a Saturday and the Monday after it a holiday, so the day is Tuesday, 18 January (26 U.S.C. 7503).
    for day in ["20270415", "20270615", "20270915", "20280118"] {
        assert!(
            text.contains(&format!("DTSTART;VALUE=DATE:{day}\r\n")),
            "{day}"
        );
    }
    assert!(!text.contains("USD"));
    let unfolded = text.replace("\r\n ", "");
    assert!(unfolded.contains("Confirm with local rules and a licensed professional."));
    let uids: std::collections::BTreeSet<&str> = unfolded
        .split("\r\n")
        .filter(|line| line.starts_with("UID:"))
        .collect();
    assert_eq!(uids.len(), 4);
    // Written again, the days keep their names.
    let again = place("again.ics");
    desk.ok(&[&due[..], &[again.as_str()]].concat());
    let text = std::fs::read_to_string(&again).expect("written");
    assert!(
        uids.iter()
            .all(|uid| text.replace("\r\n ", "").contains(uid))
    );
    let full = place("full.ics");
    desk.ok(&[
        "show",
        "@book",
        "due-dates",
        "--year",
        "2026",
        "--calendar",
        full.as_str(),
        "--with-amounts",
    ]);
    let text = std::fs::read_to_string(&full).expect("written");
    assert_eq!(
        text.matches("SUMMARY:Set-aside instalment due: about USD ")
            .count(),
        4
    );
    assert_eq!(text.matches("TRIGGER:-P7D").count(), 4);
}

#[test]
fn a_calendar_file_is_never_written_over_and_belongs_to_the_due_dates() {
    let desk = Desk::new();
    single(&desk);
    let folder = tempfile::tempdir().expect("a folder");
    let there = folder.path().join("mine.ics");
    std::fs::write(&there, "mine").expect("written");
    let path = there.display().to_string();
    let due = ["show", "@book", "due-dates", "--year", "2026"];
    let said = desk.refused(1, &[&due[..], &["--calendar", path.as_str()]].concat());
    assert!(said[0].contains("could not be written"), "{said:?}");
    assert_eq!(std::fs::read_to_string(&there).expect("read"), "mine");
    desk.refused(2, &["show", "@book", "profit", "--calendar", path.as_str()]);
    desk.refused(2, &[&due[..], &["--with-amounts"]].concat());
}

#[test]
fn the_years_folder_has_each_line_with_its_explanation_and_caution() {
    let desk = Desk::new();
    single(&desk);
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("pack");
    let path = out.display().to_string();
    desk.ok(&[
        "year-end",
        "@book",
        "--year",
        "2026",
        "--out",
        path.as_str(),
    ]);
    let sheet = std::fs::read_to_string(out.join("sheets/set-aside.csv")).expect("the sheet");
    let mut reader = csv::Reader::from_reader(sheet.as_bytes());
    let head: Vec<String> = reader
        .headers()
        .expect("a head")
        .iter()
        .map(str::to_owned)
        .collect();
    assert_eq!(
        head,
        [
            "no",
            "label",
            "amount",
            "source",
            "formula",
            "explanation",
            "caution"
        ]
    );
    for row in reader.records() {
        let row = row.expect("a row");
        assert!(!row[6].is_empty(), "{row:?} has no caution");
    }
    assert!(sheet.contains("Social security and Medicare of people who work for themselves"));
    let cover = std::fs::read_to_string(out.join("summary.md")).expect("the cover");
    assert!(cover.contains("## What to keep back for the owner's own tax"));
    assert!(cover.contains("An estimate to help you save, not the tax you owe."));
    assert!(cover.contains("| Self-employment tax | "));
}
