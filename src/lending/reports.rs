//! Missing and found again, as somebody says it on a page.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

use super::desk_forms::text;
use super::door::{act, desk_act, no_such_reservation, note, visible};
use super::handing::{Back, Condition, note_found, report_missing};
use super::letters::tell_desk_of_missing;
use super::machine::LineState;
use super::model::{NotReserved, ReservationId};
use super::risk_letters::settle;
use crate::people::access::SignedIn;
use crate::shelf::ItemId;
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// What the forms carry.
type Typed = Form<BTreeMap<String, String>>;

fn refused(why: NotReserved, back: String) -> Problem {
    match why {
        NotReserved::Failed(error) => error.into(),
        why => Problem::conflict(why.to_string())
            .next("Look at how it stands now.")
            .way("To the loan", back),
    }
}

/// `POST /mine/{id}/missing`: a borrower says that pieces are not to be found; the desk is told.
///
/// # Errors
/// 404 where it is not theirs, 409 where nothing was named or it is not out.
pub async fn missing(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Typed,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = visible(&mut tx, &who.account, ReservationId(id)).await?;
    if who.account.member != Some(whole.member) {
        return Err(no_such_reservation());
    }
    let back = || format!("/mine/{id}");
    let ticked = |item: &ItemId| typed.contains_key(&format!("missing_{item}"));
    let items: Vec<ItemId> = whole.items(LineState::Out).into_iter().filter(ticked).collect();
    if items.is_empty() {
        return Err(Problem::conflict("Nothing was ticked.")
            .next("Tick what you can't find.")
            .way("To the loan", back()));
    }
    let mut act = act(&who.account, whole.member, &clock)?;
    act.reason = text(&typed, "what");
    let done = report_missing(&mut tx, whole.id, &items, &act).await;
    done.map_err(|why| refused(why, back()))?;
    tell_desk_of_missing(&mut tx, &clock, &whole, &items, &act.reason).await?;
    settle(&mut tx, &clock, act.tonight).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/mine/{id}?done=missing")).into_response())
}

/// `POST /desk/{id}/found`: a missing piece is back, to be looked over before it goes out again.
///
/// # Errors
/// 404 where there is no such reservation, 409 where the piece is not missing in it.
pub async fn found(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Typed,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = visible(&mut tx, &who.account, ReservationId(id)).await?;
    let act = desk_act(&who.account, &clock)?;
    let back = || format!("/desk/{id}");
    let item = text(&typed, "item").parse().map(ItemId);
    let item = item.map_err(|_| Problem::malformed("No piece was named."))?;
    let piece = Back { item, condition: Condition::Good, note: text(&typed, "note") };
    let done = note_found(&mut tx, whole.id, &piece, &act).await;
    done.map_err(|why| refused(why, back()))?;
    note(&mut tx, (&who.account, who.actor()), whole.member, "piece found", whole.id).await?;
    settle(&mut tx, &clock, act.tonight).await?;
    tx.commit().await?;
    Ok(Redirect::to(&back()).into_response())
}
