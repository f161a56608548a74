//! Until when records are kept, on the pages of a year and of a piece, and the list for insurer and county.
//! The rule is that of IRS Topic no. 305: three years from the day the return is due, 15 April.

use egui::accesskit::Role as Widget;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{says, settle};
use crate::support::{Window, sample_book};

fn press(window: &mut Window, role: Widget, label: &str) {
    window
        .harness
        .get_by_role_and_label(role, label)
        .click_accesskit();
    settle(&mut window.harness);
}

#[test]
fn a_year_and_a_piece_say_how_long_their_papers_are_kept() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 2400.0].into());
    settle(&mut window.harness);
    press(&mut window, Widget::Button, "Year end");
    press(&mut window, Widget::RadioButton, "5 Hand over");
    assert!(says(&window.harness, "Keep the records"));
    assert!(says(&window.harness, "until 15 Apr 2030 at least"));
    assert!(says(&window.harness, "IRS Topic no. 305"));
    press(&mut window, Widget::Button, "Equipment");
    press(&mut window, Widget::Button, "List for insurer and county");
    assert!(says(&window.harness, "theirs to say"));
    assert!(says(&window.harness, "brought in"));
    window.picture("things-list");
    let first = window
        .harness
        .get_all_by(|node| {
            node.role() == Widget::Link
                && node.label().is_some_and(|label| label.starts_with("Open "))
        })
        .next()
        .expect("a thing");
    first.click_accesskit();
    settle(&mut window.harness);
}
