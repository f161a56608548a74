//! Bringing statements in with the book lent to a thread: how far it is, and what each file did.
//! Reading a file and keeping its lines is `import::bank`'s.

use std::fs::File;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use crate::app::action::{BookJob, Progress};
use crate::book::Book;
use crate::export::counted;
use crate::import::bank::{
    Answers, BringError, Look, Outcome, StatementError, Watched, bring_seen,
};
use crate::ledger::AccountId;

/// So often a file is gone through: its hash and the reading.
const PASSES: u64 = 2;

/// A file to be brought in.
pub(super) struct ToBring {
    pub(super) place: usize,
    pub(super) account: AccountId,
    pub(super) path: PathBuf,
    pub(super) name: String,
    pub(super) answers: Answers,
    /// What the look at it found, with these answers.
    pub(super) seen: Look,
}

/// What became of each file, by its place on the page.
pub(super) type Done = Arc<Mutex<Vec<(usize, Result<String, String>)>>>;

/// The work that brings these files in, each whole or not at all.
pub(super) fn bring_on_a_thread(list: Vec<ToBring>, done: Done) -> BookJob {
    BookJob {
        title: "Bringing statements in".to_owned(),
        work: Box::new(move |book, progress| bring_all(book, progress, list, &done)),
    }
}

fn bring_all(
    book: &mut Book,
    progress: &Progress,
    list: Vec<ToBring>,
    done: &Done,
) -> Result<String, String> {
    let sizes: Vec<u64> = list
        .iter()
        .map(|one| std::fs::metadata(&one.path).map_or(1, |data| data.len().max(1)))
        .collect();
    let whole: u64 = sizes.iter().map(|size| size * PASSES).sum();
    let (mut before, mut n_new, mut n_known) = (0_u64, 0, 0);
    let mut wrong = Vec::new();
    for (one, size) in list.into_iter().zip(sizes) {
        let watch = &mut |read: u64| {
            let so_far = before + read.min(size * PASSES);
            progress.tell(kilobytes(so_far), kilobytes(whole))
        };
        let said = File::open(&one.path)
            .map_err(|error| format!("{}: it cannot be read: {error}", one.name))
            .and_then(|file| {
                let mut source = Watched::new(file, watch);
                bring_seen(
                    book,
                    one.account,
                    &mut source,
                    &one.name,
                    &one.answers,
                    &one.seen,
                )
                .map_err(|error| stopped_or(&error))
            });
        before += size * PASSES;
        let is_stopped = matches!(&said, Err(words) if words == STOPPED);
        let words = match said {
            Ok(outcome) => {
                n_new += outcome.brought.n_new;
                n_known += outcome.brought.n_lines - outcome.brought.n_new;
                Ok(words_of(&outcome))
            }
            Err(words) => {
                wrong.push(words.clone());
                Err(words)
            }
        };
        if is_stopped {
            return Err(STOPPED.to_owned());
        }
        let mut done = done.lock().unwrap_or_else(PoisonError::into_inner);
        done.push((one.place, words));
    }
    match wrong.first() {
        Some(words) => Err(words.clone()),
        None => Ok(match n_known {
            0 => format!("{} brought in", counted(n_new, "new line", "new lines")),
            _ => format!(
                "{} brought in; {} were in the book already",
                counted(n_new, "new line", "new lines"),
                n_known
            ),
        }),
    }
}

const STOPPED: &str = "Stopped; the file that was being read left nothing in the book";

fn stopped_or(error: &BringError) -> String {
    match error {
        BringError::Statement(StatementError::Stopped) => STOPPED.to_owned(),
        other => other.to_string(),
    }
}

fn kilobytes(bytes: u64) -> usize {
    usize::try_from(bytes / 1024 + 1).unwrap_or(usize::MAX)
}

/// What a file did, in words.
fn words_of(outcome: &Outcome) -> String {
    let brought = outcome.brought;
    let mut words = match (brought.n_new, brought.n_lines - brought.n_new) {
        (0, 0) => "no line in it moves money".to_owned(),
        (0, _) => "every line of it was in the book already".to_owned(),
        (new, 0) => format!("{} brought in", counted(new, "new line", "new lines")),
        (new, known) => format!(
            "{} brought in, {known} were in the book already",
            counted(new, "new line", "new lines")
        ),
    };
    if let Some(layout) = &outcome.kept_layout {
        words.push_str(&format!("; how it is laid out is kept as '{layout}'"));
    }
    words
}
