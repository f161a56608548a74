//! The working behind the shops' figures: what one owes, its statement of a period, all of them together, what they
//! hold, and the postage charged against what was paid.

use chrono::NaiveDate;

use super::model::{Explanation, in_words, of_account};
use super::source::{ShopFigure, Source};
use crate::app::screens::facts::Facts;
use crate::book::{AccountLine, Book, Closings};
use crate::dates::{DateRange, show_day};
use crate::ledger::{AccountId, EntryKind, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};

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
    // What is reported is of a whole year, whatever part of it is looked at.
    let years = book.year_start();
    let year = years.year_ending_in(years.year_of(range.to));
    let mut of_year = reports::channels(book, year, facts.today)?;
    of_year.retain(|one| one.account == account && one.reported_gross.is_some());
    let bridges = reports::bridges(book, &of_year)?;
    if let Some(bridge) = bridges.first()
        && let (Some(reported), Some(reason)) = (bridge.reported, &bridge.reason)
    {
        let difference = match bridge.difference {
            Some(difference) if !difference.is_zero() => {
                format!(", {} apart", facts.show(difference.abs()))
            }
            _ => String::new(),
        };
        answer.sentence = format!(
            "{}; for the whole year the shop reports {}, these books say {}{difference}: {}",
            answer.sentence,
            facts.show(reported),
            facts.show(bridge.expected),
            reason.words()
        );
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

pub(super) fn all_shops(
    book: &Book,
    facts: &Facts,
    figure: ShopFigure,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let mut answer = Explanation::new(figure.words(), in_words(range));
    for shop in reports::channels(book, range, facts.today)? {
        let amount = figure.of(&shop);
        if !amount.is_zero() {
            let source = Source::ChannelStatement(shop.account, range);
            answer.term(shop.name.clone(), "", amount, Some(source));
        }
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result(figure.words(), "the shops above together", total))
}

/// What is held on a day, hold by hold: no entry stands behind it, for the money is still in what the shop owes.
pub(super) fn held(
    book: &Book,
    shop: Option<AccountId>,
    on: NaiveDate,
) -> Result<Explanation, ReportError> {
    let name = match shop {
        Some(shop) => book.chart().account(shop)?.name.clone(),
        None => "the shops".to_owned(),
    };
    let mut answer = Explanation::new(
        format!("Held by {name}"),
        format!(
            "on {}; it stays in what is owed to you until it is paid out",
            show_day(on)
        ),
    );
    for hold in book.holds()? {
        if hold.is_held_on(on) && shop.is_none_or(|shop| hold.channel == shop) {
            let until = hold.until.map_or_else(
                || "no day given".to_owned(),
                |day| format!("until {}", show_day(day)),
            );
            let how = [format!("since {}", show_day(hold.since)), until, hold.memo]
                .into_iter()
                .filter(|part| !part.is_empty())
                .collect::<Vec<_>>()
                .join(", ");
            let name = book.chart().account(hold.channel)?.name.clone();
            answer.term(name, how, hold.amount, Some(Source::Channel(hold.channel)));
        }
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result("Held", "the lines above together", total))
}

pub(super) fn postage(book: &Book, range: DateRange) -> Result<Explanation, ReportError> {
    let balances = book.balances(range, Closings::Without)?;
    let charged = book.chart().role(Role::PostageCharged)?;
    let paid = book.chart().role(Role::Postage)?;
    let mut answer = Explanation::new("Postage charged less postage paid", in_words(range));
    answer.term(
        "Charged to customers",
        "postage charged",
        -balances.net(charged),
        Some(Source::Movement(charged, range)),
    );
    answer.term(
        "Paid for labels and carriage",
        "postage and carriage",
        -balances.net(paid),
        Some(Source::Movement(paid, range)),
    );
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result("Difference", "the lines above together", total))
}
