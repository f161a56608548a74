//! A folder with a book in it and the program at hand.

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

/// A folder with a new book: US dollars, from 1 January 2026.
pub struct Desk {
    folder: tempfile::TempDir,
}

/// How a run ended.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Desk {
    pub fn new() -> Self {
        Self::since("2026-01-01")
    }

    /// A desk with a book that begins on this day.
    pub fn since(first_day: &str) -> Self {
        let desk = Self::empty();
        desk.ok(&[
            "new",
            "@book",
            "--currency",
            "USD",
            "--first-day",
            first_day,
        ]);
        desk
    }

    pub fn empty() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
        }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file into the folder.
    pub fn file(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().expect("has one")).expect("a folder");
        std::fs::write(path, content).expect("writes");
    }

    /// Runs the program; `@name` stands for a file in the folder, `@book` for the book.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        let arguments = arguments
            .iter()
            .map(|argument| match argument.strip_prefix('@') {
                Some("book") => self.path("book.deckle").display().to_string(),
                Some(name) => self.path(name).display().to_string(),
                None => (*argument).to_owned(),
            });
        let Output {
            status,
            stdout,
            stderr,
        } = Command::new(env!("CARGO_BIN_EXE_deckle"))
            .args(arguments)
            .env_remove("DISPLAY")
            .env_remove("WAYLAND_DISPLAY")
            .current_dir(self.folder.path())
            .output()
            .expect("runs");
        Ran {
            code: status.code().expect("ends by itself"),
            out: String::from_utf8(stdout).expect("UTF-8"),
            err: String::from_utf8(stderr).expect("UTF-8"),
        }
    }

    /// Runs what must succeed and returns what it printed.
    #[track_caller]
    pub fn ok(&self, arguments: &[&str]) -> String {
        let ran = self.run(arguments);
        assert_eq!(ran.code, 0, "{arguments:?}\n{}{}", ran.out, ran.err);
        assert_eq!(ran.err, "", "{arguments:?}");
        ran.out
    }

    /// Runs what must be refused with this code, leaving the book as it was, and returns its lines of error.
    #[track_caller]
    pub fn refused(&self, code: i32, arguments: &[&str]) -> Vec<String> {
        let book = self.path("book.deckle");
        let before = std::fs::read(&book).ok();
        let ran = self.run(arguments);
        assert_eq!(ran.code, code, "{arguments:?}\n{}{}", ran.out, ran.err);
        assert_eq!(ran.out, "", "{arguments:?}");
        assert!(
            before == std::fs::read(&book).ok(),
            "{arguments:?} changed the book"
        );
        let lines: Vec<String> = ran.err.lines().map(str::to_owned).collect();
        assert!(!lines.is_empty(), "{arguments:?} said nothing");
        lines
            .into_iter()
            .map(|line| {
                line.strip_prefix("deckle: ")
                    .unwrap_or_else(|| panic!("a line of error begins with the name: {line}"))
                    .to_owned()
            })
            .collect()
    }

    /// Writes a sheet and brings it.
    #[track_caller]
    pub fn bring(&self, kind: &str, sheet: &str) -> String {
        let name = format!("{kind}.csv");
        self.file(&name, sheet);
        self.ok(&["bring", "@book", kind, &format!("@{name}")])
    }

    /// Writes a sheet whose bringing must be refused.
    #[track_caller]
    pub fn bring_refused(&self, kind: &str, sheet: impl AsRef<[u8]>) -> Vec<String> {
        let name = format!("{kind}.csv");
        self.file(&name, sheet);
        self.refused(1, &["bring", "@book", kind, &format!("@{name}")])
    }

    /// A figure as JSON.
    #[track_caller]
    pub fn json(&self, arguments: &[&str]) -> Value {
        let mut all = vec!["show", "@book"];
        all.extend(arguments);
        all.push("--json");
        serde_json::from_str(&self.ok(&all)).expect("JSON")
    }

    /// What stands on an account at the end of 2026, debits less credits.
    #[track_caller]
    pub fn balance(&self, account: &str) -> String {
        let ledger = self.json(&[
            "ledger",
            "--account",
            account,
            "--from",
            "2026-01-01",
            "--to",
            "2026-12-31",
        ]);
        ledger["closing"].as_str().expect("an amount").to_owned()
    }

    /// Holds balances against accounts.
    #[track_caller]
    pub fn balances(&self, expected: &[(&str, &str)]) {
        for (account, amount) in expected {
            assert_eq!(self.balance(account), *amount, "account {account}");
        }
    }
}
