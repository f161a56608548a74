//! A bill that came later for an arrival, being written down: freight, duty.
//! It is an ordinary purchase that makes the arrival's pieces dearer, made by `crate::ordering`.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::gone;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::outcome::Outcome;
use crate::app::forms::paid;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, date_field, money_field, soft, suggest_field, text_field};
use crate::dates::show_day;
use crate::happenings::Payment;
use crate::money::Money;
use crate::ordering::{Arrival, LateBill, late_bill};

/// A bill being written down.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct LateDraft {
    /// The order.
    pub order: i64,
    /// The arrival; everything that came when there is none.
    pub arrival: Option<i64>,
    /// Who billed it.
    pub supplier: String,
    /// What for.
    pub what: String,
    /// How much.
    pub amount: String,
    /// When.
    pub date: String,
    /// How it is paid.
    pub paid_from: Payment,
    /// The number on the paper.
    pub reference: String,
}

impl LateDraft {
    /// A bill for everything that came of this order.
    #[must_use]
    pub fn new(order: i64, facts: &Facts) -> Self {
        Self {
            order,
            arrival: None,
            supplier: String::new(),
            what: "Freight".to_owned(),
            amount: String::new(),
            date: show_day(facts.today),
            paid_from: paid::usual(facts),
            reference: String::new(),
        }
    }

    /// The arrivals it can be about.
    fn arrivals<'f>(&self, facts: &'f Facts) -> Vec<&'f Arrival> {
        let has_pieces =
            |arrival: &Arrival| arrival.lines.iter().any(|line| line.movement.is_some());
        facts
            .orders
            .arrivals_of(self.order)
            .iter()
            .filter(|arrival| !arrival.is_void && has_pieces(arrival))
            .collect()
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.supplier.trim().is_empty() && self.amount.trim().is_empty()
    }

    /// What it would do.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        let arrivals: Vec<(&Arrival, Vec<Money>)> = self
            .arrivals(facts)
            .into_iter()
            .filter(|arrival| self.arrival.is_none_or(|id| id == arrival.id))
            .map(|arrival| (arrival, facts.orders.worth(arrival)))
            .collect();
        if arrivals.is_empty() {
            return Err(gone("amount"));
        }
        let mut read = Reader::new(&facts.currency, facts.today);
        let bill = LateBill {
            date: read.day("date", &self.date),
            supplier: read.text("supplier", &self.supplier, "say who billed it"),
            amount: read.amount("amount", &self.amount, "say how much was billed"),
            what: self.what.trim().to_owned(),
            paid_from: self.paid_from,
            reference: self.reference.trim().to_owned(),
        };
        let bill = read.finish(bill)?;
        let recording = late_bill(&arrivals, &bill, &facts.stock.items, &facts.chart);
        told(recording, &facts.currency).map(|recording| Outcome::Record(Box::new(recording)))
    }
}

/// Draws the card.
pub fn late_ui(
    ui: &mut Ui,
    draft: &mut LateDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let mut about = vec![(None, "everything that came of the order".to_owned())];
        about.extend(draft.arrivals(facts).into_iter().map(|arrival| {
            let words = format!("what came on {}", show_day(arrival.date));
            (Some(arrival.id), words)
        }));
        if about.len() > 2 {
            select(ui, "What it is for", 0.0, &mut draft.arrival, &about, None);
        }
        let columns = widths(ui.available_width(), &[0.0, 130.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("Who billed it")
                    .width(width)
                    .hint("the carrier, the customs office")
                    .problem(problems.of("supplier"))
                    .take_focus(take_focus);
                suggest_field(ui, field, &mut draft.supplier, &facts.suppliers);
            } else {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        let columns = widths(ui.available_width(), &[0.0, 130.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What for").width(width);
                text_field(ui, field, &mut draft.what);
            } else {
                let field = Field::new("Amount")
                    .width(width)
                    .problem(problems.of("amount"));
                money_field(ui, field, &mut draft.amount, &facts.currency);
            }
        });
        let ways = paid::ways(facts);
        let columns = widths(ui.available_width(), &[0.0, 150.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let wrong = problems.of("paid_from");
                select(ui, "Paid from", width, &mut draft.paid_from, &ways, wrong);
            } else {
                let field = Field::new("Number on the bill").width(width);
                text_field(ui, field, &mut draft.reference);
            }
        });
        ui.add_space(space::SMALL);
        soft(
            ui,
            "It is spread by what each thing cost, over what is left and what was sold.",
        );
    });
}
