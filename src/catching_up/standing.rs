//! How far catching up is: what each step has done and left, which comes next, and when it is offered at all.
//! Everything follows from what the book holds, so that it can be left and taken up again any time.

use chrono::NaiveDate;

use super::AccountMonths;
use crate::dates::{Month, show_day};
use crate::ledger::{AccountId, EntryNumber};
use crate::money::{Currency, Money};
use crate::word_list::word_list;

/// With more statement lines than this to be sorted, catching up is offered.
pub const FAR_BEHIND_LINES: usize = 60;
/// With more days than this since the last entry, catching up is offered.
pub const FAR_BEHIND_DAYS: i64 = 45;

/// How many there are, and what they come to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// How many.
    pub count: usize,
    /// Their amounts together, without their signs.
    pub sum: Money,
}

/// An entry that is to be said more exactly, or that nobody can explain yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkedEntry {
    /// Its number.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// With whom.
    pub party: String,
    /// What the bank wrote.
    pub memo: String,
    /// What it moved on the money's account: positive came in.
    pub amount: Money,
    /// The account it stands on until then.
    pub stands_on: AccountId,
    /// What the owner remembers of it; may be empty.
    pub remembered: String,
    /// Whether the accountant was asked about it.
    pub is_asked: bool,
}

/// How far an account agrees with its statements.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AgreedSo {
    /// The account.
    pub account: AccountId,
    /// Its name.
    pub name: String,
    /// The day up to which it agrees.
    pub agreed_to: Option<NaiveDate>,
    /// The day that its statements reach.
    pub told_to: NaiveDate,
}

impl AgreedSo {
    /// Whether it agrees as far as its statements reach.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.agreed_to.is_some_and(|day| day >= self.told_to)
    }
}

/// How far behind a book is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Behind {
    /// How many statement lines are to be sorted.
    pub n_lines: usize,
    /// The day of the last entry; nothing while there is none.
    pub last_entry: Option<NaiveDate>,
}

impl Behind {
    /// Whether catching up is worth a path of its own.
    #[must_use]
    pub fn is_far(&self, today: NaiveDate) -> bool {
        self.n_lines > FAR_BEHIND_LINES
            || self
                .last_entry
                .is_some_and(|day| (today - day).num_days() > FAR_BEHIND_DAYS)
    }
}

word_list! {
    /// A step of catching up.
    StepKind, "a step of catching up":
    /// Statements of every month are there.
    Statements = "statements" / "Bring the statements",
    /// Their lines are sorted.
    Sort = "sort" / "Sort the lines, largest first",
    /// Rough answers are said more exactly.
    Refine = "refine" / "Say rough answers more exactly",
    /// What nobody could explain is explained.
    Explain = "explain" / "Explain what was unknown",
    /// Receipts are there.
    Receipts = "receipts" / "File the receipts",
    /// Accounts agree with their statements.
    Agree = "agree" / "Agree each account with its statement",
}

/// One step, with what is done and what is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Which step.
    pub kind: StepKind,
    /// How many are done.
    pub done: usize,
    /// How many are open.
    pub open: usize,
    /// What the open ones come to, where that is an amount.
    pub sum: Option<Money>,
    /// It in a sentence.
    pub says: String,
}

impl Step {
    /// Whether nothing is open.
    #[must_use]
    pub const fn is_done(&self) -> bool {
        self.open == 0
    }
}

/// What is complete and what is open, in numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// How many steps have nothing open.
    pub steps_done: usize,
    /// How many steps there are.
    pub steps: usize,
}

/// Everything that catching up goes by.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CatchingUp {
    /// How far behind the book is.
    pub behind: Behind,
    /// The months of each account that has statements.
    pub months: Vec<AccountMonths>,
    /// How many lines are sorted.
    pub n_sorted: usize,
    /// The lines still to be sorted.
    pub to_sort: Tally,
    /// How many of them one word accepts.
    pub n_covered: usize,
    /// How many decisions the others ask.
    pub n_decisions: usize,
    /// Entries from rough answers, the largest first.
    pub rough: Vec<MarkedEntry>,
    /// Entries that nobody can explain yet, the largest first.
    pub unexplained: Vec<MarkedEntry>,
    /// The balance of the account they stand on.
    pub unexplained_balance: Money,
    /// How many were said more exactly since.
    pub n_refined: usize,
    /// Entries whose receipt is missing.
    pub receipts_missing: Tally,
    /// How many entries have a receipt, or something that stands in.
    pub n_receipts: usize,
    /// How far accounts agree.
    pub agreed: Vec<AgreedSo>,
}

impl CatchingUp {
    /// The steps in their order.
    #[must_use]
    pub fn steps(&self, currency: &Currency) -> Vec<Step> {
        vec![
            self.statements(),
            self.sort(currency),
            self.refine(currency),
            self.explain(currency),
            self.receipts(currency),
            self.agree(),
        ]
    }

    /// The first step that has something open.
    #[must_use]
    pub fn next(&self, currency: &Currency) -> Option<StepKind> {
        self.steps(currency)
            .into_iter()
            .find(|step| !step.is_done())
            .map(|step| step.kind)
    }

    /// How many steps are done.
    #[must_use]
    pub fn progress(&self, currency: &Currency) -> Progress {
        let steps = self.steps(currency);
        Progress {
            steps_done: steps.iter().filter(|step| step.is_done()).count(),
            steps: steps.len(),
        }
    }

    fn statements(&self) -> Step {
        let open: usize = self.months.iter().map(|one| one.missing.len()).sum();
        let lacking: Vec<String> = self
            .months
            .iter()
            .filter(|one| !one.missing.is_empty())
            .map(|one| format!("{}: {}", one.name, months_in_words(&one.missing)))
            .collect();
        Step {
            kind: StepKind::Statements,
            done: self.months.iter().map(|one| one.n_there).sum(),
            open,
            sum: None,
            says: if self.months.is_empty() {
                "No statement is here yet.".to_owned()
            } else if open == 0 {
                "Every month has its lines.".to_owned()
            } else {
                format!("Lines are lacking. {}.", lacking.join("; "))
            },
        }
    }

    fn sort(&self, currency: &Currency) -> Step {
        Step {
            kind: StepKind::Sort,
            done: self.n_sorted,
            open: self.to_sort.count,
            sum: Some(self.to_sort.sum),
            says: if self.to_sort.count == 0 {
                "Every line is sorted.".to_owned()
            } else {
                format!(
                    "{} of {} to sort, by about {}; {} by one word.",
                    counted(self.to_sort.count, "line", "lines"),
                    currency.show(self.to_sort.sum),
                    counted(self.n_decisions, "decision", "decisions"),
                    self.n_covered
                )
            },
        }
    }

    fn refine(&self, currency: &Currency) -> Step {
        let sum = sum_of(&self.rough);
        Step {
            kind: StepKind::Refine,
            done: self.n_refined,
            open: self.rough.len(),
            sum: Some(sum),
            says: if self.rough.is_empty() {
                "No answer is rough.".to_owned()
            } else {
                format!(
                    "{} of {} rough: in the books, and to be said more exactly.",
                    counted(self.rough.len(), "entry", "entries"),
                    currency.show(sum)
                )
            },
        }
    }

    fn explain(&self, currency: &Currency) -> Step {
        let sum = sum_of(&self.unexplained);
        Step {
            kind: StepKind::Explain,
            done: 0,
            open: self.unexplained.len(),
            sum: Some(sum),
            says: if self.unexplained.is_empty() {
                "Nothing is unexplained.".to_owned()
            } else {
                format!(
                    "{} of {} not explained yet; the balance is {}.",
                    counted(self.unexplained.len(), "entry", "entries"),
                    currency.show(sum),
                    currency.show(self.unexplained_balance)
                )
            },
        }
    }

    fn receipts(&self, currency: &Currency) -> Step {
        let missing = self.receipts_missing;
        Step {
            kind: StepKind::Receipts,
            done: self.n_receipts,
            open: missing.count,
            sum: Some(missing.sum),
            says: if missing.count == 0 {
                "Every receipt is there or accounted for.".to_owned()
            } else {
                format!(
                    "{} of {} without a receipt.",
                    counted(missing.count, "entry", "entries"),
                    currency.show(missing.sum)
                )
            },
        }
    }

    fn agree(&self) -> Step {
        let open: Vec<String> = self
            .agreed
            .iter()
            .filter(|one| !one.is_done())
            .map(|one| match one.agreed_to {
                None => format!("{} never did", one.name),
                Some(day) => format!("{} does up to {}", one.name, show_day(day)),
            })
            .collect();
        Step {
            kind: StepKind::Agree,
            done: self.agreed.len() - open.len(),
            open: open.len(),
            sum: None,
            says: if self.agreed.is_empty() {
                "No account has a statement yet.".to_owned()
            } else if open.is_empty() {
                "Every account agrees with its statement.".to_owned()
            } else {
                format!("Still to agree: {}.", open.join("; "))
            },
        }
    }
}

fn sum_of(entries: &[MarkedEntry]) -> Money {
    entries.iter().map(|one| one.amount.abs()).sum()
}

fn counted(count: usize, one: &str, several: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {several}")
    }
}

/// Months in words, those that follow each other as one: `January to April 2026, June 2026`.
fn months_in_words(months: &[Month]) -> String {
    let name = |month: Month| format!("{} {}", month.name(), month.year());
    let mut stretches: Vec<(Month, Month)> = Vec::new();
    for month in months {
        match stretches.last_mut() {
            Some((_from, to)) if to.last_day().succ_opt() == Some(month.first_day()) => {
                *to = *month
            }
            _ => stretches.push((*month, *month)),
        }
    }
    let words: Vec<String> = stretches
        .into_iter()
        .map(|(from, to)| {
            if from == to {
                name(from)
            } else if from.year() == to.year() {
                format!("{} to {}", from.name(), name(to))
            } else {
                format!("{} to {}", name(from), name(to))
            }
        })
        .collect();
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_offered_only_when_far_behind() {
        let day = |text: &str| crate::dates::parse_iso(text).expect("a day");
        let today = day("2026-11-25");
        let behind = |n_lines, last: &str| Behind {
            n_lines,
            last_entry: Some(day(last)),
        };
        assert!(!behind(60, "2026-11-24").is_far(today));
        assert!(behind(61, "2026-11-24").is_far(today));
        // By hand: 11 October to 25 November are 45 days.
        assert!(!behind(0, "2026-10-11").is_far(today));
        assert!(behind(0, "2026-10-10").is_far(today));
        assert!(!Behind::default().is_far(today));
    }

    #[test]
    fn months_that_follow_each_other_are_one_stretch() {
        let months: Vec<Month> = [(2025, 12), (2026, 1), (2026, 2), (2026, 4)]
            .map(|(year, month)| Month::new(year, month))
            .into();
        assert_eq!(
            months_in_words(&months),
            "December 2025 to February 2026, April 2026"
        );
        assert_eq!(months_in_words(&months[1..3]), "January to February 2026");
    }
}
