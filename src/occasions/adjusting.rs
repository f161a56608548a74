//! Adjusting entries at the end of a year: owed and not billed, paid ahead, earned and not billed, used up.
//! What a year needs of them is worked out in `reports`.

use chrono::NaiveDate;

use super::ask::{may, needed, note};
use super::parts::recorded;
use super::{Accounts, Ask, AskKind, Occasion, Reading, Start, Told};
use crate::dates::show_day;
use crate::ledger::{AccountId, EntryHeader, EntryKind, Line, Role};
use crate::money::Money;

pub(super) const ALL: &[&Occasion] = &[&OWED, &AHEAD, &EARNED, &USED, &START_UP];

const CAUTION: &str = "In which year a cost or an income counts depends on how the books are kept and on local rules. Confirm with them and a \
    licensed professional.";

const LAST_DAY: Ask =
    needed("date", "On the last day of the year", AskKind::Day).start(Start::YearEnd);

const BACK: Ask =
    may("take_back", "Take it back on the day after", AskKind::YesNo).start(Start::Words("yes"));

const OWED: Occasion = Occasion {
    key: "adjusting-owed",
    sheet: "adjusting",
    word: "owed",
    title: "What is owed at the year\u{2019}s end, and not billed yet?",
    second: "It counts in the year it belongs to, and is taken back when the bill itself comes (accrued expense).",
    asks: &[
        needed("amount", "How much, as far as you know", AskKind::Amount),
        needed(
            "account",
            "What kind of cost",
            AskKind::Account(Accounts::Expenses),
        ),
        LAST_DAY,
        may("party", "To whom", AskKind::Words),
        BACK,
        note(),
    ],
    caution: CAUTION,
    tell: owed,
};

const AHEAD: Occasion = Occasion {
    key: "adjusting-ahead",
    sheet: "adjusting",
    word: "ahead",
    title: "Which cost of this year belongs to the next one?",
    second: "The part for next year leaves this year\u{2019}s costs and counts in the next (prepaid expense).",
    asks: &[
        needed("amount", "How much of it is for next year", AskKind::Amount),
        needed(
            "account",
            "Which cost it stands in",
            AskKind::Account(Accounts::Expenses),
        ),
        LAST_DAY,
        may("party", "To whom", AskKind::Words),
        BACK,
        note(),
    ],
    caution: CAUTION,
    tell: ahead,
};

const EARNED: Occasion = Occasion {
    key: "adjusting-earned",
    sheet: "adjusting",
    word: "earned",
    title: "What is earned at the year\u{2019}s end, and not billed yet?",
    second: "It counts in the year it was earned, and is taken back when the bill itself goes out (accrued revenue).",
    asks: &[
        needed("amount", "How much", AskKind::Amount),
        may(
            "account",
            "What kind of income",
            AskKind::Account(Accounts::Incomes),
        )
        .start(Start::Words("sales")),
        LAST_DAY,
        may("party", "From whom", AskKind::Words),
        BACK,
        note(),
    ],
    caution: CAUTION,
    tell: earned,
};

const USED: Occasion = Occasion {
    key: "adjusting-used",
    sheet: "adjusting",
    word: "used",
    title: "What of the things you keep on the books is used up?",
    second: "It becomes a cost of this year (supplies or prepayments used). Stock that is counted has a form of its own.",
    asks: &[
        needed("amount", "How much is used up", AskKind::Amount),
        needed(
            "account",
            "What kind of cost",
            AskKind::Account(Accounts::Expenses),
        ),
        may("from", "Where it stands", AskKind::Account(Accounts::Kept))
            .start(Start::Words("paid-in-advance")),
        LAST_DAY,
        note(),
    ],
    caution: "",
    tell: used,
};

const START_UP: Occasion = Occasion {
    key: "start-up-used",
    sheet: "adjusting",
    word: "start-up",
    title: "How much of the costs of starting counts this year?",
    second: "A part of what was carried forward becomes a cost (amortisation of start-up costs). \u{2018}Adjusting entries of the \
        year\u{2019} works the part out by the published rule.",
    asks: &[
        needed("amount", "How much", AskKind::Amount),
        may(
            "of",
            "Of which costs",
            AskKind::Choice(&[
                ("start-up", "Start-up costs"),
                ("company", "Costs of forming the company"),
            ]),
        ),
        LAST_DAY,
        note(),
    ],
    caution: CAUTION,
    tell: start_up,
};

/// One adjusting entry, with the day on which it is taken back.
struct Adjusting {
    date: NaiveDate,
    amount: Money,
    debit: AccountId,
    credit: AccountId,
    memo: &'static str,
}

impl Adjusting {
    fn told(self, read: &mut Reading<'_>, words: String, takes_back: bool) -> Option<Told> {
        let memo = match read.text("note") {
            "" => self.memo,
            words => words,
        };
        let header = EntryHeader::new(self.date, EntryKind::Adjusting)
            .party(read.text("party"))
            .memo(memo);
        let lines = vec![
            Line::debit(self.debit, self.amount),
            Line::credit(self.credit, self.amount),
        ];
        let recording = recorded(read, header, lines)?;
        let back = self.date.succ_opt().filter(|_| takes_back);
        let words = match back {
            Some(day) => format!("{words} It is taken back on {}.", show_day(day)),
            None => words,
        };
        Some(Told {
            take_back_on: back,
            ..Told::entry(recording, Vec::new(), words)
        })
    }
}

/// Whether it is taken back: yes where nothing was said.
fn takes_back(read: &mut Reading<'_>) -> Option<bool> {
    if read.has("take_back") {
        read.yes("take_back")
    } else {
        Some(true)
    }
}

/// A cost or an income of the year against an account that carries it over the year's end.
struct CarriedOver {
    /// What carries it over.
    carrier: Role,
    /// Whether the carrier is debited.
    is_carrier_debited: bool,
    /// The cost or income where none was named; none when one must be.
    otherwise: Option<Role>,
    memo: &'static str,
    /// What is said of it, from the amount and the account's name.
    words: fn(&str, &str) -> String,
}

impl CarriedOver {
    fn tell(&self, read: &mut Reading<'_>) -> Option<Told> {
        let amount = read.amount("amount");
        let date = read.day("date");
        let back = takes_back(read);
        let account = match self.otherwise.filter(|_| !read.has("account")) {
            Some(role) => read.role(role),
            None => read.account("account"),
        };
        let carrier = read.role(self.carrier)?;
        let (amount, date, back, account) = (amount?, date?, back?, account?);
        let (shown, name) = (read.known.show(amount), read.known.chart.title(account));
        let words = (self.words)(&shown, &name);
        let (debit, credit) = if self.is_carrier_debited {
            (carrier, account)
        } else {
            (account, carrier)
        };
        let entry = Adjusting {
            date,
            amount,
            debit,
            credit,
            memo: self.memo,
        };
        entry.told(read, words, back)
    }
}

fn owed(read: &mut Reading<'_>) -> Option<Told> {
    let carried = CarriedOver {
        carrier: Role::BillsToPay,
        is_carrier_debited: false,
        otherwise: None,
        memo: "Owed, not billed yet",
        words: |shown, name| format!("{shown} counts as {name} now and is owed as a bill to pay."),
    };
    carried.tell(read)
}

fn ahead(read: &mut Reading<'_>) -> Option<Told> {
    let carried = CarriedOver {
        carrier: Role::PaidInAdvance,
        is_carrier_debited: true,
        otherwise: None,
        memo: "Paid ahead for next year",
        words: |shown, name| {
            format!("{shown} of {name} is for next year and leaves this year\u{2019}s costs.")
        },
    };
    carried.tell(read)
}

fn earned(read: &mut Reading<'_>) -> Option<Told> {
    let carried = CarriedOver {
        carrier: Role::CustomersOwe,
        is_carrier_debited: true,
        otherwise: Some(Role::Sales),
        memo: "Earned, not billed yet",
        words: |shown, name| format!("{shown} counts as {name} now and is owed to you."),
    };
    carried.tell(read)
}

fn used(read: &mut Reading<'_>) -> Option<Told> {
    let amount = read.amount("amount");
    let date = read.day("date");
    let cost = read.account("account");
    let from = if read.has("from") {
        read.account("from")
    } else {
        read.role(Role::PaidInAdvance)
    };
    let (amount, date, cost, from) = (amount?, date?, cost?, from?);
    let words = format!(
        "{} moves from {} to {}.",
        read.known.show(amount),
        read.known.chart.title(from),
        read.known.chart.title(cost)
    );
    let entry = Adjusting {
        date,
        amount,
        debit: cost,
        credit: from,
        memo: "Used up",
    };
    entry.told(read, words, false)
}

fn start_up(read: &mut Reading<'_>) -> Option<Told> {
    let amount = read.amount("amount");
    let date = read.day("date");
    let of = read.choice("of");
    let cost = read.role(Role::OtherCosts)?;
    let (amount, date, of) = (amount?, date?, of?);
    let (carried, memo) = match of {
        "company" => (
            read.role(Role::CompanyFormingCosts)?,
            "Costs of forming the company, this year\u{2019}s part",
        ),
        _ => (
            read.role(Role::StartUpCosts)?,
            "Start-up costs, this year\u{2019}s part",
        ),
    };
    let words = format!(
        "{} of what was carried forward is a cost of this year.",
        read.known.show(amount)
    );
    let entry = Adjusting {
        date,
        amount,
        debit: cost,
        credit: carried,
        memo,
    };
    entry.told(read, words, false)
}
