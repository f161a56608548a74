//! How many things of the list were done since the book was opened: what was on it once and is not any more.
//! Kept with the window, for nothing in the book says when a thing began to want doing.

use crate::needs::{Need, NeedKind, Rhythm};

/// What was on the list since the book was opened.
#[derive(Debug, Default)]
pub(super) struct Sitting {
    seen: Vec<NeedKind>,
}

impl Sitting {
    /// Takes in what is on the list now.
    pub(super) fn look(&mut self, open: &[Need]) {
        for need in open {
            if need.kind.rhythm() != Rhythm::CanWait && !self.has_seen(&need.kind) {
                self.seen.push(need.kind.clone());
            }
        }
    }

    fn has_seen(&self, kind: &NeedKind) -> bool {
        self.seen.iter().any(|seen| seen.is_same_thing(kind))
    }

    /// How many are done out of how many, in a sentence; empty when none is.
    pub(super) fn in_words(&self, open: &[Need]) -> String {
        let is_open = |seen: &&NeedKind| open.iter().any(|need| need.kind.is_same_thing(seen));
        let left = self.seen.iter().filter(is_open).count();
        match (self.seen.len() - left, self.seen.len()) {
            (0, _) => String::new(),
            (done, all) => format!("{done} of {all} done since the book was opened."),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_left_the_list_is_done_and_comes_back_when_undone() {
        let need = |kind| Need {
            kind,
            what: String::new(),
            note: String::new(),
            count: 1,
            since: None,
        };
        let both = [need(NeedKind::LinesToSort), need(NeedKind::RecurringDue(3))];
        let mut sitting = Sitting::default();
        sitting.look(&both);
        assert_eq!(sitting.in_words(&both), "");
        let one = [need(NeedKind::RecurringDue(3)), need(NeedKind::StockLow)];
        sitting.look(&one);
        assert_eq!(
            sitting.in_words(&one),
            "1 of 2 done since the book was opened."
        );
        assert_eq!(
            sitting.in_words(&[]),
            "2 of 2 done since the book was opened."
        );
        assert_eq!(sitting.in_words(&both), "");
    }
}
