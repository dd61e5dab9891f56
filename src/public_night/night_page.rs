//! `/public-nights/{id}`: one public night with its plan.

use askama::Template;
use askama_web::WebTemplate;

use super::model::NightState;
use super::shown::{HelperShown, NightShown};
use crate::lending::cautions::Caution;
use crate::web::field::{Choice, Field};
use crate::web::frame::Frame;

/// What stands in the way of what somebody wanted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Refusal {
    /// The sentences.
    pub says: Vec<String>,
    /// The step to take again with the plan put away, where the gate before the Sun refuses it.
    pub put_away: Option<&'static str>,
    /// Where it can be put right: words and address.
    pub way: Option<(String, String)>,
}

/// The reservation of its pieces, as the page tells of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reserved {
    /// How it stands: "confirmed".
    pub stands: &'static str,
    /// Its page, for those who may see it.
    pub address: Option<String>,
    /// Whether it still keeps its nights.
    pub holds: bool,
}

/// One public night.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/night.html")]
pub struct NightPage {
    /// The frame.
    pub frame: Frame,
    /// The night.
    pub night: NightShown,
    /// Whether this reader prepares public nights.
    pub keeps: bool,
    /// Good news to show once.
    pub notice: Option<&'static str>,
    /// What stands in the way.
    pub refusal: Option<Refusal>,
    /// The reservation; none where there is none.
    pub reserved: Option<Reserved>,
    /// Members who could help.
    pub members: Vec<Choice>,
    /// The member chosen as a helper.
    pub member: Field,
    /// A guest's first name.
    pub first_name: Field,
    /// The public address; none where there is none.
    pub public: Option<String>,
    /// What everybody must know so that nobody is hurt.
    pub cautions: Vec<&'static Caution>,
}

impl NightPage {
    /// Whether its pieces are reserved.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.reserved.as_ref().is_some_and(|one| one.holds)
    }

    /// Whether it can still be prepared.
    #[must_use]
    pub fn is_open(&self) -> bool {
        matches!(self.night.state, NightState::Draft | NightState::Announced)
    }

    /// Helpers whom no station can be given.
    #[must_use]
    pub fn idle(&self) -> Vec<&HelperShown> {
        self.night.helpers.iter().filter(|helper| helper.runs.is_empty()).collect()
    }

    /// Whether it is a draft.
    #[must_use]
    pub fn is_draft(&self) -> bool {
        self.night.state == NightState::Draft
    }
}

/// `/public-nights/{id}/helpers/{number}`: what a helper can run.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/helper.html")]
pub struct HelperPage {
    /// The frame.
    pub frame: Frame,
    /// The night's page.
    pub back: String,
    /// What the night is called.
    pub night: String,
    /// The helper's number.
    pub number: i64,
    /// The version that the reader saw.
    pub version: i64,
    /// Good news to show once.
    pub notice: Option<String>,
    /// Whether the helper is a member.
    pub member: bool,
    /// The telescopes, each with whether it is ticked and what is known besides.
    pub telescopes: Vec<Runs>,
}

/// A telescope that a helper may be able to run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Runs {
    /// Its number.
    pub id: i64,
    /// The code on its label.
    pub tag: String,
    /// What it is called.
    pub name: String,
    /// Whether the lead ticked it.
    pub ticked: bool,
    /// Whether it can be run without a tick: shown, or nothing to show.
    pub known: bool,
}
