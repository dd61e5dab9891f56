//! What a quartermaster sees of a member's eyes, and who stands up for a young one.

use askama::Template;
use askama_web::WebTemplate;

use super::needs::Needs;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// Whether somebody is of age, as a page tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OfAge {
    /// Signs for themselves.
    Yes,
    /// Nobody knows the year of birth.
    NotKnown,
    /// A guardian signs.
    No {
        /// "Maria Aldous, who consented on Friday 5 June 2026"; none while nobody has.
        guardian: Option<String>,
        /// Whether they may have turned 18 this year, so that a paper settles it.
        in_between: bool,
    },
}

/// How far the figures are open to a quartermaster.
#[derive(Clone, PartialEq, Eq)]
pub enum Figures {
    /// The member shares nothing, or is too young to.
    Closed,
    /// The member shares them; the password opens them.
    Shared,
    /// Opened: label and figure.
    Open(Vec<(&'static str, String)>),
}

/// `/people/{id}/observer`
#[derive(Template, WebTemplate)]
#[template(path = "profile/care.html")]
pub struct CarePage {
    /// The frame.
    pub frame: Frame,
    /// The page's own address.
    pub address: String,
    /// The member's name.
    pub name: String,
    /// What choosing needs.
    pub needs: Needs,
    /// The figures.
    pub figures: Figures,
    /// Whether they are of age.
    pub of_age: OfAge,
    /// The guardian's name, as typed.
    pub guardian: Field,
    /// Where the guardian wants to be reminded, as typed. What is written down is never shown here.
    pub email: Field,
    /// The day of consent, as typed.
    pub consented_on: Field,
    /// What is wrong with the password.
    pub password_error: Option<String>,
    /// Good news to show once.
    pub notice: Option<String>,
}

impl CarePage {
    fn slips(&self) -> Vec<Slip> {
        let password = Field { value: String::new(), error: self.password_error.clone() };
        slips([
            ("password", &password),
            ("guardian", &self.guardian),
            ("email", &self.email),
            ("consented_on", &self.consented_on),
        ])
    }
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::people::NotAnEmail;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |figures: Figures, of_age: OfAge| CarePage {
            frame: frame("Eyes of a member", scheme),
            address: "/people/7/observer".into(),
            name: "<script>alert(1)</script>".into(),
            needs: Needs {
                relief: "20 mm of eye relief or more; 16 mm at the very least.".into(),
                pupil: "Opens to about 5 to 7 mm in the dark.".into(),
            },
            figures,
            of_age,
            guardian: Field::default(),
            email: Field::default(),
            consented_on: Field::default(),
            password_error: None,
            notice: None,
        };
        let young = |guardian: Option<&str>| OfAge::No {
            guardian: guardian.map(Into::into),
            in_between: guardian.is_none(),
        };
        let wrong = || Some("That is not your password.".to_owned());
        let open = Figures::Open(vec![("Year of birth", "1971".into())]);
        vec![
            Sample::of("care-closed", &page(Figures::Closed, OfAge::NotKnown)),
            Sample::of(
                "care-shared",
                &CarePage { password_error: wrong(), ..page(Figures::Shared, OfAge::Yes) },
            ),
            Sample::of("care-open", &page(open, OfAge::Yes)),
            Sample::of(
                "care-young",
                &CarePage {
                    guardian: Field::refused("", "Write the guardian's name."),
                    email: Field::refused("maria", NotAnEmail.to_string()),
                    consented_on: Field::refused("soon", "Write the day, like 2026-06-05."),
                    ..page(Figures::Closed, young(None))
                },
            ),
            Sample::of(
                "care-guarded",
                &CarePage {
                    notice: Some("Written down.".into()),
                    ..page(Figures::Closed, young(Some("Maria Aldous")))
                },
            ),
        ]
    }
}
