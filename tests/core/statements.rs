//! Statements that no published cycle covers: channels, what it cost to start, postage, small equipment, comparisons.
//! Figures are by hand unless a source stands beside them.

use chrono::NaiveDate;
use deckle::dates::{DateRange, Month, parse_iso};
use deckle::ledger::{
    Account, AccountClass, AccountId, Balances, Chart, EntryHeader, EntryKind, EntryNumber,
    JournalEntry, Line, PostedEntry, Role,
};
use deckle::money::Money;
use deckle::statements::{
    ChannelFacts, ChannelSummary, ProfitSection, StartUpGroup, balance_sheet, capital_statement,
    channel_summary, closing_entry, cost_to_start, postage_by_month, profit_statement,
    small_equipment, trial_balance,
};
use proptest::prelude::*;

fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

fn range(from: &str, to: &str) -> DateRange {
    DateRange::new(day(from), day(to)).expect("in order")
}

fn cents(minor: i64) -> Money {
    Money::from_minor(minor)
}

fn chart() -> Chart {
    Chart::craft_business(true).expect("the chart")
}

fn posted(number: u64, header: EntryHeader, lines: Vec<Line>) -> PostedEntry {
    PostedEntry {
        number: EntryNumber(number),
        version: 1,
        entry: JournalEntry::new(header, lines).expect("balances"),
        reverses: None,
        reversed_by: None,
    }
}

/// An entry of `(role, minor units; credits below nothing)`.
fn entry(
    chart: &Chart,
    number: u64,
    on: &str,
    kind: EntryKind,
    lines: &[(Role, i64)],
) -> PostedEntry {
    let lines = lines
        .iter()
        .map(|(role, minor)| Line::debit(chart.role(*role).expect("an account"), cents(*minor)));
    posted(number, EntryHeader::new(day(on), kind), lines.collect())
}

fn summary(
    chart: &Chart,
    entries: &[PostedEntry],
    range: DateRange,
    facts: ChannelFacts,
) -> ChannelSummary {
    let channel = chart.role(Role::PayoutsDue).expect("a channel");
    channel_summary(chart, channel, range, entries, facts).expect("the chart has it")
}

/// The gross amount of a payment report is not reduced by refunds and fees (IRS, instructions for Form 1099-K): gross
/// 10,000.00, refunds 250.00, fees 655.00 leave deposits of 9,095.00 (computed). Booking only the deposits would
/// understate sales by 905.00.
#[test]
fn a_reported_gross_is_bridged_to_the_deposits() {
    use Role::{BusinessBank, PayoutsDue, ProcessingFees, Refunds, Sales, ShopFees};
    let chart = chart();
    #[rustfmt::skip]
    let entries = [
        entry(&chart, 1, "2026-02-01", EntryKind::Sale, &[(PayoutsDue, 934_500), (ShopFees, 50_000), (ProcessingFees, 15_500), (Sales, -1_000_000)]),
        entry(&chart, 2, "2026-03-01", EntryKind::Refund, &[(Refunds, 25_000), (PayoutsDue, -25_000)]),
        entry(&chart, 3, "2026-03-05", EntryKind::Payout, &[(BusinessBank, 909_500), (PayoutsDue, -909_500)]),
    ];
    let facts = ChannelFacts {
        reported_gross: Some(cents(1_000_000)),
        ..ChannelFacts::default()
    };
    let year = range("2026-01-01", "2026-12-31");
    let channel = summary(&chart, &entries, year, facts);
    assert_eq!(channel.gross_sales, cents(1_000_000));
    assert_eq!(channel.refunds, cents(25_000));
    assert_eq!(channel.fees, cents(65_500));
    assert_eq!(
        (channel.net, channel.payouts),
        (cents(909_500), cents(909_500))
    );
    assert_eq!(
        (channel.still_due, channel.other),
        (Money::ZERO, Money::ZERO)
    );
    assert_eq!(channel.difference, Some(Money::ZERO));
    assert_eq!(channel.gross_sales - channel.payouts, cents(90_500));
    assert_eq!(channel.fees_by_account.len(), 2);
}

/// One notebook at 24.00 with everything a channel does to it, and the cost of the stock riding along.
#[test]
fn every_deduction_of_a_channel_stands_on_its_own_line() {
    use Role::{
        BusinessBank, CostOfGoodsSold, CreditCard, Discounts, InDispute, MadeGoods, PayoutsDue,
        PostageCharged, Refunds, Sales, SalesTax, ShopFees,
    };
    let chart = chart();
    #[rustfmt::skip]
    let mut entries = vec![
        entry(&chart, 1, "2026-05-02", EntryKind::Sale, &[
            (Sales, -2_400), (Discounts, 240), (PostageCharged, -390), (SalesTax, -150), (ShopFees, 300),
            (PayoutsDue, 2_400), (CostOfGoodsSold, 700), (MadeGoods, -700),
        ]),
        entry(&chart, 2, "2026-05-09", EntryKind::Refund, &[(Refunds, 500), (SalesTax, 30), (ShopFees, -60), (PayoutsDue, -470)]),
        entry(&chart, 3, "2026-05-12", EntryKind::Payout, &[(BusinessBank, 1_000), (PayoutsDue, -1_000)]),
        entry(&chart, 4, "2026-05-20", EntryKind::Manual, &[(InDispute, 200), (PayoutsDue, -200)]),
        entry(&chart, 5, "2026-05-25", EntryKind::Settlement, &[(PayoutsDue, 70), (CreditCard, -70)]),
        // Neither in the month nor on the channel.
        entry(&chart, 6, "2026-06-01", EntryKind::Sale, &[(PayoutsDue, 999), (Sales, -999)]),
        entry(&chart, 7, "2026-05-30", EntryKind::Sale, &[(BusinessBank, 999), (Sales, -999)]),
    ];
    entries[0].entry.header.tax_by_channel = cents(88);
    let facts = ChannelFacts {
        opening: cents(1_111),
        held: cents(400),
        reported_gross: None,
        name_right: None,
    };
    let may = summary(&chart, &entries, Month::new(2026, 5).range(), facts);
    assert_eq!(
        (may.gross_sales, may.discounts, may.postage),
        (cents(2_400), cents(240), cents(390))
    );
    assert_eq!((may.tax_ours, may.tax_by_channel), (cents(120), cents(88)));
    assert_eq!(
        (may.refunds, may.fees, may.sales_count),
        (cents(500), cents(240), 1)
    );
    assert_eq!(may.net, cents(2_400 - 240 + 390 + 120 - 500 - 240));
    assert_eq!(may.payouts, cents(1_000 - 70));
    assert_eq!(may.other, cents(-200));
    assert_eq!(
        may.still_due,
        may.opening + may.net - may.payouts + may.other
    );
    assert_eq!(may.available(), may.still_due - cents(400));
    assert_eq!(may.buyers_paid, cents(2_400 - 240 + 390 + 120 + 88));
}

/// What takes a sale back takes it out of every figure.
#[test]
fn a_sale_taken_back_leaves_nothing_in_the_channel() {
    use Role::{PayoutsDue, Sales, ShopFees};
    let chart = chart();
    let sale = entry(
        &chart,
        1,
        "2026-05-02",
        EntryKind::Sale,
        &[(PayoutsDue, 900), (ShopFees, 100), (Sales, -1_000)],
    );
    let mut back = sale.clone();
    back.number = EntryNumber(2);
    back.entry = sale.entry.reversal(day("2026-05-03"), "typed twice");
    let month = Month::new(2026, 5).range();
    let may = summary(&chart, &[sale, back], month, ChannelFacts::default());
    assert_eq!(
        (may.gross_sales, may.fees, may.net),
        (Money::ZERO, Money::ZERO, Money::ZERO)
    );
    assert_eq!((may.still_due, may.other), (Money::ZERO, Money::ZERO));
}

/// A starter outlay of 100 + 40 + 100 + 15 + 50 + 25 is 330, of which 140 is equipment (common practice, no source).
#[test]
fn the_cost_to_start_stands_in_five_groups() {
    use Role::{
        Advertising, BusinessBank, CompanyFormingCosts, Equipment, Licences, Materials,
        OwnerCapital, OwnerDrawings, Packaging, Sales, SmallTools,
    };
    let chart = chart();
    #[rustfmt::skip]
    let mut entries = vec![
        entry(&chart, 1, "2026-01-02", EntryKind::OwnerIn, &[(BusinessBank, 100_000), (OwnerCapital, -100_000)]),
        entry(&chart, 2, "2026-01-03", EntryKind::Purchase, &[(Equipment, 10_000), (SmallTools, 4_000), (Materials, 10_000), (Packaging, 1_500), (OwnerDrawings, 700), (BusinessBank, -26_200)]),
        entry(&chart, 3, "2026-01-05", EntryKind::Purchase, &[(Licences, 5_000), (Advertising, 2_500), (BusinessBank, -7_500)]),
    ];
    let opened = day("2026-02-01");
    let plain = cost_to_start(&chart, &entries, opened);
    assert_eq!(plain.total(), cents(33_000));
    assert_eq!(
        plain.group(StartUpGroup::Equipment),
        (cents(14_000), Money::ZERO)
    );
    assert_eq!(
        plain.group(StartUpGroup::MaterialsAndStock),
        (cents(10_000), Money::ZERO)
    );
    assert_eq!(
        plain.group(StartUpGroup::Packaging),
        (cents(1_500), Money::ZERO)
    );
    assert_eq!(
        plain.group(StartUpGroup::StartUpCosts),
        (cents(7_500), Money::ZERO)
    );

    #[rustfmt::skip]
    entries.extend([
        entry(&chart, 4, "2026-01-06", EntryKind::BroughtIn, &[(Equipment, 6_000), (OwnerCapital, -6_000)]),
        entry(&chart, 5, "2026-01-07", EntryKind::Purchase, &[(CompanyFormingCosts, 9_000), (BusinessBank, -9_000)]),
        // Materials made into goods move within their group; wear is no outlay; later entries are not counted.
        entry(&chart, 6, "2026-01-08", EntryKind::Manual, &[(Role::MadeGoods, 3_000), (Materials, -3_000)]),
        entry(&chart, 7, "2026-01-31", EntryKind::Depreciation, &[(Role::Depreciation, 200), (Role::AccumulatedDepreciation, -200)]),
        entry(&chart, 8, "2026-02-01", EntryKind::Sale, &[(BusinessBank, 2_400), (Sales, -2_400)]),
        entry(&chart, 9, "2026-02-02", EntryKind::Purchase, &[(Materials, 777), (BusinessBank, -777)]),
    ]);
    let full = cost_to_start(&chart, &entries, opened);
    assert_eq!(
        (full.paid_out, full.brought_in),
        (cents(42_000), cents(6_000))
    );
    assert_eq!(
        full.group(StartUpGroup::Equipment),
        (cents(14_000), cents(6_000))
    );
    assert_eq!(
        full.group(StartUpGroup::CompanyForming),
        (cents(9_000), Money::ZERO)
    );
    assert!(full.lines.is_sorted_by_key(|line| line.group));

    // Brought in by mistake and taken back: it is not counted as paid out.
    let mut back = entries[3].clone();
    back.number = EntryNumber(10);
    back.reverses = Some(EntryNumber(4));
    back.entry = entries[3]
        .entry
        .reversal(day("2026-01-09"), "it is private after all");
    entries.push(back);
    let less = cost_to_start(&chart, &entries, opened);
    assert_eq!(
        (less.paid_out, less.brought_in),
        (cents(42_000), Money::ZERO)
    );
}

#[test]
fn postage_charged_stands_beside_postage_paid() {
    use Role::{BusinessBank, PayoutsDue, Postage, PostageCharged};
    let chart = chart();
    let months: Vec<(DateRange, Balances)> = [
        (
            1,
            entry(
                &chart,
                1,
                "2026-01-09",
                EntryKind::Sale,
                &[(PayoutsDue, 390), (PostageCharged, -390)],
            ),
        ),
        (
            2,
            entry(
                &chart,
                2,
                "2026-02-09",
                EntryKind::Purchase,
                &[(Postage, 455), (BusinessBank, -455)],
            ),
        ),
    ]
    .into_iter()
    .map(|(month, posted)| {
        (
            Month::new(2026, month).range(),
            Balances::of_entries([&posted.entry]),
        )
    })
    .collect();
    let rows = postage_by_month(&chart, &months).expect("accounts");
    assert_eq!(
        (rows[0].charged, rows[0].paid, rows[0].difference),
        (cents(390), Money::ZERO, cents(390))
    );
    assert_eq!(
        (rows[1].charged, rows[1].paid, rows[1].difference),
        (Money::ZERO, cents(455), cents(-455))
    );
}

#[test]
fn small_equipment_is_expensed_and_remembered() {
    let chart = chart();
    let tools = chart.role(Role::SmallTools).expect("an account");
    let bank = chart.role(Role::BusinessBank).expect("an account");
    let header = EntryHeader::new(day("2026-03-03"), EntryKind::Purchase)
        .party("Wrenfield Tools")
        .memo("two things");
    let lines = vec![
        Line::debit(tools, cents(1_850)).memo("Bone folder, set"),
        Line::debit(tools, cents(3_200)),
        Line::credit(bank, cents(5_050)),
    ];
    let bought = posted(1, header, lines);
    let list = small_equipment(&chart, [&bought]).expect("the account");
    assert_eq!(list.len(), 2);
    assert_eq!(
        (list[0].what.as_str(), list[1].what.as_str()),
        ("Bone folder, set", "two things")
    );
    assert_eq!(
        (list[0].supplier.as_str(), list[0].amount),
        ("Wrenfield Tools", cents(1_850))
    );
    let mut taken_back = bought;
    taken_back.reversed_by = Some(EntryNumber(2));
    assert!(
        small_equipment(&chart, [&taken_back])
            .expect("the account")
            .is_empty()
    );
}

#[test]
fn contra_accounts_are_negative_in_their_class() {
    use Role::{
        AccumulatedDepreciation, BusinessBank, Discounts, Equipment, OwnerCapital, OwnerDrawings,
        Refunds, Sales,
    };
    let chart = chart();
    let on = "2026-04-01";
    #[rustfmt::skip]
    let entries = [
        entry(&chart, 1, on, EntryKind::Sale, &[(BusinessBank, 900), (Discounts, 60), (Refunds, 40), (Sales, -1_000)]),
        entry(&chart, 2, on, EntryKind::BroughtIn, &[(Equipment, 500), (AccumulatedDepreciation, -100), (OwnerCapital, -400)]),
        entry(&chart, 3, on, EntryKind::OwnerOut, &[(OwnerDrawings, 150), (BusinessBank, -150)]),
    ];
    let all = Balances::of_entries(entries.iter().map(|posted| &posted.entry));
    let profit = profit_statement(&chart, &all, range(on, on));
    let sales: Vec<i64> = profit
        .section(&chart, ProfitSection::Sales)
        .map(|line| line.amount.minor())
        .collect();
    assert_eq!(sales, [1_000, -40, -60]);
    assert_eq!(profit.totals.net_sales, cents(900));
    let sheet = balance_sheet(&chart, &all, day(on));
    let amount = |role| {
        let id = chart.role(role).ok();
        sheet
            .lines
            .iter()
            .find(|line| line.account == id)
            .map(|line| line.amount)
    };
    assert_eq!(amount(AccumulatedDepreciation), Some(cents(-100)));
    assert_eq!(amount(OwnerDrawings), Some(cents(-150)));
    assert_eq!(sheet.totals.equity, cents(400 - 150 + 900));
    assert!(sheet.is_balanced());
}

#[test]
fn a_group_stays_together_whatever_its_numbers() {
    let base = |id, number: &str, name: &str, group: &str| Account {
        id: AccountId(id),
        number: number.to_owned(),
        name: name.to_owned(),
        class: AccountClass::Expense,
        group: group.to_owned(),
        is_contra: false,
        role: None,
        form_line: None,
        is_active: true,
    };
    let chart = Chart::new([
        base(1, "6100", "Boxes", "Post"),
        base(2, "6200", "Fees", "Shops"),
        base(3, "6900", "Lost parcels", "Post"),
    ])
    .expect("a chart");
    let mut all = Balances::new();
    for id in 1..=3 {
        all.add(AccountId(id), cents(100));
    }
    let profit = profit_statement(&chart, &all, range("2026-01-01", "2026-01-31"));
    let names: Vec<&str> = profit.lines.iter().map(|line| line.name.as_str()).collect();
    assert_eq!(names, ["Boxes", "Lost parcels", "Fees"]);
}

fn any_entry() -> impl Strategy<Value = (u32, Vec<(usize, usize, i64)>)> {
    let moves = prop::collection::vec((0_usize..64, 0_usize..64, 1_i64..500_000), 1..4);
    (1_u32..=12, moves)
}

proptest! {
    /// Whatever is posted: the trial balance adds up, the balance sheet balances, the capital statement ends at the
    /// sheet's equity, months add up to the year, and after closing nothing stands on income, costs and drawings.
    #[test]
    fn statements_agree_with_each_other(drafts in prop::collection::vec(any_entry(), 1..30)) {
        let chart = chart();
        let accounts = chart.accounts();
        let mut entries = Vec::new();
        for (month, moves) in drafts {
            let mut lines = Vec::new();
            for (debit, credit, minor) in moves {
                lines.push(Line::debit(accounts[debit % accounts.len()].id, cents(minor)));
                lines.push(Line::credit(accounts[credit % accounts.len()].id, cents(minor)));
            }
            let on = Month::new(2026, month).last_day();
            entries.push(JournalEntry::new(EntryHeader::new(on, EntryKind::Manual), lines).expect("balances"));
        }
        let year = range("2026-01-01", "2026-12-31");
        let of = |range: DateRange| Balances::of_entries(entries.iter().filter(|e| range.contains(e.header.date)));
        let mut all = of(year);
        let trial = trial_balance(&chart, &all);
        prop_assert_eq!(trial.total_debit, trial.total_credit);
        let sheet = balance_sheet(&chart, &all, year.to);
        prop_assert!(sheet.is_balanced());
        let capital = capital_statement(&chart, &Balances::new(), &all, year);
        prop_assert_eq!(capital.closing, sheet.totals.equity);
        let profit = profit_statement(&chart, &all, year).totals.net_profit;
        let by_month: Money = year
            .by_month()
            .into_iter()
            .map(|month| profit_statement(&chart, &of(month), month).totals.net_profit)
            .sum();
        prop_assert_eq!(profit, by_month);
        prop_assert_eq!(profit, capital.profit);
        if let Ok(closing) = closing_entry(&chart, &all, year) {
            all.merge(&Balances::of_entries([&closing]));
        }
        let closed = balance_sheet(&chart, &all, year.to);
        prop_assert_eq!(closed.totals, sheet.totals);
        prop_assert!(profit_statement(&chart, &all, year).lines.is_empty());
        prop_assert!(all.net(chart.role(Role::OwnerDrawings).expect("drawings")).is_zero());
    }
}
