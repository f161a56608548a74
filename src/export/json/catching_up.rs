//! Catching up as JSON: its steps, lots of lines that are alike, entries that are rough or not explained.
//! What they say is worked out before.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::catching_up::{CatchingUp, MarkedEntry, Tally};
use crate::ledger::Chart;
use crate::money::{Currency, Money};
use crate::sorting::Alike;

/// How far catching up is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CatchingUpJson {
    #[serde(flatten)]
    as_of: AsOf,
    far_behind: bool,
    last_entry: Option<NaiveDate>,
    next: Option<&'static str>,
    steps_done: usize,
    steps: Vec<StepJson>,
    accounts: Vec<AccountJson>,
    to_sort: ToSortJson,
    rough: TallyJson,
    not_explained: NotExplainedJson,
    receipts_missing: TallyJson,
    not_agreed: Vec<AgreedJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StepJson {
    step: &'static str,
    what: &'static str,
    done: usize,
    open: usize,
    amount: Option<String>,
    says: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct AccountJson {
    account: String,
    lines: usize,
    last_line: Option<NaiveDate>,
    months_there: usize,
    months_missing: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TallyJson {
    count: usize,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ToSortJson {
    lines: usize,
    amount: String,
    by_one_word: usize,
    decisions: usize,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct NotExplainedJson {
    count: usize,
    amount: String,
    balance: String,
    entries: Vec<MarkedJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct AgreedJson {
    account: String,
    agreed_to: Option<NaiveDate>,
    told_to: NaiveDate,
}

/// An entry that is rough or not explained.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MarkedJson {
    entry: u64,
    date: NaiveDate,
    party: String,
    memo: String,
    amount: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    stands_on: Option<String>,
    remembered: String,
    asked: bool,
}

/// Entries that are rough or not explained.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MarkedEntriesJson {
    currency: String,
    entries: Vec<MarkedJson>,
}

/// The lots of lines that are alike.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LotsJson {
    currency: String,
    by_one_word: usize,
    decisions: Vec<LotJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LotJson {
    name: String,
    text: String,
    direction: &'static str,
    lines: Vec<i64>,
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    amount: String,
    suggested: Option<String>,
}

/// How far catching up is, as JSON.
#[must_use]
pub fn catching_up(standing: &CatchingUp, as_of: NaiveDate, currency: &Currency) -> CatchingUpJson {
    let steps = standing.steps(currency);
    let tally = |tally: Tally| TallyJson {
        count: tally.count,
        amount: currency.plain(tally.sum),
    };
    CatchingUpJson {
        as_of: AsOf::new(currency, as_of),
        far_behind: standing.behind.is_far(as_of),
        last_entry: standing.behind.last_entry,
        next: standing
            .next(currency)
            .map(crate::catching_up::StepKind::as_str),
        steps_done: standing.progress(currency).steps_done,
        steps: steps
            .into_iter()
            .map(|step| StepJson {
                step: step.kind.as_str(),
                what: step.kind.plain(),
                done: step.done,
                open: step.open,
                amount: step.sum.map(|sum| currency.plain(sum)),
                says: step.says,
            })
            .collect(),
        accounts: standing
            .months
            .iter()
            .map(|one| AccountJson {
                account: one.name.clone(),
                lines: one.n_lines,
                last_line: one.last_line,
                months_there: one.n_there,
                months_missing: one
                    .missing
                    .iter()
                    .map(|month| format!("{:04}-{:02}", month.year(), month.month()))
                    .collect(),
            })
            .collect(),
        to_sort: ToSortJson {
            lines: standing.to_sort.count,
            amount: currency.plain(standing.to_sort.sum),
            by_one_word: standing.n_covered,
            decisions: standing.n_decisions,
        },
        rough: tally(Tally {
            count: standing.rough.len(),
            sum: sum(&standing.rough),
        }),
        not_explained: NotExplainedJson {
            count: standing.unexplained.len(),
            amount: currency.plain(sum(&standing.unexplained)),
            balance: currency.plain(standing.unexplained_balance),
            entries: standing
                .unexplained
                .iter()
                .map(|one| marked(one, None, currency))
                .collect(),
        },
        receipts_missing: tally(standing.receipts_missing),
        not_agreed: standing
            .agreed
            .iter()
            .filter(|one| !one.is_done())
            .map(|one| AgreedJson {
                account: one.name.clone(),
                agreed_to: one.agreed_to,
                told_to: one.told_to,
            })
            .collect(),
    }
}

fn sum(entries: &[MarkedEntry]) -> Money {
    entries.iter().map(|one| one.amount.abs()).sum()
}

fn marked(one: &MarkedEntry, chart: Option<&Chart>, currency: &Currency) -> MarkedJson {
    MarkedJson {
        entry: one.number.0,
        date: one.date,
        party: one.party.clone(),
        memo: one.memo.clone(),
        amount: currency.plain(one.amount),
        stands_on: chart.map(|chart| chart.title(one.stands_on)),
        remembered: one.remembered.clone(),
        asked: one.is_asked,
    }
}

/// Entries that are rough or not explained, as JSON.
#[must_use]
pub fn marked_entries(
    list: &[MarkedEntry],
    chart: &Chart,
    currency: &Currency,
) -> MarkedEntriesJson {
    MarkedEntriesJson {
        currency: currency.code().to_owned(),
        entries: list
            .iter()
            .map(|one| marked(one, Some(chart), currency))
            .collect(),
    }
}

/// The lots of lines that are alike, as JSON.
#[must_use]
pub fn lots(lots: &[Alike], by_one_word: usize, chart: &Chart, currency: &Currency) -> LotsJson {
    LotsJson {
        currency: currency.code().to_owned(),
        by_one_word,
        decisions: lots
            .iter()
            .map(|lot| LotJson {
                name: lot.name(),
                text: lot
                    .lines
                    .first()
                    .map_or_else(String::new, |line| line.text.clone()),
                direction: lot.direction.as_str(),
                lines: lot.lines.iter().map(|line| line.id.0).collect(),
                from: lot.lines.first().map(|line| line.date),
                to: lot.lines.last().map(|line| line.date),
                amount: currency.plain(lot.total()),
                suggested: lot.treatment().map(|treatment| treatment.sentence(chart)),
            })
            .collect(),
    }
}
