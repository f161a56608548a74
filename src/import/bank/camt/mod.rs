//! The ISO 20022 bank to customer statement, camt.053.001.02 to .13.
//! Only booked entries give lines; the sign is what CdtDbtInd says, for a reversal too.

mod elements;

use std::io::{Read, Seek};

use chrono::NaiveDate;
use encoding_rs::UTF_8;

use super::decoding::of_label;
use super::fault::{File, shown};
use super::rows::joined;
use super::several::{Gathering, Statement, Step, Sum, accounts, amount, choose};
use super::{Answers, Look, StatementError, sniff};
use crate::bank::{DateOrder, StatementFormat, StatementHead, StatementLine};
use crate::money::{Currency, Money};
use elements::walk;

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
