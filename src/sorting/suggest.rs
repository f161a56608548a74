//! What a line most likely means, and why: an entry it is in, a rule, what was chosen before, names, plain words.
//! Counting and looking up only, so that every suggestion can be explained. The owner decides.

use std::collections::HashMap;
use std::sync::LazyLock;

use chrono::NaiveDate;

use super::{BankLine, Direction, Matched, Meaning, Payee, Rule, Treatment};
use crate::happenings::hints::{ChannelOwes, Incoming, PayoutReason, looks_like_payout};
use crate::kinds::service_role;
use crate::ledger::{Account, AccountId, Chart, EntryNumber, Role};
use crate::money::{Currency, Money};

/// What the owner made of a payee's lines, and how often.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The payee.
    pub payee: Payee,
    /// Which way the money went: in or out.
    pub direction: Direction,
    /// What it became.
    pub treatment: Treatment,
    /// How often.
    pub times: u32,
    /// When last, by the day of the line.
    pub last_day: NaiveDate,
}

/// A recurring purchase, as far as a line can show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ComesRound {
    /// Its name.
    pub name: String,
    /// From whom.
    pub party: String,
    /// The kind of cost.
    pub account: AccountId,
    /// How much, positive.
    pub amount: Money,
}

/// What is known when lines are sorted.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// The rules, in the order in which they are asked.
    pub rules: Vec<Rule>,
    /// What was chosen before.
    pub choices: Vec<Choice>,
    /// The kind of cost that each supplier's things were booked to most, and how often.
    pub suppliers: Vec<(String, AccountId, usize)>,
    /// What the channels owe.
    pub owed: Vec<ChannelOwes>,
    /// What comes round again.
    pub recurring: Vec<ComesRound>,
}

/// What is suggested for a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Suggested {
    /// It is in this entry already.
    Entry(EntryNumber),
    /// It becomes this.
    Treatment(Treatment),
}

/// Why it is suggested.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// An entry of the same amount lies this many days apart.
    Matches {
        /// How many days.
        days_apart: i64,
        /// Whether nothing speaks against it.
        is_sure: bool,
    },
    /// The rule with this number in the book.
    Rule(i64),
    /// Her earlier choices for this payee: so many of so many lines.
    Chosen {
        /// How many became this.
        times: u32,
        /// Of how many.
        of: u32,
        /// The payee as it was then, where it is not quite the same.
        like: Option<Payee>,
    },
    /// It names a channel.
    NamesChannel,
    /// It is exactly what a channel owes.
    ChannelOwes,
    /// A recurring purchase of this amount.
    ComesRound(String),
    /// The supplier is in the book.
    Supplier {
        /// Whose name it is.
        name: String,
        /// How many things of theirs were booked so.
        times: usize,
    },
    /// It names another account of hers.
    NamesAccount,
    /// A plain word in it.
    Word(String),
}

/// A suggestion with its reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suggestion {
    /// What.
    pub what: Suggested,
    /// Why.
    pub why: Reason,
}

impl Suggestion {
    /// Whether one word of hers accepts it with others: a rule covers it, or it is in the book beyond doubt.
    #[must_use]
    pub fn is_covered(&self) -> bool {
        matches!(
            self.why,
            Reason::Rule(_) | Reason::Matches { is_sure: true, .. }
        )
    }

    /// Whether it says that somebody else was paid or paid: neither an entry nor money of the owner's own.
    fn is_with_others(&self) -> bool {
        match &self.what {
            Suggested::Entry(_) => false,
            Suggested::Treatment(treatment) => !matches!(
                treatment.meaning,
                Meaning::Transfer | Meaning::Settlement | Meaning::OwnerIn | Meaning::OwnerOut
            ),
        }
    }

    /// The reason in a sentence.
    #[must_use]
    pub fn why(&self, rules: &[Rule], currency: &Currency) -> String {
        match &self.why {
            Reason::Matches { days_apart, .. } => {
                let when = match days_apart {
                    0 => "on the same day".to_owned(),
                    1 => "a day apart".to_owned(),
                    days => format!("{days} days apart"),
                };
                format!("The book has this amount on this account, {when}.")
            }
            Reason::Rule(id) => rules.iter().find(|rule| rule.id == *id).map_or_else(
                || "A rule of yours.".to_owned(),
                |rule| format!("Your rule: {}.", rule.sentence(currency)),
            ),
            Reason::Chosen { times, of, like } => {
                let lines = if *of == 1 { "line" } else { "lines" };
                let whose = like.as_ref().map_or_else(
                    || "this payee".to_owned(),
                    |payee| format!("'{}'", payee.name()),
                );
                if times == of {
                    format!("You sorted {of} {lines} of {whose} this way.")
                } else {
                    format!("You sorted {times} of {of} {lines} of {whose} this way.")
                }
            }
            Reason::NamesChannel => "It names the shop. A payout is never a sale.".to_owned(),
            Reason::ChannelOwes => {
                "It is exactly what the shop owes you. A payout is never a sale.".to_owned()
            }
            Reason::ComesRound(name) => format!("'{name}' comes round with this amount."),
            Reason::Supplier { name, times } => {
                let things = if *times == 1 { "thing" } else { "things" };
                format!("{name} is in the book with {times} {things} of this kind.")
            }
            Reason::NamesAccount => "It names another account of yours.".to_owned(),
            Reason::Word(word) => format!("The bank's text has the word '{word}'."),
        }
    }
}

/// A plain word of a bank's text that tells a meaning by itself.
#[derive(Debug)]
struct PlainWord {
    is_in: bool,
    meaning: Meaning,
    role: Option<Role>,
    /// The account on whose lines the word tells it; nothing for all.
    on: Option<Role>,
}

/// The plain words, from `assets/words/statement-meanings.csv`. A line that cannot be read is passed over; a test
/// holds that there is none.
static WORDS: LazyLock<HashMap<&'static str, Vec<PlainWord>>> = LazyLock::new(|| {
    let mut words: HashMap<&'static str, Vec<PlainWord>> = HashMap::new();
    for line in word_lines() {
        if let Some((word, plain)) = plain_word(line) {
            words.entry(word).or_default().push(plain);
        }
    }
    words
});

fn word_lines() -> impl Iterator<Item = &'static str> {
    include_str!("../../assets/words/statement-meanings.csv")
        .lines()
        .skip(1)
        .filter(|line| !line.trim().is_empty())
}

fn plain_word(line: &'static str) -> Option<(&'static str, PlainWord)> {
    let mut cells = line.split(',').map(str::trim);
    let (word, direction, meaning) = (cells.next()?, cells.next()?, cells.next()?);
    let (beside, on) = (cells.next()?, cells.next()?);
    let is_in = match direction {
        "in" => true,
        "out" => false,
        _ => return None,
    };
    let role = |text: &str| -> Option<Option<Role>> {
        match text {
            "" => Some(None),
            text => text.parse().ok().map(Some),
        }
    };
    let (role, on) = (role(beside)?, role(on)?);
    let meaning: Meaning = meaning.parse().ok()?;
    meaning.fits(is_in).then_some((
        word,
        PlainWord {
            is_in,
            meaning,
            role,
            on,
        },
    ))
}

/// Gives suggestions for lines, from what is known.
#[derive(Debug)]
pub struct Suggester<'c> {
    chart: &'c Chart,
    known: Known,
    // Positions among the choices and the suppliers, by the payee's first word.
    by_first_word: HashMap<String, Vec<usize>>,
    suppliers_by_first_word: HashMap<String, Vec<(usize, Payee)>>,
    // Her own accounts that hold money or are a card, with their names in lower case.
    own_accounts: Vec<(String, AccountId)>,
}

impl<'c> Suggester<'c> {
    /// One that knows this.
    #[must_use]
    pub fn new(chart: &'c Chart, known: Known) -> Self {
        let mut by_first_word: HashMap<String, Vec<usize>> = HashMap::new();
        for (idx, choice) in known.choices.iter().enumerate() {
            by_first_word
                .entry(first_word(&choice.payee).to_owned())
                .or_default()
                .push(idx);
        }
        let mut suppliers_by_first_word: HashMap<String, Vec<(usize, Payee)>> = HashMap::new();
        for (idx, (name, _account, _times)) in known.suppliers.iter().enumerate() {
            let payee = Payee::of(name);
            suppliers_by_first_word
                .entry(first_word(&payee).to_owned())
                .or_default()
                .push((idx, payee));
        }
        let own_accounts = chart
            .accounts()
            .into_iter()
            .filter(|account| account.is_active && (account.is_money() || is_card(account)))
            .map(|account| (account.name.to_lowercase(), account.id))
            .collect();
        Self {
            chart,
            known,
            by_first_word,
            suppliers_by_first_word,
            own_accounts,
        }
    }

    /// What it knows.
    #[must_use]
    pub const fn known(&self) -> &Known {
        &self.known
    }

    /// What a line most likely means; `matched` is the entry it may be in. Nothing when there is nothing to go by.
    #[must_use]
    pub fn suggest(&self, line: &BankLine, matched: Option<&Matched>) -> Option<Suggestion> {
        let in_entry = |matched: &Matched| Suggestion {
            what: Suggested::Entry(matched.entry),
            why: Reason::Matches {
                days_apart: matched.days_apart,
                is_sure: matched.is_sure,
            },
        };
        if let Some(matched) = matched.filter(|matched| matched.is_sure) {
            // Money of the owner's own is told by its amount alone; what she says of this payee speaks louder.
            let said = || self.by_rule(line).or_else(|| self.by_choices(line));
            let other = (!matched.is_alike)
                .then(said)
                .flatten()
                .filter(Suggestion::is_with_others);
            return Some(other.unwrap_or_else(|| in_entry(matched)));
        }
        self.by_rule(line)
            .or_else(|| self.by_choices(line))
            .or_else(|| matched.map(in_entry))
            .or_else(|| self.by_recurring(line))
            .or_else(|| self.by_channel(line))
            .or_else(|| self.by_supplier(line))
            .or_else(|| self.by_account(line))
            .or_else(|| self.by_words(line))
    }

    fn by_rule(&self, line: &BankLine) -> Option<Suggestion> {
        let rule = self.known.rules.iter().find(|rule| rule.fits(line))?;
        Some(Suggestion {
            what: Suggested::Treatment(rule.treatment.clone()),
            why: Reason::Rule(rule.id),
        })
    }

    fn by_choices(&self, line: &BankLine) -> Option<Suggestion> {
        let payee = line.payee();
        if payee.is_empty() {
            return None;
        }
        let fitting = |is_meant: &dyn Fn(&Payee) -> bool| -> Vec<&Choice> {
            self.by_first_word
                .get(first_word(&payee))
                .into_iter()
                .flatten()
                .map(|idx| &self.known.choices[*idx])
                .filter(|choice| {
                    choice.direction == Direction::of(line)
                        && is_meant(&choice.payee)
                        && choice.treatment.account != Some(line.account)
                })
                .collect()
        };
        let mut list = fitting(&|known| *known == payee);
        let is_same = !list.is_empty();
        if !is_same {
            list = fitting(&|known| known.is_like(&payee));
        }
        let of = list.iter().map(|choice| choice.times).sum();
        let best = list
            .into_iter()
            .max_by_key(|choice| (choice.times, choice.last_day))?;
        Some(Suggestion {
            what: Suggested::Treatment(best.treatment.clone()),
            why: Reason::Chosen {
                times: best.times,
                of,
                like: (!is_same).then(|| best.payee.clone()),
            },
        })
    }

    fn by_recurring(&self, line: &BankLine) -> Option<Suggestion> {
        if line.is_in() {
            return None;
        }
        let payee = line.payee();
        let found = self.known.recurring.iter().find(|one| {
            one.amount == line.amount.abs()
                && (Payee::of(&one.party).is_like(&payee) || Payee::of(&one.name).is_like(&payee))
        })?;
        Some(Suggestion {
            what: Suggested::Treatment(
                Treatment::new(Meaning::Purchase)
                    .account(found.account)
                    .party(&found.party),
            ),
            why: Reason::ComesRound(found.name.clone()),
        })
    }

    fn by_channel(&self, line: &BankLine) -> Option<Suggestion> {
        let hint = looks_like_payout(
            Incoming {
                account: line.account,
                amount: line.amount.abs(),
                party: "",
                memo: &line.text,
            },
            self.chart,
            if line.is_in() { &self.known.owed } else { &[] },
        )?;
        let meaning = if line.is_in() {
            Meaning::Payout
        } else {
            Meaning::ChannelPaid
        };
        Some(Suggestion {
            what: Suggested::Treatment(Treatment::new(meaning).account(hint.channel)),
            why: match hint.reason {
                PayoutReason::NamesTheChannel => Reason::NamesChannel,
                PayoutReason::IsWhatTheChannelOwes => Reason::ChannelOwes,
            },
        })
    }

    fn by_supplier(&self, line: &BankLine) -> Option<Suggestion> {
        let payee = line.payee();
        if payee.is_empty() {
            return None;
        }
        let (idx, _payee) = self
            .suppliers_by_first_word
            .get(first_word(&payee))?
            .iter()
            .find(|(_idx, known)| known.is_like(&payee))?;
        let (name, account, times) = self.known.suppliers.get(*idx)?;
        let meaning = if line.is_in() {
            Meaning::SupplierRefund
        } else {
            Meaning::Purchase
        };
        let takes = self
            .chart
            .account(*account)
            .is_ok_and(|account| meaning.takes(account));
        takes.then(|| Suggestion {
            what: Suggested::Treatment(Treatment::new(meaning).account(*account).party(name)),
            why: Reason::Supplier {
                name: name.clone(),
                times: *times,
            },
        })
    }

    /// A line that names another account by its whole name or its number at the bank.
    fn by_account(&self, line: &BankLine) -> Option<Suggestion> {
        let text = line.text.to_lowercase();
        let own = self.chart.account(line.account).ok()?;
        let named = self
            .own_accounts
            .iter()
            .find(|(name, id)| *id != own.id && text.contains(name.as_str()));
        let other = match named {
            Some((_name, id)) => *id,
            None => {
                let names_card = text.contains("credit card") || text.contains("card payment");
                let card = self.chart.role(Role::CreditCard).ok()?;
                let bank = self.chart.role(Role::BusinessBank).ok()?;
                match own.id {
                    id if id == card && line.is_in() && text.contains("payment") => bank,
                    id if id == bank && !line.is_in() && names_card => card,
                    _ => return None,
                }
            }
        };
        let other = self.chart.account(other).ok()?;
        let meaning = if is_card(own) || is_card(other) {
            Meaning::Settlement
        } else {
            Meaning::Transfer
        };
        Some(Suggestion {
            what: Suggested::Treatment(Treatment::new(meaning).account(other.id)),
            why: Reason::NamesAccount,
        })
    }

    fn by_words(&self, line: &BankLine) -> Option<Suggestion> {
        let text = line.text.to_lowercase();
        let words = text.split(|c: char| !c.is_alphanumeric());
        for word in words.filter(|word| !word.is_empty()) {
            let plain = WORDS.get(word).into_iter().flatten().find(|plain| {
                let is_there = |role| self.chart.has_role(line.account, role);
                plain.is_in == line.is_in() && plain.on.is_none_or(is_there)
            });
            let Some(plain) = plain else {
                continue;
            };
            let account = plain.role.and_then(|role| self.chart.role(role).ok());
            if account != Some(line.account) {
                return Some(Suggestion {
                    what: Suggested::Treatment(Treatment {
                        account,
                        ..Treatment::new(plain.meaning)
                    }),
                    why: Reason::Word(word.to_owned()),
                });
            }
        }
        if line.is_in() {
            return None;
        }
        let account = self.chart.role(service_role(&line.text)?).ok()?;
        let word = text
            .split(|c: char| !c.is_alphanumeric())
            .find(|word| service_role(word).is_some())?;
        Some(Suggestion {
            what: Suggested::Treatment(Treatment::new(Meaning::Purchase).account(account)),
            why: Reason::Word(word.to_owned()),
        })
    }
}

fn is_card(account: &Account) -> bool {
    account.role == Some(Role::CreditCard)
}

fn first_word(payee: &Payee) -> &str {
    payee.key().split(' ').next().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_plain_word_can_be_read() {
        for line in word_lines() {
            assert!(plain_word(line).is_some(), "{line}");
        }
    }
}
