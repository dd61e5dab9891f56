//! Naming one piece in a form: from a list while it is short, by its tag or name beyond.

use sqlx::SqliteConnection;

use super::finding::{Wanted, find, tagged};
use super::item::{AssetTag, ItemState, Kind};
use super::store::{ItemName, NameRow, ShelfError};

/// Most pieces of a kind that a form offers as a list.
pub const MOST_TO_CHOOSE: usize = 200;

/// Most that are named where one was not found.
const MOST_ALIKE: usize = 3;

/// Why what was typed names no piece of the kind that is asked for.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotOne {
    /// None is called so.
    #[error(
        "The club has no {} “{typed}”: write its tag as it stands on the label, or its whole name.{}",
        .kind.word(),
        perhaps(.alike)
    )]
    Unknown {
        /// What was asked for.
        kind: Kind,
        /// What was typed.
        typed: String,
        /// A few that are called much like it.
        alike: Vec<AssetTag>,
    },
    /// Several are called so.
    #[error(
        "Several {} are called “{typed}”: write the tag of one, like {}.",
        .kind.plural().to_lowercase(),
        or(.some)
    )]
    Several {
        /// What was asked for.
        kind: Kind,
        /// What was typed.
        typed: String,
        /// A few of them.
        some: Vec<AssetTag>,
    },
}

fn or(tags: &[AssetTag]) -> String {
    let tags: Vec<&str> = tags.iter().map(AssetTag::as_str).collect();
    tags.join(" or ")
}

fn perhaps(tags: &[AssetTag]) -> String {
    if tags.is_empty() { String::new() } else { format!(" Perhaps {}?", or(tags)) }
}

/// The telescopes that a form offers, by tag; none where they are more than [`MOST_TO_CHOOSE`].
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn telescopes_to_choose(
    conn: &mut SqliteConnection,
) -> Result<Option<Vec<ItemName>>, ShelfError> {
    let most = i64::try_from(MOST_TO_CHOOSE + 1).unwrap_or(i64::MAX);
    let rows = sqlx::query_as!(
        NameRow,
        "SELECT id, kind, asset_tag, name, state FROM item
         WHERE kind = 'telescope' ORDER BY asset_tag LIMIT ?",
        most
    )
    .fetch_all(conn)
    .await?;
    if rows.len() > MOST_TO_CHOOSE {
        return Ok(None);
    }
    Ok(Some(rows.into_iter().map(ItemName::try_from).collect::<Result<_, _>>()?))
}

/// The one piece of this kind with this tag or, where none bears it, of this name. Upper and lower
/// case are the same.
///
/// # Errors
/// The database could not answer, or a row makes no sense. The inner error says why it is not one.
pub async fn one_called(
    conn: &mut SqliteConnection,
    kind: Kind,
    words: &str,
) -> Result<Result<ItemName, NotOne>, ShelfError> {
    let typed = words.trim();
    if let Ok(tag) = AssetTag::new(typed)
        && let Some(item) = tagged(conn, &tag).await?
        && item.kind == kind
    {
        return Ok(Ok(item));
    }
    let most = i64::try_from(MOST_ALIKE).unwrap_or(i64::MAX);
    let word = kind.as_str();
    let rows = sqlx::query_as!(
        NameRow,
        "SELECT id AS \"id!\", kind, asset_tag, name, state FROM item INDEXED BY item_by_name
         WHERE lower(name) = lower(?1) AND kind = ?2 ORDER BY asset_tag LIMIT ?3",
        typed,
        word,
        most
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut named: Vec<ItemName> =
        rows.into_iter().map(ItemName::try_from).collect::<Result<_, _>>()?;
    let tags = |items: Vec<ItemName>| items.into_iter().map(|item| item.tag).collect();
    let typed = typed.to_owned();
    if named.len() > 1 {
        return Ok(Err(NotOne::Several { kind, typed, some: tags(named) }));
    }
    if let Some(one) = named.pop() {
        return Ok(Ok(one));
    }
    let all = ItemState::ALL.iter().copied();
    let wanted = Wanted {
        words: typed.clone(),
        kind: Some(kind),
        states: all.filter(|state| *state != ItemState::Retired).collect(),
        ..Wanted::default()
    };
    let alike = find(conn, &wanted, MOST_ALIKE).await?;
    Ok(Err(NotOne::Unknown { kind, typed, alike: tags(alike) }))
}
