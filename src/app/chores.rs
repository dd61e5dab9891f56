//! What the service does by itself, whoever asks for what.

use std::time::Duration;

use tokio::time::MissedTickBehavior;

use super::AppState;
use crate::audit::shorten_old_addresses;
use crate::lending;
use crate::store::StoreError;

/// How often the chores are done. Each finds out from the database what is due, so that more often
/// does no harm, and a service that was off catches up.
const EVERY: Duration = Duration::from_hours(1);

/// Does the chores once, as of the state's clock.
///
/// # Errors
/// The database refused; what was done before stays done, the next round does the rest.
pub async fn once(state: &AppState) -> Result<(), StoreError> {
    let mut tx = state.store.write().await?;
    let shortened = shorten_old_addresses(&mut tx, &state.clock).await?;
    tx.commit().await?;
    lending_round(state).await;
    if shortened > 0 {
        tracing::info!(shortened, "old addresses in the audit log were shortened");
    }
    Ok(())
}

/// What time does to reservations; a fault in it keeps no other chore from being done.
async fn lending_round(state: &AppState) {
    let Ok(tonight) = lending::Night::new(state.clock.today()) else { return };
    let done = async {
        let mut tx = state.store.write().await.map_err(lending::LendingError::from)?;
        lending::rounds::round(&mut tx, &state.clock, tonight).await?;
        tx.commit().await.map_err(lending::LendingError::from)?;
        Ok::<(), lending::NotReserved>(())
    };
    if let Err(error) = done.await {
        tracing::error!(%error, "the round of the loans was not done; it is tried again in an hour");
    }
}

/// Does the chores now and every hour, until told to stop.
pub async fn run(state: AppState, stop: impl Future<Output = ()>) {
    let mut ticker = tokio::time::interval(EVERY);
    ticker.set_missed_tick_behavior(MissedTickBehavior::Delay);
    tokio::pin!(stop);
    loop {
        tokio::select! {
            () = &mut stop => return,
            _ = ticker.tick() => {}
        }
        if let Err(error) = once(&state).await {
            tracing::error!(%error, "a daily chore was not done; it is tried again in an hour");
        }
    }
}
