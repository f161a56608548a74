//! Something paid again and again, being entered: proposed when it is due, never written down behind her back.

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::paid;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, account_picker, card, choice_chips, date_field, money_field, soft,
    suggest_field, text_field,
};
use crate::dates::show_day;
use crate::happenings::Payment;
use crate::ledger::Role;
use crate::recurring::{Recurring, RecurringError};

/// A recurring purchase being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct RecurringDraft {
    /// The one being changed, 0 for a new one.
    pub id: i64,
    /// What it is.
    pub name: String,
    /// To whom.
    pub party: String,
    /// Its kind.
    pub kind: AccountPick,
    /// Paid from.
    pub paid_from: Payment,
    /// How much each time.
    pub amount: String,
    /// After how many months it comes again.
    pub every_months: u32,
    /// The day it is due next.
    pub next_due: String,
    /// The business's share.
    pub share: String,
    /// What it serves.
    pub note: String,
}

impl RecurringDraft {
    /// An empty form.
    #[must_use]
    pub fn new(facts: &Facts) -> Self {
        let software = facts
            .role(Role::Software)
            .and_then(|id| facts.account(id))
            .map(AccountPick::of);
        Self {
            id: 0,
            name: String::new(),
            party: String::new(),
            kind: software.unwrap_or_default(),
            paid_from: paid::usual(facts),
            amount: String::new(),
            every_months: 1,
            next_due: show_day(facts.today),
            share: String::new(),
            note: String::new(),
        }
    }

    /// The form of one that is in the book.
    #[must_use]
    pub fn of(recurring: &Recurring, facts: &Facts) -> Self {
        let kind = facts
            .account(recurring.account)
            .map(AccountPick::of)
            .unwrap_or_default();
        let share = if recurring.business_share.is_whole() {
            String::new()
        } else {
            recurring.business_share.to_string()
        };
        Self {
            id: recurring.id,
            name: recurring.name.clone(),
            party: recurring.party.clone(),
            kind,
            paid_from: recurring.paid_from,
            amount: facts.show(recurring.amount),
            every_months: recurring.every_months,
            next_due: show_day(recurring.next_due),
            share,
            note: recurring.note.clone(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.name.trim().is_empty() && self.amount.trim().is_empty()
    }

    /// The recurring purchase as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recurring(&self, facts: &Facts) -> Result<Recurring, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let name = read.text("name", &self.name, "say what it is");
        let party = read.text("party", &self.party, "say to whom it is paid");
        let amount = read.amount("amount", &self.amount, "say how much each time");
        let account = read.account("account", self.kind.chosen(), "say which kind it is");
        let due = read.day("next_due", &self.next_due);
        let share = read.share("business_share", &self.share);
        read.finish(())?;
        let mut recurring = Recurring::new(
            name,
            party,
            account,
            self.paid_from,
            amount,
            self.every_months,
            due,
        );
        recurring.id = self.id;
        recurring.business_share = share;
        recurring.note = self.note.trim().to_owned();
        recurring.check().map_err(|error| {
            let field = match error {
                RecurringError::Nameless => "name",
                RecurringError::NoParty => "party",
                RecurringError::Amount => "amount",
                RecurringError::Cycle => "every_months",
                RecurringError::Day => "next_due",
            };
            vec![Problem::wrong(field, error.to_string())]
        })?;
        Ok(recurring)
    }
}

/// Draws the card.
pub fn recurring_ui(
    ui: &mut Ui,
    draft: &mut RecurringDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What it is")
                    .width(width)
                    .hint("ink plan, shop software")
                    .problem(problems.of("name"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.name);
            } else {
                let field = Field::new("To whom")
                    .width(width)
                    .problem(problems.of("party"));
                suggest_field(ui, field, &mut draft.party, &facts.suppliers);
            }
        });
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[130.0, 0.0, 150.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let field = Field::new("Amount each time")
                    .width(width)
                    .problem(problems.of("amount"));
                money_field(ui, field, &mut draft.amount, &facts.currency);
            }
            1 => {
                let field = Field::new("Kind")
                    .width(width)
                    .problem(problems.of("account"));
                account_picker(ui, field, &mut draft.kind, &facts.kinds());
            }
            _ => {
                let field = Field::new("Next due")
                    .width(width)
                    .problem(problems.of("next_due"));
                date_field(ui, field, &mut draft.next_due, facts.today);
            }
        });
        ui.add_space(space::SMALL);
        let mut cycles = vec![(1, "every month"), (3, "every quarter"), (12, "every year")];
        let other = format!("every {} months", draft.every_months);
        if !cycles
            .iter()
            .any(|(months, _)| *months == draft.every_months)
        {
            cycles.push((draft.every_months, &other));
        }
        choice_chips(ui, "How often", &mut draft.every_months, &cycles);
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 200.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let mut ways = paid::ways(facts);
                ways.retain(|(way, _)| *way != Payment::OnBill);
                select(ui, "Paid from", width, &mut draft.paid_from, &ways, None);
            } else {
                let field = Field::new("Business share, per cent")
                    .width(width)
                    .hint("100")
                    .problem(problems.of("business_share"));
                text_field(ui, field, &mut draft.share);
            }
        });
        let field = Field::new("What it serves").hint("so that you can judge it at renewal");
        text_field(ui, field, &mut draft.note);
        ui.add_space(space::SMALL);
        if let Ok(recurring) = draft.recurring(facts) {
            ui.label(format!("{} a year.", facts.show(recurring.yearly_total())));
        }
        soft(
            ui,
            "Nothing is written now: when it is due you are asked, and you confirm or skip it.",
        );
    });
}
