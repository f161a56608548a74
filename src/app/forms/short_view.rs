//! The short forms as they are drawn: amount first, then where from and where to.
//! What they ask is `short`.

use egui::Ui;

use super::FormEvent;
use super::charges::CHARGES;
use super::facts::Facts;
use super::input::Problems;
use super::parts::{self, cells, select, widths};
use super::short::{Offers, ShortDraft, ShortKind};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, date_field, money_field, quiet_button,
    secondary_button, soft, text_field,
};
use crate::dates::show_day;
use crate::happenings::Treat;
use crate::ledger::{Account, AccountId, Role};

/// Draws the card of a short form.
pub fn short_ui(
    ui: &mut Ui,
    draft: &mut ShortDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) -> Option<FormEvent> {
    let form = draft.kind.form();
    let mut event = None;
    card(ui, |ui| {
        if let Some(words) = draft.standing(facts) {
            ui.label(words);
            ui.add_space(space::SMALL);
        }
        let columns = widths(ui.available_width(), &[150.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("How much")
                    .width(width)
                    .problem(problems.of("amount"))
                    .take_focus(take_focus);
                money_field(ui, field, &mut draft.amount, &facts.currency);
            } else if draft.kind == ShortKind::PrivatePayment {
                let field = Field::new("What it was")
                    .width(width)
                    .problem(problems.of("memo"));
                text_field(ui, field, &mut draft.memo);
            } else {
                let field = Field::new("When")
                    .width(width.min(160.0))
                    .problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 0.0]);
        let sides: Vec<_> = [(true, form.from), (false, form.to)]
            .into_iter()
            .filter_map(|(is_from, side)| side.map(|side| (is_from, side)))
            .collect();
        // What was owed and which shop come first: they decide the rest.
        let order: &[usize] = match sides.len() {
            1 => &[0],
            _ if matches!(draft.kind, ShortKind::Settlement | ShortKind::ChannelPaid) => &[1, 0],
            _ => &[0, 1],
        };
        cells(ui, &columns, order, |ui, cell, width| {
            if let Some((is_from, side)) = sides.get(cell) {
                side_ui(ui, draft, *is_from, *side, width, facts, problems);
            }
        });
        ui.add_space(space::SMALL);
        rest_ui(ui, draft, facts, problems);
        if let Some(words) = draft.after(facts) {
            ui.add_space(space::SMALL);
            ui.label(words);
        }
        for words in draft.hints(facts) {
            parts::hint(ui, &words);
        }
        if matches!(
            draft.kind,
            ShortKind::Payout | ShortKind::ChannelPaid | ShortKind::ShopFee
        ) && facts.channels().is_empty()
        {
            soft(
                ui,
                "There is no shop in the book yet: write down a sale through one first.",
            );
        }
    });
    if draft.kind == ShortKind::Payout
        && let Some(channel) = draft.channel()
    {
        ui.add_space(space::LARGE);
        event = holds_ui(ui, draft, channel, facts);
    }
    event
}

fn side_ui(
    ui: &mut Ui,
    draft: &mut ShortDraft,
    is_from: bool,
    (field, label, offers): (&'static str, &'static str, Offers),
    width: f32,
    facts: &Facts,
    problems: &Problems,
) {
    if offers == Offers::Ways {
        let ways = draft.ways(facts);
        select(ui, label, width, &mut draft.way, &ways, problems.of(field));
        return;
    }
    let accounts = offered(offers, facts);
    let choices: Vec<(Option<AccountId>, String)> = accounts
        .iter()
        .map(|account| (Some(account.id), account.name.clone()))
        .collect();
    let chosen = if is_from {
        &mut draft.from
    } else {
        &mut draft.to
    };
    select(ui, label, width, chosen, &choices, problems.of(field));
}

fn offered(offers: Offers, facts: &Facts) -> Vec<&Account> {
    match offers {
        Offers::Money | Offers::Ways => facts.money(),
        Offers::Channels => facts.channels(),
        Offers::Charges => CHARGES
            .into_iter()
            .filter_map(|role| facts.role(role).and_then(|id| facts.account(id)))
            .collect(),
        Offers::Owed => {
            let mut owed = facts.cards_and_bills();
            owed.extend(facts.role(Role::SalesTax).and_then(|id| facts.account(id)));
            owed
        }
    }
}

fn rest_ui(ui: &mut Ui, draft: &mut ShortDraft, facts: &Facts, problems: &Problems) {
    let form = draft.kind.form();
    if draft.kind == ShortKind::PrivatePayment {
        let treats = [
            (Treat::Drawing, "money I took out (drawing)"),
            (Treat::OwedByOwner, "I pay it back (owed by the owner)"),
        ];
        choice_chips(ui, "How shall it count?", &mut draft.treat, &treats);
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[160.0, 0.0]);
        cells(ui, &columns, &[0], |ui, _, width| {
            let field = Field::new("When").width(width).problem(problems.of("date"));
            date_field(ui, field, &mut draft.date, facts.today);
        });
    } else {
        let field = Field::new("What it was")
            .hint("may stay empty")
            .problem(problems.of("memo"));
        text_field(ui, field, &mut draft.memo);
    }
    let columns = widths(ui.available_width(), &[0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            if let Some(label) = form.party {
                let field = Field::new(label).width(width).problem(problems.of("party"));
                text_field(ui, field, &mut draft.party);
            } else if form.has_reference {
                reference_ui(ui, draft, width);
            }
        } else if form.party.is_some() && form.has_reference {
            reference_ui(ui, draft, width);
        }
    });
}

fn reference_ui(ui: &mut Ui, draft: &mut ShortDraft, width: f32) {
    let field = Field::new("Number on the paper")
        .width(width)
        .hint("may stay empty");
    text_field(ui, field, &mut draft.reference);
}

/// What the shop holds back: each amount with its day, released or added here.
fn holds_ui(
    ui: &mut Ui,
    draft: &mut ShortDraft,
    channel: AccountId,
    facts: &Facts,
) -> Option<FormEvent> {
    let mut event = None;
    card(ui, |ui| {
        card_heading(ui, "Held by the shop")
            .on_hover_text("A reserve: yours, but not to be drawn yet");
        let held: Vec<_> = facts
            .holds
            .iter()
            .filter(|hold| hold.channel == channel && hold.is_held_on(facts.today))
            .collect();
        if held.is_empty() {
            soft(
                ui,
                "Nothing is held back. If the shop keeps a part until a day, note it here; it stays in what is due.",
            );
        }
        for hold in held {
            ui.horizontal(|ui| {
                let until = hold.until.map_or_else(
                    || "no day given".to_owned(),
                    |day| format!("until {}", show_day(day)),
                );
                ui.label(format!("{} held, {until}", facts.show(hold.amount)));
                let name = format!("Released: {}", facts.show(hold.amount));
                if quiet_button(ui, &name).clicked() {
                    event = Some(FormEvent::ReleaseHold(hold.id));
                }
            });
        }
        let columns = widths(ui.available_width(), &[130.0, 140.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let problem = draft.hold_problems.0.clone();
                let field = Field::new("Hold back")
                    .width(width)
                    .problem(problem.as_deref());
                money_field(ui, field, &mut draft.hold_amount, &facts.currency);
            }
            1 => {
                let problem = draft.hold_problems.1.clone();
                let field = Field::new("Until")
                    .width(width)
                    .hint("28 Sep")
                    .problem(problem.as_deref());
                text_field(ui, field, &mut draft.hold_until);
            }
            _ => {
                ui.add_space(20.0);
                if secondary_button(ui, "Note it", "").clicked()
                    && let Some((amount, until)) = draft.hold(facts)
                {
                    event = Some(FormEvent::AddHold {
                        channel,
                        amount,
                        until,
                    });
                }
            }
        });
    });
    event
}
