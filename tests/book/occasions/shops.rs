//! Shops that sell on commission or on account.
//! The book they are told into is the folder's own.

use super::*;

/// By hand: 10 notebooks and 20 cards at half of the retail price: 10 × 9.00 + 20 × 2.25 = 135.00, postage 6.00; paid
/// 100.00, then 40.00, then the last 1.00 is let go.
#[test]
fn a_shop_orders_is_invoiced_and_pays_in_parts() {
    let mut made = shop();
    let book = &mut made.book;
    let (number, _) = tell(
        book,
        "shop-ordered",
        &[
            ("invoice", "2026-04"),
            ("shop", "Larkspur Gifts"),
            ("date", "2026-04-01"),
            ("sold", "NB:10;CARD:20"),
            ("discount_percent", "50"),
        ],
    );
    assert_eq!(number, None);
    let (number, words) = tell(
        book,
        "shop-invoiced",
        &[
            ("invoice", "2026-04"),
            ("date", "2026-04-10"),
            ("postage", "6.00"),
            ("due_days", "30"),
        ],
    );
    assert_eq!(
        words,
        "A sale of 141.00. Larkspur Gifts owes it until 10 May 2026."
    );
    let expected = of(&[
        ("1100", 14_100),
        ("4000", -9_000),
        ("4000", -4_500),
        ("4010", -600),
    ]);
    assert_eq!(lines(book, number)[..4], expected);
    let paid = |amount, date| {
        [
            ("invoice", "2026-04"),
            ("amount", amount),
            ("date", date),
            ("paid_into", "1000"),
        ]
    };
    tell(book, "shop-paid", &paid("100.00", "2026-05-20"));
    let (field, words) = refused(book, "shop-paid", &paid("41.01", "2026-06-20"));
    assert_eq!(field, "amount");
    assert!(words.ends_with("at most 41.00"), "{words}");
    tell(book, "shop-paid", &paid("40.00", "2026-06-20"));
    tell(
        book,
        "invoice-let-go",
        &[
            ("invoice", "2026-04"),
            ("date", "2026-12-01"),
            ("note", "a rounding nobody asks for"),
        ],
    );
    assert_eq!(balance(book, "1100", "2026-12-31"), 0);
    assert_eq!(balance(book, "6900", "2026-12-31"), 100);
    let matters = book.matters().expect("readable");
    let invoice = matters.find(MatterKind::Invoice, "2026-04").expect("there");
    assert_eq!((invoice.state(), invoice.is_open()), ("let go", false));
    assert_clean(book);
}

/// By hand: 6 notebooks given, 4 sold at 20.00 = 80.00, the shop keeps 40 % = 32.00 and pays 48.00; one comes back, one is
/// missing (cost 4.00), for which it pays 10.00.
#[test]
fn pieces_on_commission_stay_hers_until_they_are_sold() {
    let mut made = shop();
    let book = &mut made.book;
    let (number, _) = tell(
        book,
        "commission-sent",
        &[
            ("place", "Larkspur Gifts"),
            ("date", "2026-05-01"),
            ("pieces", "NB:6"),
        ],
    );
    assert_eq!(number, None);
    let sold = |many| {
        [
            ("place", "Larkspur Gifts"),
            ("date", "2026-06-01"),
            ("sold", many),
            ("paid_into", "1000"),
        ]
    };
    let (field, words) = refused(book, "commission-sold", &sold("NB:7:140.00"));
    assert_eq!(field, "sold");
    assert_eq!(words, "Larkspur Gifts has 6 of NB, not 7");
    let (number, _) = tell(book, "commission-sold", &sold("NB:4:80.00"));
    let expected = of(&[
        ("1000", 4_800),
        ("6250", 3_200),
        ("4000", -8_000),
        ("1210", -1_600),
        ("5000", 1_600),
    ]);
    assert_eq!(lines(book, number), expected);
    let here = [("place", "Larkspur Gifts"), ("date", "2026-06-02")];
    tell(
        book,
        "commission-back",
        &[here[0], here[1], ("pieces", "NB:1")],
    );
    let missing = [
        here[0],
        here[1],
        ("pieces", "NB:1"),
        ("amount", "10.00"),
        ("paid_into", "1000"),
    ];
    tell(book, "commission-missing", &missing);
    assert_eq!(balance(book, "5020", "2026-12-31"), 400);
    assert_eq!(balance(book, "4095", "2026-12-31"), -1_000);
    let matters = book.matters().expect("readable");
    let shop = matters
        .find(MatterKind::Commission, "larkspur gifts")
        .expect("there");
    assert!(!shop.is_open());
    // 20 − 4 − 1 notebooks at 4.00 and the cards.
    assert_eq!(balance(book, "1210", "2026-12-31"), 6_000 + 5_000);
    assert_clean(book);
}

#[test]
fn a_sale_on_commission_can_be_counted_at_what_she_gets() {
    let mut made = shop();
    let book = &mut made.book;
    tell(
        book,
        "commission-sent",
        &[
            ("place", "Larkspur Gifts"),
            ("date", "2026-05-01"),
            ("pieces", "NB:6"),
        ],
    );
    let (number, words) = tell(
        book,
        "commission-sold",
        &[
            ("place", "Larkspur Gifts"),
            ("date", "2026-06-01"),
            ("sold", "NB:4:80.00"),
            ("paid_into", "1000"),
            ("reading", "net"),
        ],
    );
    assert_eq!(
        lines(book, number)[..2],
        of(&[("1000", 4_800), ("4000", -4_800)])
    );
    assert!(words.contains("the full price is kept"), "{words}");
}
