//! The cells of a shop's file under the layout's order of days and decimal mark, faults gathered along the way.
//! How days and amounts can be written is `bank`'s.

use std::str::FromStr;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::table::{ShopTable, cell};
use crate::import::Faults;
use crate::import::bank::days::day;
use crate::import::bank::figures::figure;
use crate::money::{Currency, Money, Quantity};
use crate::shops::{ColumnMeaning, ShopLayout};

/// Reads the cells of a table by its layout and gathers what is wrong with them.
pub(super) struct Cells<'t> {
    pub(super) table: &'t ShopTable,
    pub(super) layout: &'t ShopLayout,
    pub(super) currency: &'t Currency,
    pub(super) faults: Faults,
}

impl<'t> Cells<'t> {
    pub(super) fn new(
        table: &'t ShopTable,
        layout: &'t ShopLayout,
        currency: &'t Currency,
    ) -> Self {
        Self {
            faults: Faults::new(&table.file),
            table,
            layout,
            currency,
        }
    }

    /// The texts of the columns of a meaning, put together.
    pub(super) fn text(&self, cells: &[String], meaning: ColumnMeaning) -> String {
        let places = self.table.places(self.layout, meaning);
        let texts: Vec<&str> = places
            .into_iter()
            .map(|place| cell(cells, place))
            .filter(|text| !text.is_empty())
            .collect();
        texts.join(", ")
    }

    /// The kind of a row: the texts of its columns, put together as they are asked about.
    pub(super) fn kind(&self, cells: &[String]) -> String {
        self.text(cells, ColumnMeaning::Type)
    }

    /// The first day in the columns of a meaning.
    pub(super) fn day(
        &mut self,
        row: u64,
        cells: &[String],
        meaning: ColumnMeaning,
    ) -> Option<NaiveDate> {
        let places = self.table.places(self.layout, meaning);
        let place = places
            .into_iter()
            .find(|place| !cell(cells, *place).is_empty())?;
        let text = cell(cells, place);
        let found = day(text).under(self.layout.dates);
        if found.is_none() {
            let column = self.table.header[place].clone();
            let order = self.layout.dates.as_str();
            let message = format!("'{text}' is not a day written as {order}");
            self.faults.cell(row, &column, message);
        }
        found
    }

    /// The sum of the columns of a meaning; nothing where all are empty.
    pub(super) fn amount(
        &mut self,
        row: u64,
        cells: &[String],
        meaning: ColumnMeaning,
    ) -> Option<Money> {
        let mut sum = None;
        for place in self.table.places(self.layout, meaning) {
            let text = cell(cells, place);
            if text.is_empty() || matches!(text, "-" | "--") {
                continue;
            }
            match self.money(text) {
                Ok(amount) => sum = Some(sum.unwrap_or(Money::ZERO) + amount),
                Err(message) => {
                    let column = self.table.header[place].clone();
                    self.faults.cell(row, &column, message);
                }
            }
        }
        sum
    }

    /// An amount; a currency in the cell must be the book's.
    fn money(&self, text: &str) -> Result<Money, String> {
        let figure = figure(text).ok_or_else(|| format!("'{text}' is not an amount"))?;
        if let Some(code) = figure.code.filter(|code| *code != self.currency.code()) {
            return Err(format!(
                "'{text}' is in {code} and the book in {}",
                self.currency.code()
            ));
        }
        figure
            .value(self.layout.decimal_mark, self.currency)
            .map_err(|error| error.to_string())
    }

    pub(super) fn quantity(&mut self, row: u64, cells: &[String]) -> Option<Quantity> {
        let place = *self
            .table
            .places(self.layout, ColumnMeaning::Quantity)
            .first()?;
        let text = cell(cells, place);
        if text.is_empty() {
            return None;
        }
        let plain = text.replace(self.layout.decimal_mark, ".");
        let read = Quantity::from_str(&plain)
            .ok()
            .filter(|quantity| quantity.value() > Decimal::ZERO);
        if read.is_none() {
            let column = self.table.header[place].clone();
            self.faults
                .cell(row, &column, format!("'{text}' is not a number of pieces"));
        }
        read
    }

    /// The currency that a row names, where it is not the book's.
    pub(super) fn other_currency(&self, cells: &[String]) -> Option<String> {
        let named = self.text(cells, ColumnMeaning::Currency);
        let is_other = !named.is_empty() && !named.eq_ignore_ascii_case(self.currency.code());
        is_other.then_some(named)
    }
}
