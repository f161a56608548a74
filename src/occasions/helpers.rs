//! People and firms paid for their help: an illustrator, a photographer, somebody at the stall.
//! What must be reported of it in a year is `reports`', by limits kept as data.

use super::ask::{day, may, needed};
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::happenings::{Happening, Purchase, PurchaseDetails, PurchaseLine};
use crate::ledger::Role;
use crate::matters::{MatterKind, Step, StepKind};

pub(super) const ALL: &[&Occasion] = &[&HELPED];

/// How a helper can have been paid: the word and what is shown.
pub const WAYS: &[(&str, &str)] = &[
    ("bank", "by bank transfer"),
    ("cash", "in cash"),
    ("cheque", "by cheque"),
    ("card", "by card"),
    ("app", "through a payment app"),
];

const HELPED: Occasion = Occasion {
    key: "helper-paid",
    sheet: "helpers",
    word: "",
    title: "Whom did you pay for help?",
    second: "Somebody who works on her own account (independent contractor); an employee is something else.",
    asks: &[
        needed("helper", "Whom", AskKind::Words).hint("person or firm"),
        needed("service", "For what", AskKind::Words)
            .hint("drawings, photographs, a day at the stall"),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("way", "How", AskKind::Choice(WAYS)).start(Start::Words("bank")),
        needed("paid_from", "Paid from", AskKind::Account(Accounts::Pays)).start(Start::Bank),
        may(
            "tax_form",
            "Her tax form",
            AskKind::Choice(&[
                ("no", "I do not have it yet"),
                ("yes", "I have it"),
                ("not-needed", "none is needed"),
            ]),
        )
        .start(Start::Words("no")),
        may("reference", "Number on the paper", AskKind::Words),
    ],
    caution: "Above a yearly limit payments to helpers must be reported, and somebody you direct like an employee may count as \
        one. Confirm with local rules and a licensed professional.",
    tell: helped,
};

fn helped(read: &mut Reading<'_>) -> Option<Told> {
    let helper = read.words("helper");
    let service = read.words("service");
    let amount = read.amount("amount");
    let date = read.day("date");
    let way = read.choice("way");
    let paid_from = read.payment("paid_from");
    let form = read.choice("tax_form");
    let cost = read.role(Role::PaidHelpers)?;
    let (helper, service, amount, date) = (helper?, service?, amount?, date?);
    way?;
    form?;
    let helper = read
        .known
        .matters
        .find(MatterKind::Helper, &helper)
        .map_or(helper, |known| known.key.clone());
    let line = PurchaseLine::new(cost, amount, &service);
    let mut details = PurchaseDetails::new(date, &helper, paid_from?, vec![line]);
    read.text("reference").clone_into(&mut details.reference);
    let chart = read.known.chart;
    let made = Purchase::new(details).and_then(|purchase| purchase.recording(chart));
    let recording = read.take(made)?;
    let mut step = Step::new(date, MatterKind::Helper, &helper, StepKind::Helped, amount);
    step.party.clone_from(&helper);
    step.about = service;
    let shown = read.known.show(amount);
    Some(Told::entry(
        recording,
        vec![step],
        format!("{shown} is a cost, and counts towards what {helper} was paid this year."),
    ))
}
