//! One-time links: with one of them a password is chosen, once.

use jiff::SignedDuration;

use super::account;
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};

/// How long an invitation holds.
const LASTS: SignedDuration = SignedDuration::from_hours(7 * 24);
/// How long a link for a new password holds that is handed over in person.
const RESET_LASTS: SignedDuration = SignedDuration::from_mins(30);

/// What a link is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// To make the first administrator.
    FirstAdministrator,
    /// To choose the password of an account that is there.
    Account {
        /// Its number.
        id: i64,
        /// Its owner's name.
        name: String,
        /// Its address.
        email: String,
    },
}

/// Makes a link for an account, in place of any earlier one, and gives the instant at which it ends.
///
/// # Errors
/// The database could not answer.
pub async fn invite(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    link: &Secret,
) -> Result<i64, StoreError> {
    take_back(tx, account).await?;
    add(tx, clock, Some(account), link, LASTS).await
}

/// The same for somebody who forgot their password and stands before whoever makes the link: it
/// holds for half an hour.
///
/// # Errors
/// The database could not answer.
pub async fn reset(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    link: &Secret,
) -> Result<i64, StoreError> {
    take_back(tx, account).await?;
    add(tx, clock, Some(account), link, RESET_LASTS).await
}

/// Takes an account's link back, if there is one.
///
/// # Errors
/// The database could not answer.
pub async fn take_back(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM setup_link WHERE account_id = ?1", account)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Makes the link for the first administrator, in place of any earlier one, unless an
/// administrator is there. Says whether it did.
///
/// # Errors
/// The database could not answer.
pub async fn invite_first(
    tx: &mut WriteTx,
    clock: &Clock,
    link: &Secret,
) -> Result<bool, StoreError> {
    if account::an_administrator_is_there(tx).await? {
        return Ok(false);
    }
    sqlx::query!("DELETE FROM setup_link WHERE account_id IS NULL").execute(&mut **tx).await?;
    add(tx, clock, None, link, LASTS).await?;
    Ok(true)
}

async fn add(
    tx: &mut WriteTx,
    clock: &Clock,
    account: Option<i64>,
    link: &Secret,
    lasts: SignedDuration,
) -> Result<i64, StoreError> {
    let (hash, now) = (link.hash(), clock.seconds());
    let expires = now + lasts.as_secs();
    sqlx::query!("DELETE FROM setup_link WHERE expires_at <= ?1", now).execute(&mut **tx).await?;
    sqlx::query!(
        "INSERT INTO setup_link (token_hash, account_id, created_at, expires_at)
         VALUES (?1, ?2, ?3, ?4)",
        hash,
        account,
        now,
        expires
    )
    .execute(&mut **tx)
    .await?;
    Ok(expires)
}

/// What a link is for, while it holds.
///
/// # Errors
/// The database could not answer.
pub async fn look(store: &Store, clock: &Clock, text: &str) -> Result<Option<Purpose>, StoreError> {
    let (hash, now) = (secret::hash(text), clock.seconds());
    let row = sqlx::query!(
        r#"SELECT setup_link.account_id, account.name AS "name?", account.email AS "email?"
           FROM setup_link LEFT JOIN account ON account.id = setup_link.account_id
           WHERE token_hash = ?1 AND expires_at > ?2 AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    Ok(row.map(|row| match (row.account_id, row.name, row.email) {
        (Some(id), Some(name), Some(email)) => Purpose::Account { id, name, email },
        _ => Purpose::FirstAdministrator,
    }))
}

/// Uses a link up. Says whether it still held: of two who try at once, one is told no.
///
/// # Errors
/// The database could not answer.
pub async fn use_up(tx: &mut WriteTx, clock: &Clock, text: &str) -> Result<bool, StoreError> {
    let (hash, now) = (secret::hash(text), clock.seconds());
    let used =
        sqlx::query!("DELETE FROM setup_link WHERE token_hash = ?1 AND expires_at > ?2", hash, now)
            .execute(&mut **tx)
            .await?;
    Ok(used.rows_affected() == 1)
}
