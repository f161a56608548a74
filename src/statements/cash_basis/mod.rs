//! Profit on the cash basis beside the accrual one, from the same ledger, with the bridge between the two.
//! Which entries are read is the reports' business; how each moves the two apart is `walk`'s, what waits to be paid `pool`'s.

mod pool;
mod walk;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::arrange::{StatementLine, by_group, natural};
use super::profit::{ProfitSection, ProfitStatement, ProfitTotals};
use crate::dates::DateRange;
use crate::ledger::{Account, AccountClass, AccountId, Chart, EntryNumber, PostedEntry, Role};
use crate::money::Money;
use crate::word_list::word_list;

word_list! {
    /// When sales and costs count.
    #[derive(Default)]
    Basis, "a basis":
    /// On the day they happen.
    #[default]
    Accrual = "accrual" / "when it happens (accrual basis)",
    /// On the day they are paid.
    Cash = "cash" / "when it is paid (cash basis)",
}

/// What the cash basis here does and does not do; stands beneath every statement on it.
pub const CASH_NOTE: &str = "Sales and costs count when they are paid. What a shop lets you have counts on the day of the sale, \
     money it holds does not; a thing bought by card counts on the day of the purchase. This is common practice (constructive \
     receipt). Stock and wear stay as in the books: things bought for stock count when they are sold.";

/// The caution beside every figure on the cash basis.
pub const CASH_CAUTION: &str = "Which basis you may use, what counts as received, and how stock, equipment and things paid ahead are treated \
     depends on where you are: confirm with local rules and a licensed professional.";

/// The roles of the accounts that move the two bases apart.
pub const TIMING_ROLES: [Role; 5] = [
    Role::CustomersOwe,
    Role::InDispute,
    Role::CustomerDeposits,
    Role::PaidInAdvance,
    Role::BillsToPay,
];

/// What a shop held back before the range and at its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeldByShop {
    /// The shop's account.
    pub channel: AccountId,
    /// Held at the end of the day before the range.
    pub at_beginning: Money,
    /// Held at the end of the range.
    pub at_end: Money,
}

/// One line of the cash statement, in the direction of its section: sales and costs are positive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CashLine {
    /// Where it stands.
    pub section: ProfitSection,
    /// The account; for money whose kind is not known yet the account it waits on.
    pub account: AccountId,
    /// The heading it stands under.
    pub group: String,
    /// The account's number.
    pub number: String,
    /// What is counted.
    pub name: String,
    /// By the books.
    pub accrual: Money,
    /// What is added to come to what was paid.
    pub timing: Money,
    /// What counts on the cash basis.
    pub cash: Money,
}

/// One step from the accrual profit to the cash profit: an account that lies between the two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BasisStep {
    /// The account.
    pub account: AccountId,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// Profit that the books knew at the beginning and the cash basis did not; below nothing for the opposite.
    pub at_beginning: Money,
    /// The same at the end.
    pub at_end: Money,
    /// What is added to the accrual profit: beginning less end.
    pub effect: Money,
    /// The entries of the range behind it.
    pub entries: Vec<EntryNumber>,
}

impl BasisStep {
    /// What the step says, in plain words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        if self.effect.is_negative() {
            "counts less than by the books: paid later, or counted earlier"
        } else if self.effect.is_positive() {
            "counts more than by the books: paid now, or ahead"
        } else {
            "comes to the same"
        }
    }
}

/// Profit on the cash basis, and how it comes from the accrual one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CashBasis {
    /// The days it covers.
    pub range: DateRange,
    /// Every line, section by section.
    pub lines: Vec<CashLine>,
    /// The sums by the books.
    pub accrual: ProfitTotals,
    /// The sums on the cash basis.
    pub totals: ProfitTotals,
    /// The steps from the accrual net profit to the cash one; they tie exactly.
    pub bridge: Vec<BasisStep>,
}

impl CashBasis {
    /// The cash amounts as a profit statement, for whatever takes one.
    #[must_use]
    pub fn statement(&self) -> ProfitStatement {
        let lines = self.lines.iter().filter(|line| !line.cash.is_zero());
        ProfitStatement {
            range: self.range,
            lines: lines
                .map(|line| StatementLine {
                    account: line.account,
                    group: line.group.clone(),
                    number: line.number.clone(),
                    name: line.name.clone(),
                    amount: line.cash,
                })
                .collect(),
            totals: self.totals,
        }
    }
}

/// Works the cash basis out: `accrual` is the profit of the range by the books, `entries` all entries up to its end
/// that touch an account of [`TIMING_ROLES`], in any order; closing entries are none of them. Opening balances on `first_day` count as there before.
#[must_use]
pub fn cash_basis(
    chart: &Chart,
    accrual: &ProfitStatement,
    entries: &[PostedEntry],
    held: &[HeldByShop],
    first_day: NaiveDate,
) -> CashBasis {
    let mut walk = walk::Walk::new(chart, accrual.range, first_day);
    let mut in_order: Vec<&PostedEntry> = entries.iter().collect();
    in_order.sort_by_key(|posted| (posted.entry.header.date, posted.number));
    for posted in in_order {
        walk.entry(posted);
    }
    let mut moved = walk.moved;
    let mut bridge: Vec<BasisStep> = Vec::new();
    for role in TIMING_ROLES {
        let Some(account) = chart.role(role).ok().and_then(|id| chart.account(id).ok()) else {
            continue;
        };
        let (at_beginning, at_end) = (
            walk.at_beginning.get(&account.id).copied(),
            walk.at_end.get(&account.id).copied(),
        );
        let entries = walk.behind.remove(&account.id).unwrap_or_default();
        bridge.extend(step(
            account,
            at_beginning.unwrap_or_default(),
            at_end.unwrap_or_default(),
            entries,
        ));
    }
    for shop in held {
        let Ok(account) = chart.account(shop.channel) else {
            continue;
        };
        *moved.entry(shop.channel).or_default() += shop.at_end - shop.at_beginning;
        let of_shop = step(account, shop.at_beginning, shop.at_end, Vec::new());
        bridge.extend(of_shop.map(|step| BasisStep {
            name: format!("Held by {}", account.name),
            ..step
        }));
    }
    let lines = lines(chart, accrual, &moved);
    CashBasis {
        range: accrual.range,
        accrual: accrual.totals,
        totals: totals(&lines),
        lines,
        bridge,
    }
}

fn step(
    account: &Account,
    at_beginning: Money,
    at_end: Money,
    entries: Vec<EntryNumber>,
) -> Option<BasisStep> {
    if at_beginning.is_zero() && at_end.is_zero() && entries.is_empty() {
        return None;
    }
    Some(BasisStep {
        account: account.id,
        number: account.number.clone(),
        name: account.name.clone(),
        at_beginning,
        at_end,
        effect: at_beginning - at_end,
        entries,
    })
}

fn name_of(account: &Account) -> String {
    match account.role {
        Some(Role::CustomersOwe | Role::BillsToPay | Role::InDispute) => {
            format!("{}: kind not known", account.name)
        }
        _ if account.is_channel() => format!("Held by {}", account.name),
        _ => account.name.clone(),
    }
}

fn lines(
    chart: &Chart,
    accrual: &ProfitStatement,
    moved: &BTreeMap<AccountId, Money>,
) -> Vec<CashLine> {
    let by_books: BTreeMap<AccountId, Money> = accrual
        .lines
        .iter()
        .map(|line| (line.account, line.amount))
        .collect();
    let all = chart.accounts();
    let mut lines = Vec::new();
    for section in ProfitSection::ALL {
        let in_section = all
            .iter()
            .copied()
            .filter(|one| ProfitSection::on_any_basis(one) == section);
        // What lies between stands after the accounts that it will go to.
        let (of_profit, between): (Vec<&Account>, Vec<&Account>) =
            in_section.partition(|one| one.class.is_profit_and_loss());
        let arranged = by_group(of_profit).into_iter().chain(between);
        for account in arranged {
            let debit = moved.get(&account.id).copied().unwrap_or_default();
            let accrual = by_books.get(&account.id).copied().unwrap_or_default();
            let timing = if account.class.is_profit_and_loss() {
                natural(account, debit)
            } else if section == ProfitSection::Costs {
                debit
            } else {
                -debit
            };
            if accrual.is_zero() && timing.is_zero() {
                continue;
            }
            let is_between = !account.class.is_profit_and_loss();
            lines.push(CashLine {
                section,
                account: account.id,
                group: if is_between {
                    "Counted when paid".to_owned()
                } else {
                    account.group.clone()
                },
                number: account.number.clone(),
                name: name_of(account),
                accrual,
                timing,
                cash: accrual + timing,
            });
        }
    }
    lines
}

fn totals(lines: &[CashLine]) -> ProfitTotals {
    let sum = |section: ProfitSection| -> Money {
        let of_it = lines.iter().filter(|line| line.section == section);
        of_it.map(|line| line.cash).sum()
    };
    let net_sales = sum(ProfitSection::Sales);
    let cost_of_goods_sold = sum(ProfitSection::CostOfGoodsSold);
    let other_income = sum(ProfitSection::OtherIncome);
    let costs = sum(ProfitSection::Costs);
    let gross_profit = net_sales - cost_of_goods_sold;
    ProfitTotals {
        net_sales,
        cost_of_goods_sold,
        gross_profit,
        other_income,
        costs,
        net_profit: gross_profit + other_income - costs,
    }
}

/// Whether a line of this account pays: money, cards, shops, loans, and what lies between the business and its owner.
/// What nobody can explain yet counts among them, for it came from money.
fn pays(account: &Account) -> bool {
    match account.role {
        Some(
            Role::CreditCard
            | Role::Loans
            | Role::OwedByOwner
            | Role::OwedToOwner
            | Role::NotExplained,
        ) => true,
        Some(Role::BillsToPay | Role::SalesTax | Role::CustomerDeposits) => false,
        _ => {
            account.is_money()
                || account.is_channel()
                || account.class == AccountClass::Equity
                // A second card or a second loan has no role of its own.
                || (account.role.is_none()
                    && account.class == AccountClass::Liability
                    && account.group != "Held for others")
        }
    }
}
