//! A batch being written down: materials proposed from the recipe, good pieces, what was spoiled, outside work.
//! What a piece costs the book works out while it is typed.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::in_units;
use super::known::stock_value;
use super::line::{ItemLineDraft, Offered, item_field, item_lines_ui, read_item, read_quantity};
use crate::app::action::StockMove;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::paid;
use crate::app::forms::parts::{self, cells, select, widths};
use crate::app::theme::space;
use crate::app::widgets::{Field, card, date_field, money_field, soft, suggest_field, text_field};
use crate::dates::show_day;
use crate::happenings::Payment;
use crate::ledger::{EntryHeader, EntryKind, Line, Role};
use crate::money::{Money, Quantity, unit_cost};
use crate::stock::{BatchNote, Item, ItemKind, Movement, MovementId, MovementKind, Recipe};

/// A batch being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct BatchDraft {
    /// What was made.
    pub product: String,
    /// When.
    pub date: String,
    /// How many pieces were begun.
    pub begun: Offered,
    /// How many are good.
    pub good: String,
    /// How many were spoiled.
    pub spoiled: Offered,
    /// How many of those beyond what is normal.
    pub abnormal: Offered,
    /// What went in.
    pub inputs: Vec<ItemLineDraft>,
    /// Outside work.
    pub outside: Offered,
    /// By whom.
    pub outside_party: String,
    /// What that was paid from.
    pub paid_from: Payment,
    /// Own minutes.
    pub minutes: Offered,
    /// Why pieces were spoiled.
    #[serde(default)]
    pub why: String,
    /// The batch's own name.
    pub key: Offered,
    /// The product and number for which the inputs were proposed.
    proposed_for: String,
}

impl BatchDraft {
    /// An empty form of today, or one of this product.
    #[must_use]
    pub fn new(code: &str, facts: &Facts) -> Self {
        let product = facts.stock.item(code);
        Self {
            product: product.map_or_else(String::new, |item| facts.stock.label(item)),
            date: show_day(facts.today),
            begun: Offered::default(),
            good: String::new(),
            spoiled: Offered::default(),
            abnormal: Offered::default(),
            inputs: Vec::new(),
            outside: Offered::default(),
            outside_party: String::new(),
            paid_from: paid::usual(facts),
            minutes: Offered::default(),
            why: String::new(),
            key: Offered::default(),
            proposed_for: String::new(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.good.trim().is_empty() && !self.begun.is_own()
    }

    fn recipe<'f>(&self, facts: &'f Facts) -> Option<&'f Recipe> {
        let item = facts.stock.find(&self.product)?;
        facts.stock.recipe(&item.code)
    }

    /// Proposes what the recipe says for so many begun; what she wrote herself stays.
    pub fn propose(&mut self, facts: &Facts) {
        let Some(item) = facts.stock.find(&self.product) else {
            return;
        };
        self.key.offer(next_key(&item.code, facts));
        let Some(recipe) = self.recipe(facts) else {
            self.offer_spoiled(None);
            return;
        };
        self.begun.offer(recipe.batch_quantity.to_string());
        let begun = number(&self.begun.text).unwrap_or(recipe.batch_quantity);
        let key = format!("{} {begun}", item.code);
        if self.proposed_for != key {
            if !self.proposed_for.starts_with(&format!("{} ", item.code)) {
                // Another product: what another recipe proposed goes, what she wrote stays.
                self.inputs
                    .retain(|line| !line.is_empty() && line.quantity.is_own());
            }
            self.proposed_for = key;
            self.propose_inputs(recipe, begun, facts);
            let share = begun.value() / recipe.batch_quantity.value();
            let minutes = (recipe.own_minutes.value() * share).round_dp(2).normalize();
            if !minutes.is_zero() {
                self.minutes.offer(minutes.to_string());
            }
            let outside = recipe.outside.times(share);
            if outside.is_positive() {
                self.outside.offer(facts.show(outside));
            }
        }
        self.offer_spoiled(Some(recipe));
    }

    fn propose_inputs(&mut self, recipe: &Recipe, begun: Quantity, facts: &Facts) {
        for input in recipe.inputs_for(begun) {
            let known = self.inputs.iter_mut().find(|line| {
                let item = facts.stock.find(&line.what);
                item.is_some_and(|item| item.code == input.item)
            });
            let quantity = input.quantity.to_string();
            match known {
                Some(line) => line.quantity.offer(quantity),
                None => {
                    let mut line = ItemLineDraft::of(facts.stock.name(&input.item));
                    line.quantity.offer(quantity);
                    self.inputs.push(line);
                }
            }
        }
    }

    fn offer_spoiled(&mut self, recipe: Option<&Recipe>) {
        let (begun, good) = (number(&self.begun.text), number(&self.good));
        let spoiled = match (begun, good) {
            (Some(begun), Some(good)) if begun > good => {
                Quantity::new(begun.value() - good.value()).unwrap_or_default()
            }
            _ => Quantity::default(),
        };
        let shown = |quantity: Quantity| {
            if quantity.value().is_zero() {
                String::new()
            } else {
                quantity.to_string()
            }
        };
        self.spoiled.offer(shown(spoiled));
        let spoiled = number(&self.spoiled.text).unwrap_or_default();
        let beyond = match (recipe, begun) {
            (Some(recipe), Some(begun)) => recipe.abnormal(begun, spoiled),
            _ => Quantity::default(),
        };
        self.abnormal.offer(shown(beyond));
    }

    /// What it moves.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn stock_move(&self, facts: &Facts) -> Result<StockMove, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let product = read_item(&mut read, "product", &self.product, &facts.stock).cloned();
        if product
            .as_ref()
            .is_some_and(|item| item.kind != ItemKind::Made)
        {
            let words = "only what you make to sell comes out of a batch";
            read.note(Problem::wrong("product", words));
        }
        let good = self.read_good(&mut read, product.as_ref());
        let spoiled = read
            .quantity("spoiled", &self.spoiled.text)
            .unwrap_or_default();
        let abnormal = read
            .quantity("abnormal", &self.abnormal.text)
            .unwrap_or_default();
        if abnormal > spoiled {
            let words = "no more than were spoiled";
            read.note(Problem::wrong("abnormal", words));
        }
        let key = read.text("batch", &self.key.text, "give the batch a name");
        if facts.stock.batches.contains(&key) {
            let words = "there is a batch of this name already";
            read.note(Problem::wrong("batch", words));
        }
        let mut movements = self.inputs_read(&mut read, facts, date, &key);
        let outside = read.amount_or_none("outside", &self.outside.text);
        let minutes = read.quantity("minutes", &self.minutes.text);
        let lines = self.outside_lines(&mut read, facts, outside);
        let (Some(product), Some(good)) = (product, good) else {
            return Err(read.problems);
        };
        let made = in_units(good.value(), &product);
        let mut make = Movement::new(
            MovementId(0),
            date,
            product.code.clone(),
            MovementKind::Make,
            good,
        );
        make.batch = Some(key.clone());
        make.abnormal = abnormal;
        make.value = outside;
        movements.push(make);
        let mut memo = format!("{}, {made}", product.name);
        if let Some(minutes) = minutes.filter(|minutes| !minutes.value().is_zero()) {
            memo.push_str(&format!("; {minutes} minutes of my own"));
        }
        let header = EntryHeader::new(date, EntryKind::Batch)
            .party(self.outside_party.trim())
            .memo(memo)
            .reference(key);
        // Only what she wrote herself was really spent; what the recipe proposes is the plan.
        let own_minutes = minutes.filter(|_planned| self.minutes.is_own());
        let note = BatchNote {
            own_minutes,
            spoiled: number(&self.spoiled.text),
            spoiled_why: self.why.trim().to_owned(),
        };
        read.finish(StockMove {
            note,
            header,
            lines,
            movements,
            done: format!("Made: {}, {made}", product.name),
        })
    }

    fn read_good(&self, read: &mut Reader<'_>, product: Option<&Item>) -> Option<Quantity> {
        let product = product?;
        let n_before = read.problems.len();
        let good = read_quantity(read, &self.good, "", product);
        for problem in read.problems.iter_mut().skip(n_before) {
            problem.field = "good";
            if problem.is_missing {
                problem.message = "say how many came out good".to_owned();
            } else if number(&self.good).is_some_and(|good| good.value().is_zero()) {
                problem.message =
                    "when nothing came out good, write the materials down as spoiled instead"
                        .to_owned();
            }
        }
        good
    }

    fn inputs_read(
        &self,
        read: &mut Reader<'_>,
        facts: &Facts,
        date: chrono::NaiveDate,
        key: &str,
    ) -> Vec<Movement> {
        let mut movements = Vec::new();
        for (idx, line) in self.inputs.iter().enumerate() {
            if line.is_empty() && (idx > 0 || self.inputs.len() > 1) {
                continue;
            }
            read.line(Some(idx));
            if let Some((item, quantity)) = line.read(read, facts) {
                let code = item.code.clone();
                let mut take =
                    Movement::new(MovementId(0), date, code, MovementKind::Use, quantity);
                take.batch = Some(key.to_owned());
                movements.push(take);
            }
        }
        read.line(None);
        movements
    }

    fn outside_lines(&self, read: &mut Reader<'_>, facts: &Facts, outside: Money) -> Vec<Line> {
        if !outside.is_positive() {
            return Vec::new();
        }
        let from = told(self.paid_from.account(&facts.chart), &facts.currency);
        let part_made = facts.role(Role::PartMade);
        match (from, part_made) {
            (Ok(from), Some(part_made)) => vec![
                Line::debit(part_made, outside).memo("outside work"),
                Line::credit(from, outside),
            ],
            (Err(problems), _) => {
                read.problems.extend(problems);
                Vec::new()
            }
            (Ok(_), None) => {
                let words = "the book has no account for part-made pieces";
                read.note(Problem::wrong("outside", words));
                Vec::new()
            }
        }
    }

    /// What came of it, in a sentence, from the lines that the book would write.
    fn outcome(&self, facts: &Facts, lines: &[Line]) -> Option<String> {
        let product = facts.stock.find(&self.product)?;
        let good = number(&self.good)?;
        let cost = stock_value(lines, product, &facts.chart);
        let each = unit_cost(cost, good, &facts.currency)?;
        let mut words = format!(
            "Each good {} costs {each:.4}: {} for {}.",
            product.unit,
            facts.show(cost),
            in_units(good.value(), product)
        );
        let waste = facts.role(Role::Waste);
        let lost: Money = lines
            .iter()
            .filter(|line| {
                Some(line.account) == waste && line.item.as_deref() == Some(&product.code)
            })
            .map(|line| line.amount)
            .sum();
        if lost.is_positive() {
            let beyond = facts.show(lost);
            words.push_str(&format!(" {beyond} was lost beyond what is normal."));
        }
        if let Some(minutes) = number(&self.minutes.text).filter(|many| !many.value().is_zero()) {
            let each = (minutes.value() / good.value()).round_dp(1).normalize();
            words.push_str(&format!(
                " {each} minutes of your own are in each; they are never written into the books."
            ));
        }
        Some(words)
    }
}

/// A typed number, when it is one.
fn number(text: &str) -> Option<Quantity> {
    text.trim().replace(',', ".").parse().ok()
}

/// The next free name of a batch: the product's code and a number.
fn next_key(code: &str, facts: &Facts) -> String {
    (1..)
        .map(|n| format!("{code}-{n}"))
        .find(|key| !facts.stock.batches.contains(key))
        .unwrap_or_default()
}

/// Draws the card.
pub fn batch_ui(
    ui: &mut Ui,
    draft: &mut BatchDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    draft.propose(facts);
    card(ui, |ui| {
        what_ui(ui, draft, facts, problems, take_focus);
        ui.add_space(space::SMALL);
        pieces_ui(ui, draft, problems);
        ui.add_space(space::SMALL);
        soft(ui, "What went in");
        let words = ("Went in", "How much");
        item_lines_ui(ui, &mut draft.inputs, words, |_any| true, facts, problems);
        ui.add_space(space::SMALL);
        outside_ui(ui, draft, facts, problems);
        if let Ok(told) = draft.stock_move(facts) {
            if let Some(Ok(lines)) = facts.stock_lines(&told)
                && let Some(words) = draft.outcome(facts, lines)
            {
                ui.add_space(space::SMALL);
                ui.label(words);
            }
            for words in facts.stock.shortages(&told.movements) {
                parts::hint(ui, &format!("{words}."));
            }
        }
    });
}

fn what_ui(
    ui: &mut Ui,
    draft: &mut BatchDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    let products = facts.stock.offered(|kind| kind == ItemKind::Made);
    if products.is_empty() {
        soft(
            ui,
            "Keep what you make in stock first: What happened?, then 'I want to keep something in stock'.",
        );
    }
    let columns = widths(ui.available_width(), &[0.0, 130.0, 150.0]);
    cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
        0 => {
            let field = Field::new("What was made")
                .width(width)
                .problem(problems.of("product"))
                .take_focus(take_focus);
            item_field(ui, field, &mut draft.product, &products, &facts.stock, true);
        }
        1 => {
            let field = Field::new("When").width(width).problem(problems.of("date"));
            date_field(ui, field, &mut draft.date, facts.today);
        }
        _ => {
            let field = Field::new("Batch")
                .width(width)
                .problem(problems.of("batch"));
            text_field(ui, field, &mut draft.key.text);
        }
    });
}

fn pieces_ui(ui: &mut Ui, draft: &mut BatchDraft, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0, 0.0]);
    cells(ui, &columns, &[0, 1, 2, 3], |ui, cell, width| {
        let (label, name, text) = match cell {
            0 => ("Begun", "begun", &mut draft.begun.text),
            1 => ("Good pieces", "good", &mut draft.good),
            2 => ("Spoiled", "spoiled", &mut draft.spoiled.text),
            _ => ("Beyond normal", "abnormal", &mut draft.abnormal.text),
        };
        let mut field = Field::new(label).width(width).problem(problems.of(name));
        field.right = true;
        text_field(ui, field, text);
    });
    if number(&draft.spoiled.text).is_some_and(|many| !many.value().is_zero()) {
        let field = Field::new("Why they were spoiled")
            .width(ui.available_width())
            .hint("blade slipped, glue too wet; may stay empty");
        text_field(ui, field, &mut draft.why);
    }
    soft(
        ui,
        "What is normally spoiled is in the cost of the good ones; what goes beyond it is a loss and shown as one.",
    );
}

fn outside_ui(ui: &mut Ui, draft: &mut BatchDraft, facts: &Facts, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0]);
    cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
        0 => {
            let field = Field::new("Outside work")
                .width(width)
                .hint("0.00")
                .problem(problems.of("outside"));
            money_field(ui, field, &mut draft.outside.text, &facts.currency);
        }
        1 => {
            let field = Field::new("By whom").width(width);
            suggest_field(ui, field, &mut draft.outside_party, &facts.suppliers);
        }
        _ => {
            let mut field = Field::new("Your own minutes")
                .width(width)
                .hint("0")
                .problem(problems.of("minutes"));
            field.right = true;
            text_field(ui, field, &mut draft.minutes.text);
        }
    });
    if !draft.minutes.is_own() && !draft.minutes.text.trim().is_empty() {
        soft(
            ui,
            "These minutes are the recipe's plan; write over them what it really took, and the cost card reckons with that.",
        );
    }
    if !draft.outside.text.trim().is_empty() {
        let ways = paid::ways(facts);
        let wrong = problems.of("paid_from");
        let width = ui.available_width().min(320.0);
        select(ui, "Paid from", width, &mut draft.paid_from, &ways, wrong);
    }
}
