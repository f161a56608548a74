//! The purchase form as it is drawn. The keyboard walks supplier, what, amount first; what has a good default comes after.
//! What the fields mean is `draft`.

use egui::Ui;

use super::draft::PurchaseDraft;
use super::line::LineDraft;
use super::line_view::{line_ui, share_offer_ui};
use crate::app::forms::facts::Facts;
use crate::app::forms::input::Problems;
use crate::app::forms::parts::{self, cells, select, widths};
use crate::app::forms::{FormEvent, paid};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, date_field, money_field, parse_day, quiet_button, soft, suggest_field, text_field,
};
use crate::happenings::Payment;

/// Draws the purchase's own card.
pub fn purchase_ui(
    ui: &mut Ui,
    draft: &mut PurchaseDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) -> Option<FormEvent> {
    let mut event = None;
    card(ui, |ui| {
        if let Some(line) = &draft.of_line {
            soft(ui, &format!("Of your statement: {}", line.text));
        }
        header_ui(ui, draft, facts, problems, take_focus);
        ui.add_space(space::MEDIUM);
        let mut removed = None;
        let n_lines = draft.lines.len();
        let date = parse_day(&draft.date, facts.today);
        for idx in 0..n_lines {
            if idx > 0 {
                parts::rule(ui);
            }
            let supplier = draft.supplier.clone();
            if let Some(line) = draft.lines.get_mut(idx) {
                let outcome = line_ui(ui, idx, n_lines, line, &supplier, facts, problems);
                if outcome.is_removed {
                    removed = Some(idx);
                }
                let offered = date.and_then(|date| line.share_offered(&supplier, date, facts));
                if let Some(bill) = offered
                    && share_offer_ui(ui, idx, bill)
                {
                    line.share = bill.share.to_string();
                    line.is_more = true;
                }
            }
        }
        if let Some(idx) = removed {
            draft.lines.remove(idx);
        }
        later_ui(ui, draft, facts, problems);
        event = foot_ui(ui, draft, facts, problems);
    });
    event
}

/// From whom, when, paid from: the last two are drawn by [`later_ui`] in the room that this leaves for them.
fn header_ui(
    ui: &mut Ui,
    draft: &mut PurchaseDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let field = Field::new("From whom")
        .hint("the shop, the mill, the person")
        .problem(problems.of("supplier"))
        .take_focus(take_focus);
    suggest_field(ui, field, &mut draft.supplier, &facts.suppliers);
}

fn later_ui(ui: &mut Ui, draft: &mut PurchaseDraft, facts: &Facts, problems: &Problems) {
    ui.add_space(space::SMALL);
    ui.horizontal(|ui| {
        if quiet_button(ui, "Add a line")
            .on_hover_text("Ctrl+L")
            .clicked()
        {
            draft.lines.push(LineDraft::added());
        }
        if !draft.is_more
            && quiet_button(ui, "More on this receipt")
                .on_hover_text("Carriage, tax, discount, number: Ctrl+M")
                .clicked()
        {
            draft.is_more = true;
            draft.more_takes_focus = true;
        }
    });
    if draft.is_more {
        more_ui(ui, draft, facts, problems);
    }
    ui.add_space(space::SMALL);
    parts::total_line(ui, "Total on the receipt", &facts.show(draft.total(facts)));
    if let Some(line) = &draft.of_line {
        soft(ui, &line.about(draft.total(facts), facts));
    }
    ui.add_space(space::SMALL);
    let columns = widths(ui.available_width(), &[140.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, idx, width| {
        if idx == 0 {
            let field = Field::new("When").width(width).problem(problems.of("date"));
            date_field(ui, field, &mut draft.date, facts.today);
        } else {
            let ways = paid::ways(facts);
            let wrong = problems.of("paid_from");
            select(ui, "Paid from", width, &mut draft.paid_from, &ways, wrong);
        }
    });
    let explained = match draft.paid_from {
        Payment::OwnPocketPutIn => "Counts as money you put in for good (owner contribution).",
        Payment::OwnPocketOwedBack => "The business owes it back to you until it pays you back.",
        Payment::OnBill => {
            "It is owed from today (accounts payable); paying the bill later is no second cost."
        }
        Payment::Account(_) => "",
    };
    if !explained.is_empty() {
        soft(ui, explained);
    }
    if draft.asks_purpose(facts) {
        let field = Field::new("What was it for? (business purpose)")
            .hint("one line is enough")
            .problem(problems.of("purpose"));
        text_field(ui, field, &mut draft.purpose);
    }
}

fn more_ui(ui: &mut Ui, draft: &mut PurchaseDraft, facts: &Facts, problems: &Problems) {
    let takes_focus = std::mem::take(&mut draft.more_takes_focus);
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0, 0.0]);
    cells(ui, &columns, &[0, 1, 2, 3], |ui, idx, width| {
        let (label, name, text) = match idx {
            0 => ("Carriage", "carriage", &mut draft.carriage),
            1 => ("Tax added", "tax", &mut draft.tax),
            2 => ("Discount", "discount", &mut draft.discount),
            _ => ("Number on the paper", "reference", &mut draft.reference),
        };
        let field = Field::new(label)
            .width(width)
            .problem(problems.of(name))
            .take_focus(takes_focus && idx == 0);
        if idx < 3 {
            money_field(ui, field, text, &facts.currency);
        } else {
            text_field(ui, field, text);
        }
    });
    soft(
        ui,
        "Carriage, tax that you do not get back and the discount are shared over the lines by value, to the last cent.",
    );
}

fn foot_ui(
    ui: &mut Ui,
    draft: &mut PurchaseDraft,
    facts: &Facts,
    problems: &Problems,
) -> Option<FormEvent> {
    let mut event = None;
    for words in draft.hints(facts) {
        parts::hint(ui, &words);
    }
    if draft.receipt.file.is_none() {
        ui.checkbox(
            &mut draft.is_from_private_seller,
            "There is no receipt: bought from a private person, or lost",
        );
        if draft.is_from_private_seller {
            let field = Field::new("What stands in for the receipt")
                .hint("signed note, photographs, the listing")
                .problem(problems.of("stands_in"));
            text_field(ui, field, &mut draft.stands_in);
            if quiet_button(ui, "Make the note to sign").clicked() {
                event = Some(FormEvent::PurchaseNote);
            }
            soft(
                ui,
                "Two copies on one sheet, with the serial number and the condition; print it, both of you sign.",
            );
        }
    }
    event
}
