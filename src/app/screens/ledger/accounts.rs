//! The chart of accounts: each with its balance, and what can be changed about it. Accounts in use are retired, never
//! deleted; groups drive the statements.

use egui::Ui;

use crate::app::action::{Action, Write};
use crate::app::screen::ViewContext;
use crate::app::screens::explain::natural;
use crate::app::screens::money;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, primary_button_enabled, quiet_button,
    secondary_button, soft, suggest_field, text_field,
};
use crate::book::{Book, BookError, NewAccount};
use crate::ledger::{Account, AccountClass};
use crate::money::Money;

/// The list with what is being changed.
#[derive(Default)]
pub struct AccountsPart {
    rows: Vec<(Account, Money)>,
    groups: Vec<String>,
    shows_unused: bool,
    edited: Option<EditDraft>,
}

/// An account being added or changed.
struct EditDraft {
    before: Option<Account>,
    number: String,
    name: String,
    group: String,
    form_line: String,
    class: AccountClass,
}

impl AccountsPart {
    /// Reads the accounts with their balances at the end of the period.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let balances = book.balances_to(cx.period.to)?;
        self.rows = book
            .chart()
            .accounts()
            .into_iter()
            .map(|account| (account.clone(), natural(account, balances.net(account.id))))
            .collect();
        self.groups = self
            .rows
            .iter()
            .map(|(account, _balance)| account.group.clone())
            .collect();
        self.groups.sort();
        self.groups.dedup();
        Ok(())
    }

    /// Puts the form away.
    pub fn written(&mut self) {
        self.edited = None;
    }

    /// Shows them.
    pub fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        choice_chips(
            ui,
            "Shown",
            &mut self.shows_unused,
            &[
                (false, "With a balance, or offered"),
                (true, "All, retired ones too"),
            ],
        );
        ui.add_space(space::SMALL);
        if secondary_button(ui, "Add an account\u{2026}", "").clicked() {
            self.edited = Some(EditDraft::new(cx));
        }
        ui.add_space(space::MEDIUM);
        if let Some(draft) = &mut self.edited {
            let (write, is_left) = draft.ui(ui, &self.groups);
            asked = write;
            if is_left {
                self.edited = None;
            }
            ui.add_space(space::LARGE);
        }
        asked.or(self.list_ui(ui, cx))
    }

    fn list_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let shown: Vec<&(Account, Money)> = self
            .rows
            .iter()
            .filter(|(account, balance)| {
                self.shows_unused || account.is_active || !balance.is_zero()
            })
            .collect();
        let columns = [
            Column::narrow("No.", 56.0),
            Column::words("Account", 3.0),
            Column::words("Group in the statements", 2.0),
            Column::figures("Balance", 110.0),
            Column::figures("", 70.0),
        ];
        let rows: Vec<Row> = shown
            .iter()
            .map(|(account, balance)| {
                let name = if account.is_active {
                    account.name.clone()
                } else {
                    format!("{} (retired)", account.name)
                };
                Row::line(vec![
                    Cell::text(&account.number),
                    Cell::opens(name),
                    Cell::soft(&account.group),
                    if balance.is_zero() {
                        Cell::soft("\u{2013}")
                    } else {
                        Cell::opens(cx.show(*balance))
                    },
                    Cell::opens("Change"),
                ])
            })
            .collect();
        let pressed = card(ui, |ui| {
            card_heading(ui, "Accounts").on_hover_text("Chart of accounts");
            soft(
                ui,
                &format!(
                    "Balances at the end of {}.",
                    crate::dates::show_day(cx.period.to)
                ),
            );
            paper_table(ui, "accounts", &columns, &rows)
        });
        let (row, column) = pressed?;
        let (account, _balance) = shown.get(row)?;
        if column == 4 {
            self.edited = Some(EditDraft::of(account));
            return None;
        }
        Some(money::open_account(account.id))
    }
}

impl EditDraft {
    fn new(cx: &ViewContext<'_>) -> Self {
        Self {
            before: None,
            number: cx.chart.free_number("6900"),
            name: String::new(),
            group: "Other costs".to_owned(),
            form_line: String::new(),
            class: AccountClass::Expense,
        }
    }

    fn of(account: &Account) -> Self {
        Self {
            before: Some(account.clone()),
            number: account.number.clone(),
            name: account.name.clone(),
            group: account.group.clone(),
            form_line: account.form_line.clone().unwrap_or_default(),
            class: account.class,
        }
    }

    fn form_line(&self) -> Option<String> {
        Some(self.form_line.trim().to_owned()).filter(|line| !line.is_empty())
    }

    fn write(&self) -> Write {
        match &self.before {
            Some(before) => Write::UpdateAccount(Box::new(Account {
                number: self.number.trim().to_owned(),
                name: self.name.trim().to_owned(),
                group: self.group.trim().to_owned(),
                form_line: self.form_line(),
                ..before.clone()
            })),
            None => Write::AddAccount(NewAccount {
                form_line: self.form_line(),
                ..NewAccount::new(
                    self.number.trim(),
                    self.name.trim(),
                    self.class,
                    self.group.trim(),
                )
            }),
        }
    }

    /// Shows the form; answers what it asks for and whether it is to be put away.
    fn ui(&mut self, ui: &mut Ui, groups: &[String]) -> (Option<Action>, bool) {
        let mut asked = None;
        let mut is_left = false;
        card(ui, |ui| {
            let title = self.before.as_ref().map_or_else(
                || "A new account".to_owned(),
                |before| format!("Change {}", before.title()),
            );
            card_heading(ui, &title);
            if self.before.is_none() {
                let classes = [
                    (AccountClass::Asset, "Something the business has"),
                    (AccountClass::Liability, "Something it owes"),
                    (AccountClass::Equity, "The owner's"),
                    (AccountClass::Income, "Income"),
                    (AccountClass::Expense, "A cost"),
                ];
                choice_chips(ui, "What it is", &mut self.class, &classes);
            }
            ui.horizontal_wrapped(|ui| {
                text_field(ui, Field::new("Number").width(90.0), &mut self.number);
                text_field(ui, Field::new("Name").width(260.0), &mut self.name);
                suggest_field(
                    ui,
                    Field::new("Group in the statements").width(200.0),
                    &mut self.group,
                    groups,
                );
                text_field(
                    ui,
                    Field::new("Line of a tax form").width(130.0),
                    &mut self.form_line,
                );
            });
            soft(
                ui,
                "The number is free to choose; statements follow the group, so nothing else needs to know of it.",
            );
            ui.add_space(space::SMALL);
            ui.horizontal(|ui| {
                let is_ready = [&self.number, &self.name, &self.group]
                    .iter()
                    .all(|text| !text.trim().is_empty());
                if primary_button_enabled(ui, is_ready, "Keep the account", "").clicked() {
                    asked = Some(Action::write(self.write()));
                }
                asked = asked.take().or(self
                    .before
                    .as_ref()
                    .and_then(|before| retire_ui(ui, before)));
                is_left = quiet_button(ui, "Leave it as it is").clicked();
            });
        });
        (asked, is_left)
    }
}

fn retire_ui(ui: &mut Ui, account: &Account) -> Option<Action> {
    if account.is_active {
        let retire = quiet_button(ui, "Offer it no more").on_hover_text(
            "It stays in the statements with what is in it; forms no longer offer it",
        );
        return retire
            .clicked()
            .then(|| Action::write(Write::RetireAccount(account.id)));
    }
    let again = quiet_button(ui, "Offer it again");
    again.clicked().then(|| {
        Action::write(Write::UpdateAccount(Box::new(Account {
            is_active: true,
            ..account.clone()
        })))
    })
}
