//! Letters that tell somebody what happened to their account.

use super::account::CEILING;
use crate::post::{self, Letter, Message, PostError, Reader, Weight};
use crate::store::WriteTx;
use crate::web::clock::Clock;

async fn write(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    kind: &'static str,
    letter: Letter,
) -> Result<(), PostError> {
    let message = Message {
        to: Reader::Account(account),
        kind,
        weight: Weight::Essential,
        key: format!("account {account} {kind} at {}", clock.seconds()),
        letter,
        not_before: None,
        not_after: None,
    };
    post::queue(tx, clock, &message).await?;
    Ok(())
}

/// Counts a failure, and where they become too many tells the owner in a letter what helps.
pub(super) async fn note_failure(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
) -> Result<(), PostError> {
    let failures = sqlx::query_scalar!(
        r#"UPDATE account SET failures_in_a_row = failures_in_a_row + 1 WHERE id = ?1
           RETURNING failures_in_a_row AS "failures!""#,
        account
    )
    .fetch_one(&mut **tx)
    .await?;
    if failures != CEILING {
        return Ok(());
    }
    let letter = Letter::about("Your password no longer opens your account")
        .says(format!(
            "Somebody has tried {CEILING} wrong passwords or codes for your account. To be on the \
             safe side, the password is no longer taken."
        ))
        .says("Have a link sent to you and choose a new password; the quartermaster can give you one too.")
        .leads_to("Choose a new password", "/sign-in/help");
    write(tx, clock, account, "too-many-guesses", letter).await
}

/// Writes the owner of an account that something about it was changed.
pub(super) async fn tell(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    kind: &'static str,
    subject: &str,
    what: &str,
) -> Result<(), PostError> {
    let letter = Letter::about(subject)
        .says(what)
        .says("If that was not you, choose a new password at once and tell the quartermaster.")
        .leads_to("Your account", "/account");
    write(tx, clock, account, kind, letter).await
}

/// Writes the owner of an account that its password is new.
pub(super) async fn tell_of_new_password(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
) -> Result<(), PostError> {
    let what = "Your password was changed, and you were signed out everywhere else.";
    tell(tx, clock, account, "new-password", "Your password was changed", what).await
}
