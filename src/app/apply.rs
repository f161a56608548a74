//! The only place of the window that writes in the book: one short arm per change.
//! What is written was made by a screen; what is said afterwards is said by the window.

mod desk;
mod reconciling;
mod shops;
pub(super) mod sorting;

use super::action::{OrderingWrite, PlanPart, ReceiptFile, Write};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;

/// What became of a change.
pub(super) struct Written {
    /// The entries it wrote.
    pub(super) numbers: Vec<EntryNumber>,
    /// What is said.
    pub(super) words: String,
}

fn said(words: impl Into<String>) -> Written {
    Written {
        numbers: Vec::new(),
        words: words.into(),
    }
}

/// Makes one change: all of it or nothing.
pub(super) fn write(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    match write {
        Write::Record {
            recordings,
            receipts,
            done,
        } => record(book, recordings, receipts, done),
        Write::Amend {
            number,
            entry,
            proof,
            receipts,
            reason,
        } => {
            book.group(&format!("Entry {number} amended"), |book| {
                book.amend(*number, entry, reason)?;
                if let Some(proof) = proof {
                    book.set_proof(*number, proof)?;
                }
                attach_all(book, *number, receipts)
            })?;
            Ok(Written {
                numbers: vec![*number],
                words: format!("Entry {number} is changed; the earlier version is kept"),
            })
        }
        Write::Reverse {
            number,
            date,
            reason,
        } => {
            let n_releases = book.releases_of(*number)?.len();
            let by = book.reverse(*number, *date, reason)?;
            let with_it = match n_releases {
                0 => "",
                _ => ", and with it what it paid ahead and was a cost already",
            };
            Ok(Written {
                numbers: vec![by],
                words: format!("Entry {number} is taken back by entry {by}{with_it}"),
            })
        }
        Write::Attach(number, file) => {
            book.attach_receipt(*number, &file.name, &file.bytes)?;
            Ok(said(format!("{} is kept with entry {number}", file.name)))
        }
        Write::Detach(number, receipt) => {
            book.detach(*number, receipt)?;
            Ok(said(format!("The receipt is taken off entry {number}")))
        }
        Write::SetProof(number, proof) => {
            book.set_proof(*number, proof)?;
            Ok(said(format!("What stands behind entry {number} is kept")))
        }
        Write::SetSettings(changes) => {
            book.set_settings(changes)?;
            Ok(said("The settings are kept"))
        }
        Write::AddAccount(_)
        | Write::UpdateAccount(_)
        | Write::RetireAccount(_)
        | Write::OpenChannel(_)
        | Write::Reclassify { .. } => change_accounts(book, write),
        Write::UpdateEquipment(_) | Write::ChangeTerms(..) | Write::Dispose { .. } => {
            change_equipment(book, write)
        }
        Write::Lock(_)
        | Write::Unlock(_)
        | Write::CloseYear(_)
        | Write::Reopen(_)
        | Write::FinishMonth(_)
        | Write::OpenMonthAgain(_) => change_years(book, write),
        Write::AddHold {
            channel,
            amount,
            since,
            until,
            memo,
        } => {
            book.add_hold(*channel, *amount, *since, *until, memo)?;
            Ok(said("What the shop holds is kept"))
        }
        Write::ReportedGross { year, changes } => {
            book.group(&format!("What the shops report for {year}"), |book| {
                changes.iter().try_for_each(|(channel, report)| {
                    book.set_shop_report(*channel, *year, report.as_ref())
                })
            })?;
            Ok(said(format!("What the shops report for {year} is kept")))
        }
        Write::ReleaseHold(id, on) => {
            book.release_hold(*id, *on)?;
            Ok(said("No longer held"))
        }
        Write::AddRecurring(_)
        | Write::UpdateRecurring(_)
        | Write::SkipRecurring(_)
        | Write::ConfirmRecurring(..) => change_recurring(book, write),
        Write::PutItem(_)
        | Write::PutRecipe(_)
        | Write::PutBundle(_)
        | Write::MoveStock(_)
        | Write::KeepComparison(_)
        | Write::RemoveComparison(_) => change_stock(book, write),
        Write::Tell(told) => {
            let number = book.tell(told)?;
            Ok(Written {
                numbers: number.into_iter().collect(),
                words: format!("Written down: {}", told.label),
            })
        }
        Write::RemoveStep(id, reason) => {
            book.remove_step(*id, reason)?;
            Ok(said("The step is taken out"))
        }
        Write::KeepPlanLine(_)
        | Write::RemovePlanLine(_)
        | Write::AddPlanMoney(_)
        | Write::RemovePlanMoney(_)
        | Write::LinkPlan(..)
        | Write::UnlinkPlan(_)
        | Write::MarkStartUp(..)
        | Write::ForPlan(..) => change_plan(book, write),
        Write::Ordering(ordering) => change_orders(book, ordering),
        Write::Desk(write) => desk::change(book, write),
        Write::Reconciling(write) => reconciling::change(book, write),
        Write::Sorting(sorting) => sorting::change(book, sorting),
        Write::ShopFile(file) => shops::bring(book, file),
        Write::FromLine(line, inner) => sorting::write_from_line(book, *line, inner),
        Write::Keep(_) | Write::ThrowAway(_) | Write::FromKept(..) => change_kept(book, write),
    }
}

fn change_stock(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    match write {
        Write::PutItem(item) => {
            book.put_item(item)?;
            Ok(said(format!("{} is kept in stock", item.name)))
        }
        Write::PutRecipe(recipe) => {
            book.put_recipe(recipe)?;
            let name = book
                .item(&recipe.item)?
                .map_or_else(|| recipe.item.clone(), |item| item.name);
            Ok(said(format!("The recipe of {name} is kept")))
        }
        Write::PutBundle(bundle) => {
            book.put_bundle(bundle)?;
            Ok(said(format!("The set {} is kept", bundle.name)))
        }
        Write::KeepComparison(comparison) => {
            book.keep_comparison(comparison)?;
            Ok(said(format!(
                "The comparison {} is kept",
                comparison.name.trim()
            )))
        }
        Write::RemoveComparison(id) => {
            book.remove_comparison(*id)?;
            Ok(said("The comparison is removed"))
        }
        Write::MoveStock(moved) => Ok(Written {
            numbers: book
                .make_batch(&moved.header, &moved.lines, &moved.movements, &moved.note)?
                .into_iter()
                .collect(),
            words: moved.done.clone(),
        }),
        _ => Ok(said("")),
    }
}

fn record(
    book: &mut Book,
    recordings: &[crate::happenings::Recording],
    receipts: &[ReceiptFile],
    done: &str,
) -> Result<Written, BookError> {
    let numbers = book.group(done, |book| {
        let numbers = book.record_all(recordings)?;
        if let Some(first) = numbers.first() {
            attach_all(book, *first, receipts)?;
        }
        Ok::<_, BookError>(numbers)
    })?;
    Ok(Written {
        numbers,
        words: done.to_owned(),
    })
}

fn attach_all(
    book: &mut Book,
    number: EntryNumber,
    receipts: &[ReceiptFile],
) -> Result<(), BookError> {
    for file in receipts {
        book.attach_receipt(number, &file.name, &file.bytes)?;
    }
    Ok(())
}

fn change_accounts(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    let words = match write {
        Write::AddAccount(new) => {
            let id = book.add_account(new)?;
            format!("{} is open", book.chart().title(id))
        }
        Write::UpdateAccount(account) => {
            book.update_account(account)?;
            format!("{} is changed", account.title())
        }
        Write::RetireAccount(id) => {
            book.retire_account(*id)?;
            format!("{} is no longer offered", book.chart().title(*id))
        }
        Write::OpenChannel(name) => {
            let id = book.open_channel(name)?;
            format!("{} is open", book.chart().title(id))
        }
        Write::Reclassify {
            from,
            to,
            filter,
            reason,
        } => {
            book.reclassify(*from, *to, filter, reason)?;
            let chart = book.chart();
            format!("Moved from {} to {}", chart.title(*from), chart.title(*to))
        }
        _ => String::new(),
    };
    Ok(said(words))
}

fn change_equipment(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    match write {
        Write::UpdateEquipment(piece) => {
            book.update_equipment(piece)?;
            Ok(said(format!("{} is changed", piece.name)))
        }
        Write::ChangeTerms(key, change) => {
            book.change_terms(key, change)?;
            Ok(said(format!("The new terms hold from {}", change.from)))
        }
        Write::Dispose {
            key,
            disposal,
            recordings,
        } => Ok(Written {
            numbers: book.dispose(key, disposal, recordings)?,
            words: "It has left the register".to_owned(),
        }),
        _ => Ok(said("")),
    }
}

fn change_years(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    match write {
        Write::Lock(date) => {
            book.lock_through(*date)?;
            Ok(said(format!("Nothing changes any more up to {date}")))
        }
        Write::FinishMonth(month) => {
            book.finish_month(*month)?;
            Ok(said(format!("{month} is finished; nothing is locked")))
        }
        Write::OpenMonthAgain(month) => {
            book.open_month_again(*month)?;
            Ok(said(format!("{month} is open again")))
        }
        Write::Unlock(reason) => {
            book.unlock(reason)?;
            Ok(said("Unlocked; the reason is kept"))
        }
        Write::CloseYear(year) => {
            let number = book.close_year(*year)?;
            Ok(Written {
                numbers: number.into_iter().collect(),
                words: format!("The year {year} is closed"),
            })
        }
        Write::Reopen(reason) => {
            book.reopen(reason)?;
            Ok(said("Reopened; the reason is kept"))
        }
        _ => Ok(said("")),
    }
}

fn change_recurring(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    match write {
        Write::AddRecurring(recurring) => {
            book.add_recurring(recurring)?;
            Ok(said(format!("{} is remembered", recurring.name)))
        }
        Write::UpdateRecurring(recurring) => {
            book.update_recurring(recurring)?;
            Ok(said(format!("{} is changed", recurring.name)))
        }
        Write::SkipRecurring(id) => {
            let next = book.skip_recurring(*id)?;
            Ok(said(format!("Left out; next due {next}")))
        }
        Write::ConfirmRecurring(id, recording) => {
            let number = book.confirm_recurring(*id, recording)?;
            Ok(Written {
                numbers: vec![number],
                words: format!("Written down as entry {number}"),
            })
        }
        _ => Ok(said("")),
    }
}

fn change_plan(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    let words = match write {
        Write::KeepPlanLine(line) => {
            book.keep_plan_line(line)?;
            format!("{} is in the plan", line.name)
        }
        Write::RemovePlanLine(id) => {
            book.remove_plan_line(*id)?;
            "Taken off the plan".to_owned()
        }
        Write::AddPlanMoney(money) => {
            book.add_plan_money(money)?;
            "The money is in the plan".to_owned()
        }
        Write::RemovePlanMoney(id) => {
            book.remove_plan_money(*id)?;
            "The money is taken off the plan".to_owned()
        }
        Write::LinkPlan(number, part) => {
            book.link_plan(part.line, *number, &part.what)?;
            format!("Entry {number} stands against the plan")
        }
        Write::UnlinkPlan(link) => {
            book.unlink_plan(*link)?;
            "It belongs to no line of the plan any more; the purchase stays".to_owned()
        }
        Write::MarkStartUp(account, group) => {
            book.mark_start_up(*account, *group)?;
            let title = book.chart().title(*account);
            match group {
                Some(group) => format!("{title} counts as {}", group.heading()),
                None => format!("{title} counts in its own group again"),
            }
        }
        Write::ForPlan(parts, inner) => return write_for_plan(book, parts, inner),
        _ => String::new(),
    };
    Ok(said(words))
}

/// Writes a purchase down and holds it against the plan. A part that the plan cannot take, because its line is gone or
/// nothing of it is the business's cost, is no reason to refuse the purchase.
fn write_for_plan(
    book: &mut Book,
    parts: &[PlanPart],
    inner: &Write,
) -> Result<Written, BookError> {
    book.group(name_of(inner), |book| {
        let mut written = self::write(book, inner)?;
        let Some(number) = written.numbers.first().copied() else {
            return Ok(written);
        };
        let mut is_left_out = false;
        for part in parts {
            match book.link_plan(part.line, number, &part.what) {
                Ok(()) => {}
                Err(BookError::Refused(_) | BookError::NoSuch { .. }) => is_left_out = true,
                Err(error) => return Err(error),
            }
        }
        written.words.push_str(if is_left_out {
            "; not all of it could stand against the plan"
        } else {
            "; it stands against the plan"
        });
        Ok(written)
    })
}

fn change_orders(book: &mut Book, write: &OrderingWrite) -> Result<Written, BookError> {
    let words = match write {
        OrderingWrite::Keep(order) => {
            book.keep_supplier_order(order)?;
            format!("Order {} is kept", order.key.trim())
        }
        OrderingWrite::Remove(id) => {
            book.remove_supplier_order(*id)?;
            "The order is taken out".to_owned()
        }
        OrderingWrite::Close(id, on) => {
            book.close_supplier_order(*id, *on)?;
            match on {
                Some(_day) => "The order is closed; what did not come is not waited for",
                None => "The order is open again",
            }
            .to_owned()
        }
        OrderingWrite::Arrive {
            order,
            arrival,
            recording,
            receipts,
        } => {
            let entry = book.group("What arrived", |book| {
                let (_id, entry) = book.record_arrival(*order, arrival, recording.as_ref())?;
                if let Some(number) = entry {
                    attach_all(book, number, receipts)?;
                }
                Ok::<_, BookError>(entry)
            })?;
            return Ok(Written {
                numbers: entry.into_iter().collect(),
                words: match entry {
                    Some(number) => format!("Written down as entry {number}"),
                    None => "What came is in stock; nothing was billed".to_owned(),
                },
            });
        }
        OrderingWrite::Claim(claim) => {
            book.keep_claim(claim)?;
            format!("The claim is {}", claim.state.plain())
        }
        OrderingWrite::RemoveClaim(id) => {
            book.remove_claim(*id)?;
            "The claim is taken out".to_owned()
        }
        OrderingWrite::Credit { claim, recording } => {
            let number = book.credit_claim(*claim, recording)?;
            return Ok(Written {
                numbers: vec![number],
                words: format!("The credit is written down as entry {number}"),
            });
        }
    };
    Ok(said(words))
}

fn change_kept(book: &mut Book, write: &Write) -> Result<Written, BookError> {
    match write {
        Write::Keep(kept) => {
            book.keep_draft(&kept.form, &kept.content, kept.id)?;
            Ok(said(format!("Kept for later: {}", kept.form)))
        }
        Write::ThrowAway(kept) => {
            // Even what was never kept can be had back.
            let id = match kept.id {
                Some(id) => id,
                None => book.keep_draft(&kept.form, &kept.content, None)?,
            };
            book.drop_draft(id)?;
            Ok(said("Thrown away"))
        }
        Write::FromKept(id, inner) => book.group(name_of(inner), |book| {
            let written = self::write(book, inner)?;
            if book.draft(*id)?.is_some() {
                book.drop_draft(*id)?;
            }
            Ok(written)
        }),
        _ => Ok(said("")),
    }
}

/// What undoing calls a form's write.
fn name_of(write: &Write) -> &str {
    match write {
        Write::Record { done, .. } => done,
        Write::Amend { .. } => "Entry amended",
        Write::Reverse { .. } => "Entry taken back",
        Write::ForPlan(_, inner) | Write::FromLine(_, inner) => name_of(inner),
        Write::KeepPlanLine(line) => &line.name,
        Write::AddRecurring(recurring) | Write::UpdateRecurring(recurring) => &recurring.name,
        Write::PutItem(item) => &item.name,
        Write::PutRecipe(recipe) => &recipe.item,
        Write::PutBundle(bundle) => &bundle.name,
        Write::MoveStock(moved) => &moved.done,
        _ => "A form that was kept for later",
    }
}
