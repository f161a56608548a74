//! The kinds that things are remembered under, and moving everything of one kind to another account at once.
//! The move is one write, with its reason in the history; locked periods stay as they are.

use egui::Ui;

use crate::app::action::Write;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, problem, secondary_button, soft, text_field,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::ledger::{AccountClass, AccountId, EntryKind, Role};

/// Things shown of one kind before the rest is counted.
const THINGS_SHOWN: usize = 4;

/// The kinds as remembered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KindsModel {
    /// Account, its name, and the things that went there.
    pub rows: Vec<(AccountId, String, Vec<String>)>,
}

impl KindsModel {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book) -> Result<Self, BookError> {
        let mut rows: Vec<(AccountId, String, Vec<String>)> = Vec::new();
        for one in book.remembered_kinds()? {
            match rows
                .iter_mut()
                .find(|(account, ..)| *account == one.account)
            {
                Some((.., things)) => {
                    if !things.contains(&one.thing) {
                        things.push(one.thing);
                    }
                }
                None => {
                    let name = book
                        .chart()
                        .account(one.account)
                        .map_or_else(|_gone| String::new(), |account| account.name.clone());
                    rows.push((one.account, name, vec![one.thing]));
                }
            }
        }
        rows.sort_by_key(|(.., things)| std::cmp::Reverse(things.len()));
        Ok(Self { rows })
    }
}

/// How far a move reaches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Reach {
    /// The period chosen above.
    #[default]
    Period,
    /// The whole book.
    Book,
}

/// A move being filled in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KindsDraft {
    from: Option<AccountId>,
    to: Option<AccountId>,
    reach: Reach,
    supplier: String,
    reason: String,
    was_tried: bool,
}

/// Draws the card.
pub fn kinds_ui(
    ui: &mut Ui,
    model: &KindsModel,
    draft: &mut KindsDraft,
    cx: &ViewContext<'_>,
) -> Option<Write> {
    let mut write = None;
    card(ui, |ui| {
        card_heading(ui, "Which kind is which").on_hover_text("Classification of purchases");
        if model.rows.is_empty() {
            soft(
                ui,
                "What you buy is remembered here by its kind, and proposed the next time.",
            );
        } else {
            things_ui(ui, model);
        }
        ui.add_space(space::MEDIUM);
        ui.collapsing("Move everything of one kind to another", |ui| {
            write = move_ui(ui, draft, cx);
        });
    });
    write
}

fn things_ui(ui: &mut Ui, model: &KindsModel) {
    let columns = [Column::words("Kind", 1.0), Column::words("Things", 2.0)];
    let rows: Vec<Row> = model
        .rows
        .iter()
        .map(|(_, name, things)| {
            let mut words = things
                .iter()
                .take(THINGS_SHOWN)
                .cloned()
                .collect::<Vec<_>>()
                .join(", ");
            if things.len() > THINGS_SHOWN {
                words.push_str(&format!(" and {} more", things.len() - THINGS_SHOWN));
            }
            Row::line(vec![Cell::text(name.clone()), Cell::soft(words)])
        })
        .collect();
    let _nothing_opens = paper_table(ui, "kinds", &columns, &rows);
}

fn move_ui(ui: &mut Ui, draft: &mut KindsDraft, cx: &ViewContext<'_>) -> Option<Write> {
    soft(
        ui,
        "For an accountant who sorts differently: every line on the first account goes to the second. Each entry keeps its \
         earlier version; locked periods stay as they are, and Undo takes it all back.",
    );
    let choices = accounts(cx);
    let columns = widths(ui.available_width(), &[0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        let (label, chosen) = if cell == 0 {
            ("Everything on", &mut draft.from)
        } else {
            ("goes to", &mut draft.to)
        };
        let wrong = (draft.was_tried && chosen.is_none()).then_some("choose an account");
        select(ui, label, width, chosen, &choices, wrong);
    });
    let reaches = [
        (Reach::Period, "in the period chosen above"),
        (Reach::Book, "in the whole book"),
    ];
    choice_chips(ui, "How far", &mut draft.reach, &reaches);
    let columns = widths(ui.available_width(), &[0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            let field = Field::new("Only from this supplier")
                .width(width)
                .hint("all of them");
            text_field(ui, field, &mut draft.supplier);
        } else {
            let wrong = (draft.was_tried && draft.reason.trim().is_empty())
                .then_some("say why; the history keeps it");
            let field = Field::new("Why").width(width).problem(wrong);
            text_field(ui, field, &mut draft.reason);
        }
    });
    ui.add_space(space::SMALL);
    let is_pressed = secondary_button(ui, "Move everything of this kind", "").clicked();
    let same = draft.from.is_some() && draft.from == draft.to;
    if draft.was_tried && same {
        problem(ui, "choose two different accounts");
    }
    if !is_pressed {
        return None;
    }
    draft.was_tried = true;
    let (from, to) = (draft.from?, draft.to?);
    if same || draft.reason.trim().is_empty() {
        return None;
    }
    let supplier = draft.supplier.trim();
    let filter = EntryFilter {
        range: (draft.reach == Reach::Period).then_some(cx.period),
        kind: Some(EntryKind::Purchase),
        party: (!supplier.is_empty()).then(|| supplier.to_owned()),
        ..EntryFilter::default()
    };
    Some(Write::Reclassify {
        from,
        to,
        filter: Box::new(filter),
        reason: draft.reason.trim().to_owned(),
    })
}

/// The accounts that purchases are sorted under. Equipment has its register, so it is not moved by the kind.
fn accounts(cx: &ViewContext<'_>) -> Vec<(Option<AccountId>, String)> {
    cx.chart
        .accounts()
        .into_iter()
        .filter(|account| match account.class {
            AccountClass::Expense => account.role != Some(Role::Depreciation),
            AccountClass::Asset => matches!(
                account.role,
                Some(
                    Role::Materials | Role::MadeGoods | Role::BoughtInGoods | Role::PackagingOnHand
                )
            ),
            _ => account.role == Some(Role::OwnerDrawings),
        })
        .map(|account| (Some(account.id), account.title()))
        .collect()
}
