//! The statements of the sample business: what its bank, its card and its savings would have written of the book's
//! own movements, in three formats, so that statements and book agree. The files beside the sample are exactly these;
//! `DECKLE_WRITE_SAMPLE=yes cargo test sample_statements` writes them anew after the book was changed.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use chrono::{Days, NaiveDate};
use deckle::book::Book;
use deckle::dates::{DateRange, parse_iso};
use deckle::ledger::{AccountId, EntryKind, PostedEntry};
use deckle::money::Money;
use deckle::verbs::build_sample;

/// A line as a bank writes it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Written {
    day: NaiveDate,
    number: u64,
    amount: Money,
    text: String,
}

/// What stands on the statements and not yet in the book: the days after the sample's last entry.
const NOT_YET: &[(&str, &str, i64, &str)] = &[
    (
        "1000",
        "2026-11-23",
        -2_400,
        "CARD 3301 MOSSGATE PACKAGING 0047 ELMWICK",
    ),
    (
        "1000",
        "2026-11-23",
        6_350,
        "CREDIT THISTLEROW MARKET PAYOUT 1123",
    ),
    (
        "1000",
        "2026-11-24",
        -4_250,
        "CARD 3301 QUAYSIDE LAUNDRY AND IRONING 118",
    ),
    ("2010", "2026-11-21", -1_180, "WAYMARK PARCELS 0231 ELMWICK"),
    (
        "2010",
        "2026-11-22",
        -2_640,
        "BRINDLE BLOCK COMPANY 7714 TARN",
    ),
    ("2010", "2026-11-23", -730, "STATION KIOSK 09 ELMWICK"),
];

fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-books/fernhollow/statements")
}

/// What entries move on an account, one line an entry, with the bank's words and the bank's day.
fn written(book: &Book, number: &str) -> Vec<Written> {
    let account = book.chart().find(number).expect("an account").id;
    let range = DateRange::new(day("2025-09-01"), day("2026-11-20")).expect("days");
    let mut by_entry: BTreeMap<u64, Money> = BTreeMap::new();
    for line in book.account_lines(account, range).expect("lines") {
        *by_entry.entry(line.number.0).or_default() += line.amount;
    }
    let mut list = Vec::new();
    for (number, amount) in by_entry {
        if amount.is_zero() {
            continue;
        }
        let posted = book
            .entry(deckle::ledger::EntryNumber(number))
            .expect("an entry");
        list.push(Written {
            day: posted.entry.header.date + Days::new(lag(&posted, number)),
            number,
            amount,
            text: words(book, &posted, account, amount),
        });
    }
    for (of, on, minor, text) in NOT_YET {
        if *of == book.chart().account(account).expect("there").number {
            list.push(Written {
                day: day(on),
                number: 10_000 + list.len() as u64,
                amount: Money::from_minor(*minor),
                text: (*text).to_owned(),
            });
        }
    }
    list.sort();
    list
}

/// Cards take up to two days; what the bank does itself stands on its own day, and what the book has of the last days.
fn lag(posted: &PostedEntry, number: u64) -> u64 {
    match posted.entry.header.kind {
        EntryKind::Purchase if posted.entry.header.date < day("2026-11-15") => number % 3,
        EntryKind::Payout => number % 2,
        _ => 0,
    }
}

fn words(book: &Book, posted: &PostedEntry, account: AccountId, amount: Money) -> String {
    let header = &posted.entry.header;
    let number = posted.number.0;
    let party = header.party.to_uppercase();
    let role = |id: AccountId| book.chart().account(id).expect("there").number.clone();
    let own = role(account);
    let others: Vec<String> = posted
        .entry
        .lines()
        .iter()
        .filter(|line| line.account != account)
        .map(|line| role(line.account))
        .collect();
    let is_between = |other: &str| others.iter().any(|number| number == other);
    if own == "1010" {
        return match () {
            () if is_between("1000") => "Transfer from current account".to_owned(),
            () if header.kind == EntryKind::TaxInstalment => format!("Payment {}", header.party),
            () => "Interest credited".to_owned(),
        };
    }
    match header.kind {
        EntryKind::OwnerIn => "CREDIT TRANSFER FROM OWN SAVINGS".to_owned(),
        EntryKind::OwnerOut => "STANDING TRANSFER HOUSEHOLD".to_owned(),
        EntryKind::Payout => format!("CREDIT {party} PAYOUT {number:04}"),
        EntryKind::Settlement if party.contains("CARD") && own == "2010" => {
            "PAYMENT RECEIVED THANK YOU".to_owned()
        }
        EntryKind::Settlement if party.contains("CARD") => {
            "WRENFIELD CREDIT CARD PAYMENT".to_owned()
        }
        EntryKind::Transfer if is_between("1010") => "TRANSFER TO SAVINGS 7702".to_owned(),
        EntryKind::Transfer if amount.is_positive() => "CASH PAID IN AT COUNTER".to_owned(),
        EntryKind::Transfer => "CASH WITHDRAWAL MACHINE 0412".to_owned(),
        EntryKind::Sale if party.is_empty() => format!("CREDIT INV {number:04}"),
        EntryKind::Purchase if own == "2010" => {
            format!("{party} {:04} {}", number * 37 % 10_000, town(number))
        }
        EntryKind::Purchase if party.contains("MOBILE") || party.contains("INSURANCE") => {
            format!("DIRECT DEBIT {party} REF {:06}", number * 7919 % 1_000_000)
        }
        EntryKind::Purchase if party.contains("BANK") => "ACCOUNT CHARGE QUARTER".to_owned(),
        EntryKind::Purchase => format!(
            "CARD 3301 {party} {:04} {}",
            number * 53 % 10_000,
            town(number)
        ),
        EntryKind::Batch => format!("CARD 3301 TALLOW STREET EDGE TRIMMING {number:04}"),
        EntryKind::Repayment if amount.is_positive() => {
            "CREDIT TRANSFER FROM OWN ACCOUNT".to_owned()
        }
        EntryKind::Repayment => "TRANSFER TO OWN ACCOUNT".to_owned(),
        _ if party == "WRENFIELD BANK" => "ACCOUNT CHARGE QUARTER".to_owned(),
        _ if party.is_empty() => header.memo.to_uppercase(),
        _ => format!("{party} {number:04}"),
    }
}

fn town(number: u64) -> &'static str {
    ["ELMWICK", "TARN", "WESTERFORD"][usize::try_from(number % 3).expect("small")]
}

fn plain(book: &Book, amount: Money) -> String {
    book.currency().plain(amount)
}

/// A quarter of the bank's own table: words above the header, money out and in apart, a closing line below.
fn bank_table(book: &Book, lines: &[Written], from: &str, to: &str) -> String {
    let (from, to) = (day(from), day(to));
    let mut balance: Money = lines
        .iter()
        .filter(|line| line.day < from)
        .map(|line| line.amount)
        .sum();
    let mut text = format!(
        "Wrenfield Bank;;;;\nAccount;4410 2299;;;\nStatement;{};to;{};\n;;;;\nDate;Details;Paid out;Paid in;Balance\n",
        from.format("%d %b %Y"),
        to.format("%d %b %Y")
    );
    for line in lines
        .iter()
        .filter(|line| line.day >= from && line.day <= to)
    {
        balance += line.amount;
        let (out, into) = if line.amount.is_negative() {
            (plain(book, -line.amount), String::new())
        } else {
            (String::new(), plain(book, line.amount))
        };
        writeln!(
            text,
            "{};{};{out};{into};{}",
            line.day.format("%d %b %Y"),
            line.text,
            plain(book, balance)
        )
        .expect("written");
    }
    writeln!(text, ";Closing balance;;;{}", plain(book, balance)).expect("written");
    text
}

/// The card's statements: Open Financial Exchange, header and tags without ends.
fn card_exchange(book: &Book, lines: &[Written], from: &str, to: &str) -> String {
    let (from, to) = (day(from), day(to));
    let mut text = String::from(
        "OFXHEADER:100\nDATA:OFXSGML\nVERSION:102\nSECURITY:NONE\nENCODING:USASCII\nCHARSET:1252\nCOMPRESSION:NONE\n\
         OLDFILEUID:NONE\nNEWFILEUID:NONE\n\n",
    );
    let compact = |day: NaiveDate| day.format("%Y%m%d").to_string();
    write!(
        text,
        "<OFX><SIGNONMSGSRSV1><SONRS><STATUS><CODE>0<SEVERITY>INFO</STATUS><DTSERVER>{}<LANGUAGE>ENG</SONRS>\
         </SIGNONMSGSRSV1>\n<CREDITCARDMSGSRSV1><CCSTMTTRNRS><TRNUID>1<STATUS><CODE>0<SEVERITY>INFO</STATUS>\n\
         <CCSTMTRS><CURDEF>USD<CCACCTFROM><ACCTID>XX-3301</CCACCTFROM>\n<BANKTRANLIST><DTSTART>{}<DTEND>{}\n",
        compact(to),
        compact(from),
        compact(to)
    )
    .expect("written");
    let mut balance = Money::ZERO;
    for line in lines.iter().filter(|line| line.day <= to) {
        balance += line.amount;
        if line.day < from {
            continue;
        }
        let kind = if line.amount.is_negative() {
            "DEBIT"
        } else {
            "CREDIT"
        };
        writeln!(
            text,
            "<STMTTRN><TRNTYPE>{kind}<DTPOSTED>{}120000<TRNAMT>{}<FITID>C{:05}<NAME>{}</STMTTRN>",
            compact(line.day),
            plain(book, line.amount),
            line.number,
            line.text.replace('&', "&amp;")
        )
        .expect("written");
    }
    write!(
        text,
        "</BANKTRANLIST>\n<LEDGERBAL><BALAMT>{}<DTASOF>{}</LEDGERBAL></CCSTMTRS></CCSTMTTRNRS>\
         </CREDITCARDMSGSRSV1></OFX>\n",
        plain(book, balance),
        compact(to)
    )
    .expect("written");
    text
}

/// The savings' statement: ISO 20022, camt.053.001.08.
fn savings_xml(book: &Book, lines: &[Written], from: &str, to: &str) -> String {
    let sum: Money = lines.iter().map(|line| line.amount).sum();
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<Document xmlns=\"urn:iso:std:iso:20022:tech:xsd:camt.053.001.08\">\n\
         <BkToCstmrStmt><GrpHdr><MsgId>WS-2026</MsgId><CreDtTm>{to}T18:00:00</CreDtTm></GrpHdr>\n<Stmt><Id>2026</Id>\
         <FrToDt><FrDtTm>{from}T00:00:00</FrDtTm><ToDtTm>{to}T23:59:59</ToDtTm></FrToDt>\n\
         <Acct><Id><Othr><Id>SAV-7702</Id></Othr></Id><Ccy>USD</Ccy></Acct>\n\
         <Bal><Tp><CdOrPrtry><Cd>OPBD</Cd></CdOrPrtry></Tp><Amt Ccy=\"USD\">0.00</Amt><CdtDbtInd>CRDT</CdtDbtInd>\
         <Dt><Dt>{from}</Dt></Dt></Bal>\n\
         <Bal><Tp><CdOrPrtry><Cd>CLBD</Cd></CdOrPrtry></Tp><Amt Ccy=\"USD\">{}</Amt><CdtDbtInd>CRDT</CdtDbtInd>\
         <Dt><Dt>{to}</Dt></Dt></Bal>\n",
        plain(book, sum)
    );
    for line in lines {
        let side = if line.amount.is_negative() {
            "DBIT"
        } else {
            "CRDT"
        };
        writeln!(
            text,
            "<Ntry><Amt Ccy=\"USD\">{}</Amt><CdtDbtInd>{side}</CdtDbtInd><Sts><Cd>BOOK</Cd></Sts>\
             <BookgDt><Dt>{}</Dt></BookgDt><AcctSvcrRef>S{:05}</AcctSvcrRef>\
             <NtryDtls><TxDtls><RmtInf><Ustrd>{}</Ustrd></RmtInf></TxDtls></NtryDtls></Ntry>",
            plain(book, line.amount.abs()),
            line.day,
            line.number,
            line.text
        )
        .expect("written");
    }
    text.push_str("</Stmt></BkToCstmrStmt></Document>\n");
    text
}

/// The bank's files begin a few days before the one before ended, as downloads do.
fn files(book: &Book) -> Vec<(&'static str, String)> {
    let (bank, card, savings) = (
        written(book, "1000"),
        written(book, "2010"),
        written(book, "1010"),
    );
    vec![
        (
            "bank-2025.csv",
            bank_table(book, &bank, "2025-09-01", "2025-12-31"),
        ),
        (
            "bank-2026-1.csv",
            bank_table(book, &bank, "2025-12-27", "2026-03-31"),
        ),
        (
            "bank-2026-2.csv",
            bank_table(book, &bank, "2026-03-28", "2026-06-30"),
        ),
        (
            "bank-2026-3.csv",
            bank_table(book, &bank, "2026-06-25", "2026-09-30"),
        ),
        (
            "bank-2026-4.csv",
            bank_table(book, &bank, "2026-09-28", "2026-11-24"),
        ),
        (
            "card-2025.ofx",
            card_exchange(book, &card, "2025-09-01", "2025-12-31"),
        ),
        (
            "card-2026-1.ofx",
            card_exchange(book, &card, "2025-12-20", "2026-06-30"),
        ),
        (
            "card-2026-2.ofx",
            card_exchange(book, &card, "2026-06-28", "2026-11-24"),
        ),
        (
            "savings-2026.xml",
            savings_xml(book, &savings, "2026-01-01", "2026-11-24"),
        ),
    ]
}

#[test]
fn sample_statements_say_what_the_book_says() {
    let temporary = tempfile::tempdir().expect("a folder");
    let book = build_sample(&temporary.path().join("sample.deckle")).expect("the sample");
    let is_writing = std::env::var_os("DECKLE_WRITE_SAMPLE").is_some();
    for (name, text) in files(&book) {
        let path = folder().join(name);
        if is_writing {
            std::fs::write(&path, &text).expect("written");
        }
        let there = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(there == text, "{name} is not what the book says");
    }
}
