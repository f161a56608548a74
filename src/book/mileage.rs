//! Trips and readings of the odometer in the file.
//! What each refuses is `crate::mileage`'s, and what a year comes to as well.

use rusqlite::{Row, params};

use super::reading::{day, word};
use super::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::ledger::AccountId;
use crate::mileage::{Distance, MileageError, MileageRates, Reading, Trip};
use crate::money::Money;

const TRIP: &str = "id, day, from_place, to_place, purpose, distance, unit, fair, entered_on";

fn distance(row: &Row<'_>, column: usize) -> Result<Distance, BookError> {
    let unit: String = row.get(column + 1)?;
    Ok(Distance {
        hundredths: row.get(column)?,
        unit: word(&unit)?,
    })
}

fn trip(row: &Row<'_>) -> Result<Trip, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    Ok(Trip {
        id: row.get(0)?,
        date: day(&text(1)?)?,
        from: text(2)?,
        to: text(3)?,
        purpose: text(4)?,
        distance: distance(row, 5)?,
        fair: text(7)?,
        entered_on: day(&text(8)?)?,
    })
}

fn refused(error: MileageError) -> BookError {
    BookError::refused(error.to_string())
}

fn gone(what: &'static str, id: i64) -> BookError {
    BookError::NoSuch {
        what,
        key: id.to_string(),
    }
}

impl Book {
    /// The trips of a range, or all of them, by day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn trips(&self, range: Option<DateRange>) -> Result<Vec<Trip>, BookError> {
        let (from, to) = match range {
            Some(range) => (range.from.to_string(), range.to.to_string()),
            None => (String::new(), "9999-12-31".to_owned()),
        };
        self.trips_where("day BETWEEN ?1 AND ?2 ORDER BY day, id", params![from, to])
    }

    /// The newest trips whose purpose, places or fair hold a text.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn trips_with(&self, text: &str, at_most: usize) -> Result<Vec<Trip>, BookError> {
        self.trips_where(
            "instr(lower(purpose || ' ' || from_place || ' ' || to_place || ' ' || fair), lower(?1)) > 0
             ORDER BY day DESC, id DESC LIMIT ?2",
            params![text.trim(), at_most as i64],
        )
    }

    /// The newest trip of each way and purpose, the one driven most often first: to be offered again.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn usual_trips(&self, at_most: usize) -> Result<Vec<Trip>, BookError> {
        self.trips_where(
            "id IN (SELECT max(id) FROM trip GROUP BY lower(from_place), lower(to_place), lower(purpose)
                    ORDER BY count(*) DESC, max(day) DESC LIMIT ?1)
             ORDER BY (SELECT count(*) FROM trip o WHERE o.from_place = trip.from_place COLLATE NOCASE
                         AND o.to_place = trip.to_place COLLATE NOCASE AND o.purpose = trip.purpose COLLATE NOCASE) DESC,
                      day DESC, id DESC",
            params![at_most as i64],
        )
    }

    fn trips_where(
        &self,
        condition: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<Trip>, BookError> {
        let sql = format!("SELECT {TRIP} FROM trip WHERE {condition}");
        let mut query = self.conn.prepare_cached(&sql)?;
        let mut rows = query.query(params)?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(trip(row)?);
        }
        Ok(list)
    }

    /// The day of the newest trip and the day it was written down, when there is one.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_trip(&self) -> Result<Option<Trip>, BookError> {
        let newest = self.trips_where("1 ORDER BY entered_on DESC, id DESC LIMIT 1", [])?;
        Ok(newest.into_iter().next())
    }

    /// Keeps a trip: new when it has no number, else in the place of the one with its number, whose day of writing down
    /// stays. Returns its number.
    ///
    /// # Errors
    /// When it cannot be.
    pub fn keep_trip(&mut self, trip: &Trip) -> Result<i64, BookError> {
        trip.check().map_err(refused)?;
        let label = format!(
            "Trip: {}, {} on {}",
            trip.purpose.trim(),
            trip.distance,
            show_day(trip.date)
        );
        self.write(&label, |book| {
            book.note("mileage", &label, &trip.way())?;
            let values = params![
                trip.date.to_string(),
                trip.from.trim(),
                trip.to.trim(),
                trip.purpose.trim(),
                trip.distance.hundredths,
                trip.distance.unit.as_str(),
                trip.fair.trim(),
                trip.entered_on.to_string(),
                Some(trip.id).filter(|id| *id != 0),
            ];
            if trip.id == 0 {
                book.side(
                    "INSERT INTO trip (day, from_place, to_place, purpose, distance, unit, fair, entered_on, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE trip SET day = ?1, from_place = ?2, to_place = ?3, purpose = ?4, distance = ?5, unit = ?6,
                   fair = ?7, entered_on = ?8 WHERE id = ?9",
                values,
            )?;
            if n_changed == 0 {
                return Err(gone("trip", trip.id));
            }
            Ok(trip.id)
        })
    }

    /// Takes a trip out that was a mistake.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_trip(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Trip taken out", |book| {
            book.note("mileage", &format!("Trip {id} taken out"), "")?;
            if book.side("DELETE FROM trip WHERE id = ?1", [id])? == 0 {
                return Err(gone("trip", id));
            }
            Ok(())
        })
    }

    /// What the odometer showed, by day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn odometer(&self) -> Result<Vec<Reading>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT id, day, shows, unit FROM odometer ORDER BY day")?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let text: String = row.get(1)?;
            list.push(Reading {
                id: row.get(0)?,
                date: day(&text)?,
                shows: distance(row, 2)?,
            });
        }
        Ok(list)
    }

    /// Keeps what the odometer showed on a day, in the place of what was told of that day before.
    ///
    /// # Errors
    /// When it would have gone backwards.
    pub fn keep_reading(&mut self, reading: &Reading) -> Result<(), BookError> {
        let mut beside = self.odometer()?;
        beside.retain(|one| one.date != reading.date);
        reading.check_beside(&beside).map_err(refused)?;
        let label = format!("Odometer: {} on {}", reading.shows, show_day(reading.date));
        self.write(&label, |book| {
            book.note("mileage", &label, "")?;
            let date = reading.date.to_string();
            book.side("DELETE FROM odometer WHERE day = ?1", [&date])?;
            book.side(
                "INSERT INTO odometer (day, shows, unit) VALUES (?1, ?2, ?3)",
                params![date, reading.shows.hundredths, reading.shows.unit.as_str()],
            )?;
            Ok(())
        })
    }

    /// Takes a reading out that was a mistake.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_reading(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Odometer reading taken out", |book| {
            book.note("mileage", &format!("Odometer reading {id} taken out"), "")?;
            if book.side("DELETE FROM odometer WHERE id = ?1", [id])? == 0 {
                return Err(gone("reading", id));
            }
            Ok(())
        })
    }

    /// The rates that this book counts trips with: the published ones of its currency, or the owner's own.
    ///
    /// # Errors
    /// When a file of rates has a hole.
    pub fn mileage_rates(&self) -> Result<MileageRates, BookError> {
        let mut rates = MileageRates::for_currency(self.currency()).map_err(BookError::damaged)?;
        let settings = self.settings();
        rates.own = settings
            .get("mileage_rate")
            .and_then(|text| text.parse().ok());
        let unit = settings.get("mileage.unit").map(word).transpose()?;
        if let Some(unit) = unit
            && (rates.own.is_some() || rates.rates.is_empty())
        {
            rates.unit = unit;
        }
        Ok(rates)
    }

    /// The sum of an account's lines in the entries with a tag that stand.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn posted_with_tag(&self, tag: &str, account: AccountId) -> Result<Money, BookError> {
        let numbers = self.entry_numbers(&EntryFilter {
            tag: Some(tag.to_owned()),
            ..EntryFilter::default()
        })?;
        let posted = self.entries(&numbers)?;
        let lines = posted.iter().flat_map(|one| one.entry.lines());
        Ok(lines
            .filter(|line| line.account == account)
            .map(|line| line.amount)
            .sum())
    }
}
