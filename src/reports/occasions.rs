//! What unusual happenings are read against, gathered from the book; and what fair days, loans, helpers and gifts came to.
//! What an occasion means is `crate::occasions`'.

use chrono::NaiveDate;

use super::refunds_of;
use crate::book::{Book, BookError, EntryFilter};
use crate::happenings::RefundedSale;
use crate::ledger::{EntryKind, Role};
use crate::matters::{Matter, MatterKind, Matters, StepKind};
use crate::money::Money;
use crate::needs::DueMatter;
use crate::occasions::{Known, StallFee, terms_of};
use crate::stock::{Bundle, Item};

/// What is known of a book when the answers of an occasion are read.
#[derive(Clone, Debug, Default)]
pub struct OccasionFacts {
    /// The items in stock.
    pub items: Vec<Item>,
    /// The sets.
    pub bundles: Vec<Bundle>,
    /// Everything that goes on.
    pub matters: Matters,
    /// Costs of fairs that belong to no day yet, the newest first.
    pub stall_fees: Vec<StallFee>,
}

impl OccasionFacts {
    /// What the book knows.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn read(book: &Book) -> Result<Self, BookError> {
        let matters = book.matters()?;
        Ok(Self {
            items: book.items()?,
            bundles: book.bundles()?,
            stall_fees: stall_fees(book, &matters)?,
            matters,
        })
    }

    /// The steps as they are after something more was told.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn reread(&mut self, book: &Book) -> Result<(), BookError> {
        self.matters = book.matters()?;
        self.stall_fees = stall_fees(book, &self.matters)?;
        Ok(())
    }

    /// This together with the book's accounts and the sales that an order's key may mean.
    #[must_use]
    pub fn known<'a>(&'a self, book: &'a Book, sales: &'a [RefundedSale]) -> Known<'a> {
        Known {
            chart: book.chart(),
            currency: book.currency(),
            first_day: book.first_day(),
            lock_date: book.lock_date(),
            items: &self.items,
            bundles: &self.bundles,
            matters: &self.matters,
            sales,
            stall_fees: &self.stall_fees,
        }
    }
}

/// The sales of a key as a refund or a dispute sees them: with what went back and what is in dispute.
///
/// # Errors
/// When the book cannot be read.
pub fn refunded_sales(book: &Book, document: &str) -> Result<Vec<RefundedSale>, BookError> {
    if document.trim().is_empty() {
        return Ok(Vec::new());
    }
    let mut sales = Vec::new();
    for sale in book.standing_with_document(EntryKind::Sale, document.trim())? {
        let refunds = refunds_of(book, &sale)?;
        let refunds = refunds.iter().map(|posted| &posted.entry);
        let found = RefundedSale::of_entries(&sale.entry, refunds, book.chart());
        if let Ok(mut found) = found {
            found.in_dispute = book.in_dispute(&found.document)?;
            sales.push(found);
        }
    }
    Ok(sales)
}

/// Costs of fairs that no fair day has taken yet.
fn stall_fees(book: &Book, matters: &Matters) -> Result<Vec<StallFee>, BookError> {
    let Ok(account) = book.chart().role(Role::FairCosts) else {
        return Ok(Vec::new());
    };
    let held = matters.of_kind(MatterKind::Fair);
    let taken: Vec<&str> = held
        .flat_map(|fair| fair.of(StepKind::Held))
        .flat_map(|step| step.answer("joined").split(';').map(str::trim))
        .collect();
    let own: Vec<u64> = matters
        .of_kind(MatterKind::Fair)
        .flat_map(|fair| &fair.steps)
        .filter_map(|step| step.entry.map(|entry| entry.0))
        .collect();
    let numbers = book.entry_numbers(&EntryFilter {
        account: Some(account),
        ..EntryFilter::default()
    })?;
    let mut fees = Vec::new();
    for posted in book.entries(&numbers)? {
        let number = posted.number;
        let is_taken = taken.contains(&number.0.to_string().as_str()) || own.contains(&number.0);
        if is_taken || posted.reversed_by.is_some() || posted.reverses.is_some() {
            continue;
        }
        let lines = posted.entry.lines().iter();
        let amount: Money = lines
            .filter(|line| line.account == account)
            .map(|line| line.amount)
            .sum();
        let header = &posted.entry.header;
        if amount.is_positive() {
            let words = [header.party.as_str(), header.memo.as_str()]
                .into_iter()
                .filter(|text| !text.is_empty())
                .collect::<Vec<_>>()
                .join(": ");
            fees.push(StallFee {
                entry: number,
                date: header.date,
                amount,
                words,
            });
        }
    }
    fees.sort_by_key(|fee| std::cmp::Reverse((fee.date, fee.entry)));
    Ok(fees)
}

/// What of everything that goes on has come to its day, the oldest first. A loan comes up with each instalment of its plan
/// that is not paid by then; a fair before its day is no task.
///
/// # Errors
/// When the book cannot be read.
pub fn matters_due(book: &Book, day: NaiveDate) -> Result<Vec<DueMatter>, BookError> {
    let matters = book.matters()?;
    let mut due: Vec<DueMatter> = matters
        .iter()
        .filter(|matter| matter.is_open())
        .filter_map(|matter| {
            let due = match matter.kind {
                MatterKind::Loan => next_instalment(matter)?,
                MatterKind::Fair => matter.began_on()?,
                _ => matter.due()?,
            };
            (due <= day).then(|| DueMatter {
                kind: matter.kind,
                key: matter.key.clone(),
                party: matter.party().to_owned(),
                due,
                left: matter.balance(),
            })
        })
        .collect();
    due.sort_by(|a, b| (a.due, &a.key).cmp(&(b.due, &b.key)));
    Ok(due)
}

/// The day of the first instalment that the repayments so far do not cover.
fn next_instalment(loan: &Matter) -> Option<NaiveDate> {
    let n_paid = loan.of(StepKind::Repaid).count();
    let plan = terms_of(loan)?.schedule().ok()?;
    plan.get(n_paid).map(|one| one.due)
}
