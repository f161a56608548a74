//! Days at a fair: the box, the tally, what is taken along, what the day left.
//! The book they are told into is the folder's own.

use super::*;

/// Worked by hand: 100.00 float, 3 notebooks and 10 cards by the tally = 54.00 + 45.00 = 99.00; the box holds 171.50 in
/// the evening, 5.00 went for clips and 8.00 for her lunch, cards 15.00 with a fee of 0.44.
/// Box: 171.50 − 100.00 + 13.00 = 84.50; took 84.50 + 15.00 = 99.50; 0.50 over. Tax inside at 6 %: 99 × 6/106 = 5.60.
/// Pieces: 3 × 4.00 + 10 × 1.00 + 2 cards given away = 24.00. Stall 25.00 paid in spring. 42 miles at 0.725 = 30.45.
/// Left: 93.40 + 0.50 − 0.44 − 5.00 − 25.00 − 24.00 − 30.45 = 9.01; in 9.5 hours 0.95 an hour.
#[test]
fn a_day_at_a_fair_comes_out_as_worked_by_hand() {
    let mut made = shop();
    let book = &mut made.book;
    let spring = recording(book, "2026-03-02", "6310", "1000", 2_500);
    let stall = book.record(&spring).expect("recorded");
    tell(
        book,
        "fair-planned",
        &[
            ("fair", "Harvest fair 2026"),
            ("date", "2026-09-19"),
            ("float", "100.00"),
            ("float_from", "1000"),
            ("pieces", "NB:8;CARD:30"),
        ],
    );
    assert_eq!(balance(book, "1020", "2026-09-18"), 0);
    assert_eq!(balance(book, "1020", "2026-09-19"), 10_000);
    let facts = OccasionFacts::read(book).expect("readable");
    assert_eq!(facts.stall_fees.len(), 1);
    assert_eq!(facts.stall_fees[0].entry, stall);
    let evening = [
        ("fair", "harvest fair 2026"),
        ("date", "2026-09-19"),
        ("float", "100.00"),
        ("counted", "171.50"),
        ("paid_out", "6310:5.00;3100:8.00"),
        ("card_total", "15.00"),
        ("card_into", "1000"),
        ("card_fee", "0.44"),
        ("tally", "NB:3;CARD:10"),
        ("given", "CARD:2"),
        ("tax_percent", "6"),
        ("joined", "4"),
        ("miles", "42"),
        ("hours", "9.5"),
    ];
    let (number, words) = tell(book, "fair", &evening);
    assert!(words.starts_with("The box took 84.50"), "{words}");
    assert!(words.contains("0.50 more than the tally"), "{words}");
    let found = lines(book, number);
    // 93.40 without tax, in proportion 54 : 45, is 50.95 and 42.45.
    for line in of(&[
        ("1020", 7_150),
        ("6310", 500),
        ("3100", 800),
        ("1000", 1_500),
        ("6210", 44),
        ("1000", -44),
        ("4000", -5_095),
        ("4000", -4_245),
        ("2100", -560),
        ("6950", -50),
        ("1210", -1_200),
        ("5000", 1_200),
        ("1210", -1_000),
        ("5000", 1_000),
        ("1210", -200),
        ("6300", 200),
    ]) {
        assert!(found.contains(&line), "{line:?} in {found:?}");
    }
    assert_eq!(balance(book, "1020", "2026-09-19"), 17_150);
    let posted = book.entry(number.expect("an entry")).expect("there");
    let steps = book.steps_of(posted.number).expect("readable");
    // 0.725 a mile, in cents.
    let mile = Decimal::new(725, 1);
    let earned = fair_day(
        &steps[0],
        posted.entry.lines(),
        Money::from_minor(2_500),
        Some(mile),
        book.chart(),
    );
    assert_eq!(earned.sales.minor(), 9_340);
    assert_eq!(earned.pieces.minor(), 2_400);
    assert_eq!(earned.miles.minor(), 3_045);
    assert_eq!(earned.profit().minor(), 901);
    assert_eq!(earned.per_hour().map(Money::minor), Some(95));
    // What is left came home: 20 − 3 notebooks, 50 − 12 cards.
    let stocks = book.stocks_on(day("2026-12-31")).expect("readable");
    let at_home = |code: &str| {
        let places = &stocks.places;
        let found = places
            .iter()
            .find(|((item, place), _)| item.eq_ignore_ascii_case(code) && place.is_empty());
        found.map(|(_, many)| many.to_string())
    };
    assert_eq!(at_home("NB").as_deref(), Some("17"));
    assert_eq!(at_home("CARD").as_deref(), Some("38"));
    let again = refused(book, "fair", &evening);
    assert_eq!(again.0, "fair");
    let facts = OccasionFacts::read(book).expect("readable");
    assert!(facts.stall_fees.is_empty(), "it belongs to that day now");
    assert_clean(book);
}

/// IRS Publication 583 (Rev. January 2015), "Sample Record System", item 1: cash receipts of 3 January, sales 263.60 and
/// sales tax 4.20, together 267.80; item 2: petty cash is a fixed fund of 50.00. The publication gives no rate; 1.5933 %
/// is the one that its figures have.
#[test]
fn a_days_cash_receipts_are_those_of_the_guide() {
    let mut made = shop();
    let book = &mut made.book;
    let (number, _) = tell(
        book,
        "fair",
        &[
            ("fair", "3 January"),
            ("date", "2026-01-03"),
            ("float", "50.00"),
            ("counted", "317.80"),
            ("tax_percent", "1.5933"),
        ],
    );
    let expected = of(&[("1020", 26_780), ("4000", -26_360), ("2100", -420)]);
    assert_eq!(lines(book, number), expected);
}

/// Principles of Accounting, volume 1 (open textbook), section 8.4: a petty cash fund of 75, in a month's slips postage
/// 30, milk 10, cleaner 5. What is left with the slips is the fund: 30 + 45 = 75. Here sales of 100 came into the same box.
#[test]
fn a_box_with_slips_adds_up_like_the_textbooks_petty_cash() {
    let mut made = shop();
    let book = &mut made.book;
    let (number, words) = tell(
        book,
        "fair",
        &[
            ("fair", "Petty cash"),
            ("date", "2026-02-01"),
            ("float", "75.00"),
            ("counted", "130.00"),
            ("paid_out", "6110:30.00;6000:10.00;6900:5.00"),
            ("tally_total", "100.00"),
        ],
    );
    assert!(words.ends_with("Sales 100.00."), "{words}");
    let expected = of(&[
        ("1020", 5_500),
        ("6110", 3_000),
        ("6000", 1_000),
        ("6900", 500),
        ("4000", -10_000),
    ]);
    assert_eq!(lines(book, number), expected);
}

#[test]
fn a_box_with_less_than_its_float_is_refused_beside_the_count() {
    let made = shop();
    let short = [
        ("fair", "Rain"),
        ("date", "2026-09-19"),
        ("float", "100.00"),
        ("counted", "80.00"),
        ("paid_out", "6310:5.00"),
    ];
    let (field, words) = refused(&made.book, "fair", &short);
    assert_eq!(field, "counted");
    assert!(words.contains("less than the float of 100.00"), "{words}");
}
