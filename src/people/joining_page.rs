//! The pages about asking to join.

use askama::Template;
use askama_web::WebTemplate;

use super::joining::Request;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// `/join`
#[derive(Template, WebTemplate)]
#[template(path = "people/join.html")]
pub struct JoinPage {
    /// The frame, for nobody.
    pub frame: Frame,
    /// The name.
    pub name: Field,
    /// The address.
    pub email: Field,
    /// A few words to the club.
    pub says: Field,
    /// Whether it was sent.
    pub sent: bool,
}

impl JoinPage {
    fn slips(&self) -> Vec<Slip> {
        slips([("name", &self.name), ("email", &self.email), ("says", &self.says)])
    }
}

/// Somebody who waits, with the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// What they sent.
    pub request: Request,
    /// "Friday 5 June 2026".
    pub day: String,
}

/// `/people/joining`
#[derive(Template, WebTemplate)]
#[template(path = "people/joining.html")]
pub struct JoiningPage {
    /// The frame.
    pub frame: Frame,
    /// Whether anybody may ask.
    pub open: bool,
    /// Those who wait.
    pub waiting: Vec<Waiting>,
    /// Good news to show once.
    pub notice: Option<&'static str>,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, door, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::{Place, Scheme};

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let join = |sent, email| JoinPage {
            frame: door("Ask to join", scheme),
            name: Field::of("\"><script>alert(1)</script>"),
            email,
            says: Field::default(),
            sent,
        };
        let request = Request {
            id: 7,
            name: "Ines Aldous".into(),
            email: "ines@example.org".into(),
            says: "<script>alert(1)</script> I live nearby.".into(),
            asked_at: 0,
        };
        let joining = |open, waiting| JoiningPage {
            frame: signed_in("Who may ask to join", scheme, "Ada Quill", &[Role::Admin])
                .at(Place::People),
            open,
            waiting,
            notice: Some("The request was declined."),
        };
        let refused = Field::refused("ines", "This is not an e-mail address.");
        vec![
            Sample::of("join", &join(false, Field::default())),
            Sample::of("join-refused", &join(false, refused)),
            Sample::of("join-sent", &join(true, Field::default())),
            Sample::of("joining-shut", &joining(false, Vec::new())),
            Sample::of(
                "joining",
                &joining(true, vec![Waiting { request, day: "Friday 5 June 2026".into() }]),
            ),
        ]
    }
}
