//! The door that asks for the second factor.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::frame::Frame;

/// Asks for a code. Sends `code` to `POST /sign-in/code`.
#[derive(Template, WebTemplate)]
#[template(path = "people/code.html")]
pub struct CodePage {
    /// The frame, for nobody.
    pub frame: Frame,
    /// Why the last try was refused.
    pub refused: Option<String>,
}

/// It in its usual and its rare state.
#[cfg(test)]
pub(crate) mod samples {
    use super::CodePage;
    use crate::gallery::{Sample, door};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |refused: Option<&str>| CodePage {
            frame: door("Your code", scheme),
            refused: refused.map(Into::into),
        };
        vec![
            Sample::of("code", &page(None)),
            Sample::of("code-refused", &page(Some("That code is not right, or was used before."))),
        ]
    }
}
