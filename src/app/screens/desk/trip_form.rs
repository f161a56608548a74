//! The form of a trip: when, where, how far and what for.

use egui::Ui;

use super::draft::{Pressed, Tried, Wrong, room_for};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{Field, card_heading, date_field, parse_day, soft, text_field};
use crate::dates::show_day;
use crate::mileage::{Distance, DistanceUnit, Trip};
use crate::reports::FairMiles;

/// A trip while it is typed.
pub(super) struct TripDraft {
    before: Option<Trip>,
    day: String,
    from: String,
    to: String,
    purpose: String,
    distance: String,
    fair: String,
    unit: Option<DistanceUnit>,
    take_focus: bool,
    pub(super) tried: Tried,
}

impl TripDraft {
    /// A new one, today.
    pub(super) fn new() -> Self {
        Self {
            before: None,
            day: "today".to_owned(),
            from: String::new(),
            to: String::new(),
            purpose: String::new(),
            distance: String::new(),
            fair: String::new(),
            unit: None,
            take_focus: true,
            tried: Tried::default(),
        }
    }

    /// A new one like another.
    pub(super) fn like(trip: &Trip) -> Self {
        Self {
            from: trip.from.clone(),
            to: trip.to.clone(),
            purpose: trip.purpose.clone(),
            distance: trip.distance.number().to_string(),
            unit: Some(trip.distance.unit),
            ..Self::new()
        }
    }

    /// The trip to a fair whose miles were told with it.
    pub(super) fn to_fair(fair: &FairMiles) -> Self {
        Self {
            day: show_day(fair.date),
            to: fair.place.clone(),
            purpose: format!("{} and back", fair.fair),
            distance: fair.distance.number().to_string(),
            unit: Some(fair.distance.unit),
            fair: fair.fair.clone(),
            ..Self::new()
        }
    }

    /// One that changes a trip.
    pub(super) fn of(trip: &Trip) -> Self {
        Self {
            day: show_day(trip.date),
            fair: trip.fair.clone(),
            before: Some(trip.clone()),
            ..Self::like(trip)
        }
    }

    /// Whether something is typed that would be lost.
    pub(super) fn is_begun(&self) -> bool {
        self.before.is_none()
            && [&self.to, &self.purpose, &self.distance]
                .iter()
                .any(|text| !text.trim().is_empty())
    }

    /// The trip as it is typed; the day it is written down stays what it was.
    pub(super) fn made(&self, unit: DistanceUnit, cx: &ViewContext<'_>) -> Result<Trip, Wrong> {
        let date = parse_day(&self.day, cx.today)
            .ok_or_else(|| Wrong::new("date", "not a day; write 28 Sep or 2026-09-28"))?;
        let wrong =
            |error: crate::mileage::MileageError| Wrong::new(error.field(), error.to_string());
        let trip = Trip {
            id: self.before.as_ref().map_or(0, |before| before.id),
            date,
            from: self.from.trim().to_owned(),
            to: self.to.trim().to_owned(),
            purpose: self.purpose.trim().to_owned(),
            distance: Distance::read(&self.distance, self.unit.unwrap_or(unit)).map_err(wrong)?,
            fair: self.fair.trim().to_owned(),
            entered_on: self
                .before
                .as_ref()
                .map_or(cx.today, |before| before.entered_on),
        };
        trip.check().map_err(wrong)?;
        Ok(trip)
    }

    /// The form.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        wrong: Option<&Wrong>,
        unit: DistanceUnit,
        cx: &ViewContext<'_>,
    ) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        card_heading(ui, "Where did you drive?");
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("When")
                .width(room_for(ui, 126.0))
                .problem(beside("date"));
            date_field(ui, field, &mut self.day, cx.today);
            let field = Field::new("From where")
                .width(room_for(ui, 150.0))
                .hint("home");
            text_field(ui, field, &mut self.from);
            let field = Field::new("Where to")
                .width(room_for(ui, 180.0))
                .take_focus(std::mem::take(&mut self.take_focus));
            text_field(ui, field, &mut self.to);
            let label = format!("How far, in {}", self.unit.unwrap_or(unit).plain());
            let field = Field::new(&label)
                .width(room_for(ui, 150.0))
                .hint("there and back")
                .problem(beside("distance"));
            text_field(ui, field, &mut self.distance);
        });
        let field = Field::new("What for")
            .hint("paper fetched, pieces brought to a shop")
            .problem(beside("purpose"));
        text_field(ui, field, &mut self.purpose);
        if !self.fair.is_empty() {
            soft(
                ui,
                &format!(
                    "It takes the place of what was told with {}, and counts once.",
                    self.fair
                ),
            );
        }
        ui.add_space(space::SMALL);
        soft(
            ui,
            "Nothing is posted now. The way from home to a usual workplace is no business trip.",
        );
        self.tried.buttons(ui, "Keep the trip", wrong)
    }
}
