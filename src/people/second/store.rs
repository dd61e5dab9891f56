//! The second factor in the database.

use sqlx::SqliteConnection;

use super::recovery;
use super::totp::{DIGITS, Secret};
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;

/// How somebody stands to the second factor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// None is in force.
    Without,
    /// A code is asked for at each sign-in.
    With {
        /// Codes on paper that are still good.
        paper_codes: i64,
    },
}

/// How an account stands.
///
/// # Errors
/// The database could not answer.
pub async fn standing(conn: &mut SqliteConnection, account: i64) -> Result<Standing, StoreError> {
    let row = sqlx::query!(
        r#"SELECT (SELECT count(*) FROM recovery_code
                   WHERE account_id = second_factor.account_id AND used_at IS NULL) AS "left!: i64"
           FROM second_factor WHERE account_id = ?1 AND confirmed_at IS NOT NULL"#,
        account
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map_or(Standing::Without, |row| Standing::With { paper_codes: row.left }))
}

/// The secret that is to be confirmed, made anew where there is none. `None` where one is in force
/// already, which is never shown again.
pub(in crate::people) async fn begin(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    fresh: Secret,
) -> Result<Option<Secret>, StoreError> {
    let row = sqlx::query!(
        "SELECT secret, confirmed_at FROM second_factor WHERE account_id = ?1",
        account
    )
    .fetch_optional(&mut **tx)
    .await?;
    if let Some(row) = row {
        return Ok(if row.confirmed_at.is_some() { None } else { Secret::read(&row.secret) });
    }
    let (bytes, now) = (fresh.bytes(), clock.seconds());
    sqlx::query!(
        "INSERT INTO second_factor (account_id, secret, made_at) VALUES (?1, ?2, ?3)",
        account,
        bytes,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(Some(fresh))
}

/// Puts the second factor in force with a first code of it. Says whether the code held.
pub(in crate::people) async fn confirm(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    code: &str,
) -> Result<bool, StoreError> {
    // The phone that makes the codes keeps its own time.
    let (now, outside) = (clock.seconds(), clock.outside().as_second());
    let row = sqlx::query!(
        "SELECT secret, last_step FROM second_factor
         WHERE account_id = ?1 AND confirmed_at IS NULL",
        account
    )
    .fetch_optional(&mut **tx)
    .await?;
    let step = row
        .and_then(|row| Secret::read(&row.secret)?.step_of(&digits(code), outside, row.last_step));
    let Some(step) = step else { return Ok(false) };
    sqlx::query!(
        "UPDATE second_factor SET confirmed_at = ?2, last_step = ?3 WHERE account_id = ?1",
        account,
        now,
        step
    )
    .execute(&mut **tx)
    .await?;
    Ok(true)
}

/// What a typed code turned out to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::people) enum Seen {
    /// A code of the app.
    App,
    /// A code on paper, used up now.
    Paper,
    /// Neither, or one that was used before.
    Wrong,
}

/// Looks at a code and uses it up.
pub(in crate::people) async fn see(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    typed: &str,
) -> Result<Seen, StoreError> {
    // The phone that makes the codes keeps its own time.
    let outside = clock.outside().as_second();
    let row = sqlx::query!(
        "SELECT secret, last_step FROM second_factor
         WHERE account_id = ?1 AND confirmed_at IS NOT NULL",
        account
    )
    .fetch_optional(&mut **tx)
    .await?;
    let Some(row) = row else { return Ok(Seen::Wrong) };
    let code = digits(typed);
    if code.len() == DIGITS && code.len() == typed.chars().filter(|c| c.is_alphanumeric()).count() {
        let step = Secret::read(&row.secret)
            .and_then(|secret| secret.step_of(&code, outside, row.last_step));
        let Some(step) = step else { return Ok(Seen::Wrong) };
        sqlx::query!(
            "UPDATE second_factor SET last_step = ?2 WHERE account_id = ?1",
            account,
            step
        )
        .execute(&mut **tx)
        .await?;
        return Ok(Seen::App);
    }
    let held = recovery::use_up(tx, clock, account, typed).await?;
    Ok(if held { Seen::Paper } else { Seen::Wrong })
}

/// Takes the second factor and its codes on paper away.
///
/// # Errors
/// The database could not answer.
pub async fn drop_it(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM second_factor WHERE account_id = ?1", account)
        .execute(&mut **tx)
        .await?;
    sqlx::query!("DELETE FROM recovery_code WHERE account_id = ?1", account)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// The digits of what was typed: apps show them with a gap.
fn digits(typed: &str) -> String {
    typed.chars().filter(char::is_ascii_digit).collect()
}
