//! One piece's life in lending: in whose hands it is, and where it has been.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::condition::Condition;
use super::model::{LendingError, ReservationId, stored_night};
use super::night::Night;
use crate::people::MemberId;
use crate::shelf::{ItemId, Use, id_list};

/// A piece that somebody has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InHands {
    /// The piece.
    pub item: ItemId,
    /// Who has it.
    pub member: MemberId,
    /// The reservation it went out with.
    pub reservation: ReservationId,
    /// The last night it was lent for.
    pub due: Night,
}

/// Which of these pieces somebody has.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn in_hands(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<Vec<InHands>, LendingError> {
    let ids = id_list(items);
    let rows = sqlx::query!(
        "SELECT custody.item_id AS \"item_id!\", custody.member_id AS \"member_id!\",
                reservation.id AS \"reservation_id!\", reservation.last_night AS \"last_night!\"
         FROM json_each(?) AS wanted
         JOIN custody ON custody.item_id = wanted.value AND custody.returned_at IS NULL
         JOIN loan ON loan.id = custody.loan_id
         JOIN reservation ON reservation.id = loan.reservation_id",
        ids
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            Ok(InHands {
                item: ItemId(row.item_id),
                member: MemberId(row.member_id),
                reservation: ReservationId(row.reservation_id),
                due: stored_night(&row.last_night)?,
            })
        })
        .collect()
}

/// A piece's way out and back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outing {
    /// Who had it.
    pub member: MemberId,
    /// The reservation it went out with.
    pub reservation: ReservationId,
    /// The last night it was lent for.
    pub due: Night,
    /// When it was handed over, seconds since 1970.
    pub handed_at: i64,
    /// When it came back, seconds since 1970; none while it is out.
    pub returned_at: Option<i64>,
    /// How it came back.
    pub condition: Option<Condition>,
    /// What was noted then.
    pub note: String,
}

impl Outing {
    /// In whose hands the piece is, where this outing has not ended.
    pub fn hands(&self, item: ItemId) -> Option<InHands> {
        self.returned_at.is_none().then_some(InHands {
            item,
            member: self.member,
            reservation: self.reservation,
            due: self.due,
        })
    }
}

/// Outings of a piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outings {
    /// The latest, the last first.
    pub latest: Vec<Outing>,
    /// The one it is on, wherever it stands among the others: while the clock was ahead, others may
    /// have begun later.
    pub now: Option<Outing>,
}

/// The latest outings of a piece that began before an instant, seconds since 1970: so many, and
/// whatever began in the same second as the last of them.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn outings(
    conn: &mut SqliteConnection,
    item: ItemId,
    before: i64,
    most: i64,
) -> Result<Outings, LendingError> {
    let rows = sqlx::query!(
        "WITH last (at) AS (
             SELECT coalesce((SELECT handed_at FROM custody INDEXED BY custody_by_item
                              WHERE item_id = ?1 AND handed_at < ?2
                              ORDER BY handed_at DESC LIMIT 1 OFFSET ?3 - 1), 0)),
         wanted (id) AS (
             SELECT id FROM custody INDEXED BY custody_by_item
             WHERE item_id = ?1 AND handed_at < ?2 AND handed_at >= (SELECT at FROM last)
             UNION
             SELECT id FROM custody INDEXED BY custody_is_one
             WHERE item_id = ?1 AND returned_at IS NULL AND handed_at < ?2)
         SELECT custody.member_id AS \"member_id!\", loan.reservation_id AS \"reservation_id!\",
                reservation.last_night AS \"last_night!\", custody.handed_at AS \"handed_at!\",
                custody.returned_at, custody.condition, custody.note AS \"note!\",
                custody.handed_at >= (SELECT at FROM last) AS \"is_late!: bool\"
         FROM wanted JOIN custody ON custody.id = wanted.id JOIN loan ON loan.id = custody.loan_id
         JOIN reservation ON reservation.id = loan.reservation_id
         ORDER BY custody.handed_at DESC, custody.id DESC",
        item.0,
        before,
        most
    )
    .fetch_all(conn)
    .await?;
    let mut outings = Outings { latest: Vec::with_capacity(rows.len()), now: None };
    for row in rows {
        let outing = Outing {
            member: MemberId(row.member_id),
            reservation: ReservationId(row.reservation_id),
            due: stored_night(&row.last_night)?,
            handed_at: row.handed_at,
            returned_at: row.returned_at,
            condition: row.condition.as_deref().and_then(Condition::parse),
            note: row.note,
        };
        if outing.returned_at.is_none() {
            outings.now = Some(outing.clone());
        }
        if row.is_late {
            outings.latest.push(outing);
        }
    }
    Ok(outings)
}

/// Whose each of these reservations is.
///
/// # Errors
/// The database could not answer.
pub async fn borrowers(
    conn: &mut SqliteConnection,
    reservations: impl IntoIterator<Item = ReservationId>,
) -> Result<HashMap<ReservationId, MemberId>, LendingError> {
    let ids: Vec<String> = reservations.into_iter().map(|id| id.0.to_string()).collect();
    if ids.is_empty() {
        return Ok(HashMap::new());
    }
    let ids = format!("[{}]", ids.join(","));
    let rows = sqlx::query!(
        "SELECT id, member_id FROM reservation WHERE id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(conn)
    .await?;
    let known = rows.into_iter().map(|row| (ReservationId(row.id), MemberId(row.member_id)));
    Ok(known.collect())
}

/// How often each piece went out from an instant on, seconds since 1970; in the order asked.
///
/// # Errors
/// The database could not answer.
pub async fn outings_since(
    conn: &mut SqliteConnection,
    wanted: &[(ItemId, i64)],
) -> Result<Vec<i64>, LendingError> {
    let pairs: Vec<String> = wanted.iter().map(|(item, at)| format!("[{item},{at}]")).collect();
    let pairs = format!("[{}]", pairs.join(","));
    let rows = sqlx::query_scalar!(
        "SELECT (SELECT count(*) FROM custody
                 WHERE custody.item_id = json_extract(wanted.value, '$[0]')
                   AND custody.handed_at >= json_extract(wanted.value, '$[1]')) AS \"times!: i64\"
         FROM json_each(?) AS wanted ORDER BY wanted.key",
        pairs
    )
    .fetch_all(conn)
    .await?;
    Ok(rows)
}

/// Everything that somebody has now, with when it was handed over, seconds since 1970.
///
/// # Errors
/// The database could not answer.
pub async fn out_now(conn: &mut SqliteConnection) -> Result<Vec<(ItemId, i64)>, LendingError> {
    let rows = sqlx::query!(
        "SELECT item_id AS \"item_id!\", handed_at AS \"handed_at!\"
         FROM custody INDEXED BY custody_is_one WHERE returned_at IS NULL"
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (ItemId(row.item_id), row.handed_at)).collect())
}

/// How much every piece was used that ever went out, counted anew from all loans there ever were:
/// what the shelf's running sums have to say too, without the nights of loans that still go on.
///
/// # Errors
/// The database could not answer.
pub(super) async fn use_recounted(
    conn: &mut SqliteConnection,
) -> Result<HashMap<ItemId, Use>, LendingError> {
    let rows = sqlx::query!(
        "SELECT item_id AS \"item_id!\", count(*) AS \"times!: i64\",
                coalesce(sum(max(1, CAST(round((returned_at - handed_at) / 86400.0) AS INTEGER)))
                             FILTER (WHERE returned_at IS NOT NULL), 0) AS \"nights!: i64\",
                max(coalesce(returned_at, handed_at)) AS \"last_seen!: i64\"
         FROM custody GROUP BY item_id"
    )
    .fetch_all(conn)
    .await?;
    let used = rows.into_iter().map(|row| {
        let used = Use { times: row.times, nights: row.nights, last_seen: Some(row.last_seen) };
        (ItemId(row.item_id), used)
    });
    Ok(used.collect())
}
