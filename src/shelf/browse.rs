//! Finding items that are also free on some nights, page by page.

use std::collections::HashSet;

use sqlx::SqliteConnection;

use super::finding::{Wanted, find_with_keys};
use super::item::{AssetTag, ItemId, ItemState};
use super::store::{ItemName, ShelfError};
use super::suiting::Eyes;
use crate::lending::{self, Nights};

/// One page of what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Browsed {
    /// The items, in the order asked for.
    pub items: Vec<ItemName>,
    /// Where the next page begins; none after the last.
    pub next: Option<AssetTag>,
    /// In other orders than by tag: the key of that item.
    pub next_key: String,
}

/// Finds up to `most` items; where nights are given, only those that can be lent on all of them.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn browse(
    conn: &mut SqliteConnection,
    wanted: Wanted,
    nights: Option<Nights>,
    most: usize,
) -> Result<Browsed, ShelfError> {
    browse_for(conn, wanted, nights, None, most).await
}

/// The same, where eyes are given only of what suits them.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn browse_for(
    conn: &mut SqliteConnection,
    mut wanted: Wanted,
    nights: Option<Nights>,
    eyes: Option<&Eyes>,
    most: usize,
) -> Result<Browsed, ShelfError> {
    // Items are looked at a handful at a time until enough of them are free.
    const HANDFUL: usize = 500;
    let mut items: Vec<(ItemName, String)> = Vec::new();
    if nights.is_some() {
        wanted.states = vec![ItemState::InService];
    }
    loop {
        let sifted = nights.is_some() || eyes.is_some();
        let size = if sifted { HANDFUL } else { most + 1 };
        let found = find_with_keys(conn, &wanted, size).await?;
        let last_handful = found.len() < size;
        if let Some((item, key)) = found.last() {
            wanted.after = Some(item.tag.clone());
            wanted.after_key.clone_from(key);
        }
        let mut ids: Vec<ItemId> = found.iter().map(|(item, _)| item.id).collect();
        if let Some(nights) = nights {
            let free = lending::free_items(conn, &ids, nights).await?;
            ids.retain(|id| free.contains(id));
        }
        if let Some(eyes) = eyes {
            let suit = eyes.suits(conn, &ids).await?;
            ids.retain(|id| suit.contains(id));
        }
        let kept: HashSet<ItemId> = ids.into_iter().collect();
        items.extend(found.into_iter().filter(|(item, _)| kept.contains(&item.id)));
        if last_handful || items.len() > most {
            break;
        }
    }
    let more = items.len() > most;
    items.truncate(most);
    let last = items.last().filter(|_| more);
    Ok(Browsed {
        next: last.map(|(item, _)| item.tag.clone()),
        next_key: last.map(|(_, key)| key.clone()).unwrap_or_default(),
        items: items.into_iter().map(|(item, _)| item).collect(),
    })
}
