//! Closing the business down: what still stands in the balance sheet, how each line is cleared, and what is left to do
//! that no balance tells. The figures come from the book; nothing is posted here.

mod lines;
mod walk;

pub use lines::{ClosingLine, Way};
pub use walk::{ClosingDown, PieceLeft, Standing, StockLeft, walk};

/// What stands beside every figure of closing down.
pub const CAUTION: &str = "This clears the books; it does not close the business for the law. Taking things home or \
    selling them can itself be taxed, start-up costs and losses have rules of their own, and which last returns, notices \
    and years of keeping there are depends on where the business is. Confirm each with local rules and a licensed \
    professional before you act.";

/// What is left to do that no balance tells, in the usual order.
pub const OTHER_STEPS: [(&str, &str); 7] = [
    (
        "Permits, licences and registrations",
        "Cancel each where it was taken out, from the day of the last sale, and keep the answer with the books.",
    ),
    (
        "Insurance and memberships",
        "End them after the last piece has left the house, not before; ask whether something is paid back.",
    ),
    (
        "Shops and listings",
        "Close the listings first, the accounts only after the last payout: their files are receipts.",
    ),
    (
        "Customers and suppliers",
        "Finish or pay back what was ordered; say until when questions about sold things are answered.",
    ),
    (
        "The last returns",
        "The last year ends with the last day of business; returns for it and for sales tax are usually due earlier \
         than otherwise. Ask which, and by when.",
    ),
    (
        "The bank account",
        "Close it last, after the last fee and the last refund; bring the final statement in first.",
    ),
    (
        "Keep the books",
        "Write the whole book out and keep it with its receipts for as long as local rules ask; note that day now.",
    ),
];
