//! Reading the statement lines still to be sorted a little at a time, so that a window never waits for many of them.
//! What a line means is `sorting`'s, accepting is `reports::sorting`'s.

use std::collections::{BTreeMap, HashMap, VecDeque};

use super::ReportError;
use super::sorting::{Tray, TrayRow, known};
use crate::book::Book;
use crate::ledger::{AccountId, Chart, EntryNumber};
use crate::sorting::{BankLine, Known, LedgerMovement, LineId, Suggester, match_lines};

/// So many numbers of lines are looked through at once.
const LINES_AT_ONCE: i64 = 500;
/// So many numbers of entries are looked through at once.
const ENTRIES_AT_ONCE: u64 = 1_000;

/// A tray while it is read. Once everything is read, [`TrayReading::finish`] works the suggestions out from values
/// alone, on any thread.
#[derive(Debug)]
pub struct TrayReading {
    account: Option<AccountId>,
    lines: Vec<BankLine>,
    after: LineId,
    stage: Stage,
    movements: BTreeMap<AccountId, Vec<LedgerMovement>>,
    known: Option<(Known, Chart)>,
}

#[derive(Debug)]
enum Stage {
    Lines,
    /// Accounts whose movements are still to be read, the first of them after this entry.
    Movements(VecDeque<AccountId>, EntryNumber),
    Known,
    Done,
}

impl TrayReading {
    /// Begins to read the lines of an account, or of all.
    #[must_use]
    pub const fn new(account: Option<AccountId>) -> Self {
        Self {
            account,
            lines: Vec::new(),
            after: LineId(0),
            stage: Stage::Lines,
            movements: BTreeMap::new(),
            known: None,
        }
    }

    /// How many lines to be sorted were found so far.
    #[must_use]
    pub fn n_lines(&self) -> usize {
        self.lines.len()
    }

    /// Reads a little more of a book that did not change meanwhile. Answers whether everything is read.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read_more(&mut self, book: &Book) -> Result<bool, ReportError> {
        match &mut self.stage {
            Stage::Lines => {
                let found = book.lines_to_sort_after(self.account, self.after, LINES_AT_ONCE)?;
                if let Some(found) = found {
                    self.lines.extend(found);
                    self.after.0 = self.after.0.saturating_add(LINES_AT_ONCE);
                } else {
                    self.lines.sort_by_key(|line| (line.date, line.id));
                    for line in &self.lines {
                        self.movements.entry(line.account).or_default();
                    }
                    let accounts: VecDeque<_> = self.movements.keys().copied().collect();
                    self.stage = if accounts.is_empty() {
                        Stage::Known
                    } else {
                        Stage::Movements(accounts, EntryNumber(0))
                    };
                }
            }
            Stage::Movements(accounts, after) => {
                let Some(account) = accounts.front().copied() else {
                    self.stage = Stage::Known;
                    return Ok(false);
                };
                let up_to = EntryNumber(after.0.saturating_add(ENTRIES_AT_ONCE));
                let found = book.movements_without_line_numbered(account, *after, up_to)?;
                self.movements.entry(account).or_default().extend(found);
                *after = up_to;
                if up_to.0 >= book.entry_count()? {
                    accounts.pop_front();
                    *after = EntryNumber(0);
                    if accounts.is_empty() {
                        self.stage = Stage::Known;
                    }
                }
            }
            Stage::Known => {
                let last = self.lines.last().map(|line| line.date);
                self.known = Some((known(book, last)?, book.chart().clone()));
                self.stage = Stage::Done;
            }
            Stage::Done => {}
        }
        Ok(matches!(self.stage, Stage::Done))
    }

    /// The tray, with a suggestion for each line.
    #[must_use]
    pub fn finish(self) -> Tray {
        let Some((known, chart)) = self.known else {
            return Tray::default();
        };
        let mut by_account: BTreeMap<AccountId, Vec<BankLine>> = BTreeMap::new();
        for line in &self.lines {
            by_account
                .entry(line.account)
                .or_default()
                .push(line.clone());
        }
        let mut matched = HashMap::new();
        let mut entries = HashMap::new();
        for (account, lines) in by_account {
            let mut movements = self.movements.get(&account).cloned().unwrap_or_default();
            movements.sort_by_key(|movement| (movement.date, movement.entry));
            let found = match_lines(&lines, &movements);
            let mut by_number: HashMap<EntryNumber, LedgerMovement> = movements
                .into_iter()
                .map(|movement| (movement.entry, movement))
                .collect();
            for (line, found) in lines.iter().zip(found) {
                let Some(found) = found else {
                    continue;
                };
                if let Some(movement) = by_number.remove(&found.entry) {
                    entries.insert(found.entry, movement);
                }
                matched.insert(line.id, found);
            }
        }
        let suggester = Suggester::new(&chart, known);
        let rows = self
            .lines
            .into_iter()
            .map(|line| TrayRow {
                suggestion: suggester.suggest(&line, matched.get(&line.id)),
                line,
            })
            .collect();
        let known = suggester.known();
        Tray {
            rows,
            rules: known.rules.clone(),
            entries,
            suppliers: known
                .suppliers
                .iter()
                .map(|(name, ..)| name.clone())
                .collect(),
        }
    }
}
