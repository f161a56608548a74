//! A text field that offers what was written before, and the list beneath it that the keyboard walks.
//! Where the offers come from is up to whoever shows it.

use egui::{EventFilter, Id, Key, Modifiers, Popup, PopupCloseBehavior, Response, RichText, Ui};

use super::fields::{Field, edit, label_above};
use super::text::problem;
use crate::app::theme::{self, palette};

const MOST_SHOWN: usize = 8;

/// A list is at least this wide, in points, so that a name fits on one line under a narrow field.
const LEAST_WIDE: f32 = 300.0;

#[derive(Clone, Copy, Debug, Default)]
struct ListState {
    row: usize,
    is_dismissed: bool,
}

/// A field that offers remembered words: typing narrows them, the up and down keys choose, Enter accepts, Escape keeps
/// what was typed. Tab accepts what was chosen, or finishes a word that is begun; a whole word stays as it was typed.
/// Answers true when an offer was taken in this frame.
pub fn suggest_field(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    offers: &[String],
) -> (Response, bool) {
    let found = matching(offers.iter().map(String::as_str), text);
    // A text that already says exactly what would be offered needs no list.
    let is_exact = found.len() == 1 && found.first().is_some_and(|idx| offers[*idx] == *text);
    let shown: Vec<(String, String)> = if is_exact || text.trim().is_empty() {
        Vec::new()
    } else {
        found
            .iter()
            .map(|idx| (offers[*idx].clone(), String::new()))
            .collect()
    };
    let (response, taken) = list_field(ui, field, text, &shown, TabTakes::BegunWord);
    let was_taken = taken.is_some();
    if let Some(row) = taken {
        text.clone_from(&shown[row].0);
    }
    (response, was_taken)
}

/// The offers that hold every typed word: first those that begin with the text, then those in which a word does.
#[must_use]
pub fn matching<'a>(offers: impl Iterator<Item = &'a str>, typed: &str) -> Vec<usize> {
    let typed = typed.trim().to_lowercase();
    let words: Vec<&str> = typed.split_whitespace().collect();
    let mut found: Vec<(usize, u8)> = offers
        .enumerate()
        .filter_map(|(idx, offer)| {
            let offer = offer.to_lowercase();
            let fits = words.iter().all(|word| offer.contains(word));
            fits.then(|| (idx, rank(&offer, &typed)))
        })
        .collect();
    found.sort_by_key(|(_, rank)| *rank);
    found.into_iter().map(|(idx, _)| idx).collect()
}

fn rank(offer: &str, typed: &str) -> u8 {
    if offer.starts_with(typed) {
        0
    } else if offer.split_whitespace().any(|word| word.starts_with(typed)) {
        1
    } else {
        2
    }
}

/// A field with a list beneath it while it has the keyboard: each row is its words and a soft second part.
/// Answers the row that was taken in this frame with Enter, Tab or the pointer; the caller changes the text.
pub fn filter_list(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    rows: &[(String, String)],
) -> (Response, Option<usize>) {
    list_field(ui, field, text, rows, TabTakes::First)
}

/// What leaving a list's field with Tab takes, when no row was chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum TabTakes {
    /// The first row: only what is on the list can be meant.
    First,
    /// The first row if it finishes the word that is begun: any words can be meant.
    BegunWord,
}

impl TabTakes {
    fn allows(self, offer: &str, typed: &str) -> bool {
        let (offer, typed) = (offer.to_lowercase(), typed.trim_start().to_lowercase());
        self == Self::First
            || offer.match_indices(&typed).any(|(at, _)| {
                let is_word = !offer[..at].ends_with(char::is_alphanumeric);
                is_word && offer[at + typed.len()..].starts_with(char::is_alphanumeric)
            })
    }
}

fn list_field(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    rows: &[(String, String)],
    tab: TabTakes,
) -> (Response, Option<usize>) {
    label_above(ui, field.label, |ui, label| {
        let width = field.inner_width(ui);
        let id = ui.make_persistent_id(("list field", field.label));
        let mut state: ListState = ui.data(|data| data.get_temp(id)).unwrap_or_default();
        let has_focus = ui.memory(|memory| memory.has_focus(id));
        let is_open = has_focus && !state.is_dismissed && !rows.is_empty();
        let count = rows.len().min(MOST_SHOWN);
        let mut taken = is_open.then(|| keys(ui, &mut state, count)).flatten();
        let before = text.clone();
        // While the list is open Escape closes it and leaves the keyboard here.
        let filter = EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            tab: false,
            escape: !rows.is_empty() && !state.is_dismissed,
        };
        let edit = edit(&field, text, width).id(id).event_filter(filter);
        let response = ui.add(edit).labelled_by(label.id);
        super::keyboard::follow(ui, &response);
        if field.take_focus {
            response.request_focus();
        }
        if *text != before {
            state = ListState::default();
        }
        if response.lost_focus() {
            let is_tab = ui.input(|input| input.key_pressed(Key::Tab) && !input.modifiers.shift);
            let is_meant = |row: usize| {
                row > 0
                    || rows
                        .first()
                        .is_some_and(|(offer, _)| tab.allows(offer, text))
            };
            if is_tab
                && !state.is_dismissed
                && !rows.is_empty()
                && *text == before
                && is_meant(state.row)
            {
                taken = taken.or(Some(state.row.min(count.saturating_sub(1))));
            }
            state = ListState::default();
        }
        if response.has_focus() && !state.is_dismissed && !rows.is_empty() {
            taken = taken.or_else(|| list(&response, rows, state.row, width));
        }
        if taken.is_some() {
            state = ListState {
                row: 0,
                is_dismissed: true,
            };
            move_cursor_to_end(ui, id);
        }
        ui.data_mut(|data| data.insert_temp(id, state));
        if let Some(words) = field.problem {
            ui.scope(|ui| {
                ui.set_max_width(width);
                problem(ui, words);
            });
        }
        (response, taken)
    })
}

fn keys(ui: &Ui, state: &mut ListState, count: usize) -> Option<usize> {
    ui.input_mut(|input| {
        if input.consume_key(Modifiers::NONE, Key::ArrowDown) {
            state.row = (state.row + 1) % count;
        }
        if input.consume_key(Modifiers::NONE, Key::ArrowUp) {
            state.row = (state.row + count - 1) % count;
        }
        if input.consume_key(Modifiers::NONE, Key::Escape) {
            state.is_dismissed = true;
        }
        input
            .consume_key(Modifiers::NONE, Key::Enter)
            .then_some(state.row.min(count - 1))
    })
}

fn list(
    response: &Response,
    rows: &[(String, String)],
    chosen: usize,
    width: f32,
) -> Option<usize> {
    let mut taken = None;
    Popup::from_response(response)
        .id(response.id.with("offers"))
        .open(true)
        .close_behavior(PopupCloseBehavior::IgnoreClicks)
        .accessible_name("Offers")
        .width(width.max(LEAST_WIDE))
        .show(|ui| {
            ui.set_min_width(width.max(LEAST_WIDE) - 14.0);
            ui.spacing_mut().item_spacing.y = 2.0;
            for (idx, (words, second)) in rows.iter().take(MOST_SHOWN).enumerate() {
                if list_row(ui, idx == chosen, words, second).clicked() {
                    taken = Some(idx);
                }
            }
            if rows.len() > MOST_SHOWN {
                let more = format!("{} more; type to narrow", rows.len() - MOST_SHOWN);
                super::text::soft(ui, &more);
            }
        });
    taken
}

/// One row of a list that the keyboard walks: the chosen one has a ground and a mark.
pub fn list_row(ui: &mut Ui, is_chosen: bool, words: &str, second: &str) -> Response {
    let colours = palette(ui);
    let mark = if is_chosen { "\u{2192} " } else { "   " };
    let main = RichText::new(format!("{mark}{words}")).color(colours.ink);
    let soft = RichText::new(second.to_owned())
        .font(theme::small())
        .color(colours.soft_ink);
    let fill = if is_chosen {
        colours.accent_ground
    } else {
        egui::Color32::TRANSPARENT
    };
    let button = egui::Button::new((main, egui::Atom::grow(), soft))
        .fill(fill)
        .stroke(egui::Stroke::NONE)
        .min_size(egui::vec2(ui.available_width(), 28.0));
    let response = ui.add(button);
    response.widget_info(|| {
        egui::WidgetInfo::selected(
            egui::Role::Button,
            true,
            is_chosen,
            format!("{words} {second}").trim(),
        )
    });
    response
}

fn move_cursor_to_end(ui: &Ui, id: Id) {
    if let Some(mut state) = egui::TextEdit::load_state(ui.ctx(), id) {
        let end = egui::text::CCursor::new(usize::MAX / 2);
        state
            .cursor
            .set_char_range(Some(egui::text::CCursorRange::one(end)));
        state.store(ui.ctx(), id);
    }
}

#[cfg(test)]
mod tests {
    use super::{TabTakes, matching};

    #[test]
    fn tab_finishes_a_begun_word_and_keeps_a_whole_one() {
        let tab = TabTakes::BegunWord;
        assert!(tab.allows("Alderwick Paper", "ald"));
        assert!(tab.allows("Bone glue", "gl"));
        assert!(!tab.allows("Glue bought with my own card", "Glue"));
        assert!(!tab.allows("Linen thread", "thread"));
        assert!(TabTakes::First.allows("Consumables", "sum"));
    }

    #[test]
    fn offers_that_begin_with_the_text_come_first() {
        let offers = ["Orchard", "Old Harbour", "Harrow Lane Papers", "Inkwell"];
        assert_eq!(matching(offers.into_iter(), "har"), [2, 1, 0]);
        assert_eq!(matching(offers.into_iter(), "papers har"), [2]);
        assert_eq!(matching(offers.into_iter(), "").len(), 4);
    }
}
