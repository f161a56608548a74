//! Statements laid out as tables, for the terminal and for CSV files.
//! What the figures are is decided in `statements`; here it is where they stand.

mod adjusting;
mod bank;
mod basis;
mod catching_up;
mod closing_down;
mod deciding;
mod desk;
mod forms;
mod free;
mod going_on;
mod hours;
mod keeping;
mod log;
mod month;
mod movements;
mod orders;
mod plan;
mod records;
mod rooms;
mod set_aside;
mod shared_bills;
mod statement;
mod statements;
mod stock;
mod year;

pub use adjusting::{adjusting, adjusting_proposed};
pub use bank::{agreed, bank, reconciliation, rules, tray};
pub use basis::{basis_bridge, cash_profit};
pub use catching_up::{catching_up, lots, marked_entries};
pub use closing_down::closing_down;
pub use deciding::{comparisons, cost_card, make_or_buy, payback, products};
pub use desk::{duties, duties_done, questions, questions_sheet, sales_tax};
pub use forms::tax_form;
pub use free::free_to_spend;
pub use going_on::{fairs, gifts, helpers, loans, matters};
pub use hours::{decisions, evidence, hours, papers};
pub use keeping::{keep_until, things_list};
pub use log::{
    mileage, mileage_log, mileage_words, workspace, workspace_bills, workspace_spaces,
    workspace_words,
};
pub use month::month;
pub use movements::{equipment_moved, money_by_month, suppliers};
pub use orders::{order_arrivals, order_bill, order_claims, orders};
pub use plan::{first_year_words, plan};
pub use records::{accounts, general_ledger, journal, ledger, settings};
pub use rooms::{
    capital, channels, cost_to_start, equipment, equipment_schedule, needs, recurring,
    small_equipment, start_group,
};
pub use set_aside::{due_dates, rates, set_aside};
pub use shared_bills::shared_bills;
pub use statement::{statement_head, statement_line};
pub use statements::{balance, form_lines, profit, profit_grid, profit_periods, trial};
pub use stock::{bundles, count_sheet, goods_sold, stock};
pub use year::{balance_of_year, form_lines_by_account, profit_of_year, trial_of_year};

use crate::dates::{DateRange, show_day};

/// A range in words.
fn span(range: DateRange) -> String {
    format!("{} to {}", show_day(range.from), show_day(range.to))
}
