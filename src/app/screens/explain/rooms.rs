//! The working behind the rooms' own figures: money in hand, free to spend, the cost to start, what to set aside, a
//! channel, a piece of equipment, the owner's capital. Figures of the statements are in `model`.

use chrono::NaiveDate;

use super::model::{EntryRow, Explanation, in_words, of_account, what_was_it};
use super::source::{BalanceFigure, ProfitFigure, Source};
use crate::app::screens::facts::Facts;
use crate::book::{AccountLine, Book, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::free_to_spend::Term;
use crate::ledger::{AccountId, Balances, EntryKind, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::set_aside::Figure;

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

pub(super) fn free(facts: &Facts) -> Explanation {
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

pub(super) fn channel(
    book: &Book,
    facts: &Facts,
    account: AccountId,
) -> Result<Explanation, ReportError> {
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

pub(super) fn channel_statement(
    book: &Book,
    facts: &Facts,
    account: AccountId,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let mut answer = of_account(book, account, range, in_words(range))?;
    let summaries = reports::channels(book, range, facts.today)?;
    let Some(summary) = summaries.iter().find(|one| one.account == account) else {
        return Ok(answer);
    };
    answer.title = format!("{} still owes you", summary.name);
    let kept_apart = [
        (summary.held, "of it held by the shop for now"),
        (
            summary.tax_by_channel,
            "of tax handled by the shop, in none of these sums",
        ),
    ];
    for (amount, words) in kept_apart {
        if !amount.is_zero() {
            answer.sentence = format!("{}; {} {words}", answer.sentence, facts.show(amount));
        }
    }
    let mut line = |label: &str, how: &str, amount: Money| {
        if !amount.is_zero() {
            answer.term(label, how, amount, None);
        }
    };
    line("Due at the beginning", "", summary.opening);
    line("Sales at full price", "gross sales", summary.gross_sales);
    line("Discounts", "given to customers", -summary.discounts);
    line("Postage charged", "", summary.postage);
    line("Tax you owe on them", "", summary.tax_ours);
    line("Refunds", "given back to customers", -summary.refunds);
    for (fee, amount) in &summary.fees_by_account {
        line(
            &facts.chart.title(*fee),
            "taken out by the shop, less what it gave back",
            -*amount,
        );
    }
    line("Payouts", "arrived in your account", -summary.payouts);
    line(
        "Everything else",
        "disputes, transfers, corrections",
        summary.other,
    );
    Ok(answer.result(
        "Still due at the end",
        "the lines above together",
        summary.still_due,
    ))
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

pub(super) fn due_soon(facts: &Facts) -> Explanation {
    let mut answer = Explanation::new("Recurring purchases due soon", "within 30 days");
    for due in facts.due_within(reports::SOON_DAYS) {
        answer.term(due.name.clone(), show_day(due.due), due.amount, None);
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    answer.result("Due soon", "the lines above together", total)
}
