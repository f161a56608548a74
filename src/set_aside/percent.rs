//! The plain percentage of the year's profit to date, the default until the owner picks another method.
//! The percentage is her own choice and no rate of any office.

use super::sheet::{Sheet, YOUR_CHOICE};
use super::{CAUTION, Due, Estimate, Facts, Figure, Instalment, Method, SetAsideError};
use crate::dates::show_day;
use crate::money::Money;

/// A plain percentage of profit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PercentOfProfit;

impl Method for PercentOfProfit {
    fn name(&self) -> &str {
        "percent"
    }

    fn title(&self) -> &str {
        "A plain share of profit"
    }

    fn estimate(&self, facts: &Facts) -> Result<Estimate, SetAsideError> {
        let days = facts.days();
        if facts.as_of < days.from && facts.what_if_profit.is_none() {
            return Err(SetAsideError::NotBegun {
                year: facts.year,
                day: show_day(facts.as_of),
            });
        }
        let dues = facts.calendar.dues(facts.year, facts.years)?;
        let profit = facts.what_if_profit.unwrap_or(facts.profit.net_profit);
        let total = needed_for(profit, facts);
        let to_move = (total - facts.put_by - facts.already_paid).max(Money::ZERO);
        let mut sheet = Sheet::new(facts);
        sheet.profit_lines(profit);
        let total_no = keeping_lines(&mut sheet, facts, profit, total);
        sheet.balance_lines(total_no, total, to_move);
        Ok(Estimate {
            year: facts.year,
            method: self.name().to_owned(),
            as_of: facts.as_of.min(days.to),
            profit,
            lines: sheet.lines,
            total,
            already_paid: facts.already_paid,
            put_by: facts.put_by,
            to_move,
            instalments: instalments(facts, &dues),
            dates_source: facts.calendar.source.clone(),
            notes: notes(facts, profit, total),
            caution: CAUTION,
            title: self.title().to_owned(),
            tax_year: days,
            year_total: total,
            forecast: None,
            rates: None,
            warnings: Vec::new(),
        })
    }
}

/// The share of a profit, nothing of a loss.
fn needed_for(profit: Money, facts: &Facts) -> Money {
    profit.max(Money::ZERO).share(facts.percent)
}

fn notes(facts: &Facts, profit: Money, total: Money) -> Vec<String> {
    let mut notes = Vec::new();
    if profit.is_negative() {
        notes.push("The year so far is a loss, so nothing needs to be kept back.".to_owned());
    } else if profit.is_zero() {
        notes.push("There is no profit so far, so nothing needs to be kept back.".to_owned());
    }
    let kept = facts.put_by + facts.already_paid;
    if kept > total && !kept.is_zero() {
        let more = facts.currency.show(kept - total);
        notes.push(format!(
            "{more} more is put by or paid than is needed so far."
        ));
    }
    if facts.what_if_profit.is_some() {
        notes.push(
            "The profit is one you are trying out; its instalments are spread evenly.".to_owned(),
        );
    }
    notes
}

/// Each instalment brings what was asked for so far up to the share of the cumulative profit, and is never below
/// nothing: when a later period makes a loss, nothing more is asked until profit has caught up.
fn instalments(facts: &Facts, dues: &[Due]) -> Vec<Instalment> {
    let tried = facts
        .what_if_profit
        .map(|profit| needed_for(profit, facts).allocate(&vec![1; dues.len()]));
    let mut asked = Money::ZERO;
    let mut rows = Vec::with_capacity(dues.len());
    for (idx, due) in dues.iter().enumerate() {
        let has_begun = due.period.from <= facts.as_of;
        let (profit_to_date, needed) = match (&tried, facts.what_if_profit) {
            (Some(parts), Some(profit)) => (profit, parts.get(idx).copied().unwrap_or_default()),
            _ => {
                let profit = facts.profit_through(due.period.to);
                (profit, (needed_for(profit, facts) - asked).max(Money::ZERO))
            }
        };
        let needed = if has_begun || tried.is_some() {
            needed
        } else {
            Money::ZERO
        };
        asked += needed;
        let note = if tried.is_none() && !has_begun {
            "not yet begun"
        } else if profit_to_date.is_negative() {
            "none: a loss"
        } else if needed.is_zero() && asked.is_positive() {
            "none: enough was asked before"
        } else {
            ""
        };
        rows.push(Instalment {
            no: due.no,
            period: due.period,
            due: due.due,
            moved_because: due.moved_because.clone(),
            profit_to_date,
            needed,
            note: note.to_owned(),
            label: String::new(),
            columns: None,
        });
    }
    rows
}

/// The share, and what it comes to.
fn keeping_lines(sheet: &mut Sheet<'_>, facts: &Facts, profit: Money, total: Money) -> u32 {
    let show = |amount: Money| facts.currency.show(amount);
    let profit_no = u32::try_from(sheet.lines.len()).unwrap_or_default();
    let chosen = facts.percent_chosen_on.map_or_else(
        || YOUR_CHOICE.to_owned(),
        |day| format!("{YOUR_CHOICE}, {}", show_day(day)),
    );
    let share = Figure::Percent(facts.percent);
    let share_no = sheet.add("share", "Share to keep back", chosen, share, YOUR_CHOICE);
    let formula = if profit.is_positive() {
        format!(
            "{profit_no} × {share_no}: {} × {} %",
            show(profit),
            facts.percent
        )
    } else {
        format!("nothing of a loss: {profit_no} is {}", show(profit))
    };
    let source = format!("lines {profit_no} and {share_no}");
    let amount = Figure::Money(total);
    sheet.add("total", "To keep back so far", formula, amount, &source)
}
