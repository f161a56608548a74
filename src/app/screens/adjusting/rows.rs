//! The rows of the page of adjusting entries: what was proposed when the page was opened, each in its place until the page
//! is left or turns to another year. What is proposed is worked out in `reports`.

use crate::reports::{AdjustingReport, Proposal, Proposed};

/// A proposal as it is shown.
#[derive(Debug)]
pub(super) struct Shown {
    /// The proposal; once it is posted, as it was.
    pub(super) proposal: Proposal,
    /// Whether it was posted from the page.
    pub(super) is_posted: bool,
}

/// The rows, and of which year they are.
#[derive(Debug, Default)]
pub(super) struct Rows {
    pub(super) list: Vec<Shown>,
    /// What was asked to be posted.
    pub(super) asked: Vec<Proposed>,
    ending: Option<i32>,
}

impl Rows {
    /// Takes in what is proposed now. What was posted from here stays in its place; what is new comes last.
    pub(super) fn take_in(&mut self, report: &AdjustingReport) {
        if self.ending != Some(report.ending) {
            *self = Self {
                ending: Some(report.ending),
                ..Self::default()
            };
        }
        let now = |what: Proposed| report.proposed.iter().find(|one| one.what == what);
        let asked = &self.asked;
        self.list.retain(|row| {
            let what = row.proposal.what;
            now(what).is_some() || asked.contains(&what)
        });
        for row in &mut self.list {
            match now(row.proposal.what) {
                Some(proposal) => {
                    row.proposal = proposal.clone();
                    row.is_posted = false;
                }
                None => row.is_posted = true,
            }
        }
        for one in &report.proposed {
            if self.list.iter().all(|row| row.proposal.what != one.what) {
                self.list.push(Shown {
                    proposal: one.clone(),
                    is_posted: false,
                });
            }
        }
    }

    /// How many of them post an entry.
    pub(super) fn n_postable(&self) -> usize {
        let rows = self.list.iter();
        rows.filter(|row| !row.proposal.recordings.is_empty())
            .count()
    }

    /// How many were posted from here.
    pub(super) fn n_posted(&self) -> usize {
        self.list.iter().filter(|row| row.is_posted).count()
    }

    /// Those that post an entry and are not posted yet.
    pub(super) fn left(&self) -> Vec<Proposal> {
        let rows = self.list.iter();
        rows.filter(|row| !row.is_posted && !row.proposal.recordings.is_empty())
            .map(|row| row.proposal.clone())
            .collect()
    }
}
