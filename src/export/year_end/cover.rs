//! What stands on the cover of a year's pack: who the business is, by what rules its books are kept, what changed in the
//! year, what is estimated, and what became of the figures since the pack before. Where it stands is `pages`'.

use chrono::NaiveDate;

use crate::book::{Book, PackRecord};
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, ExportError, Table, counted};
use crate::ledger::EntryKind;
use crate::matters::MatterKind;
use crate::money::Money;
use crate::reports;
use crate::statements::{BalanceSheet, ProfitStatement};
use crate::stock::CostMethod;

/// The cautions of a pack, a sentence each.
pub const CAUTIONS: [&str; 3] = [
    "These are records, estimates and sorting aids only; nothing here is a tax return or tax advice.",
    "Book depreciation is not a tax deduction: what may be deducted, and when, is for the tax rules to say.",
    "Tax treatment, thresholds, start-up costs, sales tax, the lines of a form and the form of a business depend on where \
     the business is; confirm with local rules and a licensed professional.",
];

const NOT_SAID: &str = "not said in the book";

/// Facts of the business and how its books are kept: what, and the fact.
pub(super) fn facts(
    book: &Book,
    days: DateRange,
    today: NaiveDate,
) -> Result<Vec<(&'static str, String)>, ExportError> {
    let settings = book.settings();
    let said = |key: &str| {
        settings
            .get(key)
            .filter(|text| !text.trim().is_empty())
            .unwrap_or(NOT_SAID)
            .to_owned()
    };
    let threshold = match settings.equipment_threshold() {
        Some(amount) => {
            let since = settings
                .get("small_equipment_policy_since")
                .unwrap_or("a day not said");
            format!(
                "{} an item, since {since}",
                book.currency().statement(amount)
            )
        }
        None => NOT_SAID.to_owned(),
    };
    let method = match settings.costing() {
        CostMethod::Average => "at cost, moving average",
        CostMethod::Fifo => "at cost, first in first out",
    };
    let closed = match book.closing_entry_of(days)? {
        Some(number) => format!(
            "closed by entry {number}; locked through {}",
            show_day(days.to)
        ),
        None => "not closed".to_owned(),
    };
    let opened = settings.opened_for_business_on().map_or_else(
        || NOT_SAID.to_owned(),
        |day| {
            format!(
                "{}; the book begins on {}",
                show_day(day),
                show_day(book.first_day())
            )
        },
    );
    Ok(vec![
        ("Business", said("business_name")),
        ("Owner", said("owner_name")),
        ("Form of business", said("business_form")),
        ("Activity", said("activity")),
        ("Tax number on file", said("tax_number_on_file")),
        (
            "Year",
            format!("{} to {}", show_day(days.from), show_day(days.to)),
        ),
        ("First day of business", opened),
        (
            "Basis",
            format!(
                "accrual; the owner's setting for the profit statement is {}",
                settings.get("basis").unwrap_or("accrual")
            ),
        ),
        ("Currency", book.currency().code().to_owned()),
        ("Stock", method.to_owned()),
        ("Equipment threshold", threshold),
        ("Year is", closed),
        ("Prepared by", said("prepared_by")),
        ("Made on", show_day(today)),
        (
            "Book",
            format!(
                "{}; its state is in the list of files",
                counted(book.entry_count()?, "entry", "entries")
            ),
        ),
    ])
}

/// What changed in the year that an accountant asks about, and which figures rest on an estimate.
pub(super) fn changes_of_year(
    book: &Book,
    days: DateRange,
) -> Result<(Vec<String>, Vec<String>), ExportError> {
    let mut changes = Vec::new();
    for account in book.chart().accounts() {
        if !(account.is_money() || account.is_channel()) {
            continue;
        }
        if let Some(first) = book
            .first_movement(account.id)?
            .filter(|day| days.contains(*day))
        {
            changes.push(format!(
                "First used on {}: {}.",
                show_day(first),
                account.title()
            ));
        }
    }
    for piece in book.equipment()? {
        if let Some(gone) = piece
            .disposal
            .as_ref()
            .filter(|gone| days.contains(gone.on))
        {
            changes.push(format!(
                "Equipment gone on {}: {}.",
                show_day(gone.on),
                piece.name
            ));
        }
    }
    for loan in book.matters()?.of_kind(MatterKind::Loan) {
        if let Some(first) = loan.steps.first().filter(|step| days.contains(step.on)) {
            changes.push(format!(
                "A loan began on {}: {}.",
                show_day(first.on),
                loan.key
            ));
        }
    }
    let mut estimates = vec!["Useful lives of equipment, and with them its wear.".to_owned()];
    let has = |kind| Ok::<bool, ExportError>(book.count_and_total(kind, days)?.0 > 0);
    if has(EntryKind::Adjusting)? {
        estimates.push(
            "Adjusting entries that rest on a bill that had not come; see schedule D.".to_owned(),
        );
    }
    if has(EntryKind::BroughtIn)? {
        estimates.push(
            "What things that were owned before were worth on the day they came in.".to_owned(),
        );
    }
    let left = reports::left_in_year(book, days)?;
    if left.rough.count > 0 {
        estimates.push("Entries from rough answers, counted among what is open.".to_owned());
    }
    estimates.push("What to keep back for the owner's own tax; see schedule Y.".to_owned());
    Ok((changes, estimates))
}

/// The main sums of a year, by the name under which a pack keeps them.
pub(super) fn figures(
    profit: &ProfitStatement,
    balance: &BalanceSheet,
) -> [(&'static str, &'static str, Money); 9] {
    let totals = &profit.totals;
    [
        ("net_sales", "Net sales", totals.net_sales),
        (
            "cost_of_goods_sold",
            "Cost of goods sold",
            totals.cost_of_goods_sold,
        ),
        ("gross_profit", "Gross profit", totals.gross_profit),
        ("other_income", "Other income", totals.other_income),
        ("costs", "Costs", totals.costs),
        ("net_profit", "Net profit", totals.net_profit),
        ("assets", "What the business has", balance.totals.assets),
        ("liabilities", "What it owes", balance.totals.liabilities),
        ("equity", "What belongs to the owner", balance.totals.equity),
    ]
}

/// What became of the main sums since a pack, and every change of an entry of the year since.
pub(super) fn since(
    book: &Book,
    days: DateRange,
    last: &PackRecord,
    figures: &[(&'static str, &'static str, Money)],
) -> Result<(Table, Table), ExportError> {
    let subtitle = format!("The pack before was made on {}", show_day(last.made_on));
    let mut sums = Table::new("The figures since the pack before", subtitle.clone())
        .column("what", "")
        .column("then", "In the pack before")
        .column("now", "In this pack")
        .column("change", "Change");
    for (key, what, now) in figures {
        let then = Money::from_minor(last.figures.get(*key).copied().unwrap_or_default());
        sums.line(vec![
            (*what).into(),
            then.into(),
            (*now).into(),
            (*now - then).into(),
        ]);
    }
    let mut rows = Table::new("What was changed since the pack before", subtitle)
        .column("at", "When")
        .column("action", "What was done")
        .column("entry", "No.")
        .column("date", "Dated")
        .column("what", "What")
        .column("reason", "Why")
        .column("amount", book.currency().code());
    for row in book.history_of_days_since(days, last.head_seq)? {
        let day = row.at.get(..10).unwrap_or_default().to_owned();
        let posted = row.entry.and_then(|number| book.entry(number).ok());
        let (date, what, amount): (Cell, Cell, Cell) = match &posted {
            Some(posted) => (
                posted.entry.header.date.to_string().into(),
                posted.entry.header.memo.as_str().into(),
                posted.entry.total().into(),
            ),
            None => (Cell::Empty, row.what.as_str().into(), Cell::Empty),
        };
        rows.line(vec![
            day.into(),
            row.action.as_str().into(),
            row.entry
                .map_or(Cell::Empty, |number| Cell::Number(number.to_string())),
            date,
            what,
            row.reason.as_str().into(),
            amount,
        ]);
    }
    if rows.rows().is_empty() {
        rows.note("No entry of the year was written, changed or taken back since.");
    }
    Ok((sums, rows))
}
