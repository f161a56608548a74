//! Set aside: how much to keep back for the owner's tax, when it is due, whether it is put by. An estimate with its
//! working and its caution; the method is a seam, this room only shows its lines.

mod view;

pub use view::{Pressed, Typed};

use chrono::NaiveDate;

use super::facts::Facts;
use super::{explain, moves};
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::dates::Month;
use crate::ledger::{EntryNumber, Role};
use crate::money::Money;
use crate::reports;
use crate::set_aside::Estimate;

/// What the room shows.
#[derive(Debug)]
pub struct SetAsideModel {
    /// The facts of the book.
    pub facts: Facts,
    /// The estimate shown: the books', or the one being tried.
    pub shown: Estimate,
    /// The profit being tried.
    pub tried: Option<Money>,
    /// Needed and put by at the end of each month of the year.
    pub over_time: Vec<MonthRow>,
    /// The day it is.
    pub today: NaiveDate,
}

/// A month of the chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MonthRow {
    /// The month.
    pub month: Month,
    /// Needed by its end.
    pub needed: Money,
    /// Put by or paid by its end.
    pub put_by: Money,
}

/// The room.
#[derive(Default)]
pub struct SetAsideRoom {
    model: Option<SetAsideModel>,
    typed: Typed,
    tried: Option<Money>,
    is_stale: bool,
}

impl Screen for SetAsideRoom {
    fn title(&self) -> String {
        "Set aside".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.is_stale = false;
        let facts = Facts::read(book, cx.period, cx.today)?;
        let year = facts.year_start.year_of(cx.period.to);
        let shown = match self.tried {
            Some(profit) => reports::estimate(book, year, facts.estimate.as_of, Some(profit))?,
            None => facts.estimate.clone(),
        };
        if self.typed.share.is_empty() {
            self.typed.share = book.settings().set_aside_percent().to_string();
        }
        self.model = Some(SetAsideModel {
            over_time: over_time(book, &facts)?,
            tried: self.tried,
            today: cx.today,
            shown,
            facts,
        });
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.is_stale
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        let pressed = view::set_aside_ui(ui, model, &mut self.typed, cx.currency)?;
        Some(match pressed {
            Pressed::Move(amount) => moves::move_to_set_aside(&model.facts, amount, cx.today),
            Pressed::PaidTax => Action::Start(FormWish {
                account: cx.chart.role(Role::SetAside).ok(),
                ..FormWish::new(Form::TaxInstalment)
            }),
            Pressed::Line(source) => explain::open(source),
            Pressed::Share(share) => Action::write(Write::SetSettings(vec![(
                "set_aside.percent".to_owned(),
                share,
            )])),
            Pressed::Try(profit) => {
                self.tried = profit;
                self.is_stale = true;
                return None;
            }
        })
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.typed.is_choosing = false;
        After::Stay
    }
}

/// Needed and put by at the end of each month that has begun. Instalments already paid count as put by.
fn over_time(book: &Book, facts: &Facts) -> Result<Vec<MonthRow>, BookError> {
    let year = facts.year_start.year_of(facts.year.from);
    let percent = book.settings().set_aside_percent();
    let mut rows = Vec::new();
    let mut profit = Money::ZERO;
    let by_month = reports::profit_by_month(book, facts.year)?;
    for (month, statement) in by_month {
        if month.first_day() > facts.estimate.as_of {
            break;
        }
        profit += statement.totals.net_profit;
        rows.push(MonthRow {
            month,
            needed: profit.max(Money::ZERO).share(percent),
            put_by: reports::put_by_or_paid(
                book,
                year,
                month.last_day().min(facts.estimate.as_of),
            )?,
        });
    }
    Ok(rows)
}
