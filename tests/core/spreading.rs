//! What was paid ahead comes back month by month, whole in the end and never twice.

use deckle::happenings::{
    Happening, PaidAhead, Payment, Purchase, PurchaseDetails, PurchaseLine, RefundedPurchase,
    SpreadRelease, SupplierRefund, SupplierRefundDetails,
};
use deckle::ledger::{Chart, EntryKind, EntryNumber, JournalEntry, PostedEntry};
use deckle::money::Money;
use deckle::spreading::{Spread, due};

use crate::support::{account, balance, chart, check_lines, day, money, share};

fn posted(number: u64, entry: JournalEntry) -> PostedEntry {
    PostedEntry {
        number: EntryNumber(number),
        version: 1,
        entry,
        reverses: None,
        reversed_by: None,
    }
}

fn paid_ahead(amount: &str, from: &str, months: u32) -> PostedEntry {
    let line = PurchaseLine::new(account("6400"), money(amount), "Layout software").paid_ahead(
        PaidAhead {
            from: day(from),
            months,
        },
    );
    let details = PurchaseDetails::new(
        day("2026-01-10"),
        "Elm Software",
        Payment::Account(account("1000")),
        vec![line],
    );
    let purchase = Purchase::new(details).expect("a purchase");
    posted(7, purchase.entry(&chart()).expect("an entry"))
}

/// By hand: 100.00 over 3 months is 33.33, 66.67, 100.00 when each sum is rounded: 33.33, 33.34, 33.33 a month.
#[test]
fn the_months_come_to_the_whole() {
    let entries = [paid_ahead("100.00", "2026-01-10", 3)];
    let found = due(&entries, &chart(), day("2026-12-31"), day("2026-01-01")).expect("due");
    let parts: Vec<(String, Money)> = found
        .iter()
        .map(|due| (due.date.to_string(), due.amount))
        .collect();
    assert_eq!(
        parts,
        [
            ("2026-01-31".to_owned(), money("33.33")),
            ("2026-02-28".to_owned(), money("33.34")),
            ("2026-03-31".to_owned(), money("33.33")),
        ]
    );
}

#[test]
fn a_month_counts_when_it_has_ended_and_only_once() {
    let mut entries = vec![paid_ahead("120.00", "2026-02-01", 12)];
    let chart = chart();
    let today = |text: &str| day(text);
    let open = day("2026-01-01");
    assert_eq!(due(&entries, &chart, today("2026-02-27"), open), Ok(vec![]));
    let first = due(&entries, &chart, today("2026-02-28"), open).expect("due");
    let release = SpreadRelease::new(first[0].clone()).expect("a release");
    check_lines(&release, &[("6400", "10.00"), ("1300", "-10.00")]);
    let entry = release.entry(&chart).expect("an entry");
    assert_eq!(entry.header.kind, EntryKind::Release);
    assert_eq!(entry.header.party, "Elm Software");
    entries.push(posted(8, entry));
    assert_eq!(due(&entries, &chart, today("2026-03-30"), open), Ok(vec![]));

    // A release that was taken back falls due again; a purchase that was taken back releases nothing.
    entries[1].reversed_by = Some(EntryNumber(9));
    assert_eq!(
        due(&entries, &chart, today("2026-02-28"), open).map(|d| d.len()),
        Ok(1)
    );
    entries[0].reversed_by = Some(EntryNumber(10));
    assert_eq!(due(&entries, &chart, today("2026-02-28"), open), Ok(vec![]));
}

#[test]
fn months_in_a_locked_stretch_fall_on_the_first_open_day() {
    let entries = [paid_ahead("30.00", "2026-01-01", 3)];
    let found = due(&entries, &chart(), day("2026-03-31"), day("2026-03-01")).expect("due");
    let days: Vec<String> = found.iter().map(|due| due.date.to_string()).collect();
    assert_eq!(days, ["2026-03-01", "2026-03-01", "2026-03-31"]);
    let sum: Money = found.iter().map(|due| due.amount).sum();
    assert_eq!(sum, money("30.00"));
}

#[test]
fn two_spreads_on_one_receipt_stay_apart_and_the_private_part_never_waits() {
    let ahead = |from: &str, months| PaidAhead {
        from: day(from),
        months,
    };
    let lines = vec![
        PurchaseLine::new(account("6240"), money("60.00"), "Insurance")
            .paid_ahead(ahead("2026-01-01", 6)),
        PurchaseLine::new(account("6400"), money("24.00"), "Photo plan")
            .paid_ahead(ahead("2026-03-01", 12))
            .business_share(share("50")),
    ];
    let details = PurchaseDetails::new(day("2026-01-10"), "Elm Software", Payment::OnBill, lines);
    let entry = Purchase::new(details)
        .and_then(|purchase| purchase.entry(&chart()))
        .expect("an entry");
    assert_eq!(
        balance(std::slice::from_ref(&entry), "1300"),
        money("72.00")
    );
    assert_eq!(
        balance(std::slice::from_ref(&entry), "3100"),
        money("12.00")
    );
    let spreads = Spread::of_entry(&posted(3, entry), &chart()).expect("spreads");
    let [insurance, photo] = spreads.as_slice() else {
        panic!("two spreads");
    };
    assert_eq!((insurance.total, insurance.months), (money("60.00"), 6));
    assert_eq!(insurance.account, account("6240"));
    assert_eq!((photo.total, photo.months), (money("12.00"), 12));
    assert_ne!(insurance.key, photo.key);
    assert_eq!(photo.released_through(day("2026-02-28")), Money::ZERO);
    assert_eq!(photo.released_through(day("2026-03-31")), money("1.00"));
    assert_eq!(photo.released_through(day("2030-01-01")), money("12.00"));
    assert_eq!(photo.last().last_day(), day("2027-02-28"));
}

/// By hand: 120.00 for a year, 60.00 back after two months of 10.00: 60.00 are left for the year, 5.00 a month, and what
/// was released too much is caught up before anything more falls due.
#[test]
fn what_the_supplier_gives_back_is_released_no_more() {
    let mut entries = vec![paid_ahead("120.00", "2026-01-01", 12)];
    entries[0].entry.header.document = "R-9".to_owned();
    let chart = chart();
    let open = day("2026-01-01");
    for due in due(&entries.clone(), &chart, day("2026-02-28"), open).expect("due") {
        let release = SpreadRelease::new(due).expect("a release");
        let number = entries.len() as u64 + 7;
        entries.push(posted(number, release.entry(&chart).expect("an entry")));
    }
    let purchase = RefundedPurchase::of_entries(&entries[0].entry, []);
    let refund = SupplierRefund::new(SupplierRefundDetails::in_proportion(
        day("2026-03-05"),
        purchase,
        account("1000"),
        money("60.00"),
    ))
    .expect("a refund");
    entries.push(posted(20, refund.entry(&chart).expect("an entry")));
    assert_eq!(due(&entries, &chart, day("2026-04-30"), open), Ok(vec![]));
    let rest = due(&entries, &chart, day("2026-12-31"), open).expect("due");
    assert_eq!(rest[0].amount, money("5.00"));
    let mut all: Vec<JournalEntry> = entries.into_iter().map(|one| one.entry).collect();
    for due in rest {
        let release = SpreadRelease::new(due).expect("a release");
        all.push(release.entry(&chart).expect("an entry"));
    }
    assert_eq!(balance(&all, "1300"), Money::ZERO);
    assert_eq!(balance(&all, "6400"), money("60.00"));
}

#[test]
fn a_spread_finds_its_account_when_numbers_have_changed() {
    let posted = paid_ahead("120.00", "2026-01-01", 12);
    assert_eq!(
        posted.entry.header.tags,
        ["paid-ahead:software:2026-01-01:12"]
    );
    let shipped = chart();
    let renumbered = shipped.accounts().into_iter().map(|account| {
        let mut account = account.clone();
        account.number = format!("9{}", account.number);
        account
    });
    let chart = Chart::new(renumbered).expect("a chart");
    let spreads = Spread::of_entry(&posted, &chart).expect("spreads");
    assert_eq!(spreads[0].account, account("6400"));

    let mut lost = posted;
    lost.entry.header.tags = vec!["paid-ahead:4711:2026-01-01:12".to_owned()];
    let spreads = Spread::of_entry(&lost, &chart).expect("spreads");
    assert_eq!(spreads[0].account, account("6900"));
}
