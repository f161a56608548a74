//! What the shops themselves report for a year, typed in and held against these books.
//! The comparison is the channel statement's own; this file asks and draws.

use egui::Ui;

use crate::app::action::Write;
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, money_field, primary_button_enabled, soft,
    text_field,
};
use crate::book::{Book, BookError, ShopReport};
use crate::dates::DateRange;
use crate::ledger::AccountId;
use crate::statements::ChannelSummary;

/// One shop's figure for the year.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Reported {
    channel: AccountId,
    name: String,
    kept: Option<ShopReport>,
    typed: String,
    name_right: Option<bool>,
    note: String,
}

/// What may be answered about a report.
const ANSWERS: [(Option<bool>, &str); 3] = [
    (None, "Not looked at"),
    (Some(true), "Both are ours"),
    (Some(false), "Not ours"),
];

/// The figures of the year in which the period ends, being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReportedDraft {
    year: i32,
    shops: Vec<Reported>,
}

impl ReportedDraft {
    /// Reads what is kept; what is being typed for the same year stays.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(&mut self, book: &Book, period: DateRange) -> Result<(), BookError> {
        let year = book.year_start().year_of(period.to);
        let before = std::mem::take(&mut self.shops);
        for account in book.chart().channels() {
            let kept = book.shop_report(account.id, year)?;
            let typed_before = before
                .iter()
                .find(|shop| self.year == year && shop.channel == account.id);
            if let Some(shop) = typed_before
                && shop.kept == kept
            {
                let mut shop = shop.clone();
                shop.name.clone_from(&account.name);
                self.shops.push(shop);
                continue;
            }
            let report = kept.clone();
            self.shops.push(Reported {
                channel: account.id,
                name: account.name.clone(),
                typed: report
                    .as_ref()
                    .map_or_else(String::new, |report| book.currency().show(report.amount)),
                name_right: report.as_ref().and_then(|report| report.name_right),
                note: report.map(|report| report.note).unwrap_or_default(),
                kept,
            });
        }
        self.year = year;
        Ok(())
    }

    /// What was typed and differs from what is kept; `None` while something is no amount.
    fn changes(&self, cx: &ViewContext<'_>) -> Option<Vec<(AccountId, Option<ShopReport>)>> {
        let mut changes = Vec::new();
        for shop in &self.shops {
            let typed = match shop.typed.trim() {
                "" => None,
                text => Some(ShopReport {
                    amount: cx.currency.parse_typed(text).ok()?,
                    name_right: shop.name_right,
                    note: shop.note.trim().to_owned(),
                }),
            };
            if typed != shop.kept {
                changes.push((shop.channel, typed));
            }
        }
        Some(changes)
    }
}

/// Draws the card for the shops that are shown.
pub fn reported_ui(
    ui: &mut Ui,
    draft: &mut ReportedDraft,
    shops: &[&ChannelSummary],
    cx: &ViewContext<'_>,
) -> Option<Write> {
    let mut write = None;
    let year = draft.year;
    let is_whole_year = cx.year_start().year_ending_in(year) == cx.period;
    card(ui, |ui| {
        card_heading(ui, &format!("What the shops report for {year}"))
            .on_hover_text("Gross sales as a channel reports them for the year, before its fees");
        soft(
            ui,
            "After the year a shop reports what buyers paid through it. Write it here, and it is held against these books: \
             sales less discounts, with postage and tax, before fees and refunds.",
        );
        for shop in &mut draft.shops {
            let Some(summary) = shops.iter().find(|one| one.account == shop.channel) else {
                continue;
            };
            ui.add_space(space::SMALL);
            let label = format!("{} reports", shop.name);
            let field = Field::new(&label).width(180.0).hint("not yet");
            money_field(ui, field, &mut shop.typed, cx.currency);
            match (is_whole_year, summary.difference) {
                (false, _) => soft(
                    ui,
                    "Choose the whole year above to see what these books say.",
                ),
                (true, None) => {
                    let books = cx.show(summary.buyers_paid);
                    soft(ui, &format!("These books say {books}."))
                }
                (true, Some(difference)) => {
                    let books = cx.show(summary.buyers_paid);
                    let apart = cx.show(difference.abs());
                    let words = if difference.is_zero() {
                        format!("These books say {books}: they agree to the cent.")
                    } else if difference.is_positive() {
                        format!("These books say {books}: {apart} less than the shop reports.")
                    } else {
                        format!("These books say {books}: {apart} more than the shop reports.")
                    };
                    ui.label(words)
                }
            };
            if !shop.typed.trim().is_empty() {
                ui.push_id(("report", shop.channel), |ui| {
                    let label = format!("Name and tax number on the report of {}", shop.name);
                    choice_chips(ui, &label, &mut shop.name_right, &ANSWERS);
                    let label = format!("A note on the report of {}", shop.name);
                    text_field(ui, Field::new(&label), &mut shop.note);
                });
            }
        }
        ui.add_space(space::MEDIUM);
        let changes = draft.changes(cx).unwrap_or_default();
        let keep =
            primary_button_enabled(ui, !changes.is_empty(), "Keep what the shops report", "");
        if keep.clicked() {
            write = Some(Write::ReportedGross { year, changes });
        }
        ui.add_space(space::SMALL);
        caution(
            ui,
            "Whether a reported gross counts refunds, postage or tax differs from shop to shop and place to place: compare it \
             with the shop's own statement, and confirm what you declare with a licensed professional.",
        );
    });
    write
}
