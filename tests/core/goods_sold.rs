//! What the goods sold cost: the form's arithmetic on a published exercise, and the sorting of entries into its lines.

use deckle::dates::{DateRange, parse_iso};
use deckle::ledger::{
    Balances, Chart, EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry, Role,
};
use deckle::money::Money;
use deckle::statements::{GoodsSold, goods_sold, profit_statement};

use crate::support::chart;

fn dollars(whole: i64) -> Money {
    Money::from_minor(whole * 100)
}

fn year() -> DateRange {
    DateRange::new(
        parse_iso("2026-01-01").expect("a day"),
        parse_iso("2026-12-31").expect("a day"),
    )
    .expect("a range")
}

/// Exercise on part III of the United States' Schedule C (Form 1040): inventory 67,000 at the beginning and 77,200 at
/// the end, purchases 610,000, withdrawn for own use 1,780.
#[test]
fn the_form_s_exercise_comes_out() {
    let working = GoodsSold {
        range: year(),
        opening: dollars(67_000),
        purchases: dollars(610_000),
        own_use: dollars(1_780),
        labour: Money::ZERO,
        materials: Money::ZERO,
        other: Money::ZERO,
        closing: dollars(77_200),
    };
    let lines: Vec<(u32, Option<Money>)> = working
        .form_lines()
        .into_iter()
        .map(|line| (line.line, line.amount))
        .collect();
    assert_eq!(
        lines,
        [
            (33, None),
            (34, None),
            (35, Some(dollars(67_000))),
            (36, Some(dollars(608_220))),
            (37, Some(Money::ZERO)),
            (38, Some(Money::ZERO)),
            (39, Some(Money::ZERO)),
            (40, Some(dollars(675_220))),
            (41, Some(dollars(77_200))),
            (42, Some(dollars(598_020))),
        ]
    );
}

struct Ledger {
    chart: Chart,
    entries: Vec<PostedEntry>,
}

impl Ledger {
    fn post(&mut self, kind: EntryKind, lines: &[(Role, i64)]) {
        let lines = lines
            .iter()
            .map(|(role, whole)| {
                Line::debit(self.chart.role(*role).expect("an account"), dollars(*whole))
            })
            .collect();
        let header = EntryHeader::new(parse_iso("2026-06-01").expect("a day"), kind);
        self.entries.push(PostedEntry {
            number: EntryNumber(self.entries.len() as u64 + 1),
            entry: JournalEntry::new(header, lines).expect("balances"),
            reverses: None,
            reversed_by: None,
            version: 1,
        });
    }

    fn working(&self, before: &Balances) -> (GoodsSold, Money) {
        let mut after = before.clone();
        let mut moved = Balances::new();
        for line in self.entries.iter().flat_map(|posted| posted.entry.lines()) {
            after.add(line.account, line.amount);
            moved.add(line.account, line.amount);
        }
        let working = goods_sold(
            &self.chart,
            before,
            &after,
            &self.entries,
            &std::collections::BTreeMap::new(),
            year(),
        )
        .expect("has the accounts");
        let profit = profit_statement(&self.chart, &moved, year());
        (working, profit.totals.cost_of_goods_sold)
    }
}

/// By hand: of 500 of materials and 200 of goods bought beside 10 at the beginning, with 30 of outside work, 40 go as
/// samples, 5 to the owner, 25 are spoiled; what is left is what the profit statement does not have.
#[test]
fn entries_find_their_lines_and_the_working_agrees_with_profit() {
    let mut ledger = Ledger {
        chart: chart(),
        entries: Vec::new(),
    };
    let mut before = Balances::new();
    before.add(
        ledger.chart.role(Role::Materials).expect("is there"),
        dollars(10),
    );
    let bank = Role::BusinessBank;
    for (kind, lines) in [
        // With a private line and glue on the same receipt.
        (
            EntryKind::Purchase,
            &[
                (Role::Materials, 500),
                (Role::OwnerDrawings, 7),
                (Role::Packaging, 3),
                (bank, -510),
            ][..],
        ),
        (
            EntryKind::Purchase,
            &[(Role::BoughtInGoods, 200), (bank, -200)],
        ),
        (
            EntryKind::Batch,
            &[
                (Role::Materials, -300),
                (Role::MadeGoods, 330),
                (Role::PartMade, 30),
                (bank, -30),
                (Role::PartMade, -30),
            ],
        ),
        (
            EntryKind::Sale,
            &[(Role::CostOfGoodsSold, 250), (Role::MadeGoods, -250)],
        ),
        (
            EntryKind::StockOut,
            &[(Role::Advertising, 40), (Role::MadeGoods, -40)],
        ),
        (
            EntryKind::StockOut,
            &[(Role::OwnerDrawings, 5), (Role::MadeGoods, -5)],
        ),
        (
            EntryKind::StockCount,
            &[(Role::Waste, 25), (Role::Materials, -25)],
        ),
        (
            EntryKind::Purchase,
            &[(Role::PackagingOnHand, 60), (bank, -60)],
        ),
        (
            EntryKind::Closing,
            &[(Role::CostOfGoodsSold, -250), (Role::OwnerCapital, 250)],
        ),
    ] {
        ledger.post(kind, lines);
    }
    let closing = ledger.entries.pop().expect("the closing entry");
    let (working, cost) = ledger.working(&before);
    assert_eq!(working.opening, dollars(10));
    assert_eq!(working.purchases, dollars(200));
    assert_eq!(working.own_use, dollars(5));
    assert_eq!(working.materials, dollars(500));
    assert_eq!(working.other, dollars(30 - 40));
    // 185 of materials, 200 of goods bought, 35 of goods made.
    assert_eq!(working.closing, dollars(420));
    assert_eq!(working.sold(), dollars(275));
    assert_eq!(cost, dollars(275));
    ledger.entries.push(closing);
    let (with_closing, _cost) = ledger.working(&before);
    assert_eq!(with_closing, working);
}
