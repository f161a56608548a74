//! The statement files that were chosen, what was said of each, and how each is understood.
//! Files are looked at on threads; the page shows what is known so far.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, PoisonError};

use chrono::NaiveDate;

use super::bringing::{Done, ToBring, bring_on_a_thread};
use crate::app::action::BookJob;
use crate::app::widgets::{PathPicker, PathWanted};
use crate::bank::{BankLayout, ColumnRole};
use crate::book::{Book, BookError, StatementFile};
use crate::import::bank::{Answers, Look, known_layouts, look};
use crate::ledger::{AccountClass, AccountId};
use crate::money::Currency;
use crate::reports::has_statements;

/// How a file is understood, as far as it was looked at.
pub(super) enum Seen {
    /// Nothing is known yet.
    NotYet,
    /// A thread looks at it.
    Looking(Receiver<Result<Look, String>>),
    /// It is a statement.
    Statement(Box<Look>),
    /// It is none, or something in it is wrong.
    Wrong(String),
    /// It was brought in; what that did, in words.
    Brought(String),
}

/// A file that was chosen.
pub(super) struct ChosenFile {
    pub(super) path: PathBuf,
    pub(super) name: String,
    pub(super) account: Option<AccountId>,
    pub(super) answers: Answers,
    pub(super) seen: Seen,
    /// Whether its columns are shown, to be put right.
    pub(super) is_mending: bool,
}

impl ChosenFile {
    fn new(path: PathBuf) -> Self {
        let name = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default();
        Self {
            path,
            name,
            account: None,
            answers: Answers::default(),
            seen: Seen::NotYet,
            is_mending: false,
        }
    }

    /// Whether it can be brought in as it is understood.
    pub(super) fn is_ready(&self) -> bool {
        match &self.seen {
            Seen::Statement(look) => self.account.is_some() && look.questions.is_empty(),
            _ => false,
        }
    }

    /// Whether something must be said of it before it can be brought in.
    pub(super) fn asks(&self) -> bool {
        matches!(self.seen, Seen::Statement(_)) && !self.is_ready()
    }

    /// Something else was said of it: it is looked at anew.
    pub(super) fn told(&mut self) {
        self.seen = Seen::NotYet;
    }

    /// What the look at it found.
    fn looked_at(&self) -> Option<&Look> {
        match &self.seen {
            Seen::Statement(look) => Some(look),
            _ => None,
        }
    }

    /// Says what a column holds; what held that before, and what the column held, is let go.
    pub(super) fn say_column(&mut self, column: &str, role: Option<ColumnRole>) {
        let Seen::Statement(look) = &self.seen else {
            return;
        };
        let several = |role: ColumnRole| role == ColumnRole::Text;
        let mut columns: Vec<(ColumnRole, String)> = look
            .columns
            .iter()
            .filter(|other| other.name != column)
            .filter_map(|other| Some((other.role?, other.name.clone())))
            .filter(|(other, _name)| role.is_none_or(|role| *other != role || several(role)))
            .collect();
        if let Some(role) = role {
            columns.push((role, column.to_owned()));
        }
        self.answers.columns = columns;
        self.told();
    }
}

/// The page's files.
pub(super) struct StatementDraft {
    pub(super) picker: PathPicker,
    pub(super) files: Vec<ChosenFile>,
    /// Whether another file is being chosen.
    pub(super) is_choosing: bool,
    /// The file that is shown whole.
    pub(super) current: usize,
    /// The accounts that have statements.
    pub(super) accounts: Vec<(AccountId, String)>,
    /// How many lines are to be sorted.
    pub(super) n_to_sort: usize,
    owed_on: Vec<AccountId>,
    known: Vec<BankLayout>,
    brought: Vec<StatementFile>,
    currency: Option<Currency>,
    today: Option<NaiveDate>,
    /// What bringing did, by the place of each file; filled by the thread.
    done: Done,
    is_new: bool,
    /// Whether the page was drawn.
    pub(super) is_begun: bool,
}

impl Default for StatementDraft {
    fn default() -> Self {
        let home = directories::UserDirs::new();
        let start = home
            .as_ref()
            .map_or_else(|| Path::new("."), |dirs| dirs.home_dir());
        Self {
            picker: PathPicker::new(
                PathWanted::File(vec!["csv", "txt", "tsv", "ofx", "xml", "camt"]),
                start,
            )
            .with_keyboard(),
            files: Vec::new(),
            is_choosing: false,
            current: 0,
            accounts: Vec::new(),
            n_to_sort: 0,
            owed_on: Vec::new(),
            known: Vec::new(),
            brought: Vec::new(),
            currency: None,
            today: None,
            done: Arc::default(),
            is_new: false,
            is_begun: false,
        }
    }
}

impl StatementDraft {
    /// Adds files, and the files in folders; those that are there already are not added again.
    pub(super) fn add(&mut self, paths: Vec<PathBuf>) {
        for path in paths {
            for path in files_in(path) {
                let is_there = self.files.iter().any(|file| file.path == path);
                if !is_there && path.is_file() {
                    self.files.push(ChosenFile::new(path));
                    self.is_new = true;
                }
            }
        }
    }

    /// Reads what the book knows of statements, and what a bringing did.
    pub(super) fn read(&mut self, book: &Book, today: NaiveDate) -> Result<(), BookError> {
        self.is_new = false;
        let chart = book.chart();
        self.accounts = chart
            .accounts()
            .into_iter()
            .filter(|account| account.is_active && has_statements(account) && !account.is_channel())
            .map(|account| (account.id, account.name.clone()))
            .collect();
        self.owed_on = chart
            .of_class(AccountClass::Liability)
            .iter()
            .map(|account| account.id)
            .collect();
        self.known = known_layouts(book).unwrap_or_default();
        self.brought = book.statement_files()?;
        self.currency = Some(book.currency().clone());
        self.today = Some(today);
        self.n_to_sort = book.count_lines_to_sort(None)?.0;
        let mut done = self.done.lock().unwrap_or_else(PoisonError::into_inner);
        for (place, said) in done.drain(..) {
            if let Some(file) = self.files.get_mut(place) {
                file.seen = match said {
                    Ok(words) => Seen::Brought(words),
                    Err(words) => Seen::Wrong(words),
                };
            }
        }
        drop(done);
        self.go_on();
        Ok(())
    }

    pub(super) fn is_stale(&self) -> bool {
        self.is_new
    }

    /// Whether files are chosen that are not brought in.
    pub(super) fn is_waiting(&self) -> bool {
        self.files
            .iter()
            .any(|file| matches!(file.seen, Seen::Statement(_)))
    }

    /// Begins to look at files that were not looked at, and takes in what threads found.
    pub(super) fn take_looks(&mut self, ctx: &egui::Context) {
        let Some(currency) = self.currency.clone() else {
            return;
        };
        let mut is_settled = false;
        for file in &mut self.files {
            if let Seen::Looking(receiver) = &file.seen {
                match receiver.try_recv() {
                    Err(TryRecvError::Empty) => {}
                    Err(TryRecvError::Disconnected) => {
                        file.seen = Seen::Wrong(format!(
                            "{}: the program ran into a fault of its own while looking at it",
                            file.name
                        ));
                    }
                    Ok(Err(words)) => {
                        file.seen = Seen::Wrong(words);
                        is_settled = true;
                    }
                    Ok(Ok(look)) => {
                        if file.account.is_none() {
                            file.account =
                                guessed(&look, &self.brought, &self.known, &self.accounts);
                            // On a card the sign of the amounts may be another.
                            if file.account.is_some_and(|id| self.owed_on.contains(&id)) {
                                file.seen = Seen::NotYet;
                                continue;
                            }
                        }
                        file.seen = Seen::Statement(Box::new(look));
                        is_settled = true;
                    }
                }
            }
            if matches!(file.seen, Seen::NotYet) {
                let answers = Answers {
                    is_card: file.account.is_some_and(|id| self.owed_on.contains(&id)),
                    today: self.today,
                    ..file.answers.clone()
                };
                file.seen = looking(ctx, file, answers, self.known.clone(), currency.clone());
            }
        }
        if is_settled {
            self.go_on();
        }
    }

    /// The file that wants something is shown: the current one while it does, then one that asks, one that is wrong,
    /// one that is ready.
    fn go_on(&mut self) {
        let current = self.files.get(self.current);
        if current.is_some_and(ChosenFile::asks) {
            return;
        }
        let is_shown = |file: &ChosenFile| matches!(file.seen, Seen::Statement(_) | Seen::Wrong(_));
        let next = self.files.iter().position(ChosenFile::asks).or_else(|| {
            if current.is_some_and(is_shown) {
                return Some(self.current);
            }
            self.files.iter().position(is_shown)
        });
        self.current = next.unwrap_or(0);
    }

    /// Takes a file off the page.
    pub(super) fn drop_file(&mut self, place: usize) {
        if place < self.files.len() {
            self.files.remove(place);
        }
        self.current = self.current.min(self.files.len().saturating_sub(1));
        self.go_on();
    }

    /// How many files can be brought in, and how many ask something.
    pub(super) fn counts(&self) -> (usize, usize) {
        let ready = self.files.iter().filter(|file| file.is_ready());
        let asking = self.files.iter().filter(|file| file.asks());
        (ready.count(), asking.count())
    }

    /// The work that brings in every file that is ready.
    pub(super) fn bring(&self) -> BookJob {
        let list = self
            .files
            .iter()
            .enumerate()
            .filter(|(_place, file)| file.is_ready())
            .filter_map(|(place, file)| {
                Some(ToBring {
                    place,
                    account: file.account?,
                    path: file.path.clone(),
                    name: file.name.clone(),
                    answers: Answers {
                        today: self.today,
                        ..file.answers.clone()
                    },
                    seen: file.looked_at()?.clone(),
                })
            })
            .collect();
        bring_on_a_thread(list, Arc::clone(&self.done))
    }
}

/// A file, or the files in a folder by name.
fn files_in(path: PathBuf) -> Vec<PathBuf> {
    if !path.is_dir() {
        return vec![path];
    }
    let Ok(entries) = std::fs::read_dir(&path) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| {
            let name = path.file_name().map(|name| name.to_string_lossy());
            path.is_file() && name.is_some_and(|name| !name.starts_with('.'))
        })
        .collect();
    files.sort();
    files
}

/// The account that a statement is most likely of: the one whose earlier statements name the same account at the
/// bank, or the one that its layout is kept under.
fn guessed(
    look: &Look,
    brought: &[StatementFile],
    known: &[BankLayout],
    accounts: &[(AccountId, String)],
) -> Option<AccountId> {
    let named = look.head.account.as_deref().unwrap_or_default();
    let same = brought
        .iter()
        .find(|file| !named.is_empty() && file.bank_account == named);
    if let Some(file) = same {
        return Some(file.account);
    }
    let layout = look.recognised.as_ref()?;
    known.iter().find(|one| one.name == *layout)?;
    accounts
        .iter()
        .find(|(_id, name)| layout.to_lowercase().starts_with(&name.to_lowercase()))
        .map(|(id, _name)| *id)
}

/// Looks at a file on a thread of its own.
fn looking(
    ctx: &egui::Context,
    file: &ChosenFile,
    answers: Answers,
    known: Vec<BankLayout>,
    currency: Currency,
) -> Seen {
    let (sender, receiver) = channel();
    let (path, name, ctx) = (file.path.clone(), file.name.clone(), ctx.clone());
    let work = move || {
        let seen = File::open(&path)
            .map_err(|error| format!("{name}: it cannot be read: {error}"))
            .and_then(|mut source| {
                look(&mut source, &name, &known, &answers, &currency)
                    .map_err(|error| error.to_string())
            });
        // The page may be gone; then nobody waits for the answer.
        let _nobody_waits = sender.send(seen);
        ctx.request_repaint();
    };
    match std::thread::Builder::new()
        .name("looking at a statement".to_owned())
        .spawn(work)
    {
        Ok(_runs_by_itself) => Seen::Looking(receiver),
        Err(error) => Seen::Wrong(format!("the file could not be looked at: {error}")),
    }
}
