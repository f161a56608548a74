//! What can be changed about a piece: its name and place, its terms from a day on, its leaving.
//! What is typed may be wrong; a change comes out only when it can be.

use chrono::NaiveDate;
use egui::Ui;

use super::model::share_on;
use crate::app::action::Write;
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, account_picker, card, card_heading, caution, date_field, ledger_preview,
    money_field, primary_button_enabled, problem, quiet_button, soft, text_field,
};
use crate::dates::{YearStart, show_day};
use crate::depreciation::{Disposal, Equipment, TermsChange};
use crate::happenings::Recording;
use crate::ledger::{Account, Chart};
use crate::money::{Currency, Money, Percent};

/// What a form answered.
pub enum Answer {
    /// Write this.
    Write(Box<Write>),
    /// Put the form away.
    Leave,
}

/// Name, serial number and place, being typed.
pub struct DetailsDraft {
    name: String,
    serial: String,
    location: String,
}

impl DetailsDraft {
    /// A draft that begins with the piece as it is.
    pub fn new(piece: &Equipment) -> Self {
        Self {
            name: piece.name.clone(),
            serial: piece.serial.clone(),
            location: piece.location.clone(),
        }
    }

    /// Shows it.
    pub fn ui(&mut self, ui: &mut Ui, piece: &Equipment) -> Option<Answer> {
        let mut answer = None;
        card(ui, |ui| {
            card_heading(ui, "Name, serial number and place");
            text_field(ui, Field::new("Name"), &mut self.name);
            text_field(ui, Field::new("Serial number"), &mut self.serial);
            text_field(ui, Field::new("Where it stands"), &mut self.location);
            let is_ready = !self.name.trim().is_empty();
            answer = buttons(ui, is_ready, "Keep it", || {
                let mut changed = piece.clone();
                self.name.trim().clone_into(&mut changed.name);
                self.serial.trim().clone_into(&mut changed.serial);
                self.location.trim().clone_into(&mut changed.location);
                Write::UpdateEquipment(Box::new(changed))
            });
        });
        answer
    }
}

/// New terms from a day on, being typed.
pub struct TermsDraft {
    from: String,
    life: String,
    residual: String,
    share: String,
    reason: String,
}

impl TermsDraft {
    /// A draft that begins with the terms as they are.
    pub fn new(piece: &Equipment, currency: &Currency, today: NaiveDate) -> Self {
        Self {
            from: show_day(today),
            life: piece.life_months_on(today).to_string(),
            residual: currency.show(piece.residual_on(today)),
            share: share_on(piece, today).to_string(),
            reason: String::new(),
        }
    }

    fn change(&self, currency: &Currency, today: NaiveDate) -> Result<TermsChange, String> {
        let from =
            crate::app::widgets::parse_day(&self.from, today).ok_or("the day is not clear")?;
        let life_months: u32 = self
            .life
            .trim()
            .parse()
            .ok()
            .filter(|months| *months > 0)
            .ok_or("the life is a number of months, such as 60")?;
        let residual = if self.residual.trim().is_empty() {
            Money::ZERO
        } else {
            currency
                .parse_typed(&self.residual)
                .map_err(|error| error.to_string())?
        };
        let business_share: Percent = self
            .share
            .trim()
            .trim_end_matches('%')
            .trim()
            .parse()
            .map_err(|error: crate::money::AmountError| error.to_string())?;
        if self.reason.trim().is_empty() {
            return Err("say why: it is kept in the history".to_owned());
        }
        Ok(TermsChange {
            from,
            life_months,
            residual,
            business_share,
            reason: self.reason.trim().to_owned(),
        })
    }

    /// Shows it.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        piece: &Equipment,
        currency: &Currency,
        today: NaiveDate,
    ) -> Option<Answer> {
        let mut answer = None;
        card(ui, |ui| {
            card_heading(ui, "Change its terms from a day on").on_hover_text(
                "A change in estimate: it holds for the life that remains, earlier wear stays",
            );
            soft(
                ui,
                "What was written down before that day stays; the rest is spread over the life that remains.",
            );
            ui.horizontal_wrapped(|ui| {
                let _day = date_field(ui, Field::new("From").width(130.0), &mut self.from, today);
                text_field(
                    ui,
                    Field::new("Whole life in months").width(130.0),
                    &mut self.life,
                );
                let _amount = money_field(
                    ui,
                    Field::new("Worth at the end").width(120.0),
                    &mut self.residual,
                    currency,
                );
                text_field(
                    ui,
                    Field::new("Business share in %").width(130.0),
                    &mut self.share,
                );
            });
            text_field(
                ui,
                Field::new("Why").hint("as: lasts longer than I thought"),
                &mut self.reason,
            );
            let change = self.change(currency, today).and_then(|change| {
                let mut tried = piece.clone();
                tried.changes.push(change.clone());
                tried
                    .check()
                    .map(|()| change)
                    .map_err(|error| error.to_string())
            });
            if let Err(words) = &change {
                problem(ui, words);
            }
            answer = match change {
                Ok(change) => buttons(ui, true, "Change its terms", || {
                    Write::ChangeTerms(piece.key.clone(), change)
                }),
                Err(_said_above) => leave_only(ui),
            };
        });
        answer
    }
}

/// Its leaving, being typed.
pub struct DisposalDraft {
    on: String,
    proceeds: String,
    into: AccountPick,
}

impl DisposalDraft {
    /// A draft of leaving today for nothing.
    pub fn new(chart: &Chart, today: NaiveDate) -> Self {
        let bank = chart
            .role(crate::ledger::Role::BusinessBank)
            .and_then(|id| chart.account(id));
        Self {
            on: show_day(today),
            proceeds: String::new(),
            into: bank.map(AccountPick::of).unwrap_or_default(),
        }
    }

    /// Shows it with gain or loss and the entry, live.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        piece: &Equipment,
        charged: Money,
        years: YearStart,
        (chart, currency, today): (&Chart, &Currency, NaiveDate),
    ) -> Option<Answer> {
        let mut accounts: Vec<&Account> = chart.money_accounts();
        let drawings = chart
            .role(crate::ledger::Role::OwnerDrawings)
            .and_then(|id| chart.account(id));
        accounts.extend(drawings);
        let mut answer = None;
        card(ui, |ui| {
            card_heading(ui, "It was sold or scrapped").on_hover_text("Disposal of a fixed asset");
            soft(
                ui,
                "Taken home: what it was worth that day, into your drawings.",
            );
            let mut day = None;
            let mut amount = None;
            ui.horizontal_wrapped(|ui| {
                day = date_field(
                    ui,
                    Field::new("When it went").width(130.0),
                    &mut self.on,
                    today,
                )
                .1;
                let field = Field::new("What you got for it")
                    .width(140.0)
                    .hint("nothing");
                amount = money_field(ui, field, &mut self.proceeds, currency).1;
                account_picker(
                    ui,
                    Field::new("Into").width(220.0),
                    &mut self.into,
                    &accounts,
                );
            });
            let proceeds = if self.proceeds.trim().is_empty() {
                Some(Money::ZERO)
            } else {
                amount
            };
            let (Some(on), Some(proceeds)) = (day, proceeds) else {
                problem(ui, "the day or the amount is not clear");
                answer = leave_only(ui);
                return;
            };
            let disposal = Disposal { on, proceeds };
            let made = piece
                .plan_disposal(&disposal, charged, years)
                .and_then(|plan| {
                    let into = self.into.chosen().filter(|_into| !proceeds.is_zero());
                    let entry = plan.entry(chart, into, format!("{} is gone", piece.name))?;
                    Ok((plan, entry))
                });
            match made {
                Ok((plan, entry)) => {
                    ui.label(outcome(plan.book_value, plan.gain, currency));
                    ledger_preview(ui, Ok(&entry), chart, currency);
                    caution(ui, super::view::CAUTION);
                    answer = buttons(ui, true, "Write it down", || Write::Dispose {
                        key: piece.key.clone(),
                        disposal,
                        recordings: vec![Recording::new(entry)],
                    });
                }
                Err(error) => {
                    problem(ui, &error.to_string());
                    answer = leave_only(ui);
                }
            }
        });
        answer
    }
}

fn outcome(book_value: Money, gain: Money, currency: &Currency) -> String {
    let value = currency.show(book_value);
    if gain.is_zero() {
        format!("It stands at {value} in the books: neither gain nor loss.")
    } else if gain.is_negative() {
        format!(
            "It stands at {value} in the books: {}, a loss.",
            currency.show(gain)
        )
    } else {
        format!(
            "It stands at {value} in the books: {} gained.",
            currency.show(gain)
        )
    }
}

fn buttons(
    ui: &mut Ui,
    is_ready: bool,
    words: &str,
    make: impl FnOnce() -> Write,
) -> Option<Answer> {
    ui.add_space(space::SMALL);
    ui.horizontal(|ui| {
        let yes = primary_button_enabled(ui, is_ready, words, "").clicked();
        let no = quiet_button(ui, "Leave it as it is").clicked();
        if yes {
            Some(Answer::Write(Box::new(make())))
        } else {
            no.then_some(Answer::Leave)
        }
    })
    .inner
}

fn leave_only(ui: &mut Ui) -> Option<Answer> {
    quiet_button(ui, "Leave it as it is")
        .clicked()
        .then_some(Answer::Leave)
}
