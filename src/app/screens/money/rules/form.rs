//! A rule while it is typed, with how many of the lines to sort it fits.
//! Whether a rule can be is `sorting`'s.

use egui::Ui;

use crate::app::forms::parts::{select, two_columns};
use crate::app::keys;
use crate::app::screen::ViewContext;
use crate::app::screens::money::tray::other::{TreatmentDraft, accounts_for};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, money_field, primary_button, problem, quiet_button,
    soft, text_field,
};
use crate::dates::show_day;
use crate::ledger::AccountId;
use crate::money::Money;
use crate::reports::{TrayRow, has_statements};
use crate::sorting::{Direction, Meaning, Rule, Treatment};

/// So many fitting lines are shown.
const EXAMPLES: usize = 4;

/// A rule while it is typed.
#[derive(Clone, Debug)]
pub(super) struct RuleDraft {
    id: i64,
    is_active: bool,
    words: String,
    direction: Direction,
    account: Option<AccountId>,
    at_least: String,
    at_most: String,
    treatment: TreatmentDraft,
    was_tried: bool,
    take_focus: bool,
    pub(super) refused: Option<String>,
    /// The rule that was counted last, how many lines it fits, and some of them.
    counted: Option<(Rule, usize, Vec<String>)>,
}

/// What was pressed.
pub(super) enum Answer {
    /// Keep it.
    Keep(Box<Rule>),
    /// Leave it.
    Close,
}

impl RuleDraft {
    /// An empty one, for what is bought.
    pub(super) fn new(cx: &ViewContext<'_>) -> Self {
        let treatment = Treatment::new(Meaning::Purchase);
        Self::of(&Rule::new("", Direction::Out, treatment), cx)
    }

    /// One that changes a rule.
    pub(super) fn of(rule: &Rule, cx: &ViewContext<'_>) -> Self {
        let shown =
            |amount: Option<Money>| amount.map_or_else(String::new, |amount| cx.show(amount));
        Self {
            id: rule.id,
            is_active: rule.is_active,
            words: rule.words.clone(),
            direction: rule.direction,
            account: rule.account,
            at_least: shown(rule.at_least),
            at_most: shown(rule.at_most),
            treatment: TreatmentDraft::new(&rule.treatment, cx.chart),
            was_tried: false,
            take_focus: true,
            refused: None,
            counted: None,
        }
    }

    /// The rule as far as it is typed; its treatment may still be wrong.
    fn rule(&self, cx: &ViewContext<'_>) -> Result<Rule, String> {
        let amount = |text: &str| match text.trim() {
            "" => Ok(None),
            text => cx
                .currency
                .parse_typed(text)
                .map(Some)
                .map_err(|error| error.to_string()),
        };
        Ok(Rule {
            id: self.id,
            account: self.account,
            words: self.words.trim().to_owned(),
            direction: self.direction,
            at_least: amount(&self.at_least)?,
            at_most: amount(&self.at_most)?,
            treatment: self.treatment.treatment()?,
            is_active: self.is_active,
        })
    }

    /// Counts the lines it fits, when it changed.
    fn count(&mut self, rows: &[TrayRow], cx: &ViewContext<'_>) {
        let Ok(mut rule) = self.rule(cx) else {
            return;
        };
        rule.is_active = true;
        if self
            .counted
            .as_ref()
            .is_some_and(|(counted, ..)| *counted == rule)
        {
            return;
        }
        let mut fitting = rows.iter().filter(|row| rule.fits(&row.line));
        let examples: Vec<String> = fitting
            .by_ref()
            .take(EXAMPLES)
            .map(|row| {
                let line = &row.line;
                format!(
                    "{}  {}  {}",
                    show_day(line.date),
                    cx.show(line.amount),
                    line.text.trim()
                )
            })
            .collect();
        let count = examples.len() + fitting.count();
        self.counted = Some((rule, count, examples));
    }
}

/// Draws the form.
pub(super) fn rule_ui(
    ui: &mut Ui,
    draft: &mut RuleDraft,
    rows: &[TrayRow],
    suppliers: &[String],
    cx: &ViewContext<'_>,
) -> Option<Answer> {
    let is_key = keys::take_write_down(ui.ctx());
    draft.count(rows, cx);
    let mut answer = None;
    card(ui, |ui| {
        card_heading(
            ui,
            if draft.id == 0 {
                "A new rule"
            } else {
                "Change the rule"
            },
        );
        two_columns(
            ui,
            draft,
            |ui, draft| lines_ui(ui, draft, cx),
            |ui, draft| becomes_ui(ui, draft, suppliers, cx),
        );
        ui.add_space(space::MEDIUM);
        fits_ui(ui, draft, rows.len());
        ui.add_space(space::SMALL);
        let made = draft.rule(cx).and_then(|rule| rule.check().map(|()| rule));
        ui.horizontal_wrapped(|ui| {
            if primary_button(ui, "Keep the rule", "Ctrl Enter").clicked() || is_key {
                draft.was_tried = true;
                draft.refused = None;
                if let Ok(rule) = &made {
                    answer = Some(Answer::Keep(Box::new(rule.clone())));
                }
            }
            if quiet_button(ui, "Not now").clicked() {
                answer = Some(Answer::Close);
            }
        });
        match (&draft.refused, &made) {
            (Some(words), _) => {
                problem(ui, words);
            }
            (None, Err(words)) if draft.was_tried => {
                problem(ui, words);
            }
            _ => {}
        }
    });
    answer
}

/// Which lines it is for.
fn lines_ui(ui: &mut Ui, draft: &mut RuleDraft, cx: &ViewContext<'_>) {
    let take_focus = std::mem::take(&mut draft.take_focus);
    let field = Field::new("Lines with these words")
        .hint("in any order; either this|or that")
        .take_focus(take_focus);
    text_field(ui, field, &mut draft.words);
    let ways: Vec<(Direction, &str)> = Direction::ALL
        .iter()
        .map(|way| (*way, way.plain()))
        .collect();
    choice_chips(ui, "Which way", &mut draft.direction, &ways);
    let mut accounts = vec![(None, "Every account".to_owned())];
    accounts.extend(
        cx.chart
            .accounts()
            .into_iter()
            .filter(|account| account.is_active && has_statements(account) && !account.is_channel())
            .map(|account| (Some(account.id), account.name.clone())),
    );
    select(
        ui,
        "On the statements of",
        0.0,
        &mut draft.account,
        &accounts,
        None,
    );
    ui.horizontal_top(|ui| {
        let field = Field::new("Amount from").width(120.0).hint("any");
        money_field(ui, field, &mut draft.at_least, cx.currency);
        let field = Field::new("up to").width(120.0).hint("any");
        money_field(ui, field, &mut draft.at_most, cx.currency);
    });
}

/// What such a line becomes.
fn becomes_ui(ui: &mut Ui, draft: &mut RuleDraft, suppliers: &[String], cx: &ViewContext<'_>) {
    let direction = draft.direction;
    let meanings: Vec<Meaning> = Meaning::ALL
        .iter()
        .copied()
        .filter(|meaning| match direction {
            Direction::In => meaning.fits(true),
            Direction::Out => meaning.fits(false),
            Direction::Either => meaning.fits(true) && meaning.fits(false),
        })
        .collect();
    if !meanings.contains(&draft.treatment.meaning)
        && let Some(first) = meanings.first()
    {
        draft.treatment.meaning = *first;
    }
    let accounts = accounts_for(draft.treatment.meaning, cx.chart, draft.account);
    let is_in = direction == Direction::In;
    draft
        .treatment
        .ui(ui, "It becomes", &meanings, is_in, &accounts, suppliers);
}

fn fits_ui(ui: &mut Ui, draft: &RuleDraft, n_lines: usize) {
    let Some((rule, count, examples)) = &draft.counted else {
        return;
    };
    if rule.words.is_empty() {
        soft(ui, "Say which words the bank's text must have.");
        return;
    }
    soft(ui, &super::view::fits(*count, n_lines));
    for example in examples {
        soft(ui, &format!("   {example}"));
    }
}
