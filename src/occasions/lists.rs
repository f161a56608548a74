//! Answers that are lists: pieces, pieces with what they came to, amounts on accounts, entries.
//! Single values are `reading`'s.

use std::str::FromStr;

use rust_decimal::Decimal;

use super::reading::{Priced, Reading};
use crate::ledger::{AccountId, EntryNumber};
use crate::matters::Pieces;
use crate::money::{Money, Quantity};

impl<'a> Reading<'a> {
    fn listed(&self, key: &'static str) -> Vec<Vec<&'a str>> {
        self.text(key)
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(|part| part.split(':').map(str::trim).collect())
            .collect()
    }

    /// So many of items; empty where nothing was given.
    pub fn pieces(&mut self, key: &'static str) -> Option<Vec<Pieces>> {
        let mut pieces = Vec::new();
        for part in self.listed(key) {
            let [code, many] = part.as_slice() else {
                self.refuse(key, "write pieces as CODE:3, several with ; between them");
                return None;
            };
            let (item, _name) = self.named_item(key, code)?;
            let quantity = self.many(key, many)?;
            pieces.push(Pieces { item, quantity });
        }
        Some(pieces)
    }

    /// So many of items with what they came to; empty where nothing was given.
    pub fn priced(&mut self, key: &'static str) -> Option<Vec<Priced>> {
        self.priced_at(key, Decimal::ONE)
    }

    /// As [`Reading::priced`], with so much of the price where no amount is given: 0.5 is half of it.
    pub fn priced_at(&mut self, key: &'static str, of_price: Decimal) -> Option<Vec<Priced>> {
        let mut all = Vec::new();
        for part in self.listed(key) {
            let (code, many, amount) = match part.as_slice() {
                [code, many] => (*code, *many, ""),
                [code, many, amount] => (*code, *many, *amount),
                _ => {
                    self.refuse(
                        key,
                        "write pieces as CODE:3 or, with what they came to, CODE:3:42.00",
                    );
                    return None;
                }
            };
            let (code, name) = self.named_item(key, code)?;
            let quantity = self.many(key, many)?;
            let amount = if amount.is_empty() {
                self.at_price(key, &code, quantity)?.times(of_price)
            } else {
                let read = self.known.currency.parse_plain(amount);
                match read {
                    Ok(amount) if !amount.is_negative() && amount.is_within_limit() => amount,
                    _ => {
                        self.refuse(key, format!("'{amount}' is not an amount"));
                        return None;
                    }
                }
            };
            all.push(Priced {
                code,
                name,
                quantity,
                amount,
            });
        }
        Some(all)
    }

    fn at_price(&mut self, key: &'static str, code: &str, quantity: Quantity) -> Option<Money> {
        let price = self.known.item(code).map_or_else(
            || {
                let bundle = self.known.bundles.iter().find(|one| one.code == code);
                bundle.and_then(|bundle| bundle.price)
            },
            |item| item.price,
        );
        match price {
            Some(price) => Some(price.times(quantity.value())),
            None => {
                self.refuse(
                    key,
                    format!("'{code}' has no price in the book; say what they came to"),
                );
                None
            }
        }
    }

    /// The code and the name of an item or a set.
    fn named_item(&mut self, key: &'static str, code: &str) -> Option<(String, String)> {
        if let Some(item) = self.known.item(code) {
            return Some((item.code.clone(), item.name.clone()));
        }
        let bundle = self
            .known
            .bundles
            .iter()
            .find(|one| one.code.eq_ignore_ascii_case(code));
        if let Some(bundle) = bundle {
            return Some((bundle.code.clone(), bundle.name.clone()));
        }
        self.refuse(key, format!("there is no item '{code}' in the book"));
        None
    }

    fn many(&mut self, key: &'static str, text: &str) -> Option<Quantity> {
        let many = Quantity::from_str(text)
            .ok()
            .filter(|many| many.value() > Decimal::ZERO);
        if many.is_none() {
            self.refuse(key, format!("'{text}' is not how many; write a number"));
        }
        many
    }

    /// Amounts on accounts; empty where nothing was given.
    pub fn amounts(&mut self, key: &'static str) -> Option<Vec<(AccountId, Money)>> {
        let mut all = Vec::new();
        for part in self.listed(key) {
            let [account, amount] = part.as_slice() else {
                self.refuse(
                    key,
                    "write amounts as 6310:5.00, several with ; between them",
                );
                return None;
            };
            let account = match self.known.chart.find(account) {
                Ok(account) => account.id,
                Err(error) => {
                    self.refuse(key, error.to_string());
                    return None;
                }
            };
            match self.known.currency.parse_plain(amount) {
                Ok(amount) if amount.is_positive() && amount.is_within_limit() => {
                    all.push((account, amount));
                }
                _ => {
                    self.refuse(key, format!("'{amount}' is not an amount above nothing"));
                    return None;
                }
            }
        }
        Some(all)
    }

    /// Entries by number.
    pub fn entries(&mut self, key: &'static str) -> Option<Vec<EntryNumber>> {
        let mut all = Vec::new();
        for part in self.text(key).split(';').map(str::trim) {
            if part.is_empty() {
                continue;
            }
            match part.parse() {
                Ok(number) => all.push(EntryNumber(number)),
                Err(_) => {
                    self.refuse(key, format!("'{part}' is not the number of an entry"));
                    return None;
                }
            }
        }
        Some(all)
    }
}
