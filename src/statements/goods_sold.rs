//! What the goods sold cost, worked from stock at the beginning to stock at the end, and the same by lines of a tax form.
//! Packaging is left out: it is a cost of its own when it is used.

use std::collections::{BTreeMap, BTreeSet};

use crate::dates::DateRange;
use crate::ledger::{
    AccountClass, AccountId, Balances, Chart, ChartError, EntryKind, PostedEntry, Role,
};
use crate::money::Money;
use crate::stock::ItemKind;

use super::ProfitSection;

/// The working of what the goods sold cost. All amounts are in minor units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GoodsSold {
    /// The days it covers.
    pub range: DateRange,
    /// Stock at the beginning.
    pub opening: Money,
    /// Goods bought to be sold.
    pub purchases: Money,
    /// The cost of what the owner took for herself, whatever it was.
    pub own_use: Money,
    /// Wages of others who made the goods; the owner's own time is no cost.
    pub labour: Money,
    /// Materials bought.
    pub materials: Money,
    /// Outside work and other costs of making, less what left the stock otherwise: samples, gifts.
    pub other: Money,
    /// Stock at the end.
    pub closing: Money,
}

/// One line of part III of the form that a sole owner files in the United States: an aid for sorting only.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GoodsFormLine {
    /// Its number on the form.
    pub line: u32,
    /// What stands there.
    pub what: &'static str,
    /// The amount; none where the form asks for words.
    pub amount: Option<Money>,
    /// The words, where the form asks for them.
    pub words: &'static str,
}

impl GoodsSold {
    /// Purchases less what the owner took for herself.
    #[must_use]
    pub fn net_purchases(&self) -> Money {
        self.purchases - self.own_use
    }

    /// Everything that was there to be sold.
    #[must_use]
    pub fn available(&self) -> Money {
        self.opening + self.net_purchases() + self.labour + self.materials + self.other
    }

    /// What the goods sold cost.
    #[must_use]
    pub fn sold(&self) -> Money {
        self.available() - self.closing
    }

    /// The working in the layout of the form's lines 33 to 42.
    #[must_use]
    pub fn form_lines(&self) -> Vec<GoodsFormLine> {
        let words = |line, what, words| GoodsFormLine {
            line,
            what,
            amount: None,
            words,
        };
        let amount = |line, what, amount| GoodsFormLine {
            line,
            what,
            amount: Some(amount),
            words: "",
        };
        vec![
            words(33, "Method used to value closing inventory", "a: cost"),
            words(
                34,
                "Any change in determining quantities, costs or valuations",
                "",
            ),
            amount(35, "Inventory at beginning of year", self.opening),
            amount(
                36,
                "Purchases less cost of items withdrawn for personal use",
                self.net_purchases(),
            ),
            amount(
                37,
                "Cost of labor, without amounts paid to yourself",
                self.labour,
            ),
            amount(38, "Materials and supplies", self.materials),
            amount(39, "Other costs", self.other),
            amount(40, "Lines 35 through 39", self.available()),
            amount(41, "Inventory at end of year", self.closing),
            amount(42, "Cost of goods sold, line 40 less line 41", self.sold()),
        ]
    }
}

/// The accounts whose stock is sold, and those of what the sold goods cost.
struct Inside {
    stock: BTreeSet<AccountId>,
    goods: BTreeSet<AccountId>,
    materials: AccountId,
    part_made: AccountId,
    drawings: AccountId,
    costs: BTreeSet<AccountId>,
}

impl Inside {
    fn of(chart: &Chart) -> Result<Self, ChartError> {
        let [materials, part_made, made, bought] = [
            Role::Materials,
            Role::PartMade,
            Role::MadeGoods,
            Role::BoughtInGoods,
        ]
        .map(|role| chart.role(role));
        let (materials, part_made, made, bought) = (materials?, part_made?, made?, bought?);
        Ok(Self {
            stock: BTreeSet::from([materials, part_made, made, bought]),
            goods: BTreeSet::from([made, bought]),
            materials,
            part_made,
            drawings: chart.role(Role::OwnerDrawings)?,
            costs: chart
                .accounts()
                .into_iter()
                .filter(|account| {
                    account.class == AccountClass::Expense
                        && ProfitSection::of(account) == Some(ProfitSection::CostOfGoodsSold)
                })
                .map(|account| account.id)
                .collect(),
        })
    }

    fn has(&self, account: AccountId) -> bool {
        self.stock.contains(&account) || self.costs.contains(&account)
    }
}

/// The working of a period, from the balances at its eve and at its end and the entries in it. `kinds` are the kinds of
/// the kept items, by code.
///
/// Every entry balances, so what the stock grew by and what the goods sold cost is together what came in from
/// elsewhere: the working agrees with the profit statement to the cent.
///
/// # Errors
/// When the chart lacks an account of stock.
pub fn goods_sold<'a>(
    chart: &Chart,
    before: &Balances,
    after: &Balances,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
    kinds: &BTreeMap<String, ItemKind>,
    range: DateRange,
) -> Result<GoodsSold, ChartError> {
    let inside = Inside::of(chart)?;
    let stock = |balances: &Balances| inside.stock.iter().map(|id| balances.net(*id)).sum();
    let mut working = GoodsSold {
        range,
        opening: stock(before),
        purchases: Money::ZERO,
        own_use: Money::ZERO,
        labour: Money::ZERO,
        materials: Money::ZERO,
        other: Money::ZERO,
        closing: stock(after),
    };
    for posted in entries {
        if posted.entry.header.kind != EntryKind::Closing {
            working.add(posted, &inside, kinds);
        }
    }
    Ok(working)
}

impl GoodsSold {
    /// Sorts what an entry brought into stock and cost of goods sold from elsewhere.
    fn add(&mut self, posted: &PostedEntry, inside: &Inside, kinds: &BTreeMap<String, ItemKind>) {
        let lines = posted.entry.lines();
        let within = || lines.iter().filter(|line| inside.has(line.account));
        let net: Money = within().map(|line| line.amount).sum();
        if net.is_zero() {
            return;
        }
        let kind = posted.entry.header.kind;
        let drawn: Money = lines
            .iter()
            .filter(|line| line.account == inside.drawings)
            .map(|line| line.amount)
            .sum();
        // A receipt may have a private line beside the materials; only what went the other way came out of stock.
        let is_taken = net.is_negative() != drawn.is_negative() && !drawn.is_zero();
        if is_taken && kind != EntryKind::Purchase {
            let taken = if drawn.abs() < net.abs() { drawn } else { -net };
            self.own_use += taken;
            self.other += net + taken;
            return;
        }
        let is_made = within().any(|line| line.account == inside.part_made);
        let is_moved = matches!(
            kind,
            EntryKind::Batch | EntryKind::StockOut | EntryKind::StockCost | EntryKind::StockCount
        );
        if is_made || is_moved {
            self.other += net;
            return;
        }
        for line in within() {
            if line.account == inside.materials {
                self.materials += line.amount;
            } else if inside.goods.contains(&line.account) {
                self.purchases += line.amount;
            } else {
                // In a book that counts only, what is bought of an item stands among the costs at once.
                let item = line.item.as_ref().filter(|_| kind != EntryKind::Sale);
                match item.and_then(|code| kinds.get(code)) {
                    Some(ItemKind::Material) => self.materials += line.amount,
                    Some(ItemKind::BoughtIn | ItemKind::Made) => self.purchases += line.amount,
                    _ => self.other += line.amount,
                }
            }
        }
    }
}
