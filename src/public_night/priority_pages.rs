//! `/public-nights/priority`: what the club lets a public night come before.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::model::Priority;
use super::night_pages::{Sent, text, version};
use super::store;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::people::rights::Deed;
use crate::store::Store;
use crate::web::body::{Form, Query};
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// The form.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/priority.html")]
pub struct PriorityPage {
    /// The frame.
    pub frame: Frame,
    /// How far ahead, in nights.
    pub ahead: Field,
    /// Whether it comes before requests.
    pub before_requests: bool,
    /// The version that the reader saw.
    pub version: i64,
    /// Whether this reader may change it: it is a rule of lending.
    pub may_change: bool,
    /// Good news to show once.
    pub notice: Option<&'static str>,
}

impl PriorityPage {
    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        slips([("ahead", &self.ahead)])
    }
}

fn page(who: &SignedIn, priority: &Priority) -> PriorityPage {
    let frame = who.visit.frame("What comes first").at(Place::PublicNights);
    PriorityPage {
        frame: frame.returning_to("/public-nights/priority"),
        ahead: Field::of(priority.ahead_nights.to_string()),
        before_requests: priority.before_requests,
        version: priority.version,
        may_change: who.account.roles.may(Deed::RunDesk),
        notice: None,
    }
}

/// What stands after the question mark.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

/// `GET /public-nights/priority`
///
/// # Errors
/// The database could not be read.
pub async fn look(
    State(db): State<Store>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<PriorityPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let priority = store::priority(&mut conn).await?;
    let notice = (told.done == "saved").then_some("Saved.");
    Ok(PriorityPage { notice, ..page(&who, &priority) })
}

/// `POST /public-nights/priority`
///
/// # Errors
/// The database could not answer.
pub async fn save(
    State(db): State<Store>,
    who: SignedIn,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let typed = text(&sent, "ahead");
    let before_requests = !text(&sent, "before_requests").is_empty();
    let mut tx = db.write().await?;
    let kept = store::priority(&mut tx).await?;
    let ahead = typed.parse().ok().filter(|nights| (1..=366).contains(nights));
    let mut again = PriorityPage { before_requests, ..page(&who, &kept) };
    again.ahead = Field::of(typed);
    let Some(ahead_nights) = ahead else {
        again.ahead.refuse("Write a whole number of nights from 1 to 366.");
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, again).into_response());
    };
    let priority = Priority { ahead_nights, before_requests, version: version(&sent) };
    if !store::put_priority(&mut tx, &priority).await? {
        again.ahead.refuse(
            "This was changed meanwhile, so nothing was saved yet: save again and it counts.",
        );
        return Ok((StatusCode::CONFLICT, again).into_response());
    }
    let subject = Subject::all("public night");
    audit::note(&mut tx, who.actor(), "public nights' priority changed", subject, "").await?;
    tx.commit().await?;
    Ok(Redirect::to("/public-nights/priority?done=saved").into_response())
}

#[cfg(test)]
pub(crate) fn samples(scheme: crate::web::frame::Scheme) -> Vec<crate::gallery::Sample> {
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    let page = |may_change, ahead: Field| PriorityPage {
        frame: signed_in("What comes first", scheme, "Ines Aldous", &[Role::Quartermaster])
            .at(Place::PublicNights)
            .returning_to("/public-nights/priority"),
        ahead,
        before_requests: true,
        version: 1,
        may_change,
        notice: None,
    };
    let wrong = Field::refused("<script>alert(1)</script>", "Write a whole number of nights.");
    vec![
        Sample::of("public-night-priority", &page(true, wrong)),
        Sample::of("public-night-priority-seen", &page(false, Field::of("366"))),
    ]
}
