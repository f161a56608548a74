//! How a bank lays out a table of transactions: where each thing stands and how days, amounts and signs are written.
//! Working a layout out from a file is `import`'s; here it is a value that can be kept as text and known again.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ColumnRole {
    /// The day.
    Date,
    /// What the line is about; several columns are joined in the order of the file.
    Text,
    /// The amount, signed or told apart by a mark.
    Amount,
    /// What went out.
    Debit,
    /// What came in.
    Credit,
    /// A word or letter that says whether the amount went out or came in.
    Mark,
    /// The balance after the line.
    Balance,
    /// The bank's own key of the line.
    Id,
    /// The currency of the amount.
    Currency,
    /// The account the line belongs to.
    Account,
    /// Whether the line is booked or still pending.
    Status,
}

impl ColumnRole {
    /// Every role.
    pub const ALL: &'static [Self] = &[
        Self::Date,
        Self::Text,
        Self::Amount,
        Self::Debit,
        Self::Credit,
        Self::Mark,
        Self::Balance,
        Self::Id,
        Self::Currency,
        Self::Account,
        Self::Status,
    ];

    /// The word for it on the command line and in kept layouts.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Text => "text",
            Self::Amount => "amount",
            Self::Debit => "debit",
            Self::Credit => "credit",
            Self::Mark => "mark",
            Self::Balance => "balance",
            Self::Id => "id",
            Self::Currency => "currency",
            Self::Account => "account",
            Self::Status => "status",
        }
    }

    /// The role with this word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|role| role.as_str() == word)
    }
}

/// In which order a day is written in figures. Two-digit years and names of months are understood in any of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DateOrder {
    /// Year, month, day.
    Ymd,
    /// Day, month, year.
    Dmy,
    /// Month, day, year.
    Mdy,
}

impl DateOrder {
    /// Every order.
    pub const ALL: [Self; 3] = [Self::Ymd, Self::Dmy, Self::Mdy];

    /// The word for it on the command line and in kept layouts.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Ymd => "ymd",
            Self::Dmy => "dmy",
            Self::Mdy => "mdy",
        }
    }

    /// The order with this word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|order| order.as_str() == word)
    }
}

/// What the sign of a single column of amounts means.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignRule {
    /// What came in is positive, what went out negative.
    #[default]
    AsWritten,
    /// What went out, or was charged to a card, is positive.
    ChargesPositive,
    /// A mark in a column of its own or behind the amount says it of every line.
    Marked,
    /// Only what came in is marked, behind the amount.
    CreditsMarked,
    /// Only what went out is marked, behind the amount.
    DebitsMarked,
}

impl SignRule {
    /// The word for it on the command line and in kept layouts.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::AsWritten => "as-written",
            Self::ChargesPositive => "charges-positive",
            Self::Marked => "marked",
            Self::CreditsMarked => "credits-marked",
            Self::DebitsMarked => "debits-marked",
        }
    }

    /// The rule with this word, of those that an owner can tell.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        [Self::AsWritten, Self::ChargesPositive]
            .into_iter()
            .find(|rule| rule.as_str() == word)
    }
}

/// How a column of its own for what went out writes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DebitStyle {
    /// As positive numbers; a negative one came back.
    #[default]
    Positive,
    /// As negative numbers.
    Negative,
}

/// How a bank lays out a table of transactions.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BankLayout {
    /// The owner's name for it; empty while it has none.
    pub name: String,
    /// The encoding's label after the WHATWG Encoding Standard, as `UTF-8`.
    pub encoding: String,
    /// What stands between cells.
    pub separator: char,
    /// The names of the columns as [`column_names`] gives them; empty when the file has no header.
    pub header: Vec<String>,
    /// Which columns hold what, by name.
    pub columns: BTreeMap<ColumnRole, Vec<String>>,
    /// In which order days are written.
    pub dates: DateOrder,
    /// The decimal mark of the amounts, a point or a comma.
    pub decimal_mark: char,
    /// What the sign of a single column of amounts means.
    pub sign: SignRule,
    /// How a column of its own for what went out writes it.
    pub debits: DebitStyle,
    /// Whether balances are written as what is owed.
    pub balance_is_owed: bool,
}

impl BankLayout {
    /// The names of the columns that hold something, in the order in which they were given.
    #[must_use]
    pub fn columns_of(&self, role: ColumnRole) -> &[String] {
        self.columns.get(&role).map_or(&[], Vec::as_slice)
    }

    /// Whether a row of cells is this layout's header, whatever its case and spacing.
    #[must_use]
    pub fn is_header(&self, cells: &[&str]) -> bool {
        !self.header.is_empty() && self.header == column_names(cells)
    }
}

/// A header's cell made comparable: lower case, brackets and what they hold left out, spaces made one.
#[must_use]
pub fn header_word(cell: &str) -> String {
    let mut depth = 0_u32;
    let mut out = String::new();
    for c in cell.chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ if depth > 0 => {}
            '/' | '.' | '-' | '_' | ':' | '*' | '"' | '\u{feff}' => out.push(' '),
            c if c.is_whitespace() => out.push(' '),
            c => out.extend(c.to_lowercase()),
        }
    }
    let words: Vec<&str> = out.split_whitespace().collect();
    words.join(" ")
}

/// Names for the columns of a header: each cell made comparable; a doubled name is numbered, an empty one is `#` and
/// its place, counted from 1.
#[must_use]
pub fn column_names(cells: &[&str]) -> Vec<String> {
    let mut names: Vec<String> = Vec::with_capacity(cells.len());
    for (idx, cell) in cells.iter().enumerate() {
        let word = header_word(cell);
        let before = cells
            .iter()
            .take(idx)
            .filter(|earlier| header_word(earlier) == word)
            .count();
        names.push(match (word.is_empty(), before) {
            (true, _) => format!("#{}", idx + 1),
            (false, 0) => word,
            (false, before) => format!("{word} #{}", before + 1),
        });
    }
    while names.last().is_some_and(|name| name.starts_with('#')) {
        names.pop();
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_is_known_again_whatever_its_case_and_spacing() {
        let names = column_names(&["Booking  Date", "Amount (EUR)", "", "Text", "text", ""]);
        assert_eq!(names, ["booking date", "amount", "#3", "text", "text #2"]);
        let layout = BankLayout {
            name: "Alder".to_owned(),
            encoding: "UTF-8".to_owned(),
            separator: ';',
            header: names,
            columns: BTreeMap::from([(ColumnRole::Date, vec!["booking date".to_owned()])]),
            dates: DateOrder::Dmy,
            decimal_mark: ',',
            sign: SignRule::AsWritten,
            debits: DebitStyle::Positive,
            balance_is_owed: false,
        };
        assert!(layout.is_header(&["booking date", "AMOUNT [USD]", " ", "Text", "TEXT"]));
        assert!(!layout.is_header(&["booking date", "amount"]));
        let text = serde_json::to_string(&layout).expect("writes");
        assert!(
            text.contains(r#""columns":{"date":["booking date"]}"#),
            "{text}"
        );
        assert_eq!(
            serde_json::from_str::<BankLayout>(&text).expect("reads"),
            layout
        );
    }
}
