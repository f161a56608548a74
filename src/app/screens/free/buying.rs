//! "Can I buy this?": a price is typed and the answer stands beneath it. Nothing is written.
//! What it comes to is `reports`'.

use egui::Ui;

use crate::app::action::{Action, Form, FormWish};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card_heading, choice_chips, date_field, money_field, parse_day, problem, quiet_button,
    secondary_button, soft, text_field,
};
use crate::book::{Book, BookError};
use crate::free_to_spend::{AfterBuying, Buying, Wanted};
use crate::money::Money;
use crate::reports::{self, FreeReport, ReportError};

/// What is being tried.
#[derive(Debug, Default)]
pub(super) struct BuyingDraft {
    price: String,
    on: String,
    kind: Kind,
    life: Life,
    wanted: Option<Buying>,
    tried: Option<Buying>,
    outcome: Option<Result<AfterBuying, String>>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Kind {
    #[default]
    Cost,
    Equipment,
    Stock,
}

/// How many months equipment lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Life(u32);

impl Default for Life {
    fn default() -> Self {
        Self(60)
    }
}

impl BuyingDraft {
    /// Whether something else is wanted than was tried.
    pub(super) fn is_stale(&self) -> bool {
        self.wanted != self.tried
    }

    /// Begins with a price.
    pub(super) fn at(&mut self, price: String) {
        self.price = price;
    }

    /// Works out what is wanted.
    pub(super) fn try_out(&mut self, book: &Book, report: &FreeReport) -> Result<(), BookError> {
        self.tried = self.wanted;
        self.outcome = match self.wanted {
            None => None,
            Some(buying) => match reports::can_i_buy(book, report, buying) {
                Ok(after) => Some(Ok(after)),
                Err(ReportError::Buying(why)) => Some(Err(why.to_string())),
                Err(error) => return Err(error.into()),
            },
        };
        Ok(())
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "Can I buy this?");
        soft(
            ui,
            "Type what it costs, tax and delivery with it. Nothing is written down.",
        );
        let mut price = None;
        ui.horizontal_wrapped(|ui| {
            ui.set_row_height(space::FIELD);
            let field = Field::new("It costs").width(140.0).hint("60.00");
            price = money_field(ui, field, &mut self.price, cx.currency).1;
            let field = Field::new("When").width(140.0).hint("today");
            if self.on.trim().is_empty() {
                text_field(ui, field, &mut self.on);
            } else {
                date_field(ui, field, &mut self.on, cx.today);
            }
        });
        choice_chips(
            ui,
            "It is",
            &mut self.kind,
            &[
                (Kind::Cost, "used up or paid for"),
                (Kind::Equipment, "equipment that lasts"),
                (Kind::Stock, "stock or material"),
            ],
        );
        if self.kind == Kind::Equipment {
            choice_chips(
                ui,
                "It lasts",
                &mut self.life,
                &[
                    (Life(36), "3 years"),
                    (Life(60), "5 years"),
                    (Life(120), "10 years"),
                ],
            );
        }
        ui.add_space(space::SMALL);
        self.want(price, cx);
        self.answer_ui(ui, cx)
    }

    fn want(&mut self, price: Option<Money>, cx: &ViewContext<'_>) {
        let on = match self.on.trim() {
            "" => Some(cx.today),
            typed => parse_day(typed, cx.today),
        };
        let wanted = match self.kind {
            Kind::Cost => Wanted::Cost,
            Kind::Equipment => Wanted::Equipment {
                months: self.life.0,
            },
            Kind::Stock => Wanted::Stock,
        };
        self.wanted = price
            .zip(on)
            .map(|(price, on)| Buying { price, on, wanted });
    }

    fn answer_ui(&self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        // While another answer is being worked out, the one before would be wrong.
        let (Some(buying), false) = (self.wanted, self.is_stale()) else {
            return None;
        };
        let after = match self.outcome.as_ref()? {
            Ok(after) => after,
            Err(words) => {
                problem(ui, words);
                return None;
            }
        };
        ui.label(after.sentence(cx.currency));
        match (buying.wanted, after.buying.wanted) {
            (Wanted::Equipment { .. }, Wanted::Cost) => {
                soft(
                    ui,
                    "It costs less than your threshold for equipment, so it is a cost at once.",
                );
            }
            (Wanted::Stock, Wanted::Stock) => {
                soft(
                    ui,
                    "What waits in stock is no cost until it is sold, so less is to be set aside only then.",
                );
            }
            _ => {}
        }
        let mut action = None;
        let wish = |form| FormWish {
            amount: Some(buying.price),
            ..FormWish::new(form)
        };
        ui.add_space(space::SMALL);
        ui.horizontal_wrapped(|ui| {
            if secondary_button(ui, "Write the purchase down\u{2026}", "").clicked() {
                action = Some(Action::Start(wish(Form::Purchase)));
            }
            if quiet_button(ui, "Put it in the plan\u{2026}").clicked() {
                action = Some(Action::Start(wish(Form::PlanLine)));
            }
        });
        action
    }
}
