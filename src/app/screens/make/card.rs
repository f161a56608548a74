//! The cost card of a product: what one order costs, what is kept of its price, what an hour earns, which price would do.
//! Its fields are for trying things out: nothing here touches the book. What is typed is read in `card_draft`.

use egui::{RichText, Ui};

use super::card_draft::{CardDraft, typed_unit};
use crate::app::action::Action;
use crate::app::forms::parts::{cells, select, two_columns, widths};
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, money_field, problem, second_line, soft,
    text_field,
};
use crate::book::{Book, BookError};
use crate::deciding::{CostBasis, FeeBase, Figure, Part, UnitCost, Worksheet};
use crate::export::json::CARD_CAUTION;
use crate::money::Currency;
use crate::reports::{self, CardKnown, CardTold};

/// Opens the card of a product.
#[must_use]
pub fn open_card(code: String) -> Action {
    Action::Open(Box::new(CardScreen {
        code,
        known: None,
        draft: None,
        told: None,
    }))
}

/// The screen.
pub struct CardScreen {
    code: String,
    known: Option<CardKnown>,
    draft: Option<CardDraft>,
    told: Option<(CardDraft, Result<CardTold, String>)>,
}

impl Screen for CardScreen {
    fn title(&self) -> String {
        "Cost card".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.known = reports::card_known(book, &self.code, cx.today)?;
        self.told = None;
        if let (Some(known), None) = (&self.known, &self.draft) {
            self.draft = Some(CardDraft::new(known, cx.currency));
        }
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (Some(known), Some(draft)) = (&self.known, &mut self.draft) else {
            ui.label("This item is no longer kept.");
            return None;
        };
        if self.told.as_ref().is_none_or(|(of, _told)| of != draft) {
            self.told = Some((draft.clone(), draft.tell(known, cx.currency)));
        }
        let told = self.told.as_ref().map(|(_of, told)| told);
        let name = &known.making.item.name;
        let title = match told {
            Some(Ok(told)) => format!("{}.", told.figures.sentence(cx.currency)),
            _ => format!("What {name} costs and leaves"),
        };
        ui.label(RichText::new(title).font(theme::heading()));
        second_line(
            ui,
            &format!("Cost card of {name}: try things out; nothing here changes the book."),
        );
        ui.add_space(space::LARGE);
        two_columns(
            ui,
            draft,
            |ui, draft| {
                fields_ui(ui, draft, known, cx.currency);
                ui.add_space(space::LARGE);
                more_ui(ui, draft, known, cx.currency);
                ui.add_space(space::LARGE);
                caution(ui, CARD_CAUTION);
            },
            |ui, _draft| match told {
                Some(Ok(told)) => told_ui(ui, told, cx.currency),
                Some(Err(words)) => {
                    problem(ui, words);
                }
                None => {}
            },
        );
        None
    }
}

fn fields_ui(ui: &mut Ui, draft: &mut CardDraft, known: &CardKnown, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "What if");
        soft(
            ui,
            "What goes into a piece comes from its recipe and your stock. Leave a field empty while you do not know it; write \
             0 where there is nothing of it.",
        );
        let rows: [[(&str, &mut String, bool); 3]; 3] = [
            [
                ("Price of one", &mut draft.price, true),
                ("Pieces in an order", &mut draft.pieces, false),
                ("Packaging of an order", &mut draft.packaging, true),
            ],
            [
                ("Postage you charge", &mut draft.postage, true),
                ("What the label costs", &mut draft.label, true),
                ("Wear of equipment a piece", &mut draft.wear, false),
            ],
            [
                ("Your minutes a piece", &mut draft.minutes, false),
                ("Your hour is worth", &mut draft.rate, true),
                ("Share to keep, per cent", &mut draft.margin, false),
            ],
        ];
        for row in rows {
            row_ui(ui, row, currency);
        }
        let width = ui.available_width().min(260.0);
        if !known.channels.is_empty() {
            let mut shops: Vec<(Option<usize>, String)> = known
                .channels
                .iter()
                .enumerate()
                .map(|(idx, one)| (Some(idx), one.name.clone()))
                .collect();
            shops.push((None, "somewhere else".to_owned()));
            if select(ui, "Sold at", width, &mut draft.channel, &shops, None) {
                let share = draft.channel.and_then(|idx| known.channels.get(idx));
                draft.fee_percent = share.map_or_else(String::new, |one| one.percent.to_string());
            }
            ui.add_space(space::SMALL);
        }
        let fees: [(&str, &mut String, bool); 2] = [
            ("The shop's fee, per cent", &mut draft.fee_percent, false),
            ("And for each order", &mut draft.fee_fixed, true),
        ];
        row_ui(ui, fees, currency);
        let bases = [
            (FeeBase::Price, "of the price".to_owned()),
            (FeeBase::PriceAndPostage, "of price and postage".to_owned()),
        ];
        select(ui, "The fee is taken", width, &mut draft.base, &bases, None);
        ui.add_space(space::SMALL);
        let bases = CostBasis::ALL.map(|basis| (basis, basis.label()));
        choice_chips(ui, "At which cost", &mut draft.basis, &bases);
    });
}

/// What comes once, what is paid every month, other prices, and what things will cost.
fn more_ui(ui: &mut Ui, draft: &mut CardDraft, known: &CardKnown, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "What comes once, and every month");
        soft(
            ui,
            "A plate, a proof, a licence for the design; setting up at every run. They are shown apart, not in the price above.",
        );
        let rows: [[(&str, &mut String, bool); 3]; 2] = [
            [
                ("Once for the design", &mut draft.design, true),
                ("At every run", &mut draft.run, true),
                ("Pieces of a run", &mut draft.run_pieces, false),
            ],
            [
                ("Planned in all", &mut draft.planned, false),
                ("Paid every month", &mut draft.fixed, true),
                ("An offer, per cent off", &mut draft.offer, false),
            ],
        ];
        for row in rows {
            row_ui(ui, row, currency);
        }
        row_ui(
            ui,
            [("A shop would pay, each", &mut draft.wholesale, true)],
            currency,
        );
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "What it will cost when next ordered")
            .on_hover_text("Replacement cost of what goes in");
        for (input, (_code, words, text)) in known.making.inputs.iter().zip(&mut draft.next) {
            let columns = widths(ui.available_width(), &[0.0, 0.0]);
            ui.push_id(("next", &input.code), |ui| {
                cells(ui, &columns, &[0, 1], |ui, cell, width| {
                    if cell == 0 {
                        let mut field = Field::new(words).width(width);
                        field.right = true;
                        text_field(ui, field, text);
                    } else {
                        ui.add_space(space::LARGE);
                        soft(ui, &so_far(input, currency));
                    }
                });
            });
        }
    });
}

/// What one unit of an input cost until now.
fn so_far(input: &reports::Input, currency: &Currency) -> String {
    match (input.average, input.latest) {
        (None, None) => "what it costs is not known: it never came in".to_owned(),
        (average, latest) => {
            let shown = |cost: Option<UnitCost>| {
                cost.map_or_else(|| "\u{2013}".to_owned(), |cost| typed_unit(cost, currency))
            };
            format!("on average {}, last time {}", shown(average), shown(latest))
        }
    }
}

fn row_ui<const N: usize>(
    ui: &mut Ui,
    mut row: [(&str, &mut String, bool); N],
    currency: &Currency,
) {
    let columns = widths(ui.available_width(), &[0.0; N]);
    let order: Vec<usize> = (0..N).collect();
    cells(ui, &columns, &order, |ui, cell, width| {
        if let Some((label, text, is_money)) = row.get_mut(cell) {
            let mut field = Field::new(label).width(width);
            field.right = true;
            if *is_money {
                money_field(ui, field, text, currency);
            } else {
                text_field(ui, field, text);
            }
        }
    });
}

/// Numbered lines with their formulas beneath; those of `totals` stand under a rule.
pub(in crate::app::screens) fn sheet_ui(
    ui: &mut Ui,
    name: &str,
    sheet: &Worksheet,
    totals: &[&str],
    currency: &Currency,
) {
    let columns = [Column::words("", 1.6), Column::figures("", 84.0)];
    let mut rows = Vec::new();
    for line in sheet.lines() {
        let cells = vec![
            Cell::text(format!("{}. {}", line.no, line.label)),
            Cell::text(line.amount.show(currency)),
        ];
        rows.push(if totals.contains(&line.key) {
            Row::total(cells)
        } else {
            Row::line(cells)
        });
        if !line.formula.is_empty() {
            rows.push(Row::line(vec![Cell::soft(line.formula.clone())]));
        }
    }
    let _nothing_opens = paper_table(ui, name, &columns, &rows);
}

fn told_ui(ui: &mut Ui, told: &CardTold, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "What follows");
        for words in told.sentences(currency) {
            ui.label(words);
            ui.add_space(space::SMALL);
        }
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "How it comes about");
        sheet_ui(
            ui,
            "cost card",
            &told.figures.sheet,
            &["kept", "left"],
            currency,
        );
    });
    ui.add_space(space::LARGE);
    compared_ui(ui, told, currency);
    card(ui, |ui| {
        card_heading(ui, "Where the figures come from");
        for (what, words) in &told.sources {
            soft(ui, &format!("{what}: {words}."));
        }
        for part in &told.figures.open {
            // The register's own words say why its wear is not known.
            if *part != Part::Wear {
                soft(ui, &format!("Not known: {}.", part.label()));
            }
        }
        for name in &told.figures.unknown {
            soft(
                ui,
                &format!("Not known: what {name} costs, for it never came in."),
            );
        }
    });
}

/// The same at other costs, and what comes once spread three ways.
fn compared_ui(ui: &mut Ui, told: &CardTold, currency: &Currency) {
    let margin = |percent: Option<rust_decimal::Decimal>| {
        Cell::text(percent.map_or_else(
            || "\u{2013}".to_owned(),
            |percent| Figure::Percent(percent).show(currency),
        ))
    };
    if let Some(views) = &told.by_cost {
        card(ui, |ui| {
            card_heading(ui, "At what the materials cost");
            let columns = [
                Column::words("", 1.0),
                Column::figures("Kept", 70.0),
                Column::figures("Share", 64.0),
            ];
            let rows: Vec<Row> = views
                .iter()
                .map(|view| {
                    Row::line(vec![
                        Cell::text(view.basis.label()),
                        Cell::text(currency.show(view.figures.kept)),
                        margin(view.figures.margin_percent),
                    ])
                })
                .collect();
            let _nothing_opens = paper_table(ui, "at each cost", &columns, &rows);
        });
        ui.add_space(space::LARGE);
    }
    if !told.once.is_empty() {
        card(ui, |ui| {
            card_heading(ui, "What comes once, spread over");
            let columns = [
                Column::words("", 1.0),
                Column::figures("On each", 70.0),
                Column::figures("Kept", 70.0),
            ];
            let rows: Vec<Row> = told
                .once
                .iter()
                .map(|view| {
                    let each = UnitCost::from_minor(view.each.round_dp(6)).unwrap_or_default();
                    Row::line(vec![
                        Cell::text(view.spread.label()),
                        Cell::text(each.show(currency)),
                        Cell::text(currency.show(view.figures.kept)),
                    ])
                })
                .collect();
            let _nothing_opens = paper_table(ui, "what comes once", &columns, &rows);
        });
        ui.add_space(space::LARGE);
    }
}
