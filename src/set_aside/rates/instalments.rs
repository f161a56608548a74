//! A worksheet's instalments: equal parts, or a line for each; by annualised income where a place has it, whichever is
//! lower, with what an earlier lower one left made up by a later one. Whether one is late is said; no addition is worked.

use rust_decimal::Decimal;

use super::evaluate::Worked;
use super::place::PlaceMethod;
use super::say::money;
use super::worksheet::Annualised;
use crate::dates::show_day;
use crate::money::Money;
use crate::set_aside::{Columns, Due, Facts, Instalment, SetAsideError};

/// The instalments of a year.
pub(super) fn work(
    method: &PlaceMethod<'_>,
    facts: &Facts,
    worked: &Worked<'_>,
    dues: &[Due],
) -> Result<Vec<Instalment>, SetAsideError> {
    let rules = &method.sheet.instalments;
    let amount = |key: &str| money(worked.line(key), &facts.currency).max(Money::ZERO);
    let Some(equal) = &rules.equal else {
        let parts = rules.parts.iter().zip(dues);
        return Ok(parts
            .map(|((label, line), due)| Instalment {
                label: label.clone(),
                ..plain(due, worked, facts, amount(line))
            })
            .collect());
    };
    let parts = amount(equal).allocate(&vec![1; dues.len()]);
    let Some(annualised) = &rules.annualised else {
        let parts = dues.iter().zip(parts);
        return Ok(parts
            .map(|(due, part)| plain(due, worked, facts, part))
            .collect());
    };
    by_periods(method, facts, worked, dues, &parts, annualised)
}

fn plain(due: &Due, worked: &Worked<'_>, facts: &Facts, needed: Money) -> Instalment {
    let profit = worked.inputs.facts.get("profit").copied();
    let note = if needed.is_zero() { "none" } else { "" };
    Instalment {
        no: due.no,
        period: due.period,
        due: due.due,
        moved_because: due.moved_because.clone(),
        profit_to_date: money(profit.unwrap_or_default(), &facts.currency),
        needed,
        note: note.to_owned(),
        label: String::new(),
        columns: None,
    }
}

/// Each period's income taken for the year, its tax, the share due by then, less what earlier instalments asked for.
fn by_periods(
    method: &PlaceMethod<'_>,
    facts: &Facts,
    worked: &Worked<'_>,
    dues: &[Due],
    parts: &[Money],
    rules: &Annualised,
) -> Result<Vec<Instalment>, SetAsideError> {
    let currency = &facts.currency;
    let show = |amount: Money| currency.show(amount);
    let withheld = money(worked.line(&rules.withheld), currency);
    let is_tried = facts.what_if_profit.is_some();
    let mut asked = Money::ZERO;
    let mut equal_so_far = Money::ZERO;
    let mut rows = Vec::with_capacity(dues.len());
    for (idx, due) in dues.iter().enumerate() {
        equal_so_far += parts.get(idx).copied().unwrap_or_default();
        let equal = (equal_so_far - asked).max(Money::ZERO);
        let has_begun = due.period.from <= facts.as_of && !is_tried;
        let sums = facts.worksheet.through_periods.get(idx).copied();
        let sums = sums.unwrap_or_default();
        let (mut annual, mut formula) = (None, String::new());
        if let (true, Some(period)) = (has_begun, rules.periods.get(idx)) {
            let year = method.work(facts, sums.times(period.factor), false)?;
            let tax = money(year.line(&rules.tax), currency);
            let quarters = Decimal::from(idx + 1) / Decimal::from(dues.len());
            let paid = withheld.times(quarters);
            let due_by_then = tax.times(period.share);
            let amount = (due_by_then - paid - asked).max(Money::ZERO);
            formula = format!(
                "profit so far {} \u{d7} {} is {} for a year; tax on it {}; {} % of that less {} asked before{}",
                show(sums.profit),
                period.factor.normalize(),
                show(sums.profit.times(period.factor)),
                show(tax),
                (period.share * Decimal::ONE_HUNDRED).normalize(),
                show(asked),
                if paid.is_zero() {
                    String::new()
                } else {
                    format!(" and {} withheld", show(paid))
                }
            );
            annual = Some(amount);
        }
        let needed = annual.map_or(equal, |annual| annual.min(equal));
        asked += needed;
        let note = if !has_begun && !is_tried {
            "not yet begun; in equal parts"
        } else if sums.profit.is_negative() && has_begun {
            "none: a loss"
        } else if needed.is_zero() {
            "none"
        } else if annual.is_some_and(|annual| annual < equal) {
            "lower by the season"
        } else {
            ""
        };
        rows.push(Instalment {
            no: due.no,
            period: due.period,
            due: due.due,
            moved_because: due.moved_because.clone(),
            profit_to_date: if is_tried {
                facts.what_if_profit.unwrap_or_default()
            } else {
                sums.profit
            },
            needed,
            note: note.to_owned(),
            label: String::new(),
            columns: Some(Columns {
                equal,
                annualised: annual,
                formula,
            }),
        });
    }
    Ok(rows)
}

/// What is said when a day has passed and less was paid than was asked until then.
pub(super) fn late(
    method: &PlaceMethod<'_>,
    facts: &Facts,
    instalments: &[Instalment],
) -> Option<String> {
    if facts.what_if_profit.is_some() {
        return None;
    }
    let passed: Vec<&Instalment> = instalments
        .iter()
        .filter(|one| one.due < facts.as_of)
        .collect();
    let asked: Money = passed.iter().map(|one| one.needed).sum();
    let short = asked - facts.already_paid;
    let last = passed.last()?;
    short.is_positive().then(|| {
        format!(
            "By {} {} was to be paid and {} is written down as paid: {} less. {}",
            show_day(last.due),
            facts.currency.show(asked),
            facts.currency.show(facts.already_paid),
            facts.currency.show(short),
            method.sheet.instalments.late
        )
    })
}
