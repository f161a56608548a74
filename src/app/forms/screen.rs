//! A form as the window shows it: heading, the form's card, its receipt, the books beside it, and what its keys do.
//! What each form asks and writes is its draft's business; writing is the app's.

use std::borrow::Cow;

use chrono::NaiveDate;
use egui::{Key, Modifiers, Ui};

use super::draft::Draft;
use super::facts::Facts;
use super::input::Problems;
use super::outcome::Outcome;
use super::parts::two_columns;
use super::purchase::{PurchaseNote, note_html};
use super::{Form, FormEvent, FormWish};
use crate::app::action::{Action, Kept, OrderingWrite, ReceiptFile, Write};
use crate::app::keys;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{
    Answer, card, card_heading, confirm, ledger_preview, page_heading, primary_button,
    quiet_button, secondary_button, soft,
};
use crate::book::{Book, BookError};
use crate::ledger::{EntryNumber, JournalEntry, Line};

/// A form on the screen.
pub struct FormScreen {
    wish: FormWish,
    facts: Option<Facts>,
    draft: Option<Draft>,
    outcome: Option<Result<Outcome, Problems>>,
    was_tried: bool,
    take_focus: bool,
    /// What the form asked to be written besides itself, so that it stays as it is afterwards.
    is_side_write: bool,
    opened_shop: Option<String>,
    refused: Option<String>,
    /// Its number among what is kept for later, when it was taken up from there.
    kept: Option<i64>,
    is_thrown_away: bool,
    /// What goes without being there, while she is asked about it.
    asks_about: Vec<String>,
    was_asked: bool,
}

impl FormScreen {
    /// The form that is wished for; it reads the book when it is first shown.
    #[must_use]
    pub fn new(wish: FormWish) -> Self {
        Self {
            wish,
            facts: None,
            draft: None,
            outcome: None,
            was_tried: false,
            take_focus: true,
            is_side_write: false,
            opened_shop: None,
            refused: None,
            kept: None,
            is_thrown_away: false,
            asks_about: Vec::new(),
            was_asked: false,
        }
    }

    /// A form that was kept for later, as it was left.
    ///
    /// # Errors
    /// When what was kept cannot be read.
    pub fn taken_up(kept: &crate::book::Draft) -> Result<Self, String> {
        let draft: Draft = serde_json::from_str(&kept.content).map_err(|error| {
            format!(
                "\u{201C}{}\u{201D} was kept by another version of this program and cannot be opened here ({error}); \
                 it stays in the book",
                kept.form
            )
        })?;
        let wish = FormWish::new(draft.form());
        Ok(Self {
            draft: Some(draft),
            kept: Some(kept.id),
            ..Self::new(wish)
        })
    }

    /// What is being typed, for tests.
    #[must_use]
    pub fn draft(&self) -> Option<&Draft> {
        self.draft.as_ref()
    }

    fn read(&mut self, book: &Book, today: NaiveDate) -> Result<(), BookError> {
        if self
            .facts
            .as_ref()
            .is_none_or(|facts| facts.is_stale(book, today))
        {
            self.facts = Some(Facts::read(book, today)?);
        }
        let Some(facts) = &mut self.facts else {
            return Ok(());
        };
        let draft = self
            .draft
            .get_or_insert_with(|| Draft::new(&self.wish, facts));
        if let (Some(name), Draft::Sale(sale)) = (&self.opened_shop, &mut *draft)
            && let Ok(channel) = facts.chart.find(name)
        {
            sale.paid_into = Some(channel.id);
            sale.is_opening_shop = false;
            sale.new_shop.clear();
            self.opened_shop = None;
        }
        let question = draft.question(facts);
        facts.look_up(book, question)?;
        Ok(())
    }

    /// Does what the form's keys ask; answers whether it shall be written down.
    fn keys(&mut self, ui: &Ui) -> bool {
        let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::COMMAND, key));
        let is_write = keys::take_write_down(ui.ctx());
        if let Some(draft) = &mut self.draft {
            if pressed(Key::L) {
                draft.add_line();
            }
            if pressed(Key::M) {
                draft.show_more();
            }
            if pressed(Key::R)
                && let Some(facts) = &self.facts
                && let Some(receipt) = draft.receipt()
            {
                receipt.choose(&facts.book_path);
            }
            if let Some(receipt) = draft.receipt() {
                receipt.take_dropped(ui);
            }
        }
        is_write
    }

    fn submit(&mut self) -> Option<Action> {
        self.was_tried = true;
        self.refused = None;
        let facts = self.facts.as_ref()?;
        let draft = self.draft.as_mut()?;
        let outcome = draft.outcome(facts).ok()?;
        if !self.was_asked
            && let Some(moved) = draft.moved(facts)
        {
            self.asks_about = facts.stock.shortages(&moved.movements);
            if !self.asks_about.is_empty() {
                return None;
            }
        }
        self.is_side_write = false;
        let parts = draft.plan_parts(facts);
        let mut write = Box::new(write_of(outcome, draft, facts));
        if !parts.is_empty() {
            write = Box::new(Write::ForPlan(parts, write));
        }
        if let Some(line) = draft.bank_line() {
            write = Box::new(Write::FromLine(line, write));
        }
        Some(Action::Write(match self.kept {
            Some(id) => Box::new(Write::FromKept(id, write)),
            None => write,
        }))
    }

    /// Asks once whether more shall go than is there.
    fn ask(&mut self, ui: &Ui) -> Option<Action> {
        if self.asks_about.is_empty() {
            return None;
        }
        let words = format!(
            "{}.\n\nIf you write it down, the books count below nothing until more comes in or you count, and the cost \
             is put right then.",
            self.asks_about.join(".\n")
        );
        let title = "More goes than is there. Is that right?";
        let answer = confirm(ui.ctx(), title, &words, "Write it down", "Look again")?;
        self.asks_about.clear();
        self.was_asked = answer == Answer::Yes;
        self.was_asked.then(|| self.submit()).flatten()
    }

    fn answer(&mut self, event: FormEvent) -> Option<Action> {
        let facts = self.facts.as_ref()?;
        match event {
            FormEvent::PurchaseNote => Some(self.purchase_note()),
            FormEvent::MakeItAPayout {
                channel,
                into,
                amount,
            } => {
                let wish = FormWish {
                    account: Some(channel),
                    other: into,
                    amount: Some(amount),
                    ..FormWish::new(Form::Payout)
                };
                self.draft = Some(Draft::new(&wish, facts));
                self.wish = wish;
                self.was_tried = false;
                self.take_focus = true;
                None
            }
            FormEvent::OpenChannel(name) => {
                self.is_side_write = true;
                self.opened_shop = Some(name.clone());
                Some(Action::write(Write::OpenChannel(name)))
            }
            FormEvent::AddHold {
                channel,
                amount,
                until,
            } => {
                self.is_side_write = true;
                if let Some(Draft::Short(draft)) = &mut self.draft {
                    draft.hold_amount.clear();
                    draft.hold_until.clear();
                }
                Some(Action::write(Write::AddHold {
                    channel,
                    amount,
                    since: facts.today,
                    until,
                    memo: String::new(),
                }))
            }
            FormEvent::ReleaseHold(id) => {
                self.is_side_write = true;
                Some(Action::write(Write::ReleaseHold(id, facts.today)))
            }
        }
    }

    /// Writes the note beside the book and opens it with whatever prints web pages here.
    fn purchase_note(&mut self) -> Action {
        let (Some(facts), Some(Draft::Purchase(draft))) = (&self.facts, &mut self.draft) else {
            return Action::Trouble("There is no purchase to make a note of.".to_owned());
        };
        let line = draft.lines.first();
        let note = PurchaseNote {
            buyer: facts.business_name.clone(),
            seller: draft.supplier.trim().to_owned(),
            thing: line.map_or_else(String::new, |line| line.what.trim().to_owned()),
            serial: line.map_or_else(String::new, |line| line.equipment.serial.trim().to_owned()),
            price: format!(
                "{} {}",
                facts.show(draft.total(facts)),
                facts.currency.code()
            ),
            date: crate::app::widgets::parse_day(&draft.date, facts.today),
        };
        let day = note.date.unwrap_or(facts.today);
        let words: String = note
            .thing
            .chars()
            .map(|c| {
                if c.is_alphanumeric() {
                    c.to_ascii_lowercase()
                } else {
                    '-'
                }
            })
            .collect();
        let name = format!("purchase-note-{day}-{}.html", words.trim_matches('-'));
        let folder = facts
            .book_path
            .parent()
            .unwrap_or(std::path::Path::new("."));
        let path = folder.join(name);
        if let Err(error) = std::fs::write(&path, note_html(&note)) {
            return Action::Trouble(format!(
                "The note could not be written: {error}. Nothing in the book has changed. ({})",
                path.display()
            ));
        }
        if draft.stands_in.trim().is_empty() {
            draft.stands_in = "note signed by buyer and seller".to_owned();
        }
        Action::OpenFile {
            path,
            done: "The note to sign and print is written".to_owned(),
        }
    }

    fn side_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        let (Some(facts), Some(draft)) = (&self.facts, &mut self.draft) else {
            return None;
        };
        if let Some(receipt) = draft.receipt() {
            receipt.ui(ui, &facts.book_path);
            ui.add_space(space::LARGE);
        }
        if let Draft::Ordering(draft) = draft {
            draft.beside_ui(ui, facts);
        }
        match &self.outcome {
            Some(Ok(outcome)) => match shown_entry(outcome, draft, facts) {
                Some(entry) => ledger_preview(ui, Ok(&entry), &facts.chart, &facts.currency),
                None => card(ui, |ui| {
                    card_heading(ui, "In the books");
                    soft(ui, nothing_posted(outcome));
                }),
            },
            Some(Err(problems)) => {
                let words = problems.sentence();
                ledger_preview(ui, Err(words.as_str()), &facts.chart, &facts.currency);
            }
            None => {}
        }
        ui.add_space(space::LARGE);
        let mut action = None;
        let words = draft.primary_words();
        ui.horizontal_wrapped(|ui| {
            if primary_button(ui, words, "Ctrl Enter").clicked() {
                action = Some(Pressed::Write);
            }
            if secondary_button(ui, "Keep for later", "Esc").clicked() {
                action = Some(Pressed::Leave);
            }
            let is_something = self.kept.is_some() || !draft.is_untouched();
            if is_something && quiet_button(ui, "Throw it away").clicked() {
                action = Some(Pressed::ThrowAway);
            }
        });
        if let Some(words) = &self.refused {
            crate::app::widgets::problem(ui, words);
        }
        match action? {
            Pressed::Write => self.submit(),
            Pressed::Leave => Some(self.leave()),
            Pressed::ThrowAway => {
                self.is_thrown_away = true;
                self.to_keep()
                    .map(|kept| Action::write(Write::ThrowAway(kept)))
            }
        }
    }

    fn leave(&self) -> Action {
        if self.has_draft() {
            Action::KeepForLater
        } else {
            Action::Close
        }
    }
}

/// The entry beside the form: what it tells, and what the stock it moves is worth.
fn shown_entry<'o>(
    outcome: &'o Outcome,
    draft: &Draft,
    facts: &Facts,
) -> Option<Cow<'o, JournalEntry>> {
    let entry = outcome.entry()?;
    let with_stock = match outcome {
        Outcome::Record(_) => draft.moved(facts),
        _ => None,
    };
    if let Some(moved) = with_stock
        && let Some(Ok(lines)) = facts.stock_lines(&moved)
        && !lines.is_empty()
    {
        let all: Vec<_> = entry.lines().iter().chain(lines).cloned().collect();
        if let Ok(whole) = JournalEntry::new(entry.header.clone(), all) {
            return Some(Cow::Owned(whole));
        }
    }
    Some(match outcome {
        Outcome::Stock(..) | Outcome::Tell(..) => {
            summed(entry).map_or(Cow::Borrowed(entry), Cow::Owned)
        }
        _ => Cow::Borrowed(entry),
    })
}

/// An entry of stock with one line an account: what goes into a batch and out of it again on the same day is not worth
/// a look before it is written.
fn summed(entry: &JournalEntry) -> Option<JournalEntry> {
    let mut lines: Vec<Line> = Vec::new();
    for line in entry.lines() {
        match lines.iter_mut().find(|one| one.account == line.account) {
            Some(one) => one.amount += line.amount,
            None => lines.push(Line::debit(line.account, line.amount)),
        }
    }
    lines.retain(|line| !line.amount.is_zero());
    lines.sort_by_key(|line| line.amount.is_negative());
    JournalEntry::new(entry.header.clone(), lines).ok()
}

/// Why an outcome posts nothing.
fn nothing_posted(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Plan(_) => "Nothing: a plan is written when it is bought.",
        Outcome::Item(_) => "Nothing: purchases, batches, sales and counts will move it.",
        Outcome::Bundle(_) => "Nothing: a set that is sold takes its parts out of the stock.",
        Outcome::Recipe(_) => "Nothing: a batch is written down when you make one.",
        Outcome::Ordering(write) => match write.as_ref() {
            OrderingWrite::Claim(_) => "Nothing until the supplier gives something for it.",
            OrderingWrite::Arrive { .. } => {
                "Nothing is posted: nothing is billed. The stock keeps the pieces all the same."
            }
            _ => "Nothing: the books are written when it arrives and is billed.",
        },
        Outcome::Tell(..) => "Nothing is posted; it is kept as a step of what goes on.",
        Outcome::Stock(..) => "Nothing is posted: no value moves. The stock keeps it all the same.",
        _ => "Nothing yet: it is written when it is due and you confirm it.",
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pressed {
    Write,
    Leave,
    ThrowAway,
}

/// What the app is asked to write for an outcome.
fn write_of(outcome: Outcome, draft: &mut Draft, facts: &Facts) -> Write {
    match outcome {
        Outcome::Record(recording) => {
            let header = &recording.entry.header;
            let whom = if header.party.is_empty() {
                String::new()
            } else {
                format!(", {}", header.party)
            };
            let total = facts.show(recording.entry.named_amount());
            let done = format!("Written down: {} {total}{whom}", header.kind.plain());
            let receipts = draft
                .receipt()
                .and_then(|receipt| receipt.file.clone())
                .into_iter()
                .collect::<Vec<ReceiptFile>>();
            Write::Record {
                recordings: vec![*recording],
                receipts,
                done,
            }
        }
        Outcome::Recurring(recurring) if recurring.id == 0 => Write::AddRecurring(recurring),
        Outcome::Recurring(recurring) => Write::UpdateRecurring(recurring),
        Outcome::Plan(line) => Write::KeepPlanLine(line),
        Outcome::Amend(number, entry, reason) => Write::Amend {
            number,
            entry,
            proof: None,
            receipts: Vec::new(),
            reason,
        },
        Outcome::TakeBack(number, entry, reason) => Write::Reverse {
            number,
            date: entry.header.date,
            reason,
        },
        Outcome::Item(item) => Write::PutItem(item),
        Outcome::Recipe(recipe) => Write::PutRecipe(recipe),
        Outcome::Bundle(bundle) => Write::PutBundle(bundle),
        Outcome::Stock(moved, _entry) => Write::MoveStock(moved),
        Outcome::Tell(told, _entry) => Write::Tell(told),
        Outcome::Ordering(write) => Write::Ordering(write),
    }
}

impl Screen for FormScreen {
    fn title(&self) -> String {
        self.draft
            .as_ref()
            .map_or_else(|| "What happened?".to_owned(), Draft::title)
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.read(book, cx.today)
    }

    fn is_stale(&self) -> bool {
        match (&self.draft, &self.facts) {
            (Some(draft), Some(facts)) => {
                self.opened_shop.is_some() || !facts.has_answered(&draft.question(facts))
            }
            _ => true,
        }
    }

    fn ui(&mut self, ui: &mut Ui, _cx: &ViewContext<'_>) -> Option<Action> {
        let is_write = self.keys(ui);
        if let (Some(draft), Some(facts)) = (&self.draft, &self.facts) {
            let was_tried = self.was_tried;
            let outcome = draft.outcome(facts);
            self.outcome = Some(outcome.map_err(|all| Problems::new(all, was_tried)));
        }
        if is_write && let Some(action) = self.submit() {
            return Some(action);
        }
        if let Some(action) = self.ask(ui) {
            return Some(action);
        }
        let mut event = None;
        let mut action = None;
        if let Some(draft) = &self.draft {
            page_heading(ui, &draft.title(), draft.second_line());
        }
        two_columns(
            ui,
            self,
            |ui, form| {
                let none = Problems::default();
                let problems = match &form.outcome {
                    Some(Err(problems)) => problems,
                    _ => &none,
                };
                if let (Some(draft), Some(facts)) = (&mut form.draft, &form.facts) {
                    event = draft.ui(ui, facts, problems, form.take_focus);
                    form.take_focus = false;
                }
            },
            |ui, form| action = form.side_ui(ui),
        );
        ui.add_space(space::LARGE);
        match event {
            Some(event) => self.answer(event),
            None => action,
        }
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_side_write) {
            return After::Stay;
        }
        // What began in the plan or with a statement line leads back there.
        let is_of_line = self
            .draft
            .as_ref()
            .is_some_and(|draft| draft.bank_line().is_some());
        if self.is_thrown_away || self.wish.plan.is_some() || is_of_line {
            return After::Close;
        }
        self.was_tried = false;
        self.was_asked = false;
        self.refused = None;
        let stays = matches!(
            self.draft,
            Some(Draft::Purchase(_) | Draft::Sale(_) | Draft::Manual(_))
        );
        if !stays {
            return After::Close;
        }
        // A fresh form is made from what the book says now, for the next receipt of the pile.
        self.wish = FormWish::new(self.wish.form);
        self.kept = None;
        self.draft = None;
        self.outcome = None;
        self.take_focus = true;
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.refused = Some(message.to_owned());
        self.is_side_write = false;
        self.is_thrown_away = false;
    }

    fn to_keep(&self) -> Option<Kept> {
        let draft = self.draft.as_ref()?;
        Some(Kept {
            id: self.kept,
            form: draft.name(),
            content: serde_json::to_string(draft).ok()?,
        })
    }

    fn taken_up(&self) -> Option<i64> {
        self.kept
    }

    fn has_draft(&self) -> bool {
        self.draft
            .as_ref()
            .is_some_and(|draft| !draft.is_untouched())
    }
}
