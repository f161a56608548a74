//! One account: what it is called, which class it belongs to, what the program uses it for.
//! The list of them is `chart`.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The lasting identity of an account in its book; numbers and names may change, this does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct AccountId(pub i64);

/// The five classes of accounts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AccountClass {
    /// What the business has.
    Asset,
    /// What the business owes.
    Liability,
    /// What belongs to the owner.
    Equity,
    /// What comes in from selling, and other income.
    Income,
    /// What it costs.
    Expense,
}

impl AccountClass {
    /// All classes in the order of statements.
    pub const ALL: [Self; 5] = [
        Self::Asset,
        Self::Liability,
        Self::Equity,
        Self::Income,
        Self::Expense,
    ];

    /// The word used in sheets and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Asset => "asset",
            Self::Liability => "liability",
            Self::Equity => "equity",
            Self::Income => "income",
            Self::Expense => "expense",
        }
    }

    /// Whether its balances usually stand on the debit side.
    #[must_use]
    pub const fn is_debit_side(self) -> bool {
        matches!(self, Self::Asset | Self::Expense)
    }

    /// Whether it belongs to the profit statement and is closed at the year's end.
    #[must_use]
    pub const fn is_profit_and_loss(self) -> bool {
        matches!(self, Self::Income | Self::Expense)
    }
}

impl fmt::Display for AccountClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for AccountClass {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|class| class.as_str().eq_ignore_ascii_case(text.trim()))
            .ok_or_else(|| {
                format!("'{text}' is not a class; use asset, liability, equity, income or expense")
            })
    }
}

macro_rules! roles {
    ($($(#[$doc:meta])* $variant:ident = $slug:literal,)*) => {
        /// What the program uses an account for. Held by at most one account of a book,
        /// and kept when the owner renumbers or renames it.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Role { $($(#[$doc])* $variant,)* }

        impl Role {
            /// Every role.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The word used in sheets and in the chart's file.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $slug,)* }
            }
        }
    };
}

roles! {
    /// The account that the business banks with.
    BusinessBank = "business-bank",
    /// Savings kept back for tax.
    SetAside = "set-aside",
    /// Notes and coins.
    CashBox = "cash-box",
    /// The first account of the payouts-due group.
    PayoutsDue = "payouts-due",
    /// Money taken back in a dispute.
    InDispute = "in-dispute",
    /// Sales not yet paid.
    CustomersOwe = "customers-owe",
    /// Private things the business paid, to be paid back.
    OwedByOwner = "owed-by-owner",
    /// Raw materials inventory.
    Materials = "materials",
    /// Finished goods made here.
    MadeGoods = "made-goods",
    /// Merchandise bought for resale.
    BoughtInGoods = "bought-in-goods",
    /// Work in process.
    PartMade = "part-made",
    /// Packaging kept as stock.
    PackagingOnHand = "packaging-on-hand",
    /// Prepaid expenses.
    PaidInAdvance = "paid-in-advance",
    /// Fixed assets at cost.
    Equipment = "equipment",
    /// Accumulated depreciation.
    AccumulatedDepreciation = "accumulated-depreciation",
    /// Start-up costs carried forward.
    StartUpCosts = "start-up-costs",
    /// Organisational costs carried forward.
    CompanyFormingCosts = "company-forming-costs",
    /// Suspense: what moved and nobody can explain yet.
    NotExplained = "not-explained",
    /// Accounts payable.
    BillsToPay = "bills-to-pay",
    /// The business credit card.
    CreditCard = "credit-card",
    /// Business things the owner paid, to be paid back.
    OwedToOwner = "owed-to-owner",
    /// Sales tax collected and owed.
    SalesTax = "sales-tax",
    /// Customer deposits and vouchers.
    CustomerDeposits = "customer-deposits",
    /// Loans.
    Loans = "loans",
    /// Owner's capital.
    OwnerCapital = "owner-capital",
    /// Owner's drawings.
    OwnerDrawings = "owner-drawings",
    /// Retained earnings.
    ProfitBroughtForward = "profit-brought-forward",
    /// Sales.
    Sales = "sales",
    /// Postage charged to customers.
    PostageCharged = "postage-charged",
    /// Sales returns and allowances.
    Refunds = "refunds",
    /// Sales discounts.
    Discounts = "discounts",
    /// Interest received.
    InterestReceived = "interest-received",
    /// Other income.
    OtherIncome = "other-income",
    /// Claims and insurance received.
    ClaimsReceived = "claims-received",
    /// Cost of goods sold.
    CostOfGoodsSold = "cost-of-goods-sold",
    /// Goods made outside and not kept as stock.
    MadeOutside = "made-outside",
    /// Abnormal waste.
    Waste = "waste",
    /// Supplies used up.
    Consumables = "consumables",
    /// Small equipment expensed at once.
    SmallTools = "small-tools",
    /// Repairs and maintenance.
    Repairs = "repairs",
    /// Office costs.
    Office = "office",
    /// Packaging used up.
    Packaging = "packaging",
    /// Outbound postage.
    Postage = "postage",
    /// Listing and selling commissions.
    ShopFees = "shop-fees",
    /// Merchant fees.
    ProcessingFees = "processing-fees",
    /// Licences and registration.
    Licences = "licences",
    /// Taxes and yearly company fees.
    Taxes = "taxes",
    /// Insurance.
    Insurance = "insurance",
    /// Commission on consigned goods.
    Commission = "commission",
    /// Independent contractors.
    PaidHelpers = "paid-helpers",
    /// Design, font and art licences.
    DesignLicences = "design-licences",
    /// Advertising and samples.
    Advertising = "advertising",
    /// Fair and stall costs.
    FairCosts = "fair-costs",
    /// Software and subscriptions.
    Software = "software",
    /// Phone and internet.
    Phone = "phone",
    /// Training and books.
    Training = "training",
    /// Depreciation.
    Depreciation = "depreciation",
    /// Travel and mileage.
    Travel = "travel",
    /// Home workspace.
    HomeWorkspace = "home-workspace",
    /// Bank charges.
    BankCharges = "bank-charges",
    /// Interest paid.
    InterestPaid = "interest-paid",
    /// Accountant and legal.
    Accountant = "accountant",
    /// Other costs.
    OtherCosts = "other-costs",
    /// Replacements and lost parcels.
    Replacements = "replacements",
    /// Donations.
    Donations = "donations",
    /// Cash over and short.
    CashOverShort = "cash-over-short",
    /// Gain or loss on equipment sold.
    EquipmentGain = "equipment-gain",
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Role {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .iter()
            .copied()
            .find(|role| role.as_str() == text.trim())
            .ok_or_else(|| format!("'{text}' is not a role of an account"))
    }
}

/// An account of the chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Its lasting identity in the book.
    pub id: AccountId,
    /// Its number as shown, usually four digits; unique.
    pub number: String,
    /// Its name as shown; unique.
    pub name: String,
    /// Its class.
    pub class: AccountClass,
    /// The heading it stands under in the statements.
    pub group: String,
    /// Whether it reduces its class, as accumulated depreciation reduces equipment.
    pub is_contra: bool,
    /// What the program uses it for, if anything.
    pub role: Option<Role>,
    /// The line of a tax form it is sorted under, if any.
    pub form_line: Option<String>,
    /// Whether it is offered for new entries.
    pub is_active: bool,
}

impl Account {
    /// The statement group that holds one account for each sales channel.
    pub const PAYOUTS_DUE_GROUP: &'static str = "Payouts due";
    /// The statement group of bank accounts and cash.
    pub const MONEY_GROUP: &'static str = "Money";
    /// The statement group whose accounts make up cost of goods sold.
    pub const COST_OF_GOODS_SOLD_GROUP: &'static str = "Cost of goods sold";
    /// The statement group whose accounts make up net sales.
    pub const SALES_GROUP: &'static str = "Sales";

    /// Number and name together: `1000 Business bank account`.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{} {}", self.number, self.name)
    }

    /// Whether it stands for a sales channel: the account holds what the channel owes.
    #[must_use]
    pub fn is_channel(&self) -> bool {
        self.class == AccountClass::Asset && self.group == Self::PAYOUTS_DUE_GROUP
    }

    /// Whether it holds money: a bank account, savings or cash.
    #[must_use]
    pub fn is_money(&self) -> bool {
        self.class == AccountClass::Asset && self.group == Self::MONEY_GROUP
    }
}
