//! The list of things for an insurer or a county: what is there on a day, by place, the price apart from tax and delivery.
//! What is on it is `statements`' business.

use chrono::NaiveDate;
use egui::Ui;

use super::piece::open_piece;
use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::entry;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{Field, card, caution, date_field, page_heading, parse_day, soft};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::money::Money;
use crate::reports;
use crate::statements::{ListedThing, THINGS_CAUTION, ThingSource};

/// Opens the list.
#[must_use]
pub fn open_things() -> Action {
    Action::Open(Box::new(ThingsScreen::default()))
}

/// The list of things on a day.
#[derive(Default)]
pub struct ThingsScreen {
    typed: String,
    wanted: Option<NaiveDate>,
    shown: Option<NaiveDate>,
    list: Vec<ListedThing>,
}

impl Screen for ThingsScreen {
    fn title(&self) -> String {
        "List for insurer and county".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        if self.typed.is_empty() {
            self.typed = show_day(reports::usual_list_day(cx.today));
        }
        if let Some(day) = parse_day(&self.typed, cx.today) {
            self.wanted = Some(day);
            self.shown = Some(day);
            self.list = reports::things(book, day)?;
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.wanted != self.shown
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        page_heading(
            ui,
            "List for insurer and county",
            "The register, what you brought in, and small equipment that was a cost at once.",
        );
        caution(ui, THINGS_CAUTION);
        ui.add_space(space::MEDIUM);
        let field = Field::new("There on").width(160.0);
        let typed = date_field(ui, field, &mut self.typed, cx.today).1;
        if typed.is_some() {
            self.wanted = typed;
        }
        ui.add_space(space::MEDIUM);
        card(ui, |ui| self.list_ui(ui, cx))
    }
}

impl ThingsScreen {
    fn list_ui(&self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        if self.list.is_empty() {
            soft(ui, "Nothing that lasts was there on that day.");
            return None;
        }
        soft(
            ui,
            "Where tax and delivery were not kept apart, they are in the price. The year-end folder has this list as a sheet.",
        );
        let is_narrow = ui.available_width() < 760.0;
        let mut columns = vec![Column::words("What", 3.0), Column::words("Place", 2.0)];
        if !is_narrow {
            columns.push(Column::words("How it came", 2.0));
        }
        columns.push(Column::figures("Price", 90.0));
        if !is_narrow {
            columns.push(Column::figures("Tax", 80.0));
            columns.push(Column::figures("Delivery", 80.0));
        }
        columns.push(Column::figures("Together", 90.0));
        let show = |amount: Money| Cell::text(cx.show(amount));
        let apart = |amount: Option<Money>| amount.map_or_else(|| Cell::soft("\u{2013}"), show);
        let row = |what: Cell, place: Cell, how: Cell, amounts: [Cell; 4]| -> Vec<Cell> {
            let [price, tax, delivery, whole] = amounts;
            if is_narrow {
                vec![what, place, price, whole]
            } else {
                vec![what, place, how, price, tax, delivery, whole]
            }
        };
        let mut rows: Vec<Row> = self
            .list
            .iter()
            .map(|one| {
                Row::line(row(
                    Cell::opens(&one.name),
                    Cell::soft(&one.place),
                    Cell::soft(format!("{}, {}", one.how, show_day(one.since))),
                    [
                        show(one.price),
                        apart(one.tax),
                        apart(one.delivery),
                        show(one.whole),
                    ],
                ))
            })
            .collect();
        rows.push(Row::last(row(
            Cell::text("Together"),
            Cell::default(),
            Cell::default(),
            [
                show(self.list.iter().map(|one| one.price).sum()),
                Cell::default(),
                Cell::default(),
                show(self.list.iter().map(|one| one.whole).sum()),
            ],
        )));
        let (row, _column) = paper_table(ui, "things", &columns, &rows)?;
        Some(match &self.list.get(row)?.source {
            ThingSource::Register(key) => open_piece(key.clone()),
            ThingSource::Entry(number) => entry::open(*number),
        })
    }
}
