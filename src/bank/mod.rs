//! Bank and card accounts in plain values: a statement's lines and head, and how a bank lays its files out.
//! Reading the files is `import`'s, keeping what they say is `book`'s.

mod layout;
mod statement;

pub use layout::{
    BankLayout, ColumnRole, DateOrder, DebitStyle, SignRule, column_names, header_word,
};
pub use statement::{StatementFormat, StatementHead, StatementLine};
