//! The schedules of a year's pack, A to Z as accountants ask for them, each one table under a letter. One that has nothing
//! to say this year is named all the same, so that nobody has to ask.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{desk, entry_lists, going_on, lists, owing, shop_lists};
use crate::book::{Book, Closings};
use crate::dates::{DateRange, Month, show_day};
use crate::export::{ExportError, Table, tables};
use crate::form_lines::FormLines;
use crate::ledger::{AccountId, EntryKind, Role};
use crate::money::Money;
use crate::reports;
use crate::shared_bills::held_in;
use crate::statements::{
    Basis, CashBasis, ChannelSummary, GoodsSold, ProfitStatement, balance_sheet,
};

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

/// What is gathered for a pack: its schedules, and sums of what they print for what must agree.
pub(super) struct Gathered {
    /// The schedules, in the order of the pack.
    pub schedules: Vec<Schedule>,
    /// The debits of the journal as it is printed, closing entries and their mirrors apart.
    pub journal: Money,
    /// The closing balances of the general ledger as it is printed.
    pub ledger: Money,
    /// What the shops still owed.
    pub shops: Money,
    /// The profit on the cash basis.
    pub cash: CashBasis,
    /// The lines of the form, where there is one.
    pub form: Option<FormLines>,
    /// The working of the cost of goods sold.
    pub goods: GoodsSold,
}

/// Gathers every schedule of a year. `tell` is called after each of them and answers whether to go on.
pub(super) fn gather(
    book: &Book,
    days: DateRange,
    today: NaiveDate,
    receipts: Table,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<Gathered, ExportError> {
    let mut lists = going_on::sheets(book, days)?;
    tell()?;
    lists.extend(desk::sheets(book, days, today)?);
    tell()?;
    lists.extend(from_entries(book, days)?);
    tell()?;
    let year = book.year_start().year_of(days.to);
    let form = reports::form_lines(book, year, None, Basis::Accrual, today)?;
    let mut shops = reports::channels_that_moved(book, days, today)?;
    shops.retain(says_something);
    tell()?;
    let mut all = Gathering {
        book,
        days,
        today,
        year,
        tell,
        lists,
        all: Vec::new(),
    };
    let lines = tables::form_lines_by_account(form.as_ref(), book.chart());
    let cash = reports::cash_basis(book, days, today)?;
    (all.tell)()?;
    let profit = reports::profit(book, days)?;
    all.statements(&profit, &cash, &lines)?;
    let form_table = match &form {
        Some(form) => tables::tax_form(form, book.currency()),
        None => tables::form_lines(&profit, book.chart(), book.currency()),
    };
    all.letter(
        'E',
        "Lines of the tax form",
        vec![("form-lines", form_table)],
    )?;
    all.sales(&shops)?;
    let goods = all.things()?;
    all.owners_money()?;
    all.owed()?;
    all.shared()?;
    all.given_and_lost()?;
    all.proofs(receipts)?;
    // Ledger and journal take the most room: last, when what the other lists were picked from is gone again.
    let (journal, ledger) = all.ledger()?;
    let mut schedules = all.all;
    schedules.sort_by_key(|schedule| {
        let letter = schedule.letter.chars().next();
        (letter == Some('+'), letter)
    });
    Ok(Gathered {
        schedules,
        journal,
        ledger,
        shops: shops.iter().map(|shop| shop.still_due).sum(),
        cash,
        form,
        goods,
    })
}

/// The lists that are picked out of the entries themselves. These are held no longer than that: ledger and journal take
/// the room after.
fn from_entries(book: &Book, days: DateRange) -> Result<[(&'static str, Table); 5], ExportError> {
    let entries = reports::entries(book, days)?;
    let given = [Role::Advertising, Role::OwnerDrawings, Role::Donations];
    let lost = [Role::Waste, Role::Replacements];
    let left = |title, roles: &[Role]| lists::left_stock(book, &entries, days, title, roles);
    Ok([
        (
            "capital-entries",
            lists::capital_entries(book, &entries, days),
        ),
        ("mixed-use", lists::mixed_use(book, &entries, days)?),
        (
            "given-away",
            left("Samples, gifts, donations and own use", &given),
        ),
        ("losses", left("Spoiled, lost and replaced", &lost)),
        ("largest", entry_lists::largest(&entries, days)),
    ])
}

/// Gathers tables under letters.
struct Gathering<'a> {
    book: &'a Book,
    days: DateRange,
    today: NaiveDate,
    year: i32,
    tell: &'a mut dyn FnMut() -> Result<(), ExportError>,
    /// Lists that are made together and stand under several letters.
    lists: Vec<(&'static str, Table)>,
    all: Vec<Schedule>,
}

impl Gathering<'_> {
    /// Puts tables under a letter; those without rows are left out, and when none is left it says so.
    fn letter(
        &mut self,
        letter: char,
        title: &str,
        tables: Vec<(&'static str, Table)>,
    ) -> Result<(), ExportError> {
        (self.tell)()?;
        // Numbers stay with their lists from year to year, whether one of them has something to say or not.
        let is_alone = tables.len() == 1;
        let full: Vec<_> = tables
            .into_iter()
            .enumerate()
            .filter(|(_place, (_name, table))| !table.rows().is_empty())
            .collect();
        if full.is_empty() {
            self.all.push(Schedule {
                letter: letter.to_string(),
                name: "",
                title: title.to_owned(),
                table: None,
            });
        }
        for (place, (name, table)) in full {
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
        Ok(())
    }

    /// Takes lists by their names, in this order; one that is not there is empty.
    fn take(&mut self, names: &[&'static str]) -> Vec<(&'static str, Table)> {
        let mut taken = Vec::new();
        for wanted in names {
            let found = self.lists.iter().position(|(name, _table)| name == wanted);
            taken.push(found.map_or_else(
                || (*wanted, Table::default()),
                |place| self.lists.remove(place),
            ));
        }
        taken
    }

    /// A to C: profit, balance sheet, trial balance.
    fn statements(
        &mut self,
        profit: &ProfitStatement,
        cash: &CashBasis,
        lines: &BTreeMap<AccountId, String>,
    ) -> Result<(), ExportError> {
        let (book, days) = (self.book, self.days);
        let (chart, currency) = (book.chart(), book.currency());
        let before = reports::profit(book, days.a_year_before())?;
        let money = reports::money_by_month(book, since_the_book(book, days))?;
        let months: Vec<ProfitStatement> = reports::profit_by_month(book, days)?
            .into_iter()
            .map(|(_month, statement)| statement)
            .collect();
        self.letter(
            'A',
            "Profit statement",
            vec![
                (
                    "profit",
                    tables::profit_of_year(profit, &before, chart, lines, currency),
                ),
                (
                    "profit-grid",
                    tables::profit_grid(&months, profit, &before, chart),
                ),
                ("profit-by-month", lists::by_month(book, days)?),
                (
                    "money-by-month",
                    tables::money_by_month(&money, days, currency),
                ),
                ("profit-cash-basis", tables::cash_profit(cash, currency)),
                ("basis-bridge", tables::basis_bridge(cash, currency)),
            ],
        )?;
        let eve = days.from.pred_opt().unwrap_or(days.from);
        let opening = book.balances_to(eve)?;
        let balance = tables::balance_of_year(
            &balance_sheet(chart, &opening, eve),
            &reports::balance(book, days.to)?,
            days.from,
            currency,
        );
        self.letter('B', "Balance sheet", vec![("balance", balance)])?;
        let during = book.balances(days, Closings::Without)?;
        let mut trials = vec![(
            "trial",
            tables::trial_of_year(chart, &opening, &during, lines, days),
        )];
        if book.closing_entry_of(days)?.is_some() {
            let mut after = tables::trial(&reports::trial(book, days.to)?, days.to, None);
            after.title = "Trial balance after the closing entry".to_owned();
            trials.push(("trial-after-closing", after));
        }
        self.letter('C', "Trial balance", trials)
    }

    /// D; answers the sums of what is printed of journal and ledger.
    fn ledger(&mut self) -> Result<(Money, Money), ExportError> {
        let (book, days) = (self.book, self.days);
        let entries = reports::entries(book, days)?;
        (self.tell)()?;
        let debits = lists::debits_without_closings(&entries);
        let journal = crate::statements::journal(book.chart(), &entries);
        drop(entries);
        (self.tell)()?;
        let adjusting: Vec<_> = journal
            .iter()
            .filter(|row| is_adjusting(row.kind))
            .cloned()
            .collect();
        let mut adjusting = tables::journal(&adjusting, days);
        adjusting.title = "Adjusting and closing entries".to_owned();
        let mut adjusting_of_year = reports::adjusting(book, self.year)?;
        if adjusting_of_year.is_locked {
            // What a closed year leaves out is handed on all the same.
            adjusting_of_year.proposed = reports::left_out(book, self.year)?;
            for one in &mut adjusting_of_year.proposed {
                // Nothing can be posted in it any more.
                one.recordings.clear();
            }
        }
        let proposed = tables::adjusting_proposed(&adjusting_of_year);
        let (ledger, closings) = lists::general_ledger(book, days, self.tell)?;
        let journal = tables::journal(&journal, days);
        self.letter(
            'D',
            "General ledger and journal",
            vec![
                ("adjusting-proposed", proposed),
                ("adjusting", adjusting),
                ("general-ledger", ledger),
                ("journal", journal),
            ],
        )?;
        Ok((debits, closings))
    }

    /// F to J: accounts against their statements, and what the shops took and owe.
    fn sales(&mut self, shops: &[ChannelSummary]) -> Result<(), ExportError> {
        let (book, days) = (self.book, self.days);
        let reconciled = owing::reconciled(book, days)?;
        let files = owing::statements(book, days)?;
        self.letter(
            'F',
            "Reconciliations",
            vec![
                ("reconciled", reconciled),
                ("outstanding", owing::outstanding(book, days)?),
                ("statements", files),
            ],
        )?;
        let channels = shop_lists::channels(book, shops, days)?;
        let products = lists::by_product(&reports::margins(book, days)?, days);
        self.letter(
            'G',
            "Sales by channel",
            vec![("channels", channels), ("sales-by-product", products)],
        )?;
        let bridges = shop_lists::bridges(book, shops, &reports::bridges(book, shops)?, days)?;
        self.letter('H', "Payment reports", vec![("bridges", bridges)])?;
        let balances = shop_lists::shop_balances(book, shops, days)?;
        self.letter(
            'I',
            "Balances held by the shops",
            vec![("shop-balances", balances)],
        )?;
        let fees = shop_lists::fees(book, shops, days);
        self.letter('J', "Fees by shop", vec![("fees", fees)])
    }

    /// K and L: stock and equipment; answers the working of the cost of goods sold.
    fn things(&mut self) -> Result<GoodsSold, ExportError> {
        let (book, days) = (self.book, self.days);
        let (currency, years) = (book.currency(), book.year_start());
        let mut stock = tables::stock(&reports::stock_in(book, days)?, currency);
        stock.show(&["packaging", "given", "own_use"]);
        (self.tell)()?;
        let goods = reports::cost_of_goods_sold(book, days)?;
        let working = tables::goods_sold(&goods, book.settings().costing(), currency);
        self.letter(
            'K',
            "Stock and what the goods sold cost",
            vec![
                ("stock", stock),
                ("cost-of-goods-sold", working),
                ("counts", entry_lists::counts(book, days)?),
            ],
        )?;
        let mut register = book.equipment()?;
        register.retain(|piece| piece.bought_on <= days.to);
        let moved = reports::equipment_moved(book, days)?;
        let small = reports::small_things_by(book, days.to)?;
        let things = lists::things(book, days)?;
        let mut equipment = tables::equipment(&register, days.to, years);
        if !register.is_empty() {
            equipment.note(
                "Wear worked out through the last day, posted or not; what is posted stands in the next list.",
            );
        }
        self.letter(
            'L',
            "Equipment",
            vec![
                ("equipment", equipment),
                (
                    "equipment-moved",
                    tables::equipment_moved(&moved, days, currency),
                ),
                (
                    "equipment-schedule",
                    tables::equipment_schedule(&register, years),
                ),
                ("small-equipment", tables::small_equipment(&small, days.to)),
                ("brought-in", entry_lists::brought_in(book, days)?),
                ("things", things),
            ],
        )?;
        Ok(goods)
    }

    /// M and N: the cost to start and the owner's money.
    fn owners_money(&mut self) -> Result<(), ExportError> {
        let (book, days, currency) = (self.book, self.days, self.book.currency());
        let start = reports::start_cost(book, self.today)?;
        let estimate = reports::start_estimate(book, &start, self.today)?;
        self.letter(
            'M',
            "Start-up and company-forming costs",
            vec![
                (
                    "start-up",
                    tables::cost_to_start(&start, &estimate, currency),
                ),
                (
                    "start-up-outlays",
                    entry_lists::start_up_outlays(book, &start, days),
                ),
            ],
        )?;
        let capital = tables::capital(&reports::capital(book, days)?, currency);
        let mut owners = vec![("capital", capital)];
        owners.extend(self.take(&["capital-entries"]));
        self.letter('N', "Owner's capital", owners)
    }

    /// O to S: customers' money, what is owed, sales tax, helpers and suppliers.
    fn owed(&mut self) -> Result<(), ExportError> {
        let (book, days) = (self.book, self.days);
        let held = self.take(&["held-deposits", "held-vouchers"]);
        self.letter('O', "Customers' money held", held)?;
        let mut owed = vec![("owed", owing::owed(book, days, self.today)?)];
        owed.extend(self.take(&["invoices", "on-commission", "loans"]));
        self.letter('P', "Owed to and by the business", owed)?;
        let returns = self.take(&["sales-tax"]);
        self.letter('Q', "Sales tax", returns)?;
        let untaxed = self.take(&["use-tax"]);
        self.letter('R', "Bought without tax", untaxed)?;
        let mut helpers = self.take(&["paid-helpers", "paid-helpers-next"]);
        let suppliers = reports::suppliers(book, days)?;
        helpers.push((
            "suppliers",
            tables::suppliers(&suppliers, days, book.currency()),
        ));
        self.letter('S', "Paid helpers and suppliers", helpers)
    }

    /// T to V: driving, the workspace at home, and bills used privately too.
    fn shared(&mut self) -> Result<(), ExportError> {
        let (book, currency) = (self.book, self.book.currency());
        let mileage = reports::mileage(book, self.year)?;
        let mut driving = Vec::new();
        if !mileage.is_empty() {
            let mut amounts = tables::mileage(&mileage, currency);
            note_each(&mut amounts, tables::mileage_words(&mileage, currency));
            driving.push(("mileage", amounts));
            driving.push(("mileage-log", tables::mileage_log(&mileage)));
        }
        self.letter('T', "Mileage", driving)?;
        let workspace = reports::workspace(book, self.year)?;
        let mut home = Vec::new();
        if !workspace.is_empty() {
            let mut months = tables::workspace(&workspace, currency);
            note_each(&mut months, tables::workspace_words(&workspace, currency));
            home.push(("workspace", months));
            home.push(("workspace-spaces", tables::workspace_spaces(&workspace)));
            home.push(("workspace-bills", tables::workspace_bills(&workspace)));
        }
        self.letter('U', "Home workspace", home)?;
        let bills = book.shared_bills()?;
        let held = held_in(&bills, self.days);
        let mut mixed_use = self.take(&["mixed-use"]);
        mixed_use.push((
            "shared-bills",
            tables::shared_bills(&held, lists::span(self.days)),
        ));
        self.letter('V', "Bills and things used privately too", mixed_use)
    }

    /// W and X: what left the stock unsold.
    fn given_and_lost(&mut self) -> Result<(), ExportError> {
        let given = self.take(&["given-away", "gifts", "gifts-next", "swaps"]);
        self.letter('W', "Samples, gifts, own use, swaps", given)?;
        let lost = self.take(&["losses", "disputes", "claims", "replacements"]);
        self.letter('X', "Losses and claims", lost)
    }

    /// Y, Z and what has no letter: set-aside, proofs, questions and changes.
    fn proofs(&mut self, receipts: Table) -> Result<(), ExportError> {
        let (book, days) = (self.book, self.days);
        let mut tax = Vec::new();
        if let Ok(estimate) = reports::estimate_of_year(book, self.year, None) {
            tax.push(("set-aside", tables::set_aside(&estimate, book.currency())));
            let instalments = entry_lists::instalments(book, &estimate, self.today)?;
            tax.push(("instalments", instalments));
        }
        tax.push(("tax-paid", entry_lists::tax_paid(book, self.year)?));
        self.letter('Y', "Set-aside estimate and instalments", tax)?;
        let missing = lists::without_receipts(book, days)?;
        let mut proofs = vec![
            ("receipts", receipts),
            ("entries-without-receipts", missing),
        ];
        proofs.extend(self.take(&["largest"]));
        let mut recurring = tables::recurring(&book.recurring()?, days.to);
        recurring.subtitle = format!("As they stand on {}", show_day(self.today));
        proofs.push(("recurring", recurring));
        self.letter('Z', "Index of proofs", proofs)?;
        let mut more = self.take(&["questions"]);
        more.push(("amendments", lists::amendments(book, days)?));
        more.extend(self.take(&[
            "fair-days",
            "hours",
            "company-papers",
            "decisions",
            "duties-done",
            "how-kept",
        ]));
        self.letter('+', "Questions, changes and how the business is kept", more)
    }
}

/// Sentences beneath a table, each once.
fn note_each(table: &mut Table, sentences: impl IntoIterator<Item = String>) {
    for words in sentences {
        if !table.notes.contains(&words) {
            table.note(words);
        }
    }
}

fn is_adjusting(kind: EntryKind) -> bool {
    matches!(
        kind,
        EntryKind::Adjusting
            | EntryKind::Depreciation
            | EntryKind::Release
            | EntryKind::StockCount
            | EntryKind::Closing
    )
}
