//! Sell as it is drawn.
//! What it says is worked out in `model`.

use egui::{RichText, Ui};

use super::model::{SaleRow, SellModel};
use super::reported::{ReportedDraft, reported_ui};
use super::{Pressed, a_sale};
use crate::app::action::{Form, FormWish};
use crate::app::charts::{MonthBar, month_bars};
use crate::app::forms::parts;
use crate::app::screen::ViewContext;
use crate::app::screens::explain::{ProfitFigure, ShopFigure, Source};
use crate::app::screens::lately::{Lately, lately_ui};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    ListBar, bar_list, card, card_heading, empty_state, figure_link, heading_with_figures,
    primary_button, second_line, secondary_button, soft,
};
use crate::dates::{Month, show_day};
use crate::ledger::{Account, Role};
use crate::money::Money;
use crate::statements::{ChannelSummary, ProductMargin};

/// So many products are shown.
const PRODUCTS_SHOWN: usize = 12;

/// Shows the room.
#[must_use]
pub(super) fn sell_ui(
    ui: &mut Ui,
    model: &SellModel,
    reported: &mut ReportedDraft,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    if model.is_empty {
        ui.label(RichText::new("Nothing was sold yet.").font(theme::heading()));
        ui.add_space(space::MEDIUM);
        let begun = empty_state(
            ui,
            "What this room is for",
            "Every sale at its full price, with each fee the shop takes on its own line; what the shops (sales channels) still \
             owe you, what they hold back, and whether the postage you charge pays for the labels.",
            &["Write down a sale", "Bring a shop's file"],
        );
        return begun.map(|step| match step {
            0 => Pressed::Start(a_sale()),
            _ => Pressed::BringFile,
        });
    }
    let mut pressed = heading_ui(ui, model, cx);
    ui.add_space(space::LARGE);
    pressed = pressed.or(channels_ui(ui, model, cx));
    ui.add_space(space::LARGE);
    let mut other = None;
    let mut state = (reported, &mut other);
    parts::two_columns(
        ui,
        &mut state,
        |ui, state| {
            let found = months_ui(ui, model, cx);
            ui.add_space(space::LARGE);
            products_ui(ui, model, cx);
            *state.1 = found.or(recent_ui(ui, model, cx));
        },
        |ui, state| {
            let (reported, other) = state;
            let mut found = postage_ui(ui, model, cx);
            let shops = shown_shops(model);
            if !shops.is_empty() {
                ui.add_space(space::LARGE);
                let write = reported_ui(ui, reported, &shops, cx);
                found = found.or(write.map(|write| Pressed::Write(Box::new(write))));
            }
            if found.is_some() {
                **other = found;
            }
        },
    );
    pressed.or(other)
}

fn heading_ui(ui: &mut Ui, model: &SellModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    let (sold, owed) = (cx.show(model.net_sales), cx.show(model.owed));
    let parts = [
        ("You sold for ", None),
        (sold.as_str(), Some("Sold for")),
        ("; the shops owe you ", None),
        (owed.as_str(), Some("Shops owe you")),
        (".", None),
    ];
    match heading_with_figures(ui, &parts) {
        Some(1) => {
            pressed = Some(Pressed::Explain(Source::Profit(
                ProfitFigure::NetSales,
                cx.period,
            )));
        }
        Some(_) => {
            pressed = Some(Pressed::Explain(Source::GroupBalance(
                Account::PAYOUTS_DUE_GROUP.to_owned(),
                cx.today,
            )));
        }
        None => {}
    }
    second_line(
        ui,
        &format!(
            "Sales less discounts and refunds (net sales), {}.",
            cx.period_label
        ),
    );
    if model.held.is_positive() {
        ui.horizontal_wrapped(|ui| {
            soft(ui, "Of what they owe, held back for now:");
            if figure_link(ui, &cx.show(model.held), "Held by the shops", false).clicked() {
                pressed = Some(Pressed::Explain(Source::Held(None, cx.today)));
            }
        });
    }
    ui.add_space(space::MEDIUM);
    ui.horizontal_wrapped(|ui| {
        if primary_button(ui, "I sold something", "").clicked() {
            pressed = Some(Pressed::Start(a_sale()));
        }
        let others = [
            (
                "A shop paid out",
                Form::Payout,
                "It settles what the shop owes; it is no sale",
            ),
            (
                "I gave money back",
                Form::Refund,
                "A refund: sales return and allowance",
            ),
        ];
        for (words, form, about) in others {
            if secondary_button(ui, words, "")
                .on_hover_text(about)
                .clicked()
            {
                pressed = Some(Pressed::Start(FormWish::new(form)));
            }
        }
        if secondary_button(ui, "I paid a shop", "")
            .on_hover_text("When its fees came to more than the sales")
            .clicked()
        {
            let billed = model.billed;
            pressed = Some(Pressed::Start(FormWish {
                account: billed.map(|(shop, _amount)| shop),
                amount: billed.map(|(_shop, amount)| amount),
                ..FormWish::new(Form::ChannelPaid)
            }));
        }
        if secondary_button(ui, "Bring a shop's file", "")
            .on_hover_text("Orders, fees and payouts as the shop lets you download them")
            .clicked()
        {
            pressed = Some(Pressed::BringFile);
        }
    });
    pressed
}

/// The column of what is held, among those of the shops.
const HELD: usize = 7;

fn channels_ui(ui: &mut Ui, model: &SellModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Shops").on_hover_text("Sales channels: each owes you its payouts due");
        soft(
            ui,
            "Sold at full price with postage, less discounts; then what was given back, kept as fees and paid out.",
        );
        let Some(channels) = &model.channels else {
            soft(ui, "Adding up the shops\u{2026}");
            return;
        };
        let shops = shown_shops(model);
        if shops.is_empty() {
            soft(ui, "No shop sold, paid or owes anything in this period.");
            return;
        }
        let columns = [
            Column::words("Shop", 1.0),
            Column::figures("Sales", 54.0),
            Column::figures("Sold", 84.0),
            Column::figures("Given back", 84.0),
            Column::figures("Fees", 78.0),
            Column::figures("Paid out", 84.0),
            Column::figures("Still due", 84.0),
            Column::figures("Held", 70.0),
        ];
        const FIGURES: [ShopFigure; 5] = [
            ShopFigure::Sold,
            ShopFigure::GivenBack,
            ShopFigure::Fees,
            ShopFigure::PaidOut,
            ShopFigure::StillDue,
        ];
        let mut rows: Vec<Row> = shops
            .iter()
            .map(|one| {
                let mut cells = vec![
                    Cell::opens(one.name.clone()),
                    Cell::opens(one.sales_count.to_string()),
                ];
                cells.extend(FIGURES.map(|figure| Cell::opens(cx.show(figure.of(one)))));
                cells.push(Cell::opens(cx.show(one.held)));
                Row::line(cells)
            })
            .collect();
        let count: usize = shops.iter().map(|one| one.sales_count).sum();
        let mut cells = vec![Cell::text("Together"), Cell::text(count.to_string())];
        for figure in FIGURES {
            let sum = shops.iter().map(|one| figure.of(one)).sum();
            cells.push(Cell::opens(cx.show(sum)));
        }
        cells.push(Cell::opens(cx.show(shops.iter().map(|one| one.held).sum())));
        rows.push(Row::last(cells));
        if let Some((row, column)) = paper_table(ui, "shops", &columns, &rows) {
            let shop = shops.get(row).map(|one| one.account);
            let held_on = cx.period.to.min(cx.today);
            let source = match (shop, column.checked_sub(2).and_then(|idx| FIGURES.get(idx))) {
                (Some(shop), _) if column < HELD => Source::ChannelStatement(shop, cx.period),
                (None, Some(figure)) => Source::Shops(*figure, cx.period),
                (shop, _) => Source::Held(shop, held_on),
            };
            pressed = Some(Pressed::Explain(source));
        }
        if let Some(words) = kept_words(channels, cx) {
            ui.add_space(space::SMALL);
            ui.label(words);
        }
    });
    pressed
}

/// The shops that sold, paid or owe anything in the period.
fn shown_shops(model: &SellModel) -> Vec<&ChannelSummary> {
    let all = model.channels.iter().flatten();
    all.filter(|one| one.sales_count > 0 || !one.still_due.is_zero() || !one.payouts.is_zero())
        .collect()
}

/// "Of each 10.00 the buyers paid, the shops kept 1.17."
fn kept_words(channels: &[ChannelSummary], cx: &ViewContext<'_>) -> Option<String> {
    let paid: Money = channels
        .iter()
        .map(|one| one.gross_sales - one.discounts + one.postage)
        .sum();
    let fees: Money = channels.iter().map(|one| one.fees).sum();
    if !paid.is_positive() || !fees.is_positive() {
        return None;
    }
    let ten = Money::from_minor(10 * 10_i64.pow(cx.currency.decimals()));
    let kept = ten.times(
        rust_decimal::Decimal::from(fees.minor()) / rust_decimal::Decimal::from(paid.minor()),
    );
    Some(format!(
        "Of each {} that buyers paid, the shops kept {}.",
        cx.show(ten),
        cx.show(kept)
    ))
}

fn months_ui(ui: &mut Ui, model: &SellModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Sales by month").on_hover_text("Net sales");
        soft(
            ui,
            "Sales less discounts and refunds. Open a month to see what is in it.",
        );
        let bars: Vec<MonthBar> = model
            .months
            .iter()
            .map(|(range, amount)| MonthBar {
                label: Month::of(range.from).name().chars().take(3).collect(),
                amount: *amount,
            })
            .collect();
        if let Some((range, _)) = month_bars(ui, "sales by month", &bars, cx.currency, 170.0)
            .and_then(|idx| model.months.get(idx))
        {
            pressed = Some(Pressed::Explain(Source::Profit(
                ProfitFigure::NetSales,
                *range,
            )));
        }
    });
    pressed
}

fn postage_ui(ui: &mut Ui, model: &SellModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Postage")
            .on_hover_text("Postage charged to customers against postage and carriage paid");
        if model.postage.is_empty() {
            soft(
                ui,
                "Whether the postage you charge pays for the labels stands here, month by month.",
            );
            return;
        }
        let difference: Money = model.postage.iter().map(|month| month.difference).sum();
        ui.label(if difference.is_negative() {
            format!("{}, you lost this much on parcels.", cx.show(difference))
        } else {
            format!(
                "The postage charged paid for the labels, and {} more.",
                cx.show(difference)
            )
        });
        ui.add_space(space::SMALL);
        let columns = [
            Column::words("Month", 1.0),
            Column::figures("Charged", 60.0),
            Column::figures("Paid", 60.0),
            Column::figures("Difference", 68.0),
        ];
        let mut rows: Vec<Row> = model
            .postage
            .iter()
            .map(|month| {
                Row::line(vec![
                    Cell::text(short_month(month.range.from)),
                    Cell::opens(cx.show(month.charged)),
                    Cell::opens(cx.show(month.paid)),
                    Cell::opens(cx.show(month.difference)),
                ])
            })
            .collect();
        rows.push(Row::last(vec![
            Cell::text("Together"),
            Cell::opens(cx.show(model.postage.iter().map(|month| month.charged).sum())),
            Cell::opens(cx.show(model.postage.iter().map(|month| month.paid).sum())),
            Cell::opens(cx.show(difference)),
        ]));
        if let Some((row, column)) = paper_table(ui, "postage", &columns, &rows) {
            let range = model
                .postage
                .get(row)
                .map_or(cx.period, |month| month.range);
            let of = |role| {
                cx.chart
                    .role(role)
                    .ok()
                    .map(|id| Source::Movement(id, range))
            };
            let source = match column {
                1 => of(Role::PostageCharged),
                2 => of(Role::Postage),
                _ => Some(Source::Postage(range)),
            };
            pressed = source.map(Pressed::Explain);
        }
    });
    pressed
}

/// What each product left, as bars.
fn products_ui(ui: &mut Ui, model: &SellModel, cx: &ViewContext<'_>) {
    let sold: Vec<&ProductMargin> = model
        .products
        .iter()
        .filter(|one| !one.income.is_zero() || !one.cost.is_zero())
        .collect();
    if sold.is_empty() {
        return;
    }
    card(ui, |ui| {
        card_heading(ui, "What each product left").on_hover_text("Contribution margin by product");
        soft(
            ui,
            "Sales less discounts, refunds, the shops' fees and what the pieces cost; your own time, packing and postage are \
             not in it.",
        );
        ui.add_space(space::SMALL);
        let bars: Vec<ListBar> = sold
            .into_iter()
            .take(PRODUCTS_SHOWN)
            .map(|one| {
                let kept = one.kept();
                let mut words = cx.show(kept);
                if let Some(margin) = one.margin_percent() {
                    words.push_str(&format!(", {margin} % of {}", cx.show(one.income)));
                }
                if kept.is_negative() {
                    words.push_str(", you lost");
                }
                #[expect(clippy::cast_precision_loss, reason = "only a length on the screen")]
                let height = kept.minor() as f32;
                ListBar {
                    label: format!("{}, {} sold", one.name, one.pieces),
                    words,
                    height,
                }
            })
            .collect();
        bar_list(ui, "What each product left", &bars);
    });
    ui.add_space(space::LARGE);
}

/// `Sep 26`, short enough for a narrow column.
fn short_month(day: chrono::NaiveDate) -> String {
    let name: String = Month::of(day).name().chars().take(3).collect();
    format!("{name} {}", day.format("%y"))
}

fn recent_ui(ui: &mut Ui, model: &SellModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let lately = Lately {
        heading: "Sold lately",
        term: "Sales of the period, newest first",
        nothing: "Nothing was sold in this period; choose another above.",
        n_all: model.n_sales,
    };
    let columns = [
        Column::narrow("When", 88.0),
        Column::words("What", 1.6),
        Column::words("Order, shop", 1.2),
        Column::figures("Full price", 84.0),
    ];
    let row = |row: &SaleRow| {
        let cells = vec![
            Cell::soft(show_day(row.date)),
            Cell::opens(row.what.clone()),
            Cell::soft(row.through.clone()),
            Cell::opens(cx.show(row.price)),
        ];
        (row.number, Row::line(cells))
    };
    let rows = model.rows.iter().map(row).collect();
    lately_ui(ui, lately, &columns, rows).map(Pressed::Entry)
}
