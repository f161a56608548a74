//! What came of an order: good and spoiled pieces, and what is billed for them as an ordinary purchase at landed cost.
//! Recording the purchase is the book's.

use chrono::NaiveDate;

use super::bill::Parts;
use super::order::{DealOn, Off, OrderError, SupplierOrder};
use crate::happenings::{
    self, CameBefore, Happening, HappeningError, LateBill, LineCost, Payment, Purchase,
    PurchaseDetails, PurchaseLine, Recording,
};
use crate::ledger::{Chart, EntryNumber, JournalEntry, Role};
use crate::money::{Currency, Money, Quantity};
use crate::stock::{Item, Movement, MovementId, MovementKind, stock_role};

/// What came of one item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArrivalLine {
    /// The item's code.
    pub item: String,
    /// Pieces that can be used or sold.
    pub good: u64,
    /// Pieces that came and cannot.
    pub spoiled: u64,
    /// The movement that brought the good ones into stock; nothing before it is kept, and where none was good.
    pub movement: Option<MovementId>,
}

impl ArrivalLine {
    /// All that came, good or not.
    #[must_use]
    pub const fn came(&self) -> u64 {
        self.good + self.spoiled
    }

    /// Whether a movement is the one that brought its good pieces in.
    #[must_use]
    pub fn is_brought_by(&self, movement: &Movement) -> bool {
        movement.kind == MovementKind::Receive
            && super::order::same(&movement.item, &self.item)
            && movement.quantity.value() == self.good.into()
    }
}

/// An arrival, or a bill with which nothing came when it has no lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrival {
    /// Its number in the book; nothing before it is kept.
    pub id: i64,
    /// Its key, one of a kind within the order.
    pub key: String,
    /// The day.
    pub date: NaiveDate,
    /// The purchase; nothing when nothing was billed with it.
    pub entry: Option<EntryNumber>,
    /// Whether its purchase was taken back: it counts no more.
    pub is_void: bool,
    /// What came.
    pub lines: Vec<ArrivalLine>,
}

impl Arrival {
    /// The line of an item.
    #[must_use]
    pub fn line(&self, item: &str) -> Option<&ArrivalLine> {
        self.lines
            .iter()
            .find(|line| super::order::same(&line.item, item))
    }

    /// Whether it can be, as part of this order.
    ///
    /// # Errors
    /// When the key is missing, it is before the order, an item is not on the order or stands there twice, or nothing of
    /// it came.
    pub fn check(&self, order: &SupplierOrder) -> Result<(), OrderError> {
        if self.key.trim().is_empty() {
            return Err(OrderError::field("arrival", "give the arrival a key"));
        }
        if self.date < order.ordered_on {
            return Err(OrderError::field(
                "date",
                "it cannot come before it was ordered",
            ));
        }
        for (idx, line) in self.lines.iter().enumerate() {
            let at = |field, message: String| OrderError {
                field,
                message,
                line: Some(idx),
            };
            if order.line(&line.item).is_none() {
                return Err(at(
                    "item",
                    format!("{} was not ordered with {}", line.item, order.key),
                ));
            }
            let is_twice = self.lines[..idx]
                .iter()
                .any(|other| super::order::same(&other.item, &line.item));
            if is_twice {
                return Err(at("item", format!("{} stands there twice", line.item)));
            }
            let most = super::MOST_PIECES_ORDERED * 2;
            if line.came() == 0 || line.good > most || line.spoiled > most {
                return Err(at(
                    "good",
                    format!("say how many of {} came, good or spoiled", line.item),
                ));
            }
        }
        Ok(())
    }
}

/// What is billed with an arrival.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArrivalBill {
    /// For each line of the arrival: its pieces and what is paid once for them, as billed.
    pub billed: Vec<Money>,
    /// What the bill asks for pieces that are still to come.
    pub ahead: Money,
    /// Carriage.
    pub carriage: Money,
    /// Tax that is not got back.
    pub tax: Money,
    /// Taken off the whole.
    pub discount: Money,
    /// How it is paid.
    pub paid_from: Payment,
    /// The number on the paper; may be empty.
    pub reference: String,
}

impl ArrivalBill {
    /// A bill of nothing.
    #[must_use]
    pub fn nothing(lines: usize, paid_from: Payment) -> Self {
        Self {
            billed: vec![Money::ZERO; lines],
            ahead: Money::ZERO,
            carriage: Money::ZERO,
            tax: Money::ZERO,
            discount: Money::ZERO,
            paid_from,
            reference: String::new(),
        }
    }

    /// What each line comes to with its share of carriage, tax and what is taken off, as the purchase spreads them.
    #[must_use]
    pub fn shares(&self) -> Vec<Money> {
        let mut prices = self.billed.clone();
        prices.retain(|price| !price.is_zero());
        if !self.ahead.is_zero() {
            prices.push(self.ahead);
        }
        let mut costs =
            LineCost::spread(&prices, self.carriage, self.tax, self.discount).into_iter();
        self.billed
            .iter()
            .map(|billed| {
                let cost = if billed.is_zero() { None } else { costs.next() };
                cost.map_or(Money::ZERO, LineCost::total)
            })
            .collect()
    }

    /// All of it.
    #[must_use]
    pub fn total(&self) -> Money {
        self.billed.iter().copied().sum::<Money>() + self.ahead + self.carriage + self.tax
            - self.discount
    }
}

/// What an arrival should be billed by the order's terms: what came at the price of the quantity ordered, what is paid
/// once with the first arrival of an item, carriage and amounts off with the first of all.
///
/// `before` are the arrivals that stand. Billed amounts are given for each line, and the carriage beside them.
#[must_use]
pub fn expected_arrival(
    order: &SupplierOrder,
    before: &[Arrival],
    lines: &[ArrivalLine],
) -> (Vec<Money>, Money) {
    let standing = || before.iter().filter(|arrival| !arrival.is_void);
    let is_first = standing().next().is_none();
    let of_order: Vec<_> = lines
        .iter()
        .map(|line| (line, order.line(&line.item)))
        .collect();
    let pieces: Vec<Money> = of_order
        .iter()
        .map(|(line, of)| of.map_or(Money::ZERO, |of| of.each().for_pieces(line.came())))
        .collect();
    let once = |pick: fn(&super::OrderLine) -> Money| -> Vec<Money> {
        of_order
            .iter()
            .map(|(line, of)| match of {
                Some(of) if is_first_of(before, &line.item) => pick(of),
                _ => Money::ZERO,
            })
            .collect()
    };
    let design = once(|of| {
        if of.is_first_run {
            of.once_per_design
        } else {
            Money::ZERO
        }
    });
    let set_up = once(|of| of.once_per_run);
    let carriage = if is_first {
        order.carriage
    } else {
        Money::ZERO
    };
    let deals: Vec<_> = order
        .deals
        .iter()
        .copied()
        .filter(|deal| is_first || matches!(deal.off, Off::Share(_)) && deal.on != DealOn::SetUp)
        .collect();
    let parts = Parts::new(&pieces, design, &set_up, carriage, &deals);
    (parts.goods(), parts.carriage())
}

/// Whether nothing of an item came yet.
fn is_first_of(before: &[Arrival], item: &str) -> bool {
    !before
        .iter()
        .any(|arrival| !arrival.is_void && arrival.line(item).is_some())
}

/// The key of the purchase behind an arrival, by which credits find it.
#[must_use]
pub fn document_of(order: &SupplierOrder, arrival: &str) -> String {
    format!("{}/{}", order.key.trim(), arrival.trim())
}

/// The recording of an arrival's purchase: good pieces into stock at what is billed for all that came, pieces of which
/// none was good to waste, pieces still to come to what is paid in advance. Nothing when nothing is billed. `before` are
/// the order's other arrivals.
///
/// # Errors
/// When an amount or the way of paying cannot be.
pub fn purchase_of(
    order: &SupplierOrder,
    before: &[Arrival],
    arrival: &Arrival,
    bill: &ArrivalBill,
    items: &[Item],
    chart: &Chart,
    currency: &Currency,
) -> Result<Option<Recording>, HappeningError> {
    let mut lines = Vec::new();
    let mut free = Vec::new();
    for (idx, line) in arrival.lines.iter().enumerate() {
        let billed = bill.billed.get(idx).copied().unwrap_or_default();
        if billed.is_negative() {
            return Err(
                HappeningError::field("billed", "the amount cannot be below nothing").on_line(idx),
            );
        }
        let Some(item) = item_of(items, &line.item) else {
            return Err(HappeningError::field(
                "item",
                format!("there is no item '{}' in the book", line.item),
            )
            .on_line(idx));
        };
        if billed.is_zero() {
            free.extend(received(arrival, line));
            continue;
        }
        let words = line_words(order, before, line, item, currency);
        let account = if line.good > 0 {
            chart.role(stock_role(item.kind))?
        } else {
            chart.role(Role::Waste)?
        };
        let mut bought = PurchaseLine::new(account, billed, words);
        if line.good > 0 {
            bought.item = Some(item.code.clone());
            bought.quantity = Quantity::new(line.good.into()).ok();
        }
        lines.push(bought);
    }
    if !bill.ahead.is_zero() {
        let words = format!("Order {}: pieces still to come", order.key.trim());
        let account = chart.role(Role::PaidInAdvance)?;
        lines.push(PurchaseLine::new(account, bill.ahead, words));
    }
    if lines.is_empty() {
        return if bill.total().is_zero() {
            Ok(None)
        } else {
            Err(HappeningError::field(
                "billed",
                "say for which pieces something is billed",
            ))
        };
    }
    let mut details = PurchaseDetails::new(arrival.date, &order.supplier, bill.paid_from, lines);
    details.carriage = bill.carriage;
    details.tax = bill.tax;
    details.discount = bill.discount;
    details.memo = format!("Order {}", order.key.trim());
    details.reference.clone_from(&bill.reference);
    details.document = document_of(order, &arrival.key);
    let mut recording = Purchase::new(details)?.recording(chart)?;
    recording.movements = free;
    Ok(Some(recording))
}

/// What a purchase booked on an item.
#[must_use]
pub fn billed_for(entry: &JournalEntry, item: &str) -> Money {
    entry
        .lines()
        .iter()
        .filter(|line| line.amount.is_positive())
        .filter(|line| {
            line.item
                .as_deref()
                .is_some_and(|code| super::order::same(code, item))
        })
        .map(|line| line.amount)
        .sum()
}

/// The movement of pieces for which nothing is billed.
pub(super) fn received(arrival: &Arrival, line: &ArrivalLine) -> Option<Movement> {
    (line.good > 0).then(|| {
        Movement::new(
            MovementId(0),
            arrival.date,
            line.item.clone(),
            MovementKind::Receive,
            Quantity::new(line.good.into()).unwrap_or_default(),
        )
    })
}

impl Arrival {
    /// The movements of an arrival for which nothing at all is billed: pieces sent once more, free of charge.
    #[must_use]
    pub fn free_movements(&self) -> Vec<Movement> {
        self.lines
            .iter()
            .filter_map(|line| received(self, line))
            .collect()
    }
}

/// What a line of the purchase says: how many, what was spoiled, what of it is paid once.
fn line_words(
    order: &SupplierOrder,
    before: &[Arrival],
    line: &ArrivalLine,
    item: &Item,
    currency: &Currency,
) -> String {
    let mut words = item.name.clone();
    if line.spoiled > 0 {
        words.push_str(&format!(", {} came, {} spoiled", line.came(), line.spoiled));
    }
    let is_first_arrival = is_first_of(before, &line.item);
    if let Some(of) = order.line(&line.item)
        && is_first_arrival
        && of.is_first_run
        && !of.once_per_design.is_zero()
    {
        words.push_str(&format!(
            ", with {} once for the design",
            currency.show(of.once_per_design)
        ));
    }
    words
}

pub(super) fn item_of<'i>(items: &'i [Item], code: &str) -> Option<&'i Item> {
    items
        .iter()
        .find(|item| super::order::same(&item.code, code))
}

/// The purchase of a bill that came later, spread over the items of one or several arrivals by what each cost: what is
/// left and what was sold take their shares. With each arrival goes what each of its lines cost.
///
/// # Errors
/// When the amount or the way of paying cannot be, it is before an arrival, or nothing came with them.
pub fn late_bill(
    arrivals: &[(&Arrival, Vec<Money>)],
    bill: &LateBill,
    items: &[Item],
    chart: &Chart,
) -> Result<Recording, HappeningError> {
    let mut came = Vec::new();
    for (arrival, worth) in arrivals {
        for (idx, line) in arrival.lines.iter().enumerate() {
            let Some(item) = item_of(items, &line.item) else {
                continue;
            };
            came.push(CameBefore {
                item: item.code.clone(),
                name: item.name.clone(),
                account: match line.movement {
                    Some(_) => chart.role(stock_role(item.kind))?,
                    None => chart.role(Role::Waste)?,
                },
                movement: line.movement,
                worth: worth.get(idx).copied().unwrap_or_default(),
            });
        }
    }
    let since = arrivals.iter().map(|(arrival, _worth)| arrival.date).max();
    happenings::late_bill(&came, since.unwrap_or(bill.date), bill, chart)
}
