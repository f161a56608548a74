//! An entry in debits and credits, for an accountant and for what no other form covers.

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::forms::FormWish;
use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::parts::{cells, total_line, widths};
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, account_picker, card, choice_chips, date_field, money_field, quiet_button,
    soft, text_field,
};
use crate::dates::show_day;
use crate::happenings::{Happening, ManualEntry, ManualEntryDetails, Recording};
use crate::ledger::{AccountId, EntryKind, Line};
use crate::money::Money;

/// One line being typed.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct ManualLine {
    /// The account.
    pub account: AccountPick,
    /// The debit.
    pub debit: String,
    /// The credit.
    pub credit: String,
    /// What the line is for.
    pub memo: String,
}

impl ManualLine {
    fn is_empty(&self) -> bool {
        self.account.chosen().is_none()
            && self.debit.trim().is_empty()
            && self.credit.trim().is_empty()
    }
}

/// A manual entry being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ManualDraft {
    /// When.
    pub date: String,
    /// Whether it is an adjusting entry.
    pub kind: EntryKind,
    /// What it is.
    pub memo: String,
    /// Whom it concerns.
    pub party: String,
    /// The number on the paper.
    pub reference: String,
    /// The lines; always at least two.
    pub lines: Vec<ManualLine>,
}

impl ManualDraft {
    /// An empty entry of today with two lines.
    #[must_use]
    pub fn new(facts: &Facts) -> Self {
        Self {
            date: show_day(facts.today),
            kind: EntryKind::Manual,
            memo: String::new(),
            party: String::new(),
            reference: String::new(),
            lines: vec![ManualLine::default(), ManualLine::default()],
        }
    }

    /// An entry of today that brings this amount from one account to another, where both and the amount are known.
    #[must_use]
    pub fn wished(wish: &FormWish, facts: &Facts) -> Self {
        let mut draft = Self::new(facts);
        let account = |id: Option<AccountId>| id.and_then(|id| facts.chart.account(id).ok());
        if let (Some(to), Some(from), Some(amount)) =
            (account(wish.account), account(wish.other), wish.amount)
        {
            let shown = facts.currency.show(amount);
            draft.lines = vec![
                ManualLine {
                    account: AccountPick::of(to),
                    debit: shown.clone(),
                    ..ManualLine::default()
                },
                ManualLine {
                    account: AccountPick::of(from),
                    credit: shown,
                    ..ManualLine::default()
                },
            ];
        }
        draft
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.memo.trim().is_empty() && self.lines.iter().all(ManualLine::is_empty)
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self) -> Question {
        Question::default()
    }

    /// Debits and credits as far as they can be read.
    #[must_use]
    pub fn sums(&self, facts: &Facts) -> (Money, Money) {
        let read = |text: &str| facts.currency.parse_typed(text).unwrap_or_default();
        (
            self.lines.iter().map(|line| read(&line.debit)).sum(),
            self.lines.iter().map(|line| read(&line.credit)).sum(),
        )
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let memo = read.text("memo", &self.memo, "say what it is for");
        let mut lines = Vec::new();
        let filled = self
            .lines
            .iter()
            .enumerate()
            .filter(|(_, line)| !line.is_empty());
        for (idx, line) in filled {
            read.line(Some(idx));
            let account = read.account("account", line.account.chosen(), "choose the account");
            let debit = read.amount_or_none("debit", &line.debit);
            let credit = read.amount_or_none("credit", &line.credit);
            if !debit.is_zero() && !credit.is_zero() {
                read.note(Problem::wrong(
                    "debit",
                    "a line is a debit or a credit, not both",
                ));
            } else if debit.is_zero() && credit.is_zero() {
                read.note(Problem::missing("debit", "give a debit or a credit"));
            }
            lines.push(Line::debit(account, debit - credit).memo(line.memo.trim()));
        }
        read.line(None);
        if lines.len() < 2 {
            read.note(Problem::missing(
                "lines",
                "an entry needs at least two lines",
            ));
        }
        let details = read.finish(ManualEntryDetails {
            date,
            kind: self.kind,
            party: self.party.trim().to_owned(),
            memo,
            reference: self.reference.trim().to_owned(),
            document: String::new(),
            lines,
        })?;
        let entry = told(ManualEntry::new(details), &facts.currency)?;
        told(entry.recording(&facts.chart), &facts.currency)
    }
}

/// Draws the card.
pub fn manual_ui(
    ui: &mut Ui,
    draft: &mut ManualDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 140.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What it is for")
                    .width(width)
                    .problem(problems.of("memo"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.memo);
            } else {
                let field = Field::new("Date").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        ui.add_space(space::SMALL);
        lines_ui(ui, draft, facts, problems);
        let (debits, credits) = draft.sums(facts);
        let words = if debits == credits {
            "Debits and credits agree".to_owned()
        } else {
            let apart = facts.show((debits - credits).abs());
            let side = if debits > credits {
                "credits"
            } else {
                "debits"
            };
            format!("{apart} more in {side} and it balances")
        };
        total_line(
            ui,
            &words,
            &format!("{}    {}", facts.show(debits), facts.show(credits)),
        );
        let kinds = [
            (EntryKind::Manual, "an ordinary entry"),
            (
                EntryKind::Adjusting,
                "an adjusting entry (a fix at year end)",
            ),
        ];
        choice_chips(ui, "It is", &mut draft.kind, &kinds);
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            let (label, text) = if cell == 0 {
                ("Whom it concerns", &mut draft.party)
            } else {
                ("Number on the paper", &mut draft.reference)
            };
            text_field(
                ui,
                Field::new(label).width(width).hint("may stay empty"),
                text,
            );
        });
    });
}

fn lines_ui(ui: &mut Ui, draft: &mut ManualDraft, facts: &Facts, problems: &Problems) {
    let accounts = facts.all_accounts();
    let mut removed = None;
    let n_lines = draft.lines.len();
    for (idx, line) in draft.lines.iter_mut().enumerate() {
        ui.push_id(("line", idx), |ui| {
            let columns = widths(ui.available_width(), &[0.0, 104.0, 104.0]);
            let nth = |words: &str| format!("{words}, line {}", idx + 1);
            cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
                0 => {
                    let label = nth("Account");
                    let field = Field::new(&label)
                        .width(width)
                        .hint("number or name")
                        .problem(problems.on("account", idx));
                    account_picker(ui, field, &mut line.account, &accounts);
                }
                1 => {
                    let label = nth("Debit");
                    let wrong = problems
                        .on("debit", idx)
                        .or_else(|| problems.on("amount", idx));
                    let field = Field::new(&label).width(width).problem(wrong);
                    money_field(ui, field, &mut line.debit, &facts.currency);
                }
                _ => {
                    let label = nth("Credit");
                    let field = Field::new(&label)
                        .width(width)
                        .problem(problems.on("credit", idx));
                    money_field(ui, field, &mut line.credit, &facts.currency);
                }
            });
            if n_lines > 2 && idx > 1 && quiet_button(ui, &nth("Take away")).clicked() {
                removed = Some(idx);
            }
        });
    }
    if let Some(idx) = removed {
        draft.lines.remove(idx);
    }
    ui.horizontal(|ui| {
        if quiet_button(ui, "Add a line")
            .on_hover_text("Ctrl+L")
            .clicked()
        {
            draft.lines.push(ManualLine::default());
        }
        soft(
            ui,
            "Whatever has a form of its own is better told there: it asks the right questions.",
        );
    });
}
