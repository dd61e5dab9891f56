//! The page on which members say what their eyes need.

use askama::Template;
use askama_web::WebTemplate;

use super::needs::Needs;
use super::observer_form::ObserverForm;
use super::section::Section;
use crate::web::frame::Frame;

/// One fact that was changed elsewhere while somebody filled in the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// What it is.
    pub label: &'static str,
    /// What is kept now.
    pub kept: String,
    /// What was typed here.
    pub typed: String,
}

/// `/account/observer`
#[derive(Template, WebTemplate)]
#[template(path = "profile/observer.html")]
pub struct ObserverPage {
    /// The frame.
    pub frame: Frame,
    /// Where this page stands among those about oneself.
    pub section: Section,
    /// The form.
    pub form: ObserverForm,
    /// What follows from what is kept: all that a quartermaster sees.
    pub needs: Needs,
    /// Whether anything is kept.
    pub known: bool,
    /// Of a member under age, who signs for them; empty where nobody has consented yet. None for
    /// adults.
    pub guardian: Option<String>,
    /// Where their guardian is reminded.
    pub guardian_email: Option<String>,
    /// Good news to show once.
    pub notice: Option<String>,
    /// What somebody saved meanwhile, where the form came too late.
    pub changed: Vec<Changed>,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::field::Field;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let needs = || Needs {
            relief: "20 mm of eye relief or more; 16 mm at the very least.".into(),
            pupil: "Opens to about 5 to 7 mm in the dark.".into(),
        };
        let page = |form: ObserverForm| ObserverPage {
            frame: frame("My eyes at the eyepiece", scheme),
            section: Section::Observer,
            form,
            needs: needs(),
            known: true,
            guardian: None,
            guardian_email: None,
            notice: None,
            changed: Vec::new(),
        };
        let filled = || ObserverForm {
            version: 3,
            birth_year: Field::of("1971"),
            glasses: "keeps_on".into(),
            looking: Field::of("right"),
            right_sphere: Field::of("-2.25"),
            right_cylinder: Field::of("-1.5"),
            shared: true,
            ..ObserverForm::default()
        };
        let wrong = ObserverForm {
            birth_year: Field::refused(
                "\"><script>alert(1)</script>",
                "Write the year with four digits.",
            ),
            looking: Field::refused(
                "",
                "Say which eye looks, so that we count with the right numbers.",
            ),
            left_sphere: Field::refused("much", "“much” is not a number."),
            ..filled()
        };
        let unsaid = ObserverForm {
            looking: Field::default(),
            right_sphere: Field::default(),
            right_cylinder: Field::default(),
            sphere: Field::of("-2.25"),
            ..filled()
        };
        let changed = vec![Changed {
            label: "Year of birth",
            kept: "1972".into(),
            typed: "<script>alert(1)</script>".into(),
        }];
        vec![
            Sample::of(
                "observer-empty",
                &ObserverPage { known: false, ..page(ObserverForm::default()) },
            ),
            Sample::of("observer", &page(filled())),
            Sample::of("observer-refused", &page(wrong)),
            Sample::of("observer-side-unsaid", &page(unsaid)),
            Sample::of("observer-stale", &ObserverPage { changed, ..page(filled()) }),
            Sample::of(
                "observer-young",
                &ObserverPage {
                    guardian: Some(String::new()),
                    notice: Some("Saved.".into()),
                    ..page(filled())
                },
            ),
            Sample::of(
                "observer-guarded",
                &ObserverPage {
                    guardian: Some("Maria <Aldous>".into()),
                    guardian_email: Some(
                        "maria.aldous@a-long-name-for-a-domain.example.org".into(),
                    ),
                    ..page(filled())
                },
            ),
        ]
    }
}
