//! Showing what is free to spend, and trying a purchase.
//! What it comes to is `reports`'.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use super::VerbError;
use super::args::day;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::export::{json, tables};
use crate::free_to_spend::{Buying, Wanted};
use crate::reports;

/// A purchase to be tried.
#[derive(Debug, Default, Args)]
pub struct FreeArgs {
    /// Say what would be free to spend after buying something at this price; nothing is written
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub buy: Option<String>,
    /// The day it would be bought; today when left out
    #[arg(long, value_name = "DAY", value_parser = day, requires = "buy")]
    pub buy_on: Option<NaiveDate>,
    /// What it is: a cost at once, equipment that lasts, or stock
    #[arg(long, value_enum, default_value_t = BuyAs::Cost, requires = "buy")]
    pub buy_as: BuyAs,
    /// How many months equipment lasts
    #[arg(long, value_name = "MONTHS", default_value_t = 60, requires = "buy")]
    pub buy_lasts: u32,
}

/// What is bought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum BuyAs {
    /// Used up or paid for
    #[default]
    Cost,
    /// Lasts and is a cost little by little
    Equipment,
    /// Waits in stock
    Stock,
}

/// Shows what is free to spend.
pub fn free_to_spend(
    book: &Book,
    args: &FreeArgs,
    day: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let currency = book.currency();
    let report = reports::free(book, day)?;
    let tried = match &args.buy {
        None => None,
        Some(text) => {
            let price = currency
                .parse_plain(text)
                .map_err(|error| VerbError::Usage(format!("--buy: {error}")))?;
            let buying = Buying {
                price,
                on: args.buy_on.unwrap_or(day),
                wanted: match args.buy_as {
                    BuyAs::Cost => Wanted::Cost,
                    BuyAs::Stock => Wanted::Stock,
                    BuyAs::Equipment => Wanted::Equipment {
                        months: args.buy_lasts,
                    },
                },
            };
            Some(reports::can_i_buy(book, &report, buying)?)
        }
    };
    if as_json {
        print_json(&json::free_to_spend(&report, tried.as_ref(), currency))
    } else {
        print(&tables::free_to_spend(&report, tried.as_ref(), currency).text(currency))
    }
}
