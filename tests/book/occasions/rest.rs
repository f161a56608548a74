//! Loans, the smaller happenings, and what is refused.
//! The book they are told into is the folder's own.

use super::*;

/// The formulas of PMT, IPMT and PPMT (OASIS OpenFormula 1.3, section 6.12), worked by an independent implementation in
/// binary floats (numpy-financial 1.0): interest and principal of the first, second, middle and last instalment.
#[test]
fn the_plan_of_a_loan_agrees_with_the_open_spreadsheet_standard() {
    // Which instalment, its interest, its principal.
    type Part = (usize, f64, f64);
    let cases: [(i64, &str, u32, [Part; 4], f64); 3] = [
        (
            240_000,
            "9.5",
            24,
            [
                (0, 19.000_000, 91.194_783),
                (1, 18.278_041, 91.916_742),
                (12, 9.949_138, 100.245_645),
                (23, 0.865_523, 109.329_260),
            ],
            244.674_796,
        ),
        (
            80_000,
            "6",
            12,
            [
                (0, 4.000_000, 64.853_144),
                (1, 3.675_734, 65.177_409),
                (6, 2.029_923, 66.823_221),
                (11, 0.342_553, 68.510_591),
            ],
            26.237_725,
        ),
        (
            1_500_000,
            "11.25",
            60,
            [
                (0, 140.625_000, 187.384_618),
                (1, 138.868_269, 189.141_349),
                (30, 80.090_363, 247.919_255),
                (59, 3.046_529, 324.963_089),
            ],
            4_680.577_082,
        ),
    ];
    for (principal, percent, months, wanted, all) in cases {
        let terms = LoanTerms {
            principal: Money::from_minor(principal),
            yearly_percent: percent.parse().expect("a number"),
            months,
            first_due: day("2026-02-01"),
        };
        let plan = terms.schedule().expect("a plan");
        let near = |found: Money, exact: f64| {
            // Each part is the difference of two rounded sums.
            assert!(
                (found.minor() as f64 / 100.0 - exact).abs() <= 0.01,
                "{found:?} {exact}"
            );
        };
        for (idx, interest, part) in wanted {
            near(plan[idx].interest, interest);
            near(plan[idx].principal, part);
        }
        let interest: Money = plan.iter().map(|one| one.interest).sum();
        assert!((interest.minor() as f64 / 100.0 - all).abs() <= 0.005);
        let paid: Money = plan.iter().map(|one| one.principal).sum();
        assert_eq!(paid.minor(), principal);
    }
}

/// By hand: 2,400.00 at 9.5 %: a month's interest is 19.00, so 110.19 pays 91.19 back.
#[test]
fn a_loan_is_neither_income_nor_all_of_it_a_cost() {
    let mut made = shop();
    let book = &mut made.book;
    tell(
        book,
        "loan-received",
        &[
            ("loan", "Press loan"),
            ("lender", "Mill Lane credit union"),
            ("amount", "2400.00"),
            ("date", "2026-02-01"),
            ("paid_into", "1000"),
            ("rate_percent", "9.5"),
            ("months", "24"),
            ("first_due", "2026-03-01"),
        ],
    );
    let repaid = |amount| {
        [
            ("loan", "press loan"),
            ("amount", amount),
            ("date", "2026-03-01"),
            ("paid_from", "1000"),
        ]
    };
    let (number, words) = tell(book, "loan-repaid", &repaid("110.19"));
    let expected = of(&[("2300", 9_119), ("6710", 1_900), ("1000", -11_019)]);
    assert_eq!(lines(book, number), expected);
    assert!(words.ends_with("2,308.81 is still owed."), "{words}");
    // The next month's interest: 2,308.81 × 9.5 / 1200 = 18.28.
    let (field, words) = refused(book, "loan-repaid", &repaid("2327.10"));
    assert_eq!(field, "amount");
    assert!(words.ends_with("at most 2,327.09"), "{words}");
    let (field, _) = refused(book, "loan-repaid", &repaid("18.00"));
    assert_eq!(field, "amount");
    let loan = book.matters().expect("readable");
    let loan = loan.find(MatterKind::Loan, "Press loan").expect("there");
    let terms = occasions::terms_of(loan).expect("terms");
    assert_eq!(
        terms.schedule().expect("a plan")[0].principal.minor(),
        9_119
    );
    assert_clean(book);
}

#[test]
fn the_smaller_ones_write_what_they_say() {
    let mut made = shop();
    let book = &mut made.book;
    let (number, _) = tell(
        book,
        "cash-back",
        &[
            ("amount", "3.10"),
            ("date", "2026-05-01"),
            ("paid_into", "2010"),
            ("account", "6400"),
            ("party", "the card"),
        ],
    );
    assert_eq!(lines(book, number), of(&[("2010", 310), ("6400", -310)]));
    let (number, _) = tell(
        book,
        "repair",
        &[
            ("what", "the guillotine"),
            ("amount", "45.00"),
            ("date", "2026-05-02"),
            ("party", "Sharp edge"),
            ("paid_from", "owner"),
        ],
    );
    assert_eq!(
        lines(book, number),
        of(&[("6015", 4_500), ("3000", -4_500)])
    );
    let (number, words) = tell(
        book,
        "insurance",
        &[
            ("what", "the stall"),
            ("amount", "120.00"),
            ("date", "2026-05-03"),
            ("party", "Harbour mutual"),
            ("paid_from", "1000"),
            ("covers_months", "12"),
        ],
    );
    assert_eq!(
        lines(book, number),
        of(&[("1300", 12_000), ("1000", -12_000)])
    );
    assert!(words.contains("over 12 months"), "{words}");
    let (number, _) = tell(
        book,
        "helper-paid",
        &[
            ("helper", "Inkwell Studio"),
            ("service", "drawings"),
            ("amount", "250.00"),
            ("date", "2026-05-04"),
            ("way", "bank"),
            ("paid_from", "1000"),
        ],
    );
    assert_eq!(
        lines(book, number),
        of(&[("6260", 25_000), ("1000", -25_000)])
    );
    // A swap: a mug worth 22.00 for her own use, against a notebook.
    let swap = [
        ("swap", "SW-1"),
        ("with", "Clay and kiln"),
        ("date", "2026-05-05"),
        ("got", "a mug"),
        ("got_into", "3100"),
        ("value", "22.00"),
        ("how_known", "its price at the fair"),
        ("gave", "NB:1"),
    ];
    let (number, _) = tell(book, "swap", &swap);
    let expected = of(&[
        ("3100", 2_200),
        ("4000", -2_200),
        ("1210", -400),
        ("5000", 400),
    ]);
    assert_eq!(lines(book, number), expected);
    // Use tax: cloth for 60.00 bought untaxed, 15.00 of it used for a sample at 6 % = 0.90.
    let cloth = [
        ("purchase", "R-8"),
        ("supplier", "Weaver and son"),
        ("amount", "60.00"),
        ("date", "2026-05-06"),
        ("about", "cloth"),
        ("account", "1200"),
        ("paid_from", "1000"),
    ];
    tell(book, "bought-untaxed", &cloth);
    let used = |amount| {
        [
            ("purchase", "R-8"),
            ("amount", amount),
            ("date", "2026-06-01"),
            ("tax_percent", "6"),
            ("why", "business"),
        ]
    };
    let (number, _) = tell(book, "untaxed-used", &used("15.00"));
    assert_eq!(lines(book, number), of(&[("6230", 90), ("2100", -90)]));
    let (field, _) = refused(book, "untaxed-used", &used("45.01"));
    assert_eq!(field, "amount");
    let role = book.chart().role(Role::InterestPaid).expect("there");
    assert_eq!(
        book.balances_to(day("2026-12-31"))
            .expect("readable")
            .net(role),
        Money::ZERO
    );
    assert_clean(book);
}

#[test]
fn what_is_left_out_or_unreadable_is_said_beside_its_question() {
    let made = shop();
    let wrong = read(
        &made.book,
        "voucher-sold",
        &[("amount", "4o"), ("paid_into", "4000")],
    )
    .expect_err("is refused");
    let fields: Vec<(&str, bool)> = wrong
        .iter()
        .map(|one| (one.field, one.is_missing))
        .collect();
    assert!(fields.contains(&("voucher", true)), "{wrong:?}");
    assert!(fields.contains(&("date", true)), "{wrong:?}");
    assert!(fields.contains(&("amount", false)), "{wrong:?}");
    assert!(fields.contains(&("paid_into", false)), "{wrong:?}");
    let early = [
        ("voucher", "V-1"),
        ("amount", "5.00"),
        ("date", "2025-12-31"),
        ("paid_into", "1000"),
    ];
    let (field, words) = refused(&made.book, "voucher-sold", &early);
    assert_eq!(
        (field, words.as_str()),
        ("date", "the book begins on 1 Jan 2026")
    );
}
