//! A letter: its words, its reader, its reason.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::people::MemberId;
use crate::web::site::local_path;

/// Longest subject, in characters.
const LONGEST_SUBJECT: usize = 200;
/// Largest body, in bytes as it is stored.
const LARGEST_BODY: usize = 40_000;

/// A piece of a letter's body. From the same pieces come the plain text, the HTML and the page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// A paragraph.
    Says(String),
    /// Several things in a row, such as the pieces of a loan.
    Lists(Vec<String>),
    /// A way on: a page of this service.
    LeadsTo {
        /// What the page is for.
        label: String,
        /// Its path, from `/` on.
        path: String,
    },
}

/// What a letter says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Letter {
    /// One line.
    pub subject: String,
    /// The body, without greeting and ending.
    pub parts: Vec<Part>,
}

impl Letter {
    /// A letter with this subject and nothing in it yet.
    #[must_use]
    pub fn about(subject: impl Into<String>) -> Self {
        Self { subject: subject.into(), parts: Vec::new() }
    }

    /// Adds a paragraph.
    #[must_use]
    pub fn says(mut self, text: impl Into<String>) -> Self {
        self.parts.push(Part::Says(text.into()));
        self
    }

    /// Adds a list.
    #[must_use]
    pub fn lists<T: Into<String>>(mut self, items: impl IntoIterator<Item = T>) -> Self {
        self.parts.push(Part::Lists(items.into_iter().map(Into::into).collect()));
        self
    }

    /// Adds a way on: the path of a page of this service.
    #[must_use]
    pub fn leads_to(mut self, label: impl Into<String>, path: impl Into<String>) -> Self {
        self.parts.push(Part::LeadsTo { label: label.into(), path: path.into() });
        self
    }

    /// Checks what the mail's headers and the table can't take.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn check(&self) -> Result<(), NotALetter> {
        if self.subject.trim().is_empty() || self.subject.chars().count() > LONGEST_SUBJECT {
            return Err(NotALetter::Subject);
        }
        // A line end in a header would let whoever wrote it add headers of their own.
        if self.subject.chars().any(char::is_control) {
            return Err(NotALetter::LineEnd);
        }
        for part in &self.parts {
            if let Part::LeadsTo { path, .. } = part
                && local_path(path) != path
            {
                return Err(NotALetter::Path(path.clone()));
            }
        }
        if self.body().len() > LARGEST_BODY {
            return Err(NotALetter::TooLong);
        }
        Ok(())
    }

    /// The body as it is stored.
    pub(super) fn body(&self) -> String {
        serde_json::to_string(&self.parts).unwrap_or_default()
    }

    /// Reads a stored body. What can't be read is left out: `check` finds it.
    pub(super) fn parts_of(body: &str) -> Vec<Part> {
        serde_json::from_str(body).unwrap_or_default()
    }
}

/// Why a letter can't be written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotALetter {
    /// No subject, or one that is too long.
    #[error("a letter's subject has 1 to {LONGEST_SUBJECT} characters")]
    Subject,
    /// A line end or another control character in the subject.
    #[error("a letter's subject is one line, without control characters")]
    LineEnd,
    /// A way on that leaves this service.
    #[error("“{0}” is not a path of this service")]
    Path(String),
    /// Too much text.
    #[error("a letter is at most {LARGEST_BODY} bytes long")]
    TooLong,
    /// The key or the kind is missing or too long.
    #[error("a letter's key has 1 to 200 characters, and its kind 1 to 40")]
    Key,
    /// It would have to be sent after it has become misleading.
    #[error("a letter's time to be sent begins before it ends")]
    Window,
}

/// Whom a letter is for. The mail address is looked up when it is sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// Somebody in the list of members, with or without an account.
    Member(MemberId),
    /// Somebody with an account, member or not.
    Account(i64),
    /// The guardian of a young member, by the address written down with their consent.
    Guardian(MemberId),
}

/// Whether a letter goes to those too who asked for essential letters only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Somebody waits for the reader, or something of the club's is at stake.
    Essential,
    /// Useful; who does not want it misses nothing that matters to others.
    Useful,
}

/// A letter with its reader and its reason, ready to be queued.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// Whom it is for.
    pub to: Reader,
    /// What kind of letter it is, for sorting: `loan-due`, `offer`.
    pub kind: &'static str,
    /// Whether it goes to everybody.
    pub weight: Weight,
    /// Its reason, in words that no other letter has: `loan 12 due 2026-06-07`. A second letter
    /// with the same key is not written.
    pub key: String,
    /// What it says.
    pub letter: Letter,
    /// Not to be sent earlier; without it, at once.
    pub not_before: Option<Timestamp>,
    /// Not to be sent later, because it would mislead; without it, a week after it may be sent.
    pub not_after: Option<Timestamp>,
}

impl Message {
    /// Checks what the table could not take.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn check(&self) -> Result<(), NotALetter> {
        let short = |text: &str, most: usize| (1..=most).contains(&text.chars().count());
        if !short(&self.key, 200) || !short(self.kind, 40) {
            return Err(NotALetter::Key);
        }
        self.letter.check()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_subject_cannot_carry_headers_of_its_own() {
        for (subject, refused) in [
            ("Due on Sunday\r\nBcc: everybody@example.org", NotALetter::LineEnd),
            ("Due on Sunday\nBcc: everybody@example.org", NotALetter::LineEnd),
            ("Due\u{0} on Sunday", NotALetter::LineEnd),
            ("  ", NotALetter::Subject),
        ] {
            assert_eq!(Letter::about(subject).check(), Err(refused), "{subject:?}");
        }
        assert!(Letter::about("Fällig am Sonntag: 25 mm").check().is_ok());
    }

    #[test]
    fn a_way_on_stays_on_this_service() {
        for path in ["https://elsewhere.example", "//elsewhere.example", "mine", ""] {
            let letter = Letter::about("x").leads_to("Look", path);
            assert_eq!(letter.check(), Err(NotALetter::Path(path.into())));
        }
        assert!(Letter::about("x").leads_to("Look", "/mine?loan=3").check().is_ok());
    }

    #[test]
    fn a_body_survives_being_stored() {
        let letter = Letter::about("x").says("One.").lists(["a", "b"]).leads_to("Look", "/mine");
        assert_eq!(Letter::parts_of(&letter.body()), letter.parts);
        assert_eq!(Letter::parts_of("not json"), []);
    }

    #[test]
    fn a_letter_that_is_a_book_is_refused() {
        let book = Letter::about("x").says("word ".repeat(10_000));
        assert_eq!(book.check(), Err(NotALetter::TooLong));
    }
}
