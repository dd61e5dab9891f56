//! The page of access tokens.

use askama::Template;
use askama_web::WebTemplate;

use super::section::Section;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// How long a token may live, in days, with the words of the choice.
pub const LIFETIMES: [(i64, &str); 3] = [(30, "30 days"), (90, "90 days"), (365, "A year")];

/// A token as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TokenRow {
    /// Its number.
    pub id: i64,
    /// What its owner calls it.
    pub name: String,
    /// "may read", "may read and change".
    pub may: &'static str,
    /// "Friday 5 June 2026", or "never".
    pub ends: String,
    /// The day of its last use, or "not used yet".
    pub last_used: String,
}

/// A token that was made this moment.
#[derive(Clone, PartialEq, Eq)]
pub struct FreshToken {
    /// What its owner calls it.
    pub name: String,
    /// The token itself: shown now and never again.
    pub text: String,
}

/// `/account/tokens`
#[derive(Template, WebTemplate)]
#[template(path = "profile/tokens.html")]
pub struct TokenPage {
    /// The frame.
    pub frame: Frame,
    /// Where this page stands among those about oneself.
    pub section: Section,
    /// The living tokens, newest first.
    pub tokens: Vec<TokenRow>,
    /// The one that was just made.
    pub fresh: Option<FreshToken>,
    /// Good news to show once.
    pub notice: Option<String>,
    /// The new token's name.
    pub name: Field,
    /// `read` or `write`.
    pub scope: String,
    /// Days it shall live.
    pub days: String,
}

impl TokenPage {
    fn slips(&self) -> Vec<Slip> {
        slips([("name", &self.name)])
    }
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |tokens: Vec<TokenRow>| TokenPage {
            frame: frame("Access tokens", scheme),
            section: Section::Tokens,
            tokens,
            fresh: None,
            notice: None,
            name: Field::default(),
            scope: "read".into(),
            days: "90".into(),
        };
        let row = |id, name: &str| TokenRow {
            id,
            name: name.into(),
            may: "may read",
            ends: "Thursday 3 September 2026".into(),
            last_used: "Friday 5 June 2026".into(),
        };
        let named = || vec![row(1, "weather station"), row(2, "\"><script>alert(1)</script>")];
        let fresh = FreshToken { name: "weather station".into(), text: "0f3a".repeat(16) };
        let refused = Field::refused("", "Give it a name, so that you recognise it later.");
        vec![
            Sample::of("tokens-none", &page(Vec::new())),
            Sample::of("tokens-fresh", &TokenPage { fresh: Some(fresh), ..page(named()) }),
            Sample::of("tokens-refused", &TokenPage { name: refused, ..page(named()) }),
            Sample::of(
                "tokens-revoked",
                &TokenPage { notice: Some("The token was revoked.".into()), ..page(named()) },
            ),
        ]
    }
}
