//! A sheet of journal entries, one row a line; rows of the same key are one entry.
//! Everything an entry carries can stand in it, so that a written-out book comes back the same.

use super::{Context, Faults, Row, Rows, Sheet};
use crate::happenings::{Proof, ProofState, Recording};
use crate::ledger::{EntryError, EntryHeader, EntryKind, JournalEntry, Line, Origin};
use crate::money::{Currency, Money};

/// An entry as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryRow {
    /// Its first row.
    pub row: u64,
    /// Its key in the sheet.
    pub key: String,
    /// What it leaves in the book.
    pub recording: Recording,
    /// The key of the entry it takes back.
    pub reverses: Option<String>,
}

/// The columns about the entry as a whole: given on its first row, the same or empty on the others.
const HEADER: [&str; 13] = [
    "date",
    "kind",
    "party",
    "memo",
    "reference",
    "document",
    "origin",
    "tags",
    "tax_by_channel",
    "proof",
    "stands_in",
    "purpose",
    "reverses",
];

/// Reads a sheet of entries.
///
/// # Errors
/// Every cell that cannot be, every entry that does not balance.
pub fn entries(sheet: &Sheet, context: Context<'_>) -> Result<Vec<EntryRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let common = rows.places(&HEADER);
    let mut list = Vec::new();
    for (key, places) in rows.groups("entry") {
        let found_before = rows.faults.list().len();
        let mut lines = Vec::new();
        let mut header = None;
        let first = places.first().copied().unwrap_or_default();
        for idx in &places {
            rows.same_as_first(first, *idx, &common);
            let Some(mut row) = rows.at(*idx) else {
                continue;
            };
            if *idx == first {
                header = header_of(&mut row, &sheet.file, context);
            }
            lines.extend(line_of(&mut row, context));
        }
        let Some((header, proof, reverses, number)) = header else {
            continue;
        };
        if rows.faults.list().len() > found_before {
            continue;
        }
        match JournalEntry::new(header, lines) {
            Ok(entry) => {
                let mut recording = Recording::new(entry);
                recording.proof = proof;
                list.push(EntryRow {
                    row: number,
                    key,
                    recording,
                    reverses,
                });
            }
            Err(error) => rows.faults.row(
                number,
                format!("entry {key}: {}", plain(&error, context.currency)),
            ),
        }
    }
    rows.faults.into_result(list)
}

/// What makes no entry, with its amounts as the sheet writes them.
fn plain(error: &EntryError, currency: &Currency) -> String {
    match error {
        EntryError::OutOfBalance { debits, credits } => format!(
            "does not balance: its debits are {}, its credits {}",
            currency.plain(*debits),
            currency.plain(*credits)
        ),
        other => other.to_string(),
    }
}

type Header = (EntryHeader, Proof, Option<String>, u64);

fn header_of(row: &mut Row<'_, '_>, file: &str, context: Context<'_>) -> Option<Header> {
    let date = context.open_day(row, "date");
    let kind = if row.has("kind") {
        row.may_value("kind")
    } else {
        Some(EntryKind::Manual)
    };
    let origin = if row.has("origin") {
        row.may_value("origin")
    } else {
        Some(Origin::Brought {
            file: file.to_owned(),
            row: row.number,
        })
    };
    let tax_by_channel = row.amount_or_nothing("tax_by_channel");
    let proof = proof_of(row);
    let mut header = EntryHeader::new(date?, kind?)
        .party(row.text("party"))
        .memo(row.text("memo"))
        .reference(row.text("reference"))
        .document(row.text("document"))
        .origin(origin?);
    header.tax_by_channel = tax_by_channel?;
    header.tags = row
        .text("tags")
        .split(';')
        .map(str::trim)
        .filter(|tag| !tag.is_empty())
        .map(str::to_owned)
        .collect();
    let reverses = Some(row.text("reverses"))
        .filter(|key| !key.is_empty())
        .map(str::to_owned);
    Some((header, proof?, reverses, row.number))
}

/// The proof that a row speaks of; a purpose or a stand-in may be given without a state.
pub(super) fn proof_of(row: &mut Row<'_, '_>) -> Option<Proof> {
    let text = row.text("proof");
    let state = if text.is_empty() {
        ProofState::default()
    } else {
        let known = ProofState::ALL
            .into_iter()
            .find(|state| state.as_str() == text);
        if known.is_none() {
            let words: Vec<&str> = ProofState::ALL.iter().map(|state| state.as_str()).collect();
            row.fault(
                "proof",
                format!(
                    "'{text}' is not a state of a receipt; use one of {}",
                    words.join(", ")
                ),
            );
        }
        known?
    };
    Some(Proof {
        state,
        stands_in: row.text("stands_in").to_owned(),
        purpose: row.text("purpose").to_owned(),
    })
}

fn line_of(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Line> {
    let account = row.account("account", context.chart);
    let debit = row.part("debit");
    let credit = row.part("credit");
    let quantity = row.quantity("quantity");
    let (account, debit, credit) = (account?, debit?, credit?);
    let amount = match (debit.is_zero(), credit.is_zero()) {
        (false, true) => debit,
        (true, false) => Money::ZERO - credit,
        (true, true) => {
            row.row_fault("the line needs an amount under debit or credit");
            return None;
        }
        (false, false) => {
            row.row_fault("the line has both a debit and a credit; make it two lines");
            return None;
        }
    };
    let some = |column| {
        Some(row.text(column))
            .filter(|text| !text.is_empty())
            .map(str::to_owned)
    };
    Some(Line {
        account,
        amount,
        memo: row.text("line_memo").to_owned(),
        equipment: some("equipment"),
        item: some("item"),
        quantity,
    })
}
