//! Deciding as JSON: the cost card of a product, both ways to have it, what products left, whether a machine has paid.

use chrono::NaiveDate;
use rust_decimal::{Decimal, RoundingStrategy};
use serde::Serialize;

use super::{AsOf, Period};
use crate::dates::DateRange;
use crate::deciding::{
    Figure, Leaning, OfferView, OnceView, Outcome, OwnTime, Run, SavedComparison, UnitCost,
    WAYS_LEAVE_OUT, Way, WaysAsk, WaysTold, Worksheet, months_of_cover,
};
use crate::money::{Currency, Money};
use crate::reports::{CardAsk, CardKnown, CardTold, Making, PAYBACK_CAUTION, PaybackReport};
use crate::statements::ProductMargin;

/// What stands beside a cost card.
pub const CARD_CAUTION: &str = "This card helps to set a price and is no part of the books. How wear, packaging, sales tax and your own \
     time count for tax is another matter: confirm with local rules and a licensed professional.";

/// What stands beside a comparison of both ways.
pub const WAYS_CAUTION: &str = "For deciding only: nothing here is written into the books. How equipment you would buy counts for tax is \
     another matter: confirm with local rules and a licensed professional.";

/// A numbered line of a working.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LineJson {
    no: u32,
    key: &'static str,
    label: String,
    formula: String,
    #[serde(flatten)]
    figure: FigureJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
enum FigureJson {
    Amount(String),
    Each(String),
    Percent(String),
    Pieces(u64),
    Months(String),
    Minutes(String),
}

fn places(value: Decimal, places: u32) -> String {
    value
        .round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
        .normalize()
        .to_string()
}

/// A cost of one in major units, with at least the currency's decimals.
fn each(minor: Decimal, currency: &Currency) -> String {
    let decimals = currency.decimals();
    let mut major = (minor / Decimal::from(10_i64.pow(decimals)))
        .round_dp_with_strategy(decimals + 6, RoundingStrategy::MidpointAwayFromZero)
        .normalize();
    if major.scale() < decimals {
        major.rescale(decimals);
    }
    major.to_string()
}

fn lines(sheet: &Worksheet, currency: &Currency) -> Vec<LineJson> {
    sheet
        .lines()
        .iter()
        .map(|line| LineJson {
            no: line.no,
            key: line.key,
            label: line.label.clone(),
            formula: line.formula.clone(),
            figure: match line.amount {
                Figure::Money(amount) => FigureJson::Amount(currency.plain(amount)),
                Figure::Each(minor) => FigureJson::Each(each(minor, currency)),
                Figure::Percent(percent) => FigureJson::Percent(places(percent, 2)),
                Figure::Pieces(pieces) => FigureJson::Pieces(pieces),
                Figure::Months(months) => FigureJson::Months(places(months, 1)),
                Figure::Minutes(minutes) => FigureJson::Minutes(places(minutes, 2)),
            },
        })
        .collect()
}

/// A cost card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CardJson {
    #[serde(flatten)]
    as_of: AsOf,
    item: String,
    name: String,
    price: String,
    pieces: u32,
    at_cost: &'static str,
    inputs: Vec<InputJson>,
    lines: Vec<LineJson>,
    income: String,
    cost: String,
    fees: String,
    postage_subsidised: String,
    kept: String,
    margin_percent: Option<String>,
    own_time: String,
    left_after_own_time: String,
    earned_an_hour: Option<String>,
    not_known: Vec<&'static str>,
    cost_not_known: Vec<String>,
    by_cost: Vec<ByCostJson>,
    once: Vec<OnceJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted: Option<WantedJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cover: Option<CoverJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    offer: Option<OfferJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wholesale: Option<OfferJson>,
    sentence: String,
    sentences: Vec<String>,
    sources: Vec<SourceJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct InputJson {
    code: String,
    name: String,
    unit: String,
    quantity: String,
    average: Option<String>,
    latest: Option<String>,
    next_order: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ByCostJson {
    at_cost: &'static str,
    kept: String,
    margin_percent: Option<String>,
    below_wanted: bool,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct OnceJson {
    over: &'static str,
    each: String,
    kept: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct WantedJson {
    percent: String,
    price: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct CoverJson {
    fixed_a_month: String,
    pieces: Option<u64>,
    sales: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct OfferJson {
    price: String,
    kept: String,
    kept_less: String,
    times_as_many: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SourceJson {
    what: &'static str,
    words: String,
}

fn offer(view: &OfferView, currency: &Currency) -> OfferJson {
    OfferJson {
        price: currency.plain(view.figures.price),
        kept: currency.plain(view.figures.kept),
        kept_less: currency.plain(view.kept_less),
        times_as_many: view.times_as_many.map(|times| times.to_string()),
    }
}

fn once(view: &OnceView, currency: &Currency) -> OnceJson {
    OnceJson {
        over: view.spread.as_str(),
        each: each(view.each, currency),
        kept: currency.plain(view.figures.kept),
    }
}

/// A cost card as JSON.
#[must_use]
pub fn cost_card(
    known: &CardKnown,
    ask: &CardAsk,
    told: &CardTold,
    as_of: NaiveDate,
    currency: &Currency,
) -> CardJson {
    let plain = |amount: Money| currency.plain(amount);
    let one = |cost: UnitCost| each(cost.minor(), currency);
    let figures = &told.figures;
    let views = told.by_cost.iter().flatten();
    CardJson {
        as_of: AsOf::new(currency, as_of),
        item: known.making.item.code.clone(),
        name: known.making.item.name.clone(),
        price: plain(figures.price),
        pieces: figures.pieces,
        at_cost: ask.basis.as_str(),
        inputs: known
            .making
            .inputs
            .iter()
            .map(|input| InputJson {
                code: input.code.clone(),
                name: input.name.clone(),
                unit: input.unit.clone(),
                quantity: input.quantity.to_string(),
                average: input.average.map(one),
                latest: input.latest.map(one),
                next_order: ask.next_order.get(&input.code).copied().map(one),
            })
            .collect(),
        lines: lines(&figures.sheet, currency),
        income: plain(figures.income),
        cost: plain(figures.cost),
        fees: plain(figures.fees),
        postage_subsidised: plain(figures.postage_subsidised),
        kept: plain(figures.kept),
        margin_percent: figures.margin_percent.map(|margin| places(margin, 2)),
        own_time: plain(figures.own_time),
        left_after_own_time: plain(figures.left_after_own_time),
        earned_an_hour: figures.earned_an_hour.map(plain),
        not_known: figures.open.iter().map(|part| part.label()).collect(),
        cost_not_known: figures.unknown.clone(),
        by_cost: views
            .map(|view| ByCostJson {
                at_cost: view.basis.as_str(),
                kept: plain(view.figures.kept),
                margin_percent: view.figures.margin_percent.map(|margin| places(margin, 2)),
                below_wanted: view.is_below_floor,
            })
            .collect(),
        once: told.once.iter().map(|view| once(view, currency)).collect(),
        wanted: told.wanted.as_ref().map(|(percent, price)| WantedJson {
            percent: percent.to_string(),
            price: price.as_ref().ok().copied().map(plain),
        }),
        cover: told.cover.as_ref().map(|(fixed, cover)| CoverJson {
            fixed_a_month: plain(*fixed),
            pieces: cover.as_ref().map(|cover| cover.pieces),
            sales: cover.as_ref().map(|cover| plain(cover.sales)),
        }),
        offer: told.offer.as_ref().map(|(_, view)| offer(view, currency)),
        wholesale: told
            .wholesale
            .as_ref()
            .map(|(_, view)| offer(view, currency)),
        sentence: format!("{}.", figures.sentence(currency)),
        sentences: told.sentences(currency),
        sources: told
            .sources
            .iter()
            .map(|(what, words)| SourceJson {
                what,
                words: words.clone(),
            })
            .collect(),
        caution: CARD_CAUTION,
    }
}

/// Both ways to have a product.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WaysJson {
    #[serde(flatten)]
    as_of: AsOf,
    item: String,
    name: String,
    quantity: u64,
    own_time_counted: bool,
    first_time: bool,
    cheaper: Option<&'static str>,
    saved: String,
    make: WayJson,
    have_made: WayJson,
    bands: Vec<BandJson>,
    sold_a_month: String,
    months_of_cover: Option<String>,
    cost_not_known: Vec<String>,
    left_out: &'static str,
    sentence: String,
    notes: Vec<String>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct WayJson {
    taken: u64,
    good: u64,
    left_over: u64,
    up_front: String,
    own_time: String,
    total: String,
    each_wanted: String,
    lines: Vec<LineJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BandJson {
    from: u64,
    to: u64,
    cheaper: &'static str,
}

fn way(outcome: &Outcome, sheet: &Worksheet, currency: &Currency) -> WayJson {
    WayJson {
        taken: outcome.taken,
        good: outcome.good,
        left_over: outcome.left_over,
        up_front: currency.plain(outcome.cash_up_front),
        own_time: currency.plain(outcome.own_time),
        total: currency.plain(outcome.total),
        each_wanted: each(outcome.each_wanted(), currency),
        lines: lines(sheet, currency),
    }
}

/// Both ways as JSON.
#[must_use]
pub fn make_or_buy(
    making: &Making,
    ask: &WaysAsk,
    told: &WaysTold,
    as_of: NaiveDate,
    currency: &Currency,
) -> WaysJson {
    let side = &told.side;
    WaysJson {
        as_of: AsOf::new(currency, as_of),
        item: making.item.code.clone(),
        name: making.item.name.clone(),
        quantity: ask.wanted,
        own_time_counted: ask.time == OwnTime::Counted,
        first_time: ask.run == Run::First,
        cheaper: side.cheaper.map(|way| match way {
            Way::Own => "make",
            Way::Outside => "have-made",
        }),
        saved: currency.plain(side.saved),
        make: way(&side.own, &told.own_sheet, currency),
        have_made: way(&side.outside.best, &told.outside_sheet, currency),
        bands: told
            .bands
            .iter()
            .map(|band| BandJson {
                from: band.from,
                to: band.to,
                cheaper: match band.cheaper {
                    Leaning::Own => "make",
                    Leaning::Outside => "have-made",
                    Leaning::BackAndForth => "now-one-now-the-other",
                    Leaning::Same => "same",
                },
            })
            .collect(),
        sold_a_month: making.sold_a_month.normalize().to_string(),
        months_of_cover: months_of_cover(side.outside.best.good, making.sold_a_month)
            .map(|months| months.to_string()),
        cost_not_known: making.unknown(),
        left_out: WAYS_LEAVE_OUT,
        sentence: told.sentence(currency),
        notes: told.notes(making.sold_a_month, &making.unknown(), currency),
        caution: WAYS_CAUTION,
    }
}

/// What products left over a period.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProductsJson {
    #[serde(flatten)]
    period: Period,
    products: Vec<ProductJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ProductJson {
    item: String,
    name: String,
    pieces: String,
    income: String,
    fees: String,
    cost: String,
    kept: String,
    margin_percent: Option<String>,
}

/// What products left as JSON.
#[must_use]
pub fn products(margins: &[ProductMargin], range: DateRange, currency: &Currency) -> ProductsJson {
    ProductsJson {
        period: Period::new(currency, range),
        products: margins
            .iter()
            .map(|one| ProductJson {
                item: one.item.clone(),
                name: one.name.clone(),
                pieces: one.pieces.to_string(),
                income: currency.plain(one.income),
                fees: currency.plain(one.fees),
                cost: currency.plain(one.cost),
                kept: currency.plain(one.kept()),
                margin_percent: one.margin_percent().map(|margin| margin.to_string()),
            })
            .collect(),
    }
}

/// Whether a piece of equipment has paid for itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PaybackJson {
    #[serde(flatten)]
    as_of: AsOf,
    equipment: String,
    bought_on: NaiveDate,
    items: Vec<String>,
    cost: String,
    earned: String,
    pieces: u64,
    to_go: String,
    has_paid: bool,
    paid_back_on: Option<NaiveDate>,
    pieces_to_go: Option<u64>,
    expected_on: Option<NaiveDate>,
    lines: Vec<LineJson>,
    sentence: String,
    caution: &'static str,
}

/// A payback as JSON.
#[must_use]
pub fn payback(report: &PaybackReport, as_of: NaiveDate, currency: &Currency) -> PaybackJson {
    let payback = &report.payback;
    PaybackJson {
        as_of: AsOf::new(currency, as_of),
        equipment: report.piece.name.clone(),
        bought_on: report.piece.bought_on,
        items: report.items.iter().map(|(code, _)| code.clone()).collect(),
        cost: currency.plain(payback.cost),
        earned: currency.plain(payback.earned),
        pieces: payback.pieces,
        to_go: currency.plain(payback.to_go),
        has_paid: payback.has_paid(),
        paid_back_on: payback.paid_back_on,
        pieces_to_go: payback.pieces_to_go,
        expected_on: payback.expected_on,
        lines: lines(&payback.sheet, currency),
        sentence: report.sentence(currency),
        caution: PAYBACK_CAUTION,
    }
}

/// The comparisons that are kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ComparisonsJson {
    currency: String,
    comparisons: Vec<ComparisonJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ComparisonJson {
    item: String,
    name: String,
    quantity: u64,
    tiers: Vec<TierJson>,
    sentence: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TierJson {
    from: u64,
    each: String,
}

/// The comparisons that are kept as JSON.
#[must_use]
pub fn comparisons(list: &[SavedComparison], currency: &Currency) -> ComparisonsJson {
    ComparisonsJson {
        currency: currency.code().to_owned(),
        comparisons: list
            .iter()
            .map(|one| ComparisonJson {
                item: one.item.clone(),
                name: one.name.clone(),
                quantity: one.ask.wanted,
                tiers: one
                    .ask
                    .tiers
                    .iter()
                    .map(|tier| TierJson {
                        from: tier.from,
                        each: each(tier.each.minor(), currency),
                    })
                    .collect(),
                sentence: one
                    .ask
                    .tell(currency)
                    .ok()
                    .map(|told| told.sentence(currency)),
            })
            .collect(),
    }
}
