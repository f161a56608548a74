//! Counts in words, so that one thing is not said as several.
//! Amounts and days have their own way of being said, in `money` and `dates`.

use std::fmt::Display;

/// A count with what is counted: `1 entry`, `12 entries`.
#[must_use]
pub fn counted<N: Display + PartialEq + From<u8>>(count: N, one: &str, many: &str) -> String {
    let things = if count == N::from(1) { one } else { many };
    format!("{count} {things}")
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn one_is_not_several() {
        assert_eq!(counted(0_u64, "entry", "entries"), "0 entries");
        assert_eq!(counted(1_u64, "entry", "entries"), "1 entry");
        assert_eq!(counted(2_usize, "entry", "entries"), "2 entries");
    }
}
