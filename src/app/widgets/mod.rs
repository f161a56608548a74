//! The parts that screens are built of: fields, buttons, cards, statements, tables. Each is labelled for screen
//! readers and none speaks by colour alone. They take what they show, never the book or the whole window.

mod bars;
mod buttons;
mod caution;
mod choice;
mod fields;
mod figures;
mod folder;
mod keyboard;
mod ledger_preview;
mod overlay;
pub mod paper;
mod picker;
mod practice;
mod receipt;
mod statement;
mod suggest;
mod table;
mod text;

pub use bars::{ListBar, bar_list, progress_bar};
pub use buttons::{
    key_hint, link, primary_button, primary_button_enabled, quiet_button, secondary_button,
};
pub use caution::{Notice, caution, empty_state, notice_bar};
pub use choice::{chip, choice_chips};
pub use fields::{
    Field, date_field, label_above, money_beside, money_field, money_row, parse_day, text_area,
    text_field,
};
pub use figures::{FigureCard, figure_card, figure_link, heading_with_figures};
pub use folder::{PathPicker, PathWanted};
pub use keyboard::{follow, hand_on, take_up};
pub use ledger_preview::ledger_preview;
pub use overlay::{Answer, confirm, key_list, over};
pub use picker::{AccountPick, Thing, account_picker, thing_picker};
pub use practice::{PracticeAsked, practice_band};
pub use receipt::{ReceiptView, receipt_viewer};
pub use statement::{RowRank, StatementRow, figures_width, statement_table};
pub use suggest::{filter_list, list_row, matching, suggest_field};
pub use table::{ChunkCache, Column, data_table};
pub use text::{
    card, card_heading, columns, count_badge, page_heading, problem, second_line, soft,
};
