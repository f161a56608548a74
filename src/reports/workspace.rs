//! A year of the workspace at home, with the profit before it and what is posted already.
//! What spaces and bills come to is `crate::workspace`'s.

use super::mileage::told_estimate;
use super::{ReportError, adjusting_tag, mileage, profit, still_to_count};
use crate::book::{Book, BookError};
use crate::ledger::Role;
use crate::money::Money;
use crate::workspace::{SpaceMethod, WorkspaceRule, WorkspaceYear};

/// A year of the workspace at home.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkspaceReport {
    /// The year by its last day's number.
    pub ending: i32,
    /// What the spaces come to.
    pub year: WorkspaceYear,
    /// By which method it is counted.
    pub method: SpaceMethod,
    /// What of it is posted.
    pub posted: Money,
    /// What of the posted amount was taken out of the drawings.
    pub posted_from_drawings: Money,
    /// What the set-aside estimate was told of a workspace, which it takes off besides; empty where it was told none.
    pub told_estimate: String,
}

impl WorkspaceReport {
    /// What it comes to by the chosen method.
    #[must_use]
    pub const fn amount(&self) -> Money {
        self.year.amount(self.method)
    }

    /// What is still to be posted; below nothing where too much was.
    #[must_use]
    pub fn to_post(&self) -> Money {
        self.amount() - self.posted
    }

    /// What of that comes out of the drawings, because the business paid the bills.
    #[must_use]
    pub fn from_drawings(&self) -> Money {
        let wanted = match self.method {
            SpaceMethod::Simplified => Money::ZERO,
            SpaceMethod::Actual => self.year.actual_from_drawings,
        };
        wanted - self.posted_from_drawings
    }

    /// Whether nothing is known of a workspace.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.year.spaces.is_empty() && self.year.bills.is_empty() && self.posted.is_zero()
    }
}

/// The workspace in the financial year that ends in a calendar year. The profit before it is the profit of the books
/// without what of it is posted, less what the year
/// end will still take off it otherwise.
///
/// # Errors
/// When the book cannot be read.
pub fn workspace(book: &Book, ending: i32) -> Result<WorkspaceReport, ReportError> {
    let range = book.year_start().year_ending_in(ending);
    let chart = book.chart();
    let tag = adjusting_tag("workspace", ending);
    let posted = book.posted_with_tag(&tag, chart.role(Role::HomeWorkspace)?)?;
    let drawings = book.posted_with_tag(&tag, chart.role(Role::OwnerDrawings)?)?;
    let driving = mileage(book, ending)?;
    let before = profit(book, range)?.totals.net_profit + posted
        - driving.to_post()
        - still_to_count(book, range)?;
    let rule = WorkspaceRule::for_year(book.currency(), ending).map_err(BookError::refused)?;
    let method = book
        .settings()
        .get("workspace.method")
        .and_then(|text| text.parse().ok())
        .unwrap_or_default();
    let (spaces, bills) = (book.spaces()?, book.home_bills()?);
    Ok(WorkspaceReport {
        ending,
        year: WorkspaceYear::of(range, &spaces, &bills, rule, before, book.currency()),
        method,
        posted,
        posted_from_drawings: -drawings,
        told_estimate: told_estimate(book, "workspace_area"),
    })
}
