//! A folder that appears whole or not at all: written under another name beside its place, then renamed.
//! What goes into it is for others.

use std::fs::{self, File};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::ExportError;

/// A folder being written. Dropped before [`FolderDraft::finish`], it leaves nothing behind.
#[derive(Debug)]
pub struct FolderDraft {
    target: PathBuf,
    draft: PathBuf,
    written: Vec<WrittenFile>,
    archive: Option<Archive>,
}

/// The same files as one archive beside the folder.
struct Archive {
    target: PathBuf,
    draft: PathBuf,
    /// The folder that the files lie in within the archive.
    within: String,
    writer: ZipWriter<File>,
}

impl std::fmt::Debug for Archive {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Archive")
            .field("target", &self.target)
            .finish_non_exhaustive()
    }
}

/// A file of the folder, for a list of what is in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenFile {
    /// Its name within the folder, with `/` between folders.
    pub name: String,
    /// How many bytes it has.
    pub bytes: usize,
    /// Its SHA-256 in hexadecimal.
    pub sha256: String,
}

impl FolderDraft {
    /// Begins a folder that is to appear at `target`, where nothing or an empty folder may be.
    ///
    /// # Errors
    /// When something is there, or the system refuses.
    pub fn begin(target: &Path) -> Result<Self, ExportError> {
        if target.exists() && !is_empty_folder(target) {
            return Err(ExportError::NotEmpty(target.to_owned()));
        }
        let name = target
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .ok_or_else(|| {
                ExportError::io(
                    target,
                    std::io::Error::other("it is no name for a new folder"),
                )
            })?;
        let parent = match target.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
            _ => PathBuf::from("."),
        };
        fs::create_dir_all(&parent).map_err(|error| ExportError::io(&parent, error))?;
        let draft = parent.join(format!(".{name}.unfinished-{}", std::process::id()));
        fs::create_dir(&draft).map_err(|error| ExportError::io(target, error))?;
        Ok(Self {
            target: target.to_owned(),
            draft,
            written: Vec::new(),
            archive: None,
        })
    }

    /// Writes the same files into an archive too, `NAME.zip` beside the folder. Both appear, or neither.
    ///
    /// # Errors
    /// When something is there already, or the system refuses.
    pub fn with_archive(mut self) -> Result<Self, ExportError> {
        let within = match self.target.file_name() {
            Some(name) => name.to_string_lossy().into_owned(),
            None => String::new(),
        };
        let target = archive_of(&self.target);
        if target.exists() {
            return Err(ExportError::Taken(target));
        }
        let draft = self.draft.with_extension("zip-unfinished");
        let file = File::create(&draft).map_err(|error| ExportError::io(&target, error))?;
        self.archive = Some(Archive {
            target,
            draft,
            within,
            writer: ZipWriter::new(file),
        });
        Ok(self)
    }

    /// Writes a file; `name` may have folders in it.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn file(&mut self, name: &str, bytes: &[u8]) -> Result<(), ExportError> {
        let path = self.draft.join(name);
        let refused = |error| ExportError::io(&self.target.join(name), error);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).map_err(refused)?;
        }
        fs::write(&path, bytes).map_err(refused)?;
        if let Some(archive) = &mut self.archive {
            archive.put(name, bytes)?;
        }
        self.written.push(WrittenFile {
            name: name.to_owned(),
            bytes: bytes.len(),
            sha256: hex(&Sha256::digest(bytes)),
        });
        Ok(())
    }

    /// What was written so far.
    #[must_use]
    pub fn written(&self) -> &[WrittenFile] {
        &self.written
    }

    /// Puts the folder in its place and returns what is in it.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn finish(mut self) -> Result<Vec<WrittenFile>, ExportError> {
        let refused = |error| ExportError::io(&self.target, error);
        let archive = self.archive.take().map(Archive::finish).transpose()?;
        if self.target.exists() {
            // Only an empty folder can be removed so; anything that came meanwhile is kept.
            fs::remove_dir(&self.target).map_err(refused)?;
        }
        if let Some((draft, target)) = &archive {
            fs::rename(draft, target).map_err(|error| ExportError::io(target, error))?;
        }
        if let Err(error) = fs::rename(&self.draft, &self.target) {
            if let Some((_draft, target)) = &archive {
                // Both or neither; what cannot be removed is told with the error.
                let _kept = fs::remove_file(target);
            }
            return Err(refused(error));
        }
        Ok(std::mem::take(&mut self.written))
    }
}

impl Archive {
    fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), ExportError> {
        // Pictures and pages are packed already. No clock stands in the archive: the same files give the same bytes.
        let is_packed = ["pdf", "png", "jpg", "jpeg", "xlsx"].iter().any(|end| {
            Path::new(name)
                .extension()
                .is_some_and(|known| known.eq_ignore_ascii_case(end))
        });
        let method = if is_packed {
            CompressionMethod::Stored
        } else {
            CompressionMethod::Deflated
        };
        let options = SimpleFileOptions::default()
            .compression_method(method)
            .last_modified_time(zip::DateTime::default())
            .unix_permissions(0o644);
        self.writer
            .start_file(format!("{}/{name}", self.within), options)
            .map_err(std::io::Error::from)
            .and_then(|()| self.writer.write_all(bytes))
            .map_err(|error| ExportError::io(&self.target, error))
    }

    /// Ends it; answers where it lies and where it is to be.
    fn finish(self) -> Result<(PathBuf, PathBuf), ExportError> {
        let written = self
            .writer
            .finish()
            .map_err(std::io::Error::from)
            .and_then(|file| file.sync_all());
        match written {
            Ok(()) => Ok((self.draft, self.target)),
            Err(error) => {
                let _kept = fs::remove_file(&self.draft);
                Err(ExportError::io(&self.target, error))
            }
        }
    }
}

impl Drop for FolderDraft {
    fn drop(&mut self) {
        if self.draft.exists() {
            // Nothing is lost when the system keeps it: its name says that it is unfinished.
            let _kept = fs::remove_dir_all(&self.draft);
        }
        if let Some(archive) = &self.archive {
            let _kept = fs::remove_file(&archive.draft);
        }
    }
}

/// Takes a folder that was just finished away again, with its archive, because what belongs to it could not be done.
pub(super) fn take_away(target: &Path) {
    // What cannot be removed is a whole folder; that it is unknown to its book is found when it is verified.
    let _kept = fs::remove_dir_all(target);
    let _kept = fs::remove_file(archive_of(target));
}

/// Where the archive of a folder lies: beside it.
fn archive_of(target: &Path) -> PathBuf {
    let within = target.file_name().map(|name| name.to_string_lossy());
    target.with_file_name(format!("{}.zip", within.unwrap_or_default()))
}

fn is_empty_folder(path: &Path) -> bool {
    fs::read_dir(path).is_ok_and(|mut entries| entries.next().is_none())
}

/// Bytes in hexadecimal.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A name that any file system takes, of any text.
#[must_use]
pub fn file_name(text: &str) -> String {
    let cleaned: String = text
        .chars()
        .map(|c| match c {
            '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|' => '-',
            c if c.is_control() => '-',
            c => c,
        })
        .collect();
    let trimmed = cleaned.trim().trim_matches('.').trim();
    let short: String = trimmed
        .chars()
        .rev()
        .take(100)
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
        .collect();
    if short.is_empty() {
        "receipt".to_owned()
    } else {
        short
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_appears_whole_or_not_at_all() {
        let place = tempfile::tempdir().expect("a folder");
        let target = place.path().join("deep/pack");
        let mut draft = FolderDraft::begin(&target).expect("begins");
        draft.file("receipts/a.txt", b"abc").expect("writes");
        drop(draft);
        assert!(!target.exists());
        assert_eq!(
            fs::read_dir(place.path().join("deep"))
                .expect("is there")
                .count(),
            0
        );
        let mut draft = FolderDraft::begin(&target).expect("begins");
        draft.file("receipts/a.txt", b"abc").expect("writes");
        let written = draft.finish().expect("finishes");
        // FIPS 180-2, appendix B.1: the digest of "abc".
        assert_eq!(
            written[0].sha256,
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert!(target.join("receipts/a.txt").exists());
        assert!(matches!(
            FolderDraft::begin(&target),
            Err(ExportError::NotEmpty(_))
        ));
    }

    #[test]
    fn any_text_becomes_a_file_name() {
        assert_eq!(file_name("../a/b:c"), "-a-b-c");
        assert_eq!(file_name(" .. "), "receipt");
    }
}
