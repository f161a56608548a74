//! Duties by their sheets and verbs: done with a proof, moved on, returns of sales tax with their periods, and the calendar
//! file. Figures are worked by hand.

use std::collections::BTreeMap;

use crate::desk::Desk;

const DUTIES: &str = "duty,kind,next_day,every_months,remind_days,period_to,note\n\
    Yearly report,yearly-report,2026-05-01,12,45,,at the state's office\n\
    Sales tax,sales-tax,2026-04-20,3,30,2026-03-31,\n\
    Stall permit,permit,2026-06-30,0,,,\n";

/// Two sales of her own, one of them taxed, one of a shop that pays its tax over itself, and tax paid over.
fn with_sales() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,tax_ours,tax_by_channel\n\
         S1,2026-01-10,1000,52.00,3.64,\nS2,2026-02-11,1000,26.00,,\nS3,2026-03-31,Lanternpost Shop,20.00,,1.40\n\
         S4,2026-04-01,1000,10.00,,\n",
    );
    desk.bring(
        "entries",
        "entry,date,account,debit,credit,kind\nT,2026-02-20,2100,2.00,,settlement\nT,2026-02-20,1000,,2.00,settlement\n",
    );
    desk.bring("duties", DUTIES);
    desk
}

#[test]
fn a_return_shows_what_its_period_has_and_moves_on_when_filed() {
    let desk = with_sales();
    let shown = desk.json(&["duties", "--to", "2026-04-05"]);
    assert_eq!(shown["as_of"], "2026-04-05");
    let names: Vec<&str> = shown["duties"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|duty| duty["duty"].as_str())
        .collect();
    assert_eq!(names, ["Sales tax", "Yearly report", "Stall permit"]);
    let tax = &shown["duties"][0];
    assert_eq!(tax["state"], "near");
    assert_eq!(tax["remind_from"], "2026-03-21");
    // By hand: S1 alone is taxed; S2 and S3 are not; what was paid over is no tax taken back.
    assert_eq!(
        tax["period"],
        serde_json::json!({
            "from": "2026-01-01", "to": "2026-03-31", "taxable_sales": "52.00", "other_sales": "46.00",
            "tax_collected": "3.64", "tax_by_channels": "1.40", "nil": false,
        })
    );
    let needs = desk.json(&["needs", "--to", "2026-04-05"])["open"].clone();
    let of = |words: &str| -> serde_json::Value {
        let mut list = needs.as_array().expect("a list").iter();
        let found = list.find(|need| {
            need["what"]
                .as_str()
                .is_some_and(|what| what.contains(words))
        });
        found
            .unwrap_or_else(|| panic!("{words} in {needs}"))
            .clone()
    };
    let due = of("Sales tax");
    assert_eq!(
        due["what"],
        "Sales tax for Jan to Mar 2026, due on 20 Apr 2026"
    );
    assert_eq!(due["note"], "3.64 of tax on 52.00 of sales in the books");
    assert_eq!(of("Yearly report")["since"], "2026-03-17");

    desk.file("filed/receipt.pdf", "%PDF-1.4 filed");
    desk.file(
        "filed/done.csv",
        "duty,due,done_on,amount,period_from,period_to,note,file\n\
         sales tax,2026-04-20,2026-04-18,3.64,2026-01-01,2026-03-31,no. 77,receipt.pdf\n\
         Stall permit,2026-06-30,2026-06-02,25.00,,,,\n",
    );
    desk.ok(&["bring", "@book", "duties-done", "@filed/done.csv"]);
    let shown = desk.json(&["duties", "--to", "2026-07-21"]);
    let tax = &shown["duties"][1];
    assert_eq!(
        (&tax["next_day"], &tax["state"]),
        (&"2026-07-20".into(), &"passed".into())
    );
    // April had a sale without tax: nothing taxable, and the return is due all the same.
    assert_eq!(tax["period"]["other_sales"], "10.00");
    assert_eq!(tax["period"]["nil"], true);
    assert_eq!(tax["done"][0]["amount"], "3.64");
    assert_eq!(tax["done"][0]["proof"], "receipt.pdf");
    let permit = &shown["duties"][2];
    assert_eq!(
        (&permit["next_day"], &permit["state"]),
        (&serde_json::Value::Null, &"ended".into())
    );
    let text = desk.ok(&["show", "@book", "duties", "--to", "2026-07-21"]);
    assert!(text.contains("passed, nil return"), "{text}");
    let needs = desk.ok(&["show", "@book", "needs", "--to", "2026-07-21"]);
    assert!(
        needs.contains("Sales tax for Apr to Jun 2026, was due on 20 Jul 2026"),
        "{needs}"
    );

    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let sheet = std::fs::read_to_string(desk.path("pack/sheets/sales-tax.csv")).expect("a sheet");
    let rows: Vec<&str> = sheet.lines().collect();
    assert_eq!(
        rows[1],
        "2026-01-01,2026-03-31,52.00,46.00,3.64,1.40,2026-04-20,2026-04-18,3.64"
    );
    assert_eq!(
        rows[2],
        "2026-04-01,2026-06-30,0.00,10.00,0.00,0.00,2026-07-20,,"
    );
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

#[test]
fn what_cannot_be_is_refused_beside_its_column() {
    let desk = with_sales();
    for (kind, sheet, expected) in [
        (
            "duties",
            "duty,kind,next_day\nX,annual,2026-01-31\n",
            "column kind: 'annual' is not a kind of duty",
        ),
        (
            "duties",
            "duty,kind,next_day,every_months,period_to\nX,sales-tax,2026-04-20,3,2026-03-30\n",
            "column period_to: 30 Mar 2026 is not the last day of a month",
        ),
        (
            "duties",
            "duty,kind,next_day,every_months,period_to\nX,sales-tax,2026-04-20,5,2026-03-31\n",
            "column every_months: a return comes every 1, 2, 3, 4, 6 or 12 months",
        ),
        (
            "duties",
            "duty,kind,next_day,period_to\nX,permit,2026-04-20,2026-03-31\n",
            "column period_to: only a sales-tax return has a period",
        ),
        (
            "duties-done",
            "duty,due,done_on\nNo such,2026-04-20,2026-04-18\n",
            "column duty: there is no duty called 'No such' in the book",
        ),
        (
            "duties-done",
            "duty,due,done_on,file\nSales tax,2026-04-20,2026-04-18,gone.pdf\n",
            "column file: there is no file 'gone.pdf' beside the sheet",
        ),
        (
            "duties-done",
            "duty,due,done_on\nSales tax,2026-04-20,2026-04-18\nSales tax,2026-04-20,2026-04-19\n",
            "row 3: Sales tax was done for 20 Apr 2026 already",
        ),
    ] {
        let lines = desk.bring_refused(kind, sheet);
        assert!(lines[0].contains(expected), "{lines:?}");
    }
}

/// Reads a calendar file after RFC 5545, strictly: lines end with CRLF and are unfolded, components open and close, and
/// every event has what 3.6.1 asks for. Answers the day and the summary of each event by its UID.
fn read_calendar(text: &str) -> BTreeMap<String, (String, String, String)> {
    assert!(text.ends_with("\r\n"));
    let unfolded = text.replace("\r\n ", "");
    let mut open: Vec<String> = Vec::new();
    let mut events = BTreeMap::new();
    let mut event: BTreeMap<String, String> = BTreeMap::new();
    for line in unfolded.trim_end_matches("\r\n").split("\r\n") {
        let (name, value) = line.split_once(':').expect("a property");
        match name {
            "BEGIN" => {
                if value == "VEVENT" {
                    event.clear();
                }
                open.push(value.to_owned());
            }
            "END" => {
                assert_eq!(open.pop().as_deref(), Some(value));
                if value == "VEVENT" {
                    let of = |key: &str| {
                        event
                            .get(key)
                            .unwrap_or_else(|| panic!("{key} in {event:?}"))
                            .clone()
                    };
                    assert_eq!(of("DTSTAMP").len(), 16);
                    let told = (of("DTSTART;VALUE=DATE"), of("SUMMARY"), of("TRIGGER"));
                    assert!(
                        events.insert(of("UID"), told).is_none(),
                        "a UID stands twice"
                    );
                }
            }
            name => {
                assert!(!open.is_empty());
                event
                    .entry(name.to_owned())
                    .or_insert_with(|| value.to_owned());
            }
        }
    }
    assert!(open.is_empty());
    events
}

#[test]
fn the_calendar_file_has_the_duties_and_the_tax_dates_once_each() {
    let desk = with_sales();
    desk.ok(&[
        "set",
        "@book",
        "set_aside.method=us",
        "set_aside.filing_status=single",
    ]);
    desk.bring(
        "duties",
        "duty,kind,next_day,every_months\nSecond instalment with the state's,tax-date,2026-06-15,12\n",
    );
    let write = |to: &str, name: &str| {
        desk.ok(&[
            "show",
            "@book",
            "duties",
            "--to",
            to,
            "--calendar",
            &format!("@{name}"),
        ]);
        read_calendar(&std::fs::read_to_string(desk.path(name)).expect("a file"))
    };
    let events = write("2026-04-05", "dates.ics");
    let days: Vec<(&str, &str)> = events
        .iter()
        .filter(|(uid, _)| uid.ends_with("@duty.deckle"))
        .map(|(uid, (day, _, _))| (uid.as_str(), day.as_str()))
        .collect();
    // From 5 April 2026 through 6 April 2027.
    assert_eq!(
        days,
        [
            ("1-1@duty.deckle", "20260501"),
            ("2-1@duty.deckle", "20260420"),
            ("2-2@duty.deckle", "20260720"),
            ("2-3@duty.deckle", "20261020"),
            ("2-4@duty.deckle", "20270120"),
            ("3-1@duty.deckle", "20260630"),
            ("4-1@duty.deckle", "20260615"),
        ]
    );
    assert_eq!(
        events["2-2@duty.deckle"].1,
        "Sales tax for Apr to Jun 2026 due"
    );
    assert_eq!(events["1-1@duty.deckle"].2, "-P45D");
    let tax: Vec<&str> = events
        .iter()
        .filter(|(uid, _)| uid.ends_with("@set-aside.deckle"))
        .map(|(_, (day, _, _))| day.as_str())
        .collect();
    // Form 1040-ES, 2026: 15 April, 15 June, 15 September 2026, 15 January 2027; June is her own duty above.
    assert_eq!(tax, ["20260415", "20260915", "20270115"]);

    // Done and put right, the same time keeps its UID and the next has its own.
    desk.bring(
        "duties-done",
        "duty,due,done_on\nSales tax,2026-04-20,2026-04-18\n",
    );
    let later = write("2026-04-19", "later.ics");
    assert_eq!(later["2-2@duty.deckle"].0, "20260720");
    assert!(!later.contains_key("2-1@duty.deckle"));
    let lines = desk.refused(1, &["show", "@book", "duties", "--calendar", "@later.ics"]);
    assert!(lines[0].contains("later.ics"), "{lines:?}");
    desk.refused(2, &["show", "@book", "needs", "--calendar", "@other.ics"]);
}
