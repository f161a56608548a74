//! A statement file brought into a book: looked at, read once more, each of its lines once.
//! Reading a file is the other modules', keeping its lines is `book`'s.

use std::io::{Read, Seek, SeekFrom};
use std::sync::mpsc;

use chrono::NaiveDate;
use sha2::{Digest, Sha256};

use super::{Answers, Look, StatementError, look_hashed, read};
use crate::bank::{BankLayout, StatementFormat, StatementHead, StatementLine};
use crate::book::{Book, BookError, NewLine, NewStatement, StatementBrought};
use crate::dates::show_day;
use crate::ledger::{AccountClass, AccountId};
use crate::money::{Currency, Money};

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
/// As [`super::look`], or when the book cannot be read.
pub fn look_for(
    book: &Book,
    account: AccountId,
    source: &mut (impl Read + Seek),
    file: &str,
    answers: &Answers,
) -> Result<Look, BringError> {
    let hash = hash_of(source, file)?;
    look_at(book, account, source, file, answers, hash)
}

fn look_at(
    book: &Book,
    account: AccountId,
    source: &mut (impl Read + Seek),
    file: &str,
    answers: &Answers,
    hash: String,
) -> Result<Look, BringError> {
    let of = book.chart().account(account).map_err(BookError::from)?;
    let answers = Answers {
        is_card: of.class == AccountClass::Liability,
        ..answers.clone()
    };
    let known = known_layouts(book)?;
    Ok(look_hashed(
        source,
        file,
        &known,
        &answers,
        book.currency(),
        hash,
    )?)
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
    if !again {
        refuse_again(book, account, file, &hash)?;
    }
    let seen = look_at(book, account, source, file, answers, hash)?;
    bring_hashed(book, account, source, file, answers, &seen)
}

/// As [`bring`], for a file that was looked at before with the same answers: it is not gone through for what it is
/// once more, unless its bytes are others now.
///
/// # Errors
/// As [`bring`].
pub fn bring_seen(
    book: &mut Book,
    account: AccountId,
    source: &mut (impl Read + Seek),
    file: &str,
    answers: &Answers,
    seen: &Look,
) -> Result<Outcome, BringError> {
    let hash = hash_of(source, file)?;
    refuse_again(book, account, file, &hash)?;
    if seen.hash == hash {
        return bring_hashed(book, account, source, file, answers, seen);
    }
    let seen = look_at(book, account, source, file, answers, hash)?;
    bring_hashed(book, account, source, file, answers, &seen)
}

fn refuse_again(book: &Book, account: AccountId, file: &str, hash: &str) -> Result<(), BringError> {
    let Some(before) = book.statement_was_brought(account, hash)? else {
        return Ok(());
    };
    let day = before.at.split('T').next().unwrap_or(&before.at);
    let day = crate::dates::parse_iso(day).map_or_else(|_odd| day.to_owned(), show_day);
    Err(BringError::Again {
        name: file.to_owned(),
        before: before.name,
        day,
    })
}

/// How many lines go from the reading to the keeping at once.
const BATCH: usize = 512;

/// What the reading hands to the keeping.
enum Handed {
    Lines(Vec<StatementLine>),
    /// The end, with the balance it closes with.
    End(Option<(NaiveDate, Money)>),
}

/// Why lines were not kept.
enum NotKept {
    Book(BookError),
    /// The reading ended before the file did; it says why.
    Unread,
}

impl From<BookError> for NotKept {
    fn from(error: BookError) -> Self {
        Self::Book(error)
    }
}

fn bring_hashed(
    book: &mut Book,
    account: AccountId,
    source: &mut (impl Read + Seek),
    file: &str,
    answers: &Answers,
    seen: &Look,
) -> Result<Outcome, BringError> {
    let currency = book.currency().clone();
    let statement = NewStatement {
        account,
        name: file.to_owned(),
        hash: seen.hash.clone(),
        format: format_of(seen),
        bank_account: seen.head.account.clone().unwrap_or_default(),
    };
    let kept = layout_to_keep(book, account, seen, answers)?;
    book.group(&format!("Brought in {file}"), |book| {
        if let Some((name, content)) = &kept {
            book.keep_file_layout(name, BANK_PURPOSE, content)?;
        }
        let (brought, head) = read_and_keep(book, &statement, source, file, seen, &currency)?;
        Ok(Outcome {
            brought,
            head,
            kept_layout: kept.map(|(name, _content)| name),
            recognised: seen.recognised.clone(),
        })
    })
}

/// Reads a file here while its lines are kept on another thread, all of them or none.
fn read_and_keep(
    book: &mut Book,
    statement: &NewStatement,
    source: &mut (impl Read + Seek),
    file: &str,
    seen: &Look,
    currency: &Currency,
) -> Result<(StatementBrought, StatementHead), BringError> {
    let (hand, handed) = mpsc::sync_channel::<Handed>(8);
    std::thread::scope(|scope| {
        let keeping = scope.spawn(move || {
            book.bring_statement::<NotKept>(statement, |take| {
                for handed in handed {
                    match handed {
                        Handed::Lines(lines) => {
                            for line in &lines {
                                take(new_line(line))?;
                            }
                        }
                        Handed::End(closing) => return Ok(closing),
                    }
                }
                Err(NotKept::Unread)
            })
        });
        let mut lines = Vec::with_capacity(BATCH);
        let read = read::<ReadError>(source, file, seen, currency, &mut |line| {
            lines.push(line);
            if lines.len() < BATCH {
                return Ok(());
            }
            let full = std::mem::replace(&mut lines, Vec::with_capacity(BATCH));
            hand.send(Handed::Lines(full))
                .map_err(|_gone| ReadError::Refused)
        });
        if let Ok(head) = &read {
            // Whoever does not take them any more says why at its end.
            let _ = hand
                .send(Handed::Lines(lines))
                .and_then(|()| hand.send(Handed::End(head.closing)));
        }
        drop(hand);
        let kept = keeping
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        match (kept, read) {
            (Ok(brought), Ok(head)) => Ok((brought, head)),
            (Err(NotKept::Book(error)), _) => Err(error.into()),
            (_, Err(ReadError::Statement(error))) => Err(error.into()),
            (Err(NotKept::Unread), _) | (_, Err(ReadError::Refused)) => {
                Err(super::fault::File(file)
                    .whole("its reading was broken off")
                    .into())
            }
        }
    })
}

/// Why the reading ended before the file did.
enum ReadError {
    Statement(StatementError),
    /// The lines are not taken any more; whoever kept them says why.
    Refused,
}

impl From<StatementError> for ReadError {
    fn from(error: StatementError) -> Self {
        Self::Statement(error)
    }
}

fn new_line(line: &StatementLine) -> NewLine<'_> {
    NewLine {
        date: line.date,
        amount: line.amount,
        text: &line.text,
        bank_id: line.bank_id.as_deref(),
        balance: line.balance,
        row: line.row,
    }
}

/// The SHA-256 of the whole file in hexadecimal.
pub(super) fn hash_of(
    source: &mut (impl Read + Seek),
    file: &str,
) -> Result<String, StatementError> {
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
    let unnamed = |layout: &BankLayout| BankLayout {
        name: String::new(),
        encoding: String::new(),
        ..layout.clone()
    };
    // Another file of the same kind may have been brought in since this one was looked at.
    let is_kept = known.iter().any(|one| unnamed(one) == unnamed(layout));
    if answers.layout.is_none() && seen.recognised.is_none() && is_kept {
        return Ok(None);
    }
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
