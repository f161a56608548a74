//! What the signs of a table's amounts and balances mean, as far as its rows prove it.
//! Counting them is `evidence`'s.

use super::evidence::{Running, Signs};
use super::{Asked, Question};
use crate::bank::SignRule;

/// What is known of the signs of a file.
pub(super) struct Decided {
    pub(super) rule: SignRule,
    pub(super) balance_is_owed: bool,
    /// Whether it has to be asked.
    pub(super) is_open: bool,
}

/// Decides what signs mean: by an answer, by marks, by a running balance, by both signs being there and no word
/// disagreeing.
pub(super) fn decide(
    signs: &Signs,
    running: &Running,
    sides_apart: bool,
    fixed: Option<SignRule>,
    is_card: bool,
) -> Decided {
    let owed_by_itself = is_card
        && signs.positive_balances > 0
        && signs.negative_balances <= signs.positive_balances;
    if sides_apart {
        return Decided {
            rule: SignRule::AsWritten,
            balance_is_owed: owed_by_itself,
            is_open: false,
        };
    }
    if let Some(rule) = fixed {
        return Decided {
            rule,
            balance_is_owed: owed(running, rule).unwrap_or(owed_by_itself),
            is_open: false,
        };
    }
    if let Some(rule) = by_marks(signs) {
        return Decided {
            rule,
            balance_is_owed: owed_by_itself,
            is_open: false,
        };
    }
    let (rule, is_open) = if is_card {
        on_a_card(signs, running)
    } else {
        at_a_bank(signs, running)
    };
    Decided {
        rule,
        balance_is_owed: owed(running, rule).unwrap_or(owed_by_itself),
        is_open,
    }
}

/// Whether balances are written as what is owed, given what amounts mean and how the one follows from the other.
fn owed(running: &Running, rule: SignRule) -> Option<bool> {
    let is_as_written = match rule {
        SignRule::AsWritten => true,
        SignRule::ChargesPositive => false,
        _ => return None,
    };
    running
        .proven()
        .map(|follows| follows.is_same_sign != is_as_written)
}

fn by_marks(signs: &Signs) -> Option<SignRule> {
    if signs.marked_out + signs.marked_in == 0 {
        return None;
    }
    Some(match (signs.marked_out, signs.marked_in, signs.unmarked) {
        _ if signs.negative > 0 && signs.sign_against_mark == 0 && signs.unmarked == 0 => {
            SignRule::AsWritten
        }
        (_, _, 0) => SignRule::Marked,
        (0, _, _) => SignRule::CreditsMarked,
        (_, 0, _) => SignRule::DebitsMarked,
        _ => SignRule::Marked,
    })
}

/// On an account of the owner's the balance is hers, so that it proves the sign.
fn at_a_bank(signs: &Signs, running: &Running) -> (SignRule, bool) {
    if let Some(follows) = running.proven() {
        return (rule(follows.is_same_sign), false);
    }
    let is_plain = signs.words_disagree == 0 && (signs.negative > 0 || signs.positive == 0);
    (SignRule::AsWritten, !is_plain)
}

/// On a card a balance may be written as owed; only balances that are all on one side, with no word against it, prove
/// the sign.
fn on_a_card(signs: &Signs, running: &Running) -> (SignRule, bool) {
    if let Some(follows) = running.proven() {
        let is_owed = match (signs.positive_balances, signs.negative_balances) {
            (_, 0) => Some(true),
            (0, _) => Some(false),
            _ => None,
        };
        if let Some(is_owed) = is_owed {
            let is_as_written = follows.is_same_sign != is_owed;
            let against = if is_as_written {
                signs.words_disagree
            } else {
                signs.words_agree
            };
            return (rule(is_as_written), against > 0);
        }
    }
    let is_likely =
        signs.positive == 0 || signs.words_agree > 0 || signs.negative >= signs.positive;
    let is_plain =
        signs.words_disagree == 0 && is_likely && (signs.negative > 0 || signs.positive == 0);
    (SignRule::AsWritten, !is_plain)
}

const fn rule(is_as_written: bool) -> SignRule {
    if is_as_written {
        SignRule::AsWritten
    } else {
        SignRule::ChargesPositive
    }
}

/// What is asked when nothing proves the sign.
pub(super) fn question(signs: &Signs) -> Question {
    let text = if signs.negative == 0 {
        "all amounts are positive, and nothing in the file says whether they came in or went out"
    } else if signs.words_disagree > 0 {
        "the words beside some amounts do not go with their signs"
    } else {
        "nothing in the file says whether a positive amount is a charge or a payment"
    };
    Question {
        asked: Asked::Sign,
        text: text.to_owned(),
        choices: [SignRule::AsWritten, SignRule::ChargesPositive]
            .map(|rule| rule.as_str().to_owned())
            .to_vec(),
        examples: signs.examples.clone(),
    }
}
