//! Equipment, capital, channels, needs and what is free to spend as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::records::may;
use super::{AsOf, Period};
use crate::dates::{DateRange, YearStart};
use crate::depreciation::Equipment;
use crate::ledger::Chart;
use crate::money::Currency;
use crate::needs::{Need, counted, in_words};
use crate::statements::{Bridge, CapitalStatement, ChannelSummary, Includes, Reason};

/// The equipment register with its schedules.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EquipmentJson {
    #[serde(flatten)]
    as_of: AsOf,
    equipment: Vec<PieceJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PieceJson {
    name: String,
    key: String,
    supplier: String,
    bought_on: NaiveDate,
    in_service_on: NaiveDate,
    cost: String,
    residual: String,
    life_months: u32,
    business_share: String,
    convention: &'static str,
    condition: &'static str,
    serial: String,
    location: String,
    purchase_entry: Option<u64>,
    charged_before: String,
    changes: Vec<TermsJson>,
    schedule: Vec<ScheduleYearJson>,
    accumulated: String,
    book_value: String,
    disposal: Option<DisposalJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TermsJson {
    from: NaiveDate,
    life_months: u32,
    residual: String,
    business_share: String,
    reason: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ScheduleYearJson {
    year: i32,
    charge: String,
    business_charge: String,
    accumulated: String,
    book_value: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct DisposalJson {
    on: NaiveDate,
    proceeds: String,
    book_value: String,
    gain: String,
}

/// What stands beside every list of equipment.
pub const EQUIPMENT_CAUTION: &str = "Book depreciation is a sorting aid, not a tax deduction; confirm what counts for tax with local rules and a licensed professional.";

/// The register as JSON, book values at the end of a day.
#[must_use]
pub fn equipment(
    register: &[Equipment],
    as_of: NaiveDate,
    years: YearStart,
    currency: &Currency,
) -> EquipmentJson {
    EquipmentJson {
        as_of: AsOf::new(currency, as_of),
        equipment: register
            .iter()
            .map(|piece| piece_json(piece, as_of, years, currency))
            .collect(),
        caution: EQUIPMENT_CAUTION,
    }
}

fn piece_json(
    piece: &Equipment,
    as_of: NaiveDate,
    years: YearStart,
    currency: &Currency,
) -> PieceJson {
    let money = |amount| currency.plain(amount);
    PieceJson {
        name: piece.name.clone(),
        key: piece.key.clone(),
        supplier: piece.supplier.clone(),
        bought_on: piece.bought_on,
        in_service_on: piece.in_service_on,
        cost: money(piece.cost),
        residual: money(piece.residual),
        life_months: piece.life_months,
        business_share: piece.business_share.to_string(),
        convention: piece.convention.as_str(),
        condition: piece.condition.as_str(),
        serial: piece.serial.clone(),
        location: piece.location.clone(),
        purchase_entry: piece.purchase_entry.map(|number| number.0),
        charged_before: money(piece.charged_before),
        changes: piece
            .changes
            .iter()
            .map(|change| TermsJson {
                from: change.from,
                life_months: change.life_months,
                residual: money(change.residual),
                business_share: change.business_share.to_string(),
                reason: change.reason.clone(),
            })
            .collect(),
        schedule: piece
            .yearly_schedule(years)
            .into_iter()
            .map(|year| ScheduleYearJson {
                year: year.year,
                charge: money(year.charge),
                business_charge: money(year.business_charge),
                accumulated: money(year.accumulated),
                book_value: money(year.book_value),
            })
            .collect(),
        accumulated: money(piece.accumulated(as_of, years)),
        book_value: money(piece.carrying_amount(as_of, years)),
        disposal: piece.disposal_outcome(years).map(|end| DisposalJson {
            on: end.on,
            proceeds: money(end.proceeds),
            book_value: money(end.book_value),
            gain: money(end.gain),
        }),
    }
}

/// The owner's capital.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CapitalJson {
    #[serde(flatten)]
    period: Period,
    opening: String,
    money_in: String,
    money_out: String,
    profit: String,
    closing: String,
}

/// The owner's capital as JSON.
#[must_use]
pub fn capital(statement: &CapitalStatement, currency: &Currency) -> CapitalJson {
    CapitalJson {
        period: Period::new(currency, statement.range),
        opening: currency.plain(statement.opening),
        money_in: currency.plain(statement.money_in),
        money_out: currency.plain(statement.money_out),
        profit: currency.plain(statement.profit),
        closing: currency.plain(statement.closing),
    }
}

/// The sales channels.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ChannelsJson {
    #[serde(flatten)]
    period: Period,
    channels: Vec<ChannelJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ChannelJson {
    channel: String,
    account: String,
    sales: usize,
    gross_sales: String,
    discounts: String,
    postage: String,
    tax_ours: String,
    refunds: String,
    fees: String,
    tax_by_channel: String,
    net: String,
    opening: String,
    payouts: String,
    other: String,
    still_due: String,
    held: String,
    available: String,
    buyers_paid: String,
    reported_gross: Option<String>,
    name_right: Option<bool>,
    difference: Option<String>,
    bridge: BridgeJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BridgeJson {
    reported: Option<String>,
    includes: Includes,
    expected: String,
    difference: Option<String>,
    reason: Option<&'static str>,
    explained: Option<String>,
    lines: Vec<BridgeLineJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BridgeLineJson {
    key: &'static str,
    label: String,
    amount: String,
    sum: bool,
}

fn bridge_json(bridge: &Bridge, currency: &Currency) -> BridgeJson {
    BridgeJson {
        reported: may(currency, bridge.reported),
        includes: bridge.includes,
        expected: currency.plain(bridge.expected),
        difference: may(currency, bridge.difference),
        reason: bridge.reason.as_ref().map(Reason::key),
        explained: bridge.reason.as_ref().map(Reason::words),
        lines: bridge
            .lines
            .iter()
            .map(|line| BridgeLineJson {
                key: line.key,
                label: line.label.clone(),
                amount: currency.plain(line.amount),
                sum: line.is_sum,
            })
            .collect(),
    }
}

/// The sales channels as JSON, each with its bridge.
#[must_use]
pub fn channels(
    summaries: &[ChannelSummary],
    bridges: &[Bridge],
    range: DateRange,
    chart: &Chart,
    currency: &Currency,
) -> ChannelsJson {
    let money = |amount| currency.plain(amount);
    ChannelsJson {
        period: Period::new(currency, range),
        channels: summaries
            .iter()
            .zip(bridges)
            .map(|(one, bridge)| ChannelJson {
                channel: one.name.clone(),
                account: chart
                    .account(one.account)
                    .map(|account| account.number.clone())
                    .unwrap_or_default(),
                sales: one.sales_count,
                gross_sales: money(one.gross_sales),
                discounts: money(one.discounts),
                postage: money(one.postage),
                tax_ours: money(one.tax_ours),
                refunds: money(one.refunds),
                fees: money(one.fees),
                tax_by_channel: money(one.tax_by_channel),
                net: money(one.net),
                opening: money(one.opening),
                payouts: money(one.payouts),
                other: money(one.other),
                still_due: money(one.still_due),
                held: money(one.held),
                available: money(one.available()),
                buyers_paid: money(one.buyers_paid),
                reported_gross: may(currency, one.reported_gross),
                name_right: one.name_right,
                difference: may(currency, one.difference),
                bridge: bridge_json(bridge, currency),
            })
            .collect(),
    }
}

/// What wants doing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NeedsJson {
    #[serde(flatten)]
    as_of: AsOf,
    counted: usize,
    in_words: String,
    open: Vec<NeedJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct NeedJson {
    when: &'static str,
    what: String,
    count: usize,
    since: Option<NaiveDate>,
    note: String,
}

/// What wants doing as JSON.
#[must_use]
pub fn needs(needs: &[Need], as_of: NaiveDate, currency: &Currency) -> NeedsJson {
    NeedsJson {
        as_of: AsOf::new(currency, as_of),
        counted: counted(needs),
        in_words: in_words(needs),
        open: needs
            .iter()
            .map(|need| NeedJson {
                when: need.kind.rhythm().as_str(),
                what: need.what.clone(),
                count: need.count,
                since: need.since,
                note: need.note.clone(),
            })
            .collect(),
    }
}
