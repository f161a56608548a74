//! Did the machine pay: what the pieces made with it have left since it was bought, against what it cost.
//! Ref: payback after OpenStax, Principles of Accounting, Volume 2, section 11.2; time has no price in it.

use chrono::{Days, NaiveDate};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::make_or_buy::exact;
use super::{DecidingError, Figure, Worksheet};
use crate::dates::show_day;
use crate::money::{Currency, Money};

/// A machine, as far as paying back goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Machine {
    /// Its name.
    pub name: String,
    /// The day it was bought.
    pub bought_on: NaiveDate,
    /// What it cost with tax and delivery, the business's share of it.
    pub cost: Money,
    /// What repairs and upkeep have cost since.
    pub repairs: Money,
}

/// What pieces made with it left on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Earned {
    /// The day of sale.
    pub day: NaiveDate,
    /// How many pieces.
    pub pieces: u64,
    /// What was kept of them before own time and before wear of this machine; below nothing for a loss.
    pub kept: Money,
}

/// From which sales the days ahead are judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// All since it was bought.
    SinceBought,
    /// Those of so many days up to now.
    LastDays(u32),
}

/// Whether a machine has paid, and when it will have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payback {
    /// What it cost, repairs included.
    pub cost: Money,
    /// What its pieces have left since it was bought.
    pub earned: Money,
    /// Pieces sold since.
    pub pieces: u64,
    /// What is still to be earned; nothing when it has paid.
    pub to_go: Money,
    /// The day from which it has stayed paid back; `None` when it has not.
    pub paid_back_on: Option<NaiveDate>,
    /// Pieces still to be sold at what a piece leaves now; `None` when a piece leaves nothing or none was sold.
    pub pieces_to_go: Option<u64>,
    /// The day it will have paid at the present pace; `None` when it does not get there within a hundred years.
    pub expected_on: Option<NaiveDate>,
    /// The numbered lines.
    pub sheet: Worksheet,
}

/// The farthest day that is foretold, in days.
const HUNDRED_YEARS: u64 = 36_525;

impl Payback {
    /// Works out how far a machine has paid, from its sales up to `as_of`. Earlier ones than its purchase do not count.
    ///
    /// # Errors
    /// When cost or repairs are below nothing, or it was bought after `as_of`.
    pub fn of(
        machine: &Machine,
        sales: &[Earned],
        pace: Pace,
        as_of: NaiveDate,
        currency: &Currency,
    ) -> Result<Self, DecidingError> {
        exact::amount("the cost of the machine", machine.cost)?;
        exact::amount("the cost of repairs", machine.repairs)?;
        if machine.bought_on > as_of {
            return Err(DecidingError::NotBoughtYet {
                bought: show_day(machine.bought_on),
                day: show_day(as_of),
            });
        }
        let mut counted: Vec<Earned> = sales
            .iter()
            .copied()
            .filter(|sale| (machine.bought_on..=as_of).contains(&sale.day))
            .collect();
        counted.sort_by_key(|sale| sale.day);
        let cost = machine.cost + machine.repairs;
        let earned: Money = counted.iter().map(|sale| sale.kept).sum();
        let to_go = (cost - earned).max(Money::ZERO);
        let from = match pace {
            Pace::SinceBought => machine.bought_on,
            Pace::LastDays(days) => as_of
                .checked_sub_days(Days::new(u64::from(days.max(1)) - 1))
                .map_or(machine.bought_on, |day| day.max(machine.bought_on)),
        };
        let recent = Recent::of(&counted, from, as_of);
        let mut payback = Self {
            cost,
            earned,
            pieces: counted.iter().map(|sale| sale.pieces).sum(),
            to_go,
            paid_back_on: stayed_paid_from(machine.bought_on, cost, &counted),
            pieces_to_go: recent.pieces_for(to_go),
            expected_on: recent.day_of(to_go, as_of),
            sheet: Worksheet::default(),
        };
        payback.write_lines(machine, &recent, as_of, currency);
        Ok(payback)
    }

    /// Whether it has paid for itself.
    #[must_use]
    pub fn has_paid(&self) -> bool {
        self.to_go.is_zero()
    }

    fn write_lines(
        &mut self,
        machine: &Machine,
        recent: &Recent,
        as_of: NaiveDate,
        currency: &Currency,
    ) {
        let sheet = &mut self.sheet;
        let money = Figure::Money;
        let bought = show_day(machine.bought_on);
        let words = format!("bought on {bought}, with tax and delivery");
        let mut cost_no = sheet.add("price", "The machine", words, money(machine.cost));
        if !machine.repairs.is_zero() {
            let words = "since it was bought";
            let repairs = sheet.add(
                "repairs",
                "Repairs and upkeep",
                words,
                money(machine.repairs),
            );
            let words = format!("{cost_no} + {repairs}");
            cost_no = sheet.add("cost", "Cost so far", words, money(self.cost));
        }
        let words = format!("sold from {bought} to {}", show_day(as_of));
        let pieces = Figure::Pieces(self.pieces);
        let pieces_no = sheet.add("pieces", "Pieces made with it", words, pieces);
        let words = format!("kept of {pieces_no}, before your own time and its wear");
        let earned_no = sheet.add("earned", "What they left", words, money(self.earned));
        let words = format!("{cost_no} \u{2212} {earned_no}, never below nothing");
        let to_go_no = sheet.add("to-go", "Still to be earned", words, money(self.to_go));
        if let (Some(left), false) = (self.pieces_to_go, self.to_go.is_zero()) {
            let words = format!(
                "{to_go_no} ÷ what a piece leaves now: {} of {} pieces",
                currency.show(recent.kept),
                recent.pieces
            );
            sheet.add(
                "pieces-to-go",
                "Pieces still to sell",
                words,
                Figure::Pieces(left),
            );
        }
    }
}

/// The sales from which the days ahead are judged.
struct Recent {
    pieces: u64,
    kept: Money,
    days: u64,
}

impl Recent {
    fn of(sales: &[Earned], from: NaiveDate, to: NaiveDate) -> Self {
        let recent = sales.iter().filter(|sale| sale.day >= from);
        let days = u64::try_from((to - from).num_days()).unwrap_or(0) + 1;
        Self {
            pieces: recent.clone().map(|sale| sale.pieces).sum(),
            kept: recent.map(|sale| sale.kept).sum(),
            days,
        }
    }

    /// `count × to_go ÷ kept`, rounded up.
    fn scaled(&self, count: u64, to_go: Money) -> Option<u64> {
        if !self.kept.is_positive() {
            return to_go.is_zero().then_some(0);
        }
        let value = i128::from(to_go.minor()) * i128::from(count);
        u64::try_from(exact::divide_up(value, i128::from(self.kept.minor()))).ok()
    }

    fn pieces_for(&self, to_go: Money) -> Option<u64> {
        if self.pieces == 0 && !to_go.is_zero() {
            return None;
        }
        self.scaled(self.pieces, to_go)
    }

    fn day_of(&self, to_go: Money, as_of: NaiveDate) -> Option<NaiveDate> {
        if to_go.is_zero() {
            return None;
        }
        let days = self.scaled(self.days, to_go)?;
        (days <= HUNDRED_YEARS)
            .then(|| as_of.checked_add_days(Days::new(days)))
            .flatten()
    }
}

/// The day from which the running sum has stayed at the cost or above.
fn stayed_paid_from(bought_on: NaiveDate, cost: Money, sales: &[Earned]) -> Option<NaiveDate> {
    let mut sum = Money::ZERO;
    let mut since = cost.is_zero().then_some(bought_on);
    // A day counts as a whole: what comes back later on the same day is of that day.
    for day in sales.chunk_by(|a, b| a.day == b.day) {
        sum += day.iter().map(|sale| sale.kept).sum();
        let date = day.first().map(|sale| sale.day);
        since = if sum >= cost { since.or(date) } else { None };
    }
    since
}

/// How many periods it takes until `cost` has come back: `flows` one a period, then `onwards` in each further one. The
/// period in which it happens counts by its part; two decimals. `None` when it never comes back.
///
/// ```
/// use deckle::deciding::payback_periods;
/// use deckle::money::Money;
/// let periods = payback_periods(Money::from_minor(150_00), &[], Money::from_minor(20_00));
/// assert_eq!(periods.expect("comes back").to_string(), "7.5");
/// ```
#[must_use]
pub fn payback_periods(cost: Money, flows: &[Money], onwards: Money) -> Option<Decimal> {
    let part = |left: Money, flow: Money| Decimal::from(left.minor()) / Decimal::from(flow.minor());
    let two_places = |periods: Decimal| {
        periods
            .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
            .normalize()
    };
    let mut left = cost;
    for (period, flow) in flows.iter().enumerate() {
        if !left.is_positive() {
            return Some(two_places(Decimal::from(period)));
        }
        if *flow >= left {
            return Some(two_places(Decimal::from(period) + part(left, *flow)));
        }
        left -= *flow;
    }
    if left.is_positive() && !onwards.is_positive() {
        return None;
    }
    let further = if left.is_positive() {
        part(left, onwards)
    } else {
        Decimal::ZERO
    };
    Some(two_places(Decimal::from(flows.len()) + further))
}

/// Whether a repair costs more than half of a replacement, from where replacing is usually weighed. Common practice.
#[must_use]
pub fn repair_is_dear(repair: Money, replacement: Money) -> bool {
    repair + repair > replacement
}

/// When stock runs out and when to order again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrderBy {
    /// The last day there is stock for.
    pub runs_out_on: NaiveDate,
    /// The last day to order so that the next pieces arrive before; may have passed.
    pub order_by: NaiveDate,
    /// Whether that day has passed.
    pub is_late: bool,
}

/// When to order again: `on_hand` pieces from `today` at `sold_a_month`, so many days from order to arrival, and days to
/// spare. A month is a twelfth of 365 days. `None` when nothing is sold or stock lasts beyond a hundred years.
#[must_use]
pub fn order_by(
    on_hand: u64,
    sold_a_month: Decimal,
    lead_days: u32,
    spare_days: u32,
    today: NaiveDate,
) -> Option<OrderBy> {
    if sold_a_month <= Decimal::ZERO {
        return None;
    }
    let a_year = sold_a_month.checked_mul(Decimal::from(12))?;
    let days = Decimal::from(on_hand)
        .checked_mul(Decimal::from(365))?
        .checked_div(a_year)?
        .floor()
        .to_u64()
        .filter(|days| *days <= HUNDRED_YEARS)?;
    let runs_out_on = today.checked_add_days(Days::new(days))?;
    let before = u64::from(lead_days) + u64::from(spare_days);
    let order_by = runs_out_on.checked_sub_days(Days::new(before))?;
    Some(OrderBy {
        runs_out_on,
        order_by,
        is_late: order_by < today,
    })
}
