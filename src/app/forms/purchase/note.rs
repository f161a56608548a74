//! The note that stands in for a receipt when a thing is bought second-hand from a private person: one sheet, two copies,
//! made as a web page that any computer prints. Where it is written is the app's business.

use crate::dates::show_day;
use chrono::NaiveDate;

/// What stands on the note.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PurchaseNote {
    /// The buyer: the business.
    pub buyer: String,
    /// The seller.
    pub seller: String,
    /// The thing.
    pub thing: String,
    /// Its serial number; may be empty.
    pub serial: String,
    /// The price with the currency.
    pub price: String,
    /// The day.
    pub date: Option<NaiveDate>,
}

/// The note as a page, with both copies.
#[must_use]
pub fn note_html(note: &PurchaseNote) -> String {
    let one = copy(note, "Copy for the buyer");
    let other = copy(note, "Copy for the seller");
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Purchase note</title>\n<style>\n\
         body {{ font-family: Georgia, serif; color: #23211d; max-width: 17cm; margin: 1cm auto; }}\n\
         section {{ border: 1px solid #6b6558; padding: 0.6cm 0.8cm; margin-bottom: 1cm; page-break-inside: avoid; }}\n\
         h1 {{ font-size: 1.3em; margin: 0 0 0.3cm; }} td {{ padding: 0.12cm 0.4cm 0.12cm 0; vertical-align: bottom; }}\n\
         td.blank {{ border-bottom: 1px solid #23211d; min-width: 8cm; }} .small {{ font-size: 0.85em; color: #6b6558; }}\n\
         </style></head><body>\n{one}\n{other}\n</body></html>\n"
    )
}

fn copy(note: &PurchaseNote, which: &str) -> String {
    let date = note.date.map(show_day).unwrap_or_default();
    let rows = [
        ("Buyer", note.buyer.as_str()),
        ("Seller (name)", note.seller.as_str()),
        ("Seller (address)", ""),
        ("Thing", note.thing.as_str()),
        ("Condition", ""),
        ("Serial number", note.serial.as_str()),
        ("Price, paid in full", note.price.as_str()),
        ("Day", date.as_str()),
        ("Signed, buyer", ""),
        ("Signed, seller", ""),
    ];
    let rows: String = rows
        .iter()
        .map(|(label, value)| {
            format!(
                "<tr><td>{label}</td><td class=\"blank\">{}&nbsp;</td></tr>\n",
                escaped(value)
            )
        })
        .collect();
    format!(
        "<section><h1>Purchase note</h1>\n<table>\n{rows}</table>\n\
         <p class=\"small\">The seller is a private person and gives no receipt. The thing belongs to the seller and is sold \
         as it is. Keep with this note: photographs of the thing and of its serial number, and a picture of the listing. \
         {which}.</p></section>"
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_note_has_two_copies_and_cannot_be_broken_by_a_name() {
        let note = PurchaseNote {
            buyer: "Fernhollow Bindery".to_owned(),
            seller: "M. <b>Ash</b>".to_owned(),
            serial: "NP-77".to_owned(),
            ..PurchaseNote::default()
        };
        let page = note_html(&note);
        assert_eq!(page.matches("<section>").count(), 2);
        assert_eq!(page.matches("NP-77").count(), 2);
        assert!(!page.contains("<b>Ash"));
    }
}
