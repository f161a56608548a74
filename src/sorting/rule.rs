//! The owner's rules: lines with these words become this. Asked in her order, the first that fits counts.
//! Whether a line is posted by a rule is for whoever asks.

use super::{BankLine, Treatment};
use crate::ledger::AccountId;
use crate::money::{Currency, Money};
use crate::word_list::word_list;

word_list! {
    /// Which way money goes.
    Direction, "a direction of money":
    /// Into the account.
    In = "in" / "money in",
    /// Out of it.
    Out = "out" / "money out",
    /// Either way.
    Either = "either" / "either way",
}

impl Direction {
    /// The direction of a line.
    #[must_use]
    pub fn of(line: &BankLine) -> Self {
        if line.is_in() { Self::In } else { Self::Out }
    }
}

/// A rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rule {
    /// Its number in the book; 0 for one that is new.
    pub id: i64,
    /// The account whose lines it is for; nothing for all.
    pub account: Option<AccountId>,
    /// The words that the line must hold, in any order and without regard to case. Several ways are parted by `|`.
    pub words: String,
    /// Which way the money goes.
    pub direction: Direction,
    /// The least amount, without its sign.
    pub at_least: Option<Money>,
    /// The most.
    pub at_most: Option<Money>,
    /// What such a line becomes.
    pub treatment: Treatment,
    /// Whether it is asked at all.
    pub is_active: bool,
}

impl Rule {
    /// A rule for lines with these words.
    #[must_use]
    pub fn new(words: impl Into<String>, direction: Direction, treatment: Treatment) -> Self {
        Self {
            id: 0,
            account: None,
            words: words.into(),
            direction,
            at_least: None,
            at_most: None,
            treatment,
            is_active: true,
        }
    }

    /// Refuses a rule that cannot be.
    ///
    /// # Errors
    /// What is wrong with it, in one sentence.
    pub fn check(&self) -> Result<(), String> {
        if !self.words.split('|').any(|way| !way.trim().is_empty()) {
            return Err("say which words of the bank's text the rule looks for".to_owned());
        }
        if let (Some(least), Some(most)) = (self.at_least, self.at_most)
            && least > most
        {
            return Err("the least amount is above the most".to_owned());
        }
        let fits = |is_in| self.treatment.meaning.fits(is_in);
        let is_possible = match self.direction {
            Direction::In => fits(true),
            Direction::Out => fits(false),
            Direction::Either => fits(true) && fits(false),
        };
        if !is_possible {
            return Err(format!(
                "{} cannot be '{}'",
                self.direction.plain(),
                self.treatment.meaning.plain().to_lowercase()
            ));
        }
        if self.treatment.meaning.needs_account() && self.treatment.account.is_none() {
            return Err(format!(
                "'{}' needs an account beside it",
                self.treatment.meaning.plain()
            ));
        }
        Ok(())
    }

    /// Whether it is for this line.
    #[must_use]
    pub fn fits(&self, line: &BankLine) -> bool {
        let amount = line.amount.abs();
        self.is_active
            && self.account.is_none_or(|account| account == line.account)
            && (self.direction == Direction::Either || self.direction == Direction::of(line))
            && self.at_least.is_none_or(|least| amount >= least)
            && self.at_most.is_none_or(|most| amount <= most)
            && self.has_words(&line.text.to_lowercase())
    }

    fn has_words(&self, text: &str) -> bool {
        self.words.split('|').any(|way| {
            let mut words = way.split_whitespace().peekable();
            words.peek().is_some() && words.all(|word| text.contains(&word.to_lowercase()))
        })
    }

    /// The rule in a sentence, without what it makes of the line.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let words: Vec<String> = self
            .words
            .split('|')
            .map(str::trim)
            .filter(|way| !way.is_empty())
            .map(|way| format!("'{way}'"))
            .collect();
        let mut text = format!("lines with {}", words.join(" or "));
        if self.direction != Direction::Either {
            text.push_str(", ");
            text.push_str(self.direction.plain());
        }
        match (self.at_least, self.at_most) {
            (Some(least), Some(most)) => text.push_str(&format!(
                ", from {} to {}",
                currency.show(least),
                currency.show(most)
            )),
            (Some(least), None) => text.push_str(&format!(", {} or more", currency.show(least))),
            (None, Some(most)) => text.push_str(&format!(", up to {}", currency.show(most))),
            (None, None) => {}
        }
        text
    }
}
