//! A sales channel's figures: from sales at full price, fee by fee, to the payouts and what is still due.
//! Everything is read from the entries that touch the channel's account.

use crate::dates::DateRange;
use crate::ledger::{Account, AccountClass, AccountId, Chart, JournalEntry, PostedEntry, Role};
use crate::money::Money;

/// What is known of a channel besides its entries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ChannelFacts {
    /// The channel's balance before the period.
    pub opening: Money,
    /// The part of the balance that the channel holds back for now.
    pub held: Money,
    /// The gross amount the channel itself reports for the period, if entered.
    pub reported_gross: Option<Money>,
    /// Whether name and tax number on that report are the business's own, when somebody looked.
    pub name_right: Option<bool>,
}

/// A channel over a period: opening + net − payouts + other = still due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChannelSummary {
    /// The channel's account.
    pub account: AccountId,
    /// The channel's name.
    pub name: String,
    /// The days it covers.
    pub range: DateRange,
    /// How many sales there are that were not taken back.
    pub sales_count: usize,
    /// Sales at the full price.
    pub gross_sales: Money,
    /// Discounts given.
    pub discounts: Money,
    /// Postage charged to customers.
    pub postage: Money,
    /// Sales tax that came with the money and is the business's to pay over.
    pub tax_ours: Money,
    /// Refunds to customers.
    pub refunds: Money,
    /// All fees, less fees credited back.
    pub fees: Money,
    /// The fees account by account.
    pub fees_by_account: Vec<(AccountId, Money)>,
    /// Tax that the channel collected and pays over itself; never in the balance.
    pub tax_by_channel: Money,
    /// What the period's trade came to: sales − discounts + postage + our tax − refunds − fees.
    pub net: Money,
    /// What was paid out, less what was paid to the channel when fees were above sales.
    pub payouts: Money,
    /// Everything else that moved the balance (disputes, transfers, corrections).
    pub other: Money,
    /// The balance before the period.
    pub opening: Money,
    /// The balance after it.
    pub still_due: Money,
    /// The part of it that is held back for now.
    pub held: Money,
    /// What buyers paid by the books: sales − discounts + postage + tax, whoever pays the tax over.
    pub buyers_paid: Money,
    /// The gross amount the channel reports, if entered.
    pub reported_gross: Option<Money>,
    /// Whether name and tax number on that report are the business's own, when somebody looked.
    pub name_right: Option<bool>,
    /// Reported gross less what buyers paid by the books.
    pub difference: Option<Money>,
}

/// The figures of one channel over a period, from the posted entries (others are passed over).
///
/// # Errors
/// When the chart does not hold the account.
pub fn channel_summary<'a>(
    chart: &Chart,
    channel: AccountId,
    range: DateRange,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
    facts: ChannelFacts,
) -> Result<ChannelSummary, crate::ledger::ChartError> {
    let name = chart.account(channel)?.name.clone();
    let mut summary = ChannelSummary::empty(channel, name, range, facts);
    let mut moved = Money::ZERO;
    for posted in entries {
        let entry = &posted.entry;
        let touches = entry.lines().iter().any(|line| line.account == channel);
        if !range.contains(entry.header.date) || !touches {
            continue;
        }
        moved += on_account(entry, channel);
        summary.add(chart, entry, posted.reversed_by.is_none());
    }
    summary
        .fees_by_account
        .sort_by_key(|(account, _amount)| *account);
    summary.finish(moved);
    Ok(summary)
}

fn on_account(entry: &JournalEntry, account: AccountId) -> Money {
    let lines = entry.lines().iter();
    lines
        .filter(|line| line.account == account)
        .map(|line| line.amount)
        .sum()
}

impl ChannelSummary {
    fn empty(account: AccountId, name: String, range: DateRange, facts: ChannelFacts) -> Self {
        Self {
            account,
            name,
            range,
            sales_count: 0,
            gross_sales: Money::ZERO,
            discounts: Money::ZERO,
            postage: Money::ZERO,
            tax_ours: Money::ZERO,
            refunds: Money::ZERO,
            fees: Money::ZERO,
            fees_by_account: Vec::new(),
            tax_by_channel: Money::ZERO,
            net: Money::ZERO,
            payouts: Money::ZERO,
            other: Money::ZERO,
            opening: facts.opening,
            still_due: Money::ZERO,
            held: facts.held,
            buyers_paid: Money::ZERO,
            reported_gross: facts.reported_gross,
            name_right: facts.name_right,
            difference: None,
        }
    }

    /// Adds one entry that moves the channel's account, line by line.
    fn add(&mut self, chart: &Chart, entry: &JournalEntry, stands: bool) {
        self.tax_by_channel += entry.header.tax_by_channel;
        let mut is_sale = false;
        for line in entry.lines() {
            let Ok(account) = chart.account(line.account) else {
                continue;
            };
            if account.id == self.account || is_stock_side(account) {
                continue;
            }
            let credit = -line.amount;
            match (account.role, account.class) {
                (Some(Role::Discounts), _) => self.discounts += line.amount,
                (Some(Role::PostageCharged), _) => self.postage += credit,
                (Some(Role::Refunds), _) => self.refunds += line.amount,
                (Some(Role::SalesTax), _) => self.tax_ours += credit,
                (_, AccountClass::Income) if account.group == Account::SALES_GROUP => {
                    self.gross_sales += credit;
                    is_sale |= credit.is_positive();
                }
                (_, AccountClass::Expense) => self.add_fee(account.id, line.amount),
                _ if is_settlement(account) => self.payouts += line.amount,
                // Left in `other`, which `finish` derives from the balance.
                _ => {}
            }
        }
        self.sales_count += usize::from(is_sale && stands);
    }

    fn add_fee(&mut self, account: AccountId, amount: Money) {
        self.fees += amount;
        match self
            .fees_by_account
            .iter_mut()
            .find(|(id, _)| *id == account)
        {
            Some((_, sum)) => *sum += amount,
            None => self.fees_by_account.push((account, amount)),
        }
    }

    fn finish(&mut self, moved: Money) {
        self.net = self.gross_sales - self.discounts + self.postage + self.tax_ours
            - self.refunds
            - self.fees;
        self.still_due = self.opening + moved;
        self.other = moved - self.net + self.payouts;
        self.buyers_paid =
            self.gross_sales - self.discounts + self.postage + self.tax_ours + self.tax_by_channel;
        self.difference = self
            .reported_gross
            .map(|reported| reported - self.buyers_paid);
    }

    /// One summary of parts that follow one another, with what is known of the whole besides its entries.
    #[must_use]
    pub fn together<'a>(
        mut self,
        later: impl IntoIterator<Item = &'a Self>,
        range: DateRange,
        facts: ChannelFacts,
    ) -> Self {
        let mut moved = self.still_due - self.opening;
        for part in later {
            moved += part.still_due - part.opening;
            self.sales_count += part.sales_count;
            self.gross_sales += part.gross_sales;
            self.discounts += part.discounts;
            self.postage += part.postage;
            self.tax_ours += part.tax_ours;
            self.refunds += part.refunds;
            self.tax_by_channel += part.tax_by_channel;
            self.payouts += part.payouts;
            for (account, amount) in &part.fees_by_account {
                self.add_fee(*account, *amount);
            }
        }
        self.fees_by_account
            .sort_by_key(|(account, _amount)| *account);
        self.range = range;
        self.opening = facts.opening;
        self.held = facts.held;
        self.reported_gross = facts.reported_gross;
        self.name_right = facts.name_right;
        self.finish(moved);
        self
    }

    /// What the channel could pay out now.
    #[must_use]
    pub fn available(&self) -> Money {
        self.still_due - self.held
    }
}

/// Stock and the cost of what was sold ride along with a sale but are no part of the channel's account.
fn is_stock_side(account: &Account) -> bool {
    account.group == Account::COST_OF_GOODS_SOLD_GROUP && account.class == AccountClass::Expense
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
}

/// Accounts that a payout goes to, or that pay what the channel bills: money, the card, the owner's own.
fn is_settlement(account: &Account) -> bool {
    account.is_money()
        || matches!(
            account.role,
            Some(Role::CreditCard | Role::OwnerCapital | Role::OwnerDrawings | Role::OwedToOwner)
        )
}
