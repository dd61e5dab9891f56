//! The waiting list over HTTP.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::api_answer::tell_of;
use super::door::{act, may_see, note, tonight};
use super::model::NotReserved;
use super::wait_list::{Place, PlaceId, Wanted, before, places};
use super::waiting::{NotWaiting, accept as accept_it, end, join as join_it, offer};
use super::waiting_pages::any_like;
use super::wire::{ReservationAnswer, nights};
use crate::people::access::ApiCaller;
use crate::shelf::ItemId;
use crate::store::{Store, WriteTx};
use crate::web::body::{Json, Path};
use crate::web::clock::Clock;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::{NoToken, Unreadable};

/// What to wait for: either all of some pieces, or any piece like one.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WaitingWish {
    /// The numbers of the pieces, all of them wanted together.
    #[serde(default)]
    #[schema(max_items = 100)]
    pub items: Vec<i64>,
    /// In their place, one piece that stands for its like: any telescope, an eyepiece of nearly the
    /// same focal length, a Barlow of nearly the same factor, a filter of the same sort.
    #[serde(default)]
    pub any_like: Option<i64>,
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening.
    #[schema(format = "date")]
    pub last_night: String,
    /// Whether anything is to be used while the Sun is up.
    #[serde(default)]
    pub daylight: bool,
}

/// A place on the waiting list that is not over.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct PlaceAnswer {
    /// Its number.
    pub id: i64,
    /// The number of the member who waits.
    pub member: i64,
    /// The numbers of the pieces that are waited for together; empty where any of a kind will do.
    pub items: Vec<i64>,
    /// The kind of which any will do; null where the pieces are named.
    pub any: Option<&'static str>,
    /// The piece that it should be like; null where any of the kind will do.
    pub like: Option<i64>,
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening.
    #[schema(format = "date")]
    pub last_night: String,
    /// `waiting` or `offered`.
    pub state: &'static str,
    /// How many places before it may take the same.
    pub before: usize,
    /// The pieces that are held for it.
    pub held: Vec<i64>,
    /// Until when they are held.
    #[schema(format = "date-time")]
    pub held_until: Option<String>,
}

/// Places on the waiting list, those who came first first.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct PlacesAnswer {
    /// The places.
    pub places: Vec<PlaceAnswer>,
}

fn numbers(items: &[ItemId]) -> Vec<i64> {
    items.iter().map(|item| item.0).collect()
}

fn told(all: &[Place], place: &Place) -> PlaceAnswer {
    let (items, any, like) = match &place.wanted {
        Wanted::Pieces(items) => (numbers(items), None, None),
        Wanted::Any(kind, like) => (Vec::new(), Some(kind.as_str()), like.map(|item| item.0)),
    };
    let until = place.offer.as_ref().map(|(_, until)| *until);
    PlaceAnswer {
        id: place.id.0,
        member: place.member.0,
        items,
        any,
        like,
        first_night: place.nights.first().to_string(),
        last_night: place.nights.last().to_string(),
        state: if until.is_some() { "offered" } else { "waiting" },
        before: before(all, place),
        held: place.offer.as_ref().map_or_else(Vec::new, |(items, _)| numbers(items)),
        held_until: until
            .and_then(|until| jiff::Timestamp::from_second(until).ok())
            .map(|until| until.to_string()),
    }
}

/// Lists the waiting list: one's own places, or everybody's for quartermasters.
///
/// # Errors
/// The database could not answer.
#[utoipa::path(
    get,
    path = "/api/v1/waiting",
    tag = "lending",
    responses(
        (status = 200, description = "The places", body = PlacesAnswer, content_type = "application/json"),
        NoToken,
    )
)]
pub async fn list(State(store): State<Store>, caller: ApiCaller) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let all = places(&mut conn).await?;
    let seen = all.iter().filter(|place| may_see(&caller.account, place.member));
    let places = seen.map(|place| told(&all, place)).collect();
    Ok(Json(PlacesAnswer { places }).into_response())
}

/// Waits for pieces that are taken. When they become free they are held for a day for whoever came
/// first, who is told by letter.
///
/// # Errors
/// 409 where the club's rules would never allow it or there are too many places already, 422 with a
/// pointer for what can't be used.
#[utoipa::path(
    post,
    path = "/api/v1/waiting",
    tag = "lending",
    request_body(content = WaitingWish, content_type = "application/json", description = "What, and for which nights"),
    responses(
        (status = 201, description = "On the list; `offered` where it is free now", body = PlaceAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "No such piece, or an account of no member", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "The rules would never allow it, or it is waited for already", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn join(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Json(wish): Json<WaitingWish>,
) -> Result<Response, Problem> {
    let member = caller.account.member.ok_or_else(|| {
        Problem::not_found("This account belongs to no member, so it can't wait for anything.")
    })?;
    let nights = nights(&wish.first_night, &wish.last_night)?;
    let tonight = tonight(&clock)?;
    let mut tx = store.write().await?;
    let wanted = match wish.any_like.map(ItemId) {
        Some(_) if !wish.items.is_empty() => {
            let says = "Name either the pieces, or one that stands for its like.";
            return Err(Problem::out_of_range(vec![Fault::at("/any_like", says)]));
        }
        Some(like) => any_like(&mut tx, like).await?,
        None => Wanted::Pieces(wish.items.iter().copied().map(ItemId).collect()),
    };
    match join_it(&mut tx, member, &wanted, (nights, wish.daylight), &clock, tonight).await {
        Ok(id) => {
            // It may be free now.
            offer(&mut tx, &clock, tonight).await?;
            let answer = stands(&mut tx, id).await?;
            tx.commit().await?;
            Ok((StatusCode::CREATED, Json(answer)).into_response())
        }
        Err(NotWaiting::Failed(error)) => Err(error.into()),
        Err(NotWaiting::Wanted(refused)) => Err(refused.into()),
        Err(why) => Err(Problem::conflict(why.to_string()).next("Look at what you wait for.")),
    }
}

async fn stands(tx: &mut WriteTx, id: PlaceId) -> Result<PlaceAnswer, Problem> {
    let all = places(tx).await?;
    all.iter().find(|place| place.id == id).map(|place| told(&all, place)).ok_or_else(gone)
}

fn gone() -> Problem {
    Problem::not_found("This place on the waiting list is over, or it isn't yours.")
        .next("List the places first.")
}

async fn own(tx: &mut WriteTx, caller: &ApiCaller, id: i64) -> Result<Place, Problem> {
    let all = places(tx).await?;
    let mut found = all.into_iter().filter(|place| place.id == PlaceId(id));
    found.find(|place| may_see(&caller.account, place.member)).ok_or_else(gone)
}

/// Makes a reservation of what is held, under the same rules as any other.
///
/// # Errors
/// 404 where the place is over or not yours, 409 where nothing is held or a rule stands in the way;
/// the offer then stands as before.
#[utoipa::path(
    post,
    path = "/api/v1/waiting/{id}/accept",
    tag = "lending",
    params(("id" = i64, Path, description = "The number of the place")),
    responses(
        (status = 201, description = "The reservation", body = ReservationAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Over, or not yours", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "Nothing is held, or a rule stands in the way", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn accept(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let place = own(&mut tx, &caller, id).await?;
    let act = act(&caller.account, place.member, &clock)?;
    let made = accept_it(&mut tx, &place, &act, &clock).await.map_err(|why| match why {
        NotReserved::Failed(error) => Problem::from(error),
        why => Problem::from(why).next("The offer stands until its time is over."),
    })?;
    let doer = (&caller.account, caller.actor());
    note(&mut tx, doer, place.member, "offer taken", made.id).await?;
    tell_of(&mut tx, &clock, &made).await?;
    tx.commit().await?;
    Ok((StatusCode::CREATED, Json(ReservationAnswer::from(&made))).into_response())
}

/// Declines what is held, or waits no more: the next on the list is asked.
///
/// # Errors
/// 404 where the place is over or not yours.
#[utoipa::path(
    post,
    path = "/api/v1/waiting/{id}/leave",
    tag = "lending",
    params(("id" = i64, Path, description = "The number of the place")),
    responses(
        (status = 204, description = "The place is over"),
        (status = 403, description = "A token that may only read", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Over, or not yours", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn leave(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
) -> Result<StatusCode, Problem> {
    let mut tx = store.write().await?;
    let place = own(&mut tx, &caller, id).await?;
    leave_it(&mut tx, &place, &clock).await?;
    tx.commit().await?;
    Ok(StatusCode::NO_CONTENT)
}

/// Ends a place, and asks the next.
pub(super) async fn leave_it(
    tx: &mut WriteTx,
    place: &Place,
    clock: &Clock,
) -> Result<(), Problem> {
    let how = if place.offer.is_some() { "declined" } else { "withdrawn" };
    end(tx, place.id, how).await?;
    offer(tx, clock, tonight(clock)?).await?;
    Ok(())
}
