//! The first month of a maker, as sheets, and what its statements must say. All invented; worked on paper.
//! Who brings it into a book, the program from sheets or a hand through the window, is the tests' business.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// The business of the story.
pub const NAME: &str = "Fernhollow Bindery";

/// The sheets in the order they happened. An order is kept under its number.
pub const SHEETS: &[(&str, &str)] = &[
    (
        "accounts",
        "number,name,class,group\n\
         1051,Harebell Shop,asset,Payouts due\n",
    ),
    (
        "owner",
        "date,direction,account,amount,description\n\
         2026-01-05,in,1000,1000.00,Savings put in\n\
         2026-01-31,out,1000,50.00,Taken for the household\n",
    ),
    // Carriage 7.01 over 60.00, 25.00 and 15.00: 4.206, 1.7525 and 1.0515, so the odd cent goes to the paper.
    // The press: (240.00 - 24.00) / 36 months = 6.00 a month.
    (
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,quantity,carriage,equipment_name,life_months,residual,in_service_on,convention,condition\n\
         B-1,2026-01-08,Alderwick Paper Merchants,1000,60.00,1200,Text paper,6,7.01,,,,,,\n\
         B-1,2026-01-08,Alderwick Paper Merchants,1000,25.00,6000,Glue,2,,,,,,,\n\
         B-1,2026-01-08,Alderwick Paper Merchants,1000,15.00,6010,Corner rounder,1,,,,,,,\n\
         B-2,2026-01-12,Private seller,1000,240.00,1500,Book press,1,,Book press,36,24.00,2026-01-12,month-in-service,second-hand\n\
         B-3,2026-01-15,Nimbleleaf Software,2010,9.99,6400,Drawing program,1,,,,,,,\n",
    ),
    // Fees: 0.20 a listing, 6.5 % of price and postage, 3 % of what the customer paid and 0.25.
    (
        "sales",
        "sale,reference,date,paid_into,amount,description,quantity,discount,postage,tax_by_channel,fee_listing,fee_commission,fee_processing\n\
         S-01,S-01,2026-01-13,Harebell Shop,20.00,Notebook,1,,4.00,,0.20,1.56,0.97\n\
         S-02,S-02,2026-01-14,Harebell Shop,12.50,Cards,5,,,,0.20,0.81,0.63\n\
         S-03,S-03,2026-01-16,Harebell Shop,35.00,Journal,1,,4.00,,0.20,2.54,1.42\n\
         S-04,S-04,2026-01-17,Harebell Shop,20.00,Notebook,1,,4.00,,0.20,1.56,0.97\n\
         S-05,S-05,2026-01-19,Harebell Shop,48.00,Journal and cards,2,4.80,,2.59,0.20,2.81,1.62\n\
         S-06,S-06,2026-01-20,Harebell Shop,12.50,Cards,5,,,,0.20,0.81,0.63\n\
         S-07,S-07,2026-01-21,Harebell Shop,20.00,Notebook,1,,4.00,,0.20,1.56,0.97\n\
         S-08,S-08,2026-01-22,Harebell Shop,35.00,Journal,1,,4.00,,0.20,2.54,1.42\n\
         S-09,S-09,2026-01-23,Harebell Shop,12.50,Cards,5,,,,0.20,0.81,0.63\n\
         S-10,S-10,2026-01-24,Harebell Shop,20.00,Notebook,1,,4.00,,0.20,1.56,0.97\n",
    ),
    (
        "refunds",
        "sale,date,amount,returned_quantity,fee_credit\n\
         S-06,2026-01-26,12.50,5,0.81\n",
    ),
    (
        "payouts",
        "channel,date,paid_into,amount\n\
         Harebell Shop,2026-01-30,1000,150.00\n",
    ),
    (
        "entries",
        "entry,date,account,debit,credit,kind,memo\n\
         E-1,2026-01-31,5000,41.30,,adjusting,Paper used in the pieces sold\n\
         E-1,2026-01-31,1200,,41.30,adjusting,Paper used in the pieces sold\n",
    ),
];

/// What to show, where in its JSON, and the figure worked by hand.
pub const FIGURES: &[(&str, &str, &str)] = &[
    // 235.50 sold + 24.00 postage - 4.80 discount - 12.50 refund
    ("profit", "/totals/net_sales", "242.20"),
    ("profit", "/totals/cost_of_goods_sold", "41.30"),
    ("profit", "/totals/gross_profit", "200.90"),
    // 26.75 + 16.05 + (2.00 + 16.56 - 0.81) + 10.23 + 9.99 + 6.00
    ("profit", "/totals/costs", "86.77"),
    ("profit", "/totals/net_profit", "114.13"),
    // 752.99 bank + 64.22 due + 22.91 paper + 240.00 - 6.00 press
    ("balance", "/totals/assets", "1074.12"),
    ("balance", "/totals/liabilities", "9.99"),
    ("balance", "/totals/equity", "1064.13"),
    ("trial", "/total_debit", "1275.49"),
    ("trial", "/total_credit", "1275.49"),
    ("capital", "/opening", "0.00"),
    ("capital", "/money_in", "1000.00"),
    ("capital", "/money_out", "50.00"),
    ("capital", "/profit", "114.13"),
    ("capital", "/closing", "1064.13"),
    ("channels", "/channels/0/gross_sales", "235.50"),
    ("channels", "/channels/0/postage", "24.00"),
    ("channels", "/channels/0/refunds", "12.50"),
    ("channels", "/channels/0/fees", "27.98"),
    ("channels", "/channels/0/tax_by_channel", "2.59"),
    // 235.50 - 4.80 + 24.00 - 12.50 - 27.98
    ("channels", "/channels/0/net", "214.22"),
    ("channels", "/channels/0/payouts", "150.00"),
    ("channels", "/channels/0/still_due", "64.22"),
    ("equipment", "/equipment/0/cost", "240.00"),
    ("equipment", "/equipment/0/residual", "24.00"),
    ("equipment", "/equipment/0/schedule/0/charge", "72.00"),
    ("equipment", "/equipment/0/schedule/2/book_value", "24.00"),
];

/// Accounts of the trial balance: number, debit, credit.
pub const ACCOUNTS: &[(&str, &str, &str)] = &[
    // 1000.00 - 107.01 - 240.00 + 150.00 - 50.00
    ("1000", "752.99", "0.00"),
    ("1051", "64.22", "0.00"),
    // 60.00 + 4.21 - 41.30
    ("1200", "22.91", "0.00"),
    ("1500", "240.00", "0.00"),
    ("1590", "0.00", "6.00"),
    ("2010", "0.00", "9.99"),
    ("3000", "0.00", "1000.00"),
    ("3100", "50.00", "0.00"),
    ("4000", "0.00", "235.50"),
    ("4010", "0.00", "24.00"),
    ("4020", "12.50", "0.00"),
    ("4030", "4.80", "0.00"),
    ("5000", "41.30", "0.00"),
    ("6000", "26.75", "0.00"),
    ("6010", "16.05", "0.00"),
    ("6200", "17.75", "0.00"),
    ("6210", "10.23", "0.00"),
    ("6400", "9.99", "0.00"),
    ("6500", "6.00", "0.00"),
];

/// Runs the program without a display.
pub fn deckle(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_deckle"))
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("works")
}

/// What the program prints when it must succeed.
pub fn says(args: &[&str]) -> String {
    let output = deckle(args);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{args:?}: {errors}");
    String::from_utf8(output.stdout).expect("works")
}

/// A path as an argument.
pub fn text(path: &Path) -> &str {
    path.to_str().expect("works")
}

/// The story brought in from its sheets.
pub fn book_of_the_story(folder: &Path) -> PathBuf {
    let book = folder.join("first.deckle");
    says(&[
        "new",
        text(&book),
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
        "--name",
        NAME,
    ]);
    says(&["set", text(&book), "set_aside.percent=25"]);
    for (kind, sheet) in SHEETS {
        let file = folder.join(format!("{kind}.csv"));
        std::fs::write(&file, sheet).expect("works");
        says(&["bring", text(&book), kind, text(&file)]);
    }
    says(&["depreciate", text(&book), "--through", "2026-01-31"]);
    book
}

/// What a book says of January, as JSON.
pub fn shown(book: &Path, what: &str) -> Value {
    let json = says(&[
        "show",
        text(book),
        what,
        "--from",
        "2026-01-01",
        "--to",
        "2026-01-31",
        "--json",
    ]);
    serde_json::from_str(&json).expect("works")
}

/// Holds every statement of a book against the figures worked by hand.
pub fn stands_as_worked_by_hand(book: &Path) {
    for (what, pointer, expected) in FIGURES {
        let json = shown(book, what);
        assert_eq!(
            json.pointer(pointer).and_then(Value::as_str),
            Some(*expected),
            "{what} {pointer} in {json}"
        );
    }
    let trial = shown(book, "trial");
    let accounts: Vec<(&str, &str, &str)> = trial["accounts"]
        .as_array()
        .expect("works")
        .iter()
        .map(|account| {
            let of = |key: &str| account[key].as_str().expect("works");
            (of("number"), of("debit"), of("credit"))
        })
        .collect();
    assert_eq!(accounts, ACCOUNTS);
    says(&["check", text(book)]);
}
