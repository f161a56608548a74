//! A statement file brought into a book: looked at, read once more, each of its lines once.
//! Reading a file is the other modules', keeping its lines is `book`'s.

use std::io::{Read, Seek, SeekFrom};

use sha2::{Digest, Sha256};

use super::{Answers, Look, StatementError, look, read};
use crate::bank::{BankLayout, StatementFormat, StatementHead};
use crate::book::{Book, BookError, NewLine, NewStatement, StatementBrought};
use crate::dates::show_day;
use crate::ledger::{AccountClass, AccountId};

/// What a layout of statement files is kept for.
pub const BANK_PURPOSE: &str = "bank";

/// Why a statement could not be brought in. The book is as it was.
#[derive(Debug, thiserror::Error)]
pub enum BringError {
    /// The file is no statement, is wrong, or leaves something open.
    #[error(transparent)]
    Statement(#[from] StatementError),
    /// The book refuses.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The same file was brought in before.
    #[error(
        "{name}: the same file was brought in on {day} as {before}; nothing was changed (--again looks through it once more)"
    )]
    Again {
        /// The file's name.
        name: String,
        /// The name it had then.
        before: String,
        /// The day.
        day: String,
    },
    /// A layout kept in the book cannot be read.
    #[error("the layout '{name}' kept in the book cannot be read: {why}")]
    Layout {
        /// Its name.
        name: String,
        /// Why.
        why: String,
    },
}

/// What a statement left in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// How many lines it had and how many were new.
    pub brought: StatementBrought,
    /// What it says of itself.
    pub head: StatementHead,
    /// The name under which its layout is kept from now on, where it is new or changed.
    pub kept_layout: Option<String>,
    /// The name of the kept layout that it was recognised by.
    pub recognised: Option<String>,
}

/// The layouts of statement files that the book keeps.
///
/// # Errors
/// When the book cannot be read, or a layout kept in it is not as this version writes it.
pub fn known_layouts(book: &Book) -> Result<Vec<BankLayout>, BringError> {
    book.file_layouts(BANK_PURPOSE)?
        .into_iter()
        .map(|kept| {
            serde_json::from_str(&kept.content)
                .map(|layout| BankLayout {
                    name: kept.name.clone(),
                    ..layout
                })
                .map_err(|error| BringError::Layout {
                    name: kept.name.clone(),
                    why: error.to_string(),
                })
        })
        .collect()
}

/// Looks a statement over for an account of the book, with the layouts the book keeps; the book stays as it is.
///
/// # Errors
/// As [`look`], or when the book cannot be read.
pub fn look_for(
    book: &Book,
    account: AccountId,
    source: &mut (impl Read + Seek),
    file: &str,
    answers: &Answers,
) -> Result<Look, BringError> {
    let of = book.chart().account(account).map_err(BookError::from)?;
    let answers = Answers {
        is_card: of.class == AccountClass::Liability,
        ..answers.clone()
    };
    let known = known_layouts(book)?;
    Ok(look(source, file, &known, &answers, book.currency())?)
}

/// Brings a statement in as a whole or not at all. A layout that is new, or was corrected by the answers, is kept
/// under the name among the answers, or else under the account's.
///
/// # Errors
/// When the same file came before and `again` does not say to look once more, the file cannot be read or leaves
/// something open, it is of another account, or the book refuses.
pub fn bring(
    book: &mut Book,
    account: AccountId,
    source: &mut (impl Read + Seek),
    file: &str,
    answers: &Answers,
    again: bool,
) -> Result<Outcome, BringError> {
    let hash = hash_of(source, file)?;
    if !again && let Some(before) = book.statement_was_brought(account, &hash)? {
        let day = before.at.split('T').next().unwrap_or(&before.at);
        let day = crate::dates::parse_iso(day).map_or_else(|_odd| day.to_owned(), show_day);
        return Err(BringError::Again {
            name: file.to_owned(),
            before: before.name,
            day,
        });
    }
    let seen = look_for(book, account, source, file, answers)?;
    let currency = book.currency().clone();
    let statement = NewStatement {
        account,
        name: file.to_owned(),
        hash,
        format: format_of(&seen),
        bank_account: seen.head.account.clone().unwrap_or_default(),
    };
    let kept = layout_to_keep(book, account, &seen, answers)?;
    book.group(&format!("Brought in {file}"), |book| {
        if let Some((name, content)) = &kept {
            book.keep_file_layout(name, BANK_PURPOSE, content)?;
        }
        let mut head = None;
        let brought = book.bring_statement::<BringError>(&statement, |take| {
            let said = read::<BringError>(source, file, &seen, &currency, &mut |line| {
                take(NewLine {
                    date: line.date,
                    amount: line.amount,
                    text: &line.text,
                    bank_id: line.bank_id.as_deref(),
                    balance: line.balance,
                    row: line.row,
                })
            })?;
            let closing = said.closing;
            head = Some(said);
            Ok(closing)
        })?;
        Ok(Outcome {
            brought,
            head: head.unwrap_or_else(|| StatementHead::new(seen.format)),
            kept_layout: kept.map(|(name, _content)| name),
            recognised: seen.recognised.clone(),
        })
    })
}

/// The SHA-256 of the whole file in hexadecimal.
fn hash_of(source: &mut (impl Read + Seek), file: &str) -> Result<String, StatementError> {
    let unreadable = |error: std::io::Error| super::fault::File(file).reading(&error);
    source.seek(SeekFrom::Start(0)).map_err(unreadable)?;
    let mut hasher = Sha256::new();
    let mut buffer = vec![0; 256 * 1024];
    loop {
        let n = source.read(&mut buffer).map_err(unreadable)?;
        if n == 0 {
            break;
        }
        hasher.update(&buffer[..n]);
    }
    Ok(hasher
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

/// What a file is written in; tables with different headers count as different formats, for their words differ.
fn format_of(seen: &Look) -> String {
    let word = seen.format.as_str();
    match (&seen.layout, seen.format) {
        (Some(layout), StatementFormat::Separated) => {
            let header = Sha256::digest(layout.header.join("\n").as_bytes());
            format!("{word} {:02x}{:02x}", header[0], header[1])
        }
        _ => word.to_owned(),
    }
}

/// The layout that is kept with a file, by name: one that is not kept yet, or one that the answers changed.
fn layout_to_keep(
    book: &Book,
    account: AccountId,
    seen: &Look,
    answers: &Answers,
) -> Result<Option<(String, String)>, BringError> {
    let Some(layout) = seen
        .layout
        .as_ref()
        .filter(|layout| !layout.header.is_empty())
    else {
        return Ok(None);
    };
    let known = known_layouts(book)?;
    let named = |name: &str| known.iter().find(|one| one.name.eq_ignore_ascii_case(name));
    let name = match (&answers.layout, &seen.recognised) {
        (Some(name), _) | (None, Some(name)) => name.clone(),
        (None, None) => {
            let title = &book.chart().account(account).map_err(BookError::from)?.name;
            let mut name = title.clone();
            let mut n = 2;
            while named(&name).is_some() {
                name = format!("{title} {n}");
                n += 1;
            }
            name
        }
    };
    let layout = BankLayout {
        name: name.clone(),
        ..layout.clone()
    };
    if named(&name) == Some(&layout) {
        return Ok(None);
    }
    let content = serde_json::to_string(&layout).map_err(|error| BringError::Layout {
        name: name.clone(),
        why: error.to_string(),
    })?;
    Ok(Some((name, content)))
}
