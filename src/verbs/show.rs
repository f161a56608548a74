//! Showing figures: which days they cover when none are given, and as text or JSON.
//! What each figure is comes from `reports`.

use chrono::NaiveDate;

use super::args::{ShowArgs, What};
use super::entry::account;
use super::going_on;
use super::outcome::{print, print_json};
use super::{
    VerbError, adjusting, catching_up, closing_down, deciding, desk, free, log, month, open_book,
    profit, year,
};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::export::{Table, icalendar, json, tables};
use crate::ledger::Role;
use crate::reports;

/// Shows what was asked for.
pub fn show(args: &ShowArgs, today: NaiveDate) -> Result<(), VerbError> {
    if let (Some(from), Some(to)) = (args.from, args.to)
        && to < from
    {
        return Err(VerbError::Usage("--to lies before --from".to_owned()));
    }
    if args.calendar.is_some() && !matches!(args.what, What::DueDates | What::Duties) {
        return Err(VerbError::Usage(
            "--calendar goes with show due-dates or duties".to_owned(),
        ));
    }
    if args.free.buy.is_some() && args.what != What::FreeToSpend {
        return Err(VerbError::Usage(
            "--buy goes with show free-to-spend".to_owned(),
        ));
    }
    if args.what == What::Ledger && args.account.is_none() {
        return Err(VerbError::Usage(
            "show ledger needs --account with a number or name".to_owned(),
        ));
    }
    let book = open_book(&args.book)?;
    let shown = Shown {
        book: &book,
        args,
        today,
    };
    match args.what {
        What::Profit => profit::profit(&book, args, shown.range()?, today),
        What::FormLines => year::form_lines(&book, args, shown.range()?, today),
        What::MoneyByMonth | What::Suppliers | What::EquipmentMoved => {
            year::movements(&book, args, shown.range()?)
        }
        What::Balance => shown.balance(),
        What::Trial => shown.trial(),
        What::Ledger => shown.ledger(),
        What::Journal => shown.journal(),
        What::Equipment => shown.equipment(),
        What::Capital => shown.capital(),
        What::Channels => shown.channels(),
        What::SetAside => shown.set_aside(),
        What::DueDates => shown.due_dates(),
        What::Rates => shown.rates(),
        What::FreeToSpend => free::free_to_spend(&book, &args.free, shown.day(), args.json),
        What::Needs => shown.needs(),
        What::Month => month::show(&book, args.month, shown.day(), args.json),
        What::Settings => shown.settings(),
        What::Accounts => shown.accounts(),
        What::Recurring => shown.recurring(),
        What::SmallEquipment => shown.small_equipment(),
        What::KeepUntil => shown.keep_until(),
        What::ThingsList => shown.things_list(),
        What::CostToStart => shown.cost_to_start(),
        What::Plan => shown.plan(),
        What::Orders => shown.orders(),
        What::CostCard => deciding::cost_card(&book, &args.deciding, shown.day(), args.json),
        What::Products => shown.products(),
        What::Payback => deciding::payback(&book, &args.deciding, shown.day(), args.json),
        What::Comparisons => shown.comparisons(),
        What::MakeOrBuy => deciding::make_or_buy(&book, &args.deciding, shown.day(), args.json),
        What::Stock => shown.stock(),
        What::CountSheet => shown.count_sheet(),
        What::Bundles => shown.bundles(),
        What::CostOfGoodsSold => shown.cost_of_goods_sold(),
        What::CatchingUp => catching_up::steps(&book, shown.standing_day(), args.json),
        What::Rough => catching_up::rough(&book, args.json),
        What::NotExplained => catching_up::not_explained(&book, args.json),
        What::ClosingDown => closing_down::walk(&book, shown.standing_day(), args.json),
        What::Bank => shown.bank(),
        What::Tray => shown.tray(),
        What::Reconciliation => shown.reconciliation(),
        What::Hours => desk::hours(&book, shown.range()?, args.json),
        What::Adjusting => adjusting::show(&book, shown.year_asked()?, args.json),
        What::Mileage => log::mileage(&book, shown.year_asked()?, args.json),
        What::Workspace => log::workspace(&book, shown.year_asked()?, args.json),
        What::SharedBills => log::shared_bills(&book, shown.day(), args.json),
        What::Papers => desk::papers(&book, shown.day(), args.json),
        What::HowKept => desk::evidence(&book, shown.range()?, today, args.json),
        What::Duties => desk::duties(&book, shown.day(), args.calendar.as_deref(), args.json),
        What::Matters | What::Fairs | What::Helpers | What::Gifts | What::Loans => {
            going_on::show(&book, args, shown.range()?, shown.day())
        }
        What::Questions => desk::questions(&book, shown.day(), args.json),
    }
}

struct Shown<'a> {
    book: &'a Book,
    args: &'a ShowArgs,
    today: NaiveDate,
}

impl Shown<'_> {
    /// The days asked for; what is left out is filled up from the financial year.
    fn range(&self) -> Result<DateRange, VerbError> {
        let years = self.book.year_start();
        let year = match (self.args.year, self.args.from, self.args.to) {
            (Some(year), _, _) => years.year_ending_in(year),
            (None, _, Some(day)) | (None, Some(day), None) => years.containing(day),
            (None, None, None) => reports::usual_year(self.book, self.today)?,
        };
        let from = self.args.from.unwrap_or(year.from);
        let to = self.args.to.unwrap_or(year.to);
        DateRange::new(from, to).ok_or_else(|| VerbError::Usage(format!("{to} lies before {from}")))
    }

    /// The day asked for, or the last that the book knows of.
    fn as_of(&self) -> Result<NaiveDate, VerbError> {
        match (self.args.to, self.args.year) {
            (Some(day), _) => Ok(day),
            (None, Some(year)) => Ok(self.book.year_start().year_ending_in(year).to),
            (None, None) => Ok(reports::usual_day(self.book, self.today)?),
        }
    }

    /// The day that a standing is asked for, or today.
    fn standing_day(&self) -> NaiveDate {
        self.args.as_of.unwrap_or_else(|| self.day())
    }

    /// The day asked for, or today.
    fn day(&self) -> NaiveDate {
        self.args.to.unwrap_or(self.today)
    }

    fn bank(&self) -> Result<(), VerbError> {
        let (chart, currency) = (self.book.chart(), self.book.currency());
        let of = match self.args.account.as_deref() {
            Some(name) => account(self.book, name)?,
            None => chart.role(Role::BusinessBank).map_err(BookError::from)?,
        };
        let of = chart.account(of).map_err(BookError::from)?;
        let range = self.range()?;
        let mut lines = Vec::new();
        for line in self.book.bank_lines(of.id, range)? {
            let became = self.book.became(line.id)?;
            lines.push((line, became));
        }
        let files = self.book.statement_files()?;
        self.put(
            || json::bank(of, &lines, &files, range, currency),
            || tables::bank(of, &lines, range),
        )
    }

    fn tray(&self) -> Result<(), VerbError> {
        let only = self
            .args
            .account
            .as_deref()
            .map(|name| account(self.book, name))
            .transpose()?;
        let tray = reports::tray(self.book, only)?;
        let (chart, currency) = (self.book.chart(), self.book.currency());
        self.put(
            || json::tray(&tray, chart, currency),
            || tables::tray(&tray, chart, currency),
        )
    }

    fn reconciliation(&self) -> Result<(), VerbError> {
        let (chart, currency) = (self.book.chart(), self.book.currency());
        let only = self
            .args
            .account
            .as_deref()
            .map(|name| account(self.book, name))
            .transpose()?;
        let mut accounts = reports::agreed(self.book)?;
        accounts.retain(|one| only.is_none_or(|only| one.account == only));
        let mut sheets = Vec::new();
        for one in self.book.reconciliations()? {
            if only.is_none_or(|only| one.account == only) {
                sheets.push(reports::sheet(self.book, one.id)?);
            }
        }
        let day = self.day();
        if self.args.json {
            return print_json(&json::reconciliation(
                &accounts, &sheets, chart, day, currency,
            ));
        }
        let mut text = tables::agreed(&accounts, chart, day).text(currency);
        if only.is_some() {
            for report in &sheets {
                let of = chart
                    .account(report.sheet.account)
                    .map_err(BookError::from)?;
                text.push('\n');
                text.push_str(&tables::reconciliation(report, of, currency).text(currency));
            }
        }
        print(&text)
    }

    fn put<T: serde::Serialize>(
        &self,
        object: impl FnOnce() -> T,
        table: impl FnOnce() -> Table,
    ) -> Result<(), VerbError> {
        if self.args.json {
            print_json(&object())
        } else {
            print(&table().text(self.book.currency()))
        }
    }

    fn balance(&self) -> Result<(), VerbError> {
        let sheet = reports::balance(self.book, self.as_of()?)?;
        let currency = self.book.currency();
        self.put(
            || json::balance(&sheet, currency),
            || tables::balance(&sheet, currency),
        )
    }

    fn trial(&self) -> Result<(), VerbError> {
        let as_of = self.as_of()?;
        let range = match self.args.from {
            Some(from) => Some(
                DateRange::new(from, as_of)
                    .ok_or_else(|| VerbError::Usage(format!("{as_of} lies before {from}")))?,
            ),
            None => None,
        };
        let trial = match range {
            Some(range) => reports::trial_of(self.book, range)?,
            None => reports::trial(self.book, as_of)?,
        };
        self.put(
            || json::trial(&trial, as_of, range, self.book.currency()),
            || tables::trial(&trial, as_of, range),
        )
    }

    fn ledger(&self) -> Result<(), VerbError> {
        let id = account(self.book, self.args.account.as_deref().unwrap_or_default())?;
        let ledger = reports::ledger(self.book, id, self.range()?)?;
        let account = self
            .book
            .chart()
            .account(id)
            .map_err(|error| VerbError::refused(error.to_string()))?;
        self.put(
            || json::ledger(&ledger, account, self.book.currency()),
            || tables::ledger(&ledger, account),
        )
    }

    fn journal(&self) -> Result<(), VerbError> {
        let range = self.range()?;
        let rows = reports::journal(self.book, range)?;
        self.put(
            || json::journal(&rows, range, self.book.currency()),
            || tables::journal(&rows, range),
        )
    }

    fn equipment(&self) -> Result<(), VerbError> {
        let as_of = self.as_of()?;
        let register = self.book.equipment()?;
        let years = self.book.year_start();
        if self.args.json {
            return print_json(&json::equipment(
                &register,
                as_of,
                years,
                self.book.currency(),
            ));
        }
        let list = tables::equipment(&register, as_of, years).text(self.book.currency());
        let schedule = tables::equipment_schedule(&register, years).text(self.book.currency());
        print(&format!("{list}\n{schedule}"))
    }

    fn capital(&self) -> Result<(), VerbError> {
        let statement = reports::capital(self.book, self.range()?)?;
        let currency = self.book.currency();
        self.put(
            || json::capital(&statement, currency),
            || tables::capital(&statement, currency),
        )
    }

    fn channels(&self) -> Result<(), VerbError> {
        let range = self.range()?;
        let summaries = reports::channels_that_moved(self.book, range, self.today)?;
        let bridges = reports::bridges(self.book, &summaries)?;
        let chart = self.book.chart();
        self.put(
            || json::channels(&summaries, &bridges, range, chart, self.book.currency()),
            || tables::channels(&summaries, range, chart),
        )
    }

    fn set_aside(&self) -> Result<(), VerbError> {
        let currency = self.book.currency();
        let what_if = match &self.args.what_if_profit {
            Some(text) => Some(
                currency
                    .parse_plain(text)
                    .map_err(|error| VerbError::Usage(format!("--what-if-profit: {error}")))?,
            ),
            None => None,
        };
        let years = self.book.year_start();
        let year = self.year_asked()?;
        let trial = reports::Trial {
            profit: what_if,
            method: self.args.method.clone(),
            ..reports::Trial::default()
        };
        let last = years.year_ending_in(year).to;
        let estimate = reports::estimate_with(self.book, year, last, &trial)?;
        self.put(
            || json::set_aside(&estimate, years.year_ending_in(year), currency),
            || tables::set_aside(&estimate, currency),
        )
    }

    /// The financial year asked for, or that of the days asked for.
    fn year_asked(&self) -> Result<i32, VerbError> {
        match self.args.year {
            Some(year) => Ok(year),
            None => Ok(self.book.year_start().year_of(self.range()?.to)),
        }
    }

    fn due_dates(&self) -> Result<(), VerbError> {
        let year = self.year_asked()?;
        let method = self.args.method.as_deref();
        let dates = reports::due_dates(self.book, year, method)?;
        if let Some(file) = &self.args.calendar {
            let amounts = if self.args.with_amounts {
                reports::amounts_due(self.book, year, method)?
            } else {
                Vec::new()
            };
            let text = icalendar::due_dates(self.book, year, &dates, &amounts, self.today);
            icalendar::write(file, &text).map_err(|error| VerbError::refused(error.to_string()))?;
        }
        self.put(
            || json::due_dates(&dates, year),
            || tables::due_dates(&dates, year),
        )
    }

    fn rates(&self) -> Result<(), VerbError> {
        let library = self.book.rates();
        let only = self.args.method.as_deref();
        self.put(
            || json::rates(&library, self.book.currency(), only),
            || tables::rates(&library, only),
        )
    }

    fn needs(&self) -> Result<(), VerbError> {
        let day = self.day();
        let needs = reports::open_needs(self.book, day)?;
        self.put(
            || json::needs(&needs, day, self.book.currency()),
            || tables::needs(&needs, day),
        )
    }

    fn keep_until(&self) -> Result<(), VerbError> {
        let Some(report) = reports::keep_until(self.book, self.day())? else {
            return Err(VerbError::refused(format!(
                "no rule on keeping records is known for books in {}; ask an accountant",
                self.book.currency().code()
            )));
        };
        self.put(|| json::keep_until(&report), || tables::keep_until(&report))
    }

    fn things_list(&self) -> Result<(), VerbError> {
        let as_of = self
            .args
            .as_of
            .unwrap_or(reports::usual_list_day(self.day()));
        let list = reports::things(self.book, as_of)?;
        self.put(
            || json::things_list(&list, as_of, self.book.currency()),
            || tables::things_list(&list, as_of),
        )
    }

    fn settings(&self) -> Result<(), VerbError> {
        let settings = self.book.settings();
        self.put(|| json::settings(settings), || tables::settings(settings))
    }

    fn accounts(&self) -> Result<(), VerbError> {
        let chart = self.book.chart();
        self.put(
            || json::accounts(chart, self.book.currency()),
            || tables::accounts(chart),
        )
    }

    fn recurring(&self) -> Result<(), VerbError> {
        let day = self.day();
        let list = self.book.recurring()?;
        self.put(
            || json::recurring(&list, day, self.book.currency()),
            || tables::recurring(&list, day),
        )
    }

    fn small_equipment(&self) -> Result<(), VerbError> {
        let as_of = self.as_of()?;
        let list = reports::small_things_by(self.book, as_of)?;
        self.put(
            || json::small_equipment(&list, as_of, self.book.currency()),
            || tables::small_equipment(&list, as_of),
        )
    }

    fn stock(&self) -> Result<(), VerbError> {
        let has_period = self.args.from.is_some() || self.args.year.is_some();
        let list = if has_period {
            reports::stock_in(self.book, self.range()?)?
        } else {
            reports::stock(self.book, self.as_of()?)?
        };
        let currency = self.book.currency();
        self.put(
            || json::stock(&list, currency),
            || tables::stock(&list, currency),
        )
    }

    /// Printed as it is saved, so that it opens in a spreadsheet or goes on paper.
    fn count_sheet(&self) -> Result<(), VerbError> {
        let day = self.as_of()?;
        let rows = reports::to_count(self.book, day)?;
        if self.args.json {
            return print_json(&json::count_sheet(&rows, day, self.book.currency()));
        }
        let csv = tables::count_sheet(&rows)
            .csv(self.book.currency())
            .map_err(|error| VerbError::refused(error.to_string()))?;
        print(&String::from_utf8_lossy(&csv))
    }

    fn bundles(&self) -> Result<(), VerbError> {
        let day = self.as_of()?;
        let list = reports::bundles(self.book, day)?;
        let currency = self.book.currency();
        self.put(
            || json::bundles(&list, day, currency),
            || tables::bundles(&list, day, currency),
        )
    }

    fn cost_of_goods_sold(&self) -> Result<(), VerbError> {
        let working = reports::cost_of_goods_sold(self.book, self.range()?)?;
        let (method, currency) = (self.book.settings().costing(), self.book.currency());
        self.put(
            || json::goods_sold(&working, method, currency),
            || tables::goods_sold(&working, method, currency),
        )
    }

    fn products(&self) -> Result<(), VerbError> {
        let range = self.range()?;
        let margins = reports::margins(self.book, range)?;
        self.put(
            || json::products(&margins, range, self.book.currency()),
            || tables::products(&margins, range),
        )
    }

    fn comparisons(&self) -> Result<(), VerbError> {
        let list = self.book.comparisons()?;
        let currency = self.book.currency();
        self.put(
            || json::comparisons(&list, currency),
            || tables::comparisons(&list, currency),
        )
    }

    fn cost_to_start(&self) -> Result<(), VerbError> {
        let day = self.day();
        let cost = reports::start_cost(self.book, day)?;
        let estimate = reports::start_estimate(self.book, &cost, day)?;
        let currency = self.book.currency();
        self.put(
            || json::cost_to_start(&cost, &estimate, currency),
            || tables::cost_to_start(&cost, &estimate, currency),
        )
    }

    fn plan(&self) -> Result<(), VerbError> {
        let day = self.day();
        let report = reports::plan(self.book, day)?;
        let currency = self.book.currency();
        self.put(
            || json::plan(&report, day, currency),
            || tables::plan(&report, day, currency),
        )
    }

    fn orders(&self) -> Result<(), VerbError> {
        let day = self.day();
        let currency = self.book.currency();
        let names = reports::item_names(self.book)?;
        let Some(key) = &self.args.order else {
            let list = reports::orders(self.book, day)?;
            return self.put(
                || json::orders(&list, day, currency),
                || tables::orders(&list, &names, day),
            );
        };
        let Some(report) = reports::order(self.book, key, day)? else {
            return Err(VerbError::refused(format!(
                "there is no order '{key}' in the book"
            )));
        };
        if self.args.json {
            return print_json(&json::order(&report, day, currency));
        }
        let mut parts = vec![
            tables::order_bill(&report, currency),
            tables::order_arrivals(&report, &names, currency),
        ];
        if !report.claims.is_empty() {
            parts.push(tables::order_claims(&report, &names, day));
        }
        let texts: Vec<String> = parts.iter().map(|table| table.text(currency)).collect();
        print(&texts.join("\n"))
    }
}
