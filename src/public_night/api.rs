//! Public nights over HTTP.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;
use utoipa::ToSchema;

use super::answers::{NightAnswer, NightsAnswer};
use super::keeping::{self, keep};
use super::model::{NightId, NightState, PublicNight};
use super::night_pages::{keeps, lead_act, visible};
use super::shown::show;
use super::store;
use super::wire::{NightBody, PlanBody};
use crate::audit::{self, Subject};
use crate::lending::Act;
use crate::observing::sites;
use crate::people::MemberId;
use crate::people::access::ApiCaller;
use crate::store::{Store, WriteTx};
use crate::web::body::{Json, Path};
use crate::web::clock::Clock;
use crate::web::kinds::Kind;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::{NoToken, Unreadable, Unversioned};

fn etag(night: &PublicNight) -> String {
    format!("\"{}.{}\"", night.id, night.version)
}

async fn answer(
    conn: &mut SqliteConnection,
    clock: &Clock,
    caller: &ApiCaller,
    status: StatusCode,
    night: &PublicNight,
) -> Result<Response, Problem> {
    let shown = show(conn, night, clock.today()).await?;
    let body = NightAnswer::of(night, &shown, keeps(&caller.account));
    Ok((status, [(header::ETAG, etag(night))], Json(body)).into_response())
}

/// The night that a change is about, at the version that was read.
pub(super) async fn to_change(
    tx: &mut WriteTx,
    headers: &HeaderMap,
    id: i64,
) -> Result<PublicNight, Problem> {
    let night = store::night(tx, NightId(id)).await?;
    let mut sent = headers.get_all(header::IF_MATCH).iter().peekable();
    if sent.peek().is_none() {
        let says = "This change doesn't say which version it is based on.";
        return Err(Problem::new(Kind::ConditionNeeded, says)
            .next("Read the public night, and send its ETag back as If-Match."));
    }
    let present = etag(&night);
    let matches = sent
        .filter_map(|value| value.to_str().ok())
        .any(|value| value.split(',').map(str::trim).any(|tag| tag == "*" || tag == present));
    if matches {
        Ok(night)
    } else {
        Err(Problem::new(Kind::Stale, "It was changed since you read it."))
    }
}

pub(super) async fn kept(
    mut tx: WriteTx,
    (clock, caller, act): (&Clock, &ApiCaller, &Act),
    night: PublicNight,
    deed: &'static str,
) -> Result<Response, Problem> {
    let night = keep(&mut tx, clock, night, act).await?;
    let subject = Subject::of("public night", night.id.0);
    audit::note(&mut tx, caller.actor(), deed, subject, "").await?;
    let response = answer(&mut tx, clock, caller, StatusCode::OK, &night).await?;
    tx.commit().await?;
    Ok(response)
}

/// Lists public nights, the latest first: drafts only for those who prepare them.
///
/// # Errors
/// The database could not be read.
#[utoipa::path(
    get,
    path = "/api/v1/public-nights",
    tag = "public nights",
    responses(
        (status = 200, description = "The public nights", body = NightsAnswer, content_type = "application/json"),
        NoToken,
    )
)]
pub async fn list(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
) -> Result<Response, Problem> {
    let mut conn = db.reader().acquire().await?;
    let keeps = keeps(&caller.account);
    let mut all = Vec::new();
    for night in store::nights(&mut conn, 200).await? {
        if keeps || night.state != NightState::Draft {
            let shown = show(&mut conn, &night, clock.today()).await?;
            all.push(NightAnswer::of(&night, &shown, keeps));
        }
    }
    Ok(Json(NightsAnswer { public_nights: all }).into_response())
}

/// One public night; its `ETag` names its version. Members get no plan with names.
///
/// # Errors
/// 404 where it is not there or not yours to see.
#[utoipa::path(
    get,
    path = "/api/v1/public-nights/{id}",
    tag = "public nights",
    params(("id" = i64, Path, description = "The number")),
    responses(
        (status = 200, description = "The public night", body = NightAnswer, content_type = "application/json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn one(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = visible(&mut conn, &caller.account, id).await?;
    answer(&mut conn, &clock, &caller, StatusCode::OK, &night).await
}

/// Adds a public night as a draft, without helpers and stations.
///
/// # Errors
/// 422 with every value that can't be used.
#[utoipa::path(
    post,
    path = "/api/v1/public-nights",
    tag = "public nights",
    request_body(content = NightBody, content_type = "application/json", description = "When, where and for whom"),
    responses(
        (status = 201, description = "Added", body = NightAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn add(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Json(body): Json<NightBody>,
) -> Result<Response, Problem> {
    let mut tx = db.write().await?;
    let sites = sites::sites(&mut tx).await?;
    let occasion = body.occasion(&sites)?;
    let id = store::add(&mut tx, &occasion, clock.seconds()).await?;
    let subject = Subject::of("public night", id.0);
    audit::note(&mut tx, caller.actor(), "public night added", subject, "").await?;
    let night = store::night(&mut tx, id).await?;
    let mut response = answer(&mut tx, &clock, &caller, StatusCode::CREATED, &night).await?;
    tx.commit().await?;
    if let Ok(place) = format!("/api/v1/public-nights/{id}").parse() {
        response.headers_mut().insert(header::LOCATION, place);
    }
    Ok(response)
}

/// Changes what the lead said. The reservation of its pieces follows, or nothing is changed. Send
/// the `ETag` that was read as `If-Match`.
///
/// # Errors
/// 409 where telescopes of its plan would stand in the Sun without all that this asks for, or its
/// pieces can't be had then; 412 and 428 about the version.
#[utoipa::path(
    put,
    path = "/api/v1/public-nights/{id}",
    tag = "public nights",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = String, Header, description = "The ETag that was read")),
    request_body(content = NightBody, content_type = "application/json", description = "When, where and for whom"),
    responses(
        (status = 200, description = "Changed", body = NightAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "There is none", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "The gate before the Sun is shut, or its pieces can't be had; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable, Unversioned,
    )
)]
pub async fn change(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Json(body): Json<NightBody>,
) -> Result<Response, Problem> {
    let act = lead_act(&caller.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = to_change(&mut tx, &headers, id).await?;
    let sites = sites::sites(&mut tx).await?;
    night.occasion = body.occasion(&sites)?;
    kept(tx, (&clock, &caller, &act), night, "public night changed").await
}

/// Writes a whole plan: who helps, what stands where, what it shows. Send the `ETag` that was read
/// as `If-Match`.
///
/// # Errors
/// 409 where a piece or helper is in two places, the gate before the Sun is shut, or a reserved
/// plan's pieces can't be had.
#[utoipa::path(
    put,
    path = "/api/v1/public-nights/{id}/plan",
    tag = "public nights",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = String, Header, description = "The ETag that was read")),
    request_body(content = PlanBody, content_type = "application/json", description = "Helpers and stations"),
    responses(
        (status = 200, description = "Written", body = NightAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "There is none", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "The gate before the Sun is shut, or the stations don't go together; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable, Unversioned,
    )
)]
pub async fn put_plan(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Json(body): Json<PlanBody>,
) -> Result<Response, Problem> {
    let act = lead_act(&caller.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = to_change(&mut tx, &headers, id).await?;
    body.into_night(&mut night)?;
    check_there(&mut tx, &night).await?;
    kept(tx, (&clock, &caller, &act), night, "public night planned by a program").await
}

/// Whether the members that help are there.
async fn check_there(tx: &mut WriteTx, night: &PublicNight) -> Result<(), Problem> {
    let mut faults = Vec::new();
    for (at, helper) in night.helpers.iter().enumerate() {
        if let Some(MemberId(id)) = helper.member {
            let found = crate::people::member(tx, MemberId(id)).await;
            if found.map_err(|error| Problem::internal(&error))?.is_none() {
                faults.push(Fault::at(format!("/helpers/{at}/member"), "There is no such member."));
            }
        }
        let ticked: Vec<_> = helper.ticked.iter().copied().collect();
        let there = crate::shelf::names(tx, &ticked).await;
        if there.map_err(|error| Problem::internal(&error))?.len() < ticked.len() {
            faults.push(Fault::at(format!("/helpers/{at}/may_run"), "There is no such telescope."));
        }
    }
    if faults.is_empty() { Ok(()) } else { Err(Problem::out_of_range(faults)) }
}

/// A step of a public night.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PublicNightStep)]
pub struct StepBody {
    /// How it is to stand.
    pub state: StepTo,
}

/// How a public night is to stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
#[schema(as = PublicNightState)]
pub enum StepTo {
    /// Only those who prepare it see it.
    Draft,
    /// Members see it.
    Announced,
    /// It does not take place; its pieces are free again.
    Cancelled,
    /// It took place.
    Held,
}

/// Announces, takes back, cancels or closes a public night. Send the `ETag` that was read as
/// `If-Match`.
///
/// # Errors
/// 409 while the gate before the Sun is shut.
#[utoipa::path(
    post,
    path = "/api/v1/public-nights/{id}/state",
    tag = "public nights",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = String, Header, description = "The ETag that was read")),
    request_body(content = StepBody, content_type = "application/json", description = "How it is to stand"),
    responses(
        (status = 200, description = "Done", body = NightAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "There is none", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "The gate before the Sun is shut; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable, Unversioned,
    )
)]
pub async fn state(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Json(body): Json<StepBody>,
) -> Result<Response, Problem> {
    let act = lead_act(&caller.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = to_change(&mut tx, &headers, id).await?;
    let (state, deed) = match body.state {
        StepTo::Draft => (NightState::Draft, "public night taken back"),
        StepTo::Announced => (NightState::Announced, "public night announced"),
        StepTo::Cancelled => (NightState::Cancelled, "public night cancelled"),
        StepTo::Held => (NightState::Held, "public night held"),
    };
    night.state = state;
    kept(tx, (&clock, &caller, &act), night, deed).await
}

/// Reserves every piece of the plan for all its nights, or none. Send the `ETag` that was read as
/// `If-Match`.
///
/// # Errors
/// 409 with every clash in `clashes`, by item and nights and never by whom; or while the gate before
/// the Sun is shut.
#[utoipa::path(
    post,
    path = "/api/v1/public-nights/{id}/reserve",
    tag = "public nights",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = String, Header, description = "The ETag that was read")),
    responses(
        (status = 200, description = "Reserved", body = NightAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "There is none", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there, or the gate before the Sun is shut; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "The account belongs to no member", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unversioned,
    )
)]
pub async fn reserve(
    State(db): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let act = lead_act(&caller.account, &clock)?;
    let member = caller.account.member.ok_or_else(|| {
        let says = "Your account belongs to nobody on the list of members, and pieces are handed over to a member.";
        Problem::out_of_range(vec![Fault::at("", says)])
    })?;
    let mut tx = db.write().await?;
    let night = to_change(&mut tx, &headers, id).await?;
    let night = keeping::reserve(&mut tx, &clock, night, member, &act).await?;
    let subject = Subject::of("public night", id);
    audit::note(&mut tx, caller.actor(), "public night's pieces reserved", subject, "").await?;
    let response = answer(&mut tx, &clock, &caller, StatusCode::OK, &night).await?;
    tx.commit().await?;
    Ok(response)
}
