//! The calendar in the database: what is free, what is promised, and promising it.

use std::collections::{BTreeMap, HashSet};

use sqlx::SqliteConnection;

use super::model::{
    Clash, LendingError, NotInService, NotReserved, Origin, Promise, Reservation, ReservationId,
    ReservationState, Wish, stored_night,
};
use super::night::{Night, Nights};
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, ItemId, ItemName, ItemState, Shelf, id_list};
use crate::store::WriteTx;

/// Keeps a statement's text beside its checked use, so that a test can ask how it is carried out.
macro_rules! planned {
    ($(#[$meta:meta])* $plan:ident, $sql:literal, $vis:vis async fn $name:ident($($arg:ident: $ty:ty),*) -> $row:ty = $query:ident $(as $shape:ident)?) => {
        #[cfg(test)]
        pub(super) const $plan: &str = $sql;

        $(#[$meta])*
        $vis async fn $name(conn: &mut SqliteConnection, $($arg: $ty),*) -> sqlx::Result<Vec<$row>> {
            sqlx::$query!($($shape,)? $sql, $($arg),*).fetch_all(conn).await
        }
    };
}

struct PromiseRow {
    item_id: i64,
    reservation_id: i64,
    first: String,
    last: String,
}

struct NightRow {
    item_id: i64,
    night: String,
}

struct ReservationRow {
    id: i64,
    member_id: i64,
    first_night: String,
    last_night: String,
    state: String,
}

struct LineRow {
    reservation_id: i64,
    item_id: i64,
}

planned! {
    /// Which of these items have no promised night in the range; one look into the primary key
    /// for each.
    FREE_PLAN,
    "SELECT CAST(wanted.value AS INTEGER) AS \"id!: i64\" FROM json_each(?1) AS wanted
     WHERE NOT EXISTS (
         SELECT 1 FROM item_night AS taken
         WHERE taken.item_id = wanted.value AND taken.night BETWEEN ?2 AND ?3
     )",
    async fn free_rows(items: &str, first: &str, last: &str) -> i64 = query_scalar
}

planned! {
    PROMISES_PLAN,
    "SELECT taken.item_id AS \"item_id!\", taken.reservation_id AS \"reservation_id!\",
            min(taken.night) AS \"first!: String\", max(taken.night) AS \"last!: String\"
     FROM json_each(?1) AS wanted
     JOIN item_night AS taken ON taken.item_id = wanted.value AND taken.night BETWEEN ?2 AND ?3
     GROUP BY taken.item_id, taken.reservation_id
     ORDER BY 1, 3",
    async fn promise_rows(items: &str, first: &str, last: &str) -> PromiseRow
        = query_as as PromiseRow
}

planned! {
    CLASH_PLAN,
    "SELECT taken.item_id AS \"item_id!\", taken.night AS \"night!\"
     FROM json_each(?1) AS wanted
     JOIN item_night AS taken ON taken.item_id = wanted.value AND taken.night BETWEEN ?2 AND ?3
     ORDER BY 1, 2",
    async fn clash_rows(items: &str, first: &str, last: &str) -> NightRow = query_as as NightRow
}

/// Which of these items are free on every one of the nights, whatever their state.
///
/// # Errors
/// The database could not answer.
pub async fn free_items(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<HashSet<ItemId>, LendingError> {
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let rows = free_rows(conn, &id_list(items), &first, &last).await?;
    Ok(rows.into_iter().map(ItemId).collect())
}

/// Everything in service that is free on every one of the nights.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn free_on(conn: &mut SqliteConnection, nights: Nights) -> Result<Shelf, LendingError> {
    let mut shelf = shelf::shelf_in_service(conn).await?;
    let free = free_items(conn, &shelf.ids(), nights).await?;
    shelf.retain(|id| free.contains(&id));
    Ok(shelf)
}

/// For what nights in the range these items are promised: what stands in the way, by item and
/// first night.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn promises(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<Vec<Promise>, LendingError> {
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let rows = promise_rows(conn, &id_list(items), &first, &last).await?;
    rows.into_iter()
        .map(|row| {
            let nights = Nights::new(stored_night(&row.first)?, stored_night(&row.last)?);
            Ok(Promise {
                item: ItemId(row.item_id),
                nights: nights.map_err(|why| LendingError::unreadable("A promise", why))?,
                reservation: ReservationId(row.reservation_id),
            })
        })
        .collect()
}

/// Grants a wish: all items for all nights, or nothing. Commit to make it last.
///
/// # Errors
/// [`NotReserved`] says what stands in the way; nothing was written then.
pub async fn reserve(tx: &mut WriteTx, wish: &Wish) -> Result<ReservationId, NotReserved> {
    let items = checked_items(tx, wish).await?;
    check_member(tx, wish).await?;
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let clashes = clashes(tx, &items, wish.nights).await?;
    if !clashes.is_empty() {
        return Err(NotReserved::Clashes(clashes));
    }
    // The write lock is held since before the look, so nobody can have come between; if the
    // primary key objects all the same, the error goes up and the caller's transaction with it.
    write_reservation(tx, wish, &ids).await.map_err(|error| LendingError::from(error).into())
}

async fn checked_items(tx: &mut WriteTx, wish: &Wish) -> Result<Vec<ItemName>, NotReserved> {
    let mut wanted = wish.items.clone();
    wanted.sort_unstable();
    wanted.dedup();
    match wanted.len() {
        0 => return Err(NotReserved::NoItems),
        count if count > Wish::MOST_ITEMS => return Err(NotReserved::TooManyItems(count)),
        _ => {}
    }
    let found = shelf::names(tx, &wanted).await.map_err(LendingError::from)?;
    if found.len() < wanted.len() {
        let there: HashSet<ItemId> = found.iter().map(|item| item.id).collect();
        wanted.retain(|id| !there.contains(id));
        return Err(NotReserved::NoSuchItems(wanted));
    }
    if wish.origin == Origin::Asked {
        let idle: Vec<NotInService> = found
            .iter()
            .filter(|item| item.state != ItemState::InService)
            .map(|item| NotInService { item: item.id, tag: item.tag.clone(), state: item.state })
            .collect();
        if !idle.is_empty() {
            return Err(NotReserved::NotInService(idle));
        }
    }
    Ok(found)
}

async fn check_member(tx: &mut WriteTx, wish: &Wish) -> Result<(), NotReserved> {
    let member = people::member(tx, wish.member).await.map_err(LendingError::from)?;
    match (member.map(|member| member.facts.state), wish.origin) {
        (None, _) => Err(NotReserved::NoSuchMember),
        (Some(MemberState::Left), Origin::Asked) => Err(NotReserved::MemberLeft),
        (Some(MemberState::Active), _) | (Some(MemberState::Left), Origin::Recorded) => Ok(()),
    }
}

async fn clashes(
    conn: &mut SqliteConnection,
    items: &[ItemName],
    nights: Nights,
) -> Result<Vec<Clash>, LendingError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let mut taken: BTreeMap<ItemId, Vec<Night>> = BTreeMap::new();
    for row in clash_rows(conn, &id_list(&ids), &first, &last).await? {
        taken.entry(ItemId(row.item_id)).or_default().push(stored_night(&row.night)?);
    }
    let clash = |item: &ItemName| {
        let taken = Nights::runs(taken.remove(&item.id)?);
        Some(Clash { item: item.id, tag: item.tag.clone(), taken })
    };
    Ok(items.iter().filter_map(clash).collect())
}

async fn write_reservation(
    tx: &mut WriteTx,
    wish: &Wish,
    items: &[ItemId],
) -> sqlx::Result<ReservationId> {
    let (first, last) = (wish.nights.first().to_string(), wish.nights.last().to_string());
    let state = ReservationState::Confirmed.as_str();
    let asked_at = wish.asked_at.as_second();
    let id = sqlx::query_scalar!(
        "INSERT INTO reservation (member_id, first_night, last_night, state, created_at)
         VALUES (?, ?, ?, ?, ?) RETURNING id AS \"id!\"",
        wish.member.0,
        first,
        last,
        state,
        asked_at
    )
    .fetch_one(&mut **tx)
    .await?;
    let ids = id_list(items);
    sqlx::query!(
        "INSERT INTO reservation_item (reservation_id, item_id) SELECT ?, value FROM json_each(?)",
        id,
        ids
    )
    .execute(&mut **tx)
    .await?;
    let nights: Vec<String> = wish.nights.iter().map(|night| format!("\"{night}\"")).collect();
    let nights = format!("[{}]", nights.join(","));
    sqlx::query!(
        "INSERT INTO item_night (item_id, night, reservation_id)
         SELECT item.value, night.value, ? FROM json_each(?) AS item, json_each(?) AS night",
        id,
        ids,
        nights
    )
    .execute(&mut **tx)
    .await?;
    Ok(ReservationId(id))
}

/// Cancels a reservation: its nights are free again, its items and dates stay readable. Cancelling
/// twice changes nothing.
///
/// # Errors
/// [`LendingError::NoSuchReservation`], or the database refused.
pub async fn cancel(tx: &mut WriteTx, id: ReservationId) -> Result<(), LendingError> {
    let state = ReservationState::Cancelled.as_str();
    let found = sqlx::query_scalar!(
        "UPDATE reservation SET state = ? WHERE id = ? RETURNING id",
        state,
        id.0
    )
    .fetch_optional(&mut **tx)
    .await?;
    if found.is_none() {
        return Err(LendingError::NoSuchReservation);
    }
    sqlx::query!("DELETE FROM item_night WHERE reservation_id = ?", id.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// All reservations with their items, by first night.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn reservations(conn: &mut SqliteConnection) -> Result<Vec<Reservation>, LendingError> {
    let rows = sqlx::query_as!(
        ReservationRow,
        "SELECT id, member_id, first_night, last_night, state FROM reservation
         ORDER BY first_night, id"
    )
    .fetch_all(&mut *conn)
    .await?;
    let lines = sqlx::query_as!(
        LineRow,
        "SELECT reservation_id, item_id FROM reservation_item ORDER BY reservation_id, item_id"
    )
    .fetch_all(conn)
    .await?;
    let mut items: BTreeMap<i64, Vec<ItemId>> = BTreeMap::new();
    for line in lines {
        items.entry(line.reservation_id).or_default().push(ItemId(line.item_id));
    }
    rows.into_iter()
        .map(|row| {
            let unreadable =
                |why: String| LendingError::unreadable(format!("Reservation {}", row.id), why);
            let nights = Nights::parse(&row.first_night, &row.last_night)
                .map_err(|why| unreadable(why.to_string()))?;
            let state = ReservationState::parse(&row.state)
                .ok_or_else(|| unreadable(format!("its state {} is not known.", row.state)))?;
            Ok(Reservation {
                id: ReservationId(row.id),
                member: MemberId(row.member_id),
                nights,
                state,
                items: items.remove(&row.id).unwrap_or_default(),
            })
        })
        .collect()
}
