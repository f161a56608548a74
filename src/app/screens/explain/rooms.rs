//! The working behind the rooms' own figures: money in hand, the cost to start, what to set aside, a piece of equipment,
//! the owner's capital, what was bought, what recurs. Figures of the statements are in `model`, those of the shops in
//! `shops`, what is free to spend in `free`.

use chrono::NaiveDate;

use super::model::{EntryRow, Explanation, in_words, what_was_it};
use super::source::{BalanceFigure, ProfitFigure, Source};
use crate::app::screens::facts::Facts;
use crate::book::{Book, EntryFilter};
use crate::dates::{DateRange, Month, show_day};
use crate::ledger::{AccountId, Balances, Chart, EntryKind, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::set_aside::{Estimate, EstimateLine, Figure};

pub(super) fn money_in_hand(facts: &Facts, on: NaiveDate, balances: &Balances) -> Explanation {
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

pub(super) fn cost_to_start(facts: &Facts) -> Explanation {
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

pub(super) fn set_aside(facts: &Facts, no: u32) -> Explanation {
    let estimate = &facts.estimate;
    let chosen = estimate.lines.iter().find(|line| line.no == no);
    let title = chosen.map_or("Still to set aside", |line| line.label.as_str());
    let sentence = chosen.map_or_else(String::new, line_in_words);
    let mut answer = Explanation::new(title, sentence);
    answer.is_estimate = true;
    worksheet(&mut answer, facts, estimate, facts.year);
    answer.amount = chosen.map_or(estimate.to_move, |line| line.amount.money());
    answer
}

/// The lines of a worksheet of a financial year as terms.
pub(super) fn worksheet(
    answer: &mut Explanation,
    facts: &Facts,
    estimate: &Estimate,
    year: DateRange,
) {
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
            source_of_line(&facts.chart, estimate, year, &line.key),
        );
    }
}

/// A line of the worksheet in sentences: how it comes about, what the word means, where it comes from, what to be careful
/// of.
fn line_in_words(line: &EstimateLine) -> String {
    let mut words = format!("{}.", line.formula.trim_end_matches('.'));
    for more in [&line.explanation, &line.caution] {
        if !more.is_empty() {
            words.push(' ');
            words.push_str(more);
        }
    }
    if !line.source.is_empty() {
        words.push_str(&format!(" From: {}.", line.source.trim_end_matches('.')));
    }
    words
}

/// What explains a line of the worksheet in turn, as far as it is a figure of the books.
#[must_use]
pub fn source_of_estimate(facts: &Facts, key: &str) -> Option<Source> {
    source_of_line(&facts.chart, &facts.estimate, facts.year, key)
}

fn source_of_line(
    chart: &Chart,
    estimate: &Estimate,
    year: DateRange,
    key: &str,
) -> Option<Source> {
    let range = DateRange {
        from: year.from,
        to: estimate.as_of,
    };
    let figure = match key {
        "sales" => ProfitFigure::NetSales,
        "cost-of-goods-sold" => ProfitFigure::CostOfGoodsSold,
        "costs" => ProfitFigure::Costs,
        "other-income" => ProfitFigure::OtherIncome,
        "profit" => ProfitFigure::NetProfit,
        "put-by" => {
            let account = chart.role(Role::SetAside).ok()?;
            return Some(Source::Balance(account, estimate.as_of));
        }
        "paid" => {
            let account = chart.role(Role::OwnerDrawings).ok()?;
            return Some(Source::Movement(account, range));
        }
        _ => return None,
    };
    Some(Source::Profit(figure, range))
}

pub(super) fn equipment(book: &Book, facts: &Facts, key: &str) -> Result<Explanation, ReportError> {
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

pub(super) fn capital(
    book: &Book,
    facts: &Facts,
    range: DateRange,
) -> Result<Explanation, ReportError> {
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

/// The entries of a kind, a month at a time when there are several.
pub(super) fn of_kind(
    book: &Book,
    kind: EntryKind,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let mut answer = Explanation::new(
        kind.plain(),
        format!("{}; what was taken back is left out", in_words(range)),
    );
    let months = range.by_month();
    if months.len() > 1 {
        for part in months {
            let (count, total) = book.count_and_total(kind, part)?;
            if count > 0 {
                let how = match count {
                    1 => "1 entry".to_owned(),
                    count => format!("{count} entries"),
                };
                let source = Source::OfKind(kind, part);
                answer.term(Month::of(part.from).to_string(), how, total, Some(source));
            }
        }
        let total = answer.terms.iter().map(|term| term.amount).sum();
        return Ok(answer.result(kind.plain(), "the months above together", total));
    }
    let filter = EntryFilter {
        kind: Some(kind),
        ..EntryFilter::in_range(range)
    };
    for posted in book.entries(&book.entry_numbers(&filter)?)? {
        let header = &posted.entry.header;
        if posted.reversed_by.is_none() {
            answer.entries.push(EntryRow {
                number: posted.number,
                date: header.date,
                what: what_was_it(&header.party, &header.memo, kind.plain()),
                amount: posted.entry.total(),
            });
        }
    }
    answer.amount = answer.entries.iter().map(|row| row.amount).sum();
    Ok(answer)
}

pub(super) fn yearly(book: &Book) -> Result<Explanation, ReportError> {
    let mut answer = Explanation::new(
        "What recurs, in a year",
        "each as often as it comes, at what it costs now",
    );
    for one in book.recurring()?.iter().filter(|one| one.is_active) {
        let each = book.currency().show(one.amount);
        let how = match one.every_months {
            1 => format!("{each} every month"),
            months => format!("{each} every {months} months"),
        };
        answer.term(one.name.clone(), how, one.yearly_total(), None);
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result("In a year", "the lines above together", total))
}

pub(super) fn used_up(book: &Book, facts: &Facts) -> Result<Explanation, ReportError> {
    let mut answer = Explanation::new(
        "Paid ahead and used up",
        format!(
            "by {}, not yet written down as a cost",
            show_day(facts.today)
        ),
    );
    for due in reports::paid_ahead_due(book, facts.today)? {
        answer.term(
            due.spread.name.clone(),
            show_day(due.date),
            due.amount,
            Some(Source::Entry(due.spread.paid_by)),
        );
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result("Used up", "the lines above together", total))
}
