//! A year of a book sorted by the lines of a tax form.
//! The lines and the sorting are `form_lines`' business.

use chrono::NaiveDate;

use super::{ReportError, cash_basis, cost_of_goods_sold, profit};
use crate::book::{Book, BookError};
use crate::form_lines::{FormLines, form_lines as sort, forms, nearest};
use crate::statements::Basis;

/// The setting that names the form.
const SETTING: &str = "tax_form";

/// The form a book is sorted by: the one its setting names, or that of its currency; none where none is known.
///
/// # Errors
/// When a form's file cannot be read.
pub fn form_of(book: &Book) -> Result<Option<String>, ReportError> {
    if let Some(named) = book.settings().get(SETTING) {
        return Ok(Some(named.to_owned()).filter(|named| named != "none"));
    }
    let known = forms().map_err(|fault| BookError::refused(fault.to_string()))?;
    let code = book.currency().code();
    let form = known.into_iter().find(|form| form.currency == code);
    Ok(form.map(|form| form.form))
}

/// A financial year sorted by the lines of a form: the one named, or the book's own; none where none is known. Lines that
/// accounts name count when it is the book's own form.
///
/// # Errors
/// When the book cannot be read, or no form has that name.
pub fn form_lines(
    book: &Book,
    year: i32,
    named: Option<&str>,
    basis: Basis,
    today: NaiveDate,
) -> Result<Option<FormLines>, ReportError> {
    let own = form_of(book)?;
    let Some(name) = named.map(str::to_owned).or_else(|| own.clone()) else {
        return Ok(None);
    };
    let known = forms().map_err(|fault| BookError::refused(fault.to_string()))?;
    let Some((form, assumed)) = nearest(&known, &name, year) else {
        let mut names: Vec<&str> = known.iter().map(|form| form.form.as_str()).collect();
        names.dedup();
        return Err(BookError::refused(format!(
            "there is no form '{name}'; use one of {}",
            names.join(", ")
        ))
        .into());
    };
    let range = book.year_start().year_ending_in(year);
    let statement = match basis {
        Basis::Accrual => profit(book, range)?,
        Basis::Cash => cash_basis(book, range, today)?.statement(),
    };
    let goods = cost_of_goods_sold(book, range)?;
    let is_own = own.as_deref() == Some(form.form.as_str());
    let sorted = sort(&form, book.chart(), &statement, basis, &goods, is_own);
    Ok(Some(FormLines { assumed, ..sorted }))
}
