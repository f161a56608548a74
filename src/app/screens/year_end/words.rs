//! What the trade's words on the statements mean, in plain ones: beneath the pointer, and as a short list that can be
//! opened over each statement. Only those that the statement in sight uses are told.

use super::statements::{Paper, Statement};

/// A word of the trade with what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Word {
    /// The word, as it is written within a line.
    pub word: &'static str,
    /// What it means.
    pub means: &'static str,
}

const fn word(word: &'static str, means: &'static str) -> Word {
    Word { word, means }
}

const ACCRUAL: Word = word(
    "accrual basis",
    "sales and costs count on the day they happen, whether or not money moved on that day",
);
const CASH: Word = word(
    "cash basis",
    "sales and costs count on the day they are paid",
);

/// The words over columns. An account may be called a credit card and means nothing of the kind.
const OVER_COLUMNS: [Word; 2] = [
    word(
        "debit",
        "the left column: what the business has, what was spent, and what you took out",
    ),
    word(
        "credit",
        "the right column: what it owes, what it earned, and what you put in",
    ),
];

/// The words within titles and lines.
const WITHIN: [Word; 20] = [
    ACCRUAL,
    CASH,
    word(
        "trial balance",
        "every account with what stands on it; both columns must come to the same, or something is missing",
    ),
    word(
        "balance sheet",
        "what the business has on one day, and whose it is: others' or yours",
    ),
    word(
        "assets",
        "everything the business has: money, stock, equipment, and what others owe it",
    ),
    word("liabilities", "everything the business owes to others"),
    word(
        "equity",
        "what belongs to you: what the business has, less what it owes",
    ),
    word(
        "capital",
        "what belongs to you in the business: what you put in and its profit, less what you took out",
    ),
    word("drawings", "what you took out of the business for yourself"),
    word("brought forward", "from earlier years, which are closed"),
    word(
        "carried forward",
        "paid already, and made a cost little by little in the years to come",
    ),
    word("net sales", "what was sold, less refunds and discounts"),
    word(
        "cost of goods sold",
        "what the things that were sold had cost to make or to buy",
    ),
    word(
        "gross profit",
        "net sales less cost of goods sold; the running costs still come off it",
    ),
    word(
        "depreciation",
        "wear: what equipment loses in worth, spread over the years it lasts; accumulated, all of it so far",
    ),
    word(
        "at cost",
        "what it was bought for, before any wear is taken off",
    ),
    word(
        "book value",
        "what it was bought for less its wear so far; not its price if you sold it",
    ),
    word("allowances", "given back because something was not right"),
    word(
        "constructive receipt",
        "money counts as yours from the day you could have had it, not from the day you took it",
    ),
    word(
        "payouts",
        "what a shop sends you of your sales after its fees",
    ),
];

/// The words of the trade in a line, with what they mean, to be said under the pointer; empty when there is none.
#[must_use]
pub fn hint(line: &str) -> String {
    let line = line.to_lowercase();
    let found = WITHIN.iter().filter(|one| has(&line, one.word));
    let told: Vec<String> = found.map(Word::told).collect();
    told.join("\n")
}

/// Whether a word stands in a text by itself, not as a part of another.
fn has(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, found)| {
        let (before, after) = (&text[..at], &text[at + found.len()..]);
        !before.ends_with(char::is_alphanumeric) && !after.starts_with(char::is_alphanumeric)
    })
}

/// The words of the trade on a statement.
#[must_use]
pub fn words_on(which: Statement, paper: &Paper) -> Vec<Word> {
    let mut text = format!("{} {}", paper.title, paper.about).to_lowercase();
    for row in &paper.rows {
        text.push('\n');
        text.push_str(&row.label.to_lowercase());
    }
    let is_over = |one: &&Word| {
        let mut columns = paper.columns.iter();
        columns.any(|column| column.to_lowercase() == one.word)
    };
    let is_within = |one: &&Word| {
        let is_choice = which.has_basis() && (**one == ACCRUAL || **one == CASH);
        let is_column = paper
            .columns
            .iter()
            .any(|column| has(&column.to_lowercase(), one.word));
        is_choice || is_column || has(&text, one.word)
    };
    let within = WITHIN.iter().filter(is_within);
    within
        .chain(OVER_COLUMNS.iter().filter(is_over))
        .copied()
        .collect()
}

impl Word {
    /// The word and what it means, as a sentence.
    #[must_use]
    pub fn told(&self) -> String {
        format!("{}: {}.", crate::app::sentence(self.word), self.means)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_tells_the_words_it_uses_and_no_others() {
        assert_eq!(
            hint("Liabilities together"),
            "Liabilities: everything the business owes to others."
        );
        assert_eq!(hint("2010 Credit card"), "");
        assert!(hint("1590 Accumulated depreciation").starts_with("Depreciation: wear"));
        assert_eq!(hint("What cost most"), "");
    }

    #[test]
    fn only_a_column_is_called_debit() {
        let paper = Paper {
            title: "Trial balance".to_owned(),
            columns: vec!["Debit".to_owned(), "Credit".to_owned()],
            ..Paper::default()
        };
        let words = |which, paper: &Paper| -> Vec<&str> {
            let words = words_on(which, paper).into_iter();
            words.map(|one| one.word).collect()
        };
        assert_eq!(
            words(Statement::Trial, &paper),
            ["trial balance", "debit", "credit"]
        );
        let card = Paper {
            rows: vec![crate::app::widgets::StatementRow::new(
                "2010 Credit card",
                Vec::new(),
            )],
            ..Paper::default()
        };
        assert!(words(Statement::Balance, &card).is_empty());
        assert_eq!(
            words(Statement::Profit, &Paper::default()),
            ["accrual basis", "cash basis"]
        );
    }
}
