//! Names and notes: what people write in their own words.

use std::fmt;

/// A text that cannot be kept. `Display` says why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadText {
    /// Nothing but blanks.
    #[error("The name is empty: please give one.")]
    NoName,
    /// Longer than there is room for.
    #[error("The {what} has {length} characters, and {most} is the most: please shorten it.")]
    TooLong {
        /// "name" or "notes".
        what: &'static str,
        /// Characters given.
        length: usize,
        /// Characters accepted.
        most: usize,
    },
    /// Holds control characters, which no page or label can show.
    #[error("The {what} holds an invisible control character: please type it again.")]
    Control {
        /// "name" or "notes".
        what: &'static str,
    },
}

fn check(what: &'static str, text: &str, most: usize) -> Result<(), BadText> {
    let length = text.chars().count();
    if length > most {
        return Err(BadText::TooLong { what, length, most });
    }
    Ok(())
}

/// What somebody or something is called: one line of 1–120 characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(String);

impl Name {
    /// Longest name, in characters.
    pub const LONGEST: usize = 120;

    /// Checks a name; blanks around it are dropped.
    ///
    /// # Errors
    /// [`BadText`] when it is empty, longer than 120 characters or has line breaks or other
    /// control characters.
    pub fn new(text: &str) -> Result<Self, BadText> {
        let text = text.trim();
        if text.is_empty() {
            return Err(BadText::NoName);
        }
        check("name", text, Self::LONGEST)?;
        if text.chars().any(char::is_control) {
            return Err(BadText::Control { what: "name" });
        }
        Ok(Self(text.to_owned()))
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Anything else worth writing down: up to 2,000 characters, with line breaks if need be.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Notes(String);

impl Notes {
    /// Longest notes, in characters.
    pub const LONGEST: usize = 2000;

    /// Checks notes; blanks around them are dropped.
    ///
    /// # Errors
    /// [`BadText`] when they are longer than 2,000 characters or have control characters other
    /// than line breaks and tabs.
    pub fn new(text: &str) -> Result<Self, BadText> {
        let text = text.trim();
        check("notes", text, Self::LONGEST)?;
        if text.chars().any(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t')) {
            return Err(BadText::Control { what: "notes" });
        }
        Ok(Self(text.to_owned()))
    }

    /// The notes; empty when there is nothing to say.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Notes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_one_line_of_visible_text() {
        assert_eq!(Name::new("  The Heron ").unwrap().as_str(), "The Heron");
        assert_eq!(Name::new(" \t"), Err(BadText::NoName));
        assert!(matches!(Name::new("a\nb"), Err(BadText::Control { .. })));
        assert!(Name::new(&"é".repeat(120)).is_ok());
        assert!(matches!(Name::new(&"é".repeat(121)), Err(BadText::TooLong { .. })));
    }

    #[test]
    fn notes_may_be_empty_and_have_line_breaks() {
        assert_eq!(Notes::new("").unwrap(), Notes::default());
        assert_eq!(Notes::new("one\r\ntwo\n").unwrap().as_str(), "one\r\ntwo");
        assert!(Notes::new("a\0b").is_err());
        assert!(Notes::new(&"x".repeat(2001)).is_err());
    }
}
