//! The cost card and both ways to have a product on the command line: options read as numbers, the rest asked of the book.
//! What the figures are is in `reports`.

use std::collections::BTreeMap;
use std::str::FromStr;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use rust_decimal::Decimal;

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::deciding::{
    CostBasis, DecidingError, FeeBase, OwnTime, Pace, PriceTier, Run, UnitCost, WaysAsk,
};
use crate::export::{json, tables};
use crate::money::{Currency, Money, Percent};
use crate::reports::{self, CardAsk, CardKnown, Making};
use crate::stock::ItemKind;

/// What is asked of a product, and what if.
#[derive(Debug, Default, Args)]
#[command(next_help_heading = "For cost-card, make-or-buy and payback")]
pub struct DecidingArgs {
    /// The item's code
    #[arg(long, value_name = "CODE")]
    pub item: Option<String>,
    /// The price of one
    #[arg(long, value_name = "AMOUNT")]
    price: Option<String>,
    /// Pieces in an order
    #[arg(long, value_name = "PIECES")]
    pieces: Option<u32>,
    /// Packaging of an order; 0 for none
    #[arg(long, value_name = "AMOUNT")]
    packaging: Option<String>,
    /// Postage that the customer is charged
    #[arg(long, value_name = "AMOUNT")]
    postage: Option<String>,
    /// What the label costs
    #[arg(long, value_name = "AMOUNT")]
    label: Option<String>,
    /// The shop whose fees count; the one that sold most when left out
    #[arg(long, value_name = "SHOP")]
    channel: Option<String>,
    /// The shop's fee in per cent of the price
    #[arg(long, value_name = "PERCENT")]
    fee: Option<String>,
    /// And its fixed part of each order
    #[arg(long, value_name = "AMOUNT")]
    fee_fixed: Option<String>,
    /// The fee is taken of price and postage
    #[arg(long)]
    fee_on_postage: bool,
    /// Wear of equipment for a piece; 0 for none
    #[arg(long, value_name = "AMOUNT")]
    wear: Option<String>,
    /// Own minutes for a piece: a good one on the card, one that is begun in the comparison
    #[arg(long, value_name = "MINUTES")]
    own_minutes: Option<String>,
    /// What an hour of own time is worth
    #[arg(long, value_name = "AMOUNT")]
    own_rate: Option<String>,
    /// What an input will cost when next ordered, as PAPER=0.03; may be given again
    #[arg(long, value_name = "CODE=AMOUNT")]
    next_order: Vec<String>,
    /// Paid once for the design; in the comparison what the house takes for it
    #[arg(long, value_name = "AMOUNT")]
    once_design: Option<String>,
    /// Paid at every run; in the comparison what the house takes for it
    #[arg(long, value_name = "AMOUNT")]
    once_run: Option<String>,
    /// Good pieces of a run
    #[arg(long, value_name = "PIECES")]
    run_pieces: Option<u64>,
    /// Good pieces planned in all
    #[arg(long, value_name = "PIECES")]
    planned: Option<u64>,
    /// The share of the price to keep
    #[arg(long, value_name = "PERCENT")]
    margin: Option<String>,
    /// What is paid every month, whatever is sold
    #[arg(long, value_name = "AMOUNT")]
    fixed: Option<String>,
    /// An offer of so many per cent off
    #[arg(long, value_name = "PERCENT")]
    offer: Option<String>,
    /// What a shop that sells it on would pay for one
    #[arg(long, value_name = "AMOUNT")]
    wholesale: Option<String>,
    /// At which cost of the inputs
    #[arg(long, value_enum)]
    at_cost: Option<AtCost>,
    /// How many pieces are wanted
    #[arg(long, value_name = "PIECES")]
    quantity: Option<u64>,
    /// The house's prices, from how many pieces on, as 1:3.20,50:2.60
    #[arg(long, value_name = "FROM:AMOUNT,…")]
    tiers: Option<String>,
    /// The fewest the house makes
    #[arg(long, value_name = "PIECES")]
    minimum: Option<u64>,
    /// The house's carriage for an order
    #[arg(long, value_name = "AMOUNT")]
    carriage: Option<String>,
    /// What goes into a piece, instead of what the book says
    #[arg(long, value_name = "AMOUNT")]
    each: Option<String>,
    /// Pieces begun in a batch
    #[arg(long, value_name = "PIECES")]
    batch: Option<u64>,
    /// The share normally lost
    #[arg(long, value_name = "PERCENT")]
    loss: Option<String>,
    /// Equipment that would have to be bought
    #[arg(long, value_name = "AMOUNT")]
    to_buy: Option<String>,
    /// Count own time too
    #[arg(long)]
    with_own_time: bool,
    /// Begin with the comparison of this name that is kept with the item
    #[arg(long, value_name = "NAME")]
    saved: Option<String>,
    /// The piece of equipment, by name or key
    #[arg(long, value_name = "PIECE")]
    equipment: Option<String>,
    /// Only these products were made with it, by their codes
    #[arg(long, value_name = "CODE,…")]
    items: Option<String>,
    /// Judge the days ahead by the last so many days
    #[arg(long, value_name = "DAYS")]
    pace_days: Option<u32>,
    /// It is made again: what comes once for the design is paid
    #[arg(long)]
    made_again: bool,
}

/// At which cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum AtCost {
    /// What it cost when it came last
    Latest,
    /// What is on hand cost on average
    Average,
    /// What it will cost when next ordered
    NextOrder,
}

/// Shows the cost card of an item.
pub fn cost_card(
    book: &Book,
    args: &DecidingArgs,
    day: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let code = args.code("cost-card")?;
    let Some(known) = reports::card_known(book, code, day)? else {
        return Err(unknown_item(book, code)?);
    };
    let making = &known.making;
    let (name, code) = (&making.item.name, &making.item.code);
    if !making.is_sold() {
        return Err(VerbError::refused(format!(
            "{code}: {name} is kept as {}, and a cost card is of what is sold",
            making.item.kind
        )));
    }
    let is_blank = making
        .inputs
        .iter()
        .all(|input| input.ingredient(None).is_none());
    if making.item.kind == ItemKind::Made && !making.has_recipe && is_blank {
        return Err(VerbError::refused(format!(
            "{code}: {name} has no recipe and was never made, so nothing is known of what it costs"
        )));
    }
    let currency = book.currency();
    let ask = args.card(&known, currency)?;
    let told = ask.tell(&known, currency).map_err(|error| match error {
        DecidingError::NoPrice => VerbError::refused(format!(
            "{code}: {name} has no price; give one with --price"
        )),
        error => VerbError::refused(format!("{code}: {error}")),
    })?;
    if as_json {
        return print_json(&json::cost_card(&known, &ask, &told, day, currency));
    }
    print(&tables::cost_card(&known, &told, day, currency).text(currency))
}

/// Shows both ways to have an item.
pub fn make_or_buy(
    book: &Book,
    args: &DecidingArgs,
    day: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let code = args.code("make-or-buy")?;
    let Some(making) = reports::making(book, code, day)? else {
        return Err(unknown_item(book, code)?);
    };
    let (name, code) = (&making.item.name, &making.item.code);
    if making.item.kind != ItemKind::Made {
        return Err(VerbError::refused(format!(
            "{code}: {name} is kept as {}, and only what is made can be made or had made",
            making.item.kind
        )));
    }
    if !making.has_recipe && args.each.is_none() {
        return Err(VerbError::refused(format!(
            "{code}: {name} has no recipe, so what making it costs is not known; write its recipe, or give --each"
        )));
    }
    let currency = book.currency();
    let ask = args.ways(args.begun_with(book, &making)?, currency)?;
    let told = ask.tell(currency).map_err(|error| match error {
        DecidingError::NoTiers => VerbError::refused(format!(
            "{code}: say what the house asks with --tiers, as 1:3.20,50:2.60"
        )),
        error @ DecidingError::TiersOutOfOrder { .. } => {
            VerbError::Usage(format!("--tiers: {error}"))
        }
        error => VerbError::refused(format!("{code}: {error}")),
    })?;
    if as_json {
        return print_json(&json::make_or_buy(&making, &ask, &told, day, currency));
    }
    print(&tables::make_or_buy(&making, &told, day, currency).text(currency))
}

/// Shows whether a piece of equipment has paid for itself.
pub fn payback(
    book: &Book,
    args: &DecidingArgs,
    day: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let Some(name) = &args.equipment else {
        return Err(VerbError::Usage(
            "show payback needs --equipment with a piece's name".to_owned(),
        ));
    };
    let piece = book.piece(name)?;
    let made = reports::made_items(book)?;
    let items = match &args.items {
        None => made,
        Some(codes) => {
            let mut chosen = Vec::new();
            for code in codes.split(',').map(str::trim) {
                let found = made
                    .iter()
                    .find(|(known, _)| known.eq_ignore_ascii_case(code));
                let Some(found) = found else {
                    let message = format!("the book keeps no made item '{code}'");
                    return Err(usage("--items", message));
                };
                chosen.push(found.clone());
            }
            chosen
        }
    };
    let pace = args.pace_days.map_or(Pace::SinceBought, Pace::LastDays);
    let report = reports::payback(book, &piece, &items, pace, day)?
        .map_err(|error| VerbError::refused(format!("{}: {error}", piece.name)))?;
    let currency = book.currency();
    if as_json {
        return print_json(&json::payback(&report, day, currency));
    }
    print(&tables::payback(&report, day, currency).text(currency))
}

/// That an item is not kept, with those that are like it.
fn unknown_item(book: &Book, code: &str) -> Result<VerbError, VerbError> {
    let sold: Vec<String> = book
        .items()?
        .into_iter()
        .filter(|item| item.kind.is_sold())
        .map(|item| item.code)
        .collect();
    Ok(VerbError::refused(if sold.is_empty() {
        format!("--item: the book keeps no item '{code}', and none that is sold")
    } else {
        format!(
            "--item: the book keeps no item '{code}'; of what is sold it keeps {}",
            sold.join(", ")
        )
    }))
}

fn usage(option: &str, error: impl std::fmt::Display) -> VerbError {
    VerbError::Usage(format!("{option}: {error}"))
}

fn amount(
    text: Option<&String>,
    option: &str,
    currency: &Currency,
) -> Result<Option<Money>, VerbError> {
    text.map(|text| {
        currency
            .parse_plain(text)
            .map_err(|error| usage(option, error))
    })
    .transpose()
}

fn percent(text: Option<&String>, option: &str) -> Result<Option<Percent>, VerbError> {
    text.map(|text| Percent::from_str(text).map_err(|error| usage(option, error)))
        .transpose()
}

fn number(text: Option<&String>, option: &str) -> Result<Option<Decimal>, VerbError> {
    text.map(|text| {
        Decimal::from_str(text).map_err(|_not_a_number| usage(option, "write a number, as 12.5"))
    })
    .transpose()
}

/// A cost of one, finer than an amount.
fn cost(text: &str, option: &str, currency: &Currency) -> Result<UnitCost, VerbError> {
    let major = Decimal::from_str(text)
        .map_err(|_not_a_number| usage(option, format!("'{text}' is not a price, as 2.40 is")))?;
    UnitCost::from_major(major, currency).map_err(|error| usage(option, error))
}

impl DecidingArgs {
    fn code(&self, what: &str) -> Result<&str, VerbError> {
        self.item.as_deref().ok_or_else(|| {
            VerbError::Usage(format!("show {what} needs --item with an item's code"))
        })
    }

    fn card(&self, known: &CardKnown, currency: &Currency) -> Result<CardAsk, VerbError> {
        let mut ask = CardAsk::of_book(known);
        let money = |text: &Option<String>, option: &str| amount(text.as_ref(), option, currency);
        ask.price = money(&self.price, "--price")?.or(ask.price);
        ask.pieces = self.pieces.unwrap_or(ask.pieces);
        ask.packaging = money(&self.packaging, "--packaging")?;
        ask.postage = money(&self.postage, "--postage")?;
        ask.label = money(&self.label, "--label")?;
        if let Some(name) = &self.channel {
            let share = known
                .channels
                .iter()
                .find(|one| one.name.eq_ignore_ascii_case(name.trim()));
            let Some(share) = share else {
                return Err(usage(
                    "--channel",
                    format!("nothing was sold at '{name}' in the last twelve months"),
                ));
            };
            ask.fee_percent = Some(share.percent);
        }
        if let Some(fee) = percent(self.fee.as_ref(), "--fee")? {
            ask.fee_percent = Some(fee);
            ask.fee_base = FeeBase::Price;
        }
        if self.fee_on_postage {
            ask.fee_base = FeeBase::PriceAndPostage;
        }
        ask.fee_fixed = money(&self.fee_fixed, "--fee-fixed")?;
        if let Some(text) = &self.wear {
            ask.wear = Some(cost(text, "--wear", currency)?);
        }
        ask.minutes = number(self.own_minutes.as_ref(), "--own-minutes")?.or(ask.minutes);
        ask.own_rate = money(&self.own_rate, "--own-rate")?.or(ask.own_rate);
        ask.next_order = self.next_order(known, currency)?;
        ask.once_per_design = money(&self.once_design, "--once-design")?.unwrap_or_default();
        ask.once_per_run = money(&self.once_run, "--once-run")?.unwrap_or_default();
        ask.run_pieces = self.run_pieces.unwrap_or(ask.run_pieces);
        ask.planned_pieces = self.planned;
        ask.margin = percent(self.margin.as_ref(), "--margin")?.or(ask.margin);
        ask.fixed_a_month = money(&self.fixed, "--fixed")?.or(ask.fixed_a_month);
        ask.offer = percent(self.offer.as_ref(), "--offer")?;
        ask.wholesale = money(&self.wholesale, "--wholesale")?;
        ask.basis = match self.at_cost {
            None => ask.basis,
            Some(AtCost::Latest) => CostBasis::Latest,
            Some(AtCost::Average) => CostBasis::Average,
            Some(AtCost::NextOrder) => CostBasis::NextOrder,
        };
        Ok(ask)
    }

    fn next_order(
        &self,
        known: &CardKnown,
        currency: &Currency,
    ) -> Result<BTreeMap<String, UnitCost>, VerbError> {
        let mut costs = BTreeMap::new();
        for text in &self.next_order {
            let Some((code, price)) = text.split_once('=') else {
                return Err(usage("--next-order", "write CODE=AMOUNT, as PAPER=0.03"));
            };
            let input = known
                .making
                .inputs
                .iter()
                .find(|input| input.code.eq_ignore_ascii_case(code.trim()));
            let Some(input) = input else {
                let name = &known.making.item.name;
                return Err(usage(
                    "--next-order",
                    format!("no '{code}' goes into {name}"),
                ));
            };
            costs.insert(
                input.code.clone(),
                cost(price.trim(), "--next-order", currency)?,
            );
        }
        Ok(costs)
    }

    /// What a comparison begins with: the one of that name, or what the book knows.
    fn begun_with(&self, book: &Book, making: &Making) -> Result<WaysAsk, VerbError> {
        let Some(name) = &self.saved else {
            let own_rate = book.settings().amount("owner_rate");
            return Ok(making.ways(own_rate, book.currency()));
        };
        let code = &making.item.code;
        let wanted = name.trim().to_lowercase();
        book.comparisons()?
            .into_iter()
            .find(|one| one.item == *code && one.name.to_lowercase() == wanted)
            .map(|one| one.ask)
            .ok_or_else(|| {
                VerbError::refused(format!(
                    "--saved: no comparison called '{name}' is kept with {code}"
                ))
            })
    }

    fn ways(&self, mut ask: WaysAsk, currency: &Currency) -> Result<WaysAsk, VerbError> {
        let money = |text: &Option<String>, option: &str| amount(text.as_ref(), option, currency);
        ask.wanted = self.quantity.unwrap_or(ask.wanted);
        if let Some(text) = &self.tiers {
            ask.tiers = read_tiers(text, currency)?;
        }
        ask.minimum = self.minimum.unwrap_or(ask.minimum);
        ask.out_design = money(&self.once_design, "--once-design")?.unwrap_or(ask.out_design);
        ask.out_run = money(&self.once_run, "--once-run")?.unwrap_or(ask.out_run);
        ask.carriage = money(&self.carriage, "--carriage")?.unwrap_or(ask.carriage);
        if let Some(text) = &self.each {
            ask.each = cost(text, "--each", currency)?;
        }
        ask.batch = self.batch.or(ask.batch);
        ask.loss = percent(self.loss.as_ref(), "--loss")?.unwrap_or(ask.loss);
        ask.minutes = number(self.own_minutes.as_ref(), "--own-minutes")?.unwrap_or(ask.minutes);
        ask.own_rate = money(&self.own_rate, "--own-rate")?.unwrap_or(ask.own_rate);
        ask.equipment = money(&self.to_buy, "--to-buy")?.unwrap_or(ask.equipment);
        if self.with_own_time {
            ask.time = OwnTime::Counted;
        }
        if self.made_again {
            ask.run = Run::Reorder;
        }
        Ok(ask)
    }
}

/// Tiers as `1:3.20,50:2.60`.
fn read_tiers(text: &str, currency: &Currency) -> Result<Vec<PriceTier>, VerbError> {
    text.split(',')
        .enumerate()
        .map(|(idx, tier)| {
            let wrong = || {
                let place = idx + 1;
                usage(
                    "--tiers",
                    format!("tier {place}, '{}', is not written as 50:2.60", tier.trim()),
                )
            };
            let (from, each) = tier.split_once(':').ok_or_else(wrong)?;
            Ok(PriceTier {
                from: from.trim().parse().map_err(|_not_a_number| wrong())?,
                each: cost(each.trim(), "--tiers", currency)?,
            })
        })
        .collect()
}
