//! The files of `assets/forms`: the lines of a form of one tax year, how each comes about, which account goes where.
//! Reading and checking them; what stands on the lines is worked out above.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::ledger::Role;

/// The files, as they stand in the program.
const FILES: &[(&str, &str)] = &[
    (
        "us-schedule-c-2024",
        include_str!("../../assets/forms/us-schedule-c-2024.toml"),
    ),
    (
        "us-schedule-c-2025",
        include_str!("../../assets/forms/us-schedule-c-2025.toml"),
    ),
    (
        "uk-sa103s-2024",
        include_str!("../../assets/forms/uk-sa103s-2024.toml"),
    ),
    (
        "uk-sa103s-2025",
        include_str!("../../assets/forms/uk-sa103s-2025.toml"),
    ),
];

/// Whether a line takes what comes in or what goes out; both stand on it as positive amounts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// What comes in.
    Income,
    /// What goes out, or is taken off.
    Cost,
}

/// One line of a form: a sum of accounts, worked out from other lines, or a line of the working of goods sold.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineRule {
    /// Its number on the form.
    pub number: String,
    /// The part of the form.
    pub part: String,
    /// What it is, in short words.
    pub what: String,
    /// For a sum of accounts: which way they count.
    #[serde(default)]
    pub side: Option<Side>,
    /// For a line worked out: the lines added.
    #[serde(default)]
    pub plus: Vec<String>,
    /// For a line worked out: the lines taken off.
    #[serde(default)]
    pub minus: Vec<String>,
    /// For a line of the working of goods sold: which.
    #[serde(default)]
    pub goods: Option<String>,
    /// Whether it is the net profit.
    #[serde(default)]
    pub net: bool,
    /// Whether it could not be held against the published form.
    #[serde(default)]
    pub unverified: bool,
}

impl LineRule {
    /// Whether it is worked out from other lines.
    #[must_use]
    pub fn is_worked_out(&self) -> bool {
        !self.plus.is_empty()
    }
}

/// A role whose accounts the form does not take.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// The role.
    pub role: String,
    /// Why.
    pub why: String,
}

/// A form of one tax year.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormFile {
    /// Its name in settings and on the command line.
    pub form: String,
    /// Its title.
    pub title: String,
    /// Where it is filed.
    pub place: String,
    /// The currency of the books it is for.
    pub currency: String,
    /// The calendar year in which its tax year ends.
    pub year: i32,
    /// Its tax year, as it is written.
    pub for_year: String,
    /// Where its lines are published and how they were read.
    pub source: String,
    /// The day that was checked.
    pub checked: String,
    /// The line that takes what the goods sold cost, where the form asks for its working.
    #[serde(default)]
    pub goods_line: Option<String>,
    /// Its lines.
    #[serde(rename = "line")]
    pub lines: Vec<LineRule>,
    /// What an account may name instead of a line.
    #[serde(default)]
    pub alias: BTreeMap<String, String>,
    /// The line of each role.
    pub roles: BTreeMap<String, String>,
    /// The roles it does not take.
    #[serde(default)]
    pub left_out: Vec<LeftOut>,
}

impl FormFile {
    /// The line of accounts that name this one: itself, or what it stands for; none when it takes no accounts.
    #[must_use]
    pub fn place_of(&self, named: &str) -> Option<&str> {
        let number = self.alias.get(named).map_or(named, String::as_str);
        let rule = self.lines.iter().find(|rule| rule.number == number)?;
        let takes = rule.side.is_some() || self.goods_line.as_deref() == Some(number);
        takes.then_some(rule.number.as_str())
    }

    /// The line of accounts of a role.
    #[must_use]
    pub fn place_of_role(&self, role: &str) -> Option<&str> {
        self.roles.get(role).and_then(|line| self.place_of(line))
    }

    fn check(&self) -> Result<(), String> {
        let line = |number: &String| self.lines.iter().any(|rule| rule.number == *number);
        for rule in &self.lines {
            if let Some(missing) = rule.plus.iter().chain(&rule.minus).find(|it| !line(it)) {
                return Err(format!(
                    "line {} rests on {missing}, which is not there",
                    rule.number
                ));
            }
        }
        for (role, number) in &self.roles {
            role.parse::<Role>()?;
            if self.place_of(number).is_none() {
                return Err(format!(
                    "{role} goes to line {number}, which takes no accounts"
                ));
            }
        }
        for one in &self.left_out {
            one.role.parse::<Role>()?;
        }
        if self.lines.iter().filter(|rule| rule.net).count() != 1 {
            return Err("one line must be the net profit".to_owned());
        }
        Ok(())
    }
}

/// A file of a form that cannot be used, which a test rules out for those in the program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the form lines of {file} cannot be read: {what}")]
pub struct FormFault {
    /// The file.
    pub file: String,
    /// What is wrong.
    pub what: String,
}

/// Every form of every year that is known, by name and year.
///
/// # Errors
/// When a file is not as it should be.
pub fn forms() -> Result<Vec<FormFile>, FormFault> {
    let mut forms = Vec::new();
    for (file, text) in FILES {
        let fault = |what: String| FormFault {
            file: (*file).to_owned(),
            what,
        };
        let form: FormFile = toml::from_str(text).map_err(|error| fault(error.to_string()))?;
        form.check().map_err(fault)?;
        forms.push(form);
    }
    forms.sort_by(|a, b| (&a.form, a.year).cmp(&(&b.form, b.year)));
    Ok(forms)
}

/// The form of this name whose year is nearest, and the words that say so when it is another year's.
#[must_use]
pub fn nearest(forms: &[FormFile], name: &str, year: i32) -> Option<(FormFile, Option<String>)> {
    let of_name = forms.iter().filter(|form| form.form == name);
    let form = of_name.min_by_key(|form| (form.year - year).abs())?.clone();
    let assumed = (form.year != year).then(|| {
        format!(
            "The lines of the form for the year ending in {year} are not known here. These are the lines of {}, as an assumption: \
             lines move between years, so hold them against the form of your year.",
            form.for_year
        )
    });
    Some((form, assumed))
}
