//! What the spaces of a year come to, by the simplified method and by the home's real bills, side by side.
//! Which of the two is taken is the owner's choice.

use std::fmt;
use std::str::FromStr;

use rust_decimal::Decimal;

use super::{HomeBill, Space, WorkspaceRule};
use crate::dates::{DateRange, Month};
use crate::money::{Currency, Money};

/// From how many days of use on a month counts where no rule of a place says otherwise.
const DAYS_OTHERWISE: i64 = 15;

/// By which method a year is counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SpaceMethod {
    /// A fixed amount for the area.
    #[default]
    Simplified,
    /// A share of the home's bills.
    Actual,
}

impl SpaceMethod {
    /// The word used in settings and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Simplified => "simplified",
            Self::Actual => "actual",
        }
    }
}

impl fmt::Display for SpaceMethod {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for SpaceMethod {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "simplified" => Ok(Self::Simplified),
            "actual" => Ok(Self::Actual),
            other => Err(format!("'{other}' is neither simplified nor actual")),
        }
    }
}

/// The area that counts in a month, and its share of the home.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MonthArea {
    /// The month.
    pub month: Month,
    /// How much area the business uses.
    pub area: Decimal,
    /// How much of it counts by the simplified method.
    pub counted: Decimal,
    /// Its share of the home, from 0 to 1.
    pub share: Decimal,
}

/// The part of a bill that belongs to the business in a year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillPart {
    /// The bill.
    pub bill: HomeBill,
    /// What of it lies in the year.
    pub in_year: Money,
    /// What of that is the business's, rounded once.
    pub business: Money,
}

/// A year of a workspace at home.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkspaceYear {
    /// Its days.
    pub range: DateRange,
    /// The spaces that were used in it.
    pub spaces: Vec<Space>,
    /// The area by month.
    pub months: Vec<MonthArea>,
    /// The rule of the simplified method, where one is kept.
    pub rule: Option<WorkspaceRule>,
    /// The average area that counts.
    pub average: Decimal,
    /// What that comes to before the limit.
    pub before_limit: Money,
    /// The profit of the business before it, below which the simplified method stays.
    pub profit_before: Money,
    /// The simplified result.
    pub simplified: Money,
    /// The bills of the home with the business's part.
    pub bills: Vec<BillPart>,
    /// The result by real costs.
    pub actual: Money,
    /// What of it was paid out of the business, and stands among the drawings.
    pub actual_from_drawings: Money,
}

impl WorkspaceYear {
    /// What the spaces of a year come to.
    #[must_use]
    pub fn of(
        range: DateRange,
        spaces: &[Space],
        bills: &[HomeBill],
        rule: Option<WorkspaceRule>,
        profit_before: Money,
        currency: &Currency,
    ) -> Self {
        let used = |space: &&Space| {
            space.from <= range.to && space.until.is_none_or(|until| until >= range.from)
        };
        let spaces: Vec<Space> = spaces.iter().filter(used).cloned().collect();
        let months: Vec<MonthArea> = range
            .months()
            .map(|month| month_area(month, &spaces, rule.as_ref()))
            .collect();
        let count = Decimal::from(months.len().max(1));
        let sum: Decimal = months.iter().map(|one| one.counted).sum();
        let each = rule.as_ref().map_or(Decimal::ZERO, |rule| rule.each);
        let minor = sum * each * Decimal::from(10_i64.pow(currency.decimals())) / count;
        let before_limit = Money::rounded_minor(minor);
        let bills: Vec<BillPart> = bills
            .iter()
            .map(|bill| bill_part(bill, &months))
            .filter(|part| !part.in_year.is_zero())
            .collect();
        let from_drawings = bills.iter().filter(|part| part.bill.is_paid_by_business);
        Self {
            range,
            average: (sum / count).round_dp(2),
            before_limit,
            profit_before,
            simplified: before_limit.min(profit_before.max(Money::ZERO)),
            actual: bills.iter().map(|part| part.business).sum(),
            actual_from_drawings: from_drawings.map(|part| part.business).sum(),
            bills,
            months,
            spaces,
            rule,
        }
    }

    /// What a method comes to.
    #[must_use]
    pub const fn amount(&self, method: SpaceMethod) -> Money {
        match method {
            SpaceMethod::Simplified => self.simplified,
            SpaceMethod::Actual => self.actual,
        }
    }
}

fn month_area(month: Month, spaces: &[Space], rule: Option<&WorkspaceRule>) -> MonthArea {
    let days = rule.map_or(DAYS_OTHERWISE, |rule| rule.days);
    let counting = || {
        spaces
            .iter()
            .filter(|space| space.counts() && space.days_in(month) >= days)
    };
    let area: Decimal = counting().map(|space| space.area.value()).sum();
    let most = rule.map_or(area, |rule| rule.most);
    let share: Decimal = counting().map(Space::share).sum();
    MonthArea {
        month,
        area,
        counted: area.min(most),
        share: share.min(Decimal::ONE),
    }
}

fn bill_part(bill: &HomeBill, months: &[MonthArea]) -> BillPart {
    let (mut in_year, mut business) = (Money::ZERO, Decimal::ZERO);
    for (month, part) in bill.by_month() {
        if let Some(area) = months.iter().find(|area| area.month == month) {
            in_year += part;
            business += Decimal::from(part.minor()) * area.share;
        }
    }
    BillPart {
        bill: bill.clone(),
        in_year,
        business: Money::rounded_minor(business),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;
    use crate::money::Quantity;
    use crate::workspace::{SpaceUse, workspace_files};

    fn space(area: i64, home: i64, from: &str, until: Option<&str>) -> Space {
        let day = |text: &str| parse_iso(text).expect("a day");
        Space {
            id: 0,
            name: format!("room of {area}"),
            area: Quantity::new(area.into()).expect("an area"),
            home_area: Quantity::new(home.into()).expect("an area"),
            used_for: SpaceUse::Work,
            is_exclusive: true,
            from: day(from),
            until: until.map(day),
        }
    }

    fn bill(what: &str, minor: i64, from: &str, months: u32) -> HomeBill {
        let date = parse_iso(from).expect("a day");
        HomeBill {
            id: 0,
            date,
            what: what.to_owned(),
            amount: Money::from_minor(minor),
            covers_from: Month::of(date),
            covers_months: months,
            is_paid_by_business: false,
        }
    }

    fn year(spaces: &[Space], bills: &[HomeBill], profit: i64) -> WorkspaceYear {
        let currency = Currency::from_code("USD").expect("a currency");
        let rule = WorkspaceRule::for_year(&currency, 2026).expect("whole files");
        let range = Month::new(2026, 1).range();
        let range = DateRange::new(range.from, Month::new(2026, 12).last_day()).expect("a year");
        WorkspaceYear::of(
            range,
            spaces,
            bills,
            rule,
            Money::from_minor(profit),
            &currency,
        )
    }

    #[test]
    fn every_file_is_whole() {
        for (name, text) in workspace_files() {
            WorkspaceRule::read(name, text).expect("the file is whole");
        }
    }

    /// IRS Publication 587, example of an average monthly area: 100 square feet from 20 April, 330 from 5 August.
    #[test]
    fn the_published_example_has_an_average_of_150() {
        let spaces = [
            space(100, 2000, "2026-04-20", Some("2026-08-04")),
            space(330, 2000, "2026-08-05", None),
        ];
        let found = year(&spaces, &[], 10_000_000);
        let counted: Vec<i64> = found
            .months
            .iter()
            .map(|one| i64::try_from(one.counted).expect("whole"))
            .collect();
        assert_eq!(
            counted,
            [0, 0, 0, 0, 100, 100, 100, 300, 300, 300, 300, 300]
        );
        assert_eq!(found.average, Decimal::from(150));
        assert_eq!(found.simplified.minor(), 75_000);
    }

    #[test]
    fn it_is_never_more_than_the_profit_before_it() {
        let spaces = [space(300, 2000, "2026-01-01", None)];
        assert_eq!(year(&spaces, &[], 40_000).simplified.minor(), 40_000);
        let loss = year(&spaces, &[], -40_000);
        assert_eq!(
            (loss.simplified, loss.before_limit.minor()),
            (Money::ZERO, 150_000)
        );
    }

    /// IRS Publication 587, percentage of a home: 240 of 1,200 square feet are 20 %. The bills are worked by hand.
    #[test]
    fn bills_count_by_the_share_of_the_home_and_the_months_of_use() {
        let rent = bill("rent of the year", 1_200_000, "2026-01-01", 12);
        let whole = [space(240, 1200, "2026-01-01", None)];
        assert_eq!(
            year(&whole, std::slice::from_ref(&rent), 0).actual.minor(),
            240_000
        );
        // From July on: six months of twelve.
        let half = [space(240, 1200, "2026-07-01", None)];
        assert_eq!(year(&half, &[rent], 0).actual.minor(), 120_000);
        // A bill of twelve months from October: three lie in this year, and a fifth of them counts.
        let insurance = bill("insurance", 60_000, "2026-10-01", 12);
        let found = year(&whole, &[insurance], 0);
        let part = found.bills.first().expect("a part");
        assert_eq!(
            (part.in_year.minor(), part.business.minor()),
            (15_000, 3_000)
        );
    }

    #[test]
    fn a_space_that_is_used_otherwise_too_counts_only_for_stock() {
        let mut one = space(100, 2000, "2026-01-01", None);
        one.is_exclusive = false;
        assert_eq!(
            year(std::slice::from_ref(&one), &[], 1_000_000).simplified,
            Money::ZERO
        );
        one.used_for = SpaceUse::Storage;
        assert_eq!(year(&[one], &[], 1_000_000).simplified.minor(), 50_000);
    }
}
