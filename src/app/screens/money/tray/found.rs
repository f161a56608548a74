//! Looking for the entries that a line is in: the likely ones first, then any that no line of the account has.
//! That they move what the line says is held by the book, too.

use egui::{RichText, Ui};

use super::slip::Answer;
use crate::app::action::SortingWrite;
use crate::app::screen::ViewContext;
use crate::app::screens::explain::what_was_it;
use crate::app::theme::{self, space};
use crate::app::widgets::{
    Field, matching, primary_button_enabled, quiet_button, soft, text_field,
};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::money::Money;
use crate::reports;
use crate::sorting::{BankLine, LedgerMovement};

/// So many entries are shown; typing narrows them.
const SHOWN: usize = 12;

/// The entries that a line may be in, while they are looked for.
#[derive(Clone, Debug)]
pub(super) struct FoundDraft {
    line: BankLine,
    /// The likely ones first.
    movements: Vec<LedgerMovement>,
    n_likely: usize,
    words: Vec<String>,
    ticked: Vec<EntryNumber>,
    search: String,
    seen: Option<u64>,
}

impl FoundDraft {
    /// Begins to look for a line's entries.
    pub(super) const fn new(line: BankLine) -> Self {
        Self {
            line,
            movements: Vec::new(),
            n_likely: 0,
            words: Vec::new(),
            ticked: Vec::new(),
            search: String::new(),
            seen: None,
        }
    }

    /// Whether the book was asked.
    pub(super) const fn is_read(&self) -> bool {
        self.seen.is_some()
    }

    /// Asks the book, once for each of its revisions.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(super) fn read(&mut self, book: &Book) -> Result<(), BookError> {
        if self.seen == Some(book.revision()) {
            return Ok(());
        }
        self.seen = Some(book.revision());
        let likely = reports::line_candidates(book, &self.line)?;
        self.n_likely = likely.len();
        let known: Vec<EntryNumber> = likely.iter().map(|one| one.entry).collect();
        let mut others = book.movements_without_line(self.line.account)?;
        // Of the same direction, the nearest in time first.
        others.retain(|one| {
            one.amount.is_positive() == self.line.is_in() && !known.contains(&one.entry)
        });
        others.sort_by_key(|one| (one.date - self.line.date).num_days().abs());
        self.movements = likely;
        self.movements.extend(others);
        self.words = self
            .movements
            .iter()
            .map(|one| {
                format!(
                    "{} {} {} {} {}",
                    one.entry,
                    show_day(one.date),
                    one.party,
                    one.memo,
                    book.currency().show(one.amount)
                )
            })
            .collect();
        self.ticked
            .retain(|entry| self.movements.iter().any(|one| one.entry == *entry));
        if self.n_likely == 1 {
            self.ticked = known;
        }
        Ok(())
    }

    fn sum(&self) -> Money {
        self.movements
            .iter()
            .filter(|one| self.ticked.contains(&one.entry))
            .map(|one| one.amount)
            .sum()
    }
}

/// Shows the entries to choose from.
pub(super) fn found_ui(
    ui: &mut Ui,
    draft: &mut FoundDraft,
    cx: &ViewContext<'_>,
) -> Option<Answer> {
    ui.label(RichText::new("Which entry is it?").font(theme::bold()));
    if draft.movements.is_empty() {
        soft(ui, "The book has nothing on this account that could be it.");
    } else {
        soft(
            ui,
            "Tick it. Several may make up the line together, as when one payment covered two bills.",
        );
    }
    if draft.movements.len() > SHOWN {
        text_field(
            ui,
            Field::new("Find one").hint("a name, an amount, a number"),
            &mut draft.search,
        );
    }
    let found = matching(draft.words.iter().map(String::as_str), &draft.search);
    let shown: Vec<usize> = if draft.search.trim().is_empty() {
        (0..draft.movements.len()).take(SHOWN).collect()
    } else {
        found.iter().copied().take(SHOWN).collect()
    };
    for idx in &shown {
        let Some(one) = draft.movements.get(*idx) else {
            continue;
        };
        let mut is_ticked = draft.ticked.contains(&one.entry);
        let words = format!(
            "{}   {}   entry {} of {}",
            cx.show(one.amount),
            what_was_it(&one.party, &one.memo, one.kind.plain()),
            one.entry,
            show_day(one.date)
        );
        if ui.checkbox(&mut is_ticked, words).changed() {
            let entry = one.entry;
            if is_ticked {
                draft.ticked.push(entry);
            } else {
                draft.ticked.retain(|ticked| *ticked != entry);
            }
        }
    }
    if found.len() > shown.len() {
        soft(
            ui,
            &format!("{} more; type to find one", found.len() - shown.len()),
        );
    }
    ui.add_space(space::SMALL);
    let sum = draft.sum();
    let left = draft.line.amount - sum;
    let fits = !draft.ticked.is_empty() && left.is_zero();
    if !draft.ticked.is_empty() {
        let words = if fits {
            format!("Ticked: {}, the whole line.", cx.show(sum))
        } else {
            format!(
                "Ticked: {} of {}; {} is missing.",
                cx.show(sum),
                cx.show(draft.line.amount),
                cx.show(left)
            )
        };
        soft(ui, &words);
    }
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        let is_key = crate::app::keys::take_write_down(ui.ctx());
        if primary_button_enabled(ui, fits, "It is this", "Ctrl Enter").clicked()
            || (is_key && fits)
        {
            let write = SortingWrite::InBook(draft.line.id, draft.ticked.clone());
            answer = Some(Answer::Write(Box::new(write)));
        }
        if quiet_button(ui, "Not now").on_hover_text("Esc").clicked() {
            answer = Some(Answer::Close);
        }
    });
    answer
}
