//! The refund forms as they are drawn: first the sale or purchase, then what goes back.
//! What the fields mean is `refund`.

use egui::Ui;

use super::refund::{RefundDraft, RefundField};
use crate::app::forms::facts::Facts;
use crate::app::forms::find::{entry_described, entry_words, find_ui};
use crate::app::forms::input::Problems;
use crate::app::forms::paid;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, date_field, money_field, quiet_button, soft, text_field};
use crate::ledger::{AccountId, PostedEntry, Role};

/// Draws the refund's own card.
pub fn refund_ui(
    ui: &mut Ui,
    draft: &mut RefundDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.propose(facts);
    card(ui, |ui| {
        if let Some(entry) = facts
            .asked
            .entry
            .as_ref()
            .filter(|_| draft.picked.is_some())
        {
            picked_ui(ui, draft, entry, facts);
        } else {
            search_ui(ui, draft, facts, problems, take_focus);
        }
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[130.0, 140.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let field = Field::new("How much")
                    .width(width)
                    .problem(problems.of("amount"))
                    .take_focus(draft.focuses(RefundField::Amount));
                money_field(ui, field, &mut draft.amount, &facts.currency);
            }
            1 => {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
            _ => {
                let label = if draft.is_from_supplier {
                    "Into"
                } else {
                    "Paid from"
                };
                let wrong = problems
                    .of("paid_from")
                    .or_else(|| problems.of("paid_into"));
                let places = places(draft, facts);
                select(ui, label, width, &mut draft.account, &places, wrong);
            }
        });
        ui.add_space(space::SMALL);
        let field = Field::new("Why").hint("may stay empty");
        text_field(ui, field, &mut draft.memo);
        if !draft.is_from_supplier {
            came_back_ui(ui, draft, facts, problems);
            fees_ui(ui, draft, facts, problems);
        } else {
            soft(
                ui,
                "It goes back to the same kinds in proportion. Equipment you gave back is written down as equipment gone.",
            );
        }
    });
}

fn search_ui(
    ui: &mut Ui,
    draft: &mut RefundDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let (label, hint) = if draft.is_from_supplier {
        ("Which purchase", "supplier, thing, amount or number")
    } else {
        ("Which sale", "order number, thing or amount")
    };
    let field = Field::new(label)
        .hint(hint)
        .problem(problems.of("sale"))
        .take_focus(take_focus || draft.focuses(RefundField::Search));
    if let Some(number) = find_ui(ui, field, &mut draft.search, facts) {
        draft.pick(number);
        draft.takes_focus = Some(RefundField::Amount);
    }
}

fn picked_ui(ui: &mut Ui, draft: &mut RefundDraft, entry: &PostedEntry, facts: &Facts) {
    ui.horizontal_wrapped(|ui| {
        let (words, described) = (entry_words(entry), entry_described(entry, facts));
        ui.label(format!("{words}, {described}"));
        if quiet_button(ui, "Choose another").clicked() {
            draft.picked = None;
            draft.takes_focus = Some(RefundField::Search);
            draft.account = None;
            draft.amount.clear();
        }
    });
    if let Some(left) = draft.left(facts) {
        let whole = facts.show(entry.entry.named_amount());
        let words = if left.is_positive() {
            format!(
                "{} can still be given back (entry {} of {whole}).",
                facts.show(left),
                entry.number
            )
        } else {
            "All of it has been given back already.".to_owned()
        };
        soft(ui, &words);
    }
}

fn places(draft: &RefundDraft, facts: &Facts) -> Vec<(Option<AccountId>, String)> {
    if draft.is_from_supplier {
        return paid::back_into(facts);
    }
    paid::places(
        facts,
        &[
            Role::CustomersOwe,
            Role::CustomerDeposits,
            Role::OwedToOwner,
        ],
    )
}

/// For a sale of pieces in stock: how many came back and can be sold again.
fn came_back_ui(ui: &mut Ui, draft: &mut RefundDraft, facts: &Facts, problems: &Problems) {
    if draft.picked.is_none() || facts.asked.sold.is_empty() {
        return;
    }
    ui.add_space(space::SMALL);
    soft(
        ui,
        "What came back and can be sold again goes on the shelf at the cost at which it went; leave empty what stays away \
         or is spoiled",
    );
    for (idx, sold) in facts.asked.sold.iter().enumerate() {
        let label = format!(
            "Came back: {} (of {})",
            facts.stock.name(&sold.item),
            sold.left
        );
        let mut field = Field::new(&label)
            .width(ui.available_width().min(280.0))
            .problem(problems.on("came_back", idx));
        field.right = true;
        let text = draft.came_back.entry(sold.movement.0).or_default();
        text_field(ui, field, text);
    }
}

fn fees_ui(ui: &mut Ui, draft: &mut RefundDraft, facts: &Facts, problems: &Problems) {
    ui.add_space(space::SMALL);
    soft(
        ui,
        "Fees that the shop gives back (fee credit); leave empty what it keeps",
    );
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0, 0.0]);
    const LABELS: [&str; 4] = [
        "Listing fee back",
        "Selling fee back",
        "Processing fee back",
        "Other fee back",
    ];
    cells(ui, &columns, &[0, 1, 2, 3], |ui, cell, width| {
        if let (Some(label), Some(text)) = (LABELS.get(cell), draft.fees.amounts.get_mut(cell)) {
            let field = Field::new(label)
                .width(width)
                .problem(problems.of("fee_credit"));
            money_field(ui, field, text, &facts.currency);
        }
    });
}
