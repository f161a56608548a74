//! From what a shop's file tells and what the book knows to what is to be done, so that the same things told in any
//! order, in one file or several, leave the same book.
//!
//! A file of orders has the last word on what a sale was made of, a file of charges on fees and on money given back.
//! Each order is worked out anew from all that was told of it; only what differs from the book is written.

mod charges;
mod refunds;
mod sale;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::facts::clean;
use super::known::moved;
use super::settle;
use super::targets::{RefundAsked, SaleTold, fee_in, refund};
use super::{Fact, Known, OrderKnown, Product, RowMeaning, ShopOrder, Step, Steps};
use crate::dates::show_day;
use crate::happenings::{FeeKind, Happening, HappeningError, Recording, Sale};
use crate::ledger::{AccountId, Chart, EntryNumber, JournalEntry, Origin};
use crate::money::{Currency, Money};

/// What a file told, and what it is held against.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The file's name, without its folder.
    pub file: &'a str,
    /// The layout it was read by.
    pub layout: &'a str,
    /// Its orders.
    pub orders: &'a [ShopOrder],
    /// What its rows of charges say, each with its row and its words.
    pub facts: &'a [(Fact, u64, String)],
    /// The shop's account.
    pub channel: AccountId,
    /// Where payouts arrive.
    pub into: AccountId,
    /// The accounts.
    pub chart: &'a Chart,
    /// The book's currency.
    pub currency: &'a Currency,
    /// The products that words mean, by the words in small letters.
    pub products: &'a BTreeMap<String, Product>,
    /// Words that are known to mean no product, in small letters.
    pub no_products: &'a BTreeSet<String>,
    /// The book's first day.
    pub first_day: NaiveDate,
    /// The last locked day.
    pub lock_date: Option<NaiveDate>,
}

impl Told<'_> {
    fn is_open(&self, date: NaiveDate) -> bool {
        date >= self.first_day && self.lock_date.is_none_or(|lock| date > lock)
    }

    pub(super) fn of_row(&self, mut recording: Recording, row: u64) -> Box<Recording> {
        recording.entry.header.origin = Origin::Brought {
            file: self.file.to_owned(),
            row,
        };
        Box::new(recording)
    }
}

/// What follows from a file.
///
/// # Errors
/// What a happening refuses, with the row it came from.
pub fn reconcile(known: &Known, told: &Told<'_>) -> Result<Steps, (u64, HappeningError)> {
    let mut work = Work {
        known,
        told,
        out: Steps::default(),
    };
    let (orders, facts) = work.what_is_new();
    let mut by_order: BTreeMap<String, Vec<(Fact, u64, String)>> = BTreeMap::new();
    let mut alone = Vec::new();
    let mut settled = Vec::new();
    for one in facts {
        match one.0.what {
            RowMeaning::Payout | RowMeaning::Held | RowMeaning::Released => settled.push(one),
            _ if one.0.order.trim().is_empty() => alone.push(one),
            _ => by_order.entry(clean(&one.0.order)).or_default().push(one),
        }
    }
    for order in &orders {
        by_order.entry(clean(&order.order)).or_default();
    }
    for (order, new) in by_order {
        let from_file = orders.iter().find(|one| clean(&one.order) == order);
        work.order(&order, from_file.copied(), &new)?;
    }
    work.without_order(&alone)?;
    settle::settle(known, told, &settled, &mut work.out)?;
    work.say_untied();
    Ok(work.out)
}
type NewFact = (Fact, u64, String);

struct Work<'a> {
    known: &'a Known,
    told: &'a Told<'a>,
    out: Steps,
}

/// All that was told of one order, by this file and before.
#[derive(Clone, Copy)]
struct OrderTold<'o> {
    order: &'o str,
    before: &'o OrderKnown,
    from_file: Option<&'o ShopOrder>,
    /// What files of charges told before, with the entries that came of it.
    known: &'o [(Fact, Option<EntryNumber>)],
    /// What this file of charges tells.
    new: &'o [NewFact],
    sale_told: &'o SaleTold,
    told_fees: &'o [FeeKind],
    row: u64,
}

impl<'a> Work<'a> {
    /// The orders and facts that the book does not know, those out of its days left out.
    fn what_is_new(&mut self) -> (Vec<&'a ShopOrder>, Vec<NewFact>) {
        let mut facts = Vec::new();
        let mut locked = 0;
        let mut early = 0;
        let mut leave = |date: NaiveDate, told: &Told<'_>| {
            if date < told.first_day {
                early += 1;
            } else {
                locked += 1;
            }
        };
        for (fact, row, words) in self.told.facts {
            let is_payout = fact.what == RowMeaning::Payout;
            if is_payout
                && self
                    .known
                    .keys
                    .contains(&settle::payout_key(self.told.layout, fact))
            {
                self.out.counts.known += 1;
            } else if let Some((before, _entry)) = self.known.facts.get(&fact.identity()) {
                self.out.counts.known += 1;
                if before.amount != fact.amount {
                    self.out.notes.push(format!(
                        "Row {row}: {} was told as {} before and is {} here; the book keeps what it has.",
                        before.id,
                        self.told.currency.show(before.amount),
                        self.told.currency.show(fact.amount)
                    ));
                }
            } else if self.told.is_open(fact.date) {
                facts.push((fact.clone(), *row, words.clone()));
            } else {
                leave(fact.date, self.told);
            }
        }
        let mut orders = Vec::new();
        for order in self.told.orders {
            let is_known = {
                let known = self.known.order(&order.order);
                known.from_orders.is_some() || known.typed.is_some()
            };
            if is_known || self.told.is_open(order.date) {
                orders.push(order);
            } else {
                leave(order.date, self.told);
            }
        }
        self.out.counts.left_out = early + locked;
        let rows = |count: usize| {
            if count == 1 {
                "1 row lies".to_owned()
            } else {
                format!("{count} rows lie")
            }
        };
        if early > 0 {
            self.out.notes.push(format!(
                "{} before the book's first day, {}, and stayed out.",
                rows(early),
                show_day(self.told.first_day)
            ));
        }
        if let Some(lock) = self.told.lock_date.filter(|_| locked > 0) {
            self.out.notes.push(format!(
                "{} in the locked time up to {} and stayed out: unlock it and bring the file again, or write down what \
                 is missing by hand.",
                rows(locked),
                show_day(lock)
            ));
        }
        (orders, facts)
    }

    fn order(
        &mut self,
        order: &str,
        from_file: Option<&ShopOrder>,
        new: &[NewFact],
    ) -> Result<(), (u64, HappeningError)> {
        let before = self.known.order(order);
        let known = self.known.facts_of(order);
        let all: Vec<Fact> = known
            .iter()
            .map(|(fact, _entry)| fact.clone())
            .chain(new.iter().map(|(fact, ..)| fact.clone()))
            .collect();
        let sale_told = SaleTold::of(&all);
        let told_fees = told_fees(&all);
        let row = new
            .first()
            .map(|(_, row, _)| *row)
            .or(from_file.map(|one| one.row))
            .unwrap_or_default();
        let at = |error: HappeningError| (row, error);

        let told = OrderTold {
            order,
            before: &before,
            from_file,
            known: &known,
            new,
            sale_told: &sale_told,
            told_fees: &told_fees,
            row,
        };
        let mut sale = self.sale_before(told);
        self.sale_now(told, &mut sale).map_err(at)?;
        self.write_sale(told, &mut sale);
        self.compare_sale(told, &sale);
        self.refunds(told, &sale)?;
        self.fees(order, new, &all, &sale).map_err(at)
    }

    /// Rows that name no order: each sale and refund stands for itself, charges by the day.
    fn without_order(&mut self, facts: &[NewFact]) -> Result<(), (u64, HappeningError)> {
        let chart = self.told.chart;
        let mut charges = Vec::new();
        for one in facts {
            let (fact, row, words) = one;
            let at = |error| (*row, error);
            if fact.what.charge().is_some() {
                charges.push(one);
                continue;
            }
            if fact.what == RowMeaning::Refund {
                let asked = RefundAsked {
                    order: &fact.id,
                    document: &fact.id,
                    date: fact.date,
                    amount: fact.amount.abs(),
                    tax_by_channel: Money::ZERO,
                };
                let (recording, _) =
                    refund(chart, self.told.channel, None, &[], asked).map_err(at)?;
                self.put_refund(recording, None, vec![fact.key()], *row, &fact.id);
                continue;
            }
            if fact.what != RowMeaning::Sale {
                return Err(at(HappeningError::field(
                    "order",
                    format!(
                        "this row is {} and names no order; say what such rows are with --rows \"WORDS=ignore\" or \
                         another meaning",
                        fact.what.plain().to_lowercase()
                    ),
                )));
            }
            let details = SaleTold::of(std::slice::from_ref(fact))
                .sale(&fact.id, self.told.channel, words)
                .ok_or_else(|| HappeningError::field("amount", "a sale must be above nothing"))
                .map_err(at)?;
            let recording = Sale::new(details).and_then(|sale| sale.recording(chart));
            self.out.counts.sales += 1;
            self.out.add("sales", fact.amount);
            self.out.steps.push(Step::Write {
                recording: self.told.of_row(recording.map_err(at)?, *row),
                keys: vec![fact.key()],
                row: *row,
            });
        }
        let row = charges.first().map_or(0, |(_, row, _)| *row);
        self.write_fees("", "", &charges)
            .map_err(|error| (row, error))
    }

    fn note_untied(&mut self, order: &ShopOrder) {
        for line in &order.lines {
            let is_known = line.product(self.told.products).is_some()
                || line
                    .names()
                    .any(|name| self.told.no_products.contains(&name.to_lowercase()));
            let name = line.names().last().unwrap_or_default();
            if !is_known && !name.is_empty() && !self.out.untied.iter().any(|one| one == name) {
                self.out.untied.push(name.to_owned());
            }
        }
    }

    fn say_untied(&mut self) {
        let untied = &self.out.untied;
        if untied.is_empty() {
            return;
        }
        let shown: Vec<String> = untied
            .iter()
            .take(8)
            .map(|one| format!("'{one}'"))
            .collect();
        let more = untied.len().saturating_sub(8);
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let (things, are) = if untied.len() == 1 {
            ("thing", "is")
        } else {
            ("things", "are")
        };
        self.out.notes.push(format!(
            "{} {things} {are} not tied to a product: {}{more}. Tie each with --items \"WORDS=CODE\", so that the next \
             file moves its stock.",
            untied.len(),
            shown.join(", ")
        ));
    }
}

/// The kinds of fees that rows charged.
fn told_fees(facts: &[Fact]) -> Vec<FeeKind> {
    let kinds: BTreeSet<FeeKind> = facts
        .iter()
        .filter(|fact| fact.amount.is_negative())
        .filter_map(|fact| fact.what.charge()?.fee_kind())
        .collect();
    kinds.into_iter().collect()
}

/// All fees in a sale.
fn fees_of(chart: &Chart, entry: &JournalEntry) -> Money {
    FeeKind::ALL
        .into_iter()
        .map(|kind| fee_in(chart, entry.lines(), kind))
        .sum()
}

/// What a refund gave back to the customer through the channel, fees that came back with it apart.
fn gave_back(chart: &Chart, entry: &JournalEntry, channel: AccountId) -> Money {
    let credits: Money = FeeKind::ALL
        .into_iter()
        .map(|kind| chart.role(kind.role()))
        .filter_map(Result::ok)
        .collect::<BTreeSet<AccountId>>()
        .into_iter()
        .map(|account| moved(entry, account))
        .sum();
    -moved(entry, channel) - credits
}
