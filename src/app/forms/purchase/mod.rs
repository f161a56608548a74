//! "What did you buy?": one receipt with as many kinds of things as it holds.
//! `draft` and `line` are what is typed and what it means, `view` draws it, `note` is the paper for a private seller,
//! `later` what came later for it.

mod draft;
mod later;
mod line;
mod line_view;
mod note;
mod view;

pub use draft::PurchaseDraft;
pub use later::{LaterDraft, later_ui};
pub use line::{EquipmentDraft, HelperDraft, LineDraft, Sort};
pub use line_view::equipment_ui;
pub use note::{PurchaseNote, note_html};
pub use view::purchase_ui;
