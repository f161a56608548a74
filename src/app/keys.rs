//! The keys that work everywhere, and the list of all keys.
//! Keys of a single form are its own.

use egui::{Context, Key, KeyboardShortcut, Modifiers};

use super::action::Action;
use super::navigation::Room;
use super::palette::PaletteKind;

/// The list that F1 shows.
pub(super) const LIST: &[(&str, &[(&str, &str)])] = &[
    (
        "Anywhere",
        &[
            ("Ctrl N", "What happened? Record anything"),
            ("Ctrl K", "Find anything"),
            ("Ctrl 1 \u{2026} 9, Ctrl J", "Go to a room; J is the ledger"),
            ("Ctrl P", "Choose the period"),
            ("Esc", "Back, or close what is open"),
            ("Ctrl Z", "Undo"),
            ("Ctrl Shift Z", "Redo"),
            ("Ctrl ,", "Settings"),
            (
                "Ctrl +  Ctrl \u{2212}  Ctrl 0",
                "Larger, smaller, usual size",
            ),
            ("F1", "This list"),
        ],
    ),
    (
        "In a form",
        &[
            ("Tab, Shift Tab", "Next field, field before"),
            ("Ctrl Enter", "Write it down"),
            ("Up, Down", "A day later or earlier; walk through a list"),
            ("Enter, Tab", "Take what the list offers"),
            ("Esc", "Leave it; what was typed is kept for later"),
            ("Ctrl L", "Add a line"),
            ("Ctrl M", "Carriage, tax and discount of the receipt"),
            ("Ctrl R", "Choose the receipt's file"),
        ],
    ),
    (
        "Among the lines of a statement to sort",
        &[
            ("Up, Down", "The line before, the next line"),
            ("Enter", "Yes to what it looks like"),
            ("P", "Private; your own money where it came in"),
            ("S", "Several things: the form for something bought"),
            ("O", "Something else"),
            ("M", "It is in the book already"),
            ("L", "Leave it out, with a reason"),
        ],
    ),
    (
        "On an account against its statement",
        &[("Up, Down, Space", "Choose a movement and tick it")],
    ),
    (
        "On figures, rows and buttons",
        &[
            ("Tab", "Go to the next"),
            ("Enter, Space", "Open it: where a figure comes from"),
        ],
    ),
];

/// What a key asked for.
pub(super) enum Asked {
    /// An action.
    Act(Action),
    /// One of the lists.
    Palette(PaletteKind),
    /// The period's menu.
    Period,
    /// The list of keys.
    Keys,
}

/// The tenth room, the ledger, has a letter: 0 is the usual size.
const ROOM_KEYS: [Key; 10] = [
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
    Key::J,
];

/// Where the key that writes a form down waits for the form within a frame.
fn write_down_id() -> egui::Id {
    egui::Id::unique("write down")
}

/// Whether the key that writes a form down was pressed in this frame; answered once.
pub(super) fn take_write_down(ctx: &Context) -> bool {
    ctx.data_mut(|data| data.remove_temp::<bool>(write_down_id()))
        .unwrap_or_default()
}

/// Reads the keys that work everywhere, before any widget does.
pub(super) fn read(ctx: &Context) -> Option<Asked> {
    // Taken before a link or button that has the keyboard takes its Enter for a press.
    let write = KeyboardShortcut::new(Modifiers::COMMAND, Key::Enter);
    let is_write = ctx.input_mut(|input| input.consume_shortcut(&write));
    ctx.data_mut(|data| data.insert_temp(write_down_id(), is_write));
    // A field that is being typed in undoes its own typing first.
    let is_typing = ctx.text_edit_focused();
    ctx.input_mut(|input| {
        let mut pressed = |modifiers: Modifiers, key: Key| {
            input.consume_shortcut(&KeyboardShortcut::new(modifiers, key))
        };
        let (command, shift) = (Modifiers::COMMAND, Modifiers::COMMAND | Modifiers::SHIFT);
        if !is_typing && (pressed(shift, Key::Z) || pressed(command, Key::Y)) {
            return Some(Asked::Act(Action::Redo));
        }
        if !is_typing && pressed(command, Key::Z) {
            return Some(Asked::Act(Action::Undo));
        }
        for (key, kind) in [(Key::N, PaletteKind::Happened), (Key::K, PaletteKind::Find)] {
            if pressed(command, key) {
                return Some(Asked::Palette(kind));
            }
        }
        if pressed(command, Key::P) {
            return Some(Asked::Period);
        }
        if pressed(command, Key::Comma) {
            return Some(Asked::Act(Action::Settings));
        }
        for (room, key) in Room::ALL.into_iter().zip(ROOM_KEYS) {
            if pressed(command, key) {
                return Some(Asked::Act(Action::Go(room)));
            }
        }
        for (key, steps) in [
            (Key::Plus, 1),
            (Key::Equals, 1),
            (Key::Minus, -1),
            (Key::Num0, 0),
        ] {
            if pressed(command, key) {
                return Some(Asked::Act(Action::Scale(steps)));
            }
        }
        pressed(Modifiers::NONE, Key::F1).then_some(Asked::Keys)
    })
}

/// Whether Escape asks to go back: only when nothing that has the keyboard wants it.
pub(super) fn is_back(ctx: &Context) -> bool {
    let nothing_has_keys = ctx.memory(|memory| memory.focused().is_none());
    // A question that stands over the page takes Escape for its own no.
    let has_question = ctx.memory(|memory| memory.top_modal_layer().is_some());
    nothing_has_keys
        && !has_question
        && !egui::Popup::is_any_open(ctx)
        && ctx.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape))
}
