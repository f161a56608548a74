//! Which figure is asked about: a small value that every figure on every screen carries with it.
//! How a figure is explained is in `model`.

use chrono::NaiveDate;

use crate::dates::DateRange;
use crate::free_to_spend::Term;
use crate::ledger::{AccountId, EntryKind, EntryNumber, Role};
use crate::money::Money;
use crate::statements::{ChannelSummary, EquipmentMoved, MoneyPart, SupplierTotal};

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
    /// What entries of a kind brought into all money in a period, or took out of it.
    MoneyMoved(EntryKind, Flow, DateRange),
    /// What a supplier was paid in a period, one way or all together.
    Supplier(String, PaidBy, DateRange),
    /// How the cost or the wear of a piece of equipment, by its key, or of all of it moved in a period.
    EquipmentMoved(Option<String>, EquipmentFigure, DateRange),
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

/// Which way money went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Flow {
    /// It came in.
    In,
    /// It went out; its amount is below nothing.
    Out,
}

impl Flow {
    /// What entries of a kind did to all money this way.
    #[must_use]
    pub fn of(self, kind: EntryKind, part: &MoneyPart) -> Money {
        match self {
            Self::In => part.came_in.get(&kind).copied().unwrap_or_default(),
            Self::Out => -part.went_out.get(&kind).copied().unwrap_or_default(),
        }
    }
}

/// A way of paying a supplier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PaidBy {
    /// From bank accounts and savings.
    Bank,
    /// By the business's card.
    Card,
    /// From the cash box.
    Cash,
    /// On a bill, from the owner's pocket, or set against something else.
    Otherwise,
    /// All of it.
    Together,
}

impl PaidBy {
    /// All, in the order of the columns.
    pub const ALL: [Self; 5] = [
        Self::Bank,
        Self::Card,
        Self::Cash,
        Self::Otherwise,
        Self::Together,
    ];

    /// What a supplier was paid this way.
    #[must_use]
    pub fn of(self, supplier: &SupplierTotal) -> Money {
        match self {
            Self::Bank => supplier.bank,
            Self::Card => supplier.card,
            Self::Cash => supplier.cash,
            Self::Otherwise => supplier.otherwise,
            Self::Together => supplier.total(),
        }
    }

    /// What it is.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Bank => "paid from the bank",
            Self::Card => "paid by card",
            Self::Cash => "paid in cash",
            Self::Otherwise => "paid otherwise",
            Self::Together => "paid in all",
        }
    }
}

/// A figure about equipment over a period.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EquipmentFigure {
    /// Cost at the beginning.
    CostBefore,
    /// Cost that came.
    CostAdded,
    /// Cost that went, with what was sold or thrown away.
    CostGone,
    /// Cost at the end.
    CostAfter,
    /// Wear so far, at the beginning.
    WearBefore,
    /// Wear of the period.
    WearAdded,
    /// Wear that went with what was sold or thrown away.
    WearGone,
    /// Wear so far, at the end.
    WearAfter,
    /// Cost less wear, at the end.
    BookValue,
}

impl EquipmentFigure {
    /// All, in the order of the columns.
    pub const ALL: [Self; 9] = [
        Self::CostBefore,
        Self::CostAdded,
        Self::CostGone,
        Self::CostAfter,
        Self::WearBefore,
        Self::WearAdded,
        Self::WearGone,
        Self::WearAfter,
        Self::BookValue,
    ];

    /// The figure of a piece.
    #[must_use]
    pub fn of(self, piece: &EquipmentMoved) -> Money {
        match self {
            Self::CostBefore => piece.cost.opening,
            Self::CostAdded => piece.cost.added,
            Self::CostGone => piece.cost.gone,
            Self::CostAfter => piece.cost.closing(),
            Self::WearBefore => piece.wear.opening,
            Self::WearAdded => piece.wear.added,
            Self::WearGone => piece.wear.gone,
            Self::WearAfter => piece.wear.closing(),
            Self::BookValue => piece.cost.closing() - piece.wear.closing(),
        }
    }

    /// What it is.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::CostBefore => "cost before",
            Self::CostAdded => "cost added",
            Self::CostGone => "cost gone",
            Self::CostAfter => "cost after",
            Self::WearBefore => "wear before",
            Self::WearAdded => "wear added",
            Self::WearGone => "wear gone",
            Self::WearAfter => "wear after",
            Self::BookValue => "book value",
        }
    }

    /// The figures it is made of, and whether each is taken off; none when it is made of entries.
    #[must_use]
    pub const fn parts(self) -> &'static [(Self, bool)] {
        match self {
            Self::CostAfter => &[
                (Self::CostBefore, false),
                (Self::CostAdded, false),
                (Self::CostGone, true),
            ],
            Self::WearAfter => &[
                (Self::WearBefore, false),
                (Self::WearAdded, false),
                (Self::WearGone, true),
            ],
            Self::BookValue => &[(Self::CostAfter, false), (Self::WearAfter, true)],
            _ => &[],
        }
    }
}
