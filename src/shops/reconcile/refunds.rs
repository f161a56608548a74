//! The refunds of an order: those that a statement tells one by one, and those that a file of orders tells in a sum.

use super::sale::SaleNow;
use super::{OrderTold, Work, gave_back};
use crate::happenings::{HappeningError, Recording};
use crate::ledger::{EntryKind, EntryNumber, JournalEntry, PostedEntry};
use crate::money::Money;
use crate::shops::targets::{RefundAsked, SaleTold, refund, says_the_same};
use crate::shops::{Fact, RowMeaning, Step};

impl<'a> Work<'a> {
    pub(super) fn refunds(
        &mut self,
        told: OrderTold<'_>,
        sale: &SaleNow,
    ) -> Result<(), (u64, HappeningError)> {
        let OrderTold {
            order,
            before,
            from_file,
            known,
            new,
            sale_told,
            ..
        } = told;
        if sale_told.refunds.is_empty() {
            return self.refund_of_orders(told, sale);
        }
        let tells_new = new
            .iter()
            .any(|(fact, ..)| matches!(fact.what, RowMeaning::Refund | RowMeaning::TaxByChannel));
        if let Some((_, amount)) = from_file.and_then(|one| one.refund) {
            self.compare_refund(order, amount, sale_told);
        }
        if !tells_new && !sale.has_changed {
            return Ok(());
        }
        // Refunds that a file of orders told without saying each are taken over, one after the other.
        let mut to_take: Vec<EntryNumber> = before
            .refunds
            .iter()
            .filter_map(|refund| refund.entry)
            .filter(|number| {
                let is_told = |(_, entry): &(Fact, Option<EntryNumber>)| *entry == Some(*number);
                !known.iter().any(is_told) && self.stands(*number)
            })
            .collect();
        to_take.reverse();
        let mut done: Vec<JournalEntry> = Vec::new();
        let mut used: Vec<EntryNumber> = Vec::new();
        for (fact, tax) in sale_told.refunds.iter().zip(sale_told.tax_of_refunds()) {
            let asked = RefundAsked {
                order,
                document: sale.document(order),
                date: fact.date,
                amount: fact.amount.abs(),
                tax_by_channel: tax,
            };
            let told = new.iter().find(|(one, ..)| one == fact);
            let row = told.or(new.first()).map_or(0, |(_, row, _)| *row);
            let stands = known
                .iter()
                .find(|(one, _)| one.identity() == fact.identity())
                .and_then(|(_, entry)| *entry);
            let (recording, is_more) = self.refund_asked(sale, &done, asked, row)?;
            done.push(recording.entry.clone());
            let keys: Vec<String> = told.iter().map(|(fact, ..)| fact.key()).collect();
            let number = stands
                .or_else(|| self.typed_refund(order, asked.amount - tax, &used, sale))
                .or_else(|| to_take.pop());
            used.extend(number);
            if is_more && stands.is_none() {
                self.out.notes.push(format!(
                    "More went back to the customer of order {order} than the sale came to."
                ));
            }
            self.put_refund(recording, number, keys, row, order);
        }
        for entry in to_take {
            self.out.steps.push(Step::TakeBack {
                entry,
                reason: format!("The refunds of order {order} told one by one"),
            });
        }
        Ok(())
    }

    /// Whether an entry stands and may be written anew.
    fn stands(&self, number: EntryNumber) -> bool {
        self.known.entry(number).is_some_and(|posted| {
            posted.reversed_by.is_none() && self.told.is_open(posted.entry.header.date)
        })
    }

    /// A refund of the order that was written down by hand.
    fn typed_refund(
        &self,
        order: &str,
        amount: Money,
        used: &[EntryNumber],
        sale: &SaleNow,
    ) -> Option<EntryNumber> {
        let channel = self.told.channel;
        self.by_hand(EntryKind::Refund, order, sale)
            .into_iter()
            .find(|posted| {
                let back = gave_back(self.told.chart, &posted.entry, channel);
                back == amount && !used.contains(&posted.number)
            })
            .map(|posted| posted.number)
    }

    pub(super) fn put_refund(
        &mut self,
        recording: Recording,
        number: Option<EntryNumber>,
        keys: Vec<String>,
        row: u64,
        order: &str,
    ) {
        let Some(entry) = number else {
            self.out.counts.refunds += 1;
            self.out.add(
                "refunds",
                gave_back(self.told.chart, &recording.entry, self.told.channel),
            );
            self.out.steps.push(Step::Write {
                recording: self.told.of_row(recording, row),
                keys,
                row,
            });
            return;
        };
        let stands = self.known.entry(entry);
        let is_same = stands
            .is_none_or(|posted| says_the_same(self.told.chart, &posted.entry, &recording.entry));
        let is_ours = self.known.is_recorded(entry);
        if is_same || !is_ours || !self.stands(entry) {
            let ties = keys.into_iter().map(|key| Step::Tie {
                key,
                entry: Some(entry),
            });
            self.out.steps.extend(ties);
            return;
        }
        self.out.steps.push(Step::Rewrite {
            entry,
            recording: self.told.of_row(recording, row),
            keys,
            reason: format!("Refund of order {order} told in full by {}", self.told.file),
            row,
        });
    }

    /// The refunds that files of orders told: they follow their sale, and what this file tells above them is new.
    fn refund_of_orders(
        &mut self,
        told: OrderTold<'_>,
        sale: &SaleNow,
    ) -> Result<(), (u64, HappeningError)> {
        let OrderTold {
            order,
            before,
            from_file,
            ..
        } = told;
        let row = from_file.map_or(0, |one| one.row);
        let mut known = Money::ZERO;
        let mut done = Vec::new();
        for refund in &before.refunds {
            known += refund.amount;
            let Some(posted) = refund.entry.and_then(|number| self.known.entry(number)) else {
                continue;
            };
            let mut stands = posted.entry.clone();
            if sale.has_changed {
                let asked = RefundAsked {
                    order,
                    document: sale.document(order),
                    date: stands.header.date,
                    amount: refund.amount,
                    tax_by_channel: Money::ZERO,
                };
                let recording = self.refund_asked(sale, &done, asked, row)?.0;
                stands = recording.entry.clone();
                self.put_refund(recording, refund.entry, Vec::new(), row, order);
            }
            done.push(stands);
        }
        let Some((row, (date, amount))) = from_file.and_then(|one| Some((one.row, one.refund?)))
        else {
            return Ok(());
        };
        let date = date.or(from_file.map(|one| one.date)).unwrap_or_default();
        for posted in self.by_hand(EntryKind::Refund, order, sale) {
            known += gave_back(self.told.chart, &posted.entry, self.told.channel);
        }
        if amount <= known || !self.told.is_open(date) {
            return Ok(());
        }
        let asked = RefundAsked {
            order,
            document: sale.document(order),
            date,
            amount: amount - known,
            tax_by_channel: Money::ZERO,
        };
        let (recording, _is_more) = self.refund_asked(sale, &done, asked, row)?;
        let key = format!("order-refund|{order}|{date}|{}", asked.amount.minor());
        self.put_refund(recording, None, vec![key], row, order);
        Ok(())
    }

    fn refund_asked(
        &self,
        sale: &SaleNow,
        done: &[JournalEntry],
        asked: RefundAsked<'_>,
        row: u64,
    ) -> Result<(Recording, bool), (u64, HappeningError)> {
        refund(
            self.told.chart,
            self.told.channel,
            sale.entry.as_ref(),
            done,
            asked,
        )
        .map_err(|error| (row, error))
    }

    /// Entries of a kind about an order that were written down by hand: they have its number, or the sale's own key.
    fn by_hand(&self, kind: EntryKind, order: &str, sale: &SaleNow) -> Vec<&'a PostedEntry> {
        let mut found: Vec<&PostedEntry> = self.known.unrecorded(kind, order).collect();
        let document = sale.document(order);
        if document != order {
            found.extend(self.known.unrecorded(kind, document));
        }
        found.sort_by_key(|posted| posted.number);
        found.dedup_by_key(|posted| posted.number);
        found
    }

    fn compare_refund(&mut self, order: &str, amount: Money, sale_told: &SaleTold) {
        let told: Money = sale_told.refunds.iter().map(|fact| fact.amount.abs()).sum();
        let tax: Money = sale_told.tax_back.iter().map(|(_, tax)| *tax).sum();
        if amount != told && amount != told - tax {
            self.out.notes.push(format!(
                "Order {order}: {} was given back by this file and {} by the shop's statement.",
                self.told.currency.show(amount),
                self.told.currency.show(told)
            ));
        }
    }
}
