//! Which figure is asked about: a small value that every figure on every screen carries with it.
//! How a figure is explained is in `model`.

use chrono::NaiveDate;

use crate::dates::DateRange;
use crate::ledger::{AccountId, EntryNumber};

/// A figure that can be explained.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Source {
    /// What an account held at the end of a day.
    Balance(AccountId, NaiveDate),
    /// What moved on an account in a period, closing entries left out.
    Movement(AccountId, DateRange),
    /// The accounts of a statement group in a period.
    Group(String, DateRange),
    /// The balances of a statement group at the end of a day.
    GroupBalance(String, NaiveDate),
    /// A line of the profit statement that is worked out.
    Profit(ProfitFigure, DateRange),
    /// A total of the balance sheet.
    BalanceTotal(BalanceFigure, NaiveDate),
    /// Money in bank accounts, savings and cash.
    MoneyInHand(NaiveDate),
    /// What is free to spend.
    FreeToSpend,
    /// What starting has cost.
    CostToStart,
    /// A line of the set-aside worksheet.
    SetAside(u32),
    /// What a sales channel owes.
    Channel(AccountId),
    /// A sales channel's statement of a period: from sales to what is still due.
    ChannelStatement(AccountId, DateRange),
    /// The book value of a piece of equipment, by its key.
    Equipment(String),
    /// The owner's capital in a period.
    Capital(DateRange),
    /// Recurring purchases due soon.
    DueSoon,
    /// One entry.
    Entry(EntryNumber),
}

/// A worked-out line of the profit statement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ProfitFigure {
    /// Sales less refunds and discounts.
    NetSales,
    /// What the sold things cost.
    CostOfGoodsSold,
    /// Net sales less cost of goods sold.
    GrossProfit,
    /// Income besides selling.
    OtherIncome,
    /// Running costs.
    Costs,
    /// What is left.
    NetProfit,
}

/// A total of the balance sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BalanceFigure {
    /// Everything the business has.
    Assets,
    /// Everything it owes.
    Liabilities,
    /// What belongs to the owner.
    Equity,
}
