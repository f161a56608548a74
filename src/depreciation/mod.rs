//! Equipment that wears out: the register's values, straight-line schedules, disposal.
//! Book depreciation only; what a tax office allows is never computed here.

mod equipment;

pub use equipment::{Condition, Convention, Disposal, Equipment, TermsChange};
