//! The words of the lines to be sorted: the counter, what stands under a line, what is suggested and why.
//! Values in, words out.

use crate::app::screen::ViewContext;
use crate::app::screens::explain::what_was_it;
use crate::dates::show_day;
use crate::reports::{Tray, TrayRow};
use crate::sorting::{BankLine, Suggested, Suggestion};

/// How many are to sort.
pub(super) fn counter(n_lines: usize) -> String {
    match n_lines {
        0 => "Nothing to sort".to_owned(),
        1 => "1 line to sort".to_owned(),
        count => format!("{} lines to sort", grouped(count)),
    }
}

/// The button that accepts what is sure.
pub(super) fn accept_all(n_covered: usize) -> String {
    match n_covered {
        1 => "Accept the one that is sure".to_owned(),
        count => format!("Accept all {} that are sure", grouped(count)),
    }
}

fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut shown = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if idx > 0 && (digits.len() - idx).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    shown
}

/// What the page is about, and how far this sitting came.
pub(super) fn about(n_lines: usize, n_done: usize, n_known: usize, whole: &str) -> String {
    let done = match n_done {
        0 => String::new(),
        1 => " 1 is sorted since you came in.".to_owned(),
        count => format!(" {} are sorted since you came in.", grouped(count)),
    };
    match (n_lines, n_known) {
        (0, 0) => {
            "What your bank and card statements say and the books do not have yet.".to_owned()
        }
        (0, _) => format!("Every line of your statements is dealt with.{done}"),
        _ => format!(
            "On your statements and not in the books yet (unposted bank transactions): {whole}.{done}"
        ),
    }
}

/// From whom or to whom, or the bank's words where they name nobody.
pub(super) fn payee(line: &BankLine) -> String {
    let payee = line.payee();
    if payee.is_empty() {
        line.text.trim().to_owned()
    } else {
        payee.name()
    }
}

/// With whom a form about this line begins.
pub(super) fn party(line: &BankLine, suggestion: Option<&Suggestion>) -> String {
    match suggestion.map(|suggestion| &suggestion.what) {
        Some(Suggested::Treatment(treatment)) if !treatment.party.trim().is_empty() => {
            treatment.party.clone()
        }
        _ => line.payee().name(),
    }
}

/// What is suggested, and why.
pub(super) fn suggestion(
    row: &TrayRow,
    tray: &Tray,
    cx: &ViewContext<'_>,
) -> Option<(String, String)> {
    let suggestion = row.suggestion.as_ref()?;
    let what = match &suggestion.what {
        Suggested::Treatment(treatment) => treatment.sentence(cx.chart),
        Suggested::Entry(number) => match tray.entries.get(number) {
            Some(found) => format!(
                "In the book already: entry {number} of {}, {}",
                show_day(found.date),
                what_was_it(&found.party, &found.memo, found.kind.plain())
            ),
            None => format!("In the book already: entry {number}"),
        },
    };
    Some((what, suggestion.why(&tray.rules, cx.currency)))
}

#[cfg(test)]
mod tests {
    use super::counter;

    #[test]
    fn the_counter_reaches_nothing() {
        assert_eq!(counter(0), "Nothing to sort");
        assert_eq!(counter(1), "1 line to sort");
        assert_eq!(counter(100_000), "100,000 lines to sort");
    }
}
