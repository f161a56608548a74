//! Which figure is asked about: a small value that every figure on every screen carries with it.
//! How a figure is explained is in `model`.

use chrono::NaiveDate;

use crate::dates::DateRange;
use crate::free_to_spend::Term;
use crate::ledger::{AccountId, EntryKind, EntryNumber, Role};
use crate::money::Money;
use crate::statements::ChannelSummary;

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
    /// A term of what is free to spend.
    FreeTerm(Term),
    /// What starting has cost.
    CostToStart,
    /// A line of the set-aside worksheet.
    SetAside(u32),
    /// What a sales channel owes.
    Channel(AccountId),
    /// A sales channel's statement of a period: from sales to what is still due.
    ChannelStatement(AccountId, DateRange),
    /// A figure of all shops together.
    Shops(ShopFigure, DateRange),
    /// What one shop, or all of them, hold back on a day.
    Held(Option<AccountId>, NaiveDate),
    /// Postage charged less postage paid.
    Postage(DateRange),
    /// The entries of a kind that were not taken back, each with the sum of its debits.
    OfKind(EntryKind, DateRange),
    /// What recurs, in a year.
    Yearly,
    /// What was paid ahead and is used up.
    UsedUp,
    /// The book value of a piece of equipment, by its key.
    Equipment(String),
    /// What the kept items are worth on a day, together.
    Stock(NaiveDate),
    /// What one kept item is worth on a day, by its code.
    ItemValue(String, NaiveDate),
    /// What stands on a stock account without a kept item, on a day.
    NotItemised(Role, NaiveDate),
    /// What an order to a supplier has cost, by its number in the book, known on a day.
    OrderCost(i64, NaiveDate),
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

/// A figure of the shops.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ShopFigure {
    /// Sales at full price less discounts, with postage and the tax that is owed on.
    Sold,
    /// Given back to customers.
    GivenBack,
    /// Fees, less those given back.
    Fees,
    /// Paid out.
    PaidOut,
    /// Still due at the end.
    StillDue,
}

impl ShopFigure {
    /// The figure of one shop.
    #[must_use]
    pub fn of(self, shop: &ChannelSummary) -> Money {
        match self {
            Self::Sold => shop.gross_sales - shop.discounts + shop.postage + shop.tax_ours,
            Self::GivenBack => shop.refunds,
            Self::Fees => shop.fees,
            Self::PaidOut => shop.payouts,
            Self::StillDue => shop.still_due,
        }
    }

    /// What it is.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sold => "Sold through shops",
            Self::GivenBack => "Given back to customers of the shops",
            Self::Fees => "Fees of the shops",
            Self::PaidOut => "Paid out by the shops",
            Self::StillDue => "Still due from the shops",
        }
    }
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
