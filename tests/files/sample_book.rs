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

/// What to show, from, to, where in its JSON, and the figure the sheets were made with. Each was worked out from the
/// sheets alone, apart from the program: landed costs with the largest remainder, a moving average in whole cents for
/// every issue, each batch at what went into it. Beside a figure stands what it is made of.
const FIGURES: &[(&str, &str, &str, &str, &str)] = &[
    // 1004.50 sold + 42.30 postage - 19.05 discounts - 14.00 refund
    ("profit", FIRST, YEAR_ONE, "/totals/net_sales", "1013.75"),
    // 204.41 cost of the pieces sold + 3.44 missing at the count of 31 December
    (
        "profit",
        FIRST,
        YEAR_ONE,
        "/totals/cost_of_goods_sold",
        "207.85",
    ),
    ("profit", FIRST, YEAR_ONE, "/totals/gross_profit", "805.90"),
    ("profit", FIRST, YEAR_ONE, "/totals/costs", "685.64"),
    ("profit", FIRST, YEAR_ONE, "/totals/net_profit", "120.26"),
    // 10277.50 + 474.60 - 187.05 - 193.70
    ("profit", YEAR_TWO, LAST, "/totals/net_sales", "10371.35"),
    // 1910.03 cost of the pieces sold, the supplier's 8.25 for two tubes of ink taken off, + 20.27 wasted and missing
    (
        "profit",
        YEAR_TWO,
        LAST,
        "/totals/cost_of_goods_sold",
        "1930.30",
    ),
    ("profit", YEAR_TWO, LAST, "/totals/gross_profit", "8441.05"),
    ("profit", YEAR_TWO, LAST, "/totals/costs", "2800.09"),
    // 8441.05 - 2800.09 + 0.79 interest - 111.49 lost on the first printer
    ("profit", YEAR_TWO, LAST, "/totals/net_profit", "5530.26"),
    ("capital", FIRST, LAST, "/money_in", "1723.00"),
    // 1633.50 in money and private shares + 9.47, a journal for the owner's own desk
    ("capital", FIRST, LAST, "/money_out", "1642.97"),
    ("capital", FIRST, LAST, "/profit", "5650.52"),
    ("capital", FIRST, LAST, "/closing", "5730.55"),
    // 30.00 of a deposit and 25.00 of a voucher lie in the cash box and are held for others
    ("balance", FIRST, LAST, "/totals/assets", "6363.71"),
    ("balance", FIRST, LAST, "/totals/liabilities", "633.16"),
    ("balance", FIRST, LAST, "/totals/equity", "5730.55"),
    // With 2025 closed: 14336.85 less its costs 685.64 and 207.85, refunds 14.00, discounts 19.05 and drawings 56.40.
    ("trial", FIRST, LAST, "/total_debit", "13353.91"),
    ("trial", FIRST, LAST, "/total_credit", "13353.91"),
    // Stock at the end of the first year: 163.25 materials, 101.56 made, 22.94 bought in, 57.32 packaging
    ("stock", FIRST, YEAR_ONE, "/total_value", "345.07"),
    ("stock", FIRST, YEAR_ONE, "/ledger_value", "345.07"),
    ("stock", FIRST, YEAR_ONE, "/not_itemised", "0.00"),
    // and of the second: 430.66, 219.93, 111.99, 135.43
    ("stock", YEAR_TWO, LAST, "/total_value", "898.01"),
    ("stock", YEAR_TWO, LAST, "/ledger_value", "898.01"),
    ("stock", YEAR_TWO, LAST, "/totals/opening", "345.07"),
    ("stock", YEAR_TWO, LAST, "/totals/closing", "898.01"),
    ("stock", YEAR_TWO, LAST, "/part_made", "0.00"),
    // The working leaves packaging out: 345.07 - 57.32 and 898.01 - 135.43
    ("cost-of-goods-sold", YEAR_TWO, LAST, "/opening", "287.75"),
    ("cost-of-goods-sold", YEAR_TWO, LAST, "/closing", "762.58"),
    (
        "cost-of-goods-sold",
        YEAR_TWO,
        LAST,
        "/cost_of_goods_sold",
        "1930.30",
    ),
    (
        "cost-of-goods-sold",
        FIRST,
        YEAR_ONE,
        "/cost_of_goods_sold",
        "207.85",
    ),
];

/// What lies there on the last day: code, how many, worth. From the same working; by hand, for the postcards: 50 at
/// 29.00 and 250 at 90.00 came, 69 packs of three went and one came back, so 300 - 207 + 3 + 3 are 99.
const STOCK: &[(&str, &str, &str)] = &[
    ("BIRTHDAY", "85", "38.25"),
    ("BOARD", "49", "34.59"),
    ("CARD", "18", "7.79"),
    ("CARDSET", "7", "15.17"),
    ("CLOTH", "12.81", "147.61"),
    ("COVER", "250", "55.14"),
    ("ENVELOPE", "142", "10.19"),
    ("GIFTBOX", "58", "41.84"),
    ("INK", "207.2", "55.98"),
    ("JOURNAL", "4", "37.69"),
    ("MAILER", "102", "83.40"),
    ("MIDCARD", "142", "37.41"),
    ("MIDWINTER", "10", "28.15"),
    ("NOTEBOOK", "17", "114.71"),
    ("PAPER", "282", "105.56"),
    ("POCKET", "5", "16.42"),
    ("POSTCARD", "99", "36.33"),
    ("RIBBON", "5.2", "5.28"),
    ("THREAD", "284.5", "26.50"),
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
    // 85.50 and 57.50 sold at the gallery, of which it keeps 40 %
    ("Thornbury Lane Gallery", "143.00", "57.20", "85.80", "0.00"),
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
    // 14 of the owner's, 137 purchases, 209 sales, 10 refunds, 39 payouts, 81 entries, 70 groups of movements, the
    // supplier's credit among them, a deposit and a voucher; carrying pieces about writes none, and neither do an order, a
    // claim and a fair to pack for. The last one closes 2025.
    assert_eq!(entries.len(), 563);
    assert!(entries.len() >= 350);
    for entry in entries {
        let date = entry["date"].as_str().expect("works");
        assert!((FIRST..=LAST).contains(&date), "{entry}");
        // The sheets are costed together, so nothing has to be put right afterwards.
        assert_ne!(entry["kind"], "stock-cost", "{entry}");
    }
}

#[test]
fn what_lies_there_is_what_came_less_what_went() {
    let json = shown("stock", YEAR_TWO, LAST, &[]);
    let items = json["items"].as_array().expect("works");
    assert_eq!(items.len(), STOCK.len());
    for (code, quantity, value) in STOCK {
        let item = items
            .iter()
            .find(|item| item["code"] == *code)
            .unwrap_or_else(|| panic!("{code} is missing in {json}"));
        assert_eq!(item["quantity"], *quantity, "{code}");
        assert_eq!(item["value"], *value, "{code}");
    }
    let needs: Value = serde_json::from_str(&of_book("show", &["needs", "--json"])).expect("works");
    let low = needs["open"]
        .as_array()
        .expect("works")
        .iter()
        .find(|need| {
            need["what"]
                .as_str()
                .is_some_and(|what| what.contains("runs low"))
        })
        .expect("something runs low");
    assert_eq!(low["note"], "Postcard, printed outside (99 pieces left)");
}

/// The orders to the print house by hand, from the sheets alone: 250 x 0.36 = 90.00 and 100 x 0.45 = 45.00 were expected;
/// 250 came for 90.00, and 105 for 105 x 0.45 = 47.25, five of them smudged, for which 5 x 0.45 = 2.25 came back before the
/// first card was gone. So the hundred good ones stand at 47.25 - 2.25 = 45.00, as they would had only they come.
#[test]
fn the_cards_printed_outside_came_by_orders() {
    let json = shown("orders", FIRST, LAST, &[]);
    let orders = json["orders"].as_array().expect("works");
    let told: Vec<[&str; 6]> = orders
        .iter()
        .map(|order| {
            let keys = [
                "order",
                "state",
                "expected_on",
                "expected_total",
                "credited",
                "cost",
            ];
            keys.map(|key| order[key].as_str().unwrap_or_default())
        })
        .collect();
    assert_eq!(
        told,
        [
            // 50 x 0.58 + 150 x 0.44
            ["Cards 1", "here", "2025-10-22", "95.00", "0.00", "95.00"],
            ["Cards 2", "here", "2026-03-13", "135.00", "2.25", "135.00"],
            // 600 x 0.25 + 7.00 for the plate
            ["Cards 3", "here", "2026-09-28", "157.00", "0.00", "157.00"],
            // 250 x 0.36 + 6.40 carriage
            ["Cards 4", "open", "2026-11-26", "96.40", "0.00", "0.00"],
        ]
    );
    let birthday = &orders[1]["arrivals"][1]["lines"][0];
    assert_eq!(birthday["good"], 100);
    assert_eq!(birthday["spoiled"], 5);
    assert_eq!(birthday["billed"], "47.25");
    assert_eq!(birthday["each"], "0.45");
    let claim = &orders[1]["claims"][0];
    assert_eq!(claim["state"], "credited");
    assert_eq!(claim["settled_on"], "2026-04-20");
    assert_eq!(orders[3]["lines"][0]["to_come"], 250);
}

/// The folders hand over what the statements say: what lies there, and the working of what was sold.
#[test]
fn the_folders_of_both_years_tie() {
    let place = BOOK.lock().unwrap_or_else(PoisonError::into_inner);
    let demo = place.1.parent().expect("has one");
    for (year, stock, cost) in [("2025", "345.07", "207.85"), ("2026", "898.01", "1930.30")] {
        let folder = demo.join(format!("year-end-{year}"));
        let sheet = |name: &str| {
            let text = std::fs::read_to_string(folder.join("sheets").join(name)).expect("is there");
            text.lines().map(str::to_owned).collect::<Vec<String>>()
        };
        let ends = |name: &str, amount: &str| {
            assert!(
                sheet(name).iter().any(|line| line.ends_with(amount)),
                "{year} {name}: {amount}"
            );
        };
        ends("stock.csv", &format!(",{stock}"));
        // Its last column has words, where a line needs some.
        ends("cost-of-goods-sold.csv", &format!(",{cost},"));
    }
}

/// The phone's share rests on calls that were counted; that of the laptop on nothing that is written down.
#[test]
fn the_folder_says_what_a_private_share_rests_on() {
    let place = BOOK.lock().unwrap_or_else(PoisonError::into_inner);
    let demo = place.1.parent().expect("has one");
    let sheet = demo.join("year-end-2026/sheets/mixed-use.csv");
    let text = std::fs::read_to_string(sheet).expect("is there");
    let (phone, wear): (Vec<&str>, Vec<&str>) = text
        .lines()
        .skip(1)
        .partition(|line| line.contains("Dovetone Mobile"));
    assert_eq!((phone.len(), wear.len()), (11, 9));
    for line in phone {
        assert!(line.contains("32.00,19.20,40,"), "{line}");
        assert!(line.contains("41 of 102 for the business"), "{line}");
        assert!(line.ends_with(",2025-11-12"), "{line}");
    }
    assert!(wear.iter().all(|line| line.ends_with(",,")), "{wear:?}");
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
    for account in [
        "1000", "1010", "1020", "1200", "1210", "1220", "1225", "1230", "1300",
    ] {
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

/// Most of the sample's sales fall into the last months, so by the season the early instalments are lower than in equal
/// parts. Worked by hand for 2026, every line to the cent, from the profit through March 135.85, May 1,036.33, August
/// 1,800.91 and the year 5,530.26 (26 U.S.C. 6654(d)(2): times 4, 2.4, 1.5, 1; 22.5, 45, 67.5, 90 per cent; rates of 26
/// U.S.C. 1401 and 1402 and Rev. Proc. 2025-32), filed together with wages of 38,000.00, whose own tax of 10 % of
/// 38,000.00 − 32,200.00 = 580.00 is withheld, 145.00 a quarter:
///
/// - March: 543.40 for a year; 501.83 counts; 62.23 + 14.55 = 76.78, half 38.39; 38,505.01 − 32,200.00 − 101.00 (20 % of
///   505.01) = 6,204.01; 620.40 + 76.78 = 697.18; 22.5 % = 156.87 − 145.00 = 11.87.
/// - May: 2,487.19; 2,296.92; 284.82 + 66.61 = 351.43, half 175.72; 8,111.47 − 462.29 = 7,649.18; 764.92 + 351.43 =
///   1,116.35; 45 % = 502.36 − 290.00 − 11.87 = 200.49.
/// - August: 2,701.37; 2,494.72; 309.35 + 72.35 = 381.70, half 190.85; 8,310.52 − 502.10 = 7,808.42; 780.84 + 381.70 =
///   1,162.54; 67.5 % = 784.71 − 435.00 − 212.36 = 137.35.
/// - The year: 5,107.20; 633.29 + 148.11 = 781.40, half 390.70; 10,939.56 − 1,027.91 = 9,911.65; 991.17 + 781.40 =
///   1,772.57; 90 % = 1,595.31 − 580.00 − 349.71 = 665.60.
///
/// In equal parts: 90 % of 1,772.57 = 1,595.31 is less than last year's 3,890.00; less 580.00 withheld is 1,015.31, a
/// quarter 253.83; then 507.66 − 11.87 = 495.79, 761.49 − 212.36 = 549.13, and the rest 1,015.31 − 349.71 = 665.60.
#[test]
fn the_season_lowers_the_early_instalments() {
    let sheet: Value =
        serde_json::from_str(&of_book("show", &["set-aside", "--year", "2026", "--json"]))
            .expect("JSON");
    let rows: Vec<[&str; 4]> = sheet["instalments"]
        .as_array()
        .expect("instalments")
        .iter()
        .map(|row| {
            ["due", "equal", "annualised", "amount"].map(|key| row[key].as_str().unwrap_or("-"))
        })
        .collect();
    assert_eq!(
        rows,
        [
            ["2026-04-15", "253.83", "11.87", "11.87"],
            ["2026-06-15", "495.79", "200.49", "200.49"],
            ["2026-09-15", "549.13", "137.35", "137.35"],
            ["2027-01-15", "665.60", "665.60", "665.60"],
        ]
    );
    for (idx, note) in [
        (0, "lower by the season"),
        (2, "lower by the season"),
        (3, ""),
    ] {
        assert_eq!(sheet["instalments"][idx]["note"], note);
        let how = sheet["instalments"][idx]["annualised_formula"].as_str();
        assert!(how.is_some_and(|how| how.contains("for a year; tax on it")));
    }
    // 1,772.57 less the 580.00 that the wages alone would cost
    assert_eq!(sheet["total"], "1192.57");
    // less 505.79 put by and 430.00 paid
    assert_eq!(sheet["to_move"], "256.78");
    for line in sheet["lines"].as_array().expect("lines") {
        assert!(!line["formula"].as_str().unwrap_or_default().is_empty());
    }
}
