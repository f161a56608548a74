//! Sheets that become entries.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::stock::{note_short, short_now};
use super::{Done, Options, VerbError, context, innermost, items_of};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::happenings::Recording;
use crate::happenings::hints::{ChannelOwes, Incoming, looks_like_payout};
use crate::import::{self, Brought, EntryRow, Faults, Owed, SaleFound, Sheet};
use crate::ledger::{AccountId, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry, Role};
use crate::money::Money;
use crate::reports;
use crate::stock::{Movement, MovementKind, stock_role};

/// Records what a sheet gave; a refusal names the row.
fn record(book: &mut Book, sheet: &Sheet, list: Vec<Brought>) -> Result<Done, VerbError> {
    let (rows, recordings): (Vec<u64>, Vec<Recording>) =
        list.into_iter().map(|one| (one.row, one.recording)).unzip();
    let numbers = record_rows(book, sheet, &rows, &recordings)?;
    Ok(Done::of_entries(&numbers))
}

fn record_rows(
    book: &mut Book,
    sheet: &Sheet,
    rows: &[u64],
    recordings: &[Recording],
) -> Result<Vec<EntryNumber>, VerbError> {
    if recordings.is_empty() {
        return Ok(Vec::new());
    }
    book.record_all(recordings).map_err(|error| match &error {
        BookError::AtIndex { index, .. } => {
            let mut faults = Faults::new(&sheet.file);
            let row = rows.get(*index).copied().unwrap_or_default();
            faults.row(row, innermost(&error).to_string());
            faults.into()
        }
        _ => VerbError::from(error),
    })
}

pub(super) fn purchases(
    book: &mut Book,
    sheet: &Sheet,
    options: Options,
) -> Result<Done, VerbError> {
    let list = read_purchases(book, sheet, options)?;
    record(book, sheet, list)
}

/// The purchases of a sheet.
pub(super) fn read_purchases(
    book: &Book,
    sheet: &Sheet,
    options: Options,
) -> Result<Vec<Brought>, VerbError> {
    let list = import::purchases(sheet, context(book), &items_of(book)?)?;
    refuse_what_is_there(book, sheet, &list, options)?;
    Ok(list)
}

pub(super) fn sales(book: &mut Book, sheet: &Sheet, options: Options) -> Result<Done, VerbError> {
    let (list, mut notes) = read_sales(book, sheet, options)?;
    let before = short_now(book)?;
    let mut done = record(book, sheet, list)?;
    notes.extend(note_short(book, &before)?);
    done.notes = notes;
    Ok(done)
}

/// The sales of a sheet, and what is to be said of the channels it opens.
pub(super) fn read_sales(
    book: &mut Book,
    sheet: &Sheet,
    options: Options,
) -> Result<(Vec<Brought>, Vec<String>), VerbError> {
    let mut notes = Vec::new();
    for name in import::new_channels(sheet, book.chart(), book.currency()) {
        let account = book.open_channel(&name)?;
        notes.push(format!(
            "'{name}' was not known: it is a new sales channel, account {}.",
            book.chart().title(account)
        ));
    }
    let list = import::sales(sheet, context(book), &items_of(book)?)?;
    if !options.allow_lookalikes {
        refuse_payouts(book, sheet, &list)?;
    }
    refuse_what_is_there(book, sheet, &list, options)?;
    Ok((list, notes))
}

/// A payout typed as a sale would count the same money twice.
fn refuse_payouts(book: &Book, sheet: &Sheet, list: &[Brought]) -> Result<(), VerbError> {
    let mut owed = Vec::new();
    if let Some(covered) = book.days_covered()? {
        let balances = book.balances_to(covered.to)?;
        owed.extend(book.chart().channels().iter().map(|account| ChannelOwes {
            channel: account.id,
            amount: balances.net(account.id),
        }));
    }
    let mut faults = Faults::new(&sheet.file);
    for one in list {
        let header = &one.recording.entry.header;
        let lines = one.recording.entry.lines();
        let Some(incoming) = lines.iter().find(|line| line.amount.is_positive()) else {
            continue;
        };
        let words: Vec<&str> = lines
            .iter()
            .map(|line| line.memo.as_str())
            .chain([header.reference.as_str(), header.document.as_str()])
            .collect();
        let words = words.join(" ");
        let hint = looks_like_payout(
            Incoming {
                account: incoming.account,
                amount: incoming.amount,
                party: &header.party,
                memo: &words,
            },
            book.chart(),
            &owed,
        );
        // A till sale that says what was sold may happen to be what a channel owes, or share a word with its name.
        let is_itemised = lines
            .iter()
            .any(|line| line.quantity.is_some() || line.item.is_some());
        if let Some(hint) = hint
            && (!is_itemised || words.to_lowercase().contains(&hint.name.to_lowercase()))
        {
            faults.cell(
                one.row,
                "paid_into",
                format!(
                    "{}; bring it as a payout, or add --allow-lookalikes when it is a sale",
                    hint.sentence(book.currency()).trim_end_matches('.')
                ),
            );
        }
    }
    Ok(faults.into_result(())?)
}

/// The same key, day, party and amount once more is a sheet brought twice in another shape; the same key for another
/// sale of the same shop would mix up their refunds.
fn refuse_what_is_there(
    book: &Book,
    sheet: &Sheet,
    list: &[Brought],
    options: Options,
) -> Result<(), VerbError> {
    if options.again {
        return Ok(());
    }
    let mut faults = Faults::new(&sheet.file);
    for one in list {
        let header = &one.recording.entry.header;
        for posted in book.standing_with_document(header.kind, &header.document)? {
            let old = &posted.entry;
            if old.header.party != header.party {
                continue;
            }
            let key = &header.document;
            let number = posted.number;
            if old.header.date == header.date && says_the_same(old, &one.recording.entry) {
                faults.row(
                    one.row,
                    format!("'{key}' is in the book already as entry {number}; --again takes it once more"),
                );
                break;
            }
            if header.kind == EntryKind::Sale {
                faults.row(
                    one.row,
                    format!(
                        "'{key}' is the key of another sale in the book, entry {number} of {}; give this one a key of \
                         its own, by which its refunds find it",
                        show_day(old.header.date)
                    ),
                );
                break;
            }
        }
    }
    Ok(faults.into_result(())?)
}

/// Whether an entry in the book says what one of a sheet says; the cost of pieces that went or came back stands in it
/// beside that.
fn says_the_same(old: &JournalEntry, new: &JournalEntry) -> bool {
    let has = |wanted: &Line| {
        let mut lines = old.lines().iter();
        lines.any(|line| line.account == wanted.account && line.amount == wanted.amount)
    };
    old.total() == new.total() || new.lines().iter().all(has)
}

pub(super) fn refunds(book: &mut Book, sheet: &Sheet, options: Options) -> Result<Done, VerbError> {
    let list = import::refunds(sheet, context(book), |key| sales_of(book, key))??;
    refuse_what_is_there(book, sheet, &list, options)?;
    record(book, sheet, list)
}

/// The sales of a key that stand, each with its own refunds so far.
fn sales_of(book: &Book, key: &str) -> Result<Vec<SaleFound>, BookError> {
    let mut found = Vec::new();
    for sale in book.standing_with_document(EntryKind::Sale, key)? {
        let refunds = reports::refunds_of(book, &sale)?;
        let sold = book.movements_of(sale.number)?;
        let refunds = refunds.into_iter().map(|posted| posted.entry).collect();
        let in_dispute = book.in_dispute(&sale.entry.header.document)?;
        found.push(SaleFound {
            in_dispute,
            ..sale_found(book, sale.entry, refunds, sold)?
        });
    }
    Ok(found)
}

/// A sale with its refunds so far, the pieces that went with it and the sets it names.
pub(super) fn sale_found(
    book: &Book,
    sale: JournalEntry,
    refunds: Vec<JournalEntry>,
    moved: Vec<Movement>,
) -> Result<SaleFound, BookError> {
    let mut bundles = Vec::new();
    for line in sale.lines() {
        if let (Some(code), Some(sets)) = (&line.item, line.quantity)
            && let Some(bundle) = book.bundle(code)?
        {
            bundles.push((bundle, sets));
        }
    }
    Ok(SaleFound {
        in_dispute: Money::ZERO,
        bundles,
        sale,
        refunds,
        sold: moved
            .into_iter()
            .filter(|one| one.kind == MovementKind::Sell)
            .collect(),
    })
}

pub(super) fn payouts(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::payouts(sheet, context(book))?;
    let mut last_days: BTreeMap<AccountId, NaiveDate> = BTreeMap::new();
    for entry in list.iter().map(|one| &one.recording.entry) {
        for line in entry
            .lines()
            .iter()
            .filter(|line| line.amount.is_negative())
        {
            let day = last_days.entry(line.account).or_insert(entry.header.date);
            *day = entry.header.date.max(*day);
        }
    }
    let mut done = record(book, sheet, list)?;
    done.notes = overpaid(book, &last_days)?;
    Ok(done)
}

pub(super) fn shop_fees(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::shop_fees(sheet, context(book))?;
    record(book, sheet, list)
}

/// Channels that have paid out more than they owed. Sheets may come in any order, so this is told and not refused.
fn overpaid(
    book: &Book,
    last_days: &BTreeMap<AccountId, NaiveDate>,
) -> Result<Vec<String>, BookError> {
    let mut notes = Vec::new();
    for (account, day) in last_days {
        let due = book.balances_to(*day)?.net(*account);
        if due.is_negative() {
            notes.push(format!(
                "{} has paid out {} more than the book knows it owed on {}: look for sales not yet brought in, or a slip in the amount.",
                book.chart().title(*account),
                book.currency().show(-due),
                show_day(*day)
            ));
        }
    }
    Ok(notes)
}

pub(super) fn owner(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::owner(sheet, context(book), owed_to_owner(book)?)?;
    let equipment = book
        .chart()
        .role(Role::Equipment)
        .map_err(BookError::from)?;
    let mut notes = Vec::new();
    for one in &list {
        let lines = one.recording.entry.lines().iter();
        for line in lines.filter(|line| line.account == equipment && line.equipment.is_none()) {
            notes.push(format!(
                "Row {}: {} for '{}' is equipment without a row in the register, so it does not wear out yet: bring \
                 its row in a sheet of equipment with paid_from none, or fill equipment_name and life_months here.",
                one.row,
                book.currency().show(line.amount),
                one.recording.entry.header.memo,
            ));
        }
    }
    let mut done = record(book, sheet, list)?;
    done.notes = notes;
    Ok(done)
}

fn owed_to_owner(book: &Book) -> Result<Vec<Owed>, BookError> {
    let (account, Some(covered)) = (book.chart().role(Role::OwedToOwner)?, book.days_covered()?)
    else {
        return Ok(Vec::new());
    };
    let lines = book.account_lines(account, covered)?;
    Ok(lines
        .into_iter()
        .map(|line| Owed {
            date: line.date,
            amount: -line.amount,
        })
        .collect())
}

/// Entries in the order of their first rows; one that takes another back is written as its mirror.
/// A sheet of entries moves no stock: those of a written-out book have their movements in a sheet of their own, and
/// others keep their lines off the items.
pub(super) fn entries(book: &mut Book, sheet: &Sheet, options: Options) -> Result<Done, VerbError> {
    let mut list = import::entries(sheet, context(book))?;
    if !options.is_written_out {
        refuse_items(book, sheet, &list)?;
    }
    for one in &mut list {
        one.recording.tells_stock = false;
    }
    let mut numbers = Vec::new();
    let mut by_key: HashMap<String, EntryNumber> = HashMap::new();
    let mut rows = Vec::new();
    let mut keys = Vec::new();
    let mut recordings = Vec::new();
    for one in list {
        let Some(reversed) = one.reverses.clone() else {
            rows.push(one.row);
            keys.push(one.key);
            recordings.push(one.recording);
            continue;
        };
        let written = record_rows(book, sheet, &rows, &recordings)?;
        by_key.extend(keys.drain(..).zip(written.iter().copied()));
        numbers.extend(written);
        rows.clear();
        recordings.clear();
        let number = mirror(book, sheet, &one, by_key.get(&reversed).copied())?;
        by_key.insert(one.key, number);
        numbers.push(number);
    }
    numbers.extend(record_rows(book, sheet, &rows, &recordings)?);
    Ok(Done::of_entries(&numbers))
}

/// A line on an item's own stock account would leave the account worth more or less than the item's movements.
fn refuse_items(book: &Book, sheet: &Sheet, list: &[EntryRow]) -> Result<(), VerbError> {
    let items = items_of(book)?;
    let mut faults = Faults::new(&sheet.file);
    for one in list {
        for line in one.recording.entry.lines() {
            let kept = line.item.as_deref().and_then(|code| items.find(code));
            if let Some(item) = kept
                && book.chart().role(stock_role(item.kind)).ok() == Some(line.account)
            {
                faults.cell(
                    one.row,
                    "item",
                    format!(
                        "{} is kept in stock, and a sheet of entries moves none: bring it with purchases or movements, \
                         or leave the item out of this line",
                        item.code
                    ),
                );
            }
        }
    }
    Ok(faults.into_result(())?)
}

fn mirror(
    book: &mut Book,
    sheet: &Sheet,
    row: &EntryRow,
    reversed: Option<EntryNumber>,
) -> Result<EntryNumber, VerbError> {
    let fault = |message: String| {
        let mut faults = Faults::new(&sheet.file);
        faults.cell(row.row, "reverses", message);
        VerbError::from(faults)
    };
    let key = row.reverses.clone().unwrap_or_default();
    let Some(reversed) = reversed else {
        return Err(fault(format!(
            "there is no entry '{key}' above this row that could be taken back"
        )));
    };
    let header = &row.recording.entry.header;
    let original: PostedEntry = book.entry(reversed)?;
    let mirror = original.entry.reversal(header.date, header.memo.as_str());
    if mirror.lines() != row.recording.entry.lines() {
        return Err(fault(format!(
            "its lines are not the mirror of entry '{key}'"
        )));
    }
    book.reverse_alone(reversed, header.date, &header.memo)
        .map_err(|error| fault(error.to_string()))
}
