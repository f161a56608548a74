//! Sets through sheets: their parts leave with a sale and come back with a refund, and what is refused.
//! The stock they are sold from is told in `stock`.

use super::stock::desk;

/// Sixteen notebooks at home and a shop cost 0.50 each, forty cards 0.60. A set of one notebook and three cards: 2.30.
const SETS: &str = "bundle,name,price,part,part_quantity\n\
    GIFT,Gift set,19.00,NOTEBOOK,1\n\
    GIFT,,,CARD,3\n";

/// By hand: two sets take two notebooks (1.00) and six cards (3.60); one set comes back: 0.50 and 1.80. Twelve
/// notebooks were left before, eleven now; of 38 cards less 3 net 35 are left, enough for eleven sets.
#[test]
fn a_set_takes_its_parts_and_gives_them_back() {
    let desk = desk();
    desk.bring("bundles", SETS);
    let before = desk.json(&["bundles", "--to", "2026-01-22"]);
    let set = &before["bundles"][0];
    assert_eq!(set["sellable"], 12);
    assert_eq!(set["cost"], "2.30");
    assert_eq!(set["left"], "16.70");
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,item,quantity\nS5,2026-01-23,Lanternpost Shop,38.00,gift,2\n",
    );
    desk.balances(&[("1210", "5.00"), ("1220", "19.20"), ("5000", "8.30")]);
    desk.bring(
        "refunds",
        "sale,date,amount,returned_quantity,item\nS5,2026-01-25,19.00,1,GIFT\n",
    );
    desk.balances(&[("1210", "5.50"), ("1220", "21.00"), ("5000", "6.00")]);
    let after = desk.json(&["bundles", "--to", "2026-01-31"]);
    assert_eq!(after["bundles"][0]["sellable"], 11);
    assert_eq!(after["bundles"][0]["short_of"], "A5 notebook");
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    let lines = desk.bring_refused(
        "refunds",
        "sale,date,amount,returned_quantity\nS5,2026-01-26,19.00,3\n",
    );
    assert_eq!(
        lines,
        ["refunds.csv row 2 column returned_quantity: more comes back than was sold, which was 2"]
    );
}

#[test]
fn a_set_that_cannot_be_is_refused_with_its_row() {
    let desk = desk();
    let lines = desk.bring_refused(
        "bundles",
        "bundle,name,price,part,part_quantity\nCARD,Cards,5.00,CARD,2\nSET,,5.00,CARD,2\nFIVE,Five,-1,CARD,5\n\
         SIX,Six,,CARD,6\nSIX,,,GLUE,1\nSEVEN,Seven,,CARD,7\nSEVEN,,,CARD,1\nNONE,None,,CARD,0\n",
    );
    assert_eq!(
        lines,
        [
            "bundles.csv row 2 column bundle: CARD is the code of an item",
            "bundles.csv row 3 column name: is empty",
            "bundles.csv row 4 column price: must not be below zero",
            "bundles.csv row 6 column part: there is no item 'GLUE' in the book",
            "bundles.csv row 7 column part: CARD stands in the set twice",
            "bundles.csv row 9 column part_quantity: CARD needs a quantity above nothing",
        ]
    );
    desk.bring("bundles", SETS);
    let lines = desk.bring_refused(
        "sales",
        "sale,date,paid_into,amount,item\nS9,2026-02-01,1000,19.00,GIFT\n",
    );
    assert_eq!(
        lines,
        ["sales.csv row 2 column quantity: say how many of Gift set were sold"]
    );
    let lines = desk.bring_refused(
        "items",
        "code,name,kind,unit\nGift,Gift paper,material,sheet\n",
    );
    assert_eq!(
        lines,
        [
            "items.csv row 2: Gift is the code of the set 'Gift set'; give the item another; nothing was changed"
        ]
    );
}
