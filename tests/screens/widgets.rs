//! The fields by themselves, typed in as a person would.
//! What forms do with them is the forms' tests' business.

use deckle::app::theme;
use deckle::app::widgets::{
    AccountPick, Field, account_picker, choice_chips, date_field, money_field, progress_bar,
    suggest_field, text_field,
};
use deckle::ledger::Chart;
use deckle::money::{Currency, Money};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::support::today;

struct Bench {
    supplier: String,
    amount: String,
    read: Option<Money>,
    day: String,
    account: AccountPick,
    note: String,
    chart: Chart,
    is_dressed: bool,
}

fn bench() -> Harness<'static, Bench> {
    let bench = Bench {
        supplier: String::new(),
        amount: String::new(),
        read: None,
        day: "today".to_owned(),
        account: AccountPick::default(),
        note: String::new(),
        chart: Chart::craft_business(false).expect("a chart"),
        is_dressed: false,
    };
    let mut harness = Harness::builder()
        .with_size([700.0, 600.0])
        .with_max_steps(12)
        .build_ui_state(show, bench);
    harness.run();
    harness
}

fn show(ui: &mut egui::Ui, bench: &mut Bench) {
    if !bench.is_dressed {
        theme::install(ui.ctx());
        bench.is_dressed = true;
        return;
    }
    let offers = [
        "Harrow Lane Papers".to_owned(),
        "Inkwell and Sons".to_owned(),
    ];
    let currency = Currency::from_code("USD").expect("USD");
    suggest_field(ui, Field::new("From whom"), &mut bench.supplier, &offers);
    bench.read = money_field(ui, Field::new("Amount"), &mut bench.amount, &currency).1;
    date_field(ui, Field::new("When"), &mut bench.day, today());
    let accounts = bench.chart.money_accounts();
    account_picker(ui, Field::new("Paid from"), &mut bench.account, &accounts);
    text_field(ui, Field::new("Note"), &mut bench.note);
}

fn focus(harness: &mut Harness<'_, Bench>, label: &str) {
    harness
        .get_by_role_and_label(Role::TextInput, label)
        .focus();
    harness.run();
}

fn write(harness: &mut Harness<'_, Bench>, text: &str) {
    harness.event(egui::Event::Text(text.to_owned()));
    harness.run();
}

fn press(harness: &mut Harness<'_, Bench>, key: Key) {
    harness.key_press(key);
    harness.run();
}

#[test]
fn typing_completes_a_supplier_and_tab_goes_on() {
    let mut bench = bench();
    focus(&mut bench, "From whom");
    write(&mut bench, "har");
    press(&mut bench, Key::Tab);
    assert_eq!(bench.state().supplier, "Harrow Lane Papers");
    write(&mut bench, "3*4.99");
    assert_eq!(bench.state().read, Some(Money::from_minor(1497)));
    assert!(bench.query_by_label("= 14.97").is_some());
}

#[test]
fn enter_takes_the_offer_and_escape_keeps_what_was_typed() {
    let mut bench = bench();
    focus(&mut bench, "From whom");
    write(&mut bench, "ink");
    press(&mut bench, Key::Enter);
    assert_eq!(bench.state().supplier, "Inkwell and Sons");
    bench.key_press_modifiers(Modifiers::COMMAND, Key::A);
    bench.run();
    write(&mut bench, "ha");
    press(&mut bench, Key::Escape);
    write(&mut bench, "rt");
    press(&mut bench, Key::Escape);
    press(&mut bench, Key::Tab);
    assert_eq!(bench.state().supplier, "hart");
}

#[test]
fn a_new_name_is_not_swallowed_by_the_list() {
    let mut bench = bench();
    focus(&mut bench, "From whom");
    write(&mut bench, "Hartmere");
    press(&mut bench, Key::Tab);
    assert_eq!(bench.state().supplier, "Hartmere");
}

#[test]
fn up_and_down_step_a_day() {
    let mut bench = bench();
    focus(&mut bench, "When");
    press(&mut bench, Key::ArrowDown);
    assert_eq!(bench.state().day, "24 Nov 2026");
    press(&mut bench, Key::ArrowUp);
    press(&mut bench, Key::ArrowUp);
    assert_eq!(bench.state().day, "26 Nov 2026");
}

#[test]
fn an_account_is_chosen_by_part_of_its_name_or_number() {
    let mut bench = bench();
    focus(&mut bench, "Paid from");
    write(&mut bench, "cash");
    press(&mut bench, Key::Tab);
    let cash = bench.state().chart.find("Cash box").expect("there").id;
    assert_eq!(bench.state().account.chosen(), Some(cash));
    write(&mut bench, "then a note");
    assert_eq!(bench.state().note, "then a note");
    focus(&mut bench, "Paid from");
    write(&mut bench, "1000");
    press(&mut bench, Key::Tab);
    let bank = bench.state().chart.find("1000").expect("there").id;
    assert_eq!(bench.state().account.chosen(), Some(bank));
}

#[test]
fn an_unclear_amount_is_told_beside_the_field() {
    let mut bench = bench();
    focus(&mut bench, "Amount");
    write(&mut bench, "twelve");
    press(&mut bench, Key::Tab);
    assert_eq!(bench.state().read, None);
    assert!(
        bench
            .query_by_label_contains("'twelve' is not an amount")
            .is_some()
    );
}

/// How far apart two colours are, as WCAG 2.2 counts it.
fn contrast(one: image::Rgba<u8>, other: image::Rgba<u8>) -> f64 {
    let luminance = |colour: image::Rgba<u8>| {
        let [red, green, blue, _] = colour.0.map(|channel| {
            let part = f64::from(channel) / 255.0;
            if part <= 0.04045 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    };
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// WCAG 2.2, success criterion 1.4.11: parts of a picture 3 to 1 against what is beside them.
#[test]
fn what_is_still_to_come_of_a_progress_bar_can_be_seen() {
    for dressed in [egui::Theme::Light, egui::Theme::Dark] {
        let mut is_dressed = false;
        let mut bar = Harness::builder()
            .with_size([400.0, 60.0])
            .with_theme(dressed)
            .renderer(crate::soft::Soft::default())
            .build_ui(move |ui| {
                if !std::mem::replace(&mut is_dressed, true) {
                    theme::install(ui.ctx());
                    return;
                }
                let ground = theme::palette(ui).paper;
                let whole = ui.ctx().content_rect();
                ui.painter().rect_filled(whole, 0.0, ground);
                progress_bar(ui, egui::vec2(320.0, 14.0), 3, 12, "3 of 12");
            });
        bar.run_steps(4);
        let drawn = bar.get_by_role_and_label(Role::ProgressIndicator, "3 of 12");
        assert_eq!(drawn.accesskit_node().numeric_value(), Some(25.0));
        let rect = drawn.rect();
        let picture = bar.render().expect("a picture");
        let at = |x: f32, y: f32| *picture.get_pixel(x as u32, y as u32);
        let middle = rect.center().y;
        let ground = at(rect.right() + 20.0, middle);
        let done = at(rect.left() + 40.0, middle);
        let to_come = at(rect.right() - 40.0, middle);
        let edge = at(rect.right() - 40.0, rect.bottom() - 0.5);
        assert!(
            contrast(done, to_come) >= 3.0,
            "{dressed:?}: {done:?} {to_come:?}"
        );
        assert!(
            contrast(edge, ground) >= 3.0,
            "{dressed:?}: {edge:?} {ground:?}"
        );
    }
}

/// Chips under a label in a room of this width, and which is chosen.
fn chips(width: f32) -> Harness<'static, u8> {
    let mut is_dressed = false;
    let mut chips = Harness::builder().with_size([width, 200.0]).build_ui_state(
        move |ui, chosen: &mut u8| {
            if !std::mem::replace(&mut is_dressed, true) {
                theme::install(ui.ctx());
                return;
            }
            let steps = [
                (1, "1 Look through (10 open)"),
                (2, "2 Put right"),
                (3, "3 Read"),
                (4, "4 Close"),
                (5, "5 Hand over"),
            ];
            choice_chips(ui, "One after the other", chosen, &steps);
        },
        1,
    );
    chips.run_steps(4);
    chips
}

fn places(chips: &Harness<'_, u8>) -> Vec<egui::Rect> {
    chips
        .query_all_by_role(Role::RadioButton)
        .map(|node| node.rect())
        .collect()
}

#[test]
fn no_chip_moves_when_another_is_chosen_or_pointed_at() {
    let mut chips = chips(700.0);
    let before = places(&chips);
    assert_eq!(before.len(), 5);
    for (idx, rect) in before.iter().enumerate() {
        chips.event(egui::Event::PointerMoved(rect.center()));
        chips.run_steps(2);
        assert_eq!(places(&chips), before, "with chip {idx} under the pointer");
        let all = chips.query_all_by_role(Role::RadioButton);
        all.skip(idx)
            .take(1)
            .for_each(|node| node.click_accesskit());
        chips.run_steps(2);
        assert_eq!(usize::from(*chips.state()), idx + 1);
        assert_eq!(places(&chips), before, "with chip {idx} chosen");
    }
}

#[test]
fn chips_that_do_not_fit_begin_the_next_line() {
    let chips = chips(320.0);
    let places = places(&chips);
    assert!(
        places.iter().all(|rect| rect.right() <= 320.0),
        "{places:?}"
    );
    assert!(places[4].top() > places[0].bottom());
}
