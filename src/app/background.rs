//! Slow work: named threads that report through a channel and wake the window.
//! What the work is comes from outside; nothing here touches the open book.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use super::action::{BookJob, Job, Progress};
use crate::book::{Book, BookError};

/// What a thread reports.
pub(super) enum Report {
    /// A book was opened or made, or not.
    Opened(Result<Box<Book>, BookError>),
    /// A book was closed, with the backup that was made.
    Closed(Result<Option<PathBuf>, BookError>),
    /// A book that was lent is back, with what is said.
    Returned(Box<Book>, Result<String, String>),
    /// Some other work is done.
    Done(Result<String, String>),
}

/// The threads at work and what they reported.
pub(super) struct Background {
    sender: Sender<Report>,
    receiver: Receiver<Report>,
    under_way: Vec<String>,
}

impl Background {
    pub(super) fn new() -> Self {
        let (sender, receiver) = channel();
        Self {
            sender,
            receiver,
            under_way: Vec::new(),
        }
    }

    /// What is being done, to be shown.
    pub(super) fn under_way(&self) -> Option<&str> {
        self.under_way.first().map(String::as_str)
    }

    /// Does work on a thread of its own.
    pub(super) fn start(
        &mut self,
        ctx: &egui::Context,
        title: &str,
        work: impl FnOnce() -> Report + Send + 'static,
    ) {
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let run = move || {
            // A fault in the work must not leave the window waiting.
            let report = catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_fault| {
                Report::Done(Err(
                    "This did not work: the program ran into a fault of its own; the book is as it was".to_owned(),
                ))
            });
            let _window_is_gone = sender.send(report);
            ctx.request_repaint();
        };
        let thread = std::thread::Builder::new().name(title.to_owned());
        match thread.spawn(run) {
            Ok(_runs_by_itself) => self.under_way.push(title.to_owned()),
            Err(error) => {
                let report = Report::Done(Err(format!("{title} could not begin: {error}")));
                let _kept_for_the_next_frame = self.sender.send(report);
                self.under_way.push(title.to_owned());
            }
        }
    }

    /// Does a job on a thread of its own.
    pub(super) fn run(&mut self, ctx: &egui::Context, job: Job) {
        self.start(ctx, &job.title, move || Report::Done((job.work)()));
    }

    /// Lends a book to a job on a thread of its own.
    pub(super) fn lend(
        &mut self,
        ctx: &egui::Context,
        mut book: Book,
        job: BookJob,
        progress: Arc<Progress>,
    ) {
        self.start(ctx, &job.title, move || {
            let said = (job.work)(&mut book, &progress);
            Report::Returned(Box::new(book), said)
        });
    }

    /// The next report, when there is one.
    pub(super) fn report(&mut self) -> Option<Report> {
        let report = self.receiver.try_recv().ok()?;
        if !self.under_way.is_empty() {
            self.under_way.remove(0);
        }
        Some(report)
    }
}
