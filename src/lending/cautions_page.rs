//! The page of all cautions.

use askama::Template;
use askama_web::WebTemplate;

use super::cautions::{self, Caution};
use crate::web::frame::Frame;

/// Every caution on one page, to be read and to be printed.
#[derive(Template, WebTemplate)]
#[template(path = "lending/cautions.html")]
pub struct CautionsPage {
    /// The frame, at [`Place::Help`](crate::web::frame::Place::Help).
    pub frame: Frame,
}

impl CautionsPage {
    fn all() -> &'static [Caution] {
        &cautions::ALL
    }
}

/// The page of cautions.
#[cfg(test)]
pub(crate) mod samples {
    use super::CautionsPage;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::{Place, Scheme};

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = CautionsPage { frame: frame("Cautions", scheme).at(Place::Help) };
        vec![Sample::of("cautions", &page)]
    }
}
