//! What is wrong with the shelf's rows, whoever wrote them.

use sqlx::SqliteConnection;

use super::accessory::AccessoryRecord;
use super::model::{BarlowRecord, EyepieceRecord, FilterRecord, TelescopeRecord};
use super::photos;
use super::rows::Unreadable;
use super::store::{
    ShelfError, accessory_rows, barlow_rows, eyepiece_rows, filter_rows, telescope_rows,
};

/// One line for each row that makes no sense: figures out of range or at odds with each other, and
/// items without figures, photos without their bytes.
///
/// # Errors
/// The database could not answer.
pub async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, ShelfError> {
    fn unreadable<R, T: TryFrom<R, Error = Unreadable>>(
        rows: Vec<R>,
    ) -> impl Iterator<Item = String> {
        rows.into_iter().filter_map(|row| T::try_from(row).err()).map(|error| error.to_string())
    }
    let mut faults = Vec::new();
    faults.extend(unreadable::<_, TelescopeRecord>(telescope_rows(conn).await?));
    faults.extend(unreadable::<_, EyepieceRecord>(eyepiece_rows(conn).await?));
    faults.extend(unreadable::<_, BarlowRecord>(barlow_rows(conn).await?));
    faults.extend(unreadable::<_, FilterRecord>(filter_rows(conn).await?));
    faults.extend(unreadable::<_, AccessoryRecord>(accessory_rows(conn).await?));
    let bare = sqlx::query!(
        "SELECT asset_tag, kind FROM item
         WHERE id NOT IN (SELECT item_id FROM telescope UNION SELECT item_id FROM eyepiece
                          UNION SELECT item_id FROM barlow UNION SELECT item_id FROM filter
                          UNION SELECT item_id FROM accessory)
         ORDER BY asset_tag"
    )
    .fetch_all(&mut *conn)
    .await?;
    faults.extend(photos::faults(&mut *conn).await?);
    faults.extend(bare.iter().map(|item| {
        format!(
            "Item {} has none of the figures that its kind ({}) needs.",
            item.asset_tag, item.kind
        )
    }));
    Ok(faults)
}
