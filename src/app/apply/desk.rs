//! Changes of what is kept at the desk.

use super::{Written, said};
use crate::app::action::DeskWrite;
use crate::book::{Book, BookError};
use crate::desk::QuestionState;

/// Makes one change: all of it or nothing.
pub(super) fn change(book: &mut Book, write: &DeskWrite) -> Result<Written, BookError> {
    Ok(said(match write {
        DeskWrite::KeepQuestion(question) => {
            book.keep_question(question)?;
            match question.state() {
                QuestionState::Open => "The question is kept for your accountant",
                QuestionState::Answered => "The answer is kept",
                QuestionState::Applied => "What was done is kept with the question",
            }
        }
        DeskWrite::RemoveQuestion(id) => {
            book.remove_question(*id)?;
            "The question is taken out"
        }
    }))
}
