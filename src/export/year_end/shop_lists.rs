//! What a year's pack says of the shops: what they held, their fees, and the way from what they report to what they paid.
//! The figures are `reports::channels` and `statements::bridge`.

use chrono::NaiveDate;

use super::lists::span;
use crate::book::{Book, ShopReport};
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, ExportError, RowStyle, SumPart, Table, tables};
use crate::ledger::{EntryKind, Role};
use crate::money::Money;
use crate::reports;
use crate::statements::{Bridge, ChannelSummary};

/// What each shop sold, what was sold without one, and both together; `orders` counts the sales.
pub(super) fn channels(
    book: &Book,
    shops: &[ChannelSummary],
    days: DateRange,
) -> Result<Table, ExportError> {
    let chart = book.chart();
    let mut table = tables::channels(shops, days, chart);
    let profit = reports::profit(book, days)?;
    let whole = |role: Role| -> Money {
        let lines = profit.lines.iter();
        lines
            .filter(|line| chart.has_role(line.account, role))
            .map(|line| line.amount)
            .sum()
    };
    let of_shops = |of: fn(&ChannelSummary) -> Money| shops.iter().map(of).sum::<Money>();
    let slugs: Vec<&str> = table.columns.iter().map(|one| one.slug).collect();
    let row = |words: &str, amounts: &[(&str, Money)]| -> Vec<Cell> {
        slugs
            .iter()
            .map(|slug| match *slug {
                "channel" => words.into(),
                slug => amounts
                    .iter()
                    .find(|(name, _amount)| *name == slug)
                    .map_or(Cell::Empty, |(_name, amount)| (*amount).into()),
            })
            .collect()
    };
    let sums = [
        (
            "gross_sales",
            whole(Role::Sales),
            of_shops(|one| one.gross_sales),
        ),
        (
            "discounts",
            whole(Role::Discounts).abs(),
            of_shops(|one| one.discounts),
        ),
        (
            "postage",
            whole(Role::PostageCharged),
            of_shops(|one| one.postage),
        ),
        (
            "refunds",
            whole(Role::Refunds).abs(),
            of_shops(|one| one.refunds),
        ),
    ];
    let beside: Vec<(&str, Money)> = sums
        .iter()
        .map(|(slug, whole, of_shops)| (*slug, *whole - *of_shops))
        .collect();
    let together: Vec<(&str, Money)> = sums
        .iter()
        .map(|(slug, whole, _of_shops)| (*slug, *whole))
        .collect();
    if beside.iter().any(|(_slug, amount)| !amount.is_zero()) {
        table.line(row("Without a shop", &beside));
    }
    table.push(RowStyle::Final, row("Together, as schedule A", &together));
    table.show(&["discounts", "postage", "tax_ours"]);
    table.note(
        "Without a shop: fairs, customers who pay directly, and whatever else schedule A has that no shop\u{2019}s entry \
         holds.",
    );
    Ok(table)
}

/// What each shop still had at the year's end: available, held, and paid out on.
pub(super) fn shop_balances(
    book: &Book,
    shops: &[ChannelSummary],
    days: DateRange,
) -> Result<Table, ExportError> {
    let mut table = Table::new(
        "Balances held by the shops",
        format!("At the end of {}", show_day(days.to)),
    )
    .column("channel", "Shop")
    .column("still_due", "Balance")
    .column("available", "Available")
    .column("held", "Held")
    .column("held_until", "Held until")
    .column("paid_out_on", "Next payout");
    for shop in shops {
        let held_until = book
            .holds()?
            .into_iter()
            .filter(|hold| hold.channel == shop.account && hold.is_held_on(days.to))
            .filter_map(|hold| hold.until)
            .map(|until| until.to_string())
            .collect::<Vec<_>>()
            .join(", ");
        let next = next_payout(book, shop, days.to)?;
        table.line(vec![
            shop.name.as_str().into(),
            shop.still_due.into(),
            shop.available().into(),
            shop.held.into(),
            held_until.into(),
            next.map(|day| day.to_string()).unwrap_or_default().into(),
        ]);
    }
    table.push(
        RowStyle::Total,
        vec![
            "Together".into(),
            shops
                .iter()
                .map(|shop| shop.still_due)
                .sum::<Money>()
                .into(),
            shops
                .iter()
                .map(ChannelSummary::available)
                .sum::<Money>()
                .into(),
            shops.iter().map(|shop| shop.held).sum::<Money>().into(),
        ],
    );
    Ok(table)
}

fn next_payout(
    book: &Book,
    shop: &ChannelSummary,
    after: NaiveDate,
) -> Result<Option<NaiveDate>, ExportError> {
    let from = after.succ_opt().unwrap_or(after);
    let Some(later) = DateRange::new(from, from + chrono::Days::new(366)) else {
        return Ok(None);
    };
    let lines = book.account_lines(shop.account, later)?;
    Ok(lines
        .into_iter()
        .find(|line| line.kind == EntryKind::Payout)
        .map(|line| line.date))
}

/// The fees of each shop by the accounts they are booked on, and what was charged apart from any shop.
pub(super) fn fees(book: &Book, shops: &[ChannelSummary], days: DateRange) -> Table {
    let mut table = Table::new("Fees by shop", span(days))
        .column("channel", "Shop")
        .column("account", "Account")
        .column("amount", book.currency().code());
    let mut together = Money::ZERO;
    for shop in shops {
        for (account, amount) in &shop.fees_by_account {
            together += *amount;
            table.line(vec![
                shop.name.as_str().into(),
                book.chart().title(*account).into(),
                (*amount).into(),
            ]);
        }
    }
    table.push(
        RowStyle::Final,
        vec!["Together".into(), Cell::Empty, together.into()],
    );
    table
}

/// Whether name and tax number on a shop's report are the business's own, in words.
fn whose_report(report: &ShopReport) -> String {
    let answer = match report.name_right {
        Some(true) => "yes",
        Some(false) => "NO",
        None => "not looked at",
    };
    let note = match report.note.as_str() {
        "" => String::new(),
        note => format!(" ({note})"),
    };
    format!("Name and tax number on the report are the business's own: {answer}{note}")
}

/// Reports of shops whose name or number is wrong, or at which nobody looked, in a sentence each.
pub(super) fn report_points(book: &Book, days: DateRange) -> Result<Vec<String>, ExportError> {
    let year = book.year_start().year_of(days.to);
    let mut open = Vec::new();
    for shop in book.chart().channels() {
        let Some(report) = book.shop_report(shop.id, year)? else {
            continue;
        };
        match report.name_right {
            Some(true) => {}
            Some(false) => open.push(format!(
                "Name or tax number on what {} reported for {year} is not the business's own; have the shop correct it, see schedule H.",
                shop.name
            )),
            None => open.push(format!(
                "Nobody has looked whether name and tax number on what {} reported for {year} are the business's own.",
                shop.name
            )),
        }
    }
    Ok(open)
}

/// From what each shop reports to what it paid out, line by line.
pub(super) fn bridges(
    book: &Book,
    shops: &[ChannelSummary],
    bridges: &[Bridge],
    days: DateRange,
) -> Result<Table, ExportError> {
    let year = book.year_start().year_of(days.to);
    let mut table = Table::new("From what a shop reports to its payouts", span(days))
        .csv_column("channel")
        .column("what", "")
        .column("amount", "Amount");
    for (shop, bridge) in shops.iter().zip(bridges) {
        table.heading(&shop.name);
        let line = |table: &mut Table, style, what: &str, amount: Option<Money>| {
            table.push(
                style,
                vec![shop.name.as_str().into(), what.into(), amount.into()],
            );
        };
        match bridge.reported {
            Some(reported) => {
                line(
                    &mut table,
                    RowStyle::Line,
                    "Reported by the shop",
                    Some(reported),
                );
                line(
                    &mut table,
                    RowStyle::Line,
                    "The same by the books",
                    Some(bridge.expected),
                );
                line(
                    &mut table,
                    RowStyle::Line,
                    "Unexplained difference",
                    bridge.difference,
                );
            }
            None => line(
                &mut table,
                RowStyle::Line,
                "No report of the shop was entered; buyers paid by the books",
                Some(bridge.expected),
            ),
        }
        if let Some(report) = book.shop_report(shop.account, year)? {
            let words = whose_report(&report);
            line(&mut table, RowStyle::Line, &words, None);
        }
        // Each sum goes on from the one before it.
        let mut parts: Vec<SumPart> = Vec::new();
        for one in &bridge.lines {
            let cells = vec![
                shop.name.as_str().into(),
                one.label.as_str().into(),
                one.amount.into(),
            ];
            if one.is_sum {
                let place = table.sum_of(RowStyle::Total, cells, &parts);
                parts = vec![SumPart::more(place)];
            } else {
                parts.push(SumPart::more(table.push(RowStyle::Line, cells)));
            }
        }
    }
    Ok(table)
}
