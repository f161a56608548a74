//! The answers of an unusual happening while they are typed, and as sheets write them.
//! How they are drawn is `view`'s.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::rows::RowDraft;
use crate::app::action::StockMove;
use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::input::Problem;
use crate::app::forms::stock::stock_of;
use crate::app::widgets::parse_day;
use crate::dates::show_day;
use crate::ledger::Role;
use crate::matters::{Matter, MatterKind};
use crate::occasions::{self, Ask, AskKind, Known, Occasion, Reading, Start, Told, What};
use crate::stock::BatchNote;

/// An unusual happening being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct OccasionDraft {
    /// Which one, by its key.
    pub key: String,
    /// What stands in each field.
    pub values: BTreeMap<String, String>,
    /// The rows of those that have several.
    pub rows: BTreeMap<String, Vec<RowDraft>>,
    /// What stood in the fields at first.
    start: BTreeMap<String, String>,
}

impl OccasionDraft {
    /// The empty form of an occasion, with what is usual in it.
    #[must_use]
    pub fn new(occasion: &Occasion, facts: &Facts) -> Self {
        // The only one that is open is offered where an amount is typed all the same; what ends with one key is chosen.
        let mut asks = occasion.asks.iter();
        let offers_only = asks.any(|ask| ask.is_needed && ask.kind == AskKind::Amount);
        let mut values = BTreeMap::new();
        for ask in occasion.asks {
            let number = |role: Role| {
                let account = facts.role(role).and_then(|id| facts.account(id));
                account.map(|account| match ask.kind {
                    AskKind::Account(occasions::Accounts::Costs) => account.name.clone(),
                    _ => account.number.clone(),
                })
            };
            let text = match ask.start {
                Start::Empty => match ask.kind {
                    AskKind::Matter(kind) if offers_only => the_only(kind, facts),
                    _ => None,
                },
                Start::Today => Some(show_day(facts.today)),
                Start::YearEnd => Some(show_day(nearest_year_end(facts))),
                Start::Bank => number(Role::BusinessBank),
                Start::Cash => number(Role::CashBox),
                Start::Words(words) => match (ask.kind, words.parse::<Role>()) {
                    (AskKind::Account(_), Ok(role)) => number(role),
                    _ => Some(words.to_owned()),
                },
            };
            values.insert(ask.key.to_owned(), text.unwrap_or_default());
        }
        Self {
            key: occasion.key.to_owned(),
            start: values.clone(),
            values,
            rows: BTreeMap::new(),
        }
    }

    /// The same with a field filled in.
    #[must_use]
    pub fn with(mut self, key: &str, text: &str) -> Self {
        if self.values.contains_key(key) && !text.is_empty() {
            self.values.insert(key.to_owned(), text.to_owned());
        }
        self
    }

    /// The occasion, if the program still knows it.
    #[must_use]
    pub fn occasion(&self) -> Option<&'static Occasion> {
        occasions::of_key(&self.key)
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.values == self.start && self.rows.values().flatten().all(RowDraft::is_empty)
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self) -> Question {
        Question {
            document: self.values.get("order").cloned().unwrap_or_default(),
            ..Question::default()
        }
    }

    /// What it is about, for its name among what is kept for later.
    #[must_use]
    pub fn about(&self) -> &str {
        let first = self.occasion().and_then(|one| one.asks.first());
        first
            .and_then(|ask| self.values.get(ask.key))
            .map_or("", String::as_str)
    }

    /// Adds a row to the first question that has several.
    pub fn add_line(&mut self) {
        let Some(occasion) = self.occasion() else {
            return;
        };
        if let Some(ask) = occasion.asks.iter().find(|ask| is_rows(ask.kind)) {
            let rows = self.rows.entry(ask.key.to_owned()).or_default();
            rows.push(RowDraft::added());
        }
    }

    /// The answers as sheets write them; what cannot be read stays as it was typed, and is refused beside its field.
    #[must_use]
    pub fn answers(&self, occasion: &Occasion, facts: &Facts) -> BTreeMap<String, String> {
        occasion
            .asks
            .iter()
            .map(|ask| (ask.key.to_owned(), self.answer(ask, facts)))
            .collect()
    }

    fn answer(&self, ask: &Ask, facts: &Facts) -> String {
        if is_rows(ask.kind) {
            let rows = self.rows.get(ask.key).map_or(&[][..], Vec::as_slice);
            let all: Vec<String> = rows
                .iter()
                .filter(|row| !row.is_empty())
                .map(|row| row.answer(ask.kind, facts))
                .collect();
            return all.join(";");
        }
        let typed = self.values.get(ask.key).map_or("", |text| text.trim());
        if typed.is_empty() {
            return String::new();
        }
        match ask.kind {
            AskKind::Day => parse_day(typed, facts.today)
                .map_or_else(|| typed.to_owned(), |day| day.to_string()),
            AskKind::Amount => facts.currency.parse_typed(typed).map_or_else(
                |_error| typed.to_owned(),
                |amount| facts.currency.plain(amount),
            ),
            AskKind::Percent | AskKind::Number | AskKind::Count => {
                typed.trim_end_matches('%').trim().replace(',', ".")
            }
            _ => typed.to_owned(),
        }
    }

    /// What the answers come to.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn told(&self, facts: &Facts) -> Result<Told, Vec<Problem>> {
        let Some(occasion) = self.occasion() else {
            return Err(vec![Problem::wrong("", "this form is not known here")]);
        };
        let answers = self.answers(occasion, facts);
        let known = Known {
            chart: &facts.chart,
            currency: &facts.currency,
            first_day: facts.first_day,
            lock_date: facts.lock_date,
            items: &facts.occasions.items,
            bundles: &facts.occasions.bundles,
            matters: &facts.occasions.matters,
            sales: &facts.asked.sales,
            stall_fees: &facts.occasions.stall_fees,
        };
        Reading::new(occasion, &answers, known)
            .tell()
            .map_err(|wrong| {
                wrong
                    .into_iter()
                    .map(|one| Problem {
                        is_missing: one.is_missing,
                        ..Problem::wrong(one.field, one.message)
                    })
                    .collect()
            })
    }

    /// What it moves in stock, as far as it can be read.
    #[must_use]
    pub fn moved(&self, facts: &Facts) -> Option<StockMove> {
        match self.told(facts).ok()?.what {
            What::Nothing => None,
            What::Entry(recording) => stock_of(&recording, &facts.stock),
            What::Stock {
                header,
                lines,
                movements,
            } => (!movements.is_empty()).then(|| StockMove {
                header,
                lines,
                movements,
                note: BatchNote::default(),
                done: String::new(),
            }),
        }
    }
}

/// Whether a next step of a matter can be told.
pub(super) fn can_be_meant(matter: &Matter) -> bool {
    matter.is_open() || matter.kind == MatterKind::Untaxed
}

/// The key of the only matter of a kind that is open.
fn the_only(kind: MatterKind, facts: &Facts) -> Option<String> {
    let mut open = facts
        .occasions
        .matters
        .of_kind(kind)
        .filter(|matter| can_be_meant(matter));
    match (open.next(), open.next()) {
        (Some(only), None) => Some(only.key.clone()),
        _ => None,
    }
}

/// Whether a question is answered in rows.
pub(super) const fn is_rows(kind: AskKind) -> bool {
    matches!(
        kind,
        AskKind::Pieces | AskKind::PricedPieces | AskKind::Amounts
    )
}

/// The last day of the financial year that ends nearest to today, unless the book began after it.
fn nearest_year_end(facts: &Facts) -> chrono::NaiveDate {
    let this = facts.years.containing(facts.today);
    let last = this.from.pred_opt().unwrap_or(this.to);
    if last >= facts.first_day && facts.today - last < this.to - facts.today {
        last
    } else {
        this.to
    }
}
