//! Make as it is drawn.
//! What it says is worked out in `model`.

use egui::Ui;

use super::Pressed;
use super::model::{KindRows, MakeModel};
use crate::app::action::Form;
use crate::app::charts::{LineStroke, TimeLine, time_lines};
use crate::app::forms::parts;
use crate::app::screen::ViewContext;
use crate::app::screens::explain::Source;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    card, card_heading, empty_state, heading_with_figures, primary_button, second_line,
    secondary_button, soft,
};
use crate::dates::show_day;
use crate::money::Money;

/// What can be done with stock, in the maker's words.
const DEEDS: [(&str, Form, &str); 6] = [
    ("Something went out", Form::StockOut, "Stock issue at cost"),
    ("Count", Form::Count, "Stock count"),
    ("Carry elsewhere", Form::Carry, "Consignment"),
    ("Keep an item", Form::Item, "Stock item"),
    ("A recipe", Form::Recipe, "Bill of materials"),
    ("A set", Form::Bundle, "Bundle: several things sold as one"),
];

/// Shows the room.
#[must_use]
pub(super) fn make_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    if model.is_empty {
        return empty_ui(ui, model, cx);
    }
    let mut pressed = heading_ui(ui, model, cx);
    ui.add_space(space::LARGE);
    let mut other = None;
    parts::two_columns(
        ui,
        &mut other,
        |ui, other: &mut Option<Pressed>| {
            for kind in &model.kinds {
                *other = other.take().or(kind_ui(ui, kind, model.on, cx));
                ui.add_space(space::LARGE);
            }
            *other = other.take().or(sets_ui(ui, model, cx));
            over_time_ui(ui, model, cx);
        },
        |ui, other| {
            let found = ledger_ui(ui, model, cx);
            ui.add_space(space::LARGE);
            let found = found.or(batches_ui(ui, model));
            ui.add_space(space::LARGE);
            *other = other.take().or(found).or(places_ui(ui, model, cx));
        },
    );
    pressed = pressed.or(other);
    pressed
}

fn empty_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    heading_with_figures(ui, &[("Nothing is kept in stock yet.", None)]);
    ui.add_space(space::MEDIUM);
    let begun = empty_state(
        ui,
        "What this room is for",
        "What you have on hand and what one piece costs you (stock): paper and thread, finished notebooks, boxes. Keep the \
         first material with its unit; from then on purchases bring it in, batches use it up and turn it into pieces, \
         sales take the pieces out, and a count puts right what went unseen.",
        &["Keep the first item"],
    );
    let mut pressed = begun.map(|_step| Pressed::Form(Form::Item, String::new()));
    if !model.in_ledger().is_zero() {
        ui.add_space(space::LARGE);
        pressed = pressed.or(ledger_ui(ui, model, cx));
    }
    pressed
}

fn heading_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    let shown = cx.show(model.value);
    let end = match model.n_low {
        0 => ".".to_owned(),
        1 => "; 1 thing is low.".to_owned(),
        n => format!("; {n} things are low."),
    };
    let parts = [
        ("What you have on hand cost ", None),
        (shown.as_str(), Some("In stock")),
        (end.as_str(), None),
    ];
    if heading_with_figures(ui, &parts).is_some() {
        pressed = Some(Pressed::Explain(Source::Stock(model.on)));
    }
    second_line(
        ui,
        &format!(
            "Stock at cost on {}; open an item for everything that came and went.",
            show_day(model.on)
        ),
    );
    ui.add_space(space::MEDIUM);
    ui.horizontal_wrapped(|ui| {
        if model.has_products
            && primary_button(ui, "I made something", "")
                .on_hover_text("Production batch")
                .clicked()
        {
            pressed = Some(Pressed::Form(Form::Batch, String::new()));
        }
        for (words, form, term) in DEEDS {
            if secondary_button(ui, words, "")
                .on_hover_text(term)
                .clicked()
            {
                pressed = Some(Pressed::Form(form, String::new()));
            }
        }
    });
    pressed
}

fn kind_ui(
    ui: &mut Ui,
    kind: &KindRows,
    on: chrono::NaiveDate,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, kind.kind.plain());
        let columns = [
            Column::words("What", 2.0),
            Column::figures("On hand", 96.0),
            Column::figures("One cost", 72.0),
            Column::figures("Worth", 84.0),
        ];
        let mut rows: Vec<Row> = Vec::new();
        // Which item each row belongs to: one that is worth a word takes a second row.
        let mut of_row = Vec::new();
        for (idx, row) in kind.rows.iter().enumerate() {
            rows.push(Row::line(vec![
                Cell::opens(row.name.clone()),
                Cell::opens(row.quantity.clone()),
                if row.each.is_empty() {
                    Cell::default()
                } else {
                    Cell::opens(row.each.clone())
                },
                Cell::opens(cx.show(row.value)),
            ]));
            of_row.push(idx);
            if !row.note.is_empty() {
                rows.push(Row::line(vec![Cell::soft(format!(
                    "\u{2192} {}",
                    row.note
                ))]));
                of_row.push(idx);
            }
        }
        rows.push(Row::last(vec![
            Cell::text("Together"),
            Cell::default(),
            Cell::default(),
            Cell::text(cx.show(kind.value)),
        ]));
        if let Some((row, column)) = paper_table(ui, kind.kind.as_str(), &columns, &rows)
            && let Some(item) = of_row.get(row).and_then(|idx| kind.rows.get(*idx))
        {
            pressed = Some(match column {
                3 => Pressed::Explain(Source::ItemValue(item.code.clone(), on)),
                _ => Pressed::Item(item.code.clone()),
            });
        }
    });
    pressed
}

fn ledger_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    card(ui, |ui| {
        card_heading(ui, "Beside the ledger").on_hover_text("Stock accounts (inventory)");
        if model.ledger.is_empty() {
            soft(ui, "Nothing stands on the stock accounts.");
            return None;
        }
        let columns = [Column::words("", 1.0), Column::figures("", 90.0)];
        let (mut rows, mut sources) = (Vec::new(), Vec::new());
        for row in &model.ledger {
            rows.push(Row::line(vec![
                Cell::text(&row.title),
                Cell::opens(cx.show(row.balance)),
            ]));
            sources.push(Source::Balance(row.account, model.on));
            if !row.not_itemised.is_zero() {
                rows.push(Row::line(vec![
                    Cell::soft(if model.is_periodic {
                        "since the last count"
                    } else {
                        "of it not itemised"
                    }),
                    Cell::opens(cx.show(row.not_itemised)),
                ]));
                sources.push(Source::NotItemised(row.role, model.on));
            }
        }
        rows.push(Row::last(vec![
            Cell::text("In the ledger"),
            Cell::text(cx.show(model.in_ledger())),
        ]));
        let opened = paper_table(ui, "stock accounts", &columns, &rows);
        let rest = model.in_ledger() - model.value;
        if model.is_periodic {
            let words = "In this book what is bought is a cost at once, and these accounts follow at each count; the items \
                         stand at what they cost.";
            soft(ui, words);
        } else if rest.is_zero() {
            soft(ui, "The items above agree with the ledger to the cent.");
        } else {
            let words = format!(
                "The items above make {}; {} is on these accounts without naming a kept item.",
                cx.show(model.value),
                cx.show(rest)
            );
            soft(ui, &words);
        }
        let (row, _column) = opened?;
        sources.get(row).cloned().map(Pressed::Explain)
    })
}

fn batches_ui(ui: &mut Ui, model: &MakeModel) -> Option<Pressed> {
    card(ui, |ui| {
        card_heading(ui, "Made lately").on_hover_text("Production batches, newest first");
        if model.batches.is_empty() {
            soft(
                ui,
                "Write down the first batch, and what one piece costs stands here.",
            );
            return None;
        }
        let columns = [
            Column::narrow("When", 84.0),
            Column::words("What", 1.6),
            Column::figures("Each", 64.0),
        ];
        let (mut rows, mut of_row) = (Vec::new(), Vec::new());
        for (idx, batch) in model.batches.iter().enumerate() {
            rows.push(Row::line(vec![
                Cell::soft(show_day(batch.date)),
                Cell::opens(batch.what.clone()),
                Cell::opens(batch.each.clone()),
            ]));
            of_row.push(idx);
            if !batch.lost.is_empty() {
                rows.push(Row::line(vec![Cell::soft(format!(
                    "\u{2192} {}",
                    batch.lost
                ))]));
                of_row.push(idx);
            }
        }
        let opened = paper_table(ui, "batches", &columns, &rows);
        if let Some(words) = &model.loss {
            soft(ui, words);
        }
        let (row, _column) = opened?;
        let batch = model.batches.get(*of_row.get(row)?)?;
        Some(match batch.entry {
            Some(number) => Pressed::Entry(number),
            None => Pressed::Item(batch.code.clone()),
        })
    })
}

fn places_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    if model.places.is_empty() {
        return None;
    }
    card(ui, |ui| {
        card_heading(ui, "At other places").on_hover_text("Consignment and stores: still yours");
        let columns = [
            Column::words("Where", 1.4),
            Column::words("What", 1.0),
            Column::figures("At its price", 84.0),
        ];
        let rows: Vec<Row> = model
            .places
            .iter()
            .map(|row| {
                Row::line(vec![
                    Cell::opens(row.place.clone()),
                    Cell::soft(row.what.clone()),
                    Cell::opens(cx.show(row.at_price)),
                ])
            })
            .collect();
        let (row, _column) = paper_table(ui, "places", &columns, &rows)?;
        model
            .places
            .get(row)
            .map(|row| Pressed::Place(row.place.clone()))
    })
}

fn sets_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    if model.sets.is_empty() {
        return None;
    }
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Sets").on_hover_text("Bundles: their parts lie above");
        let columns = [
            Column::words("What", 2.0),
            Column::figures("To sell", 60.0),
            Column::figures("Parts cost", 80.0),
            Column::figures("Price", 72.0),
            Column::figures("Leaves", 72.0),
        ];
        let known = |amount: Option<Money>| {
            amount.map_or_else(|| "not known".to_owned(), |amount| cx.show(amount))
        };
        let (mut rows, mut of_row) = (Vec::new(), Vec::new());
        for (idx, set) in model.sets.iter().enumerate() {
            rows.push(Row::line(vec![
                Cell::opens(set.bundle.name.clone()),
                Cell::text(set.sellable.to_string()),
                Cell::text(known(set.cost)),
                Cell::text(known(set.bundle.price)),
                Cell::text(known(set.left())),
            ]));
            of_row.push(idx);
            if !set.short_of.is_empty() {
                let words = format!("\u{2192} {} runs out first", set.short_of);
                rows.push(Row::line(vec![Cell::soft(words)]));
                of_row.push(idx);
            }
        }
        let opened = paper_table(ui, "sets", &columns, &rows);
        soft(ui, "What a set leaves is before fees, packing and postage.");
        pressed = opened
            .and_then(|(row, _column)| of_row.get(row))
            .and_then(|idx| model.sets.get(*idx))
            .map(|set| Pressed::Form(Form::Bundle, set.bundle.code.clone()));
    });
    ui.add_space(space::LARGE);
    pressed
}

fn over_time_ui(ui: &mut Ui, model: &MakeModel, cx: &ViewContext<'_>) {
    card(ui, |ui| {
        card_heading(ui, "Worth over time").on_hover_text("The stock accounts at each month's end");
        if model.over_time.len() < 2 {
            soft(ui, "A line needs two months; choose a longer period above.");
            return;
        }
        let labels: Vec<String> = model
            .over_time
            .iter()
            .map(|(month, ..)| month.name().chars().take(3).collect())
            .collect();
        let lines = [
            TimeLine {
                name: "all stock".to_owned(),
                amounts: model.over_time.iter().map(|(_, all, _)| *all).collect(),
                stroke: LineStroke::Solid,
            },
            TimeLine {
                name: "of it to sell".to_owned(),
                amounts: model.over_time.iter().map(|(_, _, sell)| *sell).collect(),
                stroke: LineStroke::Dashed,
            },
        ];
        time_lines(ui, "stock over time", &labels, &lines, cx.currency, 160.0);
    });
}
