//! The forms: one question each in plain words, with the entry they write beside them as it is typed.
//! A form is a draft (plain text, pure, testable), the way it is drawn, and [`FormScreen`] around it.
//!
//! A new form is a draft that makes its happening, a function that draws it, and an arm in `draft`.

mod charges;
mod draft;
mod draft_words;
pub mod facts;
pub mod find;
pub mod input;
pub mod occasion;
pub mod orders;
mod outcome;
pub mod paid;
pub mod parts;
pub mod plan;
pub mod purchase;
pub mod rare;
pub mod receipt;
pub mod sale;
mod screen;
mod short;
mod short_view;
pub mod stock;
mod wish;

use chrono::NaiveDate;

use super::screen::Screen;
use crate::ledger::AccountId;
use crate::money::Money;

pub use draft::Draft;
pub use screen::FormScreen;
pub use short::{ShortDraft, ShortKind};
pub use wish::{Form, FormWish};

/// One line of "What happened?".
#[derive(Clone, Copy, Debug)]
pub struct HappeningChoice {
    /// In the maker's words, as `I bought something`.
    pub label: &'static str,
    /// The trade's term, in soft ink.
    pub term: &'static str,
    /// Further words that find it.
    pub words: &'static str,
    /// Which form it is.
    pub form: Form,
    /// Opens the form.
    pub open: fn() -> Box<dyn Screen>,
}

macro_rules! choices {
    ($($form:ident: $label:literal, $term:literal, $words:literal;)*) => {
        /// Everything that can be recorded, the most frequent first.
        pub const HAPPENINGS: &[HappeningChoice] = &[$(HappeningChoice {
            label: $label,
            term: $term,
            words: $words,
            form: Form::$form,
            open: || Box::new(FormScreen::new(FormWish::new(Form::$form))),
        },)*];
    };
}

choices! {
    Purchase: "I bought something", "purchase", "buy receipt paper glue ink materials supplier cost bill machine tool";
    Sale: "I sold something", "sale", "sell order customer online channel shop till invoice fee discount";
    Payout: "A sales channel paid out", "settlement of a clearing account", "payout deposit shop money arrived marketplace held";
    Refund: "I gave a customer money back", "sales return and allowance", "refund return complaint damaged lost parcel";
    Batch: "I made something", "production batch", "make craft finished pieces materials spoiled misprint";
    StockOut: "Something was spoiled, given away or used", "stock issue at cost", "sample gift waste broken lost own use home";
    Count: "I counted what is there", "stock count", "stocktake shelf inventory missing";
    Carry: "I carried pieces to another place", "consignment", "commission stockist fair store room";
    Order: "I ordered something", "purchase order", "print house outside made supplier tiers lead time reorder";
    Arrival: "Something I ordered arrived", "goods received", "delivery parts spoiled over under print house came";
    LaterBill: "A bill came later for something I bought before", "landed cost", "freight duty customs carriage shipping import dearer";
    LaterCredit: "A credit came later for something I bought before", "purchase allowance", "credit note spoiled price lowered cheaper claim made good";
    Item: "I want to keep something in stock", "stock item", "inventory new product unit pack ream reorder";
    Recipe: "I want to write down how a thing is made", "bill of materials", "recipe batch minutes loss";
    Bundle: "I sell several things as one set", "bundle", "set kit gift box several together";
    WorthLess: "Something I have is worth less now", "write-down of stock", "damaged faded old out of date value lower market";
    OwnerIn: "I put money in", "owner contribution", "start capital savings my money";
    OwnerOut: "I took money out", "drawing", "pay myself wage salary draw";
    BroughtIn: "I brought in something I already had", "conversion to business use", "already owned laptop old stash home";
    OwnPocket: "I paid for a business thing myself", "purchase paid by the owner", "own pocket private card wallet privately expense";
    OwnerRepaid: "The business paid me back", "repayment of the owner's advance", "reimburse owed back repaid";
    PrivatePayment: "The business paid for something private", "drawing in kind, or due from owner", "wrong card groceries mine mistake";
    OwnerPaysBack: "I paid the business back", "repayment by the owner", "owe return private";
    Settlement: "I paid off a card or a bill", "settlement of a payable", "credit card statement invoice later sales tax pay over";
    SupplierRefund: "A supplier gave me money back", "purchase return and allowance", "return sent back credit note cash back";
    ChannelPaid: "I paid a sales channel", "settlement of a clearing account", "fees billed shop bill negative balance";
    ShopFee: "A sales channel charged me a fee", "selling and listing fees", "listing commission advertising postage label processing subscription";
    Transfer: "I moved money between my accounts", "transfer", "set aside savings cash withdraw pay in";
    TaxInstalment: "I paid an instalment of my own tax", "estimated tax payment (drawing)", "quarterly income tax estimated tax office";
    Fair: "I was at a fair", "fair day takings", "market stall float box tally counted";
    FairPlanned: "I pack for a fair", "fair float and consigned stock", "market stall float prepare tally sheet";
    CommissionSent: "I gave a shop pieces on commission", "goods on consignment", "consignment gallery stockist place";
    CommissionSold: "A shop sold pieces on commission", "consignment sale", "consignment statement gallery share";
    CommissionBack: "Pieces came back from a shop", "consigned goods returned", "consignment unsold gallery";
    CommissionMissing: "Pieces are missing at a shop", "shrinkage of consigned goods", "consignment stolen lost gallery";
    ShopOrdered: "A shop ordered from me", "wholesale order", "wholesale trade stockist order";
    ShopInvoiced: "I sent a shop an invoice", "sale on account", "wholesale bill due net 30 trade";
    ShopPaid: "A shop paid an invoice", "settlement of a receivable", "wholesale part payment transfer";
    InvoiceLetGo: "An invoice will not be paid any more", "bad debt", "write off unpaid closed shop";
    DepositTaken: "I took a deposit for an order", "customer deposit", "custom commission down payment advance";
    DepositDelivered: "I handed over an order with a deposit", "revenue earned", "custom balance finished delivery";
    DepositBack: "I gave a deposit back", "customer deposit returned", "custom cancelled";
    VoucherSold: "I sold a voucher", "gift certificate liability", "gift card certificate coupon";
    VoucherUsed: "A voucher was redeemed", "deferred revenue earned", "gift card certificate redeem";
    VoucherEnded: "A voucher ended unused", "breakage of a gift certificate", "gift card expired lapse";
    DisputeOpened: "A payment was taken back from me", "chargeback", "dispute bank card claim";
    DisputeWon: "I won a dispute", "chargeback reversed", "chargeback returned";
    DisputeLost: "I lost a dispute", "chargeback lost, sales return", "chargeback";
    Replacement: "I sent a piece again", "replacement at cost", "lost parcel damaged reship resend";
    ClaimMade: "I claimed from a carrier or insurer", "claim", "lost parcel insurance rain damage carrier";
    ClaimPaid: "A claim was paid", "claims and insurance received", "insurance carrier compensation";
    ClaimRefused: "A claim was refused", "claim denied", "insurance carrier";
    Swap: "I swapped something", "barter", "trade exchange barter";
    LoanReceived: "Somebody lent the business money", "loan received", "borrow credit family bank loan";
    LoanRepaid: "I paid a loan back", "loan principal and interest", "instalment borrow interest";
    CashBack: "I got cash-back", "purchase rebate", "card reward bonus";
    Repair: "I had something repaired", "repairs and maintenance", "mend service printer cutter press";
    Insurance: "I paid for insurance", "insurance premium", "policy premium liability";
    HelperPaid: "I paid somebody for help", "independent contractor", "illustrator photographer freelance contractor wages";
    BoughtUntaxed: "I bought something without sales tax", "purchase for resale", "resale certificate tax free exempt";
    UntaxedUsed: "I used something I had bought without sales tax", "use tax accrued", "resale certificate own use";
    AdjustingOwed: "A cost of this year is billed next year", "accrued expense", "adjusting year end accrual owed at the year's end not billed later";
    AdjustingAhead: "A part of a cost is for next year", "prepaid expense", "adjusting year end prepayment deferred paid ahead at the year's end";
    AdjustingEarned: "I earned something and have not billed it yet", "accrued revenue", "adjusting year end accrual interest not invoiced";
    AdjustingUsed: "Something I keep on the books is used up", "supplies and prepayments used", "adjusting year end supplies";
    StartUpUsed: "A part of the costs of starting counts this year", "amortisation of start-up costs", "adjusting year end startup carried forward organisational use up";
    Recurring: "Something I pay for again and again", "recurring purchase", "subscription monthly yearly rent software ink plan renewal";
    Opening: "My business was running before this book", "opening balances", "start balances first day migrate";
    Manual: "I want to write debits and credits", "journal entry", "adjusting journal accountant correct";
}

/// The form that is wished for, filled as far as is known.
#[must_use]
pub fn start(wish: FormWish) -> Box<dyn Screen> {
    Box::new(FormScreen::new(wish))
}

/// A form that was kept for later, as it was left.
///
/// # Errors
/// When it was kept by a program that wrote forms down otherwise; it stays in the book.
pub fn take_up(draft: &crate::book::Draft) -> Result<Box<dyn Screen>, String> {
    Ok(Box::new(FormScreen::taken_up(draft)?))
}

/// Something a form's own card asks for besides writing it down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FormEvent {
    /// Make the printable note for a thing bought from a private person.
    PurchaseNote,
    /// It was a payout after all.
    MakeItAPayout {
        /// The channel.
        channel: AccountId,
        /// Where it arrived.
        into: Option<AccountId>,
        /// How much.
        amount: Money,
    },
    /// Open a shop in the book.
    OpenChannel(String),
    /// The shop holds money back.
    AddHold {
        /// The channel.
        channel: AccountId,
        /// How much.
        amount: Money,
        /// Until when.
        until: Option<NaiveDate>,
    },
    /// Held money was released.
    ReleaseHold(i64),
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_form_is_offered_once_in_words_of_its_own_but_those_of_a_page() {
        let labels: BTreeSet<&str> = HAPPENINGS.iter().map(|one| one.label).collect();
        assert_eq!(labels.len(), HAPPENINGS.len());
        assert!(HAPPENINGS.iter().all(|one| !one.words.is_empty()));
        let keys: BTreeSet<&str> = HAPPENINGS.iter().map(|one| one.form.key()).collect();
        assert_eq!(keys.len(), HAPPENINGS.len());
        for occasion in crate::occasions::all() {
            assert!(keys.contains(occasion.key), "{} is offered", occasion.key);
        }
        let offered = |form: &Form| HAPPENINGS.iter().any(|known| known.form == *form);
        let hidden: Vec<&Form> = Form::ALL.iter().filter(|form| !offered(form)).collect();
        let of_a_page = [
            &Form::PlanLine,
            &Form::BilledAhead,
            &Form::Claim,
            &Form::ClaimCredit,
            &Form::LateBill,
            &Form::Amend,
            &Form::TakeBack,
        ];
        assert_eq!(hidden, of_a_page);
    }
}
