//! Lists that only a year's pack has: what the shops and people owe, fees by shop, what left the stock otherwise, the
//! owner's money line by line, proofs and amendments. Statements are `export::tables`'.

use std::collections::BTreeSet;

use crate::book::{Book, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, ExportError, RowStyle, Table, counted, tables};
use crate::happenings::ProofState;
use crate::ledger::{Account, AccountClass, EntryHeader, EntryKind, Line, PostedEntry, Role};
use crate::money::Money;
use crate::reports;
use crate::shared_bills::{SharedBill, that_holds};
use crate::statements::{AccountLedger, ProductMargin};

pub(super) fn span(days: DateRange) -> String {
    format!("{} to {}", show_day(days.from), show_day(days.to))
}

/// Net profit and its parts month by month; one row a month, as a sheet is sorted.
pub(super) fn by_month(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Profit by month", "")
        .column("from", "From")
        .column("to", "To")
        .column("net_sales", "Net sales")
        .column("cost_of_goods_sold", "Cost of goods sold")
        .column("gross_profit", "Gross profit")
        .column("other_income", "Other income")
        .column("costs", "Costs")
        .column("net_profit", "Net profit");
    for month in days.by_month() {
        if month.to < book.first_day() {
            continue;
        }
        let totals = reports::profit(book, month)?.totals;
        table.line(vec![
            month.from.to_string().into(),
            month.to.to_string().into(),
            totals.net_sales.into(),
            totals.cost_of_goods_sold.into(),
            totals.gross_profit.into(),
            totals.other_income.into(),
            totals.costs.into(),
            totals.net_profit.into(),
        ]);
    }
    Ok(table)
}

/// What each product left, and all of them together.
pub(super) fn by_product(margins: &[ProductMargin], days: DateRange) -> Table {
    let mut table = tables::products(margins, days);
    if margins.is_empty() {
        return table;
    }
    let sum = |of: fn(&ProductMargin) -> Money| Cell::from(margins.iter().map(of).sum::<Money>());
    table.push(
        RowStyle::Final,
        vec![
            Cell::Empty,
            "Together".into(),
            Cell::Empty,
            sum(|one| one.income),
            sum(|one| one.fees),
            sum(|one| one.cost),
            sum(ProductMargin::kept),
        ],
    );
    table.note("Sales that name no product are not among them.");
    table
}

/// The debits of entries, closing entries and the mirrors of those taken back apart.
pub(super) fn debits_without_closings(entries: &[PostedEntry]) -> Money {
    let closings: BTreeSet<_> = entries
        .iter()
        .filter(|posted| posted.entry.header.kind == EntryKind::Closing)
        .map(|posted| posted.number)
        .collect();
    entries
        .iter()
        .filter(|posted| {
            let mirrors = posted.reverses.is_some_and(|one| closings.contains(&one));
            !mirrors && !closings.contains(&posted.number)
        })
        .map(|posted| posted.entry.total())
        .sum()
}

/// The ledger of every account that has one, and what its closing balances come to.
pub(super) fn general_ledger(
    book: &Book,
    days: DateRange,
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<(Table, Money), ExportError> {
    let mut ledgers: Vec<(AccountLedger, &Account)> = Vec::new();
    let mut closings = Money::ZERO;
    for account in book.chart().accounts() {
        let ledger = reports::ledger(book, account.id, days)?;
        closings += ledger.closing;
        tell()?;
        if !ledger.lines.is_empty() || !ledger.opening.is_zero() {
            ledgers.push((ledger, account));
        }
    }
    Ok((tables::general_ledger(&ledgers, days), closings))
}

/// What is there on the first day after the year, as a county asks on 1 January.
pub(super) fn things(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let as_of = days.to.succ_opt().unwrap_or(days.to);
    Ok(tables::things_list(&reports::things(book, as_of)?, as_of))
}

/// Entries of the year whose proof is missing or is a stand-in.
pub(super) fn without_receipts(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Entries without a receipt", "")
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("memo", "What")
        .column("amount", book.currency().code())
        .column("state", "Receipt")
        .column("stands_in", "What stands in")
        .column("purpose", "Purpose");
    for state in [ProofState::Missing, ProofState::Substitute] {
        let numbers = book.entry_numbers(&EntryFilter {
            range: Some(days),
            proof: Some(state),
            ..EntryFilter::default()
        })?;
        for posted in book.entries(&numbers)? {
            let proof = book.proof(posted.number)?;
            let header = &posted.entry.header;
            table.line(vec![
                Cell::Number(posted.number.to_string()),
                header.date.to_string().into(),
                header.party.as_str().into(),
                header.memo.as_str().into(),
                posted.entry.total().into(),
                state.as_str().into(),
                proof.stands_in.into(),
                proof.purpose.into(),
            ]);
        }
    }
    Ok(table)
}

/// Everything in the history that changed an entry of the year after it was written.
pub(super) fn amendments(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Amended and taken back", "")
        .column("at", "When")
        .column("action", "What was done")
        .column("entry", "No.")
        .column("what", "What")
        .column("reason", "Why");
    for row in book.changes_since("")? {
        let changes_an_entry =
            matches!(row.action.as_str(), "amend" | "withdraw" | "undo" | "redo");
        let Some(number) = row.entry.filter(|_| changes_an_entry) else {
            continue;
        };
        let is_of_year = book
            .entry(number)
            .is_ok_and(|posted| days.contains(posted.entry.header.date));
        if !is_of_year {
            continue;
        }
        table.line(vec![
            row.at.as_str().into(),
            row.action.as_str().into(),
            Cell::Number(number.to_string()),
            row.what.as_str().into(),
            row.reason.as_str().into(),
        ]);
    }
    for posted in reports::entries(book, days)? {
        let Some(taken_back) = posted.reverses else {
            continue;
        };
        table.line(vec![
            posted.entry.header.date.to_string().into(),
            "taken back".into(),
            Cell::Number(posted.number.to_string()),
            format!("takes back entry {taken_back}").into(),
            posted.entry.header.memo.into(),
        ]);
    }
    Ok(table)
}

/// Every movement of the owner's accounts, closing entries left out.
pub(super) fn capital_entries(book: &Book, entries: &[PostedEntry], days: DateRange) -> Table {
    let mut table = Table::new("The owner's money line by line", span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("kind", "What")
        .column("memo", "For")
        .column("account", "Account")
        .column("money_in", "In")
        .column("money_out", "Out");
    let mut sums = [Money::ZERO; 2];
    for posted in entries {
        let header = &posted.entry.header;
        if header.kind == EntryKind::Closing || takes_back_closing(entries, posted) {
            continue;
        }
        for line in posted.entry.lines() {
            let Ok(account) = book.chart().account(line.account) else {
                continue;
            };
            if account.class != AccountClass::Equity {
                continue;
            }
            let (money_in, money_out) = (line.credit_amount(), line.debit_amount());
            sums[0] += money_in;
            sums[1] += money_out;
            table.line(vec![
                Cell::Number(posted.number.to_string()),
                header.date.to_string().into(),
                header.kind.plain().into(),
                header.memo.as_str().into(),
                account.title().into(),
                side(money_in),
                side(money_out),
            ]);
        }
    }
    if !table.rows().is_empty() {
        let mut cells = vec!["Together".into()];
        cells.extend([const { Cell::Empty }; 4]);
        cells.extend(sums.map(Cell::from));
        table.push(RowStyle::Final, cells);
    }
    table
}

/// Whether an entry is the mirror of a closing entry, as reopening a year writes it.
fn takes_back_closing(entries: &[PostedEntry], posted: &PostedEntry) -> bool {
    posted.reverses.is_some_and(|number| {
        entries
            .iter()
            .any(|one| one.number == number && one.entry.header.kind == EntryKind::Closing)
    })
}

pub(super) fn side(amount: Money) -> Cell {
    if amount.is_zero() {
        Cell::Empty
    } else {
        amount.into()
    }
}

/// Bills of which a part is private, with the part that was counted and what is written down of the share.
pub(super) fn mixed_use(
    book: &Book,
    entries: &[PostedEntry],
    days: DateRange,
) -> Result<Table, ExportError> {
    let mut table = Table::new("Bills and things used privately too", span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("memo", "What")
        .column("amount", "Altogether")
        .column("private", "Private part")
        .column("share", "Business %")
        .column("basis", "Rests on")
        .column("since", "Since");
    let drawings = book.chart().role(Role::OwnerDrawings).ok();
    let bills = book.shared_bills()?;
    let (mut n_without, mut n_apart) = (0, 0);
    for posted in entries {
        let header = &posted.entry.header;
        if !matches!(header.kind, EntryKind::Purchase | EntryKind::Depreciation) {
            continue;
        }
        let lines: Vec<&Line> = posted
            .entry
            .lines()
            .iter()
            .filter(|line| Some(line.account) == drawings)
            .collect();
        let private: Money = lines.iter().map(|line| line.amount).sum();
        let whole = posted.entry.total();
        if private.is_zero() || whole.is_zero() {
            continue;
        }
        let share = rust_decimal::Decimal::from((whole - private).minor() * 100)
            / rust_decimal::Decimal::from(whole.minor());
        let found: Vec<Option<&SharedBill>> = lines
            .iter()
            .map(|line| share_of(&bills, header, line, lines.len() == 1))
            .collect();
        if found.contains(&None) {
            n_without += usize::from(private != whole);
        } else if let ([Some(bill)], EntryKind::Purchase) = (found.as_slice(), header.kind) {
            n_apart += usize::from(whole.share(bill.share) != whole - private);
        }
        let each = |words: fn(&SharedBill) -> String| {
            let mut all: Vec<String> = found.iter().flatten().map(|bill| words(bill)).collect();
            all.dedup();
            Cell::from(all.join("; "))
        };
        table.line(vec![
            Cell::Number(posted.number.to_string()),
            header.date.to_string().into(),
            header.party.as_str().into(),
            header.memo.as_str().into(),
            whole.into(),
            private.into(),
            Cell::Number(share.round_dp(1).normalize().to_string()),
            each(|bill| bill.basis.clone()),
            each(|bill| bill.since.to_string()),
        ]);
    }
    if !table.rows().is_empty() {
        table.note(if n_without == 0 {
            "Of every share it is written down what it rests on.".to_owned()
        } else {
            format!(
                "Of {} it is not written down what the share rests on.",
                counted(n_without, "entry", "entries")
            )
        });
    }
    if n_apart > 0 {
        table.note(format!(
            "{} another share than the one written down for the day; one of several lines may.",
            counted(n_apart, "entry comes to", "entries come to")
        ));
    }
    Ok(table)
}

/// The share that is written down for a private part: by its own words, or by the entry's where it is the only one.
fn share_of<'b>(
    bills: &'b [SharedBill],
    header: &EntryHeader,
    line: &Line,
    is_only: bool,
) -> Option<&'b SharedBill> {
    let of = |words: &str| that_holds(bills, &header.party, words, header.date);
    let thing = line.equipment.as_deref().unwrap_or_default();
    of(&format!("{} {thing}", line.memo)).or_else(|| of(&header.memo).filter(|_| is_only))
}

/// What left the stock and was not sold: by what it was counted as.
pub(super) fn left_stock(
    book: &Book,
    entries: &[PostedEntry],
    days: DateRange,
    title: &str,
    roles: &[Role],
) -> Table {
    let mut table = Table::new(title, span(days))
        .column("entry", "No.")
        .column("date", "Day")
        .column("memo", "What and why")
        .column("party", "With")
        .column("item", "Piece")
        .column("account", "Counted as")
        .column("amount", "At cost");
    let chart = book.chart();
    let has = |account, roles: &[Role]| roles.iter().any(|role| chart.has_role(account, *role));
    let stock = [
        Role::Materials,
        Role::MadeGoods,
        Role::BoughtInGoods,
        Role::PartMade,
        Role::PackagingOnHand,
    ];
    let mut together = Money::ZERO;
    for posted in entries {
        let lines = posted.entry.lines();
        let from_stock: Vec<&str> = lines
            .iter()
            .filter(|line| has(line.account, &stock) && line.amount.is_negative())
            .filter_map(|line| line.item.as_deref())
            .collect();
        if from_stock.is_empty() || posted.entry.header.kind == EntryKind::Sale {
            continue;
        }
        for line in lines.iter().filter(|line| has(line.account, roles)) {
            // The piece that left at this cost; where that is not to be told, all that left with it.
            let mut at_cost = lines.iter().filter(|one| has(one.account, &stock));
            let piece = at_cost
                .find(|one| one.amount == -line.amount)
                .and_then(|one| one.item.clone())
                .unwrap_or_else(|| from_stock.join(", "));
            let header = &posted.entry.header;
            together += line.amount;
            table.line(vec![
                Cell::Number(posted.number.to_string()),
                header.date.to_string().into(),
                header.memo.as_str().into(),
                header.party.as_str().into(),
                piece.into(),
                chart.title(line.account).into(),
                line.amount.into(),
            ]);
        }
    }
    if !table.rows().is_empty() {
        let mut cells = vec!["Together".into()];
        cells.extend([const { Cell::Empty }; 5]);
        cells.push(together.into());
        table.push(RowStyle::Final, cells);
    }
    table
}
