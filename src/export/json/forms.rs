//! A year by the lines of a tax form, as JSON.

use serde::Serialize;

use super::Period;
use crate::form_lines::{FORM_CAUTION, FormAccount, FormLines};
use crate::money::Currency;

/// A year by the lines of a tax form.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FormLinesJson {
    #[serde(flatten)]
    period: Period,
    form: String,
    title: String,
    tax_year: String,
    assumed: Option<String>,
    basis: &'static str,
    lines: Vec<FormLineJson>,
    left_out: Vec<FormAccountJson>,
    without_line: Vec<FormAccountJson>,
    net: String,
    not_taken: String,
    net_profit: String,
    source: String,
    checked: String,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FormLineJson {
    line: String,
    part: String,
    what: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    amount: Option<String>,
    #[serde(skip_serializing_if = "String::is_empty")]
    words: String,
    worked_out: bool,
    verified: bool,
    accounts: Vec<FormAccountJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FormAccountJson {
    account: String,
    amount: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    why: String,
}

/// A year by the lines of a tax form as JSON.
#[must_use]
pub fn form_lines(report: &FormLines, currency: &Currency) -> FormLinesJson {
    let accounts = |list: &[FormAccount]| -> Vec<FormAccountJson> {
        let one = |one: &FormAccount| FormAccountJson {
            account: one.title.clone(),
            amount: currency.plain(one.amount),
            why: one.why.clone(),
        };
        list.iter().map(one).collect()
    };
    let lines = report.lines.iter().map(|line| FormLineJson {
        line: line.number.clone(),
        part: line.part.clone(),
        what: line.what.clone(),
        amount: line.amount.map(|amount| currency.plain(amount)),
        words: line.words.clone(),
        worked_out: line.is_worked_out,
        verified: !line.is_unverified,
        accounts: accounts(&line.accounts),
    });
    FormLinesJson {
        period: Period::new(currency, report.range),
        form: report.form.clone(),
        title: report.title.clone(),
        tax_year: report.for_year.clone(),
        assumed: report.assumed.clone(),
        basis: report.basis.as_str(),
        lines: lines.collect(),
        left_out: accounts(&report.left_out),
        without_line: accounts(&report.without_line),
        net: currency.plain(report.net),
        not_taken: currency.plain(report.not_taken()),
        net_profit: currency.plain(report.profit),
        source: report.source.clone(),
        checked: report.checked.clone(),
        caution: FORM_CAUTION,
    }
}
