//! The statements of a year in the window: on both bases, with the bridge beneath.
//! Figures of the sample are those that its own tests hold.

use egui::accesskit::Role as Widget;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{says, settle};
use crate::support::{Window, sample_book};

fn press(window: &mut Window, role: Widget, label: &str) {
    let found = window.harness.get_by_role_and_label(role, label);
    found.scroll_to_me();
    found.click_accesskit();
    settle(&mut window.harness);
}

#[test]
fn the_profit_statement_is_shown_on_the_basis_chosen() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 3600.0].into());
    settle(&mut window.harness);
    press(&mut window, Widget::Button, "Year end");
    press(&mut window, Widget::RadioButton, "3 Read");
    assert!(says(
        &window.harness,
        "accrual basis: sales and costs on the day they happen"
    ));
    press(&mut window, Widget::RadioButton, "Cash");
    assert!(says(
        &window.harness,
        "cash basis: sales and costs on the day they are paid"
    ));
    assert!(says(&window.harness, "From the accrual to the cash basis"));
    assert!(says(&window.harness, "constructive receipt"));
    window.picture("year-cash-basis");
    press(&mut window, Widget::RadioButton, "Form lines");
    assert!(says(&window.harness, "A sorting aid, not a return"));
    assert!(says(&window.harness, "as an assumption"));
    assert!(says(&window.harness, "Not taken by this form"));
    window.picture("year-form-lines");
    press(&mut window, Widget::RadioButton, "Money by month");
    assert!(says(
        &window.harness,
        "moves between them are neither in nor out"
    ));
    press(&mut window, Widget::RadioButton, "Suppliers");
    assert!(says(&window.harness, "what each was paid"));
    window.picture("year-suppliers");
    press(
        &mut window,
        Widget::RadioButton,
        "Equipment that came and went",
    );
    assert!(says(&window.harness, "Book value"));
    press(&mut window, Widget::RadioButton, "Profit");
    press(&mut window, Widget::RadioButton, "Accrual");
    assert!(!says(&window.harness, "From the accrual to the cash basis"));
}
