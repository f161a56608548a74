//! The page of one item: what there is and what it is worth, and everything that came and went, with its entries.
//! Changing it, its recipe and its movements are forms.

use chrono::NaiveDate;
use egui::{RichText, Ui};
use rust_decimal::Decimal;

use super::model::{each, is_low};
use super::told::{batches_ui, comparisons_ui};
use super::{Pressed, answer};
use crate::app::action::{Action, Form};
use crate::app::forms::stock::in_units;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::explain::{Source, what_was_it};
use crate::app::theme::{self, space};
use crate::app::widgets::{
    Column as TableColumn, FigureCard, card, card_heading, columns, data_table, figure_card,
    primary_button, second_line, secondary_button, soft,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::show_day;
use crate::deciding::SavedComparison;
use crate::ledger::{EntryKind, EntryNumber};
use crate::money::{Money, Quantity};
use crate::reports::{self, BatchTold};
use crate::stock::{Item, ItemKind, Movement, MovementKind, Recipe};

/// Opens the page of an item.
#[must_use]
pub fn open_item(code: String) -> Action {
    Action::Open(Box::new(ItemScreen::new(code)))
}

/// One line of an item's history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HistoryRow {
    /// The entry it stands in, when anything was posted.
    pub entry: Option<EntryNumber>,
    /// The day.
    pub date: NaiveDate,
    /// What it was.
    pub what: String,
    /// How many came or, below nothing, went; empty when only the value changed.
    pub quantity: String,
    /// What that was worth.
    pub amount: Money,
    /// What was worth then.
    pub value_then: Money,
}

struct Page {
    item: Item,
    quantity: Quantity,
    value: Money,
    places: Vec<(String, Quantity)>,
    recipe: Option<Recipe>,
    names: Vec<(String, String, String)>,
    batches: Vec<BatchTold>,
    comparisons: Vec<SavedComparison>,
    history: Vec<HistoryRow>,
    /// Whether any of it was bought, so that a bill or a credit can come later for it.
    was_bought: bool,
}

/// The page of one item.
pub struct ItemScreen {
    code: String,
    page: Option<Page>,
}

impl ItemScreen {
    /// The page of this item.
    #[must_use]
    pub fn new(code: String) -> Self {
        Self { code, page: None }
    }
}

impl Screen for ItemScreen {
    fn title(&self) -> String {
        self.page
            .as_ref()
            .map_or_else(|| self.code.clone(), |page| page.item.name.clone())
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.page = read(book, &self.code)?;
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let Some(page) = &self.page else {
            ui.label("This item is no longer kept.");
            return None;
        };
        let mut pressed = head_ui(ui, page, cx);
        ui.add_space(space::LARGE);
        pressed = pressed.or(deeds_ui(ui, page));
        ui.add_space(space::LARGE);
        recipe_ui(ui, page, cx);
        pressed = pressed.or(batches_ui(ui, &page.batches));
        pressed = pressed.or(comparisons_ui(ui, &page.comparisons, cx));
        pressed = pressed.or(history_ui(ui, page, cx));
        pressed.map(answer)
    }
}

fn read(book: &Book, code: &str) -> Result<Option<Page>, BookError> {
    let Some(item) = book.item(code)? else {
        return Ok(None);
    };
    let items = book.items()?;
    let stocks = book.stocks()?;
    let on_hand = stocks.on_hand.get(&item.code).copied().unwrap_or_default();
    let history = history(book, &item, &stocks.counted)?;
    let recipe = book
        .recipes()?
        .into_iter()
        .find(|recipe| recipe.item.eq_ignore_ascii_case(&item.code));
    let names = recipe
        .iter()
        .flat_map(|recipe| &recipe.inputs)
        .filter_map(|input| {
            let found = items.iter().find(|item| item.code == input.item)?;
            Some((
                found.code.clone(),
                found.name.clone(),
                in_units(input.quantity.value(), found),
            ))
        })
        .collect();
    let bought = EntryFilter {
        kind: Some(EntryKind::Purchase),
        brought: Some(item.code.clone()),
        ..EntryFilter::default()
    };
    Ok(Some(Page {
        was_bought: !book.newest_entry_numbers(&bought, 1)?.is_empty(),
        quantity: on_hand.quantity,
        value: on_hand.value,
        places: stocks
            .places
            .into_iter()
            .filter(|((of, _place), _many)| *of == item.code)
            .map(|((_of, place), many)| (place, many))
            .collect(),
        recipe,
        names,
        batches: reports::batches(book, &item.code)?,
        comparisons: book
            .comparisons()?
            .into_iter()
            .filter(|one| one.item == item.code)
            .collect(),
        history,
        item,
    }))
}

/// Everything that came and went, oldest first: each movement with what it posted on its own day, and what put its
/// cost right later in rows of its own.
fn history(
    book: &Book,
    item: &Item,
    counted: &[(crate::stock::MovementId, Quantity)],
) -> Result<Vec<HistoryRow>, BookError> {
    let postings = book.stock_postings(&item.code)?;
    let mut rows: Vec<((NaiveDate, bool, u64), HistoryRow)> = Vec::new();
    let movements = book.movements()?;
    let own = movements
        .iter()
        .filter(|(one, _entry)| one.item == item.code);
    for (movement, entry) in own {
        let amount = postings
            .iter()
            .filter(|posting| posting.movement.id == movement.id && Some(posting.entry) == *entry)
            .map(|posting| posting.amount)
            .sum();
        let told = postings
            .iter()
            .find(|posting| posting.movement.id == movement.id && Some(posting.entry) == *entry);
        let about = told.map_or_else(String::new, |posting| {
            what_was_it(&posting.party, &posting.memo, "")
        });
        rows.push((
            (movement.date, true, movement.id.0),
            HistoryRow {
                entry: *entry,
                date: movement.date,
                what: said(movement, &about),
                quantity: moved(movement, counted, item),
                amount,
                value_then: Money::ZERO,
            },
        ));
    }
    for posting in &postings {
        let own = movements
            .iter()
            .find(|(movement, _entry)| movement.id == posting.movement.id)
            .and_then(|(_movement, entry)| *entry);
        if own != Some(posting.entry) {
            rows.push((
                (posting.date, true, u64::MAX - 1_000_000 + posting.entry.0),
                HistoryRow {
                    entry: Some(posting.entry),
                    date: posting.date,
                    what: format!(
                        "Cost put right: {} {}",
                        posting.movement.kind.plain().to_lowercase(),
                        show_day(posting.movement.date)
                    ),
                    quantity: String::new(),
                    amount: posting.amount,
                    value_then: Money::ZERO,
                },
            ));
        }
    }
    rows.sort_by_key(|(order, _row)| *order);
    let mut value = Money::ZERO;
    Ok(rows
        .into_iter()
        .map(|(_order, mut row)| {
            value += row.amount;
            row.value_then = value;
            row
        })
        .collect())
}

fn said(movement: &Movement, about: &str) -> String {
    let mut words = movement.kind.plain().to_owned();
    match movement.kind {
        MovementKind::Carry => {
            let named = |place: &str| if place.is_empty() { "home" } else { place }.to_owned();
            words.push_str(&format!(
                " from {} to {}",
                named(&movement.place),
                named(&movement.to_place)
            ));
        }
        _ if !movement.place.is_empty() => words.push_str(&format!(" at {}", movement.place)),
        _ => {}
    }
    if let Some(batch) = &movement.batch {
        words.push_str(&format!(", batch {batch}"));
    }
    if !about.is_empty() {
        words.push_str(&format!(": {about}"));
    }
    words
}

fn moved(
    movement: &Movement,
    counted: &[(crate::stock::MovementId, Quantity)],
    item: &Item,
) -> String {
    if movement.kind.is_of_value_only() {
        return String::new();
    }
    let many = match movement.kind {
        MovementKind::Count => counted
            .iter()
            .find(|(id, _more)| *id == movement.id)
            .map_or(Decimal::ZERO, |(_id, more)| more.value()),
        kind if kind.is_issue() => -movement.quantity.value(),
        _ => movement.quantity.value(),
    };
    match movement.kind {
        MovementKind::Carry => format!("({})", in_units(many, item)),
        MovementKind::Count if many.is_zero() => "agrees".to_owned(),
        _ => in_units(many, item),
    }
}

fn head_ui(ui: &mut Ui, page: &Page, cx: &ViewContext<'_>) -> Option<Pressed> {
    let item = &page.item;
    ui.label(RichText::new(&item.name).font(theme::heading()));
    let mut second = format!("{}, code {}", item.kind.plain(), item.code);
    for pack in &item.packs {
        second.push_str(&format!(
            ", {} of {}",
            pack.name,
            in_units(pack.holds.value(), item)
        ));
    }
    if let Some(price) = item.price {
        second.push_str(&format!(", sells for {}", cx.show(price)));
    }
    if !item.shelf.is_empty() {
        second.push_str(&format!(", shelf {}", item.shelf));
    }
    second_line(ui, &second);
    ui.add_space(space::MEDIUM);
    let there = in_units(page.quantity.value(), item);
    let elsewhere: Vec<String> = page
        .places
        .iter()
        .filter(|(place, _many)| !place.is_empty())
        .map(|(place, many)| format!("{many} at {place}"))
        .collect();
    let mut about = if elsewhere.is_empty() {
        "everything at home".to_owned()
    } else {
        elsewhere.join(", ")
    };
    if is_low(item, page.quantity) {
        about = format!("low; {about}");
    }
    let shown = each(page.value, page.quantity, cx.currency);
    let figures = [
        (
            "There are",
            there.as_str(),
            about.as_str(),
            "Quantity on hand",
        ),
        (
            "One cost",
            if shown.is_empty() { "\u{2013}" } else { &shown },
            "at what went into it",
            "Unit cost",
        ),
        (
            "Worth in the books",
            &cx.show(page.value),
            "never its price",
            "Carrying amount at cost",
        ),
    ];
    let mut pressed = None;
    columns(ui, &[1.0, 1.0, 1.0], |parts| {
        for (part, (label, figure, second, term)) in parts.iter_mut().zip(figures) {
            let figure = FigureCard {
                label,
                figure,
                second,
            };
            if figure_card(part, figure, term).clicked() {
                let source = Source::ItemValue(item.code.clone(), cx.today);
                pressed = Some(Pressed::Explain(source));
            }
        }
    });
    pressed
}

fn deeds_ui(ui: &mut Ui, page: &Page) -> Option<Pressed> {
    let code = &page.item.code;
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        let mut deed = |ui: &mut Ui, words: &str, form: Form, is_first: bool| {
            let button = if is_first {
                primary_button(ui, words, "")
            } else {
                secondary_button(ui, words, "")
            };
            if button.clicked() {
                pressed = Some(Pressed::Form(form, code.clone()));
            }
        };
        if page.item.kind == ItemKind::Made {
            deed(ui, "I made some", Form::Batch, true);
            let words = if page.recipe.is_some() {
                "Change its recipe"
            } else {
                "Write its recipe"
            };
            deed(ui, words, Form::Recipe, false);
        }
        deed(ui, "Order some", Form::Order, false);
        deed(ui, "Some went out", Form::StockOut, false);
        deed(ui, "Carry some elsewhere", Form::Carry, false);
        if page.value.is_positive() {
            deed(ui, "It is worth less now", Form::WorthLess, false);
        }
        if page.was_bought {
            deed(ui, "A bill came later", Form::LaterBill, false);
            deed(ui, "A credit came later", Form::LaterCredit, false);
        }
        deed(ui, "Change the item", Form::Item, false);
        if page.item.kind.is_sold()
            && secondary_button(ui, "What does it leave?", "")
                .on_hover_text("Cost card and price")
                .clicked()
        {
            pressed = Some(Pressed::Card(code.clone()));
        }
        if page.item.kind == ItemKind::Made
            && secondary_button(ui, "Make it or have it made?", "")
                .on_hover_text("Make or buy")
                .clicked()
        {
            pressed = Some(Pressed::Ways(code.clone()));
        }
    });
    pressed
}

fn recipe_ui(ui: &mut Ui, page: &Page, cx: &ViewContext<'_>) {
    let Some(recipe) = &page.recipe else {
        return;
    };
    card(ui, |ui| {
        card_heading(ui, "How it is made").on_hover_text("Bill of materials");
        let goes_in: Vec<String> = page
            .names
            .iter()
            .map(|(_code, name, many)| format!("{many} of {name}"))
            .collect();
        let mut words = format!(
            "{} begun in a batch take {}.",
            in_units(recipe.batch_quantity.value(), &page.item),
            goes_in.join(", ")
        );
        if !recipe.normal_waste.percent().is_zero() {
            words.push_str(&format!(" Normally {} % are spoiled.", recipe.normal_waste));
        }
        if recipe.outside.is_positive() {
            words.push_str(&format!(" Outside work {}.", cx.show(recipe.outside)));
        }
        ui.label(words);
        if !recipe.own_minutes.value().is_zero() {
            soft(
                ui,
                &format!(
                    "{} of your own minutes a batch; shown, never posted.",
                    recipe.own_minutes
                ),
            );
        }
    });
    ui.add_space(space::LARGE);
}

fn history_ui(ui: &mut Ui, page: &Page, cx: &ViewContext<'_>) -> Option<Pressed> {
    card(ui, |ui| {
        card_heading(ui, "Everything that came and went").on_hover_text("Movements of stock");
        if page.history.is_empty() {
            soft(
                ui,
                "Nothing has moved yet: name it on a purchase or in a batch.",
            );
            return None;
        }
        soft(
            ui,
            "Newest first; open one to see its entry and its receipt.",
        );
        // At a large scale the words of what happened need the room more than the running worth.
        let has_then = ui.available_width() >= 560.0;
        let (day, many) = if has_then {
            (96.0, 110.0)
        } else {
            (84.0, 80.0)
        };
        let mut columns = vec![
            TableColumn::words("Day", day),
            TableColumn::rest("What"),
            TableColumn::figures("How many", many),
            TableColumn::figures("Worth", 70.0),
        ];
        if has_then {
            columns.push(TableColumn::figures("Then worth", 96.0));
        }
        let count = page.history.len();
        let height = ((count as f32 + 1.5) * space::ROW).min(460.0);
        let row_of = |idx: usize| page.history.get(count - 1 - idx);
        let chosen = ui
            .allocate_ui(egui::vec2(ui.available_width(), height), |ui| {
                data_table(ui, "history of the item", &columns, count, None, |idx| {
                    row_of(idx).map(|row| {
                        let mut cells = vec![
                            show_day(row.date),
                            row.what.clone(),
                            row.quantity.clone(),
                            cx.show(row.amount),
                        ];
                        if has_then {
                            cells.push(cx.show(row.value_then));
                        }
                        cells
                    })
                })
            })
            .inner?;
        row_of(chosen).and_then(|row| row.entry).map(Pressed::Entry)
    })
}
