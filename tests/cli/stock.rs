//! Stock through sheets: items, recipes, purchases by item, batches, sales, returns and counts, and what is refused.
//! What movements are worth is `tests/core`'s and `tests/book`'s; the figures here are worked by hand beside each test.

use crate::desk::Desk;

const ITEMS: &str = "code,name,kind,unit,reorder_point,price,packs,shelf\n\
    PAPER,Text paper,material,sheet,200,,ream=500;box=2500,A1\n\
    BOARD,Grey board,material,sheet,,,,A2\n\
    NOTEBOOK,A5 notebook,made,piece,3,14.00,,B1\n\
    CARD,Printed card,bought-in,piece,,2.50,pack=20,B2\n\
    BOX,Gift box,packaging,piece,,,,C1\n";

const RECIPES: &str = "item,batch_quantity,input,input_quantity,own_minutes,normal_waste,outside\n\
    NOTEBOOK,20,PAPER,100,90,5,\n\
    NOTEBOOK,,BOARD,10,,,\n";

/// 1,000 sheets for 20.00 and 20 boards for 10.00 with 3.00 carriage (2.00 and 1.00): a sheet 0.022, a board 0.55;
/// 40 cards for 24.00.
const PURCHASES: &str = "purchase,date,supplier,paid_from,amount,item,quantity,unit,carriage\n\
    R1,2026-01-05,Alderwick Paper Merchants,1000,20.00,paper,2,ream,3.00\n\
    R1,2026-01-05,Alderwick Paper Merchants,1000,10.00,BOARD,20,,\n\
    R2,2026-01-06,Crannock Print House,owner,24.00,CARD,2,pack,\n";

/// 100 sheets (2.20), 10 boards (5.50) and 3.30 of outside work are 11.00: 20 good and 2 lost beyond what is normal,
/// 0.50 each. Two go as samples, one is spoiled, four lie at a shop.
const MOVEMENTS: &str = "date,item,kind,quantity,total_cost,paid_from,batch,reference,place,to_place,abnormal\n\
    2026-01-10,PAPER,use,100,,,B1,,,,\n\
    2026-01-10,NOTEBOOK,make,20,3.30,1000,B1,,,,2\n\
    2026-01-10,BOARD,use,10,,,B1,,,,\n\
    2026-01-12,NOTEBOOK,sample,2,,,,,,,\n\
    2026-01-13,NOTEBOOK,waste,1,,,,,,,\n\
    2026-01-14,NOTEBOOK,carry,4,,,,,,Thornbury Lane,\n\
    2026-01-15,BOX,receive,10,5.00,1000,,MP-1,,,\n";

const SALES: &str = "sale,date,paid_into,amount,item,quantity\n\
    S1,2026-01-20,Lanternpost Shop,70.00,NOTEBOOK,5\n\
    S1,2026-01-20,Lanternpost Shop,5.00,CARD,2\n\
    S2,2026-01-21,1000,9.00,Odd thing,1\n";

pub(super) fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring("items", ITEMS);
    desk.bring("recipes", RECIPES);
    desk.bring("purchases", PURCHASES);
    desk.bring("movements", MOVEMENTS);
    desk.bring("sales", SALES);
    desk
}

#[test]
fn a_month_of_sheets_stands_at_what_it_is_worth() {
    let desk = desk();
    desk.balances(&[
        ("1200", "25.30"),
        ("1210", "6.00"),
        ("1220", "22.80"),
        ("1225", "0.00"),
        ("1230", "5.00"),
        ("5000", "3.70"),
        // One of the pieces is spoiled on the shelf, two were lost in making.
        ("5020", "1.50"),
        ("6300", "1.00"),
        ("3000", "-24.00"),
    ]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    let entries = desk.json(&["journal", "--from", "2026-01-10", "--to", "2026-01-10"]);
    let batch = entries["entries"].as_array().expect("a list");
    assert_eq!(batch.len(), 1);
    assert_eq!(batch[0]["kind"], "batch");
    assert_eq!(batch[0]["memo"], "Made: 20 pieces A5 notebook, batch B1");
}

/// Two of the five notebooks come back at the 0.50 each at which they went.
#[test]
fn pieces_that_come_back_go_on_the_shelf_at_their_cost() {
    let desk = desk();
    desk.bring(
        "refunds",
        "sale,date,amount,returned_quantity,item\nS1,2026-01-25,28.00,2,NOTEBOOK\n",
    );
    desk.balances(&[("1210", "7.00"), ("5000", "2.70"), ("4020", "28.00")]);
    let lines = desk.bring_refused(
        "refunds",
        "sale,date,amount,returned_quantity,item\nS1,2026-01-26,2.00,6,NOTEBOOK\nS1,2026-01-26,2.00,3,\n\
         S1,2026-01-26,2.00,1,BOX\nS1,2026-01-26,2.00,4,NOTEBOOK\n",
    );
    assert_eq!(
        lines,
        [
            "refunds.csv row 2 column returned_quantity: more comes back than was sold, which was 5",
            "refunds.csv row 3 column item: say which came back: the sale was of NOTEBOOK, CARD",
            "refunds.csv row 4 column item: the sale has no 'BOX'",
        ]
    );
    let lines = desk.bring_refused(
        "refunds",
        "sale,date,amount,returned_quantity,item\nS1,2026-01-26,2.00,4,NOTEBOOK\n",
    );
    assert_eq!(
        lines,
        [
            "refunds.csv row 2: more of NOTEBOOK comes back than was sold with it; nothing was changed"
        ]
    );
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

/// The purchases of above in a book that counts only: 1,000 sheets 22.00, boards 11.00, cards 24.00 are costs at once.
/// The count finds 900 sheets (19.80) and all else as it was.
#[test]
fn a_book_that_counts_only_takes_what_is_bought_as_a_cost() {
    let desk = Desk::new();
    desk.ok(&["set", "@book", "stock_keeping=periodic"]);
    desk.bring("items", ITEMS);
    desk.bring("purchases", PURCHASES);
    desk.balances(&[("1200", "0.00"), ("1220", "0.00"), ("5000", "57.00")]);
    let list = desk.json(&["stock", "--to", "2026-01-31"]);
    assert_eq!(list["keeping"], "periodic");
    assert_eq!(list["total_value"], "57.00");
    assert_eq!(list["ledger_value"], "0.00");
    desk.bring(
        "movements",
        "date,item,kind,quantity\n2026-01-31,PAPER,count,900\n2026-01-31,BOARD,count,20\n2026-01-31,CARD,count,40\n",
    );
    desk.balances(&[("1200", "30.80"), ("1220", "24.00"), ("5000", "2.20")]);
    let working = desk.json(&["cost-of-goods-sold", "--year", "2026"]);
    assert_eq!(working["purchases"], "24.00");
    assert_eq!(working["materials"], "33.00");
    assert_eq!(working["closing"], "54.80");
    assert_eq!(working["cost_of_goods_sold"], "2.20");
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

/// A count finds 12 of the 8 left at home less 4 at the shop; the pieces at the shop stay as they are.
#[test]
fn a_count_brings_the_book_to_what_lies_there() {
    let desk = desk();
    desk.bring(
        "movements",
        "date,item,kind,quantity,place\n2026-01-31,NOTEBOOK,count,6,\n2026-01-31,NOTEBOOK,count,3,Thornbury Lane\n\
         2026-01-31,PAPER,count,890,\n",
    );
    // 8 were thought to lie at home and 4 at the shop: 2 and 1 are missing; 900 sheets: 10 at 0.022 are.
    desk.balances(&[("1210", "4.50"), ("1200", "25.08")]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

#[test]
fn every_fault_of_the_sheets_is_told() {
    let desk = desk();
    let lines = desk.bring_refused(
        "items",
        "code,name,kind,unit,reorder_point,price,packs\nGLUE,Glue,sticky,ml,-1,,\nINK,,material,,,-2.00,tube\n\
         TAPE,Tape,packaging,roll,,,box=0\nTAPE,Tape,packaging,roll,,,\nPAPER,Paper,material,kilo,,,\n",
    );
    assert_eq!(
        lines,
        [
            "items.csv row 2 column kind: 'sticky' is not a kind of item; use one of material, bought-in, made, packaging",
            "items.csv row 2 column reorder_point: must not be below zero",
            "items.csv row 3 column name: is empty",
            "items.csv row 3 column unit: is empty",
            "items.csv row 3 column price: must not be below zero",
            "items.csv row 3 column packs: 'tube' is not a pack; write name=quantity, as ream=500;box=2500",
            "items.csv row 4 column packs: the pack 'box' must hold more than nothing and have a name of its own",
        ]
    );
    let lines = desk.bring_refused("items", "code,name,kind,unit\nPAPER,Paper,material,kilo\n");
    assert_eq!(
        lines,
        [
            "items.csv row 2: PAPER has moved already and keeps its kind (material) and its unit (sheet); make another item instead; nothing was changed"
        ]
    );
    let lines = desk.bring_refused(
        "recipes",
        "item,batch_quantity,input,input_quantity\nNOTEBOOK,0,PAPER,1\nCARD,1,NOTEBOOK,1\nPAPER,1,BOARD,1\n\
         NOTHING,1,BOARD,-2\n",
    );
    assert_eq!(
        lines,
        [
            "recipes.csv row 2 column batch_quantity: a batch must yield more than nothing",
            "recipes.csv row 4 column item: PAPER is material; a recipe makes a made good",
            "recipes.csv row 5 column item: there is no item 'NOTHING' in the book",
            "recipes.csv row 5 column input_quantity: must be above zero",
        ]
    );
    let lines = desk.bring_refused(
        "recipes",
        "item,batch_quantity,input,input_quantity\nNOTEBOOK,5,CARD,1\nCARD,1,NOTEBOOK,1\n",
    );
    assert_eq!(
        lines,
        ["recipes.csv row 3 column input: NOTEBOOK would need itself"]
    );
    let lines = desk.bring_refused(
        "movements",
        "date,item,kind,quantity,unit,total_cost,paid_from,batch,abnormal,of\n\
         2026-02-01,PAPER,use,1,reams,,,,,\n\
         2026-02-01,PAPER,use,-1,,,,,,\n\
         2026-02-01,GLUE,use,1,,,,,,\n\
         2026-02-01,PAPER,eat,1,,,,,,\n\
         2026-02-01,PAPER,receive,1,,2.00,,,,\n\
         2026-02-01,NOTEBOOK,make,1,,,,,,\n\
         2026-02-01,NOTEBOOK,make,1,,2.00,,B9,,\n\
         2026-02-01,PAPER,use,1,,2.00,,,,\n\
         2025-02-01,PAPER,use,1,,,,,,\n\
         2026-02-01,PAPER,use,0,,,,,,\n\
         2026-02-01,PAPER,use,1,,,,,1,\n\
         2026-02-01,NOTEBOOK,return,1,,,,,,77\n",
    );
    assert_eq!(
        lines,
        [
            "movements.csv row 2 column unit: 'reams' is not a unit of PAPER; it knows sheet, ream, box",
            "movements.csv row 3 column quantity: must not be below zero: the kind says whether it comes or goes",
            "movements.csv row 4 column item: there is no item 'GLUE' in the book",
            "movements.csv row 5 column kind: 'eat' is not a kind of movement; use one of receive, use, make, sell, return, waste, sample, gift, own-use, donation, replacement, count, carry, send-back, later-cost, later-credit, write-down",
            "movements.csv row 6 column paid_from: say where the money came from: an account, owner, or none when its cost stands on the stock account already",
            "movements.csv row 7 column batch: say which batch the pieces are from",
            "movements.csv row 8 column paid_from: say who paid for the outside work: an account, or owner",
            "movements.csv row 9 column total_cost: is worked out for a row of kind use; leave it empty",
            "movements.csv row 10 column date: 2025-02-01 is before the book's first day 2026-01-01",
            "movements.csv row 11 column quantity: must be above zero",
            "movements.csv row 12 column abnormal: belongs to a row of kind make only",
        ]
    );
    let lines = desk.bring_refused(
        "movements",
        "date,item,kind,quantity,batch,of\n2026-02-01,NOTEBOOK,return,1,,77\n2026-02-02,NOTEBOOK,make,3,B1,\n\
         2026-02-03,PAPER,use,1,B1,\n",
    );
    assert_eq!(
        lines,
        [
            "movements.csv row 2 column of: there is no movement '77' before this row or in the book",
            "movements.csv row 3: batch B1 has pieces already; give a second lot a batch of its own; nothing was changed",
            "movements.csv row 4: batch B1 has its pieces already; nothing more can go into it; nothing was changed",
        ]
    );
    let lines = desk.bring_refused(
        "purchases",
        "purchase,date,supplier,paid_from,amount,item,quantity\nR9,2026-02-01,Mill,1000,1.00,PAPER,\n\
         R8,2026-02-01,Mill,1000,1.00,GLUE,2\n",
    );
    assert_eq!(
        lines,
        [
            "purchases.csv row 2 column quantity: say how many sheets of Text paper came",
            "purchases.csv row 3 column item: there is no item 'GLUE' in the book; bring it with a sheet of items, or give the line's account",
        ]
    );
    let lines = desk.bring_refused(
        "sales",
        "sale,date,paid_into,amount,item\nS9,2026-02-01,1000,14.00,NOTEBOOK\n",
    );
    assert_eq!(
        lines,
        ["sales.csv row 2 column quantity: say how many pieces of A5 notebook were sold"]
    );
    desk.ok(&["lock", "@book", "--through", "2026-01-31"]);
    let lines = desk.bring_refused(
        "movements",
        "date,item,kind,quantity\n2026-01-31,PAPER,count,900\n",
    );
    assert!(
        lines[0].starts_with("movements.csv row 2 column date: 2026-01-31 lies in a locked period"),
        "{lines:?}"
    );
}

/// Of 12 notebooks 15 are given away: refused in one line, or taken and told.
#[test]
fn what_was_never_there_is_refused_unless_allowed() {
    let desk = desk();
    let sheet =
        "date,item,kind,quantity\n2026-02-01,NOTEBOOK,gift,10\n2026-02-02,NOTEBOOK,gift,5\n";
    let lines = desk.bring_refused("movements", sheet);
    assert_eq!(
        lines,
        [
            "movements.csv row 3 column quantity: A5 notebook would stand 3 pieces below nothing: more was used or sold than ever came. Bring what came first, or add --allow-short to take it and count later"
        ]
    );
    let said = desk.ok(&[
        "bring",
        "@book",
        "movements",
        "@movements.csv",
        "--allow-short",
    ]);
    assert!(
        said.contains("A5 notebook would stand 3 pieces below nothing"),
        "{said}"
    );
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    // Ten more are made of 5.50 of board: what was given in advance takes its cost, 0.55 each.
    desk.bring(
        "movements",
        "date,item,kind,quantity,batch\n2026-02-05,BOARD,use,10,B2\n2026-02-05,NOTEBOOK,make,10,B2\n",
    );
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    desk.balances(&[("1210", "3.85"), ("1225", "0.00")]);
    let said = desk.bring(
        "sales",
        "sale,date,paid_into,amount,item,quantity\nS7,2026-02-20,1000,140.00,NOTEBOOK,10\n",
    );
    assert!(
        said.contains("A5 notebook: 3 pieces more sold than the book knows of"),
        "{said}"
    );
}

/// What lay on the account without an item becomes the item's, and the account is worth what it was.
#[test]
fn stock_that_is_in_the_ledger_already_is_given_to_its_item() {
    let desk = Desk::new();
    desk.bring(
        "entries",
        "entry,date,account,debit,credit\nO,2026-01-01,1200,50.00,\nO,2026-01-01,3000,,50.00\n",
    );
    desk.bring("items", ITEMS);
    desk.bring(
        "movements",
        "date,item,kind,quantity,unit,total_cost,paid_from\n2026-01-02,PAPER,receive,4,ream,40.00,none\n",
    );
    desk.balances(&[("1200", "50.00")]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    let lines = desk.bring_refused(
        "entries",
        "entry,date,account,debit,credit,item\nX,2026-01-03,1200,5.00,,PAPER\nX,2026-01-03,3000,,5.00,\n",
    );
    assert!(
        lines[0].contains("PAPER is kept in stock, and a sheet of entries moves none"),
        "{lines:?}"
    );
}

/// Freight of 6.00 comes later for 40 cards of which 20 were sold: half stays with what is left.
#[test]
fn a_later_bill_finds_its_arrival_by_the_key_of_its_row() {
    let desk = Desk::new();
    desk.bring("items", ITEMS);
    desk.bring(
        "movements",
        "date,item,kind,quantity,total_cost,paid_from,id,of\n2026-01-02,CARD,receive,40,24.00,1000,a1,\n\
         2026-01-10,CARD,sell,20,,,,\n2026-01-20,CARD,later-cost,,6.00,1000,,a1\n",
    );
    desk.balances(&[("1220", "15.00"), ("5000", "15.00"), ("1000", "-30.00")]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

/// The items of a list by code, as one line of its figures each.
fn rows(list: &serde_json::Value, keys: &[&str]) -> Vec<String> {
    let items = list["items"].as_array().expect("a list");
    items
        .iter()
        .map(|item| {
            let figures: Vec<&str> = keys
                .iter()
                .map(|key| item[*key].as_str().unwrap_or("-"))
                .collect();
            figures.join(" ")
        })
        .collect()
}

#[test]
fn stock_is_shown_as_of_a_day_and_with_what_came_and_went() {
    let desk = desk();
    let list = desk.json(&["stock", "--to", "2026-01-31"]);
    assert_eq!(list["method"], "average");
    assert_eq!(list["as_of"], "2026-01-31");
    assert_eq!(
        rows(&list, &["code", "quantity", "value", "unit_cost"]),
        [
            "BOARD 10 5.50 0.55",
            "BOX 10 5.00 0.50",
            "CARD 38 22.80 0.60",
            "NOTEBOOK 12 6.00 0.50",
            "PAPER 900 19.80 0.022",
        ]
    );
    assert_eq!(list["total_value"], "59.10");
    assert_eq!(list["ledger_value"], "59.10");
    assert_eq!(list["not_itemised"], "0.00");
    let period = desk.json(&["stock", "--from", "2026-01-10", "--to", "2026-01-31"]);
    let keys = [
        "code",
        "opening",
        "received",
        "made",
        "used",
        "cost_of_goods_sold",
        "waste",
        "given",
        "closing",
    ];
    assert_eq!(
        rows(&period, &keys),
        [
            "BOARD 11.00 0.00 0.00 5.50 0.00 0.00 0.00 5.50",
            "BOX 0.00 5.00 0.00 0.00 0.00 0.00 0.00 5.00",
            "CARD 24.00 0.00 0.00 0.00 1.20 0.00 0.00 22.80",
            "NOTEBOOK 0.00 0.00 11.00 0.00 2.50 1.50 1.00 6.00",
            "PAPER 22.00 0.00 0.00 2.20 0.00 0.00 0.00 19.80",
        ]
    );
    assert_eq!(period["totals"]["cost_of_goods_sold"], "3.70");
    let text = desk.ok(&["show", "@book", "stock", "--to", "2026-01-31"]);
    assert!(
        text.contains("Stock accounts") && text.contains("moving average cost"),
        "{text}"
    );
}

/// 58 of stock at the end: 33.00 of materials, 24.00 of cards, 3.30 of outside work, 1.00 of samples.
#[test]
fn what_the_goods_sold_cost_agrees_with_profit() {
    let desk = desk();
    let goods = desk.json(&["cogs", "--year", "2026"]);
    let figures = [
        ("opening", "0.00"),
        ("purchases", "24.00"),
        ("own_use", "0.00"),
        ("materials", "33.00"),
        ("other", "2.30"),
        ("available", "59.30"),
        ("closing", "54.10"),
        ("cost_of_goods_sold", "5.20"),
    ];
    for (key, amount) in figures {
        assert_eq!(goods[key], amount, "{key}");
    }
    let lines = goods["form_lines"].as_array().expect("a list");
    assert_eq!(lines.len(), 10);
    assert_eq!(
        (&lines[9]["line"], &lines[9]["amount"]),
        (&42.into(), &"5.20".into())
    );
    let profit = desk.json(&["profit", "--year", "2026"]);
    assert_eq!(profit["totals"]["cost_of_goods_sold"], "5.20");
}

#[test]
fn a_count_sheet_names_every_place_and_no_quantity() {
    let desk = desk();
    assert_eq!(
        desk.ok(&["show", "@book", "count-sheet", "--to", "2026-01-31"]),
        "place,shelf,code,name,unit,counted\r\n,A1,PAPER,Text paper,sheet,\r\n,A2,BOARD,Grey board,sheet,\r\n\
         ,B1,NOTEBOOK,A5 notebook,piece,\r\n,B2,CARD,Printed card,piece,\r\n,C1,BOX,Gift box,piece,\r\n\
         Thornbury Lane,,NOTEBOOK,A5 notebook,piece,\r\n"
    );
}

#[test]
fn low_short_and_uncounted_stock_wants_doing_and_leaves_with_the_year() {
    let desk = desk();
    desk.bring(
        "movements",
        "date,item,kind,quantity\n2026-02-01,NOTEBOOK,gift,9\n2026-12-20,PAPER,count,900\n",
    );
    desk.ok(&["bring", "@book", "sales", "@sales.csv", "--again"]);
    desk.file(
        "sales.csv",
        "sale,date,paid_into,amount,item,quantity\nS8,2026-03-01,1000,90.00,CARD,40\n",
    );
    desk.ok(&["bring", "@book", "sales", "@sales.csv"]);
    let needs = desk.json(&["needs", "--to", "2027-01-15"]);
    let open: Vec<&str> = needs["open"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|need| need["what"].as_str())
        .collect();
    assert!(
        open.contains(&"More went than ever came of 2 items"),
        "{open:?}"
    );
    assert!(
        open.contains(&"2 items not counted at the end of 31 Dec 2026"),
        "{open:?}"
    );
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let read = |name: &str| {
        let sheet = desk.path("pack/sheets").join(name);
        let place = if sheet.exists() {
            sheet
        } else {
            desk.path("pack").join(name)
        };
        std::fs::read_to_string(place).expect("is in the pack")
    };
    assert!(
        read("stock.csv").contains("PAPER,Text paper,material,A1,"),
        "{}",
        read("stock.csv")
    );
    assert!(
        read("cost-of-goods-sold.csv").contains("42,\"Cost of goods sold, line 40 less line 41\",")
    );
    let cover = read("summary.md");
    assert!(cover.contains("## What the goods sold cost"), "{cover}");
    assert!(
        cover.contains("2 items were in stock at the year's end and not counted"),
        "{cover}"
    );
    assert!(
        cover.contains("More A5 notebook went than ever came"),
        "{cover}"
    );
}

/// 250 of 900 sheets are left at a reorder point of 200, then 200 are.
#[test]
fn what_runs_low_is_told_at_its_reorder_point() {
    let desk = desk();
    let low = |desk: &Desk| desk.json(&["needs", "--to", "2026-02-10"]).to_string();
    desk.bring(
        "movements",
        "date,item,kind,quantity\n2026-02-01,PAPER,use,650\n",
    );
    assert!(!low(&desk).contains("low"), "{}", low(&desk));
    desk.bring(
        "movements",
        "date,item,kind,quantity\n2026-02-02,PAPER,use,50\n",
    );
    let said = low(&desk);
    assert!(
        said.contains("1 item runs low") && said.contains("Text paper (200 sheets left)"),
        "{said}"
    );
}
