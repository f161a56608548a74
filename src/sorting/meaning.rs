//! What a line of a statement can mean, and the entry that it then becomes: one of the ordinary happenings.
//! Which meaning is likely is `suggest`'s.

use super::{BankLine, Payee};
use crate::happenings::{
    ChannelPaid, ChannelPaidDetails, CustomerPaid, CustomerPaidDetails, Happening, HappeningError,
    ManualEntry, ManualEntryDetails, OwnerMoneyIn, OwnerMoneyInDetails, OwnerMoneyOut,
    OwnerMoneyOutDetails, Payment, Payout, PayoutDetails, PrivatePayment, PrivatePaymentDetails,
    Proof, ProofState, Purchase, PurchaseDetails, PurchaseLine, Recording, Sale, SaleDetails,
    SaleLine, Settlement, SettlementDetails, SupplierRefund, SupplierRefundDetails,
    SupplierRefundLine, TaxInstalment, TaxInstalmentDetails, Transfer, TransferDetails, Treat,
};
use crate::ledger::{Account, AccountClass, AccountId, Chart, EntryKind, JournalEntry, Line, Role};
use crate::money::{Money, Percent};
use crate::word_list::word_list;

word_list! {
    /// What a line means.
    Meaning, "a meaning of a bank line":
    /// Something bought.
    Purchase = "purchase" / "Bought",
    /// A private thing that the business paid.
    Private = "private" / "Private",
    /// Owner's money in.
    OwnerIn = "owner-in" / "Owner's money in",
    /// Owner's money out.
    OwnerOut = "owner-out" / "Owner's money out",
    /// Money moved between own accounts.
    Transfer = "transfer" / "Moved between your accounts",
    /// A card, a bill or sales tax paid off.
    Settlement = "settlement" / "Paid off",
    /// A payout from a sales channel.
    Payout = "payout" / "Payout",
    /// What a sales channel billed, paid.
    ChannelPaid = "channel-paid" / "Paid to the shop",
    /// Money back from a supplier.
    SupplierRefund = "supplier-refund" / "Money back from a supplier",
    /// Something sold and paid straight into the account.
    Sale = "sale" / "Sold",
    /// A customer paid what she owed.
    CustomerPaid = "customer-paid" / "A customer paid",
    /// Income that is no sale, such as interest.
    OtherIncome = "other-income" / "Other income",
    /// An instalment of the owner's own tax.
    TaxInstalment = "tax-instalment" / "Tax instalment",
    /// Nobody knows any more; it waits on an account of its own.
    NotExplained = "not-explained" / "I do not know",
}

impl Meaning {
    /// Whether money that comes in (or, when false, goes out) can mean this.
    #[must_use]
    pub const fn fits(self, is_in: bool) -> bool {
        match self {
            Self::OwnerIn
            | Self::Payout
            | Self::SupplierRefund
            | Self::Sale
            | Self::CustomerPaid
            | Self::OtherIncome => is_in,
            Self::Purchase
            | Self::Private
            | Self::OwnerOut
            | Self::ChannelPaid
            | Self::TaxInstalment => !is_in,
            Self::Transfer | Self::Settlement | Self::NotExplained => true,
        }
    }

    /// Whether an account must be named with it: the cost's kind, the other account, the channel.
    #[must_use]
    pub const fn needs_account(self) -> bool {
        match self {
            Self::Purchase
            | Self::Transfer
            | Self::Settlement
            | Self::Payout
            | Self::ChannelPaid
            | Self::SupplierRefund
            | Self::OtherIncome => true,
            Self::Private
            | Self::OwnerIn
            | Self::OwnerOut
            | Self::Sale
            | Self::CustomerPaid
            | Self::TaxInstalment
            | Self::NotExplained => false,
        }
    }

    /// Whether an account can stand beside it.
    #[must_use]
    pub fn takes(self, account: &Account) -> bool {
        let is_owners = matches!(
            account.role,
            Some(Role::OwnerDrawings | Role::OwnerCapital | Role::OwedByOwner)
        );
        match self {
            Self::Purchase | Self::SupplierRefund => {
                account.class == AccountClass::Expense
                    || (account.class == AccountClass::Asset
                        && !account.is_money()
                        && !account.is_channel()
                        && !account.is_contra
                        && !is_owners
                        && !matches!(
                            account.role,
                            Some(
                                Role::Equipment
                                    | Role::CustomersOwe
                                    | Role::InDispute
                                    | Role::NotExplained
                            )
                        ))
            }
            Self::Transfer => account.is_money(),
            Self::Settlement => {
                account.is_money()
                    || matches!(
                        account.role,
                        Some(Role::CreditCard | Role::BillsToPay | Role::SalesTax)
                    )
            }
            Self::Payout | Self::ChannelPaid => account.is_channel(),
            Self::Sale | Self::OtherIncome => account.class == AccountClass::Income,
            Self::Private
            | Self::OwnerIn
            | Self::OwnerOut
            | Self::CustomerPaid
            | Self::TaxInstalment
            | Self::NotExplained => false,
        }
    }
}

/// What is made of a line: its meaning, the account beside it, with whom, and the business's share.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Treatment {
    /// What it means.
    pub meaning: Meaning,
    /// The kind of cost or income, the other account, or the channel; nothing where the meaning says it all.
    pub account: Option<AccountId>,
    /// With whom; empty for what the bank's words say.
    pub party: String,
    /// The business's share of a purchase, in per cent; the rest is private.
    pub share: Percent,
}

impl Treatment {
    /// This meaning with nothing beside it.
    #[must_use]
    pub fn new(meaning: Meaning) -> Self {
        Self {
            meaning,
            account: None,
            party: String::new(),
            share: Percent::WHOLE,
        }
    }

    /// The treatment with an account.
    #[must_use]
    pub fn account(mut self, account: AccountId) -> Self {
        self.account = Some(account);
        self
    }

    /// The treatment with a party.
    #[must_use]
    pub fn party(mut self, party: impl Into<String>) -> Self {
        self.party = party.into();
        self
    }

    /// What it makes of a line, in words: `Bought from Harrow Lane Papers: Consumables`.
    #[must_use]
    pub fn sentence(&self, chart: &Chart) -> String {
        let name = |id: AccountId| {
            chart
                .account(id)
                .map_or_else(|_unknown| String::new(), |account| account.name.clone())
        };
        let account = self.account.map(name).unwrap_or_default();
        let party = self.party.trim();
        let with = |before: &str, between: &str| {
            let mut text = before.to_owned();
            if !party.is_empty() {
                text.push_str(between);
                text.push_str(party);
            }
            if !account.is_empty() {
                text.push_str(": ");
                text.push_str(&account);
            }
            text
        };
        let mut text = match self.meaning {
            Meaning::Purchase => with("Bought", " from "),
            Meaning::SupplierRefund => with("Money back", " from "),
            Meaning::Transfer => format!("Moved between this account and {account}"),
            Meaning::Settlement => format!("Paid off: {account}"),
            Meaning::Payout => format!("Payout from {account}"),
            Meaning::ChannelPaid => format!("Paid to {account} for what it billed"),
            Meaning::Private => with("Private", ", "),
            Meaning::NotExplained => with("Not yet explained", ", "),
            other => with(other.plain(), ", "),
        };
        if self.meaning == Meaning::Purchase && !self.share.is_whole() {
            text.push_str(&format!(", {} % business", self.share));
        }
        text
    }

    /// What a line becomes when it means this.
    ///
    /// # Errors
    /// When the line's direction does not fit, an account is missing or cannot be, or the happening refuses.
    pub fn recording(&self, line: &BankLine, chart: &Chart) -> Result<Recording, HappeningError> {
        if !self.meaning.fits(line.is_in()) {
            return Err(HappeningError::field(
                "meaning",
                format!(
                    "money that {} cannot be '{}'",
                    if line.is_in() { "came in" } else { "went out" },
                    self.meaning.plain().to_lowercase()
                ),
            ));
        }
        if let Some(lasting) = self.account.map(|id| chart.account(id)).transpose()?
            && lasting.role == Some(Role::Equipment)
        {
            return Err(HappeningError::field(
                "account",
                "equipment needs its name and its life: write it down as something bought, from this line",
            ));
        }
        let mut recording = self.happening(line, chart)?;
        recording.entry.header.origin = line.origin();
        Ok(recording)
    }

    fn needed(&self) -> Result<AccountId, HappeningError> {
        self.account.ok_or_else(|| {
            HappeningError::field(
                "account",
                format!("'{}' needs an account beside it", self.meaning.plain()),
            )
        })
    }

    fn happening(&self, line: &BankLine, chart: &Chart) -> Result<Recording, HappeningError> {
        let amount = line.amount.abs();
        let (date, account) = (line.date, line.account);
        let payee = Payee::of(&line.text).name();
        let named = match self.party.trim() {
            "" => payee,
            party => party.to_owned(),
        };
        let party = if named.is_empty() {
            "not named by the bank".to_owned()
        } else {
            named
        };
        let memo = line.text.trim().to_owned();
        let reference = String::new();
        let document = String::new();
        match self.meaning {
            Meaning::Purchase => self.purchase(line, party, chart),
            Meaning::SupplierRefund => SupplierRefund::new(SupplierRefundDetails {
                date,
                supplier: party,
                purchase: None,
                into: account,
                lines: vec![SupplierRefundLine {
                    account: self.needed()?,
                    amount,
                    description: String::new(),
                    quantity: None,
                    item: None,
                }],
                memo,
                reference,
            })?
            .recording(chart),
            Meaning::Private => PrivatePayment::new(PrivatePaymentDetails {
                date,
                account,
                amount,
                treat: Treat::Drawing,
                party,
                memo,
                reference,
            })?
            .recording(chart),
            Meaning::OwnerIn => OwnerMoneyIn::new(OwnerMoneyInDetails {
                date,
                account,
                amount,
                memo,
            })?
            .recording(chart),
            Meaning::OwnerOut => OwnerMoneyOut::new(OwnerMoneyOutDetails {
                date,
                account,
                amount,
                memo,
            })?
            .recording(chart),
            Meaning::Transfer => {
                let (from, to) = from_and_to(line, self.needed()?);
                Transfer::new(TransferDetails {
                    date,
                    from,
                    to,
                    amount,
                    memo,
                    reference,
                })?
                .recording(chart)
            }
            Meaning::Settlement => {
                let (from, owed) = from_and_to(line, self.needed()?);
                Settlement::new(SettlementDetails {
                    date,
                    owed,
                    paid_from: Payment::Account(from),
                    amount,
                    still_owed: None,
                    party: self.party.clone(),
                    memo,
                    reference,
                    document,
                })?
                .recording(chart)
            }
            Meaning::Payout => Payout::new(PayoutDetails {
                date,
                channel: self.needed()?,
                into: account,
                amount,
                memo,
                reference,
            })?
            .recording(chart),
            Meaning::ChannelPaid => ChannelPaid::new(ChannelPaidDetails {
                date,
                channel: self.needed()?,
                paid_from: account,
                amount,
                memo,
                reference,
            })?
            .recording(chart),
            Meaning::Sale => {
                let mut sold = SaleLine::new(amount, memo.clone());
                sold.account = self.account;
                let mut details = SaleDetails::new(date, account, vec![sold]);
                details.memo = memo;
                Sale::new(details)?.recording(chart)
            }
            Meaning::CustomerPaid => CustomerPaid::new(CustomerPaidDetails {
                date,
                paid_into: account,
                amount,
                discount: Money::ZERO,
                still_owed: None,
                party: self.party.clone(),
                memo,
                reference,
                document,
            })?
            .recording(chart),
            Meaning::OtherIncome => ManualEntry::new(ManualEntryDetails {
                date,
                kind: EntryKind::Manual,
                party,
                memo,
                reference,
                document,
                lines: vec![
                    Line::debit(account, amount),
                    Line::credit(self.income(chart)?, amount),
                ],
            })?
            .recording(chart),
            Meaning::NotExplained => ManualEntry::new(ManualEntryDetails {
                date,
                kind: EntryKind::Manual,
                party,
                memo,
                reference,
                document,
                lines: vec![
                    Line::debit(account, line.amount),
                    Line::credit(chart.role(Role::NotExplained)?, line.amount),
                ],
            })?
            .recording(chart),
            Meaning::TaxInstalment => TaxInstalment::new(TaxInstalmentDetails {
                date,
                account,
                amount,
                office: self.party.clone(),
                memo,
                reference,
            })?
            .recording(chart),
        }
    }

    fn income(&self, chart: &Chart) -> Result<AccountId, HappeningError> {
        let account = chart.account(self.needed()?)?;
        if account.class == AccountClass::Income {
            return Ok(account.id);
        }
        Err(HappeningError::field(
            "account",
            format!("'{}' is not an account of income", account.name),
        ))
    }

    fn purchase(
        &self,
        line: &BankLine,
        supplier: String,
        chart: &Chart,
    ) -> Result<Recording, HappeningError> {
        let kind = self.needed()?;
        let bought =
            PurchaseLine::new(kind, line.amount.abs(), String::new()).business_share(self.share);
        let paid_from = Payment::Account(line.account);
        let mut details = PurchaseDetails::new(line.date, supplier, paid_from, vec![bought]);
        line.text.trim().clone_into(&mut details.memo);
        // What the bank itself takes has no other paper than its statement.
        if chart.has_role(kind, Role::BankCharges) || chart.has_role(kind, Role::InterestPaid) {
            details.proof = Proof {
                state: ProofState::Substitute,
                stands_in: format!("the statement, {} row {}", line.file, line.row),
                purpose: String::new(),
            };
        }
        Purchase::new(details)?.recording(chart)
    }

    /// The treatment that an entry shows, seen from the account of a line: what can be learned from an entry that
    /// the owner wrote herself. A purchase of several kinds is taken for its largest; nothing where an entry says more
    /// than one line could.
    #[must_use]
    pub fn of_entry(entry: &JournalEntry, account: AccountId, chart: &Chart) -> Option<Self> {
        let others: Vec<&Line> = entry
            .lines()
            .iter()
            .filter(|line| line.account != account)
            .collect();
        // A sale's own lines, its cost and its stock stand beside it.
        let is_sold = |line: &&Line| {
            chart
                .account(line.account)
                .is_ok_and(|account| account.class == AccountClass::Income)
        };
        if entry.header.kind == EntryKind::Sale && others.iter().any(is_sold) {
            return Some(Self::new(Meaning::Sale));
        }
        let is_bought = |line: &&&Line| {
            line.amount.is_positive()
                && chart
                    .account(line.account)
                    .is_ok_and(|account| Meaning::Purchase.takes(account))
        };
        let other = match others.as_slice() {
            [only] => only,
            several if entry.header.kind == EntryKind::Purchase => several
                .iter()
                .filter(is_bought)
                .max_by_key(|line| line.amount)?,
            _ => return None,
        };
        let with = |meaning: Meaning| {
            Some(
                Self::new(meaning)
                    .account(other.account)
                    .party(entry.header.party.clone()),
            )
        };
        let alone = |meaning: Meaning| Some(Self::new(meaning));
        let beside = chart.account(other.account).ok()?;
        match entry.header.kind {
            EntryKind::Purchase if Meaning::Purchase.takes(beside) => with(Meaning::Purchase),
            EntryKind::SupplierRefund if Meaning::SupplierRefund.takes(beside) => {
                with(Meaning::SupplierRefund)
            }
            EntryKind::PrivatePayment => Some(Self {
                party: entry.header.party.clone(),
                ..Self::new(Meaning::Private)
            }),
            EntryKind::Manual if Meaning::OtherIncome.takes(beside) => with(Meaning::OtherIncome),
            EntryKind::Manual
                if beside.class == AccountClass::Expense && other.amount.is_positive() =>
            {
                with(Meaning::Purchase)
            }
            EntryKind::OwnerIn => alone(Meaning::OwnerIn),
            EntryKind::OwnerOut => alone(Meaning::OwnerOut),
            EntryKind::TaxInstalment => Some(Self {
                party: entry.header.party.clone(),
                ..Self::new(Meaning::TaxInstalment)
            }),
            EntryKind::Transfer => Some(Self::new(Meaning::Transfer).account(other.account)),
            EntryKind::Settlement if beside.role == Some(Role::CustomersOwe) => {
                alone(Meaning::CustomerPaid)
            }
            EntryKind::Settlement => Some(Self::new(Meaning::Settlement).account(other.account)),
            EntryKind::Payout if beside.is_channel() => {
                let meaning = if other.amount.is_negative() {
                    Meaning::Payout
                } else {
                    Meaning::ChannelPaid
                };
                Some(Self::new(meaning).account(other.account))
            }
            _ => None,
        }
    }
}

/// Which account the money of a line left and which it reached.
fn from_and_to(line: &BankLine, other: AccountId) -> (AccountId, AccountId) {
    if line.is_in() {
        (other, line.account)
    } else {
        (line.account, other)
    }
}
