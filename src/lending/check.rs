//! What is wrong with the calendar's rows, whoever wrote them.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::model::LendingError;
use super::store::reservations;
use crate::shelf;

/// One line for each promise that does not hold: an item promised twice for one night, nights that
/// are not kept for a reservation or kept for none, reservations without items or with dates that
/// make no sense.
///
/// # Errors
/// The database could not answer.
pub async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, LendingError> {
    let mut faults = Vec::new();
    if let Err(error) = reservations(conn).await {
        match error {
            LendingError::Unreadable(..) => faults.push(error.to_string()),
            error => return Err(error),
        }
    }
    let tags = tags(conn).await;
    let tag = |id: i64| tags.get(&id).cloned().unwrap_or_else(|| format!("Item {id}"));
    let twice = sqlx::query!(
        "SELECT one.item_id AS \"item_id!\", one.reservation_id AS \"one_id!\",
                two.reservation_id AS \"two_id!\",
                max(a.first_night, b.first_night) AS \"first!: String\",
                min(a.last_night, b.last_night) AS \"last!: String\"
         FROM reservation_item AS one
         JOIN reservation_item AS two
              ON two.item_id = one.item_id AND two.reservation_id > one.reservation_id
         JOIN reservation AS a ON a.id = one.reservation_id AND a.state = 'confirmed'
         JOIN reservation AS b ON b.id = two.reservation_id AND b.state = 'confirmed'
         WHERE a.first_night <= b.last_night AND b.first_night <= a.last_night
         ORDER BY 1, 2, 3"
    )
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(twice.into_iter().map(|row| {
        format!(
            "{} is promised twice from {} to {}, by reservations {} and {}.",
            tag(row.item_id),
            row.first,
            row.last,
            row.one_id,
            row.two_id
        )
    }));
    let missing = sqlx::query!(
        "SELECT line.item_id AS \"item_id!\", line.reservation_id AS \"reservation_id!\",
                CAST(julianday(whole.last_night) - julianday(whole.first_night) + 1 AS INTEGER)
                - (SELECT count(*) FROM item_night AS kept
                   WHERE kept.reservation_id = line.reservation_id
                     AND kept.item_id = line.item_id
                     AND kept.night BETWEEN whole.first_night AND whole.last_night)
                AS \"missing!: i64\"
         FROM reservation AS whole JOIN reservation_item AS line ON line.reservation_id = whole.id
         WHERE whole.state = 'confirmed' ORDER BY 2, 1"
    )
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(missing.into_iter().filter(|row| row.missing != 0).map(|row| {
        format!(
            "Reservation {} lacks {} on {} of its nights.",
            row.reservation_id,
            tag(row.item_id),
            row.missing
        )
    }));
    let stray = sqlx::query!(
        "SELECT kept.item_id AS \"item_id!\", kept.night AS \"night!\",
                kept.reservation_id AS \"reservation_id!\"
         FROM item_night AS kept
         LEFT JOIN reservation AS whole ON whole.id = kept.reservation_id
         LEFT JOIN reservation_item AS line
              ON line.reservation_id = kept.reservation_id AND line.item_id = kept.item_id
         WHERE whole.id IS NULL OR line.item_id IS NULL OR whole.state <> 'confirmed'
            OR kept.night NOT BETWEEN whole.first_night AND whole.last_night
         ORDER BY 1, 2"
    )
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(stray.into_iter().map(|row| {
        format!(
            "{} is kept on {} for reservation {}, which does not ask for it.",
            tag(row.item_id),
            row.night,
            row.reservation_id
        )
    }));
    let empty = sqlx::query_scalar!(
        "SELECT id AS \"id!\" FROM reservation
         WHERE id NOT IN (SELECT reservation_id FROM reservation_item) ORDER BY id"
    )
    .fetch_all(conn)
    .await?;
    faults.extend(empty.into_iter().map(|id| format!("Reservation {id} has no items.")));
    Ok(faults)
}

/// Tags to speak of items by; the shelf's own faults are not this check's to tell.
async fn tags(conn: &mut SqliteConnection) -> HashMap<i64, String> {
    let names = shelf::all_names(conn).await.unwrap_or_default();
    names.into_iter().map(|name| (name.id.0, name.tag.to_string())).collect()
}
