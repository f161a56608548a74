//! How much to keep back for the owner's own tax: methods, the numbered lines they come to, instalments and dates.
//! An estimate to help save, never "the tax you owe"; rates and dates are files under `assets/rates`.

mod calendar;
mod estimate;
mod holidays;
mod method;
mod percent;

pub use calendar::{Calendar, CalendarError, Due, calendar_names};
pub use estimate::{CAUTION, Estimate, EstimateLine, Figure, Instalment};
pub use method::{Facts, Method, ProfitToDate, SetAsideError, method_named, method_names};
pub use percent::PercentOfProfit;
