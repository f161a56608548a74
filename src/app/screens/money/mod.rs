//! Money: what is in bank and cash, what is owed, how it went over time, one account's ledger, and its statements.
//! `model` reads it, `view` draws it, `account` is the ledger of one account; `tray` sorts statement lines by `rules`,
//! `statement_file` brings statements in, `agreement` brings an account into agreement with its statement.

mod account;
mod agreement;
mod model;
mod rules;
mod statement_file;
mod tray;
mod view;

pub use account::{AccountScreen, open_account};
pub use agreement::{AgreementScreen, SheetScreen, open_agreement, open_sheet};
pub use model::{AccountRow, MoneyModel, PrivateMonth};
pub use rules::{RulesScreen, open_rules};
pub use statement_file::{StatementFileScreen, dropped_statements, open_statement_file};
pub(in crate::app::screens) use tray::other::{TreatmentDraft, accounts_for};
pub(in crate::app::screens) use tray::reading::TrayReader;
pub use tray::{TrayScreen, open_tray};

use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};

/// The room.
#[derive(Default)]
pub struct MoneyRoom {
    model: Option<MoneyModel>,
}

impl Screen for MoneyRoom {
    fn title(&self) -> String {
        "Money".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.model = Some(MoneyModel::read(book, cx.period, cx.today)?);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        dropped_statements(ui).or_else(|| view::money_ui(ui, self.model.as_ref()?, cx.currency))
    }
}
