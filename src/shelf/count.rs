//! Taking stock: what was seen on the way through the store, and how it came out.

use std::collections::{HashMap, HashSet};

use sqlx::SqliteConnection;

use super::history::Hand;
use super::item::{ItemId, ItemState, named};
use super::store::{ItemName, ShelfError, all_names};
use crate::lending::of_piece::in_hands;
use crate::store::WriteTx;

named! {
    /// How a piece came out of a count.
    Outcome {
        /// Where it should be.
        There = "there",
        /// Seen, though it was held for missing.
        TurnedUp = "turned_up",
        /// With a borrower.
        Out = "out",
        /// Being mended.
        InRepair = "in_repair",
        /// Nobody saw it.
        NotFound = "not_found",
    }
}

impl Outcome {
    /// How a piece comes out.
    pub fn of(state: ItemState, seen: bool, out: bool) -> Self {
        match (seen, state) {
            (true, ItemState::Missing) => Self::TurnedUp,
            (true, _) => Self::There,
            // A piece that somebody has is no riddle, whatever its state.
            (false, _) if out => Self::Out,
            (false, ItemState::InRepair) => Self::InRepair,
            (false, _) => Self::NotFound,
        }
    }

    /// Several of them, as a heading.
    pub const fn heading(self) -> &'static str {
        match self {
            Self::There => "There",
            Self::TurnedUp => "Turned up again",
            Self::Out => "Out on loan",
            Self::InRepair => "Being mended",
            Self::NotFound => "Not found",
        }
    }
}

/// A count, under way or over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Count {
    /// Its number.
    pub id: i64,
    /// When it began, seconds since 1970.
    pub started_at: i64,
    /// Whose account began it.
    pub started_by: Option<i64>,
    /// When it ended; none while it is under way.
    pub ended_at: Option<i64>,
    /// Who answers for it.
    pub signed_name: Option<String>,
}

/// The count that is under way, if one is.
///
/// # Errors
/// The database could not answer.
pub async fn under_way(conn: &mut SqliteConnection) -> Result<Option<Count>, ShelfError> {
    Ok(sqlx::query_as!(
        Count,
        "SELECT id AS \"id!\", started_at, started_by, ended_at, signed_name
         FROM stock_count WHERE ended_at IS NULL"
    )
    .fetch_optional(conn)
    .await?)
}

/// The latest counts that are over.
///
/// # Errors
/// The database could not answer.
pub async fn over(conn: &mut SqliteConnection) -> Result<Vec<Count>, ShelfError> {
    Ok(sqlx::query_as!(
        Count,
        "SELECT id AS \"id!\", started_at, started_by, ended_at, signed_name
         FROM stock_count WHERE ended_at IS NOT NULL ORDER BY id DESC LIMIT 50"
    )
    .fetch_all(conn)
    .await?)
}

/// One count.
///
/// # Errors
/// The database could not answer.
pub async fn count(conn: &mut SqliteConnection, id: i64) -> Result<Option<Count>, ShelfError> {
    Ok(sqlx::query_as!(
        Count,
        "SELECT id AS \"id!\", started_at, started_by, ended_at, signed_name
         FROM stock_count WHERE id = ?",
        id
    )
    .fetch_optional(conn)
    .await?)
}

/// Begins a count; answers whether there was none under way.
///
/// # Errors
/// The database refused.
pub async fn start(tx: &mut WriteTx, hand: Hand) -> Result<bool, ShelfError> {
    if under_way(tx).await?.is_some() {
        return Ok(false);
    }
    sqlx::query!(
        "INSERT INTO stock_count (started_at, started_by) VALUES (?, ?)",
        hand.at,
        hand.account
    )
    .execute(&mut **tx)
    .await?;
    Ok(true)
}

/// Notes that a piece was seen; once is enough, and whoever saw it first is kept.
///
/// # Errors
/// The database refused.
pub async fn see(tx: &mut WriteTx, hand: Hand, count: i64, item: ItemId) -> Result<(), ShelfError> {
    sqlx::query!(
        "INSERT INTO stock_seen (count_id, item_id, seen_at, seen_by) VALUES (?, ?, ?, ?)
         ON CONFLICT (count_id, item_id) DO NOTHING",
        count,
        item.0,
        hand.at,
        hand.account
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Takes a mistaken sighting back.
///
/// # Errors
/// The database refused.
pub async fn unsee(tx: &mut WriteTx, count: i64, item: ItemId) -> Result<(), ShelfError> {
    sqlx::query!("DELETE FROM stock_seen WHERE count_id = ? AND item_id = ?", count, item.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Which pieces were seen in a count.
///
/// # Errors
/// The database could not answer.
pub async fn seen(conn: &mut SqliteConnection, count: i64) -> Result<HashSet<ItemId>, ShelfError> {
    let rows = sqlx::query_scalar!("SELECT item_id FROM stock_seen WHERE count_id = ?", count)
        .fetch_all(conn)
        .await?;
    Ok(rows.into_iter().map(ItemId).collect())
}

/// How everything stands now that is not retired, by tag.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn standing(
    conn: &mut SqliteConnection,
    count: i64,
) -> Result<Vec<(ItemName, Outcome)>, ShelfError> {
    let seen = seen(conn, count).await?;
    let mut all = all_names(conn).await?;
    all.retain(|item| item.state != ItemState::Retired || seen.contains(&item.id));
    all.sort_by(|one, two| one.tag.cmp(&two.tag));
    let ids: Vec<ItemId> = all.iter().map(|item| item.id).collect();
    let out = in_hands(conn, &ids).await?;
    let out: HashSet<ItemId> = out.into_iter().map(|hands| hands.item).collect();
    let told = all.into_iter().map(|item| {
        let outcome = Outcome::of(item.state, seen.contains(&item.id), out.contains(&item.id));
        (item, outcome)
    });
    Ok(told.collect())
}

/// Ends a count that is under way and writes down how it came out; answers whether it was.
///
/// # Errors
/// The database refused.
pub async fn end(
    tx: &mut WriteTx,
    hand: Hand,
    id: i64,
    signed_name: &str,
    lines: &[(ItemName, Outcome)],
) -> Result<bool, ShelfError> {
    let ended = sqlx::query!(
        "UPDATE stock_count SET ended_at = max(?, started_at), ended_by = ?, signed_name = ?
         WHERE id = ? AND ended_at IS NULL",
        hand.at,
        hand.account,
        signed_name,
        id
    )
    .execute(&mut **tx)
    .await?;
    if ended.rows_affected() == 0 {
        return Ok(false);
    }
    for (item, outcome) in lines {
        let outcome = outcome.as_str();
        sqlx::query!(
            "INSERT INTO stock_line (count_id, item_id, outcome) VALUES (?, ?, ?)",
            id,
            item.id.0,
            outcome
        )
        .execute(&mut **tx)
        .await?;
    }
    Ok(true)
}

/// How a count that is over came out, by tag.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn record(
    conn: &mut SqliteConnection,
    id: i64,
) -> Result<Vec<(ItemName, Outcome)>, ShelfError> {
    let rows = sqlx::query!("SELECT item_id, outcome FROM stock_line WHERE count_id = ?", id)
        .fetch_all(&mut *conn)
        .await?;
    let outcomes: HashMap<ItemId, Outcome> = rows
        .into_iter()
        .filter_map(|row| Some((ItemId(row.item_id), Outcome::parse(&row.outcome)?)))
        .collect();
    let ids: Vec<ItemId> = outcomes.keys().copied().collect();
    let mut names = super::store::names(conn, &ids).await?;
    names.sort_by(|one, two| one.tag.cmp(&two.tag));
    let told = names.into_iter().filter_map(|item| {
        let outcome = *outcomes.get(&item.id)?;
        Some((item, outcome))
    });
    Ok(told.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_somebody_has_is_no_riddle_and_what_turns_up_is_told() {
        use ItemState::{InRepair, InService, Missing, NeedsInspection};
        assert_eq!(Outcome::of(InService, true, false), Outcome::There);
        assert_eq!(Outcome::of(Missing, true, false), Outcome::TurnedUp);
        assert_eq!(Outcome::of(InService, false, true), Outcome::Out);
        assert_eq!(Outcome::of(InRepair, false, false), Outcome::InRepair);
        assert_eq!(Outcome::of(NeedsInspection, false, false), Outcome::NotFound);
        assert_eq!(Outcome::of(Missing, false, false), Outcome::NotFound);
        // Seen although the calendar holds it for lent: it came back and nobody noted it.
        assert_eq!(Outcome::of(InService, true, true), Outcome::There);
    }
}
