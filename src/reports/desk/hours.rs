//! The owner's hours with what an hour left: by month from the profit statement, by product from what it kept.
//! The arithmetic is `crate::desk`'s; nothing of it is posted.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use crate::book::Book;
use crate::dates::DateRange;
use crate::desk::{Earning, MonthEarning, ProductEarning, Timer, WorkTime, counts_as_making};
use crate::reports::{ReportError, margins, profit_by_month};

/// Hours of a range with what they left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoursReport {
    /// The days.
    pub range: DateRange,
    /// The time, by day and clock.
    pub times: Vec<WorkTime>,
    /// Each activity with its minutes, the longest first.
    pub activities: Vec<(String, u32)>,
    /// The whole range: net profit over all hours.
    pub whole: Earning,
    /// The months of which hours are told.
    pub months: Vec<MonthEarning>,
    /// The products of which making hours are told.
    pub products: Vec<ProductEarning>,
    /// The timer, when it runs.
    pub timer: Option<Timer>,
}

/// The hours of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn hours(book: &Book, range: DateRange) -> Result<HoursReport, ReportError> {
    let times = book.work_times(range)?;
    let mut by_activity: BTreeMap<&str, u32> = BTreeMap::new();
    let mut by_item: BTreeMap<&str, u32> = BTreeMap::new();
    for time in &times {
        *by_activity.entry(&time.activity).or_default() += time.minutes;
        if let Some(item) = &time.item
            && counts_as_making(&time.activity)
        {
            *by_item.entry(item).or_default() += time.minutes;
        }
    }
    let mut activities: Vec<(String, u32)> = by_activity
        .into_iter()
        .map(|(activity, minutes)| (activity.to_owned(), minutes))
        .collect();
    activities.sort_by(|(one, less), (other, more)| more.cmp(less).then(one.cmp(other)));
    let mut months = Vec::new();
    let mut whole = Earning::default();
    for (month, statement) in profit_by_month(book, range)? {
        let minutes = times
            .iter()
            .filter(|time| month.range().contains(time.day))
            .map(|time| time.minutes)
            .sum();
        let kept = statement.totals.net_profit;
        whole.kept += kept;
        whole.minutes += minutes;
        if minutes > 0 {
            months.push(MonthEarning {
                month,
                earning: Earning { kept, minutes },
            });
        }
    }
    let products = products(book, range, by_item)?;
    Ok(HoursReport {
        range,
        activities,
        whole,
        months,
        products,
        timer: book.running_timer()?,
        times,
    })
}

fn products(
    book: &Book,
    range: DateRange,
    by_item: BTreeMap<&str, u32>,
) -> Result<Vec<ProductEarning>, ReportError> {
    if by_item.is_empty() {
        return Ok(Vec::new());
    }
    let margins = margins(book, range)?;
    let items = book.items()?;
    let mut list: Vec<ProductEarning> = by_item
        .into_iter()
        .map(|(code, minutes)| {
            let kept = margins
                .iter()
                .find(|margin| margin.item == code)
                .map(|margin| margin.kept());
            let item = items.iter().find(|item| item.code == code);
            ProductEarning {
                item: code.to_owned(),
                name: item.map_or_else(|| code.to_owned(), |item| item.name.clone()),
                earning: Earning {
                    kept: kept.unwrap_or_default(),
                    minutes,
                },
            }
        })
        .collect();
    list.sort_by_key(|one| std::cmp::Reverse(one.earning.each_hour()));
    Ok(list)
}

/// The week, from Monday to Sunday, that a day lies in.
#[must_use]
pub fn week_of(day: NaiveDate) -> DateRange {
    use chrono::Datelike;
    let since_monday = u64::from(day.weekday().num_days_from_monday());
    let from = day.checked_sub_days(Days::new(since_monday)).unwrap_or(day);
    DateRange {
        from,
        to: from.checked_add_days(Days::new(6)).unwrap_or(from),
    }
}
