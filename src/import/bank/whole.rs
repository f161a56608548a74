//! What all rows of a table say together: their days, amounts and signs, the accounts they name, what was passed over.
//! What follows from it is `separated`'s.

use std::collections::BTreeSet;

use super::StatementError;
use super::evidence::{Dates, Decimals, MARKS, Running, Signs};
use super::records::{Record, Records};
use super::rows::{Raw, RawAmount, Rows, Sifted};
use super::words::words;
use crate::bank::{ColumnRole, DateOrder};
use crate::money::Money;

/// How many accounts of one file are told apart.
const MOST_ACCOUNTS: usize = 200;

/// What was answered or kept, and is not to be found out.
#[derive(Clone, Copy)]
pub(super) struct Fixed {
    pub(super) dates: Option<DateOrder>,
    pub(super) decimal_mark: Option<char>,
    /// Whether the words beside amounts are to be asked on which side they put them. It takes as long as the rest.
    pub(super) asks_words: bool,
}

/// What all rows of a file say together.
pub(super) struct Whole {
    pub(super) lines: u64,
    pub(super) dates: Dates,
    pub(super) decimals: Decimals,
    pub(super) signs: [Signs; 2],
    pub(super) running: [Running; 2],
    pub(super) accounts: BTreeSet<String>,
    pub(super) passed_over: Vec<u64>,
    pub(super) passed_over_count: u64,
    pub(super) names_currency: bool,
    /// Whether a balance has a side beside it instead of a sign.
    pub(super) marks_balances: bool,
    asks_words: bool,
}

/// Goes through all rows.
///
/// # Errors
/// When one of them is at fault.
pub(super) fn gather<R: std::io::BufRead>(
    mut records: Records<'_, R>,
    rows: &Rows<'_>,
    fixed: &Fixed,
) -> Result<Whole, StatementError> {
    let mut whole = Whole {
        lines: 0,
        dates: Dates::new(fixed.dates),
        decimals: Decimals::new(fixed.decimal_mark),
        signs: Default::default(),
        running: Default::default(),
        accounts: BTreeSet::new(),
        passed_over: Vec::new(),
        passed_over_count: 0,
        names_currency: rows.shape.first(ColumnRole::Currency).is_some(),
        marks_balances: false,
        asks_words: fixed.asks_words,
    };
    let account = rows.shape.first(ColumnRole::Account);
    let mut record = Record::default();
    while records.read(&mut record)? {
        if let Some(place) = account
            && record.row > rows.shape.header_row
            && super::days::day(record.cell(rows.shape.first(ColumnRole::Date).unwrap_or_default()))
                .is_written()
        {
            let cell = record.cell(place).trim();
            if !whole.accounts.contains(cell) {
                if whole.accounts.len() == MOST_ACCOUNTS {
                    return Err(rows.file.row(
                        record.row,
                        format!("the file holds more than {MOST_ACCOUNTS} accounts"),
                    ));
                }
                whole.accounts.insert(cell.to_owned());
            }
        }
        match rows.sift(&record)? {
            Sifted::Nothing => {}
            Sifted::PassedOver => {
                whole.passed_over_count += 1;
                if whole.passed_over.len() < 10 {
                    whole.passed_over.push(record.row);
                }
            }
            Sifted::Line(raw) => whole.add(&record, &raw, rows)?,
        }
    }
    Ok(whole)
}

impl Whole {
    fn add(
        &mut self,
        record: &Record,
        raw: &Raw<'_>,
        rows: &Rows<'_>,
    ) -> Result<(), StatementError> {
        self.lines += 1;
        let date_place = rows.shape.first(ColumnRole::Date).unwrap_or_default();
        let cell = record.cell(date_place);
        if !self.dates.add(cell, raw.day) {
            return Err(rows.file.cell(
                record.row,
                &rows.shape.column(date_place),
                format!(
                    "'{}' is no day in the order in which the others are written",
                    super::fault::shown(cell)
                ),
            ));
        }
        let mut read = |role: ColumnRole, figure: &Option<super::figures::Figure<'_>>| match figure
        {
            Some(figure) => {
                let place = rows.shape.first(role).unwrap_or_default();
                self.decimals
                    .add(record.cell(place), figure, rows.currency)
                    .map_err(|why| rows.file.cell(record.row, &rows.shape.column(place), why))
            }
            None => Ok([None, None]),
        };
        let balance = read(ColumnRole::Balance, &raw.balance)?;
        self.marks_balances |= raw.balance.is_some_and(|figure| figure.side.is_some());
        match &raw.amount {
            RawAmount::One(figure, mark) => {
                self.names_currency |= figure.code.is_some();
                let amount = read(ColumnRole::Amount, &Some(*figure))?;
                let text = || {
                    super::rows::joined(
                        rows.shape
                            .all(ColumnRole::Text)
                            .iter()
                            .map(|place| record.cell(*place)),
                    )
                };
                let said = if self.asks_words {
                    words().side(&text())
                } else {
                    None
                };
                for idx in 0..MARKS.len() {
                    let Some(amount) = amount[idx] else { continue };
                    let signs = &mut self.signs[idx];
                    let place = rows.shape.first(ColumnRole::Amount).unwrap_or_default();
                    signs.add(amount, *mark, said, &|| {
                        format!("{} {}", record.cell(place).trim(), text())
                    });
                    if let Some(balance) = balance[idx] {
                        signs.positive_balances += u64::from(balance.is_positive());
                        signs.negative_balances += u64::from(balance.is_negative());
                    }
                    self.running[idx].add(amount, balance[idx], record.row);
                }
            }
            RawAmount::Sides(debit, credit) => {
                let out = read(ColumnRole::Debit, debit)?;
                let into = read(ColumnRole::Credit, credit)?;
                for idx in 0..MARKS.len() {
                    let out = out[idx].unwrap_or(Money::ZERO);
                    let signs = &mut self.signs[idx];
                    signs.positive_debits += u64::from(out.is_positive());
                    signs.negative_debits += u64::from(out.is_negative());
                    let amount = into[idx].unwrap_or(Money::ZERO) - out;
                    self.running[idx].add(amount, balance[idx], record.row);
                }
            }
        }
        Ok(())
    }
}

/// Sentences about what was passed over.
pub(super) fn notes(whole: &Whole) -> Vec<String> {
    if whole.passed_over_count == 0 {
        return Vec::new();
    }
    let rows: Vec<String> = whole.passed_over.iter().map(ToString::to_string).collect();
    let more = whole.passed_over_count - whole.passed_over.len() as u64;
    let and_more = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    let (thing, verb) = if whole.passed_over_count == 1 {
        ("row", "was")
    } else {
        ("rows", "were")
    };
    vec![format!(
        "{} {thing} without a booked transaction {verb} passed over: {thing} {}{and_more}",
        whole.passed_over_count,
        rows.join(", "),
    )]
}
