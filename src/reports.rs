//! Figures of a book: asks the book for balances and entries and gives them to the rules that work them out.
//! Shared by the window, the headless verbs and what leaves the book, so that all show the same; no rule and no SQL
//! is here.

mod adjusting;
mod adjustments;
mod basis;
mod catching_up;
mod closing_down;
mod deciding;
mod desk;
mod doing;
mod estimates;
mod form_lines;
mod free;
mod going_on;
mod keeping;
mod mileage;
mod month;
mod movements;
mod occasions;
mod orders;
mod periods;
mod plan;
mod reconciling;
mod selling;
mod set_aside_year;
mod shops;
mod sorting;
mod statements;
mod stock;
mod tray_reading;
mod workspace;

use crate::book::BookError;
use crate::free_to_spend::BuyingError;
use crate::happenings::HappeningError;
use crate::set_aside::SetAsideError;

use adjusting::still_to_count;
pub use adjusting::{
    ADJUSTING_CAUTION, AdjustingReport, PostedAdjusting, Proposal, Proposed, adjusting,
    adjusting_tag, left_out, post_adjusting,
};
pub use adjustments::{AdjustmentError, post_adjustments};
pub use basis::{basis, cash_basis};
pub use catching_up::{
    LeftInYear, Manner, ask_about, behind, catching_up, decisions, left_in_year, refine, remember,
    rough_entries, treat_alike, unexplained, without_receipt,
};
pub use closing_down::{ClosingReport, closing_down, owners_accounts_entry};
pub use deciding::{
    BatchTold, CardAsk, CardKnown, CardTold, ChannelShare, Input, Making, PAYBACK_CAUTION,
    PaybackReport, Recorded, batches, card_known, lost_percent, made_items, making, margins,
    margins_of, payback, product_days,
};
pub use desk::{
    AHEAD_DAYS, DutiesReport, DutyReport, EVIDENCE_CAUTION, Fact, HoursReport, QuestionReport,
    ReturnReport, TaxDay, duties, duties_near, evidence, hours, period_tax, questions,
    questions_of, returns, week_of,
};
pub use doing::{
    due_purchases, open_needs, paid_ahead_due, paid_ahead_recordings, release_paid_ahead,
    wear_by_month, wear_proposal,
};
pub use estimates::{
    DueDates, Trial, due_dates, estimate, estimate_if_any, estimate_of_year, estimate_or_plain,
    estimate_with, put_by_or_paid,
};
pub use form_lines::{form_lines, form_of};
pub use free::{FreeReport, can_i_buy, free, free_with};
pub use going_on::{
    FairReport, GIFTS_CAUTION, GiftReport, Gifts, HELPERS_CAUTION, HelperReport, Helpers,
    LoanReport, fair_days, gifts, helpers, loans,
};
pub use keeping::{
    KeepReport, KeptPiece, KeptYear, keep_rule_of, keep_until, kept_year, things, usual_list_day,
};
pub use mileage::{FairMiles, MileageReport, Vehicle, fairs_without_trip, mileage};
pub use month::{MonthCard, MonthMend, MonthOpen, MonthPoint, month_card, months_over};
pub use movements::{equipment_moved, money_by_month, suppliers};
pub use occasions::{OccasionFacts, matters_due, refunded_sales};
use orders::orders_found;
pub use orders::{
    ArrivalReport, ClaimReport, LineReport, OrderReport, arrival_recording, bill_later_recording,
    credit_recording, item_names, order, order_of_number, orders,
};
use periods::balances_before;
pub use periods::{last_whole_month, usual_day, usual_year};
use plan::rule_of_start;
pub use plan::{PlanReport, StartEstimate, plan, start_estimate};
pub use reconciling::{
    AgreedReport, SheetReport, agreed, as_on_statement, has_statements, not_agreed, sheet,
};
pub use selling::{
    channels, channels_due, channels_part, channels_that_moved, channels_together, refunds_of,
};
pub use set_aside_year::{
    MonthKept, QuarterKept, amounts_due, month_kept, payment_days as tax_payment_days,
    quarters_kept,
};
pub use shops::{
    ShopFile, ShopFileError, bridge_includes, bridges, shop_known, shop_products, shop_steps,
};
pub use sorting::{
    Accepted, Tray, TrayRow, accept, accept_covered, accept_covered_telling, accept_suggested,
    line_candidates, tray, treat,
};
pub use statements::{
    balance, capital, entries, journal, ledger, profit, profit_by_month, small_things,
    small_things_by, start_cost, trial, trial_of,
};
use stock::stock_found;
pub use stock::{
    BundleOnHand, SLOW_AFTER_DAYS, SlowStock, bundles, cost_of_goods_sold, slow_stock, stock,
    stock_in, to_count, uncounted,
};
pub use tray_reading::TrayReading;
pub use workspace::{WorkspaceReport, workspace};

/// Why a figure could not be worked out.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// The book could not be read.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The set-aside estimate refuses.
    #[error(transparent)]
    SetAside(#[from] SetAsideError),
    /// A purchase cannot be tried.
    #[error(transparent)]
    Buying(#[from] BuyingError),
    /// An entry that was due cannot be.
    #[error(transparent)]
    Happening(#[from] HappeningError),
}

impl From<crate::ledger::ChartError> for ReportError {
    fn from(error: crate::ledger::ChartError) -> Self {
        Self::Book(error.into())
    }
}

impl From<ReportError> for BookError {
    fn from(error: ReportError) -> Self {
        match error {
            ReportError::Book(error) => error,
            ReportError::SetAside(error) => Self::Refused(error.to_string()),
            ReportError::Buying(error) => Self::Refused(error.to_string()),
            ReportError::Happening(error) => Self::Refused(error.to_string()),
        }
    }
}
