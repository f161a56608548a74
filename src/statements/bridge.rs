//! From the gross that a shop reports for a year to what it paid out, line by line, and what explains a difference.
//! What a reported gross includes differs from payer to payer; here each usual way is tried against the books.

use serde::{Deserialize, Serialize};

use super::ChannelSummary;
use crate::ledger::{AccountId, Chart};
use crate::money::Money;

/// What a payer's reported gross includes, kept for each shop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Includes {
    /// Whether it is before the discounts that the maker gave.
    pub before_discounts: bool,
    /// Whether postage is in it.
    pub postage: bool,
    /// Whether the tax that the maker pays over is in it.
    pub tax_ours: bool,
    /// Whether the tax that the shop pays over is in it.
    pub tax_by_channel: bool,
    /// Whether refunds are taken off.
    pub less_refunds: bool,
}

impl Default for Includes {
    /// What buyers paid: after discounts, with postage and every tax, before refunds.
    fn default() -> Self {
        Self {
            before_discounts: false,
            postage: true,
            tax_ours: true,
            tax_by_channel: true,
            less_refunds: false,
        }
    }
}

impl Includes {
    /// What such a gross comes to by the books.
    #[must_use]
    pub fn of(self, shop: &ChannelSummary) -> Money {
        let when = |yes: bool, amount: Money| if yes { amount } else { Money::ZERO };
        shop.gross_sales - when(!self.before_discounts, shop.discounts)
            + when(self.postage, shop.postage)
            + when(self.tax_ours, shop.tax_ours)
            + when(self.tax_by_channel, shop.tax_by_channel)
            - when(self.less_refunds, shop.refunds)
    }

    /// In what another gross differs from this one, in words.
    fn differs(self, other: Self) -> Vec<&'static str> {
        let mut words = Vec::new();
        let mut say = |is: bool, was: bool, yes, no| {
            if is != was {
                words.push(if is { yes } else { no });
            }
        };
        say(
            other.before_discounts,
            self.before_discounts,
            "before discounts",
            "after discounts",
        );
        say(
            other.postage,
            self.postage,
            "with postage",
            "without postage",
        );
        say(
            other.tax_ours,
            self.tax_ours,
            "with the tax you pay over",
            "without the tax you pay over",
        );
        say(
            other.tax_by_channel,
            self.tax_by_channel,
            "with the tax the shop pays over",
            "without the tax the shop pays over",
        );
        say(
            other.less_refunds,
            self.less_refunds,
            "with refunds taken off",
            "before refunds",
        );
        words
    }

    /// Every other way, those that differ in least first.
    fn others(self) -> Vec<Self> {
        let mut all = Vec::new();
        for bits in 1_u8..32 {
            let turn = |bit: u8, was: bool| (bits >> bit & 1 == 1) != was;
            all.push((
                bits.count_ones(),
                bits,
                Self {
                    before_discounts: turn(0, self.before_discounts),
                    postage: turn(1, self.postage),
                    less_refunds: turn(2, self.less_refunds),
                    tax_by_channel: turn(3, self.tax_by_channel),
                    tax_ours: turn(4, self.tax_ours),
                },
            ));
        }
        all.sort_by_key(|(turned, bits, _)| (*turned, *bits));
        all.into_iter().map(|(_, _, includes)| includes).collect()
    }
}

/// What explains that a reported gross is not what the books say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// They agree.
    Agrees,
    /// The payer counts other things, by which it agrees to the cent.
    Includes(Includes, Vec<&'static str>),
    /// Orders dated in one year that the shop reports in the other: those of so many days at an end of the year.
    OtherYear {
        /// How many days.
        days: u32,
        /// Whether they are the last of this year, reported in the next; otherwise the last of the year before.
        is_next: bool,
    },
    /// Nothing usual explains it.
    Unexplained,
}

impl Reason {
    /// A word for scripts.
    #[must_use]
    pub const fn key(&self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Includes(..) => "includes",
            Self::OtherYear { .. } => "other-year",
            Self::Unexplained => "unexplained",
        }
    }

    /// The reason as a clause.
    #[must_use]
    pub fn words(&self) -> String {
        let days = |days: u32| {
            if days == 1 {
                "the last day".to_owned()
            } else {
                format!("the last {days} days")
            }
        };
        match self {
            Self::Agrees => "it agrees with the books to the cent".to_owned(),
            Self::Includes(_, words) => {
                format!("it agrees to the cent when it is {}", words.join(" and "))
            }
            Self::OtherYear {
                days: n,
                is_next: true,
            } => format!(
                "it is the orders of {} of the year, reported in the next",
                days(*n)
            ),
            Self::OtherYear {
                days: n,
                is_next: false,
            } => format!(
                "it is the orders of {} of the year before, reported in this one",
                days(*n)
            ),
            Self::Unexplained => "unexplained".to_owned(),
        }
    }
}

/// One line of the bridge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BridgeLine {
    /// A lasting word for it.
    pub key: &'static str,
    /// The words shown.
    pub label: String,
    /// How it adds to the lines above it.
    pub amount: Money,
    /// Whether the lines above come to it.
    pub is_sum: bool,
    /// The account that it is of, where it is of one.
    pub account: Option<AccountId>,
}

/// From the reported gross to the payouts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bridge {
    /// What the shop reports, where it was entered.
    pub reported: Option<Money>,
    /// What the payer's gross includes.
    pub includes: Includes,
    /// What such a gross comes to by the books.
    pub expected: Money,
    /// Reported less expected.
    pub difference: Option<Money>,
    /// What explains it.
    pub reason: Option<Reason>,
    /// From sales at the full price to what is still due.
    pub lines: Vec<BridgeLine>,
}

/// What buyers paid in the days at the ends of a year, the nearest to the end first, each with the days after it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct YearEnds {
    /// In the last days of the year: of one day, of two, and so on.
    pub last: Vec<Money>,
    /// In the last days of the year before.
    pub before: Vec<Money>,
}

/// The bridge of a shop over a year.
#[must_use]
pub fn bridge(chart: &Chart, shop: &ChannelSummary, includes: Includes, ends: &YearEnds) -> Bridge {
    let expected = includes.of(shop);
    let difference = shop.reported_gross.map(|reported| reported - expected);
    Bridge {
        reported: shop.reported_gross,
        includes,
        expected,
        difference,
        reason: difference.map(|difference| reason(shop, includes, ends, difference)),
        lines: lines(chart, shop),
    }
}

fn reason(shop: &ChannelSummary, includes: Includes, ends: &YearEnds, difference: Money) -> Reason {
    if difference.is_zero() {
        return Reason::Agrees;
    }
    let reported = includes.of(shop) + difference;
    let others = includes.others();
    let agrees = |one: &&Includes| one.of(shop) == reported;
    let simple = others.iter().take(5).find(agrees);
    if let Some(other) = simple {
        return Reason::Includes(*other, includes.differs(*other));
    }
    let days = |sums: &[Money], wanted: Money| {
        let place = sums.iter().position(|sum| *sum == wanted && !sum.is_zero());
        place.and_then(|place| u32::try_from(place + 1).ok())
    };
    if let Some(days) = days(&ends.last, -difference) {
        return Reason::OtherYear {
            days,
            is_next: true,
        };
    }
    if let Some(days) = days(&ends.before, difference) {
        return Reason::OtherYear {
            days,
            is_next: false,
        };
    }
    match others.iter().find(agrees) {
        Some(other) => Reason::Includes(*other, includes.differs(*other)),
        None => Reason::Unexplained,
    }
}

fn lines(chart: &Chart, shop: &ChannelSummary) -> Vec<BridgeLine> {
    let mut lines = Vec::new();
    let mut line = |key, label: &str, amount, is_sum, account| {
        lines.push(BridgeLine {
            key,
            label: label.to_owned(),
            amount,
            is_sum,
            account,
        });
    };
    line(
        "sales",
        "Sales at full price",
        shop.gross_sales,
        false,
        None,
    );
    line("discounts", "Discounts given", -shop.discounts, false, None);
    line("postage", "Postage charged", shop.postage, false, None);
    line("tax_ours", "Tax you pay over", shop.tax_ours, false, None);
    line(
        "tax_by_channel",
        "Tax the shop pays over",
        shop.tax_by_channel,
        false,
        None,
    );
    line(
        "buyers_paid",
        "What buyers paid by the books",
        shop.buyers_paid,
        true,
        None,
    );
    line(
        "tax_kept",
        "Tax the shop kept back and pays over",
        -shop.tax_by_channel,
        false,
        None,
    );
    line(
        "refunds",
        "Given back to customers",
        -shop.refunds,
        false,
        None,
    );
    for (account, amount) in &shop.fees_by_account {
        let name = chart.account(*account).map(|one| one.name.clone());
        let name = name.unwrap_or_default();
        line("fee", &name, -*amount, false, Some(*account));
    }
    line("net", "Left of the year's sales", shop.net, true, None);
    line("opening", "Due from before", shop.opening, false, None);
    line("other", "Everything else", shop.other, false, None);
    line("payouts", "Paid out", -shop.payouts, false, None);
    line(
        "still_due",
        "Still due at the end",
        shop.still_due,
        true,
        None,
    );
    line("held", "Of it held by the shop", shop.held, true, None);
    lines
}
