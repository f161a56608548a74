//! What a room adds up over a long period, month by month: a month that did not change is not read again, and what is
//! still to be read is read a little in each frame, so that no room ever holds the window up.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use crate::book::{Book, BookError};
use crate::dates::{DateRange, Month};

/// How long may be read in one frame before the rest waits for the next; one more month always fits in.
const READS_FOR: Duration = Duration::from_millis(2);

/// Something known of each month of a period.
#[derive(Debug)]
pub struct ByMonth<T> {
    months: BTreeMap<Month, Known<T>>,
    is_whole: bool,
}

#[derive(Debug)]
struct Known<T> {
    part: DateRange,
    revision: u64,
    value: T,
}

impl<T> Default for ByMonth<T> {
    fn default() -> Self {
        Self {
            months: BTreeMap::new(),
            is_whole: false,
        }
    }
}

impl<T> ByMonth<T> {
    /// Reads what is missing or has changed of a period, as far as the time of a frame goes, the first month first.
    /// Answers whether everything is there now.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(
        &mut self,
        book: &Book,
        period: DateRange,
        mut read: impl FnMut(DateRange) -> Result<T, BookError>,
    ) -> Result<bool, BookError> {
        let start = Instant::now();
        let parts = period.by_month();
        self.months.retain(|_month, known| {
            period.contains(known.part.from) && period.contains(known.part.to)
        });
        self.is_whole = false;
        for part in parts {
            let month = Month::of(part.from);
            let holds = self.months.get(&month).is_some_and(|known| {
                known.part == part && known.revision >= book.month_revision(month)
            });
            if holds {
                continue;
            }
            if start.elapsed() > READS_FOR {
                // Nothing of what was known before stands behind a month that is missing.
                self.months.retain(|known, _value| *known < month);
                return Ok(false);
            }
            let known = Known {
                part,
                revision: book.revision(),
                value: read(part)?,
            };
            self.months.insert(month, known);
        }
        self.is_whole = true;
        Ok(true)
    }

    /// Whether the whole period was read.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.is_whole
    }

    /// What was read, oldest month first.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &T> {
        self.months.values().map(|known| &known.value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::NewBook;
    use crate::dates::parse_iso;
    use crate::happenings::{Happening, OwnerMoneyIn, OwnerMoneyInDetails};
    use crate::ledger::Role;
    use crate::money::{Currency, Money};

    #[test]
    fn only_the_month_that_changed_is_read_again() {
        let folder = tempfile::tempdir().expect("a folder");
        let day = |text: &str| parse_iso(text).expect("a day");
        let new = NewBook::new(Currency::from_code("USD").expect("USD"), day("2026-01-01"));
        let mut book = Book::create(folder.path().join("book.deckle"), &new).expect("a book");
        let year = DateRange::new(day("2026-01-01"), day("2026-12-15")).expect("a range");
        let mut known = ByMonth::default();
        let mut n_read = 0;
        // A slow machine may need several frames; each reads at least a month.
        let mut frames = |known: &mut ByMonth<DateRange>, book: &Book| {
            n_read = 0;
            for _frame in 0..12 {
                let is_whole = known.read(book, year, |part| {
                    n_read += 1;
                    Ok(part)
                });
                if is_whole.expect("read") {
                    return n_read;
                }
            }
            panic!("never whole");
        };
        assert_eq!(frames(&mut known, &book), 12);
        assert_eq!(frames(&mut known, &book), 0);
        let put_in = OwnerMoneyIn::new(OwnerMoneyInDetails {
            date: day("2026-05-04"),
            account: book.chart().role(Role::BusinessBank).expect("a bank"),
            amount: Money::from_minor(5_000),
            memo: String::new(),
        })
        .expect("money in");
        let recording = put_in.recording(book.chart()).expect("an entry");
        book.record(&recording).expect("recorded");
        assert_eq!(frames(&mut known, &book), 1);
        book.undo().expect("undone");
        assert_eq!(frames(&mut known, &book), 1);
        let last = known.values().next_back().expect("a month");
        assert_eq!(last.to, day("2026-12-15"));
        book.set_settings(&[("business_name".to_owned(), "Fernhollow Press".to_owned())])
            .expect("set");
        assert_eq!(frames(&mut known, &book), 0);
    }
}
