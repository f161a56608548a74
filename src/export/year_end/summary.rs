//! The page of plain text that stands in the pack beside the PDF: the year in a few figures, what is open, what is in the
//! folder, and the cautions. For whoever has neither a reader of PDF nor a spreadsheet at hand.

use chrono::NaiveDate;

use super::cover::CAUTIONS;
use super::schedules::Schedule;
use crate::book::Book;
use crate::dates::{DateRange, show_day};
use crate::export::{ExportError, counted};
use crate::money::Money;
use crate::reports::{self, ReportError};

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
         are in schedule Y.\n\n| no. | line | how | {} |\n| ---: | --- | --- | ---: |\n",
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

pub(super) fn summary(
    book: &Book,
    days: DateRange,
    figures: &[(&'static str, &'static str, Money)],
    open: &[String],
    schedules: &[Schedule],
    today: NaiveDate,
) -> Result<String, ExportError> {
    let name = match book.settings().business_name() {
        "" => "Year-end pack".to_owned(),
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
    for (key, what, amount) in figures {
        let what = if *key == "net_profit" {
            format!("**{what}**")
        } else {
            (*what).to_owned()
        };
        text.push_str(&format!(
            "| {what} | {} |\n",
            book.currency().statement(*amount)
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
    text.push_str(&contents(schedules, days));
    text.push_str("\n## Cautions\n\n");
    for caution in CAUTIONS {
        text.push_str(&format!("{caution}\n\n"));
    }
    Ok(text)
}

/// What is in the pack, a line each.
fn contents(schedules: &[Schedule], days: DateRange) -> String {
    let year = chrono::Datelike::year(&days.to);
    let mut text = format!(
        "\n## What is in this pack\n\n| file | what it is |\n| --- | --- |\n\
         | year-end-{year}.pdf | everything below to read |\n\
         | year-end-{year}.xlsx | the same to work with: a sheet a schedule, totals as formulas |\n\
         | year-end-{year}.json | the statements and every sum for programs |\n\
         | sheets/ties.csv | what must agree, and whether it does |\n"
    );
    for schedule in schedules {
        let file = match schedule.name {
            "" => "nothing this year".to_owned(),
            name => format!("sheets/{name}.csv"),
        };
        text.push_str(&format!("| {file} | {} |\n", schedule.heading()));
    }
    text.push_str(
        "| receipts/ | the receipts, named by their entry's number |\n\
         | manifest.json | every file with its SHA-256, the state of the book, and a seal over all of it |\n",
    );
    text
}
