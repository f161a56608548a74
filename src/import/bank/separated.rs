//! Tables of transactions as text: the look over a whole file that finds its layout, and the reading of its lines.
//! What columns and cells are is told by `columns`, `days` and `figures`; what they prove together by `evidence`.

use std::io::{Read, Seek};

use chrono::Days;
use encoding_rs::{Encoding, UTF_8};

use super::columns::{Likeness, Shape, likeness, shape};
use super::decoding::{decoded, detect, of_label};
use super::evidence::Running;
use super::fault::File;
use super::records::{Record, Records};
use super::rows::{Rows, Sifted};
use super::whole::{Fixed, Whole, gather, notes};
use super::words::{Said, words};
use super::{Answers, Asked, Look, PreviewColumn, Question, StatementError};
use crate::bank::{
    BankLayout, ColumnRole, DateOrder, DebitStyle, SignRule, StatementFormat, StatementHead,
    StatementLine,
};
use crate::money::{Currency, Money};

/// What can stand between cells, the likelier first.
pub(in crate::import) const SEPARATORS: [char; 4] = [';', '\t', ',', '|'];
/// How many rows are held for finding the columns.
const SAMPLE_ROWS: usize = 200;
const SAMPLE_BYTES: usize = 1024 * 1024;

/// Looks over a whole table.
///
/// # Errors
/// When it is no table of days and amounts, a row is at fault, or an answer does not fit the file.
pub(super) fn look(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    known: &[BankLayout],
    answers: &Answers,
    currency: &Currency,
) -> Result<Look, StatementError> {
    let encoding = encoding(source, file, answers)?;
    let (separator, sample) = best_cut(source, file, encoding, answers)?;
    let mut look = Look::new(StatementFormat::Separated, encoding.name());
    let found = shape(&sample, answers.header_row);
    let kept = kept_layout(known, &found, answers, &mut look);
    let found = match &kept {
        Some(layout) => found.with_layout(layout),
        None => found,
    };
    let found = found
        .with_answers(&answers.columns)
        .map_err(|why| file.whole(why))?;
    show_table(&mut look, &found, &sample);
    if found.width < 2 || (sample.iter().all(Record::is_blank)) {
        return Err(file.whole(
            "no table of days and amounts was found in it; a statement has at least a column of days and one of amounts",
        ));
    }
    if !found.is_complete() {
        look.questions.push(columns_question(&found, &sample));
        return Ok(look);
    }
    named_in_preamble(&mut look.head, &found, &sample, currency, file)?;
    let rows = Rows {
        file,
        shape: &found,
        currency,
        account: answers.statement_account.as_deref(),
    };
    let is_sign_fixed = answers.sign.is_some() || kept.is_some();
    let fixed = Fixed {
        dates: answers.dates.or(kept.as_ref().map(|layout| layout.dates)),
        decimal_mark: answers
            .decimal_mark
            .or(kept.as_ref().map(|layout| layout.decimal_mark)),
        // Where the sign is known, or a running balance is likely to prove it, words need not be asked.
        asks_words: !is_sign_fixed
            && (answers.is_card || found.first(ColumnRole::Balance).is_none()),
    };
    let mut go_through = |fixed: Fixed| {
        let text = decoded(source, encoding).map_err(|error| file.reading(&error))?;
        gather(Records::new(text, file, separator), &rows, &fixed)
    };
    let mut whole = go_through(fixed)?;
    let is_proven = whole.running[idx_of(&whole)].proven().is_some();
    if !is_sign_fixed && !fixed.asks_words && !is_proven {
        whole = go_through(Fixed {
            asks_words: true,
            ..fixed
        })?;
    }
    accounts(&mut look, &whole, answers, file)?;
    if let Some(last) = answers
        .today
        .and_then(|today| today.checked_add_days(Days::new(7)))
    {
        whole.dates.not_after(last);
    }
    let layout = decided(
        &mut look, &whole, &found, kept, answers, encoding, separator,
    );
    for record in &sample {
        if look.lines.len() < Look::FIRST
            && let Ok(Sifted::Line(raw)) = rows.sift(record)
            && let Ok(line) = rows.line(record, &raw, &layout)
        {
            look.lines.push(line);
        }
    }
    if let Some((from, to)) = whole
        .dates
        .ends(layout.dates)
        .filter(|_| whole.dates.left().len() == 1)
    {
        look.head.from = Some(from);
        look.head.to = Some(to);
    }
    if look.head.currency.is_none() && whole.names_currency {
        look.head.currency = Some(currency.code().to_owned());
    }
    look.head.notes = notes(&whole);
    look.head.layout = Some(layout.clone());
    look.layout = Some(layout.clone());
    look.header_row = found.header_row;
    look.account.clone_from(&answers.statement_account);
    if look.questions.is_empty() && found.first(ColumnRole::Balance).is_some() {
        let idx = idx_of(&whole);
        let is_as_gathered = whole.lines > 1
            && layout.sign == SignRule::AsWritten
            && layout.debits == DebitStyle::Positive
            && !layout.balance_is_owed
            && !whole.marks_balances;
        let ends = if is_as_gathered {
            let running = std::mem::take(&mut whole.running[idx]);
            (running.ends(), running)
        } else {
            balances(source, file, &look, &rows)?
        };
        show_balances(&mut look, ends, currency);
    }
    Ok(look)
}

/// Reads the lines of a table that has been looked at.
///
/// # Errors
/// When a row is at fault, or whoever takes the lines refuses one.
pub(super) fn read<E: From<StatementError>>(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    look: &Look,
    currency: &Currency,
    each: &mut dyn FnMut(StatementLine) -> Result<(), E>,
) -> Result<StatementHead, E> {
    let Some(layout) = &look.layout else {
        return Err(file.whole("the file has not been understood").into());
    };
    let headers: Vec<String> = look
        .columns
        .iter()
        .map(|column| column.header.clone())
        .collect();
    let found = Shape {
        header_row: look.header_row,
        has_header: !layout.header.is_empty(),
        names: layout.header.clone(),
        width: headers.len(),
        headers,
        roles: Default::default(),
    }
    .with_layout(layout);
    let rows = Rows {
        file,
        shape: &found,
        currency,
        account: look.account.as_deref(),
    };
    let encoding = of_label(&look.encoding).unwrap_or(UTF_8);
    let text = decoded(source, encoding).map_err(|error| file.reading(&error))?;
    let mut records = Records::new(text, file, layout.separator);
    let mut record = Record::default();
    while records.read(&mut record)? {
        if let Sifted::Line(raw) = rows.sift(&record)? {
            each(rows.line(&record, &raw, layout)?)?;
        }
    }
    Ok(look.head.clone())
}

fn encoding(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    answers: &Answers,
) -> Result<&'static Encoding, StatementError> {
    match &answers.encoding {
        Some(label) => of_label(label)
            .ok_or_else(|| file.whole(format!("'{label}' is not the label of an encoding"))),
        None => detect(source).map_err(|error| file.reading(&error)),
    }
}

/// The separator under which the first rows look most like a table, and those rows.
fn best_cut(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    encoding: &'static Encoding,
    answers: &Answers,
) -> Result<(char, Vec<Record>), StatementError> {
    let mut best: Option<(Likeness, char, Vec<Record>)> = None;
    let mut refusal = None;
    for separator in SEPARATORS {
        let separator = answers.separator.unwrap_or(separator);
        let sample = match sample(source, file, encoding, separator) {
            Ok(sample) => sample,
            Err(StatementError::Stopped) => return Err(StatementError::Stopped),
            Err(error) => {
                refusal.get_or_insert(error);
                continue;
            }
        };
        let mut rank = likeness(&sample);
        let is_declared = sample.first().is_some_and(|record| {
            record.cells().concat().eq_ignore_ascii_case("sep=") && record.len() == 2
        });
        if is_declared {
            rank.0 = usize::MAX;
        }
        if best.as_ref().is_none_or(|(known, ..)| rank > *known) {
            best = Some((rank, separator, sample));
        }
        if answers.separator.is_some() {
            break;
        }
    }
    match (best, refusal) {
        (Some(((0, 0, _), ..)) | None, Some(error)) => Err(error),
        (Some(((0, 0, _), ..)), None) if answers.columns.is_empty() && answers.header_row.is_none() => {
            Err(file.whole(
                "no table of days and amounts was found in it; a statement has at least a column of days and one of amounts",
            ))
        }
        (Some((_rank, separator, sample)), _) => Ok((separator, sample)),
        (None, None) => Err(file.whole("the file is empty")),
    }
}

fn sample(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    encoding: &'static Encoding,
    separator: char,
) -> Result<Vec<Record>, StatementError> {
    let text = decoded(source, encoding).map_err(|error| file.reading(&error))?;
    let mut records = Records::new(text, file, separator);
    let mut sample = Vec::new();
    let mut bytes = 0;
    let mut record = Record::default();
    while sample.len() < SAMPLE_ROWS && bytes < SAMPLE_BYTES && records.read(&mut record)? {
        bytes += record.size();
        sample.push(record.clone());
    }
    Ok(sample)
}

/// The kept layout that the file is recognised by.
fn kept_layout(
    known: &[BankLayout],
    found: &Shape,
    answers: &Answers,
    look: &mut Look,
) -> Option<BankLayout> {
    if let Some(name) = &answers.layout
        && let Some(layout) = known.iter().find(|layout| layout.name == *name)
    {
        look.recognised = Some(layout.name.clone());
        return Some(layout.clone());
    }
    let headers: Vec<&str> = found.headers.iter().map(String::as_str).collect();
    let fitting: Vec<&BankLayout> = known
        .iter()
        .filter(|layout| found.has_header && layout.is_header(&headers))
        .collect();
    let first = fitting.first()?;
    let unnamed = |layout: &BankLayout| BankLayout {
        name: String::new(),
        encoding: String::new(),
        ..layout.clone()
    };
    if fitting.iter().any(|other| unnamed(other) != unnamed(first)) {
        look.questions.push(Question {
            asked: Asked::Layout,
            text: "several kept layouts have this header and read it differently".to_owned(),
            choices: fitting.iter().map(|layout| layout.name.clone()).collect(),
            examples: Vec::new(),
        });
    }
    look.recognised = Some(first.name.clone());
    Some((*first).clone())
}

fn show_table(look: &mut Look, found: &Shape, sample: &[Record]) {
    look.columns = (0..found.width)
        .map(|place| PreviewColumn {
            name: found.name(place),
            header: found.headers.get(place).cloned().unwrap_or_default(),
            role: found.role_of(place),
        })
        .collect();
    look.rows = sample
        .iter()
        .filter(|record| record.row > found.header_row && !record.is_blank())
        .take(Look::FIRST)
        .map(|record| {
            let cells = record.cells().iter().map(ToString::to_string).collect();
            (record.row, cells)
        })
        .collect();
}

fn columns_question(found: &Shape, sample: &[Record]) -> Question {
    let missing = match (found.first(ColumnRole::Date).is_some(), found.is_complete()) {
        (false, _) => "which column holds the day cannot be known",
        _ => "which column holds the amount cannot be known",
    };
    let examples = if found.has_header {
        (0..found.width).map(|place| found.column(place)).collect()
    } else {
        sample
            .iter()
            .find(|record| record.row > found.header_row && !record.is_blank())
            .map(|record| record.cells().iter().map(ToString::to_string).collect())
            .unwrap_or_default()
    };
    Question {
        asked: Asked::Columns,
        text: missing.to_owned(),
        choices: (0..found.width).map(|place| found.name(place)).collect(),
        examples,
    }
}

/// Account and currency as the rows above the table and its header name them.
fn named_in_preamble(
    head: &mut StatementHead,
    found: &Shape,
    sample: &[Record],
    currency: &Currency,
    file: File<'_>,
) -> Result<(), StatementError> {
    for record in sample.iter().filter(|record| record.row < found.header_row) {
        let cells: Vec<&str> = record.cells();
        for pair in cells.windows(2) {
            let [label, value] = pair else { continue };
            let value = value.trim();
            if value.is_empty() || value.len() > 60 {
                continue;
            }
            match words().said(label) {
                Some((Said::Role(ColumnRole::Account), _rank)) if head.account.is_none() => {
                    head.account = Some(value.to_owned());
                }
                Some((Said::Role(ColumnRole::Currency), _rank))
                    if Currency::from_code(value).is_ok() =>
                {
                    head.currency = Some(value.to_uppercase());
                }
                _ => {}
            }
        }
    }
    for role in [ColumnRole::Amount, ColumnRole::Debit, ColumnRole::Credit] {
        if let Some(code) = found
            .first(role)
            .and_then(|place| found.headers.get(place))
            .and_then(|header| code_in(header))
        {
            head.currency = Some(code);
        }
    }
    super::same_currency(head.currency.as_deref(), currency, file)
}

/// The currency that a header names in brackets or as its last word.
fn code_in(header: &str) -> Option<String> {
    let parts: Vec<&str> = header
        .split(|c: char| !c.is_ascii_alphabetic())
        .filter(|part| !part.is_empty())
        .collect();
    let last = parts.last().filter(|_| parts.len() > 1)?;
    let is_code = last.len() == 3
        && last.bytes().all(|byte| byte.is_ascii_uppercase())
        && Currency::from_code(last).is_ok();
    is_code.then(|| (*last).to_owned())
}

/// Which accounts the file holds, and whether it has to be asked which is meant.
fn accounts(
    look: &mut Look,
    whole: &Whole,
    answers: &Answers,
    file: File<'_>,
) -> Result<(), StatementError> {
    let named: Vec<String> = whole.accounts.iter().cloned().collect();
    if let Some(wanted) = &answers.statement_account {
        if !named.is_empty() && !named.contains(wanted) {
            return Err(super::no_such_account(file, wanted, &named));
        }
        look.head.account = Some(wanted.clone());
    } else if named.len() > 1 {
        look.questions.push(super::account_question(&named));
    } else if let Some(only) = named.first().filter(|only| !only.is_empty()) {
        look.head.account = Some(only.clone());
    }
    if named.len() > 1 {
        look.accounts = named;
    }
    Ok(())
}

/// The place of the decimal mark that is left, the likelier of two.
fn idx_of(whole: &Whole) -> usize {
    usize::from(whole.decimals.left().first() == Some(&','))
}

/// The layout that all rows prove; what they leave open is asked and taken at its likeliest for the preview.
fn decided(
    look: &mut Look,
    whole: &Whole,
    found: &Shape,
    kept: Option<BankLayout>,
    answers: &Answers,
    encoding: &'static Encoding,
    separator: char,
) -> BankLayout {
    let orders = whole.dates.left();
    if orders.len() > 1 {
        look.questions.push(Question {
            asked: Asked::Dates,
            text: "day and month cannot be told apart in any row".to_owned(),
            choices: orders
                .iter()
                .map(|order| order.as_str().to_owned())
                .collect(),
            examples: whole.dates.examples.clone(),
        });
    }
    let marks = whole.decimals.left();
    if marks.len() > 1 {
        look.questions.push(Question {
            asked: Asked::Decimal,
            text: "a point or comma may part thousands or decimals in every amount".to_owned(),
            choices: marks.iter().map(ToString::to_string).collect(),
            examples: whole.decimals.examples.clone(),
        });
    }
    let decimal_mark = marks.first().copied().unwrap_or('.');
    let idx = idx_of(whole);
    let signs = &whole.signs[idx];
    let sides_apart = found.first(ColumnRole::Amount).is_none();
    let fixed_sign = answers.sign.or(kept.as_ref().map(|layout| layout.sign));
    let sign = super::sign::decide(
        signs,
        &whole.running[idx],
        sides_apart,
        fixed_sign,
        answers.is_card,
    );
    if sign.is_open {
        look.questions.push(super::sign::question(signs));
    }
    BankLayout {
        name: answers
            .layout
            .clone()
            .or_else(|| kept.as_ref().map(|layout| layout.name.clone()))
            .unwrap_or_default(),
        encoding: encoding.name().to_owned(),
        separator,
        header: found.names.clone(),
        columns: found.by_name(),
        dates: orders.first().copied().unwrap_or(DateOrder::Ymd),
        decimal_mark,
        sign: sign.rule,
        debits: match kept.as_ref().filter(|_| signs.negative_debits == 0) {
            Some(layout) => layout.debits,
            None if signs.negative_debits > 0 && signs.positive_debits == 0 => DebitStyle::Negative,
            None => DebitStyle::Positive,
        },
        balance_is_owed: sign.balance_is_owed,
    }
}

/// The balances before and after the lines, as far as they are proven, and how all follow from the amounts.
type Balances = (Option<(Money, Money)>, Running);

/// Holds balances against the amounts as they are finally taken.
fn balances(
    source: &mut (impl Read + Seek),
    file: File<'_>,
    look: &Look,
    rows: &Rows<'_>,
) -> Result<Balances, StatementError> {
    let mut running = Running::default();
    let mut only = None;
    let mut count = 0_u64;
    read::<StatementError>(source, file, look, rows.currency, &mut |line| {
        running.add(line.amount, line.balance, line.row);
        count += 1;
        only = line.balance.map(|balance| (balance, line.amount));
        Ok(())
    })?;
    let ends = if count == 1 {
        only.map(|(balance, amount)| (balance - amount, balance))
    } else {
        running.ends()
    };
    Ok((ends, running))
}

fn show_balances(look: &mut Look, (ends, running): Balances, currency: &Currency) {
    if let (Some((opening, closing)), Some(from), Some(to)) = (ends, look.head.from, look.head.to) {
        look.head.opening = Some((from, opening));
        look.head.closing = Some((to, closing));
    }
    if let Some((row, expected, found)) = running.first_miss() {
        look.head.notes.push(format!(
            "row {row}: the balance is {}, the amounts make it {}",
            currency.plain(found),
            currency.plain(expected)
        ));
    }
}
