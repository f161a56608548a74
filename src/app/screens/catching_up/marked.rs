//! Entries from rough answers, and those that nobody can explain yet: listed by name, said more exactly one name at a
//! time, with what she remembers.
//! Which they are comes from `reports`; writing is asked for.

use std::collections::BTreeSet;

use egui::{ScrollArea, Ui};

use crate::app::action::{Action, SortingWrite, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::screens::entry;
use crate::app::screens::money::{TreatmentDraft, accounts_for};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, link, list_row, page_heading, primary_button, problem, quiet_button,
    soft, text_field,
};
use crate::book::{Book, BookError};
use crate::catching_up::MarkedEntry;
use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::money::Money;
use crate::reports;
use crate::sorting::{Meaning, Treatment};

/// Which entries are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkedKind {
    /// Those from rough answers.
    Rough,
    /// Those that nobody can explain yet.
    NotExplained,
}

/// Entries of one name that went the same way.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Lot {
    party: String,
    is_in: bool,
    entries: Vec<MarkedEntry>,
}

impl Lot {
    fn total(&self) -> Money {
        self.entries.iter().map(|one| one.amount.abs()).sum()
    }

    fn key(&self) -> (String, bool) {
        (self.party.clone(), self.is_in)
    }
}

/// The list.
pub struct MarkedScreen {
    kind: MarkedKind,
    lots: Vec<Lot>,
    suppliers: Vec<String>,
    current: Option<(String, bool)>,
    left_out: BTreeSet<EntryNumber>,
    draft: Option<Box<TreatmentDraft>>,
    remembered: String,
    was_tried: bool,
    refused: Option<String>,
}

impl MarkedScreen {
    /// The list of these.
    #[must_use]
    pub fn new(kind: MarkedKind) -> Self {
        Self {
            kind,
            lots: Vec::new(),
            suppliers: Vec::new(),
            current: None,
            left_out: BTreeSet::new(),
            draft: None,
            remembered: String::new(),
            was_tried: false,
            refused: None,
        }
    }

    fn lot(&self) -> Option<&Lot> {
        let current = self.current.as_ref()?;
        self.lots.iter().find(|lot| lot.key() == *current)
    }

    fn go(&mut self, to: Option<(String, bool)>) {
        self.current = to;
        self.left_out.clear();
        self.draft = None;
        self.was_tried = false;
        self.refused = None;
        let remembered = self.lot().and_then(|lot| lot.entries.first());
        self.remembered = remembered.map_or_else(String::new, |one| one.remembered.clone());
    }

    fn chosen(&self, lot: &Lot) -> Vec<EntryNumber> {
        let chosen = lot.entries.iter().map(|one| one.number);
        chosen.filter(|one| !self.left_out.contains(one)).collect()
    }

    fn lot_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let lot = self.lot()?.clone();
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, &lot.party);
            soft(ui, &about(&lot, cx));
            asked = self.entries_ui(ui, &lot, cx);
            if self.kind == MarkedKind::NotExplained {
                let field = Field::new("What you remember");
                text_field(ui, field, &mut self.remembered);
                ui.horizontal_wrapped(|ui| {
                    let numbers = || self.chosen(&lot);
                    if quiet_button(ui, "Keep what you remember").clicked() {
                        let write = SortingWrite::Remember(numbers(), self.remembered.clone());
                        asked = Some(Action::write(Write::Sorting(write)));
                    }
                    if quiet_button(ui, "Ask the accountant").clicked() {
                        let write = SortingWrite::Ask(numbers(), cx.today);
                        asked = Some(Action::write(Write::Sorting(write)));
                    }
                });
            }
            asked = asked.take().or(self.exact_ui(ui, &lot, cx));
            if let Some(words) = &self.refused {
                problem(ui, words);
            }
        });
        asked
    }

    fn entries_ui(&mut self, ui: &mut Ui, lot: &Lot, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        ScrollArea::vertical()
            .id_salt("entries of one name")
            .max_height(150.0)
            .auto_shrink([false, true])
            .show(ui, |ui| {
                for one in &lot.entries {
                    ui.horizontal_wrapped(|ui| {
                        let mut is_in = !self.left_out.contains(&one.number);
                        let words = format!(
                            "{}, {}: {}",
                            show_day(one.date),
                            cx.show(one.amount),
                            one.memo
                        );
                        if ui.checkbox(&mut is_in, words).changed() {
                            if is_in {
                                self.left_out.remove(&one.number);
                            } else {
                                self.left_out.insert(one.number);
                            }
                        }
                        if one.is_asked {
                            soft(ui, "asked");
                        }
                        if link(ui, &format!("Entry {}", one.number)).clicked() {
                            asked = Some(entry::open(one.number));
                        }
                    });
                }
            });
        asked
    }

    fn exact_ui(&mut self, ui: &mut Ui, lot: &Lot, cx: &ViewContext<'_>) -> Option<Action> {
        let meanings: Vec<Meaning> = Meaning::ALL
            .iter()
            .copied()
            .filter(|meaning| meaning.fits(lot.is_in) && *meaning != Meaning::NotExplained)
            .collect();
        let usual = if lot.is_in {
            Meaning::Sale
        } else {
            Meaning::Purchase
        };
        let mut draft = self.draft.take().unwrap_or_else(|| {
            let begun = Treatment::new(usual).party(lot.party.clone());
            Box::new(TreatmentDraft::new(&begun, cx.chart).without_focus())
        });
        let accounts = accounts_for(draft.meaning, cx.chart, None);
        draft.ui(
            ui,
            "What was it?",
            &meanings,
            lot.is_in,
            &accounts,
            &self.suppliers,
        );
        let made = draft.treatment().and_then(|treatment| {
            if treatment.meaning.needs_account() && treatment.account.is_none() {
                return Err(format!(
                    "'{}' needs an account beside it",
                    treatment.meaning.plain()
                ));
            }
            Ok(treatment)
        });
        self.draft = Some(draft);
        ui.add_space(space::SMALL);
        let numbers = self.chosen(lot);
        let words = match numbers.len() {
            1 => "Say it of this one".to_owned(),
            count => format!("Say it of all {count}"),
        };
        let mut asked = None;
        if primary_button(ui, &words, "").clicked() {
            self.was_tried = true;
            if numbers.is_empty() {
                self.refused = Some("tick at least one of the entries".to_owned());
            } else if let Ok(treatment) = &made {
                let write = SortingWrite::Refine(numbers, Box::new(treatment.clone()));
                asked = Some(Action::write(Write::Sorting(write)));
            }
        }
        if self.was_tried
            && let Err(words) = &made
        {
            problem(ui, words);
        }
        asked
    }
}

fn about(lot: &Lot, cx: &ViewContext<'_>) -> String {
    let way = if lot.is_in { "came in" } else { "went out" };
    let standing = lot
        .entries
        .first()
        .map_or_else(String::new, |one| cx.chart.title(one.stands_on));
    match lot.entries.len() {
        1 => format!("{} {way}, on {standing} until then", cx.show(lot.total())),
        count => format!(
            "{} {way} in {count} entries, on {standing} until then",
            cx.show(lot.total())
        ),
    }
}

fn lots(entries: Vec<MarkedEntry>) -> Vec<Lot> {
    let mut lots: Vec<Lot> = Vec::new();
    for one in entries {
        let is_in = one.amount.is_positive();
        let party = match one.party.trim() {
            "" => one.memo.clone(),
            party => party.to_owned(),
        };
        match lots
            .iter_mut()
            .find(|lot| lot.party == party && lot.is_in == is_in)
        {
            Some(lot) => lot.entries.push(one),
            None => lots.push(Lot {
                party,
                is_in,
                entries: vec![one],
            }),
        }
    }
    lots.sort_by_key(|lot| std::cmp::Reverse(lot.total()));
    lots
}

impl Screen for MarkedScreen {
    fn title(&self) -> String {
        match self.kind {
            MarkedKind::Rough => "Rough answers".to_owned(),
            MarkedKind::NotExplained => "Not yet explained".to_owned(),
        }
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.lots = lots(match self.kind {
            MarkedKind::Rough => reports::rough_entries(book)?,
            MarkedKind::NotExplained => reports::unexplained(book)?,
        });
        self.suppliers = book.suppliers()?.into_iter().map(|one| one.name).collect();
        if self.lot().is_none() {
            let first = self.lots.first().map(Lot::key);
            self.go(first);
        }
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let second = match (self.kind, self.lots.is_empty()) {
            (MarkedKind::Rough, true) => "No answer is rough: everything is said exactly.",
            (MarkedKind::Rough, false) => {
                "They are in the books. Say them more exactly when you know; the earlier version is kept."
            }
            (MarkedKind::NotExplained, true) => "Nothing is unexplained.",
            (MarkedKind::NotExplained, false) => {
                "They wait by name on an account of their own, and not among other costs. Explain them when you know, or \
                 ask the accountant."
            }
        };
        page_heading(ui, &self.title(), second);
        let asked = self.lot_ui(ui, cx);
        let others: Vec<(Lot, String)> = self
            .lots
            .iter()
            .filter(|lot| Some(lot.key()) != self.current)
            .map(|lot| (lot.clone(), about(lot, cx)))
            .collect();
        if !others.is_empty() {
            ui.add_space(space::LARGE);
            card(ui, |ui| {
                card_heading(ui, "Others");
                for (lot, about) in &others {
                    if list_row(ui, false, &lot.party, about).clicked() {
                        self.go(Some(lot.key()));
                    }
                }
            });
        }
        asked
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.draft = None;
        self.was_tried = false;
        self.refused = None;
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.refused = Some(message.to_owned());
    }
}
