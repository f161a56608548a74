//! Where the window is: a room, and the screens on top of it.
//! What they show is theirs.

use std::collections::BTreeMap;

use super::screen::{Screen, ViewContext};
use super::screens;
use crate::book::{Book, BookError};
use crate::dates::DateRange;

/// The rooms, in the order of the list at the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Room {
    /// What is, and what wants doing.
    Today,
    /// Purchases, suppliers, what recurs.
    Buy,
    /// Sales, channels, payouts.
    Sell,
    /// Bank, cash, cards, what is owed.
    Money,
    /// The register.
    Equipment,
    /// What to keep back.
    SetAside,
    /// Closing and handing over.
    YearEnd,
    /// The accountant's view.
    Ledger,
}

impl Room {
    /// All rooms in order.
    pub const ALL: [Self; 8] = [
        Self::Today,
        Self::Buy,
        Self::Sell,
        Self::Money,
        Self::Equipment,
        Self::SetAside,
        Self::YearEnd,
        Self::Ledger,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Buy => "Buy",
            Self::Sell => "Sell",
            Self::Money => "Money",
            Self::Equipment => "Equipment",
            Self::SetAside => "Set aside",
            Self::YearEnd => "Year end",
            Self::Ledger => "Ledger",
        }
    }

    /// What it is for, in a line.
    #[must_use]
    pub const fn about(self) -> &'static str {
        match self {
            Self::Today => "what is, and what wants doing",
            Self::Buy => "purchases, suppliers and what recurs",
            Self::Sell => "sales, channels and payouts",
            Self::Money => "bank, cash, cards and what is owed",
            Self::Equipment => "what lasts for years (fixed assets)",
            Self::SetAside => "what to keep back for tax, an estimate",
            Self::YearEnd => "closing the year and handing it over",
            Self::Ledger => "statements, journal and accounts",
        }
    }
}

/// What a screen last read, so that it reads again only when something changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Seen {
    revision: u64,
    period: DateRange,
    today: chrono::NaiveDate,
}

/// A screen and what it last read.
pub(super) struct Shown {
    pub(super) screen: Box<dyn Screen>,
    seen: Option<Seen>,
}

impl Shown {
    fn new(screen: Box<dyn Screen>) -> Self {
        Self { screen, seen: None }
    }

    pub(super) fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let seen = Some(Seen {
            revision: cx.revision,
            period: cx.period,
            today: cx.today,
        });
        if self.seen != seen || self.screen.is_stale() {
            self.seen = seen;
            self.screen.refresh(book, cx)?;
        }
        Ok(())
    }
}

/// The room, what is on top of it, and what was kept for later.
pub(super) struct Places {
    room: Room,
    rooms: BTreeMap<Room, Shown>,
    over: Vec<Shown>,
    kept: Vec<Shown>,
}

impl Places {
    /// Every room at its beginning.
    pub(super) fn new() -> Self {
        let rooms: BTreeMap<Room, Shown> = Room::ALL
            .into_iter()
            .filter_map(|room| Some((room, Shown::new(screens::room(room)?))))
            .collect();
        let room = rooms.keys().next().copied().unwrap_or(Room::Today);
        Self {
            room,
            rooms,
            over: Vec::new(),
            kept: Vec::new(),
        }
    }

    /// The room that is open, or beneath what is on top.
    pub(super) const fn room(&self) -> Room {
        self.room
    }

    /// The rooms there are.
    pub(super) fn rooms(&self) -> Vec<Room> {
        self.rooms.keys().copied().collect()
    }

    /// The screen in sight.
    pub(super) fn top(&mut self) -> Option<&mut Shown> {
        match self.over.last_mut() {
            Some(top) => Some(top),
            None => self.rooms.get_mut(&self.room),
        }
    }

    /// The title of the screen to which the way back leads, when there is one.
    pub(super) fn beneath(&self) -> Option<String> {
        match self.over.len() {
            0 => None,
            1 => Some(self.room.name().to_owned()),
            count => self.over.get(count - 2).map(|shown| shown.screen.title()),
        }
    }

    /// Goes to a room; drafts on top are kept for later, the rest closes.
    pub(super) fn go(&mut self, room: Room) {
        if self.rooms.contains_key(&room) {
            self.room = room;
            for shown in self.over.drain(..) {
                if shown.screen.has_draft() {
                    self.kept.push(shown);
                }
            }
        }
    }

    /// Puts a screen on top.
    pub(super) fn open(&mut self, screen: Box<dyn Screen>) {
        self.over.push(Shown::new(screen));
    }

    /// Closes the screen on top. Answers whether there was one.
    pub(super) fn close(&mut self) -> bool {
        self.over.pop().is_some()
    }

    /// Whether the screen on top holds a draft.
    pub(super) fn top_has_draft(&self) -> bool {
        self.over
            .last()
            .is_some_and(|shown| shown.screen.has_draft())
    }

    /// The titles of what is unfinished anywhere.
    pub(super) fn drafts(&self) -> Vec<String> {
        self.over
            .iter()
            .chain(&self.kept)
            .filter(|shown| shown.screen.has_draft())
            .map(|shown| shown.screen.title())
            .collect()
    }

    /// Puts the screen on top aside and answers its title.
    pub(super) fn keep_top(&mut self) -> Option<String> {
        let top = self.over.pop()?;
        let title = top.screen.title();
        self.kept.push(top);
        Some(title)
    }

    /// The titles of what was kept for later.
    pub(super) fn kept(&self) -> Vec<String> {
        self.kept.iter().map(|shown| shown.screen.title()).collect()
    }

    /// Takes up again what was kept.
    pub(super) fn take_up(&mut self, idx: usize) {
        if idx < self.kept.len() {
            let shown = self.kept.remove(idx);
            self.over.push(shown);
        }
    }
}
