//! The writes about statement lines: what a line becomes, rules, what is forgotten.
//! What a line means was decided by a screen.

use super::{Written, name_of, said};
use crate::app::action::{BookJob, SortingWrite, Write};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;
use crate::reports::{self, Accepted};
use crate::sorting::{BankLine, LineId, Suggested, Treatment};

/// Makes one change about statement lines.
pub(super) fn change(book: &mut Book, write: &SortingWrite) -> Result<Written, BookError> {
    let words = match write {
        SortingWrite::Accept(line, suggestion) => {
            let number = reports::accept(book, line, suggestion)?;
            return Ok(match (number, &suggestion.what) {
                (Some(number), Suggested::Treatment(treatment)) => {
                    became(book, line, treatment, number)
                }
                (_, Suggested::Entry(number)) => said(format!(
                    "{} is in the book as entry {number}",
                    book.currency().show(line.amount)
                )),
                (None, Suggested::Treatment(_)) => said("Sorted"),
            });
        }
        SortingWrite::Treat(line, treatment, rule) => {
            let number = book.group(&format!("Sorted: {}", line.text), |book| {
                let number = reports::treat(book, line, treatment)?;
                if let Some(rule) = rule {
                    book.keep_sorting_rule(rule)?;
                }
                Ok::<_, BookError>(number)
            })?;
            let mut written = became(book, line, treatment, number);
            if rule.is_some() {
                written.words.push_str("; lines like it will be, too");
            }
            return Ok(written);
        }
        SortingWrite::TreatAlike {
            lines,
            treatment,
            manner,
        } => {
            let numbers = reports::treat_alike(book, lines, treatment, manner)?;
            let words = match numbers.len() {
                1 => format!("{}: 1 line is sorted", treatment.sentence(book.chart())),
                count => format!(
                    "{}: {count} lines are sorted",
                    treatment.sentence(book.chart())
                ),
            };
            return Ok(Written { numbers, words });
        }
        SortingWrite::Refine(numbers, treatment) => {
            reports::refine(book, numbers, treatment)?;
            format!(
                "{}: said more exactly; the earlier version is kept",
                treatment.sentence(book.chart())
            )
        }
        SortingWrite::Ask(numbers, day) => match reports::ask_about(book, numbers, *day)? {
            0 => "Your accountant was asked already".to_owned(),
            1 => "The question is kept for your accountant".to_owned(),
            count => format!("{count} questions are kept for your accountant"),
        },
        SortingWrite::Remember(numbers, words) => {
            book.group("What is remembered", |book| {
                let each = numbers.iter();
                each.copied()
                    .try_for_each(|number| reports::remember(book, number, words))
            })?;
            "What you remember is kept with it".to_owned()
        }
        SortingWrite::InBook(line, entries) => {
            let learned = match entries.as_slice() {
                [one] => {
                    let of = book.bank_line(*line)?.account;
                    Treatment::of_entry(&book.entry(*one)?.entry, of, book.chart())
                }
                _ => None,
            };
            book.match_line(*line, entries, learned.as_ref())?;
            let numbers: Vec<String> = entries.iter().map(ToString::to_string).collect();
            format!("It is in the book as entry {}", numbers.join(" and "))
        }
        SortingWrite::LeaveOut(line, why) => {
            book.leave_line_out(*line, why)?;
            "It is left out; the reason is kept".to_owned()
        }
        SortingWrite::SortAgain(line) => {
            book.sort_line_again(*line)?;
            "It is among the lines to sort again".to_owned()
        }
        SortingWrite::AcceptCovered => {
            let done = reports::accept_covered(book, None)?;
            return Ok(accepted(book, &done));
        }
        SortingWrite::KeepRule(rule) => {
            book.keep_sorting_rule(rule)?;
            format!("The rule for {} is kept", rule.sentence(book.currency()))
        }
        SortingWrite::RemoveRule(id) => {
            book.remove_sorting_rule(*id)?;
            "The rule is taken out".to_owned()
        }
        SortingWrite::OrderRules(ids) => {
            book.order_sorting_rules(ids)?;
            "The rules are asked in this order now".to_owned()
        }
        SortingWrite::Forget(payee) => {
            book.forget_choices(payee)?;
            format!("How {} was sorted is forgotten", payee.name())
        }
    };
    Ok(said(words))
}

fn became(book: &Book, line: &BankLine, treatment: &Treatment, number: EntryNumber) -> Written {
    Written {
        numbers: vec![number],
        words: format!(
            "{}, {}, is entry {number}",
            treatment.sentence(book.chart()),
            book.currency().show(line.amount.abs())
        ),
    }
}

/// What is done with a lent book to accept every line that is sure.
pub(in crate::app) fn accept_covered_on_a_thread() -> BookJob {
    BookJob {
        title: "Writing down what is sure".to_owned(),
        work: Box::new(|book, progress| {
            let told = &mut |done, whole| progress.tell(done, whole);
            reports::accept_covered_telling(book, None, told)
                .map(|done| accepted(book, &done).words)
                .map_err(|error| error.to_string())
        }),
    }
}

/// What accepting several did and left, in words.
fn accepted(book: &Book, done: &Accepted) -> Written {
    let lines = |count: usize| match count {
        1 => "1 line".to_owned(),
        count => format!("{count} lines"),
    };
    let mut words = format!(
        "{} written down, {} found in the book",
        lines(done.posted.len()),
        lines(done.n_matched)
    );
    if let Some((line, why)) = done.left.first() {
        let text = book
            .bank_line(*line)
            .map_or_else(|_gone| "a line".to_owned(), |line| line.payee().name());
        words.push_str(&format!(
            "; {} stayed, such as {text}: {why}",
            lines(done.left.len())
        ));
    }
    Written {
        numbers: done.posted.clone(),
        words,
    }
}

/// Writes something down that a statement line becomes: the line belongs to it from then on.
pub(super) fn write_from_line(
    book: &mut Book,
    line: LineId,
    inner: &Write,
) -> Result<Written, BookError> {
    book.group(name_of(inner), |book| {
        let written = super::write(book, inner)?;
        let learned = match written.numbers.as_slice() {
            [one] => {
                let of = book.bank_line(line)?.account;
                Treatment::of_entry(&book.entry(*one)?.entry, of, book.chart())
            }
            _ => None,
        };
        book.line_became(line, &written.numbers, learned.as_ref())?;
        Ok(written)
    })
}
