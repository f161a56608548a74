//! Papers that show the company to be one, and the decisions that were taken for it. Numbers on papers are never kept.

use chrono::NaiveDate;

use super::ProofFile;
use crate::word_list::word_list;

/// The caution beside papers, duties and decisions.
pub const PAPERS_CAUTION: &str = "A list to keep an eye on, no advice. How a company is formed, which papers, permits and \
     reports it needs and by when depends on where it is: confirm with local rules and a licensed professional.";

/// So many digits one after the other look like the number of a tax office.
const DIGITS_TOGETHER: usize = 7;
/// So many digits parted by single signs do; a day has eight at most.
const PARTED_DIGITS: usize = 9;

word_list! {
    /// What kind of paper it is.
    PaperKind, "a kind of paper":
    /// The company's registration.
    Registration = "registration" / "Registration of the company",
    /// That the company has its tax number; never the number.
    TaxNumber = "tax-number" / "Tax number on file",
    /// The agreement by which the company is run.
    OperatingAgreement = "operating-agreement" / "Operating agreement",
    /// The yearly report to the state.
    YearlyReport = "yearly-report" / "Yearly report",
    /// A loan between the owner and the company, in writing.
    OwnerLoan = "owner-loan" / "Owner loan in writing",
    /// A permit or licence.
    Permit = "permit" / "Permit or licence",
    /// Insurance.
    Insurance = "insurance" / "Insurance",
    /// A contract in the company's name.
    Contract = "contract" / "Contract in the company's name",
    /// Anything else.
    Other = "other" / "Something else",
}

impl PaperKind {
    /// What such a paper is for, in a sentence.
    #[must_use]
    pub const fn about(self) -> &'static str {
        match self {
            Self::Registration => "the day it was filed, and where the certificate lies",
            Self::TaxNumber => "only whether there is one: the number itself is never kept here",
            Self::OperatingAgreement => "even a company of one is asked for it",
            Self::YearlyReport => {
                "the one-page filing whose omission gets small companies struck off"
            }
            Self::OwnerLoan => "how much, by when, at what interest, signed by both sides",
            Self::Permit => "to sell, to work from home, for a stall",
            Self::Insurance => "what is covered, and until when",
            Self::Contract => "signed for the company, not for yourself",
            Self::Other => "",
        }
    }
}

/// A paper of the company.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompanyPaper {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// What it is called.
    pub name: String,
    /// What kind it is.
    pub kind: PaperKind,
    /// Whether it is there.
    pub is_there: bool,
    /// Its day: when it was filed, signed or done.
    pub day: Option<NaiveDate>,
    /// Where it is kept; may be empty.
    pub kept_at: String,
    /// What else there is to know; may be empty.
    pub note: String,
    /// A copy of it.
    pub proof: Option<ProofFile>,
}

/// Why a paper or a decision was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PaperError {
    /// It has no name.
    #[error("give it a name")]
    Nameless,
    /// It holds what looks like a tax number.
    #[error(
        "the tax number itself is not kept here, only whether there is one; leave the digits out"
    )]
    HoldsNumber(&'static str),
    /// A copy of a paper that shows the tax number.
    #[error("no copy of this one is kept here, for the number is on it; say where it lies")]
    CopyOfNumber,
    /// Nothing was decided.
    #[error("write down what was decided")]
    NothingDecided,
    /// It does not say why.
    #[error("write down why, in a line")]
    NoReason,
}

impl PaperError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Nameless => "paper",
            Self::HoldsNumber(field) => field,
            Self::CopyOfNumber => "file",
            Self::NothingDecided => "what",
            Self::NoReason => "why",
        }
    }
}

impl CompanyPaper {
    /// A paper of this kind, called by its kind, not there yet.
    #[must_use]
    pub fn new(kind: PaperKind) -> Self {
        Self {
            id: 0,
            name: kind.plain().to_owned(),
            kind,
            is_there: false,
            day: None,
            kept_at: String::new(),
            note: String::new(),
            proof: None,
        }
    }

    /// Refuses what cannot be, and a tax number above all.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), PaperError> {
        if self.name.trim().is_empty() {
            return Err(PaperError::Nameless);
        }
        if self.kind == PaperKind::TaxNumber {
            for (field, text) in [
                ("paper", &self.name),
                ("kept_at", &self.kept_at),
                ("note", &self.note),
            ] {
                if holds_number(text) {
                    return Err(PaperError::HoldsNumber(field));
                }
            }
            if self.proof.is_some() {
                return Err(PaperError::CopyOfNumber);
            }
        }
        Ok(())
    }
}

/// Whether a text has a run of digits that is longer than any day's, by itself or parted by single dashes, dots, slashes
/// or spaces, as the number of a tax office is.
fn holds_number(text: &str) -> bool {
    let (mut n_parted, mut n_together, mut since_digit) = (0, 0, 0);
    for letter in text.chars() {
        if letter.is_numeric() {
            n_parted += 1;
            n_together += 1;
            since_digit = 0;
            if n_parted >= PARTED_DIGITS || n_together >= DIGITS_TOGETHER {
                return true;
            }
        } else {
            n_together = 0;
            since_digit += 1;
            let is_divider = matches!(letter, '-' | '.' | '/' | ' ' | '\u{2013}');
            if !is_divider || since_digit > 1 {
                n_parted = 0;
            }
        }
    }
    false
}

/// Something that was decided for the company. A line is never changed; a correction is a line of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// When.
    pub day: NaiveDate,
    /// What was decided.
    pub what: String,
    /// Why.
    pub why: String,
    /// The line that it corrects.
    pub corrects: Option<i64>,
}

impl Decision {
    /// Refuses a line that says nothing.
    ///
    /// # Errors
    /// What is missing.
    pub fn check(&self) -> Result<(), PaperError> {
        if self.what.trim().is_empty() {
            Err(PaperError::NothingDecided)
        } else if self.why.trim().is_empty() {
            Err(PaperError::NoReason)
        } else {
            Ok(())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tax_number_is_refused_wherever_it_is_written() {
        let mut paper = CompanyPaper::new(PaperKind::TaxNumber);
        for text in ["blue folder, letter of 2026-05-03", "03.05.2026, sheet 4"] {
            paper.kept_at = text.to_owned();
            assert_eq!(paper.check(), Ok(()), "{text}");
        }
        for text in ["12-3456789", "no. 1234567T", "GB 123 456 789"] {
            paper.note = text.to_owned();
            assert_eq!(
                paper.check(),
                Err(PaperError::HoldsNumber("note")),
                "{text}"
            );
        }
        paper.note = String::new();
        paper.proof = Some(ProofFile {
            hash: "ab".repeat(32),
            name: "letter.pdf".to_owned(),
        });
        assert_eq!(paper.check(), Err(PaperError::CopyOfNumber));
        paper.kind = PaperKind::Registration;
        paper.note = "file 12345678".to_owned();
        assert_eq!(paper.check(), Ok(()));
        paper.name = String::new();
        assert_eq!(paper.check(), Err(PaperError::Nameless));
    }
}
