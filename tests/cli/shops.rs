//! Files that shops export, through the program: what they become, what is asked, what is refused.
//! That order and overlap do not matter is proven in `tests/book`.

use crate::desk::Desk;
use crate::round_trip::check_round_trip;

const SHOP: &str = "Fairlamp Shop";

const ORDERS: &str = "\
Order No,Sold on,Item,Qty,Item price,Discount,Postage,Handled tax,Status
10231,03/14/2026,Blue notebook,2,12.00,1.00,4.50,,Sent
10231,03/14/2026,Card set,1,8.00,1.00,4.50,,Sent
10232,03/15/2026,Blue notebook,1,12.00,,3.00,0.90,Sent
10233,03/16/2026,Blue notebook,1,12.00,,3.00,,Cancelled
";

const STATEMENT: &str = "\
Date,Type,Order number,Details,Amount
2026-03-14,Sale,10231,,35.50
2026-03-14,Commission,10231,,-2.31
2026-03-14,Card fee,10231,,-1.40
2026-03-15,Sale,10232,Blue notebook,15.90
2026-03-15,Sales tax,10232,,-0.90
2026-03-15,Commission,10232,,-0.98
2026-03-18,Refund,10232,Damaged,-5.00
2026-03-18,Commission,10232,,0.33
2026-03-20,Listing fee,,Monthly,-3.00
2026-03-21,Payout,,To bank,-30.00
2026-03-21,Reserve,,,-5.00
";

impl Desk {
    #[track_caller]
    fn bring_shop(&self, kind: &str, file: &str, content: &str, more: &[&str]) -> String {
        self.file(file, content);
        let file = format!("@{file}");
        let mut all = vec!["bring", "@book", kind, &file, "--channel", SHOP];
        all.extend(more);
        self.ok(&all)
    }

    #[track_caller]
    fn asks(&self, kind: &str, content: &str, more: &[&str], words: &[&str]) {
        self.file("asked.csv", content);
        let mut all = vec!["bring", "@book", kind, "@asked.csv", "--channel", SHOP];
        all.extend(more);
        let lines = self.refused(1, &all);
        assert_eq!(lines.len(), 1, "{lines:?}");
        for word in words {
            assert!(lines[0].contains(word), "{} lacks {word}", lines[0]);
        }
    }

    #[track_caller]
    fn shop(&self, expected: &[(&str, &str)]) {
        let shown = self.json(&["channels", "--year", "2026"]);
        let channels = shown["channels"].as_array().expect("a list");
        let shop = channels
            .iter()
            .find(|one| one["channel"] == SHOP)
            .expect("the shop");
        for (key, amount) in expected {
            assert_eq!(shop[*key], *amount, "{key}");
        }
    }
}

#[test]
fn orders_become_sales_at_full_price() {
    let desk = Desk::new();
    let columns = "tax-by-channel=Handled tax,order=Order No,date=Sold on,item=Item,quantity=Qty,price=Item price,\
                   discount=Discount,postage=Postage,status=Status";
    let said = desk.bring_shop("orders", "orders.csv", ORDERS, &["--columns", columns]);
    assert!(said.contains("2 sales (50.50)"), "{said}");
    assert!(said.contains("10233 was cancelled"), "{said}");
    assert!(said.contains("'Blue notebook', 'Card set'"), "{said}");
    // By hand: 2 x 12.00 + 8.00 + 12.00 = 44.00; the discount and the postage of 10231 stand on both rows, and count once.
    desk.shop(&[
        ("gross_sales", "44.00"),
        ("discounts", "1.00"),
        ("postage", "7.50"),
        ("tax_by_channel", "0.90"),
        ("still_due", "50.50"),
    ]);
    let again = desk.bring_shop("orders", "orders.csv", ORDERS, &[]);
    assert!(again.contains("nothing new"), "{again}");
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

#[test]
fn a_statement_brings_fees_refunds_and_payouts_to_the_orders() {
    let desk = Desk::new();
    desk.bring_shop("orders", "orders.csv", ORDERS, &[]);
    let said = desk.bring_shop("payouts", "march.csv", STATEMENT, &[]);
    assert!(said.contains("1 refund (5.00)"), "{said}");
    assert!(said.contains("1 payout (30.00)"), "{said}");
    // By hand: fees 2.31 + 1.40 + 0.98 - 0.33 + 3.00 = 7.36; due 50.50 - 7.36 - 5.00 - 30.00 = 8.14, of which 5.00 is held.
    desk.shop(&[
        ("gross_sales", "44.00"),
        ("fees", "7.36"),
        ("refunds", "5.00"),
        ("payouts", "30.00"),
        ("still_due", "8.14"),
        ("held", "5.00"),
        ("other", "0.00"),
    ]);
    // The whole refund was 5.00, of which 5.00 x 0.90 / 15.00 = 0.30 of the shop's tax came back with it.
    desk.shop(&[("tax_by_channel", "0.60")]);
    desk.balances(&[("1000", "30.00"), ("6200", "5.96"), ("6210", "1.40")]);
    let again = desk.bring_shop("payouts", "march.csv", STATEMENT, &[]);
    assert!(again.contains("nothing new"), "{again}");
    check_round_trip(&desk, "@book", "2026-01-01");
    // The written-out book knows the files too.
    let again = desk.ok(&[
        "bring",
        "@second.deckle",
        "payouts",
        "@march.csv",
        "--channel",
        SHOP,
    ]);
    assert!(again.contains("nothing new"), "{again}");
}

#[test]
fn a_statement_alone_is_enough() {
    let desk = Desk::new();
    desk.bring_shop("payouts", "march.csv", STATEMENT, &[]);
    // By hand: 35.50 and 15.90 less the tax that the shop took, 0.90.
    desk.shop(&[("gross_sales", "50.50"), ("still_due", "8.14")]);
}

#[test]
fn a_preview_leaves_the_book_alone() {
    let desk = Desk::new();
    desk.file("orders.csv", ORDERS);
    let before = std::fs::read(desk.path("book.deckle")).expect("read");
    let said = desk.ok(&[
        "bring",
        "@book",
        "orders",
        "@orders.csv",
        "--channel",
        SHOP,
        "--preview",
        "--json",
    ]);
    let said: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    assert_eq!(said["preview"], true);
    assert_eq!(said["sales"], 2);
    assert_eq!(said["sums"]["sales"], "50.50");
    assert!(before == std::fs::read(desk.path("book.deckle")).expect("read"));
}

#[test]
fn what_cannot_be_known_is_asked() {
    let desk = Desk::new();
    let adjustment = "Date,Type,Amount\n2026-03-20,Adjustment,-3.00\n";
    desk.asks(
        "payouts",
        adjustment,
        &[],
        &["'adjustment'", "--rows \"adjustment=fee-other\""],
    );
    let two_ways = "Order,Date,Price\nA1,03/04/2026,5.00\n";
    desk.asks(
        "orders",
        two_ways,
        &[],
        &["'03/04/2026'", "--dates dmy or --dates mdy"],
    );
    let no_day = "Order,When,Price\nA1,2026-03-04,5.00\n";
    desk.asks("orders", no_day, &[], &["--columns \"date=NAME\""]);
    let no_column = "Order,Date,Price\nA1,2026-03-04,5.00\n";
    desk.asks(
        "orders",
        no_column,
        &["--columns", "order=Number,date=Date,price=Price"],
        &["no column 'Number'"],
    );
    let other = "Order,Date,Price,Currency\nA1,2026-03-04,5.00,EUR\n";
    desk.asks(
        "orders",
        other,
        &[],
        &["order A1 is in EUR", "book-total=NAME"],
    );
    desk.file("asked.csv", no_column);
    let lines = desk.refused(1, &["bring", "@book", "orders", "@asked.csv"]);
    assert!(lines[0].contains("--channel NAME"), "{lines:?}");
    desk.bring_shop(
        "payouts",
        "a.csv",
        adjustment,
        &["--rows", "Adjustment=fee-other"],
    );
    desk.balances(&[("6200", "3.00")]);
}

#[test]
fn faults_name_the_row_and_the_column() {
    let desk = Desk::new();
    let bad =
        "Order,Date,Item,Quantity,Price\nA1,2026-03-04,Card,one,5.00\nA2,2026-13-04,Card,1,five\n";
    desk.file("bad.csv", bad);
    let lines = desk.refused(
        1,
        &[
            "bring",
            "@book",
            "orders",
            "@bad.csv",
            "--channel",
            SHOP,
            "--dates",
            "ymd",
        ],
    );
    for words in [
        "row 2 column Quantity: 'one'",
        "row 3 column Date: '2026-13-04'",
        "row 3 column Price: 'five'",
    ] {
        assert!(
            lines.iter().any(|line| line.contains(words)),
            "{words} in {lines:?}"
        );
    }
}

#[test]
fn an_order_in_another_currency_comes_at_its_total_in_the_books() {
    let desk = Desk::new();
    let orders =
        "Order,Date,Price,Postage,Currency,Paid here\nA1,2026-03-04,20.00,5.00,EUR,27.00\n";
    desk.bring_shop(
        "orders",
        "orders.csv",
        orders,
        &[
            "--columns",
            "order=Order,date=Date,price=Price,postage=Postage,\
        currency=Currency,book-total=Paid here",
        ],
    );
    // By hand: 27.00 / 25.00 = 1.08; 20.00 x 1.08 = 21.60 and 5.00 x 1.08 = 5.40.
    desk.shop(&[
        ("gross_sales", "21.60"),
        ("postage", "5.40"),
        ("still_due", "27.00"),
    ]);
}

#[test]
fn a_sale_and_a_payout_that_were_typed_are_not_booked_again() {
    let desk = Desk::new();
    desk.bring("sales", &format!(
        "sale,date,paid_into,amount,postage,fee_commission,reference\nS-1,2026-03-14,{SHOP},31.00,4.50,2.31,10231\n"
    ));
    desk.bring(
        "payouts",
        &format!("channel,date,paid_into,amount\n{SHOP},2026-03-24,1000,30.00\n"),
    );
    let said = desk.bring_shop("payouts", "march.csv", STATEMENT, &[]);
    assert!(!said.contains("payout"), "{said}");
    // By hand: the typed sale stands with its selling fee; the card fee is new, and so is order 10232.
    desk.shop(&[
        ("gross_sales", "46.00"),
        ("fees", "7.36"),
        ("payouts", "30.00"),
        ("still_due", "8.14"),
    ]);
}

#[test]
fn a_difference_between_files_is_named() {
    let desk = Desk::new();
    desk.bring_shop("orders", "orders.csv", ORDERS, &[]);
    let statement = STATEMENT.replace("10231,,35.50", "10231,,36.00");
    let said = desk.bring_shop("payouts", "march.csv", &statement, &[]);
    assert!(said.contains("Order 10231 stands in the book at 35.50, and the shop's statement says 36.00: 0.50 apart."), "{said}");
}

#[test]
fn words_tied_to_a_product_move_its_stock() {
    let desk = Desk::new();
    desk.bring(
        "items",
        "code,name,kind,unit\nNOTEBOOK,Blue notebook,bought-in,piece\n",
    );
    desk.bring("purchases", "purchase,date,supplier,paid_from,amount,item,quantity\nP1,2026-01-05,Crannock Print House,1000,50.00,NOTEBOOK,10\n");
    // The statement comes first: the sale is one sum until the orders say what it was made of.
    desk.bring_shop("payouts", "march.csv", STATEMENT, &[]);
    let said = desk.bring_shop(
        "orders",
        "orders.csv",
        ORDERS,
        &["--items", "Blue notebook=NOTEBOOK", "--items", "Card set="],
    );
    assert!(said.contains("2 sales told in full"), "{said}");
    assert!(!said.contains("not tied"), "{said}");
    // By hand: 3 of 10 pieces at 5.00.
    desk.balances(&[("5000", "15.00"), ("1220", "35.00")]);
    desk.shop(&[
        ("gross_sales", "44.00"),
        ("fees", "7.36"),
        ("still_due", "8.14"),
    ]);
    let shown = desk.json(&["channels", "--year", "2026"]);
    assert_eq!(shown["channels"][0]["sales"], 2);
    let lines = desk.refused(
        1,
        &[
            "bring",
            "@book",
            "orders",
            "@orders.csv",
            "--channel",
            SHOP,
            "--items",
            "Card set=CARDS",
        ],
    );
    assert!(lines[0].contains("'CARDS'"), "{lines:?}");
}

#[test]
fn amounts_of_each_row_are_told_from_those_of_the_order() {
    let desk = Desk::new();
    // By hand: postage differs, so it counts on each row; the discount of 1.00 on both rows counts on each, for only so
    // do 10.00 + 6.00 - 2.00 + 3.00 = 17.00 make the total.
    let orders = "Order,Date,Item,Price,Discount,Postage,Total\n\
        A1,2026-03-04,Card,10.00,1.00,2.00,17.00\nA1,2026-03-04,Bookmark,6.00,1.00,1.00,17.00\n";
    desk.bring_shop("orders", "orders.csv", orders, &[]);
    desk.shop(&[
        ("discounts", "2.00"),
        ("postage", "3.00"),
        ("still_due", "17.00"),
    ]);
}

#[test]
fn a_payout_the_other_way_settles_what_the_shop_billed() {
    let desk = Desk::new();
    let statement = "Date,Type,Amount\n2026-03-20,Listing fee,-3.00\n2026-03-25,Payout,3.00\n";
    desk.bring_shop("payouts", "march.csv", statement, &[]);
    desk.balances(&[("1000", "-3.00"), ("6200", "3.00")]);
    desk.shop(&[("still_due", "0.00"), ("payouts", "-3.00")]);
}

#[test]
fn a_sheet_of_fees_charges_and_gives_back() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        &format!("sale,date,paid_into,amount\nS-1,2026-03-14,{SHOP},31.00\n"),
    );
    let said = desk.bring("shop-fees", &format!(
        "channel,date,listing,commission,label,sale\n{SHOP},2026-03-20,3.00,2.00,4.10,\n{SHOP},2026-03-22,,-0.50,,S-1\n"
    ));
    assert!(said.contains("2 entries of charges"), "{said}");
    // By hand: 31.00 - 3.00 - 2.00 - 4.10 + 0.50.
    desk.balances(&[("6200", "4.50"), ("6110", "4.10")]);
    desk.shop(&[("fees", "8.60"), ("still_due", "22.40")]);
}
