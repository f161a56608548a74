//! What is free to spend with everything that opens from it, and "can I buy this?".
//! The formula is `free_to_spend`'s.

use chrono::{Days, NaiveDate};

use super::{ReportError, channels_due, estimate_if_any, estimate_or_plain};
use crate::book::Book;
use crate::free_to_spend::{
    AfterBuying, Buying, Claims, FreeToSpend, Help, Proposal, Split, Wanted, cost_within,
    free_to_spend, what_would_help,
};
use crate::happenings::Payment;
use crate::money::Money;
use crate::needs::DuePurchase;
use crate::set_aside::Estimate;
use crate::stock::StockKeeping;

/// What is free to spend, with what stands behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeReport {
    /// The day it is for.
    pub day: NaiveDate,
    /// How many days recurring purchases are looked ahead.
    pub days: u64,
    /// The formula's lines and what is free.
    pub answer: FreeToSpend,
    /// The recurring purchases that the business pays through the last of these days, each time it falls due.
    pub due: Vec<DuePurchase>,
    /// The estimate behind the set-aside gap; none where the method does not know the year.
    pub estimate: Option<Estimate>,
    /// What would help when more is promised than is there.
    pub help: Vec<Help>,
    /// How the owner shares out what is free; none until she says.
    pub split: Option<Split>,
}

impl FreeReport {
    /// The last of the days that are looked at.
    #[must_use]
    pub fn through(&self) -> NaiveDate {
        self.day + Days::new(self.days)
    }

    /// What is free by the owner's own split; none when nothing is free or she has none.
    #[must_use]
    pub fn proposal(&self) -> Option<Proposal> {
        self.split?.propose(self.answer.free)
    }
}

/// What is free to spend on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn free(book: &Book, day: NaiveDate) -> Result<FreeReport, ReportError> {
    let estimate = estimate_if_any(book, book.year_start().year_of(day), day)?;
    free_with(book, estimate, day)
}

/// As [`free`], by the estimate of the day's year that was made before.
///
/// # Errors
/// When the book cannot be read.
pub fn free_with(
    book: &Book,
    estimate: Option<Estimate>,
    day: NaiveDate,
) -> Result<FreeReport, ReportError> {
    let settings = book.settings();
    let days = settings.free_days();
    let due = promised(book, day + Days::new(days))?;
    let claims = Claims {
        due_soon: due.iter().map(|due| due.amount).sum(),
        set_aside_gap: estimate
            .as_ref()
            .map_or(Money::ZERO, |estimate| estimate.to_move),
        reserve: settings.amount("reserve").unwrap_or_default(),
    };
    let answer = free_to_spend(book.chart(), &book.balances_to(day)?, claims);
    let help = if answer.free.is_negative() {
        what_would_help(&answer, &channels_due(book, day)?, &due, day)
    } else {
        Vec::new()
    };
    Ok(FreeReport {
        day,
        days,
        due,
        estimate,
        help,
        split: settings.split().ok().flatten(),
        answer,
    })
}

/// Every time a recurring purchase that the business pays falls due through a day, the oldest first. What the owner
/// pays from her own pocket takes nothing from the business's money.
fn promised(book: &Book, through: NaiveDate) -> Result<Vec<DuePurchase>, ReportError> {
    let mut due: Vec<DuePurchase> = Vec::new();
    for one in book.recurring()? {
        if matches!(
            one.paid_from,
            Payment::OwnPocketPutIn | Payment::OwnPocketOwedBack
        ) {
            continue;
        }
        due.extend(one.due(through).into_iter().map(|on| DuePurchase {
            id: one.id,
            name: one.name.clone(),
            amount: one.amount,
            due: on,
        }));
    }
    due.sort_by(|a, b| (a.due, &a.name).cmp(&(b.due, &b.name)));
    Ok(due)
}

/// What is free before and after a purchase that is only tried, and how much less is then to be set aside as far as the
/// estimate can tell. Nothing is written.
///
/// # Errors
/// When the purchase cannot be tried, or the book cannot be read.
pub fn can_i_buy(
    book: &Book,
    free: &FreeReport,
    buying: Buying,
) -> Result<AfterBuying, ReportError> {
    buying.check(free.day)?;
    let buying = Buying {
        wanted: counted_as(book, buying),
        ..buying
    };
    let less = match &free.estimate {
        Some(estimate) => less_to_set_aside(book, free, estimate, &buying)?,
        None => None,
    };
    Ok(AfterBuying::new(&free.answer, buying, less, free.through()))
}

/// What a thing counts as in this book: what lasts and costs less than the owner's threshold is a cost at once, and so is
/// stock where the accounts follow only counts.
fn counted_as(book: &Book, buying: Buying) -> Wanted {
    let threshold = book.settings().equipment_threshold();
    match buying.wanted {
        Wanted::Equipment { .. } if threshold.is_some_and(|from| buying.price < from) => {
            Wanted::Cost
        }
        Wanted::Stock if book.settings().stock_keeping() == StockKeeping::Periodic => Wanted::Cost,
        wanted => wanted,
    }
}

fn less_to_set_aside(
    book: &Book,
    free: &FreeReport,
    estimate: &Estimate,
    buying: &Buying,
) -> Result<Option<Money>, ReportError> {
    let year = book.year_start().year_of(free.day);
    let through = book.year_start().year_ending_in(year).to;
    let cost = cost_within(buying, through);
    if cost.is_zero() {
        return Ok(Some(Money::ZERO));
    }
    let to_move = |profit: Money| match estimate_or_plain(book, year, free.day, Some(profit)) {
        Ok(tried) => Ok(Some(tried.to_move)),
        // A method that does not know the year cannot tell; the rest of the answer stands.
        Err(ReportError::SetAside(_)) => Ok(None),
        Err(error) => Err(error),
    };
    let before = to_move(estimate.profit)?;
    let after = to_move(estimate.profit - cost)?;
    Ok(before.zip(after).map(|(before, after)| before - after))
}
