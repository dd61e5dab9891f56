//! Is everything in the database as it should be?

use sqlx::SqliteConnection;

use super::store::{ClubError, club};
use crate::lending::{self, LendingError};
use crate::people::{self, PeopleError};
use crate::shelf::{self, ShelfError};
use crate::store::{Fault, Store, StoreError, check};

/// Looks the whole database over, as it stands at one moment: the file itself, rows that point
/// nowhere, figures out of range, and promises that do not hold. One line for each fault; none when
/// all is well.
///
/// # Errors
/// The database could not be asked at all. A damaged file is a fault, not an error.
pub async fn faults(store: &Store) -> Result<Vec<String>, StoreError> {
    let mut tx = store.reader().begin().await?;
    let mut found = Vec::new();
    match look(&mut tx, &mut found).await {
        Ok(()) => Ok(found),
        Err(error) if Fault::of(&error) == Some(Fault::Corrupt) => {
            found.push(format!("The database file is damaged: {error}."));
            Ok(found)
        }
        Err(error) => Err(error.into()),
    }
}

async fn look(conn: &mut SqliteConnection, found: &mut Vec<String>) -> Result<(), sqlx::Error> {
    found.extend(check::faults(conn).await?);
    match club(conn).await {
        Ok(_) => {}
        Err(ClubError::Database(error)) => return Err(error),
        Err(error @ ClubError::Unreadable(_)) => found.push(error.to_string()),
    }
    match shelf::check::faults(conn).await {
        Ok(faults) => found.extend(faults),
        Err(ShelfError::Database(error)) => return Err(error),
        Err(error) => found.push(error.to_string()),
    }
    match people::check::faults(conn).await {
        Ok(faults) => found.extend(faults),
        Err(PeopleError::Database(error)) => return Err(error),
        Err(error) => found.push(error.to_string()),
    }
    match lending::check::faults(conn).await {
        Ok(faults) => found.extend(faults),
        Err(LendingError::Database(error)) => return Err(error),
        Err(error) => found.push(error.to_string()),
    }
    Ok(())
}
