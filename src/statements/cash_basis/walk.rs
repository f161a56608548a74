//! Walks the entries of a book in order and tells how each moves the cash basis away from the accrual one.
//! What it adds up to is laid out by the module above.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::pays;
use super::pool::{Parts, Pool, add, less, negated, portion};
use crate::dates::DateRange;
use crate::ledger::{
    Account, AccountId, Chart, EntryKind, EntryNumber, JournalEntry, PostedEntry, Role,
};
use crate::money::Money;

/// What one entry did: what it counts differently, by the account it waits on, and what it did to which pool.
#[derive(Clone, Debug, Default)]
struct Effects {
    counted: Vec<(AccountId, Parts)>,
    pooled: Vec<(AccountId, String, Money, Parts)>,
    /// What stood there when the book began.
    opened: Parts,
}

/// An entry's lines by what they are, debits positive, each account added up.
#[derive(Default)]
struct Told {
    waiting: Parts,
    ahead: Parts,
    paid: Money,
    /// Profit lines, without what stock the sold things were.
    profit: Parts,
    is_opening: bool,
}

/// The walk with what it has found so far.
pub(super) struct Walk<'a> {
    chart: &'a Chart,
    range: DateRange,
    first_day: NaiveDate,
    /// Pools by account; within one the oldest first.
    pools: BTreeMap<AccountId, Vec<(String, Pool)>>,
    /// What was paid ahead and taken ahead before the range and is not used up.
    ahead_before: Parts,
    /// What entries did that are taken back later.
    done: HashMap<EntryNumber, Effects>,
    /// Within the range: debits counted on the cash basis beyond the accrual one, by account.
    pub(super) moved: Parts,
    /// Profit the books know and the cash basis does not, by the account it waits on.
    pub(super) at_beginning: Parts,
    pub(super) at_end: Parts,
    /// The range's entries behind each.
    pub(super) behind: BTreeMap<AccountId, Vec<EntryNumber>>,
}

impl<'a> Walk<'a> {
    pub(super) fn new(chart: &'a Chart, range: DateRange, first_day: NaiveDate) -> Self {
        Self {
            chart,
            range,
            first_day,
            pools: BTreeMap::new(),
            ahead_before: Parts::new(),
            done: HashMap::new(),
            moved: Parts::new(),
            at_beginning: Parts::new(),
            at_end: Parts::new(),
            behind: BTreeMap::new(),
        }
    }

    /// Takes the next entry.
    pub(super) fn entry(&mut self, posted: &PostedEntry) {
        let header = &posted.entry.header;
        if header.date > self.range.to || header.kind == EntryKind::Closing {
            return;
        }
        let told = self.told(&posted.entry);
        let mut effects = Effects::default();
        let undone = posted.reverses.and_then(|number| self.done.remove(&number));
        if let Some(done) = undone {
            self.undo(&done, &mut effects);
        } else if told.is_opening {
            self.open(&told, &header.party, &mut effects);
        } else {
            self.count(&told, &header.party, &mut effects);
        }
        self.keep(posted, &told, &effects);
        if posted.reversed_by.is_some() {
            self.done.insert(posted.number, effects);
        }
    }

    fn told(&self, entry: &JournalEntry) -> Told {
        let mut told = Told {
            is_opening: entry.header.kind == EntryKind::Opening,
            ..Told::default()
        };
        let (mut stock, mut goods) = (Money::ZERO, Parts::new());
        for line in entry.lines() {
            let Ok(account) = self.chart.account(line.account) else {
                continue;
            };
            let of_it = match account.role {
                Some(Role::CustomersOwe | Role::BillsToPay | Role::InDispute) => &mut told.waiting,
                Some(Role::PaidInAdvance | Role::CustomerDeposits) => &mut told.ahead,
                _ if account.class.is_profit_and_loss() => {
                    if account.group == Account::COST_OF_GOODS_SOLD_GROUP {
                        &mut goods
                    } else {
                        &mut told.profit
                    }
                }
                Some(
                    Role::Materials
                    | Role::MadeGoods
                    | Role::BoughtInGoods
                    | Role::PartMade
                    | Role::PackagingOnHand,
                ) => {
                    stock += line.amount;
                    continue;
                }
                _ if pays(account) => {
                    told.paid += line.amount;
                    continue;
                }
                _ => continue,
            };
            *of_it.entry(line.account).or_default() += line.amount;
        }
        // What the sold things cost comes from stock, not from what is owed: it stays on its day.
        let cost: Money = goods.values().copied().sum();
        let is_from_stock = cost.is_positive() == stock.is_negative();
        let from_stock = match (is_from_stock, cost.abs() < stock.abs()) {
            (false, _) => Money::ZERO,
            (true, true) => cost,
            (true, false) => -stock,
        };
        add(
            &mut told.profit,
            &less(&goods, &portion(&goods, from_stock, cost)),
        );
        for parts in [&mut told.waiting, &mut told.ahead] {
            parts.retain(|_, amount| !amount.is_zero());
        }
        told
    }

    /// Balances that a running business starts with: what they are made of is not known.
    fn open(&mut self, told: &Told, party: &str, effects: &mut Effects) {
        for (account, amount) in &told.waiting {
            let unknown = Parts::from([(*account, -*amount)]);
            let _nothing_left = self.pool(*account, party).add(*amount, &unknown);
            effects
                .pooled
                .push((*account, party.to_owned(), *amount, unknown));
        }
        add(&mut effects.opened, &told.waiting);
        add(&mut effects.opened, &told.ahead);
    }

    fn count(&mut self, told: &Told, party: &str, effects: &mut Effects) {
        // Money paid or taken ahead counts when it moves, as if it were profit; using it up takes it back.
        let mut substance = told.profit.clone();
        for (account, amount) in &told.ahead {
            let itself = Parts::from([(*account, *amount)]);
            add(&mut substance, &itself);
            effects.counted.push((*account, itself));
            self.name_used_up(told, *account, *amount, effects);
        }
        let (settled, unpaid) = parted(&told.waiting, told.paid);
        let together: Money = unpaid.values().copied().sum();
        let paid_too = if together.is_positive() == told.paid.is_positive() {
            told.paid
        } else {
            Money::ZERO
        };
        let mut left = portion(&substance, together, together + paid_too);
        let mut of_left = together;
        for (account, amount) in &unpaid {
            let parts = portion(&left, *amount, of_left);
            left = less(&left, &parts);
            of_left -= *amount;
            effects.counted.push((*account, negated(&parts)));
            self.wait(*account, party, *amount, parts, effects);
        }
        for (account, amount) in &settled {
            self.settle(*account, party, *amount, effects);
        }
    }

    /// What is used up of money from before the range is taken out of the profit lines it became, so that a cost paid
    /// last year does not stand among this year's.
    fn name_used_up(&self, told: &Told, account: AccountId, amount: Money, effects: &mut Effects) {
        let before = self.ahead_before.get(&account).copied().unwrap_or_default();
        if before.is_zero() || before.is_positive() == amount.is_positive() {
            return;
        }
        let used = if before.abs() < amount.abs() {
            -before
        } else {
            amount
        };
        let same_side = |it: Money| it.is_positive() == amount.is_positive() && !it.is_zero();
        let others = told.waiting.values().chain([&told.paid]);
        let beside: Money = others.copied().filter(|it| same_side(*it)).sum();
        let profit: Money = told.profit.values().copied().sum();
        if profit.is_zero() || same_side(profit) {
            return;
        }
        let mut shift = negated(&portion(&told.profit, used, amount + beside));
        let sum: Money = shift.values().copied().sum();
        add(&mut shift, &Parts::from([(account, -sum)]));
        effects.counted.push((account, shift));
    }

    /// An amount that waits to be paid, with what it is made of. What goes against what stands there takes that up.
    fn wait(
        &mut self,
        account: AccountId,
        party: &str,
        amount: Money,
        parts: Parts,
        effects: &mut Effects,
    ) {
        let (mut amount, mut parts) = (amount, parts);
        for key in self.keys_against(account, party, amount) {
            let standing = self.pool(account, &key).amount;
            let taken = if standing.abs() < amount.abs() {
                -standing
            } else {
                amount
            };
            if taken.is_zero() {
                continue;
            }
            let own = portion(&parts, taken, amount);
            parts = less(&parts, &own);
            amount -= taken;
            let released = self.pool(account, &key).take(-taken);
            effects.counted.push((account, own));
            effects.counted.push((account, released.clone()));
            effects
                .pooled
                .push((account, key, taken, negated(&released)));
        }
        if !amount.is_zero() {
            let _nothing_left = self.pool(account, party).add(amount, &parts);
            effects
                .pooled
                .push((account, party.to_owned(), amount, parts));
        } else if !parts.is_empty() {
            effects.counted.push((account, parts));
        }
    }

    /// Money that settles what waits; money beyond it counts now, its kind not known.
    fn settle(&mut self, account: AccountId, party: &str, amount: Money, effects: &mut Effects) {
        let mut amount = amount;
        for key in self.keys_against(account, party, amount) {
            let standing = self.pool(account, &key).amount;
            let taken = if standing.abs() < amount.abs() {
                -standing
            } else {
                amount
            };
            if taken.is_zero() {
                continue;
            }
            amount -= taken;
            let released = self.pool(account, &key).take(-taken);
            effects.counted.push((account, released.clone()));
            effects
                .pooled
                .push((account, key, taken, negated(&released)));
        }
        if !amount.is_zero() {
            let itself = Parts::from([(account, amount)]);
            let unknown = negated(&itself);
            let _nothing_left = self.pool(account, party).add(amount, &unknown);
            effects.counted.push((account, itself));
            effects
                .pooled
                .push((account, party.to_owned(), amount, unknown));
        }
    }

    fn undo(&mut self, done: &Effects, effects: &mut Effects) {
        effects.opened = negated(&done.opened);
        for (account, parts) in &done.counted {
            effects.counted.push((*account, negated(parts)));
        }
        for (account, party, amount, parts) in &done.pooled {
            let parts = negated(parts);
            let left = self.pool(*account, party).add(-*amount, &parts);
            effects
                .pooled
                .push((*account, party.clone(), -*amount, less(&parts, &left)));
            if !left.is_empty() {
                effects.counted.push((*account, left));
            }
        }
    }

    /// The pools that an amount goes against: the party's own or, for what settles and a party that has none, the oldest.
    fn keys_against(&self, account: AccountId, party: &str, amount: Money) -> Vec<String> {
        let Some(pools) = self.pools.get(&account) else {
            return Vec::new();
        };
        let against = |(_, pool): &&(String, Pool)| pool.is_against(amount);
        let own = pools
            .iter()
            .filter(against)
            .find(|(key, _)| is_same(key, party));
        if let Some((key, _)) = own {
            return vec![key.clone()];
        }
        let usually_debit = !self.chart.has_role(account, Role::BillsToPay);
        if usually_debit == amount.is_positive() {
            return Vec::new();
        }
        let others = pools.iter().filter(against);
        others.map(|(key, _)| key.clone()).collect()
    }

    fn pool(&mut self, account: AccountId, party: &str) -> &mut Pool {
        let pools = self.pools.entry(account).or_default();
        // An emptied pool leaves its place, so that the oldest that stands is the first.
        pools.retain(|(key, pool)| {
            is_same(key, party) || !pool.amount.is_zero() || !pool.parts.is_empty()
        });
        let place = pools.iter().position(|(key, _)| is_same(key, party));
        let place = place.unwrap_or_else(|| {
            pools.push((party.to_owned(), Pool::default()));
            pools.len() - 1
        });
        &mut pools[place].1
    }

    fn keep(&mut self, posted: &PostedEntry, told: &Told, effects: &Effects) {
        let date = posted.entry.header.date;
        let is_in_range = date >= self.range.from;
        let stood_before = !is_in_range || (told.is_opening && date <= self.first_day);
        let mut standing = effects.opened.clone();
        for (account, parts) in &effects.counted {
            let sum: Money = parts.values().copied().sum();
            add(&mut standing, &Parts::from([(*account, sum)]));
            if is_in_range {
                add(&mut self.moved, parts);
                let behind = self.behind.entry(*account).or_default();
                if behind.last() != Some(&posted.number) {
                    behind.push(posted.number);
                }
            }
        }
        add(&mut self.at_end, &standing);
        if stood_before {
            add(&mut self.at_beginning, &standing);
            add(&mut self.ahead_before, &told.ahead);
        } else {
            for (account, amount) in &told.ahead {
                let before = self.ahead_before.entry(*account).or_default();
                let is_used = !before.is_zero() && before.is_positive() != amount.is_positive();
                if is_used {
                    *before = if before.abs() < amount.abs() {
                        Money::ZERO
                    } else {
                        *before + *amount
                    };
                }
            }
        }
    }
}

fn is_same(key: &str, party: &str) -> bool {
    key.trim().to_lowercase() == party.trim().to_lowercase()
}

/// What waits, parted into what is settled, by money or against each other, and what is not paid.
fn parted(waiting: &Parts, paid: Money) -> (Parts, Parts) {
    let side = |is_debit: bool| -> Parts {
        let of_it = waiting
            .iter()
            .filter(|(_, amount)| amount.is_positive() == is_debit);
        of_it.map(|(account, amount)| (*account, *amount)).collect()
    };
    let (mut debits, mut credits) = (side(true), side(false));
    let mut settled = Parts::new();
    let sum = |parts: &Parts| -> Money { parts.values().copied().sum() };
    let (more, fewer) = (sum(&debits), -sum(&credits));
    let mut settle = |from: &mut Parts, amount: Money| {
        let of_it = portion(from, amount, from.values().copied().sum());
        *from = less(from, &of_it);
        add(&mut settled, &of_it);
    };
    let set_off = more.min(fewer);
    settle(&mut debits, set_off);
    settle(&mut credits, -set_off);
    let mut unpaid = if more >= fewer { debits } else { credits };
    let left = sum(&unpaid);
    if !paid.is_zero() && !left.is_zero() && left.is_positive() != paid.is_positive() {
        let by_money = if paid.abs() < left.abs() { -paid } else { left };
        settle(&mut unpaid, by_money);
    }
    (settled, unpaid)
}
