//! A line of the start-up plan being typed, and the tie between a purchase's line and the plan.
//! What a plan refuses and what it comes to is `crate::plan`'s.

use chrono::{Datelike, NaiveDate};
use egui::Ui;
use serde::{Deserialize, Serialize};

use super::facts::Facts;
use super::input::{Problem, Problems, Reader};
use super::parts::{cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, choice_chips, money_field, parse_day, problem, soft, text_field,
};
use crate::dates::Month;
use crate::plan::{CostRange, How, Need, PlanKind, PlanLine, read_month};

/// The line of the plan that something being bought belongs to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanRef {
    /// Its number in the book.
    pub id: i64,
    /// Its name.
    pub name: String,
}

impl PlanRef {
    /// The tie to a line.
    #[must_use]
    pub fn of(line: &PlanLine) -> Self {
        Self {
            id: line.id,
            name: line.name.clone(),
        }
    }
}

/// A line of the plan being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct PlanLineDraft {
    /// The one being changed, 0 for a new one.
    pub id: i64,
    /// What it is.
    pub name: String,
    /// Its kind.
    pub kind: PlanKind,
    /// How it would be come by.
    pub how: Option<How>,
    /// What it most likely costs.
    pub likely: String,
    /// At best; the likely cost while empty.
    pub low: String,
    /// At worst; the likely cost while empty.
    pub high: String,
    /// Whether it can wait.
    pub need: Need,
    /// The month, as typed.
    pub month: String,
    /// The first line of the group it is another way of.
    pub alternative_of: Option<String>,
    /// Whether it counts.
    pub is_chosen: bool,
    /// Where it was seen, what was decided.
    pub note: String,
}

impl PlanLineDraft {
    /// An empty line.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            id: 0,
            name: String::new(),
            kind: PlanKind::Equipment,
            how: None,
            likely: String::new(),
            low: String::new(),
            high: String::new(),
            need: Need::Must,
            month: String::new(),
            alternative_of: None,
            is_chosen: true,
            note: String::new(),
        }
    }

    /// A line of the plan; one without a number is new, with what is known of it.
    #[must_use]
    pub fn of(line: &PlanLine, facts: &Facts) -> Self {
        let is_known = line.id != 0;
        let amount = |amount| {
            if is_known && amount != line.cost.likely {
                facts.show(amount)
            } else {
                String::new()
            }
        };
        Self {
            id: line.id,
            name: line.name.clone(),
            kind: line.kind,
            how: line.how,
            likely: if is_known {
                facts.show(line.cost.likely)
            } else {
                String::new()
            },
            low: amount(line.cost.low),
            high: amount(line.cost.high),
            need: line.need,
            month: line.month.map(month_words).unwrap_or_default(),
            alternative_of: line.alternative_of.clone(),
            is_chosen: line.is_chosen,
            note: line.note.clone(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.name.trim().is_empty() && self.likely.trim().is_empty()
    }

    /// The line as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn line(&self, facts: &Facts) -> Result<PlanLine, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let name = read.text("name", &self.name, "say what it is");
        let likely = read.amount("likely", &self.likely, "say what it will most likely cost");
        let mut other = |field, text: &str| {
            if text.trim().is_empty() {
                likely
            } else {
                read.amount_or_none(field, text)
            }
        };
        let cost = CostRange {
            low: other("low", &self.low),
            likely,
            high: other("high", &self.high),
        };
        let month = self.month(&mut read, facts.today);
        read.finish(())?;
        let line = PlanLine {
            id: self.id,
            name,
            kind: self.kind,
            how: self.how,
            cost,
            need: self.need,
            month,
            alternative_of: self.alternative_of.clone(),
            is_chosen: self.is_chosen,
            note: self.note.trim().to_owned(),
        };
        let refuse =
            |error: crate::plan::PlanError| vec![Problem::wrong(error.field, error.message)];
        line.check().map_err(refuse)?;
        let plan = facts.plan.with(&line);
        match plan.check() {
            Ok(()) => Ok(line),
            Err((_idx, error)) => Err(refuse(error)),
        }
    }

    fn month(&self, read: &mut Reader<'_>, today: NaiveDate) -> Option<Month> {
        if self.month.trim().is_empty() {
            return None;
        }
        let month = typed_month(&self.month, today);
        if month.is_none() {
            read.note(Problem::wrong(
                "month",
                "not a month; write Feb 2026 or 2026-02",
            ));
        }
        month
    }

    /// What the line stands for, in a sentence.
    fn says(&self, facts: &Facts) -> Option<String> {
        let line = self.line(facts).ok()?;
        let cost = if line.cost.is_certain() {
            facts.show(line.cost.likely)
        } else {
            format!(
                "about {}, between {} and {}",
                facts.show(line.cost.likely),
                facts.show(line.cost.low),
                facts.show(line.cost.high)
            )
        };
        let when = match (line.month, line.need) {
            (Some(month), _) => format!("in {month}"),
            (None, Need::Must) => "at the beginning".to_owned(),
            (None, Need::Later) => "in no month yet".to_owned(),
        };
        Some(if line.is_chosen {
            format!("{}: {cost}, {when}.", line.name)
        } else {
            format!(
                "{}: {cost}; it does not count while it is not chosen.",
                line.name
            )
        })
    }
}

impl Default for PlanLineDraft {
    fn default() -> Self {
        Self::new()
    }
}

/// A month as people type it: `Feb 2026`, `2026-02`, or `Feb`, which is the next one.
#[must_use]
pub fn typed_month(text: &str, today: NaiveDate) -> Option<Month> {
    let text = text.trim();
    if let Ok(month) = read_month(text) {
        return Some(month);
    }
    let has_year = text.split_whitespace().count() > 1;
    let day = parse_day(&format!("1 {text}"), today)?;
    if text
        .chars()
        .next()
        .is_some_and(|first| first.is_ascii_digit())
    {
        return None;
    }
    let month = Month::of(day);
    if has_year {
        return Some(month);
    }
    let this_year = Month::new(today.year(), month.month());
    Some(if this_year < Month::of(today) {
        this_year.plus(12)
    } else {
        this_year
    })
}

/// A month in few letters: `Feb 2026`.
#[must_use]
pub fn month_words(month: Month) -> String {
    format!("{} {}", &month.name()[..3], month.year())
}

/// Draws the card.
pub fn plan_line_ui(
    ui: &mut Ui,
    draft: &mut PlanLineDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 160.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("What is wanted")
                    .width(width)
                    .hint("book press, text paper, insurance")
                    .problem(problems.of("name"))
                    .take_focus(take_focus);
                text_field(ui, field, &mut draft.name);
            } else {
                let kinds: Vec<(PlanKind, String)> = PlanKind::ALL
                    .iter()
                    .map(|kind| (*kind, kind.plain().to_owned()))
                    .collect();
                select(ui, "Kind", width, &mut draft.kind, &kinds, None);
            }
        });
        ui.add_space(space::SMALL);
        let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| {
            let (words, field, text) = match cell {
                0 => ("Most likely", "likely", &mut draft.likely),
                1 => ("At best", "low", &mut draft.low),
                _ => ("At worst", "high", &mut draft.high),
            };
            let hint = if cell == 0 { "" } else { "the same" };
            let field = Field::new(words)
                .width(width)
                .hint(hint)
                .problem(problems.of(field));
            money_field(ui, field, text, &facts.currency);
        });
        ui.add_space(space::SMALL);
        let needs: Vec<(Need, &str)> = Need::ALL.iter().map(|need| (*need, need.plain())).collect();
        choice_chips(ui, "Does starting need it?", &mut draft.need, &needs);
        let columns = widths(ui.available_width(), &[150.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("In which month")
                    .width(width)
                    .hint("Feb 2026")
                    .problem(problems.of("month"));
                text_field(ui, field, &mut draft.month);
            } else {
                let mut ways = vec![(None, "not said".to_owned())];
                ways.extend(
                    How::ALL
                        .iter()
                        .map(|how| (Some(*how), how.plain().to_owned())),
                );
                select(
                    ui,
                    "How I would come by it",
                    width,
                    &mut draft.how,
                    &ways,
                    None,
                );
            }
        });
        ui.add_space(space::SMALL);
        group_ui(ui, draft, facts, problems);
        let field = Field::new("Note").hint("where it was seen, what speaks for it");
        text_field(ui, field, &mut draft.note);
        ui.add_space(space::SMALL);
        if let Some(words) = draft.says(facts) {
            ui.label(words);
        }
        soft(
            ui,
            "A plan is no bookkeeping: nothing is written in the books until you buy it.",
        );
    });
}

/// Whether it stands on its own or is another way of something, and whether it counts.
fn group_ui(ui: &mut Ui, draft: &mut PlanLineDraft, facts: &Facts, problems: &Problems) {
    let lines = &facts.plan.lines;
    let itself = lines
        .iter()
        .find(|line| line.id == draft.id && draft.id != 0);
    let has_ways = itself.is_some_and(|itself| {
        lines
            .iter()
            .any(|line| line.alternative_of.as_deref() == Some(itself.name.as_str()))
    });
    if has_ways {
        soft(ui, "Other lines of the plan are other ways of this one.");
    } else {
        let mut choices = vec![(None, "nothing; it stands on its own".to_owned())];
        choices.extend(
            lines
                .iter()
                .filter(|line| line.alternative_of.is_none() && line.id != draft.id)
                .map(|line| (Some(line.name.clone()), line.name.clone())),
        );
        let wrong = problems.of("alternative_of");
        if choices.len() > 1 {
            select(
                ui,
                "Another way of",
                0.0,
                &mut draft.alternative_of,
                &choices,
                wrong,
            );
        }
    }
    let choices = if has_ways || draft.alternative_of.is_some() {
        [(true, "this way"), (false, "another way")]
    } else {
        [(true, "it counts"), (false, "left out for now")]
    };
    choice_chips(
        ui,
        "What counts in the plan",
        &mut draft.is_chosen,
        &choices,
    );
    if let Some(words) = problems.of("chosen") {
        problem(ui, words);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_read_as_people_type_them() {
        let today = NaiveDate::from_ymd_opt(2026, 9, 28).expect("a day");
        let rows = [
            ("Feb 2027", Some("Feb 2027")),
            ("2026-11", Some("Nov 2026")),
            ("october", Some("Oct 2026")),
            ("sep", Some("Sep 2026")),
            ("Feb", Some("Feb 2027")),
            ("soon", None),
            ("13", None),
            ("2026-13", None),
        ];
        for (typed, expected) in rows {
            let month = typed_month(typed, today).map(month_words);
            assert_eq!(month.as_deref(), expected, "{typed}");
        }
    }
}
