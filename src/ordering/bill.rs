//! What an order is expected to come to: numbered lines, each item's share, first run and reorder apart, and where a
//! larger order costs less.
//! What was really billed is the purchases'.

use rust_decimal::Decimal;

use super::order::{Deal, DealOn, Off, SupplierOrder};
use crate::deciding::{Figure, Run, Worksheet, each};
use crate::money::{Currency, Money};

/// What one item of an order comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineBill {
    /// The item's code.
    pub item: String,
    /// How many pieces.
    pub pieces: u64,
    /// With its share of deals and carriage, as it was ordered.
    pub total: Money,
    /// The same if the design were made for the first time.
    pub first_run: Money,
    /// The same if it had been made before.
    pub reorder: Money,
}

impl LineBill {
    /// What each piece costs in a first run, in minor units, for showing.
    #[must_use]
    pub fn first_each(&self) -> Decimal {
        each(self.first_run, self.pieces)
    }

    /// What each piece costs when it is ordered again, in minor units, for showing.
    #[must_use]
    pub fn reorder_each(&self) -> Decimal {
        each(self.reorder, self.pieces)
    }
}

/// What an order is expected to come to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExpectedBill {
    /// The numbered lines.
    pub sheet: Worksheet,
    /// All of it.
    pub total: Money,
    /// By item, in the order of the lines; together they are the total.
    pub lines: Vec<LineBill>,
}

/// A larger order of one item that costs less.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderUpHint {
    /// The item's code.
    pub item: String,
    /// How many are wanted.
    pub wanted: u64,
    /// How many to order instead.
    pub order: u64,
    /// What the whole order then comes to.
    pub total: Money,
    /// What is saved.
    pub saved: Money,
}

/// The parts of a bill, before and after what is taken off: for each item the pieces and what is paid once, and the
/// carriage last.
#[derive(Clone, Debug)]
pub(super) struct Parts {
    pub(super) design: Vec<Money>,
    pub(super) amounts: Vec<Money>,
    pub(super) off: Vec<Money>,
}

impl Parts {
    /// The parts of these prices.
    pub(super) fn new(
        pieces: &[Money],
        design: Vec<Money>,
        set_up: &[Money],
        carriage: Money,
        deals: &[Deal],
    ) -> Self {
        let mut amounts: Vec<Money> = pieces.to_vec();
        amounts.extend(design.iter().zip(set_up).map(|(one, run)| *one + *run));
        amounts.push(carriage);
        let mut parts = Self {
            design,
            amounts,
            off: Vec::new(),
        };
        for deal in deals {
            parts.take_off(*deal);
        }
        parts
    }

    fn take_off(&mut self, deal: Deal) {
        let n = self.design.len();
        let range = match deal.on {
            DealOn::Pieces => 0..n,
            DealOn::SetUp => n..2 * n,
            DealOn::WholeBill => 0..2 * n + 1,
        };
        let base: Money = self.amounts[range.clone()].iter().copied().sum();
        let off = match deal.off {
            Off::Share(share) => base.share(share),
            Off::Amount(amount) => amount.min(base),
        };
        if base.is_positive() {
            let weights: Vec<i64> = self.amounts[range.clone()]
                .iter()
                .map(|part| part.minor())
                .collect();
            for (part, less) in self.amounts[range].iter_mut().zip(off.allocate(&weights)) {
                *part -= less;
            }
        }
        self.off.push(off);
    }

    pub(super) fn total(&self) -> Money {
        self.amounts.iter().copied().sum()
    }

    /// The carriage after what is taken off.
    pub(super) fn carriage(&self) -> Money {
        self.amounts.last().copied().unwrap_or_default()
    }

    /// Each item's pieces and what is paid once, without carriage.
    pub(super) fn goods(&self) -> Vec<Money> {
        let n = self.design.len();
        (0..n)
            .map(|idx| self.amounts[idx] + self.amounts[n + idx])
            .collect()
    }

    /// Each item's share of everything, carriage spread by value.
    fn shares(&self) -> Vec<Money> {
        let goods = self.goods();
        let weights: Vec<i64> = goods.iter().map(|part| part.minor()).collect();
        let carriage = self.carriage().allocate(&weights);
        goods
            .iter()
            .zip(carriage)
            .map(|(part, more)| *part + more)
            .collect()
    }
}

fn parts_of(order: &SupplierOrder, run: Option<Run>) -> Parts {
    let pieces: Vec<Money> = order
        .lines
        .iter()
        .map(|line| line.each().for_pieces(line.quantity))
        .collect();
    let design = order
        .lines
        .iter()
        .map(|line| {
            let is_first = run.map_or(line.is_first_run, |run| run == Run::First);
            if is_first {
                line.once_per_design
            } else {
                Money::ZERO
            }
        })
        .collect();
    let set_up: Vec<Money> = order.lines.iter().map(|line| line.once_per_run).collect();
    Parts::new(&pieces, design, &set_up, order.carriage, &order.deals)
}

/// Works out what an order is expected to come to. `name` says what an item is called.
#[must_use]
pub fn expected_bill(
    order: &SupplierOrder,
    name: impl Fn(&str) -> String,
    currency: &Currency,
) -> ExpectedBill {
    let parts = parts_of(order, None);
    let first = parts_of(order, Some(Run::First)).shares();
    let again = parts_of(order, Some(Run::Reorder)).shares();
    let lines: Vec<LineBill> = order
        .lines
        .iter()
        .zip(parts.shares())
        .zip(first.into_iter().zip(again))
        .map(|((line, total), (first_run, reorder))| LineBill {
            item: line.item.clone(),
            pieces: line.quantity,
            total,
            first_run,
            reorder,
        })
        .collect();
    let mut sheet = Worksheet::default();
    for (idx, line) in order.lines.iter().enumerate() {
        let price = line.each().show(currency);
        let from = line.tier_of(line.quantity).map_or(1, |tier| tier.from);
        let formula = match from {
            0 | 1 => format!("{} × {price}, the price of each", line.quantity),
            from => format!(
                "{} × {price}, the price of each from {from} pieces",
                line.quantity
            ),
        };
        let amount = line.each().for_pieces(line.quantity);
        let called = name(&line.item);
        sheet.add("pieces", called.clone(), formula, Figure::Money(amount));
        if !parts.design[idx].is_zero() {
            sheet.add(
                "once-per-design",
                format!("{called}: once for the design"),
                "plate, die or proof; not again when it is reordered",
                Figure::Money(parts.design[idx]),
            );
        }
        if !line.once_per_run.is_zero() {
            sheet.add(
                "once-per-run",
                format!("{called}: once for the run"),
                "set-up, paid at every run",
                Figure::Money(line.once_per_run),
            );
        }
    }
    if !order.carriage.is_zero() {
        sheet.add(
            "carriage",
            "Carriage",
            "for the order",
            Figure::Money(order.carriage),
        );
    }
    for (deal, off) in order.deals.iter().zip(&parts.off) {
        let formula = match deal.off {
            Off::Share(share) => format!("{share} % off {}", deal.on.plain()),
            Off::Amount(amount) => format!("{} off {}", currency.show(amount), deal.on.plain()),
        };
        sheet.add("deal", "Taken off", formula, Figure::Money(-*off));
    }
    let total = parts.total();
    sheet.add(
        "total",
        "Expected bill",
        "all of the above together",
        Figure::Money(total),
    );
    for line in &lines {
        let called = name(&line.item);
        let of = |amount: Money| format!("{} ÷ {} pieces", currency.show(amount), line.pieces);
        sheet.add(
            "first-run-each",
            format!("{called}, each in the first run"),
            of(line.first_run),
            Figure::Each(line.first_each()),
        );
        sheet.add(
            "reorder-each",
            format!("{called}, each when ordered again"),
            of(line.reorder),
            Figure::Each(line.reorder_each()),
        );
    }
    ExpectedBill {
        sheet,
        total,
        lines,
    }
}

/// For each item the larger order that costs least, where one costs less than what is wanted.
#[must_use]
pub fn order_up(order: &SupplierOrder) -> Vec<OrderUpHint> {
    let now = parts_of(order, None).total();
    let mut hints = Vec::new();
    for (idx, line) in order.lines.iter().enumerate() {
        let larger = line
            .tiers
            .iter()
            .map(|tier| tier.from.max(line.minimum))
            .filter(|from| *from > line.quantity);
        let cheapest = larger
            .map(|quantity| {
                let mut other = order.clone();
                other.lines[idx].quantity = quantity;
                (parts_of(&other, None).total(), quantity)
            })
            .min();
        if let Some((total, quantity)) = cheapest
            && total < now
        {
            hints.push(OrderUpHint {
                item: line.item.clone(),
                wanted: line.quantity,
                order: quantity,
                total,
                saved: now - total,
            });
        }
    }
    hints
}

impl OrderUpHint {
    /// It in a sentence. `called` is what the item is called.
    #[must_use]
    pub fn sentence(&self, called: &str, currency: &Currency) -> String {
        format!(
            "Ordering {} of {called} instead of {} costs {} less: {} together, and you have {} more.",
            self.order,
            self.wanted,
            currency.show(self.saved),
            currency.show(self.total),
            self.order - self.wanted
        )
    }
}
