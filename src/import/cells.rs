//! Cells as values: dates, amounts, shares, accounts. A cell that cannot be read becomes a fault and `None`.
//! Which cells a kind of sheet has is the kind's own business.

use std::fmt::Display;
use std::str::FromStr;

use chrono::NaiveDate;
use csv::StringRecord;

use super::{Faults, Sheet};
use crate::dates::parse_iso;
use crate::happenings::HappeningError;
use crate::ledger::{AccountId, Chart};
use crate::money::{Currency, Money, Percent, Quantity};

/// The rows of a sheet with their faults gathered along the way.
pub struct Rows<'s> {
    sheet: &'s Sheet,
    currency: &'s Currency,
    /// What was found wrong so far.
    pub faults: Faults,
}

impl<'s> Rows<'s> {
    /// The rows of a sheet whose amounts are in this currency.
    #[must_use]
    pub fn new(sheet: &'s Sheet, currency: &'s Currency) -> Self {
        Self {
            sheet,
            currency,
            faults: Faults::new(&sheet.file),
        }
    }

    /// Reads a sheet whose rows stand each for itself: all of them, or every fault that was found.
    ///
    /// # Errors
    /// Every fault that `read` told of.
    pub fn read<T>(
        sheet: &'s Sheet,
        currency: &'s Currency,
        mut read: impl FnMut(&mut Row<'_, 's>) -> Option<T>,
    ) -> Result<Vec<T>, Faults> {
        let mut rows = Self::new(sheet, currency);
        let mut list = Vec::new();
        for idx in 0..rows.len() {
            if let Some(mut row) = rows.at(idx) {
                list.extend(read(&mut row));
            }
        }
        rows.faults.into_result(list)
    }

    /// The sheet's file name.
    #[must_use]
    pub fn file(&self) -> &'s str {
        &self.sheet.file
    }

    /// Those of the columns that the sheet has, with their places.
    pub(super) fn places(&self, columns: &[&'static str]) -> Vec<(&'static str, usize)> {
        columns
            .iter()
            .filter_map(|column| Some((*column, self.sheet.position(column)?)))
            .collect()
    }

    /// Says where a row of a group gives another value than the group's first row.
    pub(super) fn same_as_first(
        &mut self,
        first: usize,
        idx: usize,
        places: &[(&'static str, usize)],
    ) {
        let rows = self.sheet.rows();
        let (Some((_, first)), Some((number, here))) = (rows.get(first), rows.get(idx)) else {
            return;
        };
        for (column, place) in places {
            let text = first.get(*place).unwrap_or_default();
            let here = here.get(*place).unwrap_or_default();
            if !here.is_empty() && here != text {
                let message = format!("'{here}' differs from '{text}' on its first row");
                self.faults.cell(*number, column, message);
            }
        }
    }

    /// How many rows there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.sheet.len()
    }

    /// Whether there are no rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sheet.is_empty()
    }

    /// The row at this position, counted from nothing.
    #[must_use]
    pub fn at(&mut self, idx: usize) -> Option<Row<'_, 's>> {
        let (number, cells) = self.sheet.rows().get(idx)?;
        Some(Row {
            number: *number,
            cells,
            sheet: self.sheet,
            currency: self.currency,
            faults: &mut self.faults,
        })
    }

    /// The rows in groups of the same key, in the order the keys first appear. Rows without the key are faults.
    pub fn groups(&mut self, key_column: &str) -> Vec<(String, Vec<usize>)> {
        let mut order: Vec<(String, Vec<usize>)> = Vec::new();
        let mut places = std::collections::HashMap::new();
        for idx in 0..self.len() {
            let Some(key) = self
                .at(idx)
                .and_then(|mut row| row.needed(key_column).map(str::to_owned))
            else {
                continue;
            };
            let place = *places.entry(key.clone()).or_insert(order.len());
            if place == order.len() {
                order.push((key, Vec::new()));
            }
            order[place].1.push(idx);
        }
        order
    }
}

/// One row being read.
pub struct Row<'r, 's> {
    /// Its number, the header being row 1.
    pub number: u64,
    cells: &'s StringRecord,
    sheet: &'s Sheet,
    currency: &'s Currency,
    faults: &'r mut Faults,
}

impl<'s> Row<'_, 's> {
    /// The cell's text, empty when it or its column is not given.
    #[must_use]
    pub fn text(&self, column: &str) -> &'s str {
        self.sheet
            .position(column)
            .and_then(|position| self.cells.get(position))
            .unwrap_or_default()
    }

    /// Whether the cell is given.
    #[must_use]
    pub fn has(&self, column: &str) -> bool {
        !self.text(column).is_empty()
    }

    /// Whether the sheet has the column at all.
    #[must_use]
    pub fn is_in_sheet(&self, column: &str) -> bool {
        self.sheet.position(column).is_some()
    }

    /// Says that a cell is wrong.
    pub fn fault(&mut self, column: &str, message: impl Into<String>) {
        self.faults.cell(self.number, column, message);
    }

    /// Says that the row as a whole is wrong.
    pub fn row_fault(&mut self, message: impl Into<String>) {
        self.faults.row(self.number, message);
    }

    /// Says what a happening refused, beside the column it named when the sheet has it.
    pub fn happening_fault(&mut self, error: &HappeningError, currency: &Currency) {
        let message = error.describe(currency);
        match error.field_name() {
            Some(field) if self.is_in_sheet(field) => self.fault(field, message),
            _ => self.row_fault(message),
        }
    }

    /// The cell's text, which must be given.
    pub fn needed(&mut self, column: &str) -> Option<&'s str> {
        let text = self.text(column);
        if text.is_empty() {
            self.fault(column, "is empty");
            return None;
        }
        Some(text)
    }

    /// Whether a cell is given that must not be, which is then a fault with this reason.
    pub fn refuse(&mut self, column: &str, reason: &str) {
        if self.has(column) {
            self.fault(column, reason);
        }
    }

    /// A value that must be given.
    pub fn value<T>(&mut self, column: &str) -> Option<T>
    where
        T: FromStr,
        T::Err: Display,
    {
        self.needed(column)?;
        self.may_value(column)
    }

    /// A value that may be left out.
    pub fn may_value<T>(&mut self, column: &str) -> Option<T>
    where
        T: FromStr,
        T::Err: Display,
    {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match text.parse() {
            Ok(value) => Some(value),
            Err(error) => {
                self.fault(column, error.to_string());
                None
            }
        }
    }

    /// A value that is `otherwise` when it is left out.
    pub fn value_or<T>(&mut self, column: &str, otherwise: T) -> Option<T>
    where
        T: FromStr,
        T::Err: Display,
    {
        if self.has(column) {
            self.may_value(column)
        } else {
            Some(otherwise)
        }
    }

    /// A file that lies in the sheet's own folder or beneath it, and must be given.
    pub fn own_file(&mut self, column: &str) -> Option<&'s str> {
        let file = self.needed(column)?;
        let steps_out = file.split(['/', '\\']).any(|part| part == "..");
        if steps_out || std::path::Path::new(file).is_absolute() {
            self.fault(column, "the file must lie in the sheet's folder");
            return None;
        }
        Some(file)
    }

    /// A day that must be given.
    pub fn date(&mut self, column: &str) -> Option<NaiveDate> {
        self.needed(column)?;
        self.may_date(column)
    }

    /// A day that may be left out.
    pub fn may_date(&mut self, column: &str) -> Option<NaiveDate> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match parse_iso(text) {
            Ok(date) => Some(date),
            Err(error) => {
                self.fault(column, error.to_string());
                None
            }
        }
    }

    /// An amount that must be given.
    pub fn amount(&mut self, column: &str) -> Option<Money> {
        self.needed(column)?;
        self.may_amount(column)
    }

    /// An amount that may be left out.
    pub fn may_amount(&mut self, column: &str) -> Option<Money> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match self.currency.parse_plain(text) {
            Ok(amount) => Some(amount),
            Err(error) => {
                self.fault(column, error.to_string());
                None
            }
        }
    }

    /// An amount, nothing when it is left out.
    pub fn amount_or_nothing(&mut self, column: &str) -> Option<Money> {
        if self.has(column) {
            self.may_amount(column)
        } else {
            Some(Money::ZERO)
        }
    }

    /// An amount of nothing or more, nothing when it is left out.
    pub fn part(&mut self, column: &str) -> Option<Money> {
        let amount = self.amount_or_nothing(column)?;
        if amount.is_negative() {
            self.fault(column, "must not be below zero");
            return None;
        }
        Some(amount)
    }

    /// An amount of nothing or more that must be given.
    pub fn part_needed(&mut self, column: &str) -> Option<Money> {
        self.needed(column)?;
        self.part(column)
    }

    /// An amount above nothing that must be given.
    pub fn positive(&mut self, column: &str) -> Option<Money> {
        let amount = self.amount(column)?;
        if !amount.is_positive() {
            self.fault(column, "must be above zero");
            return None;
        }
        Some(amount)
    }

    /// A share in per cent, the whole when it is left out.
    pub fn share(&mut self, column: &str) -> Option<Percent> {
        if self.has(column) {
            self.may_value(column)
        } else {
            Some(Percent::WHOLE)
        }
    }

    /// A quantity that may be left out.
    pub fn quantity(&mut self, column: &str) -> Option<Quantity> {
        self.may_value(column)
    }

    /// A whole number that must be given, from `least` on.
    pub fn count(&mut self, column: &str, least: u32) -> Option<u32> {
        let text = self.needed(column)?;
        match text.parse::<u32>() {
            Ok(count) if count >= least => Some(count),
            _ => {
                self.fault(
                    column,
                    format!("'{text}' is not a whole number of {least} or more"),
                );
                None
            }
        }
    }

    /// Yes or no, `otherwise` when it is left out.
    pub fn yes_no(&mut self, column: &str, otherwise: bool) -> Option<bool> {
        match self.text(column) {
            "" => Some(otherwise),
            "yes" => Some(true),
            "no" => Some(false),
            text => {
                self.fault(column, format!("'{text}' is neither yes nor no"));
                None
            }
        }
    }

    /// An account by number or name that must be given.
    pub fn account(&mut self, column: &str, chart: &Chart) -> Option<AccountId> {
        self.needed(column)?;
        self.may_account(column, chart)
    }

    /// An account by number or name that may be left out.
    pub fn may_account(&mut self, column: &str, chart: &Chart) -> Option<AccountId> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match chart.find(text) {
            Ok(account) => Some(account.id),
            Err(error) => {
                self.fault(column, error.to_string());
                None
            }
        }
    }
}
