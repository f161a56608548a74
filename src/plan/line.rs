//! The lines of a plan: what is wanted, the three costs it may have, and which of several ways was chosen.
//! Whether the money lasts is `course`; what became of a line is `actual`.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Sub};
use std::str::FromStr;

use super::PlanMoney;
use crate::dates::{Month, parse_iso};
use crate::ledger::Role;
use crate::money::Money;

macro_rules! words {
    ($(#[$doc:meta])* $name:ident, $what:literal { $($(#[$vdoc:meta])* $variant:ident = $word:literal, $plain:literal;)* }) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
        )]
        pub enum $name { $($(#[$vdoc])* $variant,)* }

        impl $name {
            /// All of them, in their order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The word used in sheets, JSON and the book file.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// The word on screens.
            #[must_use]
            pub const fn plain(self) -> &'static str {
                match self { $(Self::$variant => $plain,)* }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.as_str())
            }
        }

        impl FromStr for $name {
            type Err = String;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Self::ALL.iter().copied().find(|one| one.as_str() == text.trim()).ok_or_else(|| {
                    let known: Vec<&str> = Self::ALL.iter().map(|one| one.as_str()).collect();
                    format!("'{text}' is not {}; use {}", $what, known.join(", "))
                })
            }
        }
    };
}

words! {
    /// What kind of thing a line is.
    PlanKind, "a kind of planned thing" {
        /// Lasts for years.
        Equipment = "equipment", "Equipment";
        /// Goes into the pieces.
        Materials = "materials", "Materials";
        /// Bought in to be sold, or made outside.
        Stock = "stock", "Stock";
        /// What the pieces are sent and handed over in.
        Packaging = "packaging", "Packaging";
        /// Registration, licences, insurance, fees.
        Fees = "fees", "Fees";
        /// Anything else.
        Other = "other", "Other";
    }
}

impl PlanKind {
    /// What an account for it is usually used for; nothing where that is anybody's guess.
    #[must_use]
    pub const fn role(self) -> Option<Role> {
        match self {
            Self::Equipment => Some(Role::Equipment),
            Self::Materials => Some(Role::Materials),
            Self::Stock => Some(Role::BoughtInGoods),
            Self::Packaging => Some(Role::Packaging),
            Self::Fees => Some(Role::Licences),
            Self::Other => None,
        }
    }
}

words! {
    /// Whether starting needs it.
    Need, "a need" {
        /// Nothing starts without it.
        Must = "must", "Must have";
        /// It can wait.
        Later = "later", "Can wait";
    }
}

words! {
    /// How a thing is come by.
    How, "a way to come by it" {
        /// Bought new.
        New = "new", "New";
        /// Bought second-hand.
        SecondHand = "second-hand", "Second-hand";
        /// Owned already and brought in.
        Owned = "owned", "I own it already";
        /// Made or done outside.
        Outside = "outside", "Made outside";
    }
}

/// Three costs of one thing or of several: at best, most likely, at worst.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CostRange {
    /// At best.
    pub low: Money,
    /// Most likely.
    pub likely: Money,
    /// At worst.
    pub high: Money,
}

impl CostRange {
    /// The same amount three times.
    #[must_use]
    pub const fn all(amount: Money) -> Self {
        Self {
            low: amount,
            likely: amount,
            high: amount,
        }
    }

    /// Whether low and high are the likely cost too.
    #[must_use]
    pub fn is_certain(self) -> bool {
        self.low == self.likely && self.likely == self.high
    }
}

impl Add for CostRange {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            likely: self.likely + other.likely,
            high: self.high + other.high,
        }
    }
}

impl Sub for CostRange {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self {
            low: self.low - other.low,
            likely: self.likely - other.likely,
            high: self.high - other.high,
        }
    }
}

impl Sum for CostRange {
    fn sum<I: Iterator<Item = Self>>(costs: I) -> Self {
        costs.fold(Self::default(), Add::add)
    }
}

/// One thing that is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanLine {
    /// Its lasting number in the book; 0 before it is there.
    pub id: i64,
    /// What it is; no two lines have the same name.
    pub name: String,
    /// Its kind.
    pub kind: PlanKind,
    /// How it would be come by, if that is said.
    pub how: Option<How>,
    /// What it may cost.
    pub cost: CostRange,
    /// Whether it can wait.
    pub need: Need,
    /// The month it is bought in, if that is said.
    pub month: Option<Month>,
    /// The name of the line that this one is another way of; that line is the first of its group.
    pub alternative_of: Option<String>,
    /// Whether it counts: of several ways exactly one does. A line on its own that does not count was left out.
    pub is_chosen: bool,
    /// Where it was seen, what was decided; may be empty.
    pub note: String,
}

/// Why a line or a plan was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct PlanError {
    /// The column or field, as `low`.
    pub field: &'static str,
    /// What is wrong with it, one sentence without a full stop.
    pub message: String,
}

impl PlanError {
    /// An error about one field.
    #[must_use]
    pub fn new(field: &'static str, message: impl Into<String>) -> Self {
        Self {
            field,
            message: message.into(),
        }
    }
}

impl PlanLine {
    /// A must with one cost, on its own, that counts.
    #[must_use]
    pub fn new(name: impl Into<String>, kind: PlanKind, likely: Money) -> Self {
        Self {
            id: 0,
            name: name.into(),
            kind,
            how: None,
            cost: CostRange::all(likely),
            need: Need::Must,
            month: None,
            alternative_of: None,
            is_chosen: true,
            note: String::new(),
        }
    }

    /// Refuses what cannot be, as far as the line alone tells.
    ///
    /// # Errors
    /// When it has no name, a cost is below nothing or too large, the costs are out of order, or it is another way of
    /// itself.
    pub fn check(&self) -> Result<(), PlanError> {
        if self.name.trim().is_empty() {
            return Err(PlanError::new("name", "give it a name"));
        }
        for (field, cost) in [
            ("likely", self.cost.likely),
            ("low", self.cost.low),
            ("high", self.cost.high),
        ] {
            if cost.is_negative() {
                return Err(PlanError::new(field, "must not be below zero"));
            }
            if !cost.is_within_limit() {
                return Err(PlanError::new(field, "is larger than a book takes"));
            }
        }
        if self.cost.low > self.cost.likely {
            return Err(PlanError::new("low", "is more than the likely cost"));
        }
        if self.cost.high < self.cost.likely {
            return Err(PlanError::new("high", "is less than the likely cost"));
        }
        if let Some(other) = &self.alternative_of
            && is_same(other, &self.name)
        {
            return Err(PlanError::new(
                "alternative_of",
                "a thing cannot be another way of itself",
            ));
        }
        Ok(())
    }

    /// The name of the group it belongs to: the name of the group's first line.
    #[must_use]
    pub fn group(&self) -> &str {
        self.alternative_of.as_deref().unwrap_or(&self.name)
    }
}

/// Whether two names are the same, however they are written.
pub(super) fn is_same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// A whole plan: its lines in the order they were made, and the money there is for it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// What is wanted.
    pub lines: Vec<PlanLine>,
    /// The money available.
    pub money: Vec<PlanMoney>,
}

impl Plan {
    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty() && self.money.is_empty()
    }

    /// The line of a name, however it is written.
    #[must_use]
    pub fn line(&self, name: &str) -> Option<&PlanLine> {
        self.lines.iter().find(|line| is_same(&line.name, name))
    }

    /// The lines that count.
    pub fn counted(&self) -> impl Iterator<Item = &PlanLine> {
        self.lines.iter().filter(|line| line.is_chosen)
    }

    /// What the lines that count cost, of one need or of both.
    #[must_use]
    pub fn need(&self, need: Option<Need>) -> CostRange {
        self.counted()
            .filter(|line| need.is_none_or(|need| line.need == need))
            .map(|line| line.cost)
            .sum()
    }

    /// The lines in groups: each line on its own or first of its group, with the other ways after it.
    #[must_use]
    pub fn groups(&self) -> Vec<Vec<&PlanLine>> {
        let mut groups: Vec<Vec<&PlanLine>> = Vec::new();
        for line in self
            .lines
            .iter()
            .filter(|line| line.alternative_of.is_none())
        {
            let ways = self.lines.iter().filter(|other| {
                let of = other.alternative_of.as_deref();
                of.is_some_and(|of| is_same(of, &line.name))
            });
            groups.push(std::iter::once(line).chain(ways).collect());
        }
        groups
    }

    /// The plan with a line added or, when it is there by its number, changed. A line that is chosen takes the place of
    /// the other ways of its group, and a group that would be left without a choice chooses its first.
    #[must_use]
    pub fn with(&self, line: &PlanLine) -> Self {
        let mut plan = self.clone();
        let before = plan
            .lines
            .iter()
            .position(|one| line.id != 0 && one.id == line.id);
        match before {
            Some(idx) => {
                let old = std::mem::replace(&mut plan.lines[idx], line.clone());
                for other in &mut plan.lines {
                    if other
                        .alternative_of
                        .as_deref()
                        .is_some_and(|of| is_same(of, &old.name))
                    {
                        other.alternative_of = Some(line.name.clone());
                    }
                }
            }
            None => plan.lines.push(line.clone()),
        }
        if line.is_chosen {
            for other in &mut plan.lines {
                let is_itself = is_same(&other.name, &line.name);
                if !is_itself && is_same(other.group(), line.group()) {
                    other.is_chosen = false;
                }
            }
        }
        plan.settle();
        plan
    }

    /// The plan without a line. When it was the first of its group, the next way becomes the first.
    #[must_use]
    pub fn without(&self, id: i64) -> Self {
        let mut plan = self.clone();
        let Some(idx) = plan.lines.iter().position(|line| line.id == id) else {
            return plan;
        };
        let gone = plan.lines.remove(idx);
        let mut next: Option<String> = None;
        for line in &mut plan.lines {
            if line
                .alternative_of
                .as_deref()
                .is_some_and(|of| is_same(of, &gone.name))
            {
                line.alternative_of.clone_from(&next);
                if next.is_none() {
                    next = Some(line.name.clone());
                    // What is now on its own, or first, counts as its group did.
                    line.is_chosen |= gone.is_chosen;
                }
            }
        }
        plan.settle();
        plan
    }

    /// Chooses the first way of each group that has no choice.
    fn settle(&mut self) {
        let names: Vec<String> = self
            .groups()
            .iter()
            .filter(|group| group.len() > 1 && group.iter().all(|line| !line.is_chosen))
            .filter_map(|group| group.first().map(|line| line.name.clone()))
            .collect();
        for line in &mut self.lines {
            if names.contains(&line.name) {
                line.is_chosen = true;
            }
        }
    }

    /// Refuses a plan whose lines do not fit together; says which line and why.
    ///
    /// # Errors
    /// The first of [`Plan::faults`].
    pub fn check(&self) -> Result<(), (usize, PlanError)> {
        self.faults().into_iter().next().map_or(Ok(()), Err)
    }

    /// Everything that cannot be, each with the place of its line: a line that cannot be, a name that comes twice, a
    /// line that is another way of something that is no first line of the plan, several ways of one thing of which not
    /// exactly one is chosen.
    #[must_use]
    pub fn faults(&self) -> Vec<(usize, PlanError)> {
        let mut faults = Vec::new();
        for (idx, line) in self.lines.iter().enumerate() {
            let earlier = &self.lines[..idx];
            if let Err(error) = line.check() {
                faults.push((idx, error));
            } else if earlier.iter().any(|one| is_same(&one.name, &line.name)) {
                let message = format!("'{}' is in the plan already", line.name.trim());
                faults.push((idx, PlanError::new("name", message)));
            } else if let Some(message) = self.stray(line) {
                faults.push((idx, PlanError::new("alternative_of", message)));
            }
        }
        if faults.is_empty() {
            self.choice_faults(&mut faults);
        }
        faults
    }

    /// Why a line is another way of nothing.
    fn stray(&self, line: &PlanLine) -> Option<String> {
        let of = line.alternative_of.as_deref()?;
        match self.line(of) {
            None => Some(format!("there is no '{}' in the plan", of.trim())),
            Some(first) if first.alternative_of.is_some() => Some(format!(
                "'{}' is itself another way of something",
                first.name
            )),
            Some(_) => None,
        }
    }

    fn choice_faults(&self, faults: &mut Vec<(usize, PlanError)>) {
        for group in self.groups() {
            let Some(first) = group.first().filter(|_first| group.len() > 1) else {
                continue;
            };
            let at = |name: &str| {
                let place = self.lines.iter().position(|line| line.name == name);
                place.unwrap_or_default()
            };
            let mut chosen = group.iter().filter(|line| line.is_chosen);
            let Some(one) = chosen.next() else {
                let message = format!("none of the ways of '{}' is chosen", first.name);
                faults.push((at(&first.name), PlanError::new("chosen", message)));
                continue;
            };
            for other in chosen {
                let message = format!(
                    "'{}' is chosen already, and only one of the ways can be",
                    one.name
                );
                faults.push((at(&other.name), PlanError::new("chosen", message)));
            }
        }
    }
}

/// Reads a month written `YYYY-MM`, or as any day in it.
///
/// # Errors
/// When it is no month between the years 1900 and 2200.
pub fn read_month(text: &str) -> Result<Month, String> {
    let trimmed = text.trim();
    let day = if trimmed.len() == 7 {
        parse_iso(&format!("{trimmed}-01"))
    } else {
        parse_iso(trimmed)
    };
    day.map(Month::of)
        .map_err(|_no_day| format!("'{trimmed}' is not a month; write it as 2026-01"))
}

/// A month as sheets and JSON have it: `2026-01`.
#[must_use]
pub fn show_month(month: Month) -> String {
    format!("{:04}-{:02}", month.year(), month.month())
}
