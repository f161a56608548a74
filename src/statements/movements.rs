//! How money, equipment and what suppliers were paid moved in a range, from the entries themselves.
//! Which entries are read, and what pieces are called, is the reports' business.

use std::collections::{BTreeMap, BTreeSet};

use crate::dates::DateRange;
use crate::ledger::{AccountId, Chart, ChartError, EntryKind, EntryNumber, PostedEntry, Role};
use crate::money::Money;

/// What bank accounts, savings and cash did in one stretch of days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoneyPart {
    /// The days.
    pub range: DateRange,
    /// All money at the beginning.
    pub opening: Money,
    /// What came in, by kind of entry.
    pub came_in: BTreeMap<EntryKind, Money>,
    /// What went out, by kind of entry, as positive amounts.
    pub went_out: BTreeMap<EntryKind, Money>,
    /// All money at the end.
    pub closing: Money,
}

/// What money did in each of the parts, which follow each other. `opening` is all money before the first; moves
/// between own accounts are neither in nor out.
#[must_use]
pub fn money_parts(
    chart: &Chart,
    opening: Money,
    entries: &[PostedEntry],
    parts: &[DateRange],
) -> Vec<MoneyPart> {
    let money: BTreeSet<AccountId> = chart.money_accounts().iter().map(|one| one.id).collect();
    let mut standing = opening;
    let mut list = Vec::new();
    for range in parts {
        let mut part = MoneyPart {
            range: *range,
            opening: standing,
            came_in: BTreeMap::new(),
            went_out: BTreeMap::new(),
            closing: standing,
        };
        let in_part = entries
            .iter()
            .filter(|posted| range.contains(posted.entry.header.date));
        for posted in in_part {
            let lines = posted.entry.lines().iter();
            let on_money = lines.filter(|line| money.contains(&line.account));
            let net: Money = on_money.map(|line| line.amount).sum();
            let kind = posted.entry.header.kind;
            if net.is_positive() {
                *part.came_in.entry(kind).or_default() += net;
            } else if net.is_negative() {
                *part.went_out.entry(kind).or_default() -= net;
            }
            part.closing += net;
        }
        standing = part.closing;
        list.push(part);
    }
    list
}

/// What a supplier was paid and how, money that came back taken off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SupplierTotal {
    /// The supplier, as first written.
    pub party: String,
    /// What was bought: the accounts, by number and name.
    pub bought: BTreeSet<String>,
    /// From bank accounts and savings.
    pub bank: Money,
    /// By the business's card.
    pub card: Money,
    /// From the cash box.
    pub cash: Money,
    /// On a bill that is not paid, from the owner's pocket, or set against something else.
    pub otherwise: Money,
    /// The entries.
    pub entries: Vec<EntryNumber>,
}

impl SupplierTotal {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> Money {
        self.bank + self.card + self.cash + self.otherwise
    }
}

/// Suppliers by what they were paid, the most first: purchases, what came back, and bills paid off, as far as they stand.
///
/// # Errors
/// When the chart lacks an account.
pub fn supplier_totals(
    chart: &Chart,
    entries: &[PostedEntry],
) -> Result<Vec<SupplierTotal>, ChartError> {
    let (bills, card) = (chart.role(Role::BillsToPay)?, chart.role(Role::CreditCard)?);
    let cash = chart.role(Role::CashBox)?;
    let mut totals: BTreeMap<String, SupplierTotal> = BTreeMap::new();
    for posted in entries {
        let header = &posted.entry.header;
        let lines = posted.entry.lines();
        let is_bill = || lines.iter().any(|line| line.account == bills);
        let is_told = match header.kind {
            EntryKind::Purchase | EntryKind::SupplierRefund => true,
            EntryKind::Settlement => is_bill(),
            _ => false,
        };
        if !is_told || posted.reversed_by.is_some() || header.party.trim().is_empty() {
            continue;
        }
        let total = totals
            .entry(header.party.trim().to_lowercase())
            .or_default();
        if total.party.is_empty() {
            header.party.trim().clone_into(&mut total.party);
        }
        total.entries.push(posted.number);
        for line in lines {
            let account = chart.account(line.account)?;
            let is_owners = matches!(account.role, Some(Role::OwedToOwner | Role::OwnerCapital));
            if line.account == card {
                total.card -= line.amount;
            } else if line.account == cash {
                total.cash -= line.amount;
            } else if account.is_money() {
                total.bank -= line.amount;
            } else if line.account == bills || is_owners {
                total.otherwise -= line.amount;
            } else if line.amount.is_positive() {
                total.bought.insert(account.title());
            }
        }
    }
    let mut list: Vec<SupplierTotal> = totals.into_values().collect();
    list.sort_by(|a, b| {
        b.total()
            .cmp(&a.total())
            .then_with(|| a.party.cmp(&b.party))
    });
    Ok(list)
}

/// How a sum moved: at the beginning, added, gone, at the end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Moved {
    /// At the beginning.
    pub opening: Money,
    /// Added.
    pub added: Money,
    /// Gone, as a positive amount.
    pub gone: Money,
}

impl Moved {
    /// At the end.
    #[must_use]
    pub fn closing(self) -> Money {
        self.opening + self.added - self.gone
    }

    fn add(&mut self, amount: Money, is_before: bool, is_gone: bool) {
        if is_before {
            self.opening += amount;
        } else if is_gone {
            self.gone -= amount;
        } else {
            self.added += amount;
        }
    }
}

/// A piece's cost and its wear over a range.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EquipmentMoved {
    /// The piece's key; empty for what no line names a piece for.
    pub key: String,
    /// Its cost.
    pub cost: Moved,
    /// Its wear so far.
    pub wear: Moved,
}

/// Cost and wear of equipment over a range, piece by piece, from all entries up to its end that touch either account.
/// Together they come to the balance sheet.
///
/// # Errors
/// When the chart lacks an account.
pub fn equipment_moved(
    chart: &Chart,
    entries: &[PostedEntry],
    range: DateRange,
) -> Result<Vec<EquipmentMoved>, ChartError> {
    let cost = chart.role(Role::Equipment)?;
    let wear = chart.role(Role::AccumulatedDepreciation)?;
    let gone: BTreeSet<EntryNumber> = entries
        .iter()
        .filter(|posted| posted.entry.header.kind == EntryKind::Disposal)
        .map(|posted| posted.number)
        .collect();
    let mut pieces: BTreeMap<String, EquipmentMoved> = BTreeMap::new();
    for posted in entries {
        let header = &posted.entry.header;
        let is_before = header.date < range.from || header.kind == EntryKind::Opening;
        let is_gone = gone.contains(&posted.number)
            || posted.reverses.is_some_and(|number| gone.contains(&number));
        for line in posted.entry.lines() {
            if line.account != cost && line.account != wear {
                continue;
            }
            let key = line.equipment.clone().unwrap_or_default();
            let piece = pieces.entry(key.clone()).or_insert(EquipmentMoved {
                key,
                ..EquipmentMoved::default()
            });
            if line.account == cost {
                piece.cost.add(line.amount, is_before, is_gone);
            } else {
                piece.wear.add(-line.amount, is_before, is_gone);
            }
        }
    }
    let says = |moved: &Moved| *moved != Moved::default();
    let pieces = pieces.into_values();
    Ok(pieces
        .filter(|piece| says(&piece.cost) || says(&piece.wear))
        .collect())
}
