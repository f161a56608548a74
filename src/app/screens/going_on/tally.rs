//! The tally sheet of a fair, a page to print: the pieces taken along with room to tally, and the box.
//! It is written beside the book and opened with whatever prints web pages here.

use std::path::Path;

use crate::app::action::Action;
use crate::dates::show_day;
use crate::matters::{Matter, StepKind};
use crate::money::Currency;
use crate::stock::Item;

/// What the page needs of the book.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parts<'a> {
    /// The items, for their names and prices.
    pub items: &'a [Item],
    /// The name at its head.
    pub business: &'a str,
    /// Where it is written.
    pub folder: &'a Path,
}

fn safe(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// The page itself.
#[must_use]
pub(super) fn html(parts: Parts<'_>, fair: &Matter, currency: &Currency) -> String {
    let planned = fair.last(StepKind::Planned);
    let day = planned.map(|step| show_day(step.on)).unwrap_or_default();
    let float = planned
        .map(|step| currency.show(step.amount))
        .unwrap_or_default();
    let mut rows = String::new();
    for pieces in planned
        .map(|step| step.pieces.as_slice())
        .unwrap_or_default()
    {
        let item = parts
            .items
            .iter()
            .find(|item| item.code.eq_ignore_ascii_case(&pieces.item));
        let name = item.map_or(pieces.item.as_str(), |item| item.name.as_str());
        let price = item
            .and_then(|item| item.price)
            .map(|price| currency.show(price))
            .unwrap_or_default();
        rows.push_str(&format!(
            "<tr><td>{}</td><td class=\"n\">{price}</td><td class=\"n\">{}</td><td class=\"wide\"></td><td></td><td></td></tr>\n",
            safe(name),
            pieces.quantity
        ));
    }
    for _ in 0..3 {
        rows.push_str("<tr><td>&nbsp;</td><td></td><td></td><td class=\"wide\"></td><td></td><td></td></tr>\n");
    }
    let blank = "<tr><td>&nbsp;</td><td></td><td></td></tr>\n".repeat(5);
    format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Tally sheet, {key}</title>\n<style>\n\
         body {{ font-family: serif; margin: 2cm; color: #000; }}\n\
         table {{ border-collapse: collapse; width: 100%; margin: 0.5em 0 1.5em; }}\n\
         th, td {{ border: 1px solid #000; padding: 0.35em 0.6em; text-align: left; }}\n\
         .n {{ text-align: right; }} .wide {{ width: 38%; }}\n</style></head><body>\n\
         <h1>Tally sheet</h1>\n<p>{business} \u{2014} {key}, {day}</p>\n\
         <p>Float in the box in the morning: <b>{float}</b></p>\n\
         <table><tr><th>What</th><th class=\"n\">Price</th><th class=\"n\">Taken along</th>\
         <th class=\"wide\">Sold (one stroke a piece)</th><th>Given away</th><th>Came back</th></tr>\n{rows}</table>\n\
         <p><b>Paid out of the box</b></p>\n<table><tr><th>What for</th><th>To whom</th><th class=\"n\">How much</th></tr>\n{blank}</table>\n\
         <p><b>Swapped</b></p>\n<table><tr><th>What I gave</th><th>What I got</th><th class=\"n\">Worth</th></tr>\n{blank}</table>\n\
         <p>Counted in the evening: ____________ &nbsp; Cards: ____________ &nbsp; Miles: ______ &nbsp; Hours: ______</p>\n\
         </body></html>\n",
        key = safe(&fair.key),
        business = safe(parts.business),
    )
}

/// Writes the page beside the book and opens it.
pub(super) fn print(parts: Parts<'_>, fair: &Matter, currency: &Currency) -> Action {
    let name: String = fair
        .key
        .chars()
        .map(|c| {
            if c.is_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        })
        .collect();
    let path = parts.folder.join(format!("tally-sheet-{name}.html"));
    match std::fs::write(&path, html(parts, fair, currency)) {
        Ok(()) => Action::OpenFile {
            path,
            done: "The tally sheet to print is written".to_owned(),
        },
        Err(error) => Action::Trouble(format!(
            "The tally sheet could not be written: {error}. Nothing in the book has changed. ({})",
            path.display()
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::matters::{MatterKind, Matters, Pieces, Step};
    use crate::money::Money;

    #[test]
    fn it_lists_the_pieces_and_the_float_and_lets_no_markup_in() {
        let on = crate::dates::parse_iso("2026-09-19").expect("a day");
        let float = Money::from_minor(10_000);
        let mut step = Step::new(
            on,
            MatterKind::Fair,
            "Harvest <b>fair</b>",
            StepKind::Planned,
            float,
        );
        step.pieces = vec![Pieces {
            item: "NB".to_owned(),
            quantity: "8".parse().expect("a quantity"),
        }];
        let matters = Matters::of_steps([step]);
        let fair = matters.iter().next().expect("there");
        let parts = Parts {
            items: &[],
            business: "Fernhollow Bindery",
            folder: Path::new("."),
        };
        let page = html(
            parts,
            fair,
            &Currency::from_code("USD").expect("a currency"),
        );
        assert!(page.contains("<b>100.00</b>"));
        assert!(page.contains("<td>NB</td><td class=\"n\"></td><td class=\"n\">8</td>"));
        assert!(page.contains("Harvest &lt;b&gt;fair&lt;/b&gt;"));
    }
}
