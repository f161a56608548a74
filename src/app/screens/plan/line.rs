//! The page of a line of the plan: what it may cost, the other ways, what was bought for it, and what can be done.
//! The form that changes it is `forms::plan`.

use chrono::NaiveDate;
use egui::{RichText, Ui};

use super::model::standing;
use crate::app::action::{Action, Form, FormWish, PlanPart, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, primary_button, quiet_button, second_line, secondary_button, soft,
    text_field,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::show_day;
use crate::ledger::{EntryKind, EntryNumber};
use crate::money::Money;
use crate::plan::{How, LineActual, PlanLine, Share};
use crate::reports;

/// So many things that were bought already are offered at once.
const OFFERED_AT_MOST: usize = 12;
/// From so many of the newest entries that the words find.
const LOOKED_AT: usize = 60;

/// Something in the books that may belong to the line.
struct Offer {
    entry: EntryNumber,
    date: NaiveDate,
    party: String,
    share: Share,
    is_whole: bool,
}

/// What the page shows.
struct Page {
    one: LineActual,
    ways: Vec<PlanLine>,
    offers: Vec<Offer>,
}

/// The page of a line.
pub struct PlanLineScreen {
    id: i64,
    page: Option<Page>,
    is_gone: bool,
    search: Option<String>,
    searched: Option<String>,
}

enum Pressed {
    Buy,
    Change,
    Remove,
    AnotherWay,
    Choose(Box<PlanLine>),
    Look,
    Link(EntryNumber, String),
    Unlink(i64),
    Entry(EntryNumber),
    Line(i64),
}

impl PlanLineScreen {
    /// The page of the line of this number.
    #[must_use]
    pub const fn new(id: i64) -> Self {
        Self {
            id,
            page: None,
            is_gone: false,
            search: None,
            searched: None,
        }
    }

    fn answer(&mut self, pressed: Pressed) -> Option<Action> {
        let line = &self.page.as_ref()?.one.line;
        let start = |form, line: &PlanLine| Action::Start(FormWish::of_plan(form, line));
        Some(match pressed {
            Pressed::Buy if line.how == Some(How::Owned) => start(Form::BroughtIn, line),
            Pressed::Buy => start(Form::Purchase, line),
            Pressed::Change => start(Form::PlanLine, line),
            Pressed::AnotherWay => {
                let mut other = PlanLine::new("", line.kind, Money::ZERO);
                other.need = line.need;
                other.month = line.month;
                other.alternative_of = Some(line.group().to_owned());
                other.is_chosen = false;
                start(Form::PlanLine, &other)
            }
            Pressed::Remove => {
                self.is_gone = true;
                Action::write(Write::RemovePlanLine(self.id))
            }
            Pressed::Choose(mut line) => {
                line.is_chosen = true;
                Action::write(Write::KeepPlanLine(line))
            }
            Pressed::Look => {
                self.search = Some(String::new());
                return None;
            }
            Pressed::Link(entry, what) => {
                self.search = None;
                Action::write(Write::LinkPlan(
                    entry,
                    PlanPart {
                        line: self.id,
                        what,
                    },
                ))
            }
            Pressed::Unlink(link) => Action::write(Write::UnlinkPlan(link)),
            Pressed::Entry(number) => crate::app::screens::entry::open(number),
            Pressed::Line(id) => Action::Open(Box::new(Self::new(id))),
        })
    }
}

impl Screen for PlanLineScreen {
    fn title(&self) -> String {
        self.page
            .as_ref()
            .map_or_else(|| "Plan".to_owned(), |page| page.one.line.name.clone())
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let report = reports::plan(book, cx.today)?;
        let found = report
            .actual
            .lines
            .iter()
            .find(|one| one.line.id == self.id)
            .cloned();
        let offers = match &self.search {
            Some(words) => offers(book, words)?,
            None => Vec::new(),
        };
        self.searched.clone_from(&self.search);
        self.page = found.map(|one| {
            let group = one.line.group().to_lowercase();
            let ways = report
                .plan
                .lines
                .iter()
                .filter(|line| line.id != self.id && line.group().to_lowercase() == group)
                .cloned()
                .collect();
            Page { one, ways, offers }
        });
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.searched != self.search
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let Some(page) = &self.page else {
            soft(ui, "This line is no longer in the plan.");
            return None;
        };
        let pressed = page_ui(ui, page, &mut self.search, cx)?;
        self.answer(pressed)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_gone) {
            After::Close
        } else {
            After::Stay
        }
    }

    fn refused(&mut self, _message: &str) {
        self.is_gone = false;
    }
}

/// What was bought or brought in and belongs to no line yet, the newest first.
fn offers(book: &Book, words: &str) -> Result<Vec<Offer>, BookError> {
    let taken = book.plan_purchases()?;
    let mut offers = Vec::new();
    for kind in [EntryKind::Purchase, EntryKind::BroughtIn] {
        let filter = EntryFilter {
            kind: Some(kind),
            text: words.trim().to_owned(),
            ..EntryFilter::default()
        };
        for posted in book.entries(&book.newest_entry_numbers(&filter, LOOKED_AT)?)? {
            if posted.reversed_by.is_some() {
                continue;
            }
            let shares = Share::of(book.chart(), &posted.entry);
            let is_whole = shares.len() == 1;
            for share in shares {
                let is_taken = taken.iter().any(|link| {
                    link.entry == posted.number
                        && (link.what.is_empty()
                            || link.what.to_lowercase() == share.what.to_lowercase())
                });
                if !is_taken && (is_whole || !share.what.is_empty()) {
                    offers.push(Offer {
                        entry: posted.number,
                        date: posted.entry.header.date,
                        party: posted.entry.header.party.clone(),
                        share,
                        is_whole,
                    });
                }
            }
        }
    }
    offers.sort_by_key(|offer| std::cmp::Reverse((offer.date, offer.entry)));
    offers.truncate(OFFERED_AT_MOST);
    Ok(offers)
}

fn page_ui(
    ui: &mut Ui,
    page: &Page,
    search: &mut Option<String>,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let line = &page.one.line;
    ui.label(RichText::new(&line.name).font(theme::heading()));
    second_line(
        ui,
        &format!(
            "{}, {}, a line of the start-up plan: {}.",
            line.kind.plain(),
            line.need.plain().to_lowercase(),
            standing(&page.one, !page.ways.is_empty())
        ),
    );
    ui.add_space(space::MEDIUM);
    let mut pressed = deeds_ui(ui, page);
    ui.add_space(space::LARGE);
    facts_ui(ui, page, cx);
    ui.add_space(space::LARGE);
    pressed = pressed.or(ways_ui(ui, page, cx));
    pressed.or(bought_ui(ui, page, search, cx))
}

fn deeds_ui(ui: &mut Ui, page: &Page) -> Option<Pressed> {
    let mut pressed = None;
    let is_owned = page.one.line.how == Some(How::Owned);
    ui.horizontal_wrapped(|ui| {
        let buy = match (is_owned, page.one.is_bought()) {
            (true, _) => "Bring it in",
            (false, false) => "I bought it",
            (false, true) => "I bought more of it",
        };
        if primary_button(ui, buy, "").clicked() {
            pressed = Some(Pressed::Buy);
        }
        if secondary_button(ui, "Change it", "").clicked() {
            pressed = Some(Pressed::Change);
        }
        if secondary_button(ui, "Plan another way", "").clicked() {
            pressed = Some(Pressed::AnotherWay);
        }
        if !page.ways.is_empty()
            && !page.one.line.is_chosen
            && secondary_button(ui, "Choose this way", "").clicked()
        {
            pressed = Some(Pressed::Choose(Box::new(page.one.line.clone())));
        }
        if quiet_button(ui, "Take it off the plan").clicked() {
            pressed = Some(Pressed::Remove);
        }
    });
    pressed
}

fn facts_ui(ui: &mut Ui, page: &Page, cx: &ViewContext<'_>) {
    let line = &page.one.line;
    card(ui, |ui| {
        card_heading(ui, "Planned");
        let columns = [Column::words("", 1.0), Column::words("", 2.0)];
        let mut facts = vec![("Most likely", cx.show(line.cost.likely))];
        if !line.cost.is_certain() {
            facts.push(("At best", cx.show(line.cost.low)));
            facts.push(("At worst", cx.show(line.cost.high)));
        }
        let month = line
            .month
            .map_or_else(|| "no month yet".to_owned(), |month| month.to_string());
        facts.push(("When", month));
        if let Some(how) = line.how {
            facts.push(("How", how.plain().to_owned()));
        }
        if !line.note.is_empty() {
            facts.push(("Note", line.note.clone()));
        }
        let rows: Vec<Row> = facts
            .into_iter()
            .map(|(name, words)| Row::line(vec![Cell::soft(name), Cell::text(words)]))
            .collect();
        let _nothing_opens = paper_table(ui, "planned", &columns, &rows);
    });
}

fn ways_ui(ui: &mut Ui, page: &Page, cx: &ViewContext<'_>) -> Option<Pressed> {
    if page.ways.is_empty() {
        return None;
    }
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Other ways").on_hover_text("Of all ways exactly one counts");
        for way in &page.ways {
            ui.horizontal_wrapped(|ui| {
                if crate::app::widgets::link(ui, &way.name).clicked() {
                    pressed = Some(Pressed::Line(way.id));
                }
                let counts = if way.is_chosen { ", chosen" } else { "" };
                ui.label(format!("{}{counts}", cx.show(way.cost.likely)));
                if !way.is_chosen && quiet_button(ui, &format!("Choose {}", way.name)).clicked() {
                    pressed = Some(Pressed::Choose(Box::new(way.clone())));
                }
            });
        }
    });
    ui.add_space(space::LARGE);
    pressed
}

fn bought_ui(
    ui: &mut Ui,
    page: &Page,
    search: &mut Option<String>,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Bought for it").on_hover_text("Actual against budget");
        let one = &page.one;
        if one.bought.is_empty() {
            soft(ui, "Nothing so far.");
        }
        for bought in &one.bought {
            ui.horizontal_wrapped(|ui| {
                let thing = if bought.what.is_empty() {
                    "all of it"
                } else {
                    &bought.what
                };
                let words = format!("{}, {}: {thing}", show_day(bought.date), bought.party);
                if crate::app::widgets::link(ui, &words).clicked() {
                    pressed = Some(Pressed::Entry(bought.entry));
                }
                ui.label(cx.show(bought.amount));
                if bought.is_lost {
                    soft(ui, "nothing on that entry is called so any more");
                }
                let off = format!("Entry {} is not for it", bought.entry);
                if quiet_button(ui, &off).clicked() {
                    pressed = Some(Pressed::Unlink(bought.link));
                }
            });
        }
        if one.is_bought() {
            ui.label(difference(one, cx));
        }
        ui.add_space(space::SMALL);
        let found = match search {
            None => secondary_button(ui, "It is written down already", "")
                .clicked()
                .then_some(Pressed::Look),
            Some(words) => offers_ui(ui, &page.offers, words, cx),
        };
        pressed = pressed.take().or(found);
    });
    pressed
}

fn difference(one: &LineActual, cx: &ViewContext<'_>) -> String {
    let over = one.actual - one.line.cost.likely;
    let how = if over.is_zero() {
        "just as planned".to_owned()
    } else if over.is_negative() {
        format!("{} less than planned", cx.show(-over))
    } else {
        format!("{} more than planned", cx.show(over))
    };
    format!("It cost {}, {how}.", cx.show(one.actual))
}

fn offers_ui(
    ui: &mut Ui,
    offers: &[Offer],
    words: &mut String,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let field = Field::new("Which purchase is it?").hint("supplier, thing, number or amount");
    text_field(ui, field, words);
    if offers.is_empty() {
        soft(
            ui,
            "Nothing like that was bought, or it belongs to a line already.",
        );
    }
    let mut pressed = None;
    for offer in offers {
        let thing = if offer.share.what.is_empty() {
            "all of it"
        } else {
            &offer.share.what
        };
        let words = format!(
            "{}, {}: {thing}, {}",
            show_day(offer.date),
            offer.party,
            cx.show(offer.share.amount)
        );
        if quiet_button(ui, &words).clicked() {
            let what = if offer.is_whole {
                String::new()
            } else {
                offer.share.what.clone()
            };
            pressed = Some(Pressed::Link(offer.entry, what));
        }
    }
    pressed
}
