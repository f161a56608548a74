//! Changes of what is kept at the desk.

use super::{Written, said};
use crate::app::action::{DeskWrite, ReceiptFile};
use crate::book::{Book, BookError};
use crate::desk::QuestionState;

/// A file that comes along, by name and bytes.
fn file(file: Option<&ReceiptFile>) -> Option<(&str, &[u8])> {
    file.map(|file| (file.name.as_str(), file.bytes.as_slice()))
}

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
        DeskWrite::KeepDuty(duty) => {
            book.keep_duty(duty)?;
            "The duty is kept"
        }
        DeskWrite::RemoveDuty(id) => {
            book.remove_duty(*id)?;
            "The duty is taken out"
        }
        DeskWrite::DoDuty(id, done, proof) => {
            book.do_duty(*id, done, file(proof.as_ref()))?;
            "It is done, and kept"
        }
        DeskWrite::TakeBackDuty(id) => {
            book.take_back_duty(*id)?;
            "It is due again"
        }
        DeskWrite::ProveDuty(done, proof) => {
            book.prove_duty(*done, &proof.name, &proof.bytes)?;
            "The proof is kept"
        }
    }))
}
