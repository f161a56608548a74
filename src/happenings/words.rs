//! The words of an entry when the owner gave none of her own: the things it was about.
//! What may be said of an amount or an account is `checks`.

/// The owner's words, or the first things named with a count of the others.
pub fn memo_or_things<'t>(memo: &str, things: impl Iterator<Item = &'t str>) -> String {
    if !memo.trim().is_empty() {
        return memo.trim().to_owned();
    }
    let things: Vec<&str> = things
        .map(str::trim)
        .filter(|thing| !thing.is_empty())
        .collect();
    match things.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, other] => format!("{one}; {other}"),
        [one, other, more @ ..] => format!("{one}; {other}; and {} more", more.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::memo_or_things;

    #[test]
    fn own_words_come_first() {
        let said = |memo: &str, things: &[&str]| memo_or_things(memo, things.iter().copied());
        assert_eq!(said(" for the fair ", &["Glue"]), "for the fair");
        assert_eq!(said("", &[]), "");
        assert_eq!(said("", &["Glue", " "]), "Glue");
        assert_eq!(said("", &["Glue", "Thread"]), "Glue; Thread");
        assert_eq!(
            said("", &["Glue", "Thread", "Board", "Ink"]),
            "Glue; Thread; and 2 more"
        );
    }
}
