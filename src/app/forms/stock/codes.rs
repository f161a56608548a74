//! Codes of items and sets: a short one offered from a name, and whether one is taken.
//! The fields are those of the forms.

use super::known::KnownStock;

/// So many characters an offered code has at most, a number at its end apart.
const LONGEST_CODE: usize = 14;

impl KnownStock {
    /// What has this code already: an item or a set, by name.
    #[must_use]
    pub fn holder_of(&self, code: &str) -> Option<&str> {
        let code = code.trim();
        self.item(code)
            .map(|item| item.name.as_str())
            .or_else(|| self.bundle(code).map(|bundle| bundle.name.as_str()))
    }

    /// A code made of a name that nothing else has; empty for an empty name.
    #[must_use]
    pub fn free_code(&self, name: &str) -> String {
        let short = code_of(name);
        let is_free = |code: &str| self.holder_of(code).is_none();
        if short.is_empty() || is_free(&short) {
            return short;
        }
        (2..)
            .map(|n| format!("{short}-{n}"))
            .find(|code| is_free(code))
            .unwrap_or(short)
    }
}

/// A short code from a name: `Text paper, cream` gives `TEXT-PAPER`.
fn code_of(name: &str) -> String {
    let mut code = String::new();
    for word in name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
    {
        let with = code.chars().count() + usize::from(!code.is_empty()) + word.chars().count();
        if !code.is_empty() && with > LONGEST_CODE {
            break;
        }
        if !code.is_empty() {
            code.push('-');
        }
        code.extend(word.chars().take(LONGEST_CODE).flat_map(char::to_uppercase));
    }
    code
}

#[cfg(test)]
mod tests {
    use super::code_of;

    #[test]
    fn a_code_is_made_of_the_first_words() {
        for (name, code) in [
            ("Text paper, cream", "TEXT-PAPER"),
            ("A5 notebook", "A5-NOTEBOOK"),
            ("", ""),
            ("Bookbinderslinenthread", "BOOKBINDERSLIN"),
        ] {
            assert_eq!(code_of(name), code, "{name}");
        }
    }
}
