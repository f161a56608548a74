//! Where a table begins and which column holds what: by the words of its header, by its cells, by what was answered.
//! How days and amounts are written is `evidence`'s.

use std::collections::{BTreeMap, BTreeSet};

use super::days::day;
use super::figures::figure;
use super::records::Record;
use super::words::{Said, words};
use crate::bank::{BankLayout, ColumnRole, column_names, header_word};

/// The columns of a table, by place.
#[derive(Clone, Debug, Default)]
pub(super) struct Shape {
    /// The row of the header; without one, the row before the first line.
    pub(super) header_row: u64,
    pub(super) has_header: bool,
    /// The header's cells as they stand.
    pub(super) headers: Vec<String>,
    pub(super) names: Vec<String>,
    /// How many cells a row may fill.
    pub(super) width: usize,
    pub(super) roles: BTreeMap<ColumnRole, Vec<usize>>,
}

impl Shape {
    pub(super) fn first(&self, role: ColumnRole) -> Option<usize> {
        self.roles
            .get(&role)
            .and_then(|places| places.first())
            .copied()
    }

    pub(super) fn all(&self, role: ColumnRole) -> &[usize] {
        self.roles.get(&role).map_or(&[], Vec::as_slice)
    }

    pub(super) fn role_of(&self, place: usize) -> Option<ColumnRole> {
        self.roles
            .iter()
            .find(|(_role, places)| places.contains(&place))
            .map(|(role, _places)| *role)
    }

    /// A column as messages name it.
    pub(super) fn column(&self, place: usize) -> String {
        match self.headers.get(place).map(|header| header.trim()) {
            Some(header) if !header.is_empty() => super::fault::shown(header),
            _ => format!("#{}", place + 1),
        }
    }

    /// Whether days and amounts have a column.
    pub(super) fn is_complete(&self) -> bool {
        self.first(ColumnRole::Date).is_some() && self.has_amount()
    }

    fn has_amount(&self) -> bool {
        [ColumnRole::Amount, ColumnRole::Debit, ColumnRole::Credit]
            .into_iter()
            .any(|role| self.first(role).is_some())
    }

    fn is_free(&self, place: usize) -> bool {
        self.role_of(place).is_none()
    }

    /// The names of the columns by role, as a layout keeps them.
    pub(super) fn by_name(&self) -> BTreeMap<ColumnRole, Vec<String>> {
        self.roles
            .iter()
            .map(|(role, places)| {
                (
                    *role,
                    places.iter().map(|place| self.name(*place)).collect(),
                )
            })
            .collect()
    }

    pub(super) fn name(&self, place: usize) -> String {
        self.names
            .get(place)
            .cloned()
            .unwrap_or_else(|| format!("#{}", place + 1))
    }

    /// The place of a column that an answer or a layout names.
    fn place(&self, name: &str) -> Option<usize> {
        let word = header_word(name);
        self.headers
            .iter()
            .position(|header| header.trim() == name.trim())
            .or_else(|| {
                self.names
                    .iter()
                    .position(|known| known == name || *known == word)
            })
            .or_else(|| {
                let number: usize = name.trim().strip_prefix('#')?.parse().ok()?;
                (1..=self.width).contains(&number).then(|| number - 1)
            })
    }

    /// The columns of a kept layout.
    pub(super) fn with_layout(mut self, layout: &BankLayout) -> Self {
        self.roles.clear();
        for (role, names) in &layout.columns {
            let places: Vec<usize> = names.iter().filter_map(|name| self.place(name)).collect();
            if !places.is_empty() {
                self.roles.insert(*role, places);
            }
        }
        self
    }

    /// Puts columns where an answer says they are.
    ///
    /// # Errors
    /// What is wrong with the answer, in words.
    pub(super) fn with_answers(mut self, answers: &[(ColumnRole, String)]) -> Result<Self, String> {
        for (idx, (role, name)) in answers.iter().enumerate() {
            let Some(place) = self.place(name) else {
                let known: Vec<String> = (0..self.width).map(|place| self.column(place)).collect();
                return Err(format!(
                    "there is no column '{name}'; the file has {}",
                    known.join(", ")
                ));
            };
            let is_first = !answers
                .iter()
                .take(idx)
                .any(|(earlier, _name)| earlier == role);
            if is_first {
                self.roles.remove(role);
            }
            for places in self.roles.values_mut() {
                places.retain(|taken| *taken != place);
            }
            self.roles.entry(*role).or_default().push(place);
        }
        let said = |role: ColumnRole| answers.iter().any(|(answered, _name)| *answered == role);
        if said(ColumnRole::Amount) && !said(ColumnRole::Debit) && !said(ColumnRole::Credit) {
            self.roles.remove(&ColumnRole::Debit);
            self.roles.remove(&ColumnRole::Credit);
        }
        if !said(ColumnRole::Amount) && (said(ColumnRole::Debit) || said(ColumnRole::Credit)) {
            self.roles.remove(&ColumnRole::Amount);
        }
        self.roles.retain(|_role, places| !places.is_empty());
        Ok(self)
    }
}

/// Whether a row holds a day and, in another cell, a number.
pub(super) fn is_line(record: &Record) -> bool {
    let cells = record.cells();
    let Some(date) = cells.iter().position(|cell| day(cell).is_possible()) else {
        return false;
    };
    cells
        .iter()
        .enumerate()
        .any(|(idx, cell)| idx != date && figure(cell).is_some() && !is_key(cell))
}

/// Whether a cell is digits that nobody would take for an amount: a long key, a padded one.
fn is_key(cell: &str) -> bool {
    let cell = cell.trim();
    cell.bytes().all(|byte| byte.is_ascii_digit())
        && (cell.len() > 9 || (cell.len() > 1 && cell.starts_with('0')))
}

/// Whether a row's words name a day and an amount.
fn is_header(record: &Record) -> bool {
    let mut has_day = false;
    let mut has_amount = false;
    for cell in record.cells() {
        if day(cell).is_possible() {
            return false;
        }
        match words().said(cell) {
            Some((Said::Role(ColumnRole::Date) | Said::ValueDate, _rank)) => has_day = true,
            Some((
                Said::Role(ColumnRole::Amount | ColumnRole::Debit | ColumnRole::Credit),
                _rank,
            )) => has_amount = true,
            _ => {}
        }
    }
    has_day && has_amount
}

/// Lines, headers and cells, compared in this order.
pub(super) type Likeness = (usize, usize, usize);

/// How much a cut into rows looks like a table: lines with a day and a number, then words of a header, then cells.
pub(super) fn likeness(sample: &[Record]) -> Likeness {
    let lines = sample.iter().filter(|record| is_line(record)).count();
    let headers = sample.iter().filter(|record| is_header(record)).count();
    let cells = sample.iter().map(Record::filled).max().unwrap_or_default();
    (lines, headers, if lines + headers == 0 { 0 } else { cells })
}

/// Finds the header and the columns of a table in its first rows.
/// `header_row` is the row that was answered, 0 for none at all.
pub(super) fn shape(sample: &[Record], header_row: Option<u64>) -> Shape {
    let first_line = sample.iter().position(is_line);
    let header = match header_row {
        Some(0) => None,
        Some(row) => sample.iter().position(|record| record.row == row),
        None => sample
            .iter()
            .position(is_header)
            .or_else(|| unknown_header(sample, first_line?)),
    };
    let mut shape = Shape::default();
    if let Some(header) = header.and_then(|idx| sample.get(idx)) {
        shape.has_header = true;
        shape.header_row = header.row;
        shape.headers = header.cells().iter().map(ToString::to_string).collect();
        shape.names = column_names(&header.cells());
        shape.width = header.len();
    } else if let Some(first) = first_line.and_then(|idx| sample.get(idx)) {
        shape.header_row = first.row - 1;
    }
    let lines: Vec<&Record> = sample
        .iter()
        .filter(|record| record.row > shape.header_row && is_line(record))
        .collect();
    if !shape.has_header {
        shape.width = lines
            .iter()
            .map(|record| record.len())
            .max()
            .unwrap_or_default();
    }
    by_words(&mut shape, &lines);
    by_cells(&mut shape, &lines);
    shape
}

/// A row of words just above the first line, none of which is known.
fn unknown_header(sample: &[Record], first_line: usize) -> Option<usize> {
    let idx = (0..first_line).rev().find(|idx| !sample[*idx].is_blank())?;
    let cells = sample[idx].cells();
    let is_words = cells.iter().all(|cell| {
        figure(cell).is_none() && !day(cell).is_written() && !words().speaks_of_summary(cell)
    });
    let filled = sample[idx].filled();
    let is_as_wide = filled >= 2 && filled + 1 >= sample[first_line].filled();
    (is_words && is_as_wide).then_some(idx)
}

fn by_words(shape: &mut Shape, lines: &[&Record]) {
    let said: Vec<Option<(Said, usize)>> = shape
        .headers
        .iter()
        .map(|header| words().said(header))
        .collect();
    let mut best: BTreeMap<ColumnRole, Vec<(usize, usize)>> = BTreeMap::new();
    for (place, said) in said.iter().enumerate() {
        match said {
            Some((Said::Role(ColumnRole::Text), _rank)) => {
                shape.roles.entry(ColumnRole::Text).or_default().push(place);
            }
            Some((Said::Role(role), rank)) => best.entry(*role).or_default().push((*rank, place)),
            Some((Said::ValueDate, rank)) => best
                .entry(ColumnRole::Date)
                .or_default()
                .push((rank + 10_000, place)),
            Some((Said::Other, _)) | None => {}
        }
    }
    for (role, mut candidates) in best {
        candidates.retain(|(_rank, place)| fits(role, *place, lines));
        candidates.sort_unstable();
        let Some((rank, place)) = candidates.first().copied() else {
            continue;
        };
        // Two columns that are equally an amount and do not say the same are left for the owner.
        let is_torn = matches!(
            role,
            ColumnRole::Amount | ColumnRole::Debit | ColumnRole::Credit
        ) && candidates.iter().skip(1).any(|(other_rank, other)| {
            (*other_rank == rank || role == ColumnRole::Amount && other_rank / 1000 == rank / 1000)
                && lines
                    .iter()
                    .any(|line| line.cell(*other).trim() != line.cell(place).trim())
        });
        if !is_torn {
            shape.roles.insert(role, vec![place]);
        }
    }
    // A column of amounts that is always filled goes before columns for either side, and the other way round.
    if let (Some(amount), Some(debit), Some(credit)) = (
        shape.first(ColumnRole::Amount),
        shape.first(ColumnRole::Debit),
        shape.first(ColumnRole::Credit),
    ) {
        let is_filled = lines.iter().all(|line| figure(line.cell(amount)).is_some());
        let has_sides = lines
            .iter()
            .all(|line| figure(line.cell(debit)).is_some() != figure(line.cell(credit)).is_some());
        if is_filled && !has_sides {
            shape.roles.remove(&ColumnRole::Debit);
            shape.roles.remove(&ColumnRole::Credit);
        } else {
            shape.roles.remove(&ColumnRole::Amount);
        }
    } else if shape.first(ColumnRole::Amount).is_some() {
        shape.roles.remove(&ColumnRole::Debit);
        shape.roles.remove(&ColumnRole::Credit);
    }
}

/// How many accounts of the owner's one file may tell apart; a column with more names the other parties'.
const MOST_OWN_ACCOUNTS: usize = 8;

/// Whether a column's cells can be what its header says: most of those that hold something; for an account, all of them
/// and few different.
fn fits(role: ColumnRole, place: usize, lines: &[&Record]) -> bool {
    if role == ColumnRole::Account {
        let named: BTreeSet<&str> = lines.iter().map(|line| line.cell(place).trim()).collect();
        return !named.contains("") && named.len() <= MOST_OWN_ACCOUNTS;
    }
    let is_such = |cell: &str| match role {
        ColumnRole::Date => day(cell).is_written(),
        ColumnRole::Amount | ColumnRole::Debit | ColumnRole::Credit | ColumnRole::Balance => {
            figure(cell).is_some()
        }
        ColumnRole::Mark => words().mark(cell).is_some(),
        ColumnRole::Currency => is_code(cell),
        _ => true,
    };
    let (mut such, mut filled) = (0, 0);
    for line in lines {
        let cell = line.cell(place);
        if !cell.trim().is_empty() {
            filled += 1;
            such += usize::from(is_such(cell));
        }
    }
    such * 2 >= filled
}

fn is_code(cell: &str) -> bool {
    let cell = cell.trim();
    cell.len() == 3 && cell.bytes().all(|byte| byte.is_ascii_alphabetic())
}

/// What the header did not say, by what the cells are.
fn by_cells(shape: &mut Shape, lines: &[&Record]) {
    if lines.is_empty() {
        return;
    }
    let words_say_other: Vec<bool> = (0..shape.width)
        .map(|place| {
            let said = shape
                .headers
                .get(place)
                .and_then(|header| words().said(header));
            matches!(said, Some((Said::Other, _rank)))
        })
        .collect();
    let free: Vec<usize> = (0..shape.width)
        .filter(|place| shape.is_free(*place) && !words_say_other[*place])
        .collect();
    if shape.first(ColumnRole::Date).is_none() {
        let days: Vec<usize> = free
            .iter()
            .copied()
            .filter(|place| {
                lines
                    .iter()
                    .all(|line| day(line.cell(*place)).is_possible())
            })
            .collect();
        let is_same = days.iter().all(|place| {
            lines
                .iter()
                .all(|line| day(line.cell(*place)) == day(line.cell(days[0])))
        });
        if let Some(first) = days.first().filter(|_| is_same) {
            shape.roles.insert(ColumnRole::Date, vec![*first]);
        }
    }
    if !shape.has_amount() && !shape.headers.iter().any(|header| says_amount(header)) {
        amounts_by_cells(shape, lines, &free);
    }
    mark_by_cells(shape, lines);
    if shape.first(ColumnRole::Text).is_none() {
        let texts: Vec<usize> = free
            .into_iter()
            .filter(|place| {
                shape.is_free(*place)
                    && lines.iter().any(|line| {
                        let cell = line.cell(*place);
                        cell.chars().any(char::is_alphabetic)
                            && !is_code(cell)
                            && !day(cell).is_written()
                            && figure(cell).is_none()
                    })
            })
            .collect();
        if !texts.is_empty() {
            shape.roles.insert(ColumnRole::Text, texts);
        }
    }
}

fn says_amount(header: &str) -> bool {
    matches!(
        words().said(header),
        Some((
            Said::Role(ColumnRole::Amount | ColumnRole::Debit | ColumnRole::Credit),
            _
        ))
    )
}

/// One column of numbers is the amount; of two, the one that makes the other a running balance is.
fn amounts_by_cells(shape: &mut Shape, lines: &[&Record], free: &[usize]) {
    let numbers: Vec<usize> = free
        .iter()
        .copied()
        .filter(|place| {
            shape.is_free(*place)
                && lines.iter().all(|line| {
                    let cell = line.cell(*place);
                    figure(cell).is_some() && !is_key(cell) && !day(cell).is_possible()
                })
        })
        .collect();
    match numbers.as_slice() {
        [only] => {
            shape.roles.insert(ColumnRole::Amount, vec![*only]);
        }
        [one, two] => {
            let (one_moves_two, two_moves_one) = (runs(lines, *one, *two), runs(lines, *two, *one));
            let (amount, balance) = match (one_moves_two, two_moves_one) {
                (true, false) => (*one, *two),
                (false, true) => (*two, *one),
                _ => return,
            };
            shape.roles.insert(ColumnRole::Amount, vec![amount]);
            shape.roles.insert(ColumnRole::Balance, vec![balance]);
        }
        _ => {}
    }
}

/// Whether one column's amounts make the other a running balance, in either direction of the file and of the sign.
fn runs(lines: &[&Record], amount: usize, balance: usize) -> bool {
    use super::evidence::Running;
    if lines.len() < 3 {
        return false;
    }
    // The number of decimals does not matter here, only that all have the same.
    let Ok(currency) = crate::money::Currency::from_code("KWD") else {
        return false;
    };
    ['.', ','].into_iter().any(|mark| {
        let mut running = Running::default();
        lines.iter().all(|line| {
            let value = |place: usize| {
                figure(line.cell(place)).and_then(|figure| figure.value(mark, &currency).ok())
            };
            match (value(amount), value(balance)) {
                (Some(amount), Some(balance)) => {
                    running.add(amount, Some(balance), line.row);
                    true
                }
                _ => false,
            }
        }) && running.proven().is_some()
    })
}

/// A column of marks beside amounts that are never negative.
fn mark_by_cells(shape: &mut Shape, lines: &[&Record]) {
    let Some(amount) = shape.first(ColumnRole::Amount) else {
        return;
    };
    if shape.first(ColumnRole::Mark).is_some()
        || lines
            .iter()
            .filter_map(|line| figure(line.cell(amount)))
            .any(|figure| figure.is_negative || figure.side.is_some())
    {
        return;
    }
    let mark = (0..shape.width).find(|place| {
        matches!(shape.role_of(*place), None | Some(ColumnRole::Text))
            && lines
                .iter()
                .all(|line| words().mark(line.cell(*place)).is_some())
    });
    if let Some(mark) = mark {
        for places in shape.roles.values_mut() {
            places.retain(|place| *place != mark);
        }
        shape.roles.retain(|_role, places| !places.is_empty());
        shape.roles.insert(ColumnRole::Mark, vec![mark]);
    }
}
