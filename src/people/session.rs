//! Sessions: who has signed in, and until when.

use jiff::SignedDuration;

use super::access::Account;
use super::member::MemberId;
use super::rights::{Role, Roles};
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};

/// How long a member stays signed in: 30 days (trust level AAL1 of NIST SP 800-63B-4).
pub const MEMBER_LASTS: SignedDuration = SignedDuration::from_hours(30 * 24);
/// How long staff stay signed in: a day, or an hour without asking for anything (AAL2).
pub const STAFF_LASTS: SignedDuration = SignedDuration::from_hours(24);
/// How long staff may be idle.
pub const STAFF_IDLE: SignedDuration = SignedDuration::from_hours(1);
/// A visit is noted again after this long, so that reading costs no write each time.
const NOTED_EVERY: SignedDuration = SignedDuration::from_secs(60);

/// The account behind a session's id, if the session lives.
///
/// # Errors
/// The database could not answer.
pub async fn find(store: &Store, clock: &Clock, id: &str) -> Result<Option<Account>, StoreError> {
    let hash = secret::hash(id);
    let now = clock.seconds();
    let Some(row) = sqlx::query!(
        r#"SELECT account.id, account.name, account.member_id, session.last_seen_at,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM session JOIN account ON account.id = session.account_id
           WHERE session.id_hash = ?1 AND session.expires_at > ?2 AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(store.reader())
    .await?
    else {
        return Ok(None);
    };
    let roles = read_roles(row.roles.as_deref());
    let idle = now - row.last_seen_at;
    if roles.are_staff() && idle > STAFF_IDLE.as_secs() {
        return Ok(None);
    }
    if idle > NOTED_EVERY.as_secs() {
        let mut tx = store.write().await?;
        sqlx::query!("UPDATE session SET last_seen_at = ?2 WHERE id_hash = ?1", hash, now)
            .execute(&mut *tx)
            .await?;
        tx.commit().await?;
    }
    Ok(Some(Account { id: row.id, name: row.name, member: row.member_id.map(MemberId), roles }))
}

/// Roles as the database lists them: words with spaces between.
pub(super) fn read_roles(words: Option<&str>) -> Roles {
    Roles::of(words.unwrap_or("").split(' ').filter_map(Role::parse))
}

/// Begins a session and gives its id, which is shown to nobody but the browser. `former` is the
/// id that the browser had before; it is dead from now on.
///
/// # Errors
/// The database could not answer.
pub async fn begin(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    roles: &Roles,
    id: &Secret,
    former: Option<&str>,
) -> Result<(), StoreError> {
    if let Some(former) = former {
        end(tx, former).await?;
    }
    let now = clock.seconds();
    sqlx::query!("DELETE FROM session WHERE expires_at <= ?1", now).execute(&mut **tx).await?;
    let expires = now + lasts(roles).as_secs();
    let hash = id.hash();
    sqlx::query!(
        "INSERT INTO session (id_hash, account_id, created_at, last_seen_at, expires_at)
         VALUES (?1, ?2, ?3, ?3, ?4)",
        hash,
        account,
        now,
        expires
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// How long a session of these roles lasts.
#[must_use]
pub fn lasts(roles: &Roles) -> SignedDuration {
    if roles.are_staff() { STAFF_LASTS } else { MEMBER_LASTS }
}

/// Ends one session.
///
/// # Errors
/// The database could not answer.
pub async fn end(tx: &mut WriteTx, id: &str) -> Result<(), StoreError> {
    let hash = secret::hash(id);
    sqlx::query!("DELETE FROM session WHERE id_hash = ?1", hash).execute(&mut **tx).await?;
    Ok(())
}

/// Ends every session of an account, as after a new password.
///
/// # Errors
/// The database could not answer.
pub async fn end_all(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM session WHERE account_id = ?1", account).execute(&mut **tx).await?;
    Ok(())
}
