//! Statement files of banks and cards made lines of one kind, whatever format, encoding and dialect they come in.
//! Files are looked at, then read a line at a time, and what cannot be known is asked; only `bringing` knows a book.

mod bringing;
mod camt;
mod columns;
pub(super) mod days;
pub(super) mod decoding;
mod evidence;
pub(super) mod fault;
pub(super) mod figures;
mod look;
mod ofx;
pub(super) mod records;
mod rows;
pub(super) mod separated;
mod several;
mod sign;
mod sniff;
mod tags;
mod whole;
mod words;

use std::io::{Read, Seek};

pub use bringing::{BANK_PURPOSE, BringError, Outcome, bring, bring_seen, known_layouts, look_for};
pub use decoding::Watched;
pub use fault::StatementError;
pub use look::{Answers, Asked, Look, PreviewColumn, Question};

use crate::bank::{BankLayout, StatementFormat, StatementHead, StatementLine};
use crate::money::Currency;
use fault::File;

/// Looks over a whole statement file: what it is, how it is laid out, its first lines, and what has to be asked.
/// Reads the source several times from its beginning and holds no more of it than a few hundred rows.
///
/// # Errors
/// When the file is no statement, is in another currency, holds something that cannot be, or an answer does not fit it.
pub fn look(
    source: &mut (impl Read + Seek),
    file: &str,
    known: &[BankLayout],
    answers: &Answers,
    currency: &Currency,
) -> Result<Look, StatementError> {
    let hash = bringing::hash_of(source, file)?;
    look_hashed(source, file, known, answers, currency, hash)
}

/// As [`look`], for a file whose hash is known.
fn look_hashed(
    source: &mut (impl Read + Seek),
    file: &str,
    known: &[BankLayout],
    answers: &Answers,
    currency: &Currency,
    hash: String,
) -> Result<Look, StatementError> {
    let file = File(file);
    let seen = match sniff::format(source, file)? {
        StatementFormat::Separated => separated::look(source, file, known, answers, currency),
        StatementFormat::Ofx => ofx::look(source, file, answers, currency),
        StatementFormat::Camt => camt::look(source, file, answers, currency),
    }?;
    Ok(Look { hash, ..seen })
}

/// Reads a file that has been looked at, a line at a time in the order of the file, and says what the statement says of
/// itself.
///
/// # Errors
/// When a question is open, a line is at fault, or `each` refuses one. What `each` has taken until then stands.
pub fn read<E: From<StatementError>>(
    source: &mut (impl Read + Seek),
    file: &str,
    look: &Look,
    currency: &Currency,
    each: &mut dyn FnMut(StatementLine) -> Result<(), E>,
) -> Result<StatementHead, E> {
    if let Some(question) = look.questions.first() {
        return Err(StatementError::Open {
            file: file.to_owned(),
            question: Box::new(question.clone()),
        }
        .into());
    }
    let file = File(file);
    match look.format {
        StatementFormat::Separated => separated::read(source, file, look, currency, each),
        StatementFormat::Ofx => ofx::read(source, file, look, currency, each),
        StatementFormat::Camt => camt::read(source, file, look, currency, each),
    }
}

/// Refuses a statement in another currency than the account's.
fn same_currency(
    named: Option<&str>,
    currency: &Currency,
    file: File<'_>,
) -> Result<(), StatementError> {
    match named {
        Some(code) if !code.eq_ignore_ascii_case(currency.code()) => Err(file.whole(format!(
            "the statement is in {}, the account is kept in {}",
            fault::shown(code),
            currency.code()
        ))),
        _ => Ok(()),
    }
}

fn account_question(accounts: &[String]) -> Question {
    Question {
        asked: Asked::Account,
        text: format!("the file holds statements of {} accounts", accounts.len()),
        choices: accounts.to_vec(),
        examples: Vec::new(),
    }
}

fn no_such_account(file: File<'_>, wanted: &str, accounts: &[String]) -> StatementError {
    file.whole(format!(
        "it holds no statement of '{}'; it has {}",
        fault::shown(wanted),
        accounts.join(", ")
    ))
}
