//! The short forms: money in and out, payouts, paying off, moving, paying back. They ask for the same few things,
//! so one draft holds them and a description of each says which are asked and in which words.

use serde::{Deserialize, Serialize};

use crate::app::widgets::parse_day;
use crate::dates::show_day;
use crate::happenings::hints::{Written, likely_duplicate, unusual_amount};
use crate::happenings::{
    ChannelPaid, ChannelPaidDetails, Happening, HappeningError, OwnerMoneyIn, OwnerMoneyInDetails,
    OwnerMoneyOut, OwnerMoneyOutDetails, PaidBack, Payment, Payout, PayoutDetails, PrivatePayment,
    PrivatePaymentDetails, Recording, Repayment, RepaymentDetails, Settlement, SettlementDetails,
    ShopCharge, ShopFee, ShopFeeDetails, TaxInstalment, TaxInstalmentDetails, Transfer,
    TransferDetails, Treat,
};
use crate::ledger::{AccountId, EntryKind, Role};
use crate::money::Money;

use super::Form;
use super::charges::charge_on;
use super::facts::{Facts, Question};
use super::input::{Problem, Reader, told};
use super::paid;

/// Which short form it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ShortKind {
    /// Owner's money in.
    OwnerIn,
    /// Owner's money out.
    OwnerOut,
    /// An instalment of the owner's own tax.
    TaxInstalment,
    /// The business pays the owner back.
    OwnerRepaid,
    /// The owner pays the business back.
    OwnerPaysBack,
    /// A private thing paid by the business.
    PrivatePayment,
    /// A card or bill paid off.
    Settlement,
    /// Money moved between own accounts.
    Transfer,
    /// A channel paid out.
    Payout,
    /// A channel was paid.
    ChannelPaid,
    /// A channel charged a fee apart from a sale.
    ShopFee,
}

/// Which accounts a field offers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Offers {
    /// Bank, savings, cash.
    Money,
    /// Sales channels.
    Channels,
    /// What is owed: cards, bills, sales tax.
    Owed,
    /// Whatever something can be paid with.
    Ways,
    /// What a channel charges for.
    Charges,
}

/// What a short form asks, in its words.
#[derive(Clone, Copy, Debug)]
pub struct ShortForm {
    /// The question at its head.
    pub title: &'static str,
    /// The second line, with the trade's term.
    pub second: &'static str,
    /// Where the money comes from.
    pub from: Option<(&'static str, &'static str, Offers)>,
    /// Where it goes.
    pub to: Option<(&'static str, &'static str, Offers)>,
    /// Whom it concerns.
    pub party: Option<&'static str>,
    /// Whether the paper's number is asked.
    pub has_reference: bool,
}

impl ShortKind {
    /// The form it is.
    #[must_use]
    pub const fn of_form(self) -> Form {
        match self {
            Self::OwnerIn => Form::OwnerIn,
            Self::OwnerOut => Form::OwnerOut,
            Self::TaxInstalment => Form::TaxInstalment,
            Self::OwnerRepaid => Form::OwnerRepaid,
            Self::OwnerPaysBack => Form::OwnerPaysBack,
            Self::PrivatePayment => Form::PrivatePayment,
            Self::Settlement => Form::Settlement,
            Self::Transfer => Form::Transfer,
            Self::Payout => Form::Payout,
            Self::ChannelPaid => Form::ChannelPaid,
            Self::ShopFee => Form::ShopFee,
        }
    }

    /// Which happening's entries it writes.
    #[must_use]
    pub const fn entry_kind(self) -> EntryKind {
        match self {
            Self::OwnerIn => EntryKind::OwnerIn,
            Self::OwnerOut => EntryKind::OwnerOut,
            Self::TaxInstalment => EntryKind::TaxInstalment,
            Self::OwnerRepaid | Self::OwnerPaysBack => EntryKind::Repayment,
            Self::PrivatePayment => EntryKind::PrivatePayment,
            Self::Settlement => EntryKind::Settlement,
            Self::Transfer => EntryKind::Transfer,
            Self::Payout | Self::ChannelPaid => EntryKind::Payout,
            Self::ShopFee => EntryKind::ShopFee,
        }
    }

    /// What it asks.
    #[must_use]
    pub const fn form(self) -> ShortForm {
        use Offers::{Channels, Charges, Money, Owed, Ways};
        let plain = ShortForm {
            title: "",
            second: "",
            from: None,
            to: None,
            party: None,
            has_reference: false,
        };
        match self {
            Self::OwnerIn => ShortForm {
                title: "How much did you put in?",
                second: "Your own money becomes the business's: owner contribution, never income.",
                to: Some(("account", "Into", Money)),
                ..plain
            },
            Self::OwnerOut => ShortForm {
                title: "How much did you take out?",
                second: "Money for yourself: a drawing, neither a wage nor a cost.",
                from: Some(("account", "Out of", Money)),
                ..plain
            },
            Self::TaxInstalment => ShortForm {
                title: "Which instalment of your own tax did you pay?",
                second: "A sole owner's income tax is private: money taken out (drawing), no cost of the business.",
                from: Some(("account", "Paid from", Money)),
                party: Some("To which tax office"),
                has_reference: true,
                ..plain
            },
            Self::OwnerRepaid => ShortForm {
                title: "How much did the business pay you back?",
                second: "What it owed you for things you had paid goes down (Owed to the owner); no second cost.",
                from: Some(("account", "Paid from", Money)),
                ..plain
            },
            Self::OwnerPaysBack => ShortForm {
                title: "How much did you pay back to the business?",
                second: "What you owed it for private things goes down (Owed by the owner); no income.",
                to: Some(("account", "Into", Money)),
                ..plain
            },
            Self::PrivatePayment => ShortForm {
                title: "What private thing did the business pay?",
                second: "It happens to everybody. It is no cost: money taken out (drawing), or owed back by you.",
                from: Some(("account", "Paid from", Ways)),
                party: Some("To whom"),
                has_reference: true,
                ..plain
            },
            Self::Settlement => ShortForm {
                title: "What did you pay off?",
                second: "A card or a bill (settlement of a payable): the cost was counted when the thing was bought.",
                from: Some(("paid_from", "Paid from", Ways)),
                to: Some(("account", "What was owed", Owed)),
                party: Some("To whom"),
                has_reference: true,
            },
            Self::Transfer => ShortForm {
                title: "What did you move?",
                second: "Between your business's own accounts (transfer): nothing was earned or spent.",
                from: Some(("from", "Out of", Money)),
                to: Some(("to", "Into", Money)),
                ..plain
            },
            Self::Payout => ShortForm {
                title: "What did the shop pay out?",
                second: "It settles what the shop owed you (payouts due); the sales are written down already, so it is no sale.",
                from: Some(("channel", "Which shop", Channels)),
                to: Some(("paid_into", "Into", Money)),
                has_reference: true,
                ..plain
            },
            Self::ChannelPaid => ShortForm {
                title: "What did you pay the shop?",
                second: "Its fees came to more than the sales. They are written down already; this settles its balance.",
                from: Some(("paid_from", "Paid from", Ways)),
                to: Some(("channel", "Which shop", Channels)),
                has_reference: true,
                ..plain
            },
            Self::ShopFee => ShortForm {
                title: "What did the shop charge?",
                second: "A fee apart from a sale: it is a cost, and the shop owes you so much less.",
                from: Some(("channel", "Which shop", Channels)),
                to: Some(("account", "What for", Charges)),
                has_reference: true,
                ..plain
            },
        }
    }
}

/// A short form being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ShortDraft {
    /// Which one.
    pub kind: ShortKind,
    /// When.
    pub date: String,
    /// How much.
    pub amount: String,
    /// Where it comes from, as an account.
    pub from: Option<AccountId>,
    /// Where it comes from, where her own pocket is a way too.
    pub way: Payment,
    /// Where it goes.
    pub to: Option<AccountId>,
    /// Whom it concerns.
    pub party: String,
    /// What it was.
    pub memo: String,
    /// The number on the paper.
    pub reference: String,
    /// Whether a private payment is owed back by her.
    pub treat: Treat,
    /// A hold being noted, in the payout form.
    pub hold_amount: String,
    /// Until when it is held.
    pub hold_until: String,
    /// What is wrong with the hold, once it was to be noted: its amount, its day.
    #[serde(skip)]
    pub hold_problems: (Option<String>, Option<String>),
}

impl ShortDraft {
    /// An empty form of this kind, with the usual accounts.
    #[must_use]
    pub fn new(kind: ShortKind, facts: &Facts) -> Self {
        let bank = facts.role(Role::BusinessBank);
        let only = |accounts: Vec<&crate::ledger::Account>| {
            accounts
                .iter()
                .max_by_key(|account| facts.balance(account.id))
                .map(|account| account.id)
        };
        let pick = |offers: Offers, is_to: bool| match offers {
            Offers::Money if is_to && kind == ShortKind::Transfer => facts.role(Role::SetAside),
            Offers::Money | Offers::Ways => bank,
            Offers::Channels => only(facts.channels()),
            Offers::Charges => facts.role(Role::ShopFees),
            Offers::Owed => facts
                .cards_and_bills()
                .into_iter()
                .min_by_key(|account| facts.balance(account.id))
                .map(|account| account.id),
        };
        let form = kind.form();
        Self {
            kind,
            date: show_day(facts.today),
            amount: String::new(),
            from: form.from.and_then(|(_, _, offers)| pick(offers, false)),
            way: bank.map_or(Payment::OwnPocketPutIn, Payment::Account),
            to: form.to.and_then(|(_, _, offers)| pick(offers, true)),
            party: String::new(),
            memo: String::new(),
            reference: String::new(),
            treat: Treat::default(),
            hold_amount: String::new(),
            hold_until: String::new(),
            hold_problems: (None, None),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.amount.trim().is_empty() && self.party.trim().is_empty() && self.memo.trim().is_empty()
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self, facts: &Facts) -> Question {
        Question {
            kind: Some(self.kind.entry_kind()),
            party: self.named_party(facts),
            around: parse_day(&self.date, facts.today),
            ..Question::default()
        }
    }

    fn named_party(&self, facts: &Facts) -> String {
        match self.channel() {
            Some(channel) => facts.name(channel).to_lowercase(),
            None => self.party.trim().to_lowercase(),
        }
    }

    /// The channel of a payout or of a payment to one.
    #[must_use]
    pub fn channel(&self) -> Option<AccountId> {
        match self.kind {
            ShortKind::Payout | ShortKind::ShopFee => self.from,
            ShortKind::ChannelPaid => self.to,
            _ => None,
        }
    }

    /// What is owed on the account this form pays off, as a positive amount, where it pays one off.
    #[must_use]
    pub fn still_owed(&self, facts: &Facts) -> Option<Money> {
        match self.kind {
            ShortKind::Settlement => self.to.map(|owed| -facts.balance(owed)),
            ShortKind::OwnerRepaid => facts.role(Role::OwedToOwner).map(|id| -facts.balance(id)),
            ShortKind::OwnerPaysBack => facts.role(Role::OwedByOwner).map(|id| facts.balance(id)),
            _ => None,
        }
    }

    /// What stands as it is, in a sentence: owed, due, held.
    #[must_use]
    pub fn standing(&self, facts: &Facts) -> Option<String> {
        let show = |amount| facts.show(amount);
        if let Some(channel) = self.channel() {
            let due = facts.balance(channel);
            let held = facts.held(channel);
            let name = facts.name(channel);
            if due.is_negative() {
                return Some(format!("You owe {name} {}.", show(-due)));
            }
            let mut words = format!("{name} owes you {}", show(due));
            if held.is_positive() {
                words.push_str(&format!(
                    "; {} of it is held back, {} is available",
                    show(held),
                    show(due - held)
                ));
            }
            return Some(format!("{words}."));
        }
        let owed = self.still_owed(facts)?;
        Some(match self.kind {
            ShortKind::OwnerPaysBack => format!("You owe the business {}.", show(owed)),
            ShortKind::OwnerRepaid => format!("The business owes you {}.", show(owed)),
            _ => format!("{} is owed today.", show(owed)),
        })
    }

    /// What stays after it, in a sentence.
    #[must_use]
    pub fn after(&self, facts: &Facts) -> Option<String> {
        let channel = self.channel()?;
        let amount = facts.currency.parse_typed(&self.amount).ok()?;
        let due = facts.balance(channel);
        let stays = match self.kind {
            ShortKind::Payout | ShortKind::ShopFee => due - amount,
            _ => due + amount,
        };
        if self.kind == ShortKind::ShopFee && stays.is_negative() {
            return Some(format!("You owe the shop {} then.", facts.show(-stays)));
        }
        Some(if stays.is_zero() {
            "Nothing stays with the shop: it agrees to the cent.".to_owned()
        } else if stays.is_negative() {
            format!(
                "{} more than the shop owed by these books: is a sale not written down yet?",
                facts.show(-stays)
            )
        } else {
            format!("{} stays with the shop.", facts.show(stays))
        })
    }

    /// The hold as typed, when it can be noted; what is wrong with it is kept for its fields.
    pub fn hold(&mut self, facts: &Facts) -> Option<(Money, Option<chrono::NaiveDate>)> {
        let amount = match self.hold_amount.trim() {
            "" => Err("say how much the shop holds back".to_owned()),
            text => match facts.currency.parse_typed(text) {
                Ok(amount) if amount.is_positive() => Ok(amount),
                Ok(_) => Err("the amount must be more than nothing".to_owned()),
                Err(error) => Err(error.to_string()),
            },
        };
        let until = match self.hold_until.trim() {
            "" => Ok(None),
            text => match parse_day(text, facts.today) {
                Some(day) if day < facts.today => Err("that day is over".to_owned()),
                Some(day) => Ok(Some(day)),
                None => Err("not a day; write 28 Sep or 2026-09-28".to_owned()),
            },
        };
        self.hold_problems = (amount.clone().err(), until.clone().err());
        amount.ok().zip(until.ok())
    }

    /// What may be wrong with it; she decides.
    #[must_use]
    pub fn hints(&self, facts: &Facts) -> Vec<String> {
        let mut hints = Vec::new();
        let Ok(amount) = facts.currency.parse_typed(&self.amount) else {
            return hints;
        };
        if let Some(unusual) = unusual_amount(amount, &facts.asked.usual) {
            hints.push(unusual.sentence(&facts.currency));
        }
        if let Some(date) = parse_day(&self.date, facts.today) {
            let new = Written {
                number: None,
                date,
                amount,
                party: self
                    .channel()
                    .map_or_else(|| self.party.clone(), |id| facts.name(id)),
                reference: self.reference.clone(),
            };
            if let Some(twice) = likely_duplicate(&new, &facts.asked.near) {
                hints.push(twice.sentence(&facts.currency));
            }
        }
        hints
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let form = self.kind.form();
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let amount = read.amount("amount", &self.amount, "say how much");
        let mut pick = |side: Option<(&'static str, &'static str, Offers)>, chosen| match side {
            Some((_, _, Offers::Ways)) | None => AccountId(0),
            Some((field, _, _)) => read.account(field, chosen, "choose the account"),
        };
        let from = pick(form.from, self.from);
        let to = pick(form.to, self.to);
        let values = Values {
            date,
            amount,
            from,
            to,
        };
        let values = read.finish(values)?;
        let entry = self
            .happening(&values, facts)
            .and_then(|happening| happening.recording(&facts.chart));
        told(entry, &facts.currency)
    }

    fn happening(
        &self,
        values: &Values,
        facts: &Facts,
    ) -> Result<Box<dyn Happening>, HappeningError> {
        let Values {
            date,
            amount,
            from,
            to,
        } = *values;
        let memo = self.memo.trim().to_owned();
        let reference = self.reference.trim().to_owned();
        let party = self.party.trim().to_owned();
        Ok(match self.kind {
            ShortKind::OwnerIn => Box::new(OwnerMoneyIn::new(OwnerMoneyInDetails {
                date,
                account: to,
                amount,
                memo,
            })?),
            ShortKind::OwnerOut => Box::new(OwnerMoneyOut::new(OwnerMoneyOutDetails {
                date,
                account: from,
                amount,
                memo,
            })?),
            ShortKind::TaxInstalment => Box::new(TaxInstalment::new(TaxInstalmentDetails {
                date,
                account: from,
                amount,
                office: party,
                memo,
                reference,
            })?),
            ShortKind::OwnerRepaid | ShortKind::OwnerPaysBack => {
                let (paid_back, account) = match self.kind {
                    ShortKind::OwnerRepaid => (PaidBack::Owner, from),
                    _ => (PaidBack::Business, to),
                };
                Box::new(Repayment::new(RepaymentDetails {
                    date,
                    paid_back,
                    account,
                    amount,
                    still_owed: self.still_owed(facts),
                    memo,
                })?)
            }
            ShortKind::PrivatePayment => Box::new(PrivatePayment::new(PrivatePaymentDetails {
                date,
                account: self.way.account(&facts.chart)?,
                amount,
                treat: self.treat,
                party,
                memo,
                reference,
            })?),
            ShortKind::Settlement => Box::new(Settlement::new(SettlementDetails {
                date,
                owed: to,
                paid_from: self.way,
                amount,
                still_owed: self.still_owed(facts),
                party,
                memo,
                reference,
                document: String::new(),
            })?),
            ShortKind::Transfer => Box::new(Transfer::new(TransferDetails {
                date,
                from,
                to,
                amount,
                memo,
                reference,
            })?),
            ShortKind::Payout => Box::new(Payout::new(PayoutDetails {
                date,
                channel: from,
                into: to,
                amount,
                memo,
                reference,
            })?),
            ShortKind::ShopFee => Box::new(ShopFee::new(ShopFeeDetails {
                date,
                channel: from,
                charges: vec![ShopCharge::new(charge_on(facts, to), amount)],
                document: String::new(),
                memo,
                reference,
            })?),
            ShortKind::ChannelPaid => Box::new(ChannelPaid::new(ChannelPaidDetails {
                date,
                channel: to,
                paid_from: self.way.account(&facts.chart)?,
                amount,
                memo,
                reference,
            })?),
        })
    }

    /// What the way offers; her own pocket only where that makes sense.
    #[must_use]
    pub fn ways(&self, facts: &Facts) -> Vec<(Payment, String)> {
        let mut ways = paid::ways(facts);
        ways.retain(|(way, _)| match self.kind {
            ShortKind::PrivatePayment => matches!(way, Payment::Account(_)),
            ShortKind::Settlement => {
                *way != Payment::OnBill && Some(*way) != self.to.map(Payment::Account)
            }
            _ => *way != Payment::OnBill,
        });
        ways
    }
}

#[derive(Clone, Copy, Debug)]
struct Values {
    date: chrono::NaiveDate,
    amount: Money,
    from: AccountId,
    to: AccountId,
}
