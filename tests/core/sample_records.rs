//! A government guide's sample records of a body shop: a year's profit by month, and sales tax in the till.

use chrono::NaiveDate;
use deckle::dates::{DateRange, Month};
use deckle::ledger::{
    Account, AccountClass, AccountId, Balances, Chart, EntryHeader, EntryKind, EntryNumber,
    JournalEntry, Line, PostedEntry, Role,
};
use deckle::money::Money;
use deckle::statements::{balance_sheet, compare, profit_periods, profit_statement};

use crate::accounting_cycle::{account, range};
use crate::support::day;

/// IRS Publication 583, Starting a Business and Keeping Records (Rev. January 2015), sample record system, annual
/// summary: January, February, March and December as printed, and the year.
const PUB_583: [(&str, [i64; 4], i64); 15] = [
    (
        "Cash receipts",
        [486_505, 347_832, 394_200, 365_652],
        4_744_095,
    ),
    (
        "Materials and supplies",
        [108_350, 87_493, 72_490, 60_923],
        1_000_100,
    ),
    ("Gross payroll", [52_000, 23_540, 50_700, 52_000], 543_400),
    ("Payroll taxes", [3_978, 1_768, 3_808, 3_978], 40_809),
    ("Bank charges", [1_000, 750, 1_125, 1_000], 9_230),
    ("Electric", [17_530, 15_310, 14_581, 16_900], 164_237),
    ("Interest", [1_809, 1_809, 1_809, 1_809], 21_708),
    ("Insurance", [0, 21_000, 0, 0], 42_000),
    ("Rent", [30_000, 30_000, 30_000, 30_000], 360_000),
    ("Telephone", [2_700, 2_150, 3_210, 2_313], 32_409),
    ("Truck and auto", [4_500, 2_850, 5_130, 3_762], 57_146),
    ("Advertising", [8_500, 0, 0, 0], 8_500),
    ("Office expenses", [3_600, 0, 0, 400], 4_000),
    ("Taxes and licences", [10_000, 0, 0, 0], 21_800),
    ("Miscellaneous", [200, 0, 0, 7_191], 34_400),
];

fn body_shop() -> (Chart, Vec<PostedEntry>) {
    use AccountClass::{Asset, Expense, Income};
    let mut accounts = vec![account(
        100,
        "Bank",
        Asset,
        Account::MONEY_GROUP,
        Some(Role::BusinessBank),
        false,
    )];
    for ((name, _, _), id) in PUB_583.iter().zip(400..) {
        let (class, group) = if id == 400 {
            (Income, Account::SALES_GROUP)
        } else {
            (Expense, "Costs")
        };
        accounts.push(account(id, name, class, group, None, false));
    }
    let chart = Chart::new(accounts).expect("a chart");
    let mut entries = Vec::new();
    let mut post = |name: &str, on: NaiveDate, amount: i64| {
        let own = chart.find(name).expect("an account");
        let amount = Money::from_minor(if own.class == Income { -amount } else { amount });
        if amount.is_zero() {
            return;
        }
        let lines = vec![
            Line::debit(own.id, amount),
            Line::credit(AccountId(100), amount),
        ];
        let header = EntryHeader::new(on, EntryKind::Manual);
        entries.push(PostedEntry {
            number: EntryNumber(u64::try_from(entries.len()).expect("small") + 1),
            version: 1,
            entry: JournalEntry::new(header, lines).expect("balances"),
            reverses: None,
            reversed_by: None,
        });
    };
    for (name, months, year) in PUB_583 {
        for (amount, month) in months.into_iter().zip([1, 2, 3, 12]) {
            post(name, Month::new(2014, month).last_day(), amount);
        }
        // The eight months that are not printed, in one sum.
        post(name, day("2014-11-30"), year - months.iter().sum::<i64>());
    }
    (chart, entries)
}

#[test]
fn a_government_guides_sample_records_come_out_by_month_and_year() {
    let (chart, entries) = body_shop();
    let in_range = |range: DateRange| {
        let entries = entries.iter().map(|posted| &posted.entry);
        Ok::<_, ()>(Balances::of_entries(
            entries.filter(|entry| range.contains(entry.header.date)),
        ))
    };
    let year = range("2014-01-01", "2014-12-31");
    let mut ranges: Vec<DateRange> = [1, 2, 3, 12]
        .map(|month| Month::new(2014, month).range())
        .to_vec();
    ranges.push(year);
    let statements = profit_periods(&chart, &ranges, in_range).expect("sums");
    let side_by_side = compare(&chart, &statements);
    assert_eq!(side_by_side.rows.len(), PUB_583.len());
    for ((name, months, total), row) in PUB_583.iter().zip(&side_by_side.rows) {
        assert_eq!(row.name, *name);
        let printed: Vec<Money> = months
            .iter()
            .chain([total])
            .copied()
            .map(Money::from_minor)
            .collect();
        assert_eq!(row.amounts, printed, "{name}");
    }
    let payments: Vec<i64> = side_by_side
        .totals
        .iter()
        .map(|totals| totals.costs.minor())
        .collect();
    assert_eq!(
        payments[0], 244_167,
        "computed: the sum of January's printed payments"
    );
    assert_eq!(
        payments[1], 186_670,
        "computed: the sum of February's printed payments"
    );
    assert_eq!(
        payments[4], 2_339_739,
        "computed: the sum of the year's printed payments"
    );
    assert_eq!(
        side_by_side.totals[4].net_profit,
        Money::from_minor(2_404_356),
        "computed: receipts less payments, before depreciation"
    );
    // Twelve months side by side add up to the year.
    let months = profit_periods(&chart, &year.by_month(), in_range).expect("sums");
    let quarters = profit_periods(&chart, &year.by_quarter(), in_range).expect("sums");
    for parts in [months, quarters] {
        let sum: Money = parts.iter().map(|part| part.totals.net_profit).sum();
        assert_eq!(sum, Money::from_minor(2_404_356));
    }
}

/// IRS Publication 583, the day's receipts of 3 January: sales 263.60 and sales tax 4.20 are 267.80 in the till.
#[test]
fn sales_tax_in_the_till_is_not_income() {
    let chart = Chart::craft_business(true).expect("the chart");
    let id = |role| chart.role(role).expect("an account");
    let lines = vec![
        Line::debit(id(Role::CashBox), Money::from_minor(26_780)),
        Line::credit(id(Role::Sales), Money::from_minor(26_360)),
        Line::credit(id(Role::SalesTax), Money::from_minor(420)),
    ];
    let on = day("2014-01-03");
    let entry = JournalEntry::new(EntryHeader::new(on, EntryKind::Sale), lines).expect("balances");
    let all = Balances::of_entries([&entry]);
    let profit = profit_statement(&chart, &all, DateRange { from: on, to: on });
    assert_eq!(profit.totals.net_sales, Money::from_minor(26_360));
    let sheet = balance_sheet(&chart, &all, on);
    assert_eq!(sheet.totals.liabilities, Money::from_minor(420));
}
