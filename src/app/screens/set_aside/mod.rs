//! Set aside: how much to keep back for the owner's tax, when it is due, whether it is put by. An estimate with its
//! working and its caution; methods are a seam, this room asks what they ask and shows their lines.

mod answers;
mod dates;
mod model;
mod put_by;
mod refusal;
mod sheet;
mod view;
mod what_if;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use self::answers::AnswersDraft;
use self::dates::CalendarDraft;
use self::model::SetAsideModel;
use self::what_if::WhatIf;
use super::explain::{self, Source};
use super::facts::Facts;
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::ledger::{EntryNumber, Role};
use crate::money::Money;

/// A part of the room.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Part {
    #[default]
    Sheet,
    Answers,
    WhatIf,
    PutBy,
}

/// What was pressed.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Pressed {
    /// Move this much to savings.
    Move(Money),
    /// The owner paid an instalment of her tax.
    PaidTax,
    /// Keep answers and the method.
    Keep(Vec<(String, String)>),
    /// A figure, to be explained.
    Explain(Source),
    /// Another part of the room.
    Show(Part),
    /// Write the calendar file.
    Calendar,
}

/// What was read last: the revision, the period, the day.
type Seen = (u64, DateRange, NaiveDate);

/// The room.
#[derive(Default)]
pub struct SetAsideRoom {
    model: Option<SetAsideModel>,
    part: Part,
    answers: AnswersDraft,
    what_if: WhatIf,
    calendar: CalendarDraft,
    seen: Option<Seen>,
    is_stale: bool,
}

impl Screen for SetAsideRoom {
    fn title(&self) -> String {
        "Set aside".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.is_stale = false;
        let seen = (cx.revision, cx.period, cx.today);
        if self.seen != Some(seen) || self.model.is_none() {
            let facts = Facts::read(book, cx.period, cx.today)?;
            let model = SetAsideModel::read(book, facts)?;
            self.answers.read(&model);
            self.model = Some(model);
            self.seen = Some(seen);
        }
        if let Some(model) = &mut self.model {
            model.read_further(book)?;
            let trial = (self.part == Part::WhatIf)
                .then(|| self.what_if.trial(model))
                .flatten();
            model.try_out(book, trial)?;
            let preview = (self.part == Part::Answers)
                .then(|| self.answers.trial(model))
                .flatten();
            model.preview(book, preview)?;
            self.calendar.read(book, model);
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.is_stale || self.model.as_ref().is_some_and(|model| !model.is_whole())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        let drafts = view::Drafts {
            part: &mut self.part,
            answers: &mut self.answers,
            what_if: &mut self.what_if,
            calendar: &mut self.calendar,
            is_stale: &mut self.is_stale,
        };
        let pressed = view::set_aside_ui(ui, model, drafts, cx)?;
        Some(match pressed {
            Pressed::Move(amount) => Action::Start(FormWish {
                account: cx.chart.role(Role::SetAside).ok(),
                other: cx.chart.role(Role::BusinessBank).ok(),
                amount: Some(amount),
                ..FormWish::new(Form::Transfer)
            }),
            Pressed::PaidTax => Action::Start(FormWish {
                account: cx.chart.role(Role::SetAside).ok(),
                ..FormWish::new(Form::TaxInstalment)
            }),
            Pressed::Explain(source) => explain::open(source),
            Pressed::Keep(changes) => Action::write(Write::SetSettings(changes)),
            Pressed::Show(part) => {
                self.part = part;
                self.is_stale = true;
                return None;
            }
            Pressed::Calendar => self.calendar.write()?,
        })
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if self.part == Part::Answers {
            self.answers.kept();
            self.part = Part::Sheet;
        }
        After::Stay
    }
}

/// Settings and their texts.
type Texts = BTreeMap<String, String>;
