//! What a business that already runs has and owes on the first day of its book, account by account.

use std::collections::BTreeMap;

use egui::{RichText, Ui};
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::parts::total_line;
use crate::app::theme::{self, space};
use crate::app::widgets::{Field, card, card_heading, date_field, money_row, soft};
use crate::dates::show_day;
use crate::happenings::{
    Happening, OpeningBalance, OpeningBalances, OpeningBalancesDetails, Recording,
};
use crate::ledger::{Account, AccountClass, AccountId, Role};
use crate::money::Money;

const AMOUNT: f32 = 140.0;
/// An amount further from its name than this is hard to follow across.
const WIDEST: f32 = 470.0;

/// Opening balances being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct OpeningDraft {
    /// As of which day.
    pub date: String,
    /// The amounts as typed, in the order of the accounts.
    pub amounts: BTreeMap<AccountId, String>,
}

impl OpeningDraft {
    /// An empty table on the book's first day.
    #[must_use]
    pub fn new(facts: &Facts) -> Self {
        Self {
            date: show_day(facts.first_day),
            amounts: BTreeMap::new(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.amounts.values().all(|text| text.trim().is_empty())
    }

    fn details(&self, facts: &Facts) -> Result<OpeningBalancesDetails, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let mut balances = Vec::new();
        for (idx, account) in offered(facts).into_iter().enumerate() {
            let Some(text) = self.amounts.get(&account.id) else {
                continue;
            };
            read.line(Some(idx));
            let amount = read.amount_or_none("amount", text);
            if !amount.is_zero() {
                balances.push(OpeningBalance::natural(account, amount));
            }
        }
        read.line(None);
        if balances.is_empty() {
            read.note(Problem::missing(
                "balances",
                "give at least one opening balance",
            ));
        }
        read.finish(OpeningBalancesDetails {
            date,
            balances,
            has_year_to_date: false,
            memo: "Opening balances".to_owned(),
        })
    }

    /// What is left for the owner's capital.
    #[must_use]
    pub fn difference(&self, facts: &Facts) -> Money {
        self.details(facts)
            .ok()
            .and_then(|details| OpeningBalances::new(details).ok())
            .map_or(Money::ZERO, |opening| opening.difference())
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let opening = told(OpeningBalances::new(self.details(facts)?), &facts.currency)?;
        told(opening.recording(&facts.chart), &facts.currency)
    }
}

/// What the business can have and owe; its capital is what is left.
fn offered(facts: &Facts) -> Vec<&Account> {
    facts
        .all_accounts()
        .into_iter()
        .filter(|account| {
            let is_worked_out = matches!(
                account.role,
                Some(Role::OwnerCapital | Role::OwnerDrawings | Role::ProfitBroughtForward)
            );
            !account.class.is_profit_and_loss() && !is_worked_out
        })
        .collect()
}

/// Draws the card.
pub fn opening_ui(
    ui: &mut Ui,
    draft: &mut OpeningDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let field = Field::new("As of")
            .width(160.0)
            .problem(problems.of("date"));
        date_field(ui, field, &mut draft.date, facts.today);
        ui.add_space(space::SMALL);
        soft(
            ui,
            "Fill in what there is and leave the rest empty. Write each as a plain amount: the sides of the books are found by themselves. Machines: their cost under Equipment at cost, their wear so far under Accumulated depreciation.",
        );
        let accounts = offered(facts);
        let mut class = None;
        for (idx, account) in accounts.into_iter().enumerate() {
            if class != Some(account.class) {
                class = Some(account.class);
                ui.add_space(space::MEDIUM);
                let heading = match account.class {
                    AccountClass::Asset => "What the business has (assets)",
                    AccountClass::Liability => "What it owes (liabilities)",
                    _ => "What belongs to you (equity)",
                };
                card_heading(ui, heading);
            }
            let text = draft.amounts.entry(account.id).or_default();
            let title = account.title();
            let field = Field::new(&title)
                .width(AMOUNT)
                .problem(problems.on("amount", idx))
                .take_focus(take_focus && idx == 0);
            ui.scope(|ui| {
                ui.set_max_width(ui.available_width().min(WIDEST));
                money_row(ui, field, text, &facts.currency);
            });
        }
        ui.add_space(space::MEDIUM);
        let difference = draft.difference(facts);
        total_line(
            ui,
            "What belongs to you: owner's capital",
            &facts.show(difference),
        );
        if let Some(words) = problems.of("balances") {
            ui.label(RichText::new(words).font(theme::small()));
        }
    });
}
