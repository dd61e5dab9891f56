//! The page that says what went wrong, in one sentence, and offers the way on.

use askama::Template;
use askama_web::WebTemplate;

use super::frame::Frame;
use super::resend::Again;

/// A link that leads on from an error.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// The words of the link.
    pub label: String,
    /// A path on this service.
    pub address: String,
}

impl Way {
    /// A link with these words to this path.
    pub fn new(label: impl Into<String>, address: impl Into<String>) -> Self {
        Self { label: label.into(), address: address.into() }
    }
}

/// Something the reader had typed, shown again so that it is not lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The field's label.
    pub label: String,
    /// What was typed. Never a password.
    pub value: String,
}

/// An error, told to a reader.
#[derive(Template, WebTemplate)]
#[template(path = "web/error.html")]
pub struct ErrorPage {
    /// The frame; its title is the heading.
    pub frame: Frame,
    /// The HTTP status, shown small.
    pub status: u16,
    /// What happened, in one sentence.
    pub sentence: String,
    /// What to do next, in one sentence.
    pub next: String,
    /// Links that lead on; the first is the likeliest.
    pub ways: Vec<Way>,
    /// Single faults, where there are several.
    pub details: Vec<String>,
    /// What was typed.
    pub kept: Vec<Kept>,
    /// The same form, to be sent once more.
    pub again: Option<Again>,
    /// A number to quote to whoever runs the service.
    pub id: Option<String>,
}

/// Errors a reader may meet.
#[cfg(test)]
pub(crate) mod samples {
    use super::{Again, ErrorPage, Kept, Way};
    use crate::gallery::{Sample, door, frame};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let lost = ErrorPage {
            frame: frame("No such page", scheme),
            status: 404,
            sentence: "Nothing lives at /telescopes/999.".into(),
            next: "The telescope may have left the shelf; the list shows those that are there."
                .into(),
            ways: vec![Way::new("All telescopes", "/telescopes"), Way::new("Find a kit", "/")],
            details: vec![],
            kept: vec![],
            again: None,
            id: None,
        };
        let broken = ErrorPage {
            frame: door("Something broke on our side", scheme),
            status: 500,
            sentence: "The page could not be made, and it is not your fault.".into(),
            next:
                "Try once more in a minute; if it stays, tell the quartermaster the number below."
                    .into(),
            ways: vec![],
            details: vec!["The first of two things that went wrong.".into(), "The second.".into()],
            kept: vec![
                Kept { label: "Nights".into(), value: "2026-06-05 to 2026-06-07".into() },
                Kept { label: "A note".into(), value: "<script>alert(1)</script>".into() },
            ],
            again: None,
            id: Some("7c1f-02aa".into()),
        };
        let full = ErrorPage {
            frame: frame("Not stored", scheme),
            status: 507,
            sentence: "There is no room left where the club’s records are kept, so nothing of \
                       this was stored."
                .into(),
            next: "Tell whoever looks after the service, and send it again later: what was \
                   stored before is safe."
                .into(),
            ways: vec![Way::new("Find a kit", "/")],
            details: vec![],
            kept: vec![
                Kept { label: "First night".into(), value: "2026-06-05".into() },
                Kept { label: "Note".into(), value: "For <b>two</b> beginners".into() },
            ],
            again: Some(Again {
                action: "/reserve".into(),
                fields: vec![("note".into(), "For <b>two</b> beginners".into())],
            }),
            id: None,
        };
        vec![
            Sample::of("error-404", &lost),
            Sample::of("error-500", &broken),
            Sample::of("error-507", &full),
        ]
    }
}
