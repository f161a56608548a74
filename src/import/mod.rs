//! Sheets read into values: the open CSV layouts, typed cells, and what each kind of sheet means.
//! Nothing is written here; a sheet that has a fault yields its faults and nothing else.

mod accounts;
mod adjustments;
pub mod bank;
mod bank_sheets;
mod brought;
mod bundles;
mod cells;
mod comparisons;
mod context;
mod desk_sheets;
mod entries;
mod equipment;
mod fault;
mod items;
pub mod layouts;
mod log_sheets;
mod movements;
mod occasions;
mod orders;
mod owner;
mod payouts;
mod plan;
mod purchases;
mod receipts;
mod recipes;
mod recurring;
mod refunds;
mod sales;
mod settings;
mod sheet;
mod shop_sheets;
pub mod shops;

pub use accounts::{AccountRow, accounts};
pub use adjustments::{AdjustmentRow, FROM_ACCOUNTANT, adjustments, first_day_in};
pub use bank_sheets::{
    LineBecame, StatementFileRow, StatementLineRow, StatementRow, reconciliations, sorting_choices,
    sorting_rules, statement_files, statement_lines, statements,
};
pub use brought::Brought;
pub use bundles::{BundleRow, bundles};
pub use cells::{Row, Rows};
pub use comparisons::{ComparisonRow, comparisons};
pub use context::Context;
pub use desk_sheets::{
    DutyDoneRow, DutyRow, HoursRow, PaperRow, QuestionRow, decisions, duties, duties_done, hours,
    papers, questions,
};
pub use entries::{EntryRow, entries};
pub use equipment::{EquipmentRow, TermsRow, equipment, equipment_changes};
pub use fault::{Fault, Faults};
pub use items::{ItemRow, Items, items};
pub use layouts::{Column, Layout};
pub use log_sheets::{home_bills, readings, shared_bills, spaces, trips};
pub use movements::{KeptMovement, MovementGroup, kept_movements, movements};
pub use occasions::{OccasionRow, matters, occasion_rows};
pub use orders::{
    ArrivalRow, ClaimRow, OrderRow, supplier_arrivals, supplier_claims, supplier_orders,
};
pub use owner::{Owed, owner};
pub use payouts::payouts;
pub use plan::{PlanPurchaseRow, plan, plan_money, plan_purchases, start_up_marks};
pub use purchases::purchases;
pub use receipts::{ReceiptRow, SeenRow, receipts, receipts_seen};
pub use recipes::{RecipeRow, recipes};
pub use recurring::{
    HoldRow, RecurringRow, ReportedRow, holds, recurring, remembered, reported_gross,
};
pub use refunds::{SaleFound, refunds};
pub use sales::{new_channels, sales};
pub use settings::{SettingRow, settings};
pub use sheet::Sheet;
pub use shop_sheets::{FileLayoutRow, file_layouts, shop_fees, shop_items, shop_records};
