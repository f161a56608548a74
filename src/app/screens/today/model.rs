//! What Today says: the headline, the cards, what wants doing, profit by month and where the money went.
//! Made from [`Facts`] after each change; the view only sets it.

use chrono::{Datelike, NaiveDate};

use super::went::{costs, months, months_sentence};
use crate::app::action::{Form, FormWish};
use crate::app::navigation::Room;
use crate::app::screens::desk::DeskPage;
use crate::app::screens::explain::{ProfitFigure, Source};
use crate::app::screens::facts::Facts;
use crate::dates::{DateRange, Month, show_day};
use crate::ledger::{Account, AccountId, Role};
use crate::money::Money;
use crate::needs::{Need, NeedKind, Rhythm, counted, in_words};
use crate::reports::{MonthCard, MonthMend};
use crate::statements::StartUpGroup;

/// A figure on a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// What it is.
    pub label: String,
    /// The trade's term for it.
    pub term: &'static str,
    /// The figure.
    pub figure: String,
    /// What explains it.
    pub note: String,
    /// Where it comes from.
    pub source: Source,
}

/// A thing that wants doing.
#[derive(Clone, Debug, PartialEq)]
pub struct ToDo {
    /// What.
    pub what: String,
    /// What explains it.
    pub note: String,
    /// The word on its button.
    pub button: &'static str,
    /// What the button does.
    pub step: Step,
    /// A second choice beside it.
    pub other: Option<(&'static str, Step)>,
}

/// Things that are best done together.
#[derive(Clone, Debug, PartialEq)]
pub struct ToDoGroup {
    /// When they are best done.
    pub heading: &'static str,
    /// The things.
    pub rows: Vec<ToDo>,
}

/// What a button on Today does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Write a trip down.
    Drove,
    /// Say that there was none.
    DroveNowhere,
    /// Opens a form.
    Start(FormWish),
    /// Shows the page of an order.
    OpenOrder(i64),
    /// Open catching up.
    CatchUp,
    /// Open the statement lines to be sorted.
    SortLines,
    /// Holds an account against its statement.
    HoldAgainst(AccountId),
    /// Open a sheet by which an account agreed with its statement.
    OpenAgreement(i64),
    /// Writes a recurring purchase down.
    ConfirmRecurring(i64),
    /// Leaves a recurring purchase out this time.
    SkipRecurring(i64),
    /// Writes wear of equipment down.
    WriteWear,
    /// Writes down what was paid ahead and is used up.
    ReleasePaidAhead,
    /// Moves money to the set-aside savings.
    SetAside(Money),
    /// Shows the entries whose receipt is missing.
    ShowMissing,
    /// Opens the first purchase that lacks its purpose.
    OpenWithoutPurpose,
    /// Opens a form that was kept for later.
    TakeUp(i64),
    /// Throws such a form away.
    ThrowAway(i64),
    /// Shows where a figure comes from.
    Explain(Source),
    /// Opens a page of the desk.
    OpenDesk(DeskPage),
    /// The page of what goes on, at one kind.
    OpenGoingOn(crate::matters::MatterKind),
    /// Goes to another room.
    Go(Room),
    /// Looks at the card of another month.
    SeeMonth(Month),
    /// Mends something of the month in sight.
    Mend(MonthMend),
    /// Says that a month is finished.
    FinishMonth(Month),
    /// Opens a finished month again.
    OpenMonthAgain(Month),
}

/// A month's profit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthBar {
    /// The month.
    pub month: Month,
    /// Its profit.
    pub profit: Money,
    /// The days it covers in the period.
    pub range: DateRange,
}

/// A stretch of the bar that shows where the money went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The group of costs, or everything else.
    pub label: String,
    /// How much.
    pub amount: Money,
    /// Where it comes from.
    pub source: Source,
    /// Whether it is everything else.
    pub is_rest: bool,
}

/// Everything on Today.
#[derive(Clone, Debug, PartialEq)]
pub struct TodayModel {
    /// The sentence on top.
    pub headline: String,
    /// Where the figure in it comes from.
    pub headline_source: Source,
    /// The second line.
    pub second_line: String,
    /// The figures.
    pub cards: Vec<Card>,
    /// What wants doing, in the order of a sitting; groups with nothing in them are left out.
    pub to_do: Vec<ToDoGroup>,
    /// How many things want doing.
    pub counted: usize,
    /// That in a sentence.
    pub in_words: String,
    /// How many were done since the book was opened, in a sentence; empty when none was.
    pub done: String,
    /// The last month that is over, or the one chosen.
    pub month: Option<MonthCard>,
    /// What an empty book offers first.
    pub first_steps: Vec<ToDo>,
    /// Profit by month.
    pub months: Vec<MonthBar>,
    /// The months in a sentence.
    pub months_sentence: String,
    /// Where the money went.
    pub costs: Vec<Stretch>,
    /// All costs together.
    pub costs_total: Money,
    /// Where they come from.
    pub costs_source: Source,
    /// The period in words.
    pub period: String,
}

impl TodayModel {
    /// Makes it from the facts; `done` says how many things were done, `month` is the month to be looked at.
    #[must_use]
    pub fn new(facts: &Facts, done: String, month: Option<MonthCard>) -> Self {
        let profit = facts.profit.totals.net_profit;
        let period = facts.period_in_words();
        let months = months(facts);
        let (costs, costs_total) = costs(facts);
        Self {
            headline: if facts.is_empty() {
                "Your book is open, and nothing is in it yet.".to_owned()
            } else {
                headline(profit, &facts.show(profit.abs()), &period)
            },
            headline_source: Source::Profit(ProfitFigure::NetProfit, facts.period),
            second_line: second_line(facts.today, facts.covered),
            cards: vec![
                free_card(facts),
                set_aside_card(facts),
                shops_card(facts),
                start_card(facts),
            ],
            to_do: groups(&facts.needs),
            counted: counted(&facts.needs),
            in_words: in_words(&facts.needs),
            done,
            month,
            first_steps: if facts.is_empty() {
                // What was begun and kept comes before what could be begun.
                let kept = facts.needs.iter().filter(|need| is_kept(need)).map(to_do);
                kept.chain(first_steps(facts)).collect()
            } else {
                Vec::new()
            },
            months_sentence: months_sentence(&months),
            months,
            costs,
            costs_total,
            costs_source: Source::Profit(ProfitFigure::Costs, facts.period),
            period,
        }
    }
}

fn headline(profit: Money, shown: &str, period: &str) -> String {
    if profit.is_zero() {
        format!("You are even {period}, before paying yourself and tax.")
    } else if profit.is_negative() {
        format!("You are {shown} behind {period}: more was spent than earned.")
    } else {
        format!("You are {shown} ahead {period}, before paying yourself and tax.")
    }
}

fn second_line(today: NaiveDate, covered: Option<DateRange>) -> String {
    let day = format!(
        "{} {} {}",
        weekday(today),
        today.day(),
        Month::of(today).name()
    );
    match covered {
        None => format!("{day}. Nothing has been written down yet."),
        Some(covered) if covered.to >= today => {
            format!("{day}. Everything up to today has been written down.")
        }
        Some(covered) => format!(
            "{day}. Everything up to {} has been written down.",
            show_day(covered.to)
        ),
    }
}

fn weekday(day: NaiveDate) -> &'static str {
    match day.weekday() {
        chrono::Weekday::Mon => "Monday",
        chrono::Weekday::Tue => "Tuesday",
        chrono::Weekday::Wed => "Wednesday",
        chrono::Weekday::Thu => "Thursday",
        chrono::Weekday::Fri => "Friday",
        chrono::Weekday::Sat => "Saturday",
        chrono::Weekday::Sun => "Sunday",
    }
}

fn free_card(facts: &Facts) -> Card {
    let free = facts.free.answer.free;
    let in_hand = facts.show(facts.free.answer.in_hand());
    let note = if free.is_negative() {
        format!(
            "more is promised than the {in_hand} in bank and cash box; open it for what would help"
        )
    } else {
        format!("of {in_hand} in bank and cash box")
    };
    Card {
        label: "Free to spend".to_owned(),
        term: "cash not yet promised to anybody",
        figure: facts.show(free),
        note,
        source: Source::FreeToSpend,
    }
}

fn set_aside_card(facts: &Facts) -> Card {
    let estimate = &facts.estimate;
    let label = facts.next_instalment().map_or_else(
        || "Set aside".to_owned(),
        |due| format!("Set aside by {} {}", due.day(), Month::of(due).name()),
    );
    let (put_by, needed) = (facts.show(estimate.put_by), facts.show(estimate.total));
    let (figure, note) = if !estimate.total.is_positive() {
        (
            "nothing yet".to_owned(),
            "no profit so far, so nothing is needed".to_owned(),
        )
    } else if estimate.to_move.is_positive() {
        (
            format!("{} more", facts.show(estimate.to_move)),
            format!("{put_by} of {needed} is put by; an estimate only"),
        )
    } else {
        (
            "all put by".to_owned(),
            format!("{put_by} for {needed} needed; an estimate only"),
        )
    };
    Card {
        label,
        term: "estimate for the owner's own tax",
        figure,
        note,
        source: Source::SetAside(0),
    }
}

fn shops_card(facts: &Facts) -> Card {
    let due: Money = facts.channels.iter().map(|channel| channel.due).sum();
    let held = facts
        .channels
        .iter()
        .filter_map(|channel| channel.held_until)
        .min();
    let n_owing = facts
        .channels
        .iter()
        .filter(|channel| !channel.due.is_zero())
        .count();
    let note = match (n_owing, held) {
        (_, Some(until)) => format!("some of it held until {}", show_day(until)),
        (0, None) => "no payout is on its way".to_owned(),
        (1, None) => "from 1 shop, not paid out yet".to_owned(),
        (n, None) => format!("from {n} shops, not paid out yet"),
    };
    Card {
        label: if due.is_negative() {
            "You owe the shops"
        } else {
            "Shops owe you"
        }
        .to_owned(),
        term: "payouts due, a clearing account",
        figure: facts.show(due.abs()),
        note,
        source: match facts.channels.as_slice() {
            [only] => Source::Channel(only.channel),
            _ => Source::GroupBalance(Account::PAYOUTS_DUE_GROUP.to_owned(), facts.today),
        },
    }
}

fn start_card(facts: &Facts) -> Card {
    let (paid, brought) = facts.start.group(StartUpGroup::Equipment);
    let equipment = paid + brought;
    Card {
        label: "It cost to start".to_owned(),
        term: "outlay up to opening; sorting it for tax is another matter",
        figure: facts.show(facts.start.total()),
        note: if equipment.is_zero() {
            facts.start_sentence()
        } else {
            format!(
                "equipment {}, the rest used up or kept",
                facts.show(equipment)
            )
        },
        source: Source::CostToStart,
    }
}

fn is_kept(need: &Need) -> bool {
    matches!(
        need.kind,
        NeedKind::Draft(_)
            | NeedKind::LinesToSort
            | NeedKind::DutyNear(_)
            | NeedKind::MatterDue(_)
            | NeedKind::TripsToWrite
            | NeedKind::QuestionsOpen
            | NeedKind::AnswersToApply
            | NeedKind::FarBehind
    )
}

fn groups(needs: &[Need]) -> Vec<ToDoGroup> {
    let groups = Rhythm::ALL.map(|rhythm| ToDoGroup {
        heading: rhythm.heading(),
        rows: needs
            .iter()
            .filter(|need| need.kind.rhythm() == rhythm)
            .map(to_do)
            .collect(),
    });
    let mut groups = Vec::from(groups);
    groups.retain(|group| !group.rows.is_empty());
    groups
}

fn to_do(need: &Need) -> ToDo {
    let (button, step, other) = match &need.kind {
        NeedKind::RecurringDue(id) => (
            "Write down",
            Step::ConfirmRecurring(*id),
            Some(("Skip", Step::SkipRecurring(*id))),
        ),
        NeedKind::Depreciation(_through) => ("Write down", Step::WriteWear, None),
        NeedKind::PaidAhead(_through) => ("Write down", Step::ReleasePaidAhead, None),
        NeedKind::ReceiptsMissing | NeedKind::ReceiptsOld => ("Show", Step::ShowMissing, None),
        NeedKind::PurposeMissing => ("Open", Step::OpenWithoutPurpose, None),
        NeedKind::SetAside(amount) => ("Move", Step::SetAside(*amount), None),
        NeedKind::PayoutLate(channel) | NeedKind::HoldOver(channel) => (
            "Write payout",
            Step::Start(FormWish::about(Form::Payout, *channel)),
            Some(("Show", Step::Explain(Source::Channel(*channel)))),
        ),
        NeedKind::PlanDue => ("Open", Step::Go(Room::Plan), None),
        NeedKind::OrderLate(id) => (
            "It arrived",
            Step::Start(FormWish::of_order(Form::Arrival, *id)),
            Some(("Show", Step::OpenOrder(*id))),
        ),
        NeedKind::ClaimOpen(id) => ("Show", Step::OpenOrder(*id), None),
        NeedKind::Draft(id) => (
            "Open",
            Step::TakeUp(*id),
            Some(("Throw away", Step::ThrowAway(*id))),
        ),
        NeedKind::StockBelow
        | NeedKind::StockLow
        | NeedKind::StockSlow
        | NeedKind::StockUncounted(_) => ("Show", Step::Go(Room::Make), None),
        NeedKind::FarBehind => ("Begin", Step::CatchUp, None),
        NeedKind::LinesToSort => ("Sort", Step::SortLines, None),
        NeedKind::ToAgree(account) | NeedKind::NeverAgreed(Some(account)) => {
            ("Begin", Step::HoldAgainst(*account), None)
        }
        NeedKind::NeverAgreed(None) => ("Open", Step::Go(Room::Money), None),
        NeedKind::AgreementBroken(id) => ("Show", Step::OpenAgreement(*id), None),
        NeedKind::MatterDue(kind) => ("Show", Step::OpenGoingOn(*kind), None),
        NeedKind::DutyNear(_id) => ("Show", Step::OpenDesk(DeskPage::Duties), None),
        NeedKind::TripsToWrite => ("Write down", Step::Drove, Some(("No", Step::DroveNowhere))),
        NeedKind::QuestionsOpen | NeedKind::AnswersToApply => {
            ("Show", Step::OpenDesk(DeskPage::Questions), None)
        }
        NeedKind::YearToClose(_year) => ("Open", Step::Go(Room::YearEnd), None),
    };
    ToDo {
        what: need.what.clone(),
        note: need.note.clone(),
        button,
        step,
        other,
    }
}

/// What an empty book offers first.
fn first_steps(facts: &Facts) -> Vec<ToDo> {
    let step = |what: &str, note: &str, button, step| ToDo {
        what: what.to_owned(),
        note: note.to_owned(),
        button,
        step,
        other: None,
    };
    vec![
        step(
            "Put your first money in",
            "What you pay into the business account is owner's money in: neither income nor cost.",
            "Money in",
            Step::Start(FormWish {
                account: facts.chart.role(Role::BusinessBank).ok(),
                ..FormWish::new(Form::OwnerIn)
            }),
        ),
        step(
            "Plan what starting needs",
            "What it costs new, second-hand or made outside, what can wait, and whether your money lasts.",
            "Plan",
            Step::Go(Room::Plan),
        ),
        step(
            "Bring in what you already own",
            "A press, a guillotine, a stack of paper: at the lower of what it cost and what it is worth today.",
            "Bring in",
            Step::Start(FormWish::new(Form::BroughtIn)),
        ),
        step(
            "Write down your first purchase",
            "One receipt, as many kinds of things as it holds, its photo beside it.",
            "I bought",
            Step::Start(FormWish::new(Form::Purchase)),
        ),
        step(
            "The business runs already?",
            "Begin with what its accounts hold today.",
            "Opening balances",
            Step::Start(FormWish::new(Form::Opening)),
        ),
    ]
}
