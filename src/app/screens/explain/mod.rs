//! "Where this comes from": from any figure to the lines of its formula, to the entries, to the receipts.
//! `source` names the figure, `model` works the answer out, `view` shows it in a panel with a way back.

mod model;
mod source;

pub use model::{EntryRow, Explanation, TermRow, explain, in_words, natural, source_of_estimate, what_was_it};
pub use source::{BalanceFigure, ProfitFigure, Source};
