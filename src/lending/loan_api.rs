//! Loans over HTTP: handing over, extending and taking back.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::api_filter::Filter;
use super::api_once::{Keyed, OptionalJson, begin, must_match_if_sent};
use super::cautions;
use super::door::{act, desk_act, no_such_reservation, note as noted, tonight, visible};
use super::handing::{Back, Condition, HandOver, LoanId, extend as extend_it, take_back};
use super::machine::LineState;
use super::model::ReservationId;
use super::reading::{Whole, of_loan, whole, wholes};
use super::risk_letters::settle;
use super::signature::Strokes;
use super::wire::{Extension, HandOverNote, LoanAnswer, LoansAnswer, ReturnNote};
use crate::people::access::ApiCaller;
use crate::people::{self, PeopleError};
use crate::shelf::ItemId;
use crate::store::{Store, WriteTx};
use crate::web::body::{Json, Path, Query};
use crate::web::clock::Clock;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::{NoToken, Unreadable};

async fn finish(
    mut tx: WriteTx,
    keyed: Keyed,
    id: ReservationId,
    clock: &Clock,
) -> Result<Response, Problem> {
    settle(&mut tx, clock, tonight(clock)?).await?;
    let whole = whole(&mut tx, id).await?.ok_or_else(no_such_reservation)?;
    let answer = LoanAnswer::of(&whole, tonight(clock)?).ok_or_else(no_such_reservation)?;
    keyed.keep(&mut tx, StatusCode::OK, &whole.etag(), &answer).await?;
    tx.commit().await?;
    Ok(([(header::ETAG, whole.etag())], Json(answer)).into_response())
}

async fn visible_loan(
    conn: &mut sqlx::SqliteConnection,
    caller: &ApiCaller,
    loan: i64,
) -> Result<Whole, Problem> {
    let none = || {
        Problem::not_found("There is no such loan, or it isn't yours to see.")
            .next("List your loans first.")
    };
    let id = of_loan(conn, LoanId(loan)).await?.ok_or_else(none)?;
    visible(conn, &caller.account, id).await.map_err(|_| none())
}

/// Hands a reservation over, whole or in part, and answers the loan. Fetched early, the nights
/// before are taken along where they are free.
///
/// # Errors
/// 403 for everybody but quartermasters; 409 where it does not stand ready, a piece is still with
/// somebody, or the gate before the Sun is shut.
#[utoipa::path(
    post,
    path = "/api/v1/reservations/{id}/hand-over",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("Idempotency-Key" = Option<String>, Header, description = "Sent again with the same body, the first answer comes back"), ("If-Match" = Option<String>, Header, description = "The `ETag` that was read; where it is sent, it must be the present one")),
    request_body(content = HandOverNote, content_type = "application/json", description = "What is noted; may be left out"),
    responses(
        (status = 200, description = "The loan", body = LoanAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn hand_over(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    OptionalJson(note, body): OptionalJson<HandOverNote>,
) -> Result<Response, Problem> {
    let id = ReservationId(id);
    let mut tx = store.write().await?;
    let before = visible(&mut tx, &caller.account, id).await?;
    let address = format!("hand-over {id}");
    let keyed = match begin(&mut tx, &clock, &caller.account, &headers, &address, &body).await? {
        Ok(keyed) => keyed,
        Err(before) => return Ok(before),
    };
    must_match_if_sent(&headers, &before.etag())?;
    let act = desk_act(&caller.account, &clock)?;
    let borrower = people::member(&mut tx, before.member).await?.ok_or(PeopleError::NotThere)?;
    let shown = if before.daylight { 0 } else { cautions::VERSION };
    let what = HandOver {
        items: match note.items {
            Some(named) => named.into_iter().map(ItemId).collect(),
            None => before.items(LineState::Planned),
        },
        signed_name: note.signed_name.unwrap_or_else(|| borrower.facts.name.to_string()),
        cautions_version: note.cautions_version.unwrap_or(shown),
        guardian: note.guardian,
        witness: note.witness,
        note: note.note,
        to_self: caller.account.member == Some(before.member),
        strokes: Strokes::default(),
    };
    super::handing::hand_over(&mut tx, id, &what, &act).await?;
    noted(&mut tx, (&caller.account, caller.actor()), before.member, "reservation handed over", id)
        .await?;
    finish(tx, keyed, id, &clock).await
}

/// Lists loans, the newest first: one's own, or everybody's for quartermasters.
///
/// # Errors
/// 404 for a member whose loans are not yours to see, 422 for a filter that can't be used.
#[utoipa::path(
    get,
    path = "/api/v1/loans",
    tag = "lending",
    params(("member" = Option<i64>, Query, description = "Only this member's"), ("state" = Option<String>, Query, description = "Only those that stand so"), ("before" = Option<i64>, Query, description = "Only those with lower numbers"), ("limit" = Option<i64>, Query, description = "At most so many, 1 to 200; 50 without", minimum = 1, maximum = 200)),
    responses(
        (status = 200, description = "The loans", body = LoansAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Values that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Query(filter): Query<Filter>,
) -> Result<Response, Problem> {
    let mut wanted = filter.wanted(&caller)?;
    wanted.with_loan = true;
    let mut conn = store.reader().acquire().await?;
    let found = wholes(&mut conn, &wanted).await?;
    let full = i64::try_from(found.len()).unwrap_or(0) == wanted.most;
    let next = found.last().filter(|_| full).map(|last| last.id.0);
    let tonight = tonight(&clock)?;
    let loans = found.iter().filter_map(|whole| LoanAnswer::of(whole, tonight)).collect();
    Ok(Json(LoansAnswer { loans, next }).into_response())
}

/// One loan; its `ETag` names its version.
///
/// # Errors
/// 404 where it is not there or not yours to see.
#[utoipa::path(
    get,
    path = "/api/v1/loans/{id}",
    tag = "lending",
    params(("id" = i64, Path, description = "The number")),
    responses(
        (status = 200, description = "The loan", body = LoanAnswer, content_type = "application/json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn one(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = visible_loan(&mut conn, &caller, id).await?;
    let answer = LoanAnswer::of(&whole, tonight(&clock)?).ok_or_else(no_such_reservation)?;
    Ok(([(header::ETAG, whole.etag())], Json(answer)).into_response())
}

/// Takes back all or some pieces of a loan, each with its condition. What is not in good condition
/// leaves service.
///
/// # Errors
/// 403 for everybody but quartermasters; 409 for a piece that is not out.
#[utoipa::path(
    post,
    path = "/api/v1/loans/{id}/return",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("Idempotency-Key" = Option<String>, Header, description = "Sent again with the same body, the first answer comes back"), ("If-Match" = Option<String>, Header, description = "The `ETag` that was read; where it is sent, it must be the present one")),
    request_body(content = ReturnNote, content_type = "application/json", description = "What comes back; may be left out for everything in good condition"),
    responses(
        (status = 200, description = "The loan", body = LoanAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn bring_back(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    OptionalJson(note, body): OptionalJson<ReturnNote>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let before = visible_loan(&mut tx, &caller, id).await?;
    let address = format!("return {id}");
    let keyed = match begin(&mut tx, &clock, &caller.account, &headers, &address, &body).await? {
        Ok(keyed) => keyed,
        Err(before) => return Ok(before),
    };
    must_match_if_sent(&headers, &before.etag())?;
    let act = desk_act(&caller.account, &clock)?;
    let pieces: Vec<Back> = if let Some(pieces) = note.items {
        pieces.into_iter().map(Back::from).collect()
    } else {
        let good = |item| Back { item, condition: Condition::Good, note: String::new() };
        before.items(LineState::Out).into_iter().map(good).collect()
    };
    take_back(&mut tx, before.id, &pieces, &act).await?;
    noted(&mut tx, (&caller.account, caller.actor()), before.member, "loan taken back", before.id)
        .await?;
    finish(tx, keyed, before.id, &clock).await
}

/// Keeps a loan for longer, where nobody waits for its pieces.
///
/// # Errors
/// 409 where the nights are taken or the loan would be too long.
#[utoipa::path(
    post,
    path = "/api/v1/loans/{id}/extend",
    tag = "lending",
    params(("id" = i64, Path, description = "The number"), ("If-Match" = Option<String>, Header, description = "The `ETag` that was read; where it is sent, it must be the present one")),
    request_body(content = Extension, content_type = "application/json", description = "Until when"),
    responses(
        (status = 200, description = "The loan", body = LoanAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there, or not yours to see", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "It clashes with what is there; nothing was changed", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn extend(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    headers: HeaderMap,
    Path(id): Path<i64>,
    Json(wish): Json<Extension>,
) -> Result<Response, Problem> {
    let last = wish.last_night.parse().map_err(|says: super::NotANight| {
        Problem::out_of_range(vec![Fault::at("/last_night", says.to_string())])
    })?;
    let mut tx = store.write().await?;
    let before = visible_loan(&mut tx, &caller, id).await?;
    must_match_if_sent(&headers, &before.etag())?;
    let act = act(&caller.account, before.member, &clock)?;
    extend_it(&mut tx, before.id, last, &act).await?;
    noted(&mut tx, (&caller.account, caller.actor()), before.member, "loan extended", before.id)
        .await?;
    finish(tx, Keyed::none(), before.id, &clock).await
}
