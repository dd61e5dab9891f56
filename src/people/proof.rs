//! Proving once more who one is, before something that a thief would change first.

use jiff::SignedDuration;

use super::access::SignedIn;
use super::account;
use super::porter::Porter;
use super::throttle::Attempt;
use super::warnings;
use crate::audit::{Subject, note};
use crate::store::StoreError;
use crate::web::problem::Problem;

/// How long after signing in nobody is asked again to set up their first second factor.
pub(super) const FRESH: SignedDuration = SignedDuration::from_mins(10);

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Proof {
    /// It is them.
    Given,
    /// It may be somebody else; the sentence says what to do.
    Wrong(String),
}

impl Porter {
    /// Asks for the password of whoever is signed in, with the same brake as at the door.
    ///
    /// # Errors
    /// The database could not answer, or guessing went on for too long.
    pub async fn prove(&self, who: &SignedIn, password: &str) -> Result<Proof, Problem> {
        let Some((email, hash)) = account::address_and_hash(&self.store, who.account.id).await?
        else {
            return Ok(Proof::Wrong("This account is not there any more.".into()));
        };
        if hash.is_none() {
            return Ok(Proof::Wrong(
                "You have no password yet. Have a link sent to you from the sign-in page, and \
                 choose one."
                    .into(),
            ));
        }
        let attempt = Attempt::of(&email, self.caller.address);
        let turn = self.hasher.turn().await?;
        let mut conn = self.store.reader().acquire().await.map_err(StoreError::from)?;
        let wait = attempt.wait(&mut conn, self.clock.seconds()).await?;
        drop(conn);
        if wait > 0 {
            return Err(Problem::too_many("That password was tried too often.", wait));
        }
        let holds = turn.verify(password.to_owned(), hash).await?;
        let mut tx = self.store.write().await?;
        if holds {
            attempt.succeeded(&mut tx).await?;
            tx.commit().await?;
            return Ok(Proof::Given);
        }
        attempt.failed(&mut tx, self.clock.seconds()).await?;
        warnings::note_failure(&mut tx, &self.clock, who.account.id).await?;
        let own = Subject::of("account", who.account.id);
        note(&mut tx, who.actor(), "password refused", own, "").await?;
        tx.commit().await?;
        tracing::warn!(account = who.account.id, "a password was not right");
        Ok(Proof::Wrong("That is not your password. Type the one you sign in with.".into()))
    }
}
