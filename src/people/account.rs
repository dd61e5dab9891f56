//! Accounts in the database: finding, making, giving roles and passwords.

use sqlx::SqliteConnection;

use super::access::Account;
use super::links;
use super::member::{Email, MemberId};
use super::rights::{Role, Roles};
use super::session::{self, read_roles};

use crate::store::{Fault, Store, StoreError, WriteTx};
use crate::web::clock::Clock;

/// Why an account could not be made.
#[derive(Debug, thiserror::Error)]
pub enum AccountError {
    /// Another account has this address.
    #[error("There is an account with this e-mail address already.")]
    EmailTaken,
    /// The database answered with an error.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<sqlx::Error> for AccountError {
    fn from(error: sqlx::Error) -> Self {
        if Fault::is_taken(&error, "account.email") {
            Self::EmailTaken
        } else {
            Self::Store(error.into())
        }
    }
}

/// What signing in needs to know.
pub(super) struct Credentials {
    pub(super) id: i64,
    pub(super) roles: Roles,
    pub(super) password_hash: Option<String>,
    /// Failures since the last success, over all days.
    pub(super) failures: i64,
}

impl Credentials {
    /// Whether so much was guessed that no password is taken any more, until its owner sets a new
    /// one behind a link (NIST SP 800-63B-4, section 3.2.2).
    pub(super) fn are_barred(&self) -> bool {
        self.failures >= CEILING
    }
}

/// Failures in a row after which only a link helps.
pub(super) const CEILING: i64 = 100;

/// The account with this address, unless it is disabled.
pub(super) async fn credentials(
    store: &Store,
    email: &str,
) -> Result<Option<Credentials>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT id AS "id!", password_hash, failures_in_a_row,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM account WHERE email = ?1 AND disabled_at IS NULL"#,
        email
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    Ok(row.map(|row| Credentials {
        id: row.id,
        roles: read_roles(row.roles.as_deref()),
        password_hash: row.password_hash,
        failures: row.failures_in_a_row,
    }))
}

/// The account with this number, unless it is switched off.
///
/// # Errors
/// The database could not answer.
pub async fn living(conn: &mut SqliteConnection, id: i64) -> Result<Option<Account>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT name, member_id,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM account WHERE id = ?1 AND disabled_at IS NULL"#,
        id
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| Account {
        id,
        name: row.name,
        member: row.member_id.map(MemberId),
        roles: read_roles(row.roles.as_deref()),
    }))
}

/// The accounts with this role that are not switched off, by number.
///
/// # Errors
/// The database could not answer.
pub async fn with_role(conn: &mut SqliteConnection, role: Role) -> Result<Vec<i64>, StoreError> {
    let role = role.as_str();
    let ids = sqlx::query_scalar!(
        r#"SELECT account.id AS "id!" FROM account
           JOIN account_role ON account_role.account_id = account.id
           WHERE account_role.role = ?1 AND account.disabled_at IS NULL ORDER BY account.id"#,
        role
    )
    .fetch_all(conn)
    .await?;
    Ok(ids)
}

/// The roles and failures of an account that is not disabled.
pub(super) async fn credentials_by_id(
    tx: &mut WriteTx,
    account: i64,
) -> Result<Option<Credentials>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT password_hash, failures_in_a_row,
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String"
           FROM account WHERE id = ?1 AND disabled_at IS NULL"#,
        account
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row.map(|row| Credentials {
        id: account,
        roles: read_roles(row.roles.as_deref()),
        password_hash: row.password_hash,
        failures: row.failures_in_a_row,
    }))
}

/// Forgets the failures after a success.
pub(super) async fn forget_failures(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE account SET failures_in_a_row = 0 WHERE id = ?1 AND failures_in_a_row > 0",
        account
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// An account to be made.
#[derive(Clone, Debug)]
pub struct NewAccount<'a> {
    /// The member it belongs to, if it belongs to one.
    pub member: Option<MemberId>,
    /// The person's name.
    pub name: &'a str,
    /// The address for signing in.
    pub email: &'a Email,
    /// What the person is to the club.
    pub roles: &'a Roles,
}

/// Makes an account without a password and gives its number.
///
/// # Errors
/// The address is taken, or the database could not answer.
pub async fn add(
    tx: &mut WriteTx,
    clock: &Clock,
    new: &NewAccount<'_>,
) -> Result<i64, AccountError> {
    let (member, email, now) = (new.member.map(|id| id.0), new.email.as_str(), clock.seconds());
    let id = sqlx::query_scalar!(
        "INSERT INTO account (member_id, name, email, created_at) VALUES (?1, ?2, ?3, ?4)
         RETURNING id",
        member,
        new.name,
        email,
        now
    )
    .fetch_one(&mut **tx)
    .await?;
    for role in new.roles.iter() {
        give_role(tx, id, role).await?;
    }
    Ok(id)
}

/// Gives an account a role that it may have already. A new one ends the account's sessions: with
/// other rights one signs in afresh.
///
/// # Errors
/// The database could not answer.
pub async fn give_role(tx: &mut WriteTx, account: i64, role: Role) -> Result<(), StoreError> {
    let role = role.as_str();
    let given = sqlx::query!(
        "INSERT INTO account_role (account_id, role) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
        account,
        role
    )
    .execute(&mut **tx)
    .await?;
    if given.rows_affected() > 0 {
        session::end_all(tx, account).await?;
    }
    Ok(())
}

/// Sets the hash of a new password and ends every session that the old one had opened, and every
/// link that was on its way.
///
/// # Errors
/// The database could not answer.
pub async fn set_password(tx: &mut WriteTx, account: i64, hash: &str) -> Result<(), StoreError> {
    keep_hash(tx, account, hash).await?;
    forget_failures(tx, account).await?;
    links::end_all(tx, account).await?;
    session::end_all(tx, account).await
}

/// Keeps a fresh hash of the same password.
pub(super) async fn keep_hash(
    tx: &mut WriteTx,
    account: i64,
    hash: &str,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE account SET password_hash = ?2 WHERE id = ?1", account, hash)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// The number of the account with this address.
///
/// # Errors
/// The database could not answer.
pub async fn by_email(tx: &mut WriteTx, email: &Email) -> Result<Option<i64>, StoreError> {
    let email = email.as_str();
    let id = sqlx::query_scalar!(r#"SELECT id AS "id!" FROM account WHERE email = ?1"#, email)
        .fetch_optional(&mut **tx)
        .await?;
    Ok(id)
}

/// The number of a member's account.
///
/// # Errors
/// The database could not answer.
pub async fn of_member(tx: &mut WriteTx, member: MemberId) -> Result<Option<i64>, StoreError> {
    let id =
        sqlx::query_scalar!(r#"SELECT id AS "id!" FROM account WHERE member_id = ?1"#, member.0)
            .fetch_optional(&mut **tx)
            .await?;
    Ok(id)
}

/// Whether an administrator can sign in.
///
/// # Errors
/// The database could not answer.
pub async fn an_administrator_is_there(tx: &mut WriteTx) -> Result<bool, StoreError> {
    let found = sqlx::query_scalar!(
        r#"SELECT EXISTS (
               SELECT 1 FROM account JOIN account_role ON account_role.account_id = account.id
               WHERE role = 'admin' AND password_hash IS NOT NULL AND disabled_at IS NULL
           ) AS "found: bool""#
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(found)
}

/// Who can be written to under an address: number, name and address, unless the account is
/// disabled.
pub(super) async fn reachable(
    tx: &mut WriteTx,
    email: &str,
) -> Result<Option<(i64, String, Email)>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT id AS "id!", name, email FROM account WHERE email = ?1 AND disabled_at IS NULL"#,
        email
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row.and_then(|row| Some((row.id, row.name, Email::new(&row.email).ok()?))))
}

/// Gives an account another address to sign in with, and ends the links that went to the old one.
pub(super) async fn set_email(
    tx: &mut WriteTx,
    account: i64,
    email: &Email,
) -> Result<(), AccountError> {
    let email = email.as_str();
    sqlx::query!("UPDATE account SET email = ?2 WHERE id = ?1", account, email)
        .execute(&mut **tx)
        .await?;
    links::end_all(tx, account).await?;
    Ok(())
}

/// Gives an account's owner another name.
pub(super) async fn set_name(tx: &mut WriteTx, account: i64, name: &str) -> Result<(), StoreError> {
    sqlx::query!("UPDATE account SET name = ?2 WHERE id = ?1", account, name)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// The address that an account signs in with, and its password's hash.
pub(super) async fn address_and_hash(
    store: &Store,
    account: i64,
) -> Result<Option<(String, Option<String>)>, StoreError> {
    let row = sqlx::query!("SELECT email, password_hash FROM account WHERE id = ?1", account)
        .fetch_optional(&mut *store.reader().acquire().await?)
        .await?;
    Ok(row.map(|row| (row.email, row.password_hash)))
}
