//! The page of a plan.

use askama::Template;
use askama_web::WebTemplate;

use super::field_picture::Look;
use super::shown::NightShown;
use crate::web::field::{Choice, Field};
use crate::web::frame::Frame;

/// A link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// Where it leads.
    pub address: String,
    /// Its words.
    pub label: String,
}

/// The choice of the site, sent to the same page again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SiteChoice {
    /// The page's path.
    pub path: String,
    /// What else the address says.
    pub hidden: Vec<(&'static str, String)>,
    /// The site chosen.
    pub site: Field,
    /// The sites.
    pub sites: Vec<Choice>,
}

/// `/mine/{id}/plan` and `/plan`
#[derive(Template, WebTemplate)]
#[template(path = "observing/plan.html")]
pub struct PlanPage {
    /// The frame.
    pub frame: Frame,
    /// The way back.
    pub back: Way,
    /// What it is for: "With the Orchard 8-inch, at Windmill Hill."
    pub asked: String,
    /// The choice of the site; empty where there is none to choose.
    pub choice: SiteChoice,
    /// Why there is no plan, and what to do about it.
    pub obstacle: Option<String>,
    /// The nights.
    pub nights: Vec<NightShown>,
    /// Earlier and later nights of the same stretch.
    pub others: Vec<Way>,
}
