//! The pages of the desk with something on them: in the smallest window, in the dark, at twice the size, nothing is cut
//! off at the right, and pictures for looking at. All of it is invented.

use deckle::app::App;
use deckle::app::preferences::Preferences;
use deckle::book::Book;
use deckle::desk::{
    Answer, CompanyPaper, Decision, Duty, DutyKind, PaperKind, Question, Span, Timer, WorkTime,
};
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::forms_support::{
    bought_before, choose, day, new_book, open_form, picture, settle, today, window_on,
};

fn noon() -> chrono::NaiveDateTime {
    today().and_hms_opt(12, 20, 0).expect("a moment")
}

const PAGES: [&str; 7] = [
    "Questions",
    "Duties",
    "Papers and decisions",
    "Hours",
    "Driving",
    "Workspace",
    "Shared bills",
];

fn fill_the_desk(book: &mut Book) {
    let ask = |words: &str, on: &str| Question::new(words, day(on));
    let mut answered = ask(
        "Is the second-hand press equipment, or a cost at once?",
        "2026-08-03",
    );
    answered.entry = Some(deckle::ledger::EntryNumber(2));
    answered.answer = Some(Answer {
        words: "Over your threshold, so it is equipment; enter it in the register from the day it was first used.".to_owned(),
        by: "Brindle & Co".to_owned(),
        on: day("2026-09-01"),
    });
    book.keep_question(&answered).expect("kept");
    book.keep_question(&ask(
        "Do deposits for commissions over the year's end count this year?",
        "2026-09-20",
    ))
    .expect("kept");
    let mut tax = Duty::new("Sales tax", DutyKind::SalesTax, day("2026-10-20"));
    tax.every_months = 3;
    tax.period_to = Some(day("2026-09-30"));
    book.keep_duty(&tax).expect("kept");
    let mut report = Duty::new(
        "Yearly report to the state",
        DutyKind::YearlyReport,
        day("2027-05-01"),
    );
    report.note = "one page, at the state's office".to_owned();
    book.keep_duty(&report).expect("kept");
    for kind in [
        PaperKind::Registration,
        PaperKind::TaxNumber,
        PaperKind::OwnerLoan,
    ] {
        let mut paper = CompanyPaper::new(kind);
        paper.is_there = kind == PaperKind::Registration;
        paper.kept_at = "blue folder, first sheet".to_owned();
        book.keep_company_paper(&paper, None).expect("kept");
    }
    book.decide(&Decision {
        id: 0,
        day: day("2026-09-02"),
        what: "Fern cards cost 4.50 from October on".to_owned(),
        why: "paper went up by a fifth, and the fair sold out at the old price".to_owned(),
        corrects: None,
    })
    .expect("written");
    for (on, activity, minutes) in [
        ("2026-09-28", "making", 195),
        ("2026-09-29", "photographs and listing", 45),
        ("2026-09-30", "messages", 20),
    ] {
        book.put_day_minutes(day(on), activity, minutes)
            .expect("put");
    }
    let span = Span::new(14 * 60, 15 * 60 + 30).expect("a span");
    book.keep_work_time(&WorkTime::by_clock(day("2026-09-28"), "packing", span))
        .expect("kept");
    book.set_settings(&[("mileage.vehicle", "small grey van")])
        .expect("set");
    for (on, to, what, hundredths, entered) in [
        (
            "2026-08-15",
            "Copse End",
            "Unsold pieces fetched from the shop",
            2_740,
            "2026-08-16",
        ),
        (
            "2026-09-05",
            "Wrenfield",
            "Boards and book cloth from the mill shop",
            3_800,
            "2026-09-27",
        ),
    ] {
        book.keep_trip(&deckle::mileage::Trip {
            id: 0,
            date: day(on),
            from: "Home".to_owned(),
            to: to.to_owned(),
            purpose: what.to_owned(),
            distance: deckle::mileage::Distance {
                hundredths,
                unit: deckle::mileage::DistanceUnit::Miles,
            },
            fair: String::new(),
            entered_on: day(entered),
        })
        .expect("kept");
    }
    book.keep_space(&deckle::workspace::Space {
        id: 0,
        name: "Back room".to_owned(),
        area: "120".parse().expect("an area"),
        home_area: "1100".parse().expect("an area"),
        used_for: deckle::workspace::SpaceUse::Work,
        is_exclusive: true,
        from: day("2026-01-01"),
        until: None,
    })
    .expect("kept");
    for (share, basis, since) in [
        (
            "40",
            "Two weeks of calls by the phone's own list, 41 of 102 for the business",
            "2026-01-12",
        ),
        (
            "55",
            "Counted again when the shop got a number of its own, 61 of 110",
            "2026-08-01",
        ),
    ] {
        book.keep_shared_bill(&deckle::shared_bills::SharedBill {
            id: 0,
            what: "Mobile phone".to_owned(),
            party: "Dovetone Mobile".to_owned(),
            share: share.parse().expect("a share"),
            basis: basis.to_owned(),
            sampled: deckle::dates::DateRange::new(day("2026-01-01"), day("2026-01-11")),
            since: day(since),
            note: "the lists lie with the bills".to_owned(),
        })
        .expect("kept");
    }
    let since = day("2026-09-28").and_hms_opt(8, 0, 0).expect("a moment");
    book.start_timer(&Timer::new(since, "making"))
        .expect("started");
}

/// Nothing to press or type in reaches beyond the window at the right. The week scrolls sideways where it must.
#[track_caller]
fn nothing_is_cut_off(page: &Harness<'_, App>, about: &str) {
    let width = page.ctx.content_rect().width();
    for role in [
        Widget::Button,
        Widget::Link,
        Widget::RadioButton,
        Widget::ComboBox,
    ] {
        for node in page.query_all_by_role(role) {
            let right = node.rect().right();
            let label = node.accesskit_node().label();
            assert!(right <= width + 1.0, "{about}: {label:?} ends at {right}");
        }
    }
}

#[test]
fn the_pages_of_the_desk_fit_the_smallest_window_and_large_letters() {
    for (size, zoom, theme, name) in [
        ([1240.0, 900.0], 1.0, egui::Theme::Light, "light"),
        ([900.0, 600.0], 1.0, egui::Theme::Dark, "900"),
        ([900.0, 600.0], 2.0, egui::Theme::Light, "large"),
    ] {
        let (_folder, mut book) = new_book();
        bought_before(&mut book);
        fill_the_desk(&mut book);
        let mut app = App::with_book(book, Preferences::default(), today);
        app.tell_time_with(noon);
        let mut page = window_on(app);
        page.set_size(size.into());
        page.ctx.set_zoom_factor(zoom);
        page.ctx.set_theme(theme);
        settle(&mut page);
        open_form(&mut page, "hours and the timer");
        for chip in PAGES {
            choose(&mut page, chip);
            picture(
                &mut page,
                &format!("desk-{name}-{}", chip.replace(' ', "-")),
            );
            nothing_is_cut_off(&page, &format!("{chip}, {name}"));
        }
        for (chip, opens) in [
            ("Questions", "Ask something"),
            ("Duties", "A new duty"),
            ("Papers and decisions", "Another paper"),
            ("Hours", "Time by the clock"),
            ("Driving", "Write a trip down"),
            ("Workspace", "Another space"),
            ("Shared bills", "Another bill"),
        ] {
            choose(&mut page, chip);
            page.get_by_label_contains(opens).click_accesskit();
            settle(&mut page);
            picture(
                &mut page,
                &format!("desk-{name}-{}-form", chip.replace(' ', "-")),
            );
            nothing_is_cut_off(&page, &format!("{opens}, {name}"));
        }
    }
}
