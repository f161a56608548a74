//! Channels: what each sold, owes and paid out; and the refunds of a sale.
//! What a sale or refund writes is `happenings`'.

use chrono::NaiveDate;

use super::{ReportError, balances_before};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::DateRange;
use crate::ledger::{AccountId, EntryKind, PostedEntry, Role};
use crate::needs::ChannelDue;
use crate::statements::{ChannelFacts, ChannelSummary, channel_summary};

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
    channels_together(book, range, today, &[channels_part(book, range)?])
}

/// What each sales channel's entries of a part of a range come to: for [`channels_together`].
///
/// # Errors
/// When the book cannot be read.
pub fn channels_part(book: &Book, part: DateRange) -> Result<Vec<ChannelSummary>, ReportError> {
    let channels = book.chart().channels().into_iter();
    channels
        .map(|account| channel_part(book, account.id, part))
        .collect()
}

/// What one sales channel's entries of a part of a range come to.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn channel_part(
    book: &Book,
    channel: AccountId,
    part: DateRange,
) -> Result<ChannelSummary, ReportError> {
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(part),
        account: Some(channel),
        ..EntryFilter::default()
    })?;
    let entries = book.entries(&numbers)?;
    let facts = ChannelFacts::default();
    Ok(channel_summary(
        book.chart(),
        channel,
        part,
        &entries,
        facts,
    )?)
}

/// As [`channels`], from parts of the range that were read before, oldest first.
///
/// # Errors
/// When the book cannot be read.
pub fn channels_together(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
    parts: &[impl AsRef<[ChannelSummary]>],
) -> Result<Vec<ChannelSummary>, ReportError> {
    let before = balances_before(book, range.from)?;
    let year = book.year_start().year_of(range.to);
    let is_whole_year = book.year_start().year_ending_in(year) == range;
    let mut summaries = Vec::new();
    for account in book.chart().channels() {
        let report = match is_whole_year {
            true => book.shop_report(account.id, year)?,
            false => None,
        };
        let facts = ChannelFacts {
            opening: before.net(account.id),
            held: book.held(account.id, range.to.min(today))?,
            reported_gross: report.as_ref().map(|report| report.amount),
            name_right: report.and_then(|report| report.name_right),
        };
        let of_it = parts.iter().flat_map(AsRef::as_ref);
        let of_it = of_it.filter(|part: &&ChannelSummary| part.account == account.id);
        let none = channel_summary(book.chart(), account.id, range, [], facts)?;
        summaries.push(none.together(of_it, range, facts));
    }
    Ok(summaries)
}

/// Every channel over a range; the account for payouts of no channel in particular only when it moved.
///
/// # Errors
/// When the book cannot be read.
pub fn channels_that_moved(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
) -> Result<Vec<ChannelSummary>, ReportError> {
    let mut summaries = channels(book, range, today)?;
    summaries.retain(|one| {
        let is_general = book.chart().has_role(one.account, Role::PayoutsDue);
        let amounts = [one.gross_sales, one.payouts, one.opening, one.still_due];
        !is_general || amounts.iter().any(|amount| !amount.is_zero())
    });
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
    match book.last_day_of(EntryKind::Payout, channel)? {
        Some(day) => Ok(Some(day)),
        None => Ok(book.first_movement(channel)?),
    }
}
