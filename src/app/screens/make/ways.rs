//! Make it or have it made: what both ways come to for a quantity, where they cross, and what would be left over.
//! Its fields are for trying things out: nothing here touches the book.

use egui::{RichText, Ui};
use rust_decimal::Decimal;

use super::making::Making;
use super::pieces::{read_count, read_minutes, read_money, read_percent};
use crate::app::action::Action;
use crate::app::charts::{TimeLine, time_lines};
use crate::app::forms::parts::{cells, two_columns, widths};
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, problem, quiet_button, second_line, soft,
    text_field,
};
use crate::book::{Book, BookError};
use crate::deciding::{
    Band, Comparison, Leaning, Outside, OutsideTerms, Own, OwnTerms, OwnTime, PriceTier, Run,
    SideBySide, UnitCost, Way, Worksheet, months_of_cover, unsold_after,
};
use crate::money::{Currency, Money, Percent};

const CAUTION: &str = "For deciding only: nothing here is written into the books. How equipment you would buy counts for tax is \
     another matter: confirm with local rules and a licensed professional.";
/// How many points the lines of the chart have.
const POINTS: u64 = 12;
/// How far crossings are looked for, in times of the quantity wanted.
const LOOK: u64 = 4;
const LOOK_AT_MOST: u64 = 5_000;

/// Opens the comparison for a product.
#[must_use]
pub fn open_ways(code: String) -> Action {
    Action::Open(Box::new(WaysScreen {
        code,
        making: None,
        draft: None,
        told: None,
    }))
}

/// What is being tried out.
#[derive(Clone, Debug, PartialEq)]
struct WaysDraft {
    wanted: String,
    tiers: Vec<(String, String)>,
    minimum: String,
    out_design: String,
    out_run: String,
    carriage: String,
    each: String,
    batch: String,
    loss: String,
    minutes: String,
    rate: String,
    equipment: String,
    time: OwnTime,
    run: Run,
}

struct Told {
    side: SideBySide,
    outside_sheet: Worksheet,
    own_sheet: Worksheet,
    bands: Vec<Band>,
    points: Vec<(u64, Money, Money)>,
}

/// The screen.
pub struct WaysScreen {
    code: String,
    making: Option<Making>,
    draft: Option<WaysDraft>,
    told: Option<(WaysDraft, Result<Told, String>)>,
}

impl WaysDraft {
    fn new(making: &Making, currency: &Currency) -> Self {
        let number = |value: Decimal| {
            if value.is_zero() {
                String::new()
            } else {
                value.normalize().to_string()
            }
        };
        Self {
            wanted: making
                .batch
                .map_or_else(|| "50".to_owned(), |n| n.to_string()),
            tiers: vec![(String::new(), String::new())],
            minimum: String::new(),
            out_design: String::new(),
            out_run: String::new(),
            carriage: String::new(),
            each: making.each().major(currency).round_dp(4).to_string(),
            batch: making.batch.map_or_else(String::new, |n| n.to_string()),
            loss: making
                .waste
                .map_or_else(String::new, |share| number(share.percent())),
            minutes: number(making.minutes),
            rate: String::new(),
            equipment: String::new(),
            time: OwnTime::LeftOut,
            run: Run::First,
        }
    }

    fn outside(&self, currency: &Currency) -> Result<Outside, String> {
        let mut tiers = Vec::new();
        for (from, each) in &self.tiers {
            if from.trim().is_empty() && each.trim().is_empty() {
                continue;
            }
            tiers.push(PriceTier {
                from: read_count(from, "from how many")?,
                each: unit(each, "the price of each", currency)?,
            });
        }
        if tiers.is_empty() {
            return Err("write what the house asks for one, from how many pieces on".to_owned());
        }
        let money = |text: &str, what: &str| {
            read_money(text, what, currency).map(Option::unwrap_or_default)
        };
        Outside::new(OutsideTerms {
            tiers,
            minimum: read_count(&self.minimum, "the fewest it makes")?,
            once_per_design: money(&self.out_design, "once for the design")?,
            once_per_run: money(&self.out_run, "set-up of a run")?,
            carriage_per_order: money(&self.carriage, "carriage")?,
            ..OutsideTerms::default()
        })
        .map_err(|error| error.to_string())
    }

    fn own(&self, currency: &Currency) -> Result<Own, String> {
        let money = |text: &str, what: &str| {
            read_money(text, what, currency).map(Option::unwrap_or_default)
        };
        let batch = match self.batch.trim() {
            "" => None,
            text => Some(read_count(text, "pieces in a batch")?),
        };
        Own::new(OwnTerms {
            each: unit(&self.each, "what goes into a piece", currency)?,
            batch,
            loss: read_percent(&self.loss, "normally lost")?.unwrap_or(Percent::ZERO),
            minutes_each: read_minutes(&self.minutes, "your minutes")?,
            hourly_rate: money(&self.rate, "your hour")?,
            equipment: money(&self.equipment, "equipment")?,
            ..OwnTerms::default()
        })
        .map_err(|error| error.to_string())
    }

    fn tell(&self, currency: &Currency) -> Result<Told, String> {
        let said = |error: crate::deciding::DecidingError| error.to_string();
        let (outside, own) = (self.outside(currency)?, self.own(currency)?);
        let wanted = read_count(&self.wanted, "how many you want")?;
        let both = Comparison {
            outside: &outside,
            own: &own,
            run: self.run,
            time: self.time,
        };
        let side = both.at(wanted).map_err(said)?;
        let limit = (wanted.saturating_mul(LOOK)).clamp(1, LOOK_AT_MOST);
        let mut points = Vec::new();
        let step = (wanted.saturating_mul(2) / POINTS).max(1);
        for idx in 1..=POINTS {
            let at = both.at(step * idx).map_err(said)?;
            points.push((step * idx, at.outside.best.total, at.own.total));
        }
        Ok(Told {
            outside_sheet: outside.worksheet(&side.outside.best, self.run, currency),
            own_sheet: own.worksheet(&side.own, self.run, self.time, currency),
            bands: both.bands(limit).map_err(said)?,
            points,
            side,
        })
    }
}

fn unit(text: &str, what: &str, currency: &Currency) -> Result<UnitCost, String> {
    let digits = text.trim().replace(',', ".");
    let major: Decimal = digits
        .parse()
        .map_err(|_not_a_number| format!("{what}: write a price, as 2.40"))?;
    UnitCost::from_major(major, currency).map_err(|error| format!("{what}: {error}"))
}

impl Screen for WaysScreen {
    fn title(&self) -> String {
        "Make it or have it made".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.making = Making::read(book, &self.code, cx.today)?;
        if let (Some(making), None) = (&self.making, &self.draft) {
            self.draft = Some(WaysDraft::new(making, cx.currency));
        }
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (Some(making), Some(draft)) = (&self.making, &mut self.draft) else {
            ui.label("This item is no longer kept.");
            return None;
        };
        if self.told.as_ref().is_none_or(|(of, _told)| of != draft) {
            self.told = Some((draft.clone(), draft.tell(cx.currency)));
        }
        let told = self.told.as_ref().map(|(_of, told)| told);
        let title = match told {
            Some(Ok(told)) => sentence(told, cx.currency),
            _ => format!("{}: make it, or have it made?", making.item.name),
        };
        ui.label(RichText::new(title).font(theme::heading()));
        second_line(
            ui,
            &format!(
                "Both ways to have {} (make or buy): try things out; nothing here changes the book.",
                making.item.name
            ),
        );
        ui.add_space(space::LARGE);
        two_columns(
            ui,
            draft,
            |ui, draft| {
                fields_ui(ui, draft);
                ui.add_space(space::LARGE);
                if let Some(Ok(told)) = told {
                    chart_ui(ui, told, cx.currency);
                    ui.add_space(space::LARGE);
                }
                caution(ui, CAUTION);
            },
            |ui, _draft| match told {
                Some(Ok(told)) => told_ui(ui, told, making, cx.currency),
                Some(Err(words)) => {
                    problem(ui, words);
                }
                None => {}
            },
        );
        None
    }
}

fn sentence(told: &Told, currency: &Currency) -> String {
    let wanted = told.side.own.wanted;
    let saved = currency.show(told.side.saved);
    match told.side.cheaper {
        Some(Way::Own) => format!("For {wanted}, making it is {saved} cheaper."),
        Some(Way::Outside) => format!("For {wanted}, having it made is {saved} cheaper."),
        None => format!("For {wanted}, both ways come to the same."),
    }
}

fn fields_ui(ui: &mut Ui, draft: &mut WaysDraft) {
    card(ui, |ui| {
        card_heading(ui, "Having it made");
        let mut removed = None;
        let count = draft.tiers.len();
        for (idx, (from, each)) in draft.tiers.iter_mut().enumerate() {
            let named = |words: &str| match idx {
                0 => words.to_owned(),
                idx => format!("{words} {}", idx + 1),
            };
            ui.push_id(("tier", idx), |ui| {
                let columns = widths(ui.available_width(), &[0.0, 0.0, 80.0]);
                cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
                    0 => figure_ui(ui, &named("From how many"), width, from),
                    1 => figure_ui(ui, &named("Price of each"), width, each),
                    _ if count > 1 => {
                        ui.add_space(24.0);
                        if quiet_button(ui, &named("Away")).clicked() {
                            removed = Some(idx);
                        }
                    }
                    _ => {}
                });
            });
        }
        if let Some(idx) = removed {
            draft.tiers.remove(idx);
        }
        if quiet_button(ui, "Another price from more pieces").clicked() {
            draft.tiers.push((String::new(), String::new()));
        }
        row_ui(
            ui,
            [
                ("Fewest it makes", &mut draft.minimum),
                ("Once for the design", &mut draft.out_design),
            ],
        );
        row_ui(
            ui,
            [
                ("Set-up of a run", &mut draft.out_run),
                ("Carriage", &mut draft.carriage),
            ],
        );
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "Making it");
        row_ui(
            ui,
            [
                ("Goes into a piece", &mut draft.each),
                ("Pieces in a batch", &mut draft.batch),
                ("Normally lost, per cent", &mut draft.loss),
            ],
        );
        row_ui(
            ui,
            [
                ("Your minutes a piece", &mut draft.minutes),
                ("Your hour is worth", &mut draft.rate),
                ("Equipment to buy", &mut draft.equipment),
            ],
        );
        ui.add_space(space::SMALL);
        let times = [
            (OwnTime::LeftOut, "only what is paid"),
            (OwnTime::Counted, "my own time too"),
        ];
        choice_chips(ui, "What counts", &mut draft.time, &times);
        let runs = [(Run::First, "for the first time"), (Run::Reorder, "again")];
        choice_chips(ui, "It is made", &mut draft.run, &runs);
        row_ui(ui, [("How many you want", &mut draft.wanted)]);
    });
}

fn figure_ui(ui: &mut Ui, label: &str, width: f32, text: &mut String) {
    let mut field = Field::new(label).width(width);
    field.right = true;
    text_field(ui, field, text);
}

fn row_ui<const N: usize>(ui: &mut Ui, mut row: [(&str, &mut String); N]) {
    let columns = widths(ui.available_width(), &[0.0; N]);
    let order: Vec<usize> = (0..N).collect();
    cells(ui, &columns, &order, |ui, cell, width| {
        if let Some((label, text)) = row.get_mut(cell) {
            figure_ui(ui, label, width, text);
        }
    });
}

fn chart_ui(ui: &mut Ui, told: &Told, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Both ways, by how many you want");
        let labels: Vec<String> = told
            .points
            .iter()
            .map(|(many, ..)| many.to_string())
            .collect();
        let lines = [
            TimeLine {
                name: "making it".to_owned(),
                amounts: told.points.iter().map(|(_, _, own)| *own).collect(),
                is_dashed: false,
            },
            TimeLine {
                name: "having it made".to_owned(),
                amounts: told.points.iter().map(|(_, outside, _)| *outside).collect(),
                is_dashed: true,
            },
        ];
        time_lines(ui, "both ways", &labels, &lines, currency, 180.0);
    });
}

fn told_ui(ui: &mut Ui, told: &Told, making: &Making, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Side by side");
        let columns = [
            Column::words("", 1.0),
            Column::figures("Made there", 84.0),
            Column::figures("Made by me", 84.0),
        ];
        let (outside, own) = (told.side.outside.best, told.side.own);
        let pieces = |count: u64| Cell::text(count.to_string());
        let money = |amount: Money| Cell::text(currency.show(amount));
        let each = |minor: Decimal| {
            let shown = UnitCost::from_minor(minor.round_dp(6)).unwrap_or_default();
            Cell::text(shown.show(currency))
        };
        let row = |words: &str, first: Cell, second: Cell| {
            Row::line(vec![Cell::text(words), first, second])
        };
        let rows = [
            row(
                "Ordered, or begun",
                pieces(outside.taken),
                pieces(own.taken),
            ),
            row(
                "Left over",
                pieces(outside.left_over),
                pieces(own.left_over),
            ),
            row(
                "To pay up front",
                money(outside.cash_up_front),
                money(own.cash_up_front),
            ),
            row(
                "Own time in it",
                money(outside.own_time),
                money(own.own_time),
            ),
            row(
                "Each wanted piece",
                each(outside.each_wanted()),
                each(own.each_wanted()),
            ),
            Row::last(vec![
                Cell::text("Together"),
                money(outside.total),
                money(own.total),
            ]),
        ];
        let _nothing_opens = paper_table(ui, "side by side", &columns, &rows);
        if told.side.outside.is_ordered_up() {
            let words = format!(
                "Ordering {} instead of {} costs {} less.",
                outside.taken,
                told.side.outside.just_enough.taken,
                currency.show(told.side.outside.saved())
            );
            ui.label(words);
        }
        for words in cover(told, making) {
            soft(ui, &words);
        }
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "What is cheaper, from how many");
        for band in &told.bands {
            let words = match band.cheaper {
                Leaning::Own => "making it",
                Leaning::Outside => "having it made",
                Leaning::BackAndForth => "now one, now the other, as batches fit",
                Leaning::Same => "both the same",
            };
            ui.label(format!("{} to {}: {words}", band.from, band.to));
        }
    });
    for (title, sheet) in [
        ("Having it made, line by line", &told.outside_sheet),
        ("Making it, line by line", &told.own_sheet),
    ] {
        ui.add_space(space::LARGE);
        sheet_ui(ui, title, sheet, currency);
    }
}

/// How long the pieces last at her pace.
fn cover(told: &Told, making: &Making) -> Vec<String> {
    let pace = making.sold_a_month;
    let good = told.side.outside.best.good;
    let Some(months) = months_of_cover(good, pace) else {
        return vec!["None sold yet, so nobody knows how long they would last.".to_owned()];
    };
    let mut words = vec![format!(
        "At {pace} sold a month, {good} pieces last {} months.",
        months.normalize()
    )];
    let unsold = unsold_after(good, 12, pace);
    if unsold > 0 {
        words.push(format!("Of {good}, {unsold} would be unsold in a year."));
    }
    words
}

fn sheet_ui(ui: &mut Ui, title: &str, sheet: &Worksheet, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, title);
        let columns = [Column::words("", 1.0), Column::figures("", 84.0)];
        let mut rows = Vec::new();
        for line in sheet.lines() {
            rows.push(Row::line(vec![
                Cell::text(format!("{}. {}", line.no, line.label)),
                Cell::text(line.amount.show(currency)),
            ]));
            if !line.formula.is_empty() {
                rows.push(Row::line(vec![Cell::soft(line.formula.clone())]));
            }
        }
        let _nothing_opens = paper_table(ui, title, &columns, &rows);
    });
}
