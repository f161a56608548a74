//! The window, driven as a person and a screen reader would: by labels and keys, without a display.
//! egui_kittest fails any test in which a letter has no glyph or something to press or type in has no name.

#![cfg(feature = "window")]

mod adjusting;
mod agreement;
mod catching_up;
mod closing_down;
mod deciding;
#[path = "../cli/desk.rs"]
#[expect(dead_code, reason = "the tests of the command line use the rest")]
mod desk;
mod desk_duties;
mod desk_hours;
mod desk_log;
mod desk_pages;
mod desk_papers;
mod desk_questions;
mod figures;
#[path = "../files/first_month.rs"]
mod first_month;
mod forms_kept;
mod forms_purchase;
mod forms_rooms;
mod forms_selling;
mod forms_support;
mod free;
mod keeping;
mod later;
mod make;
mod mending;
mod month_by_hand;
mod month_typed;
mod occasions;
mod orders;
mod plan;
mod practice;
#[path = "../cli/product.rs"]
mod product;
mod rooms;
mod set_aside;
mod sets;
mod shell;
mod shop_files;
mod soft;
mod sorting;
mod statement_file;
mod support;
mod week;
mod widgets;
mod year_end;
mod year_statements;
