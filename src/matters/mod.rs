//! Matters: what begins on one day and ends on another, as a voucher, a loan, a dispute, and the steps it takes.
//! What a step posts is `occasions`'; keeping steps is the book's.

mod loan;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::ledger::EntryNumber;
use crate::money::{Money, Quantity};
use crate::word_list::word_list;

pub use loan::{LoanTerms, Payment, ScheduleError};

word_list! {
    /// What kind of thing goes on.
    MatterKind, "a kind of matter":
    /// A day at a fair, from packing the box to counting the money.
    Fair = "fair" / "Fair day",
    /// Pieces at a shop that pays when it has sold them.
    Commission = "commission" / "On commission",
    /// An order of a shop that pays later.
    Invoice = "invoice" / "Invoice",
    /// Money taken for a piece still to be made.
    Deposit = "deposit" / "Deposit",
    /// Money taken for a piece still to be chosen.
    Voucher = "voucher" / "Voucher",
    /// A payment that the customer's bank took back and may return.
    Dispute = "dispute" / "Dispute",
    /// A piece sent once more for one that was lost or damaged.
    Replacement = "replacement" / "Replacement",
    /// Money asked of a carrier or an insurer.
    Claim = "claim" / "Claim",
    /// Money lent to the business.
    Loan = "loan" / "Loan",
    /// Somebody who is paid for her help.
    Helper = "helper" / "Paid helper",
    /// Something bought without sales tax, to be sold on.
    Untaxed = "untaxed" / "Bought without sales tax",
    /// A thing given for another.
    Swap = "swap" / "Swap",
}

impl MatterKind {
    /// The heading over several of them.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Fair => "Fair days",
            Self::Commission => "On commission at shops",
            Self::Invoice => "Invoices to shops",
            Self::Deposit => "Deposits held for orders",
            Self::Voucher => "Vouchers",
            Self::Dispute => "Disputes",
            Self::Replacement => "Replacements sent",
            Self::Claim => "Claims",
            Self::Loan => "Loans",
            Self::Helper => "Paid helpers",
            Self::Untaxed => "Bought without sales tax",
            Self::Swap => "Swaps",
        }
    }

    /// What its balance is, in words that follow an amount.
    #[must_use]
    pub const fn left_words(self) -> &'static str {
        match self {
            Self::Invoice => "still to be paid",
            Self::Deposit => "held until it is delivered",
            Self::Voucher => "still to be redeemed",
            Self::Dispute => "in dispute",
            Self::Claim => "asked for",
            Self::Loan => "still owed",
            Self::Untaxed => "bought without tax, as far as it is not used",
            Self::Fair | Self::Commission | Self::Replacement | Self::Helper | Self::Swap => "",
        }
    }

    /// Whether its steps add up to something that is left, so that it is open until that is nothing.
    #[must_use]
    pub const fn has_balance(self) -> bool {
        matches!(
            self,
            Self::Invoice
                | Self::Deposit
                | Self::Voucher
                | Self::Dispute
                | Self::Claim
                | Self::Loan
        )
    }
}

word_list! {
    /// What happened to a matter.
    StepKind, "a step of a matter":
    /// A fair was prepared: the float and what is taken along.
    Planned = "planned" / "Prepared",
    /// A fair was held.
    Held = "held" / "Held",
    /// Pieces went to a shop.
    Sent = "sent" / "Sent",
    /// A shop sold pieces.
    Sold = "sold" / "Sold",
    /// Pieces came back from a shop.
    Back = "back" / "Came back",
    /// Pieces are no longer at the shop, and nobody knows where.
    Missing = "missing" / "Missing",
    /// A shop ordered.
    Ordered = "ordered" / "Ordered",
    /// It was sent its invoice.
    Invoiced = "invoiced" / "Invoiced",
    /// Money came for it.
    Paid = "paid" / "Paid",
    /// What will not be paid any more was let go.
    LetGo = "let-go" / "Let go",
    /// Money was taken before the piece.
    Taken = "taken" / "Taken",
    /// The piece was handed over.
    Delivered = "delivered" / "Delivered",
    /// Money went back.
    GivenBack = "given-back" / "Given back",
    /// A voucher was sold.
    Issued = "issued" / "Sold as a voucher",
    /// A part of it was used.
    Used = "used" / "Used",
    /// It ran out unused.
    Lapsed = "lapsed" / "Ran out",
    /// Money was taken back by the customer's bank.
    Opened = "opened" / "Opened",
    /// It came back.
    Won = "won" / "Won",
    /// It stayed away.
    Lost = "lost" / "Lost",
    /// Pieces were sent again.
    Replaced = "replaced" / "Sent again",
    /// Money was asked for.
    Claimed = "claimed" / "Asked for",
    /// It was refused, in part or whole.
    Refused = "refused" / "Refused",
    /// A loan was paid out.
    Received = "received" / "Received",
    /// A part of it was paid back.
    Repaid = "repaid" / "Paid back",
    /// A helper was paid.
    Helped = "helped" / "Helped",
    /// Something was bought.
    Bought = "bought" / "Bought",
    /// Things changed hands.
    Swapped = "swapped" / "Swapped",
}

impl StepKind {
    /// What it does to what is left: 1 adds its amount, −1 takes it off, 0 leaves it.
    #[must_use]
    pub const fn effect(self) -> i64 {
        match self {
            Self::Invoiced
            | Self::Taken
            | Self::Issued
            | Self::Opened
            | Self::Claimed
            | Self::Received
            | Self::Bought => 1,
            Self::Paid
            | Self::LetGo
            | Self::Delivered
            | Self::GivenBack
            | Self::Used
            | Self::Lapsed
            | Self::Won
            | Self::Lost
            | Self::Refused
            | Self::Repaid => -1,
            Self::Planned
            | Self::Held
            | Self::Sent
            | Self::Sold
            | Self::Back
            | Self::Missing
            | Self::Ordered
            | Self::Replaced
            | Self::Helped
            | Self::Swapped => 0,
        }
    }

    /// What it does to the pieces that lie at another place.
    const fn pieces_effect(self) -> i64 {
        match self {
            Self::Sent | Self::Planned => 1,
            Self::Sold | Self::Back | Self::Missing | Self::Held => -1,
            _ => 0,
        }
    }
}

/// So many of an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pieces {
    /// The item's code.
    pub item: String,
    /// How many.
    pub quantity: Quantity,
}

/// Pieces as the book and sheets write them: `CODE:3;OTHER:1`.
#[must_use]
pub fn write_pieces(pieces: &[Pieces]) -> String {
    let all: Vec<String> = pieces
        .iter()
        .map(|one| format!("{}:{}", one.item, one.quantity))
        .collect();
    all.join(";")
}

/// The pieces that such a text names.
///
/// # Errors
/// What is wrong with it, in words.
pub fn read_pieces(text: &str) -> Result<Vec<Pieces>, String> {
    text.split(';')
        .filter(|part| !part.is_empty())
        .map(|part| {
            let wrong = || format!("'{part}' is not so many pieces, as CODE:3");
            let (item, quantity) = part.rsplit_once(':').ok_or_else(wrong)?;
            Ok(Pieces {
                item: item.to_owned(),
                quantity: quantity.parse().map_err(|_error| wrong())?,
            })
        })
        .collect()
}

/// One step of a matter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Its number in the book; 0 before it is kept.
    pub id: i64,
    /// The entry it posted, where it posted one.
    pub entry: Option<EntryNumber>,
    /// The day.
    pub on: NaiveDate,
    /// The kind of matter.
    pub matter: MatterKind,
    /// Which one of the kind: the voucher's number, the shop's name.
    pub key: String,
    /// What happened.
    pub kind: StepKind,
    /// How much, in minor units; nothing where it is about no money.
    pub amount: Money,
    /// The day on which something is to happen: an invoice to be paid, an order to be ready.
    pub due: Option<NaiveDate>,
    /// Whom it concerns: a shop, a helper, a lender. Never a customer's name.
    pub party: String,
    /// In the owner's words.
    pub about: String,
    /// Pieces that it moved.
    pub pieces: Vec<Pieces>,
    /// Everything that was answered when it was told, by question.
    pub answers: BTreeMap<String, String>,
    /// Whether its entry was taken back, so that it counts no longer.
    pub is_void: bool,
}

impl Step {
    /// A step with the day, the matter and what happened, all else empty.
    #[must_use]
    pub fn new(
        on: NaiveDate,
        matter: MatterKind,
        key: impl Into<String>,
        kind: StepKind,
        amount: Money,
    ) -> Self {
        Self {
            id: 0,
            entry: None,
            on,
            matter,
            key: key.into(),
            kind,
            amount,
            due: None,
            party: String::new(),
            about: String::new(),
            pieces: Vec::new(),
            answers: BTreeMap::new(),
            is_void: false,
        }
    }

    /// An answer, or nothing.
    #[must_use]
    pub fn answer(&self, key: &str) -> &str {
        self.answers.get(key).map_or("", String::as_str)
    }
}

/// One matter with its steps in the order of their days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matter {
    /// The kind.
    pub kind: MatterKind,
    /// Which one.
    pub key: String,
    /// Its steps that count.
    pub steps: Vec<Step>,
}

impl Matter {
    /// Whom it concerns, as the first step that names somebody says.
    #[must_use]
    pub fn party(&self) -> &str {
        self.steps
            .iter()
            .map(|step| step.party.as_str())
            .find(|party| !party.is_empty())
            .unwrap_or("")
    }

    /// What it is about, as the first step with words says.
    #[must_use]
    pub fn about(&self) -> &str {
        self.steps
            .iter()
            .map(|step| step.about.as_str())
            .find(|about| !about.is_empty())
            .unwrap_or("")
    }

    /// The day it began.
    #[must_use]
    pub fn began_on(&self) -> Option<NaiveDate> {
        self.steps.first().map(|step| step.on)
    }

    /// The day on which something is to happen, as the newest step that names one says.
    #[must_use]
    pub fn due(&self) -> Option<NaiveDate> {
        self.steps.iter().rev().find_map(|step| step.due)
    }

    /// What is left of it.
    #[must_use]
    pub fn balance(&self) -> Money {
        self.steps
            .iter()
            .map(|step| Money::from_minor(step.kind.effect() * step.amount.minor()))
            .sum()
    }

    /// The sum of one kind of its steps.
    #[must_use]
    pub fn total(&self, kind: StepKind) -> Money {
        self.of(kind).map(|step| step.amount).sum()
    }

    /// Its steps of one kind.
    pub fn of(&self, kind: StepKind) -> impl Iterator<Item = &Step> {
        self.steps.iter().filter(move |step| step.kind == kind)
    }

    /// The newest step of a kind.
    #[must_use]
    pub fn last(&self, kind: StepKind) -> Option<&Step> {
        self.steps.iter().rev().find(|step| step.kind == kind)
    }

    /// How many pieces of each item are still there, those of which none are left out.
    #[must_use]
    pub fn pieces_left(&self) -> Vec<Pieces> {
        let mut left: BTreeMap<&str, Decimal> = BTreeMap::new();
        for step in &self.steps {
            for pieces in &step.pieces {
                *left.entry(&pieces.item).or_default() +=
                    Decimal::from(step.kind.pieces_effect()) * pieces.quantity.value();
            }
        }
        left.into_iter()
            .filter(|(_, many)| !many.is_zero())
            .filter_map(|(item, many)| {
                Some(Pieces {
                    item: item.to_owned(),
                    quantity: Quantity::new(many).ok()?,
                })
            })
            .collect()
    }

    /// Whether something is still to happen.
    #[must_use]
    pub fn is_open(&self) -> bool {
        match self.kind {
            MatterKind::Fair => self.last(StepKind::Held).is_none(),
            MatterKind::Commission => !self.pieces_left().is_empty(),
            MatterKind::Invoice => {
                self.last(StepKind::Invoiced).is_none() || !self.balance().is_zero()
            }
            kind if kind.has_balance() => !self.balance().is_zero(),
            _ => false,
        }
    }

    /// How it stands, in a few plain words.
    #[must_use]
    pub fn state(&self) -> &'static str {
        let last = self.steps.last().map(|step| step.kind);
        match (self.kind, self.is_open(), last) {
            (MatterKind::Invoice, true, Some(StepKind::Ordered)) => "ordered, not yet invoiced",
            (
                MatterKind::Invoice | MatterKind::Loan,
                true,
                Some(StepKind::Paid | StepKind::Repaid),
            ) => "paid in part",
            (MatterKind::Fair, true, _) => "prepared",
            (MatterKind::Fair, false, _) => "held",
            (MatterKind::Voucher, true, Some(StepKind::Used)) => "used in part",
            (MatterKind::Untaxed, _, _) if !self.balance().is_zero() => "on the list",
            (MatterKind::Claim, false, _) if self.last(StepKind::Paid).is_some() => "paid",
            (_, true, _) => "open",
            (_, false, Some(kind)) => match kind {
                StepKind::Paid | StepKind::Repaid => "paid",
                StepKind::LetGo => "let go",
                StepKind::Delivered => "delivered",
                StepKind::GivenBack => "given back",
                StepKind::Used => "used up",
                StepKind::Lapsed => "ran out",
                StepKind::Won => "won",
                StepKind::Lost => "lost",
                StepKind::Refused => "refused",
                _ => "done",
            },
            (_, false, None) => "done",
        }
    }
}

/// All matters of a book.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Matters {
    all: BTreeMap<(MatterKind, String), Matter>,
}

impl Matters {
    /// The matters that these steps make. Steps whose entries were taken back do not count.
    #[must_use]
    pub fn of_steps(steps: impl IntoIterator<Item = Step>) -> Self {
        let mut all: BTreeMap<(MatterKind, String), Matter> = BTreeMap::new();
        for step in steps.into_iter().filter(|step| !step.is_void) {
            let matter = all
                .entry((step.matter, folded(&step.key)))
                .or_insert_with(|| Matter {
                    kind: step.matter,
                    key: step.key.clone(),
                    steps: Vec::new(),
                });
            matter.steps.push(step);
        }
        for matter in all.values_mut() {
            matter.steps.sort_by_key(|step| (step.on, step.id));
        }
        Self { all }
    }

    /// One of them; large and small letters are the same.
    #[must_use]
    pub fn find(&self, kind: MatterKind, key: &str) -> Option<&Matter> {
        self.all.get(&(kind, folded(key)))
    }

    /// All of a kind, by key.
    pub fn of_kind(&self, kind: MatterKind) -> impl Iterator<Item = &Matter> {
        self.all.values().filter(move |matter| matter.kind == kind)
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Matter> {
        self.all.values()
    }

    /// As they stood at the end of a day.
    #[must_use]
    pub fn as_of(&self, day: NaiveDate) -> Self {
        Self::of_steps(
            self.all
                .values()
                .flat_map(|matter| &matter.steps)
                .filter(|step| step.on <= day)
                .cloned(),
        )
    }

    /// The names of everybody they concern, of one kind.
    #[must_use]
    pub fn parties(&self, kind: MatterKind) -> BTreeSet<&str> {
        self.of_kind(kind)
            .map(Matter::party)
            .filter(|party| !party.is_empty())
            .collect()
    }
}

fn folded(key: &str) -> String {
    key.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn step(day: &str, kind: StepKind, minor: i64) -> Step {
        let on = parse_iso(day).expect("a day");
        Step::new(
            on,
            MatterKind::Voucher,
            "V-7",
            kind,
            Money::from_minor(minor),
        )
    }

    #[test]
    fn a_voucher_is_open_until_it_is_used_up() {
        let sold = step("2026-03-01", StepKind::Issued, 5_000);
        let mut used = step("2026-04-01", StepKind::Used, 3_000);
        used.key = "v-7 ".to_owned();
        let matters = Matters::of_steps([used.clone(), sold.clone()]);
        let voucher = matters.find(MatterKind::Voucher, "V-7").expect("there");
        assert_eq!(voucher.balance(), Money::from_minor(2_000));
        assert_eq!(voucher.state(), "used in part");
        assert_eq!(voucher.steps[0].kind, StepKind::Issued);
        let rest = step("2026-05-01", StepKind::Used, 2_000);
        let matters = Matters::of_steps([sold.clone(), used.clone(), rest]);
        let voucher = matters.find(MatterKind::Voucher, "v-7").expect("there");
        assert!(!voucher.is_open());
        assert_eq!(voucher.state(), "used up");
        let before = matters.as_of(parse_iso("2026-03-31").expect("a day"));
        let voucher = before.find(MatterKind::Voucher, "V-7").expect("there");
        assert_eq!(voucher.balance(), Money::from_minor(5_000));
        used.is_void = true;
        let matters = Matters::of_steps([sold, used]);
        let voucher = matters.find(MatterKind::Voucher, "V-7").expect("there");
        assert_eq!(voucher.balance(), Money::from_minor(5_000));
    }

    #[test]
    fn pieces_at_a_shop_are_what_was_sent_less_what_went() {
        let five = |kind, many: i64| Step {
            matter: MatterKind::Commission,
            key: "Larkspur Gifts".to_owned(),
            pieces: vec![Pieces {
                item: "NB".to_owned(),
                quantity: Quantity::new(Decimal::from(many)).expect("a quantity"),
            }],
            ..step("2026-03-01", kind, 0)
        };
        let matters = Matters::of_steps([
            five(StepKind::Sent, 10),
            five(StepKind::Sold, 4),
            five(StepKind::Back, 2),
            five(StepKind::Missing, 1),
        ]);
        let shop = matters
            .find(MatterKind::Commission, "larkspur gifts")
            .expect("there");
        assert_eq!(shop.pieces_left()[0].quantity.to_string(), "3");
        assert!(shop.is_open());
    }
}
