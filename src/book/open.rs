//! Making a book, opening one, bringing an older one up to date, and holding it alone.
//! What is in it is the other files' business.

use std::fs::OpenOptions;
use std::io::Read;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::{Connection, OpenFlags, TransactionBehavior, params};

use super::history::ChainHead;
use super::settings::Settings;
use super::write::{self, Steps};
use super::{Book, BookError, accounts};
use crate::dates::YearStart;
use crate::ledger::Chart;
use crate::money::Currency;
use crate::stock::CostMethod;

/// "Deck" in ASCII: marks a file as a book, at the place SQLite keeps for it.
pub(super) const APPLICATION_ID: i32 = 0x4465_636B;

/// The layouts of the book file, oldest first. A released one never changes.
pub(super) const MIGRATIONS: &[&str] = &[
    include_str!("migrations/0001_first.sql"),
    include_str!("migrations/0002_by_kind.sql"),
    include_str!("migrations/0003_stock.sql"),
    include_str!("migrations/0004_plan.sql"),
    include_str!("migrations/0005_bundles.sql"),
    include_str!("migrations/0006_orders.sql"),
    include_str!("migrations/0007_deciding.sql"),
    include_str!("migrations/0008_records.sql"),
    include_str!("migrations/0009_lines_by_number.sql"),
    include_str!("migrations/0010_desk.sql"),
    include_str!("migrations/0011_practice.sql"),
    include_str!("migrations/0012_not_explained.sql"),
    include_str!("migrations/0013_matters.sql"),
    include_str!("migrations/0014_packs.sql"),
    include_str!("migrations/0015_log.sql"),
    include_str!("migrations/0016_shared_bills.sql"),
];

const MAGIC: &[u8; 16] = b"SQLite format 3\0";

/// What a new book needs to know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewBook {
    /// The currency of every amount.
    pub currency: Currency,
    /// The first day of the book.
    pub first_day: NaiveDate,
    /// When financial years begin.
    pub year_start: YearStart,
    /// How stock is valued.
    pub costing: CostMethod,
    /// The name on statements; may be empty.
    pub business_name: String,
}

impl NewBook {
    /// A book in a currency from a day on; calendar years, average costing, no name yet.
    #[must_use]
    pub fn new(currency: Currency, first_day: NaiveDate) -> Self {
        Self {
            currency,
            first_day,
            year_start: YearStart::default(),
            costing: CostMethod::default(),
            business_name: String::new(),
        }
    }
}

impl Book {
    /// Makes a new book with the chart of a craft business and opens it.
    ///
    /// # Errors
    /// When a file is there already, or the folder cannot be written to; no file is left behind then.
    pub fn create(path: impl AsRef<Path>, new: &NewBook) -> Result<Self, BookError> {
        let path = path.as_ref();
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        refuse_read_only_folder(path)?;
        options.open(path).map_err(|error| match error.kind() {
            std::io::ErrorKind::AlreadyExists => BookError::Exists(path.to_owned()),
            std::io::ErrorKind::PermissionDenied => BookError::ReadOnly {
                path: Some(path.to_owned()),
            },
            _ => BookError::io(format!("making {}", path.display()), error),
        })?;
        let made = fill_new(path, new).and_then(|conn| Self::adopt(path.to_owned(), conn));
        made.map_err(|error| {
            // The half-made file was ours alone; when it cannot be removed, the first error is the one to tell.
            let _unimportant = std::fs::remove_file(path);
            error.in_file(path)
        })
    }

    /// Opens a book and holds it alone. An older layout is brought up to date, with a backup made first.
    ///
    /// # Errors
    /// When the file is missing, is no book, is newer than this program, cannot be written to, is damaged,
    /// or is open elsewhere.
    pub fn open(path: impl AsRef<Path>) -> Result<Self, BookError> {
        let path = path.as_ref();
        refuse_what_is_no_book(path)?;
        refuse_read_only_folder(path)?;
        let was_cut_off = journal_of(path).exists();
        let mut conn = connect(path).map_err(|error| error.in_file(path))?;
        let prepare = |conn: &mut Connection| {
            hold_alone(conn)?;
            if was_cut_off {
                quick_check(conn)?;
            }
            bring_up_to_date(conn, path, MIGRATIONS)
        };
        prepare(&mut conn)
            .and_then(|()| Self::adopt(path.to_owned(), conn))
            .map_err(|error| error.in_file(path))
    }

    fn adopt(path: PathBuf, conn: Connection) -> Result<Self, BookError> {
        write::watch_side_tables(&conn)?;
        let settings = Settings::load(&conn)?;
        let chart = accounts::load_chart(&conn)?;
        let chain = ChainHead::load(&conn)?;
        Ok(Self {
            identity: identity_of(&path),
            path,
            conn,
            chart,
            settings,
            revision: 1,
            chain,
            steps: Steps::default(),
            stale_chart: false,
            stale_settings: false,
            has_changed: false,
            newest_draft: 0,
            months: write::MonthRevisions::default(),
            last_balances: std::cell::RefCell::default(),
            own_rates: std::cell::RefCell::default(),
        })
    }
}

fn fill_new(path: &Path, new: &NewBook) -> Result<Connection, BookError> {
    let mut conn = connect(path)?;
    conn.pragma_update(None, "application_id", APPLICATION_ID)?;
    hold_alone(&conn)?;
    migrate(&mut conn, MIGRATIONS, 0)?;
    let with_form_lines = new.currency.code() == "USD";
    let chart = Chart::craft_business(with_form_lines)?;
    let tx = conn.transaction()?;
    let settings = [
        ("currency", new.currency.code().to_owned()),
        ("first_day", new.first_day.to_string()),
        ("year_starts", new.year_start.month().to_string()),
        ("costing", new.costing.as_str().to_owned()),
        ("business_name", new.business_name.trim().to_owned()),
    ];
    for (key, value) in settings.iter().filter(|(_key, value)| !value.is_empty()) {
        tx.execute(
            "INSERT INTO setting (key, value) VALUES (?1, ?2)",
            params![key, value],
        )?;
    }
    for account in chart.accounts() {
        accounts::insert(&tx, account)?;
    }
    tx.commit()?;
    Ok(conn)
}

/// A connection with the safety that every book gets, before anything is read.
pub(super) fn connect(path: &Path) -> Result<Connection, BookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    conn.busy_timeout(std::time::Duration::from_millis(100))?;
    conn.set_prepared_statement_cache_capacity(128);
    conn.execute_batch(
        "PRAGMA locking_mode = EXCLUSIVE;
         PRAGMA journal_mode = DELETE;
         PRAGMA synchronous = EXTRA;
         PRAGMA foreign_keys = ON;
         PRAGMA recursive_triggers = ON;
         PRAGMA trusted_schema = OFF;
         PRAGMA cell_size_check = ON;
         PRAGMA cache_size = -16384;",
    )?;
    Ok(conn)
}

/// Takes the file's lock for as long as the connection lives.
fn hold_alone(conn: &Connection) -> Result<(), BookError> {
    conn.execute_batch("BEGIN EXCLUSIVE; COMMIT;")?;
    Ok(())
}

fn refuse_what_is_no_book(path: &Path) -> Result<(), BookError> {
    let metadata = std::fs::metadata(path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => BookError::Missing(path.to_owned()),
        _ => BookError::io(format!("looking at {}", path.display()), error),
    })?;
    if !metadata.is_file() {
        return Err(BookError::NotABook(path.to_owned()));
    }
    let mut header = [0_u8; 100];
    let opened = OpenOptions::new().read(true).open(path);
    let mut file =
        opened.map_err(|error| BookError::io(format!("reading {}", path.display()), error))?;
    let is_book = file.read_exact(&mut header).is_ok()
        && header.starts_with(MAGIC)
        && header[68..72] == APPLICATION_ID.to_be_bytes();
    if !is_book {
        return Err(BookError::NotABook(path.to_owned()));
    }
    let can_write = OpenOptions::new().write(true).open(path).is_ok();
    if metadata.permissions().readonly() || !can_write {
        return Err(BookError::ReadOnly {
            path: Some(path.to_owned()),
        });
    }
    Ok(())
}

/// The rollback journal lives beside the book, so its folder must take new files.
fn refuse_read_only_folder(path: &Path) -> Result<(), BookError> {
    let folder = folder_of(path);
    let metadata = std::fs::metadata(folder).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => BookError::Missing(folder.to_owned()),
        _ => BookError::io(format!("looking at {}", folder.display()), error),
    })?;
    if metadata.permissions().readonly() {
        return Err(BookError::ReadOnly {
            path: Some(folder.to_owned()),
        });
    }
    Ok(())
}

/// The folder a file lies in.
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or_else(|| Path::new("."))
}

/// What tells a file from another one put in its place: device and inode where there are such.
pub(super) fn identity_of(path: &Path) -> Option<(u64, u64)> {
    let metadata = std::fs::metadata(path).ok()?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        Some((metadata.dev(), metadata.ino()))
    }
    #[cfg(not(unix))]
    metadata.is_file().then_some((0, 0))
}

fn journal_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-journal");
    PathBuf::from(name)
}

/// SQLite's own look at the file's structure.
pub(super) fn quick_check(conn: &Connection) -> Result<(), BookError> {
    let said: String = conn.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if said == "ok" {
        Ok(())
    } else {
        Err(BookError::damaged(said))
    }
}

fn bring_up_to_date(
    conn: &mut Connection,
    path: &Path,
    migrations: &[&str],
) -> Result<(), BookError> {
    let found: i64 = conn.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    let supported = i64::try_from(migrations.len()).unwrap_or(i64::MAX);
    if found > supported {
        return Err(BookError::Newer {
            found,
            supported,
            path: path.to_owned(),
        });
    }
    let Ok(done) = usize::try_from(found) else {
        return Err(BookError::NotABook(path.to_owned()));
    };
    if done == migrations.len() {
        return Ok(());
    }
    if done > 0 {
        quick_check(conn)?;
        super::backup::copy_beside(conn, path, chrono::Local::now().naive_local())?;
    }
    migrate(conn, migrations, done)
}

/// Applies the layouts after the first `done`, each in its own transaction with its number.
fn migrate(conn: &mut Connection, migrations: &[&str], done: usize) -> Result<(), BookError> {
    for (idx, sql) in migrations.iter().enumerate().skip(done) {
        let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        tx.execute_batch(sql)?;
        tx.pragma_update(None, "user_version", idx + 1)?;
        tx.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_later_layout_is_applied_after_a_backup() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("book.deckle");
        let day = crate::dates::parse_iso("2026-01-01").expect("a day");
        let currency = Currency::from_code("USD").expect("a currency");
        let book = Book::create(&path, &NewBook::new(currency, day)).expect("a book");
        drop(book);
        let mut conn = connect(&path).expect("a connection");
        let mut layouts = MIGRATIONS.to_vec();
        layouts.push("CREATE TABLE later (id INTEGER PRIMARY KEY) STRICT");
        let newest = i64::try_from(layouts.len()).expect("few layouts");
        bring_up_to_date(&mut conn, &path, &layouts).expect("brought up to date");
        let version: i64 = conn
            .query_row("PRAGMA user_version", [], |row| row.get(0))
            .expect("a version");
        assert_eq!(version, newest);
        let backups = super::super::backups_beside(&path).expect("a list");
        assert_eq!(backups.len(), 1);
        drop(conn);
        assert!(matches!(
            Book::open(&path),
            Err(BookError::Newer { found, .. }) if found == newest
        ));
        assert!(Book::open(&backups[0].1).is_ok());
    }

    #[test]
    fn a_layout_that_fails_leaves_the_book_as_it_was() {
        let mut conn = Connection::open_in_memory().expect("a connection");
        let layouts = [
            "CREATE TABLE one (id INTEGER) STRICT",
            "CREATE TABLE two (id INTEGER); nonsense",
        ];
        assert!(migrate(&mut conn, &layouts, 0).is_err());
        let version: i64 = conn
            .query_row("PRAGMA user_version", [], |row| row.get(0))
            .expect("a version");
        assert_eq!(version, 1);
        assert!(conn.prepare("SELECT * FROM two").is_err());
    }
}
