//! The page that explains how a kit is judged and how to read an answer.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::frame::Frame;
use crate::web::mark::Mark;

/// How to read an answer, for newcomers.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/reading.html")]
pub struct ReadingPage {
    /// The frame, at [`Place::Help`](crate::web::frame::Place::Help).
    pub frame: Frame,
}

impl ReadingPage {
    /// What each verdict means.
    fn verdicts() -> [(Mark, &'static str); 5] {
        [
            (Mark::Suits, "Comfortable, bright and sharp for this observer."),
            (Mark::Compromise, "It works, at a price; the reason beside it names the price."),
            (
                Mark::Unsuitable,
                "Not for these eyes in this telescope: too dark, too near to the glass, or it doesn't fit.",
            ),
            (
                Mark::NotKnown,
                "A figure is missing on the shelf, so the service doesn't guess. It says which.",
            ),
            (
                Mark::Blocked,
                "A safety rule is in the way, such as no tested filter for the Sun. Nobody can wave it through.",
            ),
        ]
    }
}
