//! Statement files broken at random: whatever the bytes, a reader ends with lines or with one sentence, and never with more
//! than the file could hold. `DECKLE_FUZZ_CASES` sets how many files are tried, `DECKLE_FUZZ_SEED` where they begin.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

use chrono::NaiveDate;
use deckle::bank::{BankLayout, DateOrder, SignRule, StatementLine};
use deckle::import::bank::{Answers, StatementError, look, read};
use deckle::money::Currency;

/// Pieces that mean something to one of the readers.
const PIECES: &[&str] = &[
    "\"",
    ";",
    ",",
    "\t",
    "|",
    "\r\n",
    "\n",
    "\r",
    "\0",
    " ",
    "-",
    "+",
    ".",
    "(",
    ")",
    "\u{2212}",
    "\u{a0}",
    "'",
    "€",
    "EUR",
    "USD",
    "CR",
    "DR",
    "0",
    "1",
    "9",
    "99999999999999999999",
    "1.234,56",
    "1,234.56",
    "12/13/2026",
    "31.01.26",
    "2026-02-30",
    "20260105",
    "Date",
    "Amount",
    "Balance",
    "Betrag",
    "Total",
    "sep=;",
    "<",
    ">",
    "</",
    "/>",
    "&amp;",
    "&#8364;",
    "&#0;",
    "&x;",
    "<![CDATA[",
    "]]>",
    "<!--",
    "-->",
    "<!DOCTYPE a>",
    "<?xml?>",
    "<STMTTRN>",
    "</STMTTRN>",
    "<TRNAMT>",
    "<DTPOSTED>20260101",
    "<LEDGERBAL>",
    "</OFX>",
    "<STMTRS>",
    "<ACCTID>1",
    "<Ntry>",
    "</Ntry>",
    "<TxDtls>",
    "</TxDtls>",
    "<Amt Ccy=\"EUR\">1",
    "<Bal>",
    "</Stmt>",
    "<Stmt>",
    "CDATA",
    "\u{feff}",
    "OFXHEADER:100",
    "CHARSET:1252",
    "camt.053.001.08",
    "\u{1a}",
    "\u{fffd}",
];

/// A small generator of numbers (SplitMix64), so that every file can be made again from its number.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        if end == 0 {
            return 0;
        }
        usize::try_from(self.next() % end as u64).unwrap_or_default()
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/seeds");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| std::fs::read(path).expect("reads"))
        .collect()
}

/// A file made from the seeds by a few changes.
fn broken(seeds: &[Vec<u8>], numbers: &mut Numbers) -> Vec<u8> {
    let mut file = seeds[numbers.below(seeds.len())].clone();
    for _change in 0..=numbers.below(6) {
        let at = numbers.below(file.len() + 1);
        let end = (at + numbers.below(24)).min(file.len());
        match numbers.below(9) {
            0 if at < file.len() => file[at] = numbers.next().to_le_bytes()[0],
            1 if at < file.len() => file[at] ^= 1 << numbers.below(8),
            2 => {
                let piece = PIECES[numbers.below(PIECES.len())].bytes();
                file.splice(at..at, piece);
            }
            3 => {
                let piece = PIECES[numbers.below(PIECES.len())].bytes();
                file.splice(at..end, piece);
            }
            4 => {
                file.drain(at..end);
            }
            5 => {
                let part = file[at..end].to_vec();
                for _time in 0..=numbers.below(4) {
                    file.splice(at..at, part.iter().copied());
                }
            }
            6 => file.truncate(at),
            7 => {
                let other = &seeds[numbers.below(seeds.len())];
                let from = numbers.below(other.len());
                let to = (from + numbers.below(200)).min(other.len());
                file.splice(at..end, other[from..to].iter().copied());
            }
            _ => {
                let other = numbers.below(file.len() + 1);
                let part: Vec<u8> = file[at.min(other)..at.max(other)]
                    .iter()
                    .copied()
                    .take(400)
                    .collect();
                let to = numbers.below(file.len() + 1);
                file.splice(to..to, part);
            }
        }
    }
    file
}

/// Some answers at random; mostly none.
fn answers(numbers: &mut Numbers) -> Answers {
    let pick = |number: usize| number == 0;
    Answers {
        dates: pick(numbers.below(4)).then_some(DateOrder::ALL[numbers.below(3)]),
        sign: pick(numbers.below(4)).then_some(SignRule::ChargesPositive),
        separator: pick(numbers.below(16)).then_some([',', ';', '\t', '|'][numbers.below(4)]),
        encoding: pick(numbers.below(16)).then(|| {
            ["utf-8", "windows-1252", "utf-16le", "shift_jis"][numbers.below(4)].to_owned()
        }),
        decimal_mark: pick(numbers.below(8)).then_some(['.', ','][numbers.below(2)]),
        header_row: pick(numbers.below(16)).then_some(numbers.below(8) as u64),
        is_card: pick(numbers.below(2)),
        today: NaiveDate::from_ymd_opt(2026, 3, 1),
        ..Answers::default()
    }
}

/// Reads a broken file; true when it gave lines.
fn attempt(file: &[u8], answers: &Answers, currency: &Currency) -> bool {
    let mut source = Cursor::new(file);
    let mut seen = match look(&mut source, "f", &[], answers, currency) {
        Ok(seen) => seen,
        Err(error) => {
            said(&error);
            return false;
        }
    };
    if let Some(account) = seen.accounts.first() {
        let answers = Answers {
            statement_account: Some(account.clone()),
            ..answers.clone()
        };
        match look(&mut source, "f", &[], &answers, currency) {
            Ok(again) => seen = again,
            Err(error) => {
                said(&error);
                return false;
            }
        }
    }
    if let Some(layout) = &seen.layout {
        let text = serde_json::to_string(layout).expect("writes");
        let kept: BankLayout = serde_json::from_str(&text).expect("reads");
        assert_eq!(&kept, layout);
    }
    let mut lines: Vec<StatementLine> = Vec::new();
    match read::<StatementError>(&mut source, "f", &seen, currency, &mut |line| {
        lines.push(line);
        Ok(())
    }) {
        Ok(_head) => {}
        Err(error) => {
            said(&error);
            return false;
        }
    }
    assert!(lines.len() <= file.len());
    let text: usize = lines.iter().map(|line| line.text.len()).sum();
    assert!(text <= file.len() * 16 + 64, "{text} of {}", file.len());
    let first = lines.len().min(seen.lines.len());
    assert_eq!(lines[..first], seen.lines[..first]);
    for line in &lines {
        assert!(line.amount.abs().minor() <= 2 * deckle::money::Money::LIMIT);
    }
    !lines.is_empty()
}

/// What is said is one line that names the file.
fn said(error: &StatementError) {
    let text = error.to_string();
    assert!(text.starts_with('f'), "{text}");
    assert_eq!(text.lines().count(), 1, "{text:?}");
    assert!(text.len() < 20_000, "{}", text.len());
}

fn setting(name: &str, otherwise: u64) -> u64 {
    std::env::var(name)
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(otherwise)
}

#[test]
fn broken_statements_never_break_the_readers() {
    let (cases, start) = (
        setting("DECKLE_FUZZ_CASES", 3_000),
        setting("DECKLE_FUZZ_SEED", 1),
    );
    let seeds = seeds();
    let currency = Currency::from_code("EUR").expect("ISO 4217 has it");
    let (next, gave_lines) = (AtomicU64::new(0), AtomicU64::new(0));
    let work = || {
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= cases {
                break;
            }
            if number > 0 && number.is_multiple_of(1_000_000) {
                eprintln!("{number} files tried");
            }
            let mut numbers = Numbers(start.wrapping_mul(0x5851_f42d_4c95_7f2d) ^ number);
            numbers.next();
            let file = broken(&seeds, &mut numbers);
            let answers = answers(&mut numbers);
            let tried = catch_unwind(AssertUnwindSafe(|| attempt(&file, &answers, &currency)));
            match tried {
                Ok(true) => {
                    gave_lines.fetch_add(1, Ordering::Relaxed);
                }
                Ok(false) => {}
                Err(_panic) => {
                    panic!(
                        "file {number} from {start}: {:?} with {answers:?}",
                        String::from_utf8_lossy(&file)
                    );
                }
            }
        }
    };
    std::thread::scope(|scope| {
        for _worker in 0..setting("DECKLE_FUZZ_WORKERS", 2) {
            scope.spawn(work);
        }
    });
    let gave_lines = gave_lines.load(Ordering::Relaxed);
    eprintln!("{cases} files tried, {gave_lines} gave lines");
    // Changes are small enough that a fair part of the files can still be read.
    assert!(gave_lines * 20 > cases, "{gave_lines} of {cases}");
}
