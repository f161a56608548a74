//! Any of the forms while it is typed: which one, what it asks of the book, what it would write.
//! Each form's own rules are in its own file.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::facts::{Facts, Question};
use super::input::{Problem, Problems};
use super::occasion::{OccasionDraft, occasion_ui};
use super::orders::OrderingDraft;
use super::outcome::{Outcome, filled_short, refuse_locked, stock_outcome, told_outcome, with_key};
use super::plan::{PlanLineDraft, plan_line_ui};
use super::purchase::{LaterDraft, LineDraft, PurchaseDraft, later_ui, purchase_ui};
use super::rare::{
    AmendDraft, BroughtInDraft, ManualDraft, OpeningDraft, RecurringDraft, TakeBackDraft, amend_ui,
    brought_in_ui, manual_ui, opening_ui, recurring_ui, take_back_ui,
};
use super::receipt::ReceiptDraft;
use super::sale::{RefundDraft, SaleDraft, SaleLineDraft, refund_ui, sale_ui};
use super::short::ShortDraft;
use super::short_view::short_ui;
use super::stock::{
    BatchDraft, BundleDraft, CarryDraft, CountDraft, ItemDraft, ItemLineDraft, OutDraft,
    RecipeDraft, WorthLessDraft, batch_ui, bundle_ui, carry_ui, count_ui, item_ui, out_ui,
    recipe_ui, stock_of, worth_less_ui,
};
use super::{Form, FormEvent, FormWish};
use crate::app::action::{PlanPart, StockMove};
use crate::happenings::Payment;
use crate::ledger::EntryNumber;
use crate::sorting::LineId;

/// A form being typed. It is kept for later in the book as JSON, so a field added to a draft needs `#[serde(default)]`.
#[derive(Debug, Serialize, Deserialize)]
pub enum Draft {
    /// A purchase.
    Purchase(Box<PurchaseDraft>),
    /// A sale.
    Sale(Box<SaleDraft>),
    /// A refund to a customer or from a supplier.
    Refund(Box<RefundDraft>),
    /// One of the short forms.
    Short(Box<ShortDraft>),
    /// A thing brought in.
    BroughtIn(Box<BroughtInDraft>),
    /// A recurring purchase.
    Recurring(Box<RecurringDraft>),
    /// A line of the start-up plan.
    Plan(Box<PlanLineDraft>),
    /// Debits and credits.
    Manual(Box<ManualDraft>),
    /// Opening balances.
    Opening(Box<OpeningDraft>),
    /// A change of an entry.
    Amend(Box<AmendDraft>),
    /// An entry taken back.
    TakeBack(Box<TakeBackDraft>),
    /// An item kept in stock.
    Item(Box<ItemDraft>),
    /// A recipe.
    Recipe(Box<RecipeDraft>),
    /// A set.
    Bundle(Box<BundleDraft>),
    /// Stock worth less than it cost.
    WorthLess(Box<WorthLessDraft>),
    /// A batch.
    Batch(Box<BatchDraft>),
    /// Stock going out unsold.
    Out(Box<OutDraft>),
    /// A count.
    Count(Box<CountDraft>),
    /// Pieces carried to another place.
    Carry(Box<CarryDraft>),
    /// An order to a supplier, or what became of it.
    Ordering(Box<OrderingDraft>),
    /// A bill or a credit that came later for a purchase.
    Later(Box<LaterDraft>),
    /// An unusual happening.
    Occasion(Box<OccasionDraft>),
}

impl Draft {
    /// The draft that is wished for, filled as far as is known.
    #[must_use]
    pub fn new(wish: &FormWish, facts: &Facts) -> Self {
        if let Some(kind) = wish.form.short() {
            return Self::Short(Box::new(filled_short(kind, wish, facts)));
        }
        if let Some(occasion) = wish.form.occasion() {
            let draft = OccasionDraft::new(occasion, facts);
            let first = occasion.asks.first().map_or("", |ask| ask.key);
            return Self::Occasion(Box::new(draft.with(first, &wish.party)));
        }
        let number = wish.entry.unwrap_or(EntryNumber(0));
        match wish.form {
            Form::Sale => {
                let mut draft = SaleDraft::new(facts);
                if wish.account.is_some() {
                    draft.paid_into = wish.account;
                }
                Self::Sale(Box::new(draft))
            }
            Form::Refund | Form::SupplierRefund => {
                let mut draft = RefundDraft::new(wish.form == Form::SupplierRefund, facts);
                draft.picked = wish.entry;
                Self::Refund(Box::new(draft))
            }
            Form::BroughtIn => {
                let mut draft = BroughtInDraft::new(facts);
                if let Some(line) = &wish.plan {
                    draft.plan_for(line, facts);
                }
                Self::BroughtIn(Box::new(draft))
            }
            Form::PlanLine => {
                let mut draft = wish
                    .plan
                    .as_deref()
                    .map_or_else(PlanLineDraft::new, |line| PlanLineDraft::of(line, facts));
                if let Some(amount) = wish.amount {
                    draft.likely = facts.show(amount);
                }
                Self::Plan(Box::new(draft))
            }
            Form::Recurring => Self::Recurring(Box::new(wish.recurring.as_deref().map_or_else(
                || RecurringDraft::new(facts),
                |recurring| RecurringDraft::of(recurring, facts),
            ))),
            Form::Manual => Self::Manual(Box::new(ManualDraft::wished(wish, facts))),
            Form::Opening => Self::Opening(Box::new(OpeningDraft::new(facts))),
            Form::Amend => Self::Amend(Box::new(AmendDraft::new(number))),
            Form::TakeBack => Self::TakeBack(Box::new(TakeBackDraft::new(number, facts))),
            Form::Item => Self::Item(Box::new(ItemDraft::new(&wish.item, facts))),
            Form::Recipe => Self::Recipe(Box::new(RecipeDraft::new(&wish.item, facts))),
            Form::Bundle => Self::Bundle(Box::new(BundleDraft::new(&wish.item, facts))),
            Form::WorthLess => Self::WorthLess(Box::new(WorthLessDraft::new(&wish.item, facts))),
            Form::Batch => Self::Batch(Box::new(BatchDraft::new(&wish.item, facts))),
            Form::StockOut => Self::Out(Box::new(OutDraft::new(&wish.item, facts))),
            Form::Count => Self::Count(Box::new(CountDraft::new(&wish.party, facts))),
            Form::Order
            | Form::Arrival
            | Form::BilledAhead
            | Form::Claim
            | Form::ClaimCredit
            | Form::LateBill => Self::Ordering(Box::new(OrderingDraft::new(wish, facts))),
            Form::LaterBill | Form::LaterCredit => {
                let is_credit = wish.form == Form::LaterCredit;
                Self::Later(Box::new(LaterDraft::new(is_credit, &wish.item, facts)))
            }
            Form::Carry => Self::Carry(Box::new(CarryDraft::new(&wish.item, &wish.party, facts))),
            form => {
                let mut draft = PurchaseDraft::new(facts);
                draft.supplier.clone_from(&wish.party);
                if let Some(line) = &wish.plan {
                    draft.lines = vec![LineDraft::planned(line, facts)];
                }
                if let (Some(amount), Some(first)) = (wish.amount, draft.lines.first_mut()) {
                    first.amount = facts.show(amount);
                }
                if let Some(line) = &wish.line {
                    draft.become_of(line, facts);
                }
                if form == Form::OwnPocket {
                    draft.paid_from = if facts.is_owed_back {
                        Payment::OwnPocketOwedBack
                    } else {
                        Payment::OwnPocketPutIn
                    };
                }
                Self::Purchase(Box::new(draft))
            }
        }
    }

    /// The form it is.
    #[must_use]
    pub fn form(&self) -> Form {
        match self {
            Self::Purchase(_) => Form::Purchase,
            Self::Sale(_) => Form::Sale,
            Self::Refund(draft) if draft.is_from_supplier => Form::SupplierRefund,
            Self::Refund(_) => Form::Refund,
            Self::Short(draft) => draft.kind.of_form(),
            Self::BroughtIn(_) => Form::BroughtIn,
            Self::Recurring(_) => Form::Recurring,
            Self::Plan(_) => Form::PlanLine,
            Self::Manual(_) => Form::Manual,
            Self::Opening(_) => Form::Opening,
            Self::Amend(_) => Form::Amend,
            Self::TakeBack(_) => Form::TakeBack,
            Self::Item(_) => Form::Item,
            Self::Recipe(_) => Form::Recipe,
            Self::Bundle(_) => Form::Bundle,
            Self::WorthLess(_) => Form::WorthLess,
            Self::Batch(_) => Form::Batch,
            Self::Out(_) => Form::StockOut,
            Self::Count(_) => Form::Count,
            Self::Carry(_) => Form::Carry,
            Self::Ordering(draft) => draft.form(),
            Self::Later(draft) if draft.is_credit => Form::LaterCredit,
            Self::Later(_) => Form::LaterBill,
            Self::Occasion(draft) => Form::of_key(&draft.key).unwrap_or(Form::Manual),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        match self {
            Self::Purchase(draft) => draft.is_untouched(),
            Self::Sale(draft) => draft.is_untouched(),
            Self::Refund(draft) => draft.is_untouched(),
            Self::Short(draft) => draft.is_untouched(),
            Self::BroughtIn(draft) => draft.is_untouched(),
            Self::Recurring(draft) => draft.is_untouched(),
            Self::Plan(draft) => draft.is_untouched(),
            Self::Manual(draft) => draft.is_untouched(),
            Self::Opening(draft) => draft.is_untouched(),
            Self::Amend(draft) => draft.is_untouched(),
            Self::TakeBack(draft) => draft.reason.trim().is_empty(),
            Self::Item(draft) => draft.is_untouched(),
            Self::Recipe(draft) => draft.is_untouched(),
            Self::Bundle(draft) => draft.is_untouched(),
            Self::WorthLess(draft) => draft.is_untouched(),
            Self::Batch(draft) => draft.is_untouched(),
            Self::Out(draft) => draft.is_untouched(),
            Self::Count(draft) => draft.is_untouched(),
            Self::Carry(draft) => draft.is_untouched(),
            Self::Ordering(draft) => draft.is_untouched(),
            Self::Later(draft) => draft.is_untouched(),
            Self::Occasion(draft) => draft.is_untouched(),
        }
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self, facts: &Facts) -> Question {
        let moved = || self.moved(facts);
        match self {
            Self::Purchase(draft) => draft.question(facts),
            Self::Sale(draft) => Question {
                moved: moved(),
                ..draft.question(facts)
            },
            Self::Refund(draft) => Question {
                moved: moved(),
                ..draft.question()
            },
            Self::Later(draft) => Question {
                moved: moved(),
                ..draft.question()
            },
            Self::Occasion(draft) => Question {
                moved: moved(),
                ..draft.question()
            },
            Self::Count(_) => Question {
                counted_on: moved().map(|moved| moved.header.date),
                moved: moved(),
                ..Question::default()
            },
            Self::Batch(_) | Self::Out(_) | Self::Carry(_) | Self::WorthLess(_) => Question {
                moved: moved(),
                ..Question::default()
            },
            Self::Item(_) | Self::Recipe(_) | Self::Bundle(_) => Question::default(),
            Self::Short(draft) => draft.question(facts),
            Self::Manual(draft) => draft.question(),
            Self::Amend(draft) => draft.question(),
            Self::TakeBack(draft) => draft.question(),
            Self::Ordering(draft) => draft.question(facts),
            Self::BroughtIn(_) | Self::Recurring(_) | Self::Plan(_) | Self::Opening(_) => {
                Question::default()
            }
        }
    }

    /// What it moves in stock, as far as it can be read.
    #[must_use]
    pub fn moved(&self, facts: &Facts) -> Option<StockMove> {
        let stock = &facts.stock;
        if stock.items.is_empty() {
            return None;
        }
        match self {
            Self::Sale(draft) => stock_of(&draft.recording(facts).ok()?, stock),
            Self::Refund(draft) => stock_of(&draft.recording(facts).ok()?, stock),
            Self::Later(draft) => stock_of(&draft.recording(facts).ok()?, stock),
            Self::Occasion(draft) => draft.moved(facts),
            Self::WorthLess(draft) => draft.stock_move(facts).ok(),
            Self::Batch(draft) => draft.stock_move(facts).ok(),
            Self::Out(draft) => draft.stock_move(facts).ok(),
            Self::Count(draft) => draft.stock_move(facts).ok(),
            Self::Carry(draft) => draft.stock_move(facts).ok(),
            _ => None,
        }
    }

    /// What it would do.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        let record = |recording| Outcome::Record(Box::new(with_key(recording, facts)));
        let stock = |moved| stock_outcome(moved, facts);
        let outcome = match self {
            Self::Purchase(draft) => draft.recording(facts).map(record),
            Self::Sale(draft) => draft.recording(facts).map(record),
            Self::Refund(draft) => draft.recording(facts).map(record),
            Self::Later(draft) => draft.recording(facts).map(record),
            Self::Short(draft) => draft.recording(facts).map(record),
            Self::BroughtIn(draft) => draft.recording(facts).map(record),
            Self::Manual(draft) => draft.recording(facts).map(record),
            Self::Opening(draft) => draft.recording(facts).map(record),
            Self::Recurring(draft) => draft
                .recurring(facts)
                .map(|recurring| Outcome::Recurring(Box::new(recurring))),
            Self::Plan(draft) => draft.line(facts).map(|line| Outcome::Plan(Box::new(line))),
            Self::Amend(draft) => draft.entry(facts).map(|entry| {
                Outcome::Amend(
                    draft.number,
                    Box::new(entry),
                    draft.reason.trim().to_owned(),
                )
            }),
            Self::TakeBack(draft) => draft.mirror(facts).map(|entry| {
                Outcome::TakeBack(
                    draft.number,
                    Box::new(entry),
                    draft.reason.trim().to_owned(),
                )
            }),
            Self::Item(draft) => draft.item(facts).map(|item| Outcome::Item(Box::new(item))),
            Self::Recipe(draft) => draft
                .recipe(facts)
                .map(|recipe| Outcome::Recipe(Box::new(recipe))),
            Self::Bundle(draft) => draft
                .bundle(facts)
                .map(|bundle| Outcome::Bundle(Box::new(bundle))),
            Self::WorthLess(draft) => draft.stock_move(facts).and_then(stock),
            Self::Batch(draft) => draft.stock_move(facts).and_then(stock),
            Self::Out(draft) => draft.stock_move(facts).and_then(stock),
            Self::Count(draft) => draft.stock_move(facts).and_then(stock),
            Self::Carry(draft) => draft.stock_move(facts).and_then(stock),
            Self::Ordering(draft) => draft.outcome(facts),
            Self::Occasion(draft) => draft
                .told(facts)
                .and_then(|told| told_outcome(told, draft.moved(facts), facts)),
        }?;
        refuse_locked(&outcome, facts)?;
        Ok(outcome)
    }

    /// The receipt that goes with it, where a form takes one.
    pub fn receipt(&mut self) -> Option<&mut ReceiptDraft> {
        match self {
            Self::Purchase(draft) => Some(&mut draft.receipt),
            Self::Ordering(draft) => draft.receipt(),
            Self::Later(draft) => Some(&mut draft.receipt),
            _ => None,
        }
    }

    /// The lines of the plan that it becomes a purchase of, with what its entry says of each; all of it when that is
    /// empty.
    #[must_use]
    pub fn plan_parts(&self, facts: &Facts) -> Vec<PlanPart> {
        match self {
            Self::Purchase(draft) => draft.plan_parts(facts),
            Self::BroughtIn(draft) => {
                let line = draft.plan.as_ref().map(|plan| PlanPart {
                    line: plan.id,
                    what: String::new(),
                });
                line.into_iter().collect()
            }
            _ => Vec::new(),
        }
    }

    /// The statement line that becomes what it writes down.
    #[must_use]
    pub fn bank_line(&self) -> Option<LineId> {
        match self {
            Self::Purchase(draft) => draft.of_line.as_ref().map(|line| LineId(line.id)),
            _ => None,
        }
    }

    /// Adds a line, where a form has lines.
    pub fn add_line(&mut self) {
        match self {
            Self::Purchase(draft) => draft.lines.push(LineDraft::added()),
            Self::Sale(draft) => draft.lines.push(SaleLineDraft::added()),
            Self::Manual(draft) => draft.lines.push(super::rare::ManualLine::default()),
            Self::Recipe(draft) => draft.inputs.push(ItemLineDraft::added()),
            Self::Bundle(draft) => draft.parts.push(ItemLineDraft::added()),
            Self::Batch(draft) => draft.inputs.push(ItemLineDraft::added()),
            Self::Out(draft) => draft.lines.push(ItemLineDraft::added()),
            Self::Carry(draft) => draft.lines.push(ItemLineDraft::added()),
            Self::Ordering(draft) => draft.add_line(),
            Self::Occasion(draft) => draft.add_line(),
            _ => {}
        }
    }

    /// Shows what lies under "more on this receipt".
    pub fn show_more(&mut self) {
        if let Self::Purchase(draft) = self {
            draft.is_more = true;
            draft.more_takes_focus = true;
        }
    }

    /// Draws the form's own card.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        facts: &Facts,
        problems: &Problems,
        take_focus: bool,
    ) -> Option<FormEvent> {
        match self {
            Self::Purchase(draft) => return purchase_ui(ui, draft, facts, problems, take_focus),
            Self::Sale(draft) => return sale_ui(ui, draft, facts, problems, take_focus),
            Self::Short(draft) => return short_ui(ui, draft, facts, problems, take_focus),
            Self::Refund(draft) => refund_ui(ui, draft, facts, problems, take_focus),
            Self::BroughtIn(draft) => brought_in_ui(ui, draft, facts, problems, take_focus),
            Self::Recurring(draft) => recurring_ui(ui, draft, facts, problems, take_focus),
            Self::Plan(draft) => plan_line_ui(ui, draft, facts, problems, take_focus),
            Self::Manual(draft) => manual_ui(ui, draft, facts, problems, take_focus),
            Self::Opening(draft) => opening_ui(ui, draft, facts, problems, take_focus),
            Self::Amend(draft) => amend_ui(ui, draft, facts, problems, take_focus),
            Self::TakeBack(draft) => take_back_ui(ui, draft, facts, problems, take_focus),
            Self::Item(draft) => item_ui(ui, draft, facts, problems, take_focus),
            Self::Recipe(draft) => recipe_ui(ui, draft, facts, problems, take_focus),
            Self::Bundle(draft) => bundle_ui(ui, draft, facts, problems, take_focus),
            Self::WorthLess(draft) => worth_less_ui(ui, draft, facts, problems, take_focus),
            Self::Batch(draft) => batch_ui(ui, draft, facts, problems, take_focus),
            Self::Out(draft) => out_ui(ui, draft, facts, problems, take_focus),
            Self::Count(draft) => count_ui(ui, draft, facts, problems, take_focus),
            Self::Carry(draft) => carry_ui(ui, draft, facts, problems, take_focus),
            Self::Ordering(draft) => draft.ui(ui, facts, problems, take_focus),
            Self::Later(draft) => later_ui(ui, draft, facts, problems, take_focus),
            Self::Occasion(draft) => occasion_ui(ui, draft, facts, problems, take_focus),
        }
        None
    }
}
