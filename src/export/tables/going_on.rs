//! What goes on as tables: each kind of matter, fair days, helpers, gifts, loans.
//! The figures are `reports`'.

use chrono::NaiveDate;

use crate::dates::{DateRange, show_day};
use crate::export::{Cell, RowStyle, Table};
use crate::matters::{Matter, MatterKind, Matters};
use crate::money::Currency;
use crate::occasions::{WAYS, caution_of};
use crate::reports::{FairReport, GIFTS_CAUTION, Gifts, HELPERS_CAUTION, Helpers, LoanReport};

fn day(date: Option<NaiveDate>) -> Cell {
    date.map(show_day).unwrap_or_default().into()
}

/// Everything of one kind, or of all, as it stood on a day.
#[must_use]
pub fn matters(all: &Matters, kind: Option<MatterKind>, as_of: NaiveDate) -> Table {
    let title = kind.map_or("What goes on", MatterKind::heading);
    let mut table = Table::new(title, format!("On {}", show_day(as_of)))
        .column("matter", "Kind")
        .column("key", "Which")
        .column("party", "With")
        .column("about", "About")
        .column("began_on", "Since")
        .column("due", "Day to come")
        .column("state", "State")
        .column("left", "Left")
        .csv_column("caution");
    let mut n_shown = 0;
    let kinds = MatterKind::ALL
        .iter()
        .filter(|one| kind.is_none_or(|kind| kind == **one));
    for kind in kinds {
        let list: Vec<&Matter> = all.of_kind(*kind).collect();
        let mut left = crate::money::Money::ZERO;
        for matter in &list {
            n_shown += 1;
            left += matter.balance();
            table.line(vec![
                kind.plain().into(),
                matter.key.as_str().into(),
                matter.party().into(),
                about(matter).into(),
                day(matter.began_on()),
                if matter.is_open() {
                    day(matter.due())
                } else {
                    Cell::Empty
                },
                matter.state().into(),
                if kind.has_balance() {
                    matter.balance().into()
                } else {
                    Cell::Empty
                },
                caution_of(*kind).into(),
            ]);
        }
        if kind.has_balance() && !list.is_empty() {
            let mut total: Vec<Cell> = vec![format!("{}, together", kind.heading()).into()];
            total.extend(std::iter::repeat_n(Cell::Empty, 6));
            total.push(left.into());
            total.push(Cell::Empty);
            table.push(RowStyle::Total, total);
        }
    }
    if n_shown == 0 {
        table.note("Nothing of this kind is in the book.");
    }
    if let Some(words) = kind.map(caution_of).filter(|words| !words.is_empty()) {
        table.note(words);
    }
    table
}

fn about(matter: &Matter) -> String {
    let pieces: Vec<String> = matter
        .pieces_left()
        .iter()
        .map(|one| format!("{} {}", one.quantity, one.item))
        .collect();
    match (matter.kind, pieces.is_empty()) {
        (MatterKind::Commission, false) => format!("{} there", pieces.join(", ")),
        _ => matter.about().to_owned(),
    }
}

/// The fair days of a time, with what each earned.
#[must_use]
pub fn fairs(days: &[FairReport], range: DateRange) -> Table {
    let words = format!("{} to {}", show_day(range.from), show_day(range.to));
    let mut table = Table::new("Fair days", words)
        .column("date", "Day")
        .column("fair", "Fair")
        .column("place", "Where")
        .column("sales", "Sales")
        .column("tax", "Tax in them")
        .column("over", "Over or short")
        .column("card_fees", "Card fees")
        .column("paid_out", "Out of the box")
        .column("joined", "Paid before")
        .column("pieces", "Pieces at cost")
        .column("miles", "Miles")
        .column("profit", "Left")
        .column("hours", "Hours")
        .column("per_hour", "An hour")
        .csv_column("entry");
    for one in days {
        let it = &one.day;
        table.line(vec![
            show_day(one.date).into(),
            one.key.as_str().into(),
            one.place.as_str().into(),
            it.sales.into(),
            it.tax.into(),
            it.over.into(),
            it.card_fees.into(),
            it.paid_out.into(),
            it.joined.into(),
            it.pieces.into(),
            it.miles.into(),
            it.profit().into(),
            Cell::Number(it.hours.to_string()),
            it.per_hour().into(),
            Cell::Number(one.entry.to_string()),
        ]);
    }
    if days.is_empty() {
        table.note("No fair day was written down in this time.");
    } else {
        table.note(
            "Left = sales without tax + over or short − card fees − out of the box − paid before − pieces at cost − miles. \
             Miles are at the rate in the settings and are shown here only; they are not posted with the day.",
        );
    }
    table
}

/// Helpers of a calendar year.
#[must_use]
pub fn helpers(report: &Helpers, currency: &Currency) -> Table {
    let mut table = Table::new("Paid helpers", format!("Payments of {}", report.year))
        .column("helper", "Whom")
        .column("services", "For what");
    for (word, words) in WAYS {
        table = table.column(word, *words);
    }
    table = table
        .column("total", "Together")
        .column("counted", "Counted")
        .column("tax_form", "Tax form there")
        .column("report", "To be reported")
        .csv_column("caution");
    for one in &report.helpers {
        let mut cells: Vec<Cell> = vec![one.name.as_str().into(), one.services.join("; ").into()];
        for (word, _) in WAYS {
            cells.push(one.by_way.get(*word).copied().into());
        }
        cells.extend([
            one.total.into(),
            one.counted.into(),
            one.tax_form.as_str().into(),
            match one.is_reported {
                Some(true) => "yes",
                Some(false) => "no",
                None => "the limit of this year is not kept here",
            }
            .into(),
            HELPERS_CAUTION.into(),
        ]);
        table.line(cells);
    }
    if report.helpers.is_empty() {
        table.note("Nobody was paid for help in this year.");
    }
    match &report.limit {
        Some(limit) => table.note(format!(
            "Limit: {}. Source: {}; checked {}. Left out of what is counted: {}.",
            currency.show(limit.amount),
            limit.source,
            limit.checked,
            report.left_out_source
        )),
        None => table.note(format!(
            "The limit of {} is not kept in this version; look it up before you rely on the list.",
            report.year
        )),
    }
    table.note(HELPERS_CAUTION);
    table
}

/// Gifts of a calendar year by person.
#[must_use]
pub fn gifts(report: &Gifts, currency: &Currency) -> Table {
    let mut table = Table::new("Gifts by person", format!("Given in {}", report.year))
        .column("person", "To whom")
        .column("cost", "At cost")
        .column("above", "Above the limit")
        .csv_column("entries")
        .csv_column("caution");
    for one in &report.people {
        let entries: Vec<String> = one.entries.iter().map(ToString::to_string).collect();
        table.line(vec![
            one.person.as_str().into(),
            one.cost.into(),
            one.above.into(),
            entries.join(";").into(),
            GIFTS_CAUTION.into(),
        ]);
    }
    if report.people.is_empty() {
        table.note("No gift was written down in this year.");
    }
    if let Some(limit) = &report.limit {
        table.note(format!(
            "Limit: {} a person. Source: {}; checked {}.",
            currency.show(limit.amount),
            limit.source,
            limit.checked
        ));
    }
    table.note(GIFTS_CAUTION);
    table
}

/// Loans with the instalments of their plans.
#[must_use]
pub fn loans(list: &[LoanReport], as_of: NaiveDate) -> Table {
    let mut table = Table::new("Loans", format!("On {}", show_day(as_of)))
        .column("loan", "Loan")
        .column("no", "No.")
        .column("due", "Due")
        .column("amount", "Instalment")
        .column("interest", "Interest")
        .column("principal", "Pays back")
        .column("left", "Left after it");
    for loan in list {
        table.heading(&format!("{}, from {}", loan.key, loan.lender));
        for one in &loan.plan {
            table.line(vec![
                loan.key.as_str().into(),
                Cell::Number(one.no.to_string()),
                show_day(one.due).into(),
                one.amount().into(),
                one.interest.into(),
                one.principal.into(),
                one.left.into(),
            ]);
        }
        table.push(
            RowStyle::Total,
            vec![
                format!("{}: really still owed", loan.key).into(),
                Cell::Empty,
                Cell::Empty,
                Cell::Empty,
                Cell::Empty,
                loan.repaid.into(),
                loan.owed.into(),
            ],
        );
    }
    if list.is_empty() {
        table.note("There is no loan in the book.");
    }
    table
}
