//! The club's one row.

use sqlx::SqliteConnection;

use super::model::{Club, Zone};
use crate::sheet::Name;
use crate::store::WriteTx;

/// Why the club's settings could not be read.
#[derive(Debug, thiserror::Error)]
pub enum ClubError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The stored row makes no sense.
    #[error("The club's settings can't be read from the database: {0}")]
    Unreadable(String),
}

/// The club, once somebody has set it up.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn club(conn: &mut SqliteConnection) -> Result<Option<Club>, ClubError> {
    let row =
        sqlx::query!("SELECT name, time_zone FROM club WHERE id = 1").fetch_optional(conn).await?;
    row.map(|row| {
        Ok(Club {
            name: Name::new(&row.name).map_err(|why| ClubError::Unreadable(why.to_string()))?,
            zone: Zone::new(&row.time_zone)
                .map_err(|why| ClubError::Unreadable(why.to_string()))?,
        })
    })
    .transpose()
}

/// Writes the club's settings over what was there. No reservation moves: a night is a date.
///
/// # Errors
/// The database refused.
pub async fn put_club(tx: &mut WriteTx, club: &Club) -> Result<(), ClubError> {
    let (name, zone) = (club.name.as_str(), club.zone.name());
    sqlx::query!(
        "INSERT INTO club (id, name, time_zone) VALUES (1, ?, ?)
         ON CONFLICT (id) DO UPDATE SET name = excluded.name, time_zone = excluded.time_zone",
        name,
        zone
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
