//! How money, equipment and suppliers' totals moved, as tables.
//! What the figures are is decided in `statements`; here it is where they stand.

use super::span;
use crate::dates::{DateRange, Month};
use crate::export::{Cell, RowStyle, Table};
use crate::money::{Currency, Money};
use crate::statements::{EquipmentMoved, MoneyPart, Moved, SupplierTotal};

/// What all money did month by month: opening, in by kind, out by kind, closing.
#[must_use]
pub fn money_by_month(parts: &[MoneyPart], range: DateRange, currency: &Currency) -> Table {
    let mut table = Table::new(
        "Money by month",
        format!(
            "{}: bank accounts, savings and cash; moves between them are neither in nor out",
            span(range)
        ),
    )
    .csv_column("month")
    .csv_column("direction")
    .column("what", "")
    .column("amount", currency.code());
    for part in parts {
        let month = Month::of(part.range.from);
        let title = format!("{} {}", month.name(), month.year());
        table.heading(&title);
        let row = |direction: &str, what: &str, amount: Money| {
            vec![
                title.as_str().into(),
                direction.into(),
                what.into(),
                amount.into(),
            ]
        };
        table.line(row("opening", "At the beginning", part.opening));
        for (kind, amount) in &part.came_in {
            table.line(row("in", kind.plain(), *amount));
        }
        for (kind, amount) in &part.went_out {
            table.line(row("out", kind.plain(), -*amount));
        }
        table.push(RowStyle::Total, row("closing", "At the end", part.closing));
    }
    table
}

/// Suppliers by what they were paid, and how.
#[must_use]
pub fn suppliers(list: &[SupplierTotal], range: DateRange, currency: &Currency) -> Table {
    let mut table = Table::new(
        "Suppliers",
        format!(
            "{}: what each was paid, what came back taken off; in {}",
            span(range),
            currency.code()
        ),
    )
    .column("supplier", "Supplier")
    .column("bank", "Bank")
    .column("card", "Card")
    .column("cash", "Cash")
    .column("otherwise", "Otherwise")
    .column("total", "Together")
    .column("bought", "What for")
    .csv_column("entries");
    for one in list {
        let bought: Vec<&str> = one.bought.iter().map(String::as_str).collect();
        let entries: Vec<String> = one.entries.iter().map(ToString::to_string).collect();
        table.line(vec![
            one.party.as_str().into(),
            one.bank.into(),
            one.card.into(),
            one.cash.into(),
            one.otherwise.into(),
            one.total().into(),
            bought.join("; ").into(),
            entries.join(" ").into(),
        ]);
    }
    table.note("Otherwise: bills not paid yet, paid from the owner's pocket, or set against something else. Who must be reported, and which ways of paying count, depends on local rules: confirm with a licensed professional.");
    table
}

/// Equipment with what came and went: cost and wear, piece by piece and together.
#[must_use]
pub fn equipment_moved(
    list: &[(String, EquipmentMoved)],
    range: DateRange,
    currency: &Currency,
) -> Table {
    let mut table = Table::new(
        "Equipment that came and went",
        format!("{}, in {}", span(range), currency.code()),
    )
    .column("piece", "")
    .column("cost_opening", "Cost before")
    .column("cost_added", "Added")
    .column("cost_gone", "Gone")
    .column("cost_closing", "Cost after")
    .column("wear_opening", "Wear before")
    .column("wear_added", "Added")
    .column("wear_gone", "Gone")
    .column("wear_closing", "Wear after")
    .column("book_value", "Book value");
    let row = |name: &str, cost: Moved, wear: Moved| -> Vec<Cell> {
        vec![
            name.into(),
            cost.opening.into(),
            cost.added.into(),
            cost.gone.into(),
            cost.closing().into(),
            wear.opening.into(),
            wear.added.into(),
            wear.gone.into(),
            wear.closing().into(),
            (cost.closing() - wear.closing()).into(),
        ]
    };
    let (mut cost, mut wear) = (Moved::default(), Moved::default());
    for (name, piece) in list {
        table.line(row(name, piece.cost, piece.wear));
        for (sum, moved) in [(&mut cost, piece.cost), (&mut wear, piece.wear)] {
            sum.opening += moved.opening;
            sum.added += moved.added;
            sum.gone += moved.gone;
        }
    }
    table.push(RowStyle::Final, row("Together", cost, wear));
    table
}
