//! Driving: trips for the business, the odometer, the vehicle, and what a year comes to. Never posted from here.
//! What a trip refuses is `mileage`'s; the form of one is `trip_form`.

use egui::Ui;

use super::draft::{Pressed, Tried, Wrong, deeds_ui, desk, room_for};
use super::trip_form::TripDraft;
use crate::app::action::{Action, DeskWrite, Write};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, chip, choice_chips, date_field, parse_day, quiet_button,
    secondary_button, soft, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::export::tables::mileage_words;
use crate::mileage::{Distance, DistanceUnit, MILEAGE_CAUTION, Reading, Trip};
use crate::reports::{self, FairMiles, MileageReport};

/// So many usual trips are offered.
const OFFERED: usize = 5;
/// So many trips of the year are listed, the newest first.
const LISTED: usize = 60;

#[derive(Clone, Copy)]
enum Deed {
    Change,
    Remove,
}

/// A reading of the odometer while it is typed.
struct ReadingDraft {
    day: String,
    shows: String,
    tried: Tried,
}

/// The page of driving.
#[derive(Default)]
pub(super) struct DrivingPage {
    report: Option<MileageReport>,
    usual: Vec<Trip>,
    unit: DistanceUnit,
    draft: Option<TripDraft>,
    reading: Option<ReadingDraft>,
    vehicle: String,
    since: String,
}

impl DrivingPage {
    /// Begins a trip.
    pub(super) fn begin(&mut self) {
        self.draft = Some(TripDraft::new());
    }

    pub(super) fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let ending = cx.year_start().year_of(cx.period.to);
        let report = reports::mileage(book, ending)?;
        self.unit = unit_of(cx);
        self.usual = book.usual_trips(OFFERED)?;
        self.vehicle.clone_from(&report.vehicle.name);
        self.since = report
            .vehicle
            .in_service_on
            .map(show_day)
            .unwrap_or_default();
        self.report = Some(report);
        Ok(())
    }

    pub(super) fn written(&mut self) {
        if self
            .draft
            .as_mut()
            .is_some_and(|draft| draft.tried.is_asked())
        {
            self.draft = None;
        }
        if self
            .reading
            .as_mut()
            .is_some_and(|draft| draft.tried.is_asked())
        {
            self.reading = None;
        }
    }

    pub(super) fn refused(&mut self, message: &str) {
        if let Some(draft) = &mut self.draft {
            draft.tried.refused(message);
        }
        if let Some(draft) = &mut self.reading {
            draft.tried.refused(message);
        }
    }

    pub(super) fn has_draft(&self) -> bool {
        self.draft.as_ref().is_some_and(TripDraft::is_begun)
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = card(ui, |ui| self.new_ui(ui, cx));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.year_ui(ui, cx)));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.trips_ui(ui)));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.odometer_ui(ui, cx)));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.vehicle_ui(ui, cx)));
        ui.add_space(space::LARGE);
        caution(ui, MILEAGE_CAUTION);
        asked
    }

    /// The form of a trip, or what begins one: a trip like earlier ones, or one to a fair.
    fn new_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        if let Some(draft) = &mut self.draft {
            let made = draft.made(self.unit, cx);
            return match draft.ui(ui, made.as_ref().err(), self.unit, cx) {
                Some(Pressed::Keep) => made.ok().map(|trip| desk(DeskWrite::KeepTrip(trip))),
                Some(Pressed::Leave) => {
                    self.draft = None;
                    None
                }
                None => None,
            };
        }
        card_heading(ui, "I drove somewhere for the business");
        if !self.usual.is_empty() {
            soft(ui, "Like an earlier one:");
            ui.horizontal_wrapped(|ui| {
                for trip in &self.usual {
                    if chip(ui, &usual_words(trip)).clicked() {
                        self.draft = Some(TripDraft::like(trip));
                    }
                }
            });
        }
        let fairs: Vec<FairMiles> = self
            .report
            .as_ref()
            .map(|report| report.fairs.clone())
            .unwrap_or_default();
        if !fairs.is_empty() {
            soft(ui, "Told with a fair and not in the log yet:");
            ui.horizontal_wrapped(|ui| {
                for fair in &fairs {
                    let words =
                        format!("{}, {}, {}", fair.fair, show_day(fair.date), fair.distance);
                    if chip(ui, &words).clicked() {
                        self.draft = Some(TripDraft::to_fair(fair));
                    }
                }
            });
        }
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Write a trip down\u{2026}", "").clicked() {
            self.begin();
        }
        None
    }

    fn year_ui(&self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let report = self.report.as_ref()?;
        let year = &report.year;
        card_heading(
            ui,
            &format!(
                "{} to {}",
                show_day(year.range.from),
                show_day(year.range.to)
            ),
        );
        let unit = report.rates.unit;
        let columns = [
            Column::words("Days", 1.4),
            Column::figures(unit.plain(), 90.0),
            Column::figures("Each", 70.0),
            Column::figures("Amount", 100.0),
        ];
        let mut rows: Vec<Row> = year
            .periods
            .iter()
            .map(|one| {
                let days = format!("{} to {}", show_day(one.days.from), show_day(one.days.to));
                let each = one.each.map(|each| each.normalize().to_string());
                let source = match one.each {
                    Some(_) if one.source.is_empty() => "your own rate".to_owned(),
                    Some(_) => format!("{}, {}", one.source, one.read),
                    None => "no rate is known for these days".to_owned(),
                };
                Row::line(vec![
                    Cell::text(days).explained(source),
                    Cell::text(one.distance.round_dp(2).normalize().to_string()),
                    Cell::text(each.unwrap_or_else(|| "none".to_owned())),
                    Cell::text(cx.show(one.amount)),
                ])
            })
            .collect();
        rows.push(Row::total(vec![
            Cell::text("In all"),
            Cell::text(year.distance.round_dp(2).normalize().to_string()),
            Cell::default(),
            Cell::text(cx.show(year.amount)),
        ]));
        let _nothing_opens = paper_table(ui, "mileage-year", &columns, &rows);
        for words in mileage_words(report, cx.currency) {
            if words != MILEAGE_CAUTION {
                soft(ui, &words);
            }
        }
        ui.add_space(space::SMALL);
        let mut is_actual = report.is_actual;
        let label = "What counts for driving";
        let choices = [(false, "A rate"), (true, "The car\u{2019}s real costs")];
        choice_chips(ui, label, &mut is_actual, &choices);
        (is_actual != report.is_actual).then(|| {
            let method = if is_actual { "actual" } else { "rate" };
            set(&[("mileage.method", method)])
        })
    }

    fn trips_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let report = self.report.as_ref()?;
        let trips = &report.year.trips;
        card_heading(ui, "The log");
        if trips.is_empty() {
            soft(
                ui,
                "When, where to, how far and what for, written down in the week of the trip: that is what makes a log count.",
            );
        }
        let mut pressed = None;
        for trip in trips.iter().rev().take(LISTED) {
            ui.push_id(("trip", trip.id), |ui| {
                let words = trip_words(trip);
                ui.label(&words);
                if let Some(days) = trip.late_by() {
                    soft(ui, &format!("written down {days} days later"));
                }
                let deeds = [
                    ("Change", true, Deed::Change),
                    ("Take out", true, Deed::Remove),
                ];
                if let Some(deed) = deeds_ui(ui, &words, &deeds) {
                    pressed = Some((trip.clone(), deed));
                }
            });
        }
        if trips.len() > LISTED {
            soft(ui, &format!("and {} earlier ones", trips.len() - LISTED));
        }
        match pressed? {
            (trip, Deed::Change) => {
                self.draft = Some(TripDraft::of(&trip));
                None
            }
            (trip, Deed::Remove) => Some(desk(DeskWrite::RemoveTrip(trip.id))),
        }
    }

    fn odometer_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "The odometer").on_hover_text(
            "All driving of a year: what it showed on the first and on the last day",
        );
        let mut asked = None;
        let readings = self.report.as_ref().map(|report| report.readings.clone());
        for reading in readings.unwrap_or_default() {
            let words = format!("{}: {}", show_day(reading.date), reading.shows);
            ui.push_id(("reading", reading.id), |ui| {
                ui.label(&words);
                if deeds_ui(ui, &words, &[("Take out", true, ())]).is_some() {
                    asked = Some(desk(DeskWrite::RemoveReading(reading.id)));
                }
            });
        }
        let unit = self.unit;
        let Some(draft) = &mut self.reading else {
            if quiet_button(ui, "Write down what it shows").clicked() {
                self.reading = Some(ReadingDraft {
                    day: show_day(cx.today),
                    shows: String::new(),
                    tried: Tried::default(),
                });
            }
            return asked;
        };
        let made = draft.made(unit, cx);
        let wrong = made.as_ref().err();
        let tried = draft.tried.clone();
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("On the morning of")
                .width(room_for(ui, 140.0))
                .problem(tried.beside(wrong, "date"));
            date_field(ui, field, &mut draft.day, cx.today);
            let label = format!("It shows, in {}", unit.plain());
            let field = Field::new(&label)
                .width(room_for(ui, 160.0))
                .problem(tried.beside(wrong, "distance"));
            text_field(ui, field, &mut draft.shows);
        });
        match draft.tried.buttons(ui, "Keep the reading", wrong) {
            Some(Pressed::Keep) => made
                .ok()
                .map(|reading| desk(DeskWrite::KeepReading(reading))),
            Some(Pressed::Leave) => {
                self.reading = None;
                asked
            }
            None => asked,
        }
    }

    fn vehicle_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let told = self.report.as_ref()?.vehicle.clone();
        card_heading(ui, "The vehicle");
        let mut asked = None;
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Which").width(room_for(ui, 240.0));
            if text_field(ui, field.hint("small grey van"), &mut self.vehicle).lost_focus()
                && self.vehicle.trim() != told.name
            {
                asked = Some(set(&[("mileage.vehicle", self.vehicle.trim())]));
            }
            let field = Field::new("Driven for the business since").width(room_for(ui, 200.0));
            let left = text_field(ui, field.hint("1 Sep 2025"), &mut self.since).lost_focus();
            let day = parse_day(&self.since, cx.today);
            if left && day != told.in_service_on {
                match (day, self.since.trim()) {
                    (Some(day), _) => {
                        asked = Some(set(&[("mileage.in_service_on", &day.to_string())]));
                    }
                    (None, "") => asked = Some(set(&[("mileage.in_service_on", "")])),
                    (None, _) => {
                        asked = Some(Action::Trouble(
                            "Not a day; write 28 Sep or 2026-09-28".to_owned(),
                        ));
                    }
                }
            }
        });
        let mut has_other = told.has_other;
        let choices = [(Some(true), "Yes"), (Some(false), "No")];
        let label = "Is there another car for private driving?";
        choice_chips(ui, label, &mut has_other, &choices);
        if let Some(has_other) = has_other.filter(|_| has_other != told.has_other) {
            let word = if has_other { "yes" } else { "no" };
            asked = Some(set(&[("mileage.other_vehicle", word)]));
        }
        let mut unit = self.unit;
        choice_chips(
            ui,
            "Distances in",
            &mut unit,
            &[
                (DistanceUnit::Miles, "miles"),
                (DistanceUnit::Kilometres, "kilometres"),
            ],
        );
        if unit != self.unit {
            asked = Some(set(&[("mileage.unit", unit.as_str())]));
        }
        asked
    }
}

impl ReadingDraft {
    fn made(&self, unit: DistanceUnit, cx: &ViewContext<'_>) -> Result<Reading, Wrong> {
        let date = parse_day(&self.day, cx.today)
            .ok_or_else(|| Wrong::new("date", "not a day; write 28 Sep or 2026-09-28"))?;
        let shows = Distance::read(&self.shows, unit)
            .map_err(|error| Wrong::new("distance", error.to_string()))?;
        Ok(Reading { id: 0, date, shows })
    }
}

/// Changes settings.
pub(super) fn set(changes: &[(&str, &str)]) -> Action {
    let owned = changes
        .iter()
        .map(|(key, value)| ((*key).to_owned(), (*value).to_owned()));
    Action::write(Write::SetSettings(owned.collect()))
}

fn unit_of(cx: &ViewContext<'_>) -> DistanceUnit {
    let told = cx.settings.get("mileage.unit");
    told.and_then(|text| text.parse().ok()).unwrap_or_default()
}

/// A trip in words.
pub(super) fn trip_words(trip: &Trip) -> String {
    let mut words = format!("{}, {}", show_day(trip.date), trip.purpose);
    if !trip.way().is_empty() {
        words.push_str(&format!(", {}", trip.way()));
    }
    words.push_str(&format!(": {}", trip.distance));
    words
}

fn usual_words(trip: &Trip) -> String {
    let way = trip.way();
    let about = if way.is_empty() { &trip.purpose } else { &way };
    format!("{about}, {}", trip.distance)
}
