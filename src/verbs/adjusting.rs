//! Adjusting entries of a year: shown, and posted where the book can work them out.

use std::path::Path;

use super::outcome::{print, print_json};
use super::{VerbError, with_book};
use crate::book::Book;
use crate::export::{json, tables};
use crate::reports::{self, Proposed};

/// Shows what a year's end proposes and what is posted.
pub(super) fn show(book: &Book, ending: i32, as_json: bool) -> Result<(), VerbError> {
    let report = reports::adjusting(book, ending)?;
    let currency = book.currency();
    if as_json {
        return print_json(&json::adjusting(&report, currency));
    }
    let parts = [
        tables::adjusting_proposed(&report),
        tables::adjusting(&report),
    ];
    print(&parts.map(|table| table.text(currency)).join("\n"))
}

/// Posts what a year's end proposes, or one of it.
pub(super) fn adjust(
    path: &Path,
    ending: i32,
    only: Option<&str>,
    as_json: bool,
) -> Result<(), VerbError> {
    let only = only.map(named).transpose()?;
    let done = with_book(path, |book| {
        Ok(reports::post_adjusting(book, ending, only)?)
    })?;
    if as_json {
        return print_json(&json::adjusted(ending, &done));
    }
    if done.is_empty() {
        return print("Nothing of it can be posted.");
    }
    let sentences: Vec<String> = done
        .iter()
        .map(|(what, numbers)| {
            let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            let words = if numbers.len() == 1 {
                "entry"
            } else {
                "entries"
            };
            format!("{}: {words} {}.", what.plain(), numbers.join(", "))
        })
        .collect();
    print(&sentences.join("\n"))
}

fn named(text: &str) -> Result<Proposed, VerbError> {
    let posts = &Proposed::ALL[..5];
    let found = posts.iter().find(|one| one.as_str() == text.trim());
    found.copied().ok_or_else(|| {
        let known: Vec<&str> = posts.iter().map(|one| one.as_str()).collect();
        VerbError::Usage(format!("--only is one of {}", known.join(", ")))
    })
}
