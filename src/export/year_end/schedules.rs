//! The schedules of a year's pack, A to Z as accountants ask for them, each one table under a letter. One that has nothing
//! to say this year is named all the same, so that nobody has to ask.

use chrono::NaiveDate;

use super::{desk, going_on, lists};
use crate::book::{Book, Closings};
use crate::dates::{DateRange, Month};
use crate::export::{ExportError, Table, tables};
use crate::ledger::{EntryKind, Role};
use crate::reports;
use crate::statements::{Basis, ChannelSummary};

/// A schedule.
pub(super) struct Schedule {
    /// Its letter, with a number where a letter has several.
    pub letter: String,
    /// The stem of its sheet's name; empty for one that has nothing to say.
    pub name: &'static str,
    /// What it is.
    pub title: String,
    /// Its table.
    pub table: Option<Table>,
}

impl Schedule {
    /// Letter and title.
    pub(super) fn heading(&self) -> String {
        format!("{}  {}", self.letter, self.title)
    }
}

/// Collects tables under letters.
#[derive(Default)]
struct Collection {
    all: Vec<Schedule>,
}

impl Collection {
    /// Puts tables under a letter; those without rows are left out, and when none is left it says so.
    fn letter(&mut self, letter: char, title: &str, tables: Vec<(&'static str, Table)>) {
        let full: Vec<_> = tables
            .into_iter()
            .filter(|(_name, table)| !table.rows().is_empty())
            .collect();
        if full.is_empty() {
            self.all.push(Schedule {
                letter: letter.to_string(),
                name: "",
                title: title.to_owned(),
                table: None,
            });
            return;
        }
        let is_alone = full.len() == 1;
        for (place, (name, table)) in full.into_iter().enumerate() {
            let letter = if is_alone {
                letter.to_string()
            } else {
                format!("{letter}{}", place + 1)
            };
            self.all.push(Schedule {
                letter,
                name,
                title: table.title.clone(),
                table: Some(table),
            });
        }
    }
}

/// The days of the year from the month in which the book begins.
fn since_the_book(book: &Book, days: DateRange) -> DateRange {
    let begins = Month::of(book.first_day()).first_day();
    DateRange::new(days.from.max(begins), days.to).unwrap_or(days)
}

/// Whether a shop has a figure in the year; one that began after it has none.
fn says_something(shop: &ChannelSummary) -> bool {
    let figures = [
        shop.gross_sales,
        shop.fees,
        shop.payouts,
        shop.other,
        shop.opening,
        shop.still_due,
    ];
    figures.iter().any(|figure| !figure.is_zero())
}

/// Every schedule of a year, in the order of the pack. `tell` is called after each group and answers whether to go on.
pub(super) fn schedules(
    book: &Book,
    days: DateRange,
    today: NaiveDate,
    receipts: Table,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<Vec<Schedule>, ExportError> {
    let mut all = Collection::default();
    let (chart, currency, years) = (book.chart(), book.currency(), book.year_start());
    // Entries are held only as long as these lists need them: ledger and journal take the room after.
    let (capital_entries, mixed_use, given_away, losses) = {
        let entries = reports::entries(book, days)?;
        let given = [Role::Advertising, Role::OwnerDrawings, Role::Donations];
        let lost = [Role::Waste, Role::Replacements];
        let left = |title, roles: &[Role]| lists::left_stock(book, &entries, days, title, roles);
        (
            lists::capital_entries(book, &entries, days),
            lists::mixed_use(book, &entries, days),
            left("Samples, gifts, donations and own use", &given),
            left("Spoiled, lost and replaced", &lost),
        )
    };
    let profit = reports::profit(book, days)?;
    let before = reports::profit(book, days.a_year_before())?;
    let eve = days.from.pred_opt().unwrap_or(days.from);
    let opening = book.balances_to(eve)?;
    let during = book.balances(days, Closings::Without)?;
    let mut shops = reports::channels_that_moved(book, days, today)?;
    shops.retain(says_something);
    let year = years.year_of(days.to);
    let form = reports::form_lines(book, year, None, Basis::Accrual, today)?;
    let lines = tables::form_lines_by_account(form.as_ref(), chart);
    let cash = reports::cash_basis(book, days, today)?;
    tell()?;
    all.letter(
        'A',
        "Profit statement",
        vec![
            (
                "profit",
                tables::profit_of_year(&profit, &before, chart, &lines, currency),
            ),
            ("profit-by-month", lists::by_month(book, days)?),
            (
                "money-by-month",
                tables::money_by_month(
                    &reports::money_by_month(book, since_the_book(book, days))?,
                    days,
                    currency,
                ),
            ),
            ("profit-cash-basis", tables::cash_profit(&cash, currency)),
            ("basis-bridge", tables::basis_bridge(&cash, currency)),
        ],
    );
    let balance = tables::balance_of_year(
        &crate::statements::balance_sheet(chart, &opening, eve),
        &reports::balance(book, days.to)?,
        days.from,
        currency,
    );
    all.letter('B', "Balance sheet", vec![("balance", balance)]);
    let mut trials = vec![(
        "trial",
        tables::trial_of_year(chart, &opening, &during, &lines, days),
    )];
    if book.closing_entry_of(days)?.is_some() {
        let mut after = tables::trial(&reports::trial(book, days.to)?, days.to, None);
        after.title = "Trial balance after the closing entry".to_owned();
        trials.push(("trial-after-closing", after));
    }
    all.letter('C', "Trial balance", trials);
    tell()?;
    let journal = reports::journal(book, days)?;
    let is_adjusting = |kind| {
        matches!(
            kind,
            EntryKind::Adjusting
                | EntryKind::Depreciation
                | EntryKind::Release
                | EntryKind::StockCount
                | EntryKind::Closing
        )
    };
    let adjusting: Vec<_> = journal
        .iter()
        .filter(|row| is_adjusting(row.kind))
        .cloned()
        .collect();
    let mut adjusting = tables::journal(&adjusting, days);
    adjusting.title = "Adjusting and closing entries".to_owned();
    all.letter(
        'D',
        "General ledger and journal",
        vec![
            (
                "adjusting-proposed",
                tables::adjusting_proposed(&reports::adjusting(book, year)?),
            ),
            ("adjusting", adjusting),
            ("general-ledger", lists::general_ledger(book, days, tell)?),
            ("journal", tables::journal(&journal, days)),
        ],
    );
    drop(journal);
    tell()?;
    let form = match &form {
        Some(form) => tables::tax_form(form, currency),
        None => tables::form_lines(&profit, chart, currency),
    };
    all.letter('E', "Lines of the tax form", vec![("form-lines", form)]);
    all.letter(
        'F',
        "Reconciliations",
        vec![("reconciled", lists::reconciled(book, days)?)],
    );
    all.letter(
        'G',
        "Sales by channel",
        vec![("channels", tables::channels(&shops, days, chart))],
    );
    let bridges = reports::bridges(book, &shops)?;
    all.letter(
        'H',
        "Payment reports",
        vec![("bridges", lists::bridges(&shops, &bridges, days))],
    );
    all.letter(
        'I',
        "Balances held by the shops",
        vec![("shop-balances", lists::shop_balances(book, &shops, days)?)],
    );
    all.letter(
        'J',
        "Fees by shop",
        vec![("fees", lists::fees(book, &shops, days))],
    );
    tell()?;
    all.letter(
        'K',
        "Stock and what the goods sold cost",
        vec![
            (
                "stock",
                tables::stock(&reports::stock_in(book, days)?, currency),
            ),
            (
                "cost-of-goods-sold",
                tables::goods_sold(
                    &reports::cost_of_goods_sold(book, days)?,
                    book.settings().costing(),
                    currency,
                ),
            ),
        ],
    );
    let register = book.equipment()?;
    let start = reports::start_cost(book, today)?;
    let estimate = reports::start_estimate(book, &start, today)?;
    all.letter(
        'L',
        "Equipment",
        vec![
            ("equipment", tables::equipment(&register, days.to, years)),
            (
                "equipment-moved",
                tables::equipment_moved(&reports::equipment_moved(book, days)?, days, currency),
            ),
            (
                "equipment-schedule",
                tables::equipment_schedule(&register, years),
            ),
            (
                "small-equipment",
                tables::small_equipment(&reports::small_things_by(book, days.to)?, days.to),
            ),
            ("things", lists::things(book, days)?),
        ],
    );
    all.letter(
        'M',
        "Start-up and company-forming costs",
        vec![(
            "start-up",
            tables::cost_to_start(&start, &estimate, currency),
        )],
    );
    all.letter(
        'N',
        "Owner's capital",
        vec![
            (
                "capital",
                tables::capital(&reports::capital(book, days)?, currency),
            ),
            ("capital-entries", capital_entries),
        ],
    );
    tell()?;
    let mut going_on = going_on::sheets(book, days)?;
    let mut desk = desk::sheets(book, days, today)?;
    let mut take = |names: &[&str]| {
        let mut taken = Vec::new();
        for list in [&mut going_on, &mut desk] {
            let mut place = 0;
            while place < list.len() {
                if list
                    .get(place)
                    .is_some_and(|(name, _table)| names.contains(name))
                {
                    taken.push(list.remove(place));
                } else {
                    place += 1;
                }
            }
        }
        taken
    };
    all.letter(
        'O',
        "Customers' money held",
        take(&["held-deposits", "held-vouchers"]),
    );
    let mut owed = vec![("owed", lists::owed(book, days)?)];
    owed.extend(take(&["invoices", "on-commission", "loans"]));
    all.letter('P', "Owed to and by the business", owed);
    all.letter('Q', "Sales tax", take(&["sales-tax"]));
    all.letter('R', "Bought without tax", take(&["use-tax"]));
    let mut helpers = take(&["paid-helpers", "paid-helpers-next"]);
    helpers.push((
        "suppliers",
        tables::suppliers(&reports::suppliers(book, days)?, days, currency),
    ));
    all.letter('S', "Paid helpers and suppliers", helpers);
    let mileage = reports::mileage(book, year)?;
    let mut driving = Vec::new();
    if !mileage.is_empty() {
        let mut amounts = tables::mileage(&mileage, currency);
        for words in tables::mileage_words(&mileage, currency) {
            if !amounts.notes.contains(&words) {
                amounts.note(words);
            }
        }
        driving.push(("mileage", amounts));
        driving.push(("mileage-log", tables::mileage_log(&mileage)));
    }
    all.letter('T', "Mileage", driving);
    let workspace = reports::workspace(book, year)?;
    let mut home = Vec::new();
    if !workspace.is_empty() {
        let mut months = tables::workspace(&workspace, currency);
        for words in tables::workspace_words(&workspace, currency) {
            if !months.notes.contains(&words) {
                months.note(words);
            }
        }
        home.push(("workspace", months));
        home.push(("workspace-spaces", tables::workspace_spaces(&workspace)));
        home.push(("workspace-bills", tables::workspace_bills(&workspace)));
    }
    all.letter('U', "Home workspace", home);
    all.letter(
        'V',
        "Bills and things used privately too",
        vec![("mixed-use", mixed_use)],
    );
    let mut given = vec![("given-away", given_away)];
    given.extend(take(&["gifts", "gifts-next", "swaps"]));
    all.letter('W', "Samples, gifts, own use, swaps", given);
    let mut lost = vec![("losses", losses)];
    lost.extend(take(&["disputes", "claims", "replacements"]));
    all.letter('X', "Losses and claims", lost);
    let set_aside = reports::estimate_of_year(book, year, None)
        .ok()
        .map(|estimate| ("set-aside", tables::set_aside(&estimate, currency)));
    all.letter(
        'Y',
        "Set-aside estimate and instalments",
        set_aside.into_iter().collect(),
    );
    all.letter(
        'Z',
        "Index of proofs",
        vec![
            ("receipts", receipts),
            (
                "entries-without-receipts",
                lists::without_receipts(book, days)?,
            ),
            ("recurring", tables::recurring(&book.recurring()?, days.to)),
        ],
    );
    tell()?;
    let mut more = take(&["questions"]);
    more.push(("amendments", lists::amendments(book, days)?));
    more.extend(take(&[
        "fair-days",
        "hours",
        "company-papers",
        "decisions",
        "duties-done",
        "how-kept",
    ]));
    all.letter('+', "Questions, changes and how the business is kept", more);
    Ok(all.all)
}
