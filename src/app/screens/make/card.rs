//! The cost card of a product: what one order costs, what is kept of its price, what an hour earns, which price would do.
//! Its fields are for trying things out: nothing here touches the book.

use egui::{RichText, Ui};
use rust_decimal::Decimal;

use super::making::Making;
use super::pieces::{read_count, read_money, read_percent};
use crate::app::action::Action;
use crate::app::forms::parts::{cells, select, two_columns, widths};
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, money_field, problem, second_line, soft,
    text_field,
};
use crate::book::{Book, BookError};
use crate::deciding::{
    Answer, CardFigures, CardTerms, Channel, CostBasis, CostCard, Fee, FeeBase, FixedPer,
    Ingredient, OwnMinutes, OwnTime, Postage, SalesTax, UnitCost, Wanted,
};
use crate::money::{Currency, Money, Percent, Quantity};

const CAUTION: &str = "This card helps to set a price and is no part of the books. How wear, packaging, sales tax and your own \
     time count for tax is another matter: confirm with local rules and a licensed professional.";

/// Opens the card of a product.
#[must_use]
pub fn open_card(code: String) -> Action {
    Action::Open(Box::new(CardScreen {
        code,
        making: None,
        draft: None,
    }))
}

/// What is being tried out.
struct CardDraft {
    price: String,
    pieces: String,
    packaging: String,
    postage: String,
    label: String,
    fee_percent: String,
    fee_fixed: String,
    wear: String,
    minutes: String,
    rate: String,
    margin: String,
    basis: CostBasis,
    base: FeeBase,
}

/// The screen.
pub struct CardScreen {
    code: String,
    making: Option<Making>,
    draft: Option<CardDraft>,
}

impl CardDraft {
    fn new(making: &Making, currency: &Currency) -> Self {
        // Own minutes are asked for each good piece; what is spoiled took time as well.
        let good = Decimal::ONE - making.waste.unwrap_or(Percent::ZERO).fraction();
        let minutes = making
            .minutes
            .checked_div(good)
            .unwrap_or_default()
            .round_dp(2)
            .normalize();
        Self {
            price: making
                .item
                .price
                .map_or_else(String::new, |price| currency.show(price)),
            pieces: "1".to_owned(),
            packaging: String::new(),
            postage: String::new(),
            label: String::new(),
            fee_percent: String::new(),
            fee_fixed: String::new(),
            wear: String::new(),
            minutes: if minutes.is_zero() {
                String::new()
            } else {
                minutes.to_string()
            },
            rate: String::new(),
            margin: "30".to_owned(),
            basis: CostBasis::Latest,
            base: FeeBase::PriceAndPostage,
        }
    }

    /// What the card is asked; an empty field leaves its question open, a nought says that there is nothing of it.
    fn terms(&self, making: &Making, currency: &Currency) -> Result<CardTerms, String> {
        let mut terms = CardTerms::new(&making.item.name);
        terms.materials.clone_from(&making.materials);
        if making.outside != UnitCost::ZERO {
            terms.outside_work = vec![of_one("Outside work", making.outside)];
        }
        terms.waste = making.waste.map_or(Answer::Waived, Answer::Given);
        terms.pieces_in_order =
            u32::try_from(read_count(&self.pieces, "pieces in an order")?).unwrap_or(u32::MAX);
        let money = |text: &str, what: &str| read_money(text, what, currency);
        terms.packaging = match money(&self.packaging, "packaging")? {
            None => Answer::Open,
            Some(amount) if amount.is_zero() => Answer::Waived,
            Some(amount) => Answer::Given(vec![of_one("Packaging", unit(amount)?)]),
        };
        terms.postage = match (
            money(&self.postage, "postage charged")?,
            money(&self.label, "the label")?,
        ) {
            (None, None) => Answer::Open,
            (charged, label) => Answer::Given(Postage {
                charged: charged.unwrap_or_default(),
                label: label.unwrap_or_default(),
            }),
        };
        let (share, fixed) = (
            read_percent(&self.fee_percent, "the fee")?,
            money(&self.fee_fixed, "the fixed fee")?,
        );
        terms.channel = match (share, fixed) {
            (None, None) => Answer::Open,
            (share, fixed) => Answer::Given(Channel {
                name: "Shop".to_owned(),
                fees: vec![Fee {
                    label: "Fees".to_owned(),
                    percent: share.unwrap_or(Percent::ZERO),
                    base: self.base,
                    fixed: fixed.unwrap_or_default(),
                    per: FixedPer::Order,
                }],
                tax: SalesTax::None,
            }),
        };
        terms.wear = match money(&self.wear, "wear")? {
            None => Answer::Open,
            Some(amount) if amount.is_zero() => Answer::Waived,
            Some(amount) => Answer::Given(unit(amount)?),
        };
        terms.own_time = self.own_time(currency)?;
        Ok(terms)
    }

    fn own_time(&self, currency: &Currency) -> Result<Answer<OwnMinutes>, String> {
        let text = self.minutes.trim().replace(',', ".");
        if text.is_empty() {
            return Ok(Answer::Open);
        }
        let minutes: Decimal = text
            .parse()
            .map_err(|_not_a_number| "write your minutes as a number".to_owned())?;
        if minutes.is_zero() {
            return Ok(Answer::Waived);
        }
        let rate = read_money(&self.rate, "your hour", currency)?;
        Ok(rate.map_or(Answer::Open, |hourly_rate| {
            Answer::Given(OwnMinutes {
                minutes,
                hourly_rate,
            })
        }))
    }

    fn figures(&self, making: &Making, currency: &Currency) -> Result<Told, String> {
        let terms = self.terms(making, currency)?;
        let card = CostCard::new(terms, currency.clone()).map_err(|error| error.to_string())?;
        let price = read_money(&self.price, "the price", currency)?
            .ok_or_else(|| "write a price to see what is kept of it".to_owned())?;
        let figures = card
            .at(price, self.basis)
            .map_err(|error| error.to_string())?;
        let wanted = match read_percent(&self.margin, "the margin")? {
            Some(percent) => {
                let wanted = Wanted::Margin {
                    percent,
                    time: OwnTime::LeftOut,
                };
                Some(match card.price_for(wanted, self.basis) {
                    Ok(price) => format!(
                        "To keep {percent} % of the price before paying yourself, one would sell for {}.",
                        currency.show(price)
                    ),
                    Err(error) => format!("No price keeps {percent} %: {error}."),
                })
            }
            None => None,
        };
        Ok(Told { figures, wanted })
    }
}

struct Told {
    figures: CardFigures,
    wanted: Option<String>,
}

fn of_one(label: &str, cost: UnitCost) -> Ingredient {
    Ingredient {
        label: label.to_owned(),
        quantity: Quantity::new(Decimal::ONE).unwrap_or_default(),
        average: cost,
        latest: None,
        next_order: None,
    }
}

fn unit(amount: Money) -> Result<UnitCost, String> {
    UnitCost::from_money(amount).map_err(|error| error.to_string())
}

impl Screen for CardScreen {
    fn title(&self) -> String {
        "Cost card".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.making = Making::read(book, &self.code, cx.today)?;
        if let (Some(making), None) = (&self.making, &self.draft) {
            self.draft = Some(CardDraft::new(making, cx.currency));
        }
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (Some(making), Some(draft)) = (&self.making, &mut self.draft) else {
            ui.label("This item is no longer kept.");
            return None;
        };
        let told = draft.figures(making, cx.currency);
        let title = match &told {
            Ok(told) => format!("{}.", told.figures.sentence(cx.currency)),
            Err(_said_below) => format!("What {} costs and leaves", making.item.name),
        };
        ui.label(RichText::new(title).font(theme::heading()));
        second_line(
            ui,
            &format!(
                "Cost card of {}: try things out; nothing here changes the book.",
                making.item.name
            ),
        );
        ui.add_space(space::LARGE);
        two_columns(
            ui,
            draft,
            |ui, draft| {
                fields_ui(ui, draft, cx.currency);
                ui.add_space(space::LARGE);
                caution(ui, CAUTION);
            },
            |ui, _draft| match &told {
                Ok(told) => told_ui(ui, told, cx.currency),
                Err(words) => {
                    problem(ui, words);
                }
            },
        );
        None
    }
}

fn fields_ui(ui: &mut Ui, draft: &mut CardDraft, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "What if");
        soft(
            ui,
            "What goes into a piece comes from its recipe and your stock. Leave a field empty while you do not know it; write \
             0 where there is nothing of it.",
        );
        let rows: [[(&str, &mut String, bool); 3]; 3] = [
            [
                ("Price of one", &mut draft.price, true),
                ("Pieces in an order", &mut draft.pieces, false),
                ("Packaging of an order", &mut draft.packaging, true),
            ],
            [
                ("Postage you charge", &mut draft.postage, true),
                ("What the label costs", &mut draft.label, true),
                ("Wear of equipment a piece", &mut draft.wear, true),
            ],
            [
                ("Your minutes a piece", &mut draft.minutes, false),
                ("Your hour is worth", &mut draft.rate, true),
                ("Share to keep, per cent", &mut draft.margin, false),
            ],
        ];
        for row in rows {
            row_ui(ui, row, currency);
        }
        let fees: [(&str, &mut String, bool); 2] = [
            ("The shop's fee, per cent", &mut draft.fee_percent, false),
            ("And for each order", &mut draft.fee_fixed, true),
        ];
        row_ui(ui, fees, currency);
        let bases = [
            (FeeBase::Price, "of the price".to_owned()),
            (FeeBase::PriceAndPostage, "of price and postage".to_owned()),
        ];
        let width = ui.available_width().min(260.0);
        select(ui, "The fee is taken", width, &mut draft.base, &bases, None);
        ui.add_space(space::SMALL);
        let bases = CostBasis::ALL.map(|basis| (basis, basis.label()));
        choice_chips(ui, "At which cost", &mut draft.basis, &bases);
    });
}

fn row_ui<const N: usize>(
    ui: &mut Ui,
    mut row: [(&str, &mut String, bool); N],
    currency: &Currency,
) {
    let columns = widths(ui.available_width(), &[0.0; N]);
    let order: Vec<usize> = (0..N).collect();
    cells(ui, &columns, &order, |ui, cell, width| {
        if let Some((label, text, is_money)) = row.get_mut(cell) {
            let mut field = Field::new(label).width(width);
            field.right = true;
            if *is_money {
                money_field(ui, field, text, currency);
            } else {
                text_field(ui, field, text);
            }
        }
    });
}

fn told_ui(ui: &mut Ui, told: &Told, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "How it comes about");
        let columns = [Column::words("", 1.6), Column::figures("", 84.0)];
        let mut rows = Vec::new();
        for line in told.figures.sheet.lines() {
            let is_total = matches!(line.key, "kept" | "left");
            let cells = vec![
                Cell::text(format!("{}. {}", line.no, line.label)),
                Cell::text(line.amount.show(currency)),
            ];
            rows.push(if is_total {
                Row::total(cells)
            } else {
                Row::line(cells)
            });
            if !line.formula.is_empty() {
                rows.push(Row::line(vec![Cell::soft(line.formula.clone())]));
            }
        }
        let _nothing_opens = paper_table(ui, "cost card", &columns, &rows);
    });
    ui.add_space(space::LARGE);
    if let Some(words) = &told.wanted {
        ui.label(words);
    }
    if let Some(earned) = told.figures.earned_an_hour {
        let shown = currency.show(earned);
        ui.label(format!("An hour of your work earns {shown} at this price."));
    }
}
