//! Price tiers and deals as one short text, as sheets and the file hold them: `50:0.58;250:0.42`, `10% pieces;5.00 set-up`.
//! How a price or an amount is written is the caller's.

use std::fmt::Display;

use super::{Deal, DealOn, Off};
use crate::deciding::{PriceTier, UnitCost};
use crate::money::{Money, Percent};

/// Tiers as `from:price;…`.
#[must_use]
pub fn tiers_text(tiers: &[PriceTier], price: impl Fn(UnitCost) -> String) -> String {
    let parts: Vec<String> = tiers
        .iter()
        .map(|tier| format!("{}:{}", tier.from, price(tier.each)))
        .collect();
    parts.join(";")
}

/// Reads tiers from `from:price;…`.
///
/// # Errors
/// Which part cannot be read, and why.
pub fn read_tiers<E: Display>(
    text: &str,
    price: impl Fn(&str) -> Result<UnitCost, E>,
) -> Result<Vec<PriceTier>, String> {
    parts_of(text)
        .map(|part| {
            let (from, each) = part
                .split_once(':')
                .ok_or_else(|| format!("'{part}' is not a price; write 50:0.58, from how many pieces and the price of each"))?;
            let from = from
                .trim()
                .parse()
                .map_err(|_not_whole| format!("'{}' is not a number of pieces", from.trim()))?;
            let each = price(each.trim()).map_err(|error| format!("'{part}': {error}"))?;
            Ok(PriceTier { from, each })
        })
        .collect()
}

/// Deals as `10% pieces;5.00 set-up`.
#[must_use]
pub fn deals_text(deals: &[Deal], amount: impl Fn(Money) -> String) -> String {
    let parts: Vec<String> = deals
        .iter()
        .map(|deal| {
            let off = match deal.off {
                Off::Share(share) => format!("{share}%"),
                Off::Amount(money) => amount(money),
            };
            format!("{off} {}", deal.on.as_str())
        })
        .collect();
    parts.join(";")
}

/// Reads deals from `10% pieces;5.00 set-up`.
///
/// # Errors
/// Which part cannot be read, and why.
pub fn read_deals<E: Display>(
    text: &str,
    amount: impl Fn(&str) -> Result<Money, E>,
) -> Result<Vec<Deal>, String> {
    parts_of(text)
        .map(|part| {
            let (off, on) = part.split_once(' ').ok_or_else(|| {
                format!("'{part}' is not a deal; write 10% pieces, 5.00 set-up or 5% whole-bill")
            })?;
            let on: DealOn = on.parse()?;
            let off = match off.trim().strip_suffix('%') {
                Some(share) => Off::Share(
                    share
                        .parse::<Percent>()
                        .map_err(|error| format!("'{part}': {error}"))?,
                ),
                None => Off::Amount(amount(off).map_err(|error| format!("'{part}': {error}"))?),
            };
            Ok(Deal { off, on })
        })
        .collect()
}

fn parts_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
}
