//! Statements of tags, of which one file may hold several: which account is meant, what each says, its lines.
//! What the tags are is told by the formats.

use chrono::NaiveDate;

use super::fault::File;
use super::{Answers, Look, StatementError};
use crate::bank::StatementLine;
use crate::money::{Currency, Money};

/// How many accounts of one file are told apart.
const MOST_ACCOUNTS: usize = 200;

/// An amount as it stands in a file of tags.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Sum {
    /// Digits with a sign or without.
    pub(super) text: String,
    /// Whether the tags around it turn it round.
    pub(super) is_turned: bool,
    /// Its currency where it has its own.
    pub(super) currency: Option<String>,
}

/// What a statement says of itself up to where it has been read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Statement {
    pub(super) id: String,
    pub(super) account: String,
    pub(super) currency: Option<String>,
    pub(super) from: Option<NaiveDate>,
    pub(super) to: Option<NaiveDate>,
    pub(super) opening: Option<(NaiveDate, Sum)>,
    pub(super) closing: Option<(NaiveDate, Sum)>,
}

/// A step through a file of statements.
pub(super) enum Step<'s, T> {
    /// A transaction of the statement.
    Entry(&'s Statement, T),
    /// The statement's end.
    End(&'s Statement),
}

/// What takes the steps.
pub(super) type Take<'t, T, E> = dyn FnMut(Step<'_, T>) -> Result<(), E> + 't;

/// The accounts of a file.
///
/// # Errors
/// When the file cannot be walked through or has too many.
pub(super) fn accounts<T>(
    file: File<'_>,
    walk: impl FnOnce(&mut Take<'_, T, StatementError>) -> Result<(), StatementError>,
) -> Result<Vec<String>, StatementError> {
    let mut accounts: Vec<String> = Vec::new();
    walk(&mut |step| {
        if let Step::End(statement) = step
            && !accounts.contains(&statement.account)
        {
            if accounts.len() == MOST_ACCOUNTS {
                return Err(
                    file.whole(format!("the file holds more than {MOST_ACCOUNTS} accounts"))
                );
            }
            accounts.push(statement.account.clone());
        }
        Ok(())
    })?;
    if accounts.is_empty() {
        return Err(file.whole("the file holds no statement of an account"));
    }
    Ok(accounts)
}

/// Which account is meant: the only one, the one answered, or none until it has been asked.
///
/// # Errors
/// When the answer names none of them.
pub(super) fn choose(
    look: &mut Look,
    accounts: Vec<String>,
    answers: &Answers,
    file: File<'_>,
) -> Result<Option<String>, StatementError> {
    let chosen = match (&answers.statement_account, accounts.as_slice()) {
        (Some(wanted), _) if accounts.contains(wanted) => Some(wanted.clone()),
        (Some(wanted), _) => return Err(super::no_such_account(file, wanted, &accounts)),
        (None, [only]) => Some(only.clone()),
        (None, _) => {
            look.questions.push(super::account_question(&accounts));
            None
        }
    };
    look.account.clone_from(&chosen);
    look.head.account = chosen.clone().filter(|name| !name.is_empty());
    if accounts.len() > 1 {
        look.accounts = accounts;
    }
    Ok(chosen)
}

/// What the chosen account's statements say, taken into a look.
pub(super) struct Gathering<'a> {
    pub(super) file: File<'a>,
    pub(super) currency: &'a Currency,
    pub(super) look: &'a mut Look,
    first: Option<NaiveDate>,
    last: Option<NaiveDate>,
}

impl<'a> Gathering<'a> {
    pub(super) fn new(file: File<'a>, currency: &'a Currency, look: &'a mut Look) -> Self {
        Self {
            file,
            currency,
            look,
            first: None,
            last: None,
        }
    }

    /// Takes lines in.
    pub(super) fn lines(&mut self, lines: Vec<StatementLine>) {
        for line in lines {
            self.first = Some(self.first.map_or(line.date, |first| first.min(line.date)));
            self.last = Some(self.last.map_or(line.date, |last| last.max(line.date)));
            if self.look.lines.len() < Look::FIRST {
                self.look.lines.push(line);
            }
        }
    }

    /// Takes in what a statement said of itself; of several, the earliest opening and the latest closing balance.
    ///
    /// # Errors
    /// When it is in another currency or a balance is no amount.
    pub(super) fn statement(&mut self, statement: &Statement) -> Result<(), StatementError> {
        super::same_currency(statement.currency.as_deref(), self.currency, self.file)?;
        let head = &mut self.look.head;
        if statement.currency.is_some() {
            head.currency.clone_from(&statement.currency);
        }
        head.from = earliest(head.from, statement.from);
        head.to = head.to.max(statement.to);
        if let Some((day, sum)) = &statement.opening {
            let amount = amount(sum, self.currency, self.file, "the opening balance")?;
            if head.opening.is_none_or(|(known, _amount)| *day < known) {
                head.opening = Some((*day, amount));
            }
        }
        if let Some((day, sum)) = &statement.closing {
            let amount = amount(sum, self.currency, self.file, "the closing balance")?;
            if head.closing.is_none_or(|(known, _amount)| *day >= known) {
                head.closing = Some((*day, amount));
            }
        }
        Ok(())
    }

    /// Ends the gathering: days that no statement named are those of the lines.
    pub(super) fn end(self) {
        let head = &mut self.look.head;
        head.from = head.from.or(self.first);
        head.to = head.to.or(self.last);
    }
}

fn earliest(one: Option<NaiveDate>, two: Option<NaiveDate>) -> Option<NaiveDate> {
    match (one, two) {
        (Some(one), Some(two)) => Some(one.min(two)),
        (one, two) => one.or(two),
    }
}

/// An amount of a file of tags: digits with a sign or without, a point or a comma before the decimals.
///
/// # Errors
/// When it is none, is in another currency, has decimals that the currency has not, or is too large.
pub(super) fn amount(
    sum: &Sum,
    currency: &Currency,
    file: File<'_>,
    what: &str,
) -> Result<Money, StatementError> {
    if let Some(code) = &sum.currency
        && !code.eq_ignore_ascii_case(currency.code())
    {
        return Err(file.whole(format!(
            "{what}: the amount is in {}, the account is kept in {}",
            super::fault::shown(code),
            currency.code()
        )));
    }
    let text = sum.text.trim();
    let shown = super::fault::shown(text);
    let is_plain = text
        .bytes()
        .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b'-' | b'+'));
    let mark = text
        .chars()
        .rev()
        .find(|c| matches!(c, '.' | ','))
        .unwrap_or('.');
    let figure = super::figures::figure(text)
        .filter(|_| is_plain)
        .ok_or_else(|| file.whole(format!("{what}: '{shown}' is not an amount")))?;
    let value = figure
        .value(mark, currency)
        .map_err(|error| file.whole(format!("{what}: {error}")))?;
    Ok(if sum.is_turned { -value } else { value })
}
