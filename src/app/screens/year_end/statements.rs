//! The statements as on paper: profit with the year before beside it, by month or quarter; balance sheet, trial
//! balance, owner's capital, channels. Each figure carries where it comes from.

use chrono::NaiveDate;

use crate::app::screens::explain::{BalanceFigure, ProfitFigure, Source};
use crate::app::widgets::{RowRank, StatementRow};
use crate::book::{Book, BookError};
use crate::dates::{DateRange, Month, show_day};
use crate::ledger::AccountClass;
use crate::money::{Currency, Money};
use crate::reports;
use crate::statements::{
    Basis, ProfitSection, ProfitStatement, ProfitTotals, balance_sheet, compare, trial_balance,
};

/// Which statement is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Statement {
    /// The profit statement.
    #[default]
    Profit,
    /// The balance sheet.
    Balance,
    /// The trial balance.
    Trial,
    /// The owner's capital.
    Capital,
    /// Sales by channel.
    Channels,
    /// The year by the lines of a tax form.
    FormLines,
    /// What all money did, month by month.
    Money,
    /// Suppliers by what they were paid.
    Suppliers,
    /// Equipment that came and went.
    Equipment,
}

impl Statement {
    /// Whether it is worked out on one basis or the other.
    #[must_use]
    pub const fn has_basis(self) -> bool {
        matches!(self, Self::Profit | Self::FormLines)
    }

    /// Every statement with its words, in the order of the chooser.
    pub const CHOICES: &[(Self, &str)] = &[
        (Self::Profit, "Profit"),
        (Self::Balance, "Balance sheet"),
        (Self::Trial, "Trial balance"),
        (Self::Capital, "Owner's capital"),
        (Self::Channels, "Channels"),
        (Self::FormLines, "Form lines"),
        (Self::Money, "Money by month"),
        (Self::Suppliers, "Suppliers"),
        (Self::Equipment, "Equipment that came and went"),
    ];
}

/// The bases with their words, in the order of the chooser.
pub const BASES: &[(Basis, &str)] = &[(Basis::Accrual, "Accrual"), (Basis::Cash, "Cash")];

/// How the profit statement is cut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cut {
    /// The year with the year before beside it.
    #[default]
    LastYear,
    /// By quarter.
    Quarter,
    /// By month.
    Month,
}

/// A statement ready to be drawn.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Paper {
    /// Its title.
    pub title: String,
    /// For which time, on which basis.
    pub about: String,
    /// The headings over the figures.
    pub columns: Vec<String>,
    /// Its rows.
    pub rows: Vec<StatementRow>,
    /// Where each figure comes from: by row, by column.
    pub sources: Vec<Vec<Option<Source>>>,
}

impl Paper {
    pub(super) fn push(&mut self, mut row: StatementRow, sources: Vec<Option<Source>>) {
        row.explains = super::words::hint(&row.label);
        self.rows.push(row);
        self.sources.push(sources);
    }

    pub(super) fn heading(&mut self, words: &str) {
        self.push(StatementRow::heading(words), Vec::new());
    }

    /// Where a figure comes from.
    #[must_use]
    pub fn source(&self, row: usize, column: usize) -> Option<&Source> {
        self.sources.get(row)?.get(column)?.as_ref()
    }
}

/// Makes a statement of a financial year, as it stands today; the profit statement on the basis given.
///
/// # Errors
/// When the book cannot be read.
pub fn paper(
    book: &Book,
    year: DateRange,
    which: Statement,
    cut: Cut,
    basis: Basis,
    today: NaiveDate,
) -> Result<Paper, BookError> {
    match which {
        Statement::Profit => match basis {
            Basis::Accrual => profit(book, year, cut),
            Basis::Cash => super::cash::cash_profit(book, year, cut, today),
        },
        Statement::Balance => balance(book, year),
        Statement::Trial => trial(book, year),
        Statement::Capital => capital(book, year),
        Statement::Channels => channels(book, year, today),
        Statement::Money => super::sheets::money_by_month(book, year),
        Statement::Suppliers => super::sheets::suppliers(book, year),
        Statement::Equipment => super::sheets::equipment_moved(book, year),
        Statement::FormLines => super::forms::form_lines(book, year, basis, today),
    }
}

/// The periods that a cut lays side by side, with their headings.
pub(super) fn side_by_side(year: DateRange, cut: Cut) -> (Vec<DateRange>, Vec<String>) {
    let mut parts = match cut {
        Cut::LastYear => {
            let before = year.a_year_before();
            return (vec![year, before], vec![name_of(year), name_of(before)]);
        }
        Cut::Quarter => year.by_quarter(),
        Cut::Month => year.by_month(),
    };
    let names = parts.iter().map(|part| short(*part));
    let names = names.chain(["Year".to_owned()]).collect();
    parts.push(year);
    (parts, names)
}

fn profit(book: &Book, year: DateRange, cut: Cut) -> Result<Paper, BookError> {
    let (ranges, columns) = side_by_side(year, cut);
    let statements: Vec<ProfitStatement> = ranges
        .iter()
        .map(|range| reports::profit(book, *range))
        .collect::<Result<_, _>>()?;
    let mut paper = Paper {
        title: "Profit statement".to_owned(),
        about: format!(
            "{}, accrual basis: sales and costs on the day they happen",
            in_words(year)
        ),
        columns,
        ..Paper::default()
    };
    profit_rows(&mut paper, book, &ranges, &statements);
    Ok(paper)
}

fn profit_rows(
    paper: &mut Paper,
    book: &Book,
    ranges: &[DateRange],
    statements: &[ProfitStatement],
) {
    let currency = book.currency();
    let side_by_side = compare(book.chart(), statements);
    let show = |amount: Money| currency.statement(amount);
    let total = |paper: &mut Paper, label: &str, rank, figure, of: fn(&ProfitTotals) -> Money| {
        let figures = side_by_side
            .totals
            .iter()
            .map(|totals| show(of(totals)))
            .collect();
        let sources = ranges
            .iter()
            .map(|range| Some(Source::Profit(figure, *range)))
            .collect();
        paper.push(StatementRow::new(label, figures).rank(rank), sources);
    };
    let section = |paper: &mut Paper, section: ProfitSection| {
        let rows: Vec<_> = side_by_side
            .rows
            .iter()
            .filter(|row| row.section == section)
            .collect();
        if !rows.is_empty() {
            paper.heading(section.heading());
        }
        for row in rows {
            let figures = row
                .amounts
                .iter()
                .map(|amount| show_or_dash(*amount, currency))
                .collect();
            let sources = ranges
                .iter()
                .map(|range| Some(Source::Movement(row.account, *range)))
                .collect();
            paper.push(
                StatementRow::new(format!("{} {}", row.number, row.name), figures),
                sources,
            );
        }
    };
    section(paper, ProfitSection::Sales);
    total(
        paper,
        "Net sales",
        RowRank::Total,
        ProfitFigure::NetSales,
        |totals| totals.net_sales,
    );
    section(paper, ProfitSection::CostOfGoodsSold);
    total(
        paper,
        "Gross profit",
        RowRank::Total,
        ProfitFigure::GrossProfit,
        |totals| totals.gross_profit,
    );
    section(paper, ProfitSection::OtherIncome);
    section(paper, ProfitSection::Costs);
    total(
        paper,
        "Costs together",
        RowRank::Total,
        ProfitFigure::Costs,
        |totals| totals.costs,
    );
    total(
        paper,
        "Profit",
        RowRank::FinalTotal,
        ProfitFigure::NetProfit,
        |totals| totals.net_profit,
    );
}

pub(super) fn show_or_dash(amount: Money, currency: &Currency) -> String {
    if amount.is_zero() {
        "\u{2013}".to_owned()
    } else {
        currency.statement(amount)
    }
}

fn balance(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let on = year.to;
    let sheet = balance_sheet(book.chart(), &book.balances_to(on)?, on);
    let currency = book.currency();
    let mut paper = Paper {
        title: "Balance sheet".to_owned(),
        about: format!("at the end of {}", show_day(on)),
        columns: vec![show_day(on)],
        ..Paper::default()
    };
    let parts = [
        (
            AccountClass::Asset,
            "What the business has",
            "Assets together",
            BalanceFigure::Assets,
            sheet.totals.assets,
        ),
        (
            AccountClass::Liability,
            "What it owes",
            "Liabilities together",
            BalanceFigure::Liabilities,
            sheet.totals.liabilities,
        ),
        (
            AccountClass::Equity,
            "What belongs to you",
            "Equity together",
            BalanceFigure::Equity,
            sheet.totals.equity,
        ),
    ];
    for (class, heading, together, figure, sum) in parts {
        paper.heading(heading);
        for line in sheet.lines.iter().filter(|line| line.class == class) {
            let label = format!("{} {}", line.number, line.name);
            let source = match line.account {
                Some(account) => Source::Balance(account, on),
                None => Source::Profit(ProfitFigure::NetProfit, year),
            };
            paper.push(
                StatementRow::new(label.trim(), vec![currency.statement(line.amount)]),
                vec![Some(source)],
            );
        }
        let rank = if class == AccountClass::Asset {
            RowRank::FinalTotal
        } else {
            RowRank::Total
        };
        let row = StatementRow::new(together, vec![currency.statement(sum)]).rank(rank);
        paper.push(row, vec![Some(Source::BalanceTotal(figure, on))]);
    }
    let both = currency.statement(sheet.totals.liabilities + sheet.totals.equity);
    let row = StatementRow::new("Owed and yours together", vec![both]).rank(RowRank::FinalTotal);
    paper.push(row, vec![None]);
    Ok(paper)
}

/// The trial balance at the end of a year.
///
/// # Errors
/// When the book cannot be read.
pub fn trial(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let balance = trial_balance(book.chart(), &book.balances_to(year.to)?);
    let currency = book.currency();
    let side = |amount: Money| {
        if amount.is_zero() {
            String::new()
        } else {
            currency.statement(amount)
        }
    };
    let mut paper = Paper {
        title: "Trial balance".to_owned(),
        about: format!("at the end of {}", show_day(year.to)),
        columns: vec!["Debit".to_owned(), "Credit".to_owned()],
        ..Paper::default()
    };
    for row in &balance.accounts {
        let source = Some(Source::Balance(row.account, year.to));
        paper.push(
            StatementRow::new(
                format!("{} {}", row.number, row.name),
                vec![side(row.debit), side(row.credit)],
            ),
            vec![source.clone(), source],
        );
    }
    let totals = vec![
        currency.statement(balance.total_debit),
        currency.statement(balance.total_credit),
    ];
    paper.push(
        StatementRow::new("Together", totals).rank(RowRank::FinalTotal),
        vec![None, None],
    );
    Ok(paper)
}

fn capital(book: &Book, year: DateRange) -> Result<Paper, BookError> {
    let statement = reports::capital(book, year)?;
    let currency = book.currency();
    let mut paper = Paper {
        title: "Owner's capital".to_owned(),
        about: in_words(year),
        ..Paper::default()
    };
    let eve = year.from.pred_opt().unwrap_or(year.from);
    let rows = [
        (
            "At the beginning",
            statement.opening,
            RowRank::Plain,
            Source::BalanceTotal(BalanceFigure::Equity, eve),
        ),
        (
            "Money in, and things brought in",
            statement.money_in,
            RowRank::Plain,
            Source::Capital(year),
        ),
        (
            "Profit of the year",
            statement.profit,
            RowRank::Plain,
            Source::Profit(ProfitFigure::NetProfit, year),
        ),
        (
            "Money out, private shares, tax instalments",
            -statement.money_out,
            RowRank::Plain,
            Source::Capital(year),
        ),
        (
            "At the end",
            statement.closing,
            RowRank::FinalTotal,
            Source::BalanceTotal(BalanceFigure::Equity, year.to),
        ),
    ];
    for (label, amount, rank, source) in rows {
        let row = StatementRow::new(label, vec![currency.statement(amount)]).rank(rank);
        paper.push(row, vec![Some(source)]);
    }
    Ok(paper)
}

fn channels(book: &Book, year: DateRange, today: NaiveDate) -> Result<Paper, BookError> {
    let summaries = reports::channels(book, year, today)?;
    let currency = book.currency();
    let mut paper = Paper {
        title: "Sales by channel".to_owned(),
        about: format!("{}: from what buyers paid to what arrived", in_words(year)),
        columns: summaries
            .iter()
            .map(|summary| summary.name.clone())
            .collect(),
        ..Paper::default()
    };
    let row = |label: &str, rank, amounts: Vec<Money>| {
        let figures = amounts
            .iter()
            .map(|amount| show_or_dash(*amount, currency))
            .collect();
        StatementRow::new(label, figures).rank(rank)
    };
    let of = |amount: fn(&crate::statements::ChannelSummary) -> Money| -> Vec<Money> {
        summaries.iter().map(amount).collect()
    };
    let lines = [
        (
            "Sales at full price",
            RowRank::Plain,
            of(|one| one.gross_sales),
        ),
        ("Discounts", RowRank::Plain, of(|one| -one.discounts)),
        ("Postage charged", RowRank::Plain, of(|one| one.postage)),
        (
            "Tax you owe on them",
            RowRank::Plain,
            of(|one| one.tax_ours),
        ),
        ("Refunds", RowRank::Plain, of(|one| -one.refunds)),
        ("Fees", RowRank::Plain, of(|one| -one.fees)),
        ("Left after fees", RowRank::Total, of(|one| one.net)),
        (
            "Due at the beginning",
            RowRank::Plain,
            of(|one| one.opening),
        ),
        ("Payouts", RowRank::Plain, of(|one| -one.payouts)),
        ("Everything else", RowRank::Plain, of(|one| one.other)),
        (
            "Still due at the end",
            RowRank::FinalTotal,
            of(|one| one.still_due),
        ),
        ("Of it held by the shop", RowRank::Plain, of(|one| one.held)),
        (
            "Tax handled by the shop, for the payment report only",
            RowRank::Plain,
            of(|one| one.tax_by_channel),
        ),
    ];
    for (label, rank, amounts) in lines {
        if rank == RowRank::Plain && amounts.iter().all(|amount| amount.is_zero()) {
            continue;
        }
        let sources = summaries
            .iter()
            .map(|summary| Some(Source::ChannelStatement(summary.account, year)))
            .collect();
        paper.push(row(label, rank, amounts), sources);
    }
    Ok(paper)
}

/// A financial year's name.
#[must_use]
pub fn name_of(year: DateRange) -> String {
    use chrono::Datelike as _;
    if year.from.year() == year.to.year() {
        year.to.year().to_string()
    } else {
        format!("{}/{}", year.from.year(), year.to.year())
    }
}

fn short(part: DateRange) -> String {
    let cut = |month: Month| -> String { month.name().chars().take(3).collect() };
    let (from, to) = (Month::of(part.from), Month::of(part.to));
    if from == to {
        cut(from)
    } else {
        format!("{} to {}", cut(from), cut(to))
    }
}

pub(super) fn in_words(year: DateRange) -> String {
    format!("{} to {}", show_day(year.from), show_day(year.to))
}
