//! One line of closing down: what still stands, how much, and the way it is cleared.
//! Which lines there are is `walk`'s.

use crate::ledger::AccountId;
use crate::money::Money;
use crate::word_list::word_list;

word_list! {
    /// The way something is cleared.
    Way, "a way of clearing":
    /// Statement lines that are not in the books yet.
    Sort = "sort" / "Sort the statement lines",
    /// What nobody can explain yet.
    Explain = "explain" / "Explain it",
    /// Stock of an item: counted, and what is left taken home at cost.
    TakeHome = "take-home" / "Count it and take home what is left",
    /// Stock in the ledger that belongs to no item.
    TakeHomeRest = "take-home-rest" / "Take it home at cost",
    /// A piece of equipment, sold or taken home.
    LetGo = "let-go" / "Sell it or take it home",
    /// Equipment in the ledger that the register does not have.
    LetGoRest = "let-go-rest" / "Take it out of the books",
    /// A shop pays out what it owes.
    Payout = "payout" / "Have it paid out",
    /// A shop is paid what it billed.
    PayShop = "pay-shop" / "Pay the shop",
    /// Somebody pays what is owed, or it is given up.
    Collect = "collect" / "Have it paid",
    /// The owner pays back private things.
    OwnerPaysBack = "owner-pays-back" / "Pay it back, or take it as drawing",
    /// What was paid ahead is got back or made a cost.
    EndPaidAhead = "end-paid-ahead" / "Get it back, or make it a cost",
    /// Costs carried forward, for the accountant.
    CarriedForward = "carried-forward" / "Ask the accountant what becomes of it",
    /// A bill, a card or sales tax is paid off.
    PayOff = "pay-off" / "Pay it off",
    /// A deposit or voucher is delivered or paid back.
    PayBack = "pay-back" / "Deliver, or pay it back",
    /// The owner is paid back what she paid.
    OwnerRepaid = "owner-repaid" / "Pay yourself back",
    /// Something of the owner's own accounts.
    WriteDown = "write-down" / "Write down what becomes of it",
    /// Savings and cash go into the bank.
    IntoBank = "into-bank" / "Move it to the bank",
    /// The owner covers what the bank lacks.
    CoverBank = "cover-bank" / "Put it in",
    /// The final drawing.
    FinalDrawing = "final-drawing" / "Take it out: the final drawing",
    /// The profit of the year that runs.
    CloseYear = "close-year" / "Close the year",
    /// The owner's accounts, which cancel out.
    OwnersAccounts = "owners-accounts" / "Set them against each other",
}

/// Something that still stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClosingLine {
    /// What it is.
    pub what: String,
    /// How much: what the business has is positive, what it owes negative.
    pub amount: Money,
    /// The way it is cleared.
    pub way: Way,
    /// The account it stands on; nothing for lines that are not in the books.
    pub account: Option<AccountId>,
    /// The code of the item, or the key of the piece; may be empty.
    pub thing: String,
    /// How it is cleared, in a sentence.
    pub says: String,
}
