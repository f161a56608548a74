//! The seam between the window and what it shows: a screen reads the book when it changed, draws, and answers with
//! an action. Rooms, forms, an entry's page and "where this comes from" are all screens.

use chrono::{NaiveDate, NaiveDateTime};

use super::action::{Action, Kept};
use super::preferences::Preferences;
use crate::book::{Book, BookError, Settings};
use crate::dates::{DateRange, YearStart};
use crate::ledger::{Chart, EntryNumber};
use crate::money::{Currency, Money};

/// What every screen may look at while it draws. The book itself is only there in [`Screen::refresh`].
#[derive(Clone, Copy, Debug)]
pub struct ViewContext<'a> {
    /// The accounts.
    pub chart: &'a Chart,
    /// The settings of the book.
    pub settings: &'a Settings,
    /// The currency of every amount.
    pub currency: &'a Currency,
    /// The period chosen for every room, or the screen's own: see [`Screen::own_period`].
    pub period: DateRange,
    /// The period in words, as `January to September 2026`.
    pub period_label: &'a str,
    /// The day it is.
    pub today: NaiveDate,
    /// The moment it is, by the clock of the place.
    pub now: NaiveDateTime,
    /// The book's revision: it grows with every change.
    pub revision: u64,
    /// How this person likes the window.
    pub preferences: &'a Preferences,
}

impl ViewContext<'_> {
    /// An amount for a maker's room, with a true minus.
    #[must_use]
    pub fn show(&self, amount: Money) -> String {
        self.currency.show(amount)
    }

    /// An amount for a statement, negatives in parentheses.
    #[must_use]
    pub fn statement(&self, amount: Money) -> String {
        self.currency.statement(amount)
    }

    /// When financial years begin.
    #[must_use]
    pub fn year_start(&self) -> YearStart {
        self.settings.year_start()
    }
}

/// What becomes of a screen after what it asked to write was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum After {
    /// It stays.
    Stay,
    /// It closes, as a form does.
    Close,
}

/// Something shown in the main area.
///
/// The window calls `refresh` when the book, the period or the day changed and whenever `is_stale` says so, then `ui`.
/// A screen draws from what `refresh` read: nothing is read or sorted while drawing.
pub trait Screen {
    /// Its name, for the way back and for what is kept for later.
    fn title(&self) -> String;

    /// Reads what it shows.
    ///
    /// # Errors
    /// When the book cannot be read; the window then says so.
    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError>;

    /// Whether it wants to read again although the book did not change, as after a filter was typed.
    fn is_stale(&self) -> bool {
        false
    }

    /// The days that it shows and all that is opened from it, when they are its own and not the period chosen for every
    /// room. The bar at the top then names these.
    fn own_period(&self) -> Option<DateRange> {
        None
    }

    /// A period was chosen in the bar at the top; a screen with days of its own goes to those that fit.
    fn period_chosen(&mut self, _range: DateRange) {}

    /// Draws it, and answers what the owner asked for.
    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action>;

    /// What it asked to write was written, as these entries (none when it wrote something else).
    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        After::Stay
    }

    /// What it asked to write was refused; the window shows the message as well.
    fn refused(&mut self, _message: &str) {}

    /// Whether it holds something typed that would be lost with it.
    fn has_draft(&self) -> bool {
        false
    }

    /// Whether Escape is for something on it rather than for the way back.
    fn holds_escape(&self) -> bool {
        false
    }

    /// What was typed, to be kept for later in the book; `None` when it can only be kept while the window is open.
    fn to_keep(&self) -> Option<Kept> {
        None
    }

    /// The number of what was kept for later and is open here.
    fn taken_up(&self) -> Option<i64> {
        None
    }
}
