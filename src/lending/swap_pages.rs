//! A piece in place of another: what is at risk, the best replacement, and one tap to take it.

use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::booking::change;
use super::door::{act, desk_act, no_such_reservation, note, tonight, visible};
use super::keeping::Act;
use super::machine::LineState;
use super::model::{NotReserved, ReservationId};
use super::reading::Whole;
use super::risk::at_risk;
use super::risk_letters::settle;
use crate::choosing::replacement::{Replacement, best};
use crate::people::access::{Account, SignedIn};
use crate::shelf::{self, AssetTag, ItemId};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// A piece that is at risk, as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RiskShown {
    /// What is wrong.
    pub says: String,
    /// The piece's number.
    pub item: i64,
    /// What would do instead; none where nothing that is free does.
    pub instead: Option<Replacement>,
}

#[cfg(test)]
impl RiskShown {
    /// One with a replacement and one without.
    pub(crate) fn samples() -> Vec<Self> {
        let says = "T-007 Orchard 8-inch <script>alert(1)</script> is in repair.".to_owned();
        let instead = Replacement {
            id: 9,
            tag: "T-009".into(),
            name: "Thimble".into(),
            says: "The kit is worth 87% of what was planned.".into(),
        };
        let one = Self { says, item: 7, instead: Some(instead) };
        vec![one.clone(), Self { instead: None, item: 8, ..one }]
    }
}

/// The pieces of a reservation that are at risk, each with the best replacement.
///
/// # Errors
/// The database could not answer.
pub async fn risks_of(
    store: &Store,
    clock: &Clock,
    account: &Account,
    whole: &Whole,
) -> Result<Vec<RiskShown>, Problem> {
    let mut conn = store.reader().acquire().await?;
    let mut risks = at_risk(&mut conn, tonight(clock)?).await?;
    drop(conn);
    risks.retain(|risk| risk.reservation == whole.id);
    let mut shown: Vec<RiskShown> = Vec::new();
    let mut taken: Vec<ItemId> = Vec::new();
    for risk in risks {
        let instead = best(store, clock, account, whole, risk.item.id, &taken).await?;
        taken.extend(instead.iter().map(|one| ItemId(one.id)));
        shown.push(RiskShown { says: risk.says(), item: risk.item.id.0, instead });
    }
    Ok(shown)
}

/// The form of a swap.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    item: i64,
    instead: Option<i64>,
    tag: String,
}

/// A piece that is to be swapped at the hand-over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SwapShown {
    /// The piece's number.
    pub item: i64,
    /// Its tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// The best that is free; none where nothing free would do.
    pub instead: Option<Replacement>,
}

/// The swap of one planned piece of a reservation, with the best replacement; none where the piece
/// is not waiting in it.
///
/// # Errors
/// The database could not answer.
pub async fn swap_of(
    store: &Store,
    clock: &Clock,
    account: &Account,
    whole: &Whole,
    item: ItemId,
) -> Result<Option<SwapShown>, Problem> {
    let line = whole.lines.iter().find(|line| line.item.id == item);
    let Some(line) = line.filter(|line| line.state == LineState::Planned) else { return Ok(None) };
    let instead = best(store, clock, account, whole, item, &[]).await?;
    let (tag, name) = (line.item.tag.to_string(), line.item.name.clone());
    Ok(Some(SwapShown { item: item.0, tag, name, instead }))
}

/// `POST /desk/{id}/swap`
///
/// # Errors
/// 404 where there is no such reservation, 409 where the replacement is gone.
pub async fn at_desk(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let act = desk_act(&who.account, &clock)?;
    swap(&store, &clock, &who, (id, &typed), act, "/desk").await
}

/// `POST /mine/{id}/swap`
///
/// # Errors
/// 404 where it is not there or somebody else's, 409 where the replacement is gone.
pub async fn mine(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let member = who.account.member.ok_or_else(no_such_reservation)?;
    let act = act(&who.account, member, &clock)?;
    swap(&store, &clock, &who, (id, &typed), act, "/mine").await
}

async fn swap(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    (id, typed): (i64, &Typed),
    act: Act,
    base: &str,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = visible(&mut tx, &who.account, ReservationId(id)).await?;
    if base == "/mine" && who.account.member != Some(whole.member) {
        return Err(no_such_reservation());
    }
    let instead = match typed.instead {
        Some(id) => ItemId(id),
        None => tagged(&mut tx, &typed.tag, &format!("{base}/{id}")).await?,
    };
    let items = swapped(&whole, typed.item, instead)?;
    match change(&mut tx, whole.id, &items, whole.nights, &act).await {
        Ok(_) => {}
        Err(NotReserved::Failed(error)) => return Err(error.into()),
        Err(why) => {
            return Err(Problem::conflict(why.to_string())
                .next("Look at the reservation again: another piece may be free.")
                .way("To the reservation", format!("{base}/{id}")));
        }
    }
    note(&mut tx, (&who.account, who.actor()), whole.member, "piece swapped", whole.id).await?;
    settle(&mut tx, clock, act.tonight).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{base}/{id}?done=changed")).into_response())
}

/// The piece with a typed tag.
async fn tagged(tx: &mut WriteTx, typed: &str, back: &str) -> Result<ItemId, Problem> {
    let found = match AssetTag::new(&typed.trim().to_uppercase()) {
        Ok(tag) => shelf::tagged(tx, &tag).await?,
        Err(_) => None,
    };
    found.map(|item| item.id).ok_or_else(|| {
        Problem::not_found("Nothing on the shelf bears this tag.")
            .next("Check the label, and type its tag again.")
            .way("To the reservation", back)
    })
}

fn swapped(whole: &Whole, item: i64, instead: ItemId) -> Result<Vec<ItemId>, Problem> {
    let mut items = whole.items(LineState::Planned);
    let Some(at) = items.iter().position(|one| one.0 == item) else {
        return Err(Problem::conflict("The piece is not in this reservation any more.")
            .next("Look at the reservation again."));
    };
    items[at] = instead;
    Ok(items)
}
