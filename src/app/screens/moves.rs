//! What rooms propose to write: a recurring purchase that is due, wear of equipment, a move to the set-aside account.
//! Values only; writing them is the app's work.

use chrono::NaiveDate;

use super::facts::Facts;
use crate::app::action::{Action, Write};
use crate::book::Book;
use crate::dates::show_day;
use crate::depreciation::DepreciationProposal;
use crate::happenings::{Happening, Purchase, Recording, Transfer, TransferDetails};
use crate::ledger::Role;
use crate::money::Money;
use crate::reports::ReportError;

/// The recording that confirms a recurring purchase on the day it is due, or why it cannot be made.
///
/// # Errors
/// When the book cannot be read.
pub fn confirm_recurring(book: &Book, id: i64) -> Result<Result<Recording, String>, ReportError> {
    let Some(recurring) = book.recurring()?.into_iter().find(|one| one.id == id) else {
        return Ok(Err("This recurring purchase is gone".to_owned()));
    };
    let made = Purchase::new(recurring.purchase(recurring.next_due))
        .and_then(|purchase| purchase.recording(book.chart()));
    Ok(made
        .map(|mut recording| {
            recording.entry.header.origin = crate::ledger::Origin::Recurring;
            recording
        })
        .map_err(|error| error.describe(book.currency())))
}

/// Writes the proposed wear down.
#[must_use]
pub fn write_wear(facts: &Facts) -> Action {
    write_proposal(facts, &facts.proposal)
}

/// Writes a proposal of wear down.
#[must_use]
pub fn write_proposal(facts: &Facts, proposal: &DepreciationProposal) -> Action {
    match proposal.entry(&facts.chart, "") {
        Ok(entry) => Action::write(Write::Record {
            done: format!(
                "Wear of equipment through {}, {}, is written down",
                show_day(proposal.through),
                facts.show(proposal.total().whole)
            ),
            recordings: vec![Recording::new(entry)],
            receipts: Vec::new(),
        }),
        Err(error) => Action::Trouble(error.to_string()),
    }
}

/// Moves money from the business account to the set-aside savings.
#[must_use]
pub fn move_to_set_aside(facts: &Facts, amount: Money, today: NaiveDate) -> Action {
    let made = (|| {
        let details = TransferDetails {
            date: today,
            from: facts.chart.role(Role::BusinessBank)?,
            to: facts.chart.role(Role::SetAside)?,
            amount,
            memo: "Set aside for tax".to_owned(),
            reference: String::new(),
        };
        Transfer::new(details)?.entry(&facts.chart)
    })();
    match made {
        Ok(entry) => Action::write(Write::Record {
            recordings: vec![Recording::new(entry)],
            receipts: Vec::new(),
            done: format!("{} is moved to the set-aside savings", facts.show(amount)),
        }),
        Err(error) => Action::Trouble(error.describe(&facts.currency)),
    }
}
