//! The waiting list: first come, first served, and what is free is held for a day.

use sqlx::SqliteConnection;

use super::booking::{checked_items, reserve};
use super::keeping::{Act, night_list};
use super::letters;
use super::likeness::is_like;
use super::model::{LendingError, NotReserved, Origin, ReservationId, Wish};
use super::night::{Night, Nights};
use super::reading::Whole;
use super::rules::Broken;
use super::rules_store::{item_rules, rules, trained};
use super::store::clashes_of;
use super::wait_list::{Place, PlaceId, Wanted, places};
use crate::people::MemberId;
use crate::shelf::{self, ItemId, ItemName, ItemState, id_list};
use crate::store::WriteTx;
use crate::web::clock::Clock;

/// For how long an offer is held, in seconds.
const HELD: i64 = 24 * 3600;

/// The most places that one member may have at a time.
pub const MOST_PLACES: i64 = 10;

/// Why somebody was not put on the list. Nothing was written then.
#[derive(Debug, thiserror::Error)]
pub enum NotWaiting {
    /// No reservation would be possible on these nights.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))]
    Rules(Vec<Broken>),
    /// Too many places already.
    #[error(
        "You wait in {MOST_PLACES} places already, which is the most: leave one of them first."
    )]
    TooMany,
    /// The same place twice.
    #[error("You wait for this already.")]
    Twice,
    /// What is wanted is not there.
    #[error(transparent)]
    Wanted(#[from] NotReserved),
    /// The database could not answer.
    #[error(transparent)]
    Failed(#[from] LendingError),
}

/// Puts a member on the list.
///
/// # Errors
/// [`NotWaiting`].
pub async fn join(
    tx: &mut WriteTx,
    member: MemberId,
    wanted: &Wanted,
    (nights, daylight): (Nights, bool),
    clock: &Clock,
    tonight: Night,
) -> Result<PlaceId, NotWaiting> {
    let broken = rules(tx, tonight).await?.broken_by_nights(nights, tonight);
    if !broken.is_empty() {
        return Err(NotWaiting::Rules(broken));
    }
    let (kind, items) = match wanted {
        Wanted::Any(kind, like) => (Some(kind.as_str()), like.iter().copied().collect::<Vec<_>>()),
        Wanted::Pieces(items) => {
            let found = checked_items(tx, items, Origin::Recorded).await?;
            (None, found.into_iter().map(|item| item.id).collect())
        }
    };
    if let Wanted::Any(_, Some(like)) = wanted {
        checked_items(tx, &[*like], Origin::Recorded).await?;
    }
    let own: Vec<Place> =
        places(tx).await?.into_iter().filter(|place| place.member == member).collect();
    if own.len() >= usize::try_from(MOST_PLACES).unwrap_or(usize::MAX) {
        return Err(NotWaiting::TooMany);
    }
    let wanted = if kind.is_some() { wanted.clone() } else { Wanted::Pieces(items.clone()) };
    if own.iter().any(|place| place.wanted == wanted && place.nights == nights) {
        return Err(NotWaiting::Twice);
    }
    let id = write(tx, member, (kind, &items), (nights, daylight), clock.seconds()).await;
    Ok(PlaceId(id.map_err(LendingError::from)?))
}

async fn write(
    tx: &mut WriteTx,
    member: MemberId,
    (kind, items): (Option<&str>, &[ItemId]),
    (nights, daylight): (Nights, bool),
    now: i64,
) -> sqlx::Result<i64> {
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let id = sqlx::query_scalar!(
        "INSERT INTO wait_place (member_id, kind, first_night, last_night, daylight, asked_at)
         VALUES (?, ?, ?, ?, ?, ?) RETURNING id AS \"id!\"",
        member.0,
        kind,
        first,
        last,
        daylight,
        now
    )
    .fetch_one(&mut **tx)
    .await?;
    let items = id_list(items);
    sqlx::query!(
        "INSERT INTO wait_place_item (place_id, item_id) SELECT ?, value FROM json_each(?)",
        id,
        items
    )
    .execute(&mut **tx)
    .await?;
    Ok(id)
}

/// Ends the offers that nobody took, and offers what is free to whoever is next. Called whenever
/// nights may have become free.
///
/// # Errors
/// The database could not answer; then drop the transaction.
pub async fn offer(tx: &mut WriteTx, clock: &Clock, tonight: Night) -> Result<(), LendingError> {
    let now = clock.seconds();
    end_old(tx, now, tonight).await?;
    for place in places(tx).await?.into_iter().filter(|place| place.offer.is_none()) {
        let items = can_have(tx, &place, tonight).await?;
        if items.is_empty() {
            continue;
        }
        let until = now + HELD;
        hold(tx, &place, &items, until).await?;
        letters::tell_offer(tx, clock, &place, &items, until).await?;
    }
    Ok(())
}

async fn end_old(tx: &mut WriteTx, now: i64, tonight: Night) -> Result<(), LendingError> {
    let tonight = tonight.to_string();
    sqlx::query!(
        "UPDATE wait_place SET state = 'expired', offered_until = NULL
         WHERE state IN ('waiting', 'offered') AND (offered_until <= ? OR first_night < ?)",
        now,
        tonight
    )
    .execute(&mut **tx)
    .await?;
    free_unheld(tx).await
}

/// Frees nights that are held for places that hold no offer.
async fn free_unheld(tx: &mut WriteTx) -> Result<(), LendingError> {
    sqlx::query!(
        "DELETE FROM item_night WHERE kind = 'offer' AND holder_id IS NOT NULL
         AND holder_id NOT IN (SELECT id FROM wait_place WHERE state = 'offered')"
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The pieces that could be held for a place now; none where it has to wait on.
async fn can_have(
    conn: &mut SqliteConnection,
    place: &Place,
    tonight: Night,
) -> Result<Vec<ItemId>, LendingError> {
    if !rules(conn, tonight).await?.broken_by_nights(place.nights, tonight).is_empty() {
        return Ok(Vec::new());
    }
    match &place.wanted {
        Wanted::Pieces(items) => match checked_items(conn, items, Origin::Asked).await {
            Ok(names) if are_free(conn, &names, place.nights).await? => Ok(items.clone()),
            Err(NotReserved::Failed(error)) => Err(error),
            Ok(_) | Err(_) => Ok(Vec::new()),
        },
        Wanted::Any(kind, like) => {
            let shelf = shelf::shelf(conn).await?;
            let mut names = shelf::names(conn, &shelf.ids()).await?;
            names.retain(|item| {
                item.kind == *kind
                    && item.state == ItemState::InService
                    && like.is_none_or(|like| is_like(&shelf, item.id, like))
            });
            // The piece itself first.
            names.sort_by(|a, b| {
                let other = |item: &ItemName| Some(item.id) != *like;
                other(a).cmp(&other(b)).then_with(|| a.tag.cmp(&b.tag))
            });
            let ids: Vec<ItemId> = names.iter().map(|item| item.id).collect();
            let care = item_rules(conn, &ids).await?;
            let shown = trained(conn, place.member, &ids).await?;
            for item in names {
                let barred = care.get(&item.id).is_some_and(|rule| rule.needs_training)
                    && !shown.contains(&item.id);
                if !barred && are_free(conn, std::slice::from_ref(&item), place.nights).await? {
                    return Ok(vec![item.id]);
                }
            }
            Ok(Vec::new())
        }
    }
}

async fn are_free(
    conn: &mut SqliteConnection,
    items: &[ItemName],
    nights: Nights,
) -> Result<bool, LendingError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let care = item_rules(conn, &ids).await?;
    Ok(clashes_of(conn, items, nights, &care, ReservationId(-1)).await?.is_empty())
}

async fn hold(
    tx: &mut WriteTx,
    place: &Place,
    items: &[ItemId],
    until: i64,
) -> Result<(), LendingError> {
    let (items, nights) = (id_list(items), night_list(place.nights));
    sqlx::query!(
        "INSERT INTO item_night (item_id, night, kind, holder_id)
         SELECT item.value, night.value, 'offer', ? FROM json_each(?) AS item, json_each(?) AS night",
        place.id.0,
        items,
        nights
    )
    .execute(&mut **tx)
    .await?;
    sqlx::query!(
        "UPDATE wait_place SET state = 'offered', offered_until = ? WHERE id = ?",
        until,
        place.id.0
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Makes a reservation of what is held, under the same rules as any other. On an error, drop the
/// transaction: the offer then stands as before.
///
/// # Errors
/// [`NotReserved`].
pub async fn accept(
    tx: &mut WriteTx,
    place: &Place,
    act: &Act,
    clock: &Clock,
) -> Result<Whole, NotReserved> {
    let held = place.offer.as_ref().filter(|(_, until)| *until > act.at);
    let Some((items, _)) = held else {
        return Err(NotReserved::Incomplete(
            "Nothing is held for you here any more: look at what is free, or wait on.",
        ));
    };
    end(tx, place.id, "taken").await?;
    let wish = Wish {
        member: place.member,
        items: items.clone(),
        nights: place.nights,
        origin: Origin::Asked,
        asked_at: clock.now(),
        tonight: act.tonight,
        daylight: place.daylight,
        site: None,
        doer: act.doer,
    };
    reserve(tx, &wish).await
}

/// Ends a place: "taken", "declined" or "withdrawn"; what was held for it is free.
///
/// # Errors
/// The database refused.
pub async fn end(tx: &mut WriteTx, id: PlaceId, how: &str) -> Result<(), LendingError> {
    sqlx::query!(
        "UPDATE wait_place SET state = ?, offered_until = NULL
         WHERE id = ? AND state IN ('waiting', 'offered')",
        how,
        id.0
    )
    .execute(&mut **tx)
    .await?;
    free_unheld(tx).await
}

/// Ends every place of a member who leaves.
///
/// # Errors
/// The database refused.
pub(super) async fn end_all(tx: &mut WriteTx, member: MemberId) -> Result<(), LendingError> {
    for place in places(tx).await?.into_iter().filter(|place| place.member == member) {
        end(tx, place.id, "withdrawn").await?;
    }
    Ok(())
}
