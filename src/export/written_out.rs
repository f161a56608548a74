//! A whole book as plain sheets and receipts, in the layouts that `bring` reads, so that nothing is locked in.
//! Reading them back is `import` and the verb `bring … written-out`.

use std::path::Path;

use super::folder::{FolderDraft, WrittenFile, file_name};
use super::{
    ExportError, csv_bytes, csv_writer, written_desk, written_log, written_orders, written_shops,
    written_statements,
};
use crate::book::{Book, PRACTICE_OF};
use crate::happenings::{Payment, Proof, ProofState};
use crate::import::{Layout, layouts};
use crate::ledger::{AccountId, Line, PostedEntry, Role};
use crate::money::{Money, Quantity};
use crate::plan::{How, show_month};

/// Writes every sheet and receipt of a book into a folder that is not there yet or is empty.
///
/// # Errors
/// When the folder has something in it, the system refuses, or the book cannot be read.
pub fn write_out(book: &Book, folder: &Path) -> Result<Vec<WrittenFile>, ExportError> {
    let mut draft = FolderDraft::begin(folder)?;
    for (layout, rows) in [
        (&layouts::SETTINGS, settings(book)),
        (&layouts::ACCOUNTS, accounts(book)),
        (&layouts::ITEMS, items(book)?),
        (&layouts::RECIPES, recipes(book)?),
        (&layouts::BUNDLES, bundles(book)?),
        (&layouts::ENTRIES, entries(book)?),
        (&layouts::MOVEMENTS, movements(book)?),
        (&layouts::EQUIPMENT, equipment(book)?),
        (&layouts::EQUIPMENT_CHANGES, equipment_changes(book)?),
        (&layouts::RECURRING, recurring(book)?),
        (&layouts::HOLDS, holds(book)?),
        (&layouts::REPORTED_GROSS, reported_gross(book)?),
        (&layouts::REMEMBERED, remembered(book)?),
        (&layouts::PLAN, plan(book)?),
        (&layouts::PLAN_MONEY, plan_money(book)?),
        (&layouts::PLAN_PURCHASES, plan_purchases(book)?),
        (&layouts::START_UP_MARKS, start_up_marks(book)?),
        (
            &layouts::SUPPLIER_ORDERS,
            written_orders::supplier_orders(book)?,
        ),
        (
            &layouts::SUPPLIER_ARRIVALS,
            written_orders::supplier_arrivals(book)?,
        ),
        (
            &layouts::SUPPLIER_CLAIMS,
            written_orders::supplier_claims(book)?,
        ),
        (&layouts::COMPARISONS, super::comparisons::rows(book)?),
        (&layouts::STATEMENT_FILES, written_statements::files(book)?),
        (&layouts::STATEMENT_LINES, written_statements::lines(book)?),
        (&layouts::SORTING_RULES, written_statements::rules(book)?),
        (
            &layouts::SORTING_CHOICES,
            written_statements::choices(book)?,
        ),
        (
            &layouts::RECONCILIATIONS,
            written_statements::reconciliations(book)?,
        ),
        (&layouts::FILE_LAYOUTS, written_shops::file_layouts(book)?),
        (&layouts::SHOP_ITEMS, written_shops::shop_items(book)?),
        (&layouts::SHOP_RECORDS, written_shops::shop_records(book)?),
        (&layouts::QUESTIONS, written_desk::questions(book)?),
        (&layouts::DUTIES, written_desk::duties(book)?),
        (&layouts::DECISIONS, written_desk::decisions(book)?),
        (&layouts::HOURS, written_desk::hours(book)?),
        (&layouts::MILEAGE, written_log::trips(book)?),
        (&layouts::ODOMETER, written_log::readings(book)?),
        (&layouts::WORKSPACES, written_log::spaces(book)?),
        (&layouts::WORKSPACE_BILLS, written_log::bills(book)?),
        (&layouts::SHARED_BILLS, written_log::shared_bills(book)?),
        (&layouts::MATTERS, super::written_matters::rows(book)?),
    ] {
        let bytes = sheet(layout, rows)?;
        draft.file(&format!("{}.csv", layout.kind), &bytes)?;
    }
    let done = written_desk::duties_done(book, &mut draft)?;
    let papers = written_desk::papers(book, &mut draft)?;
    for (layout, rows) in [(&layouts::DUTIES_DONE, done), (&layouts::PAPERS, papers)] {
        let bytes = sheet(layout, rows)?;
        draft.file(&format!("{}.csv", layout.kind), &bytes)?;
    }
    let receipts = receipts(book, &mut draft)?;
    let bytes = sheet(&layouts::RECEIPTS, receipts)?;
    draft.file("receipts.csv", &bytes)?;
    draft.finish()
}

fn sheet(layout: &Layout, rows: Vec<Vec<String>>) -> Result<Vec<u8>, ExportError> {
    let mut writer = csv_writer();
    writer.write_record(layout.headers())?;
    for row in rows {
        writer.write_record(row)?;
    }
    Ok(csv_bytes(writer)?)
}

/// A yes or a no as sheets say it.
pub(super) fn yes_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

fn settings(book: &Book) -> Vec<Vec<String>> {
    let mut rows: Vec<Vec<String>> = book
        .settings()
        .all()
        .into_iter()
        .filter(|(setting, _value)| book.settings().is_set(setting.key))
        .map(|(setting, value)| vec![setting.key.to_owned(), value.unwrap_or_default().to_owned()])
        .collect();
    let further = book.settings().further_answers();
    rows.extend(further.map(|(key, value)| vec![key.to_owned(), value.to_owned()]));
    if let Some(of) = book.settings().get(PRACTICE_OF) {
        rows.push(vec![PRACTICE_OF.to_owned(), of.to_owned()]);
    }
    if let Some(lock) = book.lock_date() {
        rows.push(vec!["lock_date".to_owned(), lock.to_string()]);
    }
    rows
}

fn accounts(book: &Book) -> Vec<Vec<String>> {
    book.chart()
        .accounts()
        .into_iter()
        .map(|account| {
            vec![
                account.number.clone(),
                account.name.clone(),
                account.class.as_str().to_owned(),
                account.group.clone(),
                yes_no(account.is_contra),
                account.form_line.clone().unwrap_or_default(),
                yes_no(account.is_active),
                account
                    .role
                    .map(Role::as_str)
                    .unwrap_or_default()
                    .to_owned(),
            ]
        })
        .collect()
}

fn items(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.items()?.into_iter().map(|item| {
        let packs: Vec<String> = item
            .packs
            .iter()
            .map(|pack| format!("{}={}", pack.name, pack.holds))
            .collect();
        vec![
            item.code,
            item.name,
            item.kind.as_str().to_owned(),
            item.unit.to_string(),
            item.reorder_point
                .map(|point| point.to_string())
                .unwrap_or_default(),
            item.price
                .map(|price| book.currency().plain(price))
                .unwrap_or_default(),
            packs.join(";"),
            item.shelf,
            yes_no(item.is_active),
        ]
    });
    Ok(rows.collect())
}

fn recipes(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for recipe in book.recipes()? {
        for input in &recipe.inputs {
            rows.push(vec![
                recipe.item.clone(),
                recipe.batch_quantity.to_string(),
                input.item.clone(),
                input.quantity.to_string(),
                recipe.own_minutes.to_string(),
                recipe.normal_waste.to_string(),
                book.currency().plain(recipe.outside),
            ]);
        }
    }
    Ok(rows)
}

fn bundles(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for bundle in book.bundles()? {
        for part in &bundle.parts {
            let price = bundle.price.map(|price| book.currency().plain(price));
            rows.push(vec![
                bundle.code.clone(),
                bundle.name.clone(),
                price.unwrap_or_default(),
                part.item.clone(),
                part.quantity.to_string(),
                yes_no(bundle.is_active),
            ]);
        }
    }
    Ok(rows)
}

/// Every movement with the entry that made it and what was posted of it, so that it can be put back as it was.
fn movements(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let number = |number: Option<u64>| number.map(|number| number.to_string()).unwrap_or_default();
    let notes = book.batch_notes()?;
    let rows = book.kept_movements()?.into_iter().map(|stored| {
        let movement = stored.movement;
        let note = notes.get(&movement.id.0).cloned().unwrap_or_default();
        let told = |quantity: Option<Quantity>| {
            quantity
                .map(|quantity| quantity.to_string())
                .unwrap_or_default()
        };
        let posted: Vec<String> = stored
            .postings
            .iter()
            .map(|(entry, side, amount)| {
                format!(
                    "{entry} {} {}",
                    side.as_str(),
                    book.currency().plain(*amount)
                )
            })
            .collect();
        vec![
            movement.date.to_string(),
            movement.item,
            movement.kind.as_str().to_owned(),
            movement.quantity.to_string(),
            book.currency().plain(movement.value),
            String::new(),
            movement.batch.unwrap_or_default(),
            stored.reference,
            String::new(),
            movement.place,
            movement.to_place,
            movement.abnormal.to_string(),
            told(note.own_minutes),
            told(note.spoiled),
            note.spoiled_why,
            // Stands in the entry that the count made.
            String::new(),
            number(movement.of.map(|of| of.0)),
            movement.id.to_string(),
            number(stored.entry.map(|entry| entry.0)),
            posted.join(";"),
            if stored.is_void {
                yes_no(true)
            } else {
                String::new()
            },
        ]
    });
    Ok(rows.collect())
}

fn entries(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    book.for_each_entry(|posted| {
        let proof = book.proof(posted.number)?;
        for line in posted.entry.lines() {
            rows.push(entry_row(book, &posted, &proof, line));
        }
        Ok::<(), ExportError>(())
    })?;
    Ok(rows)
}

fn entry_row(book: &Book, posted: &PostedEntry, proof: &Proof, line: &Line) -> Vec<String> {
    let header = &posted.entry.header;
    let side = |amount: Money| {
        if amount.is_zero() {
            String::new()
        } else {
            book.currency().plain(amount)
        }
    };
    vec![
        posted.number.to_string(),
        header.date.to_string(),
        number(book, line.account),
        side(line.debit_amount()),
        side(line.credit_amount()),
        header.kind.as_str().to_owned(),
        header.party.clone(),
        header.memo.clone(),
        header.reference.clone(),
        line.memo.clone(),
        header.document.clone(),
        line.equipment.clone().unwrap_or_default(),
        line.item.clone().unwrap_or_default(),
        line.quantity
            .map(|quantity| quantity.to_string())
            .unwrap_or_default(),
        header.origin.to_string(),
        header.tags.join(";"),
        side(header.tax_by_channel),
        if proof.state == ProofState::NotNeeded {
            String::new()
        } else {
            proof.state.as_str().to_owned()
        },
        proof.stands_in.clone(),
        proof.purpose.clone(),
        posted
            .reverses
            .map(|number| number.to_string())
            .unwrap_or_default(),
    ]
}

pub(super) fn number(book: &Book, account: AccountId) -> String {
    book.chart()
        .account(account)
        .map(|account| account.number.clone())
        .unwrap_or_default()
}

fn equipment(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let plain = |amount| book.currency().plain(amount);
    let rows = book.equipment()?.into_iter().map(|piece| {
        let (disposed_on, proceeds) = piece.disposal.as_ref().map_or_else(
            || (String::new(), String::new()),
            |end| (end.on.to_string(), plain(end.proceeds)),
        );
        vec![
            piece.name,
            piece.bought_on.to_string(),
            piece.in_service_on.to_string(),
            plain(piece.cost),
            piece.life_months.to_string(),
            // The entries that bought it and let it go are in the sheet of entries.
            "none".to_owned(),
            plain(piece.residual),
            piece.business_share.to_string(),
            piece.convention.as_str().to_owned(),
            piece.condition.as_str().to_owned(),
            piece.supplier,
            piece.serial,
            disposed_on,
            proceeds,
            String::new(),
            piece.key,
            piece.location,
            plain(piece.tax_part),
            plain(piece.delivery_part),
            plain(piece.charged_before),
            piece
                .purchase_entry
                .map(|number| number.to_string())
                .unwrap_or_default(),
        ]
    });
    Ok(rows.collect())
}

fn equipment_changes(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for piece in book.equipment()? {
        for change in piece.changes {
            rows.push(vec![
                piece.key.clone(),
                change.from.to_string(),
                change.life_months.to_string(),
                book.currency().plain(change.residual),
                change.business_share.to_string(),
                change.reason,
            ]);
        }
    }
    Ok(rows)
}

fn recurring(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let of_role = |role| {
        book.chart()
            .role(role)
            .map(|id| number(book, id))
            .unwrap_or_default()
    };
    let rows = book.recurring()?.into_iter().map(|one| {
        let paid_from = match one.paid_from {
            Payment::Account(id) => number(book, id),
            Payment::OwnPocketPutIn => "owner".to_owned(),
            Payment::OwnPocketOwedBack => of_role(Role::OwedToOwner),
            Payment::OnBill => of_role(Role::BillsToPay),
        };
        vec![
            one.name,
            one.party,
            number(book, one.account),
            paid_from,
            book.currency().plain(one.amount),
            one.every_months.to_string(),
            one.next_due.to_string(),
            one.business_share.to_string(),
            one.day.to_string(),
            one.note,
            yes_no(one.is_active),
        ]
    });
    Ok(rows.collect())
}

fn holds(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let day = |day: Option<chrono::NaiveDate>| day.map(|day| day.to_string()).unwrap_or_default();
    let rows = book.holds()?.into_iter().map(|hold| {
        vec![
            number(book, hold.channel),
            book.currency().plain(hold.amount),
            hold.since.to_string(),
            day(hold.until),
            day(hold.released),
            hold.memo,
        ]
    });
    Ok(rows.collect())
}

fn reported_gross(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book
        .shop_reports()?
        .into_iter()
        .map(|(channel, year, report)| {
            vec![
                number(book, channel),
                year.to_string(),
                book.currency().plain(report.amount),
                report.name_right.map(yes_no).unwrap_or_default(),
                report.note,
            ]
        });
    let mut rows: Vec<Vec<String>> = rows.collect();
    rows.sort_by(|one, other| (&one[1], &one[0]).cmp(&(&other[1], &other[0])));
    Ok(rows)
}

fn remembered(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book
        .remembered_kinds()?
        .into_iter()
        .map(|kind| vec![kind.supplier, kind.thing, number(book, kind.account)]);
    Ok(rows.collect())
}

fn plan(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let plain = |amount| book.currency().plain(amount);
    let rows = book.plan()?.lines.into_iter().map(|line| {
        vec![
            line.name,
            line.kind.as_str().to_owned(),
            plain(line.cost.likely),
            plain(line.cost.low),
            plain(line.cost.high),
            line.need.as_str().to_owned(),
            line.month.map(show_month).unwrap_or_default(),
            line.alternative_of.unwrap_or_default(),
            yes_no(line.is_chosen),
            line.how.map(How::as_str).unwrap_or_default().to_owned(),
            line.note,
        ]
    });
    Ok(rows.collect())
}

fn plan_money(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.plan()?.money.into_iter().map(|money| {
        vec![
            book.currency().plain(money.amount),
            money.month.map(show_month).unwrap_or_default(),
            money.note,
        ]
    });
    Ok(rows.collect())
}

fn plan_purchases(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book
        .plan_purchases()?
        .into_iter()
        .map(|link| vec![link.line, format!("#{}", link.entry), link.what]);
    Ok(rows.collect())
}

fn start_up_marks(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book
        .start_up_marks()?
        .into_iter()
        .map(|(account, group)| vec![number(book, account), group.as_str().to_owned()]);
    Ok(rows.collect())
}

fn receipts(book: &Book, draft: &mut FolderDraft) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for (idx, (entry, receipt)) in book.all_receipts()?.into_iter().enumerate() {
        let file = receipt_file(entry.0, idx, &receipt.name);
        draft.file(&file, &book.receipt_bytes(&receipt.id)?)?;
        rows.push(vec![format!("#{entry}"), file, receipt.name]);
    }
    Ok(rows)
}

/// The name of a receipt's file: by entry, then by its place among all, so that no two share one.
pub(super) fn receipt_file(entry: u64, place: usize, name: &str) -> String {
    format!("receipts/{entry:05}-{place:04}-{}", file_name(name))
}
