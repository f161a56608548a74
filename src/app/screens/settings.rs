//! The settings: of this book, and of the window.
//! They are kept by the window; here they are shown and asked for.

use egui::Ui;

use crate::app::action::{Action, Write};
use crate::app::preferences::{Preferences, ThemeChoice};
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    self, Field, card, card_heading, caution, choice_chips, date_field, money_field, quiet_button,
    secondary_button, soft, text_field,
};
use crate::book::{Book, BookError, practice_beside};
use crate::dates::{Month, show_day};
use crate::money::{Currency, Percent};
use crate::reports;
use crate::statements::Basis;
use crate::stock::{CostMethod, StockKeeping};

const THRESHOLD_CAUTION: &str = "From this amount on, a thing that lasts joins the equipment register and is spread \
    over its life here; below it, it is a cost at once and stays on the list of small equipment. Where the line lies \
    for tax depends on where you are, and changing it back and forth raises questions: confirm with local rules and a \
    licensed professional.";

const BASIS_CAUTION: &str = "Sets which profit statement comes first at the year's end; the other one is a press away, with the \
    bridge between the two. The books stay the same. Which basis you may use, and when you may change it, depends on where \
    you are: confirm with local rules and a licensed professional.";

const COSTING_CAUTION: &str = "How stock is valued is chosen once for a book. Changed later, everything that moved is worked \
    out anew and each difference is written down on its day; where such a day is locked, the change is refused. Which way is \
    allowed, and whether and when it may change, depends on where you are: ask your accountant first, and confirm with local \
    rules and a licensed professional.";

const KEEPING_CAUTION: &str = "Choose it with your accountant before the first thing comes in: it stays as it is once stock \
    has moved. Count at the end of each year whichever you choose. Which way is allowed for tax, and how a change is made, \
    depends on where you are: confirm with local rules and a licensed professional.";

/// What a way of keeping stock means, in plain words.
const fn keeping_words(keeping: StockKeeping) -> &'static str {
    match keeping {
        StockKeeping::Perpetual => {
            "What you buy waits in stock and becomes a cost when it is sold, spoiled or given away (perpetual), so the \
             profit of every month is right and a count only finds what went unseen."
        }
        StockKeeping::Periodic => {
            "What you buy is a cost at once (periodic); only a count takes what still lies there out of the costs again. \
             Between counts the profit looks too low when you buy ahead and too high when you sell it off. What a piece \
             costs is worked out all the same."
        }
    }
}

/// The settings page.
#[derive(Debug, Default)]
pub struct SettingsScreen {
    draft: Draft,
    read: Draft,
    is_practice: bool,
    has_practice: bool,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Draft {
    name: String,
    address: String,
    how_to_pay: String,
    cover: [String; COVER.len()],
    tax_number_on_file: String,
    threshold: String,
    threshold_since: String,
    purpose_above: String,
    percent: String,
    year_starts: u32,
    owed_back: bool,
    opened: String,
    basis: Basis,
    costing: CostMethod,
    keeping: StockKeeping,
}

impl Screen for SettingsScreen {
    fn title(&self) -> String {
        "Settings".to_owned()
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.is_practice = book.is_practice();
        self.has_practice = practice_beside(book.path()).exists();
        let settings = book.settings();
        let shown = |amount: Option<crate::money::Money>| {
            amount.map_or(String::new(), |amount| book.currency().show(amount))
        };
        let day = |key: &str| settings.day(key).map_or(String::new(), show_day);
        let read = Draft {
            name: settings.business_name().to_owned(),
            address: settings
                .get("business_address")
                .unwrap_or_default()
                .to_owned(),
            how_to_pay: settings.get("how_to_pay").unwrap_or_default().to_owned(),
            cover: COVER.map(|(key, _label)| settings.get(key).unwrap_or_default().to_owned()),
            tax_number_on_file: settings
                .get("tax_number_on_file")
                .unwrap_or_default()
                .to_owned(),
            threshold: shown(settings.equipment_threshold()),
            threshold_since: day("small_equipment_policy_since"),
            purpose_above: shown(settings.purpose_above()),
            percent: settings.set_aside_percent().to_string(),
            year_starts: book.year_start().month(),
            owed_back: settings.is_owner_pocket_owed_back(),
            opened: day("opened_for_business_on"),
            basis: reports::basis(book),
            costing: settings.costing(),
            keeping: settings.stock_keeping(),
        };
        if self.draft == self.read {
            self.draft = read.clone();
        }
        self.read = read;
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        widgets::page_heading(ui, "Settings", "Of this book, and of the window.");
        let window = card(ui, |ui| window_ui(ui, cx.preferences));
        ui.add_space(space::LARGE);
        let book = card(ui, |ui| self.book_ui(ui, cx));
        ui.add_space(space::LARGE);
        let practice = card(ui, |ui| self.practice_ui(ui));
        ui.add_space(space::LARGE);
        let other = quiet_button(ui, "Open or begin another book")
            .clicked()
            .then_some(Action::OtherBook);
        window.or(book).or(practice).or(other)
    }

    fn has_draft(&self) -> bool {
        self.draft != self.read
    }
}

fn window_ui(ui: &mut Ui, preferences: &Preferences) -> Option<Action> {
    card_heading(ui, "The window");
    let mut theme = preferences.theme;
    let choices = [
        (ThemeChoice::Light, "Light"),
        (ThemeChoice::Dark, "Dark"),
        (ThemeChoice::System, "As the desktop"),
    ];
    let theme_changed = choice_chips(ui, "Theme", &mut theme, &choices);
    ui.add_space(space::MEDIUM);
    soft(ui, "Scale");
    let mut steps = None;
    ui.horizontal(|ui| {
        if secondary_button(ui, "Smaller", "Ctrl \u{2212}").clicked() {
            steps = Some(-1);
        }
        ui.label(format!("{} %", preferences.scale));
        if secondary_button(ui, "Larger", "Ctrl +").clicked() {
            steps = Some(1);
        }
        if secondary_button(ui, "Usual size", "Ctrl 0").clicked() {
            steps = Some(0);
        }
    });
    if theme_changed {
        return Some(Action::SetTheme(theme));
    }
    steps.map(Action::Scale)
}

/// What the cover of the year-end pack says of the business: the setting, and how it is asked for.
const COVER: [(&str, &str); 4] = [
    ("owner_name", "Who owns it"),
    ("business_form", "Form of the business, and since when"),
    ("activity", "What it does, in one line"),
    ("prepared_by", "Who prepares the year-end pack"),
];

/// What stands on the cover of the year-end pack.
fn cover_ui(ui: &mut Ui, draft: &mut Draft) {
    for ((_key, label), text) in COVER.iter().zip(&mut draft.cover) {
        text_field(ui, Field::new(label).width(360.0), text);
    }
    let known = ["yes", "no"]
        .into_iter()
        .find(|word| *word == draft.tax_number_on_file);
    let mut chosen = known.unwrap_or_default();
    let choices = [("yes", "Yes"), ("no", "No"), ("", "Not said")];
    if choice_chips(ui, "Is its tax number on file?", &mut chosen, &choices) {
        chosen.clone_into(&mut draft.tax_number_on_file);
    }
}

impl SettingsScreen {
    /// The way to a practice copy, or back from it.
    fn practice_ui(&self, ui: &mut Ui) -> Option<Action> {
        card_heading(ui, "Practice copy");
        if self.is_practice {
            soft(ui, "This is one. The real book stays as it is.");
            let back = secondary_button(ui, "Go back to the real book", "");
            return back.clicked().then_some(Action::RealBook);
        }
        soft(
            ui,
            "A whole copy of this book, kept in a file of its own, to try anything in. It says on every page that it is \
             one; this book stays as it is.",
        );
        let mut action = None;
        ui.horizontal_wrapped(|ui| {
            let words = if self.has_practice {
                "Go on practising"
            } else {
                "Make a practice copy"
            };
            if secondary_button(ui, words, "").clicked() {
                action = Some(Action::Practise { is_afresh: false });
            }
            if self.has_practice && quiet_button(ui, "Make it afresh from this book").clicked() {
                action = Some(Action::Practise { is_afresh: true });
            }
        });
        action
    }

    fn book_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "This book");
        ui.spacing_mut().item_spacing.y = 10.0;
        let draft = &mut self.draft;
        text_field(
            ui,
            Field::new("Name of the business").width(360.0),
            &mut draft.name,
        );
        for (label, text) in [
            ("Lines under it on invoices", &mut draft.address),
            ("How an invoice can be paid", &mut draft.how_to_pay),
        ] {
            let field = Field::new(label)
                .width(360.0)
                .hint("lines with ; between them");
            text_field(ui, field, text);
        }
        cover_ui(ui, draft);
        ui.horizontal_top(|ui| {
            let field = Field::new("Equipment from this amount on").width(230.0);
            money_field(ui, field, &mut draft.threshold, cx.currency);
            let field = Field::new("Chosen on").width(160.0).hint("28 Sep 2026");
            optional_day(ui, field, &mut draft.threshold_since, cx);
        });
        caution(ui, THRESHOLD_CAUTION);
        let field = Field::new("Ask for the business purpose from this amount on").width(330.0);
        money_field(ui, field, &mut draft.purpose_above, cx.currency);
        let wrong = percent_problem(&draft.percent);
        let field = Field::new("Share of the profit to set aside, in per cent")
            .width(330.0)
            .problem(wrong.as_deref());
        text_field(ui, field, &mut draft.percent);
        let field = Field::new("Opened for business on")
            .width(230.0)
            .hint("not yet");
        optional_day(ui, field, &mut draft.opened, cx);
        month_ui(ui, &mut draft.year_starts);
        choice_chips(
            ui,
            "Business things paid from your own pocket are",
            &mut draft.owed_back,
            &[(false, "put in for good"), (true, "owed back to you")],
        );
        choice_chips(
            ui,
            "A sale or purchase counts on the day it",
            &mut draft.basis,
            &[
                (Basis::Accrual, "happens (accrual basis)"),
                (Basis::Cash, "is paid (cash basis)"),
            ],
        );
        caution(ui, BASIS_CAUTION);
        choice_chips(
            ui,
            "A piece taken from stock costs",
            &mut draft.costing,
            &[
                (
                    CostMethod::Average,
                    "the average of what is there (moving average)",
                ),
                (
                    CostMethod::Fifo,
                    "what the oldest piece cost (first in, first out)",
                ),
            ],
        );
        caution(ui, COSTING_CAUTION);
        choice_chips(
            ui,
            "The stock accounts follow",
            &mut draft.keeping,
            &StockKeeping::ALL
                .iter()
                .map(|keeping| (*keeping, keeping.plain()))
                .collect::<Vec<_>>(),
        );
        soft(ui, keeping_words(draft.keeping));
        caution(ui, KEEPING_CAUTION);
        ui.add_space(space::MEDIUM);
        let changes = changes(&self.read, &self.draft, cx);
        let is_ready = changes.as_ref().is_ok_and(|changes| !changes.is_empty());
        let pressed =
            widgets::primary_button_enabled(ui, is_ready, "Keep the settings", "").clicked();
        match changes {
            Ok(changes) if pressed => Some(Action::write(Write::SetSettings(changes))),
            Ok(_) => None,
            Err(words) => {
                widgets::problem(ui, &words);
                None
            }
        }
    }
}

fn optional_day(ui: &mut Ui, field: Field<'_>, text: &mut String, cx: &ViewContext<'_>) {
    if text.trim().is_empty() {
        text_field(ui, field, text);
    } else {
        date_field(ui, field, text, cx.today);
    }
}

fn percent_problem(text: &str) -> Option<String> {
    text.parse::<Percent>().err().map(|error| error.to_string())
}

fn month_ui(ui: &mut Ui, month: &mut u32) {
    let names: Vec<(u32, &str)> = (1..=12)
        .map(|number| (number, Month::new(2000, number).name()))
        .collect();
    choice_chips(ui, "The financial year begins with", month, &names);
}

/// What differs, as keys and values in the plain form that the book takes.
fn changes(
    read: &Draft,
    draft: &Draft,
    cx: &ViewContext<'_>,
) -> Result<Vec<(String, String)>, String> {
    let mut changes = Vec::new();
    let mut put = |key: &str, value: String| changes.push((key.to_owned(), value));
    if draft.name != read.name {
        put("business_name", draft.name.trim().to_owned());
    }
    if draft.address != read.address {
        put("business_address", draft.address.trim().to_owned());
    }
    if draft.how_to_pay != read.how_to_pay {
        put("how_to_pay", draft.how_to_pay.trim().to_owned());
    }
    for ((key, _label), (now, then)) in COVER.iter().zip(draft.cover.iter().zip(&read.cover)) {
        if now != then {
            put(key, now.trim().to_owned());
        }
    }
    if draft.tax_number_on_file != read.tax_number_on_file {
        put("tax_number_on_file", draft.tax_number_on_file.clone());
    }
    if draft.threshold != read.threshold {
        put("equipment_threshold", plain(&draft.threshold, cx.currency)?);
        if draft.threshold_since == read.threshold_since {
            put("small_equipment_policy_since", cx.today.to_string());
        }
    }
    if draft.threshold_since != read.threshold_since {
        put(
            "small_equipment_policy_since",
            iso(&draft.threshold_since, cx)?,
        );
    }
    if draft.purpose_above != read.purpose_above {
        put("purpose_above", plain(&draft.purpose_above, cx.currency)?);
    }
    if draft.percent != read.percent {
        let percent: Percent = draft.percent.parse().map_err(|error| format!("{error}"))?;
        put("set_aside.percent", percent.to_string());
    }
    if draft.opened != read.opened {
        put("opened_for_business_on", iso(&draft.opened, cx)?);
    }
    if draft.year_starts != read.year_starts {
        put("year_starts", draft.year_starts.to_string());
    }
    if draft.owed_back != read.owed_back {
        let word = if draft.owed_back {
            "owed-back"
        } else {
            "put-in"
        };
        put("owner_pocket", word.to_owned());
    }
    if draft.basis != read.basis {
        put("basis", draft.basis.as_str().to_owned());
    }
    if draft.keeping != read.keeping {
        put("stock_keeping", draft.keeping.as_str().to_owned());
    }
    if draft.costing != read.costing {
        put("costing", draft.costing.as_str().to_owned());
    }
    Ok(changes)
}

/// A typed amount as a setting keeps it; nothing for nothing.
pub(in crate::app::screens) fn plain(text: &str, currency: &Currency) -> Result<String, String> {
    if text.trim().is_empty() {
        return Ok(String::new());
    }
    let amount = currency
        .parse_typed(text)
        .map_err(|error| error.to_string())?;
    Ok(currency.plain(amount))
}

fn iso(text: &str, cx: &ViewContext<'_>) -> Result<String, String> {
    if text.trim().is_empty() {
        return Ok(String::new());
    }
    widgets::parse_day(text, cx.today)
        .map(|day| day.to_string())
        .ok_or_else(|| format!("'{}' is not a day", text.trim()))
}
