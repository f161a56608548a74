//! How a statement file is understood, as plain lines.
//! Statement lines that the book keeps are `bank`'s.

use crate::bank::{StatementHead, StatementLine};
use crate::money::Currency;

/// What a statement says of itself, a sentence a line.
#[must_use]
pub fn statement_head(file: &str, head: &StatementHead, currency: &Currency) -> String {
    let mut text = format!("{file}: {}", head.format.plain());
    if let Some(account) = &head.account {
        text.push_str(&format!(" of {account}"));
    }
    if let (Some(from), Some(to)) = (head.from, head.to) {
        text.push_str(&format!(", {from} to {to}"));
    }
    text.push_str(&format!(", in {}\n", currency.code()));
    if let Some((day, balance)) = head.closing {
        text.push_str(&format!(
            "It closes with {} on {day}.\n",
            currency.show(balance)
        ));
    }
    for note in &head.notes {
        text.push_str(note);
        text.push('\n');
    }
    text
}

/// One line of a statement: day, amount, words.
#[must_use]
pub fn statement_line(line: &StatementLine, currency: &Currency) -> String {
    format!(
        "{}  {:>14}  {}\n",
        line.date,
        currency.show(line.amount),
        line.text
    )
}
