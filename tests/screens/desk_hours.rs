//! Hours by the window alone: the timer that goes on while the window is closed, the week's grid, time by the clock that
//! is taken, and what an hour left. Figures are worked by hand.

use chrono::NaiveDateTime;
use deckle::app::App;
use deckle::app::preferences::Preferences;
use deckle::book::Book;
use deckle::dates::DateRange;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    bought_before, day, fill, new_book, open_form, press, says, settle, today, window_on,
    write_down,
};

fn at(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").expect("a moment")
}

fn morning() -> NaiveDateTime {
    at("2026-09-28 09:05")
}

fn noon() -> NaiveDateTime {
    at("2026-09-28 12:20")
}

fn two_days_later() -> NaiveDateTime {
    at("2026-09-30 08:00")
}

fn at_the_clock(book: Book, now: fn() -> NaiveDateTime) -> Harness<'static, App> {
    let mut app = App::with_book(book, Preferences::default(), today);
    app.tell_time_with(now);
    window_on(app)
}

fn open_hours(page: &mut Harness<'_, App>) {
    open_form(page, "hours and the timer");
}

fn told(page: &Harness<'_, App>) -> Vec<(String, u32)> {
    let range = DateRange::new(day("2026-09-01"), day("2026-10-31")).expect("a range");
    let book = page.state().book().expect("a book");
    assert_eq!(book.check().expect("checked"), vec![]);
    let times = book.work_times(range).expect("read").into_iter();
    times
        .map(|time| {
            let by_clock = time.span.map(|span| span.words()).unwrap_or_default();
            (format!("{} {by_clock}", time.activity), time.minutes)
        })
        .collect()
}

#[test]
fn a_timer_goes_on_while_the_window_is_closed() {
    let (folder, book) = new_book();
    let path = folder.path().join("book.deckle");
    let mut page = at_the_clock(book, morning);
    open_hours(&mut page);
    fill(&mut page, "What you do", "");
    press(&mut page, "Start the timer");
    assert!(says(&page, "say what you did"));
    fill(&mut page, "What you do", "packing");
    press(&mut page, "Start the timer");
    assert!(says(&page, "packing: 0 min since 28 Sep 2026, 09:05"));
    drop(page);
    let book = Book::open(&path).expect("opened");
    let mut page = at_the_clock(book, noon);
    assert!(says(&page, "The timer runs"));
    page.get_by_label("packing, 3 h 15 min").click_accesskit();
    settle(&mut page);
    fill(&mut page, "Stopped at", "13:00");
    press(&mut page, "Stop the timer");
    assert!(says(&page, "28 Sep 2026, 13:00 has not come yet"));
    fill(&mut page, "Stopped at", "11:35");
    press(&mut page, "Stop the timer");
    assert!(says(&page, "The timer is stopped: 2 h 30 min"));
    assert_eq!(told(&page), [("packing 09:05 to 11:35".to_owned(), 150)]);
    page.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    settle(&mut page);
    assert!(
        page.state()
            .book()
            .expect("a book")
            .running_timer()
            .expect("read")
            .is_some()
    );
}

#[test]
fn a_forgotten_timer_asks_when_it_stopped() {
    let (folder, book) = new_book();
    let path = folder.path().join("book.deckle");
    let mut page = at_the_clock(book, morning);
    open_hours(&mut page);
    press(&mut page, "Start the timer");
    drop(page);
    let mut page = at_the_clock(Book::open(&path).expect("opened"), two_days_later);
    open_hours(&mut page);
    press(&mut page, "Stop the timer");
    assert!(says(&page, "46 h 55 min: say when you stopped"));
    fill(&mut page, "Stopped at", "0:10");
    press(&mut page, "Stop the timer");
    assert_eq!(
        told(&page),
        [
            ("making 09:05 to 24:00".to_owned(), 895),
            ("making 00:00 to 00:10".to_owned(), 10)
        ]
    );
}

#[test]
fn the_week_is_typed_in_a_grid_and_time_by_the_clock_beside_it() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut page = at_the_clock(book, noon);
    open_hours(&mut page);
    // 28 September 2026 is a Monday.
    fill(&mut page, "making, 28 Sep 2026", "1:30");
    fill(&mut page, "books, 29 Sep 2026", "1.5");
    assert!(says(&page, "books on 29 Sep 2026: '1.5' is no time"));
    fill(&mut page, "books, 29 Sep 2026", "45");
    assert_eq!(
        told(&page),
        [("making ".to_owned(), 90), ("books ".to_owned(), 45)]
    );
    fill(&mut page, "An activity of your own", "binding");
    fill(&mut page, "binding, 30 Sep 2026", "0:20");
    assert!(told(&page).contains(&("binding ".to_owned(), 20)));
    fill(&mut page, "binding, 30 Sep 2026", "");
    fill(&mut page, "making, 28 Sep 2026", "2h");
    fill(&mut page, "books, 29 Sep 2026", "");
    assert_eq!(told(&page), [("making ".to_owned(), 120)]);

    page.get_by_label("Time by the clock, or for a product\u{2026}")
        .click_accesskit();
    settle(&mut page);
    fill(&mut page, "From", "9:00");
    write_down(&mut page);
    assert!(says(&page, "say when it ended"));
    fill(&mut page, "To", "10:00");
    write_down(&mut page);
    assert!(says(&page, "28 Sep 2026, making, 09:00 to 10:00, 1 h"));
    page.get_by_label("Time by the clock, or for a product\u{2026}")
        .click_accesskit();
    settle(&mut page);
    fill(&mut page, "From", "9:59");
    fill(&mut page, "To", "10:30");
    write_down(&mut page);
    assert!(says(
        &page,
        "on 28 Sep 2026 you have making from 09:00 to 10:00 already"
    ));
    fill(&mut page, "From", "10:00");
    write_down(&mut page);
    assert!(says(&page, "In this week: 3 h 30 min"));
    // Glue alone was a cost: -9.80 over 3.5 h, 2.80 an hour lost.
    assert!(says(
        &page,
        "net profit \u{2212}9.80 \u{f7} 3 h 30 min = \u{2212}2.80 an hour"
    ));
    assert!(page.query_all_by_role(Widget::TextInput).count() > 40);
}
