//! A year by the lines of a tax form as the program prints it.
//! Figures are by hand.

use crate::desk::Desk;

#[test]
fn a_year_is_sorted_by_the_lines_of_a_form() {
    let desk = Desk::new();
    desk.file(
        "entries.csv",
        "entry,date,kind,account,debit,credit\nA,2026-03-01,sale,1000,200.00,\nA,2026-03-01,sale,4000,,200.00\n\
         B,2026-03-02,manual,6400,12.00,\nB,2026-03-02,manual,1000,,12.00\n\
         C,2026-03-03,manual,1000,1.50,\nC,2026-03-03,manual,4080,,1.50\n",
    );
    desk.ok(&["bring", "@book", "entries", "@entries.csv"]);
    let said = desk.json(&["form-lines", "--year", "2026"]);
    assert_eq!(said["form"], "us-schedule-c");
    assert_eq!(said["tax_year"], "2025");
    assert!(
        said["assumed"]
            .as_str()
            .is_some_and(|words| words.contains("as an assumption"))
    );
    assert_eq!(
        (&said["net"], &said["not_taken"], &said["net_profit"]),
        (&"188.00".into(), &"1.50".into(), &"189.50".into())
    );
    let line = |number: &str| {
        let lines = said["lines"].as_array().expect("lines");
        lines
            .iter()
            .find(|line| line["line"] == number)
            .expect("a line")
            .clone()
    };
    assert_eq!(line("1")["amount"], "200.00");
    assert_eq!(line("27b")["amount"], "12.00");
    assert_eq!(
        line("48")["accounts"][0]["account"],
        "6400 Software and subscriptions"
    );
    assert_eq!(line("33")["words"], "cost");
    let text = desk.ok(&["show", "@book", "form-lines", "--year", "2026"]);
    for words in [
        "A sorting aid, not a return",
        "as an assumption",
        "Not taken by this form",
        "Net profit of the statement",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let other = desk.json(&["form-lines", "--year", "2026", "--form", "uk-sa103s"]);
    assert_eq!(other["lines"][0]["amount"], "200.00");
    desk.ok(&["set", "@book", "tax_form=none"]);
    let lines = desk.refused(1, &["show", "@book", "form-lines", "--year", "2026"]);
    assert!(format!("{lines:?}").contains("--form"), "{lines:?}");
    desk.refused(
        1,
        &["show", "@book", "form-lines", "--form", "us-schedule-z"],
    );
}
