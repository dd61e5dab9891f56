//! Sessions: who has signed in, and until when.

use jiff::SignedDuration;

use super::access::Account;
use super::member::MemberId;
use super::rights::{Role, Roles};
use super::second::half;
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};

/// How long a member stays signed in: 30 days (trust level AAL1 of NIST SP 800-63B-4).
pub const MEMBER_LASTS: SignedDuration = SignedDuration::from_hours(30 * 24);
/// How long staff stay signed in: a day, or an hour without asking for anything (AAL2).
pub const STAFF_LASTS: SignedDuration = SignedDuration::from_hours(24);
/// How long staff may be idle.
pub const STAFF_IDLE: SignedDuration = SignedDuration::from_hours(1);
/// How far a session may seem to have begun in the future; one from further on began under a clock
/// that was wrong, and would last for as long as it was wrong by.
const AHEAD: i64 = 300;
/// A visit is noted again after this long, so that reading costs no write each time.
const NOTED_EVERY: SignedDuration = SignedDuration::from_secs(60);

/// What a session knows of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SessionFacts {
    /// Its name in its owner's list. It is made of the id's hash and opens nothing.
    pub handle: String,
    /// When it began, in seconds since 1970.
    pub begun_at: i64,
    /// Whether its owner has a second factor in force.
    pub has_second_factor: bool,
}

/// The account behind a session's id and the session itself, if it lives.
///
/// # Errors
/// The database could not answer.
pub async fn find(
    store: &Store,
    clock: &Clock,
    id: &str,
) -> Result<Option<(Account, SessionFacts)>, StoreError> {
    let hash = secret::hash(id);
    let now = clock.seconds();
    let Some(row) = sqlx::query!(
        r#"SELECT account.id, account.name, account.member_id, session.created_at,
                  session.last_seen_at,
                  EXISTS (SELECT 1 FROM second_factor WHERE account_id = account.id
                          AND confirmed_at IS NOT NULL) AS "second: bool",
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM session JOIN account ON account.id = session.account_id
           WHERE session.id_hash = ?1 AND session.expires_at > ?2 AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?
    else {
        return Ok(None);
    };
    let roles = read_roles(row.roles.as_deref());
    let idle = now - row.last_seen_at;
    // Asked of the roles as they are now: who became staff meanwhile is held to staff's limits.
    let age = now - row.created_at;
    let over = age > lasts(&roles).as_secs() || age < -AHEAD;
    if over || (roles.are_staff() && idle > STAFF_IDLE.as_secs()) {
        return Ok(None);
    }
    // A clock that was set back counts like one that went on.
    if idle.abs() > NOTED_EVERY.as_secs() {
        let mut tx = store.write().await?;
        sqlx::query!("UPDATE session SET last_seen_at = ?2 WHERE id_hash = ?1", hash, now)
            .execute(&mut *tx)
            .await?;
        tx.commit().await?;
    }
    let account =
        Account { id: row.id, name: row.name, member: row.member_id.map(MemberId), roles };
    let facts = SessionFacts {
        handle: handle(&hash),
        begun_at: row.created_at,
        has_second_factor: row.second,
    };
    Ok(Some((account, facts)))
}

/// The first half of the hash's digits: enough to tell sessions apart.
fn handle(hash: &[u8]) -> String {
    secret::hex(hash).chars().take(16).collect()
}

/// Roles as the database lists them: words with spaces between.
pub(super) fn read_roles(words: Option<&str>) -> Roles {
    Roles::of(words.unwrap_or("").split(' ').filter_map(Role::parse))
}

/// A session to be begun.
#[derive(Clone, Copy, Debug)]
pub struct New<'a> {
    /// Whose it is.
    pub account: i64,
    /// What they are to the club.
    pub roles: &'a Roles,
    /// The id that the browser had before; it is dead from now on.
    pub former: Option<&'a str>,
    /// The address without its end.
    pub place: &'a str,
    /// The kind of browser.
    pub browser: &'a str,
}

/// Begins a session under an id that is shown to nobody but the browser.
///
/// # Errors
/// The database could not answer.
pub async fn begin(
    tx: &mut WriteTx,
    clock: &Clock,
    id: &Secret,
    new: &New<'_>,
) -> Result<(), StoreError> {
    if let Some(former) = new.former {
        end(tx, former).await?;
    }
    let now = clock.seconds();
    sqlx::query!("DELETE FROM session WHERE expires_at <= ?1", now).execute(&mut **tx).await?;
    let expires = now + lasts(new.roles).as_secs();
    let hash = id.hash();
    sqlx::query!(
        "INSERT INTO session (id_hash, account_id, created_at, last_seen_at, expires_at, place,
                              browser)
         VALUES (?1, ?2, ?3, ?3, ?4, ?5, ?6)",
        hash,
        new.account,
        now,
        expires,
        new.place,
        new.browser
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

/// Ends every session of an account, and every sign-in that was half done, as after a new password.
///
/// # Errors
/// The database could not answer.
pub async fn end_all(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM session WHERE account_id = ?1", account).execute(&mut **tx).await?;
    half::end_all(tx, account).await
}

/// A session in its owner's list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedSession {
    /// Its name in the list.
    pub handle: String,
    /// When it began, in seconds since 1970.
    pub begun_at: i64,
    /// When it was last used, to a minute.
    pub seen_at: i64,
    /// The address without its end, if it was noted.
    pub place: Option<String>,
    /// The kind of browser, if it was noted.
    pub browser: Option<String>,
}

/// The living sessions of an account, the last used first.
///
/// # Errors
/// The database could not answer.
pub async fn of_account(
    store: &Store,
    clock: &Clock,
    account: i64,
    roles: &Roles,
) -> Result<Vec<ListedSession>, StoreError> {
    let now = clock.seconds();
    let idle = if roles.are_staff() { STAFF_IDLE } else { MEMBER_LASTS };
    let (begun_after, seen_after) = (now - lasts(roles).as_secs(), now - idle.as_secs());
    let rows = sqlx::query!(
        "SELECT id_hash, created_at, last_seen_at, place, browser FROM session
         WHERE account_id = ?1 AND expires_at > ?2 AND created_at >= ?3 AND last_seen_at >= ?4
         ORDER BY last_seen_at DESC, created_at DESC",
        account,
        now,
        begun_after,
        seen_after
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| ListedSession {
            handle: handle(&row.id_hash),
            begun_at: row.created_at,
            seen_at: row.last_seen_at,
            place: row.place,
            browser: row.browser,
        })
        .collect())
}

/// Ends one of an account's sessions by its name in the list. Says whether there was one.
///
/// # Errors
/// The database could not answer.
pub async fn end_one(tx: &mut WriteTx, account: i64, name: &str) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "DELETE FROM session WHERE account_id = ?1 AND lower(substr(hex(id_hash), 1, 16)) = ?2",
        account,
        name
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Ends every session of an account but one.
///
/// # Errors
/// The database could not answer.
pub async fn end_others(tx: &mut WriteTx, account: i64, own: &str) -> Result<(), StoreError> {
    sqlx::query!(
        "DELETE FROM session WHERE account_id = ?1 AND lower(substr(hex(id_hash), 1, 16)) <> ?2",
        account,
        own
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
