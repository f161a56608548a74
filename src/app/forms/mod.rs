//! The forms: one question each in plain words, with the entry they write beside them as it is typed.
//! A form is a draft (plain text, pure, testable), the way it is drawn, and [`FormScreen`] around it.
//!
//! A new form is a draft that makes its happening, a function that draws it, and an arm in `draft`.

mod draft;
pub mod facts;
pub mod input;
pub mod paid;
pub mod parts;
pub mod purchase;
pub mod rare;
pub mod receipt;
pub mod sale;
mod screen;
mod short;
mod short_view;

use chrono::NaiveDate;

use super::action::FormWish;
use super::screen::Screen;
use crate::ledger::{AccountId, EntryKind, EntryNumber};
use crate::money::Money;
use crate::recurring::Recurring;

pub use draft::Draft;
pub use screen::FormScreen;
pub use short::{ShortDraft, ShortKind};

/// Which form, and what is known of it already.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wish {
    /// The key of its happening in `happenings::catalogue`, or `amend`, `take-back`.
    pub form: String,
    /// The account it is about: the channel of a payout, the card paid off, where money goes.
    pub account: Option<AccountId>,
    /// The account on the other side.
    pub other: Option<AccountId>,
    /// How much.
    pub amount: Option<Money>,
    /// From or to whom.
    pub party: String,
    /// The entry it mends, or the sale it refunds.
    pub entry: Option<EntryNumber>,
    /// The recurring purchase it changes.
    pub recurring: Option<Box<Recurring>>,
}

impl Wish {
    /// An empty form.
    #[must_use]
    pub fn new(form: impl Into<String>) -> Self {
        Self {
            form: form.into(),
            ..Self::default()
        }
    }

    /// The form about an account.
    #[must_use]
    pub fn about(form: impl Into<String>, account: AccountId) -> Self {
        Self {
            account: Some(account),
            ..Self::new(form)
        }
    }

    /// A form that mends this entry or refunds this sale.
    #[must_use]
    pub fn of_entry(form: impl Into<String>, entry: EntryNumber) -> Self {
        Self {
            entry: Some(entry),
            ..Self::new(form)
        }
    }
}

/// One line of "What happened?".
#[derive(Clone, Copy, Debug)]
pub struct HappeningChoice {
    /// In the maker's words, as `I bought something`.
    pub label: &'static str,
    /// The trade's term, in soft ink.
    pub term: &'static str,
    /// Further words that find it.
    pub words: &'static str,
    /// Opens the form.
    pub open: fn() -> Box<dyn Screen>,
}

macro_rules! choices {
    ($($key:literal: $label:literal, $term:literal, $words:literal;)*) => {
        /// Everything that can be recorded, the most frequent first.
        pub const HAPPENINGS: &[HappeningChoice] = &[$(HappeningChoice {
            label: $label,
            term: $term,
            words: $words,
            open: || Box::new(FormScreen::new(Wish::new($key))),
        },)*];

        #[cfg(test)]
        const KEYS: &[(&str, &str)] = &[$(($key, $label),)*];
    };
}

choices! {
    "purchase": "I bought something", "purchase", "buy receipt paper glue ink materials supplier cost bill machine tool";
    "sale": "I sold something", "sale", "sell order customer online channel shop till invoice fee discount";
    "payout": "A sales channel paid out", "settlement of a clearing account", "payout deposit shop money arrived marketplace held";
    "refund": "I gave a customer money back", "sales return and allowance", "refund return complaint damaged lost parcel";
    "owner-in": "I put money in", "owner contribution", "start capital savings my money";
    "owner-out": "I took money out", "drawing", "pay myself wage salary draw";
    "brought-in": "I brought in something I already had", "conversion to business use", "already owned laptop old stash home";
    "own-pocket": "I paid for a business thing myself", "purchase paid by the owner", "own pocket private card wallet privately expense";
    "owner-repaid": "The business paid me back", "repayment of the owner's advance", "reimburse owed back repaid";
    "private-payment": "The business paid for something private", "drawing in kind, or due from owner", "wrong card groceries mine mistake";
    "owner-pays-back": "I paid the business back", "repayment by the owner", "owe return private";
    "settlement": "I paid off a card or a bill", "settlement of a payable", "credit card statement invoice later sales tax pay over";
    "supplier-refund": "A supplier gave me money back", "purchase return and allowance", "return sent back credit note cash back";
    "channel-paid": "I paid a sales channel", "settlement of a clearing account", "fees billed shop bill negative balance";
    "transfer": "I moved money between my accounts", "transfer", "set aside savings cash withdraw pay in";
    "tax-instalment": "I paid an instalment of my own tax", "estimated tax payment (drawing)", "quarterly income tax estimated tax office";
    "recurring": "Something I pay for again and again", "recurring purchase", "subscription monthly yearly rent software ink plan renewal";
    "opening": "My business was running before this book", "opening balances", "start balances first day migrate";
    "manual": "I want to write debits and credits", "journal entry", "adjusting journal accountant correct";
}

/// The key of the form for a kind of entry, where that kind has one.
const fn key_of(kind: EntryKind) -> Option<&'static str> {
    Some(match kind {
        EntryKind::Purchase => "purchase",
        EntryKind::Sale => "sale",
        EntryKind::Payout => "payout",
        EntryKind::Refund => "refund",
        EntryKind::OwnerIn => "owner-in",
        EntryKind::OwnerOut => "owner-out",
        EntryKind::BroughtIn => "brought-in",
        EntryKind::PrivatePayment => "private-payment",
        EntryKind::Settlement => "settlement",
        EntryKind::Repayment => "owner-repaid",
        EntryKind::SupplierRefund => "supplier-refund",
        EntryKind::Transfer => "transfer",
        EntryKind::TaxInstalment => "tax-instalment",
        EntryKind::Opening => "opening",
        EntryKind::Manual | EntryKind::Adjusting => "manual",
        EntryKind::Reversal => "take-back",
        EntryKind::Depreciation
        | EntryKind::Disposal
        | EntryKind::Release
        | EntryKind::Closing
        | EntryKind::Batch
        | EntryKind::StockOut
        | EntryKind::StockCount
        | EntryKind::StockCost => return None,
    })
}

/// The form that answers a wish, or `None` when that kind of entry has none of its own.
#[must_use]
pub fn start(wish: &FormWish) -> Option<Box<dyn Screen>> {
    let form = key_of(wish.kind)?;
    Some(Box::new(FormScreen::new(Wish {
        account: wish.account,
        amount: wish.amount,
        party: wish.party.clone(),
        entry: wish.entry,
        ..Wish::new(form)
    })))
}

/// The form for a happening's key, if it has one here.
#[must_use]
pub fn open(key: &str) -> Option<Box<dyn Screen>> {
    open_with(Wish::new(key))
}

/// The form that is wished for, filled as far as is known.
#[must_use]
pub fn open_with(wish: Wish) -> Option<Box<dyn Screen>> {
    if Draft::has_form(&wish.form) {
        Some(Box::new(FormScreen::new(wish)))
    } else {
        None
    }
}

/// A form that was kept for later, as it was left.
///
/// # Errors
/// When it was kept by a program that wrote forms down otherwise; it stays in the book.
pub fn take_up(draft: &crate::book::Draft) -> Result<Box<dyn Screen>, String> {
    Ok(Box::new(FormScreen::taken_up(draft)?))
}

/// Something a form's own card asks for besides writing it down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FormEvent {
    /// Make the printable note for a thing bought from a private person.
    PurchaseNote,
    /// It was a payout after all.
    MakeItAPayout {
        /// The channel.
        channel: AccountId,
        /// Where it arrived.
        into: Option<AccountId>,
        /// How much.
        amount: Money,
    },
    /// Open a shop in the book.
    OpenChannel(String),
    /// The shop holds money back.
    AddHold {
        /// The channel.
        channel: AccountId,
        /// How much.
        amount: Money,
        /// Until when.
        until: Option<NaiveDate>,
    },
    /// Held money was released.
    ReleaseHold(i64),
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_has_its_form_and_the_words_of_the_catalogue() {
        for (key, label) in KEYS {
            assert!(Draft::has_form(key), "{key}");
            let entry = crate::happenings::catalogue()
                .iter()
                .find(|entry| entry.key == *key);
            assert_eq!(entry.map(|entry| entry.label), Some(*label), "{key}");
        }
    }
}
