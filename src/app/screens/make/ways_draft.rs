//! What is typed to compare both ways to have a product, read as what is asked; it begins with what the book can answer.
//! How it is drawn is `ways`.

use rust_decimal::Decimal;

use super::card_draft::typed_unit;
use super::pieces::{read_count, read_minutes, read_money, read_percent, read_unit};
use crate::deciding::{DecidingError, OwnTime, PriceTier, Run, WaysAsk, WaysTold};
use crate::money::{Currency, Money, Percent};
use crate::reports::Making;

/// The fields as they are typed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct WaysDraft {
    pub wanted: String,
    pub tiers: Vec<(String, String)>,
    pub minimum: String,
    pub out_design: String,
    pub out_run: String,
    pub carriage: String,
    pub each: String,
    pub batch: String,
    pub loss: String,
    pub minutes: String,
    pub rate: String,
    pub equipment: String,
    pub time: OwnTime,
    pub run: Run,
}

impl WaysDraft {
    /// A comparison filled up from what the book can answer.
    pub fn new(making: &Making, own_rate: Option<Money>, currency: &Currency) -> Self {
        Self::of(&making.ways(own_rate, currency), currency)
    }

    /// A comparison as it was asked; what is nothing is left empty.
    pub fn of(ask: &WaysAsk, currency: &Currency) -> Self {
        let number = |value: Decimal| {
            if value.is_zero() {
                String::new()
            } else {
                value.normalize().to_string()
            }
        };
        let money = |amount: Money| {
            if amount.is_zero() {
                String::new()
            } else {
                currency.show(amount)
            }
        };
        let mut tiers: Vec<(String, String)> = ask
            .tiers
            .iter()
            .map(|tier| (tier.from.to_string(), typed_unit(tier.each, currency)))
            .collect();
        if tiers.is_empty() {
            tiers.push((String::new(), String::new()));
        }
        Self {
            wanted: ask.wanted.to_string(),
            tiers,
            minimum: if ask.minimum > 1 {
                ask.minimum.to_string()
            } else {
                String::new()
            },
            out_design: money(ask.out_design),
            out_run: money(ask.out_run),
            carriage: money(ask.carriage),
            each: typed_unit(ask.each, currency),
            batch: ask.batch.map_or_else(String::new, |n| n.to_string()),
            loss: number(ask.loss.percent()),
            minutes: number(ask.minutes),
            rate: money(ask.own_rate),
            equipment: money(ask.equipment),
            time: ask.time,
            run: ask.run,
        }
    }

    /// What is asked.
    pub fn ask(&self, currency: &Currency) -> Result<WaysAsk, String> {
        let mut tiers = Vec::new();
        for (from, each) in &self.tiers {
            if from.trim().is_empty() && each.trim().is_empty() {
                continue;
            }
            let price = read_unit(each, "the price of each", currency)?
                .ok_or_else(|| "the price of each: write a price, as 2.40".to_owned())?;
            tiers.push(PriceTier {
                from: read_count(from, "from how many")?,
                each: price,
            });
        }
        let money = |text: &str, what: &str| {
            read_money(text, what, currency).map(Option::unwrap_or_default)
        };
        Ok(WaysAsk {
            wanted: read_count(&self.wanted, "how many you want")?,
            tiers,
            minimum: read_count(&self.minimum, "the fewest it makes")?,
            out_design: money(&self.out_design, "once for the design")?,
            out_run: money(&self.out_run, "set-up of a run")?,
            carriage: money(&self.carriage, "carriage")?,
            each: read_unit(&self.each, "what goes into a piece", currency)?
                .ok_or_else(|| "what goes into a piece: write a price, as 2.40".to_owned())?,
            batch: match self.batch.trim() {
                "" => None,
                text => Some(read_count(text, "pieces in a batch")?),
            },
            loss: read_percent(&self.loss, "normally lost")?.unwrap_or(Percent::ZERO),
            minutes: read_minutes(&self.minutes, "your minutes")?,
            own_rate: money(&self.rate, "your hour")?,
            equipment: money(&self.equipment, "equipment")?,
            time: self.time,
            run: self.run,
        })
    }

    /// What the comparison tells.
    pub fn tell(&self, currency: &Currency) -> Result<WaysTold, String> {
        self.ask(currency)?
            .tell(currency)
            .map_err(|error| match error {
                DecidingError::NoTiers => {
                    "write what the house asks for one, from how many pieces on".to_owned()
                }
                error => error.to_string(),
            })
    }
}
