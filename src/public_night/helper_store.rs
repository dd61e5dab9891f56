//! The helpers of a public night in the database, and what they were ticked for.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::SqliteConnection;

use super::model::{Helper, NightId, PublicNight};
use super::store::NightError;
use crate::people::MemberId;
use crate::shelf::ItemId;
use crate::store::WriteTx;

/// The helpers of a night, by number.
///
/// # Errors
/// The database could not answer.
pub(super) async fn helpers(
    conn: &mut SqliteConnection,
    id: NightId,
) -> Result<Vec<Helper>, NightError> {
    let rows = sqlx::query!(
        "SELECT number AS \"number!\", member_id, first_name FROM public_night_helper
         WHERE night_id = ? ORDER BY number",
        id.0
    )
    .fetch_all(&mut *conn)
    .await?;
    let ticks =
        sqlx::query!("SELECT number, item_id FROM public_night_may_run WHERE night_id = ?", id.0)
            .fetch_all(conn)
            .await?;
    let mut ticked: BTreeMap<i64, BTreeSet<ItemId>> = BTreeMap::new();
    for tick in ticks {
        ticked.entry(tick.number).or_default().insert(ItemId(tick.item_id));
    }
    Ok(rows
        .into_iter()
        .map(|row| Helper {
            number: row.number,
            member: row.member_id.map(MemberId),
            first_name: row.first_name,
            ticked: ticked.remove(&row.number).unwrap_or_default(),
        })
        .collect())
}

/// Writes the helpers of a night in place of those it had.
///
/// # Errors
/// The database refused.
pub(super) async fn put(tx: &mut WriteTx, night: &PublicNight) -> Result<(), NightError> {
    sqlx::query!("DELETE FROM public_night_helper WHERE night_id = ?", night.id.0)
        .execute(&mut **tx)
        .await?;
    for helper in &night.helpers {
        let member = helper.member.map(|member| member.0);
        sqlx::query!(
            "INSERT INTO public_night_helper (night_id, number, member_id, first_name)
             VALUES (?, ?, ?, ?)",
            night.id.0,
            helper.number,
            member,
            helper.first_name
        )
        .execute(&mut **tx)
        .await?;
        for item in &helper.ticked {
            sqlx::query!(
                "INSERT INTO public_night_may_run (night_id, number, item_id) VALUES (?, ?, ?)",
                night.id.0,
                helper.number,
                item.0
            )
            .execute(&mut **tx)
            .await?;
        }
    }
    Ok(())
}
