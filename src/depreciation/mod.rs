//! Equipment that wears out: the register's values, straight-line schedules, disposal.
//! Book depreciation only; what a tax office allows is never computed here.

mod check;
mod course;
mod disposal;
mod equipment;
mod error;
mod proposal;
mod schedule;

pub use check::LONGEST_LIFE_MONTHS;
pub use disposal::DisposalPlan;
pub use equipment::{Condition, Convention, Disposal, Equipment, TermsChange};
pub use error::EquipmentError;
pub use proposal::{DepreciationProposal, ProposedCharge, propose};
pub use schedule::{Charge, ScheduleMonth, ScheduleYear};
