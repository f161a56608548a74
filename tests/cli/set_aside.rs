//! The set-aside worksheets by the verbs: answers set and refused, lines and due days shown, the owner's own rates.
//! Figures are by hand, or those of the worksheet's own tests.

use super::desk::Desk;

fn json(desk: &Desk, arguments: &[&str]) -> serde_json::Value {
    let with_json: Vec<&str> = arguments.iter().copied().chain(["--json"]).collect();
    serde_json::from_str(&desk.ok(&with_json)).expect("JSON")
}

fn line<'a>(shown: &'a serde_json::Value, key: &str) -> &'a serde_json::Value {
    let lines = shown["lines"].as_array().expect("lines");
    let found = lines.iter().find(|line| line["key"] == key);
    found.unwrap_or_else(|| panic!("no line {key}"))
}

const WHAT_IF: [&str; 6] = [
    "show",
    "@book",
    "set-aside",
    "--year",
    "2026",
    "--what-if-profit=60000",
];

#[test]
fn a_worksheet_is_answered_and_shown_line_by_line() {
    let desk = Desk::new();
    desk.ok(&["set", "@book", "set_aside.method=us"]);
    let said = desk.refused(1, &WHAT_IF);
    assert!(
        said[0].contains("set_aside.filing_status=single or joint"),
        "{said:?}"
    );
    // The rooms go on with a plain share, and say why.
    desk.ok(&["show", "@book", "needs"]);
    desk.ok(&["set", "@book", "set_aside.filing_status=single"]);
    let shown = json(&desk, &WHAT_IF);
    assert_eq!(shown["method"], "us-2026");
    assert_eq!(shown["year_total"], "12037.20");
    assert_eq!(shown["total"], "12037.20");
    let medicare = line(&shown, "medicare");
    assert_eq!(medicare["amount"], "1606.89");
    assert!(
        medicare["formula"]
            .as_str()
            .expect("words")
            .starts_with("2.9 % of 55,410.00 (line ")
    );
    for part in ["label", "explanation", "source"] {
        assert!(
            !medicare[part].as_str().expect("words").is_empty(),
            "{part}"
        );
    }
    assert!(
        shown["caution"]
            .as_str()
            .expect("words")
            .contains("licensed professional")
    );
    assert_eq!(shown["instalments"][0]["equal"], "2708.37");

    let loss = json(
        &desk,
        &[
            "show",
            "@book",
            "set-aside",
            "--year",
            "2026",
            "--what-if-profit=-7300",
        ],
    );
    assert_eq!(loss["total"], "0.00");
    assert!(loss["notes"].to_string().contains("loss so far"));

    let refused = desk.refused(
        1,
        &[
            "show",
            "@book",
            "set-aside",
            "--year",
            "2027",
            "--what-if-profit",
            "60000",
        ],
    );
    assert!(
        refused[0].contains("for 2027") && refused[0].contains("'us-2026'"),
        "{refused:?}"
    );
    let assumed = json(
        &desk,
        &[
            "show",
            "@book",
            "set-aside",
            "--year",
            "2027",
            "--what-if-profit",
            "60000",
            "--method",
            "us-2026",
        ],
    );
    assert_eq!(assumed["rates"]["assumed_for"], "2027");
    assert!(
        assumed["notes"][0]
            .as_str()
            .expect("words")
            .contains("An assumption")
    );
    let text = desk.ok(&WHAT_IF);
    // No working is cut short.
    assert!(
        text.contains("10 % of 12,400.00 + 12 % of 19,328.90\n"),
        "{text}"
    );
    assert!(
        text.contains("An estimate to help you save, not the tax you owe."),
        "{text}"
    );
}

#[test]
fn answers_that_cannot_be_are_refused_and_change_nothing() {
    let desk = Desk::new();
    for (setting, wanted) in [
        ("set_aside.filing_status=marred", "is not one of single"),
        ("set_aside.other_wages=-1", "below nothing"),
        ("set_aside.business_miles=many", "is not a number"),
        ("set_aside.business_miles=-3", "below nothing"),
        ("set_aside.credits=1.234", "1.234"),
        (
            "set_aside.take_trading_allowance=maybe",
            "is not one of yes, no",
        ),
        (
            "set_aside.bussiness_miles=3",
            "there is no setting 'set_aside.bussiness_miles'",
        ),
    ] {
        let said = desk.refused(1, &["set", "@book", setting]);
        assert!(said[0].contains(wanted), "{setting}: {said:?}");
    }
    assert_eq!(
        json(&desk, &["show", "@book", "settings"])["set_aside.business_miles"],
        serde_json::Value::Null
    );
    desk.ok(&["set", "@book", "set_aside.business_miles=120.50"]);
    assert_eq!(
        json(&desk, &["show", "@book", "settings"])["set_aside.business_miles"],
        "120.5"
    );
    desk.ok(&["set", "@book", "set_aside.business_miles="]);
    assert_eq!(
        json(&desk, &["show", "@book", "settings"])["set_aside.business_miles"],
        serde_json::Value::Null
    );
}

#[test]
fn answers_go_with_the_book_when_it_is_written_out() {
    let desk = Desk::new();
    desk.ok(&[
        "set",
        "@book",
        "set_aside.method=us",
        "set_aside.filing_status=head",
        "set_aside.credits=250.00",
        "set_aside.workspace_area=80",
    ]);
    desk.ok(&["write-out", "@book", "@out"]);
    desk.ok(&[
        "new",
        "@second.deckle",
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
    ]);
    desk.ok(&["bring", "@second.deckle", "written-out", "@out"]);
    let settings = json(&desk, &["show", "@second.deckle", "settings"]);
    assert_eq!(settings["set_aside.credits"], "250.00");
    assert_eq!(settings["set_aside.workspace_area"], "80");
    let mut again = WHAT_IF;
    again[1] = "@second.deckle";
    let (first, second) = (json(&desk, &WHAT_IF), json(&desk, &again));
    assert_eq!(first["lines"], second["lines"]);
}

#[test]
fn due_days_and_rates_are_shown_with_their_sources() {
    let desk = Desk::new();
    let dates = json(&desk, &["show", "@book", "due-dates", "--year", "2027"]);
    assert_eq!(dates["due_dates"][3]["due"], "2028-01-18");
    assert!(
        dates["due_dates"][3]["moved_because"]
            .as_str()
            .expect("words")
            .contains("Martin Luther King")
    );
    // Dates need no answers, and no rates of the year.
    let dates = json(
        &desk,
        &[
            "show",
            "@book",
            "due-dates",
            "--year",
            "2027",
            "--method",
            "us-2026",
        ],
    );
    assert_eq!(dates["due_dates"][0]["due"], "2027-04-15");
    let later = [
        "show",
        "@book",
        "due-dates",
        "--year",
        "2031",
        "--method",
        "us",
    ];
    assert_eq!(json(&desk, &later)["due_dates"][2]["due"], "2031-09-15");
    let dates = json(
        &desk,
        &[
            "show",
            "@book",
            "due-dates",
            "--year",
            "2026",
            "--method",
            "uk",
        ],
    );
    assert_eq!(dates["due_dates"][2]["label"], "Balancing payment");
    let rates = json(&desk, &["show", "@book", "rates"]);
    assert_eq!(rates["faults"], serde_json::json!([]));
    let names: Vec<&str> = rates["rates"]
        .as_array()
        .expect("rates")
        .iter()
        .map(|one| one["name"].as_str().expect("a name"))
        .collect();
    for name in [
        "us-2023",
        "us-2024",
        "us-2025",
        "us-2026",
        "uk-2024-25",
        "uk-2025-26",
        "uk-2026-27",
        "nz-2025-26",
    ] {
        assert!(names.contains(&name), "{name}: {names:?}");
    }
    for one in rates["rates"].as_array().expect("rates") {
        for figure in one["figures"].as_array().expect("figures") {
            assert!(
                !figure["source"].as_str().expect("a source").is_empty(),
                "{figure}"
            );
            assert!(figure["checked"].as_str().is_some(), "{figure}");
        }
    }
    assert_eq!(rates["methods"][0]["name"], "percent");
    assert_eq!(
        rates["methods"][1]["answers"][0]["setting"],
        "set_aside.filing_status"
    );
    assert!(
        desk.ok(&["show", "@book", "rates", "--method", "us-2026"])
            .contains("184500")
    );
}

#[test]
fn the_owners_own_rates_beside_the_book_are_used_or_refused_clearly() {
    let desk = Desk::new();
    desk.ok(&[
        "set",
        "@book",
        "set_aside.method=us",
        "set_aside.filing_status=single",
    ]);
    std::fs::create_dir(desk.path("rates")).expect("a folder");
    let own = include_str!("../../assets/rates/us-2026.toml");
    let mine = own
        .replace("year = \"2026\"", "year = \"2027\"")
        .replace("2026-01-01", "2027-01-01")
        .replace("2026-12-31", "2027-12-31");
    desk.file(
        "rates/us-2027.toml",
        mine.replace("[\"12400\", \"50400\"", "[\"12500\", \"50400\""),
    );
    let ask = [
        "show",
        "@book",
        "set-aside",
        "--year",
        "2027",
        "--what-if-profit",
        "60000",
    ];
    let refused = desk.refused(1, &ask);
    assert!(
        refused[0].contains("us-2027.toml, line ")
            && refused[0].contains("nothing holds from 12400 to 12500"),
        "{refused:?}"
    );
    // The other years go on, and what is refused is listed.
    assert_eq!(json(&desk, &WHAT_IF)["total"], "12037.20");
    let rates = json(&desk, &["show", "@book", "rates"]);
    assert!(
        rates["faults"][0]
            .as_str()
            .expect("words")
            .contains("us-2027.toml")
    );
    desk.file("rates/us-2027.toml", mine);
    let shown = json(&desk, &ask);
    assert_eq!(shown["method"], "us-2027");
    assert_eq!(shown["total"], "12037.20");
    assert!(!shown["notes"].to_string().contains("An assumption"));
}

/// A book of calendar years in pounds: what counts for the tax year from 6 April is what is dated in it.
#[test]
fn a_tax_year_that_is_not_the_books_year_counts_its_own_entries() {
    let desk = Desk::empty();
    desk.ok(&[
        "new",
        "@book",
        "--currency",
        "GBP",
        "--first-day",
        "2026-01-01",
    ]);
    desk.bring(
        "sales",
        "sale,date,paid_into,amount\nA,2026-04-05,1000,100.00\nB,2026-04-06,1000,20000.00\nC,2027-04-05,1000,5000.00\nD,2027-04-06,1000,700.00\n",
    );
    desk.ok(&["set", "@book", "set_aside.method=uk"]);
    let shown = json(&desk, &["show", "@book", "set-aside", "--year", "2026"]);
    assert_eq!(shown["tax_year"]["from"], "2026-04-06");
    assert_eq!(line(&shown, "profit")["amount"], "25000.00");
    // By hand: 20 % and 6 % of 12,430.
    assert_eq!(shown["total"], "3231.80");
    assert!(
        shown["notes"]
            .to_string()
            .contains("is not the book's year")
    );
}
