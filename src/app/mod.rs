//! The window: its state, what it draws, and the one place that turns what the owner asks for into writes.
//! It joins the parts and decides nothing about money; screens and forms live in their own folders.

pub mod action;
mod apply;
mod background;
pub mod charts;
mod doing;
pub mod forms;
mod frame;
mod keys;
pub mod navigation;
mod notices;
mod palette;
pub mod period;
pub mod preferences;
pub mod screen;
pub mod screens;
mod start;
pub mod theme;
pub mod widgets;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{NaiveDate, NaiveDateTime};
use egui::{Context, Ui};

use self::action::Progress;
use self::background::{Background, Report};
use self::navigation::Places;
use self::notices::Notices;
use self::palette::Palette;
use self::period::{BookDays, PeriodChoice};
use self::preferences::{Preferences, ThemeChoice};
use self::screen::ViewContext;
use self::screens::first_run::FirstRun;
use crate::book::Book;
use crate::dates::{DateRange, Month};
use crate::desk::Timer;

pub use start::run;

/// What stands over the rooms for a moment.
enum Over {
    Palette(Palette),
    Keys,
    /// Close the window although something is unfinished?
    Quit,
    /// Replace the practice copy by a new one?
    Afresh,
    /// The first page, over an open book.
    OtherBook(Box<FirstRun>),
    /// Something would be written in a month that is finished; whether it is all the same.
    Finished {
        /// What.
        write: Box<action::Write>,
        /// The first day it touches there.
        date: NaiveDate,
    },
}

/// A book that is open, and where the window is in it.
struct Open {
    book: Book,
    places: Places,
    choice: PeriodChoice,
    period: DateRange,
    period_label: String,
    // Whose days the period is, when it is not the choice, and the choice in words.
    period_of: Option<PeriodOf>,
    // The period is worked out again when the book, the day or whose days are shown changed.
    period_seen: Option<(u64, NaiveDate, Option<DateRange>)>,
    // Forms kept for later in the book, read when the book changed.
    kept: Vec<(i64, String)>,
    // The timer, when it runs, read when the book changed.
    timer: Option<Timer>,
    custom: (String, String),
    over: Option<Over>,
}

/// A screen that shows days of its own.
struct PeriodOf {
    /// Its title.
    title: String,
    /// The period chosen for every room, in words; it is back when the screen is left.
    choice: String,
}

/// What of an open book stays with the window while the book itself is lent to a thread.
struct Away {
    places: Places,
    choice: PeriodChoice,
    period: DateRange,
    period_label: String,
    kept: Vec<(i64, String)>,
    custom: (String, String),
    progress: Arc<Progress>,
    /// How many steps could be undone when the book was lent.
    n_undo: usize,
}

impl Away {
    fn back(self, book: Book) -> Open {
        Open {
            book,
            places: self.places,
            choice: self.choice,
            period: self.period,
            period_label: self.period_label,
            period_of: None,
            period_seen: None,
            kept: self.kept,
            timer: None,
            custom: self.custom,
            over: None,
        }
    }
}

enum State {
    First(Box<FirstRun>),
    Open(Box<Open>),
    /// The book is lent to work on a thread; the window waits until it is back.
    Lent(Box<Away>),
    /// The book is closed on a thread, with its backup; the window waits and then goes.
    Closing,
    /// Nothing is left to do.
    Closed,
}

/// The whole window. `eframe` and the tests both call [`App::show`].
pub struct App {
    state: State,
    preferences: Preferences,
    notices: Notices,
    background: Background,
    today: fn() -> NaiveDate,
    now: fn() -> NaiveDateTime,
    trouble: Option<String>,
    shown_theme: Option<(ThemeChoice, u32)>,
    name_shown: String,
    // Whether the book that is open, lent or being closed is a practice copy.
    is_practice: bool,
    goes_on_to: Option<screens::first_run::FirstStep>,
    opens_files_with: fn(&Path) -> std::io::Result<()>,
}

impl App {
    /// A window on the first page. `today` tells the day; tests give a fixed one.
    #[must_use]
    pub fn new(preferences: Preferences, today: fn() -> NaiveDate) -> Self {
        Self {
            state: State::First(Box::new(FirstRun::new(today(), &books_folder()))),
            preferences,
            notices: Notices::default(),
            background: Background::new(),
            today,
            now: || chrono::Local::now().naive_local(),
            trouble: None,
            shown_theme: None,
            name_shown: String::new(),
            is_practice: false,
            goes_on_to: None,
            opens_files_with: |path| open::that_detached(path),
        }
    }

    /// Tells the moment otherwise than by the clock, as tests do.
    pub fn tell_time_with(&mut self, now: fn() -> NaiveDateTime) {
        self.now = now;
    }

    /// Opens files otherwise than with the desktop's own program, as tests do.
    pub fn open_files_with(&mut self, opens: fn(&Path) -> std::io::Result<()>) {
        self.opens_files_with = opens;
    }

    /// A window on a book.
    #[must_use]
    pub fn with_book(book: Book, preferences: Preferences, today: fn() -> NaiveDate) -> Self {
        let mut app = Self::new(preferences, today);
        app.opened(book);
        app
    }

    /// Opens a book on a thread; the first page says so meanwhile.
    pub fn open(&mut self, ctx: &Context, path: &Path) {
        let path = path.to_path_buf();
        self.background.start(ctx, "Opening the book", move || {
            Report::Opened(Book::open(path).map(Box::new))
        });
    }

    /// The open book, for looking at.
    #[must_use]
    pub fn book(&self) -> Option<&Book> {
        match &self.state {
            State::Open(open) => Some(&open.book),
            _ => None,
        }
    }

    fn opened(&mut self, book: Book) {
        self.is_practice = book.is_practice();
        // A copy of the sample lies among files that come and go, and is not offered again; a practice copy is reached
        // from its real book.
        if !self.is_practice && !book.path().starts_with(std::env::temp_dir()) {
            self.preferences.remember(book.path());
        }
        self.trouble = None;
        self.notices.put_away();
        let days = book_days(&book, (self.today)());
        let choice = PeriodChoice::fitting(&days);
        self.state = State::Open(Box::new(Open {
            book,
            places: Places::new(),
            choice,
            period: choice.range(&days),
            period_label: String::new(),
            period_of: None,
            period_seen: None,
            kept: Vec::new(),
            timer: None,
            custom: (String::new(), String::new()),
            over: None,
        }));
    }

    /// Takes in what the threads reported.
    fn take_reports(&mut self, ctx: &Context) {
        while let Some(report) = self.background.report() {
            match report {
                Report::Opened(Ok(book)) => self.opened(*book),
                Report::Opened(Err(error)) => {
                    self.trouble = Some(sentence(&error.to_string()));
                    if matches!(self.state, State::Closing | State::Closed) {
                        self.state = self.first_page();
                    }
                }
                Report::Closed(result) => self.closed(ctx, result),
                Report::Returned(book, said) => self.take_back(*book, said),
                // Whatever was begun is undone with the book that is gone.
                Report::Done(Err(words)) if matches!(self.state, State::Lent(_)) => {
                    self.trouble = Some(words);
                    self.state = self.first_page();
                }
                Report::Done(Ok(words)) => self.notices.done(words, false),
                Report::Done(Err(words)) if matches!(self.state, State::First(_)) => {
                    self.trouble = Some(words);
                }
                Report::Done(Err(words)) => self.notices.trouble(words),
            }
        }
    }

    /// Has a book back that was lent.
    fn take_back(&mut self, mut book: Book, said: Result<String, String>) {
        let finished = book.take_wrote_in_finished();
        // What leaves the books as they are, as a pack does, is not offered to be undone: that would undo what came before.
        let mut can_undo = false;
        match std::mem::replace(&mut self.state, State::Closed) {
            State::Lent(away) => {
                can_undo = book.undo_count() > away.n_undo;
                self.state = State::Open(Box::new(away.back(book)));
            }
            other => self.state = other,
        }
        match said {
            Ok(words) => {
                let words = match finished {
                    Some(date) => format!(
                        "{words}; some of it in {}, which was finished",
                        Month::of(date)
                    ),
                    None => words,
                };
                self.notices.done(words, can_undo);
            }
            Err(words) => self.notices.trouble(words),
        }
    }

    fn first_page(&self) -> State {
        State::First(Box::new(FirstRun::new((self.today)(), &books_folder())))
    }

    /// Draws everything and does what was asked for.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.take_reports(&ctx);
        self.wear_theme(&ctx);
        self.close_if_asked(&ctx);
        self.name_window(&ctx);
        frame::show(self, ui);
    }

    /// Whether what the window shows is a practice copy.
    fn shows_practice(&self) -> bool {
        self.is_practice && !matches!(self.state, State::First(_))
    }

    fn wear_theme(&mut self, ctx: &Context) {
        let wanted = (self.preferences.theme, self.preferences.scale);
        if self.shown_theme == Some(wanted) {
            return;
        }
        self.shown_theme = Some(wanted);
        ctx.set_theme(match self.preferences.theme {
            ThemeChoice::Light => egui::ThemePreference::Light,
            ThemeChoice::Dark => egui::ThemePreference::Dark,
            ThemeChoice::System => egui::ThemePreference::System,
        });
        ctx.set_zoom_factor(self.preferences.scale as f32 / 100.0);
    }

    fn name_window(&mut self, ctx: &Context) {
        let name = match &self.state {
            State::Open(open) => match open.book.settings().business_name() {
                "" => "Deckle".to_owned(),
                name => format!("{name} \u{2013} Deckle"),
            },
            _ => "Deckle".to_owned(),
        };
        let name = if self.shows_practice() {
            format!("PRACTICE COPY \u{2013} {name}")
        } else {
            name
        };
        if name != self.name_shown {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(name.clone()));
            self.name_shown = name;
        }
    }
}

impl Open {
    /// Works out again what the frame shows, when the book or the day changed.
    fn renew_period(&mut self, today: NaiveDate) {
        let own = self.places.own_period();
        let days = own.as_ref().map(|(days, _title)| *days);
        let seen = Some((self.book.revision(), today, days));
        if self.period_seen != seen {
            self.period_seen = seen;
            let choice = self.choice.range(&book_days(&self.book, today));
            self.period = days.unwrap_or(choice);
            self.period_label = period::in_words(self.period, today);
            self.period_of = own.map(|(_days, title)| PeriodOf {
                title,
                choice: period::in_words(choice, today),
            });
            // Today reads them too, and says so when the file cannot be read.
            self.kept = self.book.draft_names().unwrap_or_default();
            self.timer = self.book.running_timer().unwrap_or_default();
        }
    }

    /// Whether the bar at the top names other days than the screen in sight has turned to meanwhile.
    fn names_other_days(&self) -> bool {
        let own = self.places.own_period().map(|(days, _title)| days);
        self.period_seen
            .is_some_and(|(_revision, _today, seen)| seen != own)
    }

    fn view<'a>(
        book: &'a Book,
        preferences: &'a Preferences,
        period: DateRange,
        period_label: &'a str,
        today: NaiveDate,
        now: NaiveDateTime,
    ) -> ViewContext<'a> {
        ViewContext {
            chart: book.chart(),
            settings: book.settings(),
            currency: book.currency(),
            period,
            period_label,
            today,
            now,
            revision: book.revision(),
            preferences,
        }
    }
}

fn book_days(book: &Book, today: NaiveDate) -> BookDays {
    BookDays {
        today,
        first_day: book.first_day(),
        year_start: book.year_start(),
        // A file that cannot be read here cannot be read anywhere; the screens say so.
        covered: book.days_covered().ok().flatten(),
    }
}

/// Where books are proposed to be kept: the documents folder, or the home folder.
fn books_folder() -> PathBuf {
    let documents = directories::UserDirs::new().map(|dirs| {
        dirs.document_dir()
            .filter(|folder| folder.is_dir())
            .unwrap_or_else(|| dirs.home_dir())
            .to_path_buf()
    });
    documents.unwrap_or_else(|| PathBuf::from("."))
}

/// Words with a capital letter at their beginning.
pub(in crate::app) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }
}
