//! "What did you sell?": the whole sale and each thing taken out of it, and giving a customer money back.
//! `draft` is what is typed, `view` draws it, `refund` finds the sale and gives back.

mod draft;
mod refund;
mod refund_view;
mod view;

pub use draft::{FeeDrafts, SaleDraft, SaleLineDraft, TaxState};
pub use refund::RefundDraft;
pub use refund_view::refund_ui;
pub use view::sale_ui;
