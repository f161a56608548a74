//! Orders to suppliers with what came of them, what was billed and credited, and what of it wants doing.
//! What an order comes to and how it stands is `crate::ordering`'s; amounts are read from the entries.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::{ReportError, refunds_of};
use crate::book::{Book, LaterOnArrival};
use crate::happenings::{Recording, RefundedPurchase};
use crate::ledger::{EntryNumber, JournalEntry, PostedEntry, Role};
use crate::money::{Money, Quantity, unit_cost};
use crate::needs::{LateOrder, OpenClaim, OrdersFound};
use crate::ordering::{
    Arrival, ArrivalBill, ArrivalLine, Claim, ClaimState, Credit, ExpectedBill, LateBill,
    OrderUpHint, Standing, SupplierOrder, billed_for, credit_of, expected_bill, late_bill,
    order_up, purchase_of, standing,
};
use crate::stock::MovementKind;

/// What came of one item with one arrival, and what it cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineReport {
    /// What came.
    pub line: ArrivalLine,
    /// What the purchase booked for it, carriage and tax in.
    pub billed: Money,
    /// Bills that came later.
    pub later: Money,
    /// What the supplier gave back.
    pub credited: Money,
}

impl LineReport {
    /// What the good pieces cost by what is known now.
    #[must_use]
    pub fn cost(&self) -> Money {
        self.billed + self.later - self.credited
    }

    /// What one good piece cost, in major units to four decimals; nothing when none was good.
    #[must_use]
    pub fn each(&self, currency: &crate::money::Currency) -> Option<Decimal> {
        let good = Quantity::new(self.line.good.into()).ok()?;
        unit_cost(self.cost(), good, currency)
    }
}

/// An arrival with its figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArrivalReport {
    /// The arrival.
    pub arrival: Arrival,
    /// Its lines.
    pub lines: Vec<LineReport>,
    /// The sum of its bill.
    pub billed: Money,
    /// What of it was for pieces still to come; below nothing where it was paid from such money.
    pub ahead: Money,
    /// Bills and credits that came later.
    pub later: Vec<LaterOnArrival>,
    /// The refunds of its purchase.
    pub refunds: Vec<(EntryNumber, NaiveDate, Money)>,
}

/// A claim with where it belongs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClaimReport {
    /// The claim.
    pub claim: Claim,
    /// The key of its arrival.
    pub arrival: String,
    /// What was credited for it; nothing when it was not.
    pub credited: Money,
}

/// An order with everything that is said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderReport {
    /// The order.
    pub order: SupplierOrder,
    /// What it is expected to come to.
    pub expected: ExpectedBill,
    /// Where ordering more would have cost less.
    pub order_up: Vec<OrderUpHint>,
    /// How it stands.
    pub standing: Standing,
    /// What came, those taken back included.
    pub arrivals: Vec<ArrivalReport>,
    /// What was claimed.
    pub claims: Vec<ClaimReport>,
    /// What was billed by the supplier: the sums of the purchases, what was paid ahead counted once.
    pub billed: Money,
    /// Bills that came later.
    pub later: Money,
    /// What came back.
    pub credited: Money,
    /// Paid for pieces that are not here yet.
    pub ahead: Money,
}

impl OrderReport {
    /// What it cost by what is known now.
    #[must_use]
    pub fn cost(&self) -> Money {
        self.billed + self.later - self.credited
    }

    /// The arrivals that count.
    pub fn standing_arrivals(&self) -> impl Iterator<Item = &ArrivalReport> {
        self.arrivals
            .iter()
            .filter(|report| !report.arrival.is_void)
    }

    /// What an item came with so far: good pieces, and what they cost by what is known now.
    #[must_use]
    pub fn item_cost(&self, item: &str) -> (u64, Money) {
        self.standing_arrivals()
            .flat_map(|report| &report.lines)
            .filter(|line| line.line.item.eq_ignore_ascii_case(item.trim()))
            .fold((0, Money::ZERO), |(good, cost), line| {
                (good + line.line.good, cost + line.cost())
            })
    }

    /// The claims that are still with the supplier.
    pub fn open_claims(&self) -> impl Iterator<Item = &ClaimReport> {
        self.claims
            .iter()
            .filter(|one| one.claim.state == ClaimState::Open)
    }
}

/// The items' names by their codes, for showing.
///
/// # Errors
/// When the book cannot be read.
pub fn item_names(book: &Book) -> Result<BTreeMap<String, String>, ReportError> {
    Ok(book
        .items()?
        .into_iter()
        .map(|item| (item.code, item.name))
        .collect())
}

/// Every order of a book as it stands on a day, by the day it was ordered.
///
/// # Errors
/// When the book cannot be read.
pub fn orders(book: &Book, today: NaiveDate) -> Result<Vec<OrderReport>, ReportError> {
    let names = item_names(book)?;
    let mut arrivals = book.arrivals()?;
    let claims = book.claims()?;
    book.supplier_orders()?
        .into_iter()
        .map(|order| {
            let arrivals = arrivals.remove(&order.id).unwrap_or_default();
            one(book, order, arrivals, &claims, &names, today)
        })
        .collect()
}

/// One order by its key.
///
/// # Errors
/// When the book cannot be read.
pub fn order(book: &Book, key: &str, today: NaiveDate) -> Result<Option<OrderReport>, ReportError> {
    let Some(order) = book.supplier_order(key)? else {
        return Ok(None);
    };
    whole(book, order, today).map(Some)
}

/// One order by its number in the book.
///
/// # Errors
/// When the book cannot be read.
pub fn order_of_number(
    book: &Book,
    id: i64,
    today: NaiveDate,
) -> Result<Option<OrderReport>, ReportError> {
    let found = book
        .supplier_orders()?
        .into_iter()
        .find(|order| order.id == id);
    found.map(|order| whole(book, order, today)).transpose()
}

fn whole(book: &Book, order: SupplierOrder, today: NaiveDate) -> Result<OrderReport, ReportError> {
    let arrivals = book.arrivals_of(order.id)?;
    one(
        book,
        order,
        arrivals,
        &book.claims()?,
        &item_names(book)?,
        today,
    )
}

fn one(
    book: &Book,
    order: SupplierOrder,
    arrivals: Vec<Arrival>,
    claims: &[Claim],
    names: &BTreeMap<String, String>,
    today: NaiveDate,
) -> Result<OrderReport, ReportError> {
    let called = |code: &str| names.get(code).cloned().unwrap_or_else(|| code.to_owned());
    let expected = expected_bill(&order, called, book.currency());
    let standing = standing(&order, &arrivals, today);
    let mut of_claims = Vec::new();
    for arrival in arrivals.iter().filter(|arrival| !arrival.is_void) {
        for claim in claims.iter().filter(|claim| claim.arrival == arrival.id) {
            let credited = match claim.entry {
                Some(number) => book.entry(number)?.entry.total(),
                None => Money::ZERO,
            };
            of_claims.push(ClaimReport {
                claim: claim.clone(),
                arrival: arrival.key.clone(),
                credited,
            });
        }
    }
    let arrivals = arrivals
        .into_iter()
        .map(|arrival| arrival_report(book, arrival))
        .collect::<Result<Vec<_>, _>>()?;
    let mut report = OrderReport {
        order_up: order_up(&order),
        order,
        expected,
        standing,
        arrivals,
        claims: of_claims,
        billed: Money::ZERO,
        later: Money::ZERO,
        credited: Money::ZERO,
        ahead: Money::ZERO,
    };
    for arrival in report
        .arrivals
        .iter()
        .filter(|report| !report.arrival.is_void)
    {
        // What is taken from money paid ahead was billed before.
        report.billed += arrival.billed + arrival.ahead.min(Money::ZERO);
        report.ahead += arrival.ahead;
        report.later += arrival
            .later
            .iter()
            .filter(|later| later.kind == MovementKind::LaterCost)
            .map(|later| later.amount)
            .sum();
        report.credited += arrival.refunds.iter().map(|(.., amount)| *amount).sum();
    }
    Ok(report)
}

fn arrival_report(book: &Book, arrival: Arrival) -> Result<ArrivalReport, ReportError> {
    let posted = match arrival.entry {
        Some(number) => Some(book.entry(number)?),
        None => None,
    };
    let entry = posted.as_ref().map(|posted| &posted.entry);
    let later = book.later_on(&arrival)?;
    let refunds = match &posted {
        Some(posted) => refunds_of(book, posted)?,
        None => Vec::new(),
    };
    let without_pieces = |line: &&ArrivalLine| line.good == 0;
    let wasted: Vec<&ArrivalLine> = arrival.lines.iter().filter(without_pieces).collect();
    let lines = arrival
        .lines
        .iter()
        .map(|line| {
            let of = |is_bill: bool| -> Money {
                later
                    .iter()
                    .filter(|later| Some(later.of) == line.movement)
                    .filter(|later| (later.kind == MovementKind::LaterCost) == is_bill)
                    .map(|later| later.amount)
                    .sum()
            };
            let billed = match entry {
                Some(entry) if line.good > 0 => billed_for(entry, &line.item),
                Some(entry) => {
                    let place = wasted.iter().position(|one| one.item == line.item);
                    on_waste(book, entry, place.unwrap_or_default())?
                }
                None => Money::ZERO,
            };
            Ok(LineReport {
                line: line.clone(),
                billed,
                later: of(true),
                credited: of(false),
            })
        })
        .collect::<Result<Vec<_>, ReportError>>()?;
    let advance = book.chart().role(Role::PaidInAdvance)?;
    Ok(ArrivalReport {
        lines,
        billed: entry.map_or(Money::ZERO, JournalEntry::total),
        ahead: entry
            .into_iter()
            .flat_map(JournalEntry::lines)
            .filter(|line| line.account == advance)
            .map(|line| line.amount)
            .sum(),
        later,
        refunds: refunds
            .iter()
            .map(|refund| {
                (
                    refund.number,
                    refund.entry.header.date,
                    refund.entry.total(),
                )
            })
            .collect(),
        arrival,
    })
}

/// What an entry booked as waste for the item of which nothing was good, by its place among those.
fn on_waste(book: &Book, entry: &JournalEntry, place: usize) -> Result<Money, ReportError> {
    let waste = book.chart().role(Role::Waste)?;
    Ok(entry
        .lines()
        .iter()
        .filter(|line| line.account == waste && line.item.is_none())
        .nth(place)
        .map_or(Money::ZERO, |line| line.amount))
}

/// What of the orders wants doing today.
pub(super) fn orders_found(book: &Book, today: NaiveDate) -> Result<OrdersFound, ReportError> {
    let orders = book.supplier_orders()?;
    if orders.is_empty() {
        return Ok(OrdersFound::default());
    }
    let names = item_names(book)?;
    let called = |code: &str| names.get(code).cloned().unwrap_or_else(|| code.to_owned());
    let arrivals = book.arrivals()?;
    let claims = book.claims()?;
    let mut found = OrdersFound::default();
    for order in orders {
        let came = arrivals.get(&order.id).map_or(&[][..], Vec::as_slice);
        let stands = standing(&order, came, today);
        if let Some(expected_on) = order.expected_on().filter(|_day| stands.is_overdue) {
            found.late.push(LateOrder {
                id: order.id,
                key: order.key.clone(),
                supplier: order.supplier.clone(),
                expected_on,
                to_come: stands
                    .items
                    .iter()
                    .filter(|item| item.to_come() > 0)
                    .map(|item| format!("{} {}", item.to_come(), called(&item.item)))
                    .collect(),
            });
        }
        for arrival in came.iter().filter(|arrival| !arrival.is_void) {
            let open = claims
                .iter()
                .filter(|claim| claim.arrival == arrival.id && claim.state == ClaimState::Open);
            found.claims.extend(open.map(|claim| OpenClaim {
                order: order.id,
                supplier: order.supplier.clone(),
                amount: claim.amount,
                since: claim.opened_on,
                what: match &claim.item {
                    Some(code) => format!(
                        "{} {} {}, order {}",
                        claim.pieces,
                        claim.what.plain(),
                        called(code),
                        order.key
                    ),
                    None => format!("order {}", order.key),
                },
            }));
        }
    }
    Ok(found)
}

/// The recording of an arrival with its bill; nothing when nothing is billed.
///
/// # Errors
/// When the book cannot be read or an amount cannot be.
pub fn arrival_recording(
    book: &Book,
    order: &SupplierOrder,
    arrival: &Arrival,
    bill: &ArrivalBill,
) -> Result<Option<Recording>, ReportError> {
    Ok(purchase_of(
        order,
        &book.arrivals_of(order.id)?,
        arrival,
        bill,
        &book.items()?,
        book.chart(),
        book.currency(),
    )?)
}

/// The recording of a bill that came later for one or several arrivals.
///
/// # Errors
/// When the book cannot be read or the bill cannot be.
pub fn bill_later_recording(
    book: &Book,
    reports: &[&ArrivalReport],
    bill: &LateBill,
) -> Result<Recording, ReportError> {
    let arrivals: Vec<(&Arrival, Vec<Money>)> = reports
        .iter()
        .map(|report| {
            let worth = report.lines.iter().map(|line| line.billed).collect();
            (&report.arrival, worth)
        })
        .collect();
    Ok(late_bill(&arrivals, bill, &book.items()?, book.chart())?)
}

/// The recording of what a supplier gives for a claim.
///
/// # Errors
/// When the arrival has no purchase, the book cannot be read, or the credit cannot be.
pub fn credit_recording(
    book: &Book,
    order: &SupplierOrder,
    claim: &Claim,
    credit: &Credit,
) -> Result<Recording, ReportError> {
    let arrival = book.arrival(claim.arrival)?;
    let Some(number) = arrival.entry else {
        return Err(crate::book::BookError::refused(
            "nothing was billed with that arrival, so nothing can come back for it",
        )
        .into());
    };
    let posted: PostedEntry = book.entry(number)?;
    let refunds = refunds_of(book, &posted)?;
    let refunds = refunds.iter().map(|refund| &refund.entry);
    let purchase = RefundedPurchase::of_entries(&posted.entry, refunds);
    Ok(credit_of(
        order,
        &arrival,
        claim,
        credit,
        purchase,
        book.chart(),
    )?)
}
