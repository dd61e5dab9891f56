//! Looking after accounts: roles, switching off and on, ending sessions. Who may do what to whom is
//! decided here, inside the transaction that does it.

use super::access::Account;
use super::rights::{Deed, Role, Roles};
use super::session::{self, read_roles};
use crate::audit::{Actor, Subject, note};
use crate::store::{Store, StoreError, WriteTx};
use crate::web::problem::Problem;

/// An account as those see it who look after accounts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountFacts {
    /// Its number.
    pub id: i64,
    /// The member it belongs to.
    pub member: Option<i64>,
    /// The person's name.
    pub name: String,
    /// The address for signing in.
    pub email: String,
    /// What the person is to the club.
    pub roles: Roles,
    /// When it was made, in seconds since 1970.
    pub created_at: i64,
    /// Whether it is switched off.
    pub disabled: bool,
    /// Whether a password has been chosen.
    pub has_password: bool,
    /// Sessions that live.
    pub sessions: i64,
    /// The last sign of life of one of those, in seconds since 1970.
    pub last_seen_at: Option<i64>,
    /// Access tokens that live.
    pub tokens: i64,
}

/// The account with this number.
///
/// # Errors
/// The database could not answer.
pub async fn account(store: &Store, now: i64, id: i64) -> Result<Option<AccountFacts>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT id AS "id!", member_id, name, email, created_at, disabled_at,
                  password_hash IS NOT NULL AS "has_password!: bool",
                  (SELECT group_concat(role, ' ') FROM account_role
                   WHERE account_id = account.id) AS "roles: String",
                  (SELECT count(*) FROM session
                   WHERE account_id = account.id AND expires_at > ?2) AS "sessions!: i64",
                  (SELECT max(last_seen_at) FROM session
                   WHERE account_id = account.id) AS "last_seen_at: i64",
                  (SELECT count(*) FROM access_token
                   WHERE account_id = account.id AND revoked_at IS NULL
                     AND (expires_at IS NULL OR expires_at > ?2)) AS "tokens!: i64"
           FROM account WHERE id = ?1"#,
        id,
        now
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    Ok(row.map(|row| AccountFacts {
        id: row.id,
        member: row.member_id,
        name: row.name,
        email: row.email,
        roles: read_roles(row.roles.as_deref()),
        created_at: row.created_at,
        disabled: row.disabled_at.is_some(),
        has_password: row.has_password,
        sessions: row.sessions,
        last_seen_at: row.last_seen_at,
        tokens: row.tokens,
    }))
}

/// The account that belongs to a member.
///
/// # Errors
/// The database could not answer.
pub async fn account_of_member(store: &Store, member: i64) -> Result<Option<i64>, StoreError> {
    let id = sqlx::query_scalar!(r#"SELECT id AS "id!" FROM account WHERE member_id = ?1"#, member)
        .fetch_optional(&mut *store.reader().acquire().await?)
        .await?;
    Ok(id)
}

/// The name and address of an account.
pub(super) async fn name_and_address(
    tx: &mut WriteTx,
    id: i64,
) -> Result<Option<(String, String)>, StoreError> {
    let row = sqlx::query!("SELECT name, email FROM account WHERE id = ?1", id)
        .fetch_optional(&mut **tx)
        .await?;
    Ok(row.map(|row| (row.name, row.email)))
}

/// Whether somebody may make a link that opens an account with these roles. Who looks after the
/// shelf may open members' accounts only: otherwise the link would be a way to more rights.
#[must_use]
pub fn may_open(who: &Account, roles: &Roles) -> bool {
    who.roles.may(Deed::ManageAccounts)
        || (who.roles.may(Deed::Invite) && roles.iter().all(|role| role == Role::Member))
}

/// What an account is like inside a transaction.
pub(super) struct Standing {
    pub(super) roles: Roles,
    pub(super) disabled: bool,
}

pub(super) async fn standing(tx: &mut WriteTx, id: i64) -> Result<Standing, Problem> {
    let row = sqlx::query!(
        r#"SELECT disabled_at, (SELECT group_concat(role, ' ') FROM account_role
                                WHERE account_id = account.id) AS "roles: String"
           FROM account WHERE id = ?1"#,
        id
    )
    .fetch_optional(&mut **tx)
    .await?;
    let row = row.ok_or_else(no_such_person)?;
    Ok(Standing { roles: read_roles(row.roles.as_deref()), disabled: row.disabled_at.is_some() })
}

/// 404 for somebody who is not there.
pub(super) fn no_such_person() -> Problem {
    Problem::not_found("There is no such person.")
        .next("Look for them in the list of people.")
        .way("People", "/people")
}

/// Whether another administrator can sign in.
async fn another_administrator(tx: &mut WriteTx, id: i64) -> Result<bool, StoreError> {
    let found = sqlx::query_scalar!(
        r#"SELECT EXISTS (
               SELECT 1 FROM account JOIN account_role ON account_role.account_id = account.id
               WHERE role = 'admin' AND password_hash IS NOT NULL AND disabled_at IS NULL
                 AND account.id <> ?1
           ) AS "found: bool""#,
        id
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(found)
}

fn last_administrator() -> Problem {
    Problem::conflict("This is the only administrator who can sign in.")
        .next("Make somebody else an administrator first.")
        .way("People", "/people")
}

/// Gives an account exactly these roles, and ends its sessions where they change, so that it goes
/// on with the new ones only.
///
/// # Errors
/// 404 without such an account, 409 for the last administrator, or the database could not answer.
pub async fn set_roles(
    tx: &mut WriteTx,
    who: &Actor,
    id: i64,
    wanted: &Roles,
) -> Result<bool, Problem> {
    let Standing { roles, .. } = standing(tx, id).await?;
    if roles == *wanted {
        return Ok(false);
    }
    let loses_admin = roles.include(Role::Admin) && !wanted.include(Role::Admin);
    if loses_admin && !another_administrator(tx, id).await? {
        return Err(last_administrator());
    }
    let subject = Subject::of("account", id);
    for role in Role::ALL {
        let word = role.as_str();
        match (roles.include(role), wanted.include(role)) {
            (false, true) => {
                super::account::give_role(tx, id, role).await?;
                note(tx, who, "role given", subject, word).await?;
            }
            (true, false) => {
                sqlx::query!(
                    "DELETE FROM account_role WHERE account_id = ?1 AND role = ?2",
                    id,
                    word
                )
                .execute(&mut **tx)
                .await?;
                note(tx, who, "role taken away", subject, word).await?;
            }
            _ => {}
        }
    }
    session::end_all(tx, id).await?;
    Ok(true)
}

/// Switches an account off for good measure: its sessions end, its tokens are revoked, its links
/// hold no more.
///
/// # Errors
/// 404 without such an account, 409 for the last administrator, or the database could not answer.
pub async fn disable(tx: &mut WriteTx, who: &Actor, now: i64, id: i64) -> Result<(), Problem> {
    let Standing { roles, disabled } = standing(tx, id).await?;
    if disabled {
        return Ok(());
    }
    if roles.include(Role::Admin) && !another_administrator(tx, id).await? {
        return Err(last_administrator());
    }
    sqlx::query!("UPDATE account SET disabled_at = ?2 WHERE id = ?1", id, now)
        .execute(&mut **tx)
        .await?;
    session::end_all(tx, id).await?;
    sqlx::query!(
        "UPDATE access_token SET revoked_at = ?2 WHERE account_id = ?1 AND revoked_at IS NULL",
        id,
        now
    )
    .execute(&mut **tx)
    .await?;
    // A link from before would set a password once the account is on again.
    super::setup::take_back(tx, id).await?;
    super::links::end_all(tx, id).await?;
    note(tx, who, "account switched off", Subject::of("account", id), "").await?;
    Ok(())
}

/// Switches an account on again. Its tokens stay revoked.
///
/// # Errors
/// 404 without such an account, or the database could not answer.
pub async fn enable(tx: &mut WriteTx, who: &Actor, id: i64) -> Result<(), Problem> {
    if !standing(tx, id).await?.disabled {
        return Ok(());
    }
    sqlx::query!("UPDATE account SET disabled_at = NULL WHERE id = ?1", id)
        .execute(&mut **tx)
        .await?;
    note(tx, who, "account switched on", Subject::of("account", id), "").await?;
    Ok(())
}

/// Ends every session of an account.
///
/// # Errors
/// 404 without such an account, or the database could not answer.
pub async fn end_sessions(tx: &mut WriteTx, who: &Actor, id: i64) -> Result<(), Problem> {
    standing(tx, id).await?;
    session::end_all(tx, id).await?;
    note(tx, who, "sessions ended", Subject::of("account", id), "").await?;
    Ok(())
}
