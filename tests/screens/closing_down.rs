//! Closing down in the window: each line opens the form that clears it, until nothing stands. Figures by hand.

use deckle::app::App;
use deckle::happenings::{
    Happening, ManualEntry, ManualEntryDetails, OwnerMoneyIn, OwnerMoneyInDetails, Transfer,
    TransferDetails,
};
use deckle::ledger::{EntryKind, Line, Role};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{day, money, new_book, press, says, settle, window, write_down};
use super::sorting::{pictured, sized};

/// 100.00 put in, 60.00 of it in the cash box, and a deposit of 15.00 in the bank.
fn small() -> (tempfile::TempDir, Harness<'static, App>) {
    let (folder, mut book) = new_book();
    let chart = book.chart().clone();
    let role = |role| chart.role(role).expect("the account");
    let put_in = OwnerMoneyIn::new(OwnerMoneyInDetails {
        date: day("2026-01-02"),
        account: role(Role::BusinessBank),
        amount: money(10_000),
        memo: String::new(),
    })
    .expect("money in");
    let moved = Transfer::new(TransferDetails {
        date: day("2026-01-03"),
        from: role(Role::BusinessBank),
        to: role(Role::CashBox),
        amount: money(6_000),
        memo: String::new(),
        reference: String::new(),
    })
    .expect("moved");
    let deposit = ManualEntry::new(ManualEntryDetails {
        date: day("2026-02-01"),
        kind: EntryKind::Manual,
        party: String::new(),
        memo: "Deposit for an album".to_owned(),
        reference: String::new(),
        document: String::new(),
        lines: vec![
            Line::debit(role(Role::BusinessBank), money(1_500)),
            Line::credit(role(Role::CustomerDeposits), money(1_500)),
        ],
    })
    .expect("a deposit");
    for recording in [
        put_in.recording(&chart),
        moved.recording(&chart),
        deposit.recording(&chart),
    ] {
        book.record(&recording.expect("an entry")).expect("kept");
    }
    (folder, window(book))
}

fn open_page(window: &mut Harness<'_, App>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(window);
    window.event(egui::Event::Text("close the business".to_owned()));
    settle(window);
    window.key_press(Key::Enter);
    settle(window);
}

/// Debits and credits stay for the next entry, and the way back leads to the walk; a short form leads back by itself.
fn write_down_and_back(window: &mut Harness<'_, App>) {
    write_down(window);
    if let Some(back) = window.query_by_label("\u{2190} Back to Closing down") {
        back.click();
    }
    settle(window);
    assert!(says(window, "Closing the business down"));
}

#[test]
fn each_line_opens_the_form_that_clears_it_until_nothing_stands() {
    let (_folder, mut window) = small();
    open_page(&mut window);
    assert!(says(&window, "Closing the business down"));
    assert!(says(&window, "licensed professional"));
    // By hand: 100.00 − 60.00 + 15.00 in the bank.
    assert!(says(&window, "The business has 115.00 and owes 15.00."));
    assert!(says(&window, "Business bank account: 55.00"));
    pictured(&mut window, "closing-down");
    press(
        &mut window,
        "Deliver, or pay it back: Customer deposits and gift vouchers",
    );
    let memo = window.get_by_role_and_label(egui::accesskit::Role::TextInput, "What it is for");
    memo.focus();
    settle(&mut window);
    window.event(egui::Event::Text("Deposit paid back".to_owned()));
    settle(&mut window);
    pictured(&mut window, "closing-down-form");
    write_down_and_back(&mut window);
    assert!(says(&window, "The business has 100.00 and owes 0.00."));
    press(&mut window, "Move it to the bank: Cash box");
    write_down_and_back(&mut window);
    assert!(says(&window, "Business bank account: 100.00"));
    press(
        &mut window,
        "Take it out: the final drawing: Business bank account",
    );
    write_down_and_back(&mut window);
    assert!(says(&window, "They cancel out to nothing"));
    press(
        &mut window,
        "Set them against each other: Your capital, drawings and profit",
    );
    assert!(says(
        &window,
        "Nothing stands any more: the balance sheet is empty."
    ));
    let book = window.state().book().expect("open");
    let balances = book.balances_to(day("2026-12-31")).expect("balances");
    for account in book.chart().accounts() {
        assert!(balances.net(account.id).is_zero(), "{}", account.title());
    }
}

#[test]
fn the_page_fits_the_smallest_window_at_twice_the_size() {
    let (_folder, mut window) = small();
    sized(&mut window, [900.0, 600.0], 2.0, egui::Theme::Dark);
    open_page(&mut window);
    pictured(&mut window, "closing-down-large");
    let screen = window.ctx.content_rect();
    for node in window.query_all_by_role(egui::accesskit::Role::Button) {
        let rect = node.rect();
        assert!(
            rect.right() <= screen.right() + 0.5,
            "{rect:?} in {screen:?}"
        );
    }
}
