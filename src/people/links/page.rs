//! The pages of help at the door.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// Where a link can be asked for. Sends `email` and `want` to `POST /sign-in/help`.
#[derive(Template, WebTemplate)]
#[template(path = "people/link_wanted.html")]
pub struct LinkWantedPage {
    /// The frame, for nobody.
    pub frame: Frame,
    /// Whether the club can send mail.
    pub mail: bool,
    /// The address.
    pub email: Field,
    /// Why nothing was sent just now.
    pub refused: Option<String>,
    /// Whether a letter is on its way, or would be if there were an account.
    pub on_its_way: bool,
}

impl LinkWantedPage {
    fn slips(&self) -> Vec<Slip> {
        slips([("email", &self.email)])
    }
}

/// What a link opens: one button, so that no program that reads mail uses it up.
#[derive(Template, WebTemplate)]
#[template(path = "people/link_opened.html")]
pub struct LinkOpenedPage {
    /// The frame, for nobody.
    pub frame: Frame,
    /// Path that the form is sent to: the link's own.
    pub action: String,
    /// One sentence about what the button does.
    pub lead: String,
    /// The words on the button.
    pub button: &'static str,
}

/// Both in their usual and their rare states.
#[cfg(test)]
pub(crate) mod samples {
    use super::{LinkOpenedPage, LinkWantedPage};
    use crate::gallery::{Sample, door};
    use crate::web::field::Field;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let wanted = || LinkWantedPage {
            frame: door("Help at the door", scheme),
            mail: true,
            email: Field::default(),
            refused: None,
            on_its_way: false,
        };
        vec![
            Sample::of("link-wanted", &wanted()),
            Sample::of("link-without-mail", &LinkWantedPage { mail: false, ..wanted() }),
            Sample::of(
                "link-refused",
                &LinkWantedPage {
                    email: Field::refused(
                        "\"><script>alert(1)</script>",
                        "This is not an e-mail address: write it like name@example.org.",
                    ),
                    ..wanted()
                },
            ),
            Sample::of("link-on-its-way", &LinkWantedPage { on_its_way: true, ..wanted() }),
            Sample::of(
                "link-opened",
                &LinkOpenedPage {
                    frame: door("Sign in", scheme),
                    action: "/sign-in/link/0f3a".into(),
                    lead: "You are about to sign in as Ines Aldous.".into(),
                    button: "Sign in",
                },
            ),
        ]
    }
}
