//! The two lists that open over the window and are narrowed by typing: "What happened?" and "Find anything".
//! What they list comes from the forms, the rooms and the book; what is chosen becomes an action.

use egui::{Key, Modal, Modifiers, Ui};

use super::action::Action;
use super::forms;
use super::navigation::Room;
use super::screens;
use super::theme::space;
use super::widgets::{Field, card_heading, list_row, matching, over, soft, text_field};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::ledger::{AccountId, EntryNumber};
use crate::matters::MatterKind;

const MOST_SHOWN: usize = 12;
/// The height of a row with its distance, and of everything above and below the rows.
const ROW: f32 = 34.0;
const HEAD_AND_FOOT: f32 = 160.0;
const MOST_FOUND: usize = 40;

/// Which list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PaletteKind {
    /// What happened?
    Happened,
    /// Find anything.
    Find,
}

/// What a row opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Target {
    Happening(usize),
    Page(usize),
    Room(Room),
    Settings,
    Practise,
    RealBook,
    Account(AccountId),
    Entry(EntryNumber),
    /// A step that posted nothing, by its number; it is found where its kind goes on.
    Step(i64, MatterKind),
    /// A trip, by its number; it is found in the log.
    Trip(i64),
}

/// A page that takes in what others have written down already, offered beside what can be typed.
struct Page {
    words: &'static str,
    second: &'static str,
    /// Words that only find it.
    more: &'static str,
    open: fn() -> Action,
}

const PAGES: &[Page] = &[
    Page {
        words: "I have a statement from my bank or card",
        second: "bank statement",
        more: "csv ofx camt download import lines",
        open: screens::money::open_statement_file,
    },
    Page {
        words: "I have a file from a shop",
        second: "orders, fees and payouts",
        more: "csv channel marketplace export import sales commission",
        open: screens::sell::bring_file,
    },
    Page {
        words: "I want to sort what the bank wrote",
        second: "statement lines",
        more: "tray match transactions",
        open: screens::money::open_tray,
    },
    Page {
        words: "I want to see what goes on",
        second: "open vouchers, deposits, invoices",
        more: "loan dispute claim commission fair helper gift open matters",
        open: screens::going_on::open,
    },
    Page {
        words: "I have a question for my accountant",
        second: "open points",
        more: "ask answer desk query unsure",
        open: screens::desk::ask,
    },
    Page {
        words: "Something comes up on a day: a report, a permit, a return",
        second: "duty",
        more: "desk deadline renewal licence insurance domain subscription sales tax yearly annual reminder calendar",
        open: screens::desk::new_duty,
    },
    Page {
        words: "I decided something",
        second: "decision, with its reason",
        more: "desk log price dropped why",
        open: screens::desk::decide,
    },
    Page {
        words: "I worked: hours and the timer",
        second: "own time, never posted",
        more: "desk start stop week minutes earn",
        open: screens::desk::open_hours,
    },
    Page {
        words: "I drove somewhere for the business",
        second: "mileage log",
        more: "car van trip miles kilometres odometer travel errand desk",
        open: screens::desk::drove,
    },
    Page {
        words: "A part of my home is for the business",
        second: "home workspace, home office",
        more: "room square feet rent heating storage desk",
        open: screens::desk::open_workspace,
    },
    Page {
        words: "A bill is partly private: phone, internet, printer",
        second: "business share, mixed use",
        more: "home calls sample percent basis shared desk",
        open: screens::desk::open_shared_bills,
    },
    Page {
        words: "The company's papers and the desk",
        second: "registration, agreement, how the business is kept",
        more: "formalities evidence businesslike",
        open: screens::desk::open_papers,
    },
    Page {
        words: "I want to catch up after months",
        second: "step by step",
        more: "behind backlog catching up late receipts rough unknown not explained",
        open: screens::catching_up::open_catching_up,
    },
    Page {
        words: "I want to see the adjusting entries of the year",
        second: "year-end adjustments",
        more: "accrual prepaid wear mileage workspace owed ahead earned post",
        open: screens::adjusting::open_adjusting,
    },
    Page {
        words: "I want to close the business down",
        second: "what still stands, line by line",
        more: "closing down end stop wind up liquidate final drawing cease",
        open: screens::closing_down::open_closing_down,
    },
];

struct Row {
    words: String,
    second: String,
    target: Target,
}

/// An open list.
pub(super) struct Palette {
    kind: PaletteKind,
    text: String,
    row: usize,
    is_new: bool,
    // What is always there; entries found in the book come after.
    fixed: Vec<Row>,
    // What is looked through while typing: the words of each fixed row, with those that only find it.
    searched: Vec<String>,
    found: Vec<Row>,
    asked: String,
}

impl Palette {
    /// Opens a list; with `book`, the list of everything.
    pub(super) fn new(kind: PaletteKind, rooms: &[Room], book: &Book) -> Self {
        let mut fixed = Vec::new();
        let mut searched = Vec::new();
        let mut add = |words: String, second: String, more: &str, target: Target| {
            searched.push(format!("{words} {second} {more}"));
            fixed.push(Row {
                words,
                second,
                target,
            });
        };
        if kind == PaletteKind::Find {
            for room in rooms {
                let about = format!("room: {}", room.about());
                add(room.name().to_owned(), about, "", Target::Room(*room));
            }
            let about = "name, threshold, theme, scale".to_owned();
            add("Settings".to_owned(), about, "", Target::Settings);
        }
        for (idx, choice) in forms::HAPPENINGS.iter().enumerate() {
            let second = choice.term.to_owned();
            add(
                choice.label.to_owned(),
                second,
                choice.words,
                Target::Happening(idx),
            );
        }
        for (idx, page) in PAGES.iter().enumerate() {
            let (words, second) = (page.words.to_owned(), page.second.to_owned());
            add(words, second, page.more, Target::Page(idx));
        }
        let (words, second, target) = if book.is_practice() {
            (
                "I want to go back to the real book",
                "practice copy",
                Target::RealBook,
            )
        } else {
            (
                "I want to try something out first",
                "practice copy",
                Target::Practise,
            )
        };
        let more = "practise copy learn try test sandbox real book";
        add(words.to_owned(), second.to_owned(), more, target);
        if kind == PaletteKind::Find {
            for account in book.chart().accounts() {
                let number = format!("account {}", account.number);
                add(
                    account.name.clone(),
                    number,
                    "",
                    Target::Account(account.id),
                );
            }
        }
        Self {
            kind,
            text: String::new(),
            row: 0,
            is_new: true,
            fixed,
            searched,
            found: Vec::new(),
            asked: String::new(),
        }
    }

    /// Looks in the book for what is typed, when that changed.
    pub(super) fn refresh(&mut self, book: &Book) -> Result<(), BookError> {
        let wanted = self.text.trim();
        if self.kind == PaletteKind::Happened || self.asked == wanted {
            return Ok(());
        }
        self.asked = wanted.to_owned();
        self.found.clear();
        if wanted.chars().count() < 2 {
            return Ok(());
        }
        for found in book.search(wanted, MOST_FOUND)? {
            let what = [found.party.as_str(), found.memo.as_str()];
            let what: Vec<&str> = what.into_iter().filter(|text| !text.is_empty()).collect();
            let words = if what.is_empty() {
                found.kind.plain().to_owned()
            } else {
                what.join(", ")
            };
            let amount = book.currency().show(found.total);
            self.found.push(Row {
                words,
                second: format!("entry {}, {}, {amount}", found.number, show_day(found.date)),
                target: Target::Entry(found.number),
            });
        }
        for trip in book.trips_with(wanted, MOST_FOUND)? {
            self.found.push(Row {
                words: trip.purpose.clone(),
                second: format!("trip on {}, {}", show_day(trip.date), trip.distance),
                target: Target::Trip(trip.id),
            });
        }
        // Steps that posted an entry are found by it.
        let typed = wanted.to_lowercase();
        for step in book.matter_steps()? {
            let holds = |text: &str| text.to_lowercase().contains(&typed);
            if step.entry.is_none()
                && (holds(&step.key) || holds(&step.party) || holds(&step.about))
            {
                let deed = step.kind.plain().to_lowercase();
                self.found.push(Row {
                    words: format!("{} {}", step.matter.plain(), step.key),
                    second: format!("{deed} on {}, nothing posted", show_day(step.on)),
                    target: Target::Step(step.id, step.matter),
                });
            }
        }
        Ok(())
    }

    /// Draws the list. The outer `None` while it is open; then what was chosen, if anything.
    pub(super) fn ui(&mut self, ui: &Ui) -> Option<Option<Action>> {
        let (title, label) = match self.kind {
            PaletteKind::Happened => ("What happened?", "Type a word of it"),
            PaletteKind::Find => ("Find anything", "Part of a name, a word, an amount, a day"),
        };
        let mut chosen = None;
        let id = egui::Id::unique("palette");
        let window = ui.ctx().content_rect().size();
        let from_top = (window.y * 0.09).min(70.0);
        let area =
            Modal::default_area(id).anchor(egui::Align2::CENTER_TOP, egui::vec2(0.0, from_top));
        let modal = over(ui.ctx(), Modal::new(id).area(area));
        let most = rows_that_fit(window.y - from_top);
        let modal = modal.show(ui.ctx(), |ui| {
            ui.set_width((window.x - 60.0).min(560.0));
            card_heading(ui, title);
            let shown = self.shown();
            self.keys(ui, shown.len());
            let enter = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
            let field = Field::new(label).take_focus(self.is_new);
            self.is_new = false;
            if text_field(ui, field, &mut self.text).changed() {
                self.row = 0;
                ui.ctx().request_repaint();
            }
            ui.add_space(space::SMALL);
            if enter {
                chosen = shown.get(self.row).copied();
            }
            chosen = chosen.or(self.list(ui, &shown, most));
        });
        if let Some(target) = chosen {
            return Some(action(target));
        }
        modal.should_close().then_some(None)
    }

    fn shown(&self) -> Vec<Target> {
        let fixed = matching(self.searched.iter().map(String::as_str), &self.text);
        let fixed = fixed.into_iter().map(|idx| self.fixed[idx].target);
        fixed
            .chain(self.found.iter().map(|row| row.target))
            .collect()
    }

    fn keys(&mut self, ui: &Ui, count: usize) {
        let count = count.max(1);
        ui.input_mut(|input| {
            if input.consume_key(Modifiers::NONE, Key::ArrowDown) {
                self.row = (self.row + 1) % count;
            }
            if input.consume_key(Modifiers::NONE, Key::ArrowUp) {
                self.row = (self.row + count - 1) % count;
            }
        });
        self.row = self.row.min(count - 1);
    }

    fn list(&self, ui: &mut Ui, shown: &[Target], most: usize) -> Option<Target> {
        let mut chosen = None;
        let first = (self.row + 1).saturating_sub(most);
        for (idx, target) in shown.iter().enumerate().skip(first).take(most) {
            let Some(row) = self
                .fixed
                .iter()
                .chain(&self.found)
                .find(|row| row.target == *target)
            else {
                continue;
            };
            if list_row(ui, idx == self.row, &row.words, &row.second).clicked() {
                chosen = Some(*target);
            }
        }
        let beneath = if shown.is_empty() {
            "Nothing like that".to_owned()
        } else if shown.len() > most {
            format!(
                "{} in all; type to narrow. Enter opens, Esc closes",
                shown.len()
            )
        } else {
            "Enter opens, Esc closes".to_owned()
        };
        soft(ui, &beneath);
        chosen
    }
}

/// How many rows of the list a window has room for beneath the heading and the field.
fn rows_that_fit(height: f32) -> usize {
    let rest = height - HEAD_AND_FOOT;
    ((rest / ROW).max(3.0) as usize).min(MOST_SHOWN)
}

fn action(target: Target) -> Option<Action> {
    match target {
        Target::Happening(idx) => forms::HAPPENINGS
            .get(idx)
            .map(|choice| Action::Open((choice.open)())),
        Target::Page(idx) => PAGES.get(idx).map(|page| (page.open)()),
        Target::Room(room) => Some(Action::Go(room)),
        Target::Settings => Some(Action::Settings),
        Target::Practise => Some(Action::Practise { is_afresh: false }),
        Target::RealBook => Some(Action::RealBook),
        Target::Account(id) => screens::account(id).map(Action::Open),
        Target::Entry(number) => screens::entry(number).map(Action::Open),
        Target::Trip(_id) => Some(screens::desk::open_driving()),
        Target::Step(_id, kind) => Some(screens::going_on::open_kind(kind)),
    }
}
