//! Nights for which the club keeps pieces back itself.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::booking::checked_items;
use super::keeping::night_list;
use super::model::{LendingError, NotReserved, Origin, ReservationId, stored_night};
use super::night::{Night, Nights};
use super::store::clashes_of;
use crate::shelf::{self, AssetTag, ItemId, id_list};
use crate::store::WriteTx;

/// Names one block in the database.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BlockId(pub i64);

/// Some pieces that the club keeps back for some nights.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// Its number.
    pub id: BlockId,
    /// Why: "mirror to be cleaned".
    pub reason: String,
    /// The nights.
    pub nights: Nights,
    /// The pieces, by tag.
    pub tags: Vec<AssetTag>,
}

/// Keeps pieces back: all of them for all nights, or none. On an error, drop the transaction.
///
/// # Errors
/// [`NotReserved`], naming pieces that are not there or are promised already.
pub async fn keep_back(
    tx: &mut WriteTx,
    items: &[ItemId],
    nights: Nights,
    reason: &str,
    now: i64,
) -> Result<BlockId, NotReserved> {
    // What is in repair may be kept back as well.
    let items = checked_items(tx, items, Origin::Recorded).await?;
    let clashes = clashes_of(tx, &items, nights, &BTreeMap::new(), ReservationId(-1)).await?;
    if !clashes.is_empty() {
        return Err(NotReserved::Clashes(clashes));
    }
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    Ok(BlockId(write(tx, &ids, nights, reason, now).await.map_err(LendingError::from)?))
}

async fn write(
    tx: &mut WriteTx,
    items: &[ItemId],
    nights: Nights,
    reason: &str,
    now: i64,
) -> sqlx::Result<i64> {
    let reason: String = reason.trim().chars().take(200).collect();
    let id = sqlx::query_scalar!(
        "INSERT INTO club_block (reason, created_at) VALUES (?, ?) RETURNING id AS \"id!\"",
        reason,
        now
    )
    .fetch_one(&mut **tx)
    .await?;
    let (items, nights) = (id_list(items), night_list(nights));
    sqlx::query!(
        "INSERT INTO item_night (item_id, night, kind, holder_id)
         SELECT item.value, night.value, 'block', ? FROM json_each(?) AS item, json_each(?) AS night",
        id,
        items,
        nights
    )
    .execute(&mut **tx)
    .await?;
    Ok(id)
}

/// Gives kept pieces back to the members from tonight on. Answers whether there was such a block.
///
/// # Errors
/// The database refused.
pub async fn give_back(tx: &mut WriteTx, id: BlockId) -> Result<bool, LendingError> {
    sqlx::query!("DELETE FROM item_night WHERE kind = 'block' AND holder_id = ?", id.0)
        .execute(&mut **tx)
        .await?;
    let gone = sqlx::query!("DELETE FROM club_block WHERE id = ?", id.0).execute(&mut **tx).await?;
    Ok(gone.rows_affected() == 1)
}

/// The blocks that are not over on the night `from`, by first night; at most 200.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn blocks(conn: &mut SqliteConnection, from: Night) -> Result<Vec<Block>, LendingError> {
    let from = from.to_string();
    let rows = sqlx::query!(
        "SELECT club_block.id AS \"id!\", club_block.reason AS \"reason!\",
                min(kept.night) AS \"first!: String\", max(kept.night) AS \"last!: String\",
                json_group_array(DISTINCT kept.item_id) AS \"items!: String\"
         FROM club_block
         JOIN item_night AS kept ON kept.kind = 'block' AND kept.holder_id = club_block.id
         GROUP BY club_block.id HAVING max(kept.night) >= ?
         ORDER BY min(kept.night), club_block.id LIMIT 200",
        from
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut found = Vec::new();
    for row in rows {
        let unreadable = |why: String| LendingError::unreadable(format!("Block {}", row.id), why);
        let items: Vec<i64> =
            serde_json::from_str(&row.items).map_err(|why| unreadable(why.to_string()))?;
        let items: Vec<ItemId> = items.into_iter().map(ItemId).collect();
        let names = shelf::names(conn, &items).await?;
        found.push(Block {
            id: BlockId(row.id),
            reason: row.reason,
            nights: Nights::new(stored_night(&row.first)?, stored_night(&row.last)?)
                .map_err(|why| unreadable(why.to_string()))?,
            tags: names.into_iter().map(|item| item.tag).collect(),
        });
    }
    Ok(found)
}

/// One sentence for each block without nights, and each night kept for no block.
///
/// # Errors
/// The database could not answer.
pub(super) async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, LendingError> {
    let empty = sqlx::query_scalar!(
        "SELECT id AS \"id!\" FROM club_block
         WHERE NOT EXISTS (SELECT 1 FROM item_night AS kept
                           WHERE kept.kind = 'block' AND kept.holder_id = club_block.id)"
    )
    .fetch_all(&mut *conn)
    .await?;
    let stray = sqlx::query!(
        "SELECT kept.item_id, kept.night FROM item_night AS kept
         WHERE kept.kind = 'block' AND NOT EXISTS (SELECT 1 FROM club_block WHERE id = kept.holder_id)"
    )
    .fetch_all(conn)
    .await?;
    let empty = empty.into_iter().map(|id| format!("The club's block {id} keeps no nights."));
    let stray = stray.into_iter().map(|row| {
        format!("Item {} is kept back on {} by no block of the club's.", row.item_id, row.night)
    });
    Ok(empty.chain(stray).collect())
}
