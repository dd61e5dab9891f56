//! Asking to join: whether anybody may, who waits, and what an administrator answers.

use super::account;
use super::member::Email;
use crate::audit::{Actor, Subject, note};
use crate::sheet::Name;
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;

/// So many may wait at once; more are turned away until somebody has answered.
pub const MOST_WAITING: i64 = 200;
/// The longest message, in characters.
pub const LONGEST_MESSAGE: usize = 500;

/// Somebody who waits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// Its number.
    pub id: i64,
    /// The name they gave.
    pub name: String,
    /// The address they gave.
    pub email: String,
    /// What they wrote.
    pub says: String,
    /// When, in seconds since 1970.
    pub asked_at: i64,
}

/// Whether anybody may ask to join. Unless the club has said so, nobody may.
///
/// # Errors
/// The database could not answer.
pub async fn is_open(store: &Store) -> Result<bool, StoreError> {
    let open = sqlx::query_scalar!(r#"SELECT open AS "open: bool" FROM joining WHERE id = 1"#)
        .fetch_optional(&mut *store.reader().acquire().await?)
        .await?;
    Ok(open.unwrap_or(false))
}

/// Says whether anybody may ask to join.
///
/// # Errors
/// The database could not answer.
pub async fn set_open(tx: &mut WriteTx, who: &Actor, open: bool) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO joining (id, open) VALUES (1, ?1)
         ON CONFLICT (id) DO UPDATE SET open = excluded.open",
        open
    )
    .execute(&mut **tx)
    .await?;
    let deed = if open { "asking to join allowed" } else { "asking to join stopped" };
    note(tx, who, deed, Subject::NONE, "").await
}

/// Notes that somebody asks, unless their address has an account or waits already: outwardly all
/// three are the same. Says whether there was room.
///
/// # Errors
/// The database could not answer.
pub async fn ask(
    tx: &mut WriteTx,
    clock: &Clock,
    name: &Name,
    email: &Email,
    says: &str,
) -> Result<bool, StoreError> {
    let waiting =
        sqlx::query_scalar!("SELECT count(*) FROM join_request").fetch_one(&mut **tx).await?;
    if waiting >= MOST_WAITING {
        return Ok(false);
    }
    if account::by_email(tx, email).await?.is_some() {
        return Ok(true);
    }
    let (name, email, now) = (name.as_str(), email.as_str(), clock.seconds());
    sqlx::query!(
        "INSERT INTO join_request (name, email, says, asked_at) VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (email) DO NOTHING",
        name,
        email,
        says,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(true)
}

/// Those who wait, the longest first.
///
/// # Errors
/// The database could not answer.
pub async fn waiting(store: &Store) -> Result<Vec<Request>, StoreError> {
    let rows = sqlx::query_as!(
        Request,
        r#"SELECT id AS "id!", name, email, says, asked_at FROM join_request
           ORDER BY asked_at, id"#
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    Ok(rows)
}

/// Takes a request off the list and gives it, to be answered in the same transaction.
///
/// # Errors
/// The database could not answer.
pub async fn take(tx: &mut WriteTx, id: i64) -> Result<Option<Request>, StoreError> {
    let row = sqlx::query_as!(
        Request,
        r#"DELETE FROM join_request WHERE id = ?1
           RETURNING id AS "id!", name AS "name!", email AS "email!", says AS "says!",
                     asked_at AS "asked_at!""#,
        id
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row)
}
