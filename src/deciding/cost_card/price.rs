//! The other way round: which price reaches what is wanted, and how many pieces cover what is fixed.
//! Fees in per cent make the price circular and cents make it jumpy, so the smallest price is searched cent by cent in
//! the short stretch where a straight line says it must lie.
//! Ref: break-even and target profit after OpenStax, Principles of Accounting, Volume 2, section 3.2.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::super::make_or_buy::exact;
use super::super::{DecidingError, Figure, OwnTime, Worksheet};
use super::card::CostCard;
use super::fees::{SalesTax, without_tax};
use super::terms::CostBasis;
use crate::money::{Money, Percent};

/// What a price is to reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// At least this share of the price kept; own time paid first where it is counted.
    Margin {
        /// The share.
        percent: Percent,
        /// Whether it is what is left after own time.
        time: OwnTime,
    },
    /// At least this much for each hour of own work.
    AnHour(Money),
    /// At least this much kept of an order, before own time.
    Kept(Money),
}

/// How many pieces cover what is fixed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BreakEven {
    /// Whole pieces.
    pub pieces: u64,
    /// What they are sold for.
    pub sales: Money,
    /// What is then earned beyond what is fixed: what is wanted, or a little more.
    pub earned: Money,
    /// The numbered lines.
    pub sheet: Worksheet,
}

impl CostCard {
    /// The smallest price of a piece that reaches what is wanted, to the minor unit.
    ///
    /// # Errors
    /// When fees, tax and the wanted share leave less than a thousandth of each further cent, when the price would be
    /// beyond what a book takes, or when an hour is asked for and own minutes are not known.
    pub fn price_for(&self, wanted: Wanted, basis: CostBasis) -> Result<Money, DecidingError> {
        self.check_wanted(wanted)?;
        let cost = self.cost(basis);
        let least = Money::from_minor(1);
        if self.short_by(wanted, least, cost) <= Decimal::ZERO {
            return Ok(least);
        }
        let slope = self.slope(wanted);
        if slope < Decimal::new(1, 3) {
            return Err(DecidingError::NoPriceReaches);
        }
        let short = self.short_by(wanted, Money::ZERO, cost);
        let fees = self
            .terms
            .channel
            .given()
            .map_or(0, |channel| channel.fees.len());
        // Every rounding moves what is kept by half a cent at most, at nothing and at the price; tax may move fees.
        let jumps = Decimal::from(4 + 2 * fees);
        let start = ((short - jumps) / slope).floor().max(Decimal::ONE);
        let end = (short + jumps) / slope + Decimal::ONE;
        if end > Decimal::from(Money::LIMIT) {
            return Err(DecidingError::NoPriceReaches);
        }
        let (Some(start), Some(end)) = (start.to_i64(), end.to_i64()) else {
            return Err(DecidingError::NoPriceReaches);
        };
        (start..=end.max(1))
            .map(Money::from_minor)
            .find(|price| self.short_by(wanted, *price, cost) <= Decimal::ZERO)
            .ok_or(DecidingError::NoPriceReaches)
    }

    fn check_wanted(&self, wanted: Wanted) -> Result<(), DecidingError> {
        match wanted {
            Wanted::Margin { .. } => Ok(()),
            Wanted::Kept(amount) => exact::amount("what is to be kept", amount),
            Wanted::AnHour(amount) => {
                exact::amount("what an hour is to earn", amount)?;
                if self.minutes().is_zero() {
                    return Err(DecidingError::NoMinutes);
                }
                Ok(())
            }
        }
    }

    /// By how many cents an order at this price falls short of what is wanted; nothing or below when it reaches it.
    fn short_by(&self, wanted: Wanted, price: Money, cost: Money) -> Decimal {
        let kept = self.kept(price, cost);
        let needed = match wanted {
            Wanted::Kept(amount) => Decimal::from(amount.minor()),
            Wanted::AnHour(amount) => {
                Decimal::from(amount.minor()) * self.minutes() / Decimal::from(60)
            }
            Wanted::Margin { percent, time } => {
                let till = self.till(price);
                let income = without_tax(till.tax, till.price);
                let own = match time {
                    OwnTime::Counted => self.own_time(),
                    OwnTime::LeftOut => Money::ZERO,
                };
                Decimal::from(income.minor()) * percent.fraction() + Decimal::from(own.minor())
            }
        };
        needed - Decimal::from(kept.minor())
    }

    /// How much of one more cent of price brings what is wanted nearer, over the whole order.
    fn slope(&self, wanted: Wanted) -> Decimal {
        let tax = self.till(Money::ZERO).tax;
        let hers = match tax {
            SalesTax::Included(rate) => Decimal::ONE / (Decimal::ONE + rate.fraction()),
            SalesTax::None | SalesTax::OnTop(_) => Decimal::ONE,
        };
        let fees = self.terms.channel.given().map(|channel| &channel.fees);
        let fees: Decimal = fees.into_iter().flatten().map(|fee| fee.slope(tax)).sum();
        let share = match wanted {
            Wanted::Margin { percent, .. } => percent.fraction(),
            Wanted::AnHour(_) | Wanted::Kept(_) => Decimal::ZERO,
        };
        (hers * (Decimal::ONE - share) - fees) * Decimal::from(self.terms.pieces_in_order)
    }

    /// How many pieces at this price cover `fixed`, and `wanted` beyond it; `None` when nothing is kept of a piece.
    /// Costs that come once are best left out of the piece when they are among what is fixed.
    ///
    /// # Errors
    /// When an amount is below nothing or beyond what a book takes.
    pub fn pieces_to_cover(
        &self,
        fixed: Money,
        wanted: Money,
        price: Money,
        basis: CostBasis,
        time: OwnTime,
    ) -> Result<Option<BreakEven>, DecidingError> {
        exact::amount("what is fixed", fixed)?;
        exact::amount("what is wanted beyond it", wanted)?;
        let figures = self.at(price, basis)?;
        let kept = match time {
            OwnTime::Counted => figures.left_after_own_time,
            OwnTime::LeftOut => figures.kept,
        };
        if !kept.is_positive() {
            return Ok(None);
        }
        let in_order = i128::from(figures.pieces);
        let needed = i128::from((fixed + wanted).minor());
        let pieces = exact::divide_up(needed * in_order, i128::from(kept.minor()));
        let pieces = u64::try_from(pieces).unwrap_or(u64::MAX);
        let in_all = Decimal::from(pieces) / Decimal::from(figures.pieces);
        let sales = price.times(Decimal::from(pieces));
        let earned = kept.times(in_all) - fixed;
        let mut sheet = Worksheet::default();
        let money = Figure::Money;
        let fixed_no = sheet.add("fixed", "Fixed costs", "whatever is sold", money(fixed));
        let wanted_no = sheet.add("wanted", "Wanted beyond them", "your choice", money(wanted));
        let words = match (time, figures.pieces) {
            (OwnTime::LeftOut, 1) => "of each piece, before paying yourself".to_owned(),
            (OwnTime::Counted, 1) => "of each piece, after paying yourself".to_owned(),
            (OwnTime::LeftOut, n) => format!("of {n} pieces, before paying yourself"),
            (OwnTime::Counted, n) => format!("of {n} pieces, after paying yourself"),
        };
        let kept_no = sheet.add("kept", "Kept", words, money(kept));
        let mut words = format!("({fixed_no} + {wanted_no}) ÷ {kept_no}");
        if figures.pieces > 1 {
            words = format!("{words} × {}", figures.pieces);
        }
        let words = format!("{words}, whole pieces");
        let pieces_no = sheet.add("pieces", "Pieces to sell", words, Figure::Pieces(pieces));
        let words = format!("{pieces_no} × {}", self.currency.show(price));
        sheet.add("sales", "Sold for", words, money(sales));
        Ok(Some(BreakEven {
            pieces,
            sales,
            earned,
            sheet,
        }))
    }
}
