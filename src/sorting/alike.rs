//! Lines that are most likely one thing: the same payee, the same way, so that one decision sorts them all.
//! What the decision is belongs to the owner; a line that may be in an entry already stands by itself.

use std::collections::BTreeMap;

use super::{BankLine, Direction, Payee, Suggested, Suggestion, Treatment};
use crate::money::Money;

/// Lines that are alike, oldest first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alike {
    /// From whom or to whom, as far as the bank's words tell.
    pub payee: Payee,
    /// Which way the money went: in or out.
    pub direction: Direction,
    /// The lines.
    pub lines: Vec<BankLine>,
    /// What is suggested for most of them; nothing where there is nothing to go by.
    pub suggestion: Option<Suggestion>,
}

impl Alike {
    /// The amounts together, without their sign.
    #[must_use]
    pub fn total(&self) -> Money {
        self.lines.iter().map(|line| line.amount.abs()).sum()
    }

    /// The payee as a person would write it; the bank's own words where they name nobody.
    #[must_use]
    pub fn name(&self) -> String {
        if !self.payee.is_empty() {
            return self.payee.name();
        }
        let first = self.lines.first();
        first.map_or_else(String::new, |line| line.text.trim().to_owned())
    }

    /// The treatment that is suggested, when it is none for a single line.
    #[must_use]
    pub fn treatment(&self) -> Option<&Treatment> {
        match &self.suggestion.as_ref()?.what {
            Suggested::Treatment(treatment) => Some(treatment),
            Suggested::Entry(_) => None,
        }
    }
}

/// A line with what is suggested for it.
pub type LineAsked<'l> = (&'l BankLine, Option<&'l Suggestion>);

/// Puts lines together that are alike, the largest sum first. A line that may be in an entry already, or whose words
/// name nobody, stays by itself.
#[must_use]
pub fn alike<'l>(rows: impl IntoIterator<Item = LineAsked<'l>>) -> Vec<Alike> {
    let mut by_payee: BTreeMap<(Direction, String), Vec<LineAsked<'l>>> = BTreeMap::new();
    let mut groups = Vec::new();
    for (line, suggestion) in rows {
        let payee = line.payee();
        let is_in_entry = suggestion.is_some_and(|found| matches!(found.what, Suggested::Entry(_)));
        if is_in_entry || payee.is_empty() {
            groups.push(group(payee, &[(line, suggestion)]));
        } else {
            let key = (Direction::of(line), payee.key().to_owned());
            by_payee.entry(key).or_default().push((line, suggestion));
        }
    }
    // In the order of their words, so that a longer name comes right after the shorter one it begins with.
    let mut begun: Vec<(Payee, Direction, Vec<LineAsked<'l>>)> = Vec::new();
    for ((direction, key), mut rows) in by_payee {
        let payee = Payee::kept(key);
        match begun.last_mut() {
            Some((first, way, known)) if *way == direction && first.is_like(&payee) => {
                known.append(&mut rows);
            }
            _ => begun.push((payee, direction, rows)),
        }
    }
    groups.extend(
        begun
            .into_iter()
            .map(|(payee, _direction, rows)| group(payee, &rows)),
    );
    groups.sort_by_cached_key(|one| {
        let oldest = one.lines.first().map(|line| (line.date, line.id));
        (std::cmp::Reverse(one.total()), oldest)
    });
    groups
}

fn group(payee: Payee, rows: &[LineAsked<'_>]) -> Alike {
    let mut lines: Vec<BankLine> = rows.iter().map(|(line, _)| (*line).clone()).collect();
    lines.sort_by_key(|line| (line.date, line.id));
    let mut counted: Vec<(&Suggestion, usize)> = Vec::new();
    for suggestion in rows.iter().filter_map(|(_, suggestion)| *suggestion) {
        match counted
            .iter_mut()
            .find(|(known, _)| known.what == suggestion.what)
        {
            Some((_known, count)) => *count += 1,
            None => counted.push((suggestion, 1)),
        }
    }
    // The first of equals, so that the answer does not change from one day to the next.
    let most = counted
        .iter()
        .rev()
        .max_by_key(|(_suggestion, count)| *count);
    Alike {
        payee,
        direction: lines.first().map_or(Direction::Either, Direction::of),
        lines,
        suggestion: most.map(|(suggestion, _)| (*suggestion).clone()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::AccountId;
    use crate::sorting::LineId;

    fn line(id: i64, day: u32, minor: i64, text: &str) -> BankLine {
        BankLine {
            id: LineId(id),
            account: AccountId(1),
            date: chrono::NaiveDate::from_ymd_opt(2026, 3, day).expect("a day"),
            amount: Money::from_minor(minor),
            text: text.to_owned(),
            bank_id: None,
            balance: None,
            file: "march.csv".to_owned(),
            row: 1,
        }
    }

    #[test]
    fn one_payee_is_one_decision_and_the_largest_sum_comes_first() {
        let lines = [
            line(1, 2, -1200, "CARD PURCHASE HARROW LANE PAPERS 0042"),
            line(2, 3, -5000, "QUILLFEATHER INKS"),
            line(3, 9, -3000, "Direct debit Harrow Lane Papers REF 99"),
            line(4, 9, 700, "HARROW LANE PAPERS REFUND"),
            line(5, 12, -900, "HARROW LANE PAPERS ELMWICK"),
            line(6, 13, -44, "000123"),
            line(7, 14, -45, "000124"),
        ];
        let groups = alike(lines.iter().map(|line| (line, None)));
        let told: Vec<(String, usize, i64)> = groups
            .iter()
            .map(|one| (one.name(), one.lines.len(), one.total().minor()))
            .collect();
        // By hand: 12.00 + 30.00 + 9.00 to the papers, 50.00 to the inks, the refund apart, what names nobody alone.
        assert_eq!(told[0], ("Harrow Lane Papers".to_owned(), 3, 5100));
        assert_eq!(told[1], ("Quillfeather Inks".to_owned(), 1, 5000));
        assert_eq!(told[2].1, 1);
        assert_eq!(told[2].2, 700);
        assert_eq!(
            told[3..],
            [("000124".to_owned(), 1, 45), ("000123".to_owned(), 1, 44)]
        );
        assert_eq!(groups[0].direction, Direction::Out);
    }
}
