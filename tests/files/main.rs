//! What goes in and out by files: the sample book, and a maker's first story told in sheets.
//! Figures of the library alone are `tests/core`'s.

mod first_month;
mod first_story;
mod pack_formats;
mod sample_book;
mod sample_exports;
mod sample_sorting;
mod sample_statements;
mod statements;
