//! What lies at one place besides home, and the sheet of it to hand over.
//! Which movements brought it there is on the items' pages.

use std::path::PathBuf;

use egui::{RichText, Ui};

use super::{Pressed, answer};
use crate::app::action::{Action, Form, FormWish};
use crate::app::forms::stock::in_units;
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{card, primary_button, second_line, secondary_button, soft};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::money::Money;

/// Opens what lies at a place.
#[must_use]
pub fn open_place(place: String) -> Action {
    Action::Open(Box::new(PlaceScreen {
        place,
        rows: Vec::new(),
        folder: PathBuf::new(),
    }))
}

/// One thing that lies there.
struct Lying {
    code: String,
    name: String,
    quantity: String,
    price: Option<Money>,
    together: Money,
}

/// The page of one place.
pub struct PlaceScreen {
    place: String,
    rows: Vec<Lying>,
    folder: PathBuf,
}

impl Screen for PlaceScreen {
    fn title(&self) -> String {
        self.place.clone()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let items = book.items()?;
        self.folder = book
            .path()
            .parent()
            .map(std::path::Path::to_path_buf)
            .unwrap_or_default();
        let places = book.stocks_on(cx.today)?.places;
        self.rows = items
            .iter()
            .filter_map(|item| {
                let many = places.get(&(item.code.clone(), self.place.clone()))?;
                Some(Lying {
                    code: item.code.clone(),
                    name: item.name.clone(),
                    quantity: in_units(many.value(), item),
                    price: item.price,
                    together: item
                        .price
                        .map_or(Money::ZERO, |price| price.times(many.value())),
                })
            })
            .collect();
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let title = format!("What lies at {}", self.place);
        ui.label(RichText::new(title).font(theme::heading()));
        second_line(
            ui,
            "Still yours until somebody buys it (goods on consignment); a sale from there names the place.",
        );
        ui.add_space(space::MEDIUM);
        let mut asked = None;
        ui.horizontal_wrapped(|ui| {
            if primary_button(ui, "Make the sheet to hand over", "").clicked() {
                asked = Some(self.write_sheet(cx));
            }
            if secondary_button(ui, "Count there", "").clicked() {
                asked = Some(self.start(Form::Count));
            }
            if secondary_button(ui, "Carry more there", "").clicked() {
                asked = Some(self.start(Form::Carry));
            }
        });
        ui.add_space(space::LARGE);
        asked.or(self.table_ui(ui, cx))
    }
}

impl PlaceScreen {
    /// A form about this place.
    fn start(&self, form: Form) -> Action {
        Action::Start(FormWish {
            party: self.place.clone(),
            ..FormWish::new(form)
        })
    }

    fn table_ui(&self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card(ui, |ui| {
            if self.rows.is_empty() {
                soft(ui, "Nothing lies there any more.");
                return None;
            }
            let columns = [
                Column::words("What", 2.0),
                Column::figures("How many", 110.0),
                Column::figures("Price", 84.0),
                Column::figures("At its price", 96.0),
            ];
            let mut rows: Vec<Row> = self
                .rows
                .iter()
                .map(|row| {
                    Row::line(vec![
                        Cell::opens(row.name.clone()),
                        Cell::text(row.quantity.clone()),
                        Cell::soft(row.price.map_or_else(String::new, |price| cx.show(price))),
                        Cell::text(cx.show(row.together)),
                    ])
                })
                .collect();
            rows.push(Row::last(vec![
                Cell::text("Together"),
                Cell::default(),
                Cell::default(),
                Cell::text(cx.show(self.rows.iter().map(|row| row.together).sum())),
            ]));
            let (row, _column) = paper_table(ui, "at this place", &columns, &rows)?;
            self.rows
                .get(row)
                .map(|row| answer(Pressed::Item(row.code.clone())))
        })
    }

    /// Writes the sheet beside the book and opens it with whatever prints web pages here.
    fn write_sheet(&self, cx: &ViewContext<'_>) -> Action {
        let slug: String = self
            .place
            .chars()
            .map(|c| {
                if c.is_alphanumeric() {
                    c.to_ascii_lowercase()
                } else {
                    '-'
                }
            })
            .collect();
        let name = format!("pieces-at-{}-{}.html", slug.trim_matches('-'), cx.today);
        let path = self.folder.join(name);
        if let Err(error) = std::fs::write(&path, self.sheet(cx)) {
            return Action::Trouble(format!(
                "The sheet could not be written: {error}. Nothing in the book has changed. ({})",
                path.display()
            ));
        }
        let how = if open::that_detached(&path).is_ok() {
            "and opened for printing"
        } else {
            "; open it in a browser to print it"
        };
        Action::Say(format!("The sheet is written {how}: {}", path.display()))
    }

    /// The sheet as a web page: what lies there, and room for both to sign.
    fn sheet(&self, cx: &ViewContext<'_>) -> String {
        let mut rows = String::new();
        for row in &self.rows {
            let price = row.price.map_or_else(String::new, |price| cx.show(price));
            rows.push_str(&format!(
                "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{price}</td><td class=\"n\">{}</td></tr>\n",
                escaped(&row.name),
                escaped(&row.quantity),
                cx.show(row.together)
            ));
        }
        let total: Money = self.rows.iter().map(|row| row.together).sum();
        format!(
            "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>{place}</title><style>\
             body{{font-family:serif;max-width:46em;margin:3em auto}}table{{width:100%;border-collapse:collapse}}\
             td,th{{padding:.3em .5em;border-bottom:1px solid #999;text-align:left}}.n{{text-align:right}}\
             .sign{{margin-top:4em;display:flex;gap:4em}}.sign div{{flex:1;border-top:1px solid #333;padding-top:.4em}}\
             </style><h1>Pieces of {owner} at {place}</h1><p>On {day}. They belong to {owner} until they are sold. \
             Prices in {currency}.</p><table><tr><th>What</th><th class=\"n\">How many</th><th class=\"n\">Price</th>\
             <th class=\"n\">Together</th></tr>\n{rows}<tr><th>Together</th><th></th><th></th><th class=\"n\">{total}</th>\
             </tr></table><div class=\"sign\"><div>{owner}, day</div><div>{place}, day</div></div></html>\n",
            place = escaped(&self.place),
            owner = escaped(match cx.settings.business_name() {
                "" => "the maker",
                name => name,
            }),
            day = show_day(cx.today),
            currency = cx.currency.code(),
            total = cx.show(total),
        )
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
