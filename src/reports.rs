//! Figures of a book: asks the book for balances and entries and gives them to the rules that work them out.
//! Shared by the window and the headless verbs, so that both show the same; no rule and no SQL is here.

use chrono::{Days, NaiveDate};

use crate::book::{Book, BookError, Closings, EntryFilter};
use crate::dates::{DateRange, Month};
use crate::depreciation::{DepreciationProposal, propose};
use crate::free_to_spend::{Claims, FreeToSpend, free_to_spend};
use crate::happenings::{Happening, HappeningError, ProofState, Recording, SpreadRelease};
use crate::ledger::{AccountId, EntryKind, EntryNumber, PostedEntry, Role};
use crate::money::Money;
use crate::needs::{ChannelDue, DuePurchase, Found, Need, UsedUp, needs};
use crate::set_aside::{
    Calendar, Estimate, Facts, Method, PercentOfProfit, SetAsideError, method_named,
};
use crate::spreading::{self, DueRelease};
use crate::statements::{
    CapitalStatement, ChannelFacts, ChannelSummary, CostToStart, ProfitStatement, SmallEquipment,
    capital_statement, channel_summary, cost_to_start, profit_statement, small_equipment,
};

/// Purchases due within so many days are promised money.
pub const SOON_DAYS: u64 = 30;

/// Why a figure could not be worked out.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// The book could not be read.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The set-aside estimate refuses.
    #[error(transparent)]
    SetAside(#[from] SetAsideError),
    /// An entry that was due cannot be.
    #[error(transparent)]
    Happening(#[from] HappeningError),
}

impl From<crate::ledger::ChartError> for ReportError {
    fn from(error: crate::ledger::ChartError) -> Self {
        Self::Book(error.into())
    }
}

impl From<ReportError> for BookError {
    fn from(error: ReportError) -> Self {
        match error {
            ReportError::Book(error) => error,
            ReportError::SetAside(error) => Self::Refused(error.to_string()),
            ReportError::Happening(error) => Self::Refused(error.to_string()),
        }
    }
}

/// The profit statement of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn profit(book: &Book, range: DateRange) -> Result<ProfitStatement, ReportError> {
    let balances = book.balances(range, Closings::Without)?;
    Ok(profit_statement(book.chart(), &balances, range))
}

/// The profit statements of the months of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn profit_by_month(
    book: &Book,
    range: DateRange,
) -> Result<Vec<(Month, ProfitStatement)>, ReportError> {
    range
        .by_month()
        .into_iter()
        .map(|part| Ok((Month::of(part.from), profit(book, part)?)))
        .collect()
}

/// The set-aside estimate of the financial year that ends in `year`, read up to `as_of`;
/// `what_if_profit` tries another profit for the whole year.
///
/// # Errors
/// When the book cannot be read, or the method does not know the year.
pub fn estimate(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
) -> Result<Estimate, ReportError> {
    let wanted = book.settings().get("set_aside.method");
    let method = method_named(wanted.unwrap_or("percent"))?;
    let calendar = Calendar::for_book(book.currency().code(), book.year_start());
    let facts = set_aside_facts(book, year, as_of, what_if_profit, calendar)?;
    Ok(method.estimate(&facts)?)
}

/// As [`estimate`], but a method that the program does not know, or that does not know the year, gives way to the plain
/// share of profit, by the book's own quarters where the dates are not known, and says so in a note: the rooms go on
/// working.
///
/// # Errors
/// When the book cannot be read.
pub fn estimate_or_plain(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
) -> Result<Estimate, ReportError> {
    match estimate(book, year, as_of, what_if_profit) {
        Err(ReportError::SetAside(error)) => {
            let calendar = instalment_calendar(book, year);
            let facts = set_aside_facts(book, year, as_of, what_if_profit, calendar)?;
            let mut plain = PercentOfProfit.estimate(&facts)?;
            let note = format!("A plain share of profit is shown: {error}.");
            plain.notes.insert(0, note);
            Ok(plain)
        }
        other => other,
    }
}

fn set_aside_facts(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
    calendar: Calendar,
) -> Result<Facts, ReportError> {
    let years = book.year_start();
    let days = years.year_ending_in(year);
    let range = DateRange {
        from: days.from,
        to: as_of.clamp(days.from, days.to),
    };
    let statement = profit(book, range)?;
    let costs = statement
        .section(book.chart(), crate::statements::ProfitSection::Costs)
        .count();
    // A year that is over counts what was put by and paid until its last instalment was due.
    let mut paid_in = calendar
        .payment_days(year, years)
        .map_err(SetAsideError::from)?;
    if as_of < days.to {
        paid_in.to = as_of.max(paid_in.from);
    }
    let put_by = match book.chart().role(Role::SetAside) {
        Ok(account) => book.balances_to(paid_in.to)?.net(account),
        Err(_no_such_account) => Money::ZERO,
    };
    Ok(Facts {
        year,
        years,
        as_of,
        profit: statement.totals.into(),
        cost_accounts: costs,
        profit_by_month: profit_by_month(book, range)?
            .into_iter()
            .map(|(month, statement)| (month, statement.totals.net_profit))
            .collect(),
        put_by,
        already_paid: tax_paid(book, paid_in)?,
        percent: book.settings().set_aside_percent(),
        percent_chosen_on: None,
        what_if_profit,
        calendar,
        currency: book.currency().clone(),
    })
}

/// The calendar of the book's country or, for a year before its file begins, the book's own quarters.
fn instalment_calendar(book: &Book, year: i32) -> Calendar {
    let years = book.year_start();
    let calendar = Calendar::for_book(book.currency().code(), years);
    if calendar.dues(year, years).is_ok() {
        calendar
    } else {
        Calendar::quarters()
    }
}

/// The estimate, or none where the method or its dates do not know the year: other answers stand without it.
///
/// # Errors
/// When the book cannot be read.
pub fn estimate_if_any(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
) -> Result<Option<Estimate>, ReportError> {
    match estimate_or_plain(book, year, as_of, None) {
        Ok(estimate) => Ok(Some(estimate)),
        Err(ReportError::SetAside(_unknown_year)) => Ok(None),
        Err(error) => Err(error),
    }
}

/// The owner's tax instalments paid in a range.
fn tax_paid(book: &Book, range: DateRange) -> Result<Money, ReportError> {
    let drawings = book.chart().role(Role::OwnerDrawings)?;
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(range),
        kind: Some(EntryKind::TaxInstalment),
        ..EntryFilter::default()
    })?;
    Ok(book
        .entries(&numbers)?
        .iter()
        .filter(|posted| posted.reversed_by.is_none())
        .flat_map(|posted| posted.entry.lines())
        .filter(|line| line.account == drawings)
        .map(|line| line.amount)
        .sum())
}

/// The capital statement of a range. Opening balances on the book's first day count as there before.
///
/// # Errors
/// When the book cannot be read.
pub fn capital(book: &Book, range: DateRange) -> Result<CapitalStatement, ReportError> {
    let mut before = match range.from.pred_opt() {
        Some(eve) => book.balances_to(eve)?,
        None => crate::ledger::Balances::new(),
    };
    let mut during = book.balances(range, Closings::Without)?;
    let openings = book.entry_numbers(&EntryFilter {
        range: Some(range),
        kind: Some(EntryKind::Opening),
        ..EntryFilter::default()
    })?;
    for posted in book.entries(&openings)? {
        if posted.entry.header.date > book.first_day() || posted.reversed_by.is_some() {
            continue;
        }
        for line in posted.entry.lines() {
            before.add(line.account, line.amount);
            during.add(line.account, -line.amount);
        }
    }
    Ok(capital_statement(book.chart(), &before, &during, range))
}

/// What each sales channel sold, took and paid out in a range. The reported gross is there for a whole financial year.
/// What it holds is what it holds at the range's end or, while that is still to come, today.
///
/// # Errors
/// When the book cannot be read.
pub fn channels(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
) -> Result<Vec<ChannelSummary>, ReportError> {
    let before = match range.from.pred_opt() {
        Some(eve) => book.balances_to(eve)?,
        None => crate::ledger::Balances::new(),
    };
    let year = book.year_start().year_of(range.to);
    let is_whole_year = book.year_start().year_ending_in(year) == range;
    let mut summaries = Vec::new();
    for account in book.chart().channels() {
        let numbers = book.entry_numbers(&EntryFilter {
            range: Some(range),
            account: Some(account.id),
            ..EntryFilter::default()
        })?;
        let facts = ChannelFacts {
            opening: before.net(account.id),
            held: book.held(account.id, range.to.min(today))?,
            reported_gross: if is_whole_year {
                book.reported_gross(account.id, year)?
            } else {
                None
            },
        };
        let entries = book.entries(&numbers)?;
        summaries.push(channel_summary(
            book.chart(),
            account.id,
            range,
            &entries,
            facts,
        )?);
    }
    Ok(summaries)
}

/// The refunds that stand of a sale or a purchase. They have its document's key; where another sale of another shop has
/// the same key, those are its own that name the same shop.
///
/// # Errors
/// When the book cannot be read.
pub fn refunds_of(book: &Book, of: &PostedEntry) -> Result<Vec<PostedEntry>, BookError> {
    let header = &of.entry.header;
    let kind = match header.kind {
        EntryKind::Sale => EntryKind::Refund,
        EntryKind::Purchase => EntryKind::SupplierRefund,
        _ => return Ok(Vec::new()),
    };
    let mut refunds = book.standing_with_document(kind, &header.document)?;
    let is_shared = book
        .standing_with_document(header.kind, &header.document)?
        .iter()
        .any(|other| other.entry.header.party != header.party);
    if is_shared {
        refunds.retain(|refund| refund.entry.header.party == header.party);
    }
    Ok(refunds)
}

/// What it cost to start: up to and with the day the business opened, the eve of its first sale, or today.
///
/// # Errors
/// When the book cannot be read.
pub fn start_cost(book: &Book, today: NaiveDate) -> Result<CostToStart, ReportError> {
    let through = match book.settings().opened_for_business_on() {
        Some(day) => day,
        None => first_sale(book)?
            .and_then(|day| day.pred_opt())
            .unwrap_or(today),
    };
    let Some(range) = DateRange::new(book.first_day(), through) else {
        return Ok(cost_to_start(book.chart(), [], through));
    };
    let entries = book.entries(&book.entry_numbers(&EntryFilter::in_range(range))?)?;
    Ok(cost_to_start(book.chart(), &entries, through))
}

fn first_sale(book: &Book) -> Result<Option<NaiveDate>, ReportError> {
    let sales = book.entry_numbers(&EntryFilter {
        kind: Some(EntryKind::Sale),
        ..EntryFilter::default()
    })?;
    match sales.first() {
        Some(number) => Ok(Some(book.entry(*number)?.entry.header.date)),
        None => Ok(None),
    }
}

/// Everything expensed as small equipment.
///
/// # Errors
/// When the book cannot be read.
pub fn small_things(book: &Book) -> Result<Vec<SmallEquipment>, ReportError> {
    let account = book.chart().role(Role::SmallTools)?;
    let numbers = book.entry_numbers(&EntryFilter {
        account: Some(account),
        ..EntryFilter::default()
    })?;
    Ok(small_equipment(book.chart(), &book.entries(&numbers)?)?)
}

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

/// What is free to spend today, by an estimate made before.
///
/// # Errors
/// When the book cannot be read.
pub fn free(
    book: &Book,
    estimate: &Estimate,
    today: NaiveDate,
) -> Result<FreeToSpend, ReportError> {
    free_with_gap(book, estimate.to_move, today)
}

/// What is free to spend today when so much is still to be put by for tax.
///
/// # Errors
/// When the book cannot be read.
pub fn free_with_gap(
    book: &Book,
    set_aside_gap: Money,
    today: NaiveDate,
) -> Result<FreeToSpend, ReportError> {
    let last = today + Days::new(SOON_DAYS);
    let claims = Claims {
        due_soon: due_purchases(book)?
            .iter()
            .filter(|due| due.due <= last)
            .map(|due| due.amount)
            .sum(),
        set_aside_gap,
        reserve: book.settings().amount("reserve").unwrap_or_default(),
    };
    Ok(free_to_spend(
        book.chart(),
        &book.balances_to(today)?,
        claims,
    ))
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

/// What the channels owe today.
///
/// # Errors
/// When the book cannot be read.
pub fn channels_due(book: &Book, today: NaiveDate) -> Result<Vec<ChannelDue>, ReportError> {
    let balances = book.balances_to(today)?;
    let holds = book.holds()?;
    let mut channels = Vec::new();
    for account in book.chart().channels() {
        let held_until = holds
            .iter()
            .filter(|hold| hold.channel == account.id && hold.is_held_on(hold.since))
            .filter(|hold| hold.released.is_none())
            .filter_map(|hold| hold.until)
            .min();
        channels.push(ChannelDue {
            channel: account.id,
            name: account.name.clone(),
            due: balances.net(account.id),
            last_payout: last_payout(book, account.id)?,
            held_until,
        });
    }
    Ok(channels)
}

/// The day of the last payout of a channel or, before the first, of its first entry.
fn last_payout(book: &Book, channel: AccountId) -> Result<Option<NaiveDate>, ReportError> {
    let filter = EntryFilter {
        account: Some(channel),
        ..EntryFilter::default()
    };
    let payouts = book.entry_numbers(&EntryFilter {
        kind: Some(EntryKind::Payout),
        ..filter.clone()
    })?;
    let number = match payouts.last() {
        Some(number) => Some(*number),
        None => book.entry_numbers(&filter)?.first().copied(),
    };
    match number {
        Some(number) => Ok(Some(book.entry(number)?.entry.header.date)),
        None => Ok(None),
    }
}

/// What wants doing today.
///
/// # Errors
/// When the book cannot be read.
pub fn open_needs(book: &Book, today: NaiveDate) -> Result<Vec<Need>, ReportError> {
    let year = book.year_start().year_of(today);
    let estimate = estimate_if_any(book, year, today)?;
    let proposal = wear_proposal(book, last_whole_month(today))?;
    let missing = book.entry_numbers(&EntryFilter {
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
        receipts_missing: with_days(book, &missing)?,
        purpose_missing: with_days(book, &purpose)?,
        set_aside: estimate
            .and_then(|estimate| Some((estimate.to_move, estimate.next_due(today)?.due))),
        channels: channels_due(book, today)?,
        drafts: book.draft_names()?,
        year_to_close: (is_open && has_entries).then_some((year - 1, last_year)),
    };
    Ok(needs(&found, today, book.currency()))
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

/// The last day of the last month that is over, or today when its month ends today.
#[must_use]
pub fn last_whole_month(today: NaiveDate) -> NaiveDate {
    let month = Month::of(today);
    if month.last_day() == today {
        today
    } else {
        month.plus(-1).last_day()
    }
}
