//! Statement files of banks and cards: every dialect of `data/statements` gives exactly the lines written beside it.
//! The files and their lines are made by `data/statements/make.py`, which knows nothing of the program.

use std::fs::File;
use std::io::{Cursor, Read, Seek};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use deckle::bank::{
    BankLayout, ColumnRole, DateOrder, SignRule, StatementFormat, StatementHead, StatementLine,
};
use deckle::import::bank::{Answers, Look, StatementError, Watched, look, read};
use deckle::money::Currency;
use serde::Deserialize;

#[derive(Deserialize)]
struct Case {
    file: String,
    currency: String,
    options: Options,
    asks: Vec<String>,
    #[serde(default)]
    card: bool,
    account: Option<String>,
    opening: Option<String>,
    closing: Option<String>,
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    #[serde(default)]
    notes: usize,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Options {
    dates: Option<String>,
    sign: Option<String>,
    decimal: Option<char>,
    statement_account: Option<String>,
    columns: Vec<(String, String)>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/files/data/statements")
}

fn cases() -> Vec<Case> {
    let text = std::fs::read_to_string(folder().join("cases.json")).expect("reads");
    serde_json::from_str(&text).expect("is a list of cases")
}

fn unanswered(case: &Case) -> Answers {
    Answers {
        is_card: case.card,
        today: NaiveDate::from_ymd_opt(2027, 6, 1),
        ..Answers::default()
    }
}

fn answers(case: &Case) -> Answers {
    let options = &case.options;
    Answers {
        dates: options.dates.as_deref().and_then(DateOrder::of_word),
        sign: options.sign.as_deref().and_then(SignRule::of_word),
        decimal_mark: options.decimal,
        statement_account: options.statement_account.clone(),
        columns: options
            .columns
            .iter()
            .map(|(role, name)| (ColumnRole::of_word(role).expect("a role"), name.clone()))
            .collect(),
        ..unanswered(case)
    }
}

fn currency(code: &str) -> Currency {
    Currency::from_code(code).expect("ISO 4217 has it")
}

fn all_lines(
    source: &mut (impl Read + Seek),
    name: &str,
    seen: &Look,
    currency: &Currency,
) -> Result<(StatementHead, Vec<StatementLine>), StatementError> {
    let mut lines = Vec::new();
    let head = read::<StatementError>(source, name, seen, currency, &mut |line| {
        lines.push(line);
        Ok(())
    })?;
    Ok((head, lines))
}

fn as_rows(lines: &[StatementLine], currency: &Currency) -> Vec<Vec<String>> {
    lines
        .iter()
        .map(|line| {
            vec![
                line.row.to_string(),
                line.date.to_string(),
                currency.plain(line.amount),
                line.text.clone(),
                line.bank_id.clone().unwrap_or_default(),
                line.balance
                    .map(|balance| currency.plain(balance))
                    .unwrap_or_default(),
            ]
        })
        .collect()
}

fn expected_rows(file: &str) -> Vec<Vec<String>> {
    let stem = file.rsplit_once('.').expect("an extension").0;
    csv::Reader::from_path(folder().join(format!("{stem}.lines.csv")))
        .expect("reads")
        .records()
        .map(|row| row.expect("a row").iter().map(str::to_owned).collect())
        .collect()
}

#[test]
fn every_dialect_gives_exactly_its_lines() {
    let cases = cases();
    assert!(cases.len() >= 60, "{}", cases.len());
    for case in &cases {
        let (file, currency) = (&case.file, currency(&case.currency));
        let mut source = File::open(folder().join(file)).expect("opens");
        let seen = look(&mut source, file, &[], &answers(case), &currency)
            .unwrap_or_else(|error| panic!("{error}"));
        assert!(seen.questions.is_empty(), "{file}: {:?}", seen.questions);
        let (head, lines) = all_lines(&mut source, file, &seen, &currency)
            .unwrap_or_else(|error| panic!("{error}"));
        let expected = expected_rows(file);
        assert_eq!(as_rows(&lines, &currency), expected, "{file}\n{seen:#?}");
        let first = expected.len().min(Look::FIRST);
        assert_eq!(as_rows(&seen.lines, &currency), expected[..first], "{file}");
        let end = |end: Option<(NaiveDate, deckle::money::Money)>| {
            end.map(|(_day, amount)| currency.plain(amount))
        };
        if case.opening.is_some() {
            assert_eq!(end(head.opening), case.opening, "{file}");
        }
        if case.closing.is_some() {
            assert_eq!(end(head.closing), case.closing, "{file}");
        }
        if case.account.is_some() {
            assert_eq!(head.account, case.account, "{file}");
        }
        let days = lines.iter().map(|line| line.date);
        if head.format == StatementFormat::Separated {
            assert_eq!(
                (head.from, head.to),
                (days.clone().min(), days.max()),
                "{file}"
            );
        }
        for (said, expected) in [(head.from, case.from), (head.to, case.to)] {
            assert!(expected.is_none() || said == expected, "{file}: {said:?}");
        }
        assert_eq!(head.notes.len(), case.notes, "{file}: {:?}", head.notes);
    }
}

#[test]
fn what_cannot_be_known_is_asked_and_nothing_else() {
    for case in cases() {
        let (file, currency) = (&case.file, currency(&case.currency));
        let mut source = File::open(folder().join(file)).expect("opens");
        let seen = look(&mut source, file, &[], &unanswered(&case), &currency)
            .unwrap_or_else(|error| panic!("{error}"));
        let asked: Vec<&str> = seen
            .questions
            .iter()
            .map(|question| question.asked.as_str())
            .collect();
        assert_eq!(asked, case.asks, "{file}: {:?}", seen.questions);
        if !asked.is_empty() {
            let error = all_lines(&mut source, file, &seen, &currency).expect_err("is open");
            assert!(matches!(error, StatementError::Open { .. }), "{error}");
            assert!(error.to_string().contains(&format!("say --{} ", asked[0])));
        }
    }
}

/// A layout worked out once is kept as text and knows the next file by its header, open questions included.
#[test]
fn a_kept_layout_recognises_the_next_file() {
    for case in cases() {
        let (file, currency) = (&case.file, currency(&case.currency));
        let mut source = File::open(folder().join(file)).expect("opens");
        let seen = look(&mut source, file, &[], &answers(&case), &currency).expect("is read");
        let Some(layout) = &seen.layout else { continue };
        let text = serde_json::to_string(layout).expect("writes");
        let kept = BankLayout {
            name: "Alder".to_owned(),
            ..serde_json::from_str(&text).expect("reads")
        };
        let has_header = !kept.header.is_empty();
        let again = Answers {
            statement_account: case.options.statement_account.clone(),
            layout: (!has_header).then(|| "Alder".to_owned()),
            ..unanswered(&case)
        };
        let seen = look(&mut source, file, &[kept], &again, &currency)
            .unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(seen.recognised.as_deref(), Some("Alder"), "{file}");
        assert!(seen.questions.is_empty(), "{file}: {:?}", seen.questions);
        let (_head, lines) = all_lines(&mut source, file, &seen, &currency).expect("reads");
        assert_eq!(as_rows(&lines, &currency), expected_rows(file), "{file}");
    }
}

/// A header's word that its cells cannot be is not believed.
#[test]
fn cells_overrule_a_header() {
    let text = "Date,Details,Value,Balance\n2026-01-02,Ink,-1.00,9.00\n2026-01-03,Paper,-2.00,7.00\n2026-01-04,Shop,5.00,12.00\n";
    let seen = look(
        &mut Cursor::new(text),
        "s.csv",
        &[],
        &Answers::default(),
        &currency("EUR"),
    )
    .expect("is read");
    assert!(seen.questions.is_empty(), "{:?}", seen.questions);
    let amounts: Vec<i64> = seen.lines.iter().map(|line| line.amount.minor()).collect();
    assert_eq!(amounts, [-100, -200, 500]);
}

/// A column of accounts that are the other parties' is not taken for the owner's own; several cards are one account.
#[test]
fn other_accounts_are_no_accounts_of_the_file() {
    let mut text = "Card;Konto;Datum;Text;Betrag\n".to_owned();
    for day in 13..28 {
        let card = day % 2;
        text.push_str(&format!(
            "{card};AB{day};{day}.01.2026;Ink;-1,00\n14;;{day}.01.2026;Fee;-2,00\n"
        ));
    }
    let seen = look(
        &mut Cursor::new(text),
        "s.csv",
        &[],
        &Answers::default(),
        &currency("EUR"),
    )
    .expect("is read");
    assert!(seen.questions.is_empty(), "{:?}", seen.questions);
    assert_eq!(seen.head.account, None);
}

/// By hand: no day beside the balance, so that it is that of the last day.
#[test]
fn a_balance_without_a_day_is_that_of_the_last() {
    let text = "OFXHEADER:100\n\n<OFX><STMTRS><CURDEF>EUR<BANKACCTFROM><ACCTID>1</BANKACCTFROM><BANKTRANLIST><DTSTART>20260101\
                <DTEND>20260131</BANKTRANLIST><LEDGERBAL><BALAMT>5.00<DTASOF>00000000</LEDGERBAL></STMTRS></OFX>";
    let seen = look(
        &mut Cursor::new(text),
        "s.ofx",
        &[],
        &Answers::default(),
        &currency("EUR"),
    )
    .expect("is read");
    let last = NaiveDate::from_ymd_opt(2026, 1, 31).expect("a day");
    assert_eq!(
        seen.head.closing,
        Some((last, deckle::money::Money::from_minor(500)))
    );
}

#[test]
fn two_kept_layouts_for_one_header_are_asked_about() {
    let text = "Date;Details;Amount\n13/02/2026;Ink;1,00\n14/02/2026;Ink;-1,00\n";
    let euro = currency("EUR");
    let seen = look(
        &mut Cursor::new(text),
        "s.csv",
        &[],
        &Answers::default(),
        &euro,
    )
    .expect("is read");
    let one = BankLayout {
        name: "One".to_owned(),
        ..seen.layout.expect("has one")
    };
    let two = BankLayout {
        name: "Two".to_owned(),
        sign: SignRule::ChargesPositive,
        ..one.clone()
    };
    let known = [one, two];
    let seen = look(
        &mut Cursor::new(text),
        "s.csv",
        &known,
        &Answers::default(),
        &euro,
    )
    .expect("is read");
    assert_eq!(
        seen.questions[0].to_string(),
        "several kept layouts have this header and read it differently; say --layout \"One\"|\"Two\""
    );
    let answer = Answers {
        layout: Some("Two".to_owned()),
        ..Answers::default()
    };
    let seen = look(&mut Cursor::new(text), "s.csv", &known, &answer, &euro).expect("is read");
    assert!(seen.questions.is_empty());
    assert_eq!(seen.lines[0].amount.minor(), -100);
}

#[track_caller]
fn refused(content: impl AsRef<[u8]>, said: &str) {
    let euro = currency("EUR");
    let mut source = Cursor::new(content);
    let error = look(&mut source, "s.csv", &[], &Answers::default(), &euro)
        .and_then(|seen| all_lines(&mut source, "s.csv", &seen, &euro).map(|_all| ()))
        .expect_err("is refused")
        .to_string();
    assert!(error.starts_with("s.csv"), "{error}");
    assert!(error.contains(said), "{error}");
    assert_eq!(error.lines().count(), 1, "{error}");
}

/// By hand: what is wrong is said once, with row and column.
#[test]
fn tables_that_cannot_be_are_refused() {
    let head = "Date;Details;Amount;Currency\n2026-01-02;Ink;-1,00;EUR\n";
    for (rows, said) in [
        (
            "2026-02-30;Ink;1,00;EUR\n",
            "s.csv row 3 column Date: there is no such day as '2026-02-30'",
        ),
        (
            "2026-01-03;Ink;1,005;EUR\n",
            "s.csv row 3 column Amount: '1,005' has more than the 2 decimals that EUR has",
        ),
        (
            "2026-01-03;Ink;1.00;EUR\n",
            "s.csv row 3 column Amount: '1.00' has another decimal mark than the amounts above it",
        ),
        (
            "2026-01-03;Ink;ten;EUR\n",
            "s.csv row 3 column Amount: 'ten' is not an amount",
        ),
        (
            "2026-01-03;Ink;99999999999999,00;EUR\n",
            "s.csv row 3 column Amount: '99999999999999,00' is too large an amount",
        ),
        (
            "2026-01-03;Ink;1,00;USD\n",
            "s.csv row 3 column Currency: the amount is in USD, the account is kept in EUR",
        ),
        (
            "2026-01-03;Ink;USD 1,00;\n",
            "s.csv row 3 column Amount: the amount is in USD, the account is kept in EUR",
        ),
        ("2026-01-03;Ink\n", "s.csv row 3: there is no amount"),
        (
            ";Ink;1,00;EUR\n",
            "s.csv row 3 column Date: there is no day beside the amount",
        ),
        (
            "soon;Ink;1,00;EUR\n",
            "s.csv row 3 column Date: 'soon' is not a day",
        ),
        (
            "2026-01-03;Ink;blue;1,00;EUR\n",
            "s.csv row 3: the row has 5 cells, the header 4",
        ),
        (
            "03.01.2026;Ink;1,00;EUR\n",
            "s.csv row 3 column Date: '03.01.2026' is no day in the order in which the others are written",
        ),
        (
            "2026-01-03;\"Ink;1,00;EUR\n",
            "s.csv row 3: a cell that begins with a quotation mark does not end",
        ),
        ("2026-01-03;I\0k;1,00;EUR\n", "holds a zero byte"),
    ] {
        let content = format!("{head}{rows}");
        let zero = content.contains('\0');
        refused(&content, if zero { "it is not text" } else { said });
    }
    refused(
        "Date,Amount (USD)\n2026-01-02,-1.00\n",
        "s.csv: the statement is in USD, the account is kept in EUR",
    );
    refused("", "s.csv: the file is empty");
    refused("  \n \n", "s.csv: the file holds nothing but spaces");
    refused(
        "just some words\nand more\n",
        "no table of days and amounts",
    );
    refused("PK\x03\x04 and so on", "it is a spreadsheet or an archive");
    refused(
        b"\xd0\xcf\x11\xe0\x00\x00",
        "it is a spreadsheet or an office file",
    );
    refused(b"\x00\x01\x02\x03 binary", "it is not text");
    refused(
        "<!DOCTYPE html><html><body>1</body></html>",
        "it is a web page",
    );
    refused(
        "<?xml version='1.0'?><Document/>",
        "neither camt.053 nor OFX",
    );
}

#[test]
fn a_zero_byte_far_in_is_refused_with_its_row() {
    let mut text = "Date;Details;Amount\n".to_owned();
    for _row in 0..2000 {
        text.push_str("2026-01-02;Ink;-1,00\n");
    }
    text.push_str("2026-01-02;I\0k;-1,00\n");
    refused(text, "s.csv row 2002: the row holds a zero byte");
}

const ENTRY: &str = "<Ntry><Amt Ccy=\"EUR\">1.00</Amt><CdtDbtInd>CRDT</CdtDbtInd><Sts>BOOK</Sts><BookgDt><Dt>2026-01-02</Dt></BookgDt></Ntry>";

fn camt(inside: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?><Document xmlns=\"urn:iso:std:iso:20022:tech:xsd:camt.053.001.02\"><BkToCstmrStmt>\
         <Stmt><Id>1</Id><Acct><Id><IBAN>AB1</IBAN></Id><Ccy>EUR</Ccy></Acct>{inside}</Stmt></BkToCstmrStmt></Document>"
    )
}

#[test]
fn files_of_tags_that_cannot_be_are_refused() {
    let whole = camt(ENTRY);
    refused(
        whole.replace("</Document>", ""),
        "s.csv: the file ends before its last element does",
    );
    refused(&whole[..whole.len() - 30], "it is not whole XML");
    refused(whole.replace("</Ntry>", "</Ntr>"), "it is not whole XML");
    refused(
        whole.replace("1.00", "1.005"),
        "entry 1: '1.005' has more than 2 decimals",
    );
    refused(
        whole.replace("1.00", "1.00x"),
        "entry 1: '1.00x' is not an amount",
    );
    refused(
        whole.replace("2026-01-02", "2026-02-30"),
        "entry 1: there is no such day as '2026-02-30'",
    );
    refused(
        whole.replace("Ccy=\"EUR\"", "Ccy=\"USD\""),
        "entry 1: the amount is in USD, the account is kept in EUR",
    );
    refused(
        whole.replace("<Ccy>EUR", "<Ccy>USD"),
        "the statement is in USD, the account is kept in EUR",
    );
    refused(
        whole.replace("<CdtDbtInd>CRDT</CdtDbtInd>", ""),
        "entry 1: nothing says whether",
    );
    refused(
        whole.replace("camt.053", "camt.052"),
        "an account report (camt.052)",
    );
    refused(
        whole.replace("<Id>1</Id>", "<Id>&boom;</Id>"),
        "it uses the entity '&boom;'",
    );
    let laughs = whole.replace(
        "<Document",
        "<!DOCTYPE d [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;\"><!ENTITY c SYSTEM \"file:///etc/hosts\">]><Document",
    );
    refused(
        laughs.replace("<Id>1<", "<Id>&c;<"),
        "it declares a document type or entities",
    );
    refused(
        whole.replace(ENTRY, &"<A>".repeat(100_000)),
        "more than 64 deep",
    );
    refused(
        whole.replace("<Id>1<", &format!("<Id>{}<", "x".repeat(2_000_000))),
        "is longer than",
    );
    refused(
        whole.replace("<Id>1<", &format!("<Id a=\"{}\">1<", "x".repeat(2_000_000))),
        "is longer than",
    );
    let ofx = |inside: &str| {
        format!(
            "OFXHEADER:100\nENCODING:USASCII\nCHARSET:1252\n\n<OFX><STMTRS><CURDEF>EUR<BANKACCTFROM><ACCTID>1</BANKACCTFROM><BANKTRANLIST>{inside}</BANKTRANLIST></STMTRS></OFX>"
        )
    };
    let sound = "<STMTTRN><TRNTYPE>CREDIT<DTPOSTED>20260102<TRNAMT>1.00<FITID>1</STMTTRN>";
    refused(
        ofx(sound).replace("</OFX>", ""),
        "the file ends before its last tag </OFX>",
    );
    refused(
        ofx(&sound.replace("20260102", "20260230")),
        "transaction 1: there is no such day as '20260230'",
    );
    refused(
        ofx(&sound.replace("1.00", "1.001")),
        "transaction 1: '1.001' has more than 2 decimals",
    );
    refused(
        ofx(&sound.replace("<TRNAMT>1.00", "")),
        "transaction 1: there is no amount",
    );
    refused(
        ofx(&sound.replace(
            "<FITID>",
            "<CURRENCY><CURRATE>1.1<CURSYM>USD</CURRENCY><FITID>",
        )),
        "transaction 1: the amount is in USD",
    );
    refused(
        ofx(&sound.replace(">1<", &format!(">{}<", "x".repeat(2_000_000)))),
        "is longer than",
    );
    refused(
        "OFXHEADER:100\n\n<OFX></OFX>",
        "the file holds no statement of an account",
    );
    refused(
        ofx(sound).replace("<OFX>", "<!DOCTYPE a><OFX>"),
        "it declares a document type",
    );
}

/// One line of fifty million bytes is refused without being held.
#[test]
fn an_endless_line_is_refused() {
    let mut text = b"Date;Details;Amount\n2026-01-02;Ink;-1,00\n2026-01-03;".to_vec();
    text.resize(50_000_000, b'x');
    refused(text, "s.csv row 3: the row is longer than a million bytes");
}

/// A day that would lie in the future is impossible, so that the order that gives it is.
#[test]
fn the_day_of_reading_decides_between_orders() {
    let text = "Date;Details;Amount\n02/11/2026;Ink;1,00\n01/02/2026;Ink;-1,00\n";
    for (today, asked, day) in [
        ((2026, 2, 20), 0, (2026, 2, 11)),
        ((2026, 11, 2), 1, (2026, 11, 2)),
    ] {
        let answers = Answers {
            today: NaiveDate::from_ymd_opt(today.0, today.1, today.2),
            ..Answers::default()
        };
        let seen = look(
            &mut Cursor::new(text),
            "s.csv",
            &[],
            &answers,
            &currency("EUR"),
        )
        .expect("is read");
        assert_eq!(seen.questions.len(), asked);
        assert_eq!(
            Some(seen.lines[0].date),
            NaiveDate::from_ymd_opt(day.0, day.1, day.2)
        );
    }
}

#[test]
fn reading_can_be_watched_and_stopped() {
    let mut text = "Date;Details;Amount\n".to_owned();
    for _row in 0..20_000 {
        text.push_str("2026-01-02;Ink;-1,00\n");
    }
    let euro = currency("EUR");
    let mut most = 0;
    let mut watch = |done: u64| {
        most = done;
        true
    };
    let mut source = Watched::new(Cursor::new(&text), &mut watch);
    look(&mut source, "s.csv", &[], &Answers::default(), &euro).expect("is read");
    assert!(most >= text.len() as u64);
    let mut watch = |done: u64| done < 600_000;
    let mut source = Watched::new(Cursor::new(&text), &mut watch);
    let error = look(&mut source, "s.csv", &[], &Answers::default(), &euro).expect_err("stops");
    assert_eq!(error, StatementError::Stopped);
}
