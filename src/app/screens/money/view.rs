//! Money as it is drawn.
//! What it says is worked out in `model`.

use egui::{RichText, Ui};

use super::model::{AccountRow, MoneyModel, agreed_words, private_sentence};
use crate::app::action::{Action, Form, FormWish};
use crate::app::charts::{LineStroke, TimeLine, time_lines};
use crate::app::screens::explain;
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    card, card_heading, columns, empty_state, second_line, secondary_button, soft,
};
use crate::dates::show_day;
use crate::ledger::EntryKind;
use crate::money::{Currency, Money};
use crate::reports::AgreedReport;

/// What can be done with money, in the maker's words.
const DEEDS: [(&str, Form, &str); 7] = [
    (
        "I put money in",
        Form::OwnerIn,
        "Owner's money in, a contribution of capital",
    ),
    (
        "I took money out",
        Form::OwnerOut,
        "Owner's money out, a drawing",
    ),
    (
        "I moved money",
        Form::Transfer,
        "Between your own accounts: neither income nor cost",
    ),
    (
        "I paid off a card or bill",
        Form::Settlement,
        "A settlement, never a second cost",
    ),
    (
        "That was private",
        Form::PrivatePayment,
        "A private thing the business paid",
    ),
    (
        "I paid myself back",
        Form::OwnerRepaid,
        "For what you paid from your own pocket",
    ),
    (
        "I paid the business back",
        Form::OwnerPaysBack,
        "For private things it had paid: what you owe it goes down",
    ),
];

/// Shows the room.
#[must_use]
pub fn money_ui(ui: &mut Ui, model: &MoneyModel, currency: &Currency) -> Option<Action> {
    let mut asked = None;
    let shown = currency.show(model.in_hand);
    let words = RichText::new(format!("You have {shown} in bank and cash.")).font(theme::heading());
    let heading = ui.add(egui::Label::new(words).sense(egui::Sense::click()).wrap());
    if heading.on_hover_text("Where this comes from").clicked() {
        asked = Some(explain::open(model.source.clone()));
    }
    second_line(
        ui,
        "Every account with what it holds today; open one to see each movement.",
    );
    if model.is_empty {
        ui.add_space(space::LARGE);
        let begun = empty_state(
            ui,
            "No money has moved yet",
            "This room shows what is in the bank and the cash box, what is owed to you and by you, and how it went \
             over time. It begins with the first money you put in.",
            &["Put money in", "Bring a statement"],
        );
        return asked.or(begun.map(|step| match step {
            0 => Action::Start(FormWish::new(Form::OwnerIn)),
            _ => super::open_statement_file(),
        }));
    }
    ui.add_space(space::MEDIUM);
    asked = asked.or(deeds_ui(ui));
    ui.add_space(space::MEDIUM);
    asked = asked.or(statements_ui(ui, model.lines));
    ui.add_space(space::LARGE);
    asked = asked.or(accounts_ui(ui, model, currency));
    if !model.agreed.is_empty() {
        ui.add_space(space::LARGE);
        asked = asked.or(agreed_ui(ui, &model.agreed));
    }
    ui.add_space(space::LARGE);
    over_time_ui(ui, model, currency);
    ui.add_space(space::LARGE);
    asked.or(private_ui(ui, model, currency))
}

fn deeds_ui(ui: &mut Ui) -> Option<Action> {
    let mut asked = None;
    ui.horizontal_wrapped(|ui| {
        for (words, form, term) in DEEDS {
            if secondary_button(ui, words, "")
                .on_hover_text(term)
                .clicked()
            {
                asked = Some(Action::Start(FormWish::new(form)));
            }
        }
    });
    asked
}

/// What of the statements is not in the books yet, and the way to bring more.
fn statements_ui(ui: &mut Ui, (n_lines, n_to_sort): (usize, usize)) -> Option<Action> {
    let words = match (n_lines, n_to_sort) {
        (0, _) => "Bring in what the bank and the card wrote down, and most of the year is entered with a few keys."
            .to_owned(),
        (_, 0) => "Every line of your statements is in the books or was left out with a reason."
            .to_owned(),
        (_, 1) => "1 line of your statements is not in the books yet.".to_owned(),
        (_, count) => format!("{count} lines of your statements are not in the books yet."),
    };
    let mut asked = None;
    ui.horizontal_wrapped(|ui| {
        ui.label(words);
        if n_to_sort > 0 && secondary_button(ui, "Sort them", "").clicked() {
            asked = Some(super::open_tray());
        }
        if secondary_button(ui, "Bring a statement", "")
            .on_hover_text("CSV, OFX or camt.053; files can also be dropped here")
            .clicked()
        {
            asked = Some(super::open_statement_file());
        }
    });
    asked
}

/// How far each account agrees with its statements.
fn agreed_ui(ui: &mut Ui, agreed: &[AgreedReport]) -> Option<Action> {
    card(ui, |ui| {
        card_heading(ui, "Held against the statements").on_hover_text("Bank reconciliation");
        let columns = [
            Column::words("Account", 1.0),
            Column::words("Statement", 1.6),
        ];
        let rows: Vec<Row> = agreed
            .iter()
            .map(|one| {
                Row::line(vec![
                    Cell::text(one.name.clone()),
                    Cell::opens(agreed_words(one)),
                ])
            })
            .collect();
        let (row, _column) = paper_table(ui, "against the statements", &columns, &rows)?;
        let one = agreed.get(row)?;
        Some(super::open_agreement(one.account))
    })
}

fn accounts_ui(ui: &mut Ui, model: &MoneyModel, currency: &Currency) -> Option<Action> {
    let mut asked = None;
    let money = |ui: &mut Ui| {
        card(ui, |ui| {
            card_heading(ui, "Bank and cash").on_hover_text("Cash and cash equivalents");
            table_ui(
                ui,
                "bank and cash",
                &model.money,
                Some((model.in_hand, &model.source)),
                currency,
            )
        })
    };
    let owed = |ui: &mut Ui| {
        card(ui, |ui| {
            card_heading(ui, "Owed").on_hover_text("Receivables and payables");
            if model.owed.is_empty() {
                soft(ui, "Nothing is owed either way.");
            }
            table_ui(ui, "owed", &model.owed, None, currency)
        })
    };
    if ui.available_width() >= 860.0 {
        columns(ui, &[1.0, 1.0], |parts| {
            if let [left, right] = parts {
                asked = money(left).or(owed(right));
            }
        });
    } else {
        asked = money(ui);
        ui.add_space(space::LARGE);
        asked = asked.take().or(owed(ui));
    }
    asked
}

fn table_ui(
    ui: &mut Ui,
    name: &str,
    accounts: &[AccountRow],
    total: Option<(Money, &explain::Source)>,
    currency: &Currency,
) -> Option<Action> {
    let columns = [
        Column::words("Account", 1.0),
        Column::narrow("Last moved", 92.0),
        Column::figures("Today", 104.0),
    ];
    let mut rows: Vec<Row> = accounts
        .iter()
        .map(|row| {
            let name = if row.about.is_empty() {
                row.name.clone()
            } else {
                format!("{}, {}", row.name, row.about)
            };
            Row::line(vec![
                Cell::opens(name),
                Cell::soft(row.last.map_or_else(|| "never".to_owned(), show_day)),
                Cell::opens(currency.show(row.balance)),
            ])
        })
        .collect();
    if let Some((total, _source)) = total {
        rows.push(Row::last(vec![
            Cell::text("Together"),
            Cell::default(),
            Cell::opens(currency.show(total)),
        ]));
    }
    let (row, _column) = paper_table(ui, name, &columns, &rows)?;
    match accounts.get(row) {
        Some(row) => Some(super::open_account(row.account)),
        None => total.map(|(_total, source)| explain::open(source.clone())),
    }
}

fn over_time_ui(ui: &mut Ui, model: &MoneyModel, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Bank and cash over time");
        let labels: Vec<String> = model
            .over_time
            .iter()
            .map(|(month, _held)| month.name().chars().take(3).collect())
            .collect();
        let line = TimeLine {
            name: "in hand".to_owned(),
            amounts: model.over_time.iter().map(|(_month, held)| *held).collect(),
            stroke: LineStroke::Solid,
        };
        if labels.len() < 2 {
            soft(ui, "A line needs two months; choose a longer period above.");
            return;
        }
        time_lines(ui, "money over time", &labels, &[line], currency, 170.0);
    });
}

fn private_ui(ui: &mut Ui, model: &MoneyModel, currency: &Currency) -> Option<Action> {
    let mut asked = None;
    card(ui, |ui| {
        card_heading(ui, "Private things the business paid")
            .on_hover_text("Drawings by way of payment");
        soft(ui, &private_sentence(&model.private));
        if model.private.is_empty() {
            return;
        }
        let columns = [
            Column::words("Month", 1.0),
            Column::figures("How many", 90.0),
            Column::figures("Amount", 104.0),
        ];
        let rows: Vec<Row> = model
            .private
            .iter()
            .map(|row| {
                Row::line(vec![
                    Cell::text(row.month.to_string()),
                    Cell::text(row.count.to_string()),
                    Cell::opens(currency.show(row.amount)),
                ])
            })
            .collect();
        if let Some((row, _column)) = paper_table(ui, "private things", &columns, &rows)
            && let Some(private) = model.private.get(row)
        {
            let range = private.month.range();
            let source = explain::Source::OfKind(EntryKind::PrivatePayment, range);
            asked = Some(explain::open(source));
        }
    });
    asked
}
