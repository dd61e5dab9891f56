//! `/desk/waiting`: the whole waiting list, in its order.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

use super::wait_list::{PlaceId, places};
use super::waiting_api::leave_it;
use super::waiting_pages::{PlaceShown, show};
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::people::{self, PeopleError};
use crate::store::Store;
use crate::web::body::Path;
use crate::web::clock::Clock;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// `/desk/waiting`
#[derive(Template, WebTemplate)]
#[template(path = "lending/waiting_desk.html")]
pub struct WaitingDeskPage {
    /// The frame.
    pub frame: Frame,
    /// Every place with the name of who waits.
    pub places: Vec<(PlaceShown, String)>,
}

/// `GET /desk/waiting`
///
/// # Errors
/// The database could not answer.
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<WaitingDeskPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let all = places(&mut conn).await?;
    let mut shown = Vec::new();
    for place in &all {
        let member = people::member(&mut conn, place.member).await?.ok_or(PeopleError::NotThere)?;
        let one = show(&mut conn, &all, place, &clock).await?;
        let standing = one
            .standing
            .replace("Held for you", "Held")
            .replace("You are next", "Next")
            .replace(" before you.", " before them.");
        shown.push((PlaceShown { standing, ..one }, member.facts.name.to_string()));
    }
    let frame = who.visit.frame("Waiting list").at(Place::Desk).returning_to("/desk/waiting");
    Ok(WaitingDeskPage { frame, places: shown })
}

/// `POST /desk/waiting/{id}/end`: takes somebody off the list; the next is asked.
///
/// # Errors
/// 404 where the place is over.
pub async fn end(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let all = places(&mut tx).await?;
    let place = all.into_iter().find(|place| place.id == PlaceId(id)).ok_or_else(|| {
        Problem::not_found("This place on the waiting list is over.")
            .way("Waiting list", "/desk/waiting")
    })?;
    leave_it(&mut tx, &place, &clock).await?;
    let member = Subject::of("member", place.member.0);
    note(&mut tx, who.actor(), "taken off the waiting list", member, "").await?;
    tx.commit().await?;
    Ok(Redirect::to("/desk/waiting").into_response())
}

/// The page with sample values.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |places| WaitingDeskPage {
            frame: signed_in("Waiting list", scheme, "Ines Aldous", &[Role::Quartermaster])
                .at(Place::Desk),
            places,
        };
        let place = |offered, standing: &str, tags: &[&str]| PlaceShown {
            id: 3,
            title: "Orchard 8-inch <script>alert(1)</script>".into(),
            nights: "Friday 5 to Sunday 7 June 2026".into(),
            standing: standing.into(),
            tags: tags.iter().map(ToString::to_string).collect(),
            offered,
        };
        let two = vec![
            (
                place(true, "Held until Saturday 6 June 2026, 14:00.", &["T-007"]),
                "Ines Aldous".into(),
            ),
            (place(false, "One person before them.", &[]), "Noor <b>El-Bakri</b>".into()),
        ];
        vec![
            Sample::of("desk-waiting", &page(two)),
            Sample::of("desk-waiting-empty", &page(Vec::new())),
        ]
    }
}
