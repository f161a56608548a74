//! Any course of an order keeps the book sound, and undoing takes each step back. Single figures are `orders`'.

use deckle::money::Money;
use deckle::ordering::{ArrivalBill, Claim, LateBill};
use deckle::reports;
use proptest::prelude::*;

use crate::orders::{arrival, arrive, bank, cards, cents, credit, credited, report, sell};
use crate::support::{assert_clean, day, test_book};

#[test]
fn undo_takes_an_order_an_arrival_and_a_credit_back_and_redo_does_them_again() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    credited(book, &order);
    book.close_supplier_order(order.id, Some(day("2026-03-30")))
        .expect("closed");
    let whole = report(book, "2026-04-01");
    for _step in 0..4 {
        book.undo().expect("undone");
        assert_clean(book);
    }
    let bare = report(book, "2026-04-01");
    assert!(bare.arrivals.is_empty() && bare.claims.is_empty());
    assert_eq!(bare.billed, Money::ZERO);
    book.undo().expect("undone");
    assert!(book.supplier_orders().expect("readable").is_empty());
    for _step in 0..5 {
        book.redo().expect("redone");
        assert_clean(book);
    }
    assert_eq!(report(book, "2026-04-01"), whole);
}

/// Something that happens to an order.
#[derive(Clone, Debug)]
enum Step {
    Arrive {
        good: u64,
        spoiled: u64,
        billed: i64,
    },
    Sell(i64),
    Claim {
        which: usize,
        amount: i64,
    },
    Credit {
        which: usize,
        percent: i64,
    },
    Late {
        which: usize,
        amount: i64,
    },
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        (0_u64..60, 0_u64..6, 0_i64..5000).prop_map(|(good, spoiled, billed)| Step::Arrive {
            good,
            spoiled,
            billed
        }),
        (1_i64..30).prop_map(Step::Sell),
        (0_usize..4, 1_i64..900).prop_map(|(which, amount)| Step::Claim { which, amount }),
        (0_usize..4, 1_i64..100).prop_map(|(which, percent)| Step::Credit { which, percent }),
        (0_usize..4, 1_i64..900).prop_map(|(which, amount)| Step::Late { which, amount }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever comes, is sold, claimed, credited and billed later: the book stays sound, and what the order says was
    /// billed, billed later and credited is what its entries say.
    #[test]
    fn any_course_of_an_order_keeps_the_book_sound(
        steps in proptest::collection::vec(step(), 1..14),
        is_fifo in any::<bool>(),
    ) {
        let mut test = test_book();
        let book = &mut test.book;
        if is_fifo {
            book.set_settings(&[("costing", "fifo")]).expect("set");
        }
        let order = cards(book);
        let (mut billed_sum, mut later_sum, mut credited_sum) = (0, 0, 0);
        for (idx, step) in steps.into_iter().enumerate() {
            let date = format!("2026-04-{:02}", idx + 1);
            let stands = report(book, &date);
            match step {
                Step::Arrive { good, spoiled, billed } => {
                    if good + spoiled == 0 || spoiled > 0 && good == 0 && billed == 0 {
                        continue;
                    }
                    let came = arrival(&format!("a{idx}"), &date, &[("CARD", good, spoiled)]);
                    let mut bill = ArrivalBill::nothing(1, bank(book));
                    bill.billed = vec![Money::from_minor(billed)];
                    arrive(book, &order, &came, &bill);
                    billed_sum += billed;
                }
                Step::Sell(quantity) => sell(book, &date, "CARD", quantity, cents("50.00")),
                Step::Claim { which, amount } => {
                    let Some(about) = stands.arrivals.get(which) else { continue };
                    let claim = Claim::new(
                        format!("claim {idx}"),
                        about.arrival.id,
                        Some("CARD".to_owned()),
                        day(&date),
                        1,
                        Money::from_minor(amount),
                    );
                    // Refused where no spoiled piece is left to claim.
                    let _refused = book.keep_claim(&claim);
                }
                Step::Credit { which, percent } => {
                    let Some(about) = stands.open_claims().nth(which) else { continue };
                    let arrival = stands.arrivals.iter().find(|one| one.arrival.id == about.claim.arrival);
                    let most = arrival.map_or(0, |one| one.billed.minor() - one.refunds.iter().map(|(.., m)| m.minor()).sum::<i64>());
                    let amount = about.claim.amount.minor().min(most) * percent / 100;
                    if amount <= 0 {
                        continue;
                    }
                    let credit = credit(book, &date, Money::from_minor(amount));
                    let claim = about.claim.clone();
                    let recording = reports::credit_recording(book, &order, &claim, &credit).expect("a credit");
                    book.credit_claim(claim.id, &recording).expect("credited");
                    credited_sum += amount;
                }
                Step::Late { which, amount } => {
                    let Some(about) = stands.arrivals.get(which) else { continue };
                    let bill = LateBill {
                        date: day(&date),
                        supplier: "Parcel carrier".to_owned(),
                        amount: Money::from_minor(amount),
                        what: "Freight".to_owned(),
                        paid_from: bank(book),
                        reference: String::new(),
                    };
                    let has_pieces = about.lines.iter().any(|line| line.line.movement.is_some());
                    let recording = reports::bill_later_recording(book, &[about], &bill).expect("a bill");
                    book.record(&recording).expect("recorded");
                    if has_pieces {
                        later_sum += amount;
                    }
                }
            }
            prop_assert_eq!(book.check().expect("readable"), vec![]);
        }
        let stands = report(book, "2026-05-01");
        prop_assert_eq!(stands.billed, Money::from_minor(billed_sum));
        prop_assert_eq!(stands.later, Money::from_minor(later_sum));
        prop_assert_eq!(stands.credited, Money::from_minor(credited_sum));
        let lines: Money = stands.arrivals.iter().flat_map(|one| &one.lines).map(|line| line.billed).sum();
        prop_assert_eq!(lines, stands.billed);
    }
}
