//! "Can I buy this?": what is free before and after a purchase that is only tried. Nothing is posted.
//! The estimate's own working is passed in.

use chrono::NaiveDate;

use super::FreeToSpend;
use crate::dates::{Month, show_day};
use crate::money::{Currency, Money};

/// What kind of thing is wanted, as far as it matters for the year's profit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Wanted {
    /// Used up or paid for: a cost of the day it is bought.
    #[default]
    Cost,
    /// Lasts this many months and is a cost little by little.
    Equipment {
        /// Its life in months, above nothing.
        months: u32,
    },
    /// Waits in stock and is a cost when it is sold.
    Stock,
}

/// A purchase that is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Buying {
    /// What it costs, tax and delivery with it.
    pub price: Money,
    /// When it would be bought.
    pub on: NaiveDate,
    /// What it is.
    pub wanted: Wanted,
}

/// Why a purchase cannot be tried.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BuyingError {
    /// The price is nothing, below, or too large.
    #[error("the price must be more than nothing and within what a book takes")]
    Price,
    /// It lies in the past.
    #[error("that day is past: say today or a later day")]
    Past,
    /// Equipment that lasts no time at all.
    #[error("equipment lasts from 1 to 1200 months")]
    Life,
}

impl Buying {
    /// Refuses what cannot be tried.
    ///
    /// # Errors
    /// When the price is not above nothing, the day is past, or the life is none.
    pub fn check(&self, today: NaiveDate) -> Result<(), BuyingError> {
        if !self.price.is_positive() || !self.price.is_within_limit() {
            return Err(BuyingError::Price);
        }
        if self.on < today {
            return Err(BuyingError::Past);
        }
        match self.wanted {
            Wanted::Equipment { months } if !(1..=1200).contains(&months) => Err(BuyingError::Life),
            _ => Ok(()),
        }
    }
}

/// How much of a price is a cost by the end of a day: all of it, the months of its life that have begun by then, or
/// nothing while it waits in stock.
#[must_use]
pub fn cost_within(buying: &Buying, through: NaiveDate) -> Money {
    if buying.on > through {
        return Money::ZERO;
    }
    match buying.wanted {
        Wanted::Cost => buying.price,
        Wanted::Stock => Money::ZERO,
        Wanted::Equipment { months } => {
            let begun = Month::of(through).index() - Month::of(buying.on).index() + 1;
            let begun = usize::try_from(begun).unwrap_or(0);
            let life = usize::try_from(months.max(1)).unwrap_or(1);
            let parts = buying.price.allocate(&vec![1; life]);
            parts.into_iter().take(begun).sum()
        }
    }
}

/// What is free before and after a purchase that is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AfterBuying {
    /// What is tried.
    pub buying: Buying,
    /// What is free now.
    pub before: Money,
    /// What would be free then.
    pub after: Money,
    /// How much less is to be set aside because of it; none when no estimate can tell.
    pub less_to_set_aside: Option<Money>,
    /// The last of the days that are looked at.
    pub looked_at_through: NaiveDate,
}

impl AfterBuying {
    /// Works it out.
    #[must_use]
    pub fn new(
        answer: &FreeToSpend,
        buying: Buying,
        less_to_set_aside: Option<Money>,
        looked_at_through: NaiveDate,
    ) -> Self {
        let is_within = buying.on <= looked_at_through;
        let less = less_to_set_aside.filter(|_| is_within);
        let falls_by = if is_within {
            buying.price - less.unwrap_or(Money::ZERO)
        } else {
            Money::ZERO
        };
        Self {
            buying,
            before: answer.free,
            after: answer.free - falls_by,
            less_to_set_aside: less,
            looked_at_through,
        }
    }

    /// Whether the purchase falls after the days that are looked at, so that this answer cannot tell.
    #[must_use]
    pub fn is_too_far(&self) -> bool {
        self.buying.on > self.looked_at_through
    }

    /// The answer in sentences.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let show = |amount: Money| currency.show(amount);
        if self.is_too_far() {
            return format!(
                "{} is after {}, the last day looked at: what will be free by then depends on what comes in. Now {} is free.",
                show_day(self.buying.on),
                show_day(self.looked_at_through),
                show(self.before)
            );
        }
        let mut words = format!(
            "Free to spend is {} now and would be {} after it.",
            show(self.before),
            show(self.after)
        );
        match self.less_to_set_aside {
            Some(less) if less.is_positive() => words.push_str(&format!(
                " Of the {}, {} comes back because less is to be set aside, an estimate only.",
                show(self.buying.price),
                show(less)
            )),
            Some(_) => words.push_str(" What is to be set aside stays the same."),
            None => {}
        }
        if self.after.is_negative() {
            words.push_str(&if self.before.is_negative() {
                format!(
                    " More is promised than is there already, by {}; waiting would be kinder to you.",
                    show(-self.before)
                )
            } else {
                format!(
                    " That is {} more than is free: waiting, asking a shop for its payout or some of your own money \
                     would cover it.",
                    show(-self.after)
                )
            });
        }
        words
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    fn buying(price: i64, on: &str, wanted: Wanted) -> Buying {
        Buying {
            price: Money::from_minor(price),
            on: day(on),
            wanted,
        }
    }

    #[test]
    fn only_what_has_worn_by_then_is_a_cost() {
        let end = day("2026-12-31");
        let press = Wanted::Equipment { months: 36 };
        // By hand: 360.00 over 36 months is 10.00 a month; October to December are three.
        let cost = cost_within(&buying(36_000, "2026-10-20", press), end);
        assert_eq!(cost, Money::from_minor(3_000));
        // By hand: 100.00 over 36 months is 2.7777...: the first 28 months get 2.78, so three are 8.34.
        let cost = cost_within(&buying(10_000, "2026-10-20", press), end);
        assert_eq!(cost, Money::from_minor(834));
        let cost = cost_within(&buying(6_000, "2026-10-20", Wanted::Cost), end);
        assert_eq!(cost, Money::from_minor(6_000));
        let cost = cost_within(&buying(6_000, "2027-01-01", Wanted::Cost), end);
        assert_eq!(cost, Money::ZERO);
        let cost = cost_within(&buying(6_000, "2026-10-20", Wanted::Stock), end);
        assert_eq!(cost, Money::ZERO);
    }

    #[test]
    fn the_answer_is_said_before_and_after() {
        let currency = Currency::from_code("USD").expect("a currency");
        let free = |minor: i64| FreeToSpend {
            lines: Vec::new(),
            free: Money::from_minor(minor),
        };
        let through = day("2026-10-30");
        let wanted = buying(6_000, "2026-10-01", Wanted::Cost);
        // By hand: 100.00 - 60.00 + 15.00 = 55.00.
        let less = Some(Money::from_minor(1_500));
        let answer = AfterBuying::new(&free(10_000), wanted, less, through);
        assert_eq!(answer.after, Money::from_minor(5_500));
        assert_eq!(
            answer.sentence(&currency),
            "Free to spend is 100.00 now and would be 55.00 after it. Of the 60.00, 15.00 comes back because less is to be \
             set aside, an estimate only."
        );
        // By hand: 40.00 - 60.00 = -20.00.
        let answer = AfterBuying::new(&free(4_000), wanted, None, through);
        assert_eq!(answer.after, Money::from_minor(-2_000));
        assert!(
            answer
                .sentence(&currency)
                .contains("That is 20.00 more than is free")
        );
        let late = buying(6_000, "2026-11-01", Wanted::Cost);
        let answer = AfterBuying::new(&free(4_000), late, less, through);
        assert_eq!(
            (answer.after, answer.less_to_set_aside),
            (answer.before, None)
        );
        assert!(
            answer
                .sentence(&currency)
                .starts_with("1 Nov 2026 is after 30 Oct 2026")
        );
    }

    #[test]
    fn what_cannot_be_tried_is_refused() {
        let today = day("2026-10-01");
        let check = |one: Buying| one.check(today);
        assert_eq!(
            check(buying(0, "2026-10-01", Wanted::Cost)),
            Err(BuyingError::Price)
        );
        assert_eq!(
            check(buying(-5, "2026-10-01", Wanted::Cost)),
            Err(BuyingError::Price)
        );
        assert_eq!(
            check(buying(5, "2026-09-30", Wanted::Cost)),
            Err(BuyingError::Past)
        );
        let never = Wanted::Equipment { months: 0 };
        assert_eq!(
            check(buying(5, "2026-10-01", never)),
            Err(BuyingError::Life)
        );
        assert_eq!(check(buying(5, "2026-10-01", Wanted::Stock)), Ok(()));
    }
}
