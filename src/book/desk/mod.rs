//! What is kept at the desk and never posted, in the file: questions, duties, papers, decisions, hours.
//! What each refuses is `crate::desk`'s.

mod duties;
mod hours;
mod papers;
mod questions;

use rusqlite::Row;

use super::BookError;
use crate::desk::ProofFile;

fn gone(what: &'static str, id: i64) -> BookError {
    BookError::NoSuch {
        what,
        key: id.to_string(),
    }
}

/// The proof in a column of hashes and the column of names after it.
fn proof_file(row: &Row<'_>, column: usize) -> Result<Option<ProofFile>, BookError> {
    let hash: Option<String> = row.get(column)?;
    let name = row.get(column + 1)?;
    Ok(hash.map(|hash| ProofFile { hash, name }))
}

/// The same on its way into the file.
fn proof_values(proof: Option<&ProofFile>) -> (Option<&str>, &str) {
    match proof {
        Some(proof) => (Some(&proof.hash), &proof.name),
        None => (None, ""),
    }
}
