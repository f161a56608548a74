//! The sale form as it is drawn: what was sold at its full price, then what was taken out of it.
//! What the fields mean is `draft`.

use egui::Ui;

use super::draft::{SaleDraft, SaleLineDraft, TaxState};
use crate::app::forms::FormEvent;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::Problems;
use crate::app::forms::parts::{self, cells, select, widths};
use crate::app::forms::stock::in_units;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, caution, choice_chips, date_field, money_field, quiet_button, secondary_button,
    soft, suggest_field, text_field,
};
use crate::ledger::{AccountId, Role};
use crate::stock::Item;

/// Draws the sale's own card.
pub fn sale_ui(
    ui: &mut Ui,
    draft: &mut SaleDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) -> Option<FormEvent> {
    let mut event = None;
    card(ui, |ui| {
        lines_ui(ui, draft, facts, problems, take_focus);
        ui.add_space(space::SMALL);
        event = where_ui(ui, draft, facts, problems);
        ui.add_space(space::SMALL);
        added_ui(ui, draft, facts, problems);
        if draft.is_by_channel(facts) {
            fees_ui(ui, draft, facts, problems);
        }
        ui.add_space(space::SMALL);
        parts::total_line(ui, "The customer pays", &facts.show(draft.total(facts)));
        if let Some(words) = draft.lands(facts) {
            ui.label(words);
            ui.add_space(space::SMALL);
        }
        if let Some(hint) = draft.payout_hint(facts) {
            caution(ui, &hint.sentence(&facts.currency));
            if secondary_button(ui, "Make it a payout instead", "").clicked() {
                event = Some(FormEvent::MakeItAPayout {
                    channel: hint.channel,
                    into: draft.paid_into,
                    amount: hint.amount,
                });
            }
        }
        for words in draft.hints(facts) {
            parts::hint(ui, &words);
        }
    });
    event
}

fn lines_ui(
    ui: &mut Ui,
    draft: &mut SaleDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let mut removed = None;
    let n_lines = draft.lines.len();
    let products = SaleDraft::products(facts);
    let shop = draft.paid_into.map(|id| facts.name(id)).unwrap_or_default();
    for (idx, line) in draft.lines.iter_mut().enumerate() {
        ui.push_id(("line", idx), |ui| {
            let has_remove = n_lines > 1;
            let columns = widths(ui.available_width(), &[0.0, 120.0, 86.0]);
            let named = |words: &str| {
                if idx == 0 {
                    words.to_owned()
                } else {
                    format!("{words} {}", idx + 1)
                }
            };
            cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
                0 => {
                    let label = named("What");
                    let field = Field::new(&label)
                        .width(width)
                        .hint("A5 notebook, linen")
                        .take_focus(
                            take_focus && idx == 0 || std::mem::take(&mut line.takes_focus),
                        );
                    suggest_field(ui, field, &mut line.what, &products);
                }
                1 => {
                    let label = named("Full price");
                    let field = Field::new(&label)
                        .width(width)
                        .problem(problems.on("amount", idx));
                    money_field(ui, field, &mut line.amount, &facts.currency);
                }
                _ => {
                    let label = named("How many");
                    let mut field = Field::new(&label)
                        .width(width)
                        .problem(problems.on("quantity", idx));
                    field.right = true;
                    text_field(ui, field, &mut line.quantity);
                }
            });
            line.propose(facts, &shop);
            if let Some(item) = line.product(facts) {
                let item = item.clone();
                in_stock_ui(ui, &named("From where"), line, &item, facts);
            }
            if let Some(bundle) = line.bundle(facts) {
                soft(ui, &facts.stock.sets_in_words(bundle));
            }
            if has_remove && quiet_button(ui, "Take this line away").clicked() {
                removed = Some(idx);
            }
        });
    }
    if let Some(idx) = removed {
        draft.lines.remove(idx);
    }
    if quiet_button(ui, "Add a line")
        .on_hover_text("Ctrl+L")
        .clicked()
    {
        draft.lines.push(SaleLineDraft::added());
    }
}

/// For a product in stock: how many there are, and from which place it goes when it lies in several.
fn in_stock_ui(ui: &mut Ui, label: &str, line: &mut SaleLineDraft, item: &Item, facts: &Facts) {
    let places = facts.stock.places_of(&item.code);
    let is_elsewhere = places.iter().any(|(place, _many)| !place.is_empty());
    if is_elsewhere {
        let mut choices: Vec<(String, String)> = places
            .iter()
            .map(|(place, many)| {
                let at = if place.is_empty() { "at home" } else { place };
                let words = format!("{at} ({} there)", in_units(many.value(), item));
                ((*place).to_owned(), words)
            })
            .collect();
        if !choices.iter().any(|(place, _words)| place.is_empty()) {
            choices.insert(0, (String::new(), "at home (none there)".to_owned()));
        }
        let width = ui.available_width().min(300.0);
        select(ui, label, width, &mut line.place, &choices, None);
        return;
    }
    let there = in_units(facts.stock.quantity(&item.code).value(), item);
    let words = if facts.stock.is_periodic {
        format!("In stock: {there}; what they cost was booked when it was bought.")
    } else {
        format!("In stock: {there}; they leave at what they cost.")
    };
    soft(ui, &words);
}

fn where_ui(
    ui: &mut Ui,
    draft: &mut SaleDraft,
    facts: &Facts,
    problems: &Problems,
) -> Option<FormEvent> {
    let mut event = None;
    let columns = widths(ui.available_width(), &[0.0, 130.0, 140.0]);
    cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
        0 => {
            let places = places(facts);
            let wrong = problems.of("paid_into");
            select(
                ui,
                "Through which shop, or paid into",
                width,
                &mut draft.paid_into,
                &places,
                wrong,
            );
        }
        1 => {
            let field = Field::new("When").width(width).problem(problems.of("date"));
            date_field(ui, field, &mut draft.date, facts.today);
        }
        _ => {
            let field = Field::new("Order number")
                .width(width)
                .problem(problems.of("reference"));
            text_field(ui, field, &mut draft.reference)
                .on_hover_text("The number is enough; a customer's name is nobody's business");
        }
    });
    if draft.is_opening_shop {
        ui.horizontal(|ui| {
            let field = Field::new("Name of the new shop (sales channel)")
                .width(260.0)
                .take_focus(std::mem::take(&mut draft.shop_takes_focus));
            let typed = text_field(ui, field, &mut draft.new_shop);
            let is_entered =
                typed.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
            ui.vertical(|ui| {
                ui.add_space(20.0);
                if (secondary_button(ui, "Add the shop", "").clicked() || is_entered)
                    && !draft.new_shop.trim().is_empty()
                {
                    event = Some(FormEvent::OpenChannel(draft.new_shop.trim().to_owned()));
                }
            });
        });
    } else if quiet_button(ui, "Another shop\u{2026}").clicked() {
        draft.is_opening_shop = true;
        draft.shop_takes_focus = true;
    }
    event
}

/// Where the money of a sale can go: the shops, then her own till and bank, then what customers owe.
fn places(facts: &Facts) -> Vec<(Option<AccountId>, String)> {
    let mut places: Vec<(Option<AccountId>, String)> = facts
        .channels()
        .iter()
        .map(|channel| (Some(channel.id), format!("{} (shop)", channel.name)))
        .collect();
    places.extend(
        facts
            .money()
            .iter()
            .map(|account| (Some(account.id), account.name.clone())),
    );
    for role in [Role::CustomersOwe, Role::CustomerDeposits] {
        if let Some(account) = facts.role(role).and_then(|id| facts.account(id)) {
            places.push((Some(account.id), account.name.clone()));
        }
    }
    places
}

fn added_ui(ui: &mut Ui, draft: &mut SaleDraft, facts: &Facts, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| match cell {
        0 => {
            let field = Field::new("Postage charged")
                .width(width)
                .problem(problems.of("postage"));
            money_field(ui, field, &mut draft.postage, &facts.currency);
        }
        _ => {
            let field = Field::new("Discount you gave")
                .width(width)
                .problem(problems.of("discount"));
            money_field(ui, field, &mut draft.discount, &facts.currency);
        }
    });
    ui.add_space(space::SMALL);
    let mut states = vec![(TaxState::None, "none")];
    if draft.is_by_channel(facts) {
        states.push((TaxState::ByChannel, "the shop collects and pays it"));
    } else if draft.tax_state == TaxState::ByChannel {
        draft.tax_state = TaxState::None;
    }
    states.push((TaxState::Ours, "I collect it and owe it"));
    choice_chips(ui, "Tax on this sale", &mut draft.tax_state, &states);
    let words = match draft.tax_state {
        TaxState::None => "",
        TaxState::ByChannel => {
            "Not yours: it is kept as a note only, to explain the shop's yearly report."
        }
        TaxState::Ours => {
            "Charged on top of the price; you owe it (sales tax to pay over) and it is no income."
        }
    };
    if !words.is_empty() {
        soft(ui, words);
        let wrong = problems
            .of("tax_ours")
            .or_else(|| problems.of("tax_by_channel"));
        let width = columns.first().copied().unwrap_or_default();
        let field = Field::new("Sales tax").width(width).problem(wrong);
        money_field(ui, field, &mut draft.tax, &facts.currency);
    }
}

fn fees_ui(ui: &mut Ui, draft: &mut SaleDraft, facts: &Facts, problems: &Problems) {
    ui.add_space(space::SMALL);
    soft(ui, "What the shop took out, each fee on its own line");
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0, 0.0]);
    const FIELDS: [(&str, &str); 4] = [
        ("Listing fee", "fee_listing"),
        ("Selling fee", "fee_commission"),
        ("Processing fee", "fee_processing"),
        ("Other fee", "fee_other"),
    ];
    cells(ui, &columns, &[0, 1, 2, 3], |ui, cell, width| {
        if let (Some((label, field)), Some(text)) =
            (FIELDS.get(cell), draft.fees.amounts.get_mut(cell))
        {
            let field = Field::new(label).width(width).problem(problems.of(field));
            money_field(ui, field, text, &facts.currency);
        }
    });
}
