//! A bill or a credit that came later for something bought before, being written down: freight, duty, a price lowered.
//! How it is spread over what the purchase brought is `crate::happenings`'.

use egui::Ui;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::find::{entry_described, entry_words, find_ui};
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::paid;
use crate::app::forms::parts::{self, cells, select, widths};
use crate::app::forms::receipt::ReceiptDraft;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, date_field, money_field, quiet_button, soft, suggest_field, text_field,
};
use crate::dates::show_day;
use crate::happenings::{LateBill, LateCredit, Payment, ProofState, Recording};
use crate::happenings::{late_bill, late_credit};
use crate::ledger::{AccountId, EntryKind, EntryNumber, PostedEntry};

const FIND_IT: &str = "find the purchase it is for";

/// A bill or a credit being written down.
#[derive(Debug, Serialize, Deserialize)]
pub struct LaterDraft {
    /// Whether it is a credit, which makes what was bought cheaper.
    pub is_credit: bool,
    /// The code of the item it was asked for from, whose purchases are offered; all are when it is empty.
    pub item: String,
    /// What the purchase is searched by.
    pub search: String,
    /// The purchase.
    pub picked: Option<EntryNumber>,
    /// Who billed or credited it.
    pub supplier: String,
    /// What for, or why.
    pub what: String,
    /// How much.
    pub amount: String,
    /// When.
    pub date: String,
    /// How a bill is paid.
    pub paid_from: Payment,
    /// Where a credit went.
    pub into: Option<AccountId>,
    /// The number on the paper.
    pub reference: String,
    /// The bill or the note itself.
    pub receipt: ReceiptDraft,
    /// Whether the field that comes next takes the keyboard, after the purchase was found or is to be found anew.
    #[serde(skip)]
    pub goes_on: bool,
}

impl LaterDraft {
    /// A bill or a credit of today, for a purchase of this item where a code is given.
    #[must_use]
    pub fn new(is_credit: bool, item: &str, facts: &Facts) -> Self {
        Self {
            is_credit,
            item: item.to_owned(),
            search: String::new(),
            picked: None,
            supplier: String::new(),
            what: if is_credit { "" } else { "Freight" }.to_owned(),
            amount: String::new(),
            date: show_day(facts.today),
            paid_from: paid::usual(facts),
            into: None,
            reference: String::new(),
            receipt: ReceiptDraft::default(),
            goes_on: false,
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.picked.is_none()
            && self.search.trim().is_empty()
            && self.supplier.trim().is_empty()
            && self.amount.trim().is_empty()
            && self.receipt.file.is_none()
    }

    /// What it asks of the book: purchases, or the one that was picked.
    #[must_use]
    pub fn question(&self) -> Question {
        Question {
            kind: Some(EntryKind::Purchase),
            search: Some(self.search.trim().to_owned()),
            brought: Some(self.item.clone()).filter(|code| !code.is_empty()),
            picked: self.picked,
            ..Question::default()
        }
    }

    fn pick(&mut self, number: Option<EntryNumber>) {
        self.picked = number;
        self.search.clear();
        self.goes_on = true;
        if self.is_credit {
            self.into = None;
            self.supplier.clear();
        }
    }

    /// Proposes for a credit what its purchase says, once that has been looked up.
    fn propose(&mut self, facts: &Facts) {
        let Some(purchase) = facts.asked.purchase.as_ref() else {
            return;
        };
        if self.is_credit && self.picked.is_some() && self.into.is_none() {
            self.into = purchase.paid_from;
            if self.supplier.trim().is_empty() {
                self.supplier.clone_from(&purchase.supplier);
            }
        }
    }

    /// The purchase that was picked, once it has been looked up.
    fn purchase<'f>(&self, facts: &'f Facts) -> Option<&'f PostedEntry> {
        let asked = facts.asked.entry.as_ref();
        asked.filter(|posted| Some(posted.number) == self.picked)
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let purchase = self.purchase(facts);
        if purchase.is_none() {
            read.note(Problem::missing("purchase", FIND_IT));
        }
        let date = read.day("date", &self.date);
        let (whom, much) = if self.is_credit {
            ("say who gave it", "say how much was credited")
        } else {
            ("say who billed it", "say how much was billed")
        };
        let supplier = read.text("supplier", &self.supplier, whom);
        let amount = read.amount("amount", &self.amount, much);
        let reference = self.reference.trim().to_owned();
        let what = self.what.trim().to_owned();
        let came = &facts.asked.came;
        let mut recording = if self.is_credit {
            let into = read.account("paid_into", self.into, "say where the money went");
            let credit = read.finish(LateCredit {
                date,
                supplier,
                amount,
                into,
                why: what,
                reference,
            })?;
            let Some(purchase) = facts.asked.purchase.clone() else {
                return Err(vec![Problem::missing("purchase", FIND_IT)]);
            };
            let recording = late_credit(came, &credit, purchase, &facts.chart);
            told(recording, &facts.currency)?
        } else {
            let bill = read.finish(LateBill {
                date,
                supplier,
                amount,
                what,
                paid_from: self.paid_from,
                reference,
            })?;
            let since = purchase.map_or(date, |posted| posted.entry.header.date);
            let recording = late_bill(came, since, &bill, &facts.chart);
            told(recording, &facts.currency)?
        };
        if self.receipt.file.is_some() {
            recording.proof.state = ProofState::Complete;
        }
        Ok(recording)
    }
}

/// Draws the card.
pub fn later_ui(
    ui: &mut Ui,
    draft: &mut LaterDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.propose(facts);
    card(ui, |ui| {
        match draft.purchase(facts) {
            Some(posted) => picked_ui(ui, draft, posted, facts),
            None => search_ui(ui, draft, facts, problems, take_focus),
        }
        ui.add_space(space::SMALL);
        let goes_on = draft.purchase(facts).is_some() && std::mem::take(&mut draft.goes_on);
        whom_and_when_ui(ui, draft, facts, problems, goes_on);
        what_and_how_much_ui(ui, draft, facts, problems);
        how_ui(ui, draft, facts, problems);
        if let Some(problem) = problems.of("stock") {
            parts::hint(ui, problem);
        }
        ui.add_space(space::SMALL);
        let words = if draft.is_credit {
            "It is spread by what each thing cost: what is left stands at less, and what was sold has cost less."
        } else {
            "It is spread by what each thing cost: what is left stands at more, and what was sold has cost more."
        };
        soft(ui, words);
    });
}

fn search_ui(
    ui: &mut Ui,
    draft: &mut LaterDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let label = match facts.stock.item(&draft.item) {
        Some(item) => format!("Which purchase of {}", facts.stock.label(item)),
        None => "Which purchase".to_owned(),
    };
    let field = Field::new(&label)
        .hint("supplier, thing, amount or number")
        .problem(problems.of("purchase"))
        .take_focus(take_focus || std::mem::take(&mut draft.goes_on));
    let taken = find_ui(ui, field, &mut draft.search, facts);
    if taken.is_some() {
        draft.pick(taken);
    } else if facts.asked.found.is_empty() && draft.search.trim().is_empty() {
        soft(ui, "Nothing was bought yet that it could be for.");
    }
}

fn picked_ui(ui: &mut Ui, draft: &mut LaterDraft, posted: &PostedEntry, facts: &Facts) {
    ui.horizontal_wrapped(|ui| {
        let (words, described) = (entry_words(posted), entry_described(posted, facts));
        ui.label(format!("{words}, {described}"));
        if quiet_button(ui, "Choose another").clicked() {
            draft.pick(None);
        }
    });
    let kept: Vec<String> = facts
        .asked
        .came
        .iter()
        .map(|one| format!("{} for {}", one.name, facts.show(one.worth)))
        .collect();
    if kept.is_empty() {
        let words = "Nothing of it is kept in stock, so nothing can become dearer or cheaper.";
        parts::hint(ui, words);
    } else {
        let number = posted.number;
        soft(
            ui,
            &format!("Entry {number} brought into stock: {}.", kept.join(", ")),
        );
    }
}

fn whom_and_when_ui(
    ui: &mut Ui,
    draft: &mut LaterDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let (label, hint) = if draft.is_credit {
        ("Who gave it", "the supplier")
    } else {
        ("Who billed it", "the carrier, the customs office")
    };
    let columns = widths(ui.available_width(), &[0.0, 130.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            let field = Field::new(label)
                .width(width)
                .hint(hint)
                .problem(problems.of("supplier"))
                .take_focus(take_focus);
            suggest_field(ui, field, &mut draft.supplier, &facts.suppliers);
        } else {
            let field = Field::new("When").width(width).problem(problems.of("date"));
            date_field(ui, field, &mut draft.date, facts.today);
        }
    });
}

fn what_and_how_much_ui(ui: &mut Ui, draft: &mut LaterDraft, facts: &Facts, problems: &Problems) {
    let (label, hint) = if draft.is_credit {
        ("Why", "may stay empty")
    } else {
        ("What for", "")
    };
    let columns = widths(ui.available_width(), &[0.0, 130.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            let field = Field::new(label).width(width).hint(hint);
            text_field(ui, field, &mut draft.what);
        } else {
            let field = Field::new("Amount")
                .width(width)
                .problem(problems.of("amount"));
            money_field(ui, field, &mut draft.amount, &facts.currency);
        }
    });
}

fn how_ui(ui: &mut Ui, draft: &mut LaterDraft, facts: &Facts, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 150.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        match (cell, draft.is_credit) {
            (0, true) => {
                let places = paid::back_into(facts);
                let wrong = problems.of("paid_into");
                select(ui, "Into", width, &mut draft.into, &places, wrong);
            }
            (0, false) => {
                let ways = paid::ways(facts);
                let wrong = problems.of("paid_from");
                select(ui, "Paid from", width, &mut draft.paid_from, &ways, wrong);
            }
            (_, true) => {
                let field = Field::new("Number on the note").width(width);
                text_field(ui, field, &mut draft.reference);
            }
            (_, false) => {
                let field = Field::new("Number on the bill").width(width);
                text_field(ui, field, &mut draft.reference);
            }
        }
    });
}
