//! Sorting statement lines without a window: accepting suggestions, saying what a line is, rules.
//! What is suggested, and why, is `sorting`'s.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::entry::account;
use super::outcome::{print, print_json};
use super::{VerbError, open_book, with_book};
use crate::book::Book;
use crate::export::{counted, json, tables};
use crate::ledger::{AccountId, EntryNumber};
use crate::reports::{self, Accepted, Manner};
use crate::sorting::{BankLine, Direction, LineId, Meaning, Rough, Rule, Treatment};

/// Statement lines to be sorted.
#[derive(Debug, Args)]
pub struct SortArgs {
    /// The book
    pub book: PathBuf,
    /// Only lines of this account; with --make-rule, the account that the rule is for
    #[arg(long)]
    pub account: Option<String>,
    /// Post what a rule covers, and match what is in the book beyond doubt
    #[arg(long)]
    pub accept_rules: bool,
    /// Accept every other suggestion too, whatever it rests on
    #[arg(long)]
    pub accept_suggestions: bool,
    /// One line, by its number
    #[arg(long)]
    pub line: Option<i64>,
    /// Accept what is suggested for the line
    #[arg(long, requires = "line")]
    pub accept: bool,
    /// What the line is, or what lines of the rule become: purchase, private, owner-in, owner-out, transfer, settlement,
    /// payout, channel-paid, supplier-refund, sale, customer-paid, other-income, tax-instalment, not-explained
    #[arg(long = "as", value_name = "MEANING")]
    pub becomes: Option<String>,
    /// The kind of cost or income, the other account, or the channel
    #[arg(long, value_name = "ACCOUNT")]
    pub to: Option<String>,
    /// From whom or to whom, where the bank's words do not say it well
    #[arg(long)]
    pub party: Option<String>,
    /// The business's share of a purchase in per cent
    #[arg(long)]
    pub share: Option<String>,
    /// The lines that are alike, each lot one decision; with --line, the decision is for all that are alike to it
    #[arg(long)]
    pub alike: bool,
    /// A rough answer, to be said more exactly later: cost, shop-income (with --to the shop), sold, mine, unknown
    #[arg(
        long,
        value_name = "ANSWER",
        requires = "line",
        conflicts_with = "becomes"
    )]
    pub roughly: Option<String>,
    /// What is remembered of it, kept with the entry
    #[arg(long, value_name = "WORDS")]
    pub remember: Option<String>,
    /// These entries were rough or not explained; say with --as what they were
    #[arg(
        long,
        value_name = "ENTRIES",
        value_delimiter = ',',
        conflicts_with = "line"
    )]
    pub refine: Vec<u64>,
    /// With --refine: ask the accountant about these entries, each once
    #[arg(long, requires = "refine")]
    pub ask: bool,
    /// The line is in this entry already; several when they add up to it
    #[arg(long, requires = "line", value_delimiter = ',')]
    pub entry: Vec<u64>,
    /// Leave the line out of the books, with this reason
    #[arg(long, requires = "line", value_name = "WHY")]
    pub leave_out: Option<String>,
    /// Put the line back among those to be sorted
    #[arg(long, requires = "line")]
    pub again: bool,
    /// Show the rules
    #[arg(long)]
    pub rules: bool,
    /// Make a rule for lines with these words; needs --as
    #[arg(long, value_name = "WORDS")]
    pub make_rule: Option<String>,
    /// Take a rule out, by its number
    #[arg(long, value_name = "RULE")]
    pub drop_rule: Option<i64>,
    /// Ask the rules in this order from now on, by their numbers
    #[arg(long, value_delimiter = ',', value_name = "RULES")]
    pub rule_order: Vec<i64>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// What sorting did.
#[derive(Debug, Serialize)]
struct SortedJson {
    posted: Vec<u64>,
    matched: usize,
    left_out: usize,
    still_to_sort: usize,
    left: Vec<LeftJson>,
}

#[derive(Debug, Serialize)]
struct LeftJson {
    line: i64,
    why: String,
}

/// Sorts as asked; with nothing asked, shows what is to be sorted.
pub fn sort(args: &SortArgs, today: NaiveDate) -> Result<(), VerbError> {
    if let Some(words) = &args.make_rule {
        return make_rule(args, words);
    }
    if let Some(id) = args.drop_rule {
        with_book(&args.book, |book| Ok(book.remove_sorting_rule(id)?))?;
        return print(&format!("Rule {id} is taken out."));
    }
    if !args.rule_order.is_empty() {
        with_book(&args.book, |book| {
            Ok(book.order_sorting_rules(&args.rule_order)?)
        })?;
        return show_rules(args);
    }
    if args.rules {
        return show_rules(args);
    }
    if !args.refine.is_empty() {
        return refine(args, today);
    }
    if let Some(line) = args.line {
        return one_line(args, LineId(line));
    }
    if args.accept_rules || args.accept_suggestions {
        let (done, left) = with_book(&args.book, |book| {
            let only = only(book, args)?;
            let mut done = reports::accept_covered(book, only)?;
            if args.accept_suggestions {
                let rest = reports::accept_suggested(book, only)?;
                done.posted.extend(rest.posted);
                done.n_matched += rest.n_matched;
                done.left = rest.left;
            }
            Ok((done, book.count_lines_to_sort(only)?.0))
        })?;
        return told(args, &done, 0, left);
    }
    show_tray(args)
}

fn only(book: &Book, args: &SortArgs) -> Result<Option<AccountId>, VerbError> {
    args.account
        .as_deref()
        .map(|name| account(book, name))
        .transpose()
}

/// Shows the lines to be sorted.
fn show_tray(args: &SortArgs) -> Result<(), VerbError> {
    let book = open_book(&args.book)?;
    let tray = reports::tray(&book, only(&book, args)?)?;
    if args.alike {
        return super::catching_up::decisions(&book, &tray, args.json);
    }
    if args.json {
        return print_json(&json::tray(&tray, book.chart(), book.currency()));
    }
    print(&tables::tray(&tray, book.chart(), book.currency()).text(book.currency()))
}

fn show_rules(args: &SortArgs) -> Result<(), VerbError> {
    let book = open_book(&args.book)?;
    let rules = book.sorting_rules()?;
    if args.json {
        return print_json(&json::rules(&rules, book.chart(), book.currency()));
    }
    print(&tables::rules(&rules, book.chart(), book.currency()).text(book.currency()))
}

/// What the options make of a line.
fn treatment(book: &Book, args: &SortArgs) -> Result<Option<Treatment>, VerbError> {
    let Some(meaning) = &args.becomes else {
        return Ok(None);
    };
    let meaning: Meaning = meaning.parse().map_err(VerbError::Usage)?;
    let mut treatment = Treatment::new(meaning);
    treatment.account = args
        .to
        .as_deref()
        .map(|name| account(book, name))
        .transpose()?;
    treatment.party = args.party.clone().unwrap_or_default();
    if let Some(share) = &args.share {
        treatment.share = share
            .parse()
            .map_err(|error| VerbError::Usage(format!("--share: {error}")))?;
    }
    Ok(Some(treatment))
}

fn one_line(args: &SortArgs, id: LineId) -> Result<(), VerbError> {
    let (done, left_out, left) = with_book(&args.book, |book| {
        let mut done = Accepted::default();
        let mut left_out = 0;
        let line = book.bank_line(id)?;
        if args.alike || args.roughly.is_some() || args.remember.is_some() {
            done.posted = decide(book, args, &line)?;
        } else if let Some(treatment) = treatment(book, args)? {
            done.posted.push(reports::treat(book, &line, &treatment)?);
        } else if !args.entry.is_empty() {
            let numbers: Vec<EntryNumber> = args.entry.iter().copied().map(EntryNumber).collect();
            book.match_line(id, &numbers, None)?;
            done.n_matched = 1;
        } else if let Some(why) = &args.leave_out {
            book.leave_line_out(id, why)?;
            left_out = 1;
        } else if args.again {
            book.sort_line_again(id)?;
        } else if args.accept {
            let tray = reports::tray(book, Some(line.account))?;
            let row = tray.rows.iter().find(|row| row.line.id == id);
            let Some(row) = row else {
                return Err(VerbError::refused(format!(
                    "line {id} is sorted already; --again puts it back"
                )));
            };
            let Some(suggestion) = &row.suggestion else {
                return Err(VerbError::refused(format!(
                    "nothing is suggested for line {id}; say what it is with --as"
                )));
            };
            match reports::accept(book, &line, suggestion)? {
                Some(number) => done.posted.push(number),
                None => done.n_matched = 1,
            }
        } else {
            return Err(VerbError::Usage(
                "--line needs --accept, --as, --entry, --leave-out or --again".to_owned(),
            ));
        }
        Ok((done, left_out, book.count_lines_to_sort(None)?.0))
    })?;
    told(args, &done, left_out, left)
}

/// One decision for a line or for all that are alike to it, exact or rough.
fn decide(
    book: &mut Book,
    args: &SortArgs,
    line: &BankLine,
) -> Result<Vec<EntryNumber>, VerbError> {
    let lines = if args.alike {
        let tray = reports::tray(book, None)?;
        let lots = reports::decisions(&tray);
        let lot = lots
            .into_iter()
            .find(|lot| lot.lines.iter().any(|one| one.id == line.id));
        lot.map(|lot| lot.lines).ok_or_else(|| {
            VerbError::refused(format!(
                "line {} asks no decision: it is sorted, or --accept-rules accepts it",
                line.id
            ))
        })?
    } else {
        vec![line.clone()]
    };
    let rough: Option<Rough> = args
        .roughly
        .as_deref()
        .map(str::parse)
        .transpose()
        .map_err(VerbError::Usage)?;
    let treatment = match rough {
        Some(rough) => Some(rough_treatment(book, args, rough, line)?),
        None => treatment(book, args)?,
    };
    let Some(treatment) = treatment else {
        return Err(VerbError::Usage(
            "say what it was with --as, or roughly with --roughly".to_owned(),
        ));
    };
    let manner = Manner {
        is_rough: rough.is_some_and(Rough::is_marked),
        remembered: args.remember.clone().unwrap_or_default(),
    };
    Ok(reports::treat_alike(book, &lines, &treatment, &manner)?)
}

fn rough_treatment(
    book: &Book,
    args: &SortArgs,
    rough: Rough,
    line: &BankLine,
) -> Result<Treatment, VerbError> {
    if !rough.fits(line.is_in()) {
        return Err(VerbError::refused(format!(
            "money that {} cannot be '{}'",
            if line.is_in() { "came in" } else { "went out" },
            rough.plain().to_lowercase()
        )));
    }
    let shop = args
        .to
        .as_deref()
        .map(|name| account(book, name))
        .transpose()?;
    if rough.needs_shop() && shop.is_none() {
        return Err(VerbError::Usage(
            "--roughly shop-income needs the shop with --to".to_owned(),
        ));
    }
    let made = rough.treatment(line, shop, book.chart());
    Ok(made.map_err(crate::book::BookError::from)?)
}

/// Says of entries more exactly what they were, or what is remembered of them.
fn refine(args: &SortArgs, today: NaiveDate) -> Result<(), VerbError> {
    let numbers: Vec<EntryNumber> = args.refine.iter().copied().map(EntryNumber).collect();
    if args.ask {
        let n_new = with_book(&args.book, |book| {
            Ok(reports::ask_about(book, &numbers, today)?)
        })?;
        return print(&format!(
            "{} for the accountant; see show questions.",
            counted(n_new, "new question", "new questions")
        ));
    }
    with_book(&args.book, |book| {
        if let Some(treatment) = treatment(book, args)? {
            return Ok(reports::refine(book, &numbers, &treatment)?);
        }
        let Some(words) = &args.remember else {
            return Err(VerbError::Usage(
                "--refine needs --as with what they were, --remember or --ask".to_owned(),
            ));
        };
        for number in &numbers {
            reports::remember(book, *number, words)?;
        }
        Ok(())
    })?;
    print(&format!(
        "{} said more exactly; the earlier version is kept.",
        counted(numbers.len(), "entry is", "entries are")
    ))
}

fn make_rule(args: &SortArgs, words: &str) -> Result<(), VerbError> {
    with_book(&args.book, |book| {
        let Some(treatment) = treatment(book, args)? else {
            return Err(VerbError::Usage(
                "--make-rule needs --as with what such lines become".to_owned(),
            ));
        };
        let fits = |is_in| treatment.meaning.fits(is_in);
        let direction = match (fits(true), fits(false)) {
            (true, true) => Direction::Either,
            (true, false) => Direction::In,
            _ => Direction::Out,
        };
        let mut rule = Rule::new(words, direction, treatment);
        rule.account = only(book, args)?;
        let id = book.keep_sorting_rule(&rule)?;
        Ok(id)
    })?;
    show_rules(args)
}

fn told(
    args: &SortArgs,
    done: &Accepted,
    left_out: usize,
    still_to_sort: usize,
) -> Result<(), VerbError> {
    if args.json {
        return print_json(&SortedJson {
            posted: done.posted.iter().map(|number| number.0).collect(),
            matched: done.n_matched,
            left_out,
            still_to_sort,
            left: done
                .left
                .iter()
                .map(|(line, why)| LeftJson {
                    line: line.0,
                    why: why.clone(),
                })
                .collect(),
        });
    }
    let mut text = format!(
        "{} posted, {} found in the book; {} still to be sorted.",
        counted(done.posted.len(), "line", "lines"),
        done.n_matched,
        still_to_sort
    );
    for (line, why) in &done.left {
        text.push_str(&format!("\nLine {line} is left: {why}"));
    }
    print(&text)
}
