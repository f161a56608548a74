//! Money given back, being typed: to a customer for a sale, or by a supplier for a purchase. The earlier entry is
//! found by its number, party or words, and never more is given back than is left of it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::input::{Problem, Reader, told};
use crate::dates::show_day;
use crate::happenings::{
    CustomerRefund, CustomerRefundDetails, Happening, Recording, SupplierRefund,
    SupplierRefundDetails,
};
use crate::ledger::{AccountId, EntryKind, EntryNumber};
use crate::money::Money;
use crate::stock::{Movement, MovementId, MovementKind};

use super::draft::FeeDrafts;

/// A refund being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct RefundDraft {
    /// Whether a supplier gave money back rather than the owner to a customer.
    pub is_from_supplier: bool,
    /// What the sale or purchase is searched by.
    pub search: String,
    /// The one that was found.
    pub picked: Option<EntryNumber>,
    /// When.
    pub date: String,
    /// How much.
    pub amount: String,
    /// Where the money comes from, or goes to.
    pub account: Option<AccountId>,
    /// Fees that the shop gives back.
    pub fees: FeeDrafts,
    /// Why.
    pub memo: String,
    /// Its number.
    pub reference: String,
    /// How many pieces came back and go on the shelf, by the number of the sale's movement.
    #[serde(default)]
    pub came_back: BTreeMap<u64, String>,
    /// Which field takes the keyboard next, after the sale was found or is to be found anew.
    #[serde(skip)]
    pub takes_focus: Option<RefundField>,
}

/// A field of the refund that can take the keyboard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RefundField {
    /// Which sale or purchase.
    Search,
    /// How much.
    Amount,
}

impl RefundDraft {
    /// A refund to a customer, or one from a supplier.
    #[must_use]
    pub fn new(is_from_supplier: bool, facts: &Facts) -> Self {
        Self {
            is_from_supplier,
            search: String::new(),
            picked: None,
            date: show_day(facts.today),
            amount: String::new(),
            account: None,
            fees: FeeDrafts::default(),
            memo: String::new(),
            reference: String::new(),
            came_back: BTreeMap::new(),
            takes_focus: None,
        }
    }

    /// Whether this field takes the keyboard now; it does so once.
    pub fn focuses(&mut self, field: RefundField) -> bool {
        let is_it = self.takes_focus == Some(field);
        if is_it {
            self.takes_focus = None;
        }
        is_it
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.picked.is_none() && self.search.trim().is_empty() && self.amount.trim().is_empty()
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self) -> Question {
        Question {
            kind: Some(if self.is_from_supplier {
                EntryKind::Purchase
            } else {
                EntryKind::Sale
            }),
            search: Some(self.search.trim().to_owned()),
            picked: self.picked,
            ..Question::default()
        }
    }

    /// Takes the entry that was found: all that is left of it is proposed, from where its money went.
    pub fn pick(&mut self, number: EntryNumber) {
        self.picked = Some(number);
        self.amount.clear();
        self.account = None;
        self.came_back.clear();
    }

    /// Proposes what the picked entry says, once it has been looked up.
    pub fn propose(&mut self, facts: &Facts) {
        if self.account.is_some() || self.picked.is_none() {
            return;
        }
        self.account = if self.is_from_supplier {
            facts.asked.purchase.as_ref().and_then(|one| one.paid_from)
        } else {
            facts.asked.sale.as_ref().and_then(|one| one.paid_into)
        };
        if self.account.is_some()
            && let Some(left) = self.left(facts)
            && self.amount.trim().is_empty()
            && left.is_positive()
        {
            self.amount = facts.currency.show(left);
        }
    }

    /// What is left of the sale or purchase.
    #[must_use]
    pub fn left(&self, facts: &Facts) -> Option<Money> {
        if self.is_from_supplier {
            facts.asked.purchase.as_ref().map(|one| one.left())
        } else {
            facts.asked.sale.as_ref().map(|one| one.left())
        }
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let missing = if self.is_from_supplier {
            "find the purchase it belongs to"
        } else {
            "find the sale it belongs to"
        };
        if self.picked.is_none() {
            read.note(Problem::missing("sale", missing));
        }
        let date = read.day("date", &self.date);
        let amount = read.amount("amount", &self.amount, "say how much");
        if amount.is_zero() && read.problems.is_empty() {
            read.note(Problem::wrong(
                "amount",
                "the amount must be more than nothing",
            ));
        }
        let account = read.account("paid_from", self.account, "say where the money moved");
        let fees = self.fees.read(&mut read);
        let returned = self.read_returned(&mut read, facts, date);
        read.finish(())?;
        if self.is_from_supplier {
            let Some(purchase) = facts.asked.purchase.clone() else {
                return Err(vec![Problem::missing("sale", missing)]);
            };
            let mut details = SupplierRefundDetails::in_proportion(date, purchase, account, amount);
            details.memo = self.memo.trim().to_owned();
            details.reference = self.reference.trim().to_owned();
            let refund = told(SupplierRefund::new(details), &facts.currency)?;
            return told(refund.recording(&facts.chart), &facts.currency);
        }
        let Some(sale) = facts.asked.sale.clone() else {
            return Err(vec![Problem::missing("sale", missing)]);
        };
        let mut details = CustomerRefundDetails::new(date, sale, account, amount);
        details.fee_credits = fees;
        details.memo = self.memo.trim().to_owned();
        details.reference = self.reference.trim().to_owned();
        let refund = told(CustomerRefund::new(details), &facts.currency)?;
        let mut recording = told(refund.recording(&facts.chart), &facts.currency)?;
        recording.movements = returned;
        Ok(recording)
    }

    /// The pieces that go on the shelf again, each at the cost at which it went.
    fn read_returned(
        &self,
        read: &mut Reader<'_>,
        facts: &Facts,
        date: NaiveDate,
    ) -> Vec<Movement> {
        if self.is_from_supplier {
            return Vec::new();
        }
        let mut returned = Vec::new();
        for (idx, sold) in facts.asked.sold.iter().enumerate() {
            let text = self
                .came_back
                .get(&sold.movement.0)
                .map_or("", String::as_str);
            read.line(Some(idx));
            let Some(quantity) = read.quantity("came_back", text) else {
                continue;
            };
            if quantity.value().is_zero() {
                continue;
            }
            if quantity > sold.left || quantity.value().is_sign_negative() {
                let words = format!("no more than {} can come back", sold.left);
                read.note(Problem::wrong("came_back", words));
                continue;
            }
            let code = sold.item.clone();
            let mut back = Movement::new(MovementId(0), date, code, MovementKind::Return, quantity);
            back.of = Some(sold.movement);
            returned.push(back);
        }
        read.line(None);
        returned
    }
}
