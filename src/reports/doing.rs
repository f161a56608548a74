//! What wants doing today, and the entries that can be proposed.
//! The rules behind them are in `needs`, `depreciation` and `spreading`.

use chrono::NaiveDate;

use super::{
    ReportError, agreed, behind, channels_due, duties_near, estimate_if_any, last_whole_month,
    matters_due, orders_found, plan, stock_found,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, Month};
use crate::depreciation::{DepreciationProposal, propose};
use crate::desk::{Standing, period_words};
use crate::happenings::{Happening, ProofState, Recording, SpreadRelease};
use crate::ledger::{EntryNumber, Role};
use crate::needs::{DueDuty, DuePurchase, Found, Need, ToAgree, UsedUp, needs};
use crate::plan::{How, Need as PlanNeed};
use crate::spreading;
use crate::spreading::DueRelease;

/// An account is held against its statement about once a month: a month, and some days for the statement to come.
const AGREE_AFTER_DAYS: i64 = 35;

/// The wear that can be written down through a day.
///
/// # Errors
/// When the book cannot be read.
pub fn wear_proposal(book: &Book, through: NaiveDate) -> Result<DepreciationProposal, ReportError> {
    Ok(propose(
        &book.equipment()?,
        &book.depreciation_charged()?,
        through,
        book.year_start(),
    ))
}

/// The wear through a day that is still to be written down: one proposal a month that is open, so that each month bears its
/// own, the last for the day itself.
///
/// # Errors
/// When the book cannot be read.
pub fn wear_by_month(
    book: &Book,
    through: NaiveDate,
) -> Result<Vec<DepreciationProposal>, ReportError> {
    let register = book.equipment()?;
    let mut charged = book.depreciation_charged()?;
    let open_from = match book.lock_date() {
        Some(lock) => lock.succ_opt().unwrap_or(lock).max(book.first_day()),
        None => book.first_day(),
    };
    let mut proposals = Vec::new();
    let Some(range) = DateRange::new(open_from, through) else {
        return Ok(proposals);
    };
    for month in range.months() {
        let day = month.last_day().min(through);
        let proposal = propose(&register, &charged, day, book.year_start());
        if proposal.is_empty() {
            continue;
        }
        for line in &proposal.lines {
            *charged.entry(line.key.clone()).or_default() += line.whole;
        }
        proposals.push(proposal);
    }
    Ok(proposals)
}

/// Recurring purchases that still go on.
///
/// # Errors
/// When the book cannot be read.
pub fn due_purchases(book: &Book) -> Result<Vec<DuePurchase>, ReportError> {
    Ok(book
        .recurring()?
        .into_iter()
        .filter(|recurring| recurring.is_active)
        .map(|recurring| DuePurchase {
            id: recurring.id,
            name: recurring.name,
            amount: recurring.amount,
            due: recurring.next_due,
        })
        .collect())
}

/// What wants doing today.
///
/// # Errors
/// When the book cannot be read.
pub fn open_needs(book: &Book, today: NaiveDate) -> Result<Vec<Need>, ReportError> {
    let year = book.year_start().year_of(today);
    let estimate = estimate_if_any(book, year, today)?;
    let proposal = wear_proposal(book, last_whole_month(today))?;
    let missing = book.entry_days(&EntryFilter {
        proof: Some(ProofState::Missing),
        ..EntryFilter::default()
    })?;
    let purpose = match book.settings().purpose_above() {
        Some(above) => book.entries_without_purpose(above)?,
        None => Vec::new(),
    };
    let last_year = book.year_start().year_ending_in(year - 1);
    let is_open = book.lock_date().is_none_or(|lock| lock < last_year.to);
    let has_entries = book
        .days_covered()?
        .is_some_and(|covered| covered.from <= last_year.to);
    let found = Found {
        recurring: due_purchases(book)?,
        depreciation: (!proposal.is_empty()).then(|| {
            let pieces = proposal
                .lines
                .iter()
                .map(|line| line.name.clone())
                .collect();
            (proposal.through, proposal.total().whole, pieces)
        }),
        paid_ahead: UsedUp::of(&paid_ahead_due(book, today)?, today),
        receipts_missing: missing,
        purpose_missing: with_days(book, &purpose)?,
        set_aside: estimate
            .and_then(|estimate| Some((estimate.to_move, estimate.next_due(today)?.due))),
        channels: channels_due(book, today)?,
        plan_due: plan_due(book, today)?,
        orders: orders_found(book, today)?,
        drafts: book.draft_names()?,
        stock: stock_found(
            book,
            today,
            (is_open && has_entries).then_some(last_year.to),
        )?,
        behind: behind(book)?,
        lines_to_sort: match book.count_lines_to_sort(None)? {
            (count, Some(oldest)) if count > 0 => Some((count, oldest)),
            _ => None,
        },
        broken: broken(book)?,
        duties: due_duties(book, today)?,
        matters: matters_due(book, today)?,
        trips_told_to: trips_told_to(book)?,
        questions: Standing::of(&book.questions()?),
        to_agree: to_agree(book, today)?,
        year_to_close: (is_open && has_entries).then_some((year - 1, last_year)),
    };
    Ok(needs(&found, today, book.currency()))
}

/// Through which day the owner has told of driving: the day she last wrote a trip down, or said that there was none.
fn trips_told_to(book: &Book) -> Result<Option<NaiveDate>, BookError> {
    let none = book.settings().get("mileage.none_through");
    let none = none.and_then(|text| text.parse().ok());
    Ok(book.last_trip()?.map(|trip| match none {
        Some(none) => trip.entered_on.max(none),
        None => trip.entered_on,
    }))
}

/// Duties that come near or have passed, a return with what the book says of its period.
fn due_duties(book: &Book, today: NaiveDate) -> Result<Vec<DueDuty>, ReportError> {
    let currency = book.currency();
    let due = duties_near(book, today)?.into_iter().filter_map(|one| {
        let duty = one.duty;
        let (name, note) = match one.tax {
            Some(tax) => {
                let name = format!("{} for {}", duty.name, period_words(tax.period));
                let so_far = if tax.period.to >= today {
                    " so far"
                } else {
                    ""
                };
                let note = if tax.is_nil() {
                    format!("nothing taxable sold{so_far}: a nil return is due all the same")
                } else {
                    format!(
                        "{} of tax on {} of sales in the books{so_far}",
                        currency.show(tax.collected),
                        currency.show(tax.taxable)
                    )
                };
                (name, note)
            }
            None => (duty.name.clone(), duty.note.clone()),
        };
        Some(DueDuty {
            id: duty.id,
            name,
            due: duty.next_day?,
            since: duty.remind_from()?,
            note,
        })
    });
    Ok(due.collect())
}

/// Sheets that no longer hold, with the first thing that changed.
fn broken(book: &Book) -> Result<Vec<(i64, String, NaiveDate, String)>, ReportError> {
    let mut list = Vec::new();
    for (sheet, broken) in book.broken_reconciliations()? {
        let name = book.chart().account(sheet.account)?.name.clone();
        let changed = broken
            .first()
            .map(|one| one.sentence(book.currency()))
            .unwrap_or_default();
        list.push((sheet.id, name, sheet.day, changed));
    }
    Ok(list)
}

/// The accounts that moved since they last agreed with their statements, more than a month ago, and those that never
/// agreed although they have moved for longer than that.
fn to_agree(book: &Book, today: NaiveDate) -> Result<ToAgree, BookError> {
    let is_long_ago = |day: NaiveDate| (today - day).num_days() > AGREE_AFTER_DAYS;
    let mut found = ToAgree::default();
    for one in agreed(book)? {
        // What no longer holds is told of by itself.
        if !one.is_used || one.is_broken {
            continue;
        }
        match one.agreed_to {
            Some(last) if is_long_ago(last) => {
                let moved = book.last_movement(one.account, today)?;
                if moved.is_some_and(|moved| moved > last) {
                    found.again.push((one.account, one.name, last));
                }
            }
            Some(_lately) => {}
            None => {
                if book.first_movement(one.account)?.is_some_and(is_long_ago) {
                    found.never.push((one.account, one.name));
                }
            }
        }
    }
    Ok(found)
}

/// What starting needs and was planned for months up to this one, and for which nothing was bought yet. What is owned
/// already, or costs nothing, is not bought.
fn plan_due(book: &Book, today: NaiveDate) -> Result<Option<(Month, Vec<String>)>, ReportError> {
    let this = Month::of(today);
    let report = plan(book, today)?;
    let due: Vec<(Month, String)> = report
        .actual
        .lines
        .iter()
        .filter(|one| one.line.is_chosen && !one.is_bought())
        .filter(|one| one.line.need == PlanNeed::Must && one.line.how != Some(How::Owned))
        .filter(|one| one.line.cost.likely.is_positive())
        .filter_map(|one| Some((one.line.month?, one.line.name.clone())))
        .filter(|(month, _name)| *month <= this)
        .collect();
    let first = due.iter().map(|(month, _name)| *month).min();
    Ok(first.map(|first| (first, due.into_iter().map(|(_month, name)| name).collect())))
}

fn with_days(
    book: &Book,
    numbers: &[EntryNumber],
) -> Result<Vec<(EntryNumber, NaiveDate)>, ReportError> {
    Ok(book
        .entries(numbers)?
        .into_iter()
        .map(|posted| (posted.number, posted.entry.header.date))
        .collect())
}

/// The parts of what was paid ahead that are used up by a day and not yet a cost.
///
/// # Errors
/// When the book cannot be read, or has no account for what is paid in advance.
pub fn paid_ahead_due(book: &Book, today: NaiveDate) -> Result<Vec<DueRelease>, BookError> {
    let numbers = book.entry_numbers(&EntryFilter {
        account: Some(book.chart().role(Role::PaidInAdvance)?),
        ..EntryFilter::default()
    })?;
    let open_from = book
        .lock_date()
        .and_then(|lock| lock.succ_opt())
        .unwrap_or(NaiveDate::MIN)
        .max(book.first_day());
    Ok(spreading::due(
        &book.entries(&numbers)?,
        book.chart(),
        today,
        open_from,
    )?)
}

/// The recordings that make the parts of what was paid ahead a cost, one a part.
///
/// # Errors
/// When the book cannot be read, or a part cannot be an entry.
pub fn paid_ahead_recordings(book: &Book, today: NaiveDate) -> Result<Vec<Recording>, ReportError> {
    let mut recordings = Vec::new();
    for due in paid_ahead_due(book, today)? {
        let release = SpreadRelease::new(due).and_then(|one| one.recording(book.chart()));
        recordings.push(release?);
    }
    Ok(recordings)
}

/// Makes all parts of what was paid ahead a cost that are used up by a day: one entry a part, all or none.
///
/// # Errors
/// When the book cannot be read or refuses an entry; it is then as it was.
pub fn release_paid_ahead(
    book: &mut Book,
    today: NaiveDate,
) -> Result<Vec<EntryNumber>, ReportError> {
    let recordings = paid_ahead_recordings(book, today)?;
    if recordings.is_empty() {
        return Ok(Vec::new());
    }
    book.group("What was paid ahead, used up", |book| {
        Ok(book.record_all(&recordings)?)
    })
}
