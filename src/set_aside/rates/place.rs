//! The worksheet of a place as a method: from the books' sums and the owner's answers to numbered lines.
//! When the parts are paid is `instalments`'.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::answers::Given;
use super::evaluate::{Inputs, Worked};
use super::expression::Expr;
use super::figures::Rates;
use super::instalments;
use super::say::{Saying, money};
use super::worksheet::{Unit, Worksheet};
use crate::dates::{DateRange, show_day};
use crate::money::{Money, Percent};
use crate::set_aside::sheet::{Sheet, YOUR_BOOKS, YOUR_CHOICE};
use crate::set_aside::{
    BookSums, CAUTION, Calendar, Due, Estimate, Facts, Figure, Method, ProfitBasis, RatesUsed,
    SetAsideError,
};

/// The worksheet of a place with the rates of a year.
#[derive(Clone, Debug)]
pub struct PlaceMethod<'a> {
    pub(super) sheet: &'a Worksheet,
    pub(super) rates: &'a Rates,
    /// The days of the tax year.
    pub(super) days: DateRange,
    pub(super) calendar: Calendar,
    /// The tax year the rates are taken for though they are another's.
    pub(super) assumed_for: Option<String>,
    /// The rates of that year itself, where there are some.
    pub(super) own_rates: Option<String>,
    /// The book's year where it counts as the tax year.
    pub(super) counts_as: Option<DateRange>,
}

impl PlaceMethod<'_> {
    /// The days of the tax year.
    #[must_use]
    pub const fn tax_year(&self) -> DateRange {
        self.days
    }

    /// The days whose entries count for the tax year.
    #[must_use]
    pub fn counted(&self) -> DateRange {
        self.counts_as.unwrap_or(self.days)
    }

    /// The instalments' periods with the days they are due.
    ///
    /// # Errors
    /// When the calendar does not reach back to the year.
    pub fn dues(&self) -> Result<Vec<Due>, SetAsideError> {
        Ok(self.calendar.dues_of(self.days.from)?)
    }

    /// The days on which a payment counts for the year.
    ///
    /// # Errors
    /// As for [`PlaceMethod::dues`].
    pub fn payment_days(&self) -> Result<DateRange, SetAsideError> {
        Ok(self.calendar.payment_days_of(self.days.from)?)
    }

    /// The calendar of its instalments.
    #[must_use]
    pub const fn calendar(&self) -> &Calendar {
        &self.calendar
    }

    /// What each payment is called, where it has a name.
    pub fn due_labels(&self) -> impl Iterator<Item = &str> {
        let parts = self.sheet.instalments.parts.iter();
        parts.map(|(label, _line)| label.as_str())
    }

    /// The worksheet.
    #[must_use]
    pub const fn worksheet(&self) -> &Worksheet {
        self.sheet
    }

    fn answers(&self, facts: &Facts) -> Result<BTreeMap<String, Given>, SetAsideError> {
        let mut given = BTreeMap::new();
        for answer in &self.sheet.answers {
            let text = facts.worksheet.answers.get(&answer.key);
            let text = text.map(String::as_str).or(answer.default.as_deref());
            match text {
                Some(text) => {
                    let read = answer.given(text).map_err(|why| SetAsideError::Answer {
                        setting: answer.setting(),
                        why,
                    })?;
                    given.insert(answer.key.clone(), read);
                }
                None if answer.is_required => {
                    let words = answer.words();
                    let example = if words.is_empty() {
                        "an amount".to_owned()
                    } else {
                        words.join(" or ")
                    };
                    return Err(SetAsideError::Missing {
                        label: answer.label.clone(),
                        setting: answer.setting(),
                        example,
                    });
                }
                None => {}
            }
        }
        Ok(given)
    }

    /// Works the sheet for sums of the books.
    ///
    /// # Errors
    /// When an answer is missing or cannot be, or a number grows beyond all measure.
    pub(super) fn work(
        &self,
        facts: &Facts,
        sums: BookSums,
        whole_units: bool,
    ) -> Result<Worked<'_>, SetAsideError> {
        let major = |amount: Money| facts.currency.major(amount);
        let inputs = Inputs {
            facts: BTreeMap::from([
                ("profit", major(sums.profit)),
                ("sales", major(sums.sales)),
                ("costs", major(sums.costs)),
                ("depreciation", major(sums.depreciation)),
            ]),
            answers: self.answers(facts)?,
            decimals: facts.currency.decimals(),
            whole_units,
        };
        Worked::new(self.sheet, self.rates, inputs).map_err(SetAsideError::Worksheet)
    }

    /// The amounts of the sheet's lines, by key, for a profit: each line rounded to whole units where `whole_units`, as
    /// some printed forms do. For checking against published examples.
    ///
    /// # Errors
    /// As for [`Method::estimate`].
    pub fn amounts(
        &self,
        facts: &Facts,
        sums: BookSums,
        whole_units: bool,
    ) -> Result<BTreeMap<String, Decimal>, SetAsideError> {
        let worked = self.work(facts, sums, whole_units)?;
        let lines = self.sheet.lines.iter();
        Ok(lines
            .map(|line| (line.key.clone(), worked.line(&line.key)))
            .collect())
    }

    /// The sums the year is worked with, and the forecast where there is one.
    fn sums(&self, facts: &Facts) -> (BookSums, Option<Money>) {
        let so_far = facts.worksheet.to_date;
        if let Some(profit) = facts.what_if_profit {
            return (BookSums { profit, ..so_far }, None);
        }
        match facts.worksheet.basis {
            ProfitBasis::ToDate => (so_far, None),
            ProfitBasis::Forecast(Some(profit)) => (BookSums { profit, ..so_far }, Some(profit)),
            ProfitBasis::Forecast(None) => {
                let stretched = so_far.times(self.stretch(facts));
                (stretched, Some(stretched.profit))
            }
        }
    }

    /// The whole year's days for each day so far.
    fn stretch(&self, facts: &Facts) -> Decimal {
        let days = self.counted();
        let whole = (days.to - days.from).num_days() + 1;
        let so_far = (facts.as_of.min(days.to) - days.from).num_days() + 1;
        if so_far < 1 {
            return Decimal::ONE;
        }
        Decimal::from(whole) / Decimal::from(so_far)
    }

    fn profit_lines(&self, sheet: &mut Sheet<'_>, facts: &Facts, profit: Money) {
        let counted = self.counted();
        let is_books_own = facts.what_if_profit.is_none() && counted == facts.days();
        let to_date = facts.worksheet.to_date.profit;
        if facts.what_if_profit.is_some() || (is_books_own && profit == to_date) {
            sheet.profit_lines(profit);
            return;
        }
        let show = |amount: Money| facts.currency.show(amount);
        let span = DateRange {
            from: counted.from,
            to: facts.as_of.clamp(counted.from, counted.to),
        };
        let words = format!(
            "entries of {} to {}",
            show_day(span.from),
            show_day(span.to)
        );
        if matches!(facts.worksheet.basis, ProfitBasis::ToDate) {
            let amount = Figure::Money(profit);
            sheet.add(
                "profit",
                "Profit of the tax year so far",
                words,
                amount,
                YOUR_BOOKS,
            );
            return;
        }
        let so_far = sheet.add(
            "profit-so-far",
            "Profit so far",
            words,
            Figure::Money(to_date),
            YOUR_BOOKS,
        );
        let (formula, source) = match facts.worksheet.basis {
            ProfitBasis::Forecast(Some(_)) => (
                "the profit you foresee for the whole year".to_owned(),
                YOUR_CHOICE,
            ),
            _ => {
                let so_far_days = (span.to - span.from).num_days() + 1;
                let days = (counted.to - counted.from).num_days() + 1;
                let formula = format!(
                    "line {so_far} as if the rest of the year went on alike: {} \u{d7} {days} days \u{f7} {so_far_days} days",
                    show(to_date)
                );
                (formula, "line 1")
            }
        };
        let amount = Figure::Money(profit);
        sheet.add(
            "profit",
            "Profit foreseen for the year",
            formula,
            amount,
            source,
        );
    }

    /// The worksheet's own lines; what each line's printed number is.
    fn place_lines(&self, sheet: &mut Sheet<'_>, worked: &Worked<'_>, facts: &Facts) {
        let currency = &facts.currency;
        let profit_no = sheet.next_no() - 1;
        let first = sheet.next_no();
        let mut numbers: BTreeMap<&str, u32> = BTreeMap::from([("profit", profit_no)]);
        for (idx, line) in self.sheet.lines.iter().enumerate() {
            if worked.at(idx).is_some() {
                let next = first + u32::try_from(numbers.len() - 1).unwrap_or_default();
                numbers.insert(&line.key, next);
            }
        }
        let number_of = |key: &str| numbers.get(key).copied();
        let saying = Saying {
            worked,
            currency,
            numbers: &number_of,
        };
        for (idx, line) in self.sheet.lines.iter().enumerate() {
            let Some(value) = worked.at(idx) else {
                continue;
            };
            let percent = Percent::new(value * Decimal::ONE_HUNDRED);
            let figure = match (line.unit, percent) {
                (Unit::Percent, Ok(share)) => Figure::Percent(share),
                _ => Figure::Money(money(value, currency)),
            };
            let source = if line.source.is_empty() {
                self.sources(&line.value, &number_of, facts)
            } else {
                line.source.clone()
            };
            let key = line.key.replace('_', "-");
            sheet.add(
                &key,
                &line.label,
                saying.formula(&line.value),
                figure,
                &source,
            );
            if let Some(last) = sheet.lines.last_mut() {
                last.explanation.clone_from(&line.explain);
                last.caution.clone_from(&line.caution);
            }
        }
    }

    /// Where a value's figures are published or come from.
    fn sources(&self, expr: &Expr, numbers: &dyn Fn(&str) -> Option<u32>, facts: &Facts) -> String {
        let mut names = Vec::new();
        collect(expr, &mut names);
        let mut found: Vec<String> = Vec::new();
        let mut lines: Vec<u32> = Vec::new();
        for name in names {
            let published = self.rates.figure(name).map(|one| &one.source);
            let published = published.or(self.rates.table(name).map(|one| &one.source));
            let words = if let Some(source) = published {
                source.clone()
            } else if facts.worksheet.answers.contains_key(name) {
                "your answer".to_owned()
            } else if let Some(no) = numbers(name) {
                lines.push(no);
                continue;
            } else {
                continue;
            };
            if !found.contains(&words) {
                found.push(words);
            }
        }
        if found.is_empty() {
            lines.sort_unstable();
            lines.dedup();
            let numbers: Vec<String> = lines.iter().map(u32::to_string).collect();
            return match numbers.as_slice() {
                [] => String::new(),
                [one] => format!("line {one}"),
                more => format!("lines {}", more.join(", ")),
            };
        }
        found.join("; ")
    }

    fn notes(&self, facts: &Facts, worked: &Worked<'_>) -> (Vec<String>, Vec<String>) {
        let (mut notes, mut warnings) = (Vec::new(), Vec::new());
        if let Some(year) = &self.assumed_for {
            let own = match &self.own_rates {
                Some(own) => format!("; the rates of that year are there as '{own}'"),
                None => "; those of that year are not known here".to_owned(),
            };
            notes.push(format!(
                "An assumption: the rates of {} are taken for {year}{own}.",
                self.rates.year
            ));
        }
        if let Some(counted) = self.counts_as {
            notes.push(format!(
                "The book's year, {} to {}, is taken for the tax year, {} to {} ({}).",
                show_day(counted.from),
                show_day(counted.to),
                show_day(self.days.from),
                show_day(self.days.to),
                self.sheet.tax_year.source
            ));
        } else if self.days != facts.days() {
            notes.push(format!(
                "The tax year, {} to {}, is not the book's year: what counts is every entry dated in the tax year. An \
                 office may share the profit of the book's years by days instead; ask which way is taken.",
                show_day(self.days.from),
                show_day(self.days.to)
            ));
        }
        if facts.what_if_profit.is_some() {
            notes.push("The profit is one you are trying out, for the whole year.".to_owned());
        } else {
            match facts.worksheet.basis {
                ProfitBasis::ToDate if facts.as_of < self.counted().to => notes.push(
                    "Worked as if the profit so far were the whole year's: with more profit later, later parts are taxed \
                     higher. A forecast of the year shows it beforehand."
                        .to_owned(),
                ),
                ProfitBasis::Forecast(None) => notes.push(
                    "The forecast stretches the year so far by its days; where one season sells most, type your own."
                        .to_owned(),
                ),
                _ => {}
            }
        }
        if facts.as_of >= self.counted().to {
            notes.push(
                "The answers are those in the book now; for a year that is over, hold them against that year's return."
                    .to_owned(),
            );
        }
        for note in &self.sheet.notes {
            if worked.truth(&note.when).unwrap_or_default() {
                let list = if note.is_warning {
                    &mut warnings
                } else {
                    &mut notes
                };
                list.push(note.say.clone());
            }
        }
        (notes, warnings)
    }
}

impl BookSums {
    /// Every sum times a factor.
    #[must_use]
    pub fn times(self, factor: Decimal) -> Self {
        Self {
            profit: self.profit.times(factor),
            sales: self.sales.times(factor),
            costs: self.costs.times(factor),
            depreciation: self.depreciation.times(factor),
        }
    }
}

fn collect<'e>(expr: &'e Expr, names: &mut Vec<&'e str>) {
    match expr {
        Expr::Name(name) | Expr::WithoutBusiness(name) => names.push(name),
        Expr::Bands(_, table) | Expr::RateOf(_, table) => names.push(table),
        _ => {}
    }
    for part in expr.parts() {
        collect(part, names);
    }
}

impl Method for PlaceMethod<'_> {
    fn name(&self) -> &str {
        &self.rates.name
    }

    fn title(&self) -> &str {
        &self.rates.title
    }

    fn estimate(&self, facts: &Facts) -> Result<Estimate, SetAsideError> {
        if self.sheet.currency != facts.currency.code() {
            return Err(SetAsideError::Currency {
                title: self.sheet.title.clone(),
                wanted: self.sheet.currency.clone(),
                currency: facts.currency.code().to_owned(),
            });
        }
        let counted = self.counted();
        if facts.as_of < counted.from && facts.what_if_profit.is_none() {
            return Err(SetAsideError::TaxYearNotBegun {
                title: self.rates.title.clone(),
                begins: show_day(counted.from),
                day: show_day(facts.as_of),
            });
        }
        let (sums, forecast) = self.sums(facts);
        let worked = self.work(facts, sums, false)?;
        let year_total = money(worked.line(&self.sheet.result), &facts.currency).max(Money::ZERO);
        let mut sheet = Sheet::new(facts);
        self.profit_lines(&mut sheet, facts, sums.profit);
        self.place_lines(&mut sheet, &worked, facts);
        let result = self.sheet.result.replace('_', "-");
        let mut total = year_total;
        let result_line = sheet.lines.iter().find(|line| line.key == result);
        let mut total_no = result_line.map_or(sheet.next_no() - 1, |line| line.no);
        if let Some(forecast) = forecast {
            let to_date = facts.worksheet.to_date.profit;
            let has_part = forecast.is_positive() && to_date < forecast;
            let part = if has_part {
                Decimal::from(to_date.max(Money::ZERO).minor()) / Decimal::from(forecast.minor())
            } else {
                Decimal::ONE
            };
            total = year_total.times(part);
            let show = |amount: Money| facts.currency.show(amount);
            let formula = format!(
                "line {total_no} in the measure of the profit so far: {} \u{d7} {} \u{f7} {}",
                show(year_total),
                show(to_date.max(Money::ZERO)),
                show(forecast)
            );
            let source = format!("line {total_no}");
            let amount = Figure::Money(total);
            total_no = sheet.add("so-far", "To keep back so far", formula, amount, &source);
        }
        let to_move = (total - facts.put_by - facts.already_paid).max(Money::ZERO);
        sheet.balance_lines(total_no, total, to_move);
        let (notes, mut warnings) = self.notes(facts, &worked);
        let dues = self.dues()?;
        let instalments = instalments::work(self, facts, &worked, &dues)?;
        warnings.extend(instalments::late(self, facts, &instalments));
        Ok(Estimate {
            year: facts.year,
            method: self.rates.name.clone(),
            title: self.rates.title.clone(),
            tax_year: self.days,
            as_of: facts.as_of.min(counted.to),
            profit: sums.profit,
            lines: sheet.lines,
            total,
            year_total,
            forecast,
            already_paid: facts.already_paid,
            put_by: facts.put_by,
            to_move,
            instalments,
            dates_source: format!(
                "{}; amounts: {}",
                self.calendar.source, self.sheet.instalments.source
            ),
            rates: Some(RatesUsed {
                name: self.rates.name.clone(),
                title: self.rates.title.clone(),
                year: self.rates.year.clone(),
                assumed_for: self.assumed_for.clone(),
            }),
            notes,
            warnings,
            caution: CAUTION,
        })
    }
}
