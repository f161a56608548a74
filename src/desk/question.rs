//! A question for the accountant: asked, answered, applied, each step with its day.
//! Which entry it is about is a number here; what the entry says is the ledger's.

use chrono::NaiveDate;

use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::word_list::word_list;

word_list! {
    /// How far a question is.
    QuestionState, "a state of a question":
    /// Nobody has answered.
    Open = "open" / "waits for an answer",
    /// Answered; nothing was done about it yet.
    Answered = "answered" / "answered, to be applied",
    /// What the answer asked for is done.
    Applied = "applied" / "answered and applied",
}

/// What is wrong with a question or a step of it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum QuestionError {
    /// Nothing is asked.
    #[error("write down what you want to know")]
    NoWords,
    /// Nothing is answered.
    #[error("write down what was answered")]
    NoAnswer,
    /// It does not say what was done.
    #[error("say what was done about it, if only that nothing had to change")]
    NoApplication,
    /// It was not answered yet.
    #[error("it has no answer yet that could be applied")]
    NotAnswered,
    /// A step lies before the one it follows.
    #[error("{step} on {day} lies before {earlier} on {before}", day = show_day(*.day), before = show_day(*.before))]
    BeforeItsTurn {
        /// The step.
        step: &'static str,
        /// Its day.
        day: NaiveDate,
        /// The step it follows.
        earlier: &'static str,
        /// The day of that.
        before: NaiveDate,
    },
}

impl QuestionError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(&self) -> &'static str {
        match self {
            Self::NoWords => "question",
            Self::NoAnswer | Self::NotAnswered => "answer",
            Self::NoApplication => "applied",
            Self::BeforeItsTurn { step, .. } => match step.as_bytes() {
                b"answered" => "answered_on",
                _ => "applied_on",
            },
        }
    }
}

/// What was answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The words.
    pub words: String,
    /// By whom; may be empty.
    pub by: String,
    /// When.
    pub on: NaiveDate,
}

/// What was done about an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Application {
    /// What was done.
    pub what: String,
    /// The entry that did it, where one did.
    pub entry: Option<EntryNumber>,
    /// When.
    pub on: NaiveDate,
}

/// A question for the accountant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// The entry it is about, if it is about one.
    pub entry: Option<EntryNumber>,
    /// What is asked.
    pub words: String,
    /// Who asks; may be empty.
    pub asked_by: String,
    /// When.
    pub asked_on: NaiveDate,
    /// What was answered.
    pub answer: Option<Answer>,
    /// What was done about it.
    pub application: Option<Application>,
}

impl Question {
    /// One that is asked on this day.
    #[must_use]
    pub fn new(words: impl Into<String>, asked_on: NaiveDate) -> Self {
        Self {
            id: 0,
            entry: None,
            words: words.into(),
            asked_by: String::new(),
            asked_on,
            answer: None,
            application: None,
        }
    }

    /// How far it is.
    #[must_use]
    pub const fn state(&self) -> QuestionState {
        match (&self.answer, &self.application) {
            (None, _) => QuestionState::Open,
            (Some(_), None) => QuestionState::Answered,
            (Some(_), Some(_)) => QuestionState::Applied,
        }
    }

    /// The day of the step that was made last.
    #[must_use]
    pub fn last_step(&self) -> NaiveDate {
        let answered = self.answer.as_ref().map(|answer| answer.on);
        let applied = self.application.as_ref().map(|application| application.on);
        applied.or(answered).unwrap_or(self.asked_on)
    }

    /// Refuses what cannot be: a step without words, or before the step that it follows.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), QuestionError> {
        if self.words.trim().is_empty() {
            return Err(QuestionError::NoWords);
        }
        let before = |step, day, earlier, before| {
            Err(QuestionError::BeforeItsTurn {
                step,
                day,
                earlier,
                before,
            })
        };
        match (&self.answer, &self.application) {
            (Some(answer), _) if answer.words.trim().is_empty() => Err(QuestionError::NoAnswer),
            (Some(answer), _) if answer.on < self.asked_on => {
                before("answered", answer.on, "asked", self.asked_on)
            }
            (None, Some(_)) => Err(QuestionError::NotAnswered),
            (_, Some(applied)) if applied.what.trim().is_empty() => {
                Err(QuestionError::NoApplication)
            }
            (Some(answer), Some(applied)) if applied.on < answer.on => {
                before("applied", applied.on, "answered", answer.on)
            }
            _ => Ok(()),
        }
    }
}

/// How many questions are how far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// Those without an answer, and the day of the oldest.
    pub open: (usize, Option<NaiveDate>),
    /// Those answered and not applied, and the day of the oldest answer.
    pub to_apply: (usize, Option<NaiveDate>),
}

impl Standing {
    /// Counts them.
    #[must_use]
    pub fn of(questions: &[Question]) -> Self {
        let those = |state: QuestionState| {
            let found = questions.iter().filter(move |one| one.state() == state);
            let oldest = found.clone().map(Question::last_step).min();
            (found.count(), oldest)
        };
        Self {
            open: those(QuestionState::Open),
            to_apply: those(QuestionState::Answered),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    #[test]
    fn each_step_has_words_and_follows_the_one_before() {
        let mut question = Question::new("Is the press equipment?", day("2026-03-04"));
        assert_eq!(question.check(), Ok(()));
        assert_eq!(question.state(), QuestionState::Open);
        question.application = Some(Application {
            what: "nothing".to_owned(),
            entry: None,
            on: day("2026-03-09"),
        });
        assert_eq!(question.check(), Err(QuestionError::NotAnswered));
        question.answer = Some(Answer {
            words: "Yes".to_owned(),
            by: String::new(),
            on: day("2026-03-03"),
        });
        let early = question.check().expect_err("refused");
        assert_eq!(early.field(), "answered_on");
        assert_eq!(
            early.to_string(),
            "answered on 3 Mar 2026 lies before asked on 4 Mar 2026"
        );
        if let Some(answer) = &mut question.answer {
            answer.on = day("2026-03-10");
        }
        let early = question.check().expect_err("refused");
        assert_eq!(early.field(), "applied_on");
        question.application = None;
        assert_eq!(question.state(), QuestionState::Answered);
        assert_eq!(question.last_step(), day("2026-03-10"));
        question.words = " ".to_owned();
        assert_eq!(question.check(), Err(QuestionError::NoWords));
    }

    #[test]
    fn the_oldest_of_each_state_is_told() {
        let mut answered = Question::new("b", day("2026-01-02"));
        answered.answer = Some(Answer {
            words: "so".to_owned(),
            by: String::new(),
            on: day("2026-02-20"),
        });
        let list = [
            Question::new("a", day("2026-02-01")),
            answered,
            Question::new("c", day("2026-01-15")),
        ];
        let standing = Standing::of(&list);
        assert_eq!(standing.open, (2, Some(day("2026-01-15"))));
        assert_eq!(standing.to_apply, (1, Some(day("2026-02-20"))));
    }
}
