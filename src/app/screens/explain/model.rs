//! The working behind a figure: the lines of its formula, then the entries it is made of.
//! Reads the book and draws nothing.

use chrono::NaiveDate;

use super::source::{BalanceFigure, ProfitFigure, Source};
use crate::app::screens::facts::Facts;
use crate::book::{AccountLine, Book, Closings, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::free_to_spend::Term;
use crate::ledger::{Account, AccountClass, AccountId, Balances, EntryKind, EntryNumber, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::set_aside::Figure;
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
    fn new(title: impl Into<String>, sentence: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            sentence: sentence.into(),
            ..Self::default()
        }
    }

    fn term(
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

    fn result(mut self, label: impl Into<String>, how: impl Into<String>, amount: Money) -> Self {
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
        Source::Movement(account, range) => of_account(book, *account, *range, in_words(*range)),
        Source::Group(group, range) => Ok(of_group(book, group, *range)?),
        Source::GroupBalance(group, on) => {
            Ok(of_group_balance(facts, group, *on, &book.balances_to(*on)?))
        }
        Source::Profit(figure, range) => {
            Ok(of_profit(facts, &reports::profit(book, *range)?, *figure))
        }
        Source::BalanceTotal(figure, on) => of_balance_total(book, *figure, *on),
        Source::MoneyInHand(on) => Ok(money_in_hand(facts, *on, &book.balances_to(*on)?)),
        Source::FreeToSpend => Ok(free(facts)),
        Source::CostToStart => Ok(cost_to_start(facts)),
        Source::SetAside(no) => Ok(set_aside(facts, *no)),
        Source::Channel(account) => channel(book, facts, *account),
        Source::Equipment(key) => equipment(book, facts, key),
        Source::Capital(range) => capital(book, facts, *range),
        Source::DueSoon => Ok(due_soon(facts)),
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

fn of_account(
    book: &Book,
    account: AccountId,
    range: DateRange,
    when: String,
) -> Result<Explanation, ReportError> {
    let known = book.chart().account(account)?;
    let lines = book.account_lines(account, range)?;
    let mut answer = Explanation::new(known.title(), when);
    answer.entries = lines
        .iter()
        .map(|line| entry_row(line, natural(known, line.amount)))
        .collect();
    answer.amount = answer.entries.iter().map(|row| row.amount).sum();
    Ok(answer)
}

fn entry_row(line: &AccountLine, amount: Money) -> EntryRow {
    EntryRow {
        number: line.number,
        date: line.date,
        what: what_was_it(&line.party, &line.memo, line.kind.plain()),
        amount,
    }
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

fn money_in_hand(facts: &Facts, on: NaiveDate, balances: &Balances) -> Explanation {
    let mut answer = Explanation::new(
        "In bank and cash",
        format!("at the end of {}", show_day(on)),
    );
    for account in facts.chart.money_accounts() {
        answer.term(
            account.title(),
            "",
            balances.net(account.id),
            Some(Source::Balance(account.id, on)),
        );
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    answer.result("In bank and cash", "the lines above together", total)
}

fn free(facts: &Facts) -> Explanation {
    let sentence = if facts.free.free.is_negative() {
        "More is promised than is there. Waiting with a purchase, asking a shop for its payout or putting \
         some of your own money in would help."
    } else {
        "What of the money in hand nobody else is waiting for"
    };
    let mut answer = Explanation::new("Free to spend", sentence);
    answer.is_estimate = true;
    for line in &facts.free.lines {
        let (how, source) = match line.term {
            Term::DueSoon => ("within 30 days".to_owned(), Some(Source::DueSoon)),
            Term::SetAsideGap => ("needed less put by".to_owned(), Some(Source::SetAside(0))),
            Term::Reserve => ("your choice".to_owned(), None),
            Term::InHand => (
                "without the set-aside account".to_owned(),
                first_balance(line, facts),
            ),
            _ => (String::new(), first_balance(line, facts)),
        };
        answer.term(line.label, how, line.amount, source);
    }
    answer.result("Free to spend", "the lines above together", facts.free.free)
}

fn first_balance(line: &crate::free_to_spend::FreeLine, facts: &Facts) -> Option<Source> {
    match line.accounts.as_slice() {
        [] => None,
        [account] => Some(Source::Balance(*account, facts.today)),
        [account, ..] if line.term != Term::InHand => facts
            .chart
            .account(*account)
            .ok()
            .map(|account| Source::GroupBalance(account.group.clone(), facts.today)),
        _ => Some(Source::MoneyInHand(facts.today)),
    }
}

fn cost_to_start(facts: &Facts) -> Explanation {
    let mut answer = Explanation::new("It cost to start", facts.start_sentence());
    answer.is_estimate = true;
    let range = DateRange {
        from: facts.first_day,
        to: facts.start.through,
    };
    for line in &facts.start.lines {
        let how = match (line.paid_out.is_zero(), line.brought_in.is_zero()) {
            (false, false) => format!(
                "paid {}, brought in {}",
                facts.show(line.paid_out),
                facts.show(line.brought_in)
            ),
            (true, false) => "brought in".to_owned(),
            _ => "paid".to_owned(),
        };
        answer.term(
            format!("{} {}", line.number, line.name),
            how,
            line.paid_out + line.brought_in,
            Some(Source::Movement(line.account, range)),
        );
    }
    answer.result(
        "It cost to start",
        "the lines above together",
        facts.start.total(),
    )
}

fn set_aside(facts: &Facts, no: u32) -> Explanation {
    let estimate = &facts.estimate;
    let chosen = estimate.lines.iter().find(|line| line.no == no);
    let title = chosen.map_or("Still to set aside", |line| line.label.as_str());
    let mut answer = Explanation::new(title, chosen.map_or("", |line| line.formula.as_str()));
    answer.is_estimate = true;
    for line in &estimate.lines {
        let amount = match line.amount {
            Figure::Money(amount) => amount,
            // A share has no amount; it stands in the words.
            Figure::Percent(_share) => Money::ZERO,
        };
        let how = match line.amount {
            Figure::Money(_amount) => line.formula.clone(),
            Figure::Percent(share) => format!("{share} %, {}", line.formula),
        };
        answer.term(
            format!("{} {}", line.no, line.label),
            how,
            amount,
            source_of_estimate(facts, line.key),
        );
    }
    answer.amount = chosen.map_or(estimate.to_move, |line| line.amount.money());
    answer
}

/// What explains a line of the worksheet in turn, as far as it is a figure of the books.
#[must_use]
pub fn source_of_estimate(facts: &Facts, key: &str) -> Option<Source> {
    let range = DateRange {
        from: facts.year.from,
        to: facts.estimate.as_of,
    };
    let figure = match key {
        "sales" => ProfitFigure::NetSales,
        "cost-of-goods-sold" => ProfitFigure::CostOfGoodsSold,
        "costs" => ProfitFigure::Costs,
        "other-income" => ProfitFigure::OtherIncome,
        "profit" => ProfitFigure::NetProfit,
        "put-by" => {
            let account = facts.chart.role(Role::SetAside).ok()?;
            return Some(Source::Balance(account, facts.estimate.as_of));
        }
        "paid" => {
            let account = facts.chart.role(Role::OwnerDrawings).ok()?;
            return Some(Source::Movement(account, range));
        }
        _ => return None,
    };
    Some(Source::Profit(figure, range))
}

fn channel(book: &Book, facts: &Facts, account: AccountId) -> Result<Explanation, ReportError> {
    let range = DateRange {
        from: facts.first_day,
        to: facts.today,
    };
    let mut answer = of_account(
        book,
        account,
        range,
        "sales less fees, refunds and payouts".to_owned(),
    )?;
    answer.title = format!("{} owes you", facts.chart.account(account)?.name);
    let by_kind = |wanted: fn(EntryKind) -> bool, lines: &[AccountLine]| -> Money {
        lines
            .iter()
            .filter(|line| wanted(line.kind))
            .map(|line| line.amount)
            .sum()
    };
    let lines = book.account_lines(account, range)?;
    let sales = by_kind(|kind| kind == EntryKind::Sale, &lines);
    let refunds = by_kind(|kind| kind == EntryKind::Refund, &lines);
    let payouts = by_kind(|kind| kind == EntryKind::Payout, &lines);
    let rest = answer.amount - sales - refunds - payouts;
    answer.term(
        "Sales after their fees",
        "each sale at its full price, its fees taken off",
        sales,
        None,
    );
    answer.term("Refunds", "given back to customers", refunds, None);
    answer.term("Payouts", "arrived in your account", payouts, None);
    if !rest.is_zero() {
        answer.term(
            "Everything else",
            "opening balance, fees billed, corrections",
            rest,
            None,
        );
    }
    let total = answer.amount;
    Ok(answer.result("Still due", "the lines above together", total))
}

fn equipment(book: &Book, facts: &Facts, key: &str) -> Result<Explanation, ReportError> {
    let Some(piece) = facts.equipment.iter().find(|piece| piece.key == key) else {
        return Ok(Explanation::new(key, "this piece is not in the register"));
    };
    let mut answer = Explanation::new(
        format!("Book value of {}", piece.name),
        format!(
            "at the end of {}; not its price if you sold it",
            show_day(facts.today)
        ),
    );
    let accumulated = piece.accumulated(facts.today, facts.year_start);
    answer.term(
        "Cost",
        format!("bought {}", show_day(piece.bought_on)),
        piece.cost,
        piece.purchase_entry.map(Source::Entry),
    );
    answer.term("Wear so far", "by its schedule", -accumulated, None);
    let filter = EntryFilter {
        equipment: Some(key.to_owned()),
        ..EntryFilter::default()
    };
    let numbers = book.entry_numbers(&filter)?;
    for posted in book.entries(&numbers)? {
        let header = &posted.entry.header;
        let amount = posted
            .entry
            .lines()
            .iter()
            .filter(|line| line.equipment.as_deref() == Some(key))
            .filter(|line| is_register_account(facts, line.account))
            .map(|line| line.amount)
            .sum();
        answer.entries.push(EntryRow {
            number: posted.number,
            date: header.date,
            what: what_was_it(&header.party, &header.memo, header.kind.plain()),
            amount,
        });
    }
    Ok(answer.result(
        "Book value",
        "cost less wear",
        piece.carrying_amount(facts.today, facts.year_start),
    ))
}

fn is_register_account(facts: &Facts, account: AccountId) -> bool {
    facts.chart.has_role(account, Role::Equipment)
        || facts.chart.has_role(account, Role::AccumulatedDepreciation)
}

fn capital(book: &Book, facts: &Facts, range: DateRange) -> Result<Explanation, ReportError> {
    let statement = reports::capital(book, range)?;
    let mut answer = Explanation::new("What belongs to you", in_words(range));
    let before = range.from.pred_opt().unwrap_or(range.from);
    answer.term(
        "At the beginning",
        show_day(range.from),
        statement.opening,
        Some(Source::BalanceTotal(BalanceFigure::Equity, before)),
    );
    let of_role = |role: Role| {
        facts
            .chart
            .role(role)
            .ok()
            .map(|id| Source::Movement(id, range))
    };
    answer.term(
        "Money in",
        "what you put in",
        statement.money_in,
        of_role(Role::OwnerCapital),
    );
    answer.term(
        "Money out",
        "what you took out",
        -statement.money_out,
        of_role(Role::OwnerDrawings),
    );
    answer.term(
        "Profit",
        "of this time",
        statement.profit,
        Some(Source::Profit(ProfitFigure::NetProfit, range)),
    );
    Ok(answer.result("At the end", show_day(range.to), statement.closing))
}

fn due_soon(facts: &Facts) -> Explanation {
    let mut answer = Explanation::new("Recurring purchases due soon", "within 30 days");
    for due in facts.due_within(reports::SOON_DAYS) {
        answer.term(due.name.clone(), show_day(due.due), due.amount, None);
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    answer.result("Due soon", "the lines above together", total)
}
