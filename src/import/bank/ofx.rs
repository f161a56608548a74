//! Open Financial Exchange statements, 1.x and 2.x, of bank accounts and cards.
//! Ref: OFX 1.6 and 2.2, section 11.4 (statements), 3.2.8 and 3.2.9 (days and amounts), 11.4.4.1 (corrections).

use std::collections::BTreeSet;
use std::io::{BufRead, Read, Seek};

use chrono::NaiveDate;
use encoding_rs::{Encoding, UTF_8};

use super::decoding::{decoded, of_label};
use super::fault::{File, shown};
use super::rows::joined;
use super::several::{Gathering, Statement, Step, Sum, Take, accounts, amount, choose};
use super::tags::{Piece, Tags};
use super::{Answers, Asked, Look, Question, StatementError, sniff};
use crate::bank::{DateOrder, SignRule, StatementFormat, StatementHead, StatementLine};
use crate::money::Currency;

/// How many corrected transactions of one file are followed.
const MOST_CORRECTIONS: usize = 10_000;

/// A transaction as its tags have it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Transaction {
    number: u64,
    kind: String,
    posted: String,
    amount: Sum,
    id: String,
    corrects: String,
    correction: String,
    check_number: String,
    name: String,
    extended_name: String,
    memo: String,
}

impl Transaction {
    fn take(&mut self, tag: &str, text: String, in_currency: bool) {
        let place = match tag {
            "TRNTYPE" => &mut self.kind,
            "DTPOSTED" => &mut self.posted,
            "TRNAMT" => &mut self.amount.text,
            "FITID" => &mut self.id,
            "CORRECTFITID" => &mut self.corrects,
            "CORRECTACTION" => &mut self.correction,
            "CHECKNUM" => &mut self.check_number,
            "NAME" => &mut self.name,
            "EXTDNAME" => &mut self.extended_name,
            "MEMO" => &mut self.memo,
            "CURSYM" if in_currency => {
                self.amount.currency = Some(text);
                return;
            }
            _ => return,
        };
        if place.is_empty() {
            *place = text;
        }
    }

    /// The side that its kind names, where it names one.
    fn says_out(&self) -> Option<bool> {
        match self.kind.to_ascii_uppercase().as_str() {
            "DEBIT" | "CHECK" | "PAYMENT" | "FEE" | "SRVCHG" | "DIRECTDEBIT" | "REPEATPMT" => {
                Some(true)
            }
            "CREDIT" | "DEP" | "DIRECTDEP" | "DIV" => Some(false),
            _ => None,
        }
    }

    fn is_deletion(&self) -> bool {
        self.correction.eq_ignore_ascii_case("DELETE")
    }

    /// The line it gives.
    fn line(
        &self,
        file: File<'_>,
        currency: &Currency,
        sign: SignRule,
    ) -> Result<StatementLine, StatementError> {
        let what = format!("transaction {}", self.number);
        let date = day(&self.posted).ok_or_else(|| {
            file.whole(match self.posted.is_empty() {
                true => format!("{what}: there is no day (DTPOSTED)"),
                false => format!("{what}: there is no such day as '{}'", shown(&self.posted)),
            })
        })?;
        if self.amount.text.is_empty() {
            return Err(file.whole(format!("{what}: there is no amount (TRNAMT)")));
        }
        let value = amount(&self.amount, currency, file, &what)?;
        Ok(StatementLine {
            date,
            amount: if sign == SignRule::ChargesPositive {
                -value
            } else {
                value
            },
            text: joined(
                [
                    &self.name,
                    &self.extended_name,
                    &self.memo,
                    &self.check_number,
                ]
                .into_iter()
                .map(String::as_str),
            ),
            bank_id: (!self.id.is_empty()).then(|| self.id.clone()),
            balance: None,
            row: self.number,
        })
    }
}

/// `YYYYMMDD`, whatever time and zone follow.
fn day(text: &str) -> Option<NaiveDate> {
    let digits = text
        .get(0..8)
        .filter(|day| day.bytes().all(|byte| byte.is_ascii_digit()));
    let goes_on = text
        .get(8..)
        .is_none_or(|rest| rest.starts_with(|c: char| c.is_ascii_alphabetic()));
    match digits {
        Some(digits) if !goes_on || text.len() == 8 => {
            super::days::day(digits).under(DateOrder::Ymd)
        }
        _ => super::days::day(text).under(DateOrder::Ymd),
    }
}

/// Looks over a whole file.
///
/// # Errors
/// When it is cut off, in another currency, or a transaction is at fault.
pub(super) fn look(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    answers: &Answers,
    currency: &Currency,
) -> Result<Look, StatementError> {
    let encoding = match &answers.encoding {
        Some(label) => of_label(label)
            .ok_or_else(|| file.whole(format!("'{label}' is not the label of an encoding")))?,
        None => sniff::declared(source, file)?,
    };
    let mut look = Look::new(StatementFormat::Ofx, encoding.name());
    let named = accounts(file, |take| walk(source, file, encoding, take))?;
    let Some(account) = choose(&mut look, named, answers, file)? else {
        return Ok(look);
    };
    let mut signs = Signs::default();
    let mut corrections = Corrections::default();
    let sign = answers.sign.unwrap_or_default();
    look.sign = sign;
    let mut gathering = Gathering::new(file, currency, &mut look);
    walk::<StatementError>(source, file, encoding, &mut |step| {
        match step {
            Step::Entry(statement, transaction) if statement.account == account => {
                super::same_currency(statement.currency.as_deref(), currency, file)?;
                let line = transaction.line(file, currency, sign)?;
                signs.add(&transaction, &line);
                corrections.add(&transaction, file)?;
                if !transaction.is_deletion() {
                    gathering.lines(vec![line]);
                }
            }
            Step::End(statement) if statement.account == account => {
                gathering.statement(statement)?
            }
            _ => {}
        }
        Ok(())
    })?;
    gathering.end();
    if answers.sign.is_none() && signs.against > 0 && signs.with == 0 {
        look.questions.push(signs.question());
    }
    if sign == SignRule::ChargesPositive && look.head.closing.take().is_some() {
        look.head.notes.push(
            "the balance is left out: with the signs turned round it is not known which way it is written"
                .to_owned(),
        );
    }
    corrections.settle(&mut look, |known| {
        walk::<StatementError>(source, file, encoding, &mut |step| {
            if let Step::Entry(_statement, transaction) = step {
                known(&transaction.id);
            }
            Ok(())
        })
    })?;
    let withdrawn = &look.withdrawn;
    look.lines.retain(|line| {
        !line
            .bank_id
            .as_ref()
            .is_some_and(|id| withdrawn.contains(id))
    });
    Ok(look)
}

/// Reads the lines of a file that has been looked at.
///
/// # Errors
/// When a transaction is at fault, or whoever takes the lines refuses one.
pub(super) fn read<E: From<StatementError>>(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    look: &Look,
    currency: &Currency,
    each: &mut dyn FnMut(StatementLine) -> Result<(), E>,
) -> Result<StatementHead, E> {
    let encoding = of_label(&look.encoding).unwrap_or(UTF_8);
    let account = look.account.clone().unwrap_or_default();
    walk(source, file, encoding, &mut |step| match step {
        Step::Entry(statement, transaction)
            if statement.account == account
                && !transaction.is_deletion()
                && !look.withdrawn.contains(&transaction.id) =>
        {
            each(transaction.line(file, currency, look.sign)?)
        }
        _ => Ok(()),
    })?;
    Ok(look.head.clone())
}

/// How signs stand to the kinds of transactions.
#[derive(Default)]
struct Signs {
    with: u64,
    against: u64,
    examples: Vec<String>,
}

impl Signs {
    fn add(&mut self, transaction: &Transaction, line: &StatementLine) {
        let Some(says_out) = transaction.says_out().filter(|_| !line.amount.is_zero()) else {
            return;
        };
        if says_out == line.amount.is_negative() {
            self.with += 1;
        } else {
            self.against += 1;
            if self.examples.len() < 3 {
                self.examples.push(format!(
                    "{} {} {}",
                    transaction.kind, transaction.amount.text, line.text
                ));
            }
        }
    }

    fn question(self) -> Question {
        Question {
            asked: Asked::Sign,
            text: "the signs of all amounts go against the kinds of their transactions".to_owned(),
            choices: [SignRule::AsWritten, SignRule::ChargesPositive]
                .map(|rule| rule.as_str().to_owned())
                .to_vec(),
            examples: self.examples,
        }
    }
}

/// Transactions that correct or delete others of the same file.
#[derive(Default)]
struct Corrections {
    corrected: BTreeSet<String>,
}

impl Corrections {
    fn add(&mut self, transaction: &Transaction, file: File<'_>) -> Result<(), StatementError> {
        if transaction.corrects.is_empty() {
            return Ok(());
        }
        if self.corrected.len() == MOST_CORRECTIONS {
            return Err(file.whole(format!(
                "the file corrects more than {MOST_CORRECTIONS} transactions"
            )));
        }
        self.corrected.insert(transaction.corrects.clone());
        Ok(())
    }

    /// Withdraws what is corrected, and says which of it the file does not hold.
    fn settle(
        self,
        look: &mut Look,
        each_id: impl FnOnce(&mut dyn FnMut(&str)) -> Result<(), StatementError>,
    ) -> Result<(), StatementError> {
        if self.corrected.is_empty() {
            return Ok(());
        }
        let mut elsewhere = self.corrected.clone();
        each_id(&mut |id| {
            elsewhere.remove(id);
        })?;
        for id in &elsewhere {
            look.head.notes.push(format!(
                "the bank corrects its transaction {}, which is not in this file; look for it among the lines brought in before",
                shown(id)
            ));
        }
        look.head.notes.truncate(Look::FIRST);
        look.withdrawn = self.corrected;
        Ok(())
    }
}

/// Walks through the statements of a file.
fn walk<E: From<StatementError>>(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    encoding: &'static Encoding,
    take: &mut Take<'_, Transaction, E>,
) -> Result<(), E> {
    let text = decoded(source, encoding).map_err(|error| file.reading(&error))?;
    Walk::new(Tags::new(text, file), file).run(take)
}

struct Walk<'f, R> {
    tags: Tags<'f, R>,
    file: File<'f>,
    statement: Option<Statement>,
    transaction: Option<Transaction>,
    balance: Option<(String, Sum)>,
    leaf: Option<(String, String)>,
    in_own_account: bool,
    in_currency: bool,
    count: u64,
}

impl<'f, R: BufRead> Walk<'f, R> {
    fn new(tags: Tags<'f, R>, file: File<'f>) -> Self {
        Self {
            tags,
            file,
            statement: None,
            transaction: None,
            balance: None,
            leaf: None,
            in_own_account: false,
            in_currency: false,
            count: 0,
        }
    }

    fn run<E: From<StatementError>>(
        mut self,
        take: &mut Take<'_, Transaction, E>,
    ) -> Result<(), E> {
        let mut is_whole = false;
        while let Some(piece) = self.tags.next()? {
            match piece {
                Piece::Text(text) => {
                    if let Some((_tag, value)) = &mut self.leaf
                        && value.len() + text.len() <= 64 * 1024
                    {
                        value.push_str(&text);
                    }
                }
                Piece::Open(tag) => {
                    self.leaf_ends()?;
                    self.open(&tag, take)?;
                    self.leaf = Some((tag, String::new()));
                }
                Piece::Close(tag) => {
                    self.leaf_ends()?;
                    self.close(&tag, take)?;
                    is_whole |= tag == "OFX";
                }
            }
        }
        if is_whole {
            Ok(())
        } else {
            Err(self
                .file
                .whole("the file ends before its last tag </OFX>; it seems to be cut off")
                .into())
        }
    }

    fn open<E: From<StatementError>>(
        &mut self,
        tag: &str,
        take: &mut Take<'_, Transaction, E>,
    ) -> Result<(), E> {
        match tag {
            "STMTRS" | "CCSTMTRS" => {
                self.statement_ends(take)?;
                self.statement = Some(Statement::default());
            }
            "BANKACCTFROM" | "CCACCTFROM" => self.in_own_account = true,
            "STMTTRN" => {
                self.transaction_ends(take)?;
                self.count += 1;
                self.transaction = Some(Transaction {
                    number: self.count,
                    ..Transaction::default()
                });
            }
            "CURRENCY" => self.in_currency = true,
            "LEDGERBAL" => self.balance = Some(Default::default()),
            _ => {}
        }
        Ok(())
    }

    fn close<E: From<StatementError>>(
        &mut self,
        tag: &str,
        take: &mut Take<'_, Transaction, E>,
    ) -> Result<(), E> {
        match tag {
            "STMTTRN" | "BANKTRANLIST" => self.transaction_ends(take)?,
            "BANKACCTFROM" | "CCACCTFROM" => self.in_own_account = false,
            "CURRENCY" => self.in_currency = false,
            "LEDGERBAL" => self.balance_ends()?,
            "STMTRS" | "CCSTMTRS" | "OFX" => self.statement_ends(take)?,
            _ => {}
        }
        Ok(())
    }

    fn leaf_ends(&mut self) -> Result<(), StatementError> {
        let Some((tag, text)) = self.leaf.take().filter(|(_tag, text)| !text.is_empty()) else {
            return Ok(());
        };
        if let Some(transaction) = &mut self.transaction {
            transaction.take(&tag, text, self.in_currency);
            return Ok(());
        }
        if let Some((day, sum)) = &mut self.balance {
            match tag.as_str() {
                "BALAMT" => sum.text = text,
                "DTASOF" => *day = text,
                _ => {}
            }
            return Ok(());
        }
        let Some(statement) = &mut self.statement else {
            return Ok(());
        };
        match tag.as_str() {
            "CURDEF" => statement.currency = Some(text),
            "ACCTID" if self.in_own_account => statement.account = text,
            "DTSTART" => statement.from = day(&text),
            "DTEND" => statement.to = day(&text),
            _ => {}
        }
        Ok(())
    }

    fn balance_ends(&mut self) -> Result<(), StatementError> {
        if let (Some((text, sum)), Some(statement)) = (self.balance.take(), &mut self.statement)
            && !sum.text.is_empty()
        {
            let says_day = text.bytes().any(|byte| matches!(byte, b'1'..=b'9'));
            let day = match (day(&text), statement.to) {
                (Some(day), _) => day,
                // A balance without a day of its own is that of the last day.
                (None, Some(last)) if !says_day => last,
                (None, None) if !says_day => return Ok(()),
                _ => {
                    return Err(self.file.whole(format!(
                        "the closing balance: there is no such day as '{}'",
                        shown(&text)
                    )));
                }
            };
            statement.closing = Some((day, sum));
        }
        Ok(())
    }

    fn transaction_ends<E: From<StatementError>>(
        &mut self,
        take: &mut Take<'_, Transaction, E>,
    ) -> Result<(), E> {
        self.in_currency = false;
        match (self.transaction.take(), &self.statement) {
            (Some(transaction), Some(statement)) => take(Step::Entry(statement, transaction)),
            _ => Ok(()),
        }
    }

    fn statement_ends<E: From<StatementError>>(
        &mut self,
        take: &mut Take<'_, Transaction, E>,
    ) -> Result<(), E> {
        self.transaction_ends(take)?;
        self.balance_ends()?;
        self.in_own_account = false;
        match self.statement.take() {
            Some(statement) => take(Step::End(&statement)),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// OFX 2.2, section 3.2.8: the day stands first, a time and a zone may follow.
    #[test]
    fn days_stand_before_times_and_zones() {
        for (text, expected) in [
            ("20261005", Some((2026, 10, 5))),
            ("20261005132200.124[-5:EST]", Some((2026, 10, 5))),
            ("20261005132200", Some((2026, 10, 5))),
            ("20261005[0:GMT]", Some((2026, 10, 5))),
            ("20261305", None),
            ("", None),
            ("yesterday", None),
        ] {
            let expected = expected.and_then(|(y, m, d)| NaiveDate::from_ymd_opt(y, m, d));
            assert_eq!(day(text), expected, "{text}");
        }
    }
}
