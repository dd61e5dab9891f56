//! Reservations over HTTP.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::api_answer::{finish, keep, shown, tell_of};
use super::api_filter::Filter;
use super::api_once::{Keyed, OptionalJson, begin, must_match, must_match_if_sent};
use super::booking::{cancel as cancel_it, change as change_it, reserve as reserve_it};
use super::door::{act, desk_act, known_site, may_see, note, visible, with_openings};
use super::keeping::take_step;
use super::letters::{News, tell};
use super::machine::{Event, EventKind};
use super::model::{Origin, ReservationId, Wish};
use super::reading::wholes;
use super::wire::{
    ReservationAnswer, ReservationChange, ReservationWish, ReservationsAnswer, WithReason, nights,
};
use crate::people::MemberId;
use crate::people::access::ApiCaller;
use crate::shelf::ItemId;
use crate::store::Store;
use crate::web::body::{Json, JsonText, Path, Query};
use crate::web::clock::Clock;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::{NoToken, Unreadable};

fn items(numbers: &[i64]) -> Vec<ItemId> {
    numbers.iter().copied().map(ItemId).collect()
}

fn nobody() -> Problem {
    let says = "Your account belongs to nobody on the list of members: name the member.";
    Problem::out_of_range(vec![Fault::at("/member", says)])
}

/// Reserves items for some nights: all of them, or none.
///
/// Members reserve for themselves, quartermasters for anybody. Where a piece needs approval, the
/// reservation is `requested` and its nights are kept meanwhile.
///
/// # Errors
/// 409 with every clash in `clashes`, by item and nights and never by whom, and in `next_nights`
/// when it would work; or with the broken rules in `rules`.
#[utoipa::path(
    post,
    path = "/api/v1/reservations",
    tag = "lending",
    params(("Idempotency-Key" = Option<String>, Header, description = "Sent again with the same body, the first answer comes back")),
    request_body(content = ReservationWish, content_type = "application/json", description = "What, when and for whom"),
    responses(
        (status = 201, description = "Reserved", body = ReservationAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn reserve(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    JsonText(body): JsonText,
) -> Result<Response, Problem> {
    let wish: ReservationWish = Json::parse(&body)?;
    let nights = nights(&wish.first_night, &wish.last_night)?;
    let account = &caller.account;
    let member = wish.member.map(MemberId).or(account.member).ok_or_else(nobody)?;
    if !may_see(account, member) {
        return Err(Problem::not_found("There is no such member, or you can't reserve for them.")
            .next("Reserve for yourself, or ask the quartermaster."));
    }
    let act = act(account, member, &clock)?;
    let mut tx = store.write_together().await?;
    let site = known_site(&mut tx, wish.site).await?;
    let keyed = match begin(&mut tx, &clock, account, &headers, "reserve", &body).await? {
        Ok(keyed) => keyed,
        Err(before) => {
            tx.let_settle().await?;
            return Ok(before);
        }
    };
    let wish = Wish {
        member,
        items: items(&wish.items),
        nights,
        origin: Origin::Asked,
        asked_at: clock.now(),
        tonight: act.tonight,
        daylight: wish.daylight,
        site,
        doer: act.doer,
    };
    match reserve_it(&mut tx, &wish).await {
        Ok(made) => {
            note(&mut tx, (&caller.account, caller.actor()), member, "reservation made", made.id)
                .await?;
            // A new promise frees no night, so nobody on the waiting list has to be asked.
            tell_of(&mut tx, &clock, &made).await?;
            let mut response = keep(tx, keyed, StatusCode::CREATED, &made).await?;
            if let Ok(place) = format!("/api/v1/reservations/{}", made.id).parse() {
                response.headers_mut().insert(header::LOCATION, place);
            }
            Ok(response)
        }
        Err(refused) => {
            Err(with_openings(&mut tx, refused, &wish.items, nights, act.tonight).await)
        }
    }
}

/// Lists reservations, the newest first: one's own, or everybody's for quartermasters.
///
/// # Errors
/// 404 for a member whose reservations are not yours to see, 422 for a filter that can't be used.
#[utoipa::path(
    get,
    path = "/api/v1/reservations",
    tag = "lending",
    params(("member" = Option<i64>, Query, description = "Only this member's"), ("state" = Option<String>, Query, description = "Only those that stand so"), ("before" = Option<i64>, Query, description = "Only those with lower numbers"), ("limit" = Option<i64>, Query, description = "At most so many, 1 to 200; 50 without", minimum = 1, maximum = 200)),
    responses(
        (status = 200, description = "The reservations", body = ReservationsAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Values that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn list(
    State(store): State<Store>,
    caller: ApiCaller,
    Query(filter): Query<Filter>,
) -> Result<Response, Problem> {
    let wanted = filter.wanted(&caller)?;
    let mut conn = store.reader().acquire().await?;
    let found = wholes(&mut conn, &wanted).await?;
    let full = i64::try_from(found.len()).unwrap_or(0) == wanted.most;
    let next = found.last().filter(|_| full).map(|last| last.id.0);
    let reservations = found.iter().map(ReservationAnswer::from).collect();
    Ok(Json(ReservationsAnswer { reservations, next }).into_response())
}

/// One reservation; its `ETag` names its version.
///
/// # Errors
/// 404 where it is not there or not yours to see.
#[utoipa::path(
    get,
    path = "/api/v1/reservations/{id}",
    tag = "lending",
    params(("id" = i64, Path, description = "The number")),
    responses(
        (status = 200, description = "The reservation", body = ReservationAnswer, content_type = "application/json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn one(
    State(store): State<Store>,
    caller: ApiCaller,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = visible(&mut conn, &caller.account, ReservationId(id)).await?;
    Ok(shown(StatusCode::OK, &whole))
}

/// Gives a reservation other items or other nights, under the same rules as a new one. Send the
/// `ETag` that was read as `If-Match`.
///
/// # Errors
/// 409 where it clashes or is too late to change, 412 when it was changed meanwhile.
#[utoipa::path(
    put,
    path = "/api/v1/reservations/{id}",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = String, Header, description = "The `ETag` that was read")),
    request_body(content = ReservationChange, content_type = "application/json", description = "All its items and nights"),
    responses(
        (status = 200, description = "As it is now", body = ReservationAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 428, description = "No `If-Match`", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn change(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    Json(wish): Json<ReservationChange>,
) -> Result<Response, Problem> {
    let nights = nights(&wish.first_night, &wish.last_night)?;
    let mut tx = store.write().await?;
    let before = visible(&mut tx, &caller.account, ReservationId(id)).await?;
    must_match(&headers, &before.etag())?;
    let act = act(&caller.account, before.member, &clock)?;
    let wanted = items(&wish.items);
    if let Err(refused) = change_it(&mut tx, before.id, &wanted, nights, &act).await {
        drop(tx);
        let mut conn = store.reader().acquire().await?;
        return Err(with_openings(&mut conn, refused, &wanted, nights, act.tonight).await);
    }
    note(
        &mut tx,
        (&caller.account, caller.actor()),
        before.member,
        "reservation changed",
        before.id,
    )
    .await?;
    finish(tx, &clock, Keyed::none(), StatusCode::OK, before.id).await
}

/// Cancels a reservation that is not handed over: its nights are free again.
///
/// # Errors
/// 409 where it is too late for that.
#[utoipa::path(
    post,
    path = "/api/v1/reservations/{id}/cancel",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("Idempotency-Key" = Option<String>, Header, description = "Sent again with the same body, the first answer comes back"), ("If-Match" = Option<String>, Header, description = "The `ETag` that was read; where it is sent, it must be the present one")),
    request_body(content = WithReason, content_type = "application/json", description = "A word on why; may be left out"),
    responses(
        (status = 200, description = "Cancelled", body = ReservationAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn cancel(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    OptionalJson(said, body): OptionalJson<WithReason>,
) -> Result<Response, Problem> {
    let id = ReservationId(id);
    let mut tx = store.write().await?;
    let before = visible(&mut tx, &caller.account, id).await?;
    let address = format!("cancel {id}");
    let keyed = match begin(&mut tx, &clock, &caller.account, &headers, &address, &body).await? {
        Ok(keyed) => keyed,
        Err(before) => return Ok(before),
    };
    must_match_if_sent(&headers, &before.etag())?;
    let mut act = act(&caller.account, before.member, &clock)?;
    act.reason = said.reason;
    cancel_it(&mut tx, id, &act).await?;
    note(&mut tx, (&caller.account, caller.actor()), before.member, "reservation cancelled", id)
        .await?;
    finish(tx, &clock, keyed, StatusCode::OK, id).await
}

/// Approves a reservation that waits for it.
///
/// # Errors
/// 409 where it does not wait.
#[utoipa::path(
    post,
    path = "/api/v1/reservations/{id}/approve",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("Idempotency-Key" = Option<String>, Header, description = "Sent again with the same body, the first answer comes back"), ("If-Match" = Option<String>, Header, description = "The `ETag` that was read; where it is sent, it must be the present one")),
    request_body(content = WithReason, content_type = "application/json", description = "A word on why; may be left out"),
    responses(
        (status = 200, description = "Approved", body = ReservationAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn approve(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    OptionalJson(said, body): OptionalJson<WithReason>,
) -> Result<Response, Problem> {
    let id = ReservationId(id);
    let mut tx = store.write().await?;
    let before = visible(&mut tx, &caller.account, id).await?;
    let address = format!("approve {id}");
    let keyed = match begin(&mut tx, &clock, &caller.account, &headers, &address, &body).await? {
        Ok(keyed) => keyed,
        Err(before) => return Ok(before),
    };
    must_match_if_sent(&headers, &before.etag())?;
    let mut act = desk_act(&caller.account, &clock)?;
    act.reason = said.reason;
    take_step(&mut tx, id, &Event::whole(EventKind::Approve), &act).await?;
    note(&mut tx, (&caller.account, caller.actor()), before.member, "reservation approved", id)
        .await?;
    tell(&mut tx, &clock, id, News::Approved).await?;
    finish(tx, &clock, keyed, StatusCode::OK, id).await
}

/// Declines a reservation that waits for approval: its nights are free again.
///
/// # Errors
/// 409 where it does not wait.
#[utoipa::path(
    post,
    path = "/api/v1/reservations/{id}/decline",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("Idempotency-Key" = Option<String>, Header, description = "Sent again with the same body, the first answer comes back"), ("If-Match" = Option<String>, Header, description = "The `ETag` that was read; where it is sent, it must be the present one")),
    request_body(content = WithReason, content_type = "application/json", description = "A word on why; may be left out"),
    responses(
        (status = 200, description = "Declined", body = ReservationAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn decline(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    OptionalJson(said, body): OptionalJson<WithReason>,
) -> Result<Response, Problem> {
    let id = ReservationId(id);
    let mut tx = store.write().await?;
    let before = visible(&mut tx, &caller.account, id).await?;
    let address = format!("decline {id}");
    let keyed = match begin(&mut tx, &clock, &caller.account, &headers, &address, &body).await? {
        Ok(keyed) => keyed,
        Err(before) => return Ok(before),
    };
    must_match_if_sent(&headers, &before.etag())?;
    let mut act = desk_act(&caller.account, &clock)?;
    act.reason = said.reason;
    take_step(&mut tx, id, &Event::whole(EventKind::Decline), &act).await?;
    note(&mut tx, (&caller.account, caller.actor()), before.member, "reservation declined", id)
        .await?;
    tell(&mut tx, &clock, id, News::Declined).await?;
    finish(tx, &clock, keyed, StatusCode::OK, id).await
}
