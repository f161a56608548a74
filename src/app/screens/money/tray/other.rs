//! Saying what a line was: what it means, the account beside it, with whom, and whether it is always so.
//! What it then writes is `sorting`'s.

use egui::Ui;

use super::slip::Answer;
use super::words;
use crate::app::action::SortingWrite;
use crate::app::forms::parts::two_columns;
use crate::app::keys;
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, Field, account_picker, choice_chips, ledger_preview, primary_button, problem,
    quiet_button, soft, suggest_field, text_field,
};
use crate::ledger::{Account, Chart};
use crate::money::Percent;
use crate::reports::Tray;
use crate::sorting::{BankLine, Direction, Meaning, Rule, Suggested, Suggestion, Treatment};

/// What a line becomes, while it is said.
#[derive(Clone, Debug)]
pub(super) struct OtherDraft {
    treatment: TreatmentDraft,
    is_always: bool,
    words: String,
    was_tried: bool,
}

/// A treatment while it is typed.
#[derive(Clone, Debug)]
pub(in crate::app::screens) struct TreatmentDraft {
    pub(in crate::app::screens) meaning: Meaning,
    pick: AccountPick,
    party: String,
    share: String,
    take_focus: bool,
}

impl TreatmentDraft {
    /// One that begins with a treatment.
    pub(in crate::app::screens) fn new(treatment: &Treatment, chart: &Chart) -> Self {
        let pick = treatment
            .account
            .and_then(|id| chart.account(id).ok())
            .map_or_else(AccountPick::default, AccountPick::of);
        let share = if treatment.share.is_whole() {
            String::new()
        } else {
            treatment.share.to_string()
        };
        Self {
            meaning: treatment.meaning,
            pick,
            party: treatment.party.clone(),
            share,
            take_focus: true,
        }
    }

    /// The same, leaving the keyboard where it is.
    pub(in crate::app::screens) fn without_focus(mut self) -> Self {
        self.take_focus = false;
        self
    }

    /// The treatment as far as it is typed.
    ///
    /// # Errors
    /// What is wrong, in a sentence without a full stop.
    pub(in crate::app::screens) fn treatment(&self) -> Result<Treatment, String> {
        let has_share = self.meaning == Meaning::Purchase && !self.share.trim().is_empty();
        let share = if has_share {
            self.share
                .trim()
                .trim_end_matches('%')
                .trim()
                .parse::<Percent>()
                .map_err(|_not_a_share| "write the business share from 0 to 100".to_owned())?
        } else {
            Percent::WHOLE
        };
        if self.pick.is_unclear() {
            return Err("choose an account from the list".to_owned());
        }
        let takes_account = account_question(self.meaning, true).is_some();
        Ok(Treatment {
            meaning: self.meaning,
            account: self.pick.chosen().filter(|_id| takes_account),
            party: if party_question(self.meaning).is_some() {
                self.party.trim().to_owned()
            } else {
                String::new()
            },
            share,
        })
    }

    /// Asks for what the meaning needs; `fits` says which meanings and accounts can be.
    pub(in crate::app::screens) fn ui(
        &mut self,
        ui: &mut Ui,
        question: &str,
        meanings: &[Meaning],
        is_in: bool,
        accounts: &[&Account],
        suppliers: &[String],
    ) {
        let choices: Vec<(Meaning, &str)> = meanings
            .iter()
            .map(|meaning| (*meaning, meaning.plain()))
            .collect();
        if choice_chips(ui, question, &mut self.meaning, &choices) {
            self.pick = AccountPick::default();
            self.take_focus = true;
        }
        let take_focus = std::mem::take(&mut self.take_focus);
        let account = account_question(self.meaning, is_in);
        if let Some(question) = account {
            let field = Field::new(question)
                .hint("type part of its name")
                .take_focus(take_focus);
            account_picker(ui, field, &mut self.pick, accounts);
        }
        if let Some(question) = party_question(self.meaning) {
            let field = Field::new(question).take_focus(take_focus && account.is_none());
            suggest_field(ui, field, &mut self.party, suppliers);
        }
        if self.meaning == Meaning::Purchase {
            let field = Field::new("Business share, %").width(140.0).hint("100");
            text_field(ui, field, &mut self.share);
        }
    }
}

/// What is asked for the account beside a meaning; nothing where it says all by itself.
fn account_question(meaning: Meaning, is_in: bool) -> Option<&'static str> {
    Some(match meaning {
        Meaning::Purchase => "Which kind of cost?",
        Meaning::SupplierRefund => "Which kind of cost goes down?",
        Meaning::Transfer => "Which account is on the other side?",
        Meaning::Settlement if is_in => "Paid from which account?",
        Meaning::Settlement => "What was paid off?",
        Meaning::Payout => "Which shop paid out?",
        Meaning::ChannelPaid => "Which shop was paid?",
        Meaning::Sale => "Which kind of income? (Sales when left empty)",
        Meaning::OtherIncome => "Which kind of income?",
        Meaning::Private
        | Meaning::OwnerIn
        | Meaning::OwnerOut
        | Meaning::CustomerPaid
        | Meaning::TaxInstalment
        | Meaning::NotExplained => return None,
    })
}

fn party_question(meaning: Meaning) -> Option<&'static str> {
    Some(match meaning {
        Meaning::Purchase | Meaning::SupplierRefund => "From whom",
        Meaning::Private => "To whom",
        Meaning::CustomerPaid => "Who paid",
        Meaning::TaxInstalment => "Which office",
        _ => return None,
    })
}

/// The accounts that can stand beside a meaning, but for the one whose statement it is.
pub(in crate::app::screens) fn accounts_for(
    meaning: Meaning,
    chart: &Chart,
    except: Option<crate::ledger::AccountId>,
) -> Vec<&Account> {
    chart
        .accounts()
        .into_iter()
        .filter(|account| account.is_active && Some(account.id) != except && meaning.takes(account))
        .collect()
}

impl OtherDraft {
    /// Begins with what is suggested.
    pub(super) fn new(line: &BankLine, suggestion: Option<&Suggestion>, chart: &Chart) -> Self {
        let usual = if line.is_in() {
            Meaning::Sale
        } else {
            Meaning::Purchase
        };
        let mut treatment = match suggestion.map(|suggestion| &suggestion.what) {
            Some(Suggested::Treatment(treatment)) => treatment.clone(),
            _ => Treatment::new(usual),
        };
        if treatment.party.trim().is_empty() {
            treatment.party = words::party(line, suggestion);
        }
        Self {
            treatment: TreatmentDraft::new(&treatment, chart),
            is_always: false,
            words: line.payee().key().to_owned(),
            was_tried: false,
        }
    }

    fn rule(&self, line: &BankLine, treatment: &Treatment) -> Option<Rule> {
        let words = self.words.trim();
        (self.is_always && !words.is_empty())
            .then(|| Rule::new(words, Direction::of(line), treatment.clone()))
    }
}

/// Asks what a line was, with the books beside it.
pub(super) fn other_ui(
    ui: &mut Ui,
    draft: &mut OtherDraft,
    line: &BankLine,
    tray: &Tray,
    cx: &ViewContext<'_>,
) -> Option<Answer> {
    let meanings: Vec<Meaning> = Meaning::ALL
        .iter()
        .copied()
        .filter(|meaning| meaning.fits(line.is_in()))
        .collect();
    let mut answer = None;
    let is_key = keys::take_write_down(ui.ctx());
    two_columns(
        ui,
        draft,
        |ui, draft| {
            let accounts = accounts_for(draft.treatment.meaning, cx.chart, Some(line.account));
            draft.treatment.ui(
                ui,
                "What was it?",
                &meanings,
                line.is_in(),
                &accounts,
                &tray.suppliers,
            );
            ui.add_space(space::SMALL);
            ui.checkbox(&mut draft.is_always, "Always so: make a rule of it");
            if draft.is_always {
                let field =
                    Field::new("For lines with these words").hint("words of the bank's text");
                text_field(ui, field, &mut draft.words);
            }
        },
        |ui, draft| {
            let made = draft.treatment.treatment().and_then(|treatment| {
                let recording = treatment
                    .recording(line, cx.chart)
                    .map_err(|error| error.describe(cx.currency))?;
                Ok((treatment, recording))
            });
            match &made {
                Ok((treatment, recording)) => {
                    ledger_preview(ui, Ok(&recording.entry), cx.chart, cx.currency);
                    soft(ui, &treatment.sentence(cx.chart));
                }
                Err(words) => {
                    let words = format!("Not yet: {words}.");
                    ledger_preview(ui, Err(&words), cx.chart, cx.currency);
                }
            }
            ui.add_space(space::MEDIUM);
            ui.horizontal_wrapped(|ui| {
                if primary_button(ui, "Write it down", "Ctrl Enter").clicked() || is_key {
                    draft.was_tried = true;
                    if let Ok((treatment, _recording)) = &made {
                        let rule = draft.rule(line, treatment).map(Box::new);
                        let write = SortingWrite::Treat(
                            Box::new(line.clone()),
                            Box::new(treatment.clone()),
                            rule,
                        );
                        answer = Some(Answer::Write(Box::new(write)));
                    }
                }
                if quiet_button(ui, "Not now").on_hover_text("Esc").clicked() {
                    answer = Some(Answer::Close);
                }
            });
            if draft.was_tried
                && let Err(words) = &made
            {
                problem(ui, words);
            }
        },
    );
    answer
}
