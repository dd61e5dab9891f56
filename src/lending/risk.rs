//! Reservations that may not come off as promised: a piece is late coming back, or left service.
//! Worked out each time, never stored.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::model::{LendingError, ReservationId, stored_night};
use super::night::Night;
use crate::shelf::{self, ItemId, ItemName, ItemState, id_list};
use crate::web::format;

/// How many nights before its first one a late piece puts a reservation at risk.
const SEEN_BEFORE: i32 = 7;

/// What is wrong with a piece of a reservation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// It should have been back after this night.
    Late(Night),
    /// It is not in service.
    OutOfService(ItemState),
}

/// A piece that puts a reservation at risk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Risk {
    /// The reservation.
    pub reservation: ReservationId,
    /// The piece.
    pub item: ItemName,
    /// What is wrong with it.
    pub why: Why,
}

impl Risk {
    /// One sentence about it, without its present borrower.
    pub fn says(&self) -> String {
        let (tag, name) = (&self.item.tag, &self.item.name);
        match &self.why {
            Why::Late(due) => format!(
                "{tag} {name} should have been back on {} and is still out.",
                format::night(due.morning())
            ),
            Why::OutOfService(state) => format!("{tag} {name} {}.", state.words()),
        }
    }
}

/// Every piece that puts a reservation at risk tonight, by reservation and piece.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn at_risk(
    conn: &mut SqliteConnection,
    tonight: Night,
) -> Result<Vec<Risk>, LendingError> {
    let (now, soon) =
        (tonight.to_string(), tonight.later(SEEN_BEFORE).unwrap_or(tonight).to_string());
    let late = sqlx::query!(
        "SELECT line.reservation_id AS \"reservation_id!\", line.item_id AS \"item_id!\",
                late.last_night AS \"due!\"
         FROM reservation AS late
         JOIN reservation_item AS away ON away.reservation_id = late.id AND away.state = 'out'
         JOIN reservation_item AS line ON line.item_id = away.item_id
              AND line.state IN ('planned', 'out') AND line.state = 'planned'
         JOIN reservation AS whole ON whole.id = line.reservation_id
         WHERE late.state IN ('requested', 'confirmed', 'ready', 'out')
           AND late.state = 'out' AND late.last_night < ?1
           AND whole.state IN ('requested', 'confirmed', 'ready')
           AND whole.first_night <= ?2 AND whole.last_night >= ?1",
        now,
        soon
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut found: BTreeMap<(ReservationId, ItemId), Why> = BTreeMap::new();
    for row in late {
        let why = Why::Late(stored_night(&row.due)?);
        found.insert((ReservationId(row.reservation_id), ItemId(row.item_id)), why);
    }
    let idle = id_list(&shelf::out_of_service(conn).await?);
    let planned = sqlx::query!(
        "SELECT line.reservation_id AS \"reservation_id!\", line.item_id AS \"item_id!\"
         FROM json_each(?1) AS idle
         JOIN reservation_item AS line ON line.item_id = idle.value
              AND line.state IN ('planned', 'out') AND line.state = 'planned'
         JOIN reservation AS whole ON whole.id = line.reservation_id
         WHERE whole.state IN ('requested', 'confirmed', 'ready') AND whole.last_night >= ?2",
        idle,
        now
    )
    .fetch_all(&mut *conn)
    .await?;
    let planned: Vec<(ReservationId, ItemId)> = planned
        .into_iter()
        .map(|row| (ReservationId(row.reservation_id), ItemId(row.item_id)))
        .collect();
    let mut ids: Vec<ItemId> =
        planned.iter().map(|(_, item)| *item).chain(found.keys().map(|(_, item)| *item)).collect();
    ids.sort_unstable();
    ids.dedup();
    let names: BTreeMap<ItemId, ItemName> =
        shelf::names(conn, &ids).await?.into_iter().map(|item| (item.id, item)).collect();
    for key in planned {
        if let Some(name) = names.get(&key.1) {
            found.insert(key, Why::OutOfService(name.state));
        }
    }
    Ok(found
        .into_iter()
        .filter_map(|((reservation, item), why)| {
            Some(Risk { reservation, item: names.get(&item)?.clone(), why })
        })
        .collect())
}
