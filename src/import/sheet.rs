//! A CSV sheet after RFC 4180, read whole and held against its layout's columns.
//! What its cells mean is `cells` and the kinds; here they are text.

use csv::{ByteRecord, ReaderBuilder, StringRecord};

use super::{Faults, Layout};

/// A sheet whose header fits its layout.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The file's name, without its folder.
    pub file: String,
    columns: Vec<&'static str>,
    rows: Vec<(u64, StringRecord)>,
}

impl Sheet {
    /// Reads a sheet. Columns may stand in any order; a byte-order mark and empty rows are passed over.
    ///
    /// # Errors
    /// Every unknown, doubled or missing column, every row of another length, every cell that is not UTF-8 text.
    pub fn read(file: &str, bytes: &[u8], layout: &Layout) -> Result<Self, Faults> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let mut faults = Faults::new(file);
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(bytes);
        let mut record = ByteRecord::new();
        let mut columns = None;
        let mut rows = Vec::new();
        let mut row = 0;
        loop {
            match reader.read_byte_record(&mut record) {
                Ok(true) => {}
                Ok(false) => break,
                Err(error) => {
                    faults.row(row + 1, format!("the row cannot be read: {error}"));
                    break;
                }
            }
            row += 1 + empty_lines_before(&record, bytes);
            let Some(width) = columns.as_ref().map(Vec::len) else {
                columns = Some(header(&record, row, layout, &mut faults));
                continue;
            };
            if let Some(cells) = cells(&record, row, width, &columns, &mut faults) {
                rows.push((row, cells));
            }
        }
        let Some(columns) = columns else {
            faults.file(format!(
                "the file is empty; its first row must name the columns {}",
                layout.headers().join(", ")
            ));
            return Err(faults);
        };
        faults.into_result(Self {
            file: file.to_owned(),
            columns,
            rows,
        })
    }

    /// How many rows it has besides the header.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether it has no rows besides the header.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    pub(super) fn rows(&self) -> &[(u64, StringRecord)] {
        &self.rows
    }

    pub(super) fn position(&self, column: &str) -> Option<usize> {
        self.columns.iter().position(|name| *name == column)
    }
}

/// The reader passes over empty lines; spreadsheets count them, so the row numbers must too.
fn empty_lines_before(record: &ByteRecord, bytes: &[u8]) -> u64 {
    let start = record
        .position()
        .and_then(|position| usize::try_from(position.byte()).ok())
        .unwrap_or_default();
    let ends_half_way = start > 0 && bytes.get(start - 1) == Some(&b'\r');
    let mut count = 0;
    for (idx, byte) in bytes.get(start..).unwrap_or_default().iter().enumerate() {
        match byte {
            b'\n' if idx == 0 && ends_half_way => {}
            b'\n' => count += 1,
            b'\r' => {}
            _ => break,
        }
    }
    count
}

fn header(
    record: &ByteRecord,
    row: u64,
    layout: &Layout,
    faults: &mut Faults,
) -> Vec<&'static str> {
    let mut columns = Vec::new();
    for (idx, name) in record.iter().enumerate() {
        let name = String::from_utf8_lossy(name);
        let name = name.trim();
        match layout.column(name) {
            _ if name.is_empty() => faults.row(row, format!("column {} has no name", idx + 1)),
            None => faults.cell(
                row,
                name,
                format!(
                    "unknown column; a sheet of {} has {}",
                    layout.kind,
                    layout.headers().join(", ")
                ),
            ),
            Some(column) if columns.contains(&column.name) => {
                faults.cell(row, name, "the column is there twice");
            }
            Some(column) => {
                columns.push(column.name);
                continue;
            }
        }
        columns.push("");
    }
    for column in layout.columns {
        if column.is_needed && !columns.contains(&column.name) {
            faults.cell(row, column.name, "the column is missing");
        }
    }
    columns
}

fn cells(
    record: &ByteRecord,
    row: u64,
    width: usize,
    columns: &Option<Vec<&'static str>>,
    faults: &mut Faults,
) -> Option<StringRecord> {
    if record.iter().all(<[u8]>::is_empty) {
        return None;
    }
    if record.len() != width {
        faults.row(
            row,
            format!("the row has {} cells, the header {width}", record.len()),
        );
        return None;
    }
    let mut cells = StringRecord::with_capacity(record.as_slice().len(), width);
    for (idx, cell) in record.iter().enumerate() {
        let column = columns
            .as_ref()
            .and_then(|columns| columns.get(idx).copied())
            .unwrap_or_default();
        match std::str::from_utf8(cell) {
            Err(_) => {
                faults.cell(row, column, "not UTF-8 text");
                return None;
            }
            Ok(text) if text.contains('\0') => {
                faults.cell(row, column, "holds a zero byte");
                return None;
            }
            Ok(text) => cells.push_field(text.trim()),
        }
    }
    Some(cells)
}

#[cfg(test)]
mod tests {
    use super::super::layouts;
    use super::*;

    fn faults(text: &[u8]) -> String {
        Sheet::read("s.csv", text, &layouts::PAYOUTS)
            .expect_err("is at fault")
            .to_string()
    }

    #[test]
    fn columns_stand_in_any_order_after_a_byte_order_mark() {
        let text = "\u{feff}amount,date,channel,paid_into\r\n\"1,2\",2026-01-02,\"a \"\"b\"\"\",1000\r\n\r\n,,,\r\n3,2026-01-03,c,1000\r\n";
        let sheet = Sheet::read("s.csv", text.as_bytes(), &layouts::PAYOUTS).expect("is sound");
        assert_eq!(sheet.len(), 2);
        assert_eq!(sheet.rows()[0].1.get(2), Some("a \"b\""));
        assert_eq!(sheet.rows()[0].0, 2);
        assert_eq!(sheet.rows()[1].0, 5);
    }

    #[test]
    fn each_fault_of_the_header_is_named() {
        let text = faults(b"channel,date,colour,date\n");
        assert!(text.contains("s.csv row 1 column colour: unknown column"));
        assert!(text.contains("s.csv row 1 column date: the column is there twice"));
        assert!(text.contains("s.csv row 1 column paid_into: the column is missing"));
        assert!(text.contains("s.csv row 1 column amount: the column is missing"));
    }

    #[test]
    fn rows_of_another_length_and_other_encodings_are_refused() {
        assert!(faults(b"").contains("s.csv: the file is empty"));
        let head = b"channel,date,paid_into,amount\n".to_vec();
        let text = faults(&[&head[..], b"a,2026-01-01,1000\n"].concat());
        assert_eq!(text, "s.csv row 2: the row has 3 cells, the header 4");
        let text = faults(&[&head[..], b"\xff\xfe,2026-01-01,1000,1\n"].concat());
        assert_eq!(text, "s.csv row 2 column channel: not UTF-8 text");
        let text = faults(&[&head[..], b"a\0b,2026-01-01,1000,1\n"].concat());
        assert_eq!(text, "s.csv row 2 column channel: holds a zero byte");
    }
}
