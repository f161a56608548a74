//! Changes of what is kept at the desk.

use super::{Written, said};
use crate::app::action::{DeskWrite, ReceiptFile};
use crate::book::{Book, BookError};
use crate::desk::{QuestionState, hours_words};

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
        DeskWrite::BeginPapers(papers) => {
            book.group("The list of papers begun", |book| {
                papers
                    .iter()
                    .try_for_each(|paper| book.keep_company_paper(paper, None).map(drop))
            })?;
            "The list is begun"
        }
        DeskWrite::KeepPaper(paper, copy) => {
            book.keep_company_paper(paper, file(copy.as_ref()))?;
            "The paper is kept on the list"
        }
        DeskWrite::RemovePaper(id) => {
            book.remove_company_paper(*id)?;
            "The paper is taken off the list"
        }
        DeskWrite::Decide(decision) => {
            book.decide(decision)?;
            "The decision is written down"
        }
        DeskWrite::KeepTrip(trip) => {
            book.keep_trip(trip)?;
            "The trip is kept"
        }
        DeskWrite::RemoveTrip(id) => {
            book.remove_trip(*id)?;
            "The trip is taken out"
        }
        DeskWrite::KeepReading(reading) => {
            book.keep_reading(reading)?;
            "The reading is kept"
        }
        DeskWrite::RemoveReading(id) => {
            book.remove_reading(*id)?;
            "The reading is taken out"
        }
        DeskWrite::KeepSpace(space) => {
            book.keep_space(space)?;
            "The space is kept"
        }
        DeskWrite::RemoveSpace(id) => {
            book.remove_space(*id)?;
            "The space is taken out"
        }
        DeskWrite::KeepHomeBill(bill) => {
            book.keep_home_bill(bill)?;
            "The bill is kept; nothing is posted"
        }
        DeskWrite::RemoveHomeBill(id) => {
            book.remove_home_bill(*id)?;
            "The bill is taken out"
        }
        DeskWrite::KeepSharedBill(bill) => {
            book.keep_shared_bill(bill)?;
            "The share is kept; nothing is posted"
        }
        DeskWrite::RemoveSharedBill(id) => {
            book.remove_shared_bill(*id)?;
            "The share is taken out"
        }
        DeskWrite::KeepTime(_)
        | DeskWrite::RemoveTime(_)
        | DeskWrite::PutMinutes(..)
        | DeskWrite::StartTimer(_)
        | DeskWrite::StopTimer(_)
        | DeskWrite::DropTimer => return change_hours(book, write),
    }))
}

fn change_hours(book: &mut Book, write: &DeskWrite) -> Result<Written, BookError> {
    Ok(said(match write {
        DeskWrite::KeepTime(time) => {
            book.keep_work_time(time)?;
            "The time is kept"
        }
        DeskWrite::RemoveTime(id) => {
            book.remove_work_time(*id)?;
            "The time is taken out"
        }
        DeskWrite::PutMinutes(day, activity, minutes) => {
            book.put_day_minutes(*day, activity, *minutes)?;
            "The time is kept"
        }
        DeskWrite::StartTimer(timer) => {
            book.start_timer(timer)?;
            "The timer runs"
        }
        DeskWrite::StopTimer(at) => {
            let minutes = hours_words(book.stop_timer(*at)?);
            return Ok(said(format!("The timer is stopped: {minutes}")));
        }
        DeskWrite::DropTimer => {
            book.drop_timer()?;
            "The timer is dropped"
        }
        _ => "",
    }))
}
