//! The ledger of one account: each movement of the period with the balance after it.
//! Lines are read month by month, a little in each frame, and again only where something changed; only those in sight
//! are drawn.

use std::collections::HashSet;

use egui::{RichText, Ui};

use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::by_month::ByMonth;
use crate::app::screens::entry;
use crate::app::screens::explain::{natural, what_was_it};
use crate::app::theme::{self, space};
use crate::app::widgets::{Column, data_table, secondary_button, soft};
use crate::book::{AccountLine, Book, BookError};
use crate::dates::show_day;
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;
use crate::reports;

/// Opens the ledger of an account.
#[must_use]
pub fn open_account(account: AccountId) -> Action {
    Action::Open(Box::new(AccountScreen::new(account)))
}

/// The ledger of one account.
pub struct AccountScreen {
    account: AccountId,
    title: String,
    opening: Money,
    closing: Money,
    months: ByMonth<MonthLines>,
    /// For each month that is read the number of its first line and the balance before it.
    starts: Vec<(usize, Money)>,
    n_lines: usize,
    is_read: bool,
    /// Which entries a line of its statements confirms, in which revision that was so.
    confirmed: HashSet<EntryNumber>,
    seen: Option<u64>,
}

/// A month's lines, each with what the month has moved up to and with it.
struct MonthLines {
    lines: Vec<(AccountLine, Money)>,
}

impl MonthLines {
    fn moved(&self) -> Money {
        self.lines
            .last()
            .map_or(Money::ZERO, |(_line, moved)| *moved)
    }
}

impl AccountScreen {
    /// The ledger of this account.
    #[must_use]
    pub fn new(account: AccountId) -> Self {
        Self {
            account,
            title: "Account".to_owned(),
            opening: Money::ZERO,
            closing: Money::ZERO,
            months: ByMonth::default(),
            starts: Vec::new(),
            n_lines: 0,
            is_read: false,
            confirmed: HashSet::new(),
            seen: None,
        }
    }

    /// A line of the period by its place, with the balance after it.
    fn line(&self, idx: usize) -> Option<(&AccountLine, Money)> {
        let month = self.starts.partition_point(|(first, _)| *first <= idx);
        let month = month.checked_sub(1)?;
        let (first, before) = self.starts.get(month)?;
        let (line, moved) = self.months.values().nth(month)?.lines.get(idx - first)?;
        Some((line, *before + *moved))
    }
}

impl Screen for AccountScreen {
    fn title(&self) -> String {
        self.title.clone()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let account = book.chart().account(self.account)?;
        self.title = account.title();
        let before = match cx.period.from.pred_opt() {
            Some(eve) => book.balances_to(eve)?.net(self.account),
            None => Money::ZERO,
        };
        self.opening = natural(account, before);
        let id = self.account;
        self.months.read(book, cx.period, |part| {
            let mut moved = Money::ZERO;
            let lines = book.account_lines(id, part)?.into_iter();
            let lines = lines.map(|line| {
                moved += natural(account, line.amount);
                (line, moved)
            });
            Ok(MonthLines {
                lines: lines.collect(),
            })
        })?;
        self.starts.clear();
        self.n_lines = 0;
        let mut balance = self.opening;
        for month in self.months.values() {
            self.starts.push((self.n_lines, balance));
            self.n_lines += month.lines.len();
            balance += month.moved();
        }
        // Known at once from the sums of the months, whatever is still to be read.
        self.closing = natural(account, book.balances_to(cx.period.to)?.net(id));
        self.is_read = true;
        if self.seen != Some(book.revision()) {
            self.seen = Some(book.revision());
            self.confirmed = book.lines_by_entry(id)?.into_keys().collect();
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.is_read && !self.months.is_whole()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        ui.label(RichText::new(&self.title).font(theme::heading()));
        soft(
            ui,
            &format!(
                "{}: {} at the beginning, {}, {} at the end.",
                cx.period_label,
                cx.show(self.opening),
                if self.months.is_whole() {
                    format!("{} movements", self.n_lines)
                } else {
                    format!("{} movements read so far", self.n_lines)
                },
                cx.show(self.closing)
            ),
        );
        ui.add_space(space::MEDIUM);
        let can_agree = cx
            .chart
            .account(self.account)
            .is_ok_and(reports::has_statements);
        let mut asked = None;
        if can_agree
            && secondary_button(ui, "Hold it against its statement", "")
                .on_hover_text("Bank reconciliation")
                .clicked()
        {
            asked = Some(super::open_agreement(self.account));
        }
        ui.add_space(space::MEDIUM);
        if self.n_lines == 0 && self.months.is_whole() {
            soft(
                ui,
                "Nothing moved here in this time. Choose a longer period above to see earlier movements.",
            );
            return asked;
        }
        let has_statements = !self.confirmed.is_empty();
        let mut columns = vec![
            Column::figures("No.", 56.0),
            Column::words("Day", 96.0),
            Column::rest("What"),
        ];
        if has_statements {
            columns.push(Column::words("Bank", 84.0));
        }
        columns.extend([
            Column::figures("Debit", 100.0),
            Column::figures("Credit", 100.0),
            Column::figures("Balance", 110.0),
        ]);
        let pressed = data_table(ui, "account ledger", &columns, self.n_lines, None, |idx| {
            self.line(idx).map(|(line, balance)| {
                let side = |amount: Money| {
                    if amount.is_positive() {
                        cx.show(amount)
                    } else {
                        String::new()
                    }
                };
                let mut cells = vec![
                    line.number.to_string(),
                    show_day(line.date),
                    what_was_it(&line.party, &line.memo, line.kind.plain()),
                ];
                if has_statements {
                    let is_confirmed = self.confirmed.contains(&line.number);
                    let words = if is_confirmed { "confirmed" } else { "not yet" };
                    cells.push(words.to_owned());
                }
                cells.extend([side(line.amount), side(-line.amount), cx.show(balance)]);
                cells
            })
        });
        asked.or_else(|| {
            let (line, _balance) = self.line(pressed?)?;
            Some(entry::open(line.number))
        })
    }
}
