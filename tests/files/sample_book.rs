//! The sample book built by the program from its sheets: whole, balanced, and with the figures it was made to have.
//! Everything in it is invented, so these figures only show that the sheets arrive as written; they prove no rule.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{LazyLock, Mutex, PoisonError};

use serde_json::Value;

/// Built once for all the tests here, which take turns: a book opens for one at a time.
static BOOK: LazyLock<Mutex<(tempfile::TempDir, PathBuf)>> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("works");
    let out = folder.path().join("demo");
    says(&["demo", "--no-window", "--out", text(&out)]);
    let book = out.join("fernhollow.deckle");
    Mutex::new((folder, book))
});

const FIRST: &str = "2025-09-01";
const LAST: &str = "2026-11-20";
const YEAR_ONE: &str = "2025-12-31";
const YEAR_TWO: &str = "2026-01-01";

/// What to show, from, to, where in its JSON, and the figure the sheets were made with.
const FIGURES: &[(&str, &str, &str, &str, &str)] = &[
    ("profit", FIRST, YEAR_ONE, "/totals/net_sales", "1013.75"),
    (
        "profit",
        FIRST,
        YEAR_ONE,
        "/totals/cost_of_goods_sold",
        "234.44",
    ),
    ("profit", FIRST, YEAR_ONE, "/totals/gross_profit", "779.31"),
    ("profit", FIRST, YEAR_ONE, "/totals/costs", "739.73"),
    ("profit", FIRST, YEAR_ONE, "/totals/net_profit", "39.58"),
    ("profit", YEAR_TWO, LAST, "/totals/net_sales", "10228.35"),
    (
        "profit",
        YEAR_TWO,
        LAST,
        "/totals/cost_of_goods_sold",
        "2010.00",
    ),
    ("profit", YEAR_TWO, LAST, "/totals/gross_profit", "8218.35"),
    ("profit", YEAR_TWO, LAST, "/totals/costs", "2879.74"),
    // 8218.35 - 2879.74 + 0.79 interest - 111.49 lost on the first printer
    ("profit", YEAR_TWO, LAST, "/totals/net_profit", "5227.91"),
    ("capital", FIRST, LAST, "/money_in", "1723.00"),
    ("capital", FIRST, LAST, "/money_out", "1633.50"),
    ("capital", FIRST, LAST, "/profit", "5267.49"),
    ("capital", FIRST, LAST, "/closing", "5356.99"),
    ("balance", FIRST, LAST, "/totals/assets", "6027.35"),
    ("balance", FIRST, LAST, "/totals/liabilities", "670.36"),
    ("balance", FIRST, LAST, "/totals/equity", "5356.99"),
    ("trial", FIRST, LAST, "/total_debit", "14231.05"),
    ("trial", FIRST, LAST, "/total_credit", "14231.05"),
];

/// The channels: name, sold, fees, paid out, still due.
const CHANNELS: &[(&str, &str, &str, &str, &str)] = &[
    (
        "Thistlerow Market",
        "4477.50",
        "502.79",
        "3585.05",
        "421.91",
    ),
    ("Lanternpost Shop", "4054.00", "216.84", "3212.83", "746.48"),
    (
        "Copperjay Card Reader",
        "1070.50",
        "30.64",
        "1104.09",
        "0.00",
    ),
];

fn says(args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_deckle"))
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("works");
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{args:?}: {errors}");
    String::from_utf8(output.stdout).expect("works")
}

fn text(path: &Path) -> &str {
    path.to_str().expect("works")
}

/// What the program says of the book: a verb, what follows the book.
fn of_book(verb: &str, rest: &[&str]) -> String {
    let book = BOOK.lock().unwrap_or_else(PoisonError::into_inner);
    let mut args = vec![verb, text(&book.1)];
    args.extend(rest);
    says(&args)
}

fn shown(what: &str, from: &str, to: &str, more: &[&str]) -> Value {
    let mut args = vec![what, "--from", from, "--to", to, "--json"];
    args.extend(more);
    serde_json::from_str(&of_book("show", &args)).expect("works")
}

#[test]
fn the_figures_are_those_of_the_sheets() {
    for (what, from, to, pointer, expected) in FIGURES {
        let json = shown(what, from, to, &[]);
        assert_eq!(
            json.pointer(pointer).and_then(Value::as_str),
            Some(*expected),
            "{what} {from} to {to}, {pointer}"
        );
    }
}

#[test]
fn it_is_sound_and_long_enough() {
    of_book("check", &[]);
    let journal = shown("journal", FIRST, LAST, &[]);
    let entries = journal["entries"].as_array().expect("works");
    assert_eq!(entries.len(), 501);
    assert!(entries.len() >= 350);
    for entry in entries {
        let date = entry["date"].as_str().expect("works");
        assert!((FIRST..=LAST).contains(&date), "{entry}");
    }
}

#[test]
fn each_channel_is_owed_what_is_left() {
    let json = shown("channels", FIRST, LAST, &[]);
    let channels = json["channels"].as_array().expect("works");
    for (name, sold, fees, paid, due) in CHANNELS {
        let channel = channels
            .iter()
            .find(|channel| channel["channel"] == *name)
            .unwrap_or_else(|| panic!("{name} is missing in {json}"));
        assert_eq!(channel["gross_sales"], *sold, "{name}");
        assert_eq!(channel["fees"], *fees, "{name}");
        assert_eq!(channel["payouts"], *paid, "{name}");
        assert_eq!(channel["still_due"], *due, "{name}");
    }
}

#[test]
fn no_money_is_spent_that_is_not_there() {
    for account in ["1000", "1010", "1020", "1200", "1220", "1300"] {
        let json = shown("ledger", FIRST, LAST, &["--account", account]);
        let lines = json["lines"].as_array().expect("works");
        for (idx, line) in lines.iter().enumerate() {
            let ends_its_day = lines
                .get(idx + 1)
                .is_none_or(|next| next["date"] != line["date"]);
            let balance = line["balance"].as_str().expect("works");
            assert!(
                !ends_its_day || !balance.starts_with('-'),
                "{account}: {line}"
            );
        }
    }
}

/// Paying an instalment moves money from what is put by to what is paid, so that both together only grow.
#[test]
fn what_is_kept_for_tax_does_not_fall_when_an_instalment_is_paid() {
    let place = BOOK.lock().unwrap_or_else(PoisonError::into_inner);
    let book = deckle::book::Book::open(&place.1).expect("opens");
    let day = |month, day| chrono::NaiveDate::from_ymd_opt(2026, month, day).expect("a day");
    let kept = |by| {
        let kept = deckle::reports::put_by_or_paid(&book, 2026, by).expect("worked out");
        book.currency().show(kept)
    };
    // Instalments of 245.00 and 185.00 are paid from the savings on 15 June and 15 September; the sheets leave 75.00,
    // 0.18, 130.18, 0.79 and 505.79 in the savings on these days.
    let all = [day(5, 31), day(6, 30), day(8, 31), day(9, 30), day(11, 20)].map(kept);
    assert_eq!(all, ["75.00", "245.18", "375.18", "430.79", "935.79"]);
}
