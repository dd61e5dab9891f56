//! The photos of pieces, as the database keeps them.

use sha2::{Digest as _, Sha256};
use sqlx::SqliteConnection;

use super::history::Hand;
use super::item::{ItemId, named};
use super::picture::Picture;
use super::store::{ShelfError, id_list};
use crate::store::WriteTx;

/// The most photos that a piece may have.
pub const MOST_OF_ONE: usize = 40;

named! {
    /// When a photo was taken.
    Occasion {
        /// At any time, to show the piece.
        Shelf = "shelf",
        /// While it was looked over.
        Inspection = "inspection",
        /// When it came back from a loan.
        Return = "return",
    }
}

named! {
    /// The two sizes in which a photo is kept.
    Size {
        /// To be looked at.
        Large = "large",
        /// To be found by.
        Small = "small",
    }
}

/// A photo without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its number.
    pub id: i64,
    /// The piece.
    pub item: ItemId,
    /// When it was taken.
    pub occasion: Occasion,
    /// The inspection that it belongs to.
    pub inspection: Option<i64>,
    /// The large one's width and height, pixels.
    pub size_px: (i64, i64),
    /// When it was added, seconds since 1970.
    pub added_at: i64,
}

impl Photo {
    /// Where one of its sizes is served.
    pub fn address(&self, size: Size) -> String {
        format!("/photos/{}/{}", self.id, size.as_str())
    }
}

/// Whether a piece has room for so many more photos.
///
/// # Errors
/// The database could not answer.
pub async fn has_room(
    conn: &mut SqliteConnection,
    item: ItemId,
    more: usize,
) -> Result<bool, ShelfError> {
    let there = sqlx::query_scalar!("SELECT count(*) FROM photo WHERE item_id = ?", item.0)
        .fetch_one(conn)
        .await?;
    Ok(usize::try_from(there).unwrap_or(usize::MAX).saturating_add(more) <= MOST_OF_ONE)
}

/// Adds photos to a piece. Answers whether there was room for them; where there was not, nothing
/// is added.
///
/// # Errors
/// The database refused.
pub async fn add_photos(
    tx: &mut WriteTx,
    hand: Hand,
    item: ItemId,
    (occasion, inspection): (Occasion, Option<i64>),
    pictures: &[Picture],
) -> Result<bool, ShelfError> {
    if !has_room(tx, item, pictures.len()).await? {
        return Ok(false);
    }
    for picture in pictures {
        let occasion = occasion.as_str();
        let digest = Sha256::digest(&picture.large).to_vec();
        let id = sqlx::query_scalar!(
            "INSERT INTO photo
                 (item_id, occasion, inspection_id, width_px, height_px, digest, added_at, added_by)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING id",
            item.0,
            occasion,
            inspection,
            picture.width_px,
            picture.height_px,
            digest,
            hand.at,
            hand.account
        )
        .fetch_one(&mut **tx)
        .await?;
        for (size, bytes) in [(Size::Large, &picture.large), (Size::Small, &picture.small)] {
            let size = size.as_str();
            sqlx::query!(
                "INSERT INTO photo_file (photo_id, size, bytes) VALUES (?, ?, ?)",
                id,
                size,
                bytes
            )
            .execute(&mut **tx)
            .await?;
        }
    }
    Ok(true)
}

/// The photos of these pieces, the latest first.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn photos(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<Vec<Photo>, ShelfError> {
    let ids = id_list(items);
    let rows = sqlx::query!(
        "SELECT id, item_id, occasion, inspection_id, width_px, height_px, added_at FROM photo
         WHERE item_id IN (SELECT value FROM json_each(?)) ORDER BY id DESC",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Photo {
            id: row.id,
            item: ItemId(row.item_id),
            // The database holds the names to the same three.
            occasion: Occasion::parse(&row.occasion).unwrap_or(Occasion::Shelf),
            inspection: row.inspection_id,
            size_px: (row.width_px, row.height_px),
            added_at: row.added_at,
        })
        .collect())
}

/// The bytes of a photo, if there is such a one.
///
/// # Errors
/// The database could not answer.
pub async fn photo_bytes(
    conn: &mut SqliteConnection,
    id: i64,
    size: Size,
) -> Result<Option<Vec<u8>>, ShelfError> {
    let size = size.as_str();
    let bytes = sqlx::query_scalar!(
        "SELECT bytes FROM photo_file WHERE photo_id = ? AND size = ?",
        id,
        size
    )
    .fetch_optional(conn)
    .await?;
    Ok(bytes)
}

/// Takes a photo off a piece; answers whether it was there.
///
/// # Errors
/// The database refused.
pub async fn remove_photo(tx: &mut WriteTx, item: ItemId, id: i64) -> Result<bool, ShelfError> {
    let gone = sqlx::query!("DELETE FROM photo WHERE id = ? AND item_id = ?", id, item.0)
        .execute(&mut **tx)
        .await?;
    Ok(gone.rows_affected() > 0)
}

/// One line for each photo whose bytes are missing, are no JPEG or are not those that were written.
///
/// # Errors
/// The database could not answer.
pub(super) async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, ShelfError> {
    let rows = sqlx::query!(
        "SELECT photo.id, item.asset_tag, photo.digest FROM photo
         JOIN item ON item.id = photo.item_id ORDER BY photo.id"
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut faults = Vec::new();
    for row in rows {
        for size in Size::ALL {
            let (id, tag, word) = (row.id, &row.asset_tag, size.as_str());
            // One at a time: all of them together may be more than the memory.
            match photo_bytes(conn, id, *size).await? {
                None => faults.push(format!("Photo {id} of {tag} is missing in its {word} size.")),
                Some(bytes) => {
                    let whole = *size == Size::Small
                        || Sha256::digest(&bytes).as_slice() == row.digest.as_slice();
                    if !whole || !bytes.starts_with(b"\xff\xd8\xff") {
                        faults.push(format!(
                            "Photo {id} of {tag} is damaged in its {word} size: take it anew."
                        ));
                    }
                }
            }
        }
    }
    Ok(faults)
}
