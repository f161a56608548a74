//! Each kind of sheet, and what it writes. Expected figures are worked out by hand from the posting rules beside them.

use crate::desk::Desk;

#[test]
fn a_receipt_is_spread_over_its_lines() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,quantity,business_share,carriage,tax,discount\n\
         R1,2026-01-05,Alderwick Paper,1000,60.00,1200,Paper,100,,8.00,4.00,2.00\n\
         R1,2026-01-05,Alderwick Paper,1000,30.00,6000,Glue,2,50,,,\n\
         R1,2026-01-05,Alderwick Paper,1000,10.00,3100,Private card,1,,0.00,,\n\
         R2,2026-01-06,Alderwick Paper,owner,5.00,6000,Thread,,,,,\n",
    );
    // Spread of 8.00 + 4.00 − 2.00 = 10.00 over 60 : 30 : 10 is 6.00, 3.00, 1.00; half of the glue is private.
    desk.balances(&[
        ("1200", "66.00"),
        ("6000", "21.50"),
        ("3100", "27.50"),
        ("1000", "-110.00"),
        ("3000", "-5.00"),
    ]);
}

#[test]
fn equipment_on_a_receipt_joins_the_register() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,carriage,equipment_name,life_months,residual,convention\n\
         R1,2026-01-10,Copse Tools,2010,380.00,1500,Cutter,20.00,Cutter,40,0,month-after\n",
    );
    let shown = desk.json(&["equipment", "--to", "2026-12-31"]);
    let piece = &shown["equipment"][0];
    assert_eq!(piece["cost"], "400.00");
    assert_eq!(piece["in_service_on"], "2026-01-10");
    // By hand: 400 ÷ 40 = 10.00 a month, from February: 11 months.
    assert_eq!(piece["schedule"][0]["charge"], "110.00");
    assert_eq!(piece["book_value"], "290.00");
    desk.ok(&["depreciate", "@book", "--through", "2026-03-31"]);
    desk.balances(&[("1590", "-20.00"), ("6500", "20.00"), ("2010", "-400.00")]);
    let again = desk.ok(&["depreciate", "@book", "--through", "2026-03-31"]);
    assert!(again.contains("Nothing is left to charge"), "{again}");
}

#[test]
fn a_channel_sale_stands_at_its_full_price() {
    let desk = Desk::new();
    let said = desk.bring(
        "sales",
        "sale,date,paid_into,amount,description,quantity,discount,postage,tax_by_channel,fee_listing,fee_commission,fee_processing\n\
         S1,2026-02-01,Lanternpost Shop,38.00,Journal,1,4.00,4.20,3.10,0.20,2.47,1.40\n\
         S1,2026-02-01,Lanternpost Shop,9.00,Cards,1,,,,,,\n\
         S2,2026-02-03,lanternpost shop,10.00,Cards,1,,,,,,0.55\n\
         S3,2026-02-04,1020,12.00,Notebook,1,,,,,,\n",
    );
    assert!(
        said.contains("'Lanternpost Shop' was not known: it is a new sales channel"),
        "{said}"
    );
    assert!(said.contains("entries 1 to 3"), "{said}");
    // By hand: 47.00 − 4.00 + 4.20 − 4.07 = 43.13, then 10.00 − 0.55 = 9.45.
    desk.balances(&[
        ("Lanternpost Shop", "52.58"),
        ("4000", "-69.00"),
        ("4010", "-4.20"),
        ("4030", "4.00"),
        ("6200", "2.67"),
        ("6210", "1.95"),
        ("1020", "12.00"),
    ]);
    let shown = desk.json(&["channels", "--from", "2026-01-01", "--to", "2026-12-31"]);
    let channel = &shown["channels"][0];
    assert_eq!(channel["channel"], "Lanternpost Shop");
    assert_eq!(channel["gross_sales"], "57.00");
    assert_eq!(channel["tax_by_channel"], "3.10");
    assert_eq!(channel["fees"], "4.62");
    assert_eq!(channel["net"], "52.58");
    assert_eq!(channel["still_due"], "52.58");
}

#[test]
fn refunds_find_their_sale_and_payouts_settle() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,description,quantity,fee_commission\nS1,2026-02-01,Lanternpost Shop,40.00,Journal,1,3.00\n",
    );
    desk.bring(
        "refunds",
        "sale,date,amount,returned_quantity,fee_credit\nS1,2026-02-10,15.00,,1.00\n",
    );
    desk.bring(
        "payouts",
        "channel,date,paid_into,amount,reference\nLanternpost Shop,2026-02-15,1000,20.00,P-1\n",
    );
    // By hand: 40.00 − 3.00 − 15.00 + 1.00 − 20.00 = 3.00.
    desk.balances(&[
        ("Lanternpost Shop", "3.00"),
        ("4020", "15.00"),
        ("1000", "20.00"),
    ]);
    let lines = desk.bring_refused(
        "refunds",
        "sale,date,amount\nS1,2026-02-11,25.01\nS9,2026-02-11,1.00\n",
    );
    assert!(
        lines[0].starts_with("refunds.csv row 2 column amount: "),
        "{lines:?}"
    );
    assert!(lines[0].contains("25.00"), "{lines:?}");
    assert_eq!(
        lines[1],
        "refunds.csv row 3 column sale: there is no sale 'S9' in the book"
    );
}

#[test]
fn equipment_brought_in_without_its_row_is_told() {
    let desk = Desk::new();
    let said = desk.bring(
        "owner",
        "date,direction,account,adjusted_cost,market_value,description\n\
         2026-01-03,brought-in,1500,640.00,420.00,Laptop\n",
    );
    assert!(
        said.contains(
            "Row 2: 420.00 for 'Laptop' is equipment without a row in the register, so it does not wear out yet: \
             bring its row in a sheet of equipment with paid_from none, or fill equipment_name and life_months here."
        ),
        "{said}"
    );
    let open = |pack: &str| {
        let out = format!("@{pack}");
        desk.ok(&["year-end", "@book", "--year", "2026", "--out", &out])
    };
    let said = open("before");
    assert!(
        said.contains(
            "Still open: Equipment at cost stands at 420.00 in the ledger and at 0.00 in the register: a thing lacks \
             its row or its entry."
        ),
        "{said}"
    );
    desk.bring(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,paid_from\nLaptop,2026-01-03,2026-01-03,420.00,36,none\n",
    );
    let said = open("after");
    assert!(!said.contains("Equipment at cost stands"), "{said}");
}

#[test]
fn what_was_paid_ahead_is_taken_back_with_its_parts() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,covers_from,covers_months\n\
         R1,2026-01-02,Elm Software,1000,120.00,6400,2026-01-01,12\n",
    );
    desk.ok(&["release", "@book", "--through", "2026-03-31"]);
    desk.balances(&[("6400", "30.00"), ("1300", "90.00")]);
    let said = desk.ok(&[
        "reverse",
        "@book",
        "1",
        "--reason",
        "sent back",
        "--on",
        "2026-04-01",
    ]);
    assert_eq!(
        said.trim_end(),
        "Entry 8 takes back entry 1. What it paid ahead and was a cost already, 3 entries from 2 to 4, is taken back too."
    );
    desk.balances(&[("6400", "0.00"), ("1300", "0.00"), ("1000", "0.00")]);
    desk.ok(&["write-out", "@book", "@out"]);
    desk.ok(&[
        "new",
        "@other.deckle",
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
    ]);
    desk.ok(&["bring", "@other.deckle", "written-out", "@out"]);
    assert!(
        desk.ok(&["check", "@other.deckle"])
            .contains("8 entries balance")
    );
}

#[test]
fn two_shops_may_have_the_same_order_number() {
    let desk = Desk::new();
    let head = "sale,date,paid_into,amount,description\n";
    desk.bring(
        "sales",
        &format!("{head}1001,2026-02-01,Lanternpost Shop,40.00,Journal\n"),
    );
    let another = format!("{head}1001,2026-02-03,Lanternpost Shop,25.00,Cards\n");
    let lines = desk.bring_refused("sales", another);
    assert_eq!(
        lines,
        [
            "sales.csv row 2: '1001' is the key of another sale in the book, entry 1 of 1 Feb 2026; give this one a \
             key of its own, by which its refunds find it"
        ]
    );
    desk.bring(
        "sales",
        &format!("{head}1001,2026-02-03,Thistle Market,25.00,Cards\n"),
    );
    let refund = "sale,date,amount,paid_from\n";
    let lines = desk.bring_refused("refunds", format!("{refund}1001,2026-02-10,15.00,\n"));
    assert_eq!(
        lines,
        [
            "refunds.csv row 2 column sale: '1001' is the key of 2 sales (Lanternpost Shop on 2026-02-01; Thistle \
             Market on 2026-02-03); give the channel of the one you mean in paid_from, or take the others back and \
             bring them under keys of their own"
        ]
    );
    desk.bring(
        "refunds",
        &format!("{refund}1001,2026-02-10,30.00,Lanternpost Shop\n"),
    );
    // 10.00 is left of the one and all 25.00 of the other: their refunds are not counted together.
    let lines = desk.bring_refused(
        "refunds",
        format!("{refund}1001,2026-02-11,10.01,Lanternpost Shop\n"),
    );
    assert!(lines[0].contains("10.00"), "{lines:?}");
    desk.bring(
        "refunds",
        &format!("{refund}1001,2026-02-11,25.00,Thistle Market\n"),
    );
    desk.balances(&[
        ("Lanternpost Shop", "10.00"),
        ("Thistle Market", "0.00"),
        ("4020", "55.00"),
    ]);
}

#[test]
fn the_owner_puts_in_takes_out_and_brings_in() {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount,adjusted_cost,market_value,description\n\
         2026-01-02,in,1000,500.00,,,Start\n\
         2026-01-03,brought-in,1500,,640.00,420.00,Laptop\n\
         2026-01-04,paid-privately-owed-back,6000,12.50,,,Glue\n\
         2026-01-05,repaid,1000,10.00,,,\n\
         2026-01-06,out,1000,30.00,,,Groceries\n",
    );
    desk.balances(&[
        ("1000", "460.00"),
        ("1500", "420.00"),
        ("2050", "-2.50"),
        ("3000", "-920.00"),
        ("3100", "30.00"),
        ("6000", "12.50"),
    ]);
    let capital = desk.json(&["capital", "--year", "2026"]);
    assert_eq!(capital["money_in"], "920.00");
    assert_eq!(capital["money_out"], "30.00");
    assert_eq!(capital["profit"], "-12.50");
    assert_eq!(capital["closing"], "877.50");
}

#[test]
fn equipment_that_has_gone_leaves_with_its_loss() {
    let desk = Desk::new();
    desk.bring(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,paid_from,residual,disposed_on,proceeds,proceeds_into\n\
         Press,2026-01-10,2026-01-10,240.00,24,1000,0.00,2026-07-05,100.00,1020\n\
         Old lamp,2025-06-01,2025-06-01,50.00,10,none,,,,\n",
    );
    // By hand: 10.00 a month, January to June, the month it goes is not charged: worn 60.00, book value 180.00.
    desk.balances(&[
        ("1500", "0.00"),
        ("1590", "0.00"),
        ("6500", "60.00"),
        ("7000", "80.00"),
        ("1020", "100.00"),
        ("1000", "-240.00"),
    ]);
    let shown = desk.json(&["equipment", "--to", "2026-12-31"]);
    assert_eq!(shown["equipment"].as_array().map(Vec::len), Some(2));
    let press = &shown["equipment"][1];
    assert_eq!(press["disposal"]["book_value"], "180.00");
    assert_eq!(press["disposal"]["gain"], "-80.00");
}

/// By hand: 10.00 a month since January 2025; the book begins in 2026 and charges none of the year before.
#[test]
fn what_wore_out_before_the_book_is_no_cost_of_it() {
    let desk = Desk::new();
    desk.bring(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,paid_from\n\
         Press,2025-01-10,2025-01-10,240.00,24,none\n",
    );
    let shown = desk.json(&["equipment", "--to", "2026-12-31"]);
    assert_eq!(shown["equipment"][0]["charged_before"], "120.00");
    desk.ok(&["depreciate", "@book", "--through", "2026-03-31"]);
    desk.balances(&[("6500", "30.00"), ("1590", "-30.00")]);
    // A sheet that says it otherwise is believed.
    let desk = Desk::new();
    desk.bring(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,paid_from,charged_before\n\
         Press,2025-01-10,2025-01-10,240.00,24,none,0.00\n",
    );
    desk.ok(&["depreciate", "@book", "--through", "2026-01-31"]);
    desk.balances(&[("6500", "130.00")]);
}

#[test]
fn money_for_a_piece_that_has_gone_needs_its_account() {
    let desk = Desk::new();
    let lines = desk.bring_refused(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,paid_from,disposed_on,proceeds,proceeds_into\n\
         Press,2026-01-10,2026-01-10,240.00,24,1000,2026-07-05,100.00,\n",
    );
    assert!(
        lines[0].starts_with("equipment.csv row 2 column proceeds_into: "),
        "{lines:?}"
    );
}

#[test]
fn an_end_in_a_later_year_charges_the_earlier_years_where_they_belong() {
    let desk = Desk::since("2025-01-01");
    desk.bring(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,paid_from,disposed_on,proceeds,proceeds_into\n\
         Press,2025-07-01,2025-07-01,240.00,24,1000,2026-03-15,200.00,1000\n",
    );
    // By hand: 10.00 a month; six months of 2025, January and February of 2026; 240 − 80 = 160, sold for 200.
    let of = |year: &str| desk.json(&["profit", "--year", year]);
    assert_eq!(of("2025")["totals"]["costs"], "60.00");
    assert_eq!(of("2026")["totals"]["costs"], "20.00");
    assert_eq!(of("2026")["totals"]["other_income"], "40.00");
}

#[test]
fn accounts_are_added_and_changed_by_their_number() {
    let desk = Desk::new();
    desk.bring(
        "accounts",
        "number,name,class,group,active\n6000,Glue and blades,expense,Workshop,yes\n6016,Sharpening,expense,,\n1055,Market stall card reader,asset,Payouts due,yes\n",
    );
    let shown = desk.json(&["accounts"]);
    let accounts = shown["accounts"].as_array().expect("a list");
    let of = |number: &str| {
        accounts
            .iter()
            .find(|account| account["number"] == number)
            .unwrap_or_else(|| panic!("{number} is there"))
            .clone()
    };
    assert_eq!(of("6000")["name"], "Glue and blades");
    assert_eq!(of("6000")["role"], "consumables");
    assert_eq!(of("6016")["class"], "expense");
    assert_eq!(of("1055")["group"], "Payouts due");
}

#[test]
fn receipts_find_their_document() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account\nR1,2026-01-05,Alderwick Paper,1000,60.00,1200\nR2,2026-01-05,Alderwick Paper,1000,61.00,1200\n",
    );
    let needs = desk.json(&["needs", "--to", "2026-01-31"]);
    assert!(
        needs["open"]
            .to_string()
            .contains("2 receipts still to find"),
        "{needs}"
    );
    desk.file("papers/r1.txt", "sixty");
    desk.file("papers/r2.txt", "sixty-one");
    desk.file("r2.txt", "sixty-one");
    desk.bring("receipts", "entry,file,name\nR1,papers/r1.txt,Paper\n");
    desk.ok(&["attach", "@book", "2", "@r2.txt"]);
    let needs = desk.json(&["needs", "--to", "2026-01-31"]);
    assert!(!needs["open"].to_string().contains("receipt"), "{needs}");
    let lines = desk.bring_refused(
        "receipts",
        "entry,file\nR9,papers/r1.txt\nR2,papers/gone.txt\nR2,../book.deckle\n",
    );
    assert!(
        lines[0].contains("row 4 column file: the file must lie in the sheet's folder"),
        "{lines:?}"
    );
    let lines = desk.bring_refused(
        "receipts",
        "entry,file\nR9,papers/r1.txt\nR2,papers/gone.txt\n",
    );
    assert_eq!(
        lines,
        [
            "receipts.csv row 2 column entry: there is no entry or document 'R9' in the book",
            "receipts.csv row 3 column file: there is no file 'papers/gone.txt' beside the sheet",
        ]
    );
}

#[test]
fn recurring_purchases_are_confirmed_or_skipped() {
    let desk = Desk::new();
    desk.bring(
        "recurring",
        "name,party,account,paid_from,amount,every_months,next_due\nInk plan,Plume Ink,6000,2010,7.49,1,2026-02-18\n",
    );
    desk.refused(
        1,
        &[
            "recur",
            "@book",
            "--on",
            "2026-02-17",
            "--confirm",
            "Ink plan",
        ],
    );
    desk.ok(&[
        "recur",
        "@book",
        "--on",
        "2026-02-20",
        "--confirm",
        "ink plan",
    ]);
    desk.ok(&["recur", "@book", "--on", "2026-03-20", "--skip", "Ink plan"]);
    desk.balances(&[("6000", "7.49"), ("2010", "-7.49")]);
    let shown = desk.json(&["recurring", "--to", "2026-03-31"]);
    assert_eq!(shown["recurring"][0]["next_due"], "2026-04-18");
}

#[test]
fn what_is_paid_ahead_becomes_a_cost_month_by_month() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,covers_from,covers_months\n\
         R1,2026-01-15,Ferrymoor Insurance,1000,120.00,6240,Insurance,2026-02-01,12\n",
    );
    desk.balances(&[("1300", "120.00"), ("6240", "0.00")]);
    desk.ok(&["release", "@book", "--through", "2026-04-30"]);
    desk.balances(&[("1300", "90.00"), ("6240", "30.00")]);
    assert!(
        desk.ok(&["release", "@book", "--through", "2026-04-30"])
            .contains("Nothing")
    );
}
