//! How something was paid: from an account, from the owner's own pocket, or not yet.
//! Which account that is in the chart, and nothing more.

use super::{HappeningError, checks};
use crate::ledger::{AccountId, Chart, Role};
use serde::{Deserialize, Serialize};

/// How something was paid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Payment {
    /// From this account: the bank, cash, a card.
    Account(AccountId),
    /// By the owner privately, put in for good.
    OwnPocketPutIn,
    /// By the owner privately, owed back to her.
    OwnPocketOwedBack,
    /// Not yet: it is a bill to pay.
    OnBill,
}

impl Payment {
    /// The account that the payment is taken from.
    ///
    /// # Errors
    /// When nothing can be paid with that account, or the chart lacks the one it needs.
    pub fn account(self, chart: &Chart) -> Result<AccountId, HappeningError> {
        match self {
            Self::Account(id) => Ok(checks::pays(chart, "paid_from", id)?.id),
            Self::OwnPocketPutIn => Ok(chart.role(Role::OwnerCapital)?),
            Self::OwnPocketOwedBack => Ok(chart.role(Role::OwedToOwner)?),
            Self::OnBill => Ok(chart.role(Role::BillsToPay)?),
        }
    }

    /// Whether the owner paid it privately.
    #[must_use]
    pub const fn is_own_pocket(self) -> bool {
        matches!(self, Self::OwnPocketPutIn | Self::OwnPocketOwedBack)
    }
}
