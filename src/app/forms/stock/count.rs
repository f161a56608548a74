//! A count being written down: every item with an empty field, what the books say only beside what was counted.
//! Only what was counted is written.

use std::collections::BTreeMap;

use egui::Ui;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::in_units;
use super::known::stock_value;
use crate::app::action::StockMove;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, widths};
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{Field, card, card_heading, date_field, soft, suggest_field, text_field};
use crate::dates::show_day;
use crate::ledger::{EntryHeader, EntryKind, Line};
use crate::money::{Money, Quantity};
use crate::stock::{BatchNote, Item, ItemKind, Movement, MovementId, MovementKind};

/// A count being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CountDraft {
    /// When.
    pub date: String,
    /// Where; home is empty.
    pub place: String,
    /// Who counted.
    pub by: String,
    /// What was counted, by the items' codes.
    pub counted: BTreeMap<String, String>,
}

impl CountDraft {
    /// An empty count of today, at this place; home is empty.
    #[must_use]
    pub fn new(place: &str, facts: &Facts) -> Self {
        Self {
            date: show_day(facts.today),
            place: place.to_owned(),
            by: String::new(),
            counted: BTreeMap::new(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.counted.values().all(|text| text.trim().is_empty())
    }

    /// The items on the list: those still kept, and those of which anything is there.
    fn listed<'f>(&self, facts: &'f Facts) -> Vec<&'f Item> {
        let place = self.place.trim();
        let mut items: Vec<&Item> = facts
            .stock
            .items
            .iter()
            .filter(|item| {
                let key = (item.code.clone(), place.to_owned());
                let is_there = facts.stock.places.contains_key(&key);
                // Elsewhere lies only what was carried there.
                is_there || (item.is_active && place.is_empty())
            })
            .collect();
        items.sort_by_key(|item| (item.kind, item.shelf.clone(), item.name.to_lowercase()));
        items
    }

    /// What it moves: a count of each item that was counted.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn stock_move(&self, facts: &Facts) -> Result<StockMove, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let place = self.place.trim();
        let mut movements = Vec::new();
        for (idx, item) in self.listed(facts).into_iter().enumerate() {
            let text = self.counted.get(&item.code).map_or("", String::as_str);
            read.line(Some(idx));
            let Some(quantity) = read.quantity("counted", text) else {
                continue;
            };
            if quantity.value() < Decimal::ZERO {
                read.note(Problem::wrong(
                    "counted",
                    "nothing lies there below nothing",
                ));
                continue;
            }
            let code = item.code.clone();
            let mut count = Movement::new(MovementId(0), date, code, MovementKind::Count, quantity);
            count.place = place.to_owned();
            movements.push(count);
        }
        read.line(None);
        if movements.is_empty() && read.problems.is_empty() {
            read.note(Problem::missing(
                "counted",
                "write how many you counted of at least one thing",
            ));
        }
        let at = if place.is_empty() { "at home" } else { place };
        let by = match self.by.trim() {
            "" => String::new(),
            by => format!(", counted by {by}"),
        };
        let things = match movements.len() {
            1 => "1 thing".to_owned(),
            n => format!("{n} things"),
        };
        let header = EntryHeader::new(date, EntryKind::StockCount)
            .party(self.by.trim())
            .memo(format!("Count {at}, {things}{by}"));
        read.finish(StockMove {
            note: BatchNote::default(),
            header,
            lines: Vec::new(),
            movements,
            done: format!("Counted {at}: {things}"),
        })
    }
}

/// Draws the card.
pub fn count_ui(
    ui: &mut Ui,
    draft: &mut CountDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 130.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let field = Field::new("Where").width(width).hint("at home");
                let places = facts.stock.other_places();
                suggest_field(ui, field, &mut draft.place, &places);
            }
            1 => {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
            _ => {
                let field = Field::new("Who counted").width(width).hint("your name");
                text_field(ui, field, &mut draft.by);
            }
        });
        soft(
            ui,
            "Look on the shelf and write what lies there; what you leave empty stays as it is. What the books say comes \
             after.",
        );
        list_ui(ui, draft, facts, problems, take_focus);
    });
    if let Ok(told) = draft.stock_move(facts)
        && let Some(Ok(lines)) = facts.stock_lines(&told)
    {
        ui.add_space(space::LARGE);
        differences_ui(ui, &told, lines, facts);
    }
}

fn list_ui(
    ui: &mut Ui,
    draft: &mut CountDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let items: Vec<Item> = draft.listed(facts).into_iter().cloned().collect();
    if items.is_empty() {
        ui.add_space(space::SMALL);
        ui.label("Nothing is kept there.");
        return;
    }
    let count = if ui.available_width() < 520.0 { 2 } else { 3 };
    let mut kind: Option<ItemKind> = None;
    let mut at = 0;
    while at < items.len() {
        let this = items[at].kind;
        if kind != Some(this) {
            kind = Some(this);
            ui.add_space(space::MEDIUM);
            card_heading(ui, this.plain());
        }
        // A row holds items of one kind.
        let row: Vec<usize> = (at..items.len())
            .take(count)
            .take_while(|idx| items[*idx].kind == this)
            .collect();
        let columns = widths(ui.available_width(), &vec![0.0; count]);
        let order: Vec<usize> = (0..row.len()).collect();
        ui.push_id(("row", at), |ui| {
            cells(ui, &columns, &order, |ui, cell, width| {
                let idx = row[cell];
                let item = &items[idx];
                let shelf = match item.shelf.as_str() {
                    "" => String::new(),
                    shelf => format!(", {shelf}"),
                };
                let label = format!("{} ({}{shelf})", facts.stock.label(item), item.unit);
                let mut field = Field::new(&label)
                    .width(width)
                    .problem(problems.on("counted", idx))
                    .take_focus(take_focus && idx == 0);
                field.right = true;
                let text = draft.counted.entry(item.code.clone()).or_default();
                text_field(ui, field, text);
            });
        });
        at += row.len();
    }
}

fn differences_ui(ui: &mut Ui, told: &StockMove, lines: &[Line], facts: &Facts) {
    card(ui, |ui| {
        card_heading(ui, "What the count changes");
        let columns = [
            Column::words("What", 2.0),
            Column::figures("Counted", 84.0),
            Column::figures("In the books", 84.0),
            Column::words("Difference", 1.2),
            Column::figures("Worth", 84.0),
        ];
        let mut total = Money::ZERO;
        let mut rows = Vec::new();
        for movement in &told.movements {
            let Some(item) = facts.stock.item(&movement.item) else {
                continue;
            };
            let key = (movement.item.clone(), movement.place.clone());
            let thought = facts.asked.places.get(&key).copied().unwrap_or_default();
            let worth = stock_value(lines, item, &facts.chart);
            total += worth;
            rows.push(Row::line(vec![
                Cell::text(facts.stock.label(item)),
                Cell::text(movement.quantity.to_string()),
                Cell::soft(thought.to_string()),
                Cell::soft(difference(movement.quantity, thought, item)),
                Cell::text(facts.show(worth)),
            ]));
        }
        rows.push(Row::last(vec![
            Cell::text("Together"),
            Cell::default(),
            Cell::default(),
            Cell::default(),
            Cell::text(facts.show(total)),
        ]));
        let _nothing_opens = paper_table(ui, "differences", &columns, &rows);
        if total.is_negative() {
            soft(
                ui,
                "Fewer than thought: was anything given away, used, swapped, spoiled or sent twice? Write that down first \
                 where you know it.",
            );
        }
    });
}

fn difference(counted: Quantity, thought: Quantity, item: &Item) -> String {
    let more = counted.value() - thought.value();
    if more.is_zero() {
        "agrees".to_owned()
    } else if more.is_sign_negative() {
        format!("{} fewer", in_units(-more, item))
    } else {
        format!("{} more", in_units(more, item))
    }
}
