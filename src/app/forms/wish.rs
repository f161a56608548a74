//! Which form is wanted, and what is known of it already: how any button of the window asks for one.
//! Filling it is `draft`'s business.

use super::short::ShortKind;
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;
use crate::plan::PlanLine;
use crate::recurring::Recurring;
use crate::sorting::BankLine;

macro_rules! forms {
    ($($(#[$doc:meta])* $form:ident = $key:literal,)*) => {
        /// A form of the window.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Form { $($(#[$doc])* $form,)* }

        impl Form {
            /// Every form.
            pub const ALL: &'static [Self] = &[$(Self::$form,)*];

            /// Its lasting key, the same as that of its occasion where it has one.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$form => $key,)* }
            }
        }
    };
}

forms! {
    /// Something bought.
    Purchase = "purchase",
    /// Something for the business, paid by the owner.
    OwnPocket = "own-pocket",
    /// Something sold.
    Sale = "sale",
    /// Money given back to a customer.
    Refund = "refund",
    /// Money given back by a supplier.
    SupplierRefund = "supplier-refund",
    /// Owner's money in.
    OwnerIn = "owner-in",
    /// Owner's money out.
    OwnerOut = "owner-out",
    /// An instalment of the owner's own tax.
    TaxInstalment = "tax-instalment",
    /// The business pays the owner back.
    OwnerRepaid = "owner-repaid",
    /// The owner pays the business back.
    OwnerPaysBack = "owner-pays-back",
    /// A private thing paid by the business.
    PrivatePayment = "private-payment",
    /// A card or bill paid off.
    Settlement = "settlement",
    /// Money moved between own accounts.
    Transfer = "transfer",
    /// A channel paid out.
    Payout = "payout",
    /// A channel was paid what it billed.
    ChannelPaid = "channel-paid",
    /// A fee that a channel charged apart from a sale.
    ShopFee = "shop-fee",
    /// A thing already owned, brought in.
    BroughtIn = "brought-in",
    /// A recurring purchase.
    Recurring = "recurring",
    /// A line of the start-up plan.
    PlanLine = "plan-line",
    /// Debits and credits.
    Manual = "manual",
    /// Opening balances.
    Opening = "opening",
    /// An item kept in stock.
    Item = "item",
    /// A recipe.
    Recipe = "recipe",
    /// A set sold under one name.
    Bundle = "bundle",
    /// Something worth less than it cost.
    WorthLess = "worth-less",
    /// A batch.
    Batch = "batch",
    /// Stock that went out unsold.
    StockOut = "stock-out",
    /// A count.
    Count = "count",
    /// Pieces carried to another place.
    Carry = "carry",
    /// An order to a supplier.
    Order = "order",
    /// What came of one.
    Arrival = "arrival",
    /// What was billed for pieces still to come.
    BilledAhead = "billed-ahead",
    /// A claim.
    Claim = "claim",
    /// What a supplier gives for a claim.
    ClaimCredit = "claim-credit",
    /// A bill that came later for an arrival.
    LateBill = "late-bill",
    /// A bill that came later for something bought without an order.
    LaterBill = "later-bill",
    /// A credit that came later for something bought before.
    LaterCredit = "later-credit",
    /// I was at a fair.
    Fair = "fair",
    /// I pack for a fair.
    FairPlanned = "fair-planned",
    /// I gave a shop pieces on commission.
    CommissionSent = "commission-sent",
    /// A shop sold pieces on commission.
    CommissionSold = "commission-sold",
    /// Pieces came back from a shop.
    CommissionBack = "commission-back",
    /// Pieces are missing at a shop.
    CommissionMissing = "commission-missing",
    /// A shop ordered from me.
    ShopOrdered = "shop-ordered",
    /// I sent a shop an invoice.
    ShopInvoiced = "shop-invoiced",
    /// A shop paid an invoice.
    ShopPaid = "shop-paid",
    /// An invoice will not be paid any more.
    InvoiceLetGo = "invoice-let-go",
    /// I took a deposit for an order.
    DepositTaken = "deposit-taken",
    /// I handed over an order with a deposit.
    DepositDelivered = "deposit-delivered",
    /// I gave a deposit back.
    DepositBack = "deposit-back",
    /// I sold a voucher.
    VoucherSold = "voucher-sold",
    /// A voucher was redeemed.
    VoucherUsed = "voucher-used",
    /// A voucher ended unused.
    VoucherEnded = "voucher-ended",
    /// A payment was taken back from me.
    DisputeOpened = "dispute-opened",
    /// I won a dispute.
    DisputeWon = "dispute-won",
    /// I lost a dispute.
    DisputeLost = "dispute-lost",
    /// I sent a piece again.
    Replacement = "replacement",
    /// I claimed from a carrier or insurer.
    ClaimMade = "claim-made",
    /// A claim was paid.
    ClaimPaid = "claim-paid",
    /// A claim was refused.
    ClaimRefused = "claim-refused",
    /// I swapped something.
    Swap = "swap",
    /// Somebody lent the business money.
    LoanReceived = "loan-received",
    /// I paid a loan back.
    LoanRepaid = "loan-repaid",
    /// I got cash-back.
    CashBack = "cash-back",
    /// I had something repaired.
    Repair = "repair",
    /// I paid for insurance.
    Insurance = "insurance",
    /// I paid somebody for help.
    HelperPaid = "helper-paid",
    /// I bought something without sales tax.
    BoughtUntaxed = "bought-untaxed",
    /// I used something I had bought without sales tax.
    UntaxedUsed = "untaxed-used",
    /// A cost of this year is billed next year.
    AdjustingOwed = "adjusting-owed",
    /// A part of a cost is for next year.
    AdjustingAhead = "adjusting-ahead",
    /// I earned something and have not billed it yet.
    AdjustingEarned = "adjusting-earned",
    /// Something I keep on the books is used up.
    AdjustingUsed = "adjusting-used",
    /// A part of the costs of starting counts this year.
    StartUpUsed = "start-up-used",
    /// An entry changed.
    Amend = "amend",
    /// An entry taken back.
    TakeBack = "take-back",
}

impl Form {
    /// The form with this key.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|form| form.key() == key)
    }

    /// The unusual happening it is the form of, if it is one.
    #[must_use]
    pub fn occasion(self) -> Option<&'static crate::occasions::Occasion> {
        crate::occasions::of_key(self.key())
    }

    /// The short form it is, if it is one.
    #[must_use]
    pub const fn short(self) -> Option<ShortKind> {
        Some(match self {
            Self::OwnerIn => ShortKind::OwnerIn,
            Self::OwnerOut => ShortKind::OwnerOut,
            Self::TaxInstalment => ShortKind::TaxInstalment,
            Self::OwnerRepaid => ShortKind::OwnerRepaid,
            Self::OwnerPaysBack => ShortKind::OwnerPaysBack,
            Self::PrivatePayment => ShortKind::PrivatePayment,
            Self::Settlement => ShortKind::Settlement,
            Self::Transfer => ShortKind::Transfer,
            Self::Payout => ShortKind::Payout,
            Self::ChannelPaid => ShortKind::ChannelPaid,
            Self::ShopFee => ShortKind::ShopFee,
            _ => return None,
        })
    }
}

/// Which form, and what is known of it already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormWish {
    /// Which form.
    pub form: Form,
    /// The account it is about: the channel of a payout, the card paid off, where money goes.
    pub account: Option<AccountId>,
    /// The account on the other side.
    pub other: Option<AccountId>,
    /// How much.
    pub amount: Option<Money>,
    /// From or to whom.
    pub party: String,
    /// The entry it mends, or the sale or purchase it gives back.
    pub entry: Option<EntryNumber>,
    /// The recurring purchase it changes.
    pub recurring: Option<Box<Recurring>>,
    /// The code of the item in stock it is about; may be empty.
    pub item: String,
    /// The line of the plan it changes, or becomes a purchase of.
    pub plan: Option<Box<PlanLine>>,
    /// The number of the order it is about; of the arrival for a claim, of the claim for its credit.
    pub order: Option<i64>,
    /// The statement line that becomes what is written down.
    pub line: Option<Box<BankLine>>,
}

impl FormWish {
    /// An empty form.
    #[must_use]
    pub fn new(form: Form) -> Self {
        Self {
            form,
            account: None,
            other: None,
            amount: None,
            party: String::new(),
            entry: None,
            recurring: None,
            item: String::new(),
            plan: None,
            order: None,
            line: None,
        }
    }

    /// The form about an order, an arrival or a claim by its number.
    #[must_use]
    pub fn of_order(form: Form, id: i64) -> Self {
        Self {
            order: Some(id),
            ..Self::new(form)
        }
    }

    /// The purchase that a statement line becomes.
    #[must_use]
    pub fn of_line(line: &BankLine, party: impl Into<String>) -> Self {
        Self {
            party: party.into(),
            line: Some(Box::new(line.clone())),
            ..Self::new(Form::Purchase)
        }
    }

    /// The form about an account.
    #[must_use]
    pub fn about(form: Form, account: AccountId) -> Self {
        Self {
            account: Some(account),
            ..Self::new(form)
        }
    }

    /// The form about an item in stock.
    #[must_use]
    pub fn of_item(form: Form, code: impl Into<String>) -> Self {
        Self {
            item: code.into(),
            ..Self::new(form)
        }
    }

    /// A form that mends this entry, or gives back this sale or purchase.
    #[must_use]
    pub fn of_entry(form: Form, entry: EntryNumber) -> Self {
        Self {
            entry: Some(entry),
            ..Self::new(form)
        }
    }

    /// The form that changes a line of the plan, or makes a purchase of it.
    #[must_use]
    pub fn of_plan(form: Form, line: &PlanLine) -> Self {
        Self {
            plan: Some(Box::new(line.clone())),
            ..Self::new(form)
        }
    }

    /// The form that changes a recurring purchase.
    #[must_use]
    pub fn of_recurring(recurring: &Recurring) -> Self {
        Self {
            recurring: Some(Box::new(recurring.clone())),
            ..Self::new(Form::Recurring)
        }
    }
}
