//! The frame around every screen: the bar at the top, the list of rooms, the notice bar, and the main area.
//! What the main area shows is the screen's.

use chrono::{NaiveDate, NaiveDateTime};
use egui::{CentralPanel, Frame, Margin, Panel, RichText, ScrollArea, Stroke, Ui, Vec2};

use super::action::{Action, Progress};
use super::keys::{self, Asked};
use super::navigation::Room;
use super::palette::PaletteKind;
use super::period::PeriodChoice;
use super::screens::desk::DeskPage;
use super::theme::{self, palette, space};
use super::widgets::{self, Field, PracticeAsked};
use super::{App, Open, Over, PeriodOf, State, screens};
use crate::dates::{DateRange, Month, show_day};
use crate::desk::hours_words;

/// Below this width of the window the bar at the top has two rows and margins are small.
const NARROW: f32 = 760.0;

/// Draws the window and does what was asked for.
pub(super) fn show(app: &mut App, ui: &mut Ui) {
    let ctx = ui.ctx().clone();
    let ground = palette(ui).paper;
    practice(app, ui);
    match &app.state {
        State::First(_) => first_page(app, ui),
        State::Open(_) => open_page(app, ui),
        State::Lent(away) => lent_page(ui, app.background.under_way(), &away.progress),
        State::Closing | State::Closed => {
            CentralPanel::default()
                .frame(Frame::new().fill(ground).inner_margin(space::PAGE))
                .show(ui, |ui| {
                    ui.centered_and_justified(|ui| {
                        ui.label("Making the backup. The window closes by itself.");
                    });
                });
        }
    }
    app.ask(&ctx);
}

/// The band over a practice copy, whatever else is shown.
fn practice(app: &mut App, ui: &mut Ui) {
    if !app.shows_practice() {
        return;
    }
    let ctx = ui.ctx().clone();
    let ground = palette(ui).caution;
    let can_leave = matches!(app.state, State::Open(_));
    let asked = Panel::top("practice copy")
        .resizable(false)
        .show_separator_line(false)
        .frame(
            Frame::new()
                .fill(ground)
                .inner_margin(Margin::symmetric(0, 2)),
        )
        .show(ui, |ui| widgets::practice_band(ui, can_leave))
        .inner;
    match asked {
        Some(PracticeAsked::RealBook) => app.act(&ctx, Action::RealBook),
        Some(PracticeAsked::Afresh) => app.act(&ctx, Action::Practise { is_afresh: true }),
        None => {}
    }
}

/// While the book is lent: what is being done, how far it is, and the way to stop it.
fn lent_page(ui: &mut Ui, title: Option<&str>, progress: &Progress) {
    let ground = palette(ui).paper;
    CentralPanel::default()
        .frame(Frame::new().fill(ground).inner_margin(space::PAGE))
        .show(ui, |ui| {
            ui.vertical_centered(|ui| {
                ui.add_space(ui.available_height() * 0.3);
                let title = title.unwrap_or("Working on the book");
                ui.label(RichText::new(format!("{title}\u{2026}")).font(theme::heading()));
                let (done, whole) = progress.so_far();
                if let Some(percent) = (done.min(whole) * 100).checked_div(whole) {
                    let words = format!("{percent} %");
                    widgets::progress_bar(ui, Vec2::new(320.0, 14.0), done, whole, &words);
                    widgets::soft(ui, &words);
                } else {
                    ui.spinner();
                }
                ui.add_space(space::LARGE);
                if widgets::secondary_button(ui, "Stop", "")
                    .on_hover_text("Nothing of it stays in the book then")
                    .clicked()
                {
                    progress.stop();
                }
            });
        });
    ui.ctx()
        .request_repaint_after(std::time::Duration::from_millis(100));
}

fn first_page(app: &mut App, ui: &mut Ui) {
    let ctx = ui.ctx().clone();
    if let Some(Asked::Act(action @ Action::Scale(_))) = keys::read(&ctx) {
        app.act(&ctx, action);
    }
    let State::First(first) = &mut app.state else {
        return;
    };
    let ground = palette(ui).paper;
    let today = (app.today)();
    let busy = app.background.under_way();
    let step = CentralPanel::default()
        .frame(Frame::new().fill(ground).inner_margin(32.0))
        .show(ui, |ui| {
            scrolled(ui, "first page", |ui| {
                ui.set_max_width(1040.0);
                first.ui(
                    ui,
                    today,
                    &app.preferences.recent,
                    busy,
                    app.trouble.as_deref(),
                )
            })
        })
        .inner;
    if let Some(step) = step {
        app.begin(&ctx, step);
    }
}

fn open_page(app: &mut App, ui: &mut Ui) {
    let ctx = ui.ctx().clone();
    let (today, now) = ((app.today)(), (app.now)());
    let mut actions = Vec::new();
    // A menu takes Escape for itself and is closed by the time the page is drawn.
    let has_menu = egui::Popup::is_any_open(&ctx);
    if let State::Open(open) = &mut app.state {
        open.renew_period(today);
        let mut opens_period = false;
        if open.over.is_none() {
            match keys::read(&ctx) {
                Some(Asked::Act(action)) => actions.push(action),
                Some(Asked::Palette(kind)) => open.open_palette(kind),
                Some(Asked::Period) => opens_period = true,
                Some(Asked::Keys) => open.over = Some(Over::Keys),
                None => {}
            }
        }
        let colours = palette(ui);
        // A large scale leaves little room; the list of rooms gives up its margins first.
        let (list_width, list_margin) = if ui.available_width() < NARROW {
            (136.0, 14)
        } else {
            (166.0, 24)
        };
        Panel::top("top bar")
            .frame(
                Frame::new()
                    .fill(colours.paper)
                    .inner_margin(Margin::symmetric(list_margin, 9)),
            )
            .show(ui, |ui| {
                actions.extend(top_bar(ui, open, today, opens_period));
            });
        Panel::left("rooms")
            .resizable(false)
            .exact_size(list_width)
            .show_separator_line(false)
            .frame(Frame::new().fill(colours.paper).inner_margin(Margin {
                left: list_margin,
                right: 8,
                top: 16,
                bottom: 16,
            }))
            .show(ui, |ui| {
                scrolled(ui, "room list", |ui| actions.extend(rooms(ui, open, now)));
            });
    }
    actions.extend(main_area(app, ui, today, has_menu));
    actions.extend(over(app, ui));
    for action in actions {
        app.act(&ctx, action);
    }
    if let State::Open(open) = &app.state
        && open.names_other_days()
    {
        ctx.request_repaint();
    }
}

fn top_bar(ui: &mut Ui, open: &mut Open, today: NaiveDate, opens_period: bool) -> Vec<Action> {
    let mut actions = Vec::new();
    let name = match open.book.settings().business_name() {
        "" => "Your business",
        name => name,
    }
    .to_owned();
    let mut palette_wanted = None;
    // Where a large scale leaves little room the bar has two rows.
    let is_narrow = ui.available_width() < NARROW;
    if is_narrow {
        ui.horizontal(|ui| {
            ui.label(RichText::new(&name).font(theme::card_heading()));
            actions.extend(period_menu(ui, open, today, opens_period));
        });
        ui.horizontal(|ui| palette_wanted = record_and_find(ui));
    } else {
        egui::Sides::new()
            .height(38.0)
            .shrink_left()
            .truncate()
            .show(
                ui,
                |ui| {
                    ui.label(RichText::new(&name).font(theme::card_heading()));
                    ui.add_space(space::MEDIUM);
                    actions.extend(period_menu(ui, open, today, opens_period));
                },
                |ui| palette_wanted = record_and_find(ui),
            );
    }
    if let Some(kind) = palette_wanted {
        open.open_palette(kind);
    }
    actions
}

fn record_and_find(ui: &mut Ui) -> Option<PaletteKind> {
    let records = widgets::primary_button(ui, "What happened?", "Ctrl N").clicked();
    ui.add_space(space::MEDIUM);
    if find_button(ui).clicked() {
        return Some(PaletteKind::Find);
    }
    records.then_some(PaletteKind::Happened)
}

fn find_button(ui: &mut Ui) -> egui::Response {
    let colours = palette(ui);
    let words = RichText::new("Find anything").color(colours.soft_ink);
    let keys = RichText::new("Ctrl K")
        .font(theme::small())
        .color(colours.soft_ink);
    let width = (ui.available_width() * 0.4).clamp(170.0, 270.0);
    let button = egui::Button::new((words, egui::Atom::grow(), keys))
        .fill(colours.sheet)
        .stroke(Stroke::new(1.0, colours.edge))
        .min_size(Vec2::new(width, space::FIELD));
    let response = ui.add(button);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Find anything"));
    response
}

fn period_menu(ui: &mut Ui, open: &mut Open, today: NaiveDate, opens: bool) -> Option<Action> {
    let colours = palette(ui);
    let words = format!("{} \u{25BC}", open.period_label);
    let button = egui::Button::new(RichText::new(words).color(colours.soft_ink)).frame(false);
    let hint = match &open.period_of {
        Some(of) => format!("{} (Ctrl P)", own_days_words(of)),
        None => "The period that every room shows (Ctrl P)".to_owned(),
    };
    let response = ui.add(button).on_hover_text(hint);
    let name = format!("Period: {}", open.period_label);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    if opens {
        egui::Popup::toggle_id(ui.ctx(), egui::Popup::default_response_id(&response));
    }
    let mut action = None;
    egui::Popup::from_toggle_button_response(&response)
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .show(|ui| {
            ui.set_width(400.0);
            if let Some(of) = &open.period_of {
                widgets::soft(ui, &own_days_words(of));
                ui.separator();
            }
            for choice in PeriodChoice::NAMED {
                let range = choice.range(&super::book_days(&open.book, today));
                let second = super::period::in_words(range, today);
                let row = widgets::list_row(ui, open.choice == choice, choice.name(), &second);
                if opens && choice == open.choice {
                    row.request_focus();
                }
                if row.clicked() {
                    action = Some(Action::SetPeriod(choice));
                    ui.close();
                }
            }
            ui.separator();
            if let Some(range) = other_days(ui, open, today) {
                action = Some(Action::SetPeriod(PeriodChoice::Custom(range)));
                ui.close();
            }
        });
    action
}

/// What is said where a screen shows days of its own.
fn own_days_words(of: &PeriodOf) -> String {
    format!(
        "{} shows a year of its own. Your choice, {}, is back when you leave it. What you choose here counts everywhere, \
         and here the year it ends in.",
        of.title, of.choice
    )
}

fn other_days(ui: &mut Ui, open: &mut Open, today: NaiveDate) -> Option<DateRange> {
    if open.custom.0.is_empty() {
        open.custom = (show_day(open.period.from), show_day(open.period.to));
    }
    let mut range = None;
    ui.horizontal_top(|ui| {
        let (from, to) = (&mut open.custom.0, &mut open.custom.1);
        let (_, from) = widgets::date_field(ui, Field::new("From").width(126.0), from, today);
        let (_, to) = widgets::date_field(ui, Field::new("To").width(126.0), to, today);
        range = from.zip(to).and_then(|(from, to)| DateRange::new(from, to));
    });
    let pressed = ui
        .add_enabled(range.is_some(), egui::Button::new("Show these days"))
        .clicked();
    range.filter(|_| pressed)
}

fn rooms(ui: &mut Ui, open: &mut Open, now: NaiveDateTime) -> Vec<Action> {
    let mut actions = Vec::new();
    ui.spacing_mut().item_spacing.y = 4.0;
    let current = open.places.room();
    for room in open.places.rooms() {
        if room == Room::SetAside {
            ui.add_space(space::LARGE);
        }
        if room_link(ui, room.name(), room == current).clicked() {
            actions.push(Action::Go(room));
        }
    }
    let taken_up = open.places.taken_up();
    let in_book: Vec<&(i64, String)> = open
        .kept
        .iter()
        .filter(|(id, _name)| !taken_up.contains(id))
        .collect();
    let kept = open.places.kept();
    if !kept.is_empty() || !in_book.is_empty() {
        ui.add_space(space::LARGE);
        widgets::soft(ui, "Kept for later");
        for (id, name) in in_book {
            if widgets::link(ui, name).clicked() {
                actions.push(Action::TakeUp(*id));
            }
        }
        for (idx, title) in kept.iter().enumerate() {
            if widgets::link(ui, title).clicked() {
                open.places.take_up(idx);
            }
        }
    }
    if let Some(timer) = &open.timer {
        ui.add_space(space::LARGE);
        widgets::soft(ui, "The timer runs");
        let words = format!("{}, {}", timer.activity, hours_words(timer.minutes(now)));
        if widgets::link(ui, &words)
            .on_hover_text("Stop it at the desk")
            .clicked()
        {
            actions.push(screens::desk::open_hours());
        }
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_secs(20));
    }
    ui.add_space(space::LARGE);
    if widgets::link(ui, "Desk")
        .on_hover_text("Questions, duties, papers and decisions, hours")
        .clicked()
    {
        actions.push(screens::desk::open(DeskPage::Questions));
    }
    if widgets::link(ui, "Settings").clicked() {
        actions.push(Action::Settings);
    }
    if widgets::link(ui, "Keys").on_hover_text("F1").clicked() {
        open.over = Some(Over::Keys);
    }
    actions
}

fn room_link(ui: &mut Ui, name: &str, is_current: bool) -> egui::Response {
    let colours = palette(ui);
    let text = RichText::new(name)
        .font(theme::card_heading())
        .color(colours.ink);
    let button = egui::Button::new(text)
        .frame(false)
        .min_size(Vec2::new(0.0, 32.0));
    let response = ui.add(button);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, is_current, name));
    let rect = response.rect;
    if is_current || response.hovered() || response.has_focus() {
        let width = if is_current { 2.5 } else { 1.0 };
        ui.painter().hline(
            rect.x_range(),
            rect.bottom() - 1.0,
            Stroke::new(width, colours.accent),
        );
    }
    response
}

fn main_area(app: &mut App, ui: &mut Ui, today: NaiveDate, has_menu: bool) -> Vec<Action> {
    let ctx = ui.ctx().clone();
    let mut actions = Vec::new();
    let ground = palette(ui).paper;
    let App {
        state,
        preferences,
        notices,
        background,
        now,
        ..
    } = app;
    let State::Open(open) = state else {
        return actions;
    };
    let Open {
        book,
        places,
        period,
        period_label,
        over,
        ..
    } = open.as_mut();
    let cx = Open::view(book, preferences, *period, period_label, today, now());
    let beneath = places.beneath();
    // The strip of the scroll bar is part of the margin, so that cards end where the bar at the top does.
    let (left, right) = if ctx.content_rect().width() < NARROW {
        (6, 4)
    } else {
        (22, 24 - SCROLL_STRIP as i8)
    };
    CentralPanel::default()
        .frame(Frame::new().fill(ground).inner_margin(Margin {
            left,
            right,
            top: 16,
            bottom: 12,
        }))
        .show(ui, |ui| {
            // At the foot, so that nothing in the page moves when it comes or goes.
            if notices.is_said() {
                let wants_undo = Panel::bottom("notice")
                    .resizable(false)
                    .show_separator_line(false)
                    .frame(Frame::new().inner_margin(Margin {
                        top: 8,
                        ..Margin::ZERO
                    }))
                    .show(ui, |ui| notices.ui(ui))
                    .inner;
                if wants_undo {
                    actions.push(Action::Undo);
                }
            }
            if let Some(words) = background.under_way() {
                ui.horizontal(|ui| {
                    ui.spinner();
                    ui.label(format!("{words}\u{2026}"));
                });
            }
            if let Some(title) = &beneath {
                let words = format!("\u{2190} Back to {title}");
                let holds_escape = places.top().is_some_and(|top| top.screen.holds_escape());
                let is_free = over.is_none() && !has_menu && !holds_escape;
                if widgets::link(ui, &words).clicked() || (is_free && keys::is_back(&ctx)) {
                    actions.push(Action::Back);
                }
            }
            let salt = format!("{:?} {:?}", places.room(), beneath);
            let Some(shown) = places.top() else {
                return;
            };
            shown.refresh(book, &cx);
            if let Some(words) = &shown.trouble {
                widgets::caution(ui, &super::sentence(words));
            }
            scrolled(ui, &salt, |ui| {
                actions.extend(shown.screen.ui(ui, &cx));
            });
            if shown.screen.is_stale() {
                ctx.request_repaint();
            }
        });
    actions
}

/// The width of a scroll bar with its distance from what is scrolled.
const SCROLL_STRIP: f32 = 12.0;

/// Content that scrolls where it is higher than its room. Its width is the same with a scroll bar and without, so that
/// nothing moves when one appears.
fn scrolled<R>(ui: &mut Ui, salt: &str, content: impl FnOnce(&mut Ui) -> R) -> R {
    let width = ui.available_width() - SCROLL_STRIP;
    ScrollArea::vertical()
        .id_salt(salt)
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.set_max_width(width);
            content(ui)
        })
        .inner
}

fn over(app: &mut App, ui: &Ui) -> Vec<Action> {
    let ctx = ui.ctx().clone();
    let today = (app.today)();
    let mut step = None;
    let mut actions = Vec::new();
    let State::Open(open) = &mut app.state else {
        return actions;
    };
    match &mut open.over {
        Some(Over::Palette(palette)) => {
            if let Err(error) = palette.refresh(&open.book) {
                actions.push(Action::Trouble(error.to_string()));
            }
            if let Some(chosen) = palette.ui(ui) {
                open.over = None;
                actions.extend(chosen);
            }
        }
        Some(Over::Keys) if widgets::key_list(&ctx, keys::LIST) => open.over = None,
        Some(Over::Finished { date, .. }) => {
            let month = Month::of(*date);
            let title = format!("{month} is finished. Write it down all the same?");
            let words = format!(
                "You said that {month} is finished, and this is dated {}. The month stays finished; the history says that \
                 this came later.",
                show_day(*date)
            );
            let answer =
                widgets::confirm(&ctx, &title, &words, "Write it all the same", "Look again");
            if let Some(answer) = answer {
                open.answer_finished(&mut app.notices, answer);
            }
        }
        Some(Over::OtherBook(first)) => {
            let modal = egui::Modal::new(egui::Id::unique("other book"));
            let modal = widgets::over(&ctx, modal).show(&ctx, |ui| {
                let size = ctx.content_rect().size();
                ui.set_width((size.x - 120.0).min(980.0));
                ScrollArea::vertical()
                    .max_height(size.y - 120.0)
                    .show(ui, |ui| {
                        first.ui(ui, today, &app.preferences.recent, None, None)
                    })
                    .inner
            });
            step = modal.inner.clone();
            if modal.should_close() {
                open.over = None;
            }
        }
        _ => {}
    }
    if let Some(step) = step {
        app.begin(&ctx, step);
    }
    actions
}
