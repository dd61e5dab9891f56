//! Short codes that people write on labels and in cells: asset tags, member numbers.

/// Longest code accepted, in characters.
pub const LONGEST_CODE: usize = 24;

/// A text that cannot be a code. `Display` says what can.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "The {what} must be 1 to 24 letters, digits, dots, dashes, slashes or underscores, beginning with a letter or digit."
)]
pub struct NotACode {
    /// What the code names, such as "asset tag".
    pub what: &'static str,
}

/// Checks that a text can stand as a code: no spaces, so that a list of codes can be kept apart
/// by them, and nothing that a label or an address has to escape.
pub(crate) fn check_code(what: &'static str, text: &str) -> Result<(), NotACode> {
    let allowed = |byte: u8| byte.is_ascii_alphanumeric() || b"._/-".contains(&byte);
    let good = text.len() <= LONGEST_CODE
        && text.starts_with(|first: char| first.is_ascii_alphanumeric())
        && text.bytes().all(allowed);
    if good { Ok(()) } else { Err(NotACode { what }) }
}

/// Makes one kind of code. Upper and lower case are the same code, as they are in the database.
macro_rules! code {
    ($(#[$meta:meta])* $name:ident, $what:literal) => {
        $(#[$meta])*
        #[derive(Debug, Clone)]
        pub struct $name(String);

        impl $name {
            /// Checks a text.
            ///
            /// # Errors
            /// [`NotACode`](crate::sheet::NotACode) when it is empty, too long, or holds other
            /// characters than ASCII letters, digits and `._/-`.
            pub fn new(text: &str) -> Result<Self, $crate::sheet::NotACode> {
                $crate::sheet::check_code($what, text)?;
                Ok(Self(text.to_owned()))
            }

            /// The code as it was written.
            pub fn as_str(&self) -> &str {
                &self.0
            }

            fn folded(&self) -> impl Iterator<Item = u8> + '_ {
                self.0.bytes().map(|byte| byte.to_ascii_lowercase())
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::sheet::NotACode;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Self::new(text)
            }
        }

        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.0.eq_ignore_ascii_case(&other.0)
            }
        }

        impl Eq for $name {}

        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
                Some(self.cmp(other))
            }
        }

        impl Ord for $name {
            fn cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.folded().cmp(other.folded())
            }
        }

        impl std::hash::Hash for $name {
            fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
                for byte in self.folded() {
                    state.write_u8(byte);
                }
                state.write_u8(0xff);
            }
        }
    };
}
pub(crate) use code;

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    code! {
        /// A code to try things on.
        Tag, "tag"
    }

    #[test]
    fn upper_and_lower_case_are_one_code() {
        let tags = HashSet::from([Tag::new("T-001").unwrap()]);
        assert_eq!(tags.iter().next().map(Tag::as_str), Some("T-001"));
        assert!(tags.contains(&Tag::new("t-001").unwrap()));
        assert!(!tags.contains(&Tag::new("t-0011").unwrap()));
    }

    #[test]
    fn what_a_label_cannot_bear_is_refused() {
        for text in ["", " ", "T 1", "-1", "=1", "É-1", "T\n1", "T-1234567890123456789012345"] {
            assert!(Tag::new(text).is_err(), "{text:?}");
        }
        for text in ["T-001", "7", "e.12", "S/3_b", "T-1234567890123456789012"] {
            assert!(Tag::new(text).is_ok(), "{text:?}");
        }
    }
}
