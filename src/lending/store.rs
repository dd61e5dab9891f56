//! The calendar in the database: what is free and what is promised.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use sqlx::SqliteConnection;

use super::model::{
    Clash, LendingError, Promise, Reservation, ReservationId, ReservationState, stored_night,
};
use super::night::{Night, Nights};
use super::rules::ItemRule;
use crate::people::MemberId;
use crate::shelf::{self, ItemId, ItemName, Shelf, id_list};

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
    reservation_id: Option<i64>,
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
    "SELECT taken.item_id AS \"item_id!\", taken.reservation_id,
            min(taken.night) AS \"first!: String\", max(taken.night) AS \"last!: String\"
     FROM json_each(?1) AS wanted
     JOIN item_night AS taken ON taken.item_id = wanted.value AND taken.night BETWEEN ?2 AND ?3
     GROUP BY taken.item_id, taken.reservation_id, taken.holder_id
     ORDER BY 1, 3",
    async fn promise_rows(items: &str, first: &str, last: &str) -> PromiseRow
        = query_as as PromiseRow
}

planned! {
    CLASH_PLAN,
    "SELECT taken.item_id AS \"item_id!\", taken.night AS \"night!\"
     FROM json_each(?1) AS wanted
     JOIN item_night AS taken ON taken.item_id = wanted.value AND taken.night BETWEEN ?2 AND ?3
     WHERE taken.reservation_id IS NOT ?4
     ORDER BY 1, 2",
    async fn clash_rows(items: &str, first: &str, last: &str, except: i64) -> NightRow
        = query_as as NightRow
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
                reservation: row.reservation_id.map(ReservationId),
            })
        })
        .collect()
}

/// The nights on which these items are somebody else's: the wanted ones, and those in which each
/// is looked after when it is back.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn clashes_of(
    conn: &mut SqliteConnection,
    items: &[ItemName],
    nights: Nights,
    rules: &BTreeMap<ItemId, ItemRule>,
    except: ReservationId,
) -> Result<Vec<Clash>, LendingError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let longest = rules.values().map(|rule| rule.turnaround_nights).max().unwrap_or(0);
    let until = nights.last().later(longest).unwrap_or(nights.last());
    let (first, last) = (nights.first().to_string(), until.to_string());
    let mut taken: BTreeMap<ItemId, Vec<Night>> = BTreeMap::new();
    for row in clash_rows(conn, &id_list(&ids), &first, &last, except.0).await? {
        let (item, night) = (ItemId(row.item_id), stored_night(&row.night)?);
        let own = rules.get(&item).map_or(0, |rule| rule.turnaround_nights);
        if nights.last().later(own).is_some_and(|until| night <= until) {
            taken.entry(item).or_default().push(night);
        }
    }
    let clash = |item: &ItemName| {
        let taken = Nights::runs(taken.remove(&item.id)?);
        Some(Clash { item: item.id, tag: item.tag.clone(), taken })
    };
    Ok(items.iter().filter_map(clash).collect())
}

/// Every night of `nights` on which any of these items is spoken for.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn taken_nights(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<BTreeSet<Night>, LendingError> {
    let taken = taken_by_item(conn, items, nights).await?;
    Ok(taken.into_iter().map(|(_, night)| night).collect())
}

/// Which of these items are spoken for on which of the nights, by item and night.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn taken_by_item(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<Vec<(ItemId, Night)>, LendingError> {
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let rows = clash_rows(conn, &id_list(items), &first, &last, -1).await?;
    rows.into_iter().map(|row| Ok((ItemId(row.item_id), stored_night(&row.night)?))).collect()
}

/// Whether anything was lent for nights that began before this one.
///
/// # Errors
/// The database could not answer.
pub async fn has_lent_before(
    conn: &mut SqliteConnection,
    night: Night,
) -> Result<bool, LendingError> {
    let night = night.to_string();
    let found = sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM reservation
                          WHERE state IN ('out', 'closed') AND first_night < ?) AS "found: bool""#,
        night
    );
    Ok(found.fetch_one(conn).await?)
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
        "SELECT reservation_id, item_id FROM reservation_item WHERE state <> 'dropped'
         ORDER BY reservation_id, item_id"
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
