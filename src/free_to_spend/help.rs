//! What would help when more is promised than is there: the largest promise, payouts that are due, what could wait.
//! It words what is known; nothing is written and nobody is scolded.

use chrono::NaiveDate;

use super::{FreeLine, FreeToSpend, Term};
use crate::dates::show_day;
use crate::ledger::AccountId;
use crate::money::{Currency, Money};
use crate::needs::{ChannelDue, DuePurchase};

/// Something that would help.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Help {
    /// Where most of the money is promised to.
    Largest {
        /// The term of the formula.
        term: Term,
        /// Its words.
        label: &'static str,
        /// How much, above nothing.
        amount: Money,
    },
    /// A shop owes money.
    Payout {
        /// The shop's account.
        channel: AccountId,
        /// Its name.
        name: String,
        /// How much it owes.
        amount: Money,
        /// Until when it holds some of it.
        held_until: Option<NaiveDate>,
    },
    /// Something that recurs is not due yet.
    CanWait {
        /// What.
        name: String,
        /// How much.
        amount: Money,
        /// When it is due.
        due: NaiveDate,
    },
    /// The owner's own reserve is hers to touch.
    Reserve {
        /// How much it is.
        amount: Money,
        /// What would be free without it.
        free_without: Money,
    },
}

/// What would help, the surest first; nothing while something is free.
#[must_use]
pub fn what_would_help(
    answer: &FreeToSpend,
    channels: &[ChannelDue],
    coming: &[DuePurchase],
    today: NaiveDate,
) -> Vec<Help> {
    if !answer.free.is_negative() {
        return Vec::new();
    }
    let mut list: Vec<Help> = Vec::new();
    let largest = answer.lines.iter().min_by_key(|line| line.amount);
    list.extend(
        largest
            .filter(|line| line.amount.is_negative())
            .map(promise),
    );
    list.extend(
        channels
            .iter()
            .filter(|channel| channel.due.is_positive())
            .map(|channel| Help::Payout {
                channel: channel.channel,
                name: channel.name.clone(),
                amount: channel.due,
                held_until: channel.held_until.filter(|until| *until > today),
            }),
    );
    list.extend(
        coming
            .iter()
            .filter(|one| one.due > today)
            .map(|one| Help::CanWait {
                name: one.name.clone(),
                amount: one.amount,
                due: one.due,
            }),
    );
    let reserve = -answer.amount(Term::Reserve);
    if reserve.is_positive() {
        list.push(Help::Reserve {
            amount: reserve,
            free_without: answer.free + reserve,
        });
    }
    list
}

fn promise(line: &FreeLine) -> Help {
    Help::Largest {
        term: line.term,
        label: line.label,
        amount: -line.amount,
    }
}

impl Help {
    /// It in a sentence.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        match self {
            Self::Largest { label, amount, .. } => format!(
                "The largest promise is {}: {}.",
                lower(label),
                currency.show(*amount)
            ),
            Self::Payout {
                name,
                amount,
                held_until: None,
                ..
            } => format!(
                "{name} owes you {}; asking for its payout would help.",
                currency.show(*amount)
            ),
            Self::Payout {
                name,
                amount,
                held_until: Some(until),
                ..
            } => format!(
                "{name} owes you {}, some of it held until {}.",
                currency.show(*amount),
                show_day(*until)
            ),
            Self::CanWait { name, amount, due } => format!(
                "{name}, {}, is due on {} only: it could be left out or come later.",
                currency.show(*amount),
                show_day(*due)
            ),
            Self::Reserve {
                amount,
                free_without,
            } => format!(
                "{} of it is your own reserve; without it {} would be free.",
                currency.show(*amount),
                currency.show(*free_without)
            ),
        }
    }
}

fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_lowercase().chain(letters).collect())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;
    use crate::free_to_spend::{Claims, free_to_spend};
    use crate::ledger::{Balances, Chart, Role};

    #[test]
    fn what_would_help_is_said_only_when_more_is_promised_than_is_there() {
        // By hand: 100.00 - 150.00 - 11.40 - 50.00 = -111.40; without the reserve -61.40.
        let day = |text: &str| parse_iso(text).expect("a day");
        let chart = Chart::craft_business(false).expect("the chart reads");
        let currency = Currency::from_code("USD").expect("a currency");
        let mut balances = Balances::new();
        for (role, minor) in [(Role::BusinessBank, 10_000), (Role::CreditCard, -15_000)] {
            balances.add(chart.role(role).expect("role"), Money::from_minor(minor));
        }
        let claims = Claims {
            due_soon: Money::from_minor(1_140),
            set_aside_gap: Money::ZERO,
            reserve: Money::from_minor(5_000),
        };
        let coming = |due: &str| DuePurchase {
            id: 1,
            name: "Ink plan".to_owned(),
            amount: Money::from_minor(1_140),
            due: day(due),
        };
        let shop = ChannelDue {
            channel: chart.role(Role::PayoutsDue).unwrap_or(AccountId(1)),
            name: "Lantern Market".to_owned(),
            due: Money::from_minor(4_000),
            last_payout: None,
            held_until: None,
        };
        let answer = free_to_spend(&chart, &balances, claims);
        assert_eq!(answer.free, Money::from_minor(-11_140));
        let today = day("2026-09-30");
        let help = what_would_help(
            &answer,
            &[shop],
            &[coming("2026-09-30"), coming("2026-10-12")],
            today,
        );
        let words: Vec<String> = help.iter().map(|one| one.sentence(&currency)).collect();
        assert_eq!(
            words,
            [
                "The largest promise is owed on cards: 150.00.",
                "Lantern Market owes you 40.00; asking for its payout would help.",
                "Ink plan, 11.40, is due on 12 Oct 2026 only: it could be left out or come later.",
                "50.00 of it is your own reserve; without it \u{2212}61.40 would be free.",
            ]
        );
        let enough = free_to_spend(&chart, &balances, Claims::default());
        let mut enough = enough;
        enough.free = Money::ZERO;
        assert!(what_would_help(&enough, &[], &[], today).is_empty());
    }
}
