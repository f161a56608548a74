//! Answers read as values, with everything that is missing or wrong beside its question.
//! Answers stand as sheets write them; making typed words into that is the window's.

use std::collections::BTreeMap;
use std::str::FromStr;

use chrono::NaiveDate;

use super::{AskKind, Occasion};
use crate::dates::{parse_iso, show_day};
use crate::happenings::{HappeningError, Payment, RefundedSale};
use crate::ledger::{AccountId, Chart, ChartError, EntryNumber, Role};
use crate::matters::{Matter, MatterKind, Matters};
use crate::money::{Currency, Money, Percent, Quantity};
use crate::stock::{Bundle, Item};

/// A cost of a fair that was paid before, and can be joined to its day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StallFee {
    /// The entry.
    pub entry: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// How much of it went to fair and stall costs.
    pub amount: Money,
    /// To whom and for what.
    pub words: String,
}

/// What is known of the book when answers are read.
#[derive(Clone, Copy, Debug)]
pub struct Known<'a> {
    /// The accounts.
    pub chart: &'a Chart,
    /// The currency.
    pub currency: &'a Currency,
    /// The first day of the book.
    pub first_day: NaiveDate,
    /// The day up to which nothing changes any more.
    pub lock_date: Option<NaiveDate>,
    /// The items in stock.
    pub items: &'a [Item],
    /// The sets.
    pub bundles: &'a [Bundle],
    /// Everything that goes on.
    pub matters: &'a Matters,
    /// The sales that the order named may mean.
    pub sales: &'a [RefundedSale],
    /// Costs of fairs that belong to no fair day yet.
    pub stall_fees: &'a [StallFee],
}

impl<'a> Known<'a> {
    /// The item of a code.
    #[must_use]
    pub fn item(&self, code: &str) -> Option<&'a Item> {
        let code = code.trim();
        self.items
            .iter()
            .find(|item| item.code.eq_ignore_ascii_case(code))
    }

    /// An amount as it is shown.
    #[must_use]
    pub fn show(&self, amount: Money) -> String {
        self.currency.show(amount)
    }
}

/// What is wrong with an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// The question's key.
    pub field: &'static str,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// Whether it is only unanswered so far.
    pub is_missing: bool,
}

/// So many of an item for so much.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Priced {
    /// The item's code as the book has it.
    pub code: String,
    /// Its name.
    pub name: String,
    /// How many.
    pub quantity: Quantity,
    /// For how much together.
    pub amount: Money,
}

/// The answers being read.
#[derive(Debug)]
pub struct Reading<'a> {
    occasion: &'a Occasion,
    answers: &'a BTreeMap<String, String>,
    /// What is known of the book.
    pub known: Known<'a>,
    /// What is missing or wrong so far.
    pub wrong: Vec<Wrong>,
}

impl<'a> Reading<'a> {
    /// The answers to the questions of an occasion.
    #[must_use]
    pub fn new(
        occasion: &'a Occasion,
        answers: &'a BTreeMap<String, String>,
        known: Known<'a>,
    ) -> Self {
        Self {
            occasion,
            answers,
            known,
            wrong: Vec::new(),
        }
    }

    /// What they come to.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn tell(mut self) -> Result<super::Told, Vec<Wrong>> {
        for ask in self.occasion.asks {
            if ask.is_needed && self.text(ask.key).is_empty() {
                self.wrong.push(Wrong {
                    field: ask.key,
                    message: format!("\u{201C}{}\u{201D} is still empty", ask.label),
                    is_missing: true,
                });
            }
        }
        let told = (self.occasion.tell)(&mut self);
        match told {
            Some(mut told) if self.wrong.is_empty() => {
                let given = self.given();
                for step in &mut told.steps {
                    step.answers.clone_from(&given);
                }
                Ok(told)
            }
            _ => Err(self.wrong),
        }
    }

    /// What was answered, by question; empty answers are left out.
    fn given(&self) -> BTreeMap<String, String> {
        self.occasion
            .asks
            .iter()
            .filter(|ask| !self.text(ask.key).is_empty())
            .map(|ask| (ask.key.to_owned(), self.text(ask.key).to_owned()))
            .collect()
    }

    /// Notes what is wrong with an answer.
    pub fn refuse(&mut self, field: &'static str, message: impl Into<String>) {
        self.wrong.push(Wrong {
            field,
            message: message.into(),
            is_missing: false,
        });
    }

    /// The value, or its refusal noted.
    pub fn take<T>(&mut self, result: Result<T, HappeningError>) -> Option<T> {
        result
            .map_err(|error| {
                let field = error.field_name().unwrap_or("");
                let known = self.occasion.asks.iter().any(|ask| ask.key == field);
                let field = if known { field } else { "" };
                self.refuse(field, error.describe(self.known.currency));
            })
            .ok()
    }

    /// The account with a role, which every book has.
    pub fn role(&mut self, role: Role) -> Option<AccountId> {
        let found = self.known.chart.role(role);
        found
            .map_err(|error: ChartError| self.refuse("", error.to_string()))
            .ok()
    }

    /// The words of an answer; empty when it was not given.
    #[must_use]
    pub fn text(&self, key: &str) -> &'a str {
        self.answers.get(key).map_or("", |text| text.trim())
    }

    /// Whether it was answered.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        !self.text(key).is_empty()
    }

    /// Words that must be there.
    pub fn words(&self, key: &'static str) -> Option<String> {
        self.has(key).then(|| self.text(key).to_owned())
    }

    fn parsed<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        let text = self.text(key);
        if text.is_empty() {
            return None;
        }
        read(text).map_err(|message| self.refuse(key, message)).ok()
    }

    /// A day on which something is posted: in the book, and not locked.
    pub fn day(&mut self, key: &'static str) -> Option<NaiveDate> {
        let day = self.any_day(key)?;
        let words = match self.known.lock_date {
            _ if day < self.known.first_day => Some(format!(
                "the book begins on {}",
                show_day(self.known.first_day)
            )),
            Some(lock) if day <= lock => Some(format!(
                "everything up to {} is locked; choose a later day",
                show_day(lock)
            )),
            _ => None,
        };
        match words {
            Some(words) => {
                self.refuse(key, words);
                None
            }
            None => Some(day),
        }
    }

    /// Any day.
    pub fn any_day(&mut self, key: &'static str) -> Option<NaiveDate> {
        self.parsed(key, |text| {
            parse_iso(text).map_err(|_not_a_day| "not a day; write 28 Sep or 2026-09-28".to_owned())
        })
    }

    /// An amount above nothing, where one was given.
    pub fn amount(&mut self, key: &'static str) -> Option<Money> {
        let amount = self.any_amount(key)?;
        if amount.is_positive() {
            return Some(amount);
        }
        self.refuse(key, "the amount must be more than nothing");
        None
    }

    /// An amount of nothing or more; nothing where none was given.
    pub fn amount_or_none(&mut self, key: &'static str) -> Option<Money> {
        if !self.has(key) {
            return Some(Money::ZERO);
        }
        let amount = self.any_amount(key)?;
        if !amount.is_negative() {
            return Some(amount);
        }
        self.refuse(key, "the amount cannot be below nothing");
        None
    }

    fn any_amount(&mut self, key: &'static str) -> Option<Money> {
        let currency = self.known.currency;
        let amount = self.parsed(key, |text| {
            currency
                .parse_plain(text)
                .map_err(|error| error.to_string())
        })?;
        if amount.is_within_limit() {
            return Some(amount);
        }
        self.refuse(key, "the amount is too large");
        None
    }

    /// A share in per cent, or another where none was given.
    pub fn percent_or(&mut self, key: &'static str, otherwise: &str) -> Option<Percent> {
        if !self.has(key) {
            return otherwise.parse().ok();
        }
        self.parsed(key, |text| {
            Percent::from_str(text).map_err(|_error| "write a share from 0 to 100".to_owned())
        })
    }

    /// A whole number from a least to a most, or another where none was given.
    pub fn count_or(
        &mut self,
        key: &'static str,
        (least, most): (u32, u32),
        otherwise: u32,
    ) -> Option<u32> {
        if !self.has(key) {
            return Some(otherwise);
        }
        self.parsed(key, |text| {
            let number = text.parse().ok();
            number
                .filter(|number| (least..=most).contains(number))
                .ok_or_else(|| format!("write a whole number from {least} to {most}"))
        })
    }

    /// A number of nothing or more; nothing where none was given.
    pub fn number_or_none(&mut self, key: &'static str) -> Option<Quantity> {
        if !self.has(key) {
            return Some(Quantity::default());
        }
        self.parsed(key, |text| {
            Quantity::from_str(text)
                .ok()
                .filter(|number| !number.value().is_sign_negative())
                .ok_or_else(|| "write a number".to_owned())
        })
    }

    /// Yes or no, no where it was not said.
    pub fn yes(&mut self, key: &'static str) -> Option<bool> {
        match self.text(key) {
            "yes" => Some(true),
            "no" | "" => Some(false),
            other => {
                self.refuse(key, format!("'{other}' is neither yes nor no"));
                None
            }
        }
    }

    /// One of the question's words; the first where none was given.
    pub fn choice(&mut self, key: &'static str) -> Option<&'static str> {
        let ask = self.occasion.asks.iter().find(|ask| ask.key == key)?;
        let AskKind::Choice(words) = ask.kind else {
            return None;
        };
        let text = self.text(key);
        if text.is_empty() {
            return words.first().map(|(word, _)| *word);
        }
        let found = words.iter().find(|(word, _)| *word == text);
        if found.is_none() {
            let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            self.refuse(
                key,
                format!("'{text}' is not an answer; use {}", known.join(", ")),
            );
        }
        found.map(|(word, _)| *word)
    }

    /// An account that fits the question, where one was given.
    pub fn account(&mut self, key: &'static str) -> Option<AccountId> {
        let chart = self.known.chart;
        let id = self.parsed(key, |text| {
            chart
                .find(text)
                .map(|account| account.id)
                .map_err(|error| error.to_string())
        })?;
        let asked = self.occasion.asks.iter().find(|ask| ask.key == key);
        let account = chart.account(id).ok()?;
        if let Some(AskKind::Account(accounts)) = asked.map(|ask| ask.kind)
            && !accounts.fits(account)
        {
            self.refuse(key, accounts.refusal(&account.name));
            return None;
        }
        Some(id)
    }

    /// How something was paid: an account, `owner` for her own pocket, `owed-back` for her pocket to be paid back,
    /// `bill` for a bill left open.
    pub fn payment(&mut self, key: &'static str) -> Option<Payment> {
        Some(match self.text(key) {
            "" => return None,
            "owner" => Payment::OwnPocketPutIn,
            "owed-back" => Payment::OwnPocketOwedBack,
            "bill" => Payment::OnBill,
            _ => Payment::Account(self.account(key)?),
        })
    }

    /// The account that a payment is taken from.
    pub fn paid_from(&mut self, key: &'static str) -> Option<AccountId> {
        let account = self.payment(key)?.account(self.known.chart);
        match account {
            Ok(account) => Some(account),
            Err(error) => {
                self.refuse(key, error.describe(self.known.currency));
                None
            }
        }
    }

    /// A matter that is there already.
    pub fn matter(&mut self, key: &'static str, kind: MatterKind) -> Option<&'a Matter> {
        let text = self.text(key);
        if text.is_empty() {
            return None;
        }
        let found = self.known.matters.find(kind, text);
        if found.is_none() {
            self.refuse(
                key,
                format!("the book knows no {} '{text}'", kind.plain().to_lowercase()),
            );
        }
        found
    }

    /// The key of a matter that begins now, so that none of that key may be there.
    pub fn new_matter(&mut self, key: &'static str, kind: MatterKind) -> Option<String> {
        let text = self.words(key)?;
        match self.known.matters.find(kind, &text) {
            None => Some(text),
            Some(matter) => {
                let since = matter.began_on().map(show_day).unwrap_or_default();
                self.refuse(
                    key,
                    format!(
                        "there is a {} '{}' already, of {since}; give this one another name or number",
                        kind.plain().to_lowercase(),
                        matter.key
                    ),
                );
                None
            }
        }
    }

    /// Refuses an amount above what is left of something.
    pub fn at_most(
        &mut self,
        key: &'static str,
        amount: Money,
        most: Money,
        what: &str,
    ) -> Option<Money> {
        if amount <= most {
            return Some(amount);
        }
        let most = self.known.show(most);
        self.refuse(key, format!("{what}: at most {most}"));
        None
    }

    /// Refuses a day before another.
    pub fn not_before(
        &mut self,
        key: &'static str,
        day: NaiveDate,
        first: Option<NaiveDate>,
    ) -> Option<NaiveDate> {
        match first {
            Some(first) if day < first => {
                self.refuse(key, format!("it began on {} only", show_day(first)));
                None
            }
            _ => Some(day),
        }
    }

    /// The sale that an order's key means.
    pub fn sale(&mut self, key: &'static str) -> Option<&'a RefundedSale> {
        let text = self.text(key);
        let mut found = self
            .known
            .sales
            .iter()
            .filter(|sale| sale.document.eq_ignore_ascii_case(text));
        match (found.next(), found.next()) {
            (Some(sale), None) => Some(sale),
            (None, _) => {
                if !text.is_empty() {
                    self.refuse(key, format!("the book has no sale '{text}'"));
                }
                None
            }
            (Some(_), Some(_)) => {
                self.refuse(
                    key,
                    format!("'{text}' is the key of more than one sale; give them keys of their own first"),
                );
                None
            }
        }
    }
}
