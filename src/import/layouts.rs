//! The columns of each kind of sheet, as `assets/layouts.md` documents them.
//! Both directions read this one list: what `bring` takes is what `write-out` writes.

pub use super::bank_sheets::{
    RECONCILIATIONS, SORTING_CHOICES, SORTING_RULES, STATEMENT_FILES, STATEMENT_LINES, STATEMENTS,
};
pub use super::desk_sheets::{DECISIONS, DUTIES, DUTIES_DONE, HOURS, PAPERS, QUESTIONS};
pub use super::log_sheets::{MILEAGE, ODOMETER, SHARED_BILLS, WORKSPACE_BILLS, WORKSPACES};
pub use super::occasions::MATTERS;
pub use super::shop_sheets::{FILE_LAYOUTS, REPORTED_GROSS, SHOP_FEES, SHOP_ITEMS, SHOP_RECORDS};

/// One column of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its header.
    pub name: &'static str,
    /// Whether a sheet must have it.
    pub is_needed: bool,
}

/// A kind of sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layout {
    /// The word used with `bring`, also the name of the file that `write-out` writes.
    pub kind: &'static str,
    /// Its columns, in the order they are written.
    pub columns: &'static [Column],
}

impl Layout {
    /// The column with this header.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<&'static Column> {
        self.columns.iter().find(|column| column.name == name)
    }

    /// All headers in order.
    #[must_use]
    pub fn headers(&self) -> Vec<&'static str> {
        self.columns.iter().map(|column| column.name).collect()
    }
}

/// A column that a sheet must have.
pub(super) const fn needed(name: &'static str) -> Column {
    Column {
        name,
        is_needed: true,
    }
}

/// A column that a sheet may leave out.
pub(super) const fn may(name: &'static str) -> Column {
    Column {
        name,
        is_needed: false,
    }
}

/// Accounts of the chart.
pub const ACCOUNTS: Layout = Layout {
    kind: "accounts",
    columns: &[
        needed("number"),
        needed("name"),
        needed("class"),
        may("group"),
        may("contra"),
        may("form_line"),
        may("active"),
        may("role"),
    ],
};

/// Journal entries, one row a line.
pub const ENTRIES: Layout = Layout {
    kind: "entries",
    columns: &[
        needed("entry"),
        needed("date"),
        needed("account"),
        may("debit"),
        may("credit"),
        may("kind"),
        may("party"),
        may("memo"),
        may("reference"),
        may("line_memo"),
        may("document"),
        may("equipment"),
        may("item"),
        may("quantity"),
        may("origin"),
        may("tags"),
        may("tax_by_channel"),
        may("proof"),
        may("stands_in"),
        may("purpose"),
        may("reverses"),
    ],
};

/// Purchases, one row a line of a receipt.
pub const PURCHASES: Layout = Layout {
    kind: "purchases",
    columns: &[
        needed("purchase"),
        needed("date"),
        needed("supplier"),
        needed("paid_from"),
        needed("amount"),
        may("account"),
        may("item"),
        may("description"),
        may("quantity"),
        may("unit"),
        may("business_share"),
        may("reference"),
        may("carriage"),
        may("tax"),
        may("discount"),
        may("equipment_name"),
        may("life_months"),
        may("residual"),
        may("in_service_on"),
        may("convention"),
        may("condition"),
        may("serial"),
        may("covers_from"),
        may("covers_months"),
        may("proof"),
        may("stands_in"),
        may("purpose"),
    ],
};

/// Sales, one row a line.
pub const SALES: Layout = Layout {
    kind: "sales",
    columns: &[
        needed("sale"),
        needed("date"),
        needed("paid_into"),
        needed("amount"),
        may("item"),
        may("description"),
        may("quantity"),
        may("discount"),
        may("postage"),
        may("tax_ours"),
        may("tax_by_channel"),
        may("fee_listing"),
        may("fee_commission"),
        may("fee_processing"),
        may("fee_other"),
        may("reference"),
        may("place"),
    ],
};

/// Refunds to customers.
pub const REFUNDS: Layout = Layout {
    kind: "refunds",
    columns: &[
        needed("sale"),
        needed("date"),
        needed("amount"),
        may("returned_quantity"),
        may("fee_credit"),
        may("paid_from"),
        may("item"),
    ],
};

/// Payouts from channels.
pub const PAYOUTS: Layout = Layout {
    kind: "payouts",
    columns: &[
        needed("channel"),
        needed("date"),
        needed("paid_into"),
        needed("amount"),
        may("reference"),
    ],
};

/// What passes between the owner and the business.
pub const OWNER: Layout = Layout {
    kind: "owner",
    columns: &[
        needed("date"),
        needed("direction"),
        needed("account"),
        may("amount"),
        may("adjusted_cost"),
        may("market_value"),
        may("description"),
        may("equipment_name"),
        may("life_months"),
        may("residual"),
        may("in_service_on"),
        may("convention"),
        may("condition"),
        may("serial"),
        may("business_share"),
        may("how_known"),
    ],
};

/// The equipment register.
pub const EQUIPMENT: Layout = Layout {
    kind: "equipment",
    columns: &[
        needed("name"),
        needed("bought_on"),
        needed("in_service_on"),
        needed("cost"),
        needed("life_months"),
        needed("paid_from"),
        may("residual"),
        may("business_share"),
        may("convention"),
        may("condition"),
        may("supplier"),
        may("serial"),
        may("disposed_on"),
        may("proceeds"),
        may("proceeds_into"),
        may("key"),
        may("location"),
        may("tax_part"),
        may("delivery_part"),
        may("charged_before"),
        may("purchase_entry"),
    ],
};

/// New terms of equipment from a day on.
pub const EQUIPMENT_CHANGES: Layout = Layout {
    kind: "equipment-changes",
    columns: &[
        needed("equipment"),
        needed("from"),
        needed("life_months"),
        may("residual"),
        may("business_share"),
        needed("reason"),
    ],
};

/// Money that channels hold back.
pub const HOLDS: Layout = Layout {
    kind: "holds",
    columns: &[
        needed("channel"),
        needed("amount"),
        needed("since"),
        may("until"),
        may("released"),
        may("memo"),
    ],
};

/// Recurring purchases.
pub const RECURRING: Layout = Layout {
    kind: "recurring",
    columns: &[
        needed("name"),
        needed("party"),
        needed("account"),
        needed("paid_from"),
        needed("amount"),
        needed("every_months"),
        needed("next_due"),
        may("business_share"),
        may("day"),
        may("note"),
        may("active"),
    ],
};

/// Receipts kept beside entries; the file is found from the sheet's own folder.
pub const RECEIPTS: Layout = Layout {
    kind: "receipts",
    columns: &[needed("entry"), needed("file"), may("name")],
};

/// Receipts whose day and amount were read off them: each goes to the one entry that it fits.
pub const RECEIPTS_SEEN: Layout = Layout {
    kind: "receipts-seen",
    columns: &[
        needed("file"),
        needed("date"),
        needed("amount"),
        may("name"),
    ],
};

/// The book's settings.
pub const SETTINGS: Layout = Layout {
    kind: "settings",
    columns: &[needed("key"), needed("value")],
};

/// Which account things from suppliers go to, as it was told before.
pub const REMEMBERED: Layout = Layout {
    kind: "remembered",
    columns: &[needed("supplier"), needed("thing"), needed("account")],
};

/// Items of stock.
pub const ITEMS: Layout = Layout {
    kind: "items",
    columns: &[
        needed("code"),
        needed("name"),
        needed("kind"),
        needed("unit"),
        may("reorder_point"),
        may("price"),
        may("packs"),
        may("shelf"),
        may("active"),
    ],
};

/// Recipes, one row an input.
pub const RECIPES: Layout = Layout {
    kind: "recipes",
    columns: &[
        needed("item"),
        needed("batch_quantity"),
        needed("input"),
        needed("input_quantity"),
        may("own_minutes"),
        may("normal_waste"),
        may("outside"),
    ],
};

/// Sets sold under one name, one row a part.
pub const BUNDLES: Layout = Layout {
    kind: "bundles",
    columns: &[
        needed("bundle"),
        may("name"),
        may("price"),
        needed("part"),
        needed("part_quantity"),
        may("active"),
    ],
};

/// Movements of stock.
pub const MOVEMENTS: Layout = Layout {
    kind: "movements",
    columns: &[
        needed("date"),
        needed("item"),
        needed("kind"),
        needed("quantity"),
        may("total_cost"),
        may("paid_from"),
        may("batch"),
        may("reference"),
        may("unit"),
        may("place"),
        may("to_place"),
        may("abnormal"),
        may("own_minutes"),
        may("spoiled"),
        may("spoiled_why"),
        may("counted_by"),
        may("of"),
        may("id"),
        may("entry"),
        may("posted"),
        may("taken_back"),
    ],
};

/// The lines of the start-up plan.
pub const PLAN: Layout = Layout {
    kind: "plan",
    columns: &[
        needed("name"),
        needed("kind"),
        needed("likely"),
        may("low"),
        may("high"),
        may("need"),
        may("month"),
        may("alternative_of"),
        may("chosen"),
        may("how"),
        may("note"),
    ],
};

/// Money that there is for starting.
pub const PLAN_MONEY: Layout = Layout {
    kind: "plan-money",
    columns: &[needed("amount"), may("month"), may("note")],
};

/// Purchases that belong to lines of the plan.
pub const PLAN_PURCHASES: Layout = Layout {
    kind: "plan-purchases",
    columns: &[needed("plan"), needed("entry"), may("what")],
};

/// Accounts that count under another group of the cost to start than their own.
pub const START_UP_MARKS: Layout = Layout {
    kind: "start-up-marks",
    columns: &[needed("account"), needed("counts_as")],
};

/// Orders to suppliers, one row a line of an order.
pub const SUPPLIER_ORDERS: Layout = Layout {
    kind: "supplier-orders",
    columns: &[
        needed("order"),
        needed("supplier"),
        needed("ordered_on"),
        needed("item"),
        needed("quantity"),
        needed("tiers"),
        may("minimum"),
        may("once_per_design"),
        may("set_up"),
        may("first_run"),
        may("deals"),
        may("carriage"),
        may("lead_days"),
        may("wanted_on"),
        may("over_percent"),
        may("under_percent"),
        may("no_unders"),
        may("billing"),
        may("reference"),
        may("note"),
        may("closed_on"),
    ],
};

/// What came of orders, one row an item of an arrival.
pub const SUPPLIER_ARRIVALS: Layout = Layout {
    kind: "supplier-arrivals",
    columns: &[
        needed("order"),
        needed("arrival"),
        needed("date"),
        may("item"),
        may("good"),
        may("spoiled"),
        may("billed"),
        may("ahead"),
        may("carriage"),
        may("tax"),
        may("discount"),
        may("paid_from"),
        may("reference"),
        may("entry"),
        may("movement"),
    ],
};

/// Claims on what came of orders.
pub const SUPPLIER_CLAIMS: Layout = Layout {
    kind: "supplier-claims",
    columns: &[
        needed("claim"),
        needed("order"),
        needed("arrival"),
        needed("opened_on"),
        needed("amount"),
        may("item"),
        may("pieces"),
        may("what"),
        may("state"),
        may("settled_on"),
        may("credited"),
        may("paid_into"),
        may("reference"),
        may("entry"),
        may("note"),
    ],
};

/// Comparisons of making a product with having it made.
pub const COMPARISONS: Layout = Layout {
    kind: "comparisons",
    columns: &[
        needed("item"),
        needed("name"),
        needed("quantity"),
        needed("tiers"),
        may("minimum"),
        may("once_design"),
        may("once_run"),
        may("carriage"),
        needed("each"),
        may("batch"),
        may("loss"),
        may("own_minutes"),
        may("own_rate"),
        may("to_buy"),
        may("own_time"),
        may("made_again"),
    ],
};

/// Adjusting entries that an accountant sends back.
pub const ADJUSTMENTS: Layout = Layout {
    kind: "adjustments",
    columns: &[
        needed("entry"),
        needed("date"),
        needed("account"),
        may("debit"),
        may("credit"),
        may("party"),
        may("memo"),
        may("reference"),
        may("line_memo"),
        may("back_next_year"),
    ],
};

/// Every kind of sheet that this version takes.
pub const ALL: &[&Layout] = &[
    &SETTINGS,
    &ACCOUNTS,
    &ITEMS,
    &RECIPES,
    &BUNDLES,
    &MOVEMENTS,
    &ENTRIES,
    &ADJUSTMENTS,
    &PURCHASES,
    &SALES,
    &REFUNDS,
    &PAYOUTS,
    &OWNER,
    &EQUIPMENT,
    &EQUIPMENT_CHANGES,
    &RECEIPTS,
    &RECEIPTS_SEEN,
    &RECURRING,
    &HOLDS,
    &REPORTED_GROSS,
    &REMEMBERED,
    &PLAN,
    &PLAN_MONEY,
    &PLAN_PURCHASES,
    &START_UP_MARKS,
    &SUPPLIER_ORDERS,
    &SUPPLIER_ARRIVALS,
    &SUPPLIER_CLAIMS,
    &COMPARISONS,
    &STATEMENTS,
    &STATEMENT_FILES,
    &STATEMENT_LINES,
    &SORTING_RULES,
    &SORTING_CHOICES,
    &RECONCILIATIONS,
    &SHOP_FEES,
    &FILE_LAYOUTS,
    &SHOP_ITEMS,
    &SHOP_RECORDS,
    &QUESTIONS,
    &DUTIES,
    &DUTIES_DONE,
    &PAPERS,
    &DECISIONS,
    &HOURS,
    &MILEAGE,
    &ODOMETER,
    &WORKSPACES,
    &WORKSPACE_BILLS,
    &SHARED_BILLS,
    &MATTERS,
];

/// The layout of a kind of sheet.
#[must_use]
pub fn of_kind(kind: &str) -> Option<&'static Layout> {
    every().find(|layout| layout.kind == kind)
}

/// Every kind of sheet: those that stand here, and those of unusual happenings.
pub fn every() -> impl Iterator<Item = &'static Layout> {
    ALL.iter().copied().chain(super::occasions::LAYOUTS.iter())
}
