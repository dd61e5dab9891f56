//! The page about one's own account: name, address, password, sessions.

use askama::Template;
use askama_web::WebTemplate;

use crate::profile::section::Section;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// A session in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SessionRow {
    /// Its name in addresses.
    pub handle: String,
    /// The kind of browser.
    pub browser: String,
    /// Since when, from where, last used when.
    pub told: String,
    /// Whether it is the one that looks at the page.
    pub own: bool,
}

/// `/account`
#[derive(Template, WebTemplate)]
#[template(path = "people/account.html")]
pub struct AccountPage {
    /// The frame.
    pub frame: Frame,
    /// Where the row of links stands.
    pub section: Section,
    /// Good news to show once.
    pub notice: Option<String>,
    /// The name.
    pub name: Field,
    /// The address.
    pub email: Field,
    /// The password, typed to prove who changes the address.
    pub email_password: Field,
    /// The present password, typed to prove who changes it.
    pub password: Field,
    /// The new password.
    pub new_password: Field,
    /// Whether a password is there to be asked for.
    pub has_password: bool,
    /// Whether codes are asked for at each sign-in.
    pub has_second_factor: bool,
    /// Every session, the own one first.
    pub sessions: Vec<SessionRow>,
}

impl AccountPage {
    fn slips(&self) -> Vec<Slip> {
        slips([
            ("name", &self.name),
            ("email", &self.email),
            ("email_password", &self.email_password),
            ("password", &self.password),
            ("new_password", &self.new_password),
        ])
    }
}

/// It in its usual and its rare states.
#[cfg(test)]
pub(crate) mod samples {
    use super::{AccountPage, SessionRow};
    use crate::gallery::{Sample, frame};
    use crate::profile::section::Section;
    use crate::web::field::Field;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let row = |handle: &str, browser: &str, own| SessionRow {
            handle: handle.into(),
            browser: browser.into(),
            told: "Since Friday 5 June 2026, 19:40, from 192.0.2.*. Last used at 21:05.".into(),
            own,
        };
        let page = || AccountPage {
            frame: frame("Your account", scheme),
            section: Section::Doors,
            notice: None,
            name: Field::of("Ines Aldous"),
            email: Field::of("ines@example.org"),
            email_password: Field::default(),
            password: Field::default(),
            new_password: Field::default(),
            has_password: true,
            has_second_factor: false,
            sessions: vec![
                row("0f3a", "Phone (Linux, Android 14)", true),
                row("1b2c", "\"><script>alert(1)</script>", false),
            ],
        };
        vec![
            Sample::of("account", &page()),
            Sample::of(
                "account-changed",
                &AccountPage {
                    notice: Some("Your password is changed.".into()),
                    has_second_factor: true,
                    sessions: vec![row("0f3a", "Computer (X11, Linux x86_64)", true)],
                    ..page()
                },
            ),
            Sample::of(
                "account-refused",
                &AccountPage {
                    name: Field::refused("", "Write your name."),
                    email: Field::refused("ines", "This is not an e-mail address."),
                    email_password: Field::refused("", "That is not your password."),
                    password: Field::refused("", "That is not your password."),
                    new_password: Field::refused("", "That is too short."),
                    ..page()
                },
            ),
            Sample::of("account-without-password", &AccountPage { has_password: false, ..page() }),
        ]
    }
}
