//! Holding a pack against its own list of files, and against a book: whether not a byte of either was altered.
//! It changes nothing.

use std::collections::BTreeSet;
use std::path::Path;

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::manifest::{MANIFEST, Manifest};
use crate::book::Book;
use crate::dates::{DateRange, show_day};
use crate::export::folder::hex;
use crate::export::{ExportError, counted};

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Verified {
    /// How many files the list names.
    pub files: usize,
    /// What is as it was, a sentence each.
    pub proven: Vec<String>,
    /// What is not as it was, a sentence each; nothing when all holds.
    pub faults: Vec<String>,
}

/// Holds the pack in a folder against its list, and against a book where one is given.
///
/// # Errors
/// When the folder has no list that can be read, or the book cannot be read at all.
pub fn verify(folder: &Path, book: Option<&Book>) -> Result<Verified, ExportError> {
    let path = folder.join(MANIFEST);
    let bytes = std::fs::read(&path).map_err(|error| {
        ExportError::Figures(format!(
            "{} cannot be read ({error}): this is no year-end pack, or its list of files is gone",
            path.display()
        ))
    })?;
    let manifest: Manifest = serde_json::from_slice(&bytes).map_err(|error| {
        ExportError::Figures(format!("{} was altered: {error}", path.display()))
    })?;
    let mut found = Verified {
        files: manifest.files.len(),
        proven: Vec::new(),
        faults: Vec::new(),
    };
    if manifest.sealed()? != manifest.seal || manifest.bytes()? != bytes {
        found
            .faults
            .push(format!("{MANIFEST} was altered: its seal does not hold"));
    }
    let n_before = found.faults.len();
    files(folder, &manifest, &mut found)?;
    if found.faults.len() == n_before {
        found.proven.push(format!(
            "{} as they were written",
            counted(manifest.files.len(), "file is", "files are")
        ));
    }
    if let Some(book) = book {
        belongs(book, &manifest, &mut found)?;
    }
    Ok(found)
}

fn files(folder: &Path, manifest: &Manifest, found: &mut Verified) -> Result<(), ExportError> {
    let mut listed = BTreeSet::from([MANIFEST.to_owned()]);
    for file in &manifest.files {
        listed.insert(file.file.clone());
        match std::fs::read(folder.join(&file.file)) {
            Err(error) => found
                .faults
                .push(format!("{} cannot be read: {error}", file.file)),
            Ok(bytes) if hex(&Sha256::digest(&bytes)) != file.sha256 => {
                found.faults.push(format!("{} was altered", file.file));
            }
            Ok(_) => {}
        }
    }
    for name in names_in(folder, "")? {
        if !listed.contains(&name) {
            found
                .faults
                .push(format!("{name} is in the folder and not in the list"));
        }
    }
    Ok(())
}

/// The names of all files in a folder, with `/` between folders.
fn names_in(folder: &Path, within: &str) -> Result<Vec<String>, ExportError> {
    let refused = |error| ExportError::io(folder, error);
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(refused)? {
        let entry = entry.map_err(refused)?;
        let name = format!("{within}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            names.extend(names_in(&entry.path(), &format!("{name}/"))?);
        } else {
            names.push(name);
        }
    }
    names.sort();
    Ok(names)
}

/// Whether the pack was made from this book, and what became of the book since.
fn belongs(book: &Book, manifest: &Manifest, found: &mut Verified) -> Result<(), ExportError> {
    let faults = book.check()?;
    if faults.is_empty() {
        found
            .proven
            .push("the book's entries, sums, receipts and history are sound".to_owned());
    }
    found
        .faults
        .extend(faults.iter().map(|fault| format!("the book: {fault}")));
    let state = &manifest.book;
    let is_joined = book
        .head_hash(state.history_row)?
        .is_some_and(|hash| hex(&hash) == state.history_head);
    if !is_joined {
        found.faults.push(format!(
            "row {} of the book's history is not the one that the pack was made from: they do not belong together",
            state.history_row
        ));
        return Ok(());
    }
    found.proven.push(format!(
        "the pack joins on to row {} of the book's history",
        state.history_row
    ));
    let Some(days) = DateRange::new(manifest.from, manifest.to) else {
        found
            .faults
            .push("the pack's year ends before it begins".to_owned());
        return Ok(());
    };
    if !book
        .packs(days)?
        .iter()
        .any(|pack| pack.seal == manifest.seal)
    {
        found.faults.push(format!(
            "the book does not know of this pack of {}: it was made from a copy, or its list was altered",
            show_day(manifest.made_on)
        ));
    }
    let head = book.head()?;
    if head.seq == state.history_row {
        let now = book.table_digests()?;
        let mut differing: Vec<&str> = Vec::new();
        for (table, digest) in &state.tables {
            if now.get(table) != Some(digest) {
                differing.push(table);
            }
        }
        if differing.is_empty() {
            found
                .proven
                .push("every row of the book is as it was when the pack was made".to_owned());
        } else {
            found.faults.push(format!(
                "rows of the book were altered by another program: {}",
                differing.join(", ")
            ));
        }
    } else {
        found.proven.push(format!(
            "the book went on since: {} of its history came after the pack; a new pack says what changed",
            counted(
                usize::try_from(head.seq - state.history_row).unwrap_or_default(),
                "row",
                "rows"
            )
        ));
    }
    Ok(())
}
