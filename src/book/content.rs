//! An entry as one line of JSON: what its digest is taken over, and how the history keeps an earlier version.
//! Accounts stand by their identity, which never changes, for numbers and names may.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::borrow::Cow;

use super::BookError;
use crate::dates::parse_iso;
use crate::ledger::{AccountId, EntryHeader, EntryNumber, JournalEntry, Line};
use crate::money::{Money, Quantity};

#[derive(Serialize, Deserialize)]
struct EntryText<'a> {
    number: u64,
    date: String,
    kind: Cow<'a, str>,
    party: Cow<'a, str>,
    memo: Cow<'a, str>,
    reference: Cow<'a, str>,
    document: Cow<'a, str>,
    origin: String,
    tags: Cow<'a, [String]>,
    tax_by_channel: i64,
    reverses: Option<u64>,
    lines: Vec<LineText<'a>>,
}

#[derive(Serialize, Deserialize)]
struct LineText<'a> {
    account: i64,
    amount: i64,
    memo: Cow<'a, str>,
    equipment: Option<Cow<'a, str>>,
    item: Option<Cow<'a, str>>,
    quantity: Option<String>,
}

/// The entry as it is kept and sealed.
pub(super) fn text(
    number: EntryNumber,
    entry: &JournalEntry,
    reverses: Option<EntryNumber>,
) -> Result<String, BookError> {
    let header = &entry.header;
    let kept = EntryText {
        number: number.0,
        date: header.date.to_string(),
        kind: header.kind.as_str().into(),
        party: header.party.as_str().into(),
        memo: header.memo.as_str().into(),
        reference: header.reference.as_str().into(),
        document: header.document.as_str().into(),
        origin: header.origin.to_string(),
        tags: header.tags.as_slice().into(),
        tax_by_channel: header.tax_by_channel.minor(),
        reverses: reverses.map(|reversed| reversed.0),
        lines: entry
            .lines()
            .iter()
            .map(|line| LineText {
                account: line.account.0,
                amount: line.amount.minor(),
                memo: line.memo.as_str().into(),
                equipment: line.equipment.as_deref().map(Cow::from),
                item: line.item.as_deref().map(Cow::from),
                quantity: line.quantity.map(|quantity| quantity.to_string()),
            })
            .collect(),
    };
    serde_json::to_string(&kept).map_err(|error| BookError::Sql(error.to_string()))
}

/// The digest of an entry's text.
pub(super) fn digest(text: &str) -> [u8; 32] {
    Sha256::digest(text.as_bytes()).into()
}

/// The entry that a text of the history holds.
pub(super) fn read(text: &str) -> Result<JournalEntry, BookError> {
    let unreadable =
        |why: String| BookError::damaged(format!("an earlier version is unreadable: {why}"));
    let kept: EntryText<'_> =
        serde_json::from_str(text).map_err(|error| unreadable(error.to_string()))?;
    let date = parse_iso(&kept.date).map_err(|error| unreadable(error.to_string()))?;
    let mut header = EntryHeader::new(date, kept.kind.parse().map_err(unreadable)?);
    header.party = kept.party.into_owned();
    header.memo = kept.memo.into_owned();
    header.reference = kept.reference.into_owned();
    header.document = kept.document.into_owned();
    header.origin = kept.origin.parse().map_err(unreadable)?;
    header.tags = kept.tags.into_owned();
    header.tax_by_channel = Money::from_minor(kept.tax_by_channel);
    let mut lines = Vec::with_capacity(kept.lines.len());
    for line in kept.lines {
        let quantity = line
            .quantity
            .map(|text| text.parse::<Quantity>())
            .transpose();
        lines.push(Line {
            account: AccountId(line.account),
            amount: Money::from_minor(line.amount),
            memo: line.memo.into_owned(),
            equipment: line.equipment.map(Cow::into_owned),
            item: line.item.map(Cow::into_owned),
            quantity: quantity.map_err(|error| unreadable(error.to_string()))?,
        });
    }
    JournalEntry::new(header, lines).map_err(|error| unreadable(error.to_string()))
}
