//! Orders to suppliers as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::deciding::Figure;
use crate::money::{Currency, Money};
use crate::ordering::{deals_text, tiers_text};
use crate::reports::{ArrivalReport, OrderReport};
use crate::stock::MovementKind;

/// All orders.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrdersJson {
    #[serde(flatten)]
    as_of: AsOf,
    orders: Vec<BodyJson>,
}

/// One order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrderJson {
    #[serde(flatten)]
    as_of: AsOf,
    #[serde(flatten)]
    body: BodyJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BodyJson {
    order: String,
    supplier: String,
    ordered_on: NaiveDate,
    state: &'static str,
    overdue: bool,
    expected_on: Option<NaiveDate>,
    wanted_on: Option<NaiveDate>,
    latest_order_day: Option<NaiveDate>,
    lead_days: Option<u32>,
    billing: &'static str,
    deals: String,
    carriage: String,
    over_percent: String,
    under_percent: String,
    no_unders: bool,
    reference: String,
    note: String,
    closed_on: Option<NaiveDate>,
    lines: Vec<LineJson>,
    expected_bill: Vec<WorkingJson>,
    expected_total: String,
    order_up: Vec<OrderUpJson>,
    arrivals: Vec<ArrivalJson>,
    claims: Vec<ClaimJson>,
    billed: String,
    later_bills: String,
    credited: String,
    paid_ahead: String,
    cost: String,
    notes: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LineJson {
    item: String,
    quantity: u64,
    tiers: String,
    minimum: u64,
    once_per_design: String,
    set_up: String,
    first_run: bool,
    price: String,
    first_run_each: String,
    reorder_each: String,
    good: u64,
    spoiled: u64,
    to_come: u64,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct WorkingJson {
    no: u32,
    key: &'static str,
    label: String,
    formula: String,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct OrderUpJson {
    item: String,
    wanted: u64,
    order: u64,
    total: String,
    saved: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ArrivalJson {
    arrival: String,
    date: NaiveDate,
    entry: Option<u64>,
    taken_back: bool,
    billed: String,
    paid_ahead: String,
    lines: Vec<CameJson>,
    later: Vec<LaterJson>,
    refunds: Vec<LaterJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct CameJson {
    item: String,
    good: u64,
    spoiled: u64,
    billed: String,
    later_bills: String,
    credited: String,
    cost: String,
    each: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LaterJson {
    kind: &'static str,
    entry: Option<u64>,
    date: NaiveDate,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ClaimJson {
    claim: String,
    arrival: String,
    item: Option<String>,
    what: &'static str,
    pieces: u64,
    amount: String,
    opened_on: NaiveDate,
    age_days: Option<i64>,
    state: &'static str,
    settled_on: Option<NaiveDate>,
    credited: String,
    entry: Option<u64>,
    note: String,
}

/// All orders as JSON.
#[must_use]
pub fn orders(list: &[OrderReport], as_of: NaiveDate, currency: &Currency) -> OrdersJson {
    OrdersJson {
        as_of: AsOf::new(currency, as_of),
        orders: list
            .iter()
            .map(|report| body(report, as_of, currency))
            .collect(),
    }
}

/// One order as JSON.
#[must_use]
pub fn order(report: &OrderReport, as_of: NaiveDate, currency: &Currency) -> OrderJson {
    OrderJson {
        as_of: AsOf::new(currency, as_of),
        body: body(report, as_of, currency),
    }
}

fn body(report: &OrderReport, as_of: NaiveDate, currency: &Currency) -> BodyJson {
    let plain = |amount: Money| currency.plain(amount);
    let order = &report.order;
    BodyJson {
        order: order.key.clone(),
        supplier: order.supplier.clone(),
        ordered_on: order.ordered_on,
        state: report.standing.state.as_str(),
        overdue: report.standing.is_overdue,
        expected_on: order.expected_on(),
        wanted_on: order.wanted_on,
        latest_order_day: order.latest_order_day(),
        lead_days: order.lead_days,
        billing: order.billing.as_str(),
        deals: deals_text(&order.deals, plain),
        carriage: plain(order.carriage),
        over_percent: order.over.to_string(),
        under_percent: order.under.to_string(),
        no_unders: order.no_unders,
        reference: order.reference.clone(),
        note: order.note.clone(),
        closed_on: order.closed_on,
        lines: lines(report, currency),
        expected_bill: report
            .expected
            .sheet
            .lines()
            .iter()
            .map(|line| WorkingJson {
                no: line.no,
                key: line.key,
                label: line.label.clone(),
                formula: line.formula.clone(),
                amount: match line.amount {
                    Figure::Money(amount) => plain(amount),
                    other => other.show(currency),
                },
            })
            .collect(),
        expected_total: plain(report.expected.total),
        order_up: report
            .order_up
            .iter()
            .map(|hint| OrderUpJson {
                item: hint.item.clone(),
                wanted: hint.wanted,
                order: hint.order,
                total: plain(hint.total),
                saved: plain(hint.saved),
            })
            .collect(),
        arrivals: report
            .arrivals
            .iter()
            .map(|arrival| arrived(arrival, currency))
            .collect(),
        claims: claims(report, as_of, currency),
        billed: plain(report.billed),
        later_bills: plain(report.later),
        credited: plain(report.credited),
        paid_ahead: plain(report.ahead),
        cost: plain(report.cost()),
        notes: report.standing.notes.clone(),
    }
}

fn lines(report: &OrderReport, currency: &Currency) -> Vec<LineJson> {
    let order = &report.order;
    let each = |minor| Figure::Each(minor).show(currency);
    order
        .lines
        .iter()
        .zip(&report.expected.lines)
        .zip(&report.standing.items)
        .map(|((line, bill), stands)| LineJson {
            item: line.item.clone(),
            quantity: line.quantity,
            tiers: tiers_text(&line.tiers, |price| price.major(currency).to_string()),
            minimum: line.minimum,
            once_per_design: currency.plain(line.once_per_design),
            set_up: currency.plain(line.once_per_run),
            first_run: line.is_first_run,
            price: line.each().show(currency),
            first_run_each: each(bill.first_each()),
            reorder_each: each(bill.reorder_each()),
            good: stands.good,
            spoiled: stands.spoiled,
            to_come: stands.to_come(),
        })
        .collect()
}

fn arrived(report: &ArrivalReport, currency: &Currency) -> ArrivalJson {
    let plain = |amount: Money| currency.plain(amount);
    ArrivalJson {
        arrival: report.arrival.key.clone(),
        date: report.arrival.date,
        entry: report.arrival.entry.map(|number| number.0),
        taken_back: report.arrival.is_void,
        billed: plain(report.billed),
        paid_ahead: plain(report.ahead),
        lines: report
            .lines
            .iter()
            .map(|line| CameJson {
                item: line.line.item.clone(),
                good: line.line.good,
                spoiled: line.line.spoiled,
                billed: plain(line.billed),
                later_bills: plain(line.later),
                credited: plain(line.credited),
                cost: plain(line.cost()),
                each: line.each(currency).map(|each| each.to_string()),
            })
            .collect(),
        later: report
            .later
            .iter()
            .filter(|later| later.kind == MovementKind::LaterCost)
            .map(|later| LaterJson {
                kind: later.kind.as_str(),
                entry: later.entry.map(|number| number.0),
                date: later.date,
                amount: plain(later.amount),
            })
            .collect(),
        refunds: report
            .refunds
            .iter()
            .map(|(entry, date, amount)| LaterJson {
                kind: "refund",
                entry: Some(entry.0),
                date: *date,
                amount: plain(*amount),
            })
            .collect(),
    }
}

fn claims(report: &OrderReport, as_of: NaiveDate, currency: &Currency) -> Vec<ClaimJson> {
    report
        .claims
        .iter()
        .map(|one| {
            let claim = &one.claim;
            let is_open = claim.state == crate::ordering::ClaimState::Open;
            ClaimJson {
                claim: claim.key.clone(),
                arrival: one.arrival.clone(),
                item: claim.item.clone(),
                what: claim.what.as_str(),
                pieces: claim.pieces,
                amount: currency.plain(claim.amount),
                opened_on: claim.opened_on,
                age_days: is_open.then(|| claim.age_days(as_of)),
                state: claim.state.as_str(),
                settled_on: claim.settled_on,
                credited: currency.plain(one.credited),
                entry: claim.entry.map(|number| number.0),
                note: claim.note.clone(),
            }
        })
        .collect()
}
