//! What an hour of the owner's time left: by month, by product, with its working. A figure to decide by, never posted.

use rust_decimal::Decimal;

use super::hours::hours_words;
use crate::dates::Month;
use crate::money::{Currency, Money};

/// The caution beside what an hour left.
pub const EARNING_CAUTION: &str = "Your own time is never a cost in the books, and this is no wage: it divides what was left \
     by the hours you wrote down. Hours that are not written down make it look better than it was.";

/// What was left, over the time it took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Earning {
    /// What was left: net profit, or what a product kept.
    pub kept: Money,
    /// The time in minutes.
    pub minutes: u32,
}

impl Earning {
    /// What an hour of it left, rounded to whole minor units with halves away from zero; nothing to say without time.
    ///
    /// Ref: by hand, what was left × 60 ÷ minutes.
    #[must_use]
    pub fn each_hour(self) -> Option<Money> {
        if self.minutes == 0 {
            return None;
        }
        let sixty_times = Decimal::from(self.kept.minor()) * Decimal::from(60);
        Some(Money::rounded_minor(
            sixty_times / Decimal::from(self.minutes),
        ))
    }

    /// The working in a line: `net profit 96.00 ÷ 3 h 15 min = 29.54 an hour`.
    #[must_use]
    pub fn working(self, what: &str, currency: &Currency) -> String {
        let kept = currency.show(self.kept);
        match self.each_hour() {
            Some(each) => format!(
                "{what} {kept} \u{f7} {} = {} an hour",
                hours_words(self.minutes),
                currency.show(each)
            ),
            None => format!("{what} {kept}; no hours are written down"),
        }
    }
}

/// A month with its net profit and hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MonthEarning {
    /// The month.
    pub month: Month,
    /// What it left, over its hours.
    pub earning: Earning,
}

/// A product with what it kept and the hours told for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProductEarning {
    /// Its code.
    pub item: String,
    /// Its name.
    pub name: String,
    /// What it kept, over the making hours told for it.
    pub earning: Earning,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 96.00 ÷ 3.25 h = 29.538…; -10.00 ÷ 4 h = -2.50; 0.01 × 60 ÷ 120 = 0.005, rounded away from zero.
    #[test]
    fn an_hour_leaves_what_was_left_over_the_hours() {
        for (kept, minutes, each) in [
            (9_600, 195, Some(2_954)),
            (-1_000, 240, Some(-250)),
            (1, 120, Some(1)),
            (9_600, 0, None),
        ] {
            let earning = Earning {
                kept: Money::from_minor(kept),
                minutes,
            };
            assert_eq!(earning.each_hour(), each.map(Money::from_minor));
        }
        let currency = Currency::from_code("USD").expect("a currency");
        let earning = Earning {
            kept: Money::from_minor(9_600),
            minutes: 195,
        };
        assert_eq!(
            earning.working("net profit", &currency),
            "net profit 96.00 \u{f7} 3 h 15 min = 29.54 an hour"
        );
    }
}
