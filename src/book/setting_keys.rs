//! The keys of the settings: what each may hold, what holds when it was never set, and what it is for.
//! Reading and changing them is `settings`' business.

/// What a setting may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SettingKind {
    /// An ISO 4217 code.
    Currency,
    /// A day.
    Day,
    /// A month of the year, 1 to 12.
    Month,
    /// An amount in the book's currency, not negative.
    Amount,
    /// A decimal with up to four places, not negative.
    Rate,
    /// Per cent, 0 to 100.
    Percent,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// The name of a set-aside method: `percent` or a rates file.
    Method,
    /// A number of days, 0 to 366.
    Days,
    /// Any text on one line.
    Text,
}

/// One setting: its key, what it may hold, and what holds when it was never set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SettingKey {
    /// The key.
    pub key: &'static str,
    /// What it may hold.
    pub kind: SettingKind,
    /// The value when none was given.
    pub default: Option<&'static str>,
    /// What it is for.
    pub about: &'static str,
}

const fn key(
    key: &'static str,
    kind: SettingKind,
    default: Option<&'static str>,
    about: &'static str,
) -> SettingKey {
    SettingKey {
        key,
        kind,
        default,
        about,
    }
}

/// All settings that can be set, in the order they are shown.
pub const SETTING_KEYS: &[SettingKey] = {
    use SettingKind as K;
    &[
        key("business_name", K::Text, None, "the name on statements"),
        key(
            "owner_name",
            K::Text,
            None,
            "who owns the business, for the cover of the year-end pack",
        ),
        key(
            "activity",
            K::Text,
            None,
            "what the business does, in one line",
        ),
        key(
            "business_form",
            K::Text,
            None,
            "the form of the business and since when, as: sole owner, or company of one owner since 2025-09-20",
        ),
        key(
            "tax_number_on_file",
            K::Choice(&["yes", "no"]),
            None,
            "whether the business's tax number is on file; the number itself is not kept",
        ),
        key(
            "prepared_by",
            K::Text,
            None,
            "who prepares the year-end pack",
        ),
        key(
            "business_address",
            K::Text,
            None,
            "the lines under the name on invoices, with ; between them",
        ),
        key(
            "how_to_pay",
            K::Text,
            None,
            "how an invoice can be paid, lines with ; between them",
        ),
        key(
            "currency",
            K::Currency,
            None,
            "the currency of every amount",
        ),
        key("first_day", K::Day, None, "the first day of the book"),
        key(
            "year_starts",
            K::Month,
            Some("1"),
            "the month the financial year begins in",
        ),
        key(
            "opened_for_business_on",
            K::Day,
            None,
            "the day the business opened; costs before it are start-up costs",
        ),
        key(
            "basis",
            K::Choice(&["accrual", "cash"]),
            Some("accrual"),
            "how the profit statement counts",
        ),
        key(
            "tax_form",
            K::Choice(&["us-schedule-c", "uk-sa103s", "none"]),
            None,
            "the tax form whose lines a year is sorted by; that of the book's currency without it",
        ),
        key(
            "costing",
            K::Choice(&["average", "fifo"]),
            Some("average"),
            "how stock is valued",
        ),
        key(
            "stock_keeping",
            K::Choice(&["perpetual", "periodic"]),
            Some("perpetual"),
            "whether the stock accounts follow every movement or each count",
        ),
        key(
            "equipment_threshold",
            K::Amount,
            None,
            "from this amount on, a lasting thing joins the equipment register",
        ),
        key(
            "small_equipment_policy_since",
            K::Day,
            None,
            "the day the threshold was chosen",
        ),
        key(
            "purpose_above",
            K::Amount,
            None,
            "above this amount a purchase asks for its business purpose",
        ),
        key(
            "owner_pocket",
            K::Choice(&["put-in", "owed-back"]),
            Some("put-in"),
            "what the owner's own money for business things means",
        ),
        key(
            "reserve",
            K::Amount,
            None,
            "what the owner always wants to keep; it is never free to spend",
        ),
        key(
            "free_days",
            K::Days,
            Some("30"),
            "recurring purchases due within so many days are not free to spend",
        ),
        key(
            "split.pay",
            K::Percent,
            None,
            "of what is free, the share the owner pays herself; the three shares add up to 100",
        ),
        key(
            "split.reserve",
            K::Percent,
            None,
            "of what is free, the share kept in reserve",
        ),
        key(
            "split.buy",
            K::Percent,
            None,
            "of what is free, the share for buying things",
        ),
        key(
            "soft_lock_date",
            K::Day,
            None,
            "the last day of the months the owner says are finished; writing there is noted, never refused",
        ),
        key(
            "owner_rate",
            K::Amount,
            None,
            "the owner's own time, per hour",
        ),
        key(
            "mileage_rate",
            K::Rate,
            None,
            "the owner's own rate for a business mile or kilometre, instead of the published ones",
        ),
        key(
            "mileage.method",
            K::Choice(&["rate", "actual"]),
            Some("rate"),
            "whether business driving counts by a rate or by the car's real costs, which are booked as costs",
        ),
        key(
            "mileage.unit",
            K::Choice(&["mi", "km"]),
            None,
            "what distances are typed in, and what the owner's own rate is for",
        ),
        key(
            "mileage.vehicle",
            K::Text,
            None,
            "the car or van that is driven for the business",
        ),
        key(
            "mileage.in_service_on",
            K::Day,
            None,
            "since when that vehicle is driven for the business",
        ),
        key(
            "mileage.none_through",
            K::Day,
            None,
            "the day through which the owner said that she drove nowhere more",
        ),
        key(
            "mileage.other_vehicle",
            K::Choice(&["yes", "no"]),
            None,
            "whether another vehicle is there for private driving",
        ),
        key(
            "workspace.method",
            K::Choice(&["simplified", "actual"]),
            Some("simplified"),
            "whether a workspace at home counts by its area or by a share of the home's bills",
        ),
        key(
            "set_aside.method",
            K::Method,
            Some("percent"),
            "how the set-aside estimate is made",
        ),
        key(
            "set_aside.percent",
            K::Percent,
            Some("25"),
            "the share of the profit to set aside",
        ),
        key(
            "set_aside.profit_basis",
            K::Choice(&["to-date", "forecast"]),
            Some("to-date"),
            "whether a worksheet rests on the profit so far or on a forecast",
        ),
        key(
            "set_aside.forecast_profit",
            K::Amount,
            None,
            "the profit foreseen for the year; the year so far is stretched without it",
        ),
        key(
            "set_aside.filing_status",
            K::Choice(&["single", "joint", "separate", "head"]),
            None,
            "how the owner files, for the worksheet of a place",
        ),
        key(
            "set_aside.other_wages",
            K::Amount,
            None,
            "the owner's own wages elsewhere",
        ),
        key(
            "set_aside.spouse_wages",
            K::Amount,
            None,
            "the spouse's wages",
        ),
        key(
            "set_aside.other_income",
            K::Amount,
            None,
            "other income of the household",
        ),
        key(
            "set_aside.prior_year_tax",
            K::Amount,
            None,
            "the tax of the year before",
        ),
        key(
            "set_aside.prior_year_agi",
            K::Amount,
            None,
            "the adjusted gross income of the year before",
        ),
        key(
            "set_aside.state_percent",
            K::Percent,
            None,
            "a flat state percentage",
        ),
    ]
};
