//! A verdict as a reader sees it: a small window, more or less lit, and always its word.

use std::fmt;

/// What a rule says of a view, for showing. How much light comes through the window tells how
/// well it goes; the word beside it says the same to those who don't see the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Comfortable and good.
    Suits,
    /// Works, at a price that the reason names.
    Compromise,
    /// Not for this observer.
    Unsuitable,
    /// A figure is missing, so nobody can say.
    NotKnown,
    /// A safety gate is shut.
    Blocked,
}

impl Mark {
    /// Every mark, best first.
    pub const ALL: [Mark; 5] =
        [Mark::Suits, Mark::Compromise, Mark::Unsuitable, Mark::NotKnown, Mark::Blocked];

    /// The word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Suits => "suits",
            Self::Compromise => "compromise",
            Self::Unsuitable => "unsuitable",
            Self::NotKnown => "not known",
            Self::Blocked => "blocked",
        }
    }

    /// The word as a class of the style sheet.
    #[must_use]
    pub fn class(self) -> &'static str {
        match self {
            Self::NotKnown => "not-known",
            other => other.word(),
        }
    }

    /// Paths inside the window, drawn in a box of 12 by 16.
    fn panes(self) -> &'static str {
        match self {
            Self::Suits => {
                r#"<path class="lit" d="M1 15V6a5 5 0 0 1 10 0v9z"/><path class="bar" d="M6 1v14M1 8h10"/>"#
            }
            Self::Compromise => {
                r#"<path class="lit" d="M1 15V8h10v7z"/><path class="bar" d="M1 8h10"/>"#
            }
            Self::Unsuitable => r#"<path class="bar" d="M2.2 13.8 9.8 3.4"/>"#,
            Self::NotKnown => {
                r#"<path class="bar" d="M4 6.4a2 2 0 1 1 2.7 1.9q-.7.3-.7 1.6M6 11.7v1.4"/>"#
            }
            Self::Blocked => r#"<path class="bar" d="M1 6h10M1 9h10M1 12h10M3 3.2h6"/>"#,
        }
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            r#"<span class="mark {}"><svg class="window" viewBox="0 0 12 16" aria-hidden="true" focusable="false">{}<path class="frame" d="M1 15V6a5 5 0 0 1 10 0v9z"/></svg>{}</span>"#,
            self.class(),
            self.panes(),
            self.word()
        )
    }
}

/// A reason with the verdict of the rule that gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// What this rule says.
    pub mark: Mark,
    /// One sentence.
    pub text: String,
}

/// Made of nothing but the fixed text above, so it may enter a page unescaped.
impl askama::filters::HtmlSafe for Mark {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mark_says_its_word_and_has_a_shape_of_its_own() {
        let mut shapes: Vec<&str> = Mark::ALL.iter().map(|mark| mark.panes()).collect();
        for mark in Mark::ALL {
            assert!(mark.to_string().ends_with(&format!("</svg>{}</span>", mark.word())));
        }
        shapes.sort_unstable();
        shapes.dedup();
        assert_eq!(shapes.len(), Mark::ALL.len());
    }

    #[test]
    fn no_mark_carries_styles_of_its_own() {
        for mark in Mark::ALL {
            assert!(!mark.to_string().contains("style="));
        }
    }
}
