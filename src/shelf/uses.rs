//! How much pieces are used, from the sums that the database keeps with every hand-over and return.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::item::{AssetTag, ItemId, ItemState};
use super::store::{ItemName, NameRow, ShelfError, id_list};
use crate::lending::of_piece::out_now as handed_out;

/// How much a piece was used.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Use {
    /// How often it went out.
    pub times: i64,
    /// Nights it was out, the present loan's so far included; each loan counts at least one.
    pub nights: i64,
    /// When it was last handed over or brought back, seconds since 1970; none if it never went out.
    pub last_seen: Option<i64>,
}

/// A piece with how much it was used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    /// The piece.
    pub item: ItemName,
    /// How much it was used.
    pub used: Use,
}

/// Where a page of the list begins: after the piece with so many nights and this tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct After {
    /// Its nights.
    pub nights: i64,
    /// Its tag.
    pub tag: AssetTag,
}

struct UseRow {
    id: i64,
    kind: String,
    asset_tag: String,
    name: String,
    state: String,
    times_out: i64,
    nights_out: i64,
    last_seen: Option<i64>,
}

impl UseRow {
    fn used(self) -> Result<Used, ShelfError> {
        let used =
            Use { times: self.times_out, nights: self.nights_out, last_seen: self.last_seen };
        let Self { id, kind, asset_tag, name, state, .. } = self;
        Ok(Used { item: NameRow { id, kind, asset_tag, name, state }.try_into()?, used })
    }
}

/// Nights of a loan that still goes on, by the hands' clock; counted as the database counts those
/// that are over.
fn nights_so_far(handed_at: i64, now: i64) -> i64 {
    const A_DAY_S: f64 = 86_400.0;
    let days = ((now - handed_at) as f64 / A_DAY_S).round();
    (days as i64).max(1)
}

/// The pieces that somebody has now, with when they were handed over, seconds since 1970.
async fn out_now(conn: &mut SqliteConnection) -> Result<HashMap<ItemId, i64>, ShelfError> {
    let out = handed_out(conn).await;
    Ok(out.map_err(|error| ShelfError::Calendar(error.to_string()))?.into_iter().collect())
}

fn in_order(pieces: &mut [Used]) {
    pieces.sort_by(|one, two| {
        two.used.nights.cmp(&one.used.nights).then_with(|| one.item.tag.cmp(&two.item.tag))
    });
}

/// The pieces that are not retired, the most used first, at most so many; `now` in seconds since
/// 1970.
///
/// Reads no more of the shelf than it gives, and what is out now.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn most_used(
    conn: &mut SqliteConnection,
    now: i64,
    after: Option<&After>,
    most: usize,
) -> Result<Vec<Used>, ShelfError> {
    let out = out_now(conn).await?;
    let ids: Vec<ItemId> = out.keys().copied().collect();
    let ids = id_list(&ids);
    let (nights, tag) = after.map_or((i64::MAX, ""), |after| (after.nights, after.tag.as_str()));
    let limit = i64::try_from(most).unwrap_or(i64::MAX);
    let rows = sqlx::query_as!(
        UseRow,
        "SELECT id AS \"id!\", kind AS \"kind!\", asset_tag AS \"asset_tag!\", name AS \"name!\",
                state AS \"state!\", times_out AS \"times_out!\", nights_out AS \"nights_out!\", last_seen
         FROM item INDEXED BY item_by_use
         WHERE state <> 'retired' AND nights_out <= ?1 AND (nights_out < ?1 OR asset_tag > ?2)
           AND id NOT IN (SELECT value FROM json_each(?3))
         ORDER BY nights_out DESC, asset_tag LIMIT ?4",
        nights,
        tag,
        ids,
        limit
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut pieces = rows.into_iter().map(UseRow::used).collect::<Result<Vec<_>, _>>()?;
    // What is out has more nights than are written down, and takes its place among the others.
    let rows = sqlx::query_as!(
        UseRow,
        "SELECT id AS \"id!\", kind AS \"kind!\", asset_tag AS \"asset_tag!\", name AS \"name!\",
                state AS \"state!\", times_out AS \"times_out!\", nights_out AS \"nights_out!\", last_seen
         FROM item
         WHERE id IN (SELECT value FROM json_each(?)) AND state <> 'retired'",
        ids
    )
    .fetch_all(conn)
    .await?;
    for row in rows {
        let piece = with_present_loan(row.used()?, &out, now);
        let comes_after = after.is_none_or(|after| {
            piece.used.nights < after.nights
                || (piece.used.nights == after.nights && piece.item.tag > after.tag)
        });
        if comes_after {
            pieces.push(piece);
        }
    }
    in_order(&mut pieces);
    pieces.truncate(most);
    Ok(pieces)
}

fn with_present_loan(mut piece: Used, out: &HashMap<ItemId, i64>, now: i64) -> Used {
    if let Some(handed_at) = out.get(&piece.item.id) {
        piece.used.nights += nights_so_far(*handed_at, now);
    }
    piece
}

/// Every piece that is not retired, the most used first; `now` in seconds since 1970.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn all_used(conn: &mut SqliteConnection, now: i64) -> Result<Vec<Used>, ShelfError> {
    let out = out_now(conn).await?;
    let rows = every_row(conn).await?;
    let mut pieces = Vec::with_capacity(rows.len());
    for row in rows {
        let piece = row.used()?;
        if piece.item.state != ItemState::Retired {
            pieces.push(with_present_loan(piece, &out, now));
        }
    }
    in_order(&mut pieces);
    Ok(pieces)
}

async fn every_row(conn: &mut SqliteConnection) -> sqlx::Result<Vec<UseRow>> {
    sqlx::query_as!(
        UseRow,
        "SELECT id AS \"id!\", kind AS \"kind!\", asset_tag AS \"asset_tag!\", name AS \"name!\",
                state AS \"state!\", times_out AS \"times_out!\", nights_out AS \"nights_out!\", last_seen
         FROM item
         ORDER BY asset_tag"
    )
    .fetch_all(conn)
    .await
}

/// How many pieces are not retired, and how many of them never went out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UseCount {
    /// Pieces that are not retired.
    pub pieces: usize,
    /// Those that never went out.
    pub never: usize,
}

/// Counts them.
///
/// # Errors
/// The database could not answer.
pub async fn count_used(conn: &mut SqliteConnection) -> Result<UseCount, ShelfError> {
    let row = sqlx::query!(
        "SELECT count(*) AS \"pieces!: i64\",
                count(*) FILTER (WHERE times_out = 0) AS \"never!: i64\"
         FROM item INDEXED BY item_by_use WHERE state <> 'retired'"
    )
    .fetch_one(conn)
    .await?;
    let count = |number: i64| usize::try_from(number).unwrap_or_default();
    Ok(UseCount { pieces: count(row.pieces), never: count(row.never) })
}

/// What is written down of a piece's use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The piece.
    pub item: ItemId,
    /// Its tag as it is stored, whether it is one or not.
    pub tag: String,
    /// Its sums, without the nights of a loan that still goes on.
    pub used: Use,
}

/// The sums as they are written down: every piece, by tag. Nothing else of a piece is read, so that
/// one which makes no sense hides no other.
///
/// # Errors
/// The database could not answer.
pub async fn written_use(conn: &mut SqliteConnection) -> Result<Vec<Written>, ShelfError> {
    let rows = sqlx::query!(
        "SELECT id, asset_tag, times_out, nights_out, last_seen FROM item ORDER BY asset_tag"
    )
    .fetch_all(conn)
    .await?;
    let written = rows.into_iter().map(|row| Written {
        item: ItemId(row.id),
        tag: row.asset_tag,
        used: Use { times: row.times_out, nights: row.nights_out, last_seen: row.last_seen },
    });
    Ok(written.collect())
}
