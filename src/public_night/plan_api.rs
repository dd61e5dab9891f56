//! Planning a public night afresh, for programs.

use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use serde::Deserialize;
use utoipa::ToSchema;

use super::answers::NightAnswer;
use super::api::{kept, to_change};
use super::model::{Finder, NightId};
use super::night_pages::lead_act;
use super::planning::{draft, ground};
use super::store;
use crate::choosing::desk;
use crate::people::access::ApiCaller;
use crate::store::Store;
use crate::web::body::{Json, Path};
use crate::web::clock::Clock;
use crate::web::problem::{Problem, ProblemDocument};
use crate::web::refusals::{NoToken, Unreadable, Unversioned};

/// How to plan.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PublicNightPlanning)]
pub struct PlanningBody {
    /// Whether the finders of all telescopes that go will be capped: asked for in the Sun.
    #[serde(default)]
    pub finders_capped: bool,
}

/// Chooses every station afresh: telescopes, eyepieces, helpers and targets together, from what is
/// free on those nights. Send the `ETag` that was read as `If-Match`.
///
/// # Errors
/// 409 where there is nothing to choose from, or the gate before the Sun is shut.
#[utoipa::path(
    post,
    path = "/api/v1/public-nights/{id}/plan",
    tag = "public nights",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = String, Header, description = "The ETag that was read")),
    request_body(content = PlanningBody, content_type = "application/json", description = "How to plan"),
    responses(
        (status = 200, description = "Planned; `told` says how sure it is and what stays at home", body = NightAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "There is none", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "Nothing to choose from, or the gate before the Sun is shut; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 503, description = "Too many search at once", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable, Unversioned,
    )
)]
pub async fn plan(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Json(body): Json<PlanningBody>,
) -> Result<Response, Problem> {
    let act = lead_act(&caller.account, &clock)?;
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let ground = ground(&mut conn, &night, clock.today()).await?;
    drop(conn);
    let finder = if body.finders_capped { Finder::Capped } else { Finder::Open };
    let drafted = desk::search(move |budget, _| draft(&ground, finder, budget.search)).await?;
    let drafted = drafted.map_err(|why| Problem::conflict(why.to_string()))?;
    let mut tx = db.write().await?;
    let mut now = to_change(&mut tx, &headers, id).await?;
    // Planned for the night as it was read.
    now.version = night.version;
    now.stations = drafted.stations;
    now.told = drafted.told;
    kept(tx, (&clock, &caller, &act), now, "public night planned by a program").await
}
