//! The debit and credit lines that a form is about to write, live beside it.
//! It shows an entry that can be written; what is still wrong stands beside the fields.

use egui::Ui;

use super::statement::{RowRank, StatementRow, statement_table};
use super::text::{card, card_heading, soft};
use crate::ledger::{Chart, JournalEntry};
use crate::money::{Currency, Money};

/// The card "In the books": each account with its debit or credit, and that they balance. With no entry yet, what is
/// missing.
pub fn ledger_preview(
    ui: &mut Ui,
    entry: Result<&JournalEntry, &str>,
    chart: &Chart,
    currency: &Currency,
) {
    card(ui, |ui| {
        card_heading(ui, "In the books")
            .on_hover_text("The journal entry: debits at the left, credits at the right");
        match entry {
            Ok(entry) => lines(ui, entry, chart, currency),
            Err(missing) => {
                soft(ui, missing);
            }
        }
    });
}

fn lines(ui: &mut Ui, entry: &JournalEntry, chart: &Chart, currency: &Currency) {
    let show = |amount: Money| {
        if amount.is_zero() {
            String::new()
        } else {
            currency.statement(amount)
        }
    };
    let mut rows: Vec<StatementRow> = entry
        .lines()
        .iter()
        .map(|line| {
            let figures = vec![show(line.debit_amount()), show(line.credit_amount())];
            StatementRow::new(chart.title(line.account), figures)
        })
        .collect();
    let total = currency.statement(entry.total());
    rows.push(StatementRow::new("Balances", vec![total.clone(), total]).rank(RowRank::Total));
    statement_table(ui, &["Debit", "Credit"], &rows, &|_, _| false);
}
