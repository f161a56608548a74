//! Fees that rows told: one entry a day, but for those that stand in a sale which the owner wrote.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::sale::SaleNow;
use super::{NewFact, Work};
use crate::happenings::{Happening, HappeningError, ShopCharge, ShopFee, ShopFeeDetails};
use crate::money::Money;
use crate::shops::targets::{fee_in, without_stock};
use crate::shops::{Fact, Step};

impl Work<'_> {
    /// The fees that rows told, one entry a day. Fees that stand in a sale the owner wrote are tied to it.
    pub(super) fn fees(
        &mut self,
        order: &str,
        new: &[NewFact],
        all: &[Fact],
        sale: &SaleNow,
    ) -> Result<(), HappeningError> {
        let chart = self.told.chart;
        let lines = sale.entry.as_ref().map(|entry| without_stock(chart, entry));
        let lines = lines.unwrap_or_default();
        let mut to_write = Vec::new();
        let mut covered = BTreeSet::new();
        for one in new {
            let Some(charge) = one.0.what.charge() else {
                continue;
            };
            let in_sale = charge.fee_kind().filter(|kind| {
                one.0.amount.is_negative() && fee_in(chart, &lines, *kind).is_positive()
            });
            match in_sale {
                Some(kind) => {
                    covered.insert(kind);
                    self.out.steps.push(Step::Tie {
                        key: one.0.key(),
                        entry: sale.number,
                    });
                }
                None => to_write.push(one),
            }
        }
        for kind in covered {
            let told: Money = all
                .iter()
                .filter(|fact| fact.what.charge().and_then(|one| one.fee_kind()) == Some(kind))
                .filter(|fact| fact.amount.is_negative())
                .map(|fact| fact.amount.abs())
                .sum();
            let stands = fee_in(chart, &lines, kind);
            if told != stands {
                self.out.notes.push(format!(
                    "Order {order}: the sale in the book has a {} of {}, the shop's statement {}.",
                    kind.plain(),
                    self.told.currency.show(stands),
                    self.told.currency.show(told)
                ));
            }
        }
        self.write_fees(order, sale.document(order), &to_write)
    }

    pub(super) fn write_fees(
        &mut self,
        order: &str,
        document: &str,
        facts: &[&NewFact],
    ) -> Result<(), HappeningError> {
        let mut by_day: BTreeMap<NaiveDate, Vec<&NewFact>> = BTreeMap::new();
        for one in facts {
            by_day.entry(one.0.date).or_default().push(one);
        }
        for (date, facts) in by_day {
            let charges: Vec<ShopCharge> = facts
                .iter()
                .filter_map(|(fact, ..)| Some(ShopCharge::new(fact.what.charge()?, -fact.amount)))
                .collect();
            let keys = facts.iter().map(|(fact, ..)| fact.key()).collect();
            let row = facts.first().map_or(0, |(_, row, _)| *row);
            let fee = ShopFee::new(ShopFeeDetails {
                date,
                channel: self.told.channel,
                charges,
                document: document.to_owned(),
                memo: String::new(),
                reference: order.to_owned(),
            });
            let fee = match fee {
                Ok(fee) => fee,
                Err(_nothing_to_charge) if facts.iter().all(|(fact, ..)| fact.amount.is_zero()) => {
                    continue;
                }
                Err(error) => return Err(error),
            };
            self.out.counts.fees += 1;
            self.out.add("fees", fee.total());
            self.out.steps.push(Step::Write {
                recording: self.told.of_row(fee.recording(self.told.chart)?, row),
                keys,
                row,
            });
        }
        Ok(())
    }
}
