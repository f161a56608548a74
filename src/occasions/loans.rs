//! Loans: money lent to the business and paid back with interest. Never income, and never all of it a cost.
//! The plan of instalments is `matters`'.

use rust_decimal::Decimal;

use super::ask::{day, may, needed, note};
use super::parts::recorded;
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{LoanTerms, Matter, MatterKind, Step, StepKind};
use crate::money::Money;

pub(super) const CAUTION: &str = "A loan from yourself or your family should be in writing, with interest where the rules ask for it. Confirm with \
        local rules and a licensed professional.";

pub(super) const ALL: &[&Occasion] = &[&RECEIVED, &REPAID];

const RECEIVED: Occasion = Occasion {
    key: "loan-received",
    sheet: "loans",
    word: "received",
    title: "Who lent the business money?",
    second: "Money that goes back one day (loan, a liability): it is not income.",
    asks: &[
        needed("loan", "A name for the loan", AskKind::Words),
        needed("lender", "From whom", AskKind::Words),
        needed("amount", "How much", AskKind::Amount),
        day(),
        needed("paid_into", "Paid into", AskKind::Account(Accounts::Money)).start(Start::Bank),
        may(
            "rate_percent",
            "Interest a year, in per cent",
            AskKind::Number,
        )
        .hint("0 if none"),
        may("months", "Monthly instalments", AskKind::Count).hint("how many"),
        may("first_due", "First instalment on", AskKind::Day),
        may("in_writing", "There is a paper about it", AskKind::YesNo),
    ],
    caution: CAUTION,
    tell: received,
};

fn received(read: &mut Reading<'_>) -> Option<Told> {
    let key = read.new_matter("loan", MatterKind::Loan);
    let lender = read.words("lender");
    let amount = read.amount("amount");
    let date = read.day("date");
    let into = read.account("paid_into");
    let rate = read.number_or_none("rate_percent");
    let months = read.count_or("months", (1, 600), 0);
    let first = read.any_day("first_due");
    read.yes("in_writing")?;
    let loans = read.role(Role::Loans)?;
    let (key, lender, amount, date, into) = (key?, lender?, amount?, date?, into?);
    let (rate, months) = (rate?, months?);
    if rate.value() > Decimal::ONE_HUNDRED {
        read.refuse("rate_percent", "write the interest of a year from 0 to 100");
        return None;
    }
    let header = EntryHeader::new(date, EntryKind::Loan)
        .party(&lender)
        .memo(format!("Loan {key}"))
        .reference(&key);
    let lines = vec![Line::debit(into, amount), Line::credit(loans, amount)];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(date, MatterKind::Loan, &key, StepKind::Received, amount);
    step.party.clone_from(&lender);
    step.due = first;
    let shown = read.known.show(amount);
    let plan = LoanTerms {
        principal: amount,
        yearly_percent: rate.value(),
        months,
        first_due: first.unwrap_or(date),
    };
    let instalment = match plan.schedule() {
        Ok(plan) => plan.first().map_or_else(String::new, |first| {
            format!(
                " An instalment is {} a month.",
                read.known.show(first.amount())
            )
        }),
        Err(_) => String::new(),
    };
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{shown} came in and is owed to {lender}: no income, and paying it back is no cost.{instalment}"
        ),
    ))
}

/// The terms of a loan as they were told with it, where they make a plan.
#[must_use]
pub fn terms_of(loan: &Matter) -> Option<LoanTerms> {
    let step = loan
        .steps
        .iter()
        .find(|step| step.kind == StepKind::Received)?;
    Some(LoanTerms {
        principal: step.amount,
        yearly_percent: step.answer("rate_percent").parse().unwrap_or_default(),
        months: step.answer("months").parse().ok()?,
        first_due: step.due.unwrap_or(step.on),
    })
}

fn month_of_interest(loan: &Matter) -> Money {
    let rate = loan
        .steps
        .iter()
        .find(|step| step.kind == StepKind::Received)
        .and_then(|step| step.answer("rate_percent").parse::<Decimal>().ok());
    rate.map_or(Money::ZERO, |rate| {
        loan.balance().times(rate / Decimal::from(1_200))
    })
}

const REPAID: Occasion = Occasion {
    key: "loan-repaid",
    sheet: "loans",
    word: "repaid",
    title: "Which loan did you pay back?",
    second: "A part pays it back, the rest is interest (loan principal and interest expense).",
    asks: &[
        needed("loan", "Which loan", AskKind::Matter(MatterKind::Loan)),
        needed("amount", "How much in all", AskKind::Amount),
        day(),
        may("interest", "Of that, interest", AskKind::Amount).hint("a month\u{2019}s, by its rate"),
        needed("paid_from", "Paid from", AskKind::Account(Accounts::Pays)).start(Start::Bank),
        note(),
    ],
    caution: "",
    tell: repaid,
};

fn repaid(read: &mut Reading<'_>) -> Option<Told> {
    let loan = read.matter("loan", MatterKind::Loan);
    let amount = read.amount("amount");
    let date = read.day("date");
    let interest = read.amount_or_none("interest");
    let from = read.paid_from("paid_from");
    let (loans, cost) = (read.role(Role::Loans)?, read.role(Role::InterestPaid)?);
    let loan = loan?;
    let date = read.not_before("date", date?, loan.began_on());
    let (amount, date, from) = (amount?, date?, from?);
    let interest = if read.has("interest") {
        interest?
    } else {
        month_of_interest(loan)
    };
    if interest > amount {
        let interest = read.known.show(interest);
        read.refuse("amount", format!("the interest alone is {interest}"));
        return None;
    }
    let principal = amount - interest;
    let most = loan.balance();
    if principal > most {
        let (left, all) = (read.known.show(most), read.known.show(most + interest));
        read.refuse(
            "amount",
            format!("only {left} is still owed: with the interest at most {all}"),
        );
        return None;
    }
    let header = EntryHeader::new(date, EntryKind::Loan)
        .party(loan.party())
        .memo(format!("Loan {} paid back", loan.key))
        .reference(&loan.key);
    let lines = vec![
        Line::debit(loans, principal),
        Line::debit(cost, interest).memo("interest"),
        Line::credit(from, amount),
    ];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(
        date,
        MatterKind::Loan,
        &loan.key,
        StepKind::Repaid,
        principal,
    );
    step.about = read.text("note").to_owned();
    let (paid, interest, left) = (
        read.known.show(principal),
        read.known.show(interest),
        read.known.show(most - principal),
    );
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{paid} pays the loan back, {interest} is interest and a cost. {left} is still owed."
        ),
    ))
}
