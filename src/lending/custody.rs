//! What is in somebody's hands.

use sqlx::SqliteConnection;

use super::model::LendingError;
use crate::people::MemberId;
use crate::shelf::{self, AssetTag, ItemId, id_list};

/// The tags of those among these items that are with somebody.
pub(super) async fn in_custody(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<Vec<AssetTag>, LendingError> {
    let ids = id_list(items);
    let out = sqlx::query_scalar!(
        "SELECT item_id FROM custody
         WHERE returned_at IS NULL AND item_id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(&mut *conn)
    .await?;
    let out: Vec<ItemId> = out.into_iter().map(ItemId).collect();
    Ok(shelf::names(conn, &out).await?.into_iter().map(|item| item.tag).collect())
}

/// Whether a member has anything of the club's in their hands.
///
/// # Errors
/// The database could not answer.
pub async fn member_has_custody(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<bool, LendingError> {
    let out = sqlx::query_scalar!(
        "SELECT count(*) FROM custody WHERE member_id = ? AND returned_at IS NULL",
        member.0
    )
    .fetch_one(conn)
    .await?;
    Ok(out > 0)
}

/// Whether a piece is in somebody's hands.
///
/// # Errors
/// The database could not answer.
pub async fn item_in_custody(
    conn: &mut SqliteConnection,
    item: ItemId,
) -> Result<bool, LendingError> {
    let out = sqlx::query_scalar!(
        "SELECT count(*) FROM custody WHERE item_id = ? AND returned_at IS NULL",
        item.0
    )
    .fetch_one(conn)
    .await?;
    Ok(out > 0)
}
