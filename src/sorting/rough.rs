//! Rough answers: enough to post soundly when nobody remembers more, to be said more exactly later.
//! The entries they leave are ordinary ones with a mark; finding them again is for others.

use super::{BankLine, Meaning, Treatment};
use crate::ledger::{AccountId, Chart, ChartError, Role};
use crate::word_list::word_list;

/// The mark on an entry that was written from a rough answer.
pub const ROUGH: &str = "rough";
/// The mark on an entry that was rough, or not explained, and was said more exactly since.
pub const REFINED: &str = "refined";

word_list! {
    /// A rough answer to what a line was.
    Rough, "a rough answer":
    /// It cost something; what kind is for later.
    Cost = "cost" / "A cost, some kind",
    /// A shop paid out; its sales and fees are for later.
    ShopIncome = "shop-income" / "Income of a shop",
    /// Something was sold; which thing is for later.
    Sold = "sold" / "Sold, some thing",
    /// It was private, or money of the owner's own.
    Mine = "mine" / "Mine, not the business's",
    /// Nobody knows any more.
    Unknown = "unknown" / "I do not know",
}

impl Rough {
    /// Whether money that comes in (or, when false, goes out) can be answered so.
    #[must_use]
    pub const fn fits(self, is_in: bool) -> bool {
        match self {
            Self::Cost => !is_in,
            Self::ShopIncome | Self::Sold => is_in,
            Self::Mine | Self::Unknown => true,
        }
    }

    /// Whether the shop must be named with it.
    #[must_use]
    pub const fn needs_shop(self) -> bool {
        matches!(self, Self::ShopIncome)
    }

    /// Whether the entry is marked, so that it is asked about again. What is not explained stands on an account of
    /// its own and needs no mark; whose money it was is all there is to say of the owner's own.
    #[must_use]
    pub const fn is_marked(self) -> bool {
        matches!(self, Self::Cost | Self::ShopIncome | Self::Sold)
    }

    /// What a line becomes by this answer.
    ///
    /// # Errors
    /// When the book has no account for it.
    pub fn treatment(
        self,
        line: &BankLine,
        shop: Option<AccountId>,
        chart: &Chart,
    ) -> Result<Treatment, ChartError> {
        Ok(match self {
            Self::Cost => Treatment::new(Meaning::Purchase).account(chart.role(Role::OtherCosts)?),
            Self::ShopIncome => Treatment {
                account: shop,
                ..Treatment::new(Meaning::Payout)
            },
            Self::Sold => Treatment::new(Meaning::Sale),
            Self::Mine if line.is_in() => Treatment::new(Meaning::OwnerIn),
            Self::Mine => Treatment::new(Meaning::Private),
            Self::Unknown => Treatment::new(Meaning::NotExplained),
        })
    }
}
