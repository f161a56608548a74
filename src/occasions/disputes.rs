//! Disputes: the customer's bank takes a payment back; weeks later it is returned, or stays away.
//! A refund that the owner gives herself is `happenings::customer_refund`.

use super::ask::{day, may, needed, note};
use super::parts::recorded;
use super::{Accounts, AskKind, Occasion, Reading, Start, Told};
use crate::happenings::{CustomerRefund, CustomerRefundDetails, Happening};
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::matters::{MatterKind, Step, StepKind};

pub(super) const ALL: &[&Occasion] = &[&OPENED, &WON, &LOST];

const OPENED: Occasion = Occasion {
    key: "dispute-opened",
    sheet: "disputes",
    word: "opened",
    title: "For which order was a payment taken back?",
    second: "The customer\u{2019}s bank took it back for now (chargeback): the money is in dispute, the fee is a cost at once.",
    asks: &[
        needed("order", "Your number of the sale", AskKind::Words),
        needed("amount", "How much was taken back", AskKind::Amount),
        day(),
        needed(
            "taken_from",
            "Taken from",
            AskKind::Account(Accounts::Takes),
        )
        .start(Start::Bank),
        may("fee", "Fee for the dispute", AskKind::Amount),
        may("answer_by", "Answer it by", AskKind::Day),
        note(),
    ],
    caution: "",
    tell: opened,
};

fn opened(read: &mut Reading<'_>) -> Option<Told> {
    let sale = read.sale("order");
    let amount = read.amount("amount");
    let date = read.day("date");
    let from = read.account("taken_from");
    let fee = read.amount_or_none("fee");
    let answer_by = read.any_day("answer_by");
    let (dispute, fees) = (
        read.role(Role::InDispute)?,
        read.role(Role::ProcessingFees)?,
    );
    let sale = sale?;
    let key = sale.document.clone();
    let before = read.known.matters.find(MatterKind::Dispute, &key);
    if before.is_some_and(crate::matters::Matter::is_open) {
        read.refuse("order", format!("a dispute about {key} is open already"));
        return None;
    }
    let date = read.not_before("date", date?, Some(sale.date));
    if !sale.left().is_positive() {
        read.refuse(
            "order",
            format!("the whole of sale {key} has gone back to the customer already"),
        );
        return None;
    }
    let words = format!("this is more than is left of sale {key}");
    let amount = read.at_most("amount", amount?, sale.left(), &words);
    let (amount, date, from, fee) = (amount?, date?, from?, fee?);
    let header = EntryHeader::new(date, EntryKind::Dispute)
        .party(&sale.party)
        .memo(format!("Payment for {key} taken back, in dispute"))
        .reference(&key);
    let lines = vec![
        Line::debit(dispute, amount),
        Line::debit(fees, fee).memo("dispute fee"),
        Line::credit(from, amount + fee),
    ];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(date, MatterKind::Dispute, &key, StepKind::Opened, amount);
    step.due = answer_by;
    step.about = read.text("note").to_owned();
    let (amount, fee) = (read.known.show(amount), read.known.show(fee));
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{amount} is away until the dispute is decided, and {fee} of fee is a cost. The sale stands; a refund of \
             the same order is refused meanwhile."
        ),
    ))
}

const WON: Occasion = Occasion {
    key: "dispute-won",
    sheet: "disputes",
    word: "won",
    title: "Which dispute did you win?",
    second: "The money comes back; nothing is sold a second time (chargeback reversed).",
    asks: &[
        needed(
            "order",
            "Your number of the sale",
            AskKind::Matter(MatterKind::Dispute),
        ),
        day(),
        needed(
            "paid_into",
            "It came back to",
            AskKind::Account(Accounts::Takes),
        )
        .start(Start::Bank),
        may("fee_back", "Fee that came back", AskKind::Amount),
        note(),
    ],
    caution: "",
    tell: won,
};

fn won(read: &mut Reading<'_>) -> Option<Told> {
    let dispute = read.matter("order", MatterKind::Dispute);
    let date = read.day("date");
    let into = read.account("paid_into");
    let fee = read.amount_or_none("fee_back");
    let (account, fees) = (
        read.role(Role::InDispute)?,
        read.role(Role::ProcessingFees)?,
    );
    let dispute = dispute?;
    let date = read.not_before("date", date?, dispute.began_on());
    let (date, into, fee) = (date?, into?, fee?);
    let amount = dispute.balance();
    if !amount.is_positive() {
        read.refuse("order", format!("no dispute about {} is open", dispute.key));
        return None;
    }
    let header = EntryHeader::new(date, EntryKind::Dispute)
        .memo(format!("Dispute about {} won", dispute.key))
        .reference(&dispute.key);
    let lines = vec![
        Line::debit(into, amount + fee),
        Line::credit(account, amount),
        Line::credit(fees, fee).memo("dispute fee given back"),
    ];
    let recording = recorded(read, header, lines)?;
    let mut step = Step::new(
        date,
        MatterKind::Dispute,
        &dispute.key,
        StepKind::Won,
        amount,
    );
    step.about = read.text("note").to_owned();
    let amount = read.known.show(amount);
    Some(Told::entry(
        recording,
        vec![step],
        format!("{amount} is yours again. The sale was counted when it was made."),
    ))
}

const LOST: Occasion = Occasion {
    key: "dispute-lost",
    sheet: "disputes",
    word: "lost",
    title: "Which dispute did you lose?",
    second: "The customer keeps the money: it stands against the sale like a refund (sales return).",
    asks: &[
        needed(
            "order",
            "Your number of the sale",
            AskKind::Matter(MatterKind::Dispute),
        ),
        day(),
        note(),
    ],
    caution: "",
    tell: lost,
};

fn lost(read: &mut Reading<'_>) -> Option<Told> {
    let dispute = read.matter("order", MatterKind::Dispute);
    let date = read.day("date");
    let sale = read.sale("order");
    let account = read.role(Role::InDispute)?;
    let dispute = dispute?;
    let date = read.not_before("date", date?, dispute.began_on());
    let (date, sale) = (date?, sale?);
    let amount = dispute.balance();
    if !amount.is_positive() {
        read.refuse("order", format!("no dispute about {} is open", dispute.key));
        return None;
    }
    // What is in dispute is what is decided now, so it does not stand in its own way.
    let mut refunded = sale.clone();
    refunded.in_dispute -= amount;
    let mut details = CustomerRefundDetails::new(date, refunded, account, amount);
    details.memo = format!("Dispute about {} lost", dispute.key);
    details.reference.clone_from(&dispute.key);
    let chart = read.known.chart;
    let made = CustomerRefund::new(details).and_then(|refund| refund.recording(chart));
    let recording = read.take(made)?;
    let mut step = Step::new(
        date,
        MatterKind::Dispute,
        &dispute.key,
        StepKind::Lost,
        amount,
    );
    step.about = read.text("note").to_owned();
    let amount = read.known.show(amount);
    Some(Told::entry(
        recording,
        vec![step],
        format!(
            "{amount} stays with the customer and stands against your sales. Giving this order back once more is refused."
        ),
    ))
}
