//! What every schedule of wear keeps, whatever the piece: sums, shares, proposals, disposals.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use deckle::dates::{DateRange, YearStart};
use deckle::depreciation::{Convention, Disposal, Equipment, TermsChange, propose};
use deckle::ledger::{Chart, Role};
use deckle::money::{Money, Percent};
use proptest::prelude::*;

use crate::support::day;

fn any_day() -> impl Strategy<Value = NaiveDate> {
    (0_u64..3_000).prop_map(|days| day("2020-01-01") + chrono::Days::new(days))
}

prop_compose! {
    fn any_piece()(
        bought_on in any_day(),
        cost in 1_i64..5_000_000,
        residual_percent in 0_i64..=100,
        life_months in 1_u32..180,
        share in 0_i64..=100,
        convention in prop::sample::select(Convention::ALL.to_vec()),
        changes in prop::collection::vec((1_u64..2_500, 1_u32..240, 0_i64..=100, 0_i64..=100), 0..3),
        gone_after in prop::option::of(0_u64..4_000),
    ) -> Equipment {
        let cost = Money::from_minor(cost);
        let part = |percent: i64| cost.share(Percent::new(percent.into()).expect("a share"));
        let mut piece = Equipment::new("Thing", bought_on, cost, life_months);
        piece.residual = part(residual_percent);
        piece.business_share = Percent::new(share.into()).expect("a share");
        piece.convention = convention;
        let mut from = bought_on;
        for (later, life_months, residual, share) in changes {
            from = from + chrono::Days::new(later);
            piece.changes.push(TermsChange {
                from,
                life_months,
                residual: part(residual),
                business_share: Percent::new(share.into()).expect("a share"),
                reason: String::new(),
            });
        }
        piece.disposal = gone_after.map(|days| Disposal {
            on: from + chrono::Days::new(days),
            proceeds: Money::ZERO,
        });
        piece
    }
}

proptest! {
    /// A life without disposal or change sums to the cost less the residual value, whatever the convention.
    #[test]
    fn a_life_sums_exactly(mut piece in any_piece(), start in 1_u32..=12) {
        piece.changes.clear();
        piece.disposal = None;
        let years = YearStart::new(start).expect("a month");
        let sum: Money = piece.yearly_schedule(years).iter().map(|row| row.charge).sum();
        prop_assert_eq!(sum, piece.cost - piece.residual);
    }

    /// Months add up to years, shares to wholes, and nothing is ever charged back or beyond the cost.
    #[test]
    fn months_add_up_to_years(piece in any_piece(), start in 1_u32..=12) {
        prop_assert!(piece.check().is_ok());
        let years = YearStart::new(start).expect("a month");
        let yearly = piece.yearly_schedule(years);
        let monthly = piece.monthly_schedule(years);
        for row in &yearly {
            let months = monthly.iter().filter(|month| row.range.contains(month.month.first_day()));
            let (charge, business) = months.fold((Money::ZERO, Money::ZERO), |(charge, business), month| {
                (charge + month.charge, business + month.business_charge)
            });
            prop_assert_eq!((charge, business), (row.charge, row.business_charge));
        }
        for row in &monthly {
            prop_assert!(!row.charge.is_negative() && !row.business_charge.is_negative());
            prop_assert!(row.business_charge <= row.charge);
            prop_assert!(row.accumulated <= piece.cost);
            prop_assert_eq!(row.book_value, piece.cost - row.accumulated);
        }
        let last = yearly.last().expect("at least one year");
        prop_assert_eq!(last.accumulated, piece.accumulated(day("2199-12-31"), years));
    }

    /// Whatever the days on which it is proposed, the charges posted add up to the schedule, business share too.
    #[test]
    fn proposals_add_up_to_the_schedule(mut piece in any_piece(), steps in prop::collection::vec(1_u64..700, 1..12)) {
        piece.disposal = None;
        let years = YearStart::default();
        let mut already = BTreeMap::new();
        let (mut on, mut whole, mut business) = (piece.bought_on, Money::ZERO, Money::ZERO);
        for step in steps {
            on = on + chrono::Days::new(step);
            let proposal = propose(std::slice::from_ref(&piece), &already, on, years);
            whole += proposal.total().whole;
            business += proposal.total().business;
            already.insert(piece.key.clone(), whole);
        }
        let from = piece.bought_on;
        let charge = piece.charge_in(DateRange { from, to: on }, years);
        prop_assert_eq!((whole, business), (charge.whole, charge.business));
    }

    /// On a disposal the books end where the schedule ends, whatever had been posted.
    #[test]
    fn a_disposal_ends_where_the_schedule_ends(mut piece in any_piece(), posted_days in 0_u64..3_000, sold in 0_i64..6_000_000) {
        let years = YearStart::default();
        let posted = piece.accumulated(piece.bought_on + chrono::Days::new(posted_days), years);
        let Some(mut disposal) = piece.disposal.take() else { return Ok(()); };
        disposal.proceeds = Money::from_minor(sold);
        let plan = piece.plan_disposal(&disposal, posted, years).expect("can go");
        prop_assert_eq!(posted + plan.charge.whole, plan.accumulated);
        prop_assert_eq!(plan.gain, disposal.proceeds - (piece.cost - plan.accumulated));
        let chart = Chart::craft_business(false).expect("the chart");
        let bank = chart.role(Role::BusinessBank).expect("a bank");
        prop_assert!(plan.entry(&chart, Some(bank), "").is_ok());
    }
}
