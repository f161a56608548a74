//! What left the stock without being sold, being written down: spoiled, given as a sample or a gift, taken home, used.
//! It leaves at what it cost, never at its price.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::line::{ItemLineDraft, item_lines_ui};
use crate::app::action::StockMove;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader};
use crate::app::forms::parts::{self, cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, caution, choice_chips, date_field, soft, text_field};
use crate::dates::show_day;
use crate::ledger::{EntryHeader, EntryKind};
use crate::stock::{BatchNote, Movement, MovementId, MovementKind};

/// Why something left.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Why {
    /// Spoiled, broken or lost.
    #[default]
    Spoiled,
    /// Given away to be seen.
    Sample,
    /// Given to someone.
    Gift,
    /// Taken home.
    OwnUse,
    /// Given to a good cause.
    Donated,
    /// Used up.
    Used,
}

impl Why {
    const ALL: [(Self, &'static str); 6] = [
        (Self::Spoiled, "it was spoiled or lost"),
        (Self::Sample, "a sample to be seen"),
        (Self::Gift, "a gift"),
        (Self::OwnUse, "I took it home"),
        (Self::Donated, "a donation"),
        (Self::Used, "I used it up"),
    ];

    const fn kind(self) -> MovementKind {
        match self {
            Self::Spoiled => MovementKind::Waste,
            Self::Sample => MovementKind::Sample,
            Self::Gift => MovementKind::Gift,
            Self::OwnUse => MovementKind::OwnUse,
            Self::Donated => MovementKind::Donate,
            Self::Used => MovementKind::Use,
        }
    }

    const fn explains(self) -> &'static str {
        match self {
            Self::Spoiled => "Its cost is a loss (waste and spoilage).",
            Self::Sample => "At cost, as advertising; your own hours in it are never counted.",
            Self::Gift => "At cost, beside advertising.",
            Self::OwnUse => "At cost, as money taken out (drawing): no cost of the business.",
            Self::Donated => "At cost, as a donation; your own hours in it are never counted.",
            Self::Used => {
                "At cost: packaging goes to packaging used, the rest to what the sold things cost."
            }
        }
    }
}

const GIFTS: &str = "What of a gift to one person counts for tax is often limited, and a donation of your own pieces may \
     count for nothing again: their cost is in the books already. Confirm with local rules and a licensed professional.";

/// Stock going out, being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct OutDraft {
    /// What went.
    pub lines: Vec<ItemLineDraft>,
    /// Why.
    pub why: Why,
    /// When.
    pub date: String,
    /// To whom.
    pub to_whom: String,
    /// What for, in her words.
    pub memo: String,
    /// From which place; home is empty.
    pub place: String,
}

impl OutDraft {
    /// An empty form of today, or one of this item.
    #[must_use]
    pub fn new(code: &str, facts: &Facts) -> Self {
        let line = match facts.stock.item(code) {
            Some(item) => ItemLineDraft::of(facts.stock.label(item)),
            None => ItemLineDraft::default(),
        };
        Self {
            lines: vec![line],
            why: Why::default(),
            date: show_day(facts.today),
            to_whom: String::new(),
            memo: String::new(),
            place: String::new(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.lines
            .iter()
            .all(|line| line.quantity.text.trim().is_empty())
            && self.memo.trim().is_empty()
    }

    /// What it moves.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn stock_move(&self, facts: &Facts) -> Result<StockMove, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let kind = self.why.kind();
        let mut movements = Vec::new();
        let mut names = Vec::new();
        for (idx, line) in self.lines.iter().enumerate() {
            if line.is_empty() && (idx > 0 || self.lines.len() > 1) {
                continue;
            }
            read.line(Some(idx));
            if let Some((item, quantity)) = line.read(&mut read, facts) {
                let mut going =
                    Movement::new(MovementId(0), date, item.code.clone(), kind, quantity);
                going.place.clone_from(&self.place);
                movements.push(going);
                names.push(format!("{quantity} {}", item.name));
            }
        }
        read.line(None);
        let what = names.join(", ");
        let memo = match self.memo.trim() {
            "" => what.clone(),
            memo => format!("{memo}: {what}"),
        };
        if matches!(self.why, Why::Gift | Why::Donated) {
            read.text("to_whom", &self.to_whom, "say to whom");
        }
        let header = EntryHeader::new(date, EntryKind::StockOut)
            .party(self.to_whom.trim())
            .memo(memo);
        read.finish(StockMove {
            note: BatchNote::default(),
            header,
            lines: Vec::new(),
            movements,
            done: format!("{}: {what}", kind.plain()),
        })
    }
}

/// Draws the card.
pub fn out_ui(
    ui: &mut Ui,
    draft: &mut OutDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        if take_focus && let Some(first) = draft.lines.first_mut() {
            first.take_focus();
        }
        choice_chips(ui, "Why did it go?", &mut draft.why, &Why::ALL);
        soft(ui, draft.why.explains());
        ui.add_space(space::SMALL);
        let words = ("What", "How many");
        item_lines_ui(ui, &mut draft.lines, words, |_any| true, facts, problems);
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[130.0, 0.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
            1 => {
                let field = Field::new("To whom")
                    .width(width)
                    .hint("a shop, a fair, a friend")
                    .problem(problems.of("to_whom"));
                text_field(ui, field, &mut draft.to_whom);
            }
            _ => {
                let field = Field::new("What for").width(width).hint("in a few words");
                text_field(ui, field, &mut draft.memo);
            }
        });
        place_ui(ui, "From where", &mut draft.place, facts);
        if matches!(draft.why, Why::Gift | Why::Donated) {
            ui.add_space(space::SMALL);
            caution(ui, GIFTS);
        }
        if let Ok(told) = draft.stock_move(facts) {
            for words in facts.stock.shortages(&told.movements) {
                parts::hint(ui, &format!("{words}."));
            }
        }
    });
}

/// Where it lies, when anything lies elsewhere than at home.
pub(super) fn place_ui(ui: &mut Ui, label: &str, place: &mut String, facts: &Facts) {
    let others = facts.stock.other_places();
    if others.is_empty() {
        return;
    }
    let mut places = vec![(String::new(), "at home".to_owned())];
    places.extend(others.into_iter().map(|place| (place.clone(), place)));
    let width = ui.available_width().min(260.0);
    select(ui, label, width, place, &places, None);
}
