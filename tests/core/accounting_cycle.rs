//! A published month from first entry to closing, and a short trial balance.
//! OpenStax = OpenStax, Principles of Accounting, Vol. 1 (2019); every figure is printed there unless marked computed.

use deckle::dates::DateRange;
use deckle::ledger::{
    Account, AccountClass, AccountId, Balances, Chart, EntryHeader, EntryKind, EntryNumber,
    JournalEntry, Line, PostedEntry, Role,
};
use deckle::money::Money;
use deckle::statements::{
    DrawingsCloseTo, account_ledger, balance_sheet, capital_statement, closing_entry,
    closing_entry_to, journal, profit_statement, trial_balance,
};

use crate::support::day;

fn units(amount: i64) -> Money {
    Money::from_minor(amount * 100)
}

pub fn range(from: &str, to: &str) -> DateRange {
    DateRange::new(day(from), day(to)).expect("in order")
}

pub fn account(
    id: i64,
    name: &str,
    class: AccountClass,
    group: &str,
    role: Option<Role>,
    is_contra: bool,
) -> Account {
    Account {
        id: AccountId(id),
        number: id.to_string(),
        name: name.to_owned(),
        class,
        group: group.to_owned(),
        is_contra,
        role,
        form_line: None,
        is_active: true,
    }
}

/// The accounts of the printing business. It is a small corporation: for a sole owner read common stock as owner's
/// capital, dividends as drawings, retained earnings as the profit brought forward.
fn printing_chart() -> Chart {
    use AccountClass::{Asset, Equity, Expense, Income, Liability};
    let sales = Account::SALES_GROUP;
    Chart::new([
        account(
            101,
            "Cash",
            Asset,
            Account::MONEY_GROUP,
            Some(Role::BusinessBank),
            false,
        ),
        account(
            102,
            "Accounts Receivable",
            Asset,
            "Owed to you",
            Some(Role::CustomersOwe),
            false,
        ),
        account(
            103,
            "Interest Receivable",
            Asset,
            "Owed to you",
            None,
            false,
        ),
        account(104, "Supplies", Asset, "Stock", None, false),
        account(
            105,
            "Equipment",
            Asset,
            "Equipment",
            Some(Role::Equipment),
            false,
        ),
        account(
            106,
            "Accumulated Depreciation: Equipment",
            Asset,
            "Equipment",
            Some(Role::AccumulatedDepreciation),
            true,
        ),
        account(
            201,
            "Accounts Payable",
            Liability,
            "Bills",
            Some(Role::BillsToPay),
            false,
        ),
        account(202, "Salaries Payable", Liability, "Bills", None, false),
        account(
            203,
            "Unearned Revenue",
            Liability,
            "Held for others",
            None,
            false,
        ),
        account(
            301,
            "Common Stock",
            Equity,
            "Owner's capital",
            Some(Role::OwnerCapital),
            false,
        ),
        account(
            302,
            "Dividends",
            Equity,
            "Owner's capital",
            Some(Role::OwnerDrawings),
            true,
        ),
        account(
            303,
            "Retained Earnings",
            Equity,
            "Profit brought forward",
            Some(Role::ProfitBroughtForward),
            false,
        ),
        account(
            401,
            "Service Revenue",
            Income,
            sales,
            Some(Role::Sales),
            false,
        ),
        account(
            402,
            "Interest Revenue",
            Income,
            "Other income",
            Some(Role::InterestReceived),
            false,
        ),
        account(501, "Supplies Expense", Expense, "Workshop", None, false),
        account(
            502,
            "Depreciation Expense: Equipment",
            Expense,
            "Equipment wear",
            Some(Role::Depreciation),
            false,
        ),
        account(503, "Salaries Expense", Expense, "Helpers", None, false),
        account(504, "Utility Expense", Expense, "Workshop", None, false),
    ])
    .expect("a chart")
}

fn posted(
    chart: &Chart,
    number: u64,
    on: &str,
    kind: EntryKind,
    debit: &str,
    credit: &str,
    amount: i64,
) -> PostedEntry {
    let id = |name: &str| chart.find(name).expect("an account").id;
    let lines = vec![
        Line::debit(id(debit), units(amount)),
        Line::credit(id(credit), units(amount)),
    ];
    let entry = JournalEntry::new(EntryHeader::new(day(on), kind), lines).expect("balances");
    PostedEntry {
        number: EntryNumber(number),
        version: 1,
        entry,
        reverses: None,
        reversed_by: None,
    }
}

/// OpenStax, sections 3.5 and 4.3: entries 1 to 12 of January 2019, adjusting entries 13 to 17.
fn january(chart: &Chart) -> Vec<PostedEntry> {
    #[rustfmt::skip]
    let rows = [
        ("2019-01-03", "Cash", "Common Stock", 20_000),
        ("2019-01-05", "Equipment", "Accounts Payable", 3_500),
        ("2019-01-09", "Cash", "Unearned Revenue", 4_000),
        ("2019-01-10", "Accounts Receivable", "Service Revenue", 5_500),
        ("2019-01-12", "Utility Expense", "Cash", 300),
        ("2019-01-14", "Dividends", "Cash", 100),
        ("2019-01-17", "Cash", "Service Revenue", 2_800),
        ("2019-01-18", "Accounts Payable", "Cash", 3_500),
        ("2019-01-20", "Salaries Expense", "Cash", 3_600),
        ("2019-01-23", "Cash", "Accounts Receivable", 5_500),
        ("2019-01-27", "Accounts Receivable", "Service Revenue", 1_200),
        ("2019-01-30", "Supplies", "Accounts Payable", 500),
        ("2019-01-31", "Supplies Expense", "Supplies", 100),
        ("2019-01-31", "Depreciation Expense: Equipment", "Accumulated Depreciation: Equipment", 75),
        ("2019-01-31", "Unearned Revenue", "Service Revenue", 600),
        ("2019-01-31", "Interest Receivable", "Interest Revenue", 140),
        ("2019-01-31", "Salaries Expense", "Salaries Payable", 1_500),
    ];
    let numbered = rows.into_iter().zip(1..);
    numbered
        .map(|((on, debit, credit, amount), number)| {
            let kind = if number > 12 {
                EntryKind::Adjusting
            } else {
                EntryKind::Manual
            };
            posted(chart, number, on, kind, debit, credit, amount)
        })
        .collect()
}

fn balances(entries: &[PostedEntry]) -> Balances {
    Balances::of_entries(entries.iter().map(|posted| &posted.entry))
}

/// The trial balance as `(account, units on the debit side, or below nothing on the credit side)`.
#[track_caller]
fn check_trial(chart: &Chart, balances: &Balances, total: i64, printed: &[(&str, i64)]) {
    let trial = trial_balance(chart, balances);
    let found: Vec<(&str, Money)> = trial
        .accounts
        .iter()
        .map(|row| (row.name.as_str(), row.debit - row.credit))
        .collect();
    let printed: Vec<(&str, Money)> = printed
        .iter()
        .map(|(name, net)| (*name, units(*net)))
        .collect();
    assert_eq!(found, printed);
    assert_eq!(
        (trial.total_debit, trial.total_credit),
        (units(total), units(total))
    );
    assert!(
        trial
            .accounts
            .iter()
            .all(|row| row.debit.is_zero() || row.credit.is_zero())
    );
}

/// OpenStax, section 3.5: the running balance of cash after each entry.
#[test]
fn cash_runs_as_printed() {
    let chart = printing_chart();
    let entries = january(&chart);
    let cash = chart.role(Role::BusinessBank).expect("cash");
    let month = range("2019-01-01", "2019-01-31");
    let ledger = account_ledger(cash, month, Money::ZERO, &entries);
    let running: Vec<Money> = ledger.lines.iter().map(|line| line.balance).collect();
    let printed = [
        20_000, 24_000, 23_700, 23_600, 26_400, 22_900, 19_300, 24_800,
    ]
    .map(units);
    assert_eq!(running, printed);
    assert_eq!(
        ledger.lines.iter().map(|line| line.debit).sum::<Money>(),
        units(32_300)
    );
    assert_eq!(
        ledger.lines.iter().map(|line| line.credit).sum::<Money>(),
        units(7_500)
    );
    assert_eq!(ledger.closing, units(24_800));
    // A later stretch begins with what went before.
    let rest = account_ledger(
        cash,
        range("2019-01-15", "2019-01-31"),
        units(23_600),
        &entries,
    );
    assert_eq!((rest.lines.len(), rest.closing), (4, units(24_800)));
}

/// OpenStax, section 3.5: assets 32,600 after the first six entries.
#[test]
fn the_accounting_equation_holds_on_the_way() {
    let chart = printing_chart();
    let sheet = balance_sheet(&chart, &balances(&january(&chart)[..6]), day("2019-01-14"));
    assert_eq!(sheet.totals.assets, units(23_600 + 5_500 + 3_500));
    assert_eq!(sheet.totals.liabilities, units(3_500 + 4_000));
    assert_eq!(sheet.totals.equity, units(20_000 - 100 + 5_500 - 300));
    assert!(sheet.is_balanced());
}

/// OpenStax, section 3.6.
#[test]
fn the_unadjusted_trial_balance_is_as_printed() {
    let chart = printing_chart();
    check_trial(
        &chart,
        &balances(&january(&chart)[..12]),
        34_000,
        &[
            ("Cash", 24_800),
            ("Accounts Receivable", 1_200),
            ("Supplies", 500),
            ("Equipment", 3_500),
            ("Accounts Payable", -500),
            ("Unearned Revenue", -4_000),
            ("Common Stock", -20_000),
            ("Dividends", 100),
            ("Service Revenue", -9_500),
            ("Salaries Expense", 3_600),
            ("Utility Expense", 300),
        ],
    );
}

/// OpenStax, section 4.3: the adjustment columns total 2,415 each side; every adjusting entry touches one account of
/// the profit statement and one of the balance sheet, and never cash.
#[test]
fn adjusting_entries_are_as_described() {
    let chart = printing_chart();
    let entries = january(&chart);
    let adjusting = &entries[12..];
    let total: Money = adjusting.iter().map(|posted| posted.entry.total()).sum();
    assert_eq!(total, units(2_415));
    let cash = chart.role(Role::BusinessBank).expect("cash");
    for posted in adjusting {
        let lines = posted.entry.lines();
        let of_profit = lines.iter().filter(|line| {
            chart
                .account(line.account)
                .expect("known")
                .class
                .is_profit_and_loss()
        });
        assert_eq!(of_profit.count(), 1);
        assert!(lines.iter().all(|line| line.account != cash));
    }
}

/// OpenStax, section 4.4.
#[test]
fn the_adjusted_trial_balance_is_as_printed() {
    let chart = printing_chart();
    check_trial(
        &chart,
        &balances(&january(&chart)),
        35_715,
        &[
            ("Cash", 24_800),
            ("Accounts Receivable", 1_200),
            ("Interest Receivable", 140),
            ("Supplies", 400),
            ("Equipment", 3_500),
            ("Accumulated Depreciation: Equipment", -75),
            ("Accounts Payable", -500),
            ("Salaries Payable", -1_500),
            ("Unearned Revenue", -3_400),
            ("Common Stock", -20_000),
            ("Dividends", 100),
            ("Service Revenue", -10_100),
            ("Interest Revenue", -140),
            ("Supplies Expense", 100),
            ("Depreciation Expense: Equipment", 75),
            ("Salaries Expense", 5_100),
            ("Utility Expense", 300),
        ],
    );
}

/// OpenStax, section 4.5: income 10,240, expenses 5,575, net income 4,665.
#[test]
fn the_profit_statement_is_as_printed() {
    let chart = printing_chart();
    let month = range("2019-01-01", "2019-01-31");
    let profit = profit_statement(&chart, &balances(&january(&chart)), month);
    let amount = |name: &str| {
        let line = profit.lines.iter().find(|line| line.name == name);
        line.map(|line| line.amount)
    };
    for (name, printed) in [
        ("Service Revenue", 10_100),
        ("Interest Revenue", 140),
        ("Supplies Expense", 100),
        ("Depreciation Expense: Equipment", 75),
        ("Salaries Expense", 5_100),
        ("Utility Expense", 300),
    ] {
        assert_eq!(amount(name), Some(units(printed)), "{name}");
    }
    assert_eq!(profit.lines.len(), 6);
    let totals = profit.totals;
    assert_eq!(totals.net_sales + totals.other_income, units(10_240));
    assert_eq!(totals.costs + totals.cost_of_goods_sold, units(5_575));
    assert_eq!(totals.net_profit, units(4_665));
}

/// OpenStax, section 4.5: retained earnings 0 + 4,665 − 100 = 4,565, with the stock of 20,000 together 24,565; the
/// balance sheet: assets 29,965, liabilities 5,400, equity 24,565.
#[test]
fn capital_and_balance_sheet_are_as_printed() {
    let chart = printing_chart();
    let all = balances(&january(&chart));
    let month = range("2019-01-01", "2019-01-31");
    let capital = capital_statement(&chart, &Balances::new(), &all, month);
    assert_eq!(capital.opening, Money::ZERO);
    assert_eq!(
        (capital.money_in, capital.money_out),
        (units(20_000), units(100))
    );
    assert_eq!(
        (capital.profit, capital.closing),
        (units(4_665), units(24_565))
    );
    assert_eq!(
        capital.opening + capital.profit - capital.money_out,
        units(4_565)
    );

    let sheet = balance_sheet(&chart, &all, month.to);
    let totals = sheet.totals;
    assert_eq!(totals.assets, units(29_965));
    assert_eq!(totals.liabilities, units(5_400));
    assert_eq!(totals.equity, units(24_565));
    let equipment: Money = sheet
        .lines
        .iter()
        .filter(|line| line.group == "Equipment")
        .map(|line| line.amount)
        .sum();
    assert_eq!(equipment, units(3_425));
}

/// OpenStax, sections 5.1 and 5.2: closing entries and the post-closing trial balance.
#[test]
fn closing_leaves_the_post_closing_trial_balance() {
    let chart = printing_chart();
    let mut entries = january(&chart);
    let month = range("2019-01-01", "2019-01-31");
    let closing = closing_entry_to(
        &chart,
        &balances(&entries),
        month,
        DrawingsCloseTo::ProfitBroughtForward,
    )
    .expect("something to close");
    assert_eq!(
        (closing.header.kind, closing.header.date),
        (EntryKind::Closing, month.to)
    );
    let sum_of = |class: AccountClass| -> Money {
        let lines = closing.lines().iter();
        lines
            .filter(|line| chart.account(line.account).expect("known").class == class)
            .map(|line| line.amount)
            .sum()
    };
    assert_eq!(sum_of(AccountClass::Income), units(10_240));
    assert_eq!(sum_of(AccountClass::Expense), units(-5_575));
    let mut last = entries[0].clone();
    last.number = EntryNumber(18);
    last.entry = closing;
    entries.push(last);
    let all = balances(&entries);
    check_trial(
        &chart,
        &all,
        30_040,
        &[
            ("Cash", 24_800),
            ("Accounts Receivable", 1_200),
            ("Interest Receivable", 140),
            ("Supplies", 400),
            ("Equipment", 3_500),
            ("Accumulated Depreciation: Equipment", -75),
            ("Accounts Payable", -500),
            ("Salaries Payable", -1_500),
            ("Unearned Revenue", -3_400),
            ("Common Stock", -20_000),
            ("Retained Earnings", -4_565),
        ],
    );
    let sheet = balance_sheet(&chart, &all, month.to);
    assert_eq!(
        (sheet.totals.assets, sheet.totals.equity),
        (units(29_965), units(24_565))
    );
    assert!(
        sheet.lines.iter().all(|line| line.account.is_some()),
        "all profit is closed"
    );
    assert!(
        closing_entry(&chart, &all, month).is_err(),
        "a year is closed once"
    );
    // The month that follows opens with what was closed.
    let february = range("2019-02-01", "2019-02-28");
    let capital = capital_statement(&chart, &all, &Balances::new(), february);
    assert_eq!(
        (capital.opening, capital.closing),
        (units(24_565), units(24_565))
    );
}

/// A sole owner's drawings are closed against the capital (common practice, no source); equity stays the same.
#[test]
fn a_sole_owners_drawings_close_against_capital() {
    let chart = printing_chart();
    let entries = january(&chart);
    let month = range("2019-01-01", "2019-01-31");
    let mut all = balances(&entries);
    let closing = closing_entry(&chart, &all, month).expect("something to close");
    all.merge(&Balances::of_entries([&closing]));
    let net = |role| all.net(chart.role(role).expect("an account"));
    assert_eq!(net(Role::OwnerCapital), units(-19_900));
    assert_eq!(net(Role::ProfitBroughtForward), units(-4_665));
    assert_eq!(net(Role::OwnerDrawings), Money::ZERO);
    assert_eq!(
        balance_sheet(&chart, &all, month.to).totals.equity,
        units(24_565)
    );
}

#[test]
fn the_journal_shows_each_entry_on_its_sides() {
    let chart = printing_chart();
    let rows = journal(&chart, &january(&chart));
    assert_eq!(rows.len(), 17);
    assert_eq!(
        (rows[0].lines[0].name.as_str(), rows[0].lines[0].debit),
        ("Cash", units(20_000))
    );
    assert_eq!(
        (rows[0].lines[1].number.as_str(), rows[0].lines[1].credit),
        ("301", units(20_000))
    );
    for row in rows {
        let debits: Money = row.lines.iter().map(|line| line.debit).sum();
        let credits: Money = row.lines.iter().map(|line| line.credit).sum();
        assert_eq!(debits, credits);
    }
}

/// OpenStax, section 3.6: the short trial balance, both sides 4,500.
#[test]
fn the_short_trial_balance_adds_up() {
    use AccountClass::{Asset, Equity, Expense, Income, Liability};
    let chart = Chart::new([
        account(1, "Cash", Asset, "Money", None, false),
        account(2, "Accounts Receivable", Asset, "Owed to you", None, false),
        account(3, "Accounts Payable", Liability, "Bills", None, false),
        account(4, "Common Stock", Equity, "Capital", None, false),
        account(
            5,
            "Service Revenue",
            Income,
            Account::SALES_GROUP,
            None,
            false,
        ),
        account(
            6,
            "Advertising Expense",
            Expense,
            "Advertising",
            None,
            false,
        ),
    ])
    .expect("a chart");
    let mut all = Balances::new();
    let printed = [
        ("Cash", 4_000),
        ("Accounts Receivable", 400),
        ("Accounts Payable", -50),
        ("Common Stock", -2_050),
        ("Service Revenue", -2_400),
        ("Advertising Expense", 100),
    ];
    for (name, net) in printed {
        all.add(chart.find(name).expect("an account").id, units(net));
    }
    assert_eq!(all.total(), Money::ZERO);
    check_trial(&chart, &all, 4_500, &printed);
}
