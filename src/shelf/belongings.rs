//! What is kept of a piece, asked in one go.

use sqlx::SqliteConnection;

use super::item::AssetTag;
use super::store::{ItemName, NameRow, ShelfError};

/// What is kept of a piece besides its figures. Most have little of it, and what is not there need
/// not be asked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct There {
    pub(super) photos: bool,
    pub(super) papers: bool,
    pub(super) set: bool,
    pub(super) inspections: bool,
}

/// The piece with this tag and what is kept of it; none where nothing bears it.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub(super) async fn of(
    conn: &mut SqliteConnection,
    tag: &str,
) -> Result<Option<(ItemName, There)>, ShelfError> {
    let Ok(tag) = AssetTag::new(tag) else { return Ok(None) };
    let tag = tag.as_str();
    let row = sqlx::query!(
        r#"SELECT id, kind, asset_tag, name, state,
                  EXISTS (SELECT 1 FROM photo WHERE item_id = item.id) AS "photos!: bool",
                  EXISTS (SELECT 1 FROM item_paper WHERE item_id = item.id) AS "papers!: bool",
                  EXISTS (SELECT 1 FROM set_part WHERE telescope_id = item.id) AS "set!: bool",
                  EXISTS (SELECT 1 FROM inspection WHERE item_id = item.id) AS "inspections!: bool"
           FROM item WHERE asset_tag = ?"#,
        tag
    )
    .fetch_optional(conn)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let there = There {
        photos: row.photos,
        papers: row.papers,
        set: row.set,
        inspections: row.inspections,
    };
    let row = NameRow {
        id: row.id,
        kind: row.kind,
        asset_tag: row.asset_tag,
        name: row.name,
        state: row.state,
    };
    Ok(Some((ItemName::try_from(row)?, there)))
}
