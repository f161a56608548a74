//! What is kept at the desk and never posted, in the file: questions for the accountant.
//! What each refuses is `crate::desk`'s.

mod questions;

use super::BookError;

fn gone(what: &'static str, id: i64) -> BookError {
    BookError::NoSuch {
        what,
        key: id.to_string(),
    }
}
