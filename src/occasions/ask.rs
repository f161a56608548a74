//! A question of an occasion and the occasion itself: words and kinds only.
//! Reading an answer is `reading`'s.

use super::{Reading, Told};
use crate::happenings::checks;
use crate::ledger::{Account, AccountClass, Role};
use crate::matters::MatterKind;

/// An unusual happening: what is asked and what comes of the answers.
#[derive(Debug)]
pub struct Occasion {
    /// Its lasting key, the same as that of its form.
    pub key: &'static str,
    /// The kind of sheet that tells of it.
    pub sheet: &'static str,
    /// Its word in the sheet's column `what`; empty where the sheet tells of nothing else.
    pub word: &'static str,
    /// The question at the head of its form.
    pub title: &'static str,
    /// What it means, with the trade's term; a sentence.
    pub second: &'static str,
    /// What is asked, in this order.
    pub asks: &'static [Ask],
    /// What must be confirmed with somebody who knows; empty where nothing touches on tax or law.
    pub caution: &'static str,
    /// What the answers come to; nothing when something is missing or wrong, which the reading then holds.
    pub tell: fn(&mut Reading<'_>) -> Option<Told>,
}

/// One question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ask {
    /// Its lasting key: the sheet's column.
    pub key: &'static str,
    /// The label of its field.
    pub label: &'static str,
    /// A few soft words in the empty field.
    pub hint: &'static str,
    /// What sort of answer it takes.
    pub kind: AskKind,
    /// Whether it must be answered.
    pub is_needed: bool,
    /// What stands in the field at first.
    pub start: Start,
}

/// What sort of answer a question takes. In a sheet: a day as `2026-09-28`, an amount as `12.50`, an account by number or
/// name, pieces as `CODE:3;OTHER:1`, amounts as `6310:5.00;3100:8.00`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AskKind {
    /// A day.
    Day,
    /// An amount.
    Amount,
    /// A share in per cent.
    Percent,
    /// A whole number.
    Count,
    /// A number with decimals, as hours or miles.
    Number,
    /// Words.
    Words,
    /// Yes or no.
    YesNo,
    /// One of these words, each with what is shown for it.
    Choice(&'static [(&'static str, &'static str)]),
    /// An account.
    Account(Accounts),
    /// A matter of this kind that is there already and open.
    Matter(MatterKind),
    /// So many of items that are kept in stock.
    Pieces,
    /// So many of items, each with what they came to together, or at their price where no amount is given.
    PricedPieces,
    /// Amounts on accounts.
    Amounts,
    /// Entries, by number.
    Entries,
}

/// Which accounts can be meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Accounts {
    /// Bank, savings, cash.
    Money,
    /// What something can be paid with, the owner's own pocket (`owner`) and a bill left open included.
    Pays,
    /// Where the money of a sale goes: bank, cash or a sales channel.
    Takes,
    /// Where the money of a sale goes, or what the customer still owes.
    TakesOrOwed,
    /// What the cost of a thing goes to.
    Costs,
    /// Cards and money.
    CardsAndMoney,
    /// Costs of a year alone.
    Expenses,
    /// Income.
    Incomes,
    /// What is kept on the books and used up bit by bit, stock and equipment left out.
    Kept,
}

impl Accounts {
    /// Whether an account can be meant.
    #[must_use]
    pub fn fits(self, account: &Account) -> bool {
        let money = checks::holds_money(account);
        match self {
            Self::Money => money,
            Self::Pays => money || checks::is_card_or_bill(account),
            Self::Takes => money || account.is_channel(),
            Self::TakesOrOwed => {
                money || account.is_channel() || account.role == Some(Role::CustomersOwe)
            }
            Self::CardsAndMoney => money || account.role == Some(Role::CreditCard),
            Self::Costs => checks::is_cost(account),
            Self::Expenses => checks::is_cost(account) && account.class == AccountClass::Expense,
            Self::Incomes => account.class == AccountClass::Income && !account.is_contra,
            Self::Kept => {
                account.class == AccountClass::Asset
                    && matches!(account.role, None | Some(Role::PaidInAdvance))
                    && !account.is_money()
                    && !account.is_channel()
            }
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Money => "a bank account or cash",
            Self::Pays => "a bank account, cash, a card, a bill left open, or your own pocket",
            Self::Takes => "a bank account, cash or a sales channel",
            Self::TakesOrOwed => {
                "a bank account, cash, a sales channel or \u{2018}Customers owe\u{2019}"
            }
            Self::CardsAndMoney => "a card, a bank account or cash",
            Self::Expenses => "a cost",
            Self::Incomes => "an income",
            Self::Kept => "what is paid in advance, or an account of your own for supplies",
            Self::Costs => "a cost, or something the business keeps",
        }
    }

    /// Why an account of this name cannot be meant.
    #[must_use]
    pub fn refusal(self, name: &str) -> String {
        format!("'{name}' does not fit here; choose {}", self.words())
    }
}

/// What stands in a field at first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// Nothing.
    Empty,
    /// The day it is.
    Today,
    /// The last day of the financial year that ends nearest.
    YearEnd,
    /// The business's bank account.
    Bank,
    /// The cash box.
    Cash,
    /// These words.
    Words(&'static str),
}

/// A question that must be answered.
pub(super) const fn needed(key: &'static str, label: &'static str, kind: AskKind) -> Ask {
    Ask {
        key,
        label,
        hint: "",
        kind,
        is_needed: true,
        start: Start::Empty,
    }
}

/// A question that may stay open.
pub(super) const fn may(key: &'static str, label: &'static str, kind: AskKind) -> Ask {
    Ask {
        is_needed: false,
        ..needed(key, label, kind)
    }
}

impl Ask {
    /// The same question with soft words in its empty field.
    pub(super) const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    /// The same question with something in its field at first.
    pub(super) const fn start(self, start: Start) -> Self {
        Self { start, ..self }
    }
}

/// The day of something, today at first.
pub(super) const fn day() -> Ask {
    needed("date", "When", AskKind::Day).start(Start::Today)
}

/// Words that go with it.
pub(super) const fn note() -> Ask {
    may("note", "In your words", AskKind::Words).hint("may stay empty")
}
