//! Where the window is: a room, and the screens on top of it.
//! What they show is theirs.

use std::collections::BTreeMap;

use super::screen::{Screen, ViewContext};
use super::screens;
use crate::book::Book;
use crate::dates::DateRange;

/// The rooms, in the order of the list at the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Room {
    /// What is, and what wants doing.
    Today,
    /// What starting needs, and whether the money lasts.
    Plan,
    /// Purchases, suppliers, what recurs.
    Buy,
    /// Stock, batches, counts.
    Make,
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
    pub const ALL: [Self; 10] = [
        Self::Today,
        Self::Plan,
        Self::Buy,
        Self::Make,
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
            Self::Plan => "Plan",
            Self::Buy => "Buy",
            Self::Make => "Make",
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
            Self::Plan => "what starting needs, and whether the money lasts",
            Self::Buy => "purchases, suppliers and what recurs",
            Self::Make => "what is on hand, batches and counts (stock)",
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
    /// Why it could not be read, until it can.
    pub(super) trouble: Option<String>,
}

impl Shown {
    fn new(screen: Box<dyn Screen>) -> Self {
        Self {
            screen,
            seen: None,
            trouble: None,
        }
    }

    /// Reads what the screen shows, when something changed; what went wrong is kept to be said.
    pub(super) fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) {
        let seen = Some(Seen {
            revision: cx.revision,
            period: cx.period,
            today: cx.today,
        });
        if self.seen != seen || self.screen.is_stale() {
            self.seen = seen;
            let read = self.screen.refresh(book, cx);
            self.trouble = read.err().map(|error| error.to_string());
            // What it read are its own days; it need not read again once the bar at the top names them.
            if let (Some(own), Some(seen)) = (self.screen.own_period(), &mut self.seen) {
                seen.period = own;
            }
        }
    }
}

/// The room, what is on top of it, and what was kept for later.
pub(super) struct Places {
    room: Room,
    rooms: BTreeMap<Room, Shown>,
    over: Vec<Shown>,
    // Only what the book cannot keep.
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

    /// The days that are shown when they are not the period chosen for every room: those of the screen in sight or of
    /// the nearest beneath it, with the screen's title.
    pub(super) fn own_period(&self) -> Option<(DateRange, String)> {
        let room = self.rooms.get(&self.room);
        let mut shown = self.over.iter().rev().chain(room);
        shown.find_map(|shown| Some((shown.screen.own_period()?, shown.screen.title())))
    }

    /// Tells every screen that a period was chosen.
    pub(super) fn period_chosen(&mut self, range: DateRange) {
        for shown in self.rooms.values_mut().chain(&mut self.over) {
            shown.screen.period_chosen(range);
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

    /// Goes to a room; answers the screens on top that hold a draft, the rest closes.
    pub(super) fn go(&mut self, room: Room) -> Vec<Shown> {
        if !self.rooms.contains_key(&room) {
            return Vec::new();
        }
        self.room = room;
        let over = self.over.drain(..);
        over.filter(|shown| shown.screen.has_draft()).collect()
    }

    /// Takes everything that holds a draft, to see whether the book can keep it.
    pub(super) fn take_drafts(&mut self) -> Vec<Shown> {
        let (drafts, rest) = std::mem::take(&mut self.over)
            .into_iter()
            .partition(|shown| shown.screen.has_draft());
        self.over = rest;
        drafts
    }

    /// Takes the screen on top.
    pub(super) fn take_top(&mut self) -> Option<Shown> {
        self.over.pop()
    }

    /// Sets a screen aside that the book cannot keep.
    pub(super) fn set_aside(&mut self, shown: Shown) {
        self.kept.push(shown);
    }

    /// The numbers of what was kept for later and is open.
    pub(super) fn taken_up(&self) -> Vec<i64> {
        let shown = self.over.iter();
        shown.filter_map(|shown| shown.screen.taken_up()).collect()
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

    /// The titles of what is unfinished and would go with the window, for the book cannot keep it.
    pub(super) fn lost(&self) -> Vec<String> {
        let cannot_be_kept =
            |shown: &&Shown| shown.screen.has_draft() && shown.screen.to_keep().is_none();
        let over = self.over.iter().filter(cannot_be_kept);
        over.chain(&self.kept)
            .map(|shown| shown.screen.title())
            .collect()
    }

    /// The titles of what is set aside while the window is open.
    pub(super) fn kept(&self) -> Vec<String> {
        self.kept.iter().map(|shown| shown.screen.title()).collect()
    }

    /// Takes up again what was set aside.
    pub(super) fn take_up(&mut self, idx: usize) {
        if idx < self.kept.len() {
            let shown = self.kept.remove(idx);
            self.over.push(shown);
        }
    }
}
