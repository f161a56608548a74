//! The adjusting entries of a year: what the book proposes, each with its entry where it can be worked out, and what is
//! posted with what is taken back again. The rules behind them are the core's.

use chrono::NaiveDate;

use super::{
    ReportError, mileage, paid_ahead_due, paid_ahead_recordings, rule_of_start, uncounted,
    wear_by_month, workspace,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, Month, add_months, show_day};
use crate::happenings::Recording;
use crate::ledger::{
    AccountId, EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, Origin, PostedEntry, Role,
};
use crate::money::Money;
use crate::plan::{FirstYear, first_year};
use crate::workspace::SpaceMethod;

/// What must be said beside the list.
pub const ADJUSTING_CAUTION: &str = "A sorting aid: which adjusting entries a year needs, and how much each is, depends on how the books are kept and on \
     local rules. Confirm with them and a licensed professional.";

/// The tag of the adjusting entries that a proposal of a year posted, by which it never posts them twice.
#[must_use]
pub fn adjusting_tag(name: &str, ending: i32) -> String {
    format!("adjusting:{name}:{ending}")
}

/// What is proposed for a year's end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Proposed {
    /// Wear of equipment to the last day.
    Wear,
    /// What was paid ahead and is used up.
    PaidAhead,
    /// The year's part of the costs of starting.
    StartUp,
    /// Business driving.
    Mileage,
    /// The workspace at home.
    Workspace,
    /// The stock is not counted.
    Count,
    /// Costs that may have a private share.
    PrivateShare,
    /// Sales tax that is still to be paid over.
    SalesTax,
}

impl Proposed {
    /// All, in the order of the list; those before [`Proposed::Count`] post an entry.
    pub const ALL: [Self; 8] = [
        Self::Wear,
        Self::PaidAhead,
        Self::StartUp,
        Self::Mileage,
        Self::Workspace,
        Self::Count,
        Self::PrivateShare,
        Self::SalesTax,
    ];

    /// The word used in JSON and on the command line.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Wear => "wear",
            Self::PaidAhead => "paid-ahead",
            Self::StartUp => "start-up",
            Self::Mileage => "mileage",
            Self::Workspace => "workspace",
            Self::Count => "count",
            Self::PrivateShare => "private-share",
            Self::SalesTax => "sales-tax",
        }
    }

    /// What people read.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::Wear => "Wear of equipment to the last day",
            Self::PaidAhead => "What was paid ahead and is used up",
            Self::StartUp => "This year\u{2019}s part of the costs of starting",
            Self::Mileage => "Driving for the business",
            Self::Workspace => "The workspace at home",
            Self::Count => "The stock is still to be counted",
            Self::PrivateShare => "Is a part of the phone private?",
            Self::SalesTax => "Sales tax still to pay over",
        }
    }
}

/// A proposal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// Which.
    pub what: Proposed,
    /// How much; nothing where only the owner knows.
    pub amount: Option<Money>,
    /// What stands behind it, a sentence.
    pub says: String,
    /// The entries that post it; empty where it is done otherwise.
    pub recordings: Vec<Recording>,
}

/// An adjusting entry that is posted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostedAdjusting {
    /// The entry.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// Its kind.
    pub kind: EntryKind,
    /// What it says.
    pub memo: String,
    /// The sum of its debits.
    pub amount: Money,
    /// The entry that takes it back, and its day.
    pub taken_back: Option<(EntryNumber, NaiveDate)>,
}

/// The adjusting entries of a year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdjustingReport {
    /// The year by its last day's number.
    pub ending: i32,
    /// Its days.
    pub range: DateRange,
    /// Whether the year is locked, so that nothing more is proposed.
    pub is_locked: bool,
    /// What is proposed.
    pub proposed: Vec<Proposal>,
    /// What is posted.
    pub posted: Vec<PostedAdjusting>,
}

/// The adjusting entries of the financial year that ends in a calendar year.
///
/// # Errors
/// When the book cannot be read.
pub fn adjusting(book: &Book, ending: i32) -> Result<AdjustingReport, ReportError> {
    let range = book.year_start().year_ending_in(ending);
    let is_locked = book.lock_date().is_some_and(|lock| range.to <= lock);
    let is_before = range.to < book.first_day();
    let mut proposed = Vec::new();
    if !is_locked && !is_before {
        proposed.extend(wear(book, range)?);
        proposed.extend(paid_ahead(book, range)?);
        proposed.extend(start_up(book, ending, range)?);
        proposed.extend(driving(book, ending)?);
        proposed.extend(home(book, ending)?);
        proposed.extend(count(book, range)?);
        proposed.extend(private_share(book, range)?);
        proposed.extend(sales_tax(book, range)?);
    }
    Ok(AdjustingReport {
        ending,
        range,
        is_locked,
        proposed,
        posted: posted(book, range)?,
    })
}

/// What of a year has an amount that can be posted and was not, whether the year is locked or not, wear apart: wear has a
/// point of its own wherever points are listed.
///
/// # Errors
/// When the book cannot be read.
pub fn left_out(book: &Book, ending: i32) -> Result<Vec<Proposal>, ReportError> {
    let range = book.year_start().year_ending_in(ending);
    let mut left = Vec::new();
    if range.to >= book.first_day() {
        left.extend(paid_ahead(book, range)?);
        left.extend(start_up(book, ending, range)?);
        left.extend(driving(book, ending)?);
        left.extend(home(book, ending)?);
    }
    Ok(left)
}

/// Posts what is proposed for a year, or only one of it: all of it or nothing. Answers what was posted with its entries.
///
/// # Errors
/// When there is no such proposal, the year is locked, or the book refuses; it is then as it was.
pub fn post_adjusting(
    book: &mut Book,
    ending: i32,
    only: Option<Proposed>,
) -> Result<Vec<(Proposed, Vec<EntryNumber>)>, ReportError> {
    let report = adjusting(book, ending)?;
    if report.is_locked {
        let words = format!(
            "everything up to {} is locked; nothing is posted",
            show_day(report.range.to)
        );
        return Err(BookError::refused(words).into());
    }
    let mut proposals = report.proposed;
    proposals.retain(|one| !one.recordings.is_empty() && only.is_none_or(|only| one.what == only));
    if proposals.is_empty() {
        return Ok(Vec::new());
    }
    let label = format!("Adjusting entries of {ending}");
    book.group(&label, |book| {
        let mut done = Vec::new();
        for one in &proposals {
            done.push((one.what, book.record_all(&one.recordings)?));
        }
        Ok(done)
    })
}

/// What wear and things paid ahead will still take off a year's profit, so that a limit by the profit holds whatever is
/// posted first.
pub(super) fn still_to_count(book: &Book, range: DateRange) -> Result<Money, ReportError> {
    if book.lock_date().is_some_and(|lock| range.to <= lock) {
        return Ok(Money::ZERO);
    }
    let wear: Money = wear_by_month(book, range.to)?
        .iter()
        .map(|one| one.total().business)
        .sum();
    let ahead: Money = paid_ahead_due(book, range.to)?
        .iter()
        .map(|due| due.amount)
        .sum();
    let start: Money = start_up_parts(book, range)?
        .iter()
        .map(|(_, amount, _)| *amount)
        .sum();
    Ok(wear + ahead + start)
}

fn wear(book: &Book, range: DateRange) -> Result<Option<Proposal>, ReportError> {
    let by_month = wear_by_month(book, range.to)?;
    if by_month.is_empty() {
        return Ok(None);
    }
    let mut recordings = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for month in &by_month {
        let entry = month.entry(book.chart(), "");
        let entry = entry.map_err(|error| BookError::refused(error.to_string()))?;
        recordings.push(Recording::new(entry));
        for line in &month.lines {
            if !names.contains(&line.name.as_str()) {
                names.push(&line.name);
            }
        }
    }
    Ok(Some(Proposal {
        what: Proposed::Wear,
        amount: Some(by_month.iter().map(|one| one.total().whole).sum()),
        says: format!(
            "{}, up to {}; an entry a month.",
            names.join(", "),
            show_day(range.to)
        ),
        recordings,
    }))
}

fn paid_ahead(book: &Book, range: DateRange) -> Result<Option<Proposal>, ReportError> {
    let due = paid_ahead_due(book, range.to)?;
    if due.is_empty() {
        return Ok(None);
    }
    let mut names: Vec<&str> = due.iter().map(|one| one.spread.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    Ok(Some(Proposal {
        what: Proposed::PaidAhead,
        amount: Some(due.iter().map(|one| one.amount).sum()),
        says: format!("{}, up to {}.", names.join(", "), show_day(range.to)),
        recordings: paid_ahead_recordings(book, range.to)?,
    }))
}

/// One adjusting entry of a proposal, marked so that it is never posted twice.
fn marked(
    (name, ending): (&str, i32),
    date: NaiveDate,
    memo: String,
    lines: Vec<Line>,
) -> Result<Recording, ReportError> {
    let mut header = EntryHeader::new(date, EntryKind::Adjusting)
        .memo(memo)
        .origin(Origin::Schedule);
    header.tags.push(adjusting_tag(name, ending));
    let lines = lines.into_iter().filter(|line| !line.amount.is_zero());
    let entry = JournalEntry::new(header, lines.collect()).map_err(BookError::from)?;
    Ok(Recording::new(entry))
}

fn driving(book: &Book, ending: i32) -> Result<Option<Proposal>, ReportError> {
    let report = mileage(book, ending)?;
    let amount = report.to_post();
    if amount.is_zero() {
        return Ok(None);
    }
    let distance = report.year.distance.round_dp(2).normalize();
    let unit = report.rates.unit.plain();
    let (travel, capital) = (
        book.chart().role(Role::Travel)?,
        book.chart().role(Role::OwnerCapital)?,
    );
    let lines = vec![Line::debit(travel, amount), Line::credit(capital, amount)];
    let memo = format!("Driving for the business: {distance} {unit}");
    Ok(Some(Proposal {
        what: Proposed::Mileage,
        amount: Some(amount),
        says: format!(
            "{distance} {unit} by the rates of their days, less what is posted. The car is yours, so you put it in."
        ),
        recordings: vec![marked(
            ("mileage", ending),
            report.year.range.to,
            memo,
            lines,
        )?],
    }))
}

fn home(book: &Book, ending: i32) -> Result<Option<Proposal>, ReportError> {
    let report = workspace(book, ending)?;
    let amount = report.to_post();
    let from_drawings = report.from_drawings();
    if amount.is_zero() && from_drawings.is_zero() {
        return Ok(None);
    }
    let chart = book.chart();
    let lines = vec![
        Line::debit(chart.role(Role::HomeWorkspace)?, amount),
        Line::credit(chart.role(Role::OwnerCapital)?, amount - from_drawings),
        Line::credit(chart.role(Role::OwnerDrawings)?, from_drawings),
    ];
    let memo = format!("Workspace at home, {} method", report.method);
    let by_rule = report.year.before_limit;
    let is_held = report.year.simplified < by_rule && report.method == SpaceMethod::Simplified;
    let says = if from_drawings.is_zero() && is_held {
        format!(
            "The rule gives {}, but no more than the profit before it counts: {}. You paid the home\u{2019}s bills, so you \
             put it in.",
            book.currency().show(by_rule),
            book.currency().show(report.year.simplified)
        )
    } else if from_drawings.is_zero() {
        "By the method you chose, less what is posted. You paid the home\u{2019}s bills, so you put it in.".to_owned()
    } else {
        format!(
            "By the home\u{2019}s bills, less what is posted; {} of it was paid by the business and leaves your drawings.",
            book.currency().show(from_drawings)
        )
    };
    Ok(Some(Proposal {
        what: Proposed::Workspace,
        amount: Some(amount),
        says,
        recordings: vec![marked(
            ("workspace", ending),
            report.year.range.to,
            memo,
            lines,
        )?],
    }))
}

/// What was carried forward of the costs of starting, and what of it was made a cost, up to a day.
fn carried(
    book: &Book,
    account: AccountId,
    through: NaiveDate,
) -> Result<(Money, Money), BookError> {
    let numbers = book.entry_numbers(&EntryFilter {
        range: DateRange::new(book.first_day(), through),
        account: Some(account),
        ..EntryFilter::default()
    })?;
    let posted = book.entries(&numbers)?;
    let (mut cost, mut used) = (Money::ZERO, Money::ZERO);
    for one in &posted {
        let lines = one.entry.lines().iter();
        let amount: Money = lines
            .filter(|line| line.account == account)
            .map(|line| line.amount)
            .sum();
        if is_adjusting(book, one)? {
            used -= amount;
        } else {
            cost += amount;
        }
    }
    Ok((cost, used))
}

/// Whether an entry adjusts, or takes back one that did.
fn is_adjusting(book: &Book, posted: &PostedEntry) -> Result<bool, BookError> {
    let kind = match posted.reverses {
        Some(of) => book.entry(of)?.entry.header.kind,
        None => posted.entry.header.kind,
    };
    Ok(kind == EntryKind::Adjusting)
}

/// What is still to be made a cost of what was carried forward, by account, with what the rule says.
fn start_up_parts(
    book: &Book,
    range: DateRange,
) -> Result<Vec<(AccountId, Money, FirstYear)>, ReportError> {
    let Some((rule, begins)) = rule_of_start(book)? else {
        return Ok(Vec::new());
    };
    if begins > range.to {
        return Ok(Vec::new());
    }
    let mut parts = Vec::new();
    for role in [Role::StartUpCosts, Role::CompanyFormingCosts] {
        let Ok(account) = book.chart().role(role) else {
            continue;
        };
        let (cost, used) = carried(book, account, range.to)?;
        if !cost.is_positive() {
            continue;
        }
        // A year for which no rule is kept gets no proposal.
        let Ok(first) = first_year(&rule, cost, begins, book.year_start(), book.currency()) else {
            continue;
        };
        let months = Month::of(range.to).index() - first.begins.index() + 1;
        let so_far = first.at_once + first.spread_after(u32::try_from(months).unwrap_or(0));
        if so_far != used {
            parts.push((account, so_far - used, first));
        }
    }
    Ok(parts)
}

fn start_up(book: &Book, ending: i32, range: DateRange) -> Result<Option<Proposal>, ReportError> {
    let parts = start_up_parts(book, range)?;
    let Some((_, _, first)) = parts.first() else {
        return Ok(None);
    };
    let other = book.chart().role(Role::OtherCosts)?;
    let show = |amount| book.currency().show(amount);
    let says = format!(
        "Of {} carried forward {} count at once and the rest over {} months from {}, less what is posted. {}, looked up {}.",
        show(first.cost),
        show(first.at_once),
        first.months,
        first.begins,
        first.source,
        show_day(first.checked)
    );
    let mut recordings = Vec::new();
    for (account, amount, _) in &parts {
        let memo = format!(
            "{}, this year\u{2019}s part",
            book.chart().account(*account)?.name
        );
        let lines = vec![Line::debit(other, *amount), Line::credit(*account, *amount)];
        recordings.push(marked(("start-up", ending), range.to, memo, lines)?);
    }
    Ok(Some(Proposal {
        what: Proposed::StartUp,
        amount: Some(parts.iter().map(|(_, amount, _)| *amount).sum()),
        says,
        recordings,
    }))
}

fn count(book: &Book, range: DateRange) -> Result<Option<Proposal>, ReportError> {
    let names = uncounted(book, range.to)?;
    Ok((!names.is_empty()).then(|| Proposal {
        what: Proposed::Count,
        amount: None,
        says: format!(
            "Lying there on {} and not counted within a month of it: {}.",
            show_day(range.to),
            names.join(", ")
        ),
        recordings: Vec::new(),
    }))
}

fn private_share(book: &Book, range: DateRange) -> Result<Option<Proposal>, ReportError> {
    let (Ok(phone), Ok(drawings), Ok(owed)) = (
        book.chart().role(Role::Phone),
        book.chart().role(Role::OwnerDrawings),
        book.chart().role(Role::OwedByOwner),
    ) else {
        return Ok(None);
    };
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(range),
        account: Some(phone),
        ..EntryFilter::default()
    })?;
    let mut whole = Money::ZERO;
    for posted in book.entries(&numbers)? {
        let lines = posted.entry.lines();
        let is_shared = lines
            .iter()
            .any(|line| line.account == drawings || line.account == owed);
        if !is_shared && posted.entry.header.kind != EntryKind::Closing {
            let of_phone = lines.iter().filter(|line| line.account == phone);
            whole += of_phone.map(|line| line.amount).sum::<Money>();
        }
    }
    Ok(whole.is_positive().then(|| Proposal {
        what: Proposed::PrivateShare,
        amount: Some(whole),
        says: "So much counts wholly as the business\u{2019}s. If you call and read on it privately too, that share is yours: change the purchases, or write it down as a private thing.".to_owned(),
        recordings: Vec::new(),
    }))
}

fn sales_tax(book: &Book, range: DateRange) -> Result<Option<Proposal>, ReportError> {
    let Ok(account) = book.chart().role(Role::SalesTax) else {
        return Ok(None);
    };
    let owed = -book.balances_to(range.to)?.net(account);
    Ok(owed.is_positive().then(|| Proposal {
        what: Proposed::SalesTax,
        amount: Some(owed),
        says: "It stays owed over the year\u{2019}s end and needs no entry; paying it over is a settlement.".to_owned(),
        recordings: Vec::new(),
    }))
}

/// What of these kinds is posted: adjusting entries of the whole year, the others of its last month.
fn posted(book: &Book, range: DateRange) -> Result<Vec<PostedAdjusting>, ReportError> {
    let last_month = add_months(range.to, -1).succ_opt().unwrap_or(range.from);
    let last_month = last_month.max(range.from);
    let mut list = Vec::new();
    for kind in [
        EntryKind::Adjusting,
        EntryKind::Depreciation,
        EntryKind::Release,
        EntryKind::StockCount,
    ] {
        let from = if kind == EntryKind::Adjusting {
            range.from
        } else {
            last_month
        };
        let numbers = book.entry_numbers(&EntryFilter {
            range: DateRange::new(from, range.to),
            kind: Some(kind),
            ..EntryFilter::default()
        })?;
        for one in book.entries(&numbers)? {
            let taken_back = match one.reversed_by {
                Some(by) => Some((by, book.entry(by)?.entry.header.date)),
                None => None,
            };
            list.push(PostedAdjusting {
                number: one.number,
                date: one.entry.header.date,
                kind,
                memo: one.entry.header.memo.clone(),
                amount: one.entry.total(),
                taken_back,
            });
        }
    }
    list.sort_by_key(|one| (one.date, one.number));
    Ok(list)
}
