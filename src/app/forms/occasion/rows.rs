//! Rows of an answer: so many of an item, with what they came to, or an amount on an account.
//! Which of them a question takes is its kind's.

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::Facts;
use crate::app::forms::parts::{cells, widths};
use crate::app::forms::stock::item_field;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card_heading, money_field, problem, quiet_button, soft, suggest_field, text_field,
};
use crate::occasions::{Accounts, Ask, AskKind};

/// One row being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct RowDraft {
    /// The item or the account, by name, code or number.
    pub what: String,
    /// How many.
    pub many: String,
    /// How much.
    pub amount: String,
    #[serde(skip)]
    takes_focus: bool,
}

impl RowDraft {
    /// An empty row that was asked for, to which the keyboard goes.
    #[must_use]
    pub fn added() -> Self {
        Self {
            takes_focus: true,
            ..Self::default()
        }
    }

    /// Whether nothing was typed in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        [&self.what, &self.many, &self.amount]
            .into_iter()
            .all(|text| text.trim().is_empty())
    }

    /// The row as a sheet writes it.
    pub(super) fn answer(&self, kind: AskKind, facts: &Facts) -> String {
        let what = self.what.trim();
        let amount = facts.currency.parse_typed(&self.amount).map_or_else(
            |_error| self.amount.trim().to_owned(),
            |amount| facts.currency.plain(amount),
        );
        if kind == AskKind::Amounts {
            let account = facts.chart.find(what).map(|account| account.number.clone());
            let account = account.unwrap_or_else(|_error| what.replace([':', ';'], " "));
            return format!("{account}:{amount}");
        }
        let code = facts.stock.find(what).map_or_else(
            || {
                let bundle = facts.stock.bundle(what);
                bundle.map_or_else(|| what.replace([':', ';'], " "), |one| one.code.clone())
            },
            |item| item.code.clone(),
        );
        let many = self.many.trim().replace(',', ".");
        match kind {
            AskKind::PricedPieces if !self.amount.trim().is_empty() => {
                format!("{code}:{many}:{amount}")
            }
            _ => format!("{code}:{many}"),
        }
    }
}

/// Draws the rows of a question under its label, and the button for one more.
pub(super) fn rows_ui(
    ui: &mut Ui,
    ask: &Ask,
    rows: &mut Vec<RowDraft>,
    facts: &Facts,
    wrong: Option<&str>,
    take_focus: bool,
) {
    ui.add_space(space::SMALL);
    card_heading(ui, ask.label);
    if !ask.hint.is_empty() {
        soft(ui, ask.hint);
    }
    let is_new = rows.is_empty();
    if is_new {
        rows.push(RowDraft::default());
    }
    if let Some(first) = rows.first_mut()
        && take_focus
    {
        first.takes_focus = true;
    }
    let mut removed = None;
    let count = rows.len();
    for (idx, row) in rows.iter_mut().enumerate() {
        ui.push_id((ask.key, idx), |ui| {
            let named = |words: &str| match idx {
                0 => words.to_owned(),
                idx => format!("{words} {}", idx + 1),
            };
            // A screen reader hears which list a field belongs to.
            let of_list = |ui: &Ui, response: &egui::Response| {
                ui.ctx().accesskit_node_builder(response.id, |node| {
                    node.set_description(ask.label);
                });
            };
            let mut shares = vec![0.0];
            if ask.kind != AskKind::Amounts {
                shares.push(92.0);
            }
            if ask.kind != AskKind::Pieces {
                shares.push(120.0);
            }
            shares.push(60.0);
            let columns = widths(ui.available_width(), &shares);
            let order: Vec<usize> = (0..shares.len()).collect();
            let last = shares.len() - 1;
            cells(ui, &columns, &order, |ui, cell, width| {
                if cell == 0 {
                    let response = what_ui(ui, ask.kind, row, facts, (&named("What"), width));
                    of_list(ui, &response);
                } else if cell == last {
                    if count > 1 {
                        ui.add_space(24.0);
                        let away = quiet_button(ui, "Away");
                        let name = format!("Take away {}, {}", idx + 1, lower(ask.label));
                        away.widget_info(|| {
                            egui::WidgetInfo::labeled(egui::Role::Button, true, &name)
                        });
                        if away.clicked() {
                            removed = Some(idx);
                        }
                    }
                } else if cell == 1 && ask.kind != AskKind::Amounts {
                    let label = named("How many");
                    let mut field = Field::new(&label).width(width);
                    field.right = true;
                    let response = text_field(ui, field, &mut row.many);
                    of_list(ui, &response);
                } else {
                    let label = named(if ask.kind == AskKind::Amounts {
                        "How much"
                    } else {
                        "For"
                    });
                    let hint = if ask.kind == AskKind::PricedPieces {
                        "its price"
                    } else {
                        ""
                    };
                    let field = Field::new(&label).width(width).hint(hint);
                    let (response, _) = money_field(ui, field, &mut row.amount, &facts.currency);
                    of_list(ui, &response);
                }
            });
        });
    }
    if let Some(idx) = removed {
        rows.remove(idx);
    }
    if let Some(words) = wrong {
        problem(ui, words);
    }
    let more = quiet_button(ui, "Add a line");
    let name = format!("Add a line: {}", lower(ask.label));
    more.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    if more.clicked() {
        rows.push(RowDraft::added());
    }
}

fn what_ui(
    ui: &mut Ui,
    kind: AskKind,
    row: &mut RowDraft,
    facts: &Facts,
    (label, width): (&str, f32),
) -> egui::Response {
    let field = Field::new(label)
        .width(width)
        .take_focus(std::mem::take(&mut row.takes_focus));
    if kind == AskKind::Amounts {
        let names = cost_names(Accounts::Costs, facts);
        suggest_field(ui, field, &mut row.what, &names).0
    } else {
        let items = facts.stock.offered(|_any| true);
        item_field(ui, field, &mut row.what, &items, &facts.stock, false).0
    }
}

/// The names of all accounts that a cost can go to.
pub(super) fn cost_names(costs: Accounts, facts: &Facts) -> Vec<String> {
    facts
        .chart
        .accounts()
        .into_iter()
        .filter(|account| account.is_active && costs.fits(account))
        .map(|account| account.name.clone())
        .collect()
}

/// A label as the end of another.
pub(super) fn lower(label: &str) -> String {
    let mut letters = label.chars();
    letters
        .next()
        .map(|first| first.to_lowercase().chain(letters).collect())
        .unwrap_or_default()
}
