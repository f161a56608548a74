//! Receipts and proof: the papers in the book, each kept once, and what stands behind an entry.
//! Showing them is the window's business.

use rusqlite::{OptionalExtension, params};
use sha2::{Digest, Sha256};

use super::{Book, BookError};
use crate::dates::DateRange;
use crate::desk::ProofFile;
use crate::happenings::{Proof, ProofState};
use crate::ledger::EntryNumber;
use crate::money::Money;

/// The largest receipt a book takes, in bytes.
const LARGEST_RECEIPT: usize = 64 * 1024 * 1024;

/// A receipt's identity: the SHA-256 of its bytes in hexadecimal digits.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ReceiptId(pub String);

impl ReceiptId {
    /// The identity of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let digest = Sha256::digest(bytes);
        Self(digest.iter().map(|byte| format!("{byte:02x}")).collect())
    }
}

impl std::fmt::Display for ReceiptId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// A receipt as it is attached to an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Receipt {
    /// Its identity.
    pub id: ReceiptId,
    /// The name it was attached under.
    pub name: String,
    /// Its media type, as `image/png`.
    pub media_type: String,
    /// Its size in bytes.
    pub size: u64,
}

/// The media type that the first bytes show, or the name's ending suggests.
fn media_type(name: &str, bytes: &[u8]) -> &'static str {
    let starts: [(&[u8], &str); 6] = [
        (b"\x89PNG\r\n\x1a\n", "image/png"),
        (b"\xff\xd8\xff", "image/jpeg"),
        (b"%PDF-", "application/pdf"),
        (b"GIF8", "image/gif"),
        (b"II*\0", "image/tiff"),
        (b"MM\0*", "image/tiff"),
    ];
    if let Some((_start, found)) = starts.iter().find(|(start, _)| bytes.starts_with(start)) {
        return found;
    }
    let lower = name.to_lowercase();
    match lower.rsplit_once('.').map(|(_stem, ending)| ending) {
        Some("webp") => "image/webp",
        Some("txt") => "text/plain",
        Some("html" | "htm") => "text/html",
        Some("eml") => "message/rfc822",
        _ => "application/octet-stream",
    }
}

/// Refuses a file that is nothing, or too much.
fn refuse_receipt(name: &str, bytes: &[u8]) -> Result<(), BookError> {
    if bytes.is_empty() {
        return Err(BookError::refused(format!("the receipt '{name}' is empty")));
    }
    if bytes.len() > LARGEST_RECEIPT {
        return Err(BookError::refused(format!(
            "the receipt '{name}' is larger than {} megabytes",
            LARGEST_RECEIPT / (1024 * 1024)
        )));
    }
    Ok(())
}

impl Book {
    /// Attaches a receipt to an entry. The same bytes are kept once however often they are attached; an entry whose
    /// receipt was missing, or not asked for, is complete from then on.
    ///
    /// # Errors
    /// When there is no such entry, the receipt is empty or too large, or the entry has it already.
    pub fn attach_receipt(
        &mut self,
        number: EntryNumber,
        name: &str,
        bytes: &[u8],
    ) -> Result<ReceiptId, BookError> {
        let name = name.trim();
        refuse_receipt(name, bytes)?;
        self.refuse_no_entry(number)?;
        let id = ReceiptId::of(bytes);
        let label = format!("Receipt {name} attached to entry {number}");
        self.write(&label, |book| {
            book.note("attach", &format!("{label} ({id})"), "")?;
            book.put_receipt(&id, name, bytes)?;
            book.side(
                "INSERT INTO attachment (entry, receipt, name) VALUES (?1, ?2, ?3)",
                params![number.0, id.0, name],
            )?;
            let mut proof = book.proof(number)?;
            if matches!(proof.state, ProofState::Missing | ProofState::NotNeeded) {
                proof.state = ProofState::Complete;
                book.put_proof(number, &proof)?;
            }
            Ok(id.clone())
        })
    }

    /// Keeps the bytes of a receipt, once however often they are given.
    fn put_receipt(&self, id: &ReceiptId, name: &str, bytes: &[u8]) -> Result<(), BookError> {
        let is_kept = self
            .conn
            .prepare_cached("SELECT 1 FROM receipt WHERE hash = ?1")?
            .exists([&id.0])?;
        if !is_kept {
            self.conn.execute(
                "INSERT INTO receipt (hash, media_type, bytes) VALUES (?1, ?2, ?3)",
                params![id.0, media_type(name, bytes), bytes],
            )?;
        }
        Ok(())
    }

    /// Keeps a file among the receipts that proves something beside the entries; part of a larger write.
    pub(super) fn keep_receipt(&self, name: &str, bytes: &[u8]) -> Result<ProofFile, BookError> {
        let name = name.trim();
        refuse_receipt(name, bytes)?;
        let id = ReceiptId::of(bytes);
        self.put_receipt(&id, name, bytes)?;
        Ok(ProofFile {
            hash: id.0,
            name: name.to_owned(),
        })
    }

    /// Takes a receipt from an entry in an open period. When it was the last one, the entry's receipt is missing.
    ///
    /// # Errors
    /// When the entry does not have it, or lies in a locked period.
    pub fn detach(&mut self, number: EntryNumber, receipt: &ReceiptId) -> Result<(), BookError> {
        let date = self.entry(number)?.entry.header.date;
        if let Some(lock) = self.lock_date().filter(|lock| date <= *lock) {
            return Err(BookError::Locked { date, lock });
        }
        let label = format!("Receipt taken from entry {number}");
        self.write(&label, |book| {
            book.note("detach", &format!("{label} ({receipt})"), "")?;
            let changed = book.side(
                "DELETE FROM attachment WHERE entry = ?1 AND receipt = ?2",
                params![number.0, receipt.0],
            )?;
            if changed == 0 {
                return Err(BookError::NoSuch {
                    what: "receipt",
                    key: receipt.0.clone(),
                });
            }
            let mut proof = book.proof(number)?;
            if proof.state == ProofState::Complete && book.receipts(number)?.is_empty() {
                proof.state = ProofState::Missing;
                book.put_proof(number, &proof)?;
            }
            Ok(())
        })
    }

    /// Says what stands behind an entry.
    ///
    /// # Errors
    /// When there is no such entry.
    pub fn set_proof(&mut self, number: EntryNumber, proof: &Proof) -> Result<(), BookError> {
        self.refuse_no_entry(number)?;
        let label = format!("Proof of entry {number}: {}", proof.state.as_str());
        self.write(&label, |book| {
            let what = format!("{label}; {}; {}", proof.stands_in, proof.purpose);
            book.note("proof", &what, "")?;
            book.put_proof(number, proof)
        })
    }

    pub(super) fn put_proof(
        &mut self,
        number: EntryNumber,
        proof: &Proof,
    ) -> Result<(), BookError> {
        let values = params![
            number.0,
            proof.state.as_str(),
            proof.stands_in.trim(),
            proof.purpose.trim()
        ];
        self.side(
            "INSERT INTO proof (entry, state, stands_in, purpose) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT (entry) DO UPDATE
             SET state = excluded.state, stands_in = excluded.stands_in, purpose = excluded.purpose",
            values,
        )?;
        Ok(())
    }

    /// What stands behind an entry; nothing was asked for when nothing was said.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn proof(&self, number: EntryNumber) -> Result<Proof, BookError> {
        let found: Option<(String, String, String)> = self
            .conn
            .prepare_cached("SELECT state, stands_in, purpose FROM proof WHERE entry = ?1")?
            .query_row([number.0], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })
            .optional()?;
        let Some((state, stands_in, purpose)) = found else {
            return Ok(Proof::default());
        };
        let state = ProofState::ALL
            .into_iter()
            .find(|known| known.as_str() == state)
            .ok_or_else(|| BookError::damaged(format!("'{state}' is not a state of a receipt")))?;
        Ok(Proof {
            state,
            stands_in,
            purpose,
        })
    }

    /// The entries whose proof is in a state, in the order of their numbers.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entries_with_proof(&self, state: ProofState) -> Result<Vec<EntryNumber>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT entry FROM proof WHERE state = ?1 ORDER BY entry")?;
        let numbers = query
            .query_map([state.as_str()], |row| row.get(0).map(EntryNumber))?
            .collect::<Result<_, _>>()?;
        Ok(numbers)
    }

    /// The purchases above an amount whose business purpose was not said, in the order of their numbers.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entries_without_purpose(&self, above: Money) -> Result<Vec<EntryNumber>, BookError> {
        self.without_purpose("1", params![above.minor()])
    }

    /// As [`Book::entries_without_purpose`], of a range only.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entries_without_purpose_in(
        &self,
        above: Money,
        range: DateRange,
    ) -> Result<Vec<EntryNumber>, BookError> {
        let (from, to) = (range.from.to_string(), range.to.to_string());
        self.without_purpose("date BETWEEN ?2 AND ?3", params![above.minor(), from, to])
    }

    fn without_purpose(
        &self,
        days: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<EntryNumber>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT number FROM entry e
             WHERE {days} AND kind = 'purchase'
               AND (SELECT sum(max(amount, 0)) FROM line WHERE line.entry = e.number) > ?1
               AND NOT EXISTS (SELECT 1 FROM proof WHERE proof.entry = e.number AND purpose <> '')
               AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number)
             ORDER BY number"
        ))?;
        let numbers = query
            .query_map(params, |row| row.get(0).map(EntryNumber))?
            .collect::<Result<_, _>>()?;
        Ok(numbers)
    }

    /// The receipts attached to an entry, in the order they were attached.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn receipts(&self, number: EntryNumber) -> Result<Vec<Receipt>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT a.receipt, a.name, r.media_type, length(r.bytes)
             FROM attachment a JOIN receipt r ON r.hash = a.receipt WHERE a.entry = ?1 ORDER BY a.id",
        )?;
        let receipts = query
            .query_map([number.0], |row| {
                Ok(Receipt {
                    id: ReceiptId(row.get(0)?),
                    name: row.get(1)?,
                    media_type: row.get(2)?,
                    size: row.get(3)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(receipts)
    }

    /// Every attachment in the book: which entry has which receipt, in the order of the entries.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all_receipts(&self) -> Result<Vec<(EntryNumber, Receipt)>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT a.receipt, a.name, r.media_type, length(r.bytes), a.entry
             FROM attachment a JOIN receipt r ON r.hash = a.receipt ORDER BY a.entry, a.id",
        )?;
        let receipts = query
            .query_map([], |row| {
                let receipt = Receipt {
                    id: ReceiptId(row.get(0)?),
                    name: row.get(1)?,
                    media_type: row.get(2)?,
                    size: row.get(3)?,
                };
                Ok((EntryNumber(row.get(4)?), receipt))
            })?
            .collect::<Result<_, _>>()?;
        Ok(receipts)
    }

    /// The bytes of a receipt.
    ///
    /// # Errors
    /// When the book does not hold it, or its bytes are not what they were.
    pub fn receipt_bytes(&self, receipt: &ReceiptId) -> Result<Vec<u8>, BookError> {
        let bytes: Option<Vec<u8>> = self
            .conn
            .prepare_cached("SELECT bytes FROM receipt WHERE hash = ?1")?
            .query_row([&receipt.0], |row| row.get(0))
            .optional()?;
        let bytes = bytes.ok_or_else(|| BookError::NoSuch {
            what: "receipt",
            key: receipt.0.clone(),
        })?;
        if ReceiptId::of(&bytes) != *receipt {
            return Err(BookError::damaged(format!("receipt {receipt} was altered")));
        }
        Ok(bytes)
    }

    /// Drops receipts that nothing refers to any more; called when the book is closed, for until then undo may
    /// bring them back.
    pub(super) fn drop_loose_receipts(&self) -> Result<(), BookError> {
        self.conn.execute(
            "DELETE FROM receipt WHERE hash NOT IN (
               SELECT receipt FROM attachment
               UNION SELECT receipt FROM duty_done WHERE receipt IS NOT NULL
               UNION SELECT receipt FROM company_paper WHERE receipt IS NOT NULL)",
            [],
        )?;
        Ok(())
    }

    pub(super) fn refuse_no_entry(&self, number: EntryNumber) -> Result<(), BookError> {
        let is_there = self
            .conn
            .prepare_cached("SELECT 1 FROM entry WHERE number = ?1")?
            .exists([number.0])?;
        if is_there {
            Ok(())
        } else {
            Err(BookError::NoSuchEntry(number))
        }
    }
}
