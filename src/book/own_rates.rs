//! The owner's own files of rates, in the folder `rates` beside the book: read when they are asked for.
//! What they mean, and which of them are faulty, is `set_aside::rates`'.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use super::Book;
use crate::set_aside::Library;
use crate::set_aside::rates::OwnFile;

/// The folder's name.
const FOLDER: &str = "rates";

/// No published rates need more.
const LARGEST: u64 = 1_000_000;

/// The most files that are read.
const MOST_FILES: usize = 500;

/// The files as they were read last, with what they came to.
pub(super) type Kept = Option<(Vec<OwnFile>, Arc<Library>)>;

impl Book {
    /// All worksheets and rates: the program's, and the owner's own in place of those of the same name.
    /// A file that cannot be used is among the library's faults.
    #[must_use]
    pub fn rates(&self) -> Arc<Library> {
        let own = self
            .path()
            .parent()
            .map(|beside| own_files(&beside.join(FOLDER)))
            .unwrap_or_default();
        if own.is_empty() {
            return Library::shipped();
        }
        let mut kept = self.own_rates.borrow_mut();
        if let Some((files, library)) = kept.as_ref()
            && *files == own
        {
            return Arc::clone(library);
        }
        let library = Arc::new(Library::with(&own));
        *kept = Some((own, Arc::clone(&library)));
        library
    }
}

fn own_files(folder: &Path) -> Vec<OwnFile> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut files: Vec<OwnFile> = entries
        .flatten()
        .filter_map(|entry| Some((entry.path(), entry.file_name().into_string().ok()?)))
        .filter(|(_path, name)| name.ends_with(".toml"))
        .take(MOST_FILES)
        .map(|(path, name)| OwnFile {
            text: text_of(&path),
            name,
        })
        .collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    files
}

fn text_of(path: &Path) -> Result<String, String> {
    let about = fs::metadata(path).map_err(|error| format!("it cannot be read: {error}"))?;
    if !about.is_file() {
        return Err("it is no file".to_owned());
    }
    if about.len() > LARGEST {
        return Err("it is larger than any file of rates".to_owned());
    }
    fs::read_to_string(path).map_err(|error| format!("it cannot be read: {error}"))
}
