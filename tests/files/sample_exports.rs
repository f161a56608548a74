//! What the sample's two shops let their seller download: orders, and a statement of fees and payouts, as they follow
//! from the sample's own sheets. The files beside the sample are exactly these (`DECKLE_WRITE_SAMPLE=yes cargo test
//! sample_exports` writes them anew), and a book that has them in place of the sheets has the same figures per shop.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

const MARKET: &str = "Thistlerow Market";
const SHOP: &str = "Lanternpost Shop";

type Rows = Vec<BTreeMap<String, String>>;

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-books/fernhollow")
}

fn rows(name: &str) -> Rows {
    let mut reader = csv::Reader::from_path(sample().join(name)).expect("a sheet");
    let header = reader.headers().expect("a header").clone();
    reader
        .records()
        .map(|record| {
            let record = record.expect("a row");
            let cells = header.iter().zip(record.iter());
            cells
                .map(|(name, cell)| (name.to_owned(), cell.to_owned()))
                .collect()
        })
        .collect()
}

/// An amount of a sheet in cents; nothing for an empty cell.
fn cents(row: &BTreeMap<String, String>, column: &str) -> i64 {
    let text = row.get(column).map_or("", String::as_str);
    if text.is_empty() {
        return 0;
    }
    let (whole, part) = text.split_once('.').unwrap_or((text, "00"));
    whole.parse::<i64>().expect("an amount") * 100 + part.parse::<i64>().expect("cents")
}

fn plain(cents: i64) -> String {
    let sign = if cents < 0 { "-" } else { "" };
    format!("{sign}{}.{:02}", cents.abs() / 100, cents.abs() % 100)
}

/// Nothing, or the amount.
fn may(cents: i64) -> String {
    if cents == 0 {
        String::new()
    } else {
        plain(cents)
    }
}

fn csv_text(header: &[&str], rows: &[Vec<String>]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(header).expect("written");
    for row in rows {
        writer.write_record(row).expect("written");
    }
    String::from_utf8(writer.into_inner().expect("whole")).expect("text")
}

/// The orders of a shop, a row a thing; what is of the whole order stands on its first row.
fn orders(shop: &str, has_fees: bool) -> String {
    let mut list = Vec::new();
    for row in rows("sales.csv")
        .iter()
        .filter(|row| row["paid_into"] == shop || row["paid_into"].is_empty())
    {
        if row["paid_into"].is_empty() {
            continue;
        }
        let mut cells = vec![
            row["reference"].clone(),
            row["date"].clone(),
            row["description"].clone(),
            row["item"].clone(),
            row["quantity"].clone(),
            plain(cents(row, "amount")),
            may(cents(row, "discount")),
            may(cents(row, "postage")),
            may(cents(row, "tax_by_channel")),
        ];
        if has_fees {
            cells.push(may(cents(row, "fee_processing")));
        }
        list.push(cells);
    }
    // Later rows of an order carry its number too.
    let mut number = String::new();
    for cells in &mut list {
        if cells[0].is_empty() {
            cells[0].clone_from(&number);
        }
        number.clone_from(&cells[0]);
    }
    let mut header = vec![
        "Order number",
        "Order date",
        "Item",
        "Product code",
        "Quantity",
        "Line total",
        "Discount",
        "Postage",
        "Tax paid by shop",
    ];
    if has_fees {
        header.push("Payment fee");
    }
    csv_text(&header, &list)
}

/// The movements of a shop's balance, oldest first.
fn statement(shop: &str, has_sales: bool) -> String {
    let mut list: Vec<(String, Vec<String>)> = Vec::new();
    let mut put = |date: &str, kind: &str, order: &str, details: &str, cents: i64| {
        if cents != 0 {
            let cells = vec![
                date.to_owned(),
                kind.to_owned(),
                order.to_owned(),
                details.to_owned(),
                plain(cents),
            ];
            list.push((date.to_owned(), cells));
        }
    };
    let sales = rows("sales.csv");
    let mut order_of: BTreeMap<String, String> = BTreeMap::new();
    let mut whole: BTreeMap<String, i64> = BTreeMap::new();
    for row in sales.iter().filter(|row| row["paid_into"] == shop) {
        if !row["reference"].is_empty() {
            order_of.insert(row["sale"].clone(), row["reference"].clone());
        }
        *whole.entry(row["sale"].clone()).or_default() +=
            cents(row, "amount") - cents(row, "discount") + cents(row, "postage");
    }
    let mut tax_of: BTreeMap<String, i64> = BTreeMap::new();
    for row in sales
        .iter()
        .filter(|row| row["paid_into"] == shop && !row["reference"].is_empty())
    {
        let (date, order) = (&row["date"], &row["reference"]);
        let tax = cents(row, "tax_by_channel");
        tax_of.insert(row["sale"].clone(), tax);
        if has_sales {
            put(date, "Sale", order, "", whole[&row["sale"]] + tax);
            put(date, "Sales tax", order, "", -tax);
            put(date, "Listing fee", order, "", -cents(row, "fee_listing"));
            put(date, "Commission", order, "", -cents(row, "fee_commission"));
            put(
                date,
                "Processing fee",
                order,
                "",
                -cents(row, "fee_processing"),
            );
        }
    }
    for row in rows("refunds.csv") {
        let Some(order) = order_of.get(&row["sale"]) else {
            continue;
        };
        let amount = cents(&row, "amount");
        // The customer has the shop's tax back too, and the shop takes that from its own.
        let (whole, tax) = (whole[&row["sale"]], tax_of[&row["sale"]]);
        let tax = (amount * tax * 2 + whole) / (whole * 2);
        put(&row["date"], "Refund", order, "", -amount - tax);
        put(&row["date"], "Sales tax", order, "", tax);
        put(
            &row["date"],
            "Commission",
            order,
            "given back",
            cents(&row, "fee_credit"),
        );
    }
    for row in rows("entries.csv")
        .iter()
        .filter(|row| row["party"] == shop && row["account"] == "6200")
    {
        let kind = if row["memo"].contains("plan") {
            "Subscription"
        } else {
            "Listing fee"
        };
        put(&row["date"], kind, "", &row["memo"], -cents(row, "debit"));
    }
    for row in rows("payouts.csv")
        .iter()
        .filter(|row| row["channel"] == shop)
    {
        put(
            &row["date"],
            "Payout",
            "",
            &row["reference"],
            -cents(row, "amount"),
        );
    }
    list.sort_by(|a, b| a.0.cmp(&b.0));
    let rows: Vec<Vec<String>> = list.into_iter().map(|(_date, cells)| cells).collect();
    csv_text(
        &["Date", "Type", "Order number", "Details", "Amount"],
        &rows,
    )
}

fn files() -> Vec<(&'static str, String)> {
    vec![
        ("thistlerow-orders.csv", orders(MARKET, false)),
        ("thistlerow-statement.csv", statement(MARKET, true)),
        ("lanternpost-orders.csv", orders(SHOP, true)),
        ("lanternpost-statement.csv", statement(SHOP, false)),
    ]
}

fn run(arguments: &[&str]) -> String {
    let ran = Command::new(env!("CARGO_BIN_EXE_deckle"))
        .args(arguments)
        .env_remove("DISPLAY")
        .output()
        .expect("runs");
    assert!(
        ran.status.success(),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&ran.stderr)
    );
    String::from_utf8(ran.stdout).expect("text")
}

fn channel(book: &str, name: &str) -> Value {
    let text = run(&[
        "show",
        book,
        "channels",
        "--from",
        "2025-09-01",
        "--to",
        "2026-12-31",
        "--json",
    ]);
    let shown: Value = serde_json::from_str(&text).expect("JSON");
    let channels = shown["channels"].as_array().expect("a list").clone();
    channels
        .into_iter()
        .find(|one| one["channel"] == name)
        .expect("the shop")
}

/// The sample's sheets without what the two shops' files tell, in a folder of their own.
fn without_shops(folder: &Path) {
    let of_shops = |name: &str| name == MARKET || name == SHOP;
    let mut gone: Vec<String> = Vec::new();
    for row in rows("sales.csv")
        .iter()
        .filter(|row| of_shops(&row["paid_into"]))
    {
        gone.push(row["sale"].clone());
    }
    for name in [
        "settings.csv",
        "accounts.csv",
        "items.csv",
        "bundles.csv",
        "sales.csv",
        "refunds.csv",
        "payouts.csv",
    ] {
        let mut reader = csv::Reader::from_path(sample().join(name)).expect("a sheet");
        let header = reader.headers().expect("a header").clone();
        let at = |wanted: &str| header.iter().position(|name| name == wanted);
        let mut writer = csv::Writer::from_path(folder.join(name)).expect("a sheet");
        writer.write_record(&header).expect("written");
        for record in reader.records() {
            let record = record.expect("a row");
            let has = |column: &str, test: &dyn Fn(&str) -> bool| {
                at(column)
                    .and_then(|place| record.get(place))
                    .is_some_and(test)
            };
            let is_gone = match name {
                "sales.csv" | "refunds.csv" => {
                    has("sale", &|sale| gone.iter().any(|one| one == sale))
                }
                "payouts.csv" => has("channel", &of_shops),
                _ => false,
            };
            if !is_gone {
                writer.write_record(&record).expect("written");
            }
        }
        writer.flush().expect("whole");
    }
}

#[test]
fn sample_exports_follow_from_the_sheets_and_give_the_same_figures() {
    let is_writing = std::env::var_os("DECKLE_WRITE_SAMPLE").is_some();
    for (name, text) in files() {
        let path = sample().join("exports").join(name);
        if is_writing {
            std::fs::write(&path, &text).expect("written");
        }
        let there = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(there == text, "{name} is not what the sheets say");
    }
    let temporary = tempfile::tempdir().expect("a folder");
    let out = temporary.path().join("demo");
    run(&["demo", "--no-window", "--out", &out.display().to_string()]);
    let whole = out.join("fernhollow.deckle").display().to_string();
    let sheets = temporary.path().join("sheets");
    std::fs::create_dir(&sheets).expect("a folder");
    without_shops(&sheets);
    let book = temporary
        .path()
        .join("exports.deckle")
        .display()
        .to_string();
    run(&[
        "new",
        &book,
        "--currency",
        "USD",
        "--first-day",
        "2025-09-01",
    ]);
    run(&["bring", &book, "sheets", &sheets.display().to_string()]);
    for (kind, file, shop) in [
        // In any order: the statement of one shop before its orders.
        ("payouts", "thistlerow-statement.csv", MARKET),
        ("orders", "thistlerow-orders.csv", MARKET),
        ("orders", "lanternpost-orders.csv", SHOP),
        ("payouts", "lanternpost-statement.csv", SHOP),
    ] {
        let path = sample().join("exports").join(file).display().to_string();
        run(&["bring", &book, kind, &path, "--channel", shop]);
        assert!(run(&["bring", &book, kind, &path, "--channel", shop]).contains("nothing new"));
    }
    for shop in [MARKET, SHOP] {
        let (told, found) = (channel(&whole, shop), channel(&book, shop));
        for figure in [
            "sales",
            "gross_sales",
            "discounts",
            "postage",
            "tax_ours",
            "refunds",
            "fees",
            "net",
            "payouts",
            "other",
            "still_due",
        ] {
            assert_eq!(found[figure], told[figure], "{shop}: {figure}");
        }
        // From the sales down to what is still due, nothing is left unexplained.
        assert_eq!(found["other"], "0.00", "{shop}");
    }
    assert!(run(&["check", &book]).contains("is sound"));
}
