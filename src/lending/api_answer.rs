//! How a step of a reservation ends over HTTP: the letter, the kept answer, the commit.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::api_once::Keyed;
use super::door::{no_such_reservation, tonight};
use super::letters::{News, tell_about};
use super::model::{ReservationId, ReservationState};
use super::reading::{Whole, whole};
use super::risk_letters::settle;
use super::wire::ReservationAnswer;
use crate::store::WriteTx;
use crate::web::body::Json;
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// Confirms what was made: promised, or kept until it is approved.
pub(super) async fn tell_of(tx: &mut WriteTx, clock: &Clock, whole: &Whole) -> Result<(), Problem> {
    let asks = whole.state == ReservationState::Requested;
    let news = if asks { News::Requested } else { News::Reserved };
    Ok(tell_about(tx, clock, whole, news).await?)
}

/// A reservation as the answer.
pub(super) fn shown(status: StatusCode, whole: &Whole) -> Response {
    (status, [(header::ETAG, whole.etag())], Json(ReservationAnswer::from(whole))).into_response()
}

/// How a reservation stands after a step, as the answer that is kept and given.
pub(super) async fn finish(
    mut tx: WriteTx,
    clock: &Clock,
    keyed: Keyed,
    status: StatusCode,
    id: ReservationId,
) -> Result<Response, Problem> {
    settle(&mut tx, clock, tonight(clock)?).await?;
    let whole = whole(&mut tx, id).await?.ok_or_else(no_such_reservation)?;
    keep(tx, keyed, status, &whole).await
}

/// Keeps the answer, makes all of it last and gives it.
pub(super) async fn keep(
    mut tx: WriteTx,
    keyed: Keyed,
    status: StatusCode,
    whole: &Whole,
) -> Result<Response, Problem> {
    keyed.keep(&mut tx, status, &whole.etag(), &ReservationAnswer::from(whole)).await?;
    tx.commit().await?;
    Ok(shown(status, whole))
}
