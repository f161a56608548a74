//! A loan paid back in equal instalments: what of each is interest and what pays it back.
//! What was really paid is the ledger's; this is the plan beside it.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::dates::add_months;
use crate::money::Money;

/// The terms of a loan with equal instalments at the end of each month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LoanTerms {
    /// What was lent, in minor units.
    pub principal: Money,
    /// Interest a year, in per cent.
    pub yearly_percent: Decimal,
    /// How many monthly instalments.
    pub months: u32,
    /// The day of the first.
    pub first_due: NaiveDate,
}

/// One instalment of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Payment {
    /// Its number, from 1.
    pub no: u32,
    /// When it is due.
    pub due: NaiveDate,
    /// What of it is interest.
    pub interest: Money,
    /// What of it pays the loan back.
    pub principal: Money,
    /// What is owed after it.
    pub left: Money,
}

impl Payment {
    /// The whole instalment.
    #[must_use]
    pub fn amount(&self) -> Money {
        self.interest + self.principal
    }
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ScheduleError {
    /// No principal, no months or more than a lifetime of them, or interest below nothing or beyond all bounds.
    #[error("a plan needs an amount, 1 to 600 months and interest from 0 to 100 per cent a year")]
    Terms,
}

impl LoanTerms {
    /// The instalments. The exact balance runs on unrounded; each part is the difference of rounded sums, so that what
    /// pays the loan back adds up to it to the cent.
    ///
    /// The formula is that of the functions PMT, IPMT and PPMT of the OASIS OpenFormula standard (part 4, section 6.12),
    /// payments at the end of the period and nothing left at the end.
    ///
    /// # Errors
    /// When the terms make no plan.
    pub fn schedule(&self) -> Result<Vec<Payment>, ScheduleError> {
        let percent = self.yearly_percent;
        let is_sound = self.principal.is_positive()
            && (1..=600).contains(&self.months)
            && !percent.is_sign_negative()
            && percent <= Decimal::ONE_HUNDRED;
        if !is_sound {
            return Err(ScheduleError::Terms);
        }
        let rate = percent / Decimal::from(1_200);
        let lent = Decimal::from(self.principal.minor());
        let instalment = if rate.is_zero() {
            lent / Decimal::from(self.months)
        } else {
            let worth_today =
                (0..self.months).fold(Decimal::ONE, |worth, _| worth / (Decimal::ONE + rate));
            lent * rate / (Decimal::ONE - worth_today)
        };
        let (mut left, mut interest_so_far) = (lent, Decimal::ZERO);
        let (mut told_interest, mut told_left) = (Money::ZERO, self.principal);
        let mut payments = Vec::new();
        for no in 1..=self.months {
            let interest = left * rate;
            left = left + interest - instalment;
            interest_so_far += interest;
            let sum = Money::rounded_minor(interest_so_far);
            let now_left = if no == self.months {
                Money::ZERO
            } else {
                Money::rounded_minor(left)
            };
            payments.push(Payment {
                no,
                due: add_months(self.first_due, i32::try_from(no).unwrap_or(0) - 1),
                interest: sum - told_interest,
                principal: told_left - now_left,
                left: now_left,
            });
            (told_interest, told_left) = (sum, now_left);
        }
        Ok(payments)
    }

    /// The interest of a month on what is owed, in minor units: what a repayment is proposed with.
    #[must_use]
    pub fn interest_on(&self, owed: Money) -> Money {
        owed.times(self.yearly_percent / Decimal::from(1_200))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn terms(principal: i64, percent: &str, months: u32) -> LoanTerms {
        LoanTerms {
            principal: Money::from_minor(principal),
            yearly_percent: percent.parse().expect("a number"),
            months,
            first_due: parse_iso("2026-01-31").expect("a day"),
        }
    }

    /// By hand: 1,200 at 12 % a year over 12 months: 1 % a month, instalment
    /// 1200 × 0.01 × 1.01^12 / (1.01^12 − 1) = 106.6185; first interest 12.00.
    #[test]
    fn a_plan_pays_the_whole_back() {
        let plan = terms(120_000, "12", 12).schedule().expect("a plan");
        assert_eq!(plan.len(), 12);
        assert_eq!(plan[0].interest, Money::from_minor(1_200));
        assert_eq!(plan[0].principal, Money::from_minor(9_462));
        let paid: Money = plan.iter().map(|one| one.principal).sum();
        assert_eq!(paid, Money::from_minor(120_000));
        let interest: Money = plan.iter().map(|one| one.interest).sum();
        // 12 × 106.618546 − 1200 = 79.4226.
        assert_eq!(interest, Money::from_minor(7_942));
        assert_eq!(plan[1].due.to_string(), "2026-02-28");
        assert_eq!(plan[11].left, Money::ZERO);
    }

    #[test]
    fn without_interest_the_parts_are_equal_to_a_cent() {
        let plan = terms(10_000, "0", 3).schedule().expect("a plan");
        let parts: Vec<i64> = plan.iter().map(|one| one.principal.minor()).collect();
        assert_eq!(parts, [3_333, 3_334, 3_333]);
        assert!(plan.iter().all(|one| one.interest.is_zero()));
        assert_eq!(terms(0, "5", 3).schedule(), Err(ScheduleError::Terms));
        assert_eq!(terms(100, "-5", 3).schedule(), Err(ScheduleError::Terms));
        assert_eq!(terms(100, "5", 0).schedule(), Err(ScheduleError::Terms));
    }
}
