//! Finding items that are also free on some nights, page by page.

use sqlx::SqliteConnection;

use super::finding::{Wanted, find};
use super::item::{AssetTag, ItemId};
use super::store::{ItemName, ShelfError};
use crate::lending::{self, LendingError, Nights};

/// One page of what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Browsed {
    /// The items, by tag.
    pub items: Vec<ItemName>,
    /// Where the next page begins; none after the last.
    pub next: Option<AssetTag>,
}

/// Finds up to `most` items; where nights are given, only those that can be lent on all of them.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn browse(
    conn: &mut SqliteConnection,
    mut wanted: Wanted,
    nights: Option<Nights>,
    most: usize,
) -> Result<Browsed, ShelfError> {
    // Items are looked at a handful at a time until enough of them are free.
    const HANDFUL: usize = 500;
    let mut items: Vec<ItemName> = Vec::new();
    wanted.in_service |= nights.is_some();
    loop {
        let size = if nights.is_some() { HANDFUL } else { most + 1 };
        let found = find(conn, &wanted, size).await?;
        let last_handful = found.len() < size;
        wanted.after = found.last().map(|item| item.tag.clone()).or(wanted.after);
        match nights {
            None => items.extend(found),
            Some(nights) => {
                let ids: Vec<ItemId> = found.iter().map(|item| item.id).collect();
                let free =
                    lending::free_items(conn, &ids, nights).await.map_err(|error| match error {
                        LendingError::Database(error) => ShelfError::Database(error),
                        other => ShelfError::Calendar(other.to_string()),
                    })?;
                items.extend(found.into_iter().filter(|item| free.contains(&item.id)));
            }
        }
        if last_handful || items.len() > most {
            break;
        }
    }
    let more = items.len() > most;
    items.truncate(most);
    let next = items.last().filter(|_| more).map(|item| item.tag.clone());
    Ok(Browsed { items, next })
}
