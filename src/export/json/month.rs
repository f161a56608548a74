//! The card of a month as JSON.
//! What it says is `reports`'.

use chrono::NaiveDate;
use serde::Serialize;

use super::Period;
use crate::money::Currency;
use crate::reports::MonthCard;

/// A month that is over, with its four points.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MonthJson {
    #[serde(flatten)]
    period: Period,
    finished: bool,
    finished_through: Option<NaiveDate>,
    in_words: String,
    points: Vec<PointJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PointJson {
    point: &'static str,
    title: &'static str,
    done: bool,
    what: String,
    open: Vec<String>,
}

/// A month as JSON.
#[must_use]
pub fn month(
    card: &MonthCard,
    finished_through: Option<NaiveDate>,
    currency: &Currency,
) -> MonthJson {
    MonthJson {
        period: Period::new(currency, card.month.range()),
        finished: card.is_finished,
        finished_through,
        in_words: card.in_words(),
        points: card
            .points
            .iter()
            .map(|point| PointJson {
                point: point.key,
                title: point.title,
                done: point.is_done(),
                what: point.done.clone(),
                open: point.open.iter().map(|one| one.what.clone()).collect(),
            })
            .collect(),
    }
}
