//! What is wrong with the calendar's rows, whoever wrote them.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::model::{LendingError, ReservationId};
use super::of_piece::use_recounted;
use super::store::reservations;
use super::story::{folds, standing};
use crate::shelf::{self, Use};
use crate::web::format;

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
         JOIN reservation AS a ON a.id = one.reservation_id AND a.state IN ('requested', 'confirmed', 'ready', 'out')
         JOIN reservation AS b ON b.id = two.reservation_id AND b.state IN ('requested', 'confirmed', 'ready', 'out')
         WHERE a.first_night <= b.last_night AND b.first_night <= a.last_night
           AND one.state IN ('planned', 'out') AND two.state IN ('planned', 'out')
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
                     AND kept.kind = 'plan'
                     AND kept.night BETWEEN whole.first_night AND whole.last_night)
                AS \"missing!: i64\"
         FROM reservation AS whole JOIN reservation_item AS line ON line.reservation_id = whole.id
         WHERE whole.state IN ('requested', 'confirmed', 'ready', 'out')
           AND line.state IN ('planned', 'out') ORDER BY 2, 1"
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
                kept.reservation_id AS \"reservation_id!: i64\"
         FROM item_night AS kept
         LEFT JOIN reservation AS whole ON whole.id = kept.reservation_id
         LEFT JOIN reservation_item AS line
              ON line.reservation_id = kept.reservation_id AND line.item_id = kept.item_id
         WHERE kept.reservation_id IS NOT NULL
           AND (whole.id IS NULL OR line.item_id IS NULL OR line.state = 'dropped'
                OR whole.state IN ('declined', 'cancelled', 'no_show')
                OR (kept.kind = 'plan'
                    AND kept.night NOT BETWEEN whole.first_night AND whole.last_night)
                OR (kept.kind <> 'plan' AND kept.night <= whole.last_night))
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
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(empty.into_iter().map(|id| format!("Reservation {id} has no items.")));
    halves(conn, &mut faults).await?;
    custodies(conn, &mut faults).await?;
    stories(conn, &mut faults).await?;
    uses(conn, &mut faults).await?;
    faults.extend(super::blocks::faults(conn).await?);
    faults.extend(super::wait_list::faults(conn).await?);
    Ok(faults)
}

/// Reservations that are promised in part only, or whose state and lines disagree.
async fn halves(conn: &mut SqliteConnection, faults: &mut Vec<String>) -> Result<(), LendingError> {
    let rows = sqlx::query!(
        "SELECT whole.id AS \"id!\", whole.state FROM reservation AS whole
         JOIN reservation_item AS line ON line.reservation_id = whole.id
         GROUP BY whole.id
         HAVING (whole.state IN ('requested', 'confirmed', 'ready')
                 AND (sum(line.state = 'planned') = 0
                      OR sum(line.state IN ('out', 'returned', 'missing')) > 0))
             OR (whole.state = 'out'
                 AND (sum(line.state = 'out') = 0 OR sum(line.state = 'planned') > 0))
             OR (whole.state = 'closed' AND sum(line.state IN ('planned', 'out')) > 0)
         ORDER BY whole.id"
    )
    .fetch_all(conn)
    .await?;
    faults.extend(rows.into_iter().map(|row| {
        format!("Reservation {} is {}, but not all of its items agree.", row.id, row.state)
    }));
    Ok(())
}

/// What is in nobody's hands by the one table and in somebody's by the other.
async fn custodies(
    conn: &mut SqliteConnection,
    faults: &mut Vec<String>,
) -> Result<(), LendingError> {
    let twice = sqlx::query!(
        "SELECT item_id, count(*) AS \"hands!: i64\" FROM custody
         WHERE returned_at IS NULL GROUP BY item_id HAVING count(*) > 1 ORDER BY item_id"
    )
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(
        twice
            .into_iter()
            .map(|row| format!("Item {} is in {} people's hands at once.", row.item_id, row.hands)),
    );
    let unheard = sqlx::query_scalar!(
        "SELECT custody.id AS \"id!\" FROM custody
         JOIN loan ON loan.id = custody.loan_id
         WHERE NOT EXISTS (
             SELECT 1 FROM lending_event AS told, json_each(told.items) AS named
             WHERE told.reservation_id = loan.reservation_id AND told.kind = 'hand_over'
               AND named.value = custody.item_id)
         ORDER BY custody.id"
    )
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(
        unheard.into_iter().map(|id| format!("Custody {id} has no hand-over in its story.")),
    );
    let apart = sqlx::query!(
        "SELECT line.reservation_id AS \"reservation_id!\", line.item_id AS \"item_id!\", line.state
         FROM reservation_item AS line
         LEFT JOIN loan ON loan.reservation_id = line.reservation_id
         LEFT JOIN custody ON custody.loan_id = loan.id AND custody.item_id = line.item_id
         WHERE (line.state IN ('out', 'missing')
                AND (custody.id IS NULL OR custody.returned_at IS NOT NULL))
            OR (line.state = 'returned'
                AND (custody.id IS NULL OR custody.returned_at IS NULL))
            OR (line.state IN ('planned', 'dropped') AND custody.id IS NOT NULL)
         ORDER BY 1, 2"
    )
    .fetch_all(conn)
    .await?;
    faults.extend(apart.into_iter().map(|row| {
        format!(
            "Item {} of reservation {} is {}, but the book of who has what says otherwise.",
            row.item_id, row.reservation_id, row.state
        )
    }));
    Ok(())
}

/// A sum in words; one that went wrong may be below zero.
fn told(sum: i64, one: &str) -> String {
    let many = format!("{one}s");
    usize::try_from(sum)
        .map_or_else(|_| format!("{sum} {many}"), |sum| format::count(sum, one, &many))
}

/// Pieces whose running sums of use differ from what all their loans come to.
async fn uses(conn: &mut SqliteConnection, faults: &mut Vec<String>) -> Result<(), LendingError> {
    let counted = use_recounted(conn).await?;
    let written = shelf::written_use(conn).await?;
    let says = |used: Use| {
        let seen = used.last_seen.map_or_else(|| "never".to_owned(), |at| at.to_string());
        let (times, nights) = (told(used.times, "loan"), told(used.nights, "night"));
        format!("{times}, {nights}, last seen {seen}")
    };
    faults.extend(written.into_iter().filter_map(|piece| {
        let counted = counted.get(&piece.item).copied().unwrap_or_default();
        (piece.used != counted).then(|| {
            format!(
                "The use of {} is written down as {}; counted anew it is {}.",
                piece.tag,
                says(piece.used),
                says(counted)
            )
        })
    }));
    Ok(())
}

/// Reservations that stand elsewhere than their story leads.
async fn stories(
    conn: &mut SqliteConnection,
    faults: &mut Vec<String>,
) -> Result<(), LendingError> {
    let folds = match folds(conn).await {
        Ok(folds) => folds,
        Err(error @ LendingError::Unreadable(..)) => {
            faults.push(error.to_string());
            return Ok(());
        }
        Err(error) => return Err(error),
    };
    let ids =
        sqlx::query_scalar!("SELECT id FROM reservation ORDER BY id").fetch_all(&mut *conn).await?;
    for id in ids {
        // What can't be read was told of already.
        let Ok(Some(stands)) = standing(conn, ReservationId(id)).await else { continue };
        match folds.get(&id) {
            None => faults.push(format!("Reservation {id} has no story.")),
            Some(Err(why)) => {
                faults.push(format!("The story of reservation {id} breaks off: {why}"));
            }
            Some(Ok(told)) if *told != stands => faults.push(format!(
                "Reservation {id} is {}, but its story ends with {}.",
                stands.state.as_str(),
                told.state.as_str()
            )),
            Some(Ok(_)) => {}
        }
    }
    Ok(())
}

/// Tags to speak of items by; the shelf's own faults are not this check's to tell.
async fn tags(conn: &mut SqliteConnection) -> HashMap<i64, String> {
    let names = shelf::all_names(conn).await.unwrap_or_default();
    names.into_iter().map(|name| (name.id.0, name.tag.to_string())).collect()
}
