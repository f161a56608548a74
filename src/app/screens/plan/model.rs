//! What Plan says, read from the book after each change: the plan with its money and what became of it, what it cost to
//! start, and the estimate of the first year. Drawing is `view` and `start`.

use chrono::NaiveDate;

use crate::app::charts::{LineStroke, TimeLine};
use crate::book::{Book, BookError};
use crate::dates::{DateRange, show_day};
use crate::export::tables::first_year_words;
use crate::ledger::AccountId;
use crate::money::{Currency, Money};
use crate::plan::{How, LineActual, Need};
use crate::reports::{self, PlanReport};
use crate::statements::{CostToStart, StartUpGroup};

/// A line of the plan as the room shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanRow {
    /// Its number in the book.
    pub id: i64,
    /// Its name, with a word before it when it is another way.
    pub name: String,
    /// Kind, month, how, and how it stands.
    pub about: String,
    /// What it may cost and what it did, as shown.
    pub figures: [String; 4],
    /// Whether it counts.
    pub is_counted: bool,
}

/// An account of what it cost to start, and where it counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkRow {
    /// The account.
    pub account: AccountId,
    /// Number and name.
    pub title: String,
    /// The group it counts in.
    pub group: StartUpGroup,
    /// Whether the owner said so.
    pub is_marked: bool,
    /// What was paid.
    pub paid_out: Money,
    /// What was brought in.
    pub brought_in: Money,
}

/// Everything in the room.
#[derive(Clone, Debug)]
pub struct PlanModel {
    /// The plan and what is said of it.
    pub report: PlanReport,
    /// The need in a sentence.
    pub headline: String,
    /// Whether the money lasts.
    pub sentence: String,
    /// What must be had, group by group.
    pub must: Vec<PlanRow>,
    /// What can wait.
    pub later: Vec<PlanRow>,
    /// Plan against actual in a sentence.
    pub against: String,
    /// The months of the chart, and its two lines.
    pub chart: (Vec<String>, Vec<TimeLine>),
    /// What it cost to start.
    pub cost: CostToStart,
    /// Its days.
    pub cost_range: DateRange,
    /// Through which day, in words.
    pub through: String,
    /// Its accounts.
    pub marks: Vec<MarkRow>,
    /// The estimate of the first year in sentences, or why there is none.
    pub first_year: Vec<String>,
}

impl PlanModel {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book, today: NaiveDate) -> Result<Self, BookError> {
        let currency = book.currency();
        let report = reports::plan(book, today)?;
        let cost = reports::start_cost(book, today)?;
        let estimate = reports::start_estimate(book, &cost, today)?;
        let marked = book.start_up_marks()?;
        let marks = cost
            .lines
            .iter()
            .map(|line| MarkRow {
                account: line.account,
                title: format!("{} {}", line.number, line.name),
                group: line.group,
                is_marked: marked.contains_key(&line.account),
                paid_out: line.paid_out,
                brought_in: line.brought_in,
            })
            .collect();
        let through = if cost.through < today {
            format!("Everything up to {}.", show_day(cost.through))
        } else {
            "Everything so far; it stops with the first sale, or on the day you opened.".to_owned()
        };
        let rows = |need| rows(&report, need, currency);
        Ok(Self {
            headline: headline(&report, currency),
            sentence: report.course.sentence(currency),
            must: rows(Need::Must),
            later: rows(Need::Later),
            against: against(&report, currency),
            chart: chart(&report),
            cost_range: DateRange {
                from: book.first_day(),
                to: cost.through.max(book.first_day()),
            },
            through,
            marks,
            first_year: first_year_words(&estimate, currency),
            cost,
            report,
        })
    }
}

fn headline(report: &PlanReport, currency: &Currency) -> String {
    let need = report.plan.need(None);
    let likely = currency.show(need.likely);
    if need.is_certain() {
        format!("Starting needs {likely}.")
    } else {
        format!(
            "Starting needs about {likely}, between {} and {}.",
            currency.show(need.low),
            currency.show(need.high)
        )
    }
}

fn against(report: &PlanReport, currency: &Currency) -> String {
    let actual = &report.actual;
    let show = |amount| currency.show(amount);
    if actual.lines.iter().all(|line| line.bought.is_empty()) {
        return "Nothing of the plan is bought yet. A line becomes a purchase on its own page."
            .to_owned();
    }
    let planned: Money = actual
        .lines
        .iter()
        .filter(|line| line.is_bought())
        .map(|line| line.planned().likely)
        .sum();
    let over = actual.actual - planned;
    let how = if over.is_zero() {
        "just as planned".to_owned()
    } else if over.is_negative() {
        format!("{} less than planned", show(-over))
    } else {
        format!("{} more than planned", show(over))
    };
    let rest = if actual.to_buy.likely.is_zero() {
        "Nothing is left to buy.".to_owned()
    } else {
        format!(
            "Still to buy: about {}, which makes {} together.",
            show(actual.to_buy.likely),
            show(actual.expected())
        )
    };
    format!("You spent {} on it, {how}. {rest}", show(actual.actual))
}

fn chart(report: &PlanReport) -> (Vec<String>, Vec<TimeLine>) {
    let months = &report.actual.months;
    let labels = months
        .iter()
        .map(|(month, _planned, _spent)| crate::app::forms::plan::month_words(*month))
        .collect();
    let line = |name: &str, stroke, amounts| TimeLine {
        name: name.to_owned(),
        amounts,
        stroke,
    };
    let lines = vec![
        line(
            "spent",
            LineStroke::Solid,
            months
                .iter()
                .map(|(_month, _planned, spent)| *spent)
                .collect(),
        ),
        line(
            "planned",
            LineStroke::Dashed,
            months
                .iter()
                .map(|(_month, planned, _spent)| *planned)
                .collect(),
        ),
    ];
    (labels, lines)
}

/// The groups whose line that counts has this need; the first line of a group stands for it when none counts.
fn rows(report: &PlanReport, need: Need, currency: &Currency) -> Vec<PlanRow> {
    let mut rows = Vec::new();
    for group in report.plan.groups() {
        let stands = group.iter().find(|line| line.is_chosen).or(group.first());
        if stands.is_none_or(|line| line.need != need) {
            continue;
        }
        for line in &group {
            let one = report
                .actual
                .lines
                .iter()
                .find(|one| one.line.id == line.id);
            if let Some(one) = one {
                rows.push(row(one, group.len() > 1, currency));
            }
        }
    }
    rows
}

fn row(one: &LineActual, is_of_group: bool, currency: &Currency) -> PlanRow {
    let line = &one.line;
    let mut about = vec![line.kind.plain().to_lowercase()];
    about.extend(line.how.map(|how| match how {
        How::Owned => "owned already".to_owned(),
        how => how.plain().to_lowercase(),
    }));
    about.extend(line.month.map(|month| month.to_string()));
    about.push(standing(one, is_of_group));
    let amount = |amount: Money, is_shown: bool| {
        if is_shown {
            currency.show(amount)
        } else {
            String::new()
        }
    };
    PlanRow {
        id: line.id,
        name: if line.alternative_of.is_some() {
            format!("or {}", line.name)
        } else {
            line.name.clone()
        },
        about: about.join(", "),
        figures: [
            amount(line.cost.low, !line.cost.is_certain()),
            amount(line.cost.likely, true),
            amount(line.cost.high, !line.cost.is_certain()),
            amount(one.actual, one.is_bought()),
        ],
        is_counted: line.is_chosen,
    }
}

/// How a line stands, in a few words.
pub fn standing(one: &LineActual, is_of_group: bool) -> String {
    let is_lost = one.bought.iter().any(|bought| bought.is_lost);
    if is_lost {
        return "a purchase of it is called otherwise now".to_owned();
    }
    match (one.is_bought(), one.line.is_chosen, is_of_group) {
        (true, _, _) => "bought",
        (false, true, true) => "chosen",
        (false, true, false) => "to buy",
        (false, false, true) => "not chosen",
        (false, false, false) => "left out for now",
    }
    .to_owned()
}
