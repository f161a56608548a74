//! The ISO 20022 bank to customer statement, camt.053.001.02 to .13.
//! Only booked entries give lines; the sign is what CdtDbtInd says, for a reversal too.

use std::io::{Read, Seek};

use chrono::NaiveDate;
use encoding_rs::{Encoding, UTF_8};
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};

use super::decoding::{decoded, of_label};
use super::fault::{File, Halt, shown};
use super::rows::joined;
use super::several::{Gathering, Statement, Step, Sum, Take, accounts, amount, choose};
use super::{Answers, Look, StatementError, sniff};
use crate::bank::{DateOrder, StatementFormat, StatementHead, StatementLine};
use crate::money::{Currency, Money};

/// How deep elements may lie in one another; the schema needs a dozen.
const DEEPEST: usize = 64;
/// The longest text or tag that is read, in bytes.
const LONGEST: u64 = 1024 * 1024;
/// How many payments of one entry are told apart; an entry with more is one line.
const MOST_DETAILS: usize = 10_000;

/// An entry as its elements have it.
#[derive(Clone, Debug, Default)]
struct Entry {
    number: u64,
    amount: Sum,
    has_side: bool,
    status: String,
    booked: String,
    valued: String,
    servicer_reference: String,
    entry_reference: String,
    information: String,
    details: Vec<Detail>,
    has_more_details: bool,
}

/// One payment of an entry.
#[derive(Clone, Debug, Default)]
struct Detail {
    amount: Option<Sum>,
    side: String,
    servicer_reference: String,
    end_to_end: String,
    debtor: String,
    creditor: String,
    texts: Vec<String>,
    information: String,
}

impl Entry {
    fn is_booked(&self) -> bool {
        self.status == "BOOK"
    }

    /// The lines it gives: one a payment when the payments add up to it, otherwise one.
    fn lines(
        &self,
        statement: &Statement,
        file: File<'_>,
        currency: &Currency,
    ) -> Result<Vec<StatementLine>, StatementError> {
        let what = format!("entry {}", self.number);
        let written = if self.booked.is_empty() {
            &self.valued
        } else {
            &self.booked
        };
        let date = day(written).ok_or_else(|| {
            file.whole(match written.is_empty() {
                true => format!("{what}: there is no day (BookgDt)"),
                false => format!("{what}: there is no such day as '{}'", shown(written)),
            })
        })?;
        if !self.has_side {
            return Err(file.whole(format!(
                "{what}: nothing says whether the amount went out or came in (CdtDbtInd)"
            )));
        }
        let whole = amount(&self.amount, currency, file, &what)?;
        let line = |amount: Money, detail: Option<&Detail>, part: Option<usize>| StatementLine {
            date,
            amount,
            text: self.text(detail, amount),
            bank_id: self.id(statement, detail, part),
            balance: None,
            row: self.number,
        };
        if let Some(parts) = self.parts(whole, currency, file, &what) {
            return Ok(self
                .details
                .iter()
                .zip(parts)
                .enumerate()
                .map(|(idx, (detail, part))| line(part, Some(detail), Some(idx + 1)))
                .collect());
        }
        let only = match self.details.as_slice() {
            [only] if !self.has_more_details => Some(only),
            _ => None,
        };
        Ok(vec![line(whole, only, None)])
    }

    /// What each of several payments moved, when all are told and add up to the entry.
    fn parts(
        &self,
        whole: Money,
        currency: &Currency,
        file: File<'_>,
        what: &str,
    ) -> Option<Vec<Money>> {
        if self.details.len() < 2 || self.has_more_details {
            return None;
        }
        let mut parts = Vec::with_capacity(self.details.len());
        for detail in &self.details {
            let mut sum = detail.amount.clone()?;
            sum.is_turned = match detail.side.as_str() {
                "DBIT" => true,
                "CRDT" => false,
                _ => self.amount.is_turned,
            };
            parts.push(amount(&sum, currency, file, what).ok()?);
        }
        (parts.iter().copied().sum::<Money>() == whole).then_some(parts)
    }

    fn text(&self, detail: Option<&Detail>, amount: Money) -> String {
        let Some(detail) = detail else {
            return joined(std::iter::once(self.information.as_str()));
        };
        let other = if amount.is_negative() {
            &detail.creditor
        } else {
            &detail.debtor
        };
        let told = [other.as_str()]
            .into_iter()
            .chain(detail.texts.iter().map(String::as_str));
        let told = joined(told.chain([detail.information.as_str()]));
        if told.is_empty() {
            joined(std::iter::once(self.information.as_str()))
        } else {
            told
        }
    }

    /// The bank's own reference; a number within the statement or the payer's reference only with the statement or the
    /// day beside it, as either may come again.
    fn id(
        &self,
        statement: &Statement,
        detail: Option<&Detail>,
        part: Option<usize>,
    ) -> Option<String> {
        let own = detail.map_or("", |detail| detail.servicer_reference.as_str());
        let numbered = |id: &str| match part {
            Some(part) => format!("{id}/{part}"),
            None => id.to_owned(),
        };
        if !own.is_empty() && own != self.servicer_reference {
            return Some(own.to_owned());
        }
        if !self.servicer_reference.is_empty() {
            return Some(numbered(&self.servicer_reference));
        }
        if !self.entry_reference.is_empty() {
            return Some(numbered(&format!(
                "{}/{}",
                statement.id, self.entry_reference
            )));
        }
        let payer = detail.map_or("", |detail| detail.end_to_end.as_str());
        if payer.is_empty() || payer == "NOTPROVIDED" {
            return None;
        }
        let day = if self.booked.is_empty() {
            &self.valued
        } else {
            &self.booked
        };
        Some(format!("{}/{payer}", day.get(0..10).unwrap_or(day)))
    }
}

fn day(text: &str) -> Option<NaiveDate> {
    super::days::day(text).under(DateOrder::Ymd)
}

/// Looks over a whole file.
///
/// # Errors
/// When it is not whole, in another currency, or an entry is at fault.
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
    let mut look = Look::new(StatementFormat::Camt, encoding.name());
    let named = accounts(file, |take| walk(source, file, encoding, take))?;
    let Some(account) = choose(&mut look, named, answers, file)? else {
        return Ok(look);
    };
    let mut unbooked = 0_u64;
    let mut gathering = Gathering::new(file, currency, &mut look);
    walk::<StatementError>(source, file, encoding, &mut |step| {
        match step {
            Step::Entry(statement, entry) if statement.account == account => {
                super::same_currency(statement.currency.as_deref(), currency, file)?;
                if entry.is_booked() {
                    gathering.lines(entry.lines(statement, file, currency)?);
                } else {
                    unbooked += 1;
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
    if unbooked > 0 {
        look.head.notes.push(match unbooked {
            1 => "1 entry that is not booked yet was passed over".to_owned(),
            count => format!("{count} entries that are not booked yet were passed over"),
        });
    }
    Ok(look)
}

/// Reads the lines of a file that has been looked at.
///
/// # Errors
/// When an entry is at fault, or whoever takes the lines refuses one.
pub(super) fn read<E: From<StatementError>>(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    look: &Look,
    currency: &Currency,
    each: &mut dyn FnMut(StatementLine) -> Result<(), E>,
) -> Result<StatementHead, E> {
    let encoding = of_label(&look.encoding).unwrap_or(UTF_8);
    let account = look.account.clone().unwrap_or_default();
    walk::<E>(source, file, encoding, &mut |step| {
        if let Step::Entry(statement, entry) = step
            && statement.account == account
            && entry.is_booked()
        {
            for line in entry.lines(statement, file, currency)? {
                each(line)?;
            }
        }
        Ok(())
    })?;
    Ok(look.head.clone())
}

/// A source that ends with an error when one element takes too much of it.
struct Bounded<R> {
    inner: R,
    left: u64,
}

impl<R: std::io::BufRead> Read for Bounded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.inner.read(buffer)?;
        Ok(count)
    }
}

impl<R: std::io::BufRead> std::io::BufRead for Bounded<R> {
    fn fill_buf(&mut self) -> std::io::Result<&[u8]> {
        if self.left == 0 {
            return Err(Halt::TooLong(usize::try_from(LONGEST).unwrap_or(usize::MAX)).into());
        }
        self.inner.fill_buf()
    }

    fn consume(&mut self, count: usize) {
        self.left = self.left.saturating_sub(count as u64);
        self.inner.consume(count);
    }
}

/// Walks through the statements of a file.
fn walk<E: From<StatementError>>(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    encoding: &'static Encoding,
    take: &mut Take<'_, Entry, E>,
) -> Result<(), E> {
    let text = decoded(source, encoding).map_err(|error| file.reading(&error))?;
    let mut reader = Reader::from_reader(Bounded {
        inner: text,
        left: LONGEST,
    });
    reader.config_mut().expand_empty_elements = true;
    let mut walk = Walk::new(file);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        reader.get_mut().left = LONGEST;
        let event = match reader.read_event_into(&mut buffer) {
            Ok(event) => event,
            Err(quick_xml::Error::Io(error)) => return Err(file.reading(&error).into()),
            Err(error) => {
                return Err(file
                    .whole(format!(
                        "it is not whole XML at byte {}: {error}",
                        reader.error_position()
                    ))
                    .into());
            }
        };
        match event {
            Event::Start(start) => walk.open(&start)?,
            Event::End(_) => walk.close(take)?,
            Event::Text(text) => walk.text(&text)?,
            Event::CData(text) => walk.text(&text)?,
            Event::GeneralRef(reference) => walk.reference(&reference)?,
            Event::DocType(_) => {
                return Err(file
                    .whole("it declares a document type or entities, which no statement needs; it is refused for safety")
                    .into());
            }
            Event::Eof => break,
            _ => {}
        }
    }
    if walk.path.is_empty() && walk.was_whole {
        Ok(())
    } else {
        Err(file
            .whole("the file ends before its last element does; it seems to be cut off")
            .into())
    }
}

struct Walk<'f> {
    file: File<'f>,
    path: Vec<String>,
    text: String,
    currency: Option<String>,
    was_whole: bool,
    count: u64,
    statement: Statement,
    balance: Balance,
    entry: Option<Entry>,
    detail: Option<Detail>,
}

#[derive(Default)]
struct Balance {
    kind: String,
    day: String,
    side: String,
    amount: Sum,
}

impl<'f> Walk<'f> {
    fn new(file: File<'f>) -> Self {
        Self {
            file,
            path: Vec::new(),
            text: String::new(),
            currency: None,
            was_whole: false,
            count: 0,
            statement: Statement::default(),
            balance: Balance::default(),
            entry: None,
            detail: None,
        }
    }

    fn open(&mut self, start: &BytesStart<'_>) -> Result<(), StatementError> {
        if self.path.len() == DEEPEST {
            return Err(self.file.whole(format!(
                "its elements lie more than {DEEPEST} deep in one another, which no statement needs"
            )));
        }
        let name = start.local_name().as_ref().to_owned();
        self.currency = None;
        for attribute in start.attributes().flatten() {
            if attribute.key.local_name().as_ref() == "Ccy" {
                self.currency = Some(attribute.value.clone().into_owned());
            }
        }
        self.text.clear();
        match name.as_str() {
            "Stmt" => self.statement = Statement::default(),
            "Bal" => self.balance = Balance::default(),
            "Ntry" => {
                self.count += 1;
                self.entry = Some(Entry {
                    number: self.count,
                    ..Entry::default()
                });
            }
            "TxDtls" => self.detail = Some(Detail::default()),
            _ => {}
        }
        self.path.push(name);
        Ok(())
    }

    fn text(&mut self, text: &str) -> Result<(), StatementError> {
        if self.text.len() + text.len() > 64 * 1024 {
            return Err(self.file.reading(&Halt::TooLong(64 * 1024).into()));
        }
        self.text.push_str(text);
        Ok(())
    }

    fn reference(&mut self, reference: &BytesRef<'_>) -> Result<(), StatementError> {
        let name = reference.to_string();
        let letter = match reference.resolve_char_ref() {
            Ok(Some(letter)) => Some(letter.to_string()),
            _ => quick_xml::escape::resolve_predefined_entity(&name).map(ToOwned::to_owned),
        };
        match letter {
            Some(letter) => self.text(&letter),
            None => Err(self.file.whole(format!(
                "it uses the entity '&{};', which XML does not have; it is refused for safety",
                shown(&name)
            ))),
        }
    }

    fn close<E: From<StatementError>>(&mut self, take: &mut Take<'_, Entry, E>) -> Result<(), E> {
        let Some(name) = self.path.pop() else {
            return Ok(());
        };
        self.was_whole |= self.path.is_empty();
        let text = std::mem::take(&mut self.text);
        let text = text.trim();
        match name.as_str() {
            "TxDtls" => {
                if let (Some(detail), Some(entry)) = (self.detail.take(), &mut self.entry) {
                    if entry.details.len() < MOST_DETAILS {
                        entry.details.push(detail);
                    } else {
                        entry.has_more_details = true;
                    }
                }
            }
            "Ntry" => {
                if let Some(entry) = self.entry.take() {
                    take(Step::Entry(&self.statement, entry))?;
                }
            }
            "Bal" => self.balance_ends()?,
            "Stmt" => take(Step::End(&self.statement))?,
            _ if text.is_empty() => {}
            name => self.leaf(name, text),
        }
        Ok(())
    }

    /// Whether the elements around the one that ends now are these, the innermost last.
    fn is_in(&self, around: &[&str]) -> bool {
        self.path.len() >= around.len()
            && self.path[self.path.len() - around.len()..]
                .iter()
                .zip(around)
                .all(|(one, other)| one == other)
    }

    fn leaf(&mut self, name: &str, text: &str) {
        if self.detail.is_some() {
            self.detail_leaf(name, text);
        } else if self.entry.is_some() {
            self.entry_leaf(name, text);
        } else if self.path.iter().any(|element| element == "Bal") {
            self.balance_leaf(name, text);
        } else {
            self.statement_leaf(name, text);
        }
    }

    fn statement_leaf(&mut self, name: &str, text: &str) {
        let own = |text: &str| text.to_owned();
        if name == "Id" && self.is_in(&["Stmt"]) {
            self.statement.id = own(text);
        } else if (name == "IBAN" && self.is_in(&["Stmt", "Acct", "Id"]))
            || (name == "Id" && self.is_in(&["Stmt", "Acct", "Id", "Othr"]))
        {
            self.statement.account = own(text);
        } else if name == "Ccy" && self.is_in(&["Stmt", "Acct"]) {
            self.statement.currency = Some(own(text));
        } else if name == "FrDtTm" && self.is_in(&["Stmt", "FrToDt"]) {
            self.statement.from = day(text);
        } else if name == "ToDtTm" && self.is_in(&["Stmt", "FrToDt"]) {
            self.statement.to = day(text);
        }
    }

    fn balance_leaf(&mut self, name: &str, text: &str) {
        if name == "Cd" && self.is_in(&["Bal", "Tp", "CdOrPrtry"]) {
            text.clone_into(&mut self.balance.kind);
        } else if name == "Amt" && self.is_in(&["Bal"]) {
            self.balance.amount = self.sum(text);
        } else if name == "CdtDbtInd" && self.is_in(&["Bal"]) {
            text.clone_into(&mut self.balance.side);
        } else if matches!(name, "Dt" | "DtTm") && self.is_in(&["Bal", "Dt"]) {
            text.clone_into(&mut self.balance.day);
        }
    }

    fn sum(&mut self, text: &str) -> Sum {
        Sum {
            text: text.to_owned(),
            is_turned: false,
            currency: self.currency.take(),
        }
    }

    fn balance_ends(&mut self) -> Result<(), StatementError> {
        let balance = std::mem::take(&mut self.balance);
        let (what, is_opening) = match balance.kind.as_str() {
            "OPBD" | "PRCD" => ("the opening balance", true),
            "CLBD" => ("the closing balance", false),
            _ => return Ok(()),
        };
        let day = day(&balance.day).ok_or_else(|| {
            self.file.whole(format!(
                "{what}: there is no such day as '{}'",
                shown(&balance.day)
            ))
        })?;
        let sum = Sum {
            is_turned: balance.side == "DBIT",
            ..balance.amount
        };
        if !is_opening {
            self.statement.closing = Some((day, sum));
        } else if balance.kind == "OPBD" || self.statement.opening.is_none() {
            self.statement.opening = Some((day, sum));
        }
        Ok(())
    }

    fn entry_leaf(&mut self, name: &str, text: &str) {
        let is_own = self.is_in(&["Ntry"]);
        let in_status = self.is_in(&["Ntry", "Sts"]);
        let in_booked = self.is_in(&["Ntry", "BookgDt"]);
        let in_valued = self.is_in(&["Ntry", "ValDt"]);
        let sum = (name == "Amt" && is_own).then(|| self.sum(text));
        let Some(entry) = &mut self.entry else { return };
        let place = match name {
            "Amt" if is_own => {
                let is_turned = entry.amount.is_turned;
                entry.amount = Sum {
                    is_turned,
                    ..sum.unwrap_or_default()
                };
                return;
            }
            "CdtDbtInd" if is_own => {
                entry.has_side = matches!(text, "DBIT" | "CRDT");
                entry.amount.is_turned = text == "DBIT";
                return;
            }
            "Sts" if is_own => &mut entry.status,
            "Cd" if in_status => &mut entry.status,
            "Dt" | "DtTm" if in_booked => &mut entry.booked,
            "Dt" | "DtTm" if in_valued => &mut entry.valued,
            "AcctSvcrRef" if is_own => &mut entry.servicer_reference,
            "NtryRef" if is_own => &mut entry.entry_reference,
            "AddtlNtryInf" if is_own => &mut entry.information,
            _ => return,
        };
        text.clone_into(place);
    }

    fn detail_leaf(&mut self, name: &str, text: &str) {
        let in_amount = self.is_in(&["TxDtls"]);
        let in_transaction_amount = self.is_in(&["TxDtls", "AmtDtls", "TxAmt"]);
        let in_references = self.is_in(&["TxDtls", "Refs"]);
        let in_debtor =
            self.is_in(&["RltdPties", "Dbtr"]) || self.is_in(&["RltdPties", "Dbtr", "Pty"]);
        let in_creditor =
            self.is_in(&["RltdPties", "Cdtr"]) || self.is_in(&["RltdPties", "Cdtr", "Pty"]);
        let in_remittance = self.is_in(&["TxDtls", "RmtInf"]);
        let in_structured = self.is_in(&["RmtInf", "Strd", "CdtrRefInf"]);
        let sum = (name == "Amt" && (in_amount || in_transaction_amount)).then(|| self.sum(text));
        let Some(detail) = &mut self.detail else {
            return;
        };
        let place = match name {
            "Amt" => {
                // The payment's own amount goes before the one in its details.
                if in_amount || detail.amount.is_none() && in_transaction_amount {
                    detail.amount = sum;
                }
                return;
            }
            "Ustrd" if in_remittance => {
                if detail.texts.len() < 1000 {
                    detail.texts.push(text.to_owned());
                }
                return;
            }
            "Ref" if in_structured => {
                if detail.texts.len() < 1000 {
                    detail.texts.push(text.to_owned());
                }
                return;
            }
            "CdtDbtInd" if in_amount => &mut detail.side,
            "AcctSvcrRef" if in_references => &mut detail.servicer_reference,
            "EndToEndId" if in_references => &mut detail.end_to_end,
            "Nm" if in_debtor => &mut detail.debtor,
            "Nm" if in_creditor => &mut detail.creditor,
            "AddtlTxInf" if in_amount => &mut detail.information,
            _ => return,
        };
        text.clone_into(place);
    }
}
