//! The page of one piece of equipment: all its fields, its schedule, its book value over time, what can be changed.
//! Forms are in `piece_forms`.

use egui::{RichText, Ui};

use super::model::{convention_note, fields};
use super::payback::open_payback;
use super::piece_forms::{Answer, DetailsDraft, DisposalDraft, TermsDraft};
use crate::app::action::Action;
use crate::app::charts::{LineStroke, TimeLine, time_lines};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::screens::explain::{self, Source};
use crate::app::screens::facts::Facts;
use crate::app::screens::{entry, equipment::view::CAUTION};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    card, card_heading, caution, choice_chips, columns, figure_link, link, secondary_button, soft,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::depreciation::Equipment;
use crate::keeping::{KEEPING_CAUTION, KeepRule};
use crate::ledger::EntryNumber;
use crate::money::{Currency, Money};
use crate::reports::{self, KeptPiece};

/// Opens the page of a piece.
#[must_use]
pub fn open_piece(key: String) -> Action {
    Action::Open(Box::new(PieceScreen::new(key)))
}

/// The page of one piece.
pub struct PieceScreen {
    key: String,
    facts: Option<Facts>,
    /// How long its papers are kept, in sentences; none where no rule is known.
    kept: Option<String>,
    is_by_month: bool,
    form: Option<Form>,
}

/// Until when a piece's papers are kept, and by which rule.
fn kept_words(rule: &KeepRule, piece: &KeptPiece) -> String {
    let until = match piece.until {
        Some(until) => format!(
            "Its receipt and papers: until {} at least.",
            show_day(until)
        ),
        None => format!(
            "Its receipt and papers: while it is there, and then {} years from the return of the year in which it goes.",
            rule.years
        ),
    };
    format!(
        "{until} {} From: {}; checked {}.",
        rule.property, rule.property_source, rule.checked
    )
}

enum Form {
    Details(DetailsDraft),
    Terms(TermsDraft),
    Disposal(DisposalDraft),
}

impl PieceScreen {
    /// The page of this piece.
    #[must_use]
    pub fn new(key: String) -> Self {
        Self {
            key,
            facts: None,
            kept: None,
            is_by_month: false,
            form: None,
        }
    }
}

impl Screen for PieceScreen {
    fn title(&self) -> String {
        self.facts
            .as_ref()
            .and_then(|facts| facts.equipment.iter().find(|piece| piece.key == self.key))
            .map_or_else(|| self.key.clone(), |piece| piece.name.clone())
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.facts = Some(Facts::read(book, cx.period, cx.today)?);
        self.kept = reports::keep_until(book, cx.today)?.and_then(|report| {
            let piece = report
                .equipment
                .iter()
                .find(|piece| piece.key == self.key)?;
            Some(kept_words(&report.rule, piece))
        });
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let facts = self.facts.as_ref()?;
        let Some(piece) = facts.equipment.iter().find(|piece| piece.key == self.key) else {
            ui.label("This piece is no longer in the register.");
            return None;
        };
        let mut asked = head_ui(ui, piece, facts);
        ui.horizontal_wrapped(|ui| {
            if secondary_button(ui, "Did it pay for itself?", "")
                .on_hover_text("Payback")
                .clicked()
            {
                asked = Some(open_payback(piece.key.clone()));
            }
            if secondary_button(ui, "Name and place\u{2026}", "").clicked() {
                self.form = Some(Form::Details(DetailsDraft::new(piece)));
            }
            if piece.disposal.is_none() {
                if secondary_button(ui, "Change its terms\u{2026}", "").clicked() {
                    self.form = Some(Form::Terms(TermsDraft::new(piece, cx.currency, cx.today)));
                }
                if secondary_button(ui, "Sold or scrapped\u{2026}", "").clicked() {
                    self.form = Some(Form::Disposal(DisposalDraft::new(cx.chart, cx.today)));
                }
            }
        });
        ui.add_space(space::LARGE);
        asked = asked.or(form_ui(ui, &mut self.form, piece, facts, cx));
        let shown = if ui.available_width() >= 860.0 {
            columns(ui, &[1.0, 1.0], |parts| match parts {
                [left, right] => {
                    let pressed = fields_ui(left, piece, facts);
                    schedule_ui(right, piece, facts, &mut self.is_by_month);
                    pressed
                }
                _ => None,
            })
        } else {
            let pressed = fields_ui(ui, piece, facts);
            ui.add_space(space::LARGE);
            schedule_ui(ui, piece, facts, &mut self.is_by_month);
            pressed
        };
        if let Some(words) = &self.kept {
            ui.add_space(space::LARGE);
            card(ui, |ui| {
                card_heading(ui, "Keep its papers").on_hover_text("Record retention");
                ui.label(words);
                ui.add_space(space::SMALL);
                caution(ui, KEEPING_CAUTION);
            });
        }
        asked.or(shown.map(entry::open))
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.form = None;
        After::Stay
    }
}

fn head_ui(ui: &mut Ui, piece: &Equipment, facts: &Facts) -> Option<Action> {
    ui.label(RichText::new(&piece.name).font(theme::heading()));
    let mut asked = None;
    if let Some(gone) = &piece.disposal {
        let how = if gone.proceeds.is_zero() {
            "Scrapped"
        } else {
            "Sold"
        };
        soft(ui, &format!("{how} on {}.", show_day(gone.on)));
    } else {
        ui.horizontal_wrapped(|ui| {
            ui.label("Book value today");
            let value = facts.show(piece.carrying_amount(facts.today, facts.year_start));
            let what = format!("Book value of {}", piece.name);
            if figure_link(ui, &value, &what, true).clicked() {
                asked = Some(explain::open(Source::Equipment(piece.key.clone())));
            }
            soft(ui, &piece.terms_in_words(facts.today));
        });
    }
    ui.add_space(space::MEDIUM);
    asked
}

fn form_ui(
    ui: &mut Ui,
    form: &mut Option<Form>,
    piece: &Equipment,
    facts: &Facts,
    cx: &ViewContext<'_>,
) -> Option<Action> {
    let charged = facts.charged.get(&piece.key).copied().unwrap_or_default();
    let answer = match form.as_mut()? {
        Form::Details(draft) => draft.ui(ui, piece),
        Form::Terms(draft) => draft.ui(ui, piece, cx.currency, cx.today),
        Form::Disposal(draft) => {
            let around = (cx.chart, cx.currency, cx.today);
            draft.ui(ui, piece, charged, facts.year_start, around)
        }
    };
    ui.add_space(space::LARGE);
    match answer? {
        Answer::Write(write) => Some(Action::Write(write)),
        Answer::Leave => {
            *form = None;
            None
        }
    }
}

fn fields_ui(ui: &mut Ui, piece: &Equipment, facts: &Facts) -> Option<EntryNumber> {
    let mut opened = None;
    card(ui, |ui| {
        card_heading(ui, "What is known about it");
        let columns = [Column::narrow("", 140.0), Column::words("", 1.0)];
        let rows: Vec<Row> = fields(piece, facts)
            .into_iter()
            .map(|(label, words)| Row::line(vec![Cell::soft(label), Cell::text(words)]))
            .collect();
        let _nothing_opens = paper_table(ui, "fields of the piece", &columns, &rows);
        if let Some(number) = piece.purchase_entry
            && link(ui, &format!("Its purchase and receipt, entry {number}")).clicked()
        {
            opened = Some(number);
        }
    });
    ui.add_space(space::LARGE);
    caution(ui, CAUTION);
    opened
}

fn schedule_ui(ui: &mut Ui, piece: &Equipment, facts: &Facts, is_by_month: &mut bool) {
    card(ui, |ui| {
        card_heading(ui, "Schedule").on_hover_text("Straight-line depreciation schedule");
        soft(ui, &convention_note(piece.convention));
        choice_chips(
            ui,
            "Shown",
            is_by_month,
            &[(false, "By year"), (true, "By month")],
        );
        let currency = &facts.currency;
        let rows: Vec<Row> = if *is_by_month {
            piece
                .monthly_schedule(facts.year_start)
                .iter()
                .map(|row| {
                    schedule_row(
                        row.month.to_string(),
                        [row.charge, row.business_charge, row.book_value],
                        currency,
                    )
                })
                .collect()
        } else {
            piece
                .yearly_schedule(facts.year_start)
                .iter()
                .map(|row| {
                    schedule_row(
                        row.year.to_string(),
                        [row.charge, row.business_charge, row.book_value],
                        currency,
                    )
                })
                .collect()
        };
        let columns = [
            Column::words(if *is_by_month { "Month" } else { "Year" }, 1.0),
            Column::figures("Wear", 84.0),
            Column::figures("Of it business", 96.0),
            Column::figures("Book value", 90.0),
        ];
        egui::ScrollArea::vertical()
            .id_salt("schedule")
            .max_height(360.0)
            .show(ui, |ui| {
                let _nothing_opens = paper_table(ui, "schedule", &columns, &rows);
            });
    });
    ui.add_space(space::LARGE);
    chart_ui(ui, piece, facts);
}

fn schedule_row(when: String, figures: [Money; 3], currency: &Currency) -> Row {
    let mut cells = vec![Cell::text(when)];
    cells.extend(figures.map(|figure| Cell::text(currency.show(figure))));
    Row::line(cells)
}

fn chart_ui(ui: &mut Ui, piece: &Equipment, facts: &Facts) {
    let schedule = piece.yearly_schedule(facts.year_start);
    if schedule.is_empty() {
        return;
    }
    let labels: Vec<String> = std::iter::once("new".to_owned())
        .chain(schedule.iter().map(|row| row.year.to_string()))
        .collect();
    let amounts: Vec<Money> = std::iter::once(piece.cost)
        .chain(schedule.iter().map(|row| row.book_value))
        .collect();
    card(ui, |ui| {
        card_heading(ui, "Book value over its life");
        let line = TimeLine {
            name: "book value".to_owned(),
            amounts,
            stroke: LineStroke::Solid,
        };
        time_lines(ui, "book value", &labels, &[line], &facts.currency, 150.0);
    });
}
