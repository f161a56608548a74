//! The forms for what happened: one for each happening, in plain words, with what it will write beside it.
//! Which of them there are is listed here; "What happened?" and the rooms open them from this list.

use super::action::FormWish;
use super::screen::Screen;

/// One line of "What happened?".
#[derive(Clone, Copy, Debug)]
pub struct HappeningChoice {
    /// In the maker's words, as `I bought something`.
    pub label: &'static str,
    /// The trade's term, in soft ink.
    pub term: &'static str,
    /// Further words that find it.
    pub words: &'static str,
    /// Opens the form.
    pub open: fn() -> Box<dyn Screen>,
}

/// Everything that can be recorded, the most frequent first.
pub const HAPPENINGS: &[HappeningChoice] = &[];

/// The form that answers a wish, or `None` when that kind of entry has none of its own.
#[must_use]
pub fn start(_wish: &FormWish) -> Option<Box<dyn Screen>> {
    None
}
