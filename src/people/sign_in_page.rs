//! The doors: signing in, and setting the first password from a one-time link.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// The sign-in form. Sends `email`, `password` and `next` to `POST /sign-in`.
#[derive(Template, WebTemplate)]
#[template(path = "people/sign_in.html")]
pub struct SignInPage {
    /// The frame, for nobody.
    pub frame: Frame,
    /// What was typed as e-mail address.
    pub email: String,
    /// Whether the club can send a link by mail.
    pub mail: bool,
    /// Whether anybody may ask to join.
    pub joining: bool,
    /// Path on this service to go to afterwards; empty for the start.
    pub next: String,
    /// Why the last try was refused: the same words whether the name or the password was wrong.
    pub refused: Option<String>,
    /// Good news to show once, such as "You have signed out."
    pub notice: Option<String>,
}

/// The page behind a one-time link, where a password is chosen. Sends `password` (and `name`,
/// `email` where they are not known yet) to the link's own address.
#[derive(Template, WebTemplate)]
#[template(path = "people/set_password.html")]
pub struct SetPasswordPage {
    /// The frame, for nobody.
    pub frame: Frame,
    /// Path that the form is sent to: the link's own.
    pub action: String,
    /// One sentence about whose password this is.
    pub welcome: String,
    /// The name, if it is still to be given.
    pub name: Option<Field>,
    /// The e-mail address, if it is still to be given.
    pub email: Option<Field>,
    /// The address the account is for, where it is known.
    pub known_email: Option<String>,
    /// What is wrong with the chosen password. Its text is never shown again.
    pub password_error: Option<String>,
}

impl SetPasswordPage {
    /// The summary above the form.
    fn slips(&self) -> Vec<Slip> {
        let password = Field { value: String::new(), error: self.password_error.clone() };
        let mut all = Vec::new();
        all.extend(self.name.iter().map(|field| ("name", field)));
        all.extend(self.email.iter().map(|field| ("email", field)));
        all.push(("password", &password));
        slips(all)
    }
}

/// The doors in their usual and their rare states.
#[cfg(test)]
pub(crate) mod samples {
    use super::{SetPasswordPage, SignInPage};
    use crate::gallery::{Sample, door};
    use crate::web::field::Field;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let sign_in = |notice: Option<&str>, refused: Option<&str>, email: &str| SignInPage {
            frame: door("Sign in", scheme),
            email: email.into(),
            mail: refused.is_some(),
            joining: notice.is_some(),
            next: "/telescopes".into(),
            refused: refused.map(Into::into),
            notice: notice.map(Into::into),
        };
        let invited = |known: bool, refused: Option<&str>| SetPasswordPage {
            frame: door("Choose your password", scheme),
            action: "/setup/0f3a".into(),
            welcome: "You are about to look after this club's shelf as its administrator.".into(),
            name: (!known).then(|| Field::of("\"><script>alert(1)</script>")),
            email: (!known).then(|| {
                Field::refused(
                    "ines",
                    "“ines” is not an e-mail address: it needs an @ and a domain.",
                )
            }),
            known_email: known.then(|| "ines@example.org".into()),
            password_error: refused.map(Into::into),
        };
        vec![
            Sample::of("sign-in", &sign_in(None, None, "")),
            Sample::of("sign-in-out", &sign_in(Some("You have signed out."), None, "")),
            Sample::of(
                "sign-in-refused",
                &sign_in(
                    None,
                    Some(
                        "That e-mail address and password don't belong together. Check both and try again.",
                    ),
                    "ines@example.org",
                ),
            ),
            Sample::of("set-password", &invited(true, None)),
            Sample::of(
                "set-password-refused",
                &invited(
                    false,
                    Some(
                        "“bluebluebluebluebl” is one of the first that people guess: choose another.",
                    ),
                ),
            ),
        ]
    }
}
