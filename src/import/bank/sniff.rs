//! What a file is, by its first bytes; its name does not matter.
//! Reading it is the formats' business.

use std::io::{Read, Seek, SeekFrom};

use encoding_rs::{Encoding, UTF_8};

use super::StatementError;
use super::decoding::{begins_as_text, without_mark};
use super::fault::File;
use crate::bank::StatementFormat;

const HEAD: u64 = 16 * 1024;

/// Files that are often taken for statements, by their first bytes.
const NOT_STATEMENTS: &[(&[u8], &str)] = &[
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a spreadsheet or an archive"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet or an office file"),
    (b"\x1f\x8b", "a compressed file"),
    (b"BZh", "a compressed file"),
    (b"7z\xbc\xaf", "an archive"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"SQLite format 3", "a database"),
    (b"\x7fELF", "a program"),
    (b"{\\rtf", "a text with formatting"),
];

/// The format of a statement file.
///
/// # Errors
/// When it is empty, cannot be read or is no statement.
pub(super) fn format(
    source: &mut (impl Read + Seek),
    file: File<'_>,
) -> Result<StatementFormat, StatementError> {
    let head = head(source).map_err(|error| file.reading(&error))?;
    if head.is_empty() {
        return Err(file.whole("the file is empty"));
    }
    let refuse = |what: &str| {
        file.whole(format!(
            "it is {what}, not a statement; ask the bank for the statement as CSV, OFX or camt.053"
        ))
    };
    if let Some((_start, what)) = NOT_STATEMENTS
        .iter()
        .find(|(start, _what)| head.starts_with(start))
    {
        return Err(refuse(what));
    }
    let text = begins_as_text(&head, encoding(&head));
    if is_binary(&text) {
        return Err(
            file.whole("it is not text; ask the bank for the statement as CSV, OFX or camt.053")
        );
    }
    let start = text.trim_start().to_ascii_lowercase();
    if start.is_empty() && (head.len() as u64) < HEAD {
        return Err(file.whole("the file holds nothing but spaces"));
    }
    if start.starts_with("ofxheader") || (start.contains("<ofx>") && !start.contains("camt.05")) {
        return Ok(StatementFormat::Ofx);
    }
    if !start.starts_with('<') {
        return Ok(StatementFormat::Separated);
    }
    let other = |name: &str, what: &str| start.contains(name).then(|| refuse(what));
    if start.contains("camt.053.") {
        Ok(StatementFormat::Camt)
    } else if start.contains("<?ofx") {
        Ok(StatementFormat::Ofx)
    } else if let Some(error) = other(
        "camt.052.",
        "an account report (camt.052) of lines that may not be booked",
    )
    .or_else(|| other("camt.054.", "a notification of single payments (camt.054)"))
    .or_else(|| other("<html", "a web page"))
    .or_else(|| other("<!doctype html", "a web page"))
    {
        Err(error)
    } else {
        Err(refuse("an XML file that is neither camt.053 nor OFX"))
    }
}

fn head(source: &mut (impl Read + Seek)) -> std::io::Result<Vec<u8>> {
    source.seek(SeekFrom::Start(0))?;
    let mut head = Vec::new();
    source.take(HEAD).read_to_end(&mut head)?;
    Ok(head)
}

/// The encoding of a head, near enough for ASCII words in it.
pub(super) fn encoding(head: &[u8]) -> &'static Encoding {
    Encoding::for_bom(head)
        .map(|(encoding, _length)| encoding)
        .or_else(|| without_mark(head))
        .unwrap_or(UTF_8)
}

fn is_binary(text: &str) -> bool {
    let odd = text
        .chars()
        .filter(|c| c.is_control() && !matches!(c, '\t' | '\n' | '\r' | '\u{c}' | '\u{1a}'))
        .count();
    text.contains('\0') || odd * 50 > text.chars().count()
}

/// The encoding that a file of tags declares in its first lines, or that it must be in.
///
/// # Errors
/// When the file cannot be read.
pub(super) fn declared(
    source: &mut (impl Read + Seek),
    file: File<'_>,
) -> Result<&'static Encoding, StatementError> {
    let head = head(source).map_err(|error| file.reading(&error))?;
    if let Some((encoding, _length)) = Encoding::for_bom(&head) {
        return Ok(encoding);
    }
    if let Some(encoding) = without_mark(&head) {
        return Ok(encoding);
    }
    let text = String::from_utf8_lossy(&head).to_ascii_lowercase();
    let after = |word: &str| {
        text.split_once(word)
            .map(|(_before, after)| after.trim_start())
    };
    if text.trim_start().starts_with("ofxheader:") {
        let charset = after("charset:").unwrap_or_default();
        let encoding = after("encoding:").unwrap_or_default();
        let is_utf8 = encoding.starts_with("utf-8")
            || encoding.starts_with("unicode")
            || charset.starts_with("utf-8")
            || charset.starts_with("65001");
        if is_utf8 {
            return Ok(UTF_8);
        }
        if charset.starts_with("1252")
            || charset.starts_with("iso-8859-1")
            || charset.starts_with("8859-1")
        {
            return Ok(encoding_rs::WINDOWS_1252);
        }
        if let Some(label) = charset
            .split(|c: char| !c.is_ascii_alphanumeric() && c != '-')
            .next()
            && let Some(encoding) = super::decoding::of_label(label)
                .or_else(|| super::decoding::of_label(&format!("windows-{label}")))
        {
            return Ok(encoding);
        }
        return super::decoding::detect(source).map_err(|error| file.reading(&error));
    }
    let label = text
        .trim_start()
        .starts_with("<?xml")
        .then(|| after("encoding="))
        .flatten()
        .map(|after| after.trim_start_matches(['"', '\'']))
        .and_then(|after| after.split(['"', '\'']).next());
    match label {
        Some(label) => super::decoding::of_label(label).ok_or_else(|| {
            file.whole(format!(
                "it says it is encoded as '{}', which is no encoding",
                super::fault::shown(label)
            ))
        }),
        None => super::decoding::detect(source).map_err(|error| file.reading(&error)),
    }
}
