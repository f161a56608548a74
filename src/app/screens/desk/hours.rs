//! Hours: the timer, the week in a grid, time by the clock or for a product, and what an hour left. Never posted.
//! What time refuses is `desk`'s; the form of one time is `time_form`, the grid is `week`.

use chrono::{Days, NaiveDate, NaiveDateTime};
use egui::Ui;

use super::draft::{Pressed, deeds_ui, desk};
use super::time_form::{TimeDraft, TimerDraft};
use super::week::WeekGrid;
use crate::app::action::{Action, DeskWrite};
use crate::app::forms::parts;
use crate::app::screen::ViewContext;
use crate::app::screens::{explain, make};
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{card, card_heading, caution, quiet_button, secondary_button, soft};
use crate::book::{Book, BookError};
use crate::dates::{DateRange, show_day};
use crate::desk::{EARNING_CAUTION, Earning, WorkTime, hours_words};
use crate::reports::{self, HoursReport, week_of};
use crate::stock::ItemKind;

use explain::{ProfitFigure, Source};

/// What was pressed on a time of the week.
#[derive(Clone, Copy)]
enum Deed {
    Change,
    Remove,
}

/// The page of the hours.
#[derive(Default)]
pub(super) struct HoursPage {
    /// Any day of the week in sight; this week's when none was chosen.
    week: Option<NaiveDate>,
    seen_week: Option<NaiveDate>,
    times: Vec<WorkTime>,
    report: Option<HoursReport>,
    products: Vec<(Option<String>, String)>,
    grid: WeekGrid,
    timer: TimerDraft,
    draft: Option<TimeDraft>,
}

impl HoursPage {
    fn days(&self, today: NaiveDate) -> DateRange {
        week_of(self.week.unwrap_or(today))
    }

    pub(super) fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let days = self.days(cx.today);
        self.seen_week = self.week;
        self.times = book.work_times(days)?;
        self.grid.read(days, &self.times);
        let report = reports::hours(book, cx.period)?;
        let mut products = vec![(None, "no product".to_owned())];
        for item in book.items()? {
            if item.is_active && matches!(item.kind, ItemKind::Made | ItemKind::BoughtIn) {
                products.push((Some(item.code), item.name));
            }
        }
        self.products = products;
        self.timer.read(report.timer.clone());
        self.report = Some(report);
        Ok(())
    }

    pub(super) fn is_stale(&self) -> bool {
        self.seen_week != self.week
    }

    pub(super) fn written(&mut self) {
        self.timer.written();
        if self
            .draft
            .as_mut()
            .is_some_and(|draft| draft.tried.is_asked())
        {
            self.draft = None;
        }
    }

    pub(super) fn refused(&mut self, message: &str) {
        if let Some(draft) = &mut self.draft
            && draft.tried.is_asked()
        {
            draft.tried.refused(message);
            return;
        }
        self.timer.refused(message);
    }

    pub(super) fn has_draft(&self) -> bool {
        self.draft.as_ref().is_some_and(TimeDraft::is_begun)
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = card(ui, |ui| {
            let write = self.timer.ui(ui, &self.products, cx);
            write.map(desk)
        });
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.week_ui(ui, cx)));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.earned_ui(ui, cx)));
        ui.add_space(space::LARGE);
        caution(ui, EARNING_CAUTION);
        asked
    }

    fn week_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let days = self.days(cx.today);
        card_heading(
            ui,
            &format!("{} to {}", show_day(days.from), show_day(days.to)),
        );
        ui.horizontal_wrapped(|ui| {
            let mut go = |day: Option<NaiveDate>| self.week = day;
            if quiet_button(ui, "The week before").clicked() {
                go(days.from.checked_sub_days(Days::new(7)));
            }
            if quiet_button(ui, "The week after").clicked() {
                go(days.from.checked_add_days(Days::new(7)));
            }
            if !days.contains(cx.today) && quiet_button(ui, "This week").clicked() {
                go(None);
            }
        });
        soft(
            ui,
            "Whole minutes, as 90, 1:30 or 1h30. What is told by the clock or for a product stands beneath and counts too.",
        );
        let mut asked = self
            .grid
            .ui(ui, days)
            .map(|(day, activity, minutes)| desk(DeskWrite::PutMinutes(day, activity, minutes)));
        let minutes: u32 = self.times.iter().map(|time| time.minutes).sum();
        ui.label(format!("In this week: {}", hours_words(minutes)));
        let told: Vec<WorkTime> = self
            .times
            .iter()
            .filter(|time| !time.is_plain())
            .cloned()
            .collect();
        for time in told {
            parts::rule(ui);
            ui.push_id(("time", time.id), |ui| {
                let words = time_words(&time);
                ui.label(&words);
                let deeds = [
                    ("Change", true, Deed::Change),
                    ("Take out", true, Deed::Remove),
                ];
                match deeds_ui(ui, &words, &deeds) {
                    Some(Deed::Change) => self.draft = Some(TimeDraft::of(&time)),
                    Some(Deed::Remove) => asked = Some(desk(DeskWrite::RemoveTime(time.id))),
                    None => {}
                }
            });
        }
        ui.add_space(space::SMALL);
        let Some(draft) = &mut self.draft else {
            if secondary_button(ui, "Time by the clock, or for a product\u{2026}", "").clicked() {
                let day = if days.contains(cx.today) {
                    cx.today
                } else {
                    days.from
                };
                self.draft = Some(TimeDraft::new(day));
            }
            return asked;
        };
        let made = draft.made(&self.times, cx);
        match draft.ui(ui, made.as_ref().err(), &self.products, cx) {
            Some(Pressed::Keep) => asked = made.ok().map(|time| desk(DeskWrite::KeepTime(time))),
            Some(Pressed::Leave) => self.draft = None,
            None => {}
        }
        asked
    }

    fn earned_ui(&self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let report = self.report.as_ref()?;
        card_heading(ui, "What an hour left").on_hover_text(
            "Net profit of a month over all its hours; what a product kept over its making hours",
        );
        soft(ui, cx.period_label);
        if report.times.is_empty() {
            soft(ui, "No hours are written down in this time yet.");
            return None;
        }
        for (activity, minutes) in &report.activities {
            soft(ui, &format!("{activity}: {}", hours_words(*minutes)));
        }
        let mut asked = None;
        let months: Vec<(String, Earning)> = report
            .months
            .iter()
            .map(|one| (one.month.to_string(), one.earning))
            .collect();
        if let Some(row) = earnings_ui(ui, "months", "Month", "net profit", &months, cx)
            && let Some(one) = report.months.get(row)
        {
            let source = Source::Profit(ProfitFigure::NetProfit, one.month.range());
            asked = Some(explain::open(source));
        }
        let products: Vec<(String, Earning)> = report
            .products
            .iter()
            .map(|one| (one.name.clone(), one.earning))
            .collect();
        if let Some(row) = earnings_ui(ui, "products", "Product", "kept", &products, cx)
            && let Some(one) = report.products.get(row)
        {
            asked = Some(make::open_item(one.item.clone()));
        }
        ui.add_space(space::SMALL);
        ui.label(
            report
                .whole
                .working("All together: net profit", cx.currency),
        );
        asked
    }
}

/// What was left over the hours, a row each with its working; answers the row whose figure was pressed.
fn earnings_ui(
    ui: &mut Ui,
    id: &str,
    title: &str,
    what: &str,
    rows: &[(String, Earning)],
    cx: &ViewContext<'_>,
) -> Option<usize> {
    if rows.is_empty() {
        return None;
    }
    ui.add_space(space::SMALL);
    let columns = [
        Column::words(title, 1.0),
        Column::words("Where this comes from", 1.6),
        Column::figures("An hour", 90.0),
    ];
    let rows: Vec<Row> = rows
        .iter()
        .map(|(name, earning)| {
            let each = earning.each_hour().map(|each| cx.show(each));
            Row::line(vec![
                Cell::text(name.clone()),
                Cell::soft(earning.working(what, cx.currency)),
                Cell::opens(each.unwrap_or_default()),
            ])
        })
        .collect();
    paper_table(ui, id, &columns, &rows).map(|(row, _column)| row)
}

/// A time in words.
fn time_words(time: &WorkTime) -> String {
    let mut words = format!("{}, {}", show_day(time.day), time.activity);
    if let Some(span) = time.span {
        words.push_str(&format!(", {}", span.words()));
    }
    words.push_str(&format!(", {}", hours_words(time.minutes)));
    for about in [
        time.item.as_deref().unwrap_or_default(),
        &time.fair,
        &time.note,
    ] {
        if !about.is_empty() {
            words.push_str(&format!(", {about}"));
        }
    }
    words
}

/// The first moment with this minute of the day that does not lie before another.
pub(super) fn first_after(since: NaiveDateTime, minute: u32) -> Option<NaiveDateTime> {
    let on = |day: NaiveDate| {
        let start = day.and_hms_opt(0, 0, 0)?;
        start.checked_add_signed(chrono::TimeDelta::minutes(i64::from(minute)))
    };
    let same_day = on(since.date())?;
    if same_day >= since {
        Some(same_day)
    } else {
        on(since.date().succ_opt()?)
    }
}
