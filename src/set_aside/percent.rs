//! The plain percentage of the year's profit to date, the default until the owner picks another method.
//! The percentage is her own choice and no rate of any office.

use super::{
    CAUTION, Due, Estimate, EstimateLine, Facts, Figure, Instalment, Method, SetAsideError,
};
use crate::dates::show_day;
use crate::money::Money;

/// A plain percentage of profit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PercentOfProfit;

const YOUR_BOOKS: &str = "your books";
const YOUR_CHOICE: &str = "your choice";

impl Method for PercentOfProfit {
    fn name(&self) -> &'static str {
        "percent"
    }

    fn title(&self) -> &'static str {
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
        sheet.keeping_lines(profit, total, to_move);
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
        });
    }
    rows
}

/// The lines as they are numbered.
struct Sheet<'a> {
    facts: &'a Facts,
    lines: Vec<EstimateLine>,
}

impl<'a> Sheet<'a> {
    fn new(facts: &'a Facts) -> Self {
        Self {
            facts,
            lines: Vec::with_capacity(10),
        }
    }

    fn add(
        &mut self,
        key: &'static str,
        label: &str,
        formula: String,
        amount: Figure,
        source: &str,
    ) -> u32 {
        let no = u32::try_from(self.lines.len()).unwrap_or(u32::MAX - 1) + 1;
        self.lines.push(EstimateLine {
            no,
            key,
            label: label.to_owned(),
            formula,
            amount,
            source: source.to_owned(),
        });
        no
    }

    fn amount(&mut self, key: &'static str, label: &str, formula: String, amount: Money) -> u32 {
        self.add(key, label, formula, Figure::Money(amount), YOUR_BOOKS)
    }

    fn profit_lines(&mut self, profit: Money) {
        let facts = self.facts;
        if facts.what_if_profit.is_some() {
            let formula = "the profit you are trying out, for the whole year".to_owned();
            let amount = Figure::Money(profit);
            self.add("profit", "Profit of the year", formula, amount, YOUR_CHOICE);
            return;
        }
        let show = |amount: Money| facts.currency.show(amount);
        let totals = &facts.profit;
        let days = facts.days();
        let span = format!(
            "{} to {}",
            show_day(days.from),
            show_day(facts.as_of.min(days.to))
        );
        let sales = self.amount(
            "sales",
            "Sales, less refunds and discounts",
            span,
            totals.net_sales,
        );
        let sold = self.amount(
            "cost-of-goods-sold",
            "Cost of what was sold",
            "materials, goods and outside work that went into it".to_owned(),
            totals.cost_of_goods_sold,
        );
        let accounts = match facts.cost_accounts {
            1 => "1 account".to_owned(),
            count => format!("{count} accounts"),
        };
        let costs = self.amount(
            "costs",
            "Running costs, with wear of equipment",
            accounts,
            totals.costs,
        );
        let mut formula = format!("{sales} − {sold} − {costs}");
        let mut figures = format!(
            "{} − {} − {}",
            show(totals.net_sales),
            show(totals.cost_of_goods_sold),
            show(totals.costs)
        );
        if !totals.other_income.is_zero() {
            let other = self.amount(
                "other-income",
                "Other income",
                "interest, claims, equipment sold".to_owned(),
                totals.other_income,
            );
            formula = format!("{formula} + {other}");
            figures = if totals.other_income.is_negative() {
                format!("{figures} + ({})", show(totals.other_income))
            } else {
                format!("{figures} + {}", show(totals.other_income))
            };
        }
        self.amount(
            "profit",
            "Profit so far",
            format!("{formula}: {figures}"),
            profit,
        );
    }

    fn keeping_lines(&mut self, profit: Money, total: Money, to_move: Money) {
        let facts = self.facts;
        let show = |amount: Money| facts.currency.show(amount);
        let profit_no = u32::try_from(self.lines.len()).unwrap_or_default();
        let chosen = facts.percent_chosen_on.map_or_else(
            || YOUR_CHOICE.to_owned(),
            |day| format!("{YOUR_CHOICE}, {}", show_day(day)),
        );
        let share = Figure::Percent(facts.percent);
        let share_no = self.add("share", "Share to keep back", chosen, share, YOUR_CHOICE);
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
        let total_no = self.add("total", "To keep back so far", formula, amount, &source);
        let put_by_no = self.amount(
            "put-by",
            "Already put by",
            "balance of the set-aside savings".to_owned(),
            facts.put_by,
        );
        let paid = if facts.already_paid.is_zero() {
            "none this year".to_owned()
        } else {
            "tax instalments of the year".to_owned()
        };
        let paid_no = self.amount("paid", "Already paid", paid, facts.already_paid);
        let formula = format!(
            "{total_no} − {put_by_no} − {paid_no}: {} − {} − {}, never below nothing",
            show(total),
            show(facts.put_by),
            show(facts.already_paid)
        );
        let source = format!("lines {total_no}, {put_by_no} and {paid_no}");
        let amount = Figure::Money(to_move);
        self.add("to-move", "To move now", formula, amount, &source);
    }
}
