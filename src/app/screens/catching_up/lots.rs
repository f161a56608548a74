//! Sorting lines that are alike, the largest sum first: one decision for all of them, exact or rough.
//! What is alike and what is suggested come from `reports`; writing is asked for.

use std::collections::BTreeSet;

use egui::{ScrollArea, Ui};

use crate::app::action::{Action, BookJob, SortingWrite, Write};
use crate::app::apply::sorting::accept_covered_on_a_thread;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::screens::money::{TrayReader, TreatmentDraft, accounts_for};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, list_row, page_heading, primary_button, problem,
    quiet_button, secondary_button, soft, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::ledger::{AccountId, Chart, EntryNumber};
use crate::reports::{self, Manner};
use crate::sorting::{Alike, BankLine, Direction, LineId, Meaning, Rough, Treatment};

/// More than so many lines are written on a thread, the book lent to it.
const MANY: usize = 60;
/// So many of the lots that wait are named.
const MOST_NAMED: usize = 14;

/// The page.
#[derive(Default)]
pub struct LotsScreen {
    reader: TrayReader,
    lots: Vec<Alike>,
    /// The first line of the lot that is asked about, and of those put off until the others are done.
    current: Option<LineId>,
    later: BTreeSet<LineId>,
    left_out: BTreeSet<LineId>,
    shop: Option<AccountId>,
    remembered: String,
    exact: Option<Box<TreatmentDraft>>,
    was_tried: bool,
    n_decided: usize,
    n_sorted: usize,
    asked: Option<usize>,
    refused: Option<String>,
}

impl LotsScreen {
    fn lot(&self) -> Option<&Alike> {
        let current = self.current?;
        self.lots.iter().find(|lot| key(lot) == Some(current))
    }

    /// Takes in what was read: the lot asked about stays while it is there.
    fn take_in(&mut self) {
        self.lots = reports::decisions(self.reader.tray());
        if self.lot().is_none() {
            self.go_on();
        }
    }

    /// Goes to the largest lot that was not put off, or to the largest.
    fn go_on(&mut self) {
        let keys = || self.lots.iter().filter_map(key);
        let next = keys()
            .find(|one| !self.later.contains(one))
            .or_else(|| keys().next());
        self.go(next);
    }

    fn go(&mut self, to: Option<LineId>) {
        self.current = to;
        self.left_out.clear();
        self.remembered.clear();
        self.exact = None;
        self.was_tried = false;
        self.refused = None;
    }

    fn chosen_lines(&self) -> Vec<BankLine> {
        let lines = self
            .lot()
            .map(|lot| lot.lines.as_slice())
            .unwrap_or_default();
        let chosen = lines
            .iter()
            .filter(|line| !self.left_out.contains(&line.id));
        chosen.cloned().collect()
    }

    fn decide(&mut self, treatment: Treatment, is_rough: bool) -> Option<Action> {
        let lines = self.chosen_lines();
        if lines.is_empty() {
            self.refused = Some("tick at least one of the lines".to_owned());
            return None;
        }
        let manner = Manner {
            is_rough,
            remembered: self.remembered.trim().to_owned(),
        };
        self.asked = Some(lines.len());
        self.refused = None;
        if lines.len() > MANY {
            return Some(Action::Lend(on_a_thread(lines, treatment, manner)));
        }
        Some(Action::write(Write::Sorting(SortingWrite::TreatAlike {
            lines,
            treatment: Box::new(treatment),
            manner,
        })))
    }

    fn head_ui(&self, ui: &mut Ui) -> Option<Action> {
        let n_lines: usize = self.lots.iter().map(|lot| lot.lines.len()).sum();
        let title = match self.lots.len() {
            0 => "Nothing is left to decide".to_owned(),
            1 => "1 decision left".to_owned(),
            count => format!("{count} decisions left"),
        };
        let second = if n_lines == 0 {
            "Every line of your statements is sorted, or one word sorts it.".to_owned()
        } else {
            format!(
                "They sort {n_lines} lines, the largest first. {} decided here so far, {} lines sorted by it.",
                self.n_decided, self.n_sorted
            )
        };
        page_heading(ui, &title, &second);
        let n_covered = self.reader.n_covered();
        if n_covered == 0 {
            return None;
        }
        let words = match n_covered {
            1 => "Accept the 1 line that is sure".to_owned(),
            count => format!("Accept the {count} lines that are sure"),
        };
        let why = "What a rule of yours covers, and what is in the book beyond doubt. One Undo takes all of it back.";
        let pressed = secondary_button(ui, &words, "")
            .on_hover_text(why)
            .clicked();
        ui.add_space(space::MEDIUM);
        pressed.then(|| {
            if n_covered > MANY {
                Action::Lend(accept_covered_on_a_thread())
            } else {
                Action::write(Write::Sorting(SortingWrite::AcceptCovered))
            }
        })
    }

    fn lot_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let lot = self.lot()?.clone();
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, &lot.name());
            soft(ui, &about(&lot, cx));
            self.lines_ui(ui, &lot, cx);
            ui.add_space(space::SMALL);
            asked = self.answers_ui(ui, &lot, cx);
            if let Some(words) = &self.refused {
                problem(ui, words);
            }
        });
        asked
    }

    /// The lines, each with a tick that is taken away from those that are something else.
    fn lines_ui(&mut self, ui: &mut Ui, lot: &Alike, cx: &ViewContext<'_>) {
        ScrollArea::vertical()
            .id_salt("lines that are alike")
            .max_height(150.0)
            .auto_shrink([false, true])
            .show(ui, |ui| {
                for line in &lot.lines {
                    let mut is_in = !self.left_out.contains(&line.id);
                    let words = format!(
                        "{}, {}: {}",
                        show_day(line.date),
                        cx.show(line.amount),
                        line.text.trim()
                    );
                    if ui.checkbox(&mut is_in, words).changed() {
                        if is_in {
                            self.left_out.remove(&line.id);
                        } else {
                            self.left_out.insert(line.id);
                        }
                    }
                }
            });
    }

    fn answers_ui(&mut self, ui: &mut Ui, lot: &Alike, cx: &ViewContext<'_>) -> Option<Action> {
        if self.exact.is_some() {
            return self.exact_ui(ui, lot, cx);
        }
        let mut asked = None;
        if let Some(suggestion) = &lot.suggestion {
            soft(ui, &suggestion.why(&self.reader.tray().rules, cx.currency));
            if let Some(treatment) = lot.treatment().cloned() {
                let words = format!("Yes: {}", treatment.sentence(cx.chart));
                if primary_button(ui, &words, "").clicked() {
                    asked = self.decide(treatment, false);
                }
            } else if secondary_button(ui, "Look at the entry it may be", "").clicked() {
                asked = Some(super::super::money::open_tray());
            }
        }
        let is_in = lot.direction == Direction::In;
        self.shop_ui(ui, is_in, cx.chart);
        ui.add_space(space::SMALL);
        soft(ui, "Roughly is enough for now; it is asked again later.");
        ui.horizontal_wrapped(|ui| {
            for rough in Rough::ALL.iter().copied().filter(|one| one.fits(is_in)) {
                if secondary_button(ui, rough.plain(), "").clicked()
                    && let Some(line) = lot.lines.first()
                {
                    match rough.treatment(line, self.shop, cx.chart) {
                        Ok(treatment) => asked = self.decide(treatment, rough.is_marked()),
                        Err(error) => self.refused = Some(error.to_string()),
                    }
                }
            }
        });
        let field = Field::new("What you remember of it (kept with it)").hint("may stay empty");
        text_field(ui, field, &mut self.remembered);
        ui.add_space(space::SMALL);
        ui.horizontal_wrapped(|ui| {
            if quiet_button(ui, "Say exactly what it was\u{2026}").clicked() {
                let usual = if is_in {
                    Meaning::Sale
                } else {
                    Meaning::Purchase
                };
                let begun = lot
                    .treatment()
                    .cloned()
                    .unwrap_or_else(|| Treatment::new(usual));
                self.exact = Some(Box::new(TreatmentDraft::new(&begun, cx.chart)));
            }
            if quiet_button(ui, "Later").clicked() {
                self.later.extend(self.current);
                self.go_on();
            }
        });
        asked
    }

    /// Which shop is meant, where there are several.
    fn shop_ui(&mut self, ui: &mut Ui, is_in: bool, chart: &Chart) {
        let shops: Vec<(Option<AccountId>, &str)> = chart
            .channels()
            .into_iter()
            .filter(|account| account.is_active)
            .map(|account| (Some(account.id), account.name.as_str()))
            .collect();
        if self.shop.is_none() {
            self.shop = shops.first().and_then(|(id, _name)| *id);
        }
        if is_in && shops.len() > 1 {
            choice_chips(ui, "If a shop paid it: which", &mut self.shop, &shops);
        }
    }

    fn exact_ui(&mut self, ui: &mut Ui, lot: &Alike, cx: &ViewContext<'_>) -> Option<Action> {
        let is_in = lot.direction == Direction::In;
        let meanings: Vec<Meaning> = Meaning::ALL
            .iter()
            .copied()
            .filter(|meaning| meaning.fits(is_in))
            .collect();
        let mut draft = self.exact.take()?;
        let except = lot.lines.first().map(|line| line.account);
        let accounts = accounts_for(draft.meaning, cx.chart, except);
        let suppliers = &self.reader.tray().suppliers;
        draft.ui(ui, "What was it?", &meanings, is_in, &accounts, suppliers);
        let made = draft.treatment().and_then(|treatment| {
            for line in &lot.lines {
                treatment
                    .recording(line, cx.chart)
                    .map_err(|error| error.describe(cx.currency))?;
            }
            Ok(treatment)
        });
        ui.add_space(space::SMALL);
        let mut asked = None;
        let mut is_put_away = false;
        ui.horizontal_wrapped(|ui| {
            let words = match lot.lines.len() - self.left_out.len() {
                1 => "Write it down".to_owned(),
                count => format!("Write all {count} down"),
            };
            if primary_button(ui, &words, "").clicked() {
                self.was_tried = true;
                if let Ok(treatment) = &made {
                    asked = self.decide(treatment.clone(), false);
                }
            }
            is_put_away = quiet_button(ui, "Not now").clicked();
        });
        if self.was_tried
            && let Err(words) = &made
        {
            problem(ui, words);
        }
        if !is_put_away {
            self.exact = Some(draft);
        }
        asked
    }

    fn waiting_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) {
        let waiting: Vec<(LineId, String, String)> = self
            .lots
            .iter()
            .filter_map(|lot| Some((key(lot)?, lot.name(), about(lot, cx))))
            .filter(|(one, _name, _about)| Some(*one) != self.current)
            .collect();
        if waiting.is_empty() {
            return;
        }
        ui.add_space(space::LARGE);
        let mut pressed = None;
        card(ui, |ui| {
            card_heading(ui, "Then");
            for (one, name, about) in waiting.iter().take(MOST_NAMED) {
                if list_row(ui, false, name, about).clicked() {
                    pressed = Some(*one);
                }
            }
            if waiting.len() > MOST_NAMED {
                soft(
                    ui,
                    &format!("and {} smaller ones", waiting.len() - MOST_NAMED),
                );
            }
        });
        if pressed.is_some() {
            self.go(pressed);
        }
    }
}

/// A lot is known by its first line.
fn key(lot: &Alike) -> Option<LineId> {
    lot.lines.first().map(|line| line.id)
}

fn about(lot: &Alike, cx: &ViewContext<'_>) -> String {
    let way = lot.direction.plain();
    let (first, last) = (lot.lines.first(), lot.lines.last());
    match (first, last) {
        (Some(first), Some(last)) if first.id != last.id => format!(
            "{} {way}, {} lines, {} to {}",
            cx.show(lot.total()),
            lot.lines.len(),
            show_day(first.date),
            show_day(last.date)
        ),
        (Some(only), _) => format!("{} {way}, {}", cx.show(lot.total()), show_day(only.date)),
        _ => String::new(),
    }
}

/// What is done with a lent book to sort many lines by one decision.
fn on_a_thread(lines: Vec<BankLine>, treatment: Treatment, manner: Manner) -> BookJob {
    BookJob {
        title: format!("Sorting {} lines", lines.len()),
        work: Box::new(move |book, _progress| {
            reports::treat_alike(book, &lines, &treatment, &manner)
                .map(|numbers| format!("{} lines are sorted", numbers.len()))
                .map_err(|error| error.to_string())
        }),
    }
}

impl Screen for LotsScreen {
    fn title(&self) -> String {
        "Sort what is alike".to_owned()
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        if self.reader.read(book)? {
            self.take_in();
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.reader.is_reading()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        if !self.reader.is_known() {
            page_heading(ui, "Sort what is alike", "Reading the statements\u{2026}");
            return None;
        }
        let covered = self.head_ui(ui);
        let decided = self.lot_ui(ui, cx);
        self.waiting_ui(ui, cx);
        covered.or(decided)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if let Some(n_lines) = self.asked.take() {
            self.n_decided += 1;
            self.n_sorted += n_lines;
            self.go(None);
        }
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.asked = None;
        self.refused = Some(message.to_owned());
    }
}
