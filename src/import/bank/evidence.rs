//! What the rows of a whole table prove together: the order of days, the decimal mark, the sign of amounts.
//! Only what is impossible decides; what stays open is asked, in `separated`.

use chrono::NaiveDate;

use super::days::Day;
use super::figures::Figure;
use super::words::Side;
use crate::bank::DateOrder;
use crate::money::{Currency, Money};

/// Which orders of days no row has made impossible.
#[derive(Clone, Debug)]
pub(super) struct Dates {
    possible: [bool; 3],
    /// Whether two orders gave different days somewhere: ymd and dmy, ymd and mdy, dmy and mdy.
    differ: [bool; 3],
    /// Earliest and latest day under each order.
    ends: [Option<(NaiveDate, NaiveDate)>; 3],
    /// Cells that more than one order reads, each differently.
    pub(super) examples: Vec<String>,
}

impl Dates {
    pub(super) fn new(only: Option<DateOrder>) -> Self {
        Self {
            possible: DateOrder::ALL.map(|order| only.is_none_or(|only| only == order)),
            differ: [false; 3],
            ends: [None; 3],
            examples: Vec::new(),
        }
    }

    /// Takes a day in; false when no order that is left can read it.
    pub(super) fn add(&mut self, cell: &str, day: Day) -> bool {
        let days = DateOrder::ALL.map(|order| day.under(order));
        let mut left = self.possible;
        for (is_left, day) in left.iter_mut().zip(days) {
            *is_left &= day.is_some();
        }
        if left == [false; 3] {
            return false;
        }
        self.possible = left;
        for (ends, day) in self.ends.iter_mut().zip(days) {
            if let Some(day) = day {
                *ends =
                    Some(ends.map_or((day, day), |(first, last)| (first.min(day), last.max(day))));
            }
        }
        let mut is_open = false;
        for (differ, (one, two)) in self.differ.iter_mut().zip([(0, 1), (0, 2), (1, 2)]) {
            if let (Some(one), Some(two)) = (days[one], days[two])
                && one != two
            {
                *differ = true;
                is_open = true;
            }
        }
        if is_open && self.examples.len() < 3 && !self.examples.iter().any(|known| known == cell) {
            self.examples.push(cell.trim().to_owned());
        }
        true
    }

    /// Leaves out orders that put a line after `last`, unless that leaves none.
    pub(super) fn not_after(&mut self, last: NaiveDate) {
        let mut left = self.possible;
        for (is_left, ends) in left.iter_mut().zip(self.ends) {
            *is_left &= ends.is_none_or(|(_first, latest)| latest <= last);
        }
        if left != [false; 3] {
            self.possible = left;
        }
    }

    /// The orders that are left and not the same for every row.
    pub(super) fn left(&self) -> Vec<DateOrder> {
        let mut left: Vec<DateOrder> = Vec::new();
        for order in [DateOrder::Dmy, DateOrder::Mdy, DateOrder::Ymd] {
            let is_new = !left.iter().any(|other| !self.is_different(*other, order));
            if self.possible[order as usize] && is_new {
                left.push(order);
            }
        }
        left
    }

    fn is_different(&self, one: DateOrder, two: DateOrder) -> bool {
        match (one.min(two), one.max(two)) {
            (DateOrder::Ymd, DateOrder::Dmy) => self.differ[0],
            (DateOrder::Ymd, DateOrder::Mdy) => self.differ[1],
            (DateOrder::Dmy, DateOrder::Mdy) => self.differ[2],
            _ => false,
        }
    }

    /// The earliest and latest day under an order.
    pub(super) const fn ends(&self, order: DateOrder) -> Option<(NaiveDate, NaiveDate)> {
        self.ends[order as usize]
    }
}

/// The two marks that part whole units from the rest.
pub(super) const MARKS: [char; 2] = ['.', ','];

/// Which decimal marks no amount has made impossible.
#[derive(Clone, Debug)]
pub(super) struct Decimals {
    possible: [bool; 2],
    pub(super) is_different: bool,
    pub(super) examples: Vec<String>,
}

impl Decimals {
    pub(super) fn new(only: Option<char>) -> Self {
        Self {
            possible: MARKS.map(|mark| only.is_none_or(|only| only == mark)),
            is_different: false,
            examples: Vec::new(),
        }
    }

    /// Takes an amount in: its value under either mark.
    ///
    /// # Errors
    /// Why no mark that is left can read it, in words.
    pub(super) fn add(
        &mut self,
        cell: &str,
        figure: &Figure<'_>,
        currency: &Currency,
    ) -> Result<[Option<Money>; 2], String> {
        // A mark that is impossible already is not tried again.
        let mut values = [None; 2];
        for (idx, mark) in MARKS.into_iter().enumerate() {
            if self.possible[idx] {
                values[idx] = figure.value(mark, currency).ok();
            }
        }
        if values == [None; 2] {
            let read = MARKS.map(|mark| figure.value(mark, currency));
            let why = read
                .iter()
                .zip(self.possible)
                .filter_map(|(read, was_possible)| match read {
                    Err(error) if was_possible => Some(error),
                    _ => None,
                })
                .max_by_key(|error| !matches!(error, crate::money::AmountError::NotANumber(_)));
            let shown = super::fault::shown(cell);
            return Err(match why {
                Some(crate::money::AmountError::TooManyDecimals { allowed, .. }) => format!(
                    "'{shown}' has more than the {allowed} decimals that {} has",
                    currency.code()
                ),
                Some(crate::money::AmountError::TooLarge(_)) => {
                    format!("'{shown}' is too large an amount")
                }
                _ if read.iter().any(Result::is_ok) => {
                    format!("'{shown}' has another decimal mark than the amounts above it")
                }
                _ => format!("'{shown}' is not an amount"),
            });
        }
        self.possible = values.map(|value| value.is_some());
        if values[0].is_some() && values[1].is_some() && values[0] != values[1] {
            self.is_different = true;
            if self.examples.len() < 3 {
                self.examples.push(cell.trim().to_owned());
            }
        }
        Ok(values)
    }

    /// The marks that are left and not the same for every amount.
    pub(super) fn left(&self) -> Vec<char> {
        let left: Vec<char> = MARKS
            .into_iter()
            .zip(self.possible)
            .filter_map(|(mark, is_possible)| is_possible.then_some(mark))
            .collect();
        if self.is_different {
            left
        } else {
            left.into_iter().take(1).collect()
        }
    }
}

/// How balances follow from amounts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Follows {
    /// Whether the oldest line stands first.
    pub(super) is_oldest_first: bool,
    /// Whether a positive amount raises the balance.
    pub(super) is_same_sign: bool,
}

const WAYS: [Follows; 4] = [
    Follows {
        is_oldest_first: true,
        is_same_sign: true,
    },
    Follows {
        is_oldest_first: false,
        is_same_sign: true,
    },
    Follows {
        is_oldest_first: true,
        is_same_sign: false,
    },
    Follows {
        is_oldest_first: false,
        is_same_sign: false,
    },
];

/// Amounts held against a running balance, in every way the one can follow from the other.
#[derive(Clone, Debug, Default)]
pub(super) struct Running {
    /// Balance and amount of the first row that has a balance, and what had been moved before it.
    first: Option<(Money, Money, Money)>,
    last: Option<Money>,
    /// Moved since the last balance, the row with the balance left out and taken in.
    since: Money,
    since_with: Money,
    steps: u64,
    misses: [u64; 4],
    missed: [Option<(u64, Money, Money)>; 4],
}

impl Running {
    pub(super) fn add(&mut self, amount: Money, balance: Option<Money>, row: u64) {
        let Some(balance) = balance else {
            self.since += amount;
            self.since_with += amount;
            return;
        };
        if let Some(last) = self.last {
            self.steps += 1;
            for (idx, way) in WAYS.into_iter().enumerate() {
                let moved = if way.is_oldest_first {
                    self.since + amount
                } else {
                    self.since_with
                };
                let moved = if way.is_same_sign { moved } else { -moved };
                let expected = if way.is_oldest_first {
                    last + moved
                } else {
                    last - moved
                };
                if expected != balance {
                    self.misses[idx] += 1;
                    self.missed[idx].get_or_insert((row, expected, balance));
                }
            }
        } else {
            self.first = Some((balance, amount, self.since));
        }
        self.last = Some(balance);
        self.since = Money::ZERO;
        self.since_with = amount;
    }

    /// How balances follow from amounts, when every row agrees with one way and with no way that differs in the sign.
    pub(super) fn proven(&self) -> Option<Follows> {
        let mut fitting = WAYS
            .into_iter()
            .zip(self.misses)
            .filter_map(|(way, misses)| (misses == 0).then_some(way));
        let first = fitting.next().filter(|_| self.steps > 0)?;
        fitting
            .all(|other| other.is_same_sign == first.is_same_sign)
            .then_some(first)
    }

    /// Whether it is certain in which direction the file runs.
    fn direction(&self) -> Option<Follows> {
        let fitting: Vec<Follows> = WAYS
            .into_iter()
            .zip(self.misses)
            .filter_map(|(way, misses)| (misses == 0).then_some(way))
            .collect();
        match fitting.as_slice() {
            [only] if self.steps > 0 => Some(*only),
            _ => None,
        }
    }

    /// The balances before and after the lines, in the order of days, when every row proves them.
    pub(super) fn ends(&self) -> Option<(Money, Money)> {
        let (first, amount, before) = self.first?;
        let last = self.last?;
        let way = self.direction()?;
        let signed = |moved: Money| if way.is_same_sign { moved } else { -moved };
        Some(if way.is_oldest_first {
            (first - signed(before + amount), last + signed(self.since))
        } else {
            (last - signed(self.since_with), first + signed(before))
        })
    }

    /// The first row whose balance does not follow, in the way that fits best: row, what it should be, what it is.
    pub(super) fn first_miss(&self) -> Option<(u64, Money, Money)> {
        let (idx, misses) = self
            .misses
            .iter()
            .enumerate()
            .min_by_key(|(_idx, misses)| **misses)?;
        (*misses > 0).then(|| self.missed[idx]).flatten()
    }
}

/// How often lines stand on a side, as their signs and their words have it.
#[derive(Clone, Debug, Default)]
pub(super) struct Signs {
    pub(super) positive: u64,
    pub(super) negative: u64,
    /// Lines whose words say the side that a positive amount as written says, and those whose words say the other.
    pub(super) words_agree: u64,
    pub(super) words_disagree: u64,
    pub(super) positive_debits: u64,
    pub(super) negative_debits: u64,
    pub(super) positive_balances: u64,
    pub(super) negative_balances: u64,
    /// Marks beside amounts: out, in, none; and how the sign as written stands to them.
    pub(super) marked_out: u64,
    pub(super) marked_in: u64,
    pub(super) unmarked: u64,
    pub(super) sign_repeats_mark: u64,
    pub(super) sign_against_mark: u64,
    pub(super) examples: Vec<String>,
}

impl Signs {
    /// Takes a line in: whether it is negative as written, the side its mark gives and that its words give.
    pub(super) fn add(
        &mut self,
        amount: Money,
        mark: Option<Side>,
        said: Option<Side>,
        example: &dyn Fn() -> String,
    ) {
        if amount.is_zero() {
            return;
        }
        if amount.is_negative() {
            self.negative += 1;
        } else {
            self.positive += 1;
        }
        match mark {
            Some(Side::Out) => self.marked_out += 1,
            Some(Side::Into) => self.marked_in += 1,
            None => self.unmarked += 1,
        }
        if let Some(mark) = mark {
            if (mark == Side::Out) == amount.is_negative() {
                self.sign_repeats_mark += 1;
            } else {
                self.sign_against_mark += 1;
            }
        }
        match said {
            Some(side) if (side == Side::Into) == amount.is_positive() => self.words_agree += 1,
            Some(_) => self.words_disagree += 1,
            None => {}
        }
        let is_telling = self.examples.len() < 2 || said.is_some();
        if is_telling && self.examples.len() < 3 {
            self.examples.push(example());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn running(rows: &[(i64, Option<i64>)]) -> Running {
        let mut running = Running::default();
        for (idx, (amount, balance)) in rows.iter().enumerate() {
            running.add(
                Money::from_minor(*amount),
                balance.map(Money::from_minor),
                idx as u64 + 1,
            );
        }
        running
    }

    fn ends(rows: &[(i64, Option<i64>)]) -> Option<(i64, i64)> {
        running(rows)
            .ends()
            .map(|(opening, closing)| (opening.minor(), closing.minor()))
    }

    /// By hand: 100 at first; −20, +5, −30 leave 80, 85, 55.
    #[test]
    fn balances_prove_sign_and_direction() {
        let oldest = [(-20, Some(80)), (5, Some(85)), (-30, Some(55))];
        assert_eq!(ends(&oldest), Some((100, 55)));
        let newest = [(-30, Some(55)), (5, Some(85)), (-20, Some(80))];
        assert_eq!(ends(&newest), Some((100, 55)));
        let reversed = [(20, Some(80)), (-5, Some(85)), (30, Some(55))];
        assert_eq!(
            running(&reversed).proven().map(|way| way.is_same_sign),
            Some(false)
        );
        assert_eq!(ends(&reversed), Some((100, 55)));
        let gaps = [(-20, None), (5, Some(85)), (-30, Some(55)), (10, None)];
        assert_eq!(ends(&gaps), Some((100, 65)));
        let wrong = [(-20, Some(80)), (5, Some(85)), (-30, Some(54))];
        assert_eq!(running(&wrong).proven(), None);
        assert_eq!(
            running(&wrong).first_miss(),
            Some((3, Money::from_minor(55), Money::from_minor(54)))
        );
        assert_eq!(running(&[(-20, Some(80))]).proven(), None);
    }
}
