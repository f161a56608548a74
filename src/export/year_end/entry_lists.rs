//! Lists of a year's pack that are picked from single entries: counts, outlays to start, things brought in, the owner's
//! tax, the largest amounts. Lists that end in a balance are `owing`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::lists::{side, span};
use crate::book::{Book, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, ExportError, RowStyle, Table};
use crate::ledger::{EntryKind, EntryNumber, PostedEntry, Role};
use crate::money::Money;
use crate::reports;
use crate::set_aside::Estimate;
use crate::statements::{CostToStart, StartUpGroup, StartUpOutlay};
use crate::stock::MovementKind;

/// So many of the largest entries are listed.
const LARGEST: usize = 20;

fn of_kind(book: &Book, kind: EntryKind, days: DateRange) -> Result<Vec<PostedEntry>, ExportError> {
    let mut entries = book.entries(&book.entry_numbers(&EntryFilter {
        kind: Some(kind),
        ..EntryFilter::in_range(days)
    })?)?;
    entries.retain(|posted| posted.reversed_by.is_none());
    Ok(entries)
}

/// What was counted in the year, thing by thing: where, how many, and by whom.
pub(super) fn counts(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Counts of the stock", span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("place", "Where")
        .column("code", "Code")
        .column("name", "Thing")
        .column("counted", "Counted")
        .column("unit", "Unit")
        .column("counted_by", "Counted by");
    let items = book.items()?;
    for (movement, number) in book.movements()? {
        if movement.kind != MovementKind::Count || !days.contains(movement.date) {
            continue;
        }
        let item = items.iter().find(|item| item.code == movement.item);
        let by = match number {
            Some(number) => book.entry(number)?.entry.header.party,
            None => String::new(),
        };
        let place = match movement.place.as_str() {
            "" => "at home",
            place => place,
        };
        table.line(vec![
            number.map_or(Cell::Empty, |number| Cell::Number(number.to_string())),
            movement.date.to_string().into(),
            place.into(),
            movement.item.as_str().into(),
            item.map_or("", |item| item.name.as_str()).into(),
            Cell::Number(movement.quantity.to_string()),
            item.map_or("", |item| item.unit.as_str()).into(),
            by.into(),
        ]);
    }
    if !table.rows().is_empty() {
        table.note("Counted by quantity only; what each is worth comes from its cost.");
    }
    Ok(table)
}

/// The outlays to start that fall in the year, one by one.
pub(super) fn start_up_outlays(book: &Book, start: &CostToStart, days: DateRange) -> Table {
    let mut table = Table::new(
        "Outlays to start one by one",
        format!("In the year, through {}", show_day(start.through)),
    )
    .column("entry", "No.")
    .column("date", "Day")
    .column("party", "With")
    .column("memo", "What")
    .column("group", "Counts as")
    .column("account", "Account")
    .column("paid_out", "Paid out")
    .column("brought_in", "Brought in")
    .column("own_pocket", "By the owner")
    .column("by_the_rule", "Start-up rule");
    let mut sums = [Money::ZERO; 2];
    let yes = |is_so: bool| Cell::from(if is_so { "yes" } else { "" });
    // Paper that became notebooks is spent once: what an entry only moves, within a group or to another, is no outlay.
    let mut of_entry: BTreeMap<EntryNumber, Money> = BTreeMap::new();
    let mut of_group: BTreeMap<(EntryNumber, StartUpGroup), Money> = BTreeMap::new();
    for one in &start.outlays {
        *of_entry.entry(one.entry).or_default() += one.amount;
        *of_group.entry((one.entry, one.group)).or_default() += one.amount;
    }
    let is_outlay = |one: &&StartUpOutlay| {
        let sums = [
            of_entry.get(&one.entry),
            of_group.get(&(one.entry, one.group)),
        ];
        days.contains(one.date) && sums.into_iter().flatten().all(|sum| !sum.is_zero())
    };
    for one in start.outlays.iter().filter(is_outlay) {
        let (paid, brought) = if one.is_brought_in {
            (Money::ZERO, one.amount)
        } else {
            (one.amount, Money::ZERO)
        };
        sums[0] += paid;
        sums[1] += brought;
        table.line(vec![
            Cell::Number(one.entry.to_string()),
            one.date.to_string().into(),
            one.party.as_str().into(),
            one.memo.as_str().into(),
            one.group.heading().into(),
            book.chart().title(one.account).into(),
            side(paid),
            side(brought),
            yes(one.is_from_own_pocket),
            yes(one.is_for_rule),
        ]);
    }
    if table.rows().is_empty() {
        return table;
    }
    let mut cells = vec!["Together".into()];
    cells.extend([const { Cell::Empty }; 5]);
    cells.extend(sums.map(Cell::from));
    table.push(RowStyle::Final, cells);
    table.note(
        "Everything here came before the first day of business or on it. Start-up rule: what an estimate by such a rule \
         takes; whether it applies must be confirmed with local rules and a licensed professional.",
    );
    table
}

/// Things that the owner already had and brought in during the year, with what they were taken at and how that is known.
pub(super) fn brought_in(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Brought in by the owner", span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("what", "What, and how its value was taken")
        .column("account", "Booked on")
        .column("how_known", "How the value is known")
        .column("amount", "Taken at");
    let mut together = Money::ZERO;
    for posted in of_kind(book, EntryKind::BroughtIn, days)? {
        let proof = book.proof(posted.number)?;
        for line in posted.entry.lines() {
            if !line.amount.is_positive() {
                continue;
            }
            together += line.amount;
            table.line(vec![
                Cell::Number(posted.number.to_string()),
                posted.entry.header.date.to_string().into(),
                line.memo.as_str().into(),
                book.chart().title(line.account).into(),
                proof.stands_in.as_str().into(),
                line.amount.into(),
            ]);
        }
    }
    close(&mut table, 4, together);
    Ok(table)
}

/// How the set-aside stood at each instalment of the year.
pub(super) fn instalments(
    book: &Book,
    estimate: &Estimate,
    today: NaiveDate,
) -> Result<Table, ExportError> {
    let mut table = Table::new("Tax instalments", "As it stood on the day each was due")
        .column("no", "No.")
        .column("from", "Covers from")
        .column("to", "To")
        .column("due", "Due")
        .column("needed", "Needed by then")
        .column("put_by", "Put by")
        .column("paid", "Paid")
        .column("gap", "Missing");
    for one in reports::quarters_kept(book, estimate, today)? {
        table.line(vec![
            Cell::Number(one.no.to_string()),
            one.period.from.to_string().into(),
            one.period.to.to_string().into(),
            one.due.to_string().into(),
            one.needed.into(),
            one.put_by.into(),
            one.paid.into(),
            one.gap.into(),
        ]);
    }
    if !table.rows().is_empty() {
        table.note(
            "Estimates only: what is due must be confirmed with local rules and a licensed professional.",
        );
    }
    Ok(table)
}

/// What the owner paid of the year's own tax, also after its end, with the tax office's confirmations.
pub(super) fn tax_paid(book: &Book, year: i32) -> Result<Table, ExportError> {
    let days = reports::tax_payment_days(book, year)?;
    let mut table = Table::new("The owner's tax paid", span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "To")
        .column("memo", "For")
        .column("reference", "Confirmation")
        .column("amount", "Paid");
    let drawings = book.chart().role(Role::OwnerDrawings).ok();
    let mut together = Money::ZERO;
    for posted in of_kind(book, EntryKind::TaxInstalment, days)? {
        let lines = posted.entry.lines().iter();
        let amount: Money = lines
            .filter(|line| Some(line.account) == drawings)
            .map(|line| line.amount)
            .sum();
        together += amount;
        let header = posted.entry.header;
        table.line(vec![
            Cell::Number(posted.number.to_string()),
            header.date.to_string().into(),
            header.party.into(),
            header.memo.into(),
            header.reference.into(),
            amount.into(),
        ]);
    }
    close(&mut table, 4, together);
    Ok(table)
}

/// The largest entries of the year: what an accountant looks at first.
pub(super) fn largest(entries: &[PostedEntry], days: DateRange) -> Table {
    let mut table = Table::new("The largest entries", span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("kind", "What")
        .column("party", "With")
        .column("memo", "For")
        .column("amount", "Largest line");
    // Fees and cost of a sale stand in the same entry: its debits together say more than what was sold.
    let largest_line = |posted: &PostedEntry| {
        let lines = posted.entry.lines().iter();
        lines
            .map(|line| line.amount.abs())
            .max()
            .unwrap_or_default()
    };
    let is_plain = |posted: &&PostedEntry| {
        !matches!(
            posted.entry.header.kind,
            EntryKind::Opening
                | EntryKind::Closing
                | EntryKind::Transfer
                | EntryKind::Payout
                | EntryKind::Settlement
        ) && posted.reverses.is_none()
            && posted.reversed_by.is_none()
    };
    let mut chosen: Vec<&PostedEntry> = entries.iter().filter(is_plain).collect();
    chosen.sort_by_key(|posted| (std::cmp::Reverse(largest_line(posted)), posted.number));
    for posted in chosen.into_iter().take(LARGEST) {
        let header = &posted.entry.header;
        table.line(vec![
            Cell::Number(posted.number.to_string()),
            header.date.to_string().into(),
            header.kind.plain().into(),
            header.party.as_str().into(),
            header.memo.as_str().into(),
            largest_line(posted).into(),
        ]);
    }
    if !table.rows().is_empty() {
        table.note(
            "By the largest line of each. Opening, closing, transfers, payouts and what settles a card or a bill apart, \
             and what was taken back.",
        );
    }
    table
}

/// The sum beneath a list whose last column is the amount; `blank` columns stand between.
fn close(table: &mut Table, blank: usize, together: Money) {
    if table.rows().is_empty() {
        return;
    }
    let mut cells = vec!["Together".into()];
    cells.extend((0..blank).map(|_column| Cell::Empty));
    cells.push(together.into());
    table.push(RowStyle::Final, cells);
}
