//! The set-aside estimate with its lines and instalments, and the published rates there are, as JSON.
//! What they come to is `set_aside`'s.

use chrono::NaiveDate;
use serde::Serialize;

use super::Period;
use crate::dates::DateRange;
use crate::money::Currency;
use crate::reports::DueDates;
use crate::set_aside::rates::{Band, Bands, By, Figured, Published, Unit};
use crate::set_aside::{Answer, AnswerKind, CAUTION, Due, Estimate, Library};

/// The set-aside estimate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SetAsideJson {
    #[serde(flatten)]
    period: Period,
    year: i32,
    method: String,
    title: String,
    tax_year: Days,
    profit: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    forecast: Option<String>,
    lines: Vec<EstimateLineJson>,
    year_total: String,
    total: String,
    already_paid: String,
    put_by: String,
    to_move: String,
    instalments: Vec<InstalmentJson>,
    dates_source: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    rates: Option<RatesUsedJson>,
    notes: Vec<String>,
    warnings: Vec<String>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct Days {
    from: NaiveDate,
    to: NaiveDate,
}

impl From<DateRange> for Days {
    fn from(days: DateRange) -> Self {
        Self {
            from: days.from,
            to: days.to,
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RatesUsedJson {
    name: String,
    title: String,
    year: String,
    assumed_for: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct EstimateLineJson {
    no: u32,
    key: String,
    label: String,
    formula: String,
    amount: String,
    source: String,
    explanation: String,
    caution: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct InstalmentJson {
    no: u32,
    label: String,
    from: NaiveDate,
    to: NaiveDate,
    due: NaiveDate,
    moved_because: String,
    amount: String,
    note: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    equal: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    annualised: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    annualised_formula: Option<String>,
}

/// The set-aside estimate as JSON.
#[must_use]
pub fn set_aside(estimate: &Estimate, days: DateRange, currency: &Currency) -> SetAsideJson {
    let money = |amount| currency.plain(amount);
    SetAsideJson {
        period: Period::new(currency, days),
        year: estimate.year,
        method: estimate.method.clone(),
        title: estimate.title.clone(),
        tax_year: estimate.tax_year.into(),
        profit: money(estimate.profit),
        forecast: estimate.forecast.map(money),
        lines: estimate
            .lines
            .iter()
            .map(|line| EstimateLineJson {
                no: line.no,
                key: line.key.clone(),
                label: line.label.clone(),
                formula: line.formula.clone(),
                amount: line.amount.plain(currency),
                source: line.source.clone(),
                explanation: line.explanation.clone(),
                caution: line.caution.clone(),
            })
            .collect(),
        year_total: money(estimate.year_total),
        total: money(estimate.total),
        already_paid: money(estimate.already_paid),
        put_by: money(estimate.put_by),
        to_move: money(estimate.to_move),
        instalments: estimate
            .instalments
            .iter()
            .map(|one| InstalmentJson {
                no: one.no,
                label: one.label.clone(),
                from: one.period.from,
                to: one.period.to,
                due: one.due,
                moved_because: one.moved_because.clone(),
                amount: money(one.needed),
                note: one.note.clone(),
                equal: one.columns.as_ref().map(|ways| money(ways.equal)),
                annualised: one
                    .columns
                    .as_ref()
                    .and_then(|ways| ways.annualised.map(money)),
                annualised_formula: one
                    .columns
                    .as_ref()
                    .map(|ways| ways.formula.clone())
                    .filter(|formula| !formula.is_empty()),
            })
            .collect(),
        dates_source: estimate.dates_source.clone(),
        rates: estimate.rates.as_ref().map(|rates| RatesUsedJson {
            name: rates.name.clone(),
            title: rates.title.clone(),
            year: rates.year.clone(),
            assumed_for: rates.assumed_for.clone(),
        }),
        notes: estimate.notes.clone(),
        warnings: estimate.warnings.clone(),
        caution: estimate.caution,
    }
}

/// Days instalments are due.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DueDatesJson {
    year: i32,
    title: String,
    due_dates: Vec<DueDateJson>,
    source: String,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct DueDateJson {
    no: u32,
    label: String,
    from: NaiveDate,
    to: NaiveDate,
    due: NaiveDate,
    moved_because: String,
}

/// The days instalments are due as JSON.
#[must_use]
pub fn due_dates(dates: &DueDates, year: i32) -> DueDatesJson {
    let day = |(label, due): &(String, Due)| DueDateJson {
        no: due.no,
        label: label.clone(),
        from: due.period.from,
        to: due.period.to,
        due: due.due,
        moved_because: due.moved_because.clone(),
    };
    DueDatesJson {
        year,
        title: dates.title.clone(),
        due_dates: dates.dues.iter().map(day).collect(),
        source: dates.source.clone(),
        caution: CAUTION,
    }
}

/// Every method and every published figure there is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RatesJson {
    methods: Vec<MethodJson>,
    rates: Vec<RatesOfYearJson>,
    faults: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MethodJson {
    name: String,
    title: String,
    own: bool,
    answers: Vec<AnswerJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct AnswerJson {
    setting: String,
    kind: &'static str,
    label: String,
    explanation: String,
    required: bool,
    default: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    choices: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RatesOfYearJson {
    name: String,
    title: String,
    currency: String,
    year: String,
    #[serde(flatten)]
    days: Days,
    own: bool,
    figures: Vec<FigureJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FigureJson {
    key: String,
    label: String,
    #[serde(flatten)]
    value: ValueJson,
    source: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    read: String,
    checked: NaiveDate,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
enum ValueJson {
    Figure {
        unit: &'static str,
        values: serde_json::Map<String, serde_json::Value>,
    },
    Table {
        bands: serde_json::Map<String, serde_json::Value>,
    },
}

/// The rates as JSON, of one method only when it is named.
#[must_use]
pub fn rates(library: &Library, currency: &Currency, only: Option<&str>) -> RatesJson {
    let is_wanted = |name: &str| only.is_none_or(|only| only == name);
    RatesJson {
        methods: library
            .offers(currency.code())
            .into_iter()
            .filter(|offer| is_wanted(&offer.name))
            .map(|offer| MethodJson {
                answers: library.answers_of(&offer.name).iter().map(answer).collect(),
                name: offer.name,
                title: offer.title,
                own: offer.is_own,
            })
            .collect(),
        rates: library
            .all_rates()
            .filter(|(rates, sheet)| is_wanted(&rates.name) || is_wanted(&sheet.name))
            .map(|(rates, sheet)| RatesOfYearJson {
                name: rates.name.clone(),
                title: rates.title.clone(),
                currency: sheet.currency.clone(),
                year: rates.year.clone(),
                days: rates.days.into(),
                own: library.is_own(&rates.name),
                figures: rates
                    .figures
                    .iter()
                    .map(figure)
                    .chain(rates.tables.iter().map(table))
                    .collect(),
            })
            .collect(),
        faults: library.faults().iter().map(ToString::to_string).collect(),
    }
}

fn answer(answer: &Answer) -> AnswerJson {
    AnswerJson {
        setting: answer.setting(),
        kind: match answer.kind {
            AnswerKind::Amount => "amount",
            AnswerKind::Percent => "percent",
            AnswerKind::Count => "count",
            AnswerKind::Choice(_) => "choice",
            AnswerKind::YesNo => "yes-no",
        },
        label: answer.label.clone(),
        explanation: answer.explain.clone(),
        required: answer.is_required,
        default: answer.default.clone(),
        choices: answer.words().into_iter().map(str::to_owned).collect(),
    }
}

fn figure(one: &Published<Figured>) -> FigureJson {
    let unit = one.value.values.values().next().map(|figured| figured.unit);
    published(
        one,
        ValueJson::Figure {
            unit: match unit {
                Some(Unit::Percent) => "percent",
                Some(Unit::Count) => "count",
                _ => "amount",
            },
            values: by_word(&one.value, |figured| figured.plain().into()),
        },
    )
}

fn table(one: &Published<Bands>) -> FigureJson {
    let band = |band: &Band| {
        serde_json::json!({
            "from": band.from.to_string(),
            "to": band.to.map(|to| to.to_string()),
            "percent": band.rate.to_string(),
        })
    };
    let bands = by_word(&one.value, |bands| bands.all().iter().map(band).collect());
    published(one, ValueJson::Table { bands })
}

fn published<T>(one: &Published<T>, value: ValueJson) -> FigureJson {
    FigureJson {
        key: one.key.clone(),
        label: one.label.clone(),
        value,
        source: one.source.clone(),
        read: one.read.clone(),
        checked: one.checked,
    }
}

/// Values by the word of the choice they depend on, `all` where they depend on none.
fn by_word<T>(
    by: &By<T>,
    value: impl Fn(&T) -> serde_json::Value,
) -> serde_json::Map<String, serde_json::Value> {
    by.values
        .iter()
        .map(|(word, one)| {
            let word = if word.is_empty() { "all" } else { word };
            (word.to_owned(), value(one))
        })
        .collect()
}
