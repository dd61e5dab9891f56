//! Names for numbers, for pages that tell who did or has something.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::member::MemberId;
use crate::store::StoreError;

fn list(ids: impl IntoIterator<Item = i64>) -> String {
    let ids: Vec<String> = ids.into_iter().map(|id| id.to_string()).collect();
    format!("[{}]", ids.join(","))
}

/// The names behind these accounts; those that were erased have none.
///
/// # Errors
/// The database could not answer.
pub async fn of_accounts(
    conn: &mut SqliteConnection,
    ids: impl IntoIterator<Item = i64>,
) -> Result<HashMap<i64, String>, StoreError> {
    let ids = list(ids);
    let rows = sqlx::query!(
        "SELECT id AS \"id!\", name FROM account WHERE id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.id, row.name)).collect())
}

/// The members behind these accounts; some accounts are no member's.
///
/// # Errors
/// The database could not answer.
pub async fn members_of_accounts(
    conn: &mut SqliteConnection,
    ids: impl IntoIterator<Item = i64>,
) -> Result<HashMap<i64, MemberId>, StoreError> {
    let ids = list(ids);
    let rows = sqlx::query!(
        "SELECT id AS \"id!\", member_id FROM account
         WHERE id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().filter_map(|row| Some((row.id, MemberId(row.member_id?)))).collect())
}

/// The names of these members.
///
/// # Errors
/// The database could not answer.
pub async fn of_members(
    conn: &mut SqliteConnection,
    ids: impl IntoIterator<Item = MemberId>,
) -> Result<HashMap<MemberId, String>, StoreError> {
    let ids = list(ids.into_iter().map(|id| id.0));
    let rows = sqlx::query!(
        "SELECT id AS \"id!\", name FROM member WHERE id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (MemberId(row.id), row.name)).collect())
}
