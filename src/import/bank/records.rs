//! A text cut into rows and cells after RFC 4180, with any separator, one row at a time and never without bound.
//! Rows are numbered as a spreadsheet would; what the cells mean is not known here.

use std::io::BufRead;

use super::StatementError;
use super::fault::File;

/// The longest row that is read, in bytes.
pub(in crate::import) const LONGEST_ROW: usize = 1024 * 1024;

/// A row of cells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::import) struct Record {
    /// Its number, everything above it counted, the first row being 1.
    pub(in crate::import) row: u64,
    text: String,
    ends: Vec<usize>,
}

impl Record {
    pub(in crate::import) fn len(&self) -> usize {
        self.ends.len()
    }

    /// A cell; empty when the row does not reach so far.
    pub(in crate::import) fn cell(&self, idx: usize) -> &str {
        let start = match idx {
            0 => 0,
            idx => match self.ends.get(idx - 1) {
                Some(end) => *end,
                None => return "",
            },
        };
        let end = self.ends.get(idx).copied().unwrap_or(start);
        self.text.get(start..end).unwrap_or_default()
    }

    pub(in crate::import) fn cells(&self) -> Vec<&str> {
        (0..self.len()).map(|idx| self.cell(idx)).collect()
    }

    /// Its length in bytes.
    pub(in crate::import) fn size(&self) -> usize {
        self.text.len()
    }

    pub(in crate::import) fn is_blank(&self) -> bool {
        self.text.trim().is_empty()
    }

    /// How many cells there are up to the last that holds something.
    pub(in crate::import) fn filled(&self) -> usize {
        (0..self.len())
            .rev()
            .find(|idx| !self.cell(*idx).trim().is_empty())
            .map_or(0, |idx| idx + 1)
    }
}

/// Cuts a stream of UTF-8 text into rows.
pub(in crate::import) struct Records<'f, R> {
    source: R,
    file: File<'f>,
    separator: u8,
    row: u64,
    after_return: bool,
    is_ended: bool,
    bytes: Vec<u8>,
    ends: Vec<usize>,
    /// Which bytes end a stretch of plain text outside quotation marks.
    ends_plain: [bool; 256],
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum At {
    CellStart,
    Plain,
    Quoted,
    QuoteInQuoted,
}

impl<'f, R: BufRead> Records<'f, R> {
    pub(in crate::import) fn new(source: R, file: File<'f>, separator: char) -> Self {
        let separator = u8::try_from(separator).unwrap_or(b',');
        let mut ends_plain = [false; 256];
        for byte in [0, b'\n', b'\r', separator] {
            ends_plain[usize::from(byte)] = true;
        }
        Self {
            source,
            file,
            separator,
            row: 0,
            after_return: false,
            is_ended: false,
            bytes: Vec::new(),
            ends: Vec::new(),
            ends_plain,
        }
    }

    /// The next row, blank ones included, into `record`; false at the end.
    ///
    /// # Errors
    /// When the source cannot be read, a row is too long, a quoted cell does not end, or a cell holds a zero byte.
    pub(in crate::import) fn read(&mut self, record: &mut Record) -> Result<bool, StatementError> {
        if self.is_ended {
            return Ok(false);
        }
        // The room of the row before is used once more.
        self.bytes = std::mem::take(&mut record.text).into_bytes();
        self.bytes.clear();
        self.ends.clear();
        let mut at = At::CellStart;
        let mut is_begun = false;
        'row: loop {
            let ready = self
                .source
                .fill_buf()
                .map_err(|error| self.file.reading(&error))?;
            if ready.is_empty() {
                self.is_ended = true;
                if at == At::Quoted {
                    return Err(self.file.row(
                        self.row + 1,
                        "a cell that begins with a quotation mark does not end before the file does",
                    ));
                }
                if !is_begun {
                    return Ok(false);
                }
                break 'row;
            }
            let mut used = 0;
            let mut is_done = false;
            while let Some(&byte) = ready.get(used) {
                used += 1;
                if std::mem::take(&mut self.after_return) && byte == b'\n' {
                    continue;
                }
                is_begun = true;
                match (at, byte) {
                    (_, 0) => {
                        return Err(self.file.row(
                            self.row + 1,
                            "the row holds a zero byte; the file is not text, or not in the encoding it seems to be in",
                        ));
                    }
                    (At::Quoted, b'"') => at = At::QuoteInQuoted,
                    (At::Quoted, byte) => self.bytes.push(byte),
                    (At::QuoteInQuoted, b'"') => {
                        self.bytes.push(byte);
                        at = At::Quoted;
                    }
                    (_, b'\n' | b'\r') => {
                        self.after_return = byte == b'\r';
                        is_done = true;
                        break;
                    }
                    (_, byte) if byte == self.separator => {
                        self.ends.push(self.bytes.len());
                        at = At::CellStart;
                    }
                    (At::CellStart, b'"') => {
                        // Spaces before the quotation mark are no part of a quoted cell.
                        let start = self.ends.last().copied().unwrap_or_default();
                        self.bytes.truncate(start);
                        at = At::Quoted;
                    }
                    (At::CellStart, b' ') => self.bytes.push(byte),
                    (_, byte) => {
                        self.bytes.push(byte);
                        at = At::Plain;
                    }
                }
                // What stands before the next mark or break is taken at once.
                if at == At::Plain {
                    let rest = &ready[used..];
                    let length = rest
                        .iter()
                        .position(|byte| self.ends_plain[usize::from(*byte)])
                        .unwrap_or(rest.len());
                    self.bytes.extend_from_slice(&rest[..length]);
                    used += length;
                }
                if self.bytes.len() > LONGEST_ROW || self.ends.len() > LONGEST_ROW / 8 {
                    return Err(self.file.row(
                        self.row + 1,
                        "the row is longer than a million bytes; a quotation mark without its partner may be the cause",
                    ));
                }
            }
            self.source.consume(used);
            if is_done {
                break 'row;
            }
        }
        self.ends.push(self.bytes.len());
        self.row += 1;
        record.row = self.row;
        std::mem::swap(&mut record.ends, &mut self.ends);
        record.text = String::from_utf8(std::mem::take(&mut self.bytes))
            .map_err(|_not_whole| self.file.row(self.row, "the row is not whole text"))?;
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str, separator: char) -> Result<Vec<Vec<String>>, String> {
        let mut records = Records::new(text.as_bytes(), File("s.csv"), separator);
        let mut record = Record::default();
        let mut out = Vec::new();
        loop {
            match records.read(&mut record) {
                Ok(true) => out.push(record.cells().iter().map(ToString::to_string).collect()),
                Ok(false) => return Ok(out),
                Err(error) => return Err(error.to_string()),
            }
        }
    }

    /// RFC 4180, section 2, points 1 to 7.
    #[test]
    fn rows_follow_the_grammar_of_rfc_4180() {
        for (text, expected) in [
            // 1 and 2: records on lines, the last break optional.
            (
                "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
                vec![vec!["aaa", "bbb", "ccc"], vec!["zzz", "yyy", "xxx"]],
            ),
            (
                "aaa,bbb,ccc\r\nzzz,yyy,xxx",
                vec![vec!["aaa", "bbb", "ccc"], vec!["zzz", "yyy", "xxx"]],
            ),
            // 4: spaces are part of a field.
            (" a , b \r\n", vec![vec![" a ", " b "]]),
            // 5 and 6: quoted fields, with breaks and commas in them.
            (
                "\"aaa\",\"b \r\nbb\",\"ccc\" \r\nzzz,yyy,xxx",
                vec![vec!["aaa", "b \r\nbb", "ccc "], vec!["zzz", "yyy", "xxx"]],
            ),
            ("\"a,b\",c\n", vec![vec!["a,b", "c"]]),
            // 7: a doubled quotation mark.
            (
                "\"aaa\",\"b\"\"bb\",\"ccc\"",
                vec![vec!["aaa", "b\"bb", "ccc"]],
            ),
        ] {
            let got = rows(text, ',').expect("is sound");
            assert_eq!(got, expected, "{text:?}");
        }
    }

    /// By hand, beyond the RFC: line feeds or returns alone, blank lines, stray marks.
    #[test]
    fn what_the_rfc_leaves_open_is_taken_sensibly() {
        assert_eq!(
            rows("a;b\rc;d\r", ';').expect("reads"),
            [["a", "b"], ["c", "d"]]
        );
        assert_eq!(
            rows("a;\"b\" c;5\" disc\n", ';').expect("reads"),
            [["a", "b c", "5\" disc"]]
        );
        assert_eq!(
            rows("a\n\n\nb", ';').expect("reads"),
            [["a"], [""], [""], ["b"]]
        );
        assert_eq!(rows("a; \"b;c\"\n", ';').expect("reads"), [["a", "b;c"]]);
        assert_eq!(rows("", ';').expect("reads").len(), 0);
        assert_eq!(
            rows("a;b\nc;\"d\ne;f\n", ';').expect_err("does not end"),
            "s.csv row 2: a cell that begins with a quotation mark does not end before the file does"
        );
        let endless = format!("a;b\n{}", "x".repeat(LONGEST_ROW + 2));
        assert!(
            rows(&endless, ';')
                .expect_err("too long")
                .starts_with("s.csv row 2: the row is longer")
        );
        assert!(
            rows("a\0;b\n", ';')
                .expect_err("zero")
                .starts_with("s.csv row 1: the row holds a zero byte")
        );
    }

    proptest::proptest! {
        /// The csv crate as second opinion: what it writes after RFC 4180 comes back cell by cell.
        #[test]
        fn rows_written_after_the_rfc_come_back(
            table in proptest::collection::vec(proptest::collection::vec("[a-z\";, \n\rä]{0,6}", 2..5), 1..6),
            is_always_quoted in proptest::bool::ANY,
        ) {
            let mut writer = csv::WriterBuilder::new()
                .flexible(true)
                .delimiter(b';')
                .quote_style(if is_always_quoted { csv::QuoteStyle::Always } else { csv::QuoteStyle::Necessary })
                .from_writer(Vec::new());
            for row in &table {
                writer.write_record(row).expect("writes");
            }
            let text = String::from_utf8(writer.into_inner().expect("ends")).expect("is UTF-8");
            proptest::prop_assert_eq!(rows(&text, ';').expect("reads"), table);
        }
    }
}
