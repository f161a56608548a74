//! The owner's own split of what is free: three shares she sets, and what they come to with a form for each.
//! A proposal only; nothing is moved by itself.

use egui::Ui;

use super::buying::BuyingDraft;
use super::named;
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{Field, card_heading, primary_button_enabled, problem, soft, text_field};
use crate::book::Settings;
use crate::free_to_spend::{Proposal, Split, SplitError};
use crate::ledger::Role;
use crate::money::{Money, Percent};
use crate::reports::FreeReport;

const KEYS: [&str; 3] = ["split.pay", "split.reserve", "split.buy"];
const LABELS: [&str; 3] = [
    "Pay for you, per cent",
    "Reserve, per cent",
    "To buy things, per cent",
];

/// The shares as they are typed.
#[derive(Debug, Default)]
pub(super) struct SplitDraft {
    typed: [String; 3],
    read: [String; 3],
}

impl SplitDraft {
    pub(super) fn read(&mut self, settings: &Settings) {
        let read = KEYS.map(|key| settings.get(key).unwrap_or_default().to_owned());
        if !self.is_changed() {
            self.typed = read.clone();
        }
        self.read = read;
    }

    pub(super) fn is_changed(&self) -> bool {
        self.typed != self.read
    }

    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        report: &FreeReport,
        buying: &mut BuyingDraft,
        cx: &ViewContext<'_>,
    ) -> Option<Action> {
        card_heading(ui, "Share out what is free");
        soft(
            ui,
            "Your own split of what is left when everybody else has theirs: so much for you, so much kept, so much to buy \
             things. It proposes, and moves nothing.",
        );
        let mut action = None;
        if report.split.is_some() {
            ui.add_space(space::SMALL);
            match report.proposal() {
                Some(proposal) => action = proposal_ui(ui, proposal, buying, cx),
                None => {
                    ui.label("Nothing is free just now, so nothing is proposed.");
                }
            }
        }
        action.or(self.shares_ui(ui))
    }

    fn shares_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        ui.horizontal_wrapped(|ui| {
            for (label, text) in LABELS.iter().zip(&mut self.typed) {
                text_field(ui, Field::new(label).width(150.0), text);
            }
        });
        let checked = self.checked();
        let is_ready = self.is_changed() && checked.is_ok();
        if let Err(words) = &checked {
            problem(ui, words);
        }
        ui.add_space(space::SMALL);
        if !primary_button_enabled(ui, is_ready, "Keep the shares", "").clicked() {
            return None;
        }
        let changes = KEYS.iter().zip(&self.typed);
        let changes = changes.map(|(key, text)| ((*key).to_owned(), text.trim().to_owned()));
        Some(Action::write(Write::SetSettings(changes.collect())))
    }

    /// The shares as typed, or what is wrong with them.
    fn checked(&self) -> Result<Option<Split>, String> {
        let mut shares: [Option<Percent>; 3] = [None; 3];
        for (share, text) in shares.iter_mut().zip(&self.typed) {
            if !text.trim().is_empty() {
                *share = Some(text.parse::<Percent>().map_err(|error| error.to_string())?);
            }
        }
        let [pay, reserve, buy] = shares;
        Split::of(pay, reserve, buy).map_err(|error: SplitError| error.to_string())
    }
}

fn proposal_ui(
    ui: &mut Ui,
    proposal: Proposal,
    buying: &mut BuyingDraft,
    cx: &ViewContext<'_>,
) -> Option<Action> {
    let mut action = None;
    let bank = cx.chart.role(Role::BusinessBank).ok();
    let row = |ui: &mut Ui, words: &str, amount: Money, buttons: &[&str]| -> Option<usize> {
        if amount.is_zero() {
            return None;
        }
        let mut pressed = None;
        ui.horizontal_wrapped(|ui| {
            ui.label(format!("{words} {}", cx.show(amount)));
            for (idx, button) in buttons.iter().enumerate() {
                if named(ui, button, &cx.show(amount)) {
                    pressed = Some(idx);
                }
            }
        });
        pressed
    };
    if row(ui, "Pay yourself", proposal.pay, &["Take it out\u{2026}"]).is_some() {
        action = Some(Action::Start(FormWish {
            account: bank,
            amount: Some(proposal.pay),
            ..FormWish::new(Form::OwnerOut)
        }));
    }
    match row(
        ui,
        "Keep in reserve",
        proposal.reserve,
        &["Move it\u{2026}", "Add it to your reserve"],
    ) {
        Some(0) => {
            action = Some(Action::Start(FormWish {
                other: bank,
                amount: Some(proposal.reserve),
                ..FormWish::new(Form::Transfer)
            }));
        }
        Some(_) => {
            let before = cx.settings.amount("reserve").unwrap_or_default();
            let after = cx.currency.plain(before + proposal.reserve);
            let change = ("reserve".to_owned(), after);
            action = Some(Action::write(Write::SetSettings(vec![change])));
        }
        None => {}
    }
    if row(
        ui,
        "To buy things",
        proposal.buy,
        &["Try a purchase of that"],
    )
    .is_some()
    {
        buying.at(cx.show(proposal.buy));
    }
    soft(
        ui,
        "Money moved to another account of the business is still in hand; adding it to your reserve keeps it out of what \
         is free.",
    );
    action
}
