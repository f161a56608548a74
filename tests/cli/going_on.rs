//! Unusual happenings by their sheets, shown again as text and JSON, and in a year's folder. Figures by hand.

use serde_json::json;

use crate::desk::Desk;

/// By hand: a voucher of 40.00 of which 25.00 is used; a helper paid 1,900.00 by transfer, 150.00 in cash and 500.00 by
/// card: 2,050.00 count in 2026, above the limit of 2,000 (26 U.S.C. 6041(a) as amended by Pub. L. 119-21).
#[test]
fn sheets_of_unusual_happenings_are_brought_and_shown() {
    let desk = Desk::new();
    desk.file(
        "owner.csv",
        "date,direction,account,amount\n2026-01-02,in,1000,5000.00\n",
    );
    desk.ok(&["bring", "@book", "owner", "@owner.csv"]);
    desk.file(
        "vouchers.csv",
        "what,voucher,date,amount,paid_into,description\n\
         sold,V-1,2026-02-01,40.00,1000,\n\
         used,V-1,2026-03-01,25.00,,two cards\n",
    );
    let told = desk.ok(&["bring", "@book", "vouchers", "@vouchers.csv"]);
    assert!(told.contains("Voucher V-1 still holds 15.00."), "{told}");
    desk.file(
        "helpers.csv",
        "helper,service,amount,date,way,paid_from,tax_form\n\
         Inkwell Studio,drawings,1900.00,2026-04-01,bank,1000,no\n\
         Inkwell Studio,drawings,150.00,2026-05-01,cash,1020,yes\n\
         inkwell studio,a banner,500.00,2026-06-01,card,2010,\n",
    );
    desk.ok(&["bring", "@book", "helpers", "@helpers.csv"]);
    let shown = desk.json(&["helpers", "--year", "2026"]);
    let helper = &shown["helpers"][0];
    assert_eq!(helper["total"], json!("2550.00"));
    assert_eq!(helper["counted"], json!("2050.00"));
    assert_eq!(
        helper["by_way"],
        json!({"bank": "1900.00", "card": "500.00", "cash": "150.00"})
    );
    assert_eq!(
        (&helper["report"], &helper["tax_form"]),
        (&json!(true), &json!("yes"))
    );
    assert_eq!(shown["limit"]["amount"], json!("2000.00"));
    let later = desk.json(&["helpers", "--year", "2027"]);
    assert_eq!(later["limit"], json!(null));
    let shown = desk.json(&["matters", "--of", "voucher", "--to", "2026-12-31"]);
    assert_eq!(shown["matters"][0]["left"], json!("15.00"));
    assert_eq!(shown["matters"][0]["state"], json!("used in part"));
    let before = desk.json(&["matters", "--of", "voucher", "--to", "2026-02-15"]);
    assert_eq!(before["matters"][0]["left"], json!("40.00"));
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let held = std::fs::read_to_string(desk.path("pack/sheets/held-vouchers.csv")).expect("there");
    assert!(held.contains("15.00"), "{held}");
    assert!(
        std::fs::read_to_string(desk.path("pack/sheets/paid-helpers.csv"))
            .expect("there")
            .contains("2050.00")
    );
}

/// A sheet with one bad row leaves nothing, names each fault with its row and column, and does not repeat the fault of a
/// step in those that stand on it.
#[test]
fn a_sheet_with_a_fault_is_refused_whole() {
    let desk = Desk::new();
    desk.file(
        "loans.csv",
        "what,loan,lender,amount,date,paid_into,rate_percent,months,interest,paid_from\n\
         received,Press,Mill union,1000.00,2026-02-01,1000,6,12,,\n\
         repaid,Press,,1200.00,2026-03-01,,,,5.00,1000\n\
         repaid,Pres,,10.00,2026-03-01,,,,,1000\n\
         lent,Other,,10.00,2026-03-01,,,,,1000\n",
    );
    let told = desk
        .refused(1, &["bring", "@book", "loans", "@loans.csv"])
        .join("\n");
    assert!(
        told.contains("loans.csv row 5 column what: 'lent' is none of received, repaid"),
        "{told}"
    );
    desk.file(
        "loans.csv",
        "what,loan,lender,amount,date,paid_into,rate_percent,months,interest,paid_from\n\
         received,Press,Mill union,1000.00,2026-02-01,1000,6,12,,\n\
         repaid,Press,,1200.00,2026-03-01,,,,5.00,1000\n\
         repaid,Pres,,10.00,2026-03-01,,,,,1000\n",
    );
    let told = desk
        .refused(1, &["bring", "@book", "loans", "@loans.csv"])
        .join("\n");
    assert!(
        told.contains("row 3 column amount: only 1,000.00 is still owed"),
        "{told}"
    );
    assert!(
        told.contains("row 4 column loan: the book knows no loan 'Pres'"),
        "{told}"
    );
    let shown = desk.json(&["matters"]);
    assert_eq!(shown["matters"], json!([]));
    let journal = desk.json(&["journal"]);
    assert_eq!(journal["entries"], json!([]));
}

/// By hand: ten notebooks at half of 18.00 and 6.00 of postage are 96.00. The page can be read by any viewer; its text is
/// there to be selected.
#[test]
fn an_invoice_is_written_as_a_page() {
    let desk = Desk::new();
    desk.ok(&[
        "set",
        "@book",
        "business_name=Fernhollow Bindery",
        "business_address=3 Mill Row; Fernhollow",
    ]);
    desk.file(
        "items.csv",
        "code,name,kind,unit,price\nNB,Notebook,made,piece,18.00\n",
    );
    desk.ok(&["bring", "@book", "items", "@items.csv"]);
    desk.file(
        "invoices.csv",
        "what,invoice,shop,date,sold,discount_percent,postage,due_days\n\
         ordered,2026-04,Larkspur Gifts,2026-04-01,NB:10,50,,\n",
    );
    desk.ok(&["bring", "@book", "invoices", "@invoices.csv"]);
    let told = desk
        .refused(1, &["invoice", "@book", "2026-04", "--out", "@i.pdf"])
        .join("\n");
    assert!(told.contains("not invoiced yet"), "{told}");
    desk.file(
        "invoiced.csv",
        "what,invoice,date,postage,due_days\ninvoiced,2026-04,2026-04-10,6.00,30\n",
    );
    desk.ok(&[
        "bring",
        "@book",
        "invoices",
        "@invoiced.csv",
        "--allow-short",
    ]);
    let told = desk.ok(&["invoice", "@book", "2026-04", "--out", "@i.pdf"]);
    assert!(told.contains("over 96.00"), "{told}");
    let bytes = std::fs::read(desk.path("i.pdf")).expect("written");
    assert!(bytes.starts_with(b"%PDF-1.7"));
    let told = desk
        .refused(1, &["invoice", "@book", "2026-04", "--out", "@i.pdf"])
        .join("\n");
    assert!(told.contains("cannot be written"), "{told}");
}

/// What was told is written out and read back into a new book with the same steps.
#[test]
fn steps_go_out_and_come_back_whole() {
    let desk = Desk::new();
    desk.file(
        "deposits.csv",
        "what,order,date,amount,paid_into,about,price,rest_into\n\
         taken,W-7,2026-10-01,50.00,1000,guest book,180.00,\n\
         delivered,W-7,2026-11-01,,,,180.00,1000\n\
         taken,W-8,2026-11-02,20.00,1000,\"album; two, in blue\",,\n",
    );
    desk.ok(&["bring", "@book", "deposits", "@deposits.csv"]);
    desk.file(
        "claims.csv",
        "what,claim,against,amount,date,about\nmade,C-1,Waymark Parcels,18.00,2026-11-03,a lost parcel\n",
    );
    desk.ok(&["bring", "@book", "claims", "@claims.csv"]);
    desk.ok(&["write-out", "@book", "@out"]);
    desk.ok(&[
        "new",
        "@c.deckle",
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
    ]);
    desk.ok(&["bring", "@c.deckle", "written-out", "@out"]);
    let show = |book: &str| {
        let told = desk.ok(&["show", book, "matters", "--to", "2026-12-31", "--json"]);
        serde_json::from_str::<serde_json::Value>(&told).expect("JSON")
    };
    let before = show("@book");
    assert_eq!(before["matters"].as_array().map(Vec::len), Some(3));
    assert_eq!(before, show("@c.deckle"));
    desk.ok(&["check", "@c.deckle"]);
}
