//! Fields with their label above and what is wrong beneath: text, money, days.
//! They hold what is being typed, however wrong; what it means is worked out beside them.

use chrono::{Datelike, Days, NaiveDate};
use egui::{Key, Margin, Modifiers, Response, RichText, TextEdit, Ui, Vec2};

use super::text::problem;
use crate::app::theme::{self, palette, space};
use crate::dates::{self, Month};
use crate::money::{Currency, Money};

/// How a field looks: its label, width, hint, and the problem to show beneath it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Field<'a> {
    /// The label above, which is also the name that screen readers and tests use.
    pub label: &'a str,
    /// The width in points; as wide as there is room for when zero.
    pub width: f32,
    /// Soft words inside while it is empty.
    pub hint: &'a str,
    /// What is wrong, to stand beneath.
    pub problem: Option<&'a str>,
    /// Whether the text stands at the right, as figures do.
    pub right: bool,
    /// Asks for the keyboard in this frame.
    pub take_focus: bool,
}

impl<'a> Field<'a> {
    /// A field as wide as there is room for.
    #[must_use]
    pub fn new(label: &'a str) -> Self {
        Self {
            label,
            ..Self::default()
        }
    }

    /// With this width in points.
    #[must_use]
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }

    /// With soft words while it is empty.
    #[must_use]
    pub fn hint(mut self, hint: &'a str) -> Self {
        self.hint = hint;
        self
    }

    /// With what is wrong with it.
    #[must_use]
    pub fn problem(mut self, problem: Option<&'a str>) -> Self {
        self.problem = problem;
        self
    }

    /// Asking for the keyboard in this frame.
    #[must_use]
    pub fn take_focus(mut self, take: bool) -> Self {
        self.take_focus = take;
        self
    }

    pub(super) fn inner_width(&self, ui: &Ui) -> f32 {
        if self.width > 0.0 {
            self.width
        } else {
            ui.available_width()
        }
    }
}

/// Draws a label with something beneath it, which names itself with `labelled_by` the given label.
pub fn label_above<R>(
    ui: &mut Ui,
    label: &str,
    content: impl FnOnce(&mut Ui, &Response) -> R,
) -> R {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        // Nearer to its own field than to the one above.
        ui.add_space(space::SMALL);
        let colour = palette(ui).soft_ink;
        let label = ui.label(RichText::new(label).font(theme::small()).color(colour));
        content(ui, &label)
    })
    .inner
}

/// The text field itself, of the height and margin that all fields share.
pub(super) fn edit<'t>(field: &Field<'_>, text: &'t mut String, width: f32) -> TextEdit<'t> {
    let align = if field.right {
        egui::Align2::RIGHT_CENTER
    } else {
        egui::Align2::LEFT_CENTER
    };
    TextEdit::singleline(text)
        .hint_text(field.hint.to_owned())
        .margin(Margin::symmetric(10, 6))
        .desired_width(width)
        .min_size(Vec2::new(0.0, space::FIELD))
        .align(align)
}

fn finish(ui: &mut Ui, field: &Field<'_>, label: &Response, response: Response) -> Response {
    let response = response.labelled_by(label.id);
    super::keyboard::follow(ui, &response);
    if field.take_focus {
        response.request_focus();
    }
    if let Some(words) = field.problem {
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_invalid(egui::accesskit::Invalid::True);
            node.set_description(words);
        });
        let width = field.inner_width(ui);
        ui.scope(|ui| {
            ui.set_max_width(width);
            problem(ui, words);
        });
    }
    response
}

/// A line of text.
pub fn text_field(ui: &mut Ui, field: Field<'_>, text: &mut String) -> Response {
    label_above(ui, field.label, |ui, label| {
        let width = field.inner_width(ui);
        let response = ui.add(edit(&field, text, width));
        finish(ui, &field, label, response)
    })
}

/// Several lines of text.
pub fn text_area(ui: &mut Ui, field: Field<'_>, text: &mut String, rows: usize) -> Response {
    label_above(ui, field.label, |ui, label| {
        let width = field.inner_width(ui);
        let edit = TextEdit::multiline(text)
            .hint_text(field.hint.to_owned())
            .margin(Margin::symmetric(10, 6))
            .desired_width(width)
            .desired_rows(rows);
        let response = ui.add(edit);
        finish(ui, &field, label, response)
    })
}

/// An amount: takes `12`, `12.5`, `1,234.50` and small sums such as `3*4.99`, and shows beneath what it understood
/// when that differs from what was typed. Answers the field and the amount, `None` while it is empty or unclear.
pub fn money_field(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    currency: &Currency,
) -> (Response, Option<Money>) {
    label_above(ui, field.label, |ui, label| {
        amount_ui(ui, field, label, text, currency)
    })
}

/// As [`money_field`], with the label at the left of the amount: for many amounts one under the other.
pub fn money_row(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    currency: &Currency,
) -> (Response, Option<Money>) {
    ui.horizontal_top(|ui| {
        let words = (ui.available_width() - field.width - space::MEDIUM).max(60.0);
        let size = Vec2::new(words, space::FIELD);
        let layout = egui::Layout::left_to_right(egui::Align::Center);
        let label = ui.allocate_ui_with_layout(size, layout, |ui| {
            ui.set_min_size(size);
            ui.add(egui::Label::new(field.label).wrap())
        });
        ui.vertical(|ui| amount_ui(ui, field, &label.inner, text, currency))
            .inner
    })
    .inner
}

/// As [`money_field`], named by a label that stands elsewhere.
pub fn money_beside(
    ui: &mut Ui,
    field: Field<'_>,
    label: &Response,
    text: &mut String,
    currency: &Currency,
) -> (Response, Option<Money>) {
    ui.vertical(|ui| amount_ui(ui, field, label, text, currency))
        .inner
}

fn amount_ui(
    ui: &mut Ui,
    field: Field<'_>,
    label: &Response,
    text: &mut String,
    currency: &Currency,
) -> (Response, Option<Money>) {
    let unclear = match currency.parse_typed(text) {
        Err(error) if !text.trim().is_empty() => Some(error.to_string()),
        _ => None,
    };
    let mut field = field;
    field.right = true;
    let width = field.inner_width(ui);
    let response = ui.add(edit(&field, text, width));
    if !response.has_focus() {
        field.problem = field.problem.or(unclear.as_deref());
    }
    let response = finish(ui, &field, label, response);
    // Read again: this frame's keys have changed the text.
    let amount = currency.parse_typed(text).ok();
    if let Some(amount) = amount
        && field.problem.is_none()
        && is_a_sum(text)
    {
        super::text::soft(ui, &format!("= {}", currency.show(amount)));
    }
    if let Some(amount) = amount
        && response.lost_focus()
        && !is_a_sum(text)
    {
        *text = currency.show(amount);
    }
    (response, amount)
}

fn is_a_sum(text: &str) -> bool {
    text.trim()
        .trim_start_matches(['-', '\u{2212}'])
        .contains(['+', '-', '*', '/', 'x', 'X', '×', '÷', '\u{2212}'])
}

/// A day: takes `2026-09-28`, `28 Sep`, `28.9.`, `today` and `yesterday`; the up and down keys step a day.
/// Answers the field and the day, `None` while it is unclear.
pub fn date_field(
    ui: &mut Ui,
    field: Field<'_>,
    text: &mut String,
    today: NaiveDate,
) -> (Response, Option<NaiveDate>) {
    label_above(ui, field.label, |ui, label| {
        let mut field = field;
        let width = field.inner_width(ui);
        let response = ui.add(edit(&field, text, width));
        if response.has_focus()
            && let Some(day) = parse_day(text, today)
        {
            step_by_keys(ui, text, day);
        }
        let day = parse_day(text, today);
        if response.lost_focus()
            && let Some(day) = day
        {
            *text = dates::show_day(day);
        }
        if day.is_none() && !response.has_focus() && field.problem.is_none() {
            field.problem = Some("not a day; write 28 Sep or 2026-09-28");
        }
        let response = finish(ui, &field, label, response);
        (response, day)
    })
}

fn step_by_keys(ui: &Ui, text: &mut String, day: NaiveDate) {
    let (up, down) = ui.input_mut(|input| {
        (
            input.consume_key(Modifiers::NONE, Key::ArrowUp),
            input.consume_key(Modifiers::NONE, Key::ArrowDown),
        )
    });
    let stepped = match (up, down) {
        (true, _) => day.checked_add_days(Days::new(1)),
        (_, true) => day.checked_sub_days(Days::new(1)),
        _ => None,
    };
    if let Some(day) = stepped {
        *text = dates::show_day(day);
    }
}

/// Reads a day as people type it. Without a year it is the latest such day that is not more than a month ahead.
#[must_use]
pub fn parse_day(text: &str, today: NaiveDate) -> Option<NaiveDate> {
    let lower = text.trim().to_lowercase();
    match lower.as_str() {
        "" => return None,
        "today" | "t" => return Some(today),
        "yesterday" | "y" => return today.pred_opt(),
        "tomorrow" => return today.succ_opt(),
        _ => {}
    }
    if let Ok(day) = dates::parse_iso(&lower) {
        return Some(day);
    }
    let parts: Vec<&str> = lower
        .split(|c: char| c.is_whitespace() || matches!(c, '.' | ',' | '-' | '/'))
        .filter(|part| !part.is_empty())
        .collect();
    let (day, month, year) = match parts.as_slice() {
        [day] => (day.parse().ok()?, today.month(), None),
        [first, second] => {
            let (day, month) = day_and_month(first, second)?;
            (day, month, None)
        }
        [first, second, year] => {
            let (day, month) = day_and_month(first, second)?;
            (day, month, Some(year.parse::<i32>().ok()?))
        }
        _ => return None,
    };
    let on = |year: i32| NaiveDate::from_ymd_opt(year, month, day);
    match year {
        Some(year) if year < 100 => on(2000 + year),
        Some(year) => on(year).filter(|day| (1900..=2200).contains(&day.year())),
        None => {
            let limit = dates::add_months(today, 1);
            on(today.year())
                .filter(|day| *day <= limit)
                .or_else(|| on(today.year() - 1))
        }
    }
}

/// Day and month in either order when the month is written as a word, otherwise the day first.
fn day_and_month(first: &str, second: &str) -> Option<(u32, u32)> {
    match (month_number(first), month_number(second)) {
        (Some(month), None) => Some((second.parse().ok()?, month)),
        (None, Some(month)) => Some((first.parse().ok()?, month)),
        _ => Some((first.parse().ok()?, second.parse().ok()?)),
    }
}

fn month_number(word: &str) -> Option<u32> {
    if word.len() < 3 {
        return None;
    }
    (1..=12).find(|month| {
        Month::new(2000, *month)
            .name()
            .to_lowercase()
            .starts_with(word)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_read_as_people_type_them() {
        let today = NaiveDate::from_ymd_opt(2026, 9, 30).expect("a day");
        let rows = [
            ("2026-09-28", Some("2026-09-28")),
            ("28 Sep 2026", Some("2026-09-28")),
            ("28 sep", Some("2026-09-28")),
            ("Sep 28", Some("2026-09-28")),
            ("28.9.", Some("2026-09-28")),
            ("28/9/26", Some("2026-09-28")),
            ("3", Some("2026-09-03")),
            ("today", Some("2026-09-30")),
            ("yesterday", Some("2026-09-29")),
            ("24 Dec", Some("2025-12-24")),
            ("5 oct", Some("2026-10-05")),
            ("31 Sep", None),
            ("soon", None),
            ("", None),
        ];
        for (typed, expected) in rows {
            let day = parse_day(typed, today).map(|day| day.to_string());
            assert_eq!(day.as_deref(), expected, "{typed}");
        }
    }
}
