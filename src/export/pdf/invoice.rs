//! An invoice to a shop as a page: who, to whom, what, how much, until when.
//! Its figures are those of the entry that was posted with it.

use chrono::NaiveDate;

use super::layout::{Row, RowKind};
use super::{Align, Column, ExportError, Sheet, Size};
use crate::book::{Book, BookError};
use crate::dates::show_day;
use crate::ledger::Role;
use crate::matters::{Matter, MatterKind, StepKind};
use crate::money::{Currency, Money, Quantity};

/// A line of an invoice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InvoiceLine {
    /// What was delivered.
    pub what: String,
    /// How many, where they were counted.
    pub quantity: Option<Quantity>,
    /// What they come to.
    pub amount: Money,
}

/// An invoice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Invoice {
    /// The business that sends it.
    pub from: String,
    /// Its address and what else stands under its name; may be empty.
    pub from_lines: String,
    /// The shop.
    pub to: String,
    /// Its number.
    pub number: String,
    /// Its day.
    pub date: NaiveDate,
    /// The day until which it is to be paid.
    pub due: Option<NaiveDate>,
    /// What was delivered.
    pub lines: Vec<InvoiceLine>,
    /// Postage.
    pub postage: Money,
    /// Sales tax.
    pub tax: Money,
    /// What was paid already.
    pub paid: Money,
    /// How it can be paid; may be empty.
    pub how_to_pay: String,
    /// In the owner's words; may be empty.
    pub note: String,
}

impl Invoice {
    /// What it comes to.
    #[must_use]
    pub fn total(&self) -> Money {
        let goods: Money = self.lines.iter().map(|line| line.amount).sum();
        goods + self.postage + self.tax
    }
}

/// The invoice of this number.
///
/// # Errors
/// When there is none, or it was ordered and not invoiced yet.
pub fn invoice_of(book: &Book, number: &str) -> Result<Invoice, ExportError> {
    let matters = book.matters()?;
    let refused = |words: String| ExportError::Book(BookError::refused(words));
    let Some(matter) = matters.find(MatterKind::Invoice, number) else {
        return Err(refused(format!("the book knows no invoice '{number}'")));
    };
    match of_matter(book, matter)? {
        Some(invoice) => Ok(invoice),
        None => Err(refused(format!(
            "'{}' was ordered and is not invoiced yet; say so first",
            matter.key
        ))),
    }
}

/// Every invoice that was sent.
///
/// # Errors
/// When the book cannot be read.
pub fn invoices(book: &Book) -> Result<Vec<Invoice>, ExportError> {
    let matters = book.matters()?;
    let mut all = Vec::new();
    for matter in matters.of_kind(MatterKind::Invoice) {
        all.extend(of_matter(book, matter)?);
    }
    Ok(all)
}

fn of_matter(book: &Book, matter: &Matter) -> Result<Option<Invoice>, ExportError> {
    let Some(step) = matter.last(StepKind::Invoiced) else {
        return Ok(None);
    };
    let Some(entry) = step.entry else {
        return Ok(None);
    };
    let posted = book.entry(entry)?;
    let mut invoice = Invoice {
        from: book.settings().business_name().to_owned(),
        from_lines: in_lines(book, "business_address"),
        to: matter.party().to_owned(),
        number: matter.key.clone(),
        date: step.on,
        due: step.due,
        lines: Vec::new(),
        postage: Money::ZERO,
        tax: Money::ZERO,
        paid: matter.total(StepKind::Paid),
        how_to_pay: in_lines(book, "how_to_pay"),
        note: step.about.clone(),
    };
    for line in posted.entry.lines() {
        let has = |role| book.chart().has_role(line.account, role);
        if has(Role::Sales) {
            invoice.lines.push(InvoiceLine {
                what: line.memo.clone(),
                quantity: line.quantity,
                amount: -line.amount,
            });
        } else if has(Role::PostageCharged) {
            invoice.postage -= line.amount;
        } else if has(Role::SalesTax) {
            invoice.tax -= line.amount;
        }
    }
    Ok(Some(invoice))
}

/// A setting of several lines, written with `;` between them.
fn in_lines(book: &Book, key: &str) -> String {
    let parts = book.settings().get(key).unwrap_or_default().split(';');
    let lines: Vec<&str> = parts.map(str::trim).collect();
    lines.join("\n")
}

/// The invoice as a PDF of one or more pages. Letter paper where amounts are in dollars of the United States, A4 elsewhere.
///
/// # Errors
/// When what stands on it cannot be written to the standard, as a letter that the typeface lacks.
pub fn invoice(
    it: &Invoice,
    currency: &Currency,
    made_on: NaiveDate,
) -> Result<Vec<u8>, ExportError> {
    let size = Size::of_currency(currency.code());
    let mut sheet = Sheet::new(format!("Invoice {}", it.number), size)?;
    let show = |amount: Money| currency.statement(amount);
    sheet.heading(1, &format!("Invoice {}", it.number));
    sheet.space(6.0);
    sheet.heading(2, &it.from);
    sheet.paragraph(&it.from_lines);
    sheet.paragraph(&format!("To: {}", it.to));
    let due = it.due.map_or_else(String::new, |due| {
        format!("\nTo be paid until {}", show_day(due))
    });
    sheet.paragraph(&format!("Of {}{due}", show_day(it.date)));
    sheet.space(10.0);
    let columns = [
        Column {
            title: "What".to_owned(),
            align: Align::Left,
        },
        Column {
            title: "How many".to_owned(),
            align: Align::Right,
        },
        Column {
            title: "Amount".to_owned(),
            align: Align::Right,
        },
    ];
    let mut rows: Vec<(RowKind, Vec<String>)> = it
        .lines
        .iter()
        .map(|line| {
            let many = line
                .quantity
                .map(|many| many.to_string())
                .unwrap_or_default();
            (
                RowKind::Line,
                vec![line.what.clone(), many, show(line.amount)],
            )
        })
        .collect();
    for (words, amount) in [("Postage", it.postage), ("Sales tax", it.tax)] {
        if !amount.is_zero() {
            rows.push((
                RowKind::Line,
                vec![words.to_owned(), String::new(), show(amount)],
            ));
        }
    }
    let code = currency.code();
    if it.paid.is_zero() {
        rows.push((
            RowKind::Final,
            vec![
                format!("To be paid, {code}"),
                String::new(),
                show(it.total()),
            ],
        ));
    } else {
        rows.push((
            RowKind::Total,
            vec![format!("Together, {code}"), String::new(), show(it.total())],
        ));
        rows.push((
            RowKind::Line,
            vec!["Paid already".to_owned(), String::new(), show(-it.paid)],
        ));
        rows.push((
            RowKind::Final,
            vec![
                format!("Still to be paid, {code}"),
                String::new(),
                show(it.total() - it.paid),
            ],
        ));
    }
    let rows: Vec<Row> = rows
        .into_iter()
        .map(|(kind, cells)| Row::new(kind, cells.into_iter().map(Into::into).collect()))
        .collect();
    sheet.table(&columns, &rows);
    sheet.paragraph(&it.how_to_pay);
    sheet.paragraph(&it.note);
    sheet.to_pdf(made_on, &mut || Ok(()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn one() -> Invoice {
        let day = |text| parse_iso(text).expect("a day");
        Invoice {
            from: "Fernhollow Bindery".to_owned(),
            from_lines: "3 Mill Row\nFernhollow".to_owned(),
            to: "Larkspur Gifts".to_owned(),
            number: "2026-04".to_owned(),
            date: day("2026-04-10"),
            due: Some(day("2026-05-10")),
            lines: vec![
                InvoiceLine {
                    what: "Notebook".to_owned(),
                    quantity: "10".parse().ok(),
                    amount: Money::from_minor(9_000),
                },
                InvoiceLine {
                    what: "Card".to_owned(),
                    quantity: "20".parse().ok(),
                    amount: Money::from_minor(4_500),
                },
            ],
            postage: Money::from_minor(600),
            tax: Money::ZERO,
            paid: Money::from_minor(10_000),
            how_to_pay: "By transfer.".to_owned(),
            note: String::new(),
        }
    }

    /// By hand: 90.00 + 45.00 + 6.00 = 141.00.
    #[test]
    fn it_meets_the_standards_and_the_same_figures_give_the_same_bytes() {
        let dollars = Currency::from_code("USD").expect("a currency");
        let made_on = parse_iso("2026-04-10").expect("a day");
        assert_eq!(one().total(), Money::from_minor(14_100));
        let first = invoice(&one(), &dollars, made_on).expect("meets the standards");
        assert!(first.starts_with(b"%PDF-1.7"));
        assert_eq!(first, invoice(&one(), &dollars, made_on).expect("again"));
        let mut long = one();
        long.lines = vec![long.lines[0].clone(); 120];
        let long = invoice(&long, &dollars, made_on).expect("several pages");
        assert!(long.len() > first.len());
    }
}
