//! What a first look at a statement file finds: its layout, its first lines, and what cannot be known without asking.
//! How each format is looked at is its own module's.

use std::collections::BTreeSet;
use std::fmt;

use chrono::NaiveDate;

use crate::bank::{
    BankLayout, ColumnRole, DateOrder, SignRule, StatementFormat, StatementHead, StatementLine,
};
use crate::word_list::word_list;

/// What the owner, or the command line, said about a file beforehand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answers {
    /// In which order days are written.
    pub dates: Option<DateOrder>,
    /// What the sign of the amounts means.
    pub sign: Option<SignRule>,
    /// Which columns hold what: roles with the names of columns as the header has them, or their places as `#3`.
    pub columns: Vec<(ColumnRole, String)>,
    /// What stands between cells.
    pub separator: Option<char>,
    /// The encoding's label after the WHATWG Encoding Standard, as `windows-1252`.
    pub encoding: Option<String>,
    /// The decimal mark.
    pub decimal_mark: Option<char>,
    /// The row of the header, the first being 1; 0 when the file has none.
    pub header_row: Option<u64>,
    /// The account, as the file names it, where a file holds several.
    pub statement_account: Option<String>,
    /// The name of a kept layout, or the name for a new one.
    pub layout: Option<String>,
    /// Whether the account is one on which money is owed, as a card.
    pub is_card: bool,
    /// The day of the reading: no line is dated more than a week later.
    pub today: Option<NaiveDate>,
}

word_list! {
    /// What cannot be known from a file.
    Asked, "a question about a statement":
    /// In which order days are written.
    Dates = "dates" / "In which order are days written?",
    /// What a positive amount means.
    Sign = "sign" / "Does a positive amount mean money in, or a charge?",
    /// Which column holds what.
    Columns = "columns" / "Which column holds what?",
    /// Whether a point or a comma is the decimal mark.
    Decimal = "decimal" / "Which is the decimal mark?",
    /// Which of several accounts in the file.
    Account = "statement-account" / "Which of the accounts in the file?",
    /// Which of several kept layouts.
    Layout = "layout" / "Which of the kept layouts?",
}

/// Something that cannot be known from a file, and the option that answers it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// What is asked.
    pub asked: Asked,
    /// Why it is asked, one sentence without a full stop.
    pub text: String,
    /// What can be answered.
    pub choices: Vec<String>,
    /// Cells that leave it open.
    pub examples: Vec<String>,
}

impl Question {
    /// The option of the command line that answers it, as `--dates dmy|mdy`.
    #[must_use]
    pub fn option(&self) -> String {
        let value = match self.asked {
            Asked::Columns => "\"date=...,amount=...,text=...\"".to_owned(),
            Asked::Account | Asked::Layout => self
                .choices
                .iter()
                .map(|choice| format!("\"{choice}\""))
                .collect::<Vec<String>>()
                .join("|"),
            _ => self.choices.join("|"),
        };
        format!("--{} {value}", self.asked.as_str())
    }
}

impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)?;
        if !self.examples.is_empty() {
            let examples: Vec<String> = self
                .examples
                .iter()
                .map(|cell| format!("'{}'", super::fault::shown(cell)))
                .collect();
            write!(f, " ({})", examples.join(", "))?;
        }
        write!(f, "; say {}", self.option())
    }
}

/// A column of a table as the preview shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PreviewColumn {
    /// Its name, as a layout and the answers name it.
    pub name: String,
    /// As the header has it; empty without a header.
    pub header: String,
    /// What it is taken for.
    pub role: Option<ColumnRole>,
}

/// What a look at a file found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// What the file is written in.
    pub format: StatementFormat,
    /// How its cells are laid out, for a table that needs no answer about its columns.
    pub layout: Option<BankLayout>,
    /// What the file says of itself so far: account, currency, days.
    pub head: StatementHead,
    /// The first lines as they are understood; of a file with open questions, as they would be taken.
    pub lines: Vec<StatementLine>,
    /// The columns of a table.
    pub columns: Vec<PreviewColumn>,
    /// The first rows of a table as they stand, with their numbers.
    pub rows: Vec<(u64, Vec<String>)>,
    /// What has to be answered before the file can be read.
    pub questions: Vec<Question>,
    /// The name of the kept layout that the file was recognised by.
    pub recognised: Option<String>,
    /// The accounts in the file, where it names more than one.
    pub accounts: Vec<String>,
    /// The SHA-256 of the file in hexadecimal, where the look was for a book; it tells whether the file changed since.
    pub(super) hash: String,
    pub(super) encoding: String,
    pub(super) header_row: u64,
    pub(super) account: Option<String>,
    pub(super) sign: SignRule,
    pub(super) withdrawn: BTreeSet<String>,
}

impl Look {
    /// How many first lines and rows a look keeps.
    pub const FIRST: usize = 20;

    pub(super) fn new(format: StatementFormat, encoding: &str) -> Self {
        Self {
            format,
            layout: None,
            head: StatementHead::new(format),
            lines: Vec::new(),
            columns: Vec::new(),
            rows: Vec::new(),
            questions: Vec::new(),
            recognised: None,
            accounts: Vec::new(),
            hash: String::new(),
            encoding: encoding.to_owned(),
            header_row: 0,
            account: None,
            sign: SignRule::AsWritten,
            withdrawn: BTreeSet::new(),
        }
    }
}
