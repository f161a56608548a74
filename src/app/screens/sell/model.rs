//! What Sell says, read from the book after each change.
//! Drawing is `view`.

use chrono::NaiveDate;

use crate::app::screens::by_month::ByMonth;
use crate::book::{Book, BookError, Closings, EntryFilter};
use crate::dates::{DateRange, Month};
use crate::ledger::{AccountId, EntryKind, EntryNumber, PostedEntry, Role};
use crate::money::Money;
use crate::reports;
use crate::statements::{
    ChannelSummary, PostageMonth, ProductDay, ProductMargin, postage_by_month,
};

/// Sales beyond this many are counted, not listed.
const LISTED: usize = 30;

/// A sale in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleRow {
    /// The entry.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// What was sold.
    pub what: String,
    /// Its order number and where it was sold.
    pub through: String,
    /// At full price.
    pub price: Money,
}

/// What was sold in a month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoldInMonth {
    channels: Vec<ChannelSummary>,
    n_sales: usize,
    products: Vec<ProductDay>,
}

impl AsRef<[ChannelSummary]> for SoldInMonth {
    fn as_ref(&self) -> &[ChannelSummary] {
        &self.channels
    }
}

/// Everything in the room.
#[derive(Clone, Debug)]
pub struct SellModel {
    /// Sales less discounts and refunds.
    pub net_sales: Money,
    /// What the shops owe today.
    pub owed: Money,
    /// The shop that billed more than it owes, and how much is open with it: the one with the most.
    pub billed: Option<(AccountId, Money)>,
    /// What of it they hold back.
    pub held: Money,
    /// The shops in the period, once all of it is added up.
    pub channels: Option<Vec<ChannelSummary>>,
    /// Sales less discounts and refunds, month by month.
    pub months: Vec<(DateRange, Money)>,
    /// Postage charged and paid, month by month; months without any are left out.
    pub postage: Vec<PostageMonth>,
    /// The newest sales of the period.
    pub rows: Vec<SaleRow>,
    /// How many there are in the period.
    pub n_sales: usize,
    /// What each product left, the one that left most first; empty until all of the period is read.
    pub products: Vec<ProductMargin>,
    /// Whether nothing was ever sold and no shop is open.
    pub is_empty: bool,
}

impl SellModel {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(
        book: &Book,
        period: DateRange,
        today: NaiveDate,
        parts: &mut ByMonth<SoldInMonth>,
    ) -> Result<Self, BookError> {
        let profit = reports::profit(book, period)?;
        let by_month = reports::profit_by_month(book, period)?;
        let balances: Vec<(DateRange, crate::ledger::Balances)> = book
            .monthly(period, Closings::Without)?
            .into_iter()
            .map(|(month, balances): (Month, _)| (month.range(), balances))
            .collect();
        let postage = postage_by_month(book.chart(), &balances)?
            .into_iter()
            .filter(|month| !(month.charged.is_zero() && month.paid.is_zero()))
            .collect();
        let due = reports::channels_due(book, today)?;
        let mut held = Money::ZERO;
        for channel in book.chart().channels() {
            held += book.held(channel.id, today)?;
        }
        let filter = EntryFilter {
            kind: Some(EntryKind::Sale),
            ..EntryFilter::in_range(period)
        };
        let newest = book.newest_entry_numbers(&filter, LISTED)?;
        let any = book.last_entry(EntryKind::Sale, None)?;
        let owed: Money = due.iter().map(|channel| channel.due).sum();
        Ok(Self {
            net_sales: profit.totals.net_sales,
            owed,
            billed: due
                .iter()
                .filter(|channel| channel.due.is_negative())
                .min_by_key(|channel| channel.due)
                .map(|channel| (channel.channel, -channel.due)),
            held,
            channels: shops(book, period, today, parts)?,
            products: if parts.is_whole() {
                let days = parts.values().flat_map(|part| &part.products);
                reports::margins_of(&book.items()?, days)
            } else {
                Vec::new()
            },
            months: by_month
                .into_iter()
                .map(|(month, statement)| (month.range(), statement.totals.net_sales))
                .collect(),
            postage,
            rows: book
                .entries(&newest)?
                .iter()
                .map(|posted| row(book, posted))
                .collect(),
            n_sales: parts.values().map(|part| part.n_sales).sum(),
            is_empty: any.is_none() && owed.is_zero(),
        })
    }
}

/// The shops of the period, read on for as long as a frame allows.
fn shops(
    book: &Book,
    period: DateRange,
    today: NaiveDate,
    parts: &mut ByMonth<SoldInMonth>,
) -> Result<Option<Vec<ChannelSummary>>, BookError> {
    let is_whole = parts.read(book, period, |part| {
        Ok(SoldInMonth {
            channels: reports::channels_part(book, part)?,
            n_sales: book.count_and_total(EntryKind::Sale, part)?.0,
            products: reports::product_days(book, part)?,
        })
    })?;
    if !is_whole {
        return Ok(None);
    }
    let parts: Vec<&SoldInMonth> = parts.values().collect();
    Ok(Some(reports::channels_together(
        book, period, today, &parts,
    )?))
}

fn row(book: &Book, posted: &PostedEntry) -> SaleRow {
    let header = &posted.entry.header;
    let chart = book.chart();
    let sold = posted.entry.lines().iter().filter(|line| {
        line.amount.is_negative()
            && chart.account(line.account).is_ok_and(|account| {
                account.class == crate::ledger::AccountClass::Income
                    && account.role != Some(Role::PostageCharged)
            })
    });
    let (mut price, mut things) = (Money::ZERO, Vec::new());
    for line in sold {
        price += line.credit_amount();
        let thing = line.memo.trim();
        if !thing.is_empty() && !things.contains(&thing) {
            things.push(thing);
        }
    }
    let what = match (things.is_empty(), header.memo.trim().is_empty()) {
        (false, _) => things.join(", "),
        (true, false) => header.memo.trim().to_owned(),
        (true, true) => "a sale".to_owned(),
    };
    let through = [header.reference.trim(), header.party.trim()]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
    SaleRow {
        number: posted.number,
        date: header.date,
        what,
        through,
        price,
    }
}
