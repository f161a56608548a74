//! A sheet of movements of stock. Rows of one batch on one day are one entry, and so are counts of one day and arrivals
//! of one paper; what each is worth is worked out when the book writes them.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::purchases::payment;
use super::{Context, Faults, Items, Row, Rows, Sheet};
use crate::happenings::{HappeningError, Payment};
use crate::ledger::{Chart, EntryHeader, EntryKind, EntryNumber, Line, Origin, Role};
use crate::money::{Money, Quantity};
use crate::stock::{
    BatchNote, BatchNoteError, Item, Movement, MovementError, MovementId, MovementKind, Side,
    in_units, stock_role,
};

/// Movements that stand in one entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MovementGroup {
    /// The row of each movement, in the order of the movements.
    pub rows: Vec<u64>,
    /// The key that a later row may name under `of`, of each movement; mostly empty.
    pub keys: Vec<String>,
    /// What a row names under `of`, of each movement.
    pub of: Vec<Option<String>>,
    /// The entry's day, kind and words.
    pub header: EntryHeader,
    /// What was paid for arrivals, later bills and outside work; not balanced by itself.
    pub lines: Vec<Line>,
    /// The movements.
    pub movements: Vec<Movement>,
    /// What is told beside the batch they make.
    pub note: BatchNote,
}

/// What one row says.
struct Told {
    row: u64,
    key: String,
    of: Option<String>,
    reference: String,
    counted_by: String,
    item_name: String,
    /// How many, with the unit.
    many: String,
    /// Whether its cost stands on the stock account already.
    is_there: bool,
    lines: Vec<Line>,
    movement: Movement,
    note: BatchNote,
}

/// What puts rows into one entry.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Together {
    Batch(NaiveDate, String),
    Count(NaiveDate, String),
    Paper(NaiveDate, MovementKind, String),
    Alone(usize),
}

/// The columns that only a written-out book has.
const WRITTEN_OUT_ONLY: [&str; 3] = ["entry", "posted", "taken_back"];

/// Reads a sheet of movements.
///
/// # Errors
/// Every cell that cannot be.
pub fn movements(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<MovementGroup>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut order: Vec<Vec<Told>> = Vec::new();
    let mut places: HashMap<Together, usize> = HashMap::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let Some(told) = told(&mut row, context, items) else {
            continue;
        };
        let place = *places.entry(together(&told, idx)).or_insert(order.len());
        if place == order.len() {
            order.push(Vec::new());
        }
        order[place].push(told);
    }
    let file = rows.file();
    let mut groups: Vec<MovementGroup> = order.into_iter().map(|rows| group(file, rows)).collect();
    groups.sort_by_key(|group| group.header.date);
    rows.faults.into_result(groups)
}

fn together(told: &Told, idx: usize) -> Together {
    let movement = &told.movement;
    match (movement.kind, &movement.batch) {
        (MovementKind::Count, _) => Together::Count(movement.date, told.reference.clone()),
        (_, Some(batch)) => Together::Batch(movement.date, batch.clone()),
        (kind, None) if !told.reference.is_empty() => {
            Together::Paper(movement.date, kind, told.reference.clone())
        }
        _ => Together::Alone(idx),
    }
}

/// What belongs together as one entry: what comes in first, what is used before what is made of it.
fn group(file: &str, mut rows: Vec<Told>) -> MovementGroup {
    rows.sort_by_key(|told| match told.movement.kind {
        MovementKind::Receive => 0,
        MovementKind::Make => 2,
        _ => 1,
    });
    let first = rows.iter().map(|told| told.row).min().unwrap_or_default();
    let main = rows
        .iter()
        .find(|told| told.movement.kind == MovementKind::Make)
        .unwrap_or(&rows[0]);
    let kind = match main.movement.kind {
        MovementKind::Make => EntryKind::Batch,
        MovementKind::Use if main.movement.batch.is_some() => EntryKind::Batch,
        MovementKind::Count => EntryKind::StockCount,
        MovementKind::Receive if main.is_there => EntryKind::Adjusting,
        MovementKind::Receive | MovementKind::LaterCost => EntryKind::Purchase,
        MovementKind::LaterCredit => EntryKind::SupplierRefund,
        _ => EntryKind::StockOut,
    };
    let main_note = main.note.clone();
    let mut header = EntryHeader::new(main.movement.date, kind)
        .memo(words(main, rows.len()))
        .origin(Origin::Brought {
            file: file.to_owned(),
            row: first,
        });
    if let Some(told) = rows.iter().find(|told| !told.reference.is_empty()) {
        header.reference.clone_from(&told.reference);
    }
    if let Some(told) = rows.iter().find(|told| !told.counted_by.is_empty()) {
        header.party.clone_from(&told.counted_by);
    }
    if main.movement.kind == MovementKind::LaterCost {
        header.document.clone_from(&main.key);
    }
    MovementGroup {
        rows: rows.iter().map(|told| told.row).collect(),
        keys: rows.iter().map(|told| told.key.clone()).collect(),
        of: rows.iter().map(|told| told.of.clone()).collect(),
        lines: rows.iter().flat_map(|told| told.lines.clone()).collect(),
        note: main_note,
        movements: rows.into_iter().map(|told| told.movement).collect(),
        header,
    }
}

/// The entry in words: `Made: 18 piece A5 notebook, batch B1`.
fn words(main: &Told, count: usize) -> String {
    let movement = &main.movement;
    if movement.kind == MovementKind::Count && count > 1 {
        return format!("Counted: {count} items");
    }
    let mut text = if movement.kind.is_of_value_only() {
        format!("{}: {}", movement.kind.plain(), main.item_name)
    } else {
        format!(
            "{}: {} {}",
            movement.kind.plain(),
            main.many,
            main.item_name
        )
    };
    if let Some(batch) = &movement.batch {
        text.push_str(&format!(", batch {batch}"));
    }
    if !movement.to_place.is_empty() {
        text.push_str(&format!(" to {}", movement.to_place));
    }
    text
}

/// A row as a movement with what was paid for it. Every cell is read before any is missed, so that all faults are told.
fn told(row: &mut Row<'_, '_>, context: Context<'_>, items: &Items) -> Option<Told> {
    for column in WRITTEN_OUT_ONLY {
        row.refuse(column, "belongs to the folder of a written-out book only");
    }
    let date = context.open_day(row, "date");
    let item = items.needed(row, "item").cloned();
    let kind = row.value::<MovementKind>("kind");
    let quantity = quantity(row, item.as_ref(), kind);
    let abnormal = abnormal(row, item.as_ref(), kind);
    let note = note(row, item.as_ref(), kind);
    let value = row.part("total_cost");
    let paid = row.has("paid_from").then(|| paid_from(row, context));
    let mut movement = Movement::new(
        MovementId(0),
        date?,
        item.as_ref()?.code.clone(),
        kind?,
        quantity?,
    );
    movement.abnormal = abnormal?;
    movement.value = value?;
    movement.batch = Some(row.text("batch"))
        .filter(|batch| !batch.is_empty())
        .map(str::to_owned);
    row.text("place").clone_into(&mut movement.place);
    row.text("to_place").clone_into(&mut movement.to_place);
    let paid = match paid {
        Some(paid) => Some(paid?),
        None => None,
    };
    let of = Some(row.text("of"))
        .filter(|key| !key.is_empty())
        .map(str::to_owned);
    if !is_believable(row, &movement, of.as_deref()) {
        return None;
    }
    let item = item?;
    let lines = paid_lines(row, &movement, &item, paid, context)?;
    Some(Told {
        row: row.number,
        key: row.text("id").to_owned(),
        of,
        reference: row.text("reference").to_owned(),
        counted_by: row.text("counted_by").to_owned(),
        many: in_units(movement.quantity.value(), &item),
        item_name: item.name,
        is_there: paid == Some(None),
        lines,
        movement,
        note: note?,
    })
}

/// How many in the item's own unit, where `unit` names a pack of it.
fn quantity(
    row: &mut Row<'_, '_>,
    item: Option<&Item>,
    kind: Option<MovementKind>,
) -> Option<Quantity> {
    if kind.is_some_and(MovementKind::is_of_value_only) {
        if row
            .quantity("quantity")
            .is_some_and(|many| !many.value().is_zero())
        {
            row.fault(
                "quantity",
                "must be empty or nothing: only the value changes",
            );
            return None;
        }
        return Some(Quantity::default());
    }
    let many = row.value::<Quantity>("quantity")?;
    if many.value().is_sign_negative() && !many.value().is_zero() {
        row.fault(
            "quantity",
            "must not be below zero: the kind says whether it comes or goes",
        );
        return None;
    }
    if many.value().is_zero() && kind.is_some_and(|kind| kind != MovementKind::Count) {
        row.fault("quantity", "must be above zero");
        return None;
    }
    in_own_unit(row, item?, many)
}

/// So many of the row's `unit` in the item's own.
pub(super) fn in_own_unit(row: &mut Row<'_, '_>, item: &Item, many: Quantity) -> Option<Quantity> {
    match item.in_own_unit(many, row.text("unit")) {
        Ok(own) => Some(own),
        Err(error) => {
            row.fault("unit", error.to_string());
            None
        }
    }
}

fn abnormal(
    row: &mut Row<'_, '_>,
    item: Option<&Item>,
    kind: Option<MovementKind>,
) -> Option<Quantity> {
    if !row.has("abnormal") {
        return Some(Quantity::default());
    }
    if kind.is_some_and(|kind| kind != MovementKind::Make) {
        row.fault("abnormal", "belongs to a row of kind make only");
        return None;
    }
    let many = row.quantity("abnormal")?;
    if many.value().is_sign_negative() && !many.value().is_zero() {
        row.fault("abnormal", "must not be below zero");
        return None;
    }
    in_own_unit(row, item?, many)
}

/// What a row says beside the batch it makes.
fn note(
    row: &mut Row<'_, '_>,
    item: Option<&Item>,
    kind: Option<MovementKind>,
) -> Option<BatchNote> {
    let mut is_wrong = false;
    for column in ["own_minutes", "spoiled", "spoiled_why"] {
        if row.has(column) && kind.is_some_and(|kind| kind != MovementKind::Make) {
            row.fault(column, "belongs to a row of kind make only");
            is_wrong = true;
        }
    }
    let own_minutes = row.has("own_minutes").then(|| row.quantity("own_minutes"));
    let spoiled = row.has("spoiled").then(|| row.quantity("spoiled"));
    if is_wrong {
        return None;
    }
    let mut note = BatchNote {
        spoiled_why: row.text("spoiled_why").to_owned(),
        ..BatchNote::default()
    };
    if let Some(minutes) = own_minutes {
        note.own_minutes = Some(minutes?);
    }
    if let Some(spoiled) = spoiled {
        note.spoiled = Some(in_own_unit(row, item?, spoiled?)?);
    }
    if let Err(error) = note.check() {
        let column = match error {
            BatchNoteError::Minutes => "own_minutes",
            BatchNoteError::Spoiled => "spoiled",
        };
        row.fault(column, error.to_string());
        return None;
    }
    Some(note)
}

/// Where the money came from; nothing for `none`, when the cost is in the ledger already.
fn paid_from(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Option<Payment>> {
    if row.text("paid_from") == "none" {
        return Some(None);
    }
    payment(row, "paid_from", context).map(Some)
}

/// Whether the cells of a row go together.
fn is_believable(row: &mut Row<'_, '_>, movement: &Movement, of: Option<&str>) -> bool {
    let kind = movement.kind;
    let takes_cost = matches!(
        kind,
        MovementKind::Receive
            | MovementKind::Make
            | MovementKind::LaterCost
            | MovementKind::LaterCredit
            | MovementKind::WriteDown
    );
    if !takes_cost && !movement.value.is_zero() {
        row.fault(
            "total_cost",
            format!("is worked out for a row of kind {kind}; leave it empty"),
        );
        return false;
    }
    if kind == MovementKind::Carry && movement.place == movement.to_place {
        row.fault("to_place", MovementError::SamePlace.to_string());
        return false;
    }
    if kind != MovementKind::Carry && !movement.to_place.is_empty() {
        row.fault("to_place", "belongs to a row of kind carry only");
        return false;
    }
    if kind != MovementKind::Count && row.has("counted_by") {
        row.fault("counted_by", "belongs to a row of kind count only");
        return false;
    }
    if kind == MovementKind::Make && movement.batch.is_none() {
        row.fault("batch", MovementError::NoBatch.to_string());
        return false;
    }
    match (kind, of) {
        (MovementKind::LaterCost | MovementKind::LaterCredit, None) => {
            row.fault("of", MovementError::NoArrival.to_string());
            false
        }
        (MovementKind::LaterCost | MovementKind::LaterCredit | MovementKind::Return, _)
        | (_, None) => true,
        (_, Some(_)) => {
            row.fault(
                "of",
                "belongs to a row of kind return, later-cost or later-credit only",
            );
            false
        }
    }
}

/// The lines of what was paid: the stock line of what came comes with its movement, outside work goes onto part-made
/// pieces.
fn paid_lines(
    row: &mut Row<'_, '_>,
    movement: &Movement,
    item: &Item,
    paid: Option<Option<Payment>>,
    context: Context<'_>,
) -> Option<Vec<Line>> {
    let takes_payment = matches!(
        movement.kind,
        MovementKind::Receive
            | MovementKind::Make
            | MovementKind::LaterCost
            | MovementKind::LaterCredit
    );
    let amount = movement.value;
    if !takes_payment {
        row.refuse(
            "paid_from",
            "belongs to rows of kind receive, make, later-cost and later-credit only",
        );
        return (!row.has("paid_from")).then(Vec::new);
    }
    if amount.is_zero() {
        return Some(Vec::new());
    }
    let Some(paid) = paid else {
        let what = match movement.kind {
            MovementKind::Make => "say who paid for the outside work: an account, or owner",
            MovementKind::LaterCredit => "say where the money went: an account",
            _ => {
                "say where the money came from: an account, owner, or none when its cost stands on the stock account \
                 already"
            }
        };
        row.fault("paid_from", what);
        return None;
    };
    match lines_of(movement, item, amount, paid, context.chart) {
        Ok(lines) => Some(lines),
        Err(error) => {
            row.happening_fault(&error, context.currency);
            None
        }
    }
}

fn lines_of(
    movement: &Movement,
    item: &Item,
    amount: Money,
    paid: Option<Payment>,
    chart: &Chart,
) -> Result<Vec<Line>, HappeningError> {
    let stock = chart.role(stock_role(item.kind))?;
    let from = match (paid, movement.kind) {
        // What lies on the stock account without an item becomes this item's.
        (None, MovementKind::Receive) => stock,
        (None, _) => {
            return Err(HappeningError::field(
                "paid_from",
                "none is for what came in before; say an account, or owner",
            ));
        }
        (Some(paid), _) => paid.account(chart)?,
    };
    let mut lines = vec![if movement.kind == MovementKind::LaterCredit {
        Line::debit(from, amount)
    } else {
        Line::credit(from, amount)
    }];
    if movement.kind == MovementKind::Make {
        let mut line = Line::debit(chart.role(Role::PartMade)?, amount).memo("Outside work");
        line.item = Some(item.code.clone());
        lines.insert(0, line);
    }
    Ok(lines)
}

/// A movement as a written-out book gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptMovement {
    /// Its row.
    pub row: u64,
    /// The movement with its number.
    pub movement: Movement,
    /// The entry that made it; none when it posted nothing.
    pub entry: Option<EntryNumber>,
    /// The number on the paper.
    pub reference: String,
    /// Whether it was taken back.
    pub is_void: bool,
    /// What was posted of it: in which entry, on which side, how much.
    pub postings: Vec<(EntryNumber, Side, Money)>,
    /// What is told beside the batch it made.
    pub note: BatchNote,
}

/// Reads the movements of a written-out book, which were posted there already.
///
/// # Errors
/// Every cell that cannot be.
pub fn kept_movements(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<KeptMovement>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let id = row.count("id", 1);
        let date = row.date("date");
        let item = items.needed(row, "item").map(|item| item.code.clone());
        let kind = row.value::<MovementKind>("kind");
        let quantity = row.value::<Quantity>("quantity");
        let value = row.part("total_cost");
        let abnormal = row.value_or("abnormal", Quantity::default());
        let entry = row.has("entry").then(|| row.count("entry", 1));
        let of = row.has("of").then(|| row.count("of", 1));
        let is_void = row.yes_no("taken_back", false);
        let note = written_note(row);
        let postings = postings(row, context);
        let mut movement = Movement::new(MovementId(id?.into()), date?, item?, kind?, quantity?);
        movement.value = value?;
        movement.abnormal = abnormal?;
        movement.batch = Some(row.text("batch"))
            .filter(|batch| !batch.is_empty())
            .map(str::to_owned);
        row.text("place").clone_into(&mut movement.place);
        row.text("to_place").clone_into(&mut movement.to_place);
        movement.of = match of {
            Some(of) => Some(MovementId(of?.into())),
            None => None,
        };
        Some(KeptMovement {
            row: row.number,
            movement,
            entry: match entry {
                Some(entry) => Some(EntryNumber(entry?.into())),
                None => None,
            },
            reference: row.text("reference").to_owned(),
            is_void: is_void?,
            postings: postings?,
            note: note?,
        })
    })
}

/// What a written-out book tells beside a batch.
fn written_note(row: &mut Row<'_, '_>) -> Option<BatchNote> {
    let own_minutes = row.may_value("own_minutes");
    let spoiled = row.may_value("spoiled");
    let note = BatchNote {
        own_minutes,
        spoiled,
        spoiled_why: row.text("spoiled_why").to_owned(),
    };
    if let Err(error) = note.check() {
        row.row_fault(error.to_string());
        return None;
    }
    Some(note)
}

/// Postings as `12 stock -10.00;14 loss 0.50`.
fn postings(
    row: &mut Row<'_, '_>,
    context: Context<'_>,
) -> Option<Vec<(EntryNumber, Side, Money)>> {
    let mut list = Vec::new();
    for text in row.text("posted").split(';').map(str::trim) {
        if text.is_empty() {
            continue;
        }
        let mut words = text.split(' ');
        let posting = (|| {
            let entry = words.next()?.parse().ok().map(EntryNumber)?;
            let side = words.next()?.parse().ok()?;
            let amount = context.currency.parse_plain(words.next()?).ok()?;
            words.next().is_none().then_some((entry, side, amount))
        })();
        let Some(posting) = posting else {
            row.fault(
                "posted",
                format!(
                    "'{text}' is not a posting; write entry, side and amount, as 12 stock -10.00"
                ),
            );
            return None;
        };
        list.push(posting);
    }
    Some(list)
}
