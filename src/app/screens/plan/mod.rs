//! Plan: what starting needs, whether the money lasts, plan against actual, and what it cost to start.
//! `model` reads it, `view` and `start` draw it, `line` is the page of one line.

mod line;
mod model;
mod start;
mod view;

pub use line::PlanLineScreen;
pub use model::{MarkRow, PlanModel};

use super::explain::{self, Source};
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::forms::plan::typed_month;
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::ledger::{AccountId, EntryNumber};
use crate::plan::PlanMoney;
use crate::statements::StartUpGroup;

/// What was pressed in the room.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Pressed {
    /// Plan something new.
    Add,
    /// The page of a line.
    Line(i64),
    /// Ask for money.
    ShowMoney,
    /// Keep the money that is typed.
    AddMoney,
    /// Take money off the plan.
    RemoveMoney(i64),
    /// Where a figure comes from.
    Explain(Source),
    /// Ask where an account counts.
    AskMark(AccountId),
    /// Let an account count somewhere, or in its own group.
    Mark(AccountId, Option<StartUpGroup>),
}

/// Money being typed.
#[derive(Debug, Default)]
struct MoneyDraft {
    is_open: bool,
    amount: String,
    month: String,
    note: String,
    problem: Option<String>,
}

/// The room.
#[derive(Default)]
pub struct PlanRoom {
    model: Option<PlanModel>,
    money: MoneyDraft,
    asked: Option<AccountId>,
}

impl Screen for PlanRoom {
    fn title(&self) -> String {
        "Plan".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.model = Some(PlanModel::read(book, cx.today)?);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        let pressed = view::plan_ui(ui, model, &mut self.money, self.asked, cx)?;
        self.answer(pressed, cx)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> crate::app::screen::After {
        self.money = MoneyDraft {
            is_open: self.money.is_open,
            ..MoneyDraft::default()
        };
        self.asked = None;
        crate::app::screen::After::Stay
    }
}

impl PlanRoom {
    fn answer(&mut self, pressed: Pressed, cx: &ViewContext<'_>) -> Option<Action> {
        Some(match pressed {
            Pressed::Add => Action::Start(FormWish::new(Form::PlanLine)),
            Pressed::Line(id) => Action::Open(Box::new(PlanLineScreen::new(id))),
            Pressed::ShowMoney => {
                self.money.is_open = true;
                return None;
            }
            Pressed::AddMoney => match self.money.read(cx) {
                Ok(money) => Action::write(Write::AddPlanMoney(money)),
                Err(words) => {
                    self.money.problem = Some(words);
                    return None;
                }
            },
            Pressed::RemoveMoney(id) => Action::write(Write::RemovePlanMoney(id)),
            Pressed::Explain(source) => explain::open(source),
            Pressed::AskMark(account) => {
                self.asked = if self.asked == Some(account) {
                    None
                } else {
                    Some(account)
                };
                return None;
            }
            Pressed::Mark(account, group) => Action::write(Write::MarkStartUp(account, group)),
        })
    }
}

impl MoneyDraft {
    fn read(&self, cx: &ViewContext<'_>) -> Result<PlanMoney, String> {
        let amount = cx
            .currency
            .parse_typed(&self.amount)
            .map_err(|error| error.to_string())?;
        if !amount.is_positive() {
            return Err("say how much money it is, more than nothing".to_owned());
        }
        let month = match self.month.trim() {
            "" => None,
            text => Some(
                typed_month(text, cx.today)
                    .ok_or("not a month; write Feb 2026, or leave it empty when it is there now")?,
            ),
        };
        Ok(PlanMoney {
            id: 0,
            month,
            amount,
            note: self.note.trim().to_owned(),
        })
    }
}
