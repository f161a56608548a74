//! A first quarter from the first receipt to the closing, told in happenings; every figure worked out by hand.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use deckle::dates::{DateRange, Month, YearStart, parse_iso};
use deckle::depreciation::{Condition, Equipment, propose};
use deckle::happenings::{
    CustomerRefund, CustomerRefundDetails, EquipmentDetails, Fee, FeeKind, Happening, OwnerMoneyIn,
    OwnerMoneyInDetails, OwnerMoneyOut, OwnerMoneyOutDetails, Payment, Payout, PayoutDetails,
    Purchase, PurchaseDetails, PurchaseLine, Recording, RefundedSale, Sale, SaleDetails, SaleLine,
    Settlement, SettlementDetails, TaxInstalment, TaxInstalmentDetails, Transfer, TransferDetails,
};
use deckle::ledger::{AccountId, Balances, Chart, EntryNumber, JournalEntry, PostedEntry, Role};
use deckle::money::{Currency, Money, Percent};
use deckle::set_aside::{Calendar, Facts, Method, PercentOfProfit};
use deckle::statements::{
    ChannelFacts, StartUpGroup, balance_sheet, capital_statement, channel_summary, closing_entry,
    cost_to_start, postage_by_month, profit_statement, trial_balance,
};

fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

fn cents(minor: i64) -> Money {
    Money::from_minor(minor)
}

fn percent(whole: i64) -> Percent {
    Percent::new(whole.into()).expect("a share")
}

/// The entries of the quarter and the register they leave.
struct Story {
    chart: Chart,
    entries: Vec<PostedEntry>,
    register: Vec<Equipment>,
}

impl Story {
    fn new() -> Self {
        Self {
            chart: Chart::craft_business(true).expect("the chart"),
            entries: Vec::new(),
            register: Vec::new(),
        }
    }

    fn id(&self, role: Role) -> AccountId {
        self.chart.role(role).expect("an account")
    }

    fn post(&mut self, entry: JournalEntry) {
        self.entries.push(PostedEntry {
            number: EntryNumber(u64::try_from(self.entries.len()).expect("few") + 1),
            version: 1,
            entry,
            reverses: None,
            reversed_by: None,
        });
    }

    fn tell(&mut self, happening: &impl Happening) -> JournalEntry {
        let recording: Recording = happening
            .recording(&self.chart)
            .expect("can be written down");
        self.register.extend(recording.equipment);
        self.post(recording.entry.clone());
        recording.entry
    }

    fn balances(&self, through: NaiveDate) -> Balances {
        let entries = self.entries.iter().map(|posted| &posted.entry);
        Balances::of_entries(entries.filter(|entry| entry.header.date <= through))
    }
}

fn buy(story: &mut Story) {
    let (bank, card) = (story.id(Role::BusinessBank), story.id(Role::CreditCard));
    let cutter = EquipmentDetails::new("Cutter", 48, day("2026-01-05"));
    let mut receipt = PurchaseDetails::new(
        day("2026-01-05"),
        "Alder & Reed Supplies",
        Payment::Account(bank),
        vec![
            PurchaseLine::new(story.id(Role::Equipment), cents(48_000), "Cutter").equipment(cutter),
            PurchaseLine::new(story.id(Role::Materials), cents(12_000), "Rag paper"),
            PurchaseLine::new(story.id(Role::Packaging), cents(6_000), "Stiff mailers"),
        ],
    );
    receipt.carriage = cents(3_300);
    story.tell(&Purchase::new(receipt).expect("a purchase"));

    let mut press = EquipmentDetails::new("Card press", 24, day("2026-01-10"));
    press.residual = cents(6_000);
    press.condition = Condition::SecondHand;
    let line = PurchaseLine::new(story.id(Role::Equipment), cents(30_000), "Card press")
        .business_share(percent(80))
        .equipment(press);
    let second_hand = PurchaseDetails::new(
        day("2026-01-10"),
        "A private person",
        Payment::Account(bank),
        vec![line],
    );
    story.tell(&Purchase::new(second_hand).expect("a purchase"));

    let plan = PurchaseLine::new(
        story.id(Role::Software),
        cents(1_500),
        "Layout program, January",
    );
    let subscription = PurchaseDetails::new(
        day("2026-01-12"),
        "Gridwork",
        Payment::Account(card),
        vec![plan],
    );
    story.tell(&Purchase::new(subscription).expect("a purchase"));
}

fn sell(story: &mut Story) {
    let channel = story.id(Role::PayoutsDue);
    let mut first = None;
    for no in 1..=10_u32 {
        let on = Month::new(2026, 2).first_day() + chrono::Days::new(u64::from(no) - 1);
        let line = SaleLine::new(cents(2_400), "Lined notebook");
        let mut sale = SaleDetails::new(on, channel, vec![line]);
        sale.postage = cents(400);
        sale.tax_by_channel = cents(168);
        sale.fees = vec![
            Fee::new(FeeKind::Listing, cents(20)),
            Fee::new(FeeKind::Commission, cents(182)),
            Fee::new(FeeKind::Processing, cents(109)),
        ];
        sale.document = format!("order-{no}");
        let entry = story.tell(&Sale::new(sale).expect("a sale"));
        first.get_or_insert(entry);
    }
    let sale = first.expect("ten sales");
    let refunded = RefundedSale::of_entries(&sale, [], &story.chart).expect("a sale");
    let mut refund = CustomerRefundDetails::new(day("2026-03-03"), refunded, channel, cents(1_000));
    refund.tax_by_channel = Some(Money::ZERO);
    refund.fee_credits = vec![Fee::new(FeeKind::Commission, cents(65))];
    story.tell(&CustomerRefund::new(refund).expect("a refund"));
    let payout = PayoutDetails {
        date: day("2026-03-05"),
        channel,
        into: story.id(Role::BusinessBank),
        amount: cents(20_000),
        memo: String::new(),
        reference: String::new(),
    };
    story.tell(&Payout::new(payout).expect("a payout"));
    let labels = PurchaseLine::new(story.id(Role::Postage), cents(4_500), "Ten labels");
    let bank = Payment::Account(story.id(Role::BusinessBank));
    let labels = PurchaseDetails::new(day("2026-03-06"), "Post office", bank, vec![labels]);
    story.tell(&Purchase::new(labels).expect("a purchase"));
}

fn owner(story: &mut Story) {
    let bank = story.id(Role::BusinessBank);
    let settlement = SettlementDetails {
        date: day("2026-03-20"),
        owed: story.id(Role::CreditCard),
        paid_from: Payment::Account(bank),
        amount: cents(1_500),
        still_owed: None,
        party: String::new(),
        memo: String::new(),
        reference: String::new(),
        document: String::new(),
    };
    story.tell(&Settlement::new(settlement).expect("a settlement"));
    let out = OwnerMoneyOutDetails {
        date: day("2026-03-25"),
        account: bank,
        amount: cents(10_000),
        memo: String::new(),
    };
    story.tell(&OwnerMoneyOut::new(out).expect("money out"));
    let instalment = TaxInstalmentDetails {
        date: day("2026-03-30"),
        account: bank,
        amount: cents(1_500),
        office: "Tax office".to_owned(),
        memo: String::new(),
        reference: String::new(),
    };
    story.tell(&TaxInstalment::new(instalment).expect("an instalment"));
    let put_by = TransferDetails {
        date: day("2026-03-31"),
        from: bank,
        to: story.id(Role::SetAside),
        amount: cents(3_000),
        memo: String::new(),
        reference: String::new(),
    };
    story.tell(&Transfer::new(put_by).expect("a transfer"));
}

fn first_quarter() -> Story {
    let mut story = Story::new();
    let money_in = OwnerMoneyInDetails {
        date: day("2026-01-02"),
        account: story.id(Role::BusinessBank),
        amount: cents(200_000),
        memo: String::new(),
    };
    story.tell(&OwnerMoneyIn::new(money_in).expect("money in"));
    buy(&mut story);
    sell(&mut story);
    owner(&mut story);
    let wear = propose(
        &story.register,
        &BTreeMap::new(),
        quarter().to,
        YearStart::default(),
    );
    let entry = wear.entry(&story.chart, "").expect("something wore out");
    story.post(entry);
    story
}

fn quarter() -> DateRange {
    DateRange::new(day("2026-01-01"), day("2026-03-31")).expect("in order")
}

/// Carriage of 33.00 over 480, 120 and 60 by value: 24, 6 and 3. The cutter costs 504.00 over 48 months: 10.50 a month;
/// the press (300 − 60) ÷ 24 = 10.00 a month, 8.00 of it the business's.
#[test]
fn the_quarters_profit_is_as_worked_out_by_hand() {
    let story = first_quarter();
    let profit = profit_statement(&story.chart, &story.balances(quarter().to), quarter());
    let amount = |role| {
        let id = story.id(role);
        let line = profit.lines.iter().find(|line| line.account == id);
        line.map_or(Money::ZERO, |line| line.amount)
    };
    assert_eq!(
        (amount(Role::Sales), amount(Role::PostageCharged)),
        (cents(24_000), cents(4_000))
    );
    assert_eq!(amount(Role::Refunds), cents(-1_000));
    assert_eq!(amount(Role::Packaging), cents(6_300));
    assert_eq!(amount(Role::Software), cents(1_500));
    assert_eq!(amount(Role::Postage), cents(4_500));
    assert_eq!(amount(Role::Depreciation), cents(3_150 + 2_400));
    let totals = profit.totals;
    assert_eq!(
        (totals.net_sales, totals.cost_of_goods_sold),
        (cents(27_000), Money::ZERO)
    );
    // 63.00 + 15.00 + fees (31.10 − 0.65) + 45.00 + 55.50
    assert_eq!(totals.costs, cents(20_895));
    assert_eq!(totals.net_profit, cents(6_105));
}

#[test]
fn the_quarters_balance_sheet_and_capital_agree() {
    let mut story = first_quarter();
    let all = story.balances(quarter().to);
    let sheet = balance_sheet(&story.chart, &all, quarter().to);
    let net = |role| all.net(story.id(role));
    assert_eq!(net(Role::BusinessBank), cents(100_200));
    assert_eq!(net(Role::SetAside), cents(3_000));
    assert_eq!(net(Role::PayoutsDue), cents(3_955));
    assert_eq!(net(Role::Materials), cents(12_600));
    assert_eq!(net(Role::Equipment), cents(80_400));
    assert_eq!(net(Role::AccumulatedDepreciation), cents(-6_150));
    assert_eq!(sheet.totals.assets, cents(194_005));
    assert_eq!(sheet.totals.liabilities, Money::ZERO);
    assert!(sheet.is_balanced());
    // The register says what the ledger says.
    let book_value: Money = story
        .register
        .iter()
        .map(|piece| piece.carrying_amount(quarter().to, YearStart::default()))
        .sum();
    assert_eq!(
        book_value,
        net(Role::Equipment) + net(Role::AccumulatedDepreciation)
    );

    let capital = capital_statement(&story.chart, &Balances::new(), &all, quarter());
    assert_eq!(capital.money_in, cents(200_000));
    // Taken out 100.00, tax instalment 15.00, private share of wear 6.00.
    assert_eq!(capital.money_out, cents(12_100));
    assert_eq!(
        (capital.profit, capital.closing),
        (cents(6_105), cents(194_005))
    );

    let year = YearStart::default().year_ending_in(2026);
    let closing = closing_entry(&story.chart, &all, year).expect("something to close");
    story.post(closing);
    let closed = story.balances(year.to);
    assert_eq!(
        balance_sheet(&story.chart, &closed, year.to).totals,
        sheet.totals
    );
    assert_eq!(
        closed.net(story.id(Role::OwnerCapital)),
        cents(-(200_000 - 12_100))
    );
    assert_eq!(
        closed.net(story.id(Role::ProfitBroughtForward)),
        cents(-6_105)
    );
    let trial = trial_balance(&story.chart, &closed);
    assert_eq!(trial.total_debit, trial.total_credit);
}

#[test]
fn the_quarters_channel_runs_from_sales_to_what_is_due() {
    let story = first_quarter();
    let facts = ChannelFacts {
        held: cents(1_000),
        reported_gross: Some(cents(29_680)),
        ..ChannelFacts::default()
    };
    let channel = story.id(Role::PayoutsDue);
    let summary = channel_summary(&story.chart, channel, quarter(), &story.entries, facts)
        .expect("a channel");
    assert_eq!(
        (summary.sales_count, summary.gross_sales),
        (10, cents(24_000))
    );
    assert_eq!(
        (summary.postage, summary.refunds),
        (cents(4_000), cents(1_000))
    );
    assert_eq!(
        (summary.fees, summary.tax_by_channel),
        (cents(3_045), cents(1_680))
    );
    assert_eq!(
        (summary.net, summary.payouts),
        (cents(23_955), cents(20_000))
    );
    assert_eq!(
        (summary.still_due, summary.available()),
        (cents(3_955), cents(2_955))
    );
    assert_eq!(
        (summary.other, summary.difference),
        (Money::ZERO, Some(Money::ZERO))
    );

    let months: Vec<(DateRange, Balances)> = quarter()
        .by_month()
        .into_iter()
        .map(|month| {
            let entries = story.entries.iter().map(|posted| &posted.entry);
            let inside = entries.filter(|entry| month.contains(entry.header.date));
            (month, Balances::of_entries(inside))
        })
        .collect();
    let postage = postage_by_month(&story.chart, &months).expect("accounts");
    let differences: Vec<Money> = postage.iter().map(|month| month.difference).collect();
    assert_eq!(differences, [0, 4_000, -4_500].map(cents));
}

#[test]
fn the_quarters_start_cost_and_set_aside_follow() {
    let story = first_quarter();
    let start = cost_to_start(&story.chart, &story.entries, day("2026-01-31"));
    assert_eq!(start.group(StartUpGroup::Equipment).0, cents(80_400));
    assert_eq!(
        start.group(StartUpGroup::MaterialsAndStock).0,
        cents(12_600)
    );
    assert_eq!(start.group(StartUpGroup::Packaging).0, cents(6_300));
    assert_eq!(start.group(StartUpGroup::StartUpCosts).0, cents(1_500));
    assert_eq!(start.total(), cents(100_800));

    let all = story.balances(quarter().to);
    let profit_of = |range: DateRange| {
        let entries = story.entries.iter().map(|posted| &posted.entry);
        let inside = entries.filter(|entry| range.contains(entry.header.date));
        profit_statement(&story.chart, &Balances::of_entries(inside), range).totals
    };
    let months = quarter().months();
    let facts = Facts {
        year: 2026,
        years: YearStart::default(),
        as_of: quarter().to,
        profit: profit_of(quarter()).into(),
        cost_accounts: 6,
        profit_by_month: months
            .map(|month| (month, profit_of(month.range()).net_profit))
            .collect(),
        put_by: all.net(story.id(Role::SetAside)),
        already_paid: cents(1_500),
        percent: percent(30),
        percent_chosen_on: None,
        what_if_profit: None,
        calendar: Calendar::for_book("USD", YearStart::default()),
        currency: Currency::from_code("USD").expect("ISO 4217"),
        worksheet: deckle::set_aside::WorksheetFacts::default(),
    };
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    // 61.05 × 30 % = 18.315, rounded up; 45.00 is put by or paid.
    assert_eq!(
        (estimate.profit, estimate.total),
        (cents(6_105), cents(1_832))
    );
    assert_eq!(estimate.to_move, Money::ZERO);
    let first = &estimate.instalments[0];
    assert_eq!((first.due, first.needed), (day("2026-04-15"), cents(1_832)));
}
