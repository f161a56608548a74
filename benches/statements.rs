//! How long a statement of 100,000 rows takes to be looked at and read whole, beside a bare pass of the csv crate over it;
//! how long it takes into a book, beside the csv crate and a bare loop of inserts in the same run; and how much memory statements of 200 MB take, one process a format. Run with `cargo bench --bench statements`.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use deckle::book::{Book, NewBook};
use deckle::import::bank::{Answers, StatementError, bring, bring_seen, look, look_for, read};
use deckle::ledger::Role;
use deckle::money::{Currency, Money};

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

const ROWS: u64 = 100_000;
const LARGE: u64 = 200_000_000;

fn main() -> Outcome<()> {
    let arguments: Vec<String> = std::env::args().collect();
    if let Some(place) = arguments.iter().position(|argument| argument == "--read") {
        let path = arguments.get(place + 1).ok_or("a file")?;
        return large(Path::new(path));
    }
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("rows.csv");
    let mut out = BufWriter::new(File::create(&path)?);
    table(&mut out, |count, _size| count == ROWS)?;
    out.into_inner()?.sync_all()?;
    let start = Instant::now();
    let mut cells = 0_usize;
    let mut reader = csv::ReaderBuilder::new().delimiter(b';').from_path(&path)?;
    let mut record = csv::ByteRecord::new();
    while reader.read_byte_record(&mut record)? {
        cells += record.len();
    }
    show(
        &format!("{ROWS} rows, a bare pass of the csv crate ({cells} cells)"),
        start.elapsed(),
    );
    for _time in 0..3 {
        let (looked, whole, count) = preview(&path)?;
        show(&format!("{count} rows, looked at"), looked);
        show(&format!("{count} rows, looked at and read whole"), whole);
    }
    for _time in 0..5 {
        let bare = bare_inserts(&path, folder.path())?;
        for (what, took) in into_book(&path, folder.path())? {
            println!(
                "{:<64} {:>10.2} of the bare rate ({:.0} ms against {:.0} ms)",
                format!("{ROWS} rows, {what}"),
                bare.as_secs_f64() / took.as_secs_f64(),
                took.as_secs_f64() * 1_000.0,
                bare.as_secs_f64() * 1_000.0
            );
        }
    }
    let this = std::env::current_exe()?;
    let formats: [(&str, Form); 3] = [("csv", table), ("ofx", ofx), ("xml", camt)];
    for (extension, write) in formats {
        let path = folder.path().join(format!("large.{extension}"));
        let mut out = BufWriter::new(File::create(&path)?);
        write(&mut out, |_count, size| size >= LARGE)?;
        drop(out.into_inner()?);
        // The peak of a process is the highest it ever was, so each format has its own.
        Command::new(&this).arg("--read").arg(&path).status()?;
        std::fs::remove_file(&path)?;
    }
    Ok(())
}

type Form = fn(&mut BufWriter<File>, fn(u64, u64) -> bool) -> Outcome<()>;

/// The day and amount of a row: eleven rows a day in the order of their days, as a statement has them, over 25 years.
fn row(count: u64) -> (String, i64) {
    let day = chrono::NaiveDate::from_ymd_opt(2000, 1, 1)
        .and_then(|first| first.checked_add_days(chrono::Days::new(count / 11 % 9131)))
        .unwrap_or_default()
        .format("%d.%m.%Y")
        .to_string();
    let amount = i64::try_from(count * 7919 % 200_000).unwrap_or_default() - 100_000;
    (day, amount)
}

fn show(what: &str, took: Duration) {
    println!("{what:<64} {:>10.0} ms", took.as_secs_f64() * 1_000.0);
}

fn euro() -> Outcome<Currency> {
    Ok(Currency::from_code("EUR")?)
}

fn preview(path: &Path) -> Outcome<(Duration, Duration, u64)> {
    let currency = euro()?;
    let mut file = File::open(path)?;
    let start = Instant::now();
    let seen = look(&mut file, "statement", &[], &Answers::default(), &currency)?;
    let looked = start.elapsed();
    let mut count = 0;
    let mut sum = Money::ZERO;
    read::<StatementError>(&mut file, "statement", &seen, &currency, &mut |line| {
        count += 1;
        sum += line.amount;
        Ok(())
    })?;
    std::hint::black_box(sum);
    Ok((looked, start.elapsed(), count))
}

/// The csv crate's rows through a bare loop of inserts, in one transaction, into a table without an index.
fn bare_inserts(path: &Path, folder: &Path) -> Outcome<Duration> {
    let file = folder.join("bare.db");
    let start = Instant::now();
    let mut conn = rusqlite::Connection::open(&file)?;
    conn.execute_batch(
        "CREATE TABLE line (id INTEGER PRIMARY KEY, date TEXT, payee TEXT, text TEXT, amount TEXT, balance TEXT, key TEXT)",
    )?;
    let tx = conn.transaction()?;
    {
        let mut insert = tx.prepare(
            "INSERT INTO line (date, payee, text, amount, balance, key) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?;
        let mut reader = csv::ReaderBuilder::new().delimiter(b';').from_path(path)?;
        let mut record = csv::StringRecord::new();
        while reader.read_record(&mut record)? {
            insert.execute(rusqlite::params![
                record.get(0),
                record.get(1),
                record.get(2),
                record.get(3),
                record.get(4),
                record.get(5)
            ])?;
        }
    }
    tx.commit()?;
    drop(conn);
    let took = start.elapsed();
    std::fs::remove_file(&file)?;
    Ok(took)
}

/// Each line once, in a new book: after its preview, as the window does it; looked at on the way; and as a second
/// statement, other lines of the same account, so that each is held against those that are there.
fn into_book(path: &Path, folder: &Path) -> Outcome<[(&'static str, Duration); 3]> {
    let first_day = chrono::NaiveDate::from_ymd_opt(2000, 1, 1).ok_or("a day")?;
    let answers = Answers::default();
    let place = folder.join("book.deckle");
    let later = folder.join("later.csv");
    let mut text = std::fs::read_to_string(path)?.replace(";K-", ";L-");
    text = text.replace("Printing paper", "Cover board");
    std::fs::write(&later, text)?;

    let mut book = Book::create(&place, &NewBook::new(euro()?, first_day))?;
    let account = book.chart().role(Role::BusinessBank)?;
    let mut file = File::open(path)?;
    let seen = look_for(&book, account, &mut file, "rows.csv", &answers)?;
    let start = Instant::now();
    let outcome = bring_seen(&mut book, account, &mut file, "rows.csv", &answers, &seen)?;
    let previewed = start.elapsed();
    assert_eq!(outcome.brought.n_new as u64, ROWS);
    let mut file = File::open(&later)?;
    let start = Instant::now();
    let outcome = bring(&mut book, account, &mut file, "later.csv", &answers, false)?;
    let second = start.elapsed();
    assert_eq!(outcome.brought.n_new as u64, ROWS);
    drop(book);
    std::fs::remove_file(&place)?;

    let mut book = Book::create(&place, &NewBook::new(euro()?, first_day))?;
    let mut file = File::open(path)?;
    let start = Instant::now();
    let outcome = bring(&mut book, account, &mut file, "rows.csv", &answers, false)?;
    let whole = start.elapsed();
    assert_eq!(outcome.brought.n_new as u64, ROWS);
    drop(book);
    std::fs::remove_file(&place)?;
    Ok([
        ("into a book after the preview", previewed),
        ("looked at and into a book", whole),
        ("looked at and into a book as its second statement", second),
    ])
}

fn large(path: &Path) -> Outcome<()> {
    let (_looked, whole, count) = preview(path)?;
    let size = std::fs::metadata(path)?.len() / 1_000_000;
    let kind = path.extension().unwrap_or_default().to_string_lossy();
    show(
        &format!("{size} MB of {kind}, {count} lines, looked at and read"),
        whole,
    );
    let folder = path.parent().ok_or("a folder")?;
    let place = folder.join("large.deckle");
    let first_day = chrono::NaiveDate::from_ymd_opt(2000, 1, 1).ok_or("a day")?;
    let mut book = Book::create(&place, &NewBook::new(euro()?, first_day))?;
    let account = book.chart().role(Role::BusinessBank)?;
    let start = Instant::now();
    let mut file = File::open(path)?;
    bring(
        &mut book,
        account,
        &mut file,
        "large",
        &Answers::default(),
        false,
    )?;
    show(
        &format!("{size} MB of {kind}, into a book"),
        start.elapsed(),
    );
    drop(book);
    std::fs::remove_file(&place)?;
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find(|line| line.starts_with("VmHWM"));
    println!(
        "    {}",
        peak.unwrap_or("the peak of memory is not known here")
    );
    Ok(())
}

fn table(out: &mut BufWriter<File>, is_enough: fn(u64, u64) -> bool) -> Outcome<()> {
    let mut size = 0;
    let mut balance = 0;
    let mut count = 0;
    writeln!(
        out,
        "Booking date;Payee;Purpose;Amount;Balance;Transaction ID"
    )?;
    while !is_enough(count, size) {
        let (day, amount) = row(count);
        balance += amount;
        let money = |minor: i64| {
            let sign = if minor < 0 { "-" } else { "" };
            format!("{sign}{},{:02}", minor.abs() / 100, minor.abs() % 100)
        };
        let line = format!(
            "{day};Alderwick Paper {};Printing paper, batch {count};{};{};K-{count}\n",
            count % 97,
            money(amount),
            money(balance)
        );
        out.write_all(line.as_bytes())?;
        size += line.len() as u64;
        count += 1;
    }
    Ok(())
}

/// A row's day as `20260105` or `2026-01-05`, and its amount with a point.
fn tagged(count: u64, between: &str) -> (String, String) {
    let (day, amount) = row(count);
    let day = format!("{}{between}{}{between}{}", &day[6..], &day[3..5], &day[..2]);
    let size = amount.abs();
    (day, format!("{}.{:02}", size / 100, size % 100))
}

fn ofx(out: &mut BufWriter<File>, is_enough: fn(u64, u64) -> bool) -> Outcome<()> {
    out.write_all(b"OFXHEADER:100\nENCODING:USASCII\nCHARSET:1252\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>EUR\n<BANKACCTFROM><ACCTID>1</BANKACCTFROM><BANKTRANLIST>\n")?;
    let (mut size, mut count) = (0, 0);
    while !is_enough(count, size) {
        let (day, amount) = tagged(count, "");
        let line = format!(
            "<STMTTRN>\n<TRNTYPE>OTHER\n<DTPOSTED>{day}\n<TRNAMT>-{amount}\n<FITID>K-{count}\n<NAME>Alderwick Paper\n<MEMO>Printing paper, batch {count}\n</STMTTRN>\n"
        );
        out.write_all(line.as_bytes())?;
        size += line.len() as u64;
        count += 1;
    }
    out.write_all(b"</BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>\n")?;
    Ok(())
}

fn camt(out: &mut BufWriter<File>, is_enough: fn(u64, u64) -> bool) -> Outcome<()> {
    out.write_all(b"<?xml version=\"1.0\" encoding=\"UTF-8\"?><Document xmlns=\"urn:iso:std:iso:20022:tech:xsd:camt.053.001.08\"><BkToCstmrStmt><Stmt><Id>1</Id><Acct><Id><IBAN>AB1</IBAN></Id><Ccy>EUR</Ccy></Acct>\n")?;
    let (mut size, mut count) = (0, 0);
    while !is_enough(count, size) {
        let (day, amount) = tagged(count, "-");
        let line = format!(
            "<Ntry><Amt Ccy=\"EUR\">{amount}</Amt><CdtDbtInd>DBIT</CdtDbtInd><Sts><Cd>BOOK</Cd></Sts><BookgDt><Dt>{day}</Dt></BookgDt><AcctSvcrRef>K-{count}</AcctSvcrRef><NtryDtls><TxDtls><RltdPties><Cdtr><Pty><Nm>Alderwick Paper</Nm></Pty></Cdtr></RltdPties><RmtInf><Ustrd>Printing paper, batch {count}</Ustrd></RmtInf></TxDtls></NtryDtls></Ntry>\n"
        );
        out.write_all(line.as_bytes())?;
        size += line.len() as u64;
        count += 1;
    }
    out.write_all(b"</Stmt></BkToCstmrStmt></Document>\n")?;
    Ok(())
}
