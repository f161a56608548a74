//! Doing what was asked for: going, opening, writing, undoing, and closing the window with a backup.
//! Writes go through `apply`; what is said afterwards goes to the bar at the top.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Context, ViewportCommand};

use super::action::{Action, BookJob, Kept, Progress, Write};
use super::background::Report;
use super::palette::{Palette, PaletteKind};
use super::screen::After;
use super::screens;
use super::screens::first_run::FirstStep;
use super::screens::settings::SettingsScreen;
use super::widgets::{self, Answer};
use super::{App, Away, Open, Over, State, apply, forms, sentence};
use crate::book::{Book, BookError, NewBook, practice_beside};

impl App {
    /// Does what a screen, a key or a button asked for.
    pub(super) fn act(&mut self, ctx: &Context, action: Action) {
        match action {
            Action::SetTheme(theme) => {
                self.preferences.theme = theme;
                self.preferences.save();
            }
            Action::Scale(steps) => self.preferences.change_scale(steps),
            Action::Run(job) => self.background.run(ctx, job),
            Action::Practise { is_afresh: true } => {
                if let State::Open(open) = &mut self.state {
                    open.over = Some(Over::Afresh);
                }
            }
            Action::Practise { is_afresh: false } => self.practise(ctx, false),
            Action::RealBook => self.real_book(ctx),
            Action::Lend(job) => self.lend(ctx, job),
            Action::OpenFile { path, done } => {
                let how = match (self.opens_files_with)(&path) {
                    Ok(()) => "and opened",
                    Err(_no_program) => "; open it with a program of yours",
                };
                let words = format!("{done} {how}: {}", path.display());
                self.notices.done(words.replace(" ;", ";"), false);
            }
            Action::Say(words) => self.notices.done(words, false),
            Action::Trouble(words) => self.notices.trouble(words),
            action => {
                if let State::Open(open) = &mut self.state {
                    open.act(&mut self.notices, (self.today)(), action);
                }
            }
        }
        // What changed above is seen in the next frame.
        ctx.request_repaint();
    }

    /// Lends the book to work on a thread; the window waits with everything else as it is.
    fn lend(&mut self, ctx: &Context, job: BookJob) {
        match std::mem::replace(&mut self.state, State::Closed) {
            State::Open(open) => {
                let Open {
                    book,
                    places,
                    choice,
                    period,
                    period_label,
                    kept,
                    custom,
                    ..
                } = *open;
                let progress = Arc::new(Progress::default());
                let n_undo = book.undo_count();
                self.state = State::Lent(Box::new(Away {
                    places,
                    choice,
                    period,
                    period_label,
                    kept,
                    custom,
                    progress: Arc::clone(&progress),
                    n_undo,
                }));
                self.notices.put_away();
                self.background.lend(ctx, book, job, progress);
            }
            other => self.state = other,
        }
    }

    /// Does the first step that was chosen.
    pub(super) fn begin(&mut self, ctx: &Context, step: FirstStep) {
        if matches!(self.state, State::Open(_)) {
            self.goes_on_to = Some(step);
            self.leave_book(ctx);
            return;
        }
        self.trouble = None;
        match step {
            FirstStep::Open(path) => self.open(ctx, &path),
            FirstStep::New {
                path,
                name,
                currency,
                first_day,
            } => self.background.start(ctx, "Making the book", move || {
                let mut new = NewBook::new(currency, first_day);
                new.business_name = name;
                Report::Opened(make(path, &new).map(Box::new))
            }),
            FirstStep::Practise { of, is_afresh } => {
                self.background
                    .start(ctx, "Making the practice copy", move || {
                        Report::Opened(practise(&of, is_afresh).map(Box::new))
                    })
            }
            FirstStep::Sample => {
                self.background
                    .start(ctx, "Writing the sample book", super::start::sample)
            }
        }
    }

    /// Leaves the book for its practice copy.
    fn practise(&mut self, ctx: &Context, is_afresh: bool) {
        let State::Open(open) = &self.state else {
            return;
        };
        let of = open
            .book
            .practice_of()
            .unwrap_or_else(|| open.book.path().to_owned());
        self.begin(ctx, FirstStep::Practise { of, is_afresh });
    }

    /// Leaves the practice copy for the real book.
    fn real_book(&mut self, ctx: &Context) {
        if let State::Open(open) = &self.state
            && let Some(of) = open.book.practice_of()
        {
            self.begin(ctx, FirstStep::Open(of));
        }
    }

    /// When the window is asked to close: unfinished forms are kept, then the backup is made on a thread.
    pub(super) fn close_if_asked(&mut self, ctx: &Context) {
        if !ctx.input(|input| input.viewport().close_requested()) {
            return;
        }
        match &mut self.state {
            State::First(_) | State::Closed => {}
            State::Closing | State::Lent(_) => {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            }
            State::Open(_) => {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.leave_book(ctx);
            }
        }
    }

    /// Keeps unfinished forms in the book and closes it; asks first when something would be lost.
    fn leave_book(&mut self, ctx: &Context) {
        let State::Open(open) = &mut self.state else {
            return;
        };
        for shown in open.places.take_drafts() {
            if let Err(words) = open.keep(shown) {
                self.notices.trouble(words);
            }
        }
        if open.places.lost().is_empty() {
            self.close_book(ctx);
        } else {
            open.over = Some(Over::Quit);
        }
    }

    /// Closes the book on a thread, with its backup.
    pub(super) fn close_book(&mut self, ctx: &Context) {
        if let State::Open(open) = std::mem::replace(&mut self.state, State::Closing) {
            let book = open.book;
            self.background.start(ctx, "Making the backup", move || {
                Report::Closed(book.close())
            });
        }
    }

    pub(super) fn closed(&mut self, ctx: &Context, result: Result<Option<PathBuf>, BookError>) {
        let trouble = result.err().map(|error| {
            format!("The book is closed and safe, but no backup could be made: {error}")
        });
        match (self.goes_on_to.take(), trouble) {
            (Some(step), trouble) => {
                self.state = self.first_page();
                self.begin(ctx, step);
                self.trouble = trouble;
            }
            (None, Some(words)) => {
                // Said once, on the first page; closing again goes.
                self.trouble = Some(words);
                self.state = self.first_page();
            }
            (None, None) => {
                self.state = State::Closed;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    /// The question that stands over the rooms, when there is one.
    pub(super) fn ask(&mut self, ctx: &Context) {
        let State::Open(open) = &mut self.state else {
            return;
        };
        if matches!(open.over, Some(Over::Afresh)) {
            let words = "What was tried in the practice copy goes, and a new copy of the real book takes its place. The \
                real book stays as it is.";
            let title = "Make the practice copy afresh?";
            let answer = widgets::confirm(ctx, title, words, "Make it afresh", "Leave it");
            if answer.is_some() {
                open.over = None;
            }
            if answer == Some(Answer::Yes) {
                self.practise(ctx, true);
            }
            return;
        }
        if matches!(open.over, Some(Over::Quit)) {
            let lost: Vec<String> = open
                .places
                .lost()
                .iter()
                .map(|title| format!("\u{201C}{title}\u{201D}"))
                .collect();
            let (title, words) = (
                "Close it and drop what is unfinished?",
                format!(
                    "Not written down yet and dropped with the book: {}.",
                    lost.join(", ")
                ),
            );
            match widgets::confirm(ctx, title, &words, "Close it", "Stay") {
                Some(Answer::Yes) => self.close_book(ctx),
                Some(Answer::No) => {
                    open.over = None;
                    self.goes_on_to = None;
                }
                None => {}
            }
        }
    }
}

fn make(path: PathBuf, new: &NewBook) -> Result<Book, BookError> {
    if let Some(folder) = path.parent().filter(|folder| !folder.exists()) {
        std::fs::create_dir_all(folder).map_err(|source| BookError::Io {
            doing: format!("making the folder {}", folder.display()),
            source,
        })?;
    }
    Book::create(path, new)
}

/// Opens the practice copy of a book; makes it first when there is none or an earlier one is to be replaced.
fn practise(of: &Path, is_afresh: bool) -> Result<Book, BookError> {
    let copy = practice_beside(of);
    if is_afresh || !copy.exists() {
        Book::open(of)?.make_practice_copy(&copy, is_afresh)?;
    }
    let book = Book::open(&copy)?;
    if book.is_practice() {
        return Ok(book);
    }
    Err(BookError::Exists(copy))
}

impl Open {
    fn act(
        &mut self,
        notices: &mut super::notices::Notices,
        today: chrono::NaiveDate,
        action: Action,
    ) {
        match action {
            Action::Go(room) => {
                for shown in self.places.go(room) {
                    if let Err(words) = self.keep(shown) {
                        notices.trouble(words);
                    }
                }
            }
            Action::Open(screen) => {
                notices.put_away();
                self.places.open(screen);
            }
            Action::TakeUp(id) => match self.take_up(id) {
                Ok(()) => notices.put_away(),
                Err(words) => notices.trouble(words),
            },
            Action::Start(wish) => {
                notices.put_away();
                self.places.open(forms::start(wish));
            }
            Action::Back if self.places.top_has_draft() => self.keep_top(notices),
            Action::Back | Action::Close => {
                self.places.close();
            }
            Action::KeepForLater => self.keep_top(notices),
            Action::WhatHappened => self.open_palette(PaletteKind::Happened),
            Action::Settings => self.places.open(Box::new(SettingsScreen::default())),
            Action::OtherBook => {
                let first = super::FirstRun::new(today, &super::books_folder());
                self.over = Some(Over::OtherBook(Box::new(first)));
            }
            Action::SetPeriod(choice) => {
                self.choice = choice;
                self.period_seen = None;
                let range = choice.range(&super::book_days(&self.book, today));
                self.places.period_chosen(range);
            }
            Action::Write(write) => self.write(notices, write),
            Action::Undo => match self.book.undo() {
                Ok(Some(what)) => notices.done(format!("Undone: {what}"), false),
                Ok(None) => notices.done("There is nothing to undo", false),
                Err(error) => notices.trouble(error),
            },
            Action::Redo => match self.book.redo() {
                Ok(Some(what)) => notices.done(format!("Done again: {what}"), true),
                Ok(None) => notices.done("There is nothing to do again", false),
                Err(error) => notices.trouble(error),
            },
            Action::SetTheme(_)
            | Action::Scale(_)
            | Action::Run(_)
            | Action::Practise { .. }
            | Action::RealBook
            | Action::Lend(_)
            | Action::OpenFile { .. }
            | Action::Say(_)
            | Action::Trouble(_) => {}
        }
    }

    /// Keeps the screen on top and says where it is found again.
    fn keep_top(&mut self, notices: &mut super::notices::Notices) {
        let Some(top) = self.places.take_top() else {
            return;
        };
        let title = top.screen.title();
        match self.keep(top) {
            Ok(()) => notices.done(
                format!("Kept for later, at the left and on Today: {title}"),
                false,
            ),
            Err(words) => notices.trouble(words),
        }
    }

    /// Keeps what a screen holds: in the book where it can, set aside in the window otherwise.
    fn keep(&mut self, shown: super::navigation::Shown) -> Result<(), String> {
        let Some(kept) = shown.screen.to_keep() else {
            self.places.set_aside(shown);
            return Ok(());
        };
        self.keep_in_book(kept).map_err(|error| {
            self.places.set_aside(shown);
            format!("It is kept only while the window is open: {error}")
        })
    }

    fn keep_in_book(&mut self, kept: Kept) -> Result<(), BookError> {
        // Taken up and left again as it was, it is there already.
        if let Some(id) = kept.id
            && let Some(before) = self.book.draft(id)?
            && before.content == kept.content
        {
            return Ok(());
        }
        apply::write(&mut self.book, &Write::Keep(kept)).map(|_written| ())
    }

    /// Opens what was kept for later in the book.
    fn take_up(&mut self, id: i64) -> Result<(), String> {
        if self.places.taken_up().contains(&id) {
            return Ok(());
        }
        let draft = self
            .book
            .draft(id)
            .map_err(|error| error.to_string())?
            .ok_or("it is no longer kept")?;
        self.places.open(match screens::take_up(&draft) {
            Some(page) => page,
            None => forms::take_up(&draft)?,
        });
        Ok(())
    }

    pub(super) fn open_palette(&mut self, kind: PaletteKind) {
        let palette = Palette::new(kind, &self.places.rooms(), &self.book);
        self.over = Some(Over::Palette(palette));
    }

    /// Writes something down; where it would touch a month that is finished, asks first.
    fn write(&mut self, notices: &mut super::notices::Notices, write: Box<Write>) {
        self.book.ask_before_finished(true);
        let result = apply::write(&mut self.book, &write);
        self.book.ask_before_finished(false);
        match result {
            Err(BookError::Finished { date }) => self.over = Some(Over::Finished { write, date }),
            result => self.wrote(notices, &write, result),
        }
    }

    /// The answer to whether something is written in a month that is finished.
    pub(super) fn answer_finished(
        &mut self,
        notices: &mut super::notices::Notices,
        answer: Answer,
    ) {
        let Some(Over::Finished { write, .. }) = self.over.take() else {
            return;
        };
        match answer {
            Answer::Yes => {
                let result = apply::write(&mut self.book, &write);
                let _noted_in_the_history = self.book.take_wrote_in_finished();
                self.wrote(notices, &write, result);
            }
            Answer::No => notices.done("Nothing was written down", false),
        }
    }

    fn wrote(
        &mut self,
        notices: &mut super::notices::Notices,
        write: &Write,
        result: Result<apply::Written, BookError>,
    ) {
        match result {
            Ok(written) => {
                let after = self
                    .places
                    .top()
                    .map(|shown| shown.screen.written(&written.numbers));
                if after == Some(After::Close) {
                    self.places.close();
                }
                let numbers: Vec<String> =
                    written.numbers.iter().map(ToString::to_string).collect();
                let asked = match write {
                    Write::FromKept(_, inner) | Write::FromLine(_, inner) => inner,
                    write => write,
                };
                let words = match (&written.numbers[..], asked) {
                    ([_, ..], Write::Record { .. } | Write::MoveStock(_)) if numbers.len() < 4 => {
                        format!("{} (entry {})", written.words, numbers.join(", "))
                    }
                    _ => written.words,
                };
                notices.done(sentence(&words), true);
            }
            Err(error) => {
                let words = error.to_string();
                if let Some(shown) = self.places.top() {
                    shown.screen.refused(&words);
                }
                notices.trouble(words);
            }
        }
    }
}
