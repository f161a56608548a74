//! How a statement file is understood, as JSON written a line at a time.
//! Statement lines that the book keeps are `bank`'s.

use std::io::{self, Write};

use chrono::NaiveDate;
use serde::Serialize;

use crate::bank::{StatementHead, StatementLine};
use crate::import::bank::Look;
use crate::money::{Currency, Money};

#[derive(Serialize)]
struct RowJson<'l> {
    row: u64,
    date: NaiveDate,
    amount: String,
    text: &'l str,
    id: Option<&'l str>,
    balance: Option<String>,
}

#[derive(Serialize)]
struct QuestionJson {
    asks: &'static str,
    text: String,
    option: String,
    choices: Vec<String>,
    examples: Vec<String>,
}

#[derive(Serialize)]
struct BalanceJson {
    date: NaiveDate,
    balance: String,
}

/// Writes a statement as it is understood: its head, its rows as `rows` hands them over, what is asked.
///
/// # Errors
/// When the output cannot be written, or whatever `rows` ends with.
pub fn statement<W: Write, E: From<io::Error>>(
    out: &mut W,
    file: &str,
    look: &Look,
    head: &StatementHead,
    currency: &Currency,
    rows: impl FnOnce(&mut dyn FnMut(&StatementLine) -> io::Result<()>) -> Result<(), E>,
) -> Result<(), E> {
    let balance = |end: Option<(NaiveDate, Money)>| {
        end.map(|(date, amount)| BalanceJson {
            date,
            balance: currency.plain(amount),
        })
    };
    let layout = head.layout.as_ref().or(look.layout.as_ref());
    out.write_all(b"{")?;
    member(out, "", "currency", &currency.code())?;
    member(out, ",", "from", &head.from)?;
    member(out, ",", "to", &head.to)?;
    member(out, ",", "file", &file)?;
    member(out, ",", "format", &head.format.as_str())?;
    member(out, ",", "account", &head.account)?;
    member(out, ",", "recognised", &look.recognised)?;
    member(out, ",", "layout", &layout)?;
    out.write_all(b",\n  \"rows\": [")?;
    let mut is_first = true;
    rows(&mut |line| {
        out.write_all(if is_first { b"\n    " } else { b",\n    " })?;
        is_first = false;
        let row = RowJson {
            row: line.row,
            date: line.date,
            amount: currency.plain(line.amount),
            text: &line.text,
            id: line.bank_id.as_deref(),
            balance: line.balance.map(|balance| currency.plain(balance)),
        };
        serde_json::to_writer(&mut *out, &row).map_err(io::Error::from)
    })?;
    out.write_all(if is_first { b"]" } else { b"\n  ]" })?;
    let questions: Vec<QuestionJson> = look
        .questions
        .iter()
        .map(|question| QuestionJson {
            asks: question.asked.as_str(),
            text: question.text.clone(),
            option: question.option(),
            choices: question.choices.clone(),
            examples: question.examples.clone(),
        })
        .collect();
    member(out, ",", "questions", &questions)?;
    member(out, ",", "notes", &head.notes)?;
    member(out, ",", "opening", &balance(head.opening))?;
    member(out, ",", "closing", &balance(head.closing))?;
    out.write_all(b"\n}\n")?;
    Ok(())
}

fn member(
    out: &mut impl Write,
    before: &str,
    name: &str,
    value: &impl Serialize,
) -> io::Result<()> {
    write!(out, "{before}\n  \"{name}\": ")?;
    serde_json::to_writer(out, value).map_err(io::Error::from)
}
