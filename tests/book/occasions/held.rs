//! What is held for customers until it is earned: vouchers and deposits.
//! The book they are told into is the folder's own.

use super::*;

/// By hand: 40.00 held; 25.00 of it and 2.00 in cash buy a notebook of 18.00 and two cards of 4.50; 15.00 are left.
#[test]
fn a_voucher_is_held_until_it_is_redeemed() {
    let mut made = shop();
    let book = &mut made.book;
    tell(
        book,
        "voucher-sold",
        &[
            ("voucher", "V-12"),
            ("amount", "40.00"),
            ("date", "2026-11-02"),
            ("paid_into", "1000"),
            ("expires", "2028-11-02"),
        ],
    );
    assert_eq!(balance(book, "2200", "2026-11-30"), -4_000);
    assert_eq!(balance(book, "4000", "2026-11-30"), 0);
    let used = [
        ("voucher", "v-12"),
        ("amount", "25.00"),
        ("date", "2026-12-05"),
        ("sold", "NB:1;CARD:2"),
        ("rest", "2.00"),
        ("rest_into", "1020"),
    ];
    let (number, words) = tell(book, "voucher-used", &used);
    assert_eq!(words, "A sale of 27.00. Voucher V-12 still holds 15.00.");
    assert_eq!(
        lines(book, number)[..2],
        of(&[("2200", 2_500), ("1020", 200)])
    );
    assert_eq!(balance(book, "2200", "2026-12-31"), -1_500);
    // 4.00 + 2 × 1.00.
    assert_eq!(balance(book, "5000", "2026-12-31"), 600);
    let (field, words) = refused(
        book,
        "voucher-used",
        &[
            ("voucher", "V-12"),
            ("amount", "15.01"),
            ("date", "2026-12-06"),
            ("description", "a card"),
        ],
    );
    assert_eq!(field, "amount");
    assert_eq!(words, "this is more than voucher V-12 holds: at most 15.00");
    let matters = book.matters().expect("readable");
    let over_the_year = matters.as_of(day("2026-12-31"));
    let voucher = over_the_year.find(MatterKind::Voucher, "V-12");
    assert_eq!(voucher.map(|one| one.balance().minor()), Some(1_500));
    // Taken back, it holds the 25.00 again; amended to another amount it may not be.
    let number = number.expect("an entry");
    let mut other = book.entry(number).expect("there").entry;
    other.header.date = day("2026-12-07");
    assert!(book.amend(number, &other, "another day").is_err());
    book.reverse(number, day("2026-12-05"), "wrong voucher")
        .expect("taken back");
    let matters = book.matters().expect("readable");
    let voucher = matters.find(MatterKind::Voucher, "V-12");
    assert_eq!(voucher.map(|one| one.balance().minor()), Some(4_000));
    book.undo().expect("undone");
    book.undo().expect("undone");
    assert_eq!(
        book.matters()
            .expect("readable")
            .find(MatterKind::Voucher, "V-12")
            .map(|one| one.balance().minor()),
        Some(4_000)
    );
    book.redo().expect("redone");
    assert_eq!(
        book.matters()
            .expect("readable")
            .find(MatterKind::Voucher, "V-12")
            .map(|one| one.balance().minor()),
        Some(1_500)
    );
    assert_clean(book);
}

/// By hand: 50.00 held on an order of 180.00 with 8.00 postage and 10.80 tax: 198.80 − 50.00 = 148.80 on delivery.
#[test]
fn a_deposit_becomes_a_part_of_the_price() {
    let mut made = shop();
    let book = &mut made.book;
    let deposit = [
        ("order", "W-7"),
        ("amount", "50.00"),
        ("date", "2026-10-01"),
        ("paid_into", "1000"),
        ("about", "guest book in green cloth"),
        ("price", "180.00"),
        ("ready", "2027-01-20"),
    ];
    tell(book, "deposit-taken", &deposit);
    assert_eq!(balance(book, "4000", "2026-12-31"), 0);
    let (number, words) = tell(
        book,
        "deposit-delivered",
        &[
            ("order", "W-7"),
            ("price", "180.00"),
            ("date", "2027-01-18"),
            ("postage", "8.00"),
            ("tax_ours", "10.80"),
            ("rest_into", "1000"),
        ],
    );
    assert!(words.starts_with("A sale of 198.80"), "{words}");
    let expected = of(&[
        ("2200", 5_000),
        ("1000", 14_880),
        ("4000", -18_000),
        ("4010", -800),
        ("2100", -1_080),
    ]);
    assert_eq!(lines(book, number), expected);
    let (field, _) = refused(book, "deposit-taken", &deposit);
    assert_eq!(field, "order");
    let (field, words) = refused(
        book,
        "deposit-back",
        &[
            ("order", "W-7"),
            ("amount", "1.00"),
            ("date", "2027-02-01"),
            ("paid_from", "1000"),
        ],
    );
    assert_eq!((field, words.contains("at most 0.00")), ("amount", true));
    assert_clean(book);
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(24))]

    /// Whatever is sold, redeemed, taken, handed over or given back, and whatever of it is refused, undone or taken back:
    /// what the vouchers and deposits still hold is what the ledger says is held.
    #[test]
    fn what_is_held_is_what_the_ledger_holds(
        deeds in proptest::collection::vec((0..7_usize, 0..3_usize, 1..6_000_i64), 1..24),
    ) {
        let mut made = test_book();
        let book = &mut made.book;
        for (deed, which, minor) in deeds {
            let amount = format!("{}.{:02}", minor / 100, minor % 100);
            let (voucher, order) = (format!("V-{which}"), format!("W-{which}"));
            let day = "2026-03-01";
            let told = match deed {
                0 => read(book, "voucher-sold", &[("voucher", &voucher), ("amount", &amount), ("date", day), ("paid_into", "1000")]),
                1 => read(book, "voucher-used", &[("voucher", &voucher), ("amount", &amount), ("date", day), ("description", "a card")]),
                2 => read(book, "voucher-ended", &[("voucher", &voucher), ("date", day), ("how", "lapsed")]),
                3 => read(book, "deposit-taken", &[("order", &order), ("amount", &amount), ("date", day), ("paid_into", "1000"), ("about", "a book")]),
                4 => read(book, "deposit-delivered", &[("order", &order), ("price", &amount), ("date", day), ("rest_into", "1000")]),
                5 => read(book, "deposit-back", &[("order", &order), ("amount", &amount), ("date", day), ("paid_from", "1000")]),
                _ => {
                    book.undo().expect("can be undone");
                    continue;
                }
            };
            if let Ok(told) = told {
                book.tell(&told).expect("what is told can be written");
            }
            let matters = book.matters().expect("readable");
            let held: Money = [MatterKind::Voucher, MatterKind::Deposit]
                .into_iter()
                .flat_map(|kind| matters.of_kind(kind))
                .map(deckle::matters::Matter::balance)
                .sum();
            proptest::prop_assert_eq!(-held.minor(), balance(book, "2200", "2026-12-31"));
            proptest::prop_assert!(matters.iter().all(|one| !one.balance().is_negative()));
        }
    }
}
