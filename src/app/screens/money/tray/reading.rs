//! Reads the lines to be sorted a little in each frame; of many, the suggestions are worked out on a thread.
//! What was read before stays in sight until the new reading is whole.

use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

use crate::app::screen::ViewContext;
use crate::book::{Book, BookError};
use crate::money::Money;
use crate::reports::{Tray, TrayReading};

/// How long may be read in one frame.
const READS_FOR: Duration = Duration::from_millis(4);
/// So many parts are read in a frame whatever their time: a book of ordinary size needs no more.
const PARTS_AT_LEAST: usize = 5;
/// Up to so many lines, suggestions are worked out at once.
const AT_ONCE: usize = 300;

/// The tray as far as it was read.
#[derive(Default)]
pub(in crate::app::screens) struct TrayReader {
    tray: Tray,
    n_covered: usize,
    n_known_lines: usize,
    came_in: Money,
    went_out: Money,
    is_known: bool,
    revision: Option<u64>,
    reading: Option<TrayReading>,
    finishing: Option<Receiver<Tray>>,
}

impl TrayReader {
    /// What was read last.
    pub(in crate::app::screens) const fn tray(&self) -> &Tray {
        &self.tray
    }

    /// How many of the lines are sure.
    pub(in crate::app::screens) const fn n_covered(&self) -> usize {
        self.n_covered
    }

    /// How many lines the statements have, sorted or not.
    pub(in crate::app::screens) const fn n_known_lines(&self) -> usize {
        self.n_known_lines
    }

    /// What came in and went out on all lines together.
    pub(in crate::app::screens) fn whole(&self, cx: &ViewContext<'_>) -> String {
        let came = format!("{} came in", cx.show(self.came_in));
        let went = format!("{} went out", cx.show(self.went_out));
        match (self.came_in.is_zero(), self.went_out.is_zero()) {
            (false, false) => format!("{came}, {went}"),
            (false, true) => came,
            (true, _) => went,
        }
    }

    /// Whether anything was read yet.
    pub(in crate::app::screens) const fn is_known(&self) -> bool {
        self.is_known
    }

    /// Whether something is still to be read.
    pub(in crate::app::screens) const fn is_reading(&self) -> bool {
        self.reading.is_some() || self.finishing.is_some()
    }

    /// Reads a little. Answers whether there is a new tray.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(in crate::app::screens) fn read(&mut self, book: &Book) -> Result<bool, BookError> {
        if self.revision != Some(book.revision()) {
            self.revision = Some(book.revision());
            self.reading = Some(TrayReading::new(None));
            self.finishing = None;
            self.n_known_lines = book.count_bank_lines()?;
        }
        if let Some(mut reading) = self.reading.take() {
            let start = Instant::now();
            let mut n_parts = 0;
            while !reading.read_more(book)? {
                n_parts += 1;
                if n_parts >= PARTS_AT_LEAST && start.elapsed() > READS_FOR {
                    self.reading = Some(reading);
                    return Ok(false);
                }
            }
            if reading.n_lines() <= AT_ONCE {
                self.take(reading.finish());
                return Ok(true);
            }
            self.finish_on_a_thread(reading);
        }
        let finished = self.finishing.as_ref().map(Receiver::try_recv);
        match finished {
            Some(Ok(tray)) => {
                self.finishing = None;
                self.take(tray);
                Ok(true)
            }
            Some(Err(TryRecvError::Disconnected)) => {
                self.finishing = None;
                Err(BookError::Refused(
                    "the suggestions could not be worked out".to_owned(),
                ))
            }
            Some(Err(TryRecvError::Empty)) | None => Ok(false),
        }
    }

    fn finish_on_a_thread(&mut self, reading: TrayReading) {
        let (sender, receiver) = channel();
        self.finishing = Some(receiver);
        std::thread::spawn(move || {
            // Nobody waits any more when the book changed meanwhile or the page was left.
            let _unheard = sender.send(reading.finish());
        });
    }

    fn take(&mut self, tray: Tray) {
        self.n_covered = tray.n_covered();
        let amounts = || tray.rows.iter().map(|row| row.line.amount);
        self.came_in = amounts().filter(|amount| amount.is_positive()).sum();
        self.went_out = amounts()
            .filter(|amount| amount.is_negative())
            .sum::<Money>()
            .abs();
        self.tray = tray;
        self.is_known = true;
    }
}
