//! Files that shops export, brought into a book by a layout that the owner sets once.
//! Reading them is `import::shops`, what follows from them `shops`, here both meet the command line.

use std::collections::BTreeMap;

use serde::Serialize;

use super::super::args::BringArgs;
use super::super::outcome::{print, print_json};
use super::super::{VerbError, with_book};
use super::{innermost, source_of};
use crate::book::{Book, BookError, ShopItem};
use crate::export::counted;
use crate::import::Faults;
use crate::import::shops::{Given, ShopTable, propose};
use crate::ledger::{AccountId, Role};
use crate::reports::{self, ShopFile, ShopFileError};
use crate::shops::{Counts, FileKind, ShopLayout, Step, Steps, read_columns, read_rows};

/// What a shop's file left in the book, or would leave.
#[derive(Clone, Debug, Serialize)]
struct ShopDone {
    file: String,
    kind: String,
    channel: String,
    layout: String,
    preview: bool,
    #[serde(flatten)]
    counts: Counts,
    sums: BTreeMap<&'static str, String>,
    entries: Vec<u64>,
    not_tied: Vec<String>,
    notes: Vec<String>,
}

/// Why a file was not brought, or that it was only looked at.
enum Stop {
    Refused(VerbError),
    Looked(Box<ShopDone>),
}

impl From<BookError> for Stop {
    fn from(error: BookError) -> Self {
        Self::Refused(error.into())
    }
}

impl From<VerbError> for Stop {
    fn from(error: VerbError) -> Self {
        Self::Refused(error)
    }
}

/// Which kind of shop file the arguments mean; nothing where they mean another sheet.
pub(super) fn kind_of(args: &BringArgs) -> Option<FileKind> {
    match args.kind.as_str() {
        "orders" => Some(FileKind::Orders),
        "payouts" if args.shop.channel.is_some() => Some(FileKind::Payouts),
        _ => None,
    }
}

/// Brings a shop's files in, each in a transaction of its own.
pub(super) fn bring(args: &BringArgs, kind: FileKind) -> Result<(), VerbError> {
    let Some(channel) = args.shop.channel.as_deref().map(str::trim) else {
        return Err(VerbError::refused(
            "say which shop the file is from: --channel NAME; nothing was changed",
        ));
    };
    let given = given(args)?;
    let (done, refused) = with_book(&args.book, |book| {
        let mut done = Vec::new();
        for path in &args.file {
            let source = source_of(path)?;
            let label = format!("Brought in {}", source.name);
            let file = Asked {
                args,
                kind,
                channel,
                given: &given,
                file: &source.name,
                bytes: &source.bytes,
            };
            match book.group(&label, |book| one_file(book, &file)) {
                Ok(one) => done.push(one),
                Err(Stop::Looked(one)) => done.push(*one),
                Err(Stop::Refused(error)) if done.is_empty() => return Err(error),
                Err(Stop::Refused(error)) => return Ok((done, Some(error))),
            }
        }
        Ok((done, None))
    })?;
    if args.json {
        match done.as_slice() {
            [one] => print_json(one)?,
            several => print_json(&several)?,
        }
    } else {
        let sentences: Vec<String> = done.iter().map(ShopDone::sentence).collect();
        print(&sentences.join("\n"))?;
    }
    refused.map_or(Ok(()), Err)
}

/// One file and what was asked of it.
struct Asked<'a> {
    args: &'a BringArgs,
    kind: FileKind,
    channel: &'a str,
    given: &'a Given,
    file: &'a str,
    bytes: &'a [u8],
}

fn given(args: &BringArgs) -> Result<Given, VerbError> {
    let usage = |option: &str, error: String| VerbError::Usage(format!("{option}: {error}"));
    let mut given = Given::default();
    if let Some(columns) = &args.bank.columns {
        given.columns =
            read_columns(columns).map_err(|error| usage("--columns", error.to_string()))?;
    }
    for rows in &args.shop.rows {
        let (words, meaning) =
            read_rows(rows).map_err(|error| usage("--rows", error.to_string()))?;
        given.rows.insert(words, meaning);
    }
    for meaning in &args.shop.each_row {
        let meaning = meaning
            .parse()
            .map_err(|error| usage("--each-row", error))?;
        given.per_row.insert(meaning);
    }
    given.dates = args.bank.dates;
    given.decimal = args.bank.decimal;
    if let Some(fees) = &args.shop.fees {
        given.fees = Some(fees.parse().map_err(|error| usage("--fees", error))?);
    }
    Ok(given)
}

fn one_file(book: &mut Book, asked: &Asked<'_>) -> Result<ShopDone, Stop> {
    let table = ShopTable::read(asked.file, asked.bytes).map_err(VerbError::from)?;
    let refuse = |message: String| {
        Stop::Refused(VerbError::refused(format!(
            "{}: {message}; nothing was changed",
            asked.file
        )))
    };
    let channel = book.open_channel(asked.channel)?;
    let into = into(book, asked.args)?;
    tie_items(book, channel, &asked.args.shop.items)?;
    let (name, kept) = kept_layout(book, asked, &table)?;
    let given = Given {
        kept: kept.clone(),
        ..asked.given.clone()
    };
    let proposal = propose(&table, asked.kind, &given, book.currency());
    if let Some(question) = proposal.asked.first() {
        return Err(refuse(question.sentence()));
    }
    let file = ShopFile {
        kind: asked.kind,
        table: &table,
        name: &name,
        layout: &proposal.layout,
        channel,
        into,
    };
    let (steps, layout) = reports::shop_steps(book, &file).map_err(|error| match error {
        ShopFileError::Faults(faults) => Stop::Refused(faults.into()),
        ShopFileError::Report(message) => refuse(message),
    })?;
    if kept.as_ref() != Some(&layout) {
        let content = serde_json::to_string(&layout).map_err(|error| refuse(error.to_string()))?;
        book.keep_file_layout(&name, asked.kind.as_str(), &content)?;
    }
    let entries = if steps.steps.is_empty() {
        Vec::new()
    } else {
        book.take_shop_steps(channel, &steps.steps)
            .map_err(|error| row_fault(asked.file, &steps, &error))?
    };
    let currency = book.currency();
    let done = ShopDone {
        file: asked.file.to_owned(),
        kind: asked.kind.to_string(),
        channel: asked.channel.to_owned(),
        layout: name,
        preview: asked.args.bank.preview,
        sums: steps
            .sums
            .iter()
            .map(|(what, sum)| (*what, currency.plain(*sum)))
            .collect(),
        counts: steps.counts,
        entries: entries.iter().map(|number| number.0).collect(),
        not_tied: steps.untied,
        notes: steps.notes,
    };
    if done.preview {
        // What is refused is rolled back, and so is what was only looked at.
        return Err(Stop::Looked(Box::new(done)));
    }
    Ok(done)
}

fn into(book: &Book, args: &BringArgs) -> Result<AccountId, VerbError> {
    match &args.shop.into {
        Some(text) => Ok(book
            .chart()
            .find(text)
            .map_err(|error| VerbError::refused(format!("--into: {error}")))?
            .id),
        None => Ok(book
            .chart()
            .role(Role::BusinessBank)
            .map_err(BookError::from)?),
    }
}

/// Keeps which products words mean, as the command line ties them.
fn tie_items(book: &mut Book, channel: AccountId, items: &[String]) -> Result<(), VerbError> {
    for text in items {
        let Some((words, code)) = text.rsplit_once('=') else {
            return Err(VerbError::Usage(format!(
                "--items: '{text}' is not WORDS=CODE; nothing was changed"
            )));
        };
        let code = code.trim();
        if !code.is_empty() && book.item(code)?.is_none() && book.bundle(code)?.is_none() {
            return Err(VerbError::refused(format!(
                "--items: there is no item or set '{code}' in the book; nothing was changed"
            )));
        }
        book.keep_shop_item(&ShopItem {
            channel,
            words: words.trim().to_owned(),
            item: code.to_owned(),
        })?;
    }
    Ok(())
}

/// The layout that is asked for by name, or the only kept one that fits the file's header.
fn kept_layout(
    book: &Book,
    asked: &Asked<'_>,
    table: &ShopTable,
) -> Result<(String, Option<ShopLayout>), VerbError> {
    let mut kept = Vec::new();
    for layout in book.file_layouts(asked.kind.as_str())? {
        let read: ShopLayout = serde_json::from_str(&layout.content).map_err(|error| {
            VerbError::refused(format!(
                "the layout '{}' cannot be read: {error}",
                layout.name
            ))
        })?;
        kept.push((layout.name, read));
    }
    if let Some(name) = &asked.args.bank.layout {
        let name = name.trim();
        let found = kept
            .into_iter()
            .find(|(known, _)| known.to_lowercase() == name.to_lowercase());
        return Ok(found.map_or((name.to_owned(), None), |(name, layout)| {
            (name, Some(layout))
        }));
    }
    // The shop's own layout is read as the owner left it; another shop's only where it leaves nothing out.
    let own = kept.iter().find(|(name, layout)| {
        name.eq_ignore_ascii_case(asked.channel) && layout.check_header(&table.header).is_ok()
    });
    if let Some((name, layout)) = own {
        return Ok((name.clone(), Some(layout.clone())));
    }
    kept.retain(|(_, layout)| layout.is_of(asked.kind, &table.header));
    match kept.as_slice() {
        [] => Ok((asked.channel.to_owned(), None)),
        [(name, layout)] => Ok((name.clone(), Some(layout.clone()))),
        several => {
            let names: Vec<&str> = several.iter().map(|(name, _)| name.as_str()).collect();
            Err(VerbError::refused(format!(
                "{}: several layouts fit it ({}); say --layout NAME; nothing was changed",
                asked.file,
                names.join(", ")
            )))
        }
    }
}

/// A refusal of the book as a fault of the row that it follows from.
fn row_fault(file: &str, steps: &Steps, error: &BookError) -> Stop {
    let row = match error {
        BookError::AtIndex { index, .. } => match steps.steps.get(*index) {
            Some(Step::Write { row, .. } | Step::Rewrite { row, .. }) => Some(*row),
            _ => None,
        },
        _ => None,
    };
    let mut faults = Faults::new(file);
    match row {
        Some(row) => faults.row(row, innermost(error).to_string()),
        None => faults.file(innermost(error).to_string()),
    }
    Stop::Refused(faults.into())
}

impl ShopDone {
    /// What was brought, or would be, in a sentence with its notes.
    fn sentence(&self) -> String {
        let sum = |what: &str| self.sums.get(what).map(String::as_str).unwrap_or_default();
        let counts = &self.counts;
        let mut parts = Vec::new();
        let mut part = |count: usize, one: &str, many: &str, what: &str| {
            if count > 0 {
                parts.push(format!("{} ({})", counted(count, one, many), sum(what)));
            }
        };
        part(counts.sales, "sale", "sales", "sales");
        part(counts.refunds, "refund", "refunds", "refunds");
        part(counts.payouts, "payout", "payouts", "payouts");
        part(counts.held, "sum held back", "sums held back", "held");
        if counts.fees > 0 {
            parts.push(counted(
                counts.fees,
                "entry of charges",
                "entries of charges",
            ));
        }
        if counts.sales_completed > 0 {
            let completed = counted(counts.sales_completed, "sale", "sales");
            parts.push(format!("{completed} told in full"));
        }
        let is = if self.preview {
            "would be brought in"
        } else {
            "brought in"
        };
        let mut text = if parts.is_empty() {
            format!("{}: nothing new for {}", self.file, self.channel)
        } else {
            format!(
                "{}: {} {is} for {}",
                self.file,
                parts.join(", "),
                self.channel
            )
        };
        let fees = sum("fees");
        if fees.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) {
            text.push_str(&format!(", fees {fees}"));
        }
        if counts.known > 0 {
            text.push_str(&format!("; {} in the book already", counts.known));
        }
        text.push('.');
        for note in &self.notes {
            text.push('\n');
            text.push_str(note);
        }
        text
    }
}
