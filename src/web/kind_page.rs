//! `/problems/{kind}`: what a kind of problem means; where a problem document's `type` leads.

use askama::Template;
use askama_web::WebTemplate;

use super::body::Path;
use super::frame::Frame;
use super::kinds::Kind;
use super::problem::Problem;
use super::visit::Visit;

/// The page about one kind of problem.
#[derive(Template, WebTemplate)]
#[template(path = "web/kind.html")]
pub struct KindPage {
    frame: Frame,
    kind: Kind,
}

/// Handler of `GET /problems/{kind}`.
///
/// # Errors
/// 404 for a kind that there isn't.
pub async fn get(Path(slug): Path<String>, visit: Visit) -> Result<KindPage, Problem> {
    let kind = Kind::parse(&slug).ok_or_else(|| {
        Problem::not_found(format!("There is no kind of problem named “{slug}”."))
    })?;
    Ok(KindPage { frame: visit.frame(kind.title()), kind })
}

/// Every kind's page.
#[cfg(test)]
pub(crate) mod samples {
    use super::{Kind, KindPage};
    use crate::gallery::{Sample, door};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        Kind::ALL
            .into_iter()
            .map(|kind| {
                Sample::of("problem", &KindPage { frame: door(kind.title(), scheme), kind })
            })
            .collect()
    }
}
