//! A year's folder for the accountant: statements, schedules, the journal, the receipts, what was amended,
//! a cover to read first and a list of hashes. It appears whole or not at all.

use std::path::Path;

use chrono::NaiveDate;

use super::folder::{FolderDraft, WrittenFile};
use super::pack_files::{manifest, put, receipts};
use super::{Cell, ExportError, Table, counted, not_caught_up, pack_desk, pack_going_on, tables};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::depreciation::Equipment;
use crate::happenings::ProofState;
use crate::ledger::{Account, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::statements::{AccountLedger, BalanceSheet, ProfitStatement};

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// The days of the year.
    pub year: DateRange,
    /// Every file of the folder.
    pub files: Vec<WrittenFile>,
    /// What the cover says is still open.
    pub open: Vec<String>,
}

/// Writes the folder of the financial year that ends in the calendar year `year`. `today` dates the cover.
///
/// # Errors
/// When the folder has something in it, the system refuses, or the book cannot be read. Nothing is left behind then.
pub fn write(book: &Book, year: i32, folder: &Path, today: NaiveDate) -> Result<Pack, ExportError> {
    let days = book.year_start().year_ending_in(year);
    let mut draft = FolderDraft::begin(folder)?;
    let profit = reports::profit(book, days)?;
    let balance = reports::balance(book, days.to)?;
    let open = open_points(book, days, today)?;
    for (name, mut table) in tables(book, days, &profit, &balance, today)? {
        put(book, &mut draft, name, &mut table)?;
    }
    receipts(book, days, &mut draft)?;
    let cover = cover(book, days, &profit, &balance, &open, today)?;
    draft.file("summary.md", cover.as_bytes())?;
    let mut manifest = manifest(draft.written());
    put(book, &mut draft, "manifest.csv", &mut manifest)?;
    Ok(Pack {
        year: days,
        files: draft.finish()?,
        open,
    })
}

fn tables(
    book: &Book,
    days: DateRange,
    profit: &ProfitStatement,
    balance: &BalanceSheet,
    today: NaiveDate,
) -> Result<Vec<(&'static str, Table)>, ExportError> {
    let (chart, currency, years) = (book.chart(), book.currency(), book.year_start());
    let year = years.year_of(days.to);
    let before = reports::profit(book, days.a_year_before())?;
    let register = book.equipment()?;
    let mut tables = vec![
        (
            "profit.csv",
            tables::profit(profit, Some(&before), chart, currency),
        ),
        ("profit-by-month.csv", by_month(book, days)?),
        ("balance.csv", tables::balance(balance, currency)),
        (
            "trial.csv",
            tables::trial(&reports::trial(book, days.to)?, days.to, None),
        ),
        ("general-ledger.csv", general_ledger(book, days)?),
        (
            "journal.csv",
            tables::journal(&reports::journal(book, days)?, days),
        ),
        (
            "equipment.csv",
            tables::equipment(&register, days.to, years),
        ),
        (
            "equipment-schedule.csv",
            tables::equipment_schedule(&register, years),
        ),
        (
            "small-equipment.csv",
            tables::small_equipment(&reports::small_things_by(book, days.to)?, days.to),
        ),
        ("things.csv", things(book, days)?),
        (
            "capital.csv",
            tables::capital(&reports::capital(book, days)?, currency),
        ),
        (
            "channels.csv",
            tables::channels(
                &reports::channels_that_moved(book, days, today)?,
                days,
                chart,
            ),
        ),
        (
            "form-lines.csv",
            tables::form_lines(profit, chart, currency),
        ),
        (
            "entries-without-receipts.csv",
            without_receipts(book, days)?,
        ),
        ("amendments.csv", amendments(book, days)?),
        (
            "stock.csv",
            tables::stock(&reports::stock_in(book, days)?, currency),
        ),
        (
            "cost-of-goods-sold.csv",
            tables::goods_sold(
                &reports::cost_of_goods_sold(book, days)?,
                book.settings().costing(),
                currency,
            ),
        ),
    ];
    if let Ok(estimate) = reports::estimate_of_year(book, year, None) {
        tables.push(("set-aside.csv", tables::set_aside(&estimate, currency)));
    }
    tables.extend(pack_desk::sheets(book, days, today)?);
    tables.extend(pack_going_on::sheets(book, days)?);
    Ok(tables)
}

/// Net profit and its parts month by month; one row a month, as a sheet is sorted.
fn by_month(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Profit by month", "")
        .column("from", "From")
        .column("to", "To")
        .column("net_sales", "Net sales")
        .column("cost_of_goods_sold", "Cost of goods sold")
        .column("gross_profit", "Gross profit")
        .column("other_income", "Other income")
        .column("costs", "Costs")
        .column("net_profit", "Net profit");
    for month in days.by_month() {
        let totals = reports::profit(book, month)?.totals;
        table.line(vec![
            month.from.to_string().into(),
            month.to.to_string().into(),
            totals.net_sales.into(),
            totals.cost_of_goods_sold.into(),
            totals.gross_profit.into(),
            totals.other_income.into(),
            totals.costs.into(),
            totals.net_profit.into(),
        ]);
    }
    Ok(table)
}

fn general_ledger(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut ledgers: Vec<(AccountLedger, &Account)> = Vec::new();
    for account in book.chart().accounts() {
        let ledger = reports::ledger(book, account.id, days)?;
        if !ledger.lines.is_empty() || !ledger.opening.is_zero() {
            ledgers.push((ledger, account));
        }
    }
    Ok(tables::general_ledger(&ledgers, days))
}

/// What is there on the first day after the year, as a county asks on 1 January.
fn things(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let as_of = days.to.succ_opt().unwrap_or(days.to);
    Ok(tables::things_list(&reports::things(book, as_of)?, as_of))
}

/// Entries of the year whose proof is missing or is a stand-in.
fn without_receipts(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Entries without a receipt", "")
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("memo", "What")
        .column("amount", book.currency().code())
        .column("state", "Receipt")
        .column("stands_in", "What stands in")
        .column("purpose", "Purpose");
    for state in [ProofState::Missing, ProofState::Substitute] {
        let numbers = book.entry_numbers(&EntryFilter {
            range: Some(days),
            proof: Some(state),
            ..EntryFilter::default()
        })?;
        for posted in book.entries(&numbers)? {
            let proof = book.proof(posted.number)?;
            let header = &posted.entry.header;
            table.line(vec![
                Cell::Number(posted.number.to_string()),
                header.date.to_string().into(),
                header.party.as_str().into(),
                header.memo.as_str().into(),
                posted.entry.total().into(),
                state.as_str().into(),
                proof.stands_in.into(),
                proof.purpose.into(),
            ]);
        }
    }
    Ok(table)
}

/// Everything in the history that changed an entry of the year after it was written.
fn amendments(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Amended and taken back", "")
        .column("at", "When")
        .column("action", "What was done")
        .column("entry", "No.")
        .column("what", "What")
        .column("reason", "Why");
    for row in book.changes_since("")? {
        let changes_an_entry =
            matches!(row.action.as_str(), "amend" | "withdraw" | "undo" | "redo");
        let Some(number) = row.entry.filter(|_| changes_an_entry) else {
            continue;
        };
        let is_of_year = book
            .entry(number)
            .is_ok_and(|posted| days.contains(posted.entry.header.date));
        if !is_of_year {
            continue;
        }
        table.line(vec![
            row.at.as_str().into(),
            row.action.as_str().into(),
            Cell::Number(number.to_string()),
            row.what.as_str().into(),
            row.reason.as_str().into(),
        ]);
    }
    for posted in reports::entries(book, days)? {
        let Some(taken_back) = posted.reverses else {
            continue;
        };
        table.line(vec![
            posted.entry.header.date.to_string().into(),
            "taken back".into(),
            Cell::Number(posted.number.to_string()),
            format!("takes back entry {taken_back}").into(),
            posted.entry.header.memo.into(),
        ]);
    }
    Ok(table)
}

/// What an accountant should know is not done yet.
fn open_points(book: &Book, days: DateRange, today: NaiveDate) -> Result<Vec<String>, ExportError> {
    let mut open = Vec::new();
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(days),
        proof: Some(ProofState::Missing),
        ..EntryFilter::default()
    })?;
    if !numbers.is_empty() {
        open.push(format!(
            "{} no receipt yet; see entries-without-receipts.csv.",
            counted(numbers.len(), "entry has", "entries have")
        ));
    }
    let wear = reports::wear_proposal(book, days.to)?.total().whole;
    if wear.is_positive() {
        open.push(format!(
            "Wear of equipment of {} up to {} is not posted.",
            book.currency().statement(wear),
            show_day(days.to)
        ));
    }
    let (in_ledger, in_register) = equipment_cost(book, days.to)?;
    if in_ledger != in_register {
        open.push(format!(
            "Equipment at cost stands at {} in the ledger and at {} in the register: a thing lacks its row or its entry.",
            book.currency().statement(in_ledger),
            book.currency().statement(in_register)
        ));
    }
    open.extend(stock_points(book, days)?);
    open.extend(not_caught_up::points(book, days)?);
    if book.closing_entry_of(days)?.is_none() {
        open.push(
            "The year is not closed; its profit stands apart in the balance sheet.".to_owned(),
        );
    }
    let balances = book.balances_to(days.to)?;
    for account in book.chart().channels() {
        let due = balances.net(account.id);
        if !due.is_zero() {
            open.push(format!(
                "{} stands at {} at the year's end; compare with its own statement.",
                account.name,
                book.currency().statement(due)
            ));
        }
    }
    if let Ok(owed) = book.chart().role(Role::OwedByOwner) {
        let owed = balances.net(owed);
        if owed.is_positive() {
            open.push(format!(
                "The owner owes the business {} for private things.",
                book.currency().statement(owed)
            ));
        }
    }
    let year = book.year_start().year_of(days.to);
    match reports::estimate_of_year(book, year, None) {
        Err(ReportError::SetAside(why)) => {
            open.push(format!(
                "There is no set-aside estimate for the year: {why}."
            ));
        }
        other => drop(other?),
    }
    open.extend(pack_desk::open_points(book, days)?);
    if days.contains(today) {
        open.push("The year is still running; figures go as far as the entries do.".to_owned());
    }
    Ok(open)
}

/// The cost of equipment that is there on a day, by the ledger and by the register.
fn equipment_cost(book: &Book, day: NaiveDate) -> Result<(Money, Money), ExportError> {
    let account = book
        .chart()
        .role(Role::Equipment)
        .map_err(BookError::from)?;
    let is_there = |piece: &&Equipment| {
        let went = piece.disposal.as_ref().map(|disposal| disposal.on);
        piece.bought_on <= day && went.is_none_or(|went| went > day)
    };
    let register = book.equipment()?;
    Ok((
        book.balances_to(day)?.net(account),
        register
            .iter()
            .filter(is_there)
            .map(|piece| piece.cost)
            .sum(),
    ))
}

/// What of the stock is still open at the year's end.
fn stock_points(book: &Book, days: DateRange) -> Result<Vec<String>, ExportError> {
    let list = reports::stock(book, days.to)?;
    let mut open = Vec::new();
    if list.lines.is_empty() {
        return Ok(open);
    }
    let currency = book.currency();
    for account in list
        .accounts
        .iter()
        .filter(|account| !account.not_itemised.is_zero())
    {
        open.push(format!(
            "{} of {} belongs to no item of the stock list.",
            currency.statement(account.not_itemised),
            account.name
        ));
    }
    for line in &list.lines {
        if line.quantity.value().is_sign_negative() && !line.quantity.value().is_zero() {
            open.push(format!(
                "More {} went than ever came: the book has {} {}.",
                line.item.name, line.quantity, line.item.unit
            ));
        }
    }
    let uncounted = reports::uncounted(book, days.to)?;
    if !uncounted.is_empty() {
        open.push(format!(
            "{} in stock at the year's end and not counted within a month of it.",
            counted(uncounted.len(), "item was", "items were")
        ));
    }
    if !list.part_made.is_zero() {
        open.push(format!(
            "{} is in batches that had no pieces yet at the year's end.",
            currency.statement(list.part_made)
        ));
    }
    Ok(open)
}

/// The working of what the goods sold cost, in a few lines of the cover.
fn goods_lines(book: &Book, days: DateRange) -> Result<String, ExportError> {
    let working = reports::cost_of_goods_sold(book, days)?;
    let amounts = [
        ("Stock at the beginning", working.opening),
        ("Goods bought, less own use", working.net_purchases()),
        ("Labour of others", working.labour),
        ("Materials bought", working.materials),
        (
            "Other costs of making, less samples and gifts",
            working.other,
        ),
        ("Less stock at the end", -working.closing),
        ("**Cost of goods sold**", working.sold()),
    ];
    if amounts.iter().all(|(_what, amount)| amount.is_zero()) {
        return Ok(String::new());
    }
    let mut text = "\n## What the goods sold cost\n\n| | |\n| --- | ---: |\n".to_owned();
    for (what, amount) in amounts {
        text.push_str(&format!(
            "| {what} | {} |\n",
            book.currency().statement(amount)
        ));
    }
    Ok(text)
}

/// The owner's set-aside sheet, line by line, for the cover; nothing where there is no estimate.
fn set_aside_lines(book: &Book, days: DateRange) -> Result<String, ExportError> {
    let year = book.year_start().year_of(days.to);
    let estimate = match reports::estimate_of_year(book, year, None) {
        Ok(estimate) => estimate,
        Err(ReportError::SetAside(_why)) => return Ok(String::new()),
        Err(other) => return Err(other.into()),
    };
    let currency = book.currency();
    let mut text = format!(
        "\n## What to keep back for the owner's own tax\n\n{}\n\nBy: {}. Sources, explanations and cautions of each line \
         are in set-aside.csv.\n\n| no. | line | how | {} |\n| ---: | --- | --- | ---: |\n",
        estimate.caution,
        estimate.title,
        currency.code()
    );
    let cell = |words: &str| words.replace('|', "\\|");
    for line in &estimate.lines {
        text.push_str(&format!(
            "| {} | {} | {} | {} |\n",
            line.no,
            cell(&line.label),
            cell(&line.formula),
            line.amount.show(currency)
        ));
    }
    text.push_str("\n| instalment due | needed | |\n| --- | ---: | --- |\n");
    for one in &estimate.instalments {
        text.push_str(&format!(
            "| {} | {} | {} |\n",
            show_day(one.due),
            currency.statement(one.needed),
            cell(&one.note)
        ));
    }
    for words in estimate.warnings.iter().chain(&estimate.notes) {
        text.push_str(&format!("\n- {}", cell(words)));
    }
    text.push('\n');
    Ok(text)
}

fn cover(
    book: &Book,
    days: DateRange,
    profit: &ProfitStatement,
    balance: &BalanceSheet,
    open: &[String],
    today: NaiveDate,
) -> Result<String, ExportError> {
    let name = match book.settings().business_name() {
        "" => "Year-end folder".to_owned(),
        name => name.to_owned(),
    };
    let practice = if book.is_practice() {
        "# PRACTICE COPY\n\n**These figures are from a practice copy and not from the real book. They are for trying \
         out only and must not be handed to anybody as the books of the business.**\n\n"
    } else {
        ""
    };
    let mut text = format!(
        "{practice}# {name}: the year {} to {}\n\nWritten on {} from a book of {}, in {}. Accrual basis.\n\n",
        show_day(days.from),
        show_day(days.to),
        show_day(today),
        counted(book.entry_count()?, "entry", "entries"),
        book.currency().code(),
    );
    text.push_str("| | |\n| --- | ---: |\n");
    let totals = &profit.totals;
    let amounts: [(&str, Money); 9] = [
        ("Net sales", totals.net_sales),
        ("Cost of goods sold", totals.cost_of_goods_sold),
        ("Gross profit", totals.gross_profit),
        ("Other income", totals.other_income),
        ("Costs", totals.costs),
        ("**Net profit**", totals.net_profit),
        ("What the business has", balance.totals.assets),
        ("What it owes", balance.totals.liabilities),
        ("What belongs to the owner", balance.totals.equity),
    ];
    for (what, amount) in amounts {
        text.push_str(&format!(
            "| {what} | {} |\n",
            book.currency().statement(amount)
        ));
    }
    text.push_str(&goods_lines(book, days)?);
    text.push_str(&set_aside_lines(book, days)?);
    text.push_str("\n## Still open\n\n");
    if open.is_empty() {
        text.push_str("Nothing that the book knows of.\n");
    }
    for point in open {
        text.push_str(&format!("- {point}\n"));
    }
    text.push_str(CONTENTS);
    Ok(text)
}

const CONTENTS: &str = "
## What is in this folder

| file | what it is |
| --- | --- |
| profit.csv, profit-by-month.csv | the profit statement, the year before beside it, and month by month |
| balance.csv, trial.csv | the balance sheet and the trial balance at the year's end |
| general-ledger.csv, journal.csv | every account line by line, every entry with its lines |
| equipment.csv, equipment-schedule.csv | the register at the year's end, disposals included, and the wear by year |
| small-equipment.csv | things that last but were a cost at once |
| things.csv | what was there on the day after the year, for insurer and county, the price apart from tax and delivery |
| capital.csv | the owner's capital from beginning to end |
| channels.csv | each sales channel from gross sales to payouts |
| set-aside.csv | the estimate of what to keep back line by line, with formulas, sources, explanations and cautions |
| form-lines.csv | the profit statement by lines of the tax form |
| stock.csv | every item: what came, was made, used, sold and lost, and what is left, at cost |
| cost-of-goods-sold.csv | from stock at the beginning to stock at the end, by lines of the tax form |
| entries-without-receipts.csv | what has no receipt, and what stands in |
| questions.csv | what the owner asks, where she does; the sheet can be sent back with the answers filled in |
| sales-tax.csv, duties-done.csv | sales and tax by the periods of the returns, and what else was filed or renewed, where duties are kept |
| hours.csv, company-papers.csv, decisions.csv | the owner's hours with what an hour left, papers and decisions, where they are kept |
| how-kept.csv | facts of how the business is kept, from the book itself |
| amendments.csv | what was changed after it was written, and why |
| receipts/, receipts.csv | the receipts, named by their entry's number |
| manifest.csv | every file with its SHA-256 |

## Cautions

These are records and estimates, and sorting aids only. Book depreciation is not a tax deduction. Tax treatment,
thresholds, start-up costs, sales tax and the form lines depend on where the business is; confirm with local rules
and a licensed professional.
";
