//! Every worksheet, rates file and calendar there is: those of the program, and the owner's own in place of them.
//! A faulty file is kept as its fault and takes nothing else with it.

use std::sync::{Arc, OnceLock};

use chrono::{Datelike as _, NaiveDate};

use super::check::check;
use super::figures::Rates;
use super::file::{FileFault, TaxYearFile};
use super::place::PlaceMethod;
use super::worksheet::Worksheet;
use super::{Answer, shipped_files};
use crate::dates::{DateRange, add_months};
use crate::set_aside::calendar::calendar_of;
use crate::set_aside::{Calendar, Method, PercentOfProfit, SetAsideError};

/// A file of the owner's: its name and its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnFile {
    /// The name, as `us-2026.toml`.
    pub name: String,
    /// The text, or why it could not be read.
    pub text: Result<String, String>,
}

/// A method that can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// Its name in settings.
    pub name: String,
    /// What people read.
    pub title: String,
    /// Whether it follows the years by itself: the plain share, and a worksheet that takes each year's own rates.
    pub follows_years: bool,
    /// Whether it is the owner's own file.
    pub is_own: bool,
}

/// All there is.
#[derive(Clone, Debug, Default)]
pub struct Library {
    sheets: Vec<Worksheet>,
    rates: Vec<(Rates, String)>,
    calendars: Vec<Calendar>,
    own: Vec<String>,
    faults: Vec<FileFault>,
}

impl Library {
    /// The files that the program carries.
    #[must_use]
    pub fn shipped() -> Arc<Self> {
        static READ: OnceLock<Arc<Library>> = OnceLock::new();
        Arc::clone(READ.get_or_init(|| Arc::new(Self::with(&[]))))
    }

    /// The program's files with the owner's own, which stand in for those of the same name.
    #[must_use]
    pub fn with(own: &[OwnFile]) -> Self {
        let mut files: Vec<(&str, &str)> = shipped_files()
            .iter()
            .filter(|(name, _text)| !own.iter().any(|mine| mine.name == *name))
            .copied()
            .collect();
        let mut library = Self {
            own: own.iter().map(|mine| mine.name.clone()).collect(),
            ..Self::default()
        };
        for mine in own {
            match &mine.text {
                Ok(text) => files.push((mine.name.as_str(), text.as_str())),
                Err(why) => library.faults.push(FileFault {
                    file: mine.name.clone(),
                    line: None,
                    what: why.clone(),
                }),
            }
        }
        files.sort_unstable();
        for (file, text) in &files {
            if file.starts_with("worksheet-") {
                let read = Worksheet::read(file, text);
                library.keep(read, |library, sheet| library.sheets.push(sheet));
            } else if let Some(name) = calendar_of(file) {
                let read = Calendar::read(name, text).map_err(|error| FileFault {
                    file: (*file).to_owned(),
                    line: None,
                    what: error.to_string(),
                });
                library.keep(read, |library, calendar| library.calendars.push(calendar));
            }
        }
        library.part_with_misfits();
        let is_rates = |file: &str| {
            !file.starts_with("worksheet-")
                && !["start-up-", "mileage-", "workspace-"]
                    .iter()
                    .any(|other| file.starts_with(other))
                && calendar_of(file).is_none()
        };
        // What extends another file is read after it.
        let (mut plain, mut extending) = (Vec::new(), Vec::new());
        for (file, text) in files.into_iter().filter(|(file, _text)| is_rates(file)) {
            match Rates::extended(file, text) {
                Ok(None) => plain.push((file, text, None)),
                Ok(Some(under)) => extending.push((file, text, Some(under))),
                Err(fault) => library.faults.push(fault),
            }
        }
        for (file, text, under) in plain.into_iter().chain(extending) {
            let read = library.read_rates(file, text, under.as_deref());
            library.keep(read, |library, rates| library.rates.push(rates));
        }
        library
    }

    /// Takes out worksheets whose calendar is not there or does not go with them.
    fn part_with_misfits(&mut self) {
        let calendars = &self.calendars;
        let own_quarters = Calendar::quarters();
        let (mut sound, mut faults) = (Vec::new(), Vec::new());
        for sheet in std::mem::take(&mut self.sheets) {
            let mut all = calendars.iter().chain(std::iter::once(&own_quarters));
            let calendar = all.find(|calendar| calendar.name == sheet.calendar);
            match sheet.fits(calendar) {
                Ok(()) => sound.push(sheet),
                Err(fault) => faults.push(fault),
            }
        }
        self.sheets = sound;
        self.faults.extend(faults);
    }

    fn keep<T>(&mut self, read: Result<T, FileFault>, add: impl FnOnce(&mut Self, T)) {
        match read {
            Ok(one) => add(self, one),
            Err(fault) => self.faults.push(fault),
        }
    }

    fn read_rates(
        &self,
        file: &str,
        text: &str,
        under: Option<&str>,
    ) -> Result<(Rates, String), FileFault> {
        let fault = |what: String| FileFault {
            file: file.to_owned(),
            line: None,
            what,
        };
        let wanted = Rates::worksheet(file, text)?;
        let sheet = self.sheet(&wanted).ok_or_else(|| {
            let of_sheet = format!("worksheet-{wanted}.toml");
            let was_refused = self.faults.iter().any(|fault| fault.file == of_sheet);
            fault(if was_refused {
                format!("it is not used, because {of_sheet} was refused")
            } else {
                format!("there is no worksheet '{wanted}'")
            })
        })?;
        let under = match under {
            None => None,
            Some(name) => Some(
                self.rates_named(name)
                    .ok_or_else(|| fault(format!("there is no rates file '{name}' to extend")))?,
            ),
        };
        let rates = Rates::read(file, text, sheet, under)?;
        check(sheet, &rates)?;
        Ok((rates, wanted))
    }

    /// The worksheet of a place.
    #[must_use]
    pub fn sheet(&self, name: &str) -> Option<&Worksheet> {
        self.sheets.iter().find(|sheet| sheet.name == name)
    }

    fn rates_named(&self, name: &str) -> Option<&Rates> {
        let mut all = self.rates.iter().map(|(rates, _sheet)| rates);
        all.find(|rates| rates.name == name)
    }

    /// All rates, each with its worksheet.
    pub fn all_rates(&self) -> impl Iterator<Item = (&Rates, &Worksheet)> {
        self.rates
            .iter()
            .filter_map(|(rates, name)| Some((rates, self.sheet(name)?)))
    }

    /// What is wrong with files that are not used.
    #[must_use]
    pub fn faults(&self) -> &[FileFault] {
        &self.faults
    }

    /// Whether a file of this name is the owner's own.
    #[must_use]
    pub fn is_own(&self, rates: &str) -> bool {
        self.own.contains(&format!("{rates}.toml"))
    }

    /// Every method that can be chosen in books of a currency: the plain share first.
    #[must_use]
    pub fn offers(&self, currency: &str) -> Vec<Offer> {
        let mut offers = vec![Offer {
            name: PercentOfProfit.name().to_owned(),
            title: PercentOfProfit.title().to_owned(),
            follows_years: true,
            is_own: false,
        }];
        for sheet in self
            .sheets
            .iter()
            .filter(|sheet| sheet.currency == currency)
        {
            offers.push(Offer {
                name: sheet.name.clone(),
                title: format!("{}, by each year's rates", sheet.title),
                follows_years: true,
                is_own: self.own.contains(&sheet.file),
            });
            let of_sheet = self
                .rates
                .iter()
                .filter(|(_rates, name)| *name == sheet.name);
            offers.extend(of_sheet.map(|(rates, _name)| Offer {
                name: rates.name.clone(),
                title: rates.title.clone(),
                follows_years: false,
                is_own: self.is_own(&rates.name),
            }));
        }
        offers
    }

    /// Every answer that any worksheet asks for under this key.
    pub fn answers(&self, key: &str) -> impl Iterator<Item = &Answer> {
        self.sheets
            .iter()
            .filter_map(move |sheet| sheet.answer(key))
    }

    /// The answers that a method asks for, in order; none for the plain share.
    #[must_use]
    pub fn answers_of(&self, method: &str) -> &[Answer] {
        let of_rates = self
            .rates
            .iter()
            .find(|(rates, _sheet)| rates.name == method);
        let name = of_rates.map_or(method, |(_rates, sheet)| sheet.as_str());
        self.sheet(name).map_or(&[], |sheet| &sheet.answers)
    }

    /// The worksheet of a place for the tax year that a book's year falls into; `None` for the plain share of profit.
    ///
    /// # Errors
    /// When there is no such method, its file has a fault, or it has no rates for the year; the nearest is named.
    pub fn place(
        &self,
        method: &str,
        year: DateRange,
    ) -> Result<Option<PlaceMethod<'_>>, SetAsideError> {
        let method = method.trim();
        if method == PercentOfProfit.name() {
            return Ok(None);
        }
        if let Some((rates, sheet)) = self.all_rates().find(|(rates, _)| rates.name == method) {
            return self.method(sheet, rates, year).map(Some);
        }
        let wanted = |fault: &&FileFault| {
            fault.file == format!("{method}.toml")
                || fault.file == format!("worksheet-{method}.toml")
                || method
                    .rsplit_once('-')
                    .is_some_and(|(sheet, _year)| fault.file == format!("worksheet-{sheet}.toml"))
        };
        if let Some(fault) = self.faults.iter().find(wanted) {
            return Err(fault.clone().into());
        }
        let Some(sheet) = self.sheet(method) else {
            return Err(SetAsideError::NoRatesFile {
                wanted: method.to_owned(),
                nearest: self.nearest(method),
            });
        };
        let days = tax_year_of(&sheet.tax_year, year);
        let own_name = |rates: &Rates| rates.name == format!("{}-{}", sheet.name, rates.year);
        let mut of_sheet: Vec<&Rates> = self
            .all_rates()
            .filter(|(rates, other)| other.name == sheet.name && own_name(rates))
            .map(|(rates, _sheet)| rates)
            .collect();
        if let Some(rates) = of_sheet.iter().find(|rates| rates.days == days) {
            return self.method(sheet, rates, year).map(Some);
        }
        let label = year_label(days);
        let faulty = |fault: &&FileFault| fault.file == format!("{method}-{label}.toml");
        if let Some(fault) = self.faults.iter().find(faulty) {
            return Err(fault.clone().into());
        }
        of_sheet.sort_by_key(|rates| (rates.days.from - days.from).num_days().abs());
        Err(match of_sheet.first() {
            Some(nearest) => SetAsideError::NoRatesForYear {
                wanted: method.to_owned(),
                year: label,
                nearest: nearest.name.clone(),
            },
            None => SetAsideError::NoRatesYet(method.to_owned()),
        })
    }

    fn method<'a>(
        &'a self,
        sheet: &'a Worksheet,
        rates: &'a Rates,
        year: DateRange,
    ) -> Result<PlaceMethod<'a>, SetAsideError> {
        let days = tax_year_of(&sheet.tax_year, year);
        let calendar = self
            .calendars
            .iter()
            .find(|calendar| calendar.name == sheet.calendar)
            .cloned()
            .map_or_else(|| Calendar::named(&sheet.calendar), Ok)?;
        let own = self
            .all_rates()
            .find(|(other, of)| of.name == sheet.name && other.days == days && rates.days != days)
            .map(|(other, _sheet)| other.name.clone());
        Ok(PlaceMethod {
            sheet,
            rates,
            days,
            calendar,
            assumed_for: (rates.days != days).then(|| year_label(days)),
            own_rates: own,
            counts_as: counts_as(&sheet.tax_year, year, days),
        })
    }

    /// The method whose name shares the longest beginning with the wanted one and then the nearest year.
    fn nearest(&self, wanted: &str) -> String {
        let common = |name: &str| {
            let pairs = name.chars().zip(wanted.chars());
            pairs.take_while(|(a, b)| a == b).count()
        };
        let place = wanted.split('-').next().unwrap_or_default();
        let year = year_in(wanted);
        let names = self.rates.iter().map(|(rates, _sheet)| rates.name.as_str());
        names
            .filter(|name| !place.is_empty() && name.split('-').next() == Some(place))
            .min_by_key(|name| {
                let away = match (year, year_in(name)) {
                    (Some(wanted), Some(there)) => (wanted - there).abs(),
                    _ => 0,
                };
                (away, std::cmp::Reverse(common(name)))
            })
            .unwrap_or(PercentOfProfit.name())
            .to_owned()
    }
}

/// The first part of a name that is a year.
fn year_in(name: &str) -> Option<i32> {
    name.split('-')
        .find_map(|part| part.parse().ok().filter(|year| *year > 999))
}

/// The tax year that most of a book's year lies in; the earlier of two.
fn tax_year_of(starts: &TaxYearFile, year: DateRange) -> DateRange {
    let begins = |year: i32| NaiveDate::from_ymd_opt(year, starts.month, starts.day);
    let whole = |from: NaiveDate| DateRange {
        from,
        to: add_months(from, 12).pred_opt().unwrap_or(from),
    };
    let shared = |days: &DateRange| (days.to.min(year.to) - days.from.max(year.from)).num_days();
    let mut best = None;
    for first in year.from.year() - 1..=year.to.year() {
        let Some(days) = begins(first).map(whole) else {
            continue;
        };
        if best.is_none_or(|best| shared(&days) > shared(&best)) {
            best = Some(days);
        }
    }
    best.unwrap_or(year)
}

/// The book's year where it counts as the tax year though its days differ by a few.
fn counts_as(starts: &TaxYearFile, year: DateRange, days: DateRange) -> Option<DateRange> {
    let same = starts.same_as_month? == year.from.month() && year.from.day() == 1;
    (same && year.from.year() == days.from.year()).then_some(year)
}

/// `2026` for a calendar year, `2026-27` for another.
fn year_label(days: DateRange) -> String {
    if days.from.year() == days.to.year() {
        days.from.year().to_string()
    } else {
        format!("{}-{:02}", days.from.year(), days.to.year().rem_euclid(100))
    }
}
