//! Changing an entry where it stands: its words, its day, its lines in debits and credits, with a reason.
//! What is typed may be wrong; an entry comes out only when it balances.

use chrono::NaiveDate;
use egui::Ui;

use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, account_picker, card, card_heading, date_field, money_field,
    primary_button_enabled, problem, quiet_button, soft, text_field,
};
use crate::dates::show_day;
use crate::ledger::{Account, Chart, JournalEntry, Line, PostedEntry};
use crate::money::{Currency, Money};

/// The change being typed.
pub struct AmendDraft {
    before: JournalEntry,
    day: String,
    party: String,
    memo: String,
    reference: String,
    reason: String,
    lines: Vec<LineDraft>,
}

struct LineDraft {
    kept: Option<Line>,
    account: AccountPick,
    debit: String,
    credit: String,
}

/// What was decided about the change.
pub enum Decision {
    /// Keep it, with a reason.
    Keep(Box<JournalEntry>, String),
    /// Leave the entry as it is.
    Leave,
}

impl AmendDraft {
    /// A draft that begins with the entry as it is.
    #[must_use]
    pub fn new(posted: &PostedEntry, chart: &Chart, currency: &Currency) -> Self {
        let header = &posted.entry.header;
        let side = |amount: Money| {
            if amount.is_zero() {
                String::new()
            } else {
                currency.show(amount)
            }
        };
        Self {
            before: posted.entry.clone(),
            day: show_day(header.date),
            party: header.party.clone(),
            memo: header.memo.clone(),
            reference: header.reference.clone(),
            reason: String::new(),
            lines: posted
                .entry
                .lines()
                .iter()
                .map(|line| LineDraft {
                    kept: Some(line.clone()),
                    account: chart
                        .account(line.account)
                        .map(AccountPick::of)
                        .unwrap_or_default(),
                    debit: side(line.debit_amount()),
                    credit: side(line.credit_amount()),
                })
                .collect(),
        }
    }

    /// Whether anything was typed.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        !self.reason.is_empty()
            || self.memo != self.before.header.memo
            || self.party != self.before.header.party
    }

    fn lines(&self, currency: &Currency) -> Result<Vec<Line>, String> {
        let amount = |text: &str| -> Result<Money, String> {
            if text.trim().is_empty() {
                Ok(Money::ZERO)
            } else {
                currency
                    .parse_typed(text)
                    .map_err(|error| error.to_string())
            }
        };
        let mut lines = Vec::new();
        for draft in &self.lines {
            let net = amount(&draft.debit)? - amount(&draft.credit)?;
            let Some(account) = draft.account.chosen() else {
                if net.is_zero() {
                    continue;
                }
                return Err("a line has an amount and no account".to_owned());
            };
            let mut line = Line::debit(account, net);
            if let Some(kept) = &draft.kept {
                line = Line {
                    account,
                    amount: net,
                    ..kept.clone()
                };
            }
            lines.push(line);
        }
        Ok(lines)
    }

    fn entry(&self, currency: &Currency, today: NaiveDate) -> Result<JournalEntry, String> {
        let mut header = self.before.header.clone();
        header.date =
            crate::app::widgets::parse_day(&self.day, today).ok_or("the day is not clear")?;
        header.party = self.party.trim().to_owned();
        header.memo = self.memo.trim().to_owned();
        header.reference = self.reference.trim().to_owned();
        let lines = self.lines(currency)?;
        let debits: Money = lines.iter().map(Line::debit_amount).sum();
        let credits: Money = lines.iter().map(Line::credit_amount).sum();
        if debits != credits {
            return Err(format!(
                "debits {} and credits {} differ by {}",
                currency.show(debits),
                currency.show(credits),
                currency.show((debits - credits).abs())
            ));
        }
        JournalEntry::new(header, lines).map_err(|error| error.to_string())
    }

    /// Shows the change being typed.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        chart: &Chart,
        currency: &Currency,
        today: NaiveDate,
    ) -> Option<Decision> {
        let accounts: Vec<&Account> = chart.accounts();
        let mut decision = None;
        card(ui, |ui| {
            card_heading(ui, "Change it");
            soft(
                ui,
                "The earlier version is kept with its time and your reason.",
            );
            ui.add_space(space::MEDIUM);
            ui.horizontal_wrapped(|ui| {
                let _day = date_field(ui, Field::new("Day").width(130.0), &mut self.day, today);
                text_field(
                    ui,
                    Field::new("From or to whom").width(220.0),
                    &mut self.party,
                );
                text_field(
                    ui,
                    Field::new("Reference").width(140.0),
                    &mut self.reference,
                );
            });
            text_field(ui, Field::new("What it was"), &mut self.memo);
            ui.add_space(space::MEDIUM);
            for (idx, line) in self.lines.iter_mut().enumerate() {
                ui.push_id(idx, |ui| line_ui(ui, idx, line, &accounts, currency));
            }
            if quiet_button(ui, "Another line").clicked() {
                self.lines.push(LineDraft {
                    kept: None,
                    account: AccountPick::default(),
                    debit: String::new(),
                    credit: String::new(),
                });
            }
            ui.add_space(space::MEDIUM);
            text_field(
                ui,
                Field::new("Why").hint("kept in the history, as: wrong amount typed"),
                &mut self.reason,
            );
            decision = self.decide_ui(ui, currency, today);
        });
        decision
    }

    fn decide_ui(&self, ui: &mut Ui, currency: &Currency, today: NaiveDate) -> Option<Decision> {
        let made = self.entry(currency, today);
        if let Err(words) = &made {
            problem(ui, words);
        }
        let is_ready = made.is_ok() && !self.reason.trim().is_empty();
        let mut decision = None;
        ui.add_space(space::SMALL);
        ui.horizontal(|ui| {
            let keep = primary_button_enabled(ui, is_ready, "Keep the change", "")
                .on_disabled_hover_text("Needs lines that balance and a reason");
            if let (true, Ok(entry)) = (keep.clicked(), &made) {
                decision = Some(Decision::Keep(
                    Box::new(entry.clone()),
                    self.reason.trim().to_owned(),
                ));
            }
            if quiet_button(ui, "Leave it as it is").clicked() {
                decision = Some(Decision::Leave);
            }
        });
        decision
    }
}

fn line_ui(
    ui: &mut Ui,
    idx: usize,
    line: &mut LineDraft,
    accounts: &[&Account],
    currency: &Currency,
) {
    let no = idx + 1;
    let labels = [
        format!("Account of line {no}"),
        format!("Debit of line {no}"),
        format!("Credit of line {no}"),
    ];
    ui.horizontal(|ui| {
        let width = (ui.available_width() - 260.0).clamp(180.0, 340.0);
        account_picker(
            ui,
            Field::new(&labels[0]).width(width),
            &mut line.account,
            accounts,
        );
        money_field(
            ui,
            Field::new(&labels[1]).width(110.0),
            &mut line.debit,
            currency,
        );
        money_field(
            ui,
            Field::new(&labels[2]).width(110.0),
            &mut line.credit,
            currency,
        );
    });
}
