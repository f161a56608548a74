//! The working behind a figure: the lines of its formula, then the entries it is made of.
//! Reads the book and draws nothing.

use chrono::NaiveDate;

use super::free;
use super::movements;
use super::rooms;
use super::shops;
use super::source::{BalanceFigure, ProfitFigure, Source};
use super::stock;
use crate::app::screens::facts::Facts;
use crate::book::{AccountLine, Book, Closings};
use crate::dates::{DateRange, show_day};
use crate::ledger::{Account, AccountClass, AccountId, Balances, EntryKind, EntryNumber};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::statements::{ProfitSection, ProfitStatement, balance_sheet};

/// A figure with its working.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Explanation {
    /// What the figure is.
    pub title: String,
    /// It in a sentence.
    pub sentence: String,
    /// The figure.
    pub amount: Money,
    /// The lines of its formula; empty when it is made of entries alone.
    pub terms: Vec<TermRow>,
    /// The entries it is made of, oldest first.
    pub entries: Vec<EntryRow>,
    /// Whether its figures are an estimate that needs the caution beside it.
    pub is_estimate: bool,
}

/// One line of a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TermRow {
    /// What it is.
    pub label: String,
    /// How it comes about.
    pub how: String,
    /// Its amount.
    pub amount: Money,
    /// What explains it in turn.
    pub source: Option<Source>,
    /// Whether it is the result.
    pub is_total: bool,
}

/// One entry behind a figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryRow {
    /// Its number.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// What it was.
    pub what: String,
    /// What it adds to the figure.
    pub amount: Money,
}

impl Explanation {
    pub(super) fn new(title: impl Into<String>, sentence: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            sentence: sentence.into(),
            ..Self::default()
        }
    }

    pub(super) fn term(
        &mut self,
        label: impl Into<String>,
        how: impl Into<String>,
        amount: Money,
        source: Option<Source>,
    ) {
        self.terms.push(TermRow {
            label: label.into(),
            how: how.into(),
            amount,
            source,
            is_total: false,
        });
    }

    pub(super) fn result(
        mut self,
        label: impl Into<String>,
        how: impl Into<String>,
        amount: Money,
    ) -> Self {
        self.amount = amount;
        self.terms.push(TermRow {
            label: label.into(),
            how: how.into(),
            amount,
            source: None,
            is_total: true,
        });
        self
    }
}

/// Explains a figure.
///
/// # Errors
/// When the book cannot be read.
pub fn explain(book: &Book, facts: &Facts, source: &Source) -> Result<Explanation, ReportError> {
    match source {
        Source::Balance(account, on) => {
            let range = DateRange {
                from: facts.first_day,
                to: *on,
            };
            of_account(
                book,
                *account,
                range,
                format!("at the end of {}", show_day(*on)),
            )
        }
        Source::Movement(account, range) => of_movement(book, *account, *range),
        Source::Group(group, range) => Ok(of_group(book, group, *range)?),
        Source::GroupBalance(group, on) => {
            Ok(of_group_balance(facts, group, *on, &book.balances_to(*on)?))
        }
        Source::Profit(figure, range) => {
            Ok(of_profit(facts, &reports::profit(book, *range)?, *figure))
        }
        Source::BalanceTotal(figure, on) => of_balance_total(book, *figure, *on),
        Source::MoneyInHand(on) => Ok(rooms::money_in_hand(facts, *on, &book.balances_to(*on)?)),
        Source::FreeToSpend => Ok(free::free_explanation(&facts.free)),
        Source::FreeTerm(term) => Ok(free::term(facts, *term)),
        Source::CostToStart => Ok(rooms::cost_to_start(facts)),
        Source::SetAside(no) => Ok(rooms::set_aside(facts, *no)),
        Source::Channel(account) => shops::channel(book, facts, *account),
        Source::ChannelStatement(account, range) => {
            shops::channel_statement(book, facts, *account, *range)
        }
        Source::Shops(figure, range) => shops::all_shops(book, facts, *figure, *range),
        Source::Held(shop, on) => shops::held(book, *shop, *on),
        Source::Postage(range) => shops::postage(book, *range),
        Source::OfKind(kind, range) => rooms::of_kind(book, *kind, *range),
        Source::Yearly => rooms::yearly(book),
        Source::UsedUp => rooms::used_up(book, facts),
        Source::Equipment(key) => rooms::equipment(book, facts, key),
        Source::Stock(on) => stock::all(book, *on),
        Source::OrderCost(id, on) => stock::order(book, *id, *on),
        Source::ItemValue(code, on) => stock::item(book, code, *on),
        Source::NotItemised(role, on) => stock::not_itemised(book, *role, *on),
        Source::Capital(range) => rooms::capital(book, facts, *range),
        Source::MoneyMoved(kind, flow, range) => movements::money_moved(book, *kind, *flow, *range),
        Source::Supplier(party, way, range) => movements::supplier(book, party, *way, *range),
        Source::EquipmentMoved(key, figure, range) => {
            movements::equipment(book, key.as_deref(), *figure, *range)
        }
        Source::DueSoon => Ok(free::due_soon(facts)),
        Source::Entry(number) => {
            let posted = book.entry(*number)?;
            let mut answer =
                Explanation::new(format!("Entry {number}"), posted.entry.header.memo.clone());
            for line in posted.entry.lines() {
                answer.term(
                    book.chart().title(line.account),
                    line.memo.clone(),
                    line.amount,
                    None,
                );
            }
            Ok(answer)
        }
    }
}

/// The sign a person expects: what an account usually holds is positive.
#[must_use]
pub fn natural(account: &Account, net: Money) -> Money {
    if account.class.is_debit_side() {
        net
    } else {
        -net
    }
}

/// A range in words.
#[must_use]
pub fn in_words(range: DateRange) -> String {
    format!("{} to {}", show_day(range.from), show_day(range.to))
}

pub(super) fn of_account(
    book: &Book,
    account: AccountId,
    range: DateRange,
    when: String,
) -> Result<Explanation, ReportError> {
    let known = book.chart().account(account)?;
    let lines = book.account_lines(account, range)?;
    let mut answer = Explanation::new(known.title(), when);
    answer.entries = entry_rows(known, &lines);
    answer.amount = answer.entries.iter().map(|row| row.amount).sum();
    Ok(answer)
}

/// What moved on an account without the entries that close a year, which would take it all back.
fn of_movement(
    book: &Book,
    account: AccountId,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let known = book.chart().account(account)?;
    let mut lines = book.account_lines(account, range)?;
    lines.retain(|line| line.kind != EntryKind::Closing);
    let mut answer = Explanation::new(known.title(), in_words(range));
    answer.entries = entry_rows(known, &lines);
    answer.amount = answer.entries.iter().map(|row| row.amount).sum();
    Ok(answer)
}

/// One row an entry, in the order of its lines: a sale with three fees has four lines on its shop's account.
fn entry_rows(account: &Account, lines: &[AccountLine]) -> Vec<EntryRow> {
    let mut rows: Vec<EntryRow> = Vec::new();
    for line in lines {
        let amount = natural(account, line.amount);
        match rows.last_mut() {
            Some(row) if row.number == line.number => row.amount += amount,
            _ => rows.push(EntryRow {
                number: line.number,
                date: line.date,
                what: what_was_it(&line.party, &line.memo, line.kind.plain()),
                amount,
            }),
        }
    }
    rows
}

/// An entry in a few words: from whom and what, or its kind when neither was given.
#[must_use]
pub fn what_was_it(party: &str, memo: &str, kind: &str) -> String {
    match (party.is_empty(), memo.is_empty()) {
        (false, false) => format!("{party}: {memo}"),
        (false, true) => format!("{kind}, {party}"),
        (true, false) => memo.to_owned(),
        (true, true) => kind.to_owned(),
    }
}

fn of_group(book: &Book, group: &str, range: DateRange) -> Result<Explanation, ReportError> {
    let balances = book.balances(range, Closings::Without)?;
    let mut answer = Explanation::new(group, in_words(range));
    for account in book.chart().accounts() {
        let net = balances.net(account.id);
        if account.group == group && !net.is_zero() {
            answer.term(
                account.title(),
                "",
                natural(account, net),
                Some(Source::Movement(account.id, range)),
            );
        }
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result(group, "the lines above together", total))
}

fn of_group_balance(facts: &Facts, group: &str, on: NaiveDate, balances: &Balances) -> Explanation {
    let mut answer = Explanation::new(group, format!("at the end of {}", show_day(on)));
    for account in facts.chart.accounts() {
        let net = balances.net(account.id);
        if account.group == group && !net.is_zero() {
            answer.term(
                account.title(),
                "",
                natural(account, net),
                Some(Source::Balance(account.id, on)),
            );
        }
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    answer.result(group, "the lines above together", total)
}

fn of_profit(facts: &Facts, statement: &ProfitStatement, figure: ProfitFigure) -> Explanation {
    let range = statement.range;
    let totals = &statement.totals;
    let link = |figure| Some(Source::Profit(figure, range));
    let when = in_words(range);
    let (title, section, total) = match figure {
        ProfitFigure::NetProfit => {
            let mut answer = Explanation::new("Profit", when);
            answer.term(
                "Gross profit",
                "sales less what the sold things cost",
                totals.gross_profit,
                link(ProfitFigure::GrossProfit),
            );
            answer.term(
                "Other income",
                "besides selling",
                totals.other_income,
                link(ProfitFigure::OtherIncome),
            );
            answer.term(
                "Running costs",
                "with wear of equipment",
                -totals.costs,
                link(ProfitFigure::Costs),
            );
            return answer.result("Profit", "the lines above together", totals.net_profit);
        }
        ProfitFigure::GrossProfit => {
            let mut answer = Explanation::new("Gross profit", when);
            answer.term(
                "Sales, less refunds and discounts",
                "net sales",
                totals.net_sales,
                link(ProfitFigure::NetSales),
            );
            answer.term(
                "Cost of what was sold",
                "cost of goods sold",
                -totals.cost_of_goods_sold,
                link(ProfitFigure::CostOfGoodsSold),
            );
            return answer.result(
                "Gross profit",
                "the lines above together",
                totals.gross_profit,
            );
        }
        ProfitFigure::NetSales => (
            "Sales, less refunds and discounts",
            ProfitSection::Sales,
            totals.net_sales,
        ),
        ProfitFigure::CostOfGoodsSold => (
            "Cost of goods sold",
            ProfitSection::CostOfGoodsSold,
            totals.cost_of_goods_sold,
        ),
        ProfitFigure::OtherIncome => (
            "Other income",
            ProfitSection::OtherIncome,
            totals.other_income,
        ),
        ProfitFigure::Costs => ("Running costs", ProfitSection::Costs, totals.costs),
    };
    let mut answer = Explanation::new(title, when);
    for line in statement.section(&facts.chart, section) {
        answer.term(
            format!("{} {}", line.number, line.name),
            line.group.clone(),
            line.amount,
            Some(Source::Movement(line.account, range)),
        );
    }
    answer.result(title, "the lines above together", total)
}

fn of_balance_total(
    book: &Book,
    figure: BalanceFigure,
    on: NaiveDate,
) -> Result<Explanation, ReportError> {
    let sheet = balance_sheet(book.chart(), &book.balances_to(on)?, on);
    let (title, class, total) = match figure {
        BalanceFigure::Assets => (
            "What the business has",
            AccountClass::Asset,
            sheet.totals.assets,
        ),
        BalanceFigure::Liabilities => (
            "What it owes",
            AccountClass::Liability,
            sheet.totals.liabilities,
        ),
        BalanceFigure::Equity => (
            "What belongs to you",
            AccountClass::Equity,
            sheet.totals.equity,
        ),
    };
    let mut answer = Explanation::new(title, format!("at the end of {}", show_day(on)));
    for line in sheet.lines.iter().filter(|line| line.class == class) {
        answer.term(
            line.name.clone(),
            line.group.clone(),
            line.amount,
            line.account.map(|account| Source::Balance(account, on)),
        );
    }
    Ok(answer.result(title, "the lines above together", total))
}
