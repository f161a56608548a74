//! Statements as plain values, made from the chart and from sums of lines; every line carries its account, so that a
//! figure can be explained. Amounts stand in their natural direction: what reduces its class is negative.

mod arrange;
pub mod balance_sheet;
pub mod bridge;
pub mod capital;
pub mod cash_basis;
pub mod channels;
pub mod closing;
pub mod goods_sold;
pub mod journal;
pub mod ledger_report;
pub mod movements;
pub mod postage;
pub mod product_sales;
pub mod profit;
pub mod small_equipment;
pub mod start_up;
pub mod stock_list;
pub mod things_list;
pub mod trial;

pub use arrange::StatementLine;
pub use balance_sheet::{BalanceLine, BalanceSheet, BalanceTotals, balance_sheet};
pub use bridge::{Bridge, BridgeLine, Includes, Reason, YearEnds, bridge};
pub use capital::{CapitalStatement, capital_statement};
pub use cash_basis::{
    Basis, BasisStep, CASH_CAUTION, CASH_NOTE, CashBasis, CashLine, HeldByShop, TIMING_ROLES,
    cash_basis,
};
pub use channels::{ChannelFacts, ChannelSummary, channel_summary};
pub use closing::{ClosingError, DrawingsCloseTo, closing_entry, closing_entry_to};
pub use goods_sold::{GoodsFormLine, GoodsSold, goods_sold};
pub use journal::{JournalLine, JournalRow, journal};
pub use ledger_report::{AccountLedger, LedgerLine, account_ledger};
pub use movements::{
    EquipmentMoved, MoneyPart, Moved, SupplierTotal, equipment_moved, money_parts, supplier_totals,
};
pub use postage::{PostageMonth, postage_by_month};
pub use product_sales::{ProductDay, ProductMargin, product_income, product_margins};
pub use profit::{
    ComparisonRow, ProfitComparison, ProfitSection, ProfitStatement, ProfitTotals, compare,
    profit_periods, profit_statement,
};
pub use small_equipment::{SmallEquipment, small_equipment};
pub use start_up::{
    CostToStart, StartUpCapital, StartUpGroup, StartUpLine, StartUpMarks, StartUpOutlay,
    cost_to_start, cost_to_start_marked,
};
pub use stock_list::{
    CountRow, StockAccount, StockFlow, StockLine, StockList, StockPeriod, Worth, count_sheet,
    stock_list,
};
pub use things_list::{ListedThing, THINGS_CAUTION, ThingSource, things_list};
pub use trial::{TrialBalance, TrialRow, trial_balance};
