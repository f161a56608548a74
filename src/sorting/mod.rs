//! Sorting the lines of bank statements: what a line may mean, the owner's rules, what she chose before, and entries
//! that a line is already in. Values in, suggestions out; nothing is posted here and files are `import`'s.

mod alike;
mod line;
mod matching;
mod meaning;
mod payee;
mod rough;
mod rule;
mod suggest;

pub use alike::{Alike, alike};
pub use line::{BankLine, LineId};
pub use matching::{LedgerMovement, MATCH_DAYS, Matched, candidates, match_lines};
pub use meaning::{Meaning, Treatment};
pub use payee::{Payee, in_title_case};
pub use rough::{REFINED, ROUGH, Rough};
pub use rule::{Direction, Rule};
pub use suggest::{Choice, ComesRound, Known, Reason, Suggested, Suggester, Suggestion};
