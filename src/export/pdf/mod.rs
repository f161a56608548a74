//! Pages to read as PDF: headings, paragraphs and tables laid out one under the other, tagged, and held to PDF/A-3a and
//! PDF/UA-1 while they are written. What stands on a page is each document's own file; here is how.

mod contents;
mod fit;
mod invoice;
mod keep;
mod layout;
mod measure;
mod packed;
mod write;

pub use invoice::{Invoice, InvoiceLine, invoice, invoice_of, invoices};
pub use layout::{Align, Column, LeadsTo, Row, RowKind, Sheet, Size, Words};

use super::ExportError;

/// Why a document was not written, in words: a validator's complaint names what of the standard is not met.
fn refused(words: impl std::fmt::Display) -> ExportError {
    ExportError::Pdf(words.to_string())
}
