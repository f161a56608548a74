//! The start-up plan: what is wanted, what it may cost, whether the money lasts, what became of it, and what a
//! first-year rule says of the costs of starting. Pure values; where a plan is kept and shown is not its work.

mod actual;
mod course;
mod first_year;
mod line;

pub use actual::{Bought, LineActual, PlanActual, PlanPurchase, Share, actual};
pub use course::{Lowest, MoneyCourse, PlanMoney, PlanMonth, money_course};
pub use first_year::{
    FIRST_YEAR_CAUTION, FirstYear, FirstYearError, StartUpRule, first_year, rule_files,
};
pub use line::{CostRange, How, Need, Plan, PlanError, PlanKind, PlanLine, read_month, show_month};
