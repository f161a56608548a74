//! A year's pack for the accountant: one folder and one archive with pages to read, a workbook to work with, sheets to
//! load, the receipts, and a sealed list of all of it. It appears whole or not at all; the same book gives the same pack.

mod cover;
mod desk;
mod entry_lists;
mod formulas;
mod going_on;
mod lists;
mod manifest;
mod not_caught_up;
mod open_points;
mod owing;
mod pages;
mod schedules;
mod shop_lists;
mod summary;
mod ties;
mod verify;
mod workbook;

use std::path::Path;

use chrono::NaiveDate;
use serde_json::{Map, Value, json};

use self::manifest::{MANIFEST, Manifest};
use self::schedules::{Gathered, Schedule};
use super::folder::{self, FolderDraft, WrittenFile};
use super::{Cell, ExportError, RowStyle, Table, json, written_out};
use crate::book::{Book, BookHead, PackRecord};
use crate::dates::{DateRange, show_day};
use crate::money::Money;
use crate::reports;

pub use cover::CAUTIONS;
pub use ties::Tie;
pub use verify::{Verified, verify};

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// The days of the year.
    pub year: DateRange,
    /// Every file of the folder.
    pub files: Vec<WrittenFile>,
    /// What the cover says is still open.
    pub open: Vec<String>,
    /// What must agree, and whether it does.
    pub ties: Vec<Tie>,
    /// What the book keeps of it.
    pub record: PackRecord,
}

/// Told how far the work is, in thousandths that never go back; answers whether to go on.
pub type Watch<'a> = &'a mut dyn FnMut(usize, usize) -> bool;

/// The whole that is told.
const WHOLE: usize = 1_000;
/// Where gathering ends, and where the pages do, in the time that a year of some thousand entries takes.
const GATHERED: usize = 400;
const PRINTED: usize = 750;
/// Steps of gathering beside receipts and accounts.
const LETTERS: usize = 40;

/// Counts steps, and stops the work when it is asked to. How many there are is known part by part only: each part has its
/// share of the whole, so that what is told never goes back.
struct Steps<'a> {
    watch: Watch<'a>,
    from: usize,
    to: usize,
    done: usize,
    in_part: usize,
}

impl Steps<'_> {
    /// Begins a part that ends at `to` of the whole and has about so many steps.
    fn part(&mut self, to: usize, steps: usize) {
        self.from = self.to;
        self.to = to;
        self.done = 0;
        self.in_part = steps.max(1);
    }

    fn tell(&mut self) -> Result<(), ExportError> {
        self.done += 1;
        let share = (self.to - self.from) * self.done.min(self.in_part) / self.in_part;
        if (self.watch)(self.from + share, WHOLE) {
            Ok(())
        } else {
            Err(ExportError::Stopped)
        }
    }
}

/// Makes the pack of the financial year that ends in the calendar year `year`, and keeps in the book that it was made.
/// `today` is the day of making that stands in it.
///
/// # Errors
/// When the folder has something in it, the work is stopped, the system refuses, or the book cannot be read. Nothing is
/// left behind then.
pub fn make(
    book: &mut Book,
    year: i32,
    folder: &Path,
    today: NaiveDate,
    watch: Watch<'_>,
) -> Result<Pack, ExportError> {
    let (draft, mut pack) = prepare(book, year, folder, today, watch)?;
    let mut is_there = false;
    let handed_out = book.record_pack(&pack.record, || {
        let files = draft.finish()?;
        is_there = true;
        Ok::<_, ExportError>(files)
    });
    match handed_out {
        Ok(files) => {
            pack.files = files;
            Ok(pack)
        }
        Err(error) => {
            if is_there {
                folder::take_away(folder);
            }
            Err(error)
        }
    }
}

/// Writes the pack of a year and keeps nothing in the book.
///
/// # Errors
/// As [`make`].
pub fn write(
    book: &Book,
    year: i32,
    folder: &Path,
    today: NaiveDate,
    watch: Watch<'_>,
) -> Result<Pack, ExportError> {
    let (draft, mut pack) = prepare(book, year, folder, today, watch)?;
    pack.files = draft.finish()?;
    Ok(pack)
}

/// Everything of a pack, not yet in its place.
fn prepare(
    book: &Book,
    year: i32,
    folder: &Path,
    today: NaiveDate,
    watch: Watch<'_>,
) -> Result<(FolderDraft, Pack), ExportError> {
    let days = book.year_start().year_ending_in(year);
    let mut draft = FolderDraft::begin(folder)?.with_archive()?;
    let proofs = book.all_receipts()?;
    let mut steps = Steps {
        watch,
        from: 0,
        to: 0,
        done: 0,
        in_part: 1,
    };
    steps.part(
        GATHERED,
        proofs.len() + book.chart().accounts().len() + LETTERS,
    );
    let head = book.head()?;
    let receipts = receipts(book, days, &mut draft, &mut steps)?;
    let mut gathered = schedules::gather(book, days, today, receipts, &mut || steps.tell())?;
    let n_tables = gathered.schedules.len();
    steps.part(
        PRINTED,
        2 * n_tables + pages::about_steps(&gathered.schedules),
    );
    let profit = reports::profit(book, days)?;
    let balance = reports::balance(book, days.to)?;
    let figures = cover::figures(&profit, &balance);
    let ties = ties::ties(book, days, &gathered)?;
    steps.tell()?;
    let mut front = vec![ties::table(&ties)];
    if let Some(last) = last_pack(book, days, &head)? {
        let (sums, rows) = cover::since(book, days, &last, &figures)?;
        front.push(sums);
        front.push(rows);
    }
    let mut open = open_points::open_points(book, days, today)?;
    for tie in ties.iter().filter(|tie| !tie.agrees()) {
        open.push(format!("What must agree does not: {}.", tie.what));
    }
    if book.is_practice() {
        for table in &mut front {
            table.mark_practice();
        }
        for table in gathered
            .schedules
            .iter_mut()
            .filter_map(|one| one.table.as_mut())
        {
            table.mark_practice();
        }
    }
    let Gathered { schedules, .. } = gathered;
    let currency = book.currency();
    let title = title(book, days);
    for table in &front {
        let name = if table.title.ends_with("must agree") {
            "ties"
        } else if table.title.contains("figures since") {
            "since-last-pack"
        } else {
            "changed-since-last-pack"
        };
        draft.file(&format!("sheets/{name}.csv"), &table.csv(currency)?)?;
    }
    for schedule in &schedules {
        if let Some(table) = &schedule.table {
            draft.file(
                &format!("sheets/{}.csv", schedule.name),
                &table.csv(currency)?,
            )?;
            steps.tell()?;
        }
    }
    let name = format!("year-end-{year}");
    steps.tell()?;
    let figures_json = figures_json(book, days, &schedules, &ties)?;
    draft.file(&format!("{name}.json"), &figures_json)?;
    steps.tell()?;
    let pages = {
        let (changes, estimates) = cover::changes_of_year(book, days)?;
        let front = pages::Front {
            title: title.clone(),
            facts: cover::facts(book, days, today)?,
            figures: figures
                .iter()
                .map(|(_key, what, amount)| (*what, *amount))
                .collect(),
            changes,
            estimates,
            open: &open,
            is_practice: book.is_practice(),
            tables: front.clone(),
        };
        pages::pages(&front, &schedules, currency, today, &mut || steps.tell())?
    };
    draft.file(&format!("{name}.pdf"), &pages)?;
    drop(pages);
    steps.part(WHOLE, n_tables + workbook::about_steps(&schedules));
    let summary = summary::summary(book, days, &figures, &open, &schedules, today)?;
    draft.file("summary.md", summary.as_bytes())?;
    let workbook = workbook::workbook(&title, &front, schedules, currency, today, &mut || {
        steps.tell()
    })?;
    draft.file(&format!("{name}.xlsx"), &workbook)?;
    drop(workbook);
    steps.tell()?;
    let manifest = Manifest::new(book, &head, days, today, draft.written())?;
    draft.file(MANIFEST, &manifest.bytes()?)?;
    steps.tell()?;
    let record = PackRecord {
        year: days,
        made_on: today,
        head_seq: head.seq,
        head_hash: head.hash,
        seal: manifest.seal,
        figures: figures
            .iter()
            .map(|(key, _what, amount)| ((*key).to_owned(), amount.minor()))
            .collect(),
    };
    // The last word: whoever watches sees that all of it is done.
    let _too_late_to_stop = (steps.watch)(WHOLE, WHOLE);
    let pack = Pack {
        year: days,
        files: Vec::new(),
        open,
        ties,
        record,
    };
    Ok((draft, pack))
}

/// The newest pack that was handed out of another state of the book.
fn last_pack(
    book: &Book,
    days: DateRange,
    head: &BookHead,
) -> Result<Option<PackRecord>, ExportError> {
    let packs = book.packs(days)?;
    Ok(packs
        .into_iter()
        .rev()
        .find(|pack| pack.head_seq != head.seq))
}

fn title(book: &Book, days: DateRange) -> String {
    let span = format!("{} to {}", show_day(days.from), show_day(days.to));
    let practice = if book.is_practice() {
        "Practice copy: "
    } else {
        ""
    };
    match book.settings().business_name() {
        "" => format!("{practice}Year end, {span}"),
        name => format!("{practice}{name}, {span}"),
    }
}

/// The receipts of the year's entries, each named by its entry, into the folder; answers their index.
fn receipts(
    book: &Book,
    days: DateRange,
    draft: &mut FolderDraft,
    steps: &mut Steps<'_>,
) -> Result<Table, ExportError> {
    let mut table = Table::new("Receipts", "Each file is named by its entry")
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("file", "File")
        .csv_column("sha256");
    for (place, (number, receipt)) in book.all_receipts()?.into_iter().enumerate() {
        steps.tell()?;
        let header = book.entry(number)?.entry.header;
        if !days.contains(header.date) {
            continue;
        }
        let file = written_out::receipt_file(number.0, place, &receipt.name);
        draft.file(&file, &book.receipt_bytes(&receipt.id)?)?;
        table.line(vec![
            Cell::Number(number.to_string()),
            header.date.to_string().into(),
            header.party.into(),
            file.into(),
            receipt.id.0.into(),
        ]);
    }
    Ok(table)
}

/// The statements with the keys that the sheets' documentation promises, the sums of every schedule, and what must agree.
fn figures_json(
    book: &Book,
    days: DateRange,
    schedules: &[Schedule],
    ties: &[Tie],
) -> Result<Vec<u8>, ExportError> {
    let currency = book.currency();
    let plain = |amount: Money| Value::String(currency.plain(amount));
    let wrong = |error: serde_json::Error| ExportError::Figures(error.to_string());
    let mut list = Vec::new();
    for schedule in schedules {
        let Some(table) = &schedule.table else {
            list.push(json!({"letter": schedule.letter, "title": schedule.title, "sheet": null, "sums": []}));
            continue;
        };
        let mut sums = Vec::new();
        for (style, cells) in table.rows() {
            if !matches!(style, RowStyle::Total | RowStyle::Final) {
                continue;
            }
            let mut sum = Map::new();
            for (column, cell) in table.columns.iter().zip(cells) {
                match cell {
                    Cell::Amount(amount) => {
                        sum.insert(column.slug.to_owned(), plain(*amount));
                    }
                    Cell::Text(text) if !text.is_empty() => {
                        sum.insert(column.slug.to_owned(), Value::String(text.clone()));
                    }
                    _ => {}
                }
            }
            sums.push(Value::Object(sum));
        }
        list.push(json!({
            "letter": schedule.letter,
            "title": schedule.title,
            "sheet": format!("sheets/{}.csv", schedule.name),
            "rows": table.rows().len(),
            "sums": sums,
        }));
    }
    let ties: Vec<Value> = ties
        .iter()
        .map(|tie| {
            json!({
                "what": tie.what,
                "left": tie.left,
                "left_amount": plain(tie.left_amount),
                "right": tie.right,
                "right_amount": plain(tie.right_amount),
                "agreed": tie.agrees(),
            })
        })
        .collect();
    let profit = json::profit(&reports::profit(book, days)?, None, currency);
    let balance = json::balance(&reports::balance(book, days.to)?, currency);
    let trial = json::trial(&reports::trial(book, days.to)?, days.to, None, currency);
    let capital = json::capital(&reports::capital(book, days)?, currency);
    let whole = json!({
        "currency": currency.code(),
        "from": days.from,
        "to": days.to,
        "profit": serde_json::to_value(profit).map_err(wrong)?,
        "balance": serde_json::to_value(balance).map_err(wrong)?,
        "trial": serde_json::to_value(trial).map_err(wrong)?,
        "capital": serde_json::to_value(capital).map_err(wrong)?,
        "ties": ties,
        "schedules": list,
        "cautions": CAUTIONS,
    });
    let mut bytes = serde_json::to_vec_pretty(&whole).map_err(wrong)?;
    bytes.push(b'\n');
    Ok(bytes)
}
