//! A year's profit sorted by the lines of a tax form: what stands on each line, from which accounts, what has no line.
//! The lines themselves are data of `assets/forms`, read by `file`; which book and year is the reports' business.

mod file;

use std::collections::BTreeMap;

pub use file::{FormFault, FormFile, LeftOut, LineRule, Side, forms, nearest};

use crate::dates::DateRange;
use crate::ledger::{AccountClass, AccountId, Chart};
use crate::money::Money;
use crate::statements::{Basis, GoodsSold, ProfitSection, ProfitStatement, StatementLine};

/// The caution beside every list of form lines.
pub const FORM_CAUTION: &str = "A sorting aid, not a return: where money belongs on a tax form, what may be deducted and which form \
     is yours depends on local rules. Hold it against the form of your year and confirm with a licensed professional.";

/// An account's part of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormAccount {
    /// The account.
    pub account: AccountId,
    /// Its number and name.
    pub title: String,
    /// Its amount in the direction of the line; for accounts without a line, what they add to profit.
    pub amount: Money,
    /// Why the form does not take it; empty for accounts that stand on a line.
    pub why: String,
}

/// A line with what stands on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormLine {
    /// Its number on the form.
    pub number: String,
    /// The part of the form.
    pub part: String,
    /// What it is, in short words.
    pub what: String,
    /// The amount; none where the form asks for words.
    pub amount: Option<Money>,
    /// The words, where the form asks for them.
    pub words: String,
    /// The accounts in it.
    pub accounts: Vec<FormAccount>,
    /// Whether it is worked out from other lines.
    pub is_worked_out: bool,
    /// The lines it adds, for one that is worked out.
    pub plus: Vec<String>,
    /// The lines it takes off.
    pub minus: Vec<String>,
    /// Whether the line could not be held against the published form.
    pub is_unverified: bool,
}

/// A year sorted by the lines of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormLines {
    /// The form's name in files and settings.
    pub form: String,
    /// Its title.
    pub title: String,
    /// The tax year whose lines these are, as it is written.
    pub for_year: String,
    /// Where the lines are from.
    pub source: String,
    /// The day that was checked.
    pub checked: String,
    /// The days covered.
    pub range: DateRange,
    /// The basis of the figures.
    pub basis: Basis,
    /// Said when the form of the year asked for is not known and another year's lines stand in.
    pub assumed: Option<String>,
    /// Every line of the form.
    pub lines: Vec<FormLine>,
    /// Accounts that the form does not take.
    pub left_out: Vec<FormAccount>,
    /// Accounts that nothing gives a line.
    pub without_line: Vec<FormAccount>,
    /// The amount of the line of the net profit.
    pub net: Money,
    /// That line's number; empty where the form has none.
    pub net_line: String,
    /// The net profit of the statement.
    pub profit: Money,
}

impl FormLines {
    /// What the form does not take, as it adds to profit.
    #[must_use]
    pub fn not_taken(&self) -> Money {
        let both = self.left_out.iter().chain(&self.without_line);
        both.map(|one| one.amount).sum()
    }

    /// Whether the form's net profit and what it does not take come to the profit of the statement.
    #[must_use]
    pub fn ties(&self) -> bool {
        self.net + self.not_taken() == self.profit
    }
}

/// Sorts a statement by the lines of a form. `goods` is the working of what the goods sold cost, for forms that ask for
/// it; `own_lines` says whether the lines that accounts name are this form's.
#[must_use]
pub fn form_lines(
    form: &FormFile,
    chart: &Chart,
    statement: &ProfitStatement,
    basis: Basis,
    goods: &GoodsSold,
    own_lines: bool,
) -> FormLines {
    let mut sums: BTreeMap<&str, Vec<FormAccount>> = BTreeMap::new();
    let (mut left_out, mut without_line) = (Vec::new(), Vec::new());
    for line in &statement.lines {
        let one = FormAccount {
            account: line.account,
            title: format!("{} {}", line.number, line.name),
            amount: profit_of(chart, line),
            why: String::new(),
        };
        match place(form, chart, line.account, own_lines) {
            Place::Line(number) => sums.entry(number).or_default().push(one),
            Place::LeftOut(why) => left_out.push(FormAccount {
                why: why.to_owned(),
                ..one
            }),
            Place::Nowhere => without_line.push(one),
        }
    }
    let goods_cost: Option<Money> = form.goods_line.as_deref().map(|line| {
        let parts = sums.get(line).into_iter().flatten();
        -parts.map(|one| one.amount).sum::<Money>()
    });
    let mut lines: Vec<FormLine> = Vec::new();
    for rule in &form.lines {
        let on_line = sums.remove(rule.number.as_str()).unwrap_or_default();
        lines.push(line(rule, on_line, goods, goods_cost));
    }
    work_out(form, &mut lines);
    let net = form.lines.iter().zip(&lines).find(|(rule, _)| rule.net);
    FormLines {
        form: form.form.clone(),
        title: form.title.clone(),
        for_year: form.for_year.clone(),
        source: form.source.clone(),
        checked: form.checked.clone(),
        range: statement.range,
        basis,
        assumed: None,
        net: net.and_then(|(_, line)| line.amount).unwrap_or_default(),
        net_line: net.map(|(rule, _)| rule.number.clone()).unwrap_or_default(),
        profit: statement.totals.net_profit,
        lines,
        left_out,
        without_line,
    }
}

enum Place<'a> {
    Line(&'a str),
    LeftOut(&'a str),
    Nowhere,
}

fn place<'a>(form: &'a FormFile, chart: &Chart, account: AccountId, own_lines: bool) -> Place<'a> {
    let Ok(account) = chart.account(account) else {
        return Place::Nowhere;
    };
    let own = account.form_line.as_deref().filter(|_| own_lines);
    if let Some(line) = own.and_then(|own| form.place_of(own.trim())) {
        return Place::Line(line);
    }
    let Some(role) = account.role else {
        // A shop beside the first has no role of its own.
        return match form.place_of_role("payouts-due") {
            Some(line) if account.is_channel() => Place::Line(line),
            _ => Place::Nowhere,
        };
    };
    if let Some(line) = form.place_of_role(role.as_str()) {
        return Place::Line(line);
    }
    let left_out = form.left_out.iter().find(|one| one.role == role.as_str());
    left_out.map_or(Place::Nowhere, |one| Place::LeftOut(&one.why))
}

/// What a line of the statement adds to profit.
fn profit_of(chart: &Chart, line: &StatementLine) -> Money {
    let is_cost = chart.account(line.account).is_ok_and(|account| {
        account.class == AccountClass::Expense
            || (!account.class.is_profit_and_loss()
                && ProfitSection::on_any_basis(account) == ProfitSection::Costs)
    });
    if is_cost { -line.amount } else { line.amount }
}

fn line(
    rule: &LineRule,
    on_line: Vec<FormAccount>,
    goods: &GoodsSold,
    goods_cost: Option<Money>,
) -> FormLine {
    // On the cash basis unpaid costs of making may be missing: they are other costs of the working.
    let other = goods.other + goods_cost.map_or(Money::ZERO, |cost| cost - goods.sold());
    let (amount, words) = match rule.goods.as_deref() {
        Some("method") => (None, "cost"),
        Some("change") => (None, "yours to answer"),
        Some("opening") => (Some(goods.opening), ""),
        Some("purchases") => (Some(goods.net_purchases()), ""),
        Some("labour") => (Some(goods.labour), ""),
        Some("materials") => (Some(goods.materials), ""),
        Some("other") => (Some(other), ""),
        Some("closing") => (Some(goods.closing), ""),
        _ => (Some(Money::ZERO), ""),
    };
    let turned = |one: FormAccount| match rule.side {
        Some(Side::Income) => one,
        _ => FormAccount {
            amount: -one.amount,
            ..one
        },
    };
    let accounts: Vec<FormAccount> = on_line.into_iter().map(turned).collect();
    let own: Money = accounts.iter().map(|one| one.amount).sum();
    FormLine {
        number: rule.number.clone(),
        part: rule.part.clone(),
        what: rule.what.clone(),
        // A line worked out from others only names the accounts behind it.
        amount: if rule.side.is_some() {
            Some(own)
        } else {
            amount
        },
        words: words.to_owned(),
        accounts,
        is_worked_out: rule.is_worked_out(),
        plus: rule.plus.clone(),
        minus: rule.minus.clone(),
        is_unverified: rule.unverified,
    }
}

/// Fills the lines that others make up; a form's lines may stand in any order.
fn work_out(form: &FormFile, lines: &mut [FormLine]) {
    let mut known: BTreeMap<String, Money> = form
        .lines
        .iter()
        .zip(lines.iter())
        .filter(|(rule, _)| !rule.is_worked_out())
        .map(|(rule, line)| (rule.number.clone(), line.amount.unwrap_or_default()))
        .collect();
    let mut left: Vec<usize> = (0..lines.len())
        .filter(|idx| form.lines[*idx].is_worked_out())
        .collect();
    while !left.is_empty() {
        let n_before = left.len();
        left.retain(|idx| {
            let rule = &form.lines[*idx];
            let sum = |numbers: &[String]| -> Option<Money> {
                numbers
                    .iter()
                    .map(|number| known.get(number).copied())
                    .sum()
            };
            let (Some(plus), Some(minus)) = (sum(&rule.plus), sum(&rule.minus)) else {
                return true;
            };
            lines[*idx].amount = Some(plus - minus);
            known.insert(rule.number.clone(), plus - minus);
            false
        });
        // Lines that go round in a circle are refused when the file is read.
        if left.len() == n_before {
            return;
        }
    }
}
