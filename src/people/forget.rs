//! Forgetting a person: the rows that others point at stay, emptied; everything else goes.

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::member::MemberId;
use super::member_store::PeopleError;
use crate::store::{StoreError, WriteTx};

/// The facts of an account that its owner may take along.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountFacts {
    /// The address for signing in.
    pub email: String,
    /// The name.
    pub name: String,
    /// When it was made, seconds since 1970.
    pub created_at: i64,
    /// The roles, with spaces between.
    pub roles: String,
}

/// What is kept of an account, without its password's hash.
///
/// # Errors
/// [`PeopleError::NotThere`], or the database could not answer.
pub async fn account_facts(
    conn: &mut SqliteConnection,
    account: i64,
) -> Result<AccountFacts, PeopleError> {
    let row = sqlx::query!(
        r#"SELECT email, name, created_at,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM account WHERE id = ?1"#,
        account
    )
    .fetch_optional(conn)
    .await?
    .ok_or(PeopleError::NotThere)?;
    Ok(AccountFacts {
        email: row.email,
        name: row.name,
        created_at: row.created_at,
        roles: row.roles.unwrap_or_default(),
    })
}

/// A session: when it began, was last used, and ends, in seconds since 1970.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SessionTimes {
    /// Began.
    pub created_at: i64,
    /// Last used.
    pub last_seen_at: i64,
    /// Ends.
    pub expires_at: i64,
    /// The address without its end, if it was noted.
    pub place: Option<String>,
    /// The kind of browser, if it was noted.
    pub browser: Option<String>,
}

/// The sessions of an account, the oldest first; never their ids.
///
/// # Errors
/// The database could not answer.
pub async fn session_times(
    conn: &mut SqliteConnection,
    account: i64,
) -> Result<Vec<SessionTimes>, PeopleError> {
    Ok(sqlx::query_as!(
        SessionTimes,
        "SELECT created_at, last_seen_at, expires_at, place, browser FROM session WHERE account_id = ?1
         ORDER BY created_at",
        account
    )
    .fetch_all(conn)
    .await?)
}

/// Whether this is the only account that can administer the service.
///
/// # Errors
/// The database could not answer.
pub async fn is_last_administrator(
    conn: &mut SqliteConnection,
    account: i64,
) -> Result<bool, PeopleError> {
    let last = sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM account_role WHERE account_id = ?1 AND role = 'admin')
              AND NOT EXISTS (
                  SELECT 1 FROM account_role JOIN account ON account.id = account_role.account_id
                  WHERE role = 'admin' AND account.id <> ?1 AND disabled_at IS NULL
                    AND password_hash IS NOT NULL
              ) AS "last!: bool""#,
        account
    )
    .fetch_one(conn)
    .await?;
    Ok(last)
}

/// Empties an account: nobody signs in with it any more, and its address is free again.
///
/// # Errors
/// The database refused.
pub async fn forget_account(tx: &mut WriteTx, account: i64, now: i64) -> Result<(), StoreError> {
    for statement in [
        sqlx::query!("DELETE FROM session WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM access_token WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM setup_link WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM mail_link WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM half_sign_in WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM recovery_code WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM second_factor WHERE account_id = ?1", account),
        sqlx::query!("DELETE FROM account_role WHERE account_id = ?1", account),
    ] {
        statement.execute(&mut **tx).await?;
    }
    // `invalid` is a domain that nobody ever has (RFC 2606, section 2).
    sqlx::query!(
        "UPDATE account SET name = 'Erased', email = 'erased-' || id || '@erased.invalid',
             password_hash = NULL, disabled_at = coalesce(disabled_at, ?2)
         WHERE id = ?1",
        account,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Empties a member's row and takes away what is known of their eyes and their guardian. What they
/// borrowed stays in the club's statistics, under a number that leads to nobody.
///
/// # Errors
/// The database refused.
pub async fn forget_member(
    tx: &mut WriteTx,
    member: MemberId,
    today: Date,
) -> Result<(), StoreError> {
    for statement in [
        sqlx::query!("DELETE FROM member_eye WHERE member_id = ?1", member.0),
        sqlx::query!("DELETE FROM guardian WHERE member_id = ?1", member.0),
        sqlx::query!("DELETE FROM adult_proof WHERE member_id = ?1", member.0),
    ] {
        statement.execute(&mut **tx).await?;
    }
    let day = today.to_string();
    sqlx::query!(
        "UPDATE member SET member_number = 'erased-' || id, name = 'Erased member', email = NULL,
             joined = NULL, state = 'left', erased_on = ?2, version = version + 1
         WHERE id = ?1",
        member.0,
        day
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
