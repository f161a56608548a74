//! Swaps: one thing for another, with no money between. A sale and a purchase in one.
//! What each side is worth is the owner's to say.

use super::ask::{day, may, needed};
use super::parts::{pieces_of, recorded, sold_lines};
use super::{Accounts, AskKind, Occasion, Reading, Told};
use crate::ledger::{EntryHeader, EntryKind, Line};
use crate::matters::{MatterKind, Step, StepKind};

pub(super) const CAUTION: &str = "A swap counts as income at the fair value of what you received, also when it is for yourself. Confirm with local \
        rules and a licensed professional.";

pub(super) const ALL: &[&Occasion] = &[&SWAP];

const SWAP: Occasion = Occasion {
    key: "swap",
    sheet: "swaps",
    word: "",
    title: "What did you swap?",
    second: "No money moved and yet two things happened (barter): a sale, and a purchase for the same value.",
    asks: &[
        needed("swap", "A number or name for it", AskKind::Words),
        needed("with", "With whom", AskKind::Words).hint("another maker\u{2019}s business"),
        day(),
        needed("got", "What you got", AskKind::Words),
        needed(
            "got_into",
            "What kind of thing that is",
            AskKind::Account(Accounts::Costs),
        ),
        needed("value", "What it is worth", AskKind::Amount),
        needed("how_known", "How you know", AskKind::Words).hint("its usual price at the fair"),
        may("gave", "What you gave", AskKind::PricedPieces),
        may("gave_words", "Or in words", AskKind::Words),
    ],
    caution: CAUTION,
    tell: swap,
};

fn swap(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("swap", MatterKind::Swap);
    let with = read.words("with");
    let date = read.day("date");
    let got = read.words("got");
    let into = read.account("got_into");
    let value = read.amount("value");
    let how = read.words("how_known");
    let gave = read.priced("gave");
    let (key, with, date, got) = (key?, with?, date?, got?);
    let (into, value, how, gave) = (into?, value?, how?, gave?);
    let words = read.text("gave_words");
    if gave.is_empty() && words.is_empty() {
        read.refuse("gave", "say what you gave");
        return None;
    }
    let mut lines = vec![Line::debit(into, value).memo(&got)];
    lines.extend(sold_lines(read, &gave, value, words)?);
    let header = EntryHeader::new(date, EntryKind::Sale)
        .party(&with)
        .memo(format!("Swapped for {got}; value known by: {how}"))
        .reference(&key);
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(date, MatterKind::Swap, &key, StepKind::Swapped, value);
    step.party.clone_from(&with);
    step.about.clone_from(&got);
    step.pieces = pieces_of(&gave);
    let shown = read.known.show(value);
    let name = read.known.chart.title(into);
    Some(Told::entry(
        recording,
        vec![step],
        format!("A sale of {shown}, and {got} for {shown} on {name}. No money moved."),
    ))
}
