//! The page of what goes on as it is drawn: a card for each kind, a row for each matter, its steps when it is opened.
//! What it says is worked out in `reports` and `matters`.

use egui::{RichText, Ui};

use super::{GoingOnScreen, Model, form_of, next_steps, tally};
use crate::app::action::{Action, Write};
use crate::app::forms::{Form, FormWish};
use crate::app::screen::ViewContext;
use crate::app::screens::entry;
use crate::app::theme::{self, space};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, empty_state, link, primary_button, problem,
    quiet_button, secondary_button, soft, text_field,
};
use crate::dates::show_day;
use crate::export::pdf;
use crate::matters::{Matter, MatterKind, Step, StepKind};
use crate::money::Money;
use crate::occasions::{WAYS, caution_of};
use crate::reports::{GIFTS_CAUTION, HELPERS_CAUTION};

/// So many that have ended are listed.
const ENDED_SHOWN: usize = 12;
/// So many instalments of a plan are listed.
const INSTALMENTS_SHOWN: usize = 3;

impl GoingOnScreen {
    pub(super) fn body_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.take()?;
        let asked = self.model_ui(ui, &model, cx);
        self.model = Some(model);
        asked
    }

    fn model_ui(&mut self, ui: &mut Ui, model: &Model, cx: &ViewContext<'_>) -> Option<Action> {
        let kinds: Vec<MatterKind> = MatterKind::ALL
            .iter()
            .copied()
            .filter(|kind| model.matters.of_kind(*kind).next().is_some())
            .collect();
        let n_gifts = model.gifts.as_ref().map_or(0, |gifts| gifts.people.len());
        if kinds.is_empty() && n_gifts == 0 {
            let pressed = empty_state(
                ui,
                "Nothing goes on yet",
                "Vouchers and deposits you took money for, invoices to shops, pieces on commission, disputes, claims, \
                 loans and fairs are kept here until they end.",
                &[
                    "I pack for a fair",
                    "I sold a voucher",
                    "I gave a shop pieces on commission",
                ],
            )?;
            let form = [Form::FairPlanned, Form::VoucherSold, Form::CommissionSent]
                .get(pressed)
                .copied()?;
            return Some(Action::Start(FormWish::new(form)));
        }
        let mut choices: Vec<(Option<MatterKind>, &str)> = vec![(None, "Everything open")];
        choices.extend(kinds.iter().map(|kind| (Some(*kind), kind.heading())));
        choice_chips(ui, "Show", &mut self.shown, &choices);
        ui.add_space(space::LARGE);
        let mut asked = None;
        for kind in kinds {
            if self.shown.is_some_and(|shown| shown != kind) {
                continue;
            }
            let is_all = self.shown.is_some();
            if let Some(action) = self.kind_ui(ui, model, kind, is_all, cx) {
                asked = Some(action);
            }
        }
        if n_gifts > 0 && self.shown.is_none() {
            asked = asked.or(gifts_ui(ui, model, cx));
        }
        asked
    }

    fn kind_ui(
        &mut self,
        ui: &mut Ui,
        model: &Model,
        kind: MatterKind,
        with_ended: bool,
        cx: &ViewContext<'_>,
    ) -> Option<Action> {
        let (open, ended): (Vec<&Matter>, Vec<&Matter>) = model
            .matters
            .of_kind(kind)
            .partition(|matter| matter.is_open());
        let always = matches!(
            kind,
            MatterKind::Fair | MatterKind::Helper | MatterKind::Untaxed
        );
        if open.is_empty() && !with_ended && !always {
            return None;
        }
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, kind.heading());
            let left: Money = open.iter().map(|matter| matter.balance()).sum();
            if kind.has_balance() && !left.is_zero() {
                soft(
                    ui,
                    &format!("{} {} in all.", cx.currency.show(left), kind.left_words()),
                );
            }
            for matter in &open {
                asked = asked.take().or(self.matter_ui(ui, model, matter, cx));
            }
            if kind == MatterKind::Helper {
                helpers_ui(ui, model, cx);
            }
            if !caution_of(kind).is_empty() {
                ui.add_space(space::SMALL);
                caution(ui, caution_of(kind));
            }
            if open.is_empty() && kind != MatterKind::Helper {
                soft(ui, "Nothing of this kind is open.");
            }
            if !ended.is_empty() && (with_ended || always) {
                ui.add_space(space::SMALL);
                soft(ui, if always { "Lately" } else { "Ended" });
                let newest = ended.iter().rev().take(ENDED_SHOWN);
                for matter in newest {
                    asked = asked.take().or(self.matter_ui(ui, model, matter, cx));
                }
            }
        });
        ui.add_space(space::LARGE);
        asked
    }

    fn matter_ui(
        &mut self,
        ui: &mut Ui,
        model: &Model,
        matter: &Matter,
        cx: &ViewContext<'_>,
    ) -> Option<Action> {
        let mut asked = None;
        let id = (matter.kind, matter.key.clone());
        let is_opened = self.opened.as_ref() == Some(&id);
        ui.push_id(&id, |ui| {
            ui.add_space(space::SMALL);
            egui::Sides::new().shrink_left().wrap().show(
                ui,
                |ui| {
                    ui.vertical(|ui| {
                        ui.spacing_mut().item_spacing.y = 0.0;
                        let words = match matter.party() {
                            party if party.is_empty() || party == matter.key => matter.key.clone(),
                            party => format!("{}, {party}", matter.key),
                        };
                        if link(ui, &words)
                            .on_hover_text("Its steps, each with its entry")
                            .clicked()
                        {
                            self.opened = (!is_opened).then(|| id.clone());
                        }
                        soft(ui, &sentence(matter, model, cx));
                    });
                },
                |ui| {
                    if matter.kind.has_balance() {
                        let shown = cx.currency.show(matter.balance());
                        ui.label(RichText::new(shown).font(theme::bold()));
                    }
                },
            );
            let steps = next_steps(matter);
            let is_printed = match matter.kind {
                MatterKind::Fair => matter.is_open(),
                MatterKind::Invoice => matter.last(StepKind::Invoiced).is_some(),
                _ => false,
            };
            if !steps.is_empty() || is_printed {
                ui.horizontal_wrapped(|ui| {
                    for (idx, (words, form)) in steps.into_iter().enumerate() {
                        let pressed = if idx == 0 {
                            secondary_button(ui, words, "")
                        } else {
                            quiet_button(ui, words)
                        };
                        let name = format!("{words}: {}", matter.key);
                        pressed.widget_info(|| {
                            egui::WidgetInfo::labeled(egui::Role::Button, true, &name)
                        });
                        if pressed.clicked() {
                            asked = Some(form_of(form, matter));
                        }
                    }
                    if let Some(invoice) = model
                        .invoices
                        .iter()
                        .find(|one| matter.kind == MatterKind::Invoice && one.number == matter.key)
                        && quiet_button(ui, "Invoice to print")
                            .on_hover_text("A PDF beside the book")
                            .clicked()
                    {
                        asked = Some(invoice_action(model, invoice, cx));
                    }
                    if matter.kind == MatterKind::Fair
                        && matter.is_open()
                        && quiet_button(ui, "Tally sheet to print")
                            .on_hover_text("A page with the pieces, the float and room to tally")
                            .clicked()
                    {
                        asked = Some(tally::print(model_parts(model), matter, cx.currency));
                    }
                });
            }
            if is_opened {
                asked = asked.take().or(self.steps_ui(ui, matter, cx));
            }
        });
        asked
    }

    fn steps_ui(&mut self, ui: &mut Ui, matter: &Matter, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = None;
        for step in &matter.steps {
            ui.horizontal_wrapped(|ui| {
                ui.add_space(space::LARGE);
                ui.label(step_words(step, cx));
                match step.entry {
                    Some(number) => {
                        if link(ui, &format!("Entry {number}")).clicked() {
                            asked = Some(entry::open(number));
                        }
                    }
                    None => {
                        let pressed = quiet_button(ui, "Take it out\u{2026}");
                        if pressed
                            .on_hover_text("It posted nothing; why it goes is kept in the history")
                            .clicked()
                        {
                            self.removing = Some((step.id, String::new()));
                        }
                    }
                }
            });
            if let Some((id, why)) = &mut self.removing
                && *id == step.id
            {
                text_field(ui, Field::new("Why it goes").take_focus(false), why);
                ui.horizontal(|ui| {
                    if primary_button(ui, "Take it out", "").clicked() {
                        asked = Some(Action::write(Write::RemoveStep(*id, why.clone())));
                    }
                });
                if let Some(words) = &self.refused {
                    problem(ui, words);
                }
            }
        }
        asked
    }
}

fn model_parts(model: &Model) -> tally::Parts<'_> {
    tally::Parts {
        items: &model.items,
        business: &model.business,
        folder: &model.folder,
    }
}

/// Writes an invoice beside the book and opens it.
fn invoice_action(model: &Model, invoice: &pdf::Invoice, cx: &ViewContext<'_>) -> Action {
    let number: String = invoice
        .number
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let path = model.folder.join(format!("invoice-{number}.pdf"));
    let written = pdf::invoice(invoice, cx.currency, invoice.date)
        .map_err(|error| error.to_string())
        .and_then(|bytes| std::fs::write(&path, bytes).map_err(|error| error.to_string()));
    match written {
        Ok(()) => Action::OpenFile {
            path,
            done: format!("Invoice {} is written", invoice.number),
        },
        Err(words) => Action::Trouble(format!(
            "The invoice could not be written: {words}. Nothing in the book has changed. ({})",
            path.display()
        )),
    }
}

fn step_words(step: &Step, cx: &ViewContext<'_>) -> String {
    let mut words = format!(
        "{}: {}",
        show_day(step.on),
        step.kind.plain().to_lowercase()
    );
    if !step.amount.is_zero() {
        words.push_str(&format!(" {}", cx.currency.show(step.amount)));
    }
    let pieces: Vec<String> = step
        .pieces
        .iter()
        .map(|one| format!("{} {}", one.quantity, one.item))
        .collect();
    if !pieces.is_empty() {
        words.push_str(&format!(", {}", pieces.join(", ")));
    }
    if !step.about.is_empty() {
        words.push_str(&format!(" ({})", step.about));
    }
    words
}

/// How a matter stands, in a sentence.
fn sentence(matter: &Matter, model: &Model, cx: &ViewContext<'_>) -> String {
    if matter.kind == MatterKind::Fair
        && let Some(report) = model.fairs.iter().find(|one| one.key == matter.key)
    {
        let day = &report.day;
        let hour = day.per_hour().map_or_else(String::new, |each| {
            format!(", {} an hour", cx.currency.show(each))
        });
        return format!(
            "{}: sales {}, left {}{hour}.",
            show_day(report.date),
            cx.currency.show(day.sales),
            cx.currency.show(day.profit())
        );
    }
    if matter.kind == MatterKind::Fair
        && let Some(step) = matter.last(StepKind::Planned)
    {
        let words = match step.about.as_str() {
            "" => String::new(),
            about => format!(". {about}"),
        };
        return format!(
            "On {}, packed with a float of {}{words}.",
            show_day(step.on),
            cx.currency.show(step.amount)
        );
    }
    if matter.kind == MatterKind::Untaxed {
        return format!(
            "{}: {} of {} is not used.",
            matter.about(),
            cx.currency.show(matter.balance()),
            cx.currency.show(matter.total(StepKind::Bought))
        );
    }
    if matter.kind == MatterKind::Loan
        && let Some(loan) = model.loans.iter().find(|one| one.key == matter.key)
        && !loan.plan.is_empty()
    {
        let coming: Vec<String> = loan
            .plan
            .iter()
            .filter(|one| one.due >= cx.today)
            .take(INSTALMENTS_SHOWN)
            .map(|one| {
                format!(
                    "{} on {} ({} interest)",
                    cx.currency.show(one.amount()),
                    show_day(one.due),
                    cx.currency.show(one.interest)
                )
            })
            .collect();
        return format!("As planned: {}.", coming.join(", "));
    }
    let since = matter.began_on().map(show_day).unwrap_or_default();
    let about = match matter.about() {
        "" => String::new(),
        about => format!("{about}. "),
    };
    let due = match (matter.is_open(), matter.due()) {
        (true, Some(due)) => {
            let what = match matter.kind {
                MatterKind::Invoice => "to be paid until",
                MatterKind::Commission => "its next statement about",
                MatterKind::Deposit => "wanted by",
                MatterKind::Voucher => "runs out on",
                _ => "look again on",
            };
            format!("; {what} {}", show_day(due))
        }
        _ => String::new(),
    };
    let there: Vec<String> = matter
        .pieces_left()
        .iter()
        .map(|one| format!("{} {}", one.quantity, one.item))
        .collect();
    let there = if matter.kind == MatterKind::Commission && !there.is_empty() {
        format!("There now: {}. ", there.join(", "))
    } else {
        String::new()
    };
    format!("{about}{there}Since {since}, {}{due}.", matter.state())
}

/// What helpers were paid this year, by way of payment.
fn helpers_ui(ui: &mut Ui, model: &Model, cx: &ViewContext<'_>) {
    let Some(report) = &model.helpers else {
        return;
    };
    for one in &report.helpers {
        let ways: Vec<String> = WAYS
            .iter()
            .filter_map(|(word, words)| {
                let amount = one.by_way.get(*word)?;
                Some(format!("{} {words}", cx.currency.show(*amount)))
            })
            .collect();
        ui.add_space(space::SMALL);
        ui.label(format!(
            "{}: {} in {} ({}).",
            one.name,
            cx.currency.show(one.total),
            report.year,
            ways.join(", ")
        ));
        let form = match one.tax_form.as_str() {
            "yes" => "Her tax form is there.",
            "not-needed" => "No tax form is needed.",
            _ => "Her tax form is not there yet.",
        };
        let reported = match one.is_reported {
            Some(true) => "It comes to the limit, so it is to be reported.",
            Some(false) => "It stays under the limit.",
            None => "The limit of this year is not kept here; look it up.",
        };
        soft(ui, &format!("{form} {reported}"));
    }
    if let Some(limit) = &report.limit {
        soft(
            ui,
            &format!(
                "Limit {} a year, without cards and apps. {} (checked {}).",
                cx.currency.show(limit.amount),
                limit.source,
                limit.checked
            ),
        );
    }
    caution(ui, HELPERS_CAUTION);
}

/// Gifts of this year by person, at cost.
fn gifts_ui(ui: &mut Ui, model: &Model, cx: &ViewContext<'_>) -> Option<Action> {
    let report = model.gifts.as_ref()?;
    let mut asked = None;
    card(ui, |ui| {
        card_heading(ui, "Gifts by person");
        for one in &report.people {
            let above = match one.above {
                Some(above) if above.is_positive() => {
                    format!(", {} of it above the limit", cx.currency.show(above))
                }
                _ => String::new(),
            };
            ui.horizontal_wrapped(|ui| {
                ui.label(format!(
                    "{}: {} at cost in {}{above}.",
                    one.person,
                    cx.currency.show(one.cost),
                    report.year
                ));
                for number in &one.entries {
                    if link(ui, &format!("Entry {number}")).clicked() {
                        asked = Some(entry::open(*number));
                    }
                }
            });
        }
        if let Some(limit) = &report.limit {
            soft(
                ui,
                &format!(
                    "Limit {} a person and year. {} (checked {}).",
                    cx.currency.show(limit.amount),
                    limit.source,
                    limit.checked
                ),
            );
        }
        caution(ui, GIFTS_CAUTION);
    });
    asked
}
