//! The chart of accounts: looking accounts up by number, name or role, and the chart a new book begins with.
//! Changing the chart of a book is `book`'s business.

use std::collections::{BTreeMap, HashMap};

use super::{Account, AccountClass, AccountId, Role};

const CRAFT_BUSINESS: &str = include_str!("../../assets/charts/craft-business.csv");

/// The accounts of a book, in the order of their numbers.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chart {
    accounts: BTreeMap<AccountId, Account>,
    by_number: HashMap<String, AccountId>,
    by_name: HashMap<String, AccountId>,
    by_role: HashMap<Role, AccountId>,
}

impl Chart {
    /// A chart of these accounts.
    ///
    /// # Errors
    /// When two share a number, a name or a role, or one has none.
    pub fn new(accounts: impl IntoIterator<Item = Account>) -> Result<Self, ChartError> {
        let mut chart = Self::default();
        for account in accounts {
            if account.number.trim().is_empty() || account.name.trim().is_empty() {
                return Err(ChartError::Nameless(account.title()));
            }
            if chart
                .by_number
                .insert(account.number.clone(), account.id)
                .is_some()
            {
                return Err(ChartError::NumberTwice(account.number));
            }
            if chart
                .by_name
                .insert(name_key(&account.name), account.id)
                .is_some()
            {
                return Err(ChartError::NameTwice(account.name));
            }
            if let Some(role) = account.role
                && chart.by_role.insert(role, account.id).is_some()
            {
                return Err(ChartError::RoleTwice(role));
            }
            chart.accounts.insert(account.id, account);
        }
        Ok(chart)
    }

    /// The chart that a new book of a craft business begins with, from `assets/charts/craft-business.csv`.
    /// Form lines are given only when `with_form_lines`, for they are one country's.
    ///
    /// # Errors
    /// When the file in the program is not a chart, which a test rules out.
    pub fn craft_business(with_form_lines: bool) -> Result<Self, ChartError> {
        let mut reader = csv::Reader::from_reader(CRAFT_BUSINESS.as_bytes());
        let mut accounts = Vec::new();
        for (idx, row) in reader.records().enumerate() {
            let row = row.map_err(|error| ChartError::Unreadable(error.to_string()))?;
            let field = |column: usize| row.get(column).unwrap_or_default().trim();
            let text = |column: usize| Some(field(column)).filter(|t| !t.is_empty());
            accounts.push(Account {
                id: AccountId(i64::try_from(idx).unwrap_or_default() + 1),
                number: field(0).to_owned(),
                name: field(1).to_owned(),
                class: field(2).parse().map_err(ChartError::Unreadable)?,
                group: field(3).to_owned(),
                is_contra: field(4) == "yes",
                role: text(5)
                    .map(str::parse)
                    .transpose()
                    .map_err(ChartError::Unreadable)?,
                form_line: text(6).filter(|_line| with_form_lines).map(str::to_owned),
                is_active: true,
            });
        }
        Self::new(accounts)
    }

    /// The account with this identity.
    ///
    /// # Errors
    /// When the chart does not hold it.
    pub fn account(&self, id: AccountId) -> Result<&Account, ChartError> {
        self.accounts.get(&id).ok_or(ChartError::NoSuchId(id.0))
    }

    /// The account's number and name, or a plain word when it is not in the chart.
    #[must_use]
    pub fn title(&self, id: AccountId) -> String {
        self.accounts
            .get(&id)
            .map_or_else(|| format!("account {}", id.0), Account::title)
    }

    /// All accounts in the order of their numbers.
    #[must_use]
    pub fn accounts(&self) -> Vec<&Account> {
        let mut accounts: Vec<&Account> = self.accounts.values().collect();
        accounts.sort_by(|a, b| a.number.cmp(&b.number));
        accounts
    }

    /// The account with this number, or with this name in any case.
    ///
    /// # Errors
    /// When there is none.
    pub fn find(&self, number_or_name: &str) -> Result<&Account, ChartError> {
        let wanted = number_or_name.trim();
        self.by_number
            .get(wanted)
            .or_else(|| self.by_name.get(&name_key(wanted)))
            .and_then(|id| self.accounts.get(id))
            .ok_or_else(|| ChartError::Unknown(wanted.to_owned()))
    }

    /// The account that has this role.
    ///
    /// # Errors
    /// When the book has none.
    pub fn role(&self, role: Role) -> Result<AccountId, ChartError> {
        self.by_role
            .get(&role)
            .copied()
            .ok_or(ChartError::NoRole(role))
    }

    /// Whether the account has this role.
    #[must_use]
    pub fn has_role(&self, id: AccountId, role: Role) -> bool {
        self.by_role.get(&role) == Some(&id)
    }

    /// The accounts of the sales channels, in the order of their numbers.
    #[must_use]
    pub fn channels(&self) -> Vec<&Account> {
        self.accounts()
            .into_iter()
            .filter(|account| account.is_channel())
            .collect()
    }

    /// The accounts that hold money, in the order of their numbers.
    #[must_use]
    pub fn money_accounts(&self) -> Vec<&Account> {
        self.accounts()
            .into_iter()
            .filter(|account| account.is_money())
            .collect()
    }

    /// The accounts of a class, in the order of their numbers.
    #[must_use]
    pub fn of_class(&self, class: AccountClass) -> Vec<&Account> {
        self.accounts()
            .into_iter()
            .filter(|account| account.class == class)
            .collect()
    }

    /// The first number above `after` that no account has, for a new account beside it.
    #[must_use]
    pub fn free_number(&self, after: &str) -> String {
        let start: u32 = after.parse().unwrap_or(9000);
        (start + 1..)
            .map(|number| number.to_string())
            .find(|number| !self.by_number.contains_key(number))
            .unwrap_or_default()
    }
}

fn name_key(name: &str) -> String {
    name.trim().to_lowercase()
}

/// Why a chart or a look-up in it was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ChartError {
    /// No account has this number or name.
    #[error("there is no account '{0}' in this book")]
    Unknown(String),
    /// No account has this identity.
    #[error("there is no account with the inner number {0} in this book")]
    NoSuchId(i64),
    /// No account has this role.
    #[error("this book has no account for '{0}'; give one that role in the list of accounts")]
    NoRole(Role),
    /// A number is used twice.
    #[error("two accounts have the number {0}")]
    NumberTwice(String),
    /// A name is used twice.
    #[error("two accounts have the name '{0}'")]
    NameTwice(String),
    /// A role is held twice.
    #[error("two accounts have the role '{0}'")]
    RoleTwice(Role),
    /// An account lacks its number or name.
    #[error("an account needs a number and a name: '{0}'")]
    Nameless(String),
    /// The file of a chart cannot be read.
    #[error("the chart cannot be read: {0}")]
    Unreadable(String),
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_chart_has_every_role_once() {
        let chart = Chart::craft_business(true).expect("the chart is readable");
        for role in Role::ALL {
            assert!(chart.role(*role).is_ok(), "{role}");
        }
        assert_eq!(chart.accounts().len(), Role::ALL.len());
    }

    #[test]
    fn accounts_are_found_by_number_and_by_name() {
        let chart = Chart::craft_business(false).expect("the chart is readable");
        let by_number = chart.find("6000").expect("by number").id;
        assert_eq!(chart.find(" consumables ").expect("by name").id, by_number);
        assert!(matches!(chart.find("6001"), Err(ChartError::Unknown(_))));
        assert_eq!(chart.free_number("1050"), "1051");
    }
}
