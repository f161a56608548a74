//! A sheet as it is written: its lines numbered as they come, the profit from the books first, what is put by last.
//! What lies between them is the method's.

use super::{EstimateLine, Facts, Figure};
use crate::dates::show_day;
use crate::money::Money;

/// Where a figure comes from that the books tell.
pub(super) const YOUR_BOOKS: &str = "your books";
/// Where a figure comes from that the owner chose.
pub(super) const YOUR_CHOICE: &str = "your choice";

/// The lines as they are numbered.
pub(super) struct Sheet<'a> {
    facts: &'a Facts,
    pub(super) lines: Vec<EstimateLine>,
}

impl<'a> Sheet<'a> {
    pub(super) fn new(facts: &'a Facts) -> Self {
        Self {
            facts,
            lines: Vec::with_capacity(10),
        }
    }

    /// The number the next line will have.
    pub(super) fn next_no(&self) -> u32 {
        u32::try_from(self.lines.len()).unwrap_or(u32::MAX - 1) + 1
    }

    pub(super) fn add(
        &mut self,
        key: &str,
        label: &str,
        formula: String,
        amount: Figure,
        source: &str,
    ) -> u32 {
        let no = self.next_no();
        self.lines.push(EstimateLine {
            no,
            key: key.to_owned(),
            label: label.to_owned(),
            formula,
            amount,
            source: source.to_owned(),
            explanation: String::new(),
            caution: String::new(),
        });
        no
    }

    pub(super) fn amount(&mut self, key: &str, label: &str, formula: String, amount: Money) -> u32 {
        self.add(key, label, formula, Figure::Money(amount), YOUR_BOOKS)
    }

    /// The profit and, where it is the books', what it is made of.
    pub(super) fn profit_lines(&mut self, profit: Money) {
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

    /// What is put by and paid, and what is left to move.
    pub(super) fn balance_lines(&mut self, total_no: u32, total: Money, to_move: Money) {
        let facts = self.facts;
        let show = |amount: Money| facts.currency.show(amount);
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
