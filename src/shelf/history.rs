//! What was changed about an item, by whom, from what to what.

use sqlx::SqliteConnection;

use super::item::{ItemId, Record};
use super::store::ShelfError;
use super::table::{Tabular, cells_of};
use crate::store::WriteTx;

/// Whose hand changes the shelf, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hand {
    /// The account that does it; none for the command line.
    pub account: Option<i64>,
    /// Seconds since 1970.
    pub at: i64,
}

impl Hand {
    /// Somebody's hand at this second.
    pub const fn of(account: i64, at: i64) -> Self {
        Self { account: Some(account), at }
    }

    /// The command line's hand at this second.
    pub const fn of_nobody(at: i64) -> Self {
        Self { account: None, at }
    }
}

/// One field's change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The version that came of it.
    pub version: i64,
    /// The field, by its column in tables.
    pub field: String,
    /// What it said before; none for nothing.
    pub before: Option<String>,
    /// What it says since; none for nothing.
    pub after: Option<String>,
    /// Seconds since 1970.
    pub at: i64,
    /// Whose account did it, where it was one and is still there.
    pub by: Option<i64>,
}

/// Notes that an item was put on the shelf.
pub(super) async fn note_added(
    tx: &mut WriteTx,
    hand: Hand,
    id: ItemId,
    tag: &str,
) -> Result<(), ShelfError> {
    note(tx, hand, id, 1, "asset_tag", None, Some(tag)).await
}

/// Notes every field in which two states of an item differ.
pub(super) async fn note_changed<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    before: &Record<T>,
    after: &Record<T>,
) -> Result<(), ShelfError> {
    let earlier = cells_of(&before.facts, &before.figures);
    let later = cells_of(&after.facts, &after.figures);
    for ((column, earlier), (_, later)) in earlier.into_iter().zip(later) {
        let (earlier, later) = (earlier.plain(), later.plain());
        if earlier != later {
            let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
            let (earlier, later) = (some(&earlier), some(&later));
            note(tx, hand, after.id, after.version, column, earlier.as_deref(), later.as_deref())
                .await?;
        }
    }
    Ok(())
}

pub(super) async fn note(
    tx: &mut WriteTx,
    hand: Hand,
    id: ItemId,
    version: i64,
    field: &str,
    before: Option<&str>,
    after: Option<&str>,
) -> Result<(), ShelfError> {
    sqlx::query!(
        "INSERT INTO item_change (item_id, version, field, before, after, changed_at, changed_by)
         VALUES (?, ?, ?, ?, ?, ?, ?)",
        id.0,
        version,
        field,
        before,
        after,
        hand.at,
        hand.account
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// An item's changes before an instant, seconds since 1970: the latest first, without those of the
/// fields that are left out; of so many versions and of whatever else was changed in the same second
/// as the last of them. The later version need not be the later change: the clock may have been ahead.
///
/// # Errors
/// The database could not answer.
pub(super) async fn changes_before(
    conn: &mut SqliteConnection,
    id: ItemId,
    before: i64,
    most: i64,
    left_out: &[&str],
) -> Result<Vec<Change>, ShelfError> {
    let left_out = serde_json::to_string(left_out);
    let left_out = left_out.map_err(|error| sqlx::Error::Encode(error.into()))?;
    let changes = sqlx::query_as!(
        Change,
        "SELECT version AS \"version!\", field AS \"field!\", before, after, changed_at AS \"at!\",
                changed_by AS by
         FROM item_change INDEXED BY item_change_by_moment
         WHERE item_id = ?1 AND field NOT IN (SELECT value FROM json_each(?4)) AND changed_at < ?2
           AND changed_at >= coalesce((SELECT changed_at FROM item_change INDEXED BY item_change_by_moment
                                       WHERE item_id = ?1 AND changed_at < ?2
                                         AND field NOT IN (SELECT value FROM json_each(?4))
                                       GROUP BY changed_at, version
                                       ORDER BY changed_at DESC, version DESC
                                       LIMIT 1 OFFSET ?3 - 1), 0)
         ORDER BY changed_at DESC, version DESC, field",
        id.0,
        before,
        most,
        left_out
    )
    .fetch_all(conn)
    .await?;
    Ok(changes)
}

/// An item's changes since a version, the latest first, at most so many.
///
/// # Errors
/// The database could not answer.
pub async fn changes(
    conn: &mut SqliteConnection,
    id: ItemId,
    since: i64,
    most: i64,
) -> Result<Vec<Change>, ShelfError> {
    let rows = sqlx::query!(
        "SELECT version, field, before, after, changed_at, changed_by FROM item_change
         WHERE item_id = ? AND version > ? ORDER BY version DESC, field LIMIT ?",
        id.0,
        since,
        most
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Change {
            version: row.version,
            field: row.field,
            before: row.before,
            after: row.after,
            at: row.changed_at,
            by: row.changed_by,
        })
        .collect())
}
