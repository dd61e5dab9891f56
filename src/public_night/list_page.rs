//! `/public-nights`: every public night.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::frame::Frame;

/// A public night in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NightRow {
    /// What it is called.
    pub name: String,
    /// Its page.
    pub address: String,
    /// "Friday 20 November 2026, 18:00 to 20:15".
    pub when: String,
    /// Where.
    pub site: String,
    /// "90 visitors, 60 of them children".
    pub crowd: String,
    /// How far it has come.
    pub state: &'static str,
    /// Whether it is for the Sun.
    pub solar: bool,
    /// How many stations stand in its plan.
    pub stations: String,
    /// Whether the gate before the Sun is shut.
    pub shut: bool,
}

/// The list.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/list.html")]
pub struct NightsPage {
    /// The frame.
    pub frame: Frame,
    /// Those still to come, the next first.
    pub ahead: Vec<NightRow>,
    /// Those that are over, the latest first.
    pub over: Vec<NightRow>,
    /// Whether this reader prepares public nights.
    pub keeps: bool,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::{Place, Scheme};

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |ahead, over, role| NightsPage {
            frame: signed_in("Public nights", scheme, "Adaeze Okonjo-Hart", &[role])
                .at(Place::PublicNights)
                .returning_to("/public-nights"),
            ahead,
            over,
            keeps: role == Role::Outreach,
        };
        let row = |name: &str, solar, shut| NightRow {
            name: name.into(),
            address: "/public-nights/1".into(),
            when: "Friday 20 November 2026, 18:00 to 20:15".into(),
            site: "Windmill Hill".into(),
            crowd: "90 visitors, 60 of them children".into(),
            state: "Announced",
            solar,
            stations: "four stations".into(),
            shut,
        };
        vec![
            Sample::of("public-nights-none", &page(Vec::new(), Vec::new(), Role::Member)),
            Sample::of(
                "public-nights",
                &page(
                    vec![
                        row("Moon over the school", false, false),
                        row("The Sun on the green", true, true),
                    ],
                    vec![row("\"><script>alert(1)</script>", false, false)],
                    Role::Outreach,
                ),
            ),
        ]
    }
}
