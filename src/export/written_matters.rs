//! The steps of what goes on as a written-out book has them.
//! Reading them back is `import`'s.

use super::ExportError;
use crate::book::Book;
use crate::matters::write_pieces;

/// One row for each step, in the order they were told.
pub(super) fn rows(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for step in book.matter_steps()? {
        let answers = serde_json::to_string(&step.answers)
            .map_err(|error| crate::book::BookError::Sql(error.to_string()))?;
        rows.push(vec![
            step.matter.as_str().to_owned(),
            step.key,
            step.kind.as_str().to_owned(),
            step.on.to_string(),
            book.currency().plain(step.amount),
            step.due.map(|due| due.to_string()).unwrap_or_default(),
            step.party,
            step.about,
            write_pieces(&step.pieces),
            step.entry
                .map(|number| number.to_string())
                .unwrap_or_default(),
            answers,
        ]);
    }
    Ok(rows)
}
