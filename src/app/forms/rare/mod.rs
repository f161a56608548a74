//! The forms used once in a while: things brought in, what recurs, debits and credits, opening balances, mending an
//! entry. Each file holds its draft and how it is drawn.

mod brought_in;
mod manual;
mod mend;
mod opening;
mod recurring;

pub use brought_in::{BroughtInDraft, brought_in_ui};
pub use manual::{ManualDraft, ManualLine, manual_ui};
pub use mend::{AmendDraft, TakeBackDraft, amend_ui, take_back_ui};
pub use opening::{OpeningDraft, opening_ui};
pub use recurring::{RecurringDraft, recurring_ui};
