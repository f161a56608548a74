//! Days as an iCalendar file after RFC 5545, which any calendar reads: whole-day events with a reminder.
//! Which days they are is for others; nothing of money is in it unless it was asked for.

use chrono::{Days, NaiveDate};

use super::ExportError;
use crate::book::Book;
use crate::dates::show_day;
use crate::desk::{PAPERS_CAUTION, period_words};
use crate::money::{Currency, Money};
use crate::reports::{AHEAD_DAYS, DueDates, DutiesReport};
use crate::set_aside::{CAUTION, Due};

/// One event that takes a whole day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayEvent {
    /// What it is known by for good, so that a calendar replaces it when it is read again.
    pub uid: String,
    /// The day.
    pub day: NaiveDate,
    /// Its title.
    pub summary: String,
    /// What is said beneath.
    pub description: String,
    /// How many days before to be reminded; not at all for none.
    pub remind_days_before: Option<u32>,
}

/// The longest line of a file in octets, without its end (RFC 5545, 3.1).
const LONGEST: usize = 75;

/// A year's instalments as a calendar file, a reminder a week before each. `amounts` are what is needed for each; without
/// them neither a figure nor a method is told. `stamp` is the day it is written.
#[must_use]
pub fn due_dates(
    book: &Book,
    year: i32,
    dates: &DueDates,
    amounts: &[Money],
    stamp: NaiveDate,
) -> String {
    let events: Vec<DayEvent> = dates
        .dues
        .iter()
        .enumerate()
        .map(|(idx, (label, due))| {
            instalment(year, label, due, amounts.get(idx).copied(), book.currency())
        })
        .collect();
    let name = match book.settings().business_name() {
        "" => "Set-aside instalments".to_owned(),
        name => format!("{name}: set-aside instalments"),
    };
    of_book(book, name, events, stamp)
}

/// The calendar file of a book. A practice copy's days never take the place of the real book's.
fn of_book(book: &Book, name: String, mut events: Vec<DayEvent>, stamp: NaiveDate) -> String {
    if !book.is_practice() {
        return text(&name, &events, stamp);
    }
    for event in &mut events {
        event.uid.insert_str(0, "practice-");
        event.summary.insert_str(0, PRACTICE);
    }
    text(&format!("{PRACTICE}{name}"), &events, stamp)
}

/// With what each title of a practice copy's calendar begins.
const PRACTICE: &str = "Practice copy: ";

/// The day an instalment is due.
fn instalment(
    year: i32,
    label: &str,
    due: &Due,
    amount: Option<Money>,
    currency: &Currency,
) -> DayEvent {
    let name = match label {
        "" => "Set-aside instalment",
        label => label,
    };
    let summary = match amount {
        Some(amount) => format!(
            "{name} due: about {} {}",
            currency.code(),
            currency.plain(amount)
        ),
        None => format!("{name} due"),
    };
    let (from, to) = (show_day(due.period.from), show_day(due.period.to));
    let mut description = format!("For {from} to {to}.\n");
    if !due.moved_because.is_empty() {
        description.push_str(&format!("Moved: {}.\n", due.moved_because));
    }
    description.push_str(CAUTION);
    DayEvent {
        uid: format!("{year}-{}-{}@set-aside.deckle", due.no, due.period.to),
        day: due.due,
        summary,
        description,
        remind_days_before: Some(7),
    }
}

/// The days of the duties a year ahead, each with its own reminder, and the tax dates alongside. Each time a duty comes is
/// known by the duty and how often it was done before, so that a day that was put right replaces itself. `stamp` is the day
/// it is written.
#[must_use]
pub fn duties(book: &Book, report: &DutiesReport, stamp: NaiveDate) -> String {
    let last = stamp + Days::new(AHEAD_DAYS);
    let mut events = Vec::new();
    for one in &report.duties {
        let duty = &one.duty;
        let mut coming = duty.clone();
        for (place, day) in duty.days_through(last).into_iter().enumerate() {
            let mut description = format!("{}, {}.\n", duty.kind.plain(), duty.cycle_words());
            let mut summary = format!("{} due", duty.name);
            if let Some(period) = coming.period() {
                summary = format!("{} for {} due", duty.name, period_words(period));
                description.push_str("Due also when nothing was sold in the period.\n");
            }
            if !duty.note.is_empty() {
                description.push_str(&format!("{}\n", duty.note));
            }
            description.push_str(PAPERS_CAUTION);
            events.push(DayEvent {
                uid: format!("{}-{}@duty.deckle", duty.id, one.done.len() + place + 1),
                day,
                summary,
                description,
                remind_days_before: Some(duty.remind_days),
            });
            coming = coming.moved_on().unwrap_or(coming);
        }
    }
    for day in &report.tax_days {
        let currency = book.currency();
        events.push(instalment(day.year, &day.label, &day.due, None, currency));
    }
    let name = match book.settings().business_name() {
        "" => "Duties and tax dates".to_owned(),
        name => format!("{name}: duties and tax dates"),
    };
    of_book(book, name, events, stamp)
}

/// The text of a calendar file. `stamp` is the day it is written.
#[must_use]
pub fn text(name: &str, events: &[DayEvent], stamp: NaiveDate) -> String {
    let mut file = CalendarText::default();
    file.line("BEGIN:VCALENDAR");
    file.line("VERSION:2.0");
    file.line("PRODID:-//Deckle//Set aside//EN");
    file.line("CALSCALE:GREGORIAN");
    file.line("METHOD:PUBLISH");
    file.text("X-WR-CALNAME", name);
    for event in events {
        let next = event.day.checked_add_days(Days::new(1));
        file.line("BEGIN:VEVENT");
        file.text("UID", &event.uid);
        file.line(&format!("DTSTAMP:{}T000000Z", stamp.format("%Y%m%d")));
        file.line(&format!(
            "DTSTART;VALUE=DATE:{}",
            event.day.format("%Y%m%d")
        ));
        if let Some(next) = next {
            file.line(&format!("DTEND;VALUE=DATE:{}", next.format("%Y%m%d")));
        }
        file.text("SUMMARY", &event.summary);
        file.text("DESCRIPTION", &event.description);
        file.line("TRANSP:TRANSPARENT");
        if let Some(days) = event.remind_days_before {
            file.line("BEGIN:VALARM");
            file.line("ACTION:DISPLAY");
            file.text("DESCRIPTION", &event.summary);
            file.line(&format!("TRIGGER:-P{days}D"));
            file.line("END:VALARM");
        }
        file.line("END:VEVENT");
    }
    file.line("END:VCALENDAR");
    file.written
}

/// Writes a calendar file where none is.
///
/// # Errors
/// When something is there already, or the system refuses; nothing is left behind then.
pub fn write(path: &std::path::Path, text: &str) -> Result<(), ExportError> {
    use std::io::Write as _;
    let mut file = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|error| ExportError::io(path, error))?;
    let written = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_all());
    written.map_err(|error| {
        // What was begun is taken away again; that it cannot be is the lesser trouble.
        let _unimportant = std::fs::remove_file(path);
        ExportError::io(path, error)
    })
}

/// Lines as they are written: folded, each with its end.
#[derive(Default)]
struct CalendarText {
    written: String,
}

impl CalendarText {
    /// A property whose value is text, with what has a meaning of its own escaped (RFC 5545, 3.3.11).
    fn text(&mut self, property: &str, value: &str) {
        let mut line = format!("{property}:");
        for letter in value.chars() {
            match letter {
                '\\' | ';' | ',' => line.extend(['\\', letter]),
                '\n' => line.push_str("\\n"),
                // Other control characters must not stand in a text; a tab may.
                letter if letter.is_control() && letter != '\t' => {}
                letter => line.push(letter),
            }
        }
        self.line(&line);
    }

    /// A line, folded before it is longer than allowed and never within a character.
    fn line(&mut self, line: &str) {
        let mut octets = 0;
        for letter in line.chars() {
            if octets + letter.len_utf8() > LONGEST {
                self.written.push_str("\r\n ");
                octets = 1;
            }
            self.written.push(letter);
            octets += letter.len_utf8();
        }
        self.written.push_str("\r\n");
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(text: &str) -> NaiveDate {
        crate::dates::parse_iso(text).expect("a day")
    }

    fn event(summary: &str, description: &str) -> DayEvent {
        DayEvent {
            uid: "us-2026-1@set-aside.deckle".to_owned(),
            day: day("2026-04-15"),
            summary: summary.to_owned(),
            description: description.to_owned(),
            remind_days_before: Some(7),
        }
    }

    /// Unfolds and reads back, after RFC 5545, 3.1 and 3.3.11; written apart from the writer.
    fn read_back(text: &str, property: &str) -> String {
        let unfolded = text.replace("\r\n ", "");
        let begin = format!("{property}:");
        let line = unfolded
            .split("\r\n")
            .find_map(|line| line.strip_prefix(&begin))
            .expect("the property");
        let mut value = String::new();
        let mut letters = line.chars();
        while let Some(letter) = letters.next() {
            match letter {
                '\\' => match letters.next() {
                    Some('n' | 'N') => value.push('\n'),
                    Some(other) => value.push(other),
                    None => panic!("a lone backslash"),
                },
                ';' | ',' => panic!("'{letter}' is not escaped"),
                other => value.push(other),
            }
        }
        value
    }

    /// RFC 5545: 3.4 the object, 3.6 its two properties, 3.6.1 UID and DTSTAMP of each event, 3.8.2.4 a day without a time,
    /// 3.8.2.2 the end is the day after, 3.6.6 an alarm that is displayed.
    #[test]
    fn a_whole_day_is_written_as_the_standard_says() {
        let written = text("Due", &[event("Due", "Ask")], day("2026-01-02"));
        let expected = [
            "BEGIN:VCALENDAR",
            "VERSION:2.0",
            "PRODID:-//Deckle//Set aside//EN",
            "CALSCALE:GREGORIAN",
            "METHOD:PUBLISH",
            "X-WR-CALNAME:Due",
            "BEGIN:VEVENT",
            "UID:us-2026-1@set-aside.deckle",
            "DTSTAMP:20260102T000000Z",
            "DTSTART;VALUE=DATE:20260415",
            "DTEND;VALUE=DATE:20260416",
            "SUMMARY:Due",
            "DESCRIPTION:Ask",
            "TRANSP:TRANSPARENT",
            "BEGIN:VALARM",
            "ACTION:DISPLAY",
            "DESCRIPTION:Due",
            "TRIGGER:-P7D",
            "END:VALARM",
            "END:VEVENT",
            "END:VCALENDAR",
        ];
        assert_eq!(written, expected.join("\r\n") + "\r\n");
    }

    /// The example of RFC 5545, 3.3.11: a text with a comma, a semicolon, a backslash and a new line.
    #[test]
    fn what_has_a_meaning_of_its_own_is_escaped() {
        let written = text("", &[event("a, b; c\\d\ne", "")], day("2026-01-02"));
        assert!(written.contains("SUMMARY:a\\, b\\; c\\\\d\\ne\r\n"));
    }

    proptest! {
        /// RFC 5545, 3.1: lines end with CRLF and are no longer than 75 octets without it; a character is never parted.
        #[test]
        fn any_text_comes_back_and_no_line_is_too_long(
            summary in "[^\\p{Cc}]{0,120}",
            description in "([^\\p{Cc}]|\n){0,300}",
        ) {
            let written = text("Due", &[event(&summary, &description)], day("2026-01-02"));
            prop_assert!(written.ends_with("\r\n"));
            prop_assert_eq!(written.matches('\n').count(), written.matches("\r\n").count());
            for line in written.split("\r\n") {
                prop_assert!(line.len() <= 75, "{} octets", line.len());
            }
            prop_assert_eq!(read_back(&written, "SUMMARY"), summary);
            prop_assert_eq!(read_back(&written, "DESCRIPTION"), description);
        }
    }
}
