//! Figures as JSON objects, with the keys that `assets/layouts.md` documents: amounts and dates are strings,
//! every object carries its currency and the days it covers.

mod adjusting;
mod bank;
mod catching_up;
mod closing_down;
mod deciding;
mod desk;
mod forms;
mod free;
mod going_on;
mod hours;
mod keeping;
mod lists;
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

use chrono::NaiveDate;
use serde::Serialize;

pub use adjusting::{AdjustedJson, AdjustingJson, adjusted, adjusting};
pub use bank::{
    BankJson, ReconciliationJson, RulesJson, TrayJson, bank, reconciliation, rules, tray,
};
pub use catching_up::{
    CatchingUpJson, LotsJson, MarkedEntriesJson, catching_up, lots, marked_entries,
};
pub use closing_down::{ClosingDownJson, closing_down};
pub use deciding::{
    CARD_CAUTION, CardJson, ComparisonsJson, PaybackJson, ProductsJson, WAYS_CAUTION, WaysJson,
    comparisons, cost_card, make_or_buy, payback, products,
};
pub use desk::{DutiesJson, QuestionsJson, duties, questions};
pub use forms::{FormLinesJson, form_lines};
pub use free::{FreeToSpendJson, free_to_spend};
pub use going_on::{
    FairsJson, GiftsJson, HelpersJson, LoansJson, MattersJson, fairs, gifts, helpers, loans,
    matters,
};
pub use hours::{EvidenceJson, HoursJson, PapersJson, evidence, hours, papers};
pub use keeping::{KeepJson, ThingsJson, keep_until, things_list};
pub use lists::{
    CostToStartJson, RecurringJson, START_CAUTION, SmallEquipmentJson, cost_to_start, recurring,
    small_equipment,
};
pub use log::{MileageJson, WorkspaceJson, mileage, workspace};
pub use month::{MonthJson, month};
pub use movements::{
    EquipmentMovedJson, MoneyByMonthJson, SuppliersJson, equipment_moved, money_by_month, suppliers,
};
pub use orders::{OrderJson, OrdersJson, order, orders};
pub use plan::{PlanJson, plan};
pub use records::{AccountsJson, JournalJson, LedgerJson, accounts, journal, ledger, settings};
pub use rooms::{
    CapitalJson, ChannelsJson, EQUIPMENT_CAUTION, EquipmentJson, NeedsJson, capital, channels,
    equipment, needs,
};
pub use set_aside::{DueDatesJson, RatesJson, SetAsideJson, due_dates, rates, set_aside};
pub use shared_bills::{SharedBillsJson, shared_bills};
pub use statement::statement;
pub use statements::{BalanceJson, ProfitJson, TrialJson, balance, cash_profit, profit, trial};
pub use stock::{
    BundlesJson, CountSheetJson, GOODS_CAUTION, GoodsSoldJson, StockJson, bundles, count_sheet,
    goods_sold, stock,
};

use crate::dates::DateRange;
use crate::money::Currency;

/// The currency and the days that a figure covers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Period {
    currency: String,
    from: NaiveDate,
    to: NaiveDate,
}

impl Period {
    fn new(currency: &Currency, range: DateRange) -> Self {
        Self {
            currency: currency.code().to_owned(),
            from: range.from,
            to: range.to,
        }
    }
}

/// The currency and the day that a figure holds on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AsOf {
    currency: String,
    as_of: NaiveDate,
}

impl AsOf {
    fn new(currency: &Currency, as_of: NaiveDate) -> Self {
        Self {
            currency: currency.code().to_owned(),
            as_of,
        }
    }
}
