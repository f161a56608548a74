//! The first page: begin a book with three plain questions, open one, or look at the sample.
//! What is chosen is done by the window, on a thread of its own.

use std::path::{Path, PathBuf};

use chrono::{Datelike, NaiveDate};
use egui::Ui;

use crate::app::theme::space;
use crate::app::widgets::{
    Field, PathPicker, PathWanted, card, card_heading, caution, columns, date_field, link,
    page_heading, parse_day, primary_button_enabled, problem, secondary_button, soft,
    suggest_field, text_field,
};
use crate::dates::show_day;
use crate::money::Currency;

const CAUTION: &str = "Deckle keeps your books and helps to sort them; it does not know your local rules. What counts \
    as equipment, what sales tax you owe, what you may deduct, and whether and how to register or form a company depend \
    on where your business is. Its figures for tax are estimates: confirm with local rules and a licensed professional.";

/// Codes that are offered first; any ISO 4217 code can be typed.
const CURRENCIES: [&str; 24] = [
    "USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "HUF",
    "RON", "BGN", "ISK", "JPY", "INR", "BRL", "MXN", "ZAR", "SGD", "HKD", "KRW",
];

/// What was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FirstStep {
    /// Begin a book.
    New {
        /// Where it is kept.
        path: PathBuf,
        /// What the business is called.
        name: String,
        /// Its currency.
        currency: Currency,
        /// Its first day.
        first_day: NaiveDate,
    },
    /// Open a book.
    Open(PathBuf),
    /// Look at the sample.
    Sample,
    /// Open the practice copy of a book, which is made when there is none.
    Practise {
        /// The real book.
        of: PathBuf,
        /// Whether an earlier copy is replaced.
        is_afresh: bool,
    },
}

/// The first page.
#[derive(Debug)]
pub struct FirstRun {
    name: String,
    currency: String,
    first_day: String,
    place: PathPicker,
    place_is_own: bool,
    opening: PathPicker,
    folder: PathBuf,
    offers: Vec<String>,
    has_tried: bool,
    shows_place: bool,
}

impl FirstRun {
    /// The page, with books proposed in this folder.
    #[must_use]
    pub fn new(today: NaiveDate, folder: &Path) -> Self {
        let first = NaiveDate::from_ymd_opt(today.year(), 1, 1).unwrap_or(today);
        Self {
            name: String::new(),
            currency: String::new(),
            first_day: show_day(first),
            place: PathPicker::new(
                PathWanted::NewFile("deckle"),
                &folder.join("my-book.deckle"),
            ),
            place_is_own: false,
            opening: PathPicker::new(PathWanted::File(vec!["deckle"]), folder),
            folder: folder.to_path_buf(),
            offers: CURRENCIES.iter().map(|code| (*code).to_owned()).collect(),
            has_tried: false,
            shows_place: false,
        }
    }

    /// Draws the page; `busy` says what is being done just now, `trouble` what did not work.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        today: NaiveDate,
        recent: &[PathBuf],
        busy: Option<&str>,
        trouble: Option<&str>,
    ) -> Option<FirstStep> {
        page_heading(
            ui,
            "Deckle",
            "A ledger for one who makes things by hand. Everything stays in one file on this computer.",
        );
        if let Some(words) = trouble {
            caution(ui, words);
            ui.add_space(space::MEDIUM);
        }
        if let Some(words) = busy {
            card(ui, |ui| {
                ui.horizontal(|ui| {
                    ui.spinner();
                    ui.label(format!("{words}\u{2026}"));
                });
            });
            return None;
        }
        let is_wide = ui.available_width() > 820.0;
        let step = if is_wide {
            columns(ui, &[1.0, 1.0], |columns| {
                let begun = self.begin_ui(&mut columns[0], today);
                begun.or(self.others_ui(&mut columns[1], recent))
            })
        } else {
            let begun = self.begin_ui(ui, today);
            ui.add_space(space::LARGE);
            begun.or(self.others_ui(ui, recent))
        };
        ui.add_space(space::LARGE);
        caution(ui, CAUTION);
        step
    }

    fn begin_ui(&mut self, ui: &mut Ui, today: NaiveDate) -> Option<FirstStep> {
        card(ui, |ui| {
            card_heading(ui, "Begin a book");
            ui.spacing_mut().item_spacing.y = 10.0;
            let field = Field::new("What is your business called?").hint("The name on statements");
            if text_field(ui, field, &mut self.name).changed() && !self.place_is_own {
                self.propose_place();
            }
            let currency_problem = self.currency_problem();
            let field = Field::new("Which currency does it keep its books in?")
                .hint("USD, EUR, GBP \u{2026}")
                .problem(currency_problem.as_deref());
            suggest_field(ui, field, &mut self.currency, &self.offers);
            let field = Field::new("Which day does the book begin?");
            let (_, day) = date_field(ui, field, &mut self.first_day, today);
            soft(
                ui,
                "The day of the first purchase, or the day from which you want to keep these books. Money moved into \
                 the business before is brought in as opening balances.",
            );
            self.place_ui(ui);
            let is_ready = day.is_some();
            if !primary_button_enabled(ui, is_ready, "Begin the book", "").clicked() {
                return None;
            }
            self.has_tried = true;
            let currency = Currency::from_code(self.currency.trim()).ok()?;
            Some(FirstStep::New {
                path: with_ending(self.place.path()),
                name: self.name.trim().to_owned(),
                currency,
                first_day: parse_day(&self.first_day, today)?,
            })
        })
    }

    fn place_ui(&mut self, ui: &mut Ui) {
        if self.shows_place {
            let before = self.place.text.clone();
            self.place.ui(ui, "Where is it kept?", None);
            self.place_is_own |= self.place.text != before;
        } else {
            soft(ui, &format!("It is kept in {}", self.place.text));
            self.shows_place = link(ui, "Keep it somewhere else").clicked();
        }
        if self.place.path().exists() && !self.place.path().is_dir() {
            problem(
                ui,
                "a file with this name is there already; choose another name",
            );
        }
    }

    fn currency_problem(&self) -> Option<String> {
        let typed = self.currency.trim();
        if typed.is_empty() {
            return self
                .has_tried
                .then(|| "say which; three letters such as USD".to_owned());
        }
        if typed.len() < 3 {
            return None;
        }
        Currency::from_code(typed)
            .err()
            .map(|error| error.to_string())
    }

    fn propose_place(&mut self) {
        let mut slug = String::new();
        for c in self.name.trim().to_lowercase().chars() {
            if c.is_alphanumeric() {
                slug.push(c);
            } else if !slug.ends_with('-') && !slug.is_empty() {
                slug.push('-');
            }
        }
        let slug = slug.trim_end_matches('-');
        let slug = if slug.is_empty() { "my-book" } else { slug };
        self.place.text = self
            .folder
            .join(format!("{slug}.deckle"))
            .display()
            .to_string();
    }

    fn others_ui(&mut self, ui: &mut Ui, recent: &[PathBuf]) -> Option<FirstStep> {
        let mut step = card(ui, |ui| {
            card_heading(ui, "Open a book");
            ui.spacing_mut().item_spacing.y = 8.0;
            let mut step = None;
            for path in recent.iter().filter(|path| path.exists()) {
                let name = path.file_stem().unwrap_or_default().to_string_lossy();
                let response = link(ui, &name).on_hover_text(path.display().to_string());
                if response.clicked() {
                    step = Some(FirstStep::Open(path.clone()));
                }
            }
            let is_chosen = self.opening.ui(ui, "Its file", None);
            let is_file = self.opening.path().is_file();
            let pressed = primary_button_enabled(ui, is_file, "Open", "").clicked();
            if is_file && (pressed || is_chosen) {
                step = Some(FirstStep::Open(self.opening.path()));
            }
            step
        });
        ui.add_space(space::LARGE);
        card(ui, |ui| {
            card_heading(ui, "Look around first");
            soft(
                ui,
                "Fernhollow Bindery is an invented maker of hand-bound notebooks and block-printed cards. Her first \
                 fourteen months are filled in; do with them what you like, it is a copy.",
            );
            if secondary_button(ui, "Look at the sample book", "").clicked() {
                step = Some(FirstStep::Sample);
            }
        });
        step
    }
}

/// A book's file has its ending, whether it was typed or not.
fn with_ending(path: PathBuf) -> PathBuf {
    if path.extension().is_some() {
        return path;
    }
    path.with_extension("deckle")
}
