//! Where letters to somebody go.

use sqlx::SqliteConnection;

use super::member::{Email, MemberId};
use crate::store::StoreError;

/// Somebody to whom a letter can be sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Addressee {
    /// The name to greet them by.
    pub name: String,
    /// The address, if there is a usable one.
    pub email: Option<Email>,
    /// Their account, if they have one that is not disabled.
    pub account: Option<i64>,
}

/// Where letters to a member go: to the address they sign in with, or else to the one in the list.
/// `None` when there is no such member, or they have left.
///
/// # Errors
/// The database could not answer.
pub async fn addressee_of_member(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Option<Addressee>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT member.name, member.email AS "listed?", account.id AS "account?",
                  account.email AS "own?"
           FROM member
           LEFT JOIN account ON account.member_id = member.id AND account.disabled_at IS NULL
           WHERE member.id = ?1 AND member.state = 'active'"#,
        member.0
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| Addressee {
        name: row.name,
        email: row.own.or(row.listed).and_then(|text| Email::new(&text).ok()),
        account: row.account,
    }))
}

/// Where letters to the guardian of a young member go. `None` when nobody consented, or the member
/// has left.
///
/// # Errors
/// The database could not answer.
pub async fn addressee_of_guardian(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Option<Addressee>, StoreError> {
    let row = sqlx::query!(
        "SELECT guardian.name, guardian.email
         FROM guardian JOIN member ON member.id = guardian.member_id
         WHERE guardian.member_id = ?1 AND member.state = 'active'",
        member.0
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| Addressee {
        name: row.name,
        email: row.email.and_then(|text| Email::new(&text).ok()),
        account: None,
    }))
}

/// Where letters to an account go. `None` when there is none, or it is disabled.
///
/// # Errors
/// The database could not answer.
pub async fn addressee_of_account(
    conn: &mut SqliteConnection,
    account: i64,
) -> Result<Option<Addressee>, StoreError> {
    let row = sqlx::query!(
        "SELECT name, email FROM account WHERE id = ?1 AND disabled_at IS NULL",
        account
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| Addressee {
        name: row.name,
        email: Email::new(&row.email).ok(),
        account: Some(account),
    }))
}
