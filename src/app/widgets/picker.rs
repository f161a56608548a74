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
    /// What it stands for besides the account: the code of a thing that is booked there.
    #[serde(default)]
    thing: String,
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
            thing: String::new(),
            is_typing: false,
        }
    }

    /// A picker that begins with a thing that is booked to an account.
    #[must_use]
    pub fn of_thing(thing: &Thing) -> Self {
        Self {
            text: thing.label.clone(),
            chosen: Some(thing.account),
            thing: thing.code.clone(),
            is_typing: false,
        }
    }

    /// The code of the thing it stands for, when it is not an account alone.
    #[must_use]
    pub fn thing(&self) -> Option<&str> {
        (!self.thing.is_empty()).then_some(self.thing.as_str())
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

/// A thing that can be chosen beside the accounts: an item in stock, booked to its stock account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thing {
    /// Its code.
    pub code: String,
    /// What the list calls it.
    pub label: String,
    /// The account it is booked to.
    pub account: AccountId,
}

/// A field in which an account is chosen by typing part of its number or name; with the keyboard or the pointer.
/// Answers true in the second part when the choice changed in this frame.
pub fn account_picker(
    ui: &mut Ui,
    field: Field<'_>,
    pick: &mut AccountPick,
    accounts: &[&Account],
) -> (Response, bool) {
    thing_picker(ui, field, pick, &[], accounts)
}

/// As [`account_picker`], with things offered before the accounts, by name or code.
pub fn thing_picker(
    ui: &mut Ui,
    field: Field<'_>,
    pick: &mut AccountPick,
    things: &[Thing],
    accounts: &[&Account],
) -> (Response, bool) {
    let titles: Vec<String> = things
        .iter()
        .map(|thing| format!("{} {}", thing.label, thing.code))
        .chain(accounts.iter().map(|account| account.title()))
        .collect();
    let typed = if pick.is_typing {
        pick.text.as_str()
    } else {
        ""
    };
    let found = matching(titles.iter().map(String::as_str), typed);
    let of_account = |idx: usize| idx.checked_sub(things.len()).map(|idx| accounts[idx]);
    let rows: Vec<(String, String)> = found
        .iter()
        .map(|idx| match of_account(*idx) {
            Some(account) => (account.name.clone(), account.number.clone()),
            None => (things[*idx].label.clone(), "in stock".to_owned()),
        })
        .collect();
    let before = (pick.text.clone(), pick.chosen, pick.thing.clone());
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
        let thing = things.iter().find(|thing| {
            let typed = pick.text.trim();
            thing.label.eq_ignore_ascii_case(typed) || thing.code.eq_ignore_ascii_case(typed)
        });
        pick.thing = thing.map_or_else(String::new, |thing| thing.code.clone());
        pick.chosen = thing.map(|thing| thing.account).or_else(|| {
            accounts
                .iter()
                .find(|account| is_named(account, &pick.text))
                .map(|account| account.id)
        });
    }
    if let Some(row) = taken {
        match of_account(found[row]) {
            Some(account) => pick.choose(account),
            None => *pick = AccountPick::of_thing(&things[found[row]]),
        }
    }
    if response.gained_focus() {
        select_all(ui, response.id);
    }
    if response.lost_focus() {
        pick.is_typing = false;
        if let Some(thing) = things.iter().find(|thing| thing.code == pick.thing) {
            pick.text.clone_from(&thing.label);
        } else if let Some(account) = accounts
            .iter()
            .find(|account| Some(account.id) == pick.chosen)
        {
            pick.text = account.title();
        }
    }
    let is_changed = pick.chosen != before.1 || pick.thing != before.2;
    (response, is_changed)
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
