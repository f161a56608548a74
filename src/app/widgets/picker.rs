//! Choosing an account by typing part of its number or name.
//! Which accounts may be chosen is decided by whoever shows it.

use egui::{Response, Ui};
use serde::{Deserialize, Serialize};

use super::fields::Field;
use super::suggest::{filter_list, matching};
use crate::ledger::{Account, AccountId};

/// What stands in an account picker: the text being typed and the account it stands for.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct AccountPick {
    text: String,
    chosen: Option<AccountId>,
    #[serde(skip)]
    is_typing: bool,
}

impl AccountPick {
    /// A picker that begins with an account.
    #[must_use]
    pub fn of(account: &Account) -> Self {
        Self {
            text: account.title(),
            chosen: Some(account.id),
            is_typing: false,
        }
    }

    /// The account that is chosen, if any.
    #[must_use]
    pub const fn chosen(&self) -> Option<AccountId> {
        self.chosen
    }

    /// Whether something was typed that stands for no account.
    #[must_use]
    pub fn is_unclear(&self) -> bool {
        self.chosen.is_none() && !self.text.trim().is_empty()
    }

    /// Chooses this account.
    pub fn choose(&mut self, account: &Account) {
        *self = Self::of(account);
    }
}

/// A field in which an account is chosen by typing part of its number or name; with the keyboard or the pointer.
/// Answers true in the second part when the choice changed in this frame.
pub fn account_picker(
    ui: &mut Ui,
    field: Field<'_>,
    pick: &mut AccountPick,
    accounts: &[&Account],
) -> (Response, bool) {
    let titles: Vec<String> = accounts.iter().map(|account| account.title()).collect();
    let typed = if pick.is_typing {
        pick.text.as_str()
    } else {
        ""
    };
    let found = matching(titles.iter().map(String::as_str), typed);
    let rows: Vec<(String, String)> = found
        .iter()
        .map(|idx| (accounts[*idx].name.clone(), accounts[*idx].number.clone()))
        .collect();
    let before = (pick.text.clone(), pick.chosen);
    let unclear = pick.is_unclear() && !pick.is_typing;
    let mut field = field;
    if unclear && field.problem.is_none() {
        field.problem = Some("no such account; choose one from the list");
    }
    // An account already chosen is not offered again until something is typed.
    let offered: &[(String, String)] = if pick.is_typing || pick.chosen.is_none() {
        &rows
    } else {
        &[]
    };
    let (response, taken) = filter_list(ui, field, &mut pick.text, offered);
    if pick.text != before.0 {
        pick.is_typing = true;
        pick.chosen = accounts
            .iter()
            .find(|account| is_named(account, &pick.text))
            .map(|account| account.id);
    }
    if let Some(row) = taken {
        pick.choose(accounts[found[row]]);
    }
    if response.gained_focus() {
        select_all(ui, response.id);
    }
    if response.lost_focus() {
        pick.is_typing = false;
        if let Some(account) = accounts
            .iter()
            .find(|account| Some(account.id) == pick.chosen)
        {
            pick.text = account.title();
        }
    }
    (response, pick.chosen != before.1)
}

fn is_named(account: &Account, text: &str) -> bool {
    let text = text.trim();
    account.number == text
        || account.name.eq_ignore_ascii_case(text)
        || account.title().eq_ignore_ascii_case(text)
}

fn select_all(ui: &Ui, id: egui::Id) {
    use egui::text::{CCursor, CCursorRange};
    if let Some(mut state) = egui::TextEdit::load_state(ui.ctx(), id) {
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(usize::MAX / 2));
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), id);
    }
}
