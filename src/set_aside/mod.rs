//! How much to keep back for the owner's own tax: methods, the numbered lines they come to, instalments and dates.
//! An estimate to help save, never "the tax you owe"; rates and dates are files under `assets/rates`.

mod calendar;
mod estimate;
mod holidays;
mod method;
mod percent;
pub mod rates;
mod sheet;

pub use calendar::{Calendar, CalendarError, Due, calendar_names};
pub use estimate::{CAUTION, Columns, Estimate, EstimateLine, Figure, Instalment, RatesUsed};
pub use method::{
    BookSums, Facts, Method, ProfitBasis, ProfitToDate, SetAsideError, WorksheetFacts,
};
pub use percent::PercentOfProfit;
pub use rates::{Answer, AnswerKind, Answers, Choice, Library, Offer};
