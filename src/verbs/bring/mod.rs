//! Bringing sheets into a book: whole or not at all, every fault named, the same file noticed.
//! What a sheet says is `import`'s business; here it meets the book.

mod adjustments;
mod around;
mod bank;
mod chart;
mod desk;
mod folder;
mod ledger;
mod log;
mod moving;
mod occasions;
mod orders;
mod plan;
mod register;
mod seen;
mod shops;
mod statements;
mod stock;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::Serialize;

use super::args::BringArgs;
use super::outcome::{print, print_json};
use super::{VerbError, with_book};
use crate::book::{Book, BookError, BroughtFile, ReceiptId};
use crate::import::{Context, Faults, Items, Layout, Sheet, layouts};
use crate::ledger::EntryNumber;

pub use bank::BankArgs;
pub use folder::{SHEETS_IN_ORDER, bring_files, bring_sheets, bring_written_out};

/// How a sheet is to be taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Take a file that was brought before.
    pub again: bool,
    /// Take rows that look like a channel's payout booked as a sale.
    pub allow_lookalikes: bool,
    /// Take movements after which more of an item has gone than ever came.
    pub allow_short: bool,
    /// Leave the lock that a sheet of settings asks for to the caller.
    pub leave_open: bool,
    /// The sheet is part of a written-out book: its movements were posted there already.
    pub is_written_out: bool,
    /// The day it is, for steps whose own day a sheet leaves out.
    pub today: Option<NaiveDate>,
}

/// A sheet as it was found.
#[derive(Clone, Debug)]
pub struct Source {
    /// The file's name, without its folder.
    pub name: String,
    /// Where the files it names are found.
    pub files: Files,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// Where the files that a sheet names are found.
#[derive(Clone, Debug)]
pub enum Files {
    /// In a folder.
    Folder(PathBuf),
    /// In the program itself.
    Within(&'static [(&'static str, &'static [u8])]),
}

impl Files {
    /// The content of a file.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        match self {
            Self::Folder(folder) => std::fs::read(folder.join(name)).map_err(|error| {
                if error.kind() == std::io::ErrorKind::NotFound {
                    format!("there is no file '{name}' beside the sheet")
                } else {
                    format!("the file '{name}' cannot be read: {error}")
                }
            }),
            Self::Within(files) => files
                .iter()
                .find(|(known, _bytes)| *known == name)
                .map(|(_name, bytes)| bytes.to_vec())
                .ok_or_else(|| format!("there is no file '{name}' beside the sheet")),
        }
    }
}

/// What a sheet left in the book.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Done {
    /// The file's name.
    pub file: String,
    /// What kind of sheet it was.
    pub kind: String,
    /// How many rows' worth of things it brought.
    pub count: usize,
    /// The numbers of the entries it made.
    pub entries: Vec<u64>,
    /// What else the owner should know.
    pub notes: Vec<String>,
}

impl Done {
    fn of_entries(numbers: &[EntryNumber]) -> Self {
        Self {
            count: numbers.len(),
            entries: numbers.iter().map(|number| number.0).collect(),
            ..Self::default()
        }
    }

    fn of_count(count: usize) -> Self {
        Self {
            count,
            ..Self::default()
        }
    }

    /// What the sheet holds, in words that go with the count.
    fn things(&self) -> &str {
        let (one, many) = match self.kind.as_str() {
            "settings" => ("setting", "settings"),
            "accounts" => ("account", "accounts"),
            "entries" => ("entry", "entries"),
            "adjustments" => ("adjusting entry", "adjusting entries"),
            "purchases" => ("purchase", "purchases"),
            "sales" => ("sale", "sales"),
            "refunds" => ("refund", "refunds"),
            "payouts" => ("payout", "payouts"),
            "equipment" => ("piece of equipment", "pieces of equipment"),
            "equipment-changes" => ("change of terms", "changes of terms"),
            "receipts" | "receipts-seen" => ("receipt", "receipts"),
            "items" => ("item", "items"),
            "recipes" => ("recipe", "recipes"),
            "bundles" => ("set", "sets"),
            "movements" => ("movement", "movements"),
            "recurring" => ("recurring purchase", "recurring purchases"),
            "holds" => ("hold", "holds"),
            "reported-gross" => ("reported figure", "reported figures"),
            "plan" => ("line of the plan", "lines of the plan"),
            "plan-money" => ("sum of money", "sums of money"),
            "plan-purchases" => ("purchase of the plan", "purchases of the plan"),
            "start-up-marks" => ("mark", "marks"),
            "supplier-orders" => ("order", "orders"),
            "supplier-arrivals" => ("arrival", "arrivals"),
            "supplier-claims" => ("claim", "claims"),
            "comparisons" => ("comparison", "comparisons"),
            "bank" | "statements" => ("new line", "new lines"),
            "statement-files" => ("statement file", "statement files"),
            "statement-lines" => ("statement line", "statement lines"),
            "sorting-rules" => ("rule", "rules"),
            "sorting-choices" => ("choice", "choices"),
            "reconciliations" => ("sheet", "sheets"),
            "shop-fees" => ("entry of charges", "entries of charges"),
            "file-layouts" => ("layout", "layouts"),
            "shop-records" => ("record", "records"),
            "questions" => ("question", "questions"),
            "duties" => ("duty", "duties"),
            "duties-done" => ("duty done", "duties done"),
            "papers" => ("paper", "papers"),
            "decisions" => ("decision", "decisions"),
            "hours" => ("time", "times"),
            "mileage" => ("trip", "trips"),
            "odometer" => ("reading", "readings"),
            "workspaces" => ("space", "spaces"),
            "workspace-bills" => ("bill", "bills"),
            "shared-bills" => ("business share", "business shares"),
            "matters" => ("step", "steps"),
            _ => ("row", "rows"),
        };
        if self.count == 1 { one } else { many }
    }

    fn sentence(&self) -> String {
        let (file, count, things) = (&self.file, self.count, self.things());
        let mut text = match (self.entries.first(), self.entries.last()) {
            (Some(first), Some(last)) if first != last => {
                format!("{file}: {count} {things} brought in as entries {first} to {last}.")
            }
            (Some(first), _) => format!("{file}: {count} {things} brought in as entry {first}."),
            _ => format!("{file}: {count} {things} brought in."),
        };
        for note in &self.notes {
            text.push('\n');
            text.push_str(note);
        }
        text
    }
}

/// Kinds of sheets that the layouts name and this version does not keep.
const NOT_KEPT: [&str; 1] = ["stock"];

/// Brings a sheet, or a written-out folder, into a book.
pub fn bring(args: &BringArgs, today: NaiveDate) -> Result<(), VerbError> {
    if args.kind == "bank" {
        return if args.bank.preview {
            bank::preview(args, today)
        } else {
            bank::bring(args, today)
        };
    }
    let options = Options {
        again: args.again,
        allow_lookalikes: args.allow_lookalikes,
        allow_short: args.allow_short,
        today: Some(today),
        ..Options::default()
    };
    if let Some(kind) = shops::kind_of(args) {
        return shops::bring(args, kind);
    }
    let file = args.one_file()?;
    let done = if args.kind == "written-out" {
        with_book(&args.book, |book| bring_written_out(book, file))?
    } else if args.kind == "sheets" {
        with_book(&args.book, |book| bring_sheets(book, file))?
    } else {
        let layout = layout_of(&args.kind)?;
        let source = source_of(file)?;
        vec![with_book(&args.book, |book| {
            bring_sheet(book, layout, &source, options)
        })?]
    };
    if args.json {
        return match done.as_slice() {
            [one] => print_json(one),
            several => print_json(&several),
        };
    }
    let sentences: Vec<String> = done.iter().map(Done::sentence).collect();
    print(&sentences.join("\n"))
}

fn layout_of(kind: &str) -> Result<&'static Layout, VerbError> {
    if let Some(layout) = layouts::of_kind(kind) {
        return Ok(layout);
    }
    if NOT_KEPT.contains(&kind) {
        return Err(VerbError::Usage(format!(
            "sheets of {kind} are not kept by this version; nothing was changed"
        )));
    }
    let known: Vec<&str> = layouts::every().map(|layout| layout.kind).collect();
    Err(VerbError::Usage(format!(
        "'{kind}' is not a kind of sheet; use one of {}, or written-out for a folder",
        known.join(", ")
    )))
}

fn source_of(path: &Path) -> Result<Source, VerbError> {
    Ok(Source {
        name: path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default(),
        files: Files::Folder(path.parent().map(Path::to_owned).unwrap_or_default()),
        bytes: read_file(path)?,
    })
}

/// Reads a file given on the command line.
pub fn read_file(path: &Path) -> Result<Vec<u8>, VerbError> {
    std::fs::read(path).map_err(|error| {
        let why = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
            _ => format!("it cannot be read: {error}"),
        };
        VerbError::refused(format!("{}: {why}; nothing was changed", path.display()))
    })
}

/// Brings one sheet into the book, whole or not at all.
///
/// # Errors
/// Every fault of the sheet; the book is then as it was.
pub fn bring_sheet(
    book: &mut Book,
    layout: &'static Layout,
    source: &Source,
    options: Options,
) -> Result<Done, VerbError> {
    let file = BroughtFile {
        hash: ReceiptId::of(&source.bytes).0,
        name: source.name.clone(),
        kind: layout.kind.to_owned(),
    };
    if !options.again
        && let Some((at, name)) = book.file_was_brought(&file.hash, &file.kind)?
    {
        let day = at.split('T').next().unwrap_or(&at);
        return Err(VerbError::refused(format!(
            "{}: the same file was brought in on {day} as {name}; nothing was changed (--again takes it once more)",
            source.name
        )));
    }
    let sheet = Sheet::read(&source.name, &source.bytes, layout)?;
    let mut done = book.group(&format!("Brought in {}", source.name), |book| {
        let done = by_kind(book, layout, &sheet, source, options)?;
        book.remember_file(&file)?;
        Ok::<Done, VerbError>(done)
    })?;
    done.file.clone_from(&source.name);
    layout.kind.clone_into(&mut done.kind);
    Ok(done)
}

fn by_kind(
    book: &mut Book,
    layout: &'static Layout,
    sheet: &Sheet,
    source: &Source,
    options: Options,
) -> Result<Done, VerbError> {
    match layout.kind {
        "settings" => chart::settings(book, sheet, options),
        "accounts" => chart::accounts(book, sheet),
        "items" => stock::items(book, sheet),
        "recipes" => stock::recipes(book, sheet),
        "bundles" => stock::bundles(book, sheet),
        "movements" => stock::movements(book, sheet, options),
        "entries" => ledger::entries(book, sheet, options),
        "adjustments" => adjustments::adjustments(book, sheet),
        "purchases" => ledger::purchases(book, sheet, options),
        "sales" => ledger::sales(book, sheet, options),
        "refunds" => ledger::refunds(book, sheet, options),
        "payouts" => ledger::payouts(book, sheet),
        "owner" => ledger::owner(book, sheet),
        "equipment" => register::equipment(book, sheet),
        "equipment-changes" => register::equipment_changes(book, sheet),
        "receipts" => around::receipts(book, sheet, &source.files),
        "receipts-seen" => seen::receipts_seen(book, sheet, &source.files),
        "recurring" => around::recurring(book, sheet),
        "holds" => around::holds(book, sheet),
        "reported-gross" => around::reported_gross(book, sheet),
        "remembered" => around::remembered(book, sheet),
        "plan" => plan::lines(book, sheet),
        "plan-money" => plan::money(book, sheet),
        "plan-purchases" => plan::purchases(book, sheet),
        "start-up-marks" => plan::marks(book, sheet),
        "supplier-orders" => orders::orders(book, sheet),
        "supplier-arrivals" => orders::arrivals(book, sheet),
        "supplier-claims" => orders::claims(book, sheet),
        "comparisons" => stock::comparisons(book, sheet),
        "statements" => statements::beside(book, sheet, &source.files),
        "statement-files" => statements::files(book, sheet),
        "statement-lines" => statements::lines(book, sheet),
        "sorting-rules" => statements::rules(book, sheet),
        "sorting-choices" => statements::choices(book, sheet),
        "reconciliations" => statements::reconciliations(book, sheet),
        "shop-fees" => ledger::shop_fees(book, sheet),
        "file-layouts" => around::file_layouts(book, sheet),
        "shop-items" => around::shop_items(book, sheet),
        "shop-records" => around::shop_records(book, sheet),
        "questions" => desk::questions(book, sheet, options),
        "duties" => desk::duties(book, sheet),
        "duties-done" => desk::duties_done(book, sheet, &source.files),
        "papers" => desk::papers(book, sheet, &source.files),
        "decisions" => desk::decisions(book, sheet),
        "hours" => desk::hours(book, sheet),
        "mileage" => log::trips(book, sheet, options),
        "odometer" => log::readings(book, sheet),
        "workspaces" => log::spaces(book, sheet),
        "workspace-bills" => log::bills(book, sheet),
        "shared-bills" => log::shared_bills(book, sheet),
        "matters" => occasions::matters(book, sheet),
        kind if !crate::occasions::of_sheet(kind).is_empty() => {
            occasions::tell(book, sheet, layout)
        }
        other => Err(VerbError::Usage(format!(
            "sheets of {other} are not kept by this version"
        ))),
    }
}

/// What sheets are read against in this book.
pub fn context(book: &Book) -> Context<'_> {
    Context {
        chart: book.chart(),
        currency: book.currency(),
        first_day: book.first_day(),
        lock_date: book.lock_date(),
    }
}

/// The items that the book keeps.
fn items_of(book: &Book) -> Result<Items, BookError> {
    Ok(Items::new(book.items()?).with_bundles(book.bundles()?))
}

/// A refusal of the book as a fault of a row.
fn row_fault(sheet: &Sheet, row: u64, error: &BookError) -> VerbError {
    let mut faults = Faults::new(&sheet.file);
    faults.row(row, innermost(error).to_string());
    faults.into()
}

fn innermost(error: &BookError) -> &BookError {
    match error {
        BookError::AtIndex { source, .. } => innermost(source),
        other => other,
    }
}
