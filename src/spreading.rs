//! What was paid ahead, released to its cost month by month: a year's software, an insurance.
//! Found again from the ledger alone: the purchase carries a tag for each such line, its releases carry the spread's key.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::dates::Month;
use crate::ledger::{
    Account, AccountId, Chart, ChartError, EntryKind, EntryNumber, PostedEntry, Role,
};
use crate::money::Money;

const TAG: &str = "paid-ahead";

/// A cost paid ahead and the months it covers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spread {
    /// Its lasting key: the number of the entry that paid it and the place among that entry's spreads.
    pub key: String,
    /// The entry that paid it.
    pub paid_by: EntryNumber,
    /// What it is.
    pub name: String,
    /// To whom it was paid.
    pub party: String,
    /// The cost account that each month's part goes to.
    pub account: AccountId,
    /// The whole amount.
    pub total: Money,
    /// The first month covered.
    pub first: Month,
    /// How many months are covered.
    pub months: u32,
}

impl Spread {
    /// The tag by which an entry says that a line on "paid in advance" covers these months of this cost. It names the
    /// account by its role where it has one, so that it stays true when accounts are renumbered or written out.
    #[must_use]
    pub fn tag(account: &Account, from: NaiveDate, months: u32) -> String {
        let name = account
            .role
            .map_or(account.number.as_str(), |role| role.as_str());
        format!("{TAG}:{name}:{from}:{months}")
    }

    /// What the keys of all spreads of an entry begin with; its releases carry them as their document.
    #[must_use]
    pub fn keys_of(entry: EntryNumber) -> String {
        format!("{TAG}-{entry}-")
    }

    /// The spreads of an entry: its tags, in order, belong to its debits to "paid in advance", in order.
    /// An entry that was taken back has none.
    ///
    /// # Errors
    /// When the chart has no account for what is paid in advance.
    pub fn of_entry(posted: &PostedEntry, chart: &Chart) -> Result<Vec<Self>, ChartError> {
        let header = &posted.entry.header;
        if posted.reversed_by.is_some() || header.kind == EntryKind::Reversal {
            return Ok(Vec::new());
        }
        let paid_in_advance = chart.role(Role::PaidInAdvance)?;
        let lines = posted
            .entry
            .lines()
            .iter()
            .filter(|line| line.account == paid_in_advance && line.amount.is_positive());
        let mut tags = Vec::new();
        for (name, from, months) in header.tags.iter().filter_map(|tag| read_tag(tag)) {
            tags.push((account_named(name, chart)?, from, months));
        }
        Ok(lines
            .zip(tags)
            .enumerate()
            .map(|(idx, (line, (account, from, months)))| Self {
                key: format!("{}{}", Self::keys_of(posted.number), idx + 1),
                paid_by: posted.number,
                name: if line.memo.is_empty() {
                    header.memo.clone()
                } else {
                    line.memo.clone()
                },
                party: header.party.clone(),
                account,
                total: line.amount,
                first: Month::of(from),
                months,
            })
            .collect())
    }

    /// What belongs to the months that have ended by this day: rounded on the whole stretch, so that all months together
    /// come to the whole amount.
    #[must_use]
    pub fn released_through(&self, day: NaiveDate) -> Money {
        let this_month = Month::of(day);
        let open = i32::from(this_month.last_day() > day);
        let ended = this_month.index() - self.first.index() + 1 - open;
        self.cumulative(u32::try_from(ended).unwrap_or(0))
    }

    /// The last month covered.
    #[must_use]
    pub fn last(&self) -> Month {
        self.first
            .plus(i32::try_from(self.months).unwrap_or(1).max(1) - 1)
    }

    fn cumulative(&self, months: u32) -> Money {
        if months >= self.months {
            return self.total;
        }
        let so_far = Decimal::from(self.total.minor()) * Decimal::from(months);
        Money::rounded_minor(so_far / Decimal::from(self.months.max(1)))
    }
}

/// The account that a tag names. One that is gone leaves its cost among the other costs, where it is seen.
fn account_named(name: &str, chart: &Chart) -> Result<AccountId, ChartError> {
    let by_role = name.parse().ok().and_then(|role| chart.role(role).ok());
    match by_role.or_else(|| chart.find(name).ok().map(|account| account.id)) {
        Some(account) => Ok(account),
        None => chart.role(Role::OtherCosts),
    }
}

fn read_tag(tag: &str) -> Option<(&str, NaiveDate, u32)> {
    let mut parts = tag.split(':');
    if parts.next()? != TAG {
        return None;
    }
    let account = parts.next()?;
    let from = crate::dates::parse_iso(parts.next()?).ok()?;
    let months = parts.next()?.parse().ok()?;
    Some((account, from, months))
}

/// A month's part that has fallen due and is not in the ledger yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueRelease {
    /// The spread it belongs to.
    pub spread: Spread,
    /// The day to date it: the month's last, or the first open day when that is locked.
    pub date: NaiveDate,
    /// How much.
    pub amount: Money,
}

/// What was released so far by spread key, from release entries that still stand.
///
/// # Errors
/// When the chart has no account for what is paid in advance.
pub fn released<'a>(
    entries: impl IntoIterator<Item = &'a PostedEntry>,
    chart: &Chart,
) -> Result<BTreeMap<String, Money>, ChartError> {
    let paid_in_advance = chart.role(Role::PaidInAdvance)?;
    let mut sums: BTreeMap<String, Money> = BTreeMap::new();
    for posted in entries {
        let header = &posted.entry.header;
        if header.kind == EntryKind::Release && posted.reversed_by.is_none() {
            for line in posted.entry.lines() {
                if line.account == paid_in_advance {
                    *sums.entry(header.document.clone()).or_default() -= line.amount;
                }
            }
        }
    }
    Ok(sums)
}

/// What the supplier gave back of one thing paid ahead on a receipt; the months then share what is left of it.
fn came_back(
    entries: &[PostedEntry],
    chart: &Chart,
    document: &str,
    thing: &str,
) -> Result<Money, ChartError> {
    let paid_in_advance = chart.role(Role::PaidInAdvance)?;
    let refunds = entries.iter().filter(|posted| {
        let header = &posted.entry.header;
        header.kind == EntryKind::SupplierRefund
            && posted.reversed_by.is_none()
            && !document.is_empty()
            && header.document == document
    });
    Ok(refunds
        .flat_map(|posted| posted.entry.lines())
        .filter(|line| line.account == paid_in_advance && line.memo == thing)
        .map(|line| -line.amount)
        .sum())
}

/// The releases that have fallen due by this day and are not in the ledger: one a month, none twice.
/// `entries` are those that touch the account of what is paid in advance; `open_from` is the first day not locked.
///
/// # Errors
/// When the chart has no account for what is paid in advance.
pub fn due(
    entries: &[PostedEntry],
    chart: &Chart,
    today: NaiveDate,
    open_from: NaiveDate,
) -> Result<Vec<DueRelease>, ChartError> {
    let released = released(entries, chart)?;
    let mut found = Vec::new();
    for posted in entries {
        for mut spread in Spread::of_entry(posted, chart)? {
            spread.total -= came_back(entries, chart, &posted.entry.header.document, &spread.name)?;
            let mut so_far = released.get(&spread.key).copied().unwrap_or_default();
            let mut month = spread.first;
            while month <= spread.last() && month.last_day() <= today {
                let amount = spread.released_through(month.last_day()) - so_far;
                if amount.is_positive() {
                    so_far += amount;
                    found.push(DueRelease {
                        spread: spread.clone(),
                        date: month.last_day().max(open_from),
                        amount,
                    });
                }
                month = month.plus(1);
            }
        }
    }
    found.sort_by(|a, b| (a.date, &a.spread.key).cmp(&(b.date, &b.spread.key)));
    Ok(found)
}
