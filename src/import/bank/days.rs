//! Days as banks write them, under each order in which a day can be meant.
//! Which order a file has is found over all of it, in `evidence`.

use chrono::NaiveDate;

use super::words::words;
use crate::bank::DateOrder;

/// What a cell is as a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::import) enum Day {
    /// No day at all.
    Not,
    /// Written like a day; each order gives one or cannot be. All three empty: there is no such day.
    Read([Option<NaiveDate>; 3]),
}

impl Day {
    /// The day under an order.
    pub(in crate::import) fn under(self, order: DateOrder) -> Option<NaiveDate> {
        match self {
            Self::Not => None,
            Self::Read(days) => days[order as usize],
        }
    }

    /// Whether it is written like a day.
    pub(in crate::import) const fn is_written(self) -> bool {
        matches!(self, Self::Read(_))
    }

    /// Whether some order gives a day.
    pub(in crate::import) fn is_possible(self) -> bool {
        matches!(self, Self::Read(days) if days.iter().any(Option::is_some))
    }
}

const LONGEST: usize = 60;

/// Reads a day; a time of day behind it and a weekday before it are passed over.
pub(in crate::import) fn day(cell: &str) -> Day {
    let cell = cell.trim().trim_start_matches('\'');
    if cell.len() > LONGEST || !cell.bytes().any(|byte| byte.is_ascii_digit()) {
        return Day::Not;
    }
    if let Some(day) = plain(cell.as_bytes()) {
        return day;
    }
    let (parts, rest) = parts(cell);
    if !rest.is_empty() && !is_time(rest) {
        return Day::Not;
    }
    match parts.as_slice() {
        [Part::Number(digits)] => packed(digits),
        [Part::Number(one), Part::Number(two), Part::Number(three)] => numbers(one, two, three),
        [Part::Number(one), Part::Month(month), Part::Number(three)] => {
            if one.len() == 4 {
                same(date(one, *month, three))
            } else {
                same(date(three, *month, one))
            }
        }
        [Part::Month(month), Part::Number(day), Part::Number(year)] => {
            same(date(year, *month, day))
        }
        _ => Day::Not,
    }
}

/// The commonest ways at once: two, two and four digits with marks between, or four, two and two.
fn plain(cell: &[u8]) -> Option<Day> {
    let is_mark = |byte: u8| matches!(byte, b'.' | b'/' | b'-');
    let digits = |from: usize, to: usize| {
        cell[from..to].iter().try_fold(0_u32, |number, byte| {
            byte.is_ascii_digit()
                .then(|| number * 10 + u32::from(byte - b'0'))
        })
    };
    if cell.len() != 10 {
        return None;
    }
    let in_order = |year: u32, month: u32, day: u32| {
        let is_year = (1900..2200).contains(&year);
        let year = i32::try_from(year).ok().filter(|_| is_year)?;
        NaiveDate::from_ymd_opt(year, month, day)
    };
    if is_mark(cell[2]) && is_mark(cell[5]) {
        let (one, two, year) = (digits(0, 2)?, digits(3, 5)?, digits(6, 10)?);
        return Some(Day::Read([
            None,
            in_order(year, two, one),
            in_order(year, one, two),
        ]));
    }
    if is_mark(cell[4]) && is_mark(cell[7]) {
        let (year, month, day) = (digits(0, 4)?, digits(5, 7)?, digits(8, 10)?);
        return Some(Day::Read([in_order(year, month, day), None, None]));
    }
    None
}

#[derive(Clone, Copy, Debug)]
enum Part<'a> {
    Number(&'a str),
    Month(u32),
}

/// The first parts of a day and what is behind them.
fn parts(cell: &str) -> (Vec<Part<'_>>, &str) {
    let mut found: Vec<Part<'_>> = Vec::new();
    let mut rest = cell;
    while found.len() < 3 {
        let Some(first) = rest.chars().next() else {
            break;
        };
        let is_kind = |c: char| {
            if first.is_ascii_digit() {
                c.is_ascii_digit()
            } else {
                c.is_alphabetic()
            }
        };
        let end = rest.find(|c| !is_kind(c)).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        if first.is_ascii_digit() {
            found.push(Part::Number(word));
            if found.len() == 1 && word.len() >= 6 {
                rest = after;
                break;
            }
        } else if let Some(month) = words().month(word) {
            found.push(Part::Month(month));
        } else if found.is_empty() && (2..=12).contains(&word.chars().count()) {
            // A weekday.
        } else if found.len() == 1 && matches!(word, "st" | "nd" | "rd" | "th" | "de") {
            // An English ordinal, or the Spanish word between day and month.
        } else {
            return (Vec::new(), cell);
        }
        rest = after;
        if found.len() < 3 {
            let next = rest.trim_start_matches([' ', '\u{a0}', '.', '/', '-', ',', '\u{2013}']);
            if rest.len() - next.len() > 4 {
                return (Vec::new(), cell);
            }
            rest = next;
            if let Some(after) = rest.strip_prefix("de ") {
                rest = after;
            }
        }
    }
    (found, rest)
}

/// Whether what follows a day is a time of day, or only a stop.
fn is_time(rest: &str) -> bool {
    let text = rest.trim_start_matches(['T', 't', ' ', ',', '\u{a0}', '.']);
    if text.is_empty() {
        return rest.trim_end_matches(['.', ',', ' ', 'Z']).is_empty();
    }
    let Some(text) = (text.len() < rest.len()).then_some(text) else {
        return false;
    };
    let clock = text.split(['+', 'Z', '[', ' ']).next().unwrap_or_default();
    let fields: Vec<&str> = clock.split([':', '.']).collect();
    (2..=4).contains(&fields.len())
        && fields
            .iter()
            .all(|field| !field.is_empty() && field.bytes().all(|byte| byte.is_ascii_digit()))
        && fields.first().and_then(|hour| hour.parse::<u32>().ok()) < Some(25)
}

/// `20260105`, `05012026`, `260105`; with a time behind it, `20260105093000`.
fn packed(digits: &str) -> Day {
    let read = |from: usize, to: usize| digits.get(from..to).unwrap_or_default();
    match digits.len() {
        8 | 12 | 14 => {
            let ymd = date(read(0, 4), number(read(4, 6)), read(6, 8));
            if digits.len() > 8 {
                return Day::Read([ymd, None, None]);
            }
            Day::Read([
                ymd,
                date(read(4, 8), number(read(2, 4)), read(0, 2)),
                date(read(4, 8), number(read(0, 2)), read(2, 4)),
            ])
        }
        6 => Day::Read([
            date(read(0, 2), number(read(2, 4)), read(4, 6)),
            date(read(4, 6), number(read(2, 4)), read(0, 2)),
            date(read(4, 6), number(read(0, 2)), read(2, 4)),
        ]),
        _ => Day::Not,
    }
}

fn numbers(one: &str, two: &str, three: &str) -> Day {
    if [one, two, three].iter().any(|part| part.len() > 4) {
        return Day::Not;
    }
    Day::Read([
        date(one, number(two), three),
        date(three, number(two), one),
        date(three, number(one), two),
    ])
}

fn same(day: Option<NaiveDate>) -> Day {
    Day::Read([day, day, day])
}

/// A day of a year written with four or two digits; two-digit years are those from 1980 to 2079.
fn date(year: &str, month: u32, day: &str) -> Option<NaiveDate> {
    if day.len() > 2 {
        return None;
    }
    let written: i32 = year.parse().ok()?;
    let year = match year.len() {
        4 if (1900..2200).contains(&written) => written,
        2 if written >= 80 => 1900 + written,
        2 => 2000 + written,
        _ => return None,
    };
    NaiveDate::from_ymd_opt(year, month, day.parse().ok()?)
}

fn number(text: &str) -> u32 {
    if text.len() > 2 {
        return 0;
    }
    text.parse().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(cell: &str) -> String {
        match day(cell) {
            Day::Not => "no day".to_owned(),
            Day::Read(days) => days
                .map(|day| day.map_or("-".to_owned(), |day| day.to_string()))
                .join(" "),
        }
    }

    /// By hand: year-month-day, day-month-year, month-day-year.
    #[test]
    fn a_day_is_read_under_each_order() {
        for (cell, expected) in [
            ("2026-01-05", "2026-01-05 - -"),
            ("2026/1/5", "2026-01-05 - -"),
            ("05.01.2026", "- 2026-01-05 2026-05-01"),
            ("5/1/2026", "- 2026-01-05 2026-05-01"),
            ("31/01/2026", "- 2026-01-31 -"),
            ("01/31/2026", "- - 2026-01-31"),
            ("05/04/26", "2005-04-26 2026-04-05 2026-05-04"),
            ("31.01.26", "2031-01-26 2026-01-31 -"),
            ("20260105", "2026-01-05 - -"),
            ("05012026", "- 2026-01-05 2026-05-01"),
            ("20260105093000", "2026-01-05 - -"),
            ("2026-01-05T09:30:00Z", "2026-01-05 - -"),
            ("2026-01-05 09:30", "2026-01-05 - -"),
            ("2026-01-05T23:59:59.123+01:00", "2026-01-05 - -"),
            ("05.01.2026 9:30", "- 2026-01-05 2026-05-01"),
            ("05.01.2026.", "- 2026-01-05 2026-05-01"),
            ("5 Jan 2026", "2026-01-05 2026-01-05 2026-01-05"),
            ("05-JAN-26", "2026-01-05 2026-01-05 2026-01-05"),
            ("Jan 5, 2026", "2026-01-05 2026-01-05 2026-01-05"),
            ("5th January 2026", "2026-01-05 2026-01-05 2026-01-05"),
            ("5. März 2026", "2026-03-05 2026-03-05 2026-03-05"),
            ("5 de enero de 2026", "2026-01-05 2026-01-05 2026-01-05"),
            ("Mo, 05.01.2026", "- 2026-01-05 2026-05-01"),
            ("31/02/2026", "- - -"),
            ("2026-13-01", "- - -"),
            ("29.02.2025", "- - -"),
            ("29.02.2024", "- 2024-02-29 -"),
            ("", "no day"),
            ("12.50", "no day"),
            ("Total", "no day"),
            ("31.01.2026 Closing balance", "no day"),
            ("12345", "no day"),
            ("05.01.", "no day"),
        ] {
            assert_eq!(shown(cell), expected, "'{cell}'");
        }
    }
}
