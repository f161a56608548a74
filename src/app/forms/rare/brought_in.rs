//! A thing the owner already had, brought in: both values are asked, the lower is taken, and the form says why.

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::parts::{cells, widths};
use crate::app::forms::plan::PlanRef;
use crate::app::forms::purchase::{EquipmentDraft, equipment_ui};
use crate::app::forms::stock::read_quantity;
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, card, choice_chips, date_field, money_field, soft, text_field, thing_picker,
};
use crate::dates::show_day;
use crate::happenings::{BroughtIn, BroughtInDetails, BroughtInto, Happening, Recording, Worth};
use crate::ledger::Role;
use crate::money::Money;
use crate::plan::{PlanKind, PlanLine};

/// A thing being brought in.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct BroughtInDraft {
    /// What it is.
    pub what: String,
    /// When.
    pub date: String,
    /// What it had cost, less what was written off before.
    pub adjusted_cost: String,
    /// What it would fetch today.
    pub market_value: String,
    /// How that is known.
    pub how_known: String,
    /// Whether it lasts and joins the register.
    pub is_equipment: bool,
    /// The kind otherwise.
    pub kind: AccountPick,
    /// How many.
    pub quantity: String,
    /// The business's share of its use.
    pub share: String,
    /// What the register asks.
    pub equipment: EquipmentDraft,
    /// The line of the plan that it becomes of.
    #[serde(default)]
    pub plan: Option<PlanRef>,
}

impl BroughtInDraft {
    /// An empty form of today.
    #[must_use]
    pub fn new(facts: &Facts) -> Self {
        let materials = facts
            .role(Role::Materials)
            .and_then(|id| facts.account(id))
            .map(AccountPick::of);
        Self {
            what: String::new(),
            date: show_day(facts.today),
            adjusted_cost: String::new(),
            market_value: String::new(),
            how_known: String::new(),
            is_equipment: true,
            kind: materials.unwrap_or_default(),
            quantity: String::new(),
            share: String::new(),
            equipment: EquipmentDraft::default(),
            plan: None,
        }
    }

    /// Fills it from a line of the plan.
    pub fn plan_for(&mut self, line: &PlanLine, facts: &Facts) {
        self.what.clone_from(&line.name);
        self.plan = Some(PlanRef::of(line));
        self.is_equipment = line.kind == PlanKind::Equipment;
        let account = line
            .kind
            .role()
            .and_then(|role| facts.role(role))
            .and_then(|id| facts.account(id));
        if let Some(account) = account.filter(|_account| !self.is_equipment) {
            self.kind.choose(account);
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        let is_as_planned = self
            .plan
            .as_ref()
            .is_some_and(|plan| plan.name == self.what);
        (self.what.trim().is_empty() || is_as_planned) && self.adjusted_cost.trim().is_empty()
    }

    /// The happening as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn brought_in(&self, facts: &Facts) -> Result<BroughtIn, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let description = read.text("description", &self.what, "say what it is");
        let date = read.day("date", &self.date);
        let adjusted_cost = read.amount(
            "adjusted_cost",
            &self.adjusted_cost,
            "say what it had cost you",
        );
        let market_value = read.amount(
            "market_value",
            &self.market_value,
            "say what it would fetch today",
        );
        let into = if self.is_equipment {
            let details = self.equipment.read(&mut read, &self.what, date);
            let share = read.share("business_share", &self.share);
            BroughtInto::Equipment(details, share)
        } else {
            BroughtInto::Account(read.account(
                "account",
                self.kind.chosen(),
                "say which kind it is",
            ))
        };
        let item = if self.is_equipment {
            None
        } else {
            self.kind.thing().and_then(|code| facts.stock.item(code))
        };
        let quantity = match item {
            Some(item) => read_quantity(&mut read, &self.quantity, "", item),
            None if self.is_equipment => None,
            None => read.quantity("quantity", &self.quantity),
        };
        let details = read.finish(BroughtInDetails {
            date,
            description,
            into,
            worth: Worth::Both {
                adjusted_cost,
                market_value,
            },
            how_known: self.how_known.trim().to_owned(),
            quantity,
            item: item.map(|item| item.code.clone()),
        })?;
        if let BroughtInto::Equipment(piece, _) = &details.into
            && facts.equipment_names.contains(&piece.name.to_lowercase())
        {
            return Err(vec![Problem::wrong(
                "equipment_name",
                "you already have a piece of this name; give this one another",
            )]);
        }
        told(BroughtIn::new(details), &facts.currency)
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        told(
            self.brought_in(facts)?.recording(&facts.chart),
            &facts.currency,
        )
    }
}

/// Draws the card.
pub fn brought_in_ui(
    ui: &mut Ui,
    draft: &mut BroughtInDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 140.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What it is")
                    .width(width)
                    .hint("guillotine, cardstock, laptop")
                    .problem(problems.of("description"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.what);
            } else {
                let field = Field::new("Brought in on")
                    .width(width)
                    .problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        if let Some(plan) = &draft.plan {
            ui.label(format!("For the plan: {}.", plan.name));
        }
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What it had cost you")
                    .width(width)
                    .problem(problems.of("adjusted_cost"));
                money_field(ui, field, &mut draft.adjusted_cost, &facts.currency)
                    .0
                    .on_hover_text(
                        "Adjusted cost: the price less any wear you have already claimed for it",
                    );
            } else {
                let field = Field::new("What it would fetch today")
                    .width(width)
                    .problem(problems.of("market_value"));
                money_field(ui, field, &mut draft.market_value, &facts.currency)
                    .0
                    .on_hover_text("Market value: what a stranger would pay for it as it is");
            }
        });
        if let Ok(brought) = draft.brought_in(facts) {
            ui.label(format!(
                "{}: {}.",
                facts.show(brought.value()),
                brought.taken().reason()
            ));
        } else {
            soft(
                ui,
                "The lower of the two is taken: nobody can bring in more than the thing is worth.",
            );
        }
        let field = Field::new("How you know what it would fetch")
            .hint("three look-alikes for sale, an old receipt");
        text_field(ui, field, &mut draft.how_known);
        ui.add_space(space::SMALL);
        let sorts = [
            (true, "it lasts: equipment"),
            (false, "it is used up or sold"),
        ];
        choice_chips(
            ui,
            "What sort of thing is it?",
            &mut draft.is_equipment,
            &sorts,
        );
        if draft.is_equipment {
            let cost = draft
                .brought_in(facts)
                .map_or(Money::ZERO, |brought| brought.value());
            let field = Field::new("Business share, per cent")
                .width(200.0)
                .hint("100")
                .problem(problems.of("business_share"));
            text_field(ui, field, &mut draft.share);
            equipment_ui(
                ui,
                0,
                &mut draft.equipment,
                &draft.what,
                cost,
                facts,
                problems,
            );
        } else {
            let columns = widths(ui.available_width(), &[0.0, 110.0]);
            cells(ui, &columns, &[0, 1], |ui, cell, width| {
                if cell == 0 {
                    let field = Field::new("Kind")
                        .width(width)
                        .problem(problems.of("account"));
                    thing_picker(
                        ui,
                        field,
                        &mut draft.kind,
                        &facts.kept_things(),
                        &facts.kinds(),
                    );
                } else {
                    let field = Field::new("How many")
                        .width(width)
                        .problem(problems.of("quantity"));
                    text_field(ui, field, &mut draft.quantity);
                }
            });
        }
    });
}
