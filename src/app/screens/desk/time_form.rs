//! The forms of the hours: the timer, and one time by the clock or for a product.

use chrono::{NaiveDate, NaiveDateTime};
use egui::Ui;

use super::draft::{Pressed, Tried, Wrong, room_for};
use super::hours::first_after;
use crate::app::action::DeskWrite;
use crate::app::forms::parts::select;
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card_heading, date_field, parse_day, primary_button, quiet_button, soft, suggest_field,
    text_field,
};
use crate::dates::show_day;
use crate::desk::{
    ACTIVITIES, MAKING, Span, Timer, WorkTime, clock, hours_words, read_clock, read_minutes,
    show_moment,
};

/// Products to choose from, by code; none first.
type Products = [(Option<String>, String)];

fn activities() -> Vec<String> {
    ACTIVITIES.iter().map(|name| (*name).to_owned()).collect()
}

/// The timer: what it is to measure while it does not run, and when it stopped while it does.
pub(super) struct TimerDraft {
    running: Option<Timer>,
    activity: String,
    item: Option<String>,
    fair: String,
    stopped_at: String,
    wrong: Option<String>,
}

impl Default for TimerDraft {
    fn default() -> Self {
        Self {
            running: None,
            activity: MAKING.to_owned(),
            item: None,
            fair: String::new(),
            stopped_at: String::new(),
            wrong: None,
        }
    }
}

impl TimerDraft {
    /// Takes what the book has.
    pub(super) fn read(&mut self, running: Option<Timer>) {
        self.running = running;
    }

    pub(super) fn written(&mut self) {
        self.wrong = None;
        self.stopped_at.clear();
    }

    pub(super) fn refused(&mut self, message: &str) {
        self.wrong = Some(message.to_owned());
    }

    /// The timer, with what was pressed.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        products: &Products,
        cx: &ViewContext<'_>,
    ) -> Option<DeskWrite> {
        card_heading(ui, "The timer");
        match self.running.clone() {
            Some(timer) => self.running_ui(ui, &timer, products, cx.now),
            None => self.start_ui(ui, products, cx.now),
        }
    }

    fn start_ui(
        &mut self,
        ui: &mut Ui,
        products: &Products,
        now: NaiveDateTime,
    ) -> Option<DeskWrite> {
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("What you do").width(room_for(ui, 190.0));
            let field = field.problem(self.wrong.as_deref());
            suggest_field(ui, field, &mut self.activity, &activities());
            let width = room_for(ui, 190.0);
            select(
                ui,
                "For which product",
                width,
                &mut self.item,
                products,
                None,
            );
            let field = Field::new("For which fair").width(room_for(ui, 150.0));
            text_field(ui, field, &mut self.fair);
        });
        ui.add_space(space::SMALL);
        soft(
            ui,
            "It is kept in the book and goes on when the window is closed.",
        );
        let is_pressed = primary_button(ui, "Start the timer", "").clicked();
        is_pressed.then(|| {
            self.wrong = None;
            DeskWrite::StartTimer(Timer {
                item: self.item.clone(),
                fair: self.fair.trim().to_owned(),
                ..Timer::new(now, self.activity.trim())
            })
        })
    }

    fn running_ui(
        &mut self,
        ui: &mut Ui,
        timer: &Timer,
        products: &Products,
        now: NaiveDateTime,
    ) -> Option<DeskWrite> {
        let product = products
            .iter()
            .find(|(code, _name)| code.is_some() && *code == timer.item)
            .map(|(_code, name)| format!(", {name}"))
            .unwrap_or_default();
        let fair = match timer.fair.as_str() {
            "" => String::new(),
            fair => format!(", {fair}"),
        };
        ui.label(format!(
            "{}{product}{fair}: {} since {}",
            timer.activity,
            hours_words(timer.minutes(now)),
            show_moment(timer.since)
        ));
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_secs(20));
        let field = Field::new("Stopped at")
            .width(room_for(ui, 110.0))
            .hint("now");
        let field = field.problem(self.wrong.as_deref());
        text_field(ui, field, &mut self.stopped_at);
        ui.add_space(space::SMALL);
        let mut asked = None;
        ui.horizontal_wrapped(|ui| {
            if primary_button(ui, "Stop the timer", "").clicked() {
                match self.stop_at(timer, now) {
                    Ok(at) => {
                        self.wrong = None;
                        asked = Some(DeskWrite::StopTimer(at));
                    }
                    Err(words) => self.wrong = Some(words),
                }
            }
            if quiet_button(ui, "Drop it").clicked() {
                asked = Some(DeskWrite::DropTimer);
            }
        });
        asked
    }

    /// The moment at which it stopped: now, or the first such time of day after its start.
    fn stop_at(&self, timer: &Timer, now: NaiveDateTime) -> Result<NaiveDateTime, String> {
        let at = match self.stopped_at.trim() {
            "" => now,
            text => {
                let minute = read_clock(text).map_err(|error| error.to_string())?;
                let at = first_after(timer.since, minute).unwrap_or(now);
                if at > now {
                    return Err(format!("{} has not come yet", show_moment(at)));
                }
                at
            }
        };
        timer.stopped(at).map_err(|error| error.to_string())?;
        Ok(at)
    }
}

/// One time while it is typed.
pub(super) struct TimeDraft {
    before: Option<WorkTime>,
    day: String,
    activity: String,
    starts: String,
    ends: String,
    minutes: String,
    item: Option<String>,
    fair: String,
    note: String,
    take_focus: bool,
    pub(super) tried: Tried,
}

impl TimeDraft {
    /// A new one on a day.
    pub(super) fn new(day: NaiveDate) -> Self {
        Self {
            before: None,
            day: show_day(day),
            activity: MAKING.to_owned(),
            starts: String::new(),
            ends: String::new(),
            minutes: String::new(),
            item: None,
            fair: String::new(),
            note: String::new(),
            take_focus: true,
            tried: Tried::default(),
        }
    }

    /// One that changes a time.
    pub(super) fn of(time: &WorkTime) -> Self {
        let span = time.span;
        Self {
            activity: time.activity.clone(),
            starts: span.map(|span| clock(span.starts)).unwrap_or_default(),
            ends: span.map(|span| clock(span.ends)).unwrap_or_default(),
            minutes: match span {
                Some(_) => String::new(),
                None => time.minutes.to_string(),
            },
            item: time.item.clone(),
            fair: time.fair.clone(),
            note: time.note.clone(),
            before: Some(time.clone()),
            ..Self::new(time.day)
        }
    }

    /// Whether something is typed that would be lost.
    pub(super) fn is_begun(&self) -> bool {
        self.before.is_none()
            && [&self.starts, &self.ends, &self.minutes, &self.note]
                .iter()
                .any(|text| !text.trim().is_empty())
    }

    /// The time as it is typed. `beside` is what is told of the week already.
    pub(super) fn made(
        &self,
        beside: &[WorkTime],
        cx: &ViewContext<'_>,
    ) -> Result<WorkTime, Wrong> {
        let day = parse_day(&self.day, cx.today)
            .ok_or_else(|| Wrong::new("date", "not a day; write 28 Sep or 2026-09-28"))?;
        let wrong = |error: crate::desk::HoursError| Wrong::new(error.field(), error.to_string());
        let clock = |text: &str, field| match text.trim() {
            "" => Ok(None),
            text => read_clock(text)
                .map(Some)
                .map_err(|error| Wrong::new(field, error.to_string())),
        };
        let minutes = match self.minutes.trim() {
            "" => None,
            text => Some(read_minutes(text).map_err(wrong)?),
        };
        let activity = self.activity.trim();
        let time = match (
            clock(&self.starts, "start")?,
            clock(&self.ends, "end")?,
            minutes,
        ) {
            (Some(starts), Some(ends), minutes) => {
                let by_clock =
                    WorkTime::by_clock(day, activity, Span::new(starts, ends).map_err(wrong)?);
                WorkTime {
                    minutes: minutes.unwrap_or(by_clock.minutes),
                    ..by_clock
                }
            }
            (Some(_), None, _) => return Err(Wrong::new("end", "say when it ended")),
            (None, Some(_), _) => return Err(Wrong::new("start", "say when it started")),
            (None, None, Some(minutes)) => WorkTime::new(day, activity, minutes),
            (None, None, None) => {
                return Err(Wrong::new("minutes", "say how long, or from when to when"));
            }
        };
        let time = WorkTime {
            id: self.before.as_ref().map_or(0, |before| before.id),
            item: self.item.clone(),
            fair: self.fair.trim().to_owned(),
            note: self.note.trim().to_owned(),
            ..time
        };
        time.check().map_err(wrong)?;
        time.check_beside(beside).map_err(wrong)?;
        Ok(time)
    }

    /// The form.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        wrong: Option<&Wrong>,
        products: &Products,
        cx: &ViewContext<'_>,
    ) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        ui.add_space(space::SMALL);
        card_heading(ui, "Time by the clock, or for a product");
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Day")
                .width(room_for(ui, 126.0))
                .problem(beside("date"));
            date_field(ui, field, &mut self.day, cx.today);
            let field = Field::new("Activity")
                .width(room_for(ui, 190.0))
                .problem(beside("activity"));
            suggest_field(ui, field, &mut self.activity, &activities());
            let field = Field::new("From")
                .width(room_for(ui, 80.0))
                .hint("9:00")
                .take_focus(std::mem::take(&mut self.take_focus))
                .problem(beside("start"));
            text_field(ui, field, &mut self.starts);
            let field = Field::new("To")
                .width(room_for(ui, 80.0))
                .hint("10:30")
                .problem(beside("end"));
            text_field(ui, field, &mut self.ends);
            let field = Field::new("or how long")
                .width(room_for(ui, 100.0))
                .hint("90")
                .problem(beside("minutes"));
            text_field(ui, field, &mut self.minutes);
        });
        ui.horizontal_wrapped(|ui| {
            let width = room_for(ui, 190.0);
            select(ui, "Product", width, &mut self.item, products, None);
            let field = Field::new("Fair").width(room_for(ui, 150.0));
            text_field(ui, field, &mut self.fair);
            let field = Field::new("Note").width(room_for(ui, 220.0));
            text_field(ui, field, &mut self.note);
        });
        self.tried.buttons(ui, "Keep this time", wrong)
    }
}
