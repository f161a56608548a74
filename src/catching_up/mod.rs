//! Catching up after months: the steps, how far each is, which comes next, and what is enough for the accountant.
//! What is open is found in the book by others; nothing is posted here.

mod months;
mod receipts;
mod standing;

pub use months::{AccountMonths, MonthFacts, account_months};
pub use receipts::{OpenEntry, RECEIPT_DAYS, Seen, SeenReceipt, candidates, match_seen};
pub use standing::{
    AgreedSo, Behind, CatchingUp, FAR_BEHIND_DAYS, FAR_BEHIND_LINES, MarkedEntry, Progress, Step,
    StepKind, Tally,
};
