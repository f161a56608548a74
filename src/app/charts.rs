//! Charts: bars by month, one bar of shares, lines over time. Each is also a list of words for those who do not see it.
//! The only place where money becomes a binary float, for drawing alone.

use egui::{
    Color32, CornerRadius, Rect, Response, RichText, Sense, Stroke, StrokeKind, Ui, Vec2, pos2,
    vec2,
};
use egui_plot::{Bar, BarChart, HLine, Line, LineStyle, Plot, PlotPoint, PlotPoints, Text};

use crate::app::theme::{self, Palette, palette, space};
use crate::app::widgets::soft;
use crate::money::{Currency, Money};

fn height_of(amount: Money, currency: &Currency) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "only a height on the screen")]
    let minor = amount.minor() as f64;
    minor / 10_f64.powi(i32::try_from(currency.decimals()).unwrap_or(2))
}

/// One bar of a chart by month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthBar {
    /// The word beneath, as `Sep`.
    pub label: String,
    /// The amount; below nothing it is drawn hollow and said with a minus.
    pub amount: Money,
}

fn quiet_plot(name: &str, height: f32) -> Plot<'static> {
    Plot::new(name)
        .height(height)
        .show_grid(false)
        .show_background(false)
        .show_axes([false, false])
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .show_x(false)
        .show_y(false)
}

/// Bars by month: full for earned, hollow with a minus for lost. Answers the bar that was pressed; the keyboard
/// reaches each month by the row of words beneath.
pub fn month_bars(
    ui: &mut Ui,
    name: &str,
    bars: &[MonthBar],
    currency: &Currency,
    height: f32,
) -> Option<usize> {
    let colours = palette(ui);
    let tallest = bars
        .iter()
        .map(|bar| height_of(bar.amount, currency).abs())
        .fold(1.0, f64::max);
    let lowest = bars
        .iter()
        .map(|bar| height_of(bar.amount, currency))
        .fold(0.0, f64::min);
    let highest = bars
        .iter()
        .map(|bar| height_of(bar.amount, currency))
        .fold(0.0, f64::max);
    let gap = tallest * 0.12;
    let mut drawn = Vec::new();
    let mut words = Vec::new();
    for (idx, bar) in bars.iter().enumerate() {
        let x = place(idx);
        let y = height_of(bar.amount, currency);
        // However little it was, the bar shows that there was something.
        let least = if bar.amount.is_zero() {
            0.0
        } else {
            tallest * 0.015
        };
        drawn.push(bar_shape(x, y.abs().max(least).copysign(y), colours));
        if bars.len() <= 15 && !bar.amount.is_zero() {
            let at = if y < 0.0 {
                y - gap * 0.6
            } else {
                y + gap * 0.6
            };
            let text = RichText::new(whole_units(bar.amount, currency))
                .font(theme::small())
                .color(colours.ink);
            words.push(Text::new("", PlotPoint::new(x, at), text));
        }
    }
    let count = place(bars.len());
    let plot = quiet_plot(name, height)
        .include_x(-0.7)
        .include_x(count - 0.3)
        .include_y(lowest - gap * 1.4)
        .include_y(highest + gap * 1.4)
        .set_margin_fraction(Vec2::ZERO)
        .label_formatter(|_| None);
    let shown = plot.show(ui, |plot| {
        plot.hline(
            HLine::new("", 0.0)
                .color(colours.edge)
                .width(1.0)
                .allow_hover(false),
        );
        plot.bar_chart(BarChart::new(name, drawn).allow_hover(false));
        for text in words {
            plot.text(text.allow_hover(false));
        }
        plot.pointer_coordinate()
    });
    describe(
        ui,
        &shown.response,
        &format!("{name}: {}", in_words(bars, currency)),
    );
    let pressed = shown
        .response
        .clicked()
        .then_some(shown.inner)
        .flatten()
        .and_then(|point| index_at(point.x, bars.len()));
    month_words(ui, bars, currency).or(pressed)
}

/// The months beneath the bars, each to be opened with the keyboard or the pointer.
fn month_words(ui: &mut Ui, bars: &[MonthBar], currency: &Currency) -> Option<usize> {
    let colours = palette(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), Sense::hover());
    let span = bars.len() as f32 + 0.4;
    let step = rect.width() / span.max(1.0);
    let every = (52.0 / step).ceil().max(1.0) as usize;
    let mut pressed = None;
    for (idx, bar) in bars.iter().enumerate() {
        let center = rect.left() + step * (idx as f32 + 0.7);
        let cell = Rect::from_center_size(pos2(center, rect.center().y), vec2(step, rect.height()));
        let response = ui.interact(cell, ui.scope_id().with(("month", idx)), Sense::click());
        let name = format!("{}: {}", bar.label, currency.show(bar.amount));
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
        let is_lit = response.hovered() || response.has_focus();
        if response.has_focus() {
            ui.painter().rect_stroke(
                cell,
                3.0,
                Stroke::new(2.0, colours.accent),
                StrokeKind::Inside,
            );
        }
        if idx.is_multiple_of(if step < 34.0 { every } else { 1 }) || is_lit {
            ui.painter().text(
                cell.center(),
                egui::Align2::CENTER_CENTER,
                &bar.label,
                theme::small(),
                if is_lit {
                    colours.accent
                } else {
                    colours.soft_ink
                },
            );
        }
        if response.on_hover_text(name).clicked() {
            pressed = Some(idx);
        }
    }
    pressed
}

fn place(idx: usize) -> f64 {
    idx as f64
}

fn index_at(x: f64, count: usize) -> Option<usize> {
    let nearest = x.round();
    (nearest >= 0.0 && (x - nearest).abs() < 0.45)
        .then_some(nearest as usize)
        .filter(|idx| *idx < count)
}

fn bar_shape(x: f64, y: f64, colours: &Palette) -> Bar {
    let fill = if y < 0.0 {
        Color32::TRANSPARENT
    } else {
        colours.accent
    };
    Bar::new(x, y)
        .width(0.62)
        .fill(fill)
        .stroke(Stroke::new(1.5, colours.accent))
}

fn whole_units(amount: Money, currency: &Currency) -> String {
    let shown = currency.show(amount);
    shown
        .split_once('.')
        .map_or_else(|| shown.clone(), |(whole, _)| whole.to_owned())
}

fn in_words(bars: &[MonthBar], currency: &Currency) -> String {
    let parts: Vec<String> = bars
        .iter()
        .map(|bar| format!("{} {}", bar.label, currency.show(bar.amount)))
        .collect();
    parts.join(", ")
}

fn describe(ui: &Ui, response: &Response, words: &str) {
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Image);
        node.set_label(words);
    });
}

/// One part of a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharePart {
    /// What it is.
    pub label: String,
    /// How much of the whole.
    pub amount: Money,
}

/// One bar cut into parts by size, each named beneath with its amount; the last is hollow, for what is left. Answers
/// the part that was pressed.
pub fn share_bar(ui: &mut Ui, parts: &[SharePart], currency: &Currency) -> Option<usize> {
    let colours = palette(ui);
    let positive: Vec<f64> = parts
        .iter()
        .map(|part| height_of(part.amount, currency).max(0.0))
        .collect();
    let total: f64 = positive.iter().sum::<f64>().max(0.01);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let mut left = rect.left();
    for (idx, size) in positive.iter().enumerate() {
        let width = (size / total) as f32 * rect.width();
        let piece = Rect::from_min_size(
            pos2(left, rect.top()),
            vec2((width - 2.0).max(1.0), rect.height()),
        );
        left += width;
        paint_part(ui, piece, series_colour(colours, idx, parts.len()), colours);
    }
    ui.add_space(space::SMALL);
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        for (idx, part) in parts.iter().enumerate() {
            let colour = series_colour(colours, idx, parts.len());
            if legend(ui, part, colour, colours, currency).clicked() {
                pressed = Some(idx);
            }
        }
    });
    pressed
}

fn series_colour(colours: &Palette, idx: usize, count: usize) -> Option<Color32> {
    if idx == 0 {
        return Some(colours.accent);
    }
    if idx + 1 == count && count > 2 {
        return None;
    }
    colours.series.get(idx - 1).copied()
}

fn paint_part(ui: &Ui, piece: Rect, colour: Option<Color32>, colours: &Palette) {
    match colour {
        Some(colour) => {
            ui.painter().rect_filled(piece, CornerRadius::ZERO, colour);
        }
        None => {
            let stroke = Stroke::new(1.0, colours.edge);
            ui.painter()
                .rect_stroke(piece, CornerRadius::ZERO, stroke, StrokeKind::Inside);
        }
    }
}

fn legend(
    ui: &mut Ui,
    part: &SharePart,
    colour: Option<Color32>,
    colours: &Palette,
    currency: &Currency,
) -> Response {
    let words = format!("{} {}", part.label, currency.show(part.amount));
    keep_together(ui, 16.0, &words, theme::body());
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let (spot, _) = ui.allocate_exact_size(vec2(10.0, 10.0), Sense::hover());
        paint_part(ui, spot, colour, colours);
        crate::app::widgets::link(ui, &words)
    })
    .inner
}

/// In a row that wraps, begins the next line where a sign `before` points wide and its words would be parted.
fn keep_together(ui: &mut Ui, before: f32, words: &str, font: egui::FontId) {
    let colour = Color32::BLACK;
    let galley = ui.painter().layout_no_wrap(words.to_owned(), font, colour);
    let is_first = ui.cursor().left() <= ui.max_rect().left() + 1.0;
    if !is_first && ui.cursor().left() + before + galley.size().x > ui.max_rect().right() {
        ui.end_row();
    }
}

/// One line of a chart over time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeLine {
    /// Its name, shown at its end with the last amount.
    pub name: String,
    /// One amount for each label.
    pub amounts: Vec<Money>,
    /// How it is drawn, so that lines differ by more than colour.
    pub stroke: LineStroke,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LineStroke {
    /// In one.
    #[default]
    Solid,
    /// In dashes.
    Dashed,
    /// In dots.
    Dotted,
}

/// Lines over time over a quiet scale of amounts, the months beneath. The line of words says the amounts of the last
/// month, or of the one under the pointer.
pub fn time_lines(
    ui: &mut Ui,
    name: &str,
    labels: &[String],
    lines: &[TimeLine],
    currency: &Currency,
    height: f32,
) {
    let colours = palette(ui);
    let amounts = lines.iter().flat_map(|line| &line.amounts);
    let (lowest, highest) = amounts
        .map(|amount| height_of(*amount, currency))
        .fold((0.0_f64, 1.0_f64), |(low, high), y| {
            (low.min(y), high.max(y))
        });
    let room = (highest - lowest) * 0.15;
    let last = place(labels.len().saturating_sub(1)).max(0.5);
    let owned: Vec<(TimeLine, Color32)> = lines
        .iter()
        .enumerate()
        .map(|(idx, line)| {
            let colour = if idx == 0 {
                colours.accent
            } else {
                colours.series[(idx + 1).min(3)]
            };
            (line.clone(), colour)
        })
        .collect();
    // The amounts of the scale stand left of the first month.
    let width = f64::from(ui.available_width()).max(SCALE_WIDTH * 2.0);
    let scale_at = -last * SCALE_WIDTH / (width - SCALE_WIDTH);
    let plot = quiet_plot(name, height)
        .include_x(scale_at)
        .include_x(last * 1.02)
        .include_y(lowest - room)
        .include_y(highest + room)
        .set_margin_fraction(Vec2::ZERO)
        .label_formatter(|_| None);
    let shown = plot.show(ui, |plot| {
        for amount in scale(lowest, highest) {
            let colour = if amount == 0.0 {
                colours.edge
            } else {
                colours.rule
            };
            plot.hline(
                HLine::new("", amount)
                    .color(colour)
                    .width(1.0)
                    .allow_hover(false),
            );
            let words = RichText::new(whole_units(amount_of(amount, currency), currency))
                .font(theme::small())
                .color(colours.soft_ink);
            plot.text(
                Text::new("", PlotPoint::new(scale_at, amount), words)
                    .anchor(egui::Align2::LEFT_BOTTOM)
                    .allow_hover(false),
            );
        }
        for (line, colour) in &owned {
            let points: PlotPoints<'_> = line
                .amounts
                .iter()
                .enumerate()
                .map(|(idx, amount)| [place(idx), height_of(*amount, currency)])
                .collect();
            let style = match line.stroke {
                LineStroke::Solid => LineStyle::Solid,
                LineStroke::Dashed => LineStyle::dashed_loose(),
                LineStroke::Dotted => LineStyle::dotted_dense(),
            };
            plot.line(
                Line::new(line.name.clone(), points)
                    .color(*colour)
                    .width(2.5)
                    .style(style)
                    .allow_hover(false),
            );
        }
        plot.pointer_coordinate()
    });
    let newest = labels.len().saturating_sub(1);
    let under_pointer = shown
        .inner
        .filter(|_| shown.response.hovered())
        .map(|point| (point.x.round().max(0.0) as usize).min(newest));
    let x_of = |idx: usize| {
        let point = PlotPoint::new(place(idx), 0.0);
        shown.transform.position_from_point(&point).x
    };
    if let Some(idx) = under_pointer {
        let stroke = Stroke::new(1.0, colours.edge);
        ui.painter()
            .vline(x_of(idx), shown.response.rect.y_range(), stroke);
    }
    months_beneath(ui, labels, x_of);
    time_words(
        ui,
        labels,
        under_pointer.unwrap_or(newest),
        &owned,
        currency,
    );
    describe(
        ui,
        &shown.response,
        &lines_in_words(name, labels, lines, currency),
    );
}

/// Room for the amounts of a scale, in points.
const SCALE_WIDTH: f64 = 58.0;

/// A few round amounts between the lowest and the highest, nothing among them.
fn scale(lowest: f64, highest: f64) -> Vec<f64> {
    let rough = ((highest - lowest) / 4.0).max(1.0);
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= rough)
        .unwrap_or(rough);
    let from = (lowest / step).ceil() as i32;
    let to = (highest / step).floor() as i32;
    (from..=to).map(|idx| f64::from(idx) * step).collect()
}

fn amount_of(height: f64, currency: &Currency) -> Money {
    let decimals = i32::try_from(currency.decimals()).unwrap_or(2);
    Money::from_minor((height * 10_f64.powi(decimals)).round() as i64)
}

/// The names of the months under their points, as many as have room.
fn months_beneath(ui: &mut Ui, labels: &[String], x_of: impl Fn(usize) -> f32) {
    let colour = palette(ui).soft_ink;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 20.0), Sense::hover());
    let step = (x_of(1) - x_of(0)).max(1.0);
    let every = (44.0 / step).ceil().max(1.0) as usize;
    let newest = labels.len().saturating_sub(1);
    for (idx, label) in labels.iter().enumerate() {
        // Counted from the newest, which always has its name.
        if !(newest - idx).is_multiple_of(every) {
            continue;
        }
        let galley = ui
            .painter()
            .layout_no_wrap(label.clone(), theme::small(), colour);
        let half = galley.size().x / 2.0;
        let x = (x_of(idx) - half).clamp(rect.left(), rect.right() - 2.0 * half);
        ui.painter()
            .galley(pos2(x, rect.top() + 2.0), galley, colour);
    }
}

fn time_words(
    ui: &mut Ui,
    labels: &[String],
    at: usize,
    lines: &[(TimeLine, Color32)],
    currency: &Currency,
) {
    let when = labels.get(at).cloned().unwrap_or_default();
    ui.horizontal_wrapped(|ui| {
        soft(ui, &when);
        for (line, colour) in lines {
            let amount = line.amounts.get(at).copied().unwrap_or_default();
            let words = format!("{} {}", line.name, currency.show(amount));
            keep_together(ui, 26.0, &words, theme::small());
            let (spot, _) = ui.allocate_exact_size(vec2(18.0, 12.0), Sense::hover());
            let stroke = Stroke::new(2.5, *colour);
            let ends = [spot.left_center(), spot.right_center()];
            let shapes = match line.stroke {
                LineStroke::Solid => vec![egui::Shape::line_segment(ends, stroke)],
                LineStroke::Dashed => egui::Shape::dashed_line(&ends, stroke, 5.0, 3.0),
                LineStroke::Dotted => egui::Shape::dotted_line(&ends, *colour, 5.0, 1.5),
            };
            ui.painter().extend(shapes);
            ui.label(RichText::new(words).font(theme::small()));
        }
    });
}

fn lines_in_words(
    name: &str,
    labels: &[String],
    lines: &[TimeLine],
    currency: &Currency,
) -> String {
    let parts: Vec<String> = lines
        .iter()
        .map(|line| {
            let last = line.amounts.last().copied().unwrap_or_default();
            format!("{} {}", line.name, currency.show(last))
        })
        .collect();
    let until = labels.last().map_or("", String::as_str);
    format!("{name}, by {until}: {}", parts.join(", "))
}
