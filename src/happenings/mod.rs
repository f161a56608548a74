//! What happens in a maker's year, one type each: a constructor that refuses what cannot be, and a pure function
//! from the happening to the entry it writes. Forms, sheets and importers all build these; nothing is kept here.

mod brought_in;
mod channel_paid;
pub(crate) mod checks;
mod customer_paid;
mod customer_refund;
pub mod hints;
mod later;
mod manual_entry;
mod opening_balances;
mod owner_money_in;
mod owner_money_out;
mod payment;
mod payout;
mod private_payment;
mod purchase;
mod purchase_line;
mod repayment;
mod reversal;
mod sale;
mod settlement;
mod shop_fee;
mod spread_release;
mod supplier_refund;
mod tax_instalment;
mod transfer;
mod words;

pub use brought_in::{BroughtIn, BroughtInDetails, BroughtInto, TakenValue, Worth};
pub use channel_paid::{ChannelPaid, ChannelPaidDetails};
pub use customer_paid::{CustomerPaid, CustomerPaidDetails};
pub use customer_refund::{CustomerRefund, CustomerRefundDetails, RefundedSale};
pub use later::{CameBefore, LateBill, LateCredit, late_bill, late_credit};
pub use manual_entry::{ManualEntry, ManualEntryDetails};
pub use opening_balances::{OpeningBalance, OpeningBalances, OpeningBalancesDetails};
pub use owner_money_in::{OwnerMoneyIn, OwnerMoneyInDetails};
pub use owner_money_out::{OwnerMoneyOut, OwnerMoneyOutDetails};
pub use payment::Payment;
pub use payout::{Payout, PayoutDetails};
pub use private_payment::{PrivatePayment, PrivatePaymentDetails, Treat};
pub use purchase::{Purchase, PurchaseDetails};
pub use purchase_line::{EquipmentDetails, LineCost, PaidAhead, PurchaseLine};
pub use repayment::{PaidBack, Repayment, RepaymentDetails};
pub use reversal::{Reversal, ReversalDetails};
pub use sale::{Fee, FeeKind, Sale, SaleDetails, SaleLine, tax_inside};
pub use settlement::{Settlement, SettlementDetails};
pub use shop_fee::{ChargeKind, ShopCharge, ShopFee, ShopFeeDetails};
pub use spread_release::{SpreadRelease, SpreadReleaseDetails};
pub use supplier_refund::{
    RefundedPurchase, SupplierRefund, SupplierRefundDetails, SupplierRefundLine,
};
pub use tax_instalment::{TaxInstalment, TaxInstalmentDetails};
pub use transfer::{Transfer, TransferDetails};

use crate::depreciation::Equipment;
use crate::ledger::{Chart, ChartError, EntryError, JournalEntry};
use crate::money::{Currency, Money};
use crate::stock::Movement;

/// Something that happened and that the books must show.
pub trait Happening {
    /// The entry that this happening writes, with the accounts of this chart.
    ///
    /// # Errors
    /// When the chart lacks an account it needs, or the amounts cannot make an entry.
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError>;

    /// Everything it leaves in the book: the entry, and what goes with it.
    ///
    /// # Errors
    /// As for [`Happening::entry`].
    fn recording(&self, chart: &Chart) -> Result<Recording, HappeningError> {
        self.entry(chart).map(Recording::new)
    }
}

/// Everything that one happening leaves in the book, written together or not at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recording {
    /// The entry.
    pub entry: JournalEntry,
    /// Equipment that joins the register with it.
    pub equipment: Vec<Equipment>,
    /// The proof that stands behind it.
    pub proof: Proof,
    /// Which kind each thing was, to be proposed next time.
    pub remembered: Vec<RememberedKind>,
    /// Movements of stock that its lines alone do not tell; arrivals and sales of items the book does tell from them.
    pub movements: Vec<Movement>,
    /// Whether its lines tell of stock. Not so for entries that were written out of a book with their movements beside.
    pub tells_stock: bool,
}

impl Recording {
    /// A recording of an entry alone.
    #[must_use]
    pub fn new(entry: JournalEntry) -> Self {
        Self {
            entry,
            equipment: Vec::new(),
            proof: Proof::default(),
            remembered: Vec::new(),
            movements: Vec::new(),
            tells_stock: true,
        }
    }
}

/// What stands behind an entry: its receipt's state and the purpose.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proof {
    /// Whether the receipt is there.
    pub state: ProofState,
    /// What stands in for a receipt that cannot be had.
    pub stands_in: String,
    /// The business purpose, in the owner's words.
    pub purpose: String,
}

/// Whether a receipt is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ProofState {
    /// None is needed, as for a transfer.
    #[default]
    NotNeeded,
    /// The receipt is in the book.
    Complete,
    /// Something else stands in.
    Substitute,
    /// Still to be found.
    Missing,
}

impl ProofState {
    /// All states.
    pub const ALL: [Self; 4] = [
        Self::NotNeeded,
        Self::Complete,
        Self::Substitute,
        Self::Missing,
    ];

    /// The word used in sheets, JSON and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::NotNeeded => "not-needed",
            Self::Complete => "complete",
            Self::Substitute => "substitute",
            Self::Missing => "missing",
        }
    }
}

/// A thing from a supplier and the account it was booked to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RememberedKind {
    /// The supplier.
    pub supplier: String,
    /// The thing, as it was described.
    pub thing: String,
    /// The account it went to.
    pub account: crate::ledger::AccountId,
}

/// Why a happening cannot be written down. `field` names what is wrong in the words of the sheets' columns,
/// so that a form can show it beside the field and a sheet beside the column.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HappeningError {
    /// A field holds what cannot be.
    #[error("{message}")]
    Field {
        /// The column or field, as `amount`.
        field: &'static str,
        /// What is wrong with it, one sentence without a full stop.
        message: String,
        /// Which line of several it stands on, counted from 0.
        line: Option<usize>,
    },
    /// An amount is more than there is.
    #[error("{message}")]
    TooMuch {
        /// The column or field, as `amount`.
        field: &'static str,
        /// What it is more than, one sentence without a full stop.
        message: String,
        /// The most it can be.
        most: Money,
    },
    /// The chart lacks an account.
    #[error(transparent)]
    Chart(#[from] ChartError),
    /// The lines make no entry.
    #[error(transparent)]
    Entry(#[from] EntryError),
}

impl HappeningError {
    /// An error about one field.
    #[must_use]
    pub fn field(field: &'static str, message: impl Into<String>) -> Self {
        Self::Field {
            field,
            message: message.into(),
            line: None,
        }
    }

    /// An error about an amount that is more than there is.
    #[must_use]
    pub fn too_much(field: &'static str, message: impl Into<String>, most: Money) -> Self {
        Self::TooMuch {
            field,
            message: message.into(),
            most,
        }
    }

    /// The same error, standing on one of several lines (counted from 0).
    #[must_use]
    pub fn on_line(self, line: usize) -> Self {
        match self {
            Self::Field { field, message, .. } => Self::Field {
                field,
                message,
                line: Some(line),
            },
            other => other,
        }
    }

    /// The column or field that is wrong, where it is one.
    #[must_use]
    pub const fn field_name(&self) -> Option<&'static str> {
        match self {
            Self::Field { field, .. } | Self::TooMuch { field, .. } => Some(field),
            Self::Chart(_) | Self::Entry(_) => None,
        }
    }

    /// The line that is wrong, counted from 0, where there are several.
    #[must_use]
    pub const fn line(&self) -> Option<usize> {
        match self {
            Self::Field { line, .. } => *line,
            Self::TooMuch { .. } | Self::Chart(_) | Self::Entry(_) => None,
        }
    }

    /// The whole message with its amounts, for people.
    #[must_use]
    pub fn describe(&self, currency: &Currency) -> String {
        match self {
            Self::TooMuch { message, most, .. } => {
                format!("{message}: at most {}", currency.show(*most))
            }
            Self::Entry(EntryError::OutOfBalance { debits, credits }) => format!(
                "the entry does not balance: debits {}, credits {}, {} apart",
                currency.show(*debits),
                currency.show(*credits),
                currency.show((*debits - *credits).abs())
            ),
            other => other.to_string(),
        }
    }
}
