//! Worksheets of places with their published rates: files read and checked, worked line by line, said in words.
//! Nothing here belongs to one country; what does is a file under `assets/rates` or beside the owner's book.

mod answers;
mod bands;
mod check;
mod evaluate;
mod expression;
mod figures;
mod file;
mod instalments;
mod library;
mod place;
mod say;
mod worksheet;

pub use answers::{Answer, AnswerKind, Answers, Choice};
pub use bands::{Band, Bands};
pub use figures::{By, Figured, Published, Rates};
pub use file::FileFault;
pub use library::{Library, Offer, OwnFile};
pub use place::PlaceMethod;
pub use worksheet::{Unit, Worksheet};

include!(concat!(env!("OUT_DIR"), "/rates.rs"));

/// Name and text of every file of rates, worksheets and calendars that the program carries.
#[must_use]
pub const fn shipped_files() -> &'static [(&'static str, &'static str)] {
    FILES
}
