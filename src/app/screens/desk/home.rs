//! The workspace at home: its spaces, the home's bills, and both methods side by side. Never posted from here.
//! What a space or a bill refuses is `workspace`'s.

use egui::Ui;

use super::draft::{
    Form, Pressed, Tried, Wrong, day_of, deeds_ui, desk, leave_when_written, may_day_of, room_for,
    say_refused,
};
use super::driving::set;
use crate::app::action::{Action, DeskWrite};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, date_field, money_field, secondary_button,
    soft, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::{Month, show_day};
use crate::export::tables::workspace_words;
use crate::reports::{self, WorkspaceReport};
use crate::workspace::{HomeBill, Space, SpaceMethod, SpaceUse, WORKSPACE_CAUTION, WorkspaceError};

#[derive(Clone, Copy)]
enum Deed {
    Change,
    Remove,
}

/// A space while it is typed.
struct SpaceDraft {
    id: i64,
    name: String,
    area: String,
    home_area: String,
    used_for: SpaceUse,
    is_exclusive: bool,
    from: String,
    until: String,
    take_focus: bool,
    tried: Tried,
}

/// A bill of the home while it is typed.
struct BillDraft {
    id: i64,
    day: String,
    what: String,
    amount: String,
    covers_from: String,
    covers_months: String,
    is_paid_by_business: bool,
    take_focus: bool,
    tried: Tried,
}

enum Draft {
    Space(SpaceDraft),
    Bill(BillDraft),
}

impl Form for Draft {
    fn tried(&mut self) -> &mut Tried {
        match self {
            Self::Space(draft) => &mut draft.tried,
            Self::Bill(draft) => &mut draft.tried,
        }
    }
}

/// The page of the workspace at home.
#[derive(Default)]
pub(super) struct HomePage {
    report: Option<WorkspaceReport>,
    spaces: Vec<Space>,
    bills: Vec<HomeBill>,
    draft: Option<Draft>,
}

impl HomePage {
    pub(super) fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let ending = cx.year_start().year_of(cx.period.to);
        self.report = Some(reports::workspace(book, ending)?);
        self.spaces = book.spaces()?;
        self.bills = book.home_bills()?;
        Ok(())
    }

    pub(super) fn written(&mut self) {
        leave_when_written(&mut self.draft);
    }

    pub(super) fn refused(&mut self, message: &str) {
        say_refused(&mut self.draft, message);
    }

    pub(super) fn has_draft(&self) -> bool {
        match &self.draft {
            Some(Draft::Space(draft)) => draft.id == 0 && !draft.area.trim().is_empty(),
            Some(Draft::Bill(draft)) => draft.id == 0 && !draft.amount.trim().is_empty(),
            None => false,
        }
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        if self.draft.is_some() {
            asked = card(ui, |ui| self.draft_ui(ui, cx));
            ui.add_space(space::LARGE);
        }
        asked = asked.or(card(ui, |ui| self.spaces_ui(ui, cx)));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.year_ui(ui, cx)));
        ui.add_space(space::LARGE);
        asked = asked.or(card(ui, |ui| self.bills_ui(ui, cx)));
        ui.add_space(space::LARGE);
        caution(ui, WORKSPACE_CAUTION);
        asked
    }

    fn draft_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (pressed, write) = match self.draft.as_mut()? {
            Draft::Space(draft) => {
                let made = draft.made(cx);
                let pressed = draft.ui(ui, made.as_ref().err(), cx);
                (pressed, made.ok().map(DeskWrite::KeepSpace))
            }
            Draft::Bill(draft) => {
                let made = draft.made(cx);
                let pressed = draft.ui(ui, made.as_ref().err(), cx);
                (pressed, made.ok().map(DeskWrite::KeepHomeBill))
            }
        };
        match pressed? {
            Pressed::Keep => write.map(desk),
            Pressed::Leave => {
                self.draft = None;
                None
            }
        }
    }

    fn spaces_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "Spaces at home");
        if self.spaces.is_empty() {
            soft(
                ui,
                "A room, or a part of one that can be told from the rest, that the business uses again and again and nothing else \
                 does. A place for stock need not be for nothing else.",
            );
        }
        let mut pressed = None;
        for space in &self.spaces {
            ui.push_id(("space", space.id), |ui| {
                let words = space_words(space);
                ui.label(&words);
                if !space.counts() {
                    soft(ui, "does not count: it is used for other things too");
                }
                if let Some(deed) = deeds_ui(ui, &words, &DEEDS) {
                    pressed = Some((space.clone(), deed));
                }
            });
        }
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Another space\u{2026}", "").clicked() {
            let start = cx.year_start().containing(cx.today).from;
            let home = self.spaces.last().map(|space| space.home_area.to_string());
            self.draft = Some(Draft::Space(SpaceDraft {
                id: 0,
                name: String::new(),
                area: String::new(),
                home_area: home.unwrap_or_default(),
                used_for: SpaceUse::Work,
                is_exclusive: true,
                from: show_day(start),
                until: String::new(),
                take_focus: true,
                tried: Tried::default(),
            }));
        }
        match pressed? {
            (space, Deed::Change) => {
                self.draft = Some(Draft::Space(SpaceDraft::of(&space)));
                None
            }
            (space, Deed::Remove) => Some(desk(DeskWrite::RemoveSpace(space.id))),
        }
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
        let columns = [
            Column::words("Month", 1.0),
            Column::figures("Area", 80.0),
            Column::figures("Counts", 80.0),
            Column::figures("Of the home", 100.0),
        ];
        let rows: Vec<Row> = year
            .months
            .iter()
            .map(|one| {
                let share = one.share * rust_decimal::Decimal::ONE_HUNDRED;
                Row::line(vec![
                    Cell::text(one.month.to_string()),
                    Cell::text(one.area.normalize().to_string()),
                    Cell::text(one.counted.normalize().to_string()),
                    Cell::text(format!("{} %", share.round_dp(1).normalize())),
                ])
            })
            .collect();
        if !year.spaces.is_empty() {
            let _nothing_opens = paper_table(ui, "workspace-year", &columns, &rows);
        }
        for words in workspace_words(report, cx.currency) {
            if words != WORKSPACE_CAUTION {
                soft(ui, &words);
            }
        }
        let mut method = report.method;
        let choices = [
            (SpaceMethod::Simplified, "By the area (simplified)"),
            (
                SpaceMethod::Actual,
                "By the home\u{2019}s bills (real costs)",
            ),
        ];
        choice_chips(ui, "What counts", &mut method, &choices);
        (method != report.method).then(|| set(&[("workspace.method", method.as_str())]))
    }

    fn bills_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "Bills of the home").on_hover_text("For the method by real costs");
        if self.bills.is_empty() {
            soft(
                ui,
                "Rent, heating, insurance of the whole home: only for counting by real costs. They are written down here and posted nowhere.",
            );
        }
        let mut pressed = None;
        for bill in self.bills.iter().rev() {
            ui.push_id(("bill", bill.id), |ui| {
                let words = format!(
                    "{}, {}: {}",
                    show_day(bill.date),
                    bill.what,
                    cx.show(bill.amount)
                );
                ui.label(&words);
                let part = self
                    .report
                    .iter()
                    .flat_map(|report| &report.year.bills)
                    .find(|part| part.bill.id == bill.id);
                if let Some(part) = part {
                    soft(
                        ui,
                        &format!(
                            "{} of it in this year, {} of that the business\u{2019}s",
                            cx.show(part.in_year),
                            cx.show(part.business)
                        ),
                    );
                }
                if let Some(deed) = deeds_ui(ui, &words, &DEEDS) {
                    pressed = Some((bill.clone(), deed));
                }
            });
        }
        ui.add_space(space::SMALL);
        if secondary_button(ui, "A bill of the home\u{2026}", "").clicked() {
            self.draft = Some(Draft::Bill(BillDraft {
                id: 0,
                day: show_day(cx.today),
                what: String::new(),
                amount: String::new(),
                covers_from: String::new(),
                covers_months: "1".to_owned(),
                is_paid_by_business: false,
                take_focus: true,
                tried: Tried::default(),
            }));
        }
        match pressed? {
            (bill, Deed::Change) => {
                self.draft = Some(Draft::Bill(BillDraft::of(&bill, cx)));
                None
            }
            (bill, Deed::Remove) => Some(desk(DeskWrite::RemoveHomeBill(bill.id))),
        }
    }
}

const DEEDS: [(&str, bool, Deed); 2] = [
    ("Change", true, Deed::Change),
    ("Take out", true, Deed::Remove),
];

fn space_words(space: &Space) -> String {
    let until = space
        .until
        .map(|day| format!(" to {}", show_day(day)))
        .unwrap_or_default();
    format!(
        "{}: {} of {}, from {}{until}",
        space.name,
        space.area,
        space.home_area,
        show_day(space.from)
    )
}

fn refused(error: &WorkspaceError) -> Wrong {
    Wrong::new(error.field(), error.to_string())
}

impl SpaceDraft {
    fn of(space: &Space) -> Self {
        Self {
            id: space.id,
            name: space.name.clone(),
            area: space.area.to_string(),
            home_area: space.home_area.to_string(),
            used_for: space.used_for,
            is_exclusive: space.is_exclusive,
            from: show_day(space.from),
            until: space.until.map(show_day).unwrap_or_default(),
            take_focus: true,
            tried: Tried::default(),
        }
    }

    fn made(&self, cx: &ViewContext<'_>) -> Result<Space, Wrong> {
        let area = |text: &str, field| {
            text.trim()
                .replace(',', "")
                .parse()
                .map_err(|_error| Wrong::new(field, "write a number"))
        };
        let from = day_of(&self.from, "from", cx.today)?;
        let until = may_day_of(&self.until, "until", cx.today)?;
        let space = Space {
            id: self.id,
            name: self.name.trim().to_owned(),
            area: area(&self.area, "area")?,
            home_area: area(&self.home_area, "home_area")?,
            used_for: self.used_for,
            is_exclusive: self.is_exclusive,
            from,
            until,
        };
        space.check().map_err(|error| refused(&error))?;
        Ok(space)
    }

    fn ui(&mut self, ui: &mut Ui, wrong: Option<&Wrong>, cx: &ViewContext<'_>) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        card_heading(ui, "A space at home");
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Its name")
                .width(room_for(ui, 200.0))
                .hint("back room")
                .take_focus(std::mem::take(&mut self.take_focus))
                .problem(beside("space"));
            text_field(ui, field, &mut self.name);
            let field = Field::new("Its area")
                .width(room_for(ui, 110.0))
                .hint("square feet")
                .problem(beside("area"));
            text_field(ui, field, &mut self.area);
            let field = Field::new("Area of the whole home")
                .width(room_for(ui, 170.0))
                .hint("in the same measure")
                .problem(beside("home_area"));
            text_field(ui, field, &mut self.home_area);
        });
        choice_chips(ui, "What for", &mut self.used_for, &SpaceUse::ALL);
        choice_chips(
            ui,
            "Is it used for anything else?",
            &mut self.is_exclusive,
            &[(true, "For nothing else"), (false, "For other things too")],
        );
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Since")
                .width(room_for(ui, 126.0))
                .problem(beside("from"));
            date_field(ui, field, &mut self.from, cx.today);
            let field = Field::new("Until")
                .width(room_for(ui, 126.0))
                .hint("still used")
                .problem(beside("until"));
            text_field(ui, field, &mut self.until);
        });
        self.tried.buttons(ui, "Keep the space", wrong)
    }
}

impl BillDraft {
    fn of(bill: &HomeBill, cx: &ViewContext<'_>) -> Self {
        Self {
            id: bill.id,
            day: show_day(bill.date),
            what: bill.what.clone(),
            amount: cx.currency.plain(bill.amount),
            covers_from: show_day(bill.covers_from.first_day()),
            covers_months: bill.covers_months.to_string(),
            is_paid_by_business: bill.is_paid_by_business,
            take_focus: true,
            tried: Tried::default(),
        }
    }

    fn made(&self, cx: &ViewContext<'_>) -> Result<HomeBill, Wrong> {
        let date = day_of(&self.day, "date", cx.today)?;
        let covers_from = may_day_of(&self.covers_from, "covers_from", cx.today)?.unwrap_or(date);
        let amount = cx
            .currency
            .parse_typed(&self.amount)
            .map_err(|error| Wrong::new("amount", error.to_string()))?;
        let bill = HomeBill {
            id: self.id,
            date,
            what: self.what.trim().to_owned(),
            amount,
            covers_from: Month::of(covers_from),
            covers_months: self.covers_months.trim().parse().unwrap_or(0),
            is_paid_by_business: self.is_paid_by_business,
        };
        bill.check().map_err(|error| refused(&error))?;
        Ok(bill)
    }

    fn ui(&mut self, ui: &mut Ui, wrong: Option<&Wrong>, cx: &ViewContext<'_>) -> Option<Pressed> {
        let tried = self.tried.clone();
        let beside = |field: &str| tried.beside(wrong, field);
        card_heading(ui, "A bill of the home");
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Its day")
                .width(room_for(ui, 126.0))
                .problem(beside("date"));
            date_field(ui, field, &mut self.day, cx.today);
            let field = Field::new("What for")
                .width(room_for(ui, 220.0))
                .hint("heating")
                .take_focus(std::mem::take(&mut self.take_focus))
                .problem(beside("what"));
            text_field(ui, field, &mut self.what);
            let field = Field::new("How much")
                .width(room_for(ui, 120.0))
                .hint("for the whole home")
                .problem(beside("amount"));
            money_field(ui, field, &mut self.amount, cx.currency);
        });
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Covers from")
                .width(room_for(ui, 126.0))
                .hint("its own month")
                .problem(beside("covers_from"));
            text_field(ui, field, &mut self.covers_from);
            let field = Field::new("So many months")
                .width(room_for(ui, 120.0))
                .problem(beside("covers_months"));
            text_field(ui, field, &mut self.covers_months);
        });
        choice_chips(
            ui,
            "Who paid it",
            &mut self.is_paid_by_business,
            &[(false, "I did"), (true, "The business, as my drawings")],
        );
        self.tried.buttons(ui, "Keep the bill", wrong)
    }
}
