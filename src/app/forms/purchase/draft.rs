//! A purchase being typed: plain text fields, and the happening they make.
//! How it is drawn is `view`; how a line's kind is found is `line`.

use serde::{Deserialize, Serialize};

use super::line::LineDraft;
use crate::app::action::PlanPart;
use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::input::{Problem, Reader, told};
use crate::app::forms::paid;
use crate::app::forms::receipt::ReceiptDraft;
use crate::dates::show_day;
use crate::happenings::hints::{Written, likely_duplicate, unusual_amount};
use crate::happenings::{
    Happening, Payment, Proof, ProofState, Purchase, PurchaseDetails, Recording,
};
use crate::ledger::{EntryKind, Origin};
use crate::money::Money;
use crate::sorting::BankLine;

/// A purchase being typed.
#[derive(Debug, Serialize, Deserialize)]
pub struct PurchaseDraft {
    /// From whom.
    pub supplier: String,
    /// When, as typed.
    pub date: String,
    /// Paid from.
    pub paid_from: Payment,
    /// The lines; always at least one.
    pub lines: Vec<LineDraft>,
    /// Whether carriage, tax, discount and the paper's number are shown.
    pub is_more: bool,
    /// Whether they were just opened and take the keyboard.
    #[serde(skip)]
    pub more_takes_focus: bool,
    /// Carriage.
    pub carriage: String,
    /// Tax added on the receipt.
    pub tax: String,
    /// Discount.
    pub discount: String,
    /// The number on the paper.
    pub reference: String,
    /// What it was for.
    pub purpose: String,
    /// Whether the seller is a private person, who gives no receipt.
    pub is_from_private_seller: bool,
    /// What stands in for the receipt.
    pub stands_in: String,
    /// The receipt.
    pub receipt: ReceiptDraft,
    /// The statement line that becomes this purchase.
    #[serde(default)]
    pub of_line: Option<OfLine>,
}

/// A statement line that becomes a purchase, as far as the form needs it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OfLine {
    /// Its number in the book.
    pub id: i64,
    /// What was paid, in minor units, positive.
    pub minor: i64,
    /// What the bank wrote.
    pub text: String,
    /// The file it came in.
    pub file: String,
    /// Its row there.
    pub row: u64,
}

impl OfLine {
    /// What it says of the sum of a form: nothing once that is what the bank says.
    #[must_use]
    pub fn about(&self, total: Money, facts: &Facts) -> String {
        let paid = Money::from_minor(self.minor);
        let shown = facts.show(paid);
        let left = paid - total;
        match (left.is_zero(), left.is_negative()) {
            (true, _) => format!("That is what the bank says: {shown}."),
            (false, false) => format!(
                "The bank says {shown}: {} is still to be split.",
                facts.show(left)
            ),
            (false, true) => format!(
                "The bank says {shown}: this is {} too much.",
                facts.show(left.abs())
            ),
        }
    }
}

impl PurchaseDraft {
    /// An empty purchase of today, paid as the last one was.
    #[must_use]
    pub fn new(facts: &Facts) -> Self {
        Self {
            supplier: String::new(),
            date: show_day(facts.today),
            paid_from: paid::usual(facts),
            lines: vec![LineDraft::default()],
            is_more: false,
            more_takes_focus: false,
            carriage: String::new(),
            tax: String::new(),
            discount: String::new(),
            reference: String::new(),
            purpose: String::new(),
            is_from_private_seller: false,
            stands_in: String::new(),
            receipt: ReceiptDraft::default(),
            of_line: None,
        }
    }

    /// Begins as what a statement line says: day, account, amount.
    pub fn become_of(&mut self, line: &BankLine, facts: &Facts) {
        let amount = facts.show(line.amount.abs());
        self.date = show_day(line.date);
        self.paid_from = Payment::Account(line.account);
        self.of_line = Some(OfLine {
            id: line.id.0,
            minor: line.amount.abs().minor(),
            text: line.text.trim().to_owned(),
            file: line.file.clone(),
            row: line.row,
        });
        if let Some(first) = self.lines.first_mut() {
            first.amount = amount;
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.supplier.trim().is_empty()
            && self
                .lines
                .iter()
                .all(|line| line.is_empty() || line.is_as_planned())
            && self.receipt.file.is_none()
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self, facts: &Facts) -> Question {
        Question {
            kind: Some(EntryKind::Purchase),
            party: self.supplier.trim().to_lowercase(),
            around: crate::app::widgets::parse_day(&self.date, facts.today),
            ..Question::default()
        }
    }

    /// The lines of the plan that it becomes a purchase of. A purchase of a single thing stands there whole.
    #[must_use]
    pub fn plan_parts(&self, facts: &Facts) -> Vec<PlanPart> {
        let Ok(purchase) = self.purchase(facts) else {
            return Vec::new();
        };
        let filled = self.filled();
        let is_single = filled.len() == 1;
        let written = purchase.details().lines.iter();
        filled
            .into_iter()
            .zip(written)
            .filter_map(|((_idx, line), written)| {
                Some(PlanPart {
                    line: line.plan.as_ref()?.id,
                    what: if is_single {
                        String::new()
                    } else {
                        written.thing().to_owned()
                    },
                })
            })
            .collect()
    }

    /// Lines that hold something; an empty last line is left out.
    fn filled(&self) -> Vec<(usize, &LineDraft)> {
        let filled: Vec<(usize, &LineDraft)> = self
            .lines
            .iter()
            .enumerate()
            .filter(|(_, line)| !line.is_empty())
            .collect();
        if filled.is_empty() {
            self.lines.iter().enumerate().take(1).collect()
        } else {
            filled
        }
    }

    /// The purchase as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn purchase(&self, facts: &Facts) -> Result<Purchase, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let supplier = read.text("supplier", &self.supplier, "say from whom you bought it");
        let mut lines = Vec::new();
        let filled = self.filled();
        for (idx, line) in &filled {
            read.line(Some(*idx));
            lines.push(line.read(&mut read, &supplier, date, facts));
        }
        read.line(None);
        let mut details = PurchaseDetails::new(date, supplier, self.paid_from, lines);
        details.carriage = read.amount_or_none("carriage", &self.carriage);
        details.tax = read.amount_or_none("tax", &self.tax);
        details.discount = read.amount_or_none("discount", &self.discount);
        details.reference = self.reference.trim().to_owned();
        details.proof = self.proof();
        let places: Vec<usize> = filled.iter().map(|(idx, _)| *idx).collect();
        let details = read.finish(details)?;
        let purchase = told(Purchase::new(details), &facts.currency)
            .map_err(|problems| on_their_lines(problems, &places))?;
        self.refuse_known_names(&purchase, &places, facts)?;
        match facts.purpose_from {
            Some(from) if purchase.needs_purpose(from) => Err(vec![Problem::missing(
                "purpose",
                format!(
                    "from {} on you wanted to note what it was for",
                    facts.show(from)
                ),
            )]),
            _ => Ok(purchase),
        }
    }

    fn refuse_known_names(
        &self,
        purchase: &Purchase,
        places: &[usize],
        facts: &Facts,
    ) -> Result<(), Vec<Problem>> {
        for (line, place) in purchase.details().lines.iter().zip(places) {
            if let Some(equipment) = &line.equipment
                && facts
                    .equipment_names
                    .contains(&equipment.name.trim().to_lowercase())
            {
                let problem = Problem::wrong(
                    "equipment_name",
                    "you already have a piece of this name; give this one another",
                );
                return Err(vec![problem.on_line(*place)]);
            }
        }
        Ok(())
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let purchase = self.purchase(facts)?;
        let places: Vec<usize> = self.filled().iter().map(|(idx, _)| *idx).collect();
        let mut recording = told(purchase.recording(&facts.chart), &facts.currency)
            .map_err(|problems| on_their_lines(problems, &places))?;
        if let Some(line) = &self.of_line {
            recording.entry.header.origin = Origin::Brought {
                file: line.file.clone(),
                row: line.row,
            };
        }
        Ok(recording)
    }

    fn proof(&self) -> Proof {
        let state = if self.receipt.file.is_some() {
            ProofState::Complete
        } else if !self.stands_in.trim().is_empty() {
            ProofState::Substitute
        } else {
            ProofState::Missing
        };
        Proof {
            state,
            stands_in: self.stands_in.trim().to_owned(),
            purpose: self.purpose.trim().to_owned(),
        }
    }

    /// The sum on the receipt as far as it can be read.
    #[must_use]
    pub fn total(&self, facts: &Facts) -> Money {
        let read = |text: &str| facts.currency.parse_typed(text).unwrap_or_default();
        let lines: Money = self.lines.iter().map(|line| read(&line.amount)).sum();
        lines + read(&self.carriage) + read(&self.tax) - read(&self.discount)
    }

    /// Whether the purpose is to be asked now.
    #[must_use]
    pub fn asks_purpose(&self, facts: &Facts) -> bool {
        !self.purpose.is_empty()
            || facts
                .purpose_from
                .is_some_and(|from| self.total(facts) >= from)
    }

    /// What may be wrong with it; she decides.
    #[must_use]
    pub fn hints(&self, facts: &Facts) -> Vec<String> {
        let total = self.total(facts);
        let mut hints = Vec::new();
        if let Some(unusual) = unusual_amount(total, &facts.asked.usual) {
            hints.push(unusual.sentence(&facts.currency));
        }
        let date = crate::app::widgets::parse_day(&self.date, facts.today);
        if let Some(date) = date
            && total.is_positive()
            && !self.supplier.trim().is_empty()
        {
            let new = Written {
                number: None,
                date,
                amount: total,
                party: self.supplier.clone(),
                reference: self.reference.clone(),
            };
            if let Some(twice) = likely_duplicate(&new, &facts.asked.near) {
                hints.push(twice.sentence(&facts.currency));
            }
        }
        hints
    }
}

/// Problems count the filled lines; the form shows all lines.
fn on_their_lines(mut problems: Vec<Problem>, places: &[usize]) -> Vec<Problem> {
    for problem in &mut problems {
        if let Some(line) = problem.line {
            problem.line = places.get(line).copied().or(problem.line);
        }
    }
    problems
}
