//! What is wrong with a sheet, said with file, row and column.
//! All faults of a sheet are gathered before any is shown.

use std::fmt;

/// One thing that is wrong in a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The file's name, without its folder.
    pub file: String,
    /// The row, the header being row 1; none for the file as a whole.
    pub row: Option<u64>,
    /// The column's name, where one column is at fault.
    pub column: Option<String>,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(row) = self.row {
            write!(f, " row {row}")?;
        }
        if let Some(column) = &self.column {
            write!(f, " column {column}")?;
        }
        // One fault is one line, whatever a cell holds.
        let message: String = self
            .message
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        write!(f, ": {message}")
    }
}

/// Everything that is wrong in a sheet, in the order it was found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Faults {
    file: String,
    list: Vec<Fault>,
}

impl Faults {
    /// No faults yet in the file of this name.
    #[must_use]
    pub fn new(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            list: Vec::new(),
        }
    }

    /// A fault of the file as a whole.
    pub fn file(&mut self, message: impl Into<String>) {
        self.push(None, None, message.into());
    }

    /// A fault of one row.
    pub fn row(&mut self, row: u64, message: impl Into<String>) {
        self.push(Some(row), None, message.into());
    }

    /// A fault of one cell.
    pub fn cell(&mut self, row: u64, column: &str, message: impl Into<String>) {
        self.push(Some(row), Some(column.to_owned()), message.into());
    }

    fn push(&mut self, row: Option<u64>, column: Option<String>, message: String) {
        self.list.push(Fault {
            file: self.file.clone(),
            row,
            column,
            message,
        });
    }

    /// The faults.
    #[must_use]
    pub fn list(&self) -> &[Fault] {
        &self.list
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The value, or the faults when there are any, by row.
    ///
    /// # Errors
    /// When there is a fault.
    pub fn into_result<T>(mut self, value: T) -> Result<T, Self> {
        if self.list.is_empty() {
            return Ok(value);
        }
        self.list.sort_by_key(|fault| fault.row);
        Err(self)
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (idx, fault) in self.list.iter().enumerate() {
            if idx > 0 {
                f.write_str("\n")?;
            }
            fault.fmt(f)?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
