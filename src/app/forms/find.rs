//! Finding a sale or purchase in the book to go on from: the list of what was found, and an entry in a few words.
//! What is looked for is each form's question; looking it up is `facts`'.

use egui::Ui;

use super::facts::Facts;
use crate::app::widgets::{Field, filter_list, soft};
use crate::dates::show_day;
use crate::ledger::{EntryKind, EntryNumber, PostedEntry};

/// The field to search with, and beneath it what was found, the newest first; answers what was taken of it.
pub fn find_ui(
    ui: &mut Ui,
    field: Field<'_>,
    search: &mut String,
    facts: &Facts,
) -> Option<EntryNumber> {
    let rows: Vec<(String, String)> = facts
        .asked
        .found
        .iter()
        .map(|posted| (entry_words(posted), entry_described(posted, facts)))
        .collect();
    let (_, taken) = filter_list(ui, field, search, &rows);
    if rows.is_empty() && !search.trim().is_empty() {
        soft(ui, "Nothing like it is in the book.");
    }
    taken
        .and_then(|row| facts.asked.found.get(row))
        .map(|posted| posted.number)
}

/// What an entry was, for choosing among several.
#[must_use]
pub fn entry_words(posted: &PostedEntry) -> String {
    let header = &posted.entry.header;
    let what = posted
        .entry
        .lines()
        .iter()
        // What was sold is credited; a discount or a fee beside it is not its name.
        .filter(|line| header.kind != EntryKind::Sale || line.amount.is_negative())
        .map(|line| line.memo.trim())
        .find(|memo| !memo.is_empty() && !memo.ends_with("fee"))
        .unwrap_or(header.memo.trim());
    let number = header.reference.trim();
    match (number.is_empty(), what.is_empty()) {
        (true, true) => header.party.clone(),
        (true, false) => what.to_owned(),
        (false, true) => number.to_owned(),
        (false, false) => format!("{number}, {what}"),
    }
}

/// When it was, with whom and how much.
#[must_use]
pub fn entry_described(posted: &PostedEntry, facts: &Facts) -> String {
    let header = &posted.entry.header;
    format!(
        "{} {} {}",
        show_day(header.date),
        header.party.trim(),
        facts.show(posted.entry.named_amount())
    )
}
