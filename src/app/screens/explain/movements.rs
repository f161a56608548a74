//! The working behind what all money did by month, what a supplier was paid, and equipment that came and went: each figure
//! by its entries. How the figures themselves are worked out is the business of `statements`.

use std::collections::BTreeSet;

use super::model::{EntryRow, Explanation, in_words, what_was_it};
use super::source::{EquipmentFigure, Flow, PaidBy, Source};
use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::ledger::{EntryKind, EntryNumber, PostedEntry, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::statements::{equipment_moved, money_parts, supplier_totals};

/// An entry as a row, unless it adds nothing to the figure.
fn row(answer: &mut Explanation, posted: &PostedEntry, amount: Money) {
    if amount.is_zero() {
        return;
    }
    let header = &posted.entry.header;
    answer.entries.push(EntryRow {
        number: posted.number,
        date: header.date,
        what: what_was_it(&header.party, &header.memo, header.kind.plain()),
        amount,
    });
}

fn summed(mut answer: Explanation) -> Explanation {
    answer.amount = answer.entries.iter().map(|row| row.amount).sum();
    answer
}

/// What entries of a kind did to all money.
pub(super) fn money_moved(
    book: &Book,
    kind: EntryKind,
    flow: Flow,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let way = match flow {
        Flow::In => "money that came in",
        Flow::Out => "money that went out",
    };
    let mut answer = Explanation::new(kind.plain(), format!("{}, {}", in_words(range), way));
    let filter = EntryFilter {
        kind: Some(kind),
        ..EntryFilter::in_range(range)
    };
    for posted in book.entries(&book.entry_numbers(&filter)?)? {
        let alone = std::slice::from_ref(&posted);
        let parts = money_parts(book.chart(), Money::ZERO, alone, &[range]);
        let amount = parts.iter().map(|part| flow.of(kind, part)).sum();
        row(&mut answer, &posted, amount);
    }
    Ok(summed(answer))
}

/// What a supplier was paid.
pub(super) fn supplier(
    book: &Book,
    party: &str,
    way: PaidBy,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let mut answer = Explanation::new(
        format!("{party}, {}", way.words()),
        format!("{}; what came back is taken off", in_words(range)),
    );
    let list = reports::suppliers(book, range)?;
    let Some(found) = list.iter().find(|one| one.party == party) else {
        return Ok(answer);
    };
    for posted in book.entries(&found.entries)? {
        let alone = supplier_totals(book.chart(), std::slice::from_ref(&posted))?;
        let amount = alone.iter().map(|one| way.of(one)).sum();
        row(&mut answer, &posted, amount);
    }
    Ok(summed(answer))
}

/// How equipment moved: a sum by its parts, all of it by its pieces, a piece by its entries.
pub(super) fn equipment(
    book: &Book,
    key: Option<&str>,
    figure: EquipmentFigure,
    range: DateRange,
) -> Result<Explanation, ReportError> {
    let list = reports::equipment_moved(book, range)?;
    let sum = |figure: EquipmentFigure| -> Money {
        let pieces = list.iter();
        pieces
            .filter(|(_, piece)| key.is_none_or(|key| piece.key == key))
            .map(|(_, piece)| figure.of(piece))
            .sum()
    };
    let mut pieces = list.iter();
    let name = match key {
        Some(key) => pieces
            .find(|(_, piece)| piece.key == key)
            .map_or(key, |(name, _)| name),
        None => "Equipment",
    };
    let title = format!("{name}, {}", figure.words());
    let mut answer = Explanation::new(title.clone(), in_words(range));
    let together = "the lines above together";
    if !figure.parts().is_empty() {
        for (part, is_off) in figure.parts() {
            let amount = sum(*part);
            let source = Source::EquipmentMoved(key.map(str::to_owned), *part, range);
            let shown = if *is_off { -amount } else { amount };
            let source = (!amount.is_zero()).then_some(source);
            answer.term(crate::app::sentence(part.words()), "", shown, source);
        }
        return Ok(answer.result(title, together, sum(figure)));
    }
    let Some(key) = key else {
        for (name, piece) in &list {
            let amount = figure.of(piece);
            if !amount.is_zero() {
                let source = Source::EquipmentMoved(Some(piece.key.clone()), figure, range);
                answer.term(name.clone(), "", amount, Some(source));
            }
        }
        return Ok(answer.result(title, together, sum(figure)));
    };
    let entries = entries_of(book, key, range)?;
    let of = |some: &[PostedEntry]| -> Result<Money, ReportError> {
        let pieces = equipment_moved(book.chart(), some, range)?;
        let pieces = pieces.iter().filter(|piece| piece.key == key);
        Ok(pieces.map(|piece| figure.of(piece)).sum())
    };
    for posted in &entries {
        // What takes an entry back counts where that entry does.
        let before: Vec<PostedEntry> = entries
            .iter()
            .filter(|one| posted.reverses == Some(one.number))
            .cloned()
            .collect();
        let mut with = before.clone();
        with.push(posted.clone());
        row(&mut answer, posted, of(&with)? - of(&before)?);
    }
    Ok(summed(answer))
}

/// The entries up to the end of a period that touch the cost or the wear of a piece.
fn entries_of(book: &Book, key: &str, range: DateRange) -> Result<Vec<PostedEntry>, ReportError> {
    let from = book.first_day().min(range.from);
    let mut numbers: BTreeSet<EntryNumber> = BTreeSet::new();
    let mut accounts = Vec::new();
    for role in [Role::Equipment, Role::AccumulatedDepreciation] {
        let account = book.chart().role(role)?;
        accounts.push(account);
        numbers.extend(book.entry_numbers(&EntryFilter {
            range: DateRange::new(from, range.to),
            account: Some(account),
            ..EntryFilter::default()
        })?);
    }
    let numbers: Vec<EntryNumber> = numbers.into_iter().collect();
    let mut entries = book.entries(&numbers)?;
    entries.retain(|posted| {
        let mut lines = posted.entry.lines().iter();
        lines.any(|line| {
            accounts.contains(&line.account) && line.equipment.as_deref().unwrap_or("") == key
        })
    });
    Ok(entries)
}
