//! What Buy says, read from the book after each change.
//! Drawing is `view`.

use chrono::NaiveDate;

use super::kinds::KindsModel;
use crate::app::screens::by_month::ByMonth;
use crate::app::screens::explain::what_was_it;
use crate::app::screens::orders::OrderList;
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::happenings::ProofState;
use crate::ledger::{EntryKind, EntryNumber, PostedEntry};
use crate::money::Money;
use crate::recurring::{self, Recurring};
use crate::reports;
use crate::statements::SmallEquipment;

/// Purchases beyond this many are counted, not listed.
const LISTED: usize = 40;
/// Receipts to find beyond this many are counted, not listed.
const LISTED_MISSING: usize = 12;

/// An entry in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuyRow {
    /// The entry.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// From whom and what.
    pub what: String,
    /// The kinds it went to.
    pub kinds: String,
    /// The sum of the receipt.
    pub amount: Money,
    /// The state of its receipt in a word.
    pub receipt: &'static str,
}

/// A recurring purchase in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecurringRow {
    /// Its identity.
    pub id: i64,
    /// What it is and to whom.
    pub what: String,
    /// How often.
    pub cycle: String,
    /// When it is due next.
    pub next: NaiveDate,
    /// How much each time.
    pub amount: Money,
    /// How much a year.
    pub yearly: Money,
}

/// A recurring purchase that is due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueNow {
    /// Its identity.
    pub id: i64,
    /// What is proposed, in a sentence.
    pub words: String,
    /// What it is called.
    pub name: String,
}

/// Everything in the room.
#[derive(Clone, Debug)]
pub struct BuyModel {
    /// The newest purchases of the period.
    pub rows: Vec<BuyRow>,
    /// How many there are in the period, as far as it is added up.
    pub n_purchases: usize,
    /// What they came to; those taken back count for nothing. Not there until all of the period is added up.
    pub total: Option<Money>,
    /// What recurs.
    pub recurring: Vec<RecurringRow>,
    /// What it comes to in a year.
    pub yearly: Money,
    /// What is due.
    pub due: Vec<DueNow>,
    /// Renewals that are near, each in a sentence.
    pub renewals: Vec<String>,
    /// How many parts of what was paid ahead are used up, and what they come to.
    pub used_up: Option<(usize, Money)>,
    /// Receipts to be found.
    pub missing: Vec<BuyRow>,
    /// How many there are.
    pub n_missing: usize,
    /// Entries whose purpose is missing.
    pub no_purpose: Vec<BuyRow>,
    /// What lasts but was a cost at once.
    pub small: Vec<SmallEquipment>,
    /// The kinds.
    pub kinds: KindsModel,
    /// The orders to suppliers.
    pub orders: OrderList,
    /// Whether nothing was ever bought.
    pub is_empty: bool,
    all_recurring: Vec<Recurring>,
}

impl BuyModel {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(
        book: &Book,
        period: DateRange,
        today: NaiveDate,
        parts: &mut ByMonth<(usize, Money)>,
    ) -> Result<Self, BookError> {
        let is_whole = parts.read(book, period, |part| {
            book.count_and_total(EntryKind::Purchase, part)
        })?;
        let filter = EntryFilter {
            kind: Some(EntryKind::Purchase),
            ..EntryFilter::in_range(period)
        };
        let newest = book.newest_entry_numbers(&filter, LISTED)?;
        let missing = book.entry_numbers(&EntryFilter {
            proof: Some(ProofState::Missing),
            ..EntryFilter::default()
        })?;
        let oldest: Vec<EntryNumber> = missing.iter().take(LISTED_MISSING).copied().collect();
        let no_purpose = match book.settings().purpose_above() {
            Some(above) => book.entries_without_purpose(above)?,
            None => Vec::new(),
        };
        let no_purpose: Vec<EntryNumber> = no_purpose.into_iter().take(LISTED_MISSING).collect();
        let all_recurring: Vec<Recurring> = book
            .recurring()?
            .into_iter()
            .filter(|one| one.is_active)
            .collect();
        let used_up = reports::paid_ahead_due(book, today)?;
        let any = book.last_entry(EntryKind::Purchase, None)?;
        let orders = OrderList::read(book, today)?;
        Ok(Self {
            rows: rows(book, &newest)?,
            n_purchases: parts.values().map(|(count, _total)| count).sum(),
            total: is_whole.then(|| parts.values().map(|(_count, total)| *total).sum()),
            yearly: recurring::yearly_total(&all_recurring),
            recurring: all_recurring.iter().map(recurring_row).collect(),
            due: due(&all_recurring, book, today),
            renewals: all_recurring
                .iter()
                .filter_map(|one| one.renewal_notice(today))
                .map(|notice| notice.sentence(book.currency()))
                .collect(),
            used_up: (!used_up.is_empty())
                .then(|| (used_up.len(), used_up.iter().map(|due| due.amount).sum())),
            n_missing: missing.len(),
            missing: rows(book, &oldest)?,
            no_purpose: rows(book, &no_purpose)?,
            small: reports::small_things(book)?,
            kinds: KindsModel::read(book)?,
            is_empty: any.is_none() && all_recurring.is_empty() && orders.n_all == 0,
            orders,
            all_recurring,
        })
    }

    /// The recurring purchase with this identity.
    #[must_use]
    pub fn recurring_by_id(&self, id: i64) -> Option<&Recurring> {
        self.all_recurring.iter().find(|one| one.id == id)
    }
}

fn rows(book: &Book, numbers: &[EntryNumber]) -> Result<Vec<BuyRow>, BookError> {
    let mut rows = Vec::new();
    for posted in book.entries(numbers)? {
        let receipt = if posted.reversed_by.is_some() {
            "taken back"
        } else {
            match book.proof(posted.number)?.state {
                ProofState::Complete => "kept",
                ProofState::Substitute => "stand-in",
                ProofState::Missing => "missing",
                ProofState::NotNeeded => "not needed",
            }
        };
        rows.push(row(book, &posted, receipt));
    }
    Ok(rows)
}

fn row(book: &Book, posted: &PostedEntry, receipt: &'static str) -> BuyRow {
    let header = &posted.entry.header;
    let mut kinds: Vec<String> = Vec::new();
    let mut things: Vec<&str> = Vec::new();
    for line in posted
        .entry
        .lines()
        .iter()
        .filter(|line| line.amount.is_positive())
    {
        let name = book
            .chart()
            .account(line.account)
            .map_or_else(|_gone| String::new(), |account| account.name.clone());
        if !kinds.contains(&name) {
            kinds.push(name);
        }
        let thing = line.memo.trim();
        if !thing.is_empty() && !things.contains(&thing) {
            things.push(thing);
        }
    }
    let memo = if header.memo.trim().is_empty() {
        things.join(", ")
    } else {
        header.memo.clone()
    };
    BuyRow {
        number: posted.number,
        date: header.date,
        what: what_was_it(&header.party, &memo, header.kind.plain()),
        kinds: kinds.join(", "),
        amount: posted.entry.total(),
        receipt,
    }
}

fn recurring_row(one: &Recurring) -> RecurringRow {
    let cycle = match one.every_months {
        1 => "every month".to_owned(),
        3 => "every quarter".to_owned(),
        12 => "every year".to_owned(),
        months => format!("every {months} months"),
    };
    let what = if one.party == one.name || one.party.is_empty() {
        one.name.clone()
    } else {
        format!("{}, {}", one.name, one.party)
    };
    RecurringRow {
        id: one.id,
        what,
        cycle,
        next: one.next_due,
        amount: one.amount,
        yearly: one.yearly_total(),
    }
}

fn due(list: &[Recurring], book: &Book, today: NaiveDate) -> Vec<DueNow> {
    list.iter()
        .filter(|one| one.next_due <= today)
        .map(|one| DueNow {
            id: one.id,
            words: format!(
                "{}, {}, due {}",
                one.name,
                book.currency().show(one.amount),
                show_day(one.next_due)
            ),
            name: one.name.clone(),
        })
        .collect()
}
