//! Whatever is told, if it is taken then its entry balances, and every split adds up.

use deckle::happenings::{
    CustomerRefund, CustomerRefundDetails, EquipmentDetails, Fee, FeeKind, Happening, LineCost,
    OpeningBalance, OpeningBalances, OpeningBalancesDetails, PaidAhead, Payment, Purchase,
    PurchaseDetails, PurchaseLine, RefundedPurchase, RefundedSale, Sale, SaleDetails, SaleLine,
    SupplierRefund, SupplierRefundDetails,
};
use deckle::ledger::{AccountId, Balances, Chart, EntryNumber, JournalEntry, Role};
use deckle::money::{Money, Percent};
use deckle::spreading::Spread;
use proptest::prelude::*;
use rust_decimal::Decimal;

use crate::support::{account, chart, day};

/// Amounts from a cent to a hundred thousand.
fn amount() -> impl Strategy<Value = Money> {
    (1_i64..10_000_000).prop_map(Money::from_minor)
}

fn perhaps() -> impl Strategy<Value = Money> {
    prop_oneof![Just(Money::ZERO), amount()]
}

fn percent() -> impl Strategy<Value = Percent> {
    (0_i64..=10_000).prop_map(|share| Percent::new(Decimal::new(share, 2)).expect("in range"))
}

fn payment() -> impl Strategy<Value = Payment> {
    prop_oneof![
        Just(Payment::Account(account("1000"))),
        Just(Payment::Account(account("2010"))),
        Just(Payment::OwnPocketPutIn),
        Just(Payment::OwnPocketOwedBack),
        Just(Payment::OnBill),
    ]
}

#[derive(Clone, Copy, Debug)]
enum Sort {
    Plain(Role),
    Equipment,
    Ahead(u32),
}

fn sort() -> impl Strategy<Value = Sort> {
    prop_oneof![
        Just(Sort::Plain(Role::Materials)),
        Just(Sort::Plain(Role::Consumables)),
        Just(Sort::Plain(Role::Packaging)),
        Just(Sort::Plain(Role::OwnerDrawings)),
        Just(Sort::Equipment),
        (1_u32..40).prop_map(Sort::Ahead),
    ]
}

fn purchase_line(idx: usize, amount: Money, share: Percent, sort: Sort) -> PurchaseLine {
    let chart = chart();
    let on = |role: Role| chart.role(role).expect("a role");
    let what = format!("Thing {idx}");
    match sort {
        Sort::Plain(role) => PurchaseLine::new(on(role), amount, what).business_share(share),
        Sort::Equipment => PurchaseLine::new(on(Role::Equipment), amount, what.clone())
            .equipment(EquipmentDetails::new(what, 36, day("2026-03-02"))),
        Sort::Ahead(months) => PurchaseLine::new(on(Role::Software), amount, what)
            .business_share(share)
            .paid_ahead(PaidAhead {
                from: day("2026-03-02"),
                months,
            }),
    }
}

prop_compose! {
    fn purchase()(
        told in prop::collection::vec((amount(), percent(), sort()), 1..8),
        (carriage, tax) in (perhaps(), perhaps()),
        discount in 0_i64..=100,
        paid_from in payment(),
    ) -> Purchase {
        let lines: Vec<PurchaseLine> = told
            .into_iter()
            .enumerate()
            .map(|(idx, (amount, share, sort))| purchase_line(idx, amount, share, sort))
            .collect();
        let goods: i64 = lines.iter().map(|line| line.amount.minor()).sum();
        let mut details = PurchaseDetails::new(day("2026-03-02"), "Hollow Lane", paid_from, lines);
        details.carriage = carriage;
        // A cent at least is left to pay.
        details.tax = tax + Money::from_minor(1);
        details.discount = Money::from_minor(goods * discount / 100);
        Purchase::new(details).expect("a purchase that can be")
    }
}

fn net(entry: &JournalEntry, id: AccountId) -> Money {
    Balances::of_entries([entry]).net(id)
}

fn total(entry: &JournalEntry) -> Money {
    Balances::of_entries([entry]).total()
}

proptest! {
    #[test]
    fn a_purchases_lines_come_to_its_payment(purchase in purchase()) {
        let chart = chart();
        let recording = purchase.recording(&chart).expect("a recording");
        let entry = &recording.entry;
        prop_assert_eq!(total(entry), Money::ZERO);
        let told = purchase.details();
        let goods: Money = told.lines.iter().map(|line| line.amount).sum();
        prop_assert_eq!(purchase.total(), goods + told.carriage + told.tax - told.discount);
        let paid_from = told.paid_from.account(&chart).expect("an account");
        prop_assert_eq!(net(entry, paid_from), -purchase.total());
        let register: Money = recording.equipment.iter().map(|one| one.cost).sum();
        prop_assert_eq!(net(entry, chart.role(Role::Equipment).expect("a role")), register);
        for one in &recording.equipment {
            prop_assert!(one.tax_part + one.delivery_part <= one.cost + told.discount);
        }
        prop_assert!(purchase.costs().iter().all(|cost| !cost.total().is_negative()));
    }

    #[test]
    fn shares_of_a_receipt_add_up(
        goods in prop::collection::vec(amount(), 1..12),
        carriage in perhaps(),
        tax in perhaps(),
        discount in perhaps(),
        share in percent(),
    ) {
        let costs = LineCost::spread(&goods, carriage, tax, discount);
        let sum = |part: fn(&LineCost) -> Money| costs.iter().map(part).sum::<Money>();
        prop_assert_eq!(sum(|cost| cost.goods), goods.iter().copied().sum::<Money>());
        prop_assert_eq!(sum(|cost| cost.carriage), carriage);
        prop_assert_eq!(sum(|cost| cost.tax), tax);
        prop_assert_eq!(sum(|cost| cost.discount), discount);
        for cost in &costs {
            let (business, private) = cost.split(share);
            prop_assert_eq!(business + private, cost.total());
        }
    }

    #[test]
    fn a_sale_and_its_refunds_balance_and_end_at_the_fees(
        prices in prop::collection::vec(amount(), 1..6),
        discount in 0_i64..=100,
        (postage, tax_ours, tax_by_channel) in (perhaps(), perhaps(), perhaps()),
        fees in prop::collection::vec((0_usize..4, perhaps()), 0..5),
        cuts in prop::collection::vec(1_i64..100, 0..4),
    ) {
        let chart = chart();
        let channel = account("1051");
        let lines = prices.into_iter().map(|price| SaleLine::new(price, "Notebook")).collect();
        let mut told = SaleDetails::new(day("2026-05-04"), channel, lines);
        let full: i64 = told.lines.iter().map(|line| line.amount.minor()).sum();
        told.discount = Money::from_minor(full * discount / 100);
        told.postage = postage + Money::from_minor(1);
        told.tax_ours = tax_ours;
        told.tax_by_channel = tax_by_channel;
        told.fees = fees.into_iter().map(|(kind, fee)| Fee::new(FeeKind::ALL[kind], fee)).collect();
        let sale = Sale::new(told).expect("a sale");
        let entry = sale.entry(&chart).expect("an entry");
        prop_assert_eq!(total(&entry), Money::ZERO);
        prop_assert_eq!(net(&entry, channel), sale.kept());

        let mut refunds: Vec<JournalEntry> = Vec::new();
        for cut in cuts.into_iter().chain([100]) {
            let state = RefundedSale::of_entries(&entry, &refunds, &chart).expect("a state");
            prop_assert_eq!(state.total, sale.customer_pays());
            let part = Money::from_minor((state.left().minor() * cut / 100).max(1));
            if !state.left().is_positive() {
                break;
            }
            let refund = CustomerRefund::new(
                CustomerRefundDetails::new(day("2026-05-20"), state, channel, part),
            ).expect("a refund");
            refunds.push(refund.entry(&chart).expect("an entry"));
        }
        let mut all = Balances::of_entries(&refunds);
        all.merge(&Balances::of_entries([&entry]));
        prop_assert_eq!(all.total(), Money::ZERO);
        prop_assert_eq!(all.net(channel), -sale.fees());
        prop_assert_eq!(all.net(chart.role(Role::SalesTax).expect("a role")), Money::ZERO);
        let memo: Money = refunds.iter().map(|one| one.header.tax_by_channel).sum();
        prop_assert_eq!(memo, -sale.details().tax_by_channel);
    }

    #[test]
    fn what_comes_back_in_proportion_adds_up(
        booked in prop::collection::vec(amount(), 1..8),
        cut in 1_i64..=100,
    ) {
        let chart = chart();
        let glue = chart.role(Role::Consumables).expect("a role");
        let lines = booked.iter().map(|one| PurchaseLine::new(glue, *one, "Glue")).collect();
        let details = PurchaseDetails::new(day("2026-03-02"), "Hollow Lane", Payment::OnBill, lines);
        let entry = Purchase::new(details).and_then(|one| one.entry(&chart)).expect("an entry");
        let purchase = RefundedPurchase::of_entries(&entry, []);
        let part = Money::from_minor((purchase.total().minor() * cut / 100).max(1));
        let refund = SupplierRefund::new(SupplierRefundDetails::in_proportion(
            day("2026-03-20"), purchase, account("1000"), part,
        )).expect("a refund");
        prop_assert_eq!(refund.total(), part);
        let entry = refund.entry(&chart).expect("an entry");
        prop_assert_eq!(net(&entry, account("1000")), part);
        prop_assert_eq!(total(&entry), Money::ZERO);
    }

    #[test]
    fn a_spread_releases_its_whole_and_never_goes_back(whole in amount(), months in 1_u32..120) {
        let spread = Spread {
            key: String::new(),
            paid_by: EntryNumber(1),
            name: String::new(),
            party: String::new(),
            account: account("6400"),
            total: whole,
            first: deckle::dates::Month::new(2026, 3),
            months,
        };
        let mut month = spread.first;
        let mut so_far = Money::ZERO;
        prop_assert_eq!(spread.released_through(month.plus(-1).last_day()), Money::ZERO);
        while month <= spread.last() {
            let released = spread.released_through(month.last_day());
            prop_assert!(released >= so_far);
            so_far = released;
            month = month.plus(1);
        }
        prop_assert_eq!(so_far, whole);
    }

    #[test]
    fn opening_balances_always_balance(
        amounts in prop::collection::vec(-10_000_000_i64..10_000_000, 1..6),
    ) {
        prop_assume!(amounts.iter().any(|one| *one != 0));
        let chart: Chart = chart();
        let numbers = ["1000", "1020", "1200", "1500", "2010", "2000"];
        let balances = amounts.iter().zip(numbers).map(|(minor, number)| OpeningBalance {
            account: account(number),
            amount: Money::from_minor(*minor),
            equipment: None,
            memo: String::new(),
        }).collect();
        let opening = OpeningBalances::new(OpeningBalancesDetails {
            date: day("2026-01-01"),
            balances,
            has_year_to_date: false,
            memo: String::new(),
        }).expect("opening balances");
        let entry = opening.entry(&chart).expect("an entry");
        prop_assert_eq!(total(&entry), Money::ZERO);
        let capital = chart.role(Role::OwnerCapital).expect("a role");
        prop_assert_eq!(-net(&entry, capital), opening.difference());
    }
}
