//! The elements of a camt.053 file, one at a time, gathered into statements and entries.
//! Nothing outside the file is looked up; what an entry means is the module above.

use std::io::{Read, Seek};

use encoding_rs::Encoding;
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};

use super::super::StatementError;
use super::super::decoding::decoded;
use super::super::fault::{File, Halt, shown};
use super::super::several::{Statement, Step, Sum, Take};
use super::{Detail, Entry, day};

/// How deep elements may lie in one another; the schema needs a dozen.
const DEEPEST: usize = 64;
/// The longest text or tag that is read, in bytes.
const LONGEST: u64 = 1024 * 1024;
/// How many payments of one entry are told apart; an entry with more is one line.
const MOST_DETAILS: usize = 10_000;

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
pub(super) fn walk<E: From<StatementError>>(
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
