//! What the entries of one order should say, from all that was told of it: the sale, and each refund.
//! Comparing that with what the book holds is `reconcile`'s.

use chrono::NaiveDate;

use super::{Fact, RowMeaning};
use crate::happenings::{
    CustomerRefund, CustomerRefundDetails, FeeKind, Happening, HappeningError, Recording,
    RefundedSale, SaleDetails, SaleLine,
};
use crate::ledger::{Account, AccountClass, AccountId, Chart, JournalEntry, Line, Role};
use crate::money::Money;

/// What the files of charges told of an order's sale and taxes, added up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaleTold {
    /// The first day of it.
    pub date: Option<NaiveDate>,
    /// The rows of the sale itself.
    pub price: Money,
    /// Postage on rows of its own.
    pub postage: Money,
    /// Discounts on rows of their own, above nothing.
    pub discount: Money,
    /// The maker's tax on rows of its own.
    pub tax_ours: Money,
    /// The tax that the shop took out of the sale, above nothing.
    pub tax_taken: Money,
    /// The tax that it gave back beside refunds, each with its day.
    pub tax_back: Vec<(NaiveDate, Money)>,
    /// The money given back, each with its day, above nothing, in order.
    pub refunds: Vec<Fact>,
}

impl SaleTold {
    /// Adds the facts of one order up.
    #[must_use]
    pub fn of(facts: &[Fact]) -> Self {
        let mut told = Self::default();
        for fact in facts {
            match fact.what {
                RowMeaning::Sale => told.price += fact.amount,
                RowMeaning::Postage => told.postage += fact.amount,
                RowMeaning::Discount => told.discount += fact.amount.abs(),
                RowMeaning::TaxOurs => told.tax_ours += fact.amount,
                RowMeaning::TaxByChannel if fact.amount.is_negative() => {
                    told.tax_taken += fact.amount.abs();
                }
                RowMeaning::TaxByChannel => told.tax_back.push((fact.date, fact.amount)),
                RowMeaning::Refund => told.refunds.push(fact.clone()),
                _ => {}
            }
            if fact.what == RowMeaning::Sale {
                told.date = Some(told.date.map_or(fact.date, |date| date.min(fact.date)));
            }
        }
        told.refunds
            .sort_by(|one, other| (one.date, &one.id, one).cmp(&(other.date, &other.id, other)));
        told.tax_back.sort();
        if told.refunds.is_empty() {
            let back: Money = told.tax_back.drain(..).map(|(_day, tax)| tax).sum();
            told.tax_taken -= back;
        }
        told
    }

    /// What it brought into the shop's balance, its own tax taken out.
    #[must_use]
    pub fn net(&self) -> Money {
        self.price + self.postage + self.tax_ours - self.discount - self.tax_taken
    }

    /// The sale that the rows alone make; nothing while there is no row of a sale above nothing.
    #[must_use]
    pub fn sale(&self, order: &str, channel: AccountId, words: &str) -> Option<SaleDetails> {
        let price = self.price - self.tax_taken;
        if !price.is_positive() {
            return None;
        }
        let line = SaleLine::new(price, words);
        Some(SaleDetails {
            discount: self.discount,
            postage: self.postage,
            tax_ours: self.tax_ours,
            tax_by_channel: self.tax_taken,
            reference: order.to_owned(),
            document: order.to_owned(),
            ..SaleDetails::new(self.date?, channel, vec![line])
        })
    }

    /// The tax that came back with each of the refunds: that of its own day, and the first takes what is left.
    #[must_use]
    pub fn tax_of_refunds(&self) -> Vec<Money> {
        let mut taxes = vec![Money::ZERO; self.refunds.len()];
        for (day, tax) in &self.tax_back {
            let place = self.refunds.iter().position(|refund| refund.date == *day);
            if let Some(sum) = taxes.get_mut(place.unwrap_or_default()) {
                *sum += *tax;
            }
        }
        taxes
    }
}

/// A refund of an order as it should stand.
#[derive(Clone, Copy, Debug)]
pub struct RefundAsked<'a> {
    /// The order's number.
    pub order: &'a str,
    /// The sale's key, by which its refunds are found.
    pub document: &'a str,
    /// The day.
    pub date: NaiveDate,
    /// What went back, the shop's own tax with it.
    pub amount: Money,
    /// The shop's own tax in it, where it was told.
    pub tax_by_channel: Money,
}

/// The refund's recording, and whether more went back than the sale came to. Without a sale it stands by itself.
///
/// # Errors
/// When the chart lacks an account, or the amounts cannot make an entry.
pub fn refund(
    chart: &Chart,
    channel: AccountId,
    sale: Option<&JournalEntry>,
    before: &[JournalEntry],
    asked: RefundAsked<'_>,
) -> Result<(Recording, bool), HappeningError> {
    let mut amount = asked.amount - asked.tax_by_channel;
    let mut tax = Some(asked.tax_by_channel);
    let mut refunded = match sale {
        Some(sale) => RefundedSale::of_entries(sale, before, chart)?,
        None => RefundedSale {
            document: asked.document.to_owned(),
            date: asked.date,
            party: chart.account(channel)?.name.clone(),
            paid_into: Some(channel),
            total: amount,
            refunded: Money::ZERO,
            in_dispute: Money::ZERO,
            tax_ours: Money::ZERO,
            tax_refunded: Money::ZERO,
            tax_by_channel: asked.tax_by_channel,
        },
    };
    if sale.is_some() && asked.tax_by_channel.is_zero() {
        tax = None;
        // All that the customer had paid came back, with the tax that the shop had taken.
        if amount == refunded.left() + refunded.tax_by_channel {
            amount = refunded.left();
            tax = Some(refunded.tax_by_channel);
        }
    }
    refunded.date = refunded.date.min(asked.date);
    asked.document.clone_into(&mut refunded.document);
    let is_more = amount > refunded.left();
    if is_more {
        refunded.total = refunded.refunded + amount;
    }
    if let Some(tax) = tax {
        refunded.tax_by_channel = tax.max(refunded.tax_by_channel);
    }
    let mut details = CustomerRefundDetails::new(asked.date, refunded, channel, amount);
    details.tax_by_channel = tax;
    asked.order.clone_into(&mut details.reference);
    let recording = CustomerRefund::new(details)?.recording(chart)?;
    Ok((recording, is_more))
}

/// The lines of a sale that the maker was told, without what its stock adds.
#[must_use]
pub fn without_stock(chart: &Chart, entry: &JournalEntry) -> Vec<Line> {
    let is_stock = |account: &Account| {
        (account.class == AccountClass::Expense
            && account.group == Account::COST_OF_GOODS_SOLD_GROUP)
            || matches!(
                account.role,
                Some(
                    Role::Materials
                        | Role::MadeGoods
                        | Role::BoughtInGoods
                        | Role::PartMade
                        | Role::PackagingOnHand
                )
            )
    };
    let stays = |line: &&Line| chart.account(line.account).is_ok_and(|one| !is_stock(one));
    entry.lines().iter().filter(stays).cloned().collect()
}

/// The fees of a kind that stand in a sale's lines.
#[must_use]
pub fn fee_in(chart: &Chart, lines: &[Line], kind: FeeKind) -> Money {
    let account = chart.role(kind.role()).ok();
    lines
        .iter()
        .filter(|line| Some(line.account) == account && line.memo == kind.plain())
        .map(|line| line.amount)
        .sum()
}

/// A sale's lines without the fees of these kinds, which the shop told of elsewhere.
#[must_use]
pub fn without_fees(lines: Vec<Line>, kinds: &[FeeKind]) -> Vec<Line> {
    let is_fee = |line: &Line| kinds.iter().any(|kind| line.memo == kind.plain());
    lines.into_iter().filter(|line| !is_fee(line)).collect()
}

/// Whether an entry says what another one does: the same day, party, tax and amounts.
#[must_use]
pub fn says_the_same(chart: &Chart, stands: &JournalEntry, asked: &JournalEntry) -> bool {
    let amounts = |lines: Vec<Line>| {
        let mut list: Vec<(AccountId, Money, Option<String>)> = lines
            .into_iter()
            .map(|line| (line.account, line.amount, line.item))
            .collect();
        list.sort();
        list
    };
    let header = |entry: &JournalEntry| (entry.header.date, entry.header.tax_by_channel);
    header(stands) == header(asked)
        && amounts(without_stock(chart, stands)) == amounts(without_stock(chart, asked))
}
