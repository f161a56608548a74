//! What the forms know: read from the book when it changed, so that drawing and typing never ask the file.
//! What is proposed from it is each form's business.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Duration, NaiveDate};

use super::orders::KnownOrders;
use super::stock::{KnownStock, SoldPieces};
use crate::app::action::StockMove;
use crate::book::{Book, BookError, EntryFilter, Hold};
use crate::dates::{DateRange, YearStart};
use crate::happenings::hints::{ChannelOwes, Written};
use crate::happenings::{CameBefore, RefundedPurchase, RefundedSale, RememberedKind};
use crate::ledger::{
    Account, AccountClass, AccountId, Balances, Chart, EntryKind, Line, PostedEntry, Role,
};
use crate::money::{Currency, Money, Quantity};
use crate::plan::Plan;
use crate::reports;
use crate::shared_bills::SharedBill;

/// How far back the same thing is looked for.
const DUPLICATE_DAYS: i64 = 6;
/// How many sales or purchases a search shows.
const FOUND_AT_MOST: usize = 8;
/// From how many of the newest lines the products are known.
const PRODUCTS_FROM: usize = 1_000;
/// A search looks through so many days at a time, the newest first, and for so long in one frame.
const SEARCHED_AT_ONCE: Duration = Duration::days(61);
const SEARCHES_FOR: std::time::Duration = std::time::Duration::from_millis(3);

/// What the forms know of the book.
#[derive(Clone, Debug)]
pub struct Facts {
    /// The accounts.
    pub chart: Chart,
    /// The currency.
    pub currency: Currency,
    /// The day it is.
    pub today: NaiveDate,
    /// The first day of the book.
    pub first_day: NaiveDate,
    /// The day up to which nothing changes any more.
    pub lock_date: Option<NaiveDate>,
    /// When financial years begin.
    pub years: YearStart,
    /// From this amount on, a lasting thing joins the register.
    pub threshold: Money,
    /// From this amount on, a business purpose is asked.
    pub purpose_from: Option<Money>,
    /// Whether what the owner pays privately is owed back to her.
    pub is_owed_back: bool,
    /// Those bought from, the most frequent first.
    pub suppliers: Vec<String>,
    /// What was sold before, the most frequent first.
    pub products: Vec<String>,
    /// Which account each thing went to.
    pub remembered: Vec<RememberedKind>,
    /// The balances of today.
    pub balances: Balances,
    /// The start-up plan.
    pub plan: Plan,
    /// What the channels hold back.
    pub holds: Vec<Hold>,
    /// The business's shares of bills used privately too.
    pub shared_bills: Vec<SharedBill>,
    /// What the last purchase was paid from.
    pub last_paid_from: Option<AccountId>,
    /// Where the money of the last sale went.
    pub last_paid_into: Option<AccountId>,
    /// The pieces in the register.
    pub equipment_names: BTreeSet<String>,
    /// The items in stock, their recipes and what lies where.
    pub stock: KnownStock,
    /// The orders to suppliers, what came of them, the claims.
    pub orders: KnownOrders,
    /// What unusual happenings are read against.
    pub occasions: reports::OccasionFacts,
    /// Where the book lies.
    pub book_path: std::path::PathBuf,
    /// The name of the business.
    pub business_name: String,
    /// The number that the next entry will have.
    pub next_entry: u64,
    /// What was looked up for the form that is open.
    pub asked: Asked,
    seen: u64,
}

/// What an open form wants to know beyond the facts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Question {
    /// Which kind of entry is looked for.
    pub kind: Option<EntryKind>,
    /// The party whose usual amounts are wanted.
    pub party: String,
    /// The day around which the same thing may be written already.
    pub around: Option<NaiveDate>,
    /// What a sale or purchase is searched by, in the forms that search for one; nothing finds the newest.
    pub search: Option<String>,
    /// The item that what is searched for brought in; any when there is none.
    pub brought: Option<String>,
    /// The sale or purchase that was picked.
    pub picked: Option<crate::ledger::EntryNumber>,
    /// What moves in stock, to learn what it is worth.
    pub moved: Option<StockMove>,
    /// The key of a sale that was typed, to learn which it means.
    pub document: String,
    /// The day of a count, to learn what the books say lay where.
    pub counted_on: Option<NaiveDate>,
}

/// The answers to a form's question.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    question: Question,
    seen: u64,
    /// The day up to which the search has still to look.
    unsearched: Option<NaiveDate>,
    /// Earlier totals with the party.
    pub usual: Vec<Money>,
    /// Entries near that day.
    pub near: Vec<Written>,
    /// Entries that the search found, newest first.
    pub found: Vec<PostedEntry>,
    /// The sale that was picked, as a refund sees it.
    pub sale: Option<RefundedSale>,
    /// The sales that the key typed may mean.
    pub sales: Vec<RefundedSale>,
    /// The purchase that was picked, as a supplier's refund sees it.
    pub purchase: Option<RefundedPurchase>,
    /// What the purchase that was picked brought into stock.
    pub came: Vec<CameBefore>,
    /// The entry that was picked.
    pub entry: Option<PostedEntry>,
    /// The kept pieces of the sale that was picked.
    pub sold: Vec<SoldPieces>,
    /// The lines of what moves in stock, or why it cannot.
    pub stock_lines: Option<Result<Vec<Line>, String>>,
    /// What the books say lay where on the day of a count, by code and place.
    pub places: BTreeMap<(String, String), Quantity>,
}

impl Facts {
    /// Reads what the forms need.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn read(book: &Book, today: NaiveDate) -> Result<Self, BookError> {
        let settings = book.settings();
        Ok(Self {
            chart: book.chart().clone(),
            currency: book.currency().clone(),
            today,
            first_day: book.first_day(),
            lock_date: book.lock_date(),
            years: book.year_start(),
            threshold: settings.equipment_threshold().unwrap_or_default(),
            purpose_from: settings
                .purpose_above()
                .filter(|amount| amount.is_positive()),
            is_owed_back: settings.is_owner_pocket_owed_back(),
            suppliers: book
                .suppliers()?
                .into_iter()
                .map(|supplier| supplier.name)
                .collect(),
            products: products(book)?,
            remembered: book.remembered_kinds()?,
            balances: book.balances_to(today.max(last_day(book)?))?,
            plan: book.plan()?,
            holds: book.holds()?,
            shared_bills: book.shared_bills()?,
            last_paid_from: book.last_paid_from(EntryKind::Purchase)?,
            last_paid_into: book.last_paid_into(EntryKind::Sale)?,
            equipment_names: book
                .equipment()?
                .into_iter()
                .map(|piece| piece.name.to_lowercase())
                .collect(),
            stock: KnownStock::read(book)?,
            orders: KnownOrders::read(book)?,
            occasions: reports::OccasionFacts::read(book)?,
            book_path: book.path().to_path_buf(),
            business_name: settings.business_name().to_owned(),
            next_entry: book.entry_count()? + 1,
            asked: Asked::default(),
            seen: book.revision(),
        })
    }

    /// Whether the book has changed since this was read, or it is another day.
    #[must_use]
    pub fn is_stale(&self, book: &Book, today: NaiveDate) -> bool {
        self.seen != book.revision() || self.today != today || self.book_path != book.path()
    }

    /// Looks up what the open form asks, when the question or the book changed.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn look_up(&mut self, book: &Book, question: Question) -> Result<(), BookError> {
        if self.has_answered(&question) {
            return Ok(());
        }
        if self.asked.question == question && self.asked.seen == self.seen {
            return self.search_on(book);
        }
        let mut asked = Asked {
            seen: self.seen,
            ..Asked::default()
        };
        if let Some(kind) = question.kind {
            if !question.party.trim().is_empty() {
                asked.usual = book.usual_amounts(kind, question.party.trim())?;
            }
            if let Some(day) = question.around {
                asked.near = near(book, kind, day)?;
            }
            if question.picked.is_none() && question.search.is_some() {
                asked.unsearched = Some(last_day(book)?);
            }
        }
        if let Some(number) = question.picked {
            let entry = book.entry(number)?;
            let refunds = reports::refunds_of(book, &entry)?;
            let refunds = refunds.iter().map(|posted| &posted.entry);
            match entry.entry.header.kind {
                EntryKind::Sale => {
                    asked.sale = RefundedSale::of_entries(&entry.entry, refunds, &self.chart).ok();
                    if let Some(sale) = &mut asked.sale {
                        sale.in_dispute = book.in_dispute(&sale.document)?;
                    }
                    asked.sold = KnownStock::sold_by(book, number)?;
                }
                EntryKind::Purchase => {
                    asked.purchase = Some(RefundedPurchase::of_entries(&entry.entry, refunds));
                    asked.came = self.stock.came_with(book, number)?;
                }
                _ => {}
            }
            asked.entry = Some(entry);
        }
        if let Some(moved) = &question.moved {
            let lines = book.preview_stock(&moved.header, &moved.movements);
            asked.stock_lines = Some(lines.map_err(|error| error.to_string()));
        }
        asked.sales = reports::refunded_sales(book, &question.document)?;
        if let Some(day) = question.counted_on {
            asked.places = book.stocks_on(day)?.places;
        }
        asked.question = question;
        self.asked = asked;
        self.search_on(book)
    }

    /// Goes on looking for what was asked, back from the newest, as long as a frame allows.
    fn search_on(&mut self, book: &Book) -> Result<(), BookError> {
        let start = std::time::Instant::now();
        let asked = &mut self.asked;
        while let Some(until) = asked.unsearched {
            let from = (until - SEARCHED_AT_ONCE).max(self.first_day);
            let filter = EntryFilter {
                range: DateRange::new(from, until),
                kind: asked.question.kind,
                text: asked.question.search.clone().unwrap_or_default(),
                brought: asked.question.brought.clone(),
                ..EntryFilter::default()
            };
            let numbers = book.newest_entry_numbers(&filter, FOUND_AT_MOST * 2)?;
            for posted in book.entries(&numbers)? {
                if posted.reversed_by.is_none() && asked.found.len() < FOUND_AT_MOST {
                    asked.found.push(posted);
                }
            }
            let is_done = asked.found.len() >= FOUND_AT_MOST || from <= self.first_day;
            asked.unsearched = if is_done { None } else { from.pred_opt() };
            if start.elapsed() > SEARCHES_FOR {
                break;
            }
        }
        Ok(())
    }

    /// Whether what was looked up answers this question.
    #[must_use]
    pub fn has_answered(&self, question: &Question) -> bool {
        self.asked.question == *question
            && self.asked.seen == self.seen
            && self.asked.unsearched.is_none()
    }

    /// The lines of what moves in stock, or why it cannot move, once that was looked up.
    #[must_use]
    pub fn stock_lines(&self, moved: &StockMove) -> Option<&Result<Vec<Line>, String>> {
        let asked = self.asked.question.moved.as_ref()?;
        (asked == moved && self.asked.seen == self.seen)
            .then_some(self.asked.stock_lines.as_ref())
            .flatten()
    }

    /// The account with this role, if the book has it.
    #[must_use]
    pub fn role(&self, role: Role) -> Option<AccountId> {
        self.chart.role(role).ok()
    }

    /// The account itself, if the book has it.
    #[must_use]
    pub fn account(&self, id: AccountId) -> Option<&Account> {
        self.chart.account(id).ok()
    }

    /// The account's name.
    #[must_use]
    pub fn name(&self, id: AccountId) -> String {
        self.account(id)
            .map_or_else(String::new, |account| account.name.clone())
    }

    /// The amount as a maker's room shows it.
    #[must_use]
    pub fn show(&self, amount: Money) -> String {
        self.currency.show(amount)
    }

    /// What the account holds today: positive on the debit side.
    #[must_use]
    pub fn balance(&self, id: AccountId) -> Money {
        self.balances.net(id)
    }

    /// What a channel holds back today.
    #[must_use]
    pub fn held(&self, channel: AccountId) -> Money {
        self.holds
            .iter()
            .filter(|hold| hold.channel == channel && hold.is_held_on(self.today))
            .map(|hold| hold.amount)
            .sum()
    }

    /// What each channel owes.
    #[must_use]
    pub fn owed(&self) -> Vec<ChannelOwes> {
        self.channels()
            .into_iter()
            .map(|channel| ChannelOwes {
                channel: channel.id,
                amount: self.balance(channel.id),
            })
            .collect()
    }

    /// The accounts that hold money and are offered.
    #[must_use]
    pub fn money(&self) -> Vec<&Account> {
        let accounts = self.chart.money_accounts();
        accounts.into_iter().filter(|one| one.is_active).collect()
    }

    /// The channels that are offered.
    #[must_use]
    pub fn channels(&self) -> Vec<&Account> {
        let accounts = self.chart.channels();
        accounts.into_iter().filter(|one| one.is_active).collect()
    }

    /// Cards, bills and whatever else was bought on and is paid later.
    #[must_use]
    pub fn cards_and_bills(&self) -> Vec<&Account> {
        self.chart
            .of_class(AccountClass::Liability)
            .into_iter()
            .filter(|one| {
                one.is_active
                    && matches!(one.role, None | Some(Role::CreditCard | Role::BillsToPay))
            })
            .collect()
    }

    /// The accounts that the cost of a thing can go to, the maker's kinds first.
    #[must_use]
    pub fn kinds(&self) -> Vec<&Account> {
        let takes = |account: &&Account| {
            account.is_active
                && match account.class {
                    AccountClass::Expense => account.role != Some(Role::Depreciation),
                    AccountClass::Asset => {
                        !account.is_contra
                            && !account.is_money()
                            && !account.is_channel()
                            && matches!(
                                account.role,
                                None | Some(
                                    Role::Materials
                                        | Role::MadeGoods
                                        | Role::BoughtInGoods
                                        | Role::PackagingOnHand
                                        | Role::Equipment
                                        | Role::StartUpCosts
                                        | Role::CompanyFormingCosts
                                )
                            )
                    }
                    AccountClass::Equity => account.role == Some(Role::OwnerDrawings),
                    _ => false,
                }
        };
        let mut accounts: Vec<&Account> = self.chart.accounts().into_iter().filter(takes).collect();
        accounts.sort_by_key(|account| {
            let is_kind = crate::kinds::Kind::of_account(&self.chart, account.id).is_some();
            (!is_kind, account.number.clone())
        });
        accounts
    }

    /// The items in stock as things that can be bought, each with its stock account.
    #[must_use]
    pub fn kept_things(&self) -> Vec<crate::app::widgets::Thing> {
        let items = self.stock.offered(|_any| true);
        items
            .into_iter()
            .filter_map(|item| self.kept_thing(item))
            .collect()
    }

    /// An item in stock as a thing that can be bought.
    #[must_use]
    pub fn kept_thing(&self, item: &crate::stock::Item) -> Option<crate::app::widgets::Thing> {
        Some(crate::app::widgets::Thing {
            code: item.code.clone(),
            label: self.stock.label(item),
            account: self.role(crate::stock::stock_role(item.kind))?,
        })
    }

    /// Every account that is offered.
    #[must_use]
    pub fn all_accounts(&self) -> Vec<&Account> {
        let accounts = self.chart.accounts();
        accounts.into_iter().filter(|one| one.is_active).collect()
    }

    /// What was bought from a supplier, for completing.
    #[must_use]
    pub fn things(&self, supplier: &str) -> Vec<String> {
        let supplier = supplier.trim();
        let mut things: Vec<String> = Vec::new();
        let theirs = |kind: &&RememberedKind| kind.supplier.eq_ignore_ascii_case(supplier);
        for kind in self.remembered.iter().filter(theirs) {
            things.push(kind.thing.clone());
        }
        for kind in &self.remembered {
            if !things.contains(&kind.thing) {
                things.push(kind.thing.clone());
            }
        }
        things
    }

    /// The account a thing from a supplier went to, and whether that was for just this thing.
    #[must_use]
    pub fn remembered(&self, supplier: &str, thing: &str) -> Option<(AccountId, bool)> {
        let (supplier, thing) = (supplier.trim(), thing.trim());
        let of = |one: &&RememberedKind| one.supplier.eq_ignore_ascii_case(supplier);
        let is = |one: &&RememberedKind| one.thing.eq_ignore_ascii_case(thing);
        if !thing.is_empty() {
            let mut same = self.remembered.iter().filter(is);
            let exact = self.remembered.iter().filter(of).find(is);
            if let Some(found) = exact.or_else(|| same.next()) {
                return Some((found.account, true));
            }
        }
        let mut counts: Vec<(AccountId, usize)> = Vec::new();
        for one in self.remembered.iter().filter(of) {
            match counts
                .iter_mut()
                .find(|(account, _)| *account == one.account)
            {
                Some((_, n)) => *n += 1,
                None => counts.push((one.account, 1)),
            }
        }
        // A supplier of one kind of thing only; with several kinds nothing is guessed.
        (counts.len() == 1).then(|| (counts[0].0, false))
    }
}

fn last_day(book: &Book) -> Result<NaiveDate, BookError> {
    Ok(book
        .days_covered()?
        .map_or_else(|| book.first_day(), |range| range.to))
}

/// What the newest sales sold, the most frequent first.
fn products(book: &Book) -> Result<Vec<String>, BookError> {
    let Ok(sales) = book.chart().role(Role::Sales) else {
        return Ok(Vec::new());
    };
    let mut counts: Vec<(String, usize)> = Vec::new();
    let mut places = std::collections::HashMap::new();
    for memo in book.newest_line_memos(sales, PRODUCTS_FROM)? {
        let name = memo.trim();
        if name.is_empty() {
            continue;
        }
        let idx = *places.entry(name.to_lowercase()).or_insert_with(|| {
            counts.push((name.to_owned(), 0));
            counts.len() - 1
        });
        counts[idx].1 += 1;
    }
    counts.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    Ok(counts.into_iter().map(|(name, _)| name).collect())
}

fn near(book: &Book, kind: EntryKind, day: NaiveDate) -> Result<Vec<Written>, BookError> {
    let days = Duration::days(DUPLICATE_DAYS);
    let Some(range) = DateRange::new(day - days, day + days) else {
        return Ok(Vec::new());
    };
    let filter = EntryFilter {
        kind: Some(kind),
        ..EntryFilter::in_range(range)
    };
    let numbers = book.entry_numbers(&filter)?;
    let entries = book.entries(&numbers)?;
    Ok(entries
        .into_iter()
        .filter(|posted| posted.reversed_by.is_none())
        .map(|posted| Written {
            number: Some(posted.number),
            date: posted.entry.header.date,
            amount: posted.entry.total(),
            party: posted.entry.header.party.clone(),
            reference: posted.entry.header.reference.clone(),
        })
        .collect())
}
