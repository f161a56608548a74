//! Postage charged to customers beside the postage paid, month by month: did the buyers pay the labels?
//! Two roles of the chart, nothing else.

use crate::dates::DateRange;
use crate::ledger::{Balances, Chart, ChartError, Role};
use crate::money::Money;

/// One month (or any period) of postage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PostageMonth {
    /// The days it covers.
    pub range: DateRange,
    /// Charged to customers.
    pub charged: Money,
    /// Paid for labels and carriage.
    pub paid: Money,
    /// Charged less paid: below nothing when the business paid for the buyers.
    pub difference: Money,
}

/// Postage charged and paid in each period.
///
/// # Errors
/// When the chart lacks one of the two accounts.
pub fn postage_by_month(
    chart: &Chart,
    periods: &[(DateRange, Balances)],
) -> Result<Vec<PostageMonth>, ChartError> {
    let charged_on = chart.role(Role::PostageCharged)?;
    let paid_on = chart.role(Role::Postage)?;
    let rows = periods.iter().map(|(range, balances)| {
        let charged = -balances.net(charged_on);
        let paid = balances.net(paid_on);
        PostageMonth {
            range: *range,
            charged,
            paid,
            difference: charged - paid,
        }
    });
    Ok(rows.collect())
}
