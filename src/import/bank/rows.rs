//! One row of a table made a statement's line, once it is known how days, amounts and signs are written.
//! How that becomes known is `separated`'s.

use super::StatementError;
use super::columns::Shape;
use super::days::{Day, day};
use super::fault::{File, shown};
use super::figures::{Figure, figure};
use super::records::Record;
use super::words::{Side, words};
use crate::bank::{BankLayout, ColumnRole, DebitStyle, SignRule, StatementLine, column_names};
use crate::money::{Currency, Money};

/// What a row is.
pub(super) enum Sifted<'r> {
    /// Above the table, blank, of another account, or the header once more.
    Nothing,
    /// A sum, a balance, a line that is not booked.
    PassedOver,
    /// A transaction.
    Line(Raw<'r>),
}

/// A transaction taken apart, still as written.
#[derive(Clone, Copy)]
pub(super) struct Raw<'r> {
    pub(super) day: Day,
    pub(super) amount: RawAmount<'r>,
    pub(super) balance: Option<Figure<'r>>,
}

/// Its amount as written.
#[derive(Clone, Copy)]
pub(super) enum RawAmount<'r> {
    /// One column, and the side that a mark gives.
    One(Figure<'r>, Option<Side>),
    /// A column for either side.
    Sides(Option<Figure<'r>>, Option<Figure<'r>>),
}

/// What sifts rows and turns them into lines.
pub(super) struct Rows<'a> {
    pub(super) file: File<'a>,
    pub(super) shape: &'a Shape,
    pub(super) currency: &'a Currency,
    /// The account whose lines are wanted, where the file holds several.
    pub(super) account: Option<&'a str>,
}

impl Rows<'_> {
    fn fault(&self, record: &Record, place: usize, message: String) -> StatementError {
        self.file
            .cell(record.row, &self.shape.column(place), message)
    }

    fn cell<'r>(&self, record: &'r Record, role: ColumnRole) -> Option<(usize, &'r str)> {
        let place = self.shape.first(role)?;
        let cell = record.cell(place).trim();
        (!cell.is_empty()).then_some((place, cell))
    }

    /// Tells what a row is.
    ///
    /// # Errors
    /// When it is a transaction with something amiss.
    pub(super) fn sift<'r>(&self, record: &'r Record) -> Result<Sifted<'r>, StatementError> {
        if record.row <= self.shape.header_row || record.is_blank() {
            return Ok(Sifted::Nothing);
        }
        let date_place = self.shape.first(ColumnRole::Date).unwrap_or_default();
        let date_cell = record.cell(date_place);
        let day = day(date_cell);
        if !day.is_written() && self.is_header_again(record) {
            return Ok(Sifted::Nothing);
        }
        let is_other_account = |wanted: &str| {
            self.cell(record, ColumnRole::Account)
                .is_none_or(|(_place, cell)| cell != wanted)
        };
        if self.shape.first(ColumnRole::Account).is_some()
            && self.account.is_some_and(is_other_account)
        {
            return Ok(Sifted::Nothing);
        }
        if self
            .cell(record, ColumnRole::Status)
            .is_some_and(|(_place, cell)| words().is_pending(cell))
        {
            return Ok(Sifted::PassedOver);
        }
        let has_amount = [ColumnRole::Amount, ColumnRole::Debit, ColumnRole::Credit]
            .into_iter()
            .find_map(|role| self.cell(record, role))
            .is_some();
        if !day.is_written() {
            return self.undated(record, date_place, has_amount);
        }
        let is_summary = self
            .shape
            .all(ColumnRole::Text)
            .iter()
            .any(|place| words().is_summary(record.cell(*place)));
        if is_summary {
            return Ok(Sifted::PassedOver);
        }
        if record.filled() > self.shape.width {
            return Err(self.file.row(
                record.row,
                format!(
                    "the row has {} cells, the header {}; a separator inside a text may be the cause",
                    record.filled(),
                    self.shape.width
                ),
            ));
        }
        if !day.is_possible() {
            let message = format!("there is no such day as '{}'", shown(date_cell));
            return Err(self.fault(record, date_place, message));
        }
        let balance = self.figure(record, ColumnRole::Balance)?;
        if !has_amount {
            if balance.is_some() {
                return Ok(Sifted::PassedOver);
            }
            return Err(self.file.row(record.row, "there is no amount"));
        }
        self.check_currency(record)?;
        let amount = match self.figure(record, ColumnRole::Amount)? {
            Some(figure) => {
                let mark = self.mark(record)?.or(figure.side);
                RawAmount::One(figure, mark)
            }
            None => RawAmount::Sides(
                self.figure(record, ColumnRole::Debit)?,
                self.figure(record, ColumnRole::Credit)?,
            ),
        };
        Ok(Sifted::Line(Raw {
            day,
            amount,
            balance,
        }))
    }

    /// Whether a row is the header once more, as at the top of a printed page.
    fn is_header_again(&self, record: &Record) -> bool {
        self.shape.has_header && column_names(&record.cells()) == self.shape.names
    }

    /// A row without a day: a sum or a remark, or a transaction that lost it.
    fn undated(
        &self,
        record: &Record,
        place: usize,
        has_amount: bool,
    ) -> Result<Sifted<'static>, StatementError> {
        let speaks_of_sum = record
            .cells()
            .iter()
            .any(|cell| words().speaks_of_summary(cell));
        if !has_amount || speaks_of_sum {
            return Ok(Sifted::PassedOver);
        }
        let cell = record.cell(place).trim();
        if cell.is_empty() {
            return Err(self.fault(
                record,
                place,
                "there is no day beside the amount".to_owned(),
            ));
        }
        Err(self.fault(record, place, format!("'{}' is not a day", shown(cell))))
    }

    fn figure<'r>(
        &self,
        record: &'r Record,
        role: ColumnRole,
    ) -> Result<Option<Figure<'r>>, StatementError> {
        let Some((place, cell)) = self.cell(record, role) else {
            return Ok(None);
        };
        let Some(figure) = figure(cell) else {
            if matches!(cell, "-" | "\u{2013}" | "\u{2212}") && role != ColumnRole::Amount {
                return Ok(None);
            }
            return Err(self.fault(record, place, format!("'{}' is not an amount", shown(cell))));
        };
        if let Some(code) = figure.code {
            self.same_currency(record, place, code)?;
        }
        Ok(Some(figure))
    }

    fn mark(&self, record: &Record) -> Result<Option<Side>, StatementError> {
        let Some((place, cell)) = self.cell(record, ColumnRole::Mark) else {
            return Ok(None);
        };
        match words().mark(cell) {
            Some(side) => Ok(Some(side)),
            None => Err(self.fault(
                record,
                place,
                format!(
                    "'{}' does not say whether the amount went out or came in",
                    shown(cell)
                ),
            )),
        }
    }

    fn check_currency(&self, record: &Record) -> Result<(), StatementError> {
        match self.cell(record, ColumnRole::Currency) {
            Some((place, code)) => self.same_currency(record, place, code),
            None => Ok(()),
        }
    }

    fn same_currency(
        &self,
        record: &Record,
        place: usize,
        code: &str,
    ) -> Result<(), StatementError> {
        if code.eq_ignore_ascii_case(self.currency.code()) {
            return Ok(());
        }
        let message = format!(
            "the amount is in {}, the account is kept in {}",
            shown(code),
            self.currency.code()
        );
        Err(self.fault(record, place, message))
    }

    /// The line that a row gives.
    ///
    /// # Errors
    /// When its day or amounts are not as the layout writes them.
    pub(super) fn line(
        &self,
        record: &Record,
        raw: &Raw<'_>,
        layout: &BankLayout,
    ) -> Result<StatementLine, StatementError> {
        let date_place = self.shape.first(ColumnRole::Date).unwrap_or_default();
        let date = raw.day.under(layout.dates).ok_or_else(|| {
            let message = format!(
                "'{}' is no day written as {}",
                shown(record.cell(date_place)),
                layout.dates.as_str()
            );
            self.fault(record, date_place, message)
        })?;
        let amount = match &raw.amount {
            RawAmount::One(figure, mark) => {
                let value = self.value(record, ColumnRole::Amount, figure, layout)?;
                self.signed(record, value, *mark, layout.sign)?
            }
            RawAmount::Sides(debit, credit) => {
                let side = |role: ColumnRole, figure: &Option<Figure<'_>>| match figure {
                    Some(figure) => self.value(record, role, figure, layout),
                    None => Ok(Money::ZERO),
                };
                let out = side(ColumnRole::Debit, debit)?;
                let into = side(ColumnRole::Credit, credit)?;
                match layout.debits {
                    DebitStyle::Positive => into - out,
                    DebitStyle::Negative => into + out,
                }
            }
        };
        let balance = match &raw.balance {
            Some(figure) => {
                let value = self.value(record, ColumnRole::Balance, figure, layout)?;
                let value = if figure.side == Some(Side::Out) {
                    -value.abs()
                } else {
                    value
                };
                Some(if layout.balance_is_owed {
                    -value
                } else {
                    value
                })
            }
            None => None,
        };
        Ok(StatementLine {
            date,
            amount,
            text: joined(
                self.shape
                    .all(ColumnRole::Text)
                    .iter()
                    .map(|place| record.cell(*place)),
            ),
            bank_id: self
                .cell(record, ColumnRole::Id)
                .map(|(_place, cell)| cell.to_owned()),
            balance,
            row: record.row,
        })
    }

    fn value(
        &self,
        record: &Record,
        role: ColumnRole,
        figure: &Figure<'_>,
        layout: &BankLayout,
    ) -> Result<Money, StatementError> {
        figure
            .value(layout.decimal_mark, self.currency)
            .map_err(|error| {
                let place = self.shape.first(role).unwrap_or_default();
                self.fault(record, place, error.to_string())
            })
    }

    fn signed(
        &self,
        record: &Record,
        value: Money,
        mark: Option<Side>,
        rule: SignRule,
    ) -> Result<Money, StatementError> {
        let side = match (rule, mark) {
            (SignRule::AsWritten, _) => Side::Into,
            (SignRule::ChargesPositive, _) => Side::Out,
            (_, Some(side)) => side,
            (SignRule::CreditsMarked, None) => Side::Out,
            (SignRule::DebitsMarked, None) => Side::Into,
            (SignRule::Marked, None) => {
                let place = self
                    .shape
                    .first(ColumnRole::Mark)
                    .or_else(|| self.shape.first(ColumnRole::Amount))
                    .unwrap_or_default();
                let message = "nothing says whether the amount went out or came in".to_owned();
                return Err(self.fault(record, place, message));
            }
        };
        Ok(if side == Side::Into { value } else { -value })
    }
}

/// Texts made one, runs of spaces one space, each part once.
pub(super) fn joined<'c>(parts: impl Iterator<Item = &'c str>) -> String {
    let mut out = String::new();
    let mut seen: Vec<(usize, usize)> = Vec::new();
    for part in parts {
        let before = out.len();
        let is_plain = part.is_ascii()
            && !part.starts_with(' ')
            && !part.ends_with(' ')
            && !part.contains("  ")
            && !part.bytes().any(|byte| byte.is_ascii_control());
        // Most cells need nothing done to them.
        let words = part
            .split(|c: char| !is_plain && (c.is_whitespace() || c.is_control()))
            .filter(|word| !word.is_empty());
        for word in words {
            if !out.is_empty() {
                out.push(' ');
            }
            out.push_str(word);
        }
        if out.len() == before {
            continue;
        }
        // The space before it is no part of it.
        let start = before + usize::from(before > 0);
        let is_known = seen
            .iter()
            .any(|(from, to)| out[*from..*to] == out[start..]);
        if is_known {
            out.truncate(before);
        } else {
            seen.push((start, out.len()));
        }
    }
    out
}
