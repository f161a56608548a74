//! From whom or to whom, worked out of a bank's words: the way of paying, numbers and dates are left away.
//! The words that are left away are data, in `assets/words/statement-noise.txt`.

use std::collections::HashSet;
use std::sync::LazyLock;

/// How many telling words make a payee; what follows is mostly a town.
const WORDS: usize = 3;

static NOISE: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
    include_str!("../../assets/words/statement-noise.txt")
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .collect()
});

/// From whom or to whom: up to three telling words in lower case.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Payee(String);

impl Payee {
    /// The payee that a bank's words name. Two texts that differ only in numbers, dates and ways of paying have the
    /// same one. Where nothing is left, all the words stand.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let lower = text.to_lowercase();
        let mut telling: Vec<&str> = words(&lower)
            .filter(|word| !NOISE.contains(word))
            .take(WORDS)
            .collect();
        // A name cut after its "and" is the name without it.
        if telling.len() > 1 && telling.last() == Some(&"and") {
            telling.pop();
        }
        if telling.is_empty() {
            return Self(words(&lower).take(WORDS).collect::<Vec<_>>().join(" "));
        }
        Self(telling.join(" "))
    }

    /// A payee that was kept.
    #[must_use]
    pub fn kept(key: impl Into<String>) -> Self {
        Self(key.into())
    }

    /// The words, in lower case.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.0
    }

    /// Whether nothing was left of the bank's words.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The name as a person would write it.
    #[must_use]
    pub fn name(&self) -> String {
        in_title_case(&self.0)
    }

    /// Whether two are most likely one: they begin with the same two words, or one is a single word and begins the
    /// other.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        let (one, two): (Vec<&str>, Vec<&str>) =
            (self.0.split(' ').collect(), other.0.split(' ').collect());
        let n_alike = one.iter().zip(&two).take_while(|(a, b)| a == b).count();
        n_alike >= 2 || (n_alike == 1 && (one.len() == 1 || two.len() == 1) && one[0].len() >= 4)
    }
}

/// Words of letters, at least two long: numbers, dates and card numbers are passed over.
fn words(lower: &str) -> impl Iterator<Item = &str> {
    lower
        .split(|c: char| !(c.is_alphanumeric() || c == '\'' || c == '&'))
        .map(|word| word.trim_matches(['\'', '&']))
        .filter(|word| word.chars().count() >= 2 && !word.chars().any(|c| c.is_ascii_digit()))
}

/// Each word with a capital.
#[must_use]
pub fn in_title_case(text: &str) -> String {
    let capital = |word: &str| {
        let mut chars = word.chars();
        chars.next().map_or_else(String::new, |first| {
            first.to_uppercase().chain(chars).collect()
        })
    };
    text.split_whitespace()
        .map(capital)
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::Payee;

    #[test]
    fn numbers_dates_and_ways_of_paying_are_left_away() {
        let key = |text: &str| Payee::of(text).key().to_owned();
        assert_eq!(
            key("CARD PURCHASE 12/03 HARROW LANE PAPERS 00423 ELMWICK"),
            "harrow lane papers"
        );
        assert_eq!(
            key("Direct debit Harrow Lane Papers REF X0099123"),
            "harrow lane papers"
        );
        assert_eq!(
            key("SEPA-Lastschrift Tannwald Karton GmbH"),
            "tannwald karton gmbh"
        );
        assert_eq!(key("CARD QUAYSIDE LAUNDRY AND IRONING"), "quayside laundry");
        assert_eq!(key("ASH AND REED"), "ash and reed");
        // Nothing telling is left: the words themselves stand.
        assert_eq!(key("CASH WITHDRAWAL"), "cash withdrawal");
        assert_eq!(key("000123"), "");
    }

    #[test]
    fn a_town_more_or_less_is_still_the_same_payee() {
        let like = |one: &str, other: &str| Payee::of(one).is_like(&Payee::of(other));
        assert!(like("POS Quillfeather Inks Elmwick", "QUILLFEATHER INKS"));
        assert!(like("Quillfeather", "Quillfeather Inks Ltd"));
        assert!(!like("Elm Press", "Elm Bakery"));
    }
}
