//! The ledger of one account: each movement of the period with the balance after it.
//! Lines are read once after each change; only those in sight are drawn.

use egui::{RichText, Ui};

use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::entry;
use crate::app::screens::explain::{natural, what_was_it};
use crate::app::theme::{self, space};
use crate::app::widgets::{Column, data_table, soft};
use crate::book::{AccountLine, Book, BookError};
use crate::dates::show_day;
use crate::ledger::AccountId;
use crate::money::Money;

/// Opens the ledger of an account.
#[must_use]
pub fn open_account(account: AccountId) -> Action {
    Action::Open(Box::new(AccountScreen::new(account)))
}

/// The ledger of one account.
pub struct AccountScreen {
    account: AccountId,
    title: String,
    opening: Money,
    closing: Money,
    lines: Vec<(AccountLine, Money)>,
}

impl AccountScreen {
    /// The ledger of this account.
    #[must_use]
    pub fn new(account: AccountId) -> Self {
        Self {
            account,
            title: "Account".to_owned(),
            opening: Money::ZERO,
            closing: Money::ZERO,
            lines: Vec::new(),
        }
    }
}

impl Screen for AccountScreen {
    fn title(&self) -> String {
        self.title.clone()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let account = book.chart().account(self.account)?;
        self.title = account.title();
        let before = match cx.period.from.pred_opt() {
            Some(eve) => book.balances_to(eve)?.net(self.account),
            None => Money::ZERO,
        };
        self.opening = natural(account, before);
        let mut balance = self.opening;
        self.lines = book
            .account_lines(self.account, cx.period)?
            .into_iter()
            .map(|line| {
                balance += natural(account, line.amount);
                (line, balance)
            })
            .collect();
        self.closing = balance;
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        ui.label(RichText::new(&self.title).font(theme::heading()));
        soft(
            ui,
            &format!(
                "{}: {} at the beginning, {} movements, {} at the end.",
                cx.period_label,
                cx.show(self.opening),
                self.lines.len(),
                cx.show(self.closing)
            ),
        );
        ui.add_space(space::MEDIUM);
        if self.lines.is_empty() {
            soft(
                ui,
                "Nothing moved here in this time. Choose a longer period above to see earlier movements.",
            );
            return None;
        }
        let columns = [
            Column::figures("No.", 56.0),
            Column::words("Day", 96.0),
            Column::rest("What"),
            Column::figures("Debit", 100.0),
            Column::figures("Credit", 100.0),
            Column::figures("Balance", 110.0),
        ];
        let lines = &self.lines;
        let pressed = data_table(ui, "account ledger", &columns, lines.len(), None, |idx| {
            lines.get(idx).map(|(line, balance)| {
                let side = |amount: Money| {
                    if amount.is_positive() {
                        cx.show(amount)
                    } else {
                        String::new()
                    }
                };
                vec![
                    line.number.to_string(),
                    show_day(line.date),
                    what_was_it(&line.party, &line.memo, line.kind.plain()),
                    side(line.amount),
                    side(-line.amount),
                    cx.show(*balance),
                ]
            })
        });
        pressed
            .and_then(|idx| lines.get(idx))
            .map(|(line, _balance)| entry::open(line.number))
    }
}
