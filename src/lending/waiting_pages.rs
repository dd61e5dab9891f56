//! One's places on the waiting list: joining, taking what is held, leaving.

use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::api_answer::tell_of;
use super::door::{act, tonight};
use super::model::{LendingError, NotReserved};
use super::night::Nights;
use super::wait_list::{Place, PlaceId, Wanted, before, places};
use super::waiting::{NotWaiting, accept as accept_it, join as join_it, offer};
use super::waiting_api::leave_it;
use crate::people::MemberId;
use crate::people::access::SignedIn;
use crate::shelf::{self, ItemId};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::problem::Problem;

/// A place on the list as its owner sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceShown {
    /// Its number.
    pub id: i64,
    /// "Orchard 8-inch and two more pieces", "Any telescope".
    pub title: String,
    /// The nights.
    pub nights: String,
    /// "You are next.", "Held for you until Saturday 6 June 2026, 14:00."
    pub standing: String,
    /// The tags of the pieces, or of what is held.
    pub tags: Vec<String>,
    /// Whether it is held for them.
    pub offered: bool,
}

/// The places of a member, what is held for them first.
///
/// # Errors
/// The database could not answer.
pub async fn shown(
    conn: &mut SqliteConnection,
    member: MemberId,
    clock: &Clock,
) -> Result<Vec<PlaceShown>, LendingError> {
    let all = places(conn).await?;
    let mut found = Vec::new();
    for place in all.iter().filter(|place| place.member == member) {
        found.push(show(conn, &all, place, clock).await?);
    }
    found.sort_by_key(|place| !place.offered);
    Ok(found)
}

/// One of all places, in words.
pub(super) async fn show(
    conn: &mut SqliteConnection,
    all: &[Place],
    place: &Place,
    clock: &Clock,
) -> Result<PlaceShown, LendingError> {
    let ids = match (&place.offer, &place.wanted) {
        (Some((items, _)), _) | (None, Wanted::Pieces(items)) => items.clone(),
        (None, Wanted::Any(..)) => Vec::new(),
    };
    let mut names = shelf::names(conn, &ids).await?;
    names.sort_by_key(|item| (item.kind, item.id));
    let title = match names.as_slice() {
        [] => any_of(conn, &place.wanted).await?,
        [one] => one.name.clone(),
        [first, rest @ ..] => {
            let more = format::count(rest.len(), "more piece", "more pieces");
            format!("{} and {more}", first.name)
        }
    };
    let (first, last) = (place.nights.first(), place.nights.last());
    Ok(PlaceShown {
        id: place.id.0,
        title,
        nights: format::nights(first.evening(), last.evening()),
        standing: standing(all, place, clock),
        tags: names.iter().map(|item| item.tag.to_string()).collect(),
        offered: place.offer.is_some(),
    })
}

async fn any_of(conn: &mut SqliteConnection, wanted: &Wanted) -> Result<String, LendingError> {
    let (kind, like) = match wanted {
        Wanted::Any(kind, like) => (kind.word(), *like),
        Wanted::Pieces(_) => return Ok("Pieces that are gone".into()),
    };
    let Some(like) = like else { return Ok(format!("Any {kind}")) };
    let name = shelf::names(conn, &[like]).await?.into_iter().next();
    Ok(name.map_or_else(
        || format!("Any {kind}"),
        |item| format!("Any {kind} like {} {}", item.tag, item.name),
    ))
}

/// "Saturday 6 June 2026, 14:00", by the club's clock.
pub(super) fn instant(seconds: i64, clock: &Clock) -> String {
    let at = Timestamp::from_second(seconds).unwrap_or_default();
    let at = at.to_zoned_datetime(clock.zone().clone());
    format!("{}, {}", format::night(at.date()), at.strftime("%H:%M"))
}

fn standing(all: &[Place], place: &Place, clock: &Clock) -> String {
    if let Some((_, until)) = &place.offer {
        return format!("Held for you until {}.", instant(*until, clock));
    }
    match before(all, place) {
        0 => "You are next when it becomes free.".into(),
        people => {
            let people = format::sentence_case(&format::count(people, "person", "people"));
            format!("{people} before you.")
        }
    }
}

/// The form that puts somebody on the list.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    items: String,
    like: String,
    from: String,
    to: String,
    daylight: String,
}

fn done(what: &str) -> Response {
    Redirect::to(&format!("/mine?done={what}")).into_response()
}

/// `POST /mine/waiting`
///
/// # Errors
/// 404 for an account of no member, 409 where the rules would never allow it.
pub async fn join(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let member = who.account.member.ok_or_else(|| {
        Problem::not_found("This account belongs to no member, so it can't wait for anything.")
    })?;
    let nights = Nights::parse(typed.from.trim(), typed.to.trim())
        .map_err(|why| Problem::malformed(why.to_string()).way("Find a kit", "/"))?;
    let tonight = tonight(&clock)?;
    let daylight = !typed.daylight.is_empty();
    let mut tx = store.write().await?;
    let wanted = match typed.like.parse().map(ItemId) {
        Ok(like) => any_like(&mut tx, like).await?,
        Err(_) => Wanted::Pieces(
            typed.items.split([',', ' ']).filter_map(|id| id.parse().ok()).map(ItemId).collect(),
        ),
    };
    match join_it(&mut tx, member, &wanted, (nights, daylight), &clock, tonight).await {
        Ok(_) => {}
        Err(NotWaiting::Twice) => return Ok(done("waiting")),
        Err(NotWaiting::Failed(error) | NotWaiting::Wanted(NotReserved::Failed(error))) => {
            return Err(error.into());
        }
        Err(why) => {
            return Err(Problem::conflict(why.to_string()).way("My loans", "/mine"));
        }
    }
    // It may have become free since it was refused.
    offer(&mut tx, &clock, tonight).await?;
    tx.commit().await?;
    Ok(done("waiting"))
}

/// Any piece that would do in place of this one.
///
/// # Errors
/// 404 where it is not there, 409 where nothing stands for its kind.
pub(super) async fn any_like(conn: &mut SqliteConnection, like: ItemId) -> Result<Wanted, Problem> {
    let found = shelf::names(conn, &[like]).await.map_err(LendingError::from)?;
    let item = found.first().ok_or_else(|| {
        Problem::not_found("There is no such piece on the shelf.").way("My loans", "/mine")
    })?;
    Wanted::any_like(item).ok_or_else(|| {
        Problem::conflict("Pieces of this kind have too little in common: wait for one of them.")
            .way("My loans", "/mine")
    })
}

/// One's own place that is not over.
async fn own(tx: &mut WriteTx, who: &SignedIn, id: i64) -> Result<Place, Problem> {
    let all = places(tx).await?;
    let found = all
        .into_iter()
        .find(|place| place.id == PlaceId(id) && who.account.member == Some(place.member));
    found.ok_or_else(|| {
        Problem::not_found("This place on the waiting list is over, or it isn't yours.")
            .next("Look at what you wait for now.")
            .way("My loans", "/mine")
    })
}

/// `POST /mine/waiting/{id}/accept`: takes what is held.
///
/// # Errors
/// 404 where the place is over or somebody else's, 409 where a rule stands in the way.
pub async fn accept(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let place = own(&mut tx, &who, id).await?;
    let act = act(&who.account, place.member, &clock)?;
    match accept_it(&mut tx, &place, &act, &clock).await {
        Ok(made) => {
            tell_of(&mut tx, &clock, &made).await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("/mine/{}?done=reserved", made.id)).into_response())
        }
        Err(NotReserved::Failed(error)) => Err(error.into()),
        Err(why) => Err(Problem::conflict(why.to_string())
            .next("The offer stands until its time is over. Ask the quartermaster, or leave it.")
            .way("My loans", "/mine")),
    }
}

/// `POST /mine/waiting/{id}/leave`: declines what is held, or waits no more; the next is asked.
///
/// # Errors
/// 404 where the place is over or somebody else's.
pub async fn leave(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let place = own(&mut tx, &who, id).await?;
    leave_it(&mut tx, &place, &clock).await?;
    tx.commit().await?;
    Ok(done("left"))
}
