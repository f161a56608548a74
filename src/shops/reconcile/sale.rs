//! The sale of an order: what it should say, what the book has of it, and where the two differ.

use super::{OrderTold, Work, fees_of};
use crate::happenings::{FeeKind, Happening, HappeningError, Recording, Sale};
use crate::ledger::{Chart, EntryKind, EntryNumber, JournalEntry, Role};
use crate::money::Money;
use crate::shops::known::moved;
use crate::shops::targets::{fee_in, says_the_same, without_fees, without_stock};
use crate::shops::{Fact, OrderKnown, RowMeaning, Step};

/// The sale of an order while it is worked out.
pub(super) struct SaleNow {
    /// What it says after this file.
    pub(super) entry: Option<JournalEntry>,
    /// Its number, where it is in the book already.
    pub(super) number: Option<EntryNumber>,
    /// Whether it may be written anew.
    pub(super) is_ours: bool,
    /// Whether this file changed it.
    pub(super) has_changed: bool,
    /// The keys of records that are the sale's.
    pub(super) keys: Vec<String>,
    /// The sale to write, with its row.
    pub(super) recording: Option<(Recording, u64)>,
}

impl Work<'_> {
    /// The sale as the book has it: written from a file, or by the owner herself.
    pub(super) fn sale_before(&self, told: OrderTold<'_>) -> SaleNow {
        let OrderTold {
            order,
            before,
            known,
            ..
        } = told;
        let of_fact = || {
            let mut sales = known
                .iter()
                .filter(|(fact, _)| fact.what == RowMeaning::Sale);
            sales.find_map(|(_fact, entry)| *entry)
        };
        let recorded = before.typed.or(before.from_orders).or_else(of_fact);
        let mut keys = Vec::new();
        let found = recorded.and_then(|number| self.known.entry(number));
        let found = found.or_else(|| {
            let by_hand = self.known.unrecorded(EntryKind::Sale, order).next();
            if by_hand.is_some() && recorded.is_none() {
                keys.push(format!("typed|{order}"));
            }
            by_hand.filter(|_| recorded.is_none())
        });
        let is_typed = before.typed.is_some() || !keys.is_empty();
        SaleNow {
            entry: found.map(|posted| posted.entry.clone()),
            number: found.map(|posted| posted.number),
            is_ours: !is_typed
                && found.is_none_or(|posted| {
                    posted.reversed_by.is_none() && self.told.is_open(posted.entry.header.date)
                }),
            has_changed: false,
            keys,
            recording: None,
        }
    }

    pub(super) fn sale_now(
        &mut self,
        told: OrderTold<'_>,
        sale: &mut SaleNow,
    ) -> Result<(), HappeningError> {
        let OrderTold {
            order,
            before,
            from_file,
            new,
            sale_told,
            told_fees,
            ..
        } = told;
        let chart = self.told.chart;
        let is_from_orders = before.from_orders.is_some();
        if let Some(from_file) = from_file.filter(|_| !is_from_orders && !sale.is_typed(before)) {
            if from_file.lines.iter().all(|line| line.amount.is_zero()) {
                self.out.notes.push(format!(
                    "Order {order} has nothing that was paid for and was left out."
                ));
                return Ok(());
            }
            let tells_tax = if from_file.tells_tax { "tax" } else { "" };
            sale.keys.push(format!("order|{order}|{tells_tax}"));
            if sale.number.is_some() && !sale.is_ours {
                self.out.notes.push(format!(
                    "Order {order} is in the book, in a time that is locked or taken back by you; it stays as it is."
                ));
                return Ok(());
            }
            let mut details = from_file.sale(self.told.channel, self.told.products, told_fees);
            if !from_file.tells_tax {
                details.tax_by_channel = sale_told.tax_taken;
            }
            self.note_untied(from_file);
            let recording = Sale::new(details)?.recording(chart)?;
            sale.set(chart, recording, from_file.row);
            return Ok(());
        }
        let tells = |is: fn(&Fact) -> bool| new.iter().any(|(fact, ..)| is(fact));
        if is_from_orders
            && sale.is_ours
            && tells(|fact| fact.what == RowMeaning::TaxByChannel || fact.what.charge().is_some())
        {
            let Some(stands) = sale.entry.clone() else {
                return Ok(());
            };
            let mut header = stands.header.clone();
            if !before.tells_tax {
                header.tax_by_channel = sale_told.tax_taken;
            }
            let lines = without_fees(without_stock(chart, &stands), told_fees);
            let recording = Recording::new(JournalEntry::new(header, lines)?);
            let row = new.first().map_or(0, |(_, row, _)| *row);
            sale.set(chart, recording, row);
            return Ok(());
        }
        if sale.is_ours && !is_from_orders && tells(|fact| fact.what.is_of_sale()) {
            let of_sale = new.iter().find(|(fact, ..)| fact.what == RowMeaning::Sale);
            let words = match (of_sale, &sale.entry) {
                (Some((_, _, words)), _) if !words.is_empty() => words.clone(),
                (_, Some(entry)) => first_words(chart, entry),
                _ => String::new(),
            };
            let Some(details) = sale_told.sale(order, self.told.channel, &words) else {
                return Ok(());
            };
            let recording = Sale::new(details)?.recording(chart)?;
            let row = of_sale.or(new.first()).map_or(0, |(_, row, _)| *row);
            sale.set(chart, recording, row);
        }
        Ok(())
    }

    /// The steps of the sale. The rows that told of it become its records.
    pub(super) fn write_sale(&mut self, told: OrderTold<'_>, sale: &mut SaleNow) {
        let OrderTold {
            order,
            from_file,
            new,
            row,
            ..
        } = told;
        let of_sale = new.iter().filter(|(fact, ..)| fact.what.is_of_sale());
        let mut keys: Vec<String> = of_sale.map(|(fact, ..)| fact.key()).collect();
        keys.append(&mut sale.keys);
        let reason = format!("Order {order} told in full by {}", self.told.file);
        match (sale.recording.take(), sale.number) {
            (Some((recording, row)), None) => {
                self.out.counts.sales += 1;
                let paid = moved(&recording.entry, self.told.channel);
                let fees = fees_of(self.told.chart, &recording.entry);
                self.out.add("sales", paid + fees);
                self.out.add("fees", fees);
                self.out.steps.push(Step::Write {
                    recording: self.told.of_row(recording, row),
                    keys,
                    row,
                });
            }
            (Some((recording, _)), Some(entry)) => {
                self.out.counts.sales_completed += 1;
                self.out.steps.push(Step::Rewrite {
                    entry,
                    recording: self.told.of_row(recording, row),
                    keys,
                    reason,
                    row,
                });
            }
            (None, number) => {
                if from_file.is_some() {
                    self.out.counts.known += usize::from(number.is_some());
                }
                let ties = keys.into_iter().map(|key| Step::Tie { key, entry: number });
                self.out.steps.extend(ties);
            }
        }
    }

    /// Says where two files, or a file and the book, differ on what an order came to.
    pub(super) fn compare_sale(&mut self, told: OrderTold<'_>, sale: &SaleNow) {
        let OrderTold {
            order,
            from_file,
            new,
            sale_told,
            ..
        } = told;
        let Some(entry) = &sale.entry else {
            return;
        };
        let chart = self.told.chart;
        let lines = without_stock(chart, entry);
        let fees: Money = FeeKind::ALL
            .into_iter()
            .map(|kind| fee_in(chart, &lines, kind))
            .sum();
        let stands = moved(entry, self.told.channel) + fees;
        let show = |amount| self.told.currency.show(amount);
        if let Some(from_file) = from_file
            && from_file.customer_pays() != stands
        {
            self.out.notes.push(format!(
                "Order {order} stands in the book at {} and comes to {} in this file, {} apart; the book keeps what \
                 it has.",
                show(stands),
                show(from_file.customer_pays()),
                show((stands - from_file.customer_pays()).abs())
            ));
        }
        let tells_sale = new.iter().any(|(fact, ..)| fact.what.is_of_sale()) || from_file.is_some();
        if !tells_sale || sale_told.price.is_zero() {
            return;
        }
        let with_tax = sale_told.net() + sale_told.tax_taken;
        let agrees = [stands, stands + entry.header.tax_by_channel]
            .into_iter()
            .any(|amount| amount == sale_told.net() || amount == with_tax);
        if !agrees {
            self.out.notes.push(format!(
                "Order {order} stands in the book at {}, and the shop's statement says {}: {} apart.",
                show(stands),
                show(sale_told.net()),
                show((stands - sale_told.net()).abs())
            ));
        }
    }
}

impl SaleNow {
    /// The key by which refunds find the sale: its own, or the order's number.
    pub(super) fn document<'d>(&'d self, order: &'d str) -> &'d str {
        let document = self
            .entry
            .as_ref()
            .map(|entry| entry.header.document.as_str());
        document
            .filter(|document| !document.is_empty())
            .unwrap_or(order)
    }

    fn is_typed(&self, before: &OrderKnown) -> bool {
        before.typed.is_some() || self.keys.iter().any(|key| key.starts_with("typed|"))
    }

    /// The sale as it should be, unless the book says so already.
    fn set(&mut self, chart: &Chart, recording: Recording, row: u64) {
        let is_same = self
            .entry
            .as_ref()
            .is_some_and(|entry| says_the_same(chart, entry, &recording.entry));
        if !is_same {
            self.has_changed = true;
            self.entry = Some(recording.entry.clone());
            self.recording = Some((recording, row));
        }
    }
}

/// The words of a sale's first line.
fn first_words(chart: &Chart, entry: &JournalEntry) -> String {
    let sales = chart.role(Role::Sales).ok();
    let line = entry
        .lines()
        .iter()
        .find(|line| Some(line.account) == sales);
    line.map(|line| line.memo.clone()).unwrap_or_default()
}
