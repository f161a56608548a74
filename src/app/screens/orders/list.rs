//! The list of orders in the room Buy: what is on its way, what is late, what is claimed.
//! The page of one is `view`.

use egui::Ui;

use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{card, card_heading, count_badge, quiet_button, soft};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::money::Money;
use crate::ordering::{ClaimState, OrderState, days, expected_bill, standing};
use crate::reports;

/// Orders beyond this many are counted, not listed.
const LISTED: usize = 10;

/// An order in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderRow {
    /// Its number in the book.
    pub id: i64,
    /// From whom, and its key.
    pub order: String,
    /// What was ordered.
    pub what: String,
    /// How it stands.
    pub state: String,
    /// When it is expected, or nothing once it is here.
    pub expected: String,
    /// What it should come to.
    pub bill: Money,
    is_open: bool,
}

/// The orders, those that want something first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrderList {
    /// Those that are listed.
    pub rows: Vec<OrderRow>,
    /// How many there are.
    pub n_all: usize,
    /// How many are still to come or have an open claim.
    pub n_open: usize,
}

impl OrderList {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book, today: chrono::NaiveDate) -> Result<Self, BookError> {
        let orders = book.supplier_orders()?;
        if orders.is_empty() {
            return Ok(Self::default());
        }
        let names = reports::item_names(book)?;
        let arrivals = book.arrivals()?;
        let claims = book.claims()?;
        let mut rows = Vec::new();
        for order in orders.iter().rev() {
            let came = arrivals.get(&order.id).map_or(&[][..], Vec::as_slice);
            let stands = standing(order, came, today);
            let is_claimed = came
                .iter()
                .filter(|arrival| !arrival.is_void)
                .any(|arrival| {
                    claims
                        .iter()
                        .any(|claim| claim.arrival == arrival.id && claim.state == ClaimState::Open)
                });
            let what: Vec<String> = order
                .lines
                .iter()
                .map(|line| {
                    let name = names.get(&line.item).unwrap_or(&line.item);
                    format!("{} {name}", line.quantity)
                })
                .collect();
            let mut state = stands.state.plain().to_owned();
            if let Some(day) = order.expected_on().filter(|_day| stands.is_overdue) {
                state = format!("{} late", days((today - day).num_days()));
            }
            if is_claimed {
                state.push_str(", claimed");
            }
            let expected = match stands.state {
                OrderState::Open | OrderState::PartlyHere => {
                    order.expected_on().map(show_day).unwrap_or_default()
                }
                OrderState::Here | OrderState::ClosedShort => String::new(),
            };
            rows.push(OrderRow {
                id: order.id,
                order: format!("{}, order {}", order.supplier, order.key),
                what: what.join(", "),
                state,
                expected,
                bill: expected_bill(order, str::to_owned, book.currency()).total,
                is_open: stands.state.is_waiting() || is_claimed,
            });
        }
        // Newest first, but what wants something before what is done.
        rows.sort_by_key(|row| !row.is_open);
        let n_open = rows.iter().filter(|row| row.is_open).count();
        let n_all = rows.len();
        rows.truncate(LISTED.max(n_open));
        Ok(Self {
            rows,
            n_all,
            n_open,
        })
    }
}

/// What was pressed on the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardPressed {
    /// The page of an order.
    Open(i64),
    /// A new order.
    Order,
    /// Something arrived.
    Arrived,
}

/// Shows the card.
#[must_use]
pub fn orders_card(ui: &mut Ui, list: &OrderList, cx: &ViewContext<'_>) -> Option<CardPressed> {
    let mut pressed = None;
    card(ui, |ui| {
        ui.horizontal(|ui| {
            card_heading(ui, "On order").on_hover_text("Purchase orders");
            if list.n_open > 0 {
                count_badge(ui, list.n_open);
            }
        });
        if list.rows.is_empty() {
            soft(
                ui,
                "What you order from a print house or a supplier stands here with what it should come to and when it should be \
                 here.",
            );
        } else {
            let columns = [
                Column::words("Order", 1.7),
                Column::words("What", 1.4),
                Column::words("How it stands", 1.0),
                Column::narrow("Expected", 88.0),
                Column::figures("Bill", 76.0),
            ];
            let rows: Vec<Row> = list
                .rows
                .iter()
                .map(|row| {
                    Row::line(vec![
                        Cell::opens(row.order.clone()),
                        Cell::soft(row.what.clone()),
                        Cell::text(row.state.clone()),
                        Cell::soft(row.expected.clone()),
                        Cell::opens(cx.show(row.bill)),
                    ])
                })
                .collect();
            if let Some((row, _column)) = paper_table(ui, "orders", &columns, &rows) {
                pressed = list.rows.get(row).map(|row| CardPressed::Open(row.id));
            }
            let more = list.n_all - list.rows.len();
            if more > 0 {
                soft(ui, &format!("and {more} more that are done"));
            }
        }
        ui.add_space(space::SMALL);
        ui.horizontal_wrapped(|ui| {
            if quiet_button(ui, "Order something").clicked() {
                pressed = Some(CardPressed::Order);
            }
            if list.n_open > 0 && quiet_button(ui, "It arrived").clicked() {
                pressed = Some(CardPressed::Arrived);
            }
        });
    });
    pressed
}
