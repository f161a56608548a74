//! Kinds that are a word in sheets, JSON and the book file and plain words on screen, written down as one list.
//! The lists themselves stand with what they name.

/// Makes an enum of a list `Variant = "word" / "plain words"`, with both ways between kind and word.
macro_rules! word_list {
    ($(#[$about:meta])* $name:ident, $what:literal: $($(#[$doc:meta])* $variant:ident = $word:literal / $plain:literal,)*) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* $variant,)* }

        impl $name {
            /// Every kind.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The word used in sheets, JSON and the book file.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// The plain words shown to the owner.
            #[must_use]
            pub const fn plain(self) -> &'static str {
                match self { $(Self::$variant => $plain,)* }
            }
        }

        impl ::std::fmt::Display for $name {
            fn fmt(&self, f: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                f.write_str(self.as_str())
            }
        }

        impl ::std::str::FromStr for $name {
            type Err = String;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Self::ALL
                    .iter()
                    .copied()
                    .find(|kind| kind.as_str() == text.trim())
                    .ok_or_else(|| {
                        let known: Vec<&str> = Self::ALL.iter().map(|kind| kind.as_str()).collect();
                        format!("'{text}' is not {}; use one of {}", $what, known.join(", "))
                    })
            }
        }
    };
}

pub(crate) use word_list;
