//! Questions for the accountant with the entry each is about, in words.

use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::desk::Question;
use crate::ledger::EntryNumber;

/// A question and what its entry says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuestionReport {
    /// The question.
    pub question: Question,
    /// Its entry in words: day, with whom, what, how much; empty when it is about none.
    pub about: String,
}

/// Every question in the order in which they were asked.
///
/// # Errors
/// When the book cannot be read.
pub fn questions(book: &Book) -> Result<Vec<QuestionReport>, BookError> {
    told(book, book.questions()?)
}

/// The questions about an entry, and those whose answer it applied.
///
/// # Errors
/// When the book cannot be read.
pub fn questions_of(book: &Book, entry: EntryNumber) -> Result<Vec<QuestionReport>, BookError> {
    let mut list = book.questions()?;
    list.retain(|question| {
        let applied_by = question.application.as_ref().and_then(|done| done.entry);
        question.entry == Some(entry) || applied_by == Some(entry)
    });
    told(book, list)
}

fn told(book: &Book, list: Vec<Question>) -> Result<Vec<QuestionReport>, BookError> {
    list.into_iter()
        .map(|question| {
            let about = match question.entry {
                Some(entry) => about(book, entry)?,
                None => String::new(),
            };
            Ok(QuestionReport { question, about })
        })
        .collect()
}

/// An entry in a few words.
fn about(book: &Book, number: EntryNumber) -> Result<String, BookError> {
    let posted = book.entry(number)?;
    let header = &posted.entry.header;
    let amount = book.currency().show(posted.entry.total());
    let parts = [
        show_day(header.date),
        header.party.clone(),
        header.memo.clone(),
        amount,
    ];
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    Ok(parts.join(", "))
}
