//! Equipment, capital, channels, needs and the other rooms' figures as tables.

use chrono::NaiveDate;

use super::plan::first_year_words;
use super::span;
use crate::dates::{YearStart, show_day};
use crate::depreciation::Equipment;
use crate::export::json::{EQUIPMENT_CAUTION, START_CAUTION};
use crate::export::{Cell, RowStyle, Table};
use crate::ledger::Chart;
use crate::money::{Currency, Money};
use crate::needs::{Need, in_words};
use crate::plan::FIRST_YEAR_CAUTION;
use crate::recurring::Recurring;
use crate::reports::StartEstimate;
use crate::statements::{
    CapitalStatement, ChannelSummary, CostToStart, SmallEquipment, StartUpGroup,
};

/// The register: one line a piece, values at the end of a day.
#[must_use]
pub fn equipment(register: &[Equipment], as_of: NaiveDate, years: YearStart) -> Table {
    let mut table = Table::new("Equipment", format!("At the end of {}", show_day(as_of)))
        .column("name", "Name")
        .csv_column("supplier")
        .csv_column("serial")
        .csv_column("bought_on")
        .column("in_service_on", "In use from")
        .column("cost", "Cost")
        .csv_column("residual")
        .column("life_months", "Months")
        .column("business_share", "Business %")
        .csv_column("convention")
        .csv_column("condition")
        .column("accumulated", "Worn so far")
        .column("book_value", "Book value")
        .column("gone_on", "Gone on")
        .csv_column("proceeds")
        .csv_column("gain");
    let mut sums = [Money::ZERO; 3];
    for piece in register {
        let end = piece.disposal_outcome(years).filter(|end| end.on <= as_of);
        let is_here = end.is_none() && piece.bought_on <= as_of;
        let figures = if is_here {
            let worn = piece.accumulated(as_of, years);
            [piece.cost, worn, piece.carrying_amount(as_of, years)]
        } else {
            [Money::ZERO; 3]
        };
        for (sum, figure) in sums.iter_mut().zip(figures) {
            *sum += figure;
        }
        table.line(vec![
            piece.name.as_str().into(),
            piece.supplier.as_str().into(),
            piece.serial.as_str().into(),
            piece.bought_on.to_string().into(),
            piece.in_service_on.to_string().into(),
            piece.cost.into(),
            piece.residual_on(as_of).into(),
            Cell::Number(piece.life_months_on(as_of).to_string()),
            Cell::Number(piece.business_share.to_string()),
            piece.convention.as_str().into(),
            piece.condition.as_str().into(),
            piece.accumulated(as_of, years).into(),
            figures[2].into(),
            end.as_ref()
                .map_or(Cell::Empty, |end| end.on.to_string().into()),
            end.as_ref().map(|end| end.proceeds).into(),
            end.as_ref().map(|end| end.gain).into(),
        ]);
    }
    let mut total = vec![Cell::Empty; 16];
    total[0] = "Here at the end of the day".into();
    total[5] = sums[0].into();
    total[11] = sums[1].into();
    total[12] = sums[2].into();
    table.push(RowStyle::Final, total);
    table.note(EQUIPMENT_CAUTION);
    table
}

/// The schedules: one line a piece and financial year.
#[must_use]
pub fn equipment_schedule(register: &[Equipment], years: YearStart) -> Table {
    let mut table = Table::new("Wear of equipment by year", "")
        .csv_column("name")
        .column("year", "Year")
        .column("charge", "Wear")
        .column("business_charge", "Business share")
        .column("accumulated", "Worn so far")
        .column("book_value", "Book value");
    for piece in register {
        table.heading(&piece.name);
        for year in piece.yearly_schedule(years) {
            table.line(vec![
                piece.name.as_str().into(),
                Cell::Number(year.year.to_string()),
                year.charge.into(),
                year.business_charge.into(),
                year.accumulated.into(),
                year.book_value.into(),
            ]);
        }
    }
    table.note(EQUIPMENT_CAUTION);
    table
}

/// The owner's capital.
#[must_use]
pub fn capital(statement: &CapitalStatement, currency: &Currency) -> Table {
    let mut table = Table::new("Owner's capital", span(statement.range))
        .column("what", "")
        .column("amount", currency.code());
    for (what, amount) in [
        ("At the beginning", statement.opening),
        (
            "Owner's money in, things brought in included",
            statement.money_in,
        ),
        (
            "Owner's money out, private shares included",
            -statement.money_out,
        ),
        ("Profit", statement.profit),
    ] {
        table.line(vec![what.into(), amount.into()]);
    }
    table.push(
        RowStyle::Final,
        vec!["At the end".into(), statement.closing.into()],
    );
    table
}

/// The sales channels, one column each, from gross sales to what is still due.
#[must_use]
pub fn channels(
    summaries: &[ChannelSummary],
    range: crate::dates::DateRange,
    chart: &Chart,
) -> Table {
    let mut table = Table::new("Sales channels", span(range))
        .column("channel", "Channel")
        .csv_column("account")
        .column("gross_sales", "Gross sales")
        .csv_column("discounts")
        .csv_column("postage")
        .csv_column("tax_ours")
        .column("refunds", "Refunds")
        .column("fees", "Fees")
        .csv_column("tax_by_channel")
        .column("net", "Net")
        .csv_column("opening")
        .column("payouts", "Payouts")
        .csv_column("other")
        .column("still_due", "Still due")
        .column("held", "Held")
        .column("available", "Available")
        .csv_column("buyers_paid")
        .csv_column("reported_gross")
        .csv_column("difference");
    for one in summaries {
        let number = chart
            .account(one.account)
            .map(|account| account.number.clone())
            .unwrap_or_default();
        table.line(vec![
            one.name.as_str().into(),
            number.into(),
            one.gross_sales.into(),
            one.discounts.into(),
            one.postage.into(),
            one.tax_ours.into(),
            one.refunds.into(),
            one.fees.into(),
            one.tax_by_channel.into(),
            one.net.into(),
            one.opening.into(),
            one.payouts.into(),
            one.other.into(),
            one.still_due.into(),
            one.held.into(),
            one.available().into(),
            one.buyers_paid.into(),
            one.reported_gross.into(),
            one.difference.into(),
        ]);
        if let Some(difference) = one.difference.filter(|difference| !difference.is_zero()) {
            table.note(format!(
                "{} reports another gross than the books: the difference is in the last column of the JSON and of the year's folder ({}).",
                one.name,
                if difference.is_negative() { "the books have more" } else { "the channel has more" }
            ));
        }
    }
    table.note("Net is sales less discounts, with postage and our own tax, less refunds and fees; a payout only settles it.");
    table
}

/// What wants doing.
#[must_use]
pub fn needs(needs: &[Need], as_of: NaiveDate) -> Table {
    let mut table = Table::new("What wants doing", show_day(as_of))
        .column("when", "")
        .column("what", "")
        .column("since", "Since")
        .column("note", "");
    for need in needs {
        table.line(vec![
            need.kind.rhythm().heading().into(),
            need.what.as_str().into(),
            need.since
                .map_or(Cell::Empty, |since| show_day(since).into()),
            need.note.as_str().into(),
        ]);
    }
    table.note(in_words(needs));
    table
}

/// Recurring purchases.
#[must_use]
pub fn recurring(list: &[Recurring], as_of: NaiveDate) -> Table {
    let mut table = Table::new("Recurring purchases", show_day(as_of))
        .column("name", "Name")
        .column("party", "To")
        .column("amount", "Amount")
        .column("every_months", "Months")
        .column("next_due", "Next due")
        .column("state", "");
    for one in list {
        let due = one.due(as_of).len();
        let state = match due {
            _ if !one.is_active => "ended".to_owned(),
            0 => String::new(),
            1 => "due".to_owned(),
            more => format!("due {more} times"),
        };
        table.line(vec![
            one.name.as_str().into(),
            one.party.as_str().into(),
            one.amount.into(),
            Cell::Number(one.every_months.to_string()),
            show_day(one.next_due).into(),
            state.into(),
        ]);
    }
    table
}

/// Small equipment that was a cost at once and is still a thing to keep track of.
#[must_use]
pub fn small_equipment(list: &[SmallEquipment], as_of: NaiveDate) -> Table {
    let mut table = Table::new(
        "Small equipment",
        format!(
            "A cost at once, still here to be listed; through {}",
            show_day(as_of)
        ),
    )
    .column("entry", "No.")
    .column("bought_on", "Bought")
    .column("supplier", "From")
    .column("what", "What")
    .column("quantity", "How many")
    .column("amount", "Cost");
    let mut sum = Money::ZERO;
    for one in list {
        sum += one.amount;
        table.line(vec![
            Cell::Number(one.entry.to_string()),
            one.bought_on.to_string().into(),
            one.supplier.as_str().into(),
            one.what.as_str().into(),
            one.quantity
                .map_or(Cell::Empty, |quantity| Cell::Number(quantity.to_string())),
            one.amount.into(),
        ]);
    }
    let mut total = vec![Cell::Empty; 6];
    total[3] = "Total".into();
    total[5] = sum.into();
    table.push(RowStyle::Final, total);
    table
}

/// The words for a group of what it cost to start.
#[must_use]
pub const fn start_group(group: StartUpGroup) -> &'static str {
    match group {
        StartUpGroup::Equipment => "Equipment",
        StartUpGroup::MaterialsAndStock => "Materials and stock",
        StartUpGroup::Packaging => "Packaging",
        StartUpGroup::StartUpCosts => "Getting ready",
        StartUpGroup::CompanyForming => "Forming the company",
    }
}

/// What it cost to start.
#[must_use]
pub fn cost_to_start(cost: &CostToStart, estimate: &StartEstimate, currency: &Currency) -> Table {
    let mut table = Table::new(
        "Cost to start",
        format!("Through {}", show_day(cost.through)),
    )
    .csv_column("group")
    .csv_column("account")
    .column("name", "")
    .column("paid_out", "Paid out")
    .column("brought_in", "Brought in");
    let mut group = None;
    for line in &cost.lines {
        if group != Some(line.group) {
            table.heading(start_group(line.group));
            group = Some(line.group);
        }
        table.line(vec![
            start_group(line.group).into(),
            line.number.as_str().into(),
            line.name.as_str().into(),
            line.paid_out.into(),
            line.brought_in.into(),
        ]);
    }
    table.push(
        RowStyle::Final,
        vec![
            Cell::Empty,
            Cell::Empty,
            "Together".into(),
            cost.paid_out.into(),
            cost.brought_in.into(),
        ],
    );
    let capital = cost.capital;
    table.note(format!(
        "Put in to start: {} in money, {} from the owner's own pocket, {} brought in.",
        currency.show(capital.money),
        currency.show(capital.own_pocket),
        currency.show(capital.brought_in)
    ));
    for words in first_year_words(estimate, currency) {
        table.note(words);
    }
    table.note(FIRST_YEAR_CAUTION);
    table.note(START_CAUTION);
    table
}
