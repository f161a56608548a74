//! The form of an unusual happening: drawn from its questions, whichever they are.
//! What is asked and what it means is `crate::occasions`'.

mod draft;
mod rows;
mod view;

pub use draft::OccasionDraft;
pub use view::occasion_ui;
