//! Parcels that were lost or damaged: a piece sent again, and what is asked of a carrier or an insurer for it.
//! Money given back to the customer is `happenings::customer_refund`.

use super::ask::{day, may, needed, note};
use super::parts::{in_words, movement, recorded};
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{MatterKind, Step, StepKind};
use crate::money::Money;
use crate::stock::MovementKind;

pub(super) const ALL: &[&Occasion] = &[&REPLACED, &CLAIMED, &CLAIM_PAID, &CLAIM_REFUSED];

const REPLACED: Occasion = Occasion {
    key: "replacement",
    sheet: "claims",
    word: "replaced",
    title: "For which order did you send a piece again?",
    second: "No second sale: the piece at cost and its label are a cost of their own (replacements and lost parcels).",
    asks: &[
        needed("order", "Your number of the order", AskKind::Words),
        needed(
            "why",
            "What had happened",
            AskKind::Choice(&[
                ("lost", "the parcel was lost"),
                ("damaged", "it arrived damaged"),
                ("wrong", "something was wrong with it"),
            ]),
        )
        .start(Start::Words("lost")),
        day(),
        may("pieces", "What you sent again", AskKind::Pieces),
        may("label", "Label and packing", AskKind::Amount),
        may("paid_from", "Paid from", AskKind::Account(Accounts::Pays)).start(Start::Bank),
        note(),
    ],
    caution: "",
    tell: replaced,
};

fn replaced(read: &mut Reading<'_>) -> Option<Told> {
    let order = read.words("order");
    let why = read.choice("why");
    let date = read.day("date");
    let pieces = read.pieces("pieces");
    let label = read.amount_or_none("label");
    let paid_from = read.paid_from("paid_from");
    let cost = read.role(Role::Replacements)?;
    let (order, why, date, pieces, label) = (order?, why?, date?, pieces?, label?);
    if pieces.is_empty() && label.is_zero() {
        read.refuse("pieces", "say what you sent again, or what the label cost");
        return None;
    }
    let mut lines = Vec::new();
    if label.is_positive() {
        let Some(from) = paid_from else {
            read.refuse("paid_from", "say what the label was paid from");
            return None;
        };
        lines.push(Line::debit(cost, label).memo("label of a replacement"));
        lines.push(Line::credit(from, label));
    }
    let words = in_words(&pieces);
    let header = EntryHeader::new(date, EntryKind::StockOut)
        .memo(format!("Sent again for order {order} ({why}): {words}"))
        .reference(&order);
    let movements: Vec<_> = pieces
        .iter()
        .map(|one| movement(date, one, MovementKind::Replace, ""))
        .collect();
    let mut step = Step::new(
        date,
        MatterKind::Replacement,
        &order,
        StepKind::Replaced,
        label,
    );
    step.pieces = pieces;
    step.about = read.text("note").to_owned();
    let label = read.known.show(label);
    let words = if words.is_empty() {
        format!("The label of {label} is a cost of replacements; the sale stays as it was.")
    } else {
        format!(
            "{words} leave the stock at what they cost and, with a label of {label}, are a cost of replacements. The \
             sale stays as it was, and there is no second one."
        )
    };
    Some(Told::stock(header, lines, movements, vec![step], words))
}

const CLAIMED: Occasion = Occasion {
    key: "claim-made",
    sheet: "claims",
    word: "made",
    title: "What did you claim from a carrier or insurer?",
    second: "Asking posts nothing; what is paid for it becomes income then (claim).",
    asks: &[
        needed("claim", "Number of the claim", AskKind::Words),
        needed("against", "From whom", AskKind::Words).hint("the carrier, the insurer"),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("about", "What for", AskKind::Words).hint("a lost parcel, rain on a box"),
        may("order", "Your number of the order", AskKind::Words).hint("if there was one"),
        may("answer_by", "Look again on", AskKind::Day),
    ],
    caution: "",
    tell: claimed,
};

fn claimed(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("claim", MatterKind::Claim);
    let against = read.words("against");
    let amount = read.amount("amount");
    let date = read.any_day("date");
    let about = read.words("about");
    let look_again = read.any_day("answer_by");
    let (key, against, amount, date, about) = (key?, against?, amount?, date?, about?);
    let mut step = Step::new(date, MatterKind::Claim, &key, StepKind::Claimed, amount);
    step.party.clone_from(&against);
    step.about = about;
    step.due = look_again;
    let amount = read.known.show(amount);
    Some(Told::steps(
        vec![step],
        format!("{amount} is asked of {against}. Nothing is posted until it is paid."),
    ))
}

const CLAIM_PAID: Occasion = Occasion {
    key: "claim-paid",
    sheet: "claims",
    word: "paid",
    title: "Which claim was paid?",
    second: "It is income of its own, never a sale (claims and insurance received).",
    asks: &[
        needed(
            "claim",
            "Number of the claim",
            AskKind::Matter(MatterKind::Claim),
        ),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("paid_into", "Paid into", AskKind::Account(Accounts::Takes)).start(Start::Bank),
        may("closes", "Nothing more will come", AskKind::YesNo).start(Start::Words("yes")),
        note(),
    ],
    caution: "",
    tell: claim_paid,
};

fn claim_paid(read: &mut Reading<'_>) -> Option<Told> {
    let claim = read.matter("claim", MatterKind::Claim);
    let amount = read.amount("amount");
    let date = read.day("date");
    let into = read.account("paid_into");
    let closes = read.yes("closes");
    let income = read.role(Role::ClaimsReceived)?;
    let claim = claim?;
    let date = read.not_before("date", date?, claim.began_on());
    let words = format!("this is more than is left of claim {}", claim.key);
    let amount = read.at_most("amount", amount?, claim.balance(), &words);
    let (amount, date, into, closes) = (amount?, date?, into?, closes?);
    let header = EntryHeader::new(date, EntryKind::Claim)
        .party(claim.party())
        .memo(format!("Claim {} paid: {}", claim.key, claim.about()))
        .reference(&claim.key);
    let lines = vec![Line::debit(into, amount), Line::credit(income, amount)];
    let recording = recorded(read, header, lines)?;
    let mut steps = vec![Step::new(
        date,
        MatterKind::Claim,
        &claim.key,
        StepKind::Paid,
        amount,
    )];
    let rest = claim.balance() - amount;
    if closes && rest.is_positive() {
        steps.push(Step::new(
            date,
            MatterKind::Claim,
            &claim.key,
            StepKind::Refused,
            rest,
        ));
    }
    let (amount, rest) = (read.known.show(amount), read.known.show(rest));
    let words = if closes {
        format!(
            "{amount} is other income. Nothing more is expected of claim {}.",
            claim.key
        )
    } else {
        format!("{amount} is other income; {rest} is still asked for.")
    };
    Some(Told::entry(recording, steps, words))
}

const CLAIM_REFUSED: Occasion = Occasion {
    key: "claim-refused",
    sheet: "claims",
    word: "refused",
    title: "Which claim was refused?",
    second: "Nothing comes and nothing is posted; what was lost is a cost already.",
    asks: &[
        needed(
            "claim",
            "Number of the claim",
            AskKind::Matter(MatterKind::Claim),
        ),
        day(),
        note(),
    ],
    caution: "",
    tell: claim_refused,
};

fn claim_refused(read: &mut Reading<'_>) -> Option<Told> {
    let claim = read.matter("claim", MatterKind::Claim);
    let date = read.any_day("date");
    let claim = claim?;
    let date = read.not_before("date", date?, claim.began_on())?;
    let left = claim.balance();
    if left <= Money::ZERO {
        read.refuse("claim", format!("nothing is left of claim {}", claim.key));
        return None;
    }
    let mut step = Step::new(date, MatterKind::Claim, &claim.key, StepKind::Refused, left);
    step.about = read.text("note").to_owned();
    Some(Told::steps(
        vec![step],
        "Nothing is posted: what was lost is a cost already.",
    ))
}
