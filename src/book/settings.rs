//! The settings of a book: what each may hold, and typed ways to read them. Their keys are in `setting_keys`.
//! They are plain text in the file; what they do is for those who read them.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{Connection, params};
use rust_decimal::Decimal;

use super::setting_keys::{SETTING_KEYS, SettingKey, SettingKind};
use super::{Book, BookError};
use crate::dates::{YearStart, parse_iso};
use crate::free_to_spend::{Split, SplitError};
use crate::money::{Currency, Money, Percent};
use crate::set_aside::Answers;
use crate::stock::{CostMethod, StockKeeping};

/// What a practice copy was copied from. It is no setting of the owner's and is never taken off.
pub const PRACTICE_OF: &str = "practice_of";

/// With what the settings begin that answer a worksheet.
const ANSWERS: &str = "set_aside.";

/// With what the settings begin that share out what is free.
const SPLIT: &str = "split.";

/// The settings of a book as they stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    values: BTreeMap<String, String>,
    currency: Currency,
    first_day: NaiveDate,
    year_start: YearStart,
    lock_date: Option<NaiveDate>,
}

impl Settings {
    pub(super) fn load(conn: &Connection) -> Result<Self, BookError> {
        let mut query = conn.prepare_cached("SELECT key, value FROM setting")?;
        let values: BTreeMap<String, String> = query
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        Self::of_values(values)
    }

    pub(super) fn of_values(values: BTreeMap<String, String>) -> Result<Self, BookError> {
        let text = |key: &str| values.get(key).map_or("", String::as_str);
        let damaged = |key: &str| BookError::damaged(format!("its setting {key} is unreadable"));
        let currency =
            Currency::from_code(text("currency")).map_err(|_unreadable| damaged("currency"))?;
        let first_day = parse_iso(text("first_day")).map_err(|_unreadable| damaged("first_day"))?;
        let year_start = text("year_starts")
            .parse()
            .ok()
            .and_then(YearStart::new)
            .unwrap_or_default();
        let lock_date = values
            .get("lock_date")
            .map(|day| parse_iso(day).map_err(|_unreadable| damaged("lock_date")))
            .transpose()?;
        Ok(Self {
            values,
            currency,
            first_day,
            year_start,
            lock_date,
        })
    }

    /// The value of a setting as text, its default when it was never set.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&str> {
        self.values.get(key).map(String::as_str).or_else(|| {
            SETTING_KEYS
                .iter()
                .find(|setting| setting.key == key)
                .and_then(|setting| setting.default)
        })
    }

    /// Whether the owner gave this setting a value.
    #[must_use]
    pub fn is_set(&self, key: &str) -> bool {
        self.values.contains_key(key)
    }

    /// Every setting with its value, in the order they are shown.
    #[must_use]
    pub fn all(&self) -> Vec<(&'static SettingKey, Option<&str>)> {
        SETTING_KEYS
            .iter()
            .map(|setting| (setting, self.get(setting.key)))
            .collect()
    }

    /// The answers to what worksheets of places ask, by key.
    #[must_use]
    pub fn set_aside_answers(&self) -> Answers {
        let answers = self.values.iter();
        answers
            .filter_map(|(key, value)| Some((key.strip_prefix(ANSWERS)?.to_owned(), value.clone())))
            .collect()
    }

    /// Answers that only a worksheet knows, by the name of their setting, in alphabetical order.
    pub fn further_answers(&self) -> impl Iterator<Item = (&str, &str)> {
        self.values
            .iter()
            .map(|(key, value)| (key.as_str(), value.as_str()))
            .filter(|(key, _value)| {
                key.starts_with(ANSWERS) && SETTING_KEYS.iter().all(|known| known.key != *key)
            })
    }

    /// An amount among the settings.
    #[must_use]
    pub fn amount(&self, key: &str) -> Option<Money> {
        self.get(key)
            .and_then(|text| self.currency.parse_plain(text).ok())
    }

    /// A percentage among the settings.
    #[must_use]
    pub fn percent(&self, key: &str) -> Option<Percent> {
        self.get(key).and_then(|text| text.parse().ok())
    }

    /// A rate among the settings.
    #[must_use]
    pub fn rate(&self, key: &str) -> Option<Decimal> {
        self.get(key).and_then(|text| text.parse().ok())
    }

    /// A day among the settings.
    #[must_use]
    pub fn day(&self, key: &str) -> Option<NaiveDate> {
        self.get(key).and_then(|text| parse_iso(text).ok())
    }

    /// The currency of every amount.
    #[must_use]
    pub fn currency(&self) -> &Currency {
        &self.currency
    }

    /// The first day of the book.
    #[must_use]
    pub fn first_day(&self) -> NaiveDate {
        self.first_day
    }

    /// When financial years begin.
    #[must_use]
    pub fn year_start(&self) -> YearStart {
        self.year_start
    }

    /// The day up to which nothing changes any more.
    #[must_use]
    pub fn lock_date(&self) -> Option<NaiveDate> {
        self.lock_date
    }

    /// The name on statements; may be empty.
    #[must_use]
    pub fn business_name(&self) -> &str {
        self.get("business_name").unwrap_or_default()
    }

    /// From this amount on, a lasting thing joins the equipment register.
    #[must_use]
    pub fn equipment_threshold(&self) -> Option<Money> {
        self.amount("equipment_threshold")
    }

    /// Above this amount a purchase asks for its business purpose.
    #[must_use]
    pub fn purpose_above(&self) -> Option<Money> {
        self.amount("purpose_above")
    }

    /// The day the business opened, if it has.
    #[must_use]
    pub fn opened_for_business_on(&self) -> Option<NaiveDate> {
        self.day("opened_for_business_on")
    }

    /// The share of the profit to set aside.
    #[must_use]
    pub fn set_aside_percent(&self) -> Percent {
        self.percent("set_aside.percent").unwrap_or(Percent::ZERO)
    }

    /// Recurring purchases due within so many days are not free to spend.
    #[must_use]
    pub fn free_days(&self) -> u64 {
        let days = self.get("free_days").and_then(|days| days.parse().ok());
        days.unwrap_or(30)
    }

    /// How the owner shares out what is free; none until she says.
    ///
    /// # Errors
    /// When a share is missing or they do not add up to 100.
    pub fn split(&self) -> Result<Option<Split>, SplitError> {
        let share = |key: &str| self.percent(&format!("{SPLIT}{key}"));
        Split::of(share("pay"), share("reserve"), share("buy"))
    }

    /// The last day of the months the owner says are finished.
    #[must_use]
    pub fn finished_through(&self) -> Option<NaiveDate> {
        self.day("soft_lock_date")
    }

    /// How stock is valued.
    #[must_use]
    pub fn costing(&self) -> CostMethod {
        match self.get("costing") {
            Some("fifo") => CostMethod::Fifo,
            _ => CostMethod::Average,
        }
    }

    /// When the stock accounts follow what lies there.
    #[must_use]
    pub fn stock_keeping(&self) -> StockKeeping {
        self.get("stock_keeping")
            .and_then(|word| word.parse().ok())
            .unwrap_or_default()
    }

    /// Whether business things the owner pays herself are owed back to her rather than put in for good.
    #[must_use]
    pub fn is_owner_pocket_owed_back(&self) -> bool {
        self.get("owner_pocket") == Some("owed-back")
    }
}

/// The value as it is kept, or what is wrong with it.
pub(super) fn checked(
    setting: &SettingKey,
    value: &str,
    currency: &Currency,
) -> Result<String, BookError> {
    let value = value.trim();
    let wrong = |message: String| BookError::Setting {
        key: setting.key.to_owned(),
        message,
    };
    match setting.kind {
        SettingKind::Currency => Currency::from_code(value)
            .map(|currency| currency.code().to_owned())
            .map_err(|error| wrong(error.to_string())),
        SettingKind::Day => parse_iso(value)
            .map(|day| day.to_string())
            .map_err(|error| wrong(error.to_string())),
        SettingKind::Month => value
            .parse()
            .ok()
            .and_then(YearStart::new)
            .map(|start| start.month().to_string())
            .ok_or_else(|| wrong(format!("'{value}' is not a month from 1 to 12"))),
        SettingKind::Amount => match currency.parse_plain(value) {
            Ok(amount) if amount.is_negative() => Err(wrong(format!("'{value}' is below nothing"))),
            Ok(amount) => Ok(currency.plain(amount)),
            Err(error) => Err(wrong(error.to_string())),
        },
        SettingKind::Rate => value
            .parse::<Decimal>()
            .ok()
            .filter(|rate| !rate.is_sign_negative() && rate.scale() <= 4)
            .map(|rate| rate.normalize().to_string())
            .ok_or_else(|| wrong(format!("'{value}' is not a rate such as 0.70"))),
        SettingKind::Percent => value
            .parse::<Percent>()
            .map(|share| share.to_string())
            .map_err(|error| wrong(error.to_string())),
        SettingKind::Days => value
            .parse::<u16>()
            .ok()
            .filter(|days| *days <= 366)
            .map(|days| days.to_string())
            .ok_or_else(|| wrong(format!("'{value}' is not a number of days from 0 to 366"))),
        SettingKind::Choice(words) if words.contains(&value) => Ok(value.to_owned()),
        SettingKind::Choice(words) => Err(wrong(format!(
            "'{value}' is not one of {}",
            words.join(", ")
        ))),
        SettingKind::Method => {
            let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
            if !value.is_empty() && value.chars().all(plain) {
                Ok(value.to_owned())
            } else {
                Err(wrong(format!(
                    "'{value}' is not a method; use percent or the name of a rates file"
                )))
            }
        }
        SettingKind::Text if value.contains(['\n', '\r']) => {
            Err(wrong("it goes on one line".to_owned()))
        }
        SettingKind::Text => Ok(value.to_owned()),
    }
}

impl Book {
    /// Changes settings, all or none. An empty value takes a setting back to its default.
    ///
    /// # Errors
    /// For an unknown key, a value it cannot have, or one that entries in the book forbid.
    pub fn set_settings<K: AsRef<str>, V: AsRef<str>>(
        &mut self,
        changes: &[(K, V)],
    ) -> Result<(), BookError> {
        let mut wanted: Vec<(String, Option<String>)> = Vec::new();
        for (key, value) in changes {
            let (key, value) = (key.as_ref().trim(), value.as_ref().trim());
            if key == PRACTICE_OF {
                wanted.push((key.to_owned(), Some(self.checked_practice(value)?)));
                continue;
            }
            let kept = match SETTING_KEYS.iter().find(|setting| setting.key == key) {
                Some(_) if value.is_empty() => None,
                Some(setting) => Some(checked(setting, value, self.currency())?),
                None => self.checked_answer(key, value)?,
            };
            wanted.push((key.to_owned(), kept));
        }
        let what: Vec<String> = wanted
            .iter()
            .map(|(key, value)| format!("{key} = {}", value.as_deref().unwrap_or("(default)")))
            .collect();
        self.write(&format!("Settings: {}", what.join(", ")), |book| {
            book.note("settings", &what.join(", "), "")?;
            let costing = book.settings.costing();
            let keeping = book.settings.stock_keeping();
            for (key, value) in &wanted {
                book.put_setting(key, value.as_deref())?;
            }
            book.reload_stale()?;
            if book.settings.stock_keeping() != keeping && book.has_movements()? {
                return Err(BookError::refused(
                    "stock has moved in this book, so it stays kept as it is; a book that is kept the other way is begun \
                     anew, with what lies there brought in",
                ));
            }
            if book.settings.costing() != costing {
                book.cost_anew()?;
            }
            if wanted.iter().any(|(key, _value)| key.starts_with(SPLIT)) {
                book.settings.split().map_err(|error| BookError::Setting {
                    key: SPLIT.trim_end_matches('.').to_owned(),
                    message: error.to_string(),
                })?;
            }
            Ok(())
        })
    }

    /// The answer to a worksheet's question as it is kept; `None` takes it back.
    fn checked_answer(&self, key: &str, value: &str) -> Result<Option<String>, BookError> {
        let library = self.rates();
        let asked = key.strip_prefix(ANSWERS).unwrap_or_default();
        let method = self.settings.get("set_aside.method").unwrap_or_default();
        let of_method = library.answers_of(method).iter();
        let mut answers = of_method
            .filter(|answer| answer.key == asked)
            .chain(library.answers(asked))
            .peekable();
        let Some(first) = answers.peek().copied() else {
            let known = SETTING_KEYS.iter().map(|setting| setting.key.to_owned());
            let of_method = library.answers_of(method).iter();
            let mut known: Vec<String> = known
                .chain(of_method.map(crate::set_aside::Answer::setting))
                .collect();
            let mut seen = std::collections::BTreeSet::new();
            known.retain(|key| seen.insert(key.clone()));
            return Err(BookError::UnknownSetting {
                key: key.to_owned(),
                known: known.join(", "),
            });
        };
        if value.is_empty() {
            return Ok(None);
        }
        let kept = first.checked(value, self.currency());
        kept.map(Some).map_err(|message| BookError::Setting {
            key: key.to_owned(),
            message,
        })
    }

    /// Writes one setting, whatever its key; `None` removes it.
    pub(super) fn put_setting(&mut self, key: &str, value: Option<&str>) -> Result<(), BookError> {
        self.stale_settings = true;
        match value {
            None => self.side("DELETE FROM setting WHERE key = ?1", params![key])?,
            Some(value) => {
                let changed = self.side(
                    "UPDATE setting SET value = ?2 WHERE key = ?1",
                    params![key, value],
                )?;
                if changed == 0 {
                    self.side(
                        "INSERT INTO setting (key, value) VALUES (?1, ?2)",
                        params![key, value],
                    )?
                } else {
                    changed
                }
            }
        };
        Ok(())
    }
}
