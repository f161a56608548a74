//! Mending an entry: changing what it says with the earlier version kept, or taking it back by its mirror.

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{cells, hint, total_line, widths};
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, account_picker, card, date_field, money_field, quiet_button, soft,
    text_field,
};
use crate::dates::show_day;
use crate::ledger::{EntryNumber, JournalEntry, Line, PostedEntry};
use crate::money::Money;

/// One line of the entry being changed; what the form does not show is kept.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
struct MendLine {
    /// Which of the entry's lines it was.
    was: Option<usize>,
    account: AccountPick,
    debit: String,
    credit: String,
    memo: String,
}

/// What can be changed of an entry, as text.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Fields {
    date: String,
    party: String,
    memo: String,
    reference: String,
    lines: Vec<MendLine>,
}

impl Fields {
    fn of(posted: &PostedEntry, facts: &Facts) -> Self {
        let header = &posted.entry.header;
        let shown = |amount: Money| {
            if amount.is_zero() {
                String::new()
            } else {
                facts.show(amount)
            }
        };
        let line = |(idx, line): (usize, &Line)| MendLine {
            was: Some(idx),
            account: facts
                .account(line.account)
                .map(AccountPick::of)
                .unwrap_or_default(),
            debit: shown(line.debit_amount()),
            credit: shown(line.credit_amount()),
            memo: line.memo.clone(),
        };
        Self {
            date: show_day(header.date),
            party: header.party.clone(),
            memo: header.memo.clone(),
            reference: header.reference.clone(),
            lines: posted.entry.lines().iter().enumerate().map(line).collect(),
        }
    }
}

/// An entry being changed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct AmendDraft {
    /// Which entry.
    pub number: EntryNumber,
    /// Which version of it the change began with, once it has been read.
    version: Option<u32>,
    #[serde(skip)]
    posted: Option<PostedEntry>,
    /// The fields before anything was typed.
    #[serde(skip)]
    before: Fields,
    /// Whether the entry was changed otherwise while this was kept for later.
    #[serde(skip)]
    is_overtaken: bool,
    fields: Fields,
    /// Why; kept in the history.
    pub reason: String,
}

impl AmendDraft {
    /// A change of this entry; its content comes with the first look at the book.
    #[must_use]
    pub fn new(number: EntryNumber) -> Self {
        Self {
            number,
            version: None,
            posted: None,
            before: Fields::default(),
            is_overtaken: false,
            fields: Fields::default(),
            reason: String::new(),
        }
    }

    /// Whether nothing has been changed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.reason.trim().is_empty() && self.fields == self.before
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self) -> Question {
        Question {
            picked: Some(self.number),
            ..Question::default()
        }
    }

    /// Fills the fields from the entry, once it has been read. A change that was kept for later stays as it was typed,
    /// unless the entry has become another meanwhile.
    pub fn fill(&mut self, facts: &Facts) {
        if self.posted.is_some() {
            return;
        }
        let Some(posted) = facts.asked.entry.clone() else {
            return;
        };
        self.before = Fields::of(&posted, facts);
        if self.version != Some(posted.version) {
            self.is_overtaken = self.version.is_some();
            self.fields = self.before.clone();
        }
        self.version = Some(posted.version);
        self.posted = Some(posted);
    }

    /// The entry as it shall be, and why.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn entry(&self, facts: &Facts) -> Result<JournalEntry, Vec<Problem>> {
        let Some(posted) = &self.posted else {
            return Err(vec![Problem::missing("entry", "the entry is being read")]);
        };
        let mut read = Reader::new(&facts.currency, facts.today);
        let mut header = posted.entry.header.clone();
        header.date = read.day("date", &self.fields.date);
        header.party = self.fields.party.trim().to_owned();
        header.memo = self.fields.memo.trim().to_owned();
        header.reference = self.fields.reference.trim().to_owned();
        let mut lines = Vec::new();
        for (idx, line) in self.fields.lines.iter().enumerate() {
            read.line(Some(idx));
            let debit = read.amount_or_none("debit", &line.debit);
            let credit = read.amount_or_none("credit", &line.credit);
            if debit.is_zero() && credit.is_zero() {
                continue;
            }
            let account = read.account("account", line.account.chosen(), "choose the account");
            let mut changed = line
                .was
                .and_then(|idx| posted.entry.lines().get(idx).cloned())
                .unwrap_or_else(|| Line::debit(account, Money::ZERO));
            changed.account = account;
            changed.amount = debit - credit;
            changed.memo = line.memo.trim().to_owned();
            lines.push(changed);
        }
        read.line(None);
        read.text(
            "reason",
            &self.reason,
            "say why it is changed; the history keeps it",
        );
        read.finish(())?;
        JournalEntry::new(header, lines).map_err(|error| {
            let error = crate::happenings::HappeningError::from(error);
            vec![Problem::wrong("lines", error.describe(&facts.currency))]
        })
    }

    fn sums(&self, facts: &Facts) -> (Money, Money) {
        let read = |text: &str| facts.currency.parse_typed(text).unwrap_or_default();
        (
            self.fields.lines.iter().map(|line| read(&line.debit)).sum(),
            self.fields
                .lines
                .iter()
                .map(|line| read(&line.credit))
                .sum(),
        )
    }
}

/// Draws the card of a change.
pub fn amend_ui(
    ui: &mut Ui,
    draft: &mut AmendDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.fill(facts);
    card(ui, |ui| {
        if draft.is_overtaken {
            hint(
                ui,
                "The entry was changed while this was kept for later. It is shown as it is now; your reason is still here.",
            );
        }
        let columns = widths(ui.available_width(), &[0.0, 140.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("Why it is changed")
                    .width(width)
                    .hint("wrong amount on the receipt")
                    .problem(problems.of("reason"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.reason);
            } else {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.fields.date, facts.today);
            }
        });
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 0.0, 140.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| {
            let (label, text) = match cell {
                0 => ("From whom or to whom", &mut draft.fields.party),
                1 => ("What it was", &mut draft.fields.memo),
                _ => ("Number", &mut draft.fields.reference),
            };
            text_field(ui, Field::new(label).width(width), text);
        });
        ui.add_space(space::SMALL);
        for (idx, line) in draft.fields.lines.iter_mut().enumerate() {
            ui.push_id(("line", idx), |ui| {
                mend_line_ui(ui, idx, line, facts, problems)
            });
        }
        if quiet_button(ui, "Add a line").clicked() {
            draft.fields.lines.push(MendLine::default());
        }
        let (debits, credits) = draft.sums(facts);
        total_line(
            ui,
            "Debits and credits",
            &format!("{}    {}", facts.show(debits), facts.show(credits)),
        );
        if let Some(words) = problems.of("lines") {
            crate::app::widgets::problem(ui, words);
        }
        soft(
            ui,
            "The earlier version stays in the history with this reason. A line emptied of both amounts is left out.",
        );
    });
}

fn mend_line_ui(ui: &mut Ui, idx: usize, line: &mut MendLine, facts: &Facts, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 0.0, 100.0, 100.0]);
    let nth = |words: &str| format!("{words}, line {}", idx + 1);
    cells(ui, &columns, &[0, 1, 2, 3], |ui, cell, width| match cell {
        0 => {
            let label = nth("Account");
            let field = Field::new(&label)
                .width(width)
                .problem(problems.on("account", idx));
            account_picker(ui, field, &mut line.account, &facts.all_accounts());
        }
        1 => {
            text_field(ui, Field::new(&nth("For")).width(width), &mut line.memo);
        }
        2 => {
            let label = nth("Debit");
            let field = Field::new(&label)
                .width(width)
                .problem(problems.on("debit", idx));
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
}

/// An entry being taken back.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct TakeBackDraft {
    /// Which entry.
    pub number: EntryNumber,
    /// On which day.
    pub date: String,
    /// Why.
    pub reason: String,
    /// Whether the day was held against the entry's own.
    #[serde(default)]
    is_dated: bool,
}

impl TakeBackDraft {
    /// A taking back of this entry, today.
    #[must_use]
    pub fn new(number: EntryNumber, facts: &Facts) -> Self {
        Self {
            number,
            date: show_day(facts.today),
            reason: String::new(),
            is_dated: false,
        }
    }

    /// An entry of a day to come is not taken back before it is there.
    fn date_it(&mut self, facts: &Facts) {
        if let (false, Some(posted)) = (self.is_dated, &facts.asked.entry) {
            self.is_dated = true;
            self.date = show_day(facts.today.max(posted.entry.header.date));
        }
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self) -> Question {
        Question {
            picked: Some(self.number),
            ..Question::default()
        }
    }

    /// The day, the reason, and the mirror entry as it will be.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn mirror(&self, facts: &Facts) -> Result<JournalEntry, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let reason = read.text("reason", &self.reason, "say why it is taken back");
        let Some(posted) = &facts.asked.entry else {
            return Err(vec![Problem::missing("entry", "the entry is being read")]);
        };
        if let Some(by) = posted.reversed_by {
            read.note(Problem::wrong(
                "reason",
                format!("entry {by} has taken it back already"),
            ));
        }
        read.finish(())?;
        Ok(posted.entry.reversal(date, reason))
    }
}

/// Draws the card of a taking back.
pub fn take_back_ui(
    ui: &mut Ui,
    draft: &mut TakeBackDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.date_it(facts);
    card(ui, |ui| {
        if let Some(posted) = &facts.asked.entry {
            let header = &posted.entry.header;
            ui.label(format!(
                "{} on {}, {} {}",
                header.kind.plain(),
                show_day(header.date),
                header.party,
                facts.show(posted.entry.named_amount())
            ));
            ui.add_space(space::SMALL);
        }
        let columns = widths(ui.available_width(), &[0.0, 140.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("Why it is taken back")
                    .width(width)
                    .hint("written down twice")
                    .problem(problems.of("reason"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.reason);
            } else {
                let field = Field::new("On").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        soft(
            ui,
            "The entry stays as it was; its mirror (a reversal) takes it back. This also works when the entry itself is locked.",
        );
    });
}
