//! The cost card and both ways to have a product from the command line. Every figure is worked by hand beside it.

use serde_json::Value;

use crate::product::{DAY, workshop};

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key]
        .as_str()
        .unwrap_or_else(|| panic!("'{key}' is no text in {value:#}"))
}

const TRIED: &[&str] = &[
    "cost-card",
    "--item",
    "notebook",
    "--to",
    DAY,
    "--packaging",
    "0.40",
    "--postage",
    "3.00",
    "--label",
    "4.00",
    "--own-rate",
    "20.00",
];

/// Five sheets at 0.03, half a board at 0.50 and 0.10 of outside work are 0.50, with five of a hundred lost 0.5263; with
/// 0.40 of packaging and 0.50 of wear 1.4263. Of 14.00 go 1.43, 1.00 of postage and ten per cent for the shop.
#[test]
fn a_card_of_the_books_own_numbers() {
    let desk = workshop();
    let card = desk.json(TRIED);
    for (key, figure) in [
        ("item", "NOTEBOOK"),
        ("price", "14.00"),
        ("cost", "1.43"),
        ("postage_subsidised", "1.00"),
        ("fees", "1.40"),
        ("kept", "10.17"),
        // 10.17 of 14.00.
        ("margin_percent", "72.64"),
        // 90 minutes for 20 begun, 19 of them good: 4.74 minutes at 20.00 an hour; 10.17 × 60 ÷ 4.74 in whole cents.
        ("own_time", "1.58"),
        ("left_after_own_time", "8.59"),
        ("earned_an_hour", "128.73"),
        (
            "sentence",
            "Of each 14.00 you keep 10.17 before paying yourself.",
        ),
    ] {
        assert_eq!(text(&card, key), figure, "{key}");
    }
    assert_eq!(card["not_known"], serde_json::json!([]));
    // On average a sheet was 0.025: 0.475 ÷ 0.95 = 0.50, 1.40 in all.
    assert_eq!(card["by_cost"][1]["kept"], "10.20");
    assert_eq!(card["inputs"][0]["average"], "0.025");
    assert_eq!(card["inputs"][0]["latest"], "0.03");
    // No board is left, so nothing is known but what it cost last.
    assert_eq!(card["inputs"][1]["average"], Value::Null);
    assert_eq!(card["inputs"][1]["latest"], "0.50");
    let words: Vec<&str> = card["sources"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|source| text(source, "words"))
        .collect();
    assert_eq!(
        words[..2],
        [
            "Lanternpost Shop kept 4.20 of 42.00 sold since 29 Sep 2025, 10 %",
            "the register's wear since 29 Sep 2025, 20.00, over the 40 pieces made in that time",
        ]
    );
    assert!(text(&card, "caution").contains("licensed professional"));
}

/// At 0.05 a sheet the inputs are 0.60 ÷ 0.95 = 0.6316, 1.53 in all, so 10.07 is kept. 40.00 over the twenty of a first
/// run is 2.00 each, 10.00 made again 0.50, and 30.00 with three runs over fifty 1.20. At 6.08 half is kept: 6.08 - 1.43 -
/// 1.00 - 0.61 = 3.04. 100.00 ÷ 10.17 are ten pieces. At 12.60: 12.60 - 1.43 - 1.00 - 1.26 = 8.91; a shop's 7.00 leaves
/// 7.00 - 1.43 = 5.57.
#[test]
fn what_if_it_were_otherwise() {
    let desk = workshop();
    let mut tried = TRIED.to_vec();
    tried.extend([
        "--next-order",
        "paper=0.05",
        "--once-design",
        "30.00",
        "--once-run",
        "10.00",
        "--planned",
        "50",
        "--margin",
        "50",
        "--fixed",
        "100.00",
        "--offer",
        "10",
        "--wholesale",
        "7.00",
    ]);
    let card = desk.json(&tried);
    assert_eq!(card["by_cost"][2]["at_cost"], "next-order");
    assert_eq!(card["by_cost"][2]["kept"], "10.07");
    let once: Vec<(&str, &str, &str)> = card["once"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|view| (text(view, "over"), text(view, "each"), text(view, "kept")))
        .collect();
    assert_eq!(
        once,
        [
            ("first-run", "2.00", "8.17"),
            ("reorder", "0.50", "9.67"),
            ("planned", "1.20", "8.97"),
        ]
    );
    assert_eq!(card["wanted"]["price"], "6.08");
    assert_eq!(card["cover"]["pieces"], 10);
    assert_eq!(card["cover"]["sales"], "140.00");
    assert_eq!(card["offer"]["kept"], "8.91");
    assert_eq!(card["offer"]["kept_less"], "1.26");
    // 10.17 ÷ 8.91 and 10.17 ÷ 5.57, rounded up.
    assert_eq!(card["offer"]["times_as_many"], "1.15");
    assert_eq!(card["wholesale"]["kept"], "5.57");
    assert_eq!(card["wholesale"]["times_as_many"], "1.83");
    let mut plain = vec!["show", "@book"];
    plain.extend(&tried);
    let printed = desk.ok(&plain);
    for words in [
        "Of each 14.00 you keep 10.17 before paying yourself.",
        "10 pieces a month, 140.00 of sales, cover the 100.00 that you pay every month.",
        "At 10 % off, you keep 8.91, 1.26 less than usual: 1.15 times as many must be sold to keep the same.",
        "The first run: what comes once adds 2.00 to each, so 8.17 is kept.",
        "When next ordered: 10.07 kept.",
    ] {
        assert!(printed.contains(words), "{words}\n{printed}");
    }
}

/// A pouch takes one sheet at 0.03 and thread that never came in; without a label, packaging or minutes.
#[test]
fn what_is_not_known_is_said_and_never_a_silent_nought() {
    let desk = workshop();
    let card = desk.json(&["cost-card", "--item", "POUCH", "--to", DAY]);
    assert_eq!(card["cost_not_known"], serde_json::json!(["Linen thread"]));
    assert_eq!(
        card["not_known"],
        serde_json::json!(["packing", "postage", "your hours"])
    );
    // 0.03 and 0.50 of wear; 9.00 - 0.53 - 0.90.
    assert_eq!(
        text(&card, "sentence"),
        "Of each 9.00 you keep 7.57 before paying yourself, not yet counting what Linen thread costs, packing, postage, \
         your hours."
    );
    // Said to cost 0.80 a skein when ordered, a fifth of one is 0.16.
    let card = desk.json(&[
        "cost-card",
        "--item",
        "POUCH",
        "--to",
        DAY,
        "--next-order",
        "THREAD=0.80",
    ]);
    assert_eq!(card["cost_not_known"], serde_json::json!([]));
    assert_eq!(card["kept"], "7.41");
}

/// For forty good ones of a hundred with five lost, 43 are begun: three batches of twenty at 0.475 are 28.50. The house
/// asks 1.00 each, 40.00, or from fifty 0.60: fifty for 30.00 are cheaper than forty. With 4.5 minutes for each of the sixty,
/// 270 minutes at 20.00 an hour, making it is 90.00 more.
#[test]
fn making_it_or_having_it_made() {
    let desk = workshop();
    let mut asked = vec![
        "make-or-buy",
        "--item",
        "NOTEBOOK",
        "--to",
        DAY,
        "--quantity",
        "40",
        "--tiers",
        "1:1.00,50:0.60",
    ];
    let both = desk.json(&asked);
    assert_eq!(both["cheaper"], "make");
    assert_eq!(both["saved"], "1.50");
    assert_eq!(both["make"]["taken"], 60);
    assert_eq!(both["make"]["total"], "28.50");
    assert_eq!(both["have_made"]["taken"], 50);
    assert_eq!(both["have_made"]["total"], "30.00");
    assert_eq!(both["have_made"]["left_over"], 10);
    // Three sold in the first thirty days.
    assert_eq!(both["sold_a_month"], "3");
    assert_eq!(both["months_of_cover"], "16.7");
    assert!(text(&both, "left_out").contains("Packaging"));
    assert_eq!(
        text(&both, "sentence"),
        "For 40, making it is 1.50 cheaper."
    );
    asked.extend(["--own-rate", "20.00", "--with-own-time"]);
    let both = desk.json(&asked);
    assert_eq!(both["make"]["own_time"], "90.00");
    assert_eq!(both["cheaper"], "have-made");
    assert_eq!(both["saved"], "88.50");
    let mut plain = vec!["show", "@book"];
    plain.extend(&asked);
    let printed = desk.ok(&plain);
    assert!(printed.contains("Ordering 50 instead of 40 costs 10.00 less."));
    assert!(printed.contains("Packaging and postage are left out"));
}

#[test]
fn what_cannot_be_asked_is_refused_where_it_is_wrong() {
    let desk = workshop();
    let sold = "of what is sold it keeps NOTEBOOK, FOLIO, CARD, POUCH";
    let cases: &[(i32, &[&str], &str)] = &[
        (
            2,
            &["cost-card"],
            "show cost-card needs --item with an item's code",
        ),
        (
            1,
            &["cost-card", "--item", "BOX"],
            &format!("--item: the book keeps no item 'BOX'; {sold}"),
        ),
        (
            1,
            &["cost-card", "--item", "PAPER"],
            "PAPER: Text paper is kept as material, and a cost card is of what is sold",
        ),
        (
            1,
            &["cost-card", "--item", "CARD"],
            "CARD: Printed card has no price; give one with --price",
        ),
        (
            1,
            &["cost-card", "--item", "FOLIO"],
            "FOLIO: Folio has no recipe and was never made, so nothing is known of what it costs",
        ),
        (
            2,
            &["cost-card", "--item", "NOTEBOOK", "--price", "12,00"],
            "--price: '12,00' is not an amount",
        ),
        (
            2,
            &["cost-card", "--item", "NOTEBOOK", "--next-order", "GLUE=2"],
            "--next-order: no 'GLUE' goes into A5 notebook",
        ),
        (
            2,
            &["cost-card", "--item", "NOTEBOOK", "--channel", "Nowhere"],
            "--channel: nothing was sold at 'Nowhere' in the last twelve months",
        ),
        (
            1,
            &["make-or-buy", "--item", "FOLIO", "--tiers", "1:2.00"],
            "FOLIO: Folio has no recipe, so what making it costs is not known; write its recipe, or give --each",
        ),
        (
            1,
            &["make-or-buy", "--item", "CARD", "--tiers", "1:2.00"],
            "CARD: Printed card is kept as bought-in, and only what is made can be made or had made",
        ),
        (
            1,
            &["make-or-buy", "--item", "NOTEBOOK"],
            "NOTEBOOK: say what the house asks with --tiers, as 1:3.20,50:2.60",
        ),
        (
            2,
            &[
                "make-or-buy",
                "--item",
                "NOTEBOOK",
                "--tiers",
                "50:2.00,10:3.00",
            ],
            "--tiers: tiers out of order: tier 2 is from 10 pieces, the one before it from 50",
        ),
        (
            2,
            &["make-or-buy", "--item", "NOTEBOOK", "--tiers", "1:2.00,ten"],
            "--tiers: tier 2, 'ten', is not written as 50:2.60",
        ),
    ];
    for (code, asked, line) in cases {
        let mut all = vec!["show", "@book"];
        all.extend(*asked);
        all.extend(["--to", DAY]);
        let lines = desk.refused(*code, &all);
        assert!(lines[0].starts_with(line), "{asked:?}: {lines:?}");
    }
}

/// Three notebooks for 42.00 less 4.20 of fees cost 1.43 of the 19.00 that forty came to: 36.37, 86.6 per cent. One comes
/// back for 14.00, with 1.40 of its fees and a third of its cost, 0.48.
#[test]
fn what_each_product_left() {
    let desk = workshop();
    let asked = ["products", "--from", "2026-09-01", "--to", "2026-09-30"];
    let left = desk.json(&asked);
    let list = left["products"].as_array().expect("a list");
    assert_eq!(list.len(), 1);
    for (key, figure) in [
        ("item", "NOTEBOOK"),
        ("pieces", "3"),
        ("income", "42.00"),
        ("fees", "4.20"),
        ("cost", "1.43"),
        ("kept", "36.37"),
        ("margin_percent", "86.6"),
    ] {
        assert_eq!(text(&list[0], key), figure, "{key}");
    }
    desk.bring(
        "refunds",
        "sale,date,amount,returned_quantity,fee_credit\nS1,2026-09-24,14.00,1,1.40\n",
    );
    // Two notebooks in a set for 20.00 cost 0.95.
    desk.bring(
        "bundles",
        "bundle,name,price,part,part_quantity\nPAIR,Two notebooks,20.00,NOTEBOOK,2\n",
    );
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,item,quantity\nS2,2026-09-25,1000,20.00,PAIR,1\n",
    );
    let left = desk.json(&asked);
    let one = &left["products"][0];
    assert_eq!(text(one, "pieces"), "4");
    assert_eq!(text(one, "income"), "48.00");
    assert_eq!(text(one, "fees"), "2.80");
    assert_eq!(text(one, "cost"), desk.balance("5000"));
    assert!(
        desk.ok(&["show", "@book", "products", "--year", "2026"])
            .contains("A5 notebook")
    );
}

/// Of 240.00 the three notebooks have earned 36.37 in ninety days: 203.63 to go are 16.8 more pieces and 503.9 more days.
#[test]
fn a_press_that_has_not_paid_for_itself_yet() {
    let desk = workshop();
    let asked = ["payback", "--equipment", "Book press", "--to", DAY];
    let told = desk.json(&asked);
    assert_eq!(told["cost"], "240.00");
    assert_eq!(told["earned"], "36.37");
    assert_eq!(told["pieces"], 3);
    assert_eq!(told["to_go"], "203.63");
    assert_eq!(told["has_paid"], false);
    assert_eq!(told["pieces_to_go"], 17);
    assert_eq!(told["expected_on"], "2028-02-14");
    assert!(text(&told, "caution").contains("no tax figure"));
    let other = desk.json(&[
        "payback",
        "--equipment",
        "Book press",
        "--to",
        DAY,
        "--items",
        "pouch",
    ]);
    assert_eq!(other["earned"], "0.00");
    assert_eq!(other["pieces_to_go"], Value::Null);
    // Thirty more for 400.00 in one day, without fees: it has paid.
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,item,quantity\nS9,2026-09-26,1000,400.00,NOTEBOOK,30\n",
    );
    let told = desk.json(&asked);
    assert_eq!(told["has_paid"], true);
    assert_eq!(told["paid_back_on"], "2026-09-26");
    assert!(text(&told, "sentence").contains("has paid for itself"));
    for (code, asked, line) in [
        (
            2,
            vec!["payback"],
            "show payback needs --equipment with a piece's name",
        ),
        (
            1,
            vec!["payback", "--equipment", "Lathe"],
            "there is no equipment 'Lathe' in this book",
        ),
        (
            2,
            vec!["payback", "--equipment", "Book press", "--items", "CARD"],
            "--items: the book keeps no made item 'CARD'",
        ),
        (
            1,
            vec!["payback", "--equipment", "Book press", "--to", "2026-05-01"],
            "Book press: bought on 1 Jul 2026, so it cannot have paid by 1 May 2026",
        ),
    ] {
        let mut all = vec!["show", "@book"];
        all.extend(asked);
        let lines = desk.refused(code, &all);
        assert_eq!(lines, [line]);
    }
}

/// A second batch of forty told 260 minutes: 6.5 for each of its good pieces, where the recipe plans 4.74; 2.17 at 20.00 an
/// hour. Of 44 begun four were spoiled, two of them beyond the normal.
#[test]
fn a_batch_tells_what_it_really_took() {
    let desk = workshop();
    let lines = desk.bring_refused(
        "movements",
        "date,item,kind,quantity,batch,own_minutes,spoiled,spoiled_why\n\
         2026-09-15,PAPER,use,220,B2,260,,\n\
         2026-09-15,NOTEBOOK,make,40,B2,-5,,\n\
         2026-09-15,NOTEBOOK,make,40,B2,260,-1,\n",
    );
    assert_eq!(
        lines,
        [
            "movements.csv row 2 column own_minutes: belongs to a row of kind make only",
            "movements.csv row 3 column own_minutes: own minutes must be from 0 to 100,000",
            "movements.csv row 4 column spoiled: spoiled pieces cannot be below nothing",
        ]
    );
    desk.bring(
        "movements",
        "date,item,kind,quantity,batch,abnormal,own_minutes,spoiled,spoiled_why\n\
         2026-09-15,PAPER,use,220,B2,,,,\n\
         2026-09-15,NOTEBOOK,make,40,B2,2,260,4,blade slipped\n",
    );
    let mut asked = TRIED.to_vec();
    let card = desk.json(&asked);
    assert_eq!(card["own_time"], "2.17");
    let sources = card["sources"].to_string();
    assert!(
        sources.contains(
            "260 minutes written down with one batch of the last twelve months, 40 good pieces"
        ),
        "{sources}"
    );
    // What is asked outright goes before what was written down.
    asked.extend(["--own-minutes", "3"]);
    assert_eq!(desk.json(&asked)["own_time"], "1.00");
    // 6.5 minutes for a good piece are 6.18 for one that is begun: 60 × 6.18 at 20.00 an hour.
    let both = desk.json(&[
        "make-or-buy",
        "--item",
        "NOTEBOOK",
        "--to",
        DAY,
        "--quantity",
        "40",
        "--tiers",
        "1:1.00",
        "--own-rate",
        "20.00",
        "--with-own-time",
    ]);
    assert_eq!(both["make"]["own_time"], "123.60");
    // Nothing of it is posted.
    assert!(!desk.ok(&["show", "@book", "journal"]).contains("blade"));
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

const COMPARISONS: &str = "item,name,quantity,tiers,minimum,once_design,once_run,carriage,each,batch,loss,own_minutes,\
    own_rate,to_buy,own_time,made_again\n\
    NOTEBOOK,Crannock,40,1:1.00;50:0.60,,,,,0.475,20,5,4.5,20.00,,no,no\n\
    NOTEBOOK,Crannock with my time,40,1:1.00;50:0.60,,,,,0.475,20,5,4.5,20.00,,yes,no\n";

/// The comparison of the test above, kept: 1.50 cheaper to make, 88.50 dearer with own time.
#[test]
fn comparisons_are_kept_with_their_product() {
    let desk = workshop();
    let lines = desk.bring_refused(
        "comparisons",
        "item,name,quantity,tiers,each\nNOTEBOOK,A,40,50:1.00;1:2.00,0.5\nNOTEBOOK,B,40,ten,0.5\nBOX,C,40,1:1.00,0.5\n",
    );
    assert_eq!(lines.len(), 3, "{lines:?}");
    assert_eq!(
        lines[0],
        "comparisons.csv row 2 column tiers: tiers out of order: tier 2 is from 1 pieces, the one before it from 50"
    );
    assert_eq!(
        lines[1],
        "comparisons.csv row 3 column tiers: 'ten' is not written as 50:2.60"
    );
    desk.bring("comparisons", COMPARISONS);
    let lines = desk.bring_refused(
        "comparisons",
        "item,name,quantity,tiers,each\nNOTEBOOK,crannock,40,1:1.00,0.5\n",
    );
    assert!(
        lines[0].contains("there is a comparison called 'crannock' already"),
        "{lines:?}"
    );
    let kept = desk.json(&["comparisons"]);
    let said: Vec<&str> = kept["comparisons"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| text(one, "sentence"))
        .collect();
    assert_eq!(
        said,
        [
            "For 40, making it is 1.50 cheaper.",
            "For 40, having it made is 88.50 cheaper.",
        ]
    );
    let asked = ["make-or-buy", "--item", "NOTEBOOK", "--to", DAY, "--saved"];
    let mut first = asked.to_vec();
    first.push("crannock");
    assert_eq!(desk.json(&first)["saved"], "1.50");
    // Thirty good ones are 32 begun, two batches of twenty, 19.00, against 30.00 for thirty or for fifty.
    first.extend(["--quantity", "30"]);
    assert_eq!(desk.json(&first)["saved"], "11.00");
    let mut unknown = vec!["show", "@book"];
    unknown.extend(asked);
    unknown.push("Nobody");
    assert_eq!(
        desk.refused(1, &unknown),
        ["--saved: no comparison called 'Nobody' is kept with NOTEBOOK"]
    );
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
    desk.ok(&["write-out", "@second.deckle", "@again"]);
    for sheet in ["comparisons.csv", "movements.csv"] {
        let read = |folder: &str| std::fs::read(desk.path(folder).join(sheet)).expect("read");
        assert!(read("out") == read("again"), "{sheet} differs");
    }
}
