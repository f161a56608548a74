//! Statement files, their lines, rules, choices and accounts against their statements, as sheets.
//! What the columns mean is documented with the layouts.

use super::ExportError;
use super::written_out::{number, yes_no};
use crate::book::{Became, Book};
use crate::ledger::AccountId;
use crate::sorting::Treatment;

fn may_number(book: &Book, account: Option<AccountId>) -> String {
    account.map(|id| number(book, id)).unwrap_or_default()
}

pub(super) fn files(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut files = book.statement_files()?;
    files.reverse();
    let rows = files.into_iter().map(|file| {
        vec![
            file.id.to_string(),
            number(book, file.account),
            file.name,
            file.hash,
            file.format,
            file.at,
            file.closing
                .map(|(day, _balance)| day.to_string())
                .unwrap_or_default(),
            file.closing
                .map(|(_day, balance)| book.currency().plain(balance))
                .unwrap_or_default(),
            file.bank_account,
        ]
    });
    Ok(rows.collect())
}

pub(super) fn lines(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let plain = |amount| book.currency().plain(amount);
    let mut rows = Vec::new();
    for (file, line, became) in book.all_bank_lines()? {
        let numbers: Vec<String> = became
            .as_ref()
            .map(Became::numbers)
            .unwrap_or_default()
            .iter()
            .map(ToString::to_string)
            .collect();
        rows.push(vec![
            file.to_string(),
            line.row.to_string(),
            line.date.to_string(),
            plain(line.amount),
            line.text,
            line.bank_id.unwrap_or_default(),
            line.balance.map(plain).unwrap_or_default(),
            became
                .as_ref()
                .map(Became::as_str)
                .unwrap_or_default()
                .to_owned(),
            numbers.join(";"),
            became.as_ref().map(Became::why).unwrap_or_default(),
            line.id.to_string(),
        ]);
    }
    Ok(rows)
}

/// Meaning, account, party and share, as both sheets have them.
fn told(book: &Book, treatment: &Treatment) -> [String; 4] {
    [
        treatment.meaning.as_str().to_owned(),
        may_number(book, treatment.account),
        treatment.party.clone(),
        treatment.share.to_string(),
    ]
}

pub(super) fn rules(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let plain = |amount| book.currency().plain(amount);
    let rows = book.sorting_rules()?.into_iter().map(|rule| {
        let mut row = vec![rule.words.clone()];
        row.extend(told(book, &rule.treatment));
        row.extend([
            may_number(book, rule.account),
            rule.direction.as_str().to_owned(),
            rule.at_least.map(plain).unwrap_or_default(),
            rule.at_most.map(plain).unwrap_or_default(),
            yes_no(rule.is_active),
        ]);
        row
    });
    Ok(rows.collect())
}

pub(super) fn choices(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.sorted_choices()?.into_iter().map(|choice| {
        let mut row = vec![
            choice.payee.key().to_owned(),
            choice.direction.as_str().to_owned(),
        ];
        row.extend(told(book, &choice.treatment));
        row.extend([choice.times.to_string(), choice.last_day.to_string()]);
        row
    });
    Ok(rows.collect())
}

pub(super) fn reconciliations(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let plain = |amount| book.currency().plain(amount);
    let mut rows = Vec::new();
    let mut sheets = book.reconciliations()?;
    sheets.sort_by_key(|sheet| sheet.id);
    for sheet in sheets {
        let head = [
            sheet.id.to_string(),
            number(book, sheet.account),
            sheet.day.to_string(),
            plain(sheet.balance),
            plain(sheet.opening),
            sheet.finished_at.clone().unwrap_or_default(),
            sheet.note.clone(),
        ];
        let moved: Vec<[String; 4]> = [(&sheet.ticked, true), (&sheet.outstanding, false)]
            .into_iter()
            .flat_map(|(list, is_ticked)| {
                list.iter().map(move |one| {
                    [
                        one.entry.to_string(),
                        one.date.to_string(),
                        plain(one.amount),
                        yes_no(is_ticked),
                    ]
                })
            })
            .collect();
        if moved.is_empty() {
            let mut row = head.to_vec();
            row.extend([String::new(), String::new(), String::new(), String::new()]);
            rows.push(row);
        }
        for one in moved {
            let mut row = head.to_vec();
            row.extend(one);
            rows.push(row);
        }
    }
    Ok(rows)
}
