//! Personal access tokens: how programs sign in. Shown once, kept as a hash.

use super::access::{Account, ApiCaller, Scope};
use super::member::MemberId;
use super::session::read_roles;
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};

/// The caller behind a token, if the token lives.
///
/// # Errors
/// The database could not answer.
pub async fn find(
    store: &Store,
    clock: &Clock,
    text: &str,
) -> Result<Option<ApiCaller>, StoreError> {
    let hash = secret::hash(text);
    let now = clock.seconds();
    let row = sqlx::query!(
        r#"SELECT account.id, account.name, account.member_id, access_token.scope,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM access_token JOIN account ON account.id = access_token.account_id
           WHERE access_token.token_hash = ?1 AND access_token.revoked_at IS NULL
             AND (access_token.expires_at IS NULL OR access_token.expires_at > ?2)
             AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(store.reader())
    .await?;
    Ok(row.map(|row| ApiCaller {
        account: Account {
            id: row.id,
            name: row.name,
            member: row.member_id.map(MemberId),
            roles: read_roles(row.roles.as_deref()),
        },
        scope: if row.scope == Scope::Write.as_str() { Scope::Write } else { Scope::Read },
    }))
}

/// Stores a token's hash for an account, under a name that its owner recognises.
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
    let (hash, scope, now) = (token.hash(), scope.as_str(), clock.seconds());
    sqlx::query!(
        "INSERT INTO access_token (account_id, name, token_hash, scope, created_at)
         VALUES (?1, ?2, ?3, ?4, ?5)",
        account,
        name,
        hash,
        scope,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
