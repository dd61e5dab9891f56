//! Asking somebody who is signed in for their password once more, with the brake of the door.

use std::net::IpAddr;

use super::password::Hasher;
use super::throttle::Attempt;
use crate::store::{Store, StoreError};
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// Whether this is the password of that account. Failures count as failed sign-ins do.
///
/// # Errors
/// 429 after too many failures, or the database could not answer.
pub async fn holds(
    store: &Store,
    clock: &Clock,
    hasher: &Hasher,
    account: i64,
    address: IpAddr,
    password: &str,
) -> Result<bool, Problem> {
    let known = sqlx::query!(
        "SELECT email, password_hash FROM account WHERE id = ?1 AND disabled_at IS NULL",
        account
    )
    .fetch_optional(store.reader())
    .await
    .map_err(StoreError::from)?;
    let Some(known) = known else { return Ok(false) };
    let attempt = Attempt::of(&known.email, address);
    let turn = hasher.turn().await?;
    let wait = attempt.wait(store, clock.seconds()).await?;
    if wait > 0 {
        return Err(Problem::too_many("That password was tried too often.", wait));
    }
    let holds = turn.verify(password.to_owned(), known.password_hash).await?;
    let mut tx = store.write().await?;
    if holds {
        attempt.succeeded(&mut tx).await?;
    } else {
        attempt.failed(&mut tx, clock.seconds()).await?;
        tracing::warn!(account, "a password asked for once more was wrong");
    }
    tx.commit().await?;
    Ok(holds)
}
