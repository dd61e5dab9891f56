//! Personal access tokens: how programs sign in. Shown once, kept as a hash.

use jiff::civil::Date;

use super::access::{Account, Scope};
use super::member::MemberId;
use super::session::read_roles;
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};

/// The most living tokens of one account.
pub const MOST_TOKENS: i64 = 20;

/// A day, in seconds.
const DAY: i64 = 24 * 60 * 60;

/// The account behind a token and what the token may be used for, if the token lives. Notes the day on which it was used.
///
/// # Errors
/// The database could not answer.
pub async fn find(
    store: &Store,
    clock: &Clock,
    text: &str,
) -> Result<Option<(Account, Scope)>, StoreError> {
    let hash = secret::hash(text);
    let now = clock.seconds();
    let row = sqlx::query!(
        r#"SELECT account.id, account.name, account.member_id, access_token.scope,
                  access_token.id AS token_id, access_token.last_used_on,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM access_token JOIN account ON account.id = access_token.account_id
           WHERE access_token.token_hash = ?1 AND access_token.revoked_at IS NULL
             AND (access_token.expires_at IS NULL OR access_token.expires_at > ?2)
             AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let today = clock.today().to_string();
    if row.last_used_on.as_deref() != Some(&*today)
        && let Err(error) = note_use(store, row.token_id, &today).await
    {
        // A busy disk is no reason to send a program away.
        tracing::warn!(%error, "the day of an access token's use was not noted");
    }
    let account = Account {
        id: row.id,
        name: row.name,
        member: row.member_id.map(MemberId),
        roles: read_roles(row.roles.as_deref()),
    };
    let scope = if row.scope == Scope::Write.as_str() { Scope::Write } else { Scope::Read };
    Ok(Some((account, scope)))
}

async fn note_use(store: &Store, token: i64, day: &str) -> Result<(), StoreError> {
    let mut tx = store.write().await?;
    sqlx::query!("UPDATE access_token SET last_used_on = ?2 WHERE id = ?1", token, day)
        .execute(&mut *tx)
        .await?;
    tx.commit().await
}

/// Stores a token's hash for an account, under a name that its owner recognises. It never ends by
/// itself.
///
/// # Errors
/// The database could not answer, or the account is not there.
pub async fn add(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    name: &str,
    token: &Secret,
    scope: Scope,
) -> Result<(), StoreError> {
    store_token(tx, clock, account, &NewToken { name, scope, days: None }, token).await
}

/// A token to be made.
#[derive(Clone, Copy, Debug)]
pub struct NewToken<'a> {
    /// What its owner calls it.
    pub name: &'a str,
    /// What it may be used for.
    pub scope: Scope,
    /// How long it lives; none for ever.
    pub days: Option<i64>,
}

/// Makes a token for an account and gives it, to be shown once; `None` where the account has
/// [`MOST_TOKENS`] already.
///
/// # Errors
/// No randomness, or the database could not answer.
pub async fn make(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    new: &NewToken<'_>,
    token: &Secret,
) -> Result<bool, StoreError> {
    let now = clock.seconds();
    let living = sqlx::query_scalar!(
        "SELECT count(*) FROM access_token
         WHERE account_id = ?1 AND revoked_at IS NULL AND (expires_at IS NULL OR expires_at > ?2)",
        account,
        now
    )
    .fetch_one(&mut **tx)
    .await?;
    if living >= MOST_TOKENS {
        return Ok(false);
    }
    store_token(tx, clock, account, new, token).await?;
    Ok(true)
}

async fn store_token(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    new: &NewToken<'_>,
    token: &Secret,
) -> Result<(), StoreError> {
    let (hash, scope, now) = (token.hash(), new.scope.as_str(), clock.seconds());
    let expires = new.days.map(|days| now + days * DAY);
    sqlx::query!(
        "INSERT INTO access_token (account_id, name, token_hash, scope, created_at, expires_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        account,
        new.name,
        hash,
        scope,
        now,
        expires
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// A living token as its owner sees it: everything but the token.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TokenFacts {
    /// Its number.
    pub id: i64,
    /// What its owner calls it.
    pub name: String,
    /// What it may be used for.
    pub scope: Scope,
    /// When it was made, seconds since 1970.
    pub created_at: i64,
    /// When it ends, seconds since 1970; none for never.
    pub expires_at: Option<i64>,
    /// The day of its last use.
    pub last_used_on: Option<Date>,
}

/// The living tokens of an account, newest first.
///
/// # Errors
/// The database could not answer.
pub async fn of_account(
    store: &Store,
    clock: &Clock,
    account: i64,
) -> Result<Vec<TokenFacts>, StoreError> {
    let now = clock.seconds();
    let rows = sqlx::query!(
        "SELECT id, name, scope, created_at, expires_at, last_used_on FROM access_token
         WHERE account_id = ?1 AND revoked_at IS NULL AND (expires_at IS NULL OR expires_at > ?2)
         ORDER BY created_at DESC, id DESC",
        account,
        now
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| TokenFacts {
            id: row.id,
            name: row.name,
            scope: if row.scope == Scope::Write.as_str() { Scope::Write } else { Scope::Read },
            created_at: row.created_at,
            expires_at: row.expires_at,
            last_used_on: row.last_used_on.and_then(|day| day.parse().ok()),
        })
        .collect())
}

/// Revokes a token of this account; whether there was one.
///
/// # Errors
/// The database could not answer.
pub async fn revoke(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    token: i64,
) -> Result<bool, StoreError> {
    let now = clock.seconds();
    let revoked = sqlx::query!(
        "UPDATE access_token SET revoked_at = ?3
         WHERE id = ?1 AND account_id = ?2 AND revoked_at IS NULL",
        token,
        account,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(revoked.rows_affected() == 1)
}
